//! The profile of the floor on one ray: heights where it meets edges of the mesh, out to where the floor ends.

use super::net::{Net, WALL};

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

/// On which hand a line passes the corners and edges that it runs through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lean {
    Left,
    Right,
}

impl Lean {
    /// The same, looking the other way.
    pub fn turned(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// A corner this near to a line lies on it, metres.
const ON_LINE_M: f64 = 1e-9;

/// A direction this near to that of a seat runs along it, radians.
const ALONG: f64 = 1e-12;

/// Height of a profile over what does not count as floor: nothing can rest there, and every sum with it is
/// no gap. Such a stretch stands between two points of this height.
pub(super) const NO_FLOOR: f64 = f64::NEG_INFINITY;

/// The lean of a line, and what it met that may make its profile depend on it.
#[derive(Debug, Clone, Copy)]
struct Met {
    lean: Lean,
    /// It runs through a corner or along an edge.
    corner: bool,
    /// Floor ends, begins or steps at a corner: where it does not, it is the same on either hand.
    end: bool,
}

impl Met {
    const fn depends(self) -> bool {
        self.corner && self.end
    }
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
    let mut met = Met {
        lean,
        corner: false,
        end: false,
    };
    let (from, t, e) = match start {
        Start::Seat(seat, share) => {
            let s = net.seats[seat];
            let from = net.on_seat(seat, share);
            let [p, q] = s.ends.map(|v| net.at[v as usize]);
            if s.joint && net.runs_along(s.ends[0], s.ends[1], dir) {
                // Neither side's floor lies ahead of a line along the joint rather than the other's.
                return false;
            }
            let along = [q[0] - p[0], q[1] - p[1]];
            let off = cross(along, dir);
            let length = along[0].hypot(along[1]);
            let home = if off.abs() <= ALONG * length {
                // To the left of the seat, seen along it, lies its home.
                met.corner = true;
                (along[0] * dir[0] + along[1] * dir[1] > 0.0) == (lean == Lean::Left)
            } else {
                off > 0.0
            };
            let t = if home { s.home } else { s.beyond };
            let Some(k) = entry(net, if home { s.beyond } else { s.home }, t) else {
                return true;
            };
            if !home {
                let tri = net.tri[t as usize];
                let (r, l) = (net.at[tri[(k + 1) % 3] as usize], net.at[tri[k] as usize]);
                // Ends run the other way round in the triangle beyond.
                let z = r[2] + (l[2] - r[2]) * share_of(r, l, from);
                if z != from[2] {
                    out.push((0.0, z - from[2]));
                }
            }
            (from, t, turn(net, t, k, from, dir, &mut met))
        }
        Start::Vertex(v) => {
            let from = net.at[v as usize];
            let Some((t, e)) = sector(net, v, dir, &mut met) else {
                return true;
            };
            (from, t, e)
        }
        Start::Inside(t, from) => {
            let Some(e) = exit(net, t, from, dir) else {
                return false;
            };
            (from, t, e)
        }
    };
    follow(net, Ray { from, dir, span }, (t, e), met, out)
}

/// A ray over the floor, as far as it is wanted.
#[derive(Debug, Clone, Copy)]
struct Ray {
    from: [f64; 3],
    dir: [f64; 2],
    span: f64,
}

/// Walk from triangle to triangle, leaving `t` over its edge `e` first. Answers whether the profile depends on the lean.
fn follow(
    net: &Net,
    ray: Ray,
    (mut t, mut e): (u32, usize),
    mut met: Met,
    out: &mut Vec<(f64, f64)>,
) -> bool {
    let Ray { from, dir, span } = ray;
    let mut last = 0.0;
    if !net.solid[t as usize] {
        met.end = true;
        out.push((0.0, NO_FLOOR));
    }
    // A straight ray enters each triangle at most once.
    for _ in 0..=net.tri.len() {
        let tri = net.tri[t as usize];
        let (r, l) = (net.at[tri[e] as usize], net.at[tri[(e + 1) % 3] as usize]);
        let (cr, cl) = (
            cross(dir, [r[0] - from[0], r[1] - from[1]]),
            cross(dir, [l[0] - from[0], l[1] - from[1]]),
        );
        // Where it leaves a triangle between corners, it does so on either hand.
        let at_corner = cr.abs().min(cl.abs()) <= ON_LINE_M;
        let ahead = |p: [f64; 3]| (p[0] - from[0]) * dir[0] + (p[1] - from[1]) * dir[1];
        let share = meeting((cr, cl), (ahead(r), ahead(l)), last);
        let x = [0, 1, 2].map(|i| r[i] + (l[i] - r[i]) * share);
        let s = ahead(x).max(last);
        last = s;
        let solid = net.solid[t as usize];
        if solid {
            out.push((s, x[2] - from[2]));
        }
        let n = net.next[t as usize][e];
        if n == WALL || s > span || (solid && s >= span) {
            met.end |= n == WALL && s < span && at_corner;
            return met.depends();
        }
        met.end |= at_corner && (net.step[t as usize][e] || !solid || !net.solid[n as usize]);
        let Some(k) = entry(net, t, n) else {
            return true;
        };
        if net.step[t as usize][e] && net.runs_along(tri[e], tri[(e + 1) % 3], dir) {
            // A line along a joint stays on its own side; rounding alone would take it over.
            return true;
        }
        // At a joint the triangle beyond has corners, and so heights, of its own.
        let beyond = net.tri[n as usize];
        let own = || {
            let (r, l) = (
                net.at[beyond[(k + 1) % 3] as usize],
                net.at[beyond[k] as usize],
            );
            (s, r[2] + (l[2] - r[2]) * share - from[2])
        };
        match (solid, net.solid[n as usize]) {
            (true, true) => {
                if beyond[k] != tri[(e + 1) % 3] || beyond[(k + 1) % 3] != tri[e] {
                    out.push(own());
                }
            }
            (true, false) => out.push((s, NO_FLOOR)),
            (false, true) => out.extend([(s, NO_FLOOR), own()]),
            (false, false) => {}
        }
        e = turn(net, n, k, from, dir, &mut met);
        t = n;
    }
    met.depends()
}

/// The share of the way from the right end of an edge to its left one at which a line meets it, from how far both ends lie to the left of
/// the line, how far ahead, and how far the line has come.
///
/// An edge that runs along the line is met where the line has come to: anywhere else on it a height would be told of a place that
/// the line has passed, or jumps ahead to, and on a slope that is a gap where there is none.
fn meeting((right, left): (f64, f64), (of_right, of_left): (f64, f64), last: f64) -> f64 {
    let (off, way) = if right.abs().max(left.abs()) <= ON_LINE_M {
        (last - of_right, of_left - of_right)
    } else {
        (-right, left - right)
    };
    if way == 0.0 {
        0.0
    } else {
        (off / way).clamp(0.0, 1.0)
    }
}

/// Having come in over edge `k` of `t`, the edge over which the ray leaves.
fn turn(net: &Net, t: u32, k: usize, from: [f64; 3], dir: [f64; 2], met: &mut Met) -> usize {
    let w = net.at[net.tri[t as usize][(k + 2) % 3] as usize];
    let left = cross(dir, [w[0] - from[0], w[1] - from[1]]);
    let on = left.abs() <= ON_LINE_M;
    met.corner |= on;
    // A line to the left of a corner has it to its right.
    if if on {
        met.lean == Lean::Right
    } else {
        left > 0.0
    } {
        (k + 1) % 3
    } else {
        (k + 2) % 3
    }
}

/// The edge of `t` over which a ray from inside it leaves.
fn exit(net: &Net, t: u32, from: [f64; 3], dir: [f64; 2]) -> Option<usize> {
    let tri = net.tri[t as usize];
    let side = tri.map(|v| {
        let w = net.at[v as usize];
        cross(dir, [w[0] - from[0], w[1] - from[1]])
    });
    (0..3).find(|&e| side[e] <= 0.0 && side[(e + 1) % 3] >= 0.0 && side[e] < side[(e + 1) % 3])
}

/// The triangle around `v` into which `dir` points, and its edge opposite `v`.
fn sector(net: &Net, v: u32, dir: [f64; 2], met: &mut Met) -> Option<(u32, usize)> {
    let from = net.at[v as usize];
    let mut found = None;
    for &t in net.around(v) {
        let tri = net.tri[t as usize];
        let Some(k) = tri.iter().position(|&w| w == v) else {
            continue;
        };
        // How far its other corners lie to the left, and ahead.
        let [r, l] = [1, 2].map(|i| {
            let w = net.at[tri[(k + i) % 3] as usize];
            let d = [w[0] - from[0], w[1] - from[1]];
            (cross(dir, d), d[0] * dir[0] + d[1] * dir[1])
        });
        if r.1 <= 0.0 && l.1 <= 0.0 {
            continue;
        }
        met.corner |= [r, l].iter().any(|c| c.0.abs() <= ON_LINE_M && c.1 > 0.0);
        let (most_right, least_left) = match met.lean {
            Lean::Left => (ON_LINE_M, ON_LINE_M),
            Lean::Right => (-ON_LINE_M, -ON_LINE_M),
        };
        if r.0 <= most_right && l.0 > least_left {
            found = found.or(Some((t, (k + 1) % 3)));
        }
    }
    found
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

/// The edge of `to` that borders on `from`.
fn entry(net: &Net, from: u32, to: u32) -> Option<usize> {
    net.next[to as usize].iter().position(|&n| n == from)
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}
