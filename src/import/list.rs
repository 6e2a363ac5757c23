//! A list: one reading a row, under a header that names the columns.

use super::around::is_number;
use super::blocks::{Block, outside};
use super::cells::{CellRule, Seen, decimal_by_size, is_ditto, length, usual_m};
use super::cut_decimals::{decimals_split, readings_cut};
use super::error::{Fault, Faults, quoted};
use super::form::same_texts;
use super::headers::{Field, is_obstacle, meaning_in_words, said_meaning, split_unit};
use super::heading::Heading;
use super::list_columns::{ListSheet, is_counted};
use super::list_origin::Turned;
use super::list_places::{Columns, Names, Places};
use super::moved::{refuse_between, says_moved};
use super::notes_beside;
use super::numbered_note::is_numbered_note;
use super::options::{ImportOptions, Layout, Meaning};
use super::origins::origin;
use super::pages::{is_date_line, is_page_line};
use super::room::{MeaningBy, RawRoom, Standing, take};
use super::short_rows::short_row;
use super::sums::{belongs, summary, summary_beside};
use super::table::{Cell, Row, Table};
use super::understood::{SkippedCell, Why};
use crate::geometry::Point;
use crate::survey::{Notice, Place, Reading, Severity};
use crate::units::LengthUnit;
use ecow::EcoString;
use std::collections::HashMap;

/// Whether it is stated where the first row lies or which way x runs.
fn way_stated(block: &Block, options: &ImportOptions) -> bool {
    options.orientation.first_row.is_some()
        || options.orientation.x_runs.is_some()
        || block.settings.first_row.is_some()
        || block.settings.x_runs.is_some()
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
    sheet.tell_brackets(columns, &mut room, faults);
    if let Some(header) = header {
        room.notices
            .extend(short_row(table, block, header, columns));
    }
    if let Some(header) = header {
        let unit = columns.reading.and_then(|i| sheet.unit_of(i, columns));
        match readings_cut((table, block), header, headings, columns, unit, faults) {
            Ok(told) => room.notices.extend(told),
            Err(()) => return Vec::new(),
        }
    }
    let unit = |column: Option<usize>| column.and_then(|i| headings[i].unit);
    let units = (unit(columns.reading), unit(columns.x));
    room.tell_contradictions(units, &block.settings, options, faults);
    let told = columns
        .reading
        .zip(header)
        .and_then(|(i, row)| said_meaning(&split_unit(row.cell(i).text).0));
    room.tell_meanings(told, &block.settings, options, faults);
    let in_words = columns
        .reading
        .zip(header)
        .and_then(|(i, row)| meaning_in_words(&split_unit(row.cell(i).text).0));
    room.meaning_by = MeaningBy::of(sheet.meaning(), in_words);
    let of_reading = columns.reading.map(|i| headings[i]);
    let unit_and_scale = of_reading.map_or((None, None), |h| (h.unit, h.scale));
    room.tell_two_scales(unit_and_scale, &block.settings, options, faults);
    sheet.refuse_counted_plan(columns, faults);
    room.count_parts(sheet.scale_of_readings(columns), options, faults);
    let mut rooms = sheet.reader(columns, meaning, room).rows(faults);
    // What stands beside and right below the rows is known only now.
    let title = block.title.as_ref();
    let turned = Turned::find((headings, header), columns, title, &mut rooms, faults);
    for room in &mut rooms {
        turned.apply(room, options, faults);
    }
    rooms
}

impl<'a> ListSheet<'a> {
    /// Tells how the names of a list lay its points, or that the way stated for rows and columns lays none.
    fn tell_names(self, names: Option<&Names>, columns: Columns, room: &mut RawRoom) {
        if let Some(names) = names {
            room.laid = Some(names.laid);
            room.about.counting = names.counting;
            names.laid_words().clone_into(&mut room.about.orientation);
            names.tell_skips(self.table, self.block, columns, room);
        } else if way_stated(self.block, self.options) {
            room.notices.push(Notice::new(
                "way-not-used",
                Severity::Warning,
                self.header_place().to_string(),
                "It is stated which way the rows or columns run, but each reading has its own x and y: they stand as they are, and nothing was turned.",
            ));
        }
    }

    /// Settles the units and the reading of numbers, all of it told in the room.
    fn reader(self, columns: Columns, meaning: Meaning, mut room: RawRoom) -> ListReader<'a> {
        let (block, options) = (self.block, self.options);
        let unit = |column: Option<usize>| column.and_then(|i| self.headings[i].unit);
        let plan = |column: Option<usize>| {
            options
                .plan_unit
                .or_else(|| unit(column))
                .or(block.settings.plan_unit())
        };
        let reading_unit = options
            .reading_unit
            .or_else(|| unit(columns.reading))
            .or(block.settings.reading_unit());
        let told = |column: Option<usize>, of_sheet: Option<LengthUnit>| unit(column).or(of_sheet);
        room.stated_over(
            "plan distances",
            options.plan_unit,
            told(columns.x, block.settings.plan_unit()),
        );
        room.stated_over(
            "readings",
            options.reading_unit,
            told(columns.reading, block.settings.reading_unit()),
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
            scale: self.scale_of_readings(columns),
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
            scale: column.and_then(|i| self.headings[i].scale),
            ..rule
        };
        let names = Names::of(self.table, block, columns, options);
        self.tell_names(names.as_ref(), columns, &mut room);
        room.readings.reserve(block.body.len());
        let rule = CellRule {
            usual_m: usual_m(of_reading(), rule),
            ..rule
        };
        let further = self.further_readings(columns.reading).into_iter().map(|i| {
            let heading = self.headings[i];
            let own = CellRule {
                unit: options.reading_unit.or(heading.unit).or(reading_unit),
                scale: heading.scale.or(rule.scale),
                ..rule
            };
            (i, own)
        });
        ListReader {
            sheet: self,
            counted: self
                .header
                .is_some_and(|header| is_counted(self.table, block, header)),
            columns,
            rule,
            further: further.collect(),
            places: Places {
                columns,
                x_rule: distance(columns.x),
                y_rule: distance(columns.y),
                names,
                told_unit: false,
                above: (None, None),
            },
            rooms: vec![room],
            by_name: HashMap::new(),
            current: 0,
            set_ups: HashMap::new(),
            folded: (0, None),
            moved: None,
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
    /// Columns of further readings of each mark, and how they are read.
    further: Vec<(usize, CellRule)>,
    places: Places,
    rooms: Vec<RawRoom>,
    by_name: HashMap<String, usize>,
    /// The room that rows belong to until another is named.
    current: usize,
    /// Set-ups by their names without capitals: their count, and the name as it was written first.
    set_ups: HashMap<String, (usize, EcoString)>,
    /// Rows that hold as much beside the list as a reading needs, under no heading: how many, and where the first begins.
    folded: (usize, Option<(Place, String)>),
    /// Words since the last reading that the instrument was moved, with their place.
    moved: Option<(Place, String)>,
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
        let mut names: Vec<(usize, EcoString)> = self.set_ups.into_values().collect();
        names.sort();
        for room in &mut self.rooms {
            notes_beside::tell(room);
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
        // A mark for what stands above is no name of a room.
        if let Some(cell) = columns.room.map(|i| row.cell(i))
            && !cell.is_blank()
            && !is_ditto(cell.text)
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
        let further: Vec<(Cell<'_>, CellRule)> = self
            .further
            .iter()
            .map(|&(i, rule)| (row.cell(i), rule))
            .filter(|(c, _)| !c.is_blank())
            .collect();
        if value.is_blank() && further.is_empty() && (!placed || is_date_line(row)) {
            let said = row.filled().find(|c| says_moved(c.text));
            if let Some(said) = said.filter(|_| !room.readings.is_empty()) {
                self.moved = Some((place(said), said.text.to_owned()));
            }
            pass_over(table, row, self.sheet.header, room);
            return;
        }
        // Only before more readings does it part anything.
        if let Some((place, text)) = self.moved.take().filter(|_| columns.set_up.is_none()) {
            refuse_between(place, &text, faults);
        }
        let at = self.places.at(table, row, faults);
        self.reading(row, (value, self.rule), at, faults);
        for (cell, rule) in further {
            self.reading(row, (cell, rule), at, faults);
        }
    }

    /// Takes in one reading of a row.
    fn reading(
        &mut self,
        row: Row<'_>,
        (value, rule): (Cell<'_>, CellRule),
        at: Option<Point>,
        faults: &mut Faults,
    ) {
        let (table, columns) = (self.sheet.table, self.columns);
        let place = |c: Cell<'_>| table.place(c.row, c.column);
        let room = &mut self.rooms[self.current];
        let seen = match length(value, rule) {
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
            let notes = columns.notes().map(|i| row.cell(i));
            let notes = notes.filter(|note| !note.is_blank());
            room.remarks
                .extend(notes.map(|c| (place(c), c.text.to_owned())));
            if value.is_blank() {
                // `island` as the remark on a mark without a reading.
                let notes = columns.notes().map(|i| row.cell(i));
                let mut named = notes.filter_map(|note| {
                    let mut words = note.text.split_whitespace();
                    Some((note, words.find(|w| is_obstacle(w))?))
                });
                if let (Some((note, word)), Some(at)) = (named.next(), at) {
                    room.keep_obstacle(place(note), word, at);
                }
                room.blank(table, value);
            } else {
                if let Some(at) = at {
                    room.keep_obstacle(place(value), value.text, at);
                }
                room.about.skipped.push(SkippedCell {
                    place: place(value),
                    text: value.text.to_owned(),
                    why: Why::NoReading,
                });
            }
            return;
        }
        let Some(at) = at else {
            return;
        };
        see_places(table, row, columns, room);
        // Under a heading that is not known, `Legend`, may stand where distances count from.
        let headings = self.sheet.headings;
        let unknown = |c: &Cell<'_>| {
            let heading = headings.get(c.column as usize - 1);
            heading.is_some_and(|h| h.field == Field::Unknown) && origin(c.text).is_some()
        };
        let spoken = row.filled().filter(unknown);
        room.about.skipped.extend(spoken.map(|c| outside(table, c)));
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
            let number = cell.text.starts_with(|c: char| c.is_ascii_digit());
            if beside && !counts && number && !is_numbered_note(cell.text) {
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
        let number = |c: &Cell<'_>| is_number(c) && !is_numbered_note(c.text);
        let holds = |run: &[Cell<'_>]| match names {
            // A point's name and a number behind it.
            Some(names) => run
                .windows(2)
                .any(|w| names.place(w[0].text).is_some() && number(&w[1])),
            // x, y and the reading.
            None => run.windows(3).any(|w| w.iter().all(number)),
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
        && parts_rows(only.text)
        && origin(only.text).is_none()
        && !room.readings.is_empty()
        && !is_page_line(row)
        && !is_date_line(row)
    {
        let remedy = match only.text.contains(char::is_alphabetic) {
            true => "If another room begins here, leave a blank row above it.",
            false => "If it is to be added to readings, write them as they are to count.",
        };
        room.notices.push(Notice::new(
            "words-between-rows",
            Severity::Warning,
            place(only).to_string(),
            format!(
                "{} stands alone between rows and was passed over. {remedy}",
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

/// Whether a lone line between rows may part them: words, whatever lines or stars they stand between, or an amount with its sign.
fn parts_rows(text: &str) -> bool {
    let bare = text.trim_start_matches(|c: char| !c.is_alphanumeric());
    let signed = text
        .trim_start()
        .starts_with(['+', '-', '\u{2212}', '\u{b1}']);
    bare.starts_with(char::is_alphabetic)
        || (signed && bare.starts_with(|c: char| c.is_ascii_digit()))
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

/// What a row says of its reading beside the value.
fn note_and_set_up(
    table: &Table,
    row: Row<'_>,
    columns: Columns,
    reading: &mut Reading,
    set_ups: &mut HashMap<String, (usize, EcoString)>,
    faults: &mut Faults,
) {
    let notes = columns.notes().map(|i| row.cell(i).text);
    let notes: Vec<&str> = notes.filter(|note| !note.is_empty()).collect();
    if !notes.is_empty() {
        reading.note = Some(notes.join("; ").into());
    }
    if let Some(cell) = columns.set_up.map(|i| row.cell(i)) {
        if cell.is_blank() || is_ditto(cell.text) {
            faults.add(
                Fault::SetUps,
                table.place(cell.row, cell.column),
                if cell.is_blank() {
                    "no set-up named".to_owned()
                } else {
                    quoted(cell.text)
                },
                "the set-up that this reading was taken from",
                "Name it in every row, or drop the column.",
            );
        }
        // Capitals and blanks are often an accident of typing, as in the names of rooms.
        let folded = cell
            .text
            .to_lowercase()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        let next = set_ups.len();
        let (index, _) = set_ups
            .entry(folded)
            .or_insert_with(|| (next, cell.text.into()));
        reading.set_up = *index;
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
        rooms[0].named_outside = false;
        0
    } else {
        let sibling = rooms[0].sibling(name.to_owned());
        rooms.push(sibling);
        rooms.len() - 1
    };
    by_name.insert(key, index);
    index
}
