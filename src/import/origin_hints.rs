//! What may tell of where distances count from in words that nothing else understands. Told, it costs a line; passed over, it may cost a
//! plan that is drawn the wrong way round.

use super::origin_words::speaks_of_others;
use super::walls::{axis, end, sides, way, words};

/// Most words of a line that is looked at: longer ones are notes.
const MOST: usize = 9;
/// Sides and ways by a letter or in short.
const SHORT: [&str; 18] = [
    "n", "s", "e", "w", "l", "r", "t", "b", "rt", "lt", "dn", "bk", "rh", "lh", "rhs", "lhs",
    "rear", "up",
];
/// Words for where something begins.
const BEGIN: [&str; 14] = [
    "start",
    "started",
    "starting",
    "begin",
    "beginning",
    "origin",
    "orig",
    "pob",
    "zero",
    "corner",
    "cor",
    "1st",
    "first",
    "corners",
];

/// Whether a line holds a hint: an axis and a side, a beginning and a corner, or the two ends of a way.
pub(super) fn may_hint(text: &str) -> bool {
    let all = words(text);
    // `Level 2` is a storey, and no level of a floor.
    let storey = |k: usize| {
        let numbered = all.get(k + 1).is_some_and(|w| w.parse::<u32>().is_ok());
        matches!(all[k].as_str(), "level" | "floor") && numbered
    };
    // `NE corner of slab` is one of the room.
    let of_room =
        |k: usize| k > 0 && all[k - 1] == "of" && matches!(all[k].as_str(), "slab" | "floor");
    let others: Vec<String> = (0..all.len())
        .filter(|&k| !storey(k) && !of_room(k))
        .map(|k| all[k].clone())
        .collect();
    if all.len() > MOST || speaks_of_others(&others) || tells_a_time(text) {
        return false;
    }
    let word = |k: usize| all.get(k).map_or("", String::as_str);
    let number = |k: usize| word(k).starts_with(|c: char| c.is_ascii_digit());
    let is_side = |w: &str| !sides(w).is_empty() || way(w).is_some() || SHORT.contains(&w);
    // `12 x 8` is a size, and `x marks the left door` a mark.
    let is_axis = |k: usize| {
        let before = (1..=2).any(|back| k >= back && number(k - back));
        let size = word(k) == "x" && before && number(k + 1) && word(k + 1) != "0";
        let mark = word(k + 1).starts_with("mark") || matches!(word(k + 1), "no" | "reading");
        axis(word(k)).is_some() && !size && !mark
    };
    let axes = (0..all.len()).any(is_axis);
    let sided = all.iter().any(|w| is_side(w));
    let of_corner = |k: usize| {
        let two = [word(k), word(k + 1)].map(sides);
        two[0].len() == 2
            || (two[0].len() == 1 && two[1].len() == 1 && two[0][0].axis != two[1][0].axis)
    };
    // `Corner unit, east` and `zero-threshold bath` name rooms.
    let begins = |k: usize| {
        let next = word(k + 1);
        let noun = match word(k) {
            "corner" => {
                !next.is_empty()
                    && !is_side(next)
                    && !matches!(next, "of" | "at" | "is" | "in" | "by" | "and")
            }
            "zero" => next == "threshold",
            "start" => next == "up",
            _ => false,
        };
        BEGIN.contains(&word(k)) && !noun
    };
    let cornered =
        (0..all.len()).any(of_corner) && ((0..all.len()).any(begins) || text.contains('='));
    let run = |a: &str, b: &str| {
        let ends = end(a, b).zip(end(b, a));
        ends.is_some_and(|(a, b)| a.axis == b.axis && a.turned != b.turned)
    };
    let runs = (0..all.len()).any(|k| {
        let to = word(k + 1) == "to" && run(word(k), word(k + 2));
        // `Corridor E-W` lies along it, and no more.
        let along = |(a, b): (&str, &str)| run(a, b) && !"nesw".contains(a);
        to || word(k).split_once('-').is_some_and(along)
    });
    // `18 ft L-R` is a size.
    let sizes = (0..all.len()).any(|k| number(k) && word(k) != "0");
    (axes && sided) || cornered || (runs && !sizes)
}

/// Whether a time of day stands in a line: what starts then is work.
fn tells_a_time(text: &str) -> bool {
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    text.split_once(':').is_some_and(|(before, behind)| {
        digit(before.chars().next_back()) && digit(behind.chars().next())
    })
}
