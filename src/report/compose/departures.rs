//! The departure of the floor under the longest edge checked, with the numbered placements: for maps.

use super::places::{Numbered, departure};
use crate::analysis::{Analysis, Flatness};
use crate::drawing::EdgeMark;
use crate::flatness::{Departure, Ground, Joints, Limit, Searcher};
use crate::report::{Pen, words};

/// Edge of the dip map where no placement is numbered, metres: 10 ft.
const USUAL_SPAN_M: f64 = 3.048;

/// The longest edge that a check lays, metres; the usual one where none lays any.
pub(super) fn longest_checked(f: &Flatness) -> f64 {
    let longest = f
        .rules
        .iter()
        .flat_map(|r| &r.parts)
        .filter(|p| departure(p.procedure).is_some())
        .filter(|p| !matches!(p.limit, Limit::Curve(_)))
        .map(|p| p.span_m)
        .fold(0.0, f64::max);
    if longest > 0.0 { longest } else { USUAL_SPAN_M }
}

/// Numbered placements and the largest dip (or hump) at each vertex, under the longest of their edges.
pub(super) struct Departures {
    pub heading: String,
    pub values_m: Vec<f64>,
    pub edges: Vec<EdgeMark>,
}

impl Departures {
    /// The dip map carries every numbered placement, the hump map its own.
    pub fn of(a: &Analysis, numbered: &[Numbered], departure: Departure) -> Self {
        let marked: Vec<&Numbered> = numbered
            .iter()
            .filter(|n| departure == Departure::Dip || n.departure == departure)
            .collect();
        let longest_m = numbered.iter().map(|n| n.span_m).fold(0.0, f64::max);
        let span_m = if longest_m > 0.0 {
            longest_m
        } else {
            USUAL_SPAN_M
        };
        // Where every rule stops at joints, a step at one is no departure and must not be shaded as one.
        let stops = a.flatness.as_ref().is_some_and(|f| {
            !f.rules.is_empty() && f.rules.iter().all(|r| r.joints == Joints::Stop)
        });
        let joints = if stops { Joints::Stop } else { Joints::Cross };
        let searcher = Searcher::new(&a.floor, departure, Ground::Surveyed, joints);
        let span = Pen::new(a.settings.habit).span(span_m);
        Self {
            heading: match departure {
                Departure::Dip => words::plan::dip_under(&span),
                Departure::Hump => words::plan::hump_under(&span),
            },
            values_m: searcher
                .map(&a.floor, span_m)
                .into_iter()
                .map(|d| d.unwrap_or(0.0))
                .collect(),
            edges: marked
                .into_iter()
                .map(|n| EdgeMark {
                    number: n.number as u32,
                    placement: n.placement,
                    departure: n.departure,
                })
                .collect(),
        }
    }
}
