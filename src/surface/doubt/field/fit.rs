//! The sizes of the field that suit the readings best, with their noise as known.

use super::model::{Given, Posterior, Sizes, Smoothness};
use crate::geometry::{Point, PointGrid};
use crate::surface::Floor;
use crate::surface::doubt::Told;
use rayon::prelude::*;
use std::sync::Arc;

/// How far heights go together on floors, metres, and the spread of its logarithm.
const LIKELY_RANGE_M: f64 = 1.5;
const RANGE_SPREAD: f64 = 1.0;
/// Spread of the logarithm of the floor's own spread about what its readings show.
const SD_SPREAD: f64 = 1.5;
/// A spread under a tenth of a micrometre is rounding, not floor: metres.
const LEAST_SPREAD_M: f64 = 1e-7;
/// Steps are halved so often, and at most so many are taken of one size.
const HALVINGS: u32 = 2;
const MOST_STEPS: u32 = 8;
/// Ways to step, in range and spread: longer waves are higher ones.
const WAYS: [(f64, f64); 6] = [
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.0, 1.0),
    (0.0, -1.0),
    (1.0, 1.0),
    (-1.0, -1.0),
];

/// Sizes that suit the readings, and how well: the logarithm of their restricted likelihood and of the weak priors.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fitted {
    pub(super) sizes: Sizes,
    pub(super) log_likelihood: f64,
}

/// Sizes of a field of one order that suit the readings of these pieces of one floor best, by restricted likelihood with weak priors on
/// range and spread; `None` where heights do not vary or the numbers allow no fit.
///
/// # Method
/// Steps to the best neighbour in the logarithms of both, halved where there is none. Readings' noise is never fitted: with it
/// free, waves that the readings just cannot follow are taken for noise.
fn sizes(
    pieces: &[Arc<Given>],
    smoothness: Smoothness,
    noise_m: f64,
    spacing_m: f64,
    told: Told<'_>,
) -> Option<Fitted> {
    let count: usize = pieces.iter().map(|p| p.seen.len()).sum();
    let squares: f64 = pieces
        .iter()
        .flat_map(|p| &p.seen)
        .map(|s| s.height_m.powi(2))
        .sum();
    let spread = (squares / count.max(1) as f64).sqrt();
    if spread < LEAST_SPREAD_M || noise_m <= 0.0 {
        return None;
    }
    let mut orders = vec![None; pieces.len()];
    let mut judge = |log_range: f64, log_sd: f64| -> Option<f64> {
        told();
        let sizes = Sizes {
            smoothness,
            sd_m: log_sd.exp(),
            range_m: log_range.exp(),
            noise_m,
        };
        let likelihood = pieces
            .par_iter()
            .zip(&mut orders)
            .map(|(piece, order)| Some(Posterior::new(piece, sizes, None, order)?.log_likelihood()))
            .collect::<Option<Vec<f64>>>()?
            .iter()
            .sum::<f64>();
        let off_range = (log_range - LIKELY_RANGE_M.ln()) / RANGE_SPREAD;
        let off_sd = (log_sd - spread.max(noise_m / 2.0).ln()) / SD_SPREAD;
        let value = likelihood - (off_range.powi(2) + off_sd.powi(2)) / 2.0;
        value.is_finite().then_some(value)
    };
    let (mut range_step, mut sd_step) = (0.6, 0.8);
    let mut best = (f64::MIN, LIKELY_RANGE_M.max(spacing_m).ln(), spread.ln());
    best.0 = judge(best.1, best.2)?;
    for _ in 0..=HALVINGS {
        for _ in 0..MOST_STEPS {
            let from = best;
            for (r, s) in WAYS {
                let (r, s) = (from.1 + r * range_step, from.2 + s * sd_step);
                if let Some(v) = judge(r, s)
                    && v > best.0
                {
                    best = (v, r, s);
                }
            }
            if best == from {
                break;
            }
        }
        range_step /= 2.0;
        sd_step /= 2.0;
    }
    Some(Fitted {
        sizes: Sizes {
            smoothness,
            sd_m: best.2.exp(),
            range_m: best.1.exp(),
            noise_m,
        },
        log_likelihood: best.0,
    })
}

/// The noise that the readings leave room for, with the sizes that suit it: what is stated, or less, where they scatter less
/// than it says, as by chance once in a hundred. Never under `least_m`, what their step alone makes of it.
///
/// A noise that is stated too large would explain a floor away: with all of its shape taken for noise, every floor that may be is a
/// plane.
pub(super) fn believable(
    pieces: &[Arc<Given>],
    smoothness: Smoothness,
    (stated_m, least_m): (f64, f64),
    spacing_m: f64,
    told: Told<'_>,
) -> Option<Fitted> {
    let mut noise_m = stated_m;
    for _ in 0..MOST_LOWERED {
        let found = sizes(pieces, smoothness, noise_m, spacing_m, told)?;
        let (mut squares, mut free) = (0.0, 0.0);
        for piece in pieces {
            let of = Posterior::new(piece, found.sizes, None, &mut None)?.scatter();
            squares += of.0;
            free += of.1;
        }
        let scatter = squares / f64::max(free, 1.0);
        if noise_m <= least_m || scatter >= 1.0 - ONCE_IN_100 * (2.0 / f64::max(free, 1.0)).sqrt() {
            return Some(found);
        }
        noise_m = (noise_m * scatter.sqrt()).max(least_m);
    }
    sizes(pieces, smoothness, noise_m, spacing_m, told)
}

/// How far what one reading says of the size counts for its neighbourhood, in spacings: one deviation of a bell.
const REACH: f64 = 1.2;
/// Readings' worth of trust in one size for the whole floor.
const TRUST: f64 = 4.0;
/// Times that the sizes are looked at again with those found before.
const ROUNDS: u32 = 3;
/// Sizes of a place against that of the floor, in squares, stay between these.
const LEAST: f64 = 0.1;
const MOST: f64 = 100.0;
/// Deviations of the normal distribution that are passed on one side once in a hundred.
const ONCE_IN_100: f64 = 2.326;
/// Times that a noise is lowered.
const MOST_LOWERED: u32 = 5;
/// What is no noise raises the size about it by so many times itself, in squares, at most so often.
const RAISED_BY: f64 = 3.0;
const MOST_RAISED: u32 = 12;
/// A bell is over at so many deviations.
const FAR: f64 = 3.0;

/// By how much more, in squares, the field varies at each vertex than its size says: from what each reading says
/// against all the others.
///
/// # Method
/// Left out one at a time, readings of one size come out with a variance of 1. The mean square of those about a place,
/// weighted by a bell and held to 1 by a few readings' worth, multiplies the size there; and again with the new sizes. So a
/// half that is rougher than the other has a size of its own, and a nub that one reading shows is not smoothed away.
pub(super) fn local(
    given: &Arc<Given>,
    floor: &Floor,
    sizes: Sizes,
    spacing_m: f64,
    told: Told<'_>,
) -> Option<Vec<f64>> {
    let at = |v: u32| floor.vertices()[v as usize].at;
    let bell = REACH * spacing_m;
    let grid = PointGrid::new(given.seen.iter().map(|s| at(s.vertex)).collect());
    let half = Point::new(FAR * bell, FAR * bell);
    // Readings about each vertex, with their weights.
    let about: Vec<Vec<(u32, f64)>> = floor
        .vertices()
        .par_iter()
        .map(|v| {
            grid.in_box(v.at - half, v.at + half)
                .map(|i| {
                    let d = at(given.seen[i as usize].vertex).distance(v.at) / bell;
                    (i, (-d * d / 2.0).exp())
                })
                .collect()
        })
        .collect();
    let mut scale = vec![1.0f64; about.len()];
    let mut order = None;
    for _ in 0..ROUNDS {
        told();
        let mut posterior = Posterior::new(given, sizes, Some(&scale), &mut order)?;
        let left = posterior.left_out();
        for (scale, about) in scale.iter_mut().zip(&about) {
            let (mut sum, mut weight) = (TRUST, TRUST);
            for &(i, w) in about {
                sum += w * left[i as usize].powi(2);
                weight += w;
            }
            *scale = (*scale * sum / weight).clamp(LEAST, MOST);
        }
    }
    not_noise(given, sizes, &about, scale, told)
}

/// Sizes about readings that noise alone does not explain, raised until it does.
///
/// A field that is small everywhere takes a pit that one reading shows for a reading off by ten times its noise. No reading is
/// off by more than the largest of so many normal errors: beyond that it is the floor that stands off.
fn not_noise(
    given: &Arc<Given>,
    sizes: Sizes,
    about: &[Vec<(u32, f64)>],
    mut scale: Vec<f64>,
    told: Told<'_>,
) -> Option<Vec<f64>> {
    let most = sizes.noise_m * (2.0 * (2.0 * given.seen.len() as f64).ln()).sqrt();
    let mut order = None;
    for _ in 0..MOST_RAISED {
        told();
        let mean = Posterior::new(given, sizes, Some(&scale), &mut order)?.mean();
        let off: Vec<bool> = given
            .seen
            .iter()
            .map(|s| (s.height_m - mean[s.vertex as usize]).abs() > most)
            .collect();
        if !off.contains(&true) {
            break;
        }
        for (scale, about) in scale.iter_mut().zip(about) {
            let near = about
                .iter()
                .filter(|(i, _)| off[*i as usize])
                .map(|(_, w)| *w)
                .fold(0.0, f64::max);
            *scale *= 1.0 + RAISED_BY * near;
        }
    }
    Some(scale)
}
