//! Which diagonal of a square: a choice that no shift, turn, tilt or order of rows can change.

use super::fans::beside;
use super::lines::{JOINT, Lines};
use super::spacing::GAP;
use crate::geometry::{Mesh, NONE, Point, circle_excess, next, orient, prev};
use rayon::prelude::*;
use std::collections::HashMap;

/// Four corners count as lying on one circle when the sine of their angle sum is smaller than this: half a degree, as a
/// grid of 0.6 m has it whose places were measured or written to 2 mm. Nearer than that nothing but rounding would choose
/// the diagonal.
pub const ON_CIRCLE: f64 = 0.01;

/// Heights nearer than this are the same surface, metres: less than any instrument reads, more than places and units round
/// them by.
const SAME_HEIGHT_M: f64 = 1e-6;

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
    pub(super) fn is_inner(&self, h: u32) -> bool {
        let twin = self.mesh.twin(h);
        twin != NONE
            && !self.mesh.is_fixed(h)
            && self.inside[(h / 3) as usize]
            && self.inside[(twin / 3) as usize]
    }

    /// The quadrilateral round an inner edge: its ends `p q`, its apex `r`, the apex beyond `s`;
    /// half-edges that leave them.
    pub(super) fn quad(&self, h: u32) -> [u32; 4] {
        let twin = self.mesh.twin(h);
        [h, twin, prev(h), prev(twin)]
    }

    pub(super) fn at(&self, h: u32) -> Point {
        self.mesh.point(self.mesh.origin(h))
    }

    pub(super) fn excess(&self, h: u32) -> f64 {
        let [p, q, r, s] = self.quad(h).map(|e| self.at(e));
        // Counter-clockwise q r p s, cut by the diagonal q p.
        circle_excess(q, r, p, s)
    }

    fn is_convex(&self, h: u32) -> bool {
        let [p, q, r, s] = self.quad(h).map(|e| self.at(e));
        orient(r, s, p) < 0.0 && orient(r, s, q) > 0.0
    }

    pub(super) fn flip(&mut self, h: u32) {
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
                Some(walls) => self.is_clearer(h, walls).unwrap_or(false),
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

    /// Where a joint runs in one of the halves of a square, or along one of its diagonals, whether the other diagonal keeps more
    /// of the halves whole. Heights do not choose there: across the joint the two sides have nothing to do with each other.
    fn along_joint(&self, h: u32) -> Option<bool> {
        let walls = self.walls.filter(|w| w.has_joints())?;
        let [p, q, r, s] = self.quad(h).map(|e| self.at(e));
        let cut = |halves: [[Point; 3]; 2]| {
            let cut = halves.iter().filter(|&&three| walls.runs_in(three, JOINT));
            cut.count()
        };
        let (own, other) = (cut([[p, q, r], [p, q, s]]), cut([[r, s, p], [r, s, q]]));
        (own != other).then_some(own > other)
    }

    /// Where walls part the corners of a square, whether the other diagonal leaves more of its halves whole; where as many, the clearer one.
    /// What is read is a matter of where marks and walls stand, and heights do not choose there.
    fn beside_walls(&self, h: u32) -> Option<bool> {
        let walls = self.walls?;
        let at = self.quad(h).map(|e| self.at(e));
        // What is wide is no floor between readings either way.
        if is_wide(&at) || !walls.stand_in(&at) {
            return None;
        }
        let group = seeing_groups(walls, &at);
        let lost = |halves: [[usize; 3]; 2]| {
            let whole = |half: &[usize; 3]| half.iter().all(|&k| group[k] == group[half[0]]);
            halves.iter().filter(|half| !whole(half)).count()
        };
        let (own, other) = (lost([[0, 1, 2], [0, 1, 3]]), lost([[2, 3, 0], [2, 3, 1]]));
        match own + other {
            0 => None,
            _ if own != other => Some(own > other),
            _ => self.is_clearer(h, walls),
        }
    }

    /// Whether what is read of a cell would hang on how it is cut up: walls part its corners, which fall into groups of which none sees
    /// another; or it is so wide that only some of its triangles are close enough to count as read.
    fn is_parted(&self, cell: &[u32]) -> bool {
        let Some(walls) = self.walls else {
            return false;
        };
        let mut corners: Vec<u32> = cell.iter().flat_map(|&t| self.mesh.triangle(t)).collect();
        corners.sort_unstable();
        corners.dedup();
        let at: Vec<Point> = corners.iter().map(|&v| self.mesh.point(v)).collect();
        is_wide(&at) || (walls.stand_in(&at) && seeing_groups(walls, &at).iter().any(|g| *g != 0))
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
            let by_lines = self.along_joint(h).or_else(|| self.beside_walls(h));
            if by_lines.unwrap_or_else(|| self.should_turn(h)) {
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
        // What of it is read must not hang on what was read there.
        if self.is_parted(cell) && self.cut_up_clearly(cell) {
            return;
        }
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
    pub(super) fn is_flat(&self, h: u32) -> bool {
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

    /// Inner edges between two triangles of a cell, in a fixed order.
    pub(super) fn edges_of(&self, cell: &[u32]) -> Vec<u32> {
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
/// Whether some corners lie farther apart than readings may that floor is read between, by the nearest two of them.
fn is_wide(corners: &[Point]) -> bool {
    let apart = |of: fn(f64, f64) -> f64, from: f64| {
        let pairs = (1..corners.len()).flat_map(|j| (0..j).map(move |i| (i, j)));
        let far = |(i, j): (usize, usize)| corners[i].distance(corners[j]);
        pairs.map(far).fold(from, of)
    };
    apart(f64::max, 0.0) > GAP * apart(f64::min, f64::INFINITY)
}

/// Of the corners of a cell which hang together by straight ways over floor: each has the number of the first of its group.
fn seeing_groups(walls: &Lines, corners: &[Point]) -> Vec<usize> {
    // From a hair within the cell: a mark on a column's face sees nothing through the column, and all on its own side.
    const HAIR: f64 = 4e-3;
    let middle =
        corners.iter().fold(Point::default(), |sum, c| sum + *c) * (1.0 / corners.len() as f64);
    let at: Vec<Point> = corners.iter().map(|c| *c + (middle - *c) * HAIR).collect();
    let mut group: Vec<usize> = (0..at.len()).collect();
    for j in 1..at.len() {
        for i in 0..j {
            let (low, high) = (group[i].min(group[j]), group[i].max(group[j]));
            if low != high && walls.is_over_floor(at[i], at[j]) {
                group
                    .iter_mut()
                    .filter(|g| **g == high)
                    .for_each(|g| *g = low);
            }
        }
    }
    group
}
