//! A list: one reading a row, under a header that names the columns.

use super::blocks::Block;
use super::cells::{CellRule, Seen, length};
use super::error::{Fault, Faults, quoted};
use super::headers::{Field, Heading, is_summary};
use super::options::{ImportOptions, Layout, Meaning};
use super::room::{RawRoom, take};
use super::table::{Cell, Row, Table};
use super::understood::{SkippedCell, UsedColumn};
use crate::geometry::Point;
use crate::survey::{Notice, Severity};
use crate::units::{Comma, LengthUnit};
use ecow::EcoString;
use std::collections::HashMap;

/// Where each field stands, from 0.
#[derive(Debug, Clone, Copy, Default)]
struct Columns {
    point: Option<usize>,
    x: Option<usize>,
    y: Option<usize>,
    reading: Option<usize>,
    note: Option<usize>,
    set_up: Option<usize>,
    room: Option<usize>,
}

/// Reads one list; several rooms when a column names them.
pub(super) fn read(
    table: &Table,
    block: &Block,
    headings: &[Heading],
    comma: Comma,
    options: &ImportOptions,
    faults: &mut Faults,
) -> Vec<RawRoom> {
    let header = block.header.map(|i| table.row(i));
    let header_row = header.map_or(0, |r| r.number);
    let mut room = RawRoom::new(block, Layout::List, table.place(header_row, 0), options);
    let Some((columns, meaning)) =
        find_columns(table, header, headings, block, options, faults, &mut room)
    else {
        return Vec::new();
    };
    let unit = |column: Option<usize>| column.and_then(|i| headings[i].unit);
    let plan = |column: Option<usize>| {
        options
            .plan_unit
            .or_else(|| unit(column))
            .or(block.settings.plan)
    };
    let reading_unit = options
        .reading_unit
        .or_else(|| unit(columns.reading))
        .or(block.settings.reading);
    room.about.plan_unit = plan(columns.x);
    room.about.reading_unit = reading_unit;
    room.about.meaning = meaning;
    room.about.orientation =
        "Seen from above, x runs to the right and y up the plan, as written.".to_owned();
    let rule = |unit: Option<LengthUnit>| CellRule {
        unit,
        comma,
        dates_as_fractions: options.dates_as_fractions,
        day_numbers: false,
    };
    let (x_rule, y_rule) = (rule(plan(columns.x)), rule(plan(columns.y)));
    let reading_rule = CellRule {
        day_numbers: true,
        ..rule(reading_unit)
    };

    let mut rooms = vec![room];
    let mut by_name: HashMap<String, usize> = HashMap::new();
    let mut current = 0usize;
    let mut set_ups: HashMap<EcoString, usize> = HashMap::new();
    let mut told_plan_unit = false;
    rooms[0].readings.reserve(block.body.len());
    for row in block.body.clone().map(|i| table.row(i)) {
        if row.is_blank() {
            continue;
        }
        if let Some(cell) = columns.room.map(|i| row.cell(i))
            && !cell.is_blank()
        {
            current = room_index(cell.text, &mut rooms, &mut by_name);
        }
        let place = |c: Cell<'_>| table.place(c.row, c.column);
        let room = &mut rooms[current];
        let value = row.cell(columns.reading.unwrap_or(0));
        let (x, y) = (
            row.cell(columns.x.unwrap_or(0)),
            row.cell(columns.y.unwrap_or(0)),
        );
        if let Some(cell) = summary(row, columns, x, y) {
            room.skip_summary(place(cell), cell.text, "row");
            continue;
        }
        if value.is_blank() && (x.is_blank() || y.is_blank()) {
            room.about.skipped.extend(row.filled().map(|c| SkippedCell {
                place: place(c),
                text: c.text.to_owned(),
                why: "a row without a reading",
            }));
            continue;
        }
        let mut coordinate = |cell: Cell<'_>, rule: CellRule, name: &str| match length(cell, rule) {
            Ok(Seen::Length(written) | Seen::Recovered(written, _)) => Some(written.length.m()),
            Ok(Seen::NoReading) => {
                faults.add(
                    Fault::NoPosition,
                    place(cell),
                    quoted(cell.text),
                    format!("the {name} of this reading"),
                    "Write where it was read, or clear the row.",
                );
                None
            }
            Err(fault) if fault.fault == Fault::MissingUnit => {
                if !told_plan_unit {
                    told_plan_unit = true;
                    faults.add(
                        Fault::MissingUnit,
                        place(cell),
                        format!(
                            "plan distances with no unit, beginning {}",
                            quoted(cell.text)
                        ),
                        "one of ft, in, ft-in, mm, cm, m",
                        "Write it in the header, as in x_ft,y_ft, or state --plan-unit.",
                    );
                }
                None
            }
            Err(fault) => {
                fault.report(faults, place(cell));
                None
            }
        };
        let at = (coordinate(x, x_rule, "x"), coordinate(y, y_rule, "y"));
        let seen = match length(value, reading_rule) {
            Ok(seen) => seen,
            Err(fault) if fault.fault == Fault::MissingUnit => {
                room.missing_reading_unit(table, value, faults);
                continue;
            }
            Err(fault) => {
                fault.report(faults, place(value));
                continue;
            }
        };
        if seen == Seen::NoReading {
            if value.is_blank() {
                room.about.blanks += 1;
            } else {
                room.about.skipped.push(SkippedCell {
                    place: place(value),
                    text: value.text.to_owned(),
                    why: "no reading",
                });
            }
            continue;
        }
        let (Some(x), Some(y)) = at else {
            continue;
        };
        let label = columns
            .point
            .map_or_else(EcoString::new, |i| row.cell(i).text.into());
        let before = room.readings.len();
        take(room, table, value, seen, label, Point::new(x, y), faults);
        if room.readings.len() > before {
            let last = &mut room.readings[before];
            if let Some(note) = columns.note.map(|i| row.cell(i).text)
                && !note.is_empty()
            {
                last.note = Some(note.into());
            }
            if let Some(cell) = columns.set_up.map(|i| row.cell(i)) {
                if cell.is_blank() {
                    faults.add(
                        Fault::SetUps,
                        place(cell),
                        "no set-up named",
                        "the set-up that this reading was taken from",
                        "Name it in every row, or drop the column.",
                    );
                }
                let next = set_ups.len();
                last.set_up = *set_ups.entry(cell.text.into()).or_insert(next);
            }
        }
    }
    let mut names: Vec<(usize, EcoString)> = set_ups.into_iter().map(|(n, i)| (i, n)).collect();
    names.sort();
    for room in &mut rooms {
        room.about.set_ups = names.iter().map(|(_, n)| n.to_string()).collect();
    }
    rooms
}

/// The room of that name, made when it is new. The first room named takes the place of the unnamed one.
fn room_index(name: &str, rooms: &mut Vec<RawRoom>, by_name: &mut HashMap<String, usize>) -> usize {
    if let Some(&i) = by_name.get(name) {
        return i;
    }
    let index = if by_name.is_empty() && rooms[0].readings.is_empty() {
        rooms[0].name = Some(name.to_owned());
        0
    } else {
        let sibling = rooms[0].sibling(name.to_owned());
        rooms.push(sibling);
        rooms.len() - 1
    };
    by_name.insert(name.to_owned(), index);
    index
}

/// The word that makes a row one of averages: in the point, x or y column.
fn summary<'a>(row: Row<'a>, columns: Columns, x: Cell<'a>, y: Cell<'a>) -> Option<Cell<'a>> {
    let wordy = |c: &Cell<'_>| c.text.starts_with(|c: char| c.is_alphabetic());
    let point = columns.point.map(|i| row.cell(i));
    // A point may be called High or Low: with both coordinates it is a reading.
    let placed = !x.is_blank() && !y.is_blank() && !wordy(&x) && !wordy(&y);
    [point, Some(x), Some(y)]
        .into_iter()
        .flatten()
        .find(|c| wordy(c) && is_summary(c.text) && !placed)
        .or_else(|| {
            row.filled()
                .next()
                .filter(|c| wordy(c) && is_summary(c.text) && !placed)
        })
}

fn find_columns(
    table: &Table,
    header: Option<Row<'_>>,
    headings: &[Heading],
    block: &Block,
    options: &ImportOptions,
    faults: &mut Faults,
    room: &mut RawRoom,
) -> Option<(Columns, Meaning)> {
    let row = header.map_or(0, |r| r.number);
    let mut columns = Columns::default();
    let mut meanings: Vec<(usize, Meaning)> = Vec::new();
    let mut sound = true;
    for (i, heading) in headings.iter().enumerate() {
        let text = header.map_or("", |r| r.cell(i).text);
        let place = table.place(row, i as u32 + 1);
        if header.is_some() && text.is_empty() {
            continue;
        }
        room.about.columns.push(UsedColumn {
            column: i as u32 + 1,
            heading: text.to_owned(),
            field: heading.field,
            unit: heading.unit,
        });
        let slot = match heading.field {
            Field::Point => &mut columns.point,
            Field::X => &mut columns.x,
            Field::Y => &mut columns.y,
            Field::Note => &mut columns.note,
            Field::SetUp => &mut columns.set_up,
            Field::Room => &mut columns.room,
            Field::Reading(meaning) => {
                meanings.push((i, meaning));
                continue;
            }
            Field::Unknown => {
                room.notices.push(Notice::new(
                    "column-not-used",
                    Severity::Note,
                    place.to_string(),
                    format!("The column {} is not known and was not used.", quoted(text)),
                ));
                continue;
            }
        };
        if slot.is_some() {
            sound = false;
            faults.add(
                Fault::Column,
                place,
                format!("a second column {}", quoted(text)),
                "each column once",
                "Rename or delete the one that does not count.",
            );
        } else {
            *slot = Some(i);
        }
    }
    let wanted = options.meaning.or(block.settings.meaning);
    // Beside a reading, an elevation column is the sheet's own arithmetic unless it is asked for.
    let fitting: Vec<(usize, Meaning)> = match wanted {
        Some(wanted) if meanings.len() > 1 => meanings
            .iter()
            .copied()
            .filter(|(_, m)| *m == wanted)
            .collect(),
        _ => meanings.clone(),
    };
    let listed = || {
        meanings
            .iter()
            .map(|(i, _)| quoted(header.map_or("", |r| r.cell(*i).text)))
            .collect::<Vec<_>>()
            .join(", ")
    };
    match fitting[..] {
        [(i, own)] => {
            columns.reading = Some(i);
            room.about.meaning_stated = header.is_some() || wanted.is_some();
            meanings = vec![(i, wanted.unwrap_or(own))];
        }
        [] => {
            sound = false;
            faults.add(
                Fault::Column,
                table.place(row, 0),
                "no column of readings",
                "a column headed reading or elevation, with its unit, as in reading_in",
                "",
            );
        }
        _ => {
            sound = false;
            faults.add(
                Fault::Column,
                table.place(row, 0),
                format!("several columns of readings: {}", listed()),
                "one",
                "Rename those that do not count, or state --meaning down or --meaning elevation.",
            );
        }
    }
    for (slot, name) in [(columns.x, "x"), (columns.y, "y")] {
        if slot.is_none() {
            sound = false;
            faults.add(
                Fault::Column,
                table.place(row, 0),
                format!("no column {name}"),
                format!("a column headed {name} with its unit, as in {name}_ft"),
                "",
            );
        }
    }
    let meaning = meanings.first().map_or(Meaning::Down, |(_, m)| *m);
    sound.then_some((columns, meaning))
}
