//! What a table looks like on the sheet: the header of a list or of a matrix, and the row at which it ends.

use super::again::name_further;
use super::around::{
    is_dated, is_labelled, is_none_of_list, is_number, is_prose, is_words, looks_numeric, pairs,
};
use super::axis::{compass_distance, letter_count, name_part, number_part};
use super::cells::bracketed;
use super::dates::date_text;
use super::error::{Fault, Faults};
use super::headers::{Field, is_no_reading, is_note, is_summary, tidy, unit_or_scale};
use super::heading::{Heading, heading};
use super::numbered_note::is_numbered_note;
use super::pages::{is_date_line, is_page_line, title_beside_data};
use super::settings::setting;
use super::table::{Cell, Kind, Row, Table};

/// A list's header: a row that names x and y, or one of them and a reading, or a point and a reading.
pub(super) fn list_header(row: Row<'_>) -> Option<Vec<Heading>> {
    if runs_over_letters(row) {
        return None;
    }
    let mut headings: Vec<Heading> = row.cells().map(|c| heading(c.text)).collect();
    if is_survey_export(row) {
        let at = row.cells().position(|c| c.text.eq_ignore_ascii_case("p"));
        if let Some(at) = at {
            headings[at].field = Field::Point;
        }
    }
    name_further(&mut headings, row);
    let has = |wanted: fn(&Field) -> bool| headings.iter().any(|h| wanted(&h.field));
    let (x, y) = (has(|f| *f == Field::X), has(|f| *f == Field::Y));
    let reading = has(|f| matches!(f, Field::Reading(_)));
    let point = has(|f| *f == Field::Point);
    // `Name | Delgado | Level | 2` is the data of a job.
    if !x && !y && row.filled().any(|c| is_number(&c)) && pairs(row).is_some() {
        return None;
    }
    // `Mark | Depth (in)`: which way its numbers run is asked for at the heading.
    let begins = |c: Cell<'_>| c.text.starts_with(|c: char| c.is_alphabetic());
    let asked = row.filled().count() == 2
        && row.filled().all(begins)
        && has_both(
            &headings,
            |h| h.field == Field::Point,
            |h| h.field == Field::Unknown && h.unit.is_some(),
        );
    ((x && y) || ((x || y || point) && reading) || asked).then_some(headings)
}

fn has_both(
    headings: &[Heading],
    one: impl Fn(&Heading) -> bool,
    other: impl Fn(&Heading) -> bool,
) -> bool {
    headings.iter().any(one) && headings.iter().any(other)
}

/// Letters of neighbouring columns are no farther apart than this, columns left out included.
const LETTERS_APART: u32 = 3;

/// Whether the headings are those of a surveyor's export of points, `P,N,E,Z,D`: no letters of a matrix, though they lie near one another.
fn is_survey_export(row: Row<'_>) -> bool {
    let is = |c: &Cell<'_>, letter: &str| c.text.eq_ignore_ascii_case(letter);
    let all = |list: &[&str]| {
        list.iter()
            .all(|l| row.filled().filter(|c| is(c, l)).count() == 1)
    };
    let known = |c: Cell<'_>| ["P", "N", "E", "Z", "D", "C"].iter().any(|l| is(&c, l));
    all(&["P", "N", "E", "Z"]) && row.filled().all(known)
}

/// Whether the headings are the letters of a matrix that run as far as X and Y: two that nearly follow one another in
/// the alphabet, one of them no name of an axis.
pub(super) fn runs_over_letters(row: Row<'_>) -> bool {
    if is_survey_export(row) {
        return false;
    }
    let upper = |text: &str| match text.len() {
        // `id` is a word, `i` a letter.
        1 => text.to_uppercase(),
        _ => text.to_owned(),
    };
    let letters: Vec<(String, Option<u32>)> = row
        .cells()
        .map(|c| upper(c.text))
        .map(|text| (text.clone(), letter_count(&text)))
        .collect();
    letters.windows(2).any(|w| {
        let follows = w[0]
            .1
            .zip(w[1].1)
            .is_some_and(|(a, b)| a != b && a.abs_diff(b) <= LETTERS_APART);
        follows
            && w.iter()
                .any(|(text, _)| !matches!(text.as_str(), "X" | "Y" | "Z"))
    })
}

/// A row of units under a header: every filled cell is one.
pub(super) fn units_row(row: Row<'_>) -> bool {
    let mut any = false;
    for cell in row.filled() {
        if unit_or_scale(cell.text).is_none() {
            return false;
        }
        any = true;
    }
    any
}

/// A row heading or column heading of a matrix: a distance, a letter, a number, or a summary word.
pub(super) fn heading_like(text: &str) -> bool {
    (looks_numeric(text) && date_text(text).is_none())
        || is_summary(text)
        || name_part(text).is_some()
        || number_part(text).is_some()
        || compass_distance(text).is_some()
}

/// Headings that make a row a header though its first one is a word or a date: fewer may be a line of a title.
const HEADS_BEHIND_A_WORD: usize = 3;

/// The column of the row headings, where a row is the header of a matrix. Its first rows may be headings over nothing yet.
pub(super) fn matrix_header(table: &Table, at: usize) -> Option<usize> {
    let (corner, _) = headings_of_matrix(table, at)?;
    let read = |c: Cell<'_>| {
        let numeric = looks_numeric(c.text) || bracketed(c.text).is_some();
        c.kind != Kind::Text || numeric || is_no_reading(c.text)
    };
    // `BM | 100.00`, `HI | 101.20` above a table are words with a value each.
    const LOOKED_AT: usize = 4;
    let pair = |i: usize| {
        let row = table.row(i);
        let word = row.filled().next().is_some_and(|c| {
            c.text.starts_with(char::is_alphabetic) && unit_or_scale(c.text).is_none()
        });
        row.filled().count() == 2 && word && list_header(row).is_none()
    };
    let begins = |i: usize| {
        let row = table.row(i);
        let word = row.filled().next().is_some_and(|c| !looks_numeric(c.text));
        let wide = row.filled().count() > 2;
        list_header(row).is_some() || (wide && word && headings_of_matrix(table, i).is_some())
    };
    let below = (at + 1..table.len()).filter(|&i| !table.row(i).is_blank());
    let mut below = below.take(LOOKED_AT).skip_while(|&i| pair(i));
    if pair(at) && below.next().is_some_and(begins) {
        return None;
    }
    let beside = |c: &Cell<'_>| c.column as usize - 1 > corner;
    let mut rows = (at + 1..table.len()).map(|i| table.row(i));
    let first = rows.find(|r| !r.is_blank() && !is_heading_alone(*r, corner))?;
    let fits = heading_like(first.cell(corner).text);
    (fits && first.filled().filter(beside).any(read)).then_some(corner)
}

/// Whether a row holds its heading and nothing else.
pub(super) fn is_heading_alone(row: Row<'_>, corner: usize) -> bool {
    let alone = row.filled().all(|c| c.column as usize - 1 <= corner);
    alone && heading_like(row.cell(corner).text)
}

/// Whether a row is the header of a matrix in which nothing is filled in.
pub(super) fn is_blank_form(table: &Table, at: usize) -> bool {
    headings_of_matrix(table, at).is_some_and(|(corner, below)| {
        is_heading_alone(below, corner) && matrix_header(table, at).is_none()
    })
}

/// The column of the row headings of a matrix and the row below its header, where both begin as those of a matrix do.
pub(super) fn headings_of_matrix(table: &Table, at: usize) -> Option<(usize, Row<'_>)> {
    let row = table.row(at);
    // Totals head no row: those of a take-off stand below its last item.
    let sums = |r: Row<'_>| r.filled().next().is_some_and(|c| is_summary(c.text));
    let below = (at + 1..table.len())
        .map(|i| table.row(i))
        .find(|r| !r.is_blank() && !sums(*r))?;
    let (top, side) = (row.filled().next()?, below.filled().next()?);
    let at = |c: Cell<'_>| c.column as usize - 1;
    // Left of the corner cell may stand what the rows are distances from.
    let axis_title = side.column < top.column
        && is_labelled(below)
        && !heading_like(top.text)
        && heading_like(below.cell(at(top)).text);
    let corner = if axis_title {
        at(top)
    } else {
        at(top).min(at(side))
    };
    // A word among the headings is told at its own cell; a row of words is no header.
    let heads: Vec<bool> = row
        .filled()
        .filter(|c| c.column as usize - 1 > corner)
        .map(|c| heading_like(c.text))
        .collect();
    let like = heads.iter().filter(|&&h| h).count();
    let corner_cell = row.cell(corner);
    let corner_fits = corner_cell.is_blank()
        || (corner_cell.kind == Kind::Text
            && (!looks_numeric(corner_cell.text) || begins_with_parts(corner_cell.text)));
    let heads_fit = match heads.first() {
        Some(true) => 2 * like > heads.len(),
        _ => like >= HEADS_BEHIND_A_WORD && 2 * like > heads.len(),
    };
    let side = below.cell(corner).text;
    let below_fits = !side.is_empty() && heading_like(side);
    (corner_fits && heads_fit && below_fits).then_some((corner, below))
}

/// Whether a text begins with the parts that numbers count, `16ths`, `32nds / ft`, and with no number.
fn begins_with_parts(text: &str) -> bool {
    let first = text.split(|c: char| !c.is_alphanumeric()).next();
    first.is_some_and(|w| w.ends_with("ths") || w.ends_with("nds"))
}

/// One past the last column of a matrix: words behind a blank column stand beside the table.
pub(super) fn matrix_width(header: &Row<'_>, corner: usize) -> usize {
    let mut end = corner + 1;
    for i in corner + 1..header.len() {
        let cell = header.cell(i);
        if !cell.is_blank() && (i == end || heading_like(cell.text)) {
            end = i + 1;
        }
    }
    end
}

/// Whether a heading of a matrix stands over words for people.
pub(super) fn is_remarks(text: &str) -> bool {
    is_note(&tidy(&text.to_lowercase()))
}

/// One past the last column of readings: columns of remarks at the right end, and of sums among them, are none, nor is a note in the row of
/// the headings.
pub(super) fn width_without_remarks(header: &Row<'_>, corner: usize) -> usize {
    let end = matrix_width(header, corner);
    let text = |i: &usize| header.cell(*i).text;
    let remark = |i: &usize| is_remarks(text(i)) || is_numbered_note(text(i));
    let none = |i: &usize| remark(i) || is_summary(text(i)) || text(i).is_empty();
    let tail = (corner + 1..end).rev().take_while(none);
    let remarks = tail.filter(remark);
    remarks.min().unwrap_or(end)
}

/// Whether two rows say the same in the same columns.
pub(super) fn same_texts(a: Row<'_>, b: Row<'_>) -> bool {
    a.len() == b.len() && a.cells().zip(b.cells()).all(|(a, b)| a.text == b.text)
}

/// Lines between the title of a table and its headings.
const FEW_LINES: usize = 4;

/// A list ends at another header, or at a title behind a blank row. Its own headings right below a row are those of the
/// next page.
pub(super) fn list_end(table: &Table, start: usize, header: Option<Row<'_>>) -> usize {
    let mut last_number = if start == 0 {
        0
    } else {
        table.row(start - 1).number
    };
    let mut paged = false;
    let headings = header.and_then(list_header);
    let names_own = |h: &Heading| matches!(h.field, Field::SetUp | Field::Room);
    let named = headings.iter().flatten().any(names_own);
    for at in start..table.len() {
        let row = table.row(at);
        let gap = row.number > last_number + 1;
        if row.is_blank() {
            continue;
        }
        let Some(first) = row.filled().next() else {
            continue;
        };
        let none = || headings.as_ref().is_some_and(|h| is_none_of_list(row, h));
        let header_next = || {
            let next = (at + 1..table.len()).find(|&i| !table.row(i).is_blank());
            next.is_some_and(|i| list_header(table.row(i)).is_some())
        };
        // Between a title and its table stand a few lines at the most.
        let table_next = || {
            let below = (at + 1..table.len()).filter(|&i| !table.row(i).is_blank());
            let begins =
                |i| list_header(table.row(i)).is_some() || matrix_header(table, i).is_some();
            below.take(FEW_LINES).any(begins)
        };
        // Rows that name their own set-up or room need no lone line to say so.
        let lone = row.filled().count() == 1;
        let gap = gap && !(named && lone && !table_next());
        if gap && (is_dated(row) || (is_prose(first.text) && none())) {
            return at;
        }
        if gap && title_beside_data(row).is_some() {
            return at;
        }
        let wordy = first.kind == Kind::Text && first.text.starts_with(|c: char| c.is_alphabetic());
        // `(continued)` begins with no letter, and a date may.
        let wordy = wordy || is_page_line(row);
        if !gap && is_date_line(row) {
            paged = true;
            last_number = row.number;
            continue;
        }
        if wordy {
            let again = header.is_some_and(|h| (!gap || paged) && same_texts(h, row));
            paged = is_page_line(row);
            if list_header(row).is_some() && !again {
                return at;
            }
            if is_page_line(row) {
                last_number = row.number;
                continue;
            }
            let apart = || gap || rest_is_words(table, at);
            if !again && !is_summary(first.text) && none() && apart() {
                return at;
            }
            let alone = row.filled().count() == 1 && first.column == 1;
            if alone && !is_summary(first.text) && (gap || header_next()) {
                return at;
            }
            if setting(first.text).is_some_and(|(_, v)| v.is_some() || row.filled().count() == 2)
                && gap
            {
                return at;
            }
        }
        last_number = row.number;
    }
    table.len()
}

/// Whether nothing but words stands in a row and below it, as a signature at the foot of a form.
pub(super) fn rest_is_words(table: &Table, at: usize) -> bool {
    let mut rows = (at..table.len()).map(|i| table.row(i));
    // A date beside a signature is no reading; without a year it may be a fraction that became one.
    let dated = |c: &Cell<'_>| c.text.len() > 7 && date_text(c.text).is_some();
    is_words(table.row(at)) && rows.all(|r| r.filled().all(|c| !is_number(&c) || dated(&c)))
}

/// A matrix ends at a blank row, at another header, or at a row that is a lone word.
pub(super) fn matrix_end(table: &Table, header: usize, corner: usize) -> usize {
    let mut last_number = table.row(header).number;
    let mut last_side = "";
    for at in header + 1..table.len() {
        let row = table.row(at);
        if row.is_blank() {
            continue;
        }
        let gap = row.number > last_number + 1;
        let first = row.cell(corner);
        let starts_anew = matrix_header(table, at).is_some() || list_header(row).is_some();
        let follows = match last_side {
            "" => name_part(first.text).is_some(),
            side => letters_follow(side, first.text),
        };
        let wordy = !looks_numeric(first.text) || is_prose(first.text);
        let lone_word = row.filled().count() == 1 && wordy && !follows;
        let lone_word = lone_word || is_date_line(row);
        // Behind a blank row only a row that plainly goes on with the same table belongs to it.
        let next = looks_numeric(first.text) || letters_follow(last_side, first.text);
        let words = is_dated(row) || is_prose(first.text);
        // A number before words, as in `40.1 | mean`, is what they say.
        let mut beside = row.filled().filter(|c| c.column as usize - 1 > corner);
        let read = beside.any(|c| is_number(&c) || is_no_reading(c.text));
        let goes_on = next && read && !words;
        if (gap && (starts_anew || !goes_on)) || lone_word || rest_is_words(table, at) {
            return at;
        }
        last_number = row.number;
        last_side = first.text;
    }
    table.len()
}

/// Whether a heading's letters are the next, or nearly so, behind or before those of another.
pub(super) fn letters_follow(before: &str, text: &str) -> bool {
    let count = letter_count;
    let both = count(before).zip(count(text));
    both.is_some_and(|(a, b)| a != b && a.abs_diff(b) <= LETTERS_APART)
}

pub(super) fn add_units(
    table: &Table,
    headings: &mut [Heading],
    row: Row<'_>,
    faults: &mut Faults,
) {
    for (i, heading) in headings.iter_mut().enumerate() {
        if let Some((unit, scale)) = unit_or_scale(row.cell(i).text) {
            if let Some(told) = heading.unit.filter(|told| *told != unit) {
                faults.add(
                    Fault::MixedUnits,
                    table.place(row.number, i as u32 + 1),
                    format!("{unit} below a heading that says {told}"),
                    "one unit for a column",
                    "Mend the one that is wrong.",
                );
            }
            heading.unit = Some(unit);
            heading.scale = scale;
        }
    }
}

/// Beside a column of whole readings one that counts parts, `reading 16ths`, holds a part of them and is none of its own.
pub(super) fn set_parts_aside(headings: &mut [Heading]) {
    let read = |h: &Heading| matches!(h.field, Field::Reading(_));
    if headings.iter().any(|h| read(h) && h.scale.is_none()) {
        for heading in headings.iter_mut().filter(|h| read(h) && h.scale.is_some()) {
            *heading = Heading::plain(Field::Unknown, None);
        }
    }
}
