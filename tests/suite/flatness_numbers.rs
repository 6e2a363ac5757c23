//! F-numbers and hull gaps of a published pad, and closed forms.

use crate::support::meshes::from_triangles;
use birdbath::flatness::edge::search;
use birdbath::flatness::fnumber::{ACI_CLASSES, Constants, FNumber, ceilings, combine, line};
use birdbath::flatness::profile::{profile_gap, reading_gap};
use birdbath::flatness::test_section::section;
use birdbath::flatness::{Departure, NMinRule, SampleLine, SearchOptions, SectionLayout};
use birdbath::geometry::{Point, Region, Ring, Segment};
use std::f64::consts::PI;

const MIL: f64 = 0.0254e-3;

/// Columns of a pad table, blank cells left out, in millimetres.
fn columns(text: &str) -> Vec<Vec<f64>> {
    let mut out = vec![Vec::new(); 6];
    for row in text.lines().skip(1) {
        for (column, cell) in out.iter_mut().zip(row.split(',').skip(1)) {
            if !cell.is_empty() {
                column.push(cell.parse().unwrap());
            }
        }
    }
    out
}

/// Heights of the six lines in whole thousandths of an inch, as they were read.
pub fn pad_mils() -> Vec<Vec<f64>> {
    columns(include_str!("../../fixtures/pad/elevations_mm.csv"))
        .into_iter()
        .map(|c| c.into_iter().map(|mm| (mm / 0.0254).round()).collect())
        .collect()
}

fn sample(name: &str, interval_m: f64, elevations_m: Vec<f64>) -> SampleLine {
    SampleLine {
        name: name.into(),
        interval_m,
        elevations_m,
        start: None,
        end: None,
    }
}

fn pad_lines() -> Vec<SampleLine> {
    pad_mils()
        .into_iter()
        .enumerate()
        .map(|(j, h)| {
            sample(
                &format!("line {j}"),
                0.3,
                h.into_iter().map(|v| v * MIL).collect(),
            )
        })
        .collect()
}

fn value(f: FNumber) -> f64 {
    f.value().unwrap_or_else(|| panic!("{f:?}"))
}

// ORACLE:    published: 62 curvatures of lines 0 to 4 and 11 of line 5.
// SOURCE:    fixtures/pad/ORIGIN.md.
// TOLERANCE: 0.0006 mm: the table prints thousandths of a millimetre.
#[test]
fn every_published_curvature_of_the_pad() {
    let published = columns(include_str!("../../fixtures/pad/curvatures_mm.csv"));
    assert_eq!(
        published.iter().map(Vec::len).collect::<Vec<_>>(),
        [12, 13, 12, 12, 13, 11]
    );
    for (l, q) in pad_lines().iter().zip(&published) {
        let found = line(l, Constants::Exact).q.values_m;
        assert_eq!(found.len(), q.len());
        for (a, b) in found.iter().zip(q) {
            assert!((a * 1000.0 - b).abs() <= 0.0006, "{} {a} {b}", l.name);
        }
    }
    // Line 0 in whole thousandths of an inch.
    let mils: Vec<i64> = line(&pad_lines()[0], Constants::Exact)
        .q
        .values_m
        .iter()
        .map(|q| (q / MIL).round() as i64)
        .collect();
    assert_eq!(
        mils,
        [25, -4, -15, -77, -18, 57, 24, -73, -31, 44, -74, -57]
    );
}

// ORACLE:    independent code (derived, not published): recomputed from the published heights in whole
//            thousandths of an inch, divisor n - 1, constants 4.57 in and 12.5 in.
// SOURCE:    fixtures/pad/ORIGIN.md; line 5's levelness hangs on its rebuilt heights.
// TOLERANCE: 0.0006, the last printed digit.
#[test]
fn flatness_and_levelness_of_the_pad() {
    let ff = [28.844, 20.445, 34.627, 18.502, 32.489, 30.414];
    let fl = [20.209, 45.986, 39.546, 46.658, 37.225, 31.394];
    let results: Vec<_> = pad_lines()
        .iter()
        .map(|l| line(l, Constants::Exact))
        .collect();
    for (i, r) in results.iter().enumerate() {
        assert!((value(r.q.f) - ff[i]).abs() < 6e-4, "line {i}: {:?}", r.q.f);
        assert!((value(r.z.f) - fl[i]).abs() < 6e-4, "line {i}: {:?}", r.z.f);
    }
    assert!((results[0].q.mean_m / MIL - -16.583).abs() < 6e-4);
    assert!((results[0].q.deviation_m / MIL - 47.285).abs() < 6e-4);
    let all = section(
        &pad_lines(),
        &SectionLayout::default(),
        Constants::Exact,
        None,
    );
    assert!((value(all.ff) - 25.217).abs() < 6e-4);
    let five = section(
        &pad_lines()[..5],
        &SectionLayout::default(),
        Constants::Exact,
        None,
    );
    assert!((value(five.fl) - 33.033).abs() < 6e-4);
    // The same in the other order: combining is a mean.
    let mut back = pad_lines();
    back.reverse();
    let turned = section(&back, &SectionLayout::default(), Constants::Exact, None);
    assert!((value(turned.ff) - value(all.ff)).abs() < 1e-9);
}

// ORACLE:    independent code (derived): depth below the upper hull in a sliding window, recomputed from
//            the published heights. Windows of 2 intervals (0.6 m) and 10 (3.0 m); the latter with
//            its left contact, lowest point and right contact.
// TOLERANCE: 0.0006 mm.
#[test]
fn hull_gaps_of_the_pad_by_line_and_by_search() {
    let short = [0.724, 1.283, 0.635, 1.791, 1.016, 0.508];
    let long = [
        (1.524, [4, 6, 8]),
        (1.992, [2, 4, 11]),
        (1.749, [1, 5, 8]),
        (1.796, [3, 5, 10]),
        (1.538, [0, 7, 9]),
        (0.881, [7, 8, 10]),
    ];
    for (j, h) in pad_mils().into_iter().enumerate() {
        let points: Vec<(f64, f64)> = h
            .iter()
            .enumerate()
            .map(|(i, z)| (0.3 * i as f64, z * MIL))
            .collect();
        let two = reading_gap(&points, 0.6).unwrap();
        assert!(
            (two.gap_m * 1000.0 - short[j]).abs() < 6e-4,
            "line {j}: {two:?}"
        );
        let ten = reading_gap(&points, 3.0).unwrap();
        assert!(
            (ten.gap_m * 1000.0 - long[j].0).abs() < 6e-4,
            "line {j}: {ten:?}"
        );
        let at = [ten.left_m, ten.low_m, ten.right_m].map(|d| (d / 0.3).round() as i32);
        assert_eq!(at, long[j].1, "line {j}");
        // Ends between readings can only find more, and a strip's search finds just that.
        let any = profile_gap(&points, 3.0).unwrap().gap_m;
        assert!(
            any >= ten.gap_m - 1e-12 && any < ten.gap_m * 1.2,
            "line {j}: {any}"
        );
        // The same heights as a narrow strip of floor: no direction beats along the line.
        let n = points.len() as u32;
        let strip: Vec<(f64, f64, f64)> = [0.0, 0.1]
            .iter()
            .flat_map(|y| points.iter().map(move |p| (p.0, *y, p.1)))
            .collect();
        let triangles = (0..n - 1)
            .flat_map(|i| [[i, i + 1, n + i + 1], [i, n + i + 1, n + i]])
            .collect();
        let floor = from_triangles(&strip, triangles);
        let options = SearchOptions {
            tolerance_m: 5e-6,
            ..SearchOptions::default()
        };
        let r = search(&floor, Departure::Dip, 3.0, &options, &|_| ());
        assert!(
            r.complete && r.gap_m() <= any + 1e-9 && any <= r.bound_m,
            "{r:?}"
        );
    }
}

// ORACLE:    independent code (derived): the narrowest vertical band between two parallel lines that holds all
//            of a line's points (minimum-zone straightness), recomputed from the published heights. Where
//            the band touches, two points on one side stand to either side of one on the other: so its
//            height is the larger of dip and hump under an edge as long as the line.
// TOLERANCE: 0.0006 mm.
#[test]
fn minimum_zones_of_the_pad() {
    let lines = pad_mils();
    for (line, zone_mm) in [(0, 7.964), (3, 2.964)] {
        let worst = [1.0, -1.0]
            .map(|sign| {
                let points: Vec<(f64, f64)> = lines[line]
                    .iter()
                    .enumerate()
                    .map(|(i, z)| (0.3 * i as f64, sign * z * MIL))
                    .collect();
                profile_gap(&points, 100.0).map_or(0.0, |g| g.gap_m)
            })
            .into_iter()
            .fold(0.0, f64::max);
        assert!(
            (worst * 1000.0 - zone_mm).abs() < 6e-4,
            "line {line}: {worst}"
        );
    }
}

// ORACLE:    closed form.
// TOLERANCE: the last printed digit.
#[test]
fn combining_lines_and_sections() {
    let v = FNumber::Value;
    assert!((value(combine([(10.0, v(20.0)), (10.0, v(30.0))])) - 23.534).abs() < 6e-4);
    assert!((value(combine([(1000.0, v(20.0)), (3000.0, v(30.0))])) - 26.186).abs() < 6e-4);
    assert_eq!(combine([(5.0, FNumber::Unbounded)]), FNumber::Unbounded);
    assert_eq!(combine([(5.0, FNumber::TooFew)]), FNumber::TooFew);
}

// ORACLE:    closed form, inches.
#[test]
fn zigzag_ramp_parabola_and_waves() {
    let inch = 0.0254;
    let make = |n: usize, h: &dyn Fn(f64) -> f64| {
        sample("l", 0.3048, (0..n).map(|i| h(i as f64) * inch).collect())
    };
    let zig = line(
        &make(12, &|i| if i as i64 % 2 == 1 { 0.125 } else { 0.0 }),
        Constants::Exact,
    );
    assert!((zig.q.deviation_m / inch - 0.26352).abs() < 6e-6);
    assert!(zig.q.mean_m.abs() < 1e-12);
    assert!((value(zig.q.f) - 5.781).abs() < 6e-4);
    assert_eq!(zig.z.f, FNumber::Unbounded);
    let ramp = line(&make(12, &|i| 0.125 * i), Constants::Exact);
    assert_eq!(ramp.q.f, FNumber::Unbounded);
    assert!((value(ramp.z.f) - 10.0).abs() < 1e-9);
    assert!(ramp.q.f.words("curvature").contains("no curvature found"));
    let slope = line(&make(30, &|i| 0.025 * i), Constants::Exact);
    assert!((value(slope.z.f) - 50.0).abs() < 1e-9);
    // Sag 1/8 in in 10 ft: q = 8 * sag / 100 per square interval.
    let bowl = |i: f64| 0.125 * (i - 5.0) * (i - 5.0) / 25.0;
    let parabola = line(&make(40, &bowl), Constants::Exact);
    assert!(
        parabola
            .q
            .values_m
            .iter()
            .all(|q| (q / inch - 0.01).abs() < 1e-9)
    );
    assert!((value(parabola.q.f) - 457.0).abs() < 0.5);
    let profile: Vec<(f64, f64)> = (0..11)
        .map(|i| (0.3048 * f64::from(i), bowl(f64::from(i)) * inch))
        .collect();
    assert!((profile_gap(&profile, 3.048).unwrap().gap_m / inch - 0.125).abs() < 1e-9);
    // Many whole waves; the finite sample moves the deviation a little, hence two figures.
    let wave = |a: f64, l: f64| {
        value(
            line(
                &make(4001, &|i| a * (2.0 * PI * i / l + 0.3).sin()),
                Constants::Exact,
            )
            .q
            .f,
        )
    };
    assert!((wave(0.0625, 4.0) - 17.2).abs() < 0.1);
    assert!((wave(0.125, 10.0) - 45.1).abs() < 0.1);
}

// ORACLE:    closed form; a tilt of 0.3 mm per metre leaves q and gaps alone and moves z by 0.9 mm in 3 m.
#[test]
fn a_tilt_changes_levelness_only() {
    let base = &pad_lines()[2];
    let mut tilted = base.clone();
    for (i, h) in tilted.elevations_m.iter_mut().enumerate() {
        *h += 0.0003 * 0.3 * i as f64;
    }
    let (a, b) = (
        line(base, Constants::Exact),
        line(&tilted, Constants::Exact),
    );
    for (p, q) in a.q.values_m.iter().zip(&b.q.values_m) {
        assert!((p - q).abs() < 1e-12);
    }
    for (p, q) in a.z.values_m.iter().zip(&b.z.values_m) {
        assert!((q - p - 0.0009).abs() < 1e-12);
    }
}

// SOURCE: closed form from u = step / sqrt(12); 1/16 in: FF 34, FL 163; 1 mm: 55, 259.
#[test]
fn the_reading_step_caps_the_numbers() {
    let (ff, fl) = ceilings(0.0254 / 16.0, Constants::Exact);
    assert_eq!((ff.round(), fl.round()), (34.0, 163.0));
    let (ff, fl) = ceilings(0.001, Constants::Exact);
    assert_eq!((ff.round(), fl.round()), (55.0, 259.0));
    let s = section(
        &pad_lines(),
        &SectionLayout::default(),
        Constants::Exact,
        Some(0.0254 / 16.0),
    );
    assert!(
        s.warnings.iter().any(|w| w.contains("caps FF near 34")),
        "{:?}",
        s.warnings
    );
    let fine = section(
        &pad_lines(),
        &SectionLayout::default(),
        Constants::Exact,
        Some(MIL),
    );
    assert!(fine.warnings.is_empty());
}

#[test]
fn metric_constants_are_a_named_choice() {
    assert!((Constants::Exact.flatness_m() - 0.116078).abs() < 1e-9);
    assert!((Constants::Exact.levelness_m() - 0.3175).abs() < 1e-9);
    assert!((Constants::Rescaled.flatness_m() - 0.11245).abs() < 6e-6);
    assert!((Constants::Rescaled.levelness_m() - 0.3125).abs() < 6e-6);
}

// ORACLE: contract: the constants stand for readings 12 in or 300 mm apart; at another interval there is no number.
#[test]
fn another_interval_has_no_f_number() {
    let mut lines = pad_lines();
    let layout = SectionLayout::default();
    let right = section(&lines, &layout, Constants::Exact, None);
    assert!(right.ff.value().is_some());
    for interval_m in [0.25, 0.6, 0.6096] {
        lines[0].interval_m = interval_m;
        let wrong = section(&lines, &layout, Constants::Exact, None);
        assert_eq!(
            (wrong.ff, wrong.fl),
            (FNumber::OtherInterval, FNumber::OtherInterval)
        );
        assert!(wrong.ff.words("curvature").contains("12 in"));
    }
}

// SOURCE: ACI 117-10, 4.8.5.3: the least local value is three fifths of the overall one.
#[test]
fn least_local_values() {
    let flat = ACI_CLASSES.iter().find(|c| c.name == "flat").unwrap();
    assert_eq!((flat.ff, flat.fl), (35.0, 25.0));
    assert_eq!(flat.local(), (21.0, 15.0));
}

#[test]
fn layout_rules_are_checked_and_listed() {
    let p = Point::new;
    let outline = Ring::new(vec![p(0.0, 0.0), p(20.0, 0.0), p(20.0, 12.0), p(0.0, 12.0)]);
    let layout = SectionLayout {
        area_m2: Some(20.53),
        region: Some(Region {
            outline,
            voids: vec![],
        }),
        joints: vec![],
        n_min: NMinRule::SquareMetres,
        pen: birdbath::units::Pen::new(birdbath::units::Habit::Us),
    };
    let mut lines = pad_lines();
    let place = |l: &mut SampleLine, a: Point, b: Point| {
        l.start = Some(a);
        l.end = Some(b);
    };
    place(&mut lines[0], p(1.0, 1.0), p(4.9, 1.0));
    place(&mut lines[1], p(1.0, 2.5), p(4.9, 2.5));
    let good = section(&lines[..2], &layout, Constants::Exact, None).rules;
    assert_eq!(good.len(), 6);
    let of = |rules: &[birdbath::flatness::LayoutRule], word: &str| {
        rules.iter().find(|r| r.rule.contains(word)).unwrap().kept
    };
    assert_eq!(of(&good, "every 12 in"), Some(true));
    // ORACLE: hand: 1 m off the left wall, in the units of the job.
    assert!(good.iter().any(|r| r.found.contains("3 ft 3")), "{good:?}");
    assert_eq!(of(&good, "within 2 ft"), Some(true));
    // ORACLE: hand: a joint at x = 3 is crossed by both lines, one at x = 6 lies 1.1 m off their ends.
    for (x, kept) in [(3.0, false), (6.0, true)] {
        let jointed = SectionLayout {
            joints: vec![Segment::new(p(x, 0.0), p(x, 12.0))],
            ..layout.clone()
        };
        let rules = section(&lines[..2], &jointed, Constants::Exact, None).rules;
        assert_eq!(of(&rules, "within 2 ft"), Some(kept), "joint at {x}");
    }
    assert_eq!(of(&good, "parallel"), Some(true));
    assert_eq!(of(&good, "longest side"), Some(false));
    // 2 sqrt(20.53) = 9.06, so 10; two lines give 4 + 5 = 9.
    assert_eq!(of(&good, "enough"), Some(false));
    place(&mut lines[1], p(1.0, 1.5), p(4.9, 1.5));
    place(&mut lines[0], p(0.3, 1.0), p(4.2, 1.0));
    lines[1].interval_m = 0.25;
    lines[1].elevations_m.truncate(11);
    let bad = section(&lines[..2], &layout, Constants::Exact, None).rules;
    for word in ["every 12 in", "within 2 ft", "parallel", "at least 11 ft"] {
        assert_eq!(of(&bad, word), Some(false), "{word}");
    }
    let unknown = section(
        &pad_lines(),
        &SectionLayout::default(),
        Constants::Exact,
        None,
    )
    .rules;
    assert_eq!(of(&unknown, "parallel"), None);
    assert_eq!(NMinRule::SquareMetres.count(20.53), 10);
}
