//! One function a command: gather, work, answer.

use std::path::{Path, PathBuf};

use super::args::{
    EdgeArgs, FillArgs, FlatArgs, NewArgs, PaperArgs, PlaneArgs, ReadArgs, RecheckArgs,
    RequireWord, ServeArgs,
};
use super::exit::{Ending, Stop};
use super::gather::{self, Gathered, gather};
use super::progress::Progress;
use super::{remark, say};
use crate::analysis::{Analysis, Want};
use crate::files;
use crate::job::{self, Prepared, Wanted};
use crate::report::{answer, json};

/// Reads the files of a job; a scan of a million readings takes seconds.
fn prepared(gathered: &Gathered, quiet: bool) -> Result<Vec<Prepared>, Stop> {
    let bar = Progress::new(quiet);
    bar.tell("Reading", 0.0);
    let rooms = job::prepare(&gathered.job, &gathered.inputs);
    bar.done();
    Ok(rooms?)
}

/// Works out every room of a job, each as `want` says of it.
fn each_room(
    gathered: &Gathered,
    want: impl Fn(&Prepared) -> Want,
    quiet: bool,
) -> Result<Vec<Analysis>, Stop> {
    prepared(gathered, quiet)?
        .into_iter()
        .map(|room| {
            let want = want(&room);
            worked_out(room, want, quiet)
        })
        .collect()
}

/// Prints an answer for each room, as text or as one JSON object.
fn answer_each(
    rooms: &[Analysis],
    as_json: bool,
    text: impl Fn(&Analysis) -> String,
    object: impl Fn(&Analysis) -> serde_json::Value,
) {
    if as_json {
        say(&json::text(&json::each_room(rooms, object)));
    } else {
        for room in rooms {
            say(&text(room));
        }
    }
}

/// Prepares the one room of a job and works out what is wanted of it.
fn only_room(gathered: &Gathered, want: Want, quiet: bool) -> Result<Analysis, Stop> {
    let rooms = prepared(gathered, quiet)?;
    let room = job::only_room(&gathered.job, rooms)?;
    worked_out(room, want, quiet)
}

fn worked_out(room: Prepared, want: Want, quiet: bool) -> Result<Analysis, Stop> {
    let bar = Progress::new(quiet);
    let result = job::analyse(room, want, &|what, share| bar.tell(what, share));
    bar.done();
    Ok(result?)
}

/// `read`.
pub fn read(args: &ReadArgs, quiet: bool) -> Result<Ending, Stop> {
    let gathered = gather(
        &args.file,
        &args.reading,
        &EdgeArgs::default(),
        &PlaneArgs::default(),
    )?;
    let rooms = prepared(&gathered, quiet)?;
    if args.json {
        say(&json::text(&job::understood_json(&rooms)));
    } else {
        say(&job::understood_text(&rooms, args.cells));
    }
    Ok(Ending::Answered)
}

/// `flat`.
pub fn flat(args: &FlatArgs, quiet: bool) -> Result<Ending, Stop> {
    if args.list_checks {
        say(&answer::checks());
        return Ok(Ending::Answered);
    }
    let Some(file) = &args.file else {
        return Err(Stop::usage("name a readings file"));
    };
    let gathered = gather(file, &args.reading, &args.edge, &PlaneArgs::default())?;
    let want = Want {
        flatness: true,
        curve: args.json,
        ..Want::default()
    };
    let rooms = each_room(&gathered, |_| want, quiet)?;
    answer_each(&rooms, args.json, answer::flat, json::flat);
    Ok(accepted(&rooms, &args.edge))
}

/// Whether the verdicts are what `--require` asks for.
fn accepted(rooms: &[Analysis], edge: &EdgeArgs) -> Ending {
    match edge.require {
        Some(RequireWord::Within) if !rooms.iter().all(Analysis::all_within) => Ending::NotAccepted,
        _ => Ending::Answered,
    }
}

/// More readings than this take a minute and more under the straight edge. `fill` then answers without it
/// and says so; `flat` takes the time.
const READINGS_FOR_A_QUICK_EDGE: usize = 20_000;

/// Whether the straight edge is laid for an answer about material: level or flat is asked before anything
/// is priced.
fn edge_first(room: &Prepared) -> bool {
    room.survey.readings.len() <= READINGS_FOR_A_QUICK_EDGE
}

/// `fill`. Several rooms are answered one after another, then summed.
pub fn fill(args: &FillArgs, quiet: bool) -> Result<Ending, Stop> {
    let gathered = gather(&args.file, &args.reading, &EdgeArgs::default(), &args.fill)?;
    let want = |room: &Prepared| Want {
        flatness: edge_first(room),
        fill: true,
        between: true,
        ..Want::default()
    };
    let rooms = each_room(&gathered, want, quiet)?;
    if args.json {
        say(&json::text(&match rooms.as_slice() {
            [only] => json::fill(only),
            all => json::fill_rooms(all),
        }));
        return Ok(Ending::Answered);
    }
    answer_each(&rooms, false, answer::fill, json::fill);
    if rooms.len() > 1 {
        say(&answer::together(&rooms));
    }
    Ok(Ending::Answered)
}

/// `pour`.
pub fn pour(args: &FillArgs, quiet: bool) -> Result<Ending, Stop> {
    let gathered = gather(&args.file, &args.reading, &EdgeArgs::default(), &args.fill)?;
    let want = |room: &Prepared| Want {
        flatness: edge_first(room),
        fill: true,
        pour: true,
        ..Want::default()
    };
    let rooms = each_room(&gathered, want, quiet)?;
    answer_each(&rooms, args.json, answer::pour, json::pour);
    Ok(Ending::Answered)
}

/// `sheets`.
pub fn sheets(args: &PaperArgs, quiet: bool) -> Result<Ending, Stop> {
    paper(args, Wanted::crew(), true, quiet)
}

/// `submittal`.
pub fn submittal(args: &PaperArgs, quiet: bool) -> Result<Ending, Stop> {
    paper(args, Wanted::outgoing(), false, quiet)
}

/// `run`.
pub fn run(args: &PaperArgs, quiet: bool) -> Result<Ending, Stop> {
    paper(args, Wanted::everything(), true, quiet)
}

/// Works a job out, tells the short answer where it is wanted, and writes the files.
fn paper(args: &PaperArgs, all: Wanted, tell_answer: bool, quiet: bool) -> Result<Ending, Stop> {
    let wanted = all.only(&args.only);
    if wanted.is_empty() {
        return Err(Stop::usage(
            "--only names no file that this command writes: `sheets` writes the crew's maps and lists, \
             `submittal` the paper that goes out, `run` all of them",
        ));
    }
    let mut gathered = gather(&args.file, &args.reading, &args.edge, &args.fill)?;
    if let Some(word) = args.paper {
        gathered.job.paper = Some(gather::paper(word).to_owned());
    }
    let size = job::paper_of(&gathered.job)?;
    let mut want = wanted.want();
    // Who names a check or a span wants to hear of it, whatever is drawn.
    want.flatness |= !args.edge.check.is_empty() || !args.edge.span.is_empty();
    want.flatness |= args.edge.require.is_some();
    let rooms = prepared(&gathered, quiet)?;
    let several = rooms.len() > 1;
    let folder = args
        .out
        .clone()
        .unwrap_or_else(|| gathered.folder.join("paper"));
    let mut files_out = Vec::new();
    let mut ending = Ending::Answered;
    let mut analyses = Vec::new();
    for room in rooms {
        let under = if several {
            format!("{}/", job::folder_name(&room.survey.name))
        } else {
            String::new()
        };
        let analysis = worked_out(room, want, quiet)?;
        if tell_answer {
            say(&answer::whole(&analysis));
        }
        if accepted(std::slice::from_ref(&analysis), &args.edge) == Ending::NotAccepted {
            ending = Ending::NotAccepted;
        }
        let bar = Progress::new(quiet);
        let tell = |what: &str, share: f64| bar.tell(what, share);
        let made = job::files(&analysis, size, &wanted, &tell);
        bar.done();
        files_out.extend(
            made?
                .into_iter()
                .map(|(name, bytes)| (format!("{under}{name}"), bytes)),
        );
        if several {
            analyses.push(analysis);
        }
    }
    if several {
        if tell_answer {
            say(&answer::together(&analyses));
        }
        files_out.extend(job::all_rooms(&analyses, size, &wanted)?);
    }
    wrote(&files::write_all(&folder, &files_out, args.replace)?);
    Ok(ending)
}

fn wrote(paths: &[PathBuf]) {
    say("Wrote");
    for path in paths {
        say(&format!("  {}", path.display()));
    }
}

/// `new`.
pub fn new(args: &NewArgs, quiet: bool) -> Result<Ending, Stop> {
    let path = Path::new(&args.room);
    let outline = if path.exists() {
        Some((gather::file_name(path), files::read(path)?))
    } else {
        None
    };
    let made = job::field_sheet(&job::FieldRequest {
        room: args.room.clone(),
        outline,
        spacing: args.spacing.clone(),
        title: args.title.clone(),
        paper: args.paper.map(|p| gather::paper(p).to_owned()),
    })?;
    wrote(&files::write_all(&args.out, &made, args.replace)?);
    remark(
        quiet,
        "The workbook's cells are text, so that 3/8 stays 3/8. Fill it in and give it to `birdbath read`.",
    );
    Ok(Ending::Answered)
}

/// `recheck`.
pub fn recheck(args: &RecheckArgs, quiet: bool) -> Result<Ending, Stop> {
    let want = Want {
        flatness: true,
        fill: true,
        ..Want::default()
    };
    let mut before = gather(&args.before, &args.reading, &args.edge, &args.fill)?;
    let mut after = gather(&args.after, &args.reading, &args.edge, &args.fill)?;
    job::same_terms(
        &mut before.job,
        &mut after.job,
        &mut before.inputs,
        &mut after.inputs,
    );
    if let Some(word) = args.paper {
        before.job.paper = Some(gather::paper(word).to_owned());
    }
    // The plan of the pour tells at which tie-ins ridges lie.
    let first = only_room(
        &before,
        Want {
            pour: args.out.is_some(),
            ..want
        },
        quiet,
    )?;
    let second = only_room(&after, want, quiet)?;
    let size = job::paper_of(&before.job)?;
    let compared = job::recheck(&first, &second, args.used, &args.tie)?;
    if args.json {
        say(&json::text(&json::recheck(&compared)));
    } else {
        say(&answer::recheck(&second, &compared));
    }
    if let Some(folder) = &args.out {
        let bar = Progress::new(quiet);
        let tell = |what: &str, share: f64| bar.tell(what, share);
        let made = job::recheck_paper(&first, &second, &compared, size, &tell);
        bar.done();
        wrote(&files::write_all(folder, &made?, args.replace)?);
    }
    Ok(accepted(std::slice::from_ref(&second), &args.edge))
}

/// `serve`.
pub fn serve(args: &ServeArgs, quiet: bool, page: &super::Serve) -> Result<Ending, Stop> {
    page(args.port, &|url| {
        say(&format!("The page is at {url}"));
        remark(
            quiet,
            "Only this machine can reach it. Stop it with Ctrl-C.",
        );
    })
    .map_err(|text| Stop {
        text,
        ending: Ending::BadInput,
    })?;
    Ok(Ending::Answered)
}
