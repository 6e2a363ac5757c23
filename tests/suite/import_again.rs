//! Marks read again from the same line, in a column of their own.

use super::import_layouts::{good, import};
use birdbath::import::{Fault, ImportOptions};
use birdbath::survey::repeated_m;

const FIRST: [&str; 10] = [
    "40", "40 1/16", "40 1/8", "40", "40", "40 1/16", "40 1/4", "40", "40", "40 3/16",
];

/// A sixteenth more than the first reading, of every third mark.
const AGAIN: [&str; 4] = ["40 1/16", "40 1/16", "40 5/16", "40 1/4"];

/// A list of ten marks, each with what `again` makes of its place in the list.
fn list(heads: &str, again: impl Fn(usize) -> String) -> String {
    let row = |(k, first): (usize, &&str)| {
        format!(
            "M{k},{},{},{first},{}\n",
            2 * (k % 5),
            3 * (k / 5),
            again(k)
        )
    };
    let rows: String = FIRST.iter().enumerate().map(row).collect();
    format!("mark,x_ft,y_ft,{heads}\n{rows}")
}

fn elevations_in(text: &str) -> Vec<f64> {
    let readings = &good(text, &ImportOptions::default()).surveys[0].readings;
    readings.iter().map(|r| -r.elevation.m() / 0.0254).collect()
}

// ORACLE: hand: each mark's second reading is its first and a sixteenth more at every third mark.
#[test]
fn a_second_column_is_a_second_reading_of_each_mark() {
    let again = |k: usize| match k % 3 {
        0 => AGAIN[k / 3].to_owned(),
        1 => FIRST[k].to_owned(),
        // A mark that was not read again.
        _ => String::new(),
    };
    for heads in [
        "1st (in),2nd (in)",
        "reading_in,2nd reading",
        "Reading 1 (in),Reading 2 (in)",
        "first reading in,re-read in",
        "reading in,repeat",
    ] {
        let text = list(heads, again);
        let all = elevations_in(&text);
        assert_eq!(all.len(), 17, "{heads}");
        let readings = &good(&text, &ImportOptions::default()).surveys[0].readings;
        let apart: Vec<f64> = repeated_m(readings)
            .iter()
            .map(|d| (-d / 0.0254 * 16.0).round())
            .collect();
        assert_eq!(apart, [1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1.0], "{heads}");
    }
}

// ORACLE: hand: the second column counts in its own unit, 1016 mm for 40 in.
#[test]
fn a_second_column_may_have_a_unit_of_its_own() {
    let text = list("1st (in),2nd (mm)", |_| "1016".to_owned())
        .replace("40 1/16", "40")
        .replace("40 1/8", "40")
        .replace("40 1/4", "40")
        .replace("40 3/16", "40");
    let all = elevations_in(&text);
    assert_eq!(all.len(), 20);
    assert!(all.iter().all(|e| (e - 40.0).abs() < 1e-9), "{all:?}");
}

// ORACLE: hand: a second round that stands 3/8 in higher all over is of another line or another floor, told once.
#[test]
fn a_second_round_from_another_line_is_refused_once() {
    let text = list("1st (in),2nd (in)", |_| "39 5/8".to_owned());
    let errors = import(&text, &ImportOptions::default()).expect_err(&text);
    assert_eq!(errors.list().len(), 1, "{errors}");
    assert_eq!(errors.list()[0].fault, Fault::Disagree);
    let said = errors.to_string();
    assert!(said.contains("higher than the first"), "{said}");
    assert!(said.contains("set-up"), "{said}");
    assert!(said.contains("cell E2"), "{said}");
}

// ORACLE: hand: one pair 1/2 in apart among agreeing ones is a slip at its own cell, and no shift.
#[test]
fn one_second_reading_far_off_is_told_at_its_cell() {
    let text = list("1st (in),2nd (in)", |k| match k {
        3 => "40 1/2".to_owned(),
        _ => FIRST[k].to_owned(),
    });
    let errors = import(&text, &ImportOptions::default()).expect_err(&text);
    assert_eq!(errors.list().len(), 1, "{errors}");
    assert_eq!(errors.list()[0].place.cell(), "E5");
}
