//! Workbooks: the same bath in three formats, traps, and files that lie about their size.

use crate::support::parts::changed;
use birdbath::import::{Fault, ImportErrors, ImportOptions, Imported, Source, read};
use proptest::prelude::*;

// MADE BY: fixtures/import/ORIGIN.md
const XLSX: &[u8] = include_bytes!("../../fixtures/import/bath.xlsx");
const XLS: &[u8] = include_bytes!("../../fixtures/import/bath.xls");
const ODS: &[u8] = include_bytes!("../../fixtures/import/bath.ods");
const TRAPS: &[u8] = include_bytes!("../../fixtures/import/traps.xlsx");
const DATED: &[u8] = include_bytes!("../../fixtures/import/dated.ods");

fn import(name: &str, bytes: &[u8], options: &ImportOptions) -> Result<Imported, ImportErrors> {
    read(&Source { name, bytes }, options)
}

fn on_sheet(sheet: &str) -> ImportOptions {
    ImportOptions {
        sheet: Some(sheet.to_owned()),
        ..ImportOptions::default()
    }
}

fn heights(imported: &Imported) -> Vec<(i64, i64, i64)> {
    imported.surveys[0]
        .readings
        .iter()
        .map(|r| {
            let round = |x: f64| x.round() as i64;
            (
                round(r.at.x / 0.3048),
                round(r.at.y / 0.3048),
                round(-r.elevation.m() / 0.0254 * 16.0),
            )
        })
        .collect()
}

#[test]
fn one_bath_in_three_formats_and_two_layouts() {
    let list = import("bath.xlsx", XLSX, &on_sheet("text fractions")).unwrap();
    let want = heights(&list);
    assert_eq!(want.len(), 20);
    // ORACLE: hand. 31 1/8 at (2, 2) and 31 13/16 at (5, 8), in sixteenths.
    assert!(want.contains(&(2, 2, 498)) && want.contains(&(5, 8, 509)));
    assert_eq!(list.surveys[0].readings[0].raw.place.cell(), "D4");
    assert_eq!(list.surveys[0].readings[0].raw.text, "31 1/4");
    for (name, bytes) in [("bath.xlsx", XLSX), ("bath.xls", XLS), ("bath.ods", ODS)] {
        let matrix = import(name, bytes, &on_sheet("Matrix")).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(heights(&matrix), want, "{name}");
        let first = &matrix.surveys[0].readings[0];
        assert_eq!(
            first.raw.place.to_string(),
            format!("{name}, sheet Matrix, cell B2")
        );
    }
}

#[test]
fn a_sheet_is_chosen_by_name_or_is_the_only_one() {
    let errors = import("bath.xlsx", XLSX, &ImportOptions::default()).unwrap_err();
    assert!(errors.has(Fault::Sheet));
    let text = errors.to_string();
    assert!(
        text.contains("Notes, Matrix, Text fractions") && !text.contains("Empty"),
        "{text}"
    );
    let errors = import("bath.xlsx", XLSX, &on_sheet("Kitchen")).unwrap_err();
    assert!(errors.has(Fault::Sheet) && errors.to_string().contains("Kitchen"));
    // A text file has no sheets: a name that is asked for is not passed over.
    let text = b"x_ft,y_ft,reading_in\n0,0,31\n2,0,31\n0,2,31\n";
    let errors = import("bath.csv", text, &on_sheet("Kitchen")).unwrap_err();
    assert!(errors.has(Fault::Sheet), "{errors}");
    assert!(import("bath.csv", text, &ImportOptions::default()).is_ok());
    assert!(import("bath.ods", ODS, &ImportOptions::default()).is_ok());
    let empty = import("bath.xlsx", XLSX, &on_sheet("Empty")).unwrap_err();
    assert!(empty.has(Fault::Layout), "{empty}");
}

#[test]
fn every_trap_of_a_sheet_is_told_at_once_with_its_cell() {
    let errors = import("traps.xlsx", TRAPS, &ImportOptions::default()).unwrap_err();
    let found: Vec<(String, Fault)> = errors
        .list()
        .iter()
        .map(|e| (e.place.cell(), e.fault))
        .collect();
    assert_eq!(
        found,
        [
            ("D2".to_owned(), Fault::BecameDate),
            ("D4".to_owned(), Fault::BecameDate),
            ("D5".to_owned(), Fault::ErrorCell),
            ("D6".to_owned(), Fault::Zero),
            ("D8".to_owned(), Fault::OutOfRange),
        ],
        "{errors}"
    );
    let text = errors.to_string();
    for words in [
        "traps.xlsx, sheet Traps, cell D2",
        "probably 3/8",
        "--dates-as-fractions",
        "#DIV/0!",
        "0 and 20 ft",
    ] {
        assert!(text.contains(words), "{words} is not in {text}");
    }
}

#[test]
fn real_dates_come_back_as_fractions_only_by_leave() {
    let errors = import("dated.ods", DATED, &ImportOptions::default()).unwrap_err();
    assert!(errors.has(Fault::BecameDate), "{errors}");
    let options = ImportOptions {
        dates_as_fractions: true,
        ..ImportOptions::default()
    };
    let imported = import("dated.ods", DATED, &options).unwrap();
    let survey = &imported.surveys[0];
    assert!((survey.readings[0].elevation.m() / 0.0254 + 0.375).abs() < 1e-9);
    assert_eq!(survey.readings[0].raw.text, "2024-03-08");
    assert!(
        survey
            .notices
            .iter()
            .any(|n| n.code == "date-as-fraction" && n.text.contains("3/8"))
    );
}

#[test]
fn locked_cut_and_oversized_workbooks_are_refused_by_name() {
    let refuse = |bytes: &[u8], options: &ImportOptions, fault: Fault| {
        let errors = import("book", bytes, options).unwrap_err();
        assert!(errors.has(fault), "{errors}");
        assert!(errors.to_string().starts_with("book: found "), "{errors}");
    };
    let none = ImportOptions::default();
    refuse(
        include_bytes!("../../fixtures/import/locked.xlsx"),
        &none,
        Fault::Encrypted,
    );
    refuse(
        include_bytes!("../../fixtures/import/locked.ods"),
        &none,
        Fault::Encrypted,
    );
    refuse(&XLSX[..XLSX.len() / 2], &none, Fault::Damaged);
    refuse(&ODS[..200], &none, Fault::Damaged);
    refuse(&XLS[..3000], &none, Fault::Damaged);
    refuse(
        include_bytes!("../../fixtures/import/endless.ods"),
        &none,
        Fault::Damaged,
    );
    refuse(
        include_bytes!("../../fixtures/import/huge.ods"),
        &none,
        Fault::TooMany,
    );
    refuse(
        include_bytes!("../../fixtures/import/huge.xls"),
        &none,
        Fault::TooMany,
    );
    let bomb = include_bytes!("../../fixtures/import/inflates.xlsx");
    let tight = ImportOptions {
        inflate_limit: 32 << 20,
        ..ImportOptions::default()
    };
    refuse(bomb, &tight, Fault::TooLarge);
    // Within the limit it is an ordinary empty workbook.
    refuse(bomb, &none, Fault::Empty);
}

/// The same workbook with one part passed through `change`: its check sums are right again, so that
/// what is changed reaches the parser.
fn with_part(bytes: &[u8], part: usize, change: impl Fn(&mut Vec<u8>)) -> Vec<u8> {
    let count = zip::ZipArchive::new(std::io::Cursor::new(bytes))
        .unwrap()
        .len();
    changed(bytes, |i, _, content| {
        if i == part % count {
            change(content);
        }
    })
}

#[test]
fn a_part_that_claims_too_many_strings_is_refused_before_room_is_made_for_them() {
    let claims = |bytes: &mut Vec<u8>| {
        let text = String::from_utf8_lossy(bytes);
        if text.contains("<sst") {
            *bytes = text
                .replacen("uniqueCount=\"", "uniqueCount=\"99999999", 1)
                .into_bytes();
        }
    };
    // Written with its texts in one shared part, as most programs do; the fixtures hold theirs in place.
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (row, cells) in [
        ["x_ft", "y_ft", "reading_in"],
        ["0", "0", "31 1/4"],
        ["2", "0", "31 3/16"],
        ["0", "2", "31 1/8"],
    ]
    .iter()
    .enumerate()
    {
        for (column, text) in cells.iter().enumerate() {
            sheet.write(row as u32, column as u16, *text).unwrap();
        }
    }
    let shared = book.save_to_buffer().unwrap();
    let none = ImportOptions::default();
    assert_eq!(
        import("book", &shared, &none).unwrap().surveys[0]
            .readings
            .len(),
        3
    );
    let found = (0..20).find(|&part| {
        let book = with_part(&shared, part, claims);
        import("book", &book, &none)
            .is_err_and(|e| e.has(Fault::Damaged) && e.to_string().contains("strings"))
    });
    assert!(found.is_some());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn mutated_workbooks_are_answered_without_a_panic(
        which in 0usize..4,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let mut bytes = [XLSX, XLS, ODS, DATED][which].to_vec();
        for (index, value) in changes {
            let at = index.index(bytes.len());
            bytes[at] = value;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()) + 1);
        }
        let _ = import("mutated", &bytes, &on_sheet("Matrix"));
    }

    #[test]
    fn mutated_parts_of_workbooks_are_answered_without_a_panic(
        ods in any::<bool>(),
        part in 0usize..20,
        changes in prop::collection::vec((any::<prop::sample::Index>(), prop::sample::select(b"<>/\"=&;09aA \0\xff".to_vec())), 1..8),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let book = with_part(if ods { ODS } else { XLSX }, part, |content| {
            if content.is_empty() {
                return;
            }
            for (index, value) in &changes {
                let at = index.index(content.len());
                content[at] = *value;
            }
            if let Some(cut) = cut {
                content.truncate(cut.index(content.len()) + 1);
            }
        });
        let _ = import("mutated", &book, &on_sheet("Matrix"));
    }

    #[test]
    fn mutated_old_workbooks_are_answered_without_a_panic(
        changes in prop::collection::vec((512usize..5632, any::<u8>()), 1..12),
    ) {
        let mut bytes = XLS.to_vec();
        for (at, value) in changes {
            bytes[at] = value;
        }
        let _ = import("mutated", &bytes, &ImportOptions::default());
    }
}
