//! Lines that are no part of a table and name no room: those between the pages of a print, dates, and data of the job beside a title.

use super::around::looks_numeric;
use super::dates::date_text;
use super::headers::{Field, field, is_summary, tidy};
use super::settings::setting;
use super::table::{Cell, Row};

/// Words that count pages.
const PAGES: [&str; 6] = ["page", "pg", "seite", "blatt", "pagina", "p"];
/// Words that say that something goes on.
const GOES_ON: [&str; 10] = [
    "cont",
    "contd",
    "cont'd",
    "con't",
    "ctd",
    "continued",
    "continues",
    "continuing",
    "continuation",
    "fortsetzung",
];
/// What may stand beside them where nothing else is said.
const BESIDE: [&str; 18] = [
    "of", "von", "de", "on", "from", "to", "the", "next", "last", "previous", "page", "pages",
    "above", "below", "overleaf", "over", "table", "sheet",
];
/// Words of a title that say that its table is a part of another's room, or the same room from another set-up.
const PARTS: [&str; 21] = [
    "page",
    "pages",
    "pg",
    "sheet",
    "sht",
    "part",
    "rows",
    "columns",
    "cols",
    "set-up",
    "setup",
    "set-ups",
    "setups",
    "re-setup",
    "resetup",
    "laser",
    "moved",
    "relocated",
    "reshot",
    "seite",
    "blatt",
];

/// Lower-case words without what stands around them.
pub(super) fn plain_words(text: &str) -> Vec<String> {
    let lower = text.to_lowercase().replace('\u{2019}', "'");
    let split = |c: char| !(c.is_alphanumeric() || matches!(c, '-' | '\''));
    let trimmed = lower
        .split(split)
        .map(|w| w.trim_matches(['-', '\'']).to_owned());
    trimmed.filter(|w| !w.is_empty()).collect()
}

/// Whether a row is a line of a print that counts its pages or says that the table goes on, and nothing else.
pub(super) fn is_page_line(row: Row<'_>) -> bool {
    let mut filled = row.filled();
    let (Some(only), None) = (filled.next(), filled.next()) else {
        return false;
    };
    let words = plain_words(only.text);
    let among = |list: &[&str], word: &String| list.contains(&word.as_str());
    let counts = words.first().is_some_and(|w| among(&PAGES, w));
    let goes_on = words.iter().any(|w| among(&GOES_ON, w));
    (counts || goes_on)
        && words.iter().skip(usize::from(counts)).all(|w| {
            let plain = among(&BESIDE, w) || among(&PAGES, w) || among(&GOES_ON, w);
            plain || w.parse::<u32>().is_ok()
        })
}

/// Whether a row says when something was read, and nothing else: `5/12/2026`, `Date: 12 May 2026`.
pub(super) fn is_date_line(row: Row<'_>) -> bool {
    let mut filled = row.filled();
    // `Date | 5/12/26`, `Signed: JR | 5/12/26`: words, and when.
    if let (Some(words), Some(date), None) = (filled.next(), filled.next(), filled.next()) {
        let word = words.text.split([':', ' ', ',']).next().unwrap_or_default();
        let of_date = matches!(
            word.to_lowercase().as_str(),
            "date" | "dated" | "datum" | "signed" | "sign" | "checked" | "read"
        );
        return of_date && date.text.len() >= 6 && date_text(date.text).is_some();
    }
    let mut filled = row.filled();
    let (Some(only), None) = (filled.next(), filled.next()) else {
        return false;
    };
    let text = only.text;
    let behind = text.split_once(':').filter(|(word, _)| {
        matches!(
            word.trim().to_lowercase().as_str(),
            "date" | "dated" | "datum"
        )
    });
    let text = behind.map_or(text, |(_, date)| date).trim();
    // Without a year it may be a fraction that became a date.
    (text.len() > 7 && date_text(text).is_some()) || is_date_in_words(text)
}

/// Whether a line holds data of the job, `By JR`, `Job 4411`: it names no room.
pub(super) fn is_job_datum(text: &str) -> bool {
    let words = tidy(&text.to_lowercase());
    let list: Vec<&str> = words.split(' ').collect();
    let number = text.contains(|c: char| c.is_ascii_digit());
    match list[..] {
        ["by", _, ..] => list.len() <= 4,
        [
            "surveyed" | "measured" | "read" | "taken" | "checked" | "drawn" | "shot",
            "by",
            ..,
        ] => true,
        ["job" | "date" | "time", _, ..] => number && list.len() <= 4,
        _ => false,
    }
}

/// Words that a datum of the job stands behind in a cell of its own.
const LABELS: [&str; 16] = [
    "weather",
    "temp",
    "temperature",
    "surface temp",
    "date",
    "time",
    "by",
    "job",
    "job no",
    "job #",
    "crew",
    "surveyor",
    "page",
    "sheet",
    "surveyed by",
    "read by",
];

/// Words before the name of a room in a cell of its own: `Room no. | 101`, `Location: | Kitchen`.
const ROOM_LABELS: [&str; 12] = [
    "room",
    "room no",
    "room no.",
    "room #",
    "room name",
    "rm",
    "rm.",
    "rm no",
    "rm #",
    "location",
    "area",
    "space",
];

/// Words that a heading over a datum of the job begins with.
const JOB_HEADINGS: [&str; 39] = [
    "job",
    "date",
    "time",
    "crew",
    "lot",
    "project",
    "client",
    "customer",
    "rev",
    "revision",
    "page",
    "sheet",
    "surveyor",
    "weather",
    "building",
    "bldg",
    "floor",
    "unit",
    "apt",
    "po",
    "laser",
    "bm",
    "benchmark",
    "temp",
    "rh",
    "length",
    "width",
    "level",
    "setup",
    "set-up",
    "phase",
    "stage",
    "storey",
    "story",
    "wing",
    "zone",
    "block",
    "suite",
    "pour",
];

/// Whether a text is one of these labels, or is with a colon.
fn is_label(text: &str, list: &[&str]) -> bool {
    let text = tidy(&text.to_lowercase());
    list.contains(&text.trim_end_matches(':').trim())
}

/// Whether a word stands over a datum of the job, the name of a room, or a setting.
fn is_over_datum(text: &str) -> bool {
    let first = plain_words(text).into_iter().next();
    is_label(text, &LABELS)
        || is_label(text, &ROOM_LABELS)
        || setting(text).is_some_and(|s| s.1.is_none())
        || is_label(text, &["set up"])
        || first.is_some_and(|w| JOB_HEADINGS.contains(&w.as_str()))
}

/// Whether a word and its value name a room: `Area` and `420 sf` name none, `Room no.` and `101` do.
pub(super) fn are_room(word: &str, value: &str) -> bool {
    is_label(word, &ROOM_LABELS) && names_room(value)
}

fn names_room(value: &str) -> bool {
    value.starts_with(|c: char| c.is_alphabetic())
        || value.trim().chars().all(|c| c.is_ascii_digit())
}

/// The data of a job in a row right below a row of words for them, `Job | Lot` over `4411 | 12`: each word with its value. `None` for any
/// other two rows, as two words that each have their value beside them.
pub(super) fn data_under_headings<'a>(
    heads: Row<'a>,
    row: Row<'a>,
) -> Option<Vec<(Cell<'a>, Cell<'a>)>> {
    let head_of = |c: &Cell<'a>| heads.cell(c.column as usize - 1);
    let wordy = |c: Cell<'a>| {
        let place = matches!(field(&tidy(&c.text.to_lowercase())), Field::X | Field::Y);
        c.text.chars().count() > 1 && c.text.starts_with(|c: char| c.is_alphabetic()) && !place
    };
    let known = heads.filled().filter(|c| is_over_datum(c.text)).count();
    let numbers = row.filled().any(|c| looks_numeric(c.text));
    // `Room | Kitchen` over `Step | 2`: a label with its value, and another below.
    let two = heads.filled().count() == 2 && row.filled().count() == 2;
    let one_below_another = two
        && known == 1
        && heads.filled().next().is_some_and(|c| is_over_datum(c.text))
        && row.filled().next().is_some_and(wordy);
    let under = heads.number + 1 == row.number
        && heads.filled().count() >= 2
        && heads.filled().all(wordy)
        && (known >= 2 || (known == 1 && numbers))
        && !one_below_another
        && row.filled().count() >= 2
        && row
            .filled()
            .all(|c| !head_of(&c).is_blank() && !is_over_datum(c.text));
    under.then(|| row.filled().map(|c| (head_of(&c), c)).collect())
}

/// The title in a row whose other cells hold data of the job: `Kitchen | Date: 5/12`, `Room 101 | | 5/12/26`, `Bath | By | JR`,
/// `Location | Kitchen`; with the words of a cell beside it that says it goes on: `Kitchen cont.` of `Kitchen | cont.`.
pub(super) fn title_beside_data<'a>(row: Row<'a>) -> Option<(Cell<'a>, String)> {
    let mut cells = row.filled().peekable();
    let mut title = cells.next()?;
    let label = is_label;
    if label(title.text, &ROOM_LABELS) {
        title = cells.next()?;
        if cells.peek().is_none() {
            return names_room(title.text).then(|| (title, title.text.to_owned()));
        }
    }
    let wordy = title.text.starts_with(|c: char| c.is_alphabetic());
    if !wordy
        || label(title.text, &LABELS)
        || is_job_datum(title.text)
        || title.text.trim_end().ends_with(':')
        || is_summary(title.text)
        || field(&tidy(&title.text.to_lowercase())) != Field::Unknown
        || cells.peek().is_none()
    {
        return None;
    }
    let mut name = title.text.to_owned();
    while let Some(cell) = cells.next() {
        // Right behind a word a date is what the word says: `Poured | 5/12/26`. Without a year it may be a fraction that became a date.
        let apart = cell.column > title.column + 1;
        let parts = cell.text.split(['/', '.', '-', ' ']).count();
        let dated = apart && parts > 2 && date_text(cell.text).is_some();
        let labelled = label(cell.text, &LABELS) && cells.next().is_some();
        if goes_on(cell.text) {
            name = format!("{name} {}", cell.text);
        } else if !(dated
            || labelled
            || is_job_datum(cell.text)
            || is_datum_by_itself(cell.text)
            || ((apart || !tells_when(title.text)) && is_date_in_words(cell.text)))
        {
            return None;
        }
    }
    Some((title, name))
}

/// Whether a word is what was done on a date: `Poured`, `Read on`.
fn tells_when(text: &str) -> bool {
    let lower = text.to_lowercase();
    let first = lower.split_whitespace().next().unwrap_or_default();
    first.ends_with("ed") || matches!(first, "read" | "shot" | "taken" | "due" | "start" | "end")
}

/// Whether a cell beside a title says that its table goes on or is a part: `cont.`, `(2)`, `Page 2`, `Setup 2`, `moved laser`. The first
/// page and the first sheet are a title's own.
fn goes_on(text: &str) -> bool {
    let inner = text.trim().trim_start_matches('(').trim_end_matches(')');
    let bracketed = inner.len() < text.trim().len() && inner.parse::<u32>().is_ok_and(|n| n > 1);
    let words = plain_words(text);
    let numbers = words.iter().filter_map(|w| w.parse::<u32>().ok());
    let first = numbers.clone().next() == Some(1);
    // `Laser: red` is no other set-up; `moved laser` is.
    let said = text.contains(':') && words.first().is_some_and(|w| w == "laser");
    let counts = words
        .first()
        .is_some_and(|w| matches!(w.as_str(), "page" | "pg" | "sheet" | "sht"));
    // A drawing's sheet number is none of the table's.
    let other_sheet = counts && words.len() > 1 && numbers.count() == 0;
    bracketed || (says_part(text) && !first && !other_sheet && !said)
}

/// Whether a cell beside a title is a datum without a word for it: a time, a size, a temperature, a page, a revision, initials, a unit
/// in brackets, or a short word and what it says, `Crew: JR, MT`.
fn is_datum_by_itself(text: &str) -> bool {
    let text = text.trim();
    let lower = text.to_lowercase();
    let number = |s: &str| {
        let s = s
            .trim()
            .trim_end_matches(|c: char| c.is_alphabetic() || matches!(c, '\'' | '"' | '.' | ' '));
        !s.is_empty()
            && s.chars().all(|c| {
                c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' ' | '-' | '\'' | '"')
            })
    };
    let area = [
        "sf", "sq ft", "sq. ft", "ft2", "m2", "m\u{b2}", "ft\u{b2}", "sqft",
    ];
    let area = area
        .iter()
        .any(|u| lower.strip_suffix(u).is_some_and(number));
    let warm = lower.starts_with("temp ") && lower.contains(|c: char| c.is_ascii_digit());
    let said = lower.split_once(':').is_some_and(|(word, value)| {
        let words = word.split_whitespace().count();
        let of_numbers = [
            "reading", "unit", "height", "spacing", "grid", "laser", "line", "x", "y", "origin",
            "zero", "start",
        ];
        let plain = word
            .chars()
            .all(|c| c.is_alphabetic() || matches!(c, ' ' | '.' | '#'));
        plain
            && (1..=2).contains(&words)
            && !value.trim().is_empty()
            && !of_numbers.iter().any(|w| word.starts_with(w))
    });
    let time = {
        let clock = lower.trim_end_matches(['a', 'p', 'm', '.', ' ']);
        // `start 9:40`.
        let clock = match clock.split_once(' ') {
            Some((word, clock)) if word.chars().all(char::is_alphabetic) => clock,
            _ => clock,
        };
        clock.split_once(':').is_some_and(|(h, m)| {
            h.parse::<u32>().is_ok_and(|h| h < 24)
                && m.len() == 2
                && m.parse::<u32>().is_ok_and(|m| m < 60)
        })
    };
    let size = lower.split([' ', '\u{d7}']).any(|w| w == "x") || lower.contains('\u{d7}');
    let size = size && lower.split(['x', '\u{d7}']).filter(|s| number(s)).count() == 2;
    let warm = warm || lower.ends_with("\u{b0}f") || lower.ends_with("\u{b0}c");
    let words: Vec<&str> = lower.split_whitespace().collect();
    let marked = matches!(
        words[..],
        [
            "page"
                | "pg"
                | "sheet"
                | "sht"
                | "rev"
                | "rev."
                | "revision"
                | "level"
                | "floor"
                | "dwg"
                | "unit"
                | "bldg"
                | "laser"
                | "setup"
                | "set-up",
            _
        ] | ["page" | "pg" | "sheet", _, "of", _]
    );
    let initials = (2..=3).contains(&text.len()) && text.chars().all(|c| c.is_ascii_uppercase());
    let bracket = text.starts_with('(') && text.ends_with(')') && text.len() <= 6;
    said || area || time || size || warm || marked || initials || bracket || lower == "ok"
}

const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];
const WEEKDAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// `May 12, 2026`, `Tue 12th May 2026`: a month's name, its day and the year, and nothing else.
fn is_date_in_words(text: &str) -> bool {
    let words = plain_words(text);
    let begins = |list: &[&str], word: &str| {
        word.len() <= 9 && list.iter().any(|name| word.starts_with(name))
    };
    let number = |word: &str| {
        let digits = word.trim_end_matches(|c: char| c.is_alphabetic());
        let behind = &word[digits.len()..];
        let ordinal = matches!(behind, "" | "st" | "nd" | "rd" | "th");
        digits.parse::<u32>().ok().filter(|_| ordinal)
    };
    let months = words.iter().filter(|w| begins(&MONTHS, w)).count();
    let numbers: Vec<u32> = words.iter().filter_map(|w| number(w)).collect();
    let days = words.iter().filter(|w| begins(&WEEKDAYS, w)).count();
    let year = numbers.iter().any(|n| (1990..2100).contains(n));
    months == 1 && year && numbers.len() == 2 && months + numbers.len() + days == words.len()
}

/// Whether a line alone between tables is a remark that names no room: `N/A`, `see photos`, `DRAFT`.
pub(super) fn is_remark(text: &str) -> bool {
    let words = plain_words(text);
    let list: Vec<&str> = words.iter().map(String::as_str).collect();
    matches!(
        list[..],
        ["n", "a"]
            | ["na"]
            | ["ok"]
            | ["done"]
            | ["ditto"]
            | ["same"]
            | ["same", "as", "above"]
            | ["as", "above"]
            | ["draft"]
            | ["final"]
            | [
                "see",
                "photos" | "photo" | "notes" | "note" | "plan" | "sketch"
            ]
            | ["rev" | "revision", _]
            | ["new", "batteries"]
    )
}

/// Whether a line right under a title reads as a remark on it rather than as a title of its own: `low by the door`, `6 pts`, `(tub on N side)`,
/// `Pour 5/14`, `same laser`, `All dims in ft`.
pub(super) fn reads_as_remark(text: &str) -> bool {
    let text = text.trim();
    let words = plain_words(text);
    const NAMES: [&str; 5] = ["level", "floor", "unit", "bldg", "lvl"];
    let begins =
        text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '(' | '[' | '*' | '-' | '"'));
    // `back bedroom` may be a room in small letters.
    let small = text.starts_with(char::is_lowercase) && words.len() > 2;
    let named = words.first().is_some_and(|w| NAMES.contains(&w.as_str()));
    let dated = words.len() <= 5
        && text.split_whitespace().any(|w| {
            let parts: Vec<&str> = w.split(['/', '-', '.']).collect();
            parts.len() > 1 && parts.iter().all(|p| p.parse::<u32>().is_ok())
        });
    let in_units = words
        .windows(2)
        .any(|w| w[0] == "in" && crate::units::LengthUnit::from_word(&w[1]).is_some());
    let numbered = words.last().is_some_and(|w| w.parse::<f64>().is_ok());
    let same = words.first().is_some_and(|w| w == "same");
    begins
        || dated
        || in_units
        || same
        || says_part(text)
        || small
        || (is_datum_by_itself(text) && !named)
        || (numbered && text.contains(':'))
}

/// Whether a title counts a round of readings: `Run 2`, `2nd day`, `Second pass`, `recheck`.
fn counts_a_round(words: &[String]) -> bool {
    const ROUNDS: [&str; 7] = ["run", "day", "pass", "round", "try", "visit", "shot"];
    const NTH: [&str; 6] = ["2nd", "3rd", "4th", "second", "third", "fourth"];
    let list: Vec<&str> = words.iter().map(String::as_str).collect();
    match list[..] {
        ["recheck" | "re-check" | "reread" | "re-read" | "again"] => true,
        [a, b] => {
            (ROUNDS.contains(&a) && b.parse::<u32>().is_ok_and(|n| n > 1))
                || (NTH.contains(&a) && ROUNDS.contains(&b))
        }
        _ => false,
    }
}

/// Whether a title says that its table is a part of another's room, or the same room from another set-up.
pub(super) fn says_part(title: &str) -> bool {
    let words = plain_words(title);
    let says = |w: &String| PARTS.contains(&w.as_str()) || GOES_ON.contains(&w.as_str());
    words.iter().any(says)
        || words.windows(2).any(|w| w[0] == "set" && w[1] == "up")
        || counts_a_round(&words)
}
