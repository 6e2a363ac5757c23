//! The limits over the span curve, and the profiles of placements.

use crate::analysis::{Analysis, EdgeCut, Numbered, departure};
use crate::drawing::{self, LimitLine, MarkUnit, ProfileInput, Scene};
use crate::flatness::{Lengths, Limit};
use crate::report::ReportError;

/// Size of a profile, millimetres.
const PROFILE_MM: (f64, f64) = (86.0, 34.0);

/// Each check's limits over the span curve.
///
/// Two spans of one rule are two limits, each level up to its own span: an edge of 5 ft is held to the
/// 10 ft allowance. Only a limit that follows the distance slopes.
pub(super) fn limits(a: &Analysis) -> Vec<LimitLine> {
    let rules = a.flatness.iter().flat_map(|f| &f.rules);
    rules
        .filter_map(|rule| {
            let parts = rule
                .parts
                .iter()
                .filter(|p| departure(p.procedure).is_some())
                // The curve is of all chords up to a span, and says nothing of those that such an edge can be.
                .filter(|p| p.procedure.lengths() == Lengths::UpTo);
            let mut level: Vec<(f64, f64)> = Vec::new();
            let mut points: Vec<(f64, f64)> = Vec::new();
            for part in parts {
                match &part.limit {
                    Limit::Most(m) => {
                        // The curve shows the floor's departure, not what such a procedure reads.
                        level.push((part.span_m, *m / part.procedure.reads_per_metre()));
                    }
                    Limit::Share { limit_m, .. } => level.push((part.span_m, *limit_m)),
                    Limit::Curve(curve) => {
                        let (from, to) = (curve.shortest_m(), part.span_m);
                        points.extend((0..=CURVE_STEPS).filter_map(|i| {
                            let d = from + (to - from) * f64::from(i) / f64::from(CURVE_STEPS);
                            Some((d, curve.raw_m(d)?))
                        }));
                    }
                }
            }
            level.sort_by(|x, y| x.0.total_cmp(&y.0));
            let mut from = 0.0;
            for (span, allowance) in level {
                points.extend([(from, allowance), (span, allowance)]);
                from = span;
            }
            (!points.is_empty()).then(|| LimitLine {
                name: rule.title.clone(),
                points,
            })
        })
        .collect()
}

/// Pieces that a sloping limit is drawn with.
const CURVE_STEPS: u32 = 60;

pub(super) fn profile(
    a: &Analysis,
    n: &Numbered,
    unit: MarkUnit,
) -> Result<Option<Scene>, ReportError> {
    let Some(cut) = EdgeCut::of(a, &n.placement) else {
        return Ok(None);
    };
    Ok(Some(drawing::profile(&ProfileInput {
        title: "",
        floor: &cut.floor,
        ends_m: cut.ends_m,
        at_m: cut.at_m,
        gap_m: n.drawn_gap_m,
        departure: n.departure,
        names: ("", ""),
        unit,
        habit: a.settings.habit,
        size_mm: PROFILE_MM,
    })?))
}
