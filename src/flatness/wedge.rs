//! The proof: no chord over these places in these directions is as deep as a given bar.

use super::Lengths;
use super::edge::Searcher;
use super::group::{Buckets, Groups};
use super::net::{Net, WALL};
use super::side::{Frame, Piece, SLACK, Seen, Side, cross};

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

/// What is to be proven: that no chord within a span, or none of the whole span, is as deep as a bar.
#[derive(Debug, Clone, Copy)]
pub(super) struct Claim {
    pub span: f64,
    pub lengths: Lengths,
    pub bar: f64,
}

/// How long chords are along the axis of a sheaf: to both their ends together.
#[derive(Clone, Copy)]
struct Along {
    least: f64,
    most: f64,
}

/// A direction this near to that of a seat runs along it.
const ALONG: f64 = 1e-12;

/// The two sides of a sheaf's seats, as seen from one plane.
struct View {
    frame: Frame,
    front: Side,
    back: Side,
    /// How far lines of the sheaf lie apart, metres: floor much finer than this need not be seen singly.
    size: f64,
}

/// Working space for one thread.
pub(super) struct Prover {
    seen: Vec<u32>,
    tick: u32,
    stack: Vec<u32>,
    starts: Vec<u32>,
    floor: Vec<[Seen; 3]>,
    floor_back: Vec<[Seen; 3]>,
    behind: Vec<Piece>,
    ahead: Vec<Piece>,
    stairs_behind: [f64; STAIRS],
    stairs_ahead: [f64; STAIRS],
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

    /// The slope with its part across the axis changed so that a single seat lies level.
    ///
    /// Both ends of a chord and its middle shift along with the seat; what the floor rises along
    /// the seat then counts once, in none of them.
    fn levelled(&self, net: &Net, groups: &Groups, slope: [f64; 2], axis: [f64; 2]) -> [f64; 2] {
        let [seat] = *groups.seats(self.group) else {
            return slope;
        };
        let [p, q] = net.seats[seat as usize].ends.map(|v| net.at[v as usize]);
        let d = [q[0] - p[0], q[1] - p[1]];
        let across = [-axis[1], axis[0]];
        let over = d[0] * across[0] + d[1] * across[1];
        // A seat nearly along the axis can't be levelled without tilting all else.
        if over.abs() < 0.3 * d[0].hypot(d[1]) {
            return slope;
        }
        let rest = q[2] - p[2] - slope[0] * d[0] - slope[1] * d[1];
        let k = rest / over;
        [slope[0] + k * across[0], slope[1] + k * across[1]]
    }

    /// The line that a single seat lies on, as seen by lines that all pass it from one side to the other: where
    /// they are ahead (or, with a sign of -1, behind) is to the left of it. `None` for several seats, and where
    /// some lines pass one way and some the other.
    fn line(&self, net: &Net, groups: &Groups, sign: f64) -> Option<([f64; 2], [f64; 2])> {
        let [seat] = *groups.seats(self.group) else {
            return None;
        };
        let [p, q] = net.seats[seat as usize].ends.map(|v| net.at[v as usize]);
        let d = [q[0] - p[0], q[1] - p[1]];
        let length = d[0].hypot(d[1]);
        let along = [d[0] / length, d[1] / length];
        let off = |turn: f64| {
            let (sin, cos) = turn.sin_cos();
            cross(along, [cos, sin])
        };
        let (a, b) = (off(self.turn.0), off(self.turn.1));
        // Lines along the seat belong to either side; the interval is less than half a turn.
        let side = if a >= -ALONG && b >= -ALONG {
            sign
        } else if a <= ALONG && b <= ALONG {
            -sign
        } else {
            return None;
        };
        Some(([p[0], p[1]], along.map(|c| c * side)))
    }

    /// What lines of the sheaf see ahead and behind, on a plane of a slope that lies `bar` over the lowest seat.
    fn view(&self, net: &Net, groups: &Groups, slope: [f64; 2], span: f64, bar: f64) -> View {
        let middle = groups.middle(self.group);
        let [right, mid, left] =
            [self.turn.0, (self.turn.0 + self.turn.1) / 2.0, self.turn.1].map(|t| {
                let (s, c) = t.sin_cos();
                [c, s]
            });
        let height =
            |p: [f64; 3]| p[2] - slope[0] * (p[0] - middle[0]) - slope[1] * (p[1] - middle[1]);
        let (corners, count, low) = self.outline(net, groups, height);
        let corners = &corners[..count];
        let frame = Frame {
            middle,
            slope,
            zero: low + bar,
        };
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
        let back = Side {
            axis: neg(mid),
            right: neg(right),
            left: neg(left),
            right_at: -right_hi,
            left_at: -left_lo,
            near: -far,
            far: -near,
            reach: span,
            line: self.line(net, groups, -1.0),
        };
        let front = Side {
            axis: mid,
            right,
            left,
            right_at: right_lo,
            left_at: left_hi,
            near,
            far,
            reach: span,
            line: self.line(net, groups, 1.0),
        };
        let size = (far - near).max(span * (self.turn.1 - self.turn.0) / 2.0);
        View {
            frame,
            front,
            back,
            size,
        }
    }

    /// The least that a chord of a length measures along the sheaf's axis.
    fn least_along(&self, length: f64) -> f64 {
        length * ((self.turn.1 - self.turn.0) / 2.0).cos()
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
            floor: Vec::new(),
            floor_back: Vec::new(),
            behind: Vec::new(),
            ahead: Vec::new(),
            stairs_behind: [f64::NEG_INFINITY; STAIRS],
            stairs_ahead: [f64::NEG_INFINITY; STAIRS],
        }
    }

    /// Whether it is proven that no chord of the sheaf is as deep as `bar`. `false` proves nothing.
    ///
    /// For a chord from `a` to `b` over `m`, taking any plane from all three heights leaves the gap
    /// unchanged; the gap reaches `bar` only if some line through `(m, z_m + bar)` passes under
    /// both ends. So the steepest rise to the floor ahead and the steepest rise to the floor behind
    /// must add up to at least zero, at distances that add up to at most the span, or to all of it. Both rises are
    /// taken over all floor that any line of the sheaf can reach without leaving the mesh, or, for
    /// a sheaf much wider than the mesh is fine, over the tiles it can reach.
    ///
    /// The plane decides how much is lost by not knowing which seat and which direction: least when
    /// both rises are near zero and a single seat lies level. So what can't be proven on the
    /// floor's own mean slope is tried once more on the plane that evens both rises out.
    pub fn test(&mut self, s: &Searcher, buckets: &Buckets, sheaf: &Sheaf, claim: Claim) -> bool {
        let mean = buckets.slope(s.groups.middle(sheaf.group));
        let Some(rises) = self.attempt(s, sheaf, mean, claim) else {
            return true;
        };
        if (rises.0 - rises.1).is_finite() {
            return self.evened(s, sheaf, mean, rises, claim);
        }
        // Floor over the bar may lie right at the seat, steep as it is against the mean. On the plane of the floor
        // on that side it does not rise at all.
        let [seat] = *s.groups.seats(sheaf.group) else {
            return false;
        };
        for slope in s.net.slopes_beside(seat as usize) {
            let Some(rises) = self.attempt(s, sheaf, slope, claim) else {
                return true;
            };
            if (rises.0 - rises.1).is_finite() && self.evened(s, sheaf, slope, rises, claim) {
                return true;
            }
        }
        false
    }

    /// The proof on the plane that evens out the rises found on another.
    fn evened(
        &mut self,
        s: &Searcher,
        sheaf: &Sheaf,
        slope: [f64; 2],
        (ahead, behind): (f64, f64),
        claim: Claim,
    ) -> bool {
        let tilt = (ahead - behind) / 2.0;
        let (sin, cos) = ((sheaf.turn.0 + sheaf.turn.1) / 2.0).sin_cos();
        let even = [slope[0] + tilt * cos, slope[1] + tilt * sin];
        let even = sheaf.levelled(&s.net, &s.groups, even, [cos, sin]);
        self.attempt(s, sheaf, even, claim).is_none()
    }

    /// The proof on one plane: `None` when it stands, else the rises ahead and behind in its way.
    fn attempt(
        &mut self,
        s: &Searcher,
        sheaf: &Sheaf,
        slope: [f64; 2],
        claim: Claim,
    ) -> Option<(f64, f64)> {
        let (net, groups) = (&s.net, &s.groups);
        let span = claim.span + SLACK;
        let View {
            frame,
            front,
            back,
            size,
        } = sheaf.view(net, groups, slope, span, claim.bar);
        let tiles = s.tiles.level(size / 2.0);
        if tiles.is_none() {
            self.starts.clear();
            for &i in groups.seats(sheaf.group) {
                let seat = net.seats[i as usize];
                self.starts.extend([seat.home, seat.beyond]);
            }
        }
        let mut behind = std::mem::take(&mut self.behind);
        let mut ahead = std::mem::take(&mut self.ahead);
        let none = f64::NEG_INFINITY;
        let most_back = match tiles {
            Some(level) => s.tiles.gather(level, &frame, &back, none, &mut behind),
            None => {
                self.flood(net, &frame, &back);
                back.most(&self.floor)
            }
        };
        let most_ahead = match tiles {
            _ if most_back == none => none,
            Some(level) => s
                .tiles
                .gather(level, &frame, &front, -most_back, &mut ahead),
            None => {
                std::mem::swap(&mut self.floor, &mut self.floor_back);
                self.flood(net, &frame, &front);
                front.gather(&self.floor, -most_back, &mut ahead)
            }
        };
        let along = Along {
            least: match claim.lengths {
                Lengths::UpTo => f64::NEG_INFINITY,
                Lengths::Whole => sheaf.least_along(claim.span) - SLACK,
            },
            most: span,
        };
        // Not a comparison the other way round: an infinity of each sign means no chord.
        let rises = (most_back + most_ahead >= 0.0)
            .then(|| {
                if tiles.is_some() {
                    behind.retain(|p| back.steepest(p, f64::MAX) >= -most_ahead);
                } else {
                    back.gather(&self.floor_back, -most_ahead, &mut behind);
                }
                let fine = (size * 0.1).max(span * 1e-6);
                self.within_span((&front, &ahead), (&back, &behind), along, fine)
            })
            .flatten();
        self.behind = behind;
        self.ahead = ahead;
        rises
    }

    /// Rises ahead and behind that add up to zero or more for one chord, if there are any.
    fn within_span(
        &mut self,
        (front, ahead): (&Side, &[Piece]),
        (back, behind): (&Side, &[Piece]),
        along: Along,
        fine: f64,
    ) -> Option<(f64, f64)> {
        if ahead.len() + behind.len() > MANY {
            let coarse = self.by_stairs((front, ahead), (back, behind), along)?;
            if fine * STAIRS as f64 >= along.most {
                return Some(coarse);
            }
        }
        let rise = |side: &Side, pieces: &[Piece], from: f64, to: f64| {
            pieces
                .iter()
                .map(|p| side.steepest_within(p, from, to))
                .fold(f64::NEG_INFINITY, f64::max)
        };
        let all = along.least == f64::NEG_INFINITY;
        let mut open = [(0.0, 0.0); 64];
        open[0] = (front.near, along.most + front.far);
        let mut count = 1;
        while count > 0 {
            count -= 1;
            let (x0, x1) = open[count];
            // Nearer ends make a chord that is too short, where it must be whole.
            let nearest = if all { along.least } else { x0 };
            let (a, b) = (
                rise(front, ahead, nearest, x1),
                rise(back, behind, along.least - x1, along.most - x0),
            );
            #[allow(clippy::neg_cmp_op_on_partial_ord)]
            if !(a + b >= 0.0) {
                continue;
            }
            if x1 - x0 <= fine || count + 2 > open.len() {
                return Some((a, b));
            }
            let mid = (x0 + x1) / 2.0;
            open[count] = (x0, mid);
            open[count + 1] = (mid, x1);
            count += 2;
        }
        None
    }

    /// As [`Self::within_span`] in steps of the span: one pass over the pieces, however many.
    fn by_stairs(
        &mut self,
        (front, ahead): (&Side, &[Piece]),
        (back, behind): (&Side, &[Piece]),
        along: Along,
    ) -> Option<(f64, f64)> {
        let width = (along.most + front.far - front.near) / STAIRS as f64;
        climb(front, ahead, width, &mut self.stairs_ahead);
        climb(back, behind, width, &mut self.stairs_behind);
        let all = along.least == f64::NEG_INFINITY;
        if all {
            highest_so_far(&mut self.stairs_ahead);
            highest_so_far(&mut self.stairs_behind);
        }
        let mut most = None;
        let mut sum = f64::NEG_INFINITY;
        for i in 0..STAIRS {
            // Ahead up to the end of step i; behind no farther than what the span then leaves.
            let from = front.near + width * i as f64;
            let room = along.most - from - back.near;
            let j = (((room / width).ceil() - 1.0).max(0.0) as usize).min(STAIRS - 1);
            // A whole chord leaves no less behind than what its end at the end of the step does.
            let least = (along.least - (from + width) - back.near - SLACK) / width;
            let nearest = if all {
                j
            } else {
                (least.max(0.0) as usize).min(j)
            };
            let behind = self.stairs_behind[nearest..=j].iter();
            let b = behind.copied().fold(f64::NEG_INFINITY, f64::max);
            let a = self.stairs_ahead[i];
            if a + b >= 0.0 && a + b > sum {
                sum = a + b;
                most = Some((a, b));
            }
        }
        most
    }

    /// Gather the triangles on one side that lines of the sheaf can reach.
    fn flood(&mut self, net: &Net, frame: &Frame, side: &Side) {
        self.floor.clear();
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
        let end = side.far + side.reach;
        while let Some(t) = self.stack.pop() {
            let corners = net.tri[t as usize].map(|v| side.see(frame, net.at[v as usize]));
            // What lines only run along they do not cross: the floor beyond a joint, or at the edge of floor.
            if Seen::only_touch(&corners) {
                continue;
            }
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
            if net.solid[t as usize] {
                self.floor.push(corners);
            }
        }
    }
}

/// With more pieces than this the span is first divided in even steps.
const MANY: usize = 400;

/// Steps the span is divided in.
const STAIRS: usize = 64;

/// For each step from the side's nearest place on, the steepest rise of pieces that reach into it, up to its end.
fn climb(side: &Side, pieces: &[Piece], width: f64, out: &mut [f64; STAIRS]) {
    out.fill(f64::NEG_INFINITY);
    let step = |x: f64| (((x - side.near) / width).max(0.0) as usize).min(STAIRS - 1);
    for p in pieces {
        let (first, last) = (step(p.x0), step(p.x1));
        for (i, k) in out.iter_mut().enumerate().take(last + 1).skip(first) {
            // A hair beyond the step's end, so that rounding puts no piece beyond its step.
            let end = side.near + width * (i + 1) as f64 + SLACK;
            *k = k.max(side.steepest(p, end));
        }
    }
}

/// Makes of the rises in each step the steepest up to its end.
fn highest_so_far(stairs: &mut [f64; STAIRS]) {
    for i in 1..STAIRS {
        stairs[i] = stairs[i].max(stairs[i - 1]);
    }
}
