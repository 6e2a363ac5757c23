//! A set of papers in a folder of its own: there whole, or not at all.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::beside::{self, PartFolder};
use super::list::{self, FileList};
use super::moves;
use super::{FileError, over_input, system_words, told, true_path};

/// A set's folder, and what may be done with what stands there.
#[derive(Debug, Clone)]
pub struct SetPlace<'a> {
    /// The folder, as the user named it.
    pub folder: &'a Path,
    /// The files that were read: none of them may lie in the folder.
    pub inputs: &'a [PathBuf],
    /// Whether an earlier set may be replaced.
    pub replace: bool,
    /// How the folder is known afterwards.
    pub kind: SetKind,
}

/// How a folder is known afterwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetKind {
    /// As a set that a later one may replace.
    Set,
    /// As the user's own from now on.
    Users,
}

/// What stands at a set's place.
enum Standing {
    Nothing,
    Empty,
    Earlier,
}

impl SetPlace<'_> {
    /// That nothing stands in the way; asked before the work is done, and again when it is written.
    ///
    /// # Errors
    /// What stands in the way, and what to do.
    pub fn is_free(&self) -> Result<(), FileError> {
        // A set that a stopped run had in its hands is back in its place before anything is said of it.
        beside::sweep(&self.target()?.1);
        let standing = self.standing();
        // That a file read lies there says more than that a set does, and less than what else does.
        if !matches!(
            standing,
            Err(FileError::Taken { .. } | FileError::NotEmpty { .. } | FileError::Changed { .. })
        ) {
            over_input(self.folder, self.inputs)?;
        }
        standing.map(|_| ())
    }

    fn standing(&self) -> Result<Standing, FileError> {
        let path = || told(self.folder);
        let about = match fs::metadata(self.folder) {
            Ok(about) => about,
            Err(_) if fs::symlink_metadata(self.folder).is_err() => return Ok(Standing::Nothing),
            // A link that leads nowhere.
            Err(e) => return Err(FileError::write(self.folder, &e)),
        };
        if !about.is_dir() {
            return Err(FileError::NotAFolder { path: path() });
        }
        let earlier = FileList::read(self.folder).ok();
        let list = earlier.clone().unwrap_or_default();
        let mut others = list
            .others_in(self.folder)
            .map_err(|e| FileError::write(self.folder, &e))?;
        let is_named = others.iter().any(|name| name == list::NAME);
        if earlier.is_none() && !is_named && self.folder.join(list::NAME).exists() {
            others.push(list::NAME.to_owned());
        }
        if self.kind == SetKind::Users && (earlier.is_some() || !others.is_empty()) {
            return Err(FileError::NotEmpty { path: path() });
        }
        if !others.is_empty() {
            return Err(FileError::Taken {
                path: path(),
                found: few(&others),
            });
        }
        if about.permissions().readonly() && (earlier.is_none() || self.replace) {
            return Err(FileError::Protected { path: path() });
        }
        match earlier {
            None => Ok(Standing::Empty),
            Some(_) if self.replace && stands_in(self.folder) => {
                Err(FileError::StoodIn { path: path() })
            }
            Some(list) if self.replace => {
                let changed = list.changed_in(self.folder);
                match changed.map_err(|e| FileError::write(self.folder, &e))? {
                    changed if changed.is_empty() => Ok(Standing::Earlier),
                    changed => Err(self.changed(&changed)),
                }
            }
            Some(list) => Err(FileError::EarlierSet {
                path: path(),
                count: list.len(),
            }),
        }
    }

    fn changed(&self, names: &[String]) -> FileError {
        let were = if names.len() == 1 { "was" } else { "were" };
        FileError::Changed {
            path: told(self.folder),
            found: format!("{} {were}", few(names)),
        }
    }

    /// Why a set could not be built beside its place or brought from there.
    fn beside(&self, parent: &Path, error: &io::Error) -> FileError {
        FileError::Beside {
            path: told(self.folder),
            beside: told(parent),
            why: system_words(error),
        }
    }

    /// The folder's true place, and the one that it lies in. A link to a folder stays: what it leads to is replaced.
    fn target(&self) -> Result<(PathBuf, PathBuf), FileError> {
        let target = true_path(self.folder);
        let parent = match target.parent() {
            Some(p) if !p.as_os_str().is_empty() => p.to_path_buf(),
            Some(_) => PathBuf::from("."),
            None => {
                return Err(FileError::Taken {
                    path: told(&target),
                    found: "the whole disk".to_owned(),
                });
            }
        };
        Ok((target, parent))
    }

    /// Writes the set: first whole and flushed into a folder beside, then into its place by one rename.
    /// Returns the paths written, in order.
    ///
    /// # Errors
    /// What stands in the way, or the system's words; the place is then as it was.
    pub fn write(&self, files: &[(String, Vec<u8>)]) -> Result<Vec<PathBuf>, FileError> {
        self.is_free()?;
        let fault = |e: io::Error| FileError::write(self.folder, &e);
        let (target, parent) = self.target()?;
        fs::create_dir_all(&parent).map_err(fault)?;
        let part = match PartFolder::new(&parent) {
            // A full disk says enough by itself.
            Err(e) if e.kind() == io::ErrorKind::StorageFull => return Err(fault(e)),
            made => made.map_err(|e| self.beside(&parent, &e))?,
        };
        self.fill(part.path(), files)?;
        if let Ok(about) = fs::metadata(&target) {
            // The folder's own mode is the user's choice and outlives what is in it.
            let _ = fs::set_permissions(part.path(), about.permissions());
        }
        self.put(part, &target, &parent)?;
        moves::flush_folder(&parent);
        Ok(files.iter().map(|(n, _)| self.folder.join(n)).collect())
    }

    /// Fills the new folder. The list comes first: what a stopped run leaves can then be told and swept.
    fn fill(&self, part: &Path, files: &[(String, Vec<u8>)]) -> Result<(), FileError> {
        let named = |name: &str, e: &io::Error| FileError::write(&self.folder.join(name), e);
        let list = match self.kind {
            SetKind::Set => FileList::of(files),
            SetKind::Users => FileList::of_users(files),
        };
        let list = list.text();
        moves::write_flushed(&part.join(list::NAME), list.as_bytes())
            .map_err(|e| named(list::NAME, &e))?;
        let mut folders = vec![part.to_path_buf()];
        for (name, bytes) in files {
            let path = part.join(name);
            if let Some(parent) = path.parent()
                && !folders.iter().any(|f| f == parent)
            {
                fs::create_dir_all(parent).map_err(|e| named(name, &e))?;
                folders.push(parent.to_path_buf());
            }
            moves::write_flushed(&path, bytes).map_err(|e| named(name, &e))?;
        }
        for folder in folders.iter().rev() {
            moves::flush_folder(folder);
        }
        Ok(())
    }

    /// Gives the new folder its place.
    fn put(&self, part: PartFolder, target: &Path, parent: &Path) -> Result<(), FileError> {
        let fault = |e: io::Error| match e.kind() {
            io::ErrorKind::ResourceBusy | io::ErrorKind::CrossesDevices => self.beside(parent, &e),
            _ => FileError::write(self.folder, &e),
        };
        if let Standing::Nothing | Standing::Empty = self.standing()? {
            let placed = moves::folder_without_replacing(part.path(), target);
            if placed.is_err() {
                // Somebody was quicker: told as what stands there now.
                self.is_free()?;
            }
            placed.map_err(fault)?;
            part.placed();
            if self.kind == SetKind::Users {
                let _ = fs::remove_file(target.join(list::NAME));
            }
            return Ok(());
        }
        let swap =
            |new: &Path| moves::swap(new, target, &beside::away(parent, target)).map_err(fault);
        let old = swap(part.path())?;
        part.placed();
        // Looked through again: what came into the folder since, or was changed in it, is the user's, and goes back with it.
        let list = FileList::read(&old);
        let looked = list.and_then(|l| Ok((l.others_in(&old)?, l.changed_in(&old)?)));
        let (others, changed) = match looked {
            Ok((others, changed)) if others.is_empty() && changed.is_empty() => {
                beside::delete(&old);
                return Ok(());
            }
            looked => looked.unwrap_or_default(),
        };
        beside::delete(&swap(&old)?);
        if others.is_empty() && !changed.is_empty() {
            return Err(self.changed(&changed));
        }
        Err(FileError::Taken {
            path: told(self.folder),
            found: few(&others),
        })
    }
}

/// The first few of some names.
fn few(names: &[String]) -> String {
    const SHOWN: usize = 3;
    let mut text = names
        .iter()
        .take(SHOWN)
        .map(String::as_str)
        .collect::<Vec<_>>()
        .join(", ");
    if names.len() > SHOWN {
        text.push_str(&format!(" and {} more", names.len() - SHOWN));
    }
    text
}

/// Whether a file is a set's list and not one of its papers.
pub fn is_list(path: &Path) -> bool {
    path.file_name().is_some_and(|n| n == list::NAME)
}

/// The list of a set, for a folder of one within a larger one: its name and its text.
pub fn list_file(files: &[(String, Vec<u8>)]) -> (String, Vec<u8>) {
    (
        list::NAME.to_owned(),
        FileList::of(files).text().into_bytes(),
    )
}

/// Whether this run was started from within a folder: replaced, it would be gone from under whoever stands in it.
fn stands_in(folder: &Path) -> bool {
    let whole = |path: &Path| fs::canonicalize(path).ok();
    let here = std::env::current_dir().ok().and_then(|d| whole(&d));
    here.zip(whole(folder))
        .is_some_and(|(here, folder)| here.starts_with(folder))
}
