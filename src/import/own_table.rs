//! A file that holds one table of its own kind, an outline or sample lines: which sheet it stands on, and that all of it is
//! shown.

use super::error::{Fault, Faults, whole};
use super::table::Table;
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
