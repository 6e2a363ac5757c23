//! What stands around a table, held against how the table was read: words that speak of another meaning, another unit, or of parts
//! of one that the numbers count, above, below or beside it.

use super::corner::{are_transposed, may_turn_axes, refuse_transposed, run_as_own};
use super::dotted::{Dotted, dotted, may_be_dotted};
use super::error::{Fault, Faults, quoted};
use super::headers::{Field, tidy};
use super::lies_turned::{says_turned, says_turned_sheet};
use super::meanings::{Said, Sure, said, speaks_of_measuring, speaks_of_the_numbers};
use super::options::{Layout, Meaning};
use super::origins::origin_or_hint;
use super::room::{MeaningBy, RawRoom};
use super::scales::{NUMBERS, counted, how_to_write, is_unclear};
use super::understood::Why;
use super::wall_signs::{Plan, agrees, names_own_axis};
use super::walls::names_a_wall;
use crate::survey::{Notice, Place, Severity};
use crate::units::LengthUnit;
use std::collections::HashSet;

/// Words for the plan, where a line speaks of it and of the numbers.
const PLAN: [&str; 12] = [
    "plan",
    "grid",
    "distance",
    "distances",
    "spacing",
    "x",
    "y",
    "columns",
    "rows",
    "layout",
    "location",
    "locations",
];

/// Words beside a table, or its title.
struct Words {
    text: String,
    place: Place,
    stand: Stand,
}

/// Where words stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stand {
    /// The title of the table, or the name of its sheet.
    Title,
    /// In the corner of a matrix.
    Corner,
    /// Above the table.
    Above,
    /// Below or beside it.
    Around,
    /// In a note of one of its readings, or a comment on a cell.
    Note,
}

impl Words {
    fn list(&self) -> Vec<String> {
        let words = tidy(&self.text.to_lowercase());
        words.split(' ').map(str::to_owned).collect()
    }

    fn says(&self, list: &[&str]) -> bool {
        self.list().iter().any(|w| list.contains(&w.as_str()))
    }

    fn said(&self) -> Said {
        said(
            &self.text,
            matches!(self.stand, Stand::Title | Stand::Corner),
        )
    }

    /// Where they stand to the numbers.
    const fn over(&self) -> &'static str {
        match self.stand {
            Stand::Title | Stand::Above => "over",
            Stand::Corner => "in the corner of",
            Stand::Around => "beside or below",
            Stand::Note => "in a note beside",
        }
    }
}

/// Holds the words around a table against how its numbers were taken: their meaning, their unit, and what they count.
pub(super) fn hold(room: &mut RawRoom, faults: &mut Faults) {
    let mut all = around(room);
    let about = all.len();
    all.extend(noted(room));
    // A note beside one reading is of its place, but where it speaks of the sheet or of all numbers.
    let words = &all[..about];
    hold_axes(room, words, faults);
    hold_turned(room, &all);
    hold_meaning(room, &all, faults);
    hold_points(room, words, faults);
    hold_scale(room, words, faults);
    hold_unit(room, words);
}

/// Tells words by which the sheet or its plan lies otherwise than it was taken: mirrored, turned, upside down, seen from below.
fn hold_turned(room: &mut RawRoom, words: &[Words]) {
    const CODES: [&str; 2] = ["axes-not-read", "origin-not-read"];
    let new = |a: &&Words| {
        let place = a.place.to_string();
        let known = |n: &Notice| CODES.contains(&&*n.code) && n.place == place;
        !room.notices.iter().any(known)
    };
    let says = |a: &&Words| match a.stand {
        Stand::Note => says_turned_sheet(&a.text),
        _ => says_turned(&a.text),
    };
    let told = words.iter().filter(says).find(new);
    let Some(a) = told else { return };
    let (code, remedy) = match room.about.layout {
        Layout::Matrix => (
            CODES[0],
            "If it lies otherwise, state its first row and the way x runs; if it is turned by a right angle, paste it transposed.",
        ),
        _ => (
            CODES[1],
            "If x or y count from other walls, head the columns so, such as x from right wall (ft), y from far wall (ft).",
        ),
    };
    room.notices.push(Notice::new(
        code,
        Severity::Warning,
        a.place.to_string(),
        format!(
            "{} may say that the plan lies otherwise than the numbers were taken, and was not read. {} {remedy}",
            quoted(&a.text),
            room.about.orientation
        ),
    ));
}

/// Refuses words beside a matrix by which its axes are exchanged (its corner is held to that where it is read), and tells of those
/// that may say from which wall they count or which way they run.
fn hold_axes(room: &mut RawRoom, words: &[Words], faults: &mut Faults) {
    if room.about.layout != Layout::Matrix {
        return;
    }
    let plan = Plan::of(room);
    for a in words.iter().filter(|a| !run_as_own(&a.text)) {
        let sign = (a.stand != Stand::Corner)
            .then(|| {
                agrees(
                    (room, plan.as_ref()),
                    &a.text,
                    &a.place,
                    a.stand == Stand::Title,
                )
            })
            .flatten();
        if sign == Some(true) || names_own_axis(room, plan.as_ref(), &a.text) {
            continue;
        }
        if a.stand != Stand::Corner && are_transposed(&a.text) {
            refuse_transposed(a.place.clone(), &a.text, faults);
        } else if may_turn_axes(&a.text)
            || origin_or_hint(&a.text).is_some()
            || sign == Some(false)
            || (a.stand == Stand::Corner && names_a_wall(&a.text))
        {
            room.notices.push(Notice::new(
                "axes-not-read",
                Severity::Warning,
                a.place.to_string(),
                format!(
                    "{} may say where this table's distances count from, or which way they run, and was not read. {} Turn it by its first row and the way x runs, or paste it transposed, if it lies otherwise.",
                    quoted(&a.text),
                    room.about.orientation
                ),
            ));
        }
    }
}

/// Tells of words that name another unit than the table has.
fn hold_unit(room: &mut RawRoom, words: &[Words]) {
    let other = words
        .iter()
        .filter(|a| a.stand != Stand::Corner)
        .find_map(|a| {
            let list = a.list();
            let units = units_of(&list);
            let [first, ..] = units[..] else { return None };
            // Around the table stand tolerances and amounts as well: only what speaks of the numbers, or a unit alone, is of the table.
            let of_row = || {
                words
                    .iter()
                    .filter(|b| b.stand != Stand::Title && b.place.row == a.place.row)
            };
            let alone = list.len() == 1 && of_row().count() == 1;
            let of_numbers = a.says(&NUMBERS);
            if a.stand == Stand::Around && !alone && !of_numbers && !a.says(&["unit", "units"]) {
                return None;
            }
            // `Readings in feet` over a plan in feet says nothing of the plan.
            let (plan, reading) = (room.about.plan_unit, room.about.reading_unit);
            let own = match (of_numbers, a.says(&PLAN)) {
                (true, false) => [reading, None],
                _ => [plan, reading],
            };
            let both = own.contains(&Some(LengthUnit::FeetInches));
            let parts = [LengthUnit::Foot, LengthUnit::Inch];
            let fits = units
                .iter()
                .any(|u| own.contains(&Some(*u)) || (both && parts.contains(u)));
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

/// Refuses words that say what the numbers count, as `Readings in 1/16"` does, over numbers that were taken as whole units.
fn hold_scale(room: &RawRoom, words: &[Words], faults: &mut Faults) {
    let whole = |text: &str| text.trim().parse::<f64>().is_ok_and(|n| n.fract() == 0.0);
    // Who writes 31 3/16 counts nothing, and read to 1/16.
    if room.scale.is_some() || !room.readings.iter().all(|r| whole(&r.raw.text)) {
        return;
    }
    // A legend below the table has parts of its own: only what speaks of the numbers is of them.
    let spoken = |a: &Words| match a.stand {
        Stand::Around if !a.says(&NUMBERS) => None,
        Stand::Corner => is_unclear(&a.text).then(|| "a part of the unit".to_owned()),
        _ => counted(&a.text),
    };
    let headings = room.about.columns.iter();
    let heading = headings
        .filter(|c| matches!(c.field, Field::Reading(_)) && is_unclear(&c.heading))
        .map(|c| {
            (
                room.about.header.clone(),
                c.heading.clone(),
                "over",
                "a part of the unit".to_owned(),
            )
        });
    let around = words
        .iter()
        .filter_map(|a| Some((a.place.clone(), a.text.clone(), a.over(), spoken(a)?)));
    if let Some((place, text, over, unit)) = around.chain(heading).next() {
        faults.add(
            Fault::Setting,
            place,
            format!(
                "{} {over} whole numbers, which would then count {unit}",
                quoted(&text)
            ),
            "numbers in the unit of the table, or their scale with them",
            how_to_write(&text),
        );
    }
}

/// Refuses words by which the figures behind a point are no decimals: the numbers were taken as decimals of their unit.
fn hold_points(room: &RawRoom, words: &[Words], faults: &mut Faults) {
    let texts = || room.readings.iter().map(|r| &*r.raw.text);
    let pointed = texts().any(|text| text.contains('.'));
    let heads = room.about.columns.iter();
    let heads = heads.map(|c| (room.about.header.clone(), c.heading.as_str()));
    let around = words.iter().map(|w| (w.place.clone(), w.text.as_str()));
    let told = around.chain(heads).find_map(|(place, text)| {
        let found = match dotted(text) {
            // Of the plan's distances it may be said as well: those of a matrix have their headings, which are not looked at here.
            Some(Dotted::Parts) => pointed.then_some(Dotted::Parts),
            Some(Dotted::Inches) => Some(Dotted::Inches),
            None => (pointed && may_be_dotted(text, texts())).then_some(Dotted::Parts),
        };
        Some((place, text, found?))
    });
    let Some((place, text, counted)) = told else {
        return;
    };
    faults.add(
        Fault::Setting,
        place,
        format!(
            "{}, by which the figures behind a point may count {}",
            quoted(text),
            match counted {
                Dotted::Parts => "parts of an inch",
                Dotted::Inches => "inches",
            }
        ),
        "decimals of the unit, or fractions written out",
        match counted {
            Dotted::Parts => "Write the readings as 39 7/16 where 39.07 stands, and take the words out. If they are decimals of an inch, take the words out.",
            Dotted::Inches => "Write the distances as 3' 6\" where 3.06 stands, and take the words out. If they are decimals of a foot, take the words out.",
        },
    );
}

/// Holds the words around a table against what its numbers were taken for: what contradicts it is refused where it is clear, and told
/// where it is not.
fn hold_meaning(room: &mut RawRoom, words: &[Words], faults: &mut Faults) {
    if room.meaning_by == MeaningBy::Statement {
        return;
    }
    let taken = room.about.meaning;
    let silent = !room.about.meaning_stated;
    let in_words = room.meaning_by == MeaningBy::Words;
    // Down and up are both larger where the floor is lower.
    let against = |said: Said| match taken {
        Meaning::Elevation => said.down.max(said.up),
        Meaning::Down | Meaning::Up => said.elevation,
    };
    let refused = |w: &&Words| match against(w.said()) {
        Some(Sure::Clear) => true,
        Some(Sure::Spoken) => !in_words,
        Some(Sure::Named) => silent,
        _ => false,
    };
    if let Some(a) = words.iter().find(refused) {
        refuse_meaning(room, a, faults);
        return;
    }
    let may_be = |w: &&Words| match against(w.said()) {
        Some(Sure::Spoken) => true,
        Some(Sure::Named | Sure::Loose) => !in_words,
        Some(Sure::Faint) => silent,
        _ => {
            taken == Meaning::Elevation
                && !in_words
                && w.stand != Stand::Note
                && speaks_of_measuring(&w.text)
        }
    };
    if let Some(a) = words.iter().find(may_be) {
        let heights = taken != Meaning::Elevation;
        room.notices.push(Notice::new(
            if heights { "title-says-heights" } else { "title-says-down" },
            Severity::Warning,
            a.place.to_string(),
            format!(
                "The numbers were taken as {}, though {} may call them {}. State the meaning if they are.",
                taken.words(),
                quoted(&a.text),
                if heights { "heights" } else { "distances from a line" }
            ),
        ));
        return;
    }
    let other_way = |w: &&Words| match taken {
        Meaning::Down => w.said().up >= Some(Sure::Loose),
        Meaning::Up => w.said().down >= Some(Sure::Spoken),
        Meaning::Elevation => false,
    };
    if let Some(a) = words.iter().filter(|_| !in_words).find(other_way) {
        let (code, way, flag) = match taken {
            Meaning::Up => ("title-says-down", "down from it", "down"),
            _ => ("title-says-up", "up to it", "up"),
        };
        room.notices.push(Notice::new(
            code,
            Severity::Warning,
            a.place.to_string(),
            format!(
                "The numbers were taken as {}, though {} says that they run {way}. Larger is lower either way: state --meaning {flag} to have it so on paper.",
                taken.words(),
                quoted(&a.text)
            ),
        ));
        return;
    }
    // What nothing in the table says, a line about its numbers does: `Measured down from the laser`.
    let agrees = |w: &&Words| taken == Meaning::Down && w.said().down >= Some(Sure::Spoken);
    let mut about = words.iter().filter(|w| w.stand != Stand::Note);
    if silent && about.any(|w| agrees(&w)) {
        room.about.meaning_stated = true;
    }
}

/// Refuses words that say another meaning than the numbers were taken for.
fn refuse_meaning(room: &RawRoom, a: &Words, faults: &mut Faults) {
    let taken = room.about.meaning;
    let of_numbers = match (room.about.meaning_stated, room.meaning_by, taken) {
        (false, ..) => "of which nothing says what they are".to_owned(),
        (true, MeaningBy::Loosely, Meaning::Down) => {
            "of which nothing says which way they run".to_owned()
        }
        _ => format!("headed as {}", taken.words()),
    };
    let remedy = match taken {
        Meaning::Elevation => {
            "If larger is lower, head them down or up, such as down_in, or state --meaning down. If they are heights, take the words out, or state --meaning elevation."
        }
        Meaning::Down | Meaning::Up => {
            "If they are heights, write so into the corner cell or the heading, such as elevation mm, or state --meaning elevation. If larger is lower, take the words out, or state --meaning down."
        }
    };
    faults.add(
        Fault::Setting,
        a.place.clone(),
        format!("{} {} numbers {of_numbers}", quoted(&a.text), a.over()),
        "a table that says whether its numbers are readings or elevations, and words that agree with it",
        remedy,
    );
}

/// The title, the sheet's name, and what was passed over above, below and beside the table.
fn around(room: &RawRoom) -> Vec<Words> {
    let header = &room.about.header;
    let title = |text: &str| Words {
        text: text.to_owned(),
        place: header.clone(),
        stand: Stand::Title,
    };
    // A file's name says nothing of the numbers in it.
    let named = room.name.as_deref().filter(|_| !room.named_outside);
    let names = [named, header.sheet()];
    let passed = room.about.skipped.iter();
    let corner = room.corner.iter().map(|(place, text)| Words {
        text: text.clone(),
        place: place.clone(),
        stand: Stand::Corner,
    });
    names
        .into_iter()
        .flatten()
        .map(title)
        .chain(corner)
        .chain(
            passed
                .filter(|s| matches!(s.why, Why::Outside | Why::NoRow | Why::Summary))
                .map(|s| Words {
                    text: s.text.clone(),
                    place: s.place.clone(),
                    stand: if s.place.row < header.row {
                        Stand::Above
                    } else {
                        Stand::Around
                    },
                }),
        )
        .collect()
}

/// Notes beside readings and comments on cells that speak of the sheet or of all its numbers, each text once.
fn noted(room: &RawRoom) -> Vec<Words> {
    let of_readings = room.readings.iter();
    let of_readings = of_readings.filter_map(|r| Some((r.note.as_deref()?, &r.raw.place)));
    let others = room.remarks.iter().map(|(place, text)| (&**text, place));
    let mut known = HashSet::new();
    of_readings
        .chain(others)
        .filter(|(text, _)| known.insert(*text))
        .filter(|(text, _)| speaks_of_the_numbers(text) || says_turned_sheet(text))
        .map(|(text, place)| Words {
            text: text.to_owned(),
            place: place.clone(),
            stand: Stand::Note,
        })
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
        // `Limit 3 mm`: an amount of its own.
        .filter(|(k, _)| {
            k.checked_sub(1)
                .is_none_or(|k| !words[k].starts_with(|c: char| c.is_ascii_digit()))
        })
        .filter_map(|(_, w)| LengthUnit::from_word(w))
        .collect()
}
