//! A file that holds one table of its own kind, an outline or sample lines: which sheet it stands on, and that all of it is
//! shown.

use super::around::looks_numeric;
use super::error::{Fault, Faults, quoted, whole};
use super::headers::{Field, split_unit};
use super::heading::{Unread, heading, refuse_bracket};
use super::origins::{Origin, origin_or_hint};
use super::table::{Cell, Table};
use super::{ImportErrors, ImportOptions, Source, open, workbook};
use crate::survey::{Place, SheetName};

/// The table that `holds` what is looked for. A workbook may have further sheets that do not.
pub(super) fn open_holding(
    source: &Source<'_>,
    options: &ImportOptions,
    what: &str,
    holds: impl Fn(&Table) -> bool,
) -> Result<Table, ImportErrors> {
    if !workbook::is_workbook(source.bytes) || options.sheet.is_some() {
        return open(source, options).map(|(table, _)| table);
    }
    let names = workbook::sheets(source, options)?;
    if let [_] = names[..] {
        return open(source, options).map(|(table, _)| table);
    }
    let table = |name: &String| {
        let options = ImportOptions {
            sheet: Some(name.clone()),
            ..options.clone()
        };
        open(source, &options).ok().map(|(table, _)| table)
    };
    let mut found: Vec<(&String, Table)> = names
        .iter()
        .filter_map(|name| Some((name, table(name).filter(&holds)?)))
        .collect();
    match found.len() {
        1 => Ok(found.remove(0).1),
        n => {
            let held = match n {
                0 => format!("{} sheets, none with the columns of {what}", names.len()),
                _ => {
                    let all: Vec<&str> = found.iter().map(|(name, _)| name.as_str()).collect();
                    format!(
                        "the columns of {what} on several sheets: {}",
                        all.join(", ")
                    )
                }
            };
            Err(whole(
                Place::new(SheetName::new(source.name, None), 0, 0),
                Fault::Sheet,
                held,
                format!("one sheet with {what}"),
                "Give the one to read as a file of its own, or save it as CSV. See docs/formats.md.",
            ))
        }
    }
}

/// Adds a fault for the first cell that is hidden and the first that is struck through, of the columns that count (from 0) and
/// the rows from `start` on: nobody who looks at the sheet knows that it counts.
pub(super) fn refuse_unseen(table: &Table, start: usize, columns: &[usize], faults: &mut Faults) {
    let cells = || {
        (start..table.len())
            .map(|i| table.row(i))
            .filter(|row| !row.is_blank())
            .flat_map(|row| columns.iter().map(move |&c| row.cell(c)))
            .filter(|cell| !cell.is_blank())
    };
    let signs = &table.signs;
    if let Some(cell) = cells().find(|c| signs.is_hidden(c.row, c.column)) {
        faults.add(
            Fault::Layout,
            table.place(cell.row, cell.column),
            "a cell in a hidden row or column",
            "rows and columns that are shown",
            "Show it if it counts, or delete it.",
        );
    }
    if let Some(cell) = cells().find(|c| signs.is_struck(c.row, c.column)) {
        faults.add(
            Fault::Layout,
            table.place(cell.row, cell.column),
            "a cell that is struck through",
            "cells that count",
            "Delete the row if it does not count, or take the line through it away.",
        );
    }
}

/// Headings of columns that hold words for people.
pub(super) const REMARKS: [&str; 6] = ["note", "notes", "remark", "remarks", "comment", "comments"];

/// Refuses a column with cells that nothing here uses, but for those `passed` by their headings: a door's under-cut under a heading of
/// its own, or a second column of gaps, would be lost.
pub(super) fn refuse_idle(
    table: &Table,
    header: usize,
    (known, passed, expected): (&[usize], &[&str], &str),
    faults: &mut Faults,
) {
    let counts = |_: usize, text: &str| !passed.contains(&split_unit(text).0.as_str());
    refuse_idle_of(table, header, (known, expected), &counts, faults);
}

/// The same of columns that `counts` names by their number, from 0, and their headings.
pub(super) fn refuse_idle_of(
    table: &Table,
    header: usize,
    (known, expected): (&[usize], &str),
    counts: &dyn Fn(usize, &str) -> bool,
    faults: &mut Faults,
) {
    let width = (header..table.len()).map(|r| table.row(r).len()).max();
    for i in 0..width.unwrap_or(0) {
        let cell = table.row(header).cell(i);
        // Words beside the table, under no heading, say nothing of it; numbers there may be anything.
        let beyond = i >= table.row(header).len();
        let counted = |c: Cell<'_>| !c.text.trim().is_empty() && (!beyond || looks_numeric(c.text));
        let filled = (header + 1..table.len()).any(|r| counted(table.row(r).cell(i)));
        if !filled || known.contains(&i) || !counts(i, cell.text) {
            continue;
        }
        faults.add(
            Fault::Column,
            table.place(cell.row, cell.column),
            if cell.text.trim().is_empty() {
                "a column without a heading".to_owned()
            } else {
                format!("a column headed {}", quoted(cell.text))
            },
            expected,
            "Rename it, head it note if it is for people only, or take it out.",
        );
    }
}

/// Refuses words above the header, and headings, that count from the right or the far wall, or may do so: nothing here turns places
/// over.
pub(super) fn refuse_other_origin(table: &Table, header: usize, faults: &mut Faults) {
    let words = |text: &str| match origin_or_hint(text) {
        None => false,
        Some(Origin::Said { x, y }) => x == Some(true) || y == Some(true),
        Some(Origin::Unclear | Origin::Tangled) => true,
    };
    // `y (wherever from the left, ft)` is headed y and is not known.
    let turned = |text: &str| {
        let (words, found) = (split_unit(text).0, heading(text));
        found.turned || (matches!(words.as_str(), "x" | "y") && found.field == Field::Unknown)
    };
    let above = (0..header).map(|i| (table.row(i), false));
    for (row, heads) in above.chain([(table.row(header), true)]) {
        for cell in row.filled() {
            if heads && heading(cell.text).unread == Some(Unread::MayTurn) {
                refuse_bracket(table.place(cell.row, cell.column), cell.text, faults);
                continue;
            }
            let told = if heads {
                turned(cell.text)
            } else {
                words(cell.text)
            };
            if !told {
                continue;
            }
            faults.add(
                Fault::Setting,
                table.place(cell.row, cell.column),
                format!("{} in a file whose places are not turned over", quoted(cell.text)),
                "x to the right from the left wall and y up the plan from the near wall",
                "Write the places so: from the right wall, x is the room's width less the distance; from the far wall, y is its depth less the distance. Then take the words out.",
            );
        }
    }
}
