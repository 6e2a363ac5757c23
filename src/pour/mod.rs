//! Row 7. Order, batches and clock of the pour.

mod batch;
mod bays;
mod choose;
mod clock;
#[cfg(test)]
mod connected;
mod findings;
mod fitting;
mod footing;
mod judge;
mod layout;
mod passes;
mod piece;
mod pieces;
mod plan;
mod potential;
mod practical;
mod result;
mod split;
mod staging;

pub use findings::{DRAWN_OUT, EDGE_WAITS, TOO_FEW_PEOPLE};
pub use plan::plan;
pub use result::{
    Batch, Bay, BayDam, Clock, Lift, Loop, Order, OrderScore, PourError, PourPlan, PourRequest,
    Remedy, Staged, StagingItem, TieIn,
};
