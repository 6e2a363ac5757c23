//! What a patch plan is asked for.

use crate::flatness::{Departure, Ground, Joints, Lengths, Procedure};
use crate::survey::Survey;

/// One limit that the patched floor must keep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PatchLimit {
    /// Dip or hump.
    pub departure: Departure,
    /// Longest chord, metres.
    pub span_m: f64,
    /// Whether shorter ones count.
    pub lengths: Lengths,
    /// The most the floor may depart from a chord, metres. A departure equal to it passes.
    pub allowance_m: f64,
    /// Whether chords may cross joints, as its rule has it.
    pub joints: Joints,
}

impl PatchLimit {
    /// The limit that a procedure sets on chords, if it is one of chords.
    ///
    /// An edge balanced on a hump shows the hump at both ends; held down at one end it shows twice
    /// that at the other, so half its allowance is the hump's. `None` for procedures that are not
    /// judged by chords (midpoint on the grid, radius, ridge, lines).
    pub fn of(procedure: Procedure, span_m: f64, allowance_m: f64, joints: Joints) -> Option<Self> {
        let (departure, allowance_m) = match procedure {
            Procedure::Resting | Procedure::EndBlocksHollow => (Departure::Dip, allowance_m),
            Procedure::Balanced | Procedure::EndBlocksHump => (Departure::Hump, allowance_m),
            Procedure::HeldDown => (Departure::Hump, allowance_m / 2.0),
            _ => return None,
        };
        Some(Self {
            departure,
            span_m,
            lengths: procedure.lengths(),
            allowance_m,
            joints,
        })
    }
}

/// The quantities of the full pour that the plan is set beside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FullPour {
    /// Material, cubic metres.
    pub volume_m3: f64,
    /// Greatest height added, metres.
    pub deepest_m: f64,
}

/// What the plan may do and must reach.
#[derive(Debug, Clone, PartialEq)]
pub struct PatchRequest<'a> {
    /// The limits; at least one.
    pub limits: Vec<PatchLimit>,
    /// The most that may be laid anywhere, metres; `None` for no limit.
    pub max_fill_m: Option<f64>,
    /// The most that may be ground off anywhere, metres; 0 for no grinding.
    pub max_grind_m: f64,
    /// What a volume ground off counts against the same volume laid; 1 weighs them alike.
    pub grind_weight: f64,
    /// Mixed material from one bag, cubic metres; `None` leaves bags out.
    pub yield_m3: Option<f64>,
    /// Waste on top of the volume, as a share (0.1 for a tenth).
    pub waste: f64,
    /// The full pour, to compare with.
    pub full: Option<FullPour>,
    /// How near the certified search must come to the worst gap, metres. The plan aims twice this
    /// below each allowance, so that what is certified after is within it.
    pub tolerance_m: f64,
    /// Which part of the floor chords may lie on; the same as in the checks it is to pass.
    pub ground: Ground,
    /// Step of the rule that depths are measured out with, metres; `None` leaves them as they come.
    pub step_m: Option<f64>,
    /// Most rounds of solving and searching.
    pub max_rounds: usize,
    /// What the floor was made of. The plan then keeps the limits on the floor too that is made of these readings with what is laid at them:
    /// the one that a re-check judges.
    pub survey: Option<&'a Survey>,
}

impl Default for PatchRequest<'_> {
    /// No limits yet; no grinding, no waste, certified to 0.05 mm, at most 60 rounds.
    fn default() -> Self {
        Self {
            limits: Vec::new(),
            max_fill_m: None,
            max_grind_m: 0.0,
            grind_weight: 1.0,
            yield_m3: None,
            waste: 0.0,
            full: None,
            tolerance_m: 0.000_05,
            ground: Ground::Surveyed,
            step_m: None,
            max_rounds: 60,
            survey: None,
        }
    }
}
