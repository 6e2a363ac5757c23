//! CSV, TSV and other separated text to cells.

use super::error::{Fault, Faults, quoted, whole};
use super::table::{Kind, MAX_COLUMNS, Table};
use super::{ImportErrors, ImportOptions, Source};
use crate::survey::{Place, SheetName};
use std::borrow::Cow;
use std::collections::HashMap;

/// How a text file was read.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TextForm {
    /// `UTF-8`, `UTF-16LE`, `windows-1252`.
    pub encoding: &'static str,
    /// Column separator; a blank for columns set apart by blanks.
    pub delimiter: u8,
}

/// Separators tried, the rarer in ordinary text first.
const DELIMITERS: [u8; 4] = [b'\t', b';', b'|', b','];

/// Rows looked at to find the separator.
const SAMPLE_ROWS: usize = 200;

/// Text to cells.
pub(super) fn read(
    source: &Source<'_>,
    options: &ImportOptions,
) -> Result<(Table, TextForm), ImportErrors> {
    let name = SheetName::new(source.name, None);
    let (text, encoding) = decode(source, &name)?;
    let (body, stated) = match separator_line(&text) {
        Some((delimiter, rest)) => (rest, Some(delimiter)),
        None => (text.as_ref(), None),
    };
    let first_row = if stated.is_some() { 2 } else { 1 };
    let delimiter = options
        .delimiter
        .or(stated)
        .unwrap_or_else(|| find_delimiter(body));
    let mut table = Table::with_room_for(name, body.len());
    if delimiter == b' ' {
        for (i, line) in body.lines().enumerate() {
            if !line.trim().is_empty() {
                table.start_row(row_number(first_row + i))?;
                for cell in line.split_whitespace() {
                    table.push(cell, Kind::Text)?;
                }
            }
        }
    } else {
        split(body, delimiter, first_row, &mut table)?;
    }
    table.by_commas = delimiter == b',';
    table.settle_commas();
    Ok((
        table,
        TextForm {
            encoding,
            delimiter,
        },
    ))
}

fn row_number(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

/// Fills the table, keeping the row numbers a spreadsheet would show: blank lines count, line breaks
/// inside quotes do not.
fn split(
    body: &str,
    delimiter: u8,
    first_row: usize,
    table: &mut Table,
) -> Result<(), ImportErrors> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(body.as_bytes());
    let bytes = body.as_bytes();
    let mut record = csv::StringRecord::new();
    let mut row = first_row;
    let mut columns = 0;
    loop {
        let more = reader.read_record(&mut record).map_err(|error| {
            whole(
                table.place(row_number(row), 0),
                Fault::NotATable,
                error.to_string(),
                "separated text",
                "",
            )
        })?;
        if !more {
            return Ok(());
        }
        let mut at = record.position().map_or(0, |p| p.byte() as usize);
        // The second half of a Windows line end belongs to the row before.
        if at > 0 && bytes.get(at - 1) == Some(&b'\r') && bytes.get(at) == Some(&b'\n') {
            at += 1;
        }
        while let Some(b'\r' | b'\n') = bytes.get(at) {
            at += if bytes[at..].starts_with(b"\r\n") {
                2
            } else {
                1
            };
            row += 1;
        }
        table.start_row(row_number(row))?;
        if record.len() > MAX_COLUMNS {
            return Err(whole(
                table.place(row_number(row), 0),
                Fault::TooMany,
                format!("{} columns", record.len()),
                format!("at most {MAX_COLUMNS}"),
                "Is this a table of readings?",
            ));
        }
        columns = columns.max(record.len());
        for (i, cell) in record.iter().enumerate() {
            let rows = swallowed(cell, delimiter, columns);
            if rows > 0 {
                return Err(whole(
                    table.place(row_number(row), i as u32 + 1),
                    Fault::Layout,
                    format!(
                        "a quotation mark that takes {rows} {} below into one cell",
                        if rows == 1 { "row" } else { "rows" }
                    ),
                    "quotation marks in pairs, each round one cell",
                    "Delete the mark; for \u{201c}the same\u{201d} write the words.",
                ));
            }
            table.push(cell, Kind::Text)?;
        }
        row += 1;
    }
}

/// How many rows of the table a cell has taken in between two quotation marks that are no pair: lines of it that are
/// parted into as many columns as a row has. A note of several lines is none.
fn swallowed(cell: &str, delimiter: u8, columns: usize) -> usize {
    let parts = |line: &str| line.bytes().filter(|b| *b == delimiter).count();
    cell.split(['\n', '\r'])
        .skip(1)
        .filter(|line| parts(line) >= 2 && parts(line) + 1 >= columns)
        .count()
}

/// Bytes to text: a byte-order mark decides; then zeros of UTF-16; then UTF-8; else Windows-1252.
fn decode<'a>(
    source: &Source<'a>,
    name: &SheetName,
) -> Result<(Cow<'a, str>, &'static str), ImportErrors> {
    let place = || Place::new(name.clone(), 0, 0);
    let bytes = source.bytes;
    let (encoding, start) = match encoding_rs::Encoding::for_bom(bytes) {
        Some((encoding, mark)) => (encoding, mark),
        None => (guess(bytes), 0),
    };
    let (text, _) = encoding.decode_without_bom_handling(&bytes[start..]);
    if text.trim().is_empty() {
        return Err(whole(
            place(),
            Fault::Empty,
            "an empty file",
            "a table of readings",
            "See docs/formats.md for the layouts.",
        ));
    }
    let sample: Vec<char> = text.chars().take(20_000).collect();
    let odd = sample
        .iter()
        .filter(|c| {
            (c.is_control() && !matches!(c, '\t' | '\r' | '\n' | '\u{c}')) || **c == '\u{fffd}'
        })
        .count();
    if odd * 200 > sample.len() {
        return Err(whole(
            place(),
            Fault::NotATable,
            "bytes that are no text",
            "CSV, TSV, XLSX, XLS or ODS",
            "Export the readings as CSV.",
        ));
    }
    let head: String = text.trim_start().chars().take(20).collect();
    let head = head.to_lowercase();
    if head.starts_with("<!doctype") || head.starts_with("<html") || head.starts_with("<?xml") {
        return Err(whole(
            place(),
            Fault::NotATable,
            "a web page or XML",
            "CSV, TSV, XLSX, XLS or ODS",
            "Open it in a spreadsheet and save it as XLSX or CSV.",
        ));
    }
    Ok((text, encoding.name()))
}

/// The encoding of bytes without a mark.
fn guess(bytes: &[u8]) -> &'static encoding_rs::Encoding {
    let sample = &bytes[..bytes.len().min(4096)];
    let zeros = |from: usize| {
        sample
            .iter()
            .skip(from)
            .step_by(2)
            .filter(|b| **b == 0)
            .count()
    };
    let pairs = sample.len() / 2;
    if pairs > 0 && zeros(1) * 2 > pairs && zeros(0) * 10 < pairs {
        encoding_rs::UTF_16LE
    } else if pairs > 0 && zeros(0) * 2 > pairs && zeros(1) * 10 < pairs {
        encoding_rs::UTF_16BE
    } else if std::str::from_utf8(bytes).is_ok() {
        encoding_rs::UTF_8
    } else {
        encoding_rs::WINDOWS_1252
    }
}

/// The line `sep=;` that spreadsheets write to name their separator, and the text after it.
fn separator_line(text: &str) -> Option<(u8, &str)> {
    let rest = text.strip_prefix("sep=")?;
    let delimiter = *rest.as_bytes().first()?;
    let rest = rest.get(1..)?;
    let rest = rest.strip_prefix('\r').unwrap_or(rest);
    Some((delimiter, rest.strip_prefix('\n')?))
}

/// The separator that makes at least two cells of most rows, and as many of the most rows; blanks when none does.
fn find_delimiter(text: &str) -> u8 {
    let lines: Vec<&str> = text
        .lines()
        .filter(|l| !l.trim().is_empty())
        .take(SAMPLE_ROWS)
        .collect();
    // Notes may hold another separator in most rows, but not as often in each, nor in the headings.
    let mut best: Option<(usize, u8)> = None;
    for delimiter in DELIMITERS {
        let mut alike: HashMap<usize, usize> = HashMap::new();
        for line in &lines {
            *alike
                .entry(cells_in(line.as_bytes(), delimiter))
                .or_default() += 1;
        }
        let split = lines.len() - alike.get(&1).copied().unwrap_or(0);
        if split * 10 < lines.len() * 6 || split == 0 {
            continue;
        }
        let several = alike.iter().filter(|(cells, _)| **cells > 1);
        let agree = several.map(|(_, rows)| *rows).max().unwrap_or(0);
        if best.is_none_or(|(most, _)| agree > most) {
            best = Some((agree, delimiter));
        }
    }
    if let Some((_, delimiter)) = best {
        return delimiter;
    }
    // `31 1/4` is one cell: blanks separate only where every piece is a plain number.
    let numbers = |line: &str| {
        let mut pieces = line.split_whitespace();
        pieces.clone().count() >= 3 && pieces.all(|p| p.parse::<f64>().is_ok())
    };
    let blank = lines.iter().filter(|l| numbers(l)).count();
    if blank * 10 >= lines.len() * 6 && blank > 0 {
        b' '
    } else {
        b','
    }
}

/// Refuses a file without a table; one whose cells are set apart by blanks is told so, since a blank stands within `31 1/4` as well.
pub(super) fn refuse_no_table(table: &Table, faults: &mut Faults) {
    let figures = |w: &str| w.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '.'));
    let by_blanks = |i: &usize| {
        let row = table.row(*i);
        let pieces: Vec<&str> = row.cell(0).text.split_whitespace().collect();
        row.len() == 1 && pieces.len() >= 3 && pieces.iter().all(|w| figures(w))
    };
    let rows = 0..table.len().min(SAMPLE_ROWS);
    let count = rows.clone().filter(by_blanks).count();
    let in_workbook = table.place(0, 0).sheet().is_some();
    let first = rows
        .clone()
        .find(by_blanks)
        .filter(|_| !in_workbook && 2 * count > rows.len());
    match first {
        Some(i) => {
            let cell = table.row(i).cell(0);
            faults.add(
                Fault::Layout,
                table.place(cell.row, 0),
                format!("{}, numbers set apart by blanks", quoted(cell.text)),
                "cells set apart by commas, tabs or semicolons",
                "A blank stands within a reading such as 31 1/4 as well: save the file with commas, tabs or semicolons between its cells, headings too.",
            );
        }
        None => faults.add(
            Fault::Layout,
            table.place(0, 0),
            "no table of readings",
            "a header row such as x_ft,y_ft,reading_in, or a first row and column of distances",
            "See docs/formats.md for both layouts.",
        ),
    }
}

/// How many cells a separator makes of a line, outside of those in quotation marks. A mark opens such a cell at its beginning only: behind
/// a figure it means inches.
fn cells_in(line: &[u8], delimiter: u8) -> usize {
    let mut cells = 1;
    let ends_cell = |at: usize| line.get(at).is_none_or(|b| DELIMITERS.contains(b));
    let (mut quoted, mut begins, mut at) = (false, true, 0);
    while let Some(&b) = line.get(at) {
        if quoted {
            match (b, line.get(at + 1)) {
                (b'"', Some(b'"')) => at += 1,
                (b'"', _) if ends_cell(at + 1) => quoted = false,
                _ => {}
            }
        } else if b == delimiter {
            cells += 1;
        } else if b == b'"' && begins {
            quoted = true;
        }
        begins = !quoted && (DELIMITERS.contains(&b) || (begins && b == b' '));
        at += 1;
    }
    cells
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn separators_in_quotation_marks_separate_nothing() {
        // ORACLE: hand.
        for (text, wanted) in [
            ("x,y,z,note\n0,0,40,\"door; left\"\n0,2,40,\"a; b\"\n", b','),
            (
                "x,y,z,note\n0,0,40,\"say \"\"a|b\"\"\"\n0,2,40,\"a|b\"\n",
                b',',
            ),
            ("x;y;z\n0,5;0;40\n0;2;40\n", b';'),
            ("x\ty\tz\n0\t0\t\"40, or so\"\n", b'\t'),
            ("0,0,40 1/4\"\n0,2,40 1/8\"\n", b','),
            ("\"x\";\"y\"\n\"0\";\"2\"\n", b';'),
            // Notes in most rows that hold another separator.
            (
                "x,y,z,note\n0,0,40,hi; check\n0,2,40,hi; check\n0,4,40,hi; check\n0,6,40,\n",
                b',',
            ),
            (
                "Kitchen, level 2\nx;y;z;note\n0,5;0,5;40,1;low, by door\n0,5;2,5;40,1;low\n",
                b';',
            ),
            // A mark that nothing closes hides what stands behind it in its own line only.
            ("x;y;z\n0;\"2;40\n0;4;40\n0;6;40\n", b';'),
        ] {
            assert_eq!(find_delimiter(text), wanted, "{text}");
        }
    }
}
