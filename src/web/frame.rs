//! What the page sends: a length, a header, and the files' bytes one after another.
//!
//! ```text
//! 4 bytes   length of the header, little-endian
//! n bytes   header, JSON: {"files": [{"name", "size"}, …], "main": name, "options": {…}}
//! rest      the files' bytes, in the order of the header
//! ```

use serde::Deserialize;

use crate::job::Overrides;

/// Longest header that is read, bytes.
pub const LONGEST_HEADER: usize = 1024 * 1024;
/// Most files in one request.
pub const MOST_FILES: usize = 64;

/// A file with its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedFile {
    /// Its name, without a folder.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// What the page asks for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Request {
    /// The files, in the order chosen.
    pub files: Vec<NamedFile>,
    /// Which of them holds the readings, or the job.
    pub main: String,
    /// The choices made.
    pub options: Overrides,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Header {
    files: Vec<Entry>,
    main: String,
    #[serde(default)]
    options: Overrides,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    name: String,
    size: u64,
}

/// Why a request could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum FrameError {
    /// The header is not all there.
    #[error("the request ends after {found} bytes, inside its header of {wanted}; send it again")]
    Short {
        /// Bytes there are.
        found: usize,
        /// Bytes there should be.
        wanted: usize,
    },
    /// The header is longer than any honest one.
    #[error("the request's header is {found} bytes; at most {LONGEST_HEADER} are read")]
    LongHeader {
        /// What it says of itself.
        found: usize,
    },
    /// The header is not what is expected.
    #[error("the request's header cannot be read{text}; load the page again")]
    Header {
        /// Which name in it is not known, if that is why.
        text: String,
    },
    /// No file came.
    #[error(
        "no file was chosen; choose a readings file (CSV, TSV, XLSX, XLS, ODS) or a job.toml with its files"
    )]
    NoFiles,
    /// Too many files came.
    #[error("{found} files were chosen; at most {MOST_FILES} are taken at once")]
    ManyFiles {
        /// How many.
        found: usize,
    },
    /// A file's name is empty or leads elsewhere.
    #[error("file {number} is called “{name}”; a plain file name is needed, without a folder")]
    Name {
        /// Which file, from 1.
        number: usize,
        /// Its name.
        name: String,
    },
    /// Two files have one name.
    #[error("two files are called {name}; rename one of them")]
    Twice {
        /// The name.
        name: String,
    },
    /// Sizes and bytes do not agree.
    #[error("the files should be {wanted} bytes together, but {found} came; send them again")]
    Sizes {
        /// What the header says.
        wanted: u64,
        /// What came.
        found: usize,
    },
    /// The main file is not among the files.
    #[error("the readings are said to be in {name}, which is not among the files chosen")]
    NoMain {
        /// The name.
        name: String,
    },
}

/// The fault of a header, without the parser's own words but for a name that it does not know and those it does.
fn header_fault(error: &serde_json::Error) -> FrameError {
    let words = error.to_string();
    let known = words.strip_prefix("unknown field ");
    let text = known.map_or_else(String::new, |w| {
        let end = w.find(" at line ").unwrap_or(w.len());
        format!(": it names {}", &w[..end])
    });
    FrameError::Header { text }
}

/// Reads a request.
///
/// # Errors
/// [`FrameError`] says what was found and what was expected. No input makes it panic.
pub fn parse(body: &[u8]) -> Result<Request, FrameError> {
    let short = |wanted: usize| FrameError::Short {
        found: body.len(),
        wanted,
    };
    let (length, rest) = body.split_first_chunk::<4>().ok_or_else(|| short(4))?;
    let length = u32::from_le_bytes(*length) as usize;
    if length > LONGEST_HEADER {
        return Err(FrameError::LongHeader { found: length });
    }
    let (header, mut rest) = rest
        .split_at_checked(length)
        .ok_or_else(|| short(length + 4))?;
    let header: Header = serde_json::from_slice(header).map_err(|e| header_fault(&e))?;
    if header.files.is_empty() {
        return Err(FrameError::NoFiles);
    }
    if header.files.len() > MOST_FILES {
        return Err(FrameError::ManyFiles {
            found: header.files.len(),
        });
    }
    let sizes = FrameError::Sizes {
        wanted: header
            .files
            .iter()
            .fold(0_u64, |sum, f| sum.saturating_add(f.size)),
        found: rest.len(),
    };
    let mut files: Vec<NamedFile> = Vec::with_capacity(header.files.len());
    for (i, entry) in header.files.into_iter().enumerate() {
        if !plain(&entry.name) {
            return Err(FrameError::Name {
                number: i + 1,
                name: entry.name,
            });
        }
        if files.iter().any(|f| f.name == entry.name) {
            return Err(FrameError::Twice { name: entry.name });
        }
        let size = usize::try_from(entry.size).map_err(|_| sizes.clone())?;
        let (bytes, after) = rest.split_at_checked(size).ok_or_else(|| sizes.clone())?;
        rest = after;
        files.push(NamedFile {
            name: entry.name,
            bytes: bytes.to_vec(),
        });
    }
    if !rest.is_empty() {
        return Err(sizes);
    }
    if !files.iter().any(|f| f.name == header.main) {
        return Err(FrameError::NoMain { name: header.main });
    }
    Ok(Request {
        files,
        main: header.main,
        options: header.options,
    })
}

/// Whether a name is a file's own name and nothing more.
fn plain(name: &str) -> bool {
    !name.is_empty()
        && name.len() <= 255
        && name != "."
        && name != ".."
        && !name.contains(['/', '\\', '\0'])
        && !name.chars().any(char::is_control)
}

/// Puts a request together as the page does.
///
/// # Errors
/// [`FrameError::LongHeader`] when names and options take more than a header may.
pub fn compose(request: &Request) -> Result<Vec<u8>, FrameError> {
    let files: Vec<_> = request
        .files
        .iter()
        .map(|f| serde_json::json!({ "name": f.name, "size": f.bytes.len() }))
        .collect();
    let header = serde_json::json!({
        "files": files,
        "main": request.main,
        "options": request.options,
    })
    .to_string();
    let length = u32::try_from(header.len())
        .ok()
        .filter(|&l| l as usize <= LONGEST_HEADER)
        .ok_or(FrameError::LongHeader {
            found: header.len(),
        })?;
    let mut body = length.to_le_bytes().to_vec();
    body.extend_from_slice(header.as_bytes());
    for file in &request.files {
        body.extend_from_slice(&file.bytes);
    }
    Ok(body)
}
