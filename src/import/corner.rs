//! What the corner cell of a matrix states: units and meaning.

use super::error::{Fault, Faults, quoted};
use super::headers::{meaning, meaning_in_words, said_meaning, split_unit, tidy, unit_or_scale};
use super::meanings::said;
use super::options::Meaning;
use super::scales::{Scale, names_parts, scale, scaled_heading, without_closeness};
use super::table::{Cell, Table};
use super::walls::{PlanAxis, axis, from_wall};
use crate::survey::Place;
use crate::units::LengthUnit;

/// Units and meaning that the corner cell states: `ft / in`, `plan ft, reading in`, `elevation mm`.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Corner {
    pub plan: Option<LengthUnit>,
    pub reading: Option<LengthUnit>,
    /// Where readings count parts of their unit.
    pub scale: Option<Scale>,
    pub meaning: Option<Meaning>,
    /// The same where it is said in so many words.
    pub said: Option<Meaning>,
    /// The same where it cannot mean otherwise.
    pub in_words: Option<Meaning>,
    /// Whether only words that have other uses say it: `slab level`, `FFL`.
    pub loose: bool,
    /// A unit by itself, which could be that of either.
    pub only: Option<LengthUnit>,
    /// Whether it names x before y, and not which of them runs across.
    pub x_first: bool,
    /// What it says that a matrix cannot have.
    pub fault: Option<CornerFault>,
}

/// What a corner may say and a matrix cannot have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum CornerFault {
    /// One unit along the rows and another along the columns.
    TwoPlanUnits(LengthUnit, LengthUnit),
    /// x down the first column, or y across the first row.
    Transposed,
    /// Plan distances that count parts of a unit.
    PlanInParts(Scale),
    /// Parts of a unit in a place where they are not understood.
    PartsNotUnderstood,
    /// A second unit beside words that are not understood: only the first was.
    NotUnderstood(LengthUnit, LengthUnit),
}

impl CornerFault {
    pub(super) fn report(self, corner: &Cell<'_>, table: &Table, faults: &mut Faults) {
        let place = table.place(corner.row, corner.column);
        match self {
            Self::TwoPlanUnits(one, other) => faults.add(
                Fault::MixedUnits,
                place,
                format!("plan distances in {} and in {}: {}", one.name(), other.name(), quoted(corner.text)),
                "one unit for the distances of both headings",
                "Write the headings of one of them in the other's unit, or each heading with its own, such as 30 in.",
            ),
            Self::PlanInParts(scale) => faults.add(
                Fault::MixedUnits,
                place,
                format!("plan distances that count {scale}: {}", quoted(corner.text)),
                "a whole unit for the distances, as in ft / 16ths",
                "Write the plan's unit first, then that of the readings.",
            ),
            Self::PartsNotUnderstood => faults.add(
                Fault::MixedUnits,
                place,
                format!("parts of a unit in a corner that was not understood: {}", quoted(corner.text)),
                "two units with a stroke between them, as in ft / 16ths",
                "Write the plan's unit first, then that of the readings.",
            ),
            Self::NotUnderstood(plan, second) => faults.add(
                Fault::MixedUnits,
                place,
                format!(
                    "{}, of which {} was understood, and {} beside words that are not known",
                    quoted(corner.text),
                    plan.name(),
                    second.name()
                ),
                "two units, and whether the numbers run down or are heights: ft / in down",
                "Write the unit of the plan, then that of the readings, such as ft / in or ft / elevation in.",
            ),
            Self::Transposed => refuse_transposed(place, corner.text, faults),
        }
    }
}

/// Refuses words by which x runs down the first column or y across the first row.
pub(super) fn refuse_transposed(place: Place, text: &str, faults: &mut Faults) {
    faults.add(
        Fault::Layout,
        place,
        format!(
            "x down the first column, or y across the first row: {}",
            quoted(text)
        ),
        "x across the first row, y down the first column",
        "Turn the table over (paste it transposed), or call its axes by the other's name.",
    );
}

/// Words that a piece of a corner begins with where it speaks of the plan.
const PLAN_WORDS: [&str; 16] = [
    "x",
    "y",
    "plan",
    "grid",
    "spacing",
    "dist",
    "distance",
    "distances",
    "across",
    "along",
    "row",
    "rows",
    "column",
    "columns",
    "position",
    "positions",
];

/// Words that a unit of readings may stand beside, and that say nothing else of them than a matrix of readings does.
const BESIDE_READINGS: [&str; 14] = [
    "laser", "decimal", "decimals", "dec", "to", "from", "the", "floor", "line", "rod", "tape",
    "read", "rdg", "rdgs",
];

/// The units among some words. `in` before another unit is no inch: `in feet`.
fn units_in(words: &[&str]) -> Vec<LengthUnit> {
    let unit = |k: usize| words.get(k).and_then(|w| LengthUnit::from_word(w));
    let mut out = Vec::new();
    let mut k = 0;
    while k < words.len() {
        // `ft in` is one unit of two words, `feet and inches` of three.
        let joined = |count: usize| {
            let unit = words.get(k..k + count).map(|w| w.join("-"));
            unit.and_then(|w| LengthUnit::from_word(&w)) == Some(LengthUnit::FeetInches)
        };
        if let Some(count) = [2, 3].into_iter().find(|&count| joined(count)) {
            out.push(LengthUnit::FeetInches);
            k += count - 1;
        } else if words[k] != "in" || unit(k + 1).is_none() {
            out.extend(unit(k));
        }
        k += 1;
    }
    out
}

/// What a corner says one thing in each of: set apart by marks, and before `reading`, as in `grid in feet, readings in inches`,
/// where the mark may be an `and`.
fn pieces(text: &str) -> Vec<&str> {
    let mut out = Vec::new();
    for piece in text.split(['/', ',', ';', '\\', '|']) {
        let lower = piece.to_ascii_lowercase();
        let at = lower
            .rfind(" reading")
            .filter(|&at| piece.is_char_boundary(at));
        let (before, behind) = piece.split_at(at.unwrap_or_default());
        out.extend(
            [before.trim(), behind.trim()]
                .into_iter()
                .filter(|p| !p.is_empty()),
        );
    }
    out
}

/// A text whose fractions, `1/16`, `in/16`, hold together where its other marks part it.
fn with_fractions_kept(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for (i, c) in text.char_indices() {
        let behind = &text[i + c.len_utf8()..];
        let digits: String = behind.chars().take_while(char::is_ascii_digit).collect();
        let part = matches!(
            digits.as_str(),
            "2" | "4" | "8" | "10" | "16" | "32" | "64" | "100"
        );
        // `ft/16ths` are two units, `1/16ths` is one.
        let ordinal = behind[digits.len()..].starts_with(['t', 'n', 'T', 'N']);
        let top = text[..i].ends_with(|c: char| c.is_ascii_digit());
        let part = part && (top || !ordinal);
        out.push(if c == '/' && part { '\u{2044}' } else { c });
    }
    out
}

/// The words of a piece, and its unit.
fn named_unit(piece: &str) -> (String, Option<LengthUnit>, Option<Scale>) {
    match scaled_heading(piece) {
        Some((words, scale)) => (words, Some(scale.unit), Some(scale)),
        None => {
            let (words, unit) = split_unit(piece);
            (words, unit, None)
        }
    }
}

/// The unit that words begin with, its parts where they are counted, and the words behind it: `in down`, `ft in (down)`, `16ths down`.
fn leading(piece: &str, words: &[&str]) -> Option<(String, LengthUnit, Option<Scale>)> {
    let whole = || leading_unit(piece, words).map(|(behind, unit)| (behind, unit, None));
    let parts = || leading_scale(words).map(|(behind, s)| (behind, s.unit, Some(s)));
    whole().or_else(parts)
}

/// A unit that words begin with, and the words behind it: `in down`, `ft in (down)`.
fn leading_unit(piece: &str, words: &[&str]) -> Option<(String, LengthUnit)> {
    if let [unit] = units_in(words)[..] {
        let own = |w: &&&str| LengthUnit::from_word(w).is_some() || matches!(**w, "and" | "&");
        let count = words.iter().take_while(own).count();
        return (count > 0 && count < words.len()).then(|| (words[count..].join(" "), unit));
    }
    // `in.` and `in,down` hold marks of their own.
    let (first, behind) = piece.split_once(|c: char| !c.is_alphanumeric())?;
    let unit = LengthUnit::from_word(&first.to_lowercase())?;
    let rest = tidy(&behind.to_lowercase());
    (units_in(words).len() < 2 && !rest.is_empty()).then_some((rest, unit))
}

/// Parts of a unit that words begin with, and the words behind them: `16ths down`, `1/16 in drop`.
fn leading_scale(words: &[&str]) -> Option<(String, Scale)> {
    (1..words.len()).rev().find_map(|count| {
        let (first, behind) = words.split_at(count);
        Some((behind.join(" "), scale(&first.join(" "))?))
    })
}

/// Which way an axis runs on a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Runs {
    Across,
    Down,
}

impl PlanAxis {
    /// The way it runs in a matrix.
    const fn own_way(self) -> Runs {
        match self {
            Self::X => Runs::Across,
            Self::Y => Runs::Down,
        }
    }
}

/// The axes that some words name, in their order, each with the way they say it runs: `x across`, `rows = y`, `X \u{2193} Y \u{2192}`. What the first column
/// is headed by runs down: `from left wall`.
fn axes_of(text: &str) -> Vec<(PlanAxis, Option<Runs>)> {
    let lower = text
        .to_lowercase()
        .replace(['\u{2193}', '\u{21d3}'], " down ")
        .replace(['\u{2192}', '\u{21d2}'], " across ");
    let mut out: Vec<(PlanAxis, Option<Runs>)> = Vec::new();
    for piece in pieces(&lower) {
        axes_in(piece, &mut out);
    }
    if out.is_empty() {
        let from = from_wall(&split_unit(text).0).map(|from| (from.axis, Some(Runs::Down)));
        out.extend(from);
    }
    out
}

/// The same of one piece of them, in which the way stands before each axis, `rows x`, or behind it, `x (ft) down`.
fn axes_in(piece: &str, out: &mut Vec<(PlanAxis, Option<Runs>)>) {
    let split = |c: char| !c.is_alphanumeric();
    let words: Vec<&str> = piece.split(split).filter(|w| !w.is_empty()).collect();
    let between = |w: &&&str| {
        LengthUnit::from_word(w).is_some()
            || matches!(**w, "in" | "is" | "are" | "runs" | "the" | "axis")
    };
    let way = |w: &&str| match *w {
        "across" | "column" | "columns" | "col" | "cols" | "horizontal" => Some(Runs::Across),
        "down" | "row" | "rows" | "vertical" => Some(Runs::Down),
        _ => None,
    };
    let at: Vec<usize> = (0..words.len())
        .filter(|&k| axis(words[k]).is_some())
        .collect();
    let before = at
        .first()
        .is_some_and(|&k| words[..k].iter().any(|w| way(w).is_some()));
    for k in at {
        let told = if before {
            words[..k].iter().rev().find(|w| !between(w))
        } else {
            words[k + 1..].iter().find(|w| !between(w))
        };
        out.extend(axis(words[k]).map(|axis| (axis, told.and_then(way))));
    }
}

/// Whether words over a matrix say that x runs down its first column or y across its first row.
pub(super) fn are_transposed(text: &str) -> bool {
    let axes = axes_of(text);
    // One axis alone, `x down`, may be a remark of something else.
    axes.len() == 2
        && axes
            .iter()
            .all(|(axis, runs)| runs.is_some_and(|r| r != axis.own_way()))
}

/// Whether words may say which way the axes of a table run.
pub(super) fn may_turn_axes(text: &str) -> bool {
    const WAYS: [&str; 14] = [
        "across",
        "down",
        "along",
        "top",
        "side",
        "row",
        "rows",
        "column",
        "columns",
        "col",
        "cols",
        "vertical",
        "horizontal",
        "axis",
    ];
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    let ways = words.iter().any(|w| WAYS.contains(w));
    let arrows = text.contains(['\u{25bc}', '\u{25ba}', '\u{25b6}', '\u{2193}', '\u{2192}']);
    let named = words
        .iter()
        .any(|w| axis(w).is_some() || matches!(*w, "easting" | "northing" | "wall"));
    (ways || arrows) && named
}

/// Whether words say that both axes run as a table's own do, `y down, x across`.
pub(super) fn run_as_own(text: &str) -> bool {
    let axes = axes_of(text);
    axes.len() == 2
        && axes
            .iter()
            .all(|(axis, runs)| *runs == Some(axis.own_way()))
}

/// What a corner's text states.
pub(super) fn corner(text: &str) -> Corner {
    let mut out = Corner::default();
    let (mut bare, mut plans) = (Vec::new(), Vec::new());
    let mut unknown = None;
    for piece in pieces(&with_fractions_kept(text)) {
        let piece = without_closeness(piece);
        let lower = piece.to_lowercase();
        let words: Vec<&str> = lower
            .split(|c: char| c.is_whitespace() || matches!(c, '_' | ':' | '(' | ')' | '[' | ']'))
            .filter(|w| !w.is_empty())
            .collect();
        // `ft`, `(ft)`, and `in ft` as well.
        let behind = lower.strip_prefix("in ").unwrap_or_default();
        if let Some(unit) = unit_or_scale(piece).or_else(|| unit_or_scale(behind)) {
            bare.push(unit);
            continue;
        }
        // `y_ft down`, `x (ft)`, `grid in feet`: an axis with its unit anywhere behind it.
        if let [axis, rest @ ..] = &words[..]
            && PLAN_WORDS.contains(axis)
        {
            plans.extend(units_in(rest));
            out.fault = out
                .fault
                .or(scale(&rest.join(" ")).map(CornerFault::PlanInParts));
            continue;
        }
        let (mut said_words, mut unit, mut scale) = named_unit(piece);
        let mut by_words = said(piece, true).only();
        if unit.is_none()
            && let Some((behind, first, parts)) = leading(piece, &words)
        {
            (unit, scale) = (Some(first), parts);
            by_words = by_words.or(said(&behind, true).only());
            said_words = behind;
        }
        let words = said_words;
        let named = meaning(&words);
        let told = named.or(by_words);
        out.loose |= out.meaning.is_none() && named.is_none() && by_words.is_some();
        out.meaning = out.meaning.or(told);
        out.said = out.said.or(said_meaning(&words));
        out.in_words = out.in_words.or(meaning_in_words(&words));
        let plain = !words.is_empty() && words.split(' ').all(|w| BESIDE_READINGS.contains(&w));
        if (told.is_some() || plain) && out.reading.is_none() {
            out.reading = unit;
            out.scale = scale;
        } else if told.is_none() {
            unknown = unknown.or(unit);
        }
    }
    // `ft / in error`: with the first unit alone the readings would be taken in it.
    if let ([(plan, _)], None, Some(second)) = (&bare[..], out.reading, unknown) {
        out.fault = out
            .fault
            .or(Some(CornerFault::NotUnderstood(*plan, second)));
    }
    // Two bare units are plan and reading, in that order, or both of the plan where the reading's is told; one alone is that of the
    // plan where the reading's is told, and else could be either and is not used.
    match (&bare[..], out.reading) {
        // Nobody lays a grid in parts of an inch.
        ([(unit, Some(scale))], None) => (out.reading, out.scale) = (Some(*unit), Some(*scale)),
        ([(unit, None)], None) => out.only = Some(*unit),
        ([(unit, scale)], Some(_)) => {
            plans.push(*unit);
            out.fault = out.fault.or(scale.map(CornerFault::PlanInParts));
        }
        _ => {}
    }
    if let [(first, of_first), (second, of_second)] = bare[..] {
        plans.push(first);
        out.fault = out.fault.or(of_first.map(CornerFault::PlanInParts));
        match out.reading {
            None => (out.reading, out.scale) = (Some(second), of_second),
            Some(_) => plans.push(second),
        }
    }
    // Sixteenths that no unit was understood of would be taken for whole ones.
    if out.scale.is_none() && out.fault.is_none() && names_parts(text) {
        out.fault = Some(CornerFault::PartsNotUnderstood);
    }
    let axes = axes_of(text);
    if axes
        .iter()
        .any(|(axis, runs)| runs.is_some_and(|r| r != axis.own_way()))
    {
        out.fault = Some(CornerFault::Transposed);
    }
    out.x_first = matches!(axes[..], [(PlanAxis::X, None), (PlanAxis::Y, None)]);
    out.plan = plans.first().copied();
    if let [one, rest @ ..] = &plans[..]
        && let Some(other) = rest.iter().find(|u| *u != one)
    {
        out.fault = Some(CornerFault::TwoPlanUnits(*one, *other));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_corner_cell_states_units_and_meaning() {
        // ORACLE: hand.
        use LengthUnit::{Foot, Inch, Millimetre};
        assert_eq!(corner("ft / in").plan, Some(Foot));
        assert_eq!(corner("ft / in").reading, Some(Inch));
        assert_eq!((corner("in").plan, corner("in").reading), (None, None));
        assert_eq!(corner("in").only, Some(Inch));
        let c = corner("plan ft, elevation mm");
        assert_eq!(
            (c.plan, c.reading, c.meaning),
            (Some(Foot), Some(Millimetre), Some(Meaning::Elevation))
        );
        assert_eq!(corner("y\\x"), Corner::default());
        let c = corner("reading_in, y_ft down, x_ft across");
        assert_eq!((c.plan, c.reading), (Some(Foot), Some(Inch)));
    }

    #[test]
    fn how_closely_was_read_is_no_unit() {
        // ORACLE: hand. The second unit is that of the readings, whole; what is behind it says how fine the rule was.
        use LengthUnit::{Foot, Inch, Millimetre};
        for (text, reading) in [
            ("ft / in (nearest 1/16)", Inch),
            ("ft / in (to the nearest 1/16 in)", Inch),
            ("ft / in, to nearest 1/8", Inch),
            ("ft / in nearest 1/16\"", Inch),
            ("ft / in [rounded to 1/16]", Inch),
            ("ft / mm (accuracy 1 mm)", Millimetre),
        ] {
            let c = corner(text);
            assert_eq!(
                (c.plan, c.reading, c.scale, c.fault),
                (Some(Foot), Some(reading), None, None),
                "{text}"
            );
        }
        let counted = corner("ft / 16ths (nearest)");
        assert!(counted.scale.is_some_and(|s| s.unit == Inch), "{counted:?}");
    }

    #[test]
    fn a_second_unit_is_read_with_its_word() {
        // ORACLE: hand. The first unit is of the plan, the second of the readings, whose word says which way they run.
        use LengthUnit::{Centimetre, Foot, Inch, Metre, Millimetre};
        use Meaning::{Down, Elevation, Up};
        for (text, plan, reading, meaning) in [
            ("ft / in down", Foot, Inch, Down),
            ("ft / in (down)", Foot, Inch, Down),
            ("ft / in drop", Foot, Inch, Down),
            ("ft / in up", Foot, Inch, Up),
            ("ft / in below line", Foot, Inch, Down),
            ("ft / in elev", Foot, Inch, Elevation),
            ("ft / in Height", Foot, Inch, Elevation),
            ("ft / in z", Foot, Inch, Elevation),
            ("m / cm down", Metre, Centimetre, Down),
            ("m / mm elev", Metre, Millimetre, Elevation),
        ] {
            let c = corner(text);
            let told = (c.plan, c.reading, c.meaning, c.fault);
            assert_eq!(
                told,
                (Some(plan), Some(reading), Some(meaning), None),
                "{text}"
            );
        }
        for text in [
            "ft / in laser",
            "ft / in decimal",
            "ft / in to floor",
            "ft / decimal in",
        ] {
            let c = corner(text);
            assert_eq!(
                (c.plan, c.reading, c.fault),
                (Some(Foot), Some(Inch), None),
                "{text}"
            );
        }
        for text in ["ft / in fill", "ft / in error", "ft / in slope"] {
            let wanted = Some(CornerFault::NotUnderstood(Foot, Inch));
            assert_eq!(corner(text).fault, wanted, "{text}");
        }
    }

    #[test]
    fn parts_of_a_unit_are_read_with_their_word() {
        // ORACLE: hand. 502 sixteenths are 31 3/8 in, read down.
        for text in [
            "ft / 16ths down",
            "ft / 1/16 in down",
            "ft / down 16ths",
            "ft, 16ths drop",
        ] {
            let c = corner(text);
            let told = (c.plan, c.reading, c.meaning, c.fault);
            let want = (
                Some(LengthUnit::Foot),
                Some(LengthUnit::Inch),
                Some(Meaning::Down),
                None,
            );
            assert_eq!(told, want, "{text}");
            assert_eq!(c.scale, corner("ft / 16ths").scale, "{text}");
        }
    }

    #[test]
    fn in_before_another_unit_is_no_inch() {
        // ORACLE: hand. The words as a person reads them.
        use LengthUnit::{Centimetre, FeetInches, Foot, Inch, Metre, Millimetre};
        for (text, plan, reading) in [
            ("x in feet, y in feet, reading in inches", Foot, Inch),
            ("grid in feet, readings in inches", Foot, Inch),
            ("Grid in metres, readings in mm", Metre, Millimetre),
            ("readings in mm, distances in cm", Centimetre, Millimetre),
            ("Spacing: in ft; Readings: mm", Foot, Millimetre),
            ("x in, y in, reading in", Inch, Inch),
            ("in ft / in mm", Foot, Millimetre),
            ("Grid in feet and readings in inches", Foot, Inch),
            ("plan in feet and inches, reading in", FeetInches, Inch),
        ] {
            let c = corner(text);
            assert_eq!((c.plan, c.reading), (Some(plan), Some(reading)), "{text}");
            assert_eq!(c.fault, None, "{text}");
        }
        // Which of two is meant, nobody can tell.
        let two = corner("grid in feet, inches in brackets; grid in m in cm");
        assert!(two.fault.is_some());
        assert_eq!(corner("sizes in feet, marks in inches"), Corner::default());
    }

    #[test]
    fn a_corner_that_a_matrix_cannot_have_is_told() {
        // ORACLE: hand.
        use LengthUnit::{Centimetre, Foot, Inch, Metre};
        for (text, first, second) in [
            ("y_in, x_ft, reading_in", Inch, Foot),
            ("x_ft, y_in, reading_in", Foot, Inch),
            ("y (in) / x (ft) / reading (in)", Inch, Foot),
            ("in, ft; reading in", Inch, Foot),
            ("y_cm, x_m, reading_mm", Centimetre, Metre),
        ] {
            let wanted = Some(CornerFault::TwoPlanUnits(first, second));
            assert_eq!(corner(text).fault, wanted, "{text}");
        }
        for text in [
            "x (m) down, y (m) across, reading (mm)",
            "y_ft across",
            "X \u{2193} Y \u{2192} (ft)",
            "rows x, cols y, ft",
            "from left wall (ft)",
        ] {
            assert_eq!(corner(text).fault, Some(CornerFault::Transposed), "{text}");
        }
        for (text, first) in [
            ("x_ft, y_ft, reading_in", true),
            ("x \\ y (ft)", true),
            ("y_ft, x_ft, reading_in", false),
            ("y_ft, x_ft, down_in", false),
            ("x_ft across, y_ft down", false),
            ("x in feet, y in feet, reading in inches", true),
        ] {
            assert_eq!(
                (corner(text).x_first, corner(text).fault),
                (first, None),
                "{text}"
            );
        }
        for (text, transposed) in [
            ("Across: y (ft), down: x (ft)", true),
            ("x runs down, y runs across", true),
            ("Columns are y, rows are x", true),
            ("Across: x, down: y", false),
            ("x down", false),
            ("Readings taken down from the laser", false),
        ] {
            assert_eq!(are_transposed(text), transposed, "{text}");
        }
        for text in [
            "y_ft down, x_ft across, reading_in",
            "x_ft, y_ft, reading_in",
            "ft / ft",
        ] {
            assert_eq!(corner(text).fault, None, "{text}");
        }
    }
}
