//! What a patch plan answers: plain data, metres throughout.

use super::PatchLimit;
use crate::flatness::{Chance, Departure, EdgeResult};
use crate::geometry::{Point, Ring};
use crate::units::{Habit, Pen};

/// One patch to fill, or one spot to grind.
#[derive(Debug, Clone, PartialEq)]
pub struct PatchSpot {
    /// Its outer lines: where it is deeper than the feather depth. More than one only where pieces
    /// touch at a point.
    pub outlines: Vec<Ring>,
    /// Floor left alone inside it.
    pub islands: Vec<Ring>,
    /// Plan area inside the outlines less the islands, square metres.
    pub area_m2: f64,
    /// Material laid or ground, cubic metres, the thin rim outside the outlines with it.
    pub volume_m3: f64,
    /// Greatest depth, metres.
    pub deepest_m: f64,
    /// Where that is.
    pub deepest_at: Point,
    /// Bags for it alone, waste included, not rounded; `None` without a yield.
    pub bags: Option<f64>,
}

/// A limit and what the certified search found before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct PatchCheck {
    /// The limit.
    pub limit: PatchLimit,
    /// The floor as it is.
    pub before: EdgeResult,
    /// The patched floor; its `bound_m` is at most the allowance.
    pub after: EdgeResult,
    /// The chance that the floor, and not only the surface through its readings, keeps the limit then; `None` where nobody worked
    /// it out.
    pub chance: Option<Chance>,
}

/// The least material that brings the floor within its limits, with the proof that it does.
#[derive(Debug, Clone, PartialEq)]
pub struct PatchPlan {
    /// What is laid at every vertex of the floor, metres; negative where so much is ground off.
    pub work_m: Vec<f64>,
    /// The step that all of these are whole steps of, metres; `None` where no plan in steps was asked for or found.
    pub step_m: Option<f64>,
    /// Patches, largest volume first.
    pub patches: Vec<PatchSpot>,
    /// Spots to grind, largest volume first.
    pub grinds: Vec<PatchSpot>,
    /// All material, cubic metres.
    pub fill_volume_m3: f64,
    /// Everything ground off, cubic metres.
    pub grind_volume_m3: f64,
    /// Bags in all, waste included, not rounded; `None` without a yield.
    pub bags: Option<f64>,
    /// Greatest height added, metres.
    pub deepest_m: f64,
    /// The limits, before and after.
    pub checks: Vec<PatchCheck>,
    /// Material less than the full pour, cubic metres, where that was given.
    pub saved_m3: Option<f64>,
    /// Height added less than the full pour's deepest, metres, where that was given.
    pub saved_height_m: Option<f64>,
    /// How far under each allowance the plan aimed, metres; the price of the proof.
    pub margin_m: f64,
    /// Depth that outlines are drawn at, metres.
    pub feather_m: f64,
    /// Rounds of solving and searching that were needed.
    pub rounds: usize,
    /// Chord limits in the last programme solved.
    pub chords: usize,
}

impl PatchPlan {
    /// Whether nothing needs doing.
    pub fn is_empty(&self) -> bool {
        self.patches.is_empty() && self.grinds.is_empty()
    }
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum PatchError {
    /// Nothing to reach.
    NoLimit,
    /// Limits there are, and the readings say nothing of any.
    NothingTested,
    /// A number in the request cannot be.
    BadRequest {
        /// Which number.
        what: &'static str,
        /// What was given.
        found: f64,
        /// What was expected.
        expected: &'static str,
    },
    /// The floor has no triangles.
    NoFloor,
    /// The limits cannot all be kept within the depths allowed.
    Infeasible {
        /// The most that was allowed to be laid, metres.
        max_fill_m: Option<f64>,
        /// The most that was allowed to be ground, metres.
        max_grind_m: f64,
    },
    /// The solver stopped without an answer.
    Unsolved {
        /// Round of solving and searching.
        round: usize,
        /// The solver's own word.
        status: String,
        /// How many chord limits the programme held.
        chords: usize,
    },
    /// The rounds allowed were used up.
    RoundsUsedUp {
        /// Rounds allowed.
        rounds: usize,
        /// The limit farthest from being kept: dip or hump.
        departure: Departure,
        /// Its span, metres.
        span_m: f64,
        /// Its allowance, metres.
        allowance_m: f64,
    },
    /// The certified search hit its own work limit.
    NotCertified {
        /// Dip or hump.
        departure: Departure,
        /// Span, metres.
        span_m: f64,
        /// Worst found, metres.
        gap_m: f64,
        /// Not excluded, metres.
        bound_m: f64,
    },
}

impl PatchError {
    /// The reason in the reader's units.
    pub fn words(&self, pen: Pen) -> String {
        let kind = |departure: &Departure| match departure {
            Departure::Dip => "dip",
            Departure::Hump => "hump",
        };
        match self {
            Self::NoLimit => {
                "a patch plan needs at least one limit for a straight edge (a span and what is allowed under it)"
                    .to_owned()
            }
            Self::NothingTested => "no patch plan: none of the straight-edge limits asked for was tested on this floor, and a patch can only be aimed at what the readings show; what to read stands with the checks".to_owned(),
            Self::BadRequest {
                what,
                found,
                expected,
            } => format!("patch plan: {what} is {found}; expected {expected}"),
            Self::NoFloor => {
                "a patch plan needs a surveyed floor; this one has no surface".to_owned()
            }
            Self::Infeasible {
                max_fill_m,
                max_grind_m,
            } => format!(
                "no patch plan exists: with at most {} laid and at most {} ground off, no finished surface keeps every limit; allow more depth or grinding, or pour the floor",
                max_fill_m.map_or_else(|| "any depth".to_owned(), |d| pen.stated(d)),
                pen.stated(*max_grind_m)
            ),
            Self::Unsolved {
                round,
                status,
                chords,
            } => format!(
                "the patch plan was not solved in round {round}: the solver stopped with '{status}' on {chords} chord limits; loosen the tolerance or plan the full pour"
            ),
            Self::RoundsUsedUp {
                rounds,
                departure,
                span_m,
                allowance_m,
            } => format!(
                "the patch plan was not finished in {rounds} rounds: with the patches planned so far, whose edges count as well, the floor would have a {} of more than {} at {}; pour the floor, or grind or fill its worst places by hand and read it again",
                kind(departure),
                pen.limit(*allowance_m),
                pen.span(*span_m)
            ),
            Self::NotCertified {
                departure,
                span_m,
                gap_m,
                bound_m,
            } => format!(
                "the patched floor could not be certified: the search for the {} at {} stopped at its work limit with {} found and {} not excluded",
                kind(departure),
                pen.span(*span_m),
                pen.gap(*gap_m),
                pen.bound(*bound_m)
            ),
        }
    }
}

impl std::fmt::Display for PatchError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.words(Pen::new(Habit::Metric)))
    }
}

impl std::error::Error for PatchError {}
