//! What goes wrong in text files, each told with its cell, all at once.

use birdbath::import::{Fault, ImportErrors, ImportOptions, Imported, Source, outline, read};
use birdbath::units::LengthUnit;
use proptest::prelude::*;

fn bytes(bytes: &[u8], options: &ImportOptions) -> Result<Imported, ImportErrors> {
    read(
        &Source {
            name: "t.csv",
            bytes,
        },
        options,
    )
}

fn import(text: &str) -> Result<Imported, ImportErrors> {
    bytes(text.as_bytes(), &ImportOptions::default())
}

/// Three sound readings and one more row.
fn with_row(row: &str) -> String {
    format!("x_ft,y_ft,reading_in\n0,0,31\n2,0,31 1/8\n0,2,31 1/4\n{row}\n")
}

/// The one fault, with its cell.
fn fault(text: &str) -> (String, Fault, String) {
    let errors = import(text).expect_err(text);
    assert_eq!(errors.list().len(), 1, "{errors}");
    let one = &errors.list()[0];
    (one.place.cell(), one.fault, one.to_string())
}

fn drops(imported: &Imported) -> Vec<f64> {
    imported.surveys[0]
        .readings
        .iter()
        .map(|r| (-r.elevation.m() / 0.0254 * 1e6).round() / 1e6)
        .collect()
}

#[test]
fn fractions_turned_dates_are_refused_with_what_was_probably_typed() {
    for (text, typed) in [
        ("8-Mar", "3/8"),
        ("3-Aug", "3/8"),
        ("Mar-32", "3/32"),
        ("2024-03-08", "3/8"),
        ("2024-03-16 00:00:00", "3/16"),
        ("5/16/2024", "5/16"),
        ("45359", "3/8"),
    ] {
        let beside = |readings: [&str; 3]| {
            let [a, b, c] = readings;
            format!("x_ft,y_ft,reading_in\n0,0,{a}\n2,0,{b}\n0,2,{c}\n2,2,{text}\n")
        };
        let (cell, kind, words) = fault(&beside(["1/2", "5/8", "9/16"]));
        assert_eq!((cell.as_str(), kind), ("C5", Fault::BecameDate), "{words}");
        assert!(words.contains(&format!("probably {typed}")), "{words}");
        // Beside readings of 31 in it was no 3/8, and is not offered back as one.
        let (_, kind, words) = fault(&beside(["31", "31 1/8", "31 1/4"]));
        assert_eq!(kind, Fault::BecameDate);
        assert!(!words.contains("probably"), "{words}");
    }
    // No fraction of a rule: nothing is offered.
    for text in ["22-May", "3-Feb", "2024-02-03"] {
        let (_, kind, words) = fault(&with_row(&format!("2,2,{text}")));
        assert_eq!(kind, Fault::BecameDate);
        assert!(!words.contains("probably"), "{words}");
    }
}

#[test]
fn dates_come_back_as_fractions_only_by_leave_and_are_told() {
    let options = ImportOptions {
        dates_as_fractions: true,
        ..ImportOptions::default()
    };
    let text = "x_ft,y_ft,reading_in\n0,0,8-Mar\n2,0,13/16\n0,2,Mar-16\n2,2,16-May\n";
    let imported = bytes(text.as_bytes(), &options).unwrap();
    assert_eq!(drops(&imported), [0.375, 0.8125, 0.1875, 0.3125]);
    let told = imported.surveys[0]
        .notices
        .iter()
        .filter(|n| n.code == "date-as-fraction")
        .count();
    assert_eq!(told, 3);
    let errors = bytes(text.replace("16-May", "22-May").as_bytes(), &options).unwrap_err();
    assert!(errors.has(Fault::BecameDate), "{errors}");
    // A metric sheet has no fractions to lose.
    let metric = text.replace("reading_in", "reading_mm");
    assert!(
        bytes(metric.as_bytes(), &options)
            .unwrap_err()
            .has(Fault::BecameDate)
    );
}

#[test]
fn thirds_fifths_and_sevenths_are_warned_of() {
    let imported = import(&with_row("2,2,31 1/3\n4,2,31 2/5\n4,0,31 3/7")).unwrap();
    let note = imported.surveys[0]
        .notices
        .iter()
        .find(|n| n.code == "one-digit-fraction")
        .unwrap();
    assert!(
        note.text.starts_with("3 readings") && note.place.ends_with("cell C5"),
        "{note:?}"
    );
    let sound = import(&with_row("2,2,31 13/32")).unwrap();
    assert!(
        sound.surveys[0]
            .notices
            .iter()
            .all(|n| n.code != "one-digit-fraction")
    );
}

#[test]
fn zeros_are_refused_and_words_for_nothing_are_not() {
    let (cell, kind, words) = fault(&with_row("2,2,0"));
    assert_eq!((cell.as_str(), kind), ("C5", Fault::Zero));
    assert!(words.contains("--meaning elevation"), "{words}");
    for word in [
        "",
        "x",
        "X",
        "-",
        "--",
        "\u{2013}",
        "col",
        "Col.",
        "wall",
        "n/a",
        "N/A",
        "none",
        "no reading",
    ] {
        let imported =
            import(&with_row(&format!("2,2,{word}"))).unwrap_or_else(|e| panic!("{word}: {e}"));
        assert_eq!(imported.surveys[0].readings.len(), 3, "{word}");
        let room = &imported.understood.rooms[0];
        assert_eq!(room.skipped.len() + room.blanks, 1, "{word}");
    }
    // Zero is a height like any other.
    let heights = "x_m,y_m,elevation_mm\n0,0,0\n1,0,0\n0,1,2\n";
    assert_eq!(import(heights).unwrap().surveys[0].readings.len(), 3);
    let (_, kind, _) = fault(&with_row("2,2,floor box"));
    assert_eq!(kind, Fault::NotALength);
}

#[test]
fn average_rows_and_columns_are_passed_over_and_told() {
    let matrix =
        "ft / in,0,2,4,Avg\n0,31,31,31,31\n2,31,31,31 1/4,31 1/16\nAverage,31,31,31 1/8,31\n";
    let imported = import(matrix).unwrap();
    assert_eq!(imported.surveys[0].readings.len(), 6);
    let told: Vec<&str> = imported.surveys[0]
        .notices
        .iter()
        .filter(|n| n.code == "summary-row")
        .map(|n| n.place.as_str())
        .collect();
    assert_eq!(told, ["t.csv, cell E1", "t.csv, cell A4"]);
    let list =
        import("point,x_ft,y_ft,reading_in\nA,0,0,31\nB,2,0,31\nC,0,2,31\nTotal,,,93\nMean,,,31\n")
            .unwrap();
    assert_eq!(list.surveys[0].readings.len(), 3);
    // Without a name it is a reading without a place.
    let errors = import(&with_row(",,31 1/8")).unwrap_err();
    let told: Vec<(String, Fault)> = errors
        .list()
        .iter()
        .map(|e| (e.place.cell(), e.fault))
        .collect();
    assert_eq!(
        told,
        [
            ("A5".to_owned(), Fault::NoPosition),
            ("B5".to_owned(), Fault::NoPosition)
        ]
    );
}

#[test]
fn one_spot_read_twice_must_agree() {
    let (cell, kind, words) = fault(&with_row("0,2,32 1/4"));
    assert_eq!((cell.as_str(), kind), ("C5", Fault::Disagree));
    assert!(
        words.contains("31 1/4") && words.contains("cell C4") && words.contains("1 in"),
        "{words}"
    );
    // An eighth is honest, more is not.
    import(&with_row("0,2,31 3/8")).unwrap();
    let (_, kind, words) = fault(&with_row("0,2,31 7/16"));
    assert!(
        kind == Fault::Disagree && words.contains("within 1/8 in"),
        "{words}"
    );
    let agreeing = import(&with_row("0,2,31 5/16")).unwrap();
    assert_eq!(agreeing.surveys[0].readings.len(), 4);
    assert!(
        agreeing.surveys[0]
            .notices
            .iter()
            .any(|n| n.code == "read-twice")
    );
}

#[test]
fn too_few_readings_or_one_line_of_them_make_no_floor() {
    let line = "x_ft,y_ft,reading_in\n0,0,31\n1,1,31\n2,2,31 1/8\n7,7,31\n";
    for (text, kind) in [
        ("x_ft,y_ft,reading_in\n0,0,31\n2,0,31\n", Fault::TooFew),
        ("x_ft,y_ft,reading_in\n0,0,x\n2,0,-\n", Fault::TooFew),
        ("x_ft,y_ft,reading_in\n", Fault::TooFew),
        (line, Fault::OneLine),
    ] {
        let errors = import(text).unwrap_err();
        assert!(errors.has(kind), "{errors}");
    }
    let profile = ImportOptions {
        accept_line: true,
        ..ImportOptions::default()
    };
    assert_eq!(
        bytes(line.as_bytes(), &profile).unwrap().surveys[0]
            .readings
            .len(),
        4
    );
}

#[test]
fn units_are_stated_never_guessed_and_never_mixed() {
    let errors = import("x,y,reading\n0,0,31\n2,0,31\n0,2,31\n").unwrap_err();
    let places: Vec<String> = errors.list().iter().map(|e| e.place.cell()).collect();
    assert_eq!(places, ["A2", "C2"], "{errors}");
    assert!(errors.list().iter().all(|e| e.fault == Fault::MissingUnit));
    assert!(
        errors.to_string().contains("reading_in") && errors.to_string().contains("--plan-unit"),
        "{errors}"
    );
    let errors = import(",0,2\n0,31,31\n2,31,31\n").unwrap_err();
    assert!(errors.has(Fault::MissingUnit), "{errors}");
    // Numbers that bring their own unit need none.
    let own = "x,y,reading\n0',0',31\"\n2',0',31 1/8\"\n0',2',2' 7 1/4\"\n";
    assert_eq!(drops(&import(own).unwrap()), [31.0, 31.125, 31.25]);
    for (row, kind) in [
        ("2,2,798 mm", Fault::MixedUnits),
        ("2 m,2,31", Fault::MixedUnits),
    ] {
        assert_eq!(fault(&with_row(row)).1, kind, "{row}");
    }
    let (_, kind, words) = fault("x_m,y_m,reading_mm\n0,0,31 1/4\n1,0,801\n0,1,802\n");
    assert_eq!(kind, Fault::MixedUnits);
    assert!(words.contains("inches"), "{words}");
    // 0.8 ft is 9 5/8 in.
    let tenths = import("x_ft,y_ft,reading_ft\n0,0,0.8\n2,0,0.81\n0,2,0.82\n").unwrap();
    assert_eq!(drops(&tenths)[0], 9.6);
}

#[test]
fn readings_that_cannot_be_are_refused() {
    for (text, kind) in [
        ("NaN", Fault::NotFinite),
        ("inf", Fault::NotFinite),
        ("-inf", Fault::NotFinite),
        ("1e999", Fault::NotFinite),
        ("-31", Fault::Signed),
        ("+3", Fault::Signed),
        ("40 ft", Fault::OutOfRange),
        ("480", Fault::OutOfRange),
        ("#DIV/0!", Fault::ErrorCell),
        ("#N/A", Fault::ErrorCell),
        ("#REF!", Fault::ErrorCell),
        ("Err:502", Fault::ErrorCell),
        ("#####", Fault::ErrorCell),
        ("thirty", Fault::NotALength),
        ("37/8", Fault::NotALength),
        ("3 7/8 1/2", Fault::NotALength),
    ] {
        let (cell, found, words) = fault(&with_row(&format!("2,2,{text}")));
        assert_eq!((cell.as_str(), found), ("C5", kind), "{text}: {words}");
        assert!(
            words.starts_with("t.csv, cell C5: found ") && words.contains("; expected "),
            "{words}"
        );
    }
    assert!(
        fault(&with_row("2,2,480"))
            .2
            .contains("between 0 and 20 ft")
    );
    let heights = "x_m,y_m,elevation_m\n0,0,100.001\n1,0,100.002\n0,1,10.003\n";
    assert_eq!(
        import(heights).unwrap_err().list()[0].fault,
        Fault::OutOfRange
    );
    assert_eq!(fault(&with_row("nan,2,31")).1, Fault::NotFinite);
}

#[test]
fn all_faults_of_a_file_are_told_at_once() {
    let text = "x_ft,y_ft,reading_in\n0,0,8-Mar\n2,0,0\n,2,31\n2,2,NaN\n4,4,31\n6,4,99 ft\n";
    let errors = import(text).unwrap_err();
    let cells: Vec<String> = errors.list().iter().map(|e| e.place.cell()).collect();
    assert_eq!(cells, ["C2", "C3", "A4", "C5", "C7"], "{errors}");
    let many: String = (0..500).map(|i| format!("{i},0,zero\n")).collect();
    let errors = import(&format!("x_ft,y_ft,reading_in\n{many}")).unwrap_err();
    assert_eq!(errors.list().len(), ImportErrors::MOST_LISTED);
    assert_eq!(errors.unlisted(), 300);
    assert!(errors.to_string().ends_with("and 300 more"));
}

#[test]
fn headers_that_do_not_fit_are_told() {
    assert_eq!(
        fault("x_ft,y_ft,gap_in\n0,0,1\n2,0,1\n0,2,1\n").1,
        Fault::Column
    );
    assert_eq!(
        fault("x_ft,y_ft,reading_in,elevation_in\n0,0,1,1\n").1,
        Fault::Column
    );
    assert_eq!(
        fault("x_ft,y_ft,y_ft,reading_in\n0,0,0,1\n").1,
        Fault::Column
    );
    assert!(import("1,2,3\n4,5,6\n").unwrap_err().has(Fault::Layout));
    let (cell, kind, _) = fault("ft / in,0,2\n0,31,31\n2,31,31,30\n");
    assert_eq!((cell.as_str(), kind), ("D3", Fault::NoPosition));
    let (_, kind, words) = fault("ft / in,0,2,2\n0,31,31,31\n2,31,31,31\n");
    assert_eq!(kind, Fault::NoPosition);
    assert!(words.contains("twice"), "{words}");
}

#[test]
fn encodings_and_separators() {
    let text = "Point;x (m);y (m);reading (mm)\nT\u{fc}r;0;0;798,5\nB;1;0;801\nC;0;1,5;803\n";
    let utf16 = |big: bool, mark: bool| -> Vec<u8> {
        let units = mark
            .then_some(0xFEFF)
            .into_iter()
            .chain(text.encode_utf16());
        units
            .flat_map(|u| {
                if big {
                    u.to_be_bytes()
                } else {
                    u.to_le_bytes()
                }
            })
            .collect()
    };
    let latin: Vec<u8> = text.chars().map(|c| c as u8).collect();
    let marked = format!("\u{feff}{text}").into_bytes();
    for (bytes_in, encoding) in [
        (text.as_bytes().to_vec(), "UTF-8"),
        (marked, "UTF-8"),
        (utf16(false, true), "UTF-16LE"),
        (utf16(true, true), "UTF-16BE"),
        (utf16(false, false), "UTF-16LE"),
        (utf16(true, false), "UTF-16BE"),
        (latin, "windows-1252"),
    ] {
        let imported = bytes(&bytes_in, &ImportOptions::default())
            .unwrap_or_else(|e| panic!("{encoding}: {e}"));
        assert_eq!(imported.understood.encoding, Some(encoding));
        let survey = &imported.surveys[0];
        assert_eq!(survey.readings[0].label, "T\u{fc}r");
        assert_eq!(survey.readings[0].elevation.m(), -0.7985);
        assert_eq!(survey.readings[2].at.y, 1.5);
    }
    let plain = "x_m,y_m,z_m\n0,0,0.001\n1,0,0.002\n0,1,0.003\n";
    for (separator, word) in [
        (",", "comma"),
        (";", "semicolon"),
        ("\t", "tab"),
        ("|", "bar"),
    ] {
        let imported = import(&plain.replace(',', separator)).unwrap();
        assert_eq!(imported.understood.separator, Some(word));
        assert_eq!(imported.surveys[0].readings.len(), 3);
    }
    let stated = import(&format!("sep=;\n{}", plain.replace(',', ";"))).unwrap();
    assert_eq!(stated.surveys[0].readings[0].raw.place.cell(), "C3");
    let odd = ImportOptions {
        delimiter: Some(b'~'),
        ..ImportOptions::default()
    };
    assert!(bytes(plain.replace(',', "~").as_bytes(), &odd).is_ok());
    let blanks = ImportOptions {
        layout: birdbath::import::Layout::List,
        plan_unit: Some(LengthUnit::Metre),
        reading_unit: Some(LengthUnit::Metre),
        meaning: Some(birdbath::import::Meaning::Elevation),
        ..ImportOptions::default()
    };
    let scan = "0 0 0.001\n1 0 0.002\n0  1 0.003\n";
    assert_eq!(
        bytes(scan.as_bytes(), &blanks).unwrap().surveys[0]
            .readings
            .len(),
        3
    );
}

#[test]
fn rows_are_counted_as_a_spreadsheet_shows_them() {
    for end in ["\n", "\r\n"] {
        let text = [
            "",
            "x_ft,y_ft,note,reading_in",
            "",
            "0,0,\"two",
            "lines\",31",
            "",
            "2,0,,31",
            "0,2,,zero",
            "",
        ]
        .join(end);
        let errors = import(&text).unwrap_err();
        // The note's line break is inside its cell: the row of zero is the seventh.
        assert_eq!(errors.list()[0].place.cell(), "D7", "{errors}");
    }
}

#[test]
fn files_that_are_no_tables() {
    for (bytes_in, kind) in [
        (&b""[..], Fault::Empty),
        (b"\n\n  \n", Fault::Empty),
        (b"\xef\xbb\xbf", Fault::Empty),
        (
            b"\x7fELF\x02\x01\x01\0\0\0\0\0\0\0\0\0\x03\0\x3e\0",
            Fault::NotATable,
        ),
        (
            b"<html><table><tr><td>1</td></tr></table></html>",
            Fault::NotATable,
        ),
        (b"hello", Fault::Layout),
        (b"PK\x03\x04 but no more", Fault::Damaged),
        (b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", Fault::Damaged),
    ] {
        let errors = bytes(bytes_in, &ImportOptions::default()).unwrap_err();
        assert!(errors.has(kind), "{errors}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn any_bytes_are_answered_without_a_panic(content in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = bytes(&content, &ImportOptions::default());
        let _ = outline(&Source { name: "t", bytes: &content }, &ImportOptions::default());
    }

    #[test]
    fn any_cells_are_answered_without_a_panic(
        rows in prop::collection::vec(prop::collection::vec("[0-9x/ '\",;.\\-]{0,6}|avg|8-Mar|ft|A|#N/A", 0..6), 0..12),
        matrix in any::<bool>(),
    ) {
        let head = if matrix { "ft / in,0,2,4\n" } else { "x_ft,y_ft,reading_in\n" };
        let text: String = rows.iter().map(|r| r.join(",") + "\n").collect();
        for text in [format!("{head}{text}"), text] {
            if let Ok(imported) = import(&text) {
                for reading in &imported.surveys[0].readings {
                    prop_assert!(reading.elevation.m().is_finite());
                    prop_assert!(reading.at.x.is_finite() && reading.at.y.is_finite());
                    // Nothing missing was taken for zero.
                    prop_assert!(reading.elevation.m() < 0.0);
                }
            }
        }
    }

    #[test]
    fn the_order_of_rows_does_not_change_the_readings(
        cells in prop::collection::vec(1u32..320, 9..30), seed in any::<u64>(),
    ) {
        let mut rows: Vec<String> = cells
            .iter()
            .enumerate()
            .map(|(i, v)| format!("P{i},{},{},3 {}/32", i % 5, i / 5, v % 31 + 1))
            .collect();
        let header = "point,x_ft,y_ft,reading_in\n";
        let one = import(&format!("{header}{}", rows.join("\n"))).unwrap();
        let mut state = seed;
        for i in (1..rows.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            rows.swap(i, (state >> 33) as usize % (i + 1));
        }
        let other = import(&format!("{header}{}", rows.join("\n"))).unwrap();
        let sorted = |imported: &Imported| {
            let mut list: Vec<(String, u64)> = imported.surveys[0]
                .readings
                .iter()
                .map(|r| (r.label.to_string(), r.elevation.m().to_bits()))
                .collect();
            list.sort();
            list
        };
        prop_assert_eq!(sorted(&one), sorted(&other));
    }
}

#[test]
fn a_heading_with_a_number_or_two_units_says_no_unit() {
    // ORACLE: hand. 38 under "x10 mm" is no 38 mm.
    for heading in [
        "reading (x10 mm)",
        "reading (in or mm)",
        "reading in/mm",
        "elevation (in above 100 ft)",
    ] {
        let text = format!("x_ft,y_ft,{heading}\n0,0,38\n2,0,39\n0,2,38\n2,2,38\n");
        let (cell, kind, words) = fault(&text);
        assert_eq!((cell.as_str(), kind), ("C2", Fault::MissingUnit), "{words}");
    }
    for heading in [
        "reading (in mm)",
        "reading in mm",
        "reading (all in mm)",
        "reading [mm]",
    ] {
        let text = format!("x_m,y_m,{heading}\n0,0,380\n2,0,390\n0,2,380\n2,2,380\n");
        let found = import(&text).expect(heading);
        assert!((found.surveys[0].readings[0].elevation.m() + 0.38).abs() < 1e-12);
    }
    let plan = "x (100 mm),y (100 mm),reading_mm\n0,0,380\n2,0,390\n0,2,380\n2,2,380\n";
    assert_eq!(fault(plan).1, Fault::MissingUnit);
}

#[test]
fn heights_with_thousands_points_and_a_meaning_against_the_heading_are_refused() {
    let heights = |list: [&str; 4]| {
        let [a, b, c, d] = list;
        format!("x_m;y_m;elevation_mm\n0;0;{a}\n2;0;{b}\n0;2;{c}\n2;2;{d}\n")
    };
    for list in [
        ["1.012", "1.015", "1.020", "1.011"],
        ["1234", "1235", "1.233", "1236"],
    ] {
        assert_eq!(fault(&heights(list)).1, Fault::OutOfRange);
    }
    // Thousandths of a millimetre as a total station writes them.
    for list in [
        ["12.345", "1.015", "13.020", "9.111"],
        ["0.012", "-1.015", "1.020", "0.000"],
    ] {
        import(&heights(list)).expect("heights");
    }
    let turned = "meaning,down\nx_m,y_m,elevation_mm\n0,0,10\n2,0,11\n0,2,12\n2,2,13\n";
    assert_eq!(fault(turned).1, Fault::Setting);
}

#[test]
fn averages_in_any_column_and_words_between_rows_are_told() {
    let text =
        "note,x_ft,y_ft,reading_in\n,0,0,38\n,2,0,38\n,0,2,38 1/8\n,2,2,38\nAverage,1,1,38.03\n";
    assert_eq!(import(text).expect(text).surveys[0].readings.len(), 4);
    // A remark on a reading, or a room's name, is no row of averages.
    let remark = "note,room,x_ft,y_ft,reading_in\naverage of two,Total,0,0,38\n,Total,2,0,38\n,Total,0,2,38 1/8\n,Total,2,2,38\n";
    assert_eq!(import(remark).expect(remark).surveys[0].readings.len(), 4);
    // A point may be called Low, and a note may say so.
    let low = "note,x_ft,y_ft,reading_in\nlow,0,0,38\n,2,0,38\n,0,2,38 1/8\n,2,2,38\n";
    assert_eq!(import(low).expect(low).surveys[0].readings.len(), 4);
    let title = "x_ft,y_ft,reading_in\n0,0,38\n2,0,38\n0,2,38\nLevel 2\n2,2,38\n";
    let found = import(title).expect(title);
    let told = |code: &str| found.surveys[0].notices.iter().any(|n| n.code == code);
    assert!(told("words-between-rows"));
}

#[test]
fn places_and_heights_that_no_plan_has_are_refused() {
    let place = "x_ft,y_ft,reading_in\n0,0,38\n1e308,0,38\n0,2,38\n2,2,38\n";
    assert_eq!(fault(place).0, "C3");
    let height = "x_m,y_m,elevation_m\n0,0,1\n2,0,1e16\n0,2,1\n2,2,1\n";
    assert_eq!(fault(height).0, "C3");
    let wide = "x_m,y_m,reading_mm\n0,0,980\n6000,0,981\n0,6000,980\n6000,6000,982\n";
    let found = import(wide).expect(wide);
    assert!(
        found.surveys[0]
            .notices
            .iter()
            .any(|n| n.code == "readings-wide-apart")
    );
}
