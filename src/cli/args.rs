//! The words of the command line. No work is done here.

use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::job::choices::{PaperSize, With};
use crate::job::{AboutWords, EdgeWords, FillWords, ReadingWords, Sheet, Wanted, number};

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

/// How the numbers of a readings file are to be taken, and the room that they were taken in.
#[derive(Debug, Args, Clone, Default)]
pub struct ReadingArgs {
    #[command(flatten)]
    pub words: ReadingWords,
    /// Room outline, voids, doors, joints (CSV).
    #[arg(long, value_name = "FILE")]
    pub outline: Option<PathBuf>,
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
    pub paper: Option<PaperSize>,
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
    pub about: AboutWords,
    /// List the checks by name, with source, and stop.
    #[arg(long)]
    pub list_checks: bool,
    /// Write sheets that say where to lay the edge by hand, N places drawn at random for each edge that the checks ask for, and
    /// stop. 59 with none over bring a part within that the readings do not test.
    #[arg(long, value_name = "N", conflicts_with_all = ["json", "list_checks", "require"])]
    pub edges: Option<usize>,
    /// Folder for those sheets, new or empty; `hand-edges` beside the readings when left away.
    #[arg(long, value_name = "DIR", requires = "edges")]
    pub out: Option<PathBuf>,
    /// Sheet of paper for them; the job file's, or Letter for feet and A4 for metres, when left away.
    #[arg(long, value_enum, requires = "edges")]
    pub paper: Option<PaperSize>,
    /// Print this part of result.json.
    #[arg(long)]
    pub json: bool,
}

/// What the edge is to show.
#[derive(Debug, Args, Clone, Default)]
pub struct EdgeArgs {
    #[command(flatten)]
    pub words: EdgeWords,
    /// Sample lines read every 12 in or 300 mm, for F-numbers.
    #[arg(long, value_name = "FILE")]
    pub lines: Option<PathBuf>,
    /// Edges laid by hand: the sheet that `flat --edges` wrote, filled in.
    #[arg(long, value_name = "FILE")]
    pub hand: Option<PathBuf>,
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
    pub about: AboutWords,
    /// Print this part of result.json.
    #[arg(long)]
    pub json: bool,
}

/// Which plane the floor is filled to, and with what.
#[derive(Debug, Args, Clone, Default)]
pub struct PlaneArgs {
    #[command(flatten)]
    pub words: FillWords,
    /// Material sheet (TOML).
    #[arg(long, value_name = "FILE")]
    pub material: Option<PathBuf>,
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
    pub about: AboutWords,
    /// Sheet of paper; the job file's, or Letter for feet and A4 for metres, when left away.
    #[arg(long, value_enum)]
    pub paper: Option<PaperSize>,
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
    /// What the submittal tells besides: what is ordered is no business of those who get it unless they ask.
    #[arg(long, value_name = "WHAT", value_enum)]
    pub with: Vec<With>,
    /// Only the file of this name; may be given several times. `run` knows all names.
    #[arg(long, value_name = "NAME", value_parser = names_of(&Wanted::outgoing()))]
    pub only: Vec<Sheet>,
}

/// Arguments of `run`.
#[derive(Debug, Args)]
pub struct RunArgs {
    #[command(flatten)]
    pub paper: PaperArgs,
    /// What the submittal tells besides: what is ordered is no business of those who get it unless they ask.
    #[arg(long, value_name = "WHAT", value_enum)]
    pub with: Vec<With>,
    /// Only the file of this name (a map is two: SVG and PNG); may be given several times.
    #[arg(long, value_name = "NAME", value_parser = names_of(&Wanted::everything()))]
    pub only: Vec<Sheet>,
}

/// Arguments of `job`.
#[derive(Debug, Args)]
pub struct JobArgs {
    /// Readings (CSV, TSV, XLSX, XLS, ODS); the job file names them where they are.
    pub file: PathBuf,
    #[command(flatten)]
    pub reading: ReadingArgs,
    #[command(flatten)]
    pub about: AboutWords,
    /// Folder to write into.
    #[arg(long, value_name = "DIR", default_value = ".")]
    pub out: PathBuf,
    /// Replace files that are there already.
    #[arg(long)]
    pub replace: bool,
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
    pub paper: Option<PaperSize>,
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
