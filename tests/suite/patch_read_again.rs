//! A floor patched as the plan says and read again at its marks.

use super::patch::{asked, dip, hump};
use super::surveys::{room, survey};
use crate::support::meshes::Stream;
use birdbath::flatness::{Ground, Joints, SearchOptions, Searcher};
use birdbath::geometry::Point;
use birdbath::patch::{PatchPlan, PatchRequest, plan};
use birdbath::surface::{Floor, Source};
use birdbath::survey::{Elevation, Joint, Survey};
use std::collections::HashMap;

/// A room of 4.2 by 3.6 m read every 0.6 m a little off the walls, rough, waved, with a joint where asked.
fn rough_room(seed: u64, joint: bool) -> Survey {
    let mut s = Stream::new(seed);
    let (a, b, step) = (0.006 * s.unit(), 0.005 * s.unit(), 0.004 * s.unit());
    let rough = 0.0008 * s.unit();
    let mut readings: Vec<[f64; 3]> = Vec::new();
    for j in 0..6 {
        for i in 0..7 {
            let p = Point::new(0.3 + 0.6 * f64::from(i), 0.3 + 0.6 * f64::from(j));
            let mut z = a * (1.7 * p.x).sin() + b * (1.3 * p.y + p.x).cos() + rough * s.normal();
            if joint && p.x > 1.85 {
                z += step;
            }
            readings.push([p.x, p.y, z]);
        }
    }
    let mut walls = room(&[[0.0, 0.0], [4.2, 0.0], [4.2, 3.6], [0.0, 3.6]], &[]);
    if joint {
        walls.joints.push(Joint {
            name: "J1".to_owned(),
            line: vec![Point::new(1.85, 0.0), Point::new(1.85, 3.6)],
            movement: false,
        });
    }
    survey(&readings, Some(walls))
}

/// The survey with what is laid at each mark added to its reading.
fn read_again(survey: &Survey, floor: &Floor, plan: &PatchPlan) -> Survey {
    let laid: HashMap<u32, f64> = floor
        .vertices()
        .iter()
        .zip(&plan.work_m)
        .filter_map(|(v, &work)| match v.source {
            Source::Reading(r) => Some((r, work)),
            _ => None,
        })
        .collect();
    let mut after = survey.clone();
    for (r, reading) in (0u32..).zip(&mut after.readings) {
        reading.elevation = Elevation::from_m(reading.elevation.m() + laid[&r]);
    }
    after
}

// ORACLE: independent route: the floor built from the readings with the printed depths added to them, searched as any survey is. Within its
//         limits there, with and without a joint, with depths as they come and in whole steps. Some of these plans fail where the squares are
//         only taken as they were folded before.
#[test]
fn a_patched_floor_that_is_read_again_keeps_its_limits() {
    let mut patched = 0;
    for seed in 0..14u64 {
        let joint = seed % 2 == 1;
        let survey = rough_room(seed, joint);
        let floor = Floor::build(&survey).unwrap().floor;
        let request = PatchRequest {
            max_grind_m: 0.004,
            step_m: (seed % 4 < 2).then_some(0.0005),
            survey: Some(&survey),
            ..asked(vec![dip(2.0, 0.0025), hump(2.0, 0.003)])
        };
        let plan = plan(&floor, &request, &|_| ()).unwrap();
        patched += usize::from(plan.work_m.iter().any(|w| *w != 0.0));
        let again = Floor::build(&read_again(&survey, &floor, &plan))
            .unwrap()
            .floor;
        for check in &plan.checks {
            let limit = check.limit;
            let r = Searcher::new(&again, limit.departure, Ground::Surveyed, Joints::Cross).search(
                limit.span_m,
                &SearchOptions::default(),
                &|_| (),
            );
            assert!(
                r.gap_m() <= limit.allowance_m + 1e-7,
                "{seed}: {} where {} is allowed",
                r.gap_m(),
                limit.allowance_m
            );
        }
    }
    assert!(patched >= 10, "{patched} patched");
}
