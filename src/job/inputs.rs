//! The files of a job, by name, as bytes.

use std::collections::BTreeMap;

use sha2::{Digest, Sha256};

use crate::analysis::InputFile;

/// Named bytes. Names are as the job file or the command line gives them.
#[derive(Debug, Clone, Default)]
pub struct Inputs {
    files: BTreeMap<String, Vec<u8>>,
}

impl Inputs {
    /// Adds a file, or replaces the one of that name.
    pub fn insert(&mut self, name: impl Into<String>, bytes: Vec<u8>) {
        self.files.insert(name.into(), bytes);
    }

    /// A file's bytes.
    ///
    /// # Errors
    /// [`MissingFile`] with the names that are there.
    pub fn get(&self, name: &str) -> Result<&[u8], MissingFile> {
        self.files
            .get(name)
            .map(Vec::as_slice)
            .ok_or_else(|| MissingFile {
                name: name.to_owned(),
                there: self.files.keys().cloned().collect::<Vec<_>>().join(", "),
            })
    }

    /// That all of these are there.
    ///
    /// # Errors
    /// [`MissingFile`] with every name that is not, and the names that are.
    pub fn has_all(&self, names: &[String]) -> Result<(), MissingFile> {
        let lacking: Vec<&str> = names
            .iter()
            .filter(|n| !self.files.contains_key(*n))
            .map(String::as_str)
            .collect();
        match lacking.first() {
            None => Ok(()),
            Some(_) => self.get(&lacking.join(", ")).map(|_| ()),
        }
    }

    /// Each file with the fingerprint that paper prints, by the last part of its path; by all of it where others have that in common.
    pub fn fingerprints(&self) -> Vec<InputFile> {
        let told = |name: &String| {
            let short = last_part(name);
            let alone = self.files.keys().filter(|n| last_part(n) == short).count() == 1;
            if alone {
                short.to_owned()
            } else {
                name.clone()
            }
        };
        self.files
            .iter()
            .map(|(name, bytes)| InputFile {
                name: told(name),
                sha256: Sha256::digest(bytes)
                    .iter()
                    .map(|b| format!("{b:02x}"))
                    .collect(),
            })
            .collect()
    }
}

/// A file that the job names and that was not given.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{name}: is named by the job but was not given; the files at hand are: {there}")]
pub struct MissingFile {
    /// The name.
    pub name: String,
    /// The names that were given.
    pub there: String,
}

/// The last part of a path, whichever way its slashes lean.
pub(super) fn last_part(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}

#[cfg(test)]
mod tests {
    use super::Inputs;

    // ORACLE: hand. The last part of a path names a file; two that have it in common are named whole.
    #[test]
    fn paper_names_files_by_the_last_part_of_their_path() {
        let mut inputs = Inputs::default();
        for name in ["job.toml", "../common/material.toml", "a/r.csv", "b\\r.csv"] {
            inputs.insert(name, Vec::new());
        }
        let told: Vec<String> = inputs.fingerprints().into_iter().map(|f| f.name).collect();
        assert_eq!(told, ["material.toml", "a/r.csv", "b\\r.csv", "job.toml"]);
    }
}
