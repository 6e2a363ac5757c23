//! What paper says about the job besides its numbers.

/// The words of a job. Empty means not told, and paper then leaves a line to fill in.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct About {
    /// What the job is called.
    pub title: String,
    /// Where the floor is.
    pub place: String,
    /// Who read it.
    pub who: String,
    /// When, as it is to be printed.
    pub when: String,
    /// Revision of the paper.
    pub revision: String,
    /// The instrument.
    pub instrument: String,
    /// Its last both-ways check.
    pub instrument_check: String,
    /// The bench mark.
    pub bench_mark: String,
    /// Name of the company that signs.
    pub company: String,
    /// Its address lines.
    pub company_lines: Vec<String>,
    /// Its logo: file name and bytes, SVG or PNG.
    pub logo: Option<(String, Vec<u8>)>,
    /// Whether the submittal tells what is ordered as well, which is no business of those who get it unless they ask.
    pub quantities: bool,
}

/// A file that went into the result.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InputFile {
    /// Its name.
    pub name: String,
    /// SHA-256 of its bytes, lower-case hexadecimal.
    pub sha256: String,
}
