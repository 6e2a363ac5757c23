//! Remarks that take a reading back, headings that name a wall, rows and headings out of their places, and lines above a table that say its units.

use super::import_layouts::{good, import};
use birdbath::import::{ImportOptions, Imported};
use birdbath::survey::findings::suspected;
use birdbath::survey::{Notice, Severity};
use birdbath::units::LengthUnit;

fn plain() -> ImportOptions {
    ImportOptions::default()
}

fn told<'a>(read: &'a Imported, code: &'a str) -> impl Iterator<Item = &'a Notice> {
    let notices = read.surveys.iter().flat_map(|s| &s.notices);
    notices.filter(move |n| n.code == code)
}

const TAKEN_BACK: &str = "reading-taken-back";

/// A remark on the reading 40 1/8 in at (2, 2) ft: in a column of notes, in a cell of its own, and in the notes of a matrix.
fn beside(remark: &str) -> [String; 3] {
    [
        format!(
            "x (ft),y (ft),reading (in),notes\n0,0,40,\n2,0,40,\n0,2,40,\n2,2,40 1/8,\"{remark}\"\n"
        ),
        format!("x (ft),y (ft),reading (in)\n0,0,40\n2,0,40\n0,2,40\n2,2,40 1/8,\"{remark}\"\n"),
        format!("ft / in,0,2,Notes\n0,40,40,\n2,40,40 1/8,\"{remark}\"\n"),
    ]
}

// ORACLE: hand. The remark speaks of the reading at (2, 2) ft: it counts, and is told once with the cell of the reading or of the remark.
#[test]
fn a_remark_that_takes_a_reading_back_is_told_once_wherever_it_stands() {
    for remark in [
        "do not use",
        "should be 41 1/8",
        "BAD - ignore",
        "rod upside down",
        "misread",
        "wrong",
        "re-shoot",
        "suspect",
        "crossed out",
        "void reading",
        "check this one",
    ] {
        for (text, cell) in beside(remark).iter().zip(["C5", "D5", "D3"]) {
            let read = good(text, &plain());
            assert_eq!(read.surveys[0].readings.len(), 4, "{text}");
            let all: Vec<&Notice> = told(&read, TAKEN_BACK).collect();
            assert_eq!(all.len(), 1, "{text}");
            assert_eq!(all[0].severity, Severity::Warning);
            assert!(all[0].place.ends_with(cell), "{} {text}", all[0].place);
            assert!(
                all[0].text.contains(remark) && all[0].text.contains("Write x"),
                "{}",
                all[0].text
            );
        }
    }
    for remark in [
        "wet",
        "bad concrete",
        "ignore crack",
        "looked wrong, rechecked OK",
        "near door",
    ] {
        for text in beside(remark) {
            assert_eq!(
                told(&good(&text, &plain()), TAKEN_BACK).count(),
                0,
                "{text}"
            );
        }
    }
}

// ORACLE: hand. A note of its own makes its reading a suspected one (the fourth); a remark on a row or a line below names none.
#[test]
fn a_reading_that_its_note_takes_back_is_suspected() {
    for (text, suspects) in beside("do not use").iter().zip([vec![3], vec![], vec![]]) {
        let read = good(text, &plain());
        let survey = &read.surveys[0];
        assert_eq!(
            suspected(&survey.notices, &survey.readings),
            suspects,
            "{text}"
        );
    }
    let below = "ft / in,0,2\n0,40,40\n2,40,40 1/8\n\nIgnore row 2\n";
    let read = good(below, &plain());
    let first = told(&read, TAKEN_BACK).next().expect("told");
    assert!(first.place.ends_with("A5"), "{}", first.place);
    // Where nothing was read a remark takes nothing back.
    for nothing in ["x", ""] {
        let blank = format!(
            "x (ft),y (ft),reading (in),notes\n0,0,40,\n2,0,40,\n0,2,40,\n2,2,{nothing},do not use\n"
        );
        assert_eq!(told(&good(&blank, &plain()), TAKEN_BACK).count(), 0);
    }
}

// ORACLE: hand: of fifty remarks thirty are told one by one and the rest is counted.
#[test]
fn many_remarks_are_told_in_the_end_together() {
    let mut text = "x (ft),y (ft),reading (in),notes\n".to_owned();
    for k in 0..50 {
        text.push_str(&format!("{},{},40,misread\n", k % 10, k / 10));
    }
    let read = good(&text, &plain());
    let all: Vec<&Notice> = told(&read, TAKEN_BACK).collect();
    assert_eq!(all.len(), 31);
    assert!(all[30].text.starts_with("20 more"), "{}", all[30].text);
}

/// Six readings whose y, 0 to 4 ft, stands under a heading; the lowest floor is at y = 4.
fn headed(x: &str, y: &str) -> String {
    format!("{x},{y},reading (in)\n0,0,40\n2,0,40\n0,2,40\n2,2,40\n0,4,40\n2,4,41\n")
}

/// Where the lowest reading, 41 in, stands, ft.
fn lowest(read: &Imported) -> (f64, f64) {
    let readings = read.surveys[0].readings.iter();
    let low = readings.min_by(|a, b| a.elevation.m().total_cmp(&b.elevation.m()));
    let at = low.expect("six readings").at;
    (
        (at.x / 0.3048 * 1e6).round() / 1e6,
        (at.y / 0.3048 * 1e6).round() / 1e6,
    )
}

// ORACLE: hand. The reading 41 in is written at 2 ft and 4 ft. 4 ft from the back wall is 0 ft from the near end of what was read.
#[test]
fn distances_count_from_the_wall_that_their_heading_names() {
    for (heading, y) in [
        ("Feet from back wall", 0.0),
        ("To back wall (ft)", 0.0),
        ("Distance to the back wall (ft)", 0.0),
        ("Ft. off back wall", 0.0),
        ("Feet from front wall", 4.0),
        ("To front wall (ft)", 4.0),
    ] {
        let read = good(&headed("From left wall (ft)", heading), &plain());
        assert_eq!(lowest(&read), (2.0, y), "{heading}");
        let turned = told(&read, "list-turned").count();
        assert_eq!(turned, usize::from(y == 0.0), "{heading}");
    }
    let read = good(
        &headed("Feet to right wall", "Feet from front wall"),
        &plain(),
    );
    assert_eq!(lowest(&read), (0.0, 4.0));
}

// ORACLE: hand. Which wall the door is in nobody can tell, and headed x or y the plan might be mirrored: no remedy says to head it so.
#[test]
fn a_heading_by_a_wall_that_is_not_known_is_asked_about() {
    for (x, y) in [
        ("Distance from door wall (ft)", "y (ft)"),
        ("x (ft)", "Back wall (ft)"),
        (
            "Distance from door wall (ft)",
            "Distance from window wall (ft)",
        ),
        ("x (ft)", "y to back wall (ft)"),
    ] {
        let errors = import(&headed(x, y), &plain()).expect_err(x).to_string();
        assert!(errors.contains("from far wall (ft)"), "{errors}");
        assert!(errors.contains("mirrored"), "{errors}");
        assert!(!errors.contains("head them x and y"), "{errors}");
    }
}

// ORACLE: hand. The second row lost a cell; one that ends with a comma says that nothing was read there, and a file of which half of the rows
// are short leaves empty cells away.
#[test]
fn a_matrix_row_that_lost_a_cell_is_told() {
    let rows = |second: &str, third: &str| {
        format!("ft / in,0,2,4\n0,40,40,40\n2,{second}\n4,{third}\n6,40,40,40\n")
    };
    let read = good(&rows("40 1/8,40", "40,40,40"), &plain());
    let short: Vec<&Notice> = told(&read, "short-row").collect();
    assert_eq!(short.len(), 1);
    assert!(short[0].place.contains("row 3"), "{}", short[0].place);
    for text in [
        rows("40 1/8,40,", "40,40,40"),
        rows("40 1/8,40", "40,40"),
        rows("40 1/8,40,x", "40,40,40"),
        rows("40 1/8,40,40", "40,40,40"),
    ] {
        assert_eq!(
            told(&good(&text, &plain()), "short-row").count(),
            0,
            "{text}"
        );
    }
}

// ORACLE: hand. Headings that are exchanged stand where they say, and that is told; those that run one way are not.
#[test]
fn headings_that_turn_back_are_told() {
    let sheet = |across: &str, sides: [&str; 3]| {
        let [a, b, c] = sides;
        format!("ft / in,{across}\n{a},40,40,40\n{b},40,40,40\n{c},40,40,40\n")
    };
    for (text, count) in [
        (sheet("0,4,2", ["0", "2", "4"]), 1),
        (sheet("0,2,4", ["0", "4", "2"]), 1),
        (sheet("A (0'),B (4'),C (2')", ["0", "2", "4"]), 1),
        (sheet("0,4,2", ["2", "0", "4"]), 2),
        (sheet("0,2,4", ["0", "2", "4"]), 0),
        (sheet("4,2,0", ["0", "2", "3"]), 0),
    ] {
        let read = good(&text, &plain());
        assert_eq!(told(&read, "headings-turn").count(), count, "{text}");
    }
}

// ORACLE: hand: the line says the units, and is no row of headings and no room's name.
#[test]
fn a_line_in_plain_words_says_the_units() {
    use LengthUnit::{Foot, Inch, Millimetre};
    let matrix = ",0,2,4\n0,40,40 1/8,40\n2,40,40,40\n4,40,40,40 1/4\n";
    let list = "x,y,reading\n0,0,40\n2,0,40 1/8\n0,2,40 1/4\n2,2,40\n";
    for line in [
        "Grid in feet, readings in inches",
        "\"Grid in feet, readings in inches\"",
        "\"dims in ft, rod in inches\"",
        "plan in feet; readings in inches",
    ] {
        for table in [matrix, list] {
            let read = good(&format!("{line}\n{table}"), &plain());
            let room = &read.understood.rooms[0];
            assert_eq!(room.plan_unit, Some(Foot), "{line}");
            assert_eq!(room.reading_unit, Some(Inch), "{line}");
            assert_eq!(read.surveys[0].name, "test", "{line}");
        }
    }
    let titled = format!("Kitchen,grid in feet,readings in inches\n{list}");
    assert_eq!(good(&titled, &plain()).surveys[0].name, "Kitchen");
    let metric = ",0,600,1200\n0,1000,1001,1002\n600,1000,1000,1003\n";
    for line in ["mm throughout", "All in mm", "All dimensions in mm"] {
        let read = good(&format!("{line}\n{metric}"), &plain());
        assert_eq!(
            read.understood.rooms[0].plan_unit,
            Some(Millimetre),
            "{line}"
        );
        assert_eq!(
            read.understood.rooms[0].reading_unit,
            Some(Millimetre),
            "{line}"
        );
    }
    // A heading stands over the line, which is held against it.
    let other =
        "readings in inches\nx (ft),y (ft),reading (mm)\n0,0,1000\n2,0,1001\n0,2,1002\n2,2,1000\n";
    let read = good(other, &plain());
    assert_eq!(read.understood.rooms[0].reading_unit, Some(Millimetre));
    assert_eq!(
        told(&read, "other-unit-there").count() + told(&read, "title-says-unit").count(),
        1
    );
    // Right over numbers such words are headings.
    let headings = "x in ft,y in ft,readings in inches\n0,0,40\n2,0,40 1/8\n0,2,40\n";
    assert_eq!(good(headings, &plain()).surveys[0].readings.len(), 3);
}

// ORACLE: hand: the line says that the numbers run down; `Kitchen` does not.
#[test]
fn a_line_that_says_which_way_the_readings_run_is_heard() {
    let matrix = "ft / in,0,2,4\n0,40,40 1/8,40\n2,40,40,40\n";
    for line in [
        "Measured down from the laser",
        "down from line",
        "readings are from laser down to floor",
        "Readings: laser to floor",
    ] {
        for text in [format!("{line}\n{matrix}"), format!("{matrix}\n{line}\n")] {
            let read = good(&text, &plain());
            assert!(read.understood.rooms[0].meaning_stated, "{text}");
            assert_eq!(told(&read, "meaning-taken").count(), 0, "{text}");
        }
    }
    let read = good(&format!("Kitchen\n{matrix}"), &plain());
    assert!(!read.understood.rooms[0].meaning_stated);
    assert_eq!(told(&read, "meaning-taken").count(), 1);
}

// ORACLE: hand: of these lines only the last is a room.
#[test]
fn days_legends_and_instructions_name_no_room() {
    let matrix = "ft / in,0,2,4\n0,40,40 1/8,40\n2,40,40,40\n";
    for (line, name) in [
        ("\"Mon 12 May, Petra\"", "test"),
        ("<- window wall ->", "test"),
        ("Bring 40 bags", "test"),
        ("Kitchen", "Kitchen"),
    ] {
        let read = good(&format!("{line}\n{matrix}"), &plain());
        assert_eq!(read.surveys[0].name, name, "{line}");
    }
}
