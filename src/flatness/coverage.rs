//! What the readings can show at a span: how much of the floor is read closely enough.

use super::net::{Ground, usable};
use crate::surface::Floor;

/// Readings along a placement must be no farther apart than this share of the span to judge it.
pub const RESOLVED_SHARE: f64 = 0.25;
/// Up to this share of the span a placement is coarse: it can prove a floor out, never within.
pub const COARSE_SHARE: f64 = 0.5;
/// Share of the surveyed floor that resolved placements must reach for a floor to be within.
pub const COVERAGE_NEEDED: f64 = 0.95;

/// How closely the floor is read, for one span.
#[derive(Debug, Clone, PartialEq)]
pub struct Coverage {
    /// Length of the edge, metres.
    pub span_m: f64,
    /// Share of the surveyed area read closely enough to judge the span, 0 to 1.
    pub resolved: f64,
    /// Share of the surveyed area read at least coarsely, 0 to 1.
    pub coarse: f64,
    /// Distance between readings that half of the area is read at or closer than, metres.
    pub spacing_m: f64,
    /// Distance between readings that would resolve the span, metres.
    pub needed_m: f64,
    /// For each triangle, how it serves this span: for the coverage map.
    pub triangles: Vec<Reach>,
}

/// How a triangle serves a span.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Reach {
    /// Read closely enough.
    Resolved,
    /// Can prove out, not within.
    Coarse,
    /// Readings too far apart to tell.
    TooFar,
    /// Not between readings: extended floor.
    NotSurveyed,
}

/// Distance between readings around triangle `t`, metres: the middle one of its three sides.
///
/// On a square grid that is the grid's own spacing, whichever diagonal was drawn; between rows
/// read closely but far apart it is the distance between the rows.
pub fn triangle_spacing(floor: &Floor, t: u32) -> f64 {
    let [a, b, c] = floor.corners(t).map(|v| v.at);
    let mut sides = [a.distance(b), b.distance(c), c.distance(a)];
    sides.sort_by(f64::total_cmp);
    sides[1]
}

/// How the floor's readings serve an edge of length `span_m`.
///
/// # Edge cases
/// A floor without surveyed area has shares of 0 and a spacing of 0.
pub fn coverage(floor: &Floor, ground: Ground, span_m: f64) -> Coverage {
    let usable = usable(floor, ground);
    let slack = 1.0 + 1e-6;
    let mut by_spacing: Vec<(f64, f64)> = Vec::new();
    let (mut total, mut resolved, mut coarse) = (0.0, 0.0, 0.0);
    let triangles = (0..floor.triangles().len() as u32)
        .map(|t| {
            if !usable[t as usize] {
                return Reach::NotSurveyed;
            }
            let (spacing, area) = (triangle_spacing(floor, t), floor.triangle_area(t));
            by_spacing.push((spacing, area));
            total += area;
            if spacing <= span_m * RESOLVED_SHARE * slack {
                resolved += area;
                coarse += area;
                Reach::Resolved
            } else if spacing <= span_m * COARSE_SHARE * slack {
                coarse += area;
                Reach::Coarse
            } else {
                Reach::TooFar
            }
        })
        .collect();
    by_spacing.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut seen = 0.0;
    let spacing_m = by_spacing
        .iter()
        .find(|s| {
            seen += s.1;
            seen >= total / 2.0
        })
        .map_or(0.0, |s| s.0);
    let share = |a: f64| {
        if total > 0.0 {
            (a / total).min(1.0)
        } else {
            0.0
        }
    };
    Coverage {
        span_m,
        resolved: share(resolved),
        coarse: share(coarse),
        spacing_m,
        needed_m: span_m * RESOLVED_SHARE,
        triangles,
    }
}
