//! Words by which a sheet or its plan lies otherwise than it is read: `Sheet is mirrored`, `North is down`, `View from below`, `Rotated 90`.

use super::pages::plain_words;

/// What is drawn or written down.
const SHEETS: [&str; 17] = [
    "sheet", "plan", "sketch", "drawing", "drawn", "page", "picture", "map", "layout", "grid",
    "table", "photo", "image", "view", "rows", "columns", "matrix",
];
/// How it may lie, in one word.
const TURNED: [&str; 17] = [
    "mirrored",
    "mirror",
    "mirror-image",
    "upside-down",
    "turned",
    "rotated",
    "flipped",
    "reversed",
    "inverted",
    "swapped",
    "exchanged",
    "transposed",
    "backwards",
    "backward",
    "rotate",
    "flip",
    "upended",
];
/// What may stand beside such a word where nothing names the sheet.
const BESIDE: [&str; 34] = [
    "image",
    "and",
    "is",
    "are",
    "was",
    "all",
    "it",
    "this",
    "by",
    "the",
    "to",
    "deg",
    "degrees",
    "degree",
    "clockwise",
    "counterclockwise",
    "ccw",
    "cw",
    "left",
    "right",
    "top",
    "bottom",
    "up",
    "down",
    "half",
    "quarter",
    "turn",
    "round",
    "around",
    "over",
    "here",
    "note",
    "left-right",
    "side",
];
/// What may stand beside a side of the compass and where it lies.
const OF_COMPASS: [&str; 24] = [
    "is", "at", "the", "to", "on", "of", "arrow", "points", "pointing", "side", "sheet", "page",
    "plan", "drawing", "sketch", "true", "toward", "towards", "grid", "end", "note", "edge", "are",
    "wall",
];
const DENIED: [&str; 6] = ["not", "no", "never", "isn't", "wasn't", "nothing"];

/// Whether words about a table may say so. North up or at the top is as it is read.
pub(super) fn says_turned(text: &str) -> bool {
    /// Longer texts are notes about other things.
    const MOST: usize = 12;
    let words = words(text);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    if words.is_empty() || words.len() > MOST || words.iter().any(|w| DENIED.contains(w)) {
        return false;
    }
    of_sheet(&words) || alone(&words) || by_compass(text, &words) || from_below(&words)
}

/// The same of a note beside one reading, of which only what names the sheet is of more than its place.
pub(super) fn says_turned_sheet(text: &str) -> bool {
    let words = words(text);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    says_turned(text) && (of_sheet(&words) || from_below(&words))
}

fn words(text: &str) -> Vec<String> {
    // Most cells are numbers.
    if !text.contains(char::is_alphabetic) {
        return Vec::new();
    }
    let mut text = text.to_lowercase();
    for (from, to) in [
        ("upside down", "upside-down"),
        ("\u{2193}", " down "),
        ("\u{2191}", " up "),
        ("\u{2192}", " right "),
        ("\u{2190}", " left "),
        ("\u{b0}", " deg "),
    ] {
        text = text.replace(from, to);
    }
    plain_words(&text)
}

/// `Sheet is mirrored`, `Sketch turned 180`, `Rows and columns swapped`, `Plan is the other way round`.
fn of_sheet(words: &[&str]) -> bool {
    /// No more words stand between what is turned and that it is.
    const NEAR: usize = 4;
    let other_way = |k: usize| {
        matches!(
            words.get(k..k + 3),
            Some(["other", "way", "round" | "around"])
        )
    };
    let turned = |k: usize| {
        // `Plan turned in`, `table turned over to the crew`, `Turned on at 8`.
        let behind = words.get(k + 1).copied().unwrap_or_default();
        let given = words[k] == "turned" && matches!(behind, "in" | "on" | "off" | "out");
        (TURNED.contains(&words[k]) && !given) || other_way(k)
    };
    (0..words.len()).filter(|&k| turned(k)).any(|k| {
        let from = k.saturating_sub(NEAR);
        let to = words.len().min(k + NEAR);
        words[from..to].iter().any(|w| SHEETS.contains(w))
    })
}

/// `Rotated 90`, `Mirrored`, `Upside down`: nothing else is spoken of, so that it can only be the sheet.
fn alone(words: &[&str]) -> bool {
    let number = |w: &str| matches!(w, "45" | "90" | "180" | "270");
    let plain = |w: &&&str| TURNED.contains(w) || BESIDE.contains(w) || number(w);
    let turned = words.iter().any(|w| TURNED.contains(w) && *w != "mirror");
    // `Turned over`, `turned on`: of a job, or of a lamp.
    let how = words.iter().any(|w| number(w)) || !words.contains(&"turned");
    turned && how && words.iter().filter(plain).count() == words.len()
}

/// `North is down`, `South at top`, `N to left`: a side of the compass that lies where another does on a plan. `Looking south` puts that side at
/// the top.
fn by_compass(text: &str, words: &[&str]) -> bool {
    let side = |w: &str| match w {
        "north" | "n" => Some("up"),
        "south" | "s" => Some("down"),
        "east" | "e" => Some("right"),
        "west" | "w" => Some("left"),
        _ => None,
    };
    let lies = |w: &str| match w {
        "up" | "top" => Some("up"),
        "down" | "bottom" => Some("down"),
        "left" => Some("left"),
        "right" => Some("right"),
        _ => None,
    };
    if let ["looking", toward] | ["looking", "to" | "towards", toward] | [_, "looking", toward] =
        words
    {
        return side(toward).is_some_and(|own| own != "up") && toward.len() > 1;
    }
    let sides: Vec<&str> = words
        .iter()
        .copied()
        .filter(|w| side(w).is_some())
        .collect();
    let ways: Vec<&str> = words.iter().copied().filter_map(lies).collect();
    let plain = |w: &&&str| side(w).is_some() || lies(w).is_some() || OF_COMPASS.contains(w);
    let ([named], [way]) = (&sides[..], &ways[..]) else {
        return false;
    };
    // A letter in small is no side; a wall that is down or up has so much to be filled.
    let letter = named.len() > 1 || text.contains(named.to_uppercase().as_str());
    let wall = words.contains(&"wall") && !words.iter().any(|w| matches!(*w, "top" | "bottom"));
    letter
        && !wall
        && side(words[0]).or(lies(words[0])).is_some()
        && words.iter().filter(plain).count() == words.len()
        && side(named) != Some(way)
}

/// `View from below`, `Seen from underneath`, `Looking up`.
fn from_below(words: &[&str]) -> bool {
    let seen = |w: &str| {
        matches!(
            w,
            "view" | "viewed" | "seen" | "looking" | "drawn" | "plan" | "sketch"
        )
    };
    let below = |w: &str| matches!(w, "below" | "underneath" | "beneath" | "under");
    let from = |k: usize| {
        let article = usize::from(words.get(k + 2) == Some(&"the"));
        words.get(k + 1) == Some(&"from") && words.get(k + 2 + article).is_some_and(|w| below(w))
    };
    (0..words.len()).any(|k| seen(words[k]) && from(k)) || matches!(words, ["looking", "up"])
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand. What a person would turn the sheet for, and what nobody would.
    #[test]
    fn words_of_a_turned_sheet_are_known() {
        for text in [
            "Sheet is mirrored",
            "Plan is upside down",
            "Upside down",
            "North is down",
            "N \u{2193}",
            "South at top",
            "East is up",
            "North arrow points left",
            "View from below",
            "seen from underneath",
            "Sketch turned 180",
            "Rotated 90",
            "Rotated 90\u{b0} clockwise",
            "Mirror image",
            "Drawing is the other way round",
            "Rows and columns swapped",
            "Looking south",
        ] {
            assert!(says_turned(text), "{text}");
        }
        for text in [
            "North is up",
            "North arrow",
            "N up",
            "N at top",
            "South at bottom",
            "North \u{2191}",
            "Sheet is not mirrored",
            "Laser turned off at noon",
            "Turned on TP1",
            "South wall down 1/4",
            "South down 1/4",
            "Mirror on west wall",
            "Tiles turned 45",
            "Plan A-101",
            "Table turned in 5/12",
            "Looking good",
            "View from the door",
            "Kitchen north",
            "East side",
            "Room 204",
        ] {
            assert!(!says_turned(text), "{text}");
        }
        assert!(says_turned_sheet("Sheet is mirrored"));
        assert!(!says_turned_sheet("rotated 90"));
    }
}
