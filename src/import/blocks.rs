//! Where the tables lie on a sheet: title and setting rows, then a list or a matrix, once or stacked.

use super::around::{
    is_dated, is_labelled, is_none_of_list, is_number, is_prose, is_words, lines_up, looks_numeric,
    pairs,
};
use super::dates::date_text;
use super::error::{Fault, Faults, quoted};
use super::headers::{
    Field, Heading, Setting, heading, is_no_reading, is_other_word, is_summary, meaning,
    plan_and_reading, setting,
};
use super::options::{ImportOptions, Layout, Meaning, Spacing, XRuns};
use super::pages::{is_date_line, is_page_line};
use super::table::{Cell, Kind, Row, Table};
use super::understood::{SkippedCell, Why};
use crate::survey::{FirstRow, Place};
use crate::units::{Comma, Length, LengthUnit, read_length};
use std::collections::{HashMap, HashSet};
use std::ops::Range;

/// What setting rows said; a later row stands over an earlier one.
#[derive(Debug, Clone, Default)]
pub(super) struct Settings {
    pub plan: Option<LengthUnit>,
    pub reading: Option<LengthUnit>,
    pub meaning: Option<Meaning>,
    pub spacing: Option<Spacing>,
    pub first_row: Option<FirstRow>,
    pub x_runs: Option<XRuns>,
}

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

/// A list's header: a row that names x and y, or one of them and a reading, or a point and a reading.
fn list_header(row: Row<'_>) -> Option<Vec<Heading>> {
    if runs_over_letters(row) {
        return None;
    }
    let headings: Vec<Heading> = row.cells().map(|c| heading(c.text)).collect();
    let has = |wanted: fn(&Field) -> bool| headings.iter().any(|h| wanted(&h.field));
    let (x, y) = (has(|f| *f == Field::X), has(|f| *f == Field::Y));
    let reading = has(|f| matches!(f, Field::Reading(_)));
    let point = has(|f| *f == Field::Point);
    // `Name | Delgado | Level | 2` is the data of a job.
    if !x && !y && row.filled().any(|c| is_number(&c)) && pairs(row).is_some() {
        return None;
    }
    ((x && y) || ((x || y || point) && reading)).then_some(headings)
}

/// Letters of neighbouring columns are no farther apart than this, columns left out included.
const LETTERS_APART: u32 = 3;

/// Whether the headings are the letters of a matrix that run as far as X and Y: two that nearly follow one another in
/// the alphabet, one of them no name of an axis.
fn runs_over_letters(row: Row<'_>) -> bool {
    let letters: Vec<(&str, Option<u32>)> = row
        .cells()
        .map(|c| (c.text, super::axis::letter_count(c.text)))
        .collect();
    letters.windows(2).any(|w| {
        let follows = w[0]
            .1
            .zip(w[1].1)
            .is_some_and(|(a, b)| a != b && a.abs_diff(b) <= LETTERS_APART);
        follows && w.iter().any(|(text, _)| !matches!(*text, "X" | "Y" | "Z"))
    })
}

/// A row of units under a header: every filled cell is one.
fn units_row(row: Row<'_>) -> bool {
    let mut any = false;
    for cell in row.filled() {
        let word = cell.text.trim_matches(['(', ')', '[', ']']);
        if LengthUnit::from_word(word).is_none() {
            return false;
        }
        any = true;
    }
    any
}

/// A row heading or column heading of a matrix: a distance, a letter, a number, or a summary word.
fn heading_like(text: &str) -> bool {
    (looks_numeric(text) && date_text(text).is_none())
        || is_summary(text)
        || super::axis::name_part(text).is_some()
        || super::axis::number_part(text).is_some()
}

/// Headings that make a row a header though its first one is a word or a date: fewer may be a line of a title.
const HEADS_BEHIND_A_WORD: usize = 3;

/// The column of the row headings, where a row is the header of a matrix. Its first rows may be headings over nothing yet.
fn matrix_header(table: &Table, at: usize) -> Option<usize> {
    let (corner, _) = headings_of_matrix(table, at)?;
    let read = |c: Cell<'_>| c.kind != Kind::Text || looks_numeric(c.text) || is_no_reading(c.text);
    let beside = |c: &Cell<'_>| c.column as usize - 1 > corner;
    let mut rows = (at + 1..table.len()).map(|i| table.row(i));
    let first = rows.find(|r| !r.is_blank() && !is_heading_alone(*r, corner))?;
    let fits = heading_like(first.cell(corner).text);
    (fits && first.filled().filter(beside).any(read)).then_some(corner)
}

/// Whether a row holds its heading and nothing else.
fn is_heading_alone(row: Row<'_>, corner: usize) -> bool {
    let alone = row.filled().all(|c| c.column as usize - 1 <= corner);
    alone && heading_like(row.cell(corner).text)
}

/// Whether a row is the header of a matrix in which nothing is filled in.
fn is_blank_form(table: &Table, at: usize) -> bool {
    headings_of_matrix(table, at).is_some_and(|(corner, below)| {
        is_heading_alone(below, corner) && matrix_header(table, at).is_none()
    })
}

/// The column of the row headings of a matrix and the row below its header, where both begin as those of a matrix do.
fn headings_of_matrix(table: &Table, at: usize) -> Option<(usize, Row<'_>)> {
    let row = table.row(at);
    // Totals head no row: those of a take-off stand below its last item.
    let sums = |r: Row<'_>| r.filled().next().is_some_and(|c| is_summary(c.text));
    let below = (at + 1..table.len())
        .map(|i| table.row(i))
        .find(|r| !r.is_blank() && !sums(*r))?;
    let (top, side) = (row.filled().next()?, below.filled().next()?);
    let at = |c: Cell<'_>| c.column as usize - 1;
    // Left of the corner cell may stand what the rows are distances from.
    let axis_title = side.column < top.column
        && is_labelled(below)
        && !heading_like(top.text)
        && heading_like(below.cell(at(top)).text);
    let corner = if axis_title {
        at(top)
    } else {
        at(top).min(at(side))
    };
    // A word among the headings is told at its own cell; a row of words is no header.
    let heads: Vec<bool> = row
        .filled()
        .filter(|c| c.column as usize - 1 > corner)
        .map(|c| heading_like(c.text))
        .collect();
    let like = heads.iter().filter(|&&h| h).count();
    let corner_cell = row.cell(corner);
    let corner_fits = corner_cell.is_blank()
        || (corner_cell.kind == Kind::Text && !looks_numeric(corner_cell.text));
    let heads_fit = match heads.first() {
        Some(true) => 2 * like > heads.len(),
        _ => like >= HEADS_BEHIND_A_WORD && 2 * like > heads.len(),
    };
    let side = below.cell(corner).text;
    let below_fits = !side.is_empty() && heading_like(side);
    (corner_fits && heads_fit && below_fits).then_some((corner, below))
}

/// One past the last column of a matrix: words behind a blank column stand beside the table.
pub(super) fn matrix_width(header: &Row<'_>, corner: usize) -> usize {
    let mut end = corner + 1;
    for i in corner + 1..header.len() {
        let cell = header.cell(i);
        if !cell.is_blank() && (i == end || heading_like(cell.text)) {
            end = i + 1;
        }
    }
    end
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
    };
    let mut at = 0;
    while at < table.len() {
        at = finder.step(at, faults);
    }
    finder.finish(faults)
}

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
}

impl Finder<'_> {
    /// What a row begins; the next one to look at.
    fn step(&mut self, at: usize, faults: &mut Faults) -> usize {
        let (table, row) = (self.table, self.table.row(at));
        if row.is_blank() {
            return at + 1;
        }
        let mut name = self.name.take();
        let titled = self.title.is_some();
        let set = setting_row(table, row, &mut self.settings, &mut name, faults);
        self.name = name;
        if let Some((kind, cell)) = set {
            self.said(kind, cell, titled, faults);
            return at + 1;
        }
        if self.layout != Layout::Matrix
            && let Some(headings) = list_header(row)
        {
            return self.list(at, headings, faults);
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
        self.settings_in_pairs(row, faults);
        self.other(at)
    }

    /// Takes in the settings of a row of several words with a value each, as in `Room | 3 | Date | 5/12/2026`.
    fn settings_in_pairs(&mut self, row: Row<'_>, faults: &mut Faults) {
        let titled = self.title.is_some();
        let found = pairs(row).filter(|found| found.len() > 1);
        for (label, value) in found.into_iter().flatten() {
            let (Some((kind, None)), Some(value)) = (setting(label.text), value) else {
                continue;
            };
            // Such words head columns as well: what is no value of theirs says nothing.
            let mut name = self.name.take();
            let told = take_setting((kind, value.text), &mut self.settings, &mut name);
            self.name = name;
            // A room's name may as well stand at the foot of a form.
            if told.is_ok() && kind != Setting::Room {
                self.said(kind, value, titled, faults);
            }
        }
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

    /// A row outside of all tables: a title, a list that goes on past one, numbers under nothing, or words.
    fn other(&mut self, at: usize) -> usize {
        let (table, row) = (self.table, self.table.row(at));
        let next = at + 1;
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
        if filled == 1 && numbers == 0 {
            // A setting that names the room stands over any title.
            if self.said.contains_key(&Setting::Room) {
                self.passed.extend(row.filled().map(|c| outside(table, c)));
                return next;
            }
            // Of several titles above a table the one next to it names the room.
            let cell = row.filled().next();
            self.passed
                .extend(self.title.take().map(|c| outside(table, c)));
            self.name = cell.map(|c| c.text.to_owned());
            self.title = cell;
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
        // A list that continues under the header above, past a title row.
        if let Some(Block {
            shape: Shape::List(headings),
            header,
            settings,
            ..
        }) = self.blocks.last().cloned()
            && self.name.is_some()
            && !is_none_of_list(row, &headings)
        {
            let end = list_end(table, next, None);
            self.blocks.push(Block {
                name: self.name.take(),
                room_stated: false,
                title: self
                    .title
                    .take()
                    .map(|c| (table.place(c.row, c.column), c.text.to_owned())),
                settings,
                shape: Shape::List(headings),
                header,
                repeats: false,
                body: at..end,
                passed: Vec::new(),
                figures: Figures::default(),
            });
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

    /// What keeps a matrix from being seen where no table was found: the first cell at its left, with the matrix's corner.
    fn left_of_a_table(&self) -> Option<(Cell<'_>, Cell<'_>)> {
        let table = self.table;
        let rows = self.headless.iter().filter(|_| self.blocks.is_empty());
        rows.map(|&at| (table.row(at), table.row((at + 1).min(table.len() - 1))))
            .find_map(|(row, below)| {
                let left = row.filled().next()?;
                // The first heading behind a blank column, or the corner before it.
                let corner = (left.column as usize..row.len()).find(|&i| {
                    let apart = row.cell(i - 1).is_blank() && below.cell(i - 1).is_blank();
                    let heads = row.filled().filter(|c| c.column as usize - 1 > i);
                    let heads = heads.filter(|c| heading_like(c.text)).count();
                    let is_corner = !looks_numeric(row.cell(i).text);
                    let side = below.cell(i).text;
                    apart && is_corner && heads >= 2 && !side.is_empty() && heading_like(side)
                })?;
                Some((left, row.cell(corner)))
            })
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
        } else if let Some((left, corner)) = self.left_of_a_table() {
            faults.add(
                Fault::Layout,
                table.place(left.row, left.column),
                format!(
                    "{} to the left of a table that begins at {}",
                    quoted(left.text),
                    table.place(corner.row, corner.column).cell()
                ),
                "a table whose first filled cells are its own headings",
                "Move what stands at its left above the table, with a blank row between.",
            );
        } else if let Some(&first) = self.headless.first() {
            let (table, row) = (self.table, self.table.row(first));
            let beginning = quoted(row.filled().next().map_or("", |c| c.text));
            faults.add(
                Fault::Layout,
                table.place(row.number, 0),
                match self.headless.len() {
                    1 => format!("a row of numbers under no header, beginning {beginning}"),
                    n => format!(
                        "{n} rows of numbers under no header, the first beginning {beginning}"
                    ),
                },
                "a header row such as x_ft,y_ft,reading_in, or a first row and column of distances",
                "If these are no readings, write a word before each number, or delete them. See docs/formats.md for both layouts.",
            );
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
                .extend(self.title.map(|cell| outside(self.table, cell)));
        }
        self.blocks
    }
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
        shape: Shape::List(fields.map(|field| Heading { field, unit: None }).to_vec()),
        header: None,
        repeats: false,
        body: 0..table.len(),
        passed: Vec::new(),
        figures: Figures::default(),
    })
}

fn add_units(table: &Table, headings: &mut [Heading], row: Row<'_>, faults: &mut Faults) {
    for (i, heading) in headings.iter_mut().enumerate() {
        let word = row.cell(i).text.trim_matches(['(', ')', '[', ']']);
        if let Some(unit) = LengthUnit::from_word(word) {
            if let Some(told) = heading.unit.filter(|told| *told != unit) {
                faults.add(
                    Fault::MixedUnits,
                    table.place(row.number, i as u32 + 1),
                    format!("{unit} below a heading that says {told}"),
                    "one unit for a column",
                    "Mend the one that is wrong.",
                );
            }
            heading.unit = Some(unit);
        }
    }
}

/// Whether two rows say the same in the same columns.
pub(super) fn same_texts(a: Row<'_>, b: Row<'_>) -> bool {
    a.len() == b.len() && a.cells().zip(b.cells()).all(|(a, b)| a.text == b.text)
}

/// A list ends at another header, or at a title behind a blank row. Its own headings right below a row are those of the
/// next page.
fn list_end(table: &Table, start: usize, header: Option<Row<'_>>) -> usize {
    let mut last_number = if start == 0 {
        0
    } else {
        table.row(start - 1).number
    };
    let mut paged = false;
    let headings = header.and_then(list_header);
    for at in start..table.len() {
        let row = table.row(at);
        let gap = row.number > last_number + 1;
        if row.is_blank() {
            continue;
        }
        let Some(first) = row.filled().next() else {
            continue;
        };
        let none = || headings.as_ref().is_some_and(|h| is_none_of_list(row, h));
        if gap && (is_dated(row) || (is_prose(first.text) && none())) {
            return at;
        }
        let wordy = first.kind == Kind::Text && first.text.starts_with(|c: char| c.is_alphabetic());
        // `(continued)` begins with no letter, and a date may.
        let wordy = wordy || is_page_line(row);
        if !gap && is_date_line(row) {
            paged = true;
            last_number = row.number;
            continue;
        }
        if wordy {
            let again = header.is_some_and(|h| (!gap || paged) && same_texts(h, row));
            paged = is_page_line(row);
            if list_header(row).is_some() && !again {
                return at;
            }
            if is_page_line(row) {
                last_number = row.number;
                continue;
            }
            let apart = || gap || rest_is_words(table, at);
            if !again && !is_summary(first.text) && none() && apart() {
                return at;
            }
            let alone = row.filled().count() == 1 && first.column == 1;
            let header_next = (at + 1..table.len())
                .map(|i| table.row(i))
                .find(|r| !r.is_blank())
                .is_some_and(|r| list_header(r).is_some());
            if alone && !is_summary(first.text) && (gap || header_next) {
                return at;
            }
            if setting(first.text).is_some_and(|(_, v)| v.is_some() || row.filled().count() == 2)
                && gap
            {
                return at;
            }
        }
        last_number = row.number;
    }
    table.len()
}

/// Whether nothing but words stands in a row and below it, as a signature at the foot of a form.
fn rest_is_words(table: &Table, at: usize) -> bool {
    let mut rows = (at..table.len()).map(|i| table.row(i));
    // A date beside a signature is no reading; without a year it may be a fraction that became one.
    let dated = |c: &Cell<'_>| c.text.len() > 7 && date_text(c.text).is_some();
    is_words(table.row(at)) && rows.all(|r| r.filled().all(|c| !is_number(&c) || dated(&c)))
}

/// A matrix ends at a blank row, at another header, or at a row that is a lone word.
fn matrix_end(table: &Table, header: usize, corner: usize) -> usize {
    let mut last_number = table.row(header).number;
    let mut last_side = "";
    for at in header + 1..table.len() {
        let row = table.row(at);
        if row.is_blank() {
            continue;
        }
        let gap = row.number > last_number + 1;
        let first = row.cell(corner);
        let starts_anew = matrix_header(table, at).is_some() || list_header(row).is_some();
        let follows = match last_side {
            "" => super::axis::name_part(first.text).is_some(),
            side => letters_follow(side, first.text),
        };
        let lone_word = row.filled().count() == 1 && !looks_numeric(first.text) && !follows;
        let lone_word = lone_word || is_date_line(row);
        // Behind a blank row only a row that plainly goes on with the same table belongs to it.
        let next = looks_numeric(first.text) || letters_follow(last_side, first.text);
        let words = is_dated(row) || is_prose(first.text);
        // A number before words, as in `40.1 | mean`, is what they say.
        let mut beside = row.filled().filter(|c| c.column as usize - 1 > corner);
        let read = beside.any(|c| is_number(&c) || is_no_reading(c.text));
        let goes_on = next && read && !words;
        if (gap && (starts_anew || !goes_on)) || lone_word || rest_is_words(table, at) {
            return at;
        }
        last_number = row.number;
        last_side = first.text;
    }
    table.len()
}

/// Whether a heading's letters are the next, or nearly so, behind or before those of another.
fn letters_follow(before: &str, text: &str) -> bool {
    let count = super::axis::letter_count;
    let both = count(before).zip(count(text));
    both.is_some_and(|(a, b)| a != b && a.abs_diff(b) <= LETTERS_APART)
}

/// Takes a setting row in: which it is, and the cell of its value; `None` when it is none.
fn setting_row<'a>(
    table: &Table,
    row: Row<'a>,
    settings: &mut Settings,
    name: &mut Option<String>,
    faults: &mut Faults,
) -> Option<(Setting, Cell<'a>)> {
    let mut filled = row.filled();
    let first = filled.next()?;
    let (kind, inline) = setting(first.text)?;
    let (value, at) = match (inline, filled.next()) {
        (Some(value), None) => (value, first),
        (None, Some(cell)) => (cell.text, cell),
        _ => return None,
    };
    if filled.next().is_some() {
        return None;
    }
    if let Err(expected) = take_setting((kind, value), settings, name) {
        if is_other_word(first.text, value) {
            return None;
        }
        faults.add(
            Fault::Setting,
            table.place(at.row, at.column),
            quoted(value),
            expected,
            "",
        );
    }
    Some((kind, at))
}

/// Takes the value of a setting in; what was expected, where it is none.
fn take_setting(
    (kind, value): (Setting, &str),
    settings: &mut Settings,
    name: &mut Option<String>,
) -> Result<(), &'static str> {
    match kind {
        Setting::Room => *name = Some(value.to_owned()),
        Setting::Units if let Some((plan, reading)) = plan_and_reading(value) => {
            settings.plan = Some(plan);
            settings.reading = Some(reading);
        }
        Setting::PlanUnit | Setting::ReadingUnit | Setting::Units => {
            let unit = LengthUnit::from_word(value).ok_or("one of ft, in, ft-in, mm, cm, m")?;
            if kind != Setting::ReadingUnit {
                settings.plan = Some(unit);
            }
            if kind != Setting::PlanUnit {
                settings.reading = Some(unit);
            }
        }
        Setting::Meaning => {
            settings.meaning = Some(meaning(value).ok_or("down, up or elevation")?);
        }
        Setting::Spacing => {
            let wanted = "a length with its unit, such as 2 ft, or two such as 2 ft x 30 in";
            settings.spacing = Some(parse_spacing(value).ok_or(wanted)?);
        }
        Setting::FirstRow => {
            settings.first_row = Some(match value.trim().to_lowercase().as_str() {
                "far" | "far wall" | "top" => FirstRow::Far,
                "near" | "near wall" | "bottom" => FirstRow::Near,
                _ => return Err("near or far"),
            });
        }
        Setting::XRuns => {
            settings.x_runs = Some(match value.trim().to_lowercase().as_str() {
                "right" | "rightward" | "left to right" => XRuns::Right,
                "left" | "leftward" | "right to left" => XRuns::Left,
                _ => return Err("right or left"),
            });
        }
    }
    Ok(())
}

/// `2 ft`, or `2 ft x 30 in`: columns first, rows second; `None` for anything else.
pub fn parse_spacing(text: &str) -> Option<Spacing> {
    let one = |text: &str| -> Option<Length> {
        let length = read_length(text, None, Comma::Auto).ok()?.length;
        (length.m() > 0.0).then_some(length)
    };
    if let Some(both) = one(text) {
        return Some(Spacing {
            across: both,
            along: both,
        });
    }
    let (a, b) = text.split_once([' ', '\u{d7}', '*']).and_then(|_| {
        text.split_once(" x ")
            .or_else(|| text.split_once('\u{d7}'))
            .or_else(|| text.split_once(" by "))
            .or_else(|| text.split_once('*'))
    })?;
    Some(Spacing {
        across: one(a)?,
        along: one(b)?,
    })
}
