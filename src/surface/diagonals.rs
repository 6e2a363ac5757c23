//! Which diagonal of a square: a choice that no shift, turn, tilt or order of rows can change.

use super::fans::beside;
use super::lines::{JOINT, Lines, WALL};
use crate::geometry::{Mesh, NONE, Point, Segment, circle_excess, next, orient, prev};
use rayon::prelude::*;
use std::collections::HashMap;

/// Four corners count as lying on one circle when the sine of their angle sum is smaller than this: half a degree, as a
/// grid of 0.6 m has it whose places were measured or written to 2 mm. Nearer than that nothing but rounding would choose
/// the diagonal.
pub(super) const ON_CIRCLE: f64 = 0.01;

/// Lengths, areas and their sums are the same within this share.
const SAME: f64 = 1e-9;

/// Heights nearer than this are the same surface, metres: less than any instrument reads, more than places and units round
/// them by.
const SAME_HEIGHT_M: f64 = 1e-6;

/// Area of a triangle that a wall or joint runs in, square metres; 0 for one that none does.
fn lost_m2(walls: &Lines, corners: [Point; 3]) -> f64 {
    if walls.runs_in(corners, JOINT | WALL) {
        orient(corners[0], corners[1], corners[2]).abs() / 2.0
    } else {
        0.0
    }
}

/// What a way of cutting up a polygon takes.
#[derive(Debug, Clone, Copy, Default)]
struct Cut {
    /// Area of the triangles that are lost for floor between readings where a joint runs in the polygon, square metres.
    lost_m2: f64,
    /// How much walls stand in the way of its diagonals.
    hindrance: f64,
    /// Length of its diagonals, metres.
    length_m: f64,
}

impl Cut {
    fn add(&mut self, other: Self) {
        self.lost_m2 += other.lost_m2;
        self.hindrance += other.hindrance;
        self.length_m += other.length_m;
    }

    /// Whether it takes less, by what comes first and differs by more than rounding.
    fn is_less(&self, other: &Self) -> bool {
        for (own, theirs) in [
            (self.lost_m2, other.lost_m2),
            (self.hindrance, other.hindrance),
            (self.length_m, other.length_m),
        ] {
            if (own - theirs).abs() > SAME * (1.0 + own.abs()) {
                return own < theirs;
            }
        }
        false
    }
}

/// Polygons on one circle of more corners than this are cut up as they come.
const MOST_CORNERS: usize = 40;

/// A quadrilateral whose other diagonal gives another surface.
pub(super) struct Choice {
    /// Floor vertices; the surface chosen folds along `0–2`, the other one along `1–3`.
    pub(super) corners: [u32; 4],
}

/// The mesh with its floor vertices and their heights.
pub(super) struct Heights<'a> {
    pub(super) mesh: &'a mut Mesh,
    pub(super) inside: &'a [bool],
    pub(super) corners: &'a mut [u32],
    /// Height of each floor vertex; `None` where no reading is near enough.
    pub(super) z: &'a [Option<f64>],
    /// Walls and joints that are still to be drawn into the mesh, where a choice between diagonals that give the
    /// same surface is to be made by them, so that a toss-up decides nothing.
    pub(super) walls: Option<&'a Lines>,
    /// What each vertex of the mesh stands on, once the walls are drawn: there such a choice is made by it. Empty before.
    pub(super) stands: &'a [Stand],
}

/// What a vertex stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stand {
    /// A wall, or nothing.
    Wall,
    /// A joint.
    Joint,
    /// A reading.
    Reading,
}

impl Heights<'_> {
    fn is_inner(&self, h: u32) -> bool {
        let twin = self.mesh.twin(h);
        twin != NONE
            && !self.mesh.is_fixed(h)
            && self.inside[(h / 3) as usize]
            && self.inside[(twin / 3) as usize]
    }

    /// The quadrilateral round an inner edge: its ends `p q`, its apex `r`, the apex beyond `s`;
    /// half-edges that leave them.
    fn quad(&self, h: u32) -> [u32; 4] {
        let twin = self.mesh.twin(h);
        [h, twin, prev(h), prev(twin)]
    }

    fn at(&self, h: u32) -> Point {
        self.mesh.point(self.mesh.origin(h))
    }

    fn excess(&self, h: u32) -> f64 {
        let [p, q, r, s] = self.quad(h).map(|e| self.at(e));
        // Counter-clockwise q r p s, cut by the diagonal q p.
        circle_excess(q, r, p, s)
    }

    fn is_convex(&self, h: u32) -> bool {
        let [p, q, r, s] = self.quad(h).map(|e| self.at(e));
        orient(r, s, p) < 0.0 && orient(r, s, q) > 0.0
    }

    fn flip(&mut self, h: u32) {
        let twin = self.mesh.twin(h);
        let [p, q, r, s] = self.quad(h).map(|e| self.corners[e as usize]);
        let slots = [
            (h, s),
            (next(h), r),
            (prev(h), p),
            (twin, r),
            (next(twin), s),
            (prev(twin), q),
        ];
        self.mesh.flip(h);
        for (slot, corner) in slots {
            self.corners[slot as usize] = corner;
        }
    }

    /// How far the surface along the other diagonal lies above this one where the diagonals cross,
    /// metres; `None` when a corner has no height.
    fn rise(&self, h: u32) -> Option<f64> {
        let e = self.quad(h);
        let [p, q, r, s] = e.map(|e| self.at(e));
        let mut z = [0.0; 4];
        for (k, &e) in e.iter().enumerate() {
            z[k] = self.z[self.corners[e as usize] as usize]?;
        }
        // Heights from the lowest corner keep their digits whatever the datum.
        let low = z.iter().copied().fold(f64::INFINITY, f64::min);
        let z = z.map(|v| v - low);
        let (u, v) = (q - p, s - r);
        let det = u.cross(v);
        if det == 0.0 {
            return Some(0.0);
        }
        let a = ((r - p).cross(v) / det).clamp(0.0, 1.0);
        let b = ((r - p).cross(u) / det).clamp(0.0, 1.0);
        Some((z[2] + (z[3] - z[2]) * b) - (z[0] + (z[1] - z[0]) * a))
    }

    fn triangles_known(&self, h: u32) -> [bool; 4] {
        self.quad(h)
            .map(|e| self.z[self.corners[e as usize] as usize].is_some())
    }

    /// Whether to turn an edge whose four corners lie on one circle.
    fn should_turn(&self, h: u32) -> bool {
        if let Some(turn) = self.along_joint(h) {
            return turn;
        }
        match self.rise(h) {
            Some(rise) if rise.abs() <= SAME_HEIGHT_M => match self.walls {
                Some(walls) => self.is_clearer(h, walls),
                None => self.stands_better(h),
            },
            Some(rise) => rise < 0.0,
            None => {
                // With one corner unknown keep the half that is known: the diagonal must not end there.
                let [p, q, r, s] = self.triangles_known(h);
                (!p || !q) && [p, q, r, s].iter().filter(|&&k| !k).count() == 1
            }
        }
    }

    /// Where a joint runs along one of the diagonals and so leaves a whole triangle of readings on either side, whether it is
    /// the other one. Heights do not choose there: across the joint the two sides have nothing to do with each other.
    fn along_joint(&self, h: u32) -> Option<bool> {
        let walls = self.walls.filter(|w| w.has_joints())?;
        let [p, q, r, s] = self.quad(h).map(|e| self.at(e));
        let cut = |halves: [[Point; 3]; 2]| halves.iter().any(|&three| walls.runs_in(three, JOINT));
        let (own, other) = (cut([[p, q, r], [p, q, s]]), cut([[r, s, p], [r, s, q]]));
        (own != other).then_some(own)
    }

    /// Whether the other diagonal leaves more floor that no wall corner spoils; where neither tells, whether it is the
    /// shorter.
    fn stands_better(&self, h: u32) -> bool {
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

    /// Whether an edge is the diagonal of a plane square in which a joint runs so that lines cut both halves, whichever way it
    /// is folded. (Where the square is not plane its heights choose the diagonal, and that choice is kept.)
    pub(super) fn is_lost(&self, h: u32, walls: &Lines) -> bool {
        if !self.is_inner(h) || self.excess(h).abs() > ON_CIRCLE || !self.is_flat(h) {
            return false;
        }
        let [p, q, r, s] = self.quad(h).map(|e| self.at(e));
        let halves = [[p, q, r], [p, q, s], [r, s, p], [r, s, q]];
        walls.runs_in(halves[0], JOINT)
            && walls.runs_in(halves[1], JOINT)
            && halves[2..]
                .iter()
                .all(|&three| walls.runs_in(three, JOINT | WALL))
    }

    /// Whether fewer walls cross the other diagonal; where as many do, whether it leaves out the corner that walls
    /// cut off from both its neighbours; where neither tells, whether it is the shorter.
    fn is_clearer(&self, h: u32, walls: &Lines) -> bool {
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
            };
            let own = cut([[p, q, r], [p, q, s]], Segment::new(p, q));
            return cut([[r, s, p], [r, s, q]], Segment::new(r, s)).is_less(&own);
        }
        let crossed = |a: Point, b: Point| walls.crossed(&Segment::new(a, b));
        let cut_off =
            |corner: Point, [a, b]: [Point; 2]| crossed(corner, a).min(crossed(corner, b));
        let left_out =
            |[a, b]: [Point; 2], ends: [Point; 2]| cut_off(a, ends).max(cut_off(b, ends));
        let (own, other) = (crossed(p, q), crossed(r, s));
        if own != other {
            return other < own;
        }
        if own > 0 {
            let (own, other) = (left_out([r, s], [p, q]), left_out([p, q], [r, s]));
            if own != other {
                return other > own;
            }
            let (own, other) = (
                walls.hindrance(&Segment::new(p, q)),
                walls.hindrance(&Segment::new(r, s)),
            );
            if (own - other).abs() > SAME {
                return other < own;
            }
        }
        r.distance(s) < p.distance(q) * (1.0 - SAME)
    }

    /// Makes every free edge a Delaunay edge within the tolerance, then settles the squares.
    ///
    /// # Method
    /// Edges whose four corners lie on one circle join their triangles into cells (a square, seldom a
    /// larger polygon). In a cell the lower of the two surfaces is taken: the lower hull of its corners,
    /// reached by turning one edge at a time. It is unique, so the order of turning does not matter, and
    /// a tilt changes nothing; the lower one is taken so that material is never counted short.
    pub(super) fn settle(&mut self) -> Vec<Choice> {
        self.repair();
        let count = self.mesh.triangle_count() * 3;
        let open: Vec<u32> = {
            let this = &*self;
            (0..count)
                .into_par_iter()
                .filter(|&h| {
                    h < this.mesh.twin(h)
                        && this.is_inner(h)
                        && this.excess(h).abs() <= ON_CIRCLE
                        && this.is_convex(h)
                })
                .collect()
        };
        // Most cells are two triangles; larger ones are found by their shared triangles.
        let mut owner: HashMap<u32, u32> = HashMap::with_capacity(0);
        let mut met = vec![false; self.mesh.triangle_count() as usize];
        let mut shared = Vec::new();
        for &h in &open {
            for t in [h / 3, self.mesh.twin(h) / 3] {
                if met[t as usize] {
                    shared.push(t);
                }
                met[t as usize] = true;
            }
        }
        drop(met);
        for t in shared {
            owner.insert(t, t);
        }
        let mut choices = Vec::new();
        let mut larger: Vec<u32> = Vec::new();
        for &h in &open {
            let pair = [h / 3, self.mesh.twin(h) / 3];
            if pair.iter().any(|t| owner.contains_key(t)) {
                larger.push(h);
                continue;
            }
            if self.should_turn(h) {
                self.flip(h);
            }
            self.note(h, &mut choices);
        }
        for cell in cells(&larger, self.mesh) {
            self.settle_cell(&cell, &mut choices);
        }
        choices
    }

    /// Records the other diagonal when it makes a difference.
    fn note(&self, h: u32, choices: &mut Vec<Choice>) {
        if self.rise(h).is_some_and(|rise| rise > SAME_HEIGHT_M) {
            let [p, q, r, s] = self.quad(h).map(|e| self.corners[e as usize]);
            choices.push(Choice {
                corners: [p, s, q, r],
            });
        }
    }

    /// A cell of more than two triangles: turn edges to the lower hull; then note the way from there to
    /// the upper hull, one square at a time, so that the volumes between add up to the whole spread.
    fn settle_cell(&mut self, cell: &[u32], choices: &mut Vec<Choice>) {
        let bound = 4 * cell.len() * cell.len() * cell.len() + 16;
        for _ in 0..bound {
            let turn = self
                .edges_of(cell)
                .into_iter()
                .find(|&h| self.is_convex(h) && !self.is_flat(h) && self.should_turn(h));
            match turn {
                Some(h) => self.flip(h),
                None => break,
            }
        }
        for polygon in self.flat_polygons(cell) {
            self.cut_up_clearly(&polygon);
        }
        if self
            .edges_of(cell)
            .iter()
            .any(|&h| self.triangles_known(h).contains(&false))
        {
            return;
        }
        let lower: Vec<(u32, u32)> = cell
            .iter()
            .flat_map(|&t| t * 3..t * 3 + 3)
            .map(|h| (h, self.mesh.origin(h)))
            .collect();
        let mut turned = Vec::new();
        for _ in 0..bound {
            // The greatest rise first, so that a mirror or a turn goes the same way up.
            let up = self
                .edges_of(cell)
                .into_iter()
                .filter(|&h| self.is_convex(h))
                .filter_map(|h| self.rise(h).map(|rise| (rise, h)))
                .filter(|(rise, _)| *rise > SAME_HEIGHT_M)
                .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)))
                .map(|(_, h)| h);
            let Some(h) = up else { break };
            self.note(h, choices);
            self.flip(h);
            turned.push(h);
        }
        // Back to the lower hull: each turn undone. Three more turns bring an edge's triangles back
        // to where they stood.
        for &h in turned.iter().rev() {
            for _ in 0..3 {
                self.flip(h);
            }
        }
        debug_assert!(lower.iter().all(|&(h, v)| self.mesh.origin(h) == v));
    }

    /// Whether both diagonals give the same surface.
    fn is_flat(&self, h: u32) -> bool {
        self.rise(h).is_some_and(|rise| rise.abs() <= SAME_HEIGHT_M)
    }

    /// The pieces of a cell over which the surface is plane, of more than one triangle each, sorted.
    fn flat_polygons(&self, cell: &[u32]) -> Vec<Vec<u32>> {
        let flat: Vec<u32> = self
            .edges_of(cell)
            .into_iter()
            .filter(|&h| self.is_flat(h))
            .collect();
        cells(&flat, self.mesh)
    }

    /// Cuts up a plane polygon of corners on one circle so that joints spoil as little of it as can be; where that leaves a
    /// choice, so that walls cross its diagonals as seldom and as near to their middles as can be; and then so that the
    /// diagonals are shortest.
    ///
    /// Every way of cutting it up is weighed (the classical triangulation of a convex polygon), so that neither the order of
    /// the rows nor a turn or a mirror decides.
    fn cut_up_clearly(&mut self, polygon: &[u32]) {
        let corners = self.round(polygon);
        let n = corners.len();
        if !(4..=MOST_CORNERS).contains(&n) || n != polygon.len() + 2 {
            return;
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
        let side = |i: usize, j: usize| {
            if j - i < 2 || (i, j) == (0, n - 1) {
                return Cut::default();
            }
            let way = Segment::new(at(i), at(j));
            Cut {
                lost_m2: 0.0,
                hindrance: self.walls.map_or(0.0, |walls| walls.hindrance(&way)),
                length_m: way.length(),
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

    /// Inner edges between two triangles of a cell, in a fixed order.
    fn edges_of(&self, cell: &[u32]) -> Vec<u32> {
        cell.iter()
            .flat_map(|&t| t * 3..t * 3 + 3)
            .filter(|&h| {
                self.is_inner(h)
                    && h < self.mesh.twin(h)
                    && cell.binary_search(&(self.mesh.twin(h) / 3)).is_ok()
            })
            .collect()
    }

    /// Turns edges that plain arithmetic left on the wrong side of the in-circle test.
    fn repair(&mut self) {
        let count = self.mesh.triangle_count() * 3;
        let mut wrong: Vec<u32> = {
            let this = &*self;
            (0..count)
                .into_par_iter()
                .filter(|&h| h < this.mesh.twin(h) && this.is_wrong(h))
                .collect()
        };
        let mut budget = 1000 + 50 * wrong.len();
        while let Some(h) = wrong.pop() {
            if budget == 0 || !self.is_wrong(h) {
                continue;
            }
            budget -= 1;
            self.flip(h);
            let twin = self.mesh.twin(h);
            wrong.extend(beside(h));
            wrong.extend(beside(twin));
        }
    }

    fn is_wrong(&self, h: u32) -> bool {
        self.is_inner(h) && self.excess(h) < -ON_CIRCLE && self.is_convex(h)
    }
}

/// Triangles joined by open edges, each cell sorted.
fn cells(edges: &[u32], mesh: &Mesh) -> Vec<Vec<u32>> {
    let mut beside: HashMap<u32, Vec<u32>> = HashMap::new();
    for &h in edges {
        let (t, u) = (h / 3, mesh.twin(h) / 3);
        beside.entry(t).or_default().push(u);
        beside.entry(u).or_default().push(t);
    }
    let mut starts: Vec<u32> = beside.keys().copied().collect();
    starts.sort_unstable();
    let mut cells = Vec::new();
    for start in starts {
        let mut cell = Vec::new();
        let mut stack = vec![start];
        while let Some(t) = stack.pop() {
            if let Some(others) = beside.remove(&t) {
                cell.push(t);
                stack.extend(others);
            }
        }
        if !cell.is_empty() {
            cell.sort_unstable();
            cells.push(cell);
        }
    }
    cells
}
