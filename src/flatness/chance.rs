//! The chance that the floor, not only the surface through its readings, keeps an allowance.
//!
//! Conformance probability (JCGM 106:2012): of floors that may be the true one, drawn at random given the readings, the share
//! whose worst gap is inside the allowance. What one reading is uncertain by is known as an interval; both its ends are asked.

use super::doubt::ReadingDoubt;
use crate::surface::Floor;
use crate::surface::doubt::field::{Draws, Field};
use crate::survey::setups::Ties;
use rayon::prelude::*;

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
        clear(self.low) != clear(self.high)
    }
}

/// Floors that may be the true one, at one end of what the noise may be.
struct End {
    draws: Draws,
    heights: Vec<Vec<f64>>,
}

/// Floors that may be the true one.
pub(super) struct Chances {
    ends: Vec<End>,
    finer: Floor,
    most: usize,
}

impl Chances {
    /// `None` where the readings allow no field, or no draws are wanted.
    pub fn new(
        floor: &Floor,
        doubt: &ReadingDoubt,
        ties: &Ties,
        (most, seed): (usize, u64),
    ) -> Option<Self> {
        if most == 0 || doubt.reading_m() <= 0.0 {
            return None;
        }
        let stated = doubt.repeatability_m;
        let least = UNSTATED_STEPS * doubt.step_m;
        // A large one that is stated must not make a word easier than none.
        let mut repeats = if stated > 0.0 {
            vec![stated.min(UNSTATED_M.max(least)), stated]
        } else {
            vec![least, UNSTATED_M.max(least)]
        };
        repeats.dedup();
        let noises: Vec<f64> = repeats
            .iter()
            .map(|&repeatability_m| {
                ReadingDoubt {
                    repeatability_m,
                    ..*doubt
                }
                .reading_m()
            })
            .collect();
        // What the step alone makes of a reading.
        let least_m = ReadingDoubt {
            step_m: doubt.step_m,
            ..ReadingDoubt::default()
        }
        .reading_m();
        let finer = floor.finer();
        let fields: Vec<Field> = noises
            .par_iter()
            .map(|noise| Field::new(floor, &finer, *noise, least_m).ok())
            .collect::<Option<_>>()?;
        let ends = fields
            .into_iter()
            .map(|field| {
                Some(End {
                    draws: field.draws(seed, ties.clone())?,
                    heights: Vec::new(),
                })
            })
            .collect::<Option<_>>()?;
        Some(Self {
            ends,
            finer,
            most: most.max(FEWEST_DRAWS),
        })
    }

    /// The chance that a floor is not `over`, which is asked of each drawn floor, one level finer than the readings; a half
    /// where that cannot be told. `told` is called between the looks.
    pub fn of(&mut self, over: impl Fn(&Floor) -> Option<bool> + Sync, told: &dyn Fn()) -> Chance {
        let (finer, most) = (&self.finer, self.most);
        let mut shares: Vec<(f64, usize)> = Vec::new();
        for end in &mut self.ends {
            let (mut inside, mut count) = (0.0, 0);
            // What the first end says can only be confirmed by the other, or come to nothing.
            let settled = |inside: f64, count: usize| {
                is_clear(inside, count)
                    || shares
                        .first()
                        .is_some_and(|&first| count > 0 && parts_from(first, inside, count))
            };
            while count < most && !settled(inside, count) {
                told();
                let to = (count + LOOK).min(most);
                while end.heights.len() < to {
                    end.heights.push(end.draws.next_heights());
                }
                inside += end.heights[count..to]
                    .par_iter()
                    .map(|z| {
                        let drawn = finer.with_heights(z)?;
                        over(&drawn)
                    })
                    .map(|over| over.map_or(0.5, |over| f64::from(u8::from(!over))))
                    .collect::<Vec<f64>>()
                    .iter()
                    .sum::<f64>();
                count = to;
            }
            shares.push((inside, count));
        }
        let of = |s: &(f64, usize)| s.0 / s.1.max(1) as f64;
        Chance {
            low: shares.iter().map(of).fold(1.0, f64::min),
            high: shares.iter().map(of).fold(0.0, f64::max),
            draws: shares.iter().map(|s| s.1).max().unwrap_or(0),
        }
    }
}

/// Whether one end's word is clearly not that of the first, so that both together are in doubt.
fn parts_from((inside, count): (f64, usize), other: f64, of: usize) -> bool {
    let share = inside / count.max(1) as f64;
    if share >= SURE {
        at_most(other.ceil() as usize, of, SURE) <= DOUBT_ERROR
    } else if share <= 1.0 - SURE {
        1.0 - at_most((other.floor() as usize).wrapping_sub(1), of, 1.0 - SURE) <= DOUBT_ERROR
    } else {
        true
    }
}

/// Whether so many floors inside the allowance of so many drawn leave one word only.
fn is_clear(inside: f64, count: usize) -> bool {
    if count == 0 {
        return false;
    }
    let (least, most) = (inside.floor() as usize, inside.ceil() as usize);
    let (within, out) = (SURE, 1.0 - SURE);
    let sure_within = 1.0 - at_most(least.wrapping_sub(1), count, within) <= ERROR;
    let sure_out = at_most(most, count, out) <= ERROR;
    let not_within = at_most(most, count, within) <= DOUBT_ERROR;
    let not_out = 1.0 - at_most(least.wrapping_sub(1), count, out) <= DOUBT_ERROR;
    sure_within || sure_out || (not_within && not_out)
}

/// Chance of at most `hits` of `count` at `share` each; `usize::MAX` stands for none at all.
fn at_most(hits: usize, count: usize, share: f64) -> f64 {
    if hits == usize::MAX {
        return 0.0;
    }
    let mut term = (count as f64 * (1.0 - share).ln()).exp();
    let mut sum = term;
    for k in 0..hits.min(count) {
        term *= (count - k) as f64 / (k + 1) as f64 * share / (1.0 - share);
        sum += term;
    }
    sum.min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand. None of 20 at 5 %: 0.95^20 = 0.358; at most 19 of 20 at 95 %: 1 - 0.95^20 = 0.642; 0.95^58 = 0.0510
    // and 0.95^59 = 0.0485, so 59 are the fewest that make *within* clear.
    #[test]
    fn a_word_is_clear_when_chance_would_not_do_it() {
        assert!((at_most(0, 20, 0.05) - 0.358_486).abs() < 1e-6);
        assert!((at_most(19, 20, 0.95) - 0.641_514).abs() < 1e-6);
        assert!((at_most(20, 20, 0.95) - 1.0).abs() < 1e-12);
        assert!(!is_clear(58.0, 58) && is_clear(59.0, 59));
        assert!(!is_clear(0.0, 58) && is_clear(0.0, 59));
        assert!(is_clear(10.0, 20) && !is_clear(19.0, 20) && !is_clear(0.0, 0));
    }
}
