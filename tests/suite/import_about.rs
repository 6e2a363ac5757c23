//! What stands about a table in cells of its own: labels with their values one below another, walls beside the rows, words of a storey.

use super::import_layouts::{good, import};
use birdbath::import::{Fault, ImportOptions, Meaning};
use birdbath::survey::FirstRow;

const MATRIX: &str = "ft / in,0,2,4\n0,38,38 1/8,38\n2,38,38 1/4,38\n4,38,38,38 1/8\n";
const LIST: &str = "x_ft,y_ft,reading_in\n0,0,38\n2,0,38 1/8\n0,2,38\n2,2,38 1/4\n";

fn plain() -> ImportOptions {
    ImportOptions::default()
}

fn codes(text: &str, options: &ImportOptions) -> Vec<String> {
    let surveys = good(text, options).surveys;
    let notices = surveys.iter().flat_map(|s| &s.notices);
    notices.map(|n| n.code.to_string()).collect()
}

fn names(text: &str) -> Vec<String> {
    let found = good(text, &plain());
    found.surveys.iter().map(|s| s.name.clone()).collect()
}

// ORACLE: hand. A label with its value stands over another one: the room is named by the first of them.
#[test]
fn labels_with_their_values_one_below_another_are_pairs() {
    for below in ["Setup,1", "Set up,1", "Level,2", "Phase,1", "Step,2"] {
        for table in [MATRIX, LIST] {
            let other = table.replace("38", "39");
            let two = format!("Room,Kitchen\n{below}\n{table}\nRoom,Bath\n{below}\n{other}");
            assert_eq!(names(&two), ["Kitchen", "Bath"], "{below}");
        }
    }
    let stated = format!("room,Kitchen\nmeaning,down\nSetup,1\n{LIST}");
    let found = good(&stated, &plain());
    assert_eq!(found.surveys[0].name, "Kitchen");
    assert_eq!(found.understood.rooms[0].meaning, Meaning::Down);
    // Words over their values are read as before.
    for (words, values) in [("Room,Level", "Kitchen,2"), ("Room,Phase", "Kitchen,1")] {
        let text = format!("{words}\n{values}\n{MATRIX}");
        assert_eq!(names(&text), ["Kitchen"], "{words}");
    }
}

// ORACLE: hand. The first row is the near wall's or the far wall's as stated; a wall named beside it is held against that.
#[test]
fn walls_named_beside_the_rows_are_held_against_them() {
    let rows = ["0,38,38 1/8,38", "2,38,38 1/4,38", "4,38,38,38 1/8"];
    let tables = |first: &str, last: &str| {
        let [a, b, c] = rows;
        [
            format!(",ft / in,0,2,4\n{first},{a}\n,{b}\n{last},{c}\n"),
            format!("ft / in,0,2,4,,\n{a},,{first}\n{b},,\n{c},,{last}\n"),
            format!("ft / in,0,2,4,Notes\n{a},{first}\n{b},\n{c},{last}\n"),
        ]
    };
    for (first, last) in [
        ("Back wall", "Front wall"),
        ("Far wall", "Near wall"),
        ("Far wall", ""),
        ("", "Near wall"),
        ("Back", "Front"),
    ] {
        for text in tables(first, last) {
            for (row, lies) in [(FirstRow::Far, true), (FirstRow::Near, false)] {
                let mut options = plain();
                options.orientation.first_row = Some(row);
                let told = codes(&text, &options).contains(&"axes-not-read".to_owned());
                assert_eq!(told, !lies, "{row:?}\n{text}");
            }
            // Taken for the near wall's where nothing states it.
            assert!(codes(&text, &plain()).contains(&"axes-not-read".to_owned()));
        }
    }
    // Beside a row in the middle a wall tells of a reading.
    let [a, b, c] = rows;
    let middle = format!("ft / in,0,2,4,Notes\n{a},\n{b},far wall\n{c},\n");
    assert!(!codes(&middle, &plain()).contains(&"axes-not-read".to_owned()));
}

// ORACLE: hand. A height of the slab grows where the floor is higher, and so do numbers of which larger ones are humps.
#[test]
fn words_for_heights_are_held_against_a_list_as_against_a_matrix() {
    for table in [
        "x,y,reading\nft,ft,in\n0,0,38\n2,0,38 1/8\n0,2,38\n2,2,38 1/4\n",
        MATRIX,
    ] {
        for said in [
            "Readings = height of slab",
            "Readings are heights of the floor",
        ] {
            let told = codes(&format!("{said}\n{table}"), &plain());
            assert!(told.contains(&"title-says-heights".to_owned()), "{said}");
        }
        for said in ["Larger readings are humps", "Larger numbers = bumps"] {
            let errors = import(&format!("{said}\n{table}"), &plain()).expect_err(said);
            assert_eq!(errors.list()[0].fault, Fault::Setting, "{errors}");
        }
        let said = "Readings are the height of the laser over the slab";
        let told = codes(&format!("{said}\n{table}"), &plain());
        assert!(!told.contains(&"title-says-heights".to_owned()), "{said}");
    }
}

// ORACLE: hand. A storey, a date with who read and for which job, and the first set-up say nothing against the readings.
#[test]
fn storeys_dates_and_the_first_set_up_are_not_warned_of() {
    for above in ["Level 2", "Lower level", "Level B1", "Kitchen, level 3"] {
        let text = match above.contains(',') {
            true => format!("\"{above}\"\n{MATRIX}"),
            false => format!("{above}\n{MATRIX}"),
        };
        assert!(!codes(&text, &plain()).contains(&"title-says-heights".to_owned()));
    }
    let levels = format!("Slab level\n{MATRIX}");
    assert!(codes(&levels, &plain()).contains(&"title-says-heights".to_owned()));
    for above in ["5/12/2026,JR,4411", "2026-05-12 09:40,\"JR, TM\",4411"] {
        for table in [MATRIX, LIST] {
            let found = good(&format!("{above}\n{table}"), &plain());
            assert_eq!(found.surveys.len(), 1, "{above}");
        }
    }
    // Figures that lost their headings are no date.
    assert!(import(&format!("5/12/2026,38,39\n{MATRIX}"), &plain()).is_err());
    let moved = |above: &str| {
        let told = codes(&format!("Kitchen\n{above}\n{MATRIX}"), &plain());
        told.iter().any(|c| c.contains("moved"))
    };
    assert!(!moved("Setup,1") && !moved("Set up,1"));
    assert!(moved("Laser moved,1"));
}
