//! Patch plans of floors with columns, joints and notches.

use super::floors::cells;
use super::patch::{asked, dip, hump, solved};
use super::surveys::{built, height, room};
use birdbath::flatness::{Ground, Joints};
use birdbath::geometry::Point;
use birdbath::patch::{PatchLimit, PatchRequest};
use birdbath::surface::Floor;
use birdbath::survey::Joint;

// ORACLE:    closed form: the V of `a_v_shaped_hollow_takes_the_closed_form`, with a column standing across all of it. Chords
//            end at the column, and each profile that is left still needs (d - aim) w.
// TOLERANCE: half the search's tolerance, 0.025 mm in the 4 mm to raise, is 1 part in 160
#[test]
fn a_column_across_a_hollow_takes_its_share_away() {
    let (deep, wide) = (0.006, 0.5);
    let xs = [-1.0, -0.5, 0.0, 0.5, 1.0];
    let ys: Vec<f64> = (0..=6).map(|j| 0.25 * f64::from(j)).collect();
    let z = |p: Point| -deep * (1.0 - p.x.abs() / wide).max(0.0);
    let inside = |i: usize, j: usize| (1..=2).contains(&i) && (2..=3).contains(&j);
    let whole = cells(&xs, &ys, |_, _| true, false, z);
    let holed = cells(&xs, &ys, |i, j| !inside(i, j), false, z);
    let request = asked(vec![dip(1.5, 0.0021)]);
    let aim = 0.0021 - 2.0 * request.tolerance_m;
    for (floor, long) in [(&whole, 1.5), (&holed, 1.0)] {
        let plan = solved(floor, &request);
        let expected = (deep - aim) * wide * long;
        assert!(
            (plan.fill_volume_m3 / expected - 1.0).abs() < 0.01,
            "{}: {expected} expected",
            plan.fill_volume_m3
        );
    }
    // Two patches, one on each side of the column.
    assert_eq!(solved(&holed, &request).patches.len(), 2);
}

/// A slab that steps down by `step_m` at a joint along x = 0: 2 m above it, 3 m below it, 1 m wide.
fn stepped(step_m: f64) -> Floor {
    let xs = [-2.0, -1.5, -1.0, -0.5, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0];
    let points: Vec<[f64; 3]> = [0.0, 0.5, 1.0]
        .iter()
        .flat_map(|&y| xs.map(|x| [x, y, if x < 0.0 { step_m } else { 0.0 }]))
        .collect();
    let mut walls = room(&[[-2.0, 0.0], [3.0, 0.0], [3.0, 1.0], [-2.0, 1.0]], &[]);
    walls.joints.push(Joint {
        name: "saw cut".to_owned(),
        line: vec![Point::new(0.0, 0.0), Point::new(0.0, 1.0)],
        movement: false,
    });
    built(&points, Some(walls)).floor
}

// ORACLE:    closed form: an edge of length L from the upper lip down to the floor shows h (1 - x / L) at x, so the least is a wedge
//            of h - aim - x h / L, which runs out at x = L (1 - aim / h): at 1.5 m here, over three rows of marks, whose depths of 8/3, 4/3
//            and 0 mm run on to 4 mm at the joint. Shorter edges show less.
// TOLERANCE: half the search's tolerance, 0.025 mm in 4 mm, counts twice in the wedge
#[test]
fn a_step_at_a_joint_takes_a_wedge() {
    let floor = stepped(0.008);
    let request = asked(vec![dip(3.0, 0.0041)]);
    let plan = solved(&floor, &request);
    let expected = (0.008 - 0.004) * 1.5 / 2.0;
    assert!(
        (plan.fill_volume_m3 / expected - 1.0).abs() < 0.02,
        "{}: {expected} expected",
        plan.fill_volume_m3
    );
    assert!((plan.deepest_m - 0.004).abs() < 0.000_05);
    // Where an edge may not cross the joint, nothing is out.
    let stop = PatchLimit {
        joints: Joints::Stop,
        ..request.limits[0]
    };
    let beside = solved(&floor, &asked(vec![stop]));
    assert!(beside.is_empty());
    // Where one rule crosses it and another does not, the one that does decides; the other's figure is its own.
    let both = solved(&floor, &asked(vec![stop, request.limits[0]]));
    assert!((both.fill_volume_m3 / plan.fill_volume_m3 - 1.0).abs() < 1e-6);
    assert!((both.checks[0].before.gap_m() - beside.checks[0].before.gap_m()).abs() < 1e-4);
    assert!(both.checks[1].before.gap_m() > 0.004);
}

/// An L-shaped room with a column and a joint, lumpy.
fn rambling() -> Floor {
    let mut points = Vec::new();
    for j in 0..9u32 {
        for i in 0..9u32 {
            let (x, y) = (0.5 * f64::from(i), 0.5 * f64::from(j));
            let in_notch = i > 5 && j > 5;
            let in_column = (i, j) == (3, 3);
            if !in_notch && !in_column {
                let lump = f64::from((i * 37 + j * 61 + i * j * 13) % 17) / 17.0 - 0.5;
                let side = if x > 2.25 { 0.001 } else { 0.0 };
                points.push([
                    x,
                    y,
                    0.004 * lump + 0.003 * (1.1 * x + 0.7 * y).sin() + side,
                ]);
            }
        }
    }
    let mut walls = room(
        &[
            [0.0, 0.0],
            [4.0, 0.0],
            [4.0, 2.5],
            [2.5, 2.5],
            [2.5, 4.0],
            [0.0, 4.0],
        ],
        &[&[[1.3, 1.3], [1.7, 1.3], [1.7, 1.7], [1.3, 1.7]]],
    );
    walls.joints.push(Joint {
        name: "saw cut".to_owned(),
        line: vec![Point::new(2.25, 0.0), Point::new(2.25, 4.0)],
        movement: false,
    });
    built(&points, Some(walls)).floor
}

/// The largest dip and hump at chords laid at random, only where every twentieth of the chord has floor under it.
fn sampled_both(floor: &Floor, z: &[f64], span: f64, count: u32) -> [f64; 2] {
    let floor = floor.with_heights(z).unwrap();
    let mut state = 0x5DEE_CE66_D1CE_4E5Bu64;
    let mut next = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1u64 << 53) as f64
    };
    let mut worst = [0.0f64; 2];
    for _ in 0..count {
        let a = Point::new(next() * 4.0, next() * 4.0);
        let turn = next() * std::f64::consts::TAU;
        let b = a + Point::new(turn.cos(), turn.sin()) * (next().sqrt() * span);
        let heights: Option<Vec<f64>> = (0..=20)
            .map(|k| height(&floor, a.lerp(b, f64::from(k) / 20.0)))
            .collect();
        let Some(heights) = heights else { continue };
        for (k, z) in heights.iter().enumerate() {
            let t = k as f64 / 20.0;
            let gap = heights[0] + t * (heights[20] - heights[0]) - z;
            worst[0] = worst[0].max(gap);
            worst[1] = worst[1].max(-gap);
        }
    }
    worst
}

// ORACLE: property: on a floor with a notch, a column and a joint the patched floor keeps both limits at chords laid at
//         random by another route, and every bound proven is inside its allowance; before, both are broken.
#[test]
fn notch_column_and_joint_are_patched_and_proven() {
    let floor = rambling();
    // The floor carried out to the column counts too: the chords laid below rest on it.
    let request = PatchRequest {
        max_grind_m: 0.002,
        ground: Ground::WithExtended,
        ..asked(vec![dip(2.0, 0.002), hump(2.0, 0.002), dip(0.6, 0.001)])
    };
    let before: Vec<f64> = floor.vertices().iter().map(|v| v.z).collect();
    let was = sampled_both(&floor, &before, 2.0, 4000);
    assert!(was.iter().all(|w| *w > 0.002), "{was:?}");
    let plan = solved(&floor, &request);
    let after: Vec<f64> = before
        .iter()
        .zip(&plan.work_m)
        .map(|(z, w)| z + w)
        .collect();
    let now = sampled_both(&floor, &after, 2.0, 4000);
    assert!(now.iter().all(|w| *w <= 0.002), "{now:?}");
    for check in &plan.checks {
        assert!(check.before.gap_m() > check.limit.allowance_m);
        assert!(check.after.bound_m <= check.limit.allowance_m + 1e-7);
    }
    assert!(!plan.patches.is_empty() && !plan.grinds.is_empty());
}

// ORACLE: property: a limit that another already holds changes nothing, whatever their order.
#[test]
fn a_limit_that_follows_from_another_changes_nothing() {
    let floor = rambling();
    let hard = dip(2.0, 0.002);
    let alone = solved(&floor, &asked(vec![hard]));
    let both = solved(
        &floor,
        &asked(vec![dip(2.0, 0.003), hard, dip(1.0, 0.002), hard]),
    );
    // TOLERANCE: heights come out of an interior-point solver; rows in another order round otherwise.
    for (a, b) in alone.work_m.iter().zip(&both.work_m) {
        assert!((a - b).abs() < 1e-7, "{a} {b}");
    }
    assert_eq!(both.checks.len(), 4);
}
