//! Rows that are no part of a table though numbers stand in them: the data of a job, a date, a take-off.

use super::axis::name_part;
use super::dates::date_text;
use super::headers::{Field, is_no_reading};
use super::heading::Heading;
use super::table::{Cell, Kind, Row};
use crate::units::LengthUnit;

/// Whether a text begins as a number does.
pub(super) fn looks_numeric(text: &str) -> bool {
    text.trim_start_matches(['-', '+', '\'', '\u{2212}'])
        .starts_with(|c: char| c.is_ascii_digit() || c == '.' || "\u{bc}\u{bd}\u{be}".contains(c))
}

/// Whether a cell holds a number, or begins as one does.
pub(super) fn is_number(cell: &Cell<'_>) -> bool {
    cell.kind == Kind::Number || looks_numeric(cell.text)
}

/// Whether a text is words though it begins with a number: `1420 Canal St`, `2nd floor`, and not `40 1/8 inches` or `5 May 2026`.
pub(super) fn is_prose(text: &str) -> bool {
    let words = text.split(|c: char| !c.is_alphanumeric() && c != '.');
    let long = |w: &str| w.chars().filter(|c| c.is_alphabetic()).count() >= 3;
    let mut long = words.filter(|w| long(w)).peekable();
    long.peek().is_some()
        && date_text(text).is_none()
        && long.all(|w| {
            LengthUnit::from_word(w).is_none() && !w.starts_with(|c: char| c.is_ascii_digit())
        })
}

fn is_wordy(cell: &Cell<'_>) -> bool {
    cell.kind == Kind::Text
        && cell
            .text
            .starts_with(|c: char| c.is_alphabetic() || c == '#')
}

/// Whether a row begins with a word that is no heading of a matrix, as `A` or `AB12` would be.
pub(super) fn is_labelled(row: Row<'_>) -> bool {
    let first = row.filled().next();
    first.is_some_and(|c| is_wordy(&c) && name_part(c.text).is_none())
}

/// The labels of a row each with what stands behind it, as in `Date | 5/12/2026 | Time | 9:40`; `None` for a row with a number
/// behind none.
pub(super) fn pairs<'a>(row: Row<'a>) -> Option<Vec<(Cell<'a>, Option<Cell<'a>>)>> {
    let mut out = Vec::new();
    let mut filled = row.filled().peekable();
    while let Some(label) = filled.next() {
        if !is_wordy(&label) {
            return None;
        }
        // A number is what the word before it says, wherever it stands; a word only right behind it.
        let value = filled.next_if(|c| !is_wordy(c) || c.column == label.column + 1);
        out.push((label, value));
    }
    // `RH` reads like a heading of a matrix; among words it is a label.
    let word = |(label, _): &(Cell<'_>, _)| name_part(label.text).is_none();
    out.iter().any(word).then_some(out)
}

/// Whether a row holds dates and times, a few of them, and nothing else but who read and for which job behind a date: `5/12/2026 | JR | 4411`.
pub(super) fn is_dated(row: Row<'_>) -> bool {
    const FEW: usize = 3;
    let few = row.filled().count() <= FEW;
    let when = |c: &Cell<'_>| {
        let (hours, minutes) = c.text.split_once(':').unwrap_or_default();
        let two = |t: &str| (1..=2).contains(&t.len()) && t.bytes().all(|b| b.is_ascii_digit());
        let time = two(hours) && two(&minutes.chars().take(2).collect::<String>());
        // Not a fraction that became a date, as `8-Mar`: these bring no year.
        let dated = date_text(c.text).is_some() && c.text.len() > 7;
        time || (dated && c.text.split(['/', '.', '-', ' ']).count() > 2)
    };
    let rest = || row.filled().filter(|c| !when(c));
    let of_job = rest().all(|c| is_wordy(&c) || c.text.bytes().all(|b| b.is_ascii_digit()))
        && rest().filter(is_wordy).count() == 1;
    let begins = row.filled().next().is_some_and(|c| when(&c));
    few && begins && (rest().next().is_none() || of_job)
}

/// The number that a text begins with, its fraction left away.
fn whole(text: &str) -> Option<f64> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.');
    text[..end.unwrap_or(text.len())].parse().ok()
}

/// Whether the cells of a row could be readings of a matrix above it: numbers under most of its headings, none of them far from
/// those in its rows.
pub(super) fn lines_up(row: Row<'_>, columns: std::ops::Range<usize>, above: &[Row<'_>]) -> bool {
    let numbers = |row: Row<'_>| -> Vec<f64> {
        let cells = columns.clone().map(|i| row.cell(i));
        cells.filter_map(|c| whole(c.text)).collect()
    };
    let held = numbers(row);
    let (low, high) = above
        .iter()
        .flat_map(|r| numbers(*r))
        .fold((f64::INFINITY, 0.0), |(l, h): (f64, f64), n| {
            (l.min(n), h.max(n))
        });
    let alike = |n: &f64| (low / 2.0..=2.0 * high).contains(n);
    held.len() >= 3 && 2 * held.len() >= columns.len() && held.iter().all(alike)
}

/// Whether words stand in a row of a list where its place and its reading should: it is none of the list's.
pub(super) fn is_none_of_list(row: Row<'_>, headings: &[Heading]) -> bool {
    let cell = |wanted: fn(&Field) -> bool| {
        let at = headings.iter().position(|h| wanted(&h.field))?;
        Some(row.cell(at))
    };
    let wordy = |c: &Cell<'_>| {
        let words = !is_number(c) || is_prose(c.text);
        !c.is_blank() && words && !is_no_reading(c.text)
    };
    let first = row.filled().next();
    let begins =
        is_labelled(row) || pairs(row).is_some() || first.is_some_and(|c| is_prose(c.text));
    let (x, y) = (cell(|f| *f == Field::X), cell(|f| *f == Field::Y));
    let reading = cell(|f| matches!(f, Field::Reading(_)));
    let lacks = |c: &Option<Cell<'_>>| c.is_some_and(|c| wordy(&c));
    // A height alone beside a word, as `door |  | 40 1/2`, lacks its place and is told.
    let blank = |c: &Option<Cell<'_>>| c.is_none_or(|c| c.is_blank());
    let height = reading.is_some_and(|c| is_number(&c)) && (blank(&x) || blank(&y));
    let placed = x.is_some() || y.is_some();
    let lacking = lacks(&x) || lacks(&y) || (!placed && lacks(&reading));
    begins && lacking && !(placed && height)
}

/// Whether a row holds two words or more, and no number or word for no reading.
pub(super) fn is_words(row: Row<'_>) -> bool {
    let none = |c: &Cell<'_>| !is_number(c) && !is_no_reading(c.text);
    is_labelled(row) && row.filled().count() >= 2 && row.filled().all(|c| none(&c))
}
