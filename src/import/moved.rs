//! Words on a sheet that the instrument was moved: what was read before and after is not read down from one line.

mod vocabulary;

use super::error::{Fault, Faults, quoted};
use crate::survey::Place;
use crate::units::LengthUnit;
use std::collections::BTreeSet;
use vocabulary::{
    BETWEEN, DENIES, INSTRUMENTS, LOOSE, NO_INSTRUMENT, OF_ELSE, OTHER, PLAINLY, VERBS,
};

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

/// Whether words above readings may: there `Setup 2` tells from which one they were taken.
pub(super) fn may_say_moved_above(text: &str) -> bool {
    matches!(said(text), Some(Says::Change(_)))
}

/// Enough words to find it in: longer texts are looked through up to here.
const MOST_CHARACTERS: usize = 400;
/// Words that may stand between the instrument and what was done to it.
const MOST_BETWEEN: usize = 4;

fn said(text: &str) -> Option<Says> {
    // Most cells are numbers.
    if !text.contains(char::is_alphabetic) {
        return None;
    }
    let text = plain(text);
    let clauses: Vec<Vec<&str>> = text
        .split(['(', ')', ';', ',', ':', '\n', '!', '?', '['])
        .map(|clause| {
            let words = clause.split(|c: char| !(c.is_alphanumeric() || c == '#' || c == '/'));
            words.filter(|w| !w.is_empty()).collect::<Vec<_>>()
        })
        .filter(|words| !words.is_empty())
        .collect();
    let mut found: Vec<Says> = clauses.iter().filter_map(|c| of_clause(c)).collect();
    let all: Vec<&str> = clauses.iter().flatten().copied().collect();
    found.extend((several(&all) || amount(&all)).then_some(Says::Change(Sure::Likely)));
    let rank = |says: &Says| match says {
        Says::First => (0, Sure::Likely),
        Says::Which(sure) => (1, *sure),
        Says::Change(sure) => (2, *sure),
    };
    found.into_iter().max_by_key(rank)
}

/// Lower-case words, with what is written in several ways written in one.
fn plain(text: &str) -> String {
    let text: String = text.chars().take(MOST_CHARACTERS).collect();
    let mut out = String::with_capacity(text.len());
    for word in text.split_inclusive(|c: char| !(c.is_alphanumeric() || c == '.' || c == '/')) {
        let bare = word.trim_end_matches(|c: char| !c.is_alphanumeric());
        // In capitals: a height of instrument, a backsight; `hi spot` is a high one.
        let (head, digits) =
            bare.split_at(bare.trim_end_matches(|c: char| c.is_ascii_digit()).len());
        let short = match head {
            "HI" | "H.I" | "H/I" => "hinst",
            "BS" | "B.S" => "bsight",
            "B.M" | "BM" => "bm",
            "S/U" | "SU" | "s/u" => "setup",
            _ => {
                out.push_str(&word.to_lowercase());
                continue;
            }
        };
        out.push_str(&format!("{short} {digits}{}", &word[bare.len()..]));
    }
    let mut out = out.replace(['\u{2019}', '\''], "");
    for (from, to) in [
        ("set-up", "setup"),
        ("set up", "setup"),
        ("re-", "re"),
        ("re set", "reset"),
        ("re shot", "reshot"),
        ("height of instrument", "hinst"),
        ("no. ", "#"),
        ("auto level", "autolevel"),
        ("auto-level", "autolevel"),
    ] {
        out = out.replace(from, to);
    }
    out
}

/// What the words between two marks of punctuation say.
fn of_clause(words: &[&str]) -> Option<Says> {
    let has = |of: &[&str]| words.iter().any(|w| of.contains(w));
    let changed = (0..words.len()).filter_map(|i| change_at(words, i)).max();
    if let Some(sure) = changed {
        return Some(Says::Change(sure));
    }
    if let Some(sure) = by_itself(words) {
        return Some(Says::Change(sure));
    }
    let other = (0..words.len()).filter_map(|i| other_at(words, i)).max();
    let which = other.or_else(|| counted(words));
    if let Some(sure) = which {
        // `rows 3-4 shot from 2nd setup` says more than which one it was.
        let part = has(&["from", "after", "since", "rows", "row", "then", "on"]);
        return Some(if part {
            Says::Change(sure)
        } else {
            Says::Which(sure)
        });
    }
    let first = words.windows(2).any(|w| {
        w[0] == "setup" && matches!(w[1], "1" | "a" | "i" | "#1")
            || w[1] == "setup" && matches!(w[0], "1st" | "first")
    });
    (first && !denied(words, 0, words.len() - 1)).then_some(Says::First)
}

/// Whether words around a span deny what it says.
fn denied(words: &[&str], from: usize, to: usize) -> bool {
    let near = from.saturating_sub(3)..(to + 2).min(words.len());
    words[near].iter().any(|w| DENIES.contains(w))
}

/// The next word from one on, past those that may stand between.
fn past_between(words: &[&str], from: usize) -> Option<usize> {
    (from..words.len().min(from + MOST_BETWEEN + 1)).find(|&k| {
        let counts = words[k].trim_start_matches('#').parse::<u32>().is_ok();
        !BETWEEN.contains(&words[k]) && !counts
    })
}

/// How surely the word at a place names the instrument.
fn instrument_at(words: &[&str], i: usize) -> Option<Sure> {
    let word = words[i];
    let (before, behind) = (
        i.checked_sub(1).map_or("", |k| words[k]),
        words.get(i + 1).copied().unwrap_or_default(),
    );
    if INSTRUMENTS.contains(&word) {
        let none = word == "hinst" && NO_INSTRUMENT.contains(&behind);
        return (!none).then_some(Sure::Sure);
    }
    // `line 3` is one of a grid, and `line 1 in` one by an inch.
    let amount = words
        .get(i + 2)
        .is_some_and(|w| LengthUnit::from_word(w).is_some());
    let counts = !amount
        && behind
            .trim_start_matches('#')
            .starts_with(|c: char| c.is_ascii_digit());
    let other = NO_INSTRUMENT.contains(&behind) && behind != "here" && behind != "at";
    (LOOSE.contains(&word) && !other && !counts && !OF_ELSE.contains(&before))
        .then_some(Sure::Likely)
}

/// Something done to the instrument, `tripod got kicked`, `lowered the laser`, from the word at a place on.
fn change_at(words: &[&str], i: usize) -> Option<Sure> {
    let is_verb = |k: usize| VERBS.contains(&words[k]);
    let (instrument, verb, end) = if let Some(sure) = instrument_at(words, i)
        && let Some(k) = past_between(words, i + 1).filter(|&k| {
            is_verb(k) && words[k] != "different" || matches!(words[k], "shut" | "alarm" | "put")
        }) {
        (sure, words[k], k)
    } else if is_verb(i) || words[i] == "put" {
        // Words between may name it as well: `changed laser position`, `moved level`.
        let last = past_between(words, i + 1).map_or(words.len(), |k| k + 1);
        let named = (i + 1..last).filter_map(|k| Some((instrument_at(words, k)?, k)));
        let (sure, k) = named.max_by_key(|(sure, _)| *sure)?;
        let back = matches!(words.get(k + 1), Some(&("back" | "up" | "again")));
        if words[i] == "put" && !back {
            return None;
        }
        (sure, words[i], k)
    } else {
        return None;
    };
    if denied(words, i, end) {
        return None;
    }
    let plain = instrument == Sure::Sure
        || PLAINLY.contains(&verb)
            && (i..=end).any(|k| matches!(words[k], "level" | "line" | "station" | "beam"));
    let weak = matches!(
        verb,
        "shut" | "alarm" | "adjusted" | "settled" | "turned" | "put"
    );
    Some(if plain && !weak {
        Sure::Sure
    } else {
        Sure::Likely
    })
}

/// Another instrument or set-up, `new laser`, `second position`, from the word at a place on.
fn other_at(words: &[&str], i: usize) -> Option<Sure> {
    if !OTHER.contains(&words[i]) {
        return None;
    }
    let k = (i + 1..words.len().min(i + 3)).find(|&k| instrument_at(words, k).is_some())?;
    let between = (i + 1..k).all(|b| BETWEEN.contains(&words[b]) || OTHER.contains(&words[b]));
    let word = words[k];
    let counted = matches!(
        words[i],
        "second" | "2nd" | "third" | "3rd" | "next" | "4th" | "fourth"
    );
    let sure = match word {
        // Storeys, and what holds them.
        "level" | "beam" | "stand" => return None,
        "line" if counted => return None,
        "machine" if matches!(words[i], "new" | "next" | "another") => return None,
        "position" | "pos" if words[i] != "next" => Sure::Sure,
        _ => instrument_at(words, k)?,
    };
    (between && !denied(words, i, k)).then_some(sure)
}

/// `Laser #2`, `tripod 2`, `setup B`, `station 2`: counted instruments. `Level 2` is a storey, and `line 2` a line of the grid.
fn counted(words: &[&str]) -> Option<Sure> {
    const SHORT: usize = 5;
    let second = |w: &str| {
        matches!(
            w.trim_start_matches('#'),
            "2" | "3" | "4" | "b" | "c" | "ii" | "two" | "iii"
        )
    };
    let turning = words.windows(2).any(|w| w == ["turning", "point"])
        || matches!(words, ["tp" | "tp1" | "tp2" | "tp3"]);
    if turning {
        return Some(Sure::Sure);
    }
    // `Set up in hallway`.
    if let [
        "setup",
        "at" | "in" | "near" | "from" | "outside" | "inside",
        _,
        ..,
    ] = words
    {
        return Some(Sure::Likely);
    }
    (1..words.len()).find_map(|i| {
        let behind = words.get(i + 1).copied().unwrap_or_default();
        let amount = LengthUnit::from_word(behind).is_some()
            || behind.starts_with(|c: char| c.is_ascii_digit())
            || matches!(behind, "mw" | "class" | "beam" | "battery" | "batteries");
        // `laser pos B`.
        let k = if matches!(words[i - 1], "pos" | "position" | "#") && i > 1 {
            i - 2
        } else {
            i - 1
        };
        let sure = match words[k] {
            "setup" => Sure::Sure,
            "laser" | "instrument" | "tripod" | "rotary" | "hinst" if words.len() <= SHORT => {
                Sure::Sure
            }
            "position" | "pos" if words.len() <= 2 => Sure::Sure,
            "station" | "machine" if words.len() == 2 => Sure::Likely,
            _ if matches!(words[i - 1], "position" | "pos") && words.len() <= 2 => Sure::Sure,
            _ => return None,
        };
        (second(words[i]) && !amount && !words.contains(&"class") && !denied(words, k, i))
            .then_some(sure)
    })
}

/// Words that say it without the instrument's name: `reset`, `repositioned`, `shot from other room`, `set up again`.
fn by_itself(words: &[&str]) -> Option<Sure> {
    let pair = |a: &str, of: &[&str]| words.windows(2).any(|w| w[0] == a && of.contains(&w[1]));
    if denied(words, 0, words.len() - 1) {
        return None;
    }
    let others = [
        "other",
        "second",
        "2nd",
        "another",
        "different",
        "next",
        "two",
        "hall",
        "hallway",
        "kitchen",
        "door",
        "doorway",
        "corridor",
        "new",
    ];
    let to = |i: usize| {
        // `shot from the kitchen doorway`.
        let k = if matches!(words.get(i + 1), Some(&("the" | "a"))) {
            i + 2
        } else {
            i + 1
        };
        words.get(k).is_some_and(|w| others.contains(w))
    };
    let shot = |w: &str| matches!(w, "shot" | "reshot" | "retaken" | "reread" | "rest");
    let from = (1..words.len()).any(|i| words[i] == "from" && shot(words[i - 1]) && to(i));
    let after =
        words.first() == Some(&"reshot") && matches!(words.get(1), Some(&("after" | "with")));
    match words {
        ["reset"] | ["resetup", ..] | ["setup"] => Some(Sure::Sure),
        ["repositioned" | "relocated" | "releveled" | "relevelled" | "restarted" | "moved"]
        | ["moved", "it"]
        | ["after", "moving" | "move"]
        | ["new", "shot", "location"] => Some(Sure::Likely),
        _ if pair("setup", &["again", "twice", "over", "anew"]) => Some(Sure::Likely),
        _ if from || after => Some(Sure::Likely),
        // `laser at door from here`.
        _ if pair("from", &["here"]) && words.iter().any(|w| INSTRUMENTS.contains(w)) => {
            Some(Sure::Likely)
        }
        _ => None,
    }
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
                || INSTRUMENTS.contains(&next) && (places(of) || spots(of))
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
    let lines = of(&["rows", "columns", "cols"]) || of(&["row", "column", "col"]);
    let plural = of(&["rows", "columns", "cols"]);
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
    let says = of(&["are", "read", "reads", "were", "all", "by", "shot"]);
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
