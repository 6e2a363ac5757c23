//! Where the readings of a list were taken: by x and y, or by their names.

use super::axis::{column_and_row, skip_notice};
use super::blocks::Block;
use super::cells::{A_LENGTH, CellFault, CellRule, Seen, is_ditto, length};
use super::error::{Fault, Faults, quoted};
use super::options::{ImportOptions, XRuns};
use super::room::RawRoom;
use super::table::{Cell, Row, Table};
use super::turns::{Counted, Counting};
use crate::geometry::{Point, bounds};
use crate::survey::{FirstRow, Laid, LaidBy};
use std::collections::{BTreeMap, BTreeSet};

/// Where each field stands, from 0.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Columns {
    pub(super) point: Option<usize>,
    pub(super) x: Option<usize>,
    pub(super) y: Option<usize>,
    pub(super) reading: Option<usize>,
    pub(super) note: Option<usize>,
    /// Further columns of notes.
    pub(super) more_notes: [Option<usize>; 3],
    pub(super) set_up: Option<usize>,
    pub(super) room: Option<usize>,
}

impl Columns {
    /// Every column of notes, in order.
    pub(super) fn notes(&self) -> impl Iterator<Item = usize> {
        std::iter::once(self.note).chain(self.more_notes).flatten()
    }
}

/// Places by name: the letters count the columns, the number the rows, a spacing apart.
pub(super) struct Names {
    /// Where A1 lies.
    pub(super) first: Point,
    /// From column to column and from row to row.
    pub(super) step: Point,
    pub(super) laid: Laid,
    pub(super) counting: Counting,
    /// Columns that lie far off those of most names: `BM1` among `A1` to `F5` is a bench mark, and no reading 64 columns on.
    far: BTreeSet<u32>,
}

/// Columns of one grid lie no farther apart than this, or than there are columns.
const MOST_LEFT_OUT: usize = 6;

/// No more than one name in so many is a bench mark.
const FEW: usize = 5;

/// Of the columns that names give, those that lie far off the ones of most names.
fn far_off(names: impl Iterator<Item = u32>) -> BTreeSet<u32> {
    let mut count: BTreeMap<u32, usize> = BTreeMap::new();
    for column in names {
        *count.entry(column).or_default() += 1;
    }
    let most = MOST_LEFT_OUT.max(count.len()) as u32;
    let columns: Vec<u32> = count.keys().copied().collect();
    let groups: Vec<&[u32]> = columns.chunk_by(|a, b| b - a <= most).collect();
    let held = |group: &[u32]| group.iter().map(|c| count[c]).sum::<usize>();
    // Of two that hold as many, the nearer one.
    let main = groups.iter().rev().max_by_key(|g| held(g));
    let others = || groups.iter().filter(|g| Some(g) != main.as_ref());
    // Where many lie so, the names count in another way than this.
    let off: usize = others().map(|g| held(g)).sum();
    if off * FEW > count.values().sum() {
        return BTreeSet::new();
    }
    others().flat_map(|g| g.iter().copied()).collect()
}

impl Names {
    pub(super) fn of(
        table: &Table,
        block: &Block,
        columns: Columns,
        options: &ImportOptions,
    ) -> Option<Self> {
        if columns.x.is_some() || columns.y.is_some() {
            return None;
        }
        let stated = options.orientation.first_row.or(block.settings.first_row);
        // As on the field sheet, where A1 is the near left corner.
        let first_row = stated.unwrap_or(FirstRow::Near);
        let x_runs = options.orientation.x_runs.or(block.settings.x_runs);
        let leftward = x_runs == Some(XRuns::Left);
        let walls = options.walls();
        let turned = Point::new(
            options.turns.x_m.unwrap_or_default(),
            options.turns.y_m.unwrap_or_default(),
        );
        let (low, high) = walls
            .and_then(|w| bounds(w.points().iter().copied()))
            .unwrap_or((Point::default(), turned));
        let far = first_row == FirstRow::Far;
        let spacing = options.spacing.or(block.settings.spacing)?;
        let (across, along) = (spacing.across.m(), spacing.along.m());
        let counted = |turned: bool, stated: bool| match walls {
            None if turned => Counted::Turned {
                reach_m: (0.0, 0.0),
                stated,
            },
            _ => Counted::AsWritten,
        };
        let rows = block.body.clone().map(|i| table.row(i));
        let named = rows.filter_map(|r| column_and_row(r.cell(columns.point?).text));
        Some(Self {
            // Where walls are given, what lies beyond them is told as that.
            far: match walls {
                Some(_) => BTreeSet::new(),
                None => far_off(named.map(|n| n.0)),
            },
            first: Point::new(
                if leftward { high.x } else { low.x },
                if far { high.y } else { low.y },
            ),
            step: Point::new(
                if leftward { -across } else { across },
                if far { -along } else { along },
            ),
            counting: Counting {
                x: counted(leftward, true),
                y: counted(far, stated.is_some()),
            },
            laid: Laid {
                first_row,
                by: match stated {
                    Some(_) => LaidBy::Stated,
                    None => LaidBy::Taken,
                },
            },
        })
    }

    /// Says where the names of readings leave out a column or a row, as headings that do.
    pub(super) fn tell_skips(
        &self,
        table: &Table,
        block: &Block,
        columns: Columns,
        room: &mut RawRoom,
    ) {
        let (Some(point), Some(reading)) = (columns.point, columns.reading) else {
            return;
        };
        let rows = block.body.clone().map(|i| table.row(i));
        let named: Vec<(u32, u32, Cell<'_>)> = rows
            .filter(|r| !r.cell(reading).is_blank() && !self.is_far(r.cell(point).text))
            .filter_map(|r| column_and_row(r.cell(point).text).map(|(c, n)| (c, n, r.cell(point))))
            .collect();
        for (of, what) in [(0, "columns"), (1, "rows")] {
            let count = |n: &(u32, u32, Cell<'_>)| if of == 0 { n.0 } else { n.1 };
            let counts: BTreeSet<u32> = named.iter().map(count).collect();
            let gap = counts
                .iter()
                .zip(counts.iter().skip(1))
                .find(|(a, b)| **b > **a + 1);
            let Some((_, behind)) = gap else { continue };
            if let Some(first) = named.iter().find(|n| count(n) == *behind) {
                let cell = first.2;
                room.notices.push(skip_notice(
                    &table.place(cell.row, cell.column),
                    (what, cell.text),
                    format_args!("give every point its x and y"),
                ));
            }
        }
    }

    /// Metres.
    pub(super) fn place(&self, name: &str) -> Option<Point> {
        let (column, row) = column_and_row(name)?;
        let row = row.checked_sub(1)?;
        let along = Point::new(
            f64::from(column) * self.step.x,
            f64::from(row) * self.step.y,
        );
        Some(self.first + along)
    }

    /// Whether a name's column lies far off those of most names.
    fn is_far(&self, name: &str) -> bool {
        column_and_row(name).is_some_and(|(column, _)| self.far.contains(&column))
    }

    pub(super) const fn laid_words(&self) -> &'static str {
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

/// Finds where each reading of a list was taken.
pub(super) struct Places {
    pub(super) columns: Columns,
    pub(super) x_rule: CellRule,
    pub(super) y_rule: CellRule,
    /// Where points lie by their names; `None` where each has its x and y.
    pub(super) names: Option<Names>,
    /// That distances have no unit is told once.
    pub(super) told_unit: bool,
    /// The x and the y of the row above, for a mark that repeats them.
    pub(super) above: (Option<f64>, Option<f64>),
}

impl Places {
    /// The place of a row's reading, metres; `None` with a fault told.
    pub(super) fn at(&mut self, table: &Table, row: Row<'_>, faults: &mut Faults) -> Option<Point> {
        let cell = |column: Option<usize>| row.cell(column.unwrap_or(0));
        let Some(names) = &self.names else {
            let (x, y) = (cell(self.columns.x), cell(self.columns.y));
            // Both are looked at, so that both are told.
            let (last_x, last_y) = self.above;
            let x = match last_x.filter(|_| is_ditto(x.text)) {
                Some(above) => Some(above),
                None => self.coordinate(table, x, self.x_rule, "x", faults),
            };
            let y = match last_y.filter(|_| is_ditto(y.text)) {
                Some(above) => Some(above),
                None => self.coordinate(table, y, self.y_rule, "y", faults),
            };
            self.above = (x, y);
            return Some(Point::new(x?, y?));
        };
        let cell = cell(self.columns.point);
        if names.is_far(cell.text) {
            faults.add(
                Fault::NoPosition,
                table.place(cell.row, cell.column),
                format!("{}, far off the other names", quoted(cell.text)),
                "names whose letters nearly follow each other, as columns of a grid",
                "A bench mark, a door or the like is no mark of the grid: take its row out, or give every point its x and y.",
            );
            return None;
        }
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

    pub(super) fn coordinate(
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
            Err(fault) if fault.expected == A_LENGTH => {
                // No distance may be left blank beside a reading.
                let fault = CellFault {
                    expected: format!("the {name} of this reading, such as 4, 4.5 or 4' 6\""),
                    remedy: "Write where it was read, or clear the row.".to_owned(),
                    ..fault
                };
                fault.report(faults, place());
            }
            Err(fault) => fault.report(faults, place()),
        }
        None
    }
}
