//! Why a job cannot be done.

use super::file::JobFileError;
use super::inputs::MissingFile;
use crate::analysis::AnalysisError;
use crate::fill::SheetError;
use crate::flatness::CheckError;
use crate::import::ImportErrors;
use crate::recheck::RecheckError;
use crate::report::ReportError;
use crate::survey::SetUpError;
use crate::units::LengthError;

/// Why a job cannot be done. Each says where, what was found, what was expected and what to do.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum JobError {
    /// The job file itself.
    #[error(transparent)]
    File(#[from] JobFileError),
    /// A file that was named and not given.
    #[error(transparent)]
    Missing(#[from] MissingFile),
    /// A value of the job file or a flag.
    #[error("{key}: found \"{found}\"; {why}")]
    BadValue {
        /// The key, as in job.toml; the flag has the same name.
        key: String,
        /// What stood there.
        found: String,
        /// What was expected and what to do.
        why: String,
    },
    /// A length of the job file or a flag.
    #[error(
        "{key}: {source}; write the unit with the number, such as \"1/8 in\", \"10 ft\", \"3 mm\""
    )]
    Length {
        /// The key, as in job.toml; the flag has the same name.
        key: String,
        /// What is wrong with it.
        source: LengthError,
    },
    /// The readings or the outline.
    #[error(transparent)]
    Import(#[from] ImportErrors),
    /// A material sheet that is not text.
    #[error("{file}: is not UTF-8 text; a material sheet is a small TOML file (docs/formats.md)")]
    SheetText {
        /// Its name.
        file: String,
    },
    /// The material sheet.
    #[error("{file}: {source}")]
    Sheet {
        /// Its name.
        file: String,
        /// Every fault in it.
        source: SheetError,
    },
    /// A check's name or words.
    #[error("checks: {0}")]
    Check(#[from] CheckError),
    /// Set-ups that do not fit together.
    #[error(transparent)]
    SetUps(#[from] SetUpError),
    /// A height that was read from the line of one of several set-ups, and nobody said which.
    #[error(
        "{outline}: the height of {what} is a reading down from the line of one set-up, and this job has {}, which stand at different heights; {}. Say which in a column set_up, or give the height as an elevation over the line of the first",
        .set_ups.join(", "),
        if .named.is_empty() { "none is named".to_owned() } else { format!("none of them is called {named}") }
    )]
    FromWhichSetUp {
        /// The outline file.
        outline: String,
        /// The door or fixture.
        what: String,
        /// The set-up that was named; empty where none was.
        named: String,
        /// The set-ups of the job.
        set_ups: Vec<String>,
    },
    /// Several rooms where one is needed.
    #[error(
        "{file}: holds {count} rooms ({names}); choose one with --room NAME, or room = \"…\" in its [[readings]]"
    )]
    SeveralRooms {
        /// The readings file.
        file: String,
        /// How many.
        count: usize,
        /// Their names.
        names: String,
    },
    /// Sheets of one floor that count from opposite walls, without the walls.
    #[error(
        "{turned}: counts from the {} wall, and {plain} from the {} one; without the walls nobody knows how they lie to one another. Give the outline (docs/formats.md, Outline file), or write both from one wall",
        .walls.0,
        .walls.1
    )]
    Opposed {
        /// The one that counts from the right or the far wall.
        turned: String,
        /// The other.
        plain: String,
        /// The walls, in that order.
        walls: (&'static str, &'static str),
    },
    /// The analysis.
    #[error(transparent)]
    Analysis(#[from] AnalysisError),
    /// Two days that cannot be compared.
    #[error(transparent)]
    Recheck(#[from] RecheckError),
    /// Drawing or printing.
    #[error(transparent)]
    Report(#[from] ReportError),
}
