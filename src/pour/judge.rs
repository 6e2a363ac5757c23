//! Which order is better, and why.

use super::result::{Order, OrderScore, PourRequest};

/// A pass is no less deep than this, metres: 6 in, room for a rake and a foot (common practice, no published source).
const LEAST_PASS_M: f64 = 0.1524;

/// Whether batches are on average narrower than asked; those of passes, than a pass is deep at the least.
pub(super) fn too_narrow(score: &OrderScore, least_width_m: f64) -> bool {
    let least_m = match score.order {
        Order::Passes => least_width_m.min(LEAST_PASS_M),
        Order::Harmonic | Order::Strips => least_width_m,
    };
    score.mean_width_m.is_some_and(|w| w < least_m)
}

/// What speaks against an order: batches too narrow, waits too long.
pub(super) fn faults(score: &OrderScore, least_width_m: f64) -> usize {
    usize::from(too_narrow(score, least_width_m))
        + usize::from(score.within_open_time == Some(false))
}

/// Whether `a` is to be offered before `b`.
pub(super) fn better(a: &OrderScore, b: &OrderScore, least_width_m: f64) -> bool {
    let faults = |s: &OrderScore| faults(s, least_width_m);
    let waits = a.longest_wait_min.total_cmp(&b.longest_wait_min);
    let ties = a.tie_in_m.total_cmp(&b.tie_in_m);
    let figures = if a.within_open_time.is_some() {
        ties.then(waits)
    } else {
        waits.then(ties)
    };
    faults(a).cmp(&faults(b)).then(figures).is_lt()
}

/// Why the first of these orders was chosen.
pub(super) fn reason(scores: &[OrderScore], request: &PourRequest, bays: usize) -> String {
    if bays > 0 {
        let why = match request.bays {
            Some(_) => "as asked for",
            None if request.order.is_some() => {
                "in one piece the order asked for leaves a wet edge waiting too long"
            }
            None => {
                "in one piece no order keeps its wet edges within the open time with batches wide enough to place"
            }
        };
        return format!(
            "Poured in {bays} bays, each in strips from the far wall to the door: {why}."
        );
    }
    let name = |s: &OrderScore| match s.order {
        Order::Passes => "in passes across the way out",
        Order::Harmonic => "from the start to the door by level lines",
        Order::Strips => "in strips from the far wall to the door",
    };
    let [a, others @ ..] = scores else {
        return String::new();
    };
    if request.order.is_some() {
        return format!("Poured {}, as asked for.", name(a));
    }
    let too_long = |s: &OrderScore| s.within_open_time == Some(false);
    // Orders are held to widths of their own; one whose batches are as wide as those chosen is not refused for it.
    let narrow = |s: &OrderScore| {
        too_narrow(s, request.least_width_m)
            && (s.order == a.order || s.mean_width_m < a.mean_width_m)
    };
    let why = if !too_long(a) && others.iter().all(too_long) {
        "other orders leave a wet edge waiting longer than the open time"
    } else if !narrow(a) && others.iter().all(narrow) {
        "the batches of other orders are too narrow to be placed in their time"
    } else if !(too_long(a) || narrow(a)) && others.iter().all(|s| too_long(s) || narrow(s)) {
        "other orders leave a wet edge waiting too long, or have batches too narrow to be placed in their time"
    } else if a.order == Order::Passes {
        "every edge waits about as long as one pass takes"
    } else if a.within_open_time.is_some() {
        "its wet edges are shorter in total"
    } else {
        "no wet edge waits longer than in the other orders"
    };
    format!("Poured {}: {why}.", name(a))
}
