//! Where a place lies on the floor, and how high the floor is there.

use super::floor::{Across, Floor};
use crate::geometry::{BoxGrid, Point, Triangles, triangle_shares};

/// A place this near to the floor's edge is on it, metres: rounding of a printed coordinate's last digit
/// at the scale of a building, and far below anything one can mark.
const ON_EDGE_M: f64 = 1e-7;

impl Floor {
    pub(super) fn grid(&self) -> &BoxGrid {
        self.index.get_or_init(|| {
            let hair = Point::new(ON_EDGE_M, ON_EDGE_M);
            BoxGrid::new(self.triangles.len(), |t| {
                let [a, b, c] = self.triangles[t as usize].map(|v| self.vertices[v as usize].at);
                (
                    Point::new(a.x.min(b.x).min(c.x), a.y.min(b.y).min(c.y)) - hair,
                    Point::new(a.x.max(b.x).max(c.x), a.y.max(b.y).max(c.y)) + hair,
                )
            })
        })
    }

    /// The triangle that holds a plan point, edges included; `None` off the floor and on floor that was
    /// not surveyed.
    ///
    /// On a shared edge or corner the triangle of lowest index answers; at a joint that is one of its
    /// two sides.
    pub fn locate(&self, p: Point) -> Option<u32> {
        let mut best: Option<(f64, u32)> = None;
        for &t in self.grid().at(p) {
            let [a, b, c] = self.triangles[t as usize].map(|v| self.vertices[v as usize].at);
            let inset = |u: Point, v: Point| (v - u).cross(p - u) / (v - u).norm();
            let depth = inset(a, b).min(inset(b, c)).min(inset(c, a));
            if depth >= 0.0 {
                return Some(t);
            }
            if depth >= -ON_EDGE_M && best.is_none_or(|b| depth > b.0) {
                best = Some((depth, t));
            }
        }
        best.map(|b| b.1)
    }

    /// Elevation of the floor at a plan point, metres; `None` where [`Floor::locate`] finds nothing.
    pub fn height_at(&self, p: Point) -> Option<f64> {
        self.locate(p).map(|t| self.height_on(t, p))
    }

    /// Elevation at `p` of the plane through triangle `t`, metres. Exact at its corners.
    pub fn height_on(&self, t: u32, p: Point) -> f64 {
        let [a, b, c] = self.corners(t);
        let [_, wb, wc] = self.shares_on(t, p);
        // Weights sum to 1, so a constant height comes back without loss.
        (b.z - a.z).mul_add(wb, (c.z - a.z).mul_add(wc, a.z))
    }

    /// Shares of a triangle's corners in the height of its plane at `p`; they sum to 1 but for rounding.
    pub fn shares_on(&self, t: u32, p: Point) -> [f64; 3] {
        triangle_shares(self.corners(t).map(|v| v.at), p)
    }

    /// Edges of triangles with a wall, a void or unsurveyed floor beyond: triangle and edge.
    pub fn border(&self) -> impl Iterator<Item = (u32, usize)> + '_ {
        self.across.iter().enumerate().flat_map(|(t, edges)| {
            edges
                .iter()
                .enumerate()
                .filter(|(_, a)| a.ends_floor())
                .map(move |(e, _)| (t as u32, e))
        })
    }
}

impl Triangles for Floor {
    fn corners_of(&self, triangle: u32) -> [u32; 3] {
        self.triangles[triangle as usize]
    }

    fn place(&self, vertex: u32) -> Point {
        self.vertices[vertex as usize].at
    }

    /// Across a joint too.
    fn edge_towards(&self, triangle: u32, other: u32) -> Option<usize> {
        self.across[triangle as usize]
            .iter()
            .position(|a| matches!(a, Across::Floor(t) | Across::Joint(t) if *t == other))
    }
}
