//! The floor along a straight line: every stretch that the line spends on it.

use super::floor::{Across, Floor};
use crate::geometry::Point;

/// A vertex this near to a line is on it, metres.
const ON_LINE_M: f64 = 1e-9;

/// Heights this near to one another are one, metres: what rounding leaves between two ways to it.
const SAME_HEIGHT_M: f64 = 1e-9;

/// A point where the profile bends, or jumps at a joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Break {
    /// Distance from the line's origin, along its direction, metres.
    pub s_m: f64,
    /// Elevation of the floor, metres.
    pub z_m: f64,
    /// A joint lies between the break before and this one; both stand at the same distance.
    pub joint: bool,
}

/// A stretch of floor under a line, from edge to edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Its bends in order; straight between. At least two.
    pub breaks: Vec<Break>,
}

impl Run {
    /// Where it begins, metres along the line.
    pub fn from_m(&self) -> f64 {
        self.breaks.first().map_or(0.0, |b| b.s_m)
    }

    /// Where it ends, metres along the line.
    pub fn to_m(&self) -> f64 {
        self.breaks.last().map_or(0.0, |b| b.s_m)
    }

    /// Elevation at a distance along the line, metres; `None` outside the run. At a joint the height
    /// before it.
    pub fn height_at(&self, s_m: f64) -> Option<f64> {
        let k = self.breaks.partition_point(|b| b.s_m < s_m);
        let b = self.breaks.get(k)?;
        if b.s_m == s_m {
            return Some(b.z_m);
        }
        let a = self.breaks.get(k.checked_sub(1)?)?;
        let share = (s_m - a.s_m) / (b.s_m - a.s_m);
        Some(a.z_m + (b.z_m - a.z_m) * share)
    }
}

/// A line with the side of it that counts for vertices on it.
struct Sight<'a> {
    floor: &'a Floor,
    origin: Point,
    direction: Point,
    /// Where vertices on the line are taken to lie: left of it, or right.
    ties_left: bool,
}

impl Sight<'_> {
    /// Signed distance of a vertex to the left of the line; exactly 0 on it.
    fn offset(&self, v: u32) -> f64 {
        let d = self
            .direction
            .cross(self.floor.vertices[v as usize].at - self.origin);
        if d.abs() <= ON_LINE_M { 0.0 } else { d }
    }

    fn is_left(&self, offset: f64) -> bool {
        offset > 0.0 || (offset == 0.0 && self.ties_left)
    }

    /// Where the line meets the edge between a vertex on its left and one on its right. An edge that runs along the line is met where
    /// the line has come to, `last`.
    fn meet(&self, left: u32, right: u32, last: Option<f64>) -> (f64, f64) {
        let (a, b) = (
            self.floor.vertices[left as usize],
            self.floor.vertices[right as usize],
        );
        let (da, db) = (self.offset(left), self.offset(right));
        let s = |p: Point| self.direction.dot(p - self.origin);
        if da == 0.0 && db == 0.0 {
            let (sa, sb) = (s(a.at), s(b.at));
            let (lo, hi) = (sa.min(sb), sa.max(sb));
            let at = last.unwrap_or(lo).clamp(lo, hi);
            let share = if sa == sb { 0.0 } else { (at - sa) / (sb - sa) };
            return (at, a.z + (b.z - a.z) * share);
        }
        if da == 0.0 {
            return (s(a.at), a.z);
        }
        if db == 0.0 {
            return (s(b.at), b.z);
        }
        let share = da / (da - db);
        (
            s(a.at) + (s(b.at) - s(a.at)) * share,
            a.z + (b.z - a.z) * share,
        )
    }

    /// The run that enters triangle `t` through its edge `e`.
    fn walk(&self, mut t: u32, mut e: usize) -> Run {
        let corner = |t: u32, k: usize| self.floor.triangles[t as usize][k % 3];
        let mut breaks: Vec<Break> = Vec::new();
        let mut push = |left: u32, right: u32, joint: bool| {
            let last = breaks.last().map(|b: &Break| b.s_m);
            let (s, z) = self.meet(left, right, last);
            let s = last.map_or(s, |last| s.max(last));
            let double = breaks.last().is_some_and(|b| b.s_m == s && b.z_m == z);
            if !double {
                breaks.push(Break {
                    s_m: s,
                    z_m: z,
                    joint,
                });
            }
        };
        push(corner(t, e), corner(t, e + 1), false);
        // A line meets a triangle once.
        for _ in 0..self.floor.triangles.len() {
            let apex = corner(t, e + 2);
            let out = if self.is_left(self.offset(apex)) {
                (e + 1) % 3
            } else {
                (e + 2) % 3
            };
            // The way out runs from a vertex on the right to one on the left.
            push(corner(t, out + 1), corner(t, out), false);
            let across = self.floor.across[t as usize][out];
            let (Across::Floor(next) | Across::Joint(next)) = across else {
                break;
            };
            let back = self.floor.across[next as usize]
                .iter()
                .position(|a| matches!(a, Across::Floor(u) | Across::Joint(u) if *u == t));
            let Some(back) = back else { break };
            (t, e) = (next, back);
            if let Across::Joint(_) = across {
                push(corner(t, e), corner(t, e + 1), true);
            }
        }
        Run { breaks }
    }

    /// All runs, and whether a border vertex lies on the line.
    fn runs(&self) -> (Vec<Run>, bool) {
        let mut runs = Vec::new();
        let mut touched = false;
        for &(t, e) in self.floor.border_edges() {
            let c = self.floor.triangles[t as usize];
            let (a, b) = (
                self.offset(c[e as usize]),
                self.offset(c[(e as usize + 1) % 3]),
            );
            touched |= a == 0.0 || b == 0.0;
            // The floor lies left of its border edge: going in, the edge starts on the line's left.
            if self.is_left(a) && !self.is_left(b) {
                runs.push(self.walk(t, e as usize));
            }
        }
        runs.retain(|r| r.to_m() - r.from_m() > ON_LINE_M);
        runs.sort_by(|a, b| a.from_m().total_cmp(&b.from_m()));
        (runs, touched)
    }
}

impl Floor {
    fn border_edges(&self) -> &[(u32, u8)] {
        self.border
            .get_or_init(|| self.border().map(|(t, e)| (t, e as u8)).collect())
    }

    /// Every stretch of the line through `origin` that lies on the floor, in the order of `direction`.
    ///
    /// # Units
    /// `direction` is a unit vector; distances are metres along it from `origin`, negative behind it.
    /// # Method
    /// A walk from triangle to triangle that looks only at which side of the line each vertex lies, so
    /// it neither skips nor repeats one. Vertices on the line count as left of it; where the line runs along
    /// a wall it is walked once more with them on its right, so that the floor on either side is found.
    /// # Edge cases
    /// A line that only touches a corner has no run. Over a joint the profile holds two heights at one
    /// distance ([`Break::joint`]); a line along a joint has the heights of the side on its left.
    pub fn trace(&self, origin: Point, direction: Point) -> Vec<Run> {
        let sight = |ties_left| Sight {
            floor: self,
            origin,
            direction,
            ties_left,
        };
        // With the tied vertices on its left, the line itself passes just right of them.
        let (mut runs, touched) = sight(true).runs();
        if touched {
            runs.extend(sight(false).runs().0);
            runs.sort_by(|a, b| a.from_m().total_cmp(&b.from_m()));
            runs = join(runs);
        }
        runs
    }

    /// The floor's profile from `a` to `b`: distances from `a` and elevations, metres. `None` unless the
    /// whole way lies on the floor. Over a joint one distance comes twice.
    pub fn profile(&self, a: Point, b: Point) -> Option<Vec<(f64, f64)>> {
        let length = a.distance(b);
        if length <= ON_LINE_M {
            return self.height_at(a).map(|z| vec![(0.0, z)]);
        }
        let slack = 1e-7;
        let run = self
            .trace(a, (b - a) * (1.0 / length))
            .into_iter()
            .find(|r| r.from_m() <= slack && r.to_m() >= length - slack)?;
        let (from, to) = (run.from_m().max(0.0), run.to_m().min(length));
        let mut profile = vec![(0.0, run.height_at(from)?)];
        profile.extend(
            run.breaks
                .iter()
                .filter(|k| k.s_m > from && k.s_m < to)
                .map(|k| (k.s_m, k.z_m)),
        );
        profile.push((length, run.height_at(to)?));
        Some(profile)
    }
}

/// Joins runs that overlap; runs that only touch stay apart.
fn join(runs: Vec<Run>) -> Vec<Run> {
    let mut joined: Vec<Run> = Vec::new();
    for run in runs {
        match joined.last_mut() {
            Some(last) if run.from_m() < last.to_m() - ON_LINE_M => {
                let end = last.to_m();
                // One walk keeps to the right of the line and one to its left. Along a joint they stand at two
                // heights, and where the one ends the profile goes over to the other.
                let height = last.breaks.last().map(|b| b.z_m);
                if run.to_m() > end
                    && let Some(z_m) = run.height_at(end)
                    && height.is_none_or(|h| (h - z_m).abs() > SAME_HEIGHT_M)
                {
                    last.breaks.push(Break {
                        s_m: end,
                        z_m,
                        joint: true,
                    });
                }
                // A joint crossed just where the first one ends belongs to the way on.
                let onward = run
                    .breaks
                    .into_iter()
                    .filter(|b| b.s_m > end || (b.joint && b.s_m >= end - ON_LINE_M))
                    .map(|b| Break {
                        s_m: b.s_m.max(end),
                        ..b
                    });
                last.breaks.extend(onward);
            }
            _ => joined.push(run),
        }
    }
    joined
}
