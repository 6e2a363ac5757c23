//! Straight pieces made edges of a mesh that stay.

use super::mesh::{Mesh, MeshError, NONE, next, on_piece, prev};
use super::{Point, Segment, orient};
use std::collections::VecDeque;

/// What lies between two vertices that an edge is to join.
enum Obstacle {
    /// They are joined by this half-edge.
    Joined(u32),
    /// A vertex lies on the straight piece.
    Vertex(u32),
    /// A fixed edge crosses it.
    Fixed(u32),
    /// Free edges cross it.
    Edges(Vec<(u32, u32)>),
}

impl Mesh {
    /// Makes the straight piece from `u` to `v` part of the mesh and fixes it with a mark (not 0);
    /// an edge fixed twice bears both marks' bits.
    ///
    /// # Method
    /// Edges that cross the piece are flipped away, then free edges round about are made Delaunay
    /// again as far as the fixed edges allow (S. W. Sloan, 1993). A vertex met on the way splits the
    /// piece; so does a fixed edge, at a new vertex.
    /// # Errors
    /// [`MeshError::NotRecovered`] when a stated bound of steps is reached.
    pub fn fix(&mut self, u: u32, v: u32, mark: u8) -> Result<(), MeshError> {
        let failed = MeshError::NotRecovered {
            from: self.point(u),
            to: self.point(v),
        };
        let mut pieces = vec![(u, v)];
        // Each round fixes an edge or splits the piece once.
        for _ in 0..100_000 {
            let Some((a, b)) = pieces.pop() else {
                return Ok(());
            };
            if a == b {
                continue;
            }
            match self.first_obstacle(a, b).ok_or(failed)? {
                Obstacle::Joined(h) => {
                    let twin = self.twin(h);
                    let both = self.mark(h) | mark;
                    self.link(h, twin, both);
                }
                Obstacle::Vertex(w) => pieces.extend([(w, b), (a, w)]),
                Obstacle::Fixed(h) => {
                    let w = self.split_at_crossing(h, a, b);
                    pieces.extend([(w, b), (a, w)]);
                }
                Obstacle::Edges(crossed) => {
                    if !self.flip_away(a, b, crossed, mark) {
                        return Err(failed);
                    }
                    pieces.push((a, b));
                }
            }
        }
        Err(failed)
    }

    /// What lies between two vertices.
    fn first_obstacle(&self, a: u32, b: u32) -> Option<Obstacle> {
        let (pa, pb) = (self.point(a), self.point(b));
        let mut start = None;
        for h in self.around(a) {
            let (q, r) = (self.target(h), self.origin(prev(h)));
            if q == b {
                return Some(Obstacle::Joined(h));
            }
            let (pq, pr) = (self.point(q), self.point(r));
            let side = orient(pa, pb, pq);
            if on_piece(pa, pb, pq, side, 0.0) {
                return Some(Obstacle::Vertex(q));
            }
            // The piece leaves through the edge opposite to a in this triangle.
            if side < 0.0 && orient(pa, pb, pr) > 0.0 {
                start = Some(next(h));
            }
        }
        let mut h = start?;
        let mut crossed = Vec::new();
        for _ in 0..self.triangle_count() {
            if self.is_fixed(h) {
                return Some(Obstacle::Fixed(h));
            }
            crossed.push((self.origin(h), self.target(h)));
            let twin = self.twin(h);
            if twin == NONE {
                return None;
            }
            let apex = self.origin(prev(twin));
            if apex == b {
                return Some(Obstacle::Edges(crossed));
            }
            let side = orient(pa, pb, self.point(apex));
            if side == 0.0 || on_piece(pa, pb, self.point(apex), side, 0.0) {
                return Some(Obstacle::Vertex(apex));
            }
            // Every crossed edge runs from the right of the piece to its left.
            h = if side > 0.0 { next(twin) } else { prev(twin) };
        }
        None
    }

    /// New vertex where the piece from `a` to `b` meets the fixed edge `h`.
    fn split_at_crossing(&mut self, h: u32, a: u32, b: u32) -> u32 {
        let (c, d) = (self.origin(h), self.target(h));
        let piece = Segment::new(self.point(a), self.point(b));
        let edge = Segment::new(self.point(c), self.point(d));
        let at = edge.meeting(&piece).map_or(edge.at(0.5), |(p, _)| p);
        for w in [c, d] {
            if self.point(w) == at {
                return w;
            }
        }
        let Some(at) = self.sound_near(h, at) else {
            // The crossing cannot be told from a corner in floating point: go through that corner.
            let twin = self.twin(h);
            let apexes = [prev(h), prev(twin)].map(|e| self.origin(e));
            let [x, y] = apexes;
            return [c, d, x, y]
                .into_iter()
                .filter(|&w| w >= Self::FRAME)
                .min_by(|&p, &q| {
                    let far = |w: u32| self.point(w).distance(at);
                    far(p).total_cmp(&far(q)).then(p.cmp(&q))
                })
                .unwrap_or(c);
        };
        let v = self.points.len() as u32;
        self.points.push(at);
        self.spokes.push(NONE);
        self.split_edge(h, v);
        v
    }

    /// The place nearest to `at` where the edge of `h` can be split without turning a triangle over:
    /// `at` itself, or one of the floating-point neighbours round it.
    fn sound_near(&self, h: u32, at: Point) -> Option<Point> {
        let twin = self.twin(h);
        let corners = [
            self.origin(h),
            self.origin(prev(twin)),
            self.target(h),
            self.origin(prev(h)),
        ]
        .map(|v| self.point(v));
        let sound = |p: &Point| (0..4).all(|i| orient(corners[i], corners[(i + 1) % 4], *p) > 0.0);
        let step = |value: f64, n: i32| {
            (0..n.abs()).fold(
                value,
                |v, _| if n > 0 { v.next_up() } else { v.next_down() },
            )
        };
        (0i32..=3)
            .flat_map(|ring| {
                (-ring..=ring)
                    .flat_map(move |i| (-ring..=ring).map(move |j| (i, j)))
                    .filter(move |(i, j)| i.abs().max(j.abs()) == ring)
            })
            .map(|(i, j)| Point::new(step(at.x, i), step(at.y, j)))
            .find(sound)
    }

    /// Flips until no edge of the list crosses the piece from `a` to `b`.
    fn flip_away(&mut self, a: u32, b: u32, crossed: Vec<(u32, u32)>, mark: u8) -> bool {
        let (pa, pb) = (self.point(a), self.point(b));
        let bound = 64 + 16 * crossed.len() * crossed.len().max(4);
        let mut waiting: VecDeque<(u32, u32)> = crossed.into();
        let mut fresh = Vec::new();
        let mut steps = 0;
        while let Some((p, q)) = waiting.pop_front() {
            steps += 1;
            if steps > bound {
                return false;
            }
            let Some(h) = self.edge(p, q) else {
                return false;
            };
            if !self.is_convex(h) {
                waiting.push_back((p, q));
                continue;
            }
            self.flip(h);
            let (s, r) = (self.origin(h), self.target(h));
            let crosses = s != a
                && s != b
                && r != a
                && r != b
                && Segment::new(pa, pb).crosses(&Segment::new(self.point(s), self.point(r)));
            if crosses {
                waiting.push_back((s, r));
            } else {
                fresh.push((s, r));
            }
        }
        if let Some(h) = self.edge(a, b) {
            let twin = self.twin(h);
            self.link(h, twin, mark);
        }
        self.restore_edges(fresh);
        true
    }

    /// Makes free edges Delaunay again, starting from these.
    fn restore_edges(&mut self, mut edges: Vec<(u32, u32)>) {
        // Each flip lowers the lifted surface, so this ends; the bound is for broken promises only.
        let mut budget = 1000 + 200 * edges.len() * edges.len().max(10);
        while let Some((p, q)) = edges.pop() {
            let Some(h) = self.edge(p, q) else { continue };
            if !self.is_wrong(h) || !self.is_convex(h) || budget == 0 {
                continue;
            }
            budget -= 1;
            self.flip(h);
            let twin = self.twin(h);
            for e in [next(h), prev(h), next(twin), prev(twin)] {
                edges.push((self.origin(e), self.target(e)));
            }
        }
    }
}
