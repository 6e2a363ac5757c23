//! Row 11. Bytes and a request in, named bytes out; shared by command line and page.
//!
//! [`prepare`] reads and resolves everything a job names, [`analyse`] works it out, [`files`] turns it
//! into the files that are [`Wanted`].

pub mod choices;
mod crew;
mod error;
mod field;
mod file;
mod finish;
mod hand;
mod inputs;
mod on_paper;
mod outputs;
mod overrides;
mod prepare;
mod recheck;
mod run_number;
mod settings;
mod starter;
mod told;
mod understood;
mod words;

pub use crate::report::compose::{Sheet, Wanted};
pub use error::JobError;
pub use field::{FieldRequest, field_sheet};
pub use file::{
    Company, Crew, FillEntry, Instrument, JobFile, JobFileError, PricesEntry, ReadingsEntry,
};
pub use hand::hand_sheets;
pub use inputs::{Inputs, MissingFile};
pub use outputs::{all_rooms, analyse, files, folder_names, missing, paper_of};
pub use overrides::{AboutWords, EdgeWords, FileNames, FillWords, Overrides, ReadingWords, number};
pub use prepare::{Prepared, only_room, prepare, prepare_beside};
pub use recheck::{on_the_same_floor, plans_fill, recheck, recheck_paper, same_terms, tie};
pub use run_number::number_together;
pub use starter::{StarterRequest, starter};
pub use understood::{understood_file, understood_text};
