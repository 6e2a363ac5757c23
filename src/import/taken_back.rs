//! Remarks that take back the reading they stand beside, or doubt it: `do not use`, `should be 41 1/8`, `rod upside down`. A remark changes no
//! number, so the reading counts; it is told, and counts as a suspected one where a word hangs on it.

mod vocabulary;
mod words;

use super::error::quoted;
use super::room::RawRoom;
use super::understood::Why;
use crate::survey::findings::TAKEN_BACK;
use crate::survey::{Notice, Reading, Severity};
use std::collections::{HashMap, HashSet};
use words::{takes_back, takes_one_back};

/// As many are told one by one.
const MOST_TOLD: usize = 30;

const REMEDY: &str = "It counts as it stands: a remark changes no number. Write x in its place if it is not to count, or the right number if it was read again; if it is right, take the remark out.";

/// Tells of the readings whose notes, comments or rows say that they are not to be used, once for each remark.
pub(super) fn tell(room: &mut RawRoom) {
    let mut told: Vec<Notice> = Vec::new();
    let notice =
        |place: String, text: String| Notice::new(TAKEN_BACK, Severity::Warning, place, text);
    let of_reading = |r: &Reading, words: &str| {
        let text = format!(
            "Beside the reading {} at {} stands {}, which takes it back or doubts it. {REMEDY}",
            quoted(&r.raw.text),
            r.label,
            quoted(words)
        );
        notice(r.raw.place.to_string(), text)
    };
    for reading in &room.readings {
        let note = reading.note.as_deref().filter(|n| takes_back(n));
        told.extend(note.map(|note| of_reading(reading, note)));
    }
    let skipped = room.about.skipped.iter();
    let outside = skipped.filter(|s| matches!(s.why, Why::Outside | Why::NoRow));
    let outside = outside.map(|s| (&s.place, s.text.as_str(), s.why == Why::Outside));
    let remarks = room
        .remarks
        .iter()
        .map(|(place, text)| (place, text.as_str(), false));
    let around: Vec<_> = outside
        .chain(remarks)
        .filter(|(_, t, _)| takes_back(t))
        .collect();
    if !around.is_empty() {
        let cells: HashMap<(u32, u32), &Reading> = (room.readings.iter())
            .map(|r| ((r.raw.place.row, r.raw.place.column), r))
            .collect();
        let rows: HashSet<u32> = cells.keys().map(|(row, _)| *row).collect();
        let (first, last) = (rows.iter().min(), rows.iter().max());
        let within = |row: &u32| first <= Some(row) && Some(row) <= last;
        for (place, words, outside) in around {
            // The remark on a cell or a row that holds no reading speaks of none.
            if let Some(reading) = cells.get(&(place.row, place.column)) {
                told.push(of_reading(reading, words));
            } else if rows.contains(&place.row)
                || (outside && !within(&place.row) && takes_one_back(words))
            {
                let of = match rows.contains(&place.row) {
                    true => "the readings of its row",
                    false => "the table",
                };
                let text = format!(
                    "{} stands beside {of} and takes a reading back or doubts it. What it speaks of counts as it stands: a remark changes no number. Write x in place of what is not to count, or the right number if it was read again; if all is right, take the remark out.",
                    quoted(words)
                );
                told.push(notice(place.to_string(), text));
            }
        }
    }
    let more = told.len().saturating_sub(MOST_TOLD);
    if more > 0 {
        let text = format!(
            "{more} more remarks, the first here, take readings back or doubt them. {REMEDY}"
        );
        let place = told[MOST_TOLD].place.clone();
        told.truncate(MOST_TOLD);
        told.push(notice(place, text));
    }
    room.notices.extend(told);
}
