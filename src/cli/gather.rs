//! From the command line to a job and its files.

use std::path::{Path, PathBuf};

use super::args::{EdgeArgs, PlaneArgs, ReadingArgs};
use super::exit::Stop;
use crate::files::{self, FileError};
use crate::job::choices::{PaperSize, With};
use crate::job::{AboutWords, FileNames, Inputs, JobFile, Overrides, ReadingsEntry};
use crate::survey::one_line;

/// A job with every file it names.
pub struct Gathered {
    /// The job as the file and the flags together say it.
    pub job: JobFile,
    /// The bytes.
    pub inputs: Inputs,
    /// Folder that paper goes to when no other is named; `None` for what comes through a pipe or the like, which lies in no folder
    /// that anything is written into.
    pub folder: Option<PathBuf>,
    /// Where each file was read: nothing is written over them.
    pub read: Vec<PathBuf>,
}

/// What the flags say.
#[derive(Default)]
pub struct Flags {
    /// Words for the paper.
    pub about: AboutWords,
    /// How readings are taken.
    pub reading: ReadingArgs,
    /// What the edge is to show.
    pub edge: EdgeArgs,
    /// What is filled to, with what.
    pub plane: PlaneArgs,
    /// Sheet of paper.
    pub paper: Option<PaperSize>,
    /// What the submittal tells besides.
    pub with: Vec<With>,
}

impl Gathered {
    /// The folder named, or the usual one beside the file.
    ///
    /// # Errors
    /// That a folder must be named, where the file lies beside nothing.
    pub fn out(&self, named: Option<&Path>, usual: &str) -> Result<PathBuf, Stop> {
        match (named, &self.folder) {
            (Some(named), _) => Ok(named.to_path_buf()),
            (None, Some(beside)) => Ok(beside.join(usual)),
            (None, None) => Err(Stop::usage(
                "what is read comes from no file with a folder of its own: name with --out the folder that the papers go to",
            )),
        }
    }
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
    // Files are named as they are read in.
    let mut read = |flag: &Option<PathBuf>| -> Result<Option<String>, Stop> {
        let Some(path) = flag else { return Ok(None) };
        let named = names.of(path);
        inputs.insert(named.clone(), files::read(path)?);
        Ok(Some(named))
    };
    let over = Overrides {
        files: FileNames {
            outline: read(&flags.reading.outline)?,
            material: read(&flags.plane.material)?,
            lines: read(&flags.edge.lines)?,
            hand: read(&flags.edge.hand)?,
        },
        about: flags.about.clone(),
        reading: flags.reading.words.clone(),
        edge: flags.edge.words.clone(),
        fill: flags.plane.words.clone(),
        paper: flags.paper,
        with: flags.with.clone(),
    };
    over.lay_over(&mut job);
    Ok(Gathered {
        job,
        inputs,
        folder: files::is_in_a_folder(file).then_some(folder),
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
        let mut name = file_name(path);
        for longer in [files::told(path), files::told(&whole)] {
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

/// A path's last part, as it is printed in errors and on paper: on one line.
pub fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(
        || files::told(path),
        |n| one_line(&n.to_string_lossy()).into_owned(),
    )
}
