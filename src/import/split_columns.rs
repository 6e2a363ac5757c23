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
const PARTS: [&str; 19] = [
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
    "remainder",
    "rest",
    "zoll",
    "pouce",
    "pouces",
];

/// What a column behind one that counts looks like; `None` where it holds anything but numbers less than a whole of what stands
/// before them, or where that is no whole number: a reading with a fraction has no second one.
pub(super) fn part_of(
    table: &Table,
    block: &Block,
    (before, column): (usize, usize),
) -> Option<Part> {
    let rows = || {
        let rows = block.body.clone().map(|i| table.row(i));
        rows.filter(|r| !r.cell(before).is_blank())
    };
    let of = |r: &Row<'_>| r.cell(column).text.trim().to_owned();
    let filled: Vec<String> = rows().map(|r| of(&r)).filter(|t| !t.is_empty()).collect();
    // Whole, however many noughts stand behind its point.
    let whole = |text: &str| text.trim().parse::<f64>().is_ok_and(|n| n.fract() == 0.0);
    let behind_whole = rows()
        .filter(|r| !of(r).is_empty())
        .all(|r| whole(r.cell(before).text));
    let values: Option<Vec<f64>> = filled.iter().map(|t| value(t)).collect();
    let values = values.filter(|v| behind_whole && !v.is_empty())?;
    let most = values.iter().copied().fold(0.0, f64::max);
    let heading = block.header.map_or_else(String::new, |i| {
        table.row(i).cell(column).text.to_lowercase()
    });
    if names_a_part(&heading) && most < 16.0 {
        return Some(Part::Named);
    }
    if filled.len() >= 2 && most < 1.0 && filled.iter().any(|t| t.contains('/')) {
        return Some(Part::Fractions);
    }
    let all_whole = filled.iter().all(|t| whole(t));
    (2 * filled.len() >= rows().count() && filled.len() >= 2 && all_whole && most < 16.0)
        .then_some(Part::Whole)
}

/// The number that a cell is: whole, a fraction, or both; `None` for anything else.
fn value(text: &str) -> Option<f64> {
    let text = text.trim_end_matches('"').trim();
    if let Ok(number) = text.parse::<f64>() {
        return (number >= 0.0).then_some(number);
    }
    let (whole, fraction) = text.rsplit_once([' ', '-']).unwrap_or(("0", text));
    let (top, bottom) = fraction.split_once('/')?;
    let count = |t: &str| t.trim().parse::<u32>().ok();
    let (whole, top, bottom) = (
        count(whole)?,
        count(top)?,
        count(bottom).filter(|b| *b > 0)?,
    );
    Some(f64::from(whole) + f64::from(top) / f64::from(bottom))
}

/// Whether a heading is a unit, a word for a fraction, or says that it goes with what stands before: `inches`, `1/16`, `plus in`.
fn names_a_part(heading: &str) -> bool {
    let words: Vec<&str> = heading
        .split(|c: char| c.is_whitespace() || matches!(c, '(' | ')' | '[' | ']' | '_' | '.'))
        .filter(|w| !w.is_empty())
        .collect();
    let part = |w: &str| {
        let bare = w.trim_matches('/');
        PARTS.contains(&w) || PARTS.contains(&bare) || LengthUnit::from_word(w).is_some()
    };
    match words[..] {
        [only] => part(only) || matches!(only.trim_matches('/'), "16" | "8"),
        ["and" | "plus" | "r" | "rest" | "remaining" | "+", last] => part(last),
        _ => false,
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
