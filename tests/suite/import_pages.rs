//! A room over several pages, or from several set-ups: joined where the sheet says so, refused where its title makes two rooms of it.

use super::import_layouts::{good, import};
use birdbath::import::{Fault, ImportOptions};

const MATRIX: (&str, &str) = (
    "Exam 3\nft / in,0,2,4\n0,40,40 1/8,40\n2,40 1/4,40,40\n",
    "ft / in,0,2,4\n4,40 3/8,40 1/2,40\n6,40,40,40 3/4\n",
);
const LIST: (&str, &str) = (
    "Exam 3\nx_ft,y_ft,reading_in\n0,0,40\n2,0,40 1/8\n0,2,40 1/4\n2,2,40\n",
    "x_ft,y_ft,reading_in\n0,4,40\n2,4,40 3/8\n0,6,40\n2,6,40\n",
);

// ORACLE: hand. One floor cut in two would be judged without what lies between its halves.
#[test]
fn a_title_that_goes_on_with_another_is_no_room() {
    for title in [
        "Exam 3 (cont.)",
        "Exam 3 (2)",
        "Exam 3 page 2",
        "Exam 3 sheet 2 of 2",
        "Exam 3 continued",
        "Exam 3 rows 4-6",
        "Sheet 2 of 2",
        "Setup 2",
        "Second set-up",
        "Moved laser",
        "set up no. 2",
    ] {
        for (first, second) in [MATRIX, LIST] {
            let text = format!("{first}\n{title}\n{second}");
            let errors = import(&text, &ImportOptions::default()).expect_err(title);
            let [fault] = errors.list() else {
                panic!("{errors}")
            };
            let row = first.lines().count() + 2;
            assert_eq!(
                (fault.place.cell(), fault.fault),
                (format!("A{row}"), Fault::Layout)
            );
            for way in ["table above", "set-up", "room, Pantry"] {
                assert!(fault.remedy.contains(way), "{errors}");
            }
        }
    }
}

// ORACLE: hand. Other names are other rooms, and so is what a row calls one.
#[test]
fn another_name_is_another_room() {
    for title in [
        "Exam 4",
        "Hall",
        "Exam 31",
        "room,Exam 3 pantry",
        "room: Laser room",
    ] {
        for (first, second) in [MATRIX, LIST] {
            let text = format!("{first}\n{title}\n{second}");
            let rooms = good(&text, &ImportOptions::default()).surveys.len();
            assert_eq!(rooms, 2, "{title}");
        }
    }
}

// ORACLE: hand. A line that only says that the table goes on, or when it was read, names no room.
#[test]
fn a_bare_line_between_pages_names_no_room() {
    for line in [
        "(continued)",
        "Cont'd",
        "Continued from page 1",
        "Page 2",
        "5/12/2026",
        "Date: 5/12/2026",
        "\"May 12, 2026\"",
        "Tuesday 12th May 2026",
    ] {
        for (first, second) in [MATRIX, LIST] {
            let text = format!("{first}{line}\n{second}");
            let read = good(&text, &ImportOptions::default());
            assert_eq!(read.surveys.len(), 1, "{text}");
            let room = &read.understood.rooms[0];
            let line = line.trim_matches('"');
            let told = room.skipped.iter().filter(|s| s.text == line);
            assert_eq!(told.count(), 1, "{text}");
        }
        // The headings of a matrix over rows that it has not may stand behind a blank row as well.
        let apart = format!("{}\n{line}\n{}", MATRIX.0, MATRIX.1);
        assert_eq!(good(&apart, &ImportOptions::default()).surveys.len(), 1);
    }
}
