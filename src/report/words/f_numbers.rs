//! Words about F-numbers.

use crate::flatness::fnumber::Constants;

/// The quantity behind FF.
pub const CURVATURE: &str = "curvature";
/// The quantity behind FL.
pub const DIFFERENCE: &str = "height difference";
/// Heading of the chapter.
pub const TITLE: &str = "F-numbers";
/// Row name in the short answer.
pub const ROW: &str = "F-numbers";
/// Caption of the lines' table.
pub const LINES: &str = "Sample lines";
/// Caption of the rules' table.
pub const RULES: &str = "Layout rules of ASTM E1155 and how the lines keep them";
/// Columns of the lines' table.
pub const LINE_COLUMNS: [&str; 5] = ["Line", "Curvatures", "FF", "Differences", "FL"];
/// Columns of the rules' table.
pub const RULE_COLUMNS: [&str; 4] = ["Rule", "Source", "Found", "Kept"];
/// Under the chapter.
pub const NOT_A_GAP: &str = "F-numbers come from the sample lines alone (ASTM E1155 / E1155M). They are another quantity than the gap under a straight edge, and neither is converted into the other.";

/// The section's two numbers and the constants they stand on.
pub fn section(ff: &str, fl: &str, lines: usize, constants: Constants) -> String {
    let lines = match lines {
        1 => "1 line".to_owned(),
        n => format!("{n} lines"),
    };
    format!("FF {ff}, FL {fl}; {lines}, {}", constants_words(constants))
}

/// Which constants.
pub const fn constants_words(constants: Constants) -> &'static str {
    match constants {
        Constants::Exact => "constants 4.57 in and 12.5 in as they stand",
        Constants::Rescaled => "constants rescaled to 300 mm (112.45 and 312.5 mm)",
    }
}

/// Whether a rule is kept.
pub const fn kept(kept: Option<bool>) -> &'static str {
    match kept {
        Some(true) => "yes",
        Some(false) => "no",
        None => "not told",
    }
}

/// A rule in the short answer.
pub fn broken(rule: &str, found: &str) -> String {
    format!("not kept: {rule}; {found}")
}

/// A rule in the short answer that what was given does not tell about.
pub fn untold(count: usize) -> String {
    format!(
        "{count} layout rules can not be told from what was given; see docs/formats.md, Sample lines"
    )
}

/// The ceiling that the reading step of the lines sets.
pub fn ceiling(step: &str, (ff, fl): (f64, f64)) -> String {
    format!("lines read to {step}: a perfect floor would show FF {ff:.0} and FL {fl:.0}")
}
