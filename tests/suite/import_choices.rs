//! Nothing is chosen silently: which way a sheet lies, what its headings count, what its marks and cells mean.

use super::import_layouts::{good, import, labels, spots};
use crate::support::parts::rewritten;
use birdbath::geometry::{Point, Region, Ring};
use birdbath::import::{Fault, ImportOptions, Orientation, Source, Spacing, Why, XRuns, read};
use birdbath::survey::{FirstRow, Laid, LaidBy, Severity};
use birdbath::units::{Length, LengthUnit};
use rust_xlsxwriter::{Format, Formula, Workbook};

fn spaced(feet: f64) -> ImportOptions {
    ImportOptions {
        reading_unit: Some(LengthUnit::Inch),
        spacing: Some(Spacing {
            across: Length::from_ft(feet),
            along: Length::from_ft(feet),
        }),
        ..ImportOptions::default()
    }
}

fn laid(text: &str, options: &ImportOptions) -> Laid {
    good(text, options).surveys[0].laid.expect("a matrix")
}

fn refused(text: &str, options: &ImportOptions) -> (String, Fault, String) {
    let errors = import(text, options).expect_err(text);
    let first = &errors.list()[0];
    (first.place.cell(), first.fault, errors.to_string())
}

fn notice(text: &str, options: &ImportOptions, code: &str) -> Option<String> {
    good(text, options).surveys[0]
        .notices
        .iter()
        .find(|n| n.code == code)
        .map(|n| format!("{}: {}", n.place, n.text))
}

// ORACLE: hand. Rows and columns of 2 ft; each heading counts its own spacings from A or 1.
#[test]
fn a_heading_stands_where_its_own_letter_or_number_puts_it() {
    let skips = ",A,B,D\n1,38,38,38\n2,38,38,38\n5,38,38,38\n";
    let imported = good(skips, &spaced(2.0));
    assert_eq!(labels(&imported)[..3], ["A1", "B1", "D1"]);
    assert_eq!(spots(&imported)[..3], [(0.0, 8.0), (2.0, 8.0), (6.0, 8.0)]);
    assert_eq!(spots(&imported)[8], (6.0, 0.0));
    let told = notice(skips, &spaced(2.0), "headings-skip").expect("told");
    assert!(told.contains("D1") && told.contains("left out"), "{told}");

    let backwards = ",D,C,A\n3,38,38,38\n2,38,38,38\n1,38,38,38\n";
    let imported = good(backwards, &spaced(2.0));
    // As typed: D is at the left, row 3 at the top.
    assert_eq!(
        spots(&imported),
        [
            (0.0, 4.0),
            (2.0, 4.0),
            (6.0, 4.0),
            (0.0, 2.0),
            (2.0, 2.0),
            (6.0, 2.0),
            (0.0, 0.0),
            (2.0, 0.0),
            (6.0, 0.0)
        ]
    );

    for (text, cell) in [
        (",A,C,B\n1,38,38,38\n2,38,38,38\n3,38,38,38\n", "D1"),
        (",A,B,C\n1,38,38,38\n3,38,38,38\n2,38,38,38\n", "A4"),
        (",A,B,B\n1,38,38,38\n2,38,38,38\n3,38,38,38\n", "D1"),
        (",A,B,3\n1,38,38,38\n2,38,38,38\n3,38,38,38\n", "D1"),
    ] {
        let (at, fault, words) = refused(text, &spaced(2.0));
        assert_eq!((at.as_str(), fault), (cell, Fault::NoPosition), "{words}");
    }
}

#[test]
fn a_spacing_that_an_axis_does_not_use_is_refused() {
    let distances = "ft / in,0,2,4\n0,38,38,38\n2,38,38,38\n4,38,38,38\n";
    let (_, fault, words) = refused(distances, &spaced(2.0));
    assert_eq!(fault, Fault::NoPosition);
    assert!(words.contains("headed by distances"), "{words}");
    let list = "x_ft,y_ft,reading_in\n0,0,38\n2,0,38\n0,2,38\n";
    let (_, fault, words) = refused(list, &spaced(2.0));
    assert_eq!(fault, Fault::NoPosition);
    assert!(words.contains("a spacing"), "{words}");
}

/// An L with its notch at the top right: 6 ft wide, 4 ft deep.
fn notched() -> Ring {
    let ft = |x: f64, y: f64| Point::new(x * 0.3048, y * 0.3048);
    Ring::new(vec![
        ft(0.0, 0.0),
        ft(6.0, 0.0),
        ft(6.0, 2.0),
        ft(2.0, 2.0),
        ft(2.0, 4.0),
        ft(0.0, 4.0),
    ])
}

// ORACLE: hand. The notch is typed where it is seen; distances count from the wall of their zero.
#[test]
fn a_sheet_lies_as_it_was_typed_until_it_is_stated_or_the_outline_decides() {
    let picture = ",A,B,C,D\n1,38,38,,\n2,38,38,38,38\n3,38,38,38,38\n";
    let taken = |first_row| Laid {
        first_row,
        by: LaidBy::Taken,
    };
    assert_eq!(laid(picture, &spaced(2.0)), taken(FirstRow::Far));
    assert_eq!(spots(&good(picture, &spaced(2.0)))[0], (0.0, 4.0));
    let told = notice(picture, &spaced(2.0), "first-row-taken").expect("told");
    assert!(told.contains("far wall"), "{told}");

    let coordinates = "ft / in,0,2,4,6\n0,38,38,,\n2,38,38,38,38\n4,38,38,38,38\n";
    let plain = ImportOptions::default();
    assert_eq!(laid(coordinates, &plain), taken(FirstRow::Near));
    assert_eq!(spots(&good(coordinates, &plain))[0], (0.0, 0.0));

    let stated = |options: ImportOptions, first_row| ImportOptions {
        orientation: Orientation {
            first_row: Some(first_row),
            x_runs: None,
        },
        ..options
    };
    let near = stated(spaced(2.0), FirstRow::Near);
    assert_eq!(spots(&good(picture, &near))[0], (0.0, 0.0));
    assert_eq!(notice(picture, &near, "first-row-taken"), None);
    let far = stated(plain.clone(), FirstRow::Far);
    assert_eq!(spots(&good(coordinates, &far))[0], (0.0, 4.0));
    // Distances that fall down the sheet have their first row at the top already.
    let falling = "ft / in,0,2\n4,38,38\n2,38,38\n0,38,38\n";
    assert_eq!(spots(&good(falling, &far))[0], (0.0, 4.0));
    assert_eq!(
        spots(&good(&format!("first row,far\n{falling}"), &plain))[0],
        (0.0, 4.0)
    );

    let within = |options: ImportOptions| ImportOptions {
        region: Some(Region {
            outline: notched(),
            voids: vec![],
        }),
        ..options
    };
    // The picture fits as typed; the coordinates only upside down.
    let outline = Laid {
        first_row: FirstRow::Far,
        by: LaidBy::Outline,
    };
    assert_eq!(laid(picture, &within(spaced(2.0))), outline);
    assert_eq!(laid(coordinates, &within(plain.clone())), outline);
    assert_eq!(spots(&good(coordinates, &within(plain)))[0], (0.0, 4.0));
    assert_eq!(
        notice(picture, &within(spaced(2.0)), "first-row-taken"),
        None
    );

    let leftward = ImportOptions {
        orientation: Orientation {
            first_row: None,
            x_runs: Some(XRuns::Left),
        },
        ..spaced(2.0)
    };
    assert_eq!(spots(&good(picture, &leftward))[0], (6.0, 4.0));
}

// ORACLE: hand.
#[test]
fn a_list_of_names_is_read_with_a_spacing() {
    let text = "point,reading_in\nA1,38\nB1,38\nD1,38\nA3,38\n";
    let (_, fault, words) = refused(text, &ImportOptions::default());
    assert_eq!(fault, Fault::NoPosition);
    assert!(words.contains("--spacing"), "{words}");
    let imported = good(text, &spaced(2.0));
    assert_eq!(
        spots(&imported),
        [(0.0, 0.0), (2.0, 0.0), (6.0, 0.0), (0.0, 4.0)]
    );
    assert!(notice(text, &spaced(2.0), "first-row-taken").is_some());
    let (cell, _, words) = refused("point,reading_in\nA1,38\nB1,38\ntub,38\n", &spaced(2.0));
    assert_eq!(cell, "A4", "{words}");
}

// ORACLE: hand. 1.236 beside 0,3 is 1236 in one country and 1.236 in another.
#[test]
fn points_and_commas_are_read_one_way_or_refused() {
    let sheet = |reading: &str| {
        format!("x (m);y (m);reading (mm)\n0,0;0,0;{reading}\n0,6;0,0;1230\n0,0;0,6;1231\n")
    };
    let plain = ImportOptions::default();
    for wrong in ["1.236", "1,236.5.1"] {
        let (cell, _, words) = refused(&sheet(wrong), &plain);
        assert_eq!(cell, "C2", "{words}");
    }
    for (text, mm) in [("1236", 1236.0), ("1236,5", 1236.5), ("1.236,5", 1236.5)] {
        let read = good(&sheet(text), &plain);
        assert!((read.surveys[0].readings[0].elevation.m() + mm / 1e3).abs() < 1e-9);
    }
    // A column of metres goes by its own decimals, whatever the names beside it look like.
    let metres =
        "point;x (m);y (m);reading (m)\n1.1;0,0;0,0;1,236\n1.2;0,6;0,0;1,24\n2.1;0,0;0,6;1,235\n";
    let read = good(metres, &plain);
    assert!((read.surveys[0].readings[0].elevation.m() + 1.236).abs() < 1e-9);
    // Nothing shows what the comma is.
    let (cell, _, words) = refused(
        "x (mm)\ty (mm)\treading (mm)\n0\t0\t1,236\n600\t0\t1,240\n0\t600\t1,231\n",
        &plain,
    );
    assert_eq!(cell, "C2", "{words}");
}

#[test]
fn readings_and_rooms_that_nobody_measures_are_asked_about() {
    let plain = ImportOptions::default();
    let mm = |reading: &str| {
        format!("x_m,y_m,reading_mm\n0,0,{reading}\n1,0,1000\n0,1,1000\n1,1,1000\n")
    };
    for reading in ["1.2", "12400"] {
        assert_eq!(
            refused(&mm(reading), &plain).1,
            Fault::OutOfRange,
            "{reading}"
        );
    }
    let long = "x_m,y_m,reading_mm\n0,0,1000\n300,0,1000\n0,2,1000\n300,2,1000\n";
    let (_, fault, words) = refused(long, &plain);
    assert_eq!(fault, Fault::OutOfRange);
    assert!(
        words.contains("300") && words.contains("outline"),
        "{words}"
    );
    let walls = [(0.0, 0.0), (300.0, 0.0), (300.0, 2.0), (0.0, 2.0)];
    let options = ImportOptions {
        region: Some(Region {
            outline: Ring::new(walls.into_iter().map(|(x, y)| Point::new(x, y)).collect()),
            voids: vec![],
        }),
        ..plain
    };
    assert_eq!(good(long, &options).surveys[0].readings.len(), 4);
}

#[test]
fn a_stray_word_is_told_at_its_own_cell() {
    let plain = ImportOptions::default();
    // Beside the headings, without a gap: it may be one.
    let (cell, _, words) = refused(
        "ft / in,0,2,4,north\n0,38,38,38,\n2,38,38,38,\n4,38,38,38,\n",
        &plain,
    );
    assert_eq!(cell, "E1", "{words}");
    // Behind a gap, beside the rows and below: outside, and no word for no reading.
    let text = "ft / in,0,2,4,,north\n0,38,38,38\n2,38,x,38,,tub\n4,38,38,38\n\nx = not read\n";
    let imported = good(text, &plain);
    let skipped: Vec<(String, Why)> = imported.understood.rooms[0]
        .skipped
        .iter()
        .map(|s| (s.place.cell(), s.why))
        .collect();
    assert!(
        skipped.contains(&("C3".to_owned(), Why::NoReading)),
        "{skipped:?}"
    );
    for cell in ["F1", "F3", "A6"] {
        assert!(
            skipped.contains(&(cell.to_owned(), Why::Outside)),
            "{cell} {skipped:?}"
        );
    }
    assert_eq!(skipped.len(), 4);
}

fn book(fill: impl Fn(&mut rust_xlsxwriter::Worksheet)) -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (i, text) in ["x_ft", "y_ft", "reading_in"].iter().enumerate() {
        sheet.write(0, i as u16, *text).unwrap();
    }
    for (i, (x, y)) in [(0, 0), (2, 0), (4, 0), (0, 2), (2, 2), (4, 2)]
        .into_iter()
        .enumerate()
    {
        let row = i as u32 + 1;
        sheet.write(row, 0, x).unwrap();
        sheet.write(row, 1, y).unwrap();
        sheet.write(row, 2, 38.25).unwrap();
    }
    fill(sheet);
    book.save_to_buffer().unwrap()
}

fn from_book(bytes: &[u8]) -> Result<birdbath::import::Imported, birdbath::import::ImportErrors> {
    let source = Source {
        name: "t.xlsx",
        bytes,
    };
    read(&source, &ImportOptions::default())
}

fn told(bytes: &[u8], code: &str) -> String {
    let imported = from_book(bytes).expect("readable");
    let notices = &imported.surveys[0].notices;
    let found: Vec<_> = notices.iter().filter(|n| n.code == code).collect();
    assert_eq!(found.len(), 1, "{code} told once: {notices:?}");
    format!("{} {}", found[0].place, found[0].text)
}

#[test]
fn what_a_workbook_hides_strikes_or_merges_is_told_once() {
    let hidden = book(|s| {
        s.set_row_hidden(2).unwrap();
        s.set_row_hidden(3).unwrap();
    });
    let words = told(&hidden, "hidden-readings");
    assert!(
        words.contains("C3") && words.contains("2 readings"),
        "{words}"
    );
    let column = book(|s| {
        s.set_column_hidden(2).unwrap();
    });
    assert!(told(&column, "hidden-readings").contains("6 readings"));
    let struck = book(|s| {
        s.write_with_format(4, 2, 39.0, &Format::new().set_font_strikethrough())
            .unwrap();
    });
    let words = told(&struck, "struck-readings");
    assert!(
        words.contains("C5") && words.contains("1 reading "),
        "{words}"
    );
    // A run of the cell's own text, and a run that is not struck.
    let run = |format: Format| {
        book(|s| {
            let parts = [(&Format::default(), "3"), (&format, "9")];
            s.write_rich_string(4, 2, &parts).unwrap();
        })
    };
    let words = told(
        &run(Format::new().set_font_strikethrough()),
        "struck-readings",
    );
    assert!(
        words.contains("C5") && words.contains("1 reading "),
        "{words}"
    );
    let bold = from_book(&run(Format::new().set_bold())).unwrap();
    assert_eq!(bold.surveys[0].readings[3].raw.text, "39");
    assert!(
        bold.surveys[0]
            .notices
            .iter()
            .all(|n| n.code != "struck-readings")
    );
    let merged = book(|s| {
        s.merge_range(5, 2, 6, 2, "38 1/2", &Format::new()).unwrap();
    });
    let words = told(&merged, "merged-cells");
    assert!(words.contains("C6 to C7"), "{words}");
    // A place that nobody sees decides as much as a reading.
    let column = book(|s| {
        s.set_column_hidden(0).unwrap();
    });
    let words = told(&column, "unseen-places");
    assert!(words.contains("A2 6 cells"), "{words}");
    let place = book(|s| {
        s.write_with_format(4, 1, 2.0, &Format::new().set_font_strikethrough())
            .unwrap();
    });
    assert!(told(&place, "unseen-places").contains("B5 1 cell "));
    // Nothing of the kind: nothing told.
    let plain = from_book(&book(|_| ())).unwrap();
    assert!(plain.surveys[0].notices.iter().all(|n| {
        ![
            "hidden-readings",
            "struck-readings",
            "unseen-places",
            "merged-cells",
        ]
        .contains(&n.code.as_ref())
    }));
}

#[test]
fn a_unit_in_a_number_format_counts_and_a_formula_without_a_value_is_refused() {
    // The cells show millimetres under a header that says inches.
    let mixed = book(|s| {
        s.write_with_format(4, 2, 971.5, &Format::new().set_num_format("0.0\" mm\""))
            .unwrap();
    });
    let errors = from_book(&mixed).unwrap_err();
    assert!(
        errors.has(Fault::MixedUnits) && errors.list()[0].place.cell() == "C5",
        "{errors}"
    );
    let same = book(|s| {
        s.write_with_format(4, 2, 38.5, &Format::new().set_num_format("0.0\" in\""))
            .unwrap();
    });
    let read = from_book(&same).unwrap();
    assert!((read.surveys[0].readings[3].elevation.m() + 38.5 * 0.0254).abs() < 1e-12);
    let unvalued = book(|s| {
        s.write_formula(4, 2, Formula::new("=C2+1")).unwrap();
    });
    // The writer puts a 0 in; other programs put nothing, or an element with nothing in it.
    for value in ["", "<v/>", "<v></v>"] {
        let bytes = rewritten(&unvalued, "sheet1.xml", |text| {
            assert!(text.contains("</f><v>0</v>"), "{text}");
            text.replace("</f><v>0</v>", &format!("</f>{value}"))
        });
        let errors = from_book(&bytes).unwrap_err();
        assert!(
            errors.has(Fault::ErrorCell) && errors.to_string().contains("formula without a value"),
            "{value}: {errors}"
        );
        assert_eq!(errors.list()[0].place.cell(), "C5");
    }
}

// ORACLE: hand. Whole inches in one column and the fraction in the next, which has no heading: the floor would come out an
//         inch coarse. A count of the rows has no heading either, and words beside a table are none of it.
#[test]
fn a_number_under_no_heading_beside_a_list_is_no_remark() {
    let plain = ImportOptions::default();
    let split = "x_ft,y_ft,reading_in,\n0,0,38,6/8\n2,0,38,\n0,2,38,1/8\n2,2,38,\n";
    let (cell, fault, words) = refused(split, &plain);
    assert_eq!((cell.as_str(), fault), ("D2", Fault::NoPosition));
    assert!(
        words.contains("6/8") && words.contains("no heading"),
        "{words}"
    );
    let counted = ",x_ft,y_ft,reading_in\n0,0,0,38\n1,2,0,38\n2,0,2,38\n3,2,2,38\n";
    assert_eq!(good(counted, &plain).surveys[0].readings.len(), 4);
    let remark = "x_ft,y_ft,reading_in,\n0,0,38,by the door\n2,0,38,\n0,2,38,\n2,2,38,\n";
    assert_eq!(good(remark, &plain).surveys[0].readings.len(), 4);
}

// ORACLE: hand. A grid of 26 columns is lettered as far as Z, and two of its letters are names of axes.
#[test]
fn letters_that_run_as_far_as_x_and_y_are_columns() {
    for names in [
        vec!["V", "W", "X", "Y", "Z"],
        vec!["W", "Y", "Z"],
        vec!["Y", "Z", "AA"],
        vec!["X", "W", "V"],
    ] {
        let mut text = format!(",{}\n", names.join(","));
        for row in 1..4 {
            text += &format!("{row}{}\n", ",38".repeat(names.len()));
        }
        let imported = import(&text, &spaced(2.0)).unwrap_or_else(|e| panic!("{names:?} {e}"));
        assert_eq!(
            imported.surveys[0].readings.len(),
            3 * names.len(),
            "{names:?}"
        );
        assert_eq!(labels(&imported)[0], format!("{}1", names[0]), "{names:?}");
    }
    // X, Y and Z alone over rows that count may be either.
    let either = ",X,Y,Z\n1,38,38,38\n2,38,38,38\n3,38,38,38\n";
    let options = ImportOptions {
        plan_unit: Some(LengthUnit::Foot),
        ..spaced(2.0)
    };
    assert!(
        import(
            either,
            &ImportOptions {
                spacing: None,
                ..options
            }
        )
        .is_err()
    );
}

const ODS: &[u8] = include_bytes!("../../fixtures/import/bath.ods");
const XLS: &[u8] = include_bytes!("../../fixtures/import/bath.xls");

fn told_by(name: &str, bytes: &[u8]) -> Vec<(String, String)> {
    let imported = read(&Source { name, bytes }, &ImportOptions::default()).expect("readable");
    imported.surveys[0]
        .notices
        .iter()
        .map(|n| (n.code.to_string(), format!("{} {}", n.place, n.text)))
        .collect()
}

fn one(list: &[(String, String)], code: &str) -> String {
    let found: Vec<_> = list.iter().filter(|n| n.0 == code).collect();
    assert_eq!(found.len(), 1, "{code}: {list:?}");
    found[0].1.clone()
}

// ORACLE: hand, by the elements of ISO/IEC 26300. Four readings stand in a row; 31.3125 stands twice.
#[test]
fn what_an_opendocument_sheet_hides_strikes_or_merges_is_told_once() {
    const STYLES: &str = r#"<office:automatic-styles><number:number-style style:name="N1"><number:number/><number:text> mm</number:text></number:number-style><style:style style:name="mm" style:family="table-cell" style:data-style-name="N1"/><style:style style:name="struck" style:family="table-cell"><style:text-properties style:text-line-through-style="solid"/></style:style></office:automatic-styles><office:body>"#;
    let styled = |change: &dyn Fn(&str) -> String| {
        rewritten(ODS, "content.xml", |text| {
            change(&text.replacen("<office:body>", STYLES, 1))
        })
    };
    let cell = r#"<table:table-cell office:value-type="float" office:value="31.4375">"#;
    let with = |more: &str| {
        styled(&|text| {
            assert!(text.contains(cell));
            text.replacen(cell, &cell.replace("-cell ", &format!("-cell {more} ")), 1)
        })
    };
    let hidden = styled(&|text| {
        let second = text.match_indices("<table:table-row>").nth(1).unwrap().0;
        let (head, tail) = text.split_at(second);
        head.to_owned()
            + &tail.replacen(
                "<table:table-row>",
                r#"<table:table-row table:visibility="collapse">"#,
                1,
            )
    });
    assert!(one(&told_by("t.ods", &hidden), "hidden-readings").contains("4 readings"));
    let struck = with(r#"table:style-name="struck""#);
    assert!(one(&told_by("t.ods", &struck), "struck-readings").contains("cell D4 1 reading "));
    // Struck by its row's own style, and by the parent of its style.
    let row = r#"<table:table-row table:default-cell-style-name="struck">"#;
    let of_row = styled(&|text| {
        let at = text[..text.find(cell).unwrap()]
            .rfind("<table:table-row>")
            .unwrap();
        let (head, tail) = text.split_at(at);
        head.to_owned() + &tail.replacen("<table:table-row>", row, 1)
    });
    assert!(one(&told_by("t.ods", &of_row), "struck-readings").contains("4 readings"));
    let child = r#"<style:style style:name="child" style:family="table-cell" style:parent-style-name="struck"/></office:automatic-styles>"#;
    let of_parent = rewritten(
        &with(r#"table:style-name="child""#),
        "content.xml",
        |text| text.replacen("</office:automatic-styles>", child, 1),
    );
    assert!(one(&told_by("t.ods", &of_parent), "struck-readings").contains("cell D4 1 reading "));
    let span = r#"<text:p><text:span text:style-name="struck">"#;
    let of_run = styled(&|text| {
        let at = text.find(cell).unwrap() + cell.len();
        let (head, tail) = text.split_at(at);
        let tail = tail.replacen("<text:p>", span, 1);
        head.to_owned() + &tail.replacen("</text:p>", "</text:span></text:p>", 1)
    });
    assert!(one(&told_by("t.ods", &of_run), "struck-readings").contains("cell D4 1 reading "));
    let merged = with(r#"table:number-rows-spanned="2""#);
    assert!(one(&told_by("t.ods", &merged), "merged-cells").contains("D4 to D5"));
    let unit = with(r#"table:style-name="mm""#);
    let errors = read(
        &Source {
            name: "t.ods",
            bytes: &unit,
        },
        &ImportOptions::default(),
    );
    assert!(errors.unwrap_err().has(Fault::MixedUnits));
    for kind in ["", r#" office:value-type="float""#] {
        let open = format!(r#"<table:table-cell table:formula="of:=1"{kind}>"#);
        let unvalued = styled(&|text| text.replacen(cell, &open, 1));
        let errors = read(
            &Source {
                name: "t.ods",
                bytes: &unvalued,
            },
            &ImportOptions::default(),
        );
        let errors = errors.unwrap_err();
        assert!(
            errors.has(Fault::ErrorCell) && errors.list()[0].place.cell() == "D4",
            "{kind}: {errors}"
        );
    }
    // An answer that is an empty text has neither, and an empty line.
    let empty = styled(&|text| {
        let at = text.find(cell).unwrap();
        let behind = text[at..].split_once("</text:p>").unwrap().1;
        let open = r#"<table:table-cell table:formula="of:=1"><text:p/>"#;
        format!("{}{open}{behind}", &text[..at])
    });
    assert!(one(&told_by("t.ods", &empty), "empty-answers").contains("cell D4 1 formula"));
}

#[test]
fn signs_that_nobody_sees_are_no_part_of_a_name() {
    let text = "\u{202e}Kitchen\u{202c}\npoint,x_ft,y_ft,reading_in\n\u{200e}P1,0,0,38\nP2,2,0,38\nP3,0,2,38\nP4,2,2,38\n";
    let source = Source {
        name: "t.csv",
        bytes: text.as_bytes(),
    };
    let survey = read(&source, &ImportOptions::default())
        .unwrap()
        .surveys
        .remove(0);
    assert_eq!(survey.name, "Kitchen");
    assert_eq!(survey.readings[0].label, "P1");
}

// ORACLE: hand, by ISO/IEC 29500-1: a cell without `s` has the first style; a sheet view that is right to left shows column A at
//         the right. Letters head a picture of the room; distances are what they say.
#[test]
fn a_workbooks_first_style_counts_and_a_sheet_may_run_to_the_left() {
    let millimetres = r#"<numFmts count="1"><numFmt numFmtId="170" formatCode="0&quot; mm&quot;"/></numFmts><fonts"#;
    let plain = book(|_| ());
    let styled = rewritten(&plain, "xl/styles.xml", |text| {
        let first = text.find("<cellXfs").unwrap();
        let (head, tail) = text.split_at(first);
        assert!(tail.contains(r#"numFmtId="0""#));
        head.replacen("<fonts", millimetres, 1)
            + &tail.replacen(r#"numFmtId="0""#, r#"numFmtId="170""#, 1)
    });
    assert!(from_book(&styled).unwrap_err().has(Fault::MixedUnits));
    let sheet = |heads: [f64; 3], letters: bool| {
        let mut book = rust_xlsxwriter::Workbook::new();
        let sheet = book.add_worksheet();
        sheet.set_right_to_left(true);
        sheet.write(0, 0, "ft / in").unwrap();
        for c in 0..3u16 {
            let letter = ["A", "B", "C"][usize::from(c)];
            if letters {
                sheet.write(0, c + 1, letter).unwrap();
            } else {
                sheet.write(0, c + 1, heads[usize::from(c)]).unwrap();
            }
        }
        for r in 0..4u32 {
            if letters {
                sheet.write(r + 1, 0, r + 1).unwrap();
            } else {
                sheet.write(r + 1, 0, 2.0 * f64::from(r)).unwrap();
            }
            for c in 0..3u16 {
                sheet
                    .write(r + 1, c + 1, 38.0 + 0.25 * f64::from(c))
                    .unwrap();
            }
        }
        let bytes = book.save_to_buffer().unwrap();
        let options = ImportOptions {
            spacing: letters.then(|| birdbath::import::spacing("2 ft").unwrap()),
            ..ImportOptions::default()
        };
        let source = Source {
            name: "t.xlsx",
            bytes: &bytes,
        };
        let survey = read(&source, &options).unwrap().surveys.remove(0);
        let x = |inches: &str| {
            let found = survey.readings.iter().find(|r| r.raw.text == inches);
            found.unwrap().at.x / 0.3048
        };
        (x("38"), x("38.5"))
    };
    let (first, last) = sheet([0.0, 2.0, 4.0], true);
    assert!((first - last - 4.0).abs() < 1e-9, "{first} {last}");
    let (first, last) = sheet([0.0, 2.0, 4.0], false);
    assert!((last - first - 4.0).abs() < 1e-9, "{first} {last}");
}

// ORACLE: hand. An outline's corner that is struck through or hidden would change the area without a word; of two sheets the one
//         with an outline's columns is read; two of them are too many.
#[test]
fn an_outline_in_a_workbook_is_shown_whole_and_found_on_its_sheet() {
    let outline = |sheets: &[&str], change: &dyn Fn(&mut rust_xlsxwriter::Worksheet)| {
        let mut book = rust_xlsxwriter::Workbook::new();
        for name in sheets {
            let sheet = book.add_worksheet();
            sheet.set_name(*name).unwrap();
            if name.starts_with("Notes") {
                sheet.write(0, 0, "bring the long rule").unwrap();
                continue;
            }
            let corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)];
            sheet.write(0, 0, "x_m").unwrap();
            sheet.write(0, 1, "y_m").unwrap();
            for (i, (x, y)) in corners.into_iter().enumerate() {
                sheet.write(i as u32 + 1, 0, x).unwrap();
                sheet.write(i as u32 + 1, 1, y).unwrap();
            }
            change(sheet);
        }
        let bytes = book.save_to_buffer().unwrap();
        let source = Source {
            name: "o.xlsx",
            bytes: &bytes,
        };
        birdbath::import::outline(&source, &ImportOptions::default())
            .map(|room| room.outline.area())
            .map_err(|e| e.to_string())
    };
    let area = outline(&["Outline", "Notes"], &|_| ()).unwrap();
    assert!((area - 12.0).abs() < 1e-12);
    let said = outline(&["One", "Two"], &|_| ()).unwrap_err();
    assert!(
        said.contains("One, Two") && !said.contains("--sheet"),
        "{said}"
    );
    let said = outline(&["Notes", "Notes 2"], &|_| ()).unwrap_err();
    assert!(said.contains("2 sheets, none"), "{said}");
    let struck = outline(&["Outline"], &|s| {
        let format = Format::new().set_font_strikethrough();
        s.write_with_format(3, 1, 5.0, &format).unwrap();
    });
    let said = struck.unwrap_err();
    assert!(
        said.contains("B4") && said.contains("struck through"),
        "{said}"
    );
    let hidden = outline(&["Outline"], &|s| {
        s.set_row_hidden(3).unwrap();
    });
    let said = hidden.unwrap_err();
    assert!(said.contains("A4") && said.contains("hidden"), "{said}");
    // A hidden column that says nothing of the outline counts for nothing.
    outline(&["Outline"], &|s| {
        s.write(1, 5, "checked twice").unwrap();
        s.set_column_hidden(5).unwrap();
    })
    .unwrap();
}

/// An XLS file with some of its records changed; each is given as its kind and its data.
fn with_records(bytes: &[u8], mut change: impl FnMut(u16, &mut [u8])) -> Vec<u8> {
    let mut out = bytes.to_vec();
    let word = |b: &[u8], at: usize| u16::from_le_bytes([b[at], b[at + 1]]);
    // The fixture's stream stands in one piece.
    let begin = bytes
        .windows(4)
        .position(|w| w == [0x09, 0x08, 0x10, 0x00])
        .unwrap();
    let mut at = begin;
    while at + 4 <= out.len() {
        let (kind, length) = (word(&out, at), usize::from(word(&out, at + 2)));
        if kind == 0 || at + 4 + length > out.len() {
            break;
        }
        change(kind, &mut out[at + 4..at + 4 + length]);
        at += 4 + length;
    }
    out
}

// ORACLE: hand, by the records ROW (0208, bit 5 of its last word but one: hidden) and FONT (0031, bit 3: struck out).
#[test]
fn what_a_binary_workbook_hides_or_strikes_is_told_once() {
    let hidden = with_records(XLS, |kind, data| {
        if kind == 0x0208 && data[0] == 1 {
            data[12] |= 0x20;
        }
    });
    assert!(one(&told_by("t.xls", &hidden), "hidden-readings").contains("4 readings"));
    let struck = with_records(XLS, |kind, data| {
        if kind == 0x0031 {
            data[2] |= 0x08;
        }
    });
    assert!(one(&told_by("t.xls", &struck), "struck-readings").contains("readings are struck"));
    let plain = told_by("t.xls", XLS);
    assert!(
        plain
            .iter()
            .all(|n| n.0 != "struck-readings" && n.0 != "hidden-readings"),
        "{plain:?}"
    );
}

// ORACLE: fixtures/import/make.py: of twenty readings one is a formula without an answer, in D4, and the four of the last row
// stand in a row of no height.
#[test]
fn an_empty_answer_in_a_binary_workbook_and_a_row_of_no_height_are_told() {
    const FORMULA: &[u8] = include_bytes!("../../fixtures/import/formula.xls");
    let told = told_by("f.xls", FORMULA);
    let empty = one(&told, "empty-answers");
    assert!(empty.contains("cell D4 1 formula"), "{empty}");
    assert!(one(&told, "hidden-readings").contains("cell B6 4 readings"));
    assert!(told_by("t.xls", XLS).iter().all(|n| n.0 != "empty-answers"));
}

// ORACLE: ISO/IEC 26300: a row's style gives its height.
#[test]
fn an_opendocument_row_of_no_height_and_a_number_that_is_empty_are_told() {
    const STYLE: &str = r#"<office:automatic-styles><style:style style:name="flat" style:family="table-row"><style:table-row-properties style:row-height="0in"/></style:style></office:automatic-styles><office:body>"#;
    let flat = rewritten(ODS, "content.xml", |text| {
        let text = text.replacen("<office:body>", STYLE, 1);
        let second = text.match_indices("<table:table-row>").nth(1).unwrap().0;
        let (head, tail) = text.split_at(second);
        let flat = r#"<table:table-row table:style-name="flat">"#;
        head.to_owned() + &tail.replacen("<table:table-row>", flat, 1)
    });
    assert!(one(&told_by("t.ods", &flat), "hidden-readings").contains("4 readings"));
    let empty = rewritten(ODS, "content.xml", |text| {
        text.replacen(r#"office:value="31.4375""#, r#"office:value="""#, 1)
    });
    let source = Source {
        name: "t.ods",
        bytes: &empty,
    };
    let errors = read(&source, &ImportOptions::default()).unwrap_err();
    assert_eq!(errors.list()[0].place.cell(), "D4", "{errors}");
    assert!(errors.has(Fault::ErrorCell), "{errors}");
}

// ORACLE: hand: 1484 m is no reading, 1.484 m is one; in millimetres 1484 is one and nothing is settled.
#[test]
fn commas_that_could_be_either_are_settled_by_size_only_where_one_size_is_possible() {
    let list = |unit: &str| {
        format!("x_m;y_m;reading_{unit}\n0;0;1,484\n2,500;0;1,486\n0;2;1,491\n2,500;2;1,489\n")
    };
    let imported = good(&list("m"), &ImportOptions::default());
    let last = imported.surveys[0].readings.last().unwrap();
    assert!((last.elevation.m() + 1.489).abs() < 1e-12);
    assert!((last.at.x - 2.5).abs() < 1e-12, "the plan goes with it");
    let told = notice(&list("m"), &ImportOptions::default(), "decimal-comma").unwrap();
    assert!(told.contains("20 ft"), "{told}");
    let (cell, fault, words) = refused(&list("mm"), &ImportOptions::default());
    assert_eq!((cell.as_str(), fault), ("C2", Fault::NotALength), "{words}");
    // One that would fit with thousands only leaves all of them open.
    let torn = list("m").replace("1,486", "4,486").replace("_m\n", "_ft\n");
    assert!(
        good(&torn, &ImportOptions::default()).surveys[0].readings[1]
            .elevation
            .m()
            < -1.3
    );
    let mixed = list("mm").replace("1,486", "9,486");
    assert!(import(&mixed, &ImportOptions::default()).is_err());
}

#[test]
fn decimal_commas_taken_for_ends_of_columns_are_told_once() {
    let text = "x_m,y_m,reading_mm\n0,0,0,0,984,2\n0,6,0,0,985,8\n1,2,0,0,987,4\n";
    let errors = import(text, &ImportOptions::default()).unwrap_err();
    assert_eq!(errors.list().len(), 1, "{errors}");
    let words = errors.to_string();
    assert!(
        words.contains("row 2") && words.contains("6 numbers under 3 headings"),
        "{words}"
    );
    assert!(words.contains("semicolons"), "{words}");
    // A remark behind the columns is none of it.
    let remark = "x_ft,y_ft,reading_in,\n0,0,38,\n2,0,38,ok\n0,2,38,\n2,2,38 1/2,\n";
    assert_eq!(
        good(remark, &ImportOptions::default()).surveys[0]
            .readings
            .len(),
        4
    );
}

// ORACLE: hand.
#[test]
fn headings_that_come_again_are_the_next_page_or_told() {
    let head = "x_ft,y_ft,reading_in\n";
    let paged = format!("{head}0,0,38\n2,0,38 1/4\n{head}0,2,38 1/2\n2,2,39\n");
    let imported = good(&paged, &ImportOptions::default());
    assert_eq!(imported.surveys.len(), 1);
    assert_eq!(imported.surveys[0].readings.len(), 4);
    let again: Vec<_> = imported.understood.rooms[0]
        .skipped
        .iter()
        .filter(|s| s.why == Why::HeadingsAgain)
        .map(|s| s.place.cell())
        .collect();
    assert_eq!(again, ["A4"]);
    let apart = format!("{head}0,0,38\n2,0,38 1/4\n0,2,38\n\n{head}0,2,38 1/2\n2,2,39\n2,0,38\n");
    let imported = good(&apart, &ImportOptions::default());
    assert_eq!(imported.surveys.len(), 2);
    let told = |i: usize| {
        let notices = &imported.surveys[i].notices;
        notices.iter().any(|n| n.code == "headings-again")
    };
    assert!(!told(0) && told(1));
    let named =
        format!("{head}0,0,38\n2,0,38 1/4\n0,2,38\n\nPantry\n{head}0,2,38 1/2\n2,2,39\n2,0,38\n");
    let imported = good(&named, &ImportOptions::default());
    assert!(
        imported.surveys[1]
            .notices
            .iter()
            .all(|n| n.code != "headings-again")
    );
}

#[test]
fn one_odd_heading_is_told_at_its_own_cell() {
    let sheet = |first: &str, last: &str| {
        format!("ft / in,{first},2,4,6\n0,38,38,38,38\n2,38,38,38,38\n{last},38,38,38,38\n")
    };
    for (first, last, cell) in [
        ("wall", "4", "B1"),
        ("2026-01-02", "4", "B1"),
        ("0", "Target", "A4"),
    ] {
        let errors = import(&sheet(first, last), &ImportOptions::default()).unwrap_err();
        assert_eq!(errors.list().len(), 1, "{errors}");
        assert_eq!(errors.list()[0].place.cell(), cell, "{errors}");
    }
    let errors = import(&sheet("0", "Target"), &ImportOptions::default()).unwrap_err();
    assert!(
        !errors.to_string().contains("Leave the cell blank"),
        "{errors}"
    );
    let words = ",col A,col B,Column C\nrow 1,38,38,38\nrow 2,38,38,38\nrow 3,38,38,38\n";
    let imported = good(words, &spaced(2.0));
    assert_eq!(labels(&imported)[..3], ["A1", "B1", "C1"]);
}

#[test]
fn a_unit_stated_against_the_sheet_is_warned_of() {
    let text = "x_ft,y_ft,reading_mm\n0,0,38\n2,0,38\n0,2,38\n";
    let inches = ImportOptions {
        reading_unit: Some(LengthUnit::Inch),
        ..ImportOptions::default()
    };
    let told = notice(text, &inches, "unit-stated-over").unwrap();
    assert!(
        told.contains("readings in mm") && told.contains("in was stated"),
        "{told}"
    );
    assert_eq!(
        notice(text, &ImportOptions::default(), "unit-stated-over"),
        None
    );
}

#[test]
fn the_noise_of_a_workbooks_arithmetic_is_left_out() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (i, head) in ["x_ft", "y_ft", "reading_mm"].iter().enumerate() {
        sheet.write(0, i as u16, *head).unwrap();
    }
    for (i, (x, y)) in [(0.0, 0.0), (2.0, 0.0), (0.0, 2.0)].into_iter().enumerate() {
        let row = i as u32 + 1;
        sheet.write(row, 0, x).unwrap();
        sheet.write(row, 1, y).unwrap();
        sheet.write(row, 2, 990.599_999_999_999_9).unwrap();
    }
    let bytes = book.save_to_buffer().unwrap();
    let source = Source {
        name: "n.xlsx",
        bytes: &bytes,
    };
    let imported = read(&source, &ImportOptions::default()).unwrap();
    assert_eq!(imported.surveys[0].readings[0].raw.text, "990.6");
}

// ORACLE: hand.
#[test]
fn what_a_newcomer_types_is_taken_as_meant_or_told_where_it_stands() {
    let first = |text: &str| {
        let errors = import(text, &ImportOptions::default()).expect_err(text);
        (
            errors.list()[0].place.cell(),
            errors.list().len(),
            errors.to_string(),
        )
    };
    // Points as thousands in plan distances.
    let (cell, _, words) =
        first("x (mm);y (mm);Reading (mm)\n0;0;985\n3.000;0;986\n0;3.000;985\n3.000;3.000;984\n");
    assert!(
        cell == "A3" && words.contains("3000 or 3.000"),
        "{cell} {words}"
    );
    // Two units for one column.
    let (cell, count, words) =
        first("x (m),y (m),Reading (cm)\nm,m,mm\n0,0,120.35\n1,0,120\n0,1,121\n");
    assert!(
        cell == "C2" && count == 1 && words.contains("mm below a heading that says cm"),
        "{words}"
    );
    // A mean by its sign; a stray letter among distances.
    let mean = "ft / in,0,2,4\n0,38,38,38\n2,38,38,38\n\u{d8},38,38,38\n";
    assert_eq!(
        good(mean, &ImportOptions::default()).surveys[0]
            .readings
            .len(),
        6
    );
    let (cell, count, _) = first("ft / in,0,2,4\n0,38,38,38\n2,38,38,38\nQ,38,38,38\n");
    assert_eq!((cell.as_str(), count), ("A4", 1));
    // Blanks as thousands, and why a heading is none.
    let (_, _, words) = first("x_m;y_m;reading_mm\n0;0;1 203,5\n1;0;1 204\n0;1;1 205\n");
    assert!(
        words.contains("thousands with nothing") && !words.contains("Leave the cell"),
        "{words}"
    );
    let (_, _, words) = first("mm / mm;0;1,000;2,000\n0;985;986;985\n1,000;985;985;984\n");
    assert!(words.contains("1000 or 1.000"), "{words}");
    // The page's own line is no room.
    let paged =
        "x_ft,y_ft,reading_in\n0,0,38\n2,0,38\nPage 2\nx_ft,y_ft,reading_in\n0,2,38\n2,2,38 1/2\n";
    let imported = good(paged, &ImportOptions::default());
    assert_eq!(imported.surveys.len(), 1);
    assert_eq!(imported.surveys[0].readings.len(), 4);
}

// ORACLE: hand.
#[test]
fn a_room_is_the_one_that_the_file_names() {
    let list = "room,x_ft,y_ft,reading_in\nKitchen,0,0,38\nkitchen,2,0,38\nKitchen,0,2,38\n";
    let asked = |room: &str| ImportOptions {
        room: Some(room.to_owned()),
        ..ImportOptions::default()
    };
    assert_eq!(good(list, &ImportOptions::default()).surveys.len(), 1);
    assert_eq!(good(list, &asked("kitchen")).surveys[0].readings.len(), 3);
    let errors = import(list, &asked("Bath")).unwrap_err();
    assert!(
        errors.has(Fault::Room) && errors.to_string().contains("Kitchen"),
        "{errors}"
    );
    let block = "Hall\nx_ft,y_ft,reading_in\n0,0,38\n2,0,38\n0,2,38\n";
    let two = format!("{block}\n{block}");
    let imported = good(&two, &ImportOptions::default());
    assert_eq!(imported.surveys.len(), 2);
    let told = |i: usize| {
        imported.surveys[i]
            .notices
            .iter()
            .any(|n| n.code == "rooms-of-one-name")
    };
    assert!(!told(0) && told(1));
}

// ORACLE: hand. A title that holds the name asked for and more is told, as a note; a file's own name is no title.
#[test]
fn a_table_titled_otherwise_than_the_room_asked_for_is_told() {
    let body = "x_ft,y_ft,reading_in\n0,0,38\n2,0,38\n0,2,38\n";
    let told = |title: &str, room: &str| {
        let options = ImportOptions {
            room: Some(room.to_owned()),
            ..ImportOptions::default()
        };
        let imported = good(&format!("{title}{body}"), &options);
        assert_eq!(imported.surveys[0].name, room);
        let mut notices = imported.surveys[0].notices.iter();
        notices
            .find(|n| n.code == "titled-otherwise")
            .map(|n| (n.severity, n.text.clone()))
    };
    let (severity, text) = told("Kitchen\n", "Bath").unwrap();
    assert_eq!(severity, Severity::Warning);
    assert!(
        text.contains("“Kitchen”") && text.contains("“Bath”"),
        "{text}"
    );
    assert_eq!(told("Kitchen\n", "kitchen"), None);
    // More than the name asked for is told as a note.
    for title in ["\"Flat 3, kitchen\"\n", "Kitchen and bath\n"] {
        let (severity, text) = told(title, "Kitchen").unwrap();
        assert_eq!(severity, Severity::Note, "{text}");
        assert!(
            text.contains("taken as the room \u{201c}Kitchen\u{201d}"),
            "{text}"
        );
    }
    assert_eq!(told("", "Bath"), None);
}

// ORACLE: hand. No room is called nothing.
#[test]
fn an_empty_room_asked_for_is_refused() {
    let body = "x_ft,y_ft,reading_in\n0,0,38\n2,0,38\n0,2,38\n";
    for room in ["", "  ", "\n"] {
        for title in ["", "Kitchen\n"] {
            let options = ImportOptions {
                room: Some(room.to_owned()),
                ..ImportOptions::default()
            };
            let errors = import(&format!("{title}{body}"), &options).unwrap_err();
            assert!(errors.has(Fault::Room), "{errors}");
            assert_eq!(errors.list().len(), 1, "{errors}");
        }
    }
}

// ORACLE: ISO/IEC 29500-1: number format 10 is 0.00 %.
#[test]
fn percentages_and_cells_under_merged_ones_are_no_readings() {
    let book = |write: &dyn Fn(&mut rust_xlsxwriter::Worksheet)| {
        let mut book = Workbook::new();
        let sheet = book.add_worksheet();
        for (i, head) in ["x_ft", "y_ft", "reading_mm"].iter().enumerate() {
            sheet.write(0, i as u16, *head).unwrap();
        }
        for (i, (x, y)) in [(0.0, 0.0), (2.0, 0.0), (0.0, 2.0), (2.0, 2.0)]
            .into_iter()
            .enumerate()
        {
            sheet.write(i as u32 + 1, 0, x).unwrap();
            sheet.write(i as u32 + 1, 1, y).unwrap();
            sheet.write(i as u32 + 1, 2, 1200.0).unwrap();
        }
        write(sheet);
        book.save_to_buffer().unwrap()
    };
    let percent = book(&|sheet| {
        let format = Format::new().set_num_format("0.00%");
        sheet.write_with_format(2, 2, 12.035, &format).unwrap();
    });
    let source = |bytes| Source {
        name: "p.xlsx",
        bytes,
    };
    let errors = read(&source(&percent), &ImportOptions::default()).unwrap_err();
    assert_eq!(errors.list()[0].place.cell(), "C3", "{errors}");
    let merged = book(&|sheet| {
        sheet.merge_range(1, 2, 2, 2, "", &Format::new()).unwrap();
        sheet.write(1, 2, 1200.0).unwrap();
        sheet.write(2, 2, 999.0).unwrap();
    });
    let imported = read(&source(&merged), &ImportOptions::default()).unwrap();
    assert_eq!(imported.surveys[0].readings.len(), 3);
}

// ORACLE: hand. A sheet typed from the right wall fits an outline with its notch there one way only, and is laid so.
#[test]
fn columns_that_run_to_the_left_are_found_by_the_outline() {
    let mirrored = ",A,B,C,D\n1,,,38,38\n2,38,38,38,38\n3,38,38,38,38\n";
    let within = ImportOptions {
        region: Some(Region {
            outline: notched(),
            voids: vec![],
        }),
        ..spaced(2.0)
    };
    let imported = good(mirrored, &within);
    // C1 is the third from the right wall: at 2 ft.
    assert_eq!(spots(&imported)[0], (2.0, 4.0));
    assert_eq!(imported.surveys[0].laid.unwrap().by, LaidBy::Outline);
    // As it was typed it would stand outside the walls.
    assert_eq!(spots(&good(mirrored, &spaced(2.0)))[0], (4.0, 4.0));
}

// ORACLE: hand. A print broken by a page has its headings twice and its rows once; the floor between the pages is floor.
#[test]
fn a_matrix_broken_by_a_page_is_one_room() {
    let whole =
        "ft / in,0,2,4\n0,38,38.1,38.2\n2,38.2,38.1,38.3\n4,38.1,38.9,38.2\n6,38.2,38.1,38.3\n";
    let plain = ImportOptions::default();
    let want = spots(&good(whole, &plain));
    assert_eq!(want.len(), 12);
    for between in ["Page 2\n", "\n", "\nPage 2 of 2\n"] {
        let broken = whole.replace(
            "4,38.1,38.9",
            &format!("{between}ft / in,0,2,4\n4,38.1,38.9"),
        );
        let imported = good(&broken, &plain);
        assert_eq!(imported.surveys.len(), 1, "{broken}");
        assert_eq!(spots(&imported), want, "{broken}");
        let skipped = &imported.understood.rooms[0].skipped;
        assert!(skipped.iter().any(|s| s.text == "ft / in"), "{skipped:?}");
    }
    // The same rows again, or other columns, are another room, and that is told.
    let again = "ft / in,0,2,4\n0,38,38,38\n2,38,38,38\n\nft / in,6,8,10\n0,38,38,38\n2,38,38,38\n";
    assert_eq!(good(again, &plain).surveys.len(), 2);
    let told = good(again, &plain).surveys[1]
        .notices
        .iter()
        .any(|n| n.code == "table-without-title");
    assert!(told);
}

// ORACLE: hand. Two marks for "the same" take the rows between them into one cell.
#[test]
fn a_lone_quotation_mark_swallows_no_rows() {
    let text =
        "x_ft,y_ft,reading_in,note\n0,0,38,door\n2,0,38,\"\n0,2,38,wall\n2,2,38,\"\n4,2,38,\n";
    let (_, fault, words) = refused(text, &ImportOptions::default());
    assert_eq!(fault, Fault::Layout);
    assert!(words.contains("D3") && words.contains("2 rows"), "{words}");
    // A note of several lines is a note.
    let note = "x_ft,y_ft,reading_in,note\n0,0,38,\"by the door,\nwhere, as told, it is wet\"\n2,0,38,\n0,2,38,\n";
    assert_eq!(
        good(note, &ImportOptions::default()).surveys[0]
            .readings
            .len(),
        3
    );
}

// ORACLE: hand. Two places of a sheet that name two units: neither is taken; a flag settles it and says so.
#[test]
fn a_sheet_that_contradicts_its_own_unit_is_asked_about() {
    let plain = ImportOptions::default();
    for text in [
        "reading unit,mm\nx_ft,y_ft,reading_in\n0,0,38\n2,0,38\n0,2,38\n",
        "reading unit,mm\nm / in,0,1\n0,38,38\n1,38,38\n",
        "plan unit,ft\nm / in,0,1\n0,38,38\n1,38,38\n",
    ] {
        let (_, fault, words) = refused(text, &plain);
        assert_eq!(fault, Fault::MixedUnits, "{words}");
    }
    let inches = ImportOptions {
        reading_unit: Some(LengthUnit::Inch),
        ..plain
    };
    let text = "reading unit,mm\nx_ft,y_ft,reading_in\n0,0,38\n2,0,38\n0,2,38\n";
    assert_eq!(good(text, &inches).surveys[0].readings.len(), 3);
    let spacing = "spacing,3 ft\n,A,B\n1,38,38\n2,38,38\n";
    assert!(notice(spacing, &spaced(2.0), "setting-stated-over").is_some());
    assert_eq!(
        notice(
            &spacing.replace('3', "2"),
            &spaced(2.0),
            "setting-stated-over"
        ),
        None
    );
}

// ORACLE: hand. Of nine heights about 121 mm one of 0 is more likely a cell that nobody filled; about a mark at 0 it is not.
#[test]
fn a_zero_among_heights_far_from_it_is_asked_about() {
    let heights = |first: &str| {
        format!("\"plan m, elevation mm\",0,1,2\n0,{first},121,122\n1,120,121,123\n2,122,121,120\n")
    };
    let plain = ImportOptions::default();
    let told = notice(&heights("0"), &plain, "zero-among-heights").expect("told");
    assert!(told.contains("120 mm"), "{told}");
    assert_eq!(notice(&heights("121"), &plain, "zero-among-heights"), None);
    let level = "\"plan m, elevation mm\",0,1,2\n0,0,1,2\n1,-2,1,3\n2,2,1,-1\n";
    assert_eq!(notice(level, &plain, "zero-among-heights"), None);
}

// ORACLE: hand, by the number formats of ISO/IEC 29500-1, 18.8.31: the third section is that of zeros, and may be a dash, which is
//         how a sheet says that nothing was read.
#[test]
fn a_zero_that_is_shown_as_a_dash_is_no_height() {
    use rust_xlsxwriter::{Format, Workbook};
    let file = |code: &str| {
        let mut book = Workbook::new();
        let sheet = book.add_worksheet();
        let shown = Format::new().set_num_format(code);
        sheet.write(0, 0, "plan m, elevation mm").unwrap();
        for i in 1..4u32 {
            sheet.write(0, i as u16, i - 1).unwrap();
            sheet.write(i, 0, i - 1).unwrap();
            for j in 1..4u16 {
                let height = if (i, j) == (2, 2) {
                    0.0
                } else {
                    f64::from(i) - 2.0
                };
                sheet.write_with_format(i, j, height, &shown).unwrap();
            }
        }
        book.save_to_buffer().unwrap()
    };
    let read_it = |code: &str| {
        let bytes = file(code);
        let source = birdbath::import::Source {
            name: "heights.xlsx",
            bytes: &bytes,
        };
        birdbath::import::read(&source, &ImportOptions::default())
    };
    assert_eq!(
        read_it("0.0;-0.0;0.0").unwrap().surveys[0].readings.len(),
        9
    );
    for code in [
        "0.0;-0.0;\"-\"",
        "_(* #,##0_);_(* \\(#,##0\\);_(* \"-\"_);_(@_)",
    ] {
        let errors = read_it(code).unwrap_err();
        // Row 2 of readings holds noughts in all three columns.
        assert_eq!(errors.list()[0].fault, Fault::Zero, "{errors}");
        assert!(errors.to_string().contains("cell C3"), "{errors}");
    }
}

// ORACLE: hand. Settings belong to the table below them; a title names the room only where no setting does.
#[test]
fn a_setting_said_twice_over_one_table_is_refused() {
    let body = "x_ft,y_ft,reading\n0,0,38\n2,0,38.5\n0,2,38\n";
    let twice = format!("Reading unit,in\nReading unit,mm\n{body}");
    let (place, fault, text) = refused(&twice, &ImportOptions::default());
    assert_eq!((place.as_str(), fault), ("B2", Fault::Setting));
    assert!(text.contains("B1"), "{text}");
    let same = format!("Reading unit,in\nReading unit,in\n{body}");
    good(&same, &ImportOptions::default());
    // For another table it may be another.
    let apart = format!(
        "Reading unit,in\n{body}\nRoom,B\nReading unit,mm\n{}",
        body.replace("38", "980")
    );
    let imported = good(&apart, &ImportOptions::default());
    let step = |i: usize| imported.surveys[i].readings[0].elevation.m();
    assert!((step(0) + 38.0 * 0.0254).abs() < 1e-9 && (step(1) + 0.98).abs() < 1e-9);
    let titled = format!("Room,Kitchen\nReadings of 3 May\nReading unit,in\n{body}");
    assert_eq!(
        good(&titled, &ImportOptions::default()).surveys[0].name,
        "Kitchen"
    );
}

// ORACLE: hand.
#[test]
fn a_heading_of_down_beside_elevations_is_refused_and_one_of_readings_is_not() {
    for (sheet, fits) in [
        (
            "Meaning,elevation\ndown_in,0 ft,2 ft\n0 ft,38,38\n2 ft,38,39\n",
            false,
        ),
        (
            "Meaning,elevation\nreading_in,0 ft,2 ft\n0 ft,38,38\n2 ft,38,39\n",
            true,
        ),
        (
            "Meaning,elevation\nx_ft,y_ft,drop_in\n0,0,38\n2,0,38\n0,2,39\n",
            false,
        ),
        (
            "Meaning,elevation\nx_ft,y_ft,reading_in\n0,0,38\n2,0,38\n0,2,39\n",
            true,
        ),
    ] {
        assert_eq!(
            import(sheet, &ImportOptions::default()).is_ok(),
            fits,
            "{sheet}"
        );
    }
}

// ORACLE: hand.
#[test]
fn names_and_places_that_cannot_be_meant_are_told() {
    let codes = |sheet: &str| {
        let notices = good(sheet, &ImportOptions::default()).surveys[0]
            .notices
            .clone();
        let told = notices
            .into_iter()
            .filter(|n| ["name-twice", "off-the-grid"].contains(&n.code.as_str()));
        told.map(|n| (n.code, n.place.rsplit(' ').next().unwrap().to_owned()))
            .collect::<Vec<_>>()
    };
    let named = "point,x_ft,y_ft,reading_in\nA,0,0,38\nB,2,0,38\nA,0,2,38\nC,2,2,39\n";
    assert_eq!(codes(named), [("name-twice".to_owned(), "D4".to_owned())]);
    assert!(codes(&named.replace("\nA,0,2", "\nD,0,2")).is_empty());
    // Four by four; the last but one is typed 40 for 4.
    let grid = |change: &dyn Fn(i32, i32) -> Option<(i32, i32)>| {
        let mut text = "x_ft,y_ft,reading_in\n".to_owned();
        for (x, y) in (0..16).map(|i| (2 * (i % 4), 2 * (i / 4))) {
            if let Some((x, y)) = change(x, y) {
                text.push_str(&format!("{x},{y},38\n"));
            }
        }
        text
    };
    let slipped = grid(&|x, y| Some(if (x, y) == (4, 6) { (40, 6) } else { (x, y) }));
    assert_eq!(
        codes(&slipped),
        [("off-the-grid".to_owned(), "C16".to_owned())]
    );
    assert!(codes(&grid(&|x, y| Some((x, y)))).is_empty());
    // An extra reading on a row that lacks none is a reading.
    assert!(codes(&(grid(&|x, y| Some((x, y))) + "3,2,38\n")).is_empty());
    // Nor is one between rows and columns anybody's slip.
    assert!(codes(&(grid(&|x, y| ((x, y) != (4, 4)).then_some((x, y))) + "5,5,38\n")).is_empty());
}

// ORACLE: hand.
#[test]
fn numbers_under_no_header_are_told_once_and_odd_units_at_their_column() {
    let (_, fault, text) = refused(
        "this,that,then\n0,0,38\n2,0,38\n0,2,39\n",
        &ImportOptions::default(),
    );
    assert_eq!((fault, text.lines().count()), (Fault::Layout, 1));
    assert!(text.contains("3 rows of numbers"), "{text}");
    let (_, fault, _) = refused(
        "x_yd,y_yd,reading_in\n0,0,38\n2,0,38\n0,2,39\n",
        &ImportOptions::default(),
    );
    assert_eq!(fault, Fault::MissingUnit);
}

// ORACLE: hand. 98,3 typed with a decimal comma ends a column at the comma; a note column takes the 3.
#[test]
fn decimals_that_a_note_column_swallowed_are_asked_about() {
    let codes = |sheet: &str| {
        let notices = good(sheet, &ImportOptions::default()).surveys[0]
            .notices
            .clone();
        notices.iter().any(|n| n.code == "decimals-in-notes")
    };
    let rows = "0,0,98,3\n2,0,98,2\n0,2,97,9\n2,2,98,0\n";
    assert!(codes(&format!("x_m,y_m,reading_cm,note\n{rows}")));
    let words = rows.replace(",3\n", ",nub\n").replace(",2\n", ",\n");
    assert!(!codes(&format!("x_m,y_m,reading_cm,note\n{words}")));
    // With a comma behind it as well there are more numbers than headings.
    let longer = rows.replace('\n', ",\n");
    let (_, fault, text) = refused(
        &format!("x_m,y_m,reading_cm,note\n{longer}"),
        &ImportOptions::default(),
    );
    assert_eq!(fault, Fault::Column);
    assert!(text.contains("decimal commas"), "{text}");
}

// ORACLE: hand: 1200.125 can be read one way, so a point is a point in its column.
#[test]
fn a_column_that_shows_what_a_point_is_takes_three_decimals() {
    let sheet = "x_mm,y_mm,reading_mm\n0,0,845.125\n1200.125,0,846.25\n0,1200.125,845.5\n845.049,900.5,846.75\n";
    let survey = &good(sheet, &ImportOptions::default()).surveys[0];
    assert!((survey.readings[3].at.x - 0.845_049).abs() < 1e-9);
    let (_, _, text) = refused(
        &sheet.replace("1200.125", "1200"),
        &ImportOptions::default(),
    );
    assert!(text.contains("845.049"), "{text}");
}

// ORACLE: hand: the sheet shows an x, or nothing, where the value is 38.25.
#[test]
fn a_number_that_its_format_does_not_show_is_refused() {
    for code in [";;;", "\"x\""] {
        let bytes = book(|s| {
            s.write_with_format(4, 2, 38.25, &Format::new().set_num_format(code))
                .unwrap();
        });
        let text = from_book(&bytes).unwrap_err().to_string();
        assert!(
            text.contains("C5") && text.contains("shows as a sign"),
            "{code}: {text}"
        );
    }
}

// ORACLE: hand. Rows at 0.5, 1, 1.5 and then 0 m are coordinates, whichever was typed last; a stated first row would turn them over.
#[test]
fn distances_that_turn_back_stand_where_they_say() {
    let sheet = "m / mm,0,0.5,1\n0.5,975,976,977\n1,980,981,982\n0,970,971,972\n";
    let survey = &good(sheet, &ImportOptions::default()).surveys[0];
    let high = survey
        .readings
        .iter()
        .max_by(|a, b| a.elevation.m().total_cmp(&b.elevation.m()))
        .unwrap();
    assert_eq!((high.at.x, high.at.y), (0.0, 0.0));
    for first_row in [FirstRow::Near, FirstRow::Far] {
        let stated = ImportOptions {
            orientation: Orientation {
                first_row: Some(first_row),
                x_runs: None,
            },
            ..ImportOptions::default()
        };
        let (place, _, text) = refused(sheet, &stated);
        assert_eq!(place, "A4");
        assert!(text.contains("turn back"), "{text}");
    }
}

// ORACLE: hand. A note says mean; the row has a place and a height of its own. A point of that name in the first column is a row of sums.
#[test]
fn a_note_makes_no_row_of_averages() {
    let rows = "0,0,38,\n2,0,38,\n0,2,39,mean\n2,2,38,\n";
    let imported = good(
        &format!("x_ft,y_ft,reading_in,note\n{rows}"),
        &ImportOptions::default(),
    );
    let survey = &imported.surveys[0];
    assert_eq!(survey.readings.len(), 4);
    assert!(survey.notices.iter().any(|n| n.code == "word-of-a-sum"));
    let named = "point,x_ft,y_ft,reading_in\nA,0,0,38\nB,2,0,38\nC,0,2,39\nMean,0.7,0.7,38.3\n";
    assert_eq!(
        good(named, &ImportOptions::default()).surveys[0]
            .readings
            .len(),
        3
    );
}

// ORACLE: contract: what is said below a table is not passed over.
#[test]
fn settings_below_the_table_are_refused() {
    let (place, fault, text) = refused(
        "m / mm,0,1,2\n0,970,971,972\n1,980,981,982\n\nmeaning,elevation\n",
        &ImportOptions::default(),
    );
    assert_eq!((place.as_str(), fault), ("B5", Fault::Setting), "{text}");
    assert!(text.contains("Move the row up"), "{text}");
}

// ORACLE: hand. All six readings of the book stand on the one sheet, which is hidden behind an empty one.
#[test]
fn readings_on_a_hidden_sheet_are_told() {
    let mut book = Workbook::new();
    book.add_worksheet().set_name("Cover").unwrap();
    let sheet = book.add_worksheet();
    sheet.set_name("Readings").unwrap();
    for (column, text) in ["x_ft", "y_ft", "reading_in"].iter().enumerate() {
        sheet.write(0, column as u16, *text).unwrap();
    }
    for k in 0..6u32 {
        sheet.write(k + 1, 0, k % 3 * 2).unwrap();
        sheet.write(k + 1, 1, k / 3 * 2).unwrap();
        sheet.write(k + 1, 2, 38.25).unwrap();
    }
    sheet.set_hidden(true);
    let words = told(&book.save_to_buffer().unwrap(), "hidden-readings");
    assert!(
        words.contains("C2") && words.contains("6 readings"),
        "{words}"
    );
}

// ORACLE: hand. A list whose columns have units of their own: 10 ft are 3.048 m, and 2 m are 2 m. Told is the unit of x.
#[test]
fn each_column_of_a_list_is_read_in_its_own_unit() {
    let text = "x_ft,y_m,reading_in\n0,0,38\n10,0,38\n0,2,38\n10,2,38\n";
    let imported = good(text, &ImportOptions::default());
    let far = imported.surveys[0].readings[3].at;
    assert!(
        (far.x - 3.048).abs() < 1e-12 && (far.y - 2.0).abs() < 1e-12,
        "{far:?}"
    );
    assert_eq!(
        imported.understood.rooms[0].plan_unit,
        Some(LengthUnit::Foot)
    );
}
