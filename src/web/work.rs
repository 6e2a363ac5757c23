//! From a request of the page to a job, and from the job's files to an answer.

use super::frame::{NamedFile, Options, Request};
use super::outcome::{Outcome, Part};
use super::server::{ServeError, bind};
use crate::job::{self, FillEntry, Inputs, JobFile, Overrides, ReadingsEntry, UnitsWord, Wanted};
use crate::report::answer;
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
    bound.run_until(Arc::new(work), async {
        // Where no signal can be had, the terminal's own way of stopping a program remains.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    })
}

/// Works a request out: everything that a job's files hold, nothing on disk.
///
/// # Errors
/// A text that lists every problem of the first stage that failed.
pub fn work(request: Request) -> Result<Outcome, String> {
    let (job, inputs) = gather(request)?;
    let paper = job::paper_of(&job).map_err(in_full)?;
    let rooms = job::prepare(&job, &inputs).map_err(in_full)?;
    let several = rooms.len() > 1;
    let wanted = Wanted::everything();
    let mut outcome = Outcome {
        parts: Vec::new(),
        files: Vec::new(),
    };
    let understood = Part::new(UNDERSTOOD, lines(&job::understood_text(&rooms, false)));
    let folders = job::folder_names(rooms.iter().map(|r| r.survey.name.as_str()));
    for (room, folder) in rooms.into_iter().zip(folders) {
        let name = room.survey.name.clone();
        let analysis = job::analyse(room, wanted.want(), &|_, _| ()).map_err(in_full)?;
        let heading = if several {
            format!("{ANSWER}: {name}")
        } else {
            ANSWER.to_owned()
        };
        outcome
            .parts
            .push(Part::new(&heading, lines(&answer::whole(&analysis))));
        let made = job::files(&analysis, paper, &wanted, &|_, _| ()).map_err(in_full)?;
        outcome.files.extend(made.into_iter().map(|(file, bytes)| {
            let file = file.replace(['/', '\\'], "-");
            NamedFile {
                name: if several {
                    format!("{folder}-{file}")
                } else {
                    file
                },
                bytes,
            }
        }));
    }
    outcome.parts.push(understood);
    Ok(outcome)
}

const UNDERSTOOD: &str = "What was understood";
const ANSWER: &str = "The answer";

fn lines(text: &str) -> Vec<String> {
    text.lines().map(str::to_owned).collect()
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
    let mut job = if main.name.to_lowercase().ends_with(".toml") {
        let job = JobFile::parse(&main.name, &main.bytes).map_err(in_full)?;
        // A browser gives plain names; the job may name the same files with their folder.
        for named in job.files_named() {
            let last = named.rsplit(['/', '\\']).next().unwrap_or(&named);
            if let Some(file) = request.files.iter().find(|f| f.name == last) {
                inputs.insert(named.clone(), file.bytes.clone());
            }
        }
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
    let used = [
        Some(request.main.clone()),
        request.options.outline.clone(),
        request.options.material.clone(),
    ];
    overrides(request.options)?.lay_over(&mut job);
    for file in request.files {
        if used.iter().flatten().any(|u| *u == file.name) {
            inputs.insert(file.name, file.bytes);
        }
    }
    Ok((job, inputs))
}

/// What is chosen on the page, as the command line's flags say it too.
fn overrides(options: Options) -> Result<Overrides, String> {
    Ok(Overrides {
        reading: ReadingsEntry {
            sheet: options.sheet,
            plan_unit: options.plan_unit,
            reading_unit: options.reading_unit,
            meaning: options.meaning,
            spacing: options.spacing,
            first_row: options.first_row,
            x_runs: options.x_runs,
            room: options.room,
            dates_as_fractions: options.dates_as_fractions,
            ..ReadingsEntry::default()
        },
        units: match options.units.as_deref() {
            None => None,
            Some("us") => Some(UnitsWord::Us),
            Some("metric") => Some(UnitsWord::Metric),
            Some(other) => return Err(format!("units: found “{other}”; expected us or metric")),
        },
        spans: options.spans,
        checks: options.checks,
        outline: options.outline,
        fill: FillEntry {
            deep: options.deep,
            gauge: options.gauge,
            waste: options.waste,
            material: options.material,
            ..FillEntry::default()
        },
        ..Overrides::default()
    })
}
