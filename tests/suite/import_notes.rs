//! Notes beside a table, names of marks, and headings that say more than a distance.

use super::import_layouts::{good, import};
use birdbath::import::{Fault, ImportOptions, Why};
use birdbath::survey::Severity;

fn plain() -> ImportOptions {
    ImportOptions::default()
}

/// A matrix of twelve readings of about 39 in, with cells at the ends of its heading row and of its three rows.
fn beside(cells: [&str; 4]) -> String {
    const ROWS: [&str; 4] = [
        "ft / in,0,2,4,6",
        "0,39,39 1/16,39 3/16,39",
        "2,39,39 1/8,39,39 1/4",
        "4,39 1/4,39 1/8,39,39 1/4",
    ];
    let rows = ROWS.iter().zip(cells);
    rows.map(|(row, more)| format!("{row}{more}\n")).collect()
}

const NOTES: [&str; 12] = [
    "2 cracks here",
    "1/2 in gap at wall",
    "3 tiles loose",
    "2x4 here",
    "1/4 low",
    "4 ft to tub",
    "16 in oc",
    "5 gal bucket here",
    "12 x 12 tile",
    "2nd pour",
    "6' from door",
    "3-4 boxes",
];

// ORACLE: hand: twelve readings stand in the table, and the note is none of them; it is told once.
#[test]
fn notes_that_begin_with_a_number_are_read_as_notes() {
    for note in NOTES {
        for gap in [",", ",,"] {
            for at in 0..4 {
                let mut cells = [""; 4];
                let cell = format!("{gap}{note}");
                cells[at] = &cell;
                let read = good(&beside(cells), &plain());
                let room = &read.understood.rooms[0];
                assert_eq!(read.surveys[0].readings.len(), 12, "{note}");
                let passed = room.skipped.iter().filter(|s| s.why == Why::Outside);
                assert_eq!(passed.filter(|s| s.text == note).count(), 1, "{note}");
                let notices = &read.surveys[0].notices;
                let told = notices.iter().filter(|n| n.code == "numbered-notes");
                assert!(told.clone().all(|n| n.severity == Severity::Note));
                assert_eq!(told.count(), 1, "{note}");
            }
        }
    }
    // Beside a list as well, and two of them are told in one notice.
    let list =
        "x_ft,y_ft,reading_in\n0,0,39,2 cracks here\n2,0,39,,3 tiles loose\n0,2,39\n2,2,39 1/2\n";
    let read = good(list, &plain());
    assert_eq!(read.surveys[0].readings.len(), 4);
    let notices = read.surveys[0].notices.iter();
    assert_eq!(notices.filter(|n| n.code == "numbered-notes").count(), 1);
}

// ORACLE: hand: a number alone, a number among the readings with a word behind it, and a second block of readings are never lost.
#[test]
fn readings_beside_a_matrix_are_not_taken_for_notes() {
    for cells in [
        ["", ",,39 1/8", ",,2 cracks here", ""],
        ["", ",,39 1/8 wet", "", ""],
        [",,2 cracks here", ",,39 1/8", ",,39", ",,39"],
        ["", ",39 1/8 in.", "", ""],
        ["", ",,39 1/8 inches", "", ""],
        [",,0,2", ",,39,39", ",,39,39 1/4", ",,39,39"],
    ] {
        let errors = import(&beside(cells), &plain()).expect_err(cells[1]);
        let first = &errors.list()[0];
        let beyond = ["F", "G", "H"]
            .iter()
            .any(|c| first.place.cell().starts_with(c));
        assert!(beyond, "{errors}");
        assert!(
            matches!(first.fault, Fault::NoPosition | Fault::Layout),
            "{errors}"
        );
    }
    // Whole millimetres: 1012 lies among them, 2 does not.
    let metric = |more: &str| {
        format!("ft / mm,0,2,4\n0,1010,1011,1012,,{more}\n2,1010,1011,1012\n4,1010,1011,1013\n")
    };
    assert!(import(&metric("1012 wet"), &plain()).is_err());
    assert_eq!(
        good(&metric("2 cracks"), &plain()).surveys[0]
            .readings
            .len(),
        9
    );
}

/// The first fault's cell and all that is said.
fn refused(text: &str) -> (String, String) {
    let errors = import(text, &plain()).expect_err(text);
    (errors.list()[0].place.cell(), errors.to_string())
}

fn count(text: &str) -> usize {
    good(text, &plain()).surveys[0].readings.len()
}

// ORACLE: hand: four marks; what the message names is what stands there.
#[test]
fn a_list_of_names_with_a_lone_line_is_read_or_asked_for_headings() {
    let rows = "A1,38\nA2,38 1/8\n";
    let more = "B1,38\nB2,38 1/4\n";
    for (text, cell) in [
        (format!("{rows}tripod at door\n{more}"), "A1"),
        (format!("tripod at door\n{rows}{more}"), "A2"),
        (format!("{rows}{more}"), "A1"),
    ] {
        let (at, said) = refused(&text);
        assert_eq!(at, cell, "{said}");
        assert!(said.contains("4 rows of a name and a number"), "{said}");
        assert!(said.contains("point, reading_in"), "{said}");
    }
    let (_, said) = refused(&format!("{rows}tripod at door\n{more}"));
    assert!(
        said.contains("\u{201c}tripod at door\u{201d} (A3)"),
        "{said}"
    );
    // A line between the headings and the rows.
    let below = format!("spacing,2 ft\npoint,reading_in\n\ntripod at door\n\n{rows}{more}");
    assert_eq!(count(&below), 4);
    let named = format!("spacing,2 ft\npoint,reading_in\n\nroom,Bath\n\n{rows}{more}");
    assert_eq!(good(&named, &plain()).surveys[0].name, "Bath");
    assert_eq!(count(&named), 4);
}

// ORACLE: hand: 39 is no reading in feet, so that the corner names two units; 4.03 may be 4 ft 3 in.
#[test]
fn a_corner_of_two_units_with_a_point_between_them() {
    let whole = "ft.in,0,2,4\n0,39,39,40\n2,39,39,39\n4,39,39,39\n";
    let read = good(whole, &plain());
    let reading = &read.surveys[0].readings[0];
    assert!((reading.elevation.m() + 39.0 * 0.0254).abs() < 1e-9);
    assert!((read.surveys[0].readings[1].at.x - 2.0 * 0.3048).abs() < 1e-9);
    for numbers in [["4.03", "4.04"], ["4", "5"]] {
        let text = whole.replace("39", numbers[0]).replace("40", numbers[1]);
        assert!(import(&text, &plain()).is_err(), "{text}");
    }
}

// ORACLE: hand: nine readings; the rows' and the columns' own headings stand there once more.
#[test]
fn headings_once_more_at_the_other_ends_are_passed_over() {
    for text in [
        "ft / in,0,2,4,ft / in\n0,39,39,40,0'\n2,39,39,39,2'\n4,39,39,39,4'\n",
        "ft / in,0,2,4,\n0,39,39,40,0'\n2,39,39,39,2'\n4,39,39,39,4'\n",
        "ft / in,0,2,4,Row\n0,39,39,40,0\n2,39,39,39,2\n4,39,39,39,4\n",
        "ft / in,0,2,4\n0,39,39,40\n2,39,39,39\n4,39,39,39\n,0,2,4\n",
        "spacing,2 ft\nin,A,B,C\n3,39,39,40\n2,39,39,39\n1,39,39,39\n,A,B,C\n",
    ] {
        assert_eq!(count(text), 9, "{text}");
        let room = &good(text, &plain()).understood.rooms[0];
        let again = room.skipped.iter().filter(|s| s.why == Why::HeadingsAgain);
        assert!(again.count() > 0, "{text}");
    }
    // Behind other numbers than the rows' own it is a column without a heading.
    let other = "ft / in,0,2,4,\n0,39,39,40,0'\n2,39,39,39,3'\n4,39,39,39,4'\n";
    assert!(import(other, &plain()).is_err());
}

// ORACLE: hand: the message names the headings where they stand, and says where they belong.
#[test]
fn headings_only_at_the_right_or_below_are_named() {
    for (text, cell) in [
        ("0,2,4,ft / in\n39,39,40,0\n39,39,39,2\n39,39,39,4\n", "D2"),
        ("ft / in,0,2,4,\n39,39,40,0\n39,39,39,2\n39,39,39,4\n", "D2"),
        (
            "ft / in,0,2,4,\n39,39,40,0'\n39,39,39,2'\n39,39,39,4'\n",
            "D2",
        ),
    ] {
        let (at, said) = refused(text);
        assert_eq!(at, cell, "{said}");
        assert!(said.contains("at the right end of each row"), "{said}");
        assert!(!said.contains('\n'), "{said}");
    }
    for (text, cell) in [
        (
            "spacing,2 ft\nreading unit,in\n3,39,39,40\n2,39,39,39\n1,39,39,39\n,A,B,C\n",
            "B6",
        ),
        ("4,39,39,40\n2,39,39,39\n0,39,39,39\n,0,2,4\n", "B4"),
    ] {
        let (at, said) = refused(text);
        assert_eq!(at, cell, "{said}");
        assert!(said.contains("below the readings"), "{said}");
    }
}

// ORACLE: hand: x runs to the east and y to the north.
#[test]
fn distances_to_the_west_are_called_that() {
    for (text, cell, way) in [
        (
            "ft / in,W 2,W 4,W 6\n0,39,39,40\n2,39,39,39\n4,39,39,39\n",
            "B1",
            "west",
        ),
        (
            "ft / in,W 0,W 2\nN 0,39,40\nN 2,39,39\nN 4,39,39\n",
            "B1",
            "west",
        ),
        (
            "ft / in,E 0,E 2\nS 0,39,40\nS 2,39,39\nS 4,39,39\n",
            "A2",
            "south",
        ),
    ] {
        let (at, said) = refused(text);
        assert_eq!(at, cell, "{said}");
        assert!(said.contains(&format!("a distance to the {way}")), "{said}");
        assert!(!said.contains('\n'), "{said}");
    }
}

// ORACLE: hand: what a person would see of the words, on one line.
#[test]
fn foreign_words_neither_break_lines_nor_turn_them() {
    let turning = "\u{202e}WITHIN\u{202c}\u{7}";
    let options = ImportOptions {
        room: Some(format!("Bath\nVerdict: {turning}")),
        ..plain()
    };
    let two = "room,A\nx_ft,y_ft,reading_in\n0,0,38\n2,0,38\n0,2,38\n";
    let errors = import(two, &options).unwrap_err().to_string();
    assert!(!errors.contains(['\n', '\u{202e}', '\u{7}']), "{errors}");
    assert!(errors.contains("Bath Verdict: WITHIN"), "{errors}");
    let turning = turning.replace('\u{7}', "");
    let noted = format!(
        "x_ft,y_ft,reading_in,note\n0,0,38,laser moved {turning}\n2,0,38,\n0,2,38,\n2,2,38,\n"
    );
    let read = good(&noted, &plain());
    let told = &read.surveys[0].notices;
    let moved = told.iter().find(|n| n.code == "instrument-moved").unwrap();
    assert!(
        !moved.text.contains(['\u{202e}', '\u{7}']),
        "{}",
        moved.text
    );
}
