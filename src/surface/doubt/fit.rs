//! The variation that suits the readings best.

use super::kriging::Kriging;
use super::variation::Variation;
use crate::geometry::Point;
use rayon::prelude::*;

/// Most readings that the fit looks at; of more it takes every so manieth. Two numbers need no more, and the
/// time grows with the cube.
const MOST_FITTED: usize = 300;
/// Ranges tried first, from half a spacing to this many times the reach of the readings.
const LONGEST: f64 = 2.0;
const RANGES: u32 = 9;
/// Noise tried first, as a share of the floor's own spread: from this to as much.
const LEAST_NOISE: f64 = 1e-3;
const NOISES: u32 = 5;
/// Times that the steps are halved around the best.
const HALVINGS: u32 = 4;

/// A spread under a tenth of a micrometre is rounding, not floor: square metres.
const LEAST_VARIANCE: f64 = 1e-14;

/// Restricted maximum likelihood over range and noise; the spread follows from both.
///
/// # Method
/// A grid of ranges and noises in even ratios, then the best with its eight neighbours at steps halved time
/// and again. The likelihood of such fits is flat near its top, so steps finer than the last tell nothing.
pub(super) fn fit(
    at: &[Point],
    z: &[f64],
    spacing_m: f64,
    least_noise_m: f64,
) -> Option<Variation> {
    let step = at.len().div_ceil(MOST_FITTED);
    let at: Vec<Point> = at.iter().copied().step_by(step).collect();
    let z: Vec<f64> = z.iter().copied().step_by(step).collect();
    let middle = at.iter().fold(Point::default(), |s, p| s + *p) * (1.0 / at.len() as f64);
    let reach = at.iter().map(|p| p.distance(middle)).fold(0.0, f64::max);
    let shortest = spacing_m / 2.0;
    let longest = LONGEST * reach;
    if !(shortest > 0.0 && longest > shortest) {
        return None;
    }
    let range_step = (longest / shortest).ln() / f64::from(RANGES - 1);
    let noise_step = -LEAST_NOISE.ln() / f64::from(NOISES - 1);
    let mut tries: Vec<(f64, f64)> = Vec::new();
    for r in 0..RANGES {
        for n in 0..NOISES {
            tries.push((
                shortest.ln() + range_step * f64::from(r),
                LEAST_NOISE.ln() + noise_step * f64::from(n),
            ));
        }
    }
    let judge = |&(log_range, log_noise): &(f64, f64)| -> Option<(f64, f64, f64, f64)> {
        let share = Variation {
            sd_m: 1.0,
            range_m: log_range.exp(),
            noise_m: log_noise.exp(),
        };
        let (value, variance) = Kriging::new(&at, &z, share)?.best_likelihood();
        (value.is_finite() && variance > LEAST_VARIANCE)
            .then_some((value, log_range, log_noise, variance))
    };
    let best_of = |tries: &[(f64, f64)]| {
        let judged: Vec<_> = tries.par_iter().filter_map(judge).collect();
        judged
            .into_iter()
            .fold(None, |best: Option<(f64, f64, f64, f64)>, t| match best {
                Some(b) if b.0 >= t.0 => Some(b),
                _ => Some(t),
            })
    };
    let mut best = best_of(&tries)?;
    for halving in 1..=HALVINGS {
        let share = 0.5f64.powi(halving as i32);
        let around: Vec<(f64, f64)> = [-1.0, 0.0, 1.0]
            .iter()
            .flat_map(|a| [-1.0, 0.0, 1.0].map(|b| (*a, b)))
            .filter(|t| *t != (0.0, 0.0))
            .map(|(a, b)| {
                (
                    (best.1 + a * range_step * share).clamp(shortest.ln(), longest.ln()),
                    (best.2 + b * noise_step * share).min(0.0),
                )
            })
            .collect();
        if let Some(found) = best_of(&around)
            && found.0 > best.0
        {
            best = found;
        }
    }
    let (_, log_range, log_noise, variance) = best;
    let sd_m = variance.sqrt();
    Some(Variation {
        sd_m,
        range_m: log_range.exp(),
        noise_m: (sd_m * log_noise.exp()).max(least_noise_m),
    })
}
