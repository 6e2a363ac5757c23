//! What the readings leave open between them: a Gaussian field on the floor's mesh, floors that may be, drawn from it, and the
//! places worth reading next.

pub mod field;
mod may_be;
mod spots;

pub use may_be::{MOST_READINGS, MayBe};
pub use spots::OpenSpot;

/// Called at every step of work that takes seconds, so that who waits can end it by unwinding.
pub type Told<'a> = &'a (dyn Fn() + Sync);

/// Why nothing is said of a floor between its readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoDoubt {
    /// Fewer than [`field::FEWEST_READINGS`].
    FewReadings,
    /// More than [`MOST_READINGS`].
    ManyReadings,
    /// The readings do not vary, or the numbers allow no fit.
    NoVariation,
    /// No floors were to be drawn.
    NotWanted,
}
