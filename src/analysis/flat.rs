//! Span curve, checks and patch plan of one floor.

use super::analyse::Tell;
use super::filling::Filling;
use super::settings::Settings;
use crate::flatness::{
    self, Check, CheckResult, JudgeOptions, ReadingDoubt, SearchOptions, SpanPoint,
};
use crate::patch::{self, FullPour, PatchError, PatchLimit, PatchPlan, PatchRequest};
use crate::surface::Floor;
use crate::survey::Survey;
use crate::units::Habit;

/// Span curve and checks.
#[derive(Debug, Clone)]
pub struct Flatness {
    /// Dip and hump at the spans asked for, the checks' own, and 10 ft; with steps between them where the
    /// whole curve was wanted.
    pub span_curve: Vec<SpanPoint>,
    /// The rules judged by, in the order asked for.
    pub rules: Vec<Check>,
    /// What each came to, in the same order.
    pub checks: Vec<CheckResult>,
    /// Whether these are the usual ones because the job named none.
    pub usual_checks: bool,
}

/// Longest span of the curve when the job asks for no longer one: 10 ft, the usual edge. Metres.
const USUAL_SPAN_M: f64 = 3.048;
/// Points of the span curve.
const CURVE_POINTS: usize = 14;

/// Checks to judge when the job names none, by habit: the usual finishes.
const USUAL_US: [&str; 4] = ["tile-large", "tile-small", "resilient", "wood-nailed"];
const USUAL_METRIC: [&str; 3] = ["bs8204-sr1", "bs8204-sr2", "din18202-line3"];

pub(super) fn flatness(
    survey: &Survey,
    floor: &Floor,
    settings: &Settings,
    whole_curve: bool,
    tell: Tell<'_>,
) -> Flatness {
    let names: &[&str] = match settings.habit {
        Habit::Us => &USUAL_US,
        Habit::Metric => &USUAL_METRIC,
    };
    let usual = names
        .iter()
        .filter_map(|n| flatness::check::by_name(n).cloned())
        .collect();
    let checks: &Vec<Check> = if settings.checks.is_empty() {
        &usual
    } else {
        &settings.checks
    };
    let options = JudgeOptions {
        doubt: ReadingDoubt {
            step_m: settings.doubt.step_m.or(survey.resolution_m),
            repeatability_m: settings.doubt.repeatability_m,
            // A half-width with nothing known inside it is a uniform spread (JCGM 100:2008, 4.3.7).
            instrument_m: settings.doubt.instrument_m / 3f64.sqrt(),
        },
        habit: settings.habit,
        ..JudgeOptions::default()
    };
    let checked = flatness::judge(floor, checks, &options, &|share| tell("Checks", share));
    let spans = spans(floor, checks, settings, whole_curve);
    let span_curve = flatness::span_curve(floor, &spans, &SearchOptions::default(), &|share| {
        tell("Span curve", share);
    });
    Flatness {
        span_curve,
        rules: checks.clone(),
        checks: checked,
        usual_checks: settings.checks.is_empty(),
    }
}

/// Spans of the curve: every span asked for by name and, for the whole of it, even steps of ratio up to
/// the longest of them.
fn spans(floor: &Floor, checks: &[Check], settings: &Settings, whole: bool) -> Vec<f64> {
    let asked = settings
        .spans_m
        .iter()
        .copied()
        .chain(checks.iter().flat_map(|c| &c.parts).map(|p| p.span_m));
    let longest = asked.clone().fold(USUAL_SPAN_M, f64::max);
    let steps = if whole {
        flatness::curve_spans(floor, CURVE_POINTS)
    } else {
        Vec::new()
    };
    let mut list: Vec<f64> = steps
        .into_iter()
        .filter(|s| *s < longest)
        .chain(asked)
        .chain([USUAL_SPAN_M])
        .collect();
    list.sort_by(f64::total_cmp);
    // Spans nearer than a millimetre would print as one.
    list.dedup_by(|a, b| *a - *b < 1e-3);
    list
}

/// The patch plan for every part that a patch can mend; `None` when no check has such a part.
pub(super) fn patch(
    floor: &Floor,
    settings: &Settings,
    flatness: &Flatness,
    filling: &Filling,
    tell: Tell<'_>,
) -> Option<Result<PatchPlan, PatchError>> {
    let limits: Vec<PatchLimit> = flatness
        .checks
        .iter()
        .flat_map(|c| &c.parts)
        .filter_map(|p| PatchLimit::of(p.procedure, p.span_m, p.allowance_m))
        .collect();
    if limits.is_empty() {
        return None;
    }
    let request = PatchRequest {
        limits,
        max_grind_m: settings.grind_m,
        yield_m3: settings.material.as_ref().and_then(|m| m.yield_m3),
        waste: filling.waste,
        full: Some(FullPour {
            volume_m3: filling.fill.volume_m3,
            deepest_m: filling.fill.deepest_m,
        }),
        ..PatchRequest::default()
    };
    Some(patch::plan(floor, &request, &|share| tell("Patch", share)))
}
