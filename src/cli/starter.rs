//! `job`: a commented job file for readings that are there.

use std::path::{MAIN_SEPARATOR, Path};

use super::args::JobArgs;
use super::exit::{Ending, Stop};
use super::gather::{self, Flags, gather};
use super::paper::wrote;
use super::screen::remark;
use crate::files;
use crate::job::{self, StarterRequest};
use crate::report::words::starter::{JOB_FILE, MATERIAL_FILE};

/// A path as it is typed on a command line: without a leading `./`, quoted where it has a blank.
fn shown(path: &Path) -> String {
    let text = files::told(path.strip_prefix(".").unwrap_or(path));
    if text.contains(' ') {
        format!("\"{text}\"")
    } else {
        text
    }
}

/// Writes the job file with its outline and material sheet.
pub fn starter(args: &JobArgs, quiet: bool) -> Result<Ending, Stop> {
    if gather::is_job(&args.file) {
        return Err(Stop::usage(format!(
            "{}: is a job file already; give the readings file that a new one is wanted for",
            files::told(&args.file)
        )));
    }
    let flags = Flags {
        about: args.about.clone(),
        reading: args.reading.clone(),
        ..Flags::default()
    };
    let gathered = gather(&args.file, &flags)?;
    let way = |path: &Path| -> Result<String, Stop> {
        let way = files::way_from(&args.out, path);
        way.to_str().map(|w| w.replace(MAIN_SEPARATOR, "/")).ok_or_else(|| Stop {
            text: format!(
                "{}: its path is no UTF-8 text, which a job file is; rename the file or its folder",
                files::told(path)
            ),
            ending: Ending::BadInput,
        })
    };
    let Some(entry) = gathered.job.readings.first() else {
        return Err(Stop::usage("name a readings file"));
    };
    let outline = match (&gathered.job.outline, &args.reading.outline) {
        (Some(name), Some(path)) => Some((name.clone(), way(path)?)),
        _ => None,
    };
    let job = &gathered.job;
    let made = job::starter(
        &StarterRequest {
            readings: entry.file.clone(),
            readings_way: way(&args.file)?,
            outline,
            reading: entry.clone(),
            about: [&job.title, &job.place, &job.who, &job.when].map(Clone::clone),
        },
        &gathered.inputs,
    )?;
    // An outline and a material sheet that are there are the user's, --replace or not: the new job names them.
    let read: Vec<_> = gathered.read.iter().map(|p| files::true_path(p)).collect();
    let (kept, made): (Vec<_>, Vec<_>) = made.into_iter().partition(|(name, _)| {
        let path = args.out.join(name);
        name != JOB_FILE && files::is_there(&path) && !read.contains(&files::true_path(&path))
    });
    wrote(&files::write_all(
        &args.out,
        &made,
        &gathered.read,
        args.replace,
    )?)?;
    if !kept.is_empty() {
        let names: Vec<&str> = kept.iter().map(|(name, _)| name.as_str()).collect();
        remark(
            quiet,
            &format!(
                "Kept as they were, for the job to use: {}.",
                names.join(", ")
            ),
        );
    }
    let run = format!("birdbath run {}", shown(&args.out.join(JOB_FILE)));
    let next = if kept.iter().any(|(name, _)| name == MATERIAL_FILE) {
        format!("Next: {run}")
    } else {
        format!(
            "The material is invented: put your own bag's figures into {MATERIAL_FILE}. Then: {run}"
        )
    };
    remark(quiet, &next);
    Ok(Ending::Answered)
}
