//! Heights on the floor, and gaps under chords, as sums over vertex heights.

use crate::surface::{Floor, Source, Vertex};
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

    /// The same with each vertex's weight at another, as of the one that stands for all of its mark.
    pub fn at(&self, other: &[u32]) -> Self {
        let moved = |&(v, w): &(u32, f64)| (other[v as usize], w);
        Self::of(self.terms.iter().map(moved).collect())
    }

    fn of(mut terms: Vec<(u32, f64)>) -> Self {
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

/// Of each vertex the one that stands for its mark: a reading on a joint has a vertex on either side, and what is laid there is measured out once.
pub(super) fn marks_of(floor: &Floor) -> Vec<u32> {
    let mut first: HashMap<u32, u32> = HashMap::new();
    let vertices = (0u32..).zip(floor.vertices());
    let of = |(v, vertex): (u32, &Vertex)| match vertex.source {
        Source::Reading(r) => *first.entry(r).or_insert(v),
        Source::Between | Source::Extended => v,
    };
    vertices.map(of).collect()
}
