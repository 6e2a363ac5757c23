//! What a note is that begins with a number.

use super::around::looks_numeric;
use super::axis::compass_distance;
use super::dates::date_text;
use super::headers::{FOREIGN, is_summary};
use crate::units::LengthUnit;

/// Whether a text begins with a number and goes on with words that no length has: `2 cracks here`, `16 in oc`, `1/2 in gap at wall`; not
/// `40 1/8 inches`, `2 ft E`, `5 May 2026`.
pub(super) fn is_numbered_note(text: &str) -> bool {
    let words = text.split(|c: char| !c.is_alphanumeric() && c != '.');
    let mut words = words.map(|w| w.trim_matches('.')).filter(|w| {
        let letters = w.chars().filter(|c| c.is_alphabetic()).count();
        let ordinal = w.starts_with(|c: char| c.is_ascii_digit()) && letters <= 2;
        letters >= 2 && !ordinal
    });
    let unit = |w: &str| {
        let lower = w.to_lowercase();
        LengthUnit::from_word(w).is_some() || FOREIGN.contains(&lower.as_str())
    };
    looks_numeric(text)
        && !is_summary(text)
        && date_text(text).is_none()
        && compass_distance(text).is_none()
        && words.any(|w| !unit(w.trim_start_matches(|c: char| c.is_ascii_digit())))
}
