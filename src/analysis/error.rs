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
    /// A door or fixture that the job names and the outline does not.
    #[error(
        "{key}: found \"{found}\"; expected the name of a door or fixture of the outline ({known})"
    )]
    UnknownPoint {
        /// The key of the job file.
        key: String,
        /// The name given.
        found: String,
        /// The names there are.
        known: String,
    },
    /// No reading made it onto the floor.
    #[error("no reading lies on the floor; check the outline against the plan distances")]
    NoReadingOnFloor,
    /// The take-off.
    #[error(transparent)]
    TakeOff(#[from] TakeOffError),
}
