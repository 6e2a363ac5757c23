//! From a request of the page to its answer, through `job`.

use std::sync::Arc;

use super::frame::{NamedFile, Request};
use super::outcome::{Outcome, Part};
use super::server::{ServeError, bind};
use crate::analysis::Want;
use crate::job::{self, Inputs, JobError, JobFile, ReadingsEntry, UnitsWord, Wanted};
use crate::report::answer;

/// Serves the page on the loopback address until the program is stopped. `told` hears the address.
///
/// # Errors
/// [`ServeError`] when the port is taken, or the system takes it away.
pub fn serve(port: u16, told: impl FnOnce(&str)) -> Result<(), ServeError> {
    let bound = bind(port)?;
    told(&bound.url());
    bound.run_until(
        Arc::new(|request| answered(request).map_err(|e| e.to_string())),
        async {
            let _ = tokio::signal::ctrl_c().await;
        },
    )
}

/// Works a request out.
fn answered(request: Request) -> Result<Outcome, JobError> {
    let mut inputs = Inputs::default();
    let mut job = JobFile::default();
    for file in request.files {
        if file.name == request.main && file.name.to_lowercase().ends_with(".toml") {
            job = JobFile::parse(&file.name, &file.bytes)?;
        }
        inputs.insert(file.name, file.bytes);
    }
    let o = request.options;
    if job.readings.is_empty() {
        job.readings.push(ReadingsEntry {
            file: request.main,
            ..ReadingsEntry::default()
        });
    }
    for entry in &mut job.readings {
        entry.plan_unit = o.plan_unit.clone().or(entry.plan_unit.take());
        entry.reading_unit = o.reading_unit.clone().or(entry.reading_unit.take());
        entry.meaning = o.meaning.clone().or(entry.meaning.take());
        entry.spacing = o.spacing.clone().or(entry.spacing.take());
        entry.sheet = o.sheet.clone().or(entry.sheet.take());
        entry.dates_as_fractions |= o.dates_as_fractions;
    }
    match o.units.as_deref() {
        Some("us") => job.units = Some(UnitsWord::Us),
        Some("metric") => job.units = Some(UnitsWord::Metric),
        _ => {}
    }
    if !o.spans.is_empty() {
        job.spans = o.spans;
    }
    if !o.checks.is_empty() {
        job.checks = o.checks;
    }
    job.fill.gauge = o.gauge.or(job.fill.gauge);
    job.fill.waste = o.waste.or(job.fill.waste);
    job.fill.material = o.material.or(job.fill.material);
    job.outline = o.outline.or(job.outline);
    let paper = job::paper_of(&job)?;
    let rooms = job::prepare(&job, &inputs)?;
    let understood = job::understood_text(&rooms, false);
    let room = job::only_room(&job, rooms)?;
    let silent = |_: &str, _: f64| ();
    let analysis = job::analyse(room, Want::ALL, &silent)?;
    let files = job::files(&analysis, paper, &Wanted::everything(), &silent)?;
    let lines = |text: String| text.lines().map(str::to_owned).collect();
    Ok(Outcome {
        parts: vec![
            Part::new("Answer", lines(answer::whole(&analysis))),
            Part::new("What was understood", lines(understood)),
        ],
        files: files
            .into_iter()
            .map(|(name, bytes)| NamedFile { name, bytes })
            .collect(),
    })
}
