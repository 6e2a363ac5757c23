//! What flags and the page's choices lay over a job. Each option stands here once: the command line takes it by its
//! flag, the page sends it by its name.

use clap::Args;
use serde::{Deserialize, Serialize};

use super::choices::{FirstRow, Layout, Meaning, PaperSize, Units, With, XRuns};
use super::file::{FillEntry, JobFile};

/// What stands above the job file. What is not given (`None`, empty, `false`) leaves the job's own word.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Overrides {
    /// Words for the paper.
    pub about: AboutWords,
    /// How every readings file is to be taken.
    pub reading: ReadingWords,
    /// What the edge is to show.
    pub edge: EdgeWords,
    /// Finish and quantities. A finish takes the place of the whole of the job's.
    pub fill: FillWords,
    /// Sheet of paper.
    pub paper: Option<PaperSize>,
    /// What the submittal tells besides.
    pub with: Vec<With>,
    /// Names of files among the inputs.
    pub files: FileNames,
}

/// Names of files among the inputs.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct FileNames {
    /// The outline.
    pub outline: Option<String>,
    /// The sample lines.
    pub lines: Option<String>,
    /// The edges laid by hand.
    pub hand: Option<String>,
    /// The material sheet.
    pub material: Option<String>,
}

/// Words for the paper.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, Args)]
#[serde(deny_unknown_fields, default)]
pub struct AboutWords {
    /// What the job is called on paper.
    #[arg(long, value_name = "WORDS")]
    pub title: Option<String>,
    /// Where the floor is.
    #[arg(long, value_name = "WORDS")]
    pub place: Option<String>,
    /// Who took the readings.
    #[arg(long, value_name = "WORDS")]
    pub who: Option<String>,
    /// When they were taken, as it is to be printed.
    #[arg(long, value_name = "WORDS")]
    pub when: Option<String>,
}

/// How the numbers of a readings file are to be taken.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, Args)]
#[serde(deny_unknown_fields, default)]
pub struct ReadingWords {
    /// Sheet of the workbook to read.
    #[arg(long, value_name = "NAME")]
    pub sheet: Option<String>,
    /// Room to take, where the file holds several.
    #[arg(long, value_name = "NAME")]
    pub room: Option<String>,
    /// Unit of the plan distances, where the header does not say: ft, in, ft-in, mm, cm, m.
    #[arg(long, value_name = "UNIT")]
    pub plan_unit: Option<String>,
    /// Unit of the readings, where the header does not say: in, ft, ft-in, mm, cm, m.
    #[arg(long, value_name = "UNIT")]
    pub reading_unit: Option<String>,
    /// What a reading is: down from the line to the floor, up from the floor to a line overhead,
    /// or an elevation.
    #[arg(long, value_enum)]
    pub meaning: Option<Meaning>,
    /// How the sheet is laid out; found from its cells when left away.
    #[arg(long, value_enum)]
    pub layout: Option<Layout>,
    /// Distance between columns and rows that are headed by letters or numbers: "2 ft", or "2 ft x 30 in".
    #[arg(long, value_name = "LENGTH")]
    pub spacing: Option<String>,
    /// The wall that the first row of a matrix stands for: far is at the top of the plan, near at the bottom.
    #[arg(long, value_name = "WALL", value_enum)]
    pub first_row: Option<FirstRow>,
    /// Which way x runs along the columns of a matrix.
    #[arg(long, value_name = "WAY", value_enum)]
    pub x_runs: Option<XRuns>,
    /// Take cells that a spreadsheet turned into dates back as fractions (8-Mar as 3/8).
    #[arg(long)]
    pub dates_as_fractions: bool,
    /// Print in these units, whatever the file holds.
    #[arg(long, value_enum)]
    pub units: Option<Units>,
}

/// What the edge is to show.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, Args)]
#[serde(deny_unknown_fields, default)]
pub struct EdgeWords {
    /// Length of the edge; may be given several times.
    #[arg(long = "span", value_name = "LENGTH")]
    pub spans: Vec<String>,
    /// A check by name, or in words such as "1/8 in in 10 ft, resting"; may be given several times.
    #[arg(long = "check", value_name = "NAME")]
    pub checks: Vec<String>,
    /// How closely the worst gap is to be known: 0.1 mm unless told, 0.4 mm on scans.
    #[arg(long, value_name = "LENGTH")]
    pub tolerance: Option<String>,
    /// Floors drawn at most for the chance that the floor keeps an allowance: 60 to 2,000, 200 unless told; 0 for none.
    #[arg(long, value_name = "COUNT")]
    pub draws: Option<u32>,
    /// Standard deviation of one reading repeated at one mark; left out, marks read twice tell it, or it is taken for a wide range.
    #[arg(long, value_name = "LENGTH")]
    pub repeatability: Option<String>,
}

/// Which plane the floor is filled to, and with what.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, Args)]
#[serde(deny_unknown_fields, default)]
pub struct FillWords {
    /// Depth of material over the high point.
    #[arg(
        long,
        value_name = "LENGTH",
        conflicts_with = "level_at",
        allow_hyphen_values = true
    )]
    pub gauge: Option<String>,
    /// Level finish at a door or fixture of this name, with an offset: "Door 1 + 1/4 in".
    #[arg(long, value_name = "POINT±LENGTH", allow_hyphen_values = true)]
    pub level_at: Option<String>,
    /// Waste to add, percent.
    #[arg(long, value_name = "PERCENT", allow_negative_numbers = true, value_parser = number)]
    pub waste: Option<f64>,
    /// Bags at hand: how far they go, and what stays bare.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = number)]
    pub bags: Option<f64>,
    /// Rake setting: volume by area times setting, and the level it settles at.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub rake: Option<String>,
    /// A given fall ("1/4 in per ft", "1:48", "2 %") from --fall-from to --fall-to; for patch and grind work.
    #[arg(long, value_name = "FALL", requires_all = ["fall_from", "fall_to"], allow_hyphen_values = true)]
    pub fall: Option<String>,
    /// Door, fixture or mark that the fall runs from.
    #[arg(long, value_name = "POINT", requires = "fall")]
    pub fall_from: Option<String>,
    /// Door, fixture or mark that the fall runs towards.
    #[arg(long, value_name = "POINT", requires = "fall")]
    pub fall_to: Option<String>,
    /// The tilted plane of least fill; for patch and grind work.
    #[arg(long, conflicts_with_all = ["gauge", "level_at", "fall"])]
    pub least_fill: bool,
    /// Least depth wanted over the floor everywhere (tubes, cables, lath).
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub cover: Option<String>,
    /// Deepest grind that is allowed, for the grind-or-fill table and the patch plan.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub grind: Option<String>,
    /// Depth that the base scope includes everywhere; what is deeper is extra.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub base_depth: Option<String>,
    /// The floor is framed or suspended: the weight is cautioned.
    #[arg(long)]
    pub framed: bool,
    /// Depths of more than 12 in (305 mm) are meant, and are not asked about.
    #[arg(long)]
    pub deep: bool,
}

/// A plain number; what it may be is for the job to say.
pub fn number(text: &str) -> Result<f64, String> {
    text.trim()
        .parse()
        .map_err(|_| "expected a number such as 10 or 2.5".to_owned())
}

impl Overrides {
    /// Lays them over a job.
    pub fn lay_over(&self, job: &mut JobFile) {
        let about = &self.about;
        over_text(&mut job.title, about.title.as_ref());
        over_text(&mut job.place, about.place.as_ref());
        over_text(&mut job.who, about.who.as_ref());
        over_text(&mut job.when, about.when.as_ref());
        let given = &self.reading;
        for entry in &mut job.readings {
            over(&mut entry.sheet, &given.sheet);
            over(&mut entry.room, &given.room);
            over(&mut entry.plan_unit, &given.plan_unit);
            over(&mut entry.reading_unit, &given.reading_unit);
            over(&mut entry.meaning, &given.meaning);
            over(&mut entry.layout, &given.layout);
            over(&mut entry.spacing, &given.spacing);
            over(&mut entry.first_row, &given.first_row);
            over(&mut entry.x_runs, &given.x_runs);
            entry.dates_as_fractions |= given.dates_as_fractions;
        }
        over(&mut job.units, &given.units);
        over(&mut job.paper, &self.paper);
        if !self.with.is_empty() {
            job.submittal.with.clone_from(&self.with);
        }
        if !self.edge.spans.is_empty() {
            job.spans.clone_from(&self.edge.spans);
        }
        if !self.edge.checks.is_empty() {
            job.checks.clone_from(&self.edge.checks);
        }
        over(&mut job.tolerance, &self.edge.tolerance);
        over(&mut job.draws, &self.edge.draws);
        over(&mut job.instrument.repeatability, &self.edge.repeatability);
        if self.files.outline.is_some() {
            job.outline_guessed = false;
        }
        over(&mut job.outline, &self.files.outline);
        over(&mut job.f_numbers.lines, &self.files.lines);
        over(&mut job.hand, &self.files.hand);
        over(&mut job.fill.material, &self.files.material);
        self.fill.lay_over(&mut job.fill);
    }
}

impl FillWords {
    fn lay_over(&self, fill: &mut FillEntry) {
        let finish = FillEntry {
            gauge: self.gauge.clone(),
            level_at: self.level_at.clone(),
            fall: self.fall.clone(),
            fall_from: self.fall_from.clone(),
            fall_to: self.fall_to.clone(),
            least_fill: self.least_fill,
            ..FillEntry::default()
        };
        if finish.names_finish() {
            fill.take_finish(&finish);
        }
        fill.deep |= self.deep;
        over(&mut fill.waste, &self.waste);
        over(&mut fill.bags, &self.bags);
        over(&mut fill.rake, &self.rake);
        over(&mut fill.cover, &self.cover);
        over(&mut fill.grind, &self.grind);
        over(&mut fill.base_depth, &self.base_depth);
        over(&mut fill.framed, &self.framed.then_some(true));
    }

    /// At most one finish may be asked for, and a fall has two ends: what the flags' own rules say, for who has no flags.
    ///
    /// # Errors
    /// Which two do not go together, by their flags.
    pub fn one_finish(&self) -> Result<(), String> {
        let asked = [
            ("--gauge", self.gauge.is_some()),
            ("--level-at", self.level_at.is_some()),
            ("--least-fill", self.least_fill),
        ];
        let mut given = asked.iter().filter(|(_, is)| *is).map(|(flag, _)| *flag);
        if let (Some(one), Some(other)) = (given.next(), given.next()) {
            return Err(format!(
                "{one} and {other} are both given; choose one of them"
            ));
        }
        if self.least_fill && self.fall.is_some() {
            return Err("--least-fill and --fall are both given; choose one of them".to_owned());
        }
        let ends = [&self.fall_from, &self.fall_to];
        if self.fall.is_some() && ends.iter().any(|e| e.is_none()) {
            return Err(
                "--fall is given without both of its ends; give --fall-from and --fall-to too"
                    .to_owned(),
            );
        }
        if self.fall.is_none() && ends.iter().any(|e| e.is_some()) {
            return Err(
                "an end of a fall is given without the fall; give --fall too, or clear its ends"
                    .to_owned(),
            );
        }
        Ok(())
    }
}

fn over<T: Clone>(slot: &mut Option<T>, given: &Option<T>) {
    if given.is_some() {
        slot.clone_from(given);
    }
}

fn over_text(slot: &mut String, given: Option<&String>) {
    if let Some(given) = given.filter(|g| !g.is_empty()) {
        slot.clone_from(given);
    }
}
