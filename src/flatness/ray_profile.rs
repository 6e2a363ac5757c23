//! The profile of the floor on one ray: heights where it meets edges of the mesh, out to where the floor ends.

use super::net::{Net, WALL};
pub(super) use crate::geometry::Lean;
use crate::geometry::{Point, Ray, Triangles, Walk};

/// Where a ray starts.
#[derive(Debug, Clone, Copy)]
pub(super) enum Start {
    /// A share along a seat, strictly between its ends.
    Seat(usize, f64),
    /// A vertex of the mesh.
    Vertex(u32),
    /// A place inside a triangle, with its height.
    Inside(u32, [f64; 3]),
}

/// A direction this near to that of a seat runs along it, radians.
const ALONG: f64 = 1e-12;

/// Height of a profile over what does not count as floor: nothing can rest there, and every sum with it is
/// no gap. Such a stretch stands between two points of this height.
pub(super) const NO_FLOOR: f64 = f64::NEG_INFINITY;

/// A walk on its way, with what it met that may make the profile depend on its lean.
struct Outward<'a> {
    net: &'a Net,
    walk: Walk<'a, Net>,
    /// Height of the start.
    from_m: f64,
    /// It begins along an edge.
    along: bool,
    /// Floor ends, begins or steps at a corner: where it does not, it is the same on either hand.
    end: bool,
}

/// The profile outward from `start`, heights taken from the start's own height. Answers whether it depends on its lean.
pub(super) fn profile(
    net: &Net,
    start: Start,
    dir: [f64; 2],
    span: f64,
    lean: Lean,
    out: &mut Vec<(f64, f64)>,
) -> bool {
    let ray = |from: [f64; 3]| Ray {
        from: Point::new(from[0], from[1]),
        direction: Point::new(dir[0], dir[1]),
        lean,
    };
    let mut along = false;
    let (from, walk) = match start {
        Start::Seat(seat, share) => {
            let s = net.seats[seat];
            let from = net.on_seat(seat, share);
            let [p, q] = s.ends.map(|v| net.at[v as usize]);
            if s.joint && net.runs_along(s.ends[0], s.ends[1], dir) {
                // Neither side's floor lies ahead of a line along the joint rather than the other's.
                return false;
            }
            let run = [q[0] - p[0], q[1] - p[1]];
            let off = run[0] * dir[1] - run[1] * dir[0];
            let home = if off.abs() <= ALONG * run[0].hypot(run[1]) {
                // To the left of the seat, seen along it, lies its home.
                along = true;
                (run[0] * dir[0] + run[1] * dir[1] > 0.0) == (lean == Lean::Left)
            } else {
                off > 0.0
            };
            let (t, other) = if home {
                (s.home, s.beyond)
            } else {
                (s.beyond, s.home)
            };
            let Some(k) = net.edge_towards(t, other) else {
                return true;
            };
            // Beyond the end of what counts there is no height, at a joint neither.
            if !home && net.solid[t as usize] {
                let tri = net.tri[t as usize];
                let (r, l) = (net.at[tri[(k + 1) % 3] as usize], net.at[tri[k] as usize]);
                // Ends run the other way round in the triangle beyond.
                let z = r[2] + (l[2] - r[2]) * share_of(r, l, from);
                if z != from[2] {
                    out.push((0.0, z - from[2]));
                }
            }
            (from, Some(Walk::entering(net, ray(from), t, k)))
        }
        Start::Vertex(v) => {
            let from = net.at[v as usize];
            let walk = Walk::from_vertex(net, ray(from), v, net.around(v));
            if walk.is_none() {
                return true;
            }
            (from, walk)
        }
        Start::Inside(t, from) => (from, Walk::inside(net, ray(from), t)),
    };
    walk.is_some_and(|walk| {
        Outward {
            net,
            walk,
            from_m: from[2],
            along,
            end: false,
        }
        .follow(dir, span, out)
    })
}

impl Outward<'_> {
    const fn depends_on_lean(&self) -> bool {
        (self.along || self.walk.met_a_corner()) && self.end
    }

    /// Writes the profile as far as `span`, or as floor goes. Answers whether it depends on its lean.
    fn follow(mut self, dir: [f64; 2], span: f64, out: &mut Vec<(f64, f64)>) -> bool {
        let net = self.net;
        let is_solid = |t: u32| net.solid[t as usize];
        if !is_solid(self.walk.triangle()) {
            self.end = true;
            out.push((0.0, NO_FLOOR));
        }
        // A straight ray enters each triangle at most once.
        for _ in 0..=net.tri.len() {
            let at = self.walk.crossing();
            let (s, solid) = (at.ahead_m, is_solid(at.triangle));
            let height = |right: u32, left: u32| {
                let (r, l) = (net.at[right as usize][2], net.at[left as usize][2]);
                (s, r + (l - r) * at.share - self.from_m)
            };
            if solid {
                out.push(height(at.right, at.left));
            }
            let n = net.next[at.triangle as usize][at.edge];
            if n == WALL || s > span || (solid && s >= span) {
                self.end |= n == WALL && s < span && at.at_corner;
                return self.depends_on_lean();
            }
            let step = net.step[at.triangle as usize][at.edge];
            self.end |= at.at_corner && (step || !solid || !is_solid(n));
            let Some(k) = net.edge_towards(n, at.triangle) else {
                return true;
            };
            if step && net.runs_along(at.right, at.left, dir) {
                // A line along a joint stays on its own side; rounding alone would take it over.
                return true;
            }
            // At a joint the triangle beyond has corners, and so heights, of its own.
            let beyond = net.tri[n as usize];
            let (right, left) = (beyond[(k + 1) % 3], beyond[k]);
            match (solid, is_solid(n)) {
                (true, true) => {
                    if (right, left) != (at.right, at.left) {
                        out.push(height(right, left));
                    }
                }
                (true, false) => out.push((s, NO_FLOOR)),
                (false, true) => out.extend([(s, NO_FLOOR), height(right, left)]),
                (false, false) => {}
            }
            self.walk.go_on(n, k);
        }
        self.depends_on_lean()
    }
}

/// Share of the way from `r` to `l` at which `p` lies.
fn share_of(r: [f64; 3], l: [f64; 3], p: [f64; 3]) -> f64 {
    let d = [l[0] - r[0], l[1] - r[1]];
    let len2 = d[0] * d[0] + d[1] * d[1];
    if len2 <= 0.0 {
        return 0.0;
    }
    (((p[0] - r[0]) * d[0] + (p[1] - r[1]) * d[1]) / len2).clamp(0.0, 1.0)
}
