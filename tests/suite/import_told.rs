//! Words of a sheet that nothing of it should take in silence: which way the axes of a table run, distances to a line over heights, columns and
//! titles with something beside them.

use super::import_layouts::{good, import, spots};
use birdbath::geometry::{Point, Region, Ring};
use birdbath::import::{Fault, ImportOptions, Source, Spacing, lines};
use birdbath::survey::FirstRow;
use birdbath::units::{Length, LengthUnit};

fn plain() -> ImportOptions {
    ImportOptions {
        plan_unit: Some(LengthUnit::Foot),
        reading_unit: Some(LengthUnit::Inch),
        ..ImportOptions::default()
    }
}

fn codes(text: &str, options: &ImportOptions) -> Vec<String> {
    let notices = &good(text, options).surveys[0].notices;
    notices.iter().map(|n| n.code.to_string()).collect()
}

fn names(text: &str) -> Vec<String> {
    let found = good(text, &ImportOptions::default());
    found.surveys.iter().map(|s| s.name.clone()).collect()
}

// ORACLE: hand. The one low mark stands in the last row and the last column: at (2, 4) ft as the table lies, at (4, 2) as it would by words that
//         let x run down.
#[test]
fn a_table_whose_words_exchange_its_axes_is_refused() {
    let table = "0,2\n0,38,38\n2,38,38\n4,38,39\n";
    for said in [
        "X \u{2193} Y \u{2192} (ft)",
        "\"rows x, cols y, ft\"",
        "\"x down, y across\"",
        "from left wall (ft)",
    ] {
        let errors = import(&format!("{said},{table}"), &plain()).expect_err(said);
        let first = &errors.list()[0];
        assert_eq!(
            (first.place.cell().as_str(), first.fault),
            ("A1", Fault::Layout),
            "{errors}"
        );
        assert!(errors.to_string().contains("transposed"), "{errors}");
    }
    for said in [
        "\"Across: y (ft), down: x (ft)\"",
        "\"Columns are y, rows are x\"",
    ] {
        let errors = import(&format!("{said}\nft / in,{table}"), &plain()).expect_err(said);
        assert!(errors.to_string().contains("transposed"), "{errors}");
    }
    // Which of the two runs down it does not say: as the table lies, and told.
    for said in ["\"x_ft, y_ft, reading_in\"", "x \\ y (ft)"] {
        let told = codes(&format!("{said},{table}"), &plain());
        assert!(
            told.contains(&"corner-names-x-first".to_owned()),
            "{said} {told:?}"
        );
    }
    for said in [
        "\"y_ft, x_ft, down_in\"",
        "\"y_ft down, x_ft across\"",
        "ft / in down",
    ] {
        let told = codes(&format!("{said},{table}"), &plain());
        assert!(
            !told.contains(&"corner-names-x-first".to_owned()),
            "{said} {told:?}"
        );
    }
}

// ORACLE: hand. What the columns are distances along stands over them, and what the rows are in the corner.
#[test]
fn an_axis_named_above_the_headings_is_passed_over() {
    let found = good(",x (ft)\ny (ft),0,2,4\n0,38,38,38\n2,38,38,39\n", &plain());
    assert_eq!(found.surveys[0].readings.len(), 6);
    assert_eq!(spots(&found)[5], (4.0, 2.0));
    assert_eq!(
        found.understood.rooms[0].name,
        good("ft,0,2,4\n0,38,38,38\n2,38,38,39\n", &plain())
            .understood
            .rooms[0]
            .name
    );
    let errors = import(",y (ft)\nx (ft),0,2,4\n0,38,38,38\n2,38,38,39\n", &plain()).unwrap_err();
    assert!(errors.to_string().contains("transposed"), "{errors}");
}

// ORACLE: hand. How far it is to the line is large where the floor is low.
#[test]
fn distances_to_a_line_are_no_heights_of_the_floor() {
    for heading in ["height (in)", "level (in)", "z (in)", "Spot level (in)"] {
        let list = format!("x_ft,y_ft,{heading}\n0,0,38\n2,0,38\n0,2,38\n2,2,39\n");
        for said in [
            "Height to laser line",
            "Distance to laser",
            "Heights to line",
            "Dist. to line",
            "Tape to laser dot",
            "Readings taken to laser",
            "Measured to laser",
        ] {
            let errors =
                import(&format!("{said}\n{list}"), &ImportOptions::default()).expect_err(said);
            assert!(errors.to_string().contains("--meaning down"), "{errors}");
        }
        for said in [
            "Laser heights",
            "Height of beam",
            "Receiver heights on rod",
            "\"Rule stood on slab, read at laser\"",
            "Floor is low where number is big",
        ] {
            // A heading that says so in so many words stands over words that only may.
            if heading.starts_with("Spot") {
                continue;
            }
            let told = codes(&format!("{said}\n{list}"), &ImportOptions::default());
            assert!(
                told.contains(&"title-says-down".to_owned()),
                "{said} {told:?}"
            );
        }
        for said in [
            "Kitchen",
            "Rotary laser level, 12 May",
            "Levels of the hall",
        ] {
            let told = codes(&format!("{said}\n{list}"), &ImportOptions::default());
            assert!(
                !told.contains(&"title-says-down".to_owned()),
                "{said} {told:?}"
            );
        }
    }
}

// ORACLE: hand. A box of other figures beside a table lettered A to C is no column 88 ft away.
#[test]
fn headings_far_off_the_others_are_refused() {
    let step = Length::from_m(0.6096);
    let options = ImportOptions {
        spacing: Some(Spacing {
            across: step,
            along: step,
        }),
        orientation: birdbath::import::Orientation {
            first_row: Some(FirstRow::Far),
            ..Default::default()
        },
        ..plain()
    };
    for head in ["Hi", "HI", "in", "ft", "cm", "N"] {
        let text = format!(",A,B,C,{head}\n1,38,38,38,1\n2,38,39,38,2\n3,38,38,38,3\n");
        let errors = import(&text, &options).expect_err(head);
        assert_eq!(errors.list()[0].place.cell(), "E1", "{errors}");
    }
    // A letter that the grid leaves out, and a few columns that nobody read.
    for head in ["E", "G"] {
        let text = format!(",A,B,C,{head}\n1,38,38,38,38\n2,38,39,38,38\n3,38,38,38,38\n");
        assert_eq!(
            good(&text, &options).surveys[0].readings.len(),
            12,
            "{head}"
        );
    }
}

// ORACLE: hand. What stands beside a room's name is the date, or who read it.
#[test]
fn a_title_keeps_its_room_with_data_of_the_job_beside_it() {
    let list = "x_ft,y_ft,reading_in\n0,0,38\n2,0,38\n0,2,38\n2,2,39\n";
    for (first, second) in [
        ("Kitchen,Date: 5/12", "Bath,Date: 5/13"),
        ("Kitchen,Date,5/12", "Bath,Date,5/13"),
        ("Room: Kitchen,Date: 5/12", "Room: Bath,Date: 5/13"),
        ("Kitchen,,5/12/26", "Bath,,5/13/26"),
        ("Kitchen,By,JR", "Bath,By,JR"),
    ] {
        let text = format!("{first}\n{list}\n{second}\n{list}");
        assert_eq!(names(&text), ["Kitchen", "Bath"], "{first}");
    }
    // What a date alone stands behind is no room.
    assert_eq!(names(&format!("Poured,5/12/2026\n{list}")), names(list));
}

// ORACLE: hand. Two lines an inch apart, tied by the marks that both read.
#[test]
fn a_column_of_set_up_numbers_is_known() {
    for head in ["Setup #", "Set-up no.", "Setup number", "Setups"] {
        let text = format!(
            "x_ft,y_ft,reading_in,{head}\n0,0,38,1\n2,0,38,1\n0,2,38,1\n2,2,38,1\n0,4,39,2\n2,4,39,2\n0,2,39,2\n2,2,39,2\n"
        );
        let found = good(&text, &ImportOptions::default());
        assert_eq!(found.understood.rooms[0].set_ups, ["1", "2"], "{head}");
    }
}

// ORACLE: hand. The units of sample lines may stand in a row of their own, as those of a list.
#[test]
fn units_below_the_headings_of_sample_lines_are_read() {
    let text = "line,station,reading\n,ft,in\nA,0,40\nA,1,40 1/8\nA,2,40\n";
    let source = Source {
        name: "lines.csv",
        bytes: text.as_bytes(),
    };
    let found = lines(&source, &ImportOptions::default()).unwrap_or_else(|e| panic!("{e}"));
    assert!((found[0].interval_m - 0.3048).abs() < 1e-12);
    assert!((found[0].elevations_m[1] + 40.125 * 0.0254).abs() < 1e-12);
}

// ORACLE: hand. An origin noted beside the reading at 0, 0 is kept to as one beside the table is.
#[test]
fn an_origin_in_a_note_is_never_passed_over_in_silence() {
    let list = |note: &str| {
        format!("x_ft,y_ft,reading_in,note\n0,0,38,{note}\n2,0,38,\n0,2,38,\n2,2,39,wet\n")
    };
    let found = good(&list("Origin: back left corner"), &ImportOptions::default());
    assert_eq!(spots(&found)[0], (0.0, 2.0));
    let told = codes(&list("Start at NW corner"), &ImportOptions::default());
    assert!(told.contains(&"origin-not-read".to_owned()), "{told:?}");
    for note in ["by left wall", "start of crack, back wall"] {
        let told = codes(&list(note), &ImportOptions::default());
        assert!(
            !told
                .iter()
                .any(|c| c == "origin-not-read" || c == "list-turned"),
            "{note} {told:?}"
        );
    }
}

// ORACLE: hand. A bracket that may turn numbers over is read, told or refused, and never passed over.
#[test]
fn words_in_a_bracket_are_never_passed_over() {
    let list = |x: &str, y: &str, z: &str| {
        format!("\"{x}\",\"{y}\",\"{z}\"\n0,0,38\n2,0,38\n0,2,38\n2,2,39\n")
    };
    let refused = |text: &str| import(text, &ImportOptions::default()).is_err();
    for x in [
        "x (R, ft)",
        "x (from RHS, ft)",
        "x (R-L, ft)",
        "x (reversed, ft)",
    ] {
        assert!(refused(&list(x, "y (ft)", "reading (in)")), "{x}");
    }
    for y in [
        "y (from B, ft)",
        "y (from bk, ft)",
        "y (ft, B-F)",
        "y (toward door, ft)",
    ] {
        assert!(refused(&list("x (ft)", y, "reading (in)")), "{y}");
    }
    for z in [
        "Height (below, in)",
        "Height (to line, in)",
        "Level (to laser, in)",
        "z (in, measured down)",
        "elevation (to line, in)",
        "height (in, tape)",
        "level (low = big, in)",
    ] {
        let text = list("x (ft)", "y (ft)", z);
        let down = import(&text, &ImportOptions::default())
            .map(|f| f.understood.rooms[0].meaning != birdbath::import::Meaning::Elevation);
        assert!(down.is_err() || down.unwrap(), "{z}");
    }
    let told = codes(
        &list("x (ft, by Sam)", "y (ft)", "reading (in)"),
        &ImportOptions::default(),
    );
    assert!(told.contains(&"bracket-not-read".to_owned()), "{told:?}");
    for x in ["x (ft)", "x (ft, approx)", "x (from left wall, ft)"] {
        let told = codes(
            &list(x, "y (ft)", "reading (in)"),
            &ImportOptions::default(),
        );
        assert!(
            !told.contains(&"bracket-not-read".to_owned()),
            "{x} {told:?}"
        );
    }
}

// ORACLE: hand. The same bracket over sample lines, whose numbers it would turn as well.
#[test]
fn brackets_over_sample_lines_are_never_passed_over() {
    for head in [
        "line,station_ft,\"Height (to line, in)\"",
        "line,\"x (R, ft)\",y_ft,reading_in",
    ] {
        let cells = if head.contains("station") {
            "40"
        } else {
            "0,40"
        };
        let text = format!("{head}\nA,0,{cells}\nA,1,{cells}\nA,2,{cells}\n");
        let source = Source {
            name: "lines.csv",
            bytes: text.as_bytes(),
        };
        let errors = lines(&source, &ImportOptions::default()).expect_err(head);
        assert!(
            errors.to_string().contains("may turn its numbers over"),
            "{errors}"
        );
    }
}

// ORACLE: hand. What names a side and a beginning is obeyed or told; what lies in a room is neither.
#[test]
fn lines_that_name_a_side_are_told() {
    let list = "x_ft,y_ft,reading_in\n0,0,38\n2,0,38\n0,2,38\n2,2,39\n";
    for said in [
        "\"x from R, y from B\"",
        "\"x right-to-left, y back-to-front\"",
        "Coordinates relative to back right corner",
        "Zero: BR",
        "\"BL corner = 0,0\"",
        "Zero pt. back right",
        "Coords: back-left origin",
        "Base point: rear left",
        "Home corner: back right",
        "Y: N to S",
        "First point back left",
    ] {
        let told = codes(&format!("{said}\n{list}"), &ImportOptions::default());
        let says = |code: &str| told.iter().any(|c| c == code);
        assert!(
            says("origin-not-read") || says("list-turned"),
            "{said} {told:?}"
        );
    }
    for said in [
        "Start pour at back wall",
        "Slopes from back wall to door",
        "Low from right wall",
        "Door in back wall",
        "Back wall still wet",
        "Window on left side",
    ] {
        let told = codes(&format!("{said}\n{list}"), &ImportOptions::default());
        assert!(
            !told.iter().any(|c| c == "origin-not-read"),
            "{said} {told:?}"
        );
    }
    // Over a table, whose axes they may turn as well.
    let table = "0,2\n0,38,38\n2,38,38\n4,38,39\n";
    for said in [
        "\"x down the side, y along the top\"",
        "Y across top",
        "\"Rows are distances from left wall, columns from front wall\"",
        "Distances from right wall",
        "Origin: back right corner",
    ] {
        let text = format!("{said}\nft / in,{table}");
        let told = import(&text, &plain()).map(|f| {
            f.surveys[0]
                .notices
                .iter()
                .any(|n| n.code == "axes-not-read")
        });
        assert!(told.is_err() || told.unwrap(), "{said}");
    }
    for corner in [
        "\"from left (down), from front (across), ft\"",
        "\"X \u{25bc}, ft\"",
        "\"x from right wall, ft / in\"",
    ] {
        let told = import(&format!("{corner},{table}"), &plain()).map(|f| {
            f.surveys[0]
                .notices
                .iter()
                .any(|n| n.code == "axes-not-read")
        });
        assert!(told.is_err() || told.unwrap(), "{corner}");
    }
    for said in ["Kitchen", "Grid of the hall, 12 May", "y down, x across"] {
        let told = codes(&format!("\"{said}\"\nft / in,{table}"), &plain());
        assert!(
            !told.contains(&"axes-not-read".to_owned()),
            "{said} {told:?}"
        );
    }
}

// ORACLE: hand. Gaps of a second person under no heading are no words for people.
#[test]
fn numbers_under_no_heading_beside_sample_lines_are_refused() {
    let text = "line,station_ft,reading_in\nA,0,40,39\nA,1,40,39\nA,2,40,39\n";
    let source = Source {
        name: "lines.csv",
        bytes: text.as_bytes(),
    };
    let errors = lines(&source, &ImportOptions::default()).unwrap_err();
    assert!(errors.to_string().contains("without a heading"), "{errors}");
}

const LIST: &str = "x_ft,y_ft,reading_in\n0,0,38\n2,0,38 1/8\n0,2,38\n2,2,38 1/4\n";

// ORACLE: hand. By the line y counts from the far wall, so that the mark at y = 2 ft stands at the near one; where it is no line of its own,
//         or stands beside the list or over a column, it turns nothing and is told.
#[test]
fn lines_of_an_axis_in_signs_and_letters_are_obeyed_or_told() {
    for line in [
        "\"x E, y S\"",
        "Y axis S",
        "y N\u{2192}S",
        "0-line rear wall",
        "Y,S",
    ] {
        let text = format!("{line}\n{LIST}");
        let found = good(&text, &ImportOptions::default());
        let last = found.surveys[0]
            .readings
            .iter()
            .find(|r| r.raw.text == "38 1/4");
        assert!(last.unwrap().at.y.abs() < 1e-9, "{line}");
    }
    let told = |text: &str| {
        let found = good(text, &ImportOptions::default());
        let last = found.surveys[0]
            .readings
            .iter()
            .find(|r| r.raw.text == "38 1/4");
        assert!(last.unwrap().at.y > 0.6, "{text}");
        codes(text, &ImportOptions::default()).contains(&"origin-not-read".to_owned())
    };
    assert!(told(&format!("\"Job 4411, y from back wall\"\n{LIST}")));
    assert!(told(&format!("Left wall,Back wall,Laser\n{LIST}")));
    let beside = LIST
        .replace("reading_in", "reading_in,Legend")
        .replace("0,0,38\n", "0,0,38,y from back wall\n");
    assert!(told(&beside));
    assert!(!told(&format!("\"Job 4411, back bedroom\"\n{LIST}")));
    assert!(!told(&format!("Suite E\n{LIST}")));
}

// ORACLE: hand. A title keeps its name beside data of the job and behind a word for it; what says that it goes on is a part of it, and a further
//         table of one room is refused, as under one cell.
#[test]
fn a_title_is_read_with_what_stands_beside_it() {
    for row in [
        "Kitchen,,\"Crew: JR, MT\"",
        "Kitchen,Page 1 of 2,",
        "Kitchen,Rev A,",
        "Kitchen,9:40 am,",
        "Kitchen,8 x 6 ft,",
        "Kitchen,72\u{b0}F,",
        "Location:,Kitchen,",
        "Room no.,Kitchen,JR",
        "Kitchen,12 May 2026,",
        "Kitchen,240 sf,",
        "Kitchen,Temp 68F,",
    ] {
        assert_eq!(names(&format!("{row}\n{LIST}")), ["Kitchen"], "{row}");
    }
    for row in ["Laser height,40 in,", "Max,3/8,"] {
        assert_ne!(
            names(&format!("{row}\n{LIST}")),
            [row.split(',').next().unwrap()],
            "{row}"
        );
    }
    for row in [
        "Kitchen,cont.,",
        "Kitchen,(2),",
        "Kitchen,Page 2,",
        "Kitchen,Setup 2,",
    ] {
        let text = format!("Kitchen\n{LIST}\n\n{row}\n{LIST}");
        let errors = import(&text, &ImportOptions::default()).expect_err(row);
        assert!(
            errors.to_string().contains("over a further table"),
            "{errors}"
        );
    }
}

// ORACLE: hand. A word or a unit in a bracket beside others counts as it does alone.
#[test]
fn brackets_are_read_part_by_part() {
    let elevation = |heading: &str| {
        let text = LIST.replace("reading_in", &format!("\"{heading}\""));
        let found = good(&text, &ImportOptions::default());
        found.surveys[0].readings[0].elevation.m()
    };
    let down = elevation("reading (in)");
    for heading in [
        "Z (down, in)",
        "Height (down, in)",
        "Reading (in, \u{b1}1/16)",
        "Measured (in, avg of 2)",
    ] {
        assert!((elevation(heading) - down).abs() < 1e-9, "{heading}");
    }
}

// ORACLE: hand. An amount in another unit above a table is no unit of its numbers; a word for the unit is.
#[test]
fn amounts_above_a_table_are_no_units() {
    let told = |line: &str| {
        let text = format!("{line}\n{LIST}");
        codes(&text, &ImportOptions::default()).contains(&"title-says-unit".to_owned())
    };
    assert!(!told("Max 3 mm") && !told("Tile 600 mm"));
    assert!(told("Readings in mm"));
}

// ORACLE: hand. An axis runs to the side of the compass in its bracket, as eastings and northings do; right and left alone say neither from nor
//         to. A comparison behind the mark of a list counts as it does alone. Remarks between tables are no rooms.
#[test]
fn sides_of_the_compass_and_marks_of_a_list_mean_what_they_say() {
    let headed = |x: &str, y: &str| LIST.replace("x_ft,y_ft", &format!("\"{x}\",\"{y}\""));
    for (x, y) in [
        ("x (E, ft)", "y (N, ft)"),
        ("easting (ft, E)", "northing (ft, N)"),
        ("x (east, ft)", "y (+N, ft)"),
    ] {
        assert_eq!(
            spots(&good(&headed(x, y), &ImportOptions::default())),
            spots(&good(LIST, &ImportOptions::default())),
            "{x}"
        );
    }
    let south = spots(&good(
        &headed("x (E, ft)", "y (S, ft)"),
        &ImportOptions::default(),
    ));
    assert_eq!(south[0], (0.0, 2.0));
    assert!(
        import(
            &headed("x (ft, right)", "y (ft)"),
            &ImportOptions::default()
        )
        .is_err()
    );
    for line in [
        "1) bigger = higher",
        "- larger = higher",
        "\u{2022} bigger = higher",
        "Note: bigger = higher",
        "bigger=higher!",
    ] {
        let said = import(&format!("{line}\n{LIST}"), &ImportOptions::default());
        assert!(said.is_err(), "{line}");
    }
    for line in ["- see plan", "1) wet by the door"] {
        assert!(
            import(&format!("{line}\n{LIST}"), &ImportOptions::default()).is_ok(),
            "{line}"
        );
    }
    let other = LIST.replace(",38", ",39");
    let two = |line: &str| format!("Kitchen\n{LIST}\n\n{line}\n{other}");
    for line in ["see photos", "N/A", "DRAFT"] {
        assert!(!names(&two(line)).contains(&line.to_owned()), "{line}");
    }
    for line in ["Run 2", "2nd day", "recheck"] {
        let errors = import(&two(line), &ImportOptions::default()).expect_err(line);
        assert!(
            errors.to_string().contains("over a further table"),
            "{errors}"
        );
    }
}

// ORACLE: hand. The two ends of an axis in its bracket say where it begins: from the right, x = 0 is the right wall. A pair of the compass lies
//         along it and says no more; along the other axis it exchanges the two.
#[test]
fn ends_of_an_axis_in_its_bracket_are_read() {
    let headed = |x: &str, y: &str| LIST.replace("x_ft,y_ft", &format!("\"{x}\",\"{y}\""));
    let plan =
        |x: &str, y: &str| import(&headed(x, y), &ImportOptions::default()).map(|f| spots(&f));
    let usual = spots(&good(LIST, &ImportOptions::default()));
    for (x, y) in [
        ("x (W to E, ft)", "y (S to N, ft)"),
        ("x (L to R, ft)", "y (F to B, ft)"),
        ("x (left to right, ft)", "y (front to back, ft)"),
        ("x (L-R, ft)", "y (F-B, ft)"),
        ("x (E/W, ft)", "y (N/S, ft)"),
        ("x (E-W, ft)", "y (N-S, ft)"),
        ("x (from L, ft)", "y (from F, ft)"),
    ] {
        assert_eq!(plan(x, y).unwrap(), usual, "{x}");
    }
    let right = plan("x (R to L, ft)", "y (ft)").unwrap();
    assert_eq!(right[0], (2.0, 0.0));
    assert_eq!(plan("x (from R, ft)", "y (ft)").unwrap(), right);
    assert_eq!(plan("x (E to W, ft)", "y (ft)").unwrap(), right);
    for (x, y) in [
        ("x (N-S, ft)", "y (E-W, ft)"),
        ("x (S to N, ft)", "y (W to E, ft)"),
        ("x (R-L, ft)", "y (ft)"),
    ] {
        assert!(plan(x, y).is_err(), "{x}");
    }
}

// ORACLE: hand. Whatever may tell of an origin is told, whatever else stands in the line; it stays the room's name where it is a title.
#[test]
fn what_hints_at_an_origin_is_told() {
    let told = |line: &str| codes(&format!("{line}\n{LIST}"), &ImportOptions::default());
    for line in [
        "#4411 y=0 rear wall",
        "Level 2 start NW corner",
        "JR 5/12 y fr back wall",
        "x R-L",
        "x pos. west",
        "x inc. to left",
        "POB: NE cor",
        "Y dn",
        "(R to L)",
        "Started at back",
        "Beginning: NE corner of slab",
        "1st pt rear left",
        "#1 = back right",
    ] {
        let told = told(line);
        assert!(
            told.contains(&"origin-not-read".to_owned()),
            "{line} {told:?}"
        );
    }
    for line in [
        "\"Corner unit, east\"",
        "\"Kitchen, NE corner unit\"",
        "LVP runs left to right",
        "\"18 ft L-R, 12 ft F-B\"",
        "Corridor E-W",
        "\"Hall 12 x 8, north\"",
        "\"Start 9:40, back wall wet\"",
        "Heater at far wall",
    ] {
        let told = told(line);
        assert!(
            !told.contains(&"origin-not-read".to_owned()),
            "{line} {told:?}"
        );
    }
    let arrow = import(&format!("X<-E\n{LIST}"), &ImportOptions::default());
    assert!(arrow.is_err());
    let found = good(
        &format!("Level 2 start NW corner\n{LIST}"),
        &ImportOptions::default(),
    );
    assert_eq!(found.surveys[0].name, "Level 2 start NW corner");
}

// ORACLE: hand. Walls named about a picture that lie as it was taken say nothing; others are told, also where the first row is stated.
#[test]
fn walls_named_about_a_picture_are_held_against_it() {
    let picture = |above: &str, first_row: FirstRow| {
        let mut options = plain();
        let spacing = Length::from_ft(2.0);
        options.spacing = Some(Spacing {
            across: spacing,
            along: spacing,
        });
        options.orientation.first_row = Some(first_row);
        let text = format!("{above}\n,A,B,C\n1,38,38,39\n2,38,38,38\n");
        codes(&text, &options).contains(&"axes-not-read".to_owned())
    };
    let far = FirstRow::Far;
    assert!(!picture(",Left wall,,Right wall", far) && !picture(",W,,E", far));
    assert!(!picture(",L,,R", far) && !picture(",,Back wall,", far));
    assert!(picture(",Right wall,,Left wall", far) && picture(",E,,W", far));
    assert!(picture(",R to L,,", far) && picture(",,Front wall,", far));
    assert!(picture(",,Back wall,", FirstRow::Near) && !picture(",,Front wall,", FirstRow::Near));
    for said in [
        "A = right wall",
        "A is east side",
        "Right wall = A",
        "Line A is right wall",
        "Row 1 = front",
        "2 = far wall",
        "A: right - C: left",
        "A - right wall \u{2013} C - left wall",
        "\"A (R), C (L)\"",
        "\"Columns right to left, rows 1 to 2\"",
        "A = RHS",
        "A against the right wall",
        "Top row is the front",
        "Bottom = back",
    ] {
        assert!(picture(said, far), "{said}");
    }
    for said in [
        "A = left wall",
        "Column C = right wall",
        "Row 1 = back wall",
        "Row 2 at front wall",
        "A: left - C: right",
        "\"A (L), C (R)\"",
        "Top = back wall",
        "RH",
    ] {
        assert!(!picture(said, far), "{said}");
    }
    // North is up the plan.
    assert!(!picture(",,N,", far) && picture(",,S,", far) && !picture(",,North,", far));
}

// ORACLE: hand. What says which walls rows are names no room, and the data of a job in two rows are no table; the room stands among them.
#[test]
fn walls_and_the_data_of_a_job_above_a_table_are_none_of_it() {
    let options = ImportOptions {
        spacing: Some(Spacing {
            across: Length::from_ft(2.0),
            along: Length::from_ft(2.0),
        }),
        ..plain()
    };
    let picture = ",A,B,C\n1,38,38,39\n2,38,38,38\n";
    let found = good(
        &format!("A = left wall; C = right wall\n{picture}"),
        &options,
    );
    assert_ne!(found.surveys[0].name, "A = left wall; C = right wall");
    for head in [
        "Job,Lot\n4411,12\n\n",
        "Job,Date\n2218,5/12/26\n",
        "Date,Crew,Job\n5/12/26,RC,4411\n\n",
    ] {
        for (table, count) in [(LIST, 4), (picture, 6)] {
            let options = if table == LIST {
                ImportOptions::default()
            } else {
                options.clone()
            };
            let found = good(&format!("{head}{table}"), &options);
            assert_eq!(found.surveys.len(), 1, "{head}");
            assert_eq!(found.surveys[0].readings.len(), count, "{head}");
        }
    }
    let found = good(
        &format!("Job no.,Room,Laser\n4411,Kitchen,2\n\n{LIST}"),
        &ImportOptions::default(),
    );
    assert_eq!(found.surveys[0].name, "Kitchen");
    let found = good(
        &format!("Room,Date,Meaning\nBath,5/12/26,elevation\n{LIST}"),
        &ImportOptions::default(),
    );
    assert_eq!(found.surveys[0].name, "Bath");
    // Heights, and no distances down: the last is the highest.
    let heights: Vec<f64> = found.surveys[0]
        .readings
        .iter()
        .map(|r| r.elevation.m())
        .collect();
    assert!(heights[3] > heights[0], "{heights:?}");
    let turned = good(
        &format!("Start,Date\nback right,5/12/26\n{LIST}"),
        &ImportOptions::default(),
    );
    let plain = good(LIST, &ImportOptions::default());
    let at = |found: &birdbath::import::Imported| spots(found);
    assert_ne!(at(&turned), at(&plain));
    assert!(
        import(
            &format!("Job,Readings are\nElm,heights up\n{LIST}"),
            &ImportOptions::default()
        )
        .is_err()
    );
    // Two rows of numbers under such words are no job's.
    assert!(
        import(
            &format!("Job,Lot\n4411,12\n4412,13\n\n{LIST}"),
            &ImportOptions::default()
        )
        .is_err()
    );
}

// ORACLE: hand. A surveyor's export, point, northing, easting and height; and a list whose places stand under words that are not known.
#[test]
fn single_letters_of_an_export_are_no_picture() {
    let options = ImportOptions {
        plan_unit: Some(LengthUnit::Metre),
        reading_unit: Some(LengthUnit::Metre),
        ..ImportOptions::default()
    };
    let found = good(
        "P,N,E,Z,D\n1,0,0,100.01,\n2,0,2,100.02,GND\n3,4,0,100,\n4,4,2,100,\n",
        &options,
    );
    let second = found.surveys[0].readings[1].at;
    assert!(
        (second.x - 2.0).abs() < 1e-9 && second.y.abs() < 1e-9,
        "{second:?}"
    );
    let errors = import(
        "Bay,Aisle (m),Cross (m),Reading (mm)\nB1,0,0.5,900\nB1,1,0.5,901\nB2,0,1.5,902\n",
        &ImportOptions::default(),
    )
    .unwrap_err();
    assert_eq!(errors.list().len(), 1, "{errors}");
    assert!(errors.to_string().contains("none is x or y"), "{errors}");
}

// ORACLE: hand. A remark right under a room's title names no room; two titles of words do, the one next to the table.
#[test]
fn a_remark_under_a_title_names_no_room() {
    let other = LIST.replace(",38", ",39");
    for remark in [
        "low by the door",
        "6 pts",
        "Pour 5/14",
        "JR 5/12",
        "\"x,y in ft\"",
        "(tub on N side)",
        "All dims in ft",
        "same laser",
        "Same setup as kitchen",
        "2nd round",
        "temp. 68F",
        "vacant",
    ] {
        let text = format!("Kitchen\n{LIST}\nBath\n{remark}\n{other}");
        assert_eq!(names(&text), ["Kitchen", "Bath"], "{remark}");
    }
    for title in ["Back bedroom", "Level 2", "Unit 4"] {
        assert_eq!(names(&format!("Smith house\n{title}\n{LIST}")), [title]);
    }
    let two = format!("Kitchen,Laser 2\n{LIST}\nHall,Laser 2\n{other}");
    assert_eq!(names(&two).len(), 2);
    let again = format!("Kitchen,Laser 1\n{LIST}\nKitchen,Laser 2\n{other}");
    assert!(import(&again, &ImportOptions::default()).is_err());
}

// ORACLE: hand. How closely was read, who read and when stand beside the unit and count nothing.
#[test]
fn how_closely_was_read_is_no_scale() {
    for heading in [
        "Rod (in, nearest 1/16)",
        "Rod (in, +/- 1/16)",
        "Rod (in, to 1/8)",
        "Rod (in, rounded to 1/16)",
        "Rod (inches and 16ths)",
        "Reading (in, laser 2)",
        "Reading (in, tape 1/16)",
        "Measured down (in)",
        "Reading (in, 5/12/26)",
        "Reading (in, max 40)",
        "Reading (in, J.R., 5/12)",
        "Reading (in, to the nearest 1/16)",
    ] {
        let text = LIST.replace("reading_in", &format!("\"{heading}\""));
        let down = |text: &str| {
            good(text, &ImportOptions::default()).surveys[0].readings[0]
                .elevation
                .m()
        };
        assert!((down(&text) - down(LIST)).abs() < 1e-9, "{heading}");
    }
    // In the unit that stands there, and in no inch.
    let mm = LIST
        .replace("reading_in", "\"Reading (mm, to 1/2)\"")
        .replace(",38", ",960")
        .replace(" 1/8", "")
        .replace(" 1/4", "");
    let found = good(&mm, &ImportOptions::default());
    let about = &found.understood.rooms[0];
    assert_eq!(about.reading_unit, Some(LengthUnit::Millimetre));
    let drop = about.line - found.surveys[0].readings[0].elevation;
    assert!((drop.m() - 0.96).abs() < 1e-9);
}

// ORACLE: hand. A word for what stands on the floor is told where the plan has floor there, and not where a void is drawn.
#[test]
fn what_stands_on_the_floor_and_is_not_drawn_is_told() {
    let table = "ft / in,0,2,4\n0,38,38,38\n2,38,island,38\n4,38,38,39\n";
    let told = |options: &ImportOptions| {
        let found = good(table, options);
        let notices = &found.surveys[0].notices;
        let told = notices.iter().find(|n| n.code == "obstacle-not-drawn");
        told.map(|n| (n.place.clone(), n.text.clone()))
    };
    let (place, text) = told(&plain()).unwrap();
    assert!(
        place.contains("C3") && text.contains("C3 \u{201c}island\u{201d}"),
        "{place} {text}"
    );
    let ft = |x: f64, y: f64| Point::new(x * 0.3048, y * 0.3048);
    let boxed = |a: f64, b: f64| Ring::new(vec![ft(a, a), ft(b, a), ft(b, b), ft(a, b)]);
    let mut drawn = plain();
    drawn.orientation.first_row = Some(FirstRow::Near);
    drawn.region = Some(Region {
        outline: boxed(0.0, 4.0),
        voids: vec![boxed(1.5, 2.5)],
    });
    assert_eq!(told(&drawn), None);
    let noted = "x_ft,y_ft,reading_in,note\n0,0,38,\n2,0,38,\n0,2,,under island\n2,2,39,\n0,4,38,\n2,4,38,\n";
    assert!(codes(noted, &plain()).contains(&"obstacle-not-drawn".to_owned()));
    let only_missing = table.replace("island", "x");
    let notices = &good(&only_missing, &plain()).surveys[0].notices;
    assert!(notices.iter().all(|n| n.code != "obstacle-not-drawn"));
}

// ORACLE: hand. Words with a value each above a table are passed over, whatever they are.
#[test]
fn words_with_a_value_above_a_table_are_passed_over() {
    let usual = spots(&good(LIST, &ImportOptions::default()));
    for above in [
        "Temp,68\nRH,45",
        "BM,100.00\nHI,101.20",
        "BM,100.00\nHI,101.20\nTP,1",
    ] {
        let found = good(&format!("{above}\n{LIST}"), &ImportOptions::default());
        assert_eq!(spots(&found), usual, "{above}");
    }
    let table = "BM,100\nHI,101\nft / in,0,2,4\n0,38,38,38\n2,38,38,39\n";
    assert_eq!(good(table, &plain()).surveys[0].readings.len(), 6);
}

// ORACLE: hand. A table of rooms and their areas above the readings names no room by its first row.
#[test]
fn a_table_of_rooms_is_no_data_of_a_job() {
    let text = format!("Room,Job\nKitchen,A-17\nBath,B-12\n\n{LIST}");
    let found = import(&text, &ImportOptions::default());
    assert!(found.is_err() || names(&text) != ["Kitchen"], "{found:?}");
}
