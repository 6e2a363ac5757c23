//! One reading, kept with the words and the cell it came from.
//!
//! A scan holds a million of these, so they are kept small: a label or a cell's text of up to
//! fifteen bytes needs no heap ([`EcoString`]), and every reading of one sheet shares its name.

use super::{Elevation, one_line};
use crate::geometry::Point;
use ecow::EcoString;
use std::borrow::Cow;
use std::sync::Arc;

/// Name of a file, and of the sheet in it: shared by every cell of the sheet, cheap to clone.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct SheetName(Arc<SheetNameParts>);

#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
struct SheetNameParts {
    file: String,
    sheet: Option<String>,
}

impl SheetName {
    /// A file, and a sheet in it when it is a workbook; each on one line, as a place is told.
    pub fn new(file: impl Into<String>, sheet: Option<String>) -> Self {
        let told = |name: String| match one_line(&name) {
            Cow::Owned(told) => told,
            Cow::Borrowed(_) => name,
        };
        let (file, sheet) = (told(file.into()), sheet.map(told));
        Self(Arc::new(SheetNameParts { file, sheet }))
    }

    /// File name as the user gave it.
    pub fn file(&self) -> &str {
        &self.0.file
    }

    /// Sheet name, in a workbook.
    pub fn sheet(&self) -> Option<&str> {
        self.0.sheet.as_deref()
    }
}

impl Default for SheetName {
    fn default() -> Self {
        SheetNameParts::default().into()
    }
}

impl From<SheetNameParts> for SheetName {
    fn from(parts: SheetNameParts) -> Self {
        Self(Arc::new(parts))
    }
}

impl From<SheetName> for SheetNameParts {
    fn from(name: SheetName) -> Self {
        Arc::unwrap_or_clone(name.0)
    }
}

/// Where in a file something was found. Rows and columns count from 1, header included.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Place {
    /// File and sheet.
    pub source: SheetName,
    /// Row, from 1; 0 when the whole file is meant.
    pub row: u32,
    /// Column, from 1; 0 when the whole row is meant.
    pub column: u32,
}

impl Place {
    /// A cell of a sheet; row and column from 1.
    pub const fn new(source: SheetName, row: u32, column: u32) -> Self {
        Self {
            source,
            row,
            column,
        }
    }

    /// File name as the user gave it.
    pub fn file(&self) -> &str {
        self.source.file()
    }

    /// Sheet name, in a workbook.
    pub fn sheet(&self) -> Option<&str> {
        self.source.sheet()
    }

    /// The cell as a spreadsheet names it (`C5`); empty when no one cell is meant.
    pub fn cell(&self) -> String {
        if self.row == 0 || self.column == 0 {
            return String::new();
        }
        format!("{}{}", column_letters(self.column), self.row)
    }
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.file())?;
        if let Some(sheet) = self.sheet() {
            write!(f, ", sheet {sheet}")?;
        }
        match (self.row, self.column) {
            (0, 0) => Ok(()),
            (0, column) => write!(f, ", column {}", column_letters(column)),
            (row, 0) => write!(f, ", row {row}"),
            _ => write!(f, ", cell {}", self.cell()),
        }
    }
}

/// Spreadsheet letters of a column counted from 1: 1 is A, 26 is Z, 27 is AA. Empty for 0.
pub fn column_letters(mut column: u32) -> String {
    let mut letters = Vec::new();
    while column > 0 {
        let digit = (column - 1) % 26;
        letters.push(b'A' + digit as u8);
        column = (column - 1) / 26;
    }
    letters.iter().rev().map(|&b| b as char).collect()
}

/// The reading as it stood in the file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RawReading {
    /// The cell's own text.
    pub text: EcoString,
    /// Where it stood.
    pub place: Place,
    /// Whether the point's name was made up here, since the sheet gives it none: another sheet's point of that name need not be the
    /// same.
    pub name_made: bool,
}

/// A height at a place on the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Point name: from the sheet, or made from its grid column and row (`C4`).
    pub label: EcoString,
    /// Plan position, metres.
    pub at: Point,
    /// Height of the floor here.
    pub elevation: Elevation,
    /// The words it came from.
    pub raw: RawReading,
    /// Which set-up it was read from, from 0.
    pub set_up: usize,
    /// The sheet's note beside it.
    pub note: Option<EcoString>,
}

impl Reading {
    /// A reading that stands in no file: label, plan position in metres, height of the floor.
    pub fn new(label: impl Into<EcoString>, at: Point, elevation: Elevation) -> Self {
        Self {
            label: label.into(),
            at,
            elevation,
            raw: RawReading::default(),
            set_up: 0,
            note: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_told_as_a_spreadsheet_shows_them() {
        // ORACLE: hand. Column 27 follows Z.
        let name = SheetName::new("a.xlsx", Some("Bath".to_owned()));
        assert_eq!(
            Place::new(name.clone(), 5, 27).to_string(),
            "a.xlsx, sheet Bath, cell AA5"
        );
        assert_eq!(
            Place::new(name.clone(), 5, 0).to_string(),
            "a.xlsx, sheet Bath, row 5"
        );
        assert_eq!(Place::new(name, 0, 0).to_string(), "a.xlsx, sheet Bath");
        assert_eq!(column_letters(702), "ZZ");
        assert_eq!(column_letters(703), "AAA");
    }

    #[test]
    fn a_million_readings_stay_near_a_hundred_megabytes() {
        assert!(std::mem::size_of::<Reading>() <= 112);
    }
}
