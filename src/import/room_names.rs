//! Lines above a table that name no room: a label with what it says, and data of the job in short.

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
    is_labelled_datum(text) || is_short_datum(&list)
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
        ] {
            assert!(!names_no_room(text), "{text}");
        }
    }
}
