//! How far floor lies from all readings: between readings on one circle, and where it is carried out beyond them.

use super::lines::Lines;
use crate::geometry::{Point, PointGrid};

/// A place farther than this many times from all readings as they stand close is floor that nobody read; one and a half. It holds for
/// all floor that gets a height, between readings or carried out. On a square grid no place between marks is farther than 0.71 from
/// one, where a mark is missing 1, and the corner of a room is one spacing from two walls at 1.42; common practice, no published source.
pub(super) const FARTHEST: f64 = 1.5 + 1e-6;

/// Radius of the circle through three points, metres; `None` where they lie in one line.
pub(super) fn circle_radius([a, b, c]: [Point; 3]) -> Option<f64> {
    let area2 = (b - a).cross(c - a).abs();
    (area2 > 0.0).then(|| a.distance(b) * b.distance(c) * c.distance(a) / (2.0 * area2))
}

/// Distance from the readings of a polygon to the place of it that is farthest from all of them, metres.
///
/// # Method
/// The corners lie on one circle. Where its middle lies in the polygon that is the place. Otherwise it lies on the longest side: the
/// place there that is as far from two corners, and from no other less.
/// # Edge cases
/// Fewer than three corners, or all in one line: `None`.
pub(super) fn farthest_m(corners: &[Point]) -> Option<f64> {
    let pairs = || {
        let of = |k: usize| corners[..k].iter().map(move |&b| (corners[k], b));
        (0..corners.len()).flat_map(of)
    };
    let longer = |p: &(Point, Point), q: &(Point, Point)| {
        let m = |(a, b): &(Point, Point)| a.distance(*b);
        m(p).total_cmp(&m(q))
    };
    let (a, b) = pairs().max_by(longer)?;
    let side = |c: Point| (b - a).cross(c - a);
    let off = |c: &&Point| **c != a && **c != b;
    let third = corners
        .iter()
        .filter(off)
        .max_by(|c, d| side(**c).abs().total_cmp(&side(**d).abs()))?;
    let radius_m = circle_radius([a, b, *third])?;
    let both = corners
        .iter()
        .filter(off)
        .any(|c| side(*c) * side(*third) < 0.0);
    if both || (a - *third).dot(b - *third) >= 0.0 {
        return Some(radius_m);
    }
    let nearest = |p: Point| {
        corners
            .iter()
            .map(|c| c.distance(p))
            .fold(f64::INFINITY, f64::min)
    };
    pairs()
        .filter_map(|(p, q)| {
            // Where the side meets the line of places as far from the one as from the other.
            let along = (b - a).dot(q - p);
            let share = ((p + q) * 0.5 - a).dot(q - p) / along;
            (0.0..=1.0)
                .contains(&share)
                .then(|| nearest(a + (b - a) * share))
        })
        .max_by(f64::total_cmp)
}

/// Distance from the readings to the place of a triangle that is farthest from all of them, metres; infinite where there are none.
///
/// # Method
/// What is nearest to one reading is the triangle cut off half-way to each other one: convex, so its farthest place is a corner.
fn farthest_in_m(triangle: [Point; 3], readings: &[Point]) -> f64 {
    if readings.is_empty() {
        return f64::INFINITY;
    }
    let of = |&own: &Point| {
        let mut nearest = triangle.to_vec();
        for &other in readings.iter().filter(|&&r| r != own) {
            nearest = nearer(&nearest, own, other);
        }
        nearest.iter().map(|p| p.distance(own)).fold(0.0, f64::max)
    };
    readings.iter().map(of).fold(0.0, f64::max)
}

/// The part of a convex polygon that lies no farther from `own` than from `other`.
fn nearer(polygon: &[Point], own: Point, other: Point) -> Vec<Point> {
    let (middle, way) = ((own + other) * 0.5, other - own);
    let beyond = |p: Point| (p - middle).dot(way);
    let mut part = Vec::with_capacity(polygon.len() + 1);
    for (k, &p) in polygon.iter().enumerate() {
        let q = polygon[(k + 1) % polygon.len()];
        let (u, v) = (beyond(p), beyond(q));
        if u <= 0.0 {
            part.push(p);
        }
        if (u < 0.0 && v > 0.0) || (u > 0.0 && v < 0.0) {
            part.push(p.lerp(q, u / (u - v)));
        }
    }
    part
}

/// The readings and the lines that hide some of them from one another.
#[derive(Clone, Copy)]
pub(super) struct Sight<'a> {
    pub(super) lines: &'a Lines,
    pub(super) grid: &'a PointGrid,
}

impl Sight<'_> {
    /// Whether no place of a triangle lies farther than `reach_m` from the readings that are in sight of it: `own`, which are corners of
    /// it, and those that its middle sees.
    pub(super) fn is_within(&self, triangle: [Point; 3], own: &[Point], reach_m: f64) -> bool {
        let whole = |r: &Point| triangle.iter().all(|p| p.distance(*r) <= reach_m);
        if own.iter().any(whole) {
            return true;
        }
        let [a, b, c] = triangle;
        let about = Point::new(reach_m, reach_m);
        let lo = Point::new(a.x.min(b.x).min(c.x), a.y.min(b.y).min(c.y)) - about;
        let hi = Point::new(a.x.max(b.x).max(c.x), a.y.max(b.y).max(c.y)) + about;
        let middle = (a + b + c) * (1.0 / 3.0);
        let seen: Vec<Point> = self
            .grid
            .in_box(lo, hi)
            .map(|i| self.grid.points()[i as usize])
            .filter(|r| own.contains(r) || self.lines.sees(middle, *r))
            .collect();
        farthest_in_m(triangle, &seen) <= reach_m
    }
}
