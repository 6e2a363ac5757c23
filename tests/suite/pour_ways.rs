//! The way out of a pour, told from the printed outlines of the batches alone: floor that is still dry hangs together until it is poured.

use super::surveys;
use birdbath::fill::{Material, Plane};
use birdbath::geometry::Point;
use birdbath::pour::{Lift, PourPlan, PourRequest, plan};
use birdbath::surface::Floor;
use birdbath::survey::Joint;
use proptest::prelude::*;

/// Distance of the places that are looked at, metres.
const STEP_M: f64 = 0.05;
/// Fewer places than these are a scrap: 10 by 20 cm.
const SCRAP: usize = 8;

const DOOR_M: f64 = 0.9;
/// Floor that was not read, between a joint and a column, is not poured: it stays dry.
const NEVER: u32 = u32::MAX;

/// A room of straight walls, in metres, door on one of them.
struct Place {
    outline: Vec<[f64; 2]>,
    columns: Vec<[[f64; 2]; 4]>,
    joints: Vec<[[f64; 2]; 2]>,
    door: Point,
}

fn square(x: f64, y: f64, side: f64) -> [[f64; 2]; 4] {
    [[x, y], [x + side, y], [x + side, y + side], [x, y + side]]
}

/// Even-odd over all lines.
fn inside(lines: &[Vec<Point>], p: Point) -> bool {
    let crossings = lines.iter().map(|line| {
        let sides = (0..line.len()).map(|i| (line[i], line[(i + 1) % line.len()]));
        let crossed = |(a, b): &(Point, Point)| {
            (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
        };
        sides.filter(crossed).count()
    });
    crossings.sum::<usize>() % 2 == 1
}

impl Place {
    fn lines(&self) -> Vec<Vec<Point>> {
        let line = |l: &[[f64; 2]]| l.iter().map(|p| Point::new(p[0], p[1])).collect();
        let mut lines: Vec<Vec<Point>> = vec![line(&self.outline)];
        lines.extend(self.columns.iter().map(|c| line(c)));
        lines
    }

    /// Planned over readings every half metre.
    fn poured(&self, wave: f64, bays: Option<u32>, bags: u32) -> (Floor, PourPlan) {
        let lines = self.lines();
        let on_line = |p: Point| {
            lines.iter().any(|l| {
                (0..l.len()).any(|i| {
                    birdbath::geometry::Segment::new(l[i], l[(i + 1) % l.len()]).distance(p) < 1e-6
                })
            })
        };
        let places = (0..=24).flat_map(|i| (0..=24).map(move |j| (i, j)));
        let readings: Vec<[f64; 3]> = places
            .map(|(i, j)| Point::new(f64::from(i) / 2.0, f64::from(j) / 2.0))
            .filter(|&p| inside(&lines, p) || on_line(p))
            .map(|p| {
                [
                    p.x,
                    p.y,
                    0.002 * (0.9 * p.x + wave).sin() * (0.7 * p.y).cos(),
                ]
            })
            .collect();
        let columns: Vec<&[[f64; 2]]> = self.columns.iter().map(|c| c.as_slice()).collect();
        let mut room = surveys::room(&self.outline, &columns);
        for [a, b] in &self.joints {
            room.joints.push(Joint {
                name: "J".into(),
                line: vec![Point::new(a[0], a[1]), Point::new(b[0], b[1])],
                movement: true,
            });
        }
        let floor = surveys::built(&readings, Some(room)).floor;
        let request = PourRequest {
            material: Material {
                yield_m3: Some(0.010),
                bags_per_batch: Some(bags),
                mixing_min: Some(2.0),
                open_min: Some(25.0),
                ..Material::default()
            },
            placing_min: 2.0,
            people: 4,
            mixers: 2,
            exit: Some(self.door),
            exit_width_m: DOOR_M,
            stop_at_joints: !self.joints.is_empty(),
            bays,
            ..PourRequest::default()
        };
        let plan = plan(&floor, &Plane::level(0.012), &request).unwrap();
        (floor, plan)
    }

    /// At each place of a raster over the room, the batches that cover it.
    fn covered(&self, floor: &Floor, lift: &Lift) -> Raster {
        let lines = self.lines();
        // Beside every line that a room of half metres is cut along.
        let at = |k: usize| STEP_M * (k as f64 + 0.437);
        let side = (12.0 / STEP_M) as usize;
        let in_door = |p: Point| p.distance(self.door) < DOOR_M / 2.0 + STEP_M;
        let mut batch = vec![None; side * side];
        let (mut gaps, mut twice) = (0, 0);
        for (k, of) in batch.iter_mut().enumerate() {
            let p = Point::new(at(k % side), at(k / side));
            if !inside(&lines, p) {
                continue;
            }
            let on = |b: &&birdbath::pour::Batch| inside(&b.outline, p);
            let mut over = lift.batches.iter().filter(on).map(|b| b.number);
            let first = over.next();
            twice += usize::from(over.next().is_some());
            let read = first.is_some() || surveys::height(floor, p).is_some();
            gaps += usize::from(read && first.is_none());
            *of = Some(first.unwrap_or(NEVER));
        }
        Raster {
            side,
            at_door: (0..batch.len())
                .map(|k| in_door(Point::new(at(k % side), at(k / side))))
                .collect(),
            batch,
            gaps,
            twice,
        }
    }
}

struct Raster {
    side: usize,
    batch: Vec<Option<u32>>,
    at_door: Vec<bool>,
    gaps: usize,
    twice: usize,
}

impl Raster {
    /// The parts in which floor of this and later batches lies, scraps left out: places each. All that lie in the doorway are one.
    fn dry_parts(&self, from: u32) -> Vec<usize> {
        let dry = |k: usize| self.batch[k].is_some_and(|b| b >= from);
        let mut seen = vec![false; self.batch.len()];
        let (mut parts, mut through_door) = (Vec::new(), 0);
        for begin in 0..self.batch.len() {
            if seen[begin] || !dry(begin) {
                continue;
            }
            seen[begin] = true;
            let (mut open, mut count, mut at_door) = (vec![begin], 0, false);
            while let Some(k) = open.pop() {
                at_door |= self.at_door[k];
                count += usize::from(self.batch[k] != Some(NEVER));
                let (x, y) = (k % self.side, k / self.side);
                let beside = [
                    (x > 0).then(|| k - 1),
                    (x + 1 < self.side).then_some(k + 1),
                    (y > 0).then(|| k - self.side),
                    (y + 1 < self.side).then_some(k + self.side),
                ];
                for next in beside.into_iter().flatten() {
                    if !seen[next] && dry(next) {
                        seen[next] = true;
                        open.push(next);
                    }
                }
            }
            if at_door {
                through_door += count;
            } else if count > SCRAP {
                parts.push(count);
            }
        }
        parts.extend((through_door > SCRAP).then_some(through_door));
        parts
    }
}

/// Every place once, and no floor cut off that nobody is told of.
fn holds(place: &Place, (floor, plan): &(Floor, PourPlan)) {
    let told = plan.notices.iter().any(|n| n.code == "dry-floor-cut-off");
    let lift = &plan.lifts[0];
    let raster = place.covered(floor, lift);
    assert_eq!(
        (raster.gaps, raster.twice),
        (0, 0),
        "places in none, in two"
    );
    for batch in &lift.batches {
        let parts = raster.dry_parts(batch.number);
        assert!(
            told || parts.len() <= 1,
            "before batch {} dry floor lies in {} parts: {parts:?} places",
            batch.number,
            parts.len()
        );
    }
}

// ORACLE: property, by a raster of its own over the printed outlines. Rooms with a notch, a wing, two arms or a step, some with a column or a movement
//         joint, in bays or in one piece: before each batch what is still dry hangs together, or the plan warns; a way that is only a raster step wide
//         passes here, so that the plan may warn of more.
proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn nobody_is_cut_off_unwarned(
        shape in 0u32..5,
        (w, h) in (10u32..20, 8u32..20),
        (u, v) in (3u32..7, 3u32..6),
        column in prop::option::of((0.1f64..0.9, 0.1f64..0.9)),
        joint in prop::option::of(0.2f64..0.8),
        door in 0usize..8,
        wave in 0.0f64..6.0,
        bays in prop::option::of(2u32..5),
        bags in 2u32..5,
    ) {
        let half = |n: u32| f64::from(n) / 2.0;
        let (w, h, u, v) = (half(w), half(h), half(u), half(v));
        let outline = match shape {
            0 => vec![[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]],
            1 => vec![[0.0, 0.0], [w, 0.0], [w, h - v], [w - u, h - v], [w - u, h], [0.0, h]],
            2 => vec![[0.0, 0.0], [w, 0.0], [w, h], [w - 1.5, h], [w - 1.5, v], [1.5, v], [1.5, h], [0.0, h]],
            3 => vec![[0.0, 0.0], [u, 0.0], [u, h - v], [w, h - v], [w, h], [u - 1.0, h], [u - 1.0, v], [0.0, v]],
            _ => vec![[0.0, v], [u, v], [u, 0.0], [w, 0.0], [w, h], [0.0, h]],
        };
        let (a, b) = (outline[door % outline.len()], outline[(door + 1) % outline.len()]);
        let mut place = Place {
            door: Point::new((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0),
            outline,
            columns: vec![],
            joints: vec![],
        };
        if let Some((s, t)) = column {
            let corner = (s * w, t * h);
            let free = |dx: f64, dy: f64| inside(&place.lines(), Point::new(corner.0 + dx, corner.1 + dy));
            if [-0.1, 0.3, 0.7].iter().all(|&dx| [-0.1, 0.3, 0.7].iter().all(|&dy| free(dx, dy))) {
                place.columns.push(square(corner.0, corner.1, 0.6));
            }
        }
        if let Some(share) = joint {
            place.joints.push([[share * w, 0.0], [share * w, h]]);
        }
        holds(&place, &place.poured(wave, bays, bags));
    }
}
