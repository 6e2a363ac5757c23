//! `demo`: an invented job, written into a folder and done whole.

use super::args::{DemoArgs, EdgeArgs};
use super::exit::{Ending, Stop};
use super::gather::Gathered;
use super::paper::{Asked, made, wrote};
use super::screen::say;
use crate::files::{self, SetKind, SetPlace};
use crate::job::{Inputs, JobFile, Wanted};

/// The invented job's files, as a user would have them.
const FILES: [(&str, &[u8]); 5] = [
    (
        "job.toml",
        include_bytes!("../../fixtures/demo/job.toml").as_slice(),
    ),
    (
        "readings.csv",
        include_bytes!("../../fixtures/demo/readings.csv").as_slice(),
    ),
    (
        OTHER_FORM,
        include_bytes!("../../fixtures/demo/readings_matrix.csv").as_slice(),
    ),
    (
        "outline.csv",
        include_bytes!("../../fixtures/demo/outline.csv").as_slice(),
    ),
    (
        "material.toml",
        include_bytes!("../../fixtures/demo/material.toml").as_slice(),
    ),
];

/// Writes the invented job with its paper as one fresh folder. What is in the folder is the user's from then on;
/// the paper in it is a set that `run --replace` may replace.
pub fn demo(args: &DemoArgs, quiet: bool) -> Result<Ending, Stop> {
    let place = SetPlace {
        folder: &args.out,
        inputs: &[],
        replace: false,
        kind: SetKind::Users,
    };
    place.is_free()?;
    if !quiet {
        say("An invented job: no such place, crew or material.\n")?;
    }
    let gathered = Gathered {
        job: JobFile::parse(FILES[0].0, FILES[0].1)?,
        inputs: inputs(),
        folder: None,
        read: Vec::new(),
    };
    let wanted = Wanted::everything();
    let asked = Asked {
        wanted: &wanted,
        only: &[],
        want: wanted.want(),
        tell_answer: true,
        edge: &EdgeArgs::default(),
    };
    let (mut paper, ending) = made(&gathered, &asked, quiet)?;
    paper.push(files::list_file(&paper));
    let mut all: Vec<(String, Vec<u8>)> = FILES
        .iter()
        .map(|(name, bytes)| ((*name).to_owned(), bytes.to_vec()))
        .collect();
    let inside = paper.into_iter().map(|(n, b)| (format!("paper/{n}"), b));
    all.extend(inside);
    let mut written = place.write(&all)?;
    written.retain(|path| !files::is_list(path));
    wrote(&written)?;
    Ok(ending)
}

/// The files that the job reads; the readings' other form stands in the folder for comparison only.
fn inputs() -> Inputs {
    let mut inputs = Inputs::default();
    for (name, bytes) in FILES.iter().filter(|(n, _)| *n != OTHER_FORM) {
        inputs.insert(*name, bytes.to_vec());
    }
    inputs
}

/// The same readings as a matrix.
const OTHER_FORM: &str = "readings_matrix.csv";
