//! One side of a sheaf as seen from its seats: the floor between two rays, as rises from the bar.

/// Slack in the plan, metres, so that rounding never closes a gap that a line could pass.
pub(super) const SLACK: f64 = 1e-9;

/// How far into a region between two rays a triangle must come to be part of it, metres: a tenth of a millimetre, less
/// than a chalk line is wide. Lines that come less far into it have, but for a hair of slope, the profile of lines
/// that come a little farther. Where there are none, as past a corner of the walls that solid floor only reaches with
/// its tip, an edge would have to graze that corner exactly to rest there: no floor is judged by that, and readings
/// in one line speak for themselves. It also keeps a sheaf with one ray along a joint, or along the edge of what
/// counts as floor, to its own side.
const ACROSS: f64 = 1e-4;

/// Part of the floor's profile as seen along the sheaf: heights over the bar between two places.
#[derive(Clone, Copy)]
pub(super) struct Piece {
    pub x0: f64,
    pub x1: f64,
    r0: f64,
    r1: f64,
    k0: f64,
}

/// One side of a sheaf: from the seats outward between two rays.
pub(super) struct Side {
    /// Axis; `x` is measured along it from the middle of the seats.
    pub axis: [f64; 2],
    /// Right and left bounding directions, and where each ray starts, as cross products.
    pub right: [f64; 2],
    pub left: [f64; 2],
    pub right_at: f64,
    pub left_at: f64,
    /// Nearest and farthest place of the seats along the axis.
    pub near: f64,
    pub far: f64,
    pub reach: f64,
    /// A place on the line of a single seat, and its direction, with this side to its left.
    pub line: Option<([f64; 2], [f64; 2])>,
}

/// The seats' place and the plane their heights are taken from.
pub(super) struct Frame {
    pub middle: [f64; 2],
    pub slope: [f64; 2],
    /// Height over the plane at which `r` is zero: the lowest seat plus the bar.
    pub zero: f64,
}

pub(super) fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

/// A corner as seen from the seats.
#[derive(Clone, Copy, Default)]
pub(super) struct Seen {
    /// Along the axis.
    x: f64,
    /// Over the bar.
    r: f64,
    /// Inward of the right ray.
    p: f64,
    /// Inward of the left ray.
    q: f64,
    /// Beyond the line of the seat.
    w: f64,
}

impl Seen {
    pub fn inside(&self, near: f64, end: f64) -> bool {
        self.p >= -SLACK
            && self.q >= -SLACK
            && self.w >= -SLACK
            && self.x >= near - SLACK
            && self.x <= end + SLACK
    }

    /// Whether a triangle lies along one of the bounding rays, or beyond it, or on the other side of the seat's line. All
    /// lines cross a thin triangle that has the seat for a side.
    pub fn only_touch(corners: &[Self; 3]) -> bool {
        corners.iter().all(|c| c.p <= ACROSS)
            || corners.iter().all(|c| c.q <= ACROSS)
            || corners.iter().all(|c| c.w <= SLACK)
    }

    /// Whether the segment to `o` meets the side's region.
    pub fn meets(&self, o: &Self, near: f64, end: f64) -> bool {
        let (mut lo, mut hi) = (0.0f64, 1.0f64);
        for (a, b) in [
            (self.p + SLACK, o.p + SLACK),
            (self.q + SLACK, o.q + SLACK),
            (self.w + SLACK, o.w + SLACK),
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
            w: self.w + (o.w - self.w) * t,
        }
    }
}

impl Side {
    pub fn see(&self, frame: &Frame, at: [f64; 3]) -> Seen {
        let v = [at[0] - frame.middle[0], at[1] - frame.middle[1]];
        Seen {
            x: self.axis[0] * v[0] + self.axis[1] * v[1],
            r: at[2] - frame.slope[0] * v[0] - frame.slope[1] * v[1] - frame.zero,
            p: cross(self.right, v) - self.right_at,
            q: self.left_at - cross(self.left, v),
            w: self.line.map_or(f64::MAX, |(on, along)| {
                cross(along, [at[0] - on[0], at[1] - on[1]])
            }),
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

    /// A straight piece from `x0` to `x1`, its ends `r0` and `r1` over the bar.
    pub fn piece(&self, x0: f64, x1: f64, r0: f64, r1: f64) -> Piece {
        Piece {
            x0,
            x1,
            r0,
            r1,
            k0: self.rise(x0, r0),
        }
    }

    /// Corners of the side's region in plan: a trapezium around all that its lines can reach.
    pub fn corners(&self, frame: &Frame) -> [[f64; 2]; 4] {
        let across = [-self.axis[1], self.axis[0]];
        // Half the angle between the rays, less than a quarter turn.
        let (sin, cos) = (cross(self.axis, self.left), {
            self.axis[0] * self.left[0] + self.axis[1] * self.left[1]
        });
        let at =
            |x: f64, y: f64| [0, 1].map(|i| frame.middle[i] + self.axis[i] * x + across[i] * y);
        let (near, end) = (self.near - SLACK, self.far + self.reach + SLACK);
        let right = |x: f64| (self.right_at - sin * x - SLACK) / cos;
        let left = |x: f64| (self.left_at + sin * x + SLACK) / cos;
        [
            at(near, right(near)),
            at(end, right(end)),
            at(end, left(end)),
            at(near, left(near)),
        ]
    }

    /// Steepest rise to the part of a piece no farther than `x`.
    pub fn steepest(&self, piece: &Piece, x: f64) -> f64 {
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

    /// Steepest rise to the part of a piece from `from` to `to`.
    pub fn steepest_within(&self, piece: &Piece, from: f64, to: f64) -> f64 {
        if from <= piece.x0 {
            return self.steepest(piece, to);
        }
        if from > piece.x1 || from > to {
            return f64::NEG_INFINITY;
        }
        let share = (from - piece.x0) / (piece.x1 - piece.x0);
        let r = piece.r0 + (piece.r1 - piece.r0) * share;
        self.steepest(&self.piece(from, piece.x1, r, piece.r1), to)
    }

    /// Whether any part of a triangle can rise as steeply as `least`. Cheap; cuts nothing.
    fn may(&self, corners: &[Seen; 3], least: f64) -> bool {
        // Both readings of a rise are straight in height and distance, so the corners decide,
        // unless floor over the bar lies where a seat may be right under it.
        let over =
            corners.iter().any(|c| c.r >= 0.0) && corners.iter().any(|c| c.x <= self.far + 1e-12);
        over || corners
            .iter()
            .any(|c| c.r >= least * (c.x - self.far) || c.r >= least * (c.x - self.near))
    }

    /// Steepest rise to any of the triangles.
    pub fn most(&self, floor: &[[Seen; 3]]) -> f64 {
        let mut most = f64::NEG_INFINITY;
        for corners in floor {
            if most == f64::NEG_INFINITY || self.may(corners, most) {
                most = most.max(self.cut(corners, most, |_| ()));
            }
        }
        most
    }

    /// The triangles as straight pieces of profile; returns the steepest rise. Pieces below
    /// `least` can't matter and are left out.
    pub fn gather(&self, floor: &[[Seen; 3]], least: f64, out: &mut Vec<Piece>) -> f64 {
        out.clear();
        let mut most = f64::NEG_INFINITY;
        for corners in floor {
            if self.may(corners, least) {
                most = most.max(self.cut(corners, least, |p| out.push(p)));
            }
        }
        most
    }

    /// The part of a triangle between the rays, as the sides of a polygon; returns its steepest
    /// rise. Pieces below `least` are left out.
    fn cut(&self, corners: &[Seen; 3], least: f64, mut take: impl FnMut(Piece)) -> f64 {
        let mut polygon = [Seen::default(); 9];
        polygon[..3].copy_from_slice(corners);
        let mut count = 3;
        for which in 0..4 {
            let value = |c: &Seen| match which {
                0 => c.p + SLACK,
                1 => c.q + SLACK,
                2 => c.w + SLACK,
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
            let piece = self.piece(a.x, b.x, a.r, b.r);
            let k = self.steepest(&piece, end + SLACK);
            if k >= least {
                take(piece);
                most = most.max(k);
            }
        }
        most
    }
}
