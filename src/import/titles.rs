//! What stands around a table, held against how the table was read: words that speak of elevations, or of another unit, above,
//! below or beside it.

use super::error::{Fault, Faults, quoted};
use super::headers::tidy;
use super::room::RawRoom;
use super::understood::Why;
use crate::survey::{Notice, Place, Severity};
use crate::units::LengthUnit;

/// Words that say plainly that numbers are heights.
const ELEVATIONS: [&str; 8] = [
    "elevation",
    "elevations",
    "datum",
    "h\u{f6}hen",
    "h\u{f6}henplan",
    "h\u{f6}henlage",
    "altitudes",
    "kotenplan",
];
/// Words that may say so.
const HEIGHTS: [&str; 17] = [
    "level",
    "levels",
    "height",
    "heights",
    "elev",
    "elevs",
    "elv",
    "el",
    "rl",
    "rls",
    "hauteurs",
    "cotas",
    "niveaux",
    "kote",
    "nivellement",
    "topo",
    "topography",
];
/// The same of several: what is said of many points at once is said of the numbers, and not of a laser or a storey.
const SEVERAL: [&str; 5] = ["levels", "heights", "elevs", "rls", "hauteurs"];
/// What heights are above.
const REFERENCES: [&str; 14] = [
    "bm",
    "tbm",
    "benchmark",
    "bench",
    "datum",
    "slab",
    "deck",
    "zero",
    "msl",
    "sea",
    "ffl",
    "ssl",
    "subfloor",
    "mark",
];
/// What else stands above such a mark, and is not read.
const INSTRUMENTS: [&str; 7] = [
    "laser",
    "instrument",
    "level",
    "tripod",
    "line",
    "beam",
    "hi",
];
/// Words that stand beside `RL`, reduced level, where it is no name.
const BESIDE_RL: [&str; 22] = [
    "rl", "rls", "level", "levels", "reduced", "floor", "survey", "spot", "as-built", "mm", "cm",
    "m", "ft", "in", "the", "of", "readings", "all", "are", "is", "as", "taken",
];
/// What words in a sentence may call its numbers.
const NUMBERS: [&str; 14] = [
    "reading",
    "readings",
    "value",
    "values",
    "number",
    "numbers",
    "figure",
    "figures",
    "measurement",
    "measurements",
    "dimension",
    "dimensions",
    "all",
    "cells",
];
/// A number that is large, and one that is small; and a floor that is high, and one that is low.
const LARGE: [&str; 7] = [
    "larger", "large", "bigger", "big", "greater", "higher", "high",
];
const SMALL: [&str; 6] = ["smaller", "small", "less", "lesser", "lower", "low"];
const HIGH: [&str; 6] = ["higher", "high", "highest", "up", "raised", "hump"];
const LOW: [&str; 6] = ["lower", "low", "lowest", "down", "deeper", "dip"];

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
    /// Above the table.
    Above,
    /// Below or beside it.
    Around,
}

impl Words {
    fn list(&self) -> Vec<String> {
        let words = tidy(&self.text.to_lowercase());
        words.split(' ').map(str::to_owned).collect()
    }

    fn says(&self, list: &[&str]) -> bool {
        self.list().iter().any(|w| list.contains(&w.as_str()))
    }

    /// Whether they are about reduced levels: `RL Smith` is somebody's name.
    fn are_reduced(&self) -> bool {
        let list = self.list();
        let pair = |w: &[String]| w[0] == "reduced" && (w[1] == "level" || w[1] == "levels");
        let named = self.says(&["rl", "rls"]) || list.windows(2).any(pair);
        let plain =
            |w: &String| BESIDE_RL.contains(&w.as_str()) || w.chars().all(|c| c.is_ascii_digit());
        named && (list.iter().all(plain) || self.says(&NUMBERS))
    }

    /// Whether they call the numbers heights: a title that names them, or a sentence about them.
    fn are_elevations(&self) -> bool {
        let several = ["elevations", "h\u{f6}hen", "altitudes"];
        let sentence = self.says(&several) || (self.says(&NUMBERS) && self.says(&ELEVATIONS));
        // One reduced level is that of a mark or of the line; several, or words for the numbers, are the table's.
        let of_table = self.stand == Stand::Title
            || self.says(&NUMBERS)
            || self.says(&["levels", "rls"])
            || self.list() == ["rl"];
        sentence
            || larger_is_higher(&self.text)
            || (of_table && self.are_reduced())
            || (self.stand == Stand::Title && self.says(&ELEVATIONS))
    }

    /// Whether they may: a word for heights in a title, for elevations anywhere, or for heights above a mark.
    fn may_be_elevations(&self) -> bool {
        let above =
            self.says(&["above", "over", "from", "rel", "relative"]) && self.says(&REFERENCES);
        let of_numbers = self.says(&SEVERAL) || self.says(&NUMBERS) || self.list().len() <= 4;
        let heights = self.says(&HEIGHTS) && above && of_numbers && !self.says(&INSTRUMENTS);
        self.says(&ELEVATIONS) || heights || (self.stand == Stand::Title && self.says(&HEIGHTS))
    }

    /// Whether they are a sentence about what the numbers are, and no title that only names elevations.
    fn are_sentence(&self) -> bool {
        larger_is_higher(&self.text)
            || (self.says(&NUMBERS) && (self.says(&ELEVATIONS) || self.are_reduced()))
    }
}

/// Holds the words around a table against what was taken: refused where they call the numbers elevations and nothing says otherwise,
/// told where they may, and where they name another unit than the table has.
pub(super) fn hold(room: &mut RawRoom, faults: &mut Faults) {
    let words = around(room);
    hold_meaning(room, &words, faults);
    let own = [room.about.plan_unit, room.about.reading_unit];
    let other = words.iter().find_map(|a| {
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
        if a.stand == Stand::Around && !alone && !a.says(&NUMBERS) && !a.says(&["unit", "units"]) {
            return None;
        }
        let fits = units.iter().any(|u| own.contains(&Some(*u)));
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

/// Holds the words around a table against what its numbers were taken for.
fn hold_meaning(room: &mut RawRoom, words: &[Words], faults: &mut Faults) {
    // A heading such as `reading` says that something was read, and not which way it runs.
    let silent = !room.about.meaning_stated;
    if !silent && room.meaning_said {
        return;
    }
    let refused = words.iter().find(|w| {
        if silent {
            w.are_elevations()
        } else {
            w.are_sentence()
        }
    });
    if let Some(a) = refused {
        let over = match a.stand {
            Stand::Title | Stand::Above => "over",
            Stand::Around => "beside or below",
        };
        faults.add(
            Fault::Setting,
            a.place.clone(),
            format!(
                "{} {over} numbers of which nothing says {}",
                quoted(&a.text),
                if silent { "what they are" } else { "which way they run" }
            ),
            "a table that says whether its numbers are readings or elevations",
            "Write the meaning into the corner cell or the heading, such as elevation mm or reading down in, or state --meaning.",
        );
        return;
    }
    let may_be = |w: &&Words| match silent {
        true => w.may_be_elevations(),
        false => w.stand == Stand::Title && w.says(&ELEVATIONS),
    };
    if let Some(a) = words.iter().find(may_be) {
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
        return;
    }
    let up = |w: &&Words| {
        let list = w.list();
        list.windows(2).any(|p| p[0] == "up" && p[1] == "to")
            && (w.says(&NUMBERS) || w.says(&["line", "laser"]))
    };
    if let Some(a) = words.iter().find(up) {
        room.notices.push(Notice::new(
            "title-says-up",
            Severity::Warning,
            a.place.to_string(),
            format!(
                "The numbers were taken as {}, though {} says that they run up to it. Larger is lower either way: state --meaning up to have it so on paper.",
                room.about.meaning.words(),
                quoted(&a.text)
            ),
        ));
    }
}

/// Whether words say that a larger number stands for a higher floor: `Larger number = higher`, `High number is high spot`,
/// `The higher the number the higher the floor`, `+ = high`.
fn larger_is_higher(text: &str) -> bool {
    let lower = text.to_lowercase().replace("-->", "=").replace("->", "=");
    if the_more_the_more(&lower) {
        return true;
    }
    let parted = ["=", " is ", " are ", " means ", " mean ", ":"]
        .iter()
        .find_map(|mark| lower.split_once(mark));
    let Some((left, right)) = parted else {
        return false;
    };
    let says = |text: &str, list: &[&str]| tidy(text).split(' ').any(|w| list.contains(&w));
    // A floor's place may stand on the left as well, `high spot = 40`, and says nothing of numbers.
    let of_numbers = says(left, &NUMBERS) || tidy(left).split(' ').count() == 1;
    // A sign is of numbers: alone, in words, or beside words for numbers.
    let signed = |text: &str, sign: &[char], names: [&str; 3]| {
        let bare = text.trim().trim_matches(['(', ')', '\'', '"']);
        bare.chars().all(|c| sign.contains(&c)) && !bare.is_empty()
            || names.iter().any(|n| tidy(text).split(' ').any(|w| w == *n))
    };
    let plus = |text: &str| signed(text, &['+'], ["plus", "positive", "+ve"]);
    let minus = |text: &str| signed(text, &['-', '\u{2212}'], ["minus", "negative", "-ve"]);
    if [(left, right), (right, left)].iter().any(|(sign, floor)| {
        (plus(sign) && says(floor, &HIGH)) || (minus(sign) && says(floor, &LOW))
    }) {
        return true;
    }
    of_numbers
        && ((says(left, &LARGE) && says(right, &HIGH)) || (says(left, &SMALL) && says(right, &LOW)))
}

/// `The higher the number the higher the floor`, `bigger number, higher floor`: one comparison behind the other, the first of them of
/// numbers.
fn the_more_the_more(lower: &str) -> bool {
    let words = tidy(lower);
    let list: Vec<&str> = words.split(' ').filter(|w| *w != "the").collect();
    list.iter().enumerate().skip(1).any(|(k, _)| {
        let (left, right) = list.split_at(k);
        let says = |part: &[&str], words: &[&str]| part.iter().any(|w| words.contains(w));
        let begins = |words: &[&str]| right.first().is_some_and(|w| words.contains(w));
        let of_numbers = left.len() == 2 && says(left, &NUMBERS);
        of_numbers
            && ((says(left, &LARGE) && begins(&["higher", "highest"]))
                || (says(left, &SMALL) && begins(&["lower", "lowest", "deeper"])))
    })
}

/// The title, the sheet's name, and what was passed over above, below and beside the table.
fn around(room: &RawRoom) -> Vec<Words> {
    let header = &room.about.header;
    let title = |text: &str| Words {
        text: text.to_owned(),
        place: header.clone(),
        stand: Stand::Title,
    };
    let names = [room.name.as_deref(), header.sheet()];
    let passed = room.about.skipped.iter();
    names
        .into_iter()
        .flatten()
        .map(title)
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
