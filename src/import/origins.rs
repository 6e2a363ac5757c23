//! Where the distances of a list count from, in words beside it: `Origin: back left corner`, `y runs down the page`.

use super::origin_hints::may_hint;
use super::origin_words::{
    ANYWHERE, BEFORE, BESIDE, FROM, MOVES, OF_AXIS, OF_HEIGHT, OPENINGS, TO, may_speak,
    speaks_of_opening, speaks_of_others, without_remark,
};
use super::walls::{From, PlanAxis, axis, end, opposite, sides, way, words};

/// What words beside a list say of its origin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Origin {
    /// Which way each axis counts, as far as they say it: whether it is turned.
    Said { x: Option<bool>, y: Option<bool> },
    /// They speak of it and name no side.
    Unclear,
    /// They name a side, in words that are not known or that contradict each other.
    Tangled,
}

/// What some words say of where x and y count from; `None` where they do not speak of it. They speak of it where they begin with an
/// axis or a start: other origins are those of a crack, a laser or the tiles.
pub(super) fn origin(text: &str) -> Option<Origin> {
    // A scan has millions of numbers beside it, and none of them says anything.
    if !text.contains(char::is_alphabetic) {
        return None;
    }
    // One sentence may speak of the origin, and the next of the door.
    let mut told = None;
    for sentence in sentences(text) {
        // Behind other words, `Job 4411, y from back wall`, it is told and turns nothing.
        let within = || {
            pieces(&sentence).any(|piece| of_sentence(piece).is_some())
                || behind_a_number(&sentence).is_some_and(|rest| of_sentence(&rest).is_some())
                || names_an_axis_and_a_side(&sentence)
        };
        let own = of_sentence(&sentence).or_else(|| within().then_some(Origin::Unclear));
        told = match (told, own) {
            (Some(Origin::Said { x, y }), Some(Origin::Said { x: u, y: v })) => {
                let differ = |a: Option<bool>, b| a.is_some_and(|a| b == Some(!a));
                Some(if differ(x, u) || differ(y, v) {
                    Origin::Tangled
                } else {
                    Origin::Said {
                        x: x.or(u),
                        y: y.or(v),
                    }
                })
            }
            (Some(Origin::Tangled), _) | (_, Some(Origin::Tangled)) => Some(Origin::Tangled),
            (Some(said @ Origin::Said { .. }), _) => Some(said),
            (before, now) => now.or(before),
        };
    }
    told
}

/// As [`origin`], and whatever else may tell of it with it, as a title may: a plan is never drawn the wrong way round without a word.
pub(super) fn origin_or_hint(text: &str) -> Option<Origin> {
    origin(text).or_else(|| may_hint(text).then_some(Origin::Unclear))
}

/// Where a way from one end to the other begins, of words that are nothing but that: `R to L`, `back to front`.
pub(super) fn runs_from_to(words: &[String]) -> Option<From> {
    let ends = match words {
        [a, to, b] if TO.contains(&to.as_str()) => Some((a.as_str(), b.as_str())),
        [one] => one.split_once('-'),
        _ => None,
    };
    let (a, b) = ends?;
    let (from, to) = (end(a, b)?, end(b, a)?);
    (from.axis == to.axis && from.turned != to.turned).then_some(from)
}

/// What stands behind a date, a number or a room's own number, from the word on that an origin begins with: `5/12/26 origin: back left`,
/// `1) y from back wall`, `2 ft grid from back left corner`. `None` for other things with an origin of their own.
fn behind_a_number(sentence: &str) -> Option<String> {
    const BEGINS: [&str; 12] = [
        "origin",
        "zero",
        "x",
        "y",
        "0,0",
        "(0,0)",
        "grid",
        "start",
        "starts",
        "starting",
        "measured",
        "measuring",
    ];
    let tokens: Vec<&str> = sentence.split_whitespace().collect();
    let bare = |t: &str| {
        t.to_lowercase()
            .trim_matches(|c: char| matches!(c, ':' | '(' | '='))
            .to_owned()
    };
    let at = tokens
        .iter()
        .position(|t| BEGINS.contains(&bare(t).as_str()) || BEGINS.contains(t))?;
    // `12 x 8` is a size.
    let number = |t: Option<&&str>| t.is_some_and(|t| t.starts_with(|c: char| c.is_ascii_digit()));
    if tokens[at] == "x" && at > 0 && number(tokens.get(at - 1)) && number(tokens.get(at + 1)) {
        return None;
    }
    let before = &tokens[..at];
    let numbered = before
        .iter()
        .any(|t| t.contains(|c: char| c.is_ascii_digit()));
    (numbered && !speaks_of_others(&words(sentence))).then(|| tokens[at..].join(" "))
}

/// Whether a short sentence names an axis by its letter, and a side or a way, in words that are not known for more: `Y dir. = S`, `S = +y`,
/// `\u{2192} x \u{2193} y`.
fn names_an_axis_and_a_side(sentence: &str) -> bool {
    const MOST: usize = 6;
    const SIDES: [&str; 12] = [
        "n", "s", "e", "w", "l", "r", "t", "b", "north", "south", "east", "west",
    ];
    let all = words(sentence);
    let is_axis = |w: &String| axis(w).is_some() || matches!(w.as_str(), "xe" | "xw" | "yn" | "ys");
    let is_side = |w: &String| {
        SIDES.contains(&w.as_str())
            || !sides(w).is_empty()
            || way(w).is_some()
            || matches!(
                w.as_str(),
                "xe" | "xw" | "yn" | "ys" | "n-s" | "s-n" | "e-w" | "w-e"
            )
    };
    let number = |w: &String| w != "0" && w.starts_with(|c: char| c.is_ascii_digit());
    let marks = |w: &String| {
        matches!(
            w.as_str(),
            "marks" | "marked" | "no" | "reading" | "readings" | "level" | "cracks" | "spots"
        )
    };
    all.len() <= MOST
        && all.iter().any(is_axis)
        && all.iter().any(is_side)
        && !all.iter().any(|w| number(w) || marks(w))
        && !speaks_of_others(&all)
}

/// What stands between the commas and dashes of a sentence that has some.
fn pieces(sentence: &str) -> impl Iterator<Item = &str> {
    let parts = sentence
        .split(", ")
        .flat_map(|part| part.split(" - "))
        .flat_map(|part| part.split(" \u{2013} "));
    parts.filter(move |part| part.len() < sentence.len())
}

/// Its sentences: `Zero pt. back right` is one, since a short word before a point is cut short.
fn sentences(text: &str) -> Vec<String> {
    const CUT_SHORT: [&str; 13] = [
        "dir", "pt", "orig", "ref", "no", "n", "e", "s", "w", "n.w", "n.e", "s.w", "s.e",
    ];
    let mut out: Vec<String> = Vec::new();
    for line in text.split([';', '\n']) {
        let mut goes_on = false;
        for piece in line.split(". ") {
            match out.last_mut() {
                Some(last) if goes_on => *last = format!("{last} {piece}"),
                _ => out.push(piece.to_owned()),
            }
            let last = piece.split(' ').next_back().unwrap_or_default();
            goes_on = CUT_SHORT.contains(&last.to_lowercase().as_str());
        }
    }
    out
}

/// The same of one sentence. What holds words that are no part of such a statement, `y = 0 at the door, back wall at 8 ft`, may mean
/// something else, and turns nothing over.
fn of_sentence(text: &str) -> Option<Origin> {
    let remarked = words(text);
    let words = without_remark(&remarked);
    let begin = words.iter().position(|w| !BEFORE.contains(&w.as_str()))?;
    let coordinates = begin
        .checked_sub(1)
        .filter(|&k| words[k].starts_with("coordinate"));
    let told = match coordinates {
        // `Coordinates are from the rear left corner`.
        Some(k) if words.iter().any(|w| w == "from" || w == "off") => of_distances(&words[k..]),
        _ => of_words(&words[begin..], text),
    };
    let told = told.or_else(|| may_speak(&words[begin..]).then_some(Origin::Unclear));
    let known = |w: &String| {
        let w = w.as_str();
        let lists: [&[&str]; 6] = [&BEFORE, &OF_AXIS, &FROM, &TO, &ANYWHERE, &BESIDE];
        axis(w).is_some()
            || !sides(w).is_empty()
            || way(w).is_some()
            || lists.iter().any(|list| list.contains(&w))
    };
    match told {
        Some(Origin::Said { .. }) if speaks_of_opening(words) => Some(Origin::Unclear),
        Some(Origin::Said { .. }) if !words.iter().all(known) => {
            // `Start at 8:00, far wall still wet` is no statement at all.
            let starts = words[begin].starts_with("start");
            let number = |w: &String| w != "0" && w.starts_with(|c: char| c.is_ascii_digit());
            (!(starts && words.iter().any(number))).then_some(Origin::Unclear)
        }
        told => told,
    }
}

fn of_words(words: &[String], text: &str) -> Option<Origin> {
    let is = |k: usize, list: &[&str]| words.get(k).is_some_and(|w| list.contains(&w.as_str()));
    // `x, y from bottom left`.
    let both = match words {
        [a, b, ..] if axis(a).is_some() && axis(b).is_some() && a != b => Some(2),
        [a, and, b, ..] if and == "and" && axis(a).is_some() && axis(b).is_some() && a != b => {
            Some(3)
        }
        _ => None,
    };
    if let Some(k) = both
        && !is(k, &["origin", "0", "zero", "start"])
    {
        let behind = &words[k..];
        let (from, to) = parted(behind);
        let mut found: Vec<From> = from.iter().flat_map(|w| sides(w)).collect();
        found.extend(to.iter().flat_map(|w| sides(w)).map(opposite));
        let speaks = behind.iter().any(|w| FROM.contains(&w.as_str()));
        if speaks && !found.is_empty() {
            return Some(settle(&found));
        }
    }
    // `x,y origin: back left`.
    if is(0, &["x"]) && is(1, &["y"]) && is(2, &["origin", "0", "zero", "start"]) {
        return of_start(&words[2..], text);
    }
    // `x0 y0: back left`.
    if is(0, &["x"]) && is(1, &["0"]) && is(2, &["y"]) && is(3, &["0"]) {
        let zeros = [&words[1..2], &words[3..]].concat();
        return of_start(&zeros, text);
    }
    if axis(&words[0]).is_some() {
        return of_axes(words);
    }
    if is(
        0,
        &[
            "distances",
            "distance",
            "dimensions",
            "offsets",
            "measured",
            "measurements",
            "measuring",
            "dims",
        ],
    ) {
        return of_distances(words);
    }
    of_start(words, text)
}

/// `Origin: back left corner`, `0,0 = upper left`, `Start at NW corner`, `Lower left = 0,0`.
fn of_start(words: &[String], text: &str) -> Option<Origin> {
    let is = |k: usize, list: &[&str]| words.get(k).is_some_and(|w| list.contains(&w.as_str()));
    let marked = text.contains(['=', ':', '(']);
    let joins = [
        "at", "is", "in", "on", "from", "point", "corner", "position",
    ];
    let side = |k: usize| words.get(k).is_some_and(|w| !sides(w).is_empty());
    let plan = [
        "x",
        "y",
        "grid",
        "list",
        "plan",
        "room",
        "survey",
        "coordinates",
        "distances",
        "readings",
    ];
    let zeros = is(0, &["0"]) && is(1, &["0"]);
    let named = if is(0, &["origin"]) {
        // `Origin of crack: 3 ft from left wall`.
        let of = 2 + usize::from(is(2, &["the"]));
        !is(1, &["of"]) || is(of, &plan)
    } else if zeros {
        marked || is(2, &joins) || side(2)
    } else if is(0, &["0", "zero"]) {
        is(1, &joins) || is(1, &["zero"]) || side(1)
    } else if is(0, &["start", "starting", "starts"])
        || (is(0, &["reference", "datum"]) && is(1, &["corner", "point"]))
        || (is(0, &["reference"]) && side(1) && words.iter().any(|w| w == "corner"))
    {
        is(1, &joins) || side(1)
    } else {
        return ends_in_zero(words, marked);
    };
    if !named {
        return None;
    }
    let first_axis = words.iter().position(|w| axis(w).is_some());
    let (head, tail) = words.split_at(first_axis.unwrap_or(words.len()));
    let speaks = head
        .iter()
        .any(|w| !sides(w).is_empty() || ANYWHERE[..9].contains(&w.as_str()));
    if !speaks && tail.is_empty() {
        return (is(0, &["origin"]) || zeros).then_some(Origin::Unclear);
    }
    let (from, to) = parted(head);
    let mut found: Vec<From> = from.iter().flat_map(|w| sides(w)).collect();
    found.extend(to.iter().flat_map(|w| sides(w)).map(opposite));
    let mut told = if found.is_empty() && speaks {
        None
    } else {
        Some(found)
    };
    if !tail.is_empty() {
        told = told.zip(of_each_axis(tail)).map(|(mut a, b)| {
            a.extend(b);
            a
        });
    }
    Some(told.map_or_else(|| not_understood(words), |found| settle(&found)))
}

/// What words speak of that are not understood: with a side or a way among them they may contradict themselves, but for an axis
/// that runs along a wall.
fn not_understood(words: &[String]) -> Origin {
    let says = |word: &str| words.iter().any(|w| w == word);
    let sided = words
        .iter()
        .any(|w| !sides(w).is_empty() || way(w).is_some());
    if (sided || says("across")) && !says("along") {
        Origin::Tangled
    } else {
        Origin::Unclear
    }
}

/// `Lower left is 0,0`, `Back left corner = origin`: nothing but a corner before it.
fn ends_in_zero(words: &[String], marked: bool) -> Option<Origin> {
    let end = match words {
        [rest @ .., a, b] if a == "0" && b == "0" => rest,
        [rest @ .., last] if last == "origin" || last == "zero" || last == "0" => rest,
        _ => return None,
    };
    let plain = |w: &String| {
        !sides(w).is_empty() || matches!(w.as_str(), "the" | "corner" | "is" | "of" | "room" | "at")
    };
    let found: Vec<From> = end.iter().flat_map(|w| sides(w)).collect();
    let says = marked || end.last().is_some_and(|w| w == "is" || w == "at");
    (says && !found.is_empty() && end.iter().all(plain)).then(|| settle(&found))
}

/// `y measured from far wall`, `x runs left to right, y bottom to top`: an axis, where it counts from and where it runs to.
fn of_axes(words: &[String]) -> Option<Origin> {
    let parts = by_axis(words);
    let spoken = parts.iter().any(|(_, behind)| speaks_of_axis(behind));
    spoken.then(|| {
        of_each_axis(words).map_or_else(
            || not_understood(words),
            |found| {
                let named = words.iter().any(|w| !sides(w).is_empty() || w == "across");
                if found.is_empty() && !named {
                    Origin::Unclear
                } else {
                    settle(&found)
                }
            },
        )
    })
}

/// Whether the words behind an axis say something of it.
fn speaks_of_axis(behind: &[String]) -> bool {
    let begins = behind
        .first()
        .is_some_and(|w| OF_AXIS.contains(&w.as_str()) || !sides(w).is_empty());
    begins
        && behind
            .iter()
            .any(|w| way(w).is_some() || !sides(w).is_empty() || ANYWHERE.contains(&w.as_str()))
}

/// The words behind each axis, up to the next.
fn by_axis(words: &[String]) -> Vec<(PlanAxis, &[String])> {
    let at: Vec<usize> = (0..words.len())
        .filter(|&k| axis(&words[k]).is_some())
        .collect();
    let ends = at.iter().skip(1).copied().chain([words.len()]);
    at.iter()
        .zip(ends)
        .filter_map(|(&k, end)| Some((axis(&words[k])?, &words[k + 1..end])))
        .collect()
}

/// What is said of each axis; `None` where one of them is not understood.
fn of_each_axis(words: &[String]) -> Option<Vec<From>> {
    let mut found = Vec::new();
    for (axis, behind) in by_axis(words) {
        if speaks_of_axis(behind) {
            found.push(From {
                axis,
                turned: turned(axis, behind)?,
            });
        }
    }
    Some(found)
}

/// The words of where something counts from, and those of where it runs to: `from the door to the back wall`, `left to right`.
fn parted(words: &[String]) -> (&[String], &[String]) {
    // `runs south` tells where to, `runs from` does not.
    let moves = |k: usize| {
        let verb = MOVES.contains(&words[k].as_str());
        verb && words.get(k + 1).is_some_and(|w| !sides(w).is_empty())
    };
    // `runs left to right` names both.
    let named = words.iter().position(|w| TO.contains(&w.as_str()));
    let to = named.or_else(|| (0..words.len()).position(moves));
    let from = words.iter().position(|w| FROM.contains(&w.as_str()));
    match (from, to) {
        // `toward the door from the back wall`, `runs south from the north wall`.
        (Some(from), Some(to)) if to < from => (&words[from..], &words[to..from]),
        // `measured south from the north wall`.
        (Some(from), None) if from > 0 => (&words[from..], &words[..from]),
        (_, Some(to)) => words.split_at(to),
        (_, None) => (words, &[]),
    }
}

/// Whether an axis is turned, by the words behind it; `None` where they do not say so, or say two things.
fn turned(axis: PlanAxis, behind: &[String]) -> Option<bool> {
    let says = |list: &[&str]| behind.iter().any(|w| list.contains(&w.as_str()));
    // `x = east, y = N`, `x is positive east`: where they run to.
    let plain = behind
        .iter()
        .filter(|w| !matches!(w.as_str(), "is" | "positive" | "axis" | "direction"));
    if let [only] = plain.collect::<Vec<_>>()[..]
        && let [to] = sides(only)[..]
        && way(only).is_none()
    {
        return (to.axis == axis).then_some(opposite(to).turned);
    }
    let of = |words: &[String]| -> Vec<From> { words.iter().flat_map(|w| sides(w)).collect() };
    let moves = behind.windows(2).any(|w| {
        MOVES.contains(&w[0].as_str()) && !sides(&w[1]).is_empty() && way(&w[1]).is_none()
    });
    if says(&FROM) || says(&TO) || moves {
        let (from, to) = parted(behind);
        let mut found = of(from);
        let of_page = |w: &&String| {
            matches!(
                w.as_str(),
                "up" | "down" | "upward" | "upwards" | "downward" | "downwards"
            )
        };
        // `y runs up from the back`: two ways at once.
        let ways = behind.iter().filter(of_page).flat_map(|w| way(w));
        found.extend(of(to).into_iter().map(opposite));
        if found.is_empty() {
            return None;
        }
        let along = says(&["running", "runs", "run", "goes", "increases"]);
        found.extend(ways.filter(|_| along));
        return one(axis, &found);
    }
    let found: Vec<From> = behind.iter().filter_map(|w| way(w)).collect();
    let plain = |w: &String| {
        OF_AXIS.contains(&w.as_str())
            || way(w).is_some()
            || matches!(w.as_str(), "page" | "plan" | "sheet")
    };
    // `y down the hall wall` names what lies there; `x is the left door` as well.
    let moves = says(&["the"]) && says(&["is", "are", "was"]);
    if !found.is_empty() && behind.iter().all(plain) && !moves {
        return one(axis, &found);
    }
    None
}

/// What all that was found says of one axis; `None` where some of it is of the other, or two differ.
fn one(axis: PlanAxis, found: &[From]) -> Option<bool> {
    let first = found.first()?;
    found
        .iter()
        .all(|f| f.axis == axis && f.turned == first.turned)
        .then_some(first.turned)
}

/// `Measured from the back wall`, `Distances from left wall and front wall`: no axis named before the walls.
fn of_distances(words: &[String]) -> Option<Origin> {
    let says = |list: &[&str]| words.iter().any(|w| list.contains(&w.as_str()));
    let at = words.iter().position(|w| w == "from" || w == "off")?;
    if words.iter().take(at).any(|w| w == "up" || w == "down") || says(&OF_HEIGHT) {
        return None;
    }
    if !says(&OPENINGS) && !words[at..].iter().any(|w| !sides(w).is_empty()) {
        return None;
    }
    let behind = &words[at..];
    let (from, to) = match behind.iter().position(|w| TO.contains(&w.as_str())) {
        Some(k) => behind.split_at(k),
        None => (behind, &[][..]),
    };
    let mut found: Vec<From> = from.iter().flat_map(|w| sides(w)).collect();
    found.extend(to.iter().flat_map(|w| sides(w)).map(opposite));
    Some(if found.is_empty() {
        Origin::Unclear
    } else {
        settle(&found)
    })
}

/// What was found of both axes; two sides of one axis contradict each other.
fn settle(found: &[From]) -> Origin {
    let of = |axis: PlanAxis| {
        let told: Vec<bool> = found
            .iter()
            .filter(|f| f.axis == axis)
            .map(|f| f.turned)
            .collect();
        let first = told.first().copied();
        first.map_or(Ok(None), |f| {
            if told.iter().all(|t| *t == f) {
                Ok(Some(f))
            } else {
                Err(())
            }
        })
    };
    match (of(PlanAxis::X), of(PlanAxis::Y)) {
        (Ok(None), Ok(None)) => Origin::Unclear,
        (Ok(x), Ok(y)) => Origin::Said { x, y },
        _ => Origin::Tangled,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(x: Option<bool>, y: Option<bool>) -> Option<Origin> {
        Some(Origin::Said { x, y })
    }

    fn holds(cases: &[(&str, Option<Origin>)]) {
        let wrong: Vec<_> = cases
            .iter()
            .filter(|(text, want)| origin(text) != *want)
            .map(|(text, _)| (text, origin(text)))
            .collect();
        assert!(wrong.is_empty(), "{wrong:?}");
    }

    // ORACLE: hand. Seen from above, x runs to the right and y up from the near wall.
    #[test]
    fn corners_and_walls_are_read() {
        holds(&[
            ("Origin: back left corner", said(Some(false), Some(true))),
            ("0,0 = upper left corner", said(Some(false), Some(true))),
            ("(0,0) at SW corner", said(Some(false), Some(false))),
            ("y measured from far wall", said(None, Some(true))),
            ("y runs down the page", said(None, Some(true))),
            ("y down", said(None, Some(true))),
            (
                "x from right wall, y from near wall",
                said(Some(true), Some(false)),
            ),
            ("Measured from the back wall", said(None, Some(true))),
            ("Origin at column B4", Some(Origin::Unclear)),
            ("x down, y across", Some(Origin::Tangled)),
        ]);
    }

    // ORACLE: hand. Seen from above, x runs to the right and y up from the near wall.
    #[test]
    fn ways_and_ends_of_an_axis_are_read() {
        holds(&[
            ("x runs left to right", said(Some(false), None)),
            ("x goes right to left", said(Some(true), None)),
            (
                "x left to right, y bottom to top",
                said(Some(false), Some(false)),
            ),
            ("x increases from left to right", said(Some(false), None)),
            ("x from hall wall to right wall", said(Some(false), None)),
            (
                "y from the entrance toward the far wall",
                said(None, Some(false)),
            ),
            (
                "y is measured from door to back wall",
                said(None, Some(false)),
            ),
            ("Measured from door to back wall", said(None, Some(false))),
            ("distances from door to back wall", said(None, Some(false))),
            ("y = 0 at far wall", said(None, Some(true))),
            ("y runs top to bottom", said(None, Some(true))),
            ("y runs back to front", said(None, Some(true))),
            ("y taken off the far wall", said(None, Some(true))),
            ("y axis down", said(None, Some(true))),
            ("0 at back wall", said(None, Some(true))),
            ("Start at NW corner", said(Some(false), Some(true))),
            ("Start point: top left", said(Some(false), Some(true))),
            ("Reference corner: far left", said(Some(false), Some(true))),
            ("Zero at far left corner", said(Some(false), Some(true))),
            ("All rooms: y from far wall", said(None, Some(true))),
            (
                "Origin front left corner, y toward back wall",
                said(Some(false), Some(false)),
            ),
            ("Lower left = 0,0", said(Some(false), Some(false))),
            ("y increases toward the door", Some(Origin::Unclear)),
            ("y = 0 at left wall", Some(Origin::Tangled)),
            ("Origin: door", Some(Origin::Unclear)),
            ("X along front wall", Some(Origin::Unclear)),
            (
                "Origin back left corner, y from near wall",
                Some(Origin::Tangled),
            ),
        ]);
    }

    // ORACLE: hand. Seen from above, x runs to the right and y up from the near wall.
    #[test]
    fn sentences_are_read_whole_or_not_at_all() {
        holds(&[
            ("x, y from bottom left", said(Some(false), Some(false))),
            (
                "x and y from the back right corner",
                said(Some(true), Some(true)),
            ),
            ("y runs south from the north wall", said(None, Some(true))),
            ("y runs north", said(None, Some(false))),
            (
                "x starts at the east wall and runs west",
                said(Some(true), None),
            ),
            ("x = east, y = north", said(Some(false), Some(false))),
            (
                "Origin = SW corner. Door is in the north wall",
                said(Some(false), Some(false)),
            ),
            (
                "Coordinates are from the rear left corner",
                said(Some(false), Some(true)),
            ),
            (
                "Reference: top left corner of drawing",
                said(Some(false), Some(true)),
            ),
            ("x = E, y = S", said(Some(false), Some(true))),
            (
                "x is positive east, y is positive north",
                said(Some(false), Some(false)),
            ),
            ("y (ft) from back wall", said(None, Some(true))),
            ("y: feet from back wall", said(None, Some(true))),
            ("y in ft from back wall", said(None, Some(true))),
            ("X-Y from NW corner", said(Some(false), Some(true))),
            ("X-Y origin: NW corner", said(Some(false), Some(true))),
            (
                "X from W wall; Y from N wall",
                said(Some(false), Some(true)),
            ),
            ("Y measured south from north wall", said(None, Some(true))),
            (
                "Starting at back left corner",
                said(Some(false), Some(true)),
            ),
            (
                "Point 0,0 is back left corner",
                said(Some(false), Some(true)),
            ),
            (
                "Grid starts at back left corner",
                said(Some(false), Some(true)),
            ),
            ("Measuring from back wall", said(None, Some(true))),
            (
                "All dims from rear wall and left wall",
                said(Some(false), Some(true)),
            ),
            // An opening tells which corner that is, and nothing of the axes.
            (
                "Origin: front left corner (at door)",
                said(Some(false), Some(false)),
            ),
            ("Start: SW corner, at entry", said(Some(false), Some(false))),
            (
                "Origin: back left corner (from the door)",
                said(Some(false), Some(true)),
            ),
            (
                "Start bottom left by window",
                said(Some(false), Some(false)),
            ),
            ("Origin: back left (door)", said(Some(false), Some(true))),
            ("Left rear corner is zero", said(Some(false), Some(true))),
        ]);
    }

    // ORACLE: hand. Seen from above, x runs to the right and y up from the near wall; east is the right.
    #[test]
    fn signs_and_letters_are_read_as_the_words_they_stand_for() {
        let down = said(None, Some(true));
        let (plain, south) = (
            said(Some(false), Some(false)),
            said(Some(false), Some(true)),
        );
        let left = said(Some(true), None);
        holds(&[
            ("x E, y S", south),
            ("X: E, Y: S", south),
            ("+x E, +y S", south),
            ("X-E, Y-S", south),
            ("x \u{2192} E, y \u{2192} S", south),
            ("x E, y N", plain),
            ("x W, y N", said(Some(true), Some(false))),
            ("y S", down),
            ("Y (S)", down),
            ("Y axis S", down),
            ("Y-axis = south", down),
            ("y-axis runs N to S", down),
            ("Y-axis: back to front", down),
            ("Y-axis points down", down),
            ("Y-axis at back wall", down),
            ("y N-S", Some(Origin::Unclear)),
            ("y N\u{2192}S", down),
            ("y: N > S", down),
            ("y \u{2193}", down),
            ("y T to B", down),
            ("Y-0 rear wall", down),
            ("Y-zero at back", down),
            ("Y=0 @ N", down),
            ("y origin N", down),
            ("Zero line: rear", down),
            ("0-line rear wall", down),
            ("y = 0 at N. wall", down),
            ("0 at N. wall", down),
            ("0,0 N.W.", south),
            ("Start: N.W. corner", south),
            ("Origin: N.W. corner", south),
            ("x-axis runs E to W", left),
            ("X-0 at right wall", left),
            ("X R>L", left),
            ("x \u{2190}", left),
            ("x \u{2192}", said(Some(false), None)),
            ("x increases W", left),
            ("Zero-point: front right", said(Some(true), Some(false))),
            ("Start-point: front right", said(Some(true), Some(false))),
            ("y0: N", down),
            ("x0 y0: back left", south),
            (
                "Pos. 0 = back left",
                Some(Origin::Said {
                    x: Some(false),
                    y: Some(true),
                }),
            ),
            ("Baseline: back wall", Some(Origin::Unclear)),
            ("Control line: back wall", Some(Origin::Unclear)),
            ("Job: 4411, origin back left", Some(Origin::Unclear)),
            ("Job 4411 - y from back wall", Some(Origin::Unclear)),
            ("JR 5/12, y from far wall", Some(Origin::Unclear)),
            ("Note: job 4411, origin NW", Some(Origin::Unclear)),
            // Ordinary words.
            ("Suite E", None),
            ("Building N, floor 2", None),
            ("Unit B - north", None),
            ("x < 3 ft", None),
            ("Job 4411, back bedroom", None),
            ("Kitchen - left of stairs", None),
        ]);
    }

    // ORACLE: hand. Behind a date or a number, and in short words about an axis, an origin is told or obeyed; what has an origin of its own, and
    //         titles with a letter, are neither.
    #[test]
    fn no_line_of_an_origin_is_passed_over_in_silence() {
        for text in [
            "5/12/26 origin: back left",
            "2026-05-12 y from back wall",
            "May 12: origin NW corner",
            "#4411 origin back left",
            "1) y from back wall",
            "9:40 y from back wall",
            "Room 101 origin back left",
            "Unit 4 origin NW",
            "2 ft grid from back left corner",
            "24\" grid from NW corner",
            "Y dir. = S",
            "y-dir: S",
            "Direction of y: S",
            "y heading S",
            "y increasing S",
            "Key: y S",
            "\u{2193} y",
            "S = +y",
            "South is +Y",
            "Xe, Ys",
        ] {
            assert!(origin(text).is_some(), "{text}");
        }
        for text in [
            "Crack 6 ft from NW corner",
            "X-ray room",
            "X-ray room, west wing",
            "Unit 4 - N",
            "Bldg E",
            "Suite S",
            "Tile 2 ft from back wall",
            "Level 2, north wing",
            "Grid 2 ft",
            "x = no reading",
        ] {
            assert_eq!(origin(text), None, "{text}");
        }
    }

    // ORACLE: hand. What names a side and a beginning may say so, and is told.
    #[test]
    fn what_may_speak_of_an_origin_is_told() {
        holds(&[
            ("Zero pt. back right", Some(Origin::Unclear)),
            ("Start: right of door", Some(Origin::Unclear)),
            ("Origin: left of back door", Some(Origin::Unclear)),
            ("Start right side of entry", Some(Origin::Unclear)),
            ("Start: right at door", Some(Origin::Unclear)),
            ("Y-dist from N wall", Some(Origin::Unclear)),
            ("Corner: back left", Some(Origin::Unclear)),
            ("Taken from NW corner", Some(Origin::Unclear)),
            ("Tape pulled from back left corner", Some(Origin::Unclear)),
            ("Grid laid out from the back wall", Some(Origin::Unclear)),
            ("Orig: rear left", Some(Origin::Unclear)),
            ("Corner of origin: rear left", Some(Origin::Unclear)),
            ("Positions from the back wall", Some(Origin::Unclear)),
            // No side is named, and nothing is to be told.
            ("Distances from walls to 1/2 in", None),
            ("Measured from inside face of walls", None),
            ("Distances from wall face", None),
            (
                "Start at back left corner, work toward door",
                Some(Origin::Unclear),
            ),
            ("Start: NW corner, rows run south", Some(Origin::Unclear)),
            ("A1 = back left corner", Some(Origin::Unclear)),
            ("From the back wall", Some(Origin::Unclear)),
            // The far end may be told, and not the zero.
            ("y = 0 at door, back wall is at 8 ft", Some(Origin::Unclear)),
            ("y at far wall: 8 ft", Some(Origin::Unclear)),
            ("x at right wall = 6 ft", Some(Origin::Unclear)),
            ("Start at 8:00, far wall still wet", None),
            ("Measured from 9 am at the north end", Some(Origin::Unclear)),
            (
                "Measured from top of tile at right wall",
                Some(Origin::Unclear),
            ),
            ("Tile layout origin: back left corner", None),
            ("Origin of crack: back left corner", None),
            ("Laser origin: back left corner", None),
            ("Tub origin: far wall", None),
            ("Cabinet run y from far wall 2 ft", None),
            ("Measured from top of slab", None),
            ("Start 8:00", None),
            ("Measured down from the laser", None),
            ("Exam 3 (2)", None),
            ("Level 2, north wing", None),
            ("x = no reading", None),
            ("X marks the left door", None),
        ]);
    }
}
