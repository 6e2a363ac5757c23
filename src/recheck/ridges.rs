//! Ridges on the finished floor, with the tie-ins they lie at.

use crate::flatness::{Placement, humps};
use crate::geometry::{Point, Segment};
use crate::surface::Floor;

/// A ridge under a short edge laid across it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ridge {
    /// The placement.
    pub placement: Placement,
    /// The two batches whose tie-in lies there, by the plan of the pour.
    pub tie_in: Option<(u32, u32)>,
}

/// A stretch along which a batch was to be tied to an earlier one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TieLine {
    /// Its ends.
    pub ends: [Point; 2],
    /// The two batches, the earlier first.
    pub batches: (u32, u32),
}

/// Edge that ridges are sought with, metres: 2 ft. Common practice, no published source.
const RIDGE_EDGE_M: f64 = 0.6096;
/// Ridges lower than this are trowel marks, metres.
const LEAST_RIDGE_M: f64 = 0.001;
/// Most ridges listed.
pub const MOST_RIDGES: usize = 4;

/// Humps under a short edge on the finished floor, with the tie-ins they lie at, the highest first: [`MOST_RIDGES`] and, where there
/// are more, one more.
pub fn ridges(after: &Floor, tie_lines: &[TieLine]) -> Vec<Ridge> {
    // Between readings a ridge may lie anywhere up to the next one.
    let near_m = after.spacing() / 2.0;
    humps(after, RIDGE_EDGE_M, MOST_RIDGES + 1)
        .into_iter()
        .filter(|p: &Placement| p.gap_m > LEAST_RIDGE_M)
        .map(|placement| Ridge {
            placement,
            tie_in: tie_in_at(tie_lines, placement.at, near_m),
        })
        .collect()
}

/// The batches whose planned tie-in passes a place, the nearest tie-in first.
fn tie_in_at(tie_lines: &[TieLine], at: Point, near_m: f64) -> Option<(u32, u32)> {
    tie_lines
        .iter()
        .map(|line| {
            let [from, to] = line.ends;
            (line, Segment::new(from, to).distance(at))
        })
        .filter(|(_, away)| *away <= near_m)
        .min_by(|x, y| x.1.total_cmp(&y.1))
        .map(|(line, _)| line.batches)
}
