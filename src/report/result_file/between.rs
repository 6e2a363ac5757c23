//! What the readings leave open between them.

use serde::Serialize;

use super::quantity::{Litres, Metres, Mm, Place, Share};
use crate::analysis;
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
    /// The spots worth reading next, the most open first.
    read_next: Vec<OpenSpot>,
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

/// A spot worth reading next.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct OpenSpot {
    /// Where.
    at: Place,
    /// Standard deviation of the floor there.
    sd_mm: Mm,
    /// Whether it lies between readings, not beyond them.
    surveyed: bool,
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
    /// Joints where the floor may jump.
    Joints,
    /// The readings vary too little.
    NoVariation,
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
                        NoDoubt::Joints => WhyNot::Joints,
                        NoDoubt::NoVariation => WhyNot::NoVariation,
                    },
                };
            }
        };
        Self::Told(Box::new(Told {
            range_m: Metres::of_m(b.variation.range_m),
            sd_mm: Mm::of_m(b.variation.sd_m),
            noise_mm: Mm::of_m(b.variation.noise_m),
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
            read_next: b
                .read_next
                .iter()
                .map(|s| OpenSpot {
                    at: s.at.into(),
                    sd_mm: Mm::of_m(s.sd_m),
                    surveyed: s.surveyed,
                })
                .collect(),
        }))
    }
}
