//! A Delaunay triangulation that takes further points.

use super::{Point, in_circle, orient};
use thiserror::Error;

/// No half-edge, no vertex.
pub const NONE: u32 = u32::MAX;

/// Why an edge could not be fixed. None of these is reached by finite, distinct points.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[non_exhaustive]
pub enum MeshError {
    /// A point outside the frame that the mesh was made with.
    #[error("point ({x}, {y}) m lies outside the frame of the triangulation")]
    OutsideFrame {
        /// Metres to the right.
        x: f64,
        /// Metres up.
        y: f64,
    },
    /// The work limit was reached.
    #[error("the edge from ({:.6}, {:.6}) to ({:.6}, {:.6}) m could not be made part of the triangulation", from.x, from.y, to.x, to.y)]
    NotRecovered {
        /// One end.
        from: Point,
        /// The other end.
        to: Point,
    },
}

/// Triangles over points inside a frame of four far-off corners, with edges that may be fixed.
///
/// Half-edge `h` belongs to triangle `h / 3` and runs from [`Mesh::origin`] of `h` to the origin of the
/// next half-edge of its triangle; triangles are counter-clockwise. Vertices `0..4` are the frame;
/// point `i` given to [`Mesh::new`] is vertex `i + 4`, and later points follow in order.
#[derive(Debug, Clone)]
pub struct Mesh {
    pub(super) points: Vec<Point>,
    origins: Vec<u32>,
    twins: Vec<u32>,
    /// Mark of a fixed edge, 0 for a free one; equal on both half-edges.
    marks: Vec<u8>,
    /// One half-edge that leaves each vertex.
    pub(super) spokes: Vec<u32>,
    last: u32,
}

/// The half-edge after `h` in its triangle.
pub const fn next(h: u32) -> u32 {
    if h % 3 == 2 { h - 2 } else { h + 1 }
}

/// The half-edge before `h` in its triangle.
pub const fn prev(h: u32) -> u32 {
    if h.is_multiple_of(3) { h + 2 } else { h - 1 }
}

/// The same triangles numbered by their least vertex, so that neighbours on the floor are neighbours in
/// memory. The sweep leaves them in rings around its seed, which costs every later pass over a large floor
/// twice the time.
fn near_together(origins: &[u32], twins: &[u32], vertices: usize) -> (Vec<u32>, Vec<u32>) {
    let least = |t: &[u32]| t.iter().copied().min().unwrap_or(0) as usize;
    let mut first = vec![0u32; vertices + 1];
    for t in origins.chunks_exact(3) {
        first[least(t) + 1] += 1;
    }
    for v in 0..vertices {
        first[v + 1] += first[v];
    }
    let place: Vec<u32> = origins
        .chunks_exact(3)
        .map(|t| {
            let slot = &mut first[least(t)];
            *slot += 1;
            *slot - 1
        })
        .collect();
    let mut moved = (vec![NONE; origins.len()], vec![NONE; origins.len()]);
    for (h, (&v, &twin)) in origins.iter().zip(twins).enumerate() {
        let to = place[h / 3] as usize * 3 + h % 3;
        moved.0[to] = v;
        if twin != NONE {
            moved.1[to] = place[twin as usize / 3] * 3 + twin % 3;
        }
    }
    moved
}

impl Mesh {
    /// Vertices of the frame.
    pub const FRAME: u32 = 4;

    /// Delaunay triangulation of distinct points; everything added later must lie in the box from
    /// `low` to `high`.
    ///
    /// # Method
    /// `delaunator` (sweep from a seed with flips), shifted to a local origin where the coordinates
    /// are large against the extent, so that its plain in-circle test keeps its digits.
    /// # Errors
    /// [`MeshError::OutsideFrame`] for a point outside the box.
    pub fn new(points: &[Point], low: Point, high: Point) -> Result<Self, MeshError> {
        let middle = low.lerp(high, 0.5);
        let reach = (high - low).norm().max(1.0);
        // Far enough that the frame's triangles hardly ever compete for edges between real points near a
        // convex wall: which ones they win depends on how the plan is turned against the frame. A wall is
        // made a fixed edge anyway. Farther still would cost the in-circle test its digits.
        let far = 10_000.0 * reach;
        let mut all = Vec::with_capacity(points.len() + 4);
        for (sx, sy) in [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)] {
            all.push(middle + Point::new(sx * far, sy * far));
        }
        for p in points {
            // Negated, so that a coordinate that is not a number is caught too.
            if !(p.x >= low.x && p.x <= high.x && p.y >= low.y && p.y <= high.y) {
                return Err(MeshError::OutsideFrame { x: p.x, y: p.y });
            }
            all.push(*p);
        }
        let origin = if middle.norm() > 16.0 * reach {
            middle
        } else {
            Point::default()
        };
        let triangulation = {
            let shifted: Vec<delaunator::Point> = all
                .iter()
                // Its y runs down the sheet; ours runs up. Mirrored, its triangles turn our way.
                .map(|p| delaunator::Point {
                    x: p.x - origin.x,
                    y: origin.y - p.y,
                })
                .collect();
            delaunator::triangulate(&shifted)
        };
        let short = |list: &[usize]| -> Vec<u32> {
            list.iter()
                .map(|&v| {
                    if v == delaunator::EMPTY {
                        NONE
                    } else {
                        v as u32
                    }
                })
                .collect()
        };
        let (origins, twins) = near_together(
            &short(&triangulation.triangles),
            &short(&triangulation.halfedges),
            all.len(),
        );
        drop(triangulation);
        let mut spokes = vec![NONE; all.len()];
        for (h, &v) in origins.iter().enumerate() {
            spokes[v as usize] = h as u32;
        }
        let marks = vec![0; origins.len()];
        let mut mesh = Self {
            points: all,
            origins,
            twins,
            marks,
            spokes,
            last: 0,
        };
        // A point that the sweep took for a copy of its neighbour is put in by itself.
        for v in 0..mesh.points.len() as u32 {
            if mesh.spokes[v as usize] == NONE {
                mesh.insert_vertex(v, 0.0)?;
            }
        }
        Ok(mesh)
    }

    /// Plan position of a vertex.
    pub fn point(&self, vertex: u32) -> Point {
        self.points[vertex as usize]
    }

    /// All vertices, the frame first.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Number of triangles, those of the frame included.
    pub fn triangle_count(&self) -> u32 {
        (self.origins.len() / 3) as u32
    }

    /// The vertex a half-edge leaves.
    pub fn origin(&self, h: u32) -> u32 {
        self.origins[h as usize]
    }

    /// The vertex a half-edge runs to.
    pub fn target(&self, h: u32) -> u32 {
        self.origins[next(h) as usize]
    }

    /// The same edge seen from the triangle beyond; [`NONE`] at the frame.
    pub fn twin(&self, h: u32) -> u32 {
        self.twins[h as usize]
    }

    /// Whether the edge was fixed.
    pub fn is_fixed(&self, h: u32) -> bool {
        self.marks[h as usize] != 0
    }

    /// The mark a fixed edge was given, 0 for a free edge.
    pub fn mark(&self, h: u32) -> u8 {
        self.marks[h as usize]
    }

    /// Gives the edge of `h` a mark in place of the one it has, seen from both sides; 0 frees it.
    pub fn set_mark(&mut self, h: u32, mark: u8) {
        let twin = self.twin(h);
        self.link(h, twin, mark);
    }

    /// The three vertices of a triangle, counter-clockwise.
    pub fn triangle(&self, t: u32) -> [u32; 3] {
        let h = t as usize * 3;
        [self.origins[h], self.origins[h + 1], self.origins[h + 2]]
    }

    /// Whether a triangle hangs on the frame.
    pub fn on_frame(&self, t: u32) -> bool {
        self.triangle(t).iter().any(|&v| v < Self::FRAME)
    }

    /// The half-edges that leave an inner vertex, counter-clockwise.
    pub fn around(&self, vertex: u32) -> impl Iterator<Item = u32> + '_ {
        let first = self.spokes[vertex as usize];
        let mut at = first;
        let mut done = first == NONE;
        std::iter::from_fn(move || {
            if done {
                return None;
            }
            let h = at;
            at = self.twins[prev(h) as usize];
            done = at == first || at == NONE;
            Some(h)
        })
    }

    /// The half-edge from `u` to `v`, if they are joined; not for two vertices of the frame.
    pub fn edge(&self, u: u32, v: u32) -> Option<u32> {
        if u < Self::FRAME {
            // The way round a frame vertex is not closed; look from the other end.
            return self
                .around(v)
                .find(|&h| self.target(h) == u)
                .map(|h| self.twin(h));
        }
        self.around(u).find(|&h| self.target(h) == v)
    }

    /// A triangle that holds `p`, edges included; `None` outside the frame.
    fn locate(&self, p: Point) -> Option<u32> {
        let count = self.triangle_count();
        let mut t = self.last.min(count.saturating_sub(1));
        // A straight walk; with fixed edges it may circle, so it is bounded and a scan stands behind it.
        let mut enter = 0u32;
        for _ in 0..count {
            let mut out = None;
            for k in 0..3 {
                let h = t * 3 + (enter + k) % 3;
                if orient(self.point(self.origin(h)), self.point(self.target(h)), p) < 0.0 {
                    out = Some(h);
                    break;
                }
            }
            match out {
                None => return Some(t),
                Some(h) => {
                    let twin = self.twin(h);
                    if twin == NONE {
                        break;
                    }
                    t = twin / 3;
                    enter = (twin + 1) % 3;
                }
            }
        }
        (0..count).find(|&t| {
            let [a, b, c] = self.triangle(t).map(|v| self.point(v));
            orient(a, b, p) >= 0.0 && orient(b, c, p) >= 0.0 && orient(c, a, p) >= 0.0
        })
    }

    /// Puts a further point in and restores the Delaunay property; answers its vertex. A point in the very place of a vertex is that
    /// vertex; one no farther than `reach_m` from a fixed edge parts that edge, from its own place.
    ///
    /// # Errors
    /// [`MeshError::OutsideFrame`].
    pub fn insert_near(&mut self, p: Point, reach_m: f64) -> Result<u32, MeshError> {
        if let Some(t) = self.locate(p)
            && let Some(&v) = self.triangle(t).iter().find(|&&v| self.point(v) == p)
        {
            return Ok(v);
        }
        let v = self.points.len() as u32;
        self.points.push(p);
        self.spokes.push(NONE);
        match self.insert_vertex(v, reach_m) {
            Ok(()) => Ok(v),
            Err(e) => {
                self.points.pop();
                self.spokes.pop();
                Err(e)
            }
        }
    }

    fn insert_vertex(&mut self, v: u32, reach_m: f64) -> Result<(), MeshError> {
        let p = self.point(v);
        let Some(t) = self.locate(p) else {
            return Err(MeshError::OutsideFrame { x: p.x, y: p.y });
        };
        // A point a hair off a fixed edge is meant to lie on it: left beside it, it would make a triangle too thin
        // for any line along the edge.
        let off = |h: u32| {
            let (a, b) = (self.point(self.origin(h)), self.point(self.target(h)));
            let side = orient(a, b, p);
            let on = side == 0.0 || (self.is_fixed(h) && on_piece(a, b, p, side, reach_m));
            on.then(|| side.abs() / (b - a).norm())
        };
        let on = (t * 3..t * 3 + 3)
            .filter_map(|h| Some((off(h)?, h)))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, h)| h);
        match on {
            Some(h) => self.split_edge(h, v),
            None => self.split_triangle(t, v),
        }
        self.last = self.spokes[v as usize] / 3;
        Ok(())
    }

    pub(super) fn link(&mut self, a: u32, b: u32, mark: u8) {
        self.twins[a as usize] = b;
        self.marks[a as usize] = mark;
        if b != NONE {
            self.twins[b as usize] = a;
            self.marks[b as usize] = mark;
        }
    }

    /// Writes triangle `t` with these corners; its links are set apart.
    fn set_triangle(&mut self, t: u32, corners: [u32; 3]) {
        for (k, &v) in corners.iter().enumerate() {
            let h = t as usize * 3 + k;
            self.origins[h] = v;
            self.spokes[v as usize] = h as u32;
        }
    }

    fn push_triangle(&mut self) -> u32 {
        let t = self.triangle_count();
        self.origins.extend([NONE; 3]);
        self.twins.extend([NONE; 3]);
        self.marks.extend([0; 3]);
        t
    }

    fn split_triangle(&mut self, t: u32, v: u32) {
        let h = t * 3;
        let [a, b, c] = self.triangle(t);
        let outer: [(u32, u8); 3] = [h, h + 1, h + 2].map(|e| (self.twin(e), self.mark(e)));
        let (t1, t2) = (self.push_triangle(), self.push_triangle());
        self.set_triangle(t, [a, b, v]);
        self.set_triangle(t1, [b, c, v]);
        self.set_triangle(t2, [c, a, v]);
        self.link(t * 3, outer[0].0, outer[0].1);
        self.link(t1 * 3, outer[1].0, outer[1].1);
        self.link(t2 * 3, outer[2].0, outer[2].1);
        self.link(t * 3 + 1, t1 * 3 + 2, 0);
        self.link(t1 * 3 + 1, t2 * 3 + 2, 0);
        self.link(t2 * 3 + 1, t * 3 + 2, 0);
        self.restore(v, vec![t * 3, t1 * 3, t2 * 3]);
    }

    pub(super) fn split_edge(&mut self, h: u32, v: u32) {
        // Triangle (a, b, c) on the edge's own side, (b, a, d) beyond it.
        let twin = self.twin(h);
        let mark = self.mark(h);
        let (a, b, c) = (self.origin(h), self.target(h), self.origin(prev(h)));
        let (bc, ca) = (next(h), prev(h));
        let keep = |m: &Self, e: u32| (m.twin(e), m.mark(e));
        let (bc, ca) = (keep(self, bc), keep(self, ca));
        let t = h / 3;
        let t1 = self.push_triangle();
        let mut edges = vec![];
        if twin == NONE {
            self.set_triangle(t, [v, c, a]);
            self.set_triangle(t1, [v, b, c]);
            self.link(t * 3 + 2, NONE, mark);
            self.link(t1 * 3, NONE, mark);
        } else {
            let d = self.origin(prev(twin));
            let (ad, db) = (keep(self, next(twin)), keep(self, prev(twin)));
            let t2 = twin / 3;
            let t3 = self.push_triangle();
            self.set_triangle(t2, [v, a, d]);
            self.set_triangle(t3, [v, d, b]);
            self.set_triangle(t, [v, c, a]);
            self.set_triangle(t1, [v, b, c]);
            self.link(t2 * 3 + 1, ad.0, ad.1);
            self.link(t3 * 3 + 1, db.0, db.1);
            self.link(t2 * 3 + 2, t3 * 3, 0);
            self.link(t * 3 + 2, t2 * 3, mark);
            self.link(t1 * 3, t3 * 3 + 2, mark);
            edges.extend([t2 * 3 + 1, t3 * 3 + 1]);
        }
        self.link(t * 3 + 1, ca.0, ca.1);
        self.link(t1 * 3 + 1, bc.0, bc.1);
        self.link(t * 3, t1 * 3 + 2, 0);
        edges.extend([t * 3 + 1, t1 * 3 + 1]);
        self.restore(v, edges);
    }

    /// Flips the edges opposite to a new vertex until all are Delaunay edges.
    fn restore(&mut self, v: u32, mut edges: Vec<u32>) {
        while let Some(h) = edges.pop() {
            debug_assert_eq!(self.origin(prev(h)), v);
            // A crossing of two fixed edges is rounded, so `v` may lie a hair off the edge it splits;
            // then the in-circle test alone would turn a triangle over.
            if self.is_wrong(h) && self.is_convex(h) {
                self.flip(h);
                // Now (s, v, p) at h's triangle and (v, s, q) at its twin's.
                let twin = self.twin(h);
                edges.push(prev(h));
                edges.push(next(twin));
            }
        }
    }

    /// Whether a free edge fails the in-circle test.
    pub(super) fn is_wrong(&self, h: u32) -> bool {
        let twin = self.twin(h);
        if twin == NONE || self.is_fixed(h) {
            return false;
        }
        let [a, b, c] = self.triangle(h / 3).map(|v| self.point(v));
        let d = self.point(self.origin(prev(twin)));
        in_circle(a, b, c, d) > 0.0
    }

    /// Turns the edge of half-edge `h` to the other diagonal of its two triangles. Afterwards `h` runs
    /// from the apex that was beyond it to the apex of its own triangle.
    ///
    /// The caller has seen to it that the two triangles make a convex quadrilateral.
    pub fn flip(&mut self, h: u32) {
        let twin = self.twin(h);
        if twin == NONE {
            return;
        }
        let (x1, x2) = (next(h), prev(h));
        let (y1, y2) = (next(twin), prev(twin));
        let keep = |e: u32| (self.twins[e as usize], self.marks[e as usize]);
        let (a1, a2, b1, b2) = (keep(x1), keep(x2), keep(y1), keep(y2));
        let (p, q) = (self.origin(h), self.origin(twin));
        let (r, s) = (self.origin(x2), self.origin(y2));
        for (slot, v) in [(h, s), (x1, r), (x2, p), (twin, r), (y1, s), (y2, q)] {
            self.origins[slot as usize] = v;
            self.spokes[v as usize] = slot;
        }
        self.link(x1, a2.0, a2.1);
        self.link(x2, b1.0, b1.1);
        self.link(y1, b2.0, b2.1);
        self.link(y2, a1.0, a1.1);
        self.link(h, twin, 0);
    }

    /// Whether the two triangles at `h` make a strictly convex quadrilateral.
    pub(super) fn is_convex(&self, h: u32) -> bool {
        let twin = self.twin(h);
        let (p, q) = (self.point(self.origin(h)), self.point(self.target(h)));
        let r = self.point(self.origin(prev(h)));
        let s = self.point(self.origin(prev(twin)));
        orient(r, s, p) < 0.0 && orient(r, s, q) > 0.0
    }
}

/// Whether `p` lies between `a` and `b` and on their line, as nearly as their coordinates can tell, or within `reach_m` of it.
/// `side` is twice the area of the three.
///
/// Where two fixed edges cross, the new vertex is rounded and an edge from it passes by a hair what
/// lay exactly on the line. Left beside the edge, such a vertex makes a triangle too thin to split.
pub(super) fn on_piece(a: Point, b: Point, p: Point, side: f64, reach_m: f64) -> bool {
    let run = b - a;
    let along = (p - a).dot(run);
    let size = a.x.abs().max(a.y.abs()).max(b.x.abs()).max(b.y.abs());
    side.abs() <= (HAIR_M + HAIR_SHARE * size).max(reach_m) * run.norm()
        && along > 0.0
        && along < run.dot(run)
}

/// A distance that nobody measures: a tenth of a nanometre, and a few units in the last place.
const HAIR_M: f64 = 1e-10;
const HAIR_SHARE: f64 = 1e-15;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Every promise of the mesh: links both ways, counter-clockwise, free edges Delaunay, area kept.
    fn check(mesh: &Mesh) {
        let mut area = 0.0;
        for t in 0..mesh.triangle_count() {
            let [a, b, c] = mesh.triangle(t).map(|v| mesh.point(v));
            assert!(
                orient(a, b, c) > 0.0,
                "triangle {t} is not counter-clockwise"
            );
            area += (b - a).cross(c - a) / 2.0;
            for h in t * 3..t * 3 + 3 {
                let twin = mesh.twin(h);
                if twin != NONE {
                    assert_eq!(mesh.twin(twin), h);
                    assert_eq!(mesh.origin(twin), mesh.target(h));
                    assert_eq!(mesh.is_fixed(twin), mesh.is_fixed(h));
                }
                assert!(
                    !mesh.is_wrong(h) || !mesh.is_convex(h),
                    "edge {h} is not Delaunay"
                );
            }
        }
        let frame = mesh.point(1).x - mesh.point(0).x;
        assert!((area - frame * frame).abs() < 1e-9 * frame * frame);
        for v in Mesh::FRAME..mesh.points().len() as u32 {
            assert!(mesh.around(v).all(|h| mesh.origin(h) == v));
            assert!(mesh.around(v).count() >= 3);
        }
    }

    fn chained(mesh: &Mesh, u: u32, v: u32) -> bool {
        // The straight piece may have been split: follow fixed edges that keep to the line.
        let (pu, pv) = (mesh.point(u), mesh.point(v));
        let mut at = u;
        for _ in 0..1000 {
            if at == v {
                return true;
            }
            let onward = mesh.around(at).find(|&h| {
                let w = mesh.point(mesh.target(h));
                mesh.is_fixed(h)
                    && super::super::Segment::new(pu, pv).distance(w) < 1e-9
                    && (w - mesh.point(at)).dot(pv - pu) > 0.0
            });
            match onward {
                Some(h) => at = mesh.target(h),
                None => return false,
            }
        }
        false
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]
        #[test]
        fn points_and_fixed_edges_on_a_lattice(
            // A coarse lattice makes collinear and cocircular sets the rule.
            raw in proptest::collection::hash_set((0i32..12, 0i32..12), 4..70),
            more in proptest::collection::vec((0i32..24, 0i32..24), 0..10),
            pairs in proptest::collection::vec((0usize..1000, 0usize..1000), 0..8),
        ) {
            let mut points: Vec<Point> = raw.iter().map(|&(x, y)| Point::new(f64::from(x), f64::from(y))).collect();
            points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
            let mut mesh = Mesh::new(&points, Point::new(-1., -1.), Point::new(13., 13.)).unwrap();
            check(&mesh);
            for (x, y) in more {
                let at = Point::new(f64::from(x) / 2.0, f64::from(y) / 2.0);
                mesh.insert_near(at, 0.0).unwrap();
            }
            check(&mesh);
            let n = mesh.points().len() - 4;
            let mut fixed = vec![];
            for (i, j) in pairs {
                let (u, v) = ((i % n) as u32 + 4, (j % n) as u32 + 4);
                mesh.fix(u, v, 1).unwrap();
                fixed.push((u, v));
            }
            for t in 0..mesh.triangle_count() {
                let [a, b, c] = mesh.triangle(t).map(|v| mesh.point(v));
                prop_assert!(orient(a, b, c) > 0.0);
            }
            for (u, v) in fixed {
                prop_assert!(chained(&mesh, u, v));
            }
        }
    }

    #[test]
    fn far_off_coordinates_and_points_outside() {
        let o = Point::new(4.0e5, 5.6e6);
        let points: Vec<Point> = (0..40)
            .map(|i| o + Point::new(f64::from(i % 8) * 0.3, f64::from(i / 8) * 0.3))
            .collect();
        let r = Point::new(5.0, 5.0);
        let mesh = Mesh::new(&points, o - r, o + r).unwrap();
        check(&mesh);
        assert!(Mesh::new(&points, o, o + Point::new(1., 1.)).is_err());
        let mut small = Mesh::new(&[], o - r, o + r).unwrap();
        assert_eq!(small.insert_near(o, 0.0).unwrap(), 4);
        assert_eq!(small.insert_near(o, 0.0).unwrap(), 4);
        assert!(small.insert_near(Point::default(), 0.0).is_err());
        check(&small);
    }
}
