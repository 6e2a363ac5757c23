//! Words that join an analysis to its papers.

/// Fact: how a finish was chosen.
pub const FINISH: &str = "Finish";
/// Fact.
pub const MEAN: &str = "Mean depth";
/// Fact.
pub const DEEPEST: &str = "Deepest";
/// Fact.
pub const VOLUME: &str = "Volume";
/// Note on a map.
pub const MAP_NOTE: &str = "Depths are exact at the marks and straight between them.";
/// Fact: bags.
pub const BAGS: &str = "Bags";
/// Fact.
pub const BATCHES: &str = "Batches";
/// Fact.
pub const WATER: &str = "Water";
/// Fact.
pub const PRIMER: &str = "Primer";
/// Fact.
pub const FOAM: &str = "Perimeter foam";
/// Fact.
pub const DAM: &str = "Dam";
/// Fact.
pub const WEIGHT: &str = "Added weight";
/// Fact.
pub const LIFTS: &str = "Lifts";
/// Fact.
pub const MATERIAL: &str = "Material";
/// Fact.
pub const YIELD: &str = "Yield of a bag, as its sheet states it";
/// Fact.
pub const START: &str = "Start";
/// Fact.
pub const EXIT: &str = "Exit";
/// Fact.
pub const ORDER: &str = "Order";
/// Fact.
pub const LONGEST_WAIT: &str = "Longest wait of a wet edge";
/// Fact.
pub const TIE_IN: &str = "Tie-in in all";
/// Caption.
pub const SIDE_BY_SIDE: &str = "Other depths over the high point";
/// Caption.
pub const GRIND_OR_FILL: &str = "Grind or fill: what lowering the finish grinds and saves";
/// Column.
pub const LOWERED: &str = "Lowered by";
/// Column.
pub const GRIND_AREA: &str = "Area to grind";
/// Column.
pub const GRIND_VOLUME: &str = "Volume to grind";
/// Column.
pub const FILL_VOLUME: &str = "Fill";
/// Column.
pub const SAVED: &str = "Bags saved";
/// Column.
pub const POINT: &str = "Where";
/// Column.
pub const RISE: &str = "Rises";
/// Column.
pub const STEP: &str = "Step to next floor";
/// Column.
pub const DOOR_GAP: &str = "Left under door";
/// Column.
pub const REMARKS: &str = "Remark";
/// Workbook sheets.
pub const TABS: [&str; 6] = [
    "Readings",
    "Depths",
    "Placements",
    "Quantities",
    "Checks",
    "Notices",
];
/// Workbook column.
pub const X: &str = "x";
/// Workbook column.
pub const Y: &str = "y";
/// Workbook column.
pub const ELEVATION: &str = "Elevation over the line";
/// Workbook column.
pub const SET_UP: &str = "Set-up";
/// Workbook column.
pub const NOTE: &str = "Note";
/// Workbook column.
pub const FILL_DEPTH: &str = "Depth to the finish (minus: grind)";
/// Workbook column.
pub const CODE: &str = "Code";

/// Bags with waste.
pub fn bags(count: &str, exact: &str, waste: &str) -> String {
    format!("{count} bags ({exact} before rounding, {waste} waste included)")
}

/// Batches.
pub fn batches(count: u32, bags: u32, last: u32) -> String {
    if last == bags {
        format!("{count} of {bags} bags")
    } else {
        format!("{count} of {bags} bags, the last of {last}")
    }
}

/// Water.
pub fn water(total: &str, batch: &str) -> String {
    format!("{total} in all, {batch} a full batch")
}

/// Primer.
pub fn primer(neat: &str, coats: u32, area: &str) -> String {
    format!("{neat} before thinning, {coats} coats on {area}")
}

/// A dam.
pub fn dam(name: &str, length: &str, height: &str) -> String {
    format!("{name}: {length}, {height} high")
}

/// Weight.
pub fn weight(total: &str, mean: &str, worst: &str) -> String {
    format!("{total} in all, {mean} on average, {worst} at the deepest place")
}

/// Lifts.
pub fn lifts(count: u32, area: &str, limit: &str) -> String {
    format!("{count} at the deepest place; {area} is deeper than one lift of {limit}")
}

/// The pour in a sentence.
pub fn pour_lead(batches: usize, bags: u32, minutes: &str) -> String {
    format!("{batches} batches, {bags} bags, {minutes} min from the first mix to the last placing.")
}

/// Longest wait.
pub fn wait(minutes: &str, open: Option<&str>) -> String {
    match open {
        Some(open) => format!("{minutes} min of {open} min open time"),
        None => format!("{minutes} min; the material's open time is not told"),
    }
}

/// A staged thing.
pub fn staged(count: &str, unit: &str, item: &str, note: &str) -> String {
    let head = if unit.is_empty() {
        format!("{count} {item}")
    } else {
        format!("{item}: {count} {unit}")
    };
    if note.is_empty() {
        head
    } else {
        format!("{head} ({note})")
    }
}
