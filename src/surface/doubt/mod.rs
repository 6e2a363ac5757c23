//! What the readings leave open between them: kriging with a plane as trend, and floors that may be, drawn from a field on the mesh.

pub mod field;
mod fit;
mod kriging;
mod spots;
mod variation;

pub use kriging::{Estimate, Kriging};
pub use spots::OpenSpot;
pub use variation::Variation;

use super::{Floor, Source};
use crate::geometry::Point;

/// Fewest readings that a variation is worked out from. With fewer the fit is a guess.
pub const FEWEST_READINGS: usize = 25;
/// Most readings that it is worked out for: the work grows with their cube, and floors read more closely
/// than that leave little open.
pub const MOST_READINGS: usize = 1_200;

/// Why a floor has no statement of doubt between its readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoDoubt {
    /// Fewer than [`FEWEST_READINGS`].
    FewReadings,
    /// More than [`MOST_READINGS`].
    ManyReadings,
    /// Heights may jump at a joint, and one variation cannot tell that.
    Joints,
    /// The readings do not vary, or the numbers allow no fit.
    NoVariation,
}

impl Floor {
    /// The kriging of this floor's readings, its variation fitted to them.
    ///
    /// # Units, datum, sign
    /// Metres; heights are elevations. `least_noise_m`: a standard deviation that the noise of one reading
    /// is not taken to be smaller than, such as that of its last place.
    /// # Method
    /// docs/methods.md, "Doubt between readings".
    /// # Edge cases
    /// See [`NoDoubt`].
    pub fn kriging(&self, least_noise_m: f64) -> Result<Kriging, NoDoubt> {
        let (at, z): (Vec<Point>, Vec<f64>) = self
            .vertices()
            .iter()
            .filter(|v| matches!(v.source, Source::Reading(_)))
            .map(|v| (v.at, v.z))
            .unzip();
        if at.len() < FEWEST_READINGS {
            return Err(NoDoubt::FewReadings);
        }
        if at.len() > MOST_READINGS {
            return Err(NoDoubt::ManyReadings);
        }
        let jumps = (0..self.triangles().len() as u32)
            .any(|t| (0..3).any(|e| matches!(self.across(t, e), super::Across::Joint(_))));
        if jumps {
            return Err(NoDoubt::Joints);
        }
        let variation =
            fit::fit(&at, &z, self.spacing(), least_noise_m).ok_or(NoDoubt::NoVariation)?;
        Kriging::new(&at, &z, variation).ok_or(NoDoubt::NoVariation)
    }
}
