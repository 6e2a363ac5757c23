//! Closed rings and regions with voids.

use super::Point;

/// A simple closed polygon. The last point is not repeated; always counter-clockwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Ring {
    points: Vec<Point>,
}

impl Ring {
    /// A ring through these points, turned counter-clockwise if need be.
    ///
    /// The caller has checked that the points are finite, at least three, and do not cross
    /// (see `survey`, which turns such faults into findings with their place).
    pub fn new(mut points: Vec<Point>) -> Self {
        if twice_area(&points) < 0.0 {
            points.reverse();
        }
        Self { points }
    }

    /// The corners, counter-clockwise.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The same ring without the corners that lie on the straight way between their neighbours, within rounding.
    pub fn straight(&self) -> Self {
        /// Rounding of places up to 1000 km from the origin.
        const ROUNDING_M: f64 = 2e-9;
        let points = self.points();
        let n = points.len();
        // The leftmost corner, of several the lowest, is never one of them.
        let first = (0..n).min_by(|&a, &b| {
            let (a, b) = (points[a], points[b]);
            a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y))
        });
        let Some(first) = first.filter(|_| n > 3) else {
            return self.clone();
        };
        let mut kept = vec![first];
        for i in (1..n).map(|k| (first + k) % n) {
            let (p, next) = (points[i], points[(i + 1) % n]);
            let last = points[kept[kept.len() - 1]];
            let way = next - last;
            let between = (p - last).dot(way) > 0.0 && (next - p).dot(way) > 0.0;
            if !between || way.cross(p - last).abs() > ROUNDING_M * way.norm() {
                kept.push(i);
            }
        }
        if kept.len() < 3 {
            return self.clone();
        }
        // In the order in which they were given.
        kept.sort_unstable();
        Self::new(kept.into_iter().map(|i| points[i]).collect())
    }

    /// The sides, each from one corner to the next.
    pub fn sides(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let n = self.points.len();
        (0..n).map(move |i| (self.points[i], self.points[(i + 1) % n]))
    }

    /// Area enclosed, square metres; never negative.
    pub fn area(&self) -> f64 {
        twice_area(&self.points).abs() / 2.0
    }

    /// Sum of the side lengths.
    pub fn perimeter(&self) -> f64 {
        self.sides().map(|(a, b)| a.distance(b)).sum()
    }

    /// Whether the point lies inside. A point on the boundary may come out either way.
    pub fn contains(&self, p: Point) -> bool {
        let mut inside = false;
        for (a, b) in self.sides() {
            if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
                inside = !inside;
            }
        }
        inside
    }
}

/// Shoelace sum about the first corner, so that far-off coordinates lose no digits.
pub fn twice_area(points: &[Point]) -> f64 {
    let Some(&origin) = points.first() else {
        return 0.0;
    };
    points
        .windows(2)
        .map(|w| (w[0] - origin).cross(w[1] - origin))
        .sum()
}

/// A floor's extent in plan: an outline less its voids.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// The wall line.
    pub outline: Ring,
    /// Columns, islands, tubs, areas left out.
    pub voids: Vec<Ring>,
}

/// Points about one, so far off.
pub fn around(p: Point, reach: f64) -> impl Iterator<Item = Point> {
    (0..16).map(move |k| {
        let turn = f64::from(k) * std::f64::consts::PI / 8.0;
        p + Point::new(turn.cos(), turn.sin()) * reach
    })
}

impl Region {
    /// Area of the outline less the voids, square metres.
    pub fn area(&self) -> f64 {
        self.outline.area() - self.voids.iter().map(Ring::area).sum::<f64>()
    }

    /// Whether a point is inside the outline and in no void.
    pub fn contains(&self, p: Point) -> bool {
        self.outline.contains(p) && !self.voids.iter().any(|v| v.contains(p))
    }

    /// Whether some of the region lies about a point, so far off: a wall along a void has none.
    pub fn lies_about(&self, p: Point, reach: f64) -> bool {
        self.contains(p) || around(p, reach).any(|q| self.contains(q))
    }

    /// Every side of the outline and of the voids.
    pub fn sides(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        self.outline
            .sides()
            .chain(self.voids.iter().flat_map(Ring::sides))
    }
}
