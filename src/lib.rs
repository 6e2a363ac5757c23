//! Birdbath: readings from a level line in; high point, straight-edge gaps, fill, pour and floor maps out.
//!
//! Data flow one way, from import to paper. A module may import only modules that stand above it
//! in this list; `tests/suite/layering.rs` holds it to that.

pub mod units;

pub mod geometry;

pub mod survey;

pub mod import;

pub mod surface;

pub mod fill;
pub mod flatness;

pub mod patch;
pub mod pour;

pub mod analysis;

pub mod drawing;

pub mod report;

pub mod job;

pub mod files;

pub mod cli;
pub mod web;
