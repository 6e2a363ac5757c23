//! From the command line to a job and its files.

use std::path::{Path, PathBuf};

use super::args::{
    AboutArgs, EdgeArgs, LayoutWord, MeaningWord, PaperWord, PlaneArgs, ReadingArgs, UnitsWord,
};
use super::exit::Stop;
use crate::files::{self, FileError};
use crate::job::{FillEntry, Inputs, JobFile, Overrides, ReadingsEntry, UnitsWord as JobUnits};

/// A job with every file it names.
pub struct Gathered {
    /// The job as the file and the flags together say it.
    pub job: JobFile,
    /// The bytes.
    pub inputs: Inputs,
    /// Folder that paper goes to when no other is named.
    pub folder: PathBuf,
    /// Where each file was read: nothing is written over them.
    pub read: Vec<PathBuf>,
}

/// What the flags say.
#[derive(Default)]
pub struct Flags {
    /// Words for the paper.
    pub about: AboutArgs,
    /// How readings are taken.
    pub reading: ReadingArgs,
    /// What the edge is to show.
    pub edge: EdgeArgs,
    /// What is filled to, with what.
    pub plane: PlaneArgs,
}

/// Whether a file is a job file, by its name.
pub fn is_job(file: &Path) -> bool {
    file_name(file).to_lowercase().ends_with(".toml")
}

/// Reads a job file or a readings file, lays the flags over it, and loads whatever is named.
///
/// Files that a job file names are looked for beside it; files that a flag names, where the
/// command was given.
///
/// # Errors
/// A [`Stop`] with the words for the user.
pub fn gather(file: &Path, flags: &Flags) -> Result<Gathered, Stop> {
    let bytes = files::read(file)?;
    let folder = file
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .map_or_else(|| PathBuf::from("."), Path::to_path_buf);
    let mut names = Names::default();
    let mut inputs = Inputs::default();
    let mut job = if is_job(file) {
        let job = JobFile::parse(&file_name(file), &bytes)?;
        // A job's own files are named as the job names them.
        for (key, named) in job.named_files() {
            let path = folder.join(&named);
            let bytes = files::read(&path).map_err(|source| FileError::Named {
                job: file_name(file),
                key,
                source: Box::new(source),
            })?;
            inputs.insert(named.clone(), bytes);
            names.take(named, &path);
        }
        inputs.insert(names.of(file), bytes);
        job
    } else {
        let name = names.of(file);
        inputs.insert(name.clone(), bytes);
        JobFile {
            readings: vec![ReadingsEntry {
                file: name,
                ..ReadingsEntry::default()
            }],
            ..JobFile::default()
        }
    };
    overrides(flags).lay_over(&mut job);
    for (flag, slot) in [
        (&flags.reading.outline, &mut job.outline),
        (&flags.plane.material, &mut job.fill.material),
        (&flags.edge.lines, &mut job.f_numbers.lines),
    ] {
        if let Some(path) = flag {
            let named = names.of(path);
            inputs.insert(named.clone(), files::read(path)?);
            *slot = Some(named);
        }
    }
    Ok(Gathered {
        job,
        inputs,
        folder,
        read: names.paths,
    })
}

/// Which name stands for which file. Two files of one name are two inputs.
#[derive(Default)]
struct Names {
    names: Vec<String>,
    /// As they were given, in the order of the names.
    paths: Vec<PathBuf>,
}

impl Names {
    fn take(&mut self, name: String, path: &Path) {
        self.names.push(name);
        self.paths.push(path.to_path_buf());
    }

    /// A file's name: its path's last part; the path as given where another file has that name already; where
    /// another has that as well, its true path.
    fn of(&mut self, path: &Path) -> String {
        let whole = files::true_path(path);
        let shown = |p: &Path| p.display().to_string();
        let mut name = file_name(path);
        for longer in [shown(path), shown(&whole)] {
            if self.is_anothers(&name, &whole) {
                name = longer;
            }
        }
        self.take(name.clone(), path);
        name
    }

    fn is_anothers(&self, name: &str, whole: &Path) -> bool {
        let mut taken = self.names.iter().zip(&self.paths);
        taken.any(|(n, p)| n == name && files::true_path(p) != whole)
    }
}

/// A path's last part, as it is printed in errors and on paper.
pub fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(
        || path.display().to_string(),
        |n| n.to_string_lossy().into_owned(),
    )
}

/// What the flags say, as the page says it too.
fn overrides(flags: &Flags) -> Overrides {
    let Flags {
        about,
        reading,
        edge,
        plane,
    } = flags;
    Overrides {
        title: about.title.clone(),
        place: about.place.clone(),
        who: about.who.clone(),
        when: about.when.clone(),
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
