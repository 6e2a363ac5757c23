//! What the words between two marks of punctuation say: a noun for the instrument and what was done to it, in either order; another or a counted
//! one; and phrases that need no noun.

use super::vocabulary::{
    BEFORE, BETWEEN, DENIES, DENIES_BEHIND, Done, NO_INSTRUMENT, Noun, OTHER, PLACES, done, noun,
};
use super::{Says, Sure};
use crate::units::LengthUnit;

/// Words that may stand between the instrument and what was done to it.
const MOST_BETWEEN: usize = 4;

pub(super) fn of_clause(words: &[&str]) -> Option<Says> {
    let has = |of: &[&str]| words.iter().any(|w| of.contains(w));
    let changed = (0..words.len()).filter_map(|i| change_at(words, i).max(state_at(words, i)));
    let changed = changed.max().or_else(|| by_itself(words));
    if let Some(sure) = changed.max(turning(words)) {
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
pub(super) fn denied(words: &[&str], from: usize, to: usize) -> bool {
    let any = from.saturating_sub(3)..(to + 2).min(words.len());
    let before = from.saturating_sub(3)..(to + 1).min(words.len());
    words[any].iter().any(|w| DENIES.contains(w))
        || words[before].iter().any(|w| DENIES_BEHIND.contains(w))
}

fn is_number(word: &str) -> bool {
    word.trim_start_matches('#')
        .starts_with(|c: char| c.is_ascii_digit())
}

/// Whether a word may stand between a noun and its verb: `the`, `was`, `accidentally`, a number.
fn is_between(word: &str) -> bool {
    let counts = word.trim_start_matches('#').parse::<u32>().is_ok();
    BETWEEN.contains(&word) || counts || (word.len() > 4 && word.ends_with("ly"))
}

/// The next word from one on, past those that may stand between.
fn past_between(words: &[&str], from: usize) -> Option<usize> {
    (from..words.len().min(from + MOST_BETWEEN + 1)).find(|&k| !is_between(words[k]))
}

/// What the word at a place names: the instrument, surely or among other things.
fn noun_at(words: &[&str], i: usize) -> Option<Noun> {
    let word = words[i];
    let before = i.checked_sub(1).map_or("", |k| words[k]);
    let behind = words.get(i + 1).copied().unwrap_or_default();
    let found = noun(word)?;
    if found == Noun::Instrument {
        let none = word == "hinst" && NO_INSTRUMENT.contains(&behind);
        return (!none).then_some(found);
    }
    // `line 3` is one of a grid, and `line 1 in` one by an inch.
    let amount = words
        .get(i + 2)
        .is_some_and(|w| LengthUnit::from_word(w).is_some());
    let counts = !amount && is_number(behind) && word != "hi";
    let in_floor = behind == "in"
        && matches!(
            words.get(i + 2),
            Some(&("slab" | "floor" | "concrete" | "tile"))
        );
    let other = in_floor || NO_INSTRUMENT.contains(&behind) && !matches!(behind, "here" | "at");
    let alone = before.is_empty()
        || found == Noun::Power
        || is_between(before)
        || is_number(before)
        || (before == "grade" && found == Noun::Held)
        || BEFORE.contains(&before)
        || OTHER.contains(&before)
        || noun(before).is_some()
        || done(before).is_some();
    (alone && !other && !counts).then_some(found)
}

/// Whether what a verb tells may have been done to what a noun names.
fn fits(noun: Noun, (done, told): (Done, bool)) -> bool {
    match noun {
        // `had to move the laser`, `laser change`; but `bump, laser at door`.
        Noun::Instrument => told || matches!(done, Done::Plainly | Done::Swapped),
        Noun::Loose => (told || done == Done::Plainly) && done != Done::Handled,
        Noun::Held => done == Done::Swapped && told,
        Noun::Power => done == Done::Swapped,
    }
}

/// Something done to the instrument, `tripod got kicked`, `lowered the laser`, from the word at a place on.
fn change_at(words: &[&str], i: usize) -> Option<Sure> {
    let (noun, verb, end) = if let Some(noun) = noun_at(words, i)
        && let Some(k) = past_between(words, i + 1)
        && words[k] != "different"
        && let Some(verb) = done(words[k]).filter(|v| fits(noun, *v))
    {
        // `level bump`, `line move` are things of the floor: told of, they are verbs.
        let told = verb.1 || matches!(noun, Noun::Instrument | Noun::Power);
        told.then_some((noun, verb.0, k))?
    } else {
        let put = words[i] == "put";
        let verb = done(words[i]).or(put.then_some((Done::Handled, true)))?;
        // Words between may name it as well: `changed laser position`, `moved level`.
        let last = past_between(words, i + 1).map_or(words.len(), |k| k + 1);
        let named = (i + 1..last).filter_map(|k| Some((noun_at(words, k)?, k)));
        let (noun, k) = named.min_by_key(|(noun, _)| *noun != Noun::Instrument)?;
        let back = matches!(words.get(k + 1), Some(&("back" | "up" | "again")));
        // `someone hit the legs`: they are the tripod's.
        let struck = matches!(words[i], "hit" | "struck" | "tripped")
            && matches!(words[k], "leg" | "legs" | "stand");
        if !(fits(noun, verb) || struck) || (put && !back) {
            return None;
        }
        (noun, verb.0, k)
    };
    if denied(words, i, end) {
        return None;
    }
    let plainly =
        (i..=end).any(|k| matches!(words[k], "level" | "line" | "station" | "beam" | "gun"));
    Some(match (noun, verb) {
        (_, Done::Weakly | Done::Handled) => Sure::Likely,
        (Noun::Instrument, _) => Sure::Sure,
        (Noun::Loose, Done::Plainly) if plainly => Sure::Sure,
        _ => Sure::Likely,
    })
}

/// Whether words give a value or a place of the instrument that holds from here on: `HI: 4.62 now`, `laser in hall now`.
pub(super) fn holds_now(words: &[&str]) -> bool {
    /// More words say something else as well.
    const FEW: usize = 8;
    let named = (0..words.len()).filter_map(|i| noun_at(words, i));
    let named = named.filter(|noun| matches!(noun, Noun::Instrument | Noun::Loose));
    let surely = named.clone().any(|noun| noun == Noun::Instrument);
    let from = words.windows(2).any(|w| {
        w[0] == "from" && matches!(w[1], "here" | "row" | "rows" | "now" | "this" | "there")
    });
    let number = words.iter().any(|w| is_number(w));
    let place = surely
        && words.iter().any(|w| {
            matches!(*w, "at" | "in" | "by") || (PLACES.contains(w) && !OTHER.contains(w))
        });
    words.len() <= FEW
        && (from || words.contains(&"now"))
        && named.count() > 0
        && (number || place)
        && !denied(words, 0, words.len() - 1)
}

/// A state of the instrument that somebody had to put right, `laser out of level`, `battery died`, from the noun at a place on.
fn state_at(words: &[&str], i: usize) -> Option<Sure> {
    let noun = noun_at(words, i).filter(|noun| *noun != Noun::Held)?;
    if noun == Noun::Power && i > 0 && matches!(words[i - 1], "dead" | "flat" | "empty") {
        return Some(Sure::Likely);
    }
    let rest = &words[i + 1..];
    let upto = rest.iter().take(MOST_BETWEEN).position(|w| !is_between(w));
    (0..=upto.unwrap_or(rest.len().min(MOST_BETWEEN)))
        .any(|k| is_state(&rest[k.min(rest.len())..], noun))
        .then_some(Sure::Likely)
}

fn is_state(rest: &[&str], noun: Noun) -> bool {
    let of_all = matches!(
        rest,
        [
            "out",
            "of",
            "level" | "plumb" | "calibration" | "adjustment",
            ..
        ] | ["off" | "lost" | "not" | "wasnt" | "isnt", "level", ..]
            | [
                "shut" | "powered" | "switched" | "turned",
                "off" | "down",
                ..
            ]
            | ["went", "off" | "dead" | "out" | "down", ..]
            | ["was" | "were", "off"]
            | ["was" | "were", "off", "by", ..]
            | ["lost" | "no", "power", ..]
            | ["shutoff" | "shutdown" | "died" | "alarm" | "beeped", ..]
            | ["dead"]
            | ["was" | "is" | "were", "dead" | "flat", ..]
    );
    let of_power = matches!(
        rest,
        ["ran", "out" | "down" | "flat", ..] | ["failed" | "gone" | "flat" | "empty" | "out", ..]
    );
    let of_instrument = matches!(
        rest,
        ["loose" | "unstable" | "wobbly" | "unsteady" | "crooked", ..]
    );
    of_all || (noun == Noun::Power && of_power) || (noun == Noun::Instrument && of_instrument)
}

/// Another instrument or set-up, `new laser`, `second position`, from the word at a place on.
fn other_at(words: &[&str], i: usize) -> Option<Sure> {
    if !OTHER.contains(&words[i]) {
        return None;
    }
    let k = (i + 1..words.len().min(i + 3)).find(|&k| noun_at(words, k).is_some())?;
    let between = (i + 1..k).all(|b| is_between(words[b]) || OTHER.contains(&words[b]));
    // `new station wagon`, `new battery room` are things of their own.
    let behind = words.get(k + 1).copied().unwrap_or_default();
    let known = is_between(behind) || BEFORE.contains(&behind) || noun(behind).is_some();
    let own = behind.is_empty() || known || is_number(behind) || done(behind).is_some();
    let word = words[k];
    let found = noun_at(words, k)?;
    let own = own || found == Noun::Instrument || matches!(behind, "here" | "in" | "put" | "used");
    let counted = matches!(
        words[i],
        "second" | "2nd" | "third" | "3rd" | "next" | "4th" | "fourth"
    );
    let sure = match word {
        // Storeys, flats, and what holds them.
        "level" | "beam" | "stand" | "unit" | "leg" | "legs" | "bench" | "plane" | "sensor"
        | "detector" | "remote" | "pole" | "target" => return None,
        "line" | "rod" | "gun" if counted => return None,
        "machine" | "gun" if matches!(words[i], "new" | "next" | "another") => return None,
        "position" | "pos" if words[i] != "next" => Sure::Sure,
        _ if found == Noun::Instrument => Sure::Sure,
        _ => Sure::Likely,
    };
    (between && own && !denied(words, i, k)).then_some(sure)
}

/// A turning point: `TP1`, `turned on TP 2`.
fn turning(words: &[&str]) -> Option<Sure> {
    let point = |i: usize| {
        let digits = words[i].strip_prefix("tp");
        let own = digits.is_some_and(|d| !d.is_empty() && d.bytes().all(|b| b.is_ascii_digit()));
        own || (words[i] == "tp" && words.get(i + 1).is_some_and(|w| is_number(w)))
    };
    let turned = words
        .iter()
        .any(|w| matches!(*w, "turned" | "turn" | "turning"));
    let named = (0..words.len()).any(point) || (turned && words.contains(&"tp"));
    let plain = words.windows(2).any(|w| {
        matches!(w[0], "turning" | "turned" | "turn") && matches!(w[1], "point" | "pt" | "points")
    }) || words == ["tp"];
    if denied(words, 0, words.len() - 1) {
        return None;
    }
    let sure = plain || (named && (turned || words.len() == 1));
    named
        .then_some(Sure::Likely)
        .max(sure.then_some(Sure::Sure))
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
            "laser" | "instrument" | "inst" | "tripod" | "rotary" | "hinst"
                if words.len() <= SHORT =>
            {
                Sure::Sure
            }
            "position" | "pos" if words.len() <= 2 => Sure::Sure,
            "station" | "machine" | "gun" if words.len() == 2 => Sure::Likely,
            _ if matches!(words[i - 1], "position" | "pos") && words.len() <= 2 => Sure::Sure,
            _ => return None,
        };
        (second(words[i]) && !amount && !words.contains(&"class") && !denied(words, k, i))
            .then_some(sure)
    })
}

/// Words that say it without the instrument's name: `reset`, `relevel`, `moved to hall`, `shot from other room`, `set up again`.
fn by_itself(words: &[&str]) -> Option<Sure> {
    let pair = |a: &str, of: &[&str]| words.windows(2).any(|w| w[0] == a && of.contains(&w[1]));
    if denied(words, 0, words.len() - 1) {
        return None;
    }
    // `shot from the kitchen doorway`.
    let to = |i: usize| {
        let article = matches!(words.get(i + 1), Some(&("the" | "a" | "an" | "our")));
        let k = i + 1 + usize::from(article);
        words.get(k).is_some_and(|w| PLACES.contains(w))
    };
    let on = words.contains(&"now") || words.contains(&"rest");
    let shot = |w: &str| match w {
        "shot" | "reshot" | "retaken" | "reread" | "rest" | "now" | "shooting" | "reshooting" => {
            true
        }
        "reading" | "readings" | "taken" | "read" => on,
        _ => false,
    };
    let from = (1..words.len()).any(|i| words[i] == "from" && shot(words[i - 1]) && to(i));
    let after = words.first() == Some(&"reshot")
        && matches!(words.get(1), Some(&("after" | "with" | "from")));
    let alarm = pair(
        "tilt",
        &["alarm", "alert", "sensor", "warning", "indicator"],
    ) || ["level", "leveling", "levelling"]
        .iter()
        .any(|w| pair(w, &["alarm", "alert", "warning"]));
    let power = pair(
        "power",
        &[
            "outage", "cut", "out", "off", "failed", "failure", "loss", "lost",
        ],
    );
    // `had to relevel`, `after reset`.
    let leads = |w: &&&str| {
        matches!(
            **w,
            "after"
                | "before"
                | "since"
                | "then"
                | "had"
                | "needed"
                | "to"
                | "we"
                | "i"
                | "was"
                | "just"
        )
    };
    let lead = words.iter().take_while(leads).count();
    match words {
        _ if words.get(lead).is_some_and(|w| done_again(w))
            && goes_no_further(&words[lead + 1..]) =>
        {
            let alone = matches!(words, ["reset"] | ["resetup", ..]);
            Some(if alone { Sure::Sure } else { Sure::Likely })
        }
        ["resetup", ..] | ["setup"] => Some(Sure::Sure),
        ["moved" | "shifted" | "went", "to" | "into", ..] if to(1) => Some(Sure::Likely),
        ["moved", "it", ..] | ["moved"] | ["moved", "again" | "here"] => Some(Sure::Likely),
        ["after" | "before" | "since", "moving" | "move"] | ["new", "shot", "location"] => {
            Some(Sure::Likely)
        }
        _ if pair("setup", &["again", "twice", "over", "anew"]) => Some(Sure::Likely),
        ["leveled" | "levelled" | "zeroed" | "zero", "again", ..] => Some(Sure::Likely),
        ["height" | "heights", verb, ..] if done(verb).is_some_and(|d| d.1) => Some(Sure::Likely),
        _ if from || after || alarm || power || fall_of(words) => Some(Sure::Likely),
        // `laser at door from here`, `station B from here on`; `line 3 from here` is one of the grid.
        _ if pair("from", &["here", "now", "this"])
            && (0..words.len()).any(|i| stands_anew(words, i)) =>
        {
            Some(Sure::Likely)
        }
        // `now at bath`.
        ["now", "at" | "in" | "by", ..] if words.len() <= 4 && to(1) => Some(Sure::Likely),
        ["new", "location"] => Some(Sure::Likely),
        _ if (0..words.len()).any(|i| at_another(words, i)) => Some(Sure::Likely),
        _ => None,
    }
}

/// Whether a word names the instrument, or where it stands.
fn stands_anew(words: &[&str], i: usize) -> bool {
    match noun_at(words, i) {
        Some(Noun::Instrument) => true,
        Some(Noun::Loose) => matches!(words[i], "station" | "position" | "pos" | "gun" | "machine"),
        _ => false,
    }
}

/// `laser at new spot`: the instrument at the place of a word, and behind it another place than before.
fn at_another(words: &[&str], i: usize) -> bool {
    let place = |w: &str| {
        matches!(
            w,
            "spot"
                | "place"
                | "location"
                | "position"
                | "side"
                | "end"
                | "corner"
                | "room"
                | "height"
        )
    };
    noun(words[i]) == Some(Noun::Instrument)
        && words[i + 1..].windows(3).any(|w| {
            matches!(w[0], "at" | "in" | "on" | "from") && OTHER.contains(&w[1]) && place(w[2])
        })
}

/// Whether words name what befell the instrument: `after the fall of the tripod`.
fn fall_of(words: &[&str]) -> bool {
    let befell = |w: &str| w == "fall" || done(w).is_some_and(|d| d.0 != Done::Handled);
    (0..words.len()).any(|i| {
        let article = matches!(words.get(i + 2), Some(&("the" | "our" | "a")));
        let k = i + 2 + usize::from(article);
        befell(words[i])
            && words.get(i + 1) == Some(&"of")
            && words
                .get(k)
                .is_some_and(|w| noun(w) == Some(Noun::Instrument))
    })
}

/// What stands at one height as long as nothing is moved.
const MARKS: [&str; 8] = [
    "line",
    "beam",
    "hi",
    "datum",
    "bm",
    "tbm",
    "benchmark",
    "zero",
];

/// Whether words put the line, or what is held up to it, higher or lower by an amount: `line 3/8 lower`, `rod up 1 ft`.
pub(super) fn put_off(words: &[&str]) -> bool {
    let way = |w: &&str| matches!(*w, "lower" | "higher" | "up" | "down" | "high" | "low");
    let of_line = |i: usize| {
        let stands = match noun_at(words, i) {
            Some(Noun::Instrument | Noun::Held) => true,
            _ => MARKS.contains(&words[i]) && i == 0,
        };
        // `line 3/8 lower`, of which `3` counts no line of the grid.
        let (a, b) = (words.get(i + 1), words.get(i + 2));
        let amount = |w: Option<&&str>| w.is_some_and(|w| is_number(w));
        let ways = |k: usize| words.iter().skip(k).take(3).any(way);
        // `benchmark rechecked 1/8 low`.
        let checked = |w: &&&str| {
            matches!(
                **w,
                "checked"
                    | "rechecked"
                    | "check"
                    | "recheck"
                    | "read"
                    | "reads"
                    | "reread"
                    | "reshot"
                    | "now"
                    | "is"
                    | "was"
                    | "came"
                    | "in"
                    | "out"
            )
        };
        let found = i + 1 + words.iter().skip(i + 1).take_while(checked).count();
        let checked = found > i + 1 && amount(words.get(found)) && ways(found + 1);
        stands && (checked || (amount(a) && ways(i + 2)) || (a.is_some_and(way) && amount(b)))
    };
    (0..words.len()).any(of_line) && !denied(words, 0, words.len() - 1)
}

/// Whether words are those of a levelling book and no more, `BS`, `foresight 4.20`, `HI 41.25`: between readings they begin another set-up.
pub(super) fn sighted(words: &[&str]) -> bool {
    /// An instrument stands no lower; `HI 1/4` is high by so much.
    const LEAST_HEIGHT: u32 = 3;
    let Some((first, rest)) = words.split_first() else {
        return false;
    };
    let only_numbers = rest
        .iter()
        .all(|w| is_number(w) || LengthUnit::from_word(w).is_some());
    let height = rest.first().and_then(|w| w.parse::<u32>().ok());
    only_numbers
        && match *first {
            "bsight" | "fsight" | "backsight" | "foresight" => true,
            "hinst" => height.is_some_and(|h| h >= LEAST_HEIGHT),
            _ => false,
        }
}

/// Whether a word says that something was set or levelled once more.
fn done_again(word: &str) -> bool {
    const AGAIN: [&str; 8] = [
        "relevel",
        "reset",
        "relocat",
        "reposition",
        "restart",
        "rezero",
        "replumb",
        "recalibrat",
    ];
    AGAIN.iter().any(|stem| word.starts_with(stem)) && done(word).is_some()
}

/// Whether nothing stands behind a verb that it could have been done to: `relevelled after lunch`, not `reset door frame`.
fn goes_no_further(rest: &[&str]) -> bool {
    rest.first().is_none_or(|w| {
        let joins = matches!(
            *w,
            "after"
                | "before"
                | "at"
                | "in"
                | "for"
                | "from"
                | "and"
                | "to"
                | "here"
                | "due"
                | "since"
        );
        joins
            || is_number(w)
            || matches!(
                *w,
                "again" | "then" | "now" | "twice" | "once" | "up" | "it"
            )
    })
}
