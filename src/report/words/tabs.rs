//! Sheets and headings of the workbook.

/// Tab.
pub const READINGS: &str = "Readings";
/// Tab.
pub const DEPTHS: &str = "Depths";
/// Tab.
pub const PLACEMENTS: &str = "Placements";
/// Tab.
pub const QUANTITIES: &str = "Quantities";
/// Tab.
pub const CHECKS: &str = "Checks";
/// Tab.
pub const NOTICES: &str = "Notices";
/// Column.
pub const X: &str = "x";
/// Column.
pub const Y: &str = "y";
/// Column.
pub const ELEVATION: &str = "Height over the line";
/// Column.
pub const SET_UP: &str = "Set-up";
/// Column.
pub const NOTE: &str = "Note";
/// Column.
pub const FILL_DEPTH: &str = "Depth to the finish (minus: grind)";
/// Column.
pub const WHY: &str = "Why";
/// Column.
pub const CODE: &str = "Code";
/// Row: a value that the material sheet lacks.
pub const MISSING: &str = "Not known";

/// Heading of an end of a placement, from one wall.
pub fn end(title: &str, wall: &str) -> String {
    format!("{title}, from {wall}")
}
