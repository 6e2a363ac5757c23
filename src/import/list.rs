//! A list: one reading a row, under a header that names the columns.

use super::around::is_number;
use super::axis::{letter_count, letters_and_number};
use super::blocks::{Block, outside, same_texts};
use super::cells::{CellRule, Seen, decimal_by_size, length, usual_m};
use super::error::{Fault, Faults, quoted};
use super::headers::{Field, Heading, heading, is_sum, is_summary, said_meaning, split_unit};
use super::options::{ImportOptions, Layout, Meaning, XRuns};
use super::pages::{is_date_line, is_page_line};
use super::room::{RawRoom, Standing, take};
use super::split_columns::{Part, decimals_in_notes, decimals_split, part_of};
use super::table::{Cell, Row, Table};
use super::understood::{SkippedCell, UsedColumn, Why};
use crate::geometry::{Point, bounds};
use crate::survey::{FirstRow, Laid, LaidBy, Notice, Place, Reading, Severity};
use crate::units::LengthUnit;
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

/// Places by name: the letters count the columns, the number the rows, a spacing apart.
struct Names {
    /// Where A1 lies.
    first: Point,
    /// From column to column and from row to row.
    step: Point,
    laid: Laid,
}

impl Names {
    fn of(block: &Block, columns: Columns, options: &ImportOptions) -> Option<Self> {
        if columns.x.is_some() || columns.y.is_some() {
            return None;
        }
        let stated = options.orientation.first_row.or(block.settings.first_row);
        // As on the field sheet, where A1 is the near left corner.
        let first_row = stated.unwrap_or(FirstRow::Near);
        let x_runs = options.orientation.x_runs.or(block.settings.x_runs);
        let leftward = x_runs == Some(XRuns::Left);
        let walls = options.walls();
        let (low, high) = walls
            .and_then(|w| bounds(w.points().iter().copied()))
            .unwrap_or_default();
        let far = first_row == FirstRow::Far;
        let spacing = options.spacing.or(block.settings.spacing)?;
        let (across, along) = (spacing.across.m(), spacing.along.m());
        Some(Self {
            first: Point::new(
                if leftward { high.x } else { low.x },
                if far { high.y } else { low.y },
            ),
            step: Point::new(
                if leftward { -across } else { across },
                if far { -along } else { along },
            ),
            laid: Laid {
                first_row,
                by: match stated {
                    Some(_) => LaidBy::Stated,
                    None => LaidBy::Taken,
                },
            },
        })
    }

    /// Metres.
    fn place(&self, name: &str) -> Option<Point> {
        let name: String = name
            .chars()
            .filter(|c| !c.is_whitespace() && *c != '-')
            .collect();
        let (letters, number) = letters_and_number(&name)?;
        let (column, row) = (letter_count(&letters)?, number?.checked_sub(1)?);
        let along = Point::new(
            f64::from(column) * self.step.x,
            f64::from(row) * self.step.y,
        );
        Some(self.first + along)
    }

    const fn laid_words(&self) -> &'static str {
        match self.laid.first_row {
            FirstRow::Near => {
                "Each point lies where its name puts it, letters along x and numbers along y; row 1 is at the bottom (near side) of the plan."
            }
            FirstRow::Far => {
                "Each point lies where its name puts it, letters along x and numbers along y; row 1 is at the top (far side) of the plan."
            }
        }
    }
}

/// Whether it is stated where the first row lies or which way x runs.
fn way_stated(block: &Block, options: &ImportOptions) -> bool {
    options.orientation.first_row.is_some()
        || options.orientation.x_runs.is_some()
        || block.settings.first_row.is_some()
        || block.settings.x_runs.is_some()
}

/// Finds where each reading of a list was taken.
struct Places {
    columns: Columns,
    x_rule: CellRule,
    y_rule: CellRule,
    /// Where points lie by their names; `None` where each has its x and y.
    names: Option<Names>,
    /// That distances have no unit is told once.
    told_unit: bool,
}

impl Places {
    /// The place of a row's reading, metres; `None` with a fault told.
    fn at(&mut self, table: &Table, row: Row<'_>, faults: &mut Faults) -> Option<Point> {
        let cell = |column: Option<usize>| row.cell(column.unwrap_or(0));
        let Some(names) = &self.names else {
            let (x, y) = (cell(self.columns.x), cell(self.columns.y));
            // Both are looked at, so that both are told.
            let x = self.coordinate(table, x, self.x_rule, "x", faults);
            let y = self.coordinate(table, y, self.y_rule, "y", faults);
            return Some(Point::new(x?, y?));
        };
        let cell = cell(self.columns.point);
        let place = names.place(cell.text);
        if place.is_none() {
            faults.add(
                Fault::NoPosition,
                table.place(cell.row, cell.column),
                if cell.is_blank() {
                    "no name".to_owned()
                } else {
                    quoted(cell.text)
                },
                "a name that gives column and row, such as B3",
                "Name the point so, or give x and y.",
            );
        }
        place
    }

    fn coordinate(
        &mut self,
        table: &Table,
        cell: Cell<'_>,
        rule: CellRule,
        name: &str,
        faults: &mut Faults,
    ) -> Option<f64> {
        let place = || table.place(cell.row, cell.column);
        match length(cell, rule) {
            Ok(Seen::Length(written) | Seen::Recovered(written, _)) => {
                return Some(written.length.m());
            }
            Ok(Seen::NoReading) => faults.add(
                Fault::NoPosition,
                place(),
                quoted(cell.text),
                format!("the {name} of this reading"),
                "Write where it was read, or clear the row.",
            ),
            Err(fault) if fault.fault == Fault::MissingUnit => {
                if !std::mem::replace(&mut self.told_unit, true) {
                    faults.add(
                        Fault::MissingUnit,
                        place(),
                        format!(
                            "plan distances with no unit, beginning {}",
                            quoted(cell.text)
                        ),
                        "one of ft, in, ft-in, mm, cm, m",
                        "Write it in the header, as in x_ft,y_ft, or state --plan-unit.",
                    );
                }
            }
            Err(fault) => fault.report(faults, place()),
        }
        None
    }
}

/// Reads one list; several rooms when a column names them.
pub(super) fn read(
    table: &Table,
    block: &Block,
    headings: &[Heading],
    options: &ImportOptions,
    faults: &mut Faults,
) -> Vec<RawRoom> {
    let header = block.header.map(|i| table.row(i));
    let header_row = header.map_or(0, |r| r.number);
    let mut room = RawRoom::new(block, Layout::List, table.place(header_row, 0), options);
    let sheet = ListSheet {
        table,
        block,
        header,
        headings,
        options,
    };
    let Some((columns, meaning)) = sheet.find_columns(faults, &mut room) else {
        return Vec::new();
    };
    if block.repeats {
        room.notices.push(Notice::new(
            "headings-again",
            Severity::Warning,
            room.about.header.to_string(),
            "Headings come once more below the table above, and no title says of which room: taken as another room. If it is the same, put all its readings under one row of headings; if not, write the room's name above it.",
        ));
    }
    if let Some(header) = header
        && (decimals_split(table, block, header, faults)
            || sheet.is_folded(columns, header, faults)
            || sheet.parts_beside(columns, &mut room, faults))
    {
        return Vec::new();
    }
    room.notices.extend(decimals_in_notes(
        table,
        block,
        (columns.reading, columns.note),
    ));
    let unit = |column: Option<usize>| column.and_then(|i| headings[i].unit);
    let units = (unit(columns.reading), unit(columns.x));
    room.tell_contradictions(units, &block.settings, options, faults);
    let told = columns
        .reading
        .zip(header)
        .and_then(|(i, row)| said_meaning(&split_unit(row.cell(i).text).0));
    room.tell_meanings(told, &block.settings, options, faults);
    room.meaning_said = told.is_some() || sheet.meaning().is_some();
    sheet.reader(columns, meaning, room).rows(faults)
}

/// A list as it lies on the sheet, and what was said of it.
#[derive(Clone, Copy)]
struct ListSheet<'a> {
    table: &'a Table,
    block: &'a Block,
    header: Option<Row<'a>>,
    headings: &'a [Heading],
    options: &'a ImportOptions,
}

impl<'a> ListSheet<'a> {
    /// Settles the units and the reading of numbers, all of it told in the room.
    fn reader(self, columns: Columns, meaning: Meaning, mut room: RawRoom) -> ListReader<'a> {
        let (block, options) = (self.block, self.options);
        let unit = |column: Option<usize>| column.and_then(|i| self.headings[i].unit);
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
        let told = |column: Option<usize>, of_sheet: Option<LengthUnit>| unit(column).or(of_sheet);
        room.stated_over(
            "plan distances",
            options.plan_unit,
            told(columns.x, block.settings.plan),
        );
        room.stated_over(
            "readings",
            options.reading_unit,
            told(columns.reading, block.settings.reading),
        );
        room.about.plan_unit = plan(columns.x);
        room.about.reading_unit = reading_unit;
        room.about.meaning = meaning;
        room.about.orientation =
            "Seen from above, x runs to the right and y up the plan, as written.".to_owned();
        let of_reading = || {
            let column = columns.reading.unwrap_or(0);
            let rows = block.body.clone();
            rows.map(move |r| self.table.row(r).cell(column))
        };
        let rule = CellRule {
            unit: reading_unit,
            dates_as_fractions: options.dates_as_fractions,
            usual_m: None,
            day_numbers: true,
            plan: false,
            decimal_comma: false,
        };
        let decimal_comma = meaning != Meaning::Elevation && decimal_by_size(of_reading(), rule);
        if decimal_comma {
            room.tell_decimal_comma();
        }
        let rule = CellRule {
            decimal_comma,
            ..rule
        };
        let distance = |column: Option<usize>| CellRule {
            unit: plan(column),
            day_numbers: false,
            plan: true,
            ..rule
        };
        let names = Names::of(block, columns, options);
        if let Some(names) = &names {
            room.laid = Some(names.laid);
            names.laid_words().clone_into(&mut room.about.orientation);
        } else if way_stated(block, options) {
            room.notices.push(Notice::new(
                "way-not-used",
                Severity::Warning,
                self.header_place().to_string(),
                "It is stated which way the rows or columns run, but each reading has its own x and y: they stand as they are, and nothing was turned.",
            ));
        }
        room.readings.reserve(block.body.len());
        ListReader {
            sheet: self,
            counted: self
                .header
                .is_some_and(|header| is_counted(self.table, block, header)),
            columns,
            rule: CellRule {
                usual_m: usual_m(of_reading(), rule),
                ..rule
            },
            places: Places {
                columns,
                x_rule: distance(columns.x),
                y_rule: distance(columns.y),
                names,
                told_unit: false,
            },
            rooms: vec![room],
            by_name: HashMap::new(),
            current: 0,
            set_ups: HashMap::new(),
            folded: (0, None),
        }
    }
}

/// A list as it is read, row by row.
struct ListReader<'a> {
    sheet: ListSheet<'a>,
    /// Whether the first column, without a heading, counts the rows.
    counted: bool,
    columns: Columns,
    /// How readings are read.
    rule: CellRule,
    places: Places,
    rooms: Vec<RawRoom>,
    by_name: HashMap<String, usize>,
    /// The room that rows belong to until another is named.
    current: usize,
    set_ups: HashMap<EcoString, usize>,
    /// Rows that hold as much beside the list as a reading needs, under no heading: how many, and where the first begins.
    folded: (usize, Option<(Place, String)>),
}

impl ListReader<'_> {
    fn rows(mut self, faults: &mut Faults) -> Vec<RawRoom> {
        let table = self.sheet.table;
        for row in self.sheet.block.body.clone().map(|i| table.row(i)) {
            if !row.is_blank() {
                self.row(row, faults);
            }
        }
        if let (count, Some((place, text))) = self.folded {
            faults.add(
                Fault::Layout,
                place,
                format!(
                    "{} beside the list, under no heading, beginning {text}",
                    match count {
                        1 => "a row of numbers".to_owned(),
                        n => format!("{n} rows of numbers"),
                    }
                ),
                "one reading a row, under one row of headings",
                "If these are readings, move them below the others, under the same headings. If not, move them to a sheet of their own.",
            );
        }
        let mut names: Vec<(usize, EcoString)> =
            self.set_ups.into_iter().map(|(n, i)| (i, n)).collect();
        names.sort();
        for room in &mut self.rooms {
            room.about.set_ups = names.iter().map(|(_, n)| n.to_string()).collect();
        }
        self.rooms
    }

    fn row(&mut self, row: Row<'_>, faults: &mut Faults) {
        let table = self.sheet.table;
        let place = |c: Cell<'_>| table.place(c.row, c.column);
        let skipped = |cell: Cell<'_>, why: Why| SkippedCell {
            place: place(cell),
            text: cell.text.to_owned(),
            why,
        };
        if self.sheet.header.is_some_and(|h| same_texts(h, row)) {
            let told = row.filled().next().map(|c| skipped(c, Why::HeadingsAgain));
            self.rooms[self.current].about.skipped.extend(told);
            return;
        }
        let columns = self.columns;
        if let Some(cell) = columns.room.map(|i| row.cell(i))
            && !cell.is_blank()
        {
            self.current = room_index(cell.text, &mut self.rooms, &mut self.by_name);
        }
        self.without_heading(row, faults);
        let room = &mut self.rooms[self.current];
        let cell = |column: Option<usize>| row.cell(column.unwrap_or(0));
        let (x, y, value) = (cell(columns.x), cell(columns.y), cell(columns.reading));
        let first = row.filled().find(|c| belongs(self.sheet.header, row, *c));
        if let Some(cell) = summary((row, first), columns, x, y) {
            room.skip_summary(place(cell), cell.text, "row");
            return;
        }
        let placed = self.places.names.is_none() && !x.is_blank() && !y.is_blank();
        if placed
            && !value.is_blank()
            && let Some(cell) = summary_beside(self.sheet.header, row, columns)
        {
            room.notices.push(Notice::new(
                "word-of-a-sum",
                Severity::Warning,
                place(cell).to_string(),
                format!(
                    "The row counts as a reading although it says {}: it has a place and a height. If it is an average of others, take the row out.",
                    quoted(cell.text)
                ),
            ));
        }
        if value.is_blank() && !placed {
            pass_over(table, row, self.sheet.header, room);
            return;
        }
        let at = self.places.at(table, row, faults);
        let seen = match length(value, self.rule) {
            Ok(seen) => seen,
            Err(fault) if fault.fault == Fault::MissingUnit => {
                room.missing_reading_unit(table, value, faults);
                return;
            }
            Err(fault) => {
                fault.report(faults, place(value));
                return;
            }
        };
        if seen == Seen::NoReading {
            if value.is_blank() {
                room.blank(table, value);
            } else {
                room.about.skipped.push(skipped(value, Why::NoReading));
            }
            return;
        }
        let Some(at) = at else {
            return;
        };
        see_places(table, row, columns, room);
        let label = columns.point.map_or_else(EcoString::new, |i| {
            crate::survey::seen(row.cell(i).text).into()
        });
        let before = room.readings.len();
        take(room, table, value, seen, Standing { label, at }, faults);
        if let Some(last) = room.readings.get_mut(before) {
            note_and_set_up(table, row, columns, last, &mut self.set_ups, faults);
        }
    }

    /// Cells under no heading: passed over and told, but for a number that may be the rest of a reading.
    fn without_heading(&mut self, row: Row<'_>, faults: &mut Faults) {
        let Some(header) = self.sheet.header else {
            return;
        };
        let table = self.sheet.table;
        if let Some(cell) = self.reading_beside(row, header) {
            let (count, first) = &mut self.folded;
            *count += 1;
            first.get_or_insert_with(|| (table.place(cell.row, cell.column), quoted(cell.text)));
        }
        for cell in row.filled() {
            let i = cell.column as usize - 1;
            if !header.cell(i).is_blank() {
                continue;
            }
            // A number right beside the columns of the list may well be the rest of a reading.
            let joins = |k: usize| !header.cell(k).is_blank();
            // So may one behind a unit in a cell of its own: `3 | ft | 4 1/2 | in`.
            let behind_unit = i.checked_sub(1).is_some_and(|k| {
                let text = row.cell(k).text.trim();
                LengthUnit::from_word(text).is_some()
                    || matches!(text, "-" | "+" | "\u{2013}" | "&")
            });
            let beside = i.checked_sub(1).is_some_and(joins) || joins(i + 1) || behind_unit;
            let counts = i == 0 && self.counted;
            if beside && !counts && cell.text.starts_with(|c: char| c.is_ascii_digit()) {
                faults.add(
                    Fault::NoPosition,
                    table.place(cell.row, cell.column),
                    format!("{} with no heading", quoted(cell.text)),
                    "a heading at the top of its column",
                    "Write the heading (note, if it is one), or clear the cell. A reading stands in one cell, such as 38 6/8.",
                );
            } else {
                self.rooms[self.current]
                    .about
                    .skipped
                    .push(outside(table, cell));
            }
        }
    }
}

impl<'a> ListReader<'_> {
    /// The first of the cells beside the list, next to each other and under no heading, that could be a reading with its place.
    fn reading_beside(&self, row: Row<'a>, header: Row<'_>) -> Option<Cell<'a>> {
        let free: Vec<Cell<'a>> = row
            .filled()
            .filter(|c| header.cell(c.column as usize - 1).is_blank())
            .collect();
        let next_to = |a: &Cell<'_>, b: &Cell<'_>| a.column + 1 == b.column;
        let mut runs = free.chunk_by(next_to);
        let names = self.places.names.as_ref();
        let holds = |run: &[Cell<'_>]| match names {
            // A point's name and a number behind it.
            Some(names) => run
                .windows(2)
                .any(|w| names.place(w[0].text).is_some() && is_number(&w[1])),
            // x, y and the reading.
            None => run.windows(3).any(|w| w.iter().all(is_number)),
        };
        runs.find(|run| holds(run)).map(|run| run[0])
    }
}

/// Passes over a row of a list that lacks its reading and its place; a word alone between rows may begin another room.
/// What stands under no heading is told already.
fn pass_over(table: &Table, row: Row<'_>, header: Option<Row<'_>>, room: &mut RawRoom) {
    let place = |c: Cell<'_>| table.place(c.row, c.column);
    let mut filled = row.filled();
    if let (Some(only), None) = (filled.next(), filled.next())
        && only.text.starts_with(char::is_alphabetic)
        && !room.readings.is_empty()
        && !is_page_line(row)
        && !is_date_line(row)
    {
        room.notices.push(Notice::new(
            "words-between-rows",
            Severity::Warning,
            place(only).to_string(),
            format!(
                "{} stands alone between rows and was passed over. If another room begins here, leave a blank row above it.",
                quoted(only.text)
            ),
        ));
    }
    let headed = |c: &Cell<'_>| header.is_none_or(|h| !h.cell(c.column as usize - 1).is_blank());
    let passed = row.filled().filter(headed);
    room.about.skipped.extend(passed.map(|c| SkippedCell {
        place: place(c),
        text: c.text.to_owned(),
        why: Why::NoRow,
    }));
}

/// Tells of places that nobody sees, beside a reading that is seen: where the whole row is hidden, the reading itself is told.
fn see_places(table: &Table, row: Row<'_>, columns: Columns, room: &mut RawRoom) {
    let hidden = |c: Cell<'_>| table.signs.is_hidden(c.row, c.column);
    let reading_hidden = columns.reading.is_some_and(|i| hidden(row.cell(i)));
    for cell in [columns.x, columns.y]
        .into_iter()
        .flatten()
        .map(|i| row.cell(i))
    {
        if !(reading_hidden && hidden(cell)) {
            room.see_place_signs(table, cell);
        }
    }
}

/// Whether the first column, without a heading, counts the rows. Above it no single letters: X, Y and Z over rows 1, 2, 3 may
/// be the names of a matrix.
fn is_counted(table: &Table, block: &Block, header: Row<'_>) -> bool {
    let rows = block.body.clone().map(|i| table.row(i));
    let counts: Vec<Option<i64>> = rows
        .filter(|r| !r.is_blank())
        .map(|r| r.cell(0).text.parse().ok())
        .collect();
    let runs = |w: &[Option<i64>]| w[0].zip(w[1]).is_some_and(|(a, b)| b == a + 1);
    header.cell(0).is_blank()
        && header.filled().any(|c| c.text.chars().count() > 1)
        && counts.windows(2).all(runs)
}

/// What a row says of its reading beside the value.
fn note_and_set_up(
    table: &Table,
    row: Row<'_>,
    columns: Columns,
    reading: &mut Reading,
    set_ups: &mut HashMap<EcoString, usize>,
    faults: &mut Faults,
) {
    if let Some(note) = columns.note.map(|i| row.cell(i).text)
        && !note.is_empty()
    {
        reading.note = Some(note.into());
    }
    if let Some(cell) = columns.set_up.map(|i| row.cell(i)) {
        if cell.is_blank() {
            faults.add(
                Fault::SetUps,
                table.place(cell.row, cell.column),
                "no set-up named",
                "the set-up that this reading was taken from",
                "Name it in every row, or drop the column.",
            );
        }
        let next = set_ups.len();
        reading.set_up = *set_ups.entry(cell.text.into()).or_insert(next);
    }
}

/// The room of that name, made when it is new. The first room named takes the place of the unnamed one.
fn room_index(name: &str, rooms: &mut Vec<RawRoom>, by_name: &mut HashMap<String, usize>) -> usize {
    // Capitals are often an accident of typing.
    let key = name.to_lowercase();
    if let Some(&i) = by_name.get(&key) {
        return i;
    }
    let index = if by_name.is_empty() && rooms[0].readings.is_empty() {
        rooms[0].name = Some(name.to_owned());
        rooms[0].stated = true;
        0
    } else {
        let sibling = rooms[0].sibling(name.to_owned());
        rooms.push(sibling);
        rooms.len() - 1
    };
    by_name.insert(key, index);
    index
}

/// Whether a heading is that of a place, or of a point where places go by names, with a count behind it: `X2`, `y (2)`, `Point.1`.
fn is_named_after(text: &str, by_name: bool) -> bool {
    let name = split_unit(text).0;
    let bare = name.trim_end_matches(|c: char| !c.is_alphabetic());
    let counted = bare.len() < name.len() && !bare.is_empty();
    counted
        && match heading(bare).field {
            Field::X | Field::Y => !by_name,
            Field::Point => by_name,
            _ => false,
        }
}

/// Whether a cell is of the list's own row: under a heading, or without a blank cell between it and one that is. What stands
/// farther off is a box beside the list.
fn belongs(header: Option<Row<'_>>, row: Row<'_>, cell: Cell<'_>) -> bool {
    let Some(header) = header else { return true };
    let headed = |i: usize| !header.cell(i).is_blank();
    let free = |i: usize| !headed(i) && row.cell(i).is_blank();
    let at = cell.column as usize - 1;
    let to_left = (0..=at).rev().find(|&i| headed(i) || free(i));
    let to_right = (at..header.len()).find(|&i| headed(i) || free(i));
    [to_left, to_right].into_iter().flatten().any(headed)
}

/// The word that makes a row one of averages: in the point, x or y column, or in the row's first cell.
fn summary<'a>(
    (row, first): (Row<'a>, Option<Cell<'a>>),
    columns: Columns,
    x: Cell<'a>,
    y: Cell<'a>,
) -> Option<Cell<'a>> {
    let wordy = |c: &Cell<'_>| c.text.starts_with(|c: char| c.is_alphabetic());
    let point = columns.point.map(|i| row.cell(i));
    // A point may be called High or Low: with both coordinates it is a reading.
    let placed = !x.is_blank() && !y.is_blank() && !wordy(&x) && !wordy(&y);
    [point, Some(x), Some(y)]
        .into_iter()
        .flatten()
        .find(|c| wordy(c) && is_summary(c.text) && !placed)
        .or_else(|| first.filter(|c| wordy(c) && is_summary(c.text) && !placed))
        // How many readings there are: `n` names no point where nothing says where it lies.
        .or_else(|| {
            let count = |c: &Cell<'_>| matches!(c.text, "n" | "N" | "n =" | "N =" | "n=" | "N=");
            let blank = |i: Option<usize>| i.is_none_or(|i| row.cell(i).is_blank());
            let whole = |i: usize| row.cell(i).text.parse::<u32>().is_ok();
            let unplaced =
                blank(columns.x) && blank(columns.y) && columns.reading.is_some_and(whole);
            first.filter(|c| unplaced && count(c))
        })
        // Averages dragged across the distances too: the word stands where the row is named.
        .or_else(|| {
            let room = columns.room.map(|i| row.cell(i).column);
            let named = [point, first].into_iter().flatten();
            named
                .into_iter()
                .find(|c| is_sum(c.text) && Some(c.column) != room)
        })
}

/// The word of an average beside a whole reading, in a column that names neither the row nor its room or set-up: a note, more
/// likely than not.
fn summary_beside<'a>(header: Option<Row<'_>>, row: Row<'a>, columns: Columns) -> Option<Cell<'a>> {
    let names = [columns.point, columns.room, columns.set_up];
    row.filled().find(|c| {
        is_sum(c.text) && !names.contains(&Some(c.column as usize - 1)) && belongs(header, row, *c)
    })
}

impl ListSheet<'_> {
    /// Which column holds what; `None` with faults told.
    fn find_columns(self, faults: &mut Faults, room: &mut RawRoom) -> Option<(Columns, Meaning)> {
        let (mut columns, meanings, known) = self.named_columns(faults, room);
        let reading = self.column_of_readings(&meanings, faults);
        if let Some((i, _)) = reading {
            columns.reading = Some(i);
            room.about.meaning_stated = self.header.is_some() || self.meaning().is_some();
        }
        let placed = self.has_places(columns, faults);
        let (_, meaning) = reading?;
        (known && placed).then_some((columns, meaning))
    }

    /// Whether columns that were not used hold parts of the distances or readings beside them: refused, or, where that is only
    /// likely, warned of.
    fn parts_beside(self, columns: Columns, room: &mut RawRoom, faults: &mut Faults) -> bool {
        let known = [columns.x, columns.y, columns.reading];
        let is_known = |k: &usize| known.contains(&Some(*k));
        let mut refused = false;
        for (i, heading) in self.headings.iter().enumerate() {
            // What stands under no heading is told at its own cells.
            let headed = self.header.is_some_and(|h| !h.cell(i).is_blank());
            // Other columns may stand between, a note or a point's name.
            let before = (0..i).rev().find(is_known);
            let behind = (i + 1..self.headings.len()).find(is_known);
            if !headed || !matches!(heading.field, Field::Unknown | Field::Note) {
                continue;
            }
            let part = |k: usize| part_of(self.table, self.block, (k, i), self.unit_of(k, columns));
            // A note that is only a fraction is warned of: so headed, a column may hold what it likes.
            let found = before.and_then(|k| match (heading.field, part(k)?) {
                (Field::Note, Part::Fractions) => Some((k, Part::Whole)),
                (Field::Note, _) => None,
                (_, part) => Some((k, part)),
            });
            // The smaller part may stand before the larger one as well.
            let surely = found.filter(|(_, part)| *part != Part::Whole).or_else(|| {
                let k = behind.filter(|_| heading.field == Field::Unknown)?;
                Some((k, part(k).filter(|part| *part != Part::Whole)?))
            });
            let place = self
                .table
                .place(self.header.map_or(0, |r| r.number), i as u32 + 1);
            let text = |k: usize| quoted(self.header.map_or("", |r| r.cell(k).text));
            if let Some((k, _)) = surely {
                refused = true;
                faults.add(
                    Fault::Column,
                    place,
                    format!(
                        "the column {}, which reads like a part of {} {} it",
                        text(i),
                        text(k),
                        if k < i { "before" } else { "behind" }
                    ),
                    "each distance and each reading in one cell",
                    "Put both parts into one cell, such as 3' 4 9/16\", 40 9/16 or 1.20. If the column is something else, head it note, or write words beside its numbers.",
                );
            } else if let Some((k, _)) = found.filter(|(k, _)| k + 1 == i) {
                room.notices.push(Notice::new(
                    "numbers-not-used",
                    Severity::Warning,
                    place.to_string(),
                    format!(
                        "The column {} holds small numbers after {} and was not used. If they are a part of it, put both into one cell.",
                        text(i),
                        text(k)
                    ),
                ));
            }
        }
        refused
    }

    /// Whether a second list stands beside the first, under headings of its own such as `X2 | Y2 | R2`: refused. It is one where as
    /// many columns as a reading needs are as full of numbers as the list itself, and one of them is named after a known one.
    fn is_folded(self, columns: Columns, header: Row<'_>, faults: &mut Faults) -> bool {
        let rows = || self.block.body.clone().map(|i| self.table.row(i));
        let known = rows().filter(|r| {
            let reading = columns.reading.map(|i| r.cell(i));
            reading.is_some_and(|c| is_number(&c))
        });
        let known = known.count();
        let by_name = columns.x.is_none() && columns.y.is_none();
        // A name and a reading, or x, y and a reading.
        let needed = if by_name { 2 } else { 3 };
        let full = |i: usize| {
            let named = |c: &Cell<'_>| by_name && letters_and_number(c.text).is_some();
            let filled = rows().filter(|r| is_number(&r.cell(i)) || named(&r.cell(i)));
            2 * filled.count() > known
        };
        let free: Vec<usize> = (0..self.headings.len())
            .filter(|&i| self.headings[i].field == Field::Unknown)
            .filter(|&i| !header.cell(i).is_blank() && full(i))
            .collect();
        let alike = |i: &usize| is_named_after(header.cell(*i).text, by_name);
        let (true, true, Some(first)) = (
            known > 0,
            free.len() >= needed && free.iter().any(alike),
            free.first(),
        ) else {
            return false;
        };
        let cell = header.cell(*first);
        faults.add(
            Fault::Layout,
            self.table.place(cell.row, cell.column),
            format!(
                "{} columns of numbers beside the list that are not known, the first headed {}",
                free.len(),
                quoted(cell.text)
            ),
            "one reading a row, under one row of headings",
            "If these are readings, move them below the others, under the same headings. If not, move them to a sheet of their own.",
        );
        true
    }

    /// The unit of a column of distances or readings, as its heading, the user or a row above says.
    fn unit_of(self, column: usize, columns: Columns) -> Option<LengthUnit> {
        let (stated, above) = if columns.reading == Some(column) {
            (self.options.reading_unit, self.block.settings.reading)
        } else {
            (self.options.plan_unit, self.block.settings.plan)
        };
        stated.or(self.headings[column].unit).or(above)
    }

    /// What the sheet or the user says that readings are.
    fn meaning(self) -> Option<Meaning> {
        self.options.meaning.or(self.block.settings.meaning)
    }

    /// The place of the header, for what is wrong with it as a whole.
    fn header_place(self) -> Place {
        self.table.place(self.header.map_or(0, |r| r.number), 0)
    }

    /// The columns by their headings, those of readings apart; `false` where one comes twice.
    fn named_columns(
        self,
        faults: &mut Faults,
        room: &mut RawRoom,
    ) -> (Columns, Vec<(usize, Meaning)>, bool) {
        let row = self.header.map_or(0, |r| r.number);
        let mut columns = Columns::default();
        let mut meanings: Vec<(usize, Meaning)> = Vec::new();
        let mut sound = true;
        for (i, heading) in self.headings.iter().enumerate() {
            let text = self.header.map_or("", |r| r.cell(i).text);
            let place = self.table.place(row, i as u32 + 1);
            if self.header.is_some() && text.is_empty() {
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
        (columns, meanings, sound)
    }

    /// The one column of readings, and what they mean.
    fn column_of_readings(
        self,
        meanings: &[(usize, Meaning)],
        faults: &mut Faults,
    ) -> Option<(usize, Meaning)> {
        let wanted = self.meaning();
        // Beside a reading, an elevation column is the sheet's own arithmetic unless it is asked for.
        let fits = |m: &Meaning| meanings.len() < 2 || wanted.is_none_or(|wanted| *m == wanted);
        let fitting: Vec<(usize, Meaning)> =
            meanings.iter().copied().filter(|(_, m)| fits(m)).collect();
        match fitting[..] {
            [(i, own)] => {
                if wanted.is_none() && self.beside_design(i, faults) {
                    return None;
                }
                return Some((i, wanted.unwrap_or(own)));
            }
            [] => faults.add(
                Fault::Column,
                self.header_place(),
                "no column of readings",
                "a column headed reading or elevation, with its unit, as in reading_in",
                "",
            ),
            _ => {
                let headings: Vec<String> = meanings
                    .iter()
                    .map(|(i, _)| quoted(self.header.map_or("", |r| r.cell(*i).text)))
                    .collect();
                faults.add(
                    Fault::Column,
                    self.header_place(),
                    format!("several columns of readings: {}", headings.join(", ")),
                    "one",
                    "Rename those that do not count, or state --meaning down or --meaning elevation.",
                );
            }
        }
        None
    }

    /// Whether what was measured stands beside what was designed, and is a height then, more likely than not: refused.
    fn beside_design(self, column: usize, faults: &mut Faults) -> bool {
        let words = |i: usize| split_unit(self.header.map_or("", |r| r.cell(i).text)).0;
        let is_open = matches!(words(column).as_str(), "measured" | "measurement" | "value");
        let designed = (0..self.headings.len()).find(|&i| {
            let of = [
                "design", "designed", "target", "planned", "nominal", "required", "soll",
            ];
            self.headings[i].field == Field::Unknown && words(i).split(' ').any(|w| of.contains(&w))
        });
        let (true, Some(design), Some(row)) = (is_open, designed, self.header) else {
            return false;
        };
        let cell = row.cell(column);
        faults.add(
            Fault::Column,
            self.table.place(cell.row, cell.column),
            format!(
                "{} beside {}, which may be heights as well as readings down from a line",
                quoted(cell.text),
                quoted(row.cell(design).text)
            ),
            "a heading that says which way its numbers run",
            "Head it reading down where larger is lower, elevation where larger is higher, or state --meaning.",
        );
        true
    }

    /// Whether each reading has its place: by x and y, or by its name and a spacing.
    fn has_places(self, columns: Columns, faults: &mut Faults) -> bool {
        let spacing = self.options.spacing.or(self.block.settings.spacing);
        let by_name = columns.x.is_none() && columns.y.is_none() && columns.point.is_some();
        let mut sound = true;
        if by_name && spacing.is_none() {
            sound = false;
            faults.add(
                Fault::NoPosition,
                self.header_place(),
                "names and no distances",
                "columns x and y, or a spacing with names such as A1, B1, A2",
                "State --spacing, such as --spacing \"2 ft\", or write a row above: spacing, 2 ft.",
            );
        }
        if !by_name && spacing.is_some() {
            sound = false;
            faults.add(
                Fault::NoPosition,
                self.header_place(),
                "a spacing, though each reading has its x and y",
                "x and y, or a spacing with names such as A1, B1, A2",
                "Leave the spacing away.",
            );
        }
        for (slot, name) in [(columns.x, "x"), (columns.y, "y")] {
            if slot.is_none() && !by_name {
                sound = false;
                faults.add(
                    Fault::Column,
                    self.header_place(),
                    format!("no column {name}"),
                    format!("a column headed {name} with its unit, as in {name}_ft"),
                    "",
                );
            }
        }
        sound
    }
}
