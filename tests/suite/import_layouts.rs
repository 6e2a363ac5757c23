//! Sheets as crews lay them out: lists, matrices, several rooms on one sheet.

use birdbath::import::{
    Fault, ImportErrors, ImportOptions, Imported, Layout, Meaning, Orientation, Source, Spacing,
    XRuns, read,
};
use birdbath::survey::FirstRow;
use birdbath::units::{Length, LengthUnit};

pub fn import(text: &str, options: &ImportOptions) -> Result<Imported, ImportErrors> {
    read(
        &Source {
            name: "test.csv",
            bytes: text.as_bytes(),
        },
        options,
    )
}

pub fn good(text: &str, options: &ImportOptions) -> Imported {
    import(text, options).unwrap_or_else(|e| panic!("{e}"))
}

/// Height below the line in inches, to a millionth.
fn drops(imported: &Imported) -> Vec<f64> {
    imported.surveys[0]
        .readings
        .iter()
        .map(|r| (-r.elevation.m() / 0.0254 * 1e6).round() / 1e6)
        .collect()
}

pub fn spots(imported: &Imported) -> Vec<(f64, f64)> {
    imported.surveys[0]
        .readings
        .iter()
        .map(|r| {
            let feet = |m: f64| (m / 0.3048 * 1e6).round() / 1e6;
            (feet(r.at.x), feet(r.at.y))
        })
        .collect()
}

pub fn labels(imported: &Imported) -> Vec<String> {
    imported.surveys[0]
        .readings
        .iter()
        .map(|r| r.label.to_string())
        .collect()
}

/// The tiny bath: x across 0, 2, 4, 5 ft, y from the door 0 to 8 ft, inches down from the line.
pub const BATH: [[&str; 4]; 5] = [
    ["31 1/4", "31 1/4", "31 5/16", "31 3/8"],
    ["31 3/16", "31 1/8", "31 1/4", "31 3/8"],
    ["31 1/4", "31 5/16", "31 7/16", "31 1/2"],
    ["31 3/8", "31 1/2", "31 5/8", "31 11/16"],
    ["31 1/2", "31 5/8", "31 3/4", "31 13/16"],
];
// The same in inches, worked by hand.
const BATH_IN: [[f64; 4]; 5] = [
    [31.25, 31.25, 31.3125, 31.375],
    [31.1875, 31.125, 31.25, 31.375],
    [31.25, 31.3125, 31.4375, 31.5],
    [31.375, 31.5, 31.625, 31.6875],
    [31.5, 31.625, 31.75, 31.8125],
];
const XS: [f64; 4] = [0.0, 2.0, 4.0, 5.0];
const YS: [f64; 5] = [0.0, 2.0, 4.0, 6.0, 8.0];

fn bath_matrix(corner: &str) -> String {
    let mut text = format!("{corner},0,2,4,5\n");
    for (y, row) in YS.iter().zip(BATH) {
        text.push_str(&format!("{y},{}\n", row.join(",")));
    }
    text
}

fn bath_list(header: &str) -> String {
    let mut text = format!("{header}\n");
    for (y, row) in YS.iter().zip(BATH) {
        for (x, reading) in XS.iter().zip(row) {
            text.push_str(&format!("{x},{y},{reading}\n"));
        }
    }
    text
}

fn check_bath(imported: &Imported) {
    let survey = &imported.surveys[0];
    assert_eq!(survey.readings.len(), 20);
    assert_eq!(drops(imported), BATH_IN.concat());
    let want: Vec<(f64, f64)> = YS.iter().flat_map(|&y| XS.map(|x| (x, y))).collect();
    assert_eq!(spots(imported), want);
    // Read to sixteenths.
    assert!((survey.resolution_m.unwrap() - 0.0254 / 16.0).abs() < 1e-12);
}

#[test]
fn the_same_bath_as_matrix_and_as_list() {
    let none = ImportOptions::default();
    let units = ImportOptions {
        plan_unit: Some(LengthUnit::Foot),
        reading_unit: Some(LengthUnit::Inch),
        ..ImportOptions::default()
    };
    let matrix = good(&bath_matrix("ft / in"), &none);
    check_bath(&matrix);
    assert_eq!(matrix.understood.rooms[0].layout, Layout::Matrix);
    assert!(matrix.understood.rooms[0].orientation.contains("near side"));
    check_bath(&good(&bath_matrix(""), &units));
    check_bath(&good(&bath_matrix("y\\x"), &units));
    check_bath(&good(
        &format!("plan unit,ft\nreading unit,in\n\n{}", bath_matrix("")),
        &none,
    ));
    for header in [
        "x_ft,y_ft,reading_in",
        "x (ft),y (ft),Reading [in]",
        "X ft,Y ft,Reading in inches",
        "x_ft,y_ft,reading\n,,in",
    ] {
        let list = good(&bath_list(header), &none);
        check_bath(&list);
        assert_eq!(list.understood.rooms[0].layout, Layout::List);
        assert_eq!(labels(&list), labels(&matrix), "{header}");
    }
    let headerless = ImportOptions {
        layout: Layout::List,
        meaning: Some(Meaning::Down),
        ..units
    };
    check_bath(&good(bath_list("").trim_start(), &headerless));
}

#[test]
fn grid_names_count_columns_by_letters_and_rows_by_numbers() {
    let imported = good(&bath_matrix("ft / in"), &ImportOptions::default());
    assert_eq!(labels(&imported)[0], "A1");
    assert_eq!(labels(&imported)[5], "B2");
    assert_eq!(labels(&imported)[19], "D5");
}

#[test]
fn every_cell_can_be_shown_with_its_words_and_value() {
    let imported = good(&bath_matrix("ft / in"), &ImportOptions::default());
    let cell = imported.cells(0).nth(5).unwrap();
    assert_eq!(cell.place.to_string(), "test.csv, cell C3");
    assert_eq!(cell.text, "31 1/8");
    assert!((cell.value.inches() - 31.125).abs() < 1e-9);
}

#[test]
fn list_columns_stand_in_any_order_with_names_and_notes() {
    let text = "Note;Point;reading_mm;y (m);x (m);who\n\
                at the door;D1;798;0;0;A\n;D2;801,5;0;1,5;A\n;D3;803;2;0;B\n";
    let imported = good(text, &ImportOptions::default());
    let survey = &imported.surveys[0];
    assert_eq!(labels(&imported), ["D1", "D2", "D3"]);
    assert_eq!(survey.readings[0].note.as_deref(), Some("at the door"));
    assert_eq!(survey.readings[1].note, None);
    assert_eq!(survey.readings[1].at.x, 1.5);
    assert_eq!(survey.readings[1].elevation.m(), -0.8015);
    assert!(imported.understood.decimal_comma);
    assert!(
        survey
            .notices
            .iter()
            .any(|n| n.code == "column-not-used" && n.text.contains("who"))
    );
}

#[test]
fn flags_stand_over_headers() {
    let text = "x_ft,y_ft,reading_in\n0,0,800\n1,0,801\n0,1,802\n";
    let options = ImportOptions {
        plan_unit: Some(LengthUnit::Metre),
        reading_unit: Some(LengthUnit::Millimetre),
        ..ImportOptions::default()
    };
    let imported = good(text, &options);
    assert_eq!(imported.surveys[0].readings[1].at.x, 1.0);
    assert_eq!(imported.surveys[0].readings[1].elevation.m(), -0.801);
}

#[test]
fn larger_is_lower_unless_heights_are_stated() {
    let z = |header: &str, options: &ImportOptions| {
        let text = format!("{header}\n0,0,10\n1,0,20\n0,1,30\n");
        good(&text, options).surveys[0].readings[1]
            .elevation
            .mm()
            .round()
    };
    let none = ImportOptions::default();
    assert_eq!(z("x_m,y_m,reading_mm", &none), -20.0);
    assert_eq!(z("x_m,y_m,up_mm", &none), -20.0);
    assert_eq!(z("x_m,y_m,elevation_mm", &none), 20.0);
    assert_eq!(z("x_m,y_m,z_mm", &none), 20.0);
    let heights = ImportOptions {
        meaning: Some(Meaning::Elevation),
        ..none
    };
    assert_eq!(z("x_m,y_m,reading_mm", &heights), 20.0);
    let line = ImportOptions {
        line: birdbath::survey::Elevation::from_m(1.0),
        ..ImportOptions::default()
    };
    assert_eq!(z("x_m,y_m,reading_mm", &line), 980.0);
}

#[test]
fn lettered_grids_need_a_spacing_and_may_end_short() {
    let text = "in,A,B,C (5 ft)\n1,31,31 1/8,31 1/4\n2,31 1/2,x,31 3/4\n3 (7' 6\"),31,31,31\n";
    let options = ImportOptions {
        reading_unit: Some(LengthUnit::Inch),
        spacing: Some(Spacing {
            across: Length::from_ft(2.0),
            along: Length::from_ft(3.0),
        }),
        ..ImportOptions::default()
    };
    // Rows are headed by numbers, the last with its own distance.
    let text = text.replace("3 (7' 6\")", "3");
    let imported = good(&text, &options);
    assert_eq!(
        labels(&imported),
        ["A1", "B1", "C1", "A2", "C2", "A3", "B3", "C3"]
    );
    assert_eq!(
        spots(&imported),
        [
            // A picture of the room: row 1, typed first, is at the top.
            (0.0, 6.0),
            (2.0, 6.0),
            (5.0, 6.0),
            (0.0, 3.0),
            (5.0, 3.0),
            (0.0, 0.0),
            (2.0, 0.0),
            (5.0, 0.0)
        ]
    );
    assert_eq!(imported.understood.rooms[0].skipped[0].text, "x");
    let without = ImportOptions {
        spacing: None,
        ..options.clone()
    };
    let errors = import(&text, &without).unwrap_err();
    assert!(errors.to_string().contains("spacing"), "{errors}");
    let stated = good(&format!("spacing,2 ft x 3 ft\n{text}"), &without);
    assert_eq!(spots(&stated), spots(&imported));
}

#[test]
fn orientation_turns_the_plan_and_is_told() {
    let options = ImportOptions {
        orientation: Orientation {
            first_row: Some(FirstRow::Far),
            x_runs: Some(XRuns::Left),
        },
        ..ImportOptions::default()
    };
    let imported = good(&bath_matrix("ft / in"), &options);
    assert_eq!(spots(&imported)[0], (5.0, 8.0));
    assert_eq!(spots(&imported)[19], (0.0, 0.0));
    let told = &imported.understood.rooms[0].orientation;
    assert!(
        told.contains("right") && told.contains("far side"),
        "{told}"
    );
}

#[test]
fn irregular_last_row_and_column_and_marked_distances() {
    let text =
        "/ in,0',2',4',4'-7 1/4\"\n0',30,30,30,30\n3',30 1/8,30,30,30\n5' 3/4\",30,30,30,30 1/2\n";
    let options = ImportOptions {
        reading_unit: Some(LengthUnit::Inch),
        ..ImportOptions::default()
    };
    let imported = good(text, &options);
    let last = imported.surveys[0].readings.last().unwrap();
    assert!((last.at.x / 0.0254 - 55.25).abs() < 1e-9);
    assert!((last.at.y / 0.0254 - 60.75).abs() < 1e-9);
}

#[test]
fn rooms_stacked_on_one_sheet() {
    let matrices = "Bath\nft / in,0,2\n0,31,31\n2,31,31 1/8\n\nHall\nft / in,0,3,6\n0,30,30,30\n3,30,30,30 1/4\n";
    let imported = good(matrices, &ImportOptions::default());
    let names: Vec<&str> = imported.surveys.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["Bath", "Hall"]);
    assert_eq!(imported.surveys[1].readings.len(), 6);
    assert_eq!(imported.surveys[1].readings[5].raw.place.cell(), "D9");

    let lists = "Bath\nx_ft,y_ft,reading_in\n0,0,31\n2,0,31\n0,2,31\n\nHall\nx_ft,y_ft,reading_in\n0,0,30\n3,0,30\n0,3,30\n3,3,30\n";
    let imported = good(lists, &ImportOptions::default());
    assert_eq!(imported.surveys.len(), 2);
    assert_eq!(imported.surveys[1].name, "Hall");
    assert_eq!(imported.surveys[1].readings.len(), 4);

    let titled =
        "x_ft,y_ft,reading_in\n0,0,31\n2,0,31\n0,2,31\n\nHall\n0,0,30\n3,0,30\n0,3,30\n3,3,30\n";
    let imported = good(titled, &ImportOptions::default());
    assert_eq!(imported.surveys.len(), 2);
    assert_eq!(imported.surveys[1].name, "Hall");

    let column = "room,x_ft,y_ft,reading_in\nBath,0,0,31\n,2,0,31\nBath,0,2,31\nHall,0,0,30\nHall,3,0,30\nHall,0,3,30\n";
    let imported = good(column, &ImportOptions::default());
    let sizes: Vec<usize> = imported.surveys.iter().map(|s| s.readings.len()).collect();
    assert_eq!(sizes, [3, 3]);

    let hall = ImportOptions {
        room: Some("hall".to_owned()),
        ..ImportOptions::default()
    };
    let imported = good(column, &hall);
    assert_eq!(imported.surveys.len(), 1);
    assert_eq!(imported.surveys[0].name, "Hall");
    let attic = ImportOptions {
        room: Some("Attic".to_owned()),
        ..ImportOptions::default()
    };
    let errors = import(column, &attic).unwrap_err();
    assert!(
        errors.has(Fault::Room) && errors.to_string().contains("Bath, Hall"),
        "{errors}"
    );
}

#[test]
fn title_rows_and_other_rows_above_are_passed_over_and_listed() {
    let text = "Floor survey\nDate,2026-11-02\nBy,A. Crew\n\nx_m,y_m,z_m\n0,0,0.001\n1,0,0.002\n0,1,0.004\n";
    let imported = good(text, &ImportOptions::default());
    let passed: Vec<&str> = imported.understood.rooms[0]
        .skipped
        .iter()
        .map(|s| s.text.as_str())
        .collect();
    assert_eq!(passed, ["Date", "2026-11-02", "By", "A. Crew"]);
    assert_eq!(imported.surveys[0].name, "Floor survey");
}

#[test]
fn the_demo_readings_read_both_ways() {
    // MADE BY: fixtures/demo/ORIGIN.md, which states 202 readings and the high and low points.
    let text = include_str!("../../fixtures/demo/readings.csv");
    let list = good(text, &ImportOptions::default());
    let survey = &list.surveys[0];
    assert_eq!(survey.readings.len(), 202);
    let high = survey
        .readings
        .iter()
        .max_by(|a, b| a.elevation.m().total_cmp(&b.elevation.m()))
        .unwrap();
    assert_eq!(
        (high.label.as_str(), high.raw.text.as_str()),
        ("P6", "38 9/16")
    );
    let matrix = good(
        include_str!("../../fixtures/demo/readings_matrix.csv"),
        &ImportOptions::default(),
    );
    // Nine spots lie off the grid.
    assert_eq!(matrix.surveys[0].readings.len(), 193);
}

#[test]
fn letters_and_numbers_without_a_spacing_ask_for_the_spacing_of_both() {
    let errors = import(
        ",A,B,C\n1,40 in,40 1/8 in,40 in\n2,40 in,40 in,40 1/4 in\n3,40 in,40 in,40 in\n",
        &ImportOptions::default(),
    )
    .unwrap_err();
    let said = errors.to_string();
    for wanted in [
        "cell B1: found “A”, a name and no distance",
        "cell A2: found “1”, a name and no distance",
    ] {
        assert!(said.contains(wanted), "{said}");
    }
    assert!(!said.contains("no unit"), "{said}");
    // With a unit the numbers are distances, and only the letters lack theirs.
    let errors = import(
        "plan unit,ft\n,A,B,C\n1,40 in,40 1/8 in,40 in\n2,40 in,40 in,40 1/4 in\n3,40 in,40 in,40 in\n",
        &ImportOptions::default(),
    )
    .unwrap_err();
    assert_eq!(
        errors.to_string().matches("a name and no distance").count(),
        1,
        "{errors}"
    );
}

#[test]
fn averages_that_stand_apart_or_are_called_grand_totals_are_passed_over() {
    let plain =
        "ft / in,0,2,4\n0,40,40 1/8,40 1/4\n2,40 1/8,40 1/4,40 3/8\n4,40 1/4,40 3/8,40 1/2\n";
    let heights = drops(&good(plain, &ImportOptions::default()));
    for text in [
        format!("{plain}\nAverage,40.1,40.2,40.3\n"),
        format!("{plain}Grand Total,120,120,120\n"),
        format!("{plain}Max-Min,0.25,0.25,0.25\n"),
        plain
            .replace(",4\n", ",4,Row mean\n")
            .replace("40 1/4\n2", "40 1/4,40\n2"),
    ] {
        let imported = good(&text, &ImportOptions::default());
        assert_eq!(drops(&imported), heights, "{text}");
        assert_eq!(imported.surveys.len(), 1);
    }
}

#[test]
fn a_corner_that_a_matrix_cannot_have_is_refused_at_its_cell() {
    let of = |corner: &str| {
        let text = format!("\"{corner}\",0,2,4\n0,40,40 1/8,40\n30,40,40,40 1/4\n60,40,40,40\n");
        import(&text, &ImportOptions::default())
            .unwrap_err()
            .to_string()
    };
    let said = of("y_in, x_ft, reading_in");
    assert!(
        said.contains("cell A1: found plan distances in in and in ft"),
        "{said}"
    );
    let said = of("x (in) down, y (in) across, reading (in)");
    assert!(
        said.contains("cell A1: found x down the first column"),
        "{said}"
    );
}

/// What is said of a sheet that is refused.
fn refused(text: &str) -> String {
    import(text, &ImportOptions::default())
        .expect_err(text)
        .to_string()
}

#[test]
fn a_reading_or_a_distance_in_two_columns_is_refused() {
    let rows = |second: [&str; 3], heading: &str| {
        format!(
            "x_ft,y_ft,reading_in,{heading}\n0,0,40,{}\n2,0,40,{}\n0,2,40,{}\n",
            second[0], second[1], second[2]
        )
    };
    for (second, heading) in [
        (["2/16", "9/16", "13/16"], "fraction"),
        (["2/16", "9/16", "13/16"], "more"),
        (["2", "9", "13"], "sixteenths"),
        (["2", "9", "13"], "1/16"),
        (["2 1/2", "9", "1"], "inches"),
    ] {
        let said = refused(&rows(second, heading));
        assert!(
            said.contains("D1: found the column") && said.contains("a part of"),
            "{said}"
        );
    }
    let said = refused("x_ft,in,y_ft,in,reading_in\n0,0,0,0,40\n2,6,0,6,40\n4,6,2,0,40\n");
    assert!(
        said.contains("cell B1") && said.contains("cell D1"),
        "{said}"
    );
    // So is a part behind a column of words, and one that is filled here and there.
    let said = refused(
        "x_ft,y_ft,reading_ft,point,inches\n0,0,3,A,4 1/2\n2,0,3,B,\n0,2,3,C,5\n2,2,3,D,\n",
    );
    assert!(said.contains("cell E1"), "{said}");
    // Or one behind a unit in a cell of its own.
    let said =
        refused("x_ft,y_ft,reading_ft,,,\n0,0,3,ft,4 1/2,in\n2,0,3,ft,4,in\n0,2,3,ft,5,in\n");
    assert!(said.contains("cell E2"), "{said}");
    // A reading with a fraction has no second one, and a larger number is no part.
    good(
        "x_ft,y_ft,reading_in,Depth to fill (in)\n0,0,40 1/16,1/4\n2,0,40 1/8,3/16\n0,2,40,5/16\n",
        &ImportOptions::default(),
    );
    good(
        "x_m,y_m,reading_m,mm\n0,0,1.016,1016\n2,0,1.017,1017\n0,2,1.018,1018\n",
        &ImportOptions::default(),
    );
    // Whole numbers under a word of their own are warned of, words and larger numbers are not.
    let codes = |text: &str| -> Vec<String> {
        let notices = good(text, &ImportOptions::default()).surveys[0]
            .notices
            .clone();
        notices.into_iter().map(|n| n.code.to_string()).collect()
    };
    assert!(codes(&rows(["4", "5", "6"], "moisture")).contains(&"numbers-not-used".to_owned()));
    assert!(
        codes(&rows(["2/16", "9/16", "13/16"], "note")).contains(&"numbers-not-used".to_owned())
    );
    assert!(!codes(&rows(["64", "70", "81"], "humidity")).contains(&"numbers-not-used".to_owned()));
    assert!(!codes(&rows(["by door", "", "wet"], "note")).contains(&"numbers-not-used".to_owned()));
}

#[test]
fn a_title_that_speaks_of_elevations_or_of_another_unit_is_heard() {
    let table = "0,1010,1010\n1,1012,1010\n2,1010,1016\n";
    let said = refused(&format!("Floor elevations\nm / mm,0,1\n{table}"));
    assert!(
        said.contains("“Floor elevations” over numbers of which nothing says"),
        "{said}"
    );
    let codes = |text: &str, options: &ImportOptions| -> Vec<String> {
        let notices = good(text, options).surveys[0].notices.clone();
        notices.into_iter().map(|n| n.code.to_string()).collect()
    };
    let levels = codes(
        &format!("Levels hall\nm / mm,0,1\n{table}"),
        &ImportOptions::default(),
    );
    assert!(
        levels.contains(&"title-says-heights".to_owned()),
        "{levels:?}"
    );
    // What the table or the user says settles it.
    let stated = ImportOptions {
        meaning: Some(Meaning::Elevation),
        ..ImportOptions::default()
    };
    assert!(
        !codes(&format!("Floor elevations\nm / mm,0,1\n{table}"), &stated)
            .contains(&"title-says-heights".to_owned())
    );
    good(
        &format!("Floor elevations\n\"m, reading down in mm\",0,1\n{table}"),
        &stated,
    );
    let units = codes(
        &format!("Hall, readings in cm\nm / mm,0,1\n{table}"),
        &ImportOptions::default(),
    );
    assert!(units.contains(&"title-says-unit".to_owned()), "{units:?}");
    let units = codes(
        &format!("Hall 3 m x 4 m, in mm\nm / mm,0,1\n{table}"),
        &ImportOptions::default(),
    );
    assert!(!units.contains(&"title-says-unit".to_owned()), "{units:?}");
}

#[test]
fn a_lone_reading_in_a_row_without_its_heading_is_no_remark() {
    let said = refused("ft / in,0,2,4,6\n0,40,40,40,40\n2,40,40,40,40\n4,40,40,40,40\n,41\n");
    assert!(said.contains("row 5"), "{said}");
    // One that stands apart is a remark.
    good(
        "ft / in,0,2,4,6\n0,40,40,40,40\n2,40,40,40,40\n4,40,40,40,40\n\n,41\n",
        &ImportOptions::default(),
    );
}

#[test]
fn a_box_of_figures_beside_or_below_a_matrix_is_no_part_of_it() {
    let table = "in / in,0,12,24,36,48\n0,40,40 1/16,40,40,40\n12,40,40,40,40,40\n24,40,40,40,40,40\n36,40,40,40,40,40\n";
    let beside = |head: &str, first: &str| {
        table
            .replace(",48\n", &format!(",48,{head}\n"))
            .replace("40 1/16,40,40,40\n", &format!("40 1/16,40,40,40,{first}\n"))
    };
    for (head, first) in [
        (",Max,40 1/16", ",Min,39 7/8"),
        (",,41", ",,40"),
        ("Average,1024", "Target,1016"),
    ] {
        let said = refused(&beside(head, first));
        assert!(said.contains("apart from the headings before it"), "{said}");
    }
    let below = format!("{table}\n20,40 5/16\n");
    assert!(refused(&below).contains("apart from the headings before it"));
    // A box of extremes below is passed over; a setting beside is refused; a column that is short but stands in the row is read.
    let heights = drops(&good(table, &ImportOptions::default()));
    assert_eq!(
        drops(&good(
            &format!("{table}\nHigh,40\nLow,40 1/4\n"),
            &ImportOptions::default()
        )),
        heights
    );
    let setting = table.replace(",48\n", ",48,,meaning,elevation\n");
    assert!(refused(&setting).contains("“meaning” beside the table"));
    let short = "in / in,0,12,24,36\n0,40,40,40,40\n12,40,40,40,\n24,40,40,40,\n36,40,40,40,\n";
    assert_eq!(
        good(short, &ImportOptions::default()).surveys[0]
            .readings
            .len(),
        13
    );
}

#[test]
fn the_one_unit_in_a_corner_over_letters_is_that_of_the_readings() {
    let options = ImportOptions {
        spacing: Some(Spacing {
            across: Length::from_m(0.6096),
            along: Length::from_m(0.6096),
        }),
        ..ImportOptions::default()
    };
    let imported = good(
        "in,A,B,C\n1,40,40 1/8,40\n2,40,40,40 1/4\n3,40,40,40\n",
        &options,
    );
    assert_eq!(drops(&imported)[1], 40.125);
}

#[test]
fn a_part_behind_whole_readings_with_noughts_is_found_too() {
    let said = refused(
        "x_ft,y_ft,reading_in,moisture,fraction\n0,0,40.0,64,2/16\n2,0,40.0,70,9/16\n0,2,40.0,81,13/16\n",
    );
    assert!(said.contains("cell E1"), "{said}");
}
