//! Row 12. The only place that touches the file system.
//!
//! Reading is whole files into memory. Writing is beside the target and then renamed into place, so a
//! full disk or a stopped program leaves what was there or what is new, never half of either. Single files
//! are written by [`write_all`], sets of papers in folders of their own by [`SetPlace`].

mod beside;
mod error;
mod list;
mod moves;
mod set;

use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

pub use error::{FileError, system_words};
pub use set::{SetKind, SetPlace, is_list, list_file};

/// Largest file that is read: far above a million readings as text.
pub const LARGEST_FILE: u64 = 512 * 1024 * 1024;

/// Lets a file that grows over the size a user may write (`ulimit -f`) fail as a full disk does, with an error and nothing
/// half-written left, instead of ending the program.
pub fn outlive_size_limits() {
    #[cfg(unix)]
    {
        use signal_hook::{consts::SIGXFSZ, flag};
        use std::sync::{Arc, atomic::AtomicBool};
        // Whoever writes hears of it by the error; where the signal cannot be had, the system's own way remains.
        let _ = flag::register(SIGXFSZ, Arc::new(AtomicBool::new(false)));
    }
}

/// A path as it is told: on one line, with line ends and tabs in it as their codes.
pub fn told(path: &Path) -> String {
    let mut text = String::new();
    for c in path.display().to_string().chars() {
        if matches!(c, '\n' | '\t') {
            text.extend(c.escape_unicode());
        } else {
            text.push(c);
        }
    }
    text
}

/// A whole file.
///
/// # Errors
/// [`FileError`] names the path and what to do.
pub fn read(path: &Path) -> Result<Vec<u8>, FileError> {
    let name = || told(path);
    let broken = |e| FileError::Read {
        path: name(),
        why: system_words(&e),
    };
    let file = fs::File::open(path).map_err(broken)?;
    let about = file.metadata().map_err(broken)?;
    if about.is_dir() {
        return Err(FileError::Folder { path: name() });
    }
    let too_large = |bytes| FileError::TooLarge {
        path: name(),
        bytes,
        limit: LARGEST_FILE,
    };
    if about.len() > LARGEST_FILE {
        return Err(too_large(about.len()));
    }
    let mut bytes = Vec::with_capacity(about.len() as usize);
    // A pipe has no length beforehand, so the limit is held while reading too.
    let read = file
        .take(LARGEST_FILE + 1)
        .read_to_end(&mut bytes)
        .map_err(broken)? as u64;
    if read > LARGEST_FILE {
        return Err(too_large(read));
    }
    Ok(bytes)
}

/// Whether a path names a file that lies in a folder of somebody's: no pipe, no device, and none that the system keeps
/// for what is open (`/dev/stdin`, `/dev/fd/3`).
pub fn is_in_a_folder(path: &Path) -> bool {
    let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
    let systems = ["/dev/fd", "/dev/stdin", "/proc"]
        .iter()
        .any(|s| whole.starts_with(s));
    fs::metadata(path).is_ok_and(|about| about.is_file()) && !(cfg!(unix) && systems)
}

/// Whether anything stands at a path, a link to nothing included.
pub fn is_there(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok()
}

/// A file's one true path, links resolved; the path itself where there is none.
pub fn true_path(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf())
}

/// The way from a folder to a file, as it is written in a job file. Where there is none, as between two
/// drives, the file's whole path.
pub fn way_from(folder: &Path, file: &Path) -> PathBuf {
    let (from, to) = (whole_path(folder), whole_path(file));
    let shared = from
        .components()
        .zip(to.components())
        .take_while(|(a, b)| a == b)
        .count();
    if shared == 0 {
        return to;
    }
    let up = from.components().skip(shared).map(|_| Path::new(".."));
    let down = to.components().skip(shared);
    up.chain(down.map(|c| Path::new(c.as_os_str()))).collect()
}

/// A path from the root with the links on it resolved, as far as it is there.
fn whole_path(path: &Path) -> PathBuf {
    let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
    if let Ok(resolved) = fs::canonicalize(&whole) {
        return resolved;
    }
    match (whole.parent(), whole.file_name()) {
        (Some(parent), Some(name)) => whole_path(parent).join(name),
        _ => whole,
    }
}

/// That none of the files that were read lies at a target, or in it.
///
/// # Errors
/// [`FileError::OverInput`] names both.
fn over_input(target: &Path, inputs: &[PathBuf]) -> Result<(), FileError> {
    let Ok(place) = fs::canonicalize(target) else {
        // Not there yet: nothing lies in it.
        return Ok(());
    };
    let over = |input: &&PathBuf| true_path(input).starts_with(&place);
    match inputs.iter().find(over) {
        None => Ok(()),
        Some(input) => Err(FileError::OverInput {
            path: told(target),
            input: told(input),
        }),
    }
}

/// That nothing stands in the way of files in a folder.
///
/// # Errors
/// [`FileError::OverInput`] for a file that was read, [`FileError::Exists`] for one that is there and is not
/// to be replaced.
pub fn all_free(
    folder: &Path,
    names: &[&str],
    inputs: &[PathBuf],
    replace: bool,
) -> Result<(), FileError> {
    for name in names {
        let target = folder.join(name);
        over_input(&target, inputs)?;
        let path = || told(&target);
        match fs::symlink_metadata(&target) {
            Err(_) => {}
            Ok(about) if about.is_dir() => return Err(FileError::NoFile { path: path() }),
            Ok(_) if !replace => return Err(FileError::Exists { path: path() }),
            Ok(_) => {}
        }
    }
    Ok(())
}

/// Writes each file whole into a folder, making it if needed.
///
/// All of them are first written and flushed beside their places and only then named, so that a full disk
/// leaves none of them changed. Without `replace` a name that is taken meanwhile is not taken from it.
/// Returns the paths written, in order.
///
/// # Errors
/// As [`all_free`], and [`FileError::Write`].
pub fn write_all(
    folder: &Path,
    files: &[(String, Vec<u8>)],
    inputs: &[PathBuf],
    replace: bool,
) -> Result<Vec<PathBuf>, FileError> {
    let names: Vec<&str> = files.iter().map(|(n, _)| n.as_str()).collect();
    all_free(folder, &names, inputs, replace)?;
    fs::create_dir_all(folder).map_err(|e| FileError::write(folder, &e))?;
    beside::sweep(folder);
    let mut waiting = Waiting::default();
    for (name, bytes) in files {
        let target = folder.join(name);
        let part = beside::part_file(folder);
        waiting.parts.push(part.clone());
        moves::write_flushed(&part, bytes).map_err(|e| FileError::write(&target, &e))?;
    }
    let mut written = Vec::with_capacity(files.len());
    for (name, part) in names.iter().zip(&waiting.parts) {
        let target = folder.join(name);
        if let Err(e) = name_file(part, &target, replace) {
            if !replace {
                // These were not there before this run.
                written.iter().for_each(|path| drop(fs::remove_file(path)));
            }
            return Err(match e.kind() {
                std::io::ErrorKind::AlreadyExists => FileError::Exists {
                    path: told(&target),
                },
                _ => FileError::write(&target, &e),
            });
        }
        written.push(target);
    }
    moves::flush_folder(folder);
    Ok(written)
}

fn name_file(part: &Path, target: &Path, replace: bool) -> std::io::Result<()> {
    if replace {
        fs::rename(part, target)
    } else {
        moves::file_without_replacing(part, target)
    }
}

/// Files under their temporary names; those that are still there are taken away in the end.
#[derive(Default)]
struct Waiting {
    parts: Vec<PathBuf>,
}

impl Drop for Waiting {
    fn drop(&mut self) {
        for part in &self.parts {
            let _ = fs::remove_file(part);
        }
    }
}
