//! What stands above a table, held against how the table was read: a title that speaks of elevations, or of another unit.

use super::error::{Fault, Faults, quoted};
use super::headers::tidy;
use super::room::RawRoom;
use super::understood::Why;
use crate::survey::{Notice, Place, Severity};
use crate::units::LengthUnit;

/// Words of a title that say plainly that its numbers are heights.
const ELEVATIONS: [&str; 6] = [
    "elevation",
    "elevations",
    "rl",
    "datum",
    "höhen",
    "altitudes",
];
/// Words of a title that may say so.
const HEIGHTS: [&str; 13] = [
    "level", "levels", "height", "heights", "elev", "elevs", "elv", "el", "rls", "hauteurs",
    "cotas", "niveaux", "kote",
];

/// A title, or other words above a table.
struct Above {
    text: String,
    place: Place,
    /// Whether it is the title of the table or the name of its sheet.
    title: bool,
}

/// Holds titles against what was taken: refused where a title calls the numbers elevations and nothing says otherwise, told where
/// it may, and where it names another unit than the table has.
pub(super) fn hold(room: &mut RawRoom, faults: &mut Faults) {
    let above = above(room);
    let words_of = |a: &Above| -> Vec<String> {
        let words = tidy(&a.text.to_lowercase());
        words.split(' ').map(str::to_owned).collect()
    };
    let says = |a: &&Above, list: &[&str]| words_of(a).iter().any(|w| list.contains(&w.as_str()));
    if !room.about.meaning_stated {
        if let Some(a) = above.iter().find(|a| a.title && says(a, &ELEVATIONS)) {
            faults.add(
                Fault::Setting,
                a.place.clone(),
                format!(
                    "{} over numbers of which nothing says what they are",
                    quoted(&a.text)
                ),
                "a table that says whether its numbers are readings or elevations",
                "Write the meaning into the corner cell or the heading, such as elevation mm or reading in, or state --meaning.",
            );
        } else if let Some(a) = above
            .iter()
            .find(|a| says(a, &ELEVATIONS) || (a.title && says(a, &HEIGHTS)))
        {
            room.notices.push(Notice::new(
                "title-says-heights",
                Severity::Warning,
                a.place.to_string(),
                format!(
                    "The numbers were taken as {}, though {} may call them heights. State the meaning if they are.",
                    room.about.meaning.words(),
                    quoted(&a.text)
                ),
            ));
        }
    }
    let own = [room.about.plan_unit, room.about.reading_unit];
    let other = above.iter().find_map(|a| {
        let units = units_of(&words_of(a));
        let fits = units.iter().any(|u| own.contains(&Some(*u)));
        let [first, ..] = units[..] else { return None };
        (!fits && own.iter().any(Option::is_some)).then_some((a, first))
    });
    if let Some((a, unit)) = other {
        room.notices.push(Notice::new(
            "title-says-unit",
            Severity::Warning,
            a.place.to_string(),
            format!(
                "{} speaks of {unit}, and the table is in other units: its own were taken.",
                quoted(&a.text)
            ),
        ));
    }
}

/// The title, the sheet's name, and what was passed over above the table.
fn above(room: &RawRoom) -> Vec<Above> {
    let header = &room.about.header;
    let title = |text: &str| Above {
        text: text.to_owned(),
        place: header.clone(),
        title: true,
    };
    let names = [room.name.as_deref(), header.sheet()];
    let passed = room.about.skipped.iter();
    names
        .into_iter()
        .flatten()
        .map(title)
        .chain(
            passed
                .filter(|s| s.why == Why::Outside && s.place.row < header.row)
                .map(|s| Above {
                    text: s.text.clone(),
                    place: s.place.clone(),
                    title: false,
                }),
        )
        .collect()
}

/// Units that words name: `mm`, `inches`; `in` and `m` only as the last of several, behind `in` or a word for readings.
fn units_of(words: &[String]) -> Vec<LengthUnit> {
    let short = |w: &str| w == "in" || w == "m";
    let behind = |k: usize| {
        let before = k.checked_sub(1).map_or("", |k| words[k].as_str());
        k + 1 == words.len()
            && matches!(
                before,
                "in" | "unit" | "units" | "reading" | "readings" | "values"
            )
    };
    words
        .iter()
        .enumerate()
        .filter(|(k, w)| !short(w) || behind(*k))
        .filter_map(|(_, w)| LengthUnit::from_word(w))
        .collect()
}
