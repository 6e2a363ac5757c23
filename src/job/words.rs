//! Words of a job file to numbers.

use crate::fill::{MOST_DEEP_M, MOST_DEPTH_M, SAY_DEEP};
use crate::flatness::check;
use crate::units::{Comma, Habit, Length, LengthUnit, found_text, read_length};

use super::error::JobError;

/// A value that cannot be used: what stood there, and what was expected.
pub fn bad(key: &str, found: &str, why: &str) -> JobError {
    JobError::BadValue {
        key: key.to_owned(),
        found: found.to_owned(),
        why: why.to_owned(),
    }
}

/// A plain number of a job file or a flag, held against what it may be.
///
/// # Errors
/// The key, the number found, and `expected`. What is no number is never within bounds.
pub fn number(
    key: &str,
    value: Option<f64>,
    usable: impl Fn(f64) -> bool,
    expected: &str,
) -> Result<Option<f64>, JobError> {
    match value {
        Some(v) if !usable(v) => Err(bad(key, &found_text(v), &format!("expected {expected}"))),
        other => Ok(other),
    }
}

/// A depth, down to as much below nothing; beyond [`MOST_DEPTH_M`] it has to be said that it is meant.
pub fn depth(key: &str, text: &str, deep: bool) -> Result<f64, JobError> {
    let value = length(key, text)?.m();
    let size = value.abs();
    // Exactly the limit keeps it, whatever its unit.
    if size > MOST_DEEP_M + 1e-9 {
        return Err(bad(
            key,
            text,
            "no floor takes more than 10 m (33 ft); check the number and its unit",
        ));
    }
    if size > MOST_DEPTH_M + 1e-9 && !deep {
        return Err(bad(key, text, SAY_DEEP));
    }
    Ok(value)
}

/// A depth that must be greater than zero.
pub fn positive_depth(key: &str, text: &str, deep: bool) -> Result<f64, JobError> {
    positive(key, text)?;
    depth(key, text, deep)
}

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

/// The least length that is more than none, metres: a thousandth of a millimetre.
pub const LEAST_M: f64 = 1e-6;

/// A length that must be greater than zero.
pub fn positive(key: &str, text: &str) -> Result<f64, JobError> {
    let value = length(key, text)?.m();
    if value >= LEAST_M {
        Ok(value)
    } else {
        Err(bad(
            key,
            text,
            "expected a length greater than zero, of 0.001 mm or more",
        ))
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
pub fn point_and_offset(key: &str, text: &str, deep: bool) -> Result<(String, f64), JobError> {
    // The sign stands between spaces, so that a name such as "B-2" stays whole.
    for (sign, factor) in [(" + ", 1.0), (" - ", -1.0), (" − ", -1.0)] {
        if let Some((name, offset)) = text.rsplit_once(sign) {
            return Ok((name.trim().to_owned(), factor * depth(key, offset, deep)?));
        }
    }
    // "C4 +1/4 in": taken as an offset only where it is a length with its unit.
    for (sign, factor) in [(" +", 1.0), (" -", -1.0), (" −", -1.0)] {
        if let Some((name, offset)) = text.rsplit_once(sign)
            && length(key, offset).is_ok()
        {
            return Ok((name.trim().to_owned(), factor * depth(key, offset, deep)?));
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

/// A length of edge, metres.
pub fn span(text: &str) -> Result<f64, JobError> {
    within(
        "spans",
        text,
        (check::SHORTEST_SPAN_M, check::LONGEST_SPAN_M),
        "from 1 mm to 1000 m (3281 ft)",
    )
}

/// A length above zero and within bounds, metres.
pub fn within(
    key: &str,
    text: &str,
    (least, most): (f64, f64),
    words: &str,
) -> Result<f64, JobError> {
    let value = positive(key, text)?;
    if (least - 1e-12..=most + 1e-9).contains(&value) {
        return Ok(value);
    }
    Err(bad(key, text, &format!("expected a length {words}")))
}
