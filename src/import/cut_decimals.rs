//! Commas of a list that were taken for ends of columns and are none, decimals or thousands; and commas that are missing.

use super::blocks::Block;
use super::error::{Fault, Faults, quoted};
use super::headers::Field;
use super::heading::Heading;
use super::list_places::Columns;
use super::table::{Cell, Row, Table};
use crate::survey::{Notice, Severity};
use crate::units::LengthUnit;
use std::collections::BTreeSet;

/// Decimals as a program writes them: so many in each row. Fewer are codes, counts and set-ups as well.
const FEWEST_DECIMALS: usize = 3;
/// Whole millimetres are honest readings; only less than this many may be the thousands of some.
const MOST_THOUSANDS: f64 = 100.0;
/// Under a smaller number, what stands behind a reading is told as its possible part (`numbers-not-used`).
const LEAST_TOLD: f64 = 16.0;

/// The readings of a list that are whole numbers, with the bare digits right behind them.
struct Behind<'a> {
    /// Whole readings and what stands behind each; only of rows where both are so.
    cut: Vec<(Cell<'a>, Cell<'a>)>,
    /// Rows that hold a reading.
    rows: usize,
    /// Of the rows that are cut, those with more cells than there are headings.
    longer: usize,
}

fn digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

impl<'a> Behind<'a> {
    fn find(table: &'a Table, block: &Block, header: Row<'_>, reading: usize) -> Self {
        let last = |row: Row<'_>| row.filled().last().map_or(0, |c| c.column);
        let headed = last(header);
        let mut found = Self {
            cut: Vec::new(),
            rows: 0,
            longer: 0,
        };
        for row in block.body.clone().map(|i| table.row(i)) {
            let (whole, behind) = (row.cell(reading), row.cell(reading + 1));
            if whole.is_blank() {
                continue;
            }
            found.rows += 1;
            if digits(whole.text.trim_start_matches('-')) && digits(behind.text) {
                found.cut.push((whole, behind));
                found.longer += usize::from(row.len() > header.len() || last(row) > headed);
            }
        }
        found
    }

    /// Whether nearly every row is cut.
    fn nearly_all(&self) -> bool {
        self.rows >= 3 && 10 * self.cut.len() >= 9 * self.rows
    }

    fn distinct(&self) -> usize {
        let texts: BTreeSet<&str> = self.cut.iter().map(|c| c.1.text).collect();
        texts.len()
    }

    /// Whether the digits neither name the rows in their order nor say the same of nearly all, as a crew's number does.
    fn vary(&self) -> bool {
        let number = |c: &(Cell<'_>, Cell<'_>)| c.1.text.parse::<f64>().unwrap_or_default();
        let rises = self.cut.windows(2).all(|w| number(&w[0]) < number(&w[1]));
        self.distinct() >= 3 && !rises
    }

    /// As many digits in each row; `None` where they differ.
    fn length(&self) -> Option<usize> {
        let first = self.cut.first()?.1.text.len();
        self.cut
            .iter()
            .all(|c| c.1.text.len() == first)
            .then_some(first)
    }

    fn most(&self, of: impl Fn(&(Cell<'_>, Cell<'_>)) -> f64) -> f64 {
        self.cut.iter().map(of).fold(0.0, f64::max)
    }
}

/// Whether the readings of a list were cut at their commas, what stood behind these being taken for another column: refused where that
/// is likely, else warned of.
pub(super) fn readings_cut(
    (table, block): (&Table, &Block),
    header: Row<'_>,
    headings: &[Heading],
    columns: Columns,
    unit: Option<LengthUnit>,
    faults: &mut Faults,
) -> Result<Option<Notice>, ()> {
    let inner = |c: Cell<'_>| c.is_blank() && header.filled().any(|f| f.column > c.column);
    let Some(reading) = columns.reading.filter(|_| table.by_commas) else {
        return Ok(None);
    };
    // Below a gap between headings another table stands.
    let next = reading + 1;
    if header.cells().any(inner) || [columns.x, columns.y].contains(&Some(next)) {
        return Ok(None);
    }
    let behind = Behind::find(table, block, header, reading);
    let Some((whole, rest)) = behind.cut.first() else {
        return Ok(None);
    };
    let longer = 2 * behind.longer > behind.rows;
    let field = headings.get(next).map(|h| h.field);
    if longer || behind.are_decimals(field, unit) {
        let under = match header.cell(next) {
            c if c.is_blank() => String::new(),
            c => format!(" under {}", quoted(c.text)),
        };
        faults.add(
            Fault::Column,
            table.place(rest.row, rest.column),
            format!(
                "bare digits{under} right behind whole readings, {} behind {}, and so on below{}",
                quoted(rest.text),
                quoted(whole.text),
                if longer { ", with more cells than headings in most rows" } else { "" }
            ),
            "each reading in one cell, and a heading over every cell",
            format!(
                "Was {},{} meant, with a decimal comma or one of thousands? It was read as the end of a column: export the sheet with semicolons between the columns, or with points for decimals. If not, {}.",
                whole.text,
                rest.text,
                if longer { "write a heading over every column" } else { "move the column to the left of the readings" }
            ),
        );
        return Err(());
    }
    Ok(behind.warned(field, unit).then(|| {
        let (code, what) = match field {
            Some(Field::Note) => ("decimals-in-notes", "The notes are".to_owned()),
            _ => ("decimals-in-column", format!("Under {} stand", quoted(header.cell(next).text))),
        };
        Notice::new(
            code,
            Severity::Warning,
            table.place(rest.row, rest.column).to_string(),
            format!(
                "{what} bare digits right after whole readings: was {},{} meant where {} was read? Then the commas were read as ends of columns: export the sheet with semicolons between the columns, or with points for decimals.",
                whole.text, rest.text, whole.text
            ),
        )
    }))
}

impl Behind<'_> {
    /// Whether what stands behind the readings is more likely their decimals than anything else. Nobody reads a floor to a whole inch.
    fn are_decimals(&self, field: Option<Field>, unit: Option<LengthUnit>) -> bool {
        let Some(length) = self.length().filter(|_| self.nearly_all() && self.vary()) else {
            return false;
        };
        // Names that most marks share are none.
        let (own, marks) = (self.distinct(), self.cut.len());
        let as_decimals = match (field, length >= FEWEST_DECIMALS) {
            (Some(Field::Point), true) => 10 * own < 9 * marks,
            (Some(Field::Point), false) => 2 * own < marks,
            (_, long) => long,
        };
        unit != Some(LengthUnit::Millimetre) && as_decimals
    }

    /// Whether it may be their decimals, or the last of their thousands.
    fn warned(&self, field: Option<Field>, unit: Option<LengthUnit>) -> bool {
        if field == Some(Field::Note) {
            let short = self
                .cut
                .iter()
                .filter(|c| c.1.text.len() <= FEWEST_DECIMALS);
            return 2 * short.count() > self.rows;
        }
        let is_free = matches!(field, Some(Field::Unknown));
        let number = |c: &Cell<'_>| c.text.trim_start_matches('-').parse().unwrap_or(f64::MAX);
        if !is_free || !self.nearly_all() || !self.vary() {
            return false;
        }
        match unit {
            Some(LengthUnit::Millimetre) => {
                self.length() == Some(FEWEST_DECIMALS)
                    && self.most(|c| number(&c.0)) < MOST_THOUSANDS
            }
            _ => self.most(|c| number(&c.1)) >= LEAST_TOLD,
        }
    }
}

/// Whether decimal commas were taken apart as columns: most rows have more numbers than the header has headings. Told once.
pub(super) fn decimals_split(
    table: &Table,
    block: &Block,
    header: Row<'_>,
    faults: &mut Faults,
) -> bool {
    if !table.by_commas || header.cells().any(|c| c.is_blank()) {
        return false;
    }
    let rows = || {
        let rows = block.body.clone().map(|i| table.row(i));
        rows.filter(|r| !r.is_blank())
    };
    let split = |row: &Row<'_>| {
        // A comma at a row's end leaves a blank behind the last number; one between numbers sets two tables apart.
        let last = row.filled().last().map_or(0, |c| c.column);
        let number = |c: Cell<'_>| {
            c.text.parse::<f64>().is_ok() || (c.column > last && c.column as usize > header.len())
        };
        row.len() > header.len() && row.cells().all(number)
    };
    let Some(first) = rows().find(split) else {
        return false;
    };
    if 2 * rows().filter(split).count() <= rows().count() {
        return false;
    }
    faults.add(
        Fault::Column,
        table.place(first.number, 0),
        format!(
            "{} numbers under {} headings, and so on below",
            first.len(),
            header.len()
        ),
        "a number under each heading",
        "Were these decimal commas? They were read as ends of columns: export the sheet with semicolons between the columns, or with points for decimals.",
    );
    true
}
