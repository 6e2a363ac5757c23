//! Readings of sample lines that look like slips.

use super::robust::{FEWEST, MOST_TOLD, SAME_M, spread, told_from};
use super::{Notice, Place, Rule, Severity};
use crate::units::Length;

/// Readings of a sample line that look like slips.
///
/// # Units, datum, sign
/// Metres; elevations up positive. `step_m` is the step that readings were taken to.
/// # Method
/// A reading is held against the straight way between those beside it, at an end against the two next to it carried on. It is
/// told when it is off by nearly 1/4 in and by six times the robust spread of all readings of the line; the one whose mending
/// makes the line the evenest first, and the search goes on as if it were mended, so that those beside it are not told too.
/// # Edge cases
/// Nothing for fewer than twelve readings.
pub fn line_findings(
    name: &str,
    elevations_m: &[f64],
    places: &[Place],
    step_m: Option<f64>,
) -> Vec<Notice> {
    let n = elevations_m.len();
    if n < FEWEST || places.len() != n {
        return Vec::new();
    }
    let mut z = elevations_m.to_vec();
    let off = |z: &[f64], i: usize| match i {
        0 => z[0] - (2.0 * z[1] - z[2]),
        i if i + 1 == n => z[i] - (2.0 * z[i - 1] - z[i - 2]),
        i => z[i] - z[i - 1].midpoint(z[i + 1]),
    };
    let all: Vec<f64> = (0..n).map(|i| off(&z, i)).collect();
    let limit = told_from(spread(&all), step_m);
    // How uneven the line is about a reading.
    let uneven = |z: &[f64], i: usize| -> f64 {
        (i.saturating_sub(1).max(1)..=(i + 1).min(n - 2))
            .map(|k| (z[k - 1] - 2.0 * z[k] + z[k + 1]).abs())
            .sum()
    };
    let mut found: Vec<(usize, f64)> = Vec::new();
    while found.len() < MOST_TOLD {
        let gain = |i: usize| {
            let mut mended = z.clone();
            mended[i] -= off(&z, i);
            uneven(&z, i) - uneven(&mended, i)
        };
        let worst = (0..n)
            .filter(|&i| off(&z, i).abs() > limit + SAME_M && found.iter().all(|f| f.0 != i))
            .map(|i| (gain(i), i))
            .filter(|(gain, _)| *gain > SAME_M)
            .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
        let Some((_, i)) = worst else { break };
        let size = off(&z, i);
        found.push((i, size));
        z[i] -= size;
    }
    found.sort_unstable_by_key(|f| f.0);
    let told = |&(i, off_m): &(usize, f64)| {
        Notice::new(
            "suspect-line-reading",
            Severity::Warning,
            places[i].to_string(),
            format!(
                "Reading {} of the line {name} lies {} {} what those beside it say. F-numbers hang on it: read it again; nothing was changed.",
                i + 1,
                Rule::of_step(step_m).both(Length::from_m(off_m.abs())),
                if off_m > 0.0 { "above" } else { "below" },
            ),
        )
    };
    found.iter().map(told).collect()
}
