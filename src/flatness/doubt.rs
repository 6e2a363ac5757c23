//! Doubt of a gap that comes from the readings themselves.

use super::Placement;
use crate::geometry::Point;
use crate::surface::Floor;
use serde::{Deserialize, Serialize};

/// What makes one reading uncertain.
///
/// A tilt of the line cancels out of every gap, so an instrument's error that grows evenly with
/// distance does not belong here; only what differs from reading to reading does.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct ReadingDoubt {
    /// Smallest step that was read, metres. A step that is not known is the coarsest that the readings allow
    /// ([`crate::survey::coarsest_step`]); 0 only for a surface that is given and was never read.
    pub step_m: f64,
    /// Standard deviation of a repeated reading at one spot, metres; 0 when not known.
    pub repeatability_m: f64,
    /// Standard uncertainty of the line's own height from spot to spot, metres; 0 when not known.
    pub instrument_m: f64,
}

impl ReadingDoubt {
    /// Standard uncertainty of one reading, metres.
    ///
    /// # Method
    /// A step of `s` read to the nearest is uniform over `s`, so `u = s / sqrt(12)` (JCGM 100:2008,
    /// 4.3.7); the parts are independent and add in squares (5.1.2).
    pub fn reading_m(&self) -> f64 {
        let step = self.step_m / 12f64.sqrt();
        (step * step + self.repeatability_m.powi(2) + self.instrument_m.powi(2)).sqrt()
    }
}

/// What a height hangs on: a reading, or a corner that was carried out and counts as a reading of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Root {
    Reading(u32),
    Carried(u32),
    /// A place off the floor, by its turn in the placement.
    Unknown(u32),
}

/// Expanded uncertainty (k = 2) of a placement's gap, metres.
///
/// # Method
/// The gap is `(1 - k) a + k b - m`, and each of the three heights is a mean of the readings at its
/// triangle's corners; the weight of each reading is gathered over all three and the squares are
/// summed. Three readings with the lowest in the middle give `sqrt(1.5)` times one reading's doubt.
/// At a joint the floor has two heights, each from its own side's readings: of the triangles that meet at
/// a place those are taken that give the placement its gap. A height that was carried out hangs on the readings
/// it was carried from, with the weights it was made with.
/// # Edge cases
/// Without a placement the doubt is that of three readings with the lowest in the middle.
pub fn gap_doubt_m(floor: &Floor, placement: Option<&Placement>, reading: &ReadingDoubt) -> f64 {
    let u = reading.reading_m();
    let Some(p) = placement else {
        return 2.0 * 1.5f64.sqrt() * u;
    };
    let mut weights: Vec<(Root, f64)> = Vec::with_capacity(9);
    for (root, w) in shares(floor, p) {
        match weights.iter_mut().find(|x| x.0 == root) {
            Some(x) => x.1 += w,
            None => weights.push((root, w)),
        }
    }
    2.0 * u * weights.iter().map(|w| w.1 * w.1).sum::<f64>().sqrt()
}

/// Indices of the readings that a placement's gap hangs on.
pub(super) fn leans_on(floor: &Floor, placement: &Placement) -> Vec<u32> {
    let mut list: Vec<u32> = shares(floor, placement)
        .into_iter()
        .filter(|(_, w)| w.abs() > 1e-9)
        .filter_map(|(root, _)| match root {
            Root::Reading(r) => Some(r),
            _ => None,
        })
        .collect();
    list.sort_unstable();
    list.dedup();
    list
}

/// What the gap hangs on, with weights; a root may come more than once.
fn shares(floor: &Floor, p: &Placement) -> Vec<(Root, f64)> {
    let chord = p.chord_m();
    let k = if chord > 0.0 {
        p.from.distance(p.at) / chord
    } else {
        0.5
    };
    let places = [(p.from, 1.0 - k), (p.to, k), (p.at, -1.0)];
    let [from, to, at] = places.map(|(place, _)| levels(floor, place));
    // Which of two heights at a joint was meant shows in the gap.
    let mut best: (f64, [Option<u32>; 3]) = (f64::INFINITY, [None; 3]);
    for a in &from {
        for b in &to {
            for m in &at {
                let height = a.1 * places[0].1 + b.1 * places[1].1 - m.1;
                let off = (height.abs() - p.gap_m).abs();
                if off < best.0 - SAME_M {
                    best = (off, [Some(a.0), Some(b.0), Some(m.0)]);
                }
            }
        }
    }
    places
        .into_iter()
        .zip(best.1)
        .enumerate()
        .flat_map(|(i, ((place, share), t))| match t {
            Some(t) => corner_shares(floor, t, place)
                .into_iter()
                .map(|(root, w)| (root, w * share))
                .collect(),
            None => vec![(Root::Unknown(i as u32), share)],
        })
        .collect()
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

/// The roots of triangle `t`'s corners with their shares of its height at a place: the readings that each
/// corner's height leans on.
fn corner_shares(floor: &Floor, t: u32, at: Point) -> Vec<(Root, f64)> {
    let [a, b, c] = floor.corners(t).map(|v| v.at);
    let det = (b - a).cross(c - a);
    let shares = [
        (b - at).cross(c - at) / det,
        (c - at).cross(a - at) / det,
        (a - at).cross(b - at) / det,
    ];
    let mut list = Vec::with_capacity(3);
    for (k, share) in shares.into_iter().enumerate() {
        // Just outside by rounding: shares kept between 0 and 1.
        let share = share.clamp(0.0, 1.0);
        let v = floor.triangles()[t as usize][k];
        let leans = floor.leans(v);
        if leans.is_empty() {
            list.push((Root::Carried(v), share));
        }
        list.extend(
            leans
                .into_iter()
                .map(|(r, own)| (Root::Reading(r), own * share)),
        );
    }
    list
}
