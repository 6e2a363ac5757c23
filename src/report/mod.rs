//! Row 10. Crew sheets, field sheet, submittal, workbook, page for a browser: numbers to paper.
//!
//! Each report is first a [`Document`] of [`Block`]s (what is said), then a file (where it stands on the
//! page). Words come from [`words`], numbers are rounded in `units` only.

pub mod answer;
mod answer_choices;
mod clip;
pub mod compose;
pub mod crew;
mod document;
mod error;
mod f_numbers;
pub mod field;
pub mod field_workbook;
mod fill_sections;
mod first_page;
mod hand_sheet;
mod head;
pub mod order;
pub mod orientation;
pub mod page;
mod paper;
mod pdf;
mod picture;
mod plan_sheet;
mod pour_sheet;
mod quantities_sheet;
mod readings_table;
pub mod recheck_sheet;
pub mod result_file;
pub mod sections;
mod signed;
mod small_plan;
pub mod submittal;
mod tiles;
pub mod together;
pub mod words;
pub mod workbook;
mod workbook_of;

pub use crate::units::Pen;
pub use document::{
    Align, Answer, Block, Column, Date, Document, Drawing, Fact, Picture, Table, Tone, Way,
};
pub use error::ReportError;
pub use head::Head;
pub use paper::{ALL_PAPERS, Paper, size_mm};
pub use pdf::{Press, paper_for};
pub use picture::check_logo;
pub use tiles::{Cut, cut};
pub use workbook::{Cell, Sheet, Workbook};
