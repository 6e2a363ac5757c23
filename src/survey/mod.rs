//! Row 3. What was read on the floor: readings, set-ups, the room; a [`Survey`] cannot be built invalid.
//!
//! # Datum and sign
//! A reading is taken from the level line down to the floor: the larger the reading, the lower the
//! floor. `elevation = line - reading`, up positive. The sign flips only in [`Elevation::below_line`].
//! The line of the first set-up is elevation 0 unless the job states its height.

mod elevation;
pub mod findings;
mod laid;
mod line_findings;
mod notice;
mod reading;
mod repeats;
mod resolution;
mod robust;
mod room;
pub mod setups;
mod shared_spots;
pub(crate) mod slip;
mod steering;
mod steps;
mod ties;
mod walk;

pub use elevation::Elevation;
pub use laid::{FirstRow, Laid, LaidBy};
pub use line_findings::line_findings;
pub use notice::{Notice, Severity};
pub use reading::{Place, RawReading, Reading, SheetName, column_letters};
pub use repeats::{FEWEST_PAIRS, Repeats, repeated_m};
pub use resolution::{coarsest_step, evident_resolution, step_is_evident};
pub use room::{Door, Fixture, Joint, NamedRing, Room, WALL_REACH_M, Wall, holds};
pub use setups::{SetUp, SetUpError};
pub use shared_spots::marks_once;
pub use slip::{Rule, Slip, likely_slip};
pub use steering::{one_line, seen, steers};
pub use walk::walking_order;

/// One room's readings with its outline: the input of everything after import.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// Name of the room, as the sheet or the job gives it.
    pub name: String,
    /// Every reading that carries a height, in the order of the sheet.
    pub readings: Vec<Reading>,
    /// Walls, voids, doors, joints. `None`: only readings are known; their own hull stands in.
    pub room: Option<Room>,
    /// Step that the readings were taken to, metres: the coarsest that all of them allow in the unit they were read in
    /// ([`coarsest_step`]). `None` for heights from elsewhere that show none.
    pub resolution_m: Option<f64>,
    /// Which way round the sheet lies on the plan; `None` for readings that bring their own coordinates.
    pub laid: Option<Laid>,
    /// The set-ups, in the order of [`Reading::set_up`]; empty when all was read from one that has no name.
    pub set_ups: Vec<SetUp>,
    /// Everything odd about the readings, none of it acted upon silently.
    pub notices: Vec<Notice>,
}

/// Why readings make no survey.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SurveyError {
    /// A place or height that is no finite number.
    #[error("found reading {label} at ({x}, {y}) m with height {z} m; expected finite numbers")]
    NotFinite {
        /// Its name.
        label: String,
        /// Metres.
        x: f64,
        /// Metres.
        y: f64,
        /// Metres.
        z: f64,
    },
    /// A resolution that is no length.
    #[error("found a resolution of {found_m} m; expected a finite length greater than zero")]
    Resolution {
        /// As given, metres.
        found_m: f64,
    },
}

impl Survey {
    /// A survey of readings made elsewhere than by import, checked.
    ///
    /// The resolution is taken from the heights where it is evident ([`evident_resolution`]).
    /// # Errors
    /// [`SurveyError::NotFinite`] for the first reading whose place or height is NaN or infinite.
    pub fn new(name: impl Into<String>, readings: Vec<Reading>) -> Result<Self, SurveyError> {
        let heights: Vec<f64> = readings.iter().map(|r| r.elevation.m()).collect();
        let survey = Self {
            name: name.into(),
            resolution_m: None,
            readings,
            room: None,
            laid: None,
            set_ups: Vec::new(),
            notices: Vec::new(),
        };
        survey.check()?;
        Ok(Self {
            resolution_m: evident_resolution(&heights),
            ..survey
        })
    }

    /// Name of the set-up that a reading was taken from, where there are several to tell apart.
    pub fn set_up_of(&self, reading: &Reading) -> Option<&str> {
        self.set_ups.get(reading.set_up).map(|s| s.name.as_str())
    }

    /// The step that a reading of unknown step counts as having, metres. Never 0.
    pub fn step_m(&self) -> f64 {
        self.resolution_m.unwrap_or_else(|| {
            let heights: Vec<f64> = self.readings.iter().map(|r| r.elevation.m()).collect();
            coarsest_step(&heights, None)
        })
    }

    /// The step where enough different readings show it, for what a step taken too coarse would hide: slips, and
    /// set-ups that disagree. Metres.
    pub fn evident_step_m(&self) -> Option<f64> {
        self.resolution_m
            .filter(|_| step_is_evident(self.readings.iter().map(|r| r.elevation.m())))
    }

    /// Whether every number in it is one that later stages may rely on; for surveys built by hand.
    ///
    /// # Errors
    /// [`SurveyError`] for the first that is not.
    pub fn check(&self) -> Result<(), SurveyError> {
        if let Some(found_m) = self.resolution_m
            && !(found_m.is_finite() && found_m > 0.0)
        {
            return Err(SurveyError::Resolution { found_m });
        }
        match self
            .readings
            .iter()
            .find(|r| !(r.at.x.is_finite() && r.at.y.is_finite() && r.elevation.m().is_finite()))
        {
            None => Ok(()),
            Some(r) => Err(SurveyError::NotFinite {
                label: r.label.to_string(),
                x: r.at.x,
                y: r.at.y,
                z: r.elevation.m(),
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    #[test]
    fn a_survey_of_numbers_that_are_none_is_refused() {
        let at = |x, z| Reading::new("P1", Point::new(x, 0.0), Elevation::from_m(z));
        assert!(Survey::new("a", vec![at(0.0, 1.0)]).is_ok());
        for bad in [at(f64::NAN, 0.0), at(0.0, f64::INFINITY)] {
            let error = Survey::new("a", vec![at(0.0, 0.0), bad]);
            assert!(matches!(error, Err(SurveyError::NotFinite { .. })));
        }
        let mut survey = Survey::new("a", vec![at(0.0, 1.0)]).unwrap();
        survey.resolution_m = Some(0.0);
        assert!(matches!(
            survey.check(),
            Err(SurveyError::Resolution { .. })
        ));
    }
}
