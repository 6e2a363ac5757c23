//! Where the columns and rows of a matrix lie on the plan.

use super::axis::Axis;
use super::options::{ImportOptions, Orientation, XRuns};
use super::turns::{Counted, Counting};
use crate::geometry::{Point, Ring, Segment, bounds};
use crate::survey::{FirstRow, Laid, LaidBy};

/// Where the columns and rows of a matrix lie on the plan.
pub(super) struct Lie {
    /// Of each column, metres; `None` where the heading gives no place.
    pub x: Vec<Option<f64>>,
    /// Of each row.
    pub y: Vec<Option<f64>>,
    /// Whether the first column is the left one.
    pub first_column_left: bool,
    pub laid: Laid,
    pub counting: Counting,
}

/// A reading this far outside of the walls still fits them, metres: tapes and outlines round.
const OUTSIDE_M: f64 = 0.05;

impl Lie {
    /// As stated; else as the walls allow, where they allow one way only; else as such a sheet is meant.
    pub(super) fn find<I: Iterator<Item = (usize, usize)>>(
        across: &Axis,
        along: &Axis,
        stated: Orientation,
        options: &ImportOptions,
        filled: impl Fn() -> I,
    ) -> Self {
        let walls = options.walls();
        let extent = walls.and_then(|w| bounds(w.points().iter().copied()));
        let (x_walls, y_walls) = (
            extent.map(|(lo, hi)| (lo.x, hi.x)),
            extent.map(|(lo, hi)| (lo.y, hi.y)),
        );
        let usual_left = match stated.x_runs {
            Some(runs) => runs == XRuns::Right,
            None => across.named || grows(across),
        };
        let meant = if along.named || !grows(along) {
            FirstRow::Far
        } else {
            FirstRow::Near
        };
        let turns = options.turns;
        let columns = |left: bool| places(across, left, (x_walls, turns.x_m));
        let rows = |first: FirstRow| places(along, first == FirstRow::Near, (y_walls, turns.y_m));
        let counted = |axis: &Axis, first_low: bool, stated: bool| {
            if walls.is_some() || first_low == grows(axis) {
                return Counted::AsWritten;
            }
            let (low, high) = reach(axis);
            Counted::Turned {
                reach_m: (if axis.named { 0.0 } else { low }, high),
                stated,
            }
        };
        let of = |left: bool, first_row: FirstRow, by: LaidBy| Self {
            x: columns(left),
            y: rows(first_row),
            first_column_left: left,
            laid: Laid { first_row, by },
            counting: Counting {
                x: counted(across, left, stated.x_runs.is_some()),
                y: counted(along, first_row == FirstRow::Near, by == LaidBy::Stated),
            },
        };
        let unless_fitted = match stated.first_row {
            Some(first_row) => of(usual_left, first_row, LaidBy::Stated),
            None => of(usual_left, meant, LaidBy::Taken),
        };
        let Some(walls) = walls else {
            return unless_fitted;
        };
        let first_rows = match stated.first_row {
            Some(first_row) => vec![first_row],
            None => vec![meant, meant.other()],
        };
        let fitting = |left: bool| -> Vec<FirstRow> {
            let x = columns(left);
            let fits = |y: &[Option<f64>]| {
                filled().all(|(j, i)| match (x[j], y[i]) {
                    (Some(x), Some(y)) => near(walls, Point::new(x, y)),
                    _ => true,
                })
            };
            first_rows
                .iter()
                .copied()
                .filter(|&first| fits(&rows(first)))
                .collect()
        };
        let by = if stated.first_row.is_some() {
            LaidBy::Stated
        } else {
            LaidBy::Outline
        };
        match fitting(usual_left)[..] {
            [only] => of(usual_left, only, by),
            // Columns that run to the left where nothing says so: only where no other way fits at all.
            [] if stated.x_runs.is_none() => match fitting(!usual_left)[..] {
                [only] => of(!usual_left, only, by),
                _ => unless_fitted,
            },
            _ => unless_fitted,
        }
    }

    /// In a sentence.
    pub(super) fn words(&self) -> String {
        format!(
            "Seen from above, x runs to the right and y up the plan; the first column of readings is at the {}, the first row at the {} of the plan{}.",
            if self.first_column_left {
                "left"
            } else {
                "right"
            },
            match self.laid.first_row {
                FirstRow::Near => "bottom (near side)",
                FirstRow::Far => "top (far side)",
            },
            match self.laid.by {
                LaidBy::Stated => ", as stated",
                LaidBy::Outline => ": the outline fits only so",
                LaidBy::Taken => ", which nothing states",
            }
        )
    }
}

/// The first heading at which distances run neither up nor down any more.
pub(super) fn turns_back(axis: &Axis) -> Option<usize> {
    if axis.named { None } else { turns(axis) }
}

/// The same where names bring their distances, `B (4')`.
pub(super) fn turns(axis: &Axis) -> Option<usize> {
    let marks: Vec<(usize, f64)> = (0..)
        .zip(&axis.marks)
        .filter_map(|(i, m)| m.as_ref().map(|m| (i, m.at)))
        .collect();
    let up = marks.get(1)?.1 >= marks[0].1;
    let turned = |w: &[(usize, f64)]| (w[1].1 >= w[0].1) != up;
    marks.windows(2).find(|w| turned(w)).map(|w| w[1].0)
}

pub(super) fn grows(axis: &Axis) -> bool {
    let mut marks = axis.marks.iter().flatten().map(|m| m.at);
    match (marks.next(), marks.next_back()) {
        (Some(a), Some(b)) => b >= a,
        _ => true,
    }
}

/// The least and the greatest distance of an axis, metres.
fn reach(axis: &Axis) -> (f64, f64) {
    let marks = axis.marks.iter().flatten().map(|m| m.at);
    marks.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), at| {
        (lo.min(at), hi.max(at))
    })
}

/// Plan coordinates of an axis whose first heading lies at the low or at the high end, metres. Names count from
/// the wall that the first of them stands for; distances are coordinates, unless the axis has to be turned: about the walls, about what
/// other sheets tell, or about its own ends.
fn places(
    axis: &Axis,
    first_low: bool,
    (walls, turn_m): (Option<(f64, f64)>, Option<f64>),
) -> Vec<Option<f64>> {
    let (low, high) = reach(axis);
    let turned = first_low != grows(axis);
    let place = |at: f64| match (axis.named, turned, walls) {
        (true, false, walls) => walls.map_or(0.0, |w| w.0) + at,
        (true, true, walls) => walls.map_or(turn_m.unwrap_or(high), |w| w.1) - at,
        (false, false, _) => at,
        (false, true, walls) => walls.map_or(turn_m.unwrap_or(low + high), |w| w.0 + w.1) - at,
    };
    axis.marks
        .iter()
        .map(|m| m.as_ref().map(|m| place(m.at)))
        .collect()
}

/// Whether a place lies within walls, or hardly outside of them.
pub(super) fn near(walls: &Ring, p: Point) -> bool {
    walls.contains(p)
        || walls
            .sides()
            .any(|(a, b)| Segment::new(a, b).distance(p) <= OUTSIDE_M)
}
