//! Signs of XLS: records of the binary workbook.

use super::{Signs, Style};
use crate::import::xls_guard;
use std::collections::HashMap;

/// Signs of a sheet of an XLS file, by the sheet's place in the workbook.
pub(in crate::import) fn xls(bytes: &[u8], sheet: usize) -> Signs {
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
    formats: HashMap<u16, Style>,
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
                    self.formats.insert(id, Style::of_format(&code));
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
                ..self
                    .formats
                    .get(&format)
                    .copied()
                    .unwrap_or_else(|| Style::of_number(u32::from(format)))
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
            // The height stands in twentieths of a point, its top bit apart.
            if let (Some(row), Some(height), Some(bits)) = (at(0), at(6), at(12))
                && (bits & 0x20 != 0 || height & 0x7FFF == 0)
            {
                signs.hidden_rows.push(row + 1..=row + 1);
            }
        }
        // How the window shows the sheet; 0x40 of its bits: from right to left.
        0x023E => signs.leftward |= at(0).is_some_and(|bits| bits & 0x40 != 0),
        0x007D => {
            if let (Some(first), Some(last), Some(width), Some(bits)) = (at(0), at(2), at(4), at(8))
                && (bits & 1 != 0 || width == 0)
            {
                signs.hidden_columns.push(first + 1..=last + 1);
            }
        }
        // A comment: its words stand in a drawing, which is not read.
        0x001C => {
            if let (Some(row), Some(column)) = (at(0), at(2)) {
                signs.comments.entry((row + 1, column + 1)).or_default();
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
                // A formula whose answer is an empty text, or was never worked out: the file does not say which.
                let empty = data.get(6) == Some(&3) && at(12) == Some(0xFFFF);
                if kind == 0x0006 && empty {
                    signs.empty_answers.insert((row + 1, column + 1));
                }
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
