//! `job.toml`: everything about a job that is not in the readings.

use super::choices::{
    Aim, Constants, FirstRow, Layout, Meaning, Order, PaperSize, Units, With, XRuns,
};
use crate::fill::{toml_fault, toml_line};
use serde::{Deserialize, Serialize};

/// A job file as written. Lengths are words with their unit ("1/8 in", "3 mm").
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct JobFile {
    /// What the job is called on paper.
    pub title: String,
    /// Where the floor is.
    pub place: String,
    /// Who took the readings.
    pub who: String,
    /// When they were taken, as it is to be printed.
    pub when: String,
    /// Revision of the paper.
    pub revision: String,
    /// `us` or `metric`; from the readings' own unit when left away.
    pub units: Option<Units>,
    /// `letter`, `tabloid`, `a4`, `a3`.
    pub paper: Option<PaperSize>,
    /// `level` or `flat`: what the owner wants.
    pub aim: Option<Aim>,
    /// Edge lengths to answer for.
    pub spans: Vec<String>,
    /// Checks by name or in words.
    pub checks: Vec<String>,
    /// How closely the worst gap under an edge is to be known; 0.1 mm when left away, 0.4 mm on scans.
    pub tolerance: Option<String>,
    /// Floors drawn at most for the chance that the floor keeps an allowance: 60 to 2,000, 200 when left away; 0 for none.
    pub draws: Option<u32>,
    /// Edges laid by hand, in the sheet that `flat` wrote for them.
    pub hand: Option<String>,
    /// Sample lines for F-numbers.
    pub f_numbers: FNumbersEntry,
    /// Codes of notices not to repeat.
    pub silence: Vec<String>,
    /// Outline file with walls, voids, doors, joints.
    pub outline: Option<String>,
    /// Whether the outline is the rectangle about the readings that a new job is started with, and nobody's.
    pub outline_guessed: bool,
    /// Readings files, one for each set-up.
    pub readings: Vec<ReadingsEntry>,
    /// The instrument and its doubt.
    pub instrument: Instrument,
    /// What to fill to, with what.
    pub fill: FillEntry,
    /// The user's own prices.
    pub prices: PricesEntry,
    /// Who pours, and how.
    pub crew: Crew,
    /// Block for the head of the submittal.
    pub company: Company,
    /// What the submittal tells.
    pub submittal: SubmittalEntry,
}

/// What the submittal tells.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct SubmittalEntry {
    /// What it tells besides: `quantities`.
    pub with: Vec<With>,
}

/// Sample lines for F-numbers, and how they are worked out.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct FNumbersEntry {
    /// File of sample lines, beside the job file.
    pub lines: Option<String>,
    /// `exact` (4.57 in and 12.5 in, whatever the interval) or `rescaled` (to 300 mm).
    pub constants: Option<Constants>,
    /// How many ten-interval differences are asked for: `square-feet`, `square-metres` or a count.
    pub n_min: Option<String>,
    /// Unit of stations or coordinates, where the header does not say.
    pub plan_unit: Option<String>,
    /// Unit of readings, where the header does not say.
    pub reading_unit: Option<String>,
    /// `down`, `up` or `elevation`.
    pub meaning: Option<Meaning>,
}

/// One readings file.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct ReadingsEntry {
    /// File name, beside the job file.
    pub file: String,
    /// Name of the set-up it was read from.
    pub set_up: Option<String>,
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// Room to take, where the file holds several.
    pub room: Option<String>,
    /// Unit of plan distances, where the header does not say.
    pub plan_unit: Option<String>,
    /// Unit of readings, where the header does not say.
    pub reading_unit: Option<String>,
    /// `down`, `up` or `elevation`.
    pub meaning: Option<Meaning>,
    /// `matrix` or `list`.
    pub layout: Option<Layout>,
    /// Spacing of a matrix whose headers are letters or numbers.
    pub spacing: Option<String>,
    /// `far` or `near`: the wall that the first row of a matrix stands for.
    pub first_row: Option<FirstRow>,
    /// `right` or `left`: which way x runs along the columns of a matrix.
    pub x_runs: Option<XRuns>,
    /// Take cells that a spreadsheet turned into dates back as fractions.
    pub dates_as_fractions: bool,
}

/// The instrument.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Instrument {
    /// What it is.
    pub name: String,
    /// How far one reading may be off because of the instrument (half-width, any cause that does
    /// not cancel between neighbouring readings).
    pub doubt: Option<String>,
    /// Standard deviation of one reading repeated.
    pub repeatability: Option<String>,
    /// Smallest step the rule was read to; found from the readings when left away.
    pub step: Option<String>,
    /// The last both-ways check, as it is to be printed.
    pub checked: String,
    /// The bench mark, as it is to be printed.
    pub bench_mark: String,
    /// Elevation of the line above the job's datum; 0 when left away.
    pub line: Option<String>,
}

/// What to fill to, with what.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct FillEntry {
    /// Whether depths beyond 12 in (305 mm) are meant.
    pub deep: bool,
    /// Depth of material over the high point.
    pub gauge: Option<String>,
    /// Finish at a named door, fixture or mark, with an offset: "Door 1 + 1/4 in". Level unless a fall is given.
    pub level_at: Option<String>,
    /// A given fall: "1/4 in per ft", "1:48", "2 %". For patch and grind work; needs `fall_from` and `fall_to`.
    pub fall: Option<String>,
    /// Named point that the fall runs from.
    pub fall_from: Option<String>,
    /// Named point that it runs towards.
    pub fall_to: Option<String>,
    /// The tilted plane of least fill; for patch and grind work.
    pub least_fill: bool,
    /// Least depth wanted over the floor everywhere (tubes, cables, lath).
    pub cover: Option<String>,
    /// Thickness of the covering that comes on the finish, for heights at doors and fixtures.
    pub covering: Option<String>,
    /// Depth that the base scope includes everywhere; what is deeper is extra.
    pub base_depth: Option<String>,
    /// Date of the quantities, as it is to be printed; the job's `when` if left away.
    pub as_of: Option<String>,
    /// Gauge depths to set side by side.
    pub gauges: Vec<String>,
    /// The most that a patch may lay anywhere.
    pub patch_depth: Option<String>,
    /// Material sheet.
    pub material: Option<String>,
    /// Waste, percent.
    pub waste: Option<f64>,
    /// Bags at hand.
    pub bags: Option<f64>,
    /// Rake setting.
    pub rake: Option<String>,
    /// Deepest grind that is allowed, for the grind-or-fill table and the patch plan.
    pub grind: Option<String>,
    /// Whether the floor is framed (wood or suspended); not known when left away.
    pub framed: Option<bool>,
}

/// Prices of the user's own. Each is optional; what has none is left out of the total.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct PricesEntry {
    /// Currency, as it is to be printed.
    pub currency: String,
    /// One bag.
    pub bag: Option<f64>,
    /// Primer from the can: "30 per gal".
    pub primer: Option<String>,
    /// Perimeter foam: "0.25 per ft".
    pub foam: Option<String>,
    /// Dams: "2 per ft".
    pub dam: Option<String>,
    /// Grinding an area once over: "1.50 per sq ft".
    pub grind: Option<String>,
    /// Grinding floor away, on top of the area: "8 per l".
    pub grind_volume: Option<String>,
}

/// Who pours, and how.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Crew {
    /// People at hand.
    pub people: Option<f64>,
    /// Mixers.
    pub mixers: Option<f64>,
    /// Minutes to mix a batch.
    pub mixing_min: Option<f64>,
    /// Minutes to place a batch.
    pub placing_min: Option<f64>,
    /// Whether the next batch is mixed while one is placed.
    pub overlapped: Option<bool>,
    /// Bags in a batch.
    pub bags_per_batch: Option<f64>,
    /// Name of the door, fixture or mark to start from, instead of the high point.
    pub start: Option<String>,
    /// Name of the door to leave by, instead of the first.
    pub exit: Option<String>,
    /// `passes`, `level lines` or `strips`; the best of them when left away.
    pub order: Option<Order>,
    /// Bays to divide the floor into; as many as the open time calls for when left away.
    pub bays: Option<f64>,
}

/// The head of the submittal.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Company {
    /// Name.
    pub name: String,
    /// Address and the like, a line each.
    pub lines: Vec<String>,
    /// Logo file (SVG or PNG), beside the job file.
    pub logo: Option<String>,
}

impl FillEntry {
    /// Whether a finish is asked for, of whatever kind.
    pub fn names_finish(&self) -> bool {
        self.gauge.is_some() || self.level_at.is_some() || self.fall.is_some() || self.least_fill
    }

    /// Takes another's finish, the whole of it, in place of its own.
    pub fn take_finish(&mut self, other: &Self) {
        self.gauge.clone_from(&other.gauge);
        self.level_at.clone_from(&other.level_at);
        self.fall.clone_from(&other.fall);
        self.fall_from.clone_from(&other.fall_from);
        self.fall_to.clone_from(&other.fall_to);
        self.least_fill = other.least_fill;
    }
}

impl JobFile {
    /// Reads a job file's text.
    ///
    /// # Errors
    /// The parser's words with the line, the key and what was expected there.
    pub fn parse(name: &str, bytes: &[u8]) -> Result<Self, JobFileError> {
        let text = std::str::from_utf8(bytes).map_err(|e| JobFileError::NotUtf8 {
            file: name.to_owned(),
            byte: e.valid_up_to(),
        })?;
        let job: Self = toml::from_str(text).map_err(|e| JobFileError::Toml {
            file: name.to_owned(),
            line: toml_line(text, &e),
            text: toml_fault(text, &e),
        })?;
        if job.readings.is_empty() {
            return Err(JobFileError::NoReadings {
                file: name.to_owned(),
            });
        }
        if let Some(i) = job.readings.iter().position(|r| r.file.is_empty()) {
            return Err(JobFileError::NoFileName {
                file: name.to_owned(),
                entry: i + 1,
            });
        }
        Ok(job)
    }

    /// Every other file this job names, in the order they are needed.
    pub fn files_named(&self) -> Vec<String> {
        self.named_files().into_iter().map(|(_, n)| n).collect()
    }

    /// The same, each after the key that names it.
    pub fn named_files(&self) -> Vec<(&'static str, String)> {
        let readings = self
            .readings
            .iter()
            .map(|r| ("readings.file", Some(&r.file)));
        let others = [
            ("outline", self.outline.as_ref()),
            ("hand", self.hand.as_ref()),
            ("f_numbers.lines", self.f_numbers.lines.as_ref()),
            ("fill.material", self.fill.material.as_ref()),
            ("company.logo", self.company.logo.as_ref()),
        ];
        let all = readings.chain(others);
        all.filter_map(|(key, name)| name.map(|n| (key, n.clone())))
            .collect()
    }
}

/// Why a job file cannot be used.
#[derive(Debug, thiserror::Error, PartialEq, Eq)]
#[non_exhaustive]
pub enum JobFileError {
    /// Not a text file.
    #[error("{file}: byte {byte} is not UTF-8 text; save the job file as plain UTF-8")]
    NotUtf8 {
        /// Name of the job file.
        file: String,
        /// Where the fault is.
        byte: usize,
    },
    /// The text is not what a job file holds.
    #[error("{file}, line {line}: {text}\nSee docs/formats.md for the keys of a job file.")]
    Toml {
        /// Name of the job file.
        file: String,
        /// Line, from 1.
        line: usize,
        /// What is wrong there.
        text: String,
    },
    /// No readings are named.
    #[error(
        "{file}: names no readings; add\n  [[readings]]\n  file = \"readings.csv\"\nwith the name of your readings file"
    )]
    NoReadings {
        /// Name of the job file.
        file: String,
    },
    /// A readings entry has no file.
    #[error("{file}: readings entry {entry} has no file; add file = \"…\" to it")]
    NoFileName {
        /// Name of the job file.
        file: String,
        /// Which entry, from 1.
        entry: usize,
    },
}
