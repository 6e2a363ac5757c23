//! What a pour plan asks for and answers: plain data, metres, cubic metres, minutes.

use crate::fill::{Material, MissingValue, TooManyBags};
use crate::geometry::Point;
use crate::survey::Notice;

/// In which order the floor is poured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Order {
    /// In passes across the way out, each cut straight across into batches from the same side.
    Passes,
    /// By the level lines of a harmonic function from the start to the exit.
    Harmonic,
    /// Strips across the room, from the far wall to the door, to and fro.
    Strips,
}

/// What the plan is to be made for.
#[derive(Debug, Clone, PartialEq)]
pub struct PourRequest {
    /// The material sheet.
    pub material: Material,
    /// Share added for waste, 0.10 for 10 %.
    pub waste: f64,
    /// Where the pour starts; `None`: at the highest floor.
    pub start: Option<Point>,
    /// Where the crew leaves, the middle of the door; `None`: the wall farthest from the start.
    pub exit: Option<Point>,
    /// Width of the door there, metres; 0 where it is no door.
    pub exit_width_m: f64,
    /// Mixing of one batch, minutes; `None`: as the material sheet states.
    pub mixing_min: Option<f64>,
    /// Placing of one batch, minutes.
    pub placing_min: f64,
    /// How many mixers run.
    pub mixers: u32,
    /// Whether the next batch is mixed while one is placed.
    pub overlapped: bool,
    /// People on the job.
    pub people: u32,
    /// Width of a strip in the strip sweep, metres.
    pub strip_width_m: f64,
    /// The order to use; `None`: the best of them.
    pub order: Option<Order>,
    /// Whether the pour stops at every joint (a movement joint must not be covered).
    pub stop_at_joints: bool,
    /// Least mean width of a batch, area over tie-in length, metres: narrower ones cannot be placed
    /// in their time along so long a front. Our own choice, no published source.
    pub least_width_m: f64,
    /// Bays to divide the floor into; `None`: as many as the open time calls for.
    pub bays: Option<u32>,
}

impl Default for PourRequest {
    /// Ten per cent waste, one mixer, two people, mixing overlapped with placing, 3 m strips,
    /// batches no narrower than 0.3 m; 3.5 minutes of placing (common practice of 3 to 4 minutes,
    /// no published source).
    fn default() -> Self {
        Self {
            material: Material::default(),
            waste: 0.10,
            start: None,
            exit: None,
            exit_width_m: 0.0,
            mixing_min: None,
            placing_min: 3.5,
            mixers: 1,
            overlapped: true,
            people: 2,
            strip_width_m: 3.0,
            order: None,
            stop_at_joints: false,
            least_width_m: 0.3,
            bays: None,
        }
    }
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PourError {
    /// The finish lies nowhere above the floor.
    #[error("nothing to pour: the finish plane lies nowhere above the floor")]
    NothingToPour,
    /// A tilted finish.
    #[error(
        "a tilted finish cannot be poured: self-levelling material seeks level; choose a level \
         finish, or patch and grind"
    )]
    Tilted,
    /// The material sheet lacks what the plan needs.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Missing(Vec<MissingValue>),
    /// A number of the request that cannot be.
    #[error("{what}: found {found}; expected {expected}")]
    BadRequest {
        /// Which value.
        what: String,
        /// What it was.
        found: String,
        /// What it should be.
        expected: String,
    },
    /// More bags than any order holds.
    #[error(transparent)]
    TooManyBags(#[from] TooManyBags),
    /// More batches than a plan can be read with.
    #[error(
        "{batches} batches: more than {limit}; check the yield and its unit, or mix more bags at \
         a time"
    )]
    TooManyBatches {
        /// How many it would take.
        batches: f64,
        /// The most that are planned.
        limit: u32,
    },
    /// More lifts than anybody pours.
    #[error(
        "{lifts} lifts: more than {limit}; check the material sheet's max_lift, or fill the deep places with another material first"
    )]
    TooManyLifts {
        /// How many it would take.
        lifts: u32,
        /// The most that are planned.
        limit: u32,
    },
}

/// One closed line of a batch: outer lines counter-clockwise, holes clockwise.
pub type Loop = Vec<Point>;

/// A wet edge where one batch joins another.
#[derive(Debug, Clone, PartialEq)]
pub struct TieIn {
    /// The earlier batch, by number.
    pub to: u32,
    /// Length of the joint line, metres.
    pub length_m: f64,
    /// From the end of placing the earlier batch to the end of placing this one, minutes.
    pub wait_min: f64,
    /// The lines that make it up.
    pub lines: Vec<[Point; 2]>,
}

/// One batch on the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// Number, from 1, in the order of pouring, through all lifts.
    pub number: u32,
    /// The bay it lies in, from 1.
    pub bay: u32,
    /// Where it lies.
    pub outline: Vec<Loop>,
    /// A point inside it, for its number.
    pub label_at: Point,
    /// A point in each of its other pieces, where it lies in several.
    pub also_at: Vec<Point>,
    /// Plan area, square metres.
    pub area_m2: f64,
    /// Material in place, cubic metres.
    pub volume_m3: f64,
    /// Volume over area, metres.
    pub mean_depth_m: f64,
    /// Bags in the batch.
    pub bags: u32,
    /// Water for the batch, cubic metres; `None` when the sheet does not state it.
    pub water_m3: Option<f64>,
    /// Length along which it joins what is already placed, metres.
    pub tie_in_m: f64,
    /// The single wet edges that make it up.
    pub ties: Vec<TieIn>,
    /// The lines along which it joins what is already placed.
    pub tie_lines: Vec<[Point; 2]>,
    /// Mixing starts, minutes from the start.
    pub mix_from_min: f64,
    /// Placing starts.
    pub place_from_min: f64,
    /// Placing ends.
    pub place_to_min: f64,
}

/// How an order does: the figures it is judged by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OrderScore {
    /// Which order.
    pub order: Order,
    /// Longest wait of any wet edge, minutes.
    pub longest_wait_min: f64,
    /// The batch that makes it wait, by number; 0 when no edge waits.
    pub longest_wait_batch: u32,
    /// Total length of all tie-ins, metres.
    pub tie_in_m: f64,
    /// Mean width of a batch: area over tie-in length, metres; `None` for a single batch.
    pub mean_width_m: Option<f64>,
    /// Whether the longest wait is within the open time; `None` when the sheet states none.
    pub within_open_time: Option<bool>,
}

/// The pour by the clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clock {
    /// Mixing of one batch, minutes.
    pub mixing_min: f64,
    /// Placing of one batch, minutes.
    pub placing_min: f64,
    /// Mixers.
    pub mixers: u32,
    /// Whether mixing and placing overlap.
    pub overlapped: bool,
    /// The whole pour as asked for, minutes.
    pub minutes: f64,
    /// The whole pour with mixing overlapped with placing, minutes.
    pub overlapped_min: f64,
    /// The whole pour with every batch mixed, then placed, then the next, minutes.
    pub one_after_other_min: f64,
    /// Open time of the material, minutes, if stated.
    pub open_min: Option<f64>,
    /// How long a mixed batch stands at the longest, from the end of its mixing until all of it is placed, minutes.
    pub standing_min: f64,
    /// Working time of the material, minutes, if stated.
    pub working_min: Option<f64>,
}

/// What brings the longest wait within the open time. The pour was planned with it, and it does.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// What to do.
    pub text: String,
    /// The longest wait then, minutes: within the open time.
    pub longest_wait_min: f64,
    /// Extra dam, metres, where the floor is divided.
    pub dam_m: f64,
}

/// The dam of a bay towards those that are poured after it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BayDam {
    /// Its length, metres.
    pub length_m: f64,
    /// What it holds back at the deepest place along it, metres.
    pub highest_m: f64,
    /// Where it stands: its straight pieces.
    pub lines: Vec<[Point; 2]>,
}

/// Part of a floor poured for itself, behind a dam.
#[derive(Debug, Clone, PartialEq)]
pub struct Bay {
    /// Number, from 1, far wall first.
    pub number: u32,
    /// Where it lies.
    pub outline: Vec<Loop>,
    /// Plan area, square metres.
    pub area_m2: f64,
    /// Material, cubic metres.
    pub volume_m3: f64,
    /// Bags, rounded up.
    pub bags: u32,
    /// Dam towards the bays poured after it.
    pub dam: BayDam,
    /// Longest wait of a wet edge inside it, minutes.
    pub longest_wait_min: f64,
}

/// Something to stage; what it is called stands with the words of the report.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Staged {
    /// Bags at the mixing place.
    Bags {
        /// Batches they go into.
        batches: u32,
        /// Most bags in one of them.
        most_bags: u32,
    },
    /// Bags opened before the first batch.
    BagsOpened,
    /// Mixing water, for the batches alone.
    Water {
        /// All of it, cubic metres.
        total_m3: f64,
    },
    /// Buckets of water, measured and filled.
    Buckets {
        /// Water of a full batch, cubic metres, where the material's sheet states it.
        each_m3: Option<f64>,
    },
    /// Mixing barrels: one more than mixers.
    Barrels,
    /// Drills with paddle, one of them spare.
    Drills,
    /// People.
    People {
        /// How many of them mix.
        mixing: u32,
    },
    /// The gauge rake.
    GaugeRake,
    /// Smoother and spiked roller.
    Smoother,
    /// Pairs of spiked shoes.
    SpikedShoes,
    /// Depth pins, one at every mark.
    DepthPins,
    /// Dust extraction, gloves, eye and breathing protection.
    Protection,
}

/// One line of the staging list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StagingItem {
    /// What.
    pub item: Staged,
    /// How many; 0 where the floor's marks tell.
    pub count: u32,
}

/// The pour of one lift: all of the floor at once, where one lift is deep enough.
#[derive(Debug, Clone, PartialEq)]
pub struct Lift {
    /// Number, from 1, the lowest first.
    pub number: u32,
    /// How far under the finish it levels off, metres: 0 for the last.
    pub below_finish_m: f64,
    /// The order it is in.
    pub order: Order,
    /// Why that order.
    pub reason: String,
    /// Figures of all orders, the one chosen first.
    pub scores: Vec<OrderScore>,
    /// Where it starts.
    pub start: Point,
    /// The batches in order, numbered on from the lift before.
    pub batches: Vec<Batch>,
    /// Bags.
    pub bags: u32,
    /// Material in place, cubic metres.
    pub volume_m3: f64,
    /// The clock, from the lift's own start.
    pub clock: Clock,
    /// Longest wait of any wet edge in this order, minutes.
    pub longest_wait_min: f64,
    /// What mends a wait that is too long; empty when none is, and when nothing that was tried mends it.
    pub remedies: Vec<Remedy>,
    /// Bays, when the floor is too large to be poured in one; empty otherwise.
    pub bays: Vec<Bay>,
}

/// The plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PourPlan {
    /// The pours, one a lift, the lowest first; more than one where the material may not be poured so deep at once.
    pub lifts: Vec<Lift>,
    /// Waiting between lifts, minutes, where the material's sheet states it.
    pub between_lifts_min: Option<f64>,
    /// Where the crew leaves.
    pub exit: Point,
    /// Bags in all.
    pub bags: u32,
    /// Material in place, cubic metres.
    pub volume_m3: f64,
    /// Water in all, cubic metres; `None` when the sheet does not state it.
    pub water_m3: Option<f64>,
    /// What must stand ready before the first bag is opened.
    pub staging: Vec<StagingItem>,
    /// Findings.
    pub notices: Vec<Notice>,
    /// Values the sheet lacks, each with the answer that stays open.
    pub missing: Vec<MissingValue>,
}

impl PourPlan {
    /// The batches of all lifts, in order.
    pub fn batches(&self) -> impl Iterator<Item = &Batch> {
        self.lifts.iter().flat_map(|l| &l.batches)
    }

    /// Work by the clock of all lifts together, minutes; the waiting between them is not in it.
    pub fn minutes(&self) -> f64 {
        self.lifts.iter().map(|l| l.clock.minutes).sum()
    }

    /// Dams between bays, in all lifts together.
    pub fn bay_dams(&self) -> BayDam {
        let bays = self.lifts.iter().flat_map(|l| &l.bays);
        bays.fold(BayDam::default(), |all, bay| BayDam {
            length_m: all.length_m + bay.dam.length_m,
            highest_m: all.highest_m.max(bay.dam.highest_m),
            lines: [all.lines, bay.dam.lines.clone()].concat(),
        })
    }
}
