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
    let file = common_file(survey);
    // Two tables stand side by side: headings wrap, and distances are the longest figures.
    for (i, column) in columns.iter_mut().enumerate() {
        if column.align == Align::Right {
            column.share = if i <= 2 { 1.8 } else { 1.0 };
        }
    }
    Table {
        caption: if file.is_empty() {
            String::new()
        } else {
            w::cells_of(&file)
        },
        abreast: 2,
        columns,
        rows: survey
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
                    cell_of(&r.raw.place, &file),
                    height_m.map_or_else(off, |m| pen.depth_number(high_m - m)),
                ];
                if let Some(plane) = plane {
                    row.push(
                        height_m.map_or_else(off, |m| pen.of_gauge_rise_number(plane.at(r.at) - m)),
                    );
                }
                row
            })
            .collect(),
        size_pt: 7.5,
        ..Table::default()
    }
}

/// What stands before the cell in a place such as `readings.csv, cell C4`.
fn before_cell(place: &str) -> &str {
    place.rfind(", cell ").map_or("", |i| &place[..i])
}

/// The file (and sheet) that the first reading's cell is in; empty where places name no cell.
fn common_file(survey: &Survey) -> String {
    survey.readings.first().map_or_else(String::new, |r| {
        before_cell(&r.raw.place.to_string()).to_owned()
    })
}

/// A reading's place without the file that the caption names already.
fn cell_of(place: &Place, file: &str) -> String {
    let place = place.to_string();
    match before_cell(&place) {
        before if !file.is_empty() && before == file => {
            place[before.len() + ", cell ".len()..].to_owned()
        }
        _ => place,
    }
}
