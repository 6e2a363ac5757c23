//! Why a file could not be read or written.

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
    /// A set that is to be replaced while somebody stands in its folder.
    #[error(
        "{path}: is the folder that this command is run in, and replacing the set would take it away; run it from the folder above, with --out and this folder's name"
    )]
    StoodIn {
        /// As the user gave it.
        path: String,
    },
    /// The path is a folder.
    #[error("{path}: is a folder, not a file; name the file in it")]
    Folder {
        /// As the user gave it.
        path: String,
    },
    /// A file that a job names could not be read.
    #[error("{job}, {key}: {source}")]
    Named {
        /// The job file.
        job: String,
        /// The key that names the file.
        key: &'static str,
        /// What is wrong with it.
        source: Box<FileError>,
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
    #[error("{path}: cannot be written ({why}); what stood there before is as it was")]
    Write {
        /// Where it was to go.
        path: String,
        /// The system's words.
        why: String,
    },
    /// A file of that name is there already and was not asked to be replaced.
    #[error("{path}: is there already; name another folder with --out, or add --replace")]
    Exists {
        /// What stands in the way.
        path: String,
    },
    /// The place of a file, or of one that has only this name, is taken by a folder or the like.
    #[error("{path}: is no file and is not replaced; name another folder with --out")]
    NoFile {
        /// What stands in the way.
        path: String,
    },
    /// An earlier set stands in the folder and was not asked to be replaced.
    #[error(
        "{path}: holds an earlier set of {count} files; add --replace to take this one in its place, or name another folder with --out"
    )]
    EarlierSet {
        /// The folder.
        path: String,
        /// Files of the earlier set.
        count: usize,
    },
    /// The folder holds what is not known to be of an earlier set.
    #[error(
        "{path}: holds {found}, which this program did not write there as part of a set; files are not mixed with yours, and a folder with yours in it is not replaced: name a new folder with --out"
    )]
    Taken {
        /// The folder.
        path: String,
        /// Names of what stands there, the first few of them.
        found: String,
    },
    /// Files of an earlier set were changed since it was written.
    #[error(
        "{path}: holds an earlier set, and {found} changed since it was written; a set that was worked on is not replaced: name another folder with --out, or move what you changed away"
    )]
    Changed {
        /// The folder.
        path: String,
        /// Names of the files that were changed, the first few of them.
        found: String,
    },
    /// A set is built beside its place, and nothing can be written there or brought from there.
    #[error(
        "{path}: a set is first built beside its folder and then put in its place whole, and in {beside} that cannot be done ({why}); name with --out a folder that is not a disk's own, in a folder that you may write into"
    )]
    Beside {
        /// The folder of the set.
        path: String,
        /// The folder that it lies in.
        beside: String,
        /// The system's words.
        why: String,
    },
    /// The folder is set read-only, by somebody who wants it to stay as it is.
    #[error(
        "{path}: is set read-only and is not replaced; allow writing into it, or name another folder with --out"
    )]
    Protected {
        /// The folder.
        path: String,
    },
    /// A folder that is written afresh only.
    #[error(
        "{path}: is there already and is not empty; nothing in it was touched: name a new folder with --out"
    )]
    NotEmpty {
        /// The folder.
        path: String,
    },
    /// The folder's place is taken by a file.
    #[error("{path}: is a file; expected a folder to write into: name another with --out")]
    NotAFolder {
        /// What stands there.
        path: String,
    },
    /// What would be written lies over what was read.
    #[error(
        "{path}: would be written over {input}, which is one of the files read; name another folder with --out"
    )]
    OverInput {
        /// Where it was to go.
        path: String,
        /// The input.
        input: String,
    },
}

impl FileError {
    /// A fault of writing at a place.
    pub(super) fn write(path: &std::path::Path, error: &std::io::Error) -> Self {
        Self::Write {
            path: super::told(path),
            why: system_words(error),
        }
    }
}

/// The system's words without the number that it has for them.
pub fn system_words(error: &std::io::Error) -> String {
    let text = error.to_string();
    let plain = text.split(" (os error").next().unwrap_or(&text);
    plain.to_owned()
}
