//! Which walls distances are measured from, in headings and in words beside a list: `from west wall`, `Origin: back left corner`.

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
fn words(text: &str) -> Vec<String> {
    let lower = text.to_lowercase();
    let split = |c: char| !(c.is_alphanumeric() || c == '-');
    let words = lower.split(split).map(|w| w.trim_matches('-').to_owned());
    words.filter(|w| !w.is_empty()).collect()
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

/// What words beside a list say of its origin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Origin {
    /// Which way each axis counts, as far as they say it: whether it is turned.
    Said { x: Option<bool>, y: Option<bool> },
    /// They speak of it in words that are not known.
    Unclear,
}

/// What some words say of where x and y count from; `None` where they do not speak of it.
pub(super) fn origin(text: &str) -> Option<Origin> {
    let words = words(text);
    let says = |list: &[&str]| words.iter().any(|w| list.contains(&w.as_str()));
    let zeros = words.windows(2).any(|w| w[0] == "0" && w[1] == "0");
    let of_origin = says(&["origin"])
        || (zeros && text.contains(['=', ':', '(']))
        || (zeros && says(&["at", "is"]));
    let corners = || {
        let of = |w: &String| match w.as_str() {
            "ne" | "northeast" | "north-east" => vec!["north", "east"],
            "nw" | "northwest" | "north-west" => vec!["north", "west"],
            "se" | "southeast" | "south-east" => vec!["south", "east"],
            "sw" | "southwest" | "south-west" => vec!["south", "west"],
            _ => Vec::new(),
        };
        let named = words.iter().filter(|w| w.len() > 1).filter_map(|w| wall(w));
        let short: Vec<From> = words.iter().flat_map(of).filter_map(wall).collect();
        named.chain(short).collect::<Vec<From>>()
    };
    if of_origin {
        return Some(settle(&corners()));
    }
    // `y measured from far wall`, `x runs left`: an axis, and in the few words behind it where it counts from or runs to.
    let mut found = Vec::new();
    let mut spoken = false;
    for (k, w) in words.iter().enumerate() {
        let Some(of) = axis(w) else { continue };
        let end = words[k + 1..]
            .iter()
            .position(|w| axis(w).is_some())
            .map_or(words.len(), |n| k + 1 + n);
        let behind = &words[k + 1..end];
        if let Some(from) = said_of(of, behind) {
            spoken = true;
            found.extend(from);
        }
    }
    // `Measured from the back wall`, with no axis named.
    if !spoken
        && let Some(at) = words.iter().position(|w| w == "from")
        && words[..at].iter().any(|w| {
            matches!(
                w.as_str(),
                "measured" | "distance" | "distances" | "dimensions" | "offsets"
            )
        })
        && words
            .iter()
            .any(|w| w == "wall" || w == "walls" || w == "corner")
        && !says(&["down", "up", "laser", "line"])
    {
        let behind: Vec<From> = words[at..].iter().filter_map(|w| wall(w)).collect();
        return Some(if behind.is_empty() {
            Origin::Unclear
        } else {
            settle(&behind)
        });
    }
    spoken.then(|| settle(&found))
}

fn axis(word: &str) -> Option<PlanAxis> {
    match word {
        "x" => Some(PlanAxis::X),
        "y" => Some(PlanAxis::Y),
        _ => None,
    }
}

/// What the words behind an axis say of it: `None` where they say nothing, an empty list where they say what is not known.
fn said_of(axis: PlanAxis, behind: &[String]) -> Option<Vec<From>> {
    let at = |list: &[&str]| behind.iter().position(|w| list.contains(&w.as_str()));
    if let Some(k) = at(&["from"]) {
        let walls: Vec<From> = behind[k..].iter().filter_map(|w| wall(w)).collect();
        // `x runs from left to right`: the first counts.
        let own = walls.into_iter().find(|f| f.axis == axis);
        return Some(own.into_iter().collect());
    }
    let runs = at(&[
        "runs",
        "run",
        "increases",
        "positive",
        "goes",
        "is",
        "points",
        "counts",
        "grows",
    ]);
    let way = at(&[
        "down",
        "downward",
        "downwards",
        "up",
        "upward",
        "upwards",
        "left",
        "leftward",
        "right",
        "rightward",
    ])?;
    // `y down` by itself, or behind a word for running.
    if runs.is_none()
        && behind.len()
            > 1 + usize::from(at(&["the"]).is_some())
                + usize::from(at(&["page", "plan", "sheet"]).is_some())
    {
        return None;
    }
    let (of, turned) = match behind[way].as_str() {
        "down" | "downward" | "downwards" => (PlanAxis::Y, true),
        "up" | "upward" | "upwards" => (PlanAxis::Y, false),
        "left" | "leftward" => (PlanAxis::X, true),
        _ => (PlanAxis::X, false),
    };
    // An axis that runs the other's way is none that is known.
    Some(if of == axis {
        vec![From { axis, turned }]
    } else {
        Vec::new()
    })
}

fn settle(found: &[From]) -> Origin {
    let of = |axis: PlanAxis| {
        let mut told = found.iter().filter(|f| f.axis == axis).map(|f| f.turned);
        let first = told.next();
        // Two walls of one axis say nothing.
        first.filter(|f| told.all(|t| t == *f))
    };
    match (of(PlanAxis::X), of(PlanAxis::Y)) {
        (None, None) => Origin::Unclear,
        (x, y) => Origin::Said { x, y },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand. Seen from above, x runs to the right and y up from the near wall.
    #[test]
    fn walls_in_headings_and_in_words_are_read() {
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
        let said = |x, y| Some(Origin::Said { x, y });
        for (text, want) in [
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
            ("x down, y across", Some(Origin::Unclear)),
            ("Measured down from the laser", None),
            ("Exam 3 (2)", None),
            ("Level 2, north wing", None),
            ("x = no reading", None),
            ("X marks the left door", None),
        ] {
            assert_eq!(origin(text), want, "{text}");
        }
    }
}
