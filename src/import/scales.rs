//! Units with a scale: `1/16 in`, `16ths`, `hundredths of a foot`. Whole numbers under them count parts of the unit.

use crate::units::LengthUnit;

/// What one count is: a part of a unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Scale {
    /// So many of them make one of the unit.
    pub parts: u32,
    pub unit: LengthUnit,
}

impl std::fmt::Display for Scale {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "1/{} {}", self.parts, self.unit)
    }
}

/// Words for parts, and how many make a whole.
const PARTS: [(&str, u32); 20] = [
    ("half", 2),
    ("halves", 2),
    ("quarter", 4),
    ("quarters", 4),
    ("eighth", 8),
    ("eighths", 8),
    ("tenth", 10),
    ("tenths", 10),
    ("sixteenth", 16),
    ("sixteenths", 16),
    ("thirtysecond", 32),
    ("thirtyseconds", 32),
    ("thirty-second", 32),
    ("thirty-seconds", 32),
    ("sixty-fourth", 64),
    ("sixty-fourths", 64),
    ("hundredth", 100),
    ("hundredths", 100),
    ("thousandth", 1000),
    ("thousandths", 1000),
];
/// Parts that are counted, written as numbers.
const BOTTOMS: [u32; 9] = [2, 4, 8, 10, 16, 32, 64, 100, 1000];
/// Words that say how closely was read, and not what the numbers count.
const CLOSELY: [&str; 20] = [
    "to",
    "nearest",
    "tolerance",
    "tolerances",
    "accuracy",
    "accurate",
    "precision",
    "resolution",
    "rounded",
    "within",
    "per",
    "least",
    "most",
    "max",
    "gauge",
    "fill",
    "step",
    "\u{b1}",
    "+/-",
    "slope",
];
/// What words in a sentence may call its numbers.
pub(super) const NUMBERS: [&str; 16] = [
    "reading",
    "readings",
    "rdg",
    "rdgs",
    "value",
    "values",
    "number",
    "numbers",
    "figure",
    "figures",
    "measurement",
    "measurements",
    "dimension",
    "dimensions",
    "all",
    "cells",
];
/// Words for counting, beside those for the numbers of a table.
const COUNTED: [&str; 7] = [
    "unit",
    "units",
    "count",
    "counts",
    "counted",
    "increments",
    "drops",
];
/// Words that may stand beside a scale and take nothing from it.
const BESIDE: [&str; 11] = [
    "in", "of", "a", "an", "the", "x", "\u{d7}", "*", "are", "as", "each",
];

/// A piece of a text that speaks of units.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Piece {
    Part(u32),
    /// A part with its unit, as in `1/16"` or `in/16`.
    Scaled(u32, LengthUnit),
    Unit(LengthUnit),
}

/// A text's words in small letters; a slash stays within its fraction.
fn words(text: &str) -> Vec<String> {
    let lower = text.to_lowercase().replace('\u{2044}', "/");
    // `1/16 th`, `1 / 16`: as if typed without blanks.
    let lower = lower.replace(" / ", "/");
    let split = |c: char| c.is_whitespace() || ",;:()[]_=".contains(c);
    let trimmed = lower
        .split(split)
        .map(|w| w.trim_end_matches('.').to_owned());
    trimmed.filter(|w| !w.is_empty()).collect()
}

fn piece(word: &str) -> Option<Piece> {
    if let Some(unit) = LengthUnit::from_word(word) {
        return Some(Piece::Unit(unit));
    }
    let named = |w: &str| PARTS.iter().find(|(name, _)| *name == w).map(|p| p.1);
    if let Some(parts) = named(word) {
        return Some(Piece::Part(parts));
    }
    let (top, bottom) = word.split_once('/').unwrap_or(("", word));
    let over = word.contains('/');
    let digits = bottom.len()
        - bottom
            .trim_start_matches(|c: char| c.is_ascii_digit())
            .len();
    let (number, ending) = bottom.split_at(digits);
    let parts = number.parse().ok().filter(|n| BOTTOMS.contains(n))?;
    let ordinal = matches!(ending, "th" | "ths" | "nd" | "nds");
    let of_unit = (!ending.is_empty() && !ordinal).then(|| LengthUnit::from_word(ending));
    match (over, top) {
        (false, _) => ordinal.then_some(Piece::Part(parts)),
        (true, "" | "1" | "x1" | "x" | "n") => match of_unit {
            None => Some(Piece::Part(parts)),
            Some(unit) => unit.map(|unit| Piece::Scaled(parts, unit)),
        },
        // `in/16`.
        (true, top) if ending.is_empty() => {
            LengthUnit::from_word(top).map(|unit| Piece::Scaled(parts, unit))
        }
        _ => None,
    }
}

/// The scale that some words name, with how many words before it are none of it; `None` where they name none.
fn find(words: &[String]) -> Option<(usize, Named)> {
    let at = words
        .iter()
        .position(|w| matches!(piece(w), Some(Piece::Part(_) | Piece::Scaled(..))))?;
    let whole = |parts, unit| Named {
        parts,
        unit,
        end: at + 1,
    };
    let found = match piece(&words[at])? {
        Piece::Scaled(parts, unit) => whole(parts, Some(unit)),
        Piece::Part(parts) => {
            // `of an inch`, `in`, `foot`.
            let skipped = words[at + 1..]
                .iter()
                .take_while(|w| matches!(w.as_str(), "of" | "a" | "an" | "the"))
                .count();
            let behind = words.get(at + 1 + skipped).and_then(|w| piece(w));
            match behind {
                Some(Piece::Unit(unit)) => Named {
                    parts,
                    unit: Some(unit),
                    end: at + 2 + skipped,
                },
                _ => whole(parts, None),
            }
        }
        Piece::Unit(_) => return None,
    };
    Some((at, found))
}

/// A part, the unit that is named with it, and the word behind both.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Named {
    parts: u32,
    unit: Option<LengthUnit>,
    end: usize,
}

impl Named {
    /// Of a rule's parts only the inch has them; tenths and hundredths could be of anything.
    fn scale(self) -> Option<Scale> {
        let parts = self.parts;
        let of_inch = parts.is_power_of_two().then_some(LengthUnit::Inch);
        let unit = self.unit.or(of_inch)?;
        Some(Scale { parts, unit })
    }
}

/// The scale that a text in the place of a unit is, and nothing else: `1/16 in`, `16ths of an inch`, `x 1/8 in`.
pub(super) fn scale(text: &str) -> Option<Scale> {
    let words = words(text);
    let (at, named) = find(&words)?;
    let plain = |w: &String| BESIDE.contains(&w.as_str());
    let rest = &words[named.end..];
    (words[..at].iter().all(plain) && rest.iter().all(plain))
        .then(|| named.scale())
        .flatten()
}

/// The name and the scale of a heading such as `reading (1/16 in)`, `reading_16ths`, `reading in sixteenths`.
pub(super) fn scaled_heading(text: &str) -> Option<(String, Scale)> {
    let words = words(text);
    let (at, named) = find(&words)?;
    let mut head = &words[..at];
    // `Rod (in, nearest 1/16)` and `(mm, to 1/2)` tell how closely was read, `inches and 16ths` of what whole the parts are, and a part of
    // an inch beside another unit is none of the numbers'.
    let before = |list: &[&str]| head.last().is_some_and(|w| list.contains(&w.as_str()));
    let other_unit = |w: &String| {
        let unit = LengthUnit::from_word(w);
        unit.is_some_and(|u| u != LengthUnit::Inch)
            && named.unit.is_none_or(|own| Some(own) != unit)
    };
    if before(&CLOSELY)
        || before(&["closest", "+-", "-", "and", "&", "plus", "+"])
        || head.iter().any(other_unit)
    {
        return None;
    }
    while let [rest @ .., last] = head
        && BESIDE.contains(&last.as_str())
        && !rest.is_empty()
    {
        head = rest;
    }
    let scale = named.scale()?;
    (!head.is_empty() && words.len() == named.end).then(|| (head.join(" "), scale))
}

/// A text without how closely was read at its end: `in (nearest 1/16)` is `in`, as is `in, to the nearest 1/8 in`.
pub(super) fn without_closeness(text: &str) -> &str {
    let fraction = |w: &str| w.split('/').all(|n| n.parse::<f64>().is_ok());
    let of_it = |w: &String| {
        CLOSELY.contains(&w.as_str())
            || matches!(w.as_str(), "the" | "a" | "an" | "read" | "measured")
            || piece(w).is_some()
            || fraction(w)
    };
    let starts = text.char_indices().filter(|&(i, c)| {
        let before = text[..i].chars().next_back();
        !c.is_whitespace() && before.is_some_and(|b| b.is_whitespace() || "([,".contains(b))
    });
    let says = |at: usize| {
        let words = words(&text[at..]);
        let nearest = |w: &String| {
            matches!(
                w.as_str(),
                "nearest" | "rounded" | "accuracy" | "accurate" | "\u{b1}" | "+/-"
            )
        };
        // `(to 1/16)`: a part of a unit, and no way to a place.
        let to_part = matches!(&words[..], [to, part, rest @ ..] if to == "to" && fraction(part) && part.contains('/') && rest.len() < 2);
        let begins = words
            .first()
            .is_some_and(|w| CLOSELY.contains(&w.as_str()) || w == "read");
        begins && (to_part || words.iter().any(nearest)) && words.iter().all(of_it)
    };
    match starts.map(|s| s.0).find(|&at| says(at)) {
        Some(at) => text[..at].trim_end_matches(|c: char| c.is_whitespace() || "([,-".contains(c)),
        None => text,
    }
}

/// Whether a text names parts of a unit in words or ordinals, `16ths`, `eighths`: such a table's numbers may count them.
pub(super) fn names_parts(text: &str) -> bool {
    let parted = text.to_lowercase().replace(['-', '&', '/'], " ");
    let words = words(&parted);
    let several = |w: &String| w.ends_with('s') || w.ends_with("th") || w.ends_with("nd");
    let parts = |w: &&String| several(w) && matches!(piece(w), Some(Piece::Part(_)));
    words.iter().any(|w| parts(&w)) && !words.iter().any(|w| CLOSELY.contains(&w.as_str()))
}

/// What words around a table say that its numbers count, in words of their own: `Readings in 1/16"`, `all in eighths`, `x 1/8 in`,
/// `mm x 10`. How closely was read (`to the nearest 1/16`) and whole inches with their parts (`inches and 16ths`) are no such words.
pub(super) fn counted(text: &str) -> Option<String> {
    let words = words(text);
    let says = |list: &[&str]| words.iter().any(|w| list.contains(&w.as_str()));
    if says(&CLOSELY) || text.contains('\u{b1}') {
        return None;
    }
    let times = |w: &String| matches!(w.as_str(), "x" | "\u{d7}" | "*" | "times");
    let Some((at, named)) = find(&words) else {
        return multiplied(&words, &times);
    };
    let joined = |w: &String| matches!(w.as_str(), "and" | "&" | "+" | "plus");
    let before = at.checked_sub(1).map(|k| &words[k]);
    if before.is_some_and(joined) || words[named.end..].first().is_some_and(joined) {
        return None;
    }
    // `Sheet 1/2` counts sheets: a bare fraction stands behind a word that makes it a unit.
    let unit_behind = |w: &String| matches!(w.as_str(), "in" | "are" | "as" | "each") || times(w);
    let bare = named.unit.is_none() && words[at].contains('/') && !words[at].ends_with('s');
    if bare && !before.is_some_and(unit_behind) {
        return None;
    }
    let alone = words
        .iter()
        .enumerate()
        .all(|(k, w)| (at..named.end).contains(&k) || BESIDE.contains(&w.as_str()));
    // A part alone may be a label, `1/16 in`; parts of several are numbers.
    let several = words[at].ends_with('s') && alone;
    (words.iter().any(|w| counts_numbers(w)) || before.is_some_and(times) || several).then(|| {
        match named.scale() {
            Some(scale) => scale.to_string(),
            None => format!("1/{} of a unit that is not named", named.parts),
        }
    })
}

/// Whether a word is one for the numbers of a table, or for counting.
fn counts_numbers(word: &str) -> bool {
    NUMBERS.contains(&word) || COUNTED.contains(&word)
}

/// Whether a text in the place of a unit gives a decimal part or a multiple of one, `0.1 mm`, `x10 mm`: what the numbers count, or how
/// closely was read.
pub(super) fn is_unclear(text: &str) -> bool {
    let words = words(text);
    let closely = words.iter().any(|w| CLOSELY.contains(&w.as_str()));
    let number = |w: &str| w.parse::<f64>().ok();
    let part = |w: &String| number(w).is_some_and(|n| n > 0.0 && n < 1.0);
    let unit = |k: usize| {
        words
            .get(k)
            .is_some_and(|w| LengthUnit::from_word(w).is_some())
    };
    // `x10`, or `x` and `10`: with the unit right before or right behind them.
    let times = (0..words.len()).any(|k| {
        let behind = words[k].trim_start_matches(['x', '\u{d7}', '*']);
        let end = match behind {
            "" if words.get(k + 1).is_some_and(|w| number(w).is_some()) => k + 2,
            _ if behind.len() < words[k].len() && number(behind).is_some() => k + 1,
            _ => return false,
        };
        unit(end) || k.checked_sub(1).is_some_and(unit)
    });
    let decimal = words
        .iter()
        .enumerate()
        .any(|(k, w)| part(w) && unit(k + 1));
    !closely && (times || decimal)
}

/// How to write what numbers count, for words such as `Readings in 1/16"`, or to take the words back.
pub(super) fn how_to_write(text: &str) -> String {
    let named = find(&words(text)).and_then(|(_, named)| named.scale());
    let unit = named.map_or_else(|| "1/16 in".to_owned(), |s| s.to_string());
    format!(
        "If the numbers count parts of a unit, write so with them, and leave --reading-unit away: a heading reading ({unit}), a corner ft / {unit}, or a row above the table: reading unit, {unit}. If they are whole units, take these words out (or write read to {unit}) and give the unit."
    )
}

/// `mm x 10`, `readings x 0.1 mm`: a number beside a sign for times, and a unit.
fn multiplied(words: &[String], times: &dyn Fn(&String) -> bool) -> Option<String> {
    let at = words.iter().position(times)?;
    let unit = |k: usize| {
        words
            .get(k)
            .is_some_and(|w| LengthUnit::from_word(w).is_some())
    };
    let number = |k: usize| words.get(k).is_some_and(|w| w.parse::<f64>().is_ok());
    let before = at.checked_sub(1)?;
    let behind = number(at + 1) && unit(at + 2) && !number(before);
    let of_unit = unit(before) && number(at + 1) && !unit(at + 2);
    let numbers = words[..at].iter().any(|w| counts_numbers(w));
    let from = if of_unit { before } else { at };
    (numbers && (behind || of_unit)).then(|| words[from..].join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand. The words as a person reads them.
    #[test]
    fn a_unit_with_a_scale_is_read() {
        use LengthUnit::{Foot, Inch, Millimetre};
        for (text, parts, unit) in [
            ("1/16 in", 16, Inch),
            ("1/16\"", 16, Inch),
            ("16ths", 16, Inch),
            ("1/16ths in", 16, Inch),
            ("16ths of an inch", 16, Inch),
            ("in eighths", 8, Inch),
            ("x 1/8 in", 8, Inch),
            ("in/16", 16, Inch),
            ("1/10 mm", 10, Millimetre),
            ("1/100 ft", 100, Foot),
            ("hundredths of a foot", 100, Foot),
            ("tenths of a foot", 10, Foot),
        ] {
            assert_eq!(scale(text), Some(Scale { parts, unit }), "{text}");
            let heading = format!("reading ({text})");
            let name = scaled_heading(&heading).map(|h| h.0);
            assert_eq!(name.as_deref(), Some("reading"), "{heading}");
        }
        for text in [
            "in",
            "tenths",
            "3 ft",
            "1/3 in",
            "8-Mar",
            "5/12/2026",
            "in, to 1/16",
        ] {
            assert_eq!(scale(text), None, "{text}");
        }
    }

    // ORACLE: hand.
    #[test]
    fn a_multiple_or_a_decimal_part_of_a_unit_is_unclear() {
        for text in [
            "reading (0.1 mm)",
            "reading (x10 mm)",
            "reading (mm x 10)",
            "0.01 ft",
        ] {
            assert!(is_unclear(text), "{text}");
        }
        for text in [
            "y_ft, x_ft, reading_in",
            "reading (mm)",
            "x (ft)",
            "reading 2 (in)",
            "read to 0.1 mm",
        ] {
            assert!(!is_unclear(text), "{text}");
        }
    }

    // ORACLE: hand.
    #[test]
    fn words_that_say_what_the_numbers_count_are_told_from_those_that_do_not() {
        for text in [
            "Readings in 1/16\"",
            "All readings in sixteenths",
            "Readings in 16ths of an inch",
            "1/8\" increments counted",
            "Readings are in eighths",
            "Readings in hundredths of a foot",
            "Readings in tenths",
            "rdgs in tenths of a foot",
            "Numbers are mm x 10",
            "Readings x 1/8 in",
            "rdgs x 0.1 mm",
            "in sixteenths",
            "in hundredths of a foot",
            "x 1/8 in",
        ] {
            assert!(counted(text).is_some(), "{text}");
        }
        for text in [
            "Readings to the nearest 1/16 in",
            "Read to 1/16\"",
            "Readings in inches and 16ths",
            "Tolerance 1/8 in in 10 ft",
            "Readings in inches",
            "Grid 2' x 2'",
            "Room 3 x 4 m",
            "1/4 in",
            "Slope 1/4\" per foot",
            "Readings, sheet 1/2",
            "Lower quarter",
        ] {
            assert_eq!(counted(text), None, "{text}");
        }
    }
}
