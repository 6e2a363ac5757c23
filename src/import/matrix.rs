//! A matrix: distances in the first row and column, readings between them.

use super::axis::{Axis, Reader, Which};
use super::blocks::{Block, Settings, matrix_width, outside};
use super::cells::{CellRule, Seen, decimal_by_size, length, usual_m};
use super::error::{Fault, Faults, quoted};
use super::headers::{is_no_reading, is_summary, meaning, split_unit};
use super::options::{ImportOptions, Layout, Meaning, Orientation, XRuns};
use super::room::{RawRoom, take};
use super::table::{Cell, Table};
use super::understood::{SkippedCell, Why};
use crate::geometry::{Point, Ring, Segment, bounds};
use crate::survey::{FirstRow, Laid, LaidBy, Notice, Severity, column_letters};
use crate::units::LengthUnit;
use ecow::{EcoString, eco_format};

/// Units and meaning that the corner cell states: `ft / in`, `plan ft, reading in`, `elevation mm`.
#[derive(Debug, Default, PartialEq)]
struct Corner {
    plan: Option<LengthUnit>,
    reading: Option<LengthUnit>,
    meaning: Option<Meaning>,
}

fn corner(text: &str) -> Corner {
    let mut out = Corner::default();
    let mut units = Vec::new();
    for piece in text.split(['/', ',', ';', '\\', '|']) {
        let piece = piece.trim();
        if let Some(unit) = LengthUnit::from_word(piece) {
            units.push(unit);
            continue;
        }
        // `y_ft down`, `x (ft)`: an axis with its unit anywhere behind it.
        let mut pieces = piece
            .split(|c: char| c.is_whitespace() || matches!(c, '_' | '(' | ')' | '[' | ']'))
            .filter(|w| !w.is_empty());
        if matches!(
            pieces.next().map(str::to_lowercase).as_deref(),
            Some("x" | "y" | "plan" | "grid" | "distance" | "distances")
        ) {
            out.plan = out.plan.or_else(|| pieces.find_map(LengthUnit::from_word));
            continue;
        }
        let (words, unit) = split_unit(piece);
        let told = meaning(&words);
        out.meaning = out.meaning.or(told);
        if told.is_some() {
            out.reading = out.reading.or(unit);
        }
    }
    // Two bare units are plan and reading, in that order; one alone could be either and is not used.
    if let [plan, reading] = units[..] {
        out.plan = out.plan.or(Some(plan));
        out.reading = out.reading.or(Some(reading));
    }
    out
}

/// Reads one matrix.
pub(super) fn read(
    table: &Table,
    block: &Block,
    corner_column: usize,
    options: &ImportOptions,
    faults: &mut Faults,
) -> RawRoom {
    let header = table.row(block.header.unwrap_or(block.body.start));
    let told = corner(header.cell(corner_column).text);
    let settings: &Settings = &block.settings;
    let plan_unit = options.plan_unit.or(told.plan).or(settings.plan);
    let reading_unit = options.reading_unit.or(told.reading).or(settings.reading);
    let stated = options.meaning.or(told.meaning).or(settings.meaning);
    let meaning = stated.unwrap_or_default();
    let spacing = options.spacing.or(settings.spacing);
    let orientation = Orientation {
        first_row: options.orientation.first_row.or(settings.first_row),
        x_runs: options.orientation.x_runs.or(settings.x_runs),
    };
    let rule = |unit| CellRule {
        unit,
        dates_as_fractions: options.dates_as_fractions,
        usual_m: None,
        day_numbers: false,
        plan: false,
        decimal_comma: false,
    };
    let reading_rule = CellRule {
        day_numbers: true,
        ..rule(reading_unit)
    };
    let place = |c: &Cell<'_>| table.place(c.row, c.column);

    let width = matrix_width(&header, corner_column);
    let heads: Vec<Cell<'_>> = (corner_column + 1..width).map(|i| header.cell(i)).collect();
    let rows: Vec<_> = block
        .body
        .clone()
        .map(|i| table.row(i))
        .filter(|r| !r.is_blank())
        .collect();
    let decimal_comma = meaning != Meaning::Elevation
        && decimal_by_size(
            rows.iter()
                .flat_map(|r| (corner_column + 1..width).map(|i| r.cell(i))),
            reading_rule,
        );
    let reading_rule = CellRule {
        decimal_comma,
        ..reading_rule
    };
    let reading_rule = CellRule {
        usual_m: usual_m(
            rows.iter()
                .flat_map(|r| (corner_column + 1..width).map(|i| r.cell(i))),
            reading_rule,
        ),
        ..reading_rule
    };
    let sides: Vec<Cell<'_>> = rows.iter().map(|r| r.cell(corner_column)).collect();
    let reader = |which, spacing| Reader {
        which,
        rule: CellRule {
            plan: true,
            decimal_comma,
            ..rule(plan_unit)
        },
        spacing,
        place: &place,
    };
    let across = reader(Which::Columns, spacing.map(|s| s.across)).read(&heads, faults);
    let along = reader(Which::Rows, spacing.map(|s| s.along)).read(&sides, faults);
    let filled = || {
        rows.iter().enumerate().flat_map(|(i, row)| {
            (0..heads.len())
                .filter(move |j| !is_no_reading(row.cell(corner_column + 1 + j).text))
                .map(move |j| (j, i))
        })
    };
    let lie = Lie::find(&across, &along, orientation, options.walls.as_ref(), filled);

    let mut room = RawRoom::new(
        block,
        Layout::Matrix,
        table.place(header.number, 0),
        options,
    );
    room.stated_over(
        "plan distances",
        options.plan_unit,
        told.plan.or(settings.plan),
    );
    room.stated_over(
        "readings",
        options.reading_unit,
        told.reading.or(settings.reading),
    );
    room.about.plan_unit = plan_unit;
    room.about.reading_unit = reading_unit;
    room.about.meaning = meaning;
    room.about.meaning_stated = stated.is_some();
    room.about.orientation = lie.words();
    room.laid = Some(lie.laid);
    if decimal_comma {
        room.tell_decimal_comma();
    }
    for (axis, cells, what) in [(&across, &heads, "columns"), (&along, &sides, "rows")] {
        if let Some(i) = axis.left_out {
            room.notices.push(Notice::new(
                "headings-skip",
                Severity::Warning,
                place(&cells[i]).to_string(),
                format!(
                    "The {what} skip here, before {}: each stands where its own letters or number put it, and what is left out was taken as not read. If it is only a letter that your grid never uses, head the {what} with distances.",
                    quoted(cells[i].text)
                ),
            ));
        }
    }
    let column_counts = counts(&lie.x);
    let row_counts = counts(&lie.y);

    for i in width..header.len() {
        if !header.cell(i).is_blank() {
            room.about.skipped.push(outside(table, header.cell(i)));
        }
    }
    for &i in &across.summaries {
        room.skip_summary(place(&heads[i]), heads[i].text, "column");
    }
    for (i, row) in rows.iter().enumerate() {
        let side = sides[i];
        if along.summaries.contains(&i) {
            room.skip_summary(place(&side), side.text, "row");
            continue;
        }
        for (j, head) in heads.iter().enumerate() {
            let cell = row.cell(corner_column + 1 + j);
            if cell.is_blank() {
                if !head.is_blank() {
                    room.blank(table, cell);
                }
                continue;
            }
            if is_summary(head.text) {
                continue;
            }
            if head.is_blank() || side.is_blank() {
                faults.add(
                    Fault::NoPosition,
                    place(&cell),
                    format!("{} with no heading", quoted(cell.text)),
                    if head.is_blank() {
                        "a distance or name at the top of its column"
                    } else {
                        "a distance or name at the start of its row"
                    },
                    "Write the heading, or clear the cell. A row of averages is known by its name.",
                );
                continue;
            }
            match length(cell, reading_rule) {
                Ok(Seen::NoReading) => room.about.skipped.push(SkippedCell {
                    place: place(&cell),
                    text: cell.text.to_owned(),
                    why: Why::NoReading,
                }),
                Ok(seen) => {
                    let (Some(x), Some(y)) = (lie.x[j], lie.y[i]) else {
                        continue;
                    };
                    let at = Point::new(x, y);
                    let label = label(&across, &along, (j, i), (column_counts[j], row_counts[i]));
                    take(&mut room, table, cell, seen, label, at, faults);
                }
                Err(fault) if fault.fault == Fault::MissingUnit => {
                    room.missing_reading_unit(table, cell, faults);
                }
                Err(fault) => fault.report(faults, place(&cell)),
            }
        }
        stray(&mut room, table, row, width, faults);
    }
    room
}

/// Cells to the right of the last heading.
fn stray(
    room: &mut RawRoom,
    table: &Table,
    row: &super::table::Row<'_>,
    width: usize,
    faults: &mut Faults,
) {
    for i in width..row.len() {
        let cell = row.cell(i);
        if cell.is_blank() {
            continue;
        }
        if !cell.text.starts_with(|c: char| c.is_ascii_digit()) {
            room.about.skipped.push(outside(table, cell));
        } else {
            faults.add(
                Fault::NoPosition,
                table.place(cell.row, cell.column),
                format!("{} with no heading", quoted(cell.text)),
                "a distance or name at the top of its column",
                "Write the heading, or clear the cell.",
            );
        }
    }
}

/// The count of each heading from the left or from the near side, from 1, whichever way the sheet runs: the
/// field sheet has its far wall on top, and yet its first row of boxes is the near one.
fn counts(places: &[Option<f64>]) -> Vec<u32> {
    let mut order: Vec<usize> = (0..places.len()).collect();
    let at = |i: usize| places[i].unwrap_or(f64::INFINITY);
    order.sort_by(|&a, &b| at(a).total_cmp(&at(b)).then(a.cmp(&b)));
    let mut out = vec![0; order.len()];
    for (count, i) in (1..).zip(order) {
        out[i] = count;
    }
    out
}

/// Grid name: the letters first, the number behind. `counts` stand in for headings that are distances.
fn label(
    across: &Axis,
    along: &Axis,
    (column, row): (usize, usize),
    (column_count, row_count): (u32, u32),
) -> EcoString {
    let name = |axis: &Axis, i: usize| {
        axis.marks[i]
            .as_ref()
            .and_then(|m| m.name.clone())
            .unwrap_or_default()
    };
    let lettered = |text: &str| text.starts_with(|c: char| c.is_alphabetic());
    match (across.named, along.named) {
        (true, true) => {
            let (c, r) = (name(across, column), name(along, row));
            if lettered(&r) && !lettered(&c) {
                eco_format!("{r}{c}")
            } else if lettered(&c) && lettered(&r) {
                eco_format!("{c}-{r}")
            } else if lettered(&c) {
                eco_format!("{c}{r}")
            } else {
                eco_format!("{}{r}", column_letters(column_count))
            }
        }
        (true, false) if lettered(&name(across, column)) => {
            eco_format!("{}{row_count}", name(across, column))
        }
        (false, true) if lettered(&name(along, row)) => {
            eco_format!("{}{column_count}", name(along, row))
        }
        _ => eco_format!("{}{row_count}", column_letters(column_count)),
    }
}

/// Where the columns and rows of a matrix lie on the plan.
struct Lie {
    /// Of each column, metres; `None` where the heading gives no place.
    x: Vec<Option<f64>>,
    /// Of each row.
    y: Vec<Option<f64>>,
    /// Whether the first column is the left one.
    first_column_left: bool,
    laid: Laid,
}

/// A reading this far outside of the walls still fits them, metres: tapes and outlines round.
const OUTSIDE_M: f64 = 0.05;

impl Lie {
    /// As stated; else as the walls allow, where they allow one way only; else as such a sheet is meant.
    fn find<I: Iterator<Item = (usize, usize)>>(
        across: &Axis,
        along: &Axis,
        stated: Orientation,
        walls: Option<&Ring>,
        filled: impl Fn() -> I,
    ) -> Self {
        let extent = walls.and_then(|w| bounds(w.points().iter().copied()));
        let (x_walls, y_walls) = (
            extent.map(|(lo, hi)| (lo.x, hi.x)),
            extent.map(|(lo, hi)| (lo.y, hi.y)),
        );
        let first_column_left = match stated.x_runs {
            Some(runs) => runs == XRuns::Right,
            None => across.named || grows(across),
        };
        let x = places(across, first_column_left, x_walls);
        let rows = |first: FirstRow| places(along, first == FirstRow::Near, y_walls);
        let meant = if along.named || !grows(along) {
            FirstRow::Far
        } else {
            FirstRow::Near
        };
        let laid = match (stated.first_row, walls) {
            (Some(first_row), _) => Laid {
                first_row,
                by: LaidBy::Stated,
            },
            (None, Some(walls)) => {
                let fits = |first: FirstRow| {
                    let y = rows(first);
                    filled().all(|(j, i)| match (x[j], y[i]) {
                        (Some(x), Some(y)) => near(walls, Point::new(x, y)),
                        _ => true,
                    })
                };
                match (fits(meant), fits(meant.other())) {
                    (true, false) => Laid {
                        first_row: meant,
                        by: LaidBy::Outline,
                    },
                    (false, true) => Laid {
                        first_row: meant.other(),
                        by: LaidBy::Outline,
                    },
                    _ => Laid {
                        first_row: meant,
                        by: LaidBy::Taken,
                    },
                }
            }
            (None, None) => Laid {
                first_row: meant,
                by: LaidBy::Taken,
            },
        };
        Self {
            y: rows(laid.first_row),
            x,
            first_column_left,
            laid,
        }
    }

    /// In a sentence.
    fn words(&self) -> String {
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

fn grows(axis: &Axis) -> bool {
    let mut marks = axis.marks.iter().flatten().map(|m| m.at);
    match (marks.next(), marks.next_back()) {
        (Some(a), Some(b)) => b >= a,
        _ => true,
    }
}

/// Plan coordinates of an axis whose first heading lies at the low or at the high end, metres. Names count from
/// the wall that the first of them stands for; distances are coordinates, unless the axis has to be turned.
fn places(axis: &Axis, first_low: bool, walls: Option<(f64, f64)>) -> Vec<Option<f64>> {
    let marks = || axis.marks.iter().flatten().map(|m| m.at);
    let (low, high) = marks().fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), at| {
        (lo.min(at), hi.max(at))
    });
    let turned = first_low != grows(axis);
    let place = |at: f64| match (axis.named, turned, walls) {
        (true, false, walls) => walls.map_or(0.0, |w| w.0) + at,
        (true, true, walls) => walls.map_or(high, |w| w.1) - at,
        (false, false, _) => at,
        (false, true, walls) => walls.map_or(low + high, |w| w.0 + w.1) - at,
    };
    axis.marks
        .iter()
        .map(|m| m.as_ref().map(|m| place(m.at)))
        .collect()
}

/// Whether a place lies within walls, or hardly outside of them.
fn near(walls: &Ring, p: Point) -> bool {
    walls.contains(p)
        || walls
            .sides()
            .any(|(a, b)| Segment::new(a, b).distance(p) <= OUTSIDE_M)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_corner_cell_states_units_and_meaning() {
        // ORACLE: hand.
        use LengthUnit::{Foot, Inch, Millimetre};
        assert_eq!(corner("ft / in").plan, Some(Foot));
        assert_eq!(corner("ft / in").reading, Some(Inch));
        assert_eq!(corner("in"), Corner::default());
        let c = corner("plan ft, elevation mm");
        assert_eq!(
            (c.plan, c.reading, c.meaning),
            (Some(Foot), Some(Millimetre), Some(Meaning::Elevation))
        );
        assert_eq!(corner("y\\x"), Corner::default());
        let c = corner("reading_in, y_ft down, x_ft across");
        assert_eq!((c.plan, c.reading), (Some(Foot), Some(Inch)));
    }
}
