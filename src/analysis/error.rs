//! Why an analysis cannot be made.

use crate::fill::{OffFloor, SAY_DEEP, TakeOffError, TooManyBags};
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
    /// A name that several things of one kind bear.
    #[error(
        "{key}: \"{found}\" is the name of {count} places that lie apart; give each its own name, and name the one that is meant"
    )]
    OneOfSeveral {
        /// The key of the job file.
        key: String,
        /// The name given.
        found: String,
        /// How many bear it.
        count: usize,
    },
    /// A named point without floor under it, where the floor's height is asked for.
    #[error(
        "{key}: the height of the floor at \"{found}\" is not known: {why}; name a door, a fixture or a mark that stands on surveyed floor"
    )]
    OffFloor {
        /// The key of the job file.
        key: String,
        /// The name given.
        found: String,
        /// Why it has no floor.
        why: OffFloor,
    },
    /// A finish farther from the floor than is believed unasked.
    #[error("{key}: the finish would lie {found}; {SAY_DEEP}")]
    TooDeep {
        /// The key of the job file.
        key: String,
        /// How far, and over or under what.
        found: String,
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
    /// More bags than any order holds.
    #[error(transparent)]
    Bags(#[from] TooManyBags),
}
