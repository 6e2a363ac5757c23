//! The words of lines that say where distances count from; what stands in such a line beside the origin, and which lines may speak of one in words
//! that are not understood.

use super::walls::{axis, sides};

/// Sides that a room may have anywhere: with them alone nobody can tell which way an axis counts.
pub(super) const ANYWHERE: [&str; 11] = [
    "door", "doors", "doorway", "entrance", "entry", "window", "windows", "hall", "wall", "walls",
    "corner",
];

/// Words that may stand before those that a line of an origin begins with.
pub(super) const BEFORE: [&str; 15] = [
    "point",
    "the",
    "all",
    "rooms",
    "room",
    "note",
    "notes",
    "grid",
    "plan",
    "list",
    "survey",
    "both",
    "coordinate",
    "coordinates",
    "these",
];

/// Words behind an axis that make it one, and no letter: `X marks the left door` speaks of a mark.
pub(super) const OF_AXIS: [&str; 44] = [
    "runs",
    "run",
    "running",
    "goes",
    "go",
    "going",
    "counts",
    "counted",
    "count",
    "increases",
    "increasing",
    "grows",
    "points",
    "pointing",
    "is",
    "are",
    "was",
    "axis",
    "direction",
    "values",
    "distance",
    "distances",
    "dimension",
    "dimensions",
    "measured",
    "measures",
    "taken",
    "starts",
    "start",
    "begins",
    "from",
    "off",
    "to",
    "toward",
    "towards",
    "at",
    "along",
    "positive",
    "zero",
    "0",
    "origin",
    "up",
    "down",
    "the",
];

/// Words that part where an axis counts from and where it runs to.
pub(super) const FROM: [&str; 8] = [
    "from", "off", "at", "0", "zero", "starts", "begins", "origin",
];

pub(super) const TO: [&str; 3] = ["to", "toward", "towards"];

/// Verbs of an axis that a direction may follow.
pub(super) const MOVES: [&str; 9] = [
    "run",
    "runs",
    "running",
    "go",
    "goes",
    "going",
    "increases",
    "increasing",
    "grows",
];

/// What else may stand in a line that speaks of nothing but an origin.
pub(super) const BESIDE: [&str; 35] = [
    "measuring",
    "dims",
    "starts",
    "started",
    "positive",
    "origin",
    "corner",
    "corners",
    "side",
    "sides",
    "edge",
    "end",
    "hand",
    "point",
    "position",
    "reference",
    "datum",
    "starting",
    "in",
    "on",
    "of",
    "and",
    "by",
    "with",
    "as",
    "for",
    "this",
    "our",
    "page",
    "drawing",
    "sheet",
    "across",
    "offset",
    "offsets",
    "coords",
];

/// Openings of a room: what lies left of one is no left side of the room.
pub(super) const OPENINGS: [&str; 8] = [
    "door", "doors", "doorway", "entrance", "entry", "window", "windows", "hall",
];

/// Words before an opening that stands where a corner does: `front left corner, at the door`.
const BESIDE_OPENING: [&str; 8] = ["at", "by", "near", "beside", "next", "with", "to", "from"];

/// What else in a room has an origin or lies off a wall.
const OTHERS: [&str; 42] = [
    "tile", "tiles", "crack", "cracks", "tub", "shower", "toilet", "cabinet", "cabinets", "pipe",
    "drain", "stain", "leak", "water", "pour", "pouring", "bag", "bags", "mix", "mixing", "mixer",
    "joist", "joists", "plank", "planks", "board", "boards", "lvp", "lvt", "receiver", "rod",
    "hose", "slope", "slopes", "low", "high", "hump", "grind", "work", "primer", "wet", "dry",
];

/// What a floor's heights are measured from: such lines say nothing of the plan.
pub(super) const OF_HEIGHT: [&str; 11] = [
    "laser",
    "line",
    "string",
    "beam",
    "floor",
    "slab",
    "subfloor",
    "datum",
    "benchmark",
    "ceiling",
    "level",
];

/// A sentence without the opening that its corner stands at, `SW corner, at entry`, `front left corner (from door)`: it tells the crew which
/// corner that is, and nothing else. Where no corner is named the opening is a part of what is said.
pub(super) fn without_remark(words: &[String]) -> &[String] {
    let Some((last, before)) = words.split_last() else {
        return words;
    };
    if !OPENINGS.contains(&last.as_str()) {
        return words;
    }
    let plain = |w: &String| w == "the" || w == "main" || BESIDE_OPENING.contains(&w.as_str());
    let count = before.iter().rev().take_while(|w| plain(w)).count();
    let rest = &before[..before.len() - count];
    let ends_in_corner = rest
        .last()
        .is_some_and(|w| w == "corner" || sides(w).len() > 1)
        || matches!(rest, [.., a, b] if sides(a).len() + sides(b).len() == 2 && a != b);
    if ends_in_corner { rest } else { words }
}

/// Whether an opening stands in a sentence otherwise than as the wall that something counts from to one with a side: `from door to back wall`.
pub(super) fn speaks_of_opening(words: &[String]) -> bool {
    let opening = |w: &String| OPENINGS.contains(&w.as_str());
    (0..words.len()).filter(|&k| opening(&words[k])).any(|k| {
        let behind = words[k + 1..].iter().find(|w| *w != "wall");
        !behind.is_some_and(|w| TO.contains(&w.as_str()))
    })
}

/// Whether words that are not understood may speak of an origin all the same: they name a wall or a corner by its side, and a beginning.
/// Rather a remark is told that turns nothing than a plan drawn the wrong way round without a word.
pub(super) fn may_speak(words: &[String]) -> bool {
    const BEGIN: [&str; 44] = [
        "baseline",
        "control",
        "from",
        "off",
        "start",
        "starts",
        "started",
        "starting",
        "begin",
        "begins",
        "began",
        "zero",
        "0",
        "00",
        "origin",
        "orig",
        "measuring",
        "measured",
        "taken",
        "tape",
        "taped",
        "pulled",
        "laid",
        "dims",
        "dim",
        "dimensioned",
        "reference",
        "ref",
        "positions",
        "distances",
        "dist",
        "a1",
        "x",
        "y",
        "x0",
        "0-0",
        "y0",
        "coords",
        "coordinates",
        "relative",
        "base",
        "home",
        "first",
        "corner",
    ];
    /// Corners and sides in short.
    const CODES: [&str; 16] = [
        "bl", "br", "fl", "fr", "tl", "tr", "ul", "ur", "ll", "lr", "rh", "lh", "rhs", "lhs",
        "rh-side", "lh-side",
    ];
    /// Sides by one letter: only behind where something counts from, or beside where it runs to.
    const LETTERS: [&str; 8] = ["r", "l", "b", "f", "n", "s", "e", "w"];
    let at = |k: usize, list: &[&str]| words.get(k).is_some_and(|w| list.contains(&w.as_str()));
    let letter = |k: usize| {
        let behind = k
            .checked_sub(1)
            .is_some_and(|k| at(k, &FROM[..2]) || at(k, &TO));
        at(k, &LETTERS) && (behind || at(k + 1, &TO))
    };
    // `right-to-left`, `back-left`.
    let names_side = |w: &String| w.split('-').any(|part| !sides(part).is_empty());
    let sided = (0..words.len()).any(|k| at(k, &CODES) || letter(k) || names_side(&words[k]));
    let number = |w: &String| {
        !matches!(w.as_str(), "0" | "00" | "0-0") && w.starts_with(|c: char| c.is_ascii_digit())
    };
    let other = speaks_of_others;
    // `X marks the left door` names a mark.
    let begins = |k: usize| {
        let is_axis = axis(&words[k]).is_some();
        // `Corner unit`, `NE corner office`, `zero-threshold bath`, `start-up lab` name rooms.
        let next = words.get(k + 1).map_or("", String::as_str);
        let noun = match words[k].as_str() {
            "corner" => !(next.is_empty() || names_a_wall_or_joins(next)),
            "zero" => next == "threshold",
            "start" => next == "up",
            _ => false,
        };
        at(k, &BEGIN)
            && !noun
            && (!is_axis
                || at(k + 1, &OF_AXIS)
                || at(k + 1, &LETTERS)
                || words.get(k + 1).is_some_and(names_side))
    };
    (0..words.len()).any(begins) && sided && !other(words) && !words.iter().any(number)
}

/// Whether a word behind `corner` goes on with it.
fn names_a_wall_or_joins(word: &str) -> bool {
    !sides(word).is_empty()
        || matches!(
            word,
            "of" | "at"
                | "is"
                | "in"
                | "by"
                | "and"
                | "to"
                | "from"
                | "0"
                | "zero"
                | "origin"
                | "as"
                | "near"
                | "with"
        )
}

/// Whether words name what has an origin of its own or lies off a wall, or what heights are measured from.
pub(super) fn speaks_of_others(words: &[String]) -> bool {
    let other = |w: &String| OF_HEIGHT.contains(&w.as_str()) || OTHERS.contains(&w.as_str());
    words.iter().any(other)
}
