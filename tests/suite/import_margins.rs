//! What stands at the edges of a matrix beside its readings: remarks, headings once more, the names of its axes.

use super::import_layouts::{good, import};
use birdbath::import::{Fault, ImportOptions, Why};

fn plain() -> ImportOptions {
    ImportOptions::default()
}

/// Feet of the plan and inches down of each reading, by row and column as read.
fn spots(text: &str) -> Vec<(f64, f64, f64)> {
    let readings = &good(text, &plain()).surveys[0].readings;
    let ft = |m: f64| (m / 0.3048 * 1e6).round() / 1e6;
    let inch = |m: f64| (m / 0.0254 * 1e6).round() / 1e6;
    let mut all: Vec<_> = readings
        .iter()
        .map(|r| (ft(r.at.x), ft(r.at.y), inch(-r.elevation.m())))
        .collect();
    all.sort_by(|a, b| a.partial_cmp(b).expect("finite"));
    all
}

// ORACLE: the same table without its column of remarks.
#[test]
fn a_last_column_of_remarks_is_no_column_of_readings() {
    let plain = "ft / in,0,2,4\n0,40,40 1/8,40\n2,40,40,40 1/4\n4,40,40,40\n";
    for notes in ["Notes", "REMARKS", "comment"] {
        let noted = format!(
            "ft / in,0,2,4,{notes}\n0,40,40 1/8,40,\n2,40,40,40 1/4,2 boxes stood here\n4,40,40,40,hump?\n"
        );
        assert_eq!(spots(&noted), spots(plain), "{notes}");
        let skipped = &good(&noted, &ImportOptions::default()).surveys;
        assert_eq!(skipped.len(), 1);
        let summed = format!(
            "ft / in,0,2,4,{notes},Average\n0,40,40 1/8,40,,40.04\n2,40,40,40 1/4,low,40.08\n4,40,40,40,,40\n"
        );
        assert_eq!(spots(&summed), spots(plain), "{notes} and sums");
    }
}

// ORACLE: hand: words that the instrument was moved count wherever they stand.
#[test]
fn remarks_that_the_instrument_was_moved_are_warned_of() {
    let text = "ft / in,0,2,4,Notes\n0,40,40 1/8,40,\n2,40,40,40 1/4,moved laser\n4,40,40,40,\n";
    let notices = &good(text, &plain()).surveys[0].notices;
    assert!(
        notices.iter().any(|n| n.text.contains("moved laser")),
        "{notices:?}"
    );
}

// ORACLE: hand: a printed grid names its rows at both ends and its columns above and below.
#[test]
fn headings_once_more_at_the_other_ends_are_none_of_the_readings() {
    let text = "ft / in,0,2,4,\n0,40,40 1/8,40,0\n2,40,40,40 1/4,2\n4,40,40,40,4\nft / in,0,2,4,\n";
    assert_eq!(spots(text).len(), 9);
    let again = good(text, &plain()).understood.rooms[0]
        .skipped
        .iter()
        .filter(|s| s.why == Why::HeadingsAgain)
        .count();
    assert_eq!(again, 4);
    // Another number there is no heading, and is refused at its cell.
    let other = text.replace("40 1/4,2\n", "40 1/4,38\n");
    let errors = import(&other, &plain()).expect_err(&other);
    assert_eq!(errors.list()[0].place.cell(), "E3");
    assert_eq!(errors.list()[0].fault, Fault::NoPosition);
}

// ORACLE: the same table headed by distances; an easting runs to the right and a northing up the plan.
#[test]
fn eastings_and_northings_head_a_matrix() {
    let plain = "ft / in,0,2,4\n0,40,40 1/8,40\n2,40,40,40 1/4\n";
    for text in [
        "ft / in,E 0,E 2,E 4\nN 0,40,40 1/8,40\nN 2,40,40,40 1/4\n",
        "ft / in,E=0,E=2,E=4\nN=0,40,40 1/8,40\nN=2,40,40,40 1/4\n",
        "ft / in,0 E,2 E,4 E\n0 N,40,40 1/8,40\n2 N,40,40,40 1/4\n",
        "/ in,E 0',E 2',E 4'\nN 2',40,40,40 1/4\nN 0',40,40 1/8,40\n",
    ] {
        assert_eq!(spots(text), spots(plain), "{text}");
    }
    let turned = "ft / in,N 0,N 2,N 4\nE 0,40,40 1/8,40\nE 2,40,40,40 1/4\n";
    let errors = import(turned, &ImportOptions::default()).expect_err(turned);
    assert_eq!(errors.list()[0].fault, Fault::Layout);
}
