//! What a word must not hang on: readings that may be slips, and blocks of readings that may lie off all the others.

use super::verdict::EQUAL_M;
use super::words::Words;
use super::{Chance, Measured, Outcome, PartResult, Verdict};
use crate::surface::Floor;

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
}

/// The floor as it would be if these blocks lay off by one amount each: with that taken off. `None` where none is in it.
pub(super) fn levelled(floor: &Floor, blocks: &[Block]) -> Option<Floor> {
    let off = |vertex: u32| -> f64 {
        let of = |b: &Block| b.above_m * b.share_of(floor, vertex);
        blocks.iter().map(of).sum()
    };
    let count = floor.vertices().len() as u32;
    let heights: Vec<f64> = (0..count)
        .map(|v| floor.vertices()[v as usize].z - off(v))
        .collect();
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
