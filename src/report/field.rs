//! The field sheet: what is taken to the floor before the survey, on paper and as a workbook.

use super::crew::{SheetDrawing, push_sheets};
use super::words::field as w;
use super::{Block, Column, Document, Fact, Head, Pen, ReportError, Table};
use crate::drawing::{Anchor, Dash, DrawingError, Ink, PaperPoint, Rect, Role, Scene, Text, svg};
use crate::geometry::{Point, Region};
use crate::survey::{Room, column_letters};

/// A grid to be read: where the boxes stand.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldGrid {
    /// The room: outline, voids, doors, walls.
    pub room: Room,
    /// Distances of the columns from the left, metres.
    pub columns_m: Vec<f64>,
    /// Distances of the rows from the bottom, metres.
    pub rows_m: Vec<f64>,
    /// Spacing asked for, metres.
    pub spacing_m: f64,
    /// Lower left corner of the room.
    pub origin: Point,
}

/// Readings this near a wall are taken at the wall: a rule or staff has a foot.
const WALL_M: f64 = 0.05;
/// A last row nearer to the row before it than this share of the spacing is not worth walking.
const LEAST_SHARE: f64 = 0.25;
/// More boxes than this on one field sheet cannot be meant.
const MOST_BOXES: usize = 20_000;

impl FieldGrid {
    /// A grid over a room: whole spacings from the left and from the lower wall, and a last column and row
    /// at the far walls, however far from the ones before.
    ///
    /// # Errors
    /// [`ReportError::Range`] for a spacing that is not positive, or so small that more than 20 000 boxes
    /// would be needed.
    pub fn new(room: Room, spacing_m: f64) -> Result<Self, ReportError> {
        let points = room.outline.points();
        let first = points.first().copied().unwrap_or_default();
        let low = points
            .iter()
            .fold(first, |l, p| Point::new(l.x.min(p.x), l.y.min(p.y)));
        let high = points
            .iter()
            .fold(first, |h, p| Point::new(h.x.max(p.x), h.y.max(p.y)));
        let size = high - low;
        let range = |found: String| ReportError::Range {
            what: "the spacing of the field sheet",
            found,
            wanted: "a positive length that leaves at most 20 000 boxes in the room",
        };
        if !(spacing_m.is_finite() && spacing_m > 0.0) {
            return Err(range(format!("{spacing_m} m")));
        }
        let count = (size.x / spacing_m + 2.0) * (size.y / spacing_m + 2.0);
        if count.is_nan() || count > MOST_BOXES as f64 {
            return Err(range(format!(
                "{spacing_m} m in a room of {:.2} by {:.2} m",
                size.x, size.y
            )));
        }
        Ok(Self {
            columns_m: stations(size.x, spacing_m),
            rows_m: stations(size.y, spacing_m),
            origin: low,
            room,
            spacing_m,
        })
    }

    /// Whether a reading can be taken at a column and a row.
    pub fn is_floor(&self, region: &Region, column: usize, row: usize) -> bool {
        let (Some(&x), Some(&y)) = (self.columns_m.get(column), self.rows_m.get(row)) else {
            return false;
        };
        // A station on the wall counts as floor: look a hair towards the middle of the room.
        let far = (
            self.columns_m.last().copied().unwrap_or(0.0),
            self.rows_m.last().copied().unwrap_or(0.0),
        );
        let nudge = |v: f64, end: f64| {
            if v <= end / 2.0 {
                v + WALL_M
            } else {
                v - WALL_M
            }
        };
        region.contains(self.origin + Point::new(nudge(x, far.0), nudge(y, far.1)))
            || region.contains(self.origin + Point::new(x, y))
    }

    /// Name of the point at a column and a row: `C4`.
    pub fn name(column: usize, row: usize) -> String {
        format!("{}{}", column_letters(column as u32 + 1), row + 1)
    }
}

/// Whole spacings from nought, and the far wall.
fn stations(length_m: f64, spacing_m: f64) -> Vec<f64> {
    let whole = (length_m / spacing_m + 1e-9).floor() as usize;
    let mut at: Vec<f64> = (0..=whole).map(|k| k as f64 * spacing_m).collect();
    let rest = length_m - whole as f64 * spacing_m;
    if rest > 1e-6 {
        // Two rows a hand apart tell nothing that one does not.
        if rest < spacing_m * LEAST_SHARE && at.len() > 1 {
            at.pop();
        }
        at.push(length_m);
    }
    at
}

/// Millimetres of paper for a box to write in, at the least.
const BOX_MM: (f64, f64) = (12.5, 8.0);
/// Half of the largest box, millimetres.
const HALF_MOST_MM: (f64, f64) = (10.0, 6.0);
/// Free edge of a sheet, and room beside the grid for its names, millimetres.
const EDGE_MM: f64 = 10.0;
const NAMES_MM: f64 = 17.0;
/// Height of the line above the grid, millimetres.
const TOP_MM: f64 = 14.0;

/// The field sheet as a document.
///
/// # Errors
/// [`ReportError::Drawing`] when a wall's or door's name holds a sign that the fonts lack.
pub fn field_sheet(head: &Head, grid: &FieldGrid) -> Result<Document, ReportError> {
    let pen = head.pen();
    let mut d = head.document(w::TITLE);
    if d.subtitle.is_empty() {
        d.subtitle = w::SUBTITLE.to_owned();
    }
    let blanks = |labels: &[&str], values: &[&str]| Block::Blanks {
        columns: 2,
        items: labels
            .iter()
            .enumerate()
            .map(|(i, l)| Fact::new(*l, values.get(i).copied().unwrap_or("")))
            .collect(),
    };
    let job = [head.title.as_str(), &head.room]
        .into_iter()
        .filter(|s| !s.is_empty())
        .collect::<Vec<_>>()
        .join(", ");
    d.heading(1, w::JOB);
    d.push(blanks(
        &w::JOB_BLANKS,
        &[&job, &head.place, &head.when, &head.who],
    ));
    d.heading(1, w::INSTRUMENT);
    d.push(blanks(&w::INSTRUMENT_BLANKS, &[&head.instrument]));
    d.heading(1, w::SET_UP);
    d.push(blanks(&w::SET_UP_BLANKS, &["", &head.bench_mark]));
    d.heading(1, w::RULES);
    d.push(Block::Bullets {
        items: w::RULES_LIST.map(str::to_owned).to_vec(),
    });
    d.push(Block::Text {
        text: w::UNITS.to_owned(),
    });
    d.push(Block::Ticks {
        columns: 4,
        items: w::UNIT_TICKS.map(str::to_owned).to_vec(),
    });
    let sheets = grid_sheets(pen, grid, head.paper)?;
    push_sheets(
        &mut d,
        "grid",
        &w::grid_alt(
            grid.columns_m.len(),
            grid.rows_m.len(),
            &pen.plan(grid.spacing_m),
        ),
        w::GRID,
        &sheets,
    );
    d.heading(1, w::EXTRA);
    d.push(Block::Table(Table {
        columns: vec![
            Column::words(w::EXTRA_COLUMNS[0], 0.8),
            Column::words(w::EXTRA_COLUMNS[1], 2.0),
            Column::words(w::EXTRA_COLUMNS[2], 1.0),
            Column::words(w::EXTRA_COLUMNS[3], 2.0),
        ],
        rows: vec![vec![" ".to_owned(); 4]; 24],
        roomy: true,
        ..Table::default()
    }));
    Ok(d)
}

/// The grid over as many pages as its boxes need.
fn grid_sheets(
    pen: Pen,
    grid: &FieldGrid,
    paper: super::Paper,
) -> Result<Vec<SheetDrawing>, ReportError> {
    let extent = (
        grid.columns_m.last().copied().unwrap_or(0.0),
        grid.rows_m.last().copied().unwrap_or(0.0),
    );
    let landscape = extent.0 > extent.1;
    let (width, height) = super::size_mm(paper, landscape);
    let space = (
        width - 2.0 * EDGE_MM - NAMES_MM - 2.0 * HALF_MOST_MM.0,
        height - 2.0 * EDGE_MM - TOP_MM - NAMES_MM - 2.0 * HALF_MOST_MM.1,
    );
    // Columns stand evenly on paper: a box must be wide enough to write in wherever it stands, so the plan
    // is stretched to its stations rather than drawn to scale. Distances are printed at each line.
    let per_page = (
        (space.0 / BOX_MM.0).floor().max(1.0) as usize + 1,
        (space.1 / BOX_MM.1).floor().max(1.0) as usize + 1,
    );
    let cuts = |count: usize, most: usize| -> Vec<std::ops::Range<usize>> {
        let pages = count.div_ceil(most).max(1);
        let each = count.div_ceil(pages);
        (0..pages)
            .map(|k| k * each..((k + 1) * each).min(count))
            .collect()
    };
    let across = cuts(grid.columns_m.len(), per_page.0);
    let up = cuts(grid.rows_m.len(), per_page.1);
    let pages = across.len() * up.len();
    let region = grid.room.region();
    let mut sheets = Vec::new();
    for rows in up.iter().rev() {
        for columns in &across {
            let page = Page {
                pen,
                grid,
                region: &region,
                columns: columns.clone(),
                rows: rows.clone(),
                size: (width, height),
                space,
                line: w::grid_line(&pen.plan(grid.spacing_m), sheets.len() + 1, pages),
            };
            sheets.push(SheetDrawing {
                svg: svg(&page.scene()).map_err(ReportError::from)?,
                width_mm: width,
                height_mm: height,
            });
        }
    }
    Ok(sheets)
}

/// One page of the grid.
struct Page<'a> {
    pen: Pen,
    grid: &'a FieldGrid,
    region: &'a Region,
    columns: std::ops::Range<usize>,
    rows: std::ops::Range<usize>,
    size: (f64, f64),
    space: (f64, f64),
    line: String,
}

impl Page<'_> {
    fn scene(&self) -> Scene {
        let (width, height) = self.size;
        let mut s = Scene::new(w::GRID, width, height);
        s.text(Text::new(
            PaperPoint::new(EDGE_MM, EDGE_MM + 5.0),
            self.line.clone(),
            2.6,
            Role::Title,
        ));
        let pitch = (
            (self.space.0 / (self.columns.len().max(2) - 1) as f64).min(34.0),
            (self.space.1 / (self.rows.len().max(2) - 1) as f64).min(24.0),
        );
        let x = |c: usize| {
            EDGE_MM + NAMES_MM + HALF_MOST_MM.0 + (c - self.columns.start) as f64 * pitch.0
        };
        let y = |r: usize| {
            height - EDGE_MM - NAMES_MM - HALF_MOST_MM.1 - (r - self.rows.start) as f64 * pitch.1
        };
        let half = (
            (pitch.0 * 0.46).min(HALF_MOST_MM.0),
            (pitch.1 * 0.42).min(7.5),
        );
        self.names(&mut s, &x, &y);
        for r in self.rows.clone() {
            for c in self.columns.clone() {
                if !self.grid.is_floor(self.region, c, r) {
                    continue;
                }
                let at = PaperPoint::new(x(c), y(r));
                let frame = Rect {
                    left: at.x - half.0,
                    right: at.x + half.0,
                    top: at.y - half.1,
                    bottom: at.y + half.1,
                };
                s.fill_rect(frame, Ink::WHITE);
                s.frame(frame, 0.25, Ink::BLACK);
                s.text(
                    Text::new(
                        PaperPoint::new(frame.left + 0.7, frame.top + 2.6),
                        FieldGrid::name(c, r),
                        1.9,
                        Role::Mark,
                    )
                    .inked(Ink::DARK),
                );
            }
        }
        s
    }

    /// Names and distances of the lines, walls and doors beside the grid.
    fn names(&self, s: &mut Scene, x: &dyn Fn(usize) -> f64, y: &dyn Fn(usize) -> f64) {
        let height = self.size.1;
        let (Some(first), Some(top)) = (self.columns.clone().next(), self.rows.clone().next_back())
        else {
            return;
        };
        let last = self.columns.end - 1;
        let low = self.rows.start;
        let foot = height - EDGE_MM - NAMES_MM + 4.0;
        self.column_names(s, x, y(top), foot);
        self.row_names(s, x(last), y);
        let middle = (x(first) + x(last)) / 2.0;
        let side = |index: usize| -> String {
            self.wall_name(index)
                .unwrap_or_else(|| w::WALL_BLANK.to_owned())
        };
        let bold = |at, words: String| {
            Text::new(at, words, 2.2, Role::Wall)
                .bold()
                .anchored(Anchor::Middle)
        };
        // Bottom, top, left, right; only where this page shows that side of the room.
        if low == 0 {
            s.text(bold(
                PaperPoint::new(middle, height - EDGE_MM + 1.0),
                side(0),
            ));
        }
        if top + 1 == self.grid.rows_m.len() {
            s.text(bold(
                PaperPoint::new(middle, EDGE_MM + TOP_MM - 3.2),
                side(1),
            ));
        }
        let centre = (y(low) + y(top)) / 2.0;
        if first == 0 {
            s.text(bold(PaperPoint::new(EDGE_MM + 2.0, centre), side(2)).turned(true));
        }
        if last + 1 == self.grid.columns_m.len() {
            let beside = x(last) + HALF_MOST_MM.0 + 5.0;
            if beside < self.size.0 - 3.0 {
                s.text(bold(PaperPoint::new(beside, centre), side(3)).turned(true));
            }
        }
    }

    /// Each column's line from its top mark down to its letters and its distance.
    fn column_names(&self, s: &mut Scene, x: &dyn Fn(usize) -> f64, top: f64, foot: f64) {
        for c in self.columns.clone() {
            let at = self.grid.columns_m[c];
            s.line(
                vec![
                    PaperPoint::new(x(c), top - 2.0),
                    PaperPoint::new(x(c), foot),
                ],
                0.12,
                Ink::PALE,
                Dash::Solid,
            );
            let name = column_letters(c as u32 + 1);
            s.text(
                Text::new(PaperPoint::new(x(c), foot + 3.2), name, 2.4, Role::Grid)
                    .bold()
                    .anchored(Anchor::Middle),
            );
            s.text(
                Text::new(
                    PaperPoint::new(x(c), foot + 6.6),
                    self.pen.plan_number(at),
                    1.7,
                    Role::Dimension,
                )
                .anchored(Anchor::Middle),
            );
        }
    }

    /// Each row's line from its number and its distance to its last mark.
    fn row_names(&self, s: &mut Scene, last: f64, y: &dyn Fn(usize) -> f64) {
        for r in self.rows.clone() {
            s.line(
                vec![
                    PaperPoint::new(EDGE_MM + NAMES_MM - 4.0, y(r)),
                    PaperPoint::new(last + 2.0, y(r)),
                ],
                0.12,
                Ink::PALE,
                Dash::Solid,
            );
            let edge = EDGE_MM + NAMES_MM - 5.0;
            s.text(
                Text::new(
                    PaperPoint::new(edge, y(r) - 0.4),
                    (r + 1).to_string(),
                    2.4,
                    Role::Grid,
                )
                .bold()
                .anchored(Anchor::End),
            );
            s.text(
                Text::new(
                    PaperPoint::new(edge, y(r) + 2.4),
                    self.pen.plan_number(self.grid.rows_m[r]),
                    1.7,
                    Role::Dimension,
                )
                .anchored(Anchor::End),
            );
        }
    }

    /// Name of the wall on a side (0 bottom, 1 top, 2 left, 3 right), with the doors that stand in it.
    fn wall_name(&self, side: usize) -> Option<String> {
        let far = (
            self.grid.columns_m.last().copied().unwrap_or(0.0),
            self.grid.rows_m.last().copied().unwrap_or(0.0),
        );
        let on_side = |p: Point| {
            let p = p - self.grid.origin;
            let off = match side {
                0 => p.y.abs() / far.1,
                1 => (far.1 - p.y).abs() / far.1,
                2 => p.x.abs() / far.0,
                _ => (far.0 - p.x).abs() / far.0,
            };
            off < 0.02
        };
        let wall = self.grid.room.walls.iter().find(|wall| on_side(wall.at));
        let doors: Vec<String> = self
            .grid
            .room
            .doors
            .iter()
            .filter(|d| on_side(d.at))
            .map(|d| {
                let p = d.at - self.grid.origin;
                let along = if side < 2 { p.x } else { p.y };
                w::door_at(&d.name, &self.pen.plan(along))
            })
            .collect();
        match (wall, doors.is_empty()) {
            (None, true) => None,
            (None, false) => Some(doors.join("; ")),
            (Some(wall), true) => Some(wall.name.clone()),
            (Some(wall), false) => Some(format!("{}; {}", wall.name, doors.join("; "))),
        }
    }
}

impl From<DrawingError> for ReportError {
    fn from(error: DrawingError) -> Self {
        Self::Drawing(error)
    }
}
