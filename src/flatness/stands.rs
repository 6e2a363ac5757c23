//! What floor a placement stands on.

use super::Placement;
use crate::geometry::Point;
use crate::surface::Floor;

/// The triangles that the ends and the deepest place of a placement lie on; `None` off the floor.
#[derive(Debug, Clone, Copy)]
pub struct Standing {
    /// Under the first end.
    pub from: Option<u32>,
    /// Under the second end.
    pub to: Option<u32>,
    /// Under the deepest place.
    pub at: Option<u32>,
    /// Share of the way from the first end at which the deepest place lies.
    pub share: f64,
}

/// Finds what a placement stands on. At a joint two floors meet in one place: of the triangles that meet there
/// those count that give the placement its gap.
pub fn standing(floor: &Floor, p: &Placement) -> Standing {
    let chord = p.chord_m();
    let share = if chord > 0.0 {
        p.from.distance(p.at) / chord
    } else {
        0.5
    };
    let [from, to, at] = [p.from, p.to, p.at].map(|place| levels(floor, place));
    let mut least = f64::INFINITY;
    let mut best = [None; 3];
    for a in &from {
        for b in &to {
            for m in &at {
                let gap = a.1 * (1.0 - share) + b.1 * share - m.1;
                let off = (gap.abs() - p.gap_m).abs();
                if off < least - SAME_M {
                    least = off;
                    best = [Some(a.0), Some(b.0), Some(m.0)];
                }
            }
        }
    }
    let [from, to, at] = best;
    Standing {
        from,
        to,
        at,
        share,
    }
}

/// A place is looked for this far round itself, metres, so that both sides of a joint are found.
const ROUND_M: f64 = 1e-6;
/// Heights nearer than this are one, metres: what slopes make of [`ROUND_M`], and no step that anyone could read.
const SAME_M: f64 = 1e-6;
/// Directions looked in.
const ROUND: [(f64, f64); 9] = [
    (0.0, 0.0),
    (1.0, 0.0),
    (0.7, 0.7),
    (0.0, 1.0),
    (-0.7, 0.7),
    (-1.0, 0.0),
    (-0.7, -0.7),
    (0.0, -1.0),
    (0.7, -0.7),
];

/// The heights that the floor has at a place, each with a triangle that gives it: one, or two at a joint.
fn levels(floor: &Floor, at: Point) -> Vec<(u32, f64)> {
    let mut list: Vec<(u32, f64)> = Vec::with_capacity(2);
    for (x, y) in ROUND {
        let Some(t) = floor.locate(at + Point::new(x, y) * ROUND_M) else {
            continue;
        };
        let z = floor.height_on(t, at);
        if !list.iter().any(|l| l.0 == t || (l.1 - z).abs() <= SAME_M) {
            list.push((t, z));
        }
    }
    list
}
