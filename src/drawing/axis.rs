//! Round steps for axes.

use super::figures::MarkUnit;
use crate::units::{FOOT_M, Habit};

/// More ticks than this crowd an axis.
const MOST_TICKS: f64 = 9.0;

/// The step between ticks of plan distance, metres, and the digits its figures need.
pub(super) fn plan_step(habit: Habit, longest_m: f64) -> (f64, usize) {
    let (unit, steps): (f64, &[f64]) = match habit {
        Habit::Us => (
            FOOT_M,
            &[0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0],
        ),
        Habit::Metric => (
            1.0,
            &[0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0],
        ),
    };
    let step = steps
        .iter()
        .copied()
        .find(|s| longest_m / (s * unit) <= MOST_TICKS)
        .unwrap_or_else(|| (longest_m / unit / MOST_TICKS).ceil());
    let decimals = if step >= 1.0 {
        0
    } else if step == 0.25 {
        2
    } else {
        1
    };
    (step * unit, decimals)
}

/// The step between ticks of gaps or depths, metres: doubling sixteenths or 1-2-5 millimetres.
pub(super) fn gap_step(unit: MarkUnit, largest_m: f64) -> f64 {
    let mut i = 0;
    // 2^40 units reach any gap; the loop ends long before.
    while i < 40 && largest_m / (unit.step_m() * super::bands::nice(i, unit)) > MOST_TICKS {
        i += 1;
    }
    unit.step_m() * super::bands::nice(i, unit)
}

/// Multiples of a step from zero up to `longest`, a hair more included.
pub(super) fn ticks(step: f64, longest: f64) -> impl Iterator<Item = f64> {
    let count = (longest / step + 1e-9).floor().clamp(0.0, 1000.0) as u32;
    (0..=count).map(move |i| f64::from(i) * step)
}
