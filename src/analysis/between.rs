//! What the readings leave open between them.

use super::filling::Filling;
use super::settings::Settings;
use super::step::ReadingStep;
use crate::fill::{VolumeDoubt, volume_doubt};
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
pub(super) fn between(
    survey: &Survey,
    floor: &Floor,
    settings: &Settings,
    filling: Option<&Filling>,
) -> Result<Between, NoDoubt> {
    // A reading's last place stands for anything within half of it: a uniform spread (JCGM 100:2008, 4.3.7).
    let step_m = ReadingStep::of(survey, settings).step_m;
    let kriging = floor.kriging(step_m / 12f64.sqrt())?;
    let yield_m3 = settings.material.as_ref().and_then(|m| m.yield_m3);
    Ok(Between {
        variation: kriging.variation(),
        volume: filling.and_then(|f| volume_doubt(floor, &f.fill, &kriging, f.waste, yield_m3)),
        read_next: kriging.worth_reading(floor, SPOTS),
    })
}
