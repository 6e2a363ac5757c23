//! From the command line to a job and its files.

use std::path::{Path, PathBuf};

use super::args::{
    EdgeArgs, LayoutWord, MeaningWord, PaperWord, PlaneArgs, ReadingArgs, UnitsWord,
};
use super::exit::Stop;
use crate::files;
use crate::job::{Inputs, JobFile, ReadingsEntry, UnitsWord as JobUnits};

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
    lay_over(&mut job, reading, edge, plane);
    for (flag, slot) in [
        (&reading.outline, &mut job.outline),
        (&plane.material, &mut job.fill.material),
        (&edge.lines, &mut job.f_numbers.lines),
    ] {
        if let Some(path) = flag {
            let named = file_name(path);
            inputs.insert(named.clone(), files::read(path)?);
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

/// What a flag says stands above what the job file says.
fn lay_over(job: &mut JobFile, reading: &ReadingArgs, edge: &EdgeArgs, plane: &PlaneArgs) {
    for entry in &mut job.readings {
        over(&mut entry.sheet, reading.sheet.clone());
        over(&mut entry.room, reading.room.clone());
        over(&mut entry.plan_unit, reading.plan_unit.clone());
        over(&mut entry.reading_unit, reading.reading_unit.clone());
        over(
            &mut entry.meaning,
            reading.meaning.map(|m| meaning(m).to_owned()),
        );
        over(
            &mut entry.layout,
            reading.layout.map(|l| layout(l).to_owned()),
        );
        over(&mut entry.spacing, reading.spacing.clone());
        entry.first_row_far |= reading.first_row_far;
        entry.x_leftward |= reading.x_leftward;
        entry.dates_as_fractions |= reading.dates_as_fractions;
    }
    over(
        &mut job.units,
        reading.units.map(|u| match u {
            UnitsWord::Us => JobUnits::Us,
            UnitsWord::Metric => JobUnits::Metric,
        }),
    );
    if !edge.span.is_empty() {
        job.spans.clone_from(&edge.span);
    }
    if !edge.check.is_empty() {
        job.checks.clone_from(&edge.check);
    }
    over(&mut job.tolerance, edge.tolerance.clone());
    // A finish that a flag names takes the place of the whole of the job's.
    if plane.gauge.is_some() || plane.level_at.is_some() || plane.fall.is_some() || plane.least_fill
    {
        job.fill.gauge.clone_from(&plane.gauge);
        job.fill.level_at.clone_from(&plane.level_at);
        job.fill.fall.clone_from(&plane.fall);
        job.fill.fall_from.clone_from(&plane.fall_from);
        job.fill.fall_to.clone_from(&plane.fall_to);
        job.fill.least_fill = plane.least_fill;
    }
    over(&mut job.fill.waste, plane.waste);
    over(&mut job.fill.bags, plane.bags);
    over(&mut job.fill.rake, plane.rake.clone());
    over(&mut job.fill.cover, plane.cover.clone());
    over(&mut job.fill.grind, plane.grind.clone());
    over(&mut job.fill.base_depth, plane.base_depth.clone());
    over(&mut job.fill.framed, plane.framed.then_some(true));
}

fn over<T>(slot: &mut Option<T>, flag: Option<T>) {
    if flag.is_some() {
        *slot = flag;
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
