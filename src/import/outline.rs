//! An outline file: walls, voids, slopes, joints, doors, fixtures, wall names.

use super::cells::{CellRule, Seen, length};
use super::error::{Fault, Faults, quoted, whole};
use super::form::units_row;
use super::outline_columns::{
    Column, Columns, Given, HEADINGS, KINDS, Kind, header, kind, refuse_unused,
};
use super::own_table::{REMARKS, open_holding, refuse_idle, refuse_other_origin, refuse_unseen};
use super::table::{Cell, Row, Table};
use super::{ImportErrors, ImportOptions, Source};
use crate::geometry::{Point, RegionFault, Ring, RingFault, RingName, Segment, ring_faults};
use crate::survey::{Door, Elevation, Fixture, Joint, NamedRing, Place, Room, Wall};
use crate::units::{Length, LengthUnit};

/// One row, understood.
#[derive(Debug, Clone)]
struct Item {
    kind: Kind,
    name: String,
    at: Point,
    row: u32,
    width: Option<Length>,
    under_cut: Option<Length>,
    adjoining: Option<Elevation>,
    limit: Option<Elevation>,
    /// The set-up that one of these was read from, where it was given as a reading.
    read_in: Option<String>,
}

/// Reads an outline file.
///
/// # Units, datum, sign
/// Metres out. Heights given as readings (`adjoining_reading`, `limit_reading`) are distances down
/// from the line at [`ImportOptions::line`]; given as `adjoining` or `limit` they are elevations.
/// # Method
/// Columns `x` and `y` with their units, and as wanted `kind`, `name`, `width`, `under_cut`,
/// `adjoining_reading`, `adjoining`, `limit_reading`, `limit`: docs/formats.md, Outline file. Rows of
/// one kind and name that follow each other make one line. Without a `kind` column all rows are the
/// outline.
/// # Errors
/// [`ImportErrors`]: what a cell or a ring has wrong, with its place: crossing sides, too few corners,
/// a void outside the room.
pub fn outline(source: &Source<'_>, options: &ImportOptions) -> Result<Room, ImportErrors> {
    let table = open_holding(source, options, "an outline", |table| {
        header(table).is_some()
    })?;
    let mut faults = Faults::default();
    let Some((mut start, mut columns)) = header(&table) else {
        return Err(whole(
            table.place(0, 0),
            Fault::Column,
            "no header",
            "a header row with x and y and their units, such as kind,name,x_ft,y_ft",
            "See docs/formats.md, Outline file.",
        ));
    };
    let heads = start - 1;
    if start < table.len() && units_row(table.row(start)) {
        columns.take_units(table.row(start));
        start += 1;
    }
    refuse_unseen(&table, start, &columns.all(), &mut faults);
    refuse_idle(
        &table,
        heads,
        (&columns.all(), &REMARKS, HEADINGS),
        &mut faults,
    );
    refuse_other_origin(&table, heads, &mut faults);
    let mut items = Vec::new();
    for index in start..table.len() {
        let row = table.row(index);
        if !row.is_blank()
            && let Some(item) = item(&table, row, &columns, options, &mut faults)
        {
            items.push(item);
        }
    }
    if !faults.is_empty() {
        return Err(faults.into_errors());
    }
    assemble(&table, items, faults)
}

/// What a length in an outline file can be.
pub(super) struct Bounds {
    least_m: f64,
    most_m: f64,
    pub(super) expected: &'static str,
    /// Whether it is a plan coordinate, which every row needs.
    in_plan: bool,
}

impl Bounds {
    /// Whether a length lies within.
    pub(super) fn holds(&self, m: f64) -> bool {
        (self.least_m..=self.most_m).contains(&m)
    }

    const fn new(least_m: f64, most_m: f64, expected: &'static str) -> Self {
        Self {
            least_m,
            most_m,
            expected,
            in_plan: false,
        }
    }

    /// The unit that the caller states for such lengths.
    fn unit(&self, options: &ImportOptions) -> Option<LengthUnit> {
        options.plan_unit.filter(|_| self.in_plan)
    }
}

/// National grids reach to ten thousand kilometres.
pub(super) const PLAN: Bounds = Bounds {
    in_plan: true,
    ..Bounds::new(-1e7, 1e7, "a place within 10,000 km of the plan's zero")
};
const WIDTH: Bounds = Bounds::new(0.0, 30.0, "a clear width of 100 ft (30 m) at most");
const UNDER_CUT: Bounds = Bounds::new(0.0, 0.305, "a depth from 0 to 12 in (305 mm)");
const READING: Bounds = Bounds::new(
    0.003,
    6.1,
    "a distance from the line to the floor, from 1/8 in to 20 ft (3 mm to 6.1 m)",
);
pub(super) const HEIGHT: Bounds = Bounds::new(-1e4, 1e4, "a height within 10 km of the datum");

fn item(
    table: &Table,
    row: Row<'_>,
    columns: &Columns,
    options: &ImportOptions,
    faults: &mut Faults,
) -> Option<Item> {
    let text = |at: Option<usize>| at.map_or("", |i| row.cell(i).text);
    let place = |c: Cell<'_>| table.place(c.row, c.column);
    let kind = match columns.kind.map(|i| row.cell(i)) {
        None => Kind::Outline,
        Some(cell) => match kind(cell.text) {
            Some(kind) => kind,
            None => {
                faults.add(Fault::Layout, place(cell), quoted(cell.text), KINDS, "");
                return None;
            }
        },
    };
    let mut value = |column: Column, bounds: &Bounds| -> Option<Length> {
        let cell = row.cell(column.at?);
        let rule = CellRule {
            unit: bounds.unit(options).or(column.unit),
            dates_as_fractions: options.dates_as_fractions,
            usual_m: None,
            day_numbers: false,
            plan: false,
            decimal_comma: false,
            scale: None,
        };
        match length(cell, rule) {
            Ok(Seen::Length(written) | Seen::Recovered(written, _)) => {
                let m = written.length.m();
                if bounds.holds(m) {
                    return Some(written.length);
                }
                faults.add(
                    Fault::OutOfRange,
                    place(cell),
                    quoted(cell.text),
                    bounds.expected,
                    "Is the unit right?",
                );
                None
            }
            Ok(Seen::NoReading) if bounds.in_plan => {
                faults.add(
                    Fault::NoPosition,
                    place(cell),
                    quoted(cell.text),
                    "a distance",
                    "",
                );
                None
            }
            Ok(Seen::NoReading) => None,
            Err(fault) => {
                fault.report(faults, place(cell));
                None
            }
        }
    };
    let x = value(columns.x, &PLAN);
    let y = value(columns.y, &PLAN);
    let width = value(columns.width, &WIDTH);
    let under_cut = value(columns.under_cut, &UNDER_CUT);
    let adjoining = (
        value(columns.adjoining_reading, &READING),
        value(columns.adjoining, &HEIGHT),
    );
    let limit = (
        value(columns.limit_reading, &READING),
        value(columns.limit, &HEIGHT),
    );
    let given = Given {
        width,
        under_cut,
        adjoining,
        limit,
    };
    refuse_unused(table, row, columns, (kind, &given), faults);
    let is_read = given.adjoining.0.or(given.limit.0).is_some();
    let height = |(reading, above): (Option<Length>, Option<Length>)| {
        let below = reading.map(|r| Elevation::below_line(options.line, r));
        below.or(above.map(|h| Elevation::from_m(h.m())))
    };
    let (adjoining, limit) = (height(adjoining), height(limit));
    Some(Item {
        kind,
        name: text(columns.name).to_owned(),
        at: Point::new(x?.m(), y?.m()),
        row: row.number,
        width,
        under_cut,
        adjoining,
        limit,
        read_in: is_read.then(|| text(columns.set_up).to_owned()),
    })
}

/// Rows of one kind and name that follow each other without a blank row between; of the room's own outline, all.
struct Line {
    kind: Kind,
    name: String,
    points: Vec<Point>,
    rows: Vec<u32>,
}

fn lines(items: &[Item]) -> Vec<Line> {
    let mut out: Vec<Line> = Vec::new();
    let mut last_row = 0;
    for item in items {
        let joins = out.last().is_some_and(|l| {
            l.kind == item.kind
                && l.name == item.name
                // A blank row sets apart what may stand in a room twice, and two columns may bear one name.
                && (item.kind == Kind::Outline || item.row == last_row + 1)
        });
        if !joins {
            out.push(Line {
                kind: item.kind,
                name: item.name.clone(),
                points: Vec::new(),
                rows: Vec::new(),
            });
        }
        if let Some(line) = out.last_mut() {
            line.points.push(item.at);
            line.rows.push(item.row);
        }
        last_row = item.row;
    }
    // A ring may repeat its first corner at its end.
    for line in &mut out {
        let ring = matches!(line.kind, Kind::Outline | Kind::Void | Kind::Slope);
        if ring
            && line.points.len() > 3
            && let (Some(first), Some(last)) = (line.points.first(), line.points.last())
            && first.distance(*last) < 1e-6
        {
            line.points.pop();
            line.rows.pop();
        }
    }
    out
}

/// The lines of a room's file, by what they are.
#[derive(Default)]
struct Drawn {
    outline: Option<Line>,
    voids: Vec<Line>,
    slopes: Vec<Line>,
    joints: Vec<Line>,
}

impl Drawn {
    /// Sorts the lines; what is wrong with one of them is told at its row.
    fn of(table: &Table, items: &[Item], faults: &mut Faults) -> Self {
        let mut out = Self::default();
        let is_line = |k: Kind| !matches!(k, Kind::Door | Kind::Fixture | Kind::Drain | Kind::Wall);
        let of_lines: Vec<Item> = items.iter().filter(|i| is_line(i.kind)).cloned().collect();
        for line in lines(&of_lines) {
            let first = table.place(line.rows.first().copied().unwrap_or(0), 0);
            if matches!(line.kind, Kind::Joint | Kind::MovementJoint) {
                if line.points.len() < 2 {
                    faults.add(
                        Fault::Ring,
                        first,
                        format!("a joint {} of one point", quoted(&line.name)),
                        "at least two points, in rows that follow each other",
                        "",
                    );
                }
                out.joints.push(line);
                continue;
            }
            tell_ring_faults(table, &line, faults);
            match line.kind {
                Kind::Outline if out.outline.is_some() => faults.add(
                    Fault::Ring,
                    first,
                    "a second outline",
                    "one outline; what is left out of it is a void",
                    "Put each room into its own file.",
                ),
                Kind::Outline => out.outline = Some(line),
                Kind::Void => out.voids.push(line),
                _ => out.slopes.push(line),
            }
        }
        out
    }

    /// Name and place of a void or a slope, as a region counts them.
    fn hole(&self, table: &Table, i: usize) -> (String, Place) {
        let line = self.voids.iter().chain(&self.slopes).nth(i);
        let row = line.and_then(|l| l.rows.first().copied()).unwrap_or(0);
        (
            line.map(quoted_name).unwrap_or_default(),
            table.place(row, 0),
        )
    }
}

/// What is wrong with a closed line by itself, each at the row of its corner.
fn tell_ring_faults(table: &Table, line: &Line, faults: &mut Faults) {
    for fault in ring_faults(&line.points) {
        let corner = match fault {
            RingFault::NotFinite { corner } | RingFault::RepeatedCorner { corner, .. } => corner,
            RingFault::SidesCross { second, .. } => second,
            _ => 1,
        };
        let row = line.rows.get(corner - 1).copied().unwrap_or(0);
        let kind = kind_word(line.kind);
        faults.add(
            Fault::Ring,
            table.place(row, 0),
            if line.name.is_empty() {
                format!("the {kind}: {fault}")
            } else {
                format!("the {kind} {}: {fault}", quoted(&line.name))
            },
            "a closed line whose sides do not cross",
            if line.kind == Kind::Outline {
                ""
            } else {
                "Of two of one name, a blank row stands before the second, or each has a name of its own."
            },
        );
    }
}

fn assemble(table: &Table, items: Vec<Item>, mut faults: Faults) -> Result<Room, ImportErrors> {
    let drawn = Drawn::of(table, &items, &mut faults);
    let Some(outline) = &drawn.outline else {
        faults.add(
            Fault::Ring,
            table.place(0, 0),
            "no outline",
            "the corners of the room, in order, in rows of kind outline",
            "",
        );
        return Err(faults.into_errors());
    };
    if !faults.is_empty() {
        return Err(faults.into_errors());
    }
    let rings = |lines: &[Line], word: &str| -> Vec<NamedRing> {
        lines
            .iter()
            .enumerate()
            .map(|(i, line)| NamedRing {
                name: named(&line.name, word, i),
                ring: Ring::new(line.points.clone()),
            })
            .collect()
    };
    let of = |wanted: Kind| items.iter().filter(move |i| i.kind == wanted).enumerate();
    let room = Room {
        outline: Ring::new(outline.points.clone()),
        voids: rings(&drawn.voids, "void"),
        slopes: rings(&drawn.slopes, "slope"),
        joints: drawn
            .joints
            .iter()
            .enumerate()
            .map(|(i, line)| Joint {
                name: named(&line.name, "joint", i),
                line: line.points.clone(),
                movement: line.kind == Kind::MovementJoint,
            })
            .collect(),
        doors: doors(table, of(Kind::Door), &mut faults),
        fixtures: fixtures(&items),
        walls: of(Kind::Wall)
            .map(|(i, item)| Wall {
                name: named(&item.name, "wall", i),
                at: item.at,
            })
            .collect(),
    };
    tell_region_faults(table, &drawn, &room, &mut faults);
    let far = of(Kind::Door).filter(|(_, i)| !stands_in_a_wall(i.at, &room.outline));
    for (_, item) in far {
        faults.add(
            Fault::OutOfRange,
            table.place(item.row, 0),
            format!("{}, which lies far from every wall", quoted(&item.name)),
            "a door in a wall of the room, within 3 ft (0.9 m) of the outline",
            "Is the place right, and its unit?",
        );
    }
    faults.or(room)
}

/// A door's place is taped to its leaf or its middle, not to the wall's face.
const DOOR_REACH_M: f64 = 0.92;

fn stands_in_a_wall(door: Point, outline: &Ring) -> bool {
    outline
        .sides()
        .any(|(a, b)| Segment::new(a, b).distance(door) <= DOOR_REACH_M)
}

/// What must keep its height, and drains, in the order of the file.
fn fixtures(items: &[Item]) -> Vec<Fixture> {
    items
        .iter()
        .filter(|i| matches!(i.kind, Kind::Fixture | Kind::Drain))
        .enumerate()
        .map(|(i, item)| {
            let drain = item.kind == Kind::Drain;
            Fixture {
                name: named(&item.name, if drain { "drain" } else { "fixture" }, i),
                at: item.at,
                limit_m: item.limit.map(Elevation::m),
                read_in: item.read_in.clone(),
                drain,
            }
        })
        .collect()
}

/// What is wrong between the lines, each at the row where the line begins.
fn tell_region_faults(table: &Table, drawn: &Drawn, room: &Room, faults: &mut Faults) {
    for fault in room.region().faults() {
        let (found, place) = match &fault {
            RegionFault::VoidOutside { void } => {
                let (name, place) = drawn.hole(table, *void);
                (format!("{name}, which lies outside the outline"), place)
            }
            RegionFault::VoidSticksOut { void, at } => {
                let (name, place) = drawn.hole(table, *void);
                (
                    format!(
                        "{name}, which sticks out of the outline near ({:.3}, {:.3}) m",
                        at.x, at.y
                    ),
                    place,
                )
            }
            RegionFault::VoidsOverlap { first, second, .. } => {
                let (name, place) = drawn.hole(table, *second);
                let other = drawn.hole(table, *first).0;
                (format!("{name}, which overlaps {other}"), place)
            }
            RegionFault::Ring { ring, fault } => {
                let (name, place) = match ring {
                    RingName::Void(i) => drawn.hole(table, *i),
                    RingName::Outline => ("the outline".to_owned(), table.place(0, 0)),
                };
                (format!("{name}: {fault}"), place)
            }
            other => (other.to_string(), table.place(0, 0)),
        };
        faults.add(
            Fault::Ring,
            place,
            found,
            "voids and slopes inside the outline, apart from each other",
            "",
        );
    }
}

fn doors<'a>(
    table: &Table,
    items: impl Iterator<Item = (usize, &'a Item)>,
    faults: &mut Faults,
) -> Vec<Door> {
    let mut doors = Vec::new();
    for (i, item) in items {
        let width = match item.width {
            Some(width) if width.m() > 0.0 => width.m(),
            other => {
                faults.add(
                    Fault::Column,
                    table.place(item.row, 0),
                    match other {
                        Some(_) => "a door of no width",
                        None => "a door without its width",
                    },
                    "its clear width in a column such as width_in",
                    "",
                );
                continue;
            }
        };
        doors.push(Door {
            name: named(&item.name, "door", i),
            at: item.at,
            width_m: width,
            under_cut_m: item.under_cut.map(Length::m),
            adjoining_m: item.adjoining.map(Elevation::m),
            read_in: item.read_in.clone(),
        });
    }
    doors
}

fn named(name: &str, word: &str, index: usize) -> String {
    if name.is_empty() {
        format!("{word} {}", index + 1)
    } else {
        name.to_owned()
    }
}

fn quoted_name(line: &Line) -> String {
    if line.name.is_empty() {
        format!("the {}", kind_word(line.kind))
    } else {
        quoted(&line.name)
    }
}

const fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Outline => "outline",
        Kind::Void => "void",
        Kind::Slope => "slope",
        Kind::Joint | Kind::MovementJoint => "joint",
        Kind::Door => "door",
        Kind::Fixture => "fixture",
        Kind::Drain => "drain",
        Kind::Wall => "wall",
    }
}
