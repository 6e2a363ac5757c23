//! Rows of a list that hold an average, a total or an extreme.

use super::headers::{is_sum, is_sum_in_remark, is_summary, is_total, may_be_sum};
use super::list_places::Columns;
use super::table::{Cell, Row};

/// Whether a cell is of the list's own row: under a heading, or without a blank cell between it and one that is. What stands
/// farther off is a box beside the list.
pub(super) fn belongs(header: Option<Row<'_>>, row: Row<'_>, cell: Cell<'_>) -> bool {
    let Some(header) = header else { return true };
    let headed = |i: usize| !header.cell(i).is_blank();
    let free = |i: usize| !headed(i) && row.cell(i).is_blank();
    let at = cell.column as usize - 1;
    let to_left = (0..=at).rev().find(|&i| headed(i) || free(i));
    let to_right = (at..header.len()).find(|&i| headed(i) || free(i));
    [to_left, to_right].into_iter().flatten().any(headed)
}

/// The word that makes a row one of averages: in the point, x or y column, or in the row's first cell.
pub(super) fn summary<'a>(
    (row, first): (Row<'a>, Option<Cell<'a>>),
    columns: Columns,
    x: Cell<'a>,
    y: Cell<'a>,
) -> Option<Cell<'a>> {
    let wordy = |c: &Cell<'_>| c.text.starts_with(|c: char| c.is_alphabetic());
    let point = columns.point.map(|i| row.cell(i));
    // A point may be called High or Low: with both coordinates it is a reading.
    let placed = !x.is_blank() && !y.is_blank() && !wordy(&x) && !wordy(&y);
    [point, Some(x), Some(y)]
        .into_iter()
        .flatten()
        .find(|c| wordy(c) && is_summary(c.text) && !placed)
        .or_else(|| first.filter(|c| wordy(c) && is_summary(c.text) && !placed))
        // How many readings there are: `n` names no point where nothing says where it lies.
        .or_else(|| {
            let count = |c: &Cell<'_>| matches!(c.text, "n" | "N" | "n =" | "N =" | "n=" | "N=");
            let blank = |i: Option<usize>| i.is_none_or(|i| row.cell(i).is_blank());
            let whole = |i: usize| row.cell(i).text.parse::<u32>().is_ok();
            let unplaced =
                blank(columns.x) && blank(columns.y) && columns.reading.is_some_and(whole);
            first.filter(|c| unplaced && count(c))
        })
        // Averages dragged across the distances too: the word stands where the row is named.
        .or_else(|| {
            let at = |c: &Cell<'_>| Some(c.column as usize - 1);
            let first = first.filter(|c| ![columns.room, columns.set_up].contains(&at(c)));
            // `max` may be a remark on the highest of them, where the remarks stand first.
            let noted = |c: &Cell<'_>| columns.notes().any(|i| Some(i) == at(c));
            let sum = |c: &Cell<'_>| match noted(c) {
                true => is_total(c.text),
                false => is_sum(c.text),
            };
            let mut named = [point, first].into_iter().flatten();
            named.find(sum)
        })
}

/// The word of an average or an extreme beside a whole reading: as the name of its point, or in a column that names neither the row
/// nor its room or set-up, a note more likely than not.
pub(super) fn summary_beside<'a>(
    header: Option<Row<'_>>,
    row: Row<'a>,
    columns: Columns,
) -> Option<Cell<'a>> {
    let names = [columns.room, columns.set_up];
    row.filled().find(|c| {
        let at = Some(c.column as usize - 1);
        let says = match at == columns.point {
            true => may_be_sum(c.text),
            false => is_sum_in_remark(c.text),
        };
        says && !names.contains(&at) && belongs(header, row, *c)
    })
}
