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
    let counted = |n: usize, one: &str, many: &str| match n {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {many}")),
    };
    let holds: Vec<String> = [
        counted(voids, "void", "voids"),
        counted(
            slopes,
            "area that keeps its slope",
            "areas that keep their slope",
        ),
        counted(joints, "joint", "joints"),
        counted(doors, "door", "doors"),
        counted(fixtures, "fixture", "fixtures"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if holds.is_empty() {
        format!("outline of {area}; no voids, joints, doors or fixtures")
    } else {
        format!("outline of {area} with {}", holds.join(", "))
    }
}

/// Cells without a reading.
pub fn skipped(blanks: usize, words: usize) -> String {
    let cells = |n: usize| if n == 1 { "cell" } else { "cells" };
    format!(
        "{blanks} blank {} and {words} {} with a word for no reading",
        cells(blanks),
        cells(words)
    )
}

/// What stands beside, above, below and between the readings.
pub fn outside(shown: &[(String, &str)], all: usize) -> String {
    let list: Vec<String> = shown
        .iter()
        .map(|(cell, text)| format!("{cell} \u{201c}{text}\u{201d}"))
        .collect();
    let more = if all > shown.len() {
        format!(" and {} more", all - shown.len())
    } else {
        String::new()
    };
    format!(
        "passed over, no part of the table: {}{more}",
        list.join(", ")
    )
}

/// A cell's own text and what it was taken for: millimetres, and inches where those are the habit.
pub fn cell(place: &str, label: &str, text: &str, inches: Option<&str>, mm: &str) -> String {
    let inches = inches.map_or_else(String::new, |i| format!("{i} in = "));
    format!("{place}  {label:<8} \"{text}\" = {inches}{mm} mm")
}
