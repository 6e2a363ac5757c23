//! Slips and words of a readings file that were passed over: names that skip, lost commas, remarks at the other end, the tab Set-up.

use super::import_layouts::{good, import};
use birdbath::import::{Fault, ImportOptions, Source, Spacing, read};
use birdbath::survey::{FirstRow, Notice};
use birdbath::units::{Length, LengthUnit};
use rust_xlsxwriter::Workbook;

fn plain() -> ImportOptions {
    ImportOptions::default()
}

fn notices(text: &str, options: &ImportOptions) -> Vec<Notice> {
    good(text, options).surveys[0].notices.clone()
}

fn told<'a>(notices: &'a [Notice], code: &str) -> Vec<&'a Notice> {
    notices.iter().filter(|n| n.code == code).collect()
}

fn spaced() -> ImportOptions {
    let step = Length::from_m(0.6);
    ImportOptions {
        spacing: Some(Spacing {
            across: step,
            along: step,
        }),
        reading_unit: Some(LengthUnit::Inch),
        ..ImportOptions::default()
    }
}

/// A list of names over columns and rows, and a matrix of the same.
fn named(columns: &[&str], rows: &[u32]) -> [String; 2] {
    let mut list = "point,reading_in\n".to_owned();
    let mut matrix = format!("in,{}\n", columns.join(","));
    for row in rows {
        let value = |k: usize| format!("38 {}/16", 1 + 2 * ((k + *row as usize) % 4));
        for (k, column) in columns.iter().enumerate() {
            list += &format!("{column}{row},{}\n", value(k));
        }
        let values: Vec<String> = (0..columns.len()).map(value).collect();
        matrix += &format!("{row},{}\n", values.join(","));
    }
    [list, matrix]
}

// ORACLE: hand: J stands four letters behind F, G, H and the one that many grids leave out; a list of such names has the same gap as a matrix.
#[test]
fn names_that_leave_a_letter_or_a_number_out_are_told_in_lists_and_matrices_alike() {
    for (columns, rows, before) in [
        (
            &["F", "G", "H", "J", "K"][..],
            &[1, 2, 3][..],
            Some("columns skip here, before"),
        ),
        (
            &["A", "B", "D", "E"],
            &[1, 2, 3],
            Some("columns skip here, before"),
        ),
        (
            &["A", "B", "C"],
            &[1, 2, 4, 5],
            Some("rows skip here, before"),
        ),
        (&["F", "G", "H"], &[3, 4, 5], None),
    ] {
        for text in named(columns, rows) {
            let found = notices(&text, &spaced());
            let skips = told(&found, "headings-skip");
            assert_eq!(skips.len(), usize::from(before.is_some()), "{text}");
            assert!(
                skips
                    .iter()
                    .all(|n| n.text.contains(before.unwrap_or_default())),
                "{skips:?}"
            );
        }
    }
    // Every second row, in a list: the first that is left out is told.
    let [list, _] = named(&["A", "B", "C"], &[1, 3, 5]);
    let found = notices(&list, &spaced());
    assert!(
        told(&found, "headings-skip")[0]
            .text
            .contains("before \u{201c}A3\u{201d}")
    );
}

// ORACLE: hand: `44,39 1/4` under three headings has no third cell; `4,4,` has an empty one, and was not read.
#[test]
fn a_row_that_lost_a_comma_is_told_with_its_place() {
    let full: String = (0..20)
        .map(|i| format!("{},{},39 {}/16\n", i % 5, i / 5, 1 + 2 * (i % 4)))
        .collect();
    let found = notices(
        &format!("x_ft,y_ft,reading_in\n{full}44,39 1/4\n"),
        &plain(),
    );
    let short = told(&found, "short-row");
    assert_eq!(short.len(), 1);
    assert!(short[0].place.contains("B22") && short[0].text.contains("2 cells under 3 headings"));
    for row in ["4,4,\n", "4,4,x\n", "Lunch\n"] {
        let found = notices(&format!("x_ft,y_ft,reading_in\n{full}{row}"), &plain());
        assert!(told(&found, "short-row").is_empty(), "{row}");
    }
}

// ORACLE: hand: x runs right and y up from the near left corner, so the reading at 0, 0 stands by the left, near, south and west walls.
#[test]
fn a_remark_that_names_the_other_end_of_the_list_is_warned_of() {
    let sheet = |at: usize, note: &str| {
        let rows = (0..9).map(|i| {
            let note = if i == at { note } else { "" };
            format!(
                "{},{},39 {}/16,\"{note}\"\n",
                i % 3 * 2,
                i / 3 * 2,
                1 + 2 * (i % 4)
            )
        });
        format!("x_ft,y_ft,reading_in,note\n{}", rows.collect::<String>())
    };
    let warned =
        |at, note: &str| told(&notices(&sheet(at, note), &plain()), "origin-not-read").len();
    for note in [
        "NW corner",
        "back left corner",
        "southeast corner",
        "far wall",
        "at back wall",
        "Start NW corner",
    ] {
        assert_eq!(warned(0, note), 1, "{note}");
    }
    assert_eq!(warned(8, "front left corner"), 1);
    for (at, note) in [
        (0, "SW corner"),
        (0, "near left corner"),
        (8, "back right corner"),
        (4, "back wall"),
        (0, "crack from far wall"),
        (0, "low at back wall"),
        (2, "right of door"),
    ] {
        assert_eq!(warned(at, note), 0, "{note}");
    }
}

// ORACLE: hand: whatever lines or stars stand round a word between rows, it is that word; an amount with its sign may be meant for what follows.
#[test]
fn lines_of_words_and_amounts_between_rows_are_told_whatever_stands_round_them() {
    let sheet = |line: &str| {
        let rows: Vec<String> = (0..12)
            .map(|i| format!("{},{},39 {}/16", i % 4, i / 4, 1 + 2 * (i % 4)))
            .collect();
        format!(
            "x_ft,y_ft,reading_in\n{}\n{line},,\n{}\n",
            rows[..6].join("\n"),
            rows[6..].join("\n")
        )
    };
    for line in [
        "Break",
        "--- from hall ---",
        "*** Break ***",
        "== Break ==",
        "+1/4",
        "-3/8",
    ] {
        let found = notices(&sheet(line), &plain());
        assert_eq!(told(&found, "words-between-rows").len(), 1, "{line}");
    }
    for line in ["---", "Page 2"] {
        let found = notices(&sheet(line), &plain());
        assert!(told(&found, "words-between-rows").is_empty(), "{line}");
    }
}

/// A workbook of readings with the tab that the field sheet's own has, two of its cells filled in.
fn workbook(first: &str, last: &str, difference: &str) -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("Readings").unwrap();
    for (i, row) in [
        "ft / in,0,2,4",
        "4,39 1/8,39,39 1/4",
        "2,39 1/16,39 1/8,39",
        "0,39,39 1/8,39 1/16",
    ]
    .iter()
    .enumerate()
    {
        for (k, cell) in row.split(',').enumerate() {
            sheet.write_string(i as u32, k as u16, cell).unwrap();
        }
    }
    let tab = book.add_worksheet().set_name("Set-up").unwrap();
    for (i, (label, value)) in [
        ("Item", "Written"),
        ("Reading on the bench mark, first", first),
        ("Reading on the bench mark, last", last),
        (
            "Difference: the line moved if this is more than a step",
            difference,
        ),
    ]
    .iter()
    .enumerate()
    {
        tab.write_string(i as u32, 0, *label).unwrap();
        tab.write_string(i as u32, 1, *value).unwrap();
    }
    book.save_to_buffer().unwrap()
}

// ORACLE: hand: 40 3/4 less 40 1/4 is 1/2 in; a tab that nobody filled in says nothing.
#[test]
fn what_the_tab_set_up_says_of_a_moved_line_is_heard() {
    let told = |bytes: Vec<u8>| {
        let source = Source {
            name: "field.xlsx",
            bytes: &bytes,
        };
        let notices = read(&source, &plain()).unwrap().surveys[0].notices.clone();
        let of = |code: &str| {
            let found = notices.iter().find(|n| n.code == code);
            found.map(|n| format!("{} {}", n.place, n.text))
        };
        (of("bench-mark-differs"), of("instrument-moved"))
    };
    let (mark, moved) = told(workbook("40 1/4", "40 3/4", "1/2 - line moved after row 3"));
    let mark = mark.unwrap();
    assert!(
        mark.contains("sheet Set-up, cell B3") && mark.contains("1/2 in apart"),
        "{mark}"
    );
    assert!(moved.unwrap().contains("sheet Set-up, cell B4"));
    assert_eq!(told(workbook("40 1/4", "40 2/8", "0")), (None, None));
    assert_eq!(told(workbook("", "", "")), (None, None));
}

// ORACLE: hand: a distance that counts from the near wall, beside a first row that is said to lie there.
#[test]
fn words_beside_a_matrix_that_agree_with_its_first_row_are_no_warning() {
    let beside = ",,Distance from left wall (ft)\n,ft / in,0,2,4\nDistance from front wall (ft),0,39,39 1/8,39 1/16\n,2,39 1/16,39 1/8,39\n,4,39 1/8,39,39 1/4\n";
    let mut options = plain();
    for (first, warned) in [(FirstRow::Near, 0), (FirstRow::Far, 1)] {
        options.orientation.first_row = Some(first);
        let found = notices(beside, &options);
        assert_eq!(
            told(&found, "axes-not-read").len(),
            warned,
            "{first:?}: {found:?}"
        );
    }
}

// ORACLE: hand: `s1 ` is S1; the name is told as it was written first.
#[test]
fn set_ups_are_one_whatever_their_capitals_and_blanks() {
    let rows = (0..9).map(|i| {
        let name = ["S1", "s1 ", "S1", "s1"][i % 4];
        format!("{},{},39 {}/16,{name}\n", i % 3, i / 3, 1 + 2 * (i % 4))
    });
    let found = good(
        &format!("x_ft,y_ft,reading_in,set-up\n{}", rows.collect::<String>()),
        &plain(),
    );
    assert_eq!(found.understood.rooms[0].set_ups, ["S1"]);
    assert!(told(&found.surveys[0].notices, "set-ups-tied").is_empty());
}

// ORACLE: hand: the second table's first reading stands in row 14.
#[test]
fn a_table_read_twice_under_one_row_of_headings_names_both_rows() {
    let rows: String = (0..11)
        .map(|i| format!("{},{},39 {}/16\n", i % 4, i / 4, 1 + 2 * (i % 4)))
        .collect();
    let text = format!("Kitchen\nx_ft,y_ft,reading_in\n{rows}\nBath\n{rows}");
    let errors = import(&text, &plain()).expect_err(&text).to_string();
    assert!(
        errors.contains("row 16: ") && errors.contains("row 3"),
        "{errors}"
    );
}

// ORACLE: hand: U+200F is the right-to-left mark; without it the text would look like a reading.
#[test]
fn signs_that_nobody_sees_stand_as_codes_in_what_cannot_be_read() {
    let text = "x_ft,y_ft,reading_in\n0,0,\u{200f}39 1/8\n2,0,39\n0,2,39\n";
    let errors = import(text, &plain()).expect_err(text).to_string();
    assert!(
        errors.contains("\u{201c}<U+200F>39 1/8\u{201d}"),
        "{errors}"
    );
}

// ORACLE: hand: 38 3/4 holds a blank of its own.
#[test]
fn a_table_set_apart_by_blanks_with_fractions_is_told_so() {
    let text = "x_ft y_ft reading_in\n0 0 38 3/4\n2 0 38 7/8\n0 2 39\n2 2 39 1/8\n";
    let errors = import(text, &plain()).expect_err(text).to_string();
    assert!(
        errors.contains("commas, tabs or semicolons") && errors.contains("row 2"),
        "{errors}"
    );
    let text = "Nothing here\nand there\n";
    assert!(
        import(text, &plain())
            .expect_err(text)
            .to_string()
            .contains("no table of readings")
    );
}

// ORACLE: hand: a value measured may run down from a line or be a height; stated, it is what is stated.
#[test]
fn headings_that_do_not_say_which_way_their_numbers_run_are_asked_about() {
    for heading in ["Value (in)", "Measurement (in)"] {
        let text = format!("x_ft,y_ft,{heading}\n0,0,39\n2,0,39 1/8\n0,2,39 1/16\n");
        let errors = import(&text, &plain()).expect_err(&text);
        assert_eq!(errors.list()[0].fault, Fault::Column);
        assert!(
            errors.to_string().contains("whether larger is lower"),
            "{errors}"
        );
        let stated = ImportOptions {
            meaning: Some(birdbath::import::Meaning::Down),
            ..plain()
        };
        good(&text, &stated);
    }
}

// ORACLE: hand: one byte of a sound file, by which a part of it points beyond its end. What fails within is told as damage, in the program's words.
#[test]
fn a_damaged_workbook_is_refused_in_the_words_of_the_program_alone() {
    let mut bytes = include_bytes!("../../fixtures/import/bath.xls").to_vec();
    bytes[666] = 0;
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("bath.xls"), bytes).unwrap();
    let o = crate::support::program::run(folder.path(), &["read", "bath.xls"]);
    let said = String::from_utf8_lossy(&o.stderr).into_owned();
    assert_eq!(o.status.code(), Some(1));
    assert!(
        said.contains("cut short or damaged (its parts do not fit together)"),
        "{said}"
    );
    assert!(!said.contains("panicked"), "{said}");
}

fn sheet_of(columns: &[&str], rows: &[&str], corner: &str) -> String {
    let mut text = format!("{corner},{}\n", columns.join(","));
    for (j, row) in rows.iter().enumerate() {
        let cells: Vec<String> = (0..columns.len())
            .map(|i| (1520 + (3 * i + 2 * j) % 7).to_string())
            .collect();
        text += &format!("{row},{}\n", cells.join(","));
    }
    text
}

// ORACLE: hand. Rows that are numbered 1 to 5 beside columns 0.6 m apart are 5 m deep by the unit in the corner and most likely 2.4 m: told. Rows and
//         columns that both count, and rows at even distances, are not.
#[test]
fn rows_that_only_count_are_told_where_a_unit_makes_distances_of_them() {
    let told = |columns: &[&str], rows: &[&str]| {
        let text = sheet_of(columns, rows, "m / mm");
        let list = notices(&text, &plain());
        let found = list.iter().find(|n| n.code == "axis-counts");
        found.map(|n| n.text.clone())
    };
    let counted = ["1", "2", "3", "4", "5"];
    let metres = ["0", "0.6", "1.2", "1.8", "2.4", "3.0"];
    let text = told(&metres, &counted).expect("numbered rows are told");
    assert!(
        text.starts_with("The rows are headed 1 to 5, which was taken for distances of 1 m to 5 m"),
        "{text}"
    );
    assert!(
        told(&counted, &metres).is_some_and(|t| t.starts_with("The columns are headed 1 to 5"))
    );
    assert_eq!(told(&counted, &counted), None);
    assert_eq!(told(&metres, &["0", "0.6", "1.2", "1.8"]), None);
    assert_eq!(told(&metres, &["0", "1", "2", "3"]), None);
}

// ORACLE: hand. Rows 60 m apart beside columns 0.6 m apart are centimetres under metres, though the room is only 80 times as deep as wide; with its
//         outline given, or rows ten times as far apart, nothing is asked.
#[test]
fn rows_a_hundred_times_as_far_apart_as_columns_are_asked_about() {
    let metres = ["0", "0.6", "1.2", "1.8", "2.4", "3.0"];
    let read_so = |rows: &[&str]| {
        let text = sheet_of(&metres, rows, "m / mm");
        import(&text, &plain())
    };
    let refused = read_so(&["0", "60", "120", "180", "240"])
        .unwrap_err()
        .to_string();
    assert!(
        refused.contains("rows of readings 60.00 m apart one way and 0.60 m the other"),
        "{refused}"
    );
    assert!(read_so(&["0", "6", "12", "18", "24"]).is_ok());
}

// ORACLE: hand. Rows A to D with a spacing of 2 ft beside columns at their distances: the spacing is that of the letters. Where both axes are
//         distances a spacing is one too many.
#[test]
fn a_spacing_is_that_of_the_letters() {
    let feet = ["0", "2", "4", "6", "8"];
    let options = ImportOptions {
        spacing: Some(Spacing {
            across: Length::from_ft(2.0),
            along: Length::from_ft(2.0),
        }),
        ..ImportOptions::default()
    };
    let read_so = |columns: &[&str], rows: &[&str]| {
        let text = sheet_of(columns, rows, "ft / mm");
        import(&text, &options)
    };
    for (columns, rows) in [
        (&feet[..], &["A", "B", "C", "D"][..]),
        (&["A", "B", "C", "D"][..], &feet[..]),
    ] {
        let read = read_so(columns, rows).unwrap_or_else(|e| panic!("{e}"));
        let survey = &read.surveys[0];
        let (low, high) = birdbath::geometry::bounds(survey.readings.iter().map(|r| r.at)).unwrap();
        let size = [(high.x - low.x) / 0.3048, (high.y - low.y) / 0.3048];
        let wanted = [
            2.0 * (columns.len() - 1) as f64,
            2.0 * (rows.len() - 1) as f64,
        ];
        assert!(
            (size[0] - wanted[0]).abs() < 1e-9 && (size[1] - wanted[1]).abs() < 1e-9,
            "{size:?}"
        );
    }
    let refused = read_so(&feet, &feet).unwrap_err().to_string();
    assert!(refused.contains("Leave the spacing away"), "{refused}");
}
