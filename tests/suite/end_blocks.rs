//! An edge on two equal blocks at its ends: chords of the whole span alone, hollows below them and humps above.

use super::surveys::{built, room};
use crate::support::meshes::{Stream, from_triangles, height_at, turned_grid};
use birdbath::flatness::check::{by_name, parse};
use birdbath::flatness::{
    Departure, EdgeResult, Ground, Joints, JudgeOptions, Lengths, Procedure, SearchOptions,
    Searcher, Verdict, judge,
};
use birdbath::geometry::Point;
use birdbath::surface::Floor;
use birdbath::survey::Joint;
use std::f64::consts::PI;

const MIL: f64 = 0.0254e-3;
const WAYS: [(Departure, f64); 2] = [(Departure::Dip, 1.0), (Departure::Hump, -1.0)];

fn laid(floor: &Floor, departure: Departure, span_m: f64, lengths: Lengths) -> EdgeResult {
    let options = SearchOptions {
        tolerance_m: 1e-5,
        ..SearchOptions::default()
    };
    let r = Searcher::new(floor, departure, Ground::Surveyed, Joints::Cross)
        .with_lengths(lengths)
        .search(span_m, &options, &|_| ());
    assert!(r.complete && r.bound_m - r.gap_m() <= 1e-5 + 3e-9, "{r:?}");
    if let Some(w) = r.worst
        && lengths == Lengths::Whole
    {
        assert!((w.chord_m() - span_m).abs() < 1e-6, "{w:?}");
    }
    r
}

fn on_blocks(floor: &Floor, departure: Departure, span_m: f64) -> EdgeResult {
    laid(floor, departure, span_m, Lengths::Whole)
}

fn near(found: f64, expected: f64, what: &str) {
    assert!(
        (found - expected).abs() <= 1.1e-5,
        "{what}: found {found}, expected {expected}"
    );
}

// ORACLE:    closed form. A ridge with sides of slope k stands k L / 2 over the line of an edge across it whose ends are as far
//            off on either side; there is no hollow. The clause of NF DTU 13.3 stands the edge on two shims, and 9 mm in a metre are
//            9 mm under 2 m; resting on its high points the same edge shows 4.5 mm between the ridge and its lower end at most.
// TOLERANCE: 1e-5 m asked of the search.
#[test]
fn a_ridge_is_as_high_as_it_stands_over_the_line_between_the_blocks() {
    let k = 0.009;
    for turn in [0.0, 0.4, 1.9] {
        let floor = turned_grid(17, 4, 0.25, turn, |x, _| -k * (x - 2.0).abs());
        for span in [0.2, 1.0, 2.0, 3.0] {
            let hump = on_blocks(&floor, Departure::Hump, span).gap_m();
            near(hump, k * span / 2.0, "ridge");
            near(
                on_blocks(&floor, Departure::Dip, span).gap_m(),
                0.0,
                "hollow",
            );
        }
    }
}

// ORACLE:    closed form. A nub of height h and half width w at the bottom of a valley of slope k: its neighbours lie at k w. An edge
//            of 2 w standing there shows h - k w. No whole edge of 2 m that fits a strip so narrow has the nub over its line: h < 2 k w.
//            The valley's depth under that edge is k L / 2 less what the nub fills of it: deepest at the nub's foot.
#[test]
fn a_nub_in_a_hollow_is_no_hump_under_the_whole_edge() {
    let (k, w, h) = (0.004, 0.25, 0.0015);
    let floor = turned_grid(17, 3, w, 0.0, |x, _| {
        let off = (x - 2.0).abs();
        if off < 1e-9 { h } else { k * off }
    });
    near(
        laid(&floor, Departure::Hump, 2.0, Lengths::UpTo).gap_m(),
        h - k * w,
        "up to the span",
    );
    near(
        on_blocks(&floor, Departure::Hump, 2.0).gap_m(),
        0.0,
        "whole",
    );
    // Foot at w on one side; ends at -(1 - c) and 1 + c about it, both on the valley's sides: over the foot the line stands
    // k ((1 - c) (1 + c - w) + (1 + c) (1 - c + w)) / 2 = k (1 - c^2 + c w), most at c = w / 2.
    let depth = k * (1.0 + w * w / 4.0) - k * w;
    near(
        on_blocks(&floor, Departure::Dip, 2.0).gap_m(),
        depth,
        "foot",
    );
}

// ORACLE: closed form. Two level slabs with a joint and a step: a block on the upper lip, and the floor right beside it lies the step
//         lower; upside down the same. So for any span.
#[test]
fn a_step_is_a_hollow_and_a_hump_of_its_own_height() {
    let floor = crate::straight_edge::two_slabs(0.005);
    for span in [0.6, 2.0] {
        for (departure, _) in WAYS {
            let r = laid(&floor, departure, span, Lengths::Whole);
            near(r.gap_m(), 0.005, "step");
        }
    }
}

// ORACLE: closed form. Panels 2 m wide, the middle one sunk by 6 mm: an edge of 2 m straight across stands on both upper lips over it, 6 mm
//         clear; and with one end in the sunk panel, right at the foot of a lip, that lip stands 6 mm over the line. For 1 m the lips of one
//         joint show the same.
#[test]
fn joints_just_an_edge_apart_carry_it_on_both_their_upper_lips() {
    let points: Vec<[f64; 3]> = (0..24)
        .flat_map(|i| {
            (0..4).map(move |j| (0.125 + 0.25 * f64::from(i), 0.125 + 0.25 * f64::from(j)))
        })
        .map(|(x, y)| [x, y, if (2.0..4.0).contains(&x) { -0.006 } else { 0.0 }])
        .collect();
    let mut walls = room(&[[0.0, 0.0], [6.0, 0.0], [6.0, 1.0], [0.0, 1.0]], &[]);
    walls.joints = [2.0, 4.0]
        .map(|x| Joint {
            name: format!("J{x}"),
            line: vec![Point::new(x, 0.0), Point::new(x, 1.0)],
            movement: false,
        })
        .to_vec();
    let floor = built(&points, Some(walls)).floor;
    for span in [1.0, 2.0] {
        for (departure, _) in WAYS {
            near(on_blocks(&floor, departure, span).gap_m(), 0.006, "lips");
        }
    }
    // No edge is longer than the floor, and none that is cut short is told for one.
    for (departure, _) in WAYS {
        let r = on_blocks(&floor, departure, 7.0);
        assert!(r.worst.is_none() && !r.full_span_laid, "{r:?}");
    }
}

/// A line of the pad as a narrow strip, heights in metres.
fn strip(mils: &[f64]) -> Floor {
    let n = mils.len() as u32;
    let points: Vec<(f64, f64, f64)> = [0.0, 0.1]
        .iter()
        .flat_map(|y| {
            mils.iter()
                .enumerate()
                .map(move |(i, z)| (0.3 * i as f64, *y, z * MIL))
        })
        .collect();
    let triangles = (0..n - 1)
        .flat_map(|i| [[i, i + 1, n + i + 1], [i, n + i + 1, n + i]])
        .collect();
    from_triangles(&points, triangles)
}

// ORACLE:    independent code (derived from published heights, not published): the largest hollow and hump at a reading about the line
//            between two readings 3.0 m apart, with the line's two readings and the place; millimetres.
// SOURCE:    heights: fixtures/pad/ORIGIN.md.
// TOLERANCE: 0.001 mm: the table was worked out from heights in thousandths of a millimetre, the readings are thousandths of an inch.
#[test]
fn hollows_and_humps_of_the_pad_on_end_blocks() {
    type Most = Option<(f64, usize, usize)>;
    let table: [(Most, Most); 5] = [
        (None, Some((5.182, 3, 8))),
        (Some((1.554, 2, 4)), Some((3.295, 4, 11))),
        (Some((1.097, 1, 5)), Some((3.137, 3, 8))),
        (Some((1.148, 3, 5)), Some((2.527, 1, 10))),
        (Some((1.232, 0, 7)), Some((3.028, 4, 10))),
    ];
    let lines = crate::flatness_numbers::pad_mils();
    for (line, (mils, expected)) in lines.iter().zip(table).enumerate() {
        let floor = strip(mils);
        for ((departure, sign), most) in WAYS.into_iter().zip([expected.0, expected.1]) {
            // Readings alone, three in a line: ends a whole span apart.
            let rows = Searcher::in_rows(&floor, departure, Joints::Cross, &[])
                .with_lengths(Lengths::Whole)
                .search(3.0, &SearchOptions::default(), &|_| ());
            let Some((gap_mm, from, at)) = most else {
                assert_eq!(rows.gap_m(), 0.0, "line {line}");
                continue;
            };
            assert!((rows.gap_m() * 1000.0 - gap_mm).abs() < 1e-3, "{rows:?}");
            let w = rows.worst.unwrap();
            let place = |p: Point| (p.x / 0.3).round() as usize;
            let ends = (place(w.from).min(place(w.to)), place(w.at));
            assert_eq!(ends, (from, at), "line {line}");
            // Ends between readings can only show more: own scan over the line, one end at each tenth of a millimetre.
            let z = |x: f64| {
                let i = ((x / 0.3).floor() as usize).min(mils.len() - 2);
                (mils[i] + (mils[i + 1] - mils[i]) * (x / 0.3 - i as f64)) * MIL
            };
            let long = 0.3 * (mils.len() - 1) as f64;
            let mut scanned = 0.0f64;
            for k in 0..=((long - 3.0) * 1e4) as usize {
                let a = k as f64 * 1e-4;
                let line = |x: f64| z(a) + (z(a + 3.0) - z(a)) * (x - a) / 3.0;
                for i in 0..mils.len() {
                    let x = 0.3 * i as f64;
                    if x >= a && x <= a + 3.0 {
                        scanned = scanned.max(sign * (line(x) - z(x)));
                    }
                }
            }
            let found = on_blocks(&floor, departure, 3.0);
            assert!(
                scanned <= found.bound_m + 1e-9 && scanned >= gap_mm / 1000.0 - 1e-6,
                "line {line}: {scanned} {found:?}"
            );
            // The strip is 0.1 m wide, and an edge askew in it is short by half a per mille: less than a hundredth of a millimetre.
            assert!(
                found.gap_m() <= scanned + 1e-5,
                "line {line}: {scanned} {found:?}"
            );
        }
    }
}

// ORACLE: independent code: an edge of the whole span at 4,000 random places in random directions, heights by looking at every triangle
//         at 24 places under it; then the deepest twelve moved about by halved steps. None beats the bound, and they come near the gap.
#[test]
fn no_edge_laid_at_random_beats_the_bound() {
    for seed in [3, 8] {
        let mut s = Stream::new(seed);
        let bumps: Vec<f64> = (0..11 * 9).map(|_| 0.002 * s.normal()).collect();
        let floor = turned_grid(11, 9, 0.4, 0.3, |x, y| {
            bumps[(y / 0.4).round() as usize * 11 + (x / 0.4).round() as usize]
        });
        for (departure, sign) in WAYS {
            for span in [0.5, 1.5, 2.6] {
                let r = on_blocks(&floor, departure, span);
                let shown = |p: [f64; 3]| -> Option<f64> {
                    let along = Point::new(p[2].cos(), p[2].sin()) * span;
                    let a = Point::new(p[0], p[1]);
                    let (za, zb) = (height_at(&floor, a)?, height_at(&floor, a + along)?);
                    let mut most = f64::MIN;
                    for i in 1..24 {
                        let t = f64::from(i) / 24.0;
                        let m = height_at(&floor, a + along * t)?;
                        most = most.max(sign * (za + (zb - za) * t - m));
                    }
                    Some(most)
                };
                let mut tried: Vec<(f64, [f64; 3])> = (0..4_000)
                    .filter_map(|_| {
                        let p = [s.unit() * 6.0 - 1.5, s.unit() * 5.0, s.unit() * 2.0 * PI];
                        Some((shown(p)?, p))
                    })
                    .collect();
                tried.sort_by(|a, b| b.0.total_cmp(&a.0));
                tried.truncate(12);
                let mut best = 0.0f64;
                for (mut most, mut p) in tried {
                    let mut step = 0.1;
                    while step > 1e-4 {
                        let moved = (0..3)
                            .flat_map(|k| [step, -step].map(|d| (k, d)))
                            .filter_map(|(k, d)| {
                                let mut q = p;
                                q[k] += d;
                                Some((shown(q)?, q))
                            })
                            .max_by(|a, b| a.0.total_cmp(&b.0));
                        match moved {
                            Some((m, q)) if m > most => (most, p) = (m, q),
                            _ => step /= 2.0,
                        }
                    }
                    best = best.max(most);
                }
                assert!(
                    best <= r.bound_m + 1e-9,
                    "{departure:?} {span}: {best} {r:?}"
                );
                assert!(
                    best >= 0.7 * r.gap_m(),
                    "{departure:?} {span}: {best} {r:?}"
                );
                // What is told can be laid: ends on the floor, the whole span apart, and the gap between them.
                let w = r.worst.unwrap();
                let inward = |p: Point| p.lerp(w.at, 1e-9);
                let [a, b, m] =
                    [inward(w.from), inward(w.to), w.at].map(|p| height_at(&floor, p).unwrap());
                let k = w.from.distance(w.at) / w.chord_m();
                near(sign * (a + (b - a) * k - m), w.gap_m, "as laid");
            }
        }
    }
}

// ORACLE: hand. The ridge of 9 mm in a metre: 9 mm over the line of a 2 m edge where 7 mm is allowed, and 0.9 mm over that of 0.2 m
//         where 2 mm is; nothing below either.
#[test]
fn the_french_slab_rule_finds_a_ridge_out_that_a_resting_edge_passes() {
    let floor = turned_grid(81, 5, 0.05, 0.0, |x, _| -0.009 * (x - 2.0).abs());
    let check = by_name("dtu13.3-glued").unwrap();
    let resting = parse("7 mm in 2 m").unwrap();
    let results = judge(
        &floor,
        &[check.clone(), resting],
        &JudgeOptions::default(),
        &|_| (),
    );
    let told: Vec<(Procedure, f64, Verdict)> = results[0]
        .parts
        .iter()
        .map(|p| {
            let gap = p.measured().map_or(f64::NAN, |m| m.gap_m * 1000.0);
            (p.procedure, (gap * 100.0).round() / 100.0, p.verdict())
        })
        .collect();
    assert_eq!(
        told,
        [
            (Procedure::EndBlocksHollow, 0.0, Verdict::Within),
            (Procedure::EndBlocksHump, 9.0, Verdict::Out),
            (Procedure::EndBlocksHollow, 0.0, Verdict::Within),
            (Procedure::EndBlocksHump, 0.9, Verdict::Within),
        ]
    );
    assert_eq!(results[1].parts[0].verdict(), Verdict::Within);
}

#[test]
fn a_rule_in_words_stands_the_edge_on_blocks_and_is_held_both_ways() {
    for words in [
        "3 mm in 2 m, on end blocks",
        "3 mm in 2 m, blocks",
        "3 mm in 2 m, on-blocks",
    ] {
        let parts = parse(words).unwrap().parts;
        let used: Vec<Procedure> = parts.iter().map(|p| p.procedure).collect();
        assert_eq!(
            used,
            [Procedure::EndBlocksHollow, Procedure::EndBlocksHump],
            "{words}"
        );
    }
}

// ORACLE: hand. The diagonal of 1.2 by 1.2 m is 1.70 m: no 2 m edge stands there on its two blocks, whatever the floor.
#[test]
fn where_the_whole_edge_finds_no_room_nothing_is_tested() {
    let floor = turned_grid(13, 13, 0.1, 0.0, |x, _| 0.02 * x * x);
    let check = parse("3 mm in 2 m, on end blocks and 3 mm in 1.6 m, on end blocks").unwrap();
    let parts = &judge(&floor, &[check], &JudgeOptions::default(), &|_| ())[0].parts;
    for p in &parts[..2] {
        assert_eq!(p.verdict(), Verdict::NotTested);
        assert!(p.reason.contains("no room"), "{}", p.reason);
    }
    assert_eq!(parts[2].verdict(), Verdict::Out);
}
