//! Straight lines out of a vertex across the mesh, and the worst chords over that vertex on them.

use super::chord::{Chord, Spot, Station};
use crate::flatness::{Departure, Ground, Joints, Lengths, usable};
use crate::geometry::{Lean, Point, Ray, Triangles, Walk};
use crate::surface::{Across, Floor};

/// The part of the mesh that chords may lie on.
pub(super) struct Judged {
    start: Vec<u32>,
    fan: Vec<u32>,
    usable: Vec<bool>,
    joints: Joints,
}

impl Judged {
    /// Lays out the part of `floor` that `ground` and `joints` allow, the same as the certified search covers.
    pub fn new(floor: &Floor, ground: Ground, joints: Joints) -> Self {
        let usable = usable(floor, ground);
        let mut start = vec![0u32; floor.vertices().len() + 1];
        for (t, corners) in floor.triangles().iter().enumerate() {
            if usable[t] {
                for &v in corners {
                    start[v as usize + 1] += 1;
                }
            }
        }
        for v in 1..start.len() {
            start[v] += start[v - 1];
        }
        let mut next = start.clone();
        let mut fan = vec![0; start.last().map_or(0, |&n| n as usize)];
        for (t, corners) in floor.triangles().iter().enumerate() {
            if usable[t] {
                for &v in corners {
                    fan[next[v as usize] as usize] = t as u32;
                    next[v as usize] += 1;
                }
            }
        }
        Self {
            start,
            fan,
            usable,
            joints,
        }
    }

    /// Triangles around a vertex.
    pub fn around(&self, v: u32) -> &[u32] {
        &self.fan[self.start[v as usize] as usize..self.start[v as usize + 1] as usize]
    }

    /// Whether chords may lie on a triangle.
    pub fn allows(&self, t: u32) -> bool {
        self.usable[t as usize]
    }

    /// The triangle beyond an edge and whether a joint is crossed, if a chord may go there.
    fn beyond(&self, floor: &Floor, t: u32, edge: usize) -> Option<(u32, bool)> {
        let (next, joint) = match floor.across(t, edge) {
            Across::Floor(next) => (next, false),
            Across::Joint(next) if self.joints == Joints::Cross => (next, true),
            Across::Joint(_) | Across::Blank(_) | Across::Edge => return None,
        };
        self.usable[next as usize].then_some((next, joint))
    }
}

/// Where the floor is held against a chord: the place under (or over) its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Seat {
    /// A vertex.
    Vertex(u32),
    /// A share `w` of the way along edge `edge` of triangle `t`, at the height of that triangle's side.
    Edge { t: u32, edge: usize, w: f64 },
}

impl Seat {
    /// The place as weights on vertices.
    pub fn spot(self, floor: &Floor) -> Spot {
        let (p, q, w) = self.on_edge(floor);
        Spot::edge(p, q, w)
    }

    /// The ends of its edge, and its share of the way from the one to the other; a vertex is both ends.
    fn on_edge(self, floor: &Floor) -> (u32, u32, f64) {
        match self {
            Self::Vertex(v) => (v, v, 0.0),
            Self::Edge { t, edge, w } => {
                let corners = floor.triangles()[t as usize];
                (corners[edge], corners[(edge + 1) % 3], w)
            }
        }
    }
}

/// Follows the floor from a seat along the unit vector `d`, to the length `reach` or to where the
/// floor ends (wall, void, joint, unsurveyed), whichever comes first.
///
/// The first station is the seat; the last may lie beyond `reach`, so that a chord of exactly
/// that length can end between stations. Empty when the line leaves the floor at once or runs
/// along the seat's own edge. Over a joint two stations share one distance.
pub(super) fn follow(
    floor: &Floor,
    judged: &Judged,
    seat: Seat,
    d: Point,
    reach: f64,
    out: &mut Vec<Station>,
) {
    out.clear();
    let (p, q, w) = seat.on_edge(floor);
    let place = |v: u32| floor.vertices()[v as usize].at;
    let ray = Ray {
        from: place(p).lerp(place(q), w),
        direction: d,
        lean: Lean::Left,
    };
    let walk = match seat {
        Seat::Vertex(v) => Walk::from_vertex(floor, ray, v, judged.around(v)),
        Seat::Edge { t, edge, .. } => {
            let run = place(q) - place(p);
            let inward = run.cross(d);
            (inward.abs() > ALONG * run.norm()).then(|| {
                if inward > 0.0 {
                    Walk::entering(floor, ray, t, edge)
                } else {
                    Walk::leaving(floor, ray, t, edge)
                }
            })
        }
    };
    let Some(mut walk) = walk else { return };
    let station = |s: f64, p: u32, q: u32, w: f64| {
        let (a, b) = (
            floor.vertices()[p as usize].z,
            floor.vertices()[q as usize].z,
        );
        Station {
            s,
            z: a + w * (b - a),
            p,
            q,
            w,
        }
    };
    out.push(station(0.0, p, q, w));
    for _ in 0..floor.triangles().len() {
        let at = walk.crossing();
        if out.last().is_some_and(|last| at.ahead_m > last.s + SAME_M) {
            out.push(station(at.ahead_m, at.right, at.left, at.share));
        }
        if at.ahead_m >= reach {
            return;
        }
        let Some((next, joint)) = judged.beyond(floor, at.triangle, at.edge) else {
            return;
        };
        let Some(entry) = floor.edge_towards(next, at.triangle) else {
            return;
        };
        if joint {
            // The far side has vertices of its own, at heights of its own.
            let corners = floor.triangles()[next as usize];
            let (left, right) = (corners[entry], corners[(entry + 1) % 3]);
            out.push(station(at.ahead_m, right, left, at.share));
        }
        walk.go_on(next, entry);
    }
}

/// A line nearer to its seat's own edge than this (as a sine) is not followed.
const ALONG: f64 = 1e-6;
/// Stations nearer together than this are one, metres.
const SAME_M: f64 = 1e-12;

/// A chord over a seat and how far the floor there departs from it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found {
    pub gap_m: f64,
    /// Segment of the line behind the seat, and the share of the way along it.
    from: (usize, f64),
    /// The same ahead of it.
    to: (usize, f64),
}

impl Found {
    /// The chord as weights on vertices, from the same two halves of the line that it was found on.
    pub fn chord(&self, floor: &Floor, seat: Seat, back: &[Station], ahead: &[Station]) -> Chord {
        let end = |stations: &[Station], (i, t): (usize, f64)| {
            let a = stations[i];
            let b = stations[(i + 1).min(stations.len() - 1)];
            let spot = if t == 0.0 {
                Spot::edge(a.p, a.q, a.w)
            } else {
                Spot::between(a, b, t)
            };
            (spot, a.s + t * (b.s - a.s))
        };
        let (from, a) = end(back, self.from);
        let (to, b) = end(ahead, self.to);
        Chord::new(&from, &seat.spot(floor), &to, a / (a + b))
    }
}

/// The two lips of a joint are two stations at one place, rounding apart: no end lies between them, where a height would be what rounding makes of it.
const LIP_M: f64 = 1e-9;

/// The worst chord no longer than `span`, or of just that length, over a seat, on one line through it.
///
/// `back` and `ahead` are the two halves of the line from [`follow`]. For a dip the chord is to be
/// as high as possible, for a hump as low. With one end held, the height of the chord over the
/// seat is largest where the slope from the held end is: at a station, or where the chord has its
/// full length. Of full-length chords the height is a quadratic while both ends stay on their
/// segments. All these are tried.
pub(super) fn worst_over(
    back: &[Station],
    ahead: &[Station],
    (span, lengths): (f64, Lengths),
    departure: Departure,
) -> Option<Found> {
    let z0 = back.first()?.z;
    let sign = match departure {
        Departure::Dip => 1.0,
        Departure::Hump => -1.0,
    };
    let mut best: Option<Found> = None;
    let mut offer =
        |from: (usize, f64), (a, za): (f64, f64), to: (usize, f64), (b, zb): (f64, f64)| {
            if a + b <= 0.0 {
                return;
            }
            let gap_m = sign * ((za * b + zb * a) / (a + b) - z0);
            if best.is_none_or(|f| gap_m > f.gap_m) {
                best = Some(Found { gap_m, from, to });
            }
        };
    let shorter = match lengths {
        Lengths::UpTo => back,
        Lengths::Whole => &[],
    };
    for (i, a) in shorter.iter().enumerate().skip(1) {
        for (j, b) in ahead.iter().enumerate().skip(1) {
            if a.s + b.s > span {
                break;
            }
            offer((i, 0.0), (a.s, a.z), (j, 0.0), (b.s, b.z));
        }
    }
    // Full length: as one end goes outward the other comes nearer, so the two lists are walked
    // once, one from its near end and one from its far end.
    let mut j = ahead.len().saturating_sub(1);
    for i in 1..back.len() {
        let (p0, p1) = (back[i - 1], back[i]);
        while j > 0 {
            let (q0, q1) = (ahead[j - 1], ahead[j]);
            // Distances behind for which both ends lie on these two segments.
            let lo = p0.s.max(span - q1.s);
            let hi = p1.s.min(span - q0.s);
            if lo <= hi && p1.s - p0.s > LIP_M && q1.s - q0.s > LIP_M {
                let rise = (p1.z - p0.z) / (p1.s - p0.s);
                let fall = (q1.z - q0.z) / (q1.s - q0.s);
                let behind = |x: f64| p0.z + rise * (x - p0.s);
                let before = |y: f64| q0.z + fall * (y - q0.s);
                let mut try_at = |x: f64| {
                    let y = span - x;
                    let share = |z: f64, s0: f64, s1: f64| ((z - s0) / (s1 - s0)).clamp(0.0, 1.0);
                    offer(
                        (i - 1, share(x, p0.s, p1.s)),
                        (x, behind(x)),
                        (j - 1, share(y, q0.s, q1.s)),
                        (y, before(y)),
                    );
                };
                try_at(lo);
                try_at(hi);
                if sign * (rise + fall) > 0.0 {
                    let (a0, b0) = (behind(0.0), before(0.0));
                    let x = (rise * span - a0 + b0 + fall * span) / (2.0 * (rise + fall));
                    if x > lo && x < hi {
                        try_at(x);
                    }
                }
            }
            if span - q0.s > p1.s {
                // The near end of this segment ahead still reaches farther back than this one behind.
                break;
            }
            j -= 1;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: closed form. A seat at the lower lip of a joint, 1.9 mm under the upper one, whose station lies 8e-16 m ahead; level floor behind,
    //         at the height of the seat. No chord over the seat stands higher than the upper lip. The slope between the lips was taken for the
    //         floor's, and rounding in it made 2.05 mm.
    #[test]
    fn the_way_between_two_lips_is_no_slope() {
        let station = |s: f64, z: f64| Station {
            s,
            z,
            p: 0,
            q: 1,
            w: 0.5,
        };
        let back =
            [0.0, 1.0, 1.826_260_616_775_232_7, 2.189_490_263_233_077].map(|s| station(s, 0.0));
        let ahead = [
            station(0.0, 0.0),
            station(8.243_729_199_786_602e-16, 0.001_9),
        ];
        let worst = worst_over(&back, &ahead, (2.0, Lengths::UpTo), Departure::Dip);
        let gap_m = worst.map_or(0.0, |f| f.gap_m);
        assert!(gap_m <= 0.001_9 + 1e-12 && gap_m > 0.001_8, "{gap_m}");
    }
}
