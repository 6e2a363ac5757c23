//! A sheet of edges laid by hand, as the program writes it and as it was filled in.

use super::cells::{CellRule, Seen, length};
use super::error::{Fault, Faults, quoted, whole};
use super::headers::{is_no_reading, split_unit, tidy};
use super::own_table::{REMARKS, open_holding, refuse_idle, refuse_unseen};
use super::scales::{Scale, scaled_heading};
use super::table::{Cell, Row, Table};
use super::{ImportErrors, ImportOptions, Source};
use crate::geometry::Point;
use crate::survey::{Place, holds};
use crate::units::LengthUnit;

/// How an edge is laid by hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HandUse {
    /// It rests on the floor.
    Resting,
    /// It is balanced on a hump.
    Balanced,
    /// One end is held down.
    HeldDown,
    /// On blocks at its ends: how far the floor lies below the line between the places it stands on.
    EndBlocksHollow,
    /// The same: how far it rises above that line.
    EndBlocksHump,
}

/// One row of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct HandRow {
    /// Its number, as it stands there.
    pub number: String,
    /// How the edge is laid.
    pub edge: HandUse,
    /// Length of the edge, metres.
    pub span_m: f64,
    /// One end, in plan.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// What was measured, metres; `None` where it was not laid.
    pub gap_m: Option<f64>,
    /// Which of how many drawn at random it is, from 1; `None` for one that somebody chose.
    pub drawn: Option<(usize, usize)>,
    /// Its first cell.
    pub place: Place,
}

/// A sheet of edges laid by hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HandSheet {
    /// What the placements were drawn from; `None` where the sheet holds none that were.
    pub seed: Option<u32>,
    /// Its rows.
    pub rows: Vec<HandRow>,
}

/// Largest gap that is believed, metres: 4 in.
const MOST_GAP_M: f64 = 0.1016;
/// Longest edge that is believed, metres.
const MOST_SPAN_M: f64 = 100.0;
/// Ends may be farther apart than the edge is long by this, metres: they are written to a quarter of an inch.
const LONGER_M: f64 = 0.015;
/// Nearer than this they are one place, metres.
const ONE_PLACE_M: f64 = 0.01;
/// Most placements that are drawn for one edge.
pub const MOST_DRAWN: usize = 2_000;

/// What to do about a row that is not as it should be.
const AS_WRITTEN: &str =
    "Take the cell over from the sheet as it was written, or leave the row out.";

/// Headings of further columns that the sheet is written with, or that people add to it.
const FOR_PEOPLE: [&str; 9] = [
    "direction",
    "check",
    "limit",
    "by",
    "laid by",
    "date",
    "time",
    "initials",
    "room",
];
/// What the columns that count are headed.
const HEADINGS: &str = "each column once: no., edge, length, from left, from bottom, to left, to bottom, gap, drawn, seed";

#[derive(Debug, Clone, Copy, Default)]
struct Column {
    at: Option<usize>,
    unit: Option<LengthUnit>,
    /// Where its numbers count parts of the unit.
    scale: Option<Scale>,
}

#[derive(Debug, Default)]
struct Columns {
    number: Option<usize>,
    edge: Option<usize>,
    span: Column,
    /// From left, from bottom, to left, to bottom.
    ends: [Column; 4],
    gap: Column,
    drawn: Option<usize>,
    seed: Option<usize>,
}

impl Columns {
    /// Those that there are, from 0.
    fn all(&self) -> Vec<usize> {
        [self.number, self.edge, self.span.at, self.gap.at]
            .into_iter()
            .chain(self.ends.iter().map(|c| c.at))
            .chain([self.drawn, self.seed])
            .flatten()
            .collect()
    }

    /// Without any of these nothing is known of a gap.
    fn are_enough(&self) -> bool {
        let needed = [self.edge, self.span.at, self.gap.at];
        needed.iter().all(Option::is_some) && self.ends.iter().all(|c| c.at.is_some())
    }
}

/// Reads a sheet of edges laid by hand.
///
/// # Units, datum, sign
/// Metres out, places in plan: `origin` is the corner of the left and the bottom wall, which the sheet's distances are from. Gaps are
/// never negative.
/// # Method
/// Columns `edge`, `length`, `from left`, `from bottom`, `to left`, `to bottom` and `gap`, and as written `no.`, `drawn` and
/// `seed`: docs/formats.md, Edges laid by hand. A row without a gap was not laid.
/// # Errors
/// [`ImportErrors`]: every cell that cannot be, each with its place.
pub fn hand_edges(
    source: &Source<'_>,
    options: &ImportOptions,
    origin: Point,
) -> Result<HandSheet, ImportErrors> {
    let table = open_holding(source, options, "edges laid by hand", |table| {
        header(table).is_some()
    })?;
    let Some((start, columns)) = header(&table) else {
        return Err(whole(
            table.place(0, 0),
            Fault::Column,
            "no header of edges laid by hand",
            "a header row with edge, length, from left, from bottom, to left, to bottom and gap, as the sheet that flat writes has it",
            "See docs/formats.md, Edges laid by hand.",
        ));
    };
    let mut faults = Faults::default();
    refuse_unseen(&table, start, &columns.all(), &mut faults);
    let passed = [&REMARKS[..], &FOR_PEOPLE[..]].concat();
    refuse_idle(
        &table,
        start - 1,
        (&columns.all(), &passed, HEADINGS),
        &mut faults,
    );
    let mut sheet = HandSheet::default();
    let reader = Reader {
        table: &table,
        columns: &columns,
        options,
        origin,
    };
    for index in start..table.len() {
        let row = table.row(index);
        if row.is_blank() {
            continue;
        }
        reader.seed(row, &mut sheet, &mut faults);
        if let Some(row) = reader.row(row, &mut faults) {
            once(&table, &row, &sheet.rows, &mut faults);
            sheet.rows.push(row);
        }
    }
    if sheet.rows.is_empty() && faults.is_empty() {
        faults.add(
            Fault::Layout,
            table.place(0, 0),
            "no edge under the header",
            "a row for each placement of the edge",
            "",
        );
    }
    if sheet.seed.is_none()
        && faults.is_empty()
        && let Some(row) = sheet.rows.iter().find(|r| r.drawn.is_some())
    {
        faults.add(
            Fault::Column,
            row.place.clone(),
            "placements drawn at random, and nowhere what they were drawn from",
            "the column Seed as the sheet was written",
            "Take the seed over into one of the rows; or leave the column Drawn empty, and each row counts as chosen.",
        );
    }
    faults.or(sheet)
}

fn header(table: &Table) -> Option<(usize, Columns)> {
    for (index, row) in table.rows().enumerate().take(100) {
        let mut columns = Columns::default();
        for (i, cell) in row.cells().enumerate() {
            let parts = scaled_heading(cell.text);
            let (words, unit) = match &parts {
                Some((words, scale)) => (tidy(words), Some(scale.unit)),
                None => split_unit(cell.text),
            };
            let column = Column {
                at: Some(i),
                unit,
                scale: parts.map(|p| p.1),
            };
            // Behind these words stands the wall's own name.
            const ENDS: [&str; 4] = ["from left", "from bottom", "to left", "to bottom"];
            if let Some(end) = ENDS.iter().position(|e| words.starts_with(e)) {
                columns.ends[end] = column;
                continue;
            }
            match words.as_str() {
                "no" | "number" | "placement" => columns.number = Some(i),
                "edge" | "procedure" => columns.edge = Some(i),
                "length" | "span" => columns.span = column,
                "gap" => columns.gap = column,
                "drawn" => columns.drawn = Some(i),
                "seed" => columns.seed = Some(i),
                _ => {}
            }
        }
        if columns.are_enough() {
            return Some((index + 1, columns));
        }
    }
    None
}

/// A placement that was drawn stands on the sheet once, and all of one edge tell of as many.
fn once(table: &Table, row: &HandRow, before: &[HandRow], faults: &mut Faults) {
    let Some((which, of)) = row.drawn else { return };
    let one_edge = |r: &&HandRow| r.edge == row.edge && (r.span_m - row.span_m).abs() < 1e-3;
    let mut others = before
        .iter()
        .filter(one_edge)
        .filter_map(|r| Some((r, r.drawn?)));
    let Some((other, (first, count))) = others.find(|(_, d)| d.0 == which || d.1 != of) else {
        return;
    };
    let place = table.place(row.place.row, row.place.column);
    if first == which {
        faults.add(
            Fault::Layout,
            place,
            format!(
                "random {which} of {of} again, as in row {}",
                other.place.row
            ),
            "each random placement once",
            "An edge laid there once more is a row of your own: leave its cell under drawn empty.",
        );
    } else {
        faults.add(
            Fault::Layout,
            place,
            format!(
                "random {which} of {of}, beside {count} for the same edge in row {}",
                other.place.row
            ),
            "the rows of one sheet",
            "Sheets that were drawn apart are read apart.",
        );
    }
}

struct Reader<'a> {
    table: &'a Table,
    columns: &'a Columns,
    options: &'a ImportOptions,
    origin: Point,
}

impl Reader<'_> {
    fn place(&self, cell: Cell<'_>) -> Place {
        self.table.place(cell.row, cell.column)
    }

    fn length(&self, row: Row<'_>, column: Column, what: &str, faults: &mut Faults) -> Option<f64> {
        self.length_or_none(row, column, faults)?.or_else(|| {
            let cell = row.cell(column.at?);
            faults.add(
                Fault::NoPosition,
                self.place(cell),
                quoted(cell.text),
                what,
                AS_WRITTEN,
            );
            None
        })
    }

    /// What a cell holds, `Some(None)` where nothing was measured; `None` where that is told as a fault.
    fn length_or_none(
        &self,
        row: Row<'_>,
        column: Column,
        faults: &mut Faults,
    ) -> Option<Option<f64>> {
        let cell = row.cell(column.at?);
        let rule = CellRule {
            unit: column.unit,
            scale: column.scale,
            dates_as_fractions: self.options.dates_as_fractions,
            usual_m: None,
            day_numbers: false,
            plan: false,
            decimal_comma: false,
        };
        match length(cell, rule) {
            Ok(Seen::Length(w) | Seen::Recovered(w, _)) if w.signed => {
                faults.add(
                    Fault::Signed,
                    self.place(cell),
                    quoted(cell.text),
                    "a length without a sign",
                    "Type it without the sign.",
                );
                None
            }
            Ok(Seen::Length(w) | Seen::Recovered(w, _)) => Some(Some(w.length.m())),
            Ok(Seen::NoReading) => Some(None),
            Err(fault) => {
                fault.report(faults, self.place(cell));
                None
            }
        }
    }

    fn row(&self, row: Row<'_>, faults: &mut Faults) -> Option<HandRow> {
        let c = self.columns;
        let edge = self.edge(row, faults);
        let span_m = self.span(row, faults);
        let gap_m = self.gap(row, faults);
        let drawn = self.drawn(row, faults);
        let mut ends = [0.0; 4];
        let mut whole = true;
        for (end, column) in ends.iter_mut().zip(c.ends) {
            let what = "a distance from the wall that the heading names";
            match self.length(row, column, what, faults) {
                Some(m) => *end = m,
                None => whole = false,
            }
        }
        let (edge, span_m, gap_m, drawn) = (edge?, span_m?, gap_m?, drawn?);
        if !whole {
            return None;
        }
        let [from, to] =
            [(ends[0], ends[1]), (ends[2], ends[3])].map(|(x, y)| self.origin + Point::new(x, y));
        let whole_edge = matches!(edge, HandUse::EndBlocksHollow | HandUse::EndBlocksHump);
        self.check_ends(row, (from, to), (span_m, whole_edge), faults)?;
        let number = c.number.map_or("", |i| row.cell(i).text);
        let first = c.all().into_iter().min().unwrap_or(0) as u32 + 1;
        Some(HandRow {
            number: if number.is_empty() {
                format!("of row {}", row.number)
            } else {
                number.to_owned()
            },
            edge,
            span_m,
            from,
            to,
            gap_m,
            drawn,
            place: self.table.place(row.number, first),
        })
    }

    fn edge(&self, row: Row<'_>, faults: &mut Faults) -> Option<HandUse> {
        let cell = row.cell(self.columns.edge?);
        match cell.text.to_lowercase().replace(['-', '_'], " ").as_str() {
            "resting" => Some(HandUse::Resting),
            "balanced" | "balanced on a hump" => Some(HandUse::Balanced),
            "held down" | "one end held down" => Some(HandUse::HeldDown),
            "on end blocks: hollow" | "on end blocks, hollow" => Some(HandUse::EndBlocksHollow),
            "on end blocks: hump" | "on end blocks, hump" => Some(HandUse::EndBlocksHump),
            _ => {
                faults.add(
                    Fault::Layout,
                    self.place(cell),
                    quoted(cell.text),
                    "resting, balanced, held down, on end blocks: hollow or on end blocks: hump",
                    AS_WRITTEN,
                );
                None
            }
        }
    }

    fn span(&self, row: Row<'_>, faults: &mut Faults) -> Option<f64> {
        let column = self.columns.span;
        let m = self.length(row, column, "the length of the edge", faults)?;
        if m > 0.0 && m <= MOST_SPAN_M {
            return Some(m);
        }
        let cell = row.cell(column.at?);
        faults.add(
            Fault::OutOfRange,
            self.place(cell),
            quoted(cell.text),
            "the length of an edge, greater than zero and at most 328 ft (100 m)",
            "Is the unit right?",
        );
        None
    }

    /// The gap, `Some(None)` where the edge was not laid.
    fn gap(&self, row: Row<'_>, faults: &mut Faults) -> Option<Option<f64>> {
        let column = self.columns.gap;
        let cell = row.cell(column.at?);
        // `ok`, a tick, `<1/32`: the edge was laid, and what it showed is not told.
        let figure = cell.text.starts_with(|c: char| {
            c.is_ascii_digit()
                || ".,-+\u{2212}\u{bc}\u{bd}\u{be}\u{215b}\u{215c}\u{215d}\u{215e}".contains(c)
        });
        if !cell.is_blank() && !figure && !is_no_reading(cell.text) {
            faults.add(
                Fault::NotALength,
                self.place(cell),
                quoted(cell.text),
                "the gap that was measured, 0 where none was seen; an empty cell where the edge was not laid",
                "Type the largest gap that it may have been: for less than 1/32, type 1/32.",
            );
            return None;
        }
        let gap_m = self.length_or_none(row, column, faults)?;
        if gap_m.is_none_or(|m| m <= MOST_GAP_M + 1e-9) {
            return Some(gap_m);
        }
        let cell = row.cell(column.at?);
        faults.add(
            Fault::OutOfRange,
            self.place(cell),
            quoted(cell.text),
            "a gap under an edge, from 0 to 4 in (101.6 mm); an empty cell where it was not laid",
            "Is the unit right?",
        );
        None
    }

    /// Which of how many drawn it is, `Some(None)` where somebody chose it.
    fn drawn(&self, row: Row<'_>, faults: &mut Faults) -> Option<Option<(usize, usize)>> {
        let Some(at) = self.columns.drawn else {
            return Some(None);
        };
        let cell = row.cell(at);
        let text = cell.text.to_lowercase();
        let Some(rest) = text.strip_prefix("random") else {
            return Some(None);
        };
        let numbers = rest.split_once(" of ").and_then(|(which, of)| {
            Some((
                which.trim().parse::<usize>().ok()?,
                of.trim().parse::<usize>().ok()?,
            ))
        });
        match numbers {
            Some((which, of)) if which >= 1 && which <= of && of <= MOST_DRAWN => {
                Some(Some((which, of)))
            }
            _ => {
                faults.add(
                    Fault::Layout,
                    self.place(cell),
                    quoted(cell.text),
                    "such as random 12 of 59, as the sheet was written, or nothing",
                    "A row of your own is no random one: leave the cell empty.",
                );
                None
            }
        }
    }

    /// What was drawn from, one number for the whole sheet.
    fn seed(&self, row: Row<'_>, sheet: &mut HandSheet, faults: &mut Faults) {
        let Some(at) = self.columns.seed else { return };
        let cell = row.cell(at);
        if cell.is_blank() {
            return;
        }
        // A letter stands before it, or a spreadsheet would take some for numbers.
        let text = cell.text.to_lowercase();
        let seed = text
            .strip_prefix('r')
            .filter(|digits| digits.len() == 8)
            .and_then(|digits| u32::from_str_radix(digits, 16).ok());
        match (seed, sheet.seed) {
            (Some(seed), None) => sheet.seed = Some(seed),
            (Some(seed), Some(before)) if seed == before => {}
            _ => faults.add(
                Fault::Layout,
                self.place(cell),
                quoted(cell.text),
                match sheet.seed {
                    Some(before) => format!("r{before:08x}, as in the rows above"),
                    None => "the letter r and eight signs, as the sheet was written".to_owned(),
                },
                "Sheets that were drawn apart are read apart; a row of your own needs no seed.",
            ),
        }
    }

    /// That an edge of its length can lie there; one on blocks at its ends stands a whole edge apart.
    fn check_ends(
        &self,
        row: Row<'_>,
        (from, to): (Point, Point),
        (span_m, whole_edge): (f64, bool),
        faults: &mut Faults,
    ) -> Option<()> {
        let ends = &self.columns.ends;
        let place = |k: usize| {
            let cell = row.cell(ends[k].at.unwrap_or(0));
            (self.place(cell), quoted(cell.text))
        };
        let apart_m = from.distance(to);
        let too_short = apart_m < ONE_PLACE_M || (whole_edge && apart_m < span_m - LONGER_M);
        if apart_m > span_m + LONGER_M || too_short {
            faults.add(
                Fault::OutOfRange,
                place(2).0,
                format!(
                    "ends {:.0} mm apart under an edge of {:.0} mm",
                    apart_m * 1000.0,
                    span_m * 1000.0
                ),
                if whole_edge {
                    "two places as far apart as the edge is long: it stands on blocks at its ends"
                } else {
                    "two places no farther apart than the edge is long"
                },
                AS_WRITTEN,
            );
            return None;
        }
        let Some(region) = &self.options.region else {
            return Some(());
        };
        for (k, end) in [(0, from), (2, to)] {
            if !holds(region, end) {
                let (at, found) = place(k);
                faults.add(
                    Fault::OutOfRange,
                    at,
                    format!("an end off the floor ({found} and the cell beside it)"),
                    "a place inside the walls and off voids",
                    AS_WRITTEN,
                );
                return None;
            }
        }
        Some(())
    }
}
