//! What readings in one line show on their own, where floor that counts ends.
//!
//! A single row down a corridor has walls on both sides and no floor between readings but the row itself; a
//! reading alone in an alcove has none at all; and a line may touch three corners of read floor and none of the
//! floor behind them. The search over the floor cannot see these, and what three readings in a line show is
//! evidence all the same.

use super::net::{Ground, Joints, Net, usable};
use super::ray::Reach;
use super::{Departure, Lengths, Placement};
use crate::geometry::{Point, PointGrid, Region, SAME_LINE_M, Segment, is_floor_along};
use crate::surface::{Floor, Source};
use std::f64::consts::PI;

/// Readings this near to one line stand in it, metres: less than a chalk line is wide.
const IN_LINE_M: f64 = 2e-4;

/// An edge reaches this much farther than its span, metres: places such as 1.2 and 2.2 stand 1 apart but for rounding.
const LENGTH_M: f64 = 1e-6;

/// A way this near to a joint meets it, metres.
const JOINT_M: f64 = 1e-6;

/// Floor is looked for this far beside a way, and corners this near to it stand on it, metres: walls and readings stand
/// off their lines by the rounding of their places.
const BESIDE_M: f64 = SAME_LINE_M;

/// More neighbours than this to look at, over all such readings: a scan, whose readings stand so close that the
/// search over the floor leaves out nothing that can be told.
const MOST_LOOKS: usize = 20_000_000;

/// All readings, and those at which floor that counts ends.
pub(super) struct Rows {
    /// Heights, upside down for humps.
    heights: Vec<f64>,
    grid: PointGrid,
    bare: Vec<u32>,
    region: Region,
    joints: Vec<Segment>,
}

impl Rows {
    /// Looks for readings at which floor that counts ends, or that have none about them.
    pub fn new(floor: &Floor, net: &Net, departure: Departure, joints: Joints) -> Self {
        let read = |v: &u32| matches!(floor.vertices()[*v as usize].source, Source::Reading(_));
        // A reading left out of the search on purpose has no say here either.
        let kept = takes_part(floor, net);
        let vertices: Vec<u32> = (0..floor.vertices().len() as u32)
            .filter(read)
            .filter(|&v| kept[v as usize])
            .collect();
        let bare: Vec<u32> = (0..vertices.len() as u32)
            .filter(|&i| {
                let around = net.around(vertices[i as usize]);
                !around.iter().all(|&t| net.solid[t as usize])
            })
            .collect();
        let vertices = if bare.is_empty() {
            Vec::new()
        } else {
            vertices
        };
        Self::of(floor, departure, joints, &vertices, bare)
    }

    /// Every reading but these, by their index in the survey, as if no floor lay between any of them.
    pub fn all(floor: &Floor, departure: Departure, joints: Joints, without: &[u32]) -> Self {
        let vertices: Vec<u32> = (0..floor.vertices().len() as u32)
            .filter(|&v| match floor.vertices()[v as usize].source {
                Source::Reading(r) => !without.contains(&r),
                _ => false,
            })
            .collect();
        let all = (0..vertices.len() as u32).collect();
        Self::of(floor, departure, joints, &vertices, all)
    }

    /// Rows among these vertices; `bare` are indices among them.
    fn of(
        floor: &Floor,
        departure: Departure,
        joints: Joints,
        vertices: &[u32],
        bare: Vec<u32>,
    ) -> Self {
        let sign = match departure {
            Departure::Dip => 1.0,
            Departure::Hump => -1.0,
        };
        let kept = vertices.iter().map(|&v| floor.vertices()[v as usize]);
        let (at, heights) = kept.map(|v| (v.at, sign * v.z)).unzip();
        Self {
            heights,
            grid: PointGrid::new(at),
            joints: if joints == Joints::Stop && !bare.is_empty() {
                floor.joint_sides().collect()
            } else {
                Vec::new()
            },
            bare,
            region: floor.region().clone(),
        }
    }

    /// The deepest reading under a line between two others no farther apart than `span_m`, among rows that hold
    /// a reading at which floor ends; of an edge on blocks under two that stand its whole length apart. Exact.
    pub fn worst(&self, edge: Reach) -> Option<Placement> {
        let span_m = edge.span;
        let mut best: Option<Placement> = None;
        let mut looks = 0;
        let reach = Point::new(span_m + LENGTH_M, span_m + LENGTH_M);
        for &r in &self.bare {
            let p = self.at(r);
            let mut near: Vec<(f64, f64, u32)> = self
                .grid
                .in_box(p - reach, p + reach)
                .filter(|&i| i != r)
                .map(|i| (self.at(i) - p, i))
                .filter(|(d, _)| d.norm() <= span_m + LENGTH_M)
                .map(|(d, i)| (d.y.atan2(d.x).rem_euclid(PI), d.norm(), i))
                .collect();
            looks += near.len();
            if looks > MOST_LOOKS {
                break;
            }
            near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
            self.in_lines_through(r, &near, edge, &mut best);
        }
        best
    }

    /// Looks at every two neighbours that stand in one line with a reading: `(direction, distance, reading)`, by
    /// direction from 0 to half a turn.
    fn in_lines_through(
        &self,
        r: u32,
        near: &[(f64, f64, u32)],
        edge: Reach,
        best: &mut Option<Placement>,
    ) {
        for (k, &(turn, distance, i)) in near.iter().enumerate() {
            // The nearer of two stands off the line by at most its distance times the angle between them.
            let apart = 2.0 * IN_LINE_M / distance;
            // Past half a turn the directions begin anew.
            for step in 1..near.len() {
                let (other, _, j) = near[(k + step) % near.len()];
                if (other - turn).rem_euclid(PI) > apart {
                    break;
                }
                self.look([r, i, j], edge, best);
            }
        }
    }

    fn at(&self, i: u32) -> Point {
        self.grid.points()[i as usize]
    }

    fn look(&self, three: [u32; 3], edge: Reach, best: &mut Option<Placement>) {
        // The middle one is the one that sees the others on either hand.
        for k in 0..3 {
            let (m, a, b) = (three[k], three[(k + 1) % 3], three[(k + 2) % 3]);
            let (pm, pa, pb) = (self.at(m), self.at(a), self.at(b));
            let run = pb - pa;
            let length = run.norm();
            let share = (pm - pa).dot(run) / (length * length);
            let off = run.cross(pm - pa).abs() / length;
            let fits = match edge.lengths {
                Lengths::UpTo => length <= edge.span + LENGTH_M,
                Lengths::Whole => (length - edge.span).abs() <= LENGTH_M,
            };
            if !(share > 0.0 && share < 1.0 && off <= IN_LINE_M && fits) {
                continue;
            }
            let z = |i: u32| self.heights[i as usize];
            let gap_m = z(a) + (z(b) - z(a)) * share - z(m);
            if gap_m > best.map_or(0.0, |b| b.gap_m) && self.in_room(pa, pb) {
                *best = Some(Placement {
                    from: pa,
                    to: pb,
                    at: pm,
                    gap_m,
                });
            }
        }
    }

    /// Whether the straight way from `a` to `b` keeps to the room and crosses no joint that stops an edge.
    fn in_room(&self, a: Point, b: Point) -> bool {
        let way = Segment::new(a, b);
        // A way may begin or end on a joint; one that meets it in between, if only at a corner, crosses it.
        let meets = |j: &Segment| {
            j.gap(&way) <= JOINT_M && j.distance(a) > JOINT_M && j.distance(b) > JOINT_M
        };
        !self.joints.iter().any(meets)
            && is_floor_along(
                way,
                self.region.sides().map(|(a, b)| Segment::new(a, b)),
                |p| self.region.contains(p),
                BESIDE_M,
            )
    }
}

/// For each vertex whether it has a say: it lies on solid floor, or no floor that might count lies about it.
fn takes_part(floor: &Floor, net: &Net) -> Vec<bool> {
    let mut kept = vec![true; floor.vertices().len()];
    let might = usable(floor, Ground::Surveyed);
    for (corners, _) in floor.triangles().iter().zip(might).filter(|(_, m)| *m) {
        for &v in corners {
            kept[v as usize] = net.used(v);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Ring;

    // ORACLE: hand. Readings at 1.2, 1.7 and 2.2 m, -3.5, -11.5 and -6.8 mm: 11.5 - (3.5 + 6.8) / 2 = 6.35 mm under an edge
    // of one metre, wherever the row stands: 2.2 - 1.2 is a hair more than 1 by rounding.
    #[test]
    fn an_edge_reaches_from_reading_to_reading_for_all_rounding() {
        for shift in [0.0, 0.05, 0.1, 0.3, 10.7] {
            let at = |x: f64| Point::new(x + shift, 1.6);
            let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 4.0), (0.0, 4.0)];
            let outline = Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec());
            let rows = Rows {
                heights: vec![-0.003_5, -0.011_5, -0.006_8],
                grid: PointGrid::new(vec![at(1.2), at(1.7), at(2.2)]),
                bare: vec![0],
                region: Region {
                    outline,
                    voids: Vec::new(),
                },
                joints: Vec::new(),
            };
            let edge = Reach {
                span: 1.0,
                lengths: Lengths::UpTo,
            };
            let gap_m = rows.worst(edge).map_or(0.0, |w| w.gap_m);
            assert!((gap_m - 0.006_35).abs() < 1e-9, "{shift}: {gap_m}");
        }
    }
}
