//! What stands beside, above and below a table: told for what it is, and never a reading.

use super::import_layouts::{good, import};
use birdbath::import::{Fault, ImportOptions, Why};
use birdbath::units::LengthUnit;

/// The first fault's cell and kind, and all that is said.
fn refused(text: &str) -> (String, Fault, String) {
    let errors = import(text, &ImportOptions::default()).expect_err(text);
    let first = &errors.list()[0];
    (first.place.cell(), first.fault, errors.to_string())
}

fn count(text: &str) -> usize {
    good(text, &ImportOptions::default()).surveys[0]
        .readings
        .len()
}

// ORACLE: hand. Four readings of eight stand beside the list, under no heading: none may be lost.
#[test]
fn a_list_folded_into_two_blocks_is_refused() {
    let folded = "x_ft,y_ft,reading_in\n0,0,40,,0,4,40 1/8\n2,0,40,,2,4,40\n0,2,40,,0,6,40\n2,2,40,,2,6,40\n";
    let (cell, fault, said) = refused(folded);
    assert_eq!((cell.as_str(), fault), ("E2", Fault::Layout));
    assert!(said.contains("4 rows of numbers beside the list"), "{said}");
    assert!(said.contains("move them below the others"), "{said}");
    let lower = "x_ft,y_ft,reading_in\n0,0,40\n2,0,40\n0,2,40\n\n,,,,2,2,40\n";
    assert_eq!(refused(lower).0, "E6");
    let names =
        "spacing,2 ft\npoint,reading_in\nA1,40,,A3,40 1/4\nB1,40,,B3,40\nA2,40,,\nB2,40 1/8,,\n";
    assert_eq!(refused(names).0, "D3");
    // Fewer numbers than a reading needs are none: a box of extremes, a legend.
    let boxed =
        "x_ft,y_ft,reading_in\n0,0,40,,Max,40 1/8\n2,0,40,,Min,40\n0,2,40 1/8\n2,2,40,,7,14\n";
    assert_eq!(count(boxed), 4);
}

// ORACLE: hand. What stands under no heading is told once, in a row without a reading too.
#[test]
fn a_cell_beside_a_list_is_told_once() {
    let text = "x_ft,y_ft,reading_in\n0,0,40\n2,0,40\n0,2,40 1/8\n,,,,here\n";
    let room = &good(text, &ImportOptions::default()).understood.rooms[0];
    let here = room.skipped.iter().filter(|s| s.text == "here");
    assert_eq!(here.count(), 1);
}

const GRID: &str =
    "in / in,0,12,24,36\n0,40,40 1/16,40,40\n12,40,40,40,40\n24,40,40,40,40\n36,40,40,40,40\n";

/// The grid with further cells at the ends of its rows.
fn beside(cells: [&str; 5]) -> String {
    let rows = GRID.lines().zip(cells);
    rows.map(|(row, more)| format!("{row}{more}\n")).collect()
}

// ORACLE: hand. A number behind a word heads no column of readings, however many figures stand under it.
#[test]
fn a_box_of_figures_as_high_as_the_matrix_is_refused() {
    for cells in [
        [
            ",,Max,40 1/16",
            ",,Min,40",
            ",,Avg,40",
            ",,Count,16",
            ",,Std,1",
        ],
        [",Max,40 1/16", ",Min,40", ",Avg,40", ",Count,16", ",Std,1"],
        [",,Row avg,160", ",,,40", ",,,40", ",,,40", ",,,40"],
    ] {
        let (_, _, said) = refused(&beside(cells));
        assert!(
            said.contains("apart from the headings before it, behind words"),
            "{said}"
        );
    }
    let bare = beside([",,41", ",,40", ",,40", ",,40", ",,40"]);
    assert!(refused(&bare).2.contains("where their steps do not go on"));
    let close = beside([",50", ",40", ",41", ",1", ","]);
    let far = beside([",400", ",40", ",41", ",1", ","]);
    assert_eq!(count(&close), 19);
    assert!(refused(&far).2.contains("with cells left blank"));
}

// ORACLE: hand. Rows of 12 in: none stands at 42 in behind a blank row, nor at 420 in with half of its cells.
#[test]
fn bare_figures_below_a_matrix_are_no_row_of_it() {
    for below in ["\n42,40,39,40,1\n", "\n\n42,40,39,40,1\n", "420,40,39,40\n"] {
        let (_, _, said) = refused(&format!("{GRID}{below}"));
        assert!(said.contains("apart from the headings before it"), "{said}");
    }
}

// ORACLE: hand. The columns or rows left blank are one wall; the others go on in the steps of the grid.
#[test]
fn a_grid_with_a_gap_in_it_is_read() {
    let column =
        "ft / in,0,2,4,,8,10\n0,40,40,40,,40,40\n2,40,40,40,,40,40\n4,40,40,40 1/8,,40,40\n";
    assert_eq!(count(column), 15);
    let anew = column.replace("8,10\n", "7,9\n");
    assert_eq!(count(&anew), 15);
    let last = "ft / in,0,2,4,,8\n0,40,40,40,,40\n2,40,40,40,,40\n4,40,40,40 1/8,,40\n";
    assert_eq!(count(last), 12);
    let averages = "ft / in,0,2,4,Average,6,8\n0,40,40,40,40,40,40\n2,40,40,40,40,40,40\n4,40,40,40 1/8,40,40,40\n";
    assert_eq!(count(averages), 15);
    // The last column may stand at any distance, and not all of it be read.
    let wide = "ft / in,0,2,4,6,12.5\n0,40,40,40,40,\n2,40,40,40,40,40\n4,40,40,40,40,40 1/8\n";
    assert_eq!(count(wide), 14);
    let spread = "ft / in,0,2,4\n0,40,40,40\n\n2,40,40,40\n\n4,40,40,40\n\n4.8,40,40,40 1/8\n";
    assert_eq!(count(spread), 12);
    let row = "ft / in,0,2,4\n0,40,40,40\n2,40,40,40\n4,40,40,40\n\n8,40,40,40\n10,40,40,40 1/8\n";
    assert_eq!(count(row), 15);
}

// ORACLE: hand. 1 m and 20 cm are 1.2 m, 3 ft and 4 in are 40 in: neither half is the length, on whichever side the smaller one stands.
#[test]
fn a_length_in_two_columns_is_refused_in_every_unit_and_order() {
    for (sheet, cell) in [
        (
            "x_m,cm,y_m,cm,reading_mm\n0,0,0,0,980\n1,20,0,0,981\n0,0,1,30,980\n1,20,1,30,982\n",
            "B1",
        ),
        (
            "x_m,y_m,mm,reading_mm\n0,0,0,980\n1,0,0,981\n0,1,300,980\n1,1,300,982\n",
            "C1",
        ),
        (
            "x_m,y_m,reading_cm,mm\n0,0,98,0\n1,0,98,5\n0,1,98,1\n1,1,97,9\n",
            "D1",
        ),
        (
            "x_ft,y_ft,in,reading_ft\n0,0,4,3\n2,0,4 1/4,3\n0,2.5,4,3\n2,2.5,5,3\n",
            "C1",
        ),
        (
            "x_ft,y_ft,fraction,reading_in\n0,0,1/4,40\n2,0,3/8,40\n0,2.5,1/2,40\n2,2.5,0,40\n",
            "C1",
        ),
    ] {
        let (at, fault, said) = refused(sheet);
        assert_eq!((at.as_str(), fault), (cell, Fault::Column), "{said}");
    }
    // A reading carried into another unit is no part.
    for sheet in [
        "x_ft,y_ft,reading_in,mm\n0,0,40,1016\n2,0,40,1016\n0,2,41,1041\n2,2,40,1016\n",
        "x_ft,y_ft,reading_mm,in\n0,0,254,10\n2,0,254,10\n0,2,254,10\n2,2,279,11\n",
    ] {
        assert_eq!(count(sheet), 4, "{sheet}");
    }
}

// ORACLE: hand. Each of these names what it holds; 40 and 4 sixteenths are 40 1/4 in.
#[test]
fn a_heading_that_names_a_part_is_refused_however_it_is_written() {
    for heading in [
        "1/16 in",
        "in/16",
        "1/16ths",
        "Fraction (1/16)",
        "den",
        "extra 16ths",
        "32nds",
        "reading 16ths",
        "tenths",
        "x/16",
        "plus",
        "Sixteenths",
    ] {
        let sheet =
            format!("x_ft,y_ft,reading_in,{heading}\n0,0,40,4\n2,0,40,2\n0,2,41,3\n2,2,40,9\n");
        let (at, fault, _) = refused(&sheet);
        assert_eq!((at.as_str(), fault), ("D1", Fault::Column), "{heading}");
    }
    let other = "x_ft,y_ft,reading_in,moisture 1/16\n0,0,40,4\n2,0,40,2\n0,2,41,3\n2,2,40,9\n";
    assert_eq!(count(other), 4);
}

const FLOOR: &str = "ft / in,0,2,4\n0,40,40 1/8,40 1/4\n2,40,40,40\n4,40 1/2,40,40\n";

/// What was passed over as no part of a table.
fn outside(text: &str) -> Vec<String> {
    let room = &good(text, &ImportOptions::default()).understood.rooms[0];
    let passed = room.skipped.iter().filter(|s| s.why == Why::Outside);
    passed.map(|s| s.text.clone()).collect()
}

fn codes(text: &str) -> Vec<String> {
    let notices = &good(text, &ImportOptions::default()).surveys[0].notices;
    notices.iter().map(|n| n.code.to_string()).collect()
}

// ORACLE: hand. A word and its value, however many in a row, are no readings: neither above nor below, of a matrix or of a list.
#[test]
fn the_data_of_a_job_is_passed_over() {
    let list = "x_ft,y_ft,reading_in\n0,0,40\n2,0,40\n0,2,40 1/8\n";
    for row in [
        "Date,5/12/2026,Time,9:40",
        "Job,2214,Sheet,1",
        "Start,9:00,End,10:30",
        "Temp,68,RH,45",
        "RH,45,Temp,68",
        "Length,12 ft,Width,10 ft",
        "Tel,555-0100,Fax,555-0101",
        "5/12/2026,9:40",
        "Name,Delgado,Level,2",
        "1420 Canal St,70112",
    ] {
        for table in [FLOOR, list] {
            let first = row.split(',').next().unwrap().to_owned();
            for text in [format!("{row}\n\n{table}"), format!("{table}\n{row}\n")] {
                assert!(outside(&text).contains(&first), "{text}");
                assert_eq!(count(&text), if table == FLOOR { 9 } else { 3 }, "{text}");
            }
        }
    }
    let takeoff = "Item,Qty,Price,Total\nSLU,14,42,588\nPrimer,2,60,120\n";
    let text = format!("{FLOOR}\n{takeoff}");
    assert_eq!(count(&text), 9);
    assert!(codes(&text).contains(&"figures-passed-over".to_owned()));
    assert_eq!(count(&format!("{list}\n{takeoff}")), 3);
    let summed = format!("{takeoff}Total,,,708\n");
    assert_eq!(count(&format!("{FLOOR}\n{summed}")), 9);
    assert_eq!(count(&format!("{list}\n{summed}")), 3);
}

// ORACLE: hand. A row that lost its heading and stands under those of the matrix may be one of its own.
#[test]
fn a_row_of_readings_behind_a_word_is_not_passed_over() {
    let (_, fault, said) = refused(&format!("{FLOOR}\nwall,40 1/2,40 1/2,40\n"));
    assert_eq!(fault, Fault::Layout);
    assert!(said.contains("under no header, beginning “wall”"), "{said}");
    let lettered = "spacing,2 ft\nin,1,2,3\nA,40,40,40\nB,40,40 1/8,40\nC,40,40,40\n\nD,41,,\n";
    assert!(
        refused(lettered)
            .2
            .contains("“D” apart from the headings before it")
    );
    let whole = lettered.replace("D,41,,", "D,41,41,41");
    assert_eq!(count(&whole), 12);
    // In a list a height without its place is told, and not lost.
    let list = "x_ft,y_ft,reading_in\n0,0,40\n2,0,40\n0,2,40 1/8\n\ndoor,,40 1/2\n";
    assert_eq!(refused(list).0, "A6");
    // No table at all.
    assert_eq!(refused("Door,0,0,40\nWall,2,0,40\n").1, Fault::Layout);
}

// ORACLE: hand. What a row of several words with values states counts as in a row of its own.
#[test]
fn settings_among_the_data_of_a_job_count() {
    let text = format!("Room,Exam 3,By,JR\nMeaning,elevation,Date,5/12/2026\n{FLOOR}");
    let imported = good(&text, &ImportOptions::default());
    assert_eq!(imported.surveys[0].name, "Exam 3");
    assert_eq!(
        imported.understood.rooms[0].meaning,
        birdbath::import::Meaning::Elevation
    );
    // Headings of a list are none.
    let list = "Room,x_ft,y_ft,reading_in\n,0,0,40\n,2,0,40\n,0,2,40 1/8\n";
    assert_eq!(
        good(list, &ImportOptions::default()).surveys[0].name,
        "test"
    );
}

// ORACLE: hand. Words at the foot of a form, with a blank row above them or without.
#[test]
fn a_signature_below_a_table_is_passed_over() {
    let list = "x_ft,y_ft,reading_in\n0,0,40\n2,0,40\n0,2,40 1/8\n";
    for table in [FLOOR, list] {
        for foot in [
            "\nSigned,JR\n",
            "Signed,JR\n",
            "\nChecked by:,TM\nSigned,JR\n",
            "Remarks,Column boxed\nSigned,JR,,Date,5/12/2026\n",
        ] {
            assert!(outside(&format!("{table}{foot}")).contains(&"Signed".to_owned()));
        }
    }
}

// ORACLE: contract: words about what the numbers are count wherever they stand.
#[test]
fn words_about_the_numbers_count_below_and_beside_the_table() {
    for said in [
        "Readings are elevations",
        "Elevations above FFL",
        "Larger number = higher",
        "High number = high spot",
        "The higher the number the higher the floor",
        "Bigger numbers, higher floor",
        "Positive = high",
        "+ = high",
        "Numbers are RL",
        "Reduced levels",
    ] {
        let below = format!("{FLOOR}\n{said}\n");
        let beside = FLOOR.replace(",4\n", &format!(",4,,\"{said}\"\n"));
        let said = format!("\"{said}\"");
        let below = below.replace(said.trim_matches('"'), &said);
        for text in [below, beside, format!("{said}\n{FLOOR}")] {
            let (_, fault, words) = refused(&text);
            assert_eq!(fault, Fault::Setting, "{text}");
            assert!(
                words.contains("of which nothing says what they are"),
                "{words}"
            );
        }
    }
    // A heading of readings does not say which way they run.
    let list = "x_ft,y_ft,reading_in\n0,0,40\n2,0,40\n0,2,40 1/8\n";
    assert_eq!(
        refused(&format!("Readings are elevations\n{list}")).1,
        Fault::Setting
    );
    // One that does contradicts them.
    let down = list.replace("reading", "down");
    let both = refused(&format!("Readings are elevations\n{down}"));
    assert_eq!(both.1, Fault::Setting, "{}", both.2);
    let told =
        |said: &str, code: &str| codes(&format!("{FLOOR}\n{said}\n")).contains(&code.to_owned());
    assert!(told("Readings in mm", "title-says-unit"));
    assert!(!told("Tolerance 3 mm in 2 m", "title-says-unit"));
    assert!(told(
        "Readings taken up to laser line overhead",
        "title-says-up"
    ));
    assert!(told("Laser elevation,104.25", "title-says-heights"));
    for said in ["All heights above BM", "Heights above slab"] {
        assert!(told(said, "title-says-heights"), "{said}");
        let above = format!("{said}\nExam 3\n{FLOOR}");
        assert!(codes(&above).contains(&"title-says-heights".to_owned()));
    }
    assert!(!told("Laser height above slab 40 in", "title-says-heights"));
    assert!(!told("All levels: see plan", "title-says-heights"));
    // Somebody's name, and a number that is small where the floor is high.
    for said in [
        "RL Smith Bldg",
        "Smaller number = higher",
        "High number = low spot",
        "The higher the number the lower the floor",
        "Positive = low",
        "Room 3 - hall: low at the door",
    ] {
        assert_eq!(count(&format!("{said}\n{FLOOR}")), 9, "{said}");
    }
    assert_eq!(refused(&format!("RL levels\n{FLOOR}")).1, Fault::Setting);
    let far = good(
        &format!("Top row = far wall\n{FLOOR}"),
        &ImportOptions::default(),
    );
    assert_eq!(
        far.surveys[0].laid.map(|l| l.first_row),
        Some(birdbath::survey::FirstRow::Far)
    );
}

// ORACLE: hand. The depths of a fill over the headings of its readings are no second floor; two rooms alike are.
#[test]
fn a_table_worked_out_of_the_readings_is_no_room() {
    let depths = "ft / in,0,2,4\n0,1,1 1/8,1 1/4\n2,1,1,1\n4,1 1/2,1,1\n";
    for title in [
        "Fill depth (in)",
        "Deviation (in)",
        "Before grinding",
        "Difference from high point",
    ] {
        let (at, fault, said) = refused(&format!("{FLOOR}\n{title}\n{depths}"));
        assert_eq!((at.as_str(), fault), ("A6", Fault::Layout), "{said}");
        assert!(said.contains("move them to a file of their own"), "{said}");
    }
    let other = FLOOR
        .replace("40 1/2", "39 7/8")
        .replace(",40 1/8", ",39")
        .replace("40 1/4", "41");
    let rooms = |title: &str| {
        let text = format!("Room 101\n{FLOOR}\n{title}\n{other}");
        good(&text, &ImportOptions::default()).surveys.len()
    };
    assert_eq!(rooms("Room 102"), 2);
    assert_eq!(rooms("room,Fill store"), 2);
}

// ORACLE: hand.
#[test]
fn what_is_wrong_is_named_and_nothing_else() {
    let numbered = "spacing,2 ft\nin,A,B,C\n1,40,40,40\n2,40,40 1/8,40\n3,40,40,40\nBM,40 1/2\n";
    let (at, _, said) = refused(numbered);
    assert_eq!((at.as_str(), said.lines().count()), ("A6", 1), "{said}");
    let (at, _, said) =
        refused("point,position (ft),,reading\n,x,y,in\nP1,0,0,40\nP2,2,0,40\nP3,0,2,40\n");
    assert_eq!(at, "");
    assert!(
        said.starts_with("test.csv, row 2: found a second row of headings"),
        "{said}"
    );
    let form = "ft / in,0,2,4\n0,,,\n2,,,\n4,,,\n";
    assert!(refused(form).2.contains("no reading filled in yet"));
    let (at, _, said) = refused(
        "x_m,y_m,design_mm,measured_mm,diff_mm\n0,0,1000,981,-19\n1,0,1000,982,-18\n0,1,1000,983,-17\n",
    );
    assert_eq!(at, "D1");
    assert!(said.contains("state --meaning"), "{said}");
}

// ORACLE: hand. What the rows and columns are distances from may stand beside the corner.
#[test]
fn a_matrix_may_bear_titles_at_its_axes() {
    let text = ",,from west wall\n,ft / in,0,2,4\nfrom south wall,0,40,40,40\n,2,40,40 1/8,40\n,4,40,40,40\n";
    assert_eq!(count(text), 9);
    assert!(outside(text).contains(&"from south wall".to_owned()));
}

// ORACLE: hand. The first row of a form is the far wall, where nothing may have been read.
#[test]
fn a_form_whose_first_rows_are_blank_is_read() {
    let form = "ft / in,0,2,4\n6,,,\n4,,,\n2,40,40 1/8,40\n0,40,40,40\n";
    assert_eq!(count(form), 6);
    let lettered = "spacing,2 ft\nin,1,2,3\nA,,,\nB,40,40,40\nC,,,\nD,40,40 1/8,40\n";
    assert_eq!(count(lettered), 6);
}

const POINTS: &str = "point,x_ft,y_ft,reading_in\nA1,0,0,40 1/4\nB1,2,0,40 1/2\nC1,4,0,40 9/16\nA2,0,2,40 3/8\nB2,2,2,40 1/8\nC2,4,2,39 15/16\n";

// ORACLE: hand. Readings picked out of a table are no second floor, whatever their title and their unit.
#[test]
fn a_table_that_repeats_readings_is_refused() {
    for (title, picked) in [
        (
            "Worst points",
            "point,x_ft,y_ft,reading_in\nB1,2,0,40 1/2\nC1,4,0,40 9/16\nC2,4,2,39 15/16\n",
        ),
        (
            "High and low",
            "id,x_in,y_in,reading_mm\nC1,48,0,1030.2875\nB1,24,0,1028.7\nA2,0,24,1025.525\nD9,0,48,1000\n",
        ),
    ] {
        let (_, fault, said) = refused(&format!("{POINTS}\n{title}\n{picked}"));
        assert_eq!(fault, Fault::Layout, "{said}");
        assert!(
            said.contains("the same readings at the same places"),
            "{said}"
        );
    }
    let above = format!(
        "High and low\nid,x_ft,y_ft,reading_in\nC1,4,0,40 9/16\nB1,2,0,40 1/2\nA2,0,2,40 3/8\n\nExam 3\n{POINTS}"
    );
    assert!(refused(&above).2.contains("the same readings"), "{above}");
    // Other readings at the same places are another room, and so are level floors that read alike.
    let other = POINTS.replace(",40", ",41");
    let rooms = |text: &str| good(text, &ImportOptions::default()).surveys.len();
    assert_eq!(rooms(&format!("{POINTS}\nExam 4\n{other}")), 2);
    let level = "ft / in,0,2,4\n0,40,40,40\n2,40,40,40\n";
    assert_eq!(rooms(&format!("Exam 3\n{level}\nExam 4\n{level}")), 2);
}

// ORACLE: hand. What a title says of figures or of places within a room names no other room.
#[test]
fn a_title_that_names_no_room_is_refused_over_a_further_table() {
    let doors = "door,x_ft,y_ft,reading_in\nHall,0,4,40 1/4\nBath,6,0,39 7/8\nCloset,12,8,40 1/8\n";
    for title in ["Thresholds", "Moisture %", "Temperature \u{b0}F"] {
        let (at, fault, said) = refused(&format!("{POINTS}\n{title}\n{doors}"));
        assert_eq!((at.as_str(), fault), ("A9", Fault::Layout), "{said}");
    }
    let shims = "ft / in,0,2,4\n0,3/8,1/2,3/8\n2,1/4,1/4,5/16\n4,1/2,1/2,1/4\n";
    for title in ["Shims (in)", "Void - do not use"] {
        assert_eq!(
            refused(&format!("Exam 3\n{FLOOR}\n{title}\n{shims}")).0,
            "A7"
        );
    }
    // Any other is told, and a row that names the room settles it.
    let told = |title: &str| {
        let text = format!("Exam 3\n{FLOOR}\n{title}\n{shims}");
        let read = good(&text, &ImportOptions::default());
        read.surveys[1]
            .notices
            .iter()
            .any(|n| n.code == "tables-alike")
    };
    assert!(told("Pads"));
    assert!(!told("room,Pads"));
}

// ORACLE: hand. A box behind a blank column says nothing of the row that it stands in.
#[test]
fn a_sum_beyond_a_blank_column_is_not_of_the_list() {
    let codes = |text: &str| -> Vec<String> {
        let survey = &good(text, &ImportOptions::default()).surveys[0];
        survey.notices.iter().map(|n| n.code.to_string()).collect()
    };
    let word = "word-of-a-sum".to_owned();
    let right = "x_ft,y_ft,reading_in\n0,0,40,,Mean,40.1\n2,0,40,,High,40\n0,2,40 1/8\n2,2,40\n";
    assert_eq!(count(right), 4);
    assert!(!codes(right).contains(&word));
    let left = ",,,x_ft,y_ft,reading_in\nMean,,,0,0,40\nHigh,,,2,0,40\n,,,0,2,40 1/8\n,,,2,2,40\n";
    assert_eq!(count(left), 4);
    let beside = "x_ft,y_ft,reading_in\n0,0,40,Mean\n2,0,40\n0,2,40 1/8\n2,2,40\n";
    assert!(codes(beside).contains(&word));
}

// ORACLE: hand. How many readings there are is none of them.
#[test]
fn a_count_below_a_list_is_passed_over() {
    for row in ["n,,,6", "N,,,6", "Count,,,6", "n =,,,6"] {
        assert_eq!(count(&format!("{POINTS}\nAvg,,,40.1\n{row}\n")), 6, "{row}");
    }
    // A reading without its place is none of them.
    assert_eq!(refused(&format!("{POINTS}n,,,40 1/4\n")).0, "B8");
}

// ORACLE: hand. The same words mean the same in a corner and in a row above it.
#[test]
fn two_units_in_a_row_are_those_of_plan_and_readings() {
    let want = count(FLOOR);
    for units in ["ft / in", "ft/in", "feet / inches", "\"ft, in\""] {
        assert_eq!(
            count(&format!("Crew,JR,,Units,{units}\n{FLOOR}")),
            want,
            "{units}"
        );
        let bare = FLOOR.replacen("ft / in", "", 1);
        let room = good(&format!("units,{units}\n{bare}"), &ImportOptions::default());
        let about = &room.understood.rooms[0];
        let read = (about.plan_unit, about.reading_unit);
        assert_eq!(
            read,
            (Some(LengthUnit::Foot), Some(LengthUnit::Inch)),
            "{units}"
        );
    }
    let marked = "units,ft-in\n,0',2',4'\n0',3' 4\",3' 4\",3' 4\"\n2',3' 4\",3' 4 1/8\",3' 4\"\n";
    assert_eq!(count(marked), 6);
}

// ORACLE: hand. Words for settings have other uses on a form: only a unit makes them settings of units.
#[test]
fn a_plan_number_is_no_unit() {
    for row in ["Plan,A-101", "Readings,42", "Unit,4B", "Grid,A-G"] {
        assert_eq!(count(&format!("{row}\n{FLOOR}")), 9, "{row}");
        assert_eq!(count(&format!("{FLOOR}\n{row}\n")), 9, "{row}");
    }
    assert_eq!(
        refused(&format!("reading unit,hands\n{FLOOR}")).1,
        Fault::Setting
    );
    assert_eq!(refused(&format!("unit,yd\n{FLOOR}")).1, Fault::Setting);
    assert_eq!(
        refused(&format!("Readings,heights\n{FLOOR}")).1,
        Fault::Setting
    );
}

// ORACLE: hand.
#[test]
fn numbers_may_bring_their_own_distance_as_letters_may() {
    let numbered =
        "in,1 (0'),2 (2'),3 (4')\n1 (0'),40,40,40\n2 (2'),40,40 1/8,40\n3 (4'),40,40,40\n";
    let options = ImportOptions {
        reading_unit: Some(LengthUnit::Inch),
        ..ImportOptions::default()
    };
    let survey = &good(numbered, &options).surveys[0];
    let right = survey.readings.iter().map(|r| r.at.x).fold(0.0, f64::max);
    assert!((right - 4.0 * 0.3048).abs() < 1e-9);
}

// ORACLE: hand. What stands at the left of a table is the trouble, and not the table.
#[test]
fn cells_at_the_left_of_a_matrix_are_named() {
    let text = "Job,Harbor,,ft / in,0,2,4\nDate,5/12/2026,,0,40,40 1/4,40\nCrew,JR,,2,40,40,40\n,,,4,40,40,40 1/8\n";
    let (at, fault, said) = refused(text);
    assert_eq!((at.as_str(), fault), ("A1", Fault::Layout), "{said}");
    assert!(
        said.contains("to the left of a table that begins at D1"),
        "{said}"
    );
    assert_eq!(said.lines().count(), 1, "{said}");
}

// ORACLE: hand. A value before its word below a table is what the word says; right below the rows it is told at its own cell.
#[test]
fn a_value_before_its_word_below_letters_is_no_row() {
    let letters = "spacing,2 ft\nin,A,B,C\n1,40,40,40\n2,40,40 1/8,40\n3,40,40,40\n";
    assert_eq!(
        count(&format!(
            "{letters}\n40.1,mean\n39 7/16,high\n40 9/16,low\n"
        )),
        9
    );
    let (at, _, said) = refused(&format!("{letters}40.1,mean\n"));
    assert_eq!(at, "A6", "{said}");
}

// ORACLE: hand. Half of the readings stand in the further columns.
#[test]
fn a_list_folded_under_headings_of_its_own_is_refused() {
    let folded = "x_ft,y_ft,reading_in,X2,Y2,R2\n0,0,40,0,4,40 1/8\n2,0,40,2,4,40\n0,2,40,0,6,40\n2,2,40,2,6,40\n";
    let (at, fault, said) = refused(folded);
    assert_eq!((at.as_str(), fault), ("D1", Fault::Layout), "{said}");
    let names = "spacing,2 ft\npoint,reading_in,point 2,reading 2\nA1,40,A3,40 1/4\nB1,40,B3,40\nA2,40,,\nB2,40 1/8,C3,40\n";
    assert_eq!(refused(names).0, "C2");
    // Columns of other figures are only told.
    let other = "x_ft,y_ft,reading_in,temp,fill,cut\n0,0,40,20,1,2\n2,0,40,20,1,2\n0,2,40,20,1,2\n2,2,40 1/8,20,1,2\n";
    assert_eq!(count(other), 4);
}
