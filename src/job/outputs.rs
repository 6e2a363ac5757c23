//! From what was prepared to named bytes.

use std::collections::BTreeSet;

use super::choices::PaperSize;
use super::error::JobError;
use super::file::JobFile;
use super::on_paper::on_paper;
use super::prepare::Prepared;
use crate::analysis::{self, Analysis, Tell, Want};
use crate::report::Paper;
use crate::report::compose::{self, Sheet, Wanted};
use crate::report::words::why_not::did_not_come;
use crate::units::Habit;

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
    Ok(compose::files(on_paper(a)?.as_ref(), paper, wanted, tell)?)
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
    let told = rooms.iter().map(|a| Ok(on_paper(a)?.into_owned()));
    let told: Vec<Analysis> = told.collect::<Result<_, JobError>>()?;
    Ok(compose::all_rooms(&told, paper, wanted)?)
}

/// The job's sheet of paper: as named, or Letter for feet and A4 otherwise.
pub fn paper_of(job: &JobFile) -> Paper {
    let habit = job.units.map_or(Habit::Us, Habit::from);
    job.paper.unwrap_or(PaperSize::usual(habit)).into()
}

/// The files asked for by name that did not come of a room, and of all wanted those that a scan is too large for, each with
/// why and what to do.
pub fn missing(
    (named, wanted): (&[Sheet], &Wanted),
    made: &[(String, Vec<u8>)],
    a: &Analysis,
    several: bool,
) -> Vec<String> {
    let room = if several { a.survey.name.as_str() } else { "" };
    let came = |sheet: &Sheet| {
        made.iter()
            .any(|(file, _)| file.rsplit_once('.').is_some_and(|f| f.0 == sheet.name()))
    };
    let asked = |sheet: &Sheet| {
        named.contains(sheet) || (wanted.has(*sheet) && compose::too_large(*sheet, a))
    };
    Sheet::ALL
        .into_iter()
        .filter(|sheet| asked(sheet) && !came(sheet))
        .map(|sheet| did_not_come(sheet.name(), room, &compose::why_not(sheet, a)))
        .collect()
}

/// Most characters of a folder's name: systems take 255 bytes, and a character is at most four.
const LONGEST_NAME: usize = 60;

/// A folder's name for each room: letters, digits, dash and underscore only, and no two that a system which does
/// not tell capitals apart takes for one. The second of a name is numbered.
pub fn folder_names<'a>(rooms: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let plain: Vec<String> = rooms.into_iter().map(folder_name).collect();
    let mut taken: BTreeSet<String> = BTreeSet::new();
    // A name that is a room's own is not given to the second of another.
    let own: BTreeSet<String> = plain.iter().map(|n| n.to_lowercase()).collect();
    plain
        .into_iter()
        .map(|name| {
            if taken.insert(name.to_lowercase()) {
                return name;
            }
            let mut number = 2;
            loop {
                let numbered = format!("{name}-{number}");
                let key = numbered.to_lowercase();
                if !own.contains(&key) && taken.insert(key) {
                    return numbered;
                }
                number += 1;
            }
        })
        .collect()
}

fn folder_name(room: &str) -> String {
    let name: String = room
        .chars()
        .take(LONGEST_NAME)
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
