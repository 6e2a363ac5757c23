//! Words of quantities, heights and the pour.

use crate::pour::Order;
use crate::units::bags_text;

/// Label: material.
pub const MATERIAL: &str = "Material (user's own sheet)";
/// Label: waste.
pub const WASTE: &str = "Waste added";
/// Label: volume with waste.
pub const ORDERED: &str = "Volume to order, waste included";
/// Label: yield.
pub const YIELD: &str = "Yield of a bag, by that sheet";
/// Label: bags.
pub const BAGS: &str = "Bags";
/// Label: what if.
pub const IF: &str = "Bags if";
/// Label: batches.
pub const BATCHES: &str = "Batches";
/// Label: water.
pub const WATER: &str = "Water";
/// Label: primer.
pub const PRIMER: &str = "Primer";
/// Label: what stays in the last bags.
pub const LEFT: &str = "Left over";
/// Label: costs.
pub const COST: &str = "Cost";
/// Label: everything that has a price.
pub const COST_TOTAL: &str = "Cost of what has a price";
/// Label: an area that keeps its slope.
pub const SLOPE: &str = "Left to its slope";
/// Label: foam.
pub const FOAM: &str = "Perimeter foam";
/// Label: dam.
pub const DAM: &str = "Dam";
/// Label: lifts.
pub const LIFTS: &str = "Lifts";
/// Label: weight.
pub const WEIGHT: &str = "Weight added";
/// Label: how much of the room the figures are of, where it is not all of it.
pub const COUNTED: &str = "Floor counted";
/// Column: named point.
pub const POINT: &str = "Point";
/// Column: rise.
pub const RISE: &str = "Rise";
/// Column: step.
pub const STEP: &str = "Step to next floor";
/// Column: remark.
pub const REMARK: &str = "What it means";
/// Not known.
pub const NOT_KNOWN: &str = "not known";
/// Label: start.
pub const START: &str = "Start";
/// Label: exit.
pub const EXIT: &str = "Way out";
/// Label: order.
pub const ORDER: &str = "Order";
/// Label: clock.
pub const CLOCK: &str = "Time";
/// Label: wait.
pub const WAIT: &str = "Longest wait of a wet edge";
/// An edge waits too long.
pub const TOO_LONG: &str =
    "A wet edge waits longer than the material's open time. Do one of these before you start:";

/// Batches are drawn out.
pub const DRAWN_OUT: &str = "Batches are drawn out to long threads. Any one of these mends it:";

/// An edge waits too long, and nothing that was planned with mends it.
pub const NOTHING_MENDS: &str = "A wet edge waits longer than the material's open time. Mixing while one batch is placed, more mixers and bays were each planned with, and none of them keeps the open time: do not pour it like this.";

/// `27 (26.31 before rounding up)`; of a pour whose batches take more, each of whole bags, `28 (26.31 by volume; each batch takes whole bags)`.
pub fn bags(count: u32, exact: &str, rounded_up: bool) -> String {
    if rounded_up {
        format!("{count} ({exact} before rounding up)")
    } else {
        format!("{count} ({exact} by volume; each batch takes whole bags)")
    }
}

/// Behind bags where no pour is planned: lifts, bays and places apart may take more.
pub const BY_VOLUME: &str = "; by volume: a pour plan counts whole batches";

/// Beside the bags of another finish, where the pour plan of the one asked for takes another number than its volume.
pub const BAGS_BY_VOLUME: &str = "by volume";

/// `readings are 1/16 in lower everywhere: 30`.
pub fn sensitivity(what: &str, bags: u32) -> String {
    format!("{what}: {bags}")
}

/// `14 of 2 bags, the last of 1`; `14, of 2 bags at the most`, where others are not full either.
pub fn batches(count: u32, bags: u32, last: Option<u32>) -> String {
    match last {
        Some(last) if last == bags => format!("{count} of {}", bags_text(bags)),
        Some(last) => format!("{count} of {}, the last of {last}", bags_text(bags)),
        None => format!("{count}, of {} at the most", bags_text(bags)),
    }
}

/// `31 gal in all, 7.5 qt a full batch, 4 qt the last`.
pub fn water(total: &str, batch: &str, last: Option<&str>) -> String {
    let last = last.map_or_else(String::new, |l| format!(", {l} the last"));
    format!("{total} in all, {batch} a full batch{last}")
}

/// `2 gal from the can (8 gal as spread) for 620 sq ft, 2 coats; dry for 4 h before the pour`.
pub fn primer(
    neat: &str,
    spread: Option<&str>,
    area: &str,
    coats: u32,
    drying: Option<&str>,
) -> String {
    let coats = if coats == 1 {
        "1 coat".to_owned()
    } else {
        format!("{coats} coats")
    };
    let spread = spread.map_or_else(String::new, |s| format!(" ({s} as it is spread, thinned)"));
    let drying = drying.map_or_else(String::new, |d| format!("; drying {d} in all"));
    format!("{neat} from the can{spread} for {area}, {coats}{drying}")
}

/// `0.12 cu ft when all the waste is used, 0.6 cu ft when none is`.
pub fn left(with_waste: &str, without: &str) -> String {
    format!("{with_waste} when all the waste is used, {without} when none is")
}

/// `perimeter foam, 110 ft at 0.35 a ft: 38.56 USD`; `bags, 33 at 21.50: 709.50 USD`, where the item is its own unit.
pub fn cost(item: &str, quantity: &str, (price, unit): (&str, &str), amount: &str) -> String {
    let each = if unit.is_empty() {
        String::new()
    } else {
        format!(" a {unit}")
    };
    format!("{item}, {quantity} at {price}{each}: {amount}")
}

/// `1/8 at 0 ft, 3/16 at 1 ft` along a dam.
pub fn along(depth: &str, at: &str) -> String {
    format!("{depth} at {at}")
}

/// `from 4 ft from the left wall, at the bottom wall: 1/4 in at 0 ft, 3/8 in at 1 ft`: one piece of a dam.
pub fn piece(from: &str, heights: &str) -> String {
    format!("from the place {from}: {heights}")
}

/// `shower: 12 sq ft left out; dam 5 ft long, height along it from the place ...: 1/4 in at 0 ft, 3/8 in at 1 ft`.
pub fn slope(name: &str, area: &str, dam: Option<(&str, &str)>) -> String {
    match dam {
        Some((length, along)) => {
            format!(
                "{name}: {area} left out of fill and level; dam {length} long, height along it {along}"
            )
        }
        None => format!("{name}: {area} left out of fill and level; no surveyed floor borders it"),
    }
}

/// `movement joint J1, both sides`, as what a dam stands along.
pub fn joint(name: &str) -> String {
    let name = name.trim();
    if name.is_empty() {
        "movement joint, both sides".to_owned()
    } else {
        format!("movement joint {name}, both sides")
    }
}

/// Dams between bays, as what they stand along.
pub const BAY_DAMS: &str = "between the bays of the pour";

/// `hall door: 3 ft, holds back 1/2 in`.
pub fn dam(name: &str, length: &str, depth: &str) -> String {
    format!("{name}: {length}, holds back {depth}")
}

/// Label: the dam that a bay is poured behind.
pub fn dam_of_bay(bay: u32) -> String {
    format!("Dam of bay {bay}")
}

/// `from 3 m from the left wall, at the far wall to 3 m from the left wall, at the door wall; 4.8 m, holds back 12 mm`.
pub fn dam_along(lines: &[(String, String)], length: &str, depth: &str) -> String {
    let lines: Vec<String> = lines
        .iter()
        .map(|(a, b)| format!("from {a} to {b}"))
        .collect();
    format!("{}; {length}, holds back {depth}", lines.join(", and "))
}

/// `2 at the deepest place, no deeper than 1 in each; 30 sq ft need more than one; 16 h between them`.
pub fn lifts(count: u32, limit: &str, over: &str, wait: Option<&str>) -> String {
    let wait = wait.map_or_else(String::new, |w| format!("; {w} between them"));
    format!(
        "{count} at the deepest place, no deeper than {limit} each; {over} need more than one{wait}"
    )
}

/// `900 lb; 1.5 psf on average, 4 psf at the deepest`.
pub fn weight(total: &str, mean: &str, worst: &str) -> String {
    format!("{total}; {mean} on average, {worst} at the deepest")
}

/// `45 min (41 min overlapped, 76 min one after the other)`.
pub fn clock(asked: &str, overlapped: &str, apart: &str) -> String {
    format!("{asked} ({overlapped} with mixing overlapped, {apart} one after the other)")
}

/// `9 min, open time 15 min`.
pub fn wait(longest: &str, open: Option<&str>) -> String {
    match open {
        Some(open) => format!("{longest}; the sheet's open time is {open}"),
        None => format!("{longest}; the material sheet states no open time"),
    }
}

/// Label: how long a mixed batch stands.
pub const STANDING: &str = "Mixed until placed";

/// `7 min at the longest; the sheet's working time is 18 min`.
pub fn standing(longest: &str, working: &str) -> String {
    format!("{longest} at the longest; the sheet's working time is {working}")
}

/// Between the places of a batch in several pieces.
pub const AND_ALSO: &str = " and ";

/// Name of an order.
pub const fn order(order: Order) -> &'static str {
    match order {
        Order::Passes => "In passes",
        Order::Harmonic => "Outward from the start",
        Order::Strips => "Strips to the door",
    }
}

/// `longest wait 9 min, tie-ins 140 ft in all`.
pub fn score(wait: &str, tie_in: &str) -> String {
    format!("longest wait {wait}, tie-ins {tie_in} in all")
}

/// The pour in a sentence: `90 bags in 45 batches place 31.8 cu ft in 118 min.`; in lifts, `95 bags in 48 batches place 33.1 cu ft in 2 lifts:
/// 14 min, then 118 min, with 24 h between them.`
pub fn pour_lead(
    bags: u32,
    batches: usize,
    volume: &str,
    minutes: &[String],
    between: Option<&str>,
) -> String {
    let times = match minutes {
        [one] => one.clone(),
        lifts => {
            let between = between.map_or_else(
                || "; the material sheet states no wait between them".to_owned(),
                |wait| format!(", with {wait} between them"),
            );
            format!("{} lifts: {}{between}", lifts.len(), lifts.join(", then "))
        }
    };
    format!(
        "{} in {batches} {} place {volume} in {times}.",
        bags_text(bags),
        if batches == 1 { "batch" } else { "batches" }
    )
}

/// `1 of 2, levels off 1 in under the finish`; the last, `2 of 2, up to the finish`.
pub fn lift_levels(number: u32, of: usize, below: Option<&str>) -> String {
    match below {
        Some(below) => format!("{number} of {of}, levels off {below} under the finish"),
        None => format!("{number} of {of}, up to the finish"),
    }
}

/// `Lift 1 of 2, levels off 1 in under the finish: 4 bags in 2 batches`.
pub fn lift_heading(levels: &str, bags: u32, batches: usize) -> String {
    format!(
        "Lift {levels}: {} in {batches} {}",
        bags_text(bags),
        if batches == 1 { "batch" } else { "batches" }
    )
}

/// A score of the floor in one piece, where the plan divides it.
pub fn undivided(score: &str, bays: usize) -> String {
    format!("{score}, were the floor poured in one piece; the plan divides it into {bays} bays")
}
