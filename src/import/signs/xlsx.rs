//! Signs of XLSX: Office Open XML, ISO/IEC 29500-1.

use super::{
    Signs, Spot, Style, add_words, attribute, is_on, local, number, part, same_name, walk,
};
use quick_xml::events::{BytesStart, Event};
use std::collections::{BTreeMap, HashMap, HashSet};
use std::io::Cursor;
use zip::ZipArchive;

/// Signs of a sheet of an XLSX file.
pub(in crate::import) fn xlsx(bytes: &[u8], sheet: &str) -> Signs {
    let Ok(mut archive) = ZipArchive::new(Cursor::new(bytes)) else {
        return Signs::default();
    };
    let styles = part(&mut archive, "xl/styles.xml").map_or_else(Vec::new, |xml| xlsx_styles(&xml));
    let struck = part(&mut archive, "xl/sharedStrings.xml")
        .map_or_else(HashSet::new, |xml| struck_strings(&xml));
    let Some(name) = xlsx_part(&mut archive, sheet) else {
        return Signs::default();
    };
    let signs = part(&mut archive, &name)
        .map_or_else(Signs::default, |xml| xlsx_sheet(&xml, &styles, &struck));
    Signs {
        comments: comments_of(&mut archive, &name).unwrap_or_default(),
        ..signs
    }
}

/// The comments on a sheet's cells, which stand in a part of their own.
fn comments_of(
    archive: &mut ZipArchive<Cursor<&[u8]>>,
    sheet: &str,
) -> Option<BTreeMap<Spot, String>> {
    let (folder, file) = sheet.rsplit_once('/')?;
    let mut target = None;
    walk(
        &part(archive, &format!("{folder}/_rels/{file}.rels"))?,
        |event| {
            if let Event::Start(e) = event
                && local(e) == "Relationship"
                && attribute(e, "Type").is_some_and(|kind| kind.ends_with("/comments"))
            {
                target = attribute(e, "Target");
            }
        },
    );
    let target = target?;
    let name = match (target.strip_prefix('/'), target.strip_prefix("../")) {
        (Some(whole), _) => whole.to_owned(),
        (None, Some(beside)) => format!("{}/{beside}", folder.rsplit_once('/')?.0),
        (None, None) => format!("{folder}/{target}"),
    };
    let (mut comments, mut spot, mut in_text) = (BTreeMap::new(), None, false);
    walk(&part(archive, &name)?, |event| match event {
        Event::Start(e) if local(e) == "comment" => {
            spot = attribute(e, "ref").and_then(|r| spot_of(&r));
        }
        Event::Start(e) if local(e) == "t" => in_text = true,
        Event::Text(text) if in_text => {
            if let Some(spot) = spot {
                add_words(&mut comments, spot, text.as_ref());
            }
        }
        Event::End(e) if e.name().into_inner().rsplit(':').next() == Some("t") => in_text = false,
        _ => {}
    });
    Some(comments)
}

/// Whether `strike` is on where it stands: by itself, or by its value.
fn strikes(e: &BytesStart<'_>) -> bool {
    attribute(e, "val").is_none() || is_on(e, "val")
}

/// The shared texts of which a run, or all, is struck through, by their number.
fn struck_strings(xml: &[u8]) -> HashSet<u32> {
    let (mut count, mut struck) = (0u32, HashSet::new());
    walk(xml, |event| match event {
        Event::Start(e) if local(e) == "si" => count += 1,
        Event::Start(e) if local(e) == "strike" && strikes(e) => {
            struck.insert(count.saturating_sub(1));
        }
        _ => {}
    });
    struck
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

/// The styles of cells, by index.
fn xlsx_styles(xml: &[u8]) -> Vec<Style> {
    let mut formats: HashMap<u32, Style> = HashMap::new();
    let (mut fonts, mut styles): (Vec<bool>, Vec<Style>) = (Vec::new(), Vec::new());
    let (mut in_fonts, mut in_cells) = (false, false);
    walk(xml, |event| match event {
        Event::Start(e) => match local(e) {
            "numFmt" => {
                if let (Some(id), Some(code)) = (number(e, "numFmtId"), attribute(e, "formatCode"))
                {
                    let plain = quick_xml::escape::unescape(&code).map(|c| c.into_owned());
                    let plain = plain.unwrap_or(code);
                    formats.insert(id, Style::of_format(&plain));
                }
            }
            "fonts" => in_fonts = true,
            "font" if in_fonts => fonts.push(false),
            "strike" if in_fonts => {
                if let Some(last) = fonts.last_mut() {
                    *last = strikes(e);
                }
            }
            "cellXfs" => in_cells = true,
            "xf" if in_cells => {
                let id = number(e, "numFmtId").unwrap_or(0);
                let format = formats.get(&id).copied();
                styles.push(Style {
                    struck: number(e, "fontId")
                        .and_then(|i| fonts.get(i as usize).copied())
                        .unwrap_or(false),
                    ..format.unwrap_or_else(|| Style::of_number(id))
                });
            }
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

/// Whether a height or width is written as nothing, which hides as well.
fn is_none(e: &BytesStart<'_>, key: &str) -> bool {
    attribute(e, key).is_some_and(|v| v.trim().parse() == Ok(0.0))
}

fn xlsx_sheet(xml: &[u8], styles: &[Style], struck: &HashSet<u32>) -> Signs {
    let mut signs = Signs::default();
    let (mut row, mut column) = (0u32, 0u32);
    let (mut has_formula, mut has_value, mut in_value) = (false, false, false);
    let mut shared = false;
    walk(xml, |event| match event {
        Event::Start(e) => match local(e) {
            "sheetView" if is_on(e, "rightToLeft") => signs.leftward = true,
            "col" if is_on(e, "hidden") || is_none(e, "width") => {
                if let (Some(first), Some(last)) = (number(e, "min"), number(e, "max")) {
                    signs.hidden_columns.push(first..=last);
                }
            }
            "row" => {
                row = number(e, "r").unwrap_or(row + 1);
                column = 0;
                if is_on(e, "hidden") || is_none(e, "ht") {
                    signs.hidden_rows.push(row..=row);
                }
            }
            "c" => {
                let spot = attribute(e, "r").and_then(|r| spot_of(&r));
                (row, column) = spot.unwrap_or((row, column + 1));
                has_formula = false;
                // A formula whose answer is an empty text has a value, and it is empty.
                let kind = attribute(e, "t");
                has_value = kind.as_deref() == Some("str");
                shared = kind.as_deref() == Some("s");
                in_value = false;
                // A cell that names no style has the first one (ISO/IEC 29500-1, 18.3.1.4).
                let style = styles.get(number(e, "s").unwrap_or(0) as usize);
                signs.styled((row, column), style.copied().unwrap_or_default());
            }
            "f" => has_formula = true,
            // A run of a text that stands in the cell itself.
            "strike" if in_value && strikes(e) => {
                signs.struck.insert((row, column));
            }
            "v" | "is" => in_value = true,
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
        // An empty element stands for a value that was never worked out as well as a missing one does.
        Event::Text(text) if in_value => {
            has_value = true;
            let number = || text.as_ref().trim().parse().ok();
            if shared && number().is_some_and(|i: u32| struck.contains(&i)) {
                signs.struck.insert((row, column));
            }
        }
        Event::End(e) => match e.name().into_inner().rsplit(':').next() {
            Some("v" | "is") => in_value = false,
            Some("c") if has_formula && !has_value => {
                signs.unvalued.insert((row, column));
            }
            _ => {}
        },
        _ => {}
    });
    signs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_named_by_letters_and_number() {
        assert_eq!(spot_of("B3"), Some((3, 2)));
        assert_eq!(spot_of("AA10"), Some((10, 27)));
        assert_eq!(spot_of("3"), None);
        assert_eq!(spot_of("ZZZZZZZZZ1"), None);
    }
}
