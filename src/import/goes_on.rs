//! Rows that carry on under the headings of a list behind a lone line of words: another room's, or the same room's after a break.

use super::blocks::{Block, Shape};
use super::error::{Fault, Faults, quoted};
use super::headers::Field;
use super::moved::{refuse_between, says_moved};
use super::pages::plain_words;
use super::room::RawRoom;
use crate::geometry::{Point, bounds};
use crate::survey::{Notice, Place, Severity};

/// Words that a line begins with which names a room in so many words.
const ROOM: [&str; 5] = ["room", "rm", "zimmer", "raum", "area"];

/// Holds such rows against those above them. Words that the instrument was moved part the readings of one room. Places that lie over those
/// above are counted from another corner: another room, and told. Places that do not may be either, which nobody can tell: refused.
pub(super) fn hold(blocks: &[Block], rooms: &mut [(usize, RawRoom)], faults: &mut Faults) {
    for (i, block) in blocks.iter().enumerate() {
        let (true, Some((place, text))) = (block.goes_on, &block.title) else {
            continue;
        };
        let said = std::iter::once((place, text))
            .chain(block.passed.iter().map(|s| (&s.place, &s.text)))
            .find(|(_, text)| says_moved(text));
        if let Some((place, text)) = said {
            if !has_set_ups(block) {
                refuse_between(place.clone(), text, faults);
            }
            continue;
        }
        let first = plain_words(text).into_iter().next();
        if names_rooms(block) || first.is_some_and(|w| ROOM.contains(&w.as_str())) {
            continue;
        }
        let above = (0..i).rev().find_map(|k| box_of(rooms, k));
        let (Some(above), Some(below)) = (above, box_of(rooms, i)) else {
            continue;
        };
        if lies_over(above, below) {
            tell_other(rooms, i, place, text);
        } else {
            faults.add(
                Fault::Layout,
                place.clone(),
                format!(
                    "{} alone between the rows of a list, and rows below it that lie beside those above it",
                    quoted(text)
                ),
                "a line that says whether another room begins there",
                format!(
                    "If another room begins here, write its name in a row such as: room, {text}. If it is the same room, take the line out, or move it into a column headed note."
                ),
            );
        }
    }
}

fn has(block: &Block, field: Field) -> bool {
    let Shape::List(headings) = &block.shape else {
        return false;
    };
    headings.iter().any(|h| h.field == field)
}

fn has_set_ups(block: &Block) -> bool {
    has(block, Field::SetUp)
}

fn names_rooms(block: &Block) -> bool {
    has(block, Field::Room)
}

/// The box round the places of a table's readings.
fn box_of(rooms: &[(usize, RawRoom)], block: usize) -> Option<(Point, Point)> {
    // Rooms stand in the order of their tables.
    let from = rooms.partition_point(|(of, _)| *of < block);
    let of = rooms[from..].iter().take_while(|(of, _)| *of == block);
    bounds(of.flat_map(|(_, room)| room.readings.iter().map(|r| r.at)))
}

/// Whether two boxes share more than half of the smaller one, both ways: rooms that are both counted from their own corner do, and rows that
/// go on where others end share a row with them at most.
fn lies_over(above: (Point, Point), below: (Point, Point)) -> bool {
    let shares = |of: fn(Point) -> f64| {
        let (low, high) = (of(above.0).max(of(below.0)), of(above.1).min(of(below.1)));
        let width = |b: (Point, Point)| of(b.1) - of(b.0);
        2.0 * (high - low) > width(above).min(width(below)) + 1e-6
    };
    shares(|p| p.x) && shares(|p| p.y)
}

/// Tells that rows behind a line were taken as another room.
fn tell_other(rooms: &mut [(usize, RawRoom)], block: usize, place: &Place, text: &str) {
    let at = rooms.partition_point(|(of, _)| *of < block);
    if let Some((_, room)) = rooms.get_mut(at).filter(|(of, _)| *of == block) {
        room.notices.push(Notice::new(
            "line-begins-room",
            Severity::Warning,
            place.to_string(),
            format!(
                "{} stands alone above rows without headings of their own that lie over those above it: taken as another room. A row such as room, {text} says so. If it is none, take the line out or move it into a column headed note.",
                quoted(text)
            ),
        ));
    }
}
