//! Statements around a list: where its distances count from, what its numbers are, and for which rooms of a sheet.

use super::import_layouts::{good, import, spots};
use birdbath::import::{Fault, ImportOptions, Source, read};

const LIST: &str = "x_ft,y_ft,reading_in\n0,0,31\n2,0,31\n4,0,31\n0,2,31\n2,2,30 7/8\n4,2,31 1/8\n";
const HEIGHTS: &str = "x_ft,y_ft,Height (in)\n0,0,31\n4,0,31\n0,4,31\n4,4,31\n2,2,30\n";
/// Where the first reading lies, as written and turned over: columns 4 ft across, rows 2 ft apart.
const AS_WRITTEN: (f64, f64) = (0.0, 0.0);
const TURNED_X: (f64, f64) = (4.0, 0.0);
const TURNED_Y: (f64, f64) = (0.0, 2.0);

fn plain() -> ImportOptions {
    ImportOptions::default()
}

/// The first fault's cell and kind, and all that is said.
fn refused(text: &str) -> (String, Fault, String) {
    let errors = import(text, &plain()).expect_err(text);
    let first = &errors.list()[0];
    (first.place.cell(), first.fault, errors.to_string())
}

fn first_spot(text: &str) -> (f64, f64) {
    spots(&good(text, &plain()))[0]
}

// ORACLE: hand. From A to B the zero is at A.
#[test]
fn from_one_side_to_another_counts_from_the_first() {
    for (said, spot) in [
        ("x runs left to right", AS_WRITTEN),
        ("x goes left to right", AS_WRITTEN),
        ("x counts from left to right", AS_WRITTEN),
        ("y from door to back wall", AS_WRITTEN),
        ("Measured from door to back wall", AS_WRITTEN),
        ("\"x left to right, y bottom to top\"", AS_WRITTEN),
        ("y from the entrance toward the far wall", AS_WRITTEN),
        ("y = 0 at far wall", TURNED_Y),
        ("y runs top to bottom", TURNED_Y),
        ("y runs back to front", TURNED_Y),
        ("x runs right to left", TURNED_X),
        ("Start at NW corner", TURNED_Y),
        ("Zero at far left corner", TURNED_Y),
        ("y taken off the far wall", TURNED_Y),
        ("Start point: top left", TURNED_Y),
        ("Reference corner: far left", TURNED_Y),
        ("0 at back wall", TURNED_Y),
        ("y axis down", TURNED_Y),
        ("Tile layout origin: back left corner", AS_WRITTEN),
        ("Origin of crack: back left corner", AS_WRITTEN),
        ("Laser origin: back left corner", AS_WRITTEN),
        ("Cabinet run y from far wall 2 ft", AS_WRITTEN),
    ] {
        for text in [format!("{said}\n{LIST}"), format!("{LIST}\n{said}\n")] {
            assert_eq!(first_spot(&text), spot, "{text}");
        }
    }
}

// ORACLE: hand. Which side of the room the door is on, the sheet does not say.
#[test]
fn sides_that_are_not_understood_are_refused_with_their_cell() {
    for said in [
        "y increases toward the door",
        "Origin: door",
        "y = 0 at left wall",
        "\"Origin: back left corner, y from near wall\"",
    ] {
        let (cell, fault, words) = refused(&format!("{said}\n{LIST}"));
        assert_eq!((cell.as_str(), fault), ("A1", Fault::Setting), "{words}");
        assert!(words.contains("Origin: back left corner"), "{words}");
    }
}

// ORACLE: hand. The same words mean the same wherever they stand.
#[test]
fn an_origin_beside_a_list_or_right_below_it_is_kept_to() {
    let said = "Origin: back left corner";
    let beside = |row: usize, gap: &str| -> String {
        let rows = LIST.lines().enumerate();
        let more = |i| if i == row { said } else { "" };
        rows.map(|(i, line)| format!("{line},{gap}{}\n", more(i)))
            .collect()
    };
    for text in [
        beside(2, ""),
        beside(2, ","),
        beside(0, ""),
        beside(0, ","),
        format!("{LIST}{said}\n"),
        format!("{LIST}\"0,0 = upper left\"\n"),
    ] {
        assert_eq!(first_spot(&text), TURNED_Y, "{text}");
    }
}

// ORACLE: hand. Above the first title, or of all rooms, words hold for both; under a title for its own.
#[test]
fn a_statement_holds_for_its_rooms() {
    let rooms = format!("Bath\n{LIST}\nHall\n{LIST}").replacen("30 7/8", "30 3/4", 1);
    let under = rooms.replace("Bath\n", "Bath\nOrigin: back left corner\n");
    for (text, second) in [
        (format!("Origin: back left corner\n\n{rooms}"), TURNED_Y),
        (format!("{rooms}\nAll rooms: y from far wall\n"), TURNED_Y),
        (under, AS_WRITTEN),
    ] {
        let found = good(&text, &plain());
        let names: Vec<&str> = found.understood.rooms.iter().map(|r| &*r.name).collect();
        assert_eq!(names, ["Bath", "Hall"], "{text}");
        let feet = |i: usize| {
            let at = found.surveys[i].readings[0].at;
            ((at.x / 0.3048).round(), (at.y / 0.3048).round())
        };
        assert_eq!((feet(0), feet(1)), (TURNED_Y, second), "{text}");
    }
    let data = rooms
        .replace("Bath\n", "Bath\nBy JR\n")
        .replace("Hall\n", "Hall\nJob 4411\n");
    let found = good(&data, &plain());
    let names: Vec<&str> = found.understood.rooms.iter().map(|r| &*r.name).collect();
    assert_eq!(names, ["Bath", "Hall"]);
}

// ORACLE: hand.
#[test]
fn words_that_say_what_numbers_are_measured_from_are_heard() {
    for said in [
        "Measured from laser",
        "From laser line",
        "Taken from the laser",
        "from string line",
        "more = lower",
    ] {
        let (_, fault, words) = refused(&format!("{said}\n{HEIGHTS}"));
        assert_eq!(fault, Fault::Setting, "{words}");
        good(&format!("{said}\n{LIST}"), &plain());
    }
    for said in [
        "Above benchmark",
        "Measured up from string line at floor",
        "more is higher",
    ] {
        let (_, fault, words) = refused(&format!("{said}\n{LIST}"));
        assert_eq!(fault, Fault::Setting, "{words}");
        good(&format!("{said}\n{HEIGHTS}"), &plain());
    }
    good(&format!("Readings not elevations\n{LIST}"), &plain());
    good(
        &format!(
            "Pour up to line on wall\n{}",
            HEIGHTS.replace("Height", "Elevation")
        ),
        &plain(),
    );
}

// ORACLE: hand. 31 and 30 3/4 in below the line: the larger is the lower.
#[test]
fn a_corner_reads_its_second_unit_with_its_word() {
    let grid = "ft / in down,0,2,4\n0,31,31,31\n2,31,30 3/4,31\n4,31,31,31\n";
    let inches = |text: &str| -> Vec<f64> {
        let readings = &good(text, &plain()).surveys[0].readings;
        let round = |m: f64| (m / 0.0254 * 1e4).round() / 1e4;
        readings.iter().map(|r| round(r.elevation.m())).collect()
    };
    assert!(inches(grid).contains(&-30.75));
    assert!(inches(&grid.replace("down", "elev")).contains(&30.75));
    let (cell, _, words) = refused(&grid.replace("down", "laser"));
    assert_eq!(cell, "A1", "{words}");
    assert!(words.contains("ft / in laser"), "{words}");
}

// ORACLE: hand. The same bytes under any name.
#[test]
fn a_file_name_says_nothing_of_the_numbers() {
    let grid = "ft / in,0,2,4\n0,31,31,31\n2,31,30 3/4,31\n4,31,31,31\n";
    for name in ["elevations.csv", "ftin.csv", "plan ft, readings.csv"] {
        for text in [grid, LIST] {
            let source = Source {
                name,
                bytes: text.as_bytes(),
            };
            let found = read(&source, &plain()).unwrap_or_else(|e| panic!("{name}: {e}"));
            let said = found.surveys[0].notices.iter();
            let said: Vec<_> = said.filter(|n| n.code.starts_with("title-says")).collect();
            assert!(said.is_empty(), "{name}: {said:?}");
        }
    }
}
