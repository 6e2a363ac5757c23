//! From evidence to one of four words: the only place where a part's word is decided.

use super::chance::repeats_m;
use super::doubt::ReadingDoubt;
use super::{ByHand, Chance, Measured, Outcome, ToRead, Verdict};
use crate::surface::{Floor, Source};

/// A value that can prove a floor out.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Proof {
    /// Largest value where readings stand close enough to prove anything.
    pub found: Measured,
    /// Whether it stands without the readings that are suspected of a slip.
    pub sound: bool,
}

/// What is known about one part.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Evidence {
    /// What was found on the whole floor.
    pub found: Measured,
    /// Nothing that counts against the allowance exceeds this, metres.
    pub most_m: f64,
    /// What can prove the floor out; `None` where it is read closely enough nowhere.
    pub proof: Option<Proof>,
    /// The chance that the floor keeps the allowance, where it was worked out.
    pub chance: Option<Chance>,
    /// Whether a gap on floor that is known less well may be over the allowance with its own doubt.
    pub hidden: bool,
    /// Whether enough of the room can be judged.
    pub enough: bool,
    /// What to read where that is too little.
    pub to_read: Option<ToRead>,
    /// By how much roundings may make a gap where they are no chance: see [`rounding_m`]. Metres.
    pub rounding_m: f64,
}

/// Readings that take so few steps in all, and repeat so well beside their step, are rounded all alike where the floor is alike.
const FEW_STEPS: f64 = 2.0;
const REPEATS_STEPS: f64 = 1.0 / 3.0;

/// By how much roundings may make a gap of a floor that shows none, metres: a step, half of one up and half of one down, where readings
/// take two or three values in all and repeat to less than a third of their step (our own choice, no published source); 0 where their own
/// scatter, or the fall of the floor, makes each rounding independent of the next.
pub(super) fn rounding_m(floor: &Floor, doubt: &ReadingDoubt) -> f64 {
    let readings = floor.vertices().iter();
    let read = readings.filter(|v| matches!(v.source, Source::Reading(_)));
    let (low, high) = read.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v.z), h.max(v.z)));
    let few = high - low <= FEW_STEPS * doubt.step_m + EQUAL_M;
    let most = repeats_m(doubt).into_iter().fold(0.0, f64::max);
    if few && most < REPEATS_STEPS * doubt.step_m {
        doubt.step_m
    } else {
        0.0
    }
}

/// Bounds are told to this; nearer to the limit counts as on it, and equal passes.
pub(super) const EQUAL_M: f64 = 2e-6;

/// Whether a value is over an allowance, with a doubt that may be taken off or added.
fn over(value_m: f64, doubt_m: f64, allow_m: f64) -> bool {
    value_m + doubt_m > allow_m + EQUAL_M
}

/// Whether this proof is over the allowance by more than its doubt.
pub(super) fn proven_over(found: &Measured, allow_m: f64) -> bool {
    over(found.gap_m, -found.doubt_m, allow_m)
}

/// The word on one part, with what was measured if it was tested.
///
/// Out: a gap over the allowance by more than its doubt, on floor read at least coarsely, that does not hang on
/// suspected readings. Not tested: too little of the room is read closely enough. In doubt: a gap, or the bound of
/// all gaps, nearer to the allowance than its doubt; or floor that is known less well may hide one. Within: none of these.
pub(super) fn decide(e: Evidence, allow_m: f64) -> Outcome {
    match word(&e, allow_m) {
        // What proves it out may lie on a part of the floor only; nothing is told of the rest.
        Verdict::Out => Outcome::Out(match e.proof {
            Some(proof) => Measured {
                bound_m: e.found.bound_m,
                ..proof.found
            },
            None => e.found,
        }),
        Verdict::NotTested => Outcome::NotTested(e.to_read),
        Verdict::InDoubt => Outcome::InDoubt(e.found),
        Verdict::Within => Outcome::Within(e.found),
    }
}

/// The same with what edges laid by hand say beside it.
///
/// A gap over the allowance at any placement is the floor's own and proves it out. None over among enough placements drawn at random
/// brings a part within that the readings do not test. Of one that they do test it takes nothing back: a share of placements says
/// little of the worst of them, and readings that come near to the limit speak of a place that may not have been drawn.
pub(super) fn decide_by_hand(readings: Outcome, hand: &ByHand) -> Outcome {
    let word = match readings.verdict() {
        Verdict::Out => return readings,
        _ if hand.is_out() => Verdict::Out,
        Verdict::NotTested if hand.is_within() => Verdict::Within,
        _ => return readings,
    };
    Outcome::ByHand {
        word,
        readings: Box::new(readings),
    }
}

impl Evidence {
    /// Whether a gap is over the allowance by more than roundings can make.
    fn rounded_over(&self, proof: &Proof, allow_m: f64) -> bool {
        over(proof.found.gap_m, -self.rounding_m, allow_m)
    }
}

fn word(e: &Evidence, allow_m: f64) -> Verdict {
    if let Some(chance) = e.chance {
        return word_by_chance(e, chance, allow_m);
    }
    let out = |p: &Proof| p.sound && proven_over(&p.found, allow_m) && e.rounded_over(p, allow_m);
    let doubtful = |p: &Proof| over(p.found.gap_m, p.found.doubt_m, allow_m);
    if e.proof.as_ref().is_some_and(out) {
        Verdict::Out
    } else if e.proof.is_none() || !e.enough {
        Verdict::NotTested
    } else if e.hidden
        || e.proof.as_ref().is_some_and(doubtful)
        || over(e.most_m, e.found.doubt_m, allow_m)
    {
        Verdict::InDoubt
    } else {
        Verdict::Within
    }
}

/// The word where the chance is known that the floor keeps the allowance: *within* and *out* need nearly all of that chance, and
/// that the readings themselves show as much. Nobody signs *within* for a floor whose own readings show a gap over the limit, nor
/// *out* for one whose readings show none; and readings that are worse than the limit prove nothing within it, nor over it but by more than
/// their roundings can make where these are no chance.
fn word_by_chance(e: &Evidence, chance: Chance, allow_m: f64) -> Verdict {
    let shown =
        |p: &Proof| p.sound && over(p.found.gap_m, 0.0, allow_m) && e.rounded_over(p, allow_m);
    if chance.is_out() && e.proof.as_ref().is_some_and(shown) {
        Verdict::Out
    } else if e.proof.is_none() || !e.enough {
        Verdict::NotTested
    } else if chance.is_within()
        && !over(e.found.gap_m, 0.0, allow_m)
        && !over(e.found.doubt_m, 0.0, allow_m)
    {
        Verdict::Within
    } else {
        Verdict::InDoubt
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn evidence(gap: f64, bound: f64, doubt: f64, enough: bool, sound: bool) -> Evidence {
        let found = Measured {
            gap_m: gap,
            bound_m: gap + bound,
            doubt_m: doubt,
            ..Measured::default()
        };
        Evidence {
            most_m: found.bound_m,
            proof: Some(Proof {
                found: found.clone(),
                sound,
            }),
            found,
            chance: None,
            hidden: false,
            enough,
            to_read: Some(ToRead {
                every_m: Some(0.5),
                at: None,
            }),
            rounding_m: 0.0,
        }
    }

    proptest! {
        // ORACLE: property. More doubt takes nothing out of doubt, never turns a word into within, and an
        //         untested part holds no number; a suspected reading never proves a floor out; equal passes.
        #[test]
        fn doubt_and_suspicion_only_weaken_words(
            gap in 0.0..0.01, bound in 0.0..0.002, doubt in 0.0..0.004, more in 0.0..0.004,
            enough: bool, sound: bool, allow in 0.0005..0.01,
        ) {
            let of = |doubt, enough, sound| decide(evidence(gap, bound, doubt, enough, sound), allow);
            let (less, with) = (of(doubt, enough, sound), of(doubt + more, enough, sound));
            if with.verdict() == Verdict::Within {
                prop_assert_eq!(less.verdict(), Verdict::Within);
            }
            if with.verdict() == Verdict::Out {
                prop_assert_eq!(less.verdict(), Verdict::Out);
            }
            if less.verdict() == Verdict::InDoubt {
                prop_assert_eq!(with.verdict(), Verdict::InDoubt);
            }
            prop_assert!(of(doubt, enough, false).verdict() != Verdict::Out);
            let tested = less.measured().is_some();
            prop_assert_eq!(tested, less.verdict() != Verdict::NotTested);
            prop_assert_eq!(tested, enough || less.verdict() == Verdict::Out);
            prop_assert_eq!(decide(evidence(allow, 0.0, 0.0, true, true), allow).verdict(), Verdict::Within);
        }

        // ORACLE: property. Where a chance is known, a word says at least as much: nearly all of it at both ends, and a gap on the
        //         readings' own surface that agrees; too little read is never within; without a chance the doubt decides.
        #[test]
        fn a_clear_word_needs_the_chance_and_the_readings(
            gap in 0.0..0.01, low in 0.0..1.0, more in 0.0..1.0, doubt in 0.0..0.01, rounding in prop_oneof![Just(0.0), 0.0..0.01], enough: bool, sound: bool, allow in 0.0005..0.01,
        ) {
            let chance = Chance { low, high: low + (1.0 - low) * more, draws: 60, on_steps: false };
            let with = Evidence { chance: Some(chance), rounding_m: rounding, ..evidence(gap, 0.0, doubt, enough, sound) };
            let word = decide(with, allow).verdict();
            let over = gap > allow + EQUAL_M;
            let expected = match (chance.is_out() && over && gap - rounding > allow + EQUAL_M && sound, enough, chance.is_within() && !over && doubt <= allow + EQUAL_M) {
                (true, _, _) => Verdict::Out,
                (_, false, _) => Verdict::NotTested,
                (_, _, true) => Verdict::Within,
                _ => Verdict::InDoubt,
            };
            prop_assert_eq!(word, expected);
            prop_assert_eq!(chance.is_within(), chance.low >= 0.95);
            prop_assert_eq!(chance.is_out(), chance.high <= 0.05 + 1e-12);
        }

        // ORACLE: property. One gap over by hand is out whatever the readings say; a share of placements only ever turns *not tested* into
        //         *within*, and only where it is small enough; what the readings measured stays with the part.
        #[test]
        fn edges_laid_by_hand_prove_out_and_test_what_readings_do_not(
            pick in 0usize..4, over in 0usize..2, chosen_over in 0usize..2, share in proptest::option::of(0.0..0.1),
        ) {
            let found = Measured { gap_m: 0.002, ..Measured::default() };
            let readings = [
                Outcome::Within(found.clone()), Outcome::InDoubt(found.clone()), Outcome::Out(found), Outcome::NotTested(None),
            ][pick].clone();
            let hand = ByHand {
                seed: 0, drawn: 59, laid: 59, over, chosen: 1, chosen_over, moved: 0, at_most_share: share, worst: None,
                words: String::new(),
            };
            let with = decide_by_hand(readings.clone(), &hand);
            let expected = if over + chosen_over > 0 {
                Verdict::Out
            } else if readings.verdict() == Verdict::NotTested && share.is_some_and(|p| p <= 0.05) {
                Verdict::Within
            } else {
                readings.verdict()
            };
            prop_assert_eq!(with.verdict(), expected);
            prop_assert_eq!(with.measured(), readings.measured());
            prop_assert_eq!(matches!(with, Outcome::ByHand { .. }), with.verdict() != readings.verdict());
        }

        // ORACLE: property. The word over several is one of them, and none of them is graver; more words never
        //         make it better.
        #[test]
        fn the_gravest_word_decides(picks in proptest::collection::vec(0usize..4, 1..6)) {
            // By order of gravity.
            let order = [Verdict::Within, Verdict::InDoubt, Verdict::NotTested, Verdict::Out];
            let words: Vec<Verdict> = picks.iter().map(|&i| order[i]).collect();
            let worst = *picks.iter().max().unwrap();
            prop_assert_eq!(Verdict::worst(words), order[worst]);
            prop_assert_eq!(Verdict::worst([]), Verdict::NotTested);
        }
    }
}
