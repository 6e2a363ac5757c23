//! The small list in a folder that tells which files of it are one set of ours.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::Path;

use sha2::{Digest, Sha256};

/// Its name.
pub const NAME: &str = ".birdbath-set";
/// Its first line; a file that begins otherwise is not ours.
const HEAD: &str = "# Files of one set, written by birdbath. A folder that holds these and nothing else is replaced as a whole by --replace.";
/// The first line while a folder is written that is the user's afterwards: no set, but known to us as long as it has no name yet.
const HEAD_USERS: &str = "# Files that birdbath is writing. Once their folder has its name they are yours, and this list is of no use.";
/// Digits of a checksum as it is written.
const SUM_DIGITS: usize = 64;

/// Names of a set's files, with `/` between folder and file, and what they held when they were written.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FileList {
    /// A list of an earlier build has no checksums.
    files: BTreeMap<String, Option<String>>,
    /// Whether the folder is the user's once it has its name.
    users: bool,
}

fn checksum(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|b| format!("{b:02x}")).collect()
}

impl FileList {
    /// The list of these files as a set.
    pub fn of(files: &[(String, Vec<u8>)]) -> Self {
        let named = |(name, bytes): &(String, Vec<u8>)| (name.clone(), Some(checksum(bytes)));
        Self {
            files: files.iter().map(named).collect(),
            users: false,
        }
    }

    /// The same of a folder that is the user's once it has its name.
    pub fn of_users(files: &[(String, Vec<u8>)]) -> Self {
        Self {
            users: true,
            ..Self::of(files)
        }
    }

    /// As written into the folder.
    pub fn text(&self) -> String {
        let head = if self.users { HEAD_USERS } else { HEAD };
        let line = |(name, sum): (&String, &Option<String>)| match sum {
            Some(sum) => format!("{sum}  {name}\n"),
            None => format!("{name}\n"),
        };
        let lines: String = self.files.iter().map(line).collect();
        format!("{head}\n{lines}")
    }

    /// The list of the set that stands in a folder.
    pub fn read(folder: &Path) -> io::Result<Self> {
        Self::read_any(folder).and_then(|list| match list.users {
            false => Ok(list),
            true => Err(io::ErrorKind::InvalidData.into()),
        })
    }

    /// The list that stands in a folder of a set, or in one that is being written.
    pub fn read_any(folder: &Path) -> io::Result<Self> {
        let path = folder.join(NAME);
        if !fs::symlink_metadata(&path)?.is_file() {
            return Err(io::ErrorKind::InvalidData.into());
        }
        let text = fs::read_to_string(path)?;
        let mut lines = text.lines();
        let users = match lines.next() {
            Some(HEAD) => false,
            Some(HEAD_USERS) => true,
            _ => return Err(io::ErrorKind::InvalidData.into()),
        };
        Ok(Self {
            files: lines.map(entry).collect(),
            users,
        })
    }

    /// How many files it names.
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// Deletes those files of the folder that it names, the folders that are empty then, and the list.
    pub fn delete_from(&self, folder: &Path) {
        let Ok(found) = contents(folder) else {
            return;
        };
        for name in found.files.iter().filter(|n| self.files.contains_key(*n)) {
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
            .filter(|n| n != NAME && !self.files.contains_key(n));
        let folders = found.folders.into_iter().filter(|f| {
            let inside = format!("{f}/");
            !self.files.keys().any(|n| n.starts_with(&inside))
        });
        Ok(files.chain(folders).chain(found.others).collect())
    }

    /// Those of its files that hold something else than what was written; one that is gone holds nothing.
    pub fn changed_in(&self, folder: &Path) -> io::Result<Vec<String>> {
        let mut changed = Vec::new();
        for (name, sum) in &self.files {
            let Some(sum) = sum else { continue };
            match fs::read(folder.join(name)) {
                Ok(bytes) if checksum(&bytes) == *sum => {}
                Err(e) if e.kind() == io::ErrorKind::NotFound => {}
                Ok(_) => changed.push(name.clone()),
                Err(e) => return Err(e),
            }
        }
        Ok(changed)
    }
}

/// A line's name, with its checksum where it has one.
fn entry(line: &str) -> (String, Option<String>) {
    let with_sum = line.split_once("  ").filter(|(sum, name)| {
        sum.len() == SUM_DIGITS && sum.bytes().all(|b| b.is_ascii_hexdigit()) && !name.is_empty()
    });
    match with_sum {
        Some((sum, name)) => (name.to_owned(), Some(sum.to_owned())),
        None => (line.to_owned(), None),
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
