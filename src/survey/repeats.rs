//! How well a reading repeats, from marks that were read twice.

use super::Reading;
use statrs::distribution::{ChiSquared, ContinuousCDF, Normal};
use std::collections::HashMap;

/// Fewest marks read twice that say anything of use.
pub const FEWEST_PAIRS: usize = 10;
/// Chance that the true repeatability lies beyond either bound.
const BEYOND: f64 = 0.05;
/// Differences whose squares, in steps, add up to more than this are no longer counted step by step.
const MOST_COUNTED: usize = 4000;

/// How well a reading repeats, as marks that were read twice show it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeats {
    /// Marks read twice from one set-up.
    pub pairs: usize,
    /// Standard deviation of one reading repeated, without its rounding: as likely less as more, metres.
    pub likely_m: f64,
    /// It is no less than this, with 95 % confidence, metres.
    pub low_m: f64,
    /// It is no more than this, with 95 % confidence, metres.
    pub high_m: f64,
}

/// Differences between the first and the second reading of each mark that was read twice from one set-up, metres; of a mark read
/// four times, two.
pub fn repeated_m(readings: &[Reading]) -> Vec<f64> {
    let mut waiting: HashMap<(u64, u64, usize), f64> = HashMap::with_capacity(readings.len());
    let mut differences = Vec::new();
    for reading in readings {
        // Adding zero makes -0 and 0 one place.
        let spot = (
            (reading.at.x + 0.0).to_bits(),
            (reading.at.y + 0.0).to_bits(),
            reading.set_up,
        );
        let z = reading.elevation.m();
        match waiting.remove(&spot) {
            Some(earlier) => differences.push(z - earlier),
            None => {
                waiting.insert(spot, z);
            }
        }
    }
    differences
}

impl Repeats {
    /// From differences between two readings of one mark, each rounded to `step_m`; `None` for fewer than [`FEWEST_PAIRS`].
    ///
    /// # Method
    /// The bounds are those at which a sum of squares as small, or as large, as the one seen comes about once in twenty.
    /// Readings are rounded, so a difference is a whole number of steps: with the true height anywhere between two
    /// steps, one of `d` before rounding comes out as the whole numbers on either side of it with the chances that
    /// interpolate it, and the sum's distribution is added up exactly. Where the steps are many, twice the variance and a sixth
    /// of a step squared stand for it (chi square).
    /// # Edge cases
    /// Ten marks that all came out alike do not say that a reading repeats exactly: the upper bound stays at a
    /// quarter of a step.
    pub fn of(differences_m: &[f64], step_m: f64) -> Option<Self> {
        let pairs = differences_m.len();
        if pairs < FEWEST_PAIRS || !(step_m > 0.0 && step_m.is_finite()) {
            return None;
        }
        let sum: f64 = differences_m.iter().map(|d| (d / step_m).powi(2)).sum();
        let counted: usize = differences_m
            .iter()
            .map(|d| (d / step_m).abs().round().powi(2) as usize)
            .fold(0, usize::saturating_add);
        // Chances of a sum under and of one up to what was seen, by the standard deviation in steps.
        let chances = |sd: f64| {
            if counted <= MOST_COUNTED {
                sums(sd, pairs, counted)
            } else {
                let share = chi_square(pairs, sum / (2.0 * sd * sd + 1.0 / 6.0));
                (share, share)
            }
        };
        // Far above what any of the differences shows.
        let most = 10.0 * (sum + 1.0).sqrt();
        let where_it_falls_to = |of: fn((f64, f64)) -> f64, share: f64| {
            let (mut lo, mut hi) = (0.0, most);
            for _ in 0..60 {
                let middle = (lo + hi) / 2.0;
                if of(chances(middle)) > share {
                    lo = middle;
                } else {
                    hi = middle;
                }
            }
            (lo + hi) / 2.0 * step_m
        };
        Some(Self {
            pairs,
            likely_m: where_it_falls_to(|c| (c.0 + c.1) / 2.0, 0.5),
            low_m: where_it_falls_to(|c| c.0, 1.0 - BEYOND),
            high_m: where_it_falls_to(|c| c.1, BEYOND),
        })
    }
}

/// Share of the chi-square distribution of so many degrees of freedom up to a value.
fn chi_square(free: usize, value: f64) -> f64 {
    ChiSquared::new(free as f64).map_or(0.5, |c| c.cdf(value))
}

/// Chances that the squares of `pairs` differences in whole steps add up to less than `seen`, and to no more than it.
fn sums(sd: f64, pairs: usize, seen: usize) -> (f64, f64) {
    let most = seen.isqrt();
    let chance: Vec<f64> = (0..=most).map(|k| difference(sd, k)).collect();
    let mut sum = vec![0.0; seen + 1];
    sum[0] = 1.0;
    for _ in 0..pairs {
        let mut next = vec![0.0; seen + 1];
        for (s, p) in sum.iter().enumerate().filter(|(_, p)| **p > 0.0) {
            for (k, c) in chance.iter().enumerate() {
                let Some(cell) = next.get_mut(s + k * k) else {
                    break;
                };
                *cell += p * c;
            }
        }
        sum = next;
    }
    let to: f64 = sum.iter().sum();
    (to - sum[seen], to)
}

/// Chance that two readings of standard deviation `sd`, in steps, come out `k` whole steps apart, either way.
fn difference(sd: f64, k: usize) -> f64 {
    let apart = sd * std::f64::consts::SQRT_2;
    if apart < 1e-9 {
        return f64::from(u8::from(k == 0));
    }
    // The integral of the normal distribution: its second difference weighs the density with a triangle from k - 1 to k + 1.
    let ramp = |x: f64| {
        let u = x / apart;
        let density = (-u * u / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt();
        apart * (u * Normal::standard().cdf(u) + density)
    };
    let k = k as f64;
    let one_way = (ramp(k + 1.0) - 2.0 * ramp(k) + ramp(k - 1.0)).max(0.0);
    if k == 0.0 { one_way } else { 2.0 * one_way }
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: closed form. Of two readings of one mark the share that comes out alike is 1 - E|d| as long as |d| stays under a step,
    // and E|d| = 2 sd / sqrt(pi): ten alike have a chance of 5 % where E|d| = 1 - 0.05^(1/10) = 0.258 866, that is at
    // sd = 0.229 414 steps. TOLERANCE: differences over a step, one in 500 of them, add 0.0002.
    #[test]
    fn ten_marks_alike_bound_it_at_a_quarter_of_a_step() {
        let found = Repeats::of(&[0.0; 10], 0.002).unwrap();
        assert!((found.high_m / 0.002 - 0.229_414).abs() < 3e-4, "{found:?}");
        assert!(found.low_m < 1e-9 && found.likely_m < 1e-9);
        assert_eq!(Repeats::of(&[0.0; 9], 0.002), None);
        assert_eq!(Repeats::of(&[0.0; 10], f64::NAN), None);
    }

    // ORACLE: handbook table of chi square, 10 degrees of freedom: 3.940 at 5 %, 18.307 at 95 %, 9.342 at 50 % (e.g. NIST/SEMATECH
    // e-Handbook, 1.3.6.7.4). Ten differences of sqrt(2) mm each, read to 1 micrometre: their sum of squares is 20 mm^2, twice
    // the variance of a reading is 20/chi2.
    #[test]
    fn fine_steps_give_chi_square() {
        let found = Repeats::of(&[std::f64::consts::SQRT_2 * 1e-3; 10], 1e-6).unwrap();
        let sd = |chi: f64| (10.0 / chi).sqrt() * 1e-3;
        for (got, want) in [
            (found.low_m, sd(18.307)),
            (found.likely_m, sd(9.342)),
            (found.high_m, sd(3.940)),
        ] {
            assert!((got / want - 1.0).abs() < 2e-4, "{got} {want}");
        }
    }

    // ORACLE: property: the chances of all differences add up to 1, their mean square is twice the variance and a sixth of a step
    // where readings scatter over more than a step.
    #[test]
    fn whole_steps_share_the_chance() {
        for sd in [0.05, 0.3, 0.7, 2.0] {
            let chances: Vec<f64> = (0..40).map(|k| difference(sd, k)).collect();
            assert!((chances.iter().sum::<f64>() - 1.0).abs() < 1e-9);
            if sd > 0.6 {
                let square: f64 = chances
                    .iter()
                    .enumerate()
                    .map(|(k, p)| (k * k) as f64 * p)
                    .sum();
                assert!(
                    (square - 2.0 * sd * sd - 1.0 / 6.0).abs() < 1e-3,
                    "{square}"
                );
            }
        }
    }
}
