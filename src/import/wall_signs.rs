//! Walls named about a picture of a room, `Left wall | | Right wall` above its columns: held against how the picture was taken.

use super::origins::runs_from_to;
use super::room::RawRoom;
use super::walls::{From, PlanAxis, sides, words};
use crate::geometry::Point;
use crate::survey::Place;

/// Whether some words about a table name a wall, or the two ends of a way, or say which wall a row or column is, and lie as its readings were
/// placed; `None` where they name none, or one that stands in the middle of what it would part.
pub(super) fn agrees(room: &RawRoom, text: &str, place: &Place, is_title: bool) -> Option<bool> {
    let pieces = pieces(text);
    let told: Vec<Option<bool>> = match &pieces[..] {
        [only] => return one_agrees(room, only, place, is_title),
        _ => pieces
            .iter()
            .map(|p| one_agrees(room, p, place, is_title))
            .collect(),
    };
    let labels = told.iter().all(Option::is_none) && names_a_row_and_a_wall(room, text);
    if labels || told.contains(&Some(false)) {
        Some(false)
    } else {
        told.iter().all(Option::is_some).then_some(true)
    }
}

/// Whether a line says which walls rows and columns are, `A = right wall; E = left wall`, and nothing else: it is no title.
pub(super) fn says_walls(text: &str) -> bool {
    let pieces = pieces(text);
    let says = |p: &String| labelled(&words(p)).is_some() || top_or_bottom(&words(p)).is_some();
    // `Room 2 left` may be a room.
    (pieces.len() > 1 || text.contains(['=', ':'])) && pieces.iter().all(says)
}

/// The statements of a text, `A = right wall, D = left wall (door)`: several of them, and what stands beside.
fn pieces(text: &str) -> Vec<String> {
    let marks = text.replace(['\u{2013}', '\u{2014}'], " - ");
    // `A (R)` says of A what `A = R` does.
    let mut told = String::new();
    for c in marks.chars() {
        let before = told
            .split(|c: char| !c.is_alphanumeric())
            .rfind(|w| !w.is_empty());
        let label = c == '(' && before.is_some_and(is_label);
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

/// Whether words that are not understood hold the letter of a row or column of the table, as it is written there, and a side: `A (right) to C
/// (left)`.
fn names_a_row_and_a_wall(room: &RawRoom, text: &str) -> bool {
    const MOST_WORDS: usize = 10;
    let raw: Vec<&str> = text
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    let is_letter = |w: &&&str| w.len() == 1 && w.chars().all(|c| c.is_ascii_uppercase());
    let of_table = |w: &str| room.readings.iter().any(|r| r.label.starts_with(w));
    raw.len() <= MOST_WORDS
        && raw.iter().filter(is_letter).any(|w| of_table(w))
        && words(text).iter().any(|w| !sides(w).is_empty())
}

/// The same of one of several.
fn one_agrees(room: &RawRoom, text: &str, place: &Place, is_title: bool) -> Option<bool> {
    let plan = Plan::of(room)?;
    let list = words(text);
    if let Some((top, wall)) = top_or_bottom(&list) {
        let row = if top { 0 } else { u32::MAX };
        return plan.at_row(row).map(|beyond| beyond == wall.turned);
    }
    let run = match &list[..] {
        [of, rest @ ..] if of.starts_with("col") || of == "letters" => rest,
        all => all,
    };
    if let Some(from) = runs_from_to(run) {
        // Along a row the picture runs as its columns do; up and down it nobody writes a way in one cell.
        return (from.axis == PlanAxis::X).then(|| plan.runs_left() == from.turned);
    }
    // `Left wall = E`: there E is a column, and no east.
    let raw: Vec<String> = text
        .to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(str::to_owned)
        .collect();
    if let Some((label, wall)) = labelled(&list).or_else(|| labelled(&raw)) {
        return at_label(room, &label, wall.axis).map(|beyond| beyond == wall.turned);
    }
    let wall = sign(&list)?;
    let beyond = match wall.axis {
        PlanAxis::X if is_title => None,
        PlanAxis::X => plan.at_column(place.column),
        PlanAxis::Y => plan.at_row(place.row),
    };
    beyond.map(|beyond| beyond == wall.turned)
}

/// The wall that words say the top or the bottom of a sheet is: `Top = front`, `Bottom row is the back wall`. Whether it is the top's.
fn top_or_bottom(list: &[String]) -> Option<(bool, From)> {
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
fn labelled(list: &[String]) -> Option<(String, From)> {
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
        _ => return None,
    };
    match sides(side)[..] {
        [wall] => Some((label.to_owned(), wall)),
        _ => None,
    }
}

/// Whether the readings of a row or column lie beyond the middle of the room along an axis; `None` in the middle, or where there are none.
fn at_label(room: &RawRoom, label: &str, axis: PlanAxis) -> Option<bool> {
    /// So near to the middle, as a share of the whole, a row is on neither side.
    const MIDDLE: f64 = 0.1;
    let along = |p: Point| match axis {
        PlanAxis::X => p.x,
        PlanAxis::Y => p.y,
    };
    let is_of = |name: &str| {
        let letters = name.trim_end_matches(|c: char| c.is_ascii_digit());
        let part = if label.starts_with(|c: char| c.is_ascii_digit()) {
            &name[letters.len()..]
        } else {
            letters
        };
        part.eq_ignore_ascii_case(label)
    };
    let all = || room.readings.iter().map(|r| along(r.at));
    let (low, high) = all().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
        (l.min(v), h.max(v))
    });
    let of: Vec<f64> = (room.readings.iter())
        .filter(|r| is_of(&r.label))
        .map(|r| along(r.at))
        .collect();
    let mean = of.iter().sum::<f64>() / of.len() as f64;
    let off = mean - (low + high) / 2.0;
    (!of.is_empty() && off.abs() > MIDDLE * (high - low)).then_some(off > 0.0)
}

/// The wall that words name, and nothing else: `Right wall`, `E side`, `front`, `R`.
fn sign(list: &[String]) -> Option<From> {
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

/// Where the cells of a table lie in the room, by its first and last rows and columns.
struct Plan {
    columns: [(u32, f64); 2],
    rows: [(u32, f64); 2],
}

impl Plan {
    fn of(room: &RawRoom) -> Option<Self> {
        let cells = || room.readings.iter().map(|r| (&r.raw.place, r.at));
        let ends = |of: &dyn Fn(&Place) -> u32, at: &dyn Fn(Point) -> f64| {
            let first = cells().min_by_key(|(p, _)| of(p))?;
            let last = cells().max_by_key(|(p, _)| of(p))?;
            let ends = [first, last].map(|(p, q)| (of(p), at(q)));
            (ends[0].0 < ends[1].0).then_some(ends)
        };
        Some(Self {
            columns: ends(&|p| p.column, &|q| q.x)?,
            rows: ends(&|p| p.row, &|q| q.y)?,
        })
    }

    /// Whether x falls from column to column.
    fn runs_left(&self) -> bool {
        self.columns[1].1 < self.columns[0].1
    }

    /// Whether a column lies in the right half; `None` in the middle.
    fn at_column(&self, column: u32) -> Option<bool> {
        let behind = half(column, self.columns)?;
        Some(behind != self.runs_left())
    }

    /// Whether a row lies above the table, or below, and is then that of the far wall; `None` among its rows.
    fn at_row(&self, row: u32) -> Option<bool> {
        let [first, last] = self.rows;
        let far = last.1 > first.1;
        if row < first.0 {
            Some(!far)
        } else if row > last.0 {
            Some(far)
        } else {
            None
        }
    }
}

/// Whether something lies nearer to the last than to the first; `None` where to neither.
fn half(at: u32, [first, last]: [(u32, f64); 2]) -> Option<bool> {
    let from_first = u64::from(at.abs_diff(first.0));
    let from_last = u64::from(at.abs_diff(last.0));
    (from_first != from_last).then_some(from_last < from_first)
}
