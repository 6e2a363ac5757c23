//! A compressed workbook is looked over before any parser allocates for it.
//!
//! The directory of a zip file can lie about sizes, and a few kilobytes can inflate to terabytes or
//! claim a million columns. So every part is inflated once against the limit, and what a part says
//! about its own size is held against its bytes.

use super::ImportErrors;
use super::error::{Fault, whole};
use super::table::{MAX_CELLS, MAX_COLUMNS, MAX_ROWS};
use crate::survey::Place;
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::io::{Cursor, Read};
use zip::ZipArchive;

/// What a zip file turned out to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ZipKind {
    /// Office Open XML.
    Xlsx,
    /// OpenDocument.
    Ods,
}

/// The most parts a workbook may have.
const MAX_PARTS: usize = 20_000;

/// Looks a zip file over; `Err` when it is cut short, no workbook, or too large.
pub(super) fn check(
    bytes: &[u8],
    limit: u64,
    place: &dyn Fn() -> Place,
) -> Result<ZipKind, ImportErrors> {
    let damaged = |why: String| {
        whole(
            place(),
            Fault::Damaged,
            format!("a workbook that is cut short or damaged ({why})"),
            "a whole XLSX or ODS file",
            "Copy or export it again.",
        )
    };
    let mut archive = ZipArchive::new(Cursor::new(bytes))
        .map_err(|_| damaged("its table of contents cannot be read".to_owned()))?;
    if archive.len() > MAX_PARTS {
        return Err(too_large(
            place(),
            format!("{} parts", archive.len()),
            limit,
        ));
    }
    let has = |name: &str| archive.index_for_name(name).is_some();
    let kind = if has("content.xml") && has("mimetype") {
        ZipKind::Ods
    } else if has("xl/workbook.xml") || has("[Content_Types].xml") && !has("xl/workbook.bin") {
        ZipKind::Xlsx
    } else {
        return Err(whole(
            place(),
            Fault::NotATable,
            if has("xl/workbook.bin") {
                "a binary workbook (XLSB)"
            } else {
                "a zip file that is no workbook"
            },
            "CSV, TSV, XLSX, XLS or ODS",
            "Save it as XLSX or CSV.",
        ));
    };
    if kind == ZipKind::Ods && manifest_encrypts(&mut archive) {
        return Err(encrypted(place()));
    }
    let mut left = limit;
    for i in 0..archive.len() {
        let mut part = archive.by_index(i).map_err(|e| match e {
            zip::result::ZipError::UnsupportedArchive(why) if why.contains("assword") => {
                encrypted(place())
            }
            other => damaged(other.to_string()),
        })?;
        let name = part
            .name()
            .map_err(|_| damaged("a part of it cannot be read".to_owned()))?
            .to_lowercase();
        if part.size() > left {
            return Err(too_large(
                place(),
                format!("a part {name} of {} bytes", part.size()),
                limit,
            ));
        }
        let is_sheet = kind == ZipKind::Xlsx && name.starts_with("xl/worksheets/");
        let watched = name == "content.xml" || name.ends_with("sharedstrings.xml") || is_sheet;
        let mut kept = Vec::new();
        let size = inflate(&mut part, left, watched.then_some(&mut kept))
            .map_err(|e| damaged(format!("{name}: {e}")))?;
        if size > left {
            return Err(too_large(
                place(),
                format!("a part {name} without end"),
                limit,
            ));
        }
        left -= size;
        if name == "content.xml" {
            check_ods(&kept).map_err(|why| match why {
                Trouble::TooMany(found) => whole(
                    place(),
                    Fault::TooMany,
                    found,
                    format!("at most {MAX_ROWS} rows and {MAX_CELLS} cells"),
                    "Delete the rows and columns that hold nothing.",
                ),
                Trouble::Xml(why) => damaged(format!("{name}: {why}")),
            })?;
        } else if is_sheet {
            if let Some(beyond) = reference_beyond(&kept) {
                return Err(damaged(format!(
                    "{name}: it names a cell or row {}, and no sheet goes beyond row {LAST_ROW} and column XFD",
                    beyond.chars().take(MOST_TOLD).collect::<String>()
                )));
            }
        } else if watched {
            check_shared_strings(&kept).map_err(|why| damaged(format!("{name}: {why}")))?;
        }
    }
    Ok(kind)
}

/// Whether an OpenDocument file's list of parts says that they are encrypted.
fn manifest_encrypts(archive: &mut ZipArchive<Cursor<&[u8]>>) -> bool {
    const MOST: u64 = 1 << 20;
    let Ok(part) = archive.by_name("META-INF/manifest.xml") else {
        return false;
    };
    let mut text = Vec::new();
    part.take(MOST).read_to_end(&mut text).is_ok()
        && String::from_utf8_lossy(&text).contains("encryption-data")
}

fn too_large(place: Place, found: String, limit: u64) -> ImportErrors {
    whole(
        place,
        Fault::TooLarge,
        format!("{found}, more than the limit"),
        format!("a workbook that inflates to at most {limit} bytes"),
        "Export the sheet as CSV, or raise the limit if the file can be trusted.",
    )
}

pub(super) fn encrypted(place: Place) -> ImportErrors {
    whole(
        place,
        Fault::Encrypted,
        "a workbook behind a password",
        "an open workbook",
        "Save a copy without the password, or export the sheet as CSV.",
    )
}

/// Inflates a part; stops one byte past the limit. Gives the bytes seen.
fn inflate(
    part: &mut impl Read,
    limit: u64,
    mut keep: Option<&mut Vec<u8>>,
) -> std::io::Result<u64> {
    let mut buffer = vec![0u8; 1 << 16];
    let mut size = 0u64;
    loop {
        let n = part.read(&mut buffer)?;
        if n == 0 {
            return Ok(size);
        }
        size += n as u64;
        if size > limit {
            return Ok(size);
        }
        if let Some(keep) = keep.as_deref_mut() {
            keep.extend_from_slice(&buffer[..n]);
        }
    }
}

/// The count of strings that the part claims must fit into its bytes: each takes five at least.
fn check_shared_strings(bytes: &[u8]) -> Result<(), String> {
    let text = String::from_utf8_lossy(bytes);
    for (at, word) in text.match_indices("ount") {
        let digits: String = text[at + word.len()..]
            .chars()
            .take(40)
            .skip_while(|c| !c.is_ascii_digit())
            .take_while(char::is_ascii_digit)
            .collect();
        if digits.len() > 12 || digits.parse::<usize>().is_ok_and(|n| n > bytes.len()) {
            return Err(format!("it claims {digits} strings"));
        }
        // Only the first tag claims anything; text further on may hold the word.
        if at > 4096 {
            break;
        }
    }
    Ok(())
}

/// Rows of a sheet of XLSX (ISO/IEC 29500-1, 18.3.1.73).
const LAST_ROW: u32 = 1_048_576;
/// Letters of a reference that are told.
const MOST_TOLD: usize = 24;

/// The first reference in a sheet of XLSX, `B3`, `B3:C9` or the number of a row, that lies beyond the end of any sheet: the parser of values
/// counts such numbers without a bound. What is no reference it refuses itself.
fn reference_beyond(bytes: &[u8]) -> Option<String> {
    let mut reader = Reader::from_reader(bytes);
    reader.config_mut().expand_empty_elements = true;
    let mut buffer = Vec::new();
    loop {
        match reader.read_event_into(&mut buffer) {
            Ok(Event::Start(e)) => {
                let of = e.name().into_inner().rsplit(':').next();
                let places = matches!(of, Some("c" | "row" | "dimension" | "mergeCell" | "f"));
                let named = |key: &str| places && matches!(key, "r" | "ref");
                let beyond = e
                    .attributes()
                    .flatten()
                    .filter(|a| named(a.key.as_ref()))
                    .find(|a| a.value.split(':').any(is_beyond));
                if let Some(beyond) = beyond {
                    return Some(beyond.value.to_string());
                }
            }
            Ok(Event::Eof) | Err(_) => return None,
            Ok(_) => {}
        }
        buffer.clear();
    }
}

fn is_beyond(reference: &str) -> bool {
    let plain: String = reference.chars().filter(|c| *c != '$').collect();
    let row = plain.trim_start_matches(|c: char| c.is_alphabetic());
    let letters = plain.len() - row.len();
    let end = row.find(|c: char| !c.is_ascii_digit()).unwrap_or(row.len());
    let number = row[..end].trim_start_matches('0');
    // So many digits are no number that can be held.
    let many = number.len() > LAST_ROW.to_string().len();
    letters > 3 || many || number.parse().is_ok_and(|n: u32| n > LAST_ROW)
}

enum Trouble {
    TooMany(String),
    Xml(String),
}

impl From<quick_xml::Error> for Trouble {
    fn from(error: quick_xml::Error) -> Self {
        Self::Xml(error.to_string())
    }
}

/// Whether the sheets of an ODS file, with all their repeats written out, stay within the limits, and
/// the XML is whole.
fn check_ods(bytes: &[u8]) -> Result<(), Trouble> {
    let mut reader = Reader::from_reader(bytes);
    reader.config_mut().expand_empty_elements = true;
    let mut buffer = Vec::new();
    let mut depth = 0usize;
    let mut sheet = SheetSize::default();
    let mut in_cell = false;
    loop {
        match reader.read_event_into(&mut buffer)? {
            Event::Start(e) => {
                depth += 1;
                if depth > 256 {
                    return Err(Trouble::Xml("nested too deep".to_owned()));
                }
                match e.name().as_ref() {
                    "table:table" => sheet.start_sheet(),
                    "table:table-row" => sheet.start_row(repeats(&e, "table:number-rows-repeated")),
                    "table:table-cell" | "table:covered-table-cell" => {
                        in_cell = true;
                        sheet.start_cell(repeats(&e, "table:number-columns-repeated"));
                        if e.attributes().flatten().any(|a| {
                            matches!(a.key.as_ref(), "office:value-type" | "table:formula")
                        }) {
                            sheet.fill();
                        }
                    }
                    _ if in_cell => sheet.fill(),
                    _ => {}
                }
            }
            Event::End(e) => {
                depth = depth
                    .checked_sub(1)
                    .ok_or_else(|| Trouble::Xml("an end without a start".to_owned()))?;
                match e.name().as_ref() {
                    "table:table-cell" | "table:covered-table-cell" => in_cell = false,
                    "table:table-row" => sheet.end_row().map_err(Trouble::TooMany)?,
                    _ => {}
                }
            }
            Event::Eof if depth == 0 => return Ok(()),
            Event::Eof => return Err(Trouble::Xml("it ends in the middle".to_owned())),
            _ => {}
        }
        buffer.clear();
    }
}

fn repeats(e: &BytesStart<'_>, key: &str) -> usize {
    e.attributes()
        .flatten()
        .find(|a| a.key.as_ref() == key)
        .and_then(|a| a.value.trim().parse().ok())
        .unwrap_or(1)
}

/// How large a sheet grows when its repeats are written out.
#[derive(Default)]
struct SheetSize {
    /// Cells of all rows so far, as a parser holds them before it knows the sheet's extent.
    held: usize,
    rows: usize,
    widest: usize,
    row_repeats: usize,
    /// Columns of the row so far, and those up to its last filled cell.
    columns: usize,
    filled: usize,
    cell_repeats: usize,
    /// Rows seen since the last filled one.
    empty_rows: usize,
}

impl SheetSize {
    fn start_sheet(&mut self) {
        *self = Self {
            held: self.held,
            ..Self::default()
        };
    }

    fn start_row(&mut self, repeats: usize) {
        self.row_repeats = repeats.min(MAX_ROWS);
        self.columns = 0;
        self.filled = 0;
    }

    fn start_cell(&mut self, repeats: usize) {
        self.cell_repeats = repeats.min(MAX_COLUMNS);
        self.columns = (self.columns + self.cell_repeats).min(MAX_COLUMNS);
    }

    fn fill(&mut self) {
        self.filled = self.columns;
    }

    fn end_row(&mut self) -> Result<(), String> {
        if self.filled == 0 {
            self.empty_rows = self.empty_rows.saturating_add(self.row_repeats);
            return Ok(());
        }
        self.held = self.held.saturating_add(self.filled);
        self.widest = self.widest.max(self.filled);
        self.rows = self
            .rows
            .saturating_add(self.empty_rows)
            .saturating_add(self.row_repeats);
        self.empty_rows = 0;
        let cells = self.rows.saturating_mul(self.widest).max(self.held);
        if self.rows > MAX_ROWS || cells > MAX_CELLS {
            return Err(format!(
                "a sheet of {} rows by {} columns",
                self.rows, self.widest
            ));
        }
        Ok(())
    }
}
