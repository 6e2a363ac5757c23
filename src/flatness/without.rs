//! Floor that does not hang on certain readings.

use crate::surface::{Floor, Source};

/// Of these triangles those that none of the readings is a corner of, nor of the triangle of readings that they were cut from.
pub(super) fn without_readings(floor: &Floor, mut mask: Vec<bool>, readings: &[u32]) -> Vec<bool> {
    for (t, usable) in mask.iter_mut().enumerate() {
        let corners = floor.corners(t as u32);
        *usable &= corners
            .iter()
            .all(|v| !matches!(v.source, Source::Reading(r) if readings.contains(&r)));
        *usable &= floor
            .readings_of(t as u32)
            .is_none_or(|list| list.iter().all(|r| !readings.contains(&r.0)));
    }
    mask
}
