//! A file of sample lines: heights at an even interval along straight lines, for F-numbers.

use super::around::looks_numeric;
use super::cells::{CellRule, Seen, length};
use super::error::{Fault, Faults, quoted, whole};
use super::form::units_row;
use super::headers::{Field, split_unit, unit_or_scale};
use super::heading::heading;
use super::meanings::{Sure, said};
use super::options::Meaning;
use super::own_table::{open_holding, refuse_idle_of, refuse_other_origin, refuse_unseen};
use super::scales::{Scale, counted, how_to_write, scaled_heading};
use super::table::{Row, Table};
use super::{ImportErrors, ImportOptions, Source};
use crate::geometry::Point;
use crate::survey::{Elevation, Place};
use crate::units::LengthUnit;

/// One sample line as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct LineRead {
    /// Its name.
    pub name: String,
    /// Distance between successive readings, metres.
    pub interval_m: f64,
    /// Elevations in order, metres, up positive.
    pub elevations_m: Vec<f64>,
    /// Cells of the readings, in the same order.
    pub places: Vec<Place>,
    /// Where the first reading lies, if the file tells.
    pub start: Option<Point>,
    /// Where the last reading lies, if the file tells.
    pub end: Option<Point>,
}

/// Stations may be this far from even, metres: a tape laid along the floor.
const UNEVEN_M: f64 = 0.006;

/// A reading line is straight when no reading lies farther from it, metres.
const CROOKED_M: f64 = 0.05;

#[derive(Debug, Clone, Copy, Default)]
struct Column {
    at: Option<usize>,
    unit: Option<LengthUnit>,
    /// Where its numbers count parts of the unit.
    scale: Option<Scale>,
}

#[derive(Debug, Clone, Copy, Default)]
struct Columns {
    line: Option<usize>,
    station: Column,
    x: Column,
    y: Column,
    reading: Column,
    /// What the heading of the readings says.
    headed: Option<Meaning>,
    meaning: Meaning,
}

impl Columns {
    /// The units of a row of their own below the headings, for those whose headings have none.
    fn take_units(&mut self, units: Row<'_>) {
        for column in [
            &mut self.station,
            &mut self.x,
            &mut self.y,
            &mut self.reading,
        ] {
            let told = column.at.and_then(|i| unit_or_scale(units.cell(i).text));
            if let (None, Some((unit, scale))) = (column.unit, told) {
                (column.unit, column.scale) = (Some(unit), scale);
            }
        }
    }

    /// Those that there are, from 0.
    fn all(&self) -> Vec<usize> {
        [
            self.line,
            self.station.at,
            self.x.at,
            self.y.at,
            self.reading.at,
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// One row, understood.
struct Item {
    row: u32,
    line: String,
    station_m: Option<f64>,
    at: Option<Point>,
    elevation: Elevation,
    place: Place,
}

/// Reads a file of sample lines.
///
/// # Units, datum, sign
/// Metres out; elevations up positive. Readings are taken as the heading or the options say: down
/// from the line, up to it, or elevations.
/// # Method
/// Columns `line`, a reading with its unit, and `station` or `x` and `y` with theirs: docs/formats.md,
/// Sample lines. Rows of one line stand together, in the order they were read.
/// # Errors
/// [`ImportErrors`]: every cell that is no length, a line that is not straight or whose readings are not
/// evenly spaced, each with its place.
pub fn lines(source: &Source<'_>, options: &ImportOptions) -> Result<Vec<LineRead>, ImportErrors> {
    let table = open_holding(source, options, "sample lines", |table| {
        header(table, options).is_some()
    })?;
    let mut faults = Faults::default();
    let Some((mut start, mut columns)) = header(&table, options) else {
        return Err(whole(
            table.place(0, 0),
            Fault::Column,
            "no header of sample lines",
            "a header row with line, a reading and either station or x and y, with their units, such as line,station_ft,reading_in",
            "See docs/formats.md, Sample lines.",
        ));
    };
    let heads = start - 1;
    if start < table.len() && units_row(table.row(start)) {
        columns.take_units(table.row(start));
        start += 1;
    }
    refuse_unseen(&table, start, &columns.all(), &mut faults);
    refuse_other_origin(&table, heads, &mut faults);
    refuse_again(&table, heads, &columns, options, &mut faults);
    refuse_two_scales(&table, heads, &columns, options, &mut faults);
    refuse_words_above(&table, heads, &columns, options, &mut faults);
    let mut items: Vec<Item> = Vec::new();
    // Lines with a row that is already told: what is left of them is not held against even steps.
    let mut told: Vec<&str> = Vec::new();
    for index in start..table.len() {
        let row = table.row(index);
        if row.is_blank() {
            continue;
        }
        match item(&table, row, &columns, options, &mut faults) {
            Some(item) => items.push(item),
            None => told.extend(columns.line.map(|i| row.cell(i).text)),
        }
    }
    let mut out: Vec<LineRead> = Vec::new();
    for run in items.chunk_by(|a, b| a.line == b.line) {
        let name = &run[0].line;
        if out.iter().any(|l| l.name == *name) {
            faults.add(
                Fault::Layout,
                table.place(run[0].row, 0),
                format!("the line {} again", quoted(name)),
                "the rows of one line together, in the order they were read",
                "Give each line a name of its own.",
            );
            continue;
        }
        if told.contains(&name.as_str()) {
            continue;
        }
        if let Some(line) = assemble(&table, run, &mut faults) {
            out.push(line);
        }
    }
    if out.is_empty() && faults.is_empty() {
        faults.add(
            Fault::Layout,
            table.place(0, 0),
            "no readings under the header",
            "a row for each reading of a sample line",
            "",
        );
    }
    faults.or(out)
}

/// Refuses words above the header that say plainly another meaning than its own, or that the numbers count parts of a unit.
fn refuse_words_above(
    table: &Table,
    heads: usize,
    columns: &Columns,
    options: &ImportOptions,
    faults: &mut Faults,
) {
    let against = |text: &str| {
        let said = said(text, true);
        let other = match columns.meaning {
            Meaning::Elevation => said.down.max(said.up),
            Meaning::Down | Meaning::Up => said.elevation,
        };
        options.meaning.is_none() && other == Some(Sure::Clear)
    };
    let rows = (0..heads).map(|i| table.row(i));
    for cell in rows.flat_map(Row::filled) {
        let parts = columns.reading.scale.is_none() && counted(cell.text).is_some();
        if !parts && !against(cell.text) {
            continue;
        }
        faults.add(
            Fault::Setting,
            table.place(cell.row, cell.column),
            format!("{} above readings headed otherwise", quoted(cell.text)),
            "words that agree with the heading",
            if parts {
                how_to_write(cell.text)
            } else {
                "Mend the heading or the words, or state --meaning.".to_owned()
            },
        );
    }
}

/// Refuses a second column of what another one holds, and any column of lengths that nothing here takes, `reading 2`, `re-read`: nobody can
/// tell which of them counts. Readings and elevations may stand side by side where it is stated which to take.
fn refuse_again(
    table: &Table,
    heads: usize,
    columns: &Columns,
    options: &ImportOptions,
    faults: &mut Faults,
) {
    let holds_lengths = |i: usize| {
        let mut filled = (heads + 1..table.len())
            .map(|r| table.row(r).cell(i))
            .filter(|c| !c.is_blank())
            .peekable();
        filled.peek().is_some() && filled.all(|c| looks_numeric(c.text))
    };
    // A year, an hour, a running number.
    let counts_rows = |words: &str| {
        matches!(
            words,
            "date" | "year" | "day" | "time" | "no" | "#" | "count" | "row"
        )
    };
    let counts = |i: usize, text: &str| {
        let (words, unit) = split_unit(text);
        let of_line = matches!(
            words.as_str(),
            "line"
                | "run"
                | "sample line"
                | "line name"
                | "station"
                | "distance"
                | "chainage"
                | "along"
        );
        of_line
            || match heading(text).field {
                Field::X | Field::Y => true,
                Field::Reading(own) => options.meaning.is_none_or(|m| m == own),
                Field::Unknown if counts_rows(&words) => false,
                Field::Unknown => unit.is_some() || holds_lengths(i),
                _ => false,
            }
    };
    refuse_idle_of(
        table,
        heads,
        (
            &columns.all(),
            "line, station, x, y and the reading once each",
        ),
        &counts,
        faults,
    );
}

/// Refuses a unit that is stated over a column that counts parts of one: one of the two is dropped.
fn refuse_two_scales(
    table: &Table,
    heads: usize,
    columns: &Columns,
    options: &ImportOptions,
    faults: &mut Faults,
) {
    let number = table.row(heads).number;
    for (column, stated) in [
        (columns.station, options.plan_unit),
        (columns.x, options.plan_unit),
        (columns.y, options.plan_unit),
        (columns.reading, options.reading_unit),
    ] {
        if let (Some(at), Some(scale), Some(stated)) = (column.at, column.scale, stated) {
            faults.add(
                Fault::MixedUnits,
                table.place(number, at as u32 + 1),
                format!("a column that counts {scale}, and {stated} stated for it"),
                "one unit",
                "Leave the stated unit away if the column counts parts; else head it with the unit alone.",
            );
        }
    }
}

/// The first column of a kind counts; a second one with cells is refused.
fn first(slot: &mut Column, column: Column) {
    if slot.at.is_none() {
        *slot = column;
    }
}

fn header(table: &Table, options: &ImportOptions) -> Option<(usize, Columns)> {
    for (index, row) in table.rows().enumerate().take(100) {
        let mut columns = Columns::default();
        for (i, cell) in row.cells().enumerate() {
            let (words, unit) = split_unit(cell.text);
            let heading = heading(cell.text);
            let scale = scaled_heading(cell.text).map(|(_, scale)| scale);
            let column = Column {
                at: Some(i),
                unit: unit.or(scale.map(|s| s.unit)),
                scale,
            };
            match words.as_str() {
                "line" | "run" | "sample line" | "line name" => {
                    columns.line.get_or_insert(i);
                }
                "station" | "distance" | "chainage" | "along" => {
                    first(&mut columns.station, column)
                }
                _ => match heading.field {
                    Field::X => first(&mut columns.x, column),
                    Field::Y => first(&mut columns.y, column),
                    Field::Reading(own) => {
                        let asked = options
                            .meaning
                            .is_some_and(|m| m == own && columns.headed != Some(m));
                        if columns.reading.at.is_none() || asked {
                            columns.reading = column;
                            columns.headed = Some(own);
                            columns.meaning = options.meaning.unwrap_or(own);
                        }
                    }
                    _ => {}
                },
            }
        }
        let placed = columns.x.at.is_some() && columns.y.at.is_some();
        if columns.line.is_some()
            && columns.reading.at.is_some()
            && (placed || columns.station.at.is_some())
        {
            return Some((index + 1, columns));
        }
    }
    None
}

fn item(
    table: &Table,
    row: Row<'_>,
    columns: &Columns,
    options: &ImportOptions,
    faults: &mut Faults,
) -> Option<Item> {
    let mut value = |column: Column, unit: Option<LengthUnit>, what: &str| -> Option<f64> {
        let cell = row.cell(column.at?);
        let place = table.place(cell.row, cell.column);
        let rule = CellRule {
            unit: unit.or(column.unit),
            dates_as_fractions: options.dates_as_fractions,
            usual_m: None,
            day_numbers: false,
            plan: false,
            decimal_comma: false,
            scale: column.scale,
        };
        match length(cell, rule) {
            Ok(Seen::Length(written) | Seen::Recovered(written, _)) => Some(written.length.m()),
            Ok(Seen::NoReading) => {
                faults.add(
                    Fault::NoPosition,
                    place,
                    quoted(cell.text),
                    what,
                    "A sample line has a reading at every station; end the line before a gap and begin another.",
                );
                None
            }
            Err(fault) => {
                fault.report(faults, place);
                None
            }
        }
    };
    let station_m = value(
        columns.station,
        options.plan_unit,
        "the distance along the line",
    );
    let x = value(columns.x, options.plan_unit, "the x of this reading");
    let y = value(columns.y, options.plan_unit, "the y of this reading");
    let read_m = value(columns.reading, options.reading_unit, "the reading")?;
    if columns.meaning != Meaning::Elevation && read_m <= 0.0 {
        let cell = row.cell(columns.reading.at?);
        faults.add(
            if read_m < 0.0 {
                Fault::Signed
            } else {
                Fault::Zero
            },
            table.place(cell.row, cell.column),
            quoted(cell.text),
            "a distance from the line, greater than zero",
            "For heights head the column elevation, or state the meaning.",
        );
        return None;
    }
    let elevation = match columns.meaning {
        Meaning::Elevation => Elevation::from_m(read_m),
        Meaning::Down | Meaning::Up => {
            Elevation::below_line(options.line, crate::units::Length::from_m(read_m))
        }
    };
    Some(Item {
        row: row.number,
        line: columns
            .line
            .map_or_else(String::new, |i| row.cell(i).text.to_owned()),
        station_m,
        at: x.zip(y).map(|(x, y)| Point::new(x, y)),
        elevation,
        place: table.place(row.number, columns.reading.at? as u32 + 1),
    })
}

/// The first reading whose station and whose x and y lie differently far from the line's first reading, with both distances,
/// metres.
fn contradiction(run: &[Item]) -> Option<(&Item, f64, f64)> {
    let first = run.first()?;
    run.iter().find_map(|item| {
        let station_m = (item.station_m? - first.station_m?).abs();
        let way_m = item.at?.distance(first.at?);
        ((station_m - way_m).abs() > CROOKED_M).then_some((item, station_m, way_m))
    })
}

/// The first reading that stands farther from or nearer to the one before than the readings of its line do: both, how far, and
/// the usual interval (the median step), metres. A step is uneven by twice what a station may be off, since both its ends may be.
fn uneven_step<'a>(
    run: &'a [Item],
    along: &impl Fn(&Item) -> Option<f64>,
) -> Option<(&'a Item, &'a Item, f64, f64)> {
    let steps: Vec<f64> = run
        .windows(2)
        .map(|pair| Some(along(&pair[1])? - along(&pair[0])?))
        .collect::<Option<_>>()?;
    let mut sorted = steps.clone();
    sorted.sort_by(f64::total_cmp);
    let usual_m = *sorted.get(sorted.len() / 2)?;
    let at = steps
        .iter()
        .position(|s| (s - usual_m).abs() > 2.0 * UNEVEN_M)?;
    Some((&run[at], &run[at + 1], steps[at], usual_m))
}

fn assemble(table: &Table, run: &[Item], faults: &mut Faults) -> Option<LineRead> {
    let name = run[0].line.clone();
    let (Some(first), Some(last)) = (run.first(), run.last()) else {
        return None;
    };
    if run.len() < 3 {
        faults.add(
            Fault::TooFew,
            table.place(first.row, 0),
            format!("{} readings on the line {}", run.len(), quoted(&name)),
            "at least 3",
            "",
        );
        return None;
    }
    let steps = (run.len() - 1) as f64;
    let placed = first.at.zip(last.at);
    let along = |i: &Item| match (i.station_m, placed, i.at) {
        (Some(s), _, _) => Some(s),
        (None, Some((a, b)), Some(p)) => {
            let d = b - a;
            Some((p - a).dot(d) / d.norm().max(1e-12))
        }
        _ => None,
    };
    if let Some((item, station_m, way_m)) = contradiction(run) {
        faults.add(
            Fault::Layout,
            table.place(item.row, 0),
            format!(
                "a station {:.0} mm along the line {} where x and y lie {:.0} mm along it",
                station_m * 1000.0,
                quoted(&name),
                way_m * 1000.0
            ),
            "a station that says what x and y say",
            "Mend the one that is mistyped, or leave the station or x and y away.",
        );
        return None;
    }
    let (from, to) = (along(first)?, along(last)?);
    if let Some((before, after, step_m, usual_m)) = uneven_step(run, &along) {
        faults.add(
            Fault::Layout,
            table.place(after.row, 0),
            format!(
                "a reading {:.0} mm along the line {} from that of row {}, where its readings stand {:.0} mm apart",
                step_m.abs() * 1000.0,
                quoted(&name),
                before.row,
                usual_m.abs() * 1000.0
            ),
            "readings at one interval along a straight line",
            "Mend the station, or put in the reading that is missing; where there is none, end the line before the gap and begin another.",
        );
        return None;
    }
    let interval_m = (to - from).abs() / steps;
    for (k, i) in run.iter().enumerate() {
        let even = from + (to - from) * k as f64 / steps;
        let off = along(i)? - even;
        let aside = match (placed, i.at) {
            (Some((a, b)), Some(p)) => {
                let d = b - a;
                (d.cross(p - a) / d.norm().max(1e-12)).abs()
            }
            _ => 0.0,
        };
        if off.abs() > UNEVEN_M || aside > CROOKED_M || interval_m <= 0.0 {
            faults.add(
                Fault::Layout,
                table.place(i.row, 0),
                format!(
                    "a reading {:.0} mm from where even steps of {:.1} mm along the straight line {} put it",
                    off.abs().max(aside) * 1000.0,
                    interval_m * 1000.0,
                    quoted(&name)
                ),
                "readings at one interval along a straight line",
                "Mend the station, or end the line before it and begin another.",
            );
            return None;
        }
    }
    Some(LineRead {
        name,
        interval_m,
        elevations_m: run.iter().map(|i| i.elevation.m()).collect(),
        places: run.iter().map(|i| i.place.clone()).collect(),
        start: first.at,
        end: last.at,
    })
}
