//! The floor's mesh one level finer: every triangle parted into four.

use super::floor::{Across, Beyond, Blank, Floor, Source, Vertex};
use crate::geometry::Point;
use std::collections::HashMap;

impl Floor {
    /// The same surface on a mesh one level finer: each triangle, and each blank piece, parted into four by the middles
    /// of its sides.
    ///
    /// Triangle `t` becomes `4 t .. 4 t + 4`, the first three at its corners in their order, the last in the middle. Corners
    /// keep their numbers; the middles follow.
    pub fn finer(&self) -> Floor {
        let count = self.vertices.len();
        let mut floor = Floor {
            vertices: self.vertices.clone(),
            triangles: Vec::with_capacity(4 * self.triangles.len()),
            covers: self.covers.iter().flat_map(|&c| [c; 4]).collect(),
            across: Vec::with_capacity(4 * self.triangles.len()),
            region: self.region.clone(),
            blanks: Vec::with_capacity(4 * self.blanks.len()),
            blank_places: Vec::new(),
            leans: self.leans.clone(),
            bends: self.bends.clone(),
            cut_from: HashMap::new(),
            spacing: self.spacing / 2.0,
            spacings: self.spacings.iter().map(|s| s / 2.0).collect(),
            ambiguous: Vec::new(),
            index: Default::default(),
        };
        let mut middles: HashMap<(u32, u32), u32> = HashMap::new();
        for (t, &corners) in self.triangles.iter().enumerate() {
            let middle = sides(corners).map(|side| {
                *middles
                    .entry(key(side))
                    .or_insert_with(|| floor.add_middle(side))
            });
            floor.triangles.extend(children(corners, middle));
            let beyond = [0, 1, 2].map(|e| self.beyond(t, e));
            let own = 4 * t as u32;
            floor.across.extend(
                inner(beyond)
                    .map(|edges| edges.map(|i| i.unwrap_or_else(|k| Across::Floor(own + k)))),
            );
        }
        self.finer_blanks(&mut floor, count as u32, &middles);
        floor
    }

    /// A vertex half way along a side.
    fn add_middle(&mut self, (a, b): (u32, u32)) -> u32 {
        let (p, q) = (self.vertices[a as usize], self.vertices[b as usize]);
        let carried = [p, q].iter().any(|v| v.source == Source::Extended);
        let number = self.vertices.len() as u32;
        let bend = (self.bend_m(a) + self.bend_m(b)) / 2.0;
        self.vertices.push(Vertex {
            at: p.at.lerp(q.at, 0.5),
            z: (p.z + q.z) / 2.0,
            source: if carried {
                Source::Extended
            } else {
                Source::Between
            },
        });
        let spacing = (self.spacings[a as usize] + self.spacings[b as usize]) / 2.0;
        self.spacings.push(spacing);
        if bend > 0.0 {
            self.bends.insert(number, bend);
        }
        number
    }

    /// What lies across the two halves of a triangle's edge, that at its start first.
    fn beyond(&self, t: usize, edge: usize) -> [Across; 2] {
        let [from, to] = ends(self.triangles[t], edge).map(|v| self.place(v));
        match self.across[t][edge] {
            Across::Edge => [Across::Edge; 2],
            Across::Floor(other) => self
                .halves(self.triangles[other as usize], (to, from))
                .map(|k| Across::Floor(4 * other + k)),
            Across::Joint(other) => self
                .halves(self.triangles[other as usize], (to, from))
                .map(|k| Across::Joint(4 * other + k)),
            Across::Blank(other) => self
                .halves(self.blanks[other as usize].corners, (to, from))
                .map(|k| Across::Blank(4 * other + k)),
        }
    }

    /// Which quarters of a piece lie along its side from `from` to `to`, that at the end of the side first: as the
    /// neighbour beyond meets them.
    fn halves(&self, corners: [u32; 3], (from, to): (Point, Point)) -> [u32; 2] {
        let edge = (0..3).find(|&e| ends(corners, e).map(|v| self.place(v)) == [from, to]);
        let edge = edge.unwrap_or(0) as u32;
        [(edge + 1) % 3, edge]
    }

    fn finer_blanks(&self, finer: &mut Floor, count: u32, middles: &HashMap<(u32, u32), u32>) {
        let vertices = finer.vertices.len() as u32;
        let moved = |v: u32| if v < count { v } else { v - count + vertices };
        let mut places = self.blank_places.clone();
        let mut own: HashMap<(u32, u32), u32> = HashMap::new();
        for (b, blank) in self.blanks.iter().enumerate() {
            let middle = sides(blank.corners).map(|side| {
                let id = key(side);
                middles.get(&id).copied().unwrap_or_else(|| {
                    *own.entry(id).or_insert_with(|| {
                        places.push(self.place(side.0).lerp(self.place(side.1), 0.5));
                        vertices + places.len() as u32 - 1
                    })
                })
            });
            let corners = children(blank.corners.map(moved), middle);
            let beyond = [0, 1, 2].map(|e| {
                let [from, to] = ends(blank.corners, e).map(|v| self.place(v));
                match blank.across[e] {
                    Beyond::Edge => [Beyond::Edge; 2],
                    Beyond::Floor(other) => self
                        .halves(self.triangles[other as usize], (to, from))
                        .map(|k| Beyond::Floor(4 * other + k)),
                    Beyond::Blank(other) => self
                        .halves(self.blanks[other as usize].corners, (to, from))
                        .map(|k| Beyond::Blank(4 * other + k)),
                }
            });
            let own = 4 * b as u32;
            let joint = inner([0, 1, 2].map(|e| [blank.joint[e]; 2]));
            for ((corners, across), joint) in corners.into_iter().zip(inner(beyond)).zip(joint) {
                finer.blanks.push(Blank {
                    corners,
                    across: across.map(|i| i.unwrap_or_else(|k| Beyond::Blank(own + k))),
                    joint: joint.map(|j| j.unwrap_or(false)),
                });
            }
        }
        finer.blank_places = places;
    }
}

fn ends(corners: [u32; 3], edge: usize) -> [u32; 2] {
    [corners[edge], corners[(edge + 1) % 3]]
}

fn sides(corners: [u32; 3]) -> [(u32, u32); 3] {
    [0, 1, 2].map(|e| (corners[e], corners[(e + 1) % 3]))
}

fn key((a, b): (u32, u32)) -> (u32, u32) {
    (a.min(b), a.max(b))
}

/// The four quarters of a triangle: at its corners, and the middle one.
fn children([a, b, c]: [u32; 3], [ab, bc, ca]: [u32; 3]) -> [[u32; 3]; 4] {
    [[a, ab, ca], [b, bc, ab], [c, ca, bc], [ab, bc, ca]]
}

/// For the edges of the four quarters what lies beyond, given that of the halves of the whole triangle's edges; the number of
/// a quarter of the same triangle as an error.
fn inner<T: Copy>([ab, bc, ca]: [[T; 2]; 3]) -> [[Result<T, u32>; 3]; 4] {
    [
        [Ok(ab[0]), Err(3), Ok(ca[1])],
        [Ok(bc[0]), Err(3), Ok(ab[1])],
        [Ok(ca[0]), Err(3), Ok(bc[1])],
        [Err(1), Err(2), Err(0)],
    ]
}
