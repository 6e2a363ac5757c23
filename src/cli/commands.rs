//! One function a command: gather, work, answer.

use std::path::PathBuf;

use super::args::{EdgeArgs, FillArgs, FlatArgs, NewArgs, ReadArgs, RecheckArgs, ServeArgs};
use super::exit::{Ending, Stop};
use super::gather::{self, Flags, Gathered, gather};
use super::hand;
use super::paper::wrote;
use super::progress::Progress;
use super::room::{accepted, prepared, prepared_beside, worked_out};
use super::screen::{complain, remark, say, say_json};
use crate::analysis::{Analysis, Want};
use crate::files::{self, SetKind, SetPlace};
use crate::job::{self, Prepared};
use crate::report::answer;
use crate::report::result_file::{self, Recheck, ResultFile};

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
    part: impl Fn(&Analysis) -> ResultFile,
) -> Result<(), Stop> {
    if as_json {
        say_json(&result_file::each_room(rooms, part)?)?;
    } else {
        for room in rooms {
            say(&text(room))?;
        }
    }
    Ok(())
}

/// `read`.
pub fn read(args: &ReadArgs, quiet: bool) -> Result<Ending, Stop> {
    let flags = Flags {
        reading: args.reading.clone(),
        ..Flags::default()
    };
    let gathered = gather(&args.file, &flags)?;
    let rooms = prepared(&gathered, quiet)?;
    if args.json {
        say_json(&result_file::text(&job::understood_file(&rooms))?)?;
    } else {
        say(&job::understood_text(&rooms, args.cells))?;
    }
    Ok(Ending::Answered)
}

/// `flat`.
pub fn flat(args: &FlatArgs, quiet: bool) -> Result<Ending, Stop> {
    if args.list_checks {
        say(&answer::checks())?;
        return Ok(Ending::Answered);
    }
    let Some(file) = &args.file else {
        return Err(Stop::usage("name a readings file"));
    };
    let flags = Flags {
        about: args.about.clone(),
        reading: args.reading.clone(),
        edge: args.edge.clone(),
        paper: args.paper,
        ..Flags::default()
    };
    let gathered = gather(file, &flags)?;
    if let Some(count) = args.edges {
        return hand::sheets(&gathered, count, args.out.as_deref(), quiet);
    }
    let want = Want {
        flatness: true,
        curve: args.json,
        ..Want::default()
    };
    let rooms = each_room(&gathered, |_| want, quiet)?;
    answer_each(&rooms, args.json, answer::flat, ResultFile::flat)?;
    hand::offer(&rooms, quiet);
    Ok(accepted(&rooms, &args.edge))
}

/// More readings than this take a minute and more under the straight edge. `fill` then answers without it
/// and says so; `flat` takes the time.
const READINGS_FOR_A_QUICK_EDGE: usize = 20_000;

/// Whether the straight edge is laid for an answer about material: level or flat is asked before anything
/// is priced.
fn edge_first(room: &Prepared) -> bool {
    room.survey.readings.len() <= READINGS_FOR_A_QUICK_EDGE
}

/// The flags of `fill` and `pour`.
fn of_fill(args: &FillArgs) -> Flags {
    Flags {
        about: args.about.clone(),
        reading: args.reading.clone(),
        plane: args.fill.clone(),
        ..Flags::default()
    }
}

/// `fill`. Several rooms are answered one after another, then summed.
pub fn fill(args: &FillArgs, quiet: bool) -> Result<Ending, Stop> {
    let gathered = gather(&args.file, &of_fill(args))?;
    let want = |room: &Prepared| Want {
        flatness: edge_first(room),
        fill: true,
        between: true,
        ..Want::default()
    };
    let rooms = each_room(&gathered, want, quiet)?;
    if args.json {
        say_json(&result_file::fill_of(&rooms)?)?;
        return Ok(Ending::Answered);
    }
    answer_each(&rooms, false, answer::fill, ResultFile::fill)?;
    if rooms.len() > 1 {
        say(&answer::together(&rooms))?;
    }
    Ok(Ending::Answered)
}

/// `pour`.
pub fn pour(args: &FillArgs, quiet: bool) -> Result<Ending, Stop> {
    let gathered = gather(&args.file, &of_fill(args))?;
    let want = |room: &Prepared| Want {
        flatness: edge_first(room),
        fill: true,
        pour: true,
        ..Want::default()
    };
    let rooms = each_room(&gathered, want, quiet)?;
    answer_each(&rooms, args.json, answer::pour, ResultFile::pour)?;
    Ok(Ending::Answered)
}

/// `new`.
pub fn new(args: &NewArgs, quiet: bool) -> Result<Ending, Stop> {
    let outline_path = Some(PathBuf::from(&args.room)).filter(|path| path.exists());
    let outline = match &outline_path {
        Some(path) => Some((gather::file_name(path), files::read(path)?)),
        None => None,
    };
    let made = job::field_sheet(&job::FieldRequest {
        room: args.room.clone(),
        outline,
        spacing: args.spacing.clone(),
        title: args.title.clone(),
        paper: args.paper,
    })?;
    let read: Vec<PathBuf> = outline_path.into_iter().collect();
    wrote(&files::write_all(&args.out, &made, &read, args.replace)?)?;
    remark(
        quiet,
        "The workbook's cells are text, so that 3/8 stays 3/8. Fill it in and give it to `birdbath read`.",
    );
    Ok(Ending::Answered)
}

/// `recheck`.
pub fn recheck(args: &RecheckArgs, quiet: bool) -> Result<Ending, Stop> {
    let flags = Flags {
        reading: args.reading.clone(),
        edge: args.edge.clone(),
        plane: args.fill.clone(),
        paper: args.paper,
        ..Flags::default()
    };
    // Edges laid by hand speak of the floor as it is after the work.
    let first_day = Flags {
        edge: EdgeArgs {
            hand: None,
            ..args.edge.clone()
        },
        reading: args.reading.clone(),
        plane: args.fill.clone(),
        paper: args.paper,
        ..Flags::default()
    };
    let mut before = gather(&args.before, &first_day)?;
    let mut after = gather(&args.after, &flags)?;
    let read = [before.read.as_slice(), after.read.as_slice()].concat();
    let place = args.out.as_ref().map(|folder| SetPlace {
        folder,
        inputs: &read,
        replace: args.replace,
        kind: SetKind::Set,
    });
    if let Some(place) = &place {
        place.is_free()?;
    }
    let tie = job::tie(&before.job, &after.job, &args.tie);
    job::same_terms(
        &mut before.job,
        &mut after.job,
        &mut before.inputs,
        &mut after.inputs,
    );
    // The plan of the pour tells at which tie-ins ridges lie. What was poured is not to be filled again.
    let flatness = Want {
        flatness: true,
        ..Want::default()
    };
    let planned = Want {
        fill: job::plans_fill(&before.job),
        pour: job::plans_fill(&before.job),
        ..flatness
    };
    let first = job::only_room(&before.job, prepared(&before, quiet)?)?;
    let second = prepared_beside(&after, &first.imported, quiet)?;
    let mut second = job::only_room(&after.job, second)?;
    job::on_the_same_floor(&first.survey, &mut second.survey);
    let mut first = worked_out(first, planned, quiet)?;
    let mut second = worked_out(second, flatness, quiet)?;
    job::number_together(&mut first, &mut second, args.used, &args.tie);
    let size = job::paper_of(&before.job);
    let compared = job::recheck(&first, &second, args.used, tie)?;
    if args.json {
        let object = Recheck::of(&compared, &second.settings.run);
        say_json(&result_file::text(&object)?)?;
    } else {
        say(&answer::recheck(&second, &compared))?;
    }
    if let Some(place) = &place {
        let bar = Progress::new(quiet);
        let tell = |what: &str, share: f64| bar.tell(what, share);
        let made = job::recheck_paper(&first, &second, &compared, size, &tell);
        bar.done();
        wrote(&place.write(&made?)?)?;
    }
    Ok(accepted(std::slice::from_ref(&second), &args.edge))
}

/// `serve`.
pub fn serve(args: &ServeArgs, quiet: bool, page: &super::Serve) -> Result<Ending, Stop> {
    page(args.port, &|url| {
        // The page is served all the same.
        if let Err(stop) = say(&format!("The page is at {url}")) {
            complain(&stop.text);
        }
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
