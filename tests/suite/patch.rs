//! Patch plans: closed forms, another solver, properties, refusals.

use super::surveys::{built, height, room};
use birdbath::flatness::{
    ChordLimit, Departure, Ground, Joints, JudgeOptions, Lengths, Procedure, ReadingDoubt,
    chance_after,
};
use birdbath::geometry::{Point, Region, Ring};
use birdbath::patch::{FullPour, PatchError, PatchLimit, PatchPlan, PatchRequest, plan};
use birdbath::surface::{Floor, Source, Vertex};
use birdbath::survey::{Elevation, Joint, Reading, Room, Survey};
use proptest::prelude::*;
use serde::Deserialize;
use std::collections::BTreeMap;

fn quiet(_: f64) {}

/// A dip limit.
pub fn dip(span_m: f64, allowance_m: f64) -> PatchLimit {
    PatchLimit {
        departure: Departure::Dip,
        span_m,
        lengths: Lengths::UpTo,
        allowance_m,
        joints: Joints::Cross,
    }
}

/// A hump limit.
pub fn hump(span_m: f64, allowance_m: f64) -> PatchLimit {
    PatchLimit {
        departure: Departure::Hump,
        span_m,
        lengths: Lengths::UpTo,
        allowance_m,
        joints: Joints::Cross,
    }
}

/// A request for these limits and nothing else.
pub fn asked(limits: Vec<PatchLimit>) -> PatchRequest<'static> {
    PatchRequest {
        limits,
        ..PatchRequest::default()
    }
}

/// The plan; the test fails with the reason when there is none.
pub fn solved(floor: &Floor, request: &PatchRequest<'_>) -> PatchPlan {
    plan(floor, request, &quiet).unwrap_or_else(|e| panic!("{e}"))
}

/// A strip of squares: one profile across, the same at every step along.
fn trough(across: &[(f64, f64)], along: &[f64]) -> Floor {
    let mut vertices = Vec::new();
    for &y in along {
        for &(x, z) in across {
            vertices.push(Vertex {
                at: Point::new(x, y),
                z,
                source: Source::Reading(vertices.len() as u32),
            });
        }
    }
    let n = across.len() as u32;
    let mut triangles = Vec::new();
    for j in 0..along.len() as u32 - 1 {
        for i in 0..n - 1 {
            let a = j * n + i;
            triangles.push([a, a + 1, a + n + 1]);
            triangles.push([a, a + n + 1, a + n]);
        }
    }
    let (x0, x1) = (across[0].0, across[across.len() - 1].0);
    let (y0, y1) = (along[0], along[along.len() - 1]);
    let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)];
    let region = Region {
        outline: Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect()),
        voids: vec![],
    };
    Floor::from_parts(vertices, triangles, region).unwrap()
}

// ORACLE:    closed form: a V of depth d and half width w, H long, under an edge longer than 2w shows d. Each profile across
//            needs its bottom raised to the aim: (d - aim) w H in all.
// TOLERANCE: 1e-3 of the volume: the slack of the chord finder, 0.002 mm in 4 mm, is 5e-4 of it
#[test]
fn a_v_shaped_hollow_takes_the_closed_form() {
    let (d, w, long) = (0.006, 0.5, 2.0);
    let floor = trough(
        &[(-1.0, 0.0), (-w, 0.0), (0.0, -d), (w, 0.0), (1.0, 0.0)],
        &[0.0, 0.4, 0.9, 1.3, long],
    );
    let request = PatchRequest {
        yield_m3: Some(0.013),
        waste: 0.1,
        full: Some(FullPour {
            volume_m3: 0.5 * d * 2.0 * w * long,
            deepest_m: d,
        }),
        ..asked(vec![dip(1.5, 0.002)])
    };
    let plan = solved(&floor, &request);
    let aim = 0.002 - plan.margin_m;
    let expected = (d - aim) * w * long;
    assert!(
        (plan.fill_volume_m3 / expected - 1.0).abs() < 1e-3,
        "{} {expected}",
        plan.fill_volume_m3
    );
    assert_eq!(plan.grind_volume_m3, 0.0);
    assert_eq!(plan.patches.len(), 1);
    assert!((plan.deepest_m - (d - aim)).abs() < 5e-6);
    assert!((plan.checks[0].before.gap_m() - d).abs() < 1e-6);
    assert!(plan.checks[0].after.bound_m <= 0.002 + 1e-7);
    // Bags and the comparison follow from the volume.
    assert!((plan.bags.unwrap() - plan.fill_volume_m3 * 1.1 / 0.013).abs() < 1e-9);
    // A patch is ordered as the whole is, waste included.
    for patch in &plan.patches {
        assert!((patch.bags.unwrap() - patch.volume_m3 * 1.1 / 0.013).abs() < 1e-9);
    }
    assert!((plan.saved_m3.unwrap() - (d * w * long - plan.fill_volume_m3)).abs() < 1e-12);
    // The outline is where the wedge is deeper than the feather depth.
    let share = 1.0 - plan.feather_m / (d - aim);
    assert!((plan.patches[0].area_m2 - 2.0 * w * share * long).abs() < 2e-3);
    let drawn: f64 = plan.patches[0].outlines.iter().map(Ring::area).sum();
    assert!((drawn - plan.patches[0].area_m2).abs() < 1e-9);
}

// ORACLE:    closed form: a ridge of height h and half width w over a flat floor; grinding its crest to the aim takes
//            (h - aim) w H, less than raising the floor on both sides.
#[test]
fn a_ridge_is_ground_where_that_is_allowed() {
    let (h, w, long) = (0.005, 0.4, 1.5);
    let floor = trough(
        &[(-1.2, 0.0), (-w, 0.0), (0.0, h), (w, 0.0), (1.2, 0.0)],
        &[0.0, 0.5, 1.0, long],
    );
    let request = PatchRequest {
        max_grind_m: 0.004,
        ..asked(vec![hump(2.0, 0.002)])
    };
    let plan = solved(&floor, &request);
    let expected = (h - 0.002 + plan.margin_m) * w * long;
    assert!(
        (plan.grind_volume_m3 / expected - 1.0).abs() < 2e-3,
        "{} {expected}",
        plan.grind_volume_m3
    );
    assert!(plan.fill_volume_m3 < 1e-7);
    assert_eq!((plan.patches.len(), plan.grinds.len()), (0, 1));
}

// ORACLE: property: what keeps its limits needs nothing.
#[test]
fn a_floor_within_its_limits_needs_nothing() {
    let tilted = trough(&[(0.0, 0.0), (1.0, 0.02), (2.0, 0.04)], &[0.0, 1.0, 2.0]);
    let plan = solved(&tilted, &asked(vec![dip(2.0, 0.001), hump(2.0, 0.001)]));
    assert!(plan.is_empty());
    assert_eq!((plan.fill_volume_m3, plan.rounds), (0.0, 0));
    assert_eq!(plan.checks.len(), 2);
}

#[test]
fn what_cannot_be_is_refused_with_the_reason() {
    let floor = trough(&[(-1.0, 0.0), (0.0, -0.006), (1.0, 0.0)], &[0.0, 1.0]);
    assert_eq!(
        plan(&floor, &asked(vec![]), &quiet),
        Err(PatchError::NoLimit)
    );
    let shallow = PatchRequest {
        max_fill_m: Some(0.002),
        ..asked(vec![dip(2.0, 0.002)])
    };
    let error = plan(&floor, &shallow, &quiet).unwrap_err();
    assert!(matches!(error, PatchError::Infeasible { .. }), "{error}");
    assert!(error.to_string().contains("2 mm laid"), "{error}");
    for wrong in [
        asked(vec![dip(0.0, 0.002)]),
        asked(vec![dip(2.0, 0.0)]),
        asked(vec![dip(f64::NAN, 0.002)]),
        PatchRequest {
            max_grind_m: -1.0,
            ..asked(vec![dip(2.0, 0.002)])
        },
        PatchRequest {
            waste: f64::INFINITY,
            ..asked(vec![dip(2.0, 0.002)])
        },
    ] {
        let error = plan(&floor, &wrong, &quiet).unwrap_err();
        assert!(matches!(error, PatchError::BadRequest { .. }), "{error}");
    }
    let hurried = PatchRequest {
        max_rounds: 0,
        ..asked(vec![dip(2.0, 0.002)])
    };
    let error = plan(&floor, &hurried, &quiet).unwrap_err();
    assert!(matches!(error, PatchError::RoundsUsedUp { .. }), "{error}");
}

#[test]
fn procedures_set_limits_on_chords() {
    assert_eq!(
        PatchLimit::of(Procedure::Resting, 3.0, 0.003, Joints::Cross),
        Some(dip(3.0, 0.003))
    );
    assert_eq!(
        PatchLimit::of(Procedure::Balanced, 3.0, 0.003, Joints::Cross),
        Some(hump(3.0, 0.003))
    );
    assert_eq!(
        PatchLimit::of(Procedure::HeldDown, 3.0, 0.003, Joints::Cross),
        Some(hump(3.0, 0.0015))
    );
    assert_eq!(
        PatchLimit::of(Procedure::Midpoint, 3.0, 0.003, Joints::Cross),
        None
    );
}

#[derive(Deserialize)]
struct Recorded {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    span_m: f64,
    dip_m: f64,
    hump_m: Option<f64>,
    max_grind_m: f64,
    margin_m: f64,
    fill_m3: f64,
    grind_m3: f64,
    fill_with_margin_m3: f64,
    grind_with_margin_m3: f64,
    points: Vec<[f64; 3]>,
}

// ORACLE:    independent code
// SOURCE:    HiGHS through scipy 1.17.1, on chords found by another route (fixtures/outside/patch_lp.py)
// TOLERANCE: theirs at the allowance is a lower bound for any floor that passes; theirs at the aim is ours but for
//            the chords that its sample misses: with chords over quarters of edges in 90 directions it lies 1.5 to 4 %
//            below ours, over tenths of edges in 240 directions (the last case) 0.3 %
#[test]
fn least_material_agrees_with_another_solver() {
    let path =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/outside/patch_lp.json");
    let recorded: Recorded = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    assert_eq!(recorded.cases.len(), 4);
    for case in recorded.cases {
        let side = case.points.iter().map(|p| p[0]).fold(0.0, f64::max);
        let floor = built(
            &case.points,
            Some(room(
                &[[0.0, 0.0], [side, 0.0], [side, side], [0.0, side]],
                &[],
            )),
        )
        .floor;
        let mut limits = vec![dip(case.span_m, case.dip_m)];
        limits.extend(case.hump_m.map(|h| hump(case.span_m, h)));
        let request = PatchRequest {
            max_grind_m: case.max_grind_m,
            tolerance_m: case.margin_m / 2.0,
            ..asked(limits)
        };
        let plan = solved(&floor, &request);
        // Theirs is a third of each triangle's area to each corner; where work changes over inside a triangle its volumes are less.
        let ours: f64 = (0..floor.triangles().len() as u32)
            .map(|t| {
                let corners = floor.triangles()[t as usize];
                let each = corners.map(|v| plan.work_m[v as usize].abs() / 3.0);
                floor.triangle_area(t) * each.iter().sum::<f64>()
            })
            .sum();
        assert!(plan.fill_volume_m3 + plan.grind_volume_m3 <= ours * (1.0 + 1e-9));
        let least = case.fill_m3 + case.grind_m3;
        let aimed = case.fill_with_margin_m3 + case.grind_with_margin_m3;
        assert!(
            ours > least * 0.999_999,
            "{}: {ours} under the bound {least}",
            case.name
        );
        let missed = if case.name == "short_and_long" {
            0.01
        } else {
            0.05
        };
        assert!(
            (ours / aimed - 1.0).abs() < missed,
            "{}: ours {ours}, theirs {aimed}",
            case.name
        );
    }
}

/// A lumpy square floor, heights in tenths of a millimetre.
fn lumpy() -> impl Strategy<Value = Vec<[f64; 3]>> {
    let marks = proptest::collection::vec((-80i32..80, -20i32..20, -20i32..20), 36);
    marks.prop_map(|marks| {
        marks
            .iter()
            .enumerate()
            .map(|(k, &(z, dx, dy))| {
                let (i, j) = (k % 6, k / 6);
                let inner = |i: usize, d: i32| {
                    if i == 0 || i == 5 {
                        0.0
                    } else {
                        f64::from(d) / 200.0
                    }
                };
                [
                    0.5 * (i as f64 + inner(i, dx)),
                    0.5 * (j as f64 + inner(j, dy)),
                    f64::from(z) / 10_000.0,
                ]
            })
            .collect()
    })
}

/// The largest dip at random chords, by heights looked up one by one.
fn sampled_dip(floor: &Floor, span: f64, side: f64, count: u32) -> f64 {
    let mut state = 0x9E37_79B9_7F4A_7C15u64;
    let mut next = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1u64 << 53) as f64
    };
    let mut worst = 0.0f64;
    for _ in 0..count {
        let a = Point::new(next() * side, next() * side);
        let turn = next() * std::f64::consts::TAU;
        let b = a + Point::new(turn.cos(), turn.sin()) * (next().sqrt() * span);
        let m = a.lerp(b, next());
        if let (Some(za), Some(zb), Some(zm)) =
            (height(floor, a), height(floor, b), height(floor, m))
        {
            let t = a.distance(m) / a.distance(b).max(1e-12);
            worst = worst.max(za + t * (zb - za) - zm);
        }
    }
    worst
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    // ORACLE: property: the patched floor keeps its limit at any chord; no more material than a full pour to the high
    //         point (itself a plan that keeps every limit); nothing is taken off where grinding is not allowed.
    #[test]
    fn patched_floors_keep_their_limit_with_less_than_a_full_pour(points in lumpy()) {
        let floor = built(&points, None).floor;
        let plan = solved(&floor, &asked(vec![dip(1.5, 0.003)]));
        let high = floor.vertices().iter().map(|v| v.z).fold(f64::NEG_INFINITY, f64::max);
        let pour: f64 = (0..floor.triangles().len() as u32)
            .map(|t| floor.triangle_area(t) * floor.corners(t).iter().map(|v| high - v.z).sum::<f64>() / 3.0)
            .sum();
        prop_assert!(plan.fill_volume_m3 <= pour * (1.0 + 1e-6));
        prop_assert!(plan.work_m.iter().all(|&w| w >= 0.0));
        let heights: Vec<f64> = floor.vertices().iter().zip(&plan.work_m).map(|(v, w)| v.z + w).collect();
        let patched = floor.with_heights(&heights).unwrap();
        prop_assert!(sampled_dip(&patched, 1.5, 2.5, 3000) <= 0.003);
        let in_patches: f64 = plan.patches.iter().map(|p| p.volume_m3).sum();
        prop_assert!(in_patches <= plan.fill_volume_m3 * (1.0 + 1e-9));
        for patch in &plan.patches {
            let drawn = patch.outlines.iter().map(Ring::area).sum::<f64>() - patch.islands.iter().map(Ring::area).sum::<f64>();
            prop_assert!((drawn - patch.area_m2).abs() < 1e-9, "{drawn} {}", patch.area_m2);
        }
    }

    // ORACLE: property: heights and limits three times as large take three times as much; grinding never adds to what is laid.
    #[test]
    fn plans_scale_and_grinding_saves(points in lumpy()) {
        let floor = built(&points, None).floor;
        let one = solved(&floor, &asked(vec![dip(1.5, 0.003)]));
        let tall: Vec<f64> = floor.vertices().iter().map(|v| v.z * 3.0).collect();
        let request = PatchRequest { tolerance_m: 3.0 * PatchRequest::default().tolerance_m, ..asked(vec![dip(1.5, 0.009)]) };
        let three = solved(&floor.with_heights(&tall).unwrap(), &request);
        // TOLERANCE: the finder's slack does not scale with it: 2 micrometres in millimetres.
        prop_assert!((three.fill_volume_m3 / 3.0 - one.fill_volume_m3).abs() <= 5e-3 * one.fill_volume_m3 + 1e-6);
        let ground = solved(&floor, &PatchRequest { max_grind_m: 0.002, ..asked(vec![dip(1.5, 0.003)]) });
        prop_assert!(ground.fill_volume_m3 + ground.grind_volume_m3 <= one.fill_volume_m3 * 1.005 + 1e-6);
        prop_assert!(ground.work_m.iter().all(|&w| w >= -0.002));
    }
}

// ORACLE: property: the same request gives the same plan, bit for bit, on one thread and on four.
#[test]
fn plans_do_not_depend_on_the_number_of_threads() {
    let points: Vec<[f64; 3]> = (0..49)
        .map(|k| {
            let (i, j) = (f64::from(k % 7), f64::from(k / 7));
            [0.4 * i, 0.4 * j, 0.004 * (1.3 * i + 0.4 * j * j).sin()]
        })
        .collect();
    let floor = built(&points, None).floor;
    let request = asked(vec![dip(1.5, 0.002), hump(1.5, 0.003)]);
    let [one, four] = [1, 4].map(|threads| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| solved(&floor, &request))
    });
    assert_eq!(one, four);
    assert!(!one.is_empty());
}

// ORACLE: hand. A hollow of 6 mm, a limit of 2 mm and readings good to 0.05 mm: filled to the brim no floor that may be breaks the limit,
// left as it is all do, and between the two the chance only grows.
#[test]
fn the_chance_after_the_work_is_that_of_the_floor_as_it_is_then() {
    let readings: Vec<Reading> = (0..81)
        .map(|k| {
            let at = Point::new(0.25 * f64::from(k % 9), 0.25 * f64::from(k / 9));
            let z = -0.006 * (1.0 - at.distance(Point::new(1.0, 1.0)) / 0.8).max(0.0);
            // So that heights differ everywhere.
            let z = z + 2e-5 * f64::from((k * 37) % 11);
            Reading::new("", at, Elevation::from_m(z))
        })
        .collect();
    let floor = Floor::build(&Survey::new("", readings).unwrap())
        .unwrap()
        .floor;
    let mut chances = JudgeOptions {
        doubt: ReadingDoubt {
            repeatability_m: 5e-5,
            ..ReadingDoubt::default()
        },
        draws: 100,
        seed: 4,
        ..JudgeOptions::default()
    }
    .chances();
    let limit = ChordLimit {
        departure: Departure::Dip,
        span_m: 2.0,
        lengths: Lengths::UpTo,
        allowance_m: 0.002,
        ground: Ground::Surveyed,
        joints: Joints::Cross,
    };
    let mut after = |share: f64| {
        let raised: Vec<f64> = (floor.vertices().iter())
            .map(|v| share * (0.0001 - v.z).max(0.0))
            .collect();
        chance_after(&mut chances, &floor, &raised, &limit, &|_| ()).unwrap()
    };
    assert!(after(1.0).is_within(), "{:?}", after(1.0));
    assert!(after(0.0).is_out(), "{:?}", after(0.0));
    // The fuller, the likelier.
    let shares = [0.0, 0.6, 0.75, 0.85, 1.0].map(|share| after(share).high);
    assert!(shares.is_sorted_by(|a, b| *a <= b + 0.1), "{shares:?}");
}

/// Where a floor's triangles are filled and ground, counted apart by the outlines that are printed.
fn filled_and_ground(plan: &PatchPlan, p: Point) -> (bool, bool) {
    let inside = |spots: &[birdbath::patch::PatchSpot]| {
        spots.iter().any(|s| {
            s.outlines.iter().any(|r| r.contains(p)) && !s.islands.iter().any(|r| r.contains(p))
        })
    };
    (inside(&plan.patches), inside(&plan.grinds))
}

// ORACLE: closed form. Along a trough a row 6 mm over the floor stands beside one 6 mm under it. Whatever is ground at the one and laid at
//         the other, the work between them changes over once: at a distance from the first that is its share of the two depths.
#[test]
fn between_a_ground_and_a_filled_row_the_work_changes_over_once() {
    let across: Vec<(f64, f64)> = (0..10)
        .map(|i| {
            let z = match i {
                4 => 0.006,
                5 => -0.006,
                _ => 0.0,
            };
            (0.5 * f64::from(i), z)
        })
        .collect();
    let floor = trough(&across, &[0.0, 0.5, 1.0, 1.5]);
    let request = PatchRequest {
        max_grind_m: 0.010,
        ..asked(vec![dip(2.0, 0.003)])
    };
    let plan = solved(&floor, &request);
    for j in 0..4 {
        let (ground, laid) = (-plan.work_m[10 * j + 4], plan.work_m[10 * j + 5]);
        assert!(ground > 1e-3 && laid > 1e-3, "{ground} {laid}");
    }
    let (mut filled, mut both) = (0, 0);
    for k in 0..2000 {
        let p = Point::new(4.5 * (f64::from(k) + 0.5) / 2000.0, 0.77);
        let (f, g) = filled_and_ground(&plan, p);
        filled += u32::from(f);
        both += u32::from(f && g);
    }
    assert!(filled > 0 && both == 0, "{both} of {filled}");
    // Volumes of a strip of 1.5 m: triangles on both sides of each row, cut where the work changes over.
    let side = |g: f64, f: f64| 0.5 * g / (g + f);
    let (g, f) = (-plan.work_m[4], plan.work_m[5]);
    if plan
        .work_m
        .iter()
        .all(|w| *w == plan.work_m[4] || *w == plan.work_m[5] || *w == 0.0)
    {
        let ground = 1.5 * g * (0.5 + side(g, f)) / 2.0;
        let laid = 1.5 * f * (0.5 + side(f, g)) / 2.0;
        assert!(
            (plan.grind_volume_m3 - ground).abs() < 1e-6,
            "{} {ground}",
            plan.grind_volume_m3
        );
        assert!(
            (plan.fill_volume_m3 - laid).abs() < 1e-6,
            "{} {laid}",
            plan.fill_volume_m3
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    // ORACLE: property: in whole steps every depth is one, nothing is both filled and ground, the floor as printed keeps its limit at
    //         chords laid at random by another route, and the material lies near that of the plan without steps.
    #[test]
    fn plans_in_whole_steps_keep_their_limit(points in lumpy()) {
        let floor = built(&points, None).floor;
        let free = PatchRequest { max_grind_m: 0.004, ..asked(vec![dip(1.5, 0.003)]) };
        let plan = solved(&floor, &PatchRequest { step_m: Some(0.001), ..free.clone() });
        let step = plan.step_m.expect("steps were found");
        for w in &plan.work_m {
            prop_assert!((w / step - (w / step).round()).abs() < 1e-9, "{w}");
            prop_assert!(*w >= -0.004 - 1e-12);
        }
        let heights: Vec<f64> = floor.vertices().iter().zip(&plan.work_m).map(|(v, w)| v.z + w).collect();
        let patched = floor.with_heights(&heights).unwrap();
        prop_assert!(sampled_dip(&patched, 1.5, 2.5, 3000) <= 0.003);
        for k in 0..400 {
            let p = Point::new(2.5 * f64::from(k % 20) / 20.0 + 0.03, 2.5 * f64::from(k / 20) / 20.0 + 0.03);
            prop_assert!(filled_and_ground(&plan, p) != (true, true), "{p:?}");
        }
    }
}

// ORACLE: hand. A reading on a joint is one mark: whoever measures the depth out there does it once, for both sides.
#[test]
fn a_mark_on_a_joint_has_one_depth() {
    let mut readings = Vec::new();
    for (i, j) in (0..9).flat_map(|i| (0..5).map(move |j| (i, j))) {
        let z = match (i, j) {
            (4, 2) => 0.0,
            (3, 1..=3) => 0.005,
            (5, 1..=3) => 0.002,
            _ => 0.003,
        };
        let at = Point::new(0.5 * f64::from(i), 0.5 * f64::from(j));
        readings.push(Reading::new("", at, Elevation::from_m(z)));
    }
    let survey = Survey {
        room: Some(Room {
            outline: super::floors::rectangle(0.0, 0.0, 4.0, 2.0),
            voids: vec![],
            slopes: vec![],
            joints: vec![Joint {
                name: "J".into(),
                line: vec![Point::new(2.0, 0.0), Point::new(2.0, 2.0)],
                movement: false,
            }],
            doors: vec![],
            fixtures: vec![],
            walls: vec![],
        }),
        ..Survey::new("", readings).unwrap()
    };
    let floor = Floor::build(&survey).unwrap().floor;
    let stop = |limit: PatchLimit| PatchLimit {
        joints: Joints::Stop,
        ..limit
    };
    for step_m in [None, Some(0.001)] {
        let request = PatchRequest {
            max_grind_m: 0.004,
            step_m,
            ..asked(vec![stop(dip(2.0, 0.001_5)), stop(hump(2.0, 0.001_5))])
        };
        let plan = solved(&floor, &request);
        let mut at_marks: BTreeMap<u32, Vec<f64>> = BTreeMap::new();
        for (v, work) in floor.vertices().iter().zip(&plan.work_m) {
            if let Source::Reading(r) = v.source {
                at_marks.entry(r).or_default().push(*work);
            }
        }
        let on_joint: Vec<&Vec<f64>> = at_marks.values().filter(|w| w.len() > 1).collect();
        assert_eq!(on_joint.len(), 5);
        assert!(on_joint.iter().any(|w| w[0].abs() > 1e-4), "{on_joint:?}");
        for work in on_joint {
            assert!(work.iter().all(|w| *w == work[0]), "{work:?}");
        }
        let kept = plan
            .checks
            .iter()
            .all(|c| c.after.bound_m <= c.limit.allowance_m + 2e-8);
        assert!(kept, "{:?}", plan.checks);
    }
}
