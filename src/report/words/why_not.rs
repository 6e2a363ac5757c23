//! Why a file that was asked for cannot be made, and what to do.

use crate::units::number_text;

/// No pour without a material.
pub const NO_MATERIAL: &str = "no material sheet is named, and batches are counted in its bags: name one with --material or as material in [fill]";
/// A pour of nothing.
pub const NO_BATCH: &str = "the pour has no batch: nothing of the floor lies below the finish";
/// Nothing to patch.
pub const NO_PATCH: &str =
    "there is nothing to patch or grind: the floor keeps every limit that was tested";
/// Patches need a limit.
pub const NO_LIMIT: &str = "no check among those asked for is laid with a straight edge, and patches are aimed at its limits: name one with --check";
/// No edge was laid.
pub const NO_EDGE: &str = "no span of the straight edge can be laid on this floor: name a check with --check or a length with --span";
/// Nothing to give notice of.
pub const NOTHING_OPEN: &str =
    "every check asked for is within: there is nothing to give notice of";
/// No finish.
pub const NO_FINISH: &str = "no finish was worked out: name one with --gauge, --level-at or --fall";

/// A scan is no list of marks.
pub fn too_many_marks(most: usize) -> String {
    format!(
        "it lists {} marks at the most, and this is a scan; the depth map shows them all",
        number_text(most as f64, 0)
    )
}

/// A scan is no workbook.
pub fn too_many_rows(most: usize) -> String {
    format!(
        "it holds {} readings at the most, and this is a scan",
        number_text(most as f64, 0)
    )
}

/// A file that did not come, and why; with the room where there are several.
pub fn did_not_come(file: &str, room: &str, why: &str) -> String {
    if room.is_empty() {
        format!("{file}: was not written; {why}")
    } else {
        format!("{file}, {room}: was not written; {why}")
    }
}
