//! Columns of an outline file, and what its rows are about.

use super::error::{Fault, Faults, quoted};
use super::headers::split_unit;
use super::table::{Row, Table};
use super::walls::{PlanAxis, from_wall};
use crate::units::{Length, LengthUnit};

/// What a row of an outline file is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Outline,
    Void,
    Slope,
    Joint,
    MovementJoint,
    Door,
    Fixture,
    Drain,
    Wall,
}

pub(super) const KINDS: &str =
    "outline, void, slope, joint, movement joint, door, fixture, drain or wall";

pub(super) fn kind(text: &str) -> Option<Kind> {
    let word = text.trim().to_lowercase().replace(['-', '_'], " ");
    Some(match word.as_str() {
        "outline" | "room" => Kind::Outline,
        "void" | "column" | "island" | "tub" => Kind::Void,
        "slope" | "shower" | "ramp" => Kind::Slope,
        "joint" => Kind::Joint,
        "movement joint" | "expansion joint" => Kind::MovementJoint,
        "door" | "opening" => Kind::Door,
        "fixture" | "point" => Kind::Fixture,
        "drain" => Kind::Drain,
        "wall" => Kind::Wall,
        _ => return None,
    })
}

/// A column with the unit of its heading.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Column {
    pub(super) at: Option<usize>,
    pub(super) unit: Option<LengthUnit>,
}

#[derive(Debug, Default)]
pub(super) struct Columns {
    pub(super) kind: Option<usize>,
    pub(super) name: Option<usize>,
    pub(super) x: Column,
    pub(super) y: Column,
    pub(super) width: Column,
    pub(super) under_cut: Column,
    pub(super) adjoining_reading: Column,
    pub(super) adjoining: Column,
    pub(super) limit_reading: Column,
    pub(super) limit: Column,
    pub(super) set_up: Option<usize>,
}

impl Columns {
    /// The units of a row of their own below the headings, for those whose headings have none.
    pub(super) fn take_units(&mut self, units: Row<'_>) {
        for column in [
            &mut self.x,
            &mut self.y,
            &mut self.width,
            &mut self.under_cut,
            &mut self.adjoining_reading,
            &mut self.adjoining,
            &mut self.limit_reading,
            &mut self.limit,
        ] {
            let told = column
                .at
                .and_then(|i| LengthUnit::from_word(units.cell(i).text));
            column.unit = column.unit.or(told);
        }
    }

    /// Those that there are, from 0.
    pub(super) fn all(&self) -> Vec<usize> {
        [
            self.kind,
            self.name,
            self.x.at,
            self.y.at,
            self.width.at,
            self.under_cut.at,
            self.adjoining_reading.at,
            self.adjoining.at,
            self.limit_reading.at,
            self.limit.at,
            self.set_up,
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

pub(super) fn header(table: &Table) -> Option<(usize, Columns)> {
    for (index, row) in table.rows().enumerate().take(100) {
        let mut columns = Columns::default();
        for (i, cell) in row.cells().enumerate() {
            let (words, unit) = split_unit(cell.text);
            let column = Column { at: Some(i), unit };
            match words.replace('-', " ").as_str() {
                "kind" | "type" | "what" => columns.kind = Some(i),
                "name" | "label" => columns.name = Some(i),
                "x" => columns.x = column,
                "y" => columns.y = column,
                words if from_wall(words).is_some_and(|from| from.axis == PlanAxis::X) => {
                    columns.x = column;
                }
                words if from_wall(words).is_some() => columns.y = column,
                "width" | "clear width" => columns.width = column,
                "under cut" | "undercut" => columns.under_cut = column,
                "adjoining reading" => columns.adjoining_reading = column,
                "adjoining" | "adjoining elevation" => columns.adjoining = column,
                "limit reading" => columns.limit_reading = column,
                "limit" | "limit elevation" => columns.limit = column,
                "set up" | "setup" => columns.set_up = Some(i),
                _ => {}
            }
        }
        if columns.x.at.is_some() && columns.y.at.is_some() {
            return Some((index + 1, columns));
        }
    }
    None
}

/// What every column of an outline is headed.
pub(super) const HEADINGS: &str = "kind, name, x, y, width, under_cut, adjoining_reading, adjoining, limit_reading, limit or set_up, with a unit where it holds lengths";

/// The lengths of a row beside its place; heights as a reading and as an elevation.
pub(super) struct Given {
    pub(super) width: Option<Length>,
    pub(super) under_cut: Option<Length>,
    pub(super) adjoining: (Option<Length>, Option<Length>),
    pub(super) limit: (Option<Length>, Option<Length>),
}

/// Refuses what would be lost: a length in a column that the row's kind does not use, and one height given twice.
pub(super) fn refuse_unused(
    table: &Table,
    row: Row<'_>,
    columns: &Columns,
    (kind, given): (Kind, &Given),
    faults: &mut Faults,
) {
    let mut refuse = |column: Column, there: bool, expected: &str, remedy: &str| {
        if let Some(i) = column.at.filter(|_| there) {
            let cell = row.cell(i);
            let place = table.place(cell.row, cell.column);
            faults.add(Fault::Layout, place, quoted(cell.text), expected, remedy);
        }
    };
    let of_doors = kind != Kind::Door;
    let of_fixtures = !matches!(kind, Kind::Fixture | Kind::Drain);
    let (reading, above) = given.adjoining;
    let (limit_reading, limit) = given.limit;
    let for_doors = (
        "nothing: this column is for doors",
        "A fixture keeps its height by limit_reading or limit.",
    );
    let for_fixtures = (
        "nothing: this column is for fixtures and drains",
        "A door meets its floor by adjoining_reading or adjoining.",
    );
    let twice = (
        "one height: this row has a reading for it already",
        "Leave one of the two blank.",
    );
    for (column, there, (expected, remedy)) in [
        (columns.width, of_doors && given.width.is_some(), for_doors),
        (
            columns.under_cut,
            of_doors && given.under_cut.is_some(),
            for_doors,
        ),
        (
            columns.adjoining_reading,
            of_doors && reading.is_some(),
            for_doors,
        ),
        (columns.adjoining, of_doors && above.is_some(), for_doors),
        (
            columns.limit_reading,
            of_fixtures && limit_reading.is_some(),
            for_fixtures,
        ),
        (columns.limit, of_fixtures && limit.is_some(), for_fixtures),
        (
            columns.adjoining,
            reading.is_some() && above.is_some(),
            twice,
        ),
        (
            columns.limit,
            limit_reading.is_some() && limit.is_some(),
            twice,
        ),
    ] {
        refuse(column, there, expected, remedy);
    }
}
