//! The headings of a matrix once more at its other ends, as on a printed grid.

use super::corner::corner as stated_by;
use super::error::{Fault, Faults, quoted};
use super::form::same_texts;
use super::table::{Cell, Row, Table};
use crate::units::{LengthUnit, read_length};

/// Whether two headings of rows say the same, `0` and `0'`.
pub(super) fn are_same(a: Cell<'_>, b: Cell<'_>, unit: Option<LengthUnit>) -> bool {
    let metres = |c: Cell<'_>| {
        let read = read_length(c.text, Some(unit.unwrap_or(LengthUnit::Foot)), c.comma);
        read.ok().map(|w| w.length.m())
    };
    let near = |(a, b): (f64, f64)| (a - b).abs() < 1e-6;
    !a.is_blank() && (a.text == b.text || metres(a).zip(metres(b)).is_some_and(near))
}

/// Whether a row is that of the headings: in all its cells, or in all but the corner, as below a grid.
pub(super) fn is_row(header: Row<'_>, row: Row<'_>, corner: usize) -> bool {
    let beside = |row: Row<'_>| {
        row.filled()
            .filter(|c| c.column as usize - 1 > corner)
            .count()
    };
    let same =
        (corner + 1..header.len().max(row.len())).all(|i| header.cell(i).text == row.cell(i).text);
    let before = (0..corner).all(|i| row.cell(i).is_blank());
    let below = row.cell(corner).is_blank() && same && before && beside(header) >= 2;
    same_texts(header, row) || below
}

/// One past the last column of readings where the last one holds the headings of the rows once more, under the corner's words or others that are
/// no heading.
pub(super) fn without_column(
    (header, rows): (Row<'_>, &[Row<'_>]),
    (corner, width): (usize, usize),
    unit: Option<LengthUnit>,
) -> usize {
    let last = width - 1;
    let head = header.cell(last);
    let sides = || rows.iter().filter(|r| !r.cell(corner).is_blank());
    let told = stated_by(head.text);
    let row = matches!(head.text.to_lowercase().as_str(), "" | "row" | "rows" | "y");
    let again = last > corner + 2
        // A lone unit may head figures of another kind.
        && ((told.plan.is_some() && told.reading.is_some())
            || row
            || head.text == header.cell(corner).text)
        && sides().count() >= 2
        && sides().all(|r| are_same(r.cell(last), r.cell(corner), unit));
    if again { last } else { width }
}

/// Whether a column of cells holds lengths that run one way, as headings of rows do; `None` where one is no length.
pub(super) fn run_one_way<'a>(cells: impl Iterator<Item = Cell<'a>>) -> Option<bool> {
    let metres = |c: Cell<'_>| {
        let read = read_length(c.text, Some(LengthUnit::Inch), c.comma);
        read.ok().map(|w| w.length.m())
    };
    let at: Option<Vec<f64>> = cells.map(metres).collect();
    at.map(|at| {
        let up = at.windows(2).all(|w| w[0] < w[1]);
        at.len() >= 3 && (up || at.windows(2).all(|w| w[0] > w[1]))
    })
}

/// Refuses a matrix whose rows are headed at their right end and begin with readings: those would be taken for distances.
pub(super) fn refuse_at_right(
    table: &Table,
    (header, rows): (Row<'_>, &[Row<'_>]),
    (corner, width): (usize, usize),
    faults: &mut Faults,
) -> bool {
    let headed = |column: usize| run_one_way(rows.iter().map(|r| r.cell(column)));
    let Some(last) = rows.first().and_then(|r| r.len().checked_sub(1)) else {
        return false;
    };
    let even = rows.iter().all(|r| r.len() == last + 1);
    let free = last == width && header.cell(width).is_blank();
    let at_end = (free || last + 1 == width) && last > corner;
    if headed(corner) != Some(false) || headed(last) != Some(true) || !even || !at_end {
        return false;
    }
    tell_at_right(table, rows[0].cell(last), faults);
    true
}

/// Says that headings of rows stand at their right.
pub(super) fn tell_at_right(table: &Table, cell: Cell<'_>, faults: &mut Faults) {
    faults.add(
        Fault::Layout,
        table.place(cell.row, cell.column),
        format!(
            "{} and the like at the right end of each row, and no distances at its left",
            quoted(cell.text)
        ),
        "the distance of each row in the first column, before its readings",
        "Move the last column before the first, under the corner. The other columns stay in their order.",
    );
}
