//! Words that the instrument was moved, wherever they stand about readings that were taken as from one set-up.

use super::import_layouts::{good, import};
use birdbath::import::{Fault, ImportOptions};

fn plain() -> ImportOptions {
    ImportOptions::default()
}

/// A matrix with words above, beside its last row and below.
fn matrix(above: &str, beside: &str, below: &str) -> String {
    format!(
        "{above}ft / in,0,2,4,6\n0,39,39 1/16,39 3/16,39\n2,39,39 1/8,39,39 1/4\n4,40,40 1/8,40,40 1/4{beside}\n{below}"
    )
}

fn warned(text: &str) -> bool {
    let read = good(text, &plain());
    let mut notices = read.surveys[0].notices.iter();
    notices.any(|n| n.code == "instrument-moved")
}

// ORACLE: hand: what the words say does not hang on where they stand.
#[test]
fn words_of_a_move_are_warned_of_above_beside_and_below() {
    for words in [
        "Note: tripod moved between rows 2 and 3",
        "rows 3-4 are 1 1/4 high (laser moved)",
        "Setup 1: rows 1-2; Setup 2: rows 3-4",
        "HI changed 1 1/4 at row 3",
        "laser knocked over",
    ] {
        assert!(
            warned(&matrix(&format!("Kitchen\n{words}\n\n"), "", "")),
            "above: {words}"
        );
        assert!(
            warned(&matrix(&format!("{words}\n"), "", "")),
            "as a title: {words}"
        );
        assert!(
            warned(&matrix("", &format!(",,{words}"), "")),
            "beside: {words}"
        );
        assert!(
            warned(&matrix("", "", &format!("\n{words}\n"))),
            "below: {words}"
        );
        let list =
            format!("x_ft,y_ft,reading_in,note\n0,0,39,\n2,0,39 1/8,{words}\n0,2,39,\n2,2,39,\n");
        assert!(warned(&list), "note: {words}");
    }
    for words in [
        "Laser 2",
        "BM 100.00",
        "hi spot",
        "station 2+00",
        "one setup for all",
        "Level 2",
    ] {
        assert!(
            !warned(&matrix(&format!("Kitchen\n{words}\n\n"), "", "")),
            "above: {words}"
        );
    }
    for words in [
        "BM 100.00",
        "hi spot",
        "moved boxes",
        "bumped up slab",
        "line of columns",
    ] {
        assert!(
            !warned(&matrix("", "", &format!("\n{words}\n"))),
            "below: {words}"
        );
    }
}

// ORACLE: hand: notes in columns under compound headings, joined as they stand.
#[test]
fn columns_of_notes_by_compound_headings_are_joined() {
    for heading in [
        "Notes / comments",
        "Field notes",
        "Crew notes",
        "Observations",
        "Memo",
        "Remarks 2",
    ] {
        let text = format!(
            "x_ft,y_ft,reading_in,note,{heading}\n0,0,39,hump,at door\n2,0,39 1/8,,reset tripod\n0,2,39,edge,\n2,2,39,,\n"
        );
        let read = good(&text, &plain());
        let notes: Vec<Option<&str>> = read.surveys[0]
            .readings
            .iter()
            .map(|r| r.note.as_deref())
            .collect();
        assert_eq!(
            notes,
            [
                Some("hump; at door"),
                Some("reset tripod"),
                Some("edge"),
                None
            ],
            "{heading}"
        );
        assert!(warned(&text), "{heading}");
        // A last column of a matrix as well.
        let matrix = format!(
            "ft / in,0,2,4,{heading}\n0,39,39 1/8,39,\n2,39,39,39 1/4,2 boxes here\n4,39,39,39,\n"
        );
        assert_eq!(
            good(&matrix, &plain()).surveys[0].readings.len(),
            9,
            "{heading}"
        );
    }
}

// ORACLE: hand: `likely` words between the rows of a list are told, sure ones refused.
#[test]
fn between_rows_only_plain_words_refuse() {
    let list = |words: &str| {
        format!(
            "x_ft,y_ft,reading_in\n0,0,39\n2,0,39 1/8\n4,0,39\n{words},,\n0,2,39\n2,2,39\n4,2,39\n"
        )
    };
    let errors = import(&list("laser knocked over"), &plain()).expect_err("sure");
    assert_eq!(errors.list()[0].fault, Fault::Layout);
    assert_eq!(errors.list()[0].place.cell(), "A5");
    assert!(warned(&list("shot from kitchen doorway")));
    assert!(!warned(&list("kitchen side")));
}

// ORACLE: hand: an instrument and what was done to it, in either order, and phrases that need no instrument; what speaks of the floor does not.
#[test]
fn words_of_a_disturbed_instrument_are_warned_of_in_notes_and_beside() {
    let list = |note: &str| {
        format!("x_ft,y_ft,reading_in,note\n0,0,39,\n2,0,39 1/8,{note}\n0,2,39,\n2,2,39,\n")
    };
    for words in [
        "relevel",
        "inst. moved",
        "HI 4.62 now",
        "tripod sank",
        "moved to hall",
        "turned on TP1",
        "battery died",
        "new batteries",
        "laser out of level",
        "receiver changed",
    ] {
        assert!(warned(&list(words)), "{words}");
        let beside = matrix("", &format!(",,{words}"), "");
        assert!(warned(&beside), "beside: {words}");
    }
    for words in [
        "door moved? no",
        "laser moved? no",
        "wet spot",
        "laser at door",
        "line at 4 ft",
        "level change at door",
    ] {
        assert!(!warned(&list(words)), "{words}");
        let beside = matrix("", &format!(",,{words}"), "");
        assert!(!warned(&beside), "beside: {words}");
    }
}
