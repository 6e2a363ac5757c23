//! Which column of a list holds what, and what is wrong with its columns.

use super::around::is_number;
use super::axis::letters_and_number;
use super::blocks::Block;
use super::error::{Fault, Faults, quoted};
use super::headers::{Field, split_unit};
use super::heading::{Heading, Unread, heading, refuse_bracket};
use super::list_places::Columns;
use super::options::{ImportOptions, Meaning};
use super::room::RawRoom;
use super::scales::Scale;
use super::split_columns::{Part, part_of};
use super::table::{Cell, Row, Table};
use super::understood::UsedColumn;
use super::walls::{names_a_wall, words};
use crate::survey::{Notice, Place, Severity};
use crate::units::{LengthUnit, WrittenLength, read_length};

/// A list as it lies on the sheet, and what was said of it.
#[derive(Clone, Copy)]
pub(super) struct ListSheet<'a> {
    pub(super) table: &'a Table,
    pub(super) block: &'a Block,
    pub(super) header: Option<Row<'a>>,
    pub(super) headings: &'a [Heading],
    pub(super) options: &'a ImportOptions,
}

impl<'a> ListSheet<'a> {
    /// Which column holds what; `None` with faults told.
    pub(super) fn find_columns(
        self,
        faults: &mut Faults,
        room: &mut RawRoom,
    ) -> Option<(Columns, Meaning)> {
        let (mut columns, meanings, known) = self.named_columns(faults, room);
        let reading = self.column_of_readings(&meanings, faults);
        if let Some((i, _)) = reading {
            columns.reading = Some(i);
            room.about.meaning_stated = self.header.is_some() || self.meaning().is_some();
        }
        let placed = self.has_places(columns, faults);
        let (_, meaning) = reading?;
        (known && placed).then_some((columns, meaning))
    }

    /// Words in the brackets of headings that were not read: refused where they may turn the numbers over, else told.
    pub(super) fn tell_brackets(self, columns: Columns, room: &mut RawRoom, faults: &mut Faults) {
        let Some(header) = self.header else { return };
        for i in [columns.x, columns.y, columns.reading]
            .into_iter()
            .flatten()
        {
            let cell = header.cell(i);
            let place = self.table.place(cell.row, cell.column);
            match self.headings[i].unread {
                None => {}
                Some(Unread::MayTurn) => refuse_bracket(place, cell.text, faults),
                Some(Unread::Words) => room.notices.push(Notice::new(
                    "bracket-not-read",
                    Severity::Warning,
                    place.to_string(),
                    format!(
                        "The words beside the unit in {} were not read.",
                        quoted(cell.text)
                    ),
                )),
            }
        }
    }

    /// Whether columns that were not used hold parts of the distances or readings beside them: refused, or, where that is only
    /// likely, warned of.
    pub(super) fn parts_beside(
        self,
        columns: Columns,
        room: &mut RawRoom,
        faults: &mut Faults,
    ) -> bool {
        let known = [columns.x, columns.y, columns.reading];
        let is_known = |k: &usize| known.contains(&Some(*k));
        let mut refused = false;
        for (i, heading) in self.headings.iter().enumerate() {
            // What stands under no heading is told at its own cells.
            let headed = self.header.is_some_and(|h| !h.cell(i).is_blank());
            // Other columns may stand between, a note or a point's name.
            let before = (0..i).rev().find(is_known);
            let behind = (i + 1..self.headings.len()).find(is_known);
            if !headed || !matches!(heading.field, Field::Unknown | Field::Note) {
                continue;
            }
            let part = |k: usize| part_of(self.table, self.block, (k, i), self.unit_of(k, columns));
            // A note that is only a fraction is warned of: so headed, a column may hold what it likes.
            let found = before.and_then(|k| match (heading.field, part(k)?) {
                (Field::Note, Part::Fractions) => Some((k, Part::Whole)),
                (Field::Note, _) => None,
                (_, part) => Some((k, part)),
            });
            // The smaller part may stand before the larger one as well.
            let surely = found.filter(|(_, part)| *part != Part::Whole).or_else(|| {
                let k = behind.filter(|_| heading.field == Field::Unknown)?;
                let part = part(k).filter(|part| *part != Part::Whole);
                // `Feet | Inches`: what counts the coarser unit right before the readings is a part of them.
                let coarser = || {
                    let own = self.unit_named(i)?;
                    let is_coarser = own.metres() > self.unit_of(k, columns)?.metres();
                    (columns.reading == Some(k) && k == i + 1 && is_coarser).then_some(Part::Whole)
                };
                Some((k, part.or_else(coarser)?))
            });
            let place = self
                .table
                .place(self.header.map_or(0, |r| r.number), i as u32 + 1);
            let text = |k: usize| quoted(self.header.map_or("", |r| r.cell(k).text));
            if let Some((k, _)) = surely {
                refused = true;
                faults.add(
                    Fault::Column,
                    place,
                    format!(
                        "the column {}, which reads like a part of {} {} it",
                        text(i),
                        text(k),
                        if k < i { "before" } else { "behind" }
                    ),
                    "each distance and each reading in one cell",
                    "Put both parts into one cell, such as 3' 4 9/16\", 40 9/16 or 1.20. If the column is something else, head it note, or write words beside its numbers.",
                );
            } else if let Some((k, _)) = found.filter(|(k, _)| k + 1 == i) {
                room.notices.push(Notice::new(
                    "numbers-not-used",
                    Severity::Warning,
                    place.to_string(),
                    format!(
                        "The column {} holds small numbers after {} and was not used. If they are a part of it, put both into one cell.",
                        text(i),
                        text(k)
                    ),
                ));
            }
        }
        refused
    }

    /// Whether a column whose heading is not known may tell from where each reading was taken: `HI`, `Laser pos`, `Shot from`.
    fn may_be_set_up(self, column: usize, heading: &str) -> bool {
        let (words, _) = split_unit(heading);
        let of_instrument = [
            "hi",
            "laser",
            "tripod",
            "instr",
            "instrument",
            "shot from",
            "line",
            "read from",
        ];
        let named = of_instrument
            .iter()
            .any(|w| words == *w || words.starts_with(&format!("{w} ")));
        let rows = self.block.body.clone().map(|i| self.table.row(i));
        let cells = rows.map(|r| r.cell(column).text).filter(|t| !t.is_empty());
        let values: std::collections::BTreeSet<&str> = cells.take(10_000).collect();
        named && values.len() > 1
    }

    /// The first column headed as readings.
    fn first_reading(self) -> Option<usize> {
        let read = |h: &Heading| matches!(h.field, Field::Reading(_));
        self.headings.iter().position(read)
    }

    /// The columns of further readings of each mark: of those so headed the ones whose cells are mostly lengths near the first reading. `re-read` may
    /// head a tick as well, and `2nd` a time.
    pub(super) fn further_readings(self, first: Option<usize>) -> Vec<usize> {
        let Some(first) = first else {
            return Vec::new();
        };
        let of = |row: Row<'_>, i: usize| {
            let cell = row.cell(i);
            let unit = self.headings[i].unit.or(Some(LengthUnit::Inch));
            read_length(cell.text, unit, cell.comma)
                .ok()
                .map(|w| w.length.m())
        };
        let holds = |i: &usize| {
            let rows = self.block.body.clone().map(|r| self.table.row(r));
            let filled: Vec<Row<'_>> = rows.filter(|r| !r.cell(*i).is_blank()).collect();
            let near = |row: &&Row<'_>| {
                let (Some(own), Some(first)) = (of(**row, *i), of(**row, first)) else {
                    return false;
                };
                (own - first).abs() < first.abs() / 2.0
            };
            2 * filled.iter().filter(near).count() > filled.len()
        };
        (0..self.headings.len())
            .filter(|i| self.headings[*i].field == Field::Again)
            .filter(holds)
            .collect()
    }

    /// Whether a second list stands beside the first, under headings of its own such as `X2 | Y2 | R2`: refused. It is one where as
    /// many columns as a reading needs are as full of numbers as the list itself, and one of them is named after a known one.
    pub(super) fn is_folded(self, columns: Columns, header: Row<'_>, faults: &mut Faults) -> bool {
        let rows = || self.block.body.clone().map(|i| self.table.row(i));
        let known = rows().filter(|r| {
            let reading = columns.reading.map(|i| r.cell(i));
            reading.is_some_and(|c| is_number(&c))
        });
        let known = known.count();
        let by_name = columns.x.is_none() && columns.y.is_none();
        // A name and a reading, or x, y and a reading.
        let needed = if by_name { 2 } else { 3 };
        let full = |i: usize| {
            let named = |c: &Cell<'_>| by_name && letters_and_number(c.text).is_some();
            let filled = rows().filter(|r| is_number(&r.cell(i)) || named(&r.cell(i)));
            2 * filled.count() > known
        };
        let free: Vec<usize> = (0..self.headings.len())
            .filter(|&i| self.headings[i].field == Field::Unknown)
            .filter(|&i| !header.cell(i).is_blank() && full(i))
            .collect();
        let alike = |i: &usize| is_named_after(header.cell(*i).text, by_name);
        let (true, true, Some(first)) = (
            known > 0,
            free.len() >= needed && free.iter().any(alike),
            free.first(),
        ) else {
            return false;
        };
        let cell = header.cell(*first);
        faults.add(
            Fault::Layout,
            self.table.place(cell.row, cell.column),
            format!(
                "{} columns of numbers beside the list that are not known, the first headed {}",
                free.len(),
                quoted(cell.text)
            ),
            "one reading a row, under one row of headings",
            "If these are readings, move them below the others, under the same headings. If not, move them to a sheet of their own.",
        );
        true
    }

    /// The unit that a column's heading names, by itself or behind other words: `Feet`, `Tape ft`.
    fn unit_named(self, column: usize) -> Option<LengthUnit> {
        let text = self.header.map_or("", |r| r.cell(column).text);
        let own = self.headings[column].unit;
        own.or_else(|| LengthUnit::from_word(text))
            .or_else(|| split_unit(text).1)
    }

    /// The unit of a column of distances or readings, as its heading, the user or a row above says.
    pub(super) fn unit_of(self, column: usize, columns: Columns) -> Option<LengthUnit> {
        let (stated, above) = if columns.reading == Some(column) {
            (
                self.options.reading_unit,
                self.block.settings.reading_unit(),
            )
        } else {
            (self.options.plan_unit, self.block.settings.plan_unit())
        };
        stated.or(self.headings[column].unit).or(above)
    }

    /// What the readings count, where that is a part of their unit.
    pub(super) fn scale_of_readings(self, columns: Columns) -> Option<Scale> {
        let heading = self.headings[columns.reading?];
        match heading.unit {
            Some(_) => heading.scale,
            None => self.block.settings.scale,
        }
    }

    /// Refuses a unit that is stated over distances that count parts of one by their heading.
    pub(super) fn refuse_counted_plan(self, columns: Columns, faults: &mut Faults) {
        let counted = [columns.x, columns.y].into_iter().flatten();
        let mut counted = counted.filter_map(|i| Some((i, self.headings[i].scale?)));
        if let (Some((i, scale)), Some(stated)) = (counted.next(), self.options.plan_unit) {
            let row = self.header.map_or(0, |r| r.number);
            faults.add(
                Fault::MixedUnits,
                self.table.place(row, i as u32 + 1),
                format!(
                    "distances that count {scale} by their heading, and {stated} stated for them"
                ),
                "one unit",
                "Leave --plan-unit away if they count parts; else head them with the unit alone.",
            );
        }
    }

    /// What the sheet or the user says that readings are.
    pub(super) fn meaning(self) -> Option<Meaning> {
        self.options.meaning.or(self.block.settings.meaning)
    }

    /// The place of the header, for what is wrong with it as a whole.
    pub(super) fn header_place(self) -> Place {
        self.table.place(self.header.map_or(0, |r| r.number), 0)
    }

    /// The columns by their headings, those of readings apart; `false` where one comes twice.
    pub(super) fn named_columns(
        self,
        faults: &mut Faults,
        room: &mut RawRoom,
    ) -> (Columns, Vec<(usize, Meaning)>, bool) {
        let row = self.header.map_or(0, |r| r.number);
        let mut columns = Columns::default();
        let mut meanings: Vec<(usize, Meaning)> = Vec::new();
        let mut sound = true;
        for (i, heading) in self.headings.iter().enumerate() {
            let text = self.header.map_or("", |r| r.cell(i).text);
            let place = self.table.place(row, i as u32 + 1);
            if self.header.is_some() && text.is_empty() {
                continue;
            }
            room.about.columns.push(UsedColumn {
                column: i as u32 + 1,
                heading: text.to_owned(),
                field: heading.field,
                unit: heading.unit,
            });
            let slot = match heading.field {
                Field::Point => &mut columns.point,
                Field::X => &mut columns.x,
                Field::Y => &mut columns.y,
                Field::Note => {
                    let mut slots =
                        std::iter::once(&mut columns.note).chain(&mut columns.more_notes);
                    match slots.find(|slot| slot.is_none()) {
                        Some(free) => {
                            *free = Some(i);
                            continue;
                        }
                        None => &mut columns.note,
                    }
                }
                Field::SetUp => &mut columns.set_up,
                Field::Room => &mut columns.room,
                Field::Reading(meaning) => {
                    meanings.push((i, meaning));
                    continue;
                }
                Field::Again if self.further_readings(self.first_reading()).contains(&i) => {
                    continue;
                }
                Field::Unknown if self.may_be_set_up(i, text) => {
                    room.notices.push(Notice::new(
                        "column-of-set-ups",
                        Severity::Warning,
                        place.to_string(),
                        format!(
                            "The column {} was not used, and holds more than one value: if the instrument stood at several heights or places, all readings were taken as from one. Head it set-up, and have a mark or more in each two.",
                            quoted(text)
                        ),
                    ));
                    continue;
                }
                Field::Unknown | Field::Again => {
                    room.notices.push(Notice::new(
                        "column-not-used",
                        Severity::Note,
                        place.to_string(),
                        format!("The column {} is not known and was not used.", quoted(text)),
                    ));
                    continue;
                }
            };
            if let Some(before) = *slot {
                sound = false;
                let finer = self.headings[before].unit.zip(heading.unit);
                let parts = finer.is_some_and(|(a, b)| a.metres() > b.metres());
                faults.add(
                    Fault::Column,
                    place,
                    format!("a second column {}", quoted(text)),
                    "each column once",
                    if parts {
                        "If both are parts of one distance, put them into one cell, such as 3' 6\" or 3.5. If not, rename or delete the one that does not count."
                    } else {
                        "Rename or delete the one that does not count."
                    },
                );
            } else {
                *slot = Some(i);
            }
        }
        (columns, meanings, sound)
    }

    /// The one column of readings, and what they mean.
    pub(super) fn column_of_readings(
        self,
        meanings: &[(usize, Meaning)],
        faults: &mut Faults,
    ) -> Option<(usize, Meaning)> {
        let wanted = self.meaning();
        // Beside a reading, an elevation column is the sheet's own arithmetic unless it is asked for.
        let fits = |m: &Meaning| meanings.len() < 2 || wanted.is_none_or(|wanted| *m == wanted);
        let fitting: Vec<(usize, Meaning)> =
            meanings.iter().copied().filter(|(_, m)| fits(m)).collect();
        match fitting[..] {
            [(i, own)] => {
                if wanted.is_none() && (self.beside_design(i, faults) || self.is_open(i, faults)) {
                    return None;
                }
                return Some((i, wanted.unwrap_or(own)));
            }
            [] => self.refuse_unheaded(faults),
            _ => self.refuse_several(&fitting, faults),
        }
        None
    }

    /// Refuses a list none of whose columns is headed as readings, and names those that hold numbers.
    fn refuse_unheaded(self, faults: &mut Faults) {
        let numbers = |i: usize| {
            let rows = self.block.body.clone().map(|r| self.table.row(r));
            let filled =
                |i: usize| move |r: Row<'_>| (!r.cell(i).is_blank()).then(|| is_number(&r.cell(i)));
            let cells: Vec<bool> = rows.filter_map(filled(i)).take(100).collect();
            2 * cells.iter().filter(|n| **n).count() > cells.len()
        };
        let unknown = |i: &usize| self.headings[*i].field == Field::Unknown && numbers(*i);
        let may_be: Vec<usize> = (0..self.headings.len()).filter(unknown).collect();
        let text = |i: usize| quoted(self.header.map_or("", |r| r.cell(i).text));
        let place = match may_be[..] {
            [only] => self.table.place(self.header_place().row, only as u32 + 1),
            _ => self.header_place(),
        };
        let names: Vec<String> = may_be.iter().map(|&i| text(i)).collect();
        faults.add(
            Fault::Column,
            place,
            match names[..] {
                [] => "no column of readings".to_owned(),
                [_] => format!(
                    "no column headed as readings; {} holds numbers, and its heading does not say whether larger is lower",
                    names[0]
                ),
                _ => format!(
                    "no column headed as readings; {} hold numbers, and their headings do not say whether larger is lower",
                    names.join(" and ")
                ),
            },
            "a column headed reading or elevation, with its unit, as in reading_in",
            if names.is_empty() {
                ""
            } else if self.are_units_of_one(&may_be) {
                "Put both parts of a reading into one cell, such as 3' 11 3/4\" or 47 3/4, under one heading: reading where they run down from the line, elevation where they are heights of the floor."
            } else {
                "Head the one of the readings reading where its numbers run down from the line, elevation where they are heights of the floor."
            },
        );
    }

    /// Whether two of these columns stand side by side and count a unit and a finer one: `Feet | Inches`.
    fn are_units_of_one(self, columns: &[usize]) -> bool {
        columns.windows(2).any(|w| {
            let units = self.unit_named(w[0]).zip(self.unit_named(w[1]));
            w[1] == w[0] + 1 && units.is_some_and(|(a, b)| a.metres() > b.metres())
        })
    }

    /// Refuses several columns that could be the readings, and says what tells them apart.
    fn refuse_several(self, fitting: &[(usize, Meaning)], faults: &mut Faults) {
        let name = |i: usize| quoted(self.header.map_or("", |r| r.cell(i).text));
        let all: Vec<String> = fitting.iter().map(|(i, _)| name(*i)).collect();
        let parts = fitting
            .iter()
            .zip(fitting.iter().skip(1))
            .any(|(a, b)| self.are_parts(a.0, b.0) || self.are_parts(b.0, a.0));
        // A meaning chooses a column where only one has it.
        let alone = |m: Meaning| fitting.iter().filter(|f| f.1 == m).count() == 1;
        let flags: Vec<&str> = [
            (Meaning::Down, "--meaning down"),
            (Meaning::Up, "--meaning up"),
            (Meaning::Elevation, "--meaning elevation"),
        ]
        .into_iter()
        .filter(|(m, _)| alone(*m))
        .map(|(_, flag)| flag)
        .collect();
        let remedy = if parts {
            "If both are parts of one reading, write them into one cell, such as 3' 4 9/16\" or 1.204. If not, head each one that does not count other, or delete it.".to_owned()
        } else if flags.is_empty() {
            "Head each one that does not count other, such as other mm, or delete it.".to_owned()
        } else {
            format!(
                "Head each one that does not count other, or delete it; or state {}.",
                flags.join(" or ")
            )
        };
        faults.add(
            Fault::Column,
            self.header_place(),
            format!("several columns of readings: {}", all.join(", ")),
            "one",
            remedy,
        );
    }

    /// Whether one column holds whole numbers of a unit and another less than one of it in a smaller unit: 3 ft and 4 1/2 in.
    fn are_parts(self, large: usize, small: usize) -> bool {
        let unit = |i: usize| self.headings[i].unit;
        let (Some(of_large), Some(of_small)) = (unit(large), unit(small)) else {
            return false;
        };
        let numbers = |i: usize, of: LengthUnit| {
            let rows = self
                .block
                .body
                .clone()
                .map(move |r| self.table.row(r).cell(i));
            rows.filter(|c| !c.is_blank())
                .filter_map(move |c| read_length(c.text, Some(of), c.comma).ok())
        };
        let whole = of_large.metres();
        let metres = |w: WrittenLength| w.length.m();
        of_small.metres() < whole
            && numbers(large, of_large)
                .all(|w| w.fraction.is_none() && (metres(w) / whole).fract() < 1e-9)
            && numbers(small, of_small).all(|w| metres(w) < whole - 1e-9)
    }

    /// Whether what was measured stands beside what was designed, and is a height then, more likely than not: refused.
    pub(super) fn beside_design(self, column: usize, faults: &mut Faults) -> bool {
        let words = |i: usize| split_unit(self.header.map_or("", |r| r.cell(i).text)).0;
        let is_open = matches!(words(column).as_str(), "measured" | "measurement" | "value");
        let designed = (0..self.headings.len()).find(|&i| {
            let of = [
                "design", "designed", "target", "planned", "nominal", "required", "soll",
            ];
            self.headings[i].field == Field::Unknown && words(i).split(' ').any(|w| of.contains(&w))
        });
        let (true, Some(design), Some(row)) = (is_open, designed, self.header) else {
            return false;
        };
        let cell = row.cell(column);
        faults.add(
            Fault::Column,
            self.table.place(cell.row, cell.column),
            format!(
                "{} beside {}, which may be heights as well as readings down from a line",
                quoted(cell.text),
                quoted(row.cell(design).text)
            ),
            "a heading that says which way its numbers run",
            "Head it reading down where larger is lower, elevation where larger is higher, or state --meaning.",
        );
        true
    }

    /// Whether the heading of the readings says that something was measured and not what, as `Measure` and `Shot` do: refused.
    fn is_open(self, column: usize, faults: &mut Faults) -> bool {
        let Some(cell) = self.header.map(|row| row.cell(column)) else {
            return false;
        };
        let open = ["value", "values", "measurement", "measurements"];
        if !open.contains(&split_unit(cell.text).0.as_str()) {
            return false;
        }
        faults.add(
            Fault::Column,
            self.table.place(cell.row, cell.column),
            format!("{}, which does not say whether larger is lower", quoted(cell.text)),
            "a heading that says which way its numbers run",
            "Head it reading where its numbers run down from the line, elevation where they are heights of the floor, or state --meaning.",
        );
        true
    }

    /// The first column of numbers whose heading names a wall, and nothing that is known: its distances may count from there, and headed x or y
    /// they would be mirrored.
    fn beside_a_wall(self) -> Option<Cell<'a>> {
        let row = self.header?;
        row.filled().find(|cell| {
            let heading = self.headings.get(cell.column as usize - 1);
            let unknown = heading.is_some_and(|h| h.field == Field::Unknown);
            let words = words(cell.text);
            let wall = words.iter().any(|w| matches!(w.as_str(), "wall" | "walls"));
            unknown && (wall || names_a_wall(cell.text))
        })
    }

    /// Refuses a list without the distances along an axis where a heading names a wall in words that are not understood.
    fn refuse_wall(self, cell: Cell<'_>, axis: &str, faults: &mut Faults) {
        faults.add(
            Fault::Column,
            self.table.place(cell.row, cell.column),
            format!(
                "{} and no column {axis}: it speaks of a wall, and not in words by which one of the four is known that its distances count from",
                quoted(cell.text)
            ),
            "one of: from left wall, from right wall, from near wall, from far wall, with the unit, as in from far wall (ft)",
            "Head it by the wall that its distances count from, the back wall being the far one: those from the right or the far wall are turned over, as they have to be. Headed x or y, which count from the left and the near wall, they would be mirrored. A door or a window names no wall: say which of the four it is in.",
        );
    }

    /// Whether each reading has its place: by x and y, or by its name and a spacing.
    pub(super) fn has_places(self, columns: Columns, faults: &mut Faults) -> bool {
        let spacing = self.options.spacing.or(self.block.settings.spacing);
        let wall = self.beside_a_wall();
        let missing = match (columns.x, columns.y) {
            (None, None) => Some("x, and no column y"),
            (None, Some(_)) => Some("x"),
            (Some(_), None) => Some("y"),
            (Some(_), Some(_)) => None,
        };
        if let (Some(cell), Some(axis), None) = (wall, missing, spacing) {
            self.refuse_wall(cell, axis, faults);
            return false;
        }
        let by_name = columns.x.is_none() && columns.y.is_none() && columns.point.is_some();
        let mut sound = true;
        if by_name && spacing.is_none() {
            sound = false;
            faults.add(
                Fault::NoPosition,
                self.header_place(),
                "names and no distances",
                "columns x and y, or a spacing with names such as A1, B1, A2",
                "State --spacing, such as --spacing \"2 ft\", or write a row above: spacing, 2 ft. If two columns hold distances under other headings, such as station and offset, head them x (to the right from the left wall) and y (up the plan from the near wall), or by the wall that they count from, as in from far wall (ft).",
            );
        }
        if !by_name && spacing.is_some() {
            sound = false;
            faults.add(
                Fault::NoPosition,
                self.header_place(),
                "a spacing, though each reading has its x and y",
                "x and y, or a spacing with names such as A1, B1, A2",
                "Leave the spacing away.",
            );
        }
        for (slot, name) in [(columns.x, "x"), (columns.y, "y")] {
            if slot.is_none() && !by_name {
                sound = false;
                faults.add(
                    Fault::Column,
                    self.header_place(),
                    format!("no column {name}"),
                    format!(
                        "a column headed {name} with its unit, as in {name}_ft: distances {}",
                        match name {
                            "x" => "to the right from the left wall",
                            _ => "up the plan from the near wall",
                        }
                    ),
                    match name {
                        "x" => "Where they count from the right wall, head them so: x from right wall (ft).",
                        _ => "Where they count from the far wall, head them so: y from far wall (ft).",
                    },
                );
            }
        }
        sound
    }
}

/// Whether a heading is that of a place, or of a point where places go by names, with a count behind it: `X2`, `y (2)`, `Point.1`.
pub(super) fn is_named_after(text: &str, by_name: bool) -> bool {
    let name = split_unit(text).0;
    let bare = name.trim_end_matches(|c: char| !c.is_alphabetic());
    let counted = bare.len() < name.len() && !bare.is_empty();
    counted
        && match heading(bare).field {
            Field::X | Field::Y => !by_name,
            Field::Point => by_name,
            _ => false,
        }
}

/// Whether the first column, without a heading, counts the rows. Above it no single letters: X, Y and Z over rows 1, 2, 3 may
/// be the names of a matrix.
pub(super) fn is_counted(table: &Table, block: &Block, header: Row<'_>) -> bool {
    let rows = block.body.clone().map(|i| table.row(i));
    let counts: Vec<Option<i64>> = rows
        .filter(|r| !r.is_blank())
        .map(|r| r.cell(0).text.parse().ok())
        .collect();
    let runs = |w: &[Option<i64>]| w[0].zip(w[1]).is_some_and(|(a, b)| b == a + 1);
    header.cell(0).is_blank()
        && header.filled().any(|c| c.text.chars().count() > 1)
        && counts.windows(2).all(runs)
}
