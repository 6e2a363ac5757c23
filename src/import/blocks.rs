//! Where the tables lie on a sheet: title and setting rows, then a list or a matrix, once or stacked.

use super::around::{
    is_dated, is_labelled, is_none_of_list, is_number, is_prose, lines_up, looks_numeric, pairs,
};
use super::axis::column_and_row;
use super::corner::refuse_transposed;
use super::error::{Fault, Faults, quoted};
use super::form::{
    add_units, is_blank_form, list_end, list_header, matrix_end, matrix_header, matrix_width,
    same_texts, set_parts_aside, units_row,
};
use super::headers::{Field, is_summary};
use super::heading::{Heading, heading};
use super::lies_turned::says_turned;
use super::meanings::{Sure, said};
use super::misplaced;
use super::options::{ImportOptions, Layout, Meaning};
use super::origins::origin;
use super::pages::{
    are_room, data_under_headings, is_date_line, is_job_datum, is_page_line, is_remark,
    reads_as_remark, title_beside_data,
};
use super::room_names::names_no_room;
use super::settings::{Setting, Settings, setting, setting_row, take_setting};
use super::table::{Cell, Row, Table};
use super::understood::{SkippedCell, Why};
use super::unheaded::{self, lies_on_its_side, rows_under_unknown};
use super::unit_lines::line_units;
use super::wall_words::says_walls;
use crate::survey::Place;
use std::collections::{HashMap, HashSet};
use std::ops::Range;

/// One table of a sheet. Row indices count over the rows that the [`Table`] kept.
#[derive(Debug, Clone)]
pub(super) struct Block {
    pub name: Option<String>,
    pub settings: Settings,
    pub shape: Shape,
    /// Header row; `None` for a list without one.
    pub header: Option<usize>,
    /// Whether a setting names the room, and not only a title above the table.
    pub room_stated: bool,
    /// The title above it, with its place.
    pub title: Option<(Place, String)>,
    /// Whether nothing names the room of a further table.
    pub repeats: bool,
    /// Whether its rows stand under the headings of the list above it, behind a line of words.
    pub goes_on: bool,
    pub body: Range<usize>,
    /// Rows above it that were passed over.
    pub passed: Vec<SkippedCell>,
    /// Rows of figures behind a word among these.
    pub figures: Figures,
}

/// Rows outside of all tables that hold figures behind a word: how many, and the first word with its place.
#[derive(Debug, Clone, Default)]
pub(super) struct Figures {
    pub count: usize,
    pub first: Option<(Place, String)>,
}

/// What kind of table it is.
#[derive(Debug, Clone)]
pub(super) enum Shape {
    /// Headings by column.
    List(Vec<Heading>),
    /// Column of the row headings.
    Matrix(usize),
}

/// Finds the tables.
pub(super) fn find(table: &Table, options: &ImportOptions, faults: &mut Faults) -> Vec<Block> {
    if options.layout == Layout::List
        && let Some(block) = headerless(table)
    {
        return vec![block];
    }
    let mut finder = Finder {
        table,
        layout: options.layout,
        blocks: Vec::new(),
        settings: Settings::default(),
        name: None,
        title: None,
        passed: Vec::new(),
        said: HashMap::new(),
        figures: Figures::default(),
        labelled: Vec::new(),
        headless: Vec::new(),
        common: Vec::new(),
    };
    let mut at = 0;
    while at < table.len() {
        at = finder.step(at, faults);
    }
    finder.finish(faults)
}

/// Cells of statements that are told to every table of a sheet.
const MOST_SHARED: usize = 200;

/// Looks through the rows of a sheet for tables and for what is said above them.
struct Finder<'a> {
    table: &'a Table,
    layout: Layout,
    blocks: Vec<Block>,
    /// Stated above the next table.
    settings: Settings,
    /// Name of the next room, from a setting or a title.
    name: Option<String>,
    /// The cell of the title that gave the name.
    title: Option<Cell<'a>>,
    /// Cells above the next table that say nothing known.
    passed: Vec<SkippedCell>,
    /// The settings said above the next table, each with its text and place.
    said: HashMap<Setting, (String, Place)>,
    /// Rows of figures behind a word among these.
    figures: Figures,
    /// All of these: where there is no table, they may be one.
    labelled: Vec<usize>,
    /// Rows of numbers that stand under no header.
    headless: Vec<usize>,
    /// Cells of statements that hold for all tables of the sheet.
    common: Vec<SkippedCell>,
}

impl Finder<'_> {
    /// What a row begins; the next one to look at.
    fn step(&mut self, at: usize, faults: &mut Faults) -> usize {
        let (table, row) = (self.table, self.table.row(at));
        if row.is_blank() {
            return at + 1;
        }
        if self.data_in_two_rows(at, faults) {
            return at + 2;
        }
        let mut name = self.name.take();
        let titled = self.title.is_some();
        let set = setting_row(table, row, &mut self.settings, &mut name, faults);
        self.name = name;
        if let Some((kind, cell)) = set {
            self.said(kind, cell, titled, faults);
            return at + 1;
        }
        if self.units_in_words(at) {
            return at + 1;
        }
        if let Some(count) = lies_on_its_side(table, at) {
            unheaded::refuse_lying(table, (at, count), faults);
            return at + count;
        }
        if self.blocks.is_empty()
            && let Some(end) = misplaced::refuse_at(table, at, faults)
        {
            return end;
        }
        if self.layout != Layout::Matrix
            && let Some(headings) = list_header(row)
        {
            return self.list(at, headings, faults);
        }
        // `Bay | Aisle (m) | Reading (mm)` over rows that begin with a letter, which is no corner of a matrix.
        let unknown = match self.layout {
            Layout::Matrix => 0,
            _ => rows_under_unknown(table, at),
        };
        if unknown > 0 {
            self.headless.extend(at..at + unknown);
            return at + unknown;
        }
        if self.is_named_row(row)
            && let Some(end) = self.list_behind_a_line(at)
        {
            return end;
        }
        // A box of extremes below a table is no table.
        let sums =
            !self.blocks.is_empty() && row.filled().next().is_some_and(|c| is_summary(c.text));
        if self.layout != Layout::List
            && !sums
            && let Some(corner) = matrix_header(table, at)
        {
            let end = matrix_end(table, at, corner);
            let untitled = self.name.is_none();
            if untitled && self.goes_on(at, corner, end) {
                if let Some(last) = self.blocks.last_mut() {
                    last.body.end = end;
                    last.passed.append(&mut self.passed);
                }
                return end;
            }
            let repeats = untitled && !self.blocks.is_empty();
            self.begin(Shape::Matrix(corner), at, repeats, at + 1..end);
            return end;
        }
        if self.is_axis_label(at, faults) {
            return at + 1;
        }
        self.settings_in_pairs(row, faults);
        self.other(at)
    }

    /// Takes in a line that says in words in which units the table below is, `Grid in feet, readings in inches`. In a file set apart by commas it
    /// fills two cells, and the name of the room one before them; right over numbers it is a row of headings.
    fn units_in_words(&mut self, at: usize) -> bool {
        let (table, row) = (self.table, self.table.row(at));
        let next = (at + 1..table.len()).find(|&i| !table.row(i).is_blank());
        let over_numbers = |i: usize| {
            let below = table.row(i);
            below.filled().count() > 1
                && below.cell(0).text == below.filled().next().map_or("", |c| c.text)
                && below.filled().all(|c| is_number(&c))
        };
        if next.is_none_or(over_numbers) {
            return false;
        }
        let texts: Vec<&str> = row.filled().map(|c| c.text).collect();
        let title = row.filled().next().filter(|_| texts.len() > 2);
        let title = title.filter(|c| line_units(&[c.text]).is_none());
        let units = match title {
            Some(_) => line_units(&texts[1..]).filter(|u| u.plan.is_some() && u.reading.is_some()),
            None => line_units(&texts),
        };
        let Some(units) = units else { return false };
        let said = &mut self.settings.in_words;
        said.plan = units.plan.or(said.plan);
        said.reading = units.reading.or(said.reading);
        if let Some(title) = title.filter(|_| !self.said.contains_key(&Setting::Room)) {
            self.passed
                .extend(self.title.take().map(|c| outside(table, c)));
            self.name = Some(title.text.to_owned());
            self.title = Some(title);
        }
        let told = row
            .filled()
            .filter(|c| title.is_none_or(|t| t.column != c.column));
        self.passed.extend(told.map(|c| outside(table, c)));
        true
    }

    /// Passes over what the columns of a matrix are distances along, `x (ft)`, in a row of its own above its headings. Where that is y, the
    /// table lies on its side.
    fn is_axis_label(&mut self, at: usize, faults: &mut Faults) -> bool {
        let (table, row) = (self.table, self.table.row(at));
        let mut filled = row.filled();
        let (Some(cell), None) = (filled.next(), filled.next()) else {
            return false;
        };
        let field = heading(cell.text).field;
        let next = (at + 1..table.len()).find(|&i| !table.row(i).is_blank());
        let over_columns = next
            .and_then(|i| matrix_header(table, i))
            .is_some_and(|corner| cell.column as usize - 1 > corner);
        // `N` above a picture is an arrow of the compass, and no northing.
        let bare = cell.text.to_lowercase();
        let bare = bare.trim_matches(|c: char| !c.is_alphabetic());
        let arrow = matches!(bare, "n" | "e" | "north" | "east");
        if !matches!(field, Field::X | Field::Y) || !over_columns || arrow {
            return false;
        }
        if field == Field::Y {
            refuse_transposed(table.place(cell.row, cell.column), cell.text, faults);
        }
        self.passed.push(outside(table, cell));
        true
    }

    /// Takes in the settings of a row of several words with a value each, as in `Room | 3 | Date | 5/12/2026`.
    fn settings_in_pairs(&mut self, row: Row<'_>, faults: &mut Faults) {
        let titled = self.title.is_some();
        let found = pairs(row).filter(|found| found.len() > 1);
        for (label, value) in found.into_iter().flatten() {
            if let Some(value) = value {
                // Such words head columns as well: what is no value of theirs says nothing.
                let _ = self.take_pair((label, value), titled, faults);
            }
        }
    }

    /// Takes in a setting of a word with its value in another cell: whether it was one; what was expected, where its value is none.
    fn take_pair(
        &mut self,
        (label, value): (Cell<'_>, Cell<'_>),
        titled: bool,
        faults: &mut Faults,
    ) -> Result<Option<Setting>, (Setting, &'static str)> {
        let Some((kind, None)) = setting(label.text) else {
            return Ok(None);
        };
        let mut name = self.name.take();
        let told = take_setting((kind, value.text), &mut self.settings, &mut name);
        self.name = name;
        told.map_err(|expected| (kind, expected))?;
        // A room's name may as well stand at the foot of a form.
        if kind != Setting::Room {
            self.said(kind, value, titled, faults);
        }
        Ok(Some(kind))
    }

    /// Takes in the data of a job in two rows, words over values: a room's name and settings as in one row; what else they say may be where
    /// distances count from, and is held against the table as any words above it.
    fn data_in_two_rows(&mut self, at: usize, faults: &mut Faults) -> bool {
        let (table, heads) = (self.table, self.table.row(at));
        if at + 1 >= table.len() || list_header(heads).is_some() {
            return false;
        }
        let row = table.row(at + 1);
        let Some(found) = data_under_headings(heads, row).filter(|_| !self.goes_on_below(at + 1))
        else {
            return false;
        };
        let titled = self.title.is_some();
        for (head, value) in found {
            if are_room(head.text, value.text) && !self.said.contains_key(&Setting::Room) {
                self.passed
                    .extend(self.title.take().map(|c| outside(table, c)));
                self.name = Some(value.text.to_owned());
                self.title = Some(value);
                continue;
            }
            match self.take_pair((head, value), titled, faults) {
                Ok(Some(_)) => continue,
                // Other words head data of the job as well: `Grid` over a number of it.
                Err((Setting::Meaning, expected)) => {
                    let place = table.place(value.row, value.column);
                    faults.add(Fault::Setting, place, quoted(value.text), expected, "");
                }
                Ok(None) | Err(_) => {}
            }
            self.passed.push(SkippedCell {
                text: format!("{} {}", head.text, value.text),
                ..outside(table, value)
            });
        }
        true
    }

    /// Whether another row of values stands right below one: several under one another are a table, as of rooms and their areas.
    fn goes_on_below(&self, at: usize) -> bool {
        let (table, row) = (self.table, self.table.row(at));
        let next = at + 1;
        if next >= table.len() || table.row(next).number > row.number + 1 {
            return false;
        }
        let below = table.row(next);
        below.filled().count() >= 2
            && list_header(below).is_none()
            && matrix_header(table, next).is_none()
    }

    /// Refuses a setting that stands above one table a second time and says something else.
    fn said(&mut self, kind: Setting, cell: Cell<'_>, titled: bool, faults: &mut Faults) {
        // A title above is no setting.
        if kind == Setting::Room && titled {
            self.passed
                .extend(self.title.take().map(|c| outside(self.table, c)));
        }
        let told = (
            cell.text.to_lowercase(),
            self.table.place(cell.row, cell.column),
        );
        match self.said.get(&kind) {
            Some((text, place)) if *text != told.0 => faults.add(
                Fault::Setting,
                told.1,
                format!(
                    "{} after another for the same table at {}",
                    quoted(cell.text),
                    place.cell()
                ),
                "each setting once above a table",
                "Delete the one that is wrong.",
            ),
            Some(_) => {}
            None => {
                self.said.insert(kind, told);
            }
        }
    }

    /// A table under a header, with the name and the settings that stand above it.
    fn begin(&mut self, shape: Shape, header: usize, repeats: bool, body: Range<usize>) {
        self.said.clear();
        let title = self.title.take();
        let titled = title.is_some();
        let name = self.name.take();
        self.blocks.push(Block {
            room_stated: name.is_some() && !titled,
            title: title.map(|c| (self.table.place(c.row, c.column), c.text.to_owned())),
            name,
            settings: self.settings.clone(),
            shape,
            header: Some(header),
            repeats,
            goes_on: false,
            body,
            passed: std::mem::take(&mut self.passed),
            figures: std::mem::take(&mut self.figures),
        });
    }

    /// Whether a matrix is the rest of the one above, broken by a page: the same columns, and rows that it has not.
    fn goes_on(&self, header: usize, corner: usize, end: usize) -> bool {
        let Some(last) = self.blocks.last() else {
            return false;
        };
        let (Shape::Matrix(above), Some(first)) = (&last.shape, last.header) else {
            return false;
        };
        let table = self.table;
        if *above != corner || !same_texts(table.row(first), table.row(header)) {
            return false;
        }
        let sides = |rows: Range<usize>| {
            rows.map(|i| table.row(i))
                .filter(|r| !r.is_blank() && !is_page_line(*r) && !is_date_line(*r))
                .map(|r| r.cell(corner).text.to_lowercase())
        };
        let known: HashSet<String> = sides(last.body.clone()).collect();
        sides(header + 1..end).all(|side| !known.contains(&side))
    }

    fn list(&mut self, header: usize, mut headings: Vec<Heading>, faults: &mut Faults) -> usize {
        let (table, row) = (self.table, self.table.row(header));
        let mut at = header + 1;
        if at < table.len() && units_row(table.row(at)) {
            add_units(table, &mut headings, table.row(at), faults);
            at += 1;
        }
        set_parts_aside(&mut headings);
        if self.is_second_row_of_headings(header, at, faults) {
            return list_end(table, at + 1, Some(table.row(at)));
        }
        let end = list_end(table, at, Some(row));
        // A column may name the rooms.
        let named = self.name.is_some() || headings.iter().any(|h| h.field == Field::Room);
        let repeats = !named && !self.blocks.is_empty();
        self.begin(Shape::List(headings), header, repeats, at..end);
        end
    }

    /// Refuses headings in two rows, the lower of which names columns as well.
    fn is_second_row_of_headings(&self, header: usize, at: usize, faults: &mut Faults) -> bool {
        let (table, first) = (self.table, self.table.row(header));
        let two = at < table.len()
            && table.row(at).number == first.number + 1
            && !same_texts(first, table.row(at))
            && list_header(table.row(at)).is_some();
        if two {
            faults.add(
                Fault::Layout,
                table.place(table.row(at).number, 0),
                "a second row of headings right below the first",
                "one row of headings, each with its unit",
                "Write both into one row, such as point, x_ft, y_ft, reading_in.",
            );
        }
        two
    }

    /// Keeps a statement for all tables: one above the first of them and above its title, or one that says `All rooms`.
    fn take_statement(&mut self, row: Row<'_>) {
        let texts: Vec<&str> = row.filled().map(|c| c.text).collect();
        let text = texts.join(" ");
        let lower = text.to_lowercase();
        let all = lower.contains("all rooms") || lower.contains("every room");
        let first = self.blocks.is_empty() && self.name.is_none();
        if (all || first) && (is_statement(&text) || texts.iter().any(|t| is_statement(t))) {
            let table = self.table;
            self.common.extend(row.filled().map(|c| outside(table, c)));
        }
    }

    /// Tells all tables what is said of all of them.
    fn share_statements(&mut self) {
        // A page of them is no statement for each of many rooms.
        let common = &self.common[..self.common.len().min(MOST_SHARED)];
        for block in &mut self.blocks {
            let at = |cell: &SkippedCell| (cell.place.row, cell.place.column);
            let known: HashSet<(u32, u32)> = block.passed.iter().map(at).collect();
            let new = common.iter().filter(|cell| !known.contains(&at(cell)));
            block.passed.extend(new.cloned());
        }
    }

    /// Whether a row stands right under a matrix, its one cell under a heading and none before it.
    fn is_under_matrix(&self, at: usize) -> bool {
        let Some(Block {
            shape: Shape::Matrix(corner),
            header: Some(header),
            body,
            ..
        }) = self.blocks.last()
        else {
            return false;
        };
        let header = self.table.row(*header);
        let width = matrix_width(&header, *corner);
        let mut cells = self.table.row(at).filled();
        cells.next().is_some_and(|c| {
            // Blank lines of a text file are no rows here, but count in their numbers.
            let above = at.checked_sub(1).map(|k| self.table.row(k));
            let follows = body.end == at
                && above
                    .is_some_and(|a| !a.is_blank() && a.number + 1 == self.table.row(at).number);
            follows && (*corner + 1..width).contains(&(c.column as usize - 1))
        })
    }

    /// Whether a row below a matrix could be one of its rows but for its heading.
    fn lines_up_with_matrix(&self, row: Row<'_>) -> bool {
        let Some(Block {
            shape: Shape::Matrix(corner),
            header: Some(header),
            body,
            ..
        }) = self.blocks.last()
        else {
            return false;
        };
        let width = matrix_width(&self.table.row(*header), *corner);
        // Enough of them to know what readings look like.
        let some = body.clone().take(1000);
        let above: Vec<Row<'_>> = some.map(|i| self.table.row(i)).collect();
        lines_up(row, *corner + 1..width, &above)
    }

    /// Whether words right under a title are a remark on it, which names no room: below a table also any in small letters under a title
    /// that has a capital.
    fn remarks_on_title(&self, cell: Cell<'_>, text: &str) -> bool {
        let Some(title) = self.title.filter(|title| title.row + 1 == cell.row) else {
            return false;
        };
        let small = text.starts_with(char::is_lowercase);
        let capital = title.text.starts_with(char::is_uppercase);
        reads_as_remark(text) || (small && capital && !self.blocks.is_empty())
    }

    /// Takes the rows of a list that carry on under the headings above, past a line of words; one past their last.
    fn list_behind_a_line(&mut self, at: usize) -> Option<usize> {
        let (table, row) = (self.table, self.table.row(at));
        self.name.as_ref()?;
        let Some(Block {
            shape: Shape::List(headings),
            header,
            settings,
            ..
        }) = self.blocks.last().cloned()
        else {
            return None;
        };
        if is_none_of_list(row, &headings) {
            return None;
        }
        let end = list_end(table, at + 1, None);
        // The row that named it speaks of this one.
        self.said.remove(&Setting::Room);
        // Headings over nothing yet are those of these rows, and the line between says what it says.
        if let Some(last) = self.blocks.last_mut()
            && last.body.clone().all(|i| table.row(i).is_blank())
        {
            let line = self.title.take().map(|c| outside(table, c));
            last.body = at..end;
            last.passed.append(&mut self.passed);
            let name = self.name.take();
            if line.is_none() {
                // A row `room, Bath`.
                last.room_stated = true;
                last.name = name;
            }
            last.passed.extend(line);
            return Some(end);
        }
        let title = self.title.take();
        self.blocks.push(Block {
            name: self.name.take(),
            room_stated: false,
            goes_on: title.is_some(),
            title: title.map(|c| (table.place(c.row, c.column), c.text.to_owned())),
            settings,
            shape: Shape::List(headings),
            header,
            repeats: false,
            body: at..end,
            passed: std::mem::take(&mut self.passed),
            figures: Figures::default(),
        });
        Some(end)
    }

    /// Whether a row below a list of names is one of it: a name such as `A3` and a number, each under its heading.
    fn is_named_row(&self, row: Row<'_>) -> bool {
        let Some(Block {
            shape: Shape::List(headings),
            ..
        }) = self.blocks.last()
        else {
            return false;
        };
        let at = |wanted: fn(&Field) -> bool| headings.iter().position(|h| wanted(&h.field));
        let placed = at(|f| matches!(f, Field::X | Field::Y)).is_some();
        let (point, reading) = (
            at(|f| *f == Field::Point),
            at(|f| matches!(f, Field::Reading(_))),
        );
        !placed
            && point.is_some_and(|i| column_and_row(row.cell(i).text).is_some())
            && reading.is_some_and(|i| is_number(&row.cell(i)))
    }

    /// A row outside of all tables: a title, a list that goes on past one, numbers under nothing, or words.
    fn other(&mut self, at: usize) -> usize {
        let (table, row) = (self.table, self.table.row(at));
        let next = at + 1;
        self.take_statement(row);
        let filled = row.filled().count();
        let numbers = row
            .filled()
            .filter(|c| is_number(c) && !is_prose(c.text))
            .count();
        // Averages and totals may stand apart below a table, on a line of their own.
        let sums = || row.filled().next().is_some_and(|c| is_summary(c.text));
        if is_page_line(row)
            || is_date_line(row)
            || (numbers > 0 && !self.blocks.is_empty() && sums())
        {
            self.passed.extend(row.filled().map(|c| outside(table, c)));
            return next;
        }
        let alone = row.filled().next().filter(|_| filled == 1 && numbers == 0);
        let alone = alone.map(|cell| (cell, cell.text.to_owned()));
        if let Some((cell, text)) = alone.or_else(|| title_beside_data(row)) {
            let beside = row.filled().filter(|c| c.column != cell.column);
            self.passed.extend(beside.map(|c| outside(table, c)));
            // A setting that names the room stands over any title.
            let text = text.as_str();
            if self.said.contains_key(&Setting::Room)
                || is_statement(text)
                || is_job_datum(text)
                || is_remark(text)
                || (self.blocks.is_empty() && names_no_room(text))
                || self.remarks_on_title(cell, text)
            {
                self.passed.push(outside(table, cell));
                return next;
            }
            // Of several titles above a table the one next to it names the room.
            self.passed
                .extend(self.title.take().map(|c| outside(table, c)));
            let stated = match setting(text) {
                Some((Setting::Room, Some(name))) => name,
                _ => text,
            };
            self.name = Some(stated.to_owned());
            self.title = Some(cell);
            return next;
        }
        // A lone reading in a row that lost its heading.
        if numbers == 1 && filled == 1 && self.is_under_matrix(at) {
            self.headless.push(at);
            return next;
        }
        // The data of a job, a word before each value, or a date and a time.
        if numbers < 2 || pairs(row).is_some() || is_dated(row) {
            self.passed.extend(row.filled().map(|c| outside(table, c)));
            return next;
        }
        if let Some(end) = self.list_behind_a_line(at) {
            return end;
        }
        // Figures behind a word, as of a take-off: no heading says where they would lie.
        if is_labelled(row) && !self.lines_up_with_matrix(row) {
            if let Some(first) = row.filled().next() {
                let place = table.place(first.row, first.column);
                self.figures
                    .first
                    .get_or_insert((place, quoted(first.text)));
            }
            self.figures.count += 1;
            self.labelled.push(at);
            self.passed.extend(row.filled().map(|c| outside(table, c)));
            return next;
        }
        self.headless.push(at);
        next
    }

    fn finish(mut self, faults: &mut Faults) -> Vec<Block> {
        if self.blocks.is_empty() {
            self.headless.append(&mut self.labelled);
            self.headless.sort_unstable();
        }
        let table = self.table;
        let form = (0..table.len())
            .filter(|_| self.blocks.is_empty())
            .find(|&at| is_blank_form(table, at));
        if let Some(at) = form {
            faults.add(
                Fault::TooFew,
                table.place(table.row(at).number, 0),
                "the headings of a table, and no reading filled in yet",
                "readings between its headings",
                "Fill the sheet in first, a reading in each cell and x where nothing was read.",
            );
        } else {
            unheaded::refuse(table, &self.headless, self.blocks.is_empty(), faults);
        }
        if !self.blocks.is_empty() {
            let mut late: Vec<(String, Place)> = self.said.drain().map(|(_, said)| said).collect();
            late.sort_by_key(|(_, place)| (place.row, place.column));
            for (text, place) in late {
                faults.add(
                    Fault::Setting,
                    place,
                    format!("{}, a setting below the tables", quoted(&text)),
                    "settings above the table that they speak of",
                    "Move the row up above it.",
                );
            }
        }
        if let Some(last) = self.blocks.last_mut() {
            last.passed.append(&mut self.passed);
            last.figures.count += self.figures.count;
            if last.figures.first.is_none() {
                last.figures.first = self.figures.first.take();
            }
            last.passed
                .extend(self.title.take().map(|cell| outside(self.table, cell)));
        }
        self.share_statements();
        self.blocks
    }
}

/// Whether a line says something of the numbers, or of where x and y count from: it names no room.
fn is_statement(text: &str) -> bool {
    let said = said(text, false);
    let told = said.down.max(said.up).max(said.elevation);
    origin(text).is_some() || told == Some(Sure::Clear) || says_walls(text) || says_turned(text)
}

/// A cell that stands outside of all tables.
pub(super) fn outside(table: &Table, cell: Cell<'_>) -> SkippedCell {
    SkippedCell {
        place: table.place(cell.row, cell.column),
        text: cell.text.to_owned(),
        why: Why::Outside,
    }
}

/// Three columns of numbers and nothing else, when the caller says that this is a list.
fn headerless(table: &Table) -> Option<Block> {
    let mut rows = table.rows().filter(|r| !r.is_blank());
    let first = rows.next()?;
    let three = |r: &Row<'_>| r.filled().count() == 3 && r.len() >= 3 && !r.cell(0).is_blank();
    let plain = |r: &Row<'_>| r.filled().all(|c| looks_numeric(c.text));
    if !three(&first) || !plain(&first) {
        return None;
    }
    let fields = [Field::X, Field::Y, Field::Reading(Meaning::Down)];
    Some(Block {
        name: None,
        room_stated: false,
        title: None,
        settings: Settings::default(),
        shape: Shape::List(fields.map(|field| Heading::plain(field, None)).to_vec()),
        header: None,
        repeats: false,
        goes_on: false,
        body: 0..table.len(),
        passed: Vec::new(),
        figures: Figures::default(),
    })
}
