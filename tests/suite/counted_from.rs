//! Several sheets of one floor that count from the right or the far wall: all are turned over about one line.

use birdbath::geometry::Point;
use birdbath::import::Imported;
use birdbath::job::{Inputs, JobFile, Prepared, prepare, prepare_beside};
use std::fmt::Write;

const FT: f64 = 0.3048;

/// Heights of a floor of 12 by 8 ft on 2 ft, in sixteenths below a level: no two marks alike, so that a mark in another's place shows.
fn down(column: usize, row: usize) -> usize {
    7 * column + row
}

/// A list of the columns from and to, counted in x as `place` counts.
fn list(
    heading: &str,
    columns: std::ops::RangeInclusive<usize>,
    place: impl Fn(usize) -> usize,
) -> String {
    let mut text = format!("{heading},y_ft,reading_in\n");
    for column in columns {
        for row in 0..5 {
            let reading = down(column, row);
            let inches = 31.0 + reading as f64 / 16.0;
            writeln!(text, "{},{},{inches}", place(column), 2 * row).unwrap();
        }
    }
    text
}

fn job(files: &[(&str, &str)], entry: &str, head: &str) -> Result<Vec<Prepared>, String> {
    let (job, inputs) = parts(files, entry, head);
    prepare(&job, &inputs).map_err(|e| e.to_string())
}

fn parts(files: &[(&str, &str)], entry: &str, head: &str) -> (JobFile, Inputs) {
    let mut text = format!("{head}\n");
    let mut inputs = Inputs::default();
    for (k, (name, held)) in files.iter().enumerate() {
        inputs.insert(*name, held.as_bytes().to_vec());
        if *name != "outline.csv" {
            write!(
                text,
                "[[readings]]\nfile = \"{name}\"\nset_up = \"{k}\"\n{entry}\n"
            )
            .unwrap();
        }
    }
    let job = JobFile::parse("job.toml", text.as_bytes()).unwrap_or_else(|e| panic!("{e}"));
    (job, inputs)
}

/// Each reading's place in feet from the leftmost and the lowest reading of `all`, with its sixteenths.
fn spots(survey: &birdbath::survey::Survey, low: Point) -> Vec<(i64, i64, i64)> {
    let mut out: Vec<_> = survey
        .readings
        .iter()
        .map(|r| {
            let feet = |m: f64| (m / FT).round() as i64;
            let sixteenths = (-r.elevation.m() / 0.0254 - 31.0) * 16.0;
            (
                feet(r.at.x - low.x),
                feet(r.at.y - low.y),
                sixteenths.round() as i64,
            )
        })
        .collect();
    out.sort_unstable();
    out.dedup();
    out
}

fn low(survey: &birdbath::survey::Survey) -> Point {
    survey
        .readings
        .iter()
        .fold(Point::new(f64::MAX, f64::MAX), |low, r| {
            Point::new(low.x.min(r.at.x), low.y.min(r.at.y))
        })
}

fn whole() -> Vec<(i64, i64, i64)> {
    let mut all: Vec<_> = (0..7)
        .flat_map(|c| (0..5).map(move |r| (2 * c as i64, 2 * r as i64, down(c, r) as i64)))
        .collect();
    all.sort_unstable();
    all
}

// ORACLE: hand. A floor read from two set-ups, each on its own sheet, is the floor of both, wherever the sheets count from.
#[test]
fn set_ups_on_sheets_of_their_own_lie_where_one_sheet_would() {
    let plain = |c: usize| 2 * c;
    let turned = |c: usize| 2 * (6 - c);
    for (heading, place) in [
        ("x_ft", &plain as &dyn Fn(usize) -> usize),
        ("x from right wall (ft)", &turned),
    ] {
        let (left, right) = (list(heading, 0..=3, place), list(heading, 2..=6, place));
        for files in [
            [("a.csv", &*left), ("b.csv", &*right)],
            [("b.csv", &*right), ("a.csv", &*left)],
        ] {
            let rooms = job(&files, "", "").unwrap_or_else(|e| panic!("{heading}: {e}"));
            let survey = &rooms[0].survey;
            assert_eq!(spots(survey, low(survey)), whole(), "{heading}");
            assert_eq!(low(survey), Point::new(0.0, 0.0), "{heading}");
        }
    }
}

/// A picture of the room, its first row the far wall, of the rows from and to, counted from that wall.
fn picture(rows: std::ops::RangeInclusive<usize>) -> String {
    let mut text = "in,A,B,C,D,E,F,G\n".to_owned();
    for n in rows {
        write!(text, "{n}").unwrap();
        for column in 0..7 {
            write!(text, ",{}", 31.0 + down(column, 5 - n) as f64 / 16.0).unwrap();
        }
        text.push('\n');
    }
    text
}

// ORACLE: hand. Row 3 of either picture is one row of the floor.
#[test]
fn pictures_of_parts_of_a_room_lie_by_their_own_row_numbers() {
    let (far, near) = (picture(1..=3), picture(3..=5));
    for files in [
        [("far.csv", &*far), ("near.csv", &*near)],
        [("near.csv", &*near), ("far.csv", &*far)],
    ] {
        let rooms = job(&files, "spacing = \"2 ft\"", "").unwrap();
        let survey = &rooms[0].survey;
        assert_eq!(spots(survey, low(survey)), whole());
    }
}

// ORACLE: hand. What was read again of a floor stands where it stood, though it is only a part of it.
#[test]
fn a_part_that_is_read_again_lies_where_it_lay() {
    let turned = |c: usize| 2 * (6 - c);
    let origin = |text: String| format!("Origin: near right corner\n{text}");
    let lists = (
        list("x from right wall (ft)", 0..=6, turned),
        list("x from right wall (ft)", 2..=5, turned),
    );
    let by_words = (
        origin(list("x_ft", 0..=6, turned)),
        origin(list("x_ft", 2..=5, turned)),
    );
    for ((before, after), entry) in [
        (lists, ""),
        (by_words, ""),
        ((picture(1..=5), picture(2..=4)), "spacing = \"2 ft\""),
    ] {
        let first = job(&[("before.csv", &before)], entry, "").unwrap();
        let (again, inputs) = parts(&[("after.csv", &after)], entry, "");
        let imported: &[Imported] = &first[0].imported;
        let second = prepare_beside(&again, &inputs, imported).unwrap();
        let zero = low(&first[0].survey);
        let (then, now) = (
            spots(&first[0].survey, zero),
            spots(&second[0].survey, zero),
        );
        assert_eq!(then, whole());
        assert!(
            now.len() < then.len() && now.iter().all(|s| then.contains(s)),
            "{now:?}"
        );
    }
}

// ORACLE: hand. One list from the right wall and one from the left lie to one another by the room's width, which only an outline tells.
#[test]
fn sheets_that_count_from_opposite_walls_need_the_walls() {
    let left = list("x_ft", 0..=3, |c| 2 * c);
    let right = list("x from right wall (ft)", 2..=6, |c| 2 * (6 - c));
    let files = [("a.csv", &*left), ("b.csv", &*right)];
    let said = job(&files, "", "").unwrap_err();
    for word in ["b.csv", "right wall", "a.csv", "left", "outline"] {
        assert!(said.contains(word), "{said}");
    }
    let walls = "x_ft,y_ft\n0,0\n12,0\n12,8\n0,8\n";
    let with = [files[0], files[1], ("outline.csv", walls)];
    let rooms = job(&with, "", "outline = \"outline.csv\"").unwrap();
    assert_eq!(spots(&rooms[0].survey, Point::new(0.0, 0.0)), whole());
    // The other day as well.
    let first = job(&[("a.csv", &left)], "", "").unwrap();
    let (again, inputs) = parts(&[("b.csv", &right)], "", "");
    let said = prepare_beside(&again, &inputs, &first[0].imported)
        .unwrap_err()
        .to_string();
    assert!(said.contains("b.csv") && said.contains("a.csv"), "{said}");
    // A picture is only meant to count from the far wall: told, not refused.
    let list = list("x_ft", 0..=3, |c| 2 * c);
    let picture = picture(1..=5);
    let files = [("list.csv", &*list), ("picture.csv", &*picture)];
    let (mut job, inputs) = parts(&files, "", "");
    job.readings[1].spacing = Some("2 ft".to_owned());
    let rooms = prepare(&job, &inputs).unwrap_or_else(|e| panic!("{e}"));
    let told = &rooms[0].survey.notices;
    assert!(
        told.iter().any(|n| n.code == "counted-from-opposite-walls"),
        "{told:?}"
    );
}
