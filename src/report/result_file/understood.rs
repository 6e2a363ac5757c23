//! What was read, cell by cell, before anything is worked out from it.

use serde::Serialize;

use super::head::Notice;
use super::quantity::Mm;
use crate::import::{self, Imported};
use crate::survey;
use crate::units::LengthUnit;

/// What was understood of the readings files.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Understood {
    /// A file each.
    files: Vec<File>,
    /// Everything odd.
    notices: Vec<Notice>,
}

/// A readings file.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct File {
    /// Its name as given.
    file: String,
    /// CSV, XLSX, XLS or ODS.
    format: &'static str,
    /// The sheet read; null for a text file.
    sheet: Option<String>,
    /// A room each.
    rooms: Vec<Room>,
}

/// A room's table.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Room {
    /// Its name.
    name: String,
    /// How it is laid out.
    layout: Layout,
    /// Unit of bare plan distances; null when each carries its own.
    plan_unit: Option<Unit>,
    /// Unit of bare readings; null when each carries its own.
    reading_unit: Option<Unit>,
    /// What the readings measure.
    meaning: Meaning,
    /// Where the first row stands and which way x and y run, in a sentence.
    orientation: String,
    /// Blank cells in the table.
    blanks: usize,
    /// Cells in the table that hold no reading.
    skipped: Vec<Skipped>,
    /// Every reading.
    cells: Vec<Cell>,
}

/// How a table is laid out.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Layout {
    /// Distances or names in the first row and column.
    Matrix,
    /// One reading a row.
    List,
}

/// What readings measure.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Meaning {
    /// Down from the line.
    Down,
    /// Up from the line.
    Up,
    /// Height above a datum.
    Elevation,
}

/// A unit of length.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Unit {
    /// Feet.
    Ft,
    /// Inches.
    In,
    /// Feet and inches in one cell.
    FtIn,
    /// Millimetres.
    Mm,
    /// Centimetres.
    Cm,
    /// Metres.
    M,
}

impl From<LengthUnit> for Unit {
    fn from(unit: LengthUnit) -> Self {
        match unit {
            LengthUnit::Foot => Self::Ft,
            LengthUnit::Inch => Self::In,
            LengthUnit::FeetInches => Self::FtIn,
            LengthUnit::Millimetre => Self::Mm,
            LengthUnit::Centimetre => Self::Cm,
            LengthUnit::Metre => Self::M,
        }
    }
}

/// A cell that holds no reading.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Skipped {
    /// File and cell.
    place: String,
    /// What it says.
    text: String,
    /// Why it is none.
    why: &'static str,
}

/// A cell that holds a reading.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Cell {
    /// File and cell.
    place: String,
    /// Name of the mark.
    label: String,
    /// The cell as written.
    text: String,
    /// What it was taken for.
    value_mm: Mm,
}

impl Understood {
    /// What was understood of these files, with what is odd about the rooms that came of them.
    pub fn of<'a>(
        files: &[Imported],
        notices: impl IntoIterator<Item = &'a survey::Notice>,
    ) -> Self {
        Self {
            files: files.iter().map(File::of).collect(),
            notices: notices.into_iter().map(Notice::from).collect(),
        }
    }
}

impl File {
    fn of(file: &Imported) -> Self {
        let u = &file.understood;
        let rooms = u.rooms.iter().enumerate();
        Self {
            file: u.file.clone(),
            format: u.format,
            sheet: u.sheet.clone(),
            rooms: rooms.map(|(i, room)| Room::of(file, i, room)).collect(),
        }
    }
}

impl Room {
    fn of(file: &Imported, index: usize, room: &import::UnderstoodRoom) -> Self {
        Self {
            name: room.name.clone(),
            layout: match room.layout {
                import::Layout::List => Layout::List,
                _ => Layout::Matrix,
            },
            plan_unit: room.plan_unit.map(Unit::from),
            reading_unit: room.reading_unit.map(Unit::from),
            meaning: match room.meaning {
                import::Meaning::Down => Meaning::Down,
                import::Meaning::Up => Meaning::Up,
                import::Meaning::Elevation => Meaning::Elevation,
            },
            orientation: room.orientation.clone(),
            blanks: room.blanks,
            skipped: room
                .skipped
                .iter()
                .map(|s| Skipped {
                    place: s.place.to_string(),
                    text: s.text.clone(),
                    why: s.why.words(),
                })
                .collect(),
            cells: file
                .cells(index)
                .map(|c| Cell {
                    place: c.place.to_string(),
                    label: c.label.to_string(),
                    text: c.text.to_string(),
                    value_mm: Mm::of_m(c.value.m()),
                })
                .collect(),
        }
    }
}
