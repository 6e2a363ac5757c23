//! Puddles apart, bays, and remedies that work.

use super::floors::{cells, even, poured_at_once as plan, rectangle};
use birdbath::fill::{Material, Plane};
use birdbath::geometry::{Point, Region};
use birdbath::pour::{Lift, Order, PourError, PourRequest, plan as plan_all};
use birdbath::surface::{Floor, Source, Vertex};
use proptest::prelude::*;

const YIELD_M3: f64 = 0.010;

/// Flat rectangles in a row, 1 m apart, each `width` wide, 4 m deep and so far under the finish at 0.
fn islands(parts: &[(f64, f64)]) -> Floor {
    let (mut vertices, mut triangles) = (Vec::new(), Vec::new());
    let mut left = 0.0;
    for &(width, depth) in parts {
        let (columns, rows) = ((width / 0.5).ceil() as u32, 8u32);
        let first = vertices.len() as u32;
        for j in 0..=rows {
            for i in 0..=columns {
                let at = Point::new(
                    left + width * f64::from(i) / f64::from(columns),
                    4.0 * f64::from(j) / f64::from(rows),
                );
                vertices.push(Vertex {
                    at,
                    z: -depth,
                    source: Source::Reading(vertices.len() as u32),
                });
            }
        }
        let id = |i: u32, j: u32| first + j * (columns + 1) + i;
        for j in 0..rows {
            for i in 0..columns {
                let (a, b, c, d) = (id(i, j), id(i + 1, j), id(i + 1, j + 1), id(i, j + 1));
                triangles.extend([[a, b, c], [a, c, d]]);
            }
        }
        left += width + 1.0;
    }
    let region = Region {
        outline: rectangle(-1.0, -1.0, left + 1.0, 5.0),
        voids: vec![],
    };
    Floor::from_parts(vertices, triangles, region).unwrap()
}

fn request(open_min: f64) -> PourRequest {
    PourRequest {
        material: Material {
            yield_m3: Some(YIELD_M3),
            bags_per_batch: Some(2),
            mixing_min: Some(3.0),
            open_min: Some(open_min),
            ..Material::default()
        },
        waste: 0.0,
        placing_min: 3.0,
        exit: Some(Point::new(0.0, 0.0)),
        ..PourRequest::default()
    }
}

/// Area of a batch between two lines across the plan.
fn area_between(outline: &[Vec<Point>], from: f64, to: f64) -> f64 {
    outline
        .iter()
        .filter(|l| l.iter().all(|p| p.x > from - 1e-9 && p.x < to + 1e-9))
        .map(|l| {
            (0..l.len())
                .map(|i| l[i].cross(l[(i + 1) % l.len()]))
                .sum::<f64>()
                / 2.0
        })
        .sum()
}

/// Every island of at most one batch lies whole in one batch; what each island holds is placed.
fn puddles_are_whole(parts: &[(f64, f64)], p: &Lift) {
    let whole: f64 = parts.iter().map(|(w, d)| 4.0 * w * d).sum();
    let placed: f64 = p.batches.iter().map(|b| b.volume_m3).sum();
    assert!(
        (placed - whole).abs() < 1e-9 * whole.max(1e-3),
        "{placed} {whole}"
    );
    let counted: u32 = p.batches.iter().map(|b| b.bags).sum();
    assert_eq!(counted, p.bags);
    for b in &p.batches {
        assert!(
            b.bags >= 1 && b.bags <= 2,
            "batch {}: {} bags",
            b.number,
            b.bags
        );
        assert!(b.volume_m3 <= f64::from(b.bags) * YIELD_M3 * (1.0 + 1e-6) + 1e-12);
    }
    let mut left = 0.0;
    for &(width, depth) in parts {
        let areas: Vec<f64> = p
            .batches
            .iter()
            .map(|b| area_between(&b.outline, left, left + width))
            .filter(|a| *a > 1e-9)
            .collect();
        let island = 4.0 * width;
        assert!(
            (areas.iter().sum::<f64>() - island).abs() < 1e-6,
            "{areas:?} {island}"
        );
        if island * depth <= 2.0 * YIELD_M3 {
            assert_eq!(
                areas.len(),
                1,
                "a puddle of {:.1} l is cut",
                island * depth * 1000.0
            );
        }
        left += width + 1.0;
    }
}

// ORACLE: hand: 20 m by 4 m under 10 mm are 800 l, 80 bags in 40 batches; a puddle of 0.5 l beyond it takes part of one.
// With an open time of 10 min the large part is divided, and the puddle is not.
#[test]
fn a_puddle_is_one_batch_however_the_rest_is_divided() {
    let parts = [(20.0, 0.010), (0.25, 0.0005)];
    let floor = islands(&parts);
    for open_min in [10.0, 60.0, 1000.0] {
        for order in [None, Some(Order::Harmonic), Some(Order::Strips)] {
            let request = PourRequest {
                order,
                ..request(open_min)
            };
            let p = plan(&floor, &Plane::level(0.0), &request).unwrap();
            puddles_are_whole(&parts, &p);
            assert!((80..=82).contains(&p.bags), "{}", p.bags);
        }
    }
    let asked = PourRequest {
        bays: Some(5),
        order: Some(Order::Strips),
        ..request(1000.0)
    };
    let p = plan(&floor, &Plane::level(0.0), &asked).unwrap();
    puddles_are_whole(&parts, &p);
    // Five of the large part, and the puddle by itself.
    assert_eq!(p.bays.len(), 6);
}

// ORACLE: hand: puddles alone: 0.5 l takes one bag in one batch, wherever the way out is.
#[test]
fn a_floor_of_one_puddle_is_one_batch() {
    for open_min in [1.0, 10.0, 100.0] {
        let p = plan(
            &islands(&[(0.25, 0.0005)]),
            &Plane::level(0.0),
            &request(open_min),
        )
        .unwrap();
        assert_eq!((p.batches.len(), p.bags, p.bays.len()), (1, 1, 0));
        assert_eq!(p.longest_wait_min, 0.0);
    }
    // Ten such puddles go into one bag of one batch.
    let ten = [(0.25, 0.0005); 10];
    let p = plan(&islands(&ten), &Plane::level(0.0), &request(10.0)).unwrap();
    assert_eq!((p.batches.len(), p.bags), (1, 1));
    puddles_are_whole(&ten, &p);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    // ORACLE: property, by the outlines alone: what lies apart and fits into a batch is never cut.
    #[test]
    fn puddles_are_never_cut(
        parts in prop::collection::vec((0.2f64..6.0, 0.0003f64..0.008), 1..7),
        open_min in 5.0f64..60.0,
        order in prop::sample::select(vec![None, Some(Order::Passes), Some(Order::Harmonic), Some(Order::Strips)]),
        mixers in 1u32..3,
        overlapped in prop::bool::ANY,
    ) {
        let request = PourRequest { order, mixers, overlapped, ..request(open_min) };
        let p = plan(&islands(&parts), &Plane::level(0.0), &request).unwrap();
        puddles_are_whole(&parts, &p);
        for r in &p.remedies {
            prop_assert!(r.longest_wait_min <= open_min + 1e-9, "{}: {}", r.text, r.longest_wait_min);
        }
        let whole = plan_all(&islands(&parts), &Plane::level(0.0), &request).unwrap();
        let drawn_out = whole.notices.iter().any(|n| n.code == "pour-threads");
        prop_assert_eq!(p.remedies.is_empty() || p.longest_wait_min > open_min || drawn_out, true);
    }
}

fn flat(width: f64) -> Floor {
    let xs = even(width, (width / 0.5) as usize);
    super::floors::cells(&xs, &even(6.0, 12), |_, _| true, false, |_| 0.0)
}

// ORACLE: the plan itself, made as the remedy says: it keeps the open time, and no fewer mixers do.
#[test]
fn a_remedy_is_planned_with_and_works() {
    let floor = flat(8.0);
    let slow = PourRequest {
        material: Material {
            mixing_min: Some(12.0),
            ..request(45.0).material
        },
        order: Some(Order::Strips),
        bays: Some(1),
        placing_min: 2.0,
        ..request(45.0)
    };
    let finish = Plane::level(0.008);
    let p = plan(&floor, &finish, &slow).unwrap();
    assert!(p.longest_wait_min > 45.0, "{}", p.longest_wait_min);
    let offered: Vec<&str> = p.remedies.iter().map(|r| r.text.as_str()).collect();
    assert!(!offered.is_empty());
    let with = |mixers: u32| {
        let request = PourRequest {
            mixers,
            overlapped: true,
            ..slow.clone()
        };
        plan(&floor, &finish, &request).unwrap().longest_wait_min
    };
    let enough = (1..=20).find(|&m| with(m) <= 45.0).unwrap();
    assert!(enough > 1);
    assert!(
        offered[0].contains(&format!("Run {enough} mixers")),
        "{offered:?}"
    );
    assert!((p.remedies[0].longest_wait_min - with(enough)).abs() < 1e-9);
    // A batch is 20 l: a pump of so many litres a minute places one in 20 over that, and no slower one does.
    let pumped = |litres: f64| {
        let request = PourRequest {
            mixing_min: Some(20.0 / litres),
            placing_min: 20.0 / litres,
            overlapped: true,
            ..slow.clone()
        };
        plan(&floor, &finish, &request).unwrap().longest_wait_min
    };
    let pump = p.remedies.iter().find(|r| r.text.contains("pump")).unwrap();
    let flows = [15.0, 25.0, 40.0, 60.0];
    let flow = flows.into_iter().find(|&l| pumped(l) <= 45.0).unwrap();
    assert!(pump.text.contains(&format!("place {flow} L (")), "{pump:?}");
    assert!((pump.longest_wait_min - pumped(flow)).abs() < 1e-9);
    let bays = p.remedies.iter().find(|r| r.dam_m > 0.0).unwrap();
    let divided = PourRequest {
        bays: None,
        ..slow.clone()
    };
    let divided = plan(&floor, &finish, &divided).unwrap();
    assert!((divided.longest_wait_min - bays.longest_wait_min).abs() < 1e-9);
    assert!(bays.longest_wait_min <= 45.0);
}

// ORACLE: hand: 24 m by 6 m under 8 mm are 1,152 l, 58 batches, more than there are bays; they follow every 3 min at best,
// so an open time of 4 s is kept by no crew, nor by a pump that places 20 l in 4 s. Nothing is offered, and the warning names no remedies.
#[test]
fn where_nothing_helps_nothing_is_offered() {
    let p = plan_all(&flat(24.0), &Plane::level(0.008), &request(4.0 / 60.0)).unwrap();
    let [only] = p.lifts.as_slice() else {
        panic!("{} lifts", p.lifts.len())
    };
    assert!(only.longest_wait_min > 4.0 / 60.0);
    assert!(only.remedies.is_empty(), "{:?}", only.remedies);
    let warned = p
        .notices
        .iter()
        .find(|n| n.code == "wet-edge-waits")
        .unwrap();
    assert!(!warned.text.contains("remedies"), "{}", warned.text);
}

/// A floor that falls evenly from the finish at 0 to 90 mm under it, over 6 m, 2 m wide.
fn ramp() -> Floor {
    super::floors::cells(
        &even(6.0, 12),
        &even(2.0, 4),
        |_, _| true,
        false,
        |p| -0.015 * p.x,
    )
}

fn in_lifts(max_lift_m: f64) -> PourRequest {
    let mut asked = request(30.0);
    asked.material.max_lift_m = Some(max_lift_m);
    asked.material.next_lift_after_min = Some(1440.0);
    asked
}

// ORACLE: hand. Lifts of 30 mm under a floor that falls 15 mm a metre: the lowest fills the wedge from 4 m on, 2 m long and 30 mm at its
//         end, 2 m wide: 60 L. The next has that wedge from 2 m on and 30 mm over the 2 m behind it: 180 L. The last, 300 L. In all
//         the wedge of 6 m and 90 mm, 540 L; ten litres a bag, none wasted.
#[test]
fn every_lift_is_a_pour_of_its_own() {
    let p = plan_all(&ramp(), &Plane::level(0.0), &in_lifts(0.03)).unwrap();
    let of: Vec<(u32, u32, f64, f64)> = p
        .lifts
        .iter()
        .map(|l| {
            let area: f64 = l.batches.iter().map(|b| b.area_m2).sum();
            let placed: f64 = l.batches.iter().map(|b| b.volume_m3).sum();
            assert!((placed - l.volume_m3).abs() < 1e-9);
            (l.number, l.bags, area, l.volume_m3)
        })
        .collect();
    for (got, want) in of
        .iter()
        .zip([(1, 6, 4.0, 0.06), (2, 18, 8.0, 0.18), (3, 30, 12.0, 0.30)])
    {
        assert_eq!((got.0, got.1), (want.0, want.1));
        assert!(
            (got.2 - want.2).abs() < 1e-9 && (got.3 - want.3).abs() < 1e-9,
            "{got:?}"
        );
    }
    assert_eq!((p.lifts.len(), p.bags), (3, 54));
    assert!((p.volume_m3 - 0.54).abs() < 1e-9);
    assert_eq!(p.between_lifts_min, Some(1440.0));
    let below: Vec<f64> = p.lifts.iter().map(|l| l.below_finish_m).collect();
    for (got, want) in below.iter().zip([0.06, 0.03, 0.0]) {
        assert!((got - want).abs() < 1e-12, "{below:?}");
    }
    // Numbers run on; no batch ties to one of another lift, nor lies deeper than a lift may be.
    let numbers: Vec<u32> = p.batches().map(|b| b.number).collect();
    assert_eq!(numbers, (1..=numbers.len() as u32).collect::<Vec<_>>());
    for l in &p.lifts {
        let own = l.batches.first().unwrap().number..=l.batches.last().unwrap().number;
        for b in &l.batches {
            assert!(b.ties.iter().all(|t| own.contains(&t.to)));
            assert!(b.mean_depth_m <= 0.03 + 1e-12);
        }
        assert!(
            l.scores
                .iter()
                .all(|s| s.longest_wait_batch == 0 || own.contains(&s.longest_wait_batch))
        );
        // Each begins by its own clock.
        assert_eq!(l.batches[0].mix_from_min, 0.0);
    }
    let staged = p.staging.iter().find_map(|s| match s.item {
        birdbath::pour::Staged::Bags { batches, .. } => Some((s.count, batches)),
        _ => None,
    });
    assert_eq!(staged, Some((54, numbers.len() as u32)));
}

// ORACLE: hand: 90 mm in lifts of 90 mm is one; of 89, two; of 7 mm, thirteen, which nobody pours.
#[test]
fn lifts_are_as_few_as_the_sheet_allows() {
    let count =
        |max_m: f64| plan_all(&ramp(), &Plane::level(0.0), &in_lifts(max_m)).map(|p| p.lifts.len());
    assert_eq!(count(0.09), Ok(1));
    assert_eq!(count(0.089), Ok(2));
    assert!(matches!(
        count(0.007),
        Err(PourError::TooManyLifts { lifts: 13, .. })
    ));
}

// ORACLE: hand. Two bays of a level floor 10 mm under the finish: the dam between them is as long as the room is deep along it and holds
//         back 10 mm.
#[test]
fn a_dam_between_bays_is_as_high_as_the_material() {
    let asked = PourRequest {
        bays: Some(2),
        ..request(30.0)
    };
    let floor = super::floors::cells(&even(6.0, 12), &even(4.0, 8), |_, _| true, false, |_| 0.0);
    let p = plan_all(&floor, &Plane::level(0.01), &asked).unwrap();
    let dam = p.bay_dams();
    assert!((dam.highest_m - 0.01).abs() < 1e-9, "{dam:?}");
    assert!(
        (dam.length_m - 4.0).abs() < 1e-6 || (dam.length_m - 6.0).abs() < 1e-6,
        "{dam:?}"
    );
}

// ORACLE: hand: 90.3 mm in lifts of 90 is one lift, since nobody knows the depth so well; the lowest lift takes what is left over.
#[test]
fn a_hair_over_a_lift_is_no_reason_for_another() {
    let p = plan_all(&ramp(), &Plane::level(0.000_3), &in_lifts(0.09)).unwrap();
    assert_eq!(p.lifts.len(), 1);
    let two = plan_all(&ramp(), &Plane::level(0.000_3), &in_lifts(0.045)).unwrap();
    assert_eq!(two.lifts.len(), 2);
    let placed: f64 = two.batches().map(|b| b.volume_m3).sum();
    // 540 L, and 0.3 mm over 12 m2.
    assert!((placed - (0.54 + 0.0036)).abs() < 1e-9, "{placed}");
}

// ORACLE: property, by geometry of its own. In a U of which both arms are bays, floor that is still dry always hangs together from bay to bay and
//         the last batch lies in the doorway; the dams stand where two bays meet, from end to end of what they share.
#[test]
fn bays_shut_nobody_in() {
    for (door_x, bays) in [(1.0, 2), (1.0, 3), (7.0, 3), (4.0, 3)] {
        let arms = door_x != 4.0;
        let floor = cells(
            &even(8.0, 16),
            &even(6.0, 12),
            |i, j| !arms || j < 4 || !(5..11).contains(&i),
            false,
            |p: Point| 0.002 * (0.9 * p.x).sin(),
        );
        let at_arm = if arms { 6.0 } else { 0.0 };
        let request = PourRequest {
            exit: Some(Point::new(door_x, at_arm)),
            exit_width_m: 0.9,
            bays: Some(bays),
            ..request(30.0)
        };
        let plan = birdbath::pour::plan(&floor, &Plane::level(0.012), &request).unwrap();
        let lift = &plan.lifts[0];
        assert!(lift.bays.len() >= bays as usize, "{}", lift.bays.len());
        assert!(
            !plan.notices.iter().any(|n| n.code == "way-out-wet"),
            "{door_x} {bays}"
        );
        let last = lift.batches.last().unwrap();
        assert_eq!(last.bay as usize, lift.bays.len());
        let on_wall = last
            .outline
            .iter()
            .flatten()
            .filter(|p| (p.y - at_arm).abs() < 1e-9);
        let off = on_wall
            .map(|p| (p.x - door_x).abs())
            .fold(f64::MAX, f64::min);
        assert!(off < 1.2, "{door_x} {bays}: {off}");
        let corner = |bay: &birdbath::pour::Bay, p: Point| {
            bay.outline.iter().any(|line| {
                (0..line.len()).any(|i| {
                    let (a, b) = (line[i], line[(i + 1) % line.len()]);
                    birdbath::geometry::Segment::new(a, b).distance(p) < 1e-6
                })
            })
        };
        for (k, bay) in lift.bays.iter().enumerate() {
            // Every bay but the last has one that is poured later beside it, over which its crew leaves.
            assert_eq!(
                bay.dam.lines.is_empty(),
                k + 1 == lift.bays.len(),
                "bay {}",
                bay.number
            );
            let long: f64 = bay.dam.lines.iter().map(|[a, b]| a.distance(*b)).sum();
            assert!((long - bay.dam.length_m).abs() < 1e-9);
            for [a, b] in &bay.dam.lines {
                let middle = a.lerp(*b, 0.5);
                assert!(corner(bay, middle));
                assert!(lift.bays[k + 1..].iter().any(|later| corner(later, middle)));
            }
        }
    }
}
