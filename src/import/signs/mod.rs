//! What a workbook shows of its cells beside their values: hidden, struck through, merged, a unit in the number
//! format, a formula that was never worked out.
//!
//! The parser of values passes over all of these. Files are looked over beforehand (`zip_guard`, `xls_guard`), so
//! what does not parse here is only left untold.

mod ods;
mod ods_format;
mod xls;
mod xlsx;

pub(super) use ods::{first_without_number, ods};
pub(super) use xls::xls;
pub(super) use xlsx::xlsx;

use crate::units::LengthUnit;
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::collections::{BTreeMap, HashMap, HashSet};
use std::io::{Cursor, Read};
use std::ops::RangeInclusive;
use zip::ZipArchive;

/// Row and column, from 1.
type Spot = (u32, u32);

/// What one sheet shows.
#[derive(Debug, Clone, Default)]
pub(super) struct Signs {
    hidden_rows: Vec<RangeInclusive<u32>>,
    hidden_columns: Vec<RangeInclusive<u32>>,
    struck: HashSet<Spot>,
    merged: Vec<(Spot, Spot)>,
    covered: HashSet<Spot>,
    percents: HashSet<Spot>,
    money: HashSet<Spot>,
    unvalued: HashSet<Spot>,
    empty_answers: HashSet<Spot>,
    shown_errors: HashMap<Spot, String>,
    hidden_zeros: HashSet<Spot>,
    /// Cells whose number format shows other figures or another sign than their value has.
    altered: HashSet<Spot>,
    /// Cells whose number format shows no figure at all.
    unseen: HashSet<Spot>,
    units: HashMap<Spot, LengthUnit>,
    /// Whether the sheet is shown from right to left, its first column at the right.
    leftward: bool,
    /// Words of the comments on cells; none where the file's are only seen.
    comments: BTreeMap<Spot, String>,
}

/// What a cell's style shows.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Style {
    struck: bool,
    unit: Option<LengthUnit>,
    percent: bool,
    money: bool,
    /// Whether a zero is shown as a sign or not at all.
    zero_hidden: bool,
    /// Whether a number is shown as a sign or not at all.
    unseen: bool,
    /// Whether it is shown with other figures or another sign.
    altered: bool,
}

impl Style {
    /// What a number format shows, by its code.
    fn of_format(code: &str) -> Self {
        Self {
            struck: false,
            unit: unit_of_format(code),
            percent: is_percent_format(code),
            money: is_money_format(code),
            zero_hidden: hides_zero_format(code),
            unseen: hides_numbers_format(code),
            altered: alters_numbers_format(code),
        }
    }

    /// The same of a format that XLS and XLSX only number.
    fn of_number(id: u32) -> Self {
        Self {
            percent: PERCENT_FORMATS.contains(&id),
            money: MONEY_FORMATS.contains(&id) || matches!(id, 42 | 44),
            zero_hidden: ACCOUNTING_FORMATS.contains(&id),
            ..Self::default()
        }
    }
}

impl Signs {
    /// Whether a cell's row or column is hidden.
    pub(super) fn is_hidden(&self, row: u32, column: u32) -> bool {
        let within = |list: &[RangeInclusive<u32>], at: u32| list.iter().any(|r| r.contains(&at));
        within(&self.hidden_rows, row) || within(&self.hidden_columns, column)
    }

    /// Comments on cells, with their words where these are read.
    pub(super) const fn comments(&self) -> &BTreeMap<Spot, String> {
        &self.comments
    }

    /// Whether the sheet is shown with its first column at the right.
    pub(super) const fn is_leftward(&self) -> bool {
        self.leftward
    }

    /// Whether a cell is struck through.
    pub(super) fn is_struck(&self, row: u32, column: u32) -> bool {
        self.struck.contains(&(row, column))
    }

    /// The last cell of the merged cells that begin here.
    pub(super) fn merged_to(&self, row: u32, column: u32) -> Option<Spot> {
        self.merged
            .iter()
            .find(|(first, _)| *first == (row, column))
            .map(|(_, last)| *last)
    }

    /// Whether a cell lies under others that were merged, so that nobody sees what it holds.
    pub(super) fn is_covered(&self, row: u32, column: u32) -> bool {
        self.covered.contains(&(row, column))
    }

    /// Whether a cell's number is shown as a percentage.
    pub(super) fn is_percent(&self, row: u32, column: u32) -> bool {
        self.percents.contains(&(row, column))
    }

    /// Whether a cell's number is shown as an amount of money.
    pub(super) fn is_money(&self, row: u32, column: u32) -> bool {
        self.money.contains(&(row, column))
    }

    /// Whether a cell's number format shows a zero as a sign such as a dash, or not at all.
    pub(super) fn hides_zero(&self, row: u32, column: u32) -> bool {
        self.hidden_zeros.contains(&(row, column))
    }

    /// Whether a cell's number format shows a number as a sign, or not at all.
    pub(super) fn hides_numbers(&self, row: u32, column: u32) -> bool {
        self.unseen.contains(&(row, column))
    }

    /// Whether a cell's number format shows a number with other figures or another sign than it has.
    pub(super) fn alters_numbers(&self, row: u32, column: u32) -> bool {
        self.altered.contains(&(row, column))
    }

    /// The error that a cell shows, whatever value is stored with it.
    pub(super) fn shown_error(&self, row: u32, column: u32) -> Option<&str> {
        self.shown_errors.get(&(row, column)).map(String::as_str)
    }

    /// Whether a formula stands there that was never worked out.
    pub(super) fn lacks_value(&self, row: u32, column: u32) -> bool {
        self.unvalued.contains(&(row, column))
    }

    /// Whether a formula stands there whose answer is empty, in a file that does not say whether it was worked out.
    pub(super) fn has_empty_answer(&self, row: u32, column: u32) -> bool {
        self.empty_answers.contains(&(row, column))
    }

    /// The unit that a cell's number format writes behind the number.
    pub(super) fn unit(&self, row: u32, column: u32) -> Option<LengthUnit> {
        self.units.get(&(row, column)).copied()
    }

    fn styled(&mut self, spot: Spot, style: Style) {
        if style.struck {
            self.struck.insert(spot);
        }
        if style.percent {
            self.percents.insert(spot);
        }
        if style.money {
            self.money.insert(spot);
        }
        if style.zero_hidden {
            self.hidden_zeros.insert(spot);
        }
        if style.altered {
            self.altered.insert(spot);
        }
        if style.unseen {
            self.unseen.insert(spot);
        }
        if let Some(unit) = style.unit {
            self.units.insert(spot, unit);
        }
    }

    fn merge(&mut self, first: Spot, last: Spot) {
        if last > first {
            self.merged.push((first, last));
            let (rows, columns) = (first.0..=last.0, first.1..=last.1);
            let spots = rows.flat_map(|row| columns.clone().map(move |column| (row, column)));
            self.covered.extend(spots.skip(1).take(MOST_COVERED));
        }
    }
}

/// Cells of one merged area that are known as covered.
const MOST_COVERED: usize = 10_000;

/// Whether a number format shows percentages: a `%` outside of its literal words.
fn is_percent_format(code: &str) -> bool {
    let (mut quoted, mut escaped) = (false, false);
    for c in code.chars() {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => quoted = !quoted,
            '%' if !quoted => return true,
            _ => {}
        }
    }
    false
}

/// Whether a number format shows amounts of money: a currency's sign, or the currency that the format names.
fn is_money_format(code: &str) -> bool {
    let named = code.split("[$").skip(1).any(|rest| {
        let name = rest.split(['-', ']']).next().unwrap_or("").trim();
        !name.is_empty() && LengthUnit::from_word(name).is_none()
    });
    named
        || code
            .replace("[$", "")
            .contains(['$', '€', '£', '¥', '₹', '₩', '₽', '₺'])
}

/// Whether a number format has a section of its own for zeros, the third, that shows no nought: `0.0;-0.0;"-"`, `;;;`.
fn hides_zero_format(code: &str) -> bool {
    let (mut quoted, mut escaped, mut section, mut digits) = (false, false, 0, false);
    for c in code.chars() {
        match c {
            _ if escaped => escaped = false,
            '\\' | '_' | '*' => escaped = true,
            '"' => quoted = !quoted,
            ';' if !quoted => section += 1,
            // Other signs for digits show a zero as a blank.
            '0' | 'G' | 'g' if !quoted && section == 2 => digits = true,
            _ => {}
        }
    }
    section >= 2 && !digits
}

/// Whether the section of a number format that numbers above zero are shown by, the first, has no place for a digit, the
/// number as it is, or a part of a date: `;;;`, `"x"`. A section with a condition says nothing of other numbers.
fn hides_numbers_format(code: &str) -> bool {
    let (mut quoted, mut escaped, mut bracketed) = (false, false, false);
    for c in code.chars() {
        match c {
            _ if escaped => escaped = false,
            '\\' | '_' | '*' if !quoted => escaped = true,
            '"' => quoted = !quoted,
            _ if quoted => {}
            '[' => bracketed = true,
            ']' => bracketed = false,
            '<' | '>' | '=' if bracketed => return false,
            _ if bracketed => {}
            ';' => break,
            '0' | '#' | '?' | '@' => return false,
            _ if c.is_ascii_alphabetic() => return false,
            _ => {}
        }
    }
    !code.is_empty()
}

/// Whether the section of a number format that numbers above zero are shown by, the first, shows other figures or another sign than
/// they have: figures or a sign among its literal words (`0" 1/2"`, `-0.00`, `(0.00)`), or a thousandth by a comma behind the
/// last place (`0.0,`), or words that are no unit (`0" sixteenths"`, `0\%`): typed behind the number they would be refused too. A section with a
/// condition says nothing of other numbers.
fn alters_numbers_format(code: &str) -> bool {
    let (mut literal, mut places, mut words) = (String::new(), String::new(), String::new());
    let code = code.replace("General", "0");
    let mut chars = code.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            ';' => break,
            '"' => {
                let quoted: String = chars.by_ref().take_while(|&c| c != '"').collect();
                // A dash or a bracket may as well stand about a unit: `0.0" (mm)"`.
                let sign = quoted.trim();
                let alone = matches!(sign, "-" | "\u{2212}" | "(");
                literal.push_str(if alone { sign } else { "" });
                literal.extend(quoted.chars().filter(char::is_ascii_digit));
                words.push_str(&quoted);
            }
            '\\' => {
                let escaped = chars.next();
                literal.extend(escaped);
                words.extend(escaped);
            }
            '_' | '*' => {
                chars.next();
            }
            '[' => {
                let inner: String = chars.by_ref().take_while(|&c| c != ']').collect();
                if inner.starts_with(['<', '>', '=']) {
                    return false;
                }
            }
            // The power of ten brings its own sign.
            'E' | 'e' if matches!(chars.peek(), Some('+' | '-')) => {
                chars.next();
            }
            '-' | '(' => literal.push(c),
            '0' | '#' | '?' | '.' | ',' | '/' => places.push(c),
            // The bottom of a fraction is no figure beside it: `# ?/16`.
            '1'..='9' if !places.contains('/') => literal.push(c),
            // A date, or the number as it is.
            _ if c.is_ascii_alphabetic() => return false,
            _ => {}
        }
    }
    let scaled = places.ends_with(',');
    let other = |c: char| c.is_ascii_digit() || matches!(c, '-' | '\u{2212}' | '(');
    let told = words.trim_matches(|c: char| c.is_whitespace() || "().".contains(c));
    let says = |c: char| c.is_alphabetic() || "%~\u{b0}<>\u{b1}".contains(c);
    let stranger = told.contains(says) && unit_of_words(&words).is_none();
    places.contains(['0', '#', '?']) && (scaled || stranger || literal.contains(other))
}

/// The numbers that XLS and XLSX give to the accounting formats, which show a dash for zero and are written out nowhere.
const ACCOUNTING_FORMATS: std::ops::RangeInclusive<u32> = 41..=44;

/// The numbers that XLS and XLSX give to the plain formats of money; two of the accounting formats, 42 and 44, are of money
/// too.
const MONEY_FORMATS: std::ops::RangeInclusive<u32> = 5..=8;

/// The numbers that XLS and XLSX give to the formats `0%` and `0.00%`, which are written out nowhere.
const PERCENT_FORMATS: std::ops::RangeInclusive<u32> = 9..=10;

/// The unit among the literal words of a number format: `0.0" mm"`, `0.00\ "in"`.
fn unit_of_format(code: &str) -> Option<LengthUnit> {
    let mut words = String::new();
    let mut chars = code.chars();
    while let Some(c) = chars.next() {
        match c {
            ';' => break,
            '"' => words.extend(chars.by_ref().take_while(|&c| c != '"')),
            '\\' => words.extend(chars.next()),
            // A mark for feet needs no quotes.
            '\'' => words.push(c),
            // The width of a character, or a character to fill with.
            '_' | '*' => {
                chars.next();
            }
            '[' => {
                let inner: String = chars.by_ref().take_while(|&c| c != ']').collect();
                if let Some(currency) = inner.strip_prefix('$') {
                    words.extend(currency.chars().take_while(|&c| c != '-'));
                }
            }
            _ => {}
        }
    }
    unit_of_words(&words)
}

/// The unit that words beside a number name: by themselves, in brackets (`(mm)`), after a dash or a stroke, or as the first of several
/// (`mm down`). `in` and `m` count by themselves only: with more beside them they may be other words.
fn unit_of_words(words: &str) -> Option<LengthUnit> {
    let mark = |c: char| matches!(c, '\'' | '"' | '\u{2032}' | '\u{2033}');
    let bare = words.trim_matches(|c: char| !c.is_alphanumeric() && !mark(c));
    if bare.is_empty() {
        return None;
    }
    LengthUnit::from_word(bare).or_else(|| {
        let first = bare.split(|c: char| !c.is_alphanumeric()).next()?;
        // A slope, as mm/m, is no length.
        let of_another = bare[first.len()..].starts_with('/');
        LengthUnit::from_word(first)
            .filter(|_| first.len() > 1 && !first.eq_ignore_ascii_case("in") && !of_another)
    })
}

/// An element's name without its prefix.
fn local<'a>(e: &'a BytesStart<'_>) -> &'a str {
    let name = e.name().into_inner();
    name.rsplit(':').next().unwrap_or(name)
}

/// An attribute by its name without a prefix.
fn attribute(e: &BytesStart<'_>, key: &str) -> Option<String> {
    e.attributes()
        .flatten()
        .find(|a| a.key.as_ref().rsplit(':').next() == Some(key))
        .map(|a| a.value.to_string())
}

fn number(e: &BytesStart<'_>, key: &str) -> Option<u32> {
    attribute(e, key)?.trim().parse().ok()
}

fn is_on(e: &BytesStart<'_>, key: &str) -> bool {
    attribute(e, key).is_some_and(|v| matches!(v.trim(), "1" | "true"))
}

/// Every start, text and end of a part, until it ends or does not parse.
fn walk(xml: &[u8], mut see: impl FnMut(&Event<'_>)) {
    let mut reader = Reader::from_reader(xml);
    reader.config_mut().expand_empty_elements = true;
    let mut buffer = Vec::new();
    while let Ok(event) = reader.read_event_into(&mut buffer) {
        if event == Event::Eof {
            return;
        }
        see(&event);
        buffer.clear();
    }
}

/// Adds words to the comment on a cell; a line's end is a blank.
fn add_words(comments: &mut BTreeMap<Spot, String>, spot: Spot, text: &str) {
    let words = comments.entry(spot).or_default();
    for word in text.split_whitespace() {
        if words.len() < MOST_OF_A_COMMENT {
            let apart = if words.is_empty() { "" } else { " " };
            words.push_str(apart);
            words.push_str(word);
        }
    }
}

/// Bytes of a comment that are kept.
const MOST_OF_A_COMMENT: usize = 1000;

fn part(archive: &mut ZipArchive<Cursor<&[u8]>>, name: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    archive
        .by_name(name)
        .ok()?
        .read_to_end(&mut bytes)
        .ok()
        .map(|_| bytes)
}

/// Whether an attribute as written, with its entities, names the sheet.
fn same_name(written: &str, sheet: &str) -> bool {
    written == sheet
        || quick_xml::escape::unescape(written).is_ok_and(|plain| plain.as_ref() == sheet)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_stand_in_the_literal_words_of_a_format() {
        // ORACLE: hand, by the number formats of ISO/IEC 29500-1, 18.8.31.
        use LengthUnit::{Inch, Metre, Millimetre};
        assert_eq!(unit_of_format("0.0\" mm\""), Some(Millimetre));
        assert_eq!(unit_of_format("#,##0.00\\ \\m"), Some(Metre));
        assert_eq!(unit_of_format("# ?/?\\\""), Some(Inch));
        assert_eq!(unit_of_format("0.0_);[Red](0.0\" mm\")"), None);
        assert_eq!(unit_of_format("[$mm-409] 0"), Some(Millimetre));
        assert_eq!(unit_of_format("General"), None);
        assert_eq!(unit_of_format("0.0\" pieces\""), None);
        for code in [
            "0.0\" (mm)\"",
            "0.0\"(mm)\"",
            "0.0\" [mm]\"",
            "\"[mm] \"0.0",
            "0.0\" mm down\"",
            "0.0\"\u{2011}mm\"",
        ] {
            assert_eq!(unit_of_format(code), Some(Millimetre), "{code}");
        }
        for code in ["0.0\" mm/m\"", "0.0\" in place\"", "0.0\" m down\""] {
            assert_eq!(unit_of_format(code), None, "{code}");
        }
    }

    #[test]
    fn money_has_a_sign_or_a_name() {
        // ORACLE: hand, by the same formats.
        for (code, money) in [
            ("\"$\"#,##0.00", true),
            ("#,##0.00\\ [$€-407]", true),
            ("[$CHF] 0.00", true),
            ("[$mm-409] 0", false),
            ("[$-409]0.00", false),
            ("0.00", false),
            ("0.0\" mm\"", false),
        ] {
            assert_eq!(is_money_format(code), money, "{code}");
        }
    }

    #[test]
    fn a_format_may_show_no_number_at_all() {
        // ORACLE: hand, by the same formats: digits stand at 0, # and ?, General shows the number as it is.
        for (code, hides) in [
            (";;;", true),
            ("\"x\"", true),
            ("\\x", true),
            ("0.00", false),
            ("General", false),
            ("# ?/?", false),
            ("yyyy-mm-dd", false),
            ("\"x\" 0", false),
            ("[Red]0", false),
            ("[<1]\"x\";0", false),
            ("@", false),
            ("", false),
        ] {
            assert_eq!(hides_numbers_format(code), hides, "{code}");
        }
        assert_eq!(unit_of_format("0'"), Some(LengthUnit::Foot));
    }

    #[test]
    fn a_format_may_show_other_figures() {
        // ORACLE: hand, by the same formats: 40.25 is shown as 40 1/2, -40.25, (40.25), 140, 0.0.
        for (code, alters) in [
            ("0\" 1/2\"", true),
            ("-0.00", true),
            ("\\-0.00", true),
            ("\"-\"0.00", true),
            ("(0.00)", true),
            ("\\(0.00\\)", true),
            ("\"1\"0", true),
            ("\\10", true),
            ("10", true),
            ("0.0,", true),
            // A plus says nothing of a height that it has not.
            ("+0.00;-0.00;0.00", false),
            ("#,##0.00", false),
            ("0.00_);(0.00)", false),
            ("0.00;-0.00", false),
            ("# ?/16", false),
            ("# ??/??", false),
            ("0.00E+00", false),
            ("0.0\" (mm)\"", false),
            ("0.0\" - mm\"", false),
            ("yyyy-mm-dd", false),
            ("General", false),
            ("[<1]\"1\"0;0", false),
            ("[Red]0.00", false),
            (
                "_(* #,##0.00_);_(* \\(#,##0.00\\);_(* \"-\"??_);_(@_)",
                false,
            ),
            ("", false),
        ] {
            assert_eq!(alters_numbers_format(code), alters, "{code}");
        }
    }

    #[test]
    fn a_format_may_show_something_else_for_zero() {
        // ORACLE: hand, by the same formats: the third section is that of zeros.
        for (code, hides) in [
            ("0.00", false),
            ("0.00;-0.00", false),
            ("0.00;-0.00;0.00", false),
            ("0;-0;\"x\"", true),
            (";;;", true),
            (
                "_(* #,##0.00_);_(* \\(#,##0.00\\);_(* \"-\"??_);_(@_)",
                true,
            ),
            ("_(* #,##0_);_(* \\(#,##0\\);_(* \"-\"_);_(@_)", true),
            ("0.0\";;0\"", false),
        ] {
            assert_eq!(hides_zero_format(code), hides, "{code}");
        }
    }
}
