//! What was understood of a file, to show before anything is computed from it.

use super::headers::Field;
use super::options::{Layout, Meaning};
use super::turns::Counting;
use crate::survey::{Elevation, Place, Survey};
use crate::units::{Length, LengthUnit};

/// What was understood of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Understood {
    /// File name as given.
    pub file: String,
    /// `CSV`, `XLSX`, `XLS`, `ODS`.
    pub format: &'static str,
    /// Text encoding; `None` for a workbook.
    pub encoding: Option<&'static str>,
    /// Column separator in words; `None` for a workbook.
    pub separator: Option<&'static str>,
    /// Whether commas are decimal marks.
    pub decimal_comma: bool,
    /// Sheet read.
    pub sheet: Option<String>,
    /// Every sheet of the workbook.
    pub sheets: Vec<String>,
    /// One for each survey, in the same order.
    pub rooms: Vec<UnderstoodRoom>,
}

/// What was understood of one room.
#[derive(Debug, Clone, PartialEq)]
pub struct UnderstoodRoom {
    /// Its name.
    pub name: String,
    /// Matrix or list.
    pub layout: Layout,
    /// Row of the header that applies.
    pub header: Place,
    /// Unit of bare plan distances; `None` when each carries its own, or none was needed.
    pub plan_unit: Option<LengthUnit>,
    /// Unit of bare readings; `None` when each carries its own.
    pub reading_unit: Option<LengthUnit>,
    /// What the readings measure.
    pub meaning: Meaning,
    /// Whether file or caller stated the meaning; otherwise it is the default.
    pub meaning_stated: bool,
    /// Elevation of the level line that readings were taken from.
    pub line: Elevation,
    /// Where row 1 stands, which way x and y run, in a sentence.
    pub orientation: String,
    /// Which axes were turned over about the sheet's own readings.
    pub counting: Counting,
    /// Which column was taken for what (a list only).
    pub columns: Vec<UsedColumn>,
    /// Names of the set-ups, in the order of [`crate::survey::Reading::set_up`]; empty when none is named.
    pub set_ups: Vec<String>,
    /// Cells in the table's body that hold no reading.
    pub skipped: Vec<SkippedCell>,
    /// Blank cells in the table's body, which are not listed one by one.
    pub blanks: usize,
}

/// A column of a list and what it was taken for.
#[derive(Debug, Clone, PartialEq)]
pub struct UsedColumn {
    /// Column from 1.
    pub column: u32,
    /// The heading as written.
    pub heading: String,
    /// What it was taken for.
    pub field: Field,
    /// Unit in the heading.
    pub unit: Option<LengthUnit>,
}

/// A cell that was passed over, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct SkippedCell {
    /// Where.
    pub place: Place,
    /// Its text.
    pub text: String,
    /// Why.
    pub why: Why,
}

/// Why a cell was passed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Why {
    /// Within the table, with a word for no reading.
    NoReading,
    /// A row or column of averages or totals.
    Summary,
    /// A row of a list that lacks its reading and its place.
    NoRow,
    /// The headings of a list once more, as on the next page of a print.
    HeadingsAgain,
    /// Beside, above or below the tables.
    Outside,
}

impl Why {
    /// In a few words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::NoReading => "no reading",
            Self::Summary => "averages or totals",
            Self::NoRow => "a row without a reading",
            Self::HeadingsAgain => "the headings once more",
            Self::Outside => "outside the tables",
        }
    }
}

/// Surveys of a file with what was understood on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    /// One for each room, in the order of the sheet. Never empty.
    pub surveys: Vec<Survey>,
    /// What was understood.
    pub understood: Understood,
}

/// One cell as read: its words and the value taken from them.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenCell<'a> {
    /// Where.
    pub place: &'a Place,
    /// Point name.
    pub label: &'a str,
    /// The cell's own text.
    pub text: &'a str,
    /// The reading: distance from the line, or elevation, as the room's meaning says.
    pub value: Length,
}

impl Imported {
    /// Every reading of a room, cell by cell: text found, value taken.
    ///
    /// # Units, datum, sign
    /// `value` is what the cell says, before the sign flips: a distance from the line for readings
    /// down or up, a height for elevations.
    /// # Edge cases
    /// Empty for a room index that is not there. After set-ups were tied, the value is that of the
    /// first set-up's line.
    pub fn cells(&self, room: usize) -> impl Iterator<Item = SeenCell<'_>> {
        let about = self.understood.rooms.get(room);
        self.surveys
            .get(room)
            .into_iter()
            .flat_map(|s| &s.readings)
            .zip(about.into_iter().cycle())
            .map(|(reading, about)| SeenCell {
                place: &reading.raw.place,
                label: &reading.label,
                text: &reading.raw.text,
                value: match about.meaning {
                    Meaning::Down | Meaning::Up => about.line - reading.elevation,
                    Meaning::Elevation => Length::from_m(reading.elevation.m()),
                },
            })
    }
}
