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
fn twice_area(points: &[Point]) -> f64 {
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

impl Region {
    /// Area of the outline less the voids, square metres.
    pub fn area(&self) -> f64 {
        self.outline.area() - self.voids.iter().map(Ring::area).sum::<f64>()
    }

    /// Whether a point is inside the outline and in no void.
    pub fn contains(&self, p: Point) -> bool {
        self.outline.contains(p) && !self.voids.iter().any(|v| v.contains(p))
    }

    /// Every side of the outline and of the voids.
    pub fn sides(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        self.outline
            .sides()
            .chain(self.voids.iter().flat_map(Ring::sides))
    }
}
