//! A room from its files to its answer, with a bar for who waits.

use super::args::{EdgeArgs, RequireWord};
use super::exit::{Ending, Stop};
use super::gather::Gathered;
use super::progress::Progress;
use crate::analysis::{Analysis, Want};
use crate::import::Imported;
use crate::job::{self, Prepared};

/// Reads the files of a job; a scan of a million readings takes seconds.
pub fn prepared(gathered: &Gathered, quiet: bool) -> Result<Vec<Prepared>, Stop> {
    prepared_beside(gathered, &[], quiet)
}

/// The same of a floor that was read `before`.
pub fn prepared_beside(
    gathered: &Gathered,
    before: &[Imported],
    quiet: bool,
) -> Result<Vec<Prepared>, Stop> {
    let bar = Progress::new(quiet);
    bar.tell("Reading", 0.0);
    let rooms = job::prepare_beside(&gathered.job, &gathered.inputs, before);
    bar.done();
    Ok(rooms?)
}

/// Works a room out, with a bar for who waits.
pub fn worked_out(room: Prepared, want: Want, quiet: bool) -> Result<Analysis, Stop> {
    let bar = Progress::new(quiet);
    let result = job::analyse(room, want, &|what, share| bar.tell(what, share));
    bar.done();
    Ok(result?)
}

/// Whether the verdicts are what `--require` asks for.
pub fn accepted(rooms: &[Analysis], edge: &EdgeArgs) -> Ending {
    match edge.require {
        Some(RequireWord::Within) if !rooms.iter().all(Analysis::all_within) => Ending::NotAccepted,
        _ => Ending::Answered,
    }
}
