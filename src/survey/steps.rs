//! Readings that lie by one amount off all those before: a line that was bumped, a rule held differently.

use super::robust::{median, place, plane_shares, spread, words_of};
use super::{Notice, Reading, Rule, Severity};
use crate::geometry::Point;
use crate::units::Length;
use nalgebra::{DMatrix, DVector};

/// Code of the notice that tells of a step.
pub(super) const STEP: &str = "readings-step";
/// A block's step is told from this size, metres: a little under 1/16 in.
pub const LEAST_STEP_M: f64 = 0.0014;
/// ... and from so many steps of the readings: where a floor slopes, rounding makes steps of one.
const STEPS_OF_RULE: f64 = 1.4;
/// ... when it is this many times its own standard deviation.
const STEP_RATIO: f64 = 7.0;
/// At least so many readings before a step, after it and between two of them: fewer are slips.
pub const SIDE: usize = 5;
/// The most steps looked for.
const MOST_STEPS: usize = 4;

/// Blocks of readings, in the order of the sheet, that step by one amount against those before.
pub(super) fn steps(
    readings: &[Reading],
    points: &[Point],
    heights: &[f64],
    around: &[Vec<usize>],
    resolution_m: Option<f64>,
) -> Vec<Notice> {
    let n = readings.len();
    let shares = shares_of(points, around);
    let residual = off_neighbours(|i| heights[i], &shares, around);
    // Who counts a reading among its neighbours, with which share.
    let mut used_by: Vec<Vec<(usize, f64)>> = vec![Vec::new(); n];
    for i in 0..n {
        for (&share, &j) in shares[i].iter().zip(&around[i]) {
            used_by[j].push((i, share));
        }
    }
    let sheet = Sheet {
        points,
        heights,
        around,
    };
    let step_of_rule = resolution_m.unwrap_or(0.0);
    // Rounding alone spreads readings by so much.
    let spread_of = |residual: &[f64]| spread(residual).max(step_of_rule * 0.29);
    // All that may be one, found one after the other; each time all are measured anew together, since a block that comes
    // back shows as two, and each alone as half of itself.
    let mut found: Vec<Step> = Vec::new();
    let mut left = residual.clone();
    for _ in 0..MOST_STEPS {
        let clear = |k: usize| found.iter().all(|s| s.from.abs_diff(k) >= SIDE);
        let Some(from) = best_step(&left, &shares, &used_by, spread_of(&left), clear) else {
            break;
        };
        found.push(Step {
            from,
            size_m: 0.0,
            pattern: off_neighbours(|i| f64::from(u8::from(i >= from)), &shares, around),
        });
        left = measure(&mut found, &residual);
    }
    // The least sure of those that do not hold goes first; the others are measured anew without it.
    while !found.is_empty() {
        // Judged by what is left once the steps are out, lest they hide in the spread they make themselves.
        let spread = spread_of(&left);
        let usual_m = sheet.usually_across(&found);
        let weakest = (0..found.len())
            .filter(|&i| !holds(&found, i, (spread, usual_m), step_of_rule, &sheet))
            .min_by(|&i, &j| found[i].ratio(spread).total_cmp(&found[j].ratio(spread)));
        let Some(i) = weakest else { break };
        found.remove(i);
        left = measure(&mut found, &residual);
    }
    found.sort_by_key(|s| s.from);
    let told = |step: &Step| {
        let first = &readings[step.from];
        Notice::new(
            STEP,
            Severity::Warning,
            place(first),
            format!(
                "From {} ({}) on, readings lie {} {} those before. If there is no joint or step in the floor here, the line was bumped, or the rule was held differently: read a few earlier points again. Nothing was changed.",
                first.label,
                words_of(first),
                Rule::of_step(resolution_m).both(Length::from_m(step.size_m.abs())),
                if step.size_m > 0.0 { "above" } else { "below" },
            ),
        )
    };
    found.iter().map(told).collect()
}

/// Readings from one on that lie by one amount off those before.
struct Step {
    /// The first of them.
    from: usize,
    /// Height above those before, metres.
    size_m: f64,
    /// How a unit of it shows in the residuals.
    pattern: Vec<f64>,
}

impl Step {
    /// How many times its own standard deviation it is.
    fn ratio(&self, spread: f64) -> f64 {
        let weight: f64 = self.pattern.iter().map(|g| g * g).sum();
        self.size_m.abs() * weight.sqrt() / spread.max(f64::MIN_POSITIVE)
    }
}

/// Readings in the order of the sheet.
struct Sheet<'a> {
    points: &'a [Point],
    heights: &'a [f64],
    /// The neighbours of each.
    around: &'a [Vec<usize>],
}

impl Sheet<'_> {
    /// The heights with these steps taken out.
    fn without<'s>(&self, steps: impl Iterator<Item = &'s Step>) -> Vec<f64> {
        let mut level = self.heights.to_vec();
        for step in steps {
            for height in &mut level[step.from..] {
                *height -= step.size_m;
            }
        }
        level
    }

    /// What readings stand above those before them at a step from reading `k` on, metres; see [`across`].
    fn across(&self, k: usize, heights: &[f64]) -> Option<f64> {
        across(k, self.points, heights, self.around)
    }

    /// What three in four other places in the order of the sheet do not show, with these steps taken out, metres; `None` where there are
    /// too few to tell a step from a wave by.
    fn usually_across(&self, steps: &[Step]) -> Option<f64> {
        /// Places looked at: at most, at least, and readings looked at for all of them.
        const MOST: usize = 200;
        const LEAST: usize = 40;
        const READINGS: usize = 2_000_000;
        let n = self.points.len();
        let level = self.without(steps.iter());
        let count = (READINGS / n).clamp(LEAST, MOST);
        let places = SIDE..n.saturating_sub(SIDE);
        let every = places.len().div_ceil(count).max(1);
        let clear = |k: &usize| steps.iter().all(|s| s.from.abs_diff(*k) >= SIDE);
        let mut said: Vec<f64> = places
            .step_by(every)
            .filter(clear)
            .filter_map(|k| self.across(k, &level).map(f64::abs))
            .collect();
        said.sort_by(f64::total_cmp);
        (said.len() >= SIDE).then(|| said[(said.len() - 1) * 3 / 4])
    }
}

/// Whether a step is large enough, sure enough, shows between neighbours, and stands out from what the floor shows between any others:
/// waves across rows read too far apart to show them rise and fall as much elsewhere, and nobody bumped the line.
fn holds(
    found: &[Step],
    i: usize,
    (spread, usual_m): (f64, Option<f64>),
    step_of_rule: f64,
    sheet: &Sheet<'_>,
) -> bool {
    let step = &found[i];
    if step.size_m.abs() < LEAST_STEP_M.max(STEPS_OF_RULE * step_of_rule)
        || step.ratio(spread) < STEP_RATIO
    {
        return false;
    }
    let Some(usual_m) = usual_m else {
        return false;
    };
    let shows = |heights: &[f64]| sheet.across(step.from, heights).map(|a| a / step.size_m);
    let level = sheet.without(found.iter().filter(|s| s.from != step.from));
    let (alone, among) = (shows(&level), shows(sheet.heights));
    // Rounding of a slope shows up to a step of the rule from row to row, alike along all of them.
    let rounding = usual_m <= 1.01 * step_of_rule;
    let least_m = if rounding {
        (STANDS_OUT * usual_m).min(ROUNDED_STEPS * step_of_rule)
    } else {
        STANDS_OUT * usual_m
    };
    let least = least_m / step.size_m.abs();
    alone.is_none_or(|a| a >= SEEN_ACROSS.max(least)) && among.is_none_or(|a| a >= SEEN_AMONG)
}

/// Measures steps together: the sizes that leave the least behind, in absolute values, so that a lone slip moves them
/// little, however large. Answers what is left.
///
/// # Method
/// Least absolute deviations by reweighted least squares (E. J. Schlossmacher, 1973).
fn measure(steps: &mut [Step], residual: &[f64]) -> Vec<f64> {
    /// Less than any rule shows: below it what is left weighs no more.
    const LEAST_M: f64 = 1e-5;
    const ROUNDS: usize = 40;
    let n = steps.len();
    let left = |steps: &[Step], i: usize| {
        let of_steps = steps.iter().map(|s| s.size_m * s.pattern[i]);
        residual[i] - of_steps.sum::<f64>()
    };
    let shows: Vec<usize> = (0..residual.len())
        .filter(|&i| steps.iter().any(|s| s.pattern[i].abs() > 1e-9))
        .collect();
    for _ in 0..if n == 0 { 0 } else { ROUNDS } {
        let mut normal = DMatrix::<f64>::zeros(n, n);
        let mut right = DVector::<f64>::zeros(n);
        for &i in &shows {
            let weight = 1.0 / left(steps, i).abs().max(LEAST_M);
            for (a, s) in steps.iter().enumerate() {
                right[a] += weight * s.pattern[i] * residual[i];
                for (b, t) in steps.iter().enumerate() {
                    normal[(a, b)] += weight * s.pattern[i] * t.pattern[i];
                }
            }
        }
        let Some(sizes) = normal.cholesky().map(|c| c.solve(&right)) else {
            break;
        };
        for (step, size) in steps.iter_mut().zip(&sizes) {
            step.size_m = *size;
        }
    }
    (0..residual.len()).map(|i| left(steps, i)).collect()
}

/// A step shows between neighbours on either side of it by so much of itself at least. Where a floor's own waves look like
/// one it shows by less: there is curvature, and no step.
const SEEN_ACROSS: f64 = 0.7;
/// The same with the other steps left in. Several together can follow any wave, and then none of them shows by itself.
const SEEN_AMONG: f64 = 0.5;
/// A step is so many times what three in four other places show. Chosen by trial: docs/methods.md tells how often it is right.
const STANDS_OUT: f64 = 4.2;
/// Where they show no more than rounding does, so many steps of the readings are enough.
const ROUNDED_STEPS: f64 = 3.8;

/// What readings from `k` on stand above the nearest ones before, beyond the slope that the floor has on both sides there:
/// the middle of all such pairs. `None` where no reading has neighbours in line on both sides.
fn across(k: usize, points: &[Point], heights: &[f64], around: &[Vec<usize>]) -> Option<f64> {
    /// A reading is in line when it lies off the place looked for by no more than this share of the way.
    const IN_LINE: f64 = 0.3;
    let beyond = |from: usize, way: Point, same_side: &dyn Fn(usize) -> bool| {
        let to = points[from] + way;
        let near = around[from].iter().copied().filter(|&j| same_side(j));
        near.map(|j| (points[j].distance(to), j))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .filter(|(off, _)| *off <= IN_LINE * way.norm())
            .map(|(_, j)| heights[j] - heights[from])
    };
    let mut said: Vec<f64> = (k..points.len())
        .filter_map(|i| {
            let before = around[i].iter().copied().filter(|&j| j < k);
            let j = before.min_by(|&a, &b| {
                let way = |j: usize| points[i].distance(points[j]);
                way(a).total_cmp(&way(b))
            })?;
            let way = points[i] - points[j];
            let on = beyond(i, way, &|j| j >= k);
            let back = beyond(j, way * -1.0, &|j| j < k).map(|d| -d);
            let slopes: Vec<f64> = [on, back].into_iter().flatten().collect();
            if slopes.is_empty() {
                return None;
            }
            let slope = slopes.iter().sum::<f64>() / slopes.len() as f64;
            Some(heights[i] - heights[j] - slope)
        })
        .collect();
    (!said.is_empty()).then(|| median(&mut said))
}

/// By how much blocks of readings lie above the others, metres: measured together as steps are, at their borders.
pub(super) fn lie_above(
    points: &[Point],
    heights: &[f64],
    around: &[Vec<usize>],
    blocks: &[Vec<bool>],
) -> Vec<f64> {
    let shares = shares_of(points, around);
    let residual = off_neighbours(|i| heights[i], &shares, around);
    let pattern =
        |block: &Vec<bool>| off_neighbours(|i| f64::from(u8::from(block[i])), &shares, around);
    let mut steps: Vec<Step> = (blocks.iter())
        .map(|block| Step {
            from: 0,
            size_m: 0.0,
            pattern: pattern(block),
        })
        .collect();
    measure(&mut steps, &residual);
    steps.iter().map(|s| s.size_m).collect()
}

/// Shares of its neighbours in the height of the plane through them, of each reading.
fn shares_of(points: &[Point], around: &[Vec<usize>]) -> Vec<Vec<f64>> {
    let of = |i: usize| {
        let near: Vec<Point> = around[i].iter().map(|&j| points[j]).collect();
        plane_shares(points[i], &near).unwrap_or_default()
    };
    (0..points.len()).map(of).collect()
}

/// What each reading has of something over the plane of its neighbours.
fn off_neighbours(
    value: impl Fn(usize) -> f64,
    shares: &[Vec<f64>],
    around: &[Vec<usize>],
) -> Vec<f64> {
    let over = |i: usize| {
        let near = shares[i].iter().zip(&around[i]);
        near.map(|(s, &j)| s * (value(i) - value(j))).sum()
    };
    (0..shares.len()).map(over).collect()
}

/// The reading from which on a step explains most, of those that are clear of the steps already found.
fn best_step(
    residual: &[f64],
    shares: &[Vec<f64>],
    used_by: &[Vec<(usize, f64)>],
    spread: f64,
    clear: impl Fn(usize) -> bool,
) -> Option<usize> {
    /// The pattern must rest on about so many readings.
    const LEAST_WEIGHT: f64 = 1.5;
    let n = residual.len();
    // A lone slip must not pass for a step.
    let clipped: Vec<f64> = residual
        .iter()
        .map(|r| r.clamp(-8.0 * spread, 8.0 * spread))
        .collect();
    let sum_of_shares: Vec<f64> = shares.iter().map(|s| s.iter().sum()).collect();
    // Pattern for k = 0 (all after) is zero; each reading that moves to "before" changes its own entry
    // and those that count it.
    let mut g = vec![0.0; n];
    let (mut rg, mut gg) = (0.0, 0.0);
    let mut best: Option<(f64, usize)> = None;
    for k in 1..n {
        let moved = k - 1;
        let mut change = |i: usize, by: f64| {
            rg += clipped[i] * by;
            gg += (g[i] + by).powi(2) - g[i] * g[i];
            g[i] += by;
        };
        change(moved, -sum_of_shares[moved]);
        for &(i, share) in &used_by[moved] {
            change(i, share);
        }
        if k < SIDE || n - k < SIDE || gg < LEAST_WEIGHT || !clear(k) {
            continue;
        }
        let explained = rg * rg / gg;
        if best.is_none_or(|(most, _)| explained > most) {
            best = Some((explained, k));
        }
    }
    best.map(|(_, k)| k)
}
