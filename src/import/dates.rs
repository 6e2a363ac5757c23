//! Fractions that a spreadsheet turned into dates, and what they probably were.

/// A date as a cell shows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct DateSeen {
    /// Day, when it shows one.
    pub day: Option<u32>,
    /// Month, 1 to 12.
    pub month: u32,
    /// Year, when it shows one; two digits stay as written.
    pub year: Option<u32>,
}

/// Month names as spreadsheets abbreviate them, English, German, French, Spanish, Italian, Dutch.
const MONTHS: [&[&str]; 12] = [
    &["jan", "janv", "ene", "gen"],
    &["feb", "f\u{e9}vr", "fevr", "febr"],
    &[
        "mar",
        "mrz",
        "m\u{e4}r",
        "m\u{e4}rz",
        "mars",
        "marzo",
        "mrt",
        "march",
    ],
    &["apr", "avr", "abr", "april", "avril"],
    &["may", "mai", "mag", "mei"],
    &["jun", "juin", "giu", "june", "juni"],
    &["jul", "juil", "lug", "july", "juli"],
    &["aug", "ao\u{fb}", "ao\u{fb}t", "aout", "ago", "august"],
    &["sep", "sept", "set", "september"],
    &["oct", "okt", "ott", "october"],
    &["nov", "november"],
    &["dec", "dez", "d\u{e9}c", "dic", "december"],
];

pub(super) fn month_word(word: &str) -> Option<u32> {
    let word = word.trim_end_matches('.').to_lowercase();
    MONTHS
        .iter()
        .position(|names| names.contains(&word.as_str()))
        .map(|i| i as u32 + 1)
}

/// The date that a text shows: `8-Mar`, `3-Aug`, `Mar-32`, `8 Mar 2024`, `2024-03-08`, `3/8/2024`,
/// `08.03.2024`. `None` for anything else; a bare `3/8` is a fraction, not a date.
pub(super) fn date_text(text: &str) -> Option<DateSeen> {
    let text = text.trim();
    if text.len() > 32 || !text.is_ascii() && text.chars().count() > 24 {
        return None;
    }
    // A time of day behind the date says nothing here.
    let date = match text.split_once(['T', ' ']) {
        Some((date, time)) if time.contains(':') => date,
        _ => text,
    };
    let parts: Vec<&str> = date
        .split(['-', '/', '.', ' '])
        .filter(|p| !p.is_empty())
        .collect();
    // `2-3/8` and `31 1/4` mix their marks, and no date does.
    let marks: Vec<char> = date
        .chars()
        .filter(|c| matches!(c, '-' | '/' | '.' | ' '))
        .collect();
    let one_mark = marks
        .first()
        .copied()
        .filter(|m| *m != ' ' && marks.iter().all(|n| n == m));
    match parts[..] {
        [a, b] => month_and_number(a, b),
        [a, b, c] => match (month_word(b), month_word(a)) {
            (Some(month), _) => day_of_year(a, month, c),
            (None, Some(month)) => day_of_year(b, month, c),
            (None, None) => three_numbers([a, b, c], one_mark?),
        },
        _ => None,
    }
}

/// Up to four digits and nothing else.
fn digits(s: &str) -> Option<u32> {
    (s.len() <= 4 && !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit()))
        .then(|| s.parse().ok())
        .flatten()
}

fn is_day(n: u32) -> bool {
    (1..=31).contains(&n)
}

/// A month's name with a day before it, or with a day or a year behind it.
fn month_and_number(a: &str, b: &str) -> Option<DateSeen> {
    match (month_word(a), month_word(b)) {
        // `8-Mar`
        (None, Some(month)) => {
            let n = digits(a)?;
            is_day(n).then_some(DateSeen {
                day: Some(n),
                month,
                year: None,
            })
        }
        // `Mar-8`, `Mar-32`
        (Some(month), None) => {
            let n = digits(b)?;
            let is_day = is_day(n) && b.len() <= 2;
            Some(DateSeen {
                day: is_day.then_some(n),
                month,
                year: (!is_day).then_some(n),
            })
        }
        _ => None,
    }
}

/// A day and a year beside a month that was named.
fn day_of_year(day: &str, month: u32, year: &str) -> Option<DateSeen> {
    let (day, year) = (digits(day)?, digits(year)?);
    is_day(day).then_some(DateSeen {
        day: Some(day),
        month,
        year: Some(year),
    })
}

/// Day, month and year in figures, in whichever order the year's length and the mark between them tell.
fn three_numbers([a, b, c]: [&str; 3], mark: char) -> Option<DateSeen> {
    let (x, y, z) = (digits(a)?, digits(b)?, digits(c)?);
    let is_month = |n: u32| (1..=12).contains(&n);
    let (day, month, year) = if a.len() == 4 && is_month(y) && is_day(z) {
        (z, y, x)
    } else if c.len() != 4 && !matches!(mark, '.' | '/') {
        // Two-digit years only behind points or slashes: `3-7-16` might be anything.
        return None;
    } else if is_month(x) && is_day(y) && mark != '.' {
        (y, x, z)
    } else if is_day(x) && is_month(y) {
        (x, y, z)
    } else {
        return None;
    };
    Some(DateSeen {
        day: Some(day),
        month,
        year: Some(year),
    })
}

/// The date of a spreadsheet's day number, counted as the 1900 system counts: 1 is 1 January 1900,
/// and a 29 February 1900 that never was takes number 60.
///
/// # Edge cases
/// `None` outside 1 to 2,958,465 (31 December 9999).
pub(super) fn date_of_serial(serial: u32) -> Option<DateSeen> {
    if !(1..=2_958_465).contains(&serial) || serial == 60 {
        return None;
    }
    // Days since 1 March 0000 in the proleptic Gregorian calendar; the calendar repeats every
    // 146,097 days, and a year that begins in March has its leap day last.
    let since = i64::from(serial) + if serial > 60 { 693_899 } else { 693_900 };
    let era = since.div_euclid(146_097);
    let of_era = since.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted = (5 * of_year + 2) / 153;
    let day = of_year - (153 * shifted + 2) / 5 + 1;
    let month = if shifted < 10 {
        shifted + 3
    } else {
        shifted - 9
    };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    Some(DateSeen {
        day: Some(day as u32),
        month: month as u32,
        year: Some(year as u32),
    })
}

/// The fraction of an inch that was typed: whole inches, top, bottom.
pub(super) type Typed = (u32, u32, u32);

/// What was probably typed where a date stands now.
///
/// # Method
/// `3/8` becomes 8 March or 3 August by the spreadsheet's habit; `3/32`, with no thirty-second day,
/// becomes March 1932; `2-3/8` becomes a day of 2008. Each way back is tried and kept only when the
/// bottom is 2, 4, 8, 16, 32 or 64 and the top is smaller. Nothing is offered unless exactly one
/// fraction is left.
pub(super) fn fraction_typed(date: DateSeen) -> Option<Typed> {
    let mut found: Vec<Typed> = Vec::new();
    let mut offer = |whole: u32, top: u32, bottom: u32| {
        let fits = matches!(bottom, 2 | 4 | 8 | 16 | 32 | 64) && top >= 1 && top < bottom;
        if fits && !found.contains(&(whole, top, bottom)) {
            found.push((whole, top, bottom));
        }
    };
    let short_year = date.year.map(|y| if y >= 100 { y % 100 } else { y });
    match date.day {
        Some(day) => {
            offer(0, date.month, day);
            offer(0, day, date.month);
            // A month and a year read as the first of the month.
            if day == 1
                && let Some(year) = short_year
            {
                offer(0, date.month, year);
            }
            if let Some(year) = short_year
                && (date.month, day) != (1, 1)
                && day != 1
            {
                // A mixed number only where the plain fraction does not work.
                let plain = date.month.max(day);
                if !matches!(plain, 2 | 4 | 8 | 16 | 32 | 64) || date.month == day {
                    offer(date.month, day, year);
                    offer(day, date.month, year);
                }
            }
        }
        None => {
            if let Some(year) = short_year {
                offer(0, date.month, year);
            }
        }
    }
    match found[..] {
        [one] => Some(one),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(text: &str) -> Option<Typed> {
        date_text(text).and_then(fraction_typed)
    }

    #[test]
    fn dates_give_back_the_fraction_that_was_typed() {
        // ORACLE: hand, from what spreadsheets make of 3/8, 3/16, 3/32, 5/64.
        for text in [
            "8-Mar",
            "3-Aug",
            "Mar-8",
            "08-Mar-24",
            "2024-03-08",
            "3/8/2024",
            "8.3.2024",
            "2024-03-08 00:00:00",
            "8. Mrz",
            "8-mars",
        ] {
            assert_eq!(typed(text), Some((0, 3, 8)), "{text}");
        }
        assert_eq!(typed("16-Mar"), Some((0, 3, 16)));
        assert_eq!(typed("Mar-32"), Some((0, 3, 32)));
        assert_eq!(typed("1932-03-01"), Some((0, 3, 32)));
        assert_eq!(typed("May-64"), Some((0, 5, 64)));
        assert_eq!(typed("2-Jan"), Some((0, 1, 2)));
        // Two ways back, or none: not offered.
        assert_eq!(typed("3-Feb"), None);
        assert_eq!(typed("8-Aug"), None);
        assert_eq!(typed("22-May"), None);
        assert_eq!(date_text("3/8"), None);
        assert_eq!(date_text("31 1/4"), None);
        assert_eq!(date_text("2-3/8"), None);
        assert_eq!(date_text("4'-7 1/4"), None);
        assert_eq!(date_text("31.25"), None);
    }

    #[test]
    fn day_numbers_are_those_of_spreadsheets() {
        // SOURCE: 45,359 is 8 March 2024 and 1 is 1 January 1900 in the 1900 date system.
        let date =
            |serial| date_of_serial(serial).map(|d| (d.year.unwrap(), d.month, d.day.unwrap()));
        assert_eq!(date(45_359), Some((2024, 3, 8)));
        assert_eq!(date(1), Some((1900, 1, 1)));
        assert_eq!(date(59), Some((1900, 2, 28)));
        assert_eq!(date(60), None);
        assert_eq!(date(61), Some((1900, 3, 1)));
        assert_eq!(date(2_958_465), Some((9999, 12, 31)));
        assert_eq!(date(0), None);
    }
}
