//! Where a floor changed since it was looked over: chords elsewhere show what they showed.

use super::programme::Row;
use crate::geometry::{Point, PointGrid};
use crate::surface::Floor;
use std::collections::{HashMap, HashSet};

/// Heights that differ by less are the same, metres: far less than any plan is proven to.
const SAME_M: f64 = 1e-6;

/// A floor as it was looked over.
pub(super) struct Before {
    /// Heights of its corners.
    z: Vec<f64>,
    /// Corners under chords that were found to break a limit.
    broken: Vec<bool>,
}

impl Before {
    /// The same mesh is looked over again with other heights: which of its corners count as changed.
    pub fn changed(&mut self, floor: &Floor) -> Vec<bool> {
        let heights = self.z.iter_mut().zip(floor.vertices());
        heights
            .zip(&self.broken)
            .map(|((was, is), broken)| {
                // What drifts by less at a time is held against where it was last looked at.
                let changed = *broken || (*was - is.z).abs() > SAME_M;
                if changed {
                    *was = is.z;
                }
                changed
            })
            .collect()
    }

    /// A floor that is looked over for the first time.
    pub fn first(floor: &Floor) -> Self {
        Self {
            z: floor.vertices().iter().map(|v| v.z).collect(),
            broken: vec![false; floor.vertices().len()],
        }
    }

    /// Keeps where chords were found to break a limit.
    pub fn keep(&mut self, rows: &[Row]) {
        self.broken.fill(false);
        for &(v, _) in rows.iter().flat_map(|row| &row.chord.terms) {
            self.broken[v as usize] = true;
        }
    }
}

/// The corners of a floor that another one does not have: of triangles that it folds otherwise, or at other heights. Corners are told by where they
/// stand, since each floor counts its own.
pub(super) fn unlike(floor: &Floor, other: &Floor) -> Vec<bool> {
    type Place = (u64, u64);
    let place = |p: Point| ((p.x + 0.0).to_bits(), (p.y + 0.0).to_bits());
    let folds = |floor: &Floor, t: u32| -> [Place; 3] {
        let mut corners = floor.corners(t).map(|v| place(v.at));
        corners.sort_unstable();
        corners
    };
    let theirs: HashSet<[Place; 3]> = (0..other.triangles().len() as u32)
        .map(|t| folds(other, t))
        .collect();
    let mut heights: HashMap<Place, Vec<f64>> = HashMap::new();
    for v in other.vertices() {
        heights.entry(place(v.at)).or_default().push(v.z);
    }
    let mut unlike: Vec<bool> = (floor.vertices().iter())
        .map(|v| {
            let same = heights.get(&place(v.at));
            same.is_none_or(|list| list.iter().all(|z| (z - v.z).abs() > SAME_M))
        })
        .collect();
    for t in 0..floor.triangles().len() as u32 {
        if !theirs.contains(&folds(floor, t)) {
            for &v in &floor.triangles()[t as usize] {
                unlike[v as usize] = true;
            }
        }
    }
    unlike
}

/// Corners from which a chord of this reach may pass over floor that changed.
pub(super) fn within_reach(floor: &Floor, changed: &[bool], reach_m: f64) -> Vec<bool> {
    // A chord that ends this side of a changed corner may still lie on a triangle of it.
    let sides = (0..floor.triangles().len() as u32).flat_map(|t| {
        let [a, b, c] = floor.corners(t).map(|v| v.at);
        [a.distance(b), b.distance(c), c.distance(a)]
    });
    let far_m = reach_m + sides.fold(0.0, f64::max);
    let grid = PointGrid::new(floor.vertices().iter().map(|v| v.at).collect());
    let around = Point::new(far_m, far_m);
    let mut near = vec![false; changed.len()];
    for (v, _) in floor.vertices().iter().zip(changed).filter(|(_, is)| **is) {
        for other in grid.in_box(v.at - around, v.at + around) {
            let other = other as usize;
            near[other] |= floor.vertices()[other].at.distance(v.at) <= far_m;
        }
    }
    near
}
