//! Words that say that the figures behind a point are no decimals: `39.07 = 39 7/16`, `inches.sixteenths`, `3.06 = 3 ft 6 in`.

use super::scales::names_parts;
use crate::units::LengthUnit;

/// What the figures behind the point count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Dotted {
    /// Parts of an inch.
    Parts,
    /// Inches behind feet.
    Inches,
}

/// What words say of the figures behind a point, where they say it in so many words.
pub(super) fn dotted(text: &str) -> Option<Dotted> {
    let lower = text.to_lowercase();
    example(&lower)
        .or_else(|| units_joined(&lower))
        .or_else(|| spoken(&lower))
}

/// Whether words speak of whole inches and their parts, `inches and 16ths`, over numbers with one or two figures behind a point that could
/// all be counts of these.
pub(super) fn may_be_dotted<'a>(text: &str, numbers: impl Iterator<Item = &'a str>) -> bool {
    if !names_parts(text) {
        return false;
    }
    let most = match text.to_lowercase() {
        t if t.contains("64") || t.contains("sixty") => 64,
        t if t.contains("32") || t.contains("thirty") => 32,
        t if t.contains("16") || t.contains("sixteenth") => 16,
        t if t.contains('8') || t.contains("eighth") => 8,
        _ => return false,
    };
    let mut any = false;
    for number in numbers {
        let Some((_, figures)) = number.split_once('.') else {
            continue;
        };
        any = true;
        if figures.len() > 2 || figures.parse().is_ok_and(|n: u32| n >= most) {
            return false;
        }
    }
    any
}

/// `39.07 = 39 7/16`: an example in which the figures are not the decimals of what stands behind.
fn example(lower: &str) -> Option<Dotted> {
    ["=", " means ", " is ", "\u{2192}", "->"]
        .iter()
        .find_map(|sign| {
            let (before, behind) = lower.split_once(sign)?;
            let left = before.split_whitespace().next_back()?;
            let left = left.trim_start_matches(|c: char| !(c.is_ascii_digit() || c == '.'));
            let (whole, figures) = left.split_once('.')?;
            let value: f64 = format!("0{left}").parse().ok()?;
            let end = behind.find([',', ';', ')', '(']).unwrap_or(behind.len());
            let (right, of) = value_of(&behind[..end])?;
            let same_whole = whole.parse().unwrap_or(0.0) == right.trunc();
            // What rounds to it says nothing; one figure rounds to nearly anything.
            let near = match figures.len() {
                0 | 1 => 1e-6,
                n => 0.6 * 0.1_f64.powi(n as i32),
            };
            (same_whole && (value - right).abs() > near).then_some(of)
        })
}

/// A number with a fraction, or feet with inches in feet.
fn value_of(text: &str) -> Option<(f64, Dotted)> {
    let spaced: String = text
        .chars()
        .map(|c| match c {
            '\'' | '\u{2019}' | '\u{2032}' => " ft ".to_owned(),
            '"' | '\u{201d}' | '\u{2033}' => " in ".to_owned(),
            '-' => " ".to_owned(),
            c => c.to_string(),
        })
        .collect();
    let (mut feet, mut sum, mut parts) = (None, 0.0, false);
    for word in spaced.split_whitespace() {
        if let Some((top, bottom)) = word.split_once('/') {
            let (top, bottom): (f64, f64) = (top.parse().ok()?, bottom.parse().ok()?);
            if bottom <= 0.0 {
                return None;
            }
            (sum, parts) = (sum + top / bottom, true);
        } else if let Ok(number) = word.parse::<f64>() {
            sum += number;
        } else {
            match LengthUnit::from_word(word) {
                Some(LengthUnit::Foot) => feet = Some(std::mem::take(&mut sum)),
                Some(LengthUnit::Inch) => {}
                _ => return None,
            }
        }
    }
    match feet {
        Some(feet) => (sum > 0.0).then_some((feet + sum / 12.0, Dotted::Inches)),
        None => parts.then_some((sum, Dotted::Parts)),
    }
}

/// `inches.sixteenths`, `in.16ths`, `ft.in`: a unit, a point, and a part of it.
fn units_joined(lower: &str) -> Option<Dotted> {
    lower
        .split(|c: char| c.is_whitespace() || "(),;:[]/".contains(c))
        .find_map(|word| {
            let (unit, part) = word.split_once('.')?;
            let part = part.trim_end_matches('.');
            if matches!((unit, part), ("ii", "ss") | ("i", "s")) {
                return Some(Dotted::Parts);
            }
            match LengthUnit::from_word(unit)? {
                LengthUnit::Inch => is_parts(part).then_some(Dotted::Parts),
                LengthUnit::Foot => (LengthUnit::from_word(part) == Some(LengthUnit::Inch))
                    .then_some(Dotted::Inches),
                _ => None,
            }
        })
}

fn is_parts(word: &str) -> bool {
    let word = word.trim_start_matches("1/");
    let digits = word.trim_end_matches(|c: char| c.is_alphabetic());
    matches!(digits, "8" | "16" | "32" | "64")
        || matches!(
            word,
            "eighths" | "sixteenths" | "thirtyseconds" | "thirty-seconds"
        )
}

/// `decimals are sixteenths`, `digits after the dot are 1/16s`, `point = 16ths`.
fn spoken(lower: &str) -> Option<Dotted> {
    let words: Vec<&str> = lower
        .split(|c: char| c.is_whitespace() || "(),;:[]=.".contains(c))
        .filter(|w| !w.is_empty())
        .collect();
    let has = |of: &[&str]| words.iter().any(|w| of.contains(w));
    // `To the nearest sixteenth, decimals below` says how closely was read.
    let closely = has(&["nearest", "closest", "rounded"]);
    let of_point = has(&["decimal", "decimals"])
        || (has(&["point", "dot", "period"])
            && (has(&["after", "behind", "digits", "figures"]) || words.len() <= 3));
    if closely || !of_point {
        return None;
    }
    let plural = |w: &&&str| w.ends_with('s') && is_parts(w);
    if words.iter().any(|w| plural(&w)) {
        return Some(Dotted::Parts);
    }
    let are_inches = words
        .windows(2)
        .any(|w| matches!(w[0], "are" | "is" | "means") && matches!(w[1], "inches" | "inch"));
    are_inches.then_some(Dotted::Inches)
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand. The words as a person reads them.
    #[test]
    fn words_on_what_stands_behind_a_point() {
        for text in [
            "39.07 = 39 7/16",
            "inches.sixteenths",
            "Readings as inches.sixteenths",
            "decimal part is 16ths",
            "decimals are sixteenths",
            ".1 = 1/16",
            "39.1 means 39 1/16\"",
            "inches.16ths",
            "in and 16ths, 39.15 = 39 15/16",
            "after the point: sixteenths",
            "Point = 16ths",
            "format II.SS",
            "in.16",
            "digits after dot are 1/16s",
        ] {
            assert_eq!(dotted(text), Some(Dotted::Parts), "{text}");
        }
        for text in [
            "3.06 = 3 ft 6 in",
            "ft.in",
            "feet.inches",
            "decimals are inches",
            "3.06 = 3'-6\"",
        ] {
            assert_eq!(dotted(text), Some(Dotted::Inches), "{text}");
        }
        for text in [
            "39.4375 = 39 7/16",
            "39.44 = 39 7/16",
            "39.5 = 39 1/2",
            "3.5 = 3 ft 6 in",
            "BM 3.06 = 100.00",
            "Readings in decimal inches",
            "Readings in inches",
            "read to the nearest 1/16, decimals of an inch",
            "1.5 = 2 ft",
            "Point A1 at door",
            "check point 16",
            "Read from ft. in. tape",
            "J.R.",
        ] {
            assert_eq!(dotted(text), None, "{text}");
        }
    }

    // ORACLE: hand: 39.07 and 39.11 may be sevenths and elevenths of sixteen, 39.25 may not.
    #[test]
    fn inches_and_sixteenths_over_decimals_that_could_be_counts() {
        let says = |text: &str, list: &[&str]| may_be_dotted(text, list.iter().copied());
        assert!(says(
            "Readings in inches and sixteenths",
            &["39", "39.07", "39.11"]
        ));
        assert!(!says(
            "Readings in inches and sixteenths",
            &["39", "39.07", "39.25"]
        ));
        assert!(!says("Readings in inches and sixteenths", &["39 7/16"]));
        assert!(!says("Readings in inches", &["39.07"]));
        assert!(!says("to the nearest 16ths", &["39.07"]));
    }
}
