//! Convex hull in plan.

use super::{Point, Segment, orient};

/// Convex hull of points, counter-clockwise, from the leftmost (lowest of those) point.
///
/// Corners that stand out of the line between their neighbours by no more than `tolerance_m` are
/// left out. Fewer than three corners come back when all points lie on one line or in one place.
pub fn convex_hull(points: &[Point], tolerance_m: f64) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    sorted.dedup();
    if sorted.len() < 3 {
        return sorted;
    }
    let chain = |points: &mut dyn Iterator<Item = Point>| {
        let mut hull: Vec<Point> = Vec::new();
        for p in points {
            while hull.len() >= 2 && orient(hull[hull.len() - 2], hull[hull.len() - 1], p) <= 0.0 {
                hull.pop();
            }
            hull.push(p);
        }
        hull.pop();
        hull
    };
    let mut hull = chain(&mut sorted.iter().copied());
    hull.extend(chain(&mut sorted.iter().rev().copied()));
    thin(&hull, tolerance_m)
}

/// Leaves out corners that no kept side passes at more than the tolerance.
fn thin(hull: &[Point], tolerance_m: f64) -> Vec<Point> {
    let n = hull.len();
    if n < 4 {
        return hull.to_vec();
    }
    let mut kept = vec![hull[0]];
    let mut from = 0;
    while from < n {
        let mut to = from + 1;
        while to < n {
            let side = Segment::new(hull[from], hull[(to + 1) % n]);
            if (from + 1..=to).any(|i| side.distance(hull[i]) > tolerance_m) {
                break;
            }
            to += 1;
        }
        if to < n {
            kept.push(hull[to]);
        }
        from = to;
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turned_grid_has_four_corners() {
        let (sin, cos) = 0.3f64.sin_cos();
        let grid: Vec<Point> = (0..=10)
            .flat_map(|i| (0..=6).map(move |j| (f64::from(i) * 0.3048, f64::from(j) * 0.3048)))
            .map(|(x, y)| Point::new(x * cos - y * sin, x * sin + y * cos))
            .collect();
        let hull = convex_hull(&grid, 1e-4);
        assert_eq!(hull.len(), 4);
        assert!((0..4).all(|i| orient(hull[i], hull[(i + 1) % 4], hull[(i + 2) % 4]) > 0.0));
    }

    #[test]
    fn points_on_a_line_have_no_hull() {
        let line: Vec<Point> = (0..5)
            .map(|i| Point::new(f64::from(i), 2.0 * f64::from(i)))
            .collect();
        assert!(convex_hull(&line, 1e-4).len() < 3);
    }
}
