//! What was placed between the two days.

use crate::fill::Stage;
use crate::surface::Floor;

/// The floor of one day.
#[derive(Debug, Clone, Copy)]
pub struct Day<'a> {
    /// Its surface.
    pub floor: &'a Floor,
    /// Its highest reading, metres.
    pub high_m: f64,
}

/// Volume between the two surfaces, cubic metres: both filled to one level above everything, the difference left over.
/// `None` for floors of different areas.
pub fn placed_m3(before: Day<'_>, after: Day<'_>) -> Option<f64> {
    let areas = (before.floor.area(), after.floor.area());
    // Different areas would put a slab of air into the difference.
    if (areas.0 - areas.1).abs() > 1e-6 * areas.0 {
        return None;
    }
    let top = before.high_m.max(after.high_m) + 1.0;
    let under = |day: Day<'_>| Stage::new(day.floor, day.high_m).volume_at(top);
    Some(under(before) - under(after))
}
