//! What was placed between the two days.

use crate::fill::Stage;
use crate::surface::{Floor, Source};

/// The floor of one day.
#[derive(Debug, Clone, Copy)]
pub struct Day<'a> {
    /// Its surface.
    pub floor: &'a Floor,
    /// Its highest reading, metres.
    pub high_m: f64,
}

/// Root of the sum of the squared areas that single readings speak for, square metres: a third of the triangles about each, and what is carried
/// out goes with a reading beside it.
pub fn uneven_m2(floor: &Floor) -> f64 {
    let is_read = |v: u32| matches!(floor.vertices()[v as usize].source, Source::Reading(_));
    let mut own = vec![0.0_f64; floor.vertices().len()];
    for (t, corners) in floor.triangles().iter().enumerate() {
        let share = floor.triangle_area(t as u32) / 3.0;
        let read = corners.iter().copied().find(|&v| is_read(v));
        for &v in corners {
            let to = if is_read(v) { v } else { read.unwrap_or(v) };
            own[to as usize] += share;
        }
    }
    own.iter().map(|a| a * a).sum::<f64>().sqrt()
}

/// Floors whose areas differ by no more than this share of them are one floor whose walls were written in two units, or once
/// rounded.
const SAME_FLOOR: f64 = 0.005;

/// Volume between the two surfaces as each day's heights stand, cubic metres: what lies under one level above everything, by the
/// square metre, before less after. `None` for days whose readings speak for different floor.
pub fn placed_m3(before: Day<'_>, after: Day<'_>) -> Option<f64> {
    let areas = (before.floor.area(), after.floor.area());
    if (areas.0 - areas.1).abs() > SAME_FLOOR * areas.0 || areas.1 <= 0.0 {
        return None;
    }
    // Carried-out floor may stand above the highest reading.
    let top = before.high_m.max(after.high_m) + 1.0;
    let under = |day: Day<'_>| Stage::new(day.floor, day.high_m).volume_at(top) / day.floor.area();
    Some((under(before) - under(after)) * (areas.0 + areas.1) / 2.0)
}
