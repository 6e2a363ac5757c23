//! The chance that a floor keeps an allowance after it was ground and filled.

use super::Chance;
use super::chance::{Chances, DECIDING_WORK, DRAWN_EVEN_M, Decided, over_but_for_steps};
use super::edge::{Progress, SearchOptions, Searcher};
use super::net::{Ground, Joints};
use super::verdict::EQUAL_M;
use super::{Departure, Lengths};
use crate::surface::Floor;

/// The most that a floor may depart from a chord.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChordLimit {
    /// Dip or hump.
    pub departure: Departure,
    /// Longest chord, metres.
    pub span_m: f64,
    /// Whether shorter ones count.
    pub lengths: Lengths,
    /// The most that is allowed, metres; as much passes.
    pub allowance_m: f64,
    /// Which part of the floor chords may lie on.
    pub ground: Ground,
    /// Whether they may cross joints.
    pub joints: Joints,
}

/// The chance that floors that may be the true one, each raised by `raised_m` at the vertices of `floor`, keep a limit; `None` where
/// that is no surface, or no floors are drawn.
///
/// # Units, datum, sign
/// Metres; what is ground off is negative. Between vertices the change is straight, as a patch plan means it.
/// # Method
/// As for a part of a check: each drawn floor is decided by the certified search. That the
/// work is done exactly as planned is not in question here.
pub fn chance_after(
    chances: &mut Chances,
    floor: &Floor,
    raised_m: &[f64],
    limit: &ChordLimit,
    told: Progress<'_>,
) -> Option<Chance> {
    let raised: Vec<f64> = floor
        .with_heights(raised_m)?
        .finer()
        .vertices()
        .iter()
        .map(|v| v.z)
        .collect();
    let options = SearchOptions {
        work_limit: DECIDING_WORK,
        even_m: DRAWN_EVEN_M,
        joints: limit.joints,
        ground: limit.ground,
        ..SearchOptions::default()
    };
    let steps = match limit.joints {
        Joints::Cross => chances
            .may_be(floor, &|| told(0.0))
            .ok()?
            .finer()
            .joint_places(),
        Joints::Stop => Vec::new(),
    };
    let exceeds = |after: &Floor| {
        Searcher::new(after, limit.departure, limit.ground, limit.joints)
            .with_lengths(limit.lengths)
            .exceeds(limit.span_m, limit.allowance_m + EQUAL_M, &options, &|_| {
                told(0.0)
            })
    };
    let over = |drawn: &Floor| {
        let heights: Vec<f64> = (drawn.vertices().iter().zip(&raised))
            .map(|(v, r)| v.z + r)
            .collect();
        over_but_for_steps(&drawn.with_heights(&heights)?, &steps, exceeds)
    };
    let most = chances.most();
    let may_be = chances.may_be(floor, &|| told(0.0)).ok()?;
    Some(Decided::of(may_be, most, over, &|| told(0.0)).chance())
}
