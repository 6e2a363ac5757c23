//! A matrix: distances in the first row and column, readings between them.

use super::axis::{self, Axis, Which};
use super::blocks::{Block, Settings};
use super::cells::{CellRule, Seen, length};
use super::error::{Fault, Faults, quoted};
use super::headers::{is_summary, meaning, split_unit};
use super::options::{ImportOptions, Layout, Meaning, Orientation};
use super::room::{RawRoom, take};
use super::table::{Cell, Table};
use super::understood::SkippedCell;
use crate::geometry::Point;
use crate::survey::column_letters;
use crate::units::{Comma, LengthUnit};
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
    comma: Comma,
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
        first_row_far: options.orientation.first_row_far || settings.first_row_far.unwrap_or(false),
        x_leftward: options.orientation.x_leftward || settings.x_leftward.unwrap_or(false),
    };
    let rule = |unit| CellRule {
        unit,
        comma,
        dates_as_fractions: options.dates_as_fractions,
        day_numbers: false,
    };
    let reading_rule = CellRule {
        day_numbers: true,
        ..rule(reading_unit)
    };
    let place = |c: &Cell<'_>| table.place(c.row, c.column);

    let width = (corner_column + 1..header.len())
        .rev()
        .find(|&i| !header.cell(i).is_blank())
        .map_or(corner_column + 1, |i| i + 1);
    let heads: Vec<Cell<'_>> = (corner_column + 1..width).map(|i| header.cell(i)).collect();
    let rows: Vec<_> = block
        .body
        .clone()
        .map(|i| table.row(i))
        .filter(|r| !r.is_blank())
        .collect();
    let sides: Vec<Cell<'_>> = rows.iter().map(|r| r.cell(corner_column)).collect();
    let across = axis::read(
        &heads,
        Which::Columns,
        rule(plan_unit),
        spacing.map(|s| s.across),
        faults,
        &place,
    );
    let along = axis::read(
        &sides,
        Which::Rows,
        rule(plan_unit),
        spacing.map(|s| s.along),
        faults,
        &place,
    );

    let mut room = RawRoom::new(
        block,
        Layout::Matrix,
        table.place(header.number, 0),
        options,
    );
    room.about.plan_unit = plan_unit;
    room.about.reading_unit = reading_unit;
    room.about.meaning = meaning;
    room.about.meaning_stated = stated.is_some();
    room.about.orientation = words(orientation, &across, &along);
    let far = |axis: &Axis| {
        axis.marks
            .iter()
            .flatten()
            .map(|m| m.at)
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let (x_far, y_far) = (far(&across), far(&along));
    let column_counts = counts(&across, orientation.x_leftward);
    let row_counts = counts(&along, orientation.first_row_far);

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
                room.about.blanks += usize::from(!head.is_blank());
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
                    why: "no reading",
                }),
                Ok(seen) => {
                    let (Some(x), Some(y)) = (&across.marks[j], &along.marks[i]) else {
                        continue;
                    };
                    let at = Point::new(
                        if orientation.x_leftward {
                            x_far - x.at
                        } else {
                            x.at
                        },
                        if orientation.first_row_far {
                            y_far - y.at
                        } else {
                            y.at
                        },
                    );
                    let label = label(&across, &along, (j, i), (column_counts[j], row_counts[i]));
                    take(&mut room, table, cell, seen, label, at, faults);
                }
                Err(fault) if fault.fault == Fault::MissingUnit => {
                    room.missing_reading_unit(table, cell, faults);
                }
                Err(fault) => fault.report(faults, place(&cell)),
            }
        }
        stray(table, row, width, faults);
    }
    room
}

/// Cells to the right of the last heading.
fn stray(table: &Table, row: &super::table::Row<'_>, width: usize, faults: &mut Faults) {
    for i in width..row.len() {
        let cell = row.cell(i);
        if !cell.is_blank() && cell.text.starts_with(|c: char| c.is_ascii_digit()) {
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
fn counts(axis: &Axis, turned: bool) -> Vec<u32> {
    let mut order: Vec<usize> = (0..axis.marks.len()).collect();
    let at = |i: usize| {
        axis.marks[i]
            .as_ref()
            .map_or(f64::INFINITY, |m| if turned { -m.at } else { m.at })
    };
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

/// How the matrix lies, in a sentence.
fn words(orientation: Orientation, across: &Axis, along: &Axis) -> String {
    let grows = |axis: &Axis| {
        let mut marks = axis.marks.iter().flatten().map(|m| m.at);
        match (marks.next(), marks.next_back()) {
            (Some(a), Some(b)) => b >= a,
            _ => true,
        }
    };
    let x_right = grows(across) != orientation.x_leftward;
    let first_near = grows(along) != orientation.first_row_far;
    format!(
        "Seen from above, x runs to the right and y up the plan; the first column of readings is at the {}, the first row at the {} of the plan.",
        if x_right { "left" } else { "right" },
        if first_near {
            "bottom (near side)"
        } else {
            "top (far side)"
        },
    )
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
