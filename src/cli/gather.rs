//! From the command line to a job and its files.

use std::path::{Path, PathBuf};

use super::args::{
    EdgeArgs, LayoutWord, MeaningWord, PaperWord, PlaneArgs, ReadingArgs, UnitsWord,
};
use super::exit::Stop;
use crate::files;
use crate::job::{FillEntry, Inputs, JobFile, Overrides, ReadingsEntry, UnitsWord as JobUnits};

/// A job with every file it names.
pub struct Gathered {
    /// The job as the file and the flags together say it.
    pub job: JobFile,
    /// The bytes.
    pub inputs: Inputs,
    /// Folder that paper goes to when no other is named.
    pub folder: PathBuf,
}

/// Reads a job file or a readings file, lays the flags over it, and loads whatever is named.
///
/// Files that a job file names are looked for beside it; files that a flag names, where the
/// command was given.
///
/// # Errors
/// A [`Stop`] with the words for the user.
pub fn gather(
    file: &Path,
    reading: &ReadingArgs,
    edge: &EdgeArgs,
    plane: &PlaneArgs,
) -> Result<Gathered, Stop> {
    let name = file_name(file);
    let bytes = files::read(file)?;
    let folder = file
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .map_or_else(|| PathBuf::from("."), Path::to_path_buf);
    let mut inputs = Inputs::default();
    let mut job = if name.to_lowercase().ends_with(".toml") {
        let job = JobFile::parse(&name, &bytes)?;
        for named in job.files_named() {
            inputs.insert(named.clone(), files::read(&folder.join(&named))?);
        }
        inputs.insert(name, bytes);
        job
    } else {
        inputs.insert(name.clone(), bytes);
        JobFile {
            readings: vec![ReadingsEntry {
                file: name,
                ..ReadingsEntry::default()
            }],
            ..JobFile::default()
        }
    };
    overrides(reading, edge, plane).lay_over(&mut job);
    for (flag, slot) in [
        (&reading.outline, &mut job.outline),
        (&plane.material, &mut job.fill.material),
        (&edge.lines, &mut job.f_numbers.lines),
    ] {
        if let Some(path) = flag {
            let named = file_name(path);
            let bytes = files::read(path)?;
            // Files are told apart by name: on paper, and here.
            if inputs.get(&named).is_ok_and(|there| there != bytes) {
                return Err(Stop::usage(format!(
                    "{}: another file of this job is called {named} too; rename one of them",
                    path.display()
                )));
            }
            inputs.insert(named.clone(), bytes);
            *slot = Some(named);
        }
    }
    Ok(Gathered {
        job,
        inputs,
        folder,
    })
}

/// A path's last part, as it is printed in errors and on paper.
pub fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(
        || path.display().to_string(),
        |n| n.to_string_lossy().into_owned(),
    )
}

/// What the flags say, as the page says it too.
fn overrides(reading: &ReadingArgs, edge: &EdgeArgs, plane: &PlaneArgs) -> Overrides {
    Overrides {
        reading: ReadingsEntry {
            sheet: reading.sheet.clone(),
            room: reading.room.clone(),
            plan_unit: reading.plan_unit.clone(),
            reading_unit: reading.reading_unit.clone(),
            meaning: reading.meaning.map(|m| meaning(m).to_owned()),
            layout: reading.layout.map(|l| layout(l).to_owned()),
            spacing: reading.spacing.clone(),
            first_row: reading.first_row.clone(),
            x_runs: reading.x_runs.clone(),
            dates_as_fractions: reading.dates_as_fractions,
            ..ReadingsEntry::default()
        },
        units: reading.units.map(|u| match u {
            UnitsWord::Us => JobUnits::Us,
            UnitsWord::Metric => JobUnits::Metric,
        }),
        spans: edge.span.clone(),
        checks: edge.check.clone(),
        tolerance: edge.tolerance.clone(),
        fill: FillEntry {
            deep: plane.deep,
            gauge: plane.gauge.clone(),
            level_at: plane.level_at.clone(),
            fall: plane.fall.clone(),
            fall_from: plane.fall_from.clone(),
            fall_to: plane.fall_to.clone(),
            least_fill: plane.least_fill,
            waste: plane.waste,
            bags: plane.bags,
            rake: plane.rake.clone(),
            cover: plane.cover.clone(),
            grind: plane.grind.clone(),
            base_depth: plane.base_depth.clone(),
            framed: plane.framed.then_some(true),
            ..FillEntry::default()
        },
        // Files are named as they are read in.
        ..Overrides::default()
    }
}

/// The word a job file uses.
pub const fn meaning(word: MeaningWord) -> &'static str {
    match word {
        MeaningWord::Down => "down",
        MeaningWord::Up => "up",
        MeaningWord::Elevation => "elevation",
    }
}

const fn layout(word: LayoutWord) -> &'static str {
    match word {
        LayoutWord::Matrix => "matrix",
        LayoutWord::List => "list",
    }
}

/// The word a job file uses.
pub const fn paper(word: PaperWord) -> &'static str {
    match word {
        PaperWord::Letter => "letter",
        PaperWord::Tabloid => "tabloid",
        PaperWord::A4 => "a4",
        PaperWord::A3 => "a3",
    }
}
