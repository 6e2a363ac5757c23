//! The limits over the span curve, and the profiles of placements.

use crate::analysis::{Analysis, Numbered, departure};
use crate::drawing::{self, LimitLine, MarkUnit, ProfileInput, Scene};
use crate::flatness::{self, Limit};
use crate::report::ReportError;

/// Size of a profile, millimetres.
const PROFILE_MM: (f64, f64) = (86.0, 34.0);
/// How far a profile is drawn past the ends of its chord, as a share of the chord.
const BEYOND: f64 = 0.15;

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
                .filter(|p| departure(p.procedure).is_some());
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
    let p = &n.placement;
    let chord = p.chord_m();
    let section = flatness::section(&a.floor, p, chord * BEYOND);
    if section.len() < 2 || chord <= 0.0 {
        return Ok(None);
    }
    // Distances along the section count from its own start; the chord starts where its end lies.
    let start = section
        .iter()
        .min_by(|x, y| x.at.distance(p.from).total_cmp(&y.at.distance(p.from)))
        .map_or(0.0, |s| {
            s.along_m - (s.at - p.from).dot((p.to - p.from) * (1.0 / chord))
        });
    let floor: Vec<(f64, f64)> = section.iter().map(|s| (s.along_m, s.floor_m)).collect();
    let at_m = start + p.from.distance(p.at);
    Ok(Some(drawing::profile(&ProfileInput {
        title: "",
        floor: &floor,
        ends_m: (start, start + chord),
        at_m,
        gap_m: n.drawn_gap_m,
        departure: n.departure,
        names: ("", ""),
        unit,
        habit: a.settings.habit,
        size_mm: PROFILE_MM,
    })?))
}
