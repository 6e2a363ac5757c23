//! Rows above a table that state something of it: a word and a value.

use super::corner::{Corner, corner};
use super::error::{Fault, Faults, quoted};
use super::headers::{FOREIGN, meaning, tidy, unit_or_scale};
use super::options::{Meaning, Spacing, XRuns};
use super::scales::Scale;
use super::table::{Cell, Row, Table};
use super::unit_lines::LineUnits;
use crate::survey::FirstRow;
use crate::units::{Comma, Length, LengthUnit, read_length};

/// A setting in a row above a table: `reading unit, in`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Setting {
    Room,
    PlanUnit,
    ReadingUnit,
    Units,
    Meaning,
    Spacing,
    FirstRow,
    XRuns,
}

/// Words that name a setting, with the value when it follows a colon in the same cell.
pub(super) fn setting(text: &str) -> Option<(Setting, Option<&str>)> {
    let (key, value) = match text.split_once([':', '=']) {
        Some((key, value)) if !value.trim().is_empty() => (key, Some(value.trim())),
        Some((key, _)) => (key, None),
        None => (text, None),
    };
    let setting = match tidy(&key.to_lowercase()).as_str() {
        "room" | "room name" | "area name" => Setting::Room,
        "plan unit" | "plan units" | "grid unit" | "grid units" | "plan" => Setting::PlanUnit,
        "reading unit" | "reading units" | "readings" | "readings in" | "unit of readings" => {
            Setting::ReadingUnit
        }
        "unit" | "units" | "all units" => Setting::Units,
        "meaning" | "readings are" => Setting::Meaning,
        "spacing" | "grid" | "grid spacing" => Setting::Spacing,
        "first row" => Setting::FirstRow,
        "x runs" | "first column" => Setting::XRuns,
        // Said as words beside a plan: with a wall that this program knows, and else for the reader.
        "top row" if value.is_some_and(names_a_wall) => Setting::FirstRow,
        _ => return None,
    };
    Some((setting, value))
}

/// Whether a word that may name a setting names something else, since its value is no value of the setting: `Plan | A-101`,
/// `Readings | 42`, `Unit | 4B`.
pub(super) fn is_other_word(text: &str, value: &str) -> bool {
    let key = text.split([':', '=']).next().unwrap_or_default();
    let foreign = FOREIGN.contains(&value.trim().to_lowercase().as_str());
    // `Readings | heights` says something, though not in the words of a setting.
    let foreign = foreign || meaning(value).is_some_and(|m| m != Meaning::Down);
    match tidy(&key.to_lowercase()).as_str() {
        "plan" | "readings" | "readings in" | "unit" => {
            unit_or_scale(value).is_none() && plan_and_reading(value).is_none() && !foreign
        }
        // `Grid: 2 ft x 2 ft, readings in inches` says more than a spacing.
        "grid" => {
            let says_more = value
                .split_once([',', ';'])
                .is_some_and(|(spacing, _)| parse_spacing(spacing).is_some());
            says_more || !value.starts_with(|c: char| c.is_ascii_digit() || c == '.')
        }
        _ => false,
    }
}

/// The units of the plan and of the readings, as a corner names them: `ft / in`, `plan in feet, readings in inches`.
fn plan_and_reading(value: &str) -> Option<Corner> {
    let told = corner(value);
    (told.plan.is_some() && told.reading.is_some() && told.fault.is_none()).then_some(told)
}

fn names_a_wall(value: &str) -> bool {
    let value = value.to_lowercase();
    matches!(value.as_str(), "far wall" | "near wall" | "far" | "near")
}

/// What setting rows said; a later row stands over an earlier one.
#[derive(Debug, Clone, Default)]
pub(super) struct Settings {
    pub plan: Option<LengthUnit>,
    pub reading: Option<LengthUnit>,
    /// Where readings count parts of their unit.
    pub scale: Option<Scale>,
    /// Units by a line in plain words: they hold where nothing else names one.
    pub in_words: LineUnits,
    pub meaning: Option<Meaning>,
    pub spacing: Option<Spacing>,
    pub first_row: Option<FirstRow>,
    pub x_runs: Option<XRuns>,
}

impl Settings {
    /// The unit of the plan, as a row above or a line in words gives it.
    pub(super) fn plan_unit(&self) -> Option<LengthUnit> {
        self.plan.or(self.in_words.plan)
    }

    /// The same of the readings.
    pub(super) fn reading_unit(&self) -> Option<LengthUnit> {
        self.reading.or(self.in_words.reading)
    }
}

/// Takes a setting row in: which it is, and the cell of its value; `None` when it is none.
pub(super) fn setting_row<'a>(
    table: &Table,
    row: Row<'a>,
    settings: &mut Settings,
    name: &mut Option<String>,
    faults: &mut Faults,
) -> Option<(Setting, Cell<'a>)> {
    let mut filled = row.filled();
    let first = filled.next()?;
    let (kind, inline) = setting(first.text)?;
    let (value, at) = match (inline, filled.next()) {
        (Some(value), None) => (value, first),
        (None, Some(cell)) => (cell.text, cell),
        _ => return None,
    };
    if filled.next().is_some() {
        return None;
    }
    if let Err(expected) = take_setting((kind, value), settings, name) {
        if is_other_word(first.text, value) {
            return None;
        }
        faults.add(
            Fault::Setting,
            table.place(at.row, at.column),
            quoted(value),
            expected,
            "",
        );
    }
    Some((kind, at))
}

/// Takes the value of a setting in; what was expected, where it is none.
pub(super) fn take_setting(
    (kind, value): (Setting, &str),
    settings: &mut Settings,
    name: &mut Option<String>,
) -> Result<(), &'static str> {
    match kind {
        Setting::Room => *name = Some(value.to_owned()),
        Setting::Units if let Some(both) = plan_and_reading(value) => {
            settings.plan = both.plan;
            settings.reading = both.reading;
            settings.scale = both.scale;
        }
        Setting::PlanUnit => {
            let unit = LengthUnit::from_word(value).ok_or("one of ft, in, ft-in, mm, cm, m")?;
            settings.plan = Some(unit);
        }
        Setting::ReadingUnit => {
            let (unit, scale) = unit_or_scale(value).ok_or("one of ft, in, ft-in, mm, cm, m")?;
            settings.reading = Some(unit);
            settings.scale = scale;
        }
        Setting::Units => {
            let wanted =
                "one of ft, in, ft-in, mm, cm, m, or two of them, the plan's first, as in ft / in";
            let (unit, scale) = unit_or_scale(value).ok_or(wanted)?;
            // Parts are counted of readings; nobody lays a grid in them.
            if scale.is_none() {
                settings.plan = Some(unit);
            }
            settings.reading = Some(unit);
            settings.scale = scale;
        }
        Setting::Meaning => {
            settings.meaning = Some(meaning(value).ok_or("down, up or elevation")?);
        }
        Setting::Spacing => {
            let wanted = "a length with its unit, such as 2 ft, or two such as 2 ft x 30 in";
            settings.spacing = Some(parse_spacing(value).ok_or(wanted)?);
        }
        Setting::FirstRow => {
            settings.first_row = Some(match value.trim().to_lowercase().as_str() {
                "far" | "far wall" | "top" => FirstRow::Far,
                "near" | "near wall" | "bottom" => FirstRow::Near,
                _ => return Err("near or far"),
            });
        }
        Setting::XRuns => {
            settings.x_runs = Some(match value.trim().to_lowercase().as_str() {
                "right" | "rightward" | "left to right" => XRuns::Right,
                "left" | "leftward" | "right to left" => XRuns::Left,
                _ => return Err("right or left"),
            });
        }
    }
    Ok(())
}

/// Words behind a spacing that say nothing of it: `2 ft o.c.`, `24" each way`, `2 ft grid`.
const BEHIND_A_SPACING: [&str; 18] = [
    "o.c.", "oc", "o.c", "c/c", "c-c", "both", "each", "every", "ways", "way", "on", "center",
    "centers", "centre", "centres", "grid", "spacing", "apart",
];

/// A spacing without the words behind it that say nothing of it, and without a remark in a bracket.
fn without_remark(text: &str) -> &str {
    let mut rest = text.trim();
    if rest.ends_with(')')
        && let Some((before, _)) = rest.rsplit_once('(')
    {
        rest = before.trim_end();
    }
    while let Some((before, word)) = rest.rsplit_once(char::is_whitespace)
        && BEHIND_A_SPACING.contains(&word.to_lowercase().as_str())
    {
        rest = before.trim_end();
    }
    rest
}

/// `2 ft`, or `2 ft x 30 in`: columns first, rows second; `None` for anything else. Words behind it such as `on center` are passed over.
pub fn parse_spacing(text: &str) -> Option<Spacing> {
    let text = without_remark(text);
    let one = |text: &str| -> Option<Length> {
        let length = read_length(text, None, Comma::Auto).ok()?.length;
        (length.m() > 0.0).then_some(length)
    };
    if let Some(both) = one(text) {
        return Some(Spacing {
            across: both,
            along: both,
        });
    }
    let (a, b) = text.split_once([' ', '\u{d7}', '*']).and_then(|_| {
        text.split_once(" x ")
            .or_else(|| text.split_once('\u{d7}'))
            .or_else(|| text.split_once(" by "))
            .or_else(|| text.split_once('*'))
    })?;
    Some(Spacing {
        across: one(a)?,
        along: one(b)?,
    })
}
