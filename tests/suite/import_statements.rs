//! Statements around a list: where its distances count from, what its numbers are, and for which rooms of a sheet.

use super::import_layouts::{good, import, spots};
use birdbath::import::{Fault, ImportOptions, Source, read};

const LIST: &str = "x_ft,y_ft,reading_in\n0,0,31\n2,0,31\n4,0,31\n0,2,31\n2,2,30 7/8\n4,2,31 1/8\n";
const HEIGHTS: &str = "x_ft,y_ft,Height (in)\n0,0,31\n4,0,31\n0,4,31\n4,4,31\n2,2,30\n";
/// Where the first reading lies, as written and turned over: columns 4 ft across, rows 2 ft apart.
const AS_WRITTEN: (f64, f64) = (0.0, 0.0);
const TURNED_X: (f64, f64) = (4.0, 0.0);
const TURNED_Y: (f64, f64) = (0.0, 2.0);

fn plain() -> ImportOptions {
    ImportOptions::default()
}

/// The first fault's cell and kind, and all that is said.
fn refused(text: &str) -> (String, Fault, String) {
    let errors = import(text, &plain()).expect_err(text);
    let first = &errors.list()[0];
    (first.place.cell(), first.fault, errors.to_string())
}

fn first_spot(text: &str) -> (f64, f64) {
    spots(&good(text, &plain()))[0]
}

// ORACLE: hand. What is said beside one reading is said of that reading.
#[test]
fn a_remark_on_a_reading_turns_no_list_over() {
    for remark in [
        "x at right wall",
        "\"start, right wall\"",
        "y from far wall",
    ] {
        let text = LIST.replacen("0,0,31\n", &format!("0,0,31,,{remark}\n"), 1);
        assert_eq!(first_spot(&text), AS_WRITTEN, "{remark}");
    }
    let text = LIST.replacen("0,0,31\n", "0,0,31,,Origin: far left corner\n", 1);
    assert_eq!(first_spot(&text), TURNED_Y);
}

// ORACLE: hand. From A to B the zero is at A.
#[test]
fn from_one_side_to_another_counts_from_the_first() {
    for (said, spot) in [
        ("x runs left to right", AS_WRITTEN),
        ("x goes left to right", AS_WRITTEN),
        ("x counts from left to right", AS_WRITTEN),
        ("y from door to back wall", AS_WRITTEN),
        ("Measured from door to back wall", AS_WRITTEN),
        ("\"x left to right, y bottom to top\"", AS_WRITTEN),
        ("y from the entrance toward the far wall", AS_WRITTEN),
        ("y = 0 at far wall", TURNED_Y),
        ("y runs top to bottom", TURNED_Y),
        ("y runs back to front", TURNED_Y),
        ("x runs right to left", TURNED_X),
        ("Start at NW corner", TURNED_Y),
        ("Zero at far left corner", TURNED_Y),
        ("y taken off the far wall", TURNED_Y),
        ("Start point: top left", TURNED_Y),
        ("Reference corner: far left", TURNED_Y),
        ("0 at back wall", TURNED_Y),
        ("y axis down", TURNED_Y),
        ("Tile layout origin: back left corner", AS_WRITTEN),
        ("Origin of crack: back left corner", AS_WRITTEN),
        ("Laser origin: back left corner", AS_WRITTEN),
        ("Cabinet run y from far wall 2 ft", AS_WRITTEN),
        ("\"y = 0 at door, back wall is at 8 ft\"", AS_WRITTEN),
        ("y at far wall: 8 ft", AS_WRITTEN),
        ("x at right wall = 6 ft", AS_WRITTEN),
        ("\"Start at 8:00, far wall still wet\"", AS_WRITTEN),
        ("Measured from 9 am at the north end", AS_WRITTEN),
        ("Measured from top of tile at right wall", AS_WRITTEN),
        ("\"x, y from bottom left\"", AS_WRITTEN),
        ("y runs south from the north wall", TURNED_Y),
        ("x starts at the east wall and runs west", TURNED_X),
        ("\"x = east, y = north\"", AS_WRITTEN),
        ("Origin = SW corner. Door is in the north wall", AS_WRITTEN),
        ("Coordinates are from the rear left corner", TURNED_Y),
        ("Reference: top left corner of drawing", TURNED_Y),
    ] {
        for text in [format!("{said}\n{LIST}"), format!("{LIST}\n{said}\n")] {
            assert_eq!(first_spot(&text), spot, "{text}");
        }
    }
}

// ORACLE: hand. Which side of the room the door is on, the sheet does not say.
#[test]
fn sides_that_are_not_understood_are_refused_with_their_cell() {
    for said in ["y increases toward the door", "Origin: door"] {
        let found = good(&format!("{said}\n{LIST}"), &plain());
        assert_eq!(spots(&found)[0], AS_WRITTEN, "{said}");
        let told = &found.surveys[0].notices;
        assert!(told.iter().any(|n| n.code == "origin-not-read"), "{said}");
    }
    for said in [
        "y = 0 at left wall",
        "\"Origin: back left corner, y from near wall\"",
    ] {
        let (cell, fault, words) = refused(&format!("{said}\n{LIST}"));
        assert_eq!((cell.as_str(), fault), ("A1", Fault::Setting), "{words}");
        assert!(words.contains("Origin: back left corner"), "{words}");
    }
}

// ORACLE: hand. The same words mean the same wherever they stand.
#[test]
fn an_origin_beside_a_list_or_right_below_it_is_kept_to() {
    let said = "Origin: back left corner";
    let beside = |row: usize, gap: &str| -> String {
        let rows = LIST.lines().enumerate();
        let more = |i| if i == row { said } else { "" };
        rows.map(|(i, line)| format!("{line},{gap}{}\n", more(i)))
            .collect()
    };
    for text in [
        beside(2, ""),
        beside(2, ","),
        beside(0, ""),
        beside(0, ","),
        format!("{LIST}{said}\n"),
        format!("{LIST}\"0,0 = upper left\"\n"),
    ] {
        assert_eq!(first_spot(&text), TURNED_Y, "{text}");
    }
}

// ORACLE: hand. Above the first title, or of all rooms, words hold for both; under a title for its own.
#[test]
fn a_statement_holds_for_its_rooms() {
    let rooms = format!("Bath\n{LIST}\nHall\n{LIST}").replacen("30 7/8", "30 3/4", 1);
    let under = rooms.replace("Bath\n", "Bath\nOrigin: back left corner\n");
    for (text, second) in [
        (format!("Origin: back left corner\n\n{rooms}"), TURNED_Y),
        (format!("{rooms}\nAll rooms: y from far wall\n"), TURNED_Y),
        (under, AS_WRITTEN),
    ] {
        let found = good(&text, &plain());
        let names: Vec<&str> = found.understood.rooms.iter().map(|r| &*r.name).collect();
        assert_eq!(names, ["Bath", "Hall"], "{text}");
        let feet = |i: usize| {
            let at = found.surveys[i].readings[0].at;
            ((at.x / 0.3048).round(), (at.y / 0.3048).round())
        };
        assert_eq!((feet(0), feet(1)), (TURNED_Y, second), "{text}");
    }
    let data = rooms
        .replace("Bath\n", "Bath\nBy JR\n")
        .replace("Hall\n", "Hall\nJob 4411\n");
    let found = good(&data, &plain());
    let names: Vec<&str> = found.understood.rooms.iter().map(|r| &*r.name).collect();
    assert_eq!(names, ["Bath", "Hall"]);
}

// ORACLE: hand.
#[test]
fn words_that_say_what_numbers_are_measured_from_are_heard() {
    for said in [
        "Measured from laser",
        "From laser line",
        "Taken from the laser",
        "from string line",
        "more = lower",
        "Readings below datum",
        "Distances below the datum",
        "Below benchmark",
        "Down from datum",
        "Laser-to-floor distances",
        "Downs from laser plane",
    ] {
        let (_, fault, words) = refused(&format!("{said}\n{HEIGHTS}"));
        assert_eq!(fault, Fault::Setting, "{words}");
        good(&format!("{said}\n{LIST}"), &plain());
    }
    for said in [
        "Above benchmark",
        "Measured up from string line at floor",
        "more is higher",
    ] {
        let (_, fault, words) = refused(&format!("{said}\n{LIST}"));
        assert_eq!(fault, Fault::Setting, "{words}");
        good(&format!("{said}\n{HEIGHTS}"), &plain());
    }
    good(&format!("Readings not elevations\n{LIST}"), &plain());
    good(
        &format!("\"Shot down from roof benchmark, reduced to AHD\"\n{HEIGHTS}"),
        &plain(),
    );
    good(
        &format!("Reading down the room from A to E\n{HEIGHTS}"),
        &plain(),
    );
    good(
        &format!(
            "Pour up to line on wall\n{}",
            HEIGHTS.replace("Height", "Elevation")
        ),
        &plain(),
    );
}

// ORACLE: hand. 31 and 30 3/4 in below the line: the larger is the lower.
#[test]
fn a_corner_reads_its_second_unit_with_its_word() {
    let grid = "ft / in down,0,2,4\n0,31,31,31\n2,31,30 3/4,31\n4,31,31,31\n";
    let inches = |text: &str| -> Vec<f64> {
        let readings = &good(text, &plain()).surveys[0].readings;
        let round = |m: f64| (m / 0.0254 * 1e4).round() / 1e4;
        readings.iter().map(|r| round(r.elevation.m())).collect()
    };
    assert!(inches(grid).contains(&-30.75));
    assert!(inches(&grid.replace("down", "elev")).contains(&30.75));
    for words in ["laser", "to floor", "decimal"] {
        assert!(
            inches(&grid.replace("down", words)).contains(&-30.75),
            "{words}"
        );
    }
    let parts = "ft / 16ths down,0,2,4\n0,502,503,502\n2,504,501,505\n4,503,502,509\n";
    assert!(inches(parts).contains(&-31.3125), "{:?}", inches(parts));
    let (cell, _, words) = refused(&grid.replace("down", "error"));
    assert_eq!(cell, "A1", "{words}");
    assert!(words.contains("ft / in error"), "{words}");
}

// ORACLE: hand. With a spacing the headings are names, and the one unit of the corner is that of the readings, 31 in.
#[test]
fn one_unit_over_numbered_headings_is_that_of_the_readings() {
    for (corner, heads) in [
        ("in", "1,2,3"),
        ("inches", "1,2,3"),
        ("in", "A,B,C"),
        ("in", "a,b,c"),
    ] {
        let text = format!(
            "spacing,2 ft\nfirst row,near\n{corner},{heads}\n1,31,31,31\n2,31,30,31\n3,31,31,31\n"
        );
        let found = good(&text, &plain());
        let heights = || {
            found.surveys[0]
                .readings
                .iter()
                .map(|r| (r.elevation.m() / 0.0254).round())
        };
        assert!(
            heights().any(|h| h == -30.0) && heights().count() == 9,
            "{text}"
        );
        assert_eq!(spots(&found)[8], (4.0, 4.0), "{text}");
    }
    // Letters that run past x, y and z are letters.
    let heads: Vec<String> = ('a'..='z').map(|c| c.to_string()).collect();
    let row = |n: usize| format!("{n}{}\n", ",31".repeat(26));
    let text = format!(
        "spacing,2 ft\nfirst row,near\nin,{}\n{}{}{}",
        heads.join(","),
        row(1),
        row(2),
        row(3)
    );
    assert_eq!(good(&text, &plain()).surveys[0].readings.len(), 78);
}

/// A list of 4 by 2 ft with these headings.
fn headed(x: &str, y: &str, reading: &str) -> String {
    let rows = LIST.split_once('\n').unwrap().1;
    format!("\"{x}\",\"{y}\",\"{reading}\"\n{rows}")
}

// ORACLE: hand. What stands in a heading's bracket beside the unit is said of the column.
#[test]
fn words_beside_a_unit_in_a_bracket_count() {
    for (x, y, spot) in [
        ("x (ft)", "y (from back, ft)", TURNED_Y),
        ("x (ft)", "y (far wall, ft)", TURNED_Y),
        ("x (ft)", "y (ft from back)", TURNED_Y),
        ("x (ft)", "y (ft, from back)", TURNED_Y),
        ("x (ft)", "y (feet from far wall)", TURNED_Y),
        ("x (ft)", "Northing (from N wall, ft)", TURNED_Y),
        ("x (ft)", "along (from back wall, ft)", TURNED_Y),
        ("x (from right, ft)", "y (ft)", TURNED_X),
        ("x (right wall, ft)", "y (ft)", TURNED_X),
        ("x (from left, ft)", "y (from near wall, ft)", AS_WRITTEN),
        ("x (decimal, ft)", "y (in ft)", AS_WRITTEN),
    ] {
        assert_eq!(first_spot(&headed(x, y, "reading (in)")), spot, "{x} {y}");
    }
    for (x, y) in [
        ("x (leftward, ft)", "y (ft)"),
        ("x (ft)", "y (left to right, ft)"),
    ] {
        import(&headed(x, y, "reading (in)"), &plain()).expect_err(x);
    }
    let flat = |reading: &str, options: &ImportOptions| {
        import(&headed("x (ft)", "y (ft)", reading), options)
            .map(|found| found.surveys[0].readings[4].elevation.m() / 0.0254)
    };
    // The fifth reading is 30 7/8.
    for (reading, want) in [
        ("Reading (laser, in)", -30.875),
        ("Reading (down, in)", -30.875),
        ("Reading (in, down from laser)", -30.875),
        ("Height (above datum, in)", 30.875),
        // How the height is taken, in so many words.
        ("Height (below laser, in)", -30.875),
        ("z (down from laser, in)", -30.875),
        ("Height (down, in)", -30.875),
        ("Level (in, down)", -30.875),
        ("Height (in, larger = lower)", -30.875),
        ("Elevation (floor, in)", 30.875),
    ] {
        let got = flat(reading, &plain()).unwrap_or_else(|e| panic!("{reading}: {e}"));
        assert!((got - want).abs() < 1e-9, "{reading}: {got}");
    }
    let stated = ImportOptions {
        reading_unit: Some(birdbath::units::LengthUnit::Inch),
        ..plain()
    };
    for reading in ["Height (in below laser)", "Elevation (in below datum)"] {
        let got = flat(reading, &stated).unwrap_or_else(|e| panic!("{reading}: {e}"));
        assert!((got + 30.875).abs() < 1e-9, "{reading}: {got}");
    }
    for reading in [
        "Reading (elevation, in)",
        "Reading (in, elevation)",
        "Rod (RL, in)",
    ] {
        for options in [&plain(), &stated] {
            let said = flat(reading, options).expect_err(reading).to_string();
            assert!(said.contains("larger is lower"), "{said}");
        }
    }
    // Sixteenths in the bracket are no whole inches.
    let counts = headed("x (ft)", "y (ft)", "reading (from laser, 1/16 in)")
        .replace("30 7/8", "494")
        .replace("31 1/8", "498")
        .replace(",31\n", ",496\n");
    let found = good(&counts, &plain());
    assert!((found.surveys[0].readings[4].elevation.m() / 0.0254 + 30.875).abs() < 1e-9);
}

// ORACLE: hand. 496 sixteenths are 31 in.
#[test]
fn sixteenths_in_a_corner_are_read_or_refused() {
    let grid =
        |corner: &str| format!("\"{corner}\",0,2,4\n0,496,496,496\n2,496,492,496\n4,496,496,496\n");
    for corner in [
        "ft/16ths",
        "ft / 16ths",
        "ft/16th",
        "ft /16ths",
        "ft/1/16 in",
    ] {
        let found = good(&grid(corner), &plain());
        let heights = found.surveys[0]
            .readings
            .iter()
            .map(|r| r.elevation.m() / 0.0254);
        let low = heights.clone().fold(f64::MAX, f64::min);
        assert!(
            (low + 31.0).abs() < 1e-9 && heights.count() == 9,
            "{corner}: {low}"
        );
    }
    let stated = ImportOptions {
        plan_unit: Some(birdbath::units::LengthUnit::Foot),
        reading_unit: Some(birdbath::units::LengthUnit::Inch),
        ..plain()
    };
    for corner in ["ft (16ths)", "ft - 16ths", "ft & 16ths", "ft by 16ths"] {
        let said = import(&grid(corner), &stated)
            .expect_err(corner)
            .to_string();
        assert!(said.contains("16ths") && said.contains("A1"), "{said}");
    }
}

// ORACLE: hand. A line that begins as an origin does and is not understood is told, and names no room.
#[test]
fn lines_that_may_speak_of_an_origin_are_told() {
    for said in [
        "\"Start at back left corner, work toward door\"",
        "\"Start: NW corner, rows run south\"",
        "A1 = back left corner",
        "From back wall",
        "\"Start in upper left corner, work down\"",
    ] {
        let found = good(&format!("{said}\n{LIST}"), &plain());
        let notices = &found.surveys[0].notices;
        assert!(
            notices.iter().any(|n| n.code == "origin-not-read"),
            "{said}: {notices:?}"
        );
    }
    // Below a list it is kept to, and nothing says that it was passed over.
    let found = good(&format!("{LIST}Origin: NW corner\n"), &plain());
    assert_eq!(spots(&found)[0], TURNED_Y);
    let notices = &found.surveys[0].notices;
    assert!(
        notices.iter().all(|n| n.code != "words-between-rows"),
        "{notices:?}"
    );
    for said in [
        "Measured from top of slab",
        "Start 8:00",
        "Crack from left wall to drain",
        "Door in back wall",
    ] {
        let found = good(&format!("{said}\n{LIST}"), &plain());
        let notices = &found.surveys[0].notices;
        assert!(
            notices.iter().all(|n| n.code != "origin-not-read"),
            "{said}: {notices:?}"
        );
    }
}

// ORACLE: hand. Of two columns of one thing nobody can tell which counts.
#[test]
fn a_second_column_of_sample_lines_is_refused() {
    let rows = |heads: &str, extra: &str| {
        format!("{heads}\nA,0,40{extra}\nA,1,40{extra}\nA,2,40{extra}\nA,3,40{extra}\n")
    };
    let read = |text: &str| {
        let source = Source {
            name: "lines.csv",
            bytes: text.as_bytes(),
        };
        birdbath::import::lines(&source, &plain())
    };
    let head = "line,station_ft,reading_in";
    for (more, held) in [
        ("reading_in", ",39"),
        ("station_ft", ",9"),
        ("elevation_in", ",39"),
        ("line", ",B"),
        ("reading 2 in", ",39"),
        ("re-read (in)", ",39"),
        ("Reading B", ",39"),
        ("depth_in", ",39"),
    ] {
        let said = read(&rows(&format!("{head},{more}"), held))
            .expect_err(more)
            .to_string();
        assert!(said.contains("once each"), "{said}");
    }
    for (more, held) in [("note", ",wet"), ("reading_in", ","), ("date", ",2026")] {
        read(&rows(&format!("{head},{more}"), held)).unwrap_or_else(|e| panic!("{more}: {e}"));
    }
    let said = read(&format!("Origin: far left corner\n{}", rows(head, ""))).unwrap_err();
    assert!(said.to_string().contains("not turned over"), "{said}");
}

// ORACLE: hand. The same bytes under any name.
#[test]
fn a_file_name_says_nothing_of_the_numbers() {
    let grid = "ft / in,0,2,4\n0,31,31,31\n2,31,30 3/4,31\n4,31,31,31\n";
    for name in ["elevations.csv", "ftin.csv", "plan ft, readings.csv"] {
        for text in [grid, LIST] {
            let source = Source {
                name,
                bytes: text.as_bytes(),
            };
            let found = read(&source, &plain()).unwrap_or_else(|e| panic!("{name}: {e}"));
            let said = found.surveys[0].notices.iter();
            let said: Vec<_> = said.filter(|n| n.code.starts_with("title-says")).collect();
            assert!(said.is_empty(), "{name}: {said:?}");
        }
    }
}
