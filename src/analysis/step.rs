//! The step that the readings were taken to.

use super::settings::Settings;
use crate::survey::Survey;

/// The step that the readings were taken to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingStep {
    /// Metres; never 0.
    pub step_m: f64,
    /// Whether the job states it; else it is the coarsest that all readings allow.
    pub stated: bool,
}

impl ReadingStep {
    /// The step that the job states, or the coarsest that the readings allow.
    pub(super) fn of(survey: &Survey, settings: &Settings) -> Self {
        Self {
            step_m: settings.doubt.step_m.unwrap_or_else(|| survey.step_m()),
            stated: settings.doubt.step_m.is_some(),
        }
    }
}
