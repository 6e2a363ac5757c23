//! Straight lines out of a vertex across the mesh, and the worst chords over that vertex on them.

use super::chord::{Chord, Spot, Station};
use crate::flatness::{Departure, Ground, Joints};
use crate::geometry::Point;
use crate::surface::{Across, Cover, Floor};

/// The part of the mesh that chords may lie on.
pub(super) struct Judged {
    start: Vec<u32>,
    fan: Vec<u32>,
    usable: Vec<bool>,
    joints: Joints,
}

impl Judged {
    /// Lays out the part of `floor` that `ground` and `joints` allow.
    ///
    /// It may be smaller than what the certified search covers, never larger: a chord found here is
    /// one that search would count.
    pub fn new(floor: &Floor, ground: Ground, joints: Joints) -> Self {
        let usable: Vec<bool> = (0..floor.triangles().len() as u32)
            .map(|t| ground == Ground::WithExtended || floor.cover(t) == Cover::Surveyed)
            .collect();
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

    /// The triangle beyond an edge and whether a joint is crossed, if a chord may go there.
    fn beyond(&self, floor: &Floor, t: u32, edge: usize) -> Option<(u32, bool)> {
        let (next, joint) = match floor.across(t, edge) {
            Across::Floor(next) => (next, false),
            Across::Joint(next) if self.joints == Joints::Cross => (next, true),
            Across::Joint(_) | Across::Edge => return None,
        };
        self.usable[next as usize].then_some((next, joint))
    }
}

/// Follows the floor from vertex `v` along the unit vector `d`, to the length `reach` or to where
/// the floor ends (wall, void, joint, unsurveyed), whichever comes first.
///
/// The first station is the vertex; the last may lie beyond `reach`, so that a chord of exactly
/// that length can end between stations. Empty when the line leaves the floor at once.
pub(super) fn follow(
    floor: &Floor,
    judged: &Judged,
    v: u32,
    d: Point,
    reach: f64,
    out: &mut Vec<Station>,
) {
    out.clear();
    let vertices = floor.vertices();
    let triangles = floor.triangles();
    let origin = vertices[v as usize].at;
    let side = |u: u32| d.cross(vertices[u as usize].at - origin);
    let mut entry = None;
    for &t in judged.around(v) {
        let corners = triangles[t as usize];
        let Some(i) = corners.iter().position(|&c| c == v) else {
            continue;
        };
        let (right, left) = (corners[(i + 1) % 3], corners[(i + 2) % 3]);
        // Exactly one triangle of the fan has the line between its two far corners.
        if side(right) <= 0.0 && side(left) > 0.0 {
            entry = Some((t, (i + 1) % 3, right, left));
            break;
        }
    }
    let Some((mut t, mut edge, mut right, mut left)) = entry else {
        return;
    };
    out.push(Station {
        s: 0.0,
        z: vertices[v as usize].z,
        p: v,
        q: v,
        w: 0.0,
    });
    for _ in 0..triangles.len() {
        let (r, l) = (side(right), side(left));
        let w = (r / (r - l)).clamp(0.0, 1.0);
        let (a, b) = (vertices[right as usize], vertices[left as usize]);
        let s = d.dot(a.at.lerp(b.at, w) - origin);
        if out.last().is_some_and(|last| s > last.s) {
            out.push(Station {
                s,
                z: a.z + w * (b.z - a.z),
                p: right,
                q: left,
                w,
            });
        }
        if s >= reach {
            return;
        }
        let Some((next, joint)) = judged.beyond(floor, t, edge) else {
            return;
        };
        let corners = triangles[next as usize];
        if joint {
            // The far side has vertices of its own, at heights of its own.
            let back = |e: &usize| floor.across(next, *e) == Across::Joint(t);
            let Some(e) = (0..3).find(back) else { return };
            (left, right) = (corners[e], corners[(e + 1) % 3]);
            let (a, b) = (vertices[right as usize], vertices[left as usize]);
            out.push(Station {
                s,
                z: a.z + w * (b.z - a.z),
                p: right,
                q: left,
                w,
            });
        }
        let Some(k) = corners.iter().position(|&c| c != right && c != left) else {
            return;
        };
        // Corner k is new; edge k runs from it, edge k + 2 runs to it. Edge k + 1 was entered by.
        let new = corners[k];
        if side(new) > 0.0 {
            left = new;
            edge = (k + 2) % 3;
        } else {
            right = new;
            edge = k;
        }
        t = next;
    }
}

/// A chord over a vertex and how far the floor there departs from it.
pub(super) struct Found {
    pub chord: Chord,
    pub gap_m: f64,
}

/// The worst chord no longer than `span` over a vertex, on one line through it.
///
/// `back` and `ahead` are the two halves of the line from [`follow`]. For a dip the chord is to be
/// as high as possible, for a hump as low. With one end held, the height of the chord over the
/// vertex is largest where the slope from the held end is, which is at a station or where the chord
/// has its full length; all such pairs are tried. Full-length chords with neither end at a station
/// are not: this is a fast finder, the certified search has the last word.
pub(super) fn worst_over(
    back: &[Station],
    ahead: &[Station],
    span: f64,
    departure: Departure,
) -> Option<Found> {
    let z0 = back.first()?.z;
    let sign = match departure {
        Departure::Dip => 1.0,
        Departure::Hump => -1.0,
    };
    let mut best: Option<(f64, usize, f64, usize, f64)> = None;
    let mut offer = |i: usize, ti: f64, a: f64, za: f64, j: usize, tj: f64, b: f64, zb: f64| {
        let gap = sign * ((za * b + zb * a) / (a + b) - z0);
        if best.is_none_or(|(g, ..)| gap > g) {
            best = Some((gap, i, ti, j, tj));
        }
    };
    let mut full = |held: &[Station], free: &[Station], swap: bool| {
        // As the held end comes nearer, the free end goes farther.
        let mut j = 1;
        for i in (1..held.len()).rev() {
            let a = held[i];
            let b = span - a.s;
            if b <= 0.0 {
                continue;
            }
            while j < free.len() && free[j].s < b {
                j += 1;
            }
            if j >= free.len() {
                break;
            }
            let (f0, f1) = (free[j - 1], free[j]);
            let t = (b - f0.s) / (f1.s - f0.s);
            let zb = f0.z + t * (f1.z - f0.z);
            if swap {
                offer(j - 1, t, b, zb, i, 0.0, a.s, a.z);
            } else {
                offer(i, 0.0, a.s, a.z, j - 1, t, b, zb);
            }
        }
    };
    full(back, ahead, false);
    full(ahead, back, true);
    for (i, a) in back.iter().enumerate().skip(1) {
        for (j, b) in ahead.iter().enumerate().skip(1) {
            if a.s + b.s > span {
                break;
            }
            offer(i, 0.0, a.s, a.z, j, 0.0, b.s, b.z);
        }
    }
    let (gap_m, i, ti, j, tj) = best?;
    let end = |stations: &[Station], i: usize, t: f64| {
        let a = stations[i];
        let b = stations[(i + 1).min(stations.len() - 1)];
        let spot = if t == 0.0 {
            Spot::edge(a.p, a.q, a.w)
        } else {
            Spot::between(a, b, t)
        };
        (spot, a.s + t * (b.s - a.s))
    };
    let (from, a) = end(back, i, ti);
    let (to, b) = end(ahead, j, tj);
    let chord = Chord::new(&from, &Spot::vertex(back[0].p), &to, a / (a + b));
    Some(Found { chord, gap_m })
}
