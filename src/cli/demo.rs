//! `demo`: an invented job, written into a folder and done whole.

use super::args::{DemoArgs, EdgeArgs, PaperArgs, PlaneArgs, ReadingArgs};
use super::exit::{Ending, Stop};
use super::{commands, say};
use crate::files;

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
        "readings_matrix.csv",
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

/// Writes the invented job and does the whole of it. The folder is the demo's own, so files of an
/// earlier demo are replaced.
pub fn demo(args: &DemoArgs, quiet: bool) -> Result<Ending, Stop> {
    let given: Vec<(String, Vec<u8>)> = FILES
        .iter()
        .map(|(name, bytes)| ((*name).to_owned(), bytes.to_vec()))
        .collect();
    let written = files::write_all(&args.out, &given, true)?;
    if !quiet {
        say("An invented job: no such place, crew or material. Its files:");
        for path in &written {
            say(&format!("  {}", path.display()));
        }
        say("");
    }
    commands::run(
        &PaperArgs {
            file: args.out.join("job.toml"),
            reading: ReadingArgs::default(),
            edge: EdgeArgs::default(),
            fill: PlaneArgs::default(),
            only: Vec::new(),
            paper: None,
            out: Some(args.out.join("paper")),
            replace: true,
        },
        quiet,
    )
}
