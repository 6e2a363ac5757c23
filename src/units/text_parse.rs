//! Text to length: every way a crew, a spreadsheet or a surveyor writes one.

use super::text_error::{Comma, LengthError};
use super::text_token::{Token, tokens};
use super::{FOOT_M, INCH_M, Length, LengthUnit};

/// A length with what its text tells beyond the number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WrittenLength {
    /// The length itself.
    pub length: Length,
    /// The unit written beside the number; `None` when only the default stood for it.
    pub unit: Option<LengthUnit>,
    /// Top and bottom of its fraction, as written.
    pub fraction: Option<(u32, u32)>,
    /// Digits after the decimal mark.
    pub decimals: u32,
    /// Whether it began with a plus or minus.
    pub signed: bool,
}

/// Reads a length; a number without a unit of its own is in `default`.
///
/// # Units, datum, sign
/// Metres out. A leading minus makes the whole length negative; a dash between feet and inches, or
/// between inches and their fraction, joins them and is no minus.
/// # Method
/// Accepted: `3 7/8`, `3-7/8"`, `3⅞`, `3⁷⁄₈`, `0'-3 7/8"`, `5' 3/4"`, `4'-7 1/4`, `98`, `9.8`, `9,8`,
/// `98 mm`, `4 ft 7 1/4 in`; straight, curly, prime and doubled quotes; thousands groups where they
/// can be nothing else. Grammar and the cases it refuses: docs/formats.md, Numbers.
/// # Errors
/// [`LengthError`], each naming the text found and what was expected.
/// # Example
/// ```
/// use birdbath::units::{parse_length, LengthUnit};
/// let reading = parse_length("4'-7 1/4", LengthUnit::Inch).unwrap();
/// assert!((reading.inches() - 55.25).abs() < 1e-9);
/// ```
pub fn parse_length(text: &str, default: LengthUnit) -> Result<Length, LengthError> {
    read_length(text, Some(default), Comma::Auto).map(|w| w.length)
}

/// Reads a length together with how it was written; see [`parse_length`].
///
/// With `default` left out, a number must carry its own unit.
pub fn read_length(
    text: &str,
    default: Option<LengthUnit>,
    comma: Comma,
) -> Result<WrittenLength, LengthError> {
    if let Some(unit) = default
        && unit != LengthUnit::FeetInches
        // Where the comma is the decimal mark, a point needs a second look.
        && (comma == Comma::Auto || !text.contains('.'))
        && let Some((number, decimals)) = plain_decimal(text)
    {
        return Ok(WrittenLength {
            length: unit.length(number),
            unit: None,
            fraction: None,
            decimals,
            signed: !text.starts_with(|c: char| c.is_ascii_digit()),
        });
    }
    let not_a_length = || LengthError::NotALength {
        found: text.trim().to_owned(),
    };
    let list = tokens(text, comma)?.ok_or_else(not_a_length)?;
    let mut parser = Parser {
        list: &list,
        at: 0,
        fraction: None,
        decimals: 0,
        found: text.trim(),
    };
    let negative = match parser.peek() {
        None => return Err(LengthError::Empty),
        Some(Token::Dash) => Some(true),
        Some(Token::Plus) => Some(false),
        _ => None,
    };
    if negative.is_some() {
        parser.at += 1;
    }
    let (metres, unit) = parser.quantity(default)?;
    if parser.peek().is_some() {
        return Err(not_a_length());
    }
    if !metres.is_finite() {
        return Err(LengthError::NotFinite {
            found: text.trim().to_owned(),
        });
    }
    Ok(WrittenLength {
        length: Length::from_m(if negative == Some(true) && metres != 0.0 {
            -metres
        } else {
            metres
        }),
        unit,
        fraction: parser.fraction,
        decimals: parser.decimals,
        signed: negative.is_some(),
    })
}

/// The largest bottom of a fraction that is believed.
const FINEST_BOTTOM: f64 = 10_000.0;

/// The quick way for the bare decimals of a scan: `-12.25`, nothing else.
fn plain_decimal(text: &str) -> Option<(f64, u32)> {
    let digits = text.strip_prefix('-').unwrap_or(text).as_bytes();
    if digits.is_empty() || digits.len() > 24 || !digits[0].is_ascii_digit() {
        return None;
    }
    let mut point = None;
    for (i, byte) in digits.iter().enumerate() {
        match byte {
            b'0'..=b'9' => {}
            b'.' if point.is_none() => point = Some(i),
            _ => return None,
        }
    }
    let number: f64 = text.parse().ok()?;
    let decimals = point.map_or(0, |p| digits.len() - p - 1);
    // Adding zero turns -0 into 0.
    Some((number + 0.0, decimals as u32))
}

struct Parser<'a> {
    list: &'a [Token],
    at: usize,
    fraction: Option<(u32, u32)>,
    decimals: u32,
    found: &'a str,
}

impl Parser<'_> {
    fn peek(&self) -> Option<&Token> {
        self.list.get(self.at)
    }

    fn ahead(&self, steps: usize) -> Option<&Token> {
        self.list.get(self.at + steps)
    }

    fn text(&self) -> String {
        self.found.to_owned()
    }

    fn not_a_length(&self) -> LengthError {
        LengthError::NotALength { found: self.text() }
    }

    /// The whole length after its sign: metres, and the unit written beside it.
    fn quantity(
        &mut self,
        default: Option<LengthUnit>,
    ) -> Result<(f64, Option<LengthUnit>), LengthError> {
        let first = self.mixed()?;
        match self.peek() {
            Some(&Token::Unit(LengthUnit::Foot)) => {
                self.at += 1;
                let inches = self.inches_after_feet()?;
                // `3.5' 4"` says the inches twice.
                if inches.is_some() && first.fract() != 0.0 {
                    return Err(self.not_a_length());
                }
                let unit = if inches.is_some() {
                    LengthUnit::FeetInches
                } else {
                    LengthUnit::Foot
                };
                Ok((first * FOOT_M + inches.unwrap_or(0.0) * INCH_M, Some(unit)))
            }
            Some(&Token::Unit(unit)) => {
                self.at += 1;
                self.refuse_metric_fraction(unit)?;
                Ok((unit.length(first).m(), Some(unit)))
            }
            Some(_) if default == Some(LengthUnit::FeetInches) && self.fraction.is_none() => {
                // `4-7 1/4` in a feet-inches column.
                let inches = self.inches_after_feet()?.unwrap_or(0.0);
                Ok((first * FOOT_M + inches * INCH_M, None))
            }
            Some(_) => Err(self.not_a_length()),
            None => {
                let unit =
                    default.ok_or_else(|| LengthError::MissingUnit { found: self.text() })?;
                self.refuse_metric_fraction(unit)?;
                let bare_fraction = self.fraction.is_some() && first < 1.0;
                if unit == LengthUnit::FeetInches && first != 0.0 && !bare_fraction {
                    return Err(LengthError::UnmarkedFeetInches { found: self.text() });
                }
                Ok((unit.length(first).m(), None))
            }
        }
    }

    fn refuse_metric_fraction(&self, unit: LengthUnit) -> Result<(), LengthError> {
        if self.fraction.is_some() && !unit.is_us() {
            return Err(LengthError::MetricFraction {
                found: self.text(),
                unit,
            });
        }
        Ok(())
    }

    /// What follows the feet, in inches: `-7 1/4"`, ` 3/4`, `, 7 in`, or nothing.
    fn inches_after_feet(&mut self) -> Result<Option<f64>, LengthError> {
        if matches!(self.peek(), Some(Token::Dash | Token::Comma)) {
            self.at += 1;
        } else if self.peek().is_none() {
            return Ok(None);
        }
        if self.fraction.is_some() {
            return Err(self.not_a_length());
        }
        let inches = self.mixed()?;
        if inches >= 12.0 {
            return Err(LengthError::InchesOverTwelve {
                found: self.text(),
                inches,
            });
        }
        if matches!(self.peek(), Some(Token::Unit(LengthUnit::Inch))) {
            self.at += 1;
        }
        Ok(Some(inches))
    }

    /// `7`, `7/8`, `3 7/8`, `3-7/8`, `9.8`.
    fn mixed(&mut self) -> Result<f64, LengthError> {
        let Some(&Token::Number { value, decimals }) = self.peek() else {
            return Err(self.not_a_length());
        };
        if let Some(Token::Slash) = self.ahead(1) {
            return self.take_fraction();
        }
        let dash = usize::from(matches!(self.ahead(1), Some(Token::Dash)));
        let joined = matches!(
            (self.ahead(1 + dash), self.ahead(2 + dash)),
            (Some(Token::Number { .. }), Some(Token::Slash))
        );
        self.at += 1;
        if !joined {
            self.decimals = decimals.unwrap_or(0);
            return Ok(value);
        }
        if decimals.is_some() {
            return Err(self.not_a_length());
        }
        self.at += dash;
        Ok(value + self.take_fraction()?)
    }

    fn take_fraction(&mut self) -> Result<f64, LengthError> {
        let (
            Some(&Token::Number {
                value: top,
                decimals: None,
            }),
            Some(Token::Slash),
            Some(&Token::Number {
                value: bottom,
                decimals: None,
            }),
        ) = (self.peek(), self.ahead(1), self.ahead(2))
        else {
            return Err(self.not_a_length());
        };
        self.at += 3;
        if bottom > FINEST_BOTTOM {
            return Err(LengthError::FineFraction { found: self.text() });
        }
        if top >= bottom {
            return Err(LengthError::ImproperFraction {
                found: self.text(),
                top: top as u32,
                bottom: bottom as u32,
            });
        }
        self.fraction = Some((top as u32, bottom as u32));
        Ok(top / bottom)
    }
}
