//! Numbers as they stand on a drawing: the unit that marks are counted in, and plan distances.

use super::words as word;
use crate::units::{FOOT_M, FractionStyle, Habit, INCH_M, Length, LengthFormat, Pen, number_text};

/// What the numbers at the marks count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MarkUnit {
    /// Sixteenths of an inch.
    Sixteenths,
    /// Thirty-seconds of an inch.
    ThirtySeconds,
    /// Eighths of an inch.
    Eighths,
    /// Millimetres.
    Millimetres,
    /// Millimetres to a tenth.
    TenthMillimetres,
}

impl MarkUnit {
    /// The usual one of a habit.
    pub const fn usual(habit: Habit) -> Self {
        match habit {
            Habit::Us => Self::Sixteenths,
            Habit::Metric => Self::Millimetres,
        }
    }

    /// The usual one, or thirty-seconds of an inch or tenths of a millimetre where only they hold a depth.
    pub fn holding(habit: Habit, depth_m: f64) -> Self {
        match LengthFormat::holding(Length::from_m(depth_m), habit) {
            LengthFormat::Inches { denominator: 32 } => Self::ThirtySeconds,
            LengthFormat::Millimetres { decimals: 1 } => Self::TenthMillimetres,
            _ => Self::usual(habit),
        }
    }

    /// One of it in metres.
    pub const fn step_m(self) -> f64 {
        match self {
            Self::Sixteenths => INCH_M / 16.0,
            Self::ThirtySeconds => INCH_M / 32.0,
            Self::Eighths => INCH_M / 8.0,
            Self::Millimetres => 0.001,
            Self::TenthMillimetres => 0.000_1,
        }
    }

    /// Its name, for the key.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sixteenths => word::SIXTEENTHS,
            Self::ThirtySeconds => word::THIRTY_SECONDS,
            Self::Eighths => word::EIGHTHS,
            Self::Millimetres | Self::TenthMillimetres => word::MILLIMETRES,
        }
    }

    const fn format(self) -> LengthFormat {
        match self {
            Self::Sixteenths => LengthFormat::Inches { denominator: 16 },
            Self::ThirtySeconds => LengthFormat::Inches { denominator: 32 },
            Self::Eighths => LengthFormat::Inches { denominator: 8 },
            Self::Millimetres => LengthFormat::Millimetres { decimals: 0 },
            Self::TenthMillimetres => LengthFormat::Millimetres { decimals: 1 },
        }
    }

    /// A length as a whole number of it, millimetres with their tenth; a true minus before what is below zero.
    pub fn number(self, length_m: f64) -> String {
        if self == Self::TenthMillimetres {
            return self.without_unit(length_m);
        }
        plain(length_m / self.step_m(), 0)
    }

    /// Whether a length prints as nothing.
    pub fn is_nothing(self, length_m: f64) -> bool {
        self.number(length_m) == self.number(0.0)
    }

    /// A length with its unit, for contour lines: `3/4 in`, `20 mm`.
    pub fn with_unit(self, length_m: f64) -> String {
        true_minus(self.format().text(Length::from_m(length_m)))
    }

    /// A gap under an edge as every sheet tells it: with the decimals that show on which side of a limit it lies.
    pub fn gap(self, gap_m: f64) -> String {
        let pen = Pen::new(match self {
            Self::Sixteenths | Self::ThirtySeconds | Self::Eighths => Habit::Us,
            Self::Millimetres | Self::TenthMillimetres => Habit::Metric,
        });
        format!("{} {}", pen.gap_number(gap_m), pen.gap_unit())
    }

    /// As [`MarkUnit::with_unit`] without the unit.
    pub fn without_unit(self, length_m: f64) -> String {
        true_minus(self.format().number(Length::from_m(length_m)))
    }
}

/// A number with fixed decimals and a true minus sign.
pub fn plain(value: f64, decimals: usize) -> String {
    true_minus(number_text(value, decimals))
}

/// The minus sign of typography; a hyphen is too short to be seen at arm's length.
fn true_minus(text: String) -> String {
    match text.strip_prefix('-') {
        Some(rest) => format!("\u{2212}{rest}"),
        None => text,
    }
}

/// A plan distance, short: `12'-6"` to the nearest half inch, or metres to 10 mm.
pub fn distance(length_m: f64, habit: Habit) -> String {
    let format = match habit {
        Habit::Us => LengthFormat::FeetInches { denominator: 2 },
        Habit::Metric => LengthFormat::Metres { decimals: 2 },
    };
    true_minus(format.number_styled(Length::from_m(length_m), FractionStyle::Plain))
}

/// A plan distance with its unit, in words.
pub fn distance_with_unit(length_m: f64, habit: Habit) -> String {
    let format = match habit {
        Habit::Us => LengthFormat::FeetInches { denominator: 2 },
        Habit::Metric => LengthFormat::Metres { decimals: 2 },
    };
    format.text(Length::from_m(length_m))
}

/// Feet or metres, for axes.
pub const fn plan_unit(habit: Habit) -> (f64, &'static str) {
    match habit {
        Habit::Us => (FOOT_M, "ft"),
        Habit::Metric => (1.0, "m"),
    }
}
