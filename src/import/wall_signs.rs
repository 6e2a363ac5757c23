//! Walls named about a picture of a room, `Left wall | | Right wall` above its columns: held against how the picture was taken.

use super::headers::Field;
use super::heading::heading;
use super::origins::runs_from_to;
use super::room::RawRoom;
use super::turns::Counted;
use super::wall_words::{labelled, pieces, sign, top_or_bottom};
use super::walls::{PlanAxis, sides, words};
use crate::geometry::Point;
use crate::survey::Place;

/// Whether some words about a table name a wall, or the two ends of a way, or say which wall a row or column is, and lie as its readings were
/// placed; `None` where they name none, or one that stands in the middle of what it would part.
pub(super) fn agrees(
    (room, plan): (&RawRoom, Option<&Plan>),
    text: &str,
    place: &Place,
    is_title: bool,
) -> Option<bool> {
    let plan = plan?;
    let pieces = pieces(text);
    let told: Vec<Option<bool>> = match &pieces[..] {
        [only] => return one_agrees((room, plan), only, place, is_title),
        _ => pieces
            .iter()
            .map(|p| one_agrees((room, plan), p, place, is_title))
            .collect(),
    };
    let labels = told.iter().all(Option::is_none) && names_a_row_and_a_wall(room, text);
    if labels || told.contains(&Some(false)) {
        Some(false)
    } else {
        told.iter().all(Option::is_some).then_some(true)
    }
}

/// Whether words head distances along an axis that count as they were taken: `Distance from west wall (ft)` over columns that run to the right,
/// `Distance from front wall (ft)` beside rows that count from there and run up the plan.
pub(super) fn names_own_axis(room: &RawRoom, plan: Option<&Plan>, text: &str) -> bool {
    let found = heading(text);
    let from = text
        .split_whitespace()
        .any(|w| w.eq_ignore_ascii_case("from"));
    let own = from && !found.turned && found.unread.is_none();
    let counted = room.about.counting.y == Counted::AsWritten;
    own && plan.is_some_and(|plan| match found.field {
        Field::X => !plan.runs_left(),
        Field::Y => plan.runs_up() && counted,
        _ => false,
    })
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
fn one_agrees(
    (room, plan): (&RawRoom, &Plan),
    text: &str,
    place: &Place,
    is_title: bool,
) -> Option<bool> {
    let list = words(text);
    if let Some((top, wall)) = top_or_bottom(&list) {
        let row = if top { 0 } else { u32::MAX };
        return plan.off_row(row).map(|beyond| beyond == wall.turned);
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
        PlanAxis::Y => plan.at_row(place),
    };
    beyond.map(|beyond| beyond == wall.turned)
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

/// Where the cells of a table lie in the room, by its first and last rows and columns. Found once for all words about it.
pub(super) struct Plan {
    columns: [(u32, f64); 2],
    rows: [(u32, f64); 2],
}

impl Plan {
    pub(super) fn of(room: &RawRoom) -> Option<Self> {
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

    /// Whether what stands above the table, below it, or beside its rows, stands at the far wall; `None` over its columns and among its
    /// readings, and in the middle of its rows.
    fn at_row(&self, place: &Place) -> Option<bool> {
        let [first, last] = self.columns;
        let beside = place.column < first.0 || place.column > last.0;
        let among = || half(place.row, self.rows).map(|behind| behind == self.runs_up());
        self.off_row(place.row)
            .or_else(|| beside.then(among).flatten())
    }

    /// Whether a row lies above the table, or below, and is then that of the far wall; `None` among its rows.
    fn off_row(&self, row: u32) -> Option<bool> {
        let [first, last] = self.rows;
        if row < first.0 {
            Some(!self.runs_up())
        } else if row > last.0 {
            Some(self.runs_up())
        } else {
            None
        }
    }

    /// Whether y grows from row to row.
    fn runs_up(&self) -> bool {
        self.rows[1].1 > self.rows[0].1
    }
}

/// Whether something lies nearer to the last than to the first; `None` where to neither.
fn half(at: u32, [first, last]: [(u32, f64); 2]) -> Option<bool> {
    let from_first = u64::from(at.abs_diff(first.0));
    let from_last = u64::from(at.abs_diff(last.0));
    (from_first != from_last).then_some(from_last < from_first)
}
