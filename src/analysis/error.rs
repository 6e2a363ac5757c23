//! Why an analysis cannot be made.

use crate::fill::TakeOffError;
use crate::surface::FloorError;

/// Why an analysis cannot be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AnalysisError {
    /// The readings make no floor.
    #[error(transparent)]
    Floor(#[from] FloorError),
    /// A door, fixture or mark that the job names and that is not there.
    #[error(
        "{key}: found \"{found}\"; expected the name of a door or fixture of the outline ({known}), or of a mark"
    )]
    UnknownPoint {
        /// The key of the job file.
        key: String,
        /// The name given.
        found: String,
        /// The names there are.
        known: String,
    },
    /// A fall from a place to the same place.
    #[error(
        "fill.fall: \"{from}\" and \"{to}\" stand in one place; name two places that the fall runs between"
    )]
    NoDirection {
        /// Where it was to run from.
        from: String,
        /// Where it was to run to.
        to: String,
    },
    /// No reading made it onto the floor.
    #[error("no reading lies on the floor; check the outline against the plan distances")]
    NoReadingOnFloor,
    /// The take-off.
    #[error(transparent)]
    TakeOff(#[from] TakeOffError),
}
