//! XLSX, XLS and ODS to cells.

use super::dates::date_of_serial;
use super::error::{Fault, whole};
use super::signs::{self, Signs};
use super::table::{Kind, MAX_COLUMNS, Table};
use super::zip_guard::{self, ZipKind};
use super::{ImportErrors, ImportOptions, Source, xls_guard};
use crate::survey::{Place, SheetName};
use calamine::{Data, DataRef, ExcelDateTime, Ods, Range, Reader, SheetVisible, Xls, Xlsx};
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind, set_hook, take_hook};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};
use std::thread::{ThreadId, current};

/// Of several filled sheets, the one by this name is read where none is stated: the blank workbook that goes
/// with a field sheet names its grid so.
const FIELD_SHEET: &str = "Readings";

/// A workbook's format, its sheets, the one read and its cells.
pub(super) struct Workbook {
    pub format: &'static str,
    pub sheets: Vec<String>,
    pub sheet: String,
    pub table: Table,
}

/// Whether the bytes begin like a workbook.
pub(super) fn is_workbook(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04")
        || bytes.starts_with(b"PK\x05\x06")
        || bytes.starts_with(b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1")
}

/// Reads a workbook's sheet.
pub(super) fn read(source: &Source<'_>, options: &ImportOptions) -> Result<Workbook, ImportErrors> {
    let mut book = guarded(source, options, |kind| match kind {
        Some(ZipKind::Xlsx) => xlsx(source, options),
        Some(ZipKind::Ods) => ods(source, options),
        None => xls(source, options),
    })?;
    book.table.settle_commas();
    Ok(book)
}

/// Names of a workbook's sheets, in its order.
pub(super) fn sheets(
    source: &Source<'_>,
    options: &ImportOptions,
) -> Result<Vec<String>, ImportErrors> {
    let bytes = || Cursor::new(source.bytes);
    guarded(source, options, |kind| {
        let names = match kind {
            Some(ZipKind::Xlsx) => Xlsx::new(bytes()).map(|b| b.sheet_names()).ok(),
            Some(ZipKind::Ods) => Ods::new(bytes()).map(|b| b.sheet_names()).ok(),
            None => Xls::new(bytes()).map(|b| b.sheet_names()).ok(),
        };
        // What is wrong with a file that has none the reading itself tells, better.
        Ok(names.unwrap_or_else(|| vec![String::new()]))
    })
}

/// Looks a workbook over, then parses it.
fn guarded<T>(
    source: &Source<'_>,
    options: &ImportOptions,
    parse: impl Fn(Option<ZipKind>) -> Result<T, ImportErrors>,
) -> Result<T, ImportErrors> {
    let place = || Place::new(SheetName::new(source.name, None), 0, 0);
    let kind = if source.bytes.starts_with(b"PK") {
        Some(zip_guard::check(
            source.bytes,
            options.inflate_limit,
            &place,
        )?)
    } else {
        xls_guard::check(source.bytes, &place)?;
        None
    };
    // The parser is another's and meets arbitrary bytes: a slip in it must not end the program.
    quietly(|| catch_unwind(AssertUnwindSafe(|| parse(kind))))
        .unwrap_or_else(|_| Err(damaged(source, "its parts do not fit together".to_owned())))
}

/// Threads on which a panic is caught just now and told as a damaged file.
static CAUGHT: Mutex<Vec<ThreadId>> = Mutex::new(Vec::new());

fn caught() -> MutexGuard<'static, Vec<ThreadId>> {
    CAUGHT.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Runs what is caught, without the words that a panic prints first: they are for programmers. Other threads keep theirs.
fn quietly<T>(run: impl FnOnce() -> T) -> T {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let usual = take_hook();
        set_hook(Box::new(move |info| {
            let is_caught = caught().contains(&current().id());
            if !is_caught {
                usual(info);
            }
        }));
    });
    let own = current().id();
    caught().push(own);
    let out = run();
    let mut threads = caught();
    if let Some(at) = threads.iter().rposition(|id| *id == own) {
        threads.swap_remove(at);
    }
    out
}

fn damaged(source: &Source<'_>, why: String) -> ImportErrors {
    whole(
        Place::new(SheetName::new(source.name, None), 0, 0),
        Fault::Damaged,
        format!("a workbook that is cut short or damaged ({why})"),
        "a whole XLSX, XLS or ODS file",
        "Open it in a spreadsheet and save it again, or export the sheet as CSV.",
    )
}

fn xlsx(source: &Source<'_>, options: &ImportOptions) -> Result<Workbook, ImportErrors> {
    let mut book =
        Xlsx::new(Cursor::new(source.bytes)).map_err(|e| unreadable(source, &e.to_string()))?;
    let sheets = book.sheet_names();
    let hidden: Vec<String> = hidden_sheets(&book);
    let sheet = choose(source, options, &sheets, &hidden, |name| {
        book.worksheet_cells_reader(name).is_ok_and(|mut cells| {
            // A formatted sheet may begin with many empty cells.
            for _ in 0..100_000 {
                match cells.next_cell() {
                    Ok(Some(cell)) if *cell.get_value() == DataRef::Empty => {}
                    Ok(Some(_)) => return true,
                    _ => return false,
                }
            }
            true
        })
    })?;
    let mut filler = Filler::new(source, &sheet, signs::xlsx(source.bytes, &sheet));
    filler.table.hidden_sheet = hidden.contains(&sheet);
    let mut cells = book
        .worksheet_cells_reader(&sheet)
        .map_err(|e| unreadable(source, &e.to_string()))?;
    while let Some(cell) = cells
        .next_cell()
        .map_err(|e| unreadable(source, &e.to_string()))?
    {
        let value = match cell.get_value() {
            DataRef::SharedString(text) => Data::String((*text).to_owned()),
            DataRef::String(text) => Data::String(text.clone()),
            DataRef::Int(n) => Data::Int(*n),
            DataRef::Float(x) => Data::Float(*x),
            DataRef::Bool(b) => Data::Bool(*b),
            DataRef::DateTime(d) => Data::DateTime(*d),
            DataRef::DateTimeIso(text) => Data::DateTimeIso(text.clone()),
            DataRef::DurationIso(text) => Data::DurationIso(text.clone()),
            DataRef::Error(e) => Data::Error(e.clone()),
            _ => Data::Empty,
        };
        let (row, column) = cell.get_position();
        filler.put(row, column, &value)?;
    }
    Ok(Workbook {
        format: "XLSX",
        sheets,
        sheet,
        table: filler.table,
    })
}

fn ods(source: &Source<'_>, options: &ImportOptions) -> Result<Workbook, ImportErrors> {
    let book: Ods<_> = Ods::new(Cursor::new(source.bytes)).map_err(|e| {
        match signs::first_without_number(source.bytes) {
            Some((sheet, (row, column))) => whole(
                Place::new(SheetName::new(source.name, Some(sheet)), row, column),
                Fault::ErrorCell,
                "a number that is empty",
                "a number",
                "Open the file in a spreadsheet, so that it is worked out, and save it again.",
            ),
            None => unreadable(source, &e.to_string()),
        }
    })?;
    ranges(source, options, book, "ODS", |sheet, _| {
        signs::ods(source.bytes, sheet)
    })
}

fn xls(source: &Source<'_>, options: &ImportOptions) -> Result<Workbook, ImportErrors> {
    let book: Xls<_> =
        Xls::new(Cursor::new(source.bytes)).map_err(|e| unreadable(source, &e.to_string()))?;
    ranges(source, options, book, "XLS", |_, index| {
        signs::xls(source.bytes, index)
    })
}

fn ranges<'a, R>(
    source: &Source<'a>,
    options: &ImportOptions,
    mut book: R,
    format: &'static str,
    signs: impl Fn(&str, usize) -> Signs,
) -> Result<Workbook, ImportErrors>
where
    R: Reader<Cursor<&'a [u8]>>,
    R::Error: std::fmt::Display,
{
    let sheets = book.sheet_names();
    let hidden: Vec<String> = hidden_sheets(&book);
    let sheet = choose(source, options, &sheets, &hidden, |name| {
        book.worksheet_range(name)
            .is_ok_and(|range| range.used_cells().next().is_some())
    })?;
    let range: Range<Data> = book
        .worksheet_range(&sheet)
        .map_err(|e| unreadable(source, &e.to_string()))?;
    let index = sheets.iter().position(|s| *s == sheet).unwrap_or(0);
    let mut filler = Filler::new(source, &sheet, signs(&sheet, index));
    let (top, left) = range.start().unwrap_or_default();
    for (row, column, value) in range.cells() {
        filler.put(top + row as u32, left + column as u32, value)?;
    }
    filler.table.hidden_sheet = hidden.contains(&sheet);
    Ok(Workbook {
        format,
        sheets,
        sheet,
        table: filler.table,
    })
}

fn unreadable(source: &Source<'_>, why: &str) -> ImportErrors {
    if why.to_lowercase().contains("password") {
        return zip_guard::encrypted(Place::new(SheetName::new(source.name, None), 0, 0));
    }
    // What the reading library says of it is written for programmers.
    damaged(source, "a part of it cannot be read".to_owned())
}

/// The sheet asked for, or the only one that holds anything.
fn choose(
    source: &Source<'_>,
    options: &ImportOptions,
    sheets: &[String],
    hidden: &[String],
    mut filled: impl FnMut(&str) -> bool,
) -> Result<String, ImportErrors> {
    let place = || Place::new(SheetName::new(source.name, None), 0, 0);
    if let Some(wanted) = &options.sheet {
        return sheets
            .iter()
            .find(|s| *s == wanted)
            .or_else(|| {
                sheets
                    .iter()
                    .find(|s| s.trim().to_lowercase() == wanted.trim().to_lowercase())
            })
            .cloned()
            .ok_or_else(|| {
                whole(
                    place(),
                    Fault::Sheet,
                    format!("no sheet \u{201c}{wanted}\u{201d}"),
                    format!("one of: {}", sheets.join(", ")),
                    "",
                )
            });
    }
    let with_cells: Vec<&String> = sheets.iter().filter(|s| filled(s)).collect();
    match with_cells[..] {
        [one] => Ok(one.clone()),
        [] => Err(whole(
            place(),
            Fault::Empty,
            "a workbook without a filled cell",
            "a table of readings",
            "",
        )),
        // The field sheet's own workbook keeps set-up and extra points beside its readings.
        _ if with_cells.iter().any(|s| *s == FIELD_SHEET) => Ok(FIELD_SHEET.to_owned()),
        _ => Err(whole(
            place(),
            Fault::Sheet,
            format!("{} sheets that hold something", with_cells.len()),
            "one, or the name of the one to read",
            format!(
                "State --sheet with one of: {}.",
                with_cells
                    .iter()
                    .map(|s| if hidden.contains(s) {
                        format!("{s} (hidden)")
                    } else {
                        (*s).clone()
                    })
                    .collect::<Vec<_>>()
                    .join(", ")
            ),
        )),
    }
}

/// What stands for a formula that was never worked out.
pub(super) const NO_VALUE: &str = "a formula without a value";

/// Stands behind a workbook's number that its format shows with other figures or another sign.
pub(super) const SHOWN_OTHERWISE: &str = "(shown otherwise by its format)";

/// The sheets that are not shown.
fn hidden_sheets<'a, R: Reader<Cursor<&'a [u8]>>>(book: &R) -> Vec<String> {
    book.sheets_metadata()
        .iter()
        .filter(|s| s.visible != SheetVisible::Visible)
        .map(|s| s.name.clone())
        .collect()
}

/// Lays sparse cells into a table, row by row.
struct Filler {
    table: Table,
    /// Row begun last and columns filled in it.
    row: Option<u32>,
    columns: u32,
}

impl Filler {
    fn new(source: &Source<'_>, sheet: &str, signs: Signs) -> Self {
        let mut table = Table::new(SheetName::new(source.name, Some(sheet.to_owned())));
        table.signs = signs;
        Self {
            table,
            row: None,
            columns: 0,
        }
    }

    /// A cell at a row and column counted from 0.
    fn put(&mut self, row: u32, column: u32, value: &Data) -> Result<(), ImportErrors> {
        let signs = &self.table.signs;
        let (own_row, own_column) = (row.saturating_add(1), column.saturating_add(1));
        let unit = signs.unit(own_row, own_column);
        // Nobody sees what lies under merged cells.
        if signs.is_covered(own_row, own_column) {
            return Ok(());
        }
        let percent = signs.is_percent(own_row, own_column);
        let money = signs.is_money(own_row, own_column);
        let altered = signs.alters_numbers(own_row, own_column);
        let (text, kind) = match value {
            _ if let Some(error) = signs.shown_error(own_row, own_column) => {
                (error.to_owned(), Kind::Error)
            }
            Data::Int(n) if money => (format!("{n} (money)"), Kind::Text),
            Data::Float(x) if money => (format!("{} (money)", as_shown(*x)), Kind::Text),
            Data::Int(n) if altered => (format!("{n} {SHOWN_OTHERWISE}"), Kind::Text),
            Data::Float(x) if altered => {
                (format!("{} {SHOWN_OTHERWISE}", as_shown(*x)), Kind::Text)
            }
            Data::Int(n) if percent => (format!("{} %", n * 100), Kind::Text),
            Data::Float(x) if percent => (format!("{} %", as_shown(x * 100.0)), Kind::Text),
            Data::Empty if signs.lacks_value(own_row, own_column) => {
                (NO_VALUE.to_owned(), Kind::Error)
            }
            Data::Empty => return Ok(()),
            // The unit that the number format shows is as good as one that is typed.
            Data::Int(n) if let Some(unit) = unit => (format!("{n} {unit}"), Kind::Text),
            Data::Float(x) if let Some(unit) = unit => {
                (format!("{} {unit}", as_shown(*x)), Kind::Text)
            }
            Data::String(text) if text.trim().is_empty() => return Ok(()),
            Data::String(text) => (text.clone(), Kind::Text),
            Data::Int(n) => (n.to_string(), Kind::Number),
            Data::Float(x) => (as_shown(*x).to_string(), Kind::Number),
            Data::Bool(b) => (b.to_string().to_uppercase(), Kind::Text),
            Data::DateTime(date) => date_cell(date),
            Data::DateTimeIso(text) => {
                let date = text.split('T').next().unwrap_or(text);
                (date.to_owned(), Kind::Date)
            }
            Data::DurationIso(text) => (text.clone(), Kind::Text),
            Data::Error(error) => (error.to_string(), Kind::Error),
        };
        let number = row.saturating_add(1);
        let in_order = match self.row {
            Some(last) => number > last || (number == last && column >= self.columns),
            None => true,
        };
        if !in_order || column as usize >= MAX_COLUMNS {
            return Err(whole(
                self.table.place(number, column.saturating_add(1)),
                Fault::Damaged,
                "a cell out of its order",
                "cells row by row",
                "Open the workbook in a spreadsheet and save it again.",
            ));
        }
        if self.row != Some(number) {
            self.table.start_row(number)?;
            self.row = Some(number);
            self.columns = 0;
        }
        while self.columns < column {
            self.table.push("", Kind::Text)?;
            self.columns += 1;
        }
        self.table.push(&text, kind)?;
        self.columns += 1;
        Ok(())
    }
}

/// A workbook's number without the noise of its arithmetic: at most fifteen digits, as spreadsheets show it, and fourteen
/// where that ends a row of noughts or nines.
fn as_shown(x: f64) -> f64 {
    let length = |x: f64| x.to_string().len();
    // Nearly all numbers are short.
    if length(x) <= 14 {
        return x;
    }
    let to = |digits: usize| format!("{x:.digits$e}").parse().unwrap_or(x);
    let (fourteen, fifteen): (f64, f64) = (to(13), to(14));
    if length(fourteen) + 4 < length(x) {
        fourteen
    } else {
        fifteen
    }
}

/// A cell formatted as a date: year, month and day; a time or a duration as its number of days.
fn date_cell(date: &ExcelDateTime) -> (String, Kind) {
    let days = date.as_f64();
    let (year, month, day, ..) = date.to_ymd_hms_milli();
    let real = date.is_datetime() && days >= 1.0;
    if real && date_of_serial(days.floor().min(3.0e6) as u32).is_some() {
        (format!("{year:04}-{month:02}-{day:02}"), Kind::Date)
    } else {
        let minutes = (days * 24.0 * 60.0).round();
        let (hours, minutes) = ((minutes / 60.0).floor(), minutes % 60.0);
        (
            format!("{hours}:{minutes:02}, a time or a duration"),
            Kind::Text,
        )
    }
}
