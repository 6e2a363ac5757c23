//! A second table over the same headings as one above it that is no second room: how deep to fill, how far off, what was before.

use super::around::is_number;
use super::blocks::{Block, Shape, same_texts};
use super::error::{Fault, Faults, quoted};
use super::headers::tidy;
use super::pages::{plain_words, says_part};
use super::table::Table;

/// Words of a title that say what was worked out of readings, or when they were taken, and name no room.
const QUANTITIES: [&str; 26] = [
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
];

/// Refuses a table over the headings of one above it where the title of either names a quantity and no room: both would be floors, and
/// their fill be summed.
pub(super) fn refuse_quantities(table: &Table, blocks: &[Block], faults: &mut Faults) {
    let quantity = |block: &Block| {
        let title = block.title.as_ref()?;
        let words = tidy(&title.1.to_lowercase());
        words
            .split([' ', '-'])
            .any(|w| QUANTITIES.contains(&w))
            .then(|| title.clone())
    };
    for (i, block) in blocks.iter().enumerate() {
        let Some(above) = blocks[..i].iter().find(|b| same_places(table, b, block)) else {
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

/// Refuses a further table whose title says that it is a part of a room above it, or the same room from another set-up: it would be
/// a floor of its own, and what lies between the two be judged by nothing.
pub(super) fn refuse_parts(blocks: &[Block], faults: &mut Faults) {
    for (i, block) in blocks.iter().enumerate().skip(1) {
        let Some((place, text)) = &block.title else {
            continue;
        };
        let words = plain_words(text);
        let begins_as = blocks[..i]
            .iter()
            .filter_map(|b| b.name.as_deref())
            .find(|above| {
                let above = plain_words(above);
                !above.is_empty() && words.len() > above.len() && words.starts_with(&above)
            });
        if !says_part(text) && begins_as.is_none() {
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

/// Whether two tables have the same headings, and readings at the same places as far as these stand in their headings.
fn same_places(table: &Table, above: &Block, below: &Block) -> bool {
    let (Some(first), Some(second)) = (above.header, below.header) else {
        return false;
    };
    let (first, second) = (table.row(first), table.row(second));
    match (&above.shape, &below.shape) {
        (Shape::Matrix(a), Shape::Matrix(b)) => {
            // The corner may say another unit.
            let heads = a == b
                && first.len().max(second.len()) > *a
                && (a + 1..first.len().max(second.len()))
                    .all(|i| first.cell(i).text == second.cell(i).text);
            let sides = |block: &Block| -> Vec<String> {
                let rows = block.body.clone().map(|i| table.row(i));
                rows.map(|r| r.cell(*a))
                    .filter(|c| !c.is_blank())
                    .map(|c| c.text.to_lowercase())
                    .collect()
            };
            heads && sides(above) == sides(below)
        }
        (Shape::List(_), Shape::List(_)) => {
            let rows = |block: &Block| {
                let rows = block.body.clone().map(|i| table.row(i));
                rows.filter(|r| r.filled().any(|c| is_number(&c))).count()
            };
            same_texts(first, second) && rows(above) == rows(below)
        }
        _ => false,
    }
}
