//! Several set-ups tied by shared points.

use crate::support::program::run;
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
        set_ups: Vec::new(),
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
        note.text.contains("7 3/8 in") && note.text.contains("3 points that it shares"),
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

#[test]
fn the_answer_says_which_set_up_the_extremes_come_from_and_how_it_was_shifted() {
    // ORACLE: hand. B reads 7 3/8 in more than A at the three shared points, so its 46 in is 38 5/8 in of A: the
    // highest; A's 41 in is the lowest.
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("two.csv"),
        "point,x_ft,y_ft,reading_in,set-up\n\
         1,0,0,40 1/4,A\n2,6,0,40 1/2,A\n3,0,6,40 1/8,A\n4,6,6,41,A\n\
         1,0,0,47 5/8,B\n2,6,0,47 7/8,B\n3,0,6,47 1/2,B\n5,9,6,46,B\n",
    )
    .unwrap();
    let out = run(folder.path(), &["flat", "two.csv", "--span", "4 ft"]);
    let text = String::from_utf8(out.stdout).unwrap();
    assert!(text.contains("(reading 46 from set-up B)"), "{text}");
    assert!(text.contains("(reading 41 from set-up A)"), "{text}");
    assert!(
        text.contains("Set-up B was shifted up by 187.3 mm (7 3/8 in)")
            || text.contains("Set-up B was shifted up by 7 3/8 in"),
        "{text}"
    );
    let out = run(folder.path(), &["flat", "two.csv", "--json"]);
    let json: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    assert_eq!(json["floor"]["high_point"]["set_up"], "B");
    assert_eq!(json["floor"]["low_point"]["set_up"], "A");
    assert_eq!(json["survey"]["set_ups"][1]["shift_mm"], 187.325);
    assert_eq!(json["survey"]["set_ups"][1]["shared_points"], 3);
    assert_eq!(json["survey"]["set_ups"][0]["shift_mm"], 0.0);
    // At a shared mark that is the lowest the reading that stands lower is told, whichever set-up it is from.
    std::fs::write(
        folder.path().join("low.csv"),
        "point,x_ft,y_ft,reading_in,set-up\n\
         1,0,0,40 1/4,A\n2,6,0,41 1/16,A\n3,0,6,40 1/8,A\n4,6,6,40,A\n\
         1,0,0,47 5/8,B\n2,6,0,48 3/8,B\n3,0,6,47 1/2,B\n5,9,6,47,B\n",
    )
    .unwrap();
    let out = run(folder.path(), &["flat", "low.csv", "--span", "4 ft"]);
    let text = String::from_utf8(out.stdout).unwrap();
    assert!(
        text.contains("(reading 41 1/16 from set-up A, one of 2 there; their mean counts)"),
        "{text}"
    );
}

// ORACLE: hand. B's shift over one shared point is the difference of its two readings: a height of B less one of A hangs on
//         those two as well, so four readings make sqrt(4) times one reading's doubt; what one spot cannot show may be 1 in
//         off, a uniform spread. Over three points, three pairs at a third each: 2 + 6/9 readings' squares.
#[test]
fn a_gap_between_set_ups_hangs_on_the_readings_that_tie_them() {
    use birdbath::flatness::{JudgeOptions, ReadingDoubt, check, judge};
    use birdbath::survey::setups::Ties;
    let floor = |shared: u32| {
        let mut a: Vec<(String, f64, f64, f64)> = Vec::new();
        let mut b = Vec::new();
        for i in 0..7 {
            for j in 0..4u32 {
                let (x, y) = (f64::from(i), f64::from(j));
                let name = format!("{i}-{j}");
                if i <= 3 {
                    a.push((name.clone(), x, y, if i == 2 { 38.0 } else { 40.0 }));
                }
                if i > 3 || (i == 3 && j < shared) {
                    // The highest are A's own, the lowest B's own, and farther apart than all that one mark may hide.
                    b.push((name, x, y, if i == 5 { 50.5 } else { 50.0 }));
                }
            }
        }
        let of = |list: &[(String, f64, f64, f64)]| {
            survey(
                &list
                    .iter()
                    .map(|(n, x, y, z)| (n.as_str(), *x, *y, *z))
                    .collect::<Vec<_>>(),
            )
        };
        tie(vec![("A".to_owned(), of(&a)), ("B".to_owned(), of(&b))]).unwrap()
    };
    let doubt = |survey: &Survey, ties: Ties| {
        let floor = birdbath::surface::Floor::build(survey).unwrap().floor;
        let options = JudgeOptions {
            doubt: ReadingDoubt {
                step_m: 0.0,
                repeatability_m: 0.001,
                ..ReadingDoubt::default()
            },
            ties,
            both_ways: false,
            ..JudgeOptions::default()
        };
        let check = check::parse("1 mm in 3 m radius").unwrap();
        let part = &judge(&floor, &[check], &options, &|_| ())[0].parts[0];
        let found = part.measured();
        found.unwrap_or_else(|| panic!("{part:?}")).doubt_m
    };
    let one = floor(1);
    let plain = doubt(&one, Ties::default());
    assert!((plain - 2.0 * 0.001 * 2f64.sqrt()).abs() < 1e-9, "{plain}");
    let tied = doubt(&one, Ties::of(&one));
    let unseen = 0.0254f64.powi(2) / 3.0;
    let want = 2.0 * (4e-6 + unseen).sqrt();
    assert!((tied - want).abs() < 1e-6, "{tied} {want}");
    let three = floor(3);
    let tied = doubt(&three, Ties::of(&three));
    let want = 2.0 * (1e-6 * (2.0 + 6.0 / 9.0_f64)).sqrt();
    assert!((tied - want).abs() < 1e-6, "{tied} {want}");
    let told = |s: &Survey| {
        s.notices
            .iter()
            .filter(|n| n.code == "set-up-tied-by-one-point")
            .count()
    };
    assert_eq!((told(&one), told(&three)), (1, 0));
}

// ORACLE: hand. An edge from A (a quarter of the way) to B (three quarters) over the one mark that both read. Had B misread it by
//         e, all of B lies e off and the gap is 0.75 e off; had A, all of B and the mark itself, and the gap is 0.25 e off. What one
//         mark cannot show is 1 in, a uniform spread: twice 0.75 of its standard deviation. On a floor that looks quite
//         flat such a slip may hide a lip as well as on any other.
#[test]
fn a_gap_at_the_one_shared_mark_hangs_on_whichever_reading_of_it_weighs_most() {
    use birdbath::flatness::doubt::gap_doubt_m;
    use birdbath::flatness::{JudgeOptions, Placement, ReadingDoubt, Verdict, check, judge};
    use birdbath::geometry::Point;
    use birdbath::survey::setups::Ties;
    let (mut a, mut b) = (Vec::new(), Vec::new());
    for i in 0..17 {
        for j in 0..9 {
            let (x, y) = (0.5 * f64::from(i), 0.5 * f64::from(j));
            let name = format!("{i}-{j}");
            if i <= 8 {
                a.push((name.clone(), x, y, 40.0));
            }
            if i > 8 || (i == 8 && j == 4) {
                b.push((name, x, y, 50.0));
            }
        }
    }
    let of = |list: &[(String, f64, f64, f64)]| {
        survey(
            &list
                .iter()
                .map(|(n, x, y, z)| (n.as_str(), *x, *y, *z))
                .collect::<Vec<_>>(),
        )
    };
    let survey = tie(vec![("A".to_owned(), of(&a)), ("B".to_owned(), of(&b))]).unwrap();
    let floor = birdbath::surface::Floor::build(&survey).unwrap().floor;
    let exact = ReadingDoubt::default();
    let edge = Placement {
        from: Point::new(2.5, 2.0),
        to: Point::new(4.5, 2.0),
        at: Point::new(4.0, 2.0),
        gap_m: 0.002,
    };
    let found = gap_doubt_m(&floor, Some(&edge), &exact, &Ties::of(&survey));
    let want = 2.0 * 0.75 * 0.0254 / 3f64.sqrt();
    assert!((found - want).abs() < 1e-9, "{found} {want}");
    let word = |rule: &str| {
        let options = JudgeOptions {
            doubt: exact,
            ties: Ties::of(&survey),
            both_ways: false,
            ..JudgeOptions::default()
        };
        judge(&floor, &[check::parse(rule).unwrap()], &options, &|_| ())[0].parts[0].verdict()
    };
    assert_eq!(word("1 mm in 2 m"), Verdict::InDoubt);
    assert_eq!(word("9 mm in 2 m"), Verdict::InDoubt);
    assert_eq!(word("40 mm in 2 m"), Verdict::Within);
}

// ORACLE: hand. Three set-ups in a loop of one mark each. Least squares leave a third of a slip at each mark; tied without it, each
//         mark lies off by all of it, and nothing tells at which it was.
#[test]
fn a_slip_in_a_loop_of_set_ups_is_told_whole() {
    let loop_of = |slip: f64| {
        tie(vec![
            (
                "A".to_owned(),
                survey(&[
                    ("1", 0.0, 0.0, 40.0),
                    ("2", 10.0, 0.0, 40.0),
                    ("a", 5.0, 2.0, 40.0),
                ]),
            ),
            (
                "B".to_owned(),
                survey(&[
                    ("2", 10.0, 0.0, 45.0),
                    ("3", 5.0, 8.0, 45.0),
                    ("b", 8.0, 4.0, 45.0),
                ]),
            ),
            (
                "C".to_owned(),
                survey(&[
                    ("3", 5.0, 8.0, 50.0),
                    ("1", 0.0, 0.0, 50.0 + slip),
                    ("c", 2.0, 4.0, 50.0),
                ]),
            ),
        ])
    };
    // A tenth of an inch, 2.54 mm, is within the eighth that is let pass, and is told as that.
    let tied = loop_of(0.1).unwrap();
    for set_up in &tied.set_ups {
        assert!((set_up.spread_m - 0.002_54).abs() < 1e-9, "{set_up:?}");
    }
    // A quarter inch is not: all three marks are named, with the whole of it.
    let error = loop_of(0.25).unwrap_err();
    let SetUpError::Misfit {
        misfits, spread_m, ..
    } = &error
    else {
        panic!("{error}");
    };
    assert!((spread_m - 0.006_35).abs() < 1e-9, "{error}");
    assert_eq!(misfits.len(), 3, "{error}");
    assert!(
        misfits
            .iter()
            .all(|m| (m.off_m.abs() - 0.006_35).abs() < 1e-9),
        "{error}"
    );
    assert!(error.to_string().contains("Nothing tells which"), "{error}");
}

// ORACLE: hand. Eight readings of five marks: 1, 2 and 3 were read from both set-ups and are told once; the two marks 4, one of each set-up's own
//         count, carry their set-ups.
#[test]
fn a_mark_read_from_two_set_ups_is_one_mark_by_one_name() {
    let mut parts = pair(47.5);
    parts[1].1.readings[3].label = "4".into();
    let both = tie(parts).unwrap();
    let set_ups: Vec<String> = both.set_ups.iter().map(|s| s.name.clone()).collect();
    let once = birdbath::survey::marks_once(&both.readings, &set_ups);
    let names: Vec<&str> = once.iter().map(|(_, name)| name.as_str()).collect();
    assert_eq!(names, ["1", "2", "3", "4 (A)", "4 (B)"]);
    let twice = survey(&[
        ("1", 0.0, 0.0, 40.25),
        ("2", 1.0, 0.0, 40.0),
        ("1", 0.0, 0.0, 40.5),
    ]);
    assert_eq!(birdbath::survey::marks_once(&twice.readings, &[]).len(), 2);
}
