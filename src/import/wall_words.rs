//! Words about a picture of a room that say which wall a row, a column or an edge of the sheet is: `A = right wall`, `Top = back`, `R`.

use super::walls::{From, PlanAxis, sides, words};

/// Whether a line says which walls rows and columns are, `A = right wall; E = left wall`, and nothing else: it is no title.
pub(super) fn says_walls(text: &str) -> bool {
    let pieces = pieces(text);
    let says = |p: &String| labelled(&words(p)).is_some() || top_or_bottom(&words(p)).is_some();
    // `Room 2 left` may be a room.
    (pieces.len() > 1 || text.contains(['=', ':'])) && pieces.iter().all(says)
}

/// The statements of a text, `A = right wall, D = left wall (door)`: several of them, and what stands beside.
pub(super) fn pieces(text: &str) -> Vec<String> {
    let marks = text.replace(['\u{2013}', '\u{2014}'], " - ");
    // `A (R)` says of A what `A = R` does.
    let mut told = String::new();
    for c in marks.chars() {
        let before = || {
            told.split(|c: char| !c.is_alphanumeric())
                .rfind(|w| !w.is_empty())
        };
        let label = c == '(' && before().is_some_and(is_label);
        told.push(if label { '=' } else { c });
    }
    let parts = told
        .split([',', ';', '(', ')', '+', '&', '|'])
        .flat_map(|p| p.split(" / "))
        .flat_map(|p| p.split(" and "))
        .flat_map(dashed);
    parts
        .map(|p| p.trim().to_owned())
        .filter(|p| !p.is_empty())
        .collect()
}

/// A piece in which a dash parts statements, `A: right - E: left`, or stands within them as well, `A - right wall - E - left wall`; one in which it only
/// joins a label and its wall stays whole.
fn dashed(piece: &str) -> Vec<String> {
    let parts: Vec<&str> = piece.split(" - ").map(str::trim).collect();
    let is_whole = |p: &str| labelled(&words(p)).is_some();
    let pairs: Vec<String> = match parts.len() {
        n if n >= 4 && n.is_multiple_of(2) => parts.chunks(2).map(|p| p.join(" = ")).collect(),
        _ => Vec::new(),
    };
    if !pairs.is_empty() && pairs.iter().all(|p| is_whole(p)) {
        pairs
    } else if parts.len() > 1 && parts.iter().all(|p| is_whole(p)) {
        parts.into_iter().map(str::to_owned).collect()
    } else {
        vec![piece.to_owned()]
    }
}

/// Whether a word may be the heading of a row or column: a letter, or a number of two digits at most.
fn is_label(w: &str) -> bool {
    let letter = w.len() == 1 && w.chars().all(|c| c.is_ascii_alphabetic());
    letter || (w != "0" && w.len() <= 2 && w.chars().all(|c| c.is_ascii_digit()))
}

/// The wall that words say the top or the bottom of a sheet is: `Top = front`, `Bottom row is the back wall`. Whether it is the top's.
pub(super) fn top_or_bottom(list: &[String]) -> Option<(bool, From)> {
    const BESIDE: [&str; 10] = [
        "row", "of", "sheet", "page", "the", "is", "at", "wall", "side", "table",
    ];
    let said: Vec<&str> = (list.iter().map(String::as_str))
        .filter(|w| !BESIDE.contains(w))
        .collect();
    let [end @ ("top" | "bottom"), side] = said[..] else {
        return None;
    };
    match sides(side)[..] {
        [wall] if wall.axis == PlanAxis::Y => Some((end == "top", wall)),
        _ => None,
    }
}

/// The row or column that words name, and the wall that they say it is: `Column A = right wall`, `Row 1 at the back`, `Right wall = A`.
pub(super) fn labelled(list: &[String]) -> Option<(String, From)> {
    const BESIDE: [&str; 33] = [
        "against", "by", "next", "near", "beside", "touching", "hard", "first", "nearest",
        "closest", "towards", "toward", "to", "column", "columns", "col", "row", "rows", "line",
        "the", "is", "at", "on", "along", "in", "side", "wall", "end", "edge", "hand", "of",
        "room", "starts",
    ];
    let said: Vec<&str> = list
        .iter()
        .map(String::as_str)
        .filter(|w| !BESIDE.contains(w))
        .collect();
    let letter = |w: &str| match w {
        "l" | "lh" | "lhs" => "left",
        "r" | "rh" | "rhs" => "right",
        _ => "",
    };
    let (label, side) = match said[..] {
        [a, b] if is_label(a) && !sides(b).is_empty() => (a, b),
        // `A = R`.
        [a, b] if is_label(a) && !letter(b).is_empty() => (a, letter(b)),
        [a, b] if is_label(b) && !sides(a).is_empty() => (b, a),
        [a, b] if is_label(b) && !letter(a).is_empty() => (b, letter(a)),
        _ => return None,
    };
    match sides(side)[..] {
        [wall] => Some((label.to_owned(), wall)),
        _ => None,
    }
}

/// The wall that words name, and nothing else: `Right wall`, `E side`, `front`, `R`.
pub(super) fn sign(list: &[String]) -> Option<From> {
    const BESIDE: [&str; 7] = ["wall", "side", "end", "edge", "the", "hand", "here"];
    let mut named = list.iter().filter(|w| !BESIDE.contains(&w.as_str()));
    let (Some(name), None) = (named.next(), named.next()) else {
        return None;
    };
    // `N` at an edge of a picture is an arrow of the compass, and `B` may be the bottom or the back.
    let full = match name.as_str() {
        // `RH` by itself is the humidity.
        "lh" | "rh" if list.len() == 1 => return None,
        "l" | "lh" | "lhs" => "left",
        "r" | "rh" | "rhs" => "right",
        "e" => "east",
        "w" => "west",
        "n" => "north",
        "s" => "south",
        other => other,
    };
    match sides(full)[..] {
        [one] => Some(one),
        _ => None,
    }
}
