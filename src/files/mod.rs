//! Row 12. The only place that touches the file system.
//!
//! Reading is whole files into memory. Writing is beside the target and then renamed over it, so a
//! full disk or a stopped program leaves the old file or the new one, never half of either.

use std::io::{Read, Write};
use std::path::{Path, PathBuf};

/// Largest file that is read: far above a million readings as text.
pub const LARGEST_FILE: u64 = 512 * 1024 * 1024;

/// Why a file could not be read or written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum FileError {
    /// The file could not be opened or read.
    #[error("{path}: cannot be read ({why}); check the name and that you may read it")]
    Read {
        /// As the user gave it.
        path: String,
        /// The system's words.
        why: String,
    },
    /// The path is a folder.
    #[error("{path}: is a folder; give a readings file (CSV, TSV, XLSX, XLS, ODS) or a job.toml")]
    Folder {
        /// As the user gave it.
        path: String,
    },
    /// The file is larger than any readings file should be.
    #[error("{path}: is {bytes} bytes; at most {limit} are read")]
    TooLarge {
        /// As the user gave it.
        path: String,
        /// Its size.
        bytes: u64,
        /// The limit.
        limit: u64,
    },
    /// The file or its folder could not be written.
    #[error("{path}: cannot be written ({why}); nothing of it was left half-written")]
    Write {
        /// Where it was to go.
        path: String,
        /// The system's words.
        why: String,
    },
    /// A file of that name is there already and was not asked to be replaced.
    #[error("{path}: is there already; name another folder, or add --replace")]
    Exists {
        /// What stands in the way.
        path: String,
    },
}

/// The system's words without the number that it has for them.
fn system_words(error: &std::io::Error) -> String {
    let text = error.to_string();
    let plain = text.split(" (os error").next().unwrap_or(&text);
    plain.to_owned()
}

/// A whole file.
///
/// # Errors
/// [`FileError`] names the path and what to do.
pub fn read(path: &Path) -> Result<Vec<u8>, FileError> {
    let name = || path.display().to_string();
    let broken = |e| FileError::Read {
        path: name(),
        why: system_words(&e),
    };
    let file = std::fs::File::open(path).map_err(broken)?;
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

/// Writes each file whole, making folders as needed.
///
/// All of them are first written beside their places and only then renamed, so that a fault in one
/// leaves none of them changed. Returns the paths written, in order.
///
/// # Errors
/// [`FileError::Write`], or [`FileError::Exists`] when `replace` is false and a file is in the way.
pub fn write_all(
    folder: &Path,
    files: &[(String, Vec<u8>)],
    replace: bool,
) -> Result<Vec<PathBuf>, FileError> {
    let mut waiting = Vec::with_capacity(files.len());
    for (name, bytes) in files {
        let target = folder.join(name);
        let fault = |e| FileError::Write {
            path: target.display().to_string(),
            why: system_words(&e),
        };
        if !replace && target.exists() {
            return Err(FileError::Exists {
                path: target.display().to_string(),
            });
        }
        let parent = target.parent().unwrap_or(folder);
        std::fs::create_dir_all(parent).map_err(fault)?;
        let mut beside = tempfile::Builder::new()
            .prefix(".birdbath-")
            .tempfile_in(parent)
            .map_err(fault)?;
        beside.write_all(bytes).map_err(fault)?;
        open_to_readers(beside.as_file()).map_err(fault)?;
        waiting.push((target, beside));
    }
    let mut written = Vec::with_capacity(waiting.len());
    for (target, beside) in waiting {
        beside.persist(&target).map_err(|e| FileError::Write {
            path: target.display().to_string(),
            why: system_words(&e.error),
        })?;
        written.push(target);
    }
    Ok(written)
}

/// Temporary files are private by default; a sheet in a shared folder is for everyone.
#[cfg(unix)]
fn open_to_readers(file: &std::fs::File) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn open_to_readers(_: &std::fs::File) -> std::io::Result<()> {
    Ok(())
}
