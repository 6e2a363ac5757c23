//! Crew sheets.

/// Title of the mark-out sheet.
pub const MARK_OUT: &str = "Mark-out sheet";
/// Title of the pour sheet.
pub const POUR: &str = "Pour sheet";
/// Title of the flatness sheet.
pub const FLATNESS: &str = "Flatness sheet";
/// Title of the grind and patch sheet.
pub const GRIND_PATCH: &str = "Grind and patch sheet";
/// Heading of the plan.
pub const PLAN: &str = "Plan";
/// Heading of the walking list.
pub const WALK: &str = "Marks in walking order";
/// Description of a map.
pub const MAP_ALT: &str = "Plan of the floor with the depth to fill written at every mark, shaded by depth: light is shallow, dark is deep. The same numbers stand in the walking list.";
/// Description of the batch map.
pub const POUR_ALT: &str = "Plan of the floor with its numbered batches and the lines where each ties into the one before. The batches are listed in the table that follows.";
/// Description of the flatness map.
pub const FLATNESS_ALT: &str = "Plan of the floor with the worst straight-edge placements drawn as numbered lines. They are listed in the table that follows.";
/// Description of the grind and patch map.
pub const GRIND_ALT: &str = "Plan of the floor with the outlines to grind and to patch. They are listed in the tables that follow.";
/// Column: order.
pub const STOP: &str = "Stop";
/// Column: point name.
pub const MARK: &str = "Mark";
/// Column: what to write on the floor.
pub const WRITE: &str = "Write on the floor";
/// Column: the reading as written.
pub const READING: &str = "Reading";
/// Column: tick when done.
pub const DONE: &str = "Done";
/// A cell that is printed as a box to tick.
pub const BOX: &str = "[ ]";

/// Heading of a distance from a wall.
pub fn from_wall(wall: &str) -> String {
    format!("From {wall}")
}

/// What to write at a mark that gets material.
pub fn fill(depth: &str) -> String {
    format!("fill {depth}")
}

/// A count of sixteenths with the same in inches.
pub fn in_inches(count: &str, inches: &str) -> String {
    format!("{count} ({inches})")
}

/// What to write at a mark that stands above the finish.
pub fn grind(depth: &str) -> String {
    format!("grind {depth}")
}

/// What the list is for.
pub fn walk_intro(marks: usize, step: &str, left: &str, bottom: &str) -> String {
    format!(
        "{marks} marks, lane after lane from the door and back. Distances are from the {left} and from the {bottom}. Write the number on the floor as it stands here: depth to the finish, to the nearest {step}."
    )
}

/// How deep it is, in one line.
pub fn depth_line(finish: &str, mean: &str, deepest: &str, place: &str, known: &str) -> String {
    format!("{finish} Mean depth {mean}; deepest {deepest}, {place} ({known}).")
}

/// How the finish was chosen.
pub fn over_high_point(gauge: &str) -> String {
    format!("Finish is level, {gauge} over the high point.")
}
/// Behind a finish over the high point whose gauge depth nobody asked for.
pub fn gauge_assumed(why: &str) -> String {
    format!("No gauge depth was asked for; taken is {why}.")
}
/// How the finish was chosen.
pub fn below_high_point(depth: &str) -> String {
    format!("Finish is level, {depth} below the high point; what stands above it is to be ground.")
}
/// How the finish was chosen.
pub fn at_level(gauge: &str) -> String {
    format!("Finish is level at a stated height; over the high point that is {gauge}.")
}
/// How the finish was chosen.
pub fn falls(share: &str, towards: &str) -> String {
    format!("Finish falls {share} towards the {towards} of the plan; it is not level.")
}
/// How the finish was chosen.
pub const LEAST_FILL: &str = "Finish is the tilted plane of least fill. Only for patching and grinding: self-levelling material seeks level and will not lie in it.";

/// Heading of the batches.
pub const BATCHES: &str = "Batches, in the order of the pour";
/// Columns of the batches.
pub const BATCH: &str = "Batch";
/// Column: where.
pub const WHERE: &str = "Where";
/// Column: volume.
pub const VOLUME: &str = "Volume";
/// Column: mean depth.
pub const MEAN_DEPTH: &str = "Mean depth";
/// Column: area.
pub const AREA: &str = "Area";
/// Column: bags.
pub const BAGS: &str = "Bags";
/// Column: water.
pub const WATER: &str = "Water";
/// Column: length of the tie-in.
pub const TIE_IN: &str = "Ties in along";
/// Column: bay.
pub const BAY: &str = "Bay";
/// Under the batches, where they have a clock.
pub const CLOCK: &str = "Mix from, place from, placed by: minutes from the first mix. Edge waits: longest time in minutes that an edge lies wet before this batch joins it.";
/// Column: mixing starts.
pub const MIX_FROM: &str = "Mix from";
/// Column: placing starts.
pub const PLACE_FROM: &str = "Place from";
/// Column: placed.
pub const PLACE_TO: &str = "Placed by";
/// Column: longest wait of a wet edge.
pub const WAIT: &str = "Edge waits";
/// Heading of the staging list.
pub const STAGING: &str = "Stage before the first mix";
/// Heading of the checklist.
pub const CHECKLIST: &str = "Before pouring";
/// Heading of named heights, with the covering that they count in.
pub fn heights(covering: Option<&str>) -> String {
    covering.map_or_else(
        || "Heights after the pour".to_owned(),
        |thickness| format!("Heights after the pour, with the covering of {thickness} on it"),
    )
}

/// Heading of placements.
pub const PLACEMENTS: &str = "Worst places for the straight edge";
/// Column: number on the map.
pub const NUMBER: &str = "No.";
/// Column: check.
pub const CHECK: &str = "Check";
/// Column: gap.
pub const GAP: &str = "Gap";
/// Column: limit.
pub const LIMIT: &str = "Limit";
/// Column: one end.
pub const FROM: &str = "From";
/// Column: the other end.
pub const TO: &str = "to";
/// Column: where the floor is farthest from the edge.
pub const GAP_AT: &str = "Gap at";
/// Column: length of the edge.
pub const SPAN: &str = "Edge";
/// How to use the list.
pub const PLACEMENTS_INTRO: &str = "Lay the edge on the two places named, or along the numbered line on the plan, and measure with a wedge or slip gauges: between its contact points, unless the list says how else the edge is used. Turn it end for end once: a bent edge shows a different gap.";

/// Heading of the marks that are filled or ground.
pub const AT_MARKS: &str = "At each mark";

/// How to use that list.
pub fn patch_intro(marks: usize, step: &str, in_steps: bool) -> String {
    let marks = match marks {
        1 => "1 mark gets".to_owned(),
        n => format!("{n} marks get"),
    };
    let steps = if in_steps {
        format!("in whole steps of {step}, as they were proven")
    } else {
        format!(
            "to the nearest {step}: no plan in whole steps was found, so keep to these as closely as you can"
        )
    };
    format!(
        "{marks} material or lose some, {steps}; every other mark stays as it is. From one mark to the next the work runs straight, and out to nothing at marks that stay. Grind first, then fill."
    )
}

/// Heading of spots to grind.
pub const GRIND_SPOTS: &str = "Grind";
/// Heading of spots to patch.
pub const PATCH_SPOTS: &str = "Patch";
/// Column: greatest height or depth.
pub const MOST: &str = "Most";
/// Nothing of this kind.
pub const NOTHING: &str = "Nothing.";
/// Where no place for the straight edge is told.
pub const NO_PLACES: &str =
    "None: no gap was found, or no check was tested. The verdicts say which.";
/// Totals row.
pub const TOTAL: &str = "Total";
/// Title of a part of a large plan.
pub fn part_title(title: &str, number: usize, pages: usize) -> String {
    format!("{title}, part {number} of {pages}")
}

/// Head of a part of a large plan.
pub fn part_head(title: &str, number: usize, pages: usize) -> String {
    format!("{title}: part {number} of {pages}. Lay parts together at the match lines.")
}

/// What lies beyond a match line.
pub fn match_line(beyond: usize) -> String {
    format!("match line: part {beyond}")
}

/// Index of a map over several pages.
pub const INDEX: &str = "Which page shows which part";
