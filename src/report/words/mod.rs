//! Every word that reaches paper, in one place. English; figures come in already in the reader's habit.

pub mod answer;
pub mod caution;
pub mod crew;
pub mod f_numbers;
pub mod field;
pub mod hand;
pub(crate) mod page;
pub mod plan;
pub mod recheck;
pub mod staging;
pub mod starter;
pub mod submittal;
pub mod tabs;
pub mod take_off;
pub mod together;
pub mod understood;
pub mod why_not;

/// Words on drawings.
pub use crate::drawing::words as drawing;

use crate::flatness::{PartResult, Procedure, STRIP_M, Sureness, Verdict};
use crate::survey::Severity;
use crate::units::Pen;

/// Language of the words, as in BCP 47.
pub const LANGUAGE: &str = "en";
/// Program and version.
pub const PROGRAM: &str = concat!("Birdbath ", env!("CARGO_PKG_VERSION"));
/// Before the page number.
pub const PAGE: &str = "Page";
/// Between page number and page count.
pub const OF: &str = "of";
/// Before the revision.
pub const REVISION: &str = "Revision";
/// Before the input's fingerprint.
pub const INPUT: &str = "Input";
/// Before the number of the run.
pub const RUN: &str = "Run";
/// Words to find a file by.
pub const KEYWORDS: [&str; 4] = [
    "floor flatness",
    "straightedge",
    "floor levelling",
    "laser level survey",
];
/// The left side of the plan where its wall has no name.
pub const LEFT_WALL: &str = "left wall";
/// The lower side of the plan where its wall has no name.
pub const BOTTOM_WALL: &str = "bottom wall";
/// The left side where no wall is known.
pub const LEFT_READING: &str = "leftmost reading";
/// The lower side where no wall is known.
pub const BOTTOM_READING: &str = "lowest row";
/// Where nothing can be said.
pub const NONE: &str = "-";
/// A mark that needs nothing.
pub const LEAVE: &str = "leave";

/// A figure, or the sign for none where nothing is known.
pub fn or_none(text: Option<String>) -> String {
    text.unwrap_or_else(|| NONE.to_owned())
}

/// Which way an edge lies, from its angle to a wall, 0 to 90 degrees.
pub fn direction(degrees: f64, wall: &str) -> String {
    // Nearer than this nobody sees on the floor, or lays an edge by eye.
    const EYE: f64 = 3.0;
    if degrees <= EYE {
        format!("parallel to the {wall}")
    } else if degrees >= 90.0 - EYE {
        format!("square to the {wall}")
    } else {
        format!("at {degrees:.0} degrees to the {wall}")
    }
}

/// Less than a step, and yet not nothing.
pub fn under(step: &str) -> String {
    format!("under {step}")
}

/// The run's number after the program's name, where there is one.
pub fn run_after(run: &str) -> String {
    if run.is_empty() {
        String::new()
    } else {
        format!(". {RUN} {run}")
    }
}

/// How many more there are.
pub fn and_more(count: usize) -> String {
    format!("and {count} more")
}

/// Where a wall itself is meant.
pub fn at_wall(wall: &str) -> String {
    format!("at the {wall}")
}

/// A place behind a word: one that begins with a wall says `at` already.
pub fn at_place(place: &str) -> String {
    if place.starts_with("at ") {
        place.to_owned()
    } else {
        format!("at {place}")
    }
}

/// A distance from a wall.
pub fn off_wall(distance: &str, wall: &str) -> String {
    format!("{distance} from the {wall}")
}

/// A heading with its unit.
pub fn with_unit(title: &str, unit: &str) -> String {
    format!("{title}, {unit}")
}

/// A verdict in its one word.
pub const fn verdict(verdict: Verdict) -> &'static str {
    verdict.word()
}

/// How the edge was used, and which share of its placements a part that lets some be over is held to.
pub fn procedure_and_share(pen: Pen, part: &PartResult) -> String {
    let name = procedure(part.procedure);
    let held = part
        .measured()
        .and_then(|m| Some((m.allowed_share?, m.gap_m)));
    held.map_or_else(
        || name.to_owned(),
        |(share, gap_m)| {
            format!(
                "{name}; {} of placements up to {}",
                pen.percent(1.0 - share),
                pen.gap_against(gap_m, part.allowance_m)
            )
        },
    )
}

/// A part's limit, with the share of placements that has to keep it where not all have to: `1/4 in for 90 %`.
pub fn limit_and_share(pen: Pen, part: &PartResult) -> String {
    let limit = pen.limit(part.allowance_m);
    match part.may_be_over {
        Some(over) => submittal::limit_for(&limit, &pen.percent(1.0 - over)),
        None => limit,
    }
}

/// What a verdict means, for the foot of a summary.
pub fn verdicts(pen: Pen) -> String {
    format!(
        "Within: the chance that the floor keeps the limit is 95 % or more, the readings themselves show no gap over it, and at least 95 % of the room is read closely enough (floor without a reading within {} of walls, columns and slopes that are kept is left aside, where it is no more than a quarter of the room) and no floor that is not left aside lies farther from a reading than readings may stand apart. Out: that chance is 5 % or less, and the readings show a gap over the limit. In doubt: anything between, or a gap that hangs on a reading that may be a slip. Where no chance stands beside a part, its doubt decides: within, when the most that may be found and its doubt stay inside the limit; out, when a gap is over it by more than its doubt; in doubt also where floor that is known less well (carried out to a joint, tied from another set-up) may hide one over it. Not tested: too little of the room is read closely enough for this span; no gap is told. A check has the gravest word of its parts: out, then not tested, then in doubt, then within.",
        pen.span(STRIP_M)
    )
}

/// A sentence of one of several edges.
pub fn said_of_edge(span: &str, text: &str) -> String {
    format!("{span} edge: {text}")
}

/// A figure with how much of the floor it is of; the figure alone where it is of all of it.
pub fn with_on(text: &str, on: &str) -> String {
    if on.is_empty() {
        text.to_owned()
    } else {
        format!("{text}, {on}")
    }
}

/// A sentence with what it is of, where it is of one thing: `batch 3: ...`.
pub fn of_place(place: &str, text: &str) -> String {
    if place.is_empty() {
        text.to_owned()
    } else {
        format!("{place}: {text}")
    }
}

/// A check with how its edge is used, unless it just rests.
pub fn with_use(check: &str, used: Procedure) -> String {
    match used {
        Procedure::Resting => check.to_owned(),
        _ => with_on(check, procedure(used)),
    }
}

/// How the edge is used, in a word or two.
pub const fn procedure(procedure: Procedure) -> &'static str {
    match procedure {
        Procedure::Resting => "resting",
        Procedure::Balanced => "balanced on a hump",
        Procedure::HeldDown => "one end held down",
        Procedure::EndBlocksHollow => "on end blocks, hollow",
        Procedure::EndBlocksHump => "on end blocks, hump",
        Procedure::Midpoint => "grid midpoint",
        Procedure::Radius => "within a radius",
        Procedure::Ridge => "short edge on a ridge",
        Procedure::Line => "along a line",
    }
}

/// How the edge is used, in a sentence.
pub const fn procedure_in_full(procedure: Procedure) -> &'static str {
    match procedure {
        Procedure::Resting => {
            "Resting: the edge lies on the floor under its own weight; the gap is taken between its two contact points, never at an overhanging end."
        }
        Procedure::Balanced => {
            "Balanced: the edge is centred on a hump so that both ends stand off the floor by the same gap; that gap is taken."
        }
        Procedure::HeldDown => {
            "One end held down: the edge is pressed down at one end over a hump; the gap at the other end is taken (twice the balanced gap)."
        }
        Procedure::EndBlocksHollow => {
            "On end blocks, hollow: the whole edge stands on two equal blocks at its ends; how far the floor lies below the line between the two places it stands on is taken (the gap less the block)."
        }
        Procedure::EndBlocksHump => {
            "On end blocks, hump: the whole edge stands on two equal blocks at its ends; how far the floor rises above the line between the two places it stands on is taken (the block less the gap)."
        }
        Procedure::Midpoint => {
            "Grid midpoint: each grid reading is compared with the mean of its two neighbours at the stated spacing."
        }
        Procedure::Radius => {
            "Within a radius: highest minus lowest floor within the stated distance of any point."
        }
        Procedure::Ridge => {
            "Short edge on a ridge: a short edge is held tight on one side of a ridge; the gap on its other side is taken."
        }
        Procedure::Line => {
            "Along a line: height differences between successive points of a measured line."
        }
    }
}

/// How sure a limit's figure is.
pub const fn sureness(sureness: Sureness) -> &'static str {
    match sureness {
        Sureness::Published => "read in two or more independent publications",
        Sureness::OneSource => "read in one publication; compare with your own copy",
        Sureness::FromMemory => {
            "from memory of the standard; check a purchased copy before signing"
        }
        Sureness::CommonPractice => "common practice, no published source",
        Sureness::Own => "given for this job",
    }
}

/// How much a notice matters.
pub const fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "Note",
        Severity::Warning => "Warning",
        Severity::Caution => "Caution",
    }
}

/// Why nothing is said of the floor between the readings.
pub const fn no_doubt(why: crate::surface::doubt::NoDoubt) -> &'static str {
    use crate::surface::doubt::NoDoubt;
    match why {
        NoDoubt::FewReadings => "too few readings to say how far the floor may differ there",
        NoDoubt::ManyReadings => {
            "read so closely that how far the floor may differ there is not worked out"
        }
        NoDoubt::NoVariation => {
            "the readings vary too little to say how far the floor may differ there"
        }
        NoDoubt::NotWanted => "no floors that may be were drawn, as asked for",
    }
}
