//! Checks by name, their limits, procedures and verdicts.

use crate::support::meshes::{Stream, height_at, mesh, turned_grid};
use crate::support::rooms::reading;
use birdbath::flatness::check::{all, by_name, parse};
use birdbath::flatness::coverage::coverage;
use birdbath::flatness::doubt::gap_doubt_m;
use birdbath::flatness::level;
use birdbath::flatness::midpoint::{midpoint, neighbours};
use birdbath::flatness::radius::radius;
use birdbath::flatness::{
    CheckError, CheckResult, Departure, Ground, Joints, JudgeOptions, Limit, LimitCurve, Measured,
    PartResult, Placement, Procedure, ReadingDoubt, SampleLine, Searcher, Sureness, Verdict, judge,
    section,
};
use birdbath::geometry::Point;
use birdbath::surface::Floor;
use birdbath::survey::Survey;
use birdbath::survey::setups::Ties;
use std::f64::consts::PI;

const FT: f64 = 0.3048;
const INCH: f64 = 0.0254;

fn one(floor: &Floor, check: &str, options: &JudgeOptions) -> CheckResult {
    judge(floor, &[parse(check).unwrap()], options, &|_| ()).remove(0)
}

/// What was measured on a part that was tested.
fn found(part: &PartResult) -> &Measured {
    part.measured()
        .unwrap_or_else(|| panic!("not tested: {}", part.reason))
}

fn curve(line: u32) -> LimitCurve {
    let check = by_name(&format!("din18202-line{line}")).unwrap();
    match &check.parts[0].limit {
        Limit::Curve(c) => c.clone(),
        other => panic!("{other:?}"),
    }
}

fn mm(line: u32, distance_m: f64) -> f64 {
    (curve(line).limit_m(distance_m).unwrap() * 1000.0).round()
}

// ORACLE:    published table, read on trade pages; two cells are known not to follow half-up rounding.
// SOURCE:    DIN 18202 table 3; fixtures/outside/ORIGIN.md.
#[test]
fn din_limits_between_the_tabled_distances() {
    assert_eq!(mm(3, 2.0), 6.0);
    assert_eq!(
        [1.5, 3.0, 6.0, 8.0].map(|d| mm(3, d)),
        [5.0, 8.0, 11.0, 11.0]
    );
    assert_eq!(mm(1, 2.5), 18.0);
    assert_eq!([0.6, 2.0].map(|d| mm(4, d)), [2.0, 5.0]);
    assert_eq!(mm(4, 20.0), 15.0);
    assert_eq!(curve(3).limit_m(0.05), None);
    for row in include_str!("../../fixtures/outside/din18202.csv")
        .lines()
        .skip(1)
    {
        let cells: Vec<&str> = row.split(',').collect();
        let line: u32 = cells[0].parse().unwrap();
        if !(1..=4).contains(&line) {
            continue;
        }
        let (distance, printed): (f64, f64) =
            (cells[1].parse().unwrap(), cells[2].parse().unwrap());
        let agrees = (mm(line, distance) - printed).abs() < 0.5;
        assert_eq!(agrees, cells[4] == "yes", "{row}");
    }
    // Derived: interpolated by hand.
    assert_eq!(
        [0.3, 0.6, 1.8, 2.7, 3.05].map(|d| mm(3, d)),
        [2.0, 3.0, 6.0, 7.0, 8.0]
    );
}

// ORACLE: property. The staircase and the limit say the same at every distance.
#[test]
fn steps_of_a_curve_are_its_limits() {
    for line in 1..=4 {
        let c = curve(line);
        let steps = c.steps();
        assert!(
            steps
                .windows(2)
                .all(|w| w[0].0 <= w[1].0 && w[0].1 < w[1].1)
        );
        for i in 0..2000 {
            let d = 0.1 + f64::from(i) * 0.0101;
            let step = steps.iter().find(|s| d < s.0).unwrap();
            assert!(
                (step.1 - c.limit_m(d).unwrap()).abs() < 1e-9,
                "line {line} at {d}"
            );
        }
    }
}

#[test]
fn the_library_is_whole() {
    assert!(all().len() >= 30);
    let mut names: Vec<_> = all().iter().map(|c| c.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), all().len());
    for c in all() {
        assert!(
            !c.title.is_empty() && !c.source.is_empty() && !c.parts.is_empty(),
            "{}",
            c.name
        );
        assert_ne!(c.sureness, Sureness::Own);
        let memory = c.source.contains("from memory");
        assert_eq!(memory, c.sureness == Sureness::FromMemory, "{}", c.name);
    }
}

// SOURCE: ANSI A108.02 4.2.2 as quoted on trade pages: 12 x 24 in tile has an edge of 15 in or longer.
#[test]
fn large_tile_has_two_parts() {
    let c = by_name("tile-large").unwrap();
    let parts: Vec<(f64, f64)> = c
        .parts
        .iter()
        .map(|p| match p.limit {
            Limit::Most(a) => (p.span_m / INCH, a / INCH),
            _ => panic!(),
        })
        .collect();
    for (found, expected) in parts.iter().zip([(120.0, 0.125), (24.0, 0.0625)]) {
        assert!((found.0 - expected.0).abs() < 1e-9 && (found.1 - expected.1).abs() < 1e-9);
    }
}

#[test]
fn rules_in_words() {
    let c = parse("1/8 in in 10 ft").unwrap();
    assert_eq!(
        (c.parts.len(), c.parts[0].procedure, c.sureness),
        (1, Procedure::Resting, Sureness::Own)
    );
    assert!((c.parts[0].span_m - 10.0 * FT).abs() < 1e-12);
    assert_eq!(c.parts[0].limit, Limit::Most(INCH / 8.0));
    assert_eq!(
        parse("3 mm under 2 m, balanced").unwrap().parts[0].procedure,
        Procedure::Balanced
    );
    assert_eq!(
        parse("3 mm in 2 m, held down").unwrap().parts[0].procedure,
        Procedure::HeldDown
    );
    assert_eq!(
        parse("1/8 in in 10 ft radius").unwrap().parts[0].procedure,
        Procedure::Radius
    );
    assert_eq!(
        parse("1/4 in in 10 ft and 1/16 in in 1 ft")
            .unwrap()
            .parts
            .len(),
        2
    );
    assert_eq!(parse("TILE-LARGE").unwrap().name, "tile-large");
    assert!(matches!(
        parse("smooth as glass"),
        Err(CheckError::NotACheck { .. })
    ));
    assert!(matches!(
        parse("1/8 in in 10 ft, upside down"),
        Err(CheckError::Procedure { .. })
    ));
    assert!(matches!(
        parse("1/8 in in 10"),
        Err(CheckError::Length {
            what: "the span",
            ..
        })
    ));
    assert!(matches!(
        parse("0 mm in 2 m"),
        Err(CheckError::Length {
            what: "the allowance",
            ..
        })
    ));
}

// SOURCE: NF DTU 52.1 (7 m: 12 mm) and NF DTU 13.3 clause 17.2 (8 m: 20 mm).
#[test]
fn level_limits() {
    assert!((level::dtu_52_1_m(7.0) - 0.012).abs() < 1e-12);
    assert!((level::dtu_13_3_m(8.0) - 0.020).abs() < 1e-12);
    assert_eq!(
        [0.5, 2.0, 40.0].map(|d| (level::din_18202_angle_m(d) * 1e3).round()),
        [3.0, 8.0, 30.0]
    );
}

/// A straight valley, sides of slope `k`, read every 0.25 m over 4 x 4 m.
fn valley(k: f64) -> Floor {
    turned_grid(17, 17, 0.25, 0.0, |x, _| k * (x - 2.0).abs())
}

// SOURCE: BS 8204 annex C: a gap of 4.0 mm under 2 m fails SR1 and passes SR2 and SR3.
#[test]
fn four_millimetres_under_two_metres() {
    let floor = valley(0.004);
    let options = JudgeOptions::default();
    for (name, verdict) in [
        ("bs8204-sr1", Verdict::Out),
        ("bs8204-sr2", Verdict::Within),
        ("bs8204-sr3", Verdict::Within),
    ] {
        let r = one(&floor, name, &options);
        assert_eq!(r.verdict(), verdict, "{:?}", r.parts[0].reason);
        assert!((found(&r.parts[0]).gap_m - 0.004).abs() < 1e-4);
    }
    // Equal passes.
    assert_eq!(
        one(&floor, "4 mm in 2 m", &options).verdict(),
        Verdict::Within
    );
    assert_eq!(
        one(&floor, "3.99 mm in 2 m", &options).verdict(),
        Verdict::Out
    );
}

#[test]
fn doubt_stands_between_out_and_within() {
    let floor = valley(0.004);
    // 1 mm steps: three readings at mesh points, lowest in the middle: 2 sqrt(1.5) / sqrt(12) = 0.707 mm.
    let doubt = ReadingDoubt {
        step_m: 0.001,
        repeatability_m: 1e-9,
        ..ReadingDoubt::default()
    };
    let options = JudgeOptions {
        doubt,
        ..JudgeOptions::default()
    };
    for (rule, verdict) in [
        ("3.2 mm in 2 m", Verdict::Out),
        ("3.5 mm in 2 m", Verdict::InDoubt),
        ("4.5 mm in 2 m", Verdict::InDoubt),
        ("5 mm in 2 m", Verdict::Within),
    ] {
        let r = one(&floor, rule, &options);
        assert_eq!(r.verdict(), verdict, "{rule}: {}", r.parts[0].reason);
        assert!(
            (found(&r.parts[0]).doubt_m - 0.000707).abs() < 2e-5,
            "{}",
            found(&r.parts[0]).doubt_m
        );
    }
}

// SOURCE: closed form: 1/16 in gives u = 0.0180 in for one reading and 0.0221 in for the gap in the
//         middle of three.
#[test]
fn doubt_of_a_tape() {
    let tape = ReadingDoubt {
        step_m: INCH / 16.0,
        ..ReadingDoubt::default()
    };
    assert!((tape.reading_m() / INCH - 0.0180).abs() < 5e-5);
    let floor = valley(0.004);
    assert!(
        (gap_doubt_m(&floor, None, &tape, &Ties::default()) / 2.0 / INCH - 0.0221).abs() < 5e-5
    );
    let with = ReadingDoubt {
        repeatability_m: 3e-4,
        instrument_m: 4e-4,
        ..tape
    };
    assert!((with.reading_m().powi(2) - tape.reading_m().powi(2) - 25e-8).abs() < 1e-12);
}

#[test]
fn far_apart_readings_prove_out_or_nothing() {
    // Every 5 ft: coarse for 10 ft, mute for 2 ft.
    let floor = |deep: f64| {
        turned_grid(7, 7, 5.0 * FT, 0.0, move |x, y| {
            if (x - 15.0 * FT).hypot(y - 15.0 * FT) < 0.1 {
                -deep
            } else {
                0.0
            }
        })
    };
    let options = JudgeOptions::default();
    let flat = one(&floor(0.05 * INCH), "tile-large", &options);
    assert_eq!(flat.verdict(), Verdict::NotTested);
    assert!(
        flat.parts[0].reason.contains("read every"),
        "{}",
        flat.parts[0].reason
    );
    assert_eq!(flat.parts[1].verdict(), Verdict::NotTested);
    let deep = one(&floor(0.5 * INCH), "tile-large", &options);
    assert_eq!(deep.verdict(), Verdict::Out);
    assert_eq!(deep.parts[0].verdict(), Verdict::Out);
    // The crease between readings over 2 ft is the triangles' own, not the floor's.
    assert_eq!(deep.parts[1].verdict(), Verdict::NotTested);
    let c = coverage(&floor(0.0), Ground::Surveyed, 10.0 * FT);
    assert_eq!(c.judged.share(), 0.0);
    assert!((c.coarse_m2 - c.judged.room_m2).abs() < 1e-9);
    assert!((c.judged.needed_m - 2.5 * FT).abs() < 1e-9 && (c.spacing_m - 5.0 * FT).abs() < 1e-9);
}

// ORACLE: closed form. Nothing 5 by 8 ft holds a chord of 10 ft (its diagonal is 9.4 ft); a valley of slope k
//         across it is k 2 ft deep at the most under the 4 ft that lie evenly over it: 0.012 in and 0.72 in.
#[test]
fn an_edge_without_room_is_judged_by_every_shorter_chord() {
    let bath = |k: f64| turned_grid(6, 9, FT, 0.0, move |x, _| k * (x - 2.0 * FT).abs());
    let options = JudgeOptions::default();
    for (k, verdict) in [(0.0005, Verdict::Within), (0.03, Verdict::Out)] {
        let r = one(&bath(k), "1/4 in in 10 ft", &options);
        assert_eq!(r.verdict(), verdict, "{}", r.parts[0].reason);
        let told = &r.parts[0].reason;
        assert!(
            told.contains("never laid") && told.contains("shorter chord"),
            "{told}"
        );
        let gap = found(&r.parts[0]).gap_m;
        assert!(
            gap >= k * 2.0 * FT - 1e-4 && gap <= k * 2.5 * FT + 1e-4,
            "{gap}"
        );
    }
}

#[test]
fn resting_and_balanced_are_told_apart() {
    // A curled ridge: dips are small, the balanced edge shows it.
    let floor = turned_grid(17, 17, 0.25, 0.0, |x, _| -0.004 * (x - 2.0).abs());
    let options = JudgeOptions::default();
    let r = one(&floor, "bs8204-sr1", &options);
    assert_eq!(r.verdict(), Verdict::Within);
    let other = found(&r.parts[0]).other.as_ref().unwrap();
    assert_eq!(
        (other.procedure, other.verdict),
        (Procedure::Balanced, Verdict::Out)
    );
    assert!((other.gap_m - 0.004).abs() < 1e-4);
    let held = one(&floor, "3 mm in 2 m, held down", &options);
    assert!((found(&held.parts[0]).gap_m - 0.008).abs() < 2e-4);
    assert_eq!(held.verdict(), Verdict::Out);
    let agree = one(&floor, "20 mm in 2 m", &options);
    assert!(found(&agree.parts[0]).other.is_none());
}

// ORACLE: closed form: the last line of the pad's grid-levelling example, 1.7905 mm below the mean of
//         its neighbours at 0.3 m; DIN line 3 allows 3 mm and line 4 2 mm at 0.6 m.
#[test]
fn midpoints_of_a_grid() {
    let pad = [421.386, 418.846, 419.887].map(|mm| mm / 1000.0);
    let floor = turned_grid(3, 3, 0.3, 0.4, |x, _| pad[(x / 0.3).round() as usize]);
    let grid = midpoint(&floor, 0.3, &[]);
    // Three rows across and three columns along; diagonals are farther apart.
    assert_eq!(grid.placements.len(), 6);
    assert!((grid.worst().unwrap().gap_m * 1000.0 - 1.7905).abs() < 1e-6);
    let r = one(&floor, "2 mm in 0.6 m, midpoint", &JudgeOptions::default());
    assert_eq!(r.verdict(), Verdict::Within);
    assert_eq!(
        one(
            &floor,
            "1.7 mm in 0.6 m, midpoint",
            &JudgeOptions::default()
        )
        .verdict(),
        Verdict::Out
    );
    assert_eq!(
        one(&floor, "2 mm in 1 m, midpoint", &JudgeOptions::default()).verdict(),
        Verdict::NotTested
    );
    assert!(mm(3, 0.6) >= 1.7905 && mm(4, 0.6) >= 1.7905);
}

// ORACLE: closed form: on a plane that rises 1.4 mm a metre along both walls, points 3 m apart along the rows differ by 4.2 mm,
//         and those askew by up to 5.9 mm. On a grid of 0.3 m nodes stand near 3 m apart askew as well (7 and 7 spacings,
//         6 and 8): neighbours of a 3 m grid they are not, and the verdict does not hang on the spacing.
#[test]
fn neighbours_of_a_grid_are_those_along_its_rows() {
    for (spacing, turn) in [(0.3, 0.0), (0.3, 0.5), (1.0, 0.0), (1.5, 0.2)] {
        let n = (9.0 / spacing) as usize + 1;
        let floor = turned_grid(n, n, spacing, turn, |x, y| 0.0014 * (x + y));
        let grid = neighbours(&floor, 3.0, &[]);
        let k = (3.0 / spacing) as usize;
        assert_eq!(grid.placements.len(), 2 * n * (n - k), "{spacing} {turn}");
        for p in &grid.placements {
            assert!((p.gap_m - 0.0042).abs() < 1e-9, "{p:?}");
        }
        // Of three in a row at 3 m likewise.
        assert_eq!(
            midpoint(&floor, 3.0, &[]).placements.len(),
            2 * n * (n - 2 * k)
        );
    }
}

// ORACLE:    closed form: on a plane of slope k two spots 2 R apart differ by 2 k R; and independent
//            code: random pairs on random floors.
#[test]
fn highest_minus_lowest_within_a_radius() {
    let plane = turned_grid(21, 21, 0.25, 0.3, |x, y| 0.003 * x + 0.004 * y);
    let r = radius(&plane, 1.0, Ground::Surveyed, 1e-5, 1_000_000);
    assert!(r.complete);
    assert!(
        (r.gap_m() - 0.010).abs() < 1e-5 && r.bound_m - r.gap_m() <= 1.1e-5,
        "{r:?}"
    );
    for seed in 1..=12 {
        let mut s = Stream::new(seed);
        let points: Vec<_> = (0..40)
            .map(|_| (s.unit() * 5.0, s.unit() * 4.0, 0.004 * s.normal()))
            .collect();
        let floor = mesh(&points, |_| true);
        let r = radius(&floor, 0.7, Ground::Surveyed, 1e-5, 1_000_000);
        assert!(r.complete && r.worst.unwrap().chord_m() <= 1.4 + 2e-6);
        for _ in 0..400 {
            let p = Point::new(s.unit() * 5.0, s.unit() * 4.0);
            let (sin, cos) = (s.unit() * 6.3).sin_cos();
            let q = p + Point::new(cos, sin) * 1.4;
            if let (Some(a), Some(b)) = (height_at(&floor, p), height_at(&floor, q)) {
                assert!((a - b).abs() <= r.bound_m);
            }
        }
    }
    let gym = turned_grid(13, 13, FT, 0.0, |_, _| 0.0);
    assert_eq!(
        one(&gym, "gym-maple", &JudgeOptions::default()).verdict(),
        Verdict::Within
    );
}

#[test]
fn the_share_of_sampled_placements() {
    // Flat but for one deep pit: few placements see it.
    let floor = turned_grid(41, 41, FT, 0.0, |x, y| {
        if (x - 20.0 * FT).hypot(y - 20.0 * FT) < 0.1 {
            -1.5 * INCH
        } else {
            0.0
        }
    });
    let s = Searcher::new(&floor, Departure::Dip, Ground::Surveyed, Joints::Stop);
    let sampled = s.sampled(&floor, 10.0 * FT, 5.0 * FT);
    // Middles half a pitch off the centre, 8 by 8; the whole edge has room in four directions except
    // near the sides.
    assert!(sampled.placements.len() > 100 && sampled.placements.len() <= 256);
    assert!(
        sampled
            .placements
            .iter()
            .all(|p| p.chord_m() <= 10.0 * FT + 1e-9)
    );
    let r = one(&floor, "aci117-flat", &JudgeOptions::default());
    assert!(found(&r.parts[0]).share_over.unwrap() < 0.1);
    assert_eq!(
        r.parts[0].verdict(),
        Verdict::Within,
        "{}",
        r.parts[0].reason
    );
    assert_eq!(r.parts[1].verdict(), Verdict::Out);
    assert_eq!(r.verdict(), Verdict::Out);
    assert_eq!(r.sureness, Sureness::FromMemory);
}

// ORACLE: hand. Readings every 2 m; two neighbours 20 mm apart in height prove a radius of 3 m out though the floor between them is
//         not known, and a floor of equal readings proves nothing.
#[test]
fn two_readings_within_a_radius_prove_it_out() {
    let word = |height: f64| {
        let floor = turned_grid(6, 5, 2.0, 0.0, move |x, y| {
            if x > 3.9 && x < 4.1 && y < 0.1 {
                height
            } else {
                0.0
            }
        });
        let r = one(&floor, "3 mm in 3 m radius", &JudgeOptions::default());
        (r.parts[0].verdict(), r.parts[0].clone())
    };
    let (verdict, part) = word(0.020);
    assert_eq!(verdict, Verdict::Out, "{}", part.reason);
    assert!((found(&part).gap_m - 0.020).abs() < 1e-12);
    assert!(
        part.reason.contains("Two readings within"),
        "{}",
        part.reason
    );
    assert_eq!(word(0.0).0, Verdict::NotTested);
}

// ORACLE: hand. Two spots within a radius of one place lie up to two radii apart: on a plane of 1 in 100, read every 2 m, readings 4 m apart
//         differ by 40 mm and are within 2.1 m of the place between them.
#[test]
fn readings_two_radii_apart_are_within_the_radius_of_the_place_between() {
    let floor = turned_grid(6, 2, 2.0, 0.0, |x, _| x / 100.0);
    let r = one(&floor, "30 mm in 2.1 m radius", &JudgeOptions::default());
    let part = &r.parts[0];
    assert_eq!(part.verdict(), Verdict::Out, "{}", part.reason);
    assert!(
        (found(part).gap_m - 0.040).abs() < 1e-12,
        "{}",
        found(part).gap_m
    );
}

// ORACLE: hand. Ten-foot differences along lines: a lift of 20 mm from the 15th reading on shows in every pair astride of it, whichever
//         reading the line begins with. The floor's own readings are no grid of 3 m.
#[test]
fn where_a_line_starts_does_not_decide() {
    let floor = turned_grid(5, 4, 2.0, 0.0, |_, _| 0.0);
    let share = |skip: usize| {
        let line = SampleLine {
            name: "a".into(),
            interval_m: FT,
            elevations_m: (skip..40)
                .map(|i| if i < 15 { 0.0 } else { 0.020 })
                .collect(),
            start: None,
            end: None,
        };
        let options = JudgeOptions {
            lines: vec![line],
            ..JudgeOptions::default()
        };
        let r = one(&floor, "tr34-fm2", &options);
        let part = &r.parts[0];
        (part.verdict(), found(part).largest_m())
    };
    for skip in 0..10 {
        let (verdict, largest) = share(skip);
        assert_eq!(verdict, Verdict::Out, "{skip}");
        assert!((largest - 0.020).abs() < 1e-12, "{skip}: {largest}");
    }
}

#[test]
fn lines_for_free_movement_floors() {
    let flat = turned_grid(5, 4, 3.0, 0.0, |_, _| 0.0);
    let none = one(&flat, "tr34-fm2", &JudgeOptions::default());
    assert_eq!(
        none.parts[0].verdict(),
        Verdict::Within,
        "{}",
        none.parts[0].reason
    );
    assert_eq!(none.parts[1].verdict(), Verdict::NotTested);
    let line = |step: f64| SampleLine {
        name: "a".into(),
        interval_m: 0.3,
        elevations_m: (0..40)
            .map(|i| if i % 2 == 0 { 0.0 } else { step })
            .collect(),
        start: None,
        end: None,
    };
    // A zigzag of s has second differences of 2 s: 1.0 mm against 2.0, and 2.4 mm.
    for (step, verdict) in [(0.0005, Verdict::Within), (0.0012, Verdict::Out)] {
        let options = JudgeOptions {
            lines: vec![line(step)],
            ..JudgeOptions::default()
        };
        assert_eq!(one(&flat, "tr34-fm2", &options).parts[1].verdict(), verdict);
    }
}

// ORACLE: hand: along each wall of a floor that is a plane the profile is that plane.
#[test]
fn a_profile_along_the_edge_of_the_floor_is_drawn() {
    let floor = turned_grid(5, 4, 1.0, 0.0, |x, y| 0.01 * x + 0.02 * y);
    let p = Point::new;
    for (from, to) in [
        (p(0.0, 0.0), p(4.0, 0.0)),
        (p(4.0, 0.0), p(0.0, 0.0)),
        (p(0.0, 3.0), p(4.0, 3.0)),
        (p(0.0, 0.0), p(0.0, 3.0)),
        (p(4.0, 3.0), p(4.0, 0.0)),
        (p(1.0, 0.0), p(1.0, 3.0)),
    ] {
        let edge = Placement {
            from,
            to,
            at: from.lerp(to, 0.5),
            gap_m: 0.0,
        };
        let line = section(&floor, &edge, 0.1);
        let (first, last) = (line.first().unwrap(), line.last().unwrap());
        assert!(first.along_m.abs() < 1e-9, "{from:?} {to:?}");
        assert!(
            (last.along_m - from.distance(to)).abs() < 1e-9,
            "{from:?} {to:?}"
        );
        for s in &line {
            let want = 0.01 * s.at.x + 0.02 * s.at.y;
            assert!((s.floor_m - want).abs() < 1e-9, "{from:?} {to:?} {s:?}");
        }
    }
}

// ORACLE: closed form. A V of slope k: dip(l) = k l / 2. Line 3 allows 2 mm up to 0.325 m, which readings every
//         0.08 m resolve and readings every 0.1 m do not; 7 mm at 2.4 m and 8 mm at 3 m.
#[test]
fn a_limit_that_follows_the_distance() {
    let floor = |step: f64, k: f64| {
        let middle = 15.0 * step;
        turned_grid(31, 31, step, 0.0, move |x, _| k * (x - middle).abs())
    };
    let options = JudgeOptions {
        both_ways: false,
        ..JudgeOptions::default()
    };
    let judged = |step, k| one(&floor(step, k), "din18202-line3", &options);
    // Slope 4 mm/m: 4.8 mm at 2.4 m, 0.65 mm at 0.325 m.
    let fine = judged(0.08, 0.004);
    assert_eq!(fine.verdict(), Verdict::Within, "{}", fine.parts[0].reason);
    assert!(fine.parts[0].reason.contains("at every distance"));
    // The same floor read less closely: the shortest distances stay untested, and so does the check.
    let partly = judged(0.1, 0.004);
    assert_eq!(
        partly.verdict(),
        Verdict::NotTested,
        "{}",
        partly.parts[0].reason
    );
    // All but the first step, which ends at 0.325 m (told to 10 mm), up to the diagonal of 30 by 30 squares of 0.1 m.
    let said = &partly.parts[0].reason;
    assert!(
        said.contains("contact points over 0.32 m and up to 4.24 m apart only"),
        "{said}"
    );
    let every = partly.parts[0].to_read().unwrap().every_m;
    assert!((every.unwrap() - 0.325 / 4.0).abs() < 1e-6, "{every:?}");
    // Slope 7 mm/m: 8.4 mm at 2.4 m, 10.5 mm at 3 m; one step that is out puts the check out.
    for step in [0.08, 0.1] {
        let out = judged(step, 0.007);
        assert_eq!(out.verdict(), Verdict::Out, "{}", out.parts[0].reason);
        assert!(found(&out.parts[0]).gap_m > out.parts[0].allowance_m);
    }
}

// ORACLE: the rule of docs/methods.md: 95 % of what is not left aside. 100 m2 less a strip of 20 m2: 76 m2 are enough, 75 are not.
#[test]
fn a_room_is_judged_from_ninety_five_hundredths_on() {
    let judged = |judged_m2: f64| birdbath::flatness::Judged {
        judged_m2,
        room_m2: 100.0,
        aside_m2: 20.0,
        needed_m: 0.5,
        farthest_m: 0.4,
        ..Default::default()
    };
    assert!(judged(76.0 + 1e-9).enough() && judged(80.0).enough());
    assert!(!judged(75.0).enough() && !judged(73.0).enough());
}

// ORACLE: hand. A grid of 2 ft under a radius of 1 ft: 6 x 0.3048 - 4 x 0.3048 is a hair over 0.6096, and readings 2 ft apart are within
//         the radius all the same. Places off by up to 2 cm change nothing of a pair that stands out.
#[test]
fn a_radius_of_half_a_grid_reaches_from_mark_to_mark() {
    let ft = 0.3048;
    let grid = |nudge: f64| -> Floor {
        let readings = (0..30)
            .map(|k| {
                let (i, j) = (k % 6, k / 6);
                let off = nudge * f64::from((k * 7) % 5 - 2) / 2.0;
                let at = Point::new(f64::from(2 * i) * ft + off, f64::from(2 * j) * ft - off);
                reading(&format!("P{k}"), at, if i >= 3 { 0.009 } else { 0.0 })
            })
            .collect();
        Floor::build(&Survey::new("", readings).unwrap())
            .unwrap()
            .floor
    };
    for (nudge, radius) in [
        (0.0, "1 ft"),
        (0.02, "1.2 ft"),
        (0.02, "1.5 ft"),
        (0.02, "1.9 ft"),
    ] {
        let r = one(
            &grid(nudge),
            &format!("3 mm in {radius} radius"),
            &JudgeOptions::default(),
        );
        assert_eq!(
            r.parts[0].verdict(),
            Verdict::Out,
            "{nudge} {radius}: {}",
            r.parts[0].reason
        );
        assert!(found(&r.parts[0]).gap_m > 0.009 - 1e-9);
    }
}

// ORACLE: the plain list of threes along rows and columns of a grid, counted by hand: 7 in each of 9 rows and as many in the columns. Which of two
//         neighbours comes first is a matter of rounding where they stand above one another: no shift, turn or 2 mm of place loses one. Three places off by 1 in 300
//         each leave the middle of the outer two by less than the 2 % that are allowed.
#[test]
fn no_three_of_a_grid_is_lost_by_rounding() {
    let height = |i: usize, j: usize| ((i * 37 + j * 61 + i * j * 13) % 11) as f64 * 0.0005;
    let worst = (0..9)
        .flat_map(|j| (1..8).map(move |i| (i, j)))
        .flat_map(|(i, j)| {
            let off = |a: f64, m: f64, b: f64| ((a + b) / 2.0 - m).abs();
            [
                off(height(i - 1, j), height(i, j), height(i + 1, j)),
                off(height(j, i - 1), height(j, i), height(j, i + 1)),
            ]
        })
        .fold(0.0, f64::max);
    let mut noise = Stream::new(11);
    for (turn, shift, jitter) in [
        (0.0, 0.0, 0.0),
        (PI / 2.0, 0.0, 0.0),
        (0.7, 3.0, 0.0),
        (0.0, 2.4, 1.0 / 300.0),
        (PI / 2.0, -1.1, 1.0 / 300.0),
        (0.3, 0.0, 1.0 / 300.0),
    ] {
        for pitch in [0.3, 0.6096, 0.5] {
            let (sin, cos) = f64::sin_cos(turn);
            let readings = (0..81)
                .map(|k| {
                    let mut off = || jitter * pitch * (2.0 * noise.unit() - 1.0);
                    let (x, y) = (
                        (k % 9) as f64 * pitch + off(),
                        (k / 9) as f64 * pitch + off(),
                    );
                    let at = Point::new(cos * x - sin * y + shift, sin * x + cos * y - shift);
                    reading(&format!("P{k}"), at, height(k % 9, k / 9))
                })
                .collect();
            let floor = Floor::build(&Survey::new("", readings).unwrap())
                .unwrap()
                .floor;
            let grid = midpoint(&floor, pitch, &[]);
            assert_eq!(
                grid.placements.len(),
                126,
                "{turn} {shift} {jitter} {pitch}"
            );
            assert!((grid.worst().unwrap().gap_m - worst).abs() < 1e-12);
            assert_eq!(neighbours(&floor, pitch, &[]).placements.len(), 144);
        }
    }
}
