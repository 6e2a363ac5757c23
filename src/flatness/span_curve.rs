//! The span curve: worst dip and hump against the length of the edge.

use super::coverage::Reads;
use super::edge::{Progress, SearchOptions, Searcher};
use super::net::Joints;
use super::{Departure, SpanPoint};
use crate::surface::Floor;

/// Worst dip and hump at each of the spans, which may come in any order; the curve is in rising order.
///
/// # Method
/// Both grow with the span, so the worst placement of one span is where the next begins.
pub fn span_curve(
    floor: &Floor,
    spans_m: &[f64],
    options: &SearchOptions,
    progress: Progress<'_>,
) -> Vec<SpanPoint> {
    let spans = rising(spans_m);
    let total = (2 * spans.len()).max(1) as f64;
    let mut done = 0.0;
    let mut run = |departure| {
        let searcher = Searcher::new(floor, departure, options.ground, options.joints);
        let mut hints = options.hints.clone();
        spans
            .iter()
            .map(|&span| {
                let options = SearchOptions {
                    hints: hints.clone(),
                    ..options.clone()
                };
                let r = searcher.search(span, &options, &|_| ());
                hints = r.worst.into_iter().collect();
                done += 1.0;
                progress(done / total);
                r
            })
            .collect::<Vec<_>>()
    };
    let reads = Reads::new(floor, options.ground);
    let dips = run(Departure::Dip);
    let humps = run(Departure::Hump);
    spans
        .iter()
        .zip(dips.into_iter().zip(humps))
        .map(|(&span_m, (dip, hump))| SpanPoint {
            span_m,
            dip,
            hump,
            between_joints: options.joints == Joints::Stop && floor.joint_sides().next().is_some(),
            judged: reads.at(span_m).judged,
        })
        .collect()
}

/// Spans that an edge can have, in rising order, each once.
pub(super) fn rising(spans_m: &[f64]) -> Vec<f64> {
    let mut spans: Vec<f64> = spans_m
        .iter()
        .copied()
        .filter(|s| *s > 0.0 && s.is_finite())
        .collect();
    spans.sort_by(f64::total_cmp);
    spans.dedup();
    spans
}

/// `count` spans from the smallest that the readings speak to (two spacings) to the longest that
/// could lie on the floor, each the same ratio longer than the one before.
pub fn curve_spans(floor: &Floor, count: usize) -> Vec<f64> {
    let searcher_extent = extent_m(floor);
    let shortest = (2.0 * floor.spacing()).min(searcher_extent / 2.0);
    if count == 0 || shortest <= 0.0 || searcher_extent <= 0.0 {
        return Vec::new();
    }
    let steps = (count.max(2) - 1) as f64;
    (0..count)
        .map(|i| shortest * (searcher_extent / shortest).powf(i as f64 / steps))
        .collect()
}

/// Diagonal of the box around the floor, metres: no chord is longer.
fn extent_m(floor: &Floor) -> f64 {
    let (mut lo, mut hi) = ([f64::MAX; 2], [f64::MIN; 2]);
    for v in floor.vertices() {
        lo = [lo[0].min(v.at.x), lo[1].min(v.at.y)];
        hi = [hi[0].max(v.at.x), hi[1].max(v.at.y)];
    }
    if lo[0] > hi[0] {
        0.0
    } else {
        (hi[0] - lo[0]).hypot(hi[1] - lo[1])
    }
}
