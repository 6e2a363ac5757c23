//! Tables to XLSX: units in headings, headings that stay in sight, text that is never a formula.

use super::ReportError;
pub use super::workbook_of::of;
use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Workbook as Xlsx, XlsxError,
};

/// What stands in a cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nothing: no value is known. Never written as zero.
    Blank,
    /// Words, written as text whatever they begin with.
    Text(String),
    /// A number, shown with so many decimals; the cell holds all of it.
    Number {
        /// The value, in the unit of the column's heading.
        value: f64,
        /// Decimals shown.
        decimals: u8,
    },
    /// Inches shown as a binary fraction; the cell holds the decimal value.
    Fraction {
        /// Inches.
        inches: f64,
        /// Finest denominator shown: 8, 16, 32 or 64.
        denominator: u8,
    },
}

impl Cell {
    /// Words.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A number with so many decimals shown.
    pub const fn number(value: f64, decimals: u8) -> Self {
        Self::Number { value, decimals }
    }

    /// A number if there is one.
    pub fn maybe(value: Option<f64>, decimals: u8) -> Self {
        value.map_or(Self::Blank, |v| Self::number(v, decimals))
    }
}

/// One sheet of a workbook.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sheet {
    /// Name on the tab, at most 31 characters.
    pub name: String,
    /// Lines above the headings.
    pub lines: Vec<String>,
    /// Headings, with the unit of every figure below, and the column's width in characters.
    pub columns: Vec<(String, f64)>,
    /// Rows.
    pub rows: Vec<Vec<Cell>>,
    /// Columns at the left that stay in sight.
    pub frozen_columns: u16,
    /// Whether the cells below the headings are formatted as text, so that a fraction typed there stays one.
    pub text_cells: bool,
}

/// A workbook.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Workbook {
    /// Title in the file's own data.
    pub title: String,
    /// Sheets in order.
    pub sheets: Vec<Sheet>,
}

/// Characters that make a spreadsheet take typed or re-imported text for a formula.
const FORMULA_STARTS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];
/// Longest name a tab can bear.
const TAB_CHARACTERS: usize = 31;
/// Longest text a cell can hold, in UTF-16 units as the format counts them.
const CELL_UNITS: usize = 32_767;

impl Workbook {
    /// The workbook as an XLSX file. The same workbook gives the same bytes: the date in the file is fixed.
    ///
    /// # Errors
    /// [`ReportError::Workbook`] when the format cannot hold it (too many rows, a text too long).
    pub fn to_xlsx(&self) -> Result<Vec<u8>, ReportError> {
        self.write()
            .map_err(|e| ReportError::Workbook(e.to_string()))
    }

    fn write(&self) -> Result<Vec<u8>, XlsxError> {
        let mut book = Xlsx::new();
        // 1 January 2000 stands for "no date": a clock would make two runs differ.
        book.set_properties(
            &DocProperties::new()
                .set_title(&self.title)
                .set_creation_datetime(&ExcelDateTime::from_ymd(2000, 1, 1)?),
        );
        let mut taken: Vec<String> = Vec::new();
        for sheet in &self.sheets {
            write_sheet(&mut book, sheet, &mut taken)?;
        }
        book.save_to_buffer()
    }
}

fn write_sheet(book: &mut Xlsx, sheet: &Sheet, taken: &mut Vec<String>) -> Result<(), XlsxError> {
    let plain = Format::new().set_align(FormatAlign::Top).set_text_wrap();
    let guarded = plain.clone().set_quote_prefix();
    // 49 is the format's own "text" (ECMA-376 part 1, 18.8.30).
    let typed = Format::new().set_num_format_index(49);
    let heading = Format::new()
        .set_bold()
        .set_text_wrap()
        .set_align(FormatAlign::Bottom)
        .set_border_bottom(FormatBorder::Medium);
    let line = Format::new().set_bold();
    let page = book.add_worksheet();
    page.set_name(tab_name(&sheet.name, taken))?;
    for (row, text) in (0_u32..).zip(&sheet.lines) {
        page.write_string_with_format(row, 0, clip(text), if row == 0 { &line } else { &typed })?;
    }
    let top = sheet.lines.len() as u32;
    for (column, (title, width)) in (0_u16..).zip(&sheet.columns) {
        page.write_string_with_format(top, column, clip(title), &heading)?;
        page.set_column_width(column, *width)?;
        if sheet.text_cells {
            page.set_column_format(column, &typed)?;
        }
    }
    page.set_freeze_panes(top + 1, sheet.frozen_columns)?;
    page.set_repeat_rows(top, top)?;
    page.set_print_fit_to_pages(1, 0);
    for (row, cells) in (top + 1..).zip(&sheet.rows) {
        for (column, cell) in (0_u16..).zip(cells) {
            match cell {
                Cell::Blank if sheet.text_cells => {
                    page.write_blank(row, column, &typed)?;
                }
                Cell::Blank => {}
                Cell::Text(text) => {
                    let format = if text.starts_with(FORMULA_STARTS) {
                        &guarded
                    } else if sheet.text_cells {
                        &typed
                    } else {
                        &plain
                    };
                    page.write_string_with_format(row, column, clip(text), format)?;
                }
                Cell::Number { value, .. } | Cell::Fraction { inches: value, .. }
                    if !value.is_finite() =>
                {
                    // The format knows no infinity: say so in words instead of losing it.
                    page.write_string(row, column, value.to_string())?;
                }
                Cell::Number { value, decimals } => {
                    let format = Format::new().set_num_format(number_format(*decimals));
                    page.write_number_with_format(row, column, without_noise(*value), &format)?;
                }
                Cell::Fraction {
                    inches,
                    denominator,
                } => {
                    let format = Format::new().set_num_format(format!("# ??/{denominator}"));
                    page.write_number_with_format(row, column, without_noise(*inches), &format)?;
                }
            }
        }
    }
    Ok(())
}

/// A number without the last digits that its arithmetic left: 14 and not 13.999999999999998. What is told apart by a
/// thousand-millionth of its unit is noise in every figure of a floor.
fn without_noise(value: f64) -> f64 {
    const STEPS: f64 = 1e9;
    if value.abs() < 1e6 {
        (value * STEPS).round() / STEPS
    } else {
        value
    }
}

fn number_format(decimals: u8) -> String {
    if decimals == 0 {
        "0".to_owned()
    } else {
        format!("0.{}", "0".repeat(usize::from(decimals)))
    }
}

/// A tab name the format allows: short, without its forbidden characters, not used twice.
fn tab_name(name: &str, taken: &mut Vec<String>) -> String {
    let clean: String = name
        .chars()
        .map(|c| {
            if "[]:*?/\\'".contains(c) || c.is_control() {
                ' '
            } else {
                c
            }
        })
        .collect();
    let clean = clean.trim();
    let base: String = if clean.is_empty() { "Sheet" } else { clean }
        .chars()
        .take(TAB_CHARACTERS - 4)
        .collect();
    let mut wanted = base.clone();
    let mut number = 2;
    while taken.iter().any(|t| t.eq_ignore_ascii_case(&wanted)) {
        wanted = format!("{base} {number}");
        number += 1;
    }
    taken.push(wanted.clone());
    wanted
}

/// Text cut to what a cell can hold; the cut is marked.
fn clip(text: &str) -> String {
    if text.encode_utf16().count() <= CELL_UNITS {
        return text.to_owned();
    }
    let mut units = 0;
    let mut kept: String = text
        .chars()
        .take_while(|c| {
            units += c.len_utf16();
            units < CELL_UNITS
        })
        .collect();
    kept.push('…');
    kept
}
