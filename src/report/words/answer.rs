//! Words of the short answer.

use super::at_place;
use super::take_off::BAGS_BY_VOLUME;
use crate::analysis::Work;
use crate::fill::Known;
use crate::flatness::{Departure, Verdict};
use crate::units::bags_text;

/// Most notices that the short answer repeats.
pub const MOST_NOTICES: usize = 8;
/// Row name.
pub const READINGS: &str = "Readings";
/// Row name.
pub const HIGH: &str = "High point";
/// Row name: how set-ups were brought to one line.
pub const SET_UPS: &str = "Set-ups";
/// Row name: the peak after the high point.
pub const NEXT: &str = "Next highest";
/// Row name.
pub const LOW: &str = "Low point";
/// Row name.
pub const OVERALL: &str = "Overall";
/// Row name.
pub const FINISH: &str = "Finish";
/// Row name.
pub const VOLUME: &str = "Volume";
/// Row name.
pub const ABOVE: &str = "Above it";
/// Volume: no floor has a height.
pub const NO_FLOOR_READ: &str = "none: no floor is read closely enough to have a height";
/// Volume: nothing lies under the finish.
pub const NOTHING_TO_FILL: &str = "none: no floor lies below the finish";
/// Bags were given and nothing says what one yields.
pub const BAGS_NEED_YIELD: &str = "how far they go needs the yield of a bag: give a material sheet with --material or fill.material";
/// Row name: what the floor between the readings may do.
pub const BETWEEN: &str = "Between marks";
/// Row name: places to read next.
pub const READ_NEXT: &str = "Read next";
/// Row name: a value the sheet does not state.
pub const ASKED: &str = "Not stated";
/// Row name.
pub const BY_RAKE: &str = "Rake setting";
/// Row name.
pub const BY_BAGS: &str = "Bags at hand";
/// Row name.
pub const POUR: &str = "Pour";
/// Row name.
pub const PATCH: &str = "Patch plan";
/// Row name.
pub const BATCH: &str = "Batch";
/// Before the lowest point of a dip.
pub const DIP_AT: &str = "dip";
/// Before the highest point of a hump.
pub const HUMP_AT: &str = "hump";
/// No check was asked for.
pub const USUAL_CHECKS: &str =
    "No check was asked for; these are the usual ones. Name yours with --check.";
/// No material sheet.
pub const NO_MATERIAL: &str = "needs a material sheet: give one with --material or fill.material.";
/// Row name: a step of the grind-or-fill table.
pub const GRIND: &str = "Grind or fill";
/// Row name: a gauge depth beside the one asked for.
pub const INSTEAD: &str = "At a gauge of";

/// `14 bags`; `14 bags by volume`, beside an order that counts whole batches.
fn counted(bags: u32, by_volume: bool) -> String {
    if by_volume {
        format!("{} {BAGS_BY_VOLUME}", bags_text(bags))
    } else {
        bags_text(bags)
    }
}

/// A row of the grind-or-fill table.
pub fn grind_row(
    (area, volume, deepest): (&str, &str, &str),
    bags: Option<(u32, bool, u32)>,
    cost: Option<&str>,
    cheapest: bool,
    deeper_than_allowed: bool,
) -> String {
    let bags = bags.map_or_else(String::new, |(left, by_volume, saved)| {
        format!("; {} then, {saved} saved", counted(left, by_volume))
    });
    let cost = cost.map_or_else(String::new, |c| format!("; {c} in all"));
    let mark = if cheapest { ", the least" } else { "" };
    let limit = if deeper_than_allowed {
        ", more than may be ground"
    } else {
        ""
    };
    format!("grind {volume} over {area}, deepest {deepest}{limit}{bags}{cost}{mark}")
}

/// A row of that table by how far the finish is lowered; `None` for the finish as it is asked for.
pub fn lowered(by: Option<&str>, row: &str) -> String {
    match by {
        Some(by) => format!("finish {by} lower: {row}"),
        None => format!("finish as asked for: {row}"),
    }
}

/// The first row of that table: nothing ground.
pub fn grind_none(bags: Option<u32>, cost: Option<&str>, cheapest: bool) -> String {
    let bags = bags.map_or_else(String::new, |b| format!("; {}", bags_text(b)));
    let cost = cost.map_or_else(String::new, |c| format!("; {c} in all"));
    let mark = if cheapest { ", the least" } else { "" };
    format!("nothing ground{bags}{cost}{mark}")
}

/// A gauge depth beside the one asked for.
pub fn instead(volume: &str, mean: &str, deepest: &str, bags: Option<(u32, bool)>) -> String {
    let bags = bags.map_or_else(String::new, |(b, by_volume)| {
        format!(", {}", counted(b, by_volume))
    });
    format!("{volume}{bags}; mean {mean}, deepest {deepest}")
}

/// Nothing to patch.
pub fn no_patch(limits: &str) -> String {
    format!(
        "none needed: the surface through its readings is inside the straight-edge limits that were tested ({limits})."
    )
}

/// A limit that patches are aimed at.
pub fn patch_limit(
    departure: Departure,
    allowance: &str,
    span: &str,
    stricter: bool,
    chance: Option<&str>,
) -> String {
    let everywhere = if stricter {
        " at every placement, of which the rule lets some be over"
    } else {
        ""
    };
    let departure = match departure {
        Departure::Dip => "dip",
        Departure::Hump => "hump",
    };
    let chance = chance.map_or_else(String::new, |c| {
        format!("; chance that the floor then keeps it: {c}")
    });
    format!("{departure} {allowance} in {span}{everywhere}{chance}")
}

/// Whether the floor was read where the fill is deepest.
pub const fn known(known: Known) -> &'static str {
    match known {
        Known::Reading => "a reading",
        Known::Between => "between readings",
        Known::Extended => "not read but carried out beyond the readings",
    }
}
/// After the list of checks.
pub const OWN_CHECK: &str = "Your own in words: --check \"1/8 in in 10 ft, resting\" (resting, balanced, held down, on end blocks, midpoint, radius, ridge).";

/// Number of readings, with what became of those that are not used, and areas.
pub fn readings(
    count: &str,
    area: &str,
    surveyed: &str,
    extended: Option<&str>,
    unsurveyed: Option<&str>,
) -> String {
    let rest = match unsurveyed {
        Some(area) => format!("{area} NOT SURVEYED and left out of every total"),
        None => "nothing left unsurveyed".to_owned(),
    };
    let carried = match extended {
        Some(extended) => {
            format!("{surveyed} between readings, {extended} carried out beyond the readings")
        }
        None => "all of it between readings".to_owned(),
    };
    match (extended, unsurveyed) {
        (None, None) => format!("{count} on {area}, {carried}"),
        (None, Some(_)) => format!("{count} on {area}: {surveyed} between readings, {rest}"),
        (Some(_), _) => format!("{count} on {area}: {carried}, {rest}"),
    }
}

/// A reading of a mark that was read several times, with a comma before it.
pub fn one_of(of_mean: usize) -> String {
    match of_mean {
        0 | 1 => String::new(),
        n => format!(", one of {n} there; their mean counts"),
    }
}

/// A highest or lowest reading.
pub fn spot(
    raw: &str,
    set_up: Option<&str>,
    of_mean: usize,
    label: &str,
    place: &str,
    ties: usize,
) -> String {
    let from = set_up.map_or_else(String::new, |name| format!(" from set-up {name}"));
    let ties = match ties {
        0 => String::new(),
        1 => "; one other reading lies level with it".to_owned(),
        n => format!("; {n} other readings lie level with it"),
    };
    let mean = one_of(of_mean);
    format!("{label} (reading {raw}{from}{mean}), {place}{ties}")
}

/// Overall deviation.
pub fn overall(text: &str) -> String {
    format!("{text} from highest to lowest (level, not flatness)")
}

/// Dip and hump at a span.
pub fn span(dip: &str, hump: &str, between_joints: bool, laid: bool) -> String {
    let edge = if between_joints {
        "edge that crosses no joint"
    } else {
        "edge"
    };
    let note = if laid {
        ""
    } else {
        "; no edge of that length fits on the floor, shorter ones were laid"
    };
    format!("{edge}: dip {dip}; hump {hump}{note}")
}

/// A span that the readings cannot judge.
pub fn unjudged(area: &str, some: bool, needed: Option<&str>) -> String {
    let on = if some {
        format!("read closely enough on {area} only")
    } else {
        "readings too far apart".to_owned()
    };
    match needed {
        Some(needed) => format!("not tested: {on}; read every {needed} or closer"),
        None => format!("not tested: {on}; {}", crate::flatness::READ_AT_EDGES),
    }
}

/// Beside figures of a span that was asked for and that the readings cannot judge.
pub fn on_the_surface(unjudged: &str) -> String {
    format!("so much on the surface through the readings; {unjudged}")
}

/// A gap with what nothing exceeds.
pub fn bounded(gap: &str, bound: &str, complete: bool) -> String {
    if complete {
        format!("{gap}, none over {bound}")
    } else {
        format!("{gap}, none over {bound} (work limit reached)")
    }
}

/// Where a placement lies.
pub fn placed(name: &str, at: &str, from: &str, to: &str, direction: &str) -> String {
    let at = at_place(at);
    format!("{name} {at}; edge {direction}, from {from} to {to}")
}

/// Volume and depths.
pub fn volume(
    volume: &str,
    area: &str,
    mean: &str,
    deepest: &str,
    (at, on): (&str, &str),
) -> String {
    let at = at_place(at);
    format!("{volume} over {area}; mean {mean}, deepest {deepest} {at} ({on})")
}

/// Spread between the two folds of grid squares.
pub fn diagonal(text: &str) -> String {
    format!("up to {text} less if every grid square folds the other way")
}

/// Floor above the finish.
pub fn above(area: &str, volume: &str, highest: &str) -> String {
    format!("{area} stand above the finish, up to {highest}: {volume} to grind")
}

/// What so many bags give.
pub fn in_place(volume: &str, waste: &str) -> String {
    format!("{volume} in place after {waste} waste")
}

/// Where an amount settles.
pub fn settled(
    given: &str,
    level: &str,
    bare: &str,
    spots: usize,
    short: Option<&str>,
    is_short: bool,
) -> String {
    let spots = match spots {
        0 => "nothing stays bare".to_owned(),
        1 => format!("{bare} stay bare in one spot"),
        n => format!("{bare} stay bare in {n} spots"),
    };
    let rest = match short {
        Some(v) if is_short => format!("; {v} short of the gauge depth"),
        Some(v) => format!("; {v} more than the gauge depth takes"),
        None => String::new(),
    };
    format!("{given} level off {level} from the high point; {spots}{rest}")
}

/// A depth band.
pub fn band(area: &str, volume: &str) -> String {
    format!("{area}, {volume}")
}

/// What a rise counts in beside the pour, with a blank before it.
pub fn covered(covering: Option<&str>) -> String {
    covering.map_or_else(String::new, |thickness| {
        format!(" with the covering of {thickness}")
    })
}

/// Height at a named point.
pub fn height(
    rise: Option<&str>,
    covering: Option<&str>,
    step: Option<&str>,
    remarks: &[String],
) -> String {
    // Without a height the remarks say why.
    let Some(rise) = rise.map(|r| format!("floor rises {r}{}", covered(covering))) else {
        return remarks.join("; ");
    };
    let rise = match step {
        Some(step) => format!("{rise}, step to the next floor {step}"),
        None => rise,
    };
    if remarks.is_empty() {
        rise
    } else {
        format!("{rise}; {}", remarks.join("; "))
    }
}

/// A batch.
pub fn batch(bags: u32, area: &str, mean: &str, tie: &str, place: &str) -> String {
    format!(
        "{} over {area}, mean {mean}, ties in along {tie}; round {place}",
        bags_text(bags)
    )
}

/// Checks that the patch plan is not aimed at.
pub fn not_aimed_at(checks: &[(String, Verdict)]) -> String {
    if checks.is_empty() {
        return String::new();
    }
    let list: Vec<String> = checks
        .iter()
        .map(|(title, word)| format!("{title} ({})", super::verdict(*word)))
        .collect();
    format!("; not aimed at: {}", list.join(", "))
}

/// What is told of a patch plan.
#[derive(Debug, Clone, Copy)]
pub struct Patch<'a> {
    /// Spots to fill.
    pub patches: usize,
    /// Spots to grind.
    pub grinds: usize,
    /// Material.
    pub volume: &'a str,
    /// Bags of it.
    pub bags: Option<&'a str>,
    /// Deepest patch.
    pub deepest: &'a str,
    /// Limits that the plan is aimed at.
    pub limits: &'a str,
    /// Said where it is not nearly sure that the floor, and not only the surface through its readings, keeps them then.
    pub unsure: &'a str,
    /// What the full pour takes.
    pub instead_of: Option<&'a str>,
    /// What the full pour adds at most.
    pub height: Option<&'a str>,
}

/// The floor itself may not keep the limits.
pub const UNSURE: &str =
    ". The floor itself may not be, as the chance says: read it anew before it is covered";
/// Nobody knows whether it does.
pub const NO_CHANCE: &str =
    ". How likely the floor itself is was not worked out: read it anew before it is covered";

/// The patch plan.
pub fn patch(plan: &Patch<'_>) -> String {
    let Patch {
        patches,
        grinds,
        volume,
        bags,
        deepest,
        limits,
        unsure,
        instead_of,
        height,
    } = *plan;
    let bags = bags.map_or_else(String::new, |b| format!(" ({b} bags)"));
    let instead_of = instead_of.map_or_else(String::new, |b| format!("; the full pour takes {b}"));
    let height = height.map_or_else(String::new, |h| format!(" and adds up to {h}"));
    let grinds = match grinds {
        0 => String::new(),
        1 => ", 1 spot to grind".to_owned(),
        n => format!(", {n} spots to grind"),
    };
    let patches = match patches {
        0 => "nothing to fill".to_owned(),
        1 => format!("1 patch, {volume}{bags}, deepest {deepest}"),
        n => format!("{n} patches, {volume}{bags}, deepest {deepest}"),
    };
    format!(
        "{patches}{grinds}; then the surface through its readings is inside the straight-edge limits that were tested ({limits}){instead_of}{height}{unsure}"
    )
}

/// More notices than are repeated.
pub fn more_notices(count: usize) -> String {
    format!("and {count} more notices: see the report or result.json")
}

/// Row name.
pub const SHARED: &str = "Marks shared";
/// Row name.
pub const SAME_HEIGHT: &str = "Same height";
/// Row name.
pub const LEAST_COVER: &str = "Least cover";
/// Row name.
pub const MEAN_COVER: &str = "Mean placed";
/// Row name.
pub const PLACED: &str = "Placed volume";
/// Row name.
pub const BAGS: &str = "Bags";

/// Bags used against planned.
pub fn bags_used(used: &str, planned: &str, explained: Option<&str>) -> String {
    match explained {
        Some(b) => format!("{used} used, {planned} planned; the placed volume explains {b}"),
        None => format!("{used} used, {planned} planned"),
    }
}

/// How the high point stands among its neighbours.
pub fn alone(above: &str) -> String {
    format!(
        "it stands {above} above the plane of its neighbours; is it a nub or debris? Look before you pour to it"
    )
}

/// The peak after the high point.
pub fn next_peak(label: &str, below: Option<&str>, place: &str) -> String {
    match below {
        Some(below) => format!("{label}, {below} lower, {place}"),
        None => format!("{label}, just as high, {place}"),
    }
}

/// Carried-out floor above the high point.
pub fn carried_above(above: &str, place: &str) -> String {
    format!("floor carried out beyond the readings stands {above} above it, {place}: read there")
}

/// Row name: what to do with the floor.
pub const CHOICE: &str = "Cheapest sound";

/// `0.45 cu ft ground off 134 sq ft`.
pub fn ground(volume: &str, area: &str) -> String {
    format!("{volume} ground off {area}")
}

/// `up to 5/16 in higher`.
pub fn adds(most: &str) -> String {
    format!("up to {most} higher")
}

/// What to do, what that takes, and what another way would.
pub fn choice(work: Work, takes: &str, other: Option<(Work, &str, bool)>) -> String {
    let name = |work: Work| match work {
        Work::Leave => "leave it: it is within its checks",
        Work::Patch => "patch and grind",
        Work::GrindAndPour => "grind its top off and pour less",
        Work::Pour => "the full pour",
    };
    let what = if takes.is_empty() {
        name(work).to_owned()
    } else {
        format!("{}: {takes}", name(work))
    };
    match other {
        Some((Work::Patch, takes, false)) => format!(
            "{what}. A patch would take {takes}, but whether the floor is within then is not sure enough"
        ),
        Some((Work::Pour, takes, false)) => {
            format!("{what}. The full pour would take {takes}, ground deeper than the job allows")
        }
        Some((work, takes, _)) => format!("{what}. Instead {}: {takes}", name(work)),
        None => what,
    }
}

/// A volume, in bags as well where a bag's yield is known.
pub fn enough(volume: &str, bags: Option<u32>) -> String {
    bags.map_or_else(
        || volume.to_owned(),
        |bags| format!("{volume} ({})", bags_text(bags)),
    )
}

/// Volumes that are enough, each with its share of cases, 0 to 1.
pub fn between(enough: &[(f64, String)]) -> String {
    let cases = enough
        .iter()
        .map(|(share, volume)| match (share * 100.0).round() as u32 {
            50 => format!("{volume} is as likely short as not"),
            share => format!("{volume} is enough in {share} of 100 cases"),
        })
        .collect::<Vec<_>>()
        .join(", ");
    format!("nobody read the floor there; by how the readings vary, {cases}")
}

/// A place to read next, and why: `share` of what leaves a part in doubt, 0 to 1.
pub fn read_to_decide(place: &str, check: &str, edge: &str, share: f64) -> String {
    format!(
        "{place}: decides most about {check}, {edge} ({:.0} % of what leaves it in doubt)",
        100.0 * share
    )
}

/// A place to read next because the floor there is known least: to twice its standard deviation.
pub fn read_open(place: &str, twice: &str) -> String {
    format!("{place}: the floor there is known to ±{twice}")
}

/// A place to read next because nobody read near it.
pub fn read_blank(place: &str) -> String {
    format!("{place}: the floor there was not surveyed")
}
