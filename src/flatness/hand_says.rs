//! What edges laid by hand say of one part.

use crate::geometry::Point;

/// Share of all placements that may be over the allowance in a part that is called within by hand: as much as the chance that any
/// other *within* leaves.
pub const MOST_OVER: f64 = 0.05;

/// What edges laid by hand say of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct ByHand {
    /// What the placements were drawn from.
    pub seed: u32,
    /// Placements drawn at random for the part.
    pub drawn: usize,
    /// How many of them were laid.
    pub laid: usize,
    /// How many of those are over the allowance.
    pub over: usize,
    /// Placements that somebody chose and that were laid.
    pub chosen: usize,
    /// How many of those are over it.
    pub chosen_over: usize,
    /// Rows that say they were drawn, and lie elsewhere than what was drawn: counted as chosen.
    pub moved: usize,
    /// With 95 % confidence no larger share of all placements is over the allowance, those that were left out counted as
    /// over; `None` where none was drawn, or none of those laid.
    pub at_most_share: Option<f64>,
    /// The largest gap measured; the first of equal ones.
    pub worst: Option<HandGap>,
    /// The same in a sentence.
    pub words: String,
}

/// A gap measured by hand, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct HandGap {
    /// The placement's number on the sheet.
    pub number: String,
    /// One end of the edge.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// What was measured, metres.
    pub gap_m: f64,
}

impl ByHand {
    /// Whether a gap is over the allowance at any placement: one that anybody chose proves it as well as one that was drawn.
    pub const fn is_out(&self) -> bool {
        self.over + self.chosen_over > 0
    }

    /// Whether so few placements can be over that the part may be called within.
    pub fn is_within(&self) -> bool {
        !self.is_out() && self.at_most_share.is_some_and(|p| p <= MOST_OVER + 1e-12)
    }
}
