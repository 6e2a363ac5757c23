//! A matrix: distances in the first row and column, readings between them.

use super::around::looks_numeric;
use super::axis::{
    Axis, Reader, Which, are_letters, axis_named, follow, skip_notice, without_axes,
};
use super::blocks::{Block, outside};
use super::boxes::{self, Strange, heads_of};
use super::cells::{CellRule, LARGEST_READING, Seen, decimal_by_size, length, usual_m};
use super::corner::{CornerFault, corner};
use super::error::{Fault, Faults, quoted};
use super::form::{is_remarks, width_without_remarks};
use super::grid::{Grid, counts};
use super::headers::{is_no_reading, is_summary};
use super::headings_again;
use super::lie::{Lie, turns, turns_back};
use super::notes_beside::{self, Held};
use super::numbered_note::is_numbered_note;
use super::options::{ImportOptions, Layout, Meaning, Orientation, Spacing, XRuns};
use super::pages::{is_date_line, is_page_line};
use super::room::{RawRoom, Standing, take};
use super::settings::{Setting, is_other_word, setting};
use super::short_rows::short_rows;
use super::stated::Stated;
use super::table::{Cell, Row, Table};
use super::understood::{SkippedCell, Why};
use crate::geometry::Point;
use crate::survey::{Notice, Place, Severity};
use crate::units::{Length, LengthUnit, read_length};
use std::cell::OnceCell;

/// Reads one matrix.
pub(super) fn read(
    table: &Table,
    block: &Block,
    corner_column: usize,
    options: &ImportOptions,
    faults: &mut Faults,
) -> RawRoom {
    let header = table.row(block.header.unwrap_or(block.body.start));
    let width = width_without_remarks(&header, corner_column);
    let (mut rows, mut again, mut paged) = (Vec::new(), Vec::new(), Vec::new());
    for row in block.body.clone().map(|i| table.row(i)) {
        // Between the pages of one table stand its headings, and lines that count the pages.
        if headings_again::is_row(header, row, corner_column) {
            again.extend(row.filled().next());
            paged.push(rows.len());
        } else if is_page_line(row) || is_date_line(row) {
            // Told with what stands outside of the tables.
            paged.push(rows.len());
        } else if !row.is_blank() {
            rows.push(row);
        }
    }
    let told_corner = header.cell(corner_column);
    let parted = two_units_joined(&told_corner, &header, &rows);
    let corner_text = parted.as_deref().unwrap_or(told_corner.text);
    let told = corner(corner_text);
    let stated = Stated::of(&told, &block.settings, options);
    let ends = (corner_column, width);
    let width = headings_again::without_column((header, &rows), ends, stated.plan_unit);
    let mut heads: Vec<Cell<'_>> = (corner_column + 1..width).map(|i| header.cell(i)).collect();
    let mut sides: Vec<Cell<'_>> = rows.iter().map(|r| r.cell(corner_column)).collect();
    let other_axis =
        names_other_axis(&heads, &sides).or_else(|| without_axes(&mut heads, &mut sides).err());
    let mut matrix = Matrix {
        table,
        corner_column,
        heads,
        sides,
        header,
        rows,
        paged,
        stated,
        held: OnceCell::new(),
    };
    matrix.take_one_unit(told.only, options);
    let mut room = RawRoom::new(
        block,
        Layout::Matrix,
        table.place(header.number, 0),
        options,
    );
    room.about
        .skipped
        .extend(again.into_iter().map(|cell| SkippedCell {
            place: table.place(cell.row, cell.column),
            text: cell.text.to_owned(),
            why: Why::HeadingsAgain,
        }));
    if block.repeats {
        room.notices.push(Notice::new(
            "table-without-title",
            Severity::Warning,
            room.about.header.to_string(),
            "A second table without a title above it: taken as another room. If it is more of the same room, put its rows or columns beside the others under one set of headings; if not, write the room's name above it.",
        ));
    }
    if let Some(cell) = other_axis {
        CornerFault::Transposed.report(&cell, table, faults);
    }
    if let Some(fault) = told.fault {
        fault.report(&told_corner, table, faults);
    }
    if !told_corner.is_blank() {
        let place = table.place(told_corner.row, told_corner.column);
        room.corner = Some((place, corner_text.to_owned()));
    }
    room.tell_contradictions((told.reading, told.plan), &block.settings, options, faults);
    room.tell_two_scales((told.reading, told.scale), &block.settings, options, faults);
    room.count_parts(matrix.stated.scale, options, faults);
    room.tell_meanings(told.said, &block.settings, options, faults);
    matrix.read(room, options, faults)
}

/// `ft.in` in a corner as two units, that of the plan and that of the readings: it is the way of writing 4.03 for 4 ft 3 in as well, but not over
/// numbers without a point of which one is too long a reading for feet.
fn two_units_joined(corner: &Cell<'_>, header: &Row<'_>, rows: &[Row<'_>]) -> Option<String> {
    let (plan, reading) = corner.text.split_once('.')?;
    let (of_plan, of_reading) = (
        LengthUnit::from_word(plan.trim())?,
        LengthUnit::from_word(reading.trim().trim_end_matches('.'))?,
    );
    if (of_plan, of_reading) != (LengthUnit::Foot, LengthUnit::Inch) {
        return None;
    }
    let all = || std::iter::once(header).chain(rows);
    let cells = || {
        all()
            .flat_map(|r| r.filled())
            .filter(|c| looks_numeric(c.text))
    };
    let whole = |c: Cell<'_>| !c.text.contains(['.', ',']);
    let long = |c: Cell<'_>| {
        let read = read_length(c.text, Some(LengthUnit::Foot), c.comma);
        read.is_ok_and(|w| w.unit.is_none() && w.length > LARGEST_READING)
    };
    let beside = |c: &Cell<'_>| c.row != corner.row && c.column > corner.column;
    (cells().all(whole) && cells().filter(beside).any(long)).then(|| "ft / in".to_owned())
}

/// The first heading that names the other axis than its own: `y=2` over a column.
fn names_other_axis<'a>(heads: &[Cell<'a>], sides: &[Cell<'a>]) -> Option<Cell<'a>> {
    let wrong =
        |cell: &Cell<'_>, own: char| axis_named(cell.text).is_some_and(|(axis, _)| axis != own);
    let head = heads.iter().find(|c| wrong(c, 'x'));
    head.or_else(|| sides.iter().find(|c| wrong(c, 'y')))
        .copied()
}

/// So many headings that count 1, 2, 3 are told.
const LEAST_COUNTED: usize = 3;

/// A matrix as it lies on the sheet.
struct Matrix<'a> {
    table: &'a Table,
    corner_column: usize,
    header: Row<'a>,
    /// Headings of the columns.
    heads: Vec<Cell<'a>>,
    /// Rows with anything in them, and the heading of each.
    rows: Vec<Row<'a>>,
    sides: Vec<Cell<'a>>,
    /// The rows, by index, above which the headings of a next page stand.
    paged: Vec<usize>,
    stated: Stated,
    /// The heights of its cells, where notes beside them have to be held against these.
    held: OnceCell<Held>,
}

impl<'a> Matrix<'a> {
    /// Takes in the one unit of a corner for what it is of.
    fn take_one_unit(&mut self, only: Option<LengthUnit>, options: &ImportOptions) {
        let Some(unit) = only else { return };
        let cells: Vec<Cell<'_>> = self.cells().collect();
        let heads = (&self.heads[..], &self.sides[..]);
        self.stated
            .take_one_unit(unit, heads, cells.into_iter(), options);
    }

    fn place(&self, cell: &Cell<'_>) -> Place {
        self.table.place(cell.row, cell.column)
    }

    /// The cell under a heading.
    fn cell(&self, row: usize, column: usize) -> Cell<'a> {
        self.rows[row].cell(self.corner_column + 1 + column)
    }

    fn cells(&self) -> impl Iterator<Item = Cell<'a>> + '_ {
        (0..self.rows.len()).flat_map(move |i| (0..self.heads.len()).map(move |j| self.cell(i, j)))
    }

    fn read(&self, mut room: RawRoom, options: &ImportOptions, faults: &mut Faults) -> RawRoom {
        let stated = &self.stated;
        let meaning = stated.meaning.unwrap_or_default();
        let rule = CellRule {
            unit: stated.reading_unit,
            dates_as_fractions: options.dates_as_fractions,
            usual_m: None,
            day_numbers: true,
            plan: false,
            decimal_comma: false,
            scale: stated.scale,
        };
        let decimal_comma = meaning != Meaning::Elevation && decimal_by_size(self.cells(), rule);
        let rule = CellRule {
            decimal_comma,
            ..rule
        };
        let ends = (self.corner_column, self.width());
        if headings_again::refuse_at_right(self.table, (self.header, &self.rows), ends, faults) {
            return room;
        }
        let (across, along) = self.axes(rule, faults);
        let filled = || {
            (0..self.rows.len()).flat_map(|i| {
                (0..self.heads.len())
                    .filter(move |&j| !is_no_reading(self.cell(i, j).text))
                    .map(move |j| (j, i))
            })
        };
        self.refuse_boxes(&across, &along, faults);
        self.refuse_settings_beside(faults);
        self.refuse_turning_back(&across, &along, faults);
        // A sheet headed by letters is a picture of the room, and some are shown from right to left.
        let leftward = across.named && self.table.signs.is_leftward();
        let stated_way = Orientation {
            x_runs: stated
                .orientation
                .x_runs
                .or(leftward.then_some(XRuns::Left)),
            ..stated.orientation
        };
        let lie = Lie::find(&across, &along, stated_way, options, filled);
        self.tell(&mut room, options, meaning, &lie);
        if decimal_comma {
            room.tell_decimal_comma();
        }
        self.tell_skips(&mut room, &across, &along);
        // A hidden row or column hides its readings with its heading, and they are told.
        for head in self.heads.iter().chain(&self.sides) {
            if self.table.signs.is_struck(head.row, head.column) {
                room.see_place_signs(self.table, *head);
            }
        }
        let grid = Grid {
            column_counts: counts(&lie.x),
            row_counts: counts(&lie.y),
            rule: CellRule {
                usual_m: usual_m(self.cells(), rule),
                ..rule
            },
            across,
            along,
            lie,
        };
        for i in 0..self.rows.len() {
            self.row(i, &grid, &mut room, faults);
        }
        notes_beside::tell(&mut room);
        room
    }

    /// Both headings, read by the rule for readings with the plan's unit.
    fn axes(&self, rule: CellRule, faults: &mut Faults) -> (Axis, Axis) {
        let stated = &self.stated;
        let place = |c: &Cell<'_>| self.place(c);
        let reader = |which, spacing: Option<_>, other: &[Cell<'_>]| Reader {
            which,
            rule: CellRule {
                unit: stated.plan_unit,
                day_numbers: false,
                plan: true,
                scale: None,
                ..rule
            },
            spacing,
            counts_whole_numbers: spacing.is_some()
                || (stated.plan_unit.is_none() && are_letters(other)),
            place: &place,
        };
        // One spacing beside letters and distances is that of the letters.
        let own = |heads: &[Cell<'_>], other: &[Cell<'_>], length: fn(Spacing) -> Length| {
            let spacing = stated.spacing?;
            let of_other = spacing.across == spacing.along
                && are_letters(other)
                && !are_letters(heads)
                && !follow(heads.iter().filter(|c| !c.is_blank()).map(|c| c.text));
            (!of_other).then(|| length(spacing))
        };
        let across = reader(
            Which::Columns,
            own(&self.heads, &self.sides, |s| s.across),
            &self.sides,
        )
        .read(&self.heads, faults);
        let along = reader(
            Which::Rows,
            own(&self.sides, &self.heads, |s| s.along),
            &self.heads,
        )
        .read(&self.sides, faults);
        (across, along)
    }

    /// Refuses headings whose distances run both ways where it is stated which way they run.
    fn refuse_turning_back(&self, across: &Axis, along: &Axis, faults: &mut Faults) {
        let named = self.stated.orientation;
        for (axis, cells, said, what) in [
            (
                along,
                &self.sides,
                named.first_row.is_some(),
                ("rows", "the first row"),
            ),
            (
                across,
                &self.heads,
                named.x_runs.is_some(),
                ("columns", "which way x runs"),
            ),
        ] {
            if let Some(i) = turns_back(axis).filter(|_| said) {
                faults.add(
                    Fault::NoPosition,
                    self.place(&cells[i]),
                    format!("{}, where the {} turn back", quoted(cells[i].text), what.0),
                    format!("{} whose distances run one way only, where {} is stated", what.0, what.1),
                    "Their distances say where they lie, and the statement would turn them over. Sort them by their distance, or take the statement out.",
                );
            }
        }
    }

    /// Tells of headings whose distances run both ways: each stands where it says, and two may have been exchanged.
    fn tell_turning_back(&self, room: &mut RawRoom, (across, along): (&Axis, &Axis)) {
        for (axis, cells, what) in [
            (across, &self.heads, "columns"),
            (along, &self.sides, "rows"),
        ] {
            let Some(i) = turns(axis) else { continue };
            let place = self.place(&cells[i]).to_string();
            let text = format!(
                "The distances over the {what} neither only grow nor only fall: they turn at {}. Each of the {what} was taken to stand where its own heading says. If two headings were exchanged, mend them.",
                quoted(cells[i].text)
            );
            let notice = Notice::new("headings-turn", Severity::Warning, place, text);
            room.notices.push(notice);
        }
    }

    /// Refuses headings that stand apart from the others and do not go on with them: a box of figures beside or below the table.
    fn refuse_boxes(&self, across: &Axis, along: &Axis, faults: &mut Faults) {
        let (columns, rows) = (self.heads.len(), self.rows.len());
        let column = |j: usize| (0..rows).map(|i| self.cell(i, j)).collect();
        let row = |i: usize| (0..columns).map(|j| self.cell(i, j)).collect();
        // Between the pages of a table stand its headings once more: what follows them is not apart.
        let blank_above = |i: usize| {
            let apart = self.rows[i].number - self.rows[i - 1].number - 1;
            let paged = self.paged.contains(&i);
            if paged { 0 } else { apart as usize }
        };
        let sides = (along, &self.sides[..]);
        for (heads, cells) in [
            (
                heads_of((across, &self.heads), &column, &|_| 0),
                &self.heads,
            ),
            (heads_of(sides, &row, &blank_above), &self.sides),
        ] {
            for (k, why) in boxes::strange(&heads) {
                faults.add(
                    Fault::Layout,
                    self.place(&cells[k]),
                    format!(
                        "{} apart from the headings before it, {}",
                        quoted(cells[k].text),
                        match why {
                            Strange::Labelled => "behind words",
                            Strange::Few => "over few readings where they have many",
                            Strange::Uneven => "where their steps do not go on",
                            Strange::FarOff => "far from where their steps go on, and with cells left blank",
                        }
                    ),
                    "headings that go on evenly, or a box of other figures apart from the table",
                    match why {
                        Strange::FarOff => "If these are readings, write x where nothing was read. Else move them two rows above or below the table, with words in the first column.",
                        _ => "Close the gap if these are readings. Else move the box two rows above or below the table, with words in its first column.",
                    },
                );
            }
        }
    }

    /// Refuses a setting beside the table, where it would be passed over.
    fn refuse_settings_beside(&self, faults: &mut Faults) {
        for row in std::iter::once(&self.header).chain(&self.rows) {
            for i in self.width()..row.len() {
                let cell = row.cell(i);
                let valued = |value: Option<&str>| value.is_some() || !row.cell(i + 1).is_blank();
                let next = row.cell(i + 1).text;
                let found = setting(cell.text).is_some_and(|(kind, value)| {
                    let other = is_other_word(cell.text, value.unwrap_or(next));
                    kind != Setting::Room && valued(value) && !other
                });
                if found {
                    faults.add(
                        Fault::Setting,
                        self.place(&cell),
                        format!("{} beside the table", quoted(cell.text)),
                        "settings in rows of their own above the table",
                        "Move it above the table.",
                    );
                }
            }
        }
    }

    /// What was understood, for the answer.
    fn tell(&self, room: &mut RawRoom, options: &ImportOptions, meaning: Meaning, lie: &Lie) {
        let stated = &self.stated;
        room.stated_over("plan distances", options.plan_unit, stated.plan_of_sheet);
        room.stated_over("readings", options.reading_unit, stated.reading_of_sheet);
        room.about.plan_unit = stated.plan_unit;
        room.about.reading_unit = stated.reading_unit;
        room.about.meaning = meaning;
        room.about.meaning_stated = stated.meaning.is_some();
        room.meaning_by = stated.meaning_by;
        self.tell_taken(room, meaning);
        room.about.orientation = lie.words();
        room.about.counting = lie.counting;
        room.laid = Some(lie.laid);
    }

    /// What was taken of a corner that could say something else.
    fn tell_taken(&self, room: &mut RawRoom, meaning: Meaning) {
        let text = self.header.cell(self.corner_column).text;
        let place = room.about.header.to_string();
        let mut tell = |code: &'static str, words: String| {
            let notice = Notice::new(code, Severity::Warning, place.clone(), words);
            room.notices.push(notice);
        };
        if self.stated.loose {
            tell(
                "corner-says-meaning",
                format!(
                    "The numbers were taken as {}, by the corner cell {}. State the meaning if they are not.",
                    meaning.words(),
                    quoted(text)
                ),
            );
        }
        if self.stated.x_first {
            tell(
                "corner-names-x-first",
                format!(
                    "The corner cell {} names x before y: x was taken across the first row and y down the first column. If x runs down, turn the table over (paste it transposed).",
                    quoted(text)
                ),
            );
        }
        if let Some(unit) = self.stated.unit_of_both {
            tell(
                "corner-unit-for-both",
                format!(
                    "The one unit in the corner, {unit}, was taken for the distances and for the readings. If it is that of one of them only, write both, as in ft / in."
                ),
            );
        }
    }

    /// Headings that leave something out, cells beside them, and columns of sums.
    fn tell_skips(&self, room: &mut RawRoom, across: &Axis, along: &Axis) {
        for (axis, cells, what) in [
            (across, &self.heads, "columns"),
            (along, &self.sides, "rows"),
        ] {
            if let Some(i) = axis.left_out {
                room.notices.push(skip_notice(
                    &self.place(&cells[i]),
                    (what, cells[i].text),
                    format_args!("head the {what} with distances"),
                ));
            }
        }
        self.tell_counted(room, (across, along));
        self.tell_turning_back(room, (across, along));
        let short = short_rows(self.table, &self.rows, self.width());
        room.notices.extend(short);
        for i in (0..self.corner_column).chain(self.width()..self.header.len()) {
            let cell = self.header.cell(i);
            if !cell.is_blank() {
                room.about.skipped.push(outside(self.table, cell));
            }
        }
        for &i in &across.summaries {
            let head = &self.heads[i];
            room.skip_summary(self.place(head), head.text, "column");
        }
    }

    /// Headings that count 1, 2, 3 where those of the other axis do not: a unit that is stated makes distances of them.
    fn tell_counted(&self, room: &mut RawRoom, (across, along): (&Axis, &Axis)) {
        let heads = |axis: &Axis, cells: &[Cell<'_>]| -> Vec<String> {
            let own =
                (0..cells.len()).filter(|i| !axis.summaries.contains(i) && !cells[*i].is_blank());
            own.map(|i| cells[i].text.trim().to_owned()).collect()
        };
        let counts = |texts: &[String]| {
            let up = |k: usize| (k + 1).to_string();
            texts.len() >= LEAST_COUNTED
                && ((0..texts.len()).all(|k| texts[k] == up(k))
                    || (0..texts.len()).all(|k| texts[k] == up(texts.len() - 1 - k)))
        };
        let (columns, rows) = (heads(across, &self.heads), heads(along, &self.sides));
        let (what, cells, texts, others) = match (counts(&columns), counts(&rows)) {
            (true, false) if !across.named => ("columns", &self.heads, &columns, "rows"),
            (false, true) if !along.named => ("rows", &self.sides, &rows, "columns"),
            _ => return,
        };
        let unit = self
            .stated
            .plan_unit
            .map_or_else(String::new, |u| format!(" {u}"));
        let (first, last) = (&texts[0], &texts[texts.len() - 1]);
        let at = cells.iter().find(|c| c.text.trim() == first);
        room.notices.push(Notice::new(
            "axis-counts",
            Severity::Warning,
            at.map_or_else(String::new, |c| self.place(c).to_string()),
            format!(
                "The {what} are headed {first} to {last}, which was taken for distances of {first}{unit} to {last}{unit}; the {others} do not count so. If these numbers only count the {what}, head them with their distances."
            ),
        ));
    }

    /// Columns up to the last heading.
    fn width(&self) -> usize {
        self.corner_column + 1 + self.heads.len()
    }

    fn row(&self, i: usize, grid: &Grid, room: &mut RawRoom, faults: &mut Faults) {
        let side = self.sides[i];
        if grid.along.summaries.contains(&i) {
            room.skip_summary(self.place(&side), side.text, "row");
            return;
        }
        for (j, head) in self.heads.iter().enumerate() {
            let cell = self.cell(i, j);
            if cell.is_blank() {
                if !head.is_blank() {
                    room.blank(self.table, cell);
                }
                continue;
            }
            if is_summary(head.text) {
                continue;
            }
            if head.is_blank() || side.is_blank() {
                faults.add(
                    Fault::NoPosition,
                    self.place(&cell),
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
            self.reading((j, i), grid, room, faults);
        }
        self.stray(i, grid.rule, room, faults);
    }

    fn reading(
        &self,
        (j, i): (usize, usize),
        grid: &Grid,
        room: &mut RawRoom,
        faults: &mut Faults,
    ) {
        let cell = self.cell(i, j);
        match length(cell, grid.rule) {
            Ok(Seen::NoReading) => {
                if let (Some(x), Some(y)) = (grid.lie.x[j], grid.lie.y[i]) {
                    room.keep_obstacle(self.place(&cell), cell.text, Point::new(x, y));
                }
                room.about.skipped.push(SkippedCell {
                    place: self.place(&cell),
                    text: cell.text.to_owned(),
                    why: Why::NoReading,
                });
            }
            Ok(seen) => {
                let (Some(x), Some(y)) = (grid.lie.x[j], grid.lie.y[i]) else {
                    return;
                };
                let standing = Standing {
                    label: grid.label(j, i),
                    at: Point::new(x, y),
                };
                take(room, self.table, cell, seen, standing, faults);
            }
            Err(fault) if fault.fault == Fault::MissingUnit => {
                room.missing_reading_unit(self.table, cell, faults);
            }
            Err(fault) => fault.report(faults, self.place(&cell)),
        }
    }

    /// Cells to the right of the last heading, and to the left of the first.
    fn stray(&self, i: usize, rule: CellRule, room: &mut RawRoom, faults: &mut Faults) {
        let row = &self.rows[i];
        let columns = (0..self.corner_column).chain(self.width()..row.len());
        // Under a heading of its own behind a blank column stands another table, or what somebody worked out.
        let apart = |i: usize| {
            let gap = |k: usize| self.header.cell(k).is_blank();
            i > self.width() && !gap(i) && gap(self.width())
        };
        for (column, cell) in columns.map(|i| (i, row.cell(i))) {
            if cell.is_blank() {
                continue;
            }
            // The rows' own headings once more at the other end, as on a printed grid.
            let side = row.cell(self.corner_column);
            if headings_again::are_same(cell, side, self.stated.plan_unit) {
                room.about.skipped.push(SkippedCell {
                    place: self.place(&cell),
                    text: cell.text.to_owned(),
                    why: Why::HeadingsAgain,
                });
                continue;
            }
            let head = self.header.cell(column).text;
            let headed_apart = apart(column) || is_remarks(head) || is_summary(head);
            let headed_apart = headed_apart && !is_numbered_note(head);
            let number = cell.text.starts_with(|c: char| c.is_ascii_digit());
            let note = || is_numbered_note(cell.text) && !self.held(rule).may_hold(cell, rule);
            if headed_apart || !number || note() {
                room.about.skipped.push(outside(self.table, cell));
                continue;
            }
            faults.add(
                Fault::NoPosition,
                self.place(&cell),
                format!("{} with no heading", quoted(cell.text)),
                "a distance or name at the top of its column",
                if is_numbered_note(cell.text) {
                    "If it is a reading, write its number alone, under a heading. If it is a note, head its column note."
                } else {
                    "Write the heading, or clear the cell."
                },
            );
        }
    }

    fn held(&self, rule: CellRule) -> &Held {
        self.held.get_or_init(|| Held::of(self.cells(), rule))
    }
}
