//! The floor's mesh as finite elements: what a field on it weighs and how stiff it is.

use crate::surface::{Across, Floor};
use nalgebra_sparse::{CooMatrix, CscMatrix};

/// Linear elements on a floor's mesh.
pub(super) struct Elements {
    /// Plan area that falls to each vertex, square metres.
    pub(super) mass: Vec<f64>,
    /// Stiffness of the plane Laplace operator; nothing flows across walls, voids and joints.
    pub(super) stiffness: CscMatrix<f64>,
    /// Which plate each vertex belongs to: floor that hangs together without crossing a joint. `None` where no floor touches
    /// the vertex, as at a mark too far from all others.
    pub(super) plate: Vec<Option<u32>>,
    pub(super) plates: u32,
}

impl Elements {
    pub(super) fn new(floor: &Floor) -> Self {
        let n = floor.vertices().len();
        let mut mass = vec![0.0; n];
        let mut stiffness = CooMatrix::new(n, n);
        for (t, corners) in floor.triangles().iter().enumerate() {
            let [a, b, c] = floor.corners(t as u32).map(|v| v.at);
            let twice = (b - a).cross(c - a);
            let opposite = [c - b, a - c, b - a];
            for (i, &v) in corners.iter().enumerate() {
                mass[v as usize] += twice / 6.0;
                for (j, &w) in corners.iter().enumerate() {
                    let own = opposite[i].dot(opposite[j]) / (2.0 * twice);
                    stiffness.push(v as usize, w as usize, own);
                }
            }
        }
        let (plate, plates) = plates(floor);
        // A vertex without floor keeps the equations solvable and means nothing.
        let usual = mass.iter().sum::<f64>() / n.max(1) as f64;
        for (v, mass) in mass.iter_mut().enumerate() {
            if plate[v].is_none() {
                *mass = usual;
                stiffness.push(v, v, 0.0);
            }
        }
        Self {
            mass,
            stiffness: CscMatrix::from(&stiffness),
            plate,
            plates,
        }
    }
}

/// The plate of each vertex, and how many there are.
fn plates(floor: &Floor) -> (Vec<Option<u32>>, u32) {
    let count = floor.triangles().len();
    let mut of: Vec<Option<u32>> = vec![None; floor.vertices().len()];
    let mut seen = vec![false; count];
    let mut plates = 0;
    for start in 0..count {
        if seen[start] {
            continue;
        }
        let mut stack = vec![start as u32];
        seen[start] = true;
        // A plate that meets another in a joint's end is one with it.
        let corners = floor.triangles()[start].iter();
        let known = corners.filter_map(|&v| of[v as usize]);
        let own = known.min().unwrap_or(plates);
        while let Some(t) = stack.pop() {
            for &v in &floor.triangles()[t as usize] {
                of[v as usize] = Some(of[v as usize].map_or(own, |p| p.min(own)));
            }
            for e in 0..3 {
                if let Across::Floor(next) = floor.across(t, e)
                    && !std::mem::replace(&mut seen[next as usize], true)
                {
                    stack.push(next);
                }
            }
        }
        plates = plates.max(own + 1);
    }
    (of, plates)
}
