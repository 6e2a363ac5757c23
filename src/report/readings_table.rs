//! Readings as they were taken, each with the cell it stood in.

use super::orientation::Orientation;
use super::words::submittal as w;
use super::{Align, Column, Head, Table, words};
use crate::fill::Plane;
use crate::survey::{Place, Survey};

/// Heights beside the readings, metres.
pub struct Heights<'a> {
    /// The floor's at each reading: one height for a mark, however often it was read, so that its depth is the one that
    /// the crew's sheets give it; `None` for those that do not stand on the floor.
    pub marks_m: &'a [Option<f64>],
    /// The high point's.
    pub high_m: f64,
    /// The planned finish.
    pub plane: Option<&'a Plane>,
}

/// Readings as taken, each with its cell; at most `most` rows.
pub fn readings_table(
    head: &Head,
    survey: &Survey,
    heights: &Heights<'_>,
    orientation: &Orientation,
    most: usize,
) -> Table {
    let pen = head.pen();
    let Heights { high_m, plane, .. } = *heights;
    let mut columns = vec![
        Column::marks(w::POINT),
        Column::figures(words::with_unit(
            &words::crew::from_wall(&orientation.left),
            pen.plan_unit(),
        )),
        Column::figures(words::with_unit(
            &words::crew::from_wall(&orientation.bottom),
            pen.plan_unit(),
        )),
        Column::figures(w::AS_WRITTEN),
        Column::words(w::CELL, 0.0),
        Column::figures(words::with_unit(w::HEIGHT, pen.depth_unit())),
    ];
    if plane.is_some() {
        columns.push(Column::figures(words::with_unit(
            w::DEPTH,
            pen.depth_unit(),
        )));
    }
    let off = || w::NOT_ON_FLOOR.to_owned();
    // What most readings share is said once, above the table.
    let files = files_of(survey);
    let rows: Vec<Vec<String>> = survey
        .readings
        .iter()
        .zip(heights.marks_m)
        .take(most)
        .map(|(r, height_m)| {
            let mut row = vec![
                r.label.to_string(),
                pen.plan_number(orientation.from_left(r.at)),
                pen.plan_number(orientation.from_bottom(r.at)),
                r.raw.text.to_string(),
                cell_of(&r.raw.place, &files),
                height_m.map_or_else(off, |m| pen.held_number(high_m - m)),
            ];
            if let Some(plane) = plane {
                row.push(height_m.map_or_else(off, |m| pen.held_rise_number(plane.at(r.at) - m)));
            }
            row
        })
        .collect();
    // Two tables stand side by side: headings wrap, figures never, so that a column has room by its longest figure.
    const LEAST: usize = 3;
    for (i, column) in columns.iter_mut().enumerate() {
        if column.align == Align::Right {
            let longest = rows.iter().map(|row| row[i].chars().count()).max();
            column.share = (longest.unwrap_or_default().max(LEAST) + 1) as f64;
        }
    }
    Table {
        caption: match &files[..] {
            [only] => w::cells_of(only),
            [] => String::new(),
            several if several.len() <= MOST_FILES => {
                let named = several.iter().enumerate();
                let named: Vec<String> = named
                    .map(|(k, f)| format!("{}: {f}", letter_of(k)))
                    .collect();
                w::cells_of(&named.join(", "))
            }
            _ => String::new(),
        },
        abreast: 2,
        columns,
        rows,
        size_pt: 7.5,
        ..Table::default()
    }
}

/// What stands before the cell in a place such as `readings.csv, cell C4`.
fn before_cell(place: &str) -> &str {
    place.rfind(", cell ").map_or("", |i| &place[..i])
}

/// The files (and sheets) that the readings' cells are in, each once, in the order of the readings.
fn files_of(survey: &Survey) -> Vec<String> {
    let mut files: Vec<String> = Vec::new();
    for reading in &survey.readings {
        let place = reading.raw.place.to_string();
        let file = before_cell(&place);
        if !file.is_empty()
            && files.last().is_none_or(|last| last != file)
            && !files.iter().any(|f| f == file)
        {
            files.push(file.to_owned());
        }
    }
    files
}

/// A letter for one of several files, so that its name does not stand in every row.
fn letter_of(k: usize) -> char {
    (b'a' + (k % 26) as u8) as char
}

/// A reading's place without the file that the caption names already.
fn cell_of(place: &Place, files: &[String]) -> String {
    let place = place.to_string();
    let before = before_cell(&place);
    let cell = place
        .get(before.len() + ", cell ".len()..)
        .unwrap_or_default();
    match files.iter().position(|f| f == before) {
        Some(_) if files.len() == 1 => cell.to_owned(),
        Some(k) if files.len() <= MOST_FILES => format!("{} {cell}", letter_of(k)),
        _ => place,
    }
}

/// As many files as there are letters.
const MOST_FILES: usize = 26;
