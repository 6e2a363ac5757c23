//! Signs of ODS: OpenDocument, ISO/IEC 26300.

use super::ods_format::Formats;
use super::{Signs, Spot, Style, add_words, attribute, number, part, same_name, walk};
use crate::import::cells::is_error_text;
use crate::import::table::MAX_COLUMNS;
use quick_xml::events::{BytesStart, Event};
use std::collections::{HashMap, HashSet};
use std::io::Cursor;
use zip::ZipArchive;

/// Signs of a sheet of an ODS file.
pub(in crate::import) fn ods(bytes: &[u8], sheet: &str) -> Signs {
    let Ok(mut archive) = ZipArchive::new(Cursor::new(bytes)) else {
        return Signs::default();
    };
    // Styles with names of their own stand in a part of their own; those of the cells may be children of them.
    let named = part(&mut archive, "styles.xml").unwrap_or_default();
    part(&mut archive, "content.xml")
        .map_or_else(Signs::default, |xml| ods_walk(&named, &xml, sheet).signs)
}

/// The first cell of an ODS file that is said to hold a number and holds none: its sheet, and where it stands there. The
/// parser of values reads no file with such a cell.
pub(in crate::import) fn first_without_number(bytes: &[u8]) -> Option<(String, Spot)> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).ok()?;
    let xml = part(&mut archive, "content.xml")?;
    let mut sheets: Vec<String> = Vec::new();
    walk(&xml, |event| {
        if let Event::Start(e) = event
            && e.name().into_inner() == "table:table"
        {
            sheets.extend(attribute(e, "name"));
        }
    });
    sheets.into_iter().find_map(|sheet| {
        let empty = ods_walk(&[], &xml, &sheet).numberless?;
        let plain = quick_xml::escape::unescape(&sheet).map(|name| name.into_owned());
        Some((plain.unwrap_or(sheet), empty))
    })
}

/// Where one is in an ODS file.
#[derive(Default)]
struct OdsWalk {
    signs: Signs,
    /// The first cell whose number is empty.
    numberless: Option<Spot>,
    /// Number formats, and styles of cells by name.
    formats: Formats,
    styles: HashMap<String, Style>,
    /// Styles of rows and columns that have no height or width.
    flat_styles: HashSet<String>,
    /// Styles of sheets that are shown from right to left.
    leftward_styles: HashSet<String>,
    own_style: Option<String>,
    inside: bool,
    row: u32,
    row_repeats: u32,
    /// Style of the row's cells that name none.
    row_style: Option<Style>,
    column: u32,
    /// The cell begun last, where it holds a value.
    computed: Option<Spot>,
    /// The same of a formula with neither a value nor a kind of one.
    kindless: Option<Spot>,
    /// How deep one is in a comment on a cell, and in its words: it also holds who wrote it, and when.
    comment: (bool, u32),
    columns: u32,
    /// Styles of whole columns, with the last column of each.
    column_styles: Vec<(u32, Style)>,
}

/// Rows that are told of one by one where a row is repeated.
const MOST_REPEATED: u32 = 10_000;

/// Through the named styles, then through a sheet.
fn ods_walk(named: &[u8], xml: &[u8], sheet: &str) -> OdsWalk {
    let mut at = OdsWalk::default();
    for xml in [named, xml] {
        ods_part(&mut at, xml, sheet);
    }
    at
}

fn ods_part(at: &mut OdsWalk, xml: &[u8], sheet: &str) {
    walk(xml, |event| match event {
        Event::Start(e) => at.start(e, sheet),
        Event::Text(text) if at.comment.1 > 0 && at.inside => {
            add_words(&mut at.signs.comments, (at.row, at.column), text.as_ref());
        }
        Event::Text(_) if at.comment.0 => {}
        Event::Text(text) => {
            at.shown(text.as_ref());
            at.formats.text(text.as_ref());
        }
        Event::GeneralRef(name) => at.formats.entity(name.as_ref()),
        Event::End(e) => match e.name().into_inner() {
            "office:annotation" => at.comment = (false, 0),
            "text:p" if at.comment.0 => at.comment.1 = at.comment.1.saturating_sub(1),
            "table:table" => at.inside = false,
            "table:table-row" if at.inside => at.row += at.row_repeats - 1,
            "style:style" => at.own_style = None,
            element => at.formats.end(element),
        },
        _ => {}
    });
}

impl OdsWalk {
    fn start(&mut self, e: &BytesStart<'_>, sheet: &str) {
        match e.name().into_inner() {
            "style:style" => {
                self.own_style = attribute(e, "name");
                if let Some(name) = self.own_style.clone() {
                    // What a style does not say it has from its parent.
                    let mut style = self.style(e, "parent-style-name").unwrap_or_default();
                    if let Some(data) = attribute(e, "data-style-name") {
                        style = Style {
                            struck: style.struck,
                            ..self.formats.style(&data).unwrap_or_default()
                        };
                    }
                    self.styles.insert(name, style);
                }
            }
            "style:text-properties" => {
                let through = attribute(e, "text-line-through-style")
                    .or_else(|| attribute(e, "text-line-through-type"));
                if let (Some(name), Some(way)) = (&self.own_style, through)
                    && let Some(style) = self.styles.get_mut(name)
                {
                    style.struck = way != "none";
                }
            }
            "style:table-row-properties" | "style:table-column-properties" => {
                let size = attribute(e, "row-height").or_else(|| attribute(e, "column-width"));
                if let (Some(name), Some(size)) = (&self.own_style, size)
                    && size.trim_end_matches(|c: char| c.is_alphabetic()).parse() == Ok(0.0)
                {
                    self.flat_styles.insert(name.clone());
                }
            }
            "style:table-properties" => {
                if let Some(name) = &self.own_style
                    && attribute(e, "writing-mode").is_some_and(|way| way.starts_with("rl"))
                {
                    self.leftward_styles.insert(name.clone());
                }
            }
            "office:annotation" => self.comment = (true, 0),
            "text:p" if self.comment.0 => self.comment.1 += 1,
            // Some programs write neither kind nor value beside an answer that is an empty text, and only its empty line.
            "text:p" if self.inside => {
                if let Some(spot) = self.kindless.filter(|s| self.signs.unvalued.remove(s)) {
                    self.signs.empty_answers.insert(spot);
                }
            }
            "table:table" => {
                self.inside = attribute(e, "name").is_some_and(|n| same_name(&n, sheet));
                (self.row, self.columns) = (0, 0);
                self.signs.leftward |= self.inside
                    && attribute(e, "style-name")
                        .is_some_and(|n| self.leftward_styles.contains(&n));
            }
            "table:table-column" if self.inside => {
                let first = self.columns + 1;
                self.columns += repeats(e, "number-columns-repeated").min(MAX_COLUMNS as u32);
                if self.is_away(e) {
                    self.signs.hidden_columns.push(first..=self.columns);
                }
                let style = self.style(e, "default-cell-style-name");
                self.column_styles
                    .push((self.columns, style.unwrap_or_default()));
            }
            "table:table-row" if self.inside => {
                self.row += 1;
                self.row_repeats = repeats(e, "number-rows-repeated");
                self.row_style = self.style(e, "default-cell-style-name");
                self.column = 0;
                if self.is_away(e) {
                    let last = self.row.saturating_add(self.row_repeats - 1);
                    self.signs.hidden_rows.push(self.row..=last);
                }
            }
            "table:table-cell" | "table:covered-table-cell" if self.inside => self.cell(e),
            // A run of the cell's text with a style of its own.
            "text:span" if self.inside => {
                let struck = self.style(e, "style-name").is_some_and(|s| s.struck);
                if let Some(spot) = self.computed.filter(|_| struck) {
                    self.signs.struck.insert(spot);
                }
            }
            _ => self.formats.start(e),
        }
    }

    /// What the cell shows that was begun last: an error, as older programs store it, is a nought with the error's text.
    fn shown(&mut self, text: &str) {
        let text = text.trim();
        // What is shown without a value is no empty answer.
        if let Some(spot) = self
            .computed
            .filter(|s| !text.is_empty() && self.signs.empty_answers.remove(s))
        {
            self.signs.unvalued.insert(spot);
        }
        if let Some(spot) = self.computed.filter(|_| is_error_text(text)) {
            self.signs.shown_errors.insert(spot, text.to_owned());
        }
    }

    fn cell(&mut self, e: &BytesStart<'_>) {
        let first = self.column + 1;
        let count = repeats(e, "number-columns-repeated").min(MAX_COLUMNS as u32);
        self.column += count;
        let has_value = attribute(e, "value-type").is_some_and(|kind| {
            // A number has its value beside its kind; a text has it inside.
            !matches!(kind.as_str(), "float" | "percentage" | "currency")
                || attribute(e, "value").is_some_and(|v| !v.is_empty())
        });
        if attribute(e, "value").is_some_and(|v| v.trim().is_empty()) {
            self.numberless.get_or_insert((self.row, first));
        }
        let has_formula = attribute(e, "formula").is_some();
        self.computed = (has_value || has_formula).then_some((self.row, first));
        let has_kind = attribute(e, "value-type").is_some();
        self.kindless = (has_formula && !has_kind).then_some((self.row, first));
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
        let own = self.style(e, "style-name").or(self.row_style);
        let usual = self.styles.get("Default").copied();
        for row in self.row..self.row.saturating_add(self.row_repeats.min(MOST_REPEATED)) {
            for column in first..first + count {
                let of_column = || {
                    self.column_styles
                        .iter()
                        .find(|(last, _)| column <= *last)
                        .map(|(_, s)| *s)
                };
                let style = own.or_else(of_column).or(usual).unwrap_or_default();
                let kind = attribute(e, "value-type").unwrap_or_default();
                let shown = Style {
                    percent: style.percent || kind == "percentage",
                    money: style.money || kind == "currency",
                    ..style
                };
                self.signs.styled((row, column), shown);
                if has_formula && !has_value {
                    self.signs.unvalued.insert((row, column));
                }
            }
        }
    }

    /// Whether a row or column is not shown.
    fn is_away(&self, e: &BytesStart<'_>) -> bool {
        attribute(e, "visibility").is_some_and(|v| matches!(v.as_str(), "collapse" | "filter"))
            || attribute(e, "style-name").is_some_and(|name| self.flat_styles.contains(&name))
    }

    fn style(&self, e: &BytesStart<'_>, key: &str) -> Option<Style> {
        self.styles.get(&attribute(e, key)?).copied()
    }
}

fn repeats(e: &BytesStart<'_>, key: &str) -> u32 {
    number(e, key).unwrap_or(1).max(1)
}
