//! The chance that the floor, not only the surface through its readings, keeps an allowance.
//!
//! Conformance probability (JCGM 106:2012): of floors that may be the true one, drawn at random given the readings, the share
//! whose worst gap is inside the allowance. What one reading is uncertain by is known as an interval; both its ends are asked.

use super::doubt::ReadingDoubt;
use crate::surface::doubt::field::FEWEST_READINGS;
use crate::surface::doubt::{MOST_READINGS, MayBe, NoDoubt, Told};
use crate::surface::{Floor, Source};
use crate::survey::setups::Ties;
use rayon::prelude::*;
use statrs::distribution::{Binomial, DiscreteCDF};

/// Draws made before a word is looked for, and between two looks.
const LOOK: usize = 20;
/// Fewer draws than this prove no word: 0.95^59 is under 1 in 20.
pub const FEWEST_DRAWS: usize = 60;
/// A word is clear where draws like these would come about less often than this were it not true.
const ERROR: f64 = 0.05;
/// The same for *in doubt*.
const DOUBT_ERROR: f64 = 0.01;
/// Share of floors inside the allowance for *within*; as many outside it for *out*.
pub(super) const SURE: f64 = 0.95;
/// Sheaves tested to decide one floor; a second of work on a small one.
pub(super) const DECIDING_WORK: u64 = 200_000;
/// On a drawn floor gaps this near to the limit are on it, metres: it is one of many that may be.
pub(super) const DRAWN_EVEN_M: f64 = 2e-5;
/// What one reading repeats to where nothing is stated, metres in the standard deviation: at most 1/32 in, at least a sixth of a
/// step, since who reads to the nearest step hardly repeats better. Common practice, no published source.
const UNSTATED_M: f64 = 0.000_75;
const UNSTATED_STEPS: f64 = 1.0 / 6.0;

/// Share of floors that may be the true one inside an allowance, at the two ends of what the readings' noise may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    /// The smaller share.
    pub low: f64,
    /// The larger share.
    pub high: f64,
    /// How many floors were drawn at each end, at most.
    pub draws: usize,
    /// Whether some of the floors are over the allowance by steps at joints alone, which nobody read.
    pub on_steps: bool,
}

impl Chance {
    /// Whether nearly all floors keep the allowance.
    pub fn is_within(&self) -> bool {
        self.low >= SURE
    }

    /// Whether nearly none does.
    pub fn is_out(&self) -> bool {
        self.high <= 1.0 - SURE
    }

    /// Whether one end of what the readings' noise may be would give a clear word, and the other does not.
    pub(super) fn hangs_on_noise(&self) -> bool {
        let clear = |share: f64| share >= SURE || share <= 1.0 - SURE;
        !self.on_steps && clear(self.low) != clear(self.high)
    }
}

/// Floors that may be the true one, made when they are first asked for, and then kept for whoever asks next.
pub struct Chances {
    doubt: ReadingDoubt,
    ties: Ties,
    draws: usize,
    seed: u64,
    made: Option<Result<MayBe, NoDoubt>>,
}

impl Chances {
    /// By what makes readings uncertain, how tied set-ups hang on shared ones, how many floors are drawn at most (0 for none), and
    /// from which seed.
    pub(super) const fn new(doubt: ReadingDoubt, ties: Ties, draws: usize, seed: u64) -> Self {
        Self {
            doubt,
            ties,
            draws,
            seed,
            made: None,
        }
    }

    /// How many floors are drawn at each end of what the noise may be, at most: fewer than [`FEWEST_DRAWS`] prove no word.
    pub fn most(&self) -> usize {
        self.draws.max(FEWEST_DRAWS)
    }

    /// Floors that may be this one, the same each time. `told` is called while they are made ready.
    ///
    /// # Errors
    /// [`NoDoubt`], where the readings allow no field, or no draws are wanted.
    pub fn may_be(&mut self, floor: &Floor, told: Told<'_>) -> Result<&mut MayBe, NoDoubt> {
        let (doubt, ties) = (&self.doubt, &self.ties);
        let (draws, seed) = (self.draws, self.seed);
        let make = || {
            if draws == 0 || doubt.reading_m() <= 0.0 {
                return Err(NoDoubt::NotWanted);
            }
            let readings = floor.vertices().iter();
            let read = readings.filter(|v| matches!(v.source, Source::Reading(_)));
            if read.count() > MOST_READINGS {
                return Err(NoDoubt::ManyReadings);
            }
            MayBe::new(
                floor,
                &noises_m(doubt),
                least_noise_m(doubt),
                ties,
                seed,
                told,
            )
        };
        self.made
            .get_or_insert_with(make)
            .as_mut()
            .map_err(|why| *why)
    }
}

/// What a reading may repeat to where nobody states it, standard deviations in metres; `step_m` is what it was read to.
pub fn unstated_repeats_m(step_m: f64) -> (f64, f64) {
    let least = UNSTATED_STEPS * step_m;
    (least, UNSTATED_M.max(least))
}

/// What one reading may repeat to: the two ends of an interval, or one where they are the same; metres, standard deviations.
pub(super) fn repeats_m(doubt: &ReadingDoubt) -> Vec<f64> {
    let stated = doubt.repeatability_m;
    let (least, most) = unstated_repeats_m(doubt.step_m);
    let mut repeats = match doubt.shown_m {
        Some((low, high)) => vec![low.max(least), high.max(least)],
        // A large one that is stated must not make a word easier than none.
        None if stated > 0.0 => vec![stated.min(most), stated],
        None => vec![least, most],
    };
    repeats.dedup();
    repeats
}

/// The doubt of a value that no floors are drawn for: it counts the most that a reading may repeat to. A surface that was never read has none.
pub(super) fn undrawn(doubt: &ReadingDoubt) -> ReadingDoubt {
    if doubt.step_m <= 0.0 {
        return *doubt;
    }
    ReadingDoubt {
        repeatability_m: repeats_m(doubt).into_iter().fold(0.0, f64::max),
        ..*doubt
    }
}

/// Whether floors can be drawn that may be this one.
pub(super) fn can_draw(floor: &Floor, draws: usize) -> bool {
    let readings = floor.vertices().iter();
    let read = readings.filter(|v| matches!(v.source, Source::Reading(_)));
    draws > 0 && (FEWEST_READINGS..=MOST_READINGS).contains(&read.count())
}

/// What one reading may be uncertain by, at both ends of what it may repeat to; metres, standard deviations.
fn noises_m(doubt: &ReadingDoubt) -> Vec<f64> {
    let noise = |&repeatability_m: &f64| {
        ReadingDoubt {
            repeatability_m,
            ..*doubt
        }
        .reading_m()
    };
    repeats_m(doubt).iter().map(noise).collect()
}

/// What the step alone makes of a reading, metres.
fn least_noise_m(doubt: &ReadingDoubt) -> f64 {
    ReadingDoubt {
        step_m: doubt.step_m,
        ..ReadingDoubt::default()
    }
    .reading_m()
}

/// Which of the drawn floors are over an allowance, at each end of what the noise may be; `None` where that cannot be told.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Decided {
    over: Vec<Vec<Option<bool>>>,
    /// Whether floors that only steps at joints put over are among those that cannot be told.
    pub steps: bool,
}

/// Of floors drawn how many are inside an allowance: at least, at most, and of how many. What cannot be told counts for neither word.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Inside {
    least: usize,
    most: usize,
    of: usize,
}

impl Inside {
    fn of(over: &[Option<bool>]) -> Self {
        let count = |what: fn(&Option<bool>) -> bool| over.iter().filter(|o| what(o)).count();
        Self {
            least: count(|o| *o == Some(false)),
            most: count(|o| *o != Some(true)),
            of: over.len(),
        }
    }

    fn share(self, inside: usize) -> f64 {
        inside as f64 / self.of.max(1) as f64
    }
}

impl Decided {
    /// Asks each drawn floor, one level finer than the readings, whether it is `over`, until the word is clear. `told` is called
    /// between the looks.
    pub fn of(
        may_be: &mut MayBe,
        most: usize,
        over: impl Fn(&Floor) -> Option<bool> + Sync,
        told: &dyn Fn(),
    ) -> Self {
        let mut all = Self::default();
        for end in 0..may_be.ends() {
            let mut decided: Vec<Option<bool>> = Vec::new();
            // What the first end says can only be confirmed by the other, or come to nothing.
            let settled = |decided: &[Option<bool>]| {
                let inside = Inside::of(decided);
                is_clear(inside)
                    || all
                        .over
                        .first()
                        .is_some_and(|first| inside.of > 0 && parts_from(Inside::of(first), inside))
            };
            while decided.len() < most && !settled(&decided) {
                told();
                let (from, to) = (decided.len(), (decided.len() + LOOK).min(most));
                may_be.grow(end, to);
                let finer = may_be.finer();
                let found: Vec<Option<bool>> = may_be.floors(end)[from..to]
                    .par_iter()
                    .map(|z| over(&finer.with_heights(z)?))
                    .collect();
                decided.extend(found);
            }
            all.over.push(decided);
        }
        all
    }

    /// The chance that the floor is inside the allowance.
    pub fn chance(&self) -> Chance {
        let ends = || self.over.iter().map(|over| Inside::of(over));
        Chance {
            low: ends().map(|i| i.share(i.least)).fold(1.0, f64::min),
            high: ends().map(|i| i.share(i.most)).fold(0.0, f64::max),
            draws: self.over.iter().map(Vec::len).max().unwrap_or(0),
            on_steps: self.steps && self.over.iter().flatten().any(Option::is_none),
        }
    }
}

impl Decided {
    /// The end of what the noise may be that says least.
    pub fn least_told(&self) -> usize {
        let open = |over: &[Option<bool>]| {
            let inside = Inside::of(over);
            let share = (inside.share(inside.least) + inside.share(inside.most)) / 2.0;
            share * (1.0 - share)
        };
        (self.over.iter().enumerate())
            .max_by(|a, b| open(a.1).total_cmp(&open(b.1)).then(b.0.cmp(&a.0)))
            .map_or(0, |(end, _)| end)
    }
}

/// Whether a drawn floor is over an allowance, as `exceeds` finds it. Most joints do not step, and the floor is carried out to them from
/// either side: of one that only steps at `places` put over it that cannot be told.
pub(super) fn over_but_for_steps(
    drawn: &Floor,
    places: &[Vec<u32>],
    exceeds: impl Fn(&Floor) -> Option<bool>,
) -> Option<bool> {
    match exceeds(drawn)? {
        true if !places.is_empty() && !exceeds(&drawn.without_steps(places)?)? => None,
        over => Some(over),
    }
}

/// Whether one end's word is clearly not that of the first, so that both together are in doubt.
fn parts_from(first: Inside, other: Inside) -> bool {
    if first.share(first.least) >= SURE {
        at_most(other.least, other.of, SURE) <= DOUBT_ERROR
    } else if first.share(first.most) <= 1.0 - SURE {
        at_least(other.most, other.of, 1.0 - SURE) <= DOUBT_ERROR
    } else {
        true
    }
}

/// Whether so many floors inside the allowance of so many drawn leave one word only.
fn is_clear(Inside { least, most, of }: Inside) -> bool {
    if of == 0 {
        return false;
    }
    let (within, out) = (SURE, 1.0 - SURE);
    let sure_within = at_least(least, of, within) <= ERROR;
    let sure_out = at_most(most, of, out) <= ERROR;
    let not_within = at_most(least, of, within) <= DOUBT_ERROR;
    let not_out = at_least(most, of, out) <= DOUBT_ERROR;
    sure_within || sure_out || (not_within && not_out)
}

/// Chance of at most `hits` of `count` at `share` each.
fn at_most(hits: usize, count: usize, share: f64) -> f64 {
    Binomial::new(share, count as u64).map_or(0.5, |b| b.cdf(hits as u64))
}

/// Chance of at least `hits` of `count` at `share` each.
fn at_least(hits: usize, count: usize, share: f64) -> f64 {
    hits.checked_sub(1)
        .map_or(1.0, |fewer| 1.0 - at_most(fewer, count, share))
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand. Nothing stated: a sixth of a 1.5 mm step to 0.75 mm; stated: itself, and held at 0.75 mm too where it is larger;
    // shown by marks read twice: its bounds, none under a sixth of a step. The step of 1.5 mm adds 0.433 mm in squares.
    #[test]
    fn noise_is_an_interval() {
        let ends = |repeatability_m: f64, shown_m: Option<(f64, f64)>| {
            let doubt = ReadingDoubt {
                step_m: 0.0015,
                repeatability_m,
                shown_m,
                ..ReadingDoubt::default()
            };
            let own = |n: f64| ((n * n - 0.0015f64.powi(2) / 12.0).sqrt() * 1e6).round() / 1e6;
            noises_m(&doubt).into_iter().map(own).collect::<Vec<_>>()
        };
        assert_eq!(ends(0.0, None), [0.000_25, 0.000_75]);
        assert_eq!(ends(0.000_4, None), [0.000_4]);
        assert_eq!(ends(0.001_2, None), [0.000_75, 0.001_2]);
        assert_eq!(ends(0.000_4, Some((0.0, 0.000_6))), [0.000_25, 0.000_6]);
        assert_eq!(ends(0.000_4, Some((0.000_3, 0.000_9))), [0.000_3, 0.000_9]);
    }

    // ORACLE: hand. None of 20 at 5 %: 0.95^20 = 0.358; at most 19 of 20 at 95 %: 1 - 0.95^20 = 0.642; 0.95^58 = 0.0510
    // and 0.95^59 = 0.0485, so 59 are the fewest that make *within* clear.
    #[test]
    fn a_word_is_clear_when_chance_would_not_do_it() {
        assert!((at_most(0, 20, 0.05) - 0.358_486).abs() < 1e-6);
        assert!((at_most(19, 20, 0.95) - 0.641_514).abs() < 1e-6);
        assert!((at_most(20, 20, 0.95) - 1.0).abs() < 1e-12);
        let clear = |least: usize, most: usize, of: usize| is_clear(Inside { least, most, of });
        assert!(!clear(58, 58, 58) && clear(59, 59, 59));
        assert!(!clear(0, 0, 58) && clear(0, 0, 59));
        assert!(clear(10, 10, 20) && !clear(19, 19, 20) && !clear(0, 0, 0));
        // What cannot be told makes neither word: 59 inside of 62 are not sure, nor is a floor out of which half could be inside.
        assert!(!clear(59, 62, 62) && clear(0, 31, 62) && clear(0, 62, 62));
    }
}
