//! A straight piece between two points: nearest point, crossing.

use super::{Point, orient};

/// A straight piece of wall, void or joint between two plan points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Segment {
    /// One end.
    pub a: Point,
    /// The other end.
    pub b: Point,
}

impl Segment {
    /// From end to end.
    pub const fn new(a: Point, b: Point) -> Self {
        Self { a, b }
    }

    /// Length, metres.
    pub fn length(&self) -> f64 {
        self.a.distance(self.b)
    }

    /// Share of the way from `a` to `b` at which the nearest point to `p` lies, 0 to 1.
    pub fn nearest_share(&self, p: Point) -> f64 {
        let d = self.b - self.a;
        let len2 = d.dot(d);
        if len2 > 0.0 {
            ((p - self.a).dot(d) / len2).clamp(0.0, 1.0)
        } else {
            0.0
        }
    }

    /// Point at a share of the way; exact at both ends.
    pub fn at(&self, share: f64) -> Point {
        if share <= 0.0 {
            self.a
        } else if share >= 1.0 {
            self.b
        } else {
            self.a.lerp(self.b, share)
        }
    }

    /// Nearest point to `p`.
    pub fn nearest(&self, p: Point) -> Point {
        self.at(self.nearest_share(p))
    }

    /// Distance from `p`, metres.
    pub fn distance(&self, p: Point) -> f64 {
        self.nearest(p).distance(p)
    }

    /// Whether the two pieces cross at a point inside both; touching ends do not count.
    pub fn crosses(&self, other: &Self) -> bool {
        let (c, d) = (other.a, other.b);
        let side = |p: f64, q: f64| (p > 0.0 && q < 0.0) || (p < 0.0 && q > 0.0);
        side(orient(self.a, self.b, c), orient(self.a, self.b, d))
            && side(orient(c, d, self.a), orient(c, d, self.b))
    }

    /// Where the lines through two crossing pieces meet: the point and its share along `self`.
    ///
    /// `None` when they are parallel.
    pub fn meeting(&self, other: &Self) -> Option<(Point, f64)> {
        let (u, v) = (self.b - self.a, other.b - other.a);
        let det = u.cross(v);
        if det == 0.0 {
            return None;
        }
        let share = (other.a - self.a).cross(v) / det;
        share
            .is_finite()
            .then(|| (self.a.lerp(self.b, share), share))
    }

    /// Lower left and upper right corner of its bounding box.
    pub fn bounds(&self) -> (Point, Point) {
        (
            Point::new(self.a.x.min(self.b.x), self.a.y.min(self.b.y)),
            Point::new(self.a.x.max(self.b.x), self.a.y.max(self.b.y)),
        )
    }

    /// Least distance between two pieces, metres; 0 when they cross or touch.
    pub fn gap(&self, other: &Self) -> f64 {
        if self.crosses(other) {
            return 0.0;
        }
        self.distance(other.a)
            .min(self.distance(other.b))
            .min(other.distance(self.a))
            .min(other.distance(self.b))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crossing_touching_and_distance() {
        let p = Point::new;
        let s = Segment::new(p(0., 0.), p(4., 0.));
        assert!(s.crosses(&Segment::new(p(1., -1.), p(2., 1.))));
        assert!(!s.crosses(&Segment::new(p(1., 0.), p(2., 1.))));
        assert!(!s.crosses(&Segment::new(p(1., 0.), p(3., 0.))));
        // ORACLE: closed form, 3-4-5 triangle beyond the end.
        assert_eq!(s.distance(p(7., 4.)), 5.0);
        assert_eq!(s.distance(p(2., -1.5)), 1.5);
        let (at, share) = s
            .meeting(&Segment::new(p(1., -1.), p(2., 1.)))
            .expect("not parallel");
        assert_eq!((at, share), (p(1.5, 0.), 0.375));
        assert_eq!(s.gap(&Segment::new(p(1., 3.), p(1., 2.))), 2.0);
    }
}
