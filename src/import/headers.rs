//! What the words above a column mean: which field, in which unit.

use super::options::Meaning;
use super::scales::{Scale, scale};
use super::walls::{PlanAxis, counts_from};
use crate::units::LengthUnit;

/// What a column of a list holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Field {
    /// Point name.
    Point,
    /// Plan distance to the right.
    X,
    /// Plan distance up the plan.
    Y,
    /// Distance down from the line, or a height, as told beside it.
    Reading(Meaning),
    /// A further reading of the same mark from the same line.
    Again,
    /// Free words.
    Note,
    /// Name of the set-up a reading was taken from.
    SetUp,
    /// Name of the room.
    Room,
    /// A heading that is not known; the column is not used.
    Unknown,
}

/// The unit, and the scale, that a text in the place of a unit is: `ft`, `1/16 in`.
pub(super) fn unit_or_scale(text: &str) -> Option<(LengthUnit, Option<Scale>)> {
    let bare = text.trim().trim_matches(['(', ')', '[', ']']);
    let plain = LengthUnit::from_word(bare).map(|unit| (unit, None));
    plain.or_else(|| scale(bare).map(|s| (s.unit, Some(s))))
}

/// Name and unit of a heading. The unit stands in brackets, or is its last word.
pub(super) fn split_unit(text: &str) -> (String, Option<LengthUnit>) {
    let lower = text.trim().to_lowercase();
    if let Some(open) = lower.find(['(', '['])
        && let Some(close) = lower[open..].find([')', ']'])
    {
        let inner = &lower[open + 1..open + close];
        if let Some(unit) = LengthUnit::from_word(inner).or_else(|| last_unit(inner)) {
            let rest = format!("{} {}", &lower[..open], &lower[open + close + 1..]);
            return (tidy(&rest), Some(unit));
        }
        let names_unit = inner
            .split([' ', ',', ';', '/'])
            .any(|w| LengthUnit::from_word(w).is_some());
        if names_unit {
            return (tidy(&lower[..open]), first_unit(inner));
        }
    }
    let words = tidy(&lower);
    if two_units(&lower) && LengthUnit::from_word(&lower).is_none() {
        let name = words.split(' ').next().unwrap_or_default().to_owned();
        return (name, None);
    }
    let list: Vec<&str> = words.split(' ').collect();
    // `Feet from back wall`, `mm down`; `in from the wall` names no unit.
    if let [unit, rest @ ..] = &list[..]
        && *unit != "in"
        && let Some(unit) = LengthUnit::from_word(unit)
        && matches!(
            rest,
            ["from" | "off" | "to" | "down" | "below" | "under", ..]
        )
    {
        return (rest.join(" "), Some(unit));
    }
    // `ft in` is one unit of two words.
    for count in [2, 1] {
        if list.len() > count {
            let tail = list[list.len() - count..].join("-");
            if let Some(unit) = LengthUnit::from_word(&tail)
                && (count == 1 || unit == LengthUnit::FeetInches)
            {
                let mut head = &list[..list.len() - count];
                // `reading in mm`, but also `reading in`.
                if let [rest @ .., "in"] = head
                    && count == 1
                    && !rest.is_empty()
                {
                    head = rest;
                }
                return (head.join(" "), Some(unit));
            }
        }
    }
    // A unit that is not known is none: what the column holds is known all the same.
    if let [head @ .., last] = &list[..]
        && !head.is_empty()
        && FOREIGN.contains(last)
    {
        return (head.join(" "), None);
    }
    (words, None)
}

/// Units of length that no floor is read in.
pub(super) const FOREIGN: [&str; 9] = [
    "yd", "yds", "yard", "yards", "dm", "km", "mil", "mils", "thou",
];

/// The unit among the words of a bracket, `reading in mm`; `None` where a number or another unit stands beside it, as in
/// `1/16 in` and `in or mm`: which is meant, nobody can tell.
fn last_unit(text: &str) -> Option<LengthUnit> {
    if text.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let words: Vec<&str> = text
        .split([' ', ',', ';', '/'])
        .filter(|w| !w.is_empty())
        .collect();
    let (last, mut before) = words.split_last()?;
    // `in mm`: a word, and no unit.
    if let [rest @ .., "in"] = before {
        before = rest;
    }
    let other = before.iter().any(|w| LengthUnit::from_word(w).is_some());
    LengthUnit::from_word(last).filter(|_| !other)
}

/// The unit that a bracket begins with, `(ft from back)`, where it names no other; `in` only where a mark parts it from what follows, as
/// in `(in, down)`: `in the hall` is no inch.
fn first_unit(text: &str) -> Option<LengthUnit> {
    let words: Vec<&str> = text
        .split([' ', ',', ';'])
        .filter(|w| !w.is_empty())
        .collect();
    let (first, rest) = words.split_first()?;
    let unit = LengthUnit::from_word(first)?;
    let others = rest.iter().any(|w| LengthUnit::from_word(w).is_some());
    let digits = text.contains(|c: char| c.is_ascii_digit() || c == '/');
    let parted = text.trim_start()[first.len()..]
        .trim_start()
        .starts_with([',', ';']);
    (!others && !digits && (*first != "in" || parted)).then_some(unit)
}

/// Whether a heading names two units, one for the other: `reading in/mm`.
fn two_units(lower: &str) -> bool {
    let unit = |word: Option<&str>| {
        let word = word.unwrap_or_default();
        LengthUnit::from_word(word.trim_matches(|c: char| !c.is_alphanumeric())).is_some()
    };
    lower.split_once('/').is_some_and(|(before, behind)| {
        unit(before.split([' ', '_', '(', '[']).next_back())
            && unit(behind.split([' ', '_', ')', ']']).next())
    })
}

/// Lower-case words set apart by single blanks.
pub(super) fn tidy(text: &str) -> String {
    text.split(|c: char| {
        c.is_whitespace() || matches!(c, '_' | ',' | ':' | '.' | '/' | '(' | ')' | '[' | ']')
    })
    .filter(|w| !w.is_empty())
    .collect::<Vec<_>>()
    .join(" ")
}

/// Whether words are those of a distance from the line down to the floor: `below laser`, `drop from line`, `depth under the beam`, `laser to
/// floor`.
fn is_down_from_line(words: &str) -> bool {
    const LINE: [&str; 6] = ["laser", "line", "beam", "string", "stringline", "lines"];
    const DOWN: [&str; 6] = ["down", "drop", "below", "under", "beneath", "depth"];
    const BESIDE: [&str; 13] = [
        "from", "to", "the", "floor", "slab", "distance", "dist", "measured", "reading", "rdg",
        "level", "inches", "of",
    ];
    let list: Vec<&str> = words.split(' ').collect();
    let says = |of: &[&str]| list.iter().any(|w| of.contains(w));
    let to_floor = matches!(list[..], [.., "to", "floor" | "slab"]);
    let known = |w: &&str| LINE.contains(w) || DOWN.contains(w) || BESIDE.contains(w);
    says(&LINE) && (says(&DOWN) || to_floor) && list.iter().all(known)
}

/// The number or letter behind a heading of readings: `reading 2`, `rdg a`.
pub(super) fn number_of_reading(words: &str) -> Option<&str> {
    let (head, last) = words.rsplit_once(' ')?;
    let is_number = last.len() <= 2 && last.chars().all(|c| c.is_ascii_digit());
    let is_letter = last.len() == 1 && matches!(last, "a" | "b" | "c" | "d");
    let counts = (is_number || is_letter) && field(head) == Field::Reading(Meaning::Down);
    counts.then_some(last)
}

/// The field that words without a unit name.
pub(super) fn field(words: &str) -> Field {
    match words {
        "point" | "points" | "pt" | "id" | "name" | "label" | "station" | "mark" | "no" | "nr"
        | "number" | "#" | "spot" | "spot #" | "spot no" | "grid" | "grid #" | "grid no"
        | "grid loc" | "square" | "cell" | "coord" | "intersection" | "position" | "pos"
        | "grid pt" | "grid point" | "grid ref" | "point #" | "pt #" | "pt no" | "pt id"
        | "reading #" | "reading no" | "rdg pt" | "rdg no" | "shot" | "test point"
        | "check point" | "point name" | "point no" | "point id" | "point number" | "node" => {
            Field::Point
        }
        "x" | "e" | "east" | "easting" | "x dist" | "x distance" | "across" | "distance x" => {
            Field::X
        }
        "y" | "n" | "north" | "northing" | "y dist" | "y distance" | "along" | "distance y" => {
            Field::Y
        }
        "reading" | "readings" | "rdg" | "rdgs" | "down" | "drop" | "rod" | "staff"
        | "rod reading" | "staff reading" | "laser reading" | "reading down" | "measured down"
        | "down to floor" | "distance down" | "inches down" | "measured" | "measurement"
        | "value" | "tape" | "tape reading" | "tape down" | "tape measure" => {
            Field::Reading(Meaning::Down)
        }
        _ if is_down_from_line(words) => Field::Reading(Meaning::Down),
        "up" | "reading up" | "up to line" | "up to laser" => Field::Reading(Meaning::Up),
        "elevation" | "elevations" | "elev" | "el" | "z" | "level" | "levels" | "rl"
        | "reduced level" | "height" | "heights" | "floor level" | "floor height"
        | "spot level" | "spot levels" | "spot height" | "spot heights" | "spot elevation"
        | "spot elevations" => Field::Reading(Meaning::Elevation),
        "description" => Field::Note,
        _ if is_note(words) => Field::Note,
        "set-up" | "setup" | "set up" | "set-ups" | "setups" | "set-up #" | "setup #"
        | "set up #" | "set-up no" | "setup no" | "set up no" | "set-up number"
        | "setup number" | "set-up id" | "setup id" | "instrument" | "instrument set-up" => {
            Field::SetUp
        }
        "room" | "area" | "space" | "zone" => Field::Room,
        // `Reading 1`, `Rdg A`: the first of several, or the only one.
        "1st reading" | "first reading" => Field::Reading(Meaning::Down),
        _ if number_of_reading(words).is_some_and(|n| matches!(n, "1" | "a")) => {
            Field::Reading(Meaning::Down)
        }
        // `dist from west wall`: the wall says which way it runs.
        _ => match counts_from(words).map(|from| from.axis) {
            Some(PlanAxis::X) => Field::X,
            Some(PlanAxis::Y) => Field::Y,
            None => Field::Unknown,
        },
    }
}

/// Whether words head a column of words for people: `Notes`, `Field notes`, `Notes / comments`, `Crew observations`.
pub(super) fn is_note(words: &str) -> bool {
    const NOTES: [&str; 11] = [
        "note",
        "notes",
        "remark",
        "remarks",
        "comment",
        "comments",
        "observation",
        "observations",
        "memo",
        "memos",
        "annotation",
    ];
    const BESIDE: [&str; 17] = [
        "and",
        "or",
        "&",
        "+",
        "-",
        "field",
        "crew",
        "site",
        "general",
        "other",
        "my",
        "misc",
        "surveyor",
        "surveyors",
        "extra",
        "office",
        "any",
    ];
    let mut list = words.split([' ', '-']).filter(|w| !w.is_empty());
    words.split([' ', '-']).any(|w| NOTES.contains(&w))
        && list.all(|w| NOTES.contains(&w) || BESIDE.contains(&w) || is_count(w))
}

/// `Notes 2`: the second of several.
fn is_count(word: &str) -> bool {
    word.len() <= 2 && word.bytes().all(|b| b.is_ascii_digit())
}

/// Whether a word heads a row or column of averages, totals or the like: `Average`, `Grand total`, `Row mean`, `Max-Min`.
pub(super) fn is_summary(text: &str) -> bool {
    let words = tidy(&text.to_lowercase());
    let mut words = words
        .split([' ', '-', '\u{2013}'])
        .filter(|w| !w.is_empty());
    let first = words.next().unwrap_or_default();
    let sums = |word: &str| SUMS.contains(&word) || EXTREMES.contains(&word);
    sums(first)
        || (matches!(
            first,
            "grand" | "overall" | "row" | "column" | "col" | "line"
        ) && words.next().is_some_and(|w| SUMS.contains(&w)))
}

/// Whether a cell says nothing but that its row holds an average, a total or an extreme of others, `Max`, `Average of all`: no name of
/// a point, and no remark on one, as `High` and `average of two` may be.
pub(super) fn is_sum(text: &str) -> bool {
    if is_figure(text) {
        return false;
    }
    let words = tidy(&text.to_lowercase());
    let sure = |w: &str| SUMS.contains(&w) || SURE_EXTREMES.contains(&w);
    let beside = |w: &str| OF_ALL.contains(&w) || LengthUnit::from_word(w).is_some();
    words.split(' ').any(sure) && words.split(' ').all(|w| sure(w) || beside(w))
}

/// Whether a cell is one word for an average or a total.
pub(super) fn is_total(text: &str) -> bool {
    SUMS.contains(&tidy(&text.to_lowercase()).as_str())
}

/// Whether a cell names an extreme or a sum though it may be the name of a point: `Lowest`, `High point`, `Mean St`.
pub(super) fn may_be_sum(text: &str) -> bool {
    if is_figure(text) {
        return false;
    }
    let words = tidy(&text.to_lowercase());
    words
        .split(' ')
        .any(|w| SUMS.contains(&w) || EXTREMES.contains(&w))
}

/// Whether a remark on a reading says that it is an average, a total or an extreme of others, so that it may be none.
pub(super) fn is_sum_in_remark(text: &str) -> bool {
    if is_figure(text) {
        return false;
    }
    let words = tidy(&text.to_lowercase());
    let most = |w: &str| matches!(w, "highest" | "lowest") || OF_ALL.contains(&w);
    is_sum(text) || (words.split(' ').all(most) && may_be_sum(text))
}

/// Whether a text begins as a number: a scan has millions of them, and none is looked through for words.
fn is_figure(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '.')
}

/// Extremes that name no place in a room, as `High` and `Range` may.
const SURE_EXTREMES: [&str; 5] = ["min", "minimum", "max", "maximum", "count"];
/// Words that may stand beside one for a sum and make no name of it.
const OF_ALL: [&str; 19] = [
    "of", "all", "the", "in", "room", "floor", "area", "grand", "overall", "total", "whole", "row",
    "column", "col", "line", "reading", "readings", "points", "value",
];

const SUMS: [&str; 17] = [
    "average",
    "avg",
    "ave",
    "mean",
    "median",
    "total",
    "totals",
    "sum",
    "subtotal",
    "stdev",
    "std",
    "\u{f8}",
    "\u{3c3}",
    "\u{2211}",
    "mittelwert",
    "moyenne",
    "summe",
];
const EXTREMES: [&str; 13] = [
    "min",
    "minimum",
    "max",
    "maximum",
    "count",
    "range",
    "difference",
    "diff",
    "high",
    "low",
    "highest",
    "lowest",
    "spread",
];

/// Whether a word for no reading names what stands on the floor there.
pub(super) fn is_obstacle(text: &str) -> bool {
    let word = text.trim().trim_matches(['.', '(', ')']).to_lowercase();
    matches!(
        word.as_str(),
        "col"
            | "column"
            | "void"
            | "island"
            | "tub"
            | "post"
            | "pier"
            | "cabinet"
            | "cab"
            | "obstacle"
            | "obstructed"
            | "fridge"
            | "stove"
            | "bathtub"
            | "shower"
            | "closet"
            | "stairs"
            | "fireplace"
            | "vanity"
            | "wc"
            | "toilet"
            | "sink"
            | "rack"
            | "washer"
            | "dryer"
            | "boiler"
            | "furnace"
            | "shelving"
            | "planter"
            | "built-in"
            | "machine base"
            | "pillar"
            | "cols"
            | "cabs"
            | "cabinets"
            | "counter"
            | "kitchen island"
    )
}

/// Whether a cell says in words that nothing was read there.
pub(super) fn is_no_reading(text: &str) -> bool {
    if is_obstacle(text) {
        return true;
    }
    let word = text.trim().trim_matches(['.', '(', ')']).to_lowercase();
    matches!(
        word.as_str(),
        "" | "x"
            | "xx"
            | "xxx"
            | "-"
            | "--"
            | "---"
            | "\u{2013}"
            | "\u{2014}"
            | "\u{2212}"
            | "wall"
            | "n/a"
            | "n.a."
            | "n.a"
            | "na"
            | "none"
            | "nil"
            | "blocked"
            | "no reading"
            | "not read"
            | "nr"
            | "n/r"
            | "*"
            | "/"
            | "out"
            | "closed"
    )
}

/// The meaning that a column's heading, or a table's corner, says in so many words; a heading of readings says nothing of
/// which way they run.
pub(super) fn said_meaning(words: &str) -> Option<Meaning> {
    let told = meaning(words)?;
    let lower = words.to_lowercase();
    (told != Meaning::Down || ["down", "drop"].iter().any(|w| lower.contains(w))).then_some(told)
}

/// The meaning that such words say and cannot mean otherwise: a `level` or a `height` may be that of a laser.
pub(super) fn meaning_in_words(words: &str) -> Option<Meaning> {
    let other_uses = ["z", "level", "levels", "height", "heights"];
    said_meaning(words).filter(|_| !other_uses.contains(&tidy(&words.to_lowercase()).as_str()))
}

/// The meaning that a word stands for.
pub(super) fn meaning(text: &str) -> Option<Meaning> {
    match field(&tidy(&text.to_lowercase())) {
        Field::Reading(meaning) => Some(meaning),
        _ => match tidy(&text.to_lowercase()).as_str() {
            "down from the line" | "drops" => Some(Meaning::Down),
            "up to the line" => Some(Meaning::Up),
            "elevation of the floor" | "height of the floor" => Some(Meaning::Elevation),
            _ => None,
        },
    }
}
