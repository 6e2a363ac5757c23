//! Spots read from more than one set-up, and the shifts of set-ups that bring their heights together.

use super::Reading;
use crate::geometry::{Point, PointGrid};
use nalgebra::{DMatrix, DVector};
use std::collections::{BTreeMap, HashMap};

/// Readings nearer to each other than this were taken at one spot, metres.
pub const SAME_SPOT_M: f64 = 0.025;

/// Same, for two readings that also carry one name, metres.
pub const SAME_NAME_M: f64 = 0.075;

/// Readings of one set-up no farther apart than this stand at one mark, metres: rounding of one place.
const SAME_MARK_M: f64 = 1e-6;

/// Readings of one spot from more than one set-up, each group in reading order.
pub(super) fn shared_groups(readings: &[Reading]) -> Vec<Vec<usize>> {
    let mut groups = groups_of_marks(readings);
    groups.retain(|g| {
        g.iter()
            .any(|&i| readings[i].set_up != readings[g[0]].set_up)
    });
    groups
}

/// Every mark of a survey once: its first reading, and its name, with the set-up where the name stands for another mark, too, as on sheets that
/// each count their own rows.
pub fn marks_once(readings: &[Reading], set_ups: &[String]) -> Vec<(usize, String)> {
    let firsts: Vec<usize> = groups_of_marks(readings).iter().map(|g| g[0]).collect();
    let mut count: HashMap<&str, u32> = HashMap::new();
    for &i in &firsts {
        *count.entry(readings[i].label.as_str()).or_default() += 1;
    }
    let name = |i: usize| {
        let first = &readings[i];
        let elsewhere = !first.label.is_empty() && count[first.label.as_str()] > 1;
        match set_ups.get(first.set_up) {
            Some(set_up) if elsewhere => with_set_up(&first.label, set_up),
            _ => first.label.to_string(),
        }
    };
    firsts.iter().map(|&i| (i, name(i))).collect()
}

/// A mark whose name another one bears too: `A14 (hall)`.
fn with_set_up(label: &str, set_up: &str) -> String {
    format!("{label} ({set_up})")
}

/// Readings of each mark, each group in reading order, the groups in that of their first.
fn groups_of_marks(readings: &[Reading]) -> Vec<Vec<usize>> {
    let grid = PointGrid::new(readings.iter().map(|r| r.at).collect());
    let mut root: Vec<usize> = (0..readings.len()).collect();
    fn find(root: &mut [usize], mut i: usize) -> usize {
        // Halving the path bounds the walk: every step comes nearer to the root.
        while root[i] != i {
            root[i] = root[root[i]];
            i = root[i];
        }
        i
    }
    let reach = Point::new(SAME_NAME_M, SAME_NAME_M);
    for (i, reading) in readings.iter().enumerate() {
        for j in grid.in_box(reading.at - reach, reading.at + reach) {
            let j = j as usize;
            let other = &readings[j];
            if j >= i {
                continue;
            }
            let apart = other.at.distance(reading.at);
            if other.set_up == reading.set_up && apart > SAME_MARK_M {
                continue;
            }
            let named = !reading.label.is_empty()
                && reading.label.eq_ignore_ascii_case(&other.label)
                && apart <= SAME_NAME_M;
            if named || apart <= SAME_SPOT_M {
                let (a, b) = (find(&mut root, i), find(&mut root, j));
                root[a.max(b)] = a.min(b);
            }
        }
    }
    let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for i in 0..readings.len() {
        groups.entry(find(&mut root, i)).or_default().push(i);
    }
    groups.into_values().collect()
}

/// Name of a shared spot, as its first reading has it: with that reading's set-up where the name stands for another spot, too, as
/// on sheets that each count their own rows.
pub(super) fn mark_name(readings: &[Reading], group: &[usize], set_ups: &[String]) -> String {
    let first = &readings[group[0]];
    let elsewhere = readings
        .iter()
        .enumerate()
        .any(|(i, r)| r.label == first.label && !group.contains(&i));
    match set_ups.get(first.set_up) {
        Some(set_up) if elsewhere => with_set_up(&first.label, set_up),
        _ => first.label.to_string(),
    }
}

/// Which set-ups hang together with the first of all, over shared spots.
fn reached(readings: &[Reading], groups: &[&Vec<usize>], set_ups: usize) -> Vec<bool> {
    let mut reached = vec![false; set_ups];
    reached[0] = true;
    // Each round reaches one more set-up or is the last.
    for _ in 0..set_ups {
        for group in groups {
            if group.iter().any(|&i| reached[readings[i].set_up]) {
                for &i in *group {
                    reached[readings[i].set_up] = true;
                }
            }
        }
    }
    reached
}

/// The first set-up that does not hang together with the first of all, over shared spots.
pub(super) fn cut_off(
    readings: &[Reading],
    groups: &[Vec<usize>],
    set_ups: usize,
) -> Option<usize> {
    let groups: Vec<&Vec<usize>> = groups.iter().collect();
    reached(readings, &groups, set_ups).iter().position(|r| !r)
}

/// The set-ups that would be cut off if one group of shared readings were not there; `None` where none would be.
pub(super) fn hanging_on(
    readings: &[Reading],
    groups: &[Vec<usize>],
    without: usize,
    set_ups: usize,
) -> Option<Vec<usize>> {
    let others: Vec<&Vec<usize>> = groups
        .iter()
        .enumerate()
        .filter(|(g, _)| *g != without)
        .map(|(_, group)| group)
        .collect();
    let reached = reached(readings, &others, set_ups);
    let beyond: Vec<usize> = (0..set_ups).filter(|&k| !reached[k]).collect();
    (!beyond.is_empty()).then_some(beyond)
}

/// The matrix of the normal equations for the `n` shifts.
pub(super) fn normal_matrix(
    readings: &[Reading],
    groups: &[Vec<usize>],
    n: usize,
    weights: &[f64],
) -> DMatrix<f64> {
    let mut normal = DMatrix::<f64>::zeros(n, n);
    for (group, weight) in groups.iter().zip(weights) {
        let share = 1.0 / group.len() as f64;
        for &i in group {
            let a = readings[i].set_up;
            if a == 0 {
                continue;
            }
            normal[(a - 1, a - 1)] += weight;
            for &j in group {
                let b = readings[j].set_up;
                if b > 0 {
                    normal[(a - 1, b - 1)] -= weight * share;
                }
            }
        }
    }
    normal
}

/// Shifts, the first 0, that make the weighted sum of squares of shared heights about their group
/// means least.
pub(super) fn least_squares(
    readings: &[Reading],
    groups: &[Vec<usize>],
    set_ups: usize,
    weights: &[f64],
) -> Vec<f64> {
    let n = set_ups - 1;
    let normal = normal_matrix(readings, groups, n, weights);
    let mut right = DVector::<f64>::zeros(n);
    for (group, weight) in groups.iter().zip(weights) {
        let share = 1.0 / group.len() as f64;
        // Heights about their mean, so that far-off elevations lose no digits.
        let mean = group
            .iter()
            .map(|&i| readings[i].elevation.m())
            .sum::<f64>()
            * share;
        for &i in group {
            let a = readings[i].set_up;
            if a == 0 {
                continue;
            }
            right[a - 1] -= weight * (readings[i].elevation.m() - mean);
        }
    }
    let mut shifts = vec![0.0];
    match normal.cholesky() {
        Some(factor) => shifts.extend(factor.solve(&right).iter()),
        // Every set-up is connected, so the matrix is positive definite but for rounding.
        None => shifts.extend(std::iter::repeat_n(0.0, n)),
    }
    shifts
}

/// Shifts that make the sum of the shared heights' departures least, in absolute values.
pub(super) fn least_absolute(
    readings: &[Reading],
    groups: &[Vec<usize>],
    set_ups: usize,
) -> Vec<f64> {
    const ROUNDS: usize = 60;
    let mut weights = vec![1.0; groups.len()];
    let mut shifts = least_squares(readings, groups, set_ups, &weights);
    for _ in 0..ROUNDS {
        for (weight, group) in weights.iter_mut().zip(groups) {
            let heights: Vec<f64> = group
                .iter()
                .map(|&i| height(readings, &shifts, i))
                .collect();
            let mean = heights.iter().sum::<f64>() / heights.len() as f64;
            let off = heights.iter().map(|h| (h - mean).abs()).sum::<f64>();
            *weight = 1.0 / off.max(1e-5);
        }
        shifts = least_squares(readings, groups, set_ups, &weights);
    }
    shifts
}

/// The others, tied without this spot; `None` where they do not hang together then.
pub(super) fn tied_without(
    readings: &[Reading],
    groups: &[Vec<usize>],
    without: usize,
    names: &[String],
) -> Option<Vec<f64>> {
    if hanging_on(readings, groups, without, names.len()).is_some() {
        return None;
    }
    let mut weights = vec![1.0; groups.len()];
    weights[without] = 0.0;
    Some(least_squares(readings, groups, names.len(), &weights))
}

/// How far a spot lies off what all others say, metres: the spread of its heights once they are tied without it. Of one that
/// set-ups hang on, what its own readings disagree by as tied.
pub(super) fn off_others(
    readings: &[Reading],
    groups: &[Vec<usize>],
    g: usize,
    names: &[String],
) -> f64 {
    let shifts = tied_without(readings, groups, g, names)
        .unwrap_or_else(|| least_squares(readings, groups, names.len(), &vec![1.0; groups.len()]));
    spread_of(readings, &shifts, &groups[g])
}

/// Highest less lowest of the heights that one spot has, tied.
pub(super) fn spread_of(readings: &[Reading], shifts: &[f64], group: &[usize]) -> f64 {
    let heights = || group.iter().map(|&i| height(readings, shifts, i));
    heights().fold(f64::NEG_INFINITY, f64::max) - heights().fold(f64::INFINITY, f64::min)
}

pub(super) fn height(readings: &[Reading], shifts: &[f64], i: usize) -> f64 {
    readings[i].elevation.m() + shifts[readings[i].set_up]
}
