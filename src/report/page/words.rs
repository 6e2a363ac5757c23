//! Every word that the page alone says; what it shares with paper stands in `report::words`.

use crate::flatness::{Procedure, Sureness, Verdict};
use serde_json::{Value, json};

/// Name of the verdict's frame in the style sheet: frames differ by shape, so grey print tells them apart.
pub(super) const fn verdict_class(v: Verdict) -> &'static str {
    match v {
        Verdict::Within => "within",
        Verdict::Out => "out",
        Verdict::InDoubt => "doubt",
        Verdict::NotTested => "untested",
    }
}

/// How the edge was used, for the words after a gap.
pub(super) const fn procedure(p: Procedure) -> &'static str {
    match p {
        Procedure::Resting => "under an edge resting on high points",
        Procedure::Balanced => "at the ends of an edge balanced on a hump",
        Procedure::HeldDown => "at the free end of an edge held down over a hump",
        Procedure::Midpoint => "between a mark and the mean of its two neighbours",
        Procedure::Radius => "between highest and lowest within a radius",
        Procedure::Ridge => "under a short edge held tight beside a ridge",
        Procedure::Line => "along a line of readings",
    }
}

/// How sure a limit is, in words that go on paper; empty when nothing need be said.
pub(super) const fn sureness(s: Sureness) -> &'static str {
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

pub(super) const ANSWER: &str = "The short answer";
pub(super) const FLOOR: &str = "The floor, place by place";
pub(super) const WORST: &str = "Worst places";
pub(super) const MARKS: &str = "Every mark";
pub(super) const NOTICES: &str = "Look at these";
pub(super) const ABOUT: &str = "About these numbers";
pub(super) const NO_CHECKS: &str = "No check was asked for; the edge below shows any span.";
pub(super) const HIGH: &str = "High point";
pub(super) const LOW: &str = "Low point";
pub(super) const OVERALL: &str = "Highest to lowest";
pub(super) const HOW_TO: &str = "Tap or point anywhere to read the depth there. Drag A or B to turn the edge, the square in \
    its middle to move it. With the keyboard: Tab to a grip, then the arrow keys (Shift for longer steps).";
pub(super) const NO_SCRIPT: &str = "This view shows the answer without the moving parts. To read depths by touch and to lay an edge, \
    open the file in a browser (a preview in a mail or files app often does not run it).";
pub(super) const NO_TOOL: &str = "This floor has more readings than a page can hold, so the edge tool is left out here; the answer and \
    the map are complete.";
pub(super) const NUMBERS_FILL: &str = "Numbers: depth to fill at each mark";
pub(super) const NUMBERS_BELOW: &str = "Numbers: how far each mark lies below the high point";
pub(super) const SHADES_FILL: &str = "Depth to fill";
pub(super) const SHADES_BELOW: &str = "Below the high point";
pub(super) const SHADES_NONE: &str = "above the finish";
pub(super) const HIGH_SIGN: &str = "× high point";
pub(super) const LOW_SIGN: &str = "○ low point";
pub(super) const CARRIED_SIGN: &str =
    "light hatch: not read, carried out from the nearest readings";
pub(super) const UNREAD_SIGN: &str = "cross hatch: not surveyed, left out of every number";
pub(super) const NUMBERED_SIGN: &str = "numbered lines: worst places, listed below";
pub(super) const FEWER_LABELS: &str = "Only marks with room for their number carry one.";
pub(super) const SHOW: &str = "Show";
pub(super) const LENGTH: &str = "Edge length";
pub(super) const KEEP: &str = "keep this length when an end is dragged";
pub(super) const TURN_LEFT: &str = "Turn left";
pub(super) const TURN_RIGHT: &str = "Turn right";
pub(super) const TURN_WORST: &str = "Turn to the worst here";
pub(super) const TO_PIN: &str = "Bring to the cross";
pub(super) const CLOSER: &str = "Closer";
pub(super) const FARTHER: &str = "Farther";
pub(super) const WHOLE: &str = "Whole floor";
pub(super) const PRINT: &str = "Print";
pub(super) const MAP_LABEL: &str = "Map of the floor seen from above. Arrow keys move the cross.";
pub(super) const AT_PLACE: &str = "At this place";
pub(super) const UNDER_EDGE: &str = "Under this edge";
pub(super) const MARK: &str = "Mark";
pub(super) const READING: &str = "Reading";
pub(super) const WORST_HEADS: [&str; 6] = ["No.", "Check", "Gap", "Allowed", "Contacts", "Deepest"];
pub(super) const NOTE_HEAD: &str = "Note";
pub(super) const MATERIAL: &str = "Material in place";
pub(super) const BAGS: &str = "Bags to order";
pub(super) const GAUGE: &str = "Depth over the high point";
pub(super) const DEPTH: &str = "Mean depth";
pub(super) const READ_AREA: &str = "Floor read";
pub(super) const NO_YIELD: &str = "no bags without a yield from the material's sheet";
pub(super) const CAUTION: &str = "Heights between marks are taken straight from mark to mark: a hump or hollow that no reading met is \
    not here. Gaps and depths are vertical. The material maker's sheet and local rules stand above anything on this page.";

/// How a place of two distances is to be taken.
pub(super) fn places_from(left: &str, bottom: &str) -> String {
    format!("Places are told as two distances: from the {left}, then from the {bottom}.")
}

/// Head of a column of distances from a wall.
pub(super) fn from_wall(wall: &str) -> String {
    format!("From the {wall}")
}

/// What a part of a check found, in a sentence.
pub(super) fn found(gap: &str, procedure: &str, span: &str, allowance: &str) -> String {
    format!("{gap} {procedure}, {span}; {allowance} allowed.")
}

/// A part that found nothing to measure.
pub(super) fn not_found(procedure: &str, span: &str) -> String {
    format!("Nothing could be measured {procedure}, {span}.")
}

/// The edge used the other way, told only where the two disagree.
pub(super) fn other_way(procedure: &str, gap: &str, verdict: &str) -> String {
    format!("Used the other way it reads {gap} {procedure}; the verdict would be: {verdict}.")
}

/// How good a figure is.
pub(super) fn sure_to(bound: &str, doubt: &str) -> String {
    format!("Nothing on the floor exceeds {bound}; good to {doubt} either way.")
}

/// What comes on top of the material in place.
pub(super) fn with_waste(volume: &str, waste: &str) -> String {
    format!("{volume} with {waste} waste")
}

/// Beside the mean depth.
pub(super) fn deepest(depth: &str) -> String {
    format!("deepest {depth}")
}

/// Floor that the numbers leave out or carry out.
pub(super) fn area_remark(extended: &str, unsurveyed: Option<&str>) -> String {
    match unsurveyed {
        Some(bare) => {
            format!("{extended} more carried out to the walls; {bare} not surveyed and left out")
        }
        None => format!("{extended} more carried out to the walls"),
    }
}

/// An extreme with others at the same height.
pub(super) fn ties(told: &str, labels: &str) -> String {
    format!("{told} (as {labels})")
}

/// The revision's line; empty when none is told.
pub(super) fn revision(revision: &str) -> String {
    if revision.is_empty() {
        String::new()
    } else {
        format!("Revision {revision}")
    }
}

/// Floor above the finish.
pub(super) fn above(area: &str) -> String {
    format!("{area} stands above the finish and would be ground")
}

/// What a bag holds.
pub(super) fn bag_yield(volume: &str) -> String {
    format!("at {volume} a bag, as the sheet states")
}

/// Space under a door after the work; negative when the leaf would drag.
pub(super) fn door_gap(gap: &str) -> String {
    format!("{gap} left under the door")
}

/// A named point after the work.
pub(super) fn rises(rise: &str) -> String {
    format!("{rise} higher")
}

/// An input file's line.
pub(super) fn input_line(name: &str, sha256: &str) -> String {
    format!("Input: {name}, SHA-256 {sha256}")
}

/// Rows that were left out of a table.
pub(super) fn rows_left_out(shown: usize, all: usize) -> String {
    format!("The first {shown} of {all} marks; the workbook holds all of them.")
}

/// The words of the script. `{1}`, `{2}`, … stand for its numbers.
pub(super) fn script(left: &str, bottom: &str) -> Value {
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
