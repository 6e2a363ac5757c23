//! The blank workbook that belongs to a field sheet.

use super::field::FieldGrid;
use super::words::field as w;
use super::{Cell, Head, Sheet, Workbook, words};

/// The same grid as a workbook whose cells are text, so that a fraction stays a fraction. Read back by
/// `import` as a matrix: distances in the first row and column, the far wall on top.
pub fn field_workbook(head: &Head, grid: &FieldGrid, reading_unit: &str) -> Workbook {
    let pen = head.pen();
    let distance = |m: f64| match head.habit {
        crate::units::Habit::Us => pen.number(m / crate::units::FOOT_M, 4),
        crate::units::Habit::Metric => pen.number(m, 4),
    };
    // A trailing run of zeros only makes a heading hard to read.
    let short = |m: f64| {
        let text = distance(m);
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    };
    let unit = match head.habit {
        crate::units::Habit::Us => "ft",
        crate::units::Habit::Metric => "m",
    };
    let region = grid.room.region();
    let mut columns = vec![(w::corner(unit, reading_unit), 22.0)];
    columns.extend(grid.columns_m.iter().map(|&m| (short(m), 9.0)));
    let rows = (0..grid.rows_m.len())
        .rev()
        .map(|r| {
            let mut cells = vec![Cell::text(short(grid.rows_m[r]))];
            cells.extend((0..grid.columns_m.len()).map(|c| {
                if grid.is_floor(&region, c, r) {
                    Cell::Blank
                } else {
                    Cell::text(w::NO_READING)
                }
            }));
            cells
        })
        .collect();
    let line = |label: &str, value: &str| vec![Cell::text(label), Cell::text(value)];
    let mut notes: Vec<Vec<Cell>> = vec![line(w::JOB_BLANKS[0], &head.title)];
    notes.extend(
        w::JOB_BLANKS[1..]
            .iter()
            .chain(&w::INSTRUMENT_BLANKS)
            .chain(&w::SET_UP_BLANKS)
            .map(|l| vec![Cell::text(*l), Cell::Blank]),
    );
    Workbook {
        title: head.title.clone(),
        sheets: vec![
            Sheet {
                name: w::READINGS_TAB.to_owned(),
                lines: Vec::new(),
                columns,
                rows,
                frozen_columns: 1,
                text_cells: true,
            },
            Sheet {
                name: w::NOTES_TAB.to_owned(),
                lines: vec![w::workbook_line(if head.title.is_empty() {
                    w::TITLE
                } else {
                    &head.title
                })],
                columns: vec![
                    (words::submittal::ITEM.to_owned(), 48.0),
                    (String::new(), 48.0),
                ],
                rows: notes,
                frozen_columns: 0,
                text_cells: true,
            },
        ],
    }
}
