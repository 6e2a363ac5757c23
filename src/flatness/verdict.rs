//! From evidence to one of four words.

use super::Verdict;
use super::coverage::COVERAGE_NEEDED;

/// What is known about one part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Evidence {
    /// Largest value on the whole floor.
    pub gap_m: f64,
    /// Nothing exceeds this.
    pub bound_m: f64,
    /// Largest value where readings are close enough to prove anything; `None` where nowhere.
    pub telling_m: Option<f64>,
    /// Expanded uncertainty.
    pub doubt_m: f64,
    /// Share of the floor that can be judged.
    pub coverage: f64,
    /// Whether the whole edge finds room anywhere.
    pub room: bool,
}

/// Bounds are told to this; nearer to the limit counts as on it, and equal passes.
const EQUAL_M: f64 = 2e-6;

/// The verdict on one part.
///
/// Out: a gap over the allowance by more than its doubt, on floor read at least coarsely. In doubt:
/// a gap nearer to the allowance than its doubt. Not tested: too little of the floor is read
/// closely enough, or the edge finds no room. Within: none of these, proven by the bound.
pub(super) fn decide(e: &Evidence, allow: f64) -> Verdict {
    let Some(gap) = e.telling_m else {
        return Verdict::NotTested;
    };
    if gap - e.doubt_m > allow + EQUAL_M {
        Verdict::Out
    } else if gap + e.doubt_m > allow + EQUAL_M {
        Verdict::InDoubt
    } else if e.coverage < COVERAGE_NEEDED || !e.room {
        Verdict::NotTested
    } else if e.bound_m + e.doubt_m > allow + EQUAL_M {
        Verdict::InDoubt
    } else {
        Verdict::Within
    }
}

/// The verdict over several parts: the worst word of any.
pub(super) fn over_all(parts: impl Iterator<Item = Verdict>) -> Verdict {
    let rank = |v: Verdict| match v {
        Verdict::Within => 0,
        Verdict::NotTested => 1,
        Verdict::InDoubt => 2,
        Verdict::Out => 3,
    };
    parts.max_by_key(|v| rank(*v)).unwrap_or(Verdict::NotTested)
}
