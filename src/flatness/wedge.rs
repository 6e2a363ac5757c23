//! The proof: no chord over these places in these directions is as deep as a given bar.

use super::group::{Buckets, Groups};
use super::net::{Net, WALL};

/// Every chord whose deepest point lies on these seats and whose direction lies in this interval.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sheaf {
    /// A group of seats.
    pub group: u32,
    /// For a group of one seat: the share of it that is meant.
    pub part: (f64, f64),
    /// Directions, radians from the x axis; less than half a turn apart.
    pub turn: (f64, f64),
}

/// Slack in the plan, metres, so that rounding never closes a gap that a line could pass.
const SLACK: f64 = 1e-9;

/// Part of the floor's profile as seen along the sheaf: heights over the bar between two places.
#[derive(Clone, Copy)]
struct Piece {
    x0: f64,
    x1: f64,
    r0: f64,
    r1: f64,
    k0: f64,
}

/// Working space for one thread.
pub(super) struct Prover {
    seen: Vec<u32>,
    tick: u32,
    stack: Vec<u32>,
    starts: Vec<u32>,
    behind: Vec<Piece>,
    ahead: Vec<Piece>,
}

/// One side of a sheaf: from the seats outward between two rays.
struct Side {
    /// Axis; `x` is measured along it from the middle of the seats.
    axis: [f64; 2],
    /// Right and left bounding directions, and where each ray starts, as cross products.
    right: [f64; 2],
    left: [f64; 2],
    right_at: f64,
    left_at: f64,
    /// Nearest and farthest place of the seats along the axis.
    near: f64,
    far: f64,
    reach: f64,
}

/// The seats' place and the plane their heights are taken from.
struct Frame {
    middle: [f64; 2],
    slope: [f64; 2],
    /// Height over the plane at which `r` is zero: the lowest seat plus the bar.
    zero: f64,
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

impl Sheaf {
    /// Corners of a convex hull around the seats, and the lowest height over the plane.
    fn outline(
        &self,
        net: &Net,
        groups: &Groups,
        height: impl Fn([f64; 3]) -> f64,
    ) -> ([[f64; 2]; 4], usize, f64) {
        let seats = groups.seats(self.group);
        if let [seat] = *seats {
            let p = net.on_seat(seat as usize, self.part.0);
            let q = net.on_seat(seat as usize, self.part.1);
            let ends = [[p[0], p[1]], [q[0], q[1]]];
            return (
                [ends[0], ends[1], ends[1], ends[1]],
                2,
                height(p).min(height(q)),
            );
        }
        let g = &groups.groups[self.group as usize];
        let mut low = f64::MAX;
        for &s in seats {
            for v in net.seats[s as usize].ends {
                low = low.min(height(net.at[v as usize]));
            }
        }
        ([g.lo, [g.hi[0], g.lo[1]], g.hi, [g.lo[0], g.hi[1]]], 4, low)
    }

    /// Length of the seats' part, or of the group's box.
    pub fn size(&self, net: &Net, groups: &Groups) -> f64 {
        if let [seat] = *groups.seats(self.group) {
            let [p, q] = net.seats[seat as usize].ends.map(|v| net.at[v as usize]);
            return (q[0] - p[0]).hypot(q[1] - p[1]) * (self.part.1 - self.part.0);
        }
        let g = &groups.groups[self.group as usize];
        (g.hi[0] - g.lo[0]).hypot(g.hi[1] - g.lo[1])
    }
}

impl Prover {
    pub fn new(net: &Net) -> Self {
        Self {
            seen: vec![0; net.tri.len()],
            tick: 0,
            stack: Vec::new(),
            starts: Vec::new(),
            behind: Vec::new(),
            ahead: Vec::new(),
        }
    }

    /// Whether some chord of the sheaf may be as deep as `bar`. `false` is a proof that none is.
    ///
    /// For a chord from `a` to `b` over `m`, taking any plane from all three heights leaves the gap
    /// unchanged; the gap reaches `bar` only if some line through `(m, z_m + bar)` passes under
    /// both ends. So the steepest rise to the floor ahead and the steepest rise to the floor behind
    /// must add up to at least zero, at distances that add up to at most the span. Both rises are
    /// taken over all floor that any line of the sheaf can reach without leaving the mesh.
    pub fn may_reach(
        &mut self,
        net: &Net,
        groups: &Groups,
        buckets: &Buckets,
        sheaf: &Sheaf,
        span: f64,
        bar: f64,
    ) -> bool {
        let span = span + SLACK;
        let g = &groups.groups[sheaf.group as usize];
        let middle = [(g.lo[0] + g.hi[0]) / 2.0, (g.lo[1] + g.hi[1]) / 2.0];
        let slope = buckets.slope(middle);
        let height =
            |p: [f64; 3]| p[2] - slope[0] * (p[0] - middle[0]) - slope[1] * (p[1] - middle[1]);
        let (corners, count, low) = sheaf.outline(net, groups, height);
        let corners = &corners[..count];
        let frame = Frame {
            middle,
            slope,
            zero: low + bar,
        };
        let [right, mid, left] = [
            sheaf.turn.0,
            (sheaf.turn.0 + sheaf.turn.1) / 2.0,
            sheaf.turn.1,
        ]
        .map(|t| {
            let (s, c) = t.sin_cos();
            [c, s]
        });
        let along = |d: [f64; 2]| {
            let (mut lo, mut hi) = (f64::MAX, f64::MIN);
            for &c in corners {
                let v = [c[0] - middle[0], c[1] - middle[1]];
                let a = d[0] * v[0] + d[1] * v[1];
                lo = lo.min(a);
                hi = hi.max(a);
            }
            (lo, hi)
        };
        // cross(d, v) is the part of v along d turned a quarter left.
        let across = |d: [f64; 2]| along([-d[1], d[0]]);
        let (near, far) = along(mid);
        let (right_lo, right_hi) = across(right);
        let (left_lo, left_hi) = across(left);
        let neg = |d: [f64; 2]| [-d[0], -d[1]];
        self.starts.clear();
        for &s in groups.seats(sheaf.group) {
            let s = net.seats[s as usize];
            self.starts.extend([s.home, s.beyond]);
        }
        let mut pieces = std::mem::take(&mut self.behind);
        let back = Side {
            axis: neg(mid),
            right: neg(right),
            left: neg(left),
            right_at: -right_hi,
            left_at: -left_lo,
            near: -far,
            far: -near,
            reach: span,
        };
        let most_back = self.flood(net, &frame, &back, f64::NEG_INFINITY, &mut pieces);
        self.behind = pieces;
        if most_back == f64::NEG_INFINITY {
            return false;
        }
        let mut pieces = std::mem::take(&mut self.ahead);
        let front = Side {
            axis: mid,
            right,
            left,
            right_at: right_lo,
            left_at: left_hi,
            near,
            far,
            reach: span,
        };
        let most_ahead = self.flood(net, &frame, &front, -most_back, &mut pieces);
        self.ahead = pieces;
        // Not a comparison the other way round: an infinity of each sign means no chord.
        #[allow(clippy::neg_cmp_op_on_partial_ord)]
        if !(most_back + most_ahead >= 0.0) {
            return false;
        }
        self.behind
            .retain(|p| back.steepest(p, f64::MAX) >= -most_ahead);
        let size = (far - near).max(span * (sheaf.turn.1 - sheaf.turn.0) / 2.0);
        self.within_span(&front, &back, span, (size * 0.1).max(span * 1e-6))
    }

    /// Whether rises ahead and behind that add up to zero or more are found within one span.
    fn within_span(&self, front: &Side, back: &Side, span: f64, fine: f64) -> bool {
        let rise = |side: &Side, pieces: &[Piece], x: f64| {
            pieces
                .iter()
                .map(|p| side.steepest(p, x))
                .fold(f64::NEG_INFINITY, f64::max)
        };
        let mut open = [(0.0, 0.0); 64];
        open[0] = (front.near, span + front.far);
        let mut count = 1;
        while count > 0 {
            count -= 1;
            let (x0, x1) = open[count];
            let most = rise(front, &self.ahead, x1) + rise(back, &self.behind, span - x0);
            #[allow(clippy::neg_cmp_op_on_partial_ord)]
            if !(most >= 0.0) {
                continue;
            }
            if x1 - x0 <= fine || count + 2 > open.len() {
                return true;
            }
            let mid = (x0 + x1) / 2.0;
            open[count] = (x0, mid);
            open[count + 1] = (mid, x1);
            count += 2;
        }
        false
    }

    /// Gather the floor on one side; returns the steepest rise on it.
    fn flood(
        &mut self,
        net: &Net,
        frame: &Frame,
        side: &Side,
        least: f64,
        out: &mut Vec<Piece>,
    ) -> f64 {
        out.clear();
        if self.tick == u32::MAX {
            self.seen.fill(0);
            self.tick = 0;
        }
        self.tick += 1;
        self.stack.clear();
        for &t in &self.starts {
            if self.seen[t as usize] != self.tick {
                self.seen[t as usize] = self.tick;
                self.stack.push(t);
            }
        }
        let mut most = f64::NEG_INFINITY;
        let end = side.far + side.reach;
        while let Some(t) = self.stack.pop() {
            let corners = net.tri[t as usize].map(|v| side.see(frame, net.at[v as usize]));
            let inside = corners.map(|c| c.inside(side.near, end));
            for e in 0..3 {
                let n = net.next[t as usize][e];
                if n == WALL || self.seen[n as usize] == self.tick {
                    continue;
                }
                let (a, b) = (e, (e + 1) % 3);
                if inside[a] || inside[b] || corners[a].meets(&corners[b], side.near, end) {
                    self.seen[n as usize] = self.tick;
                    self.stack.push(n);
                }
            }
            most = most.max(side.gather(&corners, least, out));
        }
        most
    }
}

/// A corner as seen from the seats.
#[derive(Clone, Copy, Default)]
struct Seen {
    /// Along the axis.
    x: f64,
    /// Over the bar.
    r: f64,
    /// Inward of the right ray.
    p: f64,
    /// Inward of the left ray.
    q: f64,
}

impl Seen {
    fn inside(&self, near: f64, end: f64) -> bool {
        self.p >= -SLACK && self.q >= -SLACK && self.x >= near - SLACK && self.x <= end + SLACK
    }

    /// Whether the segment to `o` meets the side's region.
    fn meets(&self, o: &Self, near: f64, end: f64) -> bool {
        let (mut lo, mut hi) = (0.0f64, 1.0f64);
        for (a, b) in [
            (self.p + SLACK, o.p + SLACK),
            (self.q + SLACK, o.q + SLACK),
            (self.x - near + SLACK, o.x - near + SLACK),
            (end + SLACK - self.x, end + SLACK - o.x),
        ] {
            if a < 0.0 && b < 0.0 {
                return false;
            }
            if a < 0.0 {
                lo = lo.max(a / (a - b));
            } else if b < 0.0 {
                hi = hi.min(a / (a - b));
            }
        }
        lo <= hi + 1e-12
    }

    fn toward(&self, o: &Self, t: f64) -> Self {
        Self {
            x: self.x + (o.x - self.x) * t,
            r: self.r + (o.r - self.r) * t,
            p: self.p + (o.p - self.p) * t,
            q: self.q + (o.q - self.q) * t,
        }
    }
}

impl Side {
    fn see(&self, frame: &Frame, at: [f64; 3]) -> Seen {
        let v = [at[0] - frame.middle[0], at[1] - frame.middle[1]];
        Seen {
            x: self.axis[0] * v[0] + self.axis[1] * v[1],
            r: at[2] - frame.slope[0] * v[0] - frame.slope[1] * v[1] - frame.zero,
            p: cross(self.right, v) - self.right_at,
            q: self.left_at - cross(self.left, v),
        }
    }

    /// Steepest rise from the bar over the seats to a height `r` over it at `x`, whichever seat.
    fn rise(&self, x: f64, r: f64) -> f64 {
        if r >= 0.0 {
            let run = x - self.far;
            if run <= 1e-12 { f64::INFINITY } else { r / run }
        } else {
            let run = x - self.near;
            if run <= 1e-12 {
                f64::NEG_INFINITY
            } else {
                r / run
            }
        }
    }

    /// Steepest rise to the part of a piece no farther than `x`.
    fn steepest(&self, piece: &Piece, x: f64) -> f64 {
        if x < piece.x0 {
            return f64::NEG_INFINITY;
        }
        // Along a straight piece the rise is monotone, unless it is over the bar where a seat may
        // lie right under it.
        if piece.x0 - self.far <= 1e-12 {
            let over = if piece.x1 <= self.far {
                piece.r1
            } else {
                let share = (self.far - piece.x0) / (piece.x1 - piece.x0);
                piece.r0 + (piece.r1 - piece.r0) * share
            };
            if piece.r0.max(over) >= 0.0 {
                return f64::INFINITY;
            }
        }
        let end = if x >= piece.x1 {
            self.rise(piece.x1, piece.r1)
        } else {
            let share = (x - piece.x0) / (piece.x1 - piece.x0);
            self.rise(x, piece.r0 + (piece.r1 - piece.r0) * share)
        };
        piece.k0.max(end)
    }

    /// Add the part of a triangle between the rays, as the sides of a polygon; returns its
    /// steepest rise. Pieces below `least` can't matter and are left out.
    fn gather(&self, corners: &[Seen; 3], least: f64, out: &mut Vec<Piece>) -> f64 {
        let mut polygon = [Seen::default(); 8];
        polygon[..3].copy_from_slice(corners);
        let mut count = 3;
        for which in 0..3 {
            let value = |c: &Seen| match which {
                0 => c.p + SLACK,
                1 => c.q + SLACK,
                _ => c.x - self.near + SLACK,
            };
            if polygon[..count].iter().all(|c| value(c) >= 0.0) {
                continue;
            }
            let from = polygon;
            let mut kept = 0;
            for i in 0..count {
                let (a, b) = (&from[i], &from[(i + 1) % count]);
                let (va, vb) = (value(a), value(b));
                if va >= 0.0 {
                    polygon[kept] = *a;
                    kept += 1;
                }
                if (va >= 0.0) != (vb >= 0.0) {
                    polygon[kept] = a.toward(b, va / (va - vb));
                    kept += 1;
                }
            }
            count = kept;
            if count == 0 {
                return f64::NEG_INFINITY;
            }
        }
        let end = self.far + self.reach;
        let mut most = f64::NEG_INFINITY;
        for i in 0..count {
            let (mut a, mut b) = (polygon[i], polygon[(i + 1) % count]);
            if a.x > b.x {
                std::mem::swap(&mut a, &mut b);
            }
            if a.x > end + SLACK {
                continue;
            }
            let piece = Piece {
                x0: a.x,
                x1: b.x,
                r0: a.r,
                r1: b.r,
                k0: self.rise(a.x, a.r),
            };
            let k = self.steepest(&piece, end + SLACK);
            if k >= least {
                out.push(piece);
                most = most.max(k);
            }
        }
        most
    }
}
