//! Notes that begin with a number, `2 cracks here`, beside the readings of a table.

use super::around::looks_numeric;
use super::cells::{CellRule, Seen, length};
use super::error::quoted;
use super::numbered_note::is_numbered_note;
use super::room::RawRoom;
use super::table::{Cell, Kind};
use super::understood::Why;
use crate::survey::{Notice, Severity};

/// The heights that a table's own cells hold, and whether most of them are whole numbers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Held {
    low_m: f64,
    high_m: f64,
    whole: bool,
}

impl Held {
    pub(super) fn of<'a>(cells: impl Iterator<Item = Cell<'a>>, rule: CellRule) -> Self {
        let (mut low_m, mut high_m) = (f64::INFINITY, f64::NEG_INFINITY);
        let (mut count, mut whole) = (0usize, 0usize);
        for cell in cells {
            if let Some(m) = metres(cell, rule) {
                (low_m, high_m) = (low_m.min(m), high_m.max(m));
                count += 1;
                whole += usize::from(cell.text.bytes().all(|b| b.is_ascii_digit()));
            }
        }
        Self {
            low_m,
            high_m,
            whole: 2 * whole > count,
        }
    }

    /// Whether the number that a note begins with could be a reading of this table with a remark behind it, `40 1/8 wet`: it lies among
    /// them or nearly so. A whole number where readings have fractions counts something.
    pub(super) fn may_hold(&self, note: Cell<'_>, rule: CellRule) -> bool {
        /// Readings of one floor lie about so near one another, metres: 1 in. Common practice, no published source.
        const NEAR_M: f64 = 0.0254;
        let Some((number, counts)) = number_before(note, rule) else {
            return false;
        };
        let near = (self.high_m - self.low_m).max(NEAR_M);
        let among = (self.low_m - near..=self.high_m + near).contains(&number);
        among && (self.whole || !counts)
    }
}

/// A cell's length, where it holds one.
fn metres(cell: Cell<'_>, rule: CellRule) -> Option<f64> {
    match length(cell, rule) {
        Ok(Seen::Length(written) | Seen::Recovered(written, _)) => Some(written.length.m()),
        Ok(Seen::NoReading) | Err(_) => None,
    }
}

/// The length that a note begins with, metres, by as many of its words as make one; and whether it is a bare whole number.
fn number_before(note: Cell<'_>, rule: CellRule) -> Option<(f64, bool)> {
    let ends = note.text.char_indices().filter(|(_, c)| c.is_whitespace());
    let ends: Vec<usize> = ends.map(|(at, _)| at).collect();
    ends.iter().rev().find_map(|&end| {
        let text = note.text[..end].trim_end_matches([',', ';', ':', '.', ' ']);
        let cell = Cell {
            text,
            kind: Kind::Text,
            ..note
        };
        let counts = text.bytes().all(|b| b.is_ascii_digit());
        looks_numeric(text)
            .then(|| metres(cell, rule))?
            .map(|m| (m, counts))
    })
}

/// Tells once of those that were passed over, though they begin as readings do.
pub(super) fn tell(room: &mut RawRoom) {
    let header = room.about.header.row;
    let last = room.readings.iter().map(|r| r.raw.place.row).max();
    let rows = header..=last.unwrap_or(header);
    let mut notes = room.about.skipped.iter().filter(|s| {
        s.why == Why::Outside && rows.contains(&s.place.row) && is_numbered_note(&s.text)
    });
    let Some(first) = notes.next() else { return };
    let more = match notes.count() {
        0 => String::new(),
        1 => " So was 1 more.".to_owned(),
        n => format!(" So were {n} more."),
    };
    let notice = Notice::new(
        "numbered-notes",
        Severity::Note,
        first.place.to_string(),
        format!(
            "{} beside the table was passed over as a note, though it begins with a number. If it is a reading, write its number alone under a heading.{more}",
            quoted(&first.text)
        ),
    );
    room.notices.push(notice);
}
