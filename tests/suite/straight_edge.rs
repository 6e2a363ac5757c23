//! The certified search against closed forms, an independent search, and what must not matter.

use crate::support::meshes::{Stream, height_at, mesh, turned_grid};
use crate::support::rooms::reading;
use birdbath::flatness::edge::search;
use birdbath::flatness::{
    Departure, EdgeResult, Ground, Joints, JudgeOptions, SearchOptions, Searcher, curve_spans,
    judge_and_curve, section, span_curve,
};
use birdbath::geometry::{Point, Ring};
use birdbath::surface::Floor;
use birdbath::survey::{Joint, Room, Survey};
use proptest::prelude::*;
use std::f64::consts::PI;

fn find(floor: &Floor, departure: Departure, span_m: f64, tolerance_m: f64) -> EdgeResult {
    let options = SearchOptions {
        tolerance_m,
        ..SearchOptions::default()
    };
    let r = search(floor, departure, span_m, &options, &|_| ());
    assert!(r.complete, "{r:?}");
    assert!(r.bound_m >= r.gap_m());
    assert!(r.bound_m - r.gap_m() <= tolerance_m + 3e-9, "{r:?}");
    if let Some(w) = r.worst {
        assert!(w.chord_m() <= span_m + 1e-9, "{w:?}");
        let sign = if departure == Departure::Dip {
            1.0
        } else {
            -1.0
        };
        // Ends may lie on the floor's very edge, where the plain height finder sees nothing.
        let inward = |p: Point| p.lerp(w.at, 1e-9);
        let h = [inward(w.from), inward(w.to), w.at].map(|p| height_at(floor, p));
        let [Some(a), Some(b), Some(m)] = h else {
            panic!("a placement off the floor: {w:?}")
        };
        let k = w.from.distance(w.at) / w.chord_m();
        let gap = sign * (a + (b - a) * k - m);
        assert!(
            (gap - w.gap_m).abs() < 1e-7,
            "told {} measured {gap}",
            w.gap_m
        );
    }
    r
}

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "found {found}, expected {expected}"
    );
}

// ORACLE:    closed form. A straight valley with sides of slope k: an edge of length L across it, its
//            middle over the valley, stands k L / 2 above it; along any other direction less. A ridge
//            is the same upside down.
// TOLERANCE: 1e-5 m asked of the search; the mesh is exact on both sides.
#[test]
fn a_valley_and_a_ridge_in_every_direction() {
    for (i, turn) in [0.0, 0.3, PI / 4.0, 1.1, PI / 2.0, 2.5]
        .into_iter()
        .enumerate()
    {
        let k = 0.004;
        // A narrow strip: every metre along the fold is as deep as the next, and each costs the same.
        let valley = turned_grid(17, 4, 0.25, turn, |x, _| k * (x - 2.0).abs());
        let ridge = turned_grid(17, 4, 0.25, turn, |x, _| -k * (x - 2.0).abs());
        let span = [0.2, 0.6, 1.0, 1.7, 2.0, 3.0][i];
        let r = find(&valley, Departure::Dip, span, 1e-5);
        near(r.gap_m(), k * span / 2.0, 1e-5);
        near(
            find(&ridge, Departure::Hump, span, 1e-5).gap_m(),
            k * span / 2.0,
            1e-5,
        );
        assert!(find(&valley, Departure::Hump, span, 1e-5).bound_m <= 1.1e-5);
        assert!(find(&ridge, Departure::Dip, span, 1e-5).bound_m <= 1.1e-5);
        // The deepest point lies on the valley's line.
        let at = r.worst.unwrap().at;
        let x = turn.cos() * at.x + turn.sin() * at.y;
        near(x, 2.0, 1e-6);
    }
}

// ORACLE:    closed form. A plane, however tilted, shows no gap, and the bound says so.
#[test]
fn a_plane_shows_nothing() {
    let mut s = Stream::new(3);
    let points: Vec<_> = (0..60)
        .map(|_| (s.unit() * 5.0, s.unit() * 4.0))
        .map(|(x, y)| (x, y, 0.7 + 0.02 * x - 0.013 * y))
        .collect();
    let floor = mesh(&points, |_| true);
    for departure in [Departure::Dip, Departure::Hump] {
        let r = find(&floor, departure, 2.0, 1e-4);
        assert!(r.bound_m < 2e-9, "{r:?}");
        assert!(r.worst.is_none_or(|w| w.gap_m < 1e-9));
    }
}

// ORACLE:    closed form. z = c r^2 / 2 has gap c L^2 / 8 under every edge of length L, anywhere; in
//            straight pieces of size h the floor lies up to c h^2 / 8 above the true one along a side.
// TOLERANCE: c h^2 (squares are cut along their diagonals, h sqrt(2)) plus what is asked of the search.
#[test]
fn a_bowl_shows_the_same_gap_everywhere() {
    let (c, h) = (0.004, 0.2);
    let floor = turned_grid(16, 13, h, 0.2, |x, y| {
        c * ((x - 1.5).powi(2) + (y - 1.2).powi(2)) / 2.0
    });
    for span in [1.0, 1.6] {
        let r = find(&floor, Departure::Dip, span, 1e-4);
        near(r.gap_m(), c * span * span / 8.0, c * h * h + 1e-4);
        assert!(find(&floor, Departure::Hump, span, 1e-4).gap_m() <= c * h * h);
    }
}

// ORACLE:    closed form. A one-way wave of height a and length w: an edge from crest to crest stands
//            2 a over the trough, and no longer edge finds more; half a wave long it reaches from
//            zero to zero over the trough: a.
// TOLERANCE: 2e-5 m asked of the search; crests, troughs and zeros are mesh points.
#[test]
fn a_wave_shows_crest_to_trough() {
    let (a, w) = (0.003, 1.6);
    let wave = |x: f64, _: f64| a * (2.0 * PI * x / w).cos();
    for turn in [0.0, 0.7, PI / 3.0] {
        let floor = turned_grid(21, 7, 0.2, turn, wave);
        for (span, gap) in [(0.8, a), (1.6, 2.0 * a), (2.4, 2.0 * a)] {
            near(find(&floor, Departure::Dip, span, 2e-5).gap_m(), gap, 2e-5);
            near(find(&floor, Departure::Hump, span, 2e-5).gap_m(), gap, 2e-5);
        }
    }
}

/// A small irregular floor: plain, with a notch, or with a void, by turns.
fn random_floor(seed: u64) -> (Floor, Stream) {
    let mut s = Stream::new(seed);
    let n = 12 + (s.unit() * 22.0) as usize;
    let points: Vec<_> = (0..n)
        .map(|_| (s.unit() * 4.0, s.unit() * 3.0, 0.004 * s.normal()))
        .collect();
    let floor = mesh(&points, |c| match seed % 3 {
        0 => true,
        1 => !(c.x > 2.0 && c.y > 1.5),
        _ => !((c.x - 2.0).abs() < 0.5 && (c.y - 1.5).abs() < 0.4),
    });
    (floor, s)
}

/// The deepest sampled height below the upper hull of a sampled chord, an independent route: heights
/// by looking at every triangle, a plain hull over even samples, breaks where there is no floor.
fn sampled_gap(floor: &Floor, from: Point, to: Point, sign: f64, count: usize) -> f64 {
    let heights: Vec<Option<f64>> = (0..count)
        .map(|i| height_at(floor, from.lerp(to, i as f64 / (count - 1) as f64)).map(|z| sign * z))
        .collect();
    let mut worst = 0.0f64;
    for run in heights.split(|h| h.is_none()) {
        let run: Vec<f64> = run.iter().flatten().copied().collect();
        for m in 1..run.len().max(1) - usize::from(!run.is_empty()) {
            // Highest line over the point: steepest rise on one side against the flattest on the other.
            for (a, za) in run[..m].iter().enumerate() {
                let z = run[m + 1..]
                    .iter()
                    .enumerate()
                    .map(|(j, zb)| za + (zb - za) * (m - a) as f64 / (m + 1 + j - a) as f64)
                    .fold(f64::MIN, f64::max);
                worst = worst.max(z - run[m]);
            }
        }
    }
    worst
}

// ORACLE:    independent code: random chords, sampled, on 200 random floors with notches and voids. A
//            sampled gap may never exceed the proven bound.
#[test]
fn no_sampled_chord_beats_the_bound_on_200_floors() {
    let mut tight = 0;
    for seed in 1..=200 {
        let (floor, mut s) = random_floor(seed);
        if floor.triangles().is_empty() {
            continue;
        }
        let span = 0.8 + s.unit() * 2.5;
        let (departure, sign) = if seed % 2 == 0 {
            (Departure::Dip, 1.0)
        } else {
            (Departure::Hump, -1.0)
        };
        let r = find(&floor, departure, span, 1e-4);
        let mut best = 0.0f64;
        for _ in 0..90 {
            let middle = Point::new(s.unit() * 4.0, s.unit() * 3.0);
            let (sin, cos) = (s.unit() * PI).sin_cos();
            let half = Point::new(cos, sin) * (span / 2.0);
            best = best.max(sampled_gap(&floor, middle - half, middle + half, sign, 21));
        }
        // And close around the placement found, where a worse one would most likely hide.
        if let Some(w) = r.worst {
            for _ in 0..30 {
                let mut jog = || Point::new(s.unit() - 0.5, s.unit() - 0.5) * 0.2;
                let (a, b) = (w.from + jog(), w.to + jog());
                if a.distance(b) <= span {
                    best = best.max(sampled_gap(&floor, a, b, sign, 41));
                }
            }
        }
        assert!(
            best <= r.bound_m,
            "floor {seed}: a sampled chord shows {best}, the bound is {}",
            r.bound_m
        );
        tight += usize::from(best > 0.8 * r.gap_m());
    }
    // The sampling is a fair rival: on most floors it comes close.
    assert!(tight > 100, "only {tight} floors were sampled closely");
}

#[test]
fn walls_and_voids_stop_an_edge() {
    // A U of floor around a notch; the two arms are high, the notch would be deep between them.
    let high = |x: f64, y: f64| {
        if y > 1.0 && !(1.0..=2.0).contains(&x) {
            0.01
        } else {
            0.0
        }
    };
    let whole = turned_grid(13, 9, 0.25, 0.0, high);
    let points: Vec<(f64, f64, f64)> = whole
        .vertices()
        .iter()
        .map(|v| (v.at.x, v.at.y, v.z))
        .collect();
    let cut: Vec<[u32; 3]> = whole
        .triangles()
        .iter()
        .copied()
        .filter(|t| {
            let m = t.map(|v| whole.vertices()[v as usize].at);
            let x = (m[0].x + m[1].x + m[2].x) / 3.0;
            let y = (m[0].y + m[1].y + m[2].y) / 3.0;
            !(y > 1.0 && (1.0..2.0).contains(&x))
        })
        .collect();
    let notched = crate::support::meshes::from_triangles(&points, cut);
    let open = find(&whole, Departure::Dip, 2.0, 5e-5).gap_m();
    let stopped = find(&notched, Departure::Dip, 2.0, 5e-5);
    near(open, 0.01, 1e-4);
    // Worked by hand: squares are cut from lower left to upper right, so the arm's ramp over
    // 0.75 <= x <= 1, 1 <= y <= 1.25 is 0 below its diagonal. The worst chord starts on the arm's edge at
    // (0.75, 1.25), height 10 mm, runs at 45 degrees past the notch's corner (1, 1) and ends at y = 0. It
    // meets 0 at y = 1.125, where the chord is 10 x 1.125 / 1.25 = 9 mm high. A steeper chord meets 0
    // lower down, a shallower one is stopped by the notch or starts farther from the diagonal.
    near(stopped.gap_m(), 0.009, 5e-5);
    assert!(stopped.bound_m <= 0.009 + 1e-4, "{stopped:?}");
    let w = stopped.worst.unwrap();
    for i in 1..200 {
        let p = w.from.lerp(w.to, f64::from(i) / 200.0);
        assert!(height_at(&notched, p).is_some(), "{p:?} is off the floor");
    }
}

#[test]
fn a_room_too_small_for_the_edge_says_so() {
    // SOURCE: the tiny bath, 5 x 8 ft: its diagonal is 9.43 ft.
    let ft = 0.3048;
    let floor = turned_grid(6, 9, ft, 0.0, |x, y| {
        0.001 * (x - 0.7).abs() + 0.0005 * (y * 2.0).sin()
    });
    assert!(!find(&floor, Departure::Dip, 10.0 * ft, 1e-4).full_span_laid);
    assert!(find(&floor, Departure::Dip, 9.4 * ft, 1e-4).full_span_laid);
    // Shorter chords still count.
    assert!(find(&floor, Departure::Dip, 10.0 * ft, 1e-4).gap_m() > 5e-4);
}

#[test]
fn a_work_limit_still_leaves_a_true_bound() {
    let (floor, _) = random_floor(6);
    let exact = find(&floor, Departure::Dip, 2.0, 1e-5);
    let whole = {
        let s = Searcher::new(&floor, Departure::Dip, Ground::Surveyed, Joints::Cross);
        let options = SearchOptions {
            tolerance_m: 1e-5,
            ..SearchOptions::default()
        };
        s.search(2.0, &options, &|_| ());
        s.work()
    };
    for work_limit in [0, whole / 8, whole / 2] {
        let options = SearchOptions {
            work_limit,
            tolerance_m: 1e-5,
            ..SearchOptions::default()
        };
        let r = search(&floor, Departure::Dip, 2.0, &options, &|_| ());
        assert!(r.bound_m >= exact.gap_m(), "{r:?}");
        assert!(r.gap_m() <= exact.bound_m);
        assert!(!r.complete);
    }
}

#[test]
fn one_thread_and_two_answer_alike() {
    let pool = |n| {
        rayon::ThreadPoolBuilder::new()
            .num_threads(n)
            .build()
            .unwrap()
    };
    for seed in [4, 5, 12] {
        let (floor, _) = random_floor(seed);
        let run = || {
            let s = Searcher::new(&floor, Departure::Dip, Ground::Surveyed, Joints::Cross);
            let r = s.search(1.7, &SearchOptions::default(), &|_| ());
            let places = s.places(&r, 4);
            (r, places)
        };
        assert_eq!(pool(1).install(run), pool(2).install(run));
    }
}

#[test]
fn places_are_distinct_and_falling() {
    let floor = turned_grid(31, 21, 0.25, 0.0, |x, y| {
        -0.004 * (-((x - 1.5).powi(2) + (y - 2.5).powi(2)) / 0.2).exp()
            - 0.006 * (-((x - 5.5).powi(2) + (y - 1.5).powi(2)) / 0.2).exp()
    });
    let s = Searcher::new(&floor, Departure::Dip, Ground::Surveyed, Joints::Cross);
    let r = s.search(2.0, &SearchOptions::default(), &|_| ());
    let places = s.places(&r, 3);
    assert_eq!(places[0], r.worst.unwrap());
    assert!(places.windows(2).all(|w| w[0].gap_m >= w[1].gap_m - 1e-4));
    assert!(places[0].at.distance(Point::new(5.5, 1.5)) < 0.3);
    assert!(
        places[1].at.distance(Point::new(1.5, 2.5)) < 0.3,
        "{places:?}"
    );
    let map = s.map(&floor, 2.0);
    let top = map.iter().flatten().copied().fold(0.0, f64::max);
    assert!(top <= r.bound_m && top > 0.8 * r.gap_m());
}

// ORACLE: the profile of the floor along each edge, cut by every triangle: who lays the edge where it is told finds the gap that is told.
#[test]
fn a_place_that_is_listed_shows_its_gap_under_its_own_edge() {
    let mut stream = Stream::new(4_711);
    for round in 0..30 {
        let heights: Vec<f64> = (0..63).map(|_| 0.006 * stream.unit()).collect();
        let floor = turned_grid(9, 7, 0.61, 0.0, |x, y| {
            let (i, j) = ((x / 0.61).round() as usize, (y / 0.61).round() as usize);
            heights[(j * 9 + i).min(62)]
        });
        for departure in [Departure::Dip, Departure::Hump] {
            let s = Searcher::new(&floor, departure, Ground::Surveyed, Joints::Cross);
            let r = s.search(3.048, &SearchOptions::default(), &|_| ());
            for p in s.places(&r, 5) {
                let sign = if departure == Departure::Dip {
                    1.0
                } else {
                    -1.0
                };
                let deepest = section(&floor, &p, 0.0)
                    .iter()
                    .map(|q| sign * (q.edge_m - q.floor_m))
                    .fold(0.0, f64::max);
                assert!(
                    (deepest - p.gap_m).abs() < 1e-6,
                    "{round} {departure:?} {deepest} {p:?}"
                );
            }
        }
    }
}

// ORACLE: closed form. Readings lowered one by one in a plane, farther apart than the edge is long: each is a place whose gap is
//         its depth, on a level floor as on a falling one.
#[test]
fn every_hollow_of_a_plane_is_listed_at_any_fall() {
    let hollows = [
        (4, 3, 0.006),
        (12, 3, 0.005),
        (20, 3, 0.0045),
        (4, 13, 0.004),
        (12, 13, 0.0035),
        (20, 13, 0.003),
    ];
    for (fall_x, fall_y) in [(0.0, 0.0), (0.03, 0.0), (0.0, -0.05), (0.04, 0.04)] {
        let floor = turned_grid(25, 17, 0.25, 0.0, |x, y| {
            let own = |&(i, j, _): &&(i32, i32, f64)| {
                (x - f64::from(*i) * 0.25).hypot(y - f64::from(*j) * 0.25) < 0.01
            };
            fall_x * x + fall_y * y - hollows.iter().find(own).map_or(0.0, |h| h.2)
        });
        let s = Searcher::new(&floor, Departure::Dip, Ground::Surveyed, Joints::Cross);
        let r = s.search(1.0, &SearchOptions::default(), &|_| ());
        let places = s.places(&r, 6);
        assert_eq!(places.len(), 6, "{fall_x} {fall_y}: {places:?}");
        for (p, h) in places.iter().zip(&hollows) {
            let at = Point::new(f64::from(h.0) * 0.25, f64::from(h.1) * 0.25);
            near(p.gap_m, h.2, 1e-5);
            near(p.at.distance(at), 0.0, 1e-3);
        }
    }
}

#[test]
fn the_span_curve_rises() {
    let (floor, _) = random_floor(9);
    let spans = curve_spans(&floor, 8);
    assert_eq!(spans.len(), 8);
    let curve = span_curve(&floor, &spans, &SearchOptions::default(), &|_| ());
    for w in curve.windows(2) {
        assert!(w[0].dip.gap_m() <= w[1].dip.gap_m() + 1e-12);
        assert!(w[0].hump.gap_m() <= w[1].hump.gap_m() + 1e-12);
    }
}

#[test]
fn a_section_meets_its_own_gap() {
    let (floor, _) = random_floor(10);
    let w = find(&floor, Departure::Dip, 1.8, 1e-4).worst.unwrap();
    let line = section(&floor, &w, 0.3);
    let gap = line
        .iter()
        .filter(|p| p.along_m >= 0.0 && p.along_m <= w.chord_m())
        .map(|p| p.edge_m - p.floor_m)
        .fold(0.0, f64::max);
    near(gap, w.gap_m, 1e-6);
    assert!(line.windows(2).all(|w| w[0].along_m <= w[1].along_m + 1e-9));
}

/// Two level slabs 5 mm apart in height, with a joint between them.
pub fn two_slabs(step: f64) -> Floor {
    let readings = (0..9)
        .flat_map(|j| (0..12).map(move |i| (0.25 + 0.5 * f64::from(i), 0.25 + 0.5 * f64::from(j))))
        .map(|(x, y)| reading("p", Point::new(x, y), if x > 3.0 { step } else { 0.0 }))
        .collect();
    let corner = |x, y| Point::new(x, y);
    let room = Room {
        outline: Ring::new(vec![
            corner(0.0, 0.0),
            corner(6.0, 0.0),
            corner(6.0, 4.5),
            corner(0.0, 4.5),
        ]),
        voids: vec![],
        slopes: vec![],
        joints: vec![Joint {
            name: "joint".into(),
            line: vec![corner(3.0, 0.0), corner(3.0, 4.5)],
            movement: false,
        }],
        doors: vec![],
        fixtures: vec![],
        walls: vec![],
    };
    let survey = Survey {
        name: "slabs".into(),
        readings,
        room: Some(room),
        resolution_m: None,
        laid: None,
        set_ups: Vec::new(),
        notices: vec![],
    };
    Floor::build(&survey).unwrap().floor
}

// ORACLE:    closed form. An edge over a step rests on the upper lip and on the lower slab: the gap at
//            the foot of the step is the step itself, for any span; where edges stop at joints there
//            is none.
#[test]
fn a_step_at_a_joint_counts_where_edges_cross_it() {
    let floor = two_slabs(0.005);
    for (joints, gap) in [(Joints::Cross, 0.005), (Joints::Stop, 0.0)] {
        let options = SearchOptions {
            joints,
            ..SearchOptions::default()
        };
        let r = search(&floor, Departure::Dip, 2.0, &options, &|_| ());
        assert!(r.complete);
        near(r.gap_m(), gap, 1.1e-4);
        assert!(r.bound_m <= gap + 1.1e-4, "{r:?}");
    }
}

// ORACLE: closed form, as above: the span curve beside checks that stop at joints stops there too.
#[test]
fn a_curve_beside_checks_that_stop_at_joints_stops_too() {
    let floor = two_slabs(0.005);
    for (name, gap) in [("aci117-flat", 0.0), ("tile-large", 0.005)] {
        let rule = birdbath::flatness::check::by_name(name).unwrap().clone();
        let options = JudgeOptions::default();
        let (_, curve) = {
            let mut chances = options.chances();
            judge_and_curve(
                &floor,
                &[rule],
                &[2.0, 3.0],
                &options,
                &mut chances,
                &|_| (),
            )
        };
        assert_eq!(curve.len(), 2);
        for point in curve {
            near(point.dip.gap_m(), gap, 1.1e-4);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    // ORACLE: property. Shift, turn, tilt and set-up height change no gap; heights times k, gaps times
    //         k; plan and span in another unit, the same gap.
    #[test]
    fn what_must_not_matter_does_not(
        seed in 1u64..400, turn in 0.0..6.2f64, dx in -500.0..500.0f64, dy in -500.0..500.0f64,
        tx in -0.02..0.02f64, ty in -0.02..0.02f64, dz in -50.0..50.0f64, unit in prop::sample::select(vec![1.0, 3.280_839_895, 0.3048]),
    ) {
        let (floor, _) = random_floor(3 * seed);
        let span = 1.6;
        let tolerance = 4e-5;
        let base = find(&floor, Departure::Dip, span, tolerance);
        let (s, c) = turn.sin_cos();
        let points: Vec<(f64, f64, f64)> = floor.vertices().iter().map(|v| {
            let (x, y) = (v.at.x * unit, v.at.y * unit);
            (c * x - s * y + dx, s * x + c * y + dy, v.z + tx * v.at.x + ty * v.at.y + dz)
        }).collect();
        let moved = crate::support::meshes::from_triangles(&points, floor.triangles().to_vec());
        let other = search(&moved, Departure::Dip, span * unit, &SearchOptions { tolerance_m: tolerance, ..SearchOptions::default() }, &|_| ());
        prop_assert!(other.gap_m() <= base.bound_m + 1e-8 && base.gap_m() <= other.bound_m + 1e-8, "{} {}", other.gap_m(), base.gap_m());
        let tripled: Vec<(f64, f64, f64)> = points.iter().map(|p| (p.0, p.1, -3.0 * p.2)).collect();
        let tripled = crate::support::meshes::from_triangles(&tripled, floor.triangles().to_vec());
        let hump = search(&tripled, Departure::Hump, span * unit, &SearchOptions { tolerance_m: tolerance, ..SearchOptions::default() }, &|_| ());
        prop_assert!((hump.gap_m() - 3.0 * base.gap_m()).abs() <= 4.0 * tolerance);
    }
}

/// 7 by 7 readings 0.6 m apart that rise by 1/16 in steps away from the middle column, both ways alike.
fn stepped_valley() -> Floor {
    let step = 0.0254 / 16.0;
    let readings = (0..49u32)
        .map(|i| {
            let (c, r) = (i % 7, i / 7);
            let rise = f64::from(c.abs_diff(3)) * 2.0 * step;
            reading("", Point::new(f64::from(c) * 0.6, f64::from(r) * 0.6), rise)
        })
        .collect();
    let survey = Survey::new("", readings).expect("finite");
    Floor::build(&survey).expect("a grid").floor
}

// ORACLE: closed form. Across the valley an edge of 2.4 m rests four steps up on either side: 1/4 in, at every place
//         along the valley, and just the depth that need not be known. A search that tries to prove a whole sweep of
//         even placements under that depth takes millions of tests.
#[test]
fn a_gap_of_just_the_depth_to_ignore_is_soon_decided() {
    let floor = stepped_valley();
    for slack in [-1e-9, 0.0, 1e-9] {
        let options = SearchOptions {
            ignore_m: 0.25 * 0.0254 + slack,
            ..SearchOptions::default()
        };
        let searcher = Searcher::new(&floor, Departure::Dip, Ground::default(), Joints::default());
        let r = searcher.search(2.4, &options, &|_| ());
        assert!(r.complete, "{slack}: {r:?}");
        assert!(searcher.work() < 20_000, "{slack}: {}", searcher.work());
        near(r.gap_m(), 0.25 * 0.0254, 1e-6);
        assert!(r.bound_m <= 0.25 * 0.0254 + 1.1e-4, "{r:?}");
    }
}

// ORACLE: closed form: no edge shows a gap on a plane, however it slopes. Sampled edges lie along the diagonals of the squares
// as well.
#[test]
fn a_sloping_plane_has_no_gap_along_diagonals() {
    for (nx, ny, pitch) in [(9, 7, 0.609_6), (13, 11, 0.609_6), (25, 21, 0.304_8)] {
        for (sx, sy) in [(0.02, 0.0), (0.0, -0.03), (0.052, 0.02), (0.066, -0.066)] {
            let readings = (0..nx * ny)
                .map(|k| {
                    let at = Point::new(f64::from(k % nx) * pitch, f64::from(k / nx) * pitch);
                    reading(&format!("P{k}"), at, sx * at.x + sy * at.y)
                })
                .collect();
            let floor = Floor::build(&Survey::new("", readings).unwrap())
                .unwrap()
                .floor;
            let searcher = Searcher::new(&floor, Departure::Dip, Ground::Surveyed, Joints::Cross);
            for sample in [pitch / 2.0, pitch / 3.2] {
                let worst = searcher.sampled(&floor, 3.048, sample).worst();
                assert!(
                    worst.is_none_or(|w| w.gap_m < 1e-9),
                    "{nx} {sx} {sy} {worst:?}"
                );
            }
        }
    }
}

// ORACLE: property. Over a step an edge as short as the step is wide shows as much as a long one: none that a person cannot lay is told, and
//         what is told is what the floor shows there.
#[test]
fn no_place_at_a_step_is_an_edge_of_no_length() {
    let floor = two_slabs(0.004);
    let searcher = Searcher::new(&floor, Departure::Dip, Ground::Surveyed, Joints::Cross);
    let span = 1.0;
    let whole = searcher.search(span, &SearchOptions::default(), &|_| ());
    let places = searcher.places(&whole, 6);
    assert!(places.len() > 1, "{places:?}");
    for p in &places {
        assert!(p.chord_m() > 0.1, "{p:?}");
        assert!(p.gap_m > 0.0 && p.gap_m <= 0.004 + 1e-9, "{p:?}");
    }
    for p in searcher.deep(span, 50) {
        assert!(p.chord_m() > 0.005, "{p:?}");
    }
}
