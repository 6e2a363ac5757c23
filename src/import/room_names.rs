//! Lines above a table that name no room: a label with what it says, and data of the job in short.

use super::dates::month_word;
use super::moved::names_an_instrument;
use super::pages::plain_words;

/// Words of a room, a part of one, or of where it lies: a label of them, or a value with one, may be its name.
const ROOMS: [&str; 58] = [
    "room", "rm", "rooms", "area", "location", "space", "place", "name", "title", "hall",
    "hallway", "corridor", "kitchen", "bath", "bathroom", "bedroom", "bed", "living", "dining",
    "garage", "foyer", "entry", "lobby", "closet", "laundry", "stairs", "landing", "office",
    "pantry", "basement", "lounge", "shower", "toilet", "wc", "den", "study", "studio", "shop",
    "store", "storage", "gym", "exam", "ward", "lab", "suite", "unit", "apt", "flat", "level",
    "floor", "storey", "building", "bldg", "wing", "zone", "block", "bay", "zimmer",
];
/// Labels of what belongs to the job, whatever stands behind them.
const OF_JOB: [&str; 37] = [
    "crew",
    "client",
    "customer",
    "owner",
    "foreman",
    "super",
    "superintendent",
    "surveyor",
    "contractor",
    "gc",
    "sub",
    "architect",
    "engineer",
    "project",
    "job",
    "phone",
    "tel",
    "cell",
    "fax",
    "email",
    "e-mail",
    "address",
    "addr",
    "weather",
    "temp",
    "temperature",
    "rh",
    "humidity",
    "date",
    "time",
    "start",
    "tile",
    "material",
    "tools",
    "laser",
    "note",
    "notes",
];

/// Whether a line above the first table names none. Further ones are parted by their titles, whatever these say.
pub(super) fn names_no_room(text: &str) -> bool {
    let words = plain_words(text);
    let list: Vec<&str> = words.iter().map(String::as_str).collect();
    is_labelled_datum(text)
        || is_short_datum(&list)
        || is_dated(text, &list)
        || is_legend(text, &list)
        || is_instruction(&list)
}

/// `Mon 12 May, Petra`, `May 12`, `Tues am`: a day or a date, and who was there behind it; not `May Street 12`, `Sunday school`.
fn is_dated(text: &str, words: &[&str]) -> bool {
    const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    const PARTS: [&str; 8] = [
        "am",
        "pm",
        "morning",
        "afternoon",
        "noon",
        "evening",
        "night",
        "of",
    ];
    const MOST_BESIDE: usize = 3;
    let day_of_week = |w: &str| {
        let whole = ["mon", "tues", "wednes", "thurs", "fri", "satur", "sun"];
        DAYS.contains(&w)
            || matches!(w, "tues" | "weds" | "thur" | "thurs")
            || whole.iter().any(|d| w.strip_prefix(d) == Some("day"))
    };
    let month = |w: &str| month_word(w).is_some();
    let number = |w: &str| {
        let digits = w.trim_end_matches(|c: char| c.is_ascii_alphabetic());
        let ordinal = matches!(&w[digits.len()..], "" | "st" | "nd" | "rd" | "th");
        ordinal && !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit())
    };
    let part = |w: &str| day_of_week(w) || month(w) || number(w) || PARTS.contains(&w);
    let count = words.iter().take_while(|w| part(w)).count();
    let (date, beside) = words.split_at(count);
    let of_month = date
        .windows(2)
        .any(|w| (month(w[0]) && number(w[1])) || (number(w[0]) && month(w[1])));
    let of_week = date.first().is_some_and(|w| day_of_week(w));
    let parted = beside.first().is_none_or(|next| {
        let lower = text.to_lowercase();
        let before = lower.split(next).next().unwrap_or_default().trim_end();
        before.ends_with([',', ';', ':', '-', '/', '|', '(', '\u{2013}', '\u{2014}'])
    });
    (of_month || of_week)
        && parted
        && beside.len() <= MOST_BESIDE
        && !beside.iter().any(|w| ROOMS.contains(w))
}

/// `<- window wall ->`, `Door -->`, `windows this side`: what lies at an edge of the sheet.
fn is_legend(text: &str, words: &[&str]) -> bool {
    const ARROWS: [&str; 14] = [
        "<-", "->", "<=", "=>", "^", "\u{2190}", "\u{2191}", "\u{2192}", "\u{2193}", "\u{21d0}",
        "\u{21d1}", "\u{21d2}", "\u{21d3}", ">>",
    ];
    let text = text.trim();
    let pointed = ARROWS
        .iter()
        .any(|a| text.starts_with(a) || text.ends_with(a))
        || text.starts_with("<<")
        || text.ends_with("\u{25bc}");
    let at_edge = matches!(words, [.., "this", "side" | "end" | "way"]);
    let opening = words.first().is_some_and(|w| {
        matches!(
            *w,
            "window" | "windows" | "door" | "doors" | "entrance" | "glass" | "curtain" | "slider"
        )
    });
    let wall = opening && matches!(words, [_, "wall" | "side" | "end"]);
    words.is_empty() || pointed || at_edge || wall
}

/// `Bring 40 bags`, `Call GC before pour`: what somebody is to do; not `Call centre`, `Mix bar`.
fn is_instruction(words: &[&str]) -> bool {
    const DO: [&str; 27] = [
        "bring", "order", "call", "remember", "use", "mix", "buy", "get", "check", "do", "don't",
        "dont", "ask", "email", "tell", "add", "wear", "clean", "prime", "deliver", "leave",
        "keep", "send", "confirm", "verify", "need", "needs",
    ];
    const JOINS: [&str; 24] = [
        "to", "before", "after", "the", "not", "at", "for", "with", "per", "a", "by", "until",
        "on", "from", "when", "bag", "bags", "that", "all", "gc", "if", "and", "more", "no",
    ];
    let joins = |w: &&str| JOINS.contains(w) || w.contains(|c: char| c.is_ascii_digit());
    match words {
        [first, rest @ ..] => DO.contains(first) && rest.iter().any(joins),
        [] => false,
    }
}

/// `Crew: Dan + Luis`, `Weather: 61F, dry`; not `Room: Kitchen`, `Hall: east part`, `Unit 3B: bath`, `Villa: kitchen`.
fn is_labelled_datum(text: &str) -> bool {
    let Some((label, value)) = text.split_once(':') else {
        return false;
    };
    let of =
        |text: &str, list: &[&str]| plain_words(text).iter().any(|w| list.contains(&w.as_str()));
    let first = plain_words(label).into_iter().next();
    let of_job = first.is_some_and(|w| OF_JOB.contains(&w.as_str()));
    let counted = label.contains(|c: char| c.is_ascii_digit());
    let named = of(label, &ROOMS) || of(value, &ROOMS) || counted;
    label.contains(char::is_alphabetic) && !value.trim().is_empty() && (of_job || !named)
}

/// `Phone 555-0134`, `PO 22871`, `Temp 64 RH 41`, `Sheet 1 of 1`, `Calibrated 2/26`, `Slab poured 3/2`, `Laser no. 7`, `Start 8:10 End 9:30`.
fn is_short_datum(words: &[&str]) -> bool {
    let number = |w: &&str| w.contains(|c: char| c.is_ascii_digit());
    let numbered = words.iter().skip(1).any(number);
    let room = words.iter().any(|w| ROOMS.contains(w));
    // `Slab poured 3/2`: no name has a day behind what was done on it.
    let done = words.iter().position(|w| {
        matches!(
            *w,
            "calibrated" | "calibration" | "poured" | "cast" | "placed" | "checked"
        )
    });
    match words {
        [
            "phone" | "tel" | "telephone" | "fax" | "cell" | "mobile" | "po" | "rfi",
            ..,
        ] => numbered,
        ["temp" | "temperature" | "rh" | "humidity", ..] => numbered,
        ["sheet" | "page" | "sht" | "pg", n, "of", m, ..] => number(n) && number(m),
        ["start" | "started" | "end" | "ended" | "finished", ..] => numbered && !room,
        ["email" | "e-mail", _, ..] => true,
        [first, _, ..] if names_an_instrument(first) && !first.starts_with("setup") => {
            !room || words.len() > 3
        }
        _ => !room && done.is_some_and(|k| words.iter().skip(k + 1).any(number)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand. What a person would call a room, and what not.
    #[test]
    fn data_of_a_job_name_no_room() {
        for text in [
            "Crew: Dan + Luis",
            "Foreman: R. Paz",
            "Client: M. Ortega",
            "Weather: 61F, dry",
            "Tile: 24x24 porcelain",
            "Phone 555-0134",
            "PO 22871",
            "Temp 64 RH 41",
            "Sheet 1 of 1",
            "Calibrated 2/26",
            "Slab poured 3/2",
            "Laser no. 7",
            "Start 8:10 End 9:30",
            "Mon 12 May, Petra",
            "Mon 12 May",
            "May 12",
            "Tues am",
            "Friday, 12th of June - Jo",
            "<- window wall ->",
            "Door -->",
            "^ window side ^",
            "Windows this side",
            "Window wall",
            "Bring 40 bags",
            "Order 40 bags",
            "Call GC before pour",
            "Remember to check door height",
            "Do not pour before Friday",
        ] {
            assert!(names_no_room(text), "{text}");
        }
        for text in [
            "Kitchen",
            "Room 204",
            "Unit 3B",
            "Hall: east part",
            "Room: Kitchen",
            "Area: lobby",
            "Villa: ground floor",
            "Unit 3B: front",
            "Post office",
            "Temporary office",
            "Sheet metal shop",
            "Start-up lab 2",
            "Poured terrace",
            "Sunday school",
            "May Street 12",
            "12 May Street",
            "Monday room",
            "Call centre",
            "Mix bar",
            "Window bay",
            "March house",
        ] {
            assert!(!names_no_room(text), "{text}");
        }
    }
}
