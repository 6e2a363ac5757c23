//! Words on a sheet that the instrument was moved: what was read before and after is not read down from one line.

mod grammar;
mod spelling;
mod vocabulary;

use super::error::{Fault, Faults, quoted};
use crate::survey::Place;
use grammar::{denied, holds_now, of_clause, put_off, sighted};
use spelling::plain;
use std::collections::BTreeSet;
use vocabulary::{Noun, noun};

/// Refuses such words between readings, where nothing says which of them are from which set-up.
pub(super) fn refuse_between(place: Place, text: &str, faults: &mut Faults) {
    faults.add(
        Fault::Layout,
        place,
        format!("{}, between readings", quoted(text)),
        "readings from one set-up, or a column set-up",
        "If the instrument was moved here, add a column headed set-up with each set-up's name in every row, and have a mark or more in both. If not, take the row out.",
    );
}

/// How sure words say it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Sure {
    /// They may say so: told.
    Likely,
    /// So they do: refused between readings.
    Sure,
}

/// What words say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Says {
    /// Which set-up or instrument is spoken of, `2nd setup`, `tripod 2`.
    Which(Sure),
    /// The first of them: no other.
    First,
    /// That something of it changed, or that there are several.
    Change(Sure),
}

/// Whether words say that the instrument stands somewhere else from here on: `2nd setup`, `(moved laser)`, `9:45 AM new set-up`, `tripod 2`.
/// Words that deny it, `same setup`, `laser not moved`, say the contrary.
pub(super) fn says_moved(text: &str) -> bool {
    matches!(
        said(text),
        Some(Says::Which(Sure::Sure) | Says::Change(Sure::Sure) | Says::First)
    )
}

/// Whether words beside or below readings may say that the instrument was moved while they were taken.
pub(super) fn may_say_moved(text: &str) -> bool {
    matches!(said(text), Some(Says::Which(_) | Says::Change(_)))
}

/// The same of words between the readings of one table: there those of a levelling book, `BS`, `HI 41.25`, begin another set-up too.
pub(super) fn may_say_moved_between(text: &str) -> bool {
    if !text.contains(char::is_alphabetic) {
        return false;
    }
    let plain = plain(text);
    let words = plain.split(|c: char| !(c.is_alphanumeric() || c == '/'));
    let words: Vec<&str> = words.filter(|w| !w.is_empty()).collect();
    sighted(&words) || may_say_moved(text)
}

/// Whether words above readings may: there `Setup 2` tells from which one they were taken.
pub(super) fn may_say_moved_above(text: &str) -> bool {
    matches!(said(text), Some(Says::Change(_)))
}

/// Whether a word names an instrument and little else: `laser`, `tripod`.
pub(super) fn names_an_instrument(word: &str) -> bool {
    noun(word) == Some(Noun::Instrument)
}

/// Marks that part what words say.
const ENDS: [char; 10] = ['(', ')', ';', ',', ':', '\n', '!', '?', '[', ']'];

fn said(text: &str) -> Option<Says> {
    // Most cells are numbers.
    if !text.contains(char::is_alphabetic) {
        return None;
    }
    let text = plain(text);
    let clauses: Vec<(Vec<&str>, char)> = text
        .split_inclusive(ENDS)
        .map(|clause| {
            let end = clause.chars().next_back().filter(|c| ENDS.contains(c));
            let words = clause.split(|c: char| !(c.is_alphanumeric() || c == '#' || c == '/'));
            let words = words.filter(|w| !w.is_empty()).collect();
            (words, end.unwrap_or_default())
        })
        .filter(|(words, _): &(Vec<_>, _)| !words.is_empty())
        .collect();
    let answered = |i: usize| {
        let next = clauses.get(i + 1).map_or(&[][..], |(words, _)| words);
        is_no(next, clauses[i].1)
    };
    let mut found: Vec<Says> = (0..clauses.len())
        .filter(|&i| !answered(i))
        .filter_map(|i| of_clause(&clauses[i].0))
        .collect();
    let all: Vec<&str> = clauses.iter().flat_map(|c| &c.0).copied().collect();
    let likely = several(&all) || amount(&all) || holds_now(&all) || put_off(&all);
    found.extend(likely.then_some(Says::Change(Sure::Likely)));
    let rank = |says: &Says| match says {
        Says::First => (0, Sure::Likely),
        Says::Which(sure) => (1, *sure),
        Says::Change(sure) => (2, *sure),
    };
    found.into_iter().max_by_key(rank)
}

/// Whether words answer those before them with no: `Tripod moved? no`, `Laser moved: N`, `moved, not`.
fn is_no(words: &[&str], before: char) -> bool {
    let no = |w: &&&str| matches!(**w, "no" | "nope" | "not" | "never" | "none" | "n" | "nein");
    let asked = matches!(before, '?' | ':');
    words
        .first()
        .filter(no)
        .is_some_and(|_| asked || words.len() == 1)
}

/// Whether words name several set-ups: `two setups`, `Setup 1: rows 1-2, Setup 2: rows 3-4`, `HI1 = 40, HI2 = 41`.
fn several(words: &[&str]) -> bool {
    let many = |w: &str| {
        matches!(
            w,
            "2" | "two" | "both" | "3" | "three" | "several" | "multiple"
        )
    };
    let places = |w: &str| {
        matches!(
            w,
            "setups" | "positions" | "stations" | "lasers" | "tripods" | "instruments"
        )
    };
    let spots = |w: &str| matches!(w, "spots" | "places" | "locations" | "heights");
    let plural = (0..words.len().saturating_sub(1)).any(|i| {
        let next = words[i + 1];
        let of = words.get(i + 2).copied().unwrap_or_default();
        let shot =
            i > 1 && words[i - 1] == "from" && matches!(words[i - 2], "shot" | "read" | "taken");
        many(words[i])
            && (places(next)
                || noun(next) == Some(Noun::Instrument) && (places(of) || spots(of))
                || shot && spots(next))
    });
    let numbered: BTreeSet<&str> = words
        .windows(2)
        .filter(|w| {
            matches!(
                w[0],
                "setup" | "laser" | "hinst" | "tripod" | "position" | "instrument"
            )
        })
        .map(|w| w[1].trim_start_matches('#'))
        .filter(|n| matches!(*n, "1" | "2" | "3" | "4" | "a" | "b" | "c" | "i" | "ii"))
        .collect();
    plural || numbered.len() > 1
}

/// Whether words put right what was read in some rows by an amount: `add 1 1/4 to rows 1-2`, `rows 3-4 are 1 1/4 high`.
fn amount(words: &[&str]) -> bool {
    let of = |list: &[&str]| words.iter().any(|w| list.contains(w));
    let number = |w: &&&str| w.starts_with(|c: char| c.is_ascii_digit());
    // `all below`, `everything above`, `the rest`.
    let from_here = words.windows(2).any(|w| {
        matches!(
            w,
            ["from", "here" | "now" | "there"] | ["here", "on" | "onward" | "onwards"]
        )
    });
    let on = of(&["rest", "remaining", "remainder"])
        || from_here
        || of(&["below", "above", "after", "following"])
            && of(&["all", "everything", "readings", "these", "those"]);
    let lines = of(&["rows", "columns", "cols"]) || of(&["row", "column", "col"]) || on;
    let plural = of(&["rows", "columns", "cols"]) || of(&["everything", "all"]) && on;
    let put_right = of(&[
        "add",
        "added",
        "subtract",
        "subtracted",
        "deduct",
        "deducted",
        "correction",
        "correct",
        "minus",
        "plus",
    ]);
    let says = of(&[
        "are",
        "is",
        "read",
        "reads",
        "were",
        "all",
        "by",
        "shot",
        "everything",
    ]);
    let off = plural && says && of(&["high", "low", "higher", "lower", "off"]);
    let material = of(&["bag", "bags", "gal", "lb", "lbs", "kg", "mix"]);
    // Those of the rows, and the amount.
    let numbers = words.iter().filter(number).count();
    let fraction = words.iter().any(|w| w.contains('/') && w.len() > 2);
    lines
        && !material
        && (put_right || off)
        && (numbers > 2 || fraction)
        && !denied(words, 0, words.len() - 1)
}

#[cfg(test)]
mod tests;
