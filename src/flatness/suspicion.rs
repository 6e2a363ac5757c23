//! Words that hang on blocks of readings which may lie off: judged with those levelled, too.

use super::suspects::Block;
use super::verdict::EQUAL_M;
use super::words::Words;
use super::{Chance, Likely, Measured, Outcome, PartResult, Verdict};
use crate::surface::{Floor, Source};

/// How far a reading lies off with all blocks that it is in, metres.
fn off_m(blocks: &[Block], reading: u32) -> f64 {
    let of = blocks
        .iter()
        .filter(|b| b.readings.binary_search(&reading).is_ok());
    of.map(|b| b.above_m).sum()
}

/// The floor as it would be if these blocks lay off by one amount each: with that taken off. `None` where none is in it.
pub(super) fn levelled(floor: &Floor, blocks: &[Block]) -> Option<Floor> {
    if blocks.is_empty() {
        return None;
    }
    let mut level: Vec<f64> = floor.vertices().iter().map(|v| v.z).collect();
    // Marks read in a block and out of it, as the one that ties a set-up: one of their readings is wrong, and nobody knows which.
    let mut torn: Vec<(u32, Vec<f64>)> = Vec::new();
    for (v, vertex) in floor.vertices().iter().enumerate() {
        let leans = floor.leans(v as u32);
        let offs: Vec<f64> = leans.iter().map(|&(i, _)| off_m(blocks, i)).collect();
        level[v] -= leans
            .iter()
            .zip(&offs)
            .map(|(l, off)| l.1 * off)
            .sum::<f64>();
        let alike = offs.iter().all(|off| (off - offs[0]).abs() <= EQUAL_M);
        if matches!(vertex.source, Source::Reading(_)) && !alike {
            torn.push((v as u32, offs));
        }
    }
    // Of the heights that its readings give such a mark, the one nearest to the marks beside it.
    let mut heights = level.clone();
    for (v, offs) in torn {
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
        let z = floor.vertices()[v as usize].z;
        let from_usual = |off: &f64| (z - off - usual).abs();
        let best = offs
            .iter()
            .min_by(|a, b| from_usual(a).total_cmp(&from_usual(b)));
        heights[v as usize] = best.map_or(level[v as usize], |off| z - off);
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
    let gap = |r: Option<f64>| r.map(|m| words.gap_against(m, result.allowance_m));
    let own = gap(outcome.measured().map(|m| m.largest_m())).unwrap_or_default();
    let without = gap(levelled.measured().map(|m| m.largest_m()));
    let limit = words.limit(result.allowance_m);
    PartResult {
        reason: words.hanging_on_blocks(&own, &limit, blocks, without.as_deref()),
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
