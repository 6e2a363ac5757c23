//! Distances and readings of a list that were written in two columns.

use super::blocks::Block;
use super::table::{Row, Table};
use crate::units::LengthUnit;

/// How a column looks that may hold a part of what stands before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// Numbers under a unit or a word for a fraction: `inches`, `sixteenths`, `1/16`.
    Named,
    /// Fractions less than one, and nothing else.
    Fractions,
    /// Whole numbers less than sixteen behind whole numbers: likely, but as likely something else.
    Whole,
}

/// Words that say that a column holds fractions, whatever units and plain words stand beside them.
const FRACTIONS: [&str; 25] = [
    "fraction",
    "fractions",
    "frac",
    "fract",
    "numerator",
    "denominator",
    "denom",
    "den",
    "sixteenth",
    "sixteenths",
    "eighth",
    "eighths",
    "quarter",
    "quarters",
    "thirtysecond",
    "thirtyseconds",
    "thirty-seconds",
    "tenth",
    "tenths",
    "hundredths",
    "bruchteil",
    "sechzehntel",
    "achtel",
    "seizi\u{e8}mes",
    "huiti\u{e8}mes",
];
/// Words that say that a column goes with what stands beside it, where they stand alone or with a unit.
const REST: [&str; 9] = [
    "and",
    "plus",
    "+",
    "&",
    "r",
    "rest",
    "remaining",
    "remainder",
    "extra",
];
/// Words that may stand beside one for fractions and take nothing from it.
const PLAIN: [&str; 8] = [
    "reading", "readings", "of", "an", "a", "the", "part", "parts",
];
/// The bottoms of fractions that a rule has, and the tenths and hundredths of a foot.
const BOTTOMS: [&str; 8] = ["2", "4", "8", "10", "16", "32", "64", "100"];
/// Fractions are of no more than hundredths.
const MOST_OF_A_FRACTION: f64 = 100.0;
/// Under a word for inches or for the rest stand so few: sixteenths, or inches of a foot.
const MOST_OF_A_REST: f64 = 15.99;

/// What a column beside one that counts looks like, that one in the unit given; `None` where it holds anything but numbers less than a
/// whole of what stands in the other, or where that is no whole number: a reading with a fraction has no second one.
pub(super) fn part_of(
    table: &Table,
    block: &Block,
    (whole_at, column): (usize, usize),
    unit: Option<LengthUnit>,
) -> Option<Part> {
    let rows = || {
        let rows = block.body.clone().map(|i| table.row(i));
        rows.filter(|r| !r.cell(whole_at).is_blank())
    };
    let of = |r: &Row<'_>| r.cell(column).text.trim().to_owned();
    let filled: Vec<String> = rows().map(|r| of(&r)).filter(|t| !t.is_empty()).collect();
    // Whole, however many noughts stand behind its point.
    let whole = |text: &str| text.trim().parse::<f64>().is_ok_and(|n| n.fract() == 0.0);
    let beside_whole = rows()
        .filter(|r| !of(r).is_empty())
        .all(|r| whole(r.cell(whole_at).text));
    let values: Option<Vec<f64>> = filled.iter().map(|t| value(t)).collect();
    let values = values.filter(|v| beside_whole && !v.is_empty())?;
    let most = values.iter().copied().fold(0.0, f64::max);
    let heading = block.header.map_or_else(String::new, |i| {
        table.row(i).cell(column).text.to_lowercase()
    });
    if most_of_a_part(&heading, unit).is_some_and(|limit| most <= limit) {
        return Some(Part::Named);
    }
    if filled.len() >= 2 && most < 1.0 && filled.iter().any(|t| t.contains('/')) {
        return Some(Part::Fractions);
    }
    let all_whole = filled.iter().all(|t| whole(t));
    (2 * filled.len() >= rows().count() && filled.len() >= 2 && all_whole && most < 16.0)
        .then_some(Part::Whole)
}

/// The number that a cell is: whole, a fraction, or both; `None` for anything else.
fn value(text: &str) -> Option<f64> {
    let text = text.trim_end_matches('"').trim();
    if let Ok(number) = text.parse::<f64>() {
        return (number >= 0.0).then_some(number);
    }
    let (whole, fraction) = text.rsplit_once([' ', '-']).unwrap_or(("0", text));
    let (top, bottom) = fraction.split_once('/')?;
    let count = |t: &str| t.trim().parse::<u32>().ok();
    let (whole, top, bottom) = (
        count(whole)?,
        count(top)?,
        count(bottom).filter(|b| *b > 0)?,
    );
    Some(f64::from(whole) + f64::from(top) / f64::from(bottom))
}

/// The most that a column may hold whose heading says that it is a part of a length in the unit given: a smaller unit, a word for a
/// fraction, or one that goes with what stands beside it, as in `inches`, `1/16 in`, `extra 16ths`, `plus`. `None` for other headings.
fn most_of_a_part(heading: &str, of: Option<LengthUnit>) -> Option<f64> {
    let words: Vec<&str> = heading
        .split(|c: char| c.is_whitespace() || "()[]_.,:".contains(c))
        .filter(|w| !w.is_empty())
        .collect();
    let unit = |w: &str| {
        LengthUnit::from_word(w)
            .or(matches!(w, "zoll" | "pouce" | "pouces").then_some(LengthUnit::Inch))
    };
    match words[..] {
        [only] if REST.contains(&only) => return Some(MOST_OF_A_REST),
        [only] if let Some(part) = unit(only) => return most_of_unit(part, of),
        [rest, last]
            if REST.contains(&rest)
                && let Some(part) = unit(last) =>
        {
            return most_of_unit(part, of);
        }
        _ => {}
    }
    let bare = matches!(words[..], [only] if BOTTOMS.contains(&only.trim_matches('/')));
    let fraction = bare || words.iter().any(|w| is_fraction(w));
    let goes_with =
        |w: &&str| is_fraction(w) || REST.contains(w) || PLAIN.contains(w) || unit(w).is_some();
    (fraction && (bare || words.iter().all(goes_with))).then_some(MOST_OF_A_FRACTION)
}

/// The most of a unit that is a part of another; `None` where it is none.
fn most_of_unit(part: LengthUnit, of: Option<LengthUnit>) -> Option<f64> {
    use LengthUnit::{Centimetre, Foot, Inch, Metre, Millimetre};
    match (of, part) {
        (None | Some(Foot), Inch) => Some(MOST_OF_A_REST),
        (None | Some(Metre), Millimetre) => Some(999.0),
        (None | Some(Metre), Centimetre) => Some(99.99),
        (Some(Centimetre), Millimetre) => Some(9.99),
        // Readings in inches, and the column behind them in inches too: fractions of one.
        (Some(Inch), Inch) => Some(MOST_OF_A_REST),
        _ => None,
    }
}

/// Whether a word stands for a fraction: `sixteenths`, `16ths`, `1/16`, `x/16`, `in/16`, `1/16"`, `/32`.
fn is_fraction(word: &str) -> bool {
    let word = word.trim_end_matches(['"', '\u{2033}', '\u{201d}']);
    if FRACTIONS.contains(&word) {
        return true;
    }
    let (over, bottom) = match word.rsplit_once('/') {
        // What stands over the line: one, any number, or the unit.
        Some(("" | "1" | "x" | "n" | "in" | "inch" | "reading" | "ft", bottom)) => (true, bottom),
        Some(_) => return false,
        None => (false, word),
    };
    let digits = bottom.len()
        - bottom
            .trim_start_matches(|c: char| c.is_ascii_digit())
            .len();
    let (number, ending) = bottom.split_at(digits);
    let ordinal = matches!(ending, "th" | "ths" | "nd" | "nds" | "tel");
    BOTTOMS.contains(&number) && (ordinal || (over && ending.is_empty()))
}
