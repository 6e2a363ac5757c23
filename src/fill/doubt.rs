//! What the floor between the readings may do to the volume.

use super::material::{TooManyBags, whole_bags};
use super::result::Fill;
use crate::geometry::Point;
use crate::surface::Floor;
use crate::surface::doubt::Kriging;
use std::collections::BTreeMap;

/// Shares of cases told, with the standard normal quantile of each: as likely as not, 4 of 5, 19 of 20.
///
/// SOURCE: any table of the normal distribution; to seven places.
const SHARES: [(f64, f64); 3] = [(0.5, 0.0), (0.8, 0.841_621_2), (0.95, 1.644_853_6)];

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

/// The volume under a finish as the readings leave it open.
///
/// # Units, datum, sign
/// Cubic metres. `waste` is a share of the volume; `yield_m3` what one bag gives.
/// # Method
/// The volume over the floor that the finish covers is a weighted sum of heights: on each triangle a third
/// of its area at the middle of each side, exact for what is at most quadratic. [`Kriging::sum`] gives its
/// expected value and standard deviation; the sum is normal.
/// # What it assumes
/// Which floor is covered is taken from the triangulated surface. A line set wrong, or a tape read from its
/// end, moves every height alike and is not in it.
/// # Edge cases
/// `None` where nothing is covered.
/// # Errors
/// [`TooManyBags`] where the count of bags cannot be meant.
pub fn volume_doubt(
    floor: &Floor,
    fill: &Fill,
    kriging: &Kriging,
    waste: f64,
    yield_m3: Option<f64>,
) -> Result<Option<VolumeDoubt>, TooManyBags> {
    let mut sides: BTreeMap<(u32, u32), f64> = BTreeMap::new();
    for (t, corners) in floor.triangles().iter().enumerate() {
        let third = floor.triangle_area(t as u32) / 3.0;
        let [a, b, c] = *corners;
        for (p, q) in [(a, b), (b, c), (c, a)] {
            *sides.entry((p.min(q), p.max(q))).or_default() += third;
        }
    }
    let mut under_finish = 0.0;
    let parts: Vec<(Point, f64)> = sides
        .into_iter()
        .filter_map(|((p, q), area)| {
            let (p, q) = (floor.vertices()[p as usize], floor.vertices()[q as usize]);
            let at = p.at.lerp(q.at, 0.5);
            let finish = fill.plane.at(at);
            let covered = finish > (p.z + q.z) / 2.0;
            covered.then(|| {
                under_finish += area * finish;
                (at, area)
            })
        })
        .collect();
    if parts.is_empty() {
        return Ok(None);
    }
    let heights = kriging.sum(&parts);
    let expected_m3 = under_finish - heights.mean;
    let enough = SHARES
        .iter()
        .map(|&(share, deviations)| {
            let volume_m3 = (expected_m3 + deviations * heights.sd).max(0.0);
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
        sd_m3: heights.sd,
        enough,
    }))
}
