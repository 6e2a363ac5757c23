//! Which remarks take a reading back. A remark is parted into clauses; one counts where all of its words speak of the reading, so that
//! `bad reading` and `ignore` do and `bad concrete` and `ignore crack` speak of the floor.

use super::vocabulary::{
    AGAIN, ASKED, BESIDE, CROSSED, DOUBTS, DOUBTS_IF_NAMED, HELD, HELD_BADLY, HELD_WELL, INSTEAD,
    LOOSE, NEGATIONS, PUT_ASIDE, PUT_RIGHT, READING, SEEMS, STANDS, UNDER_IT, WANTED, WHERE_OR_WHY,
    WRONG_OF,
};
use crate::units::LengthUnit;

/// Enough words to find it in: longer remarks are looked through up to here.
const MOST_CHARACTERS: usize = 400;

/// Whether a remark takes back the reading it stands beside, or doubts it.
pub(super) fn takes_back(text: &str) -> bool {
    // `??`
    let bare = text.trim();
    if bare.contains('?') && bare.chars().all(|c| c == '?' || c.is_whitespace()) {
        return true;
    }
    if !bare.contains(char::is_alphabetic) && !bare.contains('?') {
        return false;
    }
    let plain = plain(bare);
    let mut taken = false;
    for clause in clauses(&plain) {
        // `looked wrong, rechecked OK`.
        if taken && stands(&clause) {
            taken = false;
        } else {
            taken = taken || clause_takes_back(&clause);
        }
    }
    taken
}

/// The same of a line that stands beside no reading: it has to name one, or put something aside; `Estimate 22871` and `Check` are of the job.
pub(super) fn takes_one_back(text: &str) -> bool {
    const OTHER: [&str; 12] = [
        "it", "this", "that", "these", "those", "one", "ones", "all", "both", "last", "first",
        "line",
    ];
    let plain = plain(text);
    let all: Vec<&str> = clauses(&plain).into_iter().flatten().collect();
    let named = |w: &&str| {
        let name = is_name(w) && w.len() > 1;
        name || (READING.contains(w) && !OTHER.contains(w))
    };
    let aside = |w: &&str| PUT_ASIDE.contains(w) || NEGATIONS.contains(w);
    takes_back(text) && all.iter().any(|w| named(w) || aside(w))
}

/// Small letters; hyphens that join and apostrophes taken out, and what is written in several ways written in one.
fn plain(text: &str) -> String {
    let lower: String = text
        .chars()
        .take(MOST_CHARACTERS)
        .collect::<String>()
        .to_lowercase();
    let lower = lower.replace(['\'', '\u{2019}'], "");
    let mut out = String::with_capacity(lower.len());
    for word in lower.split_inclusive(char::is_whitespace) {
        let body = word.strip_prefix("re-").map(|rest| format!("re{rest}"));
        let body = body.or_else(|| word.strip_prefix("mis-").map(|rest| format!("mis{rest}")));
        out.push_str(body.as_deref().unwrap_or(word));
    }
    for (from, to) in [
        ("s/b", "should be"),
        ("double-check", "doublecheck"),
        ("do-over", "redo"),
        ("n.g.", "ng"),
        ("n/g", "ng"),
        ("crossed-out", "crossed out"),
        ("struck-out", "struck out"),
        ("can not", "cannot"),
    ] {
        out = out.replace(from, to);
    }
    out
}

/// The clauses of a remark, each in its words; a question mark is a word of its own.
fn clauses(plain: &str) -> Vec<Vec<&str>> {
    let marks = |c: char| {
        matches!(
            c,
            ',' | ';'
                | ':'
                | '('
                | ')'
                | '['
                | ']'
                | '!'
                | '\n'
                | '\u{2013}'
                | '\u{2014}'
                | '='
                | '"'
        )
    };
    let mut out: Vec<Vec<&str>> = vec![Vec::new()];
    for part in plain.split_inclusive(marks) {
        for word in part.split(char::is_whitespace) {
            let asks = word.contains('?');
            let dash = !word.is_empty() && word.chars().all(|c| c == '-' || marks(c));
            let stop = word.ends_with('.');
            let bare = word.trim_matches(|c: char| !(c.is_alphanumeric() || c == '/'));
            if dash || matches!(bare, "but" | "though" | "so" | "then") {
                out.push(Vec::new());
                continue;
            }
            let pieces = bare.split(['-', '/']).filter(|p| !p.is_empty());
            let fraction = bare.starts_with(|c: char| c.is_ascii_digit());
            if let Some(last) = out.last_mut() {
                match fraction {
                    true => last.push(bare),
                    false => last.extend(pieces),
                }
                last.extend(asks.then_some("?"));
            }
            if stop {
                out.push(Vec::new());
            }
        }
        if part.ends_with(marks) {
            out.push(Vec::new());
        }
    }
    out.retain(|clause| !clause.is_empty());
    out
}

fn is_number(word: &str) -> bool {
    word.starts_with(|c: char| {
        c.is_ascii_digit() || "\u{bc}\u{bd}\u{be}\u{215b}\u{215c}\u{215d}\u{215e}".contains(c)
    })
}

fn is_unit(word: &str) -> bool {
    LengthUnit::from_word(word).is_some()
}

/// The name of a mark, a row or a column: `c4`, `b`.
fn is_name(word: &str) -> bool {
    let letters = word.bytes().take_while(u8::is_ascii_alphabetic).count();
    (1..=2).contains(&letters)
        && (word.len() > letters || letters == 1)
        && word[letters..].bytes().all(|b| b.is_ascii_digit())
}

fn of_reading(word: &str) -> bool {
    READING.contains(&word) || is_name(word)
}

/// Whether a word may stand in a clause that speaks of a reading and of nothing else.
fn is_beside(word: &str) -> bool {
    of_reading(word)
        || BESIDE.contains(&word)
        || word == "?"
        || is_number(word)
        || (word.len() > 4 && word.ends_with("ly"))
}

/// `misread`, `miswritten`.
fn is_miss(word: &str) -> bool {
    const OF: [&str; 14] = [
        "read", "record", "writ", "wrote", "typ", "enter", "measur", "heard", "noted", "copi",
        "key", "plac", "shot", "shoot",
    ];
    let rest = word.strip_prefix("mis");
    rest.is_some_and(|rest| OF.iter().any(|stem| rest.starts_with(stem)))
}

fn stands(clause: &[&str]) -> bool {
    let has = |of: &[&str]| clause.iter().any(|w| of.contains(w));
    let known = |w: &&str| {
        is_beside(w)
            || STANDS.contains(w)
            || matches!(
                *w,
                "rechecked" | "checked" | "reread" | "reshot" | "remeasured" | "now" | "use"
            )
    };
    has(&STANDS) && !has(&NEGATIONS) && clause.iter().all(known)
}

fn clause_takes_back(clause: &[&str]) -> bool {
    held_badly(clause) || another_number(clause) || says_so(clause)
}

/// A clause all of whose words speak of the reading, and one of them against it.
fn says_so(whole: &[&str]) -> bool {
    let cut = whole.iter().position(|w| WHERE_OR_WHY.contains(w));
    let clause = &whole[..cut.unwrap_or(whole.len())];
    let has = |of: &[&str]| clause.iter().any(|w| of.contains(w));
    if let Some(k) = clause.iter().position(|w| NEGATIONS.contains(w)) {
        return not_wanted(clause, k);
    }
    // `Petra to recheck`.
    if let [.., "to", last] = clause
        && AGAIN.contains(last)
    {
        return true;
    }
    // A number alone counts something; `1?` asks.
    if let [first, .., "?"] = clause
        && is_number(first)
    {
        let rest = &clause[1..clause.len() - 1];
        return rest.iter().all(|w| is_number(w) || is_unit(w));
    }
    // `bad at door` is the floor there.
    let named = clause.iter().any(|w| of_reading(w));
    let number = clause.iter().any(|w| is_number(w));
    let against = has(&PUT_ASIDE)
        || asks_again(clause)
        || is_crossed(clause)
        || clause.iter().any(|w| is_miss(w))
        || whole == ["void"]
        || (has(&DOUBTS) && (cut.is_none() || named))
        || (has(&DOUBTS_IF_NAMED) && (named || has(&SEEMS) || (number && has(&["off"]))))
        || (number && has(&["reads", "reading"]) && has(&["high", "low"]));
    let of_what = has(&["wrong"]);
    let known = |w: &&str| {
        [
            &PUT_ASIDE[..],
            &DOUBTS,
            &DOUBTS_IF_NAMED,
            &AGAIN,
            &CROSSED,
            &SEEMS,
            &[
                "reread", "take", "shoot", "held", "measured", "through", "out", "over", "high",
                "low",
            ],
        ]
        .iter()
        .any(|list| list.contains(w))
            || is_beside(w)
            || is_miss(w)
            || is_unit(w)
            || (of_what && WRONG_OF.contains(w))
    };
    against && clause.iter().all(known)
}

/// Whether a clause, from its negation on, says that the reading is not wanted: `do not use for fill`, `not sure`.
fn not_wanted(clause: &[&str], negation: usize) -> bool {
    let wanted = |w: &&str| WANTED.contains(w) || *w == "read";
    let Some(k) = clause.iter().skip(negation).position(wanted) else {
        return false;
    };
    let behind = &clause[negation + k + 1..];
    let upto = behind.iter().position(|w| *w == "for");
    let about = clause[..negation + k]
        .iter()
        .chain(&behind[..upto.unwrap_or(behind.len())]);
    let known = |w: &&str| is_beside(w) || WANTED.contains(w) || NEGATIONS.contains(w);
    about.copied().all(|w| known(&w))
}

/// Whether a clause asks for another reading.
fn asks_again(clause: &[&str]) -> bool {
    let has = |of: &[&str]| clause.iter().any(|w| of.contains(w));
    has(&AGAIN)
        || clause.windows(2).any(|w| {
            w[1] == "again" && matches!(w[0], "shoot" | "read" | "measure" | "take" | "look")
        })
        || (has(&["reread"]) && has(&ASKED))
}

/// Whether a clause says that the reading was crossed out on paper, or is to be left out.
fn is_crossed(clause: &[&str]) -> bool {
    let ink = clause
        .iter()
        .position(|w| CROSSED.contains(w) || *w == "take");
    ink.is_some_and(|k| {
        let out = |w: &&str| {
            *w == "out" || (clause[k] != "take" && matches!(*w, "through" | "off" | "over"))
        };
        clause[k + 1..].iter().any(out) || matches!(clause[k], "xd" | "xed")
    })
}

/// What a reading is taken with, and how it stood: `rod upside down`, `rod on a hose`, `tape not plumb`.
fn held_badly(clause: &[&str]) -> bool {
    let Some(k) = clause.iter().position(|w| HELD.contains(w)) else {
        // `taken on a hose`, `on top of a cable`.
        let known = |w: &&str| {
            is_beside(w)
                || LOOSE.contains(w)
                || matches!(
                    *w,
                    "on" | "top" | "stood" | "held" | "set" | "standing" | "over" | "loose"
                )
        };
        let on = clause.iter().position(|w| matches!(*w, "on" | "over"));
        return on.is_some_and(|k| clause[k..].iter().any(|w| LOOSE.contains(w)))
            && clause.iter().all(known);
    };
    let has = |of: &[&str]| clause.iter().any(|w| of.contains(w));
    let rest = &clause[k + 1..];
    let stood = rest.windows(2).any(|w| {
        matches!(w[0], "on" | "in" | "off")
            && (UNDER_IT.contains(&w[1])
                || matches!(
                    w[1],
                    "a" | "the" | "top" | "some" | "plumb" | "mark" | "floor"
                ))
    });
    let on_it = stood && (has(&UNDER_IT) || rest.windows(2).any(|w| w[0] == "off"));
    match has(&NEGATIONS)
        || rest
            .windows(2)
            .any(|w| w == ["out", "of"] || w == ["off", "plumb"])
    {
        true => has(&HELD_WELL),
        false => {
            has(&HELD_BADLY)
                || on_it
                || (has(&["wrong"])
                    && clause.iter().all(|w| {
                        is_beside(w)
                            || HELD.contains(w)
                            || WRONG_OF.contains(w)
                            || *w == "wrong"
                            || *w == "held"
                    }))
        }
    }
}

/// Another number for the reading, or an amount to be added to it: `should be 41 1/8`, `not 40`, `add 1/4`.
fn another_number(clause: &[&str]) -> bool {
    let end = clause
        .iter()
        .rposition(|w| !(is_number(w) || is_unit(w) || *w == "?"));
    let Some(end) = end.filter(|end| clause.get(end + 1).is_some_and(|w| is_number(w))) else {
        return false;
    };
    let before = &clause[..=end];
    let led = INSTEAD
        .iter()
        .find(|lead| before.ends_with(lead))
        .map(|lead| lead.len());
    let led = led.or_else(|| PUT_RIGHT.contains(&before[end]).then_some(1));
    led.is_some_and(|n| before[..before.len() - n].iter().all(|w| is_beside(w)))
}

#[cfg(test)]
mod tests {
    use super::{takes_back, takes_one_back};

    // ORACLE: what a person takes from these remarks beside a reading.
    #[test]
    fn remarks_that_take_a_reading_back() {
        for text in [
            "do not use",
            "Don't use",
            "DO NOT USE!",
            "should be 41 1/8",
            "s/b 41 1/8",
            "I think this should be 41 1/8 in",
            "BAD - ignore",
            "bad",
            "bad reading",
            "ignore this one",
            "rod upside down",
            "rod was not plumb",
            "rod on a hose",
            "tape sagged",
            "misread",
            "mis-read",
            "misread?",
            "wrong",
            "wrong spot",
            "written down wrong",
            "redo",
            "re-shoot",
            "Reshoot this",
            "needs re-read",
            "suspect",
            "looks suspicious",
            "crossed out",
            "void",
            "void reading",
            "DNU",
            "could be off",
            "reads 1/4 high",
            "Petra to recheck",
            "stood on debris",
            "do not use for fill",
            "looks like 41 1/8",
            "digits swapped",
            "reading void",
            "check this one",
            "check",
            "check again",
            "double-check",
            "verify",
            "not sure",
            "can't read",
            "no good",
            "off by 1 in",
            "looks off",
            "C4 suspect",
            "ignore row 3",
            "B2 and C3 are wrong",
            "not 40 1/8",
            "41 1/8?",
            "??",
            "bad reading near drain",
            "wet; do not use",
            "throw out",
            "leave this one out",
            "struck out",
            "typo",
            "guessed",
            "not rechecked",
            "add 1/4",
            "disregard - rod slipped",
            "actually 41 1/8",
            "discard because laser beeped",
        ] {
            assert!(takes_back(text), "{text}");
        }
    }

    // ORACLE: what a person takes from these remarks: they speak of the floor, of what stands on it, or say that the reading is right.
    #[test]
    fn remarks_that_leave_a_reading_as_it_is() {
        for text in [
            "wet",
            "near door",
            "bad concrete",
            "bad spot",
            "bad at door",
            "bad crack here",
            "ignore crack",
            "void under slab",
            "check valve",
            "check door swing",
            "door should be 36 in wide",
            "should be level here",
            "rechecked",
            "checked",
            "checked, OK",
            "re-read, same",
            "looked wrong, rechecked OK",
            "suspect but confirmed",
            "not bad",
            "no error",
            "rod on floor",
            "rod at door",
            "do not grind",
            "scratch",
            "drop at door",
            "repeat of A1 tile",
            "low by 1/4 at door",
            "2 cracks here",
            "1/4 low",
            "wrong tile delivered",
            "re-read",
            "by JR",
            "5/12",
            "high spot",
            "hollow",
            "point A",
            "line 2",
            "6 in off wall",
            "or so",
            "3-4 boxes",
            "do not walk here",
            "second coat",
            "another drain",
            "check for moisture",
            "take off",
            "bad paint",
            "skip trowel finish",
            "second reading",
            "high?",
        ] {
            assert!(!takes_back(text), "{text}");
        }
    }

    // ORACLE: what a person takes from these lines above or below a table.
    #[test]
    fn lines_beside_no_reading_have_to_name_one() {
        for text in [
            "Ignore row 2",
            "C4 suspect",
            "B2 and C3 are wrong",
            "DO NOT USE",
            "Reading A3 misread",
        ] {
            assert!(takes_one_back(text), "{text}");
        }
        for text in ["Estimate", "Estimate 22871", "Check", "Redo", "Suspect"] {
            assert!(takes_back(text) || text.contains("22871"), "{text}");
            assert!(!takes_one_back(text), "{text}");
        }
    }
}
