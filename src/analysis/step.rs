//! The step that the readings were taken to.

use super::settings::Settings;
use crate::survey::{Notice, Severity, Survey};
use crate::units::Pen;

/// A reading lies between two steps where it is off both by more than this share of one: what rounding to the decimals of a sheet leaves
/// is less.
const BETWEEN: f64 = 1.0 / 6.0;
/// Readings that show a step so many times as fine as the stated one contradict it.
const FINER: f64 = 1.9;

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

/// A step that is stated against readings that lie between its steps, and show a finer one.
pub(super) fn finer_than_stated(survey: &Survey, settings: &Settings) -> Option<Notice> {
    let stated_m = settings.doubt.step_m?;
    let shown_m = survey.evident_step_m().filter(|s| s * FINER <= stated_m)?;
    // Within one set-up readings differ by whole steps, wherever its line stood.
    let first = |set_up: usize| survey.readings.iter().find(|r| r.set_up == set_up);
    let between = survey.readings.iter().filter(|r| {
        let from = first(r.set_up).map_or(0.0, |f| f.elevation.m());
        let steps = (r.elevation.m() - from) / stated_m;
        (steps - steps.round()).abs() > BETWEEN
    });
    let count = between.count();
    let pen = Pen::new(settings.habit);
    (count > 0).then(|| {
        Notice::new(
            "reading-step",
            Severity::Warning,
            "instrument.step",
            format!(
                "Readings are said to be taken to {}, but {count} of {} differ from others by less: they show a step of {}. The doubt of every gap is worked out from the stated one. State the step of the rule, or leave the key out.",
                pen.stated(stated_m),
                survey.readings.len(),
                pen.stated(shown_m),
            ),
        )
    })
}
