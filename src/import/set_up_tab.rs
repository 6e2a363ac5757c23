//! The tab Set-up that the field sheet's own workbook keeps beside its readings: what is written there of the instrument.

use super::error::quoted;
use super::moved::may_say_moved_above;
use super::options::ImportOptions;
use super::room::{RawRoom, moved_notice};
use super::table::{Cell, Table};
use super::understood::Understood;
use super::{Source, open};
use crate::survey::{Notice, Severity};
use crate::units::{Habit, LengthUnit, Pen, read_length};

/// The tab's name, as the field sheet's workbook is written.
const TAB: &str = "Set-up";
/// How the labels of the two readings on the bench mark begin.
const FIRST: &str = "reading on the bench mark, first";
const LAST: &str = "reading on the bench mark, last";
/// A label of the sheet's own that speaks of a moved line.
const DIFFERENCE: &str = "difference: the line moved";

/// Looks through the tab, where there is one, and tells in the first room what it says of a moved line. A tab that cannot be read, or is the
/// one that the readings stand on, says nothing here.
pub(super) fn tell(
    source: &Source<'_>,
    options: &ImportOptions,
    understood: &Understood,
    rooms: &mut [RawRoom],
) {
    let is_tab = |name: &&String| name.trim().eq_ignore_ascii_case(TAB);
    let mut others = understood
        .sheets
        .iter()
        .filter(|s| understood.sheet.as_ref() != Some(s));
    let (Some(tab), Some(room)) = (others.find(is_tab), rooms.first_mut()) else {
        return;
    };
    let options = ImportOptions {
        sheet: Some(tab.clone()),
        ..options.clone()
    };
    let Ok((table, _)) = open(source, &options) else {
        return;
    };
    room.notices
        .extend(bench_mark(&table, room.about.reading_unit));
    // What was read from several set-ups is tied by marks of its own.
    if room.readings.iter().all(|r| r.set_up == 0) {
        room.notices.extend(said_moved(&table));
    }
}

fn cells(table: &Table) -> impl Iterator<Item = Cell<'_>> {
    let rows = (0..table.len()).map(|i| table.row(i));
    rows.flat_map(|row| row.filled())
}

/// The first words that say that the instrument was moved, but for the sheet's own label.
fn said_moved(table: &Table) -> Option<Notice> {
    let own = |c: &Cell<'_>| c.text.trim().to_lowercase().starts_with(DIFFERENCE);
    let said = cells(table).find(|c| !own(c) && may_say_moved_above(c.text))?;
    let place = table.place(said.row, said.column).to_string();
    Some(moved_notice(said.text, place))
}

/// Says that the bench mark was read otherwise last than first.
fn bench_mark(table: &Table, unit: Option<LengthUnit>) -> Option<Notice> {
    let value = |label: &str| {
        let rows = (0..table.len()).map(|i| table.row(i));
        let mut found = rows.filter_map(|row| {
            let mut filled = row.filled();
            let named = filled.next()?.text.trim().to_lowercase();
            named.starts_with(label).then(|| filled.next()).flatten()
        });
        found.next()
    };
    let (first, last) = (value(FIRST)?, value(LAST)?);
    let read = |c: &Cell<'_>| {
        read_length(c.text, unit, c.comma)
            .ok()
            .map(|w| w.length.m())
    };
    let apart = read(&first).zip(read(&last)).map(|(a, b)| (b - a).abs());
    let differ = apart.map_or(first.text.trim() != last.text.trim(), |m| m > 1e-6);
    let by = apart.map_or_else(String::new, |m| {
        let habit = match unit {
            Some(LengthUnit::Millimetre | LengthUnit::Centimetre | LengthUnit::Metre) => {
                Habit::Metric
            }
            _ => Habit::Us,
        };
        format!(", {} apart", Pen::new(habit).gauge(m))
    });
    differ.then(|| {
        Notice::new(
            "bench-mark-differs",
            Severity::Warning,
            table.place(last.row, last.column).to_string(),
            format!(
                "The bench mark was read {} first and {} last{by}: the line moved while the floor was read, or one of the two is a slip. All readings were taken as from one line. If it moved, add a column set-up that tells which were read before and which after, with a mark or more in both, or read the floor again.",
                quoted(first.text),
                quoted(last.text)
            ),
        )
    })
}
