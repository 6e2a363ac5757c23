//! Floor that does not hang on certain readings.

use crate::surface::Floor;

/// A height that hangs on a reading by less than this share does not hang on it.
const NO_SHARE: f64 = 1e-9;

/// Of these triangles those whose height hangs on none of the readings: none is a corner of it, nor one of those that a corner's height
/// was worked out from, as where floor is carried out to a joint, nor of the triangle of readings that it was cut from.
pub(super) fn without_readings(floor: &Floor, mut mask: Vec<bool>, readings: &[u32]) -> Vec<bool> {
    let hangs: Vec<bool> = (0..floor.vertices().len() as u32)
        .map(|v| {
            let of = |lean: &(u32, f64)| lean.1.abs() > NO_SHARE && readings.contains(&lean.0);
            floor.leans(v).iter().any(of)
        })
        .collect();
    for (t, usable) in mask.iter_mut().enumerate() {
        *usable &= !floor.triangles()[t].iter().any(|&v| hangs[v as usize]);
        *usable &= floor
            .readings_of(t as u32)
            .is_none_or(|list| list.iter().all(|r| !readings.contains(&r.0)));
    }
    mask
}
