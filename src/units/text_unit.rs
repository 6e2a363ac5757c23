//! The units a length may be written in.

use super::{FOOT_M, INCH_M, Length};

/// A unit that lengths are written in, in a header, a flag or behind a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LengthUnit {
    /// Decimal feet: 0.1 is 1.2 inches.
    Foot,
    /// Inches, decimal or with fractions.
    Inch,
    /// Feet and inches, marked: `4' 7 1/4"`.
    FeetInches,
    /// Millimetres.
    Millimetre,
    /// Centimetres.
    Centimetre,
    /// Metres.
    Metre,
}

impl LengthUnit {
    /// Every unit, in the order messages list them.
    pub const ALL: [Self; 6] = [
        Self::Foot,
        Self::Inch,
        Self::FeetInches,
        Self::Millimetre,
        Self::Centimetre,
        Self::Metre,
    ];

    /// The short name used in headers, flags and files: `ft`, `in`, `ft-in`, `mm`, `cm`, `m`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Foot => "ft",
            Self::Inch => "in",
            Self::FeetInches => "ft-in",
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Metre => "m",
        }
    }

    /// One of this unit in metres; feet-inches counts in inches.
    pub const fn metres(self) -> f64 {
        match self {
            Self::Foot => FOOT_M,
            Self::Inch | Self::FeetInches => INCH_M,
            Self::Millimetre => 0.001,
            Self::Centimetre => 0.01,
            Self::Metre => 1.0,
        }
    }

    /// That many of this unit.
    pub const fn length(self, number: f64) -> Length {
        match self {
            // Dividing keeps 98 mm the same float as 0.098 m; multiplying by 0.001 does not.
            Self::Millimetre => Length::from_m(number / 1000.0),
            Self::Centimetre => Length::from_m(number / 100.0),
            _ => Length::from_m(number * self.metres()),
        }
    }

    /// Whether the unit belongs to feet and inches rather than to metres.
    pub const fn is_us(self) -> bool {
        matches!(self, Self::Foot | Self::Inch | Self::FeetInches)
    }

    /// The unit a word or mark stands for, in any letter case, with or without a full stop.
    ///
    /// # Edge cases
    /// `None` for a word that is no unit of length. Two marks together (`''`, `""`) are one mark.
    pub fn from_word(word: &str) -> Option<Self> {
        let word = word.trim().trim_end_matches('.').to_lowercase();
        let dashless: String = word
            .chars()
            .filter(|c| !matches!(c, ' ' | '-' | '_' | '/' | '+' | '&' | '\u{2013}'))
            .collect();
        Some(match dashless.as_str() {
            "ft" | "foot" | "feet" | "decimalfeet" | "decimalft" | "decft" | "'" | "\u{2032}"
            | "\u{2019}" => Self::Foot,
            "in" | "inch" | "inches" | "ins" | "\"" | "''" | "\"\"" | "\u{2033}" | "\u{201d}"
            | "decimalinches" => Self::Inch,
            "ftin" | "feetinches" | "feetandinches" | "footinch" | "feetinch" | "'\"" => {
                Self::FeetInches
            }
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Self::Millimetre,
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Self::Centimetre,
            "m" | "metre" | "metres" | "meter" | "meters" => Self::Metre,
            _ => return None,
        })
    }
}

impl std::fmt::Display for LengthUnit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.name())
    }
}

/// A word that names no unit of length.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("found unit \"{found}\"; expected one of ft, in, ft-in, mm, cm, m")]
pub struct UnknownUnit {
    /// The word as given.
    pub found: String,
}

impl std::str::FromStr for LengthUnit {
    type Err = UnknownUnit;

    fn from_str(word: &str) -> Result<Self, UnknownUnit> {
        Self::from_word(word).ok_or_else(|| UnknownUnit {
            found: word.to_owned(),
        })
    }
}
