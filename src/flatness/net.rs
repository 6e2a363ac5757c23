//! The floor laid out for searching: neighbours as plain numbers, hollows' edges picked out.

use super::Departure;
use crate::geometry::Point;
use crate::surface::{Across, Cover, Floor, Source};

/// Marks an edge with nothing beyond it.
pub(super) const WALL: u32 = u32::MAX;

/// What an edge may do at a marked joint.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, Default, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Joints {
    /// The edge is laid across joints, as finishers do: a step at a joint counts.
    #[default]
    Cross,
    /// No placement crosses a joint, as some concrete rules ask.
    Stop,
}

/// Which part of the floor an edge may lie on.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, Default, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Ground {
    /// Between readings only. Floor carried out to a joint counts, or no joint could be judged;
    /// floor carried out to a wall does not.
    #[default]
    Surveyed,
    /// Everything that carries a height, the strip along the walls included.
    WithExtended,
}

/// A mesh edge that the deepest point of a dip can lie on.
///
/// On a piecewise-linear floor the deepest point under a chord can be slid along the line of the
/// chord, without losing depth, until it meets a mesh edge across which the floor bends upward
/// (or a step at a joint). So these edges are all the places that need looking at.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seat {
    /// Its two ends.
    pub ends: [u32; 2],
    /// The triangle whose heights count as the floor here.
    pub home: u32,
    /// The triangle beyond.
    pub beyond: u32,
}

/// The searchable floor for one departure: for humps, heights are negated and dips are sought.
pub(super) struct Net {
    pub at: Vec<[f64; 3]>,
    pub tri: Vec<[u32; 3]>,
    pub next: Vec<[u32; 3]>,
    pub seats: Vec<Seat>,
    /// Triangles around vertex `v`: `fan[fan_start[v]..fan_start[v + 1]]`.
    pub fan_start: Vec<u32>,
    pub fan: Vec<u32>,
    /// Subtracted from every plan position, so that far-off coordinates lose no digits.
    pub origin: Point,
    pub spacing: f64,
}

impl Net {
    /// Lay out the part of `floor` whose triangles are `usable`.
    pub fn new(floor: &Floor, departure: Departure, usable: &[bool], joints: Joints) -> Self {
        let count = floor.triangles().len();
        let mut next = vec![[WALL; 3]; count];
        let mut step = vec![[false; 3]; count];
        for t in 0..count {
            for e in 0..3 {
                let other = match floor.across(t as u32, e) {
                    Across::Floor(o) => Some((o, false)),
                    Across::Joint(o) if joints == Joints::Cross => Some((o, true)),
                    Across::Joint(_) | Across::Edge => None,
                };
                if let Some((o, joint)) = other
                    && usable[t]
                    && usable[o as usize]
                {
                    next[t][e] = o;
                    step[t][e] = joint;
                }
            }
        }
        let sign = match departure {
            Departure::Dip => 1.0,
            Departure::Hump => -1.0,
        };
        let origin = middle(floor);
        let at = floor
            .vertices()
            .iter()
            .map(|v| [v.at.x - origin.x, v.at.y - origin.y, sign * v.z])
            .collect();
        let keep: Vec<[u32; 3]> = floor.triangles().to_vec();
        let mut net = Self {
            at,
            tri: keep,
            next,
            seats: Vec::new(),
            fan_start: Vec::new(),
            fan: Vec::new(),
            origin,
            spacing: floor.spacing(),
        };
        net.fill_fans(usable);
        net.fill_seats(&step);
        net
    }

    fn fill_fans(&mut self, usable: &[bool]) {
        let mut start = vec![0u32; self.at.len() + 1];
        for (t, tri) in self.tri.iter().enumerate() {
            if usable[t] {
                for &v in tri {
                    start[v as usize + 1] += 1;
                }
            }
        }
        for i in 1..start.len() {
            start[i] += start[i - 1];
        }
        let mut fill = start.clone();
        let mut fan = vec![0u32; start[self.at.len()] as usize];
        for (t, tri) in self.tri.iter().enumerate() {
            if usable[t] {
                for &v in tri {
                    fan[fill[v as usize] as usize] = t as u32;
                    fill[v as usize] += 1;
                }
            }
        }
        self.fan_start = start;
        self.fan = fan;
    }

    fn fill_seats(&mut self, step: &[[bool; 3]]) {
        for t in 0..self.tri.len() as u32 {
            for e in 0..3 {
                let other = self.next[t as usize][e];
                if other == WALL {
                    continue;
                }
                let joint = step[t as usize][e];
                if !joint && (t > other || !self.bends_up(t, e, other)) {
                    continue;
                }
                let tri = self.tri[t as usize];
                self.seats.push(Seat {
                    ends: [tri[e], tri[(e + 1) % 3]],
                    home: t,
                    beyond: other,
                });
            }
        }
    }

    /// Whether the floor is bent upward (or not bent) across edge `e` between `t` and `other`.
    fn bends_up(&self, t: u32, e: usize, other: u32) -> bool {
        let tri = self.tri[t as usize];
        let (p, q, l) = (tri[e], tri[(e + 1) % 3], tri[(e + 2) % 3]);
        let Some(&r) = self.tri[other as usize].iter().find(|&&v| v != p && v != q) else {
            return true;
        };
        let [p, q, l, r] = [p, q, l, r].map(|v| self.at[v as usize]);
        let (u, v) = ([q[0] - p[0], q[1] - p[1]], [l[0] - p[0], l[1] - p[1]]);
        let det = u[0] * v[1] - u[1] * v[0];
        if det <= 0.0 {
            return true;
        }
        let w = [r[0] - p[0], r[1] - p[1]];
        let a = (w[0] * v[1] - w[1] * v[0]) / det;
        let b = (u[0] * w[1] - u[1] * w[0]) / det;
        let (zq, zl) = (a * (q[2] - p[2]), b * (l[2] - p[2]));
        let bend = r[2] - p[2] - zq - zl;
        // What rounding of the heights alone can make of a flat edge is no bend: a floor of true
        // planes would else be full of places to look at.
        let rounding = 8.0 * f64::EPSILON * (r[2].abs() + p[2].abs() + zq.abs() + zl.abs());
        bend > rounding
    }

    /// Plan area of a triangle.
    pub fn area(&self, t: usize) -> f64 {
        let [a, b, c] = self.tri[t].map(|v| self.at[v as usize]);
        ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])).abs() / 2.0
    }

    /// Back to the floor's own coordinates.
    pub fn place(&self, p: [f64; 2]) -> Point {
        Point::new(p[0] + self.origin.x, p[1] + self.origin.y)
    }

    /// Position and height a share `t` along a seat.
    pub fn on_seat(&self, seat: usize, t: f64) -> [f64; 3] {
        let [p, q] = self.seats[seat].ends.map(|v| self.at[v as usize]);
        [0, 1, 2].map(|i| p[i] + (q[i] - p[i]) * t)
    }

    /// Triangles around a vertex.
    pub fn around(&self, v: u32) -> &[u32] {
        &self.fan[self.fan_start[v as usize] as usize..self.fan_start[v as usize + 1] as usize]
    }

    /// Whether any triangle meets this vertex.
    pub fn used(&self, v: u32) -> bool {
        self.fan_start[v as usize] < self.fan_start[v as usize + 1]
    }
}

/// Middle of the mesh's bounding box.
fn middle(floor: &Floor) -> Point {
    let (mut lo, mut hi) = ([f64::MAX; 2], [f64::MIN; 2]);
    for v in floor.vertices() {
        lo = [lo[0].min(v.at.x), lo[1].min(v.at.y)];
        hi = [hi[0].max(v.at.x), hi[1].max(v.at.y)];
    }
    if lo[0] > hi[0] {
        return Point::default();
    }
    Point::new((lo[0] + hi[0]) / 2.0, (lo[1] + hi[1]) / 2.0)
}

/// Which triangles an edge may lie on: floor between readings, floor carried out to a joint, and with
/// [`Ground::WithExtended`] all of it. One entry a triangle.
pub fn usable(floor: &Floor, ground: Ground) -> Vec<bool> {
    let count = floor.triangles().len() as u32;
    if ground == Ground::WithExtended {
        return vec![true; count as usize];
    }
    let mut on_joint = vec![false; floor.vertices().len()];
    for t in 0..count {
        for e in 0..3 {
            if matches!(floor.across(t, e), Across::Joint(_)) {
                let tri = floor.triangles()[t as usize];
                on_joint[tri[e] as usize] = true;
                on_joint[tri[(e + 1) % 3] as usize] = true;
            }
        }
    }
    (0..count)
        .map(|t| {
            floor.cover(t) == Cover::Surveyed
                || floor.triangles()[t as usize].iter().all(|&v| {
                    on_joint[v as usize]
                        || matches!(floor.vertices()[v as usize].source, Source::Reading(_))
                })
        })
        .collect()
}
