//! What a sheet says of its numbers outside of them: figures behind a point, units that cells bring, comments, very long texts.

use super::import_layouts::{good, import};
use crate::support::parts::changed;
use birdbath::import::{Fault, ImportOptions, Source, read};
use birdbath::survey::Severity;

fn plain() -> ImportOptions {
    ImportOptions::default()
}

fn first_fault(text: &str) -> (String, Fault, String) {
    let errors = import(text, &plain()).expect_err(text);
    let first = &errors.list()[0];
    (first.place.cell(), first.fault, first.to_string())
}

fn told(text: &str, code: &str) -> bool {
    let read = good(text, &plain());
    let mut notices = read.surveys.iter().flat_map(|s| &s.notices);
    notices.any(|n| n.code == code)
}

// ORACLE: hand: 39.07 that stands for 39 7/16 is 39.4375, 3/8 in more than it was read as.
#[test]
fn figures_behind_a_point_that_are_no_decimals_are_refused() {
    let table = "ft / in,0,2,4\n0,39.00,39.01,39.07\n2,39.02,39.11,39.05\n";
    for words in [
        "39.07 = 39 7/16",
        "inches.sixteenths",
        "decimals are sixteenths",
        "Readings in inches and 16ths",
    ] {
        for text in [format!("{words}\n\n{table}"), format!("{table}\n{words}\n")] {
            let (_, fault, said) = first_fault(&text);
            assert_eq!(fault, Fault::Setting, "{said}");
            assert!(said.contains("39 7/16"), "{said}");
        }
    }
    let feet = "3.06 = 3 ft 6 in\n\nx_ft,y_ft,reading_in\n0.06,0,39\n2.06,0,39\n0,3.06,39 1/8\n";
    assert!(first_fault(feet).2.contains("3' 6\""));
    for words in [
        "39.0625 = 39 1/16",
        "Readings in decimal inches",
        "39.5 = 39 1/2",
    ] {
        assert!(
            import(&format!("{words}\n\n{table}"), &plain()).is_ok(),
            "{words}"
        );
    }
}

// ORACLE: hand: the cells say their own unit, so that the corner's is the plan's.
#[test]
fn one_unit_in_a_corner_over_readings_with_their_own_is_the_plans() {
    for (a, b, metres) in [
        ("39\"\"", "39 1/8\"\"", 39.0 * 0.0254),
        ("1000 mm", "1003 mm", 1.0),
    ] {
        let text = format!("ft,0,2,4\n0,\"{a}\",\"{b}\",\"{a}\"\n2,\"{a}\",\"{a}\",\"{b}\"\n");
        let read = good(&text, &plain());
        let first = &read.surveys[0].readings[1];
        assert!((first.at.x - 0.6096).abs() < 1e-9, "{text}");
        assert!(
            (read.surveys[0].readings[0].elevation.m() + metres).abs() < 1e-9,
            "{text}"
        );
        assert!(!told(&text, "corner-unit-for-both"), "{text}");
    }
}

// ORACLE: hand: 100.3 under mm beside 1003 is a tenth of it; a stage 36 in high lies apart.
#[test]
fn readings_ten_times_others_are_asked_about() {
    let row = |y: usize, odd: &str| format!("0,{y},1002\n2,{y},{odd}\n4,{y},1004\n");
    let mixed = format!("x_m,y_m,reading_mm\n{}{}", row(0, "100.3"), row(2, "100.4"));
    let (cell, fault, said) = first_fault(&mixed);
    assert_eq!((cell.as_str(), fault), ("C3", Fault::MixedUnits), "{said}");
    assert!(said.contains("1/10"), "{said}");
    let stage = "x_ft,y_ft,reading_in\n0,0,40\n2,0,40\n0,2,40\n2,2,40\n10,0,4\n12,0,4\n10,2,4 1/8\n12,2,4\n";
    assert!(told(stage, "other-unit-there"));
    let step = "x_ft,y_ft,reading_in\n0,0,40\n2,0,40\n0,2,33\n2,2,33\n";
    assert!(!told(step, "other-unit-there"));
}

// ORACLE: hand.
#[test]
fn slips_of_writing_are_told_as_what_they_are() {
    let (cell, _, said) = first_fault("x_m,y_m,reading_mm\n0,0,1'007\n2,0,1004\n0,2,1003\n");
    assert_eq!(cell, "C2");
    assert!(said.contains("1007"), "{said}");
    assert_eq!(
        first_fault("x_m,y_m,reading\n0,0,1'007\n2,0,1'004\n0,2,1'003\n").0,
        "C2"
    );
    assert!(
        import(
            "x_ft,y_ft,reading\n0,0,1' 7\"\n2,0,1'7\n0,2,1'07\"\n",
            &plain()
        )
        .is_ok()
    );
    let (_, _, said) = first_fault("x_ft,y_ft,reading_in\n0,0,0\n2,0,1/16\n0,2,3/16\n");
    assert!(said.contains("add one length to all"), "{said}");
    let odd = "ft / in,0,2,4\n0,39,39 1/116,39\n2,39,39,39 1/8\n";
    assert!(told(odd, "strange-fraction") && !told(odd, "one-digit-fraction"));
    let third = odd.replace("1/116", "1/3");
    assert!(!told(&third, "strange-fraction") && told(&third, "one-digit-fraction"));
    let title = "\"Grid: 2 ft x 2 ft, readings in inches\"\nft / in,0,2,4\n0,39,39 1/16,39\n2,39,39,39 1/8\n";
    assert_eq!(good(title, &plain()).surveys[0].readings.len(), 6);
    let axis = "Distance from west wall (ft)\nft / in,0,2,4\n0,39,39 1/16,39\n2,39,39,39 1/8\n";
    assert!(!told(axis, "axes-not-read"));
}

// ORACLE: hand: the parts that a spreadsheet writes for a comment (ISO/IEC 29500-1, 18.7).
#[test]
fn comments_on_cells_are_told() {
    const XLSX: &[u8] = include_bytes!("../../fixtures/import/bath.xlsx");
    let with = |words: &str| {
        let mut out = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
        let stored = zip::write::SimpleFileOptions::default()
            .compression_method(zip::CompressionMethod::Stored);
        let mut put = |name: &str, text: &[u8]| {
            out.start_file(name, stored).unwrap();
            std::io::Write::write_all(&mut out, text).unwrap();
        };
        changed(XLSX, |_, name, content| put(name, content));
        for sheet in 1..=4 {
            put(
                &format!("xl/worksheets/_rels/sheet{sheet}.xml.rels"),
                b"<Relationships><Relationship Id=\"c\" Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/comments\" Target=\"../comments1.xml\"/></Relationships>",
            );
        }
        let comments = format!(
            "<comments><commentList><comment ref=\"C3\"><text><r><t>{words}</t></r></text></comment></commentList></comments>"
        );
        put("xl/comments1.xml", comments.as_bytes());
        out.finish().unwrap().into_inner()
    };
    let notices = |words: &str| {
        let bytes = with(words);
        let options = ImportOptions {
            sheet: Some("Matrix".to_owned()),
            ..plain()
        };
        let source = Source {
            name: "bath.xlsx",
            bytes: &bytes,
        };
        read(&source, &options)
            .unwrap_or_else(|e| panic!("{e}"))
            .surveys[0]
            .notices
            .clone()
    };
    let honest = notices("hi spot");
    let comment = honest
        .iter()
        .find(|n| n.code == "cell-comments")
        .expect("told");
    assert!(
        comment.text.contains("C3 \u{201c}hi spot\u{201d}"),
        "{}",
        comment.text
    );
    assert_eq!(comment.severity, Severity::Note);
    assert!(honest.iter().all(|n| n.code != "instrument-moved"));
    assert!(
        notices("laser moved here")
            .iter()
            .any(|n| n.code == "instrument-moved")
    );
}

// ORACLE: the same tables without the long texts, and one room for each title.
#[test]
fn very_long_texts_and_very_many_tables_are_answered_alike() {
    let table = "x_ft,y_ft,reading_in\n0,0,39\n2,0,39 1/8\n0,2,39\n2,2,39\n";
    let prose = "lorem ipsum dolor ".repeat(3_000);
    let read = good(&format!("{prose}\n\n{table}"), &plain());
    assert_eq!(read.surveys[0].readings.len(), 4);
    assert!(told(&format!("{prose}\n\n{table}"), "long-cells"));
    assert!(!told(table, "long-cells"));
    assert!(import(&"a".repeat(100_000), &plain()).is_err());
    let lines: String = (0..3_000).map(|i| format!("note {i}\n")).collect();
    assert_eq!(
        good(&format!("{lines}\n{table}"), &plain()).surveys.len(),
        1
    );
    let rooms: String = (0..600)
        .map(|i| {
            format!(
                "Hall {i}\n{}\n",
                table.replace("39 1/8", &format!("39 {}/16", 1 + i % 15))
            )
        })
        .collect();
    assert_eq!(good(&rooms, &plain()).surveys.len(), 600);
    let notes: String = (0..20)
        .map(|i| format!("{},{},39 {}/16,hi; check\n", i % 5, i / 5, 1 + i % 7))
        .collect();
    let read = good(&format!("x_ft,y_ft,reading_in,note\n{notes}"), &plain());
    assert_eq!(
        read.surveys[0].readings[3].note.as_deref(),
        Some("hi; check")
    );
}

// ORACLE: hand. Behind a thousand blanks stands the fraction of a reading: cut off it would be 39 in, and is refused at its cell.
#[test]
fn a_reading_that_is_cut_is_none() {
    let blanks = " ".repeat(1200);
    let text = format!("x_ft,y_ft,reading_in\n0,0,39\n2,0,39{blanks}1/16\n0,2,39\n2,2,39\n");
    let errors = super::import_layouts::import(&text, &ImportOptions::default()).expect_err("cut");
    assert_eq!(errors.list()[0].place.cell(), "C3", "{errors}");
}

// ORACLE: hand. Ticks, names and times under `re-read` or `2nd` are no second readings, and the list is what it is without them.
#[test]
fn a_column_of_ticks_is_no_second_reading() {
    for (head, cell) in [
        ("re-read", "ok"),
        ("2nd", "9:40"),
        ("repeat", "2"),
        ("again", "JR"),
    ] {
        let rows: String = (0..6)
            .map(|k| format!("{},{},40,{cell}\n", 2 * (k % 3), 2 * (k / 3)))
            .collect();
        let text = format!("x_ft,y_ft,reading_in,{head}\n{rows}");
        let read = super::import_layouts::good(&text, &ImportOptions::default());
        assert_eq!(read.surveys[0].readings.len(), 6, "{head}");
        let notices = &read.surveys[0].notices;
        assert!(
            notices.iter().any(|n| n.code == "column-not-used"),
            "{head}"
        );
    }
}

// ORACLE: hand. Rows that name their own set-up, or their room, need no lone line to part them: one room.
#[test]
fn a_lone_line_parts_no_rows_that_name_their_set_up_or_room() {
    for (head, of) in [("set-up", ["1", "2"]), ("room", ["Bath", "Bath"])] {
        let row = |k: usize| format!("{},{},40,{}\n", 2 * (k % 3), 2 * (k / 3), of[k / 6]);
        let above: String = (0..6).map(row).collect();
        // The second set-up reads three spots of the first again.
        let below: String = (3..9).map(|k| row(k).replace(",1\n", ",2\n")).collect();
        let below = if head == "set-up" {
            below
        } else {
            (6..12)
                .map(|k| format!("{},{},40,Bath\n", 2 * (k % 3), 2 * (k / 3)))
                .collect()
        };
        let text = format!("x_ft,y_ft,reading_in,{head}\n{above}\nLunch\n\n{below}");
        let read = super::import_layouts::good(&text, &ImportOptions::default());
        assert_eq!(read.surveys.len(), 1, "{head}");
        assert_eq!(read.surveys[0].readings.len(), 12, "{head}");
    }
}
