//! What the readings leave open between them.

use serde::Serialize;

use super::quantity::{Litres, Metres, Mm, Place, Share};
use crate::analysis::{self, WhyRead};
use crate::surface::doubt::NoDoubt;

/// What the readings leave open between them.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
#[serde(untagged)]
pub enum Between {
    /// It was worked out.
    Told(Box<Told>),
    /// It was not.
    NotTold {
        /// Why not.
        not_worked_out: WhyNot,
    },
}

/// How far the floor may differ between readings, and what that does to the volume.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Told {
    /// Distance over which heights go together.
    range_m: Metres,
    /// Standard deviation of heights far apart, beside the trend.
    sd_mm: Mm,
    /// Standard deviation of a reading.
    noise_mm: Mm,
    /// What that does to the volume; null without a fill.
    volume: Option<VolumeDoubt>,
    /// The spots worth reading next, in walking order.
    read_next: Vec<ReadNext>,
}

/// The volume as a range.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct VolumeDoubt {
    /// Expected.
    expected_l: Litres,
    /// Standard deviation.
    sd_l: Litres,
    /// What is enough in which share of cases.
    enough: Vec<Enough>,
}

/// An amount that is enough in a share of cases.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Enough {
    /// That share.
    share: Share,
    /// The amount.
    volume_l: Litres,
    /// In whole bags; null without a yield.
    bags: Option<u32>,
}

/// A spot worth reading next, and why; one of the reasons is not null, or none where nothing is known of the floor there.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct ReadNext {
    /// Where.
    at: Place,
    /// Standard deviation of the floor there; null where that is not why.
    sd_mm: Option<Mm>,
    /// The part in doubt that it helps to decide; null where that is not why.
    decides: Option<Decides>,
}

/// What a reading helps to decide.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Decides {
    /// Title of the check.
    check: String,
    /// Length of the edge.
    span_mm: Mm,
    /// Share of what leaves the word open that one reading there would take away.
    share: Share,
}

impl From<&analysis::ReadNext> for ReadNext {
    fn from(spot: &analysis::ReadNext) -> Self {
        let (sd_mm, decides) = match &spot.why {
            WhyRead::Open { sd_m } => (Some(Mm::of_m(*sd_m)), None),
            WhyRead::Decides {
                check,
                span_m,
                share,
            } => {
                let decides = Decides {
                    check: check.clone(),
                    span_mm: Mm::of_m(*span_m),
                    share: Share::of(*share),
                };
                (None, Some(decides))
            }
            WhyRead::NotSurveyed => (None, None),
        };
        Self {
            at: spot.at.into(),
            sd_mm,
            decides,
        }
    }
}

/// Why nothing is told of the floor between readings.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum WhyNot {
    /// Too few readings.
    FewReadings,
    /// Read so closely that it is not worked out.
    ManyReadings,
    /// The readings vary too little.
    NoVariation,
    /// No floors were to be drawn.
    NotWanted,
}

impl From<&Result<analysis::Between, NoDoubt>> for Between {
    fn from(between: &Result<analysis::Between, NoDoubt>) -> Self {
        let b = match between {
            Ok(b) => b,
            Err(why) => {
                return Self::NotTold {
                    not_worked_out: match why {
                        NoDoubt::FewReadings => WhyNot::FewReadings,
                        NoDoubt::ManyReadings => WhyNot::ManyReadings,
                        NoDoubt::NoVariation => WhyNot::NoVariation,
                        NoDoubt::NotWanted => WhyNot::NotWanted,
                    },
                };
            }
        };
        Self::Told(Box::new(Told {
            range_m: Metres::of_m(b.sizes.range_m),
            sd_mm: Mm::of_m(b.sizes.sd_m),
            noise_mm: Mm::of_m(b.sizes.noise_m),
            volume: b.volume.as_ref().map(|v| VolumeDoubt {
                expected_l: Litres::of_m3(v.expected_m3),
                sd_l: Litres::of_m3(v.sd_m3),
                enough: v
                    .enough
                    .iter()
                    .map(|e| Enough {
                        share: Share::of(e.share),
                        volume_l: Litres::of_m3(e.volume_m3),
                        bags: e.bags,
                    })
                    .collect(),
            }),
            read_next: b.read_next.iter().map(ReadNext::from).collect(),
        }))
    }
}
