//! Words for what was understood of a file.

use crate::import::Layout;

/// No one unit for the column: each cell names its own.
pub const EACH_ITS_OWN: &str = "the unit each cell names";
/// Nobody said what a reading is.
pub const NOT_STATED: &str = " (taken as usual; the file does not say)";
/// No outline was given.
pub const NO_OUTLINE: &str =
    "no outline given; the hull of the readings stands in. Give one with --outline.";

/// Name of a layout.
pub const fn layout(layout: Layout) -> &'static str {
    match layout {
        Layout::Matrix => "matrix",
        Layout::List => "list",
        Layout::Auto => "sheet",
    }
}

/// What the outline holds.
pub fn outline(
    area: &str,
    voids: usize,
    slopes: usize,
    joints: usize,
    doors: usize,
    fixtures: usize,
) -> String {
    format!(
        "outline of {area} with {voids} voids, {slopes} areas that keep their slope, {joints} joints, {doors} doors, {fixtures} fixtures"
    )
}
