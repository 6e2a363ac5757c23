//! Where a given amount of material comes to rest, and what it leaves bare.

use super::result::{Plane, StagePoint};
use super::spots::{Spot, spots_above};
use super::stage::Stage;
use crate::surface::Floor;

/// What a fixed amount of material does on this floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// The amount in place, cubic metres.
    pub given_m3: f64,
    /// The level it comes to, with wet and bare area.
    pub point: StagePoint,
    /// Every spot that stays bare, largest first.
    pub bare: Vec<Spot>,
    /// How much more (positive) or less (negative) would give the gauge depth asked for, cubic
    /// metres; `None` when none was asked for.
    pub short_of_gauge_m3: Option<f64>,
}

/// Where `volume_m3` of material levels off.
///
/// # Units, datum, sign
/// `gauge_m`: depth wanted over the high point, metres, to compare with.
/// # Edge cases
/// No material: the level is the lowest floor and all of it is bare.
pub fn settle(floor: &Floor, stage: &Stage, volume_m3: f64, gauge_m: Option<f64>) -> Settled {
    let level = stage.level_for_volume(volume_m3);
    let point = stage.at_level(level);
    let datum = level - point.gauge_depth_m;
    Settled {
        given_m3: volume_m3,
        point,
        bare: spots_above(floor, &Plane::level(level)),
        short_of_gauge_m3: gauge_m.map(|g| stage.volume_at(datum + g) - volume_m3),
    }
}

/// Where so many bags level off: what they give in place once the waste is taken off, as the order adds it on.
///
/// `waste` is a share (0.10 for 10 %), `yield_m3` what one bag gives mixed, cubic metres. So as many bags as the
/// take-off counts before rounding come to the finish that it counts them for.
pub fn settle_bags(
    floor: &Floor,
    stage: &Stage,
    (bags, yield_m3): (f64, f64),
    waste: f64,
    gauge_m: Option<f64>,
) -> Settled {
    settle(floor, stage, bags * yield_m3 / (1.0 + waste), gauge_m)
}

/// Where area times the setting of a gauge rake levels off.
///
/// The common estimate: floor area times one thickness. It is right only for a floor that is
/// already flat and level; on any other the material runs to the low places and leaves high ones bare.
/// `setting_m` is the rake's setting, metres.
pub fn settle_rake(floor: &Floor, stage: &Stage, setting_m: f64, gauge_m: Option<f64>) -> Settled {
    settle(floor, stage, stage.area_m2() * setting_m, gauge_m)
}
