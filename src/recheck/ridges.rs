//! Ridges on the finished floor, with the tie-ins they lie at.

use super::largest_of;
use crate::flatness::doubt::gap_doubt_m;
use crate::flatness::{JudgeOptions, Placement, humps};
use crate::geometry::{Point, Segment};
use crate::surface::{Floor, Source, Vertex};

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
/// Heights closer than this are the same, metres.
const SAME_M: f64 = 1e-6;
/// A place this near to a mark is the mark's, metres.
const ON_MARK_M: f64 = 0.01;
/// Most ridges listed.
pub const MOST_RIDGES: usize = 4;

/// Humps under a short edge on the finished floor, with the tie-ins they lie at, the highest first: [`MOST_RIDGES`] and, where there
/// are more, one more.
///
/// None is told that honest readings of a smooth floor would show somewhere on it: the doubt of a hump is that of one, and of as many as there are
/// marks, with an edge laid two ways across each, the largest comes to several times as much; nor one of a single step of the readings. A reading suspected of a slip makes no ridge of its neighbours; where it
/// stands proud itself it is told.
pub fn ridges(after: &Floor, tie_lines: &[TieLine], judged: &JudgeOptions) -> Vec<Ridge> {
    // Between readings a ridge may lie anywhere up to the next one.
    let near_m = after.spacing() / 2.0;
    let suspects: Vec<u32> = judged.suspects.iter().map(|s| s.reading).collect();
    let least_m = LEAST_RIDGE_M.max(judged.doubt.step_m);
    let marks = after.vertices().iter();
    let marks = marks.filter(|v| matches!(v.source, Source::Reading(_)));
    // Two ways across each mark, and no more than about one floor in ten that shows one by chance.
    let largest = largest_of(2 * 10 * marks.count());
    let told = |p: &Placement| {
        // The doubt is that of k = 2.
        let one_m = gap_doubt_m(after, Some(p), &judged.doubt, &judged.ties) / 2.0;
        p.gap_m > least_m.max(largest * one_m) + SAME_M
    };
    let suspected = |v: &Vertex| matches!(v.source, Source::Reading(r) if suspects.contains(&r));
    let on_suspect = |p: &Placement| {
        let mut places = after.vertices().iter().filter(|v| suspected(v));
        places.any(|v| v.at.distance(p.at) <= ON_MARK_M)
    };
    let mut found = humps(after, RIDGE_EDGE_M, MOST_RIDGES + 1, &suspects);
    if !suspects.is_empty() {
        let with = humps(after, RIDGE_EDGE_M, MOST_RIDGES + 1, &[]);
        found.extend(with.into_iter().filter(on_suspect));
        found.sort_by(|a, b| b.gap_m.total_cmp(&a.gap_m));
        found.truncate(MOST_RIDGES + 1);
    }
    found
        .into_iter()
        .filter(told)
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
