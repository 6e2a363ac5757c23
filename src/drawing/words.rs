//! Every word on a drawing, but for what the caller hands in. `report::words` passes them on beside its own.

/// Name of a curve.
pub const WORST_DIP: &str = "worst dip";
/// Name of a curve.
pub const WORST_HUMP: &str = "worst hump";
/// Axis of the span curve.
pub const GAP_AXIS: &str = "gap";
/// Hatched part of the span curve.
pub const NOT_TESTED: &str = "not tested: readings too far apart";
/// Key.
pub const MARK_FILL: &str = "mark with depth to fill";
/// Key.
pub const MARK_LOW: &str = "mark with how low it lies";
/// Key.
pub const EQUAL_DEPTH: &str = "line of equal depth";
/// Key.
pub const EQUAL_HEIGHT: &str = "line of equal height";
/// Key.
pub const ABOVE_PLANE: &str = "above the plane: grind";
/// Key.
pub const ABOVE_HIGHEST: &str = "above the highest reading";
/// Key.
pub const ABOVE_LEVEL: &str = "above that level";
/// Key.
pub const HIGH_POINT: &str = "high point";
/// Key.
pub const LOW_POINT: &str = "low point";
/// Key.
pub const EDGE_OVER_DIP: &str = "edge on its two contacts, over a dip";
/// Key.
pub const EDGE_TO_LAY: &str = "where the edge is to be laid, by its number";
/// Key.
pub const SPAN_OVER_HUMP: &str = "span over a hump";
/// Key.
pub const LISTED: &str = "numbered line: worst place, listed below";
/// Key.
pub const FARTHEST: &str = "where the floor is farthest away";
/// Key.
pub const READING: &str = "reading";
/// A departure.
pub const DIP: &str = "dip";
/// A departure.
pub const HUMP: &str = "hump";
/// Key.
pub const BATCH: &str = "batch, in order, with its bags";
/// Key.
pub const DIRECTION: &str = "which way the pour runs";
/// Key.
pub const TIE_IN: &str = "tie-in: wet edge to work into";
/// Key.
pub const DAM: &str = "dam between bays";
/// What is numbered.
pub const BATCHES: &str = "Batches";
/// What is numbered: batches in several places have their number in each.
pub const SECOND_PLACES: &str = "Second places of batches";
/// What is numbered.
pub const AREAS: &str = "Areas";
/// Key.
pub const CARRIED_OUT: &str = "height carried out from the nearest readings";
/// Key.
pub const NOT_SURVEYED: &str = "not surveyed: in no total";
/// Key.
pub const NORTH: &str = "square to the north wall";
/// Key.
pub const JOINT: &str = "joint";
/// Key.
pub const MOVEMENT_JOINT: &str = "movement joint: leave open";
/// Key.
pub const DRAIN: &str = "drain";
/// Key.
pub const NAMED_POINT: &str = "named point";
/// Key.
pub const KEEPS_SLOPE: &str = "keeps its slope: in no total";
/// Key.
pub const TO_FILL: &str = "fill; number and greatest depth";
/// Key.
pub const TO_GRIND: &str = "grind; number and greatest depth";
/// What is done in an area.
pub const FILL: &str = "fill";
/// What is done in an area.
pub const GRIND: &str = "grind";
/// Where the marks of a patch map stand too close for numbers.
pub const DEPTHS_LISTED: &str =
    "No room for the depths at the marks at this scale: they are listed on the sheet.";

/// What the numbers at the marks of a patch map are.
pub fn work_at_marks(unit: &str) -> String {
    format!("to fill at a mark, with a minus to grind: {unit}")
}

/// Unit of the marks.
pub const SIXTEENTHS: &str = "sixteenths of an inch";
/// Unit of the numbers at the marks.
pub const THIRTY_SECONDS: &str = "thirty-seconds of an inch";
/// Unit of the marks.
pub const EIGHTHS: &str = "eighths of an inch";
/// Unit of the marks.
pub const MILLIMETRES: &str = "millimetres";

/// Heading of the shades of a depth map.
pub fn depth(unit: &str) -> String {
    format!("Depth, {unit}")
}

/// Heading of the shades of a height map.
pub fn below_high(unit: &str) -> String {
    format!("Below high point, {unit}")
}

/// Heading of the shades of a map under a stated level.
pub fn below_level(unit: &str) -> String {
    format!("Below one level on both days, {unit}")
}

/// How many numbers found room.
pub fn numbers_shown(shown: usize, total: usize) -> String {
    format!(
        "Numbers stand at {shown} of {total} readings; there is no room for the rest at this scale."
    )
}

/// Axis of the span curve.
pub fn edge_length(unit: &str) -> String {
    format!("length of the straight edge, {unit}")
}

/// Under a profile.
pub fn exaggerated(factor: &str) -> String {
    format!("edge drawn level; heights {factor} times larger than lengths")
}

/// A numbered edge in the list beside the map.
pub fn edge(number: u32, gap: &str, kind: &str, apart: &str) -> String {
    format!("No. {number}: {gap} {kind}, {apart} apart")
}

/// Before the step that a depth does not reach.
const UNDER: &str = "under";

/// A depth too small for the unit's step: `under 1/16 in`.
pub fn under(step: &str) -> String {
    format!("{UNDER} {step}")
}

/// A numbered area in the list beside the map.
pub fn area(number: u32, verb: &str, most: &str) -> String {
    if most.starts_with(UNDER) {
        format!("No. {number}: {verb}, {most}")
    } else {
        format!("No. {number}: {verb}, up to {most}")
    }
}

/// Floor that placements reach.
pub fn judged(span: &str) -> String {
    format!("judged: {span}")
}

/// Floor that no placement reaches.
pub fn not_tested(span: &str) -> String {
    format!("not tested: {span}")
}

/// Bags of a batch.
pub fn bags(count: u32) -> String {
    crate::units::bags_text(count)
}

/// Numbers that found no room.
pub fn too_small(kind: &str, numbers: &str, more: usize) -> String {
    if more > 0 {
        format!("{kind} too small to be numbered at this scale: {numbers} and {more} more.")
    } else {
        format!("{kind} too small to be numbered at this scale: {numbers}.")
    }
}

/// The stated scale.
pub fn scale(scale: &str) -> String {
    format!("Scale {scale}")
}
