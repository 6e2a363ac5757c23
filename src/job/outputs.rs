//! From what was prepared to named bytes.

use super::error::JobError;
use super::file::{JobFile, UnitsWord};
use super::prepare::Prepared;
use crate::analysis::{self, Analysis, Tell, Want};
use crate::report::Paper;
use crate::report::compose::{self, Wanted};

/// Works out a room.
///
/// # Errors
/// See [`analysis::AnalysisError`].
pub fn analyse(room: Prepared, want: Want, tell: Tell<'_>) -> Result<Analysis, JobError> {
    Ok(analysis::analyse(room.survey, room.settings, want, tell)?)
}

/// The files that are wanted.
///
/// # Errors
/// See [`compose::files`].
pub fn files(
    a: &Analysis,
    paper: Paper,
    wanted: &Wanted,
    tell: Tell<'_>,
) -> Result<Vec<(String, Vec<u8>)>, JobError> {
    Ok(compose::files(a, paper, wanted, tell)?)
}

/// Files about all rooms of a job together: their quantities, summed.
///
/// # Errors
/// See [`compose::all_rooms`].
pub fn all_rooms(
    rooms: &[Analysis],
    paper: Paper,
    wanted: &Wanted,
) -> Result<Vec<(String, Vec<u8>)>, JobError> {
    Ok(compose::all_rooms(rooms, paper, wanted)?)
}

/// The job's sheet of paper: as named, or Letter for feet and A4 otherwise.
///
/// # Errors
/// A word that is no sheet size.
pub fn paper_of(job: &JobFile) -> Result<Paper, JobError> {
    match job.paper.as_deref().map(str::to_lowercase).as_deref() {
        Some("letter") => Ok(Paper::Letter),
        Some("tabloid") => Ok(Paper::Tabloid),
        Some("a4") => Ok(Paper::A4),
        Some("a3") => Ok(Paper::A3),
        Some(other) => Err(JobError::BadValue {
            key: "paper".to_owned(),
            found: other.to_owned(),
            why: "expected letter, tabloid, a4 or a3".to_owned(),
        }),
        None => Ok(match job.units {
            Some(UnitsWord::Metric) => Paper::A4,
            _ => Paper::Letter,
        }),
    }
}

/// A room's name as a folder: letters, digits, dash and underscore only.
pub fn folder_name(room: &str) -> String {
    let name: String = room
        .chars()
        .map(|c| {
            if c.is_alphanumeric() || c == '-' || c == '_' {
                c
            } else {
                '-'
            }
        })
        .collect();
    if name.is_empty() {
        "room".to_owned()
    } else {
        name
    }
}
