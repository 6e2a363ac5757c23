//! Rows that carry on behind a lone line of words: another room, the same one after a break, or read from somewhere else.

use super::import_layouts::{good, import};
use birdbath::import::{Fault, ImportOptions, spacing};

fn plain() -> ImportOptions {
    ImportOptions::default()
}

/// A list of two rows of five, a line between blank rows, and two rows more that begin at that y.
fn broken_by(line: &str, y: usize) -> String {
    let rows = |y: usize, first: usize| -> String {
        (0..10)
            .map(|i| {
                let (x, y) = (2 * (i % 5), y + 2 * (i / 5));
                format!("{x},{y},39 {}/16\n", first + 2 * (i % 4))
            })
            .collect()
    };
    let (above, below) = (rows(0, 1), rows(y, 2));
    format!("x_ft,y_ft,reading_in\n{above},,\n{line},,\n,,\n{below}")
}

// ORACLE: hand: rows that go on at y = 4 below those at y = 0 and 2 may be the same room after a break, or another.
#[test]
fn rows_that_go_on_behind_a_lone_line_are_asked_about() {
    for line in ["Lunch", "Bath", "Coffee"] {
        let text = broken_by(line, 4);
        let errors = import(&text, &plain()).expect_err(line);
        let first = &errors.list()[0];
        assert_eq!(
            (first.fault, first.place.cell()),
            (Fault::Layout, "A13".to_owned()),
            "{line}"
        );
        assert!(
            first.remedy.contains(&format!("room, {line}")),
            "{}",
            first.remedy
        );
        assert_eq!(errors.list().len(), 1, "{errors}");
    }
    // Each of the remedies is taken.
    let text = broken_by("Lunch", 4);
    assert_eq!(
        good(&text.replace("Lunch,,", "\"room\",Bath,"), &plain())
            .surveys
            .len(),
        2
    );
    assert_eq!(
        good(&text.replace(",,\nLunch,,\n,,\n", ""), &plain())
            .surveys
            .len(),
        1
    );
}

// ORACLE: hand: both rooms are counted from their own corners, so their places are the same.
#[test]
fn a_room_counted_from_its_own_corner_is_another_and_told() {
    let read = good(&broken_by("Bath", 0), &plain());
    assert_eq!(read.surveys.len(), 2);
    let told = |i: usize| {
        let notices = &read.surveys[i].notices;
        notices
            .iter()
            .filter(|n| n.code == "line-begins-room")
            .count()
    };
    assert_eq!((told(0), told(1)), (0, 1));
    // Words of a room, a row that states it, and headings of its own say so by themselves.
    for line in ["Room 12,,", "room,Bath,", "Bath,,\nx_ft,y_ft,reading_in"] {
        let text = broken_by("Bath", 0).replace("Bath,,", line);
        let read = good(&text, &plain());
        assert_eq!(read.surveys.len(), 2, "{line}");
        let told = read.surveys[1]
            .notices
            .iter()
            .any(|n| n.code == "line-begins-room");
        assert!(!told, "{line}");
    }
}

// ORACLE: hand: a line that says that the tripod was set again parts what was read before from what was read after.
#[test]
fn words_that_the_instrument_was_moved_part_the_rows_wherever_they_go_on() {
    for y in [0, 4] {
        let errors = import(&broken_by("reset tripod", y), &plain()).expect_err("moved");
        let first = &errors.list()[0];
        assert_eq!(first.place.cell(), "A13");
        assert!(first.found.contains("between readings"), "{first}");
        assert!(first.remedy.contains("set-up"), "{first}");
    }
}

// ORACLE: hand: names count over the whole room, A3 above A2.
#[test]
fn a_list_of_names_goes_on_behind_a_lone_line_as_any_other() {
    let names = |row: usize| -> String {
        "ABCDE"
            .chars()
            .flat_map(|c| {
                [
                    format!("{c}{row},39 1/8\n"),
                    format!("{c}{},39 1/4\n", row + 1),
                ]
            })
            .collect()
    };
    let options = ImportOptions {
        spacing: Some(spacing("2 ft").expect("a spacing")),
        ..plain()
    };
    let text = |row: usize| format!("point,reading_in\n{},\nLunch,\n,\n{}", names(1), names(row));
    let errors = import(&text(3), &options).expect_err("goes on");
    assert_eq!(errors.list()[0].place.cell(), "A13");
    assert!(errors.list()[0].remedy.contains("room, Lunch"), "{errors}");
    assert_eq!(good(&text(1), &options).surveys.len(), 2);
}

// ORACLE: hand: the rows of a matrix need its headings, whatever stands between.
#[test]
fn a_lone_line_within_a_matrix_is_refused_at_its_cell() {
    for (line, says) in [
        ("Lunch", "Take the line out"),
        ("reset tripod", "column headed set-up"),
    ] {
        for blank in ["", "\n"] {
            let text = format!(
                "ft / in,0,2,4\n0,39,39 1/16,39 3/16\n2,39,39 1/16,39 3/16\n{blank}{line},,,\n{blank}4,39,39 1/4,39\n6,39,39 1/4,39\n"
            );
            let errors = import(&text, &plain()).expect_err(line);
            let first = &errors.list()[0];
            assert!(first.found.contains(line), "{first}");
            assert!(first.remedy.contains(says), "{first}");
        }
    }
}
