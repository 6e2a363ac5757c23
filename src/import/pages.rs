//! Lines that are no part of a table and name no room: those between the pages of a print, dates, and data of the job beside a title.

use super::dates::date_text;
use super::headers::tidy;
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
const LABELS: [&str; 12] = [
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

/// The title in a row whose other cells hold data of the job: `Kitchen | Date: 5/12`, `Room 101 | | 5/12/26`, `Bath | By | JR`.
pub(super) fn title_beside_data(row: Row<'_>) -> Option<Cell<'_>> {
    let mut cells = row.filled().peekable();
    let title = cells.next()?;
    let label = |text: &str| LABELS.contains(&tidy(&text.to_lowercase()).as_str());
    let wordy = title.text.starts_with(|c: char| c.is_alphabetic());
    if !wordy || label(title.text) || is_job_datum(title.text) || cells.peek().is_none() {
        return None;
    }
    while let Some(cell) = cells.next() {
        // Right behind a word a date is what the word says: `Poured | 5/12/26`. Without a year it may be a fraction that became a date.
        let apart = cell.column > title.column + 1;
        let parts = cell.text.split(['/', '.', '-', ' ']).count();
        let dated = apart && parts > 2 && date_text(cell.text).is_some();
        let labelled = label(cell.text) && cells.next().is_some();
        if !(dated || labelled || is_job_datum(cell.text) || (apart && is_date_in_words(cell.text)))
        {
            return None;
        }
    }
    Some(title)
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

/// Whether a title says that its table is a part of another's room, or the same room from another set-up.
pub(super) fn says_part(title: &str) -> bool {
    let words = plain_words(title);
    let says = |w: &String| PARTS.contains(&w.as_str()) || GOES_ON.contains(&w.as_str());
    words.iter().any(says) || words.windows(2).any(|w| w[0] == "set" && w[1] == "up")
}
