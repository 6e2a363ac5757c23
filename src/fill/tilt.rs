//! The tilted plane that lies over the whole floor and takes the least material.

use super::result::Plane;
use super::sum::Sum;
use crate::geometry::{Point, triangle_shares};
use crate::surface::Floor;

/// Text that must stand beside every use of a tilted finish.
pub const TILT_WARNING: &str = "A tilted finish is for patching and grinding only: self-levelling \
     material seeks level and cannot be poured to a slope.";

/// Plan centroid of the floor (area-weighted over its triangles), metres.
pub fn centroid(floor: &Floor) -> Point {
    let (mut area, mut x, mut y) = (Sum::default(), Sum::default(), Sum::default());
    let origin = floor.vertices().first().map_or(Point::default(), |v| v.at);
    for t in 0..floor.triangles().len() as u32 {
        let a = floor.triangle_area(t);
        let [p, q, r] = floor.corners(t).map(|v| v.at - origin);
        area.add(a);
        x.add(a * (p.x + q.x + r.x) / 3.0);
        y.add(a * (p.y + q.y + r.y) / 3.0);
    }
    let a = area.value();
    if a > 0.0 {
        origin + Point::new(x.value() / a, y.value() / a)
    } else {
        origin
    }
}

/// The plane nowhere below the floor under which the least material fits.
///
/// # Method
/// The material under a plane that covers the floor is `area * plane(centroid) - constant`, so the
/// least is the plane that is lowest over the plan centroid: the facet of the upper convex hull
/// above it. That facet is found by the simplex method on the dual: start from three corners
/// around the centroid, swap in the corner that stands highest over their plane, drop the one that
/// keeps the centroid inside, until no corner stands over it. Smallest-index choices after a swap
/// without gain keep it from going round in circles (Bland's rule).
/// # Edge cases
/// Where two facets meet above the centroid either is least; the one found first is given. Fewer
/// than three corners, or all in one line: level over the highest.
/// # Accuracy
/// No corner stands over the plane by more than 1e-12 of the floor's height range plus rounding;
/// the plane is then raised by what is left, so that it truly covers. Checked against all triples
/// of corners in `tests/suite/fill_planes.rs`.
pub fn least_fill(floor: &Floor) -> Plane {
    let points: Vec<(Point, f64)> = floor.vertices().iter().map(|v| (v.at, v.z)).collect();
    least_over(&points, centroid(floor))
}

/// [`least_fill`] on bare points: the plane over all of them that is lowest at `centre`.
pub(crate) fn least_over(points: &[(Point, f64)], centre: Point) -> Plane {
    let top = points.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
    let bottom = points.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
    if !top.is_finite() {
        return Plane::level(0.0);
    }
    // Work about the centroid: far-off coordinates would cost digits.
    let local: Vec<(Point, f64)> = points.iter().map(|p| (p.0 - centre, p.1 - top)).collect();
    let Some(mut basis) = around_origin(&local) else {
        return Plane::level(top);
    };
    let tolerance = 1e-12 * (top - bottom) + 1e-15;
    let mut plane = through(&local, basis);
    let mut careful = false;
    for _ in 0..(200 + 20 * local.len()) {
        let Some(found) = plane else { break };
        let over = |i: usize| local[i].1 - found.at(local[i].0);
        let entering = if careful {
            (0..local.len()).find(|&i| over(i) > tolerance)
        } else {
            (0..local.len())
                .max_by(|&i, &j| over(i).total_cmp(&over(j)).then(j.cmp(&i)))
                .filter(|&i| over(i) > tolerance)
        };
        let Some(entering) = entering else { break };
        let Some(next) = swap(&local, basis, entering, careful) else {
            break;
        };
        let before = found.z0;
        basis = next;
        plane = through(&local, basis);
        careful = plane.is_some_and(|p| p.z0 <= before);
    }
    let Some(mut plane) = plane else {
        return Plane::level(top);
    };
    // Whatever rounding left above it is lifted away: a covering plane must cover.
    let left = local
        .iter()
        .map(|p| p.1 - plane.at(p.0))
        .fold(0.0, f64::max);
    plane.z0 += left;
    Plane {
        z0: plane.z0 + top - plane.sx * centre.x - plane.sy * centre.y,
        ..plane
    }
}

/// Three points whose triangle holds the origin: a fan over the plan hull has one.
fn around_origin(points: &[(Point, f64)]) -> Option<[usize; 3]> {
    let hull = plan_hull(points);
    let &first = hull.first()?;
    let mut best: Option<([usize; 3], f64)> = None;
    for pair in hull.get(1..)?.windows(2) {
        let basis = [first, pair[0], pair[1]];
        if let Some(shares) = shares(points, basis, Point::default()) {
            let least = shares.into_iter().fold(f64::INFINITY, f64::min);
            if best.is_none_or(|(_, b)| least > b) {
                best = Some((basis, least));
            }
        }
    }
    best.map(|(basis, _)| basis)
}

/// Corners of the plan hull, counter-clockwise (monotone chain; points in line left out).
fn plan_hull(points: &[(Point, f64)]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    let at = |i: usize| points[i].0;
    order.sort_by(|&i, &j| {
        let (p, q) = (at(i), at(j));
        p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y))
    });
    let half = |order: &mut dyn Iterator<Item = usize>| {
        let mut chain: Vec<usize> = Vec::new();
        for i in order {
            while chain.len() >= 2 {
                let (a, b) = (at(chain[chain.len() - 2]), at(chain[chain.len() - 1]));
                if (b - a).cross(at(i) - a) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(i);
        }
        chain.pop();
        chain
    };
    let mut hull = half(&mut order.iter().copied());
    hull.extend(half(&mut order.iter().rev().copied()));
    hull
}

/// Shares of the three corners that make up `p` (they sum to 1); `None` for corners in line.
fn shares(points: &[(Point, f64)], basis: [usize; 3], p: Point) -> Option<[f64; 3]> {
    let shares = triangle_shares(basis.map(|i| points[i].0), p);
    shares.iter().all(|s| s.is_finite()).then_some(shares)
}

/// The plane through three points.
fn through(points: &[(Point, f64)], basis: [usize; 3]) -> Option<Plane> {
    let [(a, za), (b, zb), (c, zc)] = basis.map(|i| points[i]);
    let (u, v) = (b - a, c - a);
    let det = u.cross(v);
    if det == 0.0 {
        return None;
    }
    let (du, dv) = (zb - za, zc - za);
    let sx = (du * v.y - dv * u.y) / det;
    let sy = (dv * u.x - du * v.x) / det;
    Some(Plane {
        z0: za - sx * a.x - sy * a.y,
        sx,
        sy,
    })
}

/// Puts `entering` into the basis so that the origin stays inside (ratio test of the simplex).
fn swap(
    points: &[(Point, f64)],
    basis: [usize; 3],
    entering: usize,
    careful: bool,
) -> Option<[usize; 3]> {
    let held = shares(points, basis, Point::default())?;
    let pull = shares(points, basis, points[entering].0)?;
    let mut leaving: Option<(usize, f64)> = None;
    for k in 0..3 {
        if pull[k] > 1e-14 {
            let ratio = held[k].max(0.0) / pull[k];
            let better = leaving.is_none_or(|(old, least)| {
                ratio < least || (careful && ratio == least && basis[k] < basis[old])
            });
            if better {
                leaving = Some((k, ratio));
            }
        }
    }
    let (k, _) = leaving?;
    let mut next = basis;
    next[k] = entering;
    Some(next)
}
