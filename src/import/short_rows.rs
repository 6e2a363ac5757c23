//! Rows of a text file that have fewer cells than the others: a comma, or a whole cell, may be lost in them.

use super::blocks::Block;
use super::error::quoted;
use super::list_places::Columns;
use super::table::{Row, Table};
use crate::survey::{Notice, Severity};

/// Says that a row of a text file has fewer cells than its headings and no reading, where nearly all others have them all: a comma may be
/// lost in it, `44,39 1/4`. Workbooks have no cell where nothing was written.
pub(super) fn short_row(
    table: &Table,
    block: &Block,
    header: Row<'_>,
    columns: Columns,
) -> Option<Notice> {
    /// No more than one row in so many is a slip; of files that leave empty cells at the ends of their rows more are short.
    const FEW: usize = 10;
    let reading = columns.reading?;
    if table.place(0, 0).sheet().is_some() {
        return None;
    }
    let rows = block.body.clone().map(|i| table.row(i));
    let rows: Vec<Row<'_>> = rows.filter(|r| r.filled().nth(1).is_some()).collect();
    let short = |r: &&Row<'_>| r.len() < header.len();
    if FEW * rows.iter().filter(short).count() > rows.len() {
        return None;
    }
    let row = rows.iter().find(|r| {
        short(r) && r.cell(reading).is_blank() && r.filled().all(|c| starts_as_number(c.text))
    })?;
    let last = row.filled().last()?;
    Some(Notice::new(
        "short-row",
        Severity::Warning,
        table.place(row.number, last.column).to_string(),
        format!(
            "The row has {} cells under {} headings, and no reading: it ends with {}. If a comma was lost in it, put it in; if nothing was read there, end the row with a comma.",
            row.len(),
            header.len(),
            quoted(last.text)
        ),
    ))
}

fn starts_as_number(text: &str) -> bool {
    text.trim_start_matches(['-', '+', '.'])
        .starts_with(|c: char| c.is_ascii_digit())
}

/// The same of a matrix `width` cells wide: rows one cell shorter than it, with none blank, may have lost one anywhere, and what stands behind it is
/// one column off. Where half of the rows are short, the file leaves empty cells at their ends.
pub(super) fn short_rows(table: &Table, rows: &[Row<'_>], width: usize) -> Option<Notice> {
    if table.place(0, 0).sheet().is_some() {
        return None;
    }
    let short = |r: &&Row<'_>| r.len() < width;
    let told: Vec<&Row<'_>> = (rows.iter().filter(short))
        .filter(|r| r.len() + 1 == width && r.cells().all(|c| !c.is_blank()))
        .collect();
    let first = told.first()?;
    if 2 * rows.iter().filter(short).count() >= rows.len() {
        return None;
    }
    let more = match told.len() {
        1 => String::new(),
        n => format!(" {} more rows are as short.", n - 1),
    };
    Some(Notice::new(
        "short-row",
        Severity::Warning,
        table.place(first.number, 0).to_string(),
        format!(
            "The row has {} cells where the headings have {width}. Its readings were taken from the left on and the last column as not read; if one was lost further left, those behind it stand one column off. Write x where nothing was read, or end the row with a comma.{more}",
            first.len()
        ),
    ))
}
