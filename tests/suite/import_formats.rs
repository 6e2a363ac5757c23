//! Number formats of workbooks: ODS writes in elements what XLSX writes in a code, and both show the same.

use crate::support::parts::{changed, rewritten};
use birdbath::import::{Fault, ImportErrors, ImportOptions, Imported, Source, read};
use rust_xlsxwriter::{Format, Workbook};

const ODS: &[u8] = include_bytes!("../../fixtures/import/bath.ods");

fn import(bytes: &[u8]) -> Result<Imported, ImportErrors> {
    let name = "book";
    read(&Source { name, bytes }, &ImportOptions::default())
}

/// A small matrix whose first reading has a number format.
fn xlsx(corner: &str, code: &str) -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("Matrix").unwrap();
    sheet.write(0, 0, corner).unwrap();
    for k in [1, 2] {
        sheet.write(0, k, f64::from(2 * k)).unwrap();
        sheet.write(u32::from(k), 0, f64::from(2 * k)).unwrap();
        for j in [1, 2] {
            sheet.write(u32::from(k), j, 31.25).unwrap();
        }
    }
    let format = Format::new().set_num_format(code);
    sheet.write_with_format(1, 1, 31.25, &format).unwrap();
    book.save_to_buffer().unwrap()
}

/// The same of ODS, with the elements of its formats; the cell's is named N1.
fn ods(corner: &str, formats: &str) -> Vec<u8> {
    let number = |n: f64| {
        format!(
            "<table:table-cell office:value-type=\"float\" office:value=\"{n}\"><text:p>{n}</text:p></table:table-cell>"
        )
    };
    let row = |cells: String| format!("<table:table-row>{cells}</table:table-row>");
    let shown = number(31.25).replacen("cell ", "cell table:style-name=\"ce1\" ", 1);
    let rows = [
        row(format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{corner}</text:p></table:table-cell>{}{}",
            number(2.0),
            number(4.0)
        )),
        row(number(2.0) + &shown + &number(31.25)),
        row(number(4.0) + &number(31.25) + &number(31.25)),
    ]
    .concat();
    rewritten(ODS, "content.xml", |text| {
        let head = text.find("<office:body>").unwrap();
        let start = text[..head].replacen(
            " office:version",
            " xmlns:number=\"urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0\" xmlns:style=\"urn:oasis:names:tc:opendocument:xmlns:style:1.0\" office:version",
            1,
        );
        format!(
            "{start}<office:automatic-styles>{formats}<style:style style:name=\"ce1\" style:family=\"table-cell\" style:data-style-name=\"N1\"/></office:automatic-styles><office:body><office:spreadsheet><table:table table:name=\"Matrix\">{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
        )
    })
}

const PLACES: &str = "<number:number number:decimal-places=\"2\" number:min-integer-digits=\"1\"/>";

fn style(name: &str, inner: &str) -> String {
    format!("<number:number-style style:name=\"{name}\">{inner}</number:number-style>")
}

fn text(words: &str) -> String {
    format!("<number:text>{words}</number:text>")
}

fn map(condition: &str, name: &str) -> String {
    format!("<style:map style:condition=\"value(){condition}\" style:apply-style-name=\"{name}\"/>")
}

// ORACLE: independent route. The same table in XLSX, whose format is written as a code by another program's hand.
#[test]
fn a_format_of_ods_shows_what_the_same_of_xlsx_does() {
    let number = |before: &str, behind: &str| {
        let before = if before.is_empty() {
            String::new()
        } else {
            text(before)
        };
        let behind = if behind.is_empty() {
            String::new()
        } else {
            text(behind)
        };
        style("N1", &format!("{before}{PLACES}{behind}"))
    };
    let money = format!(
        "<number:currency-style style:name=\"N1\"><number:currency-symbol>&#8364;</number:currency-symbol>{PLACES}</number:currency-style>"
    );
    let conditional = style("N0", &format!("{PLACES}{}", text(" cm")))
        + &style(
            "N1",
            &format!("{PLACES}{}{}", text(" in"), map("&gt;10", "N0")),
        );
    let none = style("N2", "<number:text/>");
    let none = none
        + "<number:text-style style:name=\"N1\"><number:text/>"
        + &map("&gt;0", "N2")
        + &map("&lt;0", "N2")
        + &map("=0", "N2")
        + "</number:text-style>";
    let signed = style("N2", PLACES)
        + &style(
            "N1",
            &format!("{}{PLACES}{}", text("-"), map("&gt;=0", "N2")),
        );
    let thousandths = style(
        "N1",
        "<number:number number:decimal-places=\"1\" number:min-integer-digits=\"1\" number:display-factor=\"1000\"/>",
    );
    let mut refused = 0;
    for (corner, code, formats) in [
        ("ft / in", "0.00\" in\"", number("", " in")),
        ("ft / in", "0.00\" cm\"", number("", " cm")),
        ("ft / in", "\"mm \"0.00", number("mm ", "")),
        ("ft / in", "0.00\"'\"", number("", "&apos;")),
        ("ft / in", "0.00\\\"", number("", "&quot;")),
        ("ft / in", "0.00\" in & up\"", number("", " in &amp; up")),
        ("ft / in", "-0.00", number("-", "")),
        ("ft / in", "\"(\"0.00\")\"", number("(", ")")),
        ("ft / in", "0.00\" 1/2\"", number("", " 1/2")),
        ("ft / in", "\"ca. \"0.00", number("ca. ", "")),
        ("ft / in", "\"$\"0.00", number("$", "")),
        ("ft / in", "0.00\\ \"\u{20ac}\"", number("", " \u{20ac}")),
        ("ft / in", "[$\u{20ac}]0.00", money),
        ("ft / in", "[>10]0.00\" cm\";0.00\" in\"", conditional),
        ("ft / in", ";;;", none),
        ("ft / in", "0.00;-0.00", signed),
        ("ft / in", "0.0,", thousandths),
    ] {
        let said = |bytes: &[u8]| match import(bytes) {
            Ok(read) => {
                let all = read.surveys[0].readings.iter();
                let metres: Vec<String> = all.map(|r| r.elevation.m().to_string()).collect();
                metres.join(" ")
            }
            Err(errors) => errors.to_string(),
        };
        let (one, other) = (said(&xlsx(corner, code)), said(&ods(corner, &formats)));
        refused += usize::from(one.contains("expected"));
        assert_eq!(other, one, "{code}");
    }
    assert!((9..=14).contains(&refused), "{refused}");
}

// ORACLE: hand, by ISO/IEC 29500-1, 18.3.1.73: a sheet has 1048576 rows, and columns of three letters at the most.
#[test]
fn a_reference_beyond_the_end_of_any_sheet_is_refused_before_it_is_counted() {
    let book = xlsx("ft / in", "0.00");
    assert!(import(&book).is_ok());
    for beyond in ["B99999999999", "B1048577", "ZZZZZZZZZZZ2"] {
        let changed = changed(&book, |_, name, content| {
            if name.ends_with("sheet1.xml") {
                let text = String::from_utf8_lossy(content).into_owned();
                *content = text
                    .replace("r=\"B2\"", &format!("r=\"{beyond}\""))
                    .into_bytes();
            }
        });
        let errors = import(&changed).expect_err(beyond);
        assert!(errors.has(Fault::Damaged), "{errors}");
        assert!(errors.to_string().contains(beyond), "{errors}");
    }
}

// ORACLE: contract. Words that a format writes behind the number count as if they were typed there: a unit does, whatever is none is asked about.
#[test]
fn words_of_a_format_that_are_no_unit_are_refused_as_typed_ones_are() {
    for code in [
        "0\" sixteenths\"",
        "0.0\"%\"",
        "0.0\\%",
        "0.0\" yd\"",
        "\"~\"0.0",
        "0.0\"\u{b0}\"",
        "0.00\" (bad)\"",
        "General\" eighths\"",
    ] {
        let told = import(&xlsx("ft / in", code)).unwrap_err().to_string();
        assert!(told.contains("plain number format"), "{code}: {told}");
    }
    for code in [
        "0.00\" in\"",
        "0.00\" (in)\"",
        "0.00\\ \"in\"",
        "0.00\"\\\"\"",
        "0.00_)",
        "# ?/16",
        "General",
    ] {
        assert!(import(&xlsx("ft / in", code)).is_ok(), "{code}");
    }
}
