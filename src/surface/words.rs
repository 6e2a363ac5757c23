//! Lengths in notices: both habits side by side, since a floor does not know its reader; that of the rule it was read with first.

use crate::survey::Rule;
use crate::units::{Area, Habit, Length, area_text, depth_text, length_text};

/// Lengths and areas in both habits.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spoken {
    first: Rule,
}

impl Spoken {
    /// For readings that were taken to this step, metres.
    pub(super) fn of_step(step_m: Option<f64>) -> Self {
        Self {
            first: Rule::of_step(step_m),
        }
    }

    fn both(self, text: impl Fn(Habit) -> String) -> String {
        let (first, second) = match self.first {
            Rule::Inches => (Habit::Us, Habit::Metric),
            Rule::Metric => (Habit::Metric, Habit::Us),
        };
        format!("{} ({})", text(first), text(second))
    }

    /// A distance in plan.
    pub(super) fn plan(self, m: f64) -> String {
        let length = Length::from_m(m);
        // A few inches are told in inches, not in feet.
        self.both(|habit| {
            let small = match habit {
                Habit::Us => 0.3,
                Habit::Metric => 0.1,
            };
            if m < small {
                depth_text(length, habit)
            } else {
                length_text(length, habit)
            }
        })
    }

    /// A height difference.
    pub(super) fn height(self, m: f64) -> String {
        let length = Length::from_m(m);
        // Less than a sixteenth is no "0 in".
        if m != 0.0 && depth_text(length, Habit::Us) == depth_text(Length::default(), Habit::Us) {
            return self.first.both(length);
        }
        self.both(|habit| depth_text(length, habit))
    }

    /// An area.
    pub(super) fn area(self, m2: f64) -> String {
        self.both(|habit| area_text(Area::from_si(m2), habit))
    }
}
