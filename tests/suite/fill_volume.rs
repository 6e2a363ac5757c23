//! Volume, stage curve, spots: closed forms, an independent raster, and properties.

use super::floors::{cells, even, top};
use birdbath::fill::{
    BANDS_METRIC_M, Fill, Plane, PlaneRule, Stage, compute, settle, settle_rake, spots_above,
};
use birdbath::geometry::{Point, Region, Ring};
use birdbath::surface::{Floor, Source, Vertex};
use proptest::prelude::*;

fn level(floor: &Floor, elevation_m: f64) -> Fill {
    let rule = PlaneRule::AtLevel { elevation_m };
    compute(floor, top(floor), &rule, &BANDS_METRIC_M)
}

fn near(got: f64, expected: f64, relative: f64) {
    assert!(
        (got - expected).abs() <= relative * expected.abs(),
        "{got}, expected {expected}"
    );
}

// ORACLE: closed form. Floor z = -0.02 x over 4 m by 3 m, finish at -0.04: wet where x > 2, depth
// 0.02 (x - 2): volume 3 * 0.02 * 2^2 / 2 = 0.12; above 0.12 as well by symmetry.
// TOLERANCE: 1e-13 relative, rounding only.
#[test]
fn a_wedge() {
    let floor = cells(
        &even(4.0, 7),
        &even(3.0, 5),
        |_, _| true,
        false,
        |p| -0.02 * p.x,
    );
    let fill = level(&floor, -0.04);
    near(fill.volume_m3, 0.12, 1e-13);
    near(fill.above_m3, 0.12, 1e-13);
    near(fill.wet_area_m2, 6.0, 1e-13);
    near(fill.dry_area_m2, 6.0, 1e-13);
    near(fill.mean_depth_m, 0.02, 1e-13);
    near(fill.deepest_m, 0.04, 1e-13);
    near(fill.least_m, -0.04, 1e-13);
    assert_eq!((fill.deepest_at.x, fill.deepest_at.y), (4.0, 0.0));
    assert_eq!((fill.least_at.x, fill.least_at.y), (0.0, 0.0));
    // Bands: depth <= 3 mm covers 0.15 m of x: area 0.45, volume 3 * 0.02 * 0.15^2 / 2.
    near(fill.bands[0].area_m2, 0.45, 1e-12);
    near(
        fill.bands[0].volume_m3,
        3.0 * 0.02 * 0.15 * 0.15 / 2.0,
        1e-12,
    );
    let sum: f64 = fill.bands.iter().map(|b| b.volume_m3).sum();
    near(sum, fill.volume_m3, 1e-12);
    assert_eq!(fill.bands.last().unwrap().to_m, None);
}

/// A regular pyramid of `sides` sides, radius 1 m, with its tip `tip_m` above (below: negative) the rim.
fn pyramid(sides: usize, tip_m: f64) -> Floor {
    let rim = |i: usize| {
        let a = std::f64::consts::TAU * i as f64 / sides as f64;
        Point::new(a.cos(), a.sin())
    };
    let vertex = |at, z, i| Vertex {
        at,
        z,
        source: Source::Reading(i),
    };
    let mut vertices: Vec<Vertex> = (0..sides).map(|i| vertex(rim(i), 0.0, i as u32)).collect();
    vertices.push(vertex(Point::default(), tip_m, sides as u32));
    let n = sides as u32;
    let triangles = (0..n).map(|i| [i, (i + 1) % n, n]).collect();
    let region = Region {
        outline: Ring::new((0..sides).map(rim).collect()),
        voids: vec![],
    };
    Floor::from_parts(vertices, triangles, region).unwrap()
}

// ORACLE: closed form. A hollow pyramid of base area B and depth h, filled to height t over its
// tip, holds B h / 3 (t / h)^3; a hump of the same shape cut at height t under its tip leaves
// B h / 3 (t / h)^3 above and B (h - t) - (B h / 3 - that) below. B = n/2 sin(2 pi / n); as n grows
// the pyramid becomes the cone pi h / 3 (n = 720: within 2e-5).
#[test]
fn a_pyramid_and_a_cone_cut_by_a_plane() {
    for (sides, tilt) in [(4usize, 0.05), (5, 0.3), (720, 0.02)] {
        let n = sides as f64;
        let base = n / 2.0 * (std::f64::consts::TAU / n).sin();
        for share in [0.25f64, 0.5, 0.75, 1.0] {
            let t = share * tilt;
            let cut = base * tilt / 3.0 * share.powi(3);
            let hollow = level(&pyramid(sides, -tilt), -tilt + t);
            near(hollow.volume_m3, cut, 1e-12);
            near(hollow.wet_area_m2, base * share * share, 1e-12);
            let hump = level(&pyramid(sides, tilt), tilt - t);
            near(hump.above_m3, cut, 1e-12);
            let below = base * (tilt - t) - (base * tilt / 3.0 - cut);
            assert!((hump.volume_m3 - below).abs() < 1e-14);
        }
        if sides == 720 {
            let cone = std::f64::consts::PI * tilt / 3.0;
            near(level(&pyramid(sides, -tilt), 0.0).volume_m3, cone, 2e-5);
        }
    }
}

fn wavy(p: Point) -> f64 {
    0.01 * (1.3 * p.x).sin() + 0.008 * (0.9 * p.y + 0.4 * p.x).cos()
}

// ORACLE: independent code. The same triangles sampled on a raster of 1,200 by 800 places by a
// plain lookup of the cell and its half; no prism, no clipping.
// TOLERANCE: 2e-5 of the volume, the error of a midpoint raster of this pitch.
#[test]
fn volume_agrees_with_a_raster() {
    let (xs, ys) = (even(6.0, 9), even(4.0, 7));
    let floor = cells(&xs, &ys, |_, _| true, false, wavy);
    let height = |x: f64, y: f64| {
        let cell = |v: f64, lines: &[f64]| {
            let i = lines
                .iter()
                .filter(|&&l| l <= v)
                .count()
                .clamp(1, lines.len() - 1)
                - 1;
            (i, (v - lines[i]) / (lines[i + 1] - lines[i]))
        };
        let ((i, u), (j, v)) = (cell(x, &xs), cell(y, &ys));
        let z = |di: usize, dj: usize| wavy(Point::new(xs[i + di], ys[j + dj]));
        if u >= v {
            z(0, 0) * (1.0 - u) + z(1, 0) * (u - v) + z(1, 1) * v
        } else {
            z(0, 0) * (1.0 - v) + z(0, 1) * (v - u) + z(1, 1) * u
        }
    };
    for finish in [-0.004, 0.003, 0.012] {
        let (nx, ny) = (1_200, 800);
        let (dx, dy) = (6.0 / nx as f64, 4.0 / ny as f64);
        let mut volume = 0.0;
        for j in 0..ny {
            for i in 0..nx {
                let z = height((i as f64 + 0.5) * dx, (j as f64 + 0.5) * dy);
                volume += (finish - z).max(0.0) * dx * dy;
            }
        }
        near(level(&floor, finish).volume_m3, volume, 2e-5);
    }
}

// ORACLE: closed form. The hollow square pyramid: level over the tip for a volume v is
// h (3 v / (B h))^(1/3); above the rim every further cubic metre adds 1/B.
#[test]
fn the_level_that_a_volume_comes_to() {
    let floor = pyramid(4, -0.06);
    let stage = Stage::new(&floor, 0.0);
    let full = 2.0 * 0.06 / 3.0;
    for share in [1e-9, 1e-4, 0.1, 0.5, 0.999] {
        let v = share * full;
        let expected = -0.06 + 0.06 * f64::cbrt(3.0 * v / (2.0 * 0.06));
        assert!(
            (stage.level_for_volume(v) - expected).abs() < 1e-13,
            "{share}"
        );
    }
    assert!((stage.level_for_volume(full + 0.02) - 0.01).abs() < 1e-14);
    assert_eq!(stage.level_for_volume(0.0), -0.06);
    assert_eq!(stage.level_for_volume(-1.0), -0.06);
    assert_eq!(stage.level_for_volume(f64::NAN), -0.06);
    let curve = stage.curve(0.01, 15);
    assert!(curve.windows(2).all(|w| w[1].volume_m3 > w[0].volume_m3));
    assert!(
        curve.iter().any(|p| p.level_m == 0.0),
        "the rim is among the points"
    );
}

// ORACLE: hand. Two humps 4 mm high on a flat floor 6 m2 large, 0.3 m of each cut by nothing else:
// area times the rake's setting of 3 mm is spread as if the floor were flat, so both stay bare on top.
#[test]
fn area_times_rake_setting_leaves_the_humps_bare() {
    let (xs, ys) = (even(3.0, 12), even(2.0, 8));
    let hump = |p: Point| {
        let at = |x: f64, y: f64| p.distance(Point::new(x, y)) < 1e-9;
        if at(0.75, 1.0) || at(2.25, 1.0) {
            0.004
        } else {
            0.0
        }
    };
    let floor = cells(&xs, &ys, |_, _| true, false, hump);
    let stage = Stage::new(&floor, top(&floor));
    let settled = settle_rake(&floor, &stage, 0.003, Some(0.003));
    near(settled.given_m3, 0.018, 1e-12);
    assert_eq!(settled.bare.len(), 2);
    assert!(settled.point.level_m > 0.003 && settled.point.level_m < 0.004);
    assert!(settled.point.dry_area_m2 > 0.0);
    near(settled.point.volume_m3, 0.018, 1e-12);
    // What lacks for 3 mm over the humps: the same floor to 7 mm, less what was given.
    let lacks = stage.volume_at(0.007) - 0.018;
    near(settled.short_of_gauge_m3.unwrap(), lacks, 1e-12);
    let sum: f64 = settled.bare.iter().map(|s| s.area_m2).sum();
    near(sum, settled.point.dry_area_m2, 1e-9);
    let none = settle(&floor, &stage, 0.0, None);
    assert_eq!(none.point.wet_area_m2, 0.0);
}

#[test]
fn spots_are_counted_apart() {
    let floor = cells(
        &even(8.0, 32),
        &even(1.0, 4),
        |_, _| true,
        false,
        |p| (std::f64::consts::PI * p.x).sin() * 0.005,
    );
    let spots = spots_above(&floor, &Plane::level(0.004));
    assert_eq!(spots.len(), 4, "four crests stand above");
    assert!(spots.iter().all(|s| (s.highest_m - 0.001).abs() < 1e-12));
    assert!(spots_above(&floor, &Plane::level(0.005)).is_empty());
}

// Degenerate: floor exactly at the finish carries nothing and is no spot.
#[test]
fn a_floor_at_the_finish_is_dry() {
    let floor = cells(&even(2.0, 2), &even(1.0, 1), |_, _| true, false, |_| 0.25);
    let fill = level(&floor, 0.25);
    assert_eq!(
        (fill.volume_m3, fill.wet_area_m2, fill.above_m3),
        (0.0, 0.0, 0.0)
    );
    assert_eq!((fill.dry_area_m2, fill.above_area_m2), (2.0, 0.0));
    assert_eq!(fill.mean_depth_m, 0.0);
}

// ORACLE: hand. Plateaus 2 m wide at 0, 1/8 in and 3/8 in under the high point, a slope of 1 m between each two, 3 m across; finish 1/8 in over
//         the high point: depths of 1/8, 1/4 and 1/2 in. On the slopes depth grows evenly, so that each side of an edge follows from
//         its share of the way: bands 0 to 1/8: 2 x 3; 1/8 to 1/4: (1 + 2 + 0) x 3; 1/4 to 1/2: (1 + 2) x 3. Ground down to the second plateau:
//         2 x 3 and the slope. All of it whatever height the line was set at.
#[test]
fn a_plateau_at_an_edge_is_in_the_shallower_band_at_any_height_of_the_line() {
    let eighth = 0.0254 / 8.0;
    let x = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0];
    let down = [0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 3.0, 3.0, 3.0];
    for sixteenths in 480..880u32 {
        // As readings of a rule come in: a height in inches under the line, in metres, its sign turned.
        let line = f64::from(sixteenths) / 16.0;
        let read = |p: Point| -((line + 0.125 * down[p.x.round() as usize]) * 0.0254);
        let floor = cells(&x, &even(3.0, 4), |_, _| true, false, read);
        let high = top(&floor);
        let rule = PlaneRule::AtLevel {
            elevation_m: high + eighth,
        };
        let fill = compute(&floor, high, &rule, &[eighth, 2.0 * eighth, 4.0 * eighth]);
        let areas: Vec<f64> = fill.bands.iter().map(|b| b.area_m2).collect();
        for (got, expected) in areas.iter().zip([6.0, 9.0, 9.0, 0.0]) {
            assert!((got - expected).abs() < 1e-6, "{sixteenths}: {areas:?}");
        }
        let stage = Stage::new(&floor, high);
        let ground = stage.above(high - eighth).area_m2;
        assert!((ground - 9.0).abs() < 1e-6, "{sixteenths}: {ground}");
        let bare = stage.at_level(high - eighth);
        assert!(
            (bare.wet_area_m2 - 9.0).abs() < 1e-6,
            "{sixteenths}: {bare:?}"
        );
        let flush = level(&floor, high - 3.0 * eighth);
        assert_eq!(flush.wet_area_m2, 0.0, "{sixteenths}");
    }
}

/// The same floor moved, turned and lifted.
fn moved(floor: &Floor, turn: f64, shift: Point, lift: f64, scale: f64) -> Floor {
    let vertices = floor
        .vertices()
        .iter()
        .map(|v| {
            let (s, c) = turn.sin_cos();
            let at = Point::new(c * v.at.x - s * v.at.y, s * v.at.x + c * v.at.y) * scale + shift;
            Vertex {
                at,
                z: v.z * scale + lift,
                ..*v
            }
        })
        .collect();
    Floor::from_parts(vertices, floor.triangles().to_vec(), floor.region().clone()).unwrap()
}

fn rough(z: &[f64]) -> Floor {
    let (xs, ys) = ([0.0, 0.7, 1.1, 2.6, 3.0], [0.0, 0.4, 1.9, 2.2]);
    cells(
        &xs,
        &ys,
        |_, _| true,
        false,
        |p| {
            let i = xs.iter().position(|&x| x == p.x).unwrap();
            let j = ys.iter().position(|&y| y == p.y).unwrap();
            z[j * xs.len() + i]
        },
    )
}

// ORACLE: independent route. The fill sums every prism for itself; the stage curve sums whole blocks of
// prisms under the level beforehand. 3,528 triangles of rough floor, so many blocks, cut at every height,
// with one spike that keeps a prism cut over the whole range.
// TOLERANCE: 1e-12 relative; a layer 1 micrometre thin over everything keeps nine digits.
#[test]
fn stage_of_many_prisms_agrees_with_prism_by_prism() {
    let rough = |p: Point| {
        let k = (p.x * 12.9898 + p.y * 78.233).sin() * 43_758.547;
        let spike = if p.x == 3.0 && p.y == 3.0 { 0.5 } else { 0.0 };
        0.01 * (k - k.floor()) + 0.002 * p.x + spike
    };
    let floor = cells(&even(8.4, 42), &even(8.4, 42), |_, _| true, false, rough);
    let stage = Stage::new(&floor, top(&floor));
    for i in 0..=40 {
        let at = stage.lowest_m() + (stage.highest_m() - stage.lowest_m()) * f64::from(i) / 40.0;
        for finish in [at, at * 0.06] {
            let fill = level(&floor, finish);
            let point = stage.at_level(finish);
            near(point.volume_m3, fill.volume_m3, 1e-12);
            near(point.wet_area_m2, fill.wet_area_m2, 1e-12);
            near(stage.above(finish).volume_m3, fill.above_m3, 1e-12);
            near(stage.above(finish).area_m2, fill.above_area_m2, 1e-12);
            let area = stage.above(finish).area_m2;
            assert!((area - fill.dry_area_m2).abs() < 1e-9, "{area}");
        }
    }
    let flat = cells(&even(8.4, 42), &even(8.4, 42), |_, _| true, false, |_| 10.0);
    let stage = Stage::new(&flat, 10.0);
    let layer = stage.volume_at(10.0 + 1e-6);
    near(layer, 8.4 * 8.4 * ((10.0 + 1e-6) - 10.0), 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    // ORACLE: property. TOLERANCE: 1e-9 relative: coordinates a kilometre off cost four digits.
    #[test]
    fn volume_does_not_depend_on_where_the_floor_lies(
        z in prop::collection::vec(-0.02f64..0.02, 20),
        turn in 0.0f64..6.3, x in -1000.0f64..1000.0, y in -1000.0f64..1000.0,
        lift in -5.0f64..5.0, finish in -0.03f64..0.04,
    ) {
        let floor = rough(&z);
        let there = moved(&floor, turn, Point::new(x, y), lift, 1.0);
        let (a, b) = (level(&floor, finish), level(&there, finish + lift));
        let whole = 3.0 * 2.2 * 0.05;
        prop_assert!((a.volume_m3 - b.volume_m3).abs() < 1e-9 * whole);
        prop_assert!((a.wet_area_m2 - b.wet_area_m2).abs() < 1e-6);
        prop_assert!((a.above_m3 - b.above_m3).abs() < 1e-9 * whole);
        let big = level(&moved(&floor, 0.0, Point::default(), 0.0, 3.0), 3.0 * finish);
        prop_assert!((big.volume_m3 - 27.0 * a.volume_m3).abs() < 1e-11);
    }

    #[test]
    fn what_is_below_less_what_is_above_is_linear(
        z in prop::collection::vec(-0.02f64..0.02, 20), finish in -0.03f64..0.04,
        sx in -0.01f64..0.01, sy in -0.01f64..0.01,
    ) {
        // ORACLE: property. Volume below less volume above = integral of the depth: a plain sum of
        // area times mean depth, no cutting.
        let floor = rough(&z);
        let plane = Plane { z0: finish, sx, sy };
        let fill = compute(&floor, top(&floor), &PlaneRule::Fall { plane }, &BANDS_METRIC_M);
        let plain: f64 = (0..floor.triangles().len() as u32)
            .map(|t| {
                let d: f64 = floor.corners(t).iter().map(|v| plane.at(v.at) - v.z).sum();
                floor.triangle_area(t) * d / 3.0
            })
            .sum();
        prop_assert!((fill.volume_m3 - fill.above_m3 - plain).abs() < 1e-13);
        prop_assert!((fill.wet_area_m2 + fill.dry_area_m2 - 6.6).abs() < 1e-10);
        let (area, volume) = fill.bands.iter().fold((0.0, 0.0), |s, b| (s.0 + b.area_m2, s.1 + b.volume_m3));
        // Where a band's border grazes a triangle, rounding is as large as the heights are small.
        prop_assert!((area - fill.wet_area_m2).abs() < 1e-10);
        prop_assert!((volume - fill.volume_m3).abs() < 1e-13);
    }

    #[test]
    fn two_halves_hold_what_the_whole_holds(
        z in prop::collection::vec(-0.02f64..0.02, 20), finish in -0.03f64..0.04, at in 1usize..4,
    ) {
        let (xs, ys) = ([0.0, 0.7, 1.1, 2.6, 3.0], [0.0, 0.4, 1.9, 2.2]);
        let height = |p: Point| {
            let i = xs.iter().position(|&x| x == p.x).unwrap();
            let j = ys.iter().position(|&y| y == p.y).unwrap();
            z[j * xs.len() + i]
        };
        let part = |keep: &dyn Fn(usize) -> bool| level(&cells(&xs, &ys, |i, _| keep(i), false, height), finish).volume_m3;
        let whole = part(&|_| true);
        prop_assert!((part(&|i| i < at) + part(&|i| i >= at) - whole).abs() < 1e-14);
    }

    #[test]
    fn stage_is_its_own_inverse(
        z in prop::collection::vec(-0.02f64..0.02, 20), share in 0.0f64..1.0, flat in prop::bool::ANY,
    ) {
        let mut z = z;
        if flat {
            // Large flats make the area jump: the curve's slope does too.
            for v in &mut z { *v = (*v * 100.0).round() / 100.0; }
        }
        let floor = rough(&z);
        let stage = Stage::new(&floor, top(&floor));
        let v = share * 0.3;
        let back = stage.volume_at(stage.level_for_volume(v));
        prop_assert!((back - v).abs() <= 1e-12 * v + 1e-17, "{} from {}", back, v);
        let level = stage.lowest_m() + share * 0.05;
        let again = stage.level_for_volume(stage.volume_at(level));
        prop_assert!((stage.volume_at(again) - stage.volume_at(level)).abs() < 1e-14);
    }

    #[test]
    fn stage_agrees_with_the_fill(z in prop::collection::vec(-0.02f64..0.02, 20), finish in -0.03f64..0.04) {
        let floor = rough(&z);
        let fill = level(&floor, finish);
        let point = Stage::new(&floor, top(&floor)).at_level(finish);
        prop_assert!((fill.volume_m3 - point.volume_m3).abs() < 1e-15);
        prop_assert!((fill.wet_area_m2 - point.wet_area_m2).abs() < 1e-12);
    }
}
