//! From a request of the page to a job, and from the job's files to an answer.

use super::frame::{NamedFile, Request};
use super::going::Going;
use super::handler::Work;
use super::outcome::{Outcome, Part};
use super::server::{ServeError, bind};
use super::unused::all_used;
use super::wording::for_page;
use crate::job::{self, Inputs, JobFile, Prepared, ReadingsEntry, Wanted};
use crate::report::{Paper, answer};
use std::error::Error;
use std::sync::Arc;

/// Serves the page on the loopback address until the program is stopped (Ctrl-C). `told` hears the address
/// once the port is held, so that an address told is one that answers.
///
/// # Errors
/// [`ServeError`] when the port is taken, or the system takes it away.
pub fn serve(port: u16, told: impl FnOnce(&str)) -> Result<(), ServeError> {
    let bound = bind(port)?;
    told(&bound.url());
    bound.run_until(Arc::new(read), async {
        // Where no signal can be had, the terminal's own way of stopping a program remains.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    })
}

/// Reads a request and works it out: everything that a job's files hold, nothing on disk.
///
/// # Errors
/// A text that lists every problem of the first stage that failed.
pub fn work(request: Request) -> Result<Outcome, String> {
    read(request)?(&Going::default())
}

/// Reads a request: everything that can be refused before the long work is refused here.
///
/// # Errors
/// A text that lists every problem of the first stage that failed.
pub fn read(request: Request) -> Result<Box<Work>, String> {
    let (rooms, paper) = prepared(request).map_err(|text| for_page(&text))?;
    Ok(Box::new(move |going| {
        answer_of(rooms, paper, going).map_err(|text| for_page(&text))
    }))
}

/// The rooms of a request and its sheet of paper.
fn prepared(request: Request) -> Result<(Vec<Prepared>, Paper), String> {
    let (job, inputs) = gather(request)?;
    let paper = job::paper_of(&job);
    let rooms = job::prepare(&job, &inputs).map_err(in_full)?;
    Ok((rooms, paper))
}

/// Works out what was read.
fn answer_of(rooms: Vec<Prepared>, paper: Paper, going: &Going) -> Result<Outcome, String> {
    let several = rooms.len() > 1;
    let wanted = Wanted::everything();
    let tell = |_: &str, _: f64| going.on();
    let mut outcome = Outcome::default();
    let understood = Part::new(UNDERSTOOD, lines(&job::understood_text(&rooms, false)));
    let mut analyses = Vec::new();
    let folders = job::folder_names(rooms.iter().map(|r| r.survey.name.as_str()));
    for (room, folder) in rooms.into_iter().zip(folders) {
        let name = room.survey.name.clone();
        let analysis = job::analyse(room, wanted.want(), &tell).map_err(in_full)?;
        let heading = if several {
            format!("{ANSWER}: {name}")
        } else {
            ANSWER.to_owned()
        };
        let mut told = lines(&answer::whole(&analysis));
        let made = job::files(&analysis, paper, &wanted, &tell).map_err(in_full)?;
        told.extend(job::missing((&[], &wanted), &made, &analysis, several));
        outcome.parts.push(Part::new(&heading, told));
        let under = several.then_some(folder);
        outcome.files.extend(named(made, under.as_deref()));
        if several {
            analyses.push(analysis);
        }
    }
    if several {
        let together = lines(&answer::together(&analyses));
        outcome.parts.push(Part::new(TOGETHER, together));
        let made = job::all_rooms(&analyses, paper, &wanted).map_err(in_full)?;
        outcome.files.extend(named(made, None));
    }
    outcome.parts.push(understood);
    Ok(outcome)
}

/// Files as a browser can save them: it knows no folders, so a room's name goes before its files'.
fn named(
    made: Vec<(String, Vec<u8>)>,
    under: Option<&str>,
) -> impl Iterator<Item = NamedFile> + use<'_> {
    made.into_iter().map(move |(file, bytes)| {
        let file = file.replace(['/', '\\'], "-");
        NamedFile {
            name: under.map_or_else(|| file.clone(), |room| format!("{room}-{file}")),
            bytes,
        }
    })
}

const UNDERSTOOD: &str = "What was understood";
const ANSWER: &str = "The answer";
const TOGETHER: &str = "All rooms together";

fn lines(text: &str) -> Vec<String> {
    text.lines().map(for_page).collect()
}

/// An error's words and those of everything behind it, each once.
fn in_full(error: impl Error) -> String {
    let mut text = error.to_string();
    let mut behind = error.source();
    while let Some(cause) = behind {
        let words = cause.to_string();
        if !text.contains(&words) {
            text.push('\n');
            text.push_str(&words);
        }
        behind = cause.source();
    }
    text
}

/// The job that the files and the choices together make.
fn gather(request: Request) -> Result<(JobFile, Inputs), String> {
    let main = request
        .files
        .iter()
        .find(|f| f.name == request.main)
        .ok_or_else(|| format!("{}: is not among the files chosen", request.main))?;
    let mut inputs = Inputs::default();
    let mut used = vec![main.name.clone()];
    let mut job = if main.name.to_lowercase().ends_with(".toml") {
        let job = JobFile::parse(&main.name, &main.bytes).map_err(in_full)?;
        used.extend(named_by(&main.name, &job, &request.files, &mut inputs)?);
        job
    } else {
        JobFile {
            readings: vec![ReadingsEntry {
                file: main.name.clone(),
                ..ReadingsEntry::default()
            }],
            ..JobFile::default()
        }
    };
    let choices = request.options;
    choices.fill.one_finish()?;
    choices.lay_over(&mut job);
    let named = choices.files;
    let chosen = [named.outline, named.material, named.lines, named.hand];
    let chosen: Vec<String> = chosen.into_iter().flatten().collect();
    used.extend(chosen.iter().cloned());
    all_used(&request.main, &request.files, &used)?;
    // A job's own files are in under the names that it has for them.
    for file in request.files {
        if file.name == request.main || chosen.contains(&file.name) {
            inputs.insert(file.name, file.bytes);
        }
    }
    Ok((job, inputs))
}

/// Takes the files that a job names out of those chosen, and tells which these are. A browser gives plain names; the job may
/// name the same files with their folder.
fn named_by(
    main: &str,
    job: &JobFile,
    files: &[NamedFile],
    inputs: &mut Inputs,
) -> Result<Vec<String>, String> {
    let last = |named: &str| -> String {
        let end = named.rsplit(['/', '\\']).next().unwrap_or(named);
        end.to_owned()
    };
    let names = job.files_named();
    let mut used = Vec::new();
    for (i, named) in names.iter().enumerate() {
        let name = last(named);
        if let Some(other) = names[..i].iter().find(|o| *o != named && last(o) == name) {
            return Err(format!(
                "{main}: names {other} and {named}, which are both {name} once a browser has left their folders away; \
                 rename one of them"
            ));
        }
        if let Some(file) = files.iter().find(|f| f.name == name) {
            inputs.insert(named.clone(), file.bytes.clone());
            used.push(name);
        }
    }
    Ok(used)
}
