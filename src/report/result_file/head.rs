//! What stands in every answer: the survey, the floor, what is odd, what it was worked out from.

use serde::Serialize;

use super::quantity::{Metres, Mm, Place, SquareMetres, StepMm};
use crate::analysis::{self, Analysis, LevelSpot};
use crate::report::compose::facts;
use crate::survey;

/// The readings.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Survey {
    /// Title of the job.
    title: String,
    /// Name of the room; empty where there is one without a name.
    room: String,
    /// Where it is.
    place: String,
    /// When it was read.
    when: String,
    /// Who read it.
    who: String,
    /// How many readings there are.
    readings: usize,
    /// How many of them stand on the floor.
    readings_used: usize,
    /// The step that readings count as taken to.
    resolution_mm: StepMm,
    /// Whether the job states that step; else it is the coarsest that all readings allow.
    resolution_stated: bool,
    /// How well a reading repeats.
    repeatability: Repeatability,
    /// What the line may differ by from reading to reading, either way, as stated.
    line_doubt_mm: Mm,
    /// Usual distance between neighbouring readings.
    spacing_m: Metres,
    /// Which way round the sheet lies on the plan; null for a list of places.
    sheet: Option<Sheet>,
    /// The set-ups of the line, where there are several.
    set_ups: Vec<SetUp>,
}

/// Which way round a sheet lies on the plan.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Sheet {
    /// The wall that its first row stands for, seen on the plan.
    first_row: FirstRow,
    /// How that is known.
    by: LaidBy,
}

/// The wall at the top of the plan, or the one at the bottom.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum FirstRow {
    /// The top of the plan.
    Far,
    /// The bottom of the plan.
    Near,
}

/// How the first row's wall is known.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum LaidBy {
    /// The job states it.
    Stated,
    /// The outline fits one way only.
    Outline,
    /// Nothing says it; it was taken so.
    Taken,
}

impl From<survey::Laid> for Sheet {
    fn from(laid: survey::Laid) -> Self {
        Self {
            first_row: match laid.first_row {
                survey::FirstRow::Far => FirstRow::Far,
                survey::FirstRow::Near => FirstRow::Near,
            },
            by: match laid.by {
                survey::LaidBy::Stated => LaidBy::Stated,
                survey::LaidBy::Outline => LaidBy::Outline,
                survey::LaidBy::Taken => LaidBy::Taken,
            },
        }
    }
}

/// A set-up of the line.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct SetUp {
    /// Its name.
    name: String,
    /// What was added to its elevations.
    shift_mm: Mm,
    /// How many marks it shares with the others.
    shared_points: usize,
    /// The most that one of those is off what the others say.
    spread_mm: Mm,
}

/// How well a reading repeats: standard deviations of one reading repeated.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Repeatability {
    /// How it is known.
    known: KnownBy,
    /// It itself; null where it is only known to lie between two bounds.
    mm: Option<Mm>,
    /// It is at least this.
    low_mm: Mm,
    /// It is at most this.
    high_mm: Mm,
    /// Marks read twice from one set-up; null where what is stated stands above them.
    pairs: Option<usize>,
}

/// How a repeatability is known.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum KnownBy {
    /// The job states it.
    Stated,
    /// Marks read twice show it.
    Shown,
    /// It is assumed.
    Assumed,
}

impl From<&analysis::Repeatability> for Repeatability {
    fn from(known: &analysis::Repeatability) -> Self {
        use analysis::Repeatability as Known;
        let (known, m, bounds, pairs) = match known {
            Known::Stated(m) => (KnownBy::Stated, Some(*m), (*m, *m), None),
            Known::Shown(s) => {
                let bounds = (s.low_m, s.high_m);
                (KnownBy::Shown, Some(s.likely_m), bounds, Some(s.pairs))
            }
            Known::Unstated {
                low_m,
                high_m,
                pairs,
            } => (KnownBy::Assumed, None, (*low_m, *high_m), Some(*pairs)),
        };
        Self {
            known,
            mm: m.map(Mm::of_m),
            low_mm: Mm::of_m(bounds.0),
            high_mm: Mm::of_m(bounds.1),
            pairs,
        }
    }
}

impl Survey {
    pub(super) fn of(a: &Analysis) -> Self {
        let about = &a.settings.about;
        Self {
            title: about.title.clone(),
            room: a.survey.name.clone(),
            place: about.place.clone(),
            when: about.when.clone(),
            who: about.who.clone(),
            readings: a.survey.readings.len(),
            readings_used: a.readings_used,
            resolution_mm: StepMm::of_m(a.step.step_m),
            resolution_stated: a.step.stated,
            repeatability: Repeatability::from(&a.repeats),
            line_doubt_mm: Mm::of_m(a.settings.doubt.instrument_m),
            spacing_m: Metres::of_m(a.floor.spacing()),
            sheet: a.survey.laid.map(Sheet::from),
            set_ups: a
                .survey
                .set_ups
                .iter()
                .map(|s| SetUp {
                    name: s.name.clone(),
                    shift_mm: Mm::of_m(s.shift_m),
                    shared_points: s.shared,
                    spread_mm: Mm::of_m(s.spread_m),
                })
                .collect(),
        }
    }
}

/// The floor: how much of it is known, and its levels.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Floor {
    /// The room less its voids.
    area_m2: SquareMetres,
    /// Floor between readings.
    surveyed_m2: SquareMetres,
    /// Floor carried out beyond them, to walls and joints.
    extended_m2: SquareMetres,
    /// Floor in no total.
    not_surveyed_m2: SquareMetres,
    /// The highest reading.
    high_point: Spot,
    /// The lowest reading.
    low_point: Spot,
    /// Highest less lowest.
    overall_deviation_mm: Mm,
    /// The high point and the peaks after it, highest first.
    peaks: Vec<Peak>,
}

/// The highest or lowest reading.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Spot {
    /// To the right.
    x_m: Metres,
    /// Up.
    y_m: Metres,
    /// Over the survey's datum.
    elevation_mm: Mm,
    /// Its name.
    label: String,
    /// The readings that stand as high, by their names.
    ties: Vec<String>,
    /// The set-up it was read from; null where there is one.
    set_up: Option<String>,
}

impl Spot {
    fn of(a: &Analysis, s: &LevelSpot) -> Self {
        let reading = a.survey.readings.get(s.reading);
        Self {
            x_m: Metres::of_m(s.at.x),
            y_m: Metres::of_m(s.at.y),
            elevation_mm: Mm::of_m(s.elevation_m),
            label: s.label.clone(),
            ties: facts::ties(a, s),
            set_up: reading
                .and_then(|r| a.survey.set_up_of(r))
                .map(str::to_owned),
        }
    }
}

/// A reading that no neighbour stands above.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Peak {
    /// Its name.
    label: String,
    /// Where it is.
    at: Place,
    /// How far it lies under the high point.
    below_high_mm: Mm,
    /// How far it stands over the plane of its neighbours; null with too few of them.
    above_neighbours_mm: Option<Mm>,
}

impl Floor {
    pub(super) fn of(a: &Analysis) -> Self {
        let areas = a.floor.areas();
        Self {
            area_m2: SquareMetres::of_m2(areas.region_m2),
            surveyed_m2: SquareMetres::of_m2(areas.surveyed_m2),
            extended_m2: SquareMetres::of_m2(areas.extended_m2),
            not_surveyed_m2: SquareMetres::of_m2(areas.unsurveyed_m2),
            high_point: Spot::of(a, &a.levels.high),
            low_point: Spot::of(a, &a.levels.low),
            overall_deviation_mm: Mm::of_m(a.levels.overall_m),
            peaks: a
                .levels
                .peaks
                .iter()
                .map(|p| Peak {
                    label: p.label.clone(),
                    at: p.at.into(),
                    below_high_mm: Mm::of_m(p.below_high_m),
                    above_neighbours_mm: p.above_neighbours_m.map(Mm::of_m),
                })
                .collect(),
        }
    }
}

/// Something odd.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Notice {
    /// A name for it that never changes.
    code: String,
    /// How grave it is.
    severity: Severity,
    /// Where: a file and cell, a mark, a part of the room; empty where it is everywhere.
    place: String,
    /// What, in a sentence.
    text: String,
}

/// How grave a notice is.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Severity {
    /// Good to know.
    Note,
    /// It may make an answer wrong.
    Warning,
    /// Somebody may come to harm, or much may be lost.
    Caution,
}

impl From<&survey::Notice> for Notice {
    fn from(n: &survey::Notice) -> Self {
        Self {
            code: n.code.clone(),
            severity: match n.severity {
                survey::Severity::Note => Severity::Note,
                survey::Severity::Warning => Severity::Warning,
                survey::Severity::Caution => Severity::Caution,
            },
            place: n.place.clone(),
            text: n.text.clone(),
        }
    }
}

/// What the answer was worked out from.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Inputs {
    /// The files read.
    files: Vec<InputFile>,
    /// The program's version.
    version: &'static str,
    /// The number that every sheet of this run carries; empty where there is none.
    run: String,
}

/// A file that was read.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct InputFile {
    /// Its name, without the folder.
    name: String,
    /// SHA-256 of its bytes, in hexadecimal.
    sha256: String,
}

impl Inputs {
    pub(super) fn of(a: &Analysis) -> Self {
        Self {
            files: a
                .settings
                .inputs
                .iter()
                .map(|f| InputFile {
                    name: f.name.clone(),
                    sha256: f.sha256.clone(),
                })
                .collect(),
            version: env!("CARGO_PKG_VERSION"),
            run: a.settings.run.clone(),
        }
    }
}
