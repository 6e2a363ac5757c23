//! The pieces a written length is made of: numbers, marks, unit words.

use super::LengthUnit;
use super::text_error::{Comma, LengthError};

/// One piece of a written length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Token {
    /// A number; `decimals` is `None` when it was written without a decimal mark or exponent.
    Number {
        /// Its value.
        value: f64,
        /// Digits after its decimal mark.
        decimals: Option<u32>,
    },
    /// A fraction bar.
    Slash,
    /// Any dash, hyphen or minus.
    Dash,
    /// A plus sign.
    Plus,
    /// A comma that belongs to no number.
    Comma,
    /// A unit word or mark.
    Unit(LengthUnit),
}

/// Longest text looked at: a length is short, and a cell may hold a novel.
const MAX_BYTES: usize = 200;

/// Splits a text; `Ok(None)` when a piece of it belongs to no length.
pub(super) fn tokens(text: &str, comma: Comma) -> Result<Option<Vec<Token>>, LengthError> {
    let text = text.trim();
    if text.len() > MAX_BYTES {
        return Ok(None);
    }
    // A leading apostrophe is how a spreadsheet is told that a cell is text.
    let text = text.strip_prefix(['\'', '\u{2019}']).unwrap_or(text);
    let chars: Vec<char> = text.chars().collect();
    let mut out = Vec::new();
    let mut i = 0;
    while i < chars.len() {
        let c = chars[i];
        let plain = |c: char| c.is_ascii_digit();
        let raised = |c: char| superscript(c).is_some();
        let lowered = |c: char| subscript(c).is_some();
        if c.is_whitespace() || matches!(c, '\u{200b}' | '\u{2060}' | '\u{feff}') {
            i += 1;
        } else if plain(c) || (c == '.' && chars.get(i + 1).copied().is_some_and(plain)) {
            let end = number_end(&chars, i);
            let raw: String = chars[i..end].iter().collect();
            match number(&raw, comma, text)? {
                Some(token) => out.push(token),
                None => return Ok(None),
            }
            i = end;
        } else if raised(c) || lowered(c) {
            let digit = if raised(c) { superscript } else { subscript };
            let mut value = 0.0;
            while let Some(d) = chars.get(i).copied().and_then(digit) {
                value = value * 10.0 + f64::from(d);
                i += 1;
            }
            out.push(Token::Number {
                value,
                decimals: None,
            });
        } else if let Some((top, bottom)) = one_character_fraction(c) {
            for token in [
                Token::Number {
                    value: f64::from(top),
                    decimals: None,
                },
                Token::Slash,
                Token::Number {
                    value: f64::from(bottom),
                    decimals: None,
                },
            ] {
                out.push(token);
            }
            i += 1;
        } else if c.is_alphabetic() {
            let end = (i..chars.len())
                .find(|&j| !chars[j].is_alphabetic())
                .unwrap_or(chars.len());
            let word: String = chars[i..end].iter().collect();
            match LengthUnit::from_word(&word) {
                Some(unit) if unit != LengthUnit::FeetInches => out.push(Token::Unit(unit)),
                _ => return Ok(None),
            }
            i = end + usize::from(chars.get(end) == Some(&'.'));
        } else {
            let doubled = chars
                .get(i + 1)
                .copied()
                .is_some_and(|d| mark(d) == mark(c));
            let Some(token) = mark(c) else {
                return Ok(None);
            };
            i += 1;
            out.push(match token {
                // Two feet marks are an inch mark; two inch marks are one that CSV doubled.
                Token::Unit(_) if doubled => {
                    i += 1;
                    Token::Unit(LengthUnit::Inch)
                }
                other => other,
            });
        }
    }
    Ok(Some(out))
}

/// A sign that is no letter and no digit.
const fn mark(c: char) -> Option<Token> {
    Some(match c {
        '/' | '\u{2044}' | '\u{2215}' | '\u{ff0f}' => Token::Slash,
        '-' | '\u{2010}'..='\u{2015}' | '\u{2212}' | '\u{fe63}' | '\u{ff0d}' => Token::Dash,
        '+' => Token::Plus,
        ',' => Token::Comma,
        '\'' | '\u{2018}' | '\u{2019}' | '\u{201b}' | '\u{2032}' | '\u{2b9}' | '\u{2bc}'
        | '\u{b4}' | '`' => Token::Unit(LengthUnit::Foot),
        '"' | '\u{201c}' | '\u{201d}' | '\u{201e}' | '\u{201f}' | '\u{2033}' | '\u{2ba}'
        | '\u{2dd}' | '\u{3003}' => Token::Unit(LengthUnit::Inch),
        _ => return None,
    })
}

fn superscript(c: char) -> Option<u32> {
    Some(match c {
        '\u{2070}' => 0,
        '\u{b9}' => 1,
        '\u{b2}' => 2,
        '\u{b3}' => 3,
        '\u{2074}'..='\u{2079}' => c as u32 - 0x2070,
        _ => return None,
    })
}

fn subscript(c: char) -> Option<u32> {
    ('\u{2080}'..='\u{2089}')
        .contains(&c)
        .then(|| c as u32 - 0x2080)
}

/// Top and bottom of a fraction that is one character.
const fn one_character_fraction(c: char) -> Option<(u32, u32)> {
    Some(match c {
        '¼' => (1, 4),
        '½' => (1, 2),
        '¾' => (3, 4),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}

/// Where the number that begins at `start` ends: digits, inner points and commas, an exponent.
fn number_end(chars: &[char], start: usize) -> usize {
    let digit = |j: usize| chars.get(j).is_some_and(char::is_ascii_digit);
    let mut end = start;
    while digit(end) || (matches!(chars.get(end), Some('.' | ',')) && digit(end + 1)) {
        end += 1;
    }
    if chars.get(end) == Some(&'.') {
        end += 1;
    }
    if matches!(chars.get(end), Some('e' | 'E')) {
        let sign = usize::from(matches!(chars.get(end + 1), Some('+' | '-')));
        if digit(end + 1 + sign) {
            end += 1 + sign;
            while digit(end) {
                end += 1;
            }
        }
    }
    end
}

/// A number's value, with its commas understood; `None` when its marks make no number.
fn number(raw: &str, comma: Comma, found: &str) -> Result<Option<Token>, LengthError> {
    let (mantissa, exponent) = match raw.find(['e', 'E']) {
        Some(at) => raw.split_at(at),
        None => (raw, ""),
    };
    let points = mantissa.matches('.').count();
    let commas = mantissa.matches(',').count();
    let grouped = |mark: char, text: &str| {
        let mut parts = text.split(mark);
        let head = parts.next().unwrap_or_default();
        (1..=3).contains(&head.len())
            && !head.starts_with('0')
            && parts.all(|p| p.len() == 3 && p.bytes().all(|b| b.is_ascii_digit()))
    };
    let ambiguous = |mark: char| LengthError::AmbiguousComma {
        found: found.to_owned(),
        grouped: mantissa.replace(mark, ""),
        decimal: mantissa.replace(mark, "."),
    };
    let plain = match (points, commas) {
        (0, 0) => mantissa.to_owned(),
        (1, 0) if comma != Comma::Auto && grouped('.', mantissa) => return Err(ambiguous('.')),
        (1, 0) => mantissa.to_owned(),
        (0, 1) if comma != Comma::Decimal && grouped(',', mantissa) => {
            return Err(ambiguous(','));
        }
        (0, 1) => mantissa.replace(',', "."),
        (0, _) if grouped(',', mantissa) => mantissa.replace(',', ""),
        (1, _) => match mantissa.split_once('.') {
            Some((whole, tail)) if !tail.contains(',') && grouped(',', whole) => {
                mantissa.replace(',', "")
            }
            Some((head, tail)) if commas == 1 => match tail.split_once(',') {
                Some((middle, _)) if grouped('.', &format!("{head}.{middle}")) => {
                    mantissa.replace('.', "").replace(',', ".")
                }
                _ => return Ok(None),
            },
            _ => return Ok(None),
        },
        (_, 1) if comma == Comma::Decimal => match mantissa.split_once(',') {
            Some((whole, tail)) if !tail.contains('.') && grouped('.', whole) => {
                mantissa.replace('.', "").replace(',', ".")
            }
            _ => return Ok(None),
        },
        _ => return Ok(None),
    };
    let decimals = match plain.find('.') {
        Some(at) => Some((plain.len() - at - 1) as u32),
        None if exponent.is_empty() => None,
        None => Some(0),
    };
    let Ok(value) = format!("{plain}{exponent}").parse::<f64>() else {
        return Ok(None);
    };
    Ok(Some(Token::Number { value, decimals }))
}
