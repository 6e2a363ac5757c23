//! The floor's profile under a placement, for drawing.

use super::Placement;
use crate::geometry::Point;
use crate::surface::Floor;

/// A point of a profile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionPoint {
    /// Distance from the start of the section, metres.
    pub along_m: f64,
    /// Where it lies in plan.
    pub at: Point,
    /// Height of the floor, metres.
    pub floor_m: f64,
    /// Height of the edge there (the chord through the placement's ends, run on beyond them), metres.
    pub edge_m: f64,
}

/// A stretch of the line over one triangle: distance along it and height, at both ends.
type Piece = [(f64, f64); 2];

/// The stretches of a placement's line over the floor's triangles, from `beyond_m` before its start to `beyond_m` past its
/// end; corners on the line count as left of it, or as right of it, so that each line leaves as often as it enters.
fn pieces_along(floor: &Floor, placement: &Placement, beyond_m: f64, left: bool) -> Vec<Piece> {
    let run = placement.to - placement.from;
    let length = run.norm();
    let dir = run * (1.0 / length);
    let mut pieces: Vec<Piece> = Vec::new();
    for t in 0..floor.triangles().len() as u32 {
        let c = floor.corners(t);
        let side = c.map(|v| dir.cross(v.at - placement.from));
        let (mut ends, mut count) = ([(0.0, 0.0); 2], 0);
        for i in 0..3 {
            let j = (i + 1) % 3;
            let over = |s: f64| if left { s >= 0.0 } else { s > 0.0 };
            if over(side[i]) != over(side[j]) && count < 2 {
                let share = side[i] / (side[i] - side[j]);
                let at = c[i].at.lerp(c[j].at, share);
                ends[count] = (
                    dir.dot(at - placement.from),
                    c[i].z + (c[j].z - c[i].z) * share,
                );
                count += 1;
            }
        }
        if count < 2 {
            continue;
        }
        if ends[0].0 > ends[1].0 {
            ends.swap(0, 1);
        }
        let (lo, hi) = (-beyond_m, length + beyond_m);
        if ends[1].0 <= lo || ends[0].0 >= hi || ends[1].0 - ends[0].0 <= 1e-9 {
            continue;
        }
        let [a, b] = ends;
        let cut = |s: f64| (s, a.1 + (b.1 - a.1) * (s - a.0) / (b.0 - a.0));
        pieces.push([
            if a.0 < lo { cut(lo) } else { a },
            if b.0 > hi { cut(hi) } else { b },
        ]);
    }
    pieces
}

/// The exact profile along a placement, from `beyond_m` before its start to `beyond_m` past its end,
/// where there is floor.
///
/// # Method
/// The line is cut by every triangle it crosses; heights are exact there and straight between. At a
/// joint with a step two points share one distance. A gap in the floor shows as a jump in `along_m`.
pub fn section(floor: &Floor, placement: &Placement, beyond_m: f64) -> Vec<SectionPoint> {
    let run = placement.to - placement.from;
    let length = run.norm();
    if length <= 0.0 {
        return Vec::new();
    }
    let dir = run * (1.0 / length);
    // A line along the edge of the floor has floor on one side only.
    let sides = [true, false].map(|left| pieces_along(floor, placement, beyond_m, left));
    let covered = |pieces: &[Piece]| -> f64 {
        let within = |p: &Piece| p[1].0.min(length) - p[0].0.max(0.0);
        pieces.iter().map(|p| within(p).max(0.0)).sum()
    };
    let [left, right] = sides;
    let mut pieces = if covered(&right) > covered(&left) + 1e-9 {
        right
    } else {
        left
    };
    pieces.sort_by(|p, q| p[0].0.total_cmp(&q[0].0));
    let mut line: Vec<(f64, f64)> = Vec::with_capacity(pieces.len() + 1);
    for p in pieces.into_iter().flatten() {
        let same = line
            .last()
            .is_some_and(|l| (l.0 - p.0).abs() < 1e-9 && (l.1 - p.1).abs() < 1e-12);
        if !same {
            line.push(p);
        }
    }
    let height = |s: f64| {
        let near = line
            .iter()
            .min_by(|a, b| (a.0 - s).abs().total_cmp(&(b.0 - s).abs()));
        let pair = line
            .windows(2)
            .find(|w| w[0].0 <= s && s <= w[1].0 && w[1].0 > w[0].0);
        match (pair, near) {
            (Some(w), _) => w[0].1 + (w[1].1 - w[0].1) * (s - w[0].0) / (w[1].0 - w[0].0),
            (None, Some(n)) => n.1,
            (None, None) => 0.0,
        }
    };
    let (a, b) = (height(0.0), height(length));
    line.iter()
        .map(|&(s, z)| SectionPoint {
            along_m: s,
            at: placement.from + dir * s,
            floor_m: z,
            edge_m: a + (b - a) * s / length,
        })
        .collect()
}
