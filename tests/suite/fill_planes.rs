//! Finish planes: the least-fill tilted plane against brute force, grind or fill, heights at doors.

use super::floors::{cells, even, room_ft, top};
use birdbath::fill::{
    GrindSteps, Material, NamedPoint, Plane, PlaneRule, Prices, Stage, Step, centroid, compute,
    grind_or_fill, heights_after, least_fill, named_points, step,
};
use birdbath::geometry::Point;
use birdbath::surface::Floor;
use birdbath::survey::Door;
use birdbath::units::Habit;
use birdbath::units::{FOOT_M, INCH_M};
use proptest::prelude::*;

/// Lowest value at the centroid of any plane through three corners that lies over all corners.
fn brute_force(floor: &Floor) -> f64 {
    let v = floor.vertices();
    let c = centroid(floor);
    let mut best = f64::INFINITY;
    for i in 0..v.len() {
        for j in 0..i {
            for k in 0..j {
                let (p, q, r) = (v[i], v[j], v[k]);
                let (a, b) = (q.at - p.at, r.at - p.at);
                let det = a.cross(b);
                if det.abs() < 1e-12 {
                    continue;
                }
                let (da, db) = (q.z - p.z, r.z - p.z);
                let sx = (da * b.y - db * a.y) / det;
                let sy = (db * a.x - da * b.x) / det;
                let at = |x: Point| p.z + sx * (x.x - p.at.x) + sy * (x.y - p.at.y);
                if v.iter().all(|w| w.z <= at(w.at) + 1e-12) {
                    best = best.min(at(c));
                }
            }
        }
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    // ORACLE: independent code: every plane through three corners is tried.
    #[test]
    fn least_fill_plane_is_the_lowest_over_the_centroid(
        z in prop::collection::vec(-0.02f64..0.02, 20),
        coarse in prop::bool::ANY,
        gone in 0usize..12,
    ) {
        let round = |v: f64| if coarse { (v * 200.0).round() / 200.0 } else { v };
        let xs = [0.0, 1.0, 2.0, 3.0, 4.0];
        let ys = [0.0, 1.0, 2.0, 3.0];
        let floor = cells(&xs, &ys, |i, j| j * 4 + i != gone, false, |p| {
            round(z[p.y as usize * 5 + p.x as usize])
        });
        let plane = least_fill(&floor);
        for v in floor.vertices() {
            prop_assert!(plane.at(v.at) >= v.z - 1e-12, "{} under {}", plane.at(v.at), v.z);
        }
        let expected = brute_force(&floor);
        let got = plane.at(centroid(&floor));
        prop_assert!((got - expected).abs() < 1e-11, "{} instead of {}", got, expected);
    }
}

// ORACLE: closed form. A tilted flat floor takes nothing under its own plane, wherever it lies.
#[test]
fn a_tilted_flat_floor_takes_nothing() {
    let tilt = |p: Point| 12.0 + 0.013 * p.x - 0.004 * p.y;
    let xs: Vec<f64> = even(9.0, 6).iter().map(|x| x + 5_000.0).collect();
    let floor = cells(&xs, &even(4.0, 5), |_, _| true, false, tilt);
    let fill = compute(&floor, top(&floor), &PlaneRule::LeastFill, &[0.003]);
    assert!(fill.volume_m3 < 36.0 * 1e-11, "{}", fill.volume_m3);
    assert!(fill.least_m > -1e-12);
    assert!((fill.plane.sx - 0.013).abs() < 1e-10 && (fill.plane.sy + 0.004).abs() < 1e-10);
    // Level over the high point it would be 0.133 / 2 on average.
    let over = compute(
        &floor,
        top(&floor),
        &PlaneRule::OverHighPoint { gauge_m: 0.0 },
        &[],
    );
    assert!((over.volume_m3 - 36.0 * (0.117 + 0.016) / 2.0).abs() < 1e-9);
}

// ORACLE: hand. A floor z = -0.01 x, 3 m by 2 m; lowering by 5 mm grinds x < 0.5: area 1 m2,
// volume 2 * 0.01 * 0.5^2 / 2 = 0.0025; material under -0.005: 2 * 0.01 * 2.5^2 / 2 = 0.0625,
// and 3 mm over all 6 m2: 0.0805. Not lowered: 2 * 0.01 * 3^2 / 2 + 0.018 = 0.108.
#[test]
fn grind_or_fill_on_a_wedge() {
    let floor = cells(
        &even(3.0, 3),
        &even(2.0, 2),
        |_, _| true,
        false,
        |p| -0.01 * p.x,
    );
    let material = Material {
        yield_m3: Some(0.0125),
        ..Material::default()
    };
    let prices = Prices {
        per_bag: Some(40.0),
        per_grind_m2: Some(30.0),
        ..Prices::default()
    };
    let stage = Stage::new(&floor, 0.0);
    let rows = grind_or_fill(
        &stage,
        0.003,
        GrindSteps {
            step_m: 0.001,
            deepest_m: 0.012,
            allowed_m: None,
        },
        &material,
        0.10,
        Some(&prices),
    )
    .unwrap();
    assert_eq!(rows.len(), 13);
    let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} {b}");
    close(rows[0].volume_m3, 0.108);
    close(rows[0].grind_area_m2, 0.0);
    let row = rows[5];
    close(row.grind_area_m2, 1.0);
    close(row.grind_volume_m3, 0.0025);
    close(row.deepest_grind_m, 0.005);
    close(row.volume_m3, 0.0805);
    close(row.level_m, -0.002);
    // 0.108 * 1.1 / 0.0125 = 9.504 -> 10 bags; 0.0805 * 1.1 / 0.0125 = 7.084 -> 8 bags.
    assert_eq!(
        (rows[0].bags, row.bags, row.bags_saved),
        (Some(10), Some(8), Some(2))
    );
    close(row.total_cost.unwrap(), 30.0 + 8.0 * 40.0);
    assert_eq!(rows.iter().filter(|r| r.cheapest).count(), 1);
    let least = rows
        .iter()
        .filter_map(|r| r.total_cost)
        .fold(f64::MAX, f64::min);
    let cheapest = rows.iter().find(|r| r.cheapest).unwrap();
    close(cheapest.total_cost.unwrap(), least);
    let no_step = GrindSteps {
        step_m: 0.0,
        deepest_m: 0.01,
        allowed_m: None,
    };
    let rows = grind_or_fill(&stage, 0.003, no_step, &material, 0.1, None).unwrap();
    assert_eq!(rows.len(), 1);
}

// ORACLE: published. 2010 ADA Standards, 303.2 to 303.4: to 1/4 in vertical, to 1/2 in bevelled 1:2, above
// that a ramp 1:12 (405.2). A height equal to a limit keeps it.
#[test]
fn steps_at_the_edges_of_the_rule() {
    let inch = |n: f64| step(n * INCH_M);
    assert_eq!(inch(0.0), Step::Vertical);
    assert_eq!(inch(0.25), Step::Vertical);
    assert_eq!(inch(-0.25), Step::Vertical);
    let run = |s: Step| match s {
        Step::Bevel { run_m } | Step::Ramp { run_m } => run_m / INCH_M,
        Step::Vertical => 0.0,
    };
    assert!(matches!(inch(3.0 / 8.0), Step::Bevel { .. }));
    assert!((run(inch(3.0 / 8.0)) - 0.75).abs() < 1e-12);
    assert!(matches!(inch(0.5), Step::Bevel { .. }));
    assert!(matches!(inch(9.0 / 16.0), Step::Ramp { .. }));
    assert!((run(inch(9.0 / 16.0)) - 6.75).abs() < 1e-12);
}

// ORACLE: hand. Corridor 6 ft by 100 ft falling 1 1/4 in evenly, finish 1/8 in over the high end:
// the floor rises 1/8 + 1.25 x / 100 in at x ft: 1/4 in at x = 10, 1/2 in at x = 30, 1 3/8 in at
// the low end; a door under-cut by 1/2 in drags from x = 30 on.
#[test]
fn corridor_heights_at_its_doors() {
    let xs: Vec<f64> = even(100.0 * FOOT_M, 20);
    let fall = 1.25 * INCH_M / (100.0 * FOOT_M);
    let floor = cells(
        &xs,
        &even(6.0 * FOOT_M, 2),
        |_, _| true,
        false,
        |p| -fall * p.x,
    );
    let mut room = room_ft(100.0, 6.0);
    for k in 0..=8 {
        let x = 12.0 * f64::from(k);
        room.doors.push(Door {
            name: format!("{x} ft"),
            at: Point::new(x * FOOT_M, -0.05),
            width_m: 0.9,
            under_cut_m: Some(0.5 * INCH_M),
            adjoining_m: Some(-fall * x * FOOT_M),
            read_in: None,
        });
    }
    let plane = Plane::level(INCH_M / 8.0);
    let heights = heights_after(&floor, Some(&room), &plane, &named_points(&room), Habit::Us);
    assert_eq!(heights.len(), 9);
    for (k, h) in heights.iter().enumerate() {
        let rise = 0.125 + 0.15 * k as f64;
        assert!(
            (h.rise_m.unwrap() / INCH_M - rise).abs() < 1e-9,
            "{}",
            h.name
        );
        assert!((h.step_m.unwrap() / INCH_M - rise).abs() < 1e-9);
        let kind = h.step.unwrap();
        match k {
            0 => assert_eq!(kind, Step::Vertical),
            1 | 2 => assert!(matches!(kind, Step::Bevel { .. }), "{}", h.name),
            _ => assert!(matches!(kind, Step::Ramp { .. }), "{}", h.name),
        }
        assert_eq!(h.door_gap_m.unwrap() <= 0.0, k >= 3, "{}", h.name);
        assert_eq!(h.remarks.iter().any(|r| r.contains("drag")), k >= 3);
    }
}

// ORACLE: hand. A reading of 38 in typed for an elevation puts the floor beyond the door 38 in over this one, less the 1/8 in of material:
//         37.875 in. No ramp is told of it; of a step of 20 in one is.
#[test]
fn a_reading_typed_for_an_elevation_is_asked_about() {
    let floor = cells(&even(4.0, 4), &even(4.0, 4), |_, _| true, false, |_| 0.0);
    let remarks = |adjoining_in: f64| {
        let point = NamedPoint {
            name: "hall door".into(),
            at: Point::new(1.2, 1.7),
            adjoining_m: Some(adjoining_in * INCH_M),
            ..NamedPoint::default()
        };
        let plane = Plane::level(INCH_M / 8.0);
        heights_after(&floor, None, &plane, &[point], Habit::Us)[0]
            .remarks
            .clone()
    };
    for (adjoining_in, way) in [(38.0, "higher"), (-38.0, "lower")] {
        let told = remarks(adjoining_in);
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(
            told[0].contains(way) && told[0].contains("adjoining_reading"),
            "{told:?}"
        );
        assert!(
            told[0].contains("3 ft") && !told[0].contains("ramp"),
            "{told:?}"
        );
    }
    assert!(remarks(-20.0)[0].contains("ramp"), "{:?}", remarks(-20.0));
}

// ORACLE: hand. Finish 2 mm over a flat floor: 5 mm of cover lack 3; a limit at 1 mm is passed by 1.
#[test]
fn cover_limits_and_places_off_the_floor() {
    let floor = cells(&even(4.0, 4), &even(4.0, 4), |_, _| true, false, |_| 0.0);
    let at = |x: f64, y: f64| NamedPoint {
        name: "p".into(),
        at: Point::new(x, y),
        ..NamedPoint::default()
    };
    let points = [
        NamedPoint {
            cover_m: Some(0.005),
            limit_m: Some(0.001),
            ..at(1.2, 1.7)
        },
        at(9.0, 9.0),
    ];
    let heights = heights_after(&floor, None, &Plane::level(0.002), &points, Habit::Metric);
    assert!((heights[0].cover_spare_m.unwrap() + 0.003).abs() < 1e-12);
    assert!((heights[0].below_limit_m.unwrap() + 0.001).abs() < 1e-12);
    assert_eq!(heights[0].remarks.len(), 2);
    assert_eq!(heights[1].after_m, None);
    assert_eq!(heights[1].remarks.len(), 1);
    // Floor that stands above the finish is not raised.
    let high = heights_after(
        &floor,
        None,
        &Plane::level(-0.004),
        &points[..1],
        Habit::Metric,
    );
    assert_eq!(high[0].rise_m, Some(0.0));
}

// ORACLE: hand. A fall of 1 in 50 from (1, 2) towards (4, 6), five metres off: 100 mm lower there.
#[test]
fn a_given_fall() {
    let (from, to) = (Point::new(1.0, 2.0), Point::new(4.0, 6.0));
    let plane = Plane::falling(from, 0.3, to, 0.02);
    assert!((plane.at(from) - 0.3).abs() < 1e-15);
    assert!((plane.at(to) - 0.2).abs() < 1e-15);
    // Level across the fall.
    assert!((plane.at(Point::new(-3.0, 5.0)) - 0.3).abs() < 1e-15);
    assert!(Plane::falling(from, 0.3, from, 0.02).is_level());
}
