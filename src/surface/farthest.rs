//! How far the floor between readings on one circle lies from all of them.

use crate::geometry::Point;

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
