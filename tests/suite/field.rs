//! The field sheet and its workbook: a box for every place that can be read, and cells that keep fractions.

use crate::specimen::{self, ft};
use birdbath::geometry::Ring;
use birdbath::import::{self, ImportOptions, Source};
use birdbath::report::field::{FieldGrid, field_sheet};
use birdbath::report::field_workbook::field_workbook;
use birdbath::report::{Block, Head, Paper, Press, ReportError};
use birdbath::survey::Room;
use birdbath::units::{FOOT_M, Habit};
use calamine::{Data, Reader, Xlsx};
use std::io::{Cursor, Read, Write};

/// 16 ft by 20 ft with the upper right 6 ft 5 in by 11 ft cut out.
fn l_shape() -> Room {
    Room {
        outline: Ring::new(vec![
            ft(0.0, 0.0),
            ft(16.0, 0.0),
            ft(16.0, 9.0),
            ft(9.5, 9.0),
            ft(9.5, 20.0),
            ft(0.0, 20.0),
        ]),
        voids: vec![],
        slopes: vec![],
        joints: vec![],
        doors: vec![],
        fixtures: vec![],
        walls: vec![],
    }
}

fn head(habit: Habit, paper: Paper) -> Head {
    Head {
        habit,
        paper,
        title: "Hall".into(),
        ..Head::default()
    }
}

#[test]
fn stations_are_whole_spacings_and_the_far_wall() {
    // ORACLE: hand. 9 ft 7 in at 2 ft: 0, 2, 4, 6, 8 and the wall; 16 ft 3 in: the wall takes the place of
    // 16 ft, which is nearer to it than a quarter of the spacing.
    let room = |w: f64, d: f64| Room {
        outline: Ring::new(vec![ft(0.0, 0.0), ft(w, 0.0), ft(w, d), ft(0.0, d)]),
        ..l_shape()
    };
    let grid = FieldGrid::new(room(9.0 + 7.0 / 12.0, 16.25), 2.0 * FOOT_M).unwrap();
    let feet = |v: &[f64]| {
        v.iter()
            .map(|m| (m / FOOT_M * 1000.0).round() / 1000.0)
            .collect::<Vec<_>>()
    };
    assert_eq!(feet(&grid.columns_m), [0.0, 2.0, 4.0, 6.0, 8.0, 9.583]);
    assert_eq!(
        feet(&grid.rows_m),
        [0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.25]
    );
    // A room moved in the plan keeps its stations.
    let moved = Room {
        outline: Ring::new(
            room(8.0, 6.0)
                .outline
                .points()
                .iter()
                .map(|&p| p + ft(100.0, -30.0))
                .collect(),
        ),
        ..l_shape()
    };
    let grid = FieldGrid::new(moved, 2.0 * FOOT_M).unwrap();
    assert_eq!(feet(&grid.columns_m), [0.0, 2.0, 4.0, 6.0, 8.0]);
}

#[test]
fn every_place_on_the_floor_has_a_box_with_its_name_and_no_place_off_it_has() {
    let grid = FieldGrid::new(l_shape(), 2.0 * FOOT_M).unwrap();
    let region = grid.room.region();
    // ORACLE: hand: 9 columns by 5 rows below the notch (0 to 8 ft), 5 columns by 6 rows above it.
    let boxes: Vec<String> = (0..grid.rows_m.len())
        .flat_map(|r| (0..grid.columns_m.len()).map(move |c| (c, r)))
        .filter(|&(c, r)| grid.is_floor(&region, c, r))
        .map(|(c, r)| FieldGrid::name(c, r))
        .collect();
    assert_eq!(boxes.len(), 9 * 5 + 5 * 6);
    let d = field_sheet(&head(Habit::Us, Paper::Letter), &grid).unwrap();
    let svg: String = d
        .drawings
        .iter()
        .map(|d| String::from_utf8(d.bytes.clone()).unwrap())
        .collect();
    for name in ["A1", "I5", "E11"] {
        assert!(boxes.contains(&name.to_owned()));
        assert!(
            svg.split('>')
                .any(|t| t.trim().trim_end_matches("</text").trim() == name),
            "{name}"
        );
    }
    assert!(!boxes.contains(&"I6".to_owned()));
    assert!(!svg.contains("I6"));
}

#[test]
fn a_grid_too_large_for_a_sheet_goes_on_over_more_and_each_box_stands_once() {
    let room = specimen::survey().room.unwrap();
    let grid = FieldGrid::new(room, 2.0 * FOOT_M).unwrap();
    let d = field_sheet(&head(Habit::Us, Paper::Letter), &grid).unwrap();
    let pages = d
        .blocks
        .iter()
        .filter(|b| matches!(b, Block::Sheet { .. }))
        .count();
    assert!(pages > 1);
    let region = grid.room.region();
    let all: Vec<String> = d
        .drawings
        .iter()
        .flat_map(|d| {
            String::from_utf8(d.bytes.clone())
                .unwrap()
                .split(['<', '>'])
                .map(|between| between.trim().to_owned())
                .collect::<Vec<_>>()
        })
        .collect();
    for r in 0..grid.rows_m.len() {
        for c in 0..grid.columns_m.len() {
            let name = FieldGrid::name(c, r);
            let count = all.iter().filter(|words| **words == name).count();
            assert_eq!(count, usize::from(grid.is_floor(&region, c, r)), "{name}");
        }
    }
    let pdf = Press::new().print(&d).unwrap();
    assert!(pdf == Press::new().print(&d).unwrap());
}

#[test]
fn the_workbook_holds_text_cells_distances_and_units() {
    let grid = FieldGrid::new(l_shape(), 2.0 * FOOT_M).unwrap();
    let bytes = field_workbook(&head(Habit::Us, Paper::Letter), &grid, "in")
        .to_xlsx()
        .unwrap();
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes.clone())).unwrap();
    let range = book.worksheet_range("Readings").unwrap();
    let at = |r: u32, c: u32| range.get_value((r, c)).cloned().unwrap_or(Data::Empty);
    assert_eq!(at(0, 0), Data::String("ft / in".into()));
    assert_eq!(at(0, 9), Data::String("16".into()));
    // The far wall is on top, as one sees it from the door.
    assert_eq!(at(1, 0), Data::String("20".into()));
    assert_eq!(at(11, 0), Data::String("0".into()));
    // Off the floor is said so; on the floor is left blank.
    assert_eq!(at(1, 9), Data::String("x".into()));
    assert_eq!(at(11, 9), Data::Empty);
    // ORACLE: the format's own number format 49 is "@", text (ECMA-376 part 1, 18.8.30): every blank cell of
    // the grid points at a cell format that carries it.
    let styles = part(&bytes, "xl/styles.xml");
    let formats = styles.split("<cellXfs").nth(1).unwrap();
    let text_format = formats
        .split("<xf ")
        .skip(1)
        .position(|xf| xf.contains("numFmtId=\"49\""))
        .expect("no cell format is text");
    let sheet = part(&bytes, "xl/worksheets/sheet1.xml");
    assert!(
        sheet.contains(&format!("<c r=\"J12\" s=\"{text_format}\"/>")),
        "{sheet}"
    );
}

// ORACLE: hand: the reading written into each box, by the box's own column and row
#[test]
fn a_workbook_filled_in_by_hand_is_read_back_as_written() {
    let grid = FieldGrid::new(l_shape(), 2.0 * FOOT_M).unwrap();
    let blank = field_workbook(&head(Habit::Us, Paper::Letter), &grid, "in")
        .to_xlsx()
        .unwrap();
    // A spreadsheet program puts what is typed into a text cell as text and leaves its format alone.
    let mut typed = std::collections::BTreeMap::new();
    let mut sheet = part(&blank, "xl/worksheets/sheet1.xml");
    for column in 0..grid.columns_m.len() {
        for line in 0..grid.rows_m.len() {
            // Row 1 holds the distances; the far wall comes first.
            let cell = format!(
                "{}{}",
                (b'B' + column as u8) as char,
                1 + grid.rows_m.len() - line
            );
            let start = format!("<c r=\"{cell}\" s=\"");
            let Some(at) = sheet.find(&start) else {
                panic!("{cell} is not in the sheet");
            };
            let end = at + sheet[at..].find('>').unwrap();
            if !sheet[at..end].ends_with('/') {
                continue;
            }
            // 3/8 and the like are what a cell that is not text turns into a date.
            let eighths = (column * 5 + line * 3) % 8;
            let text = if eighths == 0 {
                "38".to_owned()
            } else {
                format!("38 {eighths}/8")
            };
            let style = &sheet[at + start.len()..end - 2];
            let filled =
                format!("<c r=\"{cell}\" s=\"{style}\" t=\"inlineStr\"><is><t>{text}</t></is></c>");
            sheet.replace_range(at..=end, &filled);
            typed.insert(
                FieldGrid::name(column, line),
                (text, 38.0 + eighths as f64 / 8.0, column, line),
            );
        }
    }
    assert!(typed.len() > 50, "{}", typed.len());
    let bytes = with_part(&blank, "xl/worksheets/sheet1.xml", &sheet);
    let read = import::read(
        &Source {
            name: "field-sheet.xlsx",
            bytes: &bytes,
        },
        &ImportOptions::default(),
    )
    .unwrap();
    let [survey] = read.surveys.as_slice() else {
        panic!("{} rooms", read.surveys.len());
    };
    assert_eq!(survey.readings.len(), typed.len());
    for r in &survey.readings {
        let (text, inches, column, line) = &typed[r.label.as_str()];
        assert_eq!(*r.raw.text, **text, "{}", r.label);
        assert!(
            (r.elevation.m() + inches * 0.0254).abs() < 1e-12,
            "{}",
            r.label
        );
        let at = (grid.columns_m[*column], grid.rows_m[*line]);
        assert!(
            (r.at.x - at.0).abs() < 1e-6 && (r.at.y - at.1).abs() < 1e-6,
            "{}: {:?}, not {at:?}",
            r.label,
            r.at
        );
    }
}

/// The workbook with one of its parts replaced.
fn with_part(bytes: &[u8], name: &str, text: &str) -> Vec<u8> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for i in 0..archive.len() {
        let mut file = archive.by_index(i).unwrap();
        let mut content = Vec::new();
        file.read_to_end(&mut content).unwrap();
        let options = zip::write::SimpleFileOptions::default();
        let own = file.name().unwrap().into_owned();
        out.start_file(&own, options).unwrap();
        if own == name {
            content = text.as_bytes().to_vec();
        }
        out.write_all(&content).unwrap();
    }
    out.finish().unwrap().into_inner()
}

/// One part of a workbook.
fn part(bytes: &[u8], name: &str) -> String {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut text = String::new();
    archive
        .by_name(name)
        .unwrap()
        .read_to_string(&mut text)
        .unwrap();
    text
}

#[test]
fn a_spacing_that_cannot_be_meant_is_refused() {
    for spacing in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e-6] {
        let found = FieldGrid::new(l_shape(), spacing);
        assert!(matches!(found, Err(ReportError::Range { .. })), "{spacing}");
    }
}
