//! Edges to lay by hand, and what those that were laid say.

/// Name of the sheet, and of its tab.
pub const TITLE: &str = "Edges to lay by hand";
/// Name of the workbook's tab.
pub const TAB: &str = "Hand edges";
/// Heading of the plan.
pub const PLAN: &str = "Where to lay the edge";
/// What the plan shows, for someone who cannot see it.
pub const PLAN_ALT: &str = "Plan of the floor with numbered lines where the edge is to be laid. They are listed in the table that follows.";
/// How to lay it.
pub const RULES: [&str; 5] = [
    "Lay the edge on the two places named, to about half an inch (1 cm), its whole length on the floor. Sweep the place first; turn the edge end for end once: a bent edge shows a different gap.",
    "Write the largest gap, as the rule of the edge takes it: with a wedge or slip gauges, in the unit of the heading. Write 0 where nothing shows.",
    "Lay every one of those drawn at random, the awkward ones too, and none of them elsewhere: only so do they speak for the whole floor. One that is left out counts as over.",
    "Leave the cell empty where the edge was not laid. One gap over the limit, at any place, proves the floor out.",
    "You may add rows of your own, where you see or feel a hump or a hollow: leave the cell under Drawn empty there.",
];
/// Columns of the table, the workbook and the sheet.
pub const NUMBER: &str = "No.";
/// Column.
pub const EDGE: &str = "Edge";
/// Column.
pub const LENGTH: &str = "Length";
/// Column.
pub const DIRECTION: &str = "Direction";
/// Column.
pub const GAP: &str = "Gap";
/// Column.
pub const DRAWN: &str = "Drawn";
/// Column.
pub const CHECK: &str = "Check";
/// Column.
pub const LIMIT: &str = "Limit";
/// Column.
pub const SEED: &str = "Seed";
/// A placement that comes from the readings.
pub const WORST: &str = "worst by the readings";
/// A placement drawn at random.
pub const RANDOM: &str = "random";
/// Between checks that ask for one edge.
pub const AND: &str = "; ";
/// How an edge is used, as a rule in words has it.
pub const fn edge_use(procedure: crate::flatness::Procedure) -> &'static str {
    use crate::flatness::Procedure;
    match procedure {
        Procedure::Balanced => "balanced",
        Procedure::HeldDown => "held down",
        Procedure::EndBlocksHollow => "on end blocks: hollow",
        Procedure::EndBlocksHump => "on end blocks: hump",
        _ => "resting",
    }
}

/// Heading of one of the four distances of the two ends, with the wall that it is from: what stands before the wall is what the sheet is
/// read back by.
pub fn end(way: &str, wall: &str, unit: &str) -> String {
    // A bracket in a wall's name would be taken for the unit's.
    let wall = wall.replace(['(', ')', '[', ']'], " ");
    format!("{way}: {} ({unit})", wall.trim())
}

/// The ways of the four distances.
pub const WAYS: [&str; 4] = ["From left", "From bottom", "To left", "To bottom"];

/// A heading with its unit in brackets.
pub fn with_unit(title: &str, unit: &str) -> String {
    format!("{title} ({unit})")
}

/// Which of how many drawn.
pub fn random(which: usize, of: usize) -> String {
    format!("random {which} of {of}")
}

/// A seed as it is written: a letter before it, or a spreadsheet would take some for numbers.
pub fn seed(seed: u32) -> String {
    format!("r{seed:08x}")
}

/// What is to be laid with one edge.
pub fn asked(span: &str, edge: &str, random: usize, worst: usize) -> String {
    let worst = match worst {
        0 => String::new(),
        n => format!(" and the {n} worst by the readings"),
    };
    format!("{span} edge, {edge}: {random} drawn at random{worst}")
}

/// The checks that it is laid for, and the tightest of their limits.
pub fn asked_for(checks: &str, limit: &str) -> String {
    format!("For {checks}. Limit {limit}.")
}

/// Where distances are told from.
pub fn places(left: &str, bottom: &str) -> String {
    format!("Distances are from the {left} and from the {bottom}, for both ends of the edge.")
}

/// How the places were drawn.
pub fn drawn(seed: &str) -> String {
    format!(
        "Places drawn evenly over the room and in direction, the whole edge on the floor; seed {seed}, from the readings themselves."
    )
}

/// An edge that finds no room.
pub fn no_room(span: &str) -> String {
    format!("An edge of {span} finds no room on this floor: none is drawn for it.")
}

/// How much a word by hand speaks for.
pub fn on(laid: usize) -> String {
    match laid {
        1 => "by hand at 1 random placement".to_owned(),
        n => format!("by hand at {n} random placements"),
    }
}

/// A word that one gap by hand proves.
pub const BY_HAND: &str = "by hand";

/// A part that edges laid by hand decide and the readings do not test, in a line; behind its word stands how many were laid.
pub fn part_line(procedure: &str, span: &str, verdict: &str, limit: &str) -> String {
    format!("{span} edge, {procedure}: {verdict}, limit {limit}")
}

/// Where the largest gap by hand lies.
pub fn worst_line(number: &str, gap: &str, from: &str, to: &str, direction: &str) -> String {
    format!("By hand, placement {number}: {gap}, from {from} to {to}: {direction}")
}

/// Column of the workbook's checks.
pub const COLUMN: &str = "By hand";

/// How hand edges came about, for the submittal.
pub fn method(seed: &str, counts: &str) -> String {
    format!(
        "Where edges were laid by hand, their places were drawn at random (seed {seed}, made of the readings): evenly over the room and in direction, the whole edge on the floor, voids and walls kept clear. Laid were {counts}. A gap over the limit at any place is the floor's own and proves it out. None over, or few, bound the share of all places that can be over it, with 95 % confidence, by the exact binomial limit (Clopper and Pearson 1934); a place that was left out counts as over. A part that the readings do not test is within by hand where that share is at most 5 %."
    )
}

/// How many of how many were laid with one edge.
pub fn laid(span: &str, edge: &str, laid: usize, drawn: usize) -> String {
    format!("{laid} of {drawn} of the {span} edge, {edge}")
}
