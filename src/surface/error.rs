//! Why no floor could be built.

use crate::geometry::{MeshError, RegionFault};
use thiserror::Error;

/// Why a survey gives no floor.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum FloorError {
    /// Fewer than three readings in different places.
    #[error(
        "{found} usable reading(s) in different places; a floor needs at least 3, not all in one line. {} Read more points on the floor.",
        unused_text(*.unused)
    )]
    TooFewReadings {
        /// Readings that can be used, copies of one place counted once.
        found: usize,
        /// Readings that lie outside the floor or in a void.
        unused: usize,
    },
    /// All readings stand in one line.
    #[error(
        "all {found} usable readings stand in one line (within {:.1} mm); a floor needs readings to both sides. Read at least one more line of points.", width_m * 1000.0
    )]
    InOneLine {
        /// Readings that can be used.
        found: usize,
        /// Width of the band they stand in, metres.
        width_m: f64,
    },
    /// A reading's position or height is not a finite number.
    #[error(
        "reading {label} ({place}): position ({x}, {y}) m, height {z} m; all three must be finite numbers"
    )]
    NotFinite {
        /// Its label.
        label: String,
        /// Where it stood.
        place: String,
        /// Metres to the right.
        x: f64,
        /// Metres up the sheet.
        y: f64,
        /// Elevation, metres.
        z: f64,
    },
    /// The drawn room is faulty; every fault is listed.
    #[error("the drawn room cannot be used:\n{}", .faults.iter().map(|f| format!("  - {f}")).collect::<Vec<_>>().join("\n"))]
    Room {
        /// The faults.
        faults: Vec<RoomFault>,
    },
    /// Triangles given by hand are faulty.
    #[error("triangle {triangle}: {what}")]
    Triangle {
        /// Its index, from 0.
        triangle: usize,
        /// What is wrong.
        what: &'static str,
    },
    /// The triangulation reached a work limit.
    #[error("the walls could not be cut into the floor: {0}")]
    Mesh(#[from] MeshError),
}

fn unused_text(unused: usize) -> String {
    if unused == 0 {
        String::new()
    } else {
        format!("{unused} more lie outside the walls or in a void: check the outline and its unit.")
    }
}

/// A fault of the drawn room, by the name its line has on drawings.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("{name}: {fault}")]
pub struct RoomFault {
    /// Which line: `outline`, or the name of the void, slope or joint.
    pub name: String,
    /// What is wrong.
    pub fault: RegionFault,
}
