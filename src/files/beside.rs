//! Temporary names beside a target: who holds them, and how those of stopped runs are swept.

use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::process;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::list::FileList;

/// Before the number of the process that holds a temporary name.
const PREFIX: &str = ".birdbath-";
/// After what is being written.
const PART: &str = ".part";
/// Between the number and the name of a folder that was moved away to be deleted.
const WAS: &str = ".was-";

/// Numbers names of one process.
static COUNT: AtomicUsize = AtomicUsize::new(0);

fn unused(folder: &Path, end: &str) -> PathBuf {
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    folder.join(format!("{PREFIX}{}-{count}{end}", process::id()))
}

/// A name for a file that is being written.
pub fn part_file(folder: &Path) -> PathBuf {
    unused(folder, PART)
}

/// The name that the folder `target` has from when it is moved away until it is deleted.
pub fn away(folder: &Path, target: &Path) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    unused(folder, &format!("{WAS}{name}"))
}

/// A folder that is being written; it is deleted unless it was given its name.
pub struct PartFolder {
    path: PathBuf,
    is_placed: bool,
    /// Locked as long as this run lives: a process of the same number may be another one.
    lock: Option<File>,
}

impl PartFolder {
    /// An empty folder inside `folder`, with the usual mode less the user's mask.
    pub fn new(folder: &Path) -> io::Result<Self> {
        let path = unused(folder, PART);
        fs::create_dir(&path)?;
        let lock = File::open(&path).ok().filter(|f| f.try_lock().is_ok());
        Ok(Self {
            path,
            is_placed: false,
            lock,
        })
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// It has a name of its own now and is not deleted.
    pub fn placed(mut self) {
        self.is_placed = true;
    }
}

impl Drop for PartFolder {
    fn drop(&mut self) {
        if !self.is_placed {
            delete(&self.path);
        }
        self.lock = None;
    }
}

/// Deletes a folder of ours: the files in its list and nothing else. One without a list was stopped before
/// its first file.
pub fn delete(folder: &Path) {
    // Half a list was stopped before the first file as well: it is taken away with the folder.
    FileList::read_any(folder)
        .unwrap_or_default()
        .delete_from(folder);
    let _ = fs::remove_dir(folder);
}

/// Takes away what stopped runs left in a folder: files half-written, folders half-written, and folders moved
/// away. One that was moved away while nothing has its name yet is named back.
pub fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let Some(left) = name.to_str().and_then(Left::parse) else {
            continue;
        };
        if runs(left.process) || is_held(&entry.path()) {
            continue;
        }
        sweep_one(folder, &entry.path(), left.was);
    }
}

fn sweep_one(folder: &Path, path: &Path, was: Option<&str>) {
    let Ok(about) = fs::symlink_metadata(path) else {
        return;
    };
    match was {
        Some(name) if about.is_dir() => {
            let target = folder.join(name);
            if fs::symlink_metadata(&target).is_err() {
                let _ = super::moves::folder_without_replacing(path, &target);
            } else {
                delete(path);
            }
        }
        None if about.is_dir() => delete(path),
        None if about.is_file() => {
            let _ = fs::remove_file(path);
        }
        _ => {}
    }
}

/// What a temporary name tells.
struct Left<'a> {
    process: u32,
    /// The name that a folder had before it was moved away.
    was: Option<&'a str>,
}

impl<'a> Left<'a> {
    fn parse(name: &'a str) -> Option<Self> {
        let (process, rest) = name.strip_prefix(PREFIX)?.split_once('-')?;
        let digits = rest.find(|c: char| !c.is_ascii_digit())?;
        let (count, end) = rest.split_at(digits);
        let was = end.strip_prefix(WAS).filter(|w| !w.is_empty());
        if count.is_empty() || (end != PART && was.is_none()) {
            return None;
        }
        Some(Self {
            process: process.parse().ok()?,
            was,
        })
    }
}

/// Whether the process of this number runs, as far as can be told.
#[cfg(unix)]
fn runs(process: u32) -> bool {
    use rustix::process::{Pid, test_kill_process};
    let Some(pid) = i32::try_from(process).ok().and_then(Pid::from_raw) else {
        return false;
    };
    // Only "no such process" is a no: one of another user may not be asked, and runs.
    test_kill_process(pid) != Err(rustix::io::Errno::SRCH)
}

#[cfg(not(unix))]
fn runs(process: u32) -> bool {
    process == process::id()
}

/// Whether a run that cannot be seen from here holds it: another machine's, or another container's.
fn is_held(path: &Path) -> bool {
    let Ok(file) = File::open(path) else {
        return false;
    };
    matches!(file.try_lock(), Err(TryLockError::WouldBlock))
}
