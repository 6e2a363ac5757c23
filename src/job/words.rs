//! Words of a job file to numbers.

use crate::units::{Comma, Habit, Length, LengthUnit, read_length};

use super::error::JobError;

/// A length from a job file or a flag. A number without a unit is refused.
pub fn length(key: &str, text: &str) -> Result<Length, JobError> {
    read_length(text, None, Comma::Auto)
        .map(|written| written.length)
        .map_err(|source| JobError::Length {
            key: key.to_owned(),
            source,
        })
}

/// The unit that a length is written in; of `4' 3"` the last.
pub fn unit_of(key: &str, text: &str) -> Result<LengthUnit, JobError> {
    read_length(text, None, Comma::Auto)
        .map(|written| written.unit.unwrap_or(LengthUnit::Metre))
        .map_err(|source| JobError::Length {
            key: key.to_owned(),
            source,
        })
}

/// A length that must be greater than zero.
pub fn positive(key: &str, text: &str) -> Result<f64, JobError> {
    let value = length(key, text)?.m();
    if value > 0.0 {
        Ok(value)
    } else {
        Err(JobError::BadValue {
            key: key.to_owned(),
            found: text.to_owned(),
            why: "expected a length greater than zero".to_owned(),
        })
    }
}

/// A unit's word.
pub fn unit(key: &str, text: &str) -> Result<LengthUnit, JobError> {
    LengthUnit::from_word(text).ok_or_else(|| JobError::BadValue {
        key: key.to_owned(),
        found: text.to_owned(),
        why: "expected one of ft, in, ft-in, mm, cm, m".to_owned(),
    })
}

/// "Door 1 + 1/4 in" to a name and an offset in metres; a name alone has offset 0.
pub fn point_and_offset(key: &str, text: &str) -> Result<(String, f64), JobError> {
    // The sign stands between spaces, so that a name such as "B-2" stays whole.
    for (sign, factor) in [(" + ", 1.0), (" - ", -1.0), (" − ", -1.0)] {
        if let Some((name, offset)) = text.rsplit_once(sign) {
            return Ok((name.trim().to_owned(), factor * length(key, offset)?.m()));
        }
    }
    Ok((text.trim().to_owned(), 0.0))
}

/// Habit of printing that goes with a unit of readings.
pub const fn habit_of(unit: LengthUnit) -> Habit {
    match unit {
        LengthUnit::Inch | LengthUnit::Foot | LengthUnit::FeetInches => Habit::Us,
        _ => Habit::Metric,
    }
}
