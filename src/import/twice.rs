//! A second table over the same headings as one above it that is no second room: how deep to fill, how far off, what was before.

use super::around::is_number;
use super::blocks::{Block, Shape};
use super::error::{Fault, Faults, quoted};
use super::headers::{Field, tidy};
use super::heading::Heading;
use super::pages::{plain_words, says_part};
use super::room::RawRoom;
use super::table::Table;
use crate::survey::{Notice, Place, Reading, Severity};
use std::collections::{HashMap, HashSet};

/// Words of a title that say what was worked out of readings, or when they were taken, and name no room.
const QUANTITIES: [&str; 37] = [
    "fill",
    "fills",
    "depth",
    "depths",
    "thickness",
    "thicknesses",
    "deviation",
    "deviations",
    "deviance",
    "difference",
    "differences",
    "diff",
    "delta",
    "offset",
    "offsets",
    "correction",
    "corrections",
    "change",
    "changes",
    "cut",
    "grind",
    "grinding",
    "before",
    "after",
    "abweichung",
    "abweichungen",
    "moisture",
    "humidity",
    "temperature",
    "temperatures",
    "shim",
    "shims",
    "void",
    "superseded",
    "obsolete",
    "cancelled",
    "discarded",
];
/// Words of a title that name places or figures within a room, whatever its table looks like.
const NO_ROOMS: [&str; 6] = [
    "threshold",
    "thresholds",
    "benchmark",
    "benchmarks",
    "summary",
    "statistics",
];
/// Rooms that are held against one another, and readings of each: no sheet of a floor has more, and a scan is not looked through.
const MOST_ROOMS: usize = 200;
const MOST_READINGS: usize = 50_000;

/// Refuses a table over the headings of one above it where the title of either names a quantity and no room: both would be floors, and
/// their fill be summed.
pub(super) fn refuse_quantities(table: &Table, blocks: &[Block], faults: &mut Faults) {
    if blocks.len() < 2 {
        return;
    }
    let quantity = |block: &Block| {
        let title = block.title.as_ref()?;
        let words = tidy(&title.1.to_lowercase());
        words
            .split([' ', '-'])
            .any(|w| QUANTITIES.contains(&w))
            .then(|| title.clone())
    };
    let mut first_of: HashMap<Places, usize> = HashMap::new();
    for (i, block) in blocks.iter().enumerate() {
        let above = Places::of(table, block).and_then(|places| {
            let first = *first_of.entry(places).or_insert(i);
            (first < i).then(|| &blocks[first])
        });
        if i > 0
            && let Some((place, text)) = &block.title
            && names_no_room(text)
        {
            faults.add(
                Fault::Layout,
                place.clone(),
                format!("{} over a further table", quoted(text)),
                "one table of readings for each room, under its name",
                "If these are no readings of another floor, move them to a file of their own or delete them. If it is the name of a room, write it in a row such as: room, Threshold store.",
            );
            continue;
        }
        let Some(above) = above else {
            continue;
        };
        // The one that is asked about is the one that says so, the lower of two.
        if let Some((place, text)) = quantity(block).or_else(|| quantity(above)) {
            faults.add(
                Fault::Layout,
                place,
                format!(
                    "{} over one of two tables with the same headings",
                    quoted(&text)
                ),
                "one table of readings for each floor, under the name of its room",
                "If these are figures worked out of the readings, or the same floor at another time, move them to a file of their own or delete them. If it is the name of a room, write it in a row such as: room, Fill store.",
            );
        }
    }
}

fn names_no_room(title: &str) -> bool {
    let mut words = plain_words(title).into_iter();
    title.contains(['%', '\u{b0}']) || words.any(|w| NO_ROOMS.contains(&w.as_str()))
}

/// Tells of a table under a title of its own that has the headings and the places of one above it.
pub(super) fn tell_alike(table: &Table, blocks: &[Block], rooms: &mut [(usize, RawRoom)]) {
    if blocks.len() < 2 {
        return;
    }
    let mut first_of: HashMap<(Places, Vec<String>), usize> = HashMap::new();
    for (i, block) in blocks.iter().enumerate() {
        let Some(places) = Places::of(table, block) else {
            continue;
        };
        let first = *first_of.entry((places, spots(table, block))).or_insert(i);
        if first == i || block.title.is_none() {
            continue;
        }
        let above = &blocks[first];
        let number = above.header.map_or(0, |at| table.row(at).number);
        // Rooms stand in the order of their tables.
        let at = rooms.partition_point(|(of, _)| *of < i);
        if let Some((_, room)) = rooms.get_mut(at).filter(|(of, _)| *of == i) {
            room.notices.push(Notice::new(
                "tables-alike",
                Severity::Warning,
                room.about.header.to_string(),
                format!("This table has the headings and the places of the one at row {number}: both were taken as rooms of their own, and their fill is summed. If it holds other figures of the same room, move it to a file of its own. If it is another room, a row such as room, Pantry above it says so."),
            ));
        }
    }
}

/// Refuses a table most of whose readings stand in another as well, at the same places or under the same names: what was picked
/// out of a room is no second one.
pub(super) fn refuse_repeated(rooms: &[(usize, RawRoom)], faults: &mut Faults) {
    let several = (2..=MOST_ROOMS).contains(&rooms.len());
    if !several || rooms.iter().any(|r| r.1.readings.len() > MOST_READINGS) {
        return;
    }
    let held: Vec<Held> = rooms.iter().map(|(_, room)| Held::of(room)).collect();
    for (i, (of, room)) in rooms.iter().enumerate() {
        let other = (0..i).find(|&k| {
            let few = room.readings.len() <= rooms[k].1.readings.len();
            let (small, large) = if few { (i, k) } else { (k, i) };
            rooms[k].0 != *of && held[large].repeats(&rooms[small].1)
        });
        if let Some(k) = other {
            // Two tables under one row of headings are told by their own first rows.
            let above = &rooms[k].1;
            let same = room.about.header.row == above.about.header.row;
            let of = |room: &RawRoom| match room.readings.first() {
                Some(first) if same => Place {
                    column: 0,
                    ..first.raw.place.clone()
                },
                _ => room.about.header.clone(),
            };
            faults.add(
                Fault::Layout,
                of(room),
                format!(
                    "a table with the same readings at the same places as the one at {}",
                    of(above)
                ),
                "each reading once, in the table of its room",
                "If these were picked out of the other table, or copied, move them to a file of their own or delete them. If they are another room's, look at its readings: no two floors read alike.",
            );
        }
    }
}

/// A height to a tenth of a millimetre.
fn height(reading: &Reading) -> i64 {
    (reading.elevation.m() * 10_000.0).round() as i64
}

/// A place to a millimetre.
fn spot(reading: &Reading) -> (i64, i64) {
    let mm = |m: f64| (m * 1000.0).round() as i64;
    (mm(reading.at.x), mm(reading.at.y))
}

/// The readings of a room, to be looked up.
struct Held<'a> {
    by_spot: HashSet<((i64, i64), i64)>,
    by_name: HashSet<(&'a str, i64)>,
}

impl<'a> Held<'a> {
    fn of(room: &'a RawRoom) -> Self {
        let readings = room.readings.iter();
        let named = readings.clone().filter(|r| !r.label.is_empty());
        Self {
            by_spot: readings.map(|r| (spot(r), height(r))).collect(),
            by_name: named.map(|r| (r.label.as_str(), height(r))).collect(),
        }
    }

    /// Whether most readings of another room are among these. Two level floors read alike anywhere: only several heights tell.
    fn repeats(&self, other: &RawRoom) -> bool {
        const HEIGHTS: usize = 3;
        let same = |r: &&Reading| {
            let by_name = self.by_name.contains(&(r.label.as_str(), height(r)));
            by_name || self.by_spot.contains(&(spot(r), height(r)))
        };
        let found: Vec<&Reading> = other.readings.iter().filter(same).collect();
        let heights: HashSet<i64> = found.iter().map(|r| height(r)).collect();
        2 * found.len() > other.readings.len() && heights.len() >= HEIGHTS
    }
}

/// Refuses a further table whose title says that it is a part of a room above it, or the same room from another set-up: it would be
/// a floor of its own, and what lies between the two be judged by nothing.
pub(super) fn refuse_parts(blocks: &[Block], faults: &mut Faults) {
    let titles: Vec<Vec<String>> = blocks.iter().map(|b| plain_words(text_of(b))).collect();
    let mut first_named: HashMap<Vec<String>, usize> = HashMap::new();
    let mut all_named = true;
    for (i, block) in blocks.iter().enumerate() {
        // What stands above this one.
        if let Some(above) = i.checked_sub(1).map(|k| &blocks[k]) {
            all_named &= above.title.is_some();
            let name = above.name.as_deref().map(plain_words);
            if let Some(name) = name.filter(|words| !words.is_empty()) {
                first_named.entry(name).or_insert(i - 1);
            }
        }
        let Some((place, text)) = block.title.as_ref().filter(|_| i > 0) else {
            continue;
        };
        // With what stands beside it: `Kitchen | cont.`.
        let own = &titles[i];
        let whole = block.name.as_ref().filter(|n| n.starts_with(text.as_str()));
        let text = whole.unwrap_or(text);
        let words = plain_words(text);
        let begins_as = (1..words.len())
            .filter_map(|n| first_named.get(&words[..n]).copied())
            .min()
            .and_then(|k| blocks[k].name.as_deref());
        // `Hall | Laser 2` below `Kitchen | Laser 2` is another room.
        let of_above = |above: usize| {
            let title = blocks[above].title.as_ref().map(|_| &titles[above]);
            title.is_some_and(|title| title.starts_with(own) || own.starts_with(title))
        };
        let other_room = all_named
            && whole.is_some_and(|whole| {
                whole.len() > text_of(block).len()
                    && !says_part(text_of(block))
                    && !(0..i).any(of_above)
            });
        if other_room || (!says_part(text) && begins_as.is_none()) {
            continue;
        }
        faults.add(
            Fault::Layout,
            place.clone(),
            match begins_as {
                Some(above) => format!("{} over a further table, below {}", quoted(text), quoted(above)),
                None => format!("{} over a further table", quoted(text)),
            },
            "one table under one title for a room read from one line, and a title of its own for each other room",
            "If it is more of the same room from the same line, put its rows into the table above and delete this title. If the laser was moved, name the set-up of each reading in a column set-up, or give each set-up a file of its own. If it is another room, write its name in a row such as: room, Pantry.",
        );
    }
}

/// The title of a table, without what stands beside it.
fn text_of(block: &Block) -> &str {
    block.title.as_ref().map_or("", |(_, text)| text)
}

/// The places of a list's readings as they are written; those of a matrix stand in its headings.
fn spots(table: &Table, block: &Block) -> Vec<String> {
    let Shape::List(headings) = &block.shape else {
        return Vec::new();
    };
    let placed = |h: &Heading| matches!(h.field, Field::X | Field::Y | Field::Point);
    let columns: Vec<usize> = (0..headings.len())
        .filter(|&i| placed(&headings[i]))
        .collect();
    let rows = block.body.clone().map(|i| table.row(i));
    rows.filter(|r| r.filled().any(|c| is_number(&c)))
        .flat_map(|r| columns.iter().map(move |&i| r.cell(i).text.to_lowercase()))
        .collect()
}

/// What two tables share that have the same headings, and readings at the same places as far as these stand in their headings.
#[derive(PartialEq, Eq, Hash)]
enum Places {
    /// The column of the row headings, the headings of columns, and those of rows. The corner may say another unit.
    Matrix(usize, Vec<String>, Vec<String>),
    /// The headings, and how many rows there are.
    List(Vec<String>, usize),
}

impl Places {
    /// `None` for a table without headings.
    fn of(table: &Table, block: &Block) -> Option<Self> {
        let header = table.row(block.header?);
        let rows = block.body.clone().map(|i| table.row(i));
        Some(match &block.shape {
            Shape::Matrix(corner) => {
                let mut heads: Vec<String> = (corner + 1..header.len())
                    .map(|i| header.cell(i).text.to_owned())
                    .collect();
                while heads.last().is_some_and(String::is_empty) {
                    heads.pop();
                }
                let sides = rows.map(|r| r.cell(*corner)).filter(|c| !c.is_blank());
                let sides = sides.map(|c| c.text.to_lowercase()).collect();
                Self::Matrix(*corner, heads, sides)
            }
            Shape::List(_) => Self::List(
                header.cells().map(|c| c.text.to_owned()).collect(),
                rows.filter(|r| r.filled().any(|c| is_number(&c))).count(),
            ),
        })
    }
}
