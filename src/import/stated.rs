//! What is said of a matrix, by the user, by its corner and by the rows above it, and what the one unit of a corner is of.

use super::axis::bring_their_place;
use super::cells::LARGEST_READING;
use super::corner::Corner;
use super::headers::{is_no_reading, is_summary};
use super::options::{ImportOptions, Meaning, Orientation, Spacing};
use super::room::MeaningBy;
use super::scales::Scale;
use super::settings::Settings;
use super::table::Cell;
use crate::units::{LengthUnit, read_length};

/// What is said of a matrix: by the user, by its corner, by the rows above it, in that order.
pub(super) struct Stated {
    pub plan_unit: Option<LengthUnit>,
    /// As the sheet says it, whatever the user does.
    pub plan_of_sheet: Option<LengthUnit>,
    pub reading_unit: Option<LengthUnit>,
    /// The same of readings.
    pub reading_of_sheet: Option<LengthUnit>,
    /// Where readings count parts of their unit.
    pub scale: Option<Scale>,
    pub meaning: Option<Meaning>,
    /// By what it is known.
    pub meaning_by: MeaningBy,
    /// Whether only words in the corner that have other uses say it.
    pub loose: bool,
    /// Whether the corner names x before y, and not which of them runs across.
    pub x_first: bool,
    /// The one unit of the corner, where it was taken for that of the plan and of the readings.
    pub unit_of_both: Option<LengthUnit>,
    pub spacing: Option<Spacing>,
    pub orientation: Orientation,
}

impl Stated {
    pub(super) fn of(told: &Corner, settings: &Settings, options: &ImportOptions) -> Self {
        let plan_of_sheet = told.plan.or(settings.plan_unit());
        let reading_of_sheet = told.reading.or(settings.reading_unit());
        Self {
            plan_unit: options.plan_unit.or(plan_of_sheet),
            plan_of_sheet,
            reading_unit: options.reading_unit.or(reading_of_sheet),
            reading_of_sheet,
            scale: match told.reading {
                Some(_) => told.scale,
                None => settings.scale,
            },
            meaning: options.meaning.or(told.meaning).or(settings.meaning),
            meaning_by: MeaningBy::of(options.meaning.or(settings.meaning), told.in_words),
            unit_of_both: None,
            x_first: told.x_first,
            loose: told.loose && options.meaning.or(settings.meaning).is_none(),
            spacing: options.spacing.or(settings.spacing),
            orientation: Orientation {
                first_row: options.orientation.first_row.or(settings.first_row),
                x_runs: options.orientation.x_runs.or(settings.x_runs),
            },
        }
    }

    /// The one unit of a corner is that of the readings where the plan has its own, by a flag, a row above, a spacing or headings
    /// that bring theirs; that of the plan where the readings have theirs, or could not be so long; and that of both where nothing
    /// else says anything and the headings are as far apart as readings are.
    pub(super) fn take_one_unit<'a>(
        &mut self,
        unit: LengthUnit,
        (heads, sides): (&[Cell<'_>], &[Cell<'_>]),
        cells: impl Iterator<Item = Cell<'a>>,
        options: &ImportOptions,
    ) {
        // Headings that stand a spacing apart are names, letters or numbers.
        let lettered = self.spacing.is_some();
        let own = bring_their_place(heads) && bring_their_place(sides);
        let of_plan = self.plan_unit.is_some() || lettered || own;
        let laid_out = || is_laid_out(heads, unit) && is_laid_out(sides, unit);
        let (plan, reading) = match (of_plan, self.reading_unit) {
            (true, None) => (false, lettered || options.plan_unit != Some(unit)),
            (false, Some(told)) => (told != unit && laid_out(), false),
            (false, None) if self.spacing.is_none() && laid_out() => {
                // `ft` over 31 1/4: nobody reads 31 ft down from a line.
                let long = |c: Cell<'_>| {
                    let read = read_length(c.text, Some(unit), c.comma);
                    read.is_ok_and(|w| w.length > LARGEST_READING)
                };
                let cells: Vec<Cell<'_>> = cells.filter(|c| !is_no_reading(c.text)).collect();
                let of_their_own = |c: &Cell<'_>| {
                    let read = read_length(c.text, None, c.comma);
                    read.is_ok_and(|w| w.unit.is_some())
                };
                let own = !cells.is_empty() && cells.iter().all(of_their_own);
                (true, !own && !cells.into_iter().any(long))
            }
            _ => return,
        };
        if plan {
            self.plan_unit = Some(unit);
            self.plan_of_sheet = Some(unit);
        }
        if reading {
            self.reading_unit = Some(unit);
            self.reading_of_sheet = Some(unit);
        }
        self.unit_of_both = (plan && reading).then_some(unit);
    }
}

/// Whether headings taken in a unit stand as far apart as anybody sets readings: 4 in (100 mm) or more, and 100 ft (30 m) or less.
/// 1, 2, 3 may only count.
fn is_laid_out(cells: &[Cell<'_>], unit: LengthUnit) -> bool {
    let heads = || {
        let named = cells.iter().filter(|c| !c.is_blank());
        named.filter(|c| !is_summary(c.text))
    };
    let at: Option<Vec<f64>> = heads()
        .map(|c| {
            let read = read_length(c.text, Some(unit), c.comma);
            read.ok().map(|w| w.length.m())
        })
        .collect();
    let apart = |w: &[f64]| (0.1..=30.5).contains(&(w[1] - w[0]).abs());
    let mut numbers: Vec<Option<u32>> = heads().map(|c| c.text.parse().ok()).collect();
    numbers.sort_unstable();
    let counts = (1..).zip(&numbers).all(|(n, found)| *found == Some(n));
    !counts && at.is_some_and(|at| at.windows(2).all(apart))
}
