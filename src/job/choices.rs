//! The words that a job file, a flag and the page take where there are only a few: one list for all three.

use clap::ValueEnum;
use serde::de::value::{Error as NoWord, StrDeserializer};
use serde::de::{IntoDeserializer, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

use crate::drawing;
use crate::fill;
use crate::flatness::fnumber;
use crate::import;
use crate::pour;
use crate::survey;
use crate::units;

/// One word of a few; whatever else stands there is refused with all of them.
struct OneOf<T>(fn(StrDeserializer<'static, NoWord>) -> Result<T, NoWord>);

impl<'de, T> Visitor<'de> for OneOf<T> {
    type Value = String;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // What is no word of them is answered with the list.
        let answer = (self.0)("".into_deserializer());
        let answer = answer.err().map(|e| e.to_string()).unwrap_or_default();
        let list = answer
            .split_once("expected ")
            .map_or("a word", |(_, list)| list);
        f.write_str(list)
    }

    fn visit_str<E>(self, word: &str) -> Result<String, E> {
        Ok(word.to_owned())
    }
}

/// The two ways through serde of words that are told as [`OneOf`] has it.
macro_rules! one_of {
    ($($name:ident),*) => {$(
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                Self::serialize(self, to)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                let word = from.deserialize_str(OneOf(Self::deserialize))?;
                Self::deserialize(word.into_deserializer())
            }
        }
    )*};
}

one_of!(
    Units, With, Meaning, Layout, FirstRow, XRuns, PaperSize, Aim, Order, Constants
);

/// Units to print in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case", remote = "Self")]
pub enum Units {
    /// Feet, inches, fractions.
    Us,
    /// Millimetres and metres.
    Metric,
}

impl From<Units> for units::Habit {
    fn from(word: Units) -> Self {
        match word {
            Units::Us => Self::Us,
            Units::Metric => Self::Metric,
        }
    }
}

/// What the submittal tells besides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case", remote = "Self")]
pub enum With {
    /// What is ordered: material, bags, water, primer, foam, dams, other depths, grind or fill; no prices.
    Quantities,
}

/// What a reading measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case", remote = "Self")]
pub enum Meaning {
    /// From the level line down to the floor.
    Down,
    /// From the floor up to a line overhead.
    Up,
    /// Height of the floor.
    Elevation,
}

impl From<Meaning> for import::Meaning {
    fn from(word: Meaning) -> Self {
        match word {
            Meaning::Down => Self::Down,
            Meaning::Up => Self::Up,
            Meaning::Elevation => Self::Elevation,
        }
    }
}

/// Arrangement of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case", remote = "Self")]
pub enum Layout {
    /// Rows and columns are plan distances.
    Matrix,
    /// One reading a row.
    List,
}

impl From<Layout> for import::Layout {
    fn from(word: Layout) -> Self {
        match word {
            Layout::Matrix => Self::Matrix,
            Layout::List => Self::List,
        }
    }
}

/// The wall that the first row of a matrix stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case", remote = "Self")]
pub enum FirstRow {
    /// At the top of the plan.
    Far,
    /// At the bottom of the plan.
    Near,
}

impl From<FirstRow> for survey::FirstRow {
    fn from(word: FirstRow) -> Self {
        match word {
            FirstRow::Far => Self::Far,
            FirstRow::Near => Self::Near,
        }
    }
}

/// Which way x runs along the columns of a matrix.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case", remote = "Self")]
pub enum XRuns {
    /// To the right.
    Right,
    /// To the left.
    Left,
}

impl From<XRuns> for import::XRuns {
    fn from(word: XRuns) -> Self {
        match word {
            XRuns::Right => Self::Right,
            XRuns::Left => Self::Left,
        }
    }
}

/// Sheet sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case", remote = "Self")]
pub enum PaperSize {
    /// 8 1/2 x 11 in.
    #[serde(alias = "Letter")]
    Letter,
    /// 11 x 17 in.
    #[serde(alias = "Tabloid")]
    Tabloid,
    /// 210 x 297 mm.
    #[serde(alias = "A4")]
    A4,
    /// 297 x 420 mm.
    #[serde(alias = "A3")]
    A3,
}

impl From<PaperSize> for drawing::Paper {
    fn from(word: PaperSize) -> Self {
        match word {
            PaperSize::Letter => Self::Letter,
            PaperSize::Tabloid => Self::Tabloid,
            PaperSize::A4 => Self::A4,
            PaperSize::A3 => Self::A3,
        }
    }
}

impl PaperSize {
    /// The one that goes with the units of a job.
    pub const fn usual(habit: units::Habit) -> Self {
        match habit {
            units::Habit::Us => Self::Letter,
            units::Habit::Metric => Self::A4,
        }
    }
}

/// What the owner wants of the floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", remote = "Self")]
pub enum Aim {
    /// Horizontal.
    Level,
    /// Flat enough; it may slope.
    Flat,
}

impl From<Aim> for fill::Aim {
    fn from(word: Aim) -> Self {
        match word {
            Aim::Level => Self::Level,
            Aim::Flat => Self::Flat,
        }
    }
}

/// In which order the floor is poured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub enum Order {
    /// In passes across the way out.
    #[serde(rename = "passes")]
    Passes,
    /// By level lines from the start to the exit.
    #[serde(rename = "level lines")]
    LevelLines,
    /// In strips across the room.
    #[serde(rename = "strips")]
    Strips,
}

impl From<Order> for pour::Order {
    fn from(word: Order) -> Self {
        match word {
            Order::Passes => Self::Passes,
            Order::LevelLines => Self::Harmonic,
            Order::Strips => Self::Strips,
        }
    }
}

/// Which constants stand over the spread of an F-number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", remote = "Self")]
pub enum Constants {
    /// 4.57 in and 12.5 in, whatever the interval.
    Exact,
    /// Rescaled to 300 mm.
    Rescaled,
}

impl From<Constants> for fnumber::Constants {
    fn from(word: Constants) -> Self {
        match word {
            Constants::Exact => Self::Exact,
            Constants::Rescaled => Self::Rescaled,
        }
    }
}
