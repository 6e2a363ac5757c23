//! A plan point, also used as a plan vector.

/// A place in plan, metres: x to the right, y up, seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// Metres to the right.
    pub x: f64,
    /// Metres up the sheet.
    pub y: f64,
}

impl Point {
    /// A point from its two coordinates.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Length of the vector from the origin.
    pub fn norm(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// Distance to another point.
    pub fn distance(self, other: Self) -> f64 {
        (self - other).norm()
    }

    /// Dot product.
    pub const fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// z of the cross product: positive when `other` lies to the left of `self`.
    pub const fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// The point a share `t` of the way to `other`.
    pub fn lerp(self, other: Self, t: f64) -> Self {
        self + (other - self) * t
    }
}

impl std::ops::Add for Point {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self::new(self.x + o.x, self.y + o.y)
    }
}

impl std::ops::Sub for Point {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self::new(self.x - o.x, self.y - o.y)
    }
}

impl std::ops::Mul<f64> for Point {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self::new(self.x * k, self.y * k)
    }
}

/// Shares of a triangle's corners in a place of its plane: they sum to 1, and are negative outside of it.
pub fn triangle_shares([a, b, c]: [Point; 3], p: Point) -> [f64; 3] {
    let (u, v, w) = (b - a, c - a, p - a);
    let det = u.cross(v);
    let (wb, wc) = (w.cross(v) / det, u.cross(w) / det);
    [1.0 - wb - wc, wb, wc]
}
