//! Commas inside the numbers of a list whose columns are set apart by commas.

use super::import_layouts::{good, import};
use birdbath::import::{Fault, ImportOptions};

/// Nine marks under a heading, each row ended by what is given for its number.
fn sheet(heading: &str, ends: impl Fn(usize) -> String) -> String {
    let rows = (0..9).map(|i| format!("{},{},{}\n", i % 3, i / 3, ends(i)));
    format!("{heading}\n{}", rows.collect::<String>())
}

fn refused(text: &str) -> String {
    let errors = import(text, &ImportOptions::default()).expect_err(text);
    assert_eq!(errors.list()[0].fault, Fault::Column, "{errors}");
    errors.to_string()
}

fn codes(text: &str) -> Vec<String> {
    let notices = &good(text, &ImportOptions::default()).surveys[0].notices;
    notices.iter().map(|n| n.code.to_string()).collect()
}

// ORACLE: hand. 1,050 typed without quotes ends a column at its comma; read so, the floor is flat at 1 mm, and what stood under `by` is
//         pushed past the last heading.
#[test]
fn readings_cut_at_their_commas_are_asked_about_under_whatever_heading_their_rest_stands() {
    for heading in [
        "x_m,y_m,elevation_mm,by",
        "x_m,y_m,elevation_mm,code",
        "x_m,y_m,elevation_mm,point",
        "x_m,y_m,elevation_mm,note",
        "x_m,y_m,elevation_mm",
    ] {
        let text = refused(&sheet(heading, |i| {
            format!("1,{:03},JR", 50 + 7 * (i * 4 % 9))
        }));
        assert!(
            text.contains("cell D2") && text.contains("Was 1,050 meant"),
            "{text}"
        );
    }
    // With more columns between them, too.
    refused(&sheet("x_m,y_m,elevation_m,date,by", |i| {
        format!("12,{},5.12.,JR", 500 + i * 5 % 9)
    }));
}

// ORACLE: hand. As many cells as headings; nobody reads a floor to a whole metre, and three digits each that neither count nor repeat are decimals.
#[test]
fn decimals_that_fill_a_column_of_their_own_are_asked_about() {
    for field in ["by", "code", "note", "point"] {
        let text = sheet(&format!("x_m,y_m,elevation_m,{field}"), |i| {
            format!("12,{}", 500 + 3 * (i * 5 % 7))
        });
        assert!(refused(&text).contains("Was 12,500 meant"), "{field}");
    }
    let inches = |i: usize| format!("38,{:04}", 1250 * (i * 3 % 8));
    refused(&sheet("x_ft,y_ft,reading_in,note", inches));
    // Names that nearly all marks share are none.
    refused(&sheet("x_m,y_m,reading_cm,point", |i| {
        format!("98,{}", i * 2 % 3)
    }));
}

// ORACLE: hand. What differs in length, or may be the rest of thousands of millimetres, is warned of; names in their order, a crew's number and codes
//         beside whole millimetres are what they say.
#[test]
fn whole_readings_with_codes_and_names_behind_them_are_read() {
    let told = |text: &str| codes(text).contains(&"decimals-in-column".to_owned());
    let lengths = ["5", "537", "53", "531", "28", "525", "52", "519", "5"];
    assert!(told(&sheet("x_m,y_m,elevation_m,code", |i| format!(
        "12,{}",
        lengths[i]
    ))));
    assert!(told(&sheet("x_m,y_m,elevation_mm,code", |i| format!(
        "1,{}",
        100 + i * 5 % 9
    ))));
    for text in [
        sheet("x_m,y_m,reading_mm,code", |i| {
            format!("{},{}", 985 + i, 100 + i * 5 % 9)
        }),
        sheet("x_m,y_m,reading_mm,point", |i| {
            format!("{},{}", 985 + i, 101 + i)
        }),
        sheet("x_ft,y_ft,reading_in,point", |i| {
            format!("{},{}", 38 + i % 2, 101 + i)
        }),
        sheet("x_ft,y_ft,reading_in,crew", |i| {
            format!("{},204", 38 + i % 2)
        }),
        sheet("x_ft,y_ft,reading_in,code", |i| {
            format!("38 {}/16,{}", 1 + 2 * (i % 4), 100 + i * 5 % 9)
        }),
    ] {
        let codes = codes(&text);
        assert!(
            !codes.iter().any(|c| c.starts_with("decimals-in")),
            "{codes:?} {text}"
        );
    }
}
