//! The submittal, the notice and the quantities sheet.

use crate::analysis::Repeatability;
use crate::flatness::hangs_on;
use crate::survey::FEWEST_PAIRS;
use crate::units::Pen;

/// Title.
pub const TITLE: &str = "Floor flatness and levelling report";
/// Chapter.
pub const REASONS: &str = "What each word rests on";
/// Chapter.
pub const FINISH: &str = "What the finish takes";
/// Line to write on.
pub const SECTION: &str = "Specification section";
/// Line to write on.
pub const SLAB_AGE: &str = "Age of the slab when read";
/// Line to write on.
pub const SERIAL: &str = "Instrument's number, calibrated";
/// A part that is not settled.
pub fn open_part(title: &str, span: &str, procedure: &str, limit: &str) -> String {
    format!("{title}, {span} edge, {procedure}, limit {limit}")
}
/// Any check's edge of a length.
pub fn edge_of(span: &str) -> String {
    format!("{span} edge")
}
/// A part's line with its own word.
pub fn with_word(line: &str, word: &str) -> String {
    format!("{line}; this edge: {word}")
}
/// The line of a part that was not tested with how much of the room is read closely enough.
pub fn read_on(line: &str, area: &str) -> String {
    format!("{line}; read closely enough on {area}")
}
/// An area and its share of the room.
pub fn area_and_share(area: &str, share: &str) -> String {
    format!("{area}, {share} of the room")
}
/// That something speaks against the words of the first page, and where it stands.
pub fn look_at_warnings(count: usize) -> String {
    match count {
        1 => format!("One warning stands under {REASONS}: read it before relying on these words."),
        n => {
            format!("{n} warnings stand under {REASONS}: read them before relying on these words.")
        }
    }
}
/// What hangs on readings that may be slips.
pub fn told_hangs_on(suspects: &[String]) -> String {
    format!("What is told here {}.", hangs_on(suspects))
}
/// Behind the high or the low point.
pub const SUSPECTED: &str = "suspected of a slip";
/// Where floor that is not judged is.
pub fn unjudged_at(place: &str) -> String {
    format!("The floor that is not judged is widest {place}.")
}
/// Key of the small plan: numbered edges.
pub const KEY_EDGES: &str = "Numbered lines: worst places of an edge, + its gap.";
/// Key of the small plan: high and low point.
pub const KEY_POINTS: &str = "×: high point; ring: low point.";
/// Key of the small plan.
pub const KEY_CARRIED: &str = "Light: carried out beyond the readings.";
/// Key of the small plan.
pub const KEY_UNSURVEYED: &str = "Crossed: not surveyed.";
/// Key of the small plan: floor that is not judged.
pub fn key_unjudged(span: &str) -> String {
    format!("Dark hatching: not judged under {span}.")
}
/// Key of the small plan: how it lies, and its scale.
pub fn key_scale(bottom: &str, ratio: &str) -> String {
    format!("From above, {bottom} at the bottom, about 1:{ratio}.")
}
/// Column of the first page: the word of a check.
pub const WORD: &str = "Word";
/// Column of the first page: the word of one of its parts.
pub const OF_EDGE: &str = "Of this edge";
/// Column of the first page: how long an edge, and how it is used.
pub const EDGE_USED: &str = "Edge";
/// An edge with its use.
pub fn edge_used(span: &str, procedure: &str) -> String {
    format!("{span}, {procedure}")
}
/// Why a likely gap may lie under the gap that was found.
pub const LIKELY_UNDER: &str = "A likely gap that lies under the gap found is no slip: the gap found is that of the surface through the readings, with what a reading may be off by still in it, and the worst of many places is mostly one that this made worse. The likely gap takes it off. It is no bound.";
/// Chapter.
pub const VERDICTS_TITLE: &str = "Straight-edge checks";
/// Chapter.
pub const METHOD: &str = "Method";
/// Chapter.
pub const INSTRUMENT: &str = "Instrument and readings";
/// Chapter.
pub const COVERAGE: &str = "Grid and coverage: what is not settled";
/// Chapter.
pub const KEY_PLAN: &str = "Key plan";
/// Chapter.
pub const PLACES: &str = "Worst places and their profiles";
/// Chapter.
pub const SPAN_CURVE: &str = "Gap against length of edge";
/// Chapter.
pub const FILL: &str = "Fill quantities";
/// Chapter, where what is ordered is not told.
pub const FILL_PLAIN: &str = "The finish";
/// Chapter.
pub const READINGS: &str = "Readings as taken";
/// Chapter.
pub const NOTICES: &str = "Notices";
/// Chapter.
pub const INPUTS: &str = "Input files and version";
/// Who signs.
pub const ROLES: [&str; 3] = [
    "Read and reported by",
    "For the contractor",
    "Received for the owner or general contractor",
];
/// What they write.
pub const FIELDS: [&str; 3] = ["Name", "Signature", "Date"];
/// Cover facts.
pub const PROJECT: &str = "Job";
/// Cover fact.
pub const PLACE: &str = "Place";
/// Cover fact.
pub const ROOM: &str = "Room";
/// Cover fact.
pub const WHEN: &str = "Read on";
/// Cover fact.
pub const WHO: &str = "Read by";
/// Cover fact.
pub const REVISION: &str = "Revision";
/// Cover fact.
pub const VERSION: &str = "Made with";
/// Instrument facts.
pub const INSTRUMENT_NAME: &str = "Instrument";
/// Instrument fact.
pub const CHECKED: &str = "Both-ways check";
/// Instrument fact.
pub const BENCH_MARK: &str = "Bench mark";
/// Instrument fact.
pub const RESOLUTION: &str = "Reading step";
/// Label.
pub const REPEATS: &str = "Repeatability";
/// Label.
pub const LINE_DOUBT: &str = "Line doubt";
/// Instrument fact.
pub const COUNT: &str = "Readings";
/// Instrument fact.
pub const SET_UPS: &str = "Set-ups";
/// A value that was not told.
pub const NOT_TOLD: &str = "not told";
/// What was told, or that it was not.
pub fn told(text: &str) -> String {
    let text = if text.is_empty() { NOT_TOLD } else { text };
    text.to_owned()
}
/// Facts of the floor.
pub const HIGH_POINT: &str = "High point";
/// Facts of the floor.
pub const LOW_POINT: &str = "Low point";
/// Facts of the floor.
pub const OVERALL: &str = "Highest less lowest (level, not flatness)";
/// Facts of the floor.
pub const AREA: &str = "Floor area";
/// Facts of the floor.
pub const SURVEYED: &str = "Area between readings";
/// Facts of the floor.
pub const EXTENDED: &str = "Area carried out beyond the readings";
/// Facts of the floor.
pub const UNSURVEYED: &str = "Area not surveyed";
/// Facts of the floor.
pub const SPACING: &str = "Typical distance between readings";
/// Fill facts.
pub const GAUGE: &str = "Depth over the high point";
/// Fill fact.
pub const VOLUME: &str = "Volume of material in place";
/// Fill fact.
pub const DIAGONAL: &str = "Volume may be less by up to (fold of grid squares)";
/// Fill fact.
pub const EXTENDED_VOLUME: &str = "Of this over area carried out beyond the readings";
/// Fill fact.
pub const WET_AREA: &str = "Area that gets material";
/// Fill fact.
pub const ABOVE_AREA: &str = "Area above the finish, to grind";
/// Fill fact.
pub const ABOVE: &str = "Volume above the finish, to grind";
/// Fill fact.
pub const MEAN: &str = "Mean depth";
/// Fill fact.
pub const DEEPEST: &str = "Deepest";
/// Fill fact.
pub const LEAST: &str = "Least depth";
/// Depth bands.
pub const BANDS: &str = "By depth";
/// Column.
pub const BAND: &str = "Depth";
/// Stage curve.
pub const STAGES: &str = "What a different depth over the high point would take";
/// Caption.
pub const GRIND_OR_FILL: &str = "Grind or fill: what lowering the finish grinds and saves";
/// Column.
pub const LOWERED: &str = "Lowered by";
/// Column.
pub const GRIND_AREA: &str = "Area to grind";
/// Column.
pub const GRIND_VOLUME: &str = "Volume to grind";
/// Column.
pub const GRIND_DEEPEST: &str = "Deepest grind";
/// Column.
pub const COST: &str = "Cost, grinding and bags";
/// Mark of a row that grinds deeper than the job allows.
pub const TOO_DEEP_A_GRIND: &str = "more than may be ground";
/// Mark of the row that costs least.
pub const CHEAPEST: &str = "costs least";
/// Column.
pub const FILL_VOLUME: &str = "Fill";
/// Column.
pub const SAVED: &str = "Bags saved";
/// Column.
pub const STAGE_AREA: &str = "Area covered";
/// Column.
pub const CHECK: &str = "Check";
/// Column.
pub const PROCEDURE: &str = "Edge";
/// Column.
pub const SPAN: &str = "Length";
/// Column.
pub const FOUND: &str = "Worst found";
/// Column.
pub const BOUND: &str = "None exceeds";
/// Column.
pub const DOUBT: &str = "Doubt";
/// The chance that the floor keeps the limit.
pub const CHANCE: &str = "Chance it keeps";
/// Column.
pub const LIMIT: &str = "Limit";
/// Column.
pub const COVERED: &str = "Judged, of the room";
/// Column: the same as a share of the room less the strip that is left aside.
pub const READ_CLOSELY: &str = "Read closely enough";
/// Column.
pub const VERDICT: &str = "Verdict";
/// Column.
pub const SOURCE: &str = "Source";
/// Columns of the readings.
pub const POINT: &str = "Point";
/// Column.
pub const AS_WRITTEN: &str = "As written";
/// Column.
pub const CELL: &str = "Cell";
/// Column.
pub const HEIGHT: &str = "Below the high point";
/// Column.
pub const DEPTH: &str = "To the finish";
/// Columns of the notices.
pub const KIND: &str = "Kind";
/// Column.
pub const WHERE: &str = "Where";
/// Column.
pub const TEXT: &str = "What and what to do";
/// Columns of the inputs.
pub const FILE: &str = "File";
/// Column.
pub const HASH: &str = "SHA-256";
/// What an input fingerprint is for.
pub const HASH_WHY: &str =
    "The same files and the same version give this report again, byte for byte.";
/// Rows left out.
pub const RAW_INTRO: &str = "Every reading as it stood in the file, none dropped, merged or changed. Heights below the high point and to the finish are the mark's: of one that was read more than once, the mean of its readings. A dash stands where a reading is not on the floor that is judged.";
/// Legend.
pub const SPAN_ALT: &str = "Curves of the worst dip and the worst hump against the length of the edge, with the limits of the chosen checks. The checks' own figures stand in the table of straight-edge checks.";
/// Caption.
pub const SPAN_CAPTION: &str = "The worst dip and hump anywhere on the surface through the readings, in any direction, for every length of edge, with the limits of the chosen checks. Where all of these leave joints out, no edge crosses one.";
/// Alternative text.
pub const SMALL_PLAN_ALT: &str = "Small plan of the floor: walls, doors, high and low point, and the numbered places of this paper.";
/// Alternative text.
pub const PLAN_ALT: &str =
    "Key plan of the floor: walls, doors, grid names and the numbered places of this report.";
/// Method text.
pub const METHOD_SURFACE: &str = "Readings were taken from a level line down to the floor. A triangulated surface through them, cut to the walls, joints and voids of the room, stands for the floor. The straight edge was laid by calculation at every position and in every direction on that surface; for each length the worst gap found is given together with a bound that no gap on the surface exceeds. Where a check leaves joints out, no edge was laid across one. All heights and gaps are vertical.";
/// How the chance beside a check came about.
pub const METHOD_CHANCE: &str = "Beside a check stands the chance that the floor itself, and not only the surface through the readings, keeps the limit (conformance probability, JCGM 106:2012): the share of floors, drawn at random so that they agree with the readings to within their step and repeatability and vary between them as these show, on which no edge anywhere shows more. A repeatability that is neither stated nor shown by ten marks read twice is taken for anything from a sixth of a step to 0.75 mm (1/32 in), and both ends must agree. Within needs 95 % or more, out 5 % or less; a hump or hollow that no reading touched and nothing near it announces is not in it.";
/// Method text.
pub const METHOD_NOT_F: &str = "These are gaps under a straight edge. They are not F-numbers and cannot be converted to or from them.";
/// Method heading.
pub const PROCEDURES: &str = "Procedures used";
/// Method heading.
pub const CLAUSES: &str = "Limits and where they stand";
/// Nothing found.
pub const NO_NOTICES: &str = "Nothing odd was found in the readings.";
/// Cover sentence.
pub const NO_FILL: &str = "No finish plane was asked for.";

/// Title of the notice.
pub const NOTICE: &str = "Notice: floor out of tolerance";
/// Title where nothing is out.
pub const RECORD: &str = "Record of what the readings leave open";
/// Text of the notice.
pub const NOTICE_TEXT: &str = "The floor named above was read before work on it began. By the checks listed, it is not within the flatness that the finish needs. Work that starts over it may be taken as acceptance of the floor as it stands; we therefore give notice before starting, and ask for a written decision.";
/// Its text where nothing is out.
pub const NOTICE_NONE: &str =
    "No check was found out. This sheet lists what was in doubt or not tested.";
/// Heading.
pub const SPEAKS_AGAINST: &str = "What the readings themselves leave open";
/// Heading.
pub const OUT_OF: &str = "What was found";
/// Heading.
pub const DECISION: &str = "Decision asked for (tick one)";
/// What can be decided.
pub const DECISIONS: [&str; 4] = [
    "The floor is to be corrected by others before we start",
    "We correct the floor as extra work, by the attached quantities",
    "We start on the floor as it is; its flatness is accepted in writing",
    "The floor is to be measured together on this date:",
];
/// Roles.
pub const NOTICE_ROLES: [&str; 2] = ["Given by", "Received by"];

/// Title of the quantities sheet.
pub const QUANTITIES: &str = "Quantities for a change order";
/// As of.
pub const AS_OF: &str = "Quantities as of";
/// Column.
pub const ROOM_COLUMN: &str = "Room";
/// Column.
pub const ITEM: &str = "Item";
/// Column.
pub const BASE: &str = "In the base scope";
/// Column.
pub const EXTRA: &str = "Extra";
/// Column.
pub const QUANTITY: &str = "Quantity";
/// Roles.
pub const QUANTITY_ROLES: [&str; 2] = ["For the contractor", "For the owner or general contractor"];
/// Remark.
pub const QUANTITY_NOTE: &str = "Quantities follow from the readings of the date above and the finish stated. Where no base depth is stated, base and extra are left for the parties to fill in; nothing here is a price or an agreement until both have signed.";

/// How places are written in a table.
pub fn places_from(pair: &str) -> String {
    format!("Places are distances from: {pair}")
}

/// Caption of a profile.
pub fn profile(number: usize, check: &str, gap: &str, limit: &str) -> String {
    format!("{number}. {check}: gap {gap}, limit {limit}")
}

/// Above the readings: which file their cells are in.
pub fn cells_of(file: &str) -> String {
    format!("Cells are those of {file}")
}

/// How many more places the flatness sheet lists.
pub fn more_places(shown: usize, all: usize) -> String {
    format!("The {shown} worst of {all} places; the flatness sheet and the report list them all.")
}

/// A depth band as an item of the quantities.
pub fn band_item(band: &str) -> String {
    format!("Fill {band} deep")
}

/// An area and the volume over it.
pub fn area_and_volume(area: &str, volume: &str) -> String {
    format!("{area}, {volume}")
}

/// Exactly nothing.
pub const NOTHING: &str = "none";

/// A part that was not tested: how closely to read, where no sentence beside it says so, and where first.
pub fn untested_line(
    procedure: &str,
    span: &str,
    limit: &str,
    every: Option<&str>,
    first: Option<&str>,
) -> String {
    let read = match (every, first) {
        (Some(every), Some(place)) => {
            format!("; read every {every} or closer, first near {place}")
        }
        (Some(every), None) => format!("; read every {every} or closer"),
        (None, Some(place)) => format!("; read first near {place}"),
        (None, None) => String::new(),
    };
    format!("{span} edge, {procedure}: not tested, limit {limit}{read}")
}

/// A limit that some placements may be over: for how many of them it holds.
pub fn limit_for(limit: &str, share: &str) -> String {
    format!("{limit} for {share} of placements")
}

/// Where readings would help to decide a part that is in doubt, each with the share of the doubt that one there takes away.
pub fn read_to_decide(places: &[(String, f64)]) -> String {
    let told: Vec<String> = places
        .iter()
        .map(|(place, share)| format!("{place} ({:.0} %)", 100.0 * share))
        .collect();
    format!(
        "Readings that would settle most of it, with the share of the doubt that each takes away: {}.",
        told.join("; ")
    )
}

/// A part of a check in a line.
pub fn part_line(procedure: &str, span: &str, gap: &str, limit: &str, doubt: &str) -> String {
    format!("{span} edge, {procedure}: worst {gap}, limit {limit}, doubt ±{doubt}")
}

/// A part's line with the chance that the floor keeps the limit behind it.
pub fn with_chance(line: &str, chance: &str, likely: Option<&str>) -> String {
    let likely = likely.map_or_else(String::new, |l| {
        format!("; worst gap of the floor itself likely {l}")
    });
    format!("{line}; chance that the floor keeps it: {chance}{likely}")
}

/// A part that is out by a gap which is not the largest found: that one is known less well.
pub fn proven_line(
    (procedure, span): (&str, &str),
    gap: &str,
    (limit, doubt): (&str, &str),
    larger: &str,
) -> String {
    format!(
        "{span} edge, {procedure}: {gap} proven, limit {limit}, doubt ±{doubt}; {larger} found as well, too doubtful to prove it"
    )
}

/// Of a part that was judged along sample lines: lines have no area.
pub fn lines(count: usize) -> String {
    match count {
        1 => "1 sample line".to_owned(),
        n => format!("{n} sample lines"),
    }
}

/// The same behind a word.
pub fn on_lines(count: usize) -> String {
    format!("on {}", lines(count))
}

/// `240 of 400 sq ft judged`, behind the word of a part that is out, where the rest is not known.
pub fn judged(area: &str) -> String {
    format!("{area} judged")
}

/// Of a part that one place proves out, the rest being read too coarsely.
pub const PROVEN_OUT: &str = "one place";

/// A part whose rule lets a share of placements be over its limit.
pub fn share_line(
    (procedure, span): (&str, &str),
    share: &str,
    gap: &str,
    (limit, doubt): (&str, &str),
    largest: &str,
    over: &str,
) -> String {
    format!(
        "{span} edge, {procedure}: {share} of placements up to {gap}, limit {limit}, doubt ±{doubt}; {over} over the limit; the largest {largest}"
    )
}

/// How well a reading repeats, and how that is known.
pub fn repeats(pen: Pen, known: &Repeatability) -> String {
    match known {
        Repeatability::Stated(m) => format!("{}, as stated", pen.stated(*m)),
        Repeatability::Shown(shown) => format!(
            "{}, as {} marks read twice show; at least {} and at most {}, each with 95 % confidence",
            pen.spread(shown.likely_m),
            shown.pairs,
            pen.spread(shown.low_m),
            pen.spread(shown.high_m)
        ),
        Repeatability::Unstated {
            low_m,
            high_m,
            pairs,
        } => {
            let few = match pairs {
                0 => String::new(),
                1 => format!(" (1 mark was read twice; {FEWEST_PAIRS} are needed to tell)"),
                n => format!(" ({n} marks were read twice; {FEWEST_PAIRS} are needed to tell)"),
            };
            if high_m > low_m {
                format!(
                    "not stated: taken for anything from {} to {}{few}",
                    pen.spread(*low_m),
                    pen.spread(*high_m)
                )
            } else {
                format!(
                    "not stated: taken for {}, a sixth of the step that readings count as taken to{few}",
                    pen.spread(*high_m)
                )
            }
        }
    }
}

/// What the line's height may differ by from reading to reading, as stated.
pub fn line_doubt(half_width: &str) -> String {
    format!("±{half_width} from reading to reading, as stated")
}

/// The step that readings were taken to.
pub fn step(step: &str, stated: bool) -> String {
    if stated {
        format!("{step}, as stated")
    } else {
        format!("{step}, inferred: the coarsest step that all of them allow")
    }
}

/// The same part with the edge used the other way.
pub fn other_way(procedure: &str, gap: &str, verdict: &str) -> String {
    format!("With the edge {procedure} instead: {gap}, {verdict}")
}

/// Where the worst placement lies, with its gap where several are told.
pub fn worst_line(gap: Option<&str>, from: &str, to: &str, direction: &str) -> String {
    // `From the left wall, ..`, and not `From at the left wall`.
    let from = from.strip_prefix("at ").unwrap_or(from);
    let to = to.strip_prefix("at ").unwrap_or(to);
    match gap {
        Some(gap) => format!("{gap} from {from} to {to}: {direction}"),
        None => format!("From {from} to {to}: {direction}"),
    }
}

/// A band of depths.
pub fn band(from: &str, to: Option<&str>) -> String {
    match to {
        Some(to) => format!("{from} to {to}"),
        None => format!("over {from}"),
    }
}

/// Warnings that page 1 has no room for.
pub fn more_notices(count: usize) -> String {
    match count {
        1 => format!("One more warning stands under {NOTICES}."),
        n => format!("{n} more warnings stand under {NOTICES}."),
    }
}

/// A reading and the set-up that it was taken from.
pub fn from_set_up(label: &str, set_up: &str) -> String {
    format!("{label} from set-up {set_up}")
}

/// Set-ups, by name where they have names.
pub fn set_ups(names: &[&str]) -> String {
    match names.len() {
        0 | 1 => "1".to_owned(),
        n => format!("{n}: {}", names.join(", ")),
    }
}

/// A point with its name and place.
pub fn point(label: &str, place: &str) -> String {
    if label.is_empty() {
        place.to_owned()
    } else {
        format!("{label}, {place}")
    }
}

/// Bags.
pub fn bags(count: &str) -> String {
    format!("{count} bags")
}

/// The long list is in the workbook.
pub fn more_readings(shown: usize, all: usize) -> String {
    format!(
        "The first {shown} of {all} readings; all of them stand in the workbook that belongs to this report."
    )
}

/// Stands for a depth at a reading that is not on the floor.
pub const NOT_ON_FLOOR: &str = "\u{2013}";
/// Areas that keep their slope.
pub const LEFT_OUT: &str = "Left out";

/// How many readings are used.
pub fn count(used: usize, all: usize) -> String {
    if used == all {
        all.to_string()
    } else {
        format!("{used} of {all} used")
    }
}

/// What became of the others.
pub fn not_used(rest: usize) -> String {
    format!(
        "{rest} {} not on this floor (in a void, on a slope that is kept, or outside the walls)",
        if rest == 1 { "is" } else { "are" }
    )
}

/// An area that keeps its slope.
pub fn left_out(name: &str, area: &str) -> String {
    format!("{name}, {area}: keeps its slope, and is neither judged nor filled")
}

/// Beside verdicts of a floor that is out and has a drain with no slope drawn round it.
pub fn falls_to(drains: &str) -> String {
    format!(
        "No area that keeps its slope is drawn round {drains}: floor that is meant to fall to it was judged as if it were to be flat. Draw that area as a slope in the outline before anything is corrected."
    )
}
