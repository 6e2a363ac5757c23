//! What to order: each figure once, with what it is of.

use super::words::take_off as w;

/// What a line of the order is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OrderItem {
    /// How much of the room is counted, where it is not all of it.
    Counted,
    /// The material.
    Material,
    /// Waste added.
    Waste,
    /// Volume with waste.
    Ordered,
    /// Mixed material from one bag.
    Yield,
    /// Bags.
    Bags,
    /// What stays in the last bags.
    Left,
    /// Bags if something turns out otherwise.
    If,
    /// The cheapest sound choice.
    Choice,
    /// How likely they are short.
    Enough,
    /// Batches.
    Batches,
    /// Mixing water.
    Water,
    /// Primer.
    Primer,
    /// Perimeter foam.
    Foam,
    /// A dam.
    Dam,
    /// Lifts.
    Lifts,
    /// Added weight.
    Weight,
    /// A line of costs.
    Cost,
    /// Their sum.
    CostTotal,
    /// An area that keeps its slope.
    Slope,
}

impl OrderItem {
    /// Whether it is of what things cost.
    pub const fn is_cost(self) -> bool {
        matches!(self, Self::Cost | Self::CostTotal)
    }

    /// Whether it is of the floor, and of no material.
    pub const fn is_of_the_floor(self) -> bool {
        matches!(self, Self::Counted)
    }

    /// Its name on paper.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Counted => w::COUNTED,
            Self::Material => w::MATERIAL,
            Self::Waste => w::WASTE,
            Self::Ordered => w::ORDERED,
            Self::Yield => w::YIELD,
            Self::Bags => w::BAGS,
            Self::Left => w::LEFT,
            Self::If => w::IF,
            Self::Choice => crate::report::words::answer::CHOICE,
            Self::Enough => crate::report::words::answer::BETWEEN,
            Self::Batches => w::BATCHES,
            Self::Water => w::WATER,
            Self::Primer => w::PRIMER,
            Self::Foam => w::FOAM,
            Self::Dam => w::DAM,
            Self::Lifts => w::LIFTS,
            Self::Weight => w::WEIGHT,
            Self::Cost => w::COST,
            Self::CostTotal => w::COST_TOTAL,
            Self::Slope => w::SLOPE,
        }
    }
}

/// A line of the order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderFact {
    /// What it is of.
    pub item: OrderItem,
    /// What it says.
    pub value: String,
}
