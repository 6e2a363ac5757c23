//! Which order is better, and why.

use super::clock::{Pace, slots};
use super::layout::Layout;
use super::result::{Order, OrderScore, PourRequest};

pub(super) fn score(layout: &Layout, pace: Pace, open_min: Option<f64>) -> OrderScore {
    let slots = slots(layout.parts.len(), pace);
    let (mut longest, mut batch) = (0.0, 0);
    let (mut tie_in, mut area) = (0.0, 0.0);
    for (k, patch) in layout.patches.iter().enumerate() {
        for (&j, &length) in &patch.ties {
            let wait = slots[k].place_to - slots[j].place_to;
            if wait > longest {
                longest = wait;
                batch = k as u32 + 1;
            }
            tie_in += length;
        }
        if !patch.ties.is_empty() {
            area += patch.area_m2;
        }
    }
    OrderScore {
        order: layout.order,
        longest_wait_min: longest,
        longest_wait_batch: batch,
        tie_in_m: tie_in,
        mean_width_m: (tie_in > 0.0).then(|| area / tie_in),
        within_open_time: open_min.map(|open| longest <= open),
    }
}

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
