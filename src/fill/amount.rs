//! Amounts with units, as a material sheet states them: `0.35 cu ft`, `11 l`, `18 min`.

use crate::units::{CUBIC_FOOT_M3, FOOT_M, INCH_M};

/// US liquid gallon in cubic metres, exact: 231 cubic inches.
pub const GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;
/// US liquid quart in cubic metres, exact.
pub const QUART_M3: f64 = GALLON_M3 / 4.0;
/// Avoirdupois pound in kilograms, exact (1959 agreement).
pub const POUND_KG: f64 = 0.453_592_37;
/// One pound-force per square foot's mass, in kilograms per square metre.
pub const PSF_KG_M2: f64 = POUND_KG / (FOOT_M * FOOT_M);

/// What kind of amount is expected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Metres.
    Length,
    /// Square metres.
    Area,
    /// Cubic metres.
    Volume,
    /// Kilograms.
    Mass,
    /// Minutes.
    Time,
    /// Degrees Celsius.
    Temperature,
    /// Kilograms per cubic metre.
    Density,
    /// Kilograms per square metre and metre of thickness (written kg/m2/mm): kilograms per cubic metre.
    Consumption,
    /// Area covered per volume spread, square metres per cubic metre.
    Spread,
}

impl Kind {
    /// An example, for messages.
    pub fn example(self) -> &'static str {
        match self {
            Self::Length => "a length such as \"1/8 in\" or \"3 mm\"",
            Self::Area => "an area such as \"17 sq ft\" or \"2.2 m2\"",
            Self::Volume => "a volume such as \"0.35 cu ft\", \"11 l\" or \"7.5 qt\"",
            Self::Mass => "a weight such as \"36 lb\" or \"18 kg\"",
            Self::Time => "a time such as \"18 min\" or \"4 h\"",
            Self::Temperature => "a temperature such as \"48 F\" or \"9 C\"",
            Self::Density => "a density such as \"124 lb/cu ft\" or \"1980 kg/m3\"",
            Self::Consumption => "a consumption such as \"1.64 kg/m2/mm\"",
            Self::Spread => "a coverage such as \"260 sq ft/gal\" or \"6.4 m2/l\"",
        }
    }

    /// Size of a unit: `(factor, offset)` with `value = number * factor + offset`.
    fn unit(self, name: &str) -> Option<(f64, f64)> {
        let factor = match self {
            Self::Length => length(name)?,
            Self::Area => area(name)?,
            Self::Volume => volume(name)?,
            Self::Mass => mass(name)?,
            Self::Time => match name {
                "s" | "sec" | "second" | "seconds" => 1.0 / 60.0,
                "min" | "mins" | "minute" | "minutes" => 1.0,
                "h" | "hr" | "hrs" | "hour" | "hours" => 60.0,
                "d" | "day" | "days" => 1_440.0,
                _ => return None,
            },
            Self::Temperature => {
                return match name.trim_start_matches('°') {
                    "c" => Some((1.0, 0.0)),
                    "f" => Some((5.0 / 9.0, -160.0 / 9.0)),
                    _ => None,
                };
            }
            Self::Density => {
                let (m, v) = name.split_once('/')?;
                mass(m.trim())? / volume(v.trim())?
            }
            Self::Consumption => {
                let mut parts = name.split('/').map(str::trim);
                let (m, a, d) = (parts.next()?, parts.next()?, parts.next()?);
                if parts.next().is_some() {
                    return None;
                }
                mass(m)? / (area(a)? * length(d)?)
            }
            Self::Spread => {
                let (a, v) = name.split_once('/')?;
                area(a.trim())? / volume(v.trim())?
            }
        };
        Some((factor, 0.0))
    }
}

fn length(name: &str) -> Option<f64> {
    Some(match name {
        "mm" => 0.001,
        "cm" => 0.01,
        "m" => 1.0,
        "in" | "inch" | "inches" | "\"" | "″" | "”" => INCH_M,
        "ft" | "foot" | "feet" | "'" | "′" | "’" => FOOT_M,
        _ => return None,
    })
}

fn area(name: &str) -> Option<f64> {
    Some(match name {
        "m2" | "m²" | "sq m" => 1.0,
        "ft2" | "ft²" | "sq ft" | "sqft" | "sf" => FOOT_M * FOOT_M,
        "yd2" | "yd²" | "sq yd" => 9.0 * FOOT_M * FOOT_M,
        _ => return None,
    })
}

fn volume(name: &str) -> Option<f64> {
    Some(match name {
        "m3" | "m³" | "cu m" => 1.0,
        "l" | "litre" | "litres" | "liter" | "liters" => 0.001,
        "ml" => 0.000_001,
        "ft3" | "ft³" | "cu ft" | "cuft" | "cf" => CUBIC_FOOT_M3,
        "in3" | "in³" | "cu in" => INCH_M * INCH_M * INCH_M,
        "gal" | "gallon" | "gallons" => GALLON_M3,
        "qt" | "qts" | "quart" | "quarts" => QUART_M3,
        "pt" | "pint" | "pints" => QUART_M3 / 2.0,
        _ => return None,
    })
}

fn mass(name: &str) -> Option<f64> {
    Some(match name {
        "kg" => 1.0,
        "g" => 0.001,
        "lb" | "lbs" | "pound" | "pounds" => POUND_KG,
        "oz" => POUND_KG / 16.0,
        _ => return None,
    })
}

/// Reads one amount: a number (`0.35`, `3/8`, `1 1/2`, `1-1/2`) and its unit.
///
/// Gallons, quarts and pints are US liquid measure. Upper and lower case are the same; a full stop
/// after a unit is dropped; `per` may stand for the stroke of a compound unit.
///
/// # Errors
/// `None` when the number or the unit is missing or is not one of `kind`; a number without a unit
/// is never guessed at. Negative amounts are refused except for temperatures.
/// # Example
/// ```
/// use birdbath::fill::{Kind, parse_amount};
/// let depth = parse_amount("1 1/2 in", Kind::Length).unwrap();
/// assert!((depth - 0.0381).abs() < 1e-12);
/// assert_eq!(parse_amount("1.5", Kind::Length), None);
/// ```
pub fn parse_amount(text: &str, kind: Kind) -> Option<f64> {
    let text = text.trim().to_lowercase().replace(" per ", "/");
    let text = text.trim_end_matches('.');
    // The unit starts at the first letter, degree, foot or inch mark.
    let split = text.find(|c: char| c.is_alphabetic() || "°'\"′″’”".contains(c))?;
    let number = number(text[..split].trim().trim_end_matches('-'))?;
    let name = text[split..]
        .trim()
        .replace("sq. ", "sq ")
        .replace("cu. ", "cu ");
    let (factor, offset) = kind.unit(name.trim())?;
    let value = number * factor + offset;
    let allowed = value.is_finite() && (number >= 0.0 || kind == Kind::Temperature);
    allowed.then_some(value)
}

/// A decimal number, a fraction, or a whole number and a fraction.
fn number(text: &str) -> Option<f64> {
    if let Some((left, bottom)) = text.split_once('/') {
        let bottom: u32 = bottom.trim().parse().ok()?;
        let left = left.trim();
        let (whole, top) = match left.rsplit_once([' ', '-']) {
            Some((whole, top)) => (whole.trim().parse::<u32>().ok()?, top),
            None => (0, left),
        };
        let top: u32 = top.trim().parse().ok()?;
        return (bottom > 0).then(|| f64::from(whole) + f64::from(top) / f64::from(bottom));
    }
    let plain = text
        .chars()
        .all(|c| c.is_ascii_digit() || c == '.' || c == '-' || c == '+');
    if !plain {
        return None;
    }
    text.parse::<f64>().ok().filter(|v| v.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(text: &str, kind: Kind, expected: f64) {
        let got = parse_amount(text, kind).unwrap_or(f64::NAN);
        assert!(
            (got - expected).abs() <= 1e-12 * expected.abs().max(1.0),
            "{text}: {got}, expected {expected}"
        );
    }

    // ORACLE: hand, from the exact definitions (1 in = 25.4 mm, 1 lb = 0.45359237 kg,
    // 1 US gal = 231 cu in).
    #[test]
    fn amounts_of_every_kind() {
        near("0.35 cu ft", Kind::Volume, 0.35 * 0.028_316_846_592);
        near("11.2 l", Kind::Volume, 0.0112);
        near("7.5 qt", Kind::Volume, 7.5 * 0.946_352_946e-3);
        near("1/8 in", Kind::Length, 0.003_175);
        near("1-1/2\"", Kind::Length, 0.0381);
        near("17 sq. ft.", Kind::Area, 17.0 * 0.092_903_04);
        near("20 min", Kind::Time, 20.0);
        near("2 hours", Kind::Time, 120.0);
        near("50 F", Kind::Temperature, 10.0);
        near("-5 °C", Kind::Temperature, -5.0);
        near("1.64 kg/m2/mm", Kind::Consumption, 1_640.0);
        near(
            "124 lb/cu ft",
            Kind::Density,
            124.0 * 0.453_592_37 / 0.028_316_846_592,
        );
        near(
            "260 sq ft per gal",
            Kind::Spread,
            260.0 * 0.092_903_04 / 3.785_411_784e-3,
        );
    }

    // ORACLE: property: what a message gives as an example is read as what it asks for.
    #[test]
    fn every_example_of_a_message_is_an_amount_of_its_kind() {
        for kind in [
            Kind::Length,
            Kind::Area,
            Kind::Volume,
            Kind::Mass,
            Kind::Time,
            Kind::Temperature,
            Kind::Density,
            Kind::Consumption,
            Kind::Spread,
        ] {
            let given: Vec<&str> = kind.example().split('"').skip(1).step_by(2).collect();
            assert!(!given.is_empty(), "{kind:?}");
            for text in given {
                assert!(parse_amount(text, kind).is_some(), "{kind:?}: {text}");
            }
        }
    }

    #[test]
    fn no_unit_wrong_unit_or_nonsense_is_refused() {
        for text in [
            "",
            "12",
            "12 kg",
            "cu ft",
            "1/0 cu ft",
            "nan l",
            "-1 l",
            "1e3 l",
            "1 2 3/4 l",
        ] {
            assert_eq!(parse_amount(text, Kind::Volume), None, "{text}");
        }
    }
}
