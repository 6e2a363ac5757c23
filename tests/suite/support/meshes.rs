//! Floors made straight from points, for tests that need every height to be known.

use birdbath::geometry::{Point, Region, Ring, convex_hull};
use birdbath::surface::{Floor, Source, Vertex};

/// Delaunay triangles over the points; those whose middle fails `keep` are left out.
pub fn mesh(points: &[(f64, f64, f64)], keep: impl Fn(Point) -> bool) -> Floor {
    let plan: Vec<delaunator::Point> = points
        .iter()
        .map(|p| delaunator::Point { x: p.0, y: p.1 })
        .collect();
    let at = |i: usize| Point::new(points[i].0, points[i].1);
    let triangles = delaunator::triangulate(&plan)
        .triangles
        .chunks(3)
        .filter_map(|c| {
            let (a, b, d) = (at(c[0]), at(c[1]), at(c[2]));
            let area = (b - a).cross(d - a);
            let middle = (a + b + d) * (1.0 / 3.0);
            let [i, j, k] = [c[0] as u32, c[1] as u32, c[2] as u32];
            (area.abs() > 1e-9 && keep(middle)).then_some(if area > 0.0 {
                [i, j, k]
            } else {
                [i, k, j]
            })
        })
        .collect();
    from_triangles(points, triangles)
}

/// A floor with just these triangles.
pub fn from_triangles(points: &[(f64, f64, f64)], triangles: Vec<[u32; 3]>) -> Floor {
    let vertices = points
        .iter()
        .enumerate()
        .map(|(i, p)| Vertex {
            at: Point::new(p.0, p.1),
            z: p.2,
            source: Source::Reading(i as u32),
        })
        .collect();
    // The room is what the points enclose: all of it is floor, where no triangle was left out.
    let plan: Vec<Point> = points.iter().map(|p| Point::new(p.0, p.1)).collect();
    let region = Region {
        outline: Ring::new(convex_hull(&plan, 1e-9)),
        voids: Vec::new(),
    };
    Floor::from_parts(vertices, triangles, region).unwrap()
}

/// A grid of `nx` by `ny` points at `step`, its axes turned by `turn` radians; `height` is given the
/// place before the turn. Squares are cut along the same diagonal throughout.
pub fn turned_grid(
    nx: usize,
    ny: usize,
    step: f64,
    turn: f64,
    height: impl Fn(f64, f64) -> f64,
) -> Floor {
    let (s, c) = turn.sin_cos();
    let points: Vec<(f64, f64, f64)> = (0..ny)
        .flat_map(|j| (0..nx).map(move |i| (i as f64 * step, j as f64 * step)))
        .map(|(x, y)| (c * x - s * y, s * x + c * y, height(x, y)))
        .collect();
    let id = |i: usize, j: usize| (j * nx + i) as u32;
    let triangles = (0..ny - 1)
        .flat_map(|j| (0..nx - 1).map(move |i| (i, j)))
        .flat_map(|(i, j)| {
            [
                [id(i, j), id(i + 1, j), id(i + 1, j + 1)],
                [id(i, j), id(i + 1, j + 1), id(i, j + 1)],
            ]
        })
        .collect();
    from_triangles(&points, triangles)
}

/// A small repeatable stream of numbers (xorshift), so that a test's floors never change.
pub struct Stream(pub u64);

impl Stream {
    /// A stream that differs from seed to seed from its first number on.
    pub fn new(seed: u64) -> Self {
        let mut s = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        for _ in 0..8 {
            s.unit();
        }
        s
    }

    /// Evenly spread from 0 to 1.
    pub fn unit(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    /// About normal, mean 0, deviation 1: twelve even ones less six.
    pub fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.unit()).sum::<f64>() - 6.0
    }
}

/// Height of the floor by looking at every triangle: slow and plain on purpose.
pub fn height_at(floor: &Floor, p: Point) -> Option<f64> {
    (0..floor.triangles().len() as u32).find_map(|t| {
        let c = floor.corners(t);
        let det = (c[1].at - c[0].at).cross(c[2].at - c[0].at);
        let w =
            [0, 1, 2].map(|i: usize| (c[(i + 1) % 3].at - p).cross(c[(i + 2) % 3].at - p) / det);
        w.iter()
            .all(|&w| w >= -1e-12)
            .then(|| w[0] * c[0].z + w[1] * c[1].z + w[2] * c[2].z)
    })
}
