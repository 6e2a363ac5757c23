//! How a text may be read as a length, and why it may not.

use super::LengthUnit;

/// How a comma inside a number is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Comma {
    /// By its surroundings: `9,8` and `0,125` are decimal, `1,234,567` and `1,234.5` are groups of
    /// thousands; a lone `1,234` could be either and is refused.
    #[default]
    Auto,
    /// The decimal mark, as other numbers beside it show; a lone `1.234` is then refused.
    Decimal,
    /// Numbers beside it use both marks, so that a lone `1,234` and a lone `1.234` are both refused.
    Unsure,
}

/// Why a text is not a length. Each names what was found and what was expected.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LengthError {
    /// Nothing there.
    #[error("found nothing; expected a length such as 3 7/8, 4'-7 1/4\", 98 or 9.8")]
    Empty,
    /// Some part is neither number, fraction nor unit.
    #[error("found \"{found}\"; expected a length such as 3 7/8, 4'-7 1/4\", 98 or 9.8")]
    NotALength {
        /// The text.
        found: String,
    },
    /// No unit beside the number and none given for it.
    #[error("found \"{found}\" with no unit; expected one of ft, in, ft-in, mm, cm, m")]
    MissingUnit {
        /// The text.
        found: String,
    },
    /// `1,234`: thousands or decimals.
    #[error(
        "found \"{found}\", which could be {grouped} or {decimal}; expected a point for decimals, or no thousands mark"
    )]
    AmbiguousComma {
        /// The text.
        found: String,
        /// Read as thousands.
        grouped: String,
        /// Read as decimals.
        decimal: String,
    },
    /// A fraction with a bottom that no rule has.
    #[error("found \"{found}\"; expected a fraction with a bottom of at most 10000, as in 3 7/8")]
    FineFraction {
        /// The text.
        found: String,
    },
    /// A feet-inches number that marks neither.
    #[error("found \"{found}\", which could be feet or inches; expected marks, as in 5' or 5\"")]
    UnmarkedFeetInches {
        /// The text.
        found: String,
    },
    /// The top of a fraction is not smaller than its bottom, or the bottom is zero.
    #[error(
        "found the fraction {top}/{bottom} in \"{found}\"; expected its top smaller than its bottom, as in 3 7/8"
    )]
    ImproperFraction {
        /// The text.
        found: String,
        /// As written.
        top: u32,
        /// As written.
        bottom: u32,
    },
    /// Inches beside feet that make another foot.
    #[error(
        "found {inches} inches beside feet in \"{found}\"; expected less than 12 (and no apostrophe as a thousands mark)"
    )]
    InchesOverTwelve {
        /// The text.
        found: String,
        /// The inches.
        inches: f64,
    },
    /// A fraction of a metric unit.
    #[error(
        "found a fraction with {unit} in \"{found}\"; expected decimals, or the unit in, ft or ft-in"
    )]
    MetricFraction {
        /// The text.
        found: String,
        /// The unit that stands beside it or was given.
        unit: LengthUnit,
    },
    /// Not a finite number.
    #[error("found \"{found}\"; expected a finite number")]
    NotFinite {
        /// The text.
        found: String,
    },
}
