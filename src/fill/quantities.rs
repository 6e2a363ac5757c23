//! What a take-off is asked for and answers: plain data, metres, square and cubic metres, kilograms.

use super::lines::{Dam, Perimeter};
use super::material::{MissingValue, TooManyBags};
use super::price::{Costs, Prices};
use crate::survey::Notice;
use crate::units::Habit;

/// What the take-off is made for.
#[derive(Debug, Clone, PartialEq)]
pub struct TakeOffRequest {
    /// Share added for waste, 0.10 for 10 %.
    pub waste: f64,
    /// Whether the floor is framed or suspended; `None` when not said.
    pub framed: Option<bool>,
    /// Depth that the base scope includes everywhere, metres; what is deeper is extra. `None`: all
    /// of it is base.
    pub base_depth_m: Option<f64>,
    /// Least depth wanted over the floor everywhere beside the sheet's own, metres.
    pub least_cover_m: Option<f64>,
    /// Units of the sentences.
    pub habit: Habit,
    /// Date of the quantities, in the user's words.
    pub as_of: Option<String>,
    /// Step of the sensitivity, metres: 1/16 in or 1 mm.
    pub step_m: f64,
    /// Distance between dam stations, metres.
    pub pitch_m: f64,
    /// Prices, if any.
    pub prices: Option<Prices>,
}

impl Default for TakeOffRequest {
    /// Ten per cent waste; steps of 1/16 in, dam stations at every foot; nothing else said.
    fn default() -> Self {
        Self {
            waste: 0.10,
            framed: None,
            base_depth_m: None,
            least_cover_m: None,
            habit: Habit::default(),
            as_of: None,
            step_m: crate::units::INCH_M / 16.0,
            pitch_m: crate::units::FOOT_M,
            prices: None,
        }
    }
}

/// Bags when something turns out otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensitivity {
    /// What is changed.
    pub what: String,
    /// Bags then, rounded up.
    pub bags: u32,
}

/// Bags to order.
#[derive(Debug, Clone, PartialEq)]
pub struct Bags {
    /// Mixed material from one bag, as the sheet states it, cubic metres.
    pub yield_m3: f64,
    /// Volume with waste over yield, before rounding.
    pub exact: f64,
    /// Rounded up; with a pour plan what its batches take, which is whole bags each.
    pub count: u32,
    /// Material left in the last bags if all the waste is used, cubic metres.
    pub left_with_waste_m3: f64,
    /// Material left if nothing is wasted, cubic metres.
    pub left_without_waste_m3: f64,
    /// How the count moves.
    pub sensitivity: Vec<Sensitivity>,
}

impl Bags {
    /// Whether the count is that of the volume rounded up, and not more by a pour plan's batches.
    pub fn is_rounded_up(&self) -> bool {
        f64::from(self.count) < self.exact + 1.0
    }
}

/// Whole batches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Batches {
    /// Bags in a full batch.
    pub bags_per_batch: u32,
    /// Batches in all, the last one included.
    pub count: u32,
    /// Bags in the last batch, where all others are full; `None` where some of them are not.
    pub last_bags: Option<u32>,
}

/// Mixing water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Water {
    /// All batches, cubic metres.
    pub total_m3: f64,
    /// A full batch, cubic metres.
    pub per_batch_m3: f64,
    /// The last batch, cubic metres.
    pub last_batch_m3: f64,
}

/// Primer.
#[derive(Debug, Clone, PartialEq)]
pub struct PrimerNeed {
    /// Area to prime, square metres.
    pub area_m2: f64,
    /// Coats.
    pub coats: u32,
    /// Primer as it is spread, all coats, cubic metres.
    pub spread_m3: f64,
    /// Primer from the can, before thinning, cubic metres.
    pub neat_m3: f64,
    /// Drying of all coats, minutes, if stated.
    pub drying_min: Option<f64>,
}

/// Lifts, where the material is deeper than one lift may be.
#[derive(Debug, Clone, PartialEq)]
pub struct Lifts {
    /// Greatest depth of a lift, metres.
    pub limit_m: f64,
    /// How many are needed at the deepest place.
    pub count: u32,
    /// Area deeper than one lift, square metres.
    pub area_over_m2: f64,
    /// Volume of each, the lowest first, cubic metres.
    pub volumes_m3: Vec<f64>,
    /// Area of each, the lowest first, square metres.
    pub areas_m2: Vec<f64>,
    /// Waiting between lifts, minutes, if stated.
    pub wait_min: Option<f64>,
}

/// Cover that is thinner than the material may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThinCover {
    /// Least depth that the sheet allows or the job asks for, metres.
    pub limit_m: f64,
    /// Area with less than that but more than nothing, square metres.
    pub area_m2: f64,
    /// Area to grind so that this depth holds everywhere under this finish, square metres.
    pub grind_area_m2: f64,
    /// Floor to grind away for it, cubic metres.
    pub grind_m3: f64,
    /// Least depth anywhere, metres; negative where floor stands above the finish.
    pub least_m: f64,
}

/// Weight that the fill adds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weight {
    /// Density in place, kilograms per cubic metre.
    pub density_kg_m3: f64,
    /// In all, kilograms.
    pub total_kg: f64,
    /// Over the area with material, kilograms per square metre.
    pub mean_kg_m2: f64,
    /// At the deepest place, kilograms per square metre.
    pub worst_kg_m2: f64,
    /// Over the area with material, pounds per square foot.
    pub mean_psf: f64,
    /// At the deepest place, pounds per square foot.
    pub worst_psf: f64,
}

/// One depth band of the quantities sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandQuantity {
    /// Shallow side, metres.
    pub from_m: f64,
    /// Deep side, metres; `None` for the last.
    pub to_m: Option<f64>,
    /// Area, square metres.
    pub area_m2: f64,
    /// Material, cubic metres, without waste.
    pub volume_m3: f64,
    /// Part of it within the base depth, cubic metres.
    pub base_m3: f64,
    /// Part of it beyond, cubic metres.
    pub extra_m3: f64,
    /// Bags with waste, not rounded; `None` without a yield.
    pub bags: Option<f64>,
    /// Of those, beyond the base depth.
    pub extra_bags: Option<f64>,
}

/// The take-off of one floor.
#[derive(Debug, Clone, PartialEq)]
pub struct TakeOff {
    /// The material's name.
    pub material: String,
    /// Date of the quantities, in the user's words.
    pub as_of: Option<String>,
    /// Material in place, cubic metres.
    pub volume_m3: f64,
    /// Share added for waste.
    pub waste: f64,
    /// Volume with waste, cubic metres.
    pub ordered_m3: f64,
    /// Bags; `None` when the sheet states no yield.
    pub bags: Option<Bags>,
    /// Batches; `None` when bags or bags per batch are not known.
    pub batches: Option<Batches>,
    /// Water; `None` when not stated.
    pub water: Option<Water>,
    /// Primer; `None` when the sheet has none or lacks its values.
    pub primer: Option<PrimerNeed>,
    /// Edge lengths and perimeter foam.
    pub perimeter: Perimeter,
    /// Dams.
    pub dams: Vec<Dam>,
    /// Lifts; `None` when one will do or the limit is not stated.
    pub lifts: Option<Lifts>,
    /// Cover thinner than the sheet allows; `None` when there is none or no limit is stated.
    pub thin: Option<ThinCover>,
    /// Added weight; `None` without a density.
    pub weight: Option<Weight>,
    /// Quantities by depth.
    pub bands: Vec<BandQuantity>,
    /// Costs; `None` without prices.
    pub costs: Option<Costs>,
    /// Findings.
    pub notices: Vec<Notice>,
    /// Values the sheet lacks, each with the answer that stays open.
    pub missing: Vec<MissingValue>,
}

/// Why there is no take-off.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TakeOffError {
    /// A waste that is no share.
    #[error("waste: found {found}; expected a share from 0 to 1 (0.10 for 10 %)")]
    Waste {
        /// What was found.
        found: f64,
    },
    /// A length of the request that cannot be.
    #[error("{what}: found {found_m} m; expected a length of 0 or more")]
    Length {
        /// Which.
        what: &'static str,
        /// What was found, metres.
        found_m: f64,
    },
    /// More bags than any order holds.
    #[error(transparent)]
    Bags(#[from] TooManyBags),
}
