//! The re-check after the work.

use crate::recheck::Remark;

/// Title.
pub const TITLE: &str = "Re-check";
/// Heading of the summary.
pub const SUMMARY: &str = "What changed";
/// Heading of the marks.
pub const MARKS: &str = "Placed thickness at each mark";
/// Columns.
pub const MARK: &str = "Mark";
/// Reading before.
pub const BEFORE: &str = "Before";
/// Reading after.
pub const AFTER: &str = "After";
/// Thickness.
pub const PLACED: &str = "Placed";
/// Planned thickness.
pub const PLANNED: &str = "Planned";
/// Height against the finish.
pub const OFF_FINISH: &str = "Against the finish";
/// Remark.
pub const REMARK: &str = "Remark";
/// Flatness side by side.
pub const FLATNESS: &str = "Flatness before and after";
/// Heading of the punch list.
pub const PUNCH: &str = "Spots to put right";
/// Nothing to put right.
pub const PUNCH_NONE: &str = "None found at the marks that were read on both days.";
/// Nothing is listed while it is open where the line stood.
pub const PUNCH_AFTER_LINE: &str =
    "Marks are listed once it is settled at which height the line stood on each day.";
/// Stands for a figure that hangs on where the line stood, while that is asked about.
pub const HANGS_ON_LINE: &str =
    "not known until it is settled at which height the line stood on each day";
/// Above the marks, while it is asked about.
pub const AS_IF_ONE_LINE: &str = "Thickness is told as if the line had stood at one height on both days, which is what is asked about.";
/// Heading of bags.
pub const BAGS: &str = "Bags used against planned";
/// Why they may differ.
pub const BAGS_WHY: [&str; 6] = [
    "Floor between the marks lies lower or higher than a straight line between them.",
    "A rough or porous floor takes more than the smooth one of a coverage table.",
    "Material left through an edge, a crack, a sleeve or under a dam.",
    "The finish was set higher or lower than planned: compare the thickness at the marks.",
    "The yield of a bag changes with the water measured into it; too much water is a fault of its own.",
    "Bags spilt, spoilt or left in the mixer, bags opened and not used.",
];
/// Facts.
pub const LEAST_COVER: &str = "Least thickness at a mark";
/// Fact.
pub const WANTED_COVER: &str = "Least thickness asked for";
/// Fact.
pub const MEAN_PLACED: &str = "Mean thickness at the marks";
/// Fact.
pub const PLACED_VOLUME: &str = "Volume between the two surveys";
/// Why it is not told.
pub fn not_placed(before: &str, after: &str) -> String {
    format!("not told: the readings speak for different floor, {before} before and {after} after")
}
/// Fact.
pub const SHARED: &str = "Marks read both days";
/// How many of the marks were read on both days.
pub fn shared(both: usize, before: usize) -> String {
    match before - both {
        0 => both.to_string(),
        rest => format!("{both} of {before}; {rest} were not read again"),
    }
}
/// Fact.
pub const ALLOWED_OFF: &str = "A mark is called proud or low beyond";
/// Fact.
pub const ONLY_BEFORE: &str = "Marks read only before";
/// Fact.
pub const ONLY_AFTER: &str = "Marks read only after";
/// Fact.
pub const DATUM: &str = "Same height on both days";
/// Fact.
pub const BAGS_USED: &str = "Bags used";
/// Fact.
pub const BAGS_PLANNED: &str = "Bags planned";
/// Fact.
pub const BAGS_EXPLAINED: &str = "Bags that the placed volume explains";

/// Remark: too thin.
pub const THIN: &str = "below least cover";
/// Remark: above the finish.
pub const PROUD: &str = "stands proud";
/// Remark: below the finish.
pub const LOW: &str = "low";
/// Remark: lower than before.
pub const LOST: &str = "lower than before";
/// What a remark says.
pub const fn remark(remark: Remark) -> &'static str {
    match remark {
        Remark::Thin => THIN,
        Remark::Proud => PROUD,
        Remark::Low => LOW,
        Remark::Lost => LOST,
    }
}
/// Columns of flatness.
pub const CHECK: &str = "Check";
/// Column.
pub const LIMIT: &str = "Limit";
/// How the two days were tied: by stated heights.
pub const LINE_STATED: &str = "by the height of the line, stated for both days";
/// How the two days were tied: not at all.
pub const LINE_ASSUMED: &str =
    "taken as the same: neither the height of the line nor untouched marks were stated";
/// Title of the box where nearly every mark stands off the finish to one side.
pub const LINE_OFF_TITLE: &str = "Was the line at another height?";

/// Its text.
pub fn line_off(off: &str, over: bool) -> String {
    format!(
        "Nearly every mark stands {} the planned finish, by about {off}. Before any of them is blamed, make sure of the line: read marks that the work did not touch on both days and tie the days by them, or state the height of the line for both.",
        if over { "over" } else { "under" }
    )
}
/// Its text, where no finish was to be reached.
pub fn all_lower(off: &str) -> String {
    format!(
        "Nearly every mark stands lower than before, by about {off}: floors do not sink. Read marks that the work did not touch on both days and tie the days by them, or state the height of the line for both; the volume hangs on it."
    )
}

/// Description.
pub const MAP_BEFORE: &str = "Before";
/// Description.
pub const MAP_AFTER: &str = "After, at the same scale and shades";

/// Title of the box where nothing seems to have been placed.
pub const UNPOURED_TITLE: &str = "The floor looks unpoured";
/// Its text.
pub const UNPOURED: &str = "Nearly every mark stands where it stood before, though material was planned. Either the work has not been done, or only some places were ground or patched, which this comparison with a pour does not judge, or the readings after it are those from before, or the line was set higher by the thickness of the pour: name marks that the work did not touch, to tie the two days. Marks are not listed one by one.";

/// A place that puts a check out.
pub fn out_of_check(hump: bool, gap: &str, (span, limit): (&str, &str), place: &str) -> String {
    let what = if hump { "Hump" } else { "Hollow" };
    format!("{what}, {gap} under a {span} edge where {limit} is allowed, {place}")
}

/// How far a mark may lie off the finish, and where that is from.
pub fn allowed_off(limit: &str) -> String {
    format!(
        "{limit}, the tightest that a check allows under the longest edge (1/8 in where none does)"
    )
}

/// Title of the box where fewer bags are told than the placed volume takes.
pub const TOO_FEW_BAGS_TITLE: &str = "Too few bags for what was placed";

/// Its text.
pub fn too_few_bags(used: &str, explained: &str) -> String {
    format!(
        "{used} bags at the stated yield cannot have made the volume between the two surveys, which takes {explained}. Either the count is short, or a bag gave more than its sheet says (too much water), or the line stood at another height on one of the days."
    )
}

/// A ridge in words.
pub fn ridge(height: &str, place: &str, tie_in: Option<(u32, u32)>) -> String {
    match tie_in {
        Some((a, b)) => {
            format!("Ridge, {height} proud, {place}, at the tie-in of batches {a} and {b}")
        }
        None => format!("Ridge, {height} proud, {place}"),
    }
}

/// Where more ridges were found than are listed.
pub const MORE_RIDGES: &str =
    "More ridges than these: a line of marks may stand proud. Go over the floor with a 2 ft edge";

/// One line of the punch list.
pub fn punch(marks: &str, remark: &str, worst: &str, place: &str) -> String {
    format!("{marks}: {remark}, {worst}, {place}")
}

/// The worst figure of a spot, and at which of its marks.
pub fn worst(figure: &str, mark: Option<&str>) -> String {
    match mark {
        Some(mark) => format!("worst {figure} at {mark}"),
        None => figure.to_owned(),
    }
}

/// How the two days were tied.
pub fn tied(points: usize, spread: &str) -> String {
    if points == 1 {
        "by one untouched point read both days: nothing shows whether it was misread; tie them by three or more".to_owned()
    } else {
        format!("by {points} untouched points read both days; they agree within {spread}")
    }
}

/// A volume with what the readings leave open of it.
pub fn known_to(volume: &str, doubt: &str, line_assumed: bool) -> String {
    let line = if line_assumed {
        ", if the line stood at one height on both days"
    } else {
        ""
    };
    format!("{volume}, give or take {doubt}{line}")
}
/// Before the list of reasons.
pub const BAGS_DIFFER: &str =
    "Why the count may differ from the plan; look at each before it is blamed on one:";
