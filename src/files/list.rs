//! The small list in a folder that tells which files of it are one set of ours.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::Path;

/// Its name.
pub const NAME: &str = ".birdbath-set";
/// Its first line; a file that begins otherwise is not ours.
const HEAD: &str = "# Files of one set, written by birdbath. A folder that holds these and nothing else is replaced as a whole by --replace.";

/// Names of a set's files, with `/` between folder and file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FileList(BTreeSet<String>);

impl FileList {
    /// The list of these files.
    pub fn of(files: &[(String, Vec<u8>)]) -> Self {
        Self(files.iter().map(|(name, _)| name.clone()).collect())
    }

    /// As written into the folder.
    pub fn text(&self) -> String {
        let names: String = self.0.iter().map(|n| format!("{n}\n")).collect();
        format!("{HEAD}\n{names}")
    }

    /// The list that stands in a folder.
    pub fn read(folder: &Path) -> io::Result<Self> {
        let path = folder.join(NAME);
        if !fs::symlink_metadata(&path)?.is_file() {
            return Err(io::ErrorKind::InvalidData.into());
        }
        let text = fs::read_to_string(path)?;
        let mut lines = text.lines();
        if lines.next() != Some(HEAD) {
            return Err(io::ErrorKind::InvalidData.into());
        }
        Ok(Self(lines.map(str::to_owned).collect()))
    }

    /// How many files it names.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Deletes those files of the folder that it names, the folders that are empty then, and the list.
    pub fn delete_from(&self, folder: &Path) {
        let Ok(found) = contents(folder) else {
            return;
        };
        for name in found.files.iter().filter(|n| self.0.contains(*n)) {
            let _ = fs::remove_file(folder.join(name));
        }
        for name in found.folders.iter().rev() {
            let _ = fs::remove_dir(folder.join(name));
        }
        let _ = fs::remove_file(folder.join(NAME));
    }

    /// What stands in the folder besides these files, the list and the folders that they are in.
    pub fn others_in(&self, folder: &Path) -> io::Result<Vec<String>> {
        let found = contents(folder)?;
        let files = found
            .files
            .into_iter()
            .filter(|n| n != NAME && !self.0.contains(n));
        let folders = found.folders.into_iter().filter(|f| {
            let inside = format!("{f}/");
            !self.0.iter().any(|n| n.starts_with(&inside))
        });
        Ok(files.chain(folders).chain(found.others).collect())
    }
}

/// Everything in a folder, by its name from there.
#[derive(Default)]
struct Contents {
    files: Vec<String>,
    /// Outer ones before inner ones.
    folders: Vec<String>,
    /// Links and the like: never followed, never ours.
    others: Vec<String>,
}

fn contents(folder: &Path) -> io::Result<Contents> {
    let mut found = Contents::default();
    let mut waiting = vec![String::new()];
    while let Some(under) = waiting.pop() {
        for entry in fs::read_dir(folder.join(&under))? {
            let entry = entry?;
            let name = format!("{under}{}", entry.file_name().to_string_lossy());
            let kind = entry.file_type()?;
            if kind.is_dir() {
                waiting.push(format!("{name}/"));
                found.folders.push(name);
            } else if kind.is_file() {
                found.files.push(name);
            } else {
                found.others.push(name);
            }
        }
    }
    found.files.sort();
    found.others.sort();
    Ok(found)
}
