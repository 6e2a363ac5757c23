//! Heights on the floor, and gaps under chords, as sums over vertex heights.

use crate::geometry::Point;
use crate::surface::{Floor, Source};
use std::collections::HashMap;

/// The height of one spot as a weighted sum of vertex heights; the weights add up to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    /// Vertices; where fewer than four are needed the rest weigh nothing.
    pub vertices: [u32; 4],
    /// Their weights.
    pub weights: [f64; 4],
}

impl Spot {
    /// The spot a share `w` of the way from vertex `p` to vertex `q`.
    pub fn edge(p: u32, q: u32, w: f64) -> Self {
        Self {
            vertices: [p, q, p, p],
            weights: [1.0 - w, w, 0.0, 0.0],
        }
    }

    /// A spot in a triangle.
    pub fn triangle(corners: [u32; 3], weights: [f64; 3]) -> Self {
        Self {
            vertices: [corners[0], corners[1], corners[2], corners[0]],
            weights: [weights[0], weights[1], weights[2], 0.0],
        }
    }

    /// The spot a share `t` of the way between two spots on edges of one triangle.
    pub fn between(a: Station, b: Station, t: f64) -> Self {
        Self {
            vertices: [a.p, a.q, b.p, b.q],
            weights: [
                (1.0 - t) * (1.0 - a.w),
                (1.0 - t) * a.w,
                t * (1.0 - b.w),
                t * b.w,
            ],
        }
    }
}

/// Where a line crosses a mesh edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Station {
    /// Distance along the line, metres.
    pub s: f64,
    /// Height there, metres.
    pub z: f64,
    /// First vertex of the edge.
    pub p: u32,
    /// Second vertex of the edge.
    pub q: u32,
    /// Share of the way from `p` to `q`.
    pub w: f64,
}

/// Chord height minus floor height at one spot, as a weighted sum of vertex heights.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Chord {
    /// Vertex and weight, in ascending order of vertex, none twice; the weights add up to 0.
    pub terms: Vec<(u32, f64)>,
}

impl Chord {
    /// The chord from `a` to `b` over `m`, a share `t` of the way.
    pub fn new(a: &Spot, m: &Spot, b: &Spot, t: f64) -> Self {
        let mut terms: Vec<(u32, f64)> = Vec::with_capacity(12);
        for (spot, factor) in [(a, 1.0 - t), (b, t), (m, -1.0)] {
            for i in 0..4 {
                terms.push((spot.vertices[i], factor * spot.weights[i]));
            }
        }
        Self::of(terms)
    }

    /// The same over marks, each vertex's weight at those that it follows.
    pub fn at(&self, marks: &Follows) -> Self {
        let moved = |&(v, w): &(u32, f64)| {
            let list = marks[v as usize].iter();
            list.map(move |&(mark, share)| (mark, w * share))
        };
        Self::of(self.terms.iter().flat_map(moved).collect())
    }

    /// A sum of weighted heights.
    pub fn of(mut terms: Vec<(u32, f64)>) -> Self {
        terms.sort_by_key(|&(v, _)| v);
        terms.dedup_by(|next, kept| {
            let same = next.0 == kept.0;
            if same {
                kept.1 += next.1;
            }
            same
        });
        terms.retain(|&(_, w)| w != 0.0);
        Self { terms }
    }

    /// Chord minus floor for given vertex heights: positive over a dip, negative over a hump.
    pub fn gap(&self, z: &[f64]) -> f64 {
        self.terms.iter().map(|&(v, w)| w * z[v as usize]).sum()
    }
}

/// The third of the plan area around each vertex: what one metre of depth there adds in volume.
pub(super) fn vertex_areas(floor: &Floor) -> Vec<f64> {
    let mut areas = vec![0.0; floor.vertices().len()];
    for (t, corners) in floor.triangles().iter().enumerate() {
        let share = floor.triangle_area(t as u32) / 3.0;
        for &v in corners {
            areas[v as usize] += share;
        }
    }
    areas
}

/// Of each vertex of a floor the marks that it follows, as vertices of the floor that is patched, with their shares: what is laid there is so
/// much of what is laid at them. The shares add up to 1.
pub(super) type Follows = Vec<Vec<(u32, f64)>>;

/// The vertex that stands for each mark, by the indices of its readings: a reading on a joint has a vertex on either side, and one mark may have
/// been read more than once; what is laid there is measured out once.
pub(super) struct Marks(HashMap<u32, u32>);

/// Marks this many times as far off as the nearest are as near: a turn of the room must not choose among the corners of a square.
const AS_NEAR: f64 = 1.01;

impl Marks {
    pub fn of(floor: &Floor) -> Self {
        let mut first: HashMap<u32, u32> = HashMap::new();
        for (v, vertex) in (0u32..).zip(floor.vertices()) {
            if let Source::Reading(r) = vertex.source {
                let stands = *first.entry(r).or_insert(v);
                for (copy, _) in floor.leans(v) {
                    first.entry(copy).or_insert(stands);
                }
            }
        }
        Self(first)
    }

    /// The vertex that stands for the mark of a reading.
    pub fn get(&self, reading: u32) -> Option<u32> {
        self.0.get(&reading).copied()
    }

    /// What is laid at each vertex when the marks are worked: at a corner of a wall between readings what lies between them; past the last
    /// readings as much as at the nearest of them, since a crew runs on to the wall as it comes; where chords are judged out there, as `at_reach`
    /// names such vertices, on as the marks go, since that is how it will be read.
    pub fn laid(&self, floor: &Floor, at_reach: &[bool]) -> Follows {
        self.follow(floor, |v, at, leans| {
            if at_reach[v as usize] {
                return self.shares(leans);
            }
            let far = |r: u32| {
                let mark = self.get(r)?;
                Some((mark, floor.vertices()[mark as usize].at.distance(at)))
            };
            let near: Vec<(u32, f64)> = leans.iter().filter_map(|l| far(l.0)).collect();
            let least = near.iter().map(|n| n.1).fold(f64::INFINITY, f64::min);
            let mut nearest: Vec<u32> = near
                .into_iter()
                .filter(|n| n.1 <= least * AS_NEAR)
                .map(|n| n.0)
                .collect();
            nearest.sort_unstable();
            nearest.dedup();
            let share = 1.0 / nearest.len().max(1) as f64;
            nearest.into_iter().map(|mark| (mark, share)).collect()
        })
    }

    /// How the heights of a floor follow its readings: past the last of them as they are carried out.
    pub fn read(&self, floor: &Floor) -> Follows {
        self.follow(floor, |_, _, leans| self.shares(leans))
    }

    /// Shares of readings as shares of their marks.
    fn shares(&self, leans: &[(u32, f64)]) -> Vec<(u32, f64)> {
        let named = |&(r, share): &(u32, f64)| Some((self.get(r)?, share));
        leans.iter().filter_map(named).collect()
    }

    fn follow(
        &self,
        floor: &Floor,
        carried: impl Fn(u32, Point, &[(u32, f64)]) -> Vec<(u32, f64)>,
    ) -> Follows {
        (0u32..)
            .zip(floor.vertices())
            .map(|(v, vertex)| match vertex.source {
                Source::Reading(r) => self.get(r).map(|mark| (mark, 1.0)).into_iter().collect(),
                Source::Between => self.shares(&floor.leans(v)),
                Source::Extended => carried(v, vertex.at, &floor.leans(v)),
            })
            .collect()
    }
}
