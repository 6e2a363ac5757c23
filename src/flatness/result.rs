//! What a flatness search answers: plain data, metres throughout.

use super::hand_says::ByHand;
use super::net::Joints;
use super::{Chance, Helps, Likely};
use crate::geometry::Point;

/// Which way the floor departs from a chord between two of its own points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Departure {
    /// The floor lies below an edge resting on two contact points.
    Dip,
    /// The floor lies above the chord: an edge balanced here shows this gap at both ends.
    Hump,
}

/// Which chords between two places of the floor an edge can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Lengths {
    /// All up to the span: the edge lies on the floor and rests where it may.
    #[default]
    UpTo,
    /// Those of the whole span alone: the edge stands on blocks at its ends.
    Whole,
}

/// One laying of the edge: where it lies and what it shows.
#[derive(Debug, Clone, Copy, PartialEq)]
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
#[derive(Debug, Clone, PartialEq)]
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
#[derive(Debug, Clone, PartialEq)]
pub struct SpanPoint {
    /// Length of the edge.
    pub span_m: f64,
    /// Worst dip up to that length.
    pub dip: EdgeResult,
    /// Worst hump up to that length.
    pub hump: EdgeResult,
    /// Whether there are joints and no edge was laid across them.
    pub between_joints: bool,
    /// How much of the room the readings can judge at that length.
    pub judged: Judged,
}

/// How the edge is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Procedure {
    /// The edge rests on high points; the gap between its contact points is read.
    Resting,
    /// The edge is balanced on a hump; the gap at either end is read.
    Balanced,
    /// One end is held down over a hump; the gap at the other end is read.
    HeldDown,
    /// The edge stands on two equal blocks at its ends; how far the floor lies below the line between the two places that
    /// it stands on.
    EndBlocksHollow,
    /// The same; how far the floor rises above that line.
    EndBlocksHump,
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

    /// Which chords its edge can be.
    pub const fn lengths(self) -> Lengths {
        match self {
            Self::EndBlocksHollow | Self::EndBlocksHump => Lengths::Whole,
            _ => Lengths::UpTo,
        }
    }
}

/// Four words that can be signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// The floor keeps the allowance with a chance of 95 % or more, or, where none was worked out, the worst gap does with its
    /// doubt; and the room was read closely enough.
    Within,
    /// It does not, with as much of a chance, or by more than the doubt of a gap over it.
    Out,
    /// Neither, or it hangs on readings that are suspected.
    InDoubt,
    /// The readings cannot tell at this span, or too little of the room is read.
    NotTested,
}

impl Verdict {
    /// The word itself, as it stands in a sentence.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Within => "within",
            Self::Out => "out",
            Self::InDoubt => "in doubt",
            Self::NotTested => "not tested",
        }
    }

    /// How grave the word is: within, in doubt, not tested, out.
    const fn rank(self) -> u8 {
        match self {
            Self::Within => 0,
            Self::InDoubt => 1,
            Self::NotTested => 2,
            Self::Out => 3,
        }
    }

    /// The gravest of several words; *not tested* where there is none.
    pub fn worst(words: impl IntoIterator<Item = Self>) -> Self {
        words
            .into_iter()
            .max_by_key(|word| word.rank())
            .unwrap_or(Self::NotTested)
    }
}

/// How sure a limit's figure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Deserialize)]
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

/// How much of the room a part's word speaks for.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Judged {
    /// Floor that is read closely enough to judge the part, square metres.
    pub judged_m2: f64,
    /// What of it was carried out to joints from the readings beside them, square metres.
    pub carried_m2: f64,
    /// The room: outline less voids, square metres.
    pub room_m2: f64,
    /// Floor along walls, voids and columns that carries no reading and is left aside, square metres.
    pub aside_m2: f64,
    /// Whether such floor is too much of the room to be left aside: then none is.
    pub waived: bool,
    /// How far floor that is not left aside lies from the nearest reading, at most, metres.
    pub farthest_m: f64,
    /// How far apart readings may stand at most to judge the part, metres.
    pub needed_m: f64,
    /// How many sample lines it was judged on; none where it was judged on the floor. Lines have no area.
    pub lines: usize,
    /// Where to read first: about the middle of the widest floor that is neither judged nor left aside; `None` where there is none, or
    /// where it is nearly all of the room.
    pub lacking: Option<Point>,
}

impl Judged {
    /// Floor that is neither judged nor left aside, square metres.
    pub fn rest_m2(&self) -> f64 {
        (self.room_m2 - self.judged_m2 - self.aside_m2).max(0.0)
    }

    /// Whether all of the room that is not left aside is read closely enough.
    pub fn all(&self) -> bool {
        self.share() >= 1.0 - 1e-9
    }

    /// Share of the room, less the strip left aside, that is read closely enough, 0 to 1.
    pub fn share(&self) -> f64 {
        let asked = self.room_m2 - self.aside_m2;
        if asked > 0.0 {
            (self.judged_m2 / asked).clamp(0.0, 1.0)
        } else {
            0.0
        }
    }
}

/// What was measured on a part that was tested.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measured {
    /// The value held against the allowance: the largest one, or the one that the allowed share of placements may
    /// exceed. Metres.
    pub gap_m: f64,
    /// Nothing on the surface through the readings exceeds this.
    pub bound_m: f64,
    /// The worst placement.
    pub worst: Option<Placement>,
    /// The worst distinct places: that of `worst` first, then the others by depth. Where that one was proven beside deeper ones that were not, they follow it.
    pub places: Vec<Placement>,
    /// Expanded uncertainty of the gap, k = 2.
    pub doubt_m: f64,
    /// A larger gap on floor that is known less well, too doubtful to prove what this one proves, metres.
    pub doubtful_m: Option<f64>,
    /// The share of placements that may be over the allowance, where the rule lets some be; 0 to 1.
    pub allowed_share: Option<f64>,
    /// Share of regularly sampled placements over the allowance, where sampled.
    pub share_over: Option<f64>,
    /// The chance that the floor keeps the allowance; `None` where none was worked out.
    pub chance: Option<Chance>,
    /// What the worst gap of the floor itself is likely to be; `None` where no chance was worked out.
    pub likely: Option<Likely>,
    /// Where one more reading would help to decide a word that is in doubt, the most helpful first.
    pub helps: Vec<Helps>,
    /// The same span and allowance with the edge used the other way (resting against balanced),
    /// told only where the two disagree on the word.
    pub other: Option<OtherWay>,
}

impl Measured {
    /// The largest gap found, metres: what a worst place shows, whether or not the rule lets some placements be over.
    pub fn largest_m(&self) -> f64 {
        // Values along lines have no place, and the largest of them is all that bounds them.
        let placeless = match self.allowed_share {
            Some(_) => self.bound_m,
            None => self.gap_m,
        };
        self.worst.map_or(placeless, |w| w.gap_m.max(self.gap_m))
    }
}

/// What to read before a part can be judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToRead {
    /// Readings no farther apart than this, metres; `None` where they stand so closely, and what is missing lies along walls, joints, voids and
    /// blanks.
    pub every_m: Option<f64>,
    /// The middle of the largest piece of floor that lacks them; `None` where it is all of the floor.
    pub at: Option<Point>,
}

/// A part's word, with what was measured. A part that was not tested holds no measured value, so that
/// nothing can print one.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Inside the allowance.
    Within(Measured),
    /// Nearer to the allowance than the doubt, or hanging on suspected readings.
    InDoubt(Measured),
    /// Over the allowance.
    Out(Measured),
    /// What to read; `None` where no reading would help.
    NotTested(Option<ToRead>),
    /// Edges laid by hand decide it, whatever the readings say.
    ByHand {
        /// Within, or out.
        word: Verdict,
        /// What the readings alone come to.
        readings: Box<Self>,
    },
}

impl Outcome {
    /// Its word.
    pub const fn verdict(&self) -> Verdict {
        match self {
            Self::Within(_) => Verdict::Within,
            Self::InDoubt(_) => Verdict::InDoubt,
            Self::Out(_) => Verdict::Out,
            Self::NotTested(_) => Verdict::NotTested,
            Self::ByHand { word, .. } => *word,
        }
    }

    /// What was measured by the readings.
    pub const fn measured(&self) -> Option<&Measured> {
        match self {
            Self::Within(m) | Self::InDoubt(m) | Self::Out(m) => Some(m),
            Self::NotTested(_) => None,
            Self::ByHand { readings, .. } => readings.measured(),
        }
    }

    pub(super) const fn measured_mut(&mut self) -> Option<&mut Measured> {
        match self {
            Self::Within(m) | Self::InDoubt(m) | Self::Out(m) => Some(m),
            Self::NotTested(_) => None,
            Self::ByHand { readings, .. } => readings.measured_mut(),
        }
    }
}

/// One part of a check: one span, one procedure, one allowance.
#[derive(Debug, Clone, PartialEq)]
pub struct PartResult {
    /// How the edge was used.
    pub procedure: Procedure,
    /// Length of the edge (radius for [`Procedure::Radius`]).
    pub span_m: f64,
    /// The most that is allowed. For a limit that depends on contact distance: at the worst placement.
    pub allowance_m: f64,
    /// The share of placements or values that may be over it, where the rule lets some be; 0 to 1.
    pub may_be_over: Option<f64>,
    /// How much of the room the word speaks for.
    pub judged: Judged,
    /// The word, with what was measured where it was tested.
    pub outcome: Outcome,
    /// What edges laid by hand say of it; `None` where none was laid.
    pub hand: Option<ByHand>,
    /// Why, in a sentence: what decided the word and what was not tested.
    pub reason: String,
    /// What the readings leave open though they settle the word: floor that is not judged, distances that are not tested. Empty for nothing.
    pub left_open: String,
}

impl PartResult {
    /// The part's word.
    pub const fn verdict(&self) -> Verdict {
        self.outcome.verdict()
    }

    /// What was measured by the readings; `None` for a part that they did not test.
    pub const fn measured(&self) -> Option<&Measured> {
        self.outcome.measured()
    }

    /// Whether its word comes from edges laid by hand.
    pub const fn is_by_hand(&self) -> bool {
        matches!(self.outcome, Outcome::ByHand { .. })
    }

    /// What to read before the part can be judged; `None` for a part that was tested.
    pub const fn to_read(&self) -> Option<ToRead> {
        match &self.outcome {
            Outcome::NotTested(read) => *read,
            _ => None,
        }
    }
}

/// What the same part shows with the edge used the other way.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherWay {
    /// The other procedure.
    pub procedure: Procedure,
    /// Largest value found by it.
    pub gap_m: f64,
    /// Nothing exceeds this.
    pub bound_m: f64,
    /// Its worst placement.
    pub worst: Option<Placement>,
    /// What the word would be.
    pub verdict: Verdict,
}

/// A check by name with its parts.
#[derive(Debug, Clone, PartialEq)]
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
    pub note: String,
    /// Whether its edges are laid across joints.
    pub joints: Joints,
    /// Its parts.
    pub parts: Vec<PartResult>,
}

impl CheckResult {
    /// The gravest word of its parts: out, then not tested, then in doubt, then within.
    pub fn verdict(&self) -> Verdict {
        Verdict::worst(self.parts.iter().map(PartResult::verdict))
    }

    /// The part that decided the word: the first that bears it. `None` for a check without parts.
    pub fn deciding(&self) -> Option<&PartResult> {
        let word = self.verdict();
        self.parts.iter().find(|p| p.verdict() == word)
    }
}
