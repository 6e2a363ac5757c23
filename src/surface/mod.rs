//! Row 5. The floor as a triangulated surface: extremes, profiles, extension to the walls, coverage.

mod beside;
mod between;
mod build;
mod diagonals;
pub mod doubt;
mod error;
mod extension;
mod extremes;
mod fans;
mod farthest;
mod finer;
mod floor;
mod lay;
mod lines;
mod numbering;
mod parts;
mod plane_squares;
mod query;
mod readings;
mod rings;
mod sampling;
mod spacing;
mod steps;
mod words;

pub use build::{Built, SlopeFloor};
pub use diagonals::ON_CIRCLE;
pub use error::{FloorError, RoomFault};
pub use extremes::{Extremes, Peak, ReadingSpot};
pub use floor::{Across, Ambiguous, Areas, Beyond, Blank, Cover, Floor, Source, Vertex};
pub use readings::ReadingUse;
pub use rings::{LevelRing, level_rings};
