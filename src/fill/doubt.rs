//! What the floor between the readings may do to the volume.

use super::material::{TooManyBags, whole_bags};
use super::result::PlaneRule;
use super::volume::{cut_at, plane_of};
use crate::surface::Floor;
use crate::surface::doubt::MayBe;
use rayon::prelude::*;

/// Shares of cases told: as likely as not, 4 of 5, 19 of 20.
const SHARES: [f64; 3] = [0.5, 0.8, 0.95];

/// How much the volume may differ for what lies between the readings.
#[derive(Debug, Clone, PartialEq)]
pub struct VolumeDoubt {
    /// Expected volume, cubic metres.
    pub expected_m3: f64,
    /// Its standard deviation, cubic metres.
    pub sd_m3: f64,
    /// Volumes that are enough in so large a share of cases, smallest first.
    pub enough: Vec<Enough>,
}

/// A volume that is enough in a share of cases.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Enough {
    /// Share of cases, 0 to 1.
    pub share: f64,
    /// Volume, cubic metres, waste not in it.
    pub volume_m3: f64,
    /// Whole bags with waste; `None` without a yield.
    pub bags: Option<u32>,
}

/// The volume under a finish as the readings leave it open, from so many floors that may be the true one.
///
/// # Units, datum, sign
/// Cubic metres. `waste` is a share of the volume; `yield_m3` what one bag gives.
/// # Method
/// On every drawn floor the finish is set as its rule says and the volume under it is exact: a gauge depth is set over that
/// floor's own highest place, as a crew sets its pins, not over the highest reading. A volume that is enough in a share of cases is
/// the one that so many of the drawn ones do not pass; of both ends of what the noise may be, the larger tells.
/// # What it assumes
/// That the crew finds the high spot. A line set wrong, or a tape read from its end, moves every height alike and is not in it.
/// # Edge cases
/// `None` where nothing is covered on any drawn floor, or none was drawn.
/// # Errors
/// [`TooManyBags`] where the count of bags cannot be meant.
pub fn volume_doubt(
    may_be: &mut MayBe,
    draws: usize,
    rule: &PlaneRule,
    waste: f64,
    yield_m3: Option<f64>,
) -> Result<Option<VolumeDoubt>, TooManyBags> {
    let mut told: Option<(Vec<f64>, f64)> = None;
    for end in 0..may_be.ends() {
        may_be.grow(end, draws);
        let mut volumes: Vec<f64> = may_be.floors(end)[..draws]
            .par_iter()
            .filter_map(|z| Some(volume_on(&may_be.finer().with_heights(z)?, rule)))
            .collect();
        volumes.sort_by(f64::total_cmp);
        let Some(most) = enough(&volumes, SHARES[2]) else {
            continue;
        };
        if told.as_ref().is_none_or(|t| most > t.1) {
            told = Some((volumes, most));
        }
    }
    let Some((volumes, _)) = told.filter(|t| t.1 > 0.0) else {
        return Ok(None);
    };
    let count = volumes.len() as f64;
    let expected_m3 = volumes.iter().sum::<f64>() / count;
    let squares: f64 = volumes.iter().map(|v| (v - expected_m3).powi(2)).sum();
    let enough = SHARES
        .iter()
        .filter_map(|&share| Some((share, enough(&volumes, share)?)))
        .map(|(share, volume_m3)| {
            let bags = yield_m3.map(|y| whole_bags(volume_m3 * (1.0 + waste) / y));
            Ok(Enough {
                share,
                volume_m3,
                bags: bags.transpose()?,
            })
        })
        .collect::<Result<_, _>>()?;
    Ok(Some(VolumeDoubt {
        expected_m3,
        sd_m3: (squares / (count - 1.0).max(1.0)).sqrt(),
        enough,
    }))
}

/// Volume under a finish on one floor, its gauge depth over the floor's own highest place.
fn volume_on(floor: &Floor, rule: &PlaneRule) -> f64 {
    let high = floor
        .triangles()
        .iter()
        .flatten()
        .map(|&v| floor.vertices()[v as usize].z)
        .fold(f64::MIN, f64::max);
    cut_at(floor, &plane_of(floor, high, rule), 0.0).1
}

/// The volume that a share of these, sorted, do not pass: as if one more were drawn, which would come to lie anywhere among them.
fn enough(volumes: &[f64], share: f64) -> Option<f64> {
    let place = (share * (volumes.len() + 1) as f64).ceil() as usize;
    volumes
        .get(place.clamp(1, volumes.len().max(1)) - 1)
        .copied()
}
