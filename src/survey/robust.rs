//! What readings are held against one another by: robust spread, the plane of neighbours, and when a difference is told.

use super::Reading;
use crate::geometry::Point;
use nalgebra::{Matrix3, Vector3};

/// Fewest readings to tell anything from.
pub(super) const FEWEST: usize = 12;
/// A reading is suspect only when it is off by this much, metres: nearly 1/4 in.
pub(super) const LEAST_OFF_M: f64 = 0.006;
/// ... and by this many times the robust spread of all readings about their neighbours.
pub(super) const LEAST_RATIO: f64 = 6.0;
/// The most suspects told one by one.
pub(super) const MOST_TOLD: usize = 40;

/// Differences smaller than this come from rounding: nothing is decided by them, metres.
pub(super) const SAME_M: f64 = 1e-6;

pub(super) fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len();
    if n == 0 {
        0.0
    } else if n % 2 == 1 {
        values[n / 2]
    } else {
        (values[n / 2 - 1] + values[n / 2]) / 2.0
    }
}

/// Robust spread: 1.4826 times the median of the sizes, the standard deviation where they are normal.
pub(super) fn spread(off: &[f64]) -> f64 {
    let mut sizes: Vec<f64> = off.iter().map(|r| r.abs()).collect();
    1.4826 * median(&mut sizes)
}

/// How far off those beside it a reading is told of, metres, by the spread and the step of all.
pub(super) fn told_from(spread: f64, step_m: Option<f64>) -> f64 {
    LEAST_OFF_M
        .max(LEAST_RATIO * spread)
        .max(3.0 * step_m.unwrap_or(0.0))
}

/// One and the place of each neighbour as seen from `at`, in parts of the distance to the farthest: what a plane through them is fitted with.
/// `None` where they lie in one line.
pub(super) fn plane_rows(at: Point, near: &[Point]) -> Option<Vec<Vector3<f64>>> {
    if near.len() < 3 {
        return None;
    }
    let size = near
        .iter()
        .map(|p| p.distance(at))
        .fold(0.0, f64::max)
        .max(1e-9);
    let rows: Vec<Vector3<f64>> = near
        .iter()
        .map(|&p| {
            let d = (p - at) * (1.0 / size);
            Vector3::new(1.0, d.x, d.y)
        })
        .collect();
    let scaled = normal_of(&rows) / near.len() as f64;
    (scaled.determinant().abs() >= 1e-6).then_some(rows)
}

fn normal_of(rows: &[Vector3<f64>]) -> Matrix3<f64> {
    rows.iter()
        .fold(Matrix3::zeros(), |sum, row| sum + row * row.transpose())
}

/// Shares of the neighbours' heights in the height of their least-squares plane at `at`.
/// `None` where they lie in one line.
pub(super) fn plane_shares(at: Point, near: &[Point]) -> Option<Vec<f64>> {
    let rows = plane_rows(at, near)?;
    let inverse = normal_of(&rows).try_inverse()?;
    Some(rows.iter().map(|row| (inverse * row).x).collect())
}

/// Where a reading stands on its sheet; its name where it has none.
pub(super) fn place(reading: &Reading) -> String {
    if reading.raw.place.row > 0 {
        reading.raw.place.to_string()
    } else {
        format!("point {}", reading.label)
    }
}

/// What was written for it.
pub(super) fn words_of(reading: &Reading) -> String {
    if reading.raw.text.is_empty() {
        "no text".to_owned()
    } else {
        format!("read as \u{201c}{}\u{201d}", reading.raw.text)
    }
}
