//! Row 1. Length, area, volume; reading and printing them; the only rounding in the crate.
//!
//! Everything inside the crate is in metres, square metres and cubic metres. A crew's inch, a
//! standard's millimetre and a bag's cubic foot exist only at the edges, and pass through here.

mod meant;
mod pen;
mod quantity;
mod text;
mod text_error;
mod text_parse;
mod text_print;
mod text_token;
mod text_unit;

pub use meant::names_meant;
pub use pen::Pen;
pub use quantity::{Area, CUBIC_FOOT_M3, FOOT_M, INCH_M, Length, Volume};
pub use text::*;

/// Which habit of units a sheet is printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Habit {
    /// Feet, inches and binary fractions of an inch; cubic feet, pounds, quarts.
    Us,
    /// Millimetres and metres; litres, kilograms.
    #[default]
    Metric,
}
