//! Everything that a job asks for, resolved: metres, shares, minutes. Later stages never ask again.

use super::about::{About, InputFile};
use crate::fill::{Aim, Material, Prices};
use crate::flatness::fnumber::Constants;
use crate::flatness::{Check, HandEdges, NMinRule, SampleLine};
use crate::pour::Order;
use crate::units::Habit;

/// Told what is being done and how far it is, 0 to 1.
pub type Tell<'a> = &'a (dyn Fn(&str, f64) + Sync);

/// Gauge depth when the job names none and the material sheet states no least depth: 1/8 in, or
/// 3 mm for metric jobs. Common practice, no published source.
pub const GAUGE_US_M: f64 = 0.003_175;
/// See [`GAUGE_US_M`].
pub const GAUGE_METRIC_M: f64 = 0.003;
/// Waste when the job names none. Common practice, no published source.
pub const WASTE: f64 = 0.10;

/// Which finish is asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum PlaneAsk {
    /// Level, this far over the high point, metres.
    Gauge(f64),
    /// Level, this far above the adjoining floor at a door (or the floor at a fixture or mark), metres.
    LevelAt {
        /// Name of the door, fixture or mark.
        name: String,
        /// Offset, up positive.
        offset_m: f64,
    },
    /// A given fall between two named points; for patch and grind work.
    Fall {
        /// Metres down for each metre of plan; negative for a rise.
        fall: f64,
        /// Name of the point that it runs from.
        from: String,
        /// Name of the point that it runs towards.
        to: String,
        /// How high it lies.
        height: FallHeight,
    },
    /// The tilted plane of least fill; for patch and grind work.
    LeastFill,
}

/// How high a falling finish lies.
#[derive(Debug, Clone, PartialEq)]
pub enum FallHeight {
    /// As low as it can while every place of the floor has this cover, metres.
    Cover(f64),
    /// Through a named point, so far above the adjoining floor (or the floor) there.
    At {
        /// Name of the door, fixture or mark.
        name: String,
        /// Offset, metres, up positive.
        offset_m: f64,
    },
    /// Not said: as [`Self::Cover`] with the usual gauge depth.
    Usual,
}

/// Uncertainty of one reading, beside its rounding.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ReadingDoubt {
    /// Half-width of what the instrument may add between neighbouring readings, metres.
    pub instrument_m: f64,
    /// Standard deviation of a repeated reading, metres.
    pub repeatability_m: f64,
    /// Step the rule was read to, metres; from the readings' own numbers when `None`.
    pub step_m: Option<f64>,
}

/// Sample lines and how F-numbers are to be worked out from them.
#[derive(Debug, Clone, PartialEq)]
pub struct SampleLines {
    /// The lines.
    pub lines: Vec<SampleLine>,
    /// Which constants stand over the spread.
    pub constants: Constants,
    /// How many ten-interval differences are asked for.
    pub n_min: NMinRule,
}

/// Who pours, and how.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CrewSettings {
    /// People at hand.
    pub people: Option<u32>,
    /// Mixers.
    pub mixers: Option<u32>,
    /// Minutes to mix a batch.
    pub mixing_min: Option<f64>,
    /// Minutes to place a batch.
    pub placing_min: Option<f64>,
    /// Whether the next batch is mixed while one is placed.
    pub overlapped: Option<bool>,
    /// Name of the door, fixture or mark to start from.
    pub start: Option<String>,
    /// Name of the door to leave by.
    pub exit: Option<String>,
    /// Order asked for; the better one when `None`.
    pub order: Option<Order>,
    /// Bays asked for; as many as the open time calls for when `None`.
    pub bays: Option<u32>,
}

/// A job, resolved.
#[derive(Debug, Clone)]
pub struct Settings {
    /// Words of the job.
    pub about: About,
    /// Files that went in.
    pub inputs: Vec<InputFile>,
    /// Number of the run, the same on all of its sheets; empty where there is none.
    pub run: String,
    /// Units to print in.
    pub habit: Habit,
    /// Fractions of an inch to print: 16 for sixteenths.
    pub denominator: u32,
    /// Edge lengths to answer for, metres.
    pub spans_m: Vec<f64>,
    /// Checks to judge.
    pub checks: Vec<Check>,
    /// How closely the worst gap under an edge is to be known, metres; by the number of readings
    /// when `None`.
    pub tolerance_m: Option<f64>,
    /// Floors drawn at most for the chance that the floor keeps an allowance; 0 for none.
    pub draws: usize,
    /// Sample lines for F-numbers, where the job has them.
    pub f_numbers: Option<SampleLines>,
    /// Edges laid by hand, where the job has them.
    pub hand: Option<HandEdges>,
    /// Uncertainty of a reading.
    pub doubt: ReadingDoubt,
    /// Level or flat: what the owner wants.
    pub aim: Aim,
    /// Whether depths beyond [`crate::fill::MOST_DEPTH_M`] are meant.
    pub deep: bool,
    /// The finish; `None` takes the material's least depth, or common practice.
    pub plane: Option<PlaneAsk>,
    /// The material sheet, with the batch that the crew mixes.
    pub material: Option<Material>,
    /// Share added for waste; `None` takes [`WASTE`].
    pub waste: Option<f64>,
    /// Bags at hand, to see how far they go.
    pub bags_at_hand: Option<f64>,
    /// Rake setting, metres.
    pub rake_m: Option<f64>,
    /// Deepest grind that is allowed, metres; 0 for none.
    pub grind_m: f64,
    /// Whether the floor is framed or suspended; `None` when not said.
    pub framed: Option<bool>,
    /// Least depth wanted over the floor everywhere, metres.
    pub cover_m: Option<f64>,
    /// Thickness of the covering that comes on the finish, metres.
    pub covering_m: Option<f64>,
    /// Depth that the base scope includes everywhere, metres; `None` when all of it is base.
    pub base_depth_m: Option<f64>,
    /// Date of the quantities, as it is to be printed.
    pub as_of: String,
    /// Gauge depths to set side by side, metres; the usual ones when empty.
    pub gauges_m: Vec<f64>,
    /// The most that a patch may lay anywhere, metres; `None` for any depth.
    pub patch_depth_m: Option<f64>,
    /// The user's own prices.
    pub prices: Option<Prices>,
    /// The crew.
    pub crew: CrewSettings,
    /// Codes of notices not to repeat.
    pub silence: Vec<String>,
}

/// Which parts to work out; each costs time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Want {
    /// Checks, and the spans asked for.
    pub flatness: bool,
    /// The span curve between them.
    pub curve: bool,
    /// Fill and take-off.
    pub fill: bool,
    /// What the readings leave open between them.
    pub between: bool,
    /// Batches and clock.
    pub pour: bool,
    /// Patch plan.
    pub patch: bool,
}

impl Want {
    /// Everything.
    pub const ALL: Self = Self {
        flatness: true,
        curve: true,
        fill: true,
        between: true,
        pour: true,
        patch: true,
    };
}
