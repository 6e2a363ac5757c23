//! What words on a sheet say of its numbers: their meaning, what they count, where distances count from, and which rows are sums.

use super::import_layouts::{good, import, spots};
use birdbath::geometry::{Point, Region, Ring};
use birdbath::import::{Fault, ImportOptions, Meaning, Source, lines};
use birdbath::units::LengthUnit;

fn plain() -> ImportOptions {
    ImportOptions::default()
}

fn units(plan: Option<LengthUnit>, reading: Option<LengthUnit>) -> ImportOptions {
    ImportOptions {
        plan_unit: plan,
        reading_unit: reading,
        ..ImportOptions::default()
    }
}

/// The first fault's cell and kind, and all that is said.
fn refused(text: &str, options: &ImportOptions) -> (String, Fault, String) {
    let errors = import(text, options).expect_err(text);
    let first = &errors.list()[0];
    (first.place.cell(), first.fault, errors.to_string())
}

fn codes(text: &str, options: &ImportOptions) -> Vec<String> {
    let notices = &good(text, options).surveys[0].notices;
    notices.iter().map(|n| n.code.to_string()).collect()
}

fn told(text: &str, options: &ImportOptions, code: &str) -> bool {
    codes(text, options).iter().any(|c| c == code)
}

/// Elevations of the readings in inches, to a ten-thousandth.
fn inches(text: &str, options: &ImportOptions) -> Vec<f64> {
    let readings = &good(text, options).surveys[0].readings;
    let round = |m: f64| (m / 0.0254 * 1e4).round() / 1e4;
    readings.iter().map(|r| round(r.elevation.m())).collect()
}

fn count(text: &str) -> usize {
    good(text, &plain()).surveys[0].readings.len()
}

const HEIGHTS: &str = "x_ft,y_ft,Height (in)\n0,0,31\n4,0,31\n0,4,31\n4,4,31\n2,2,30\n";

// ORACLE: hand. Under these words 30 is the high spot, and under a heading Height the low one: nobody can tell which is wrong.
#[test]
fn words_for_down_over_heights_are_refused() {
    let matrix = "ft / height in,0,2,4\n0,31,31,31\n2,31,30,31\n";
    for said in [
        "Heights measured down from laser",
        "Tape from laser down to slab",
        "Measured down from the line",
        "Bigger number = lower floor",
        "Larger = low",
        "Distance below laser",
        "Readings are drops from the laser",
        "Down readings",
        "Low spots are the large numbers",
        "Numbers are distance down",
        "The higher the number the lower the floor",
        "+ = low",
    ] {
        for table in [
            HEIGHTS,
            &HEIGHTS.replace("Height (in)", "z_in"),
            &HEIGHTS.replace("Height", "Level"),
            matrix,
        ] {
            for text in [format!("{said}\n{table}"), format!("{table}\n{said}\n")] {
                let (_, fault, words) = refused(&text, &plain());
                assert_eq!(fault, Fault::Setting, "{text}");
                assert!(words.contains("headed as height of the floor"), "{words}");
            }
        }
        // What the message says to do works.
        let stated = |meaning| ImportOptions {
            meaning: Some(meaning),
            ..plain()
        };
        let text = format!("{said}\n{HEIGHTS}");
        assert_eq!(inches(&text, &stated(Meaning::Down))[4], -30.0);
        assert_eq!(inches(&text, &stated(Meaning::Elevation))[4], 30.0);
        let headed = text.replace("Height (in)", "down_in");
        assert_eq!(inches(&headed, &plain())[4], -30.0, "{headed}");
        good(HEIGHTS, &plain());
    }
    let up = HEIGHTS.replace("Height (in)", "elevation_in");
    let (_, fault, _) = refused(
        &format!("Distances up to the line overhead\n{up}"),
        &plain(),
    );
    assert_eq!(fault, Fault::Setting);
    // Loosely said: told.
    assert!(told(
        &format!("Rod readings\n{HEIGHTS}"),
        &plain(),
        "title-says-down"
    ));
    for said in [
        "Exam 3, down the hall",
        "High: 40 Low: 39",
        "Room 3 - hall: low at the door",
        "Level 2",
    ] {
        assert!(
            !told(&format!("{said}\n{HEIGHTS}"), &plain(), "title-says-down"),
            "{said}"
        );
    }
}

// ORACLE: hand. What is written in the corner means what it means in a title and in a heading.
#[test]
fn words_for_heights_mean_the_same_in_the_corner_and_in_a_title() {
    let table = "0,2,4\n2,20,24,22\n0,26,21,29\n";
    for said in [
        "slab level",
        "FFL",
        "SSL",
        "AHD",
        "TOC",
        "T.O.S.",
        "top of slab",
        "finished level",
        "as-built level",
    ] {
        let text = format!("ft / {said} in,{table}");
        assert_eq!(inches(&text, &plain())[0], 20.0, "{text}");
        assert!(told(&text, &plain(), "corner-says-meaning"), "{text}");
        assert!(
            told(
                &format!("{said}\nft / in,{table}"),
                &plain(),
                "title-says-heights"
            ),
            "{said}"
        );
    }
    // These are headings of heights by themselves, and leave nothing to ask.
    for said in ["spot level", "spot levels", "floor level", "elevation"] {
        let text = format!("ft / {said} in,{table}");
        assert_eq!(inches(&text, &plain())[0], 20.0, "{text}");
        assert!(!told(&text, &plain(), "corner-says-meaning"), "{text}");
    }
    for said in [
        "Z values",
        "Altitude",
        "Highs are positive",
        "(+) high / (-) low",
        "T.O.C. elevations",
    ] {
        let (_, fault, _) = refused(&format!("{said}\nft / in,{table}"), &plain());
        assert_eq!(fault, Fault::Setting, "{said}");
    }
    for said in [
        "Slab on grade",
        "Grade 5 classroom",
        "Smaller number = higher",
        "+ low / - high",
        "Room 3 - low",
    ] {
        let found = codes(&format!("{said}\nft / in,{table}"), &plain());
        assert!(!found.contains(&"title-says-heights".to_owned()), "{said}");
    }
    // A heading that says down against words that say up: one of the two is wrong. A title that names levels is not.
    let down = "x_ft,y_ft,down_in\n0,0,38\n2,0,38\n0,2,39\n";
    refused(&format!("Readings are elevations\n{down}"), &plain());
    assert_eq!(count(&format!("Floor elevation survey\n{down}")), 3);
    assert!(told(
        &format!("Elevation readings\n{down}"),
        &plain(),
        "title-says-heights"
    ));
    // As a form's heads have it: the date, and the mark's own elevation.
    let reading = down.replace("down", "reading");
    for said in [
        "Datum,12.05.2026",
        "BM elevation,100.00",
        "Laser elevation,104.25",
    ] {
        assert!(
            !told(
                &format!("{said}\n{reading}"),
                &plain(),
                "title-says-heights"
            ),
            "{said}"
        );
    }
}

// ORACLE: hand. Readings in feet are not the plan's feet.
#[test]
fn a_unit_of_the_readings_is_held_against_the_readings() {
    let table = "ft / in,0,2,4\n2,20,24,22\n0,26,21,29\n";
    assert!(told(
        &format!("Readings in feet\n{table}"),
        &plain(),
        "title-says-unit"
    ));
    assert!(!told(
        &format!("Grid in feet\n{table}"),
        &plain(),
        "title-says-unit"
    ));
    assert!(!told(
        &format!("Grid in feet - readings in inches\n{table}"),
        &plain(),
        "title-says-unit"
    ));
}

// ORACLE: hand. 16 and 20 sixteenths are 1 and 1 1/4 in; 12 hundredths of a foot are 1.44 in; 400 tenths of a millimetre are 40 mm.
#[test]
fn a_unit_with_a_scale_is_read() {
    let list = |unit: &str| format!("x_ft,y_ft,{unit}\n0,0,16\n4,0,16\n0,4,16\n4,4,16\n2,2,20\n");
    for unit in [
        "reading (1/16 in)",
        "reading_16ths",
        "reading (sixteenths)",
        "down (1/16\")",
        "reading in 16ths",
    ] {
        let unit = unit.replace('"', "\"\"");
        let text = list(&format!("\"{unit}\""));
        assert_eq!(
            inches(&text, &plain()),
            [-1.0, -1.0, -1.0, -1.0, -1.25],
            "{text}"
        );
        assert!(told(&text, &plain(), "readings-counted"));
        // The unit that older words asked for would make 16 in of 1 in.
        let (_, fault, words) = refused(&text, &units(None, Some(LengthUnit::Inch)));
        assert_eq!(fault, Fault::MixedUnits);
        assert!(words.contains("count 1/16 in"), "{words}");
    }
    let ft = "x_ft,y_ft,reading (1/100 ft)\n0,0,12\n2,0,12\n0,2,12\n2,2,13\n";
    assert_eq!(inches(ft, &plain()), [-1.44, -1.44, -1.44, -1.56]);
    let mm = "x_m,y_m,reading (1/10 mm)\n0,0,400\n2,0,400\n0,2,450\n";
    let read = good(mm, &plain());
    assert!((read.surveys[0].readings[2].elevation.m() + 0.045).abs() < 1e-12);
    let corners = [
        "ft / 16ths,0,2,4\n2,20,24,22\n0,26,21,29\n",
        "ft / 1/16 in,0,2,4\n2,20,24,22\n0,26,21,29\n",
        "ft / in/16,0,2,4\n2,20,24,22\n0,26,21,29\n",
        "\"plan ft, reading 1/16 in\",0,2,4\n2,20,24,22\n0,26,21,29\n",
        "reading unit,1/16 in\nplan unit,ft\n,0,2,4\n2,20,24,22\n0,26,21,29\n",
        "units,ft / 1/16 in\n,0,2,4\n2,20,24,22\n0,26,21,29\n",
    ];
    for text in corners {
        assert_eq!(inches(text, &plain())[..3], [-1.25, -1.5, -1.375], "{text}");
    }
    let rows = "x,y,reading\nft,ft,1/16 in\n0,0,16\n4,0,16\n0,4,20\n";
    assert_eq!(inches(rows, &plain()), [-1.0, -1.0, -1.25]);
    // Inches that were read to a sixteenth are no counts.
    let (at, fault, words) = refused(
        &list("reading (1/16 in)").replace("2,2,20", "2,2,31 3/16"),
        &plain(),
    );
    assert_eq!((at.as_str(), fault), ("C6", Fault::NotALength), "{words}");
    assert!(words.contains("as in reading_in"), "{words}");
    let lettered = "spacing,2 ft\n16ths,A,B,C\n1,20,24,22\n2,26,21,29\n";
    assert_eq!(inches(lettered, &plain())[..2], [-1.25, -1.5]);
    // A row above, over a corner that says otherwise, is no remark.
    let two = "Units: 1/16 in\nft / in,0,2,4\n2,20,24,22\n0,26,21,29\n";
    for options in [
        plain(),
        units(Some(LengthUnit::Foot), Some(LengthUnit::Inch)),
    ] {
        assert_eq!(refused(two, &options).1, Fault::MixedUnits);
    }
    // Nor is one in the plan's place.
    assert_eq!(
        refused("16ths / ft,0,2\n0,20,24\n2,26,21\n", &plain()).1,
        Fault::MixedUnits
    );
}

// ORACLE: hand.
#[test]
fn words_that_say_what_whole_numbers_count_are_refused() {
    let whole = "ft / in,0,2,4\n2,20,24,22\n0,26,21,29\n";
    for said in [
        "Readings in 1/16\"",
        "All readings in sixteenths",
        "Readings in 16ths of an inch",
        "1/8\" increments counted",
        "Readings are in eighths",
        "Readings in hundredths of a foot",
        "Readings in tenths",
        "rdgs in tenths of a foot",
        "Numbers are mm x 10",
        "Readings x 1/8 in",
    ] {
        let said = said.replace('"', "\"\"");
        let (_, fault, words) = refused(&format!("\"{said}\"\n{whole}"), &plain());
        assert_eq!(fault, Fault::Setting, "{said}");
        assert!(words.contains("would then count"), "{words}");
    }
    // What the message offers works: the scale with the numbers, or the words taken back.
    let counted = whole.replace("ft / in", "ft / 1/16 in");
    assert_eq!(
        inches(&format!("Readings in 1/16 in\n{counted}"), &plain())[0],
        -1.25
    );
    assert_eq!(count(&format!("Read to 1/16 in\n{whole}")), 6);
    // Who writes fractions counts nothing.
    let fractions = whole.replace("20", "20 3/16");
    assert_eq!(count(&format!("Readings in 1/16 in\n{fractions}")), 6);
    for said in [
        "Readings to the nearest 1/16 in",
        "Readings in inches and 16ths",
        "Sheet 1/2",
        "Tolerance 1/8 in in 10 ft",
    ] {
        assert_eq!(count(&format!("{said}\n{whole}")), 6, "{said}");
    }
    assert_eq!(count(&format!("{whole}\nShims: 1/8 in increments\n")), 6);
    // Without a unit the message says the same, and does not ask for the unit alone.
    let title = "Readings in 1/16 in\nx_ft,y_ft,reading\n0,0,20\n2,0,24\n0,2,26\n";
    let (_, fault, words) = refused(title, &plain());
    assert_eq!(fault, Fault::MissingUnit);
    assert!(words.contains("a heading reading (1/16 in)"), "{words}");
    assert_eq!(
        refused(title, &units(None, Some(LengthUnit::Inch))).1,
        Fault::Setting
    );
    for unit in ["x10 mm", "mm x 10"] {
        let text = format!("x_m,y_m,reading ({unit})\n0,0,38\n2,0,39\n0,2,38\n");
        let given = units(None, Some(LengthUnit::Millimetre));
        assert_eq!(refused(&text, &given).1, Fault::Setting, "{unit}");
    }
    // A decimal part may be how closely was read.
    let decimal = "x_m,y_m,reading (0.1 mm)\n0,0,400\n2,0,400\n0,2,450\n";
    let (_, _, words) = refused(decimal, &plain());
    assert!(words.contains("1/16 in"), "{words}");
    assert_eq!(
        refused(decimal, &units(None, Some(LengthUnit::Millimetre))).1,
        Fault::Setting
    );
    let read = decimal.replace("450", "450.5");
    assert_eq!(
        good(&read, &units(None, Some(LengthUnit::Millimetre))).surveys[0]
            .readings
            .len(),
        3
    );
}

const POINTS: &str = "point,x_ft,y_ft,reading_in\nP1,0,0,31\nP2,4,0,31\nP3,0,4,31\nP4,4,4,31\n";

// ORACLE: hand. Four readings, all alike: a floor without a high point.
#[test]
fn sums_with_figures_in_x_and_y_are_passed_over_or_asked_about() {
    for name in [
        "Max",
        "Min",
        "max reading",
        "Avg of room",
        "Grand total",
        "Overall average",
        "Average of all",
        "Average",
        "Mean",
        "Total",
        "Count",
    ] {
        let text = format!("{POINTS}{name},1,2,30\n");
        assert_eq!(count(&text), 4, "{name}");
        assert!(told(&text, &plain(), "summary-row"), "{name}");
        assert_eq!(count(&format!("{POINTS}\n{name},1,2,30\n")), 4, "{name}");
        let noted = "x_ft,y_ft,reading_in,note\n0,0,31,\n4,0,31,\n0,4,31,\n1,2,30,";
        assert!(
            told(&format!("{noted}{name}\n"), &plain(), "word-of-a-sum"),
            "{name}"
        );
    }
    // These may be names of points: they count, and are asked about.
    for name in ["Lowest", "Highest", "Low point", "Mean St", "High"] {
        let text = format!("{POINTS}{name},1,2,30\n");
        assert_eq!(count(&text), 5, "{name}");
        assert!(told(&text, &plain(), "word-of-a-sum"), "{name}");
    }
    for name in ["Sump", "Door", "B4"] {
        assert!(
            !told(
                &format!("{POINTS}{name},1,2,30\n"),
                &plain(),
                "word-of-a-sum"
            ),
            "{name}"
        );
    }
    // A remark on a reading.
    let noted =
        "x_ft,y_ft,reading_in,note\n0,0,31,high\n4,0,31,average of two\n0,4,31,low at door\n";
    assert!(!told(noted, &plain(), "word-of-a-sum"));
    assert!(told(
        &noted.replace("high", "Lowest"),
        &plain(),
        "word-of-a-sum"
    ));
}

// ORACLE: hand. The number's unit and its other column; 3 ft and 4 1/2 in are 40 1/2 in.
#[test]
fn two_columns_of_readings_are_refused_with_what_helps() {
    let dual = "x_ft,y_ft,reading_in,reading_mm\n0,0,31,787\n2,0,31,787\n0,2,30,762\n";
    let (_, fault, words) = refused(dual, &plain());
    assert_eq!(fault, Fault::Column);
    assert!(
        words.contains("such as other mm") && !words.contains("--meaning"),
        "{words}"
    );
    assert_eq!(count(&dual.replace("reading_mm", "other mm")), 3);
    let parts = "x_ft,y_ft,reading_ft,reading_in\n0,0,3,4 1/2\n2,0,3,4\n0,2,3,5\n";
    let (_, _, words) = refused(parts, &plain());
    assert!(words.contains("into one cell"), "{words}");
    let one = "x_ft,y_ft,reading\n0,0,3' 4 1/2\"\n2,0,3' 4\"\n0,2,3' 5\"\n";
    assert_eq!(inches(one, &plain())[0], -40.5);
    let staff = "x_m,y_m,staff_m,rl_m\n0,0,1.2,100\n2,0,1.3,99.9\n0,2,1.2,100\n";
    let (_, _, words) = refused(staff, &plain());
    assert!(
        words.contains("--meaning down or --meaning elevation"),
        "{words}"
    );
    let down = ImportOptions {
        meaning: Some(Meaning::Down),
        ..plain()
    };
    assert_eq!(good(staff, &down).surveys[0].readings.len(), 3);
}

// ORACLE: hand. A mark for what stands above repeats it; in a column of readings nobody knows.
#[test]
fn ditto_marks_repeat_a_distance() {
    for mark in ["\"\"\"\"", "ditto", "do.", "\u{3003}"] {
        let text = format!("x_ft,y_ft,reading_in\n0,0,31\n2,{mark},31\n0,2,30\n{mark},4,30\n");
        let read = good(&text, &plain());
        assert_eq!(
            spots(&read),
            [(0.0, 0.0), (2.0, 0.0), (0.0, 2.0), (0.0, 4.0)],
            "{mark}"
        );
    }
    let (at, _, words) = refused(
        "x_ft,y_ft,reading_in\n0,0,31\n2,0,\"\"\"\"\n0,2,30\n2,2,30\n",
        &plain(),
    );
    assert_eq!(at, "C3");
    assert!(words.contains("Write out what the mark repeats"), "{words}");
    let (at, _, words) = refused(
        "x_ft,y_ft,reading_in\n0,0,31\n2,east,31\n0,2,30\n2,2,30\n",
        &plain(),
    );
    assert_eq!(at, "B3");
    assert!(
        words.contains("Write where it was read") && !words.contains("write x"),
        "{words}"
    );
    // A room or a set-up is not called so.
    let rooms = "room,x_ft,y_ft,reading_in\nHall,0,0,31\n\"\"\"\",2,0,31\n\"\"\"\",0,2,30\n";
    assert_eq!(good(rooms, &plain()).surveys.len(), 1);
    assert_eq!(
        refused(&rooms.replace("room", "set-up"), &plain()).1,
        Fault::SetUps
    );
}

// ORACLE: hand. The corner's one unit is that of what has no other.
#[test]
fn one_unit_in_the_corner_is_read_where_it_is_clear() {
    let ft = Some(LengthUnit::Foot);
    let inch = Some(LengthUnit::Inch);
    let bare = "in,0,2,4\n0,31,31 1/8,31\n2,31,31 1/4,30\n";
    let read = good(bare, &units(ft, None));
    assert_eq!(spots(&read)[4], (2.0, 2.0));
    assert_eq!(inches(bare, &units(ft, None))[4], -31.25);
    let marked = "in,0',2',4'\n0',31,31 1/8,31\n2',31,31 1/4,30\n";
    assert_eq!(spots(&good(marked, &plain()))[4], (2.0, 2.0));
    assert_eq!(inches(marked, &plain())[4], -31.25);
    let lettered = "in,A (0'),B (2'),C (4')\n1 (0'),31,31 1/8,31\n2 (2'),31,31 1/4,30\n";
    assert_eq!(inches(lettered, &plain())[4], -31.25);
    // Headings half a metre apart: all of it in mm, and that is told.
    let mm = "mm,0,500,1000\n0,791,792,795\n500,790,790,799\n";
    let read = good(mm, &plain());
    assert!((read.surveys[0].readings[5].at.x - 1.0).abs() < 1e-12);
    assert!((read.surveys[0].readings[5].elevation.m() + 0.799).abs() < 1e-12);
    assert!(told(mm, &plain(), "corner-unit-for-both"));
    // Nobody reads a floor every 2 in, nor 31 ft down.
    assert_eq!(refused(bare, &plain()).1, Fault::MissingUnit);
    assert_eq!(refused(bare, &units(None, inch)).1, Fault::MissingUnit);
    let feet = bare.replace("in,0", "feet,0");
    let (_, fault, words) = refused(&feet, &plain());
    assert_eq!(
        (fault, words.lines().count()),
        (Fault::MissingUnit, 1),
        "{words}"
    );
    assert_eq!(inches(&feet, &units(None, inch))[4], -31.25);
    let brackets = bare.replace("in,0", "(ft) / (in),0");
    assert_eq!(inches(&brackets, &plain())[4], -31.25);
    let words =
        "Units:,\"plan in feet, readings in inches\"\n,0,2,4\n0,31,31 1/8,31\n2,31,31 1/4,30\n";
    assert_eq!(inches(words, &plain())[4], -31.25);
    let (_, _, words) = refused(
        &words.replace("plan in feet, readings in inches", "feet for the grid"),
        &plain(),
    );
    assert!(words.contains("as in ft / in"), "{words}");
}

const LIST: &str =
    "x_ft,y_ft,reading_in\n0,0,31\n2,0,31 1/8\n4,0,31\n0,2,31 1/4\n2,2,30 1/4\n4,2,31\n";

// ORACLE: hand. Rows 2 ft apart: what is 0 from the far wall is 2 from the near one. Elevations stay with their rows.
#[test]
fn the_origin_of_a_list_is_kept_to() {
    let turned_y = [
        (0.0, 2.0),
        (2.0, 2.0),
        (4.0, 2.0),
        (0.0, 0.0),
        (2.0, 0.0),
        (4.0, 0.0),
    ];
    let as_written = [
        (0.0, 0.0),
        (2.0, 0.0),
        (4.0, 0.0),
        (0.0, 2.0),
        (2.0, 2.0),
        (4.0, 2.0),
    ];
    for said in [
        "Origin: back left corner",
        "\"0,0 = upper left corner\"",
        "y measured from far wall",
        "y runs down the page",
        "Origin,back left corner",
        "\"Origin at NW corner\"",
    ] {
        for text in [format!("{said}\n{LIST}"), format!("{LIST}\n{said}\n")] {
            assert_eq!(spots(&good(&text, &plain())), turned_y, "{text}");
            assert!(told(&text, &plain(), "list-turned"), "{text}");
        }
    }
    let heads = LIST.replace("y_ft", "y from far wall (ft)");
    assert_eq!(spots(&good(&heads, &plain())), turned_y);
    let right = LIST.replace("x_ft", "from right wall (ft)");
    assert_eq!(spots(&good(&right, &plain()))[0], (4.0, 0.0));
    for said in [
        "Origin: front left corner",
        "\"0,0 = SW corner\"",
        "x from west wall",
    ] {
        let text = format!("{said}\n{LIST}");
        assert_eq!(spots(&good(&text, &plain())), as_written, "{said}");
        assert!(!told(&text, &plain(), "list-turned"), "{said}");
    }
    assert!(told(
        &format!("Origin at column B4\n{LIST}"),
        &plain(),
        "origin-not-read"
    ));
    assert_eq!(
        refused(&format!("Origin: near left corner\n{heads}"), &plain()).1,
        Fault::Setting
    );
    // A name measured from a wall that is not of its axis is none.
    assert_eq!(
        refused(&LIST.replace("y_ft", "y from left wall (ft)"), &plain()).1,
        Fault::Column
    );
}

// ORACLE: hand. A room 5 ft deep: a reading 1 ft from the far wall lies at 4 ft.
#[test]
fn a_list_is_turned_about_the_walls_where_they_are_known() {
    let ft = |x: f64, y: f64| Point::new(x * 0.3048, y * 0.3048);
    let room = |depth: f64| ImportOptions {
        region: Some(Region {
            outline: Ring::new(vec![
                ft(0.0, 0.0),
                ft(4.0, 0.0),
                ft(4.0, depth),
                ft(0.0, depth),
            ]),
            voids: vec![],
        }),
        ..plain()
    };
    let list = "x_ft,y from far wall (ft),reading_in\n0,1,31\n4,1,31\n0,3,31\n4,3,30\n";
    let read = good(list, &room(5.0));
    assert_eq!(
        spots(&read),
        [(0.0, 4.0), (4.0, 4.0), (0.0, 2.0), (4.0, 2.0)]
    );
    // An outline with its narrow end where the readings say, counted as they are: its file counts from the near wall.
    let bottle = ImportOptions {
        region: Some(Region {
            outline: Ring::new(vec![
                ft(0.0, 0.0),
                ft(4.0, 0.0),
                ft(4.0, 4.0),
                ft(1.0, 4.0),
                ft(1.0, 6.0),
                ft(0.0, 6.0),
            ]),
            voids: vec![],
        }),
        ..plain()
    };
    let same = "x_ft,y from far wall (ft),reading_in\n0,1,31\n4,1,31\n0,3,31\n1,6,30\n";
    let (_, fault, words) = refused(same, &bottle);
    assert_eq!(fault, Fault::NoPosition);
    assert!(words.contains("fit the outline only as written"), "{words}");
}

// ORACLE: hand.
#[test]
fn headings_that_name_walls_and_axes_are_read() {
    for heads in [
        "Dist. from west wall (ft),Dist. from south wall (ft),Laser reading (in)",
        "from left (ft),from front (ft),reading_in",
        "distance from the left wall [ft],distance from the near wall [ft],reading_in",
    ] {
        let text = LIST.replace("x_ft,y_ft,reading_in", heads);
        assert_eq!(spots(&good(&text, &plain()))[4], (2.0, 2.0), "{heads}");
        assert_eq!(inches(&text, &plain())[4], -30.25);
    }
    let back = LIST.replace("x_ft,y_ft", "from left (ft),from back (ft)");
    assert_eq!(spots(&good(&back, &plain()))[4], (2.0, 0.0));
    let axes = "ft / in,x=0,x=2,x=4\ny=0,31,31 1/8,31\ny=2,31,31 1/4,30\n";
    assert_eq!(spots(&good(axes, &plain()))[4], (2.0, 2.0));
    let over = "ft / in,y=0,y=2,y=4\nx=0,31,31 1/8,31\nx=2,31,31 1/4,30\n";
    let (at, _, words) = refused(over, &plain());
    assert_eq!(at, "B1");
    assert!(words.contains("Turn the table over"), "{words}");
}

// ORACLE: hand. Each message names what keeps the sheet from being read.
#[test]
fn a_sheet_that_is_clear_to_a_person_is_refused_with_its_own_reason() {
    let (_, _, words) = refused(&LIST.replace("x_ft,y_ft", "L_ft,W_ft"), &plain());
    assert!(words.contains("none is x or y: “L_ft”, “W_ft”"), "{words}");
    assert!(words.contains("Head the distances to the right"), "{words}");
    let lying = "x_ft,0,2,4,0,2,4\ny_ft,0,0,0,2,2,2\nreading_in,31,31,31,31,30,31\n";
    let (_, _, words) = refused(lying, &plain());
    assert!(
        words.contains("lies on its side") && words.lines().count() == 1,
        "{words}"
    );
    assert!(words.contains("paste it transposed"), "{words}");
    let elevation = ImportOptions {
        meaning: Some(Meaning::Elevation),
        ..plain()
    };
    let books = "ft / in,0,2,4\n2,(1.0625),(1.125),(1.25)\n0,(1.5),(0.5),(1.25)\n";
    let (at, fault, words) = refused(books, &elevation);
    assert_eq!((at.as_str(), fault), ("B2", Fault::NotALength));
    assert!(words.contains("write -1.0625; else 1.0625"), "{words}");
    let written = books.replace('(', "-").replace(')', "");
    assert_eq!(inches(&written, &elevation)[0], -1.0625);
}

// ORACLE: hand. 502 sixteenths are 31 3/8 in. Sample lines are heard as a list is.
#[test]
fn words_and_scales_count_over_sample_lines_too() {
    let read = |text: &str, options: &ImportOptions| {
        let source = Source {
            name: "lines.csv",
            bytes: text.as_bytes(),
        };
        lines(&source, options)
    };
    let counts = "line,station_ft,reading (1/16 in)\nA,0,502\nA,1,503\nA,2,502\n";
    let line = &read(counts, &plain()).unwrap()[0];
    assert!((line.elevations_m[0] + 31.375 * 0.0254).abs() < 1e-12);
    let stated = read(counts, &units(None, Some(LengthUnit::Inch))).unwrap_err();
    assert!(stated.has(Fault::MixedUnits), "{stated}");
    let heights = "line,station_ft,level_in\nA,0,31\nA,1,31\nA,2,30\n";
    for said in ["Measured down from the laser", "Readings in 1/16 in"] {
        let errors = read(&format!("{said}\n{heights}"), &plain()).unwrap_err();
        assert!(errors.has(Fault::Setting), "{errors}");
    }
    assert_eq!(
        read(&format!("Hall, 3 May\n{heights}"), &plain())
            .unwrap()
            .len(),
        1
    );
}

// ORACLE: hand. Feet and inches of one reading in two columns are neither of them one: 3 ft 11 3/4 in is 47 3/4, and no 11 3/4.
#[test]
fn feet_and_inches_in_two_columns_are_asked_for_in_one() {
    let rows = "0,0,3,11 3/4\n2,0,3,11 7/8\n0,2,4,0 1/8\n2,2,3,11 1/2\n";
    let (cell, _, said) = refused(&format!("x_ft,y_ft,Feet,Inches\n{rows}"), &plain());
    assert!(cell.is_empty() || cell.ends_with('1'), "{cell}");
    assert!(said.contains("3' 11 3/4\""), "{said}");
    for heading in ["Feet", "Ft", "Whole ft"] {
        let text = format!(
            "x_ft,y_ft,{heading},reading_in\n{}",
            rows.replace("0 1/8", "1 1/8")
        );
        let (cell, _, said) = refused(&text, &plain());
        assert_eq!(cell, "C1", "{said}");
        assert!(said.contains("a part of “reading_in”"), "{said}");
    }
}

// ORACLE: hand. `BM1` counted as column BM would lie 128 ft off; the 64 columns before it are none of this list. Letters that run on are.
#[test]
fn a_bench_mark_among_names_is_no_column() {
    let spaced = ImportOptions {
        spacing: birdbath::import::spacing("2 ft"),
        ..units(None, Some(LengthUnit::Inch))
    };
    let grid = "point,reading\nA1,40\nB1,40 1/8\nC1,40 1/4\nA2,40\nB2,40\nC2,40 1/8\n";
    for name in ["BM1", "DR1", "CP1", "CL2"] {
        let (cell, _, said) = refused(&format!("{grid}{name},37\n"), &spaced);
        assert_eq!(cell, "A8", "{said}");
        assert!(said.contains("far off the other names"), "{said}");
    }
    assert_eq!(
        good(&format!("{grid}I3,40\n"), &spaced).surveys[0]
            .readings
            .len(),
        7
    );
    let wide: String = (0..30)
        .map(|k| match k {
            0..26 => format!("{}1,40 {}/16\n", char::from(b'A' + k), 1 + k % 15),
            _ => format!("A{}1,40\n", char::from(b'A' + k - 26)),
        })
        .chain((0..26).map(|k| format!("{}2,40\n", char::from(b'A' + k))))
        .collect();
    assert_eq!(
        good(&format!("point,reading\n{wide}"), &spaced).surveys[0]
            .readings
            .len(),
        56
    );
}

// ORACLE: hand: what stands behind a spacing says nothing else of it.
#[test]
fn words_behind_a_spacing_are_passed_over() {
    let two = |said: &str| {
        let told = birdbath::import::spacing(said);
        told.is_some_and(|s| {
            [s.across, s.along]
                .iter()
                .all(|l| (l.m() - 0.6096).abs() < 1e-12)
        })
    };
    for said in [
        "2 ft o.c.",
        "24\" O.C.",
        "2 ft on center",
        "2 ft both ways",
        "2 ft each way",
        "2 ft c/c",
        "2 ft grid",
        "2 ft (6 x 5 pts)",
    ] {
        assert!(two(said), "{said}");
    }
    for said in ["2 ft or so", "ft", "o.c.", "2"] {
        assert_eq!(birdbath::import::spacing(said), None, "{said}");
    }
}

// ORACLE: hand: which way `Depth` runs nobody can tell; its heading is asked about. A tape runs down.
#[test]
fn an_unknown_heading_beside_names_is_asked_about() {
    let spaced = ImportOptions {
        spacing: birdbath::import::spacing("2 ft"),
        ..plain()
    };
    let rows = "A1,38 1/8\nB1,38 1/4\nA2,38\nB2,38 1/2\nC1,38\nC2,38 1/8\n";
    let (cell, _, said) = refused(&format!("Mark,Depth (in)\n{rows}"), &spaced);
    assert_eq!(cell, "B1", "{said}");
    assert!(said.contains("“Depth (in)” holds numbers"), "{said}");
    let read = good(&format!("Mark,Tape (in)\n{rows}"), &spaced);
    assert_eq!(read.surveys[0].readings.len(), 6);
}

// ORACLE: hand: columns headed Max and Min beside lettered ones are the row's extremes. `Hi` and `Lo` may be anything: they are refused with
// what helps, which is a blank column before them, and that helps.
#[test]
fn what_is_worked_out_beside_a_picture_is_passed_over_where_it_stands_apart() {
    let spaced = ImportOptions {
        spacing: birdbath::import::spacing("2 ft"),
        ..plain()
    };
    let text = |pair: &str| {
        format!(
            "in,A,B,C,{pair}\n2,38,38 1/8,38 1/4,38 1/4,38\n1,38 1/8,38 1/8,38 1/4,38 1/4,38 1/8\n"
        )
    };
    assert_eq!(good(&text("Max,Min"), &spaced).surveys[0].readings.len(), 6);
    let (_, _, said) = refused(&text("Hi,Lo"), &spaced);
    assert!(said.contains("leave a blank row or column"), "{said}");
    let apart =
        "in,A,B,C,,Hi,Lo\n2,38,38 1/8,38 1/4,,38 1/4,38\n1,38 1/8,38 1/8,38 1/4,,38 1/4,38 1/8\n";
    assert_eq!(good(apart, &spaced).surveys[0].readings.len(), 6);
}

// ORACLE: hand: what follows such a line was read from another line of sight; as one set-up a sound floor would be out by as much as it moved.
#[test]
fn a_line_that_the_instrument_moved_is_refused() {
    let rows = |from: u32| -> String {
        (from..from + 4)
            .map(|k| format!("{},{},40 {}/8\n", 2 * (k % 4), 2 * (k / 4), 1 + k % 7))
            .collect()
    };
    let with = |line: &str| format!("x_ft,y_ft,reading_in\n{}{line}\n{}", rows(0), rows(4));
    for line in [
        "2nd setup",
        "(moved laser)",
        "--- moved laser ---",
        "*** SETUP 2 ***",
        ">> laser moved",
        "# setup 2",
        "9:45 AM moved laser",
        "Set-up 2",
        "Page 2 - setup 2",
    ] {
        let (cell, _, said) = refused(&with(line), &plain());
        assert_eq!(cell, "A6", "{line}: {said}");
        assert!(said.contains("a column headed set-up"), "{line}: {said}");
    }
    assert_eq!(count(&with("Lunch")), 8);
    // A line that denies it, or behind which nothing more was read, parts nothing.
    for line in ["Laser not moved", "Same setup", "set-up 1 continued"] {
        assert_eq!(count(&with(line)), 8, "{line}");
    }
    let foot = format!("x_ft,y_ft,reading_in\n{}{}Setup by JR\n", rows(0), rows(4));
    assert_eq!(count(&foot), 8);
    // Beside a reading it is warned of.
    let noted = format!(
        "x_ft,y_ft,reading_in,note\n{}6,6,40 1/8,moved laser\n",
        rows(0).replace('\n', ",\n")
    );
    assert!(told(&noted, &plain(), "instrument-moved"));
    // Where each reading has its set-up, all is said.
    let sets = "x_ft,y_ft,reading_in,set-up\n0,0,40,A\n4,0,40 1/8,A\n0,4,40,A\n2nd setup,,,\n0,0,41,B\n4,0,41 1/8,B\n4,4,41,B\n";
    assert!(good(sets, &plain()).surveys[0].readings.len() == 6);
}

// ORACLE: hand: a heading is one whatever mark stands before its unit; two of one name are told as two.
#[test]
fn headings_of_readings_with_a_number_or_a_dash_are_known() {
    let rows = "0,0,40\n4,0,40 1/8\n0,4,40\n4,4,40 1/4\n2,2,40\n";
    for heading in [
        "Reading - inches",
        "Reading 1 (in)",
        "Rdg A (in)",
        "Reading, in",
    ] {
        let text = if heading.contains(',') {
            format!("x_ft,y_ft,\"{heading}\"\n{rows}")
        } else {
            format!("x_ft,y_ft,{heading}\n{rows}")
        };
        assert_eq!(count(&text), 5, "{heading}");
    }
}

// ORACLE: hand: `A 0'` heads column A, at 0; `A x 1` names A1.
#[test]
fn letters_with_a_distance_and_names_with_a_cross_are_read() {
    let text = "in,A 0',B 2',C 4'\n1 0',40,40 1/8,40\n2 2',40 1/4,40,40 1/8\n";
    let readings = &good(text, &plain()).surveys[0].readings;
    assert_eq!(readings.len(), 6);
    let far = readings.iter().map(|r| r.at.x).fold(0.0, f64::max);
    assert!((far - 1.2192).abs() < 1e-9, "{far}");
    let spaced = ImportOptions {
        spacing: birdbath::import::spacing("2 ft"),
        ..units(None, Some(LengthUnit::Inch))
    };
    let names = "point,reading\nA x 1,40\nB x 1,40 1/8\nA x 2,40\nB x 2,40 1/4\n";
    let readings = &good(names, &spaced).surveys[0].readings;
    let width = readings.iter().map(|r| r.at.x).fold(0.0, f64::max);
    assert!((width - 0.6096).abs() < 1e-9, "{width}");
}

// ORACLE: hand: what tells from where each reading was taken is no column to pass over in silence; one value in all rows tells nothing.
#[test]
fn a_column_of_instrument_heights_is_warned_of() {
    let list = |heading: &str, other: &str| {
        format!(
            "x_ft,y_ft,rod_in,{heading}\n0,0,40,100\n4,0,40 1/8,100\n0,4,40 1/4,{other}\n4,4,40,{other}\n"
        )
    };
    for heading in ["HI", "HI (in)", "Laser pos", "Shot from", "Tripod"] {
        assert!(
            told(&list(heading, "101"), &plain(), "column-of-set-ups"),
            "{heading}"
        );
        assert!(
            !told(&list(heading, "100"), &plain(), "column-of-set-ups"),
            "{heading}"
        );
    }
    // A date right below a list is none of its rows.
    assert_eq!(
        count("x_ft,y_ft,reading_in\n0,0,40\n4,0,40 1/8\n0,4,40\n4,4,40\nDate,5/12/26\n"),
        4
    );
}
