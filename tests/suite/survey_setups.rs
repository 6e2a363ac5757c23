//! Several set-ups tied by shared points.

use birdbath::geometry::Point;
use birdbath::import::{Fault, ImportOptions, Source, read};
use birdbath::survey::setups::tie;
use birdbath::survey::{Elevation, Reading, SetUpError, Survey};
use proptest::prelude::*;

fn survey(points: &[(&str, f64, f64, f64)]) -> Survey {
    Survey {
        name: "Hall".to_owned(),
        readings: points
            .iter()
            .map(|&(label, x, y, inches)| {
                Reading::new(label, Point::new(x, y), Elevation::from_m(-inches * 0.0254))
            })
            .collect(),
        room: None,
        resolution_m: Some(0.0254 / 16.0),
        laid: None,
        notices: Vec::new(),
    }
}

/// Shared points 1, 2, 3 read down from two lines, and one more point from each.
fn pair(third: f64) -> Vec<(String, Survey)> {
    vec![
        (
            "A".to_owned(),
            survey(&[
                ("1", 0.0, 0.0, 40.25),
                ("2", 2.0, 0.0, 40.4375),
                ("3", 0.0, 2.0, 40.125),
                ("4", 2.0, 2.0, 40.0),
            ]),
        ),
        (
            "B".to_owned(),
            survey(&[
                ("1", 0.0, 0.0, 47.625),
                ("2", 2.0, 0.0, 47.8125),
                ("3", 0.0, 2.0, third),
                ("5", 4.0, 2.0, 47.375),
            ]),
        ),
    ]
}

#[test]
fn two_set_ups_are_tied_and_the_spread_is_told() {
    // ORACLE: hand. Differences 7 3/8, 7 3/8, 7 5/16: mean 7 17/48, which is 7 3/8 to a sixteenth;
    // the heights of each shared point then differ by 1/48, 1/48 and 1/24 in.
    let tied = tie(pair(47.4375)).unwrap();
    assert_eq!(tied.readings.len(), 8);
    let shifted = tied.readings.iter().find(|r| r.label == "5").unwrap();
    assert_eq!(shifted.set_up, 1);
    let want = -(47.375 - (7.0 + 17.0 / 48.0)) * 0.0254;
    assert!((shifted.elevation.m() - want).abs() < 1e-12);
    let note = tied
        .notices
        .iter()
        .find(|n| n.code == "set-ups-tied")
        .unwrap();
    assert!(
        note.text.contains("7 3/8 in") && note.text.contains("3 shared points"),
        "{}",
        note.text
    );
}

#[test]
fn a_misfit_is_refused_by_name_with_its_likely_slip() {
    // ORACLE: hand. The third difference is 8 5/16, 15/16 from 7 3/8: an inch, less a sixteenth.
    let error = tie(pair(48.4375)).unwrap_err();
    let SetUpError::Misfit { misfits, .. } = &error else {
        panic!("{error}");
    };
    assert_eq!(misfits.len(), 1);
    assert_eq!(
        (misfits[0].label.as_str(), misfits[0].set_up.as_str()),
        ("3", "B")
    );
    assert!((misfits[0].off_m / 0.0254 + 15.0 / 16.0).abs() < 1e-3);
    let text = error.to_string();
    assert!(
        text.contains("15/16 in") && text.contains("below") && text.contains("1 in"),
        "{text}"
    );
}

#[test]
fn set_ups_without_a_shared_point_are_refused() {
    let mut parts = pair(47.4375);
    for reading in &mut parts[1].1.readings {
        reading.at.x += 1.0;
    }
    let error = tie(parts).unwrap_err();
    assert!(
        matches!(&error, SetUpError::NotShared { set_up, .. } if set_up == "B"),
        "{error}"
    );
    assert!(matches!(tie(Vec::new()), Err(SetUpError::Empty)));
}

#[test]
fn one_shared_point_ties_with_a_warning_and_two_that_differ_are_both_named() {
    let mut parts = pair(47.4375);
    parts[1]
        .1
        .readings
        .retain(|r| r.label == "1" || r.label == "5");
    let tied = tie(parts).unwrap();
    assert!(
        tied.notices
            .iter()
            .any(|n| n.code == "set-up-tied-by-one-point")
    );
    let mut parts = pair(48.4375);
    parts[1].1.readings.retain(|r| r.label != "2");
    let SetUpError::Misfit { misfits, .. } = tie(parts).unwrap_err() else {
        panic!("not a misfit");
    };
    assert_eq!(misfits.len(), 2);
}

#[test]
fn three_set_ups_may_hang_in_a_chain() {
    let parts = vec![
        (
            "A".to_owned(),
            survey(&[("1", 0.0, 0.0, 40.0), ("2", 1.0, 0.0, 40.5)]),
        ),
        (
            "B".to_owned(),
            survey(&[("2", 1.0, 0.0, 30.5), ("3", 2.0, 0.0, 31.0)]),
        ),
        (
            "C".to_owned(),
            survey(&[("3", 2.0, 0.0, 51.0), ("4", 3.0, 1.0, 51.5)]),
        ),
    ];
    let tied = tie(parts).unwrap();
    let last = tied.readings.last().unwrap();
    // 51 1/2 from C is 31 1/2 from B and 41 1/2 from A.
    assert!((last.elevation.m() / 0.0254 + 41.5).abs() < 1e-9);
}

#[test]
fn a_set_up_column_in_a_list_is_tied_on_import() {
    let text = "point,x_ft,y_ft,reading_in,set-up\n\
        1,0,0,40 1/4,A\n2,6,0,40 7/16,A\n3,0,6,40 1/8,A\n4,6,6,40,A\n\
        1,0,0,47 5/8,B\n2,6,0,47 13/16,B\n3,0,6,47 7/16,B\n5,9,6,47 3/8,B\n";
    let source = |text: &'static str| Source {
        name: "two.csv",
        bytes: text.as_bytes(),
    };
    let imported = read(&source(text), &ImportOptions::default()).unwrap();
    assert_eq!(imported.understood.rooms[0].set_ups, ["A", "B"]);
    let last = imported.surveys[0].readings.last().unwrap();
    assert!((last.elevation.m() / 0.0254 + 47.375 - 7.0 - 17.0 / 48.0).abs() < 1e-9);
    let slipped: &'static str = Box::leak(text.replace("47 7/16,B", "48 7/16,B").into_boxed_str());
    let errors = read(&source(slipped), &ImportOptions::default()).unwrap_err();
    assert!(errors.has(Fault::SetUps), "{errors}");
    assert!(errors.to_string().contains("two.csv, cell D8"), "{errors}");
    assert!(errors.to_string().contains("1 in"), "{errors}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn shifts_come_back_exactly_from_clean_readings(
        shifts in prop::collection::vec(-2.0f64..2.0, 1..5),
        heights in prop::collection::vec(-0.05f64..0.05, 4..10),
    ) {
        // Every set-up reads every point; the tied heights are those of the first.
        let read_from = |shift: f64| Survey {
            readings: heights.iter().enumerate().map(|(i, z)| {
                Reading::new(format!("P{i}"), Point::new(i as f64, (i % 2) as f64), Elevation::from_m(z - shift))
            }).collect(),
            ..survey(&[])
        };
        let mut parts = vec![("0".to_owned(), read_from(0.0))];
        parts.extend(shifts.iter().enumerate().map(|(i, s)| ((i + 1).to_string(), read_from(*s))));
        let tied = tie(parts).unwrap();
        for (i, reading) in tied.readings.iter().enumerate() {
            prop_assert!((reading.elevation.m() - heights[i % heights.len()]).abs() < 1e-9);
        }
    }
}
