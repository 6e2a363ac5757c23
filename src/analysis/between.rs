//! What the readings leave open between them.

use super::filling::Filling;
use super::flat::Flatness;
use super::settings::{Settings, Tell};
use crate::fill::{TooManyBags, VolumeDoubt, volume_doubt};
use crate::flatness::Chances;
use crate::geometry::Point;
use crate::surface::Floor;
use crate::surface::doubt::NoDoubt;
use crate::surface::doubt::field::Sizes;
use crate::survey::{Survey, walking_order};

/// Spots named as worth reading next for what is not settled: words first, then the volume.
const SPOTS: usize = 3;

/// What the readings leave open between them.
#[derive(Debug, Clone)]
pub struct Between {
    /// How heights vary with distance, as fitted to the readings with the larger noise that they may have.
    pub sizes: Sizes,
    /// What that does to the volume; `None` without a fill.
    pub volume: Option<VolumeDoubt>,
    /// The spots worth reading next, in walking order.
    pub read_next: Vec<ReadNext>,
}

/// A spot worth reading next.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadNext {
    /// Where.
    pub at: Point,
    /// Why.
    pub why: WhyRead,
}

/// Why a spot is worth reading.
#[derive(Debug, Clone, PartialEq)]
pub enum WhyRead {
    /// It helps to decide a part that is in doubt.
    Decides {
        /// Title of its check.
        check: String,
        /// Length of its edge, metres.
        span_m: f64,
        /// Share of what leaves its word open that a reading would take away, 0 to 1.
        share: f64,
    },
    /// The floor there is known least: to this, a standard deviation in metres.
    Open {
        /// It.
        sd_m: f64,
    },
    /// No reading is near enough to say anything of it.
    NotSurveyed,
}

/// What was found before.
#[derive(Clone, Copy)]
pub(super) struct Found<'a> {
    pub flatness: Option<&'a Flatness>,
    pub filling: Option<&'a Filling>,
}

/// Works it out, or says why not.
///
/// # Errors
/// A count of bags that cannot be meant.
pub(super) fn between(
    survey: &Survey,
    floor: &Floor,
    settings: &Settings,
    found: Found<'_>,
    chances: &mut Chances,
    tell: Tell<'_>,
) -> Result<Result<Between, NoDoubt>, TooManyBags> {
    let draws = chances.most();
    let may_be = match chances.may_be(floor, &|| tell("Between readings", 0.0)) {
        Ok(may_be) => may_be,
        Err(why) => return Ok(Err(why)),
    };
    let yield_m3 = settings.material.as_ref().and_then(|m| m.yield_m3);
    let volume = found
        .filling
        .map(|f| volume_doubt(may_be, draws, &f.fill.rule, f.waste, yield_m3))
        .transpose()?
        .flatten();
    let mut read_next = found.flatness.map_or_else(Vec::new, deciding);
    for spot in may_be.worth_reading(floor, SPOTS) {
        let why = spot
            .sd_m
            .map_or(WhyRead::NotSurveyed, |sd_m| WhyRead::Open { sd_m });
        add(
            &mut read_next,
            ReadNext { at: spot.at, why },
            floor.spacing(),
        );
    }
    let places: Vec<Point> = read_next.iter().map(|r| r.at).collect();
    let order = walking_order(&places, survey.room.as_ref(), floor.spacing());
    Ok(Ok(Between {
        sizes: may_be.sizes(may_be.ends() - 1),
        volume,
        read_next: order.into_iter().map(|i| read_next[i].clone()).collect(),
    }))
}

/// Where readings would decide what is in doubt, the most helpful first.
fn deciding(flatness: &Flatness) -> Vec<ReadNext> {
    let mut all: Vec<ReadNext> = flatness
        .checks
        .iter()
        .flat_map(|check| check.parts.iter().map(move |part| (check, part)))
        .flat_map(|(check, part)| {
            let helps = part.measured().map_or(&[][..], |m| &m.helps);
            helps.iter().map(move |h| ReadNext {
                at: h.at,
                why: WhyRead::Decides {
                    check: check.title.clone(),
                    span_m: part.span_m,
                    share: h.share,
                },
            })
        })
        .collect();
    let share = |r: &ReadNext| match r.why {
        WhyRead::Decides { share, .. } => share,
        _ => 0.0,
    };
    all.sort_by(|a, b| share(b).total_cmp(&share(a)));
    let mut kept = Vec::new();
    for spot in all {
        if kept.len() < SPOTS {
            add(&mut kept, spot, 0.0);
        }
    }
    kept
}

/// One more spot, unless one is named near it already.
fn add(spots: &mut Vec<ReadNext>, spot: ReadNext, spacing_m: f64) {
    let near = |s: &ReadNext| s.at.distance(spot.at) <= spacing_m / 2.0;
    if !spots.iter().any(near) {
        spots.push(spot);
    }
}
