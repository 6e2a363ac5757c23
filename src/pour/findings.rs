//! What a pour plan warns of.

use super::layout::Layout;
use super::piece::Layer;
use super::pieces::{Section, Sweep};
use super::result::{Clock, Lift, Order, OrderScore, PourRequest};
use crate::surface::Floor;
use crate::survey::{Notice, Severity};

/// Correction below which the place of the start matters little: 1/4 in (common practice, no
/// published source).
const LITTLE_CORRECTION_M: f64 = 0.006_35;

/// What the depths under the finish call for.
pub(super) fn of_floor(floor: &Floor, layer: &Layer, sections: &[Section]) -> Vec<Notice> {
    let mut list = Vec::new();
    let depths: Vec<f64> = sections
        .iter()
        .flat_map(|s| s.triangles.iter().copied())
        .flat_map(|t| floor.corners(t))
        .map(|v| layer.depth(v))
        .collect();
    let most = depths.iter().copied().fold(f64::MIN, f64::max);
    let least = depths.iter().copied().fold(f64::MAX, f64::min);
    if most - least < LITTLE_CORRECTION_M {
        list.push(Notice::new(
            "start-matters-little",
            Severity::Note,
            "",
            "The correction is less than 1/4 in (6 mm): where the pour starts matters little \
             (common practice, no published source).",
        ));
    }
    if least < 0.0 {
        list.push(Notice::new(
            "floor-above-finish",
            Severity::Warning,
            "",
            "Some floor stands above the finish and is left out of the pour: grind it first or \
             raise the finish.",
        ));
    }
    list
}

/// That the floor does not hang together.
pub(super) fn separate_parts(sections: &[Section]) -> Option<Notice> {
    (sections.len() > 1).then(|| {
        Notice::new(
            "separate-parts",
            Severity::Note,
            "",
            format!(
                "The floor to be poured lies in {} parts that do not hang together; they are \
                 poured one after another.",
                sections.len()
            ),
        )
    })
}

/// That a wet edge waits too long.
pub(super) fn waits(score: &OrderScore, batches_before: u32, mended: bool) -> Option<Notice> {
    (score.within_open_time == Some(false)).then(|| {
        Notice::new(
            EDGE_WAITS,
            Severity::Warning,
            format!("batch {}", batches_before + score.longest_wait_batch),
            format!(
                "A wet edge waits {:.0} min, longer than the material stays open: expect a \
                 visible lap or a cold joint.{}",
                score.longest_wait_min,
                if mended { " See the remedies." } else { "" }
            ),
        )
    })
}

/// That the way out is wet at the end, or floor cut off before it.
pub(super) fn shut_in(layout: &Layout, sweep: &Sweep, cuts_off: bool, last: u32) -> Vec<Notice> {
    let mut list = Vec::new();
    if !layout.ends_at(sweep.opening) {
        list.push(Notice::new(
            "way-out-wet",
            Severity::Warning,
            format!("batch {last}"),
            "In no order that was tried does the last batch lie in the way out: a batch that is still wet lies across it then. Place the last one from \
             outside the door, or leave over the wet floor in spiked shoes.",
        ));
    }
    if cuts_off {
        list.push(Notice::new(
            "dry-floor-cut-off",
            Severity::Warning,
            "",
            "In every order that was tried wet floor cuts dry floor off from the way out for a while: have a way over it, or spiked shoes, and plan who stands where.",
        ));
    }
    list
}

/// That mixed material sets before it is placed.
pub(super) fn stands_too_long(clock: &Clock) -> Option<Notice> {
    let working = clock.working_min.filter(|w| clock.standing_min > *w)?;
    Some(Notice::new(
        "mixed-too-early",
        Severity::Warning,
        "",
        format!(
            "A mixed batch stands {:.0} min until it is placed, longer than the material's working time of {working:.0} min: run fewer mixers, \
             start each batch later, or mix less at a time.",
            clock.standing_min
        ),
    ))
}

/// Numbers of batches that no crew places as they lie, and what may be done about it: the floor's own shape, or the crew's speed, draws them out.
pub(super) fn drawn_out(
    threads: &[u32],
    batches_before: u32,
    (has_wings, mended): (bool, bool),
) -> Option<Notice> {
    let first = threads.first()?;
    let of = match threads.len() {
        1 => "1 batch is".to_owned(),
        n => format!("{n} batches are"),
    };
    let what = if mended {
        "The front is long for what one batch covers. See the remedies."
    } else if has_wings {
        "Pour each wing of the room for itself, from its end to a dam at its mouth."
    } else {
        "The front is long for what one batch covers in the open time. Mix more bags at a time, or pour the floor in parts with a dam between them."
    };
    Some(Notice::new(
        DRAWN_OUT,
        Severity::Warning,
        format!("batch {}", batches_before + first),
        format!("{of} drawn out to long threads in every order that was tried. {what}"),
    ))
}

/// That bays are poured in strips, whatever order is asked for beside them.
pub(super) fn order_without_bays(request: &PourRequest) -> Option<Notice> {
    let asked = request.bays.is_some_and(|n| n > 1);
    let other = matches!(request.order, Some(Order::Passes | Order::Harmonic));
    (asked && other).then(|| {
        Notice::new(
            "order-not-in-bays",
            Severity::Warning,
            "",
            "An order and bays are both asked for: bays are poured in strips, and the order holds for a floor in one piece only. Take one of the two out.",
        )
    })
}

/// That a lift is too little for a pour of its own.
pub(super) fn spoonful(lift: &Lift, request: &PourRequest, of: u32) -> Option<Notice> {
    if of < 2 || lift.below_finish_m <= 0.0 {
        return None;
    }
    let area: f64 = lift.batches.iter().map(|b| b.area_m2).sum();
    let mean_m = lift.volume_m3 / area.max(f64::MIN_POSITIVE);
    let thin = request.material.feather_edge != Some(true)
        && request.material.min_depth_m.is_some_and(|m| mean_m < m);
    let bag = request.material.yield_m3.unwrap_or(0.0);
    let why = if thin {
        "thinner on average than its material may be laid"
    } else if lift.volume_m3 * (1.0 + request.waste) < bag {
        "less than a bag"
    } else {
        return None;
    };
    Some(Notice::new(
        "lift-small",
        Severity::Warning,
        "",
        format!(
            "This lift is {why}. Fill its places by hand beforehand, with a material that may be laid so: then the lift, its bags and the wait after it fall away."
        ),
    ))
}

/// That one person cannot mix and place at once.
pub(super) fn too_few_people(request: &PourRequest) -> Option<Notice> {
    (request.people <= request.mixers).then(|| {
        Notice::new(
            TOO_FEW_PEOPLE,
            Severity::Warning,
            "",
            format!(
                "{} for {}: each mixer takes one, and one must place.",
                counted(request.people, "person", "people"),
                counted(request.mixers, "mixer", "mixers")
            ),
        )
    })
}

/// Code of the notice that a wet edge waits too long.
pub const EDGE_WAITS: &str = "wet-edge-waits";
/// Code of the notice that batches are drawn out to threads.
pub const DRAWN_OUT: &str = "pour-threads";
/// Code of the notice that a crew cannot both mix and place.
pub const TOO_FEW_PEOPLE: &str = "too-few-people";

/// `1 person`, `2 people`.
fn counted(count: u32, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}
