//! The floor laid out for searching: neighbours as plain numbers, hollows' edges picked out.

use super::Departure;
use crate::geometry::{Point, Triangles};
use crate::surface::{Across, Beyond, Cover, Floor, Source};

/// Marks an edge with nothing beyond it.
pub(super) const WALL: u32 = u32::MAX;

/// Directions nearer than this are one, radians: across a hall they part by less than a micrometre.
const SAME_TURN: f64 = 1e-9;

/// What an edge may do at a marked joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Joints {
    /// The edge is laid across joints, as finishers do: a step at a joint counts.
    #[default]
    Cross,
    /// No placement crosses a joint, as some concrete rules ask.
    Stop,
}

/// Which part of the floor an edge may lie on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
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
/// chord, without losing depth, until it meets a mesh edge across which the floor bends upward, a step at
/// a joint, or the end of what counts as floor. So these edges are all the places that need looking at.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seat {
    /// Its two ends.
    pub ends: [u32; 2],
    /// The triangle whose heights count as the floor here.
    pub home: u32,
    /// The triangle beyond.
    pub beyond: u32,
    /// Whether it is a side of a joint: the floor may step here.
    pub joint: bool,
}

/// The searchable floor for one departure: for humps, heights are negated and dips are sought.
///
/// Only solid triangles have heights that count. The rest of the room is there too, since an edge laid over it is
/// laid all the same: what it rests on and what it shows lie on solid floor, on either side.
pub(super) struct Net {
    pub at: Vec<[f64; 3]>,
    pub tri: Vec<[u32; 3]>,
    /// Triangle beyond each edge; [`WALL`] where an edge may not pass.
    pub next: Vec<[u32; 3]>,
    /// Whether an edge is a joint that may be crossed.
    pub step: Vec<[bool; 3]>,
    /// Directions of the joints' straight pieces, radians from 0 to half a turn, each once.
    pub joint_turns: Vec<f64>,
    /// Whether a triangle's heights count.
    pub solid: Vec<bool>,
    /// Whether any solid triangle meets a vertex.
    on_solid: Vec<bool>,
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
        let (next, step) = links(floor, joints);
        let sign = match departure {
            Departure::Dip => 1.0,
            Departure::Hump => -1.0,
        };
        let origin = middle(floor);
        let heights = floor.vertices().iter().map(|v| (v.at, sign * v.z));
        let bare = floor.blank_places().iter().map(|&p| (p, 0.0));
        let at = heights
            .chain(bare)
            .map(|(p, z)| [p.x - origin.x, p.y - origin.y, z])
            .collect();
        let blanks = floor.blanks().iter().map(|b| b.corners);
        let tri: Vec<[u32; 3]> = floor.triangles().iter().copied().chain(blanks).collect();
        let mut solid = usable.to_vec();
        solid.resize(tri.len(), false);
        let mut net = Self {
            at,
            tri,
            next,
            step,
            joint_turns: Vec::new(),
            solid,
            on_solid: Vec::new(),
            seats: Vec::new(),
            fan_start: Vec::new(),
            fan: Vec::new(),
            origin,
            spacing: floor.spacing(),
        };
        net.fill_fans();
        net.fill_seats();
        net.joint_turns = net.joint_turns();
        net
    }

    fn fill_fans(&mut self) {
        let mut start = vec![0u32; self.at.len() + 1];
        for &v in self.tri.iter().flatten() {
            start[v as usize + 1] += 1;
        }
        for i in 1..start.len() {
            start[i] += start[i - 1];
        }
        let mut fill = start.clone();
        let mut fan = vec![0u32; start[self.at.len()] as usize];
        self.on_solid = vec![false; self.at.len()];
        for (t, tri) in self.tri.iter().enumerate() {
            for &v in tri {
                fan[fill[v as usize] as usize] = t as u32;
                fill[v as usize] += 1;
                self.on_solid[v as usize] |= self.solid[t];
            }
        }
        self.fan_start = start;
        self.fan = fan;
    }

    fn fill_seats(&mut self) {
        for t in (0..self.tri.len() as u32).filter(|&t| self.solid[t as usize]) {
            for e in 0..3 {
                let other = self.next[t as usize][e];
                if other == WALL {
                    continue;
                }
                // A bend counts once; a joint from both its sides; the end of solid floor from the solid side.
                let joint = self.step[t as usize][e];
                let ends = joint || !self.solid[other as usize];
                if !ends && (t > other || !self.bends_up(t, e, other)) {
                    continue;
                }
                let tri = self.tri[t as usize];
                self.seats.push(Seat {
                    ends: [tri[e], tri[(e + 1) % 3]],
                    home: t,
                    beyond: other,
                    joint,
                });
            }
        }
    }

    fn joint_turns(&self) -> Vec<f64> {
        let mut turns: Vec<f64> = self
            .seats
            .iter()
            .filter(|s| s.joint)
            .map(|s| self.turn_of(s.ends))
            .collect();
        turns.sort_by(f64::total_cmp);
        turns.dedup_by(|a, b| (*a - *b).abs() < SAME_TURN);
        turns
    }

    /// The direction at which an interval of directions is split: along a joint, or along the seat that all its
    /// lines pass where floor ends there, if that lies within it, so that lines of one part lie on one side
    /// of it; else the middle.
    pub fn turn_to_split(&self, (from, to): (f64, f64), seat: Option<u32>) -> f64 {
        let middle = (from + to) / 2.0;
        let own = seat
            .map(|s| self.seats[s as usize])
            .filter(|s| s.joint || !self.solid[s.beyond as usize])
            .map(|s| self.turn_of(s.ends));
        self.joint_turns
            .iter()
            .copied()
            .chain(own)
            .flat_map(|t| [t, t + std::f64::consts::PI])
            .filter(|&t| t > from + SAME_TURN && t < to - SAME_TURN)
            .min_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()))
            .unwrap_or(middle)
    }

    /// Slopes of the solid triangles on either side of a seat.
    pub fn slopes_beside(&self, seat: usize) -> impl Iterator<Item = [f64; 2]> {
        let Seat { home, beyond, .. } = self.seats[seat];
        [home, beyond]
            .into_iter()
            .filter(|&t| self.solid[t as usize])
            .map(|t| self.slope(t))
    }

    fn slope(&self, t: u32) -> [f64; 2] {
        let [a, b, c] = self.tri[t as usize].map(|v| self.at[v as usize]);
        let [u, v] = [b, c].map(|p| [0, 1, 2].map(|i| p[i] - a[i]));
        let twice = u[0] * v[1] - u[1] * v[0];
        [
            (u[2] * v[1] - v[2] * u[1]) / twice,
            (u[0] * v[2] - v[0] * u[2]) / twice,
        ]
    }

    /// Direction of an edge, radians from 0 to half a turn.
    fn turn_of(&self, ends: [u32; 2]) -> f64 {
        let [p, q] = ends.map(|v| self.at[v as usize]);
        (q[1] - p[1])
            .atan2(q[0] - p[0])
            .rem_euclid(std::f64::consts::PI)
    }

    /// Whether a direction runs along a joint side, so that no line that way crosses it.
    pub fn runs_along(&self, p: u32, q: u32, dir: [f64; 2]) -> bool {
        let [p, q] = [p, q].map(|v| self.at[v as usize]);
        let d = [q[0] - p[0], q[1] - p[1]];
        (d[0] * dir[1] - d[1] * dir[0]).abs() <= SAME_TURN * d[0].hypot(d[1])
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
    pub fn on_floor(&self, p: [f64; 2]) -> Point {
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

    /// Whether any solid triangle meets this vertex.
    pub fn used(&self, v: u32) -> bool {
        self.on_solid[v as usize]
    }
}

impl Triangles for Net {
    fn corners_of(&self, triangle: u32) -> [u32; 3] {
        self.tri[triangle as usize]
    }

    fn place(&self, vertex: u32) -> Point {
        let [x, y, _] = self.at[vertex as usize];
        Point::new(x, y)
    }

    fn edge_towards(&self, triangle: u32, other: u32) -> Option<usize> {
        self.next[triangle as usize]
            .iter()
            .position(|&n| n == other)
    }
}

/// What lies beyond every edge of the floor's triangles and then of its blank pieces, and where that is across
/// a joint.
fn links(floor: &Floor, joints: Joints) -> (Vec<[u32; 3]>, Vec<[bool; 3]>) {
    let count = floor.triangles().len() as u32;
    let stop = joints == Joints::Stop;
    let of_floor = (0..count).map(|t| {
        [0, 1, 2].map(|e| match floor.across(t, e) {
            Across::Floor(other) => (other, false),
            Across::Joint(other) if !stop => (other, true),
            Across::Blank(other) if !(stop && floor.blanks()[other as usize].is_over_joint(t)) => {
                (count + other, false)
            }
            Across::Joint(_) | Across::Blank(_) | Across::Edge => (WALL, false),
        })
    });
    let of_blanks = floor.blanks().iter().map(|b| {
        [0, 1, 2].map(|e| match b.across[e] {
            _ if stop && b.joint[e] => (WALL, false),
            Beyond::Floor(other) => (other, false),
            Beyond::Blank(other) => (count + other, false),
            Beyond::Edge => (WALL, false),
        })
    });
    of_floor
        .chain(of_blanks)
        .map(|sides| (sides.map(|s| s.0), sides.map(|s| s.1)))
        .unzip()
}

/// Middle of the mesh's bounding box.
fn middle(floor: &Floor) -> Point {
    let (mut lo, mut hi) = ([f64::MAX; 2], [f64::MIN; 2]);
    let vertices = floor.vertices().iter().map(|v| v.at);
    for at in vertices.chain(floor.blank_places().iter().copied()) {
        lo = [lo[0].min(at.x), lo[1].min(at.y)];
        hi = [hi[0].max(at.x), hi[1].max(at.y)];
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
    let mut along_wall = Vec::new();
    for t in 0..count {
        for e in 0..3 {
            let tri = floor.triangles()[t as usize];
            let side = [tri[e], tri[(e + 1) % 3]];
            match floor.across(t, e) {
                Across::Joint(_) => side.iter().for_each(|&v| on_joint[v as usize] = true),
                Across::Edge => along_wall.push(side),
                Across::Floor(_) | Across::Blank(_) => {}
            }
        }
    }
    let carried = |v: &u32| floor.vertices()[*v as usize].source == Source::Extended;
    // Where a joint meets a wall at which nobody read, floor is carried out to the wall.
    let to_wall = |v: &u32| carried(v) && !on_joint[*v as usize];
    let mut joint = on_joint.clone();
    for [a, b] in along_wall {
        joint[a as usize] &= !to_wall(&b);
        joint[b as usize] &= !to_wall(&a);
    }
    (0..count)
        .map(|t| {
            let corners = floor.triangles()[t as usize];
            let joint = |v: &u32| joint[*v as usize];
            floor.cover(t) == Cover::Surveyed
                || (corners.iter().any(joint) && corners.iter().all(|v| joint(v) || !carried(v)))
        })
        .collect()
}
