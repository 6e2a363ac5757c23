//! Which order is better, and why.

use super::result::{Order, OrderScore, PourRequest};

pub(super) fn too_narrow(score: &OrderScore, least_width_m: f64) -> bool {
    score.mean_width_m.is_some_and(|w| w < least_width_m)
}

/// Whether `a` is to be offered before `b`.
pub(super) fn better(a: &OrderScore, b: &OrderScore, least_width_m: f64) -> bool {
    let faults = |s: &OrderScore| {
        u8::from(too_narrow(s, least_width_m)) + u8::from(s.within_open_time == Some(false))
    };
    let waits = a.longest_wait_min.total_cmp(&b.longest_wait_min);
    let ties = a.tie_in_m.total_cmp(&b.tie_in_m);
    let figures = if a.within_open_time.is_some() {
        ties.then(waits)
    } else {
        waits.then(ties)
    };
    faults(a).cmp(&faults(b)).then(figures).is_lt()
}

pub(super) fn reason(scores: &[OrderScore; 2], chosen: usize, request: &PourRequest) -> String {
    let name = |s: &OrderScore| match s.order {
        Order::Harmonic => "from the start to the door by level lines",
        Order::Strips => "in strips from the far wall to the door",
    };
    let (a, b) = (&scores[chosen], &scores[1 - chosen]);
    if request.order.is_some() {
        return format!("Poured {}, as asked for.", name(a));
    }
    let why = if b.within_open_time == Some(false) && a.within_open_time == Some(true) {
        "the other order leaves a wet edge waiting longer than the open time"
    } else if too_narrow(b, request.least_width_m) && !too_narrow(a, request.least_width_m) {
        "the other order's batches are too narrow to be placed in their time"
    } else if a.within_open_time.is_some() {
        "its wet edges are shorter in total"
    } else {
        "no wet edge waits longer than in the other order"
    };
    format!("Poured {}: {why}.", name(a))
}
