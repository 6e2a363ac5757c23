//! What a word must not hang on: readings that may be slips, and blocks of readings that may lie off all the others.

use super::verdict::EQUAL_M;
use super::words::Words;
use super::{Chance, Likely, Measured, Outcome, PartResult, Verdict};
use crate::surface::{Floor, Source};

/// A reading that may be a slip of the hand or the eye.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suspect {
    /// Its index in the survey.
    pub reading: u32,
    /// Its name.
    pub name: String,
}

/// Readings that may all lie by one amount off the others: a line that was bumped, a set-up that one mark alone ties.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// Their indices in the survey, rising.
    pub readings: Vec<u32>,
    /// How far they lie above those beside them, metres.
    pub above_m: f64,
    /// What may be the matter, as a sentence names it.
    pub name: String,
}

impl Block {
    fn share_of(&self, floor: &Floor, vertex: u32) -> f64 {
        let leans = floor.leans(vertex).into_iter();
        leans
            .filter(|(reading, _)| self.readings.binary_search(reading).is_ok())
            .map(|(_, share)| share)
            .sum()
    }

    /// Whether a vertex is a mark that was read in the block and out of it: the one mark that ties it. One of its two readings is then
    /// wrong, and nobody knows which.
    fn is_tie(&self, floor: &Floor, vertex: u32, share: f64) -> bool {
        let is_mark = matches!(floor.vertices()[vertex as usize].source, Source::Reading(_));
        is_mark && share > EQUAL_SHARE && share < 1.0 - EQUAL_SHARE
    }
}

/// Shares nearer to none or all of a height than this are that.
const EQUAL_SHARE: f64 = 1e-9;

/// The floor as it would be if these blocks lay off by one amount each: with that taken off. `None` where none is in it.
pub(super) fn levelled(floor: &Floor, blocks: &[Block]) -> Option<Floor> {
    let count = floor.vertices().len() as u32;
    let mut heights: Vec<f64> = floor.vertices().iter().map(|v| v.z).collect();
    let mut ties = Vec::new();
    for block in blocks {
        for v in 0..count {
            let share = block.share_of(floor, v);
            heights[v as usize] -= share * block.above_m;
            if block.is_tie(floor, v, share) {
                ties.push((v, share * block.above_m, block.above_m));
            }
        }
    }
    // Of the two heights that its readings give a tie, the one nearer to the marks beside it.
    let level = heights.clone();
    for (v, taken_m, above_m) in ties {
        let mut beside: Vec<u32> = (floor.triangles().iter())
            .filter(|t| t.contains(&v))
            .flatten()
            .copied()
            .filter(|&u| u != v)
            .collect();
        beside.sort_unstable();
        beside.dedup();
        let sum: f64 = beside.iter().map(|&u| level[u as usize]).sum();
        let usual = sum / beside.len().max(1) as f64;
        let own = level[v as usize] + taken_m;
        let with = own - above_m;
        heights[v as usize] = if (with - usual).abs() < (own - usual).abs() {
            with
        } else {
            own
        };
    }
    let moved = (floor.vertices().iter().zip(&heights)).any(|(v, z)| (v.z - z).abs() > EQUAL_M);
    moved.then(|| floor.with_heights(&heights))?
}

/// A part's word, where that of the levelled floor is another: both may be so, and neither is told for the floor.
pub(super) fn hanging_on_blocks(
    result: PartResult,
    levelled: &PartResult,
    (words, blocks): (Words, &[Block]),
) -> PartResult {
    let clear = |r: &PartResult| [Verdict::Out, Verdict::Within].contains(&r.verdict());
    if !clear(&result) || result.verdict() == levelled.verdict() {
        return result;
    }
    let other = levelled.measured();
    let outcome = match result.outcome {
        Outcome::Out(found) | Outcome::Within(found) => Outcome::InDoubt(Measured {
            chance: either(found.chance, other.and_then(|m| m.chance)),
            likely: over_both(found.likely, other.and_then(|m| m.likely)),
            ..found
        }),
        other => other,
    };
    let names: Vec<String> = blocks.iter().map(|b| b.name.clone()).collect();
    let gap = |r: Option<f64>| r.map(|m| words.gap_against(m, result.allowance_m));
    let own = gap(outcome.measured().map(|m| m.largest_m())).unwrap_or_default();
    let without = gap(levelled.measured().map(|m| m.largest_m()));
    let limit = words.limit(result.allowance_m);
    PartResult {
        reason: words.hanging_on_blocks(&own, &limit, &names, without.as_deref()),
        outcome,
        ..result
    }
}

/// A range that holds whichever of two floors is the true one.
fn over_both(one: Option<Likely>, other: Option<Likely>) -> Option<Likely> {
    let (one, other) = (one?, other?);
    Some(Likely {
        low_m: one.low_m.min(other.low_m),
        high_m: one.high_m.max(other.high_m),
    })
}

/// A chance that holds whichever of two floors is the true one.
fn either(one: Option<Chance>, other: Option<Chance>) -> Option<Chance> {
    let (one, other) = (one?, other?);
    Some(Chance {
        low: one.low.min(other.low),
        high: one.high.max(other.high),
        draws: one.draws.max(other.draws),
        on_steps: one.on_steps || other.on_steps,
    })
}
