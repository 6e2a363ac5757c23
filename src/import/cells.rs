//! One cell to a length, a "no reading", or a fault.

use super::dates::{DateSeen, Typed, date_of_serial, date_text, fraction_typed};
use super::error::{Fault, Faults, quoted, quoted_with_signs};
use super::headers::is_no_reading;
use super::options::Meaning;
use super::scales::Scale;
use super::table::{Cell, Kind};
use super::workbook::{NO_VALUE, SHOWN_OTHERWISE};
use crate::survey::{Place, steers};
use crate::units::{Comma, Length, LengthError, LengthUnit, WrittenLength, read_length};

/// The largest reading down from or up to a line: 20 ft, more than any storey a line is set in.
pub(super) const LARGEST_READING: Length = Length::from_ft(20.0);

/// The smallest: 3 mm (1/8 in), the thickness of a rule. A line stands higher than that.
const SMALLEST_READING: Length = Length::from_mm(3.0);

/// How the cells of one column, or of one matrix, are to be taken.
#[derive(Debug, Clone, Copy)]
pub(super) struct CellRule {
    /// Unit of bare numbers.
    pub unit: Option<LengthUnit>,
    /// Read dates back as fractions.
    pub dates_as_fractions: bool,
    /// What the column's other cells hold, metres: a date that would make something else is not offered back.
    pub usual_m: Option<f64>,
    /// Take whole numbers of five digits, in feet or inches, for the day numbers of dates: no reading
    /// is that large, but a plan coordinate may be.
    pub day_numbers: bool,
    /// Whether these are distances in plan: nobody measures those to a thousandth of a millimetre, so that a point before three
    /// digits may be meant for thousands.
    pub plan: bool,
    /// Take a comma that could be either for the decimal mark, as [`decimal_by_size`] found.
    pub decimal_comma: bool,
    /// What bare numbers count, where that is a part of the unit.
    pub scale: Option<Scale>,
}

/// What is expected where a cell holds nothing like a length.
pub(super) const A_LENGTH: &str = "a length such as 3 7/8, 4'-7 1/4\", 98 or 9.8, or nothing";

/// What a cell turned out to hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Seen {
    /// Nothing was read there.
    NoReading,
    /// A length.
    Length(WrittenLength),
    /// A length got back from a date, by the caller's leave.
    Recovered(WrittenLength, Typed),
}

/// Why a cell is not a length.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct CellFault {
    pub fault: Fault,
    pub found: String,
    pub expected: String,
    pub remedy: String,
}

impl CellFault {
    fn new(fault: Fault, found: String, expected: &str, remedy: impl Into<String>) -> Self {
        Self {
            fault,
            found,
            expected: expected.to_owned(),
            remedy: remedy.into(),
        }
    }

    pub(super) fn report(self, faults: &mut Faults, place: Place) {
        faults.add(self.fault, place, self.found, self.expected, self.remedy);
    }
}

/// Reads a cell as a length.
pub(super) fn length(cell: Cell<'_>, rule: CellRule) -> Result<Seen, CellFault> {
    let seen = in_units(cell, rule)?;
    let Some(scale) = rule.scale else {
        return Ok(seen);
    };
    match seen {
        Seen::Length(written) if written.unit.is_none() => {
            let whole = cell.text.parse::<f64>().is_ok_and(|n| n.fract() == 0.0);
            if !whole || written.fraction.is_some() {
                return Err(CellFault::new(
                    Fault::NotALength,
                    format!("{} among counts of {scale}", quoted(cell.text)),
                    "a whole number",
                    "If these are whole units that were only read so closely, write the unit without its scale, as in reading_in.",
                ));
            }
            let length = Length::from_m(written.length.m() / f64::from(scale.parts));
            Ok(Seen::Length(WrittenLength { length, ..written }))
        }
        _ => Ok(seen),
    }
}

/// Reads a cell as a length in the unit of the rule.
fn in_units(cell: Cell<'_>, rule: CellRule) -> Result<Seen, CellFault> {
    if cell.kind == Kind::Error && cell.text == NO_VALUE {
        return Err(CellFault::new(
            Fault::ErrorCell,
            NO_VALUE.to_owned(),
            "a number",
            "Open the file in a spreadsheet, so that it is worked out, and save it again; or type the value itself.",
        ));
    }
    if cell.kind == Kind::Error || is_error_text(cell.text) {
        return Err(CellFault::new(
            Fault::ErrorCell,
            format!("the spreadsheet error {}", cell.text),
            "a number",
            "Mend the formula, or clear the cell if nothing was read there.",
        ));
    }
    if cell.kind == Kind::Number {
        return number(cell, rule);
    }
    if cell.kind != Kind::Date {
        // Most cells are numbers: try that before the words for nothing.
        match read_length(cell.text, rule.unit, cell.comma) {
            Ok(written) => {
                let value = || cell.text.parse::<f64>().unwrap_or(0.0);
                if written.unit.is_none()
                    && cell.text.len() == 5
                    && let Some(date) = day_number(value(), rule)
                {
                    return dated(cell, date, rule);
                }
                if rule.plan && is_point_of_thousands(cell, rule, written) {
                    let (grouped, decimal) = (cell.text.replace('.', ""), cell.text.to_owned());
                    let found = cell.text.to_owned();
                    let error = LengthError::AmbiguousComma {
                        found,
                        grouped,
                        decimal,
                    };
                    return Err(from_text(cell, error));
                }
                if is_grouped_by_apostrophe(cell.text) && !rule.plan {
                    return Err(grouped_by_apostrophe(cell));
                }
                return refuse_mixed(cell, rule, written);
            }
            Err(LengthError::AmbiguousComma { .. })
                if rule.decimal_comma && cell.comma == Comma::Auto =>
            {
                let comma = Comma::Decimal;
                return length(Cell { comma, ..cell }, rule);
            }
            Err(error) if !is_no_reading(cell.text) => {
                if let Some(date) = date_text(cell.text) {
                    return dated(cell, date, rule);
                }
                return Err(from_text(cell, error));
            }
            Err(_) => return Ok(Seen::NoReading),
        }
    }
    match date_text(cell.text) {
        Some(date) => dated(cell, date, rule),
        None => Err(from_text(
            cell,
            LengthError::NotALength {
                found: cell.text.to_owned(),
            },
        )),
    }
}

/// A workbook's number: it carries no unit and no commas of its own.
fn number(cell: Cell<'_>, rule: CellRule) -> Result<Seen, CellFault> {
    let Ok(value) = cell.text.parse::<f64>() else {
        return Err(not_finite(cell));
    };
    if !value.is_finite() {
        return Err(not_finite(cell));
    }
    let Some(unit) = rule.unit else {
        return Err(missing_unit(cell));
    };
    if let Some(date) = day_number(value, rule) {
        return dated(cell, date, rule);
    }
    if unit == LengthUnit::FeetInches && value != 0.0 {
        return Err(from_text(
            cell,
            LengthError::UnmarkedFeetInches {
                found: cell.text.to_owned(),
            },
        ));
    }
    let decimals = cell.text.split_once('.').map_or(0, |(_, d)| d.len() as u32);
    Ok(Seen::Length(WrittenLength {
        length: unit.length(value),
        unit: None,
        fraction: None,
        decimals,
        signed: value < 0.0,
    }))
}

/// The date whose day number a value is: 1954 to 2118, whole, where feet or inches are read.
fn day_number(value: f64, rule: CellRule) -> Option<DateSeen> {
    let fits = rule.day_numbers
        && rule.scale.is_none()
        && rule.unit.is_some_and(LengthUnit::is_us)
        && (20_000.0..80_000.0).contains(&value)
        && value.fract() == 0.0;
    fits.then(|| date_of_serial(value as u32)).flatten()
}

/// A date: refused, with what it probably was; or that, by leave.
fn dated(cell: Cell<'_>, date: DateSeen, rule: CellRule) -> Result<Seen, CellFault> {
    let plain = fraction_typed(date);
    let typed = plain
        .filter(|_| rule.unit.is_none_or(LengthUnit::is_us))
        .filter(|typed| fits_in(*typed, rule));
    if let (true, Some((whole, top, bottom)), Some(unit)) =
        (rule.dates_as_fractions, typed, rule.unit)
    {
        let written = WrittenLength {
            length: Length::from_m(
                (f64::from(whole) + f64::from(top) / f64::from(bottom)) * unit.metres(),
            ),
            unit: None,
            fraction: Some((top, bottom)),
            decimals: 0,
            signed: false,
        };
        return Ok(Seen::Recovered(written, (whole, top, bottom)));
    }
    let found = if cell.text.bytes().all(|b| b.is_ascii_digit()) {
        format!("{}, a day number", cell.text)
    } else {
        format!("{}, a date", quoted(cell.text))
    };
    let remedy = match typed {
        Some(typed) => format!(
            "It was probably {}: type it as text (or as 0 {}), or read all such cells so with --dates-as-fractions.",
            typed_text(typed),
            typed_text(typed)
        ),
        None => match plain.filter(|_| rule.dates_as_fractions) {
            Some(plain) => format!(
                "As a fraction it would be {}, which is no reading beside the others of its column: type the reading again in a cell formatted as text.",
                typed_text(plain)
            ),
            None => "Type the reading again in a cell formatted as text.".to_owned(),
        },
    };
    Err(CellFault::new(Fault::BecameDate, found, "a length", remedy))
}

/// A fraction got back from a date is not believed beside cells that usually hold more than this, metres, and more
/// than four times as much: 3/8 is no reading among readings of 38 in.
const PLAIN_M: f64 = 0.05;

/// Whether a fraction fits in with the other cells of its column.
fn fits_in((whole, top, bottom): Typed, rule: CellRule) -> bool {
    let value = f64::from(whole) + f64::from(top) / f64::from(bottom);
    match (rule.usual_m, rule.unit) {
        (Some(usual), Some(unit)) => usual <= PLAIN_M || usual <= 4.0 * value * unit.metres(),
        _ => true,
    }
}

/// Whether commas that could be either have to be decimal marks, since with thousands no reading could be that long:
/// `1,484` in metres. A comma that could be either in size as well, or one reading that fits only with thousands, settles
/// nothing.
pub(super) fn decimal_by_size<'a>(cells: impl Iterator<Item = Cell<'a>>, rule: CellRule) -> bool {
    let metres = |text: &str| {
        read_length(text, rule.unit, Comma::Auto).map_or(f64::NAN, |written| written.length.m())
    };
    let mut any = false;
    let open =
        |c: &Cell<'_>| c.kind == Kind::Text && c.comma == Comma::Auto && c.text.contains(',');
    for cell in cells.filter(open) {
        if let Err(LengthError::AmbiguousComma {
            grouped, decimal, ..
        }) = read_length(cell.text, rule.unit, Comma::Auto)
        {
            let (grouped, decimal) = (metres(&grouped), metres(&decimal));
            let fits = SMALLEST_READING.m()..=LARGEST_READING.m();
            if grouped <= LARGEST_READING.m() || !fits.contains(&decimal) {
                return false;
            }
            any = true;
        }
    }
    any
}

/// Cells looked at for the usual length of a column.
const LOOKED_AT: usize = 1000;

/// Median of the lengths that can be read in some cells, metres; `None` where there are none.
pub(super) fn usual_m<'a>(cells: impl Iterator<Item = Cell<'a>>, rule: CellRule) -> Option<f64> {
    let mut lengths: Vec<f64> = cells
        .filter(|c| !c.is_blank())
        .take(LOOKED_AT)
        .filter_map(|c| match length(c, rule) {
            Ok(Seen::Length(written)) => Some(written.length.m()),
            _ => None,
        })
        .collect();
    let middle = lengths.len() / 2;
    (!lengths.is_empty()).then(|| *lengths.select_nth_unstable_by(middle, f64::total_cmp).1)
}

/// `3/8`, `2 3/8`.
pub(super) fn typed_text((whole, top, bottom): Typed) -> String {
    if whole == 0 {
        format!("{top}/{bottom}")
    } else {
        format!("{whole} {top}/{bottom}")
    }
}

fn refuse_mixed(cell: Cell<'_>, rule: CellRule, written: WrittenLength) -> Result<Seen, CellFault> {
    if let (Some(own), Some(stated)) = (written.unit, rule.unit)
        && own.is_us() != stated.is_us()
    {
        return Err(CellFault::new(
            Fault::MixedUnits,
            format!("{}, in {own}", quoted(cell.text)),
            &format!("{stated}, as the header or flag says"),
            "Bring the column to one unit.",
        ));
    }
    Ok(Seen::Length(written))
}

fn missing_unit(cell: Cell<'_>) -> CellFault {
    CellFault::new(
        Fault::MissingUnit,
        format!("{} with no unit", quoted(cell.text)),
        "one of ft, in, ft-in, mm, cm, m",
        "",
    )
}

fn not_finite(cell: Cell<'_>) -> CellFault {
    CellFault::new(
        Fault::NotFinite,
        quoted(cell.text),
        "a finite number",
        "Clear the cell if nothing was read there.",
    )
}

fn from_text(cell: Cell<'_>, error: LengthError) -> CellFault {
    let lower = cell.text.to_lowercase();
    let bare = lower.trim_start_matches(['-', '+']);
    if matches!(bare, "nan" | "inf" | "infinity" | "\u{221e}") {
        return not_finite(cell);
    }
    let (fault, expected, remedy) = match &error {
        LengthError::MissingUnit { .. } => return missing_unit(cell),
        LengthError::NotFinite { .. } => return not_finite(cell),
        LengthError::AmbiguousComma {
            grouped, decimal, ..
        } => (
            Fault::NotALength,
            "a number that can be read one way".to_owned(),
            match cell.comma {
                Comma::Auto => format!(
                    "It could be {grouped} or {decimal}: write decimals with a point, thousands with nothing."
                ),
                Comma::Decimal | Comma::Unsure => format!(
                    "It could be {grouped} or {decimal}, since other numbers here have decimal commas: write all decimals with one mark, thousands with nothing."
                ),
            },
        ),
        LengthError::UnmarkedFeetInches { .. } => (
            Fault::NotALength,
            "feet and inches marked, as in 4' 7 1/4\"".to_owned(),
            "Mark the number with ' or \", or state the unit in or ft.".to_owned(),
        ),
        LengthError::ImproperFraction { .. } => (
            Fault::NotALength,
            "a fraction whose top is smaller than its bottom, as in 3 7/8".to_owned(),
            "Put the blank between inches and fraction back.".to_owned(),
        ),
        LengthError::InchesOverTwelve { .. } => (
            Fault::NotALength,
            "less than 12 inches beside feet".to_owned(),
            "An apostrophe is read as feet, never as a thousands mark.".to_owned(),
        ),
        LengthError::MetricFraction { unit, .. } => (
            Fault::MixedUnits,
            format!("decimals, since the unit is {unit}"),
            "If these are inches, state the unit in.".to_owned(),
        ),
        _ if !cell.text.is_empty() && cell.text.bytes().all(|b| b == b'#') => (
            Fault::ErrorCell,
            "a number".to_owned(),
            "The column was too narrow when the file was saved: widen it and export again."
                .to_owned(),
        ),
        _ if cell.text.ends_with(SHOWN_OTHERWISE) => (
            Fault::NotALength,
            "a number that the sheet shows as it is".to_owned(),
            "Give the cell a plain number format, and look whether what it shows was read."
                .to_owned(),
        ),
        _ if is_ditto(cell.text) => (
            Fault::NotALength,
            "the value itself".to_owned(),
            "Write out what the mark repeats.".to_owned(),
        ),
        _ if let Some(inner) = bracketed(cell.text) => (
            Fault::NotALength,
            "a number without brackets".to_owned(),
            format!("If the brackets stand for a minus, write -{inner}; else {inner}."),
        ),
        _ if blanks_group(cell.text) => (
            Fault::NotALength,
            "a number without a thousands mark".to_owned(),
            "Write thousands with nothing between them, as in 1203.5.".to_owned(),
        ),
        _ => (
            Fault::NotALength,
            A_LENGTH.to_owned(),
            match cell.text.contains(|c: char| c.is_ascii_digit()) {
                // `39 1/8 wet`, `39 3/16 (995 mm)`.
                true => "Where a number was read, write it alone, such as 39 1/8, and what else is to be said into a column of notes. Leave the cell blank, or write x, where nothing was read.",
                false => "Leave the cell blank, or write x, where nothing was read.",
            }
            .to_owned(),
        ),
    };
    let remedy = match cell.text.contains(steers) {
        true => format!(
            "{remedy} Signs that are not seen stand in it, shown here as their codes: type the value again."
        ),
        false => remedy,
    };
    CellFault {
        fault,
        found: quoted_with_signs(cell.text),
        expected,
        remedy,
    }
}

/// Whether three figures stand behind a foot mark and nothing marks them as inches: `1'007`, as some write thousands.
fn is_grouped_by_apostrophe(text: &str) -> bool {
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let Some((head, behind)) = text.split_once(['\'', '\u{2019}', '\u{2032}']) else {
        return false;
    };
    let figures = behind.split('.').next().unwrap_or_default();
    digits(head) && head.len() <= 3 && digits(figures) && figures.len() == 3
}

fn grouped_by_apostrophe(cell: Cell<'_>) -> CellFault {
    let plain: String = cell
        .text
        .chars()
        .filter(|c| c.is_ascii_digit() || *c == '.')
        .collect();
    CellFault::new(
        Fault::NotALength,
        format!("{}, three figures behind a foot mark", quoted(cell.text)),
        "feet and inches such as 1' 7\", or a number without a thousands mark and its unit",
        format!(
            "If the mark parts thousands, write {plain} and state the unit, as in reading_mm. If these are feet and inches, write the inches as 7 or 7 1/4."
        ),
    )
}

/// Whether a text such as `1.500` in millimetres or centimetres may well be 1500.
fn is_point_of_thousands(cell: Cell<'_>, rule: CellRule, written: WrittenLength) -> bool {
    let small = matches!(
        written.unit.or(rule.unit),
        Some(LengthUnit::Millimetre | LengthUnit::Centimetre)
    );
    // A workbook's number was typed with the mark of its own program, and a column that has other decimals with a point
    // says what a point is.
    small
        && cell.kind == Kind::Text
        && !cell.points
        && cell.text.split_once('.').is_some_and(|(whole, decimals)| {
            let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
            (1..=3).contains(&whole.len())
                && decimals.len() == 3
                && !whole.starts_with('0')
                && digits(whole)
                && digits(decimals)
        })
}

/// The number in brackets that a text is, as books write what is less than zero: `(1.25)`.
pub(super) fn bracketed(text: &str) -> Option<&str> {
    let inner = text.trim().strip_prefix('(')?.strip_suffix(')')?.trim();
    let number = inner.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    (number && read_length(inner, Some(LengthUnit::Inch), Comma::Auto).is_ok()).then_some(inner)
}

/// Whether a cell says that it holds what the one above does.
pub(super) fn is_ditto(text: &str) -> bool {
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        return false;
    }
    let bare = text.trim().trim_matches('-').trim();
    matches!(
        bare.to_lowercase().trim_end_matches('.'),
        "\"" | "\"\"" | "\u{201d}" | "\u{2033}" | "\u{3003}" | "''" | "do" | "ditto"
    )
}

/// Whether blanks stand in a number as thousands marks: `1 203,5`.
fn blanks_group(text: &str) -> bool {
    let (head, decimals) = text.split_once([',', '.']).unwrap_or((text, "0"));
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let mut groups = head.split(|c: char| c.is_whitespace());
    let first = groups.next().unwrap_or_default();
    let rest: Vec<&str> = groups.collect();
    digits(decimals)
        && digits(first)
        && first.len() <= 3
        && !rest.is_empty()
        && rest.iter().all(|g| g.len() == 3 && digits(g))
}

/// The error words of spreadsheets, as exported to text.
pub(super) fn is_error_text(text: &str) -> bool {
    if let Some(code) = text.strip_prefix("Err:") {
        return code.bytes().all(|b| b.is_ascii_digit());
    }
    text.starts_with('#')
        && matches!(
            text.to_uppercase().as_str(),
            "#DIV/0!"
                | "#N/A"
                | "#NAME?"
                | "#NULL!"
                | "#NUM!"
                | "#REF!"
                | "#VALUE!"
                | "#SPILL!"
                | "#CALC!"
                | "#NV"
                | "#WERT!"
                | "#BEZUG!"
                | "#ZAHL!"
                | "#GETTING_DATA"
        )
}

/// What to do with numbers that run down from the highest floor.
const FROM_HIGHEST: &str = "If they run down from the highest point, which is 0, add one length to all of them, such as 40 in: 40 for 0, 40 1/16 for 1/16. What lies between the points stays the same.";

/// Refuses what can be written but not be read off a rule: zero, minus, plus, forty feet.
pub(super) fn plausible(
    cell: Cell<'_>,
    written: WrittenLength,
    meaning: Meaning,
) -> Result<(), CellFault> {
    if meaning == Meaning::Elevation {
        return Ok(());
    }
    let m = written.length.m();
    if m == 0.0 {
        return Err(CellFault::new(
            Fault::Zero,
            format!("{}, a reading of zero", quoted(cell.text)),
            "a distance from the line to the floor",
            format!(
                "Leave the cell blank, or write x, where nothing was read; state --meaning elevation if these are heights. {FROM_HIGHEST}"
            ),
        ));
    }
    if written.signed {
        return Err(CellFault::new(
            Fault::Signed,
            format!("{}, with a sign", quoted(cell.text)),
            "a distance from the line to the floor, which has no sign",
            "State --meaning elevation if these are heights above or below a mark.",
        ));
    }
    if m < SMALLEST_READING.m() - 1e-9 {
        return Err(CellFault::new(
            Fault::OutOfRange,
            quoted(cell.text),
            "a reading of 1/8 in (3 mm) or more",
            format!("Is the unit right? A point may be meant as a thousands mark. {FROM_HIGHEST}"),
        ));
    }
    if m > LARGEST_READING.m() {
        return Err(CellFault::new(
            Fault::OutOfRange,
            quoted(cell.text),
            "a reading between 0 and 20 ft (6.1 m)",
            "Is the unit right? If these are heights of the floor over a bench mark, state --meaning elevation.",
        ));
    }
    Ok(())
}
