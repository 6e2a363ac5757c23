//! The walls of a room by their words, and which of them a heading measures from: `from west wall`.

/// The two axes of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PlanAxis {
    X,
    Y,
}

/// Where an axis counts from: `turned` where from the right or the far wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct From {
    pub axis: PlanAxis,
    pub turned: bool,
}

/// The wall that a word names. A plan with north at its top is no mirror of the floor: west is its left, south its near wall.
fn wall(word: &str) -> Option<From> {
    use PlanAxis::{X, Y};
    let (axis, turned) = match word {
        "left" | "west" | "w" | "lefthand" | "left-hand" => (X, false),
        "right" | "east" | "e" | "righthand" | "right-hand" => (X, true),
        "near" | "south" | "s" | "front" | "bottom" | "lower" => (Y, false),
        "far" | "north" | "n" | "back" | "rear" | "top" | "upper" => (Y, true),
        _ => return None,
    };
    Some(From { axis, turned })
}

/// Words in small letters, without what stands around them, in full where signs and letters stand for them.
pub(super) fn words(text: &str) -> Vec<String> {
    let lower = written_out(text)
        .replace("x-y", "x y")
        .replace("x/y", "x y");
    let split = |c: char| !(c.is_alphanumeric() || c == '-');
    let words = lower.split(split).map(|w| w.trim_matches('-'));
    let words: Vec<&str> = words.filter(|w| !w.is_empty()).flat_map(parted).collect();
    let walls = ["wall", "side", "edge", "end", "corner"];
    let words: Vec<&str> = (0..words.len())
        // `y (ft) from back wall`, `y in ft`: a unit behind an axis says nothing of where it counts from.
        .filter(|&k| {
            let behind = |k: usize| k.checked_sub(1).is_some_and(|k| axis(words[k]).is_some());
            let unit = |k: usize| words.get(k).is_some_and(|w| UNITS.contains(w));
            let preposition = words[k] == "in" && behind(k) && unit(k + 1);
            let after_it = unit(k) && k > 1 && words[k - 1] == "in" && behind(k - 1);
            !(preposition || after_it || (unit(k) && behind(k)))
        })
        // `W wall`.
        .map(|k| match words[k] {
            letter if words.get(k + 1).is_some_and(|w| walls.contains(w)) => {
                compass(letter).unwrap_or(letter)
            }
            word => word,
        })
        .collect();
    // `0-line`, `control line`: the line that distances begin at, and no line of a laser.
    let begins = |k: usize| k > 0 && matches!(words[k - 1], "0" | "zero" | "base" | "control");
    let words: Vec<&str> = (0..words.len())
        .filter(|&k| words[k] != "line" || !begins(k))
        .map(|k| words[k])
        .collect();
    (0..words.len())
        .map(|k| in_full(&words, k).unwrap_or(words[k]).to_owned())
        .collect()
}

/// One letter in full where the words beside it settle what it names: `x E, y S`, `y runs N to S`, `T to B`.
fn in_full(words: &[&str], k: usize) -> Option<&'static str> {
    let at = |k: usize| words.get(k).copied().unwrap_or_default();
    let before = k.checked_sub(1).map_or("", at);
    let behind_axis = axis(before).is_some()
        || matches!(
            before,
            "axis"
                | "0"
                | "zero"
                | "at"
                | "from"
                | "to"
                | "is"
                | "positive"
                | "origin"
                | "runs"
                | "increases"
                | "points"
        );
    let of_axis = words.first().is_some_and(|w| axis(w).is_some());
    let other = if before == "to" {
        k.checked_sub(2).map(at)
    } else {
        (at(k + 1) == "to").then(|| at(k + 2))
    };
    let end = other.and_then(|other| end_of_run(at(k), other));
    end.or_else(|| compass(at(k)).filter(|_| of_axis && behind_axis))
}

/// `T to B`, `R to L`, `F to B`: an end of a run by its letter, which the letter of the other end settles.
fn end_of_run(letter: &str, other: &str) -> Option<&'static str> {
    Some(match (letter, other) {
        ("l", "r") => "left",
        ("r", "l") => "right",
        ("t", "b") => "top",
        ("b", "t") => "bottom",
        ("f", "b") => "front",
        ("b", "f") => "back",
        ("n", "s") => "north",
        ("s", "n") => "south",
        ("e", "w") => "east",
        ("w", "e") => "west",
        ("rt", "lt") => "right",
        ("lt", "rt") => "left",
        _ => return None,
    })
}

/// The end of a way, in words or by a letter that the other end settles: `left` and `R`, `n` and `s`.
pub(super) fn end(name: &str, other: &str) -> Option<From> {
    match sides(end_of_run(name, other).unwrap_or(name))[..] {
        [one] => Some(one),
        _ => None,
    }
}

/// The parts of `y-axis`, `x-0`, `y0`, `zero-point`, `n-s`: words of their own; `north-east` and `right-hand` are one each.
fn parted(word: &str) -> Vec<&str> {
    const OF_ORIGIN: [&str; 4] = ["0", "zero", "start", "base"];
    if matches!(word, "x0" | "y0") {
        return vec![&word[..1], "0"];
    }
    let parts: Vec<&str> = word.split('-').collect();
    // `X-ray room` names no axis.
    let of_axis = |part: &str| {
        part.len() <= 1
            || !sides(part).is_empty()
            || part.starts_with("dir")
            || matches!(
                part,
                "axis"
                    | "zero"
                    | "origin"
                    | "coordinate"
                    | "coordinates"
                    | "dist"
                    | "value"
                    | "values"
            )
    };
    match parts[..] {
        ["x" | "y", second, ..] => {
            if of_axis(second) {
                parts
            } else {
                vec![word]
            }
        }
        [first, _, ..] if OF_ORIGIN.contains(&first) => parts,
        _ => vec![word],
    }
}

/// A text in small letters with the signs that stand for words written out: `y ↓`, `x → E`, `R > L`, `N.W. corner`, `0 @ north`, `x = E`.
fn written_out(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let lower = text
        .to_lowercase()
        .replace("<-", "\u{2190}")
        .replace('\u{2080}', "0");
    for c in lower.chars() {
        match c {
            '→' | '⇒' | '>' => out.push_str(" to "),
            '←' | '⇐' => out.push_str(" left "),
            '↑' | '⇑' => out.push_str(" up "),
            '↓' | '⇓' => out.push_str(" down "),
            '@' => out.push_str(" at "),
            other => out.push(other),
        }
    }
    // An arrow of two signs; and one with nothing behind it points to the right.
    let out = out.replace("- to ", " to ");
    let out = match out.trim_end().strip_suffix(" to") {
        Some(before) => format!("{before} right"),
        None => out,
    };
    spelled(&without_points(&out))
}

/// `n.w. corner`, `n. wall`: letters of the compass without the points behind them.
fn without_points(lower: &str) -> String {
    let letters: Vec<char> = lower.chars().collect();
    let is_letter = |k: usize| letters.get(k).is_some_and(|c| "nesw".contains(*c));
    let begins = |k: usize| {
        k == 0
            || !(letters[k - 1].is_alphanumeric() || letters[k - 1] == '.')
            || (k > 1 && letters[k - 1] == '.' && is_letter(k - 2))
    };
    let is_cut = |k: usize| letters[k] == '.' && k > 0 && is_letter(k - 1) && begins(k - 1);
    (0..letters.len())
        .filter(|&k| !is_cut(k))
        .map(|k| letters[k])
        .collect()
}

/// A letter of the compass in full.
fn compass(letter: &str) -> Option<&'static str> {
    Some(match letter {
        "n" => "north",
        "e" => "east",
        "s" => "south",
        "w" => "west",
        _ => return None,
    })
}

/// `x = E` with its letter in full: elsewhere one letter names too much else.
fn spelled(lower: &str) -> String {
    let mut parts = lower.split('=');
    let mut out = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let bare = part.trim_start();
        let end = bare
            .find(|c: char| !c.is_alphanumeric())
            .unwrap_or(bare.len());
        let (word, rest) = bare.split_at(end);
        out.push_str("= ");
        out.push_str(compass(word).unwrap_or(word));
        out.push_str(rest);
    }
    out
}

/// Units that may stand behind an axis.
const UNITS: [&str; 10] = [
    "ft", "feet", "foot", "m", "mm", "cm", "inches", "metres", "meters", "inch",
];

/// Whether some words name a side of a room, or a way along its plan.
pub(super) fn names_a_side(text: &str) -> bool {
    words(text)
        .iter()
        .any(|w| !sides(w).is_empty() || way(w).is_some())
}

/// Whether some words name a side of a room.
pub(super) fn names_a_wall(text: &str) -> bool {
    words(text).iter().any(|w| !sides(w).is_empty())
}

/// The wall that a heading without its unit measures from: `dist from west wall`, `from left`, `y from far wall`.
pub(super) fn from_wall(heading: &str) -> Option<From> {
    let words = words(heading);
    let at = words.iter().position(|w| w == "from")?;
    let measure = |w: &String| {
        matches!(
            w.as_str(),
            "dist" | "distance" | "distances" | "offset" | "measured" | "measurement"
        )
    };
    let named = words[..at].iter().find_map(|w| axis(w));
    let plain = words[..at].iter().all(|w| axis(w).is_some() || measure(w));
    let rest: Vec<&String> = words[at + 1..].iter().filter(|w| *w != "the").collect();
    let (first, behind) = rest.split_first()?;
    let from = wall(first)?;
    let of_wall = |w: &&&String| matches!(w.as_str(), "wall" | "side" | "edge" | "end" | "hand");
    let fits = plain && behind.iter().filter(|w| !of_wall(w)).count() == 0;
    (fits && named.is_none_or(|n| n == from.axis)).then_some(from)
}

/// The wall that the distances under a heading count from, without its unit: as [`from_wall`], and `off back wall`, `to back wall`. How far it is to
/// a wall is how far it is from there; `y to back wall` may say as well where y runs.
pub(super) fn counts_from(heading: &str) -> Option<From> {
    from_wall(heading).or_else(|| {
        let words = words(heading);
        let at = words.iter().position(|w| w == "to" || w == "off")?;
        let of_axis = words.iter().any(|w| axis(w).is_some());
        let to = words[at] == "to";
        let says = |w: &String| matches!(w.as_str(), "wall" | "side" | "edge" | "end" | "hand");
        if to && (of_axis || !words[at + 1..].iter().any(says)) {
            return None;
        }
        from_wall(&format!(
            "{} from {}",
            words[..at].join(" "),
            words[at + 1..].join(" ")
        ))
    })
}

/// The side of the compass that some words are, and nothing else: `E`, `+N`, `south`. An axis runs there; right and back may as well be what
/// it counts from.
pub(super) fn runs_to(words: &str) -> Option<From> {
    let word = words.trim_matches(|c: char| !c.is_alphabetic());
    let named = compass(word).unwrap_or(word);
    matches!(named, "north" | "east" | "south" | "west")
        .then(|| wall(named))
        .flatten()
}

/// Where an axis runs to by itself.
const WAYS: [(&str, PlanAxis, bool); 10] = [
    ("down", PlanAxis::Y, true),
    ("downward", PlanAxis::Y, true),
    ("downwards", PlanAxis::Y, true),
    ("up", PlanAxis::Y, false),
    ("upward", PlanAxis::Y, false),
    ("upwards", PlanAxis::Y, false),
    ("left", PlanAxis::X, true),
    ("leftward", PlanAxis::X, true),
    ("right", PlanAxis::X, false),
    ("rightward", PlanAxis::X, false),
];

pub(super) fn way(word: &str) -> Option<From> {
    let found = WAYS.iter().find(|(name, ..)| *name == word);
    found.map(|&(_, axis, turned)| From { axis, turned })
}

/// What runs to a side counts from the other.
pub(super) const fn opposite(to: From) -> From {
    From {
        axis: to.axis,
        turned: !to.turned,
    }
}

/// The sides that a word names, two in `NW`.
pub(super) fn sides(word: &str) -> Vec<From> {
    let of: &[&str] = match word {
        "ne" | "northeast" | "north-east" => &["north", "east"],
        "nw" | "northwest" | "north-west" => &["north", "west"],
        "se" | "southeast" | "south-east" => &["south", "east"],
        "sw" | "southwest" | "south-west" => &["south", "west"],
        // One letter names too much else.
        _ if word.len() > 1 => return wall(word).into_iter().collect(),
        _ => &[],
    };
    of.iter().filter_map(|w| wall(w)).collect()
}

pub(super) fn axis(word: &str) -> Option<PlanAxis> {
    match word {
        "x" => Some(PlanAxis::X),
        "y" => Some(PlanAxis::Y),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand. Seen from above, x runs to the right and y up from the near wall.
    #[test]
    fn walls_in_headings_are_read() {
        use PlanAxis::{X, Y};
        for (text, axis, turned) in [
            ("dist from west wall", X, false),
            ("dist from south wall", Y, false),
            ("from left", X, false),
            ("from back", Y, true),
            ("y from far wall", Y, true),
            ("distance from the right hand side", X, true),
            ("x from right edge", X, true),
        ] {
            assert_eq!(from_wall(text), Some(From { axis, turned }), "{text}");
            assert_eq!(counts_from(text), Some(From { axis, turned }), "{text}");
        }
        for (text, axis, turned) in [
            ("to back wall", Y, true),
            ("distance to the left wall", X, false),
            ("off right wall", X, true),
            ("dist off front", Y, false),
        ] {
            assert_eq!(counts_from(text), Some(From { axis, turned }), "{text}");
        }
        for text in ["y to back wall", "to back", "to door wall", "off door"] {
            assert_eq!(counts_from(text), None, "{text}");
        }
        for text in [
            "y from left wall",
            "down from line",
            "from door",
            "up from floor",
            "x",
        ] {
            assert_eq!(from_wall(text), None, "{text}");
        }
    }
}
