//! Distances and readings of a list that stand in two columns: cut apart at decimal commas, or written so.

use super::blocks::Block;
use super::error::{Fault, Faults};
use super::table::{Cell, Row, Table};
use crate::survey::{Notice, Severity};
use crate::units::LengthUnit;

/// How a column looks that may hold a part of what stands before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// Numbers under a unit or a word for a fraction: `inches`, `sixteenths`, `1/16`.
    Named,
    /// Fractions less than one, and nothing else.
    Fractions,
    /// Whole numbers less than sixteen behind whole numbers: likely, but as likely something else.
    Whole,
}

/// Words that head the smaller part of a length.
const PARTS: [&str; 14] = [
    "fraction",
    "fractions",
    "frac",
    "fract",
    "sixteenth",
    "sixteenths",
    "16th",
    "16ths",
    "eighth",
    "eighths",
    "8th",
    "8ths",
    "1/16",
    "1/8",
];

/// What a column, right after one that counts, looks like; `None` where it holds anything but numbers, or too few of them.
pub(super) fn part_of(
    table: &Table,
    block: &Block,
    (before, column): (usize, usize),
) -> Option<Part> {
    let rows = || {
        let rows = block.body.clone().map(|i| table.row(i));
        rows.filter(|r| !r.cell(before).is_blank())
    };
    let filled = || {
        rows()
            .map(|r| r.cell(column).text.trim())
            .filter(|t| !t.is_empty())
    };
    let numbers = |text: &str| {
        text.starts_with(|c: char| c.is_ascii_digit())
            && text
                .chars()
                .all(|c| c.is_ascii_digit() || matches!(c, ' ' | '/' | '.' | '"' | '-'))
    };
    if 2 * filled().count() < rows().count() || filled().count() < 2 || !filled().all(numbers) {
        return None;
    }
    let heading = block.header.map_or_else(String::new, |i| {
        let text = table.row(i).cell(column).text.to_lowercase();
        text.trim_matches(|c: char| {
            c.is_whitespace() || matches!(c, '(' | ')' | '[' | ']' | '/' | '.' | '_')
        })
        .to_owned()
    });
    if PARTS.contains(&heading.as_str())
        || heading == "16"
        || heading == "8"
        || LengthUnit::from_word(&heading).is_some()
    {
        return Some(Part::Named);
    }
    let fraction = |text: &str| {
        let parts = text.trim_end_matches('"').split_once('/');
        let whole = |t: &str| t.trim().parse::<u32>().ok();
        parts
            .and_then(|(top, bottom)| whole(top).zip(whole(bottom)))
            .is_some_and(|(top, bottom)| top < bottom)
    };
    let none = |text: &str| text == "0";
    if filled().all(|t| fraction(t) || none(t)) && filled().any(fraction) {
        return Some(Part::Fractions);
    }
    let whole = |text: &str| text.parse::<u32>().ok();
    let behind_whole = rows().all(|r| whole(r.cell(before).text.trim()).is_some());
    (behind_whole && filled().all(|t| whole(t).is_some_and(|n| n < 16))).then_some(Part::Whole)
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
        // A comma at a row's end leaves a blank behind the last number.
        let number = |c: Cell<'_>| {
            c.text.parse::<f64>().is_ok() || (c.is_blank() && c.column as usize > header.len())
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

/// Says that notes may be the decimals of readings, cut off at a comma: in most rows a few digits and nothing else, right
/// after a whole number.
pub(super) fn decimals_in_notes(
    table: &Table,
    block: &Block,
    (reading, note): (Option<usize>, Option<usize>),
) -> Option<Notice> {
    let (reading, note) = (reading?, note?);
    if !table.by_commas || note != reading + 1 {
        return None;
    }
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let rows = || {
        let rows = block.body.clone().map(|i| table.row(i));
        rows.filter(|r| !r.cell(reading).is_blank())
    };
    let cut = |r: &Row<'_>| {
        let note = r.cell(note).text;
        digits(r.cell(reading).text) && digits(note) && note.len() <= 3
    };
    let first = rows().find(cut)?;
    if 2 * rows().filter(cut).count() <= rows().count() {
        return None;
    }
    let (whole, decimals) = (first.cell(reading).text, first.cell(note).text);
    Some(Notice::new(
        "decimals-in-notes",
        Severity::Warning,
        table
            .place(first.number, first.cell(note).column)
            .to_string(),
        format!(
            "The notes are bare digits right after whole readings: was {whole},{decimals} meant where {whole} was read? Then the commas were read as ends of columns: export the sheet with semicolons between the columns, or with points for decimals."
        ),
    ))
}
