//! How well a reading repeats.

use super::settings::Settings;
use crate::flatness::unstated_repeats_m;
use crate::survey::{FEWEST_PAIRS, Notice, Repeats, Severity, Survey, repeated_m};
use crate::units::Pen;

/// How well a reading repeats, and how that is known. Standard deviations of one reading repeated, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Repeatability {
    /// The job states it.
    Stated(f64),
    /// Marks that were read twice show it.
    Shown(Repeats),
    /// Neither: it may be anything between these.
    Unstated {
        /// At least.
        low_m: f64,
        /// At most.
        high_m: f64,
        /// Marks that were read twice, too few to show it.
        pairs: usize,
    },
}

impl Repeatability {
    /// What the job states, or what marks read twice show, or what is assumed. `step_m`: what readings were taken to.
    pub(super) fn of(survey: &Survey, settings: &Settings, step_m: f64) -> Self {
        let stated_m = settings.doubt.repeatability_m;
        if stated_m > 0.0 {
            return Self::Stated(stated_m);
        }
        let differences = repeated_m(&survey.readings);
        if let Some(shown) = Repeats::of(&differences, step_m) {
            return Self::Shown(shown);
        }
        let (low_m, high_m) = unstated_repeats_m(step_m);
        Self::Unstated {
            low_m,
            high_m,
            pairs: differences.len(),
        }
    }

    /// What the doubt of a single gap counts, metres; 0 where nothing is known.
    pub(super) const fn likely_m(&self) -> f64 {
        match self {
            Self::Stated(m) => *m,
            Self::Shown(shown) => shown.likely_m,
            Self::Unstated { .. } => 0.0,
        }
    }

    /// The bounds that marks read twice set, metres.
    pub(super) const fn shown_m(&self) -> Option<(f64, f64)> {
        match self {
            Self::Shown(shown) => Some((shown.low_m, shown.high_m)),
            _ => None,
        }
    }
}

/// A repeatability that is stated against what marks read twice show.
pub(super) fn contradicted(survey: &Survey, settings: &Settings, step_m: f64) -> Option<Notice> {
    let stated_m = settings.doubt.repeatability_m;
    if stated_m <= 0.0 {
        return None;
    }
    let shown = Repeats::of(&repeated_m(&survey.readings), step_m)?;
    let pen = Pen::new(settings.habit);
    (!(shown.low_m..=shown.high_m).contains(&stated_m)).then(|| {
        Notice::new(
            "repeatability",
            Severity::Warning,
            "instrument.repeatability",
            format!(
                "Readings are said to repeat to {}, but {} marks that were read twice show {} to {}. At least {FEWEST_PAIRS} marks read twice tell it by themselves: leave the key out.",
                pen.stated(stated_m),
                shown.pairs,
                pen.spread(shown.low_m),
                pen.spread(shown.high_m),
            ),
        )
    })
}
