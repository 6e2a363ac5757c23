//! What the page of a report alone says; what it shares with paper stands beside this file.

use crate::flatness::{Procedure, Sureness, Verdict};
use serde_json::{Value, json};

/// Name of the verdict's frame in the style sheet: frames differ by shape, so grey print tells them apart.
pub(crate) const fn verdict_class(v: Verdict) -> &'static str {
    match v {
        Verdict::Within => "within",
        Verdict::Out => "out",
        Verdict::InDoubt => "doubt",
        Verdict::NotTested => "untested",
    }
}

/// How the edge was used, for the words after a gap.
pub(crate) const fn procedure(p: Procedure) -> &'static str {
    match p {
        Procedure::Resting => "under an edge resting on high points",
        Procedure::Balanced => "at the ends of an edge balanced on a hump",
        Procedure::HeldDown => "at the free end of an edge held down over a hump",
        Procedure::EndBlocksHollow => "below the line of an edge on end blocks",
        Procedure::EndBlocksHump => "above the line of an edge on end blocks",
        Procedure::Midpoint => "between a mark and the mean of its two neighbours",
        Procedure::Radius => "between highest and lowest within a radius",
        Procedure::Ridge => "under a short edge held tight beside a ridge",
        Procedure::Line => "along a line of readings",
    }
}

/// How sure a limit is, in words that go on paper; empty when nothing need be said.
pub(crate) const fn sureness(s: Sureness) -> &'static str {
    match s {
        Sureness::Published => "",
        Sureness::OneSource => "Limit read in one place only.",
        Sureness::FromMemory => {
            "Limit from memory of the standard: check your own copy before signing."
        }
        Sureness::CommonPractice => "Common practice, no published source.",
        Sureness::Own => "Limit as given for this job.",
    }
}

pub(crate) const ANSWER: &str = "The short answer";
pub(crate) const FLOOR: &str = "The floor, place by place";
pub(crate) const WORST: &str = "Worst places";
pub(crate) const MARKS: &str = "Every mark";
pub(crate) const NOTICES: &str = "Look at these";
pub(crate) const ABOUT: &str = "About these numbers";
pub(crate) const NO_CHECKS: &str = "No check was asked for; the edge below shows any span.";
pub(crate) const HIGH: &str = "High point";
pub(crate) const LOW: &str = "Low point";
pub(crate) const OVERALL: &str = "Highest to lowest";
pub(crate) const HOW_TO: &str = "Tap or point anywhere to read the depth there. Drag A or B to turn the edge, the square in \
    its middle to move it. With the keyboard: Tab to a grip, then the arrow keys (Shift for longer steps).";
pub(crate) const NO_SCRIPT: &str = "This view shows the answer without the moving parts. To read depths by touch and to lay an edge, \
    open the file in a browser (a preview in a mail or files app often does not run it).";
pub(crate) const NO_TOOL: &str = "This floor has more readings than a page can hold, so the edge tool is left out here; the answer and \
    the map are complete.";
pub(crate) const NUMBERS_FILL: &str = "Numbers: depth to fill at each mark";
pub(crate) const NUMBERS_BELOW: &str = "Numbers: how far each mark lies below the high point";
pub(crate) const SHADES_FILL: &str = "Depth to fill";
pub(crate) const SHADES_BELOW: &str = "Below the high point";
pub(crate) const FEWER_LABELS: &str = "Only marks with room for their number carry one.";
pub(crate) const SHOW: &str = "Show";
pub(crate) const LENGTH: &str = "Edge length";
pub(crate) const KEEP: &str = "keep this length when an end is dragged";
pub(crate) const TURN_LEFT: &str = "Turn left";
pub(crate) const TURN_RIGHT: &str = "Turn right";
pub(crate) const TURN_WORST: &str = "Turn to the worst here";
pub(crate) const TO_PIN: &str = "Bring to the cross";
pub(crate) const CLOSER: &str = "Closer";
pub(crate) const FARTHER: &str = "Farther";
pub(crate) const WHOLE: &str = "Whole floor";
pub(crate) const PRINT: &str = "Print";
pub(crate) const MAP_LABEL: &str = "Map of the floor seen from above. Arrow keys move the cross.";
pub(crate) const AT_PLACE: &str = "At this place";
pub(crate) const UNDER_EDGE: &str = "Under this edge";
pub(crate) const MARK: &str = "Mark";
pub(crate) const READING: &str = "Reading";
pub(crate) const WORST_HEADS: [&str; 6] = ["No.", "Check", "Gap", "Allowed", "Contacts", "Deepest"];
pub(crate) const NOTE_HEAD: &str = "Note";
pub(crate) const MATERIAL: &str = "Material in place";
pub(crate) const BAGS: &str = "Bags to order";
pub(crate) const GAUGE: &str = "Depth over the high point";
pub(crate) const DEPTH: &str = "Mean depth";
pub(crate) const READ_AREA: &str = "Floor read";
pub(crate) const NO_YIELD: &str = "no bags without a yield from the material's sheet";
pub(crate) const CAUTION: &str = "Heights between marks are taken straight from mark to mark: a hump or hollow that no reading met is \
    not here. Gaps and depths are vertical. The material maker's sheet and local rules stand above anything on this page.";

/// How a place of two distances is to be taken.
pub(crate) fn places_from(left: &str, bottom: &str) -> String {
    format!("Places are told as two distances: from the {left}, then from the {bottom}.")
}

/// Head of a column of distances from a wall.
pub(crate) fn from_wall(wall: &str) -> String {
    format!("From the {wall}")
}

/// What a part of a check found, in a sentence.
pub(crate) fn found(gap: &str, procedure: &str, span: &str, allowance: &str) -> String {
    format!("{gap} {procedure}, {span}; {allowance} allowed.")
}

/// A part that was not tested, and where reading comes first.
pub(crate) fn not_tested(
    procedure: &str,
    span: &str,
    allowance: &str,
    first: Option<&str>,
) -> String {
    let first = first.map_or_else(String::new, |place| format!(" Read first near {place}."));
    format!("Not tested: {procedure}, {span}; {allowance} allowed.{first}")
}

/// A sentence with how much of the room it is said of; the sentence alone where it is all of it.
pub(crate) fn said_of(sentence: &str, on: &str) -> String {
    if on.is_empty() {
        sentence.to_owned()
    } else {
        format!("{sentence} Said {on}.")
    }
}

/// The edge used the other way, told only where the two disagree.
pub(crate) fn other_way(procedure: &str, gap: &str, verdict: &str) -> String {
    format!("Used the other way it reads {gap} {procedure}; the verdict would be: {verdict}.")
}

/// How good a figure is.
pub(crate) fn sure_to(
    bound: &str,
    doubt: &str,
    chance: Option<&str>,
    likely: Option<&str>,
) -> String {
    let sure = format!(
        "Nothing on the surface through the readings exceeds {bound}; good to {doubt} either way."
    );
    let sure = match chance {
        Some(chance) => format!("{sure} Chance that the floor keeps the limit: {chance}."),
        None => sure,
    };
    match likely {
        Some(likely) => format!("{sure} Worst gap of the floor itself likely {likely}."),
        None => sure,
    }
}

/// What comes on top of the material in place.
pub(crate) fn with_waste(volume: &str, waste: &str) -> String {
    format!("{volume} with {waste} waste")
}

/// Beside the mean depth.
pub(crate) fn deepest(depth: &str, known: &str) -> String {
    format!("deepest {depth} ({known})")
}

/// Floor that the numbers leave out or carry out.
pub(crate) fn area_remark(extended: &str, unsurveyed: Option<&str>) -> String {
    match unsurveyed {
        Some(bare) => {
            format!(
                "{extended} more carried out beyond the readings; {bare} not surveyed and left out"
            )
        }
        None => format!("{extended} more carried out beyond the readings"),
    }
}

/// An extreme with others at the same height.
pub(crate) fn ties(told: &str, labels: &str) -> String {
    format!("{told} (as {labels})")
}

/// The revision's line; empty when none is told.
pub(crate) fn revision(revision: &str) -> String {
    if revision.is_empty() {
        String::new()
    } else {
        format!("Revision {revision}")
    }
}

/// Floor above the finish.
pub(crate) fn above(area: &str) -> String {
    format!("{area} stands above the finish and would be ground")
}

/// What a bag holds.
pub(crate) fn bag_yield(volume: &str) -> String {
    format!("at {volume} a bag, as the sheet states")
}

/// Space under a door after the work; negative when the leaf would drag.
pub(crate) fn door_gap(gap: &str) -> String {
    format!("{gap} left under the door")
}

/// A named point after the work.
pub(crate) fn rises(rise: &str, covering: Option<&str>) -> String {
    format!("{rise} higher{}", super::answer::covered(covering))
}

/// An input file's line.
pub(crate) fn input_line(name: &str, sha256: &str) -> String {
    format!("Input: {name}, SHA-256 {sha256}")
}

/// Rows that were left out of a table.
pub(crate) fn rows_left_out(shown: usize, all: usize) -> String {
    format!("The first {shown} of {all} marks; the workbook holds all of them.")
}

/// The words of the script. `{1}`, `{2}`, … stand for its numbers.
pub(crate) fn script(left: &str, bottom: &str) -> Value {
    json!({
        "edge": "Edge",
        "offFloor": "Part of this edge has no floor under it. Move it, turn it or make it shorter.",
        "gap": "Largest gap",
        "gapAt": "Where",
        "fromA": "{1} from A",
        "contacts": "Rests at",
        "contactsAt": "{1} and {2} from A, {3} apart",
        "hump": "Hump",
        "humpAt": "{1} above a chord, {2} from A: balanced there, an edge shows this at both ends",
        "fall": "Fall",
        "fallsToB": "{1} down from A to B",
        "fallsToA": "{1} down from B to A",
        "noFall": "A and B at one height",
        "moreThan": "more than the {1} allowed",
        "notMoreThan": "no more than the {1} allowed here",
        "limit": "Limit",
        "note": "Note",
        "carriedEdge": "part of this line was not read but carried out from the nearest readings",
        "carriedPlace": "not read here: carried out from the nearest readings",
        "place": "Place",
        "pointSomewhere": "Tap the map",
        "rightAndUp": format!("{{1}} from the {left}, {{2}} from the {bottom}"),
        "depth": "Depth to fill",
        "above": "Above the finish",
        "aboveBy": "{1} to grind",
        "below": "Below the high point",
        "noFloor": "no reading near enough to say",
        "nearest": "Nearest mark",
        "nearestSays": "{1}, {2} away: reading {3}, {4} below the high point",
        "turned": "Tried each whole degree about the middle; {1} of 180 fit on the floor. Largest gap {2}.",
        "turnedNone": "An edge of this length does not fit here in any direction.",
        "handleEnd": "End {1} of the edge. Arrow keys move it.",
        "handleMiddle": "Middle of the edge. Arrow keys move the whole edge.",
        "drawnTimes": "heights drawn {1} times",
        "profileLabel": "Floor under an edge of {1}: largest gap {2}, {3} from A.",
    })
}
