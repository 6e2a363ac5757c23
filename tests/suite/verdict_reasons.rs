//! What a verdict is judged on, and what the sentences beside it say.

use crate::support::meshes::turned_grid;
use birdbath::flatness::{
    CheckResult, JudgeOptions, Meeting, Placement, SampleLine, Suspect, Verdict, check, crossed,
    joints_met, judge,
};
use birdbath::geometry::Point;
use birdbath::surface::Floor;
use birdbath::survey::Joint;
use birdbath::units::share_against_text;

fn one(floor: &Floor, name: &str, options: &JudgeOptions) -> CheckResult {
    judge(floor, &[check::parse(name).unwrap()], options, &|_| ()).remove(0)
}

fn line(interval_m: f64, heights_m: Vec<f64>) -> SampleLine {
    SampleLine {
        name: "a".into(),
        interval_m,
        elevations_m: heights_m,
        start: None,
        end: None,
    }
}

/// Nine by nine readings 3 m apart, three of them within 8 mm proud.
fn proud_grid() -> Floor {
    let proud = [(6.0, 6.0), (12.0, 18.0), (18.0, 9.0)];
    turned_grid(9, 9, 3.0, 0.0, move |x, y| {
        let here = |&(a, b): &(f64, f64)| (x - a).abs() < 0.1 && (y - b).abs() < 0.1;
        if proud.iter().any(here) { 0.008 } else { 0.0 }
    })
}

// ORACLE: hand. Each of three readings 8 mm proud is in four pairs: 12 of 144 are over 4.5 mm, 8 % where 5 % may be. Two hundred
//         readings every 0.3 m along a level line hold 191 pairs 3 m apart and 198 bends, all of nothing: they say nothing of the grid.
#[test]
fn a_grid_is_not_diluted_by_sample_lines() {
    let floor = proud_grid();
    let alone = one(&floor, "tr34-fm1", &JudgeOptions::default());
    let options = JudgeOptions {
        lines: vec![line(0.3, vec![0.0; 200])],
        ..JudgeOptions::default()
    };
    let with = one(&floor, "tr34-fm1", &options);
    assert_eq!(alone.parts[0].verdict(), Verdict::Out);
    assert_eq!(with.parts[0], alone.parts[0]);
    let said = &with.parts[0].reason;
    assert!(said.contains("8 % of 144 values of the grid"), "{said}");
    // Property F is told of the line alone.
    let f = &with.parts[1];
    assert_eq!((f.verdict(), f.judged.lines), (Verdict::Within, 1));
    assert!(f.judged.judged_m2 == 0.0, "{:?}", f.judged);
    assert!(f.reason.contains("198 values along"), "{}", f.reason);
    // Where the grid hangs on suspects the lines do not hide them.
    let suspects = JudgeOptions {
        suspects: (0..floor.vertices().len() as u32)
            .filter(|&v| floor.vertices()[v as usize].z > 0.004)
            .map(|v| Suspect {
                reading: v,
                name: format!("P{v}"),
            })
            .collect(),
        ..options
    };
    let hangs = &one(&floor, "tr34-fm1", &suspects).parts[0];
    assert_eq!(hangs.verdict(), Verdict::InDoubt);
    assert!(
        hangs.reason.contains("suspected of a slip"),
        "{}",
        hangs.reason
    );
}

// ORACLE: hand. Readings 1.7 m apart are no grid of 3 m: ten pairs of a line that rises by 6 mm from each 3 m to the next are all over.
#[test]
fn without_a_grid_lines_speak_for_it() {
    let floor = turned_grid(9, 9, 1.7, 0.0, |_, _| 0.0);
    let options = JudgeOptions {
        lines: vec![line(3.0, (0..11).map(|i| 0.006 * f64::from(i)).collect())],
        ..JudgeOptions::default()
    };
    let part = &one(&floor, "tr34-fm1", &options).parts[0];
    assert_eq!((part.verdict(), part.judged.lines), (Verdict::Out, 1));
}

// ORACLE: hand: 24 of 456 are 5.26 %, and 499 of 10,000 are 4.99 %.
#[test]
fn a_share_never_prints_as_the_one_it_is_held_against() {
    for (share, allowed, text) in [
        (24.0 / 456.0, 0.05, "5.3 %"),
        (0.0499, 0.05, "4.99 %"),
        (0.05, 0.05, "5 %"),
        (0.2, 0.05, "20 %"),
        (0.0753, 0.075, "8 %"),
        (0.997, 0.1, "99.7 %"),
        (0.002, 0.1, "0.2 %"),
        (0.0, 0.1, "0 %"),
    ] {
        assert_eq!(share_against_text(share, allowed), text);
    }
}

// ORACLE: hand. A groove 3 mm deep in readings every 0.1 m: line 3 allows 2 mm up to 0.325 m, where such readings can prove a floor out
//         and nothing else. Without the groove that step is what is not tested.
#[test]
fn a_step_that_is_read_too_coarsely_is_told_as_such() {
    let judged = |deep: f64| {
        let floor = turned_grid(31, 31, 0.1, 0.0, move |x, _| {
            if (x - 1.5).abs() < 0.01 { -deep } else { 0.0 }
        });
        one(&floor, "din18202-line3", &JudgeOptions::default())
    };
    let out = judged(0.003);
    let part = &out.parts[0];
    assert_eq!(part.verdict(), Verdict::Out);
    assert!((part.allowance_m - 0.002).abs() < 1e-9, "{part:?}");
    assert!(part.reason.contains("can prove it out"), "{}", part.reason);
    let untested = judged(0.0);
    let part = &untested.parts[0];
    assert_eq!(part.verdict(), Verdict::NotTested);
    assert!((part.span_m - 0.325).abs() < 1e-9, "{part:?}");
    assert!((part.allowance_m - 0.002).abs() < 1e-9, "{part:?}");
}

fn joint(name: &str, x: f64) -> Joint {
    Joint {
        name: name.into(),
        line: vec![Point::new(x, 0.0), Point::new(x, 3.0)],
        movement: false,
    }
}

// ORACLE: hand. An edge over x = 2 lies across the joint there; one that rests on its lip and is deepest at that lip shows its step; one
//         that ends there and is deepest elsewhere ends at it; one along it, or beside it, does not meet it.
#[test]
fn a_place_names_the_joints_it_meets() {
    let joints = [joint("J1", 2.0), joint("cold joint", 3.0)];
    let place = |from: f64, to: f64, at: f64| Placement {
        from: Point::new(from, 1.0),
        to: Point::new(to, 1.0),
        at: Point::new(at, 1.0),
        gap_m: 0.006,
    };
    for (p, text) in [
        (place(1.0, 2.5, 1.8), "lies across joint J1"),
        (place(1.0, 2.0, 2.0), "lies across joint J1"),
        (place(1.0, 2.0, 1.5), "ends at joint J1"),
        (place(1.0, 3.5, 1.5), "lies across joint J1 and cold joint"),
        (place(0.5, 1.5, 1.0), ""),
    ] {
        assert_eq!(joints_met(&crossed(&p, &joints)), text);
    }
    let along = Placement {
        to: Point::new(2.0, 2.5),
        ..place(2.0, 2.0, 2.0)
    };
    assert!(crossed(&along, &joints).is_empty());
    assert_eq!(
        crossed(&place(1.0, 2.5, 1.8), &joints),
        [("J1", Meeting::Across)]
    );
}

// ORACLE: hand, by the rule: a gap never prints as its limit, nor on the other side of it, unless it is on it: 4.724 mm is 0.186 in, under
//         3/16 in (0.1875); 4.78 mm is 0.188 in, over it; 4.7625 mm is 3/16 in itself. A grind of 6.678 mm, 0.263 in, is over 1/4 in.
#[test]
fn a_figure_beside_its_limit_shows_its_side() {
    use birdbath::units::{Habit, INCH_M, Pen};
    let (us, metric) = (Pen::new(Habit::Us), Pen::new(Habit::Metric));
    let limit = 3.0 / 16.0 * INCH_M;
    for (gap_m, text) in [
        (0.004_724, "0.186 in"),
        (0.004_78, "0.19 in"),
        (limit, "0.1875 in (3/16)"),
        (0.006_35, "0.25 in (1/4)"),
        (0.001_6, "0.06 in (1/16)"),
    ] {
        assert_eq!(us.gap_against(gap_m, limit), text, "{gap_m}");
    }
    // ORACLE: hand: 0.26 in is nearest to 4/16 and over 4/16; 0.24 in is nearest to 4/16 and under it; 0.20 in is nearest to 3/16, which is
    //         under a limit of 5 mm that it is over, and stays by one of 1/8 in.
    for (gap_in, limit_m, text) in [
        (0.26, 0.25 * INCH_M, "0.26 in"),
        (0.24, 0.25 * INCH_M, "0.24 in"),
        (0.20, 0.005, "0.20 in"),
        (0.20, 0.125 * INCH_M, "0.20 in (3/16)"),
    ] {
        assert_eq!(us.gap_against(gap_in * INCH_M, limit_m), text);
    }
    let likely = birdbath::flatness::Likely {
        low_m: 0.22 * INCH_M,
        high_m: 0.26 * INCH_M,
    };
    assert_eq!(likely.words(us, 0.25 * INCH_M), "0.22 in to 0.26 in");
    assert_eq!(metric.gap_against(0.003_02, 0.003), "3.02 mm");
    assert_eq!(metric.gap_against(0.002_96, 0.003), "2.96 mm");
    assert_eq!(metric.gap_against(0.003, 0.003), "3.0 mm");
    assert_eq!(us.doubt(0.000_01), "under 0.01 in");
    assert_eq!(us.doubt(0.0), "0.00 in");
    assert_eq!(us.over_depth(0.006_678, INCH_M / 4.0), "17/64 in");
    assert_eq!(us.over_depth(0.006, INCH_M / 4.0), "1/4 in");
    // No rule shows this to be over 1/8 in; 33/256 of an inch stood there.
    assert_eq!(us.over_depth(0.128_9 * INCH_M, INCH_M / 8.0), "over 1/8 in");
    assert_eq!(metric.over_depth(0.003_2, 0.003), "3.2 mm");
}

// ORACLE: hand. 3/32 in is a whole number of thirty-seconds and prints as that; under such a gauge marks read in sixteenths want 1 1/2 and
//         2 1/2 sixteenths: 3 and 5 thirty-seconds, and not 2 sixteenths both.
#[test]
fn a_gauge_prints_as_it_was_stated() {
    use crate::specimen;
    use birdbath::fill::{Fill, PlaneRule};
    use birdbath::report::Pen;
    use birdbath::report::crew::{finish_text, mark_text, mark_unit};
    use birdbath::units::{Habit, INCH_M};
    let pen = Pen::new(Habit::Us);
    let gauge_m = 3.0 / 32.0 * INCH_M;
    let fill = Fill {
        rule: PlaneRule::OverHighPoint { gauge_m },
        gauge_depth_m: gauge_m,
        gauge_from: Some("the least depth of the material sheet"),
        ..specimen::fill()
    };
    let said = finish_text(pen, &fill);
    assert!(said.contains("3/32 in over the high point"), "{said}");
    assert!(said.contains("taken is the least depth of the material sheet"));
    let unit = mark_unit(pen, fill.gauge_depth_m, 0.0, &[]);
    let written = |sixteenths: f64| mark_text(pen, unit, sixteenths / 16.0 * INCH_M);
    assert_eq!(written(1.5), "fill 3 (3/32)");
    assert_eq!(written(2.5), "fill 5 (5/32)");
    assert_eq!(pen.stated(gauge_m), "3/32 in");
    assert_eq!(pen.held_rise(-gauge_m), "-3/32 in");
    // The usual gauge keeps sixteenths; a depth that no fraction holds is rounded to them.
    let usual = mark_unit(pen, specimen::fill().gauge_depth_m, INCH_M / 16.0, &[]);
    assert_eq!(mark_text(pen, usual, INCH_M / 8.0), "fill 2 (1/8)");
    // Readings to 1/32 in make depths in thirty-seconds: 5/32 is no 1/8.
    let fine = mark_unit(pen, specimen::fill().gauge_depth_m, INCH_M / 32.0, &[]);
    assert_eq!(mark_text(pen, fine, 5.0 * INCH_M / 32.0), "fill 5 (5/32)");
    assert_eq!(pen.held_number(0.003), "1/8");
    let metric = Pen::new(Habit::Metric);
    assert_eq!(metric.held_number(0.002_5), "2.5");
    let fill = Fill {
        gauge_depth_m: 0.002_5,
        ..fill
    };
    let unit = mark_unit(metric, fill.gauge_depth_m, 0.001, &[]);
    assert_eq!(mark_text(metric, unit, 0.003_5), "fill 3.5");
    assert_eq!(mark_text(metric, unit, 0.0), "leave");
    // A set-up tied by half a millimetre: 10.5 and 11.5 would both print as even millimetres, 10 and 12. A mark read twice among many is no reason.
    let off: Vec<f64> = (0..20).map(|i| 0.010_5 + 0.001 * f64::from(i)).collect();
    let unit = mark_unit(metric, 0.003, 0.001, &off);
    assert_eq!(mark_text(metric, unit, 0.010_5), "fill 10.5");
    let of = |halves: usize| {
        let depths: Vec<f64> = (0..40)
            .map(|i| if i < halves { 0.010_5 } else { 0.01 })
            .collect();
        mark_unit(metric, 0.003, 0.001, &depths)
    };
    assert_eq!(mark_text(metric, of(4), 0.011), "fill 11");
    assert_eq!(mark_text(metric, of(5), 0.011), "fill 11.0");
    let thirty_seconds = mark_unit(
        pen,
        0.0,
        INCH_M / 16.0,
        &[2.5 / 16.0 * INCH_M, 3.5 / 16.0 * INCH_M],
    );
    assert_eq!(
        mark_text(pen, thirty_seconds, 2.5 / 16.0 * INCH_M),
        "fill 5 (5/32)"
    );
}

// ORACLE: hand. Limit 4 mm: 5 mm and 3 mm are worth an edge, 1 mm is less than half of the limit. Only the first is out. The letter lists
//         that one alone.
#[test]
fn a_notice_lists_what_is_over_its_limit() {
    use crate::{pdf, specimen};
    use birdbath::analysis::numbered;
    use birdbath::flatness::{Judged, Measured, Outcome, PartResult, Procedure, Sureness};
    use birdbath::report::crew::PlacementRow;
    use birdbath::report::orientation::Orientation;
    use birdbath::report::{Paper, Press, submittal};
    use birdbath::units::Habit;
    let places: Vec<Placement> = [(1.0, 0.005), (4.0, 0.003), (7.0, 0.001)]
        .into_iter()
        .map(|(x, gap_m)| Placement {
            from: Point::new(x - 0.5, 1.0),
            to: Point::new(x + 0.5, 1.0),
            at: Point::new(x, 1.0),
            gap_m,
        })
        .collect();
    let check = CheckResult {
        check: "own".into(),
        title: "Own".into(),
        source: "Own".into(),
        sureness: Sureness::Own,
        note: String::new(),
        joints: birdbath::flatness::Joints::Cross,
        parts: vec![PartResult {
            left_open: String::new(),
            procedure: Procedure::Resting,
            span_m: 2.0,
            allowance_m: 0.004,
            may_be_over: None,
            judged: Judged::default(),
            outcome: Outcome::Out(Measured {
                gap_m: 0.005,
                worst: places.first().copied(),
                places,
                ..Measured::default()
            }),
            hand: None,
            reason: String::new(),
        }],
    };
    let list = numbered(std::slice::from_ref(&check), None);
    let told: Vec<(f64, bool)> = list
        .iter()
        .map(|n| (n.placement.gap_m, n.is_out()))
        .collect();
    assert_eq!(told, [(0.005, true), (0.003, false), (0.001, false)]);
    let rows: Vec<PlacementRow> = list
        .iter()
        .map(|n| PlacementRow {
            procedure: n.procedure,
            number: n.number,
            check: n.check.clone(),
            span_m: n.span_m,
            gap_m: n.placement.gap_m,
            limit_m: n.limit_m,
            verdict: n.verdict,
            from: n.placement.from,
            to: n.placement.to,
            at: n.placement.at,
            profile: None,
        })
        .collect();
    let head = specimen::head(Habit::Metric, Paper::A4);
    let orientation = Orientation {
        origin: Point::default(),
        left: "left wall".into(),
        bottom: "bottom wall".into(),
    };
    let letter = submittal::notice(
        (&head, &orientation),
        (&[check], &birdbath::report::sections::FloorFacts::default()),
        (&rows, None),
        (&[], &[]),
    );
    let text = pdf::words_of(&Press::new().print(&letter).unwrap());
    assert!(text.contains("1 Own 5.0 4 2 m"), "{text}");
    assert!(!text.contains("2 Own 3.0"), "{text}");
}
