//! What stands on a sheet beside its values and is no part of the table: comments on cells of a workbook, and the rest of very long cells.

use super::error::quoted;
use super::moved::may_say_moved;
use super::room::{RawRoom, moved_notice};
use super::table::Table;
use crate::survey::{Notice, Severity};

/// As many are told with their words.
const TOLD: usize = 3;

/// Tells of cells so long that only their beginnings were looked through.
pub(super) fn tell_long(table: &Table, rooms: &mut [RawRoom]) {
    let (count, Some((row, column))) = table.long_cells else {
        return;
    };
    if let Some(room) = rooms.first_mut() {
        room.notices.push(Notice::new(
            "long-cells",
            Severity::Warning,
            table.place(row, column).to_string(),
            match count {
                1 => "The cell holds so long a text that only its first 1,000 characters were looked through.".to_owned(),
                n => format!("{n} cells, the first here, hold so long a text that only its first 1,000 characters were looked through."),
            },
        ));
    }
}

/// Tells of them once for the sheet; one that may say that the instrument was moved is warned of in its own room.
pub(super) fn tell(table: &Table, rooms: &mut [RawRoom]) {
    let comments = table.signs.comments();
    let Some((&(row, column), _)) = comments.first_key_value() else {
        return;
    };
    let below = |rooms: &[RawRoom], row| rooms.iter().rposition(|r| r.about.header.row <= row);
    for (&(row, column), words) in comments {
        if let Some(room) = below(rooms, row).and_then(|i| rooms.get_mut(i)) {
            let place = table.place(row, column);
            room.remarks.push((place, words.clone()));
        }
    }
    for (&(row, column), words) in comments {
        if !may_say_moved(words) {
            continue;
        }
        let below = below(rooms, row);
        if let Some(room) = rooms.get_mut(below.unwrap_or(0))
            && room.readings.iter().all(|r| r.set_up == 0)
        {
            let place = table.place(row, column).to_string();
            room.notices.push(moved_notice(words, place));
            break;
        }
    }
    let told: Vec<String> = comments
        .iter()
        .take(TOLD)
        .map(|(&(row, column), words)| {
            let cell = table.place(row, column).cell();
            if words.is_empty() {
                return cell;
            }
            format!("{cell} {}", quoted(words))
        })
        .collect();
    let count = comments.len();
    let more = match count.saturating_sub(TOLD) {
        0 => String::new(),
        n => format!(", {n} more"),
    };
    let unread = comments.values().all(String::is_empty);
    if let Some(room) = rooms.first_mut() {
        room.notices.push(Notice::new(
            "cell-comments",
            if unread {
                Severity::Warning
            } else {
                Severity::Note
            },
            table.place(row, column).to_string(),
            format!(
                "{} on cells of this sheet ({}{more}): {}",
                if count == 1 {
                    "1 comment stands".to_owned()
                } else {
                    format!("{count} comments stand")
                },
                told.join(", "),
                if unread {
                    "of such a file they are seen and their words not read. Look at them in the spreadsheet."
                } else {
                    "they were not taken for notes. Write what matters into a column headed note."
                }
            ),
        ));
    }
}
