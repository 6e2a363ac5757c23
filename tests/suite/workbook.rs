//! Workbooks: read back by another library; text stays text, bytes stay the same.

use birdbath::report::{Cell, Sheet, Workbook};
use calamine::{Data, Reader, Xlsx};
use std::io::Cursor;

const NASTY: [&str; 6] = [
    "=1+1",
    "+3",
    "-7",
    "@SUM(A1)",
    "\t=2",
    "=HYPERLINK(\"http://a\",\"b\")",
];

fn sample() -> Workbook {
    Workbook {
        title: "Hall B".into(),
        sheets: vec![
            Sheet {
                name: "Readings".into(),
                lines: vec!["Hall B".into(), "=A1".into()],
                columns: vec![
                    ("Mark".into(), 10.0),
                    ("=2*2".into(), 10.0),
                    ("Depth, in".into(), 10.0),
                ],
                rows: NASTY
                    .iter()
                    .map(|t| {
                        vec![
                            Cell::text(*t),
                            Cell::Blank,
                            Cell::Fraction {
                                inches: 0.4375,
                                denominator: 16,
                            },
                        ]
                    })
                    .collect(),
                frozen_columns: 1,
                text_cells: false,
            },
            // The same name, forbidden characters, and a value that the format cannot hold.
            Sheet {
                name: "readings".into(),
                rows: vec![vec![Cell::number(f64::INFINITY, 1), Cell::number(2.5, 1)]],
                ..Sheet::default()
            },
            Sheet {
                name: "a/b:c*d?e[f]g\\h and a tab name that is far too long".into(),
                ..Sheet::default()
            },
        ],
    }
}

#[test]
fn text_that_looks_like_a_formula_is_read_back_as_the_same_text() {
    let bytes = sample().to_xlsx().unwrap();
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    let formulas = book.worksheet_formula("Readings").unwrap();
    assert!(
        formulas.used_cells().all(|(_, _, f)| f.is_empty()),
        "a cell became a formula"
    );
    let range = book.worksheet_range("Readings").unwrap();
    for (i, text) in NASTY.iter().enumerate() {
        let row = 3 + i as u32;
        assert_eq!(
            range.get_value((row, 0)),
            Some(&Data::String((*text).into()))
        );
        assert!(
            matches!(range.get_value((row, 1)), None | Some(Data::Empty)),
            "a blank became a value"
        );
        assert_eq!(range.get_value((row, 2)), Some(&Data::Float(0.4375)));
    }
    assert_eq!(range.get_value((2, 1)), Some(&Data::String("=2*2".into())));
    assert_eq!(range.get_value((1, 0)), Some(&Data::String("=A1".into())));
}

#[test]
fn tab_names_are_made_legal_and_distinct_and_infinity_is_told_in_words() {
    let bytes = sample().to_xlsx().unwrap();
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    let names = book.sheet_names();
    assert_eq!(names[0], "Readings");
    assert_eq!(names[1], "readings 2");
    assert!(names[2].chars().count() <= 31);
    let range = book.worksheet_range("readings 2").unwrap();
    assert_eq!(range.get_value((1, 0)), Some(&Data::String("inf".into())));
    assert_eq!(range.get_value((1, 1)), Some(&Data::Float(2.5)));
}

#[test]
fn the_same_workbook_gives_the_same_bytes() {
    assert!(sample().to_xlsx().unwrap() == sample().to_xlsx().unwrap());
}
