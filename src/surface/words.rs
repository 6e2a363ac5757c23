//! Lengths in notices: both habits side by side, since a floor does not know its reader.

use crate::units::{Area, Habit, Length, area_text, depth_text, length_text};

/// A distance in plan.
pub(super) fn spoken(m: f64) -> String {
    let length = Length::from_m(m);
    // A few inches are told in inches, not in feet.
    let us = if m < 0.3 {
        depth_text(length, Habit::Us)
    } else {
        length_text(length, Habit::Us)
    };
    let metric = if m < 0.1 {
        depth_text(length, Habit::Metric)
    } else {
        length_text(length, Habit::Metric)
    };
    format!("{metric} ({us})")
}

/// A height difference.
pub(super) fn height(m: f64) -> String {
    let length = Length::from_m(m);
    format!(
        "{} ({})",
        depth_text(length, Habit::Metric),
        depth_text(length, Habit::Us)
    )
}

/// An area.
pub(super) fn area(m2: f64) -> String {
    let area = Area::from_si(m2);
    format!(
        "{} ({})",
        area_text(area, Habit::Metric),
        area_text(area, Habit::Us)
    )
}
