//! Words that are heard alike wherever they stand: what the readings are, how the sheet lies, what befell the instrument; and what lines name no room.

use super::import_layouts::import;
use birdbath::import::{Fault, ImportOptions};

fn plain() -> ImportOptions {
    ImportOptions::default()
}

const MATRIX: &str = "ft / in,0,2,4\n0,39,39 1/16,39 3/16\n2,39,39 1/8,39\n";

/// The same words above and below a matrix and a list, and in a column of notes.
fn places(words: &str) -> [String; 5] {
    let list = "x ft,y ft,reading in\n0,0,39\n2,0,39 1/8\n0,2,39\n2,2,39 1/4\n";
    let noted = format!(
        "x ft,y ft,reading in,note\n0,0,39,\n2,0,39 1/8,\"{words}\"\n0,2,39,\n2,2,39 1/4,\n"
    );
    [
        format!("\"{words}\"\n{MATRIX}"),
        format!("{MATRIX}\n\"{words}\"\n"),
        format!("\"{words}\"\n{list}"),
        format!("{list}\n\"{words}\"\n"),
        noted,
    ]
}

/// Codes of the notices, or `refused` where the words of a setting are.
fn codes(text: &str) -> Vec<String> {
    match import(text, &plain()) {
        Ok(read) => {
            let notices = read.surveys.iter().flat_map(|s| &s.notices);
            notices.map(|n| n.code.to_string()).collect()
        }
        Err(errors) => {
            assert_eq!(errors.list()[0].fault, Fault::Setting, "{text}: {errors}");
            vec!["refused".to_owned()]
        }
    }
}

fn heard(text: &str, of: &[&str]) -> bool {
    codes(text).iter().any(|c| of.contains(&c.as_str()))
}

// ORACLE: hand: what a sentence says of the readings does not hang on where it stands.
#[test]
fn words_about_the_readings_are_heard_wherever_they_stand() {
    for words in [
        "All shots are floor heights",
        "Readings are elevations",
        "highest number = hump",
        "Figures are inches above zero",
        "readings show how high the floor is",
        "The bigger the number the higher the floor",
        "Positive is up",
    ] {
        for text in places(words) {
            assert!(heard(&text, &["title-says-heights", "refused"]), "{text}");
        }
    }
    for words in [
        "low spot at door",
        "top of slab joint",
        "Lowest: by the door",
        "reading at floor level",
        "step down",
    ] {
        let text = &places(words)[4];
        assert!(!heard(text, &["title-says-heights", "refused"]), "{text}");
    }
}

// ORACLE: hand: a mark that was not read has a note too, and the words in it are of the instrument all the same.
#[test]
fn a_note_beside_a_blank_reading_is_heard() {
    let list = |note: &str| {
        format!("x ft,y ft,reading in,note\n0,0,39,\n2,0,x,{note}\n0,2,39,\n2,2,39 1/4,\n4,2,39,\n")
    };
    assert!(heard(&list("laser bumped"), &["instrument-moved"]));
    assert!(heard(
        &list("Readings are elevations"),
        &["title-says-heights", "refused"]
    ));
    assert!(!heard(&list("blocked by bath"), &["instrument-moved"]));
}

// ORACLE: hand: a person would turn the sheet; north up is how plans lie.
#[test]
fn words_of_a_turned_sheet_are_told() {
    const TOLD: [&str; 2] = ["axes-not-read", "origin-not-read"];
    for words in [
        "Sheet is mirrored",
        "Plan is upside down",
        "North is down",
        "South at top",
        "View from below",
        "Sketch turned 180",
        "Rotated 90",
    ] {
        for text in &places(words)[..4] {
            let told = codes(text);
            let count = told.iter().filter(|c| TOLD.contains(&c.as_str())).count();
            assert_eq!(count, 1, "{text}: {told:?}");
        }
    }
    assert!(heard(&places("Sheet is mirrored")[4], &TOLD));
    for words in ["North is up", "North arrow up", "Sheet is not mirrored"] {
        for text in places(words) {
            assert!(!heard(&text, &TOLD), "{text}");
        }
    }
}

// ORACLE: hand: each tells of another height of the line, or of another measure.
#[test]
fn words_of_the_instrument_and_of_corrections_are_heard_below_and_in_notes() {
    for words in [
        "level was off, redone",
        "bubble was off",
        "add 1/4 from here",
        "benchmark rechecked 1/8 low",
        "new zero",
        "different rule from here",
        "someone hit the legs",
        "beam readjusted",
        "re-shot from here on",
    ] {
        let all = places(words);
        for text in [&all[1], &all[3], &all[4]] {
            assert!(heard(text, &["instrument-moved"]), "{text}");
        }
    }
    for words in [
        "benchmark rechecked ok",
        "zero gap",
        "hit a nail",
        "next morning",
        "1/4 from here to door",
        "air bubble",
    ] {
        let all = places(words);
        for text in [&all[1], &all[4]] {
            assert!(!heard(text, &["instrument-moved"]), "{text}");
        }
    }
}

// ORACLE: hand: the cell holds a number and a remark; leaving it blank would lose the reading.
#[test]
fn a_number_with_a_remark_is_asked_for_alone() {
    let remedy = |cell: &str| {
        let text = MATRIX.replace("39 3/16", cell);
        import(&text, &plain()).expect_err(cell).list()[0].to_string()
    };
    for cell in ["39 1/8 wet", "39 1/8+", "39 3/16 (995 mm)", "39 and 1/8"] {
        let said = remedy(cell);
        assert!(
            said.contains("write it alone") && said.contains("column of notes"),
            "{said}"
        );
    }
    assert!(!remedy("soft").contains("write it alone"));
}

// ORACLE: hand: whom the job is for and when it was done name no room; without a title a lone table is called after its file.
#[test]
fn data_of_the_job_above_a_lone_table_name_no_room() {
    let name = |title: &str| {
        let text = format!("\"{title}\"\n{MATRIX}");
        import(&text, &plain()).expect(title).surveys[0]
            .name
            .clone()
    };
    for title in [
        "Crew: Dan + Luis",
        "Client: M. Ortega",
        "Phone 555-0134",
        "PO 22871",
        "Temp 64 RH 41",
        "Sheet 1 of 1",
        "Calibrated 2/26",
    ] {
        assert_ne!(name(title), title);
    }
    for title in ["Kitchen", "Room 204", "Unit 3B", "Hall: east part"] {
        assert_eq!(name(title), title);
    }
    let text = format!("Kitchen\nCrew: Dan\n{MATRIX}");
    assert_eq!(
        import(&text, &plain()).expect("read").surveys[0].name,
        "Kitchen"
    );
}
