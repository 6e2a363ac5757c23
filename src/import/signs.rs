//! What a workbook shows of its cells beside their values: hidden, struck through, merged, a unit in the number
//! format, a formula that was never worked out.
//!
//! The parser of values passes over all of these. Files are looked over beforehand (`zip_guard`, `xls_guard`), so
//! what does not parse here is only left untold.

use super::table::MAX_COLUMNS;
use super::xls_guard;
use crate::units::LengthUnit;
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::collections::{HashMap, HashSet};
use std::io::{Cursor, Read};
use std::ops::RangeInclusive;
use zip::ZipArchive;

/// Row and column, from 1.
type Spot = (u32, u32);

/// What one sheet shows.
#[derive(Debug, Clone, Default)]
pub(super) struct Signs {
    hidden_rows: Vec<RangeInclusive<u32>>,
    hidden_columns: Vec<RangeInclusive<u32>>,
    struck: HashSet<Spot>,
    merged: Vec<(Spot, Spot)>,
    unvalued: HashSet<Spot>,
    units: HashMap<Spot, LengthUnit>,
}

/// What a cell's style shows.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Style {
    struck: bool,
    unit: Option<LengthUnit>,
}

impl Signs {
    /// Whether a cell's row or column is hidden.
    pub(super) fn is_hidden(&self, row: u32, column: u32) -> bool {
        let within = |list: &[RangeInclusive<u32>], at: u32| list.iter().any(|r| r.contains(&at));
        within(&self.hidden_rows, row) || within(&self.hidden_columns, column)
    }

    /// Whether a cell is struck through.
    pub(super) fn is_struck(&self, row: u32, column: u32) -> bool {
        self.struck.contains(&(row, column))
    }

    /// The last cell of the merged cells that begin here.
    pub(super) fn merged_to(&self, row: u32, column: u32) -> Option<Spot> {
        self.merged
            .iter()
            .find(|(first, _)| *first == (row, column))
            .map(|(_, last)| *last)
    }

    /// Whether a formula stands there that was never worked out.
    pub(super) fn lacks_value(&self, row: u32, column: u32) -> bool {
        self.unvalued.contains(&(row, column))
    }

    /// The unit that a cell's number format writes behind the number.
    pub(super) fn unit(&self, row: u32, column: u32) -> Option<LengthUnit> {
        self.units.get(&(row, column)).copied()
    }

    fn styled(&mut self, spot: Spot, style: Style) {
        if style.struck {
            self.struck.insert(spot);
        }
        if let Some(unit) = style.unit {
            self.units.insert(spot, unit);
        }
    }

    fn merge(&mut self, first: Spot, last: Spot) {
        if last > first {
            self.merged.push((first, last));
        }
    }
}

/// The unit among the literal words of a number format: `0.0" mm"`, `0.00\ "in"`.
fn unit_of_format(code: &str) -> Option<LengthUnit> {
    let mut words = String::new();
    let mut chars = code.chars();
    while let Some(c) = chars.next() {
        match c {
            ';' => break,
            '"' => words.extend(chars.by_ref().take_while(|&c| c != '"')),
            '\\' => words.extend(chars.next()),
            // The width of a character, or a character to fill with.
            '_' | '*' => {
                chars.next();
            }
            '[' => {
                let inner: String = chars.by_ref().take_while(|&c| c != ']').collect();
                if let Some(currency) = inner.strip_prefix('$') {
                    words.extend(currency.chars().take_while(|&c| c != '-'));
                }
            }
            _ => {}
        }
    }
    let words = words.trim();
    (!words.is_empty())
        .then(|| LengthUnit::from_word(words))
        .flatten()
}

/// An element's name without its prefix.
fn local<'a>(e: &'a BytesStart<'_>) -> &'a str {
    let name = e.name().into_inner();
    name.rsplit(':').next().unwrap_or(name)
}

/// An attribute by its name without a prefix.
fn attribute(e: &BytesStart<'_>, key: &str) -> Option<String> {
    e.attributes()
        .flatten()
        .find(|a| a.key.as_ref().rsplit(':').next() == Some(key))
        .map(|a| a.value.to_string())
}

fn number(e: &BytesStart<'_>, key: &str) -> Option<u32> {
    attribute(e, key)?.trim().parse().ok()
}

fn is_on(e: &BytesStart<'_>, key: &str) -> bool {
    attribute(e, key).is_some_and(|v| matches!(v.trim(), "1" | "true"))
}

/// Every start, text and end of a part, until it ends or does not parse.
fn walk(xml: &[u8], mut see: impl FnMut(&Event<'_>)) {
    let mut reader = Reader::from_reader(xml);
    reader.config_mut().expand_empty_elements = true;
    let mut buffer = Vec::new();
    while let Ok(event) = reader.read_event_into(&mut buffer) {
        if event == Event::Eof {
            return;
        }
        see(&event);
        buffer.clear();
    }
}

fn part(archive: &mut ZipArchive<Cursor<&[u8]>>, name: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    archive
        .by_name(name)
        .ok()?
        .read_to_end(&mut bytes)
        .ok()
        .map(|_| bytes)
}

/// Signs of a sheet of an XLSX file.
pub(super) fn xlsx(bytes: &[u8], sheet: &str) -> Signs {
    let Ok(mut archive) = ZipArchive::new(Cursor::new(bytes)) else {
        return Signs::default();
    };
    let styles = part(&mut archive, "xl/styles.xml").map_or_else(Vec::new, |xml| xlsx_styles(&xml));
    xlsx_part(&mut archive, sheet)
        .and_then(|name| part(&mut archive, &name))
        .map_or_else(Signs::default, |xml| xlsx_sheet(&xml, &styles))
}

/// Name of the part that holds a sheet.
fn xlsx_part(archive: &mut ZipArchive<Cursor<&[u8]>>, sheet: &str) -> Option<String> {
    let mut id = None;
    walk(&part(archive, "xl/workbook.xml")?, |event| {
        if let Event::Start(e) = event
            && local(e) == "sheet"
            && id.is_none()
            && attribute(e, "name").is_some_and(|n| same_name(&n, sheet))
        {
            id = attribute(e, "id");
        }
    });
    let id = id?;
    let mut target = None;
    walk(&part(archive, "xl/_rels/workbook.xml.rels")?, |event| {
        if let Event::Start(e) = event
            && local(e) == "Relationship"
            && attribute(e, "Id").as_deref() == Some(&id)
        {
            target = attribute(e, "Target");
        }
    });
    let target = target?;
    Some(match target.strip_prefix('/') {
        Some(whole) => whole.to_owned(),
        None => format!("xl/{target}"),
    })
}

/// Whether an attribute as written, with its entities, names the sheet.
fn same_name(written: &str, sheet: &str) -> bool {
    written == sheet
        || quick_xml::escape::unescape(written).is_ok_and(|plain| plain.as_ref() == sheet)
}

/// The styles of cells, by index.
fn xlsx_styles(xml: &[u8]) -> Vec<Style> {
    let mut formats: HashMap<u32, Option<LengthUnit>> = HashMap::new();
    let (mut fonts, mut styles): (Vec<bool>, Vec<Style>) = (Vec::new(), Vec::new());
    let (mut in_fonts, mut in_cells) = (false, false);
    walk(xml, |event| match event {
        Event::Start(e) => match local(e) {
            "numFmt" => {
                if let (Some(id), Some(code)) = (number(e, "numFmtId"), attribute(e, "formatCode"))
                {
                    let plain = quick_xml::escape::unescape(&code).map(|c| c.into_owned());
                    formats.insert(id, unit_of_format(&plain.unwrap_or(code)));
                }
            }
            "fonts" => in_fonts = true,
            "font" if in_fonts => fonts.push(false),
            "strike" if in_fonts => {
                if let Some(last) = fonts.last_mut() {
                    *last = attribute(e, "val").is_none() || is_on(e, "val");
                }
            }
            "cellXfs" => in_cells = true,
            "xf" if in_cells => styles.push(Style {
                struck: number(e, "fontId")
                    .and_then(|i| fonts.get(i as usize).copied())
                    .unwrap_or(false),
                unit: number(e, "numFmtId").and_then(|i| formats.get(&i).copied().flatten()),
            }),
            _ => {}
        },
        Event::End(e) => match e.name().into_inner().rsplit(':').next() {
            Some("fonts") => in_fonts = false,
            Some("cellXfs") => in_cells = false,
            _ => {}
        },
        _ => {}
    });
    styles
}

/// `B3` as row and column.
fn spot_of(text: &str) -> Option<Spot> {
    let split = text.find(|c: char| c.is_ascii_digit())?;
    let (letters, digits) = text.split_at(split);
    let column = letters.bytes().try_fold(0u32, |sum, b| {
        let b = b.to_ascii_uppercase();
        b.is_ascii_uppercase()
            .then(|| sum.checked_mul(26)?.checked_add(u32::from(b - b'A') + 1))
            .flatten()
    })?;
    (column > 0).then_some((digits.parse().ok()?, column))
}

fn xlsx_sheet(xml: &[u8], styles: &[Style]) -> Signs {
    let mut signs = Signs::default();
    let (mut row, mut column) = (0u32, 0u32);
    let (mut has_formula, mut has_value) = (false, false);
    walk(xml, |event| match event {
        Event::Start(e) => match local(e) {
            "col" if is_on(e, "hidden") => {
                if let (Some(first), Some(last)) = (number(e, "min"), number(e, "max")) {
                    signs.hidden_columns.push(first..=last);
                }
            }
            "row" => {
                row = number(e, "r").unwrap_or(row + 1);
                column = 0;
                if is_on(e, "hidden") {
                    signs.hidden_rows.push(row..=row);
                }
            }
            "c" => {
                let spot = attribute(e, "r").and_then(|r| spot_of(&r));
                (row, column) = spot.unwrap_or((row, column + 1));
                (has_formula, has_value) = (false, false);
                let style = number(e, "s").and_then(|i| styles.get(i as usize));
                signs.styled((row, column), style.copied().unwrap_or_default());
            }
            "f" => has_formula = true,
            "v" | "is" => has_value = true,
            "mergeCell" => {
                if let Some((first, last)) = attribute(e, "ref")
                    .as_deref()
                    .and_then(|r| r.split_once(':'))
                    && let (Some(first), Some(last)) = (spot_of(first), spot_of(last))
                {
                    signs.merge(first, last);
                }
            }
            _ => {}
        },
        Event::End(e)
            if e.name().into_inner().rsplit(':').next() == Some("c")
                && has_formula
                && !has_value =>
        {
            signs.unvalued.insert((row, column));
        }
        _ => {}
    });
    signs
}

/// Signs of a sheet of an ODS file.
pub(super) fn ods(bytes: &[u8], sheet: &str) -> Signs {
    ZipArchive::new(Cursor::new(bytes))
        .ok()
        .and_then(|mut archive| part(&mut archive, "content.xml"))
        .map_or_else(Signs::default, |xml| ods_sheet(&xml, sheet))
}

/// Where one is in an ODS file.
#[derive(Default)]
struct OdsWalk {
    signs: Signs,
    /// Units by data style, styles of cells by name.
    units: HashMap<String, LengthUnit>,
    styles: HashMap<String, Style>,
    data_style: Option<String>,
    own_style: Option<String>,
    inside: bool,
    row: u32,
    row_repeats: u32,
    column: u32,
    columns: u32,
    /// Styles of whole columns, with the last column of each.
    column_styles: Vec<(u32, Style)>,
}

/// Rows that are told of one by one where a row is repeated.
const MOST_REPEATED: u32 = 10_000;

fn ods_sheet(xml: &[u8], sheet: &str) -> Signs {
    let mut at = OdsWalk::default();
    walk(xml, |event| match event {
        Event::Start(e) => at.start(e, sheet),
        Event::Text(text) => {
            if let Some(name) = &at.data_style
                && let Some(unit) = LengthUnit::from_word(text.as_ref())
            {
                at.units.insert(name.clone(), unit);
            }
        }
        Event::End(e) => match e.name().into_inner() {
            "table:table" => at.inside = false,
            "table:table-row" if at.inside => at.row += at.row_repeats - 1,
            "number:number-style" | "number:fraction-style" => at.data_style = None,
            "style:style" => at.own_style = None,
            _ => {}
        },
        _ => {}
    });
    at.signs
}

impl OdsWalk {
    fn start(&mut self, e: &BytesStart<'_>, sheet: &str) {
        match e.name().into_inner() {
            "number:number-style" | "number:fraction-style" => {
                self.data_style = attribute(e, "name");
            }
            "style:style" => {
                self.own_style = attribute(e, "name");
                if let Some(name) = self.own_style.clone() {
                    let unit =
                        attribute(e, "data-style-name").and_then(|d| self.units.get(&d).copied());
                    self.styles.insert(
                        name,
                        Style {
                            struck: false,
                            unit,
                        },
                    );
                }
            }
            "style:text-properties" => {
                let through = attribute(e, "text-line-through-style")
                    .or_else(|| attribute(e, "text-line-through-type"));
                if let (Some(name), Some(way)) = (&self.own_style, through)
                    && way != "none"
                    && let Some(style) = self.styles.get_mut(name)
                {
                    style.struck = true;
                }
            }
            "table:table" => {
                self.inside = attribute(e, "name").is_some_and(|n| same_name(&n, sheet));
                (self.row, self.columns) = (0, 0);
            }
            "table:table-column" if self.inside => {
                let first = self.columns + 1;
                self.columns += repeats(e, "number-columns-repeated").min(MAX_COLUMNS as u32);
                if is_away(e) {
                    self.signs.hidden_columns.push(first..=self.columns);
                }
                let style = self.style(e, "default-cell-style-name");
                self.column_styles
                    .push((self.columns, style.unwrap_or_default()));
            }
            "table:table-row" if self.inside => {
                self.row += 1;
                self.row_repeats = repeats(e, "number-rows-repeated");
                self.column = 0;
                if is_away(e) {
                    let last = self.row.saturating_add(self.row_repeats - 1);
                    self.signs.hidden_rows.push(self.row..=last);
                }
            }
            "table:table-cell" | "table:covered-table-cell" if self.inside => self.cell(e),
            _ => {}
        }
    }

    fn cell(&mut self, e: &BytesStart<'_>) {
        let first = self.column + 1;
        let count = repeats(e, "number-columns-repeated").min(MAX_COLUMNS as u32);
        self.column += count;
        let has_value = attribute(e, "value-type").is_some();
        let has_formula = attribute(e, "formula").is_some();
        if !has_value && !has_formula {
            return;
        }
        let (down, across) = (
            number(e, "number-rows-spanned").unwrap_or(1),
            number(e, "number-columns-spanned").unwrap_or(1),
        );
        self.signs.merge(
            (self.row, first),
            (self.row + down.max(1) - 1, first + across.max(1) - 1),
        );
        let own = self.style(e, "style-name");
        for row in self.row..self.row.saturating_add(self.row_repeats.min(MOST_REPEATED)) {
            for column in first..first + count {
                let of_column = || {
                    self.column_styles
                        .iter()
                        .find(|(last, _)| column <= *last)
                        .map(|(_, s)| *s)
                };
                let style = own.or_else(of_column).unwrap_or_default();
                self.signs.styled((row, column), style);
                if has_formula && !has_value {
                    self.signs.unvalued.insert((row, column));
                }
            }
        }
    }

    fn style(&self, e: &BytesStart<'_>, key: &str) -> Option<Style> {
        self.styles.get(&attribute(e, key)?).copied()
    }
}

fn repeats(e: &BytesStart<'_>, key: &str) -> u32 {
    number(e, key).unwrap_or(1).max(1)
}

/// Whether a row or column is not shown.
fn is_away(e: &BytesStart<'_>) -> bool {
    attribute(e, "visibility").is_some_and(|v| matches!(v.as_str(), "collapse" | "filter"))
}

/// Signs of a sheet of an XLS file, by the sheet's place in the workbook.
pub(super) fn xls(bytes: &[u8], sheet: usize) -> Signs {
    let mut book = XlsBook::default();
    let Some(stream) = xls_guard::workbook_stream(bytes) else {
        return Signs::default();
    };
    xls_guard::each_record(&stream, 0, |kind, data| book.see(kind, data));
    let Some(&start) = book.sheets.get(sheet) else {
        return Signs::default();
    };
    let styles = book.styles();
    let mut signs = Signs::default();
    xls_guard::each_record(&stream, start as usize, |kind, data| {
        xls_record(&mut signs, &styles, kind, data);
    });
    signs
}

/// Fonts, formats and styles of an XLS file.
#[derive(Default)]
struct XlsBook {
    sheets: Vec<u32>,
    struck: Vec<bool>,
    formats: HashMap<u16, LengthUnit>,
    /// Font and format of each style.
    looks: Vec<(u16, u16)>,
}

fn word(data: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_le_bytes([*data.get(at)?, *data.get(at + 1)?]))
}

impl XlsBook {
    fn see(&mut self, kind: u16, data: &[u8]) {
        match kind {
            0x0085 => self.sheets.extend(
                word(data, 0)
                    .zip(word(data, 2))
                    .map(|(low, high)| u32::from(low) | u32::from(high) << 16),
            ),
            0x0031 => self
                .struck
                .push(word(data, 2).is_some_and(|bits| bits & 0x0008 != 0)),
            0x041E => {
                if let (Some(id), Some(count), Some(&wide)) =
                    (word(data, 0), word(data, 2), data.get(4))
                {
                    let bytes = data.get(5..).unwrap_or_default();
                    let count = usize::from(count);
                    let code: String = if wide & 1 == 0 {
                        bytes.iter().take(count).map(|&b| char::from(b)).collect()
                    } else {
                        let units: Vec<u16> = bytes
                            .chunks_exact(2)
                            .take(count)
                            .map(|c| u16::from_le_bytes([c[0], c[1]]))
                            .collect();
                        String::from_utf16_lossy(&units)
                    };
                    if let Some(unit) = unit_of_format(&code) {
                        self.formats.insert(id, unit);
                    }
                }
            }
            0x00E0 => self.looks.extend(word(data, 0).zip(word(data, 2))),
            _ => {}
        }
    }

    fn styles(&self) -> Vec<Style> {
        let font = |index: u16| {
            // There is no font of the number four.
            let index = usize::from(index) - usize::from(index > 4);
            self.struck.get(index).copied().unwrap_or(false)
        };
        self.looks
            .iter()
            .map(|&(f, format)| Style {
                struck: font(f),
                unit: self.formats.get(&format).copied(),
            })
            .collect()
    }
}

fn xls_record(signs: &mut Signs, styles: &[Style], kind: u16, data: &[u8]) {
    let at = |i: usize| word(data, i).map(u32::from);
    let style = |i: Option<u16>| {
        i.and_then(|i| styles.get(usize::from(i)).copied())
            .unwrap_or_default()
    };
    match kind {
        0x0208 => {
            if let (Some(row), Some(bits)) = (at(0), at(12))
                && bits & 0x20 != 0
            {
                signs.hidden_rows.push(row + 1..=row + 1);
            }
        }
        0x007D => {
            if let (Some(first), Some(last), Some(bits)) = (at(0), at(2), at(8))
                && bits & 1 != 0
            {
                signs.hidden_columns.push(first + 1..=last + 1);
            }
        }
        0x00E5 => {
            for i in 0..at(0).unwrap_or(0) as usize {
                let four = (at(2 + 8 * i), at(4 + 8 * i), at(6 + 8 * i), at(8 + 8 * i));
                if let (Some(top), Some(bottom), Some(left), Some(right)) = four {
                    signs.merge((top + 1, left + 1), (bottom + 1, right + 1));
                }
            }
        }
        0x0203 | 0x0204 | 0x00D6 | 0x027E | 0x00FD | 0x0006 => {
            if let (Some(row), Some(column)) = (at(0), at(2)) {
                signs.styled((row + 1, column + 1), style(word(data, 4)));
            }
        }
        0x00BD => {
            if let (Some(row), Some(first)) = (at(0), at(2)) {
                for i in 0..data.len().saturating_sub(6) / 6 {
                    let column = first + i as u32 + 1;
                    signs.styled((row + 1, column), style(word(data, 4 + 6 * i)));
                }
            }
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_stand_in_the_literal_words_of_a_format() {
        // ORACLE: hand, by the number formats of ISO/IEC 29500-1, 18.8.31.
        use LengthUnit::{Inch, Metre, Millimetre};
        assert_eq!(unit_of_format("0.0\" mm\""), Some(Millimetre));
        assert_eq!(unit_of_format("#,##0.00\\ \\m"), Some(Metre));
        assert_eq!(unit_of_format("# ?/?\\\""), Some(Inch));
        assert_eq!(unit_of_format("0.0_);[Red](0.0\" mm\")"), None);
        assert_eq!(unit_of_format("[$mm-409] 0"), Some(Millimetre));
        assert_eq!(unit_of_format("General"), None);
        assert_eq!(unit_of_format("0.0\" pieces\""), None);
    }

    #[test]
    fn cells_are_named_by_letters_and_number() {
        assert_eq!(spot_of("B3"), Some((3, 2)));
        assert_eq!(spot_of("AA10"), Some((10, 27)));
        assert_eq!(spot_of("3"), None);
        assert_eq!(spot_of("ZZZZZZZZZ1"), None);
    }
}
