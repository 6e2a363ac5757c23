//! What a flatness search answers: plain data, metres throughout.

use crate::geometry::Point;
use serde::{Deserialize, Serialize};

/// Which way the floor departs from a chord between two of its own points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Departure {
    /// The floor lies below an edge resting on two contact points.
    Dip,
    /// The floor lies above the chord: an edge balanced here shows this gap at both ends.
    Hump,
}

/// One laying of the edge: where it lies and what it shows.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Placement {
    /// One end of the chord: a contact point for a dip, an end of the span for a hump.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Where the floor is farthest from the chord.
    pub at: Point,
    /// Vertical distance there, never negative.
    pub gap_m: f64,
}

impl Placement {
    /// Distance between the two ends of the chord, metres.
    pub fn chord_m(&self) -> f64 {
        self.from.distance(self.to)
    }
}

/// Worst departure for one span, with the proof that none is worse.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct EdgeResult {
    /// Dip or hump.
    pub departure: Departure,
    /// Length of the edge.
    pub span_m: f64,
    /// The worst placement found; `None` on a floor with no departure at all.
    pub worst: Option<Placement>,
    /// Nothing on the surveyed floor exceeds this. Never below the gap found.
    pub bound_m: f64,
    /// Whether a chord of the whole span fits on the floor anywhere.
    pub full_span_laid: bool,
    /// False when the work limit ended the search before `bound - found` met the tolerance asked.
    pub complete: bool,
}

impl EdgeResult {
    /// The gap found, zero when the floor shows none.
    pub fn gap_m(&self) -> f64 {
        self.worst.map_or(0.0, |w| w.gap_m)
    }
}

/// One point of the span curve.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SpanPoint {
    /// Length of the edge.
    pub span_m: f64,
    /// Worst dip up to that length.
    pub dip: EdgeResult,
    /// Worst hump up to that length.
    pub hump: EdgeResult,
}

/// How the edge is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Procedure {
    /// The edge rests on high points; the gap between its contact points is read.
    Resting,
    /// The edge is balanced on a hump; the gap at either end is read.
    Balanced,
    /// One end is held down over a hump; the gap at the other end is read.
    HeldDown,
    /// A grid node against the mean of its two neighbours.
    Midpoint,
    /// Highest minus lowest within a radius of a point.
    Radius,
    /// A short edge held tight on one side of a ridge.
    Ridge,
    /// Height difference or change between successive points of a line.
    Line,
}

impl Procedure {
    /// What the procedure reads for each metre that the floor departs from the edge: one end held down, or
    /// half of the edge held tight against one side, opens the other end by twice the hump that a balanced
    /// edge shows at both.
    pub const fn reads_per_metre(self) -> f64 {
        match self {
            Self::HeldDown | Self::Ridge => 2.0,
            _ => 1.0,
        }
    }
}

/// Four words that can be signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Verdict {
    /// The worst gap, its doubt included, is inside the allowance, and the floor was covered.
    #[serde(rename = "within")]
    Within,
    /// A gap over the allowance, by more than its doubt.
    #[serde(rename = "out")]
    Out,
    /// The worst gap is nearer to the allowance than its doubt.
    #[serde(rename = "in doubt")]
    InDoubt,
    /// The readings cannot tell at this span, or the edge has no room.
    #[serde(rename = "not tested")]
    NotTested,
}

/// How sure a limit's figure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sureness {
    /// Read in two or more independent places.
    Published,
    /// Read in one place.
    OneSource,
    /// From memory of the standard; check a purchased copy before signing.
    FromMemory,
    /// Common practice, no published source.
    CommonPractice,
    /// The user's own.
    Own,
}

/// One part of a check: one span, one procedure, one allowance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartResult {
    /// How the edge was used.
    pub procedure: Procedure,
    /// Length of the edge (radius for [`Procedure::Radius`]).
    pub span_m: f64,
    /// The most that is allowed. For a limit that depends on contact distance: at the worst placement.
    pub allowance_m: f64,
    /// Largest measured value against the allowance.
    pub gap_m: f64,
    /// Nothing on the surveyed floor exceeds this.
    pub bound_m: f64,
    /// The worst placement.
    pub worst: Option<Placement>,
    /// The worst distinct places, worst first; the first is `worst`.
    pub places: Vec<Placement>,
    /// Expanded uncertainty of the gap, k = 2.
    pub doubt_m: f64,
    /// Share of the surveyed floor that placements fit to judge this span reach, 0 to 1.
    pub coverage: f64,
    /// Share of regularly sampled placements over the allowance, where sampled.
    pub share_over: Option<f64>,
    /// The verdict on this part.
    pub verdict: Verdict,
    /// Why, in a sentence: what decided the verdict and what was not tested.
    pub reason: String,
    /// The same span and allowance with the edge used the other way (resting against balanced),
    /// told only where the two disagree on the verdict.
    #[serde(default)]
    pub other: Option<OtherWay>,
}

/// What the same part shows with the edge used the other way.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OtherWay {
    /// The other procedure.
    pub procedure: Procedure,
    /// Largest value found by it.
    pub gap_m: f64,
    /// Nothing exceeds this.
    pub bound_m: f64,
    /// Its worst placement.
    pub worst: Option<Placement>,
    /// What the verdict would be.
    pub verdict: Verdict,
}

/// A check by name with its parts and the verdict over all of them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CheckResult {
    /// Name on the command line and in files.
    pub check: String,
    /// Name on paper.
    pub title: String,
    /// Standard, edition and clause.
    pub source: String,
    /// How sure the figures are.
    pub sureness: Sureness,
    /// How the rule is read here where its words leave a choice; empty when they leave none.
    #[serde(default)]
    pub note: String,
    /// Its parts.
    pub parts: Vec<PartResult>,
    /// `Out` if any part is out, else in doubt if any is, else not tested if any is, else within.
    pub verdict: Verdict,
}
