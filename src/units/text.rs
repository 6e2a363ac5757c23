//! Reading and printing of lengths, areas, volumes: see [`parse_length`] and [`LengthFormat`].

pub use super::text_error::{Comma, LengthError};
pub use super::text_parse::{WrittenLength, parse_length, read_length};
pub use super::text_print::{
    FractionStyle, LengthFormat, POUND_KG, area_text, at_least_text, at_most_text, bags_text,
    beside_text, bound_number_text, depth_text, feet_inches_text, found_text, gap_beside_text,
    gap_number_text, inches_text, length_text, liquid_to_bring, liquid_to_bring_text, load_text,
    m_text, mass_text, mm_text, number_text, part_of_area_text, reading_step_text,
    share_against_text, share_text, spacing_text, volume_text, water_text,
};
pub use super::text_unit::{LengthUnit, UnknownUnit};
