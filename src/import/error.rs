//! What can be wrong with a file: all of it at once, each with its place and what to do.

use crate::survey::{Place, seen, steers};

/// The kind of a fault, for tests and programs; people read the words beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Fault {
    /// No bytes, or no cell with anything in it.
    Empty,
    /// Neither text nor a workbook.
    NotATable,
    /// A workbook that is cut short or damaged.
    Damaged,
    /// A workbook behind a password.
    Encrypted,
    /// Inflates past the stated limit.
    TooLarge,
    /// More rows or cells than any floor has.
    TooMany,
    /// No sheet of that name, or several to choose from.
    Sheet,
    /// No room of that name.
    Room,
    /// Rows that are neither header, title, setting nor data.
    Layout,
    /// A column that is needed and not there, or there twice.
    Column,
    /// No unit stated.
    MissingUnit,
    /// Metric and inch values in one column.
    MixedUnits,
    /// A setting row whose value makes no sense.
    Setting,
    /// A cell that is no length.
    NotALength,
    /// A fraction that a spreadsheet turned into a date.
    BecameDate,
    /// A spreadsheet error such as `#DIV/0!`.
    ErrorCell,
    /// A reading of zero.
    Zero,
    /// A reading less than zero, or one with a plus sign.
    Signed,
    /// NaN or infinity.
    NotFinite,
    /// A reading that no floor shows.
    OutOfRange,
    /// A reading without its plan position, or a row or column without its heading.
    NoPosition,
    /// One place read twice with different heights.
    Disagree,
    /// Fewer than three readings.
    TooFew,
    /// All readings in one line.
    OneLine,
    /// Set-ups that cannot be tied.
    SetUps,
    /// A ring that is no outline: crossing, too few corners, outside the room.
    Ring,
}

/// One fault with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportError {
    /// Its kind.
    pub fault: Fault,
    /// File, sheet and cell.
    pub place: Place,
    /// What stands there.
    pub found: String,
    /// What should stand there.
    pub expected: String,
    /// What to do about it; may be empty when `expected` says it all.
    pub remedy: String,
}

impl std::fmt::Display for ImportError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        // Whatever cells and flags hold, a fault is one line, and no sign steers it.
        let told = format!(
            "{}: found {}; expected {}.",
            self.place, self.found, self.expected
        );
        f.write_str(&seen(&told))?;
        if !self.remedy.is_empty() {
            write!(f, " {}", seen(&self.remedy))?;
        }
        Ok(())
    }
}

/// Everything wrong with a file, in the order of its cells. Never empty.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportErrors {
    list: Vec<ImportError>,
    unlisted: usize,
}

impl ImportErrors {
    /// The faults, at most [`ImportErrors::MOST_LISTED`] of them.
    pub fn list(&self) -> &[ImportError] {
        &self.list
    }

    /// How many more there are beyond those listed.
    pub const fn unlisted(&self) -> usize {
        self.unlisted
    }

    /// Whether a fault of this kind is listed.
    pub fn has(&self, fault: Fault) -> bool {
        self.list.iter().any(|e| e.fault == fault)
    }

    /// The most faults that are listed one by one; the rest are counted.
    pub const MOST_LISTED: usize = 200;
}

impl From<ImportError> for ImportErrors {
    fn from(error: ImportError) -> Self {
        Self {
            list: vec![error],
            unlisted: 0,
        }
    }
}

impl std::fmt::Display for ImportErrors {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (i, error) in self.list.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{error}")?;
        }
        if self.unlisted > 0 {
            write!(f, "\nand {} more", self.unlisted)?;
        }
        Ok(())
    }
}

impl std::error::Error for ImportErrors {}

/// Collects faults while reading goes on.
#[derive(Debug, Default)]
pub(super) struct Faults {
    list: Vec<ImportError>,
    unlisted: usize,
}

impl Faults {
    pub(super) fn add(
        &mut self,
        fault: Fault,
        place: Place,
        found: impl Into<String>,
        expected: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        if self.list.len() >= ImportErrors::MOST_LISTED {
            self.unlisted += 1;
            return;
        }
        self.list.push(ImportError {
            fault,
            place,
            found: found.into(),
            expected: expected.into(),
            remedy: remedy.into(),
        });
    }

    pub(super) const fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// `value`, unless something was wrong.
    pub(super) fn or<T>(self, value: T) -> Result<T, ImportErrors> {
        if self.list.is_empty() {
            Ok(value)
        } else {
            Err(self.into_errors())
        }
    }

    /// All that was collected; the caller knows that something was.
    pub(super) fn into_errors(mut self) -> ImportErrors {
        self.list
            .sort_by_key(|e| (e.place.row, e.place.column, e.fault));
        // What is said of one heading is said once, though several parts of a list stand under it.
        self.list.dedup();
        ImportErrors {
            list: self.list,
            unlisted: self.unlisted,
        }
    }
}

/// A fault about the whole file.
pub(super) fn whole(
    place: Place,
    fault: Fault,
    found: impl Into<String>,
    expected: impl Into<String>,
    remedy: impl Into<String>,
) -> ImportErrors {
    ImportError {
        fault,
        place,
        found: found.into(),
        expected: expected.into(),
        remedy: remedy.into(),
    }
    .into()
}

/// A text that cannot be read, in quotes, with the signs in it that nobody sees as their codes: else it would look like one that can.
pub(super) fn quoted_with_signs(text: &str) -> String {
    if !text.contains(steers) {
        return quoted(text);
    }
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        match steers(c) {
            true => shown.push_str(&format!("<U+{:04X}>", u32::from(c))),
            false => shown.push(c),
        }
    }
    quoted(&shown)
}

/// A cell's text in quotes, on one line and without the signs that steer text, cut where it grows long.
pub(super) fn quoted(text: &str) -> String {
    const MOST: usize = 60;
    // What lies beyond is not shown.
    let shown: String = text.trim().chars().take(8 * MOST).collect();
    let shown = seen(&shown);
    let shown = shown.trim();
    if shown.is_empty() {
        return "an empty cell".to_owned();
    }
    let mut out = String::from("\u{201c}");
    for (i, c) in shown.chars().enumerate() {
        if i == MOST {
            out.push('\u{2026}');
            break;
        }
        out.push(c);
    }
    out.push('\u{201d}');
    out
}
