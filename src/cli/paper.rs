//! The commands that write sets of paper: `sheets`, `submittal`, `run`.

use std::path::PathBuf;

use super::args::{EdgeArgs, PaperArgs, RunArgs, SheetsArgs, SubmittalArgs};
use super::exit::{Ending, Stop};
use super::gather::{Flags, Gathered, gather};
use super::progress::Progress;
use super::room::{accepted, prepared, worked_out};
use super::screen::{complain, say};
use crate::analysis::Want;
use crate::files::{SetKind, SetPlace, told};
use crate::job::choices::With;
use crate::job::{self, Sheet, Wanted};
use crate::report::answer;

/// A command that writes a set: the files, those of them that were named, the usual folder, and whether the short answer is told.
struct Set<'a> {
    wanted: Wanted,
    only: &'a [Sheet],
    usual_folder: &'a str,
    tell_answer: bool,
}

/// `sheets`.
pub fn sheets(args: &SheetsArgs, quiet: bool) -> Result<Ending, Stop> {
    let set = Set {
        wanted: Wanted::crew().only(&args.only),
        only: &args.only,
        usual_folder: "sheets",
        tell_answer: true,
    };
    paper(&args.paper, &[], &set, quiet)
}

/// `submittal`.
pub fn submittal(args: &SubmittalArgs, quiet: bool) -> Result<Ending, Stop> {
    let set = Set {
        wanted: Wanted::outgoing().only(&args.only),
        only: &args.only,
        usual_folder: "submittal",
        tell_answer: false,
    };
    paper(&args.paper, &args.with, &set, quiet)
}

/// `run`.
pub fn run(args: &RunArgs, quiet: bool) -> Result<Ending, Stop> {
    let set = Set {
        wanted: Wanted::everything().only(&args.only),
        only: &args.only,
        usual_folder: "paper",
        tell_answer: true,
    };
    paper(&args.paper, &args.with, &set, quiet)
}

/// Works a job out, tells the short answer where it is wanted, and writes the files.
fn paper(args: &PaperArgs, with: &[With], set: &Set<'_>, quiet: bool) -> Result<Ending, Stop> {
    let flags = Flags {
        about: args.about.clone(),
        reading: args.reading.clone(),
        edge: args.edge.clone(),
        plane: args.fill.clone(),
        paper: args.paper,
        with: with.to_vec(),
    };
    let gathered = gather(&args.file, &flags)?;
    let folder = gathered.out(args.out.as_deref(), set.usual_folder)?;
    let place = SetPlace {
        folder: &folder,
        inputs: &gathered.read,
        replace: args.replace,
        kind: SetKind::Set,
    };
    // What stands in the way is told before anybody waits for the work.
    place.is_free()?;
    let mut want = set.wanted.want();
    // Who names a check or a span wants to hear of it, whatever is drawn.
    want.flatness |= !args.edge.words.checks.is_empty() || !args.edge.words.spans.is_empty();
    want.flatness |= args.edge.require.is_some();
    let asked = Asked {
        wanted: &set.wanted,
        only: set.only,
        want,
        tell_answer: set.tell_answer,
        edge: &args.edge,
    };
    let (made, ending) = made(&gathered, &asked, quiet)?;
    wrote(&place.write(&made)?)?;
    Ok(ending)
}

/// What is to be made of a job.
pub struct Asked<'a> {
    /// The files.
    pub wanted: &'a Wanted,
    /// Those of them that were named.
    pub only: &'a [Sheet],
    /// What must be worked out for them.
    pub want: Want,
    /// Whether the short answer is told.
    pub tell_answer: bool,
    /// What is asked of the edge.
    pub edge: &'a EdgeArgs,
}

/// A file's name and its bytes.
type Named = (String, Vec<u8>);

/// The files of a job, a folder for each room where there are several, and how the command ends.
pub fn made(
    gathered: &Gathered,
    asked: &Asked<'_>,
    quiet: bool,
) -> Result<(Vec<Named>, Ending), Stop> {
    let size = job::paper_of(&gathered.job);
    let rooms = prepared(gathered, quiet)?;
    let several = rooms.len() > 1;
    let folders = job::folder_names(rooms.iter().map(|r| r.survey.name.as_str()));
    let mut files = Vec::new();
    let mut missing = Vec::new();
    let mut analyses = Vec::new();
    for (room, folder) in rooms.into_iter().zip(folders) {
        let analysis = worked_out(room, asked.want, quiet)?;
        if asked.tell_answer {
            say(&answer::whole(&analysis))?;
        }
        let bar = Progress::new(quiet);
        let tell = |what: &str, share: f64| bar.tell(what, share);
        let made = job::files(&analysis, size, asked.wanted, &tell);
        bar.done();
        let made = made?;
        missing.extend(job::missing(
            (asked.only, asked.wanted),
            &made,
            &analysis,
            several,
        ));
        let under = if several {
            format!("{folder}/")
        } else {
            String::new()
        };
        let named = made
            .into_iter()
            .map(|(name, b)| (format!("{under}{name}"), b));
        files.extend(named);
        analyses.push(analysis);
    }
    if several {
        if asked.tell_answer {
            say(&answer::together(&analyses))?;
        }
        files.extend(job::all_rooms(&analyses, size, asked.wanted)?);
    }
    if files.is_empty() {
        return Err(Stop {
            text: missing.join("\n"),
            ending: Ending::BadInput,
        });
    }
    missing.iter().for_each(|text| complain(text));
    Ok((files, accepted(&analyses, asked.edge)))
}

/// Tells which files were written; nothing where there are none.
pub fn wrote(paths: &[PathBuf]) -> Result<(), Stop> {
    let mut text = String::new();
    for path in paths {
        text.push_str(&format!("\n  {}", told(path)));
    }
    if text.is_empty() {
        return Ok(());
    }
    say(&format!("Wrote{text}"))
}
