//! Floors from given triangles.

use super::floor::{Across, Cover, Floor, Source, Vertex};
use super::{FloorError, spacing::median};
use crate::geometry::Region;
use std::collections::HashMap;
use std::sync::OnceLock;

impl Floor {
    /// A floor from its triangles, for surfaces that are given rather than read.
    ///
    /// Triangles that share two vertices lie side by side; a joint is made by giving each side vertices
    /// of its own (then nothing lies across). Vertices with [`Source::Extended`] make a triangle count
    /// as extended. The region is taken as it is; triangles outside it are not looked for.
    /// # Errors
    /// [`FloorError::Triangle`] for a vertex that does not exist or is not finite, a triangle that is not
    /// counter-clockwise with an area above zero, an edge shared by more than two triangles.
    pub fn from_parts(
        vertices: Vec<Vertex>,
        triangles: Vec<[u32; 3]>,
        region: Region,
    ) -> Result<Self, FloorError> {
        let fault = |triangle: usize, what: &'static str| FloorError::Triangle { triangle, what };
        let mut half: HashMap<(u32, u32), u32> = HashMap::with_capacity(triangles.len() * 3);
        for (t, corners) in triangles.iter().enumerate() {
            let mut at = [crate::geometry::Point::default(); 3];
            for (p, &v) in at.iter_mut().zip(corners) {
                let v = vertices
                    .get(v as usize)
                    .ok_or_else(|| fault(t, "it names a vertex that does not exist"))?;
                if !(v.at.x.is_finite() && v.at.y.is_finite() && v.z.is_finite()) {
                    return Err(fault(t, "a corner is not finite"));
                }
                *p = v.at;
            }
            if crate::geometry::orient(at[0], at[1], at[2]) <= 0.0 {
                return Err(fault(t, "its corners are not counter-clockwise"));
            }
            for k in 0..3 {
                let edge = (corners[k], corners[(k + 1) % 3]);
                if half.insert(edge, t as u32).is_some() {
                    return Err(fault(t, "an edge is shared by more than two triangles"));
                }
            }
        }
        let across = triangles
            .iter()
            .map(|c| {
                [0, 1, 2].map(|k| {
                    half.get(&(c[(k + 1) % 3], c[k]))
                        .map_or(Across::Edge, |&t| Across::Floor(t))
                })
            })
            .collect();
        let covers = triangles
            .iter()
            .map(|c| {
                if c.iter()
                    .all(|&v| matches!(vertices[v as usize].source, Source::Reading(_)))
                {
                    Cover::Surveyed
                } else {
                    Cover::Extended
                }
            })
            .collect();
        let mut lengths: Vec<Vec<f64>> = vec![Vec::new(); vertices.len()];
        for &(a, b) in half.keys() {
            let d = vertices[a as usize].at.distance(vertices[b as usize].at);
            lengths[a as usize].push(d);
            if !half.contains_key(&(b, a)) {
                lengths[b as usize].push(d);
            }
        }
        let spacings: Vec<f64> = lengths
            .iter_mut()
            .map(|l| median(l).unwrap_or(0.0))
            .collect();
        let spacing = median(&mut spacings.clone()).unwrap_or(0.0);
        Ok(Self {
            vertices,
            triangles,
            covers,
            across,
            region,
            blanks: Vec::new(),
            blank_places: Vec::new(),
            leans: HashMap::new(),
            bends: HashMap::new(),
            cut_from: HashMap::new(),
            spacing,
            spacings,
            ambiguous: Vec::new(),
            index: OnceLock::new(),
        })
    }
}
