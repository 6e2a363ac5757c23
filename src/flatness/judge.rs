//! Verdicts: a floor against its checks, with what decided each in a sentence.

use super::check::{Check, Limit, Part};
use super::coverage::{Coverage, Reach, coverage};
use super::doubt::{ReadingDoubt, gap_doubt_m};
use super::edge::{Progress, SearchOptions, Searcher};
use super::fnumber::SampleLine;
use super::net::{Ground, Joints, usable};
use super::span_curve::rising;
use super::verdict::{Evidence, decide, over_all};
use super::words::Words;
use super::{
    CheckResult, Departure, EdgeResult, OtherWay, PartResult, Placement, Procedure, SpanPoint,
    Verdict,
};
use crate::surface::Floor;
use crate::units::Habit;
use std::collections::BTreeMap;
use std::sync::Arc;

/// How to judge.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgeOptions {
    /// What makes one reading uncertain.
    pub doubt: ReadingDoubt,
    /// Certified gaps are found to this, metres.
    pub tolerance_m: f64,
    /// Work limit of each search.
    pub work_limit: u64,
    /// Which part of the floor an edge may lie on.
    pub ground: Ground,
    /// How many distinct places to list for each part.
    pub places: usize,
    /// Whether resting parts are also tried balanced and the other way round, to tell where the
    /// two disagree.
    pub both_ways: bool,
    /// Sample lines, for checks that go by lines.
    pub lines: Vec<SampleLine>,
    /// Units of the sentences.
    pub habit: Habit,
}

impl Default for JudgeOptions {
    fn default() -> Self {
        Self {
            doubt: ReadingDoubt::default(),
            tolerance_m: 1e-4,
            work_limit: 20_000_000,
            ground: Ground::Surveyed,
            places: 5,
            both_ways: true,
            lines: Vec::new(),
            habit: Habit::Metric,
        }
    }
}

/// Judge a floor by checks, in their order.
///
/// # Units, datum, sign
/// Metres; gaps and allowances are vertical and never negative. A value equal to its allowance passes.
/// # Method
/// docs/methods.md, "Checks, doubt and verdicts".
/// # Edge cases
/// A floor without surveyed triangles is not tested by any check.
pub fn judge(
    floor: &Floor,
    checks: &[Check],
    options: &JudgeOptions,
    progress: Progress<'_>,
) -> Vec<CheckResult> {
    judge_and_curve(floor, checks, &[], options, progress).0
}

/// As [`judge`], and the span curve at the given spans with it: what one has found the other need not
/// look for again. The curve stops at joints where every check does.
pub fn judge_and_curve(
    floor: &Floor,
    checks: &[Check],
    spans_m: &[f64],
    options: &JudgeOptions,
    progress: Progress<'_>,
) -> (Vec<CheckResult>, Vec<SpanPoint>) {
    let parts: usize = checks.iter().map(|c| c.parts.len()).sum();
    let steps = (parts + 2 * spans_m.len()).max(1) as f64;
    let mut bench = Bench::new(floor, options, progress);
    bench.step = 1.0 / steps;
    let judged = checks
        .iter()
        .map(|check| {
            let parts: Vec<PartResult> = check
                .parts
                .iter()
                .map(|part| {
                    let result = bench.part(check, part);
                    bench.next();
                    result
                })
                .collect();
            CheckResult {
                check: check.name.clone(),
                title: check.title.clone(),
                source: check.source.clone(),
                sureness: check.sureness,
                note: check.note.clone(),
                verdict: over_all(parts.iter().map(|p| p.verdict)),
                parts,
            }
        })
        .collect();
    let spans = rising(spans_m);
    // Over limits that all stop at joints, a step at a joint must not rise above them as if it counted.
    let stops = !checks.is_empty() && checks.iter().all(|c| c.joints == Joints::Stop);
    let joints = if stops { Joints::Stop } else { Joints::Cross };
    let mut along = |departure| {
        spans
            .iter()
            .map(|&span| {
                let r = bench.worst(departure, joints, span);
                bench.next();
                r
            })
            .collect::<Vec<_>>()
    };
    let (dips, humps) = (along(Departure::Dip), along(Departure::Hump));
    let curve = spans
        .iter()
        .zip(dips.into_iter().zip(humps))
        .map(|(&span_m, (dip, hump))| SpanPoint { span_m, dip, hump })
        .collect();
    (judged, curve)
}

/// A floor with everything found on it so far, so that checks of one span share one search.
pub(super) struct Bench<'a> {
    pub floor: &'a Floor,
    pub options: &'a JudgeOptions,
    pub words: Words,
    searchers: BTreeMap<(bool, bool), Arc<Searcher>>,
    found: BTreeMap<(bool, bool, u64), EdgeResult>,
    progress: Progress<'a>,
    /// Share of the whole work that is done, and that one step takes.
    done: f64,
    step: f64,
}

fn key(departure: Departure, joints: Joints) -> (bool, bool) {
    (departure == Departure::Hump, joints == Joints::Stop)
}

impl<'a> Bench<'a> {
    pub fn new(floor: &'a Floor, options: &'a JudgeOptions, progress: Progress<'a>) -> Self {
        Self {
            floor,
            options,
            progress,
            done: 0.0,
            step: 1.0,
            words: Words::new(options.habit),
            searchers: BTreeMap::new(),
            found: BTreeMap::new(),
        }
    }

    /// One step of the work is done.
    fn next(&mut self) {
        self.done += self.step;
        (self.progress)(self.done.min(1.0));
    }

    /// Search, telling how far within this step.
    pub fn seek(&self, searcher: &Searcher, span_m: f64, options: &SearchOptions) -> EdgeResult {
        searcher.search(span_m, options, &|share| {
            (self.progress)((self.done + self.step * share).min(1.0));
        })
    }

    fn part(&mut self, check: &Check, part: &Part) -> PartResult {
        match (part.procedure, &part.limit) {
            (Procedure::Midpoint, limit) => self.midpoint(part, most(limit)),
            (Procedure::Radius, limit) => self.radius(part, most(limit)),
            (Procedure::Line, limit) => self.line(part, limit),
            (_, Limit::Curve(curve)) => self.curve(check.joints, part, curve),
            (procedure, Limit::Share { limit_m, share }) => {
                self.share(check.joints, part, way(procedure), *limit_m, *share)
            }
            (_, Limit::Most(allow)) => self.edge(check.joints, part, *allow),
        }
    }

    pub fn searcher(&mut self, departure: Departure, joints: Joints) -> Arc<Searcher> {
        let (floor, ground) = (self.floor, self.options.ground);
        self.searchers
            .entry(key(departure, joints))
            .or_insert_with(|| Arc::new(Searcher::new(floor, departure, ground, joints)))
            .clone()
    }

    /// The certified worst, kept for later parts of the same span.
    pub fn worst(&mut self, departure: Departure, joints: Joints, span_m: f64) -> EdgeResult {
        let (hump, stop) = key(departure, joints);
        let id = (hump, stop, span_m.to_bits());
        if let Some(r) = self.found.get(&id) {
            return r.clone();
        }
        // The bits of positive numbers are ordered as the numbers are.
        let hints = self
            .found
            .range((hump, stop, 0)..id)
            .next_back()
            .and_then(|(_, r)| r.worst)
            .into_iter()
            .collect();
        let options = SearchOptions {
            hints,
            ..self.search_options(joints)
        };
        let searcher = self.searcher(departure, joints);
        let r = self.seek(&searcher, span_m, &options);
        self.found.insert(id, r.clone());
        r
    }

    pub fn search_options(&self, joints: Joints) -> SearchOptions {
        SearchOptions {
            tolerance_m: self.options.tolerance_m,
            work_limit: self.options.work_limit,
            joints,
            ground: self.options.ground,
            ..SearchOptions::default()
        }
    }

    /// What the floor shows where it is read closely enough to prove anything at this span.
    fn telling(
        &mut self,
        departure: Departure,
        joints: Joints,
        whole: &EdgeResult,
        cover: &Coverage,
        allow: f64,
    ) -> Option<EdgeResult> {
        if cover.coarse >= 1.0 - 1e-9 {
            return Some(whole.clone());
        }
        if cover.coarse <= 0.0 {
            return None;
        }
        if whole.bound_m <= allow * 0.5 {
            // Whatever the closely read part shows is smaller still; no need to look again.
            return Some(whole.clone());
        }
        let mask: Vec<bool> = cover
            .triangles
            .iter()
            .map(|r| matches!(r, Reach::Resolved | Reach::Coarse))
            .collect();
        let searcher = Searcher::on_part(self.floor, departure, &mask, joints);
        Some(self.seek(&searcher, whole.span_m, &self.search_options(joints)))
    }

    /// The evidence of one procedure that comes down to a dip or a hump.
    fn evidence(
        &mut self,
        procedure: Procedure,
        joints: Joints,
        span_m: f64,
        allow: f64,
        cover: &Coverage,
    ) -> (EdgeResult, Evidence) {
        let (departure, factor) = (way(procedure), procedure.reads_per_metre());
        let mut whole = self.worst(departure, joints, span_m);
        let near = |r: &EdgeResult, doubt: f64| {
            let (gap, bound) = (r.gap_m() * factor, r.bound_m * factor);
            gap + doubt <= allow && bound + doubt > allow
        };
        let doubt_of = |bench: &Self, r: &EdgeResult| {
            factor * gap_doubt_m(bench.floor, r.worst.as_ref(), &bench.options.doubt)
        };
        if near(&whole, doubt_of(self, &whole)) {
            // The limit falls between the gap and its bound: look closer before calling it doubt. Whether
            // anything lies over the limit less the doubt is all that needs to be known.
            let most = (allow - doubt_of(self, &whole)) / factor + DECIDED_M;
            let options = SearchOptions {
                ignore_m: most.max(0.0),
                hints: whole.worst.into_iter().collect(),
                ..self.search_options(joints)
            };
            let searcher = self.searcher(departure, joints);
            whole = self.seek(&searcher, span_m, &options);
        }
        let telling = self.telling(departure, joints, &whole, cover, allow / factor);
        let evidence = Evidence {
            gap_m: whole.gap_m() * factor,
            bound_m: whole.bound_m * factor,
            telling_m: telling.as_ref().map(|r| r.gap_m() * factor),
            doubt_m: telling
                .as_ref()
                .map_or_else(|| doubt_of(self, &whole), |r| doubt_of(self, r)),
            coverage: cover.resolved,
            room: whole.full_span_laid,
        };
        (whole, evidence)
    }

    fn edge(&mut self, joints: Joints, part: &Part, allow: f64) -> PartResult {
        let cover = coverage(self.floor, self.options.ground, part.span_m);
        let (whole, evidence) = self.evidence(part.procedure, joints, part.span_m, allow, &cover);
        let verdict = decide(&evidence, allow);
        let other = self.other_way(joints, part, allow, &cover, verdict);
        let departure = way(part.procedure);
        let places = self.places(departure, joints, &whole, part.procedure.reads_per_metre());
        let step_known = self.options.doubt.reading_m() > 0.0;
        PartResult {
            procedure: part.procedure,
            span_m: part.span_m,
            allowance_m: allow,
            gap_m: evidence.gap_m,
            bound_m: evidence.bound_m,
            worst: places.first().copied(),
            places,
            doubt_m: evidence.doubt_m,
            coverage: cover.resolved,
            share_over: None,
            reason: self.words.edge(
                verdict,
                &evidence,
                allow,
                &cover,
                whole.complete,
                step_known,
            ),
            verdict,
            other,
        }
    }

    /// The worst places, with gaps as the procedure reads them.
    pub fn places(
        &mut self,
        departure: Departure,
        joints: Joints,
        whole: &EdgeResult,
        factor: f64,
    ) -> Vec<Placement> {
        let mut places = self
            .searcher(departure, joints)
            .places(whole, self.options.places.max(1));
        for p in &mut places {
            p.gap_m *= factor;
        }
        places
    }

    fn other_way(
        &mut self,
        joints: Joints,
        part: &Part,
        allow: f64,
        cover: &Coverage,
        verdict: Verdict,
    ) -> Option<OtherWay> {
        let procedure = match part.procedure {
            Procedure::Resting => Procedure::Balanced,
            Procedure::Balanced | Procedure::HeldDown => Procedure::Resting,
            _ => return None,
        };
        if !self.options.both_ways || cover.coarse <= 0.0 {
            return None;
        }
        let (whole, evidence) = self.evidence(procedure, joints, part.span_m, allow, cover);
        let other = decide(&evidence, allow);
        // Beside "not tested" only a proof counts: shorter chords that come near the allowance say
        // nothing that the edge asked for would.
        let told = other != verdict && (verdict != Verdict::NotTested || other == Verdict::Out);
        told.then_some(OtherWay {
            procedure,
            gap_m: evidence.gap_m,
            bound_m: evidence.bound_m,
            worst: whole.worst,
            verdict: other,
        })
    }
}

/// A limit between a gap and its bound is decided to this, metres: half of what counts as equal, and
/// less than a rule can be read to by far.
const DECIDED_M: f64 = 0.9e-6;

/// The departure that a procedure looks for.
pub(super) fn way(procedure: Procedure) -> Departure {
    match procedure {
        Procedure::Balanced | Procedure::HeldDown | Procedure::Ridge => Departure::Hump,
        _ => Departure::Dip,
    }
}

fn most(limit: &Limit) -> f64 {
    match limit {
        Limit::Most(a) | Limit::Share { limit_m: a, .. } => *a,
        Limit::Curve(c) => c.limit_m(c.longest_m()).unwrap_or(0.0),
    }
}

/// Triangles an edge may lie on, as the options say.
pub(super) fn ground_area(floor: &Floor, ground: Ground) -> f64 {
    usable(floor, ground)
        .iter()
        .enumerate()
        .filter(|(_, u)| **u)
        .map(|(t, _)| floor.triangle_area(t as u32))
        .sum()
}
