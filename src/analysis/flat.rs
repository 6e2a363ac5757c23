//! Span curve, checks and patch plan of one floor.

use super::repeats::Repeatability;
use super::settings::{Settings, Tell};
use super::step::ReadingStep;
use super::suspicion::{blocks, suspects};
use crate::flatness::{
    self, Chances, Check, CheckResult, JudgeOptions, ReadingDoubt, SampleLine, SectionF,
    SectionLayout, SpanPoint, test_section,
};
use crate::surface::Floor;
use crate::survey::setups::Ties;
use crate::survey::{Room, Survey, evident_resolution};
use crate::units::{FOOT_M, Habit, Pen};

/// Span curve and checks.
#[derive(Debug, Clone)]
pub struct Flatness {
    /// Dip and hump at the spans asked for, the checks' own, and the usual edge's; with steps between them where the
    /// whole curve was wanted.
    pub span_curve: Vec<SpanPoint>,
    /// The rules judged by, in the order asked for.
    pub rules: Vec<Check>,
    /// What each came to, in the same order.
    pub checks: Vec<CheckResult>,
    /// Whether these are the usual ones because the job named none.
    pub usual_checks: bool,
    /// F-numbers, where sample lines were given.
    pub f_numbers: Option<SectionF>,
}

impl Flatness {
    /// The shortest span that the readings can judge, metres; beyond all of them where they judge none.
    ///
    /// The curve tells of its own spans only; between two of them it is the one that the floor's spacing asks for.
    pub fn judged_from_m(&self, spacing_m: f64) -> f64 {
        let curve = &self.span_curve;
        let enough = |p: &SpanPoint| p.judged.enough();
        let Some(first) = curve.iter().position(enough) else {
            return f64::INFINITY;
        };
        let before = first.checked_sub(1).map_or(0.0, |i| curve[i].span_m);
        (spacing_m / flatness::coverage::RESOLVED_SHARE).clamp(before, curve[first].span_m)
    }
}

/// More readings than this are a scan: gaps are then found to [`SCAN_TOLERANCE_M`], and the curve leaves
/// out the spans of a few readings, which cost most and tell least.
const DENSE: usize = 50_000;
/// How closely gaps are found on a scan unless the job says, metres.
const SCAN_TOLERANCE_M: f64 = 4e-4;
/// On a scan the curve begins at this many readings to the span.
const SCAN_SPACINGS: f64 = 20.0;
/// Points of the curve of a scan.
const SCAN_POINTS: usize = 6;

/// How closely gaps are to be found.
fn tolerance_m(survey: &Survey, settings: &Settings) -> f64 {
    let usual = if survey.readings.len() > DENSE {
        SCAN_TOLERANCE_M
    } else {
        JudgeOptions::default().tolerance_m
    };
    settings.tolerance_m.unwrap_or(usual)
}

/// The step that the sample lines were read to, if it shows.
fn lines_step(lines: &[SampleLine]) -> Option<f64> {
    let heights: Vec<f64> = lines
        .iter()
        .flat_map(|l| l.elevations_m.iter().copied())
        .collect();
    evident_resolution(&heights)
}

/// The usual edge, told where none is asked for, and the longest of the curve: 10 ft, or 3 m. Metres.
pub const fn usual_span_m(habit: Habit) -> f64 {
    match habit {
        Habit::Us => 10.0 * FOOT_M,
        Habit::Metric => 3.0,
    }
}
/// Points of the span curve.
const CURVE_POINTS: usize = 14;

/// Checks to judge when the job names none, by habit: the usual finishes.
const USUAL_US: [&str; 4] = ["tile-large", "tile-small", "resilient", "wood-nailed"];
const USUAL_METRIC: [&str; 3] = ["bs8204-sr1", "bs8204-sr2", "din18202-line3"];

/// How a floor of this survey is judged: what makes its readings uncertain, which of them are suspected, and how closely gaps are
/// found.
pub fn judge_options(
    survey: &Survey,
    settings: &Settings,
    (step, repeats): (&ReadingStep, &Repeatability),
) -> JudgeOptions {
    let step_m = step.step_m;
    let ties = Ties::of(survey);
    JudgeOptions {
        suspects: suspects(survey),
        blocks: blocks(survey, &ties),
        ties,
        doubt: ReadingDoubt {
            step_m,
            repeatability_m: repeats.likely_m(),
            shown_m: repeats.shown_m(),
            // A half-width with nothing known inside it is a uniform spread (JCGM 100:2008, 4.3.7).
            instrument_m: settings.doubt.instrument_m / 3f64.sqrt(),
        },
        joints: survey
            .room
            .as_ref()
            .map_or_else(Vec::new, |room| room.joints.clone()),
        hand: settings.hand.clone(),
        habit: settings.habit,
        tolerance_m: tolerance_m(survey, settings),
        lines: settings
            .f_numbers
            .as_ref()
            .map_or_else(Vec::new, |f| f.lines.clone()),
        draws: settings.draws,
        line_step_m: settings
            .f_numbers
            .as_ref()
            .and_then(|f| lines_step(&f.lines)),
        ..JudgeOptions::default()
    }
}

pub(super) fn flatness(
    survey: &Survey,
    floor: &Floor,
    settings: &Settings,
    whole_curve: bool,
    (options, chances): (&JudgeOptions, &mut Chances),
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
    let dense = survey.readings.len() > DENSE;
    let asked = settings
        .spans_m
        .iter()
        .copied()
        .chain(checks.iter().flat_map(|c| &c.parts).map(|p| p.span_m))
        .collect();
    let spans = spans(
        floor,
        asked,
        usual_span_m(settings.habit),
        whole_curve,
        dense,
    );
    let (checked, span_curve) =
        flatness::judge_and_curve(floor, checks, &spans, options, chances, &|share| {
            tell("Straight edge", share);
        });
    let f_numbers = settings.f_numbers.as_ref().map(|asked| {
        let region = floor.region().clone();
        let layout = SectionLayout {
            area_m2: Some(floor.areas().region_m2),
            region: Some(region),
            joints: survey
                .room
                .as_ref()
                .map_or_else(Vec::new, Room::joint_pieces),
            n_min: asked.n_min,
            pen: Pen::new(settings.habit),
        };
        // Lines may have been read to another step than the grid.
        let step_m = lines_step(&asked.lines).or(settings.doubt.step_m);
        test_section::section(&asked.lines, &layout, asked.constants, step_m)
    });
    Flatness {
        span_curve,
        f_numbers,
        rules: checks.clone(),
        checks: checked,
        usual_checks: settings.checks.is_empty(),
    }
}

/// Spans of the curve: every span asked for by name and, for the whole of it, even steps of ratio up to
/// the longest of them.
fn spans(floor: &Floor, asked: Vec<f64>, usual_m: f64, whole: bool, dense: bool) -> Vec<f64> {
    let longest = asked.iter().copied().fold(usual_m, f64::max);
    let steps = match (whole, dense) {
        (false, _) => Vec::new(),
        (true, false) => flatness::curve_spans(floor, CURVE_POINTS),
        (true, true) => {
            let mut steps = flatness::curve_spans(floor, CURVE_POINTS);
            steps.retain(|s| *s >= SCAN_SPACINGS * floor.spacing());
            steps.truncate(SCAN_POINTS);
            steps
        }
    };
    let mut list = asked;
    // A step of our own never stands in for a span that was asked for: within a millimetre they would print as one.
    let near = |list: &[f64], s: f64| list.iter().any(|a| (a - s).abs() < 1e-3);
    for s in std::iter::once(usual_m).chain(steps.into_iter().filter(|s| *s < longest)) {
        if !near(&list, s) {
            list.push(s);
        }
    }
    list.sort_by(f64::total_cmp);
    list.dedup();
    list
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::survey::{Elevation, Reading, Survey};

    // ORACLE: hand. On a grid of 0.99985 m the curve's own first step is 1.9997 m; who asks for 2 m is told of 2 m.
    #[test]
    fn a_span_asked_for_is_the_span_told() {
        let readings = (0..16).map(|k| {
            let at = Point::new(f64::from(k % 4), f64::from(k / 4)) * 0.999_85;
            Reading::new(format!("P{k}"), at, Elevation::from_m(0.0))
        });
        let survey = Survey::new("", readings.collect()).expect("finite");
        let floor = Floor::build(&survey).expect("a grid").floor;
        let own = flatness::curve_spans(&floor, CURVE_POINTS);
        assert!(
            own.iter().any(|s| (s - 2.0).abs() < 1e-3 && *s != 2.0),
            "{own:?}"
        );
        let told = spans(&floor, vec![2.0], usual_span_m(Habit::Us), true, false);
        let near: Vec<&f64> = told.iter().filter(|s| (*s - 2.0).abs() < 1e-3).collect();
        assert_eq!(near, [&2.0]);
    }
}
