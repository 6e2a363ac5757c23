//! What the readings leave open between them.

use super::filling::Filling;
use super::settings::Settings;
use super::step::ReadingStep;
use crate::fill::{TooManyBags, VolumeDoubt, volume_doubt};
use crate::surface::Floor;
use crate::surface::doubt::{NoDoubt, OpenSpot, Variation};
use crate::survey::Survey;

/// Spots named as worth reading next.
const SPOTS: usize = 3;

/// What the readings leave open between them.
#[derive(Debug, Clone)]
pub struct Between {
    /// How heights vary with distance, as fitted to the readings.
    pub variation: Variation,
    /// What that does to the volume; `None` without a fill.
    pub volume: Option<VolumeDoubt>,
    /// The spots worth reading next, the most open first.
    pub read_next: Vec<OpenSpot>,
}

/// Works it out, or says why not.
///
/// # Errors
/// A count of bags that cannot be meant.
pub(super) fn between(
    survey: &Survey,
    floor: &Floor,
    settings: &Settings,
    filling: Option<&Filling>,
) -> Result<Result<Between, NoDoubt>, TooManyBags> {
    // A reading's last place stands for anything within half of it: a uniform spread (JCGM 100:2008, 4.3.7).
    let step_m = ReadingStep::of(survey, settings).step_m;
    let kriging = match floor.kriging(step_m / 12f64.sqrt()) {
        Ok(kriging) => kriging,
        Err(why) => return Ok(Err(why)),
    };
    let yield_m3 = settings.material.as_ref().and_then(|m| m.yield_m3);
    let volume = filling
        .map(|f| volume_doubt(floor, &f.fill, &kriging, f.waste, yield_m3))
        .transpose()?
        .flatten();
    Ok(Ok(Between {
        variation: kriging.variation(),
        volume,
        read_next: kriging.worth_reading(floor, SPOTS),
    }))
}
