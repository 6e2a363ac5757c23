//! A column heading taken apart: its field, its unit, and what stands in a bracket beside the unit.

use super::error::{Fault, Faults, quoted};
use super::headers::{Field, field, meaning, split_unit, tidy};
use super::meanings::{Sure, said};
use super::options::Meaning;
use super::origins::runs_from_to;
use super::scales::{Scale, counted, scale, scaled_heading, without_closeness};
use super::walls::{
    From, PlanAxis, counts_from, from_wall, names_a_side, opposite, runs_to, words,
};
use crate::survey::Place;
use crate::units::LengthUnit;

/// A column heading taken apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Heading {
    pub field: Field,
    pub unit: Option<LengthUnit>,
    /// Where its numbers count parts of the unit.
    pub scale: Option<Scale>,
    /// Whether its distances count from the right or from the far wall.
    pub turned: bool,
    /// What the words in its bracket leave open.
    pub unread: Option<Unread>,
}

impl Heading {
    /// Without a scale, counted from the left or the near wall.
    pub(super) const fn plain(field: Field, unit: Option<LengthUnit>) -> Self {
        Self {
            field,
            unit,
            scale: None,
            turned: false,
            unread: None,
        }
    }
}

/// Takes `x_ft`, `x (m)`, `Reading [mm]`, `Elevation, in`, `y (from back, ft)` apart. What stands in the bracket beside the unit counts: a
/// heading that says one thing before the bracket and another in it is none that is known.
pub(super) fn heading(text: &str) -> Heading {
    let plain = before_bracket(text);
    let beside = beside_unit(text);
    if beside.is_empty() {
        return plain;
    }
    let unknown = Heading {
        field: Field::Unknown,
        ..plain
    };
    match plain.field {
        Field::X => of_place(plain, PlanAxis::X, &beside),
        Field::Y => of_place(plain, PlanAxis::Y, &beside),
        Field::Reading(own) => {
            let words = said(&beside, true);
            let told = meaning(&beside).or_else(|| words.only());
            match told {
                // `Height (below laser, in)`: how the height is taken, in so many words.
                Some(told) if told != own && words.of(told) == Some(Sure::Clear) => Heading {
                    field: Field::Reading(told),
                    ..plain
                },
                // `Z (down, in)`: one word says it.
                Some(Meaning::Down) if own == Meaning::Elevation && beside == "down" => Heading {
                    field: Field::Reading(Meaning::Down),
                    ..plain
                },
                Some(told) if told != own => unknown,
                Some(_) => plain,
                None => {
                    let turns: &[&str] = match own {
                        Meaning::Elevation => &OF_LINE,
                        Meaning::Down | Meaning::Up => &[],
                    };
                    Heading {
                        unread: left_open(&beside, turns),
                        ..plain
                    }
                }
            }
        }
        _ => plain,
    }
}

/// A heading of an axis, with the words in its bracket beside the unit.
fn of_place(plain: Heading, own: PlanAxis, beside: &str) -> Heading {
    let unknown = Heading {
        field: Field::Unknown,
        ..plain
    };
    let unread = |unread: Option<Unread>| Heading { unread, ..plain };
    let counts = |from: From| match from.axis == own {
        true => Heading {
            turned: from.turned,
            ..plain
        },
        false => unknown,
    };
    // `x (E, ft)`: the way that it runs, as an easting does.
    if let Some(to) = runs_to(beside) {
        return counts(opposite(to));
    }
    // `x (W to E, ft)`, `y (N/S, ft)`, `x (from L, ft)`.
    match lies(beside) {
        Some(Lies::From(from)) => return counts(from),
        Some(Lies::Along(axis)) if axis == own => return plain,
        Some(Lies::Perhaps(from)) if from.axis == own => {
            return unread(from.turned.then_some(Unread::MayTurn));
        }
        Some(_) => return unknown,
        None => {}
    }
    let from = from_wall(beside).or_else(|| from_wall(&format!("from {beside}")));
    // `x (right, ft)`: from there, or to there.
    let says_from = ["from", "off", "wall", "side", "edge", "end"];
    let says_from = beside.split(' ').any(|w| says_from.contains(&w));
    match from {
        Some(from) if from.axis == own && says_from => counts(from),
        Some(from) if from.axis == own => unread(Some(Unread::MayTurn)),
        _ if names_a_side(beside) => unread(Some(Unread::MayTurn)),
        Some(_) => plain,
        None => unread(left_open(beside, &OF_PLACE)),
    }
}

/// How an axis lies, by the words in its bracket.
enum Lies {
    /// It counts from there.
    From(From),
    /// It lies along that axis of the plan, and no beginning is named: `E-W`.
    Along(PlanAxis),
    /// It lies so, and may begin there: `L-R`.
    Perhaps(From),
}

/// What a bracket says that names the two ends of an axis, or its beginning by a letter; `None` for other words.
fn lies(beside: &str) -> Option<Lies> {
    let list = match &words(&beside.replace('/', "-"))[..] {
        [a, b] if a.len() == 1 && b.len() == 1 => vec![format!("{a}-{b}")],
        list => list.to_vec(),
    };
    if let Some(from) = runs_from_to(&list) {
        let compass = |w: &str| ["n", "s", "e", "w", "north", "south", "east", "west"].contains(&w);
        return Some(match &list[..] {
            [ends] if ends.split('-').all(compass) => Lies::Along(from.axis),
            [_] => Lies::Perhaps(from),
            _ => Lies::From(from),
        });
    }
    let letter = match &list[..] {
        [from, letter] if from == "from" => letter.as_str(),
        _ => return None,
    };
    // A `b` may be the back or the bottom.
    let wall = match letter {
        "l" => "left",
        "r" => "right",
        "f" => "front",
        _ => return None,
    };
    from_wall(&format!("from {wall}")).map(Lies::From)
}

/// What words in a bracket leave open that nothing is known of: those among `turns` may turn the numbers over.
fn left_open(beside: &str, turns: &[&str]) -> Option<Unread> {
    let says = |list: &[&str]| beside.split(' ').any(|w| list.contains(&w));
    if says(turns) {
        Some(Unread::MayTurn)
    } else if beside.split(' ').all(|w| PLAIN.contains(&w)) {
        None
    } else {
        Some(Unread::Words)
    }
}

/// What the words in a heading's bracket leave open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unread {
    /// Words that may turn the numbers over.
    MayTurn,
    /// Other words.
    Words,
}

/// Words in a bracket that say nothing of which way numbers run.
const PLAIN: [&str; 21] = [
    "approx",
    "approximately",
    "about",
    "ca",
    "decimal",
    "decimals",
    "rounded",
    "nearest",
    "whole",
    "exact",
    "plan",
    "horizontal",
    "offset",
    "distance",
    "dist",
    "along",
    "position",
    "coordinate",
    "reading",
    "readings",
    "survey",
];

/// Words in the bracket of a distance that may say from where it counts.
const OF_PLACE: [&str; 26] = [
    "from", "to", "toward", "towards", "off", "reversed", "reverse", "r", "l", "b", "f", "n", "s",
    "e", "w", "rh", "lh", "rhs", "lhs", "rt", "lt", "bk", "opposite", "other", "starting", "start",
];

/// Words in the bracket of a height that may say that it is measured to a line.
const OF_LINE: [&str; 22] = [
    "below",
    "beneath",
    "under",
    "down",
    "downward",
    "downwards",
    "measured",
    "to",
    "tape",
    "taped",
    "laser",
    "line",
    "beam",
    "string",
    "rod",
    "staff",
    "low",
    "big",
    "small",
    "large",
    "from",
    "drop",
];

/// Refuses a heading whose bracket may turn its numbers over.
pub(super) fn refuse_bracket(place: Place, text: &str, faults: &mut Faults) {
    faults.add(
        Fault::Column,
        place,
        format!("words in the bracket of {} that are not understood and may turn its numbers over", quoted(text)),
        "the unit in the bracket, and words that are known before it: x from left wall (ft) or x from right wall (ft), y from near wall (ft) or y from far wall (ft), down (in)",
        "Write it so, or take the words out where they say nothing.",
    );
}

/// The same by what stands before a bracket, and the unit.
fn before_bracket(text: &str) -> Heading {
    // `Reading - inches` says what `Reading, inches` does.
    let dashed = [" - ", " \u{2013} "].iter().find_map(|dash| {
        let (words, unit) = text.split_once(dash)?;
        LengthUnit::from_word(unit.trim()).map(|_| format!("{words}, {unit}"))
    });
    let text = without_closeness(dashed.as_deref().unwrap_or(text));
    // `(in, tape 1/16)`: a unit of its own, and words beside it.
    let own_unit = unit_among(text).filter(|(before, _)| field(&tidy(before)) != Field::Unknown);
    if own_unit.is_none()
        && let Some((words, scale)) = scaled_heading(text)
    {
        let before = text.split(['(', '[']).next().unwrap_or_default();
        let of = [words, before.to_lowercase()].map(|words| field(&tidy(&words)));
        let known = |f: &Field| matches!(f, Field::Reading(_) | Field::X | Field::Y);
        if let Some(field) = of.into_iter().find(known) {
            return Heading {
                scale: Some(scale),
                ..Heading::plain(field, Some(scale.unit))
            };
        }
    }
    let (words, unit) = split_unit(text);
    let whole = Heading {
        turned: counts_from(&words).is_some_and(|from| from.turned),
        ..Heading::plain(field(&words), unit)
    };
    match (unit, unit_among(text)) {
        // `Reading (in, avg of 2)`.
        (None, Some((before, unit))) if field(&tidy(&before)) != Field::Unknown => {
            Heading::plain(field(&tidy(&before)), Some(unit))
        }
        _ => whole,
    }
}

/// What stands before a bracket, and the unit that one of its parts is: the first of `(in, \u{b1}1/16)`.
fn unit_among(text: &str) -> Option<(String, LengthUnit)> {
    let lower = text.to_lowercase();
    let (before, behind) = lower.split_once(['(', '['])?;
    let inner = behind.split([')', ']']).next()?;
    let parts: Vec<&str> = inner.split([',', ';']).map(str::trim).collect();
    // `(inches and 16ths)`: whole inches with their parts.
    let whole = |p: &str| {
        let (unit, of) = p.split_once(" and ").or_else(|| p.split_once(" & "))?;
        let ordinal = of.ends_with("ths") || of.ends_with("nds");
        LengthUnit::from_word(unit.trim()).filter(|_| ordinal)
    };
    if let [only] = parts[..]
        && let Some(unit) = whole(only)
    {
        return Some((before.to_owned(), unit));
    }
    let of_part = |p: &&str| LengthUnit::from_word(p).or_else(|| whole(p));
    let mut units = parts.iter().filter_map(of_part);
    let unit = units.next().filter(|_| parts.len() > 1)?;
    // `(in, x10)`, `(in, 1/16)`, `(ft, 0.1)` count parts of it; `(in, laser 2)`, `(in, J.R., 5/12)`, `(in, \u{b1}1/16)` do not.
    let scales = |p: &&str| {
        let bare: String = p
            .chars()
            .filter(|c| !matches!(c, ' ' | 'x' | '\u{d7}' | '*'))
            .collect();
        let number = bare.parse::<f64>().is_ok_and(|n| n > 0.0);
        number || scale(p).is_some() || counted(p).is_some()
    };
    if parts.iter().any(scales) {
        return None;
    }
    units.next().is_none().then(|| (before.to_owned(), unit))
}

/// The words of a heading's bracket beside its unit: `below laser` of `Height (below laser, in)`.
fn beside_unit(text: &str) -> String {
    let lower = text.to_lowercase();
    let Some(open) = lower.find(['(', '[']) else {
        return String::new();
    };
    let inner = &lower[open + 1..];
    let inner = inner.split([')', ']']).next().unwrap_or_default();
    let parts = tidy(&inner.replace([';', '='], " "));
    let said =
        |w: &&str| LengthUnit::from_word(w).is_none() && !w.contains(|c: char| c.is_ascii_digit());
    // `larger = lower` is one word for another.
    if inner.contains('=') {
        return inner
            .split([',', ';'])
            .find(|p| p.contains('='))
            .unwrap_or_default()
            .trim()
            .to_owned();
    }
    parts.split(' ').filter(said).collect::<Vec<_>>().join(" ")
}
