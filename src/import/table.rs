//! Cells of one sheet, whatever file they came from.
//!
//! All text lies in one string with the ends of the cells beside it: a scan has millions of cells.

use super::ImportErrors;
use super::error::{Fault, whole};
use super::signs::Signs;
use crate::survey::{Place, SheetName};
use crate::units::Comma;

/// The most rows a file may have: a million-point scan and room to spare.
pub(super) const MAX_ROWS: usize = 5_000_000;
/// The most cells.
pub(super) const MAX_CELLS: usize = 40_000_000;
/// The most columns of a row, that of the largest spreadsheets.
pub(super) const MAX_COLUMNS: usize = 16_384;

/// The most bytes of a cell that are kept: more is prose, and words that say something of a table stand at its beginning.
const MOST_OF_A_CELL: usize = 1000;

/// Rows looked at to find out which decimal mark a sheet uses.
const MARKS_FROM: usize = 20_000;

/// Which decimal marks stand in numbers that can be read one way only.
#[derive(Debug, Clone, Copy, Default)]
struct Marks {
    comma: bool,
    point: bool,
}

impl Marks {
    /// `0,3`, `12,55`, `1234,5` show a decimal comma; `1,234` shows nothing.
    fn see(&mut self, text: &str) {
        let text = text.trim_start_matches(['-', '+']);
        let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
        let shows = |mark: char| {
            text.split_once(mark).is_some_and(|(whole, decimals)| {
                let could_group =
                    decimals.len() == 3 && whole.len() <= 3 && !whole.starts_with('0');
                digits(whole) && digits(decimals) && !could_group
            })
        };
        self.comma |= shows(',');
        self.point |= shows('.');
    }

    const fn and(self, other: Self) -> Self {
        Self {
            comma: self.comma || other.comma,
            point: self.point || other.point,
        }
    }

    const fn any(self) -> bool {
        self.comma || self.point
    }

    const fn meaning(self) -> Comma {
        match (self.comma, self.point) {
            (false, _) => Comma::Auto,
            (true, false) => Comma::Decimal,
            (true, true) => Comma::Unsure,
        }
    }
}

/// What the file says a cell is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Kind {
    /// Text, or a text file's cell.
    #[default]
    Text,
    /// A workbook's number; the text is its shortest decimal form.
    Number,
    /// A workbook's date; the text is `year-month-day`.
    Date,
    /// A spreadsheet error; the text names it.
    Error,
}

/// One cell.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell<'a> {
    /// Its text, trimmed.
    pub text: &'a str,
    /// What the file says it is.
    pub kind: Kind,
    /// Row from 1.
    pub row: u32,
    /// Column from 1.
    pub column: u32,
    /// What a comma in it means.
    pub comma: Comma,
    /// Whether other numbers of its column have decimal points, and none a decimal comma.
    pub points: bool,
}

impl Cell<'_> {
    pub(super) const fn is_blank(&self) -> bool {
        self.text.is_empty()
    }
}

#[derive(Debug, Clone, Copy)]
struct RowStart {
    first_cell: u32,
    number: u32,
}

/// A sheet's cells, row by row. Rows without any cell are not kept; their numbers are.
#[derive(Debug)]
pub(super) struct Table {
    name: SheetName,
    text: String,
    ends: Vec<u32>,
    kinds: Vec<Kind>,
    rows: Vec<RowStart>,
    /// What commas mean, by column, and whether the column's own numbers have decimal points; the last stands for all
    /// columns beyond.
    commas: Vec<(Comma, bool)>,
    /// What a workbook shows beside the values.
    pub(super) signs: Signs,
    /// Whether commas set the columns apart.
    pub(super) by_commas: bool,
    /// Whether the sheet itself is not shown.
    pub(super) hidden_sheet: bool,
    /// Cells of which only the beginning is kept: how many, and the first by row and column.
    pub(super) long_cells: (usize, Option<(u32, u32)>),
}

impl Table {
    pub(super) fn new(name: SheetName) -> Self {
        Self {
            name,
            text: String::new(),
            ends: Vec::new(),
            kinds: Vec::new(),
            rows: Vec::new(),
            commas: vec![(Comma::Auto, false)],
            signs: Signs::default(),
            by_commas: false,
            hidden_sheet: false,
            long_cells: (0, None),
        }
    }

    /// With room for a text of that many bytes.
    pub(super) fn with_room_for(name: SheetName, bytes: usize) -> Self {
        let mut table = Self::new(name);
        table.text.reserve(bytes);
        table
    }

    /// Begins a row; numbers must grow.
    pub(super) fn start_row(&mut self, number: u32) -> Result<(), ImportErrors> {
        if self.rows.len() >= MAX_ROWS {
            return Err(self.too_many(format!("more than {MAX_ROWS} rows")));
        }
        self.rows.push(RowStart {
            first_cell: self.ends.len() as u32,
            number,
        });
        Ok(())
    }

    /// Adds the next cell of the row begun last.
    pub(super) fn push(&mut self, text: &str, kind: Kind) -> Result<(), ImportErrors> {
        if self.ends.len() >= MAX_CELLS {
            return Err(self.too_many(format!("more than {MAX_CELLS} cells")));
        }
        self.text.push_str(shortened(text.trim()));
        if text.len() > MOST_OF_A_CELL && shortened(text.trim()).len() < text.trim().len() {
            let row = self.rows.last().map_or(0, |r| r.number);
            let first = self.rows.last().map_or(0, |r| r.first_cell as usize);
            let column = (self.ends.len() - first) as u32 + 1;
            self.long_cells.0 += 1;
            self.long_cells.1.get_or_insert((row, column));
            // Nothing that is cut may pass for a whole number.
            self.text.push('\u{2026}');
        }
        let Ok(end) = u32::try_from(self.text.len()) else {
            return Err(self.too_many("more than 4 GiB of text".to_owned()));
        };
        if kind != Kind::Text && self.kinds.len() < self.ends.len() {
            self.kinds.resize(self.ends.len(), Kind::Text);
        }
        self.ends.push(end);
        if kind != Kind::Text || !self.kinds.is_empty() {
            self.kinds.push(kind);
        }
        Ok(())
    }

    fn too_many(&self, found: String) -> ImportErrors {
        whole(
            Place::new(self.name.clone(), 0, 0),
            Fault::TooMany,
            found,
            format!("at most {MAX_ROWS} rows and {MAX_CELLS} cells"),
            "Thin the scan, or split the file by room.",
        )
    }

    /// Number of rows kept.
    pub(super) fn len(&self) -> usize {
        self.rows.len()
    }

    /// The row of that index, counted over the rows kept.
    pub(super) fn row(&self, index: usize) -> Row<'_> {
        let first = self.rows[index].first_cell as usize;
        let last = self
            .rows
            .get(index + 1)
            .map_or(self.ends.len(), |r| r.first_cell as usize);
        Row {
            table: self,
            first,
            last,
            number: self.rows[index].number,
        }
    }

    /// Every row.
    pub(super) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        (0..self.len()).map(|i| self.row(i))
    }

    /// What commas mean in the cells of a column, from 0, and whether its own numbers have decimal points.
    fn comma(&self, column: usize) -> (Comma, bool) {
        self.commas[column.min(self.commas.len() - 1)]
    }

    /// Whether commas are decimal marks in some column.
    pub(super) fn has_decimal_commas(&self) -> bool {
        self.commas.iter().any(|c| c.0 == Comma::Decimal)
    }

    /// Finds out what commas mean in each column, from the numbers that can be read one way only.
    ///
    /// A column goes by its own such numbers; one without them by those of the whole sheet. Where both marks
    /// are used for decimals, what could be read two ways stays so. Where commas set the columns apart, one within quotes
    /// says nothing of the others.
    pub(super) fn settle_commas(&mut self) {
        let mut columns: Vec<Marks> = Vec::new();
        for row in self.rows().take(MARKS_FROM) {
            for cell in row.filled().filter(|c| c.kind == Kind::Text) {
                let i = cell.column as usize - 1;
                if columns.len() <= i {
                    columns.resize(i + 1, Marks::default());
                }
                columns[i].see(cell.text);
            }
        }
        let all = columns.iter().fold(Marks::default(), |a, m| a.and(*m));
        let by_commas = self.by_commas;
        let meaning = |of: Marks| if by_commas { Comma::Auto } else { of.meaning() };
        let commas = columns.iter().map(|own| {
            let by = if own.any() { *own } else { all };
            (meaning(by), own.point && !own.comma)
        });
        self.commas = commas.chain([(meaning(all), false)]).collect();
    }

    /// A place in this sheet; 0 for the whole row or the whole sheet.
    pub(super) fn place(&self, row: u32, column: u32) -> Place {
        Place::new(self.name.clone(), row, column)
    }
}

/// The beginning of a text, as much of it as a cell keeps.
fn shortened(text: &str) -> &str {
    if text.len() <= MOST_OF_A_CELL {
        return text;
    }
    let end = (0..=MOST_OF_A_CELL)
        .rev()
        .find(|&i| text.is_char_boundary(i));
    text[..end.unwrap_or(0)].trim_end()
}

/// One row of a [`Table`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Row<'a> {
    table: &'a Table,
    first: usize,
    last: usize,
    /// Its number, from 1.
    pub number: u32,
}

impl<'a> Row<'a> {
    /// How many cells it has.
    pub(super) const fn len(&self) -> usize {
        self.last - self.first
    }

    /// The cell in that column, from 0; blank beyond the end.
    pub(super) fn cell(&self, index: usize) -> Cell<'a> {
        let (row, column) = (self.number, index as u32 + 1);
        let at = self.first + index;
        if at >= self.last {
            return Cell {
                text: "",
                kind: Kind::Text,
                row,
                column,
                comma: Comma::Auto,
                points: false,
            };
        }
        let (comma, points) = self.table.comma(index);
        let start = if at == 0 { 0 } else { self.table.ends[at - 1] };
        Cell {
            text: &self.table.text[start as usize..self.table.ends[at] as usize],
            kind: self.table.kinds.get(at).copied().unwrap_or_default(),
            row,
            column,
            comma,
            points,
        }
    }

    /// Its cells, blank ones too.
    pub(super) fn cells(self) -> impl Iterator<Item = Cell<'a>> {
        (0..self.len()).map(move |i| self.cell(i))
    }

    /// Its cells that hold something.
    pub(super) fn filled(self) -> impl Iterator<Item = Cell<'a>> {
        self.cells().filter(|c| !c.is_blank())
    }

    pub(super) fn is_blank(&self) -> bool {
        // Cells are trimmed, so a blank row adds nothing to the text.
        let start = if self.first == 0 {
            0
        } else {
            self.table.ends[self.first - 1]
        };
        self.last == self.first || self.table.ends[self.last - 1] == start
    }
}
