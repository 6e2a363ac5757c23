//! Lines between the pages of a print: they count the pages or say that a table goes on, and name no room.

use super::dates::date_text;
use super::table::Row;

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
