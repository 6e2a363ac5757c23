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

/// Words in small letters, without what stands around them.
pub(super) fn words(text: &str) -> Vec<String> {
    let lower = spelled(&text.to_lowercase())
        .replace("x-y", "x y")
        .replace("x/y", "x y");
    let split = |c: char| !(c.is_alphanumeric() || c == '-');
    let words = lower.split(split).map(|w| w.trim_matches('-'));
    let words: Vec<&str> = words.filter(|w| !w.is_empty()).collect();
    let walls = ["wall", "side", "edge", "end", "corner"];
    (0..words.len())
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
                compass(letter).unwrap_or(letter).to_owned()
            }
            word => word.to_owned(),
        })
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
