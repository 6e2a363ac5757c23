//! The words of the command line. No work is done here.

use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::job::{Sheet, Wanted};

/// From level-line readings to a floor that passes: high point, straight-edge gaps, fill, pour, maps.
#[derive(Debug, Parser)]
#[command(
    name = "birdbath",
    version,
    max_term_width = 100,
    after_help = "Exit codes: 0 answered (whatever the verdict), 1 bad input, 2 usage, \
                  3 a verdict that --require did not accept.\n\
                  In result.json each key carries its unit and keeps it: elevation_mm, volume_l, area_m2."
)]
pub struct Cli {
    /// Print no progress and no remarks, only the answer.
    #[arg(long, short, global = true)]
    pub quiet: bool,
    /// Print a completion script for this shell and stop.
    #[arg(long, value_name = "SHELL", exclusive = true)]
    pub completions: Option<clap_complete::Shell>,
    /// Print the licences of this program and of all that is built into it, and stop.
    #[arg(long, visible_alias = "licenses", exclusive = true)]
    pub licences: bool,
    /// What to do.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write an invented job into a folder and do the whole of it.
    Demo(DemoArgs),
    /// Write a blank field sheet (PDF) and a matching workbook for a room.
    New(NewArgs),
    /// Write a commented job.toml for a readings file, ready to edit, with an outline and a material sheet.
    Job(JobArgs),
    /// Show what was understood of a readings file, before anything is computed.
    Read(ReadArgs),
    /// How far the floor is out under a straight edge, and whether it passes.
    Flat(FlatArgs),
    /// How much material a finish plane takes.
    Fill(FillArgs),
    /// Batches, their order, and the clock of the pour.
    Pour(FillArgs),
    /// Write the crew's sheets: maps and lists (PDF, SVG, PNG).
    Sheets(SheetsArgs),
    /// Write the paper that goes into the submittal (PDF, workbook, page).
    Submittal(SubmittalArgs),
    /// Compare readings after the work with those before it.
    Recheck(RecheckArgs),
    /// Do everything a job file asks for, into a folder.
    Run(RunArgs),
    /// Open the page on this machine.
    Serve(ServeArgs),
}

/// How the numbers of a readings file are to be taken.
#[derive(Debug, Args, Clone, Default)]
pub struct ReadingArgs {
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
    pub meaning: Option<MeaningWord>,
    /// How the sheet is laid out; found from its cells when left away.
    #[arg(long, value_enum)]
    pub layout: Option<LayoutWord>,
    /// Distance between columns and rows that are headed by letters or numbers: "2 ft", or "2 ft x 30 in".
    #[arg(long, value_name = "LENGTH")]
    pub spacing: Option<String>,
    /// The wall that the first row of a matrix stands for: far is at the top of the plan, near at the bottom.
    #[arg(long, value_name = "WALL", value_parser = ["far", "near"])]
    pub first_row: Option<String>,
    /// Which way x runs along the columns of a matrix.
    #[arg(long, value_name = "WAY", value_parser = ["right", "left"])]
    pub x_runs: Option<String>,
    /// Take cells that a spreadsheet turned into dates back as fractions (8-Mar as 3/8).
    #[arg(long)]
    pub dates_as_fractions: bool,
    /// Room outline, voids, doors, joints (CSV).
    #[arg(long, value_name = "FILE")]
    pub outline: Option<PathBuf>,
    /// Print in these units, whatever the file holds.
    #[arg(long, value_enum)]
    pub units: Option<UnitsWord>,
}

/// What a reading measures.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum MeaningWord {
    /// From the level line down to the floor.
    Down,
    /// From the floor up to a line overhead.
    Up,
    /// Height of the floor.
    Elevation,
}

/// Arrangement of a sheet.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum LayoutWord {
    /// Rows and columns are plan distances.
    Matrix,
    /// One reading a row.
    List,
}

/// Units to print in.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum UnitsWord {
    /// Feet, inches, fractions.
    Us,
    /// Millimetres and metres.
    Metric,
}

/// Arguments of `demo`.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Folder to write, new or empty.
    #[arg(long, value_name = "DIR", default_value = "birdbath-demo")]
    pub out: PathBuf,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub struct NewArgs {
    /// Room as width x depth, or an outline file.
    #[arg(value_name = "WIDTHxDEPTH|FILE")]
    pub room: String,
    /// Distance between readings.
    #[arg(long, value_name = "LENGTH")]
    pub spacing: String,
    /// Name on the sheet.
    #[arg(long, default_value = "")]
    pub title: String,
    /// Sheet of paper; Letter for a spacing in feet or inches and A4 otherwise, when left away.
    #[arg(long, value_enum)]
    pub paper: Option<PaperWord>,
    /// Folder to write into.
    #[arg(long, value_name = "DIR", default_value = ".")]
    pub out: PathBuf,
    /// Replace files that are there already.
    #[arg(long)]
    pub replace: bool,
}

/// Arguments of `read`.
#[derive(Debug, Args)]
pub struct ReadArgs {
    /// Readings (CSV, TSV, XLSX, XLS, ODS) or job.toml.
    pub file: PathBuf,
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// Show every cell: its own text and what it was taken for.
    #[arg(long)]
    pub cells: bool,
    /// Print as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `flat`.
#[derive(Debug, Args)]
pub struct FlatArgs {
    /// Readings (CSV, TSV, XLSX, XLS, ODS) or job.toml.
    #[arg(required_unless_present = "list_checks")]
    pub file: Option<PathBuf>,
    #[command(flatten)]
    pub reading: ReadingArgs,
    #[command(flatten)]
    pub edge: EdgeArgs,
    #[command(flatten)]
    pub about: AboutArgs,
    /// List the checks by name, with source, and stop.
    #[arg(long)]
    pub list_checks: bool,
    /// Print this part of result.json.
    #[arg(long)]
    pub json: bool,
}

/// What the edge is to show.
#[derive(Debug, Args, Clone, Default)]
pub struct EdgeArgs {
    /// Length of the edge; may be given several times.
    #[arg(long, value_name = "LENGTH")]
    pub span: Vec<String>,
    /// A check by name, or in words such as "1/8 in in 10 ft, resting"; may be given several times.
    #[arg(long, value_name = "NAME")]
    pub check: Vec<String>,
    /// How closely the worst gap is to be known: 0.1 mm unless told, 0.4 mm on scans.
    #[arg(long, value_name = "LENGTH")]
    pub tolerance: Option<String>,
    /// Sample lines read every 12 in or 300 mm, for F-numbers.
    #[arg(long, value_name = "FILE")]
    pub lines: Option<PathBuf>,
    /// Exit with 3 unless every check has this verdict.
    #[arg(long, value_enum)]
    pub require: Option<RequireWord>,
}

/// Verdict that `--require` asks for.
#[derive(Debug, Clone, Copy, ValueEnum, PartialEq, Eq)]
pub enum RequireWord {
    /// Every check within.
    Within,
}

/// Arguments of `fill` and `pour`.
#[derive(Debug, Args)]
pub struct FillArgs {
    /// Readings (CSV, TSV, XLSX, XLS, ODS) or job.toml.
    pub file: PathBuf,
    #[command(flatten)]
    pub reading: ReadingArgs,
    #[command(flatten)]
    pub fill: PlaneArgs,
    #[command(flatten)]
    pub about: AboutArgs,
    /// Print this part of result.json.
    #[arg(long)]
    pub json: bool,
}

/// Which plane the floor is filled to, and with what.
#[derive(Debug, Args, Clone, Default)]
pub struct PlaneArgs {
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
    /// Material sheet (TOML).
    #[arg(long, value_name = "FILE")]
    pub material: Option<PathBuf>,
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

/// Sheet sizes.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum PaperWord {
    /// 8 1/2 x 11 in.
    Letter,
    /// 11 x 17 in.
    Tabloid,
    /// 210 x 297 mm.
    A4,
    /// 297 x 420 mm.
    A3,
}

/// Arguments that `sheets`, `submittal` and `run` share.
#[derive(Debug, Args)]
pub struct PaperArgs {
    /// Readings (CSV, TSV, XLSX, XLS, ODS) or job.toml.
    pub file: PathBuf,
    #[command(flatten)]
    pub reading: ReadingArgs,
    #[command(flatten)]
    pub edge: EdgeArgs,
    #[command(flatten)]
    pub fill: PlaneArgs,
    #[command(flatten)]
    pub about: AboutArgs,
    /// Sheet of paper; the job file's, or Letter for feet and A4 for metres, when left away.
    #[arg(long, value_enum)]
    pub paper: Option<PaperWord>,
    /// Folder for the set, new or empty; `sheets`, `submittal` or `paper` (of `run`) beside the readings when
    /// left away.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Replace an earlier set, the whole of it.
    #[arg(long)]
    pub replace: bool,
}

/// Arguments of `sheets`.
#[derive(Debug, Args)]
pub struct SheetsArgs {
    #[command(flatten)]
    pub paper: PaperArgs,
    /// Only the file of this name (a map is two: SVG and PNG); may be given several times. `run` knows all names.
    #[arg(long, value_name = "NAME", value_parser = names_of(&Wanted::crew()))]
    pub only: Vec<Sheet>,
}

/// Arguments of `submittal`.
#[derive(Debug, Args)]
pub struct SubmittalArgs {
    #[command(flatten)]
    pub paper: PaperArgs,
    /// Only the file of this name; may be given several times. `run` knows all names.
    #[arg(long, value_name = "NAME", value_parser = names_of(&Wanted::outgoing()))]
    pub only: Vec<Sheet>,
}

/// Arguments of `run`.
#[derive(Debug, Args)]
pub struct RunArgs {
    #[command(flatten)]
    pub paper: PaperArgs,
    /// Only the file of this name (a map is two: SVG and PNG); may be given several times.
    #[arg(long, value_name = "NAME", value_parser = names_of(&Wanted::everything()))]
    pub only: Vec<Sheet>,
}

/// Words for the paper.
#[derive(Debug, Args, Clone, Default)]
pub struct AboutArgs {
    /// What the job is called on paper.
    #[arg(
        long,
        value_name = "WORDS",
        default_value = "",
        hide_default_value = true
    )]
    pub title: String,
    /// Where the floor is.
    #[arg(
        long,
        value_name = "WORDS",
        default_value = "",
        hide_default_value = true
    )]
    pub place: String,
    /// Who took the readings.
    #[arg(
        long,
        value_name = "WORDS",
        default_value = "",
        hide_default_value = true
    )]
    pub who: String,
    /// When they were taken, as it is to be printed.
    #[arg(
        long,
        value_name = "WORDS",
        default_value = "",
        hide_default_value = true
    )]
    pub when: String,
}

/// Arguments of `job`.
#[derive(Debug, Args)]
pub struct JobArgs {
    /// Readings (CSV, TSV, XLSX, XLS, ODS); the job file names them where they are.
    pub file: PathBuf,
    #[command(flatten)]
    pub reading: ReadingArgs,
    #[command(flatten)]
    pub about: AboutArgs,
    /// Folder to write into.
    #[arg(long, value_name = "DIR", default_value = ".")]
    pub out: PathBuf,
    /// Replace files that are there already.
    #[arg(long)]
    pub replace: bool,
}

/// A plain number; what it may be is for the job to say.
fn number(text: &str) -> Result<f64, String> {
    text.trim()
        .parse()
        .map_err(|_| "expected a number such as 10 or 2.5".to_owned())
}

/// A port's number.
fn port(text: &str) -> Result<u16, String> {
    text.trim()
        .parse()
        .map_err(|_| "expected a whole number from 0 to 65535".to_owned())
}

/// The files of a command by name; clap lists them and refuses any other.
fn names_of(wanted: &Wanted) -> impl TypedValueParser<Value = Sheet> + use<> {
    let names = Sheet::ALL.into_iter().filter(|s| wanted.has(*s));
    PossibleValuesParser::new(names.map(Sheet::name).collect::<Vec<_>>())
        .try_map(|name| Sheet::named(&name).ok_or("no file of this name"))
}

/// Arguments of `recheck`.
#[derive(Debug, Args)]
pub struct RecheckArgs {
    /// Readings or job.toml from before the work.
    pub before: PathBuf,
    /// Readings after it, at the same marks.
    pub after: PathBuf,
    #[command(flatten)]
    pub reading: ReadingArgs,
    #[command(flatten)]
    pub edge: EdgeArgs,
    #[command(flatten)]
    pub fill: PlaneArgs,
    /// Bags used.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = number)]
    pub used: Option<f64>,
    /// A mark that the work did not touch, read both days, when the line stood at another height the
    /// second day; may be given several times.
    #[arg(long, value_name = "MARK")]
    pub tie: Vec<String>,
    /// Sheet of paper; the job file's, or Letter for feet and A4 for metres, when left away.
    #[arg(long, value_enum)]
    pub paper: Option<PaperWord>,
    /// Write the re-check sheets into this folder, new or empty.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Replace an earlier set, the whole of it.
    #[arg(long)]
    pub replace: bool,
    /// Print as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `serve`.
#[derive(Debug, Args)]
pub struct ServeArgs {
    /// Port on the loopback address; 0 takes any free one.
    #[arg(long, default_value_t = 7466, value_parser = port)]
    pub port: u16,
}
