//! What the caller knows about a file beforehand.

use super::turns::Turns;
use crate::geometry::{Region, Ring, Segment};
use crate::survey::{Elevation, FirstRow};
use crate::units::{Length, LengthUnit};

/// A file in memory.
#[derive(Debug, Clone, Copy)]
pub struct Source<'a> {
    /// Name as the user gave it; messages begin with it.
    pub name: &'a str,
    /// Its bytes.
    pub bytes: &'a [u8],
}

/// What the numbers of a sheet measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Meaning {
    /// Distance from the level line down to the floor: larger is lower.
    #[default]
    Down,
    /// Distance from the floor up to a level line overhead: the same length measured the other way,
    /// so larger is lower here too.
    Up,
    /// Height of the floor: larger is higher.
    Elevation,
}

impl Meaning {
    /// In words, for what was understood.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Down => "distance down from the line to the floor (larger is lower)",
            Self::Up => "distance up from the floor to a line overhead (larger is lower)",
            Self::Elevation => "height of the floor (larger is higher)",
        }
    }
}

/// How a sheet is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Layout {
    /// Found from the cells: a row that names x, y and a reading makes a list, anything else a matrix.
    #[default]
    Auto,
    /// First row and first column hold distances, letters or numbers.
    Matrix,
    /// One reading a row, under a header that names the columns. Without a header, and only when this
    /// layout is asked for: exactly three columns, x, y, reading.
    List,
}

/// Distance between the columns and between the rows of a matrix headed by letters or numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spacing {
    /// From column to column.
    pub across: Length,
    /// From row to row.
    pub along: Length,
}

/// Which way x runs along the columns of a matrix.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum XRuns {
    /// The first column is at the left of the plan.
    Right,
    /// The first column is at the right of the plan.
    Left,
}

/// How a matrix lies on the floor, as far as it is stated.
///
/// A sheet headed by letters or numbers is a picture of the room: its first row is the far wall, at the top of
/// the plan, and its first column is at the left. One headed by distances is coordinates: x to the right, y up
/// from the wall of its zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Orientation {
    /// The wall that the first row stands for.
    pub first_row: Option<FirstRow>,
    /// Which way x runs.
    pub x_runs: Option<XRuns>,
}

/// What the caller states about a file. What is `None` must stand in the file itself.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportOptions {
    /// Sheet of a workbook; needed when more than one holds cells.
    pub sheet: Option<String>,
    /// The room to take when the file holds several; a name for it when it holds one without.
    pub room: Option<String>,
    /// Unit of plan distances; it stands over what the file says.
    pub plan_unit: Option<LengthUnit>,
    /// Unit of readings; it stands over what the file says.
    pub reading_unit: Option<LengthUnit>,
    /// What the readings measure; it stands over what the file says.
    pub meaning: Option<Meaning>,
    /// Arrangement of the sheet.
    pub layout: Layout,
    /// For a matrix headed by letters or numbers that are no distances.
    pub spacing: Option<Spacing>,
    /// How a matrix lies on the floor.
    pub orientation: Orientation,
    /// The floor, where the plan is known: a sheet that fits its walls one way only is laid so, and slips are looked for
    /// among the readings on it.
    pub region: Option<Region>,
    /// The joints marked on the plan.
    pub joints: Vec<Segment>,
    /// Read cells that a spreadsheet turned into dates back as fractions.
    pub dates_as_fractions: bool,
    /// Column separator of a text file; found from the text when `None`.
    pub delimiter: Option<u8>,
    /// The most bytes a compressed workbook may inflate to.
    pub inflate_limit: u64,
    /// Elevation of the level line.
    pub line: Elevation,
    /// What places that count from the right or the far wall are turned about, where other sheets of the floor tell.
    pub turns: Turns,
    /// Take fewer than three readings, or readings all in one line (a sample line, a profile).
    pub accept_line: bool,
}

impl ImportOptions {
    /// The walls of the room, where they are known.
    pub(super) fn walls(&self) -> Option<&Ring> {
        self.region.as_ref().map(|r| &r.outline)
    }
}

impl Default for ImportOptions {
    fn default() -> Self {
        Self {
            sheet: None,
            room: None,
            plan_unit: None,
            reading_unit: None,
            meaning: None,
            layout: Layout::Auto,
            spacing: None,
            orientation: Orientation::default(),
            region: None,
            joints: Vec::new(),
            dates_as_fractions: false,
            delimiter: None,
            inflate_limit: 512 << 20,
            line: Elevation::default(),
            turns: Turns::default(),
            accept_line: false,
        }
    }
}
