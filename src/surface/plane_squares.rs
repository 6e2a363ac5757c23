//! Which of two diagonals, when both give the same surface: what walls, joints and lengths say.

use super::diagonals::{Heights, ON_CIRCLE, Stand};
use super::lines::{JOINT, Lines, WALL};
use crate::geometry::{Point, Segment, orient};

/// Lengths, areas and their sums are the same within this share.
const SAME: f64 = 1e-9;

/// Polygons on one circle of more corners than this are cut up as they come.
const MOST_CORNERS: usize = 40;

/// What a way of cutting up a polygon takes.
#[derive(Debug, Clone, Copy, Default)]
struct Cut {
    /// Area of the triangles that are lost for floor between readings where a joint runs in the polygon, square metres.
    lost_m2: f64,
    /// How much walls stand in the way of its diagonals.
    hindrance: f64,
    /// Length of its diagonals, metres.
    length_m: f64,
    /// Volume under its triangles, litres: of ways that are alike in all else the lower surface is taken.
    volume_l: f64,
}

impl Cut {
    fn add(&mut self, other: Self) {
        self.lost_m2 += other.lost_m2;
        self.hindrance += other.hindrance;
        self.length_m += other.length_m;
        self.volume_l += other.volume_l;
    }

    /// Whether it takes less, by what comes first and differs by more than rounding.
    fn is_less(&self, other: &Self) -> bool {
        for (own, theirs) in [
            (self.lost_m2, other.lost_m2),
            (self.hindrance, other.hindrance),
            (self.length_m, other.length_m),
            (self.volume_l, other.volume_l),
        ] {
            if (own - theirs).abs() > SAME * (1.0 + own.abs()) {
                return own < theirs;
            }
        }
        false
    }
}

/// Area of a triangle that a wall or joint runs in, square metres; 0 for one that none does.
fn lost_m2(walls: &Lines, corners: [Point; 3]) -> f64 {
    if walls.runs_in(corners, JOINT | WALL) {
        orient(corners[0], corners[1], corners[2]).abs() / 2.0
    } else {
        0.0
    }
}

impl Heights<'_> {
    /// Whether the other diagonal leaves more floor that no wall corner spoils; where neither tells, whether it is the
    /// shorter.
    pub(super) fn stands_better(&self, h: u32) -> bool {
        let [p, q, r, s] = self.quad(h).map(|e| self.mesh.origin(e));
        let cut = |halves: [[u32; 3]; 2], ends: [u32; 2]| {
            let way = Segment::new(self.mesh.point(ends[0]), self.mesh.point(ends[1]));
            Cut {
                lost_m2: halves.iter().map(|&three| self.spoilt_m2(three)).sum(),
                length_m: way.length(),
                ..Cut::default()
            }
        };
        let own = cut([[p, q, r], [p, q, s]], [p, q]);
        cut([[r, s, p], [r, s, q]], [r, s]).is_less(&own)
    }

    /// Area of a triangle with a corner on a wall: no edge is laid on floor that was carried to one. Square metres.
    fn spoilt_m2(&self, corners: [u32; 3]) -> f64 {
        let on_wall = |v: &u32| self.stands.get(*v as usize) == Some(&Stand::Wall);
        if corners.iter().any(on_wall) {
            let [a, b, c] = corners.map(|v| self.mesh.point(v));
            orient(a, b, c).abs() / 2.0
        } else {
            0.0
        }
    }

    /// Whether an edge is the diagonal of a square in which a joint cuts both halves, whichever way it is folded: its heights have
    /// no say, since on either side of the joint they have nothing to do with those on the other.
    pub(super) fn is_lost(&self, h: u32, walls: &Lines) -> bool {
        if !self.is_inner(h) || self.excess(h).abs() > ON_CIRCLE {
            return false;
        }
        let [p, q, r, s] = self.quad(h).map(|e| self.at(e));
        [[p, q, r], [p, q, s], [r, s, p], [r, s, q]]
            .iter()
            .all(|&three| walls.runs_in(three, JOINT))
    }

    /// Whether fewer walls cross the other diagonal; where as many do, whether it leaves out the corner that walls
    /// cut off from both its neighbours; where neither tells, whether it is the shorter. `None` where they are alike.
    pub(super) fn is_clearer(&self, h: u32, walls: &Lines) -> Option<bool> {
        let [p, q, r, s] = self.quad(h).map(|e| self.at(e));
        // Where a joint runs in the square, whatever a line cuts is lost.
        if walls.has_joints()
            && [[p, q, r], [p, q, s]]
                .iter()
                .any(|&three| walls.runs_in(three, JOINT))
        {
            let cut = |halves: [[Point; 3]; 2], way: Segment| Cut {
                lost_m2: lost_m2(walls, halves[0]) + lost_m2(walls, halves[1]),
                hindrance: walls.hindrance(&way),
                length_m: way.length(),
                volume_l: 0.0,
            };
            let own = cut([[p, q, r], [p, q, s]], Segment::new(p, q));
            let other = cut([[r, s, p], [r, s, q]], Segment::new(r, s));
            return match (other.is_less(&own), own.is_less(&other)) {
                (false, false) => None,
                (turn, _) => Some(turn),
            };
        }
        let crossed = |a: Point, b: Point| walls.crossed(&Segment::new(a, b));
        let cut_off =
            |corner: Point, [a, b]: [Point; 2]| crossed(corner, a).min(crossed(corner, b));
        let left_out =
            |[a, b]: [Point; 2], ends: [Point; 2]| cut_off(a, ends).max(cut_off(b, ends));
        let (own, other) = (crossed(p, q), crossed(r, s));
        if own != other {
            return Some(other < own);
        }
        if own > 0 {
            let (own, other) = (left_out([r, s], [p, q]), left_out([p, q], [r, s]));
            if own != other {
                return Some(other > own);
            }
            let (own, other) = (
                walls.hindrance(&Segment::new(p, q)),
                walls.hindrance(&Segment::new(r, s)),
            );
            if (own - other).abs() > SAME {
                return Some(other < own);
            }
        }
        let (own, other) = (p.distance(q), r.distance(s));
        ((own - other).abs() > SAME * own).then_some(other < own)
    }

    /// Cuts up a plane polygon of corners on one circle so that joints spoil as little of it as can be; where that leaves a
    /// choice, so that walls cross its diagonals as seldom and as near to their middles as can be; and then so that the
    /// diagonals are shortest.
    ///
    /// Every way of cutting it up is weighed (the classical triangulation of a convex polygon), so that neither the order of
    /// the rows nor a turn or a mirror decides. `false` for one that is none, or has too many corners.
    pub(super) fn cut_up_clearly(&mut self, polygon: &[u32]) -> bool {
        let corners = self.round(polygon);
        let n = corners.len();
        if !(4..=MOST_CORNERS).contains(&n) || n != polygon.len() + 2 {
            return false;
        }
        let at = |i: usize| self.mesh.point(corners[i]);
        // Where a joint runs in the polygon, whatever a line cuts is lost; where none does, walls take away themselves only.
        let parted =
            |walls: &Lines| (1..n - 1).any(|k| walls.runs_in([at(0), at(k), at(k + 1)], JOINT));
        let parted = self.walls.is_some_and(parted);
        let lost = |i: usize, k: usize, j: usize| match self.walls {
            Some(walls) if parted => lost_m2(walls, [at(i), at(k), at(j)]),
            Some(_) => 0.0,
            None => self.spoilt_m2([corners[i], corners[k], corners[j]]),
        };
        let height = |v: u32| {
            let mut ends = polygon.iter().flat_map(|&t| t * 3..t * 3 + 3);
            let own = ends.find(|&h| self.mesh.origin(h) == v)?;
            self.z[self.corners[own as usize] as usize]
        };
        let heights: Vec<Option<f64>> = corners.iter().map(|&v| height(v)).collect();
        let low = heights
            .iter()
            .flatten()
            .copied()
            .fold(f64::INFINITY, f64::min);
        let volume_l = |of: [usize; 3]| {
            let sum: Option<f64> = of.iter().map(|&i| heights[i].map(|z| z - low)).sum();
            let [a, b, c] = of.map(at);
            sum.map_or(0.0, |sum| orient(a, b, c).abs() / 2.0 * sum / 3.0 * 1000.0)
        };
        let side = |i: usize, j: usize| {
            if j - i < 2 || (i, j) == (0, n - 1) {
                return Cut::default();
            }
            let way = Segment::new(at(i), at(j));
            Cut {
                lost_m2: 0.0,
                hindrance: self.walls.map_or(0.0, |walls| walls.hindrance(&way)),
                length_m: way.length(),
                volume_l: 0.0,
            }
        };
        let mut best = vec![vec![Cut::default(); n]; n];
        let mut by = vec![vec![0; n]; n];
        for width in 2..n {
            for i in 0..n - width {
                let j = i + width;
                let mut least: Option<Cut> = None;
                for (k, beyond) in best.iter().enumerate().take(j).skip(i + 1) {
                    let mut sum = Cut {
                        lost_m2: lost(i, k, j),
                        volume_l: volume_l([i, k, j]),
                        ..Cut::default()
                    };
                    for part in [best[i][k], beyond[j], side(i, k), side(k, j)] {
                        sum.add(part);
                    }
                    if least.is_none_or(|l| sum.is_less(&l)) {
                        least = Some(sum);
                        by[i][j] = k;
                    }
                }
                best[i][j] = least.unwrap_or_default();
            }
        }
        let mut open = vec![(0, n - 1)];
        while let Some((i, j)) = open.pop() {
            if j - i < 2 {
                continue;
            }
            let k = by[i][j];
            for (a, b) in [(i, k), (k, j)] {
                if b - a >= 2 {
                    self.draw(polygon, corners[a], corners[b]);
                    open.push((a, b));
                }
            }
        }
        true
    }

    /// Corners of a convex polygon of triangles, counter-clockwise round its middle.
    fn round(&self, polygon: &[u32]) -> Vec<u32> {
        let mut corners: Vec<u32> = polygon
            .iter()
            .flat_map(|&t| self.mesh.triangle(t))
            .collect();
        corners.sort_unstable();
        corners.dedup();
        let sum = corners
            .iter()
            .fold(Point::default(), |s, &v| s + self.mesh.point(v));
        let middle = sum * (1.0 / corners.len().max(1) as f64);
        let angle = |v: u32| {
            let d = self.mesh.point(v) - middle;
            d.y.atan2(d.x)
        };
        corners.sort_by(|&a, &b| angle(a).total_cmp(&angle(b)));
        corners
    }

    /// Turns edges of a convex polygon until one runs from `a` to `b`: each turn takes away the first that crosses the way,
    /// seen from `a`, and puts one in its place that ends in `a`.
    fn draw(&mut self, polygon: &[u32], a: u32, b: u32) {
        for _ in 0..polygon.len() {
            let (from, to) = (self.mesh.point(a), self.mesh.point(b));
            let first = self.edges_of(polygon).into_iter().find(|&h| {
                let [p, q, r, s] = self.quad(h).map(|e| self.mesh.origin(e));
                let ends = [p, q].map(|v| orient(from, to, self.mesh.point(v)));
                (r == a || s == a) && p != b && q != b && ends[0] * ends[1] < 0.0
            });
            match first {
                Some(h) => self.flip(h),
                None => return,
            }
        }
    }
}
