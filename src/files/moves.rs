//! Putting a finished file or folder into its place in one step, and the flushing before it.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
mod system {
    use std::io;
    use std::path::Path;

    use rustix::fs::{CWD, RenameFlags, renameat_with};

    /// Renames, or says why not; `None` where this file system knows no such rename.
    fn with(from: &Path, to: &Path, flags: RenameFlags) -> Option<io::Result<()>> {
        use rustix::io::Errno;
        match renameat_with(CWD, from, CWD, to, flags) {
            Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP) => None,
            done => Some(done.map_err(io::Error::from)),
        }
    }

    pub fn no_replace(from: &Path, to: &Path) -> Option<io::Result<()>> {
        with(from, to, RenameFlags::NOREPLACE)
    }

    pub fn exchange(from: &Path, to: &Path) -> Option<io::Result<()>> {
        with(from, to, RenameFlags::EXCHANGE)
    }
}

#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
mod system {
    use std::io;
    use std::path::Path;

    pub fn no_replace(_: &Path, _: &Path) -> Option<io::Result<()>> {
        None
    }

    pub fn exchange(_: &Path, _: &Path) -> Option<io::Result<()>> {
        None
    }
}

/// Gives a finished file its name, unless the name is taken: then [`io::ErrorKind::AlreadyExists`].
pub fn file_without_replacing(from: &Path, to: &Path) -> io::Result<()> {
    if let Some(done) = system::no_replace(from, to) {
        return done;
    }
    // A link to a name that is taken fails as well.
    fs::hard_link(from, to)?;
    // The file has its name; the other one is swept later where it cannot be taken away now.
    let _ = fs::remove_file(from);
    Ok(())
}

/// Gives a finished folder its name, unless something other than an empty folder has it.
pub fn folder_without_replacing(from: &Path, to: &Path) -> io::Result<()> {
    match system::no_replace(from, to) {
        Some(Err(e)) if e.kind() == io::ErrorKind::AlreadyExists => {}
        Some(done) => return done,
        None => {}
    }
    // Where systems rename a folder over another, that other must be empty; elsewhere it must not be there.
    if cfg!(windows) {
        let _ = fs::remove_dir(to);
    }
    if fs::symlink_metadata(to).is_ok_and(|m| !m.is_dir()) {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    fs::rename(from, to)
}

/// Puts a finished folder into the place of another, and tells where that other is then.
///
/// In one step where the system can swap two names. Else the old one is named `away` first, and named back
/// if the new one cannot take its place.
pub fn swap(new: &Path, old: &Path, away: &Path) -> io::Result<PathBuf> {
    if let Some(done) = system::exchange(new, old) {
        return done.map(|()| new.to_path_buf());
    }
    fs::rename(old, away)?;
    fs::rename(new, old).or_else(|e| {
        fs::rename(away, old)?;
        Err(e)
    })?;
    Ok(away.to_path_buf())
}

/// Writes a file that is not there yet and flushes it. Its mode is the usual one, less the user's mask.
pub fn write_flushed(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Flushes a folder's list of names. Where the system cannot, the names are as safe as it makes them.
pub fn flush_folder(path: &Path) {
    if let Ok(folder) = File::open(path) {
        let _ = folder.sync_all();
    }
}
