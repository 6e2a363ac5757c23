//! A straight line across a mesh of triangles, from edge to edge.

use super::Point;

/// A corner this near to a line lies on it, metres.
const ON_LINE_M: f64 = 1e-9;

/// Triangles that a line can be followed across. Edge `k` of a triangle runs from its corner `k` to the next one,
/// counter-clockwise.
pub trait Triangles {
    /// The three vertices of a triangle, counter-clockwise.
    fn corners_of(&self, triangle: u32) -> [u32; 3];
    /// Plan position of a vertex.
    fn place(&self, vertex: u32) -> Point;
    /// The edge of `triangle` that has `other` beyond it.
    fn edge_towards(&self, triangle: u32, other: u32) -> Option<usize>;
}

/// On which hand a line passes the corners and edges that it runs through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lean {
    /// They are on its right.
    Left,
    /// They are on its left.
    Right,
}

impl Lean {
    /// The same, looking the other way.
    pub const fn turned(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// A half line in plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ray {
    /// Where it begins.
    pub from: Point,
    /// A unit vector.
    pub direction: Point,
    /// How it passes corners.
    pub lean: Lean,
}

impl Ray {
    /// How far a place lies to its left, and how far ahead of its beginning, metres.
    fn sight(&self, p: Point) -> (f64, f64) {
        let d = p - self.from;
        (self.direction.cross(d), d.dot(self.direction))
    }
}

/// Where a line leaves a triangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// The triangle it leaves.
    pub triangle: u32,
    /// The edge over which it does.
    pub edge: usize,
    /// The edge's end to the right of the line.
    pub right: u32,
    /// Its end to the left.
    pub left: u32,
    /// The share of the way from the right end to the left one.
    pub share: f64,
    /// How far the line has come, metres.
    pub ahead_m: f64,
    /// Whether one of the ends lies on the line.
    pub at_corner: bool,
}

/// A line on its way across a mesh.
///
/// It looks only at which side of the line each corner lies, so it neither skips a triangle nor meets one twice, and what
/// lies on the line is passed on one hand from beginning to end.
pub struct Walk<'a, M> {
    mesh: &'a M,
    ray: Ray,
    triangle: u32,
    edge: usize,
    come_m: f64,
    at_corner: bool,
}

impl<'a, M: Triangles> Walk<'a, M> {
    /// A walk that leaves `triangle` over its edge `edge` first, wherever on that edge the line begins.
    pub const fn leaving(mesh: &'a M, ray: Ray, triangle: u32, edge: usize) -> Self {
        Self {
            mesh,
            ray,
            triangle,
            edge,
            come_m: 0.0,
            at_corner: false,
        }
    }

    /// A walk into `triangle` from a place on its edge `edge`.
    pub fn entering(mesh: &'a M, ray: Ray, triangle: u32, edge: usize) -> Self {
        let mut walk = Self::leaving(mesh, ray, triangle, edge);
        walk.go_on(triangle, edge);
        walk
    }

    /// A walk from a place inside `triangle`; `None` where the line leaves it nowhere.
    pub fn inside(mesh: &'a M, ray: Ray, triangle: u32) -> Option<Self> {
        let side = mesh
            .corners_of(triangle)
            .map(|v| ray.sight(mesh.place(v)).0);
        let edge = (0..3).find(|&e| {
            let (right, left) = (side[e], side[(e + 1) % 3]);
            right <= 0.0 && left >= 0.0 && right < left
        })?;
        Some(Self::leaving(mesh, ray, triangle, edge))
    }

    /// A walk from a vertex, of which `fan` are the triangles around; `None` where none of them lies ahead.
    pub fn from_vertex(mesh: &'a M, ray: Ray, vertex: u32, fan: &[u32]) -> Option<Self> {
        let mut found = None;
        let mut at_corner = false;
        for &t in fan {
            let corners = mesh.corners_of(t);
            let Some(k) = corners.iter().position(|&w| w == vertex) else {
                continue;
            };
            let [right, left] = [1, 2].map(|i| ray.sight(mesh.place(corners[(k + i) % 3])));
            if right.1 <= 0.0 && left.1 <= 0.0 {
                continue;
            }
            at_corner |= [right, left]
                .iter()
                .any(|c| c.0.abs() <= ON_LINE_M && c.1 > 0.0);
            let border = match ray.lean {
                Lean::Left => ON_LINE_M,
                Lean::Right => -ON_LINE_M,
            };
            if right.0 <= border && left.0 > border {
                found = found.or(Some((t, (k + 1) % 3)));
            }
        }
        let (triangle, edge) = found?;
        Some(Self {
            at_corner,
            ..Self::leaving(mesh, ray, triangle, edge)
        })
    }

    /// The triangle that the line is on.
    pub const fn triangle(&self) -> u32 {
        self.triangle
    }

    /// Whether the line has passed a corner, or run along an edge, so far.
    pub const fn met_a_corner(&self) -> bool {
        self.at_corner
    }

    /// Where the line leaves the triangle that it is on.
    pub fn crossing(&mut self) -> Crossing {
        let corners = self.mesh.corners_of(self.triangle);
        let (right, left) = (corners[self.edge], corners[(self.edge + 1) % 3]);
        let [r, l] = [right, left].map(|v| self.mesh.place(v));
        let (of_right, of_left) = (self.ray.sight(r), self.ray.sight(l));
        let share = meeting(of_right, of_left, self.come_m);
        // Rounding never takes a line back.
        self.come_m = self.ray.sight(r.lerp(l, share)).1.max(self.come_m);
        Crossing {
            triangle: self.triangle,
            edge: self.edge,
            right,
            left,
            share,
            ahead_m: self.come_m,
            at_corner: of_right.0.abs().min(of_left.0.abs()) <= ON_LINE_M,
        }
    }

    /// Goes on into the triangle beyond, whose edge `edge` the line has just come to.
    pub fn go_on(&mut self, beyond: u32, edge: usize) {
        let apex = self.mesh.corners_of(beyond)[(edge + 2) % 3];
        let left = self.ray.sight(self.mesh.place(apex)).0;
        let on = left.abs() <= ON_LINE_M;
        self.at_corner |= on;
        // A line to the left of a corner has it to its right.
        let is_left = if on {
            self.ray.lean == Lean::Right
        } else {
            left > 0.0
        };
        self.triangle = beyond;
        self.edge = (edge + if is_left { 1 } else { 2 }) % 3;
    }
}

/// The share of the way from the right end of an edge to its left one at which a line meets it, from how far both ends lie to the left of
/// the line and how far ahead, and from how far the line has come.
///
/// An edge that runs along the line is met where the line has come to: anywhere else on it a height would be told of a place that
/// the line has passed, or jumps ahead to, and on a slope that is a gap where there is none.
fn meeting((right, of_right): (f64, f64), (left, of_left): (f64, f64), come_m: f64) -> f64 {
    let (off, way) = if right.abs().max(left.abs()) <= ON_LINE_M {
        (come_m - of_right, of_left - of_right)
    } else {
        (-right, left - right)
    };
    if way == 0.0 {
        0.0
    } else {
        (off / way).clamp(0.0, 1.0)
    }
}
