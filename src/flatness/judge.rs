//! Verdicts: a floor against its checks, with what decided each in a sentence.

use super::by_hand::{HandEdges, by_hand, is_laid_by_hand};
use super::chance::{Chances, can_draw, undrawn};
use super::check::{Check, Limit, Part};
use super::coverage::Reads;
use super::crossed::crossed;
use super::doubt::ReadingDoubt;
use super::edge::{Progress, SearchOptions, Searcher};
use super::fnumber::SampleLine;
use super::net::{Ground, Joints};
use super::shaky::Shaky;
use super::span_curve::rising;
use super::suspects::{Blocks, Suspect};
use super::suspicion::{hanging_on_blocks, levelled};
use super::verdict::{decide_by_hand, rounding_m};
use super::without::without_readings;
use super::words::Words;
use super::{
    CheckResult, Departure, EdgeResult, Lengths, Outcome, PartResult, Procedure, SpanPoint, Verdict,
};
use crate::geometry::Segment;
use crate::surface::doubt::MayBe;
use crate::surface::{Across, Floor};
use crate::survey::Joint;
use crate::survey::setups::Ties;
use crate::units::Habit;
use std::collections::BTreeMap;
use std::sync::Arc;

/// How to judge.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgeOptions {
    /// What makes one reading uncertain.
    pub doubt: ReadingDoubt,
    /// How tied set-ups hang on their shared readings.
    pub ties: Ties,
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
    /// The step that those were read to, metres, where it is known; else that of the other readings.
    pub line_step_m: Option<f64>,
    /// Readings that may be slips: nothing is proven out by them alone.
    pub suspects: Vec<Suspect>,
    /// Blocks of readings that may lie off the others: no word is told that is another with them levelled.
    pub blocks: Blocks,
    /// Joints by name, to tell which of them a worst place lies across.
    pub joints: Vec<Joint>,
    /// Edges laid by hand.
    pub hand: Option<HandEdges>,
    /// Floors drawn at most for the chance that the floor keeps an allowance; 0 for none.
    pub draws: usize,
    /// What the draws start from: the same seed, the same draws.
    pub seed: u64,
    /// Units of the sentences.
    pub habit: Habit,
}

impl Default for JudgeOptions {
    fn default() -> Self {
        Self {
            doubt: ReadingDoubt::default(),
            ties: Ties::default(),
            tolerance_m: 1e-4,
            work_limit: 20_000_000,
            ground: Ground::Surveyed,
            places: 5,
            both_ways: true,
            line_step_m: None,
            lines: Vec::new(),
            suspects: Vec::new(),
            blocks: Blocks::default(),
            joints: Vec::new(),
            hand: None,
            draws: 0,
            seed: 0,
            habit: Habit::Metric,
        }
    }
}

impl JudgeOptions {
    /// Floors that may be the true one, as these options have them drawn; none is drawn yet.
    pub fn chances(&self) -> Chances {
        Chances::new(self.doubt, self.ties.clone(), self.draws, self.seed)
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
    judge_and_curve(
        floor,
        checks,
        &[],
        options,
        &mut options.chances(),
        progress,
    )
    .0
}

/// As [`judge`], and the span curve at the given spans with it: what one has found the other need not
/// look for again. The curve stops at joints where every check does. Floors drawn for the chances stay in `chances`.
pub fn judge_and_curve(
    floor: &Floor,
    checks: &[Check],
    spans_m: &[f64],
    options: &JudgeOptions,
    chances: &mut Chances,
    progress: Progress<'_>,
) -> (Vec<CheckResult>, Vec<SpanPoint>) {
    let parts: usize = checks.iter().map(|c| c.parts.len()).sum();
    let steps = (parts + 2 * spans_m.len()).max(1) as f64;
    let levelled = levelled_parts(floor, checks, options, progress);
    let mut levelled = levelled.into_iter();
    let mut bench = Bench::new(floor, options, chances, progress);
    bench.step = 1.0 / steps;
    let judged = checks
        .iter()
        .map(|check| {
            let parts: Vec<PartResult> = check
                .parts
                .iter()
                .map(|part| {
                    let mut result = bench.part(check, part);
                    if let Some(levelled) = levelled.next() {
                        result = hanging_on_blocks(
                            result,
                            &levelled,
                            (bench.words, &options.blocks.list),
                        );
                    }
                    if result.verdict() == Verdict::InDoubt {
                        result
                            .reason
                            .push_str(&Words::hang_on_one(options.ties.alone()));
                    }
                    bench.name_joints(check, &mut result);
                    let result = bench.with_hand((check, part), result);
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
                joints: check.joints,
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
                let way = Way {
                    departure,
                    joints,
                    lengths: Lengths::UpTo,
                };
                let r = bench.worst(way, span);
                bench.next();
                r
            })
            .collect::<Vec<_>>()
    };
    let (dips, humps) = (along(Departure::Dip), along(Departure::Hump));
    let curve = spans
        .iter()
        .zip(dips.into_iter().zip(humps))
        .map(|(&span_m, (dip, hump))| SpanPoint {
            span_m,
            dip,
            hump,
            between_joints: bench.stops(joints),
            judged: bench.reads.at(span_m).judged,
        })
        .collect();
    (judged, curve)
}

/// All parts, one after the other, as the floor would be judged were the suspected blocks levelled; empty where there are none.
fn levelled_parts(
    floor: &Floor,
    checks: &[Check],
    options: &JudgeOptions,
    progress: Progress<'_>,
) -> Vec<PartResult> {
    let Some(floor) = levelled(floor, &options.blocks.list) else {
        return Vec::new();
    };
    // Levelled they hang on no tie.
    let alone = JudgeOptions {
        ties: Ties::default(),
        blocks: Blocks::default(),
        suspects: options.blocks.suspects.clone(),
        ..options.clone()
    };
    let mut chances = alone.chances();
    let mut bench = Bench::new(&floor, &alone, &mut chances, progress);
    let mut parts = Vec::new();
    for check in checks {
        for part in &check.parts {
            parts.push(bench.part(check, part));
        }
    }
    parts
}

/// A floor with everything found on it so far, so that checks of one span share one search.
pub(super) struct Bench<'a> {
    pub floor: &'a Floor,
    pub options: &'a JudgeOptions,
    pub words: Words,
    /// How closely the floor is read.
    pub reads: Reads<'a>,
    /// By how much roundings may make a gap, metres.
    pub rounding_m: f64,
    /// The doubt of values that no floors are drawn for.
    pub undrawn: ReadingDoubt,
    /// The doubt of an edge's gap: that of the surface beside a chance, else as any value's.
    pub edge_doubt: ReadingDoubt,
    /// Floor that is known less well than the rest, if there is any.
    pub shaky: Option<Shaky>,
    searchers: BTreeMap<[bool; 3], Arc<Searcher>>,
    pub chances: &'a mut Chances,
    found: BTreeMap<([bool; 3], u64), EdgeResult>,
    progress: Progress<'a>,
    /// Share of the whole work that is done, and that one step takes.
    done: f64,
    step: f64,
}

/// Which chords count, and which way the floor departs from them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Way {
    pub departure: Departure,
    pub joints: Joints,
    pub lengths: Lengths,
}

impl Way {
    fn key(self) -> [bool; 3] {
        [
            self.departure == Departure::Hump,
            self.joints == Joints::Stop,
            self.lengths == Lengths::Whole,
        ]
    }

    /// Searches of only these triangles.
    pub fn on_part(self, floor: &Floor, usable: &[bool]) -> Searcher {
        Searcher::on_part(floor, self.departure, usable, self.joints).with_lengths(self.lengths)
    }

    /// Searches of readings in one line alone, without these.
    pub fn in_rows(self, floor: &Floor, without: &[u32]) -> Searcher {
        Searcher::in_rows(floor, self.departure, self.joints, without).with_lengths(self.lengths)
    }
}

impl<'a> Bench<'a> {
    pub fn new(
        floor: &'a Floor,
        options: &'a JudgeOptions,
        chances: &'a mut Chances,
        progress: Progress<'a>,
    ) -> Self {
        let reads = Reads::new(floor, options.ground);
        Self {
            shaky: Shaky::of(floor, &reads.usable, &options.doubt, &options.ties),
            rounding_m: rounding_m(floor, &options.doubt),
            undrawn: undrawn(&options.doubt),
            edge_doubt: if can_draw(floor, options.draws) {
                options.doubt
            } else {
                undrawn(&options.doubt)
            },
            floor,
            options,
            progress,
            done: 0.0,
            step: 1.0,
            words: Words::new(options.habit),
            reads,
            searchers: BTreeMap::new(),
            chances,
            found: BTreeMap::new(),
        }
    }

    /// Whether there are joints and an edge is not laid across them.
    pub fn stops(&self, joints: Joints) -> bool {
        joints == Joints::Stop && self.floor.joint_sides().next().is_some()
    }

    /// The largest step at a joint, where edges are not laid across them: the rule leaves it aside, and that is told. Metres.
    pub fn step_left_aside(&self, joints: Joints) -> Option<f64> {
        if !self.stops(joints) {
            return None;
        }
        let floor = self.floor;
        let step = |t: u32, e: usize, other: u32| {
            let (own, beyond) = (floor.corners(t), floor.corners(other));
            [own[e], own[(e + 1) % 3]]
                .iter()
                .filter_map(|v| {
                    let there = beyond.iter().find(|b| b.at == v.at)?;
                    Some((there.z - v.z).abs())
                })
                .fold(0.0, f64::max)
        };
        let most = (0..floor.triangles().len() as u32)
            .flat_map(|t| (0..3).map(move |e| (t, e)))
            .filter_map(|(t, e)| match floor.across(t, e) {
                Across::Joint(other) => Some(step(t, e, other)),
                _ => None,
            })
            .fold(0.0, f64::max);
        Some(most)
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

    /// Say which joint the worst place of a part that is not within lies across, where the rule lays edges over joints.
    fn name_joints(&self, check: &Check, result: &mut PartResult) {
        let worst = result.measured().and_then(|m| m.worst);
        if let Some(worst) = worst
            && check.joints == Joints::Cross
            && result.verdict() != Verdict::Within
        {
            let met = crossed(&worst, &self.options.joints);
            result.reason.push_str(&Words::over_joints(&met));
        }
    }

    /// The same with what edges laid by hand say of it; of one that is not tested and that a person could lay an edge for, that.
    fn with_hand(&self, (check, part): (&Check, &Part), mut result: PartResult) -> PartResult {
        let hand = self.options.hand.as_ref().and_then(|edges| {
            let lines = self.options.joints.iter().flat_map(|j| j.line.windows(2));
            let joints: Vec<Segment> = lines.map(|w| Segment::new(w[0], w[1])).collect();
            by_hand(edges, (check, part), self.floor.region(), &joints)
        });
        let Some(mut hand) = hand else {
            if result.verdict() == Verdict::NotTested && is_laid_by_hand(part) {
                result.reason.push_str(&Words::or_by_hand());
            }
            return result;
        };
        let open = result.verdict() == Verdict::NotTested;
        hand.words = self.words.by_hand(&hand, result.allowance_m, open);
        let outcome = decide_by_hand(result.outcome, &hand);
        result.reason = if matches!(outcome, Outcome::ByHand { .. }) {
            Words::besides(&hand.words, &result.reason)
        } else {
            format!("{} {}", result.reason, hand.words)
        };
        PartResult {
            outcome,
            hand: Some(hand),
            ..result
        }
    }

    fn part(&mut self, check: &Check, part: &Part) -> PartResult {
        let may_be_over = match part.limit {
            Limit::Share { share, .. } => Some(share),
            _ => None,
        };
        PartResult {
            may_be_over,
            ..self.judged(check, part)
        }
    }

    fn judged(&mut self, check: &Check, part: &Part) -> PartResult {
        match (part.procedure, &part.limit) {
            (Procedure::Midpoint, limit) => self.midpoint(part, most(limit)),
            (Procedure::Radius, limit) => self.radius(part, most(limit)),
            (Procedure::Line, limit) => self.line(part, limit),
            (_, Limit::Curve(curve)) => self.curve(check.joints, part, curve),
            (_, Limit::Share { limit_m, share }) => {
                self.share(check.joints, part, *limit_m, *share)
            }
            (_, Limit::Most(allow)) => self.edge(check.joints, part, *allow),
        }
    }

    pub fn searcher(&mut self, way: Way) -> Arc<Searcher> {
        let (floor, ground) = (self.floor, self.options.ground);
        self.searchers
            .entry(way.key())
            .or_insert_with(|| {
                let searcher = Searcher::new(floor, way.departure, ground, way.joints);
                Arc::new(searcher.with_lengths(way.lengths))
            })
            .clone()
    }

    /// The certified worst, kept for later parts of the same span.
    pub fn worst(&mut self, way: Way, span_m: f64) -> EdgeResult {
        let id = (way.key(), span_m.to_bits());
        if let Some(r) = self.found.get(&id) {
            return r.clone();
        }
        // The bits of positive numbers are ordered as the numbers are.
        let hints = self
            .found
            .range((way.key(), 0)..id)
            .next_back()
            .and_then(|(_, r)| r.worst)
            .into_iter()
            .collect();
        let options = SearchOptions {
            hints,
            ..self.search_options(way.joints)
        };
        let searcher = self.searcher(way);
        // Within what the search may leave, a place of the list may still be deeper, and the list begins with the deepest.
        let r = searcher.deepened(self.seek(&searcher, span_m, &options));
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

    /// Who is told how far along the work is.
    pub fn progress(&self) -> Progress<'a> {
        self.progress
    }

    /// How far it is.
    pub fn share_done(&self) -> f64 {
        self.done.min(1.0)
    }

    /// Floors that may be the true one; `None` where the readings allow none.
    pub fn may_be(&mut self) -> Option<&mut MayBe> {
        let (progress, done) = (self.progress, self.share_done());
        self.chances.may_be(self.floor, &|| progress(done)).ok()
    }

    /// Readings suspected of a slip, by index.
    pub fn suspects(&self) -> Vec<u32> {
        self.options.suspects.iter().map(|s| s.reading).collect()
    }

    /// Of these triangles those that no suspected reading is a corner of.
    pub fn without_suspects(&self, mask: Vec<bool>) -> Vec<bool> {
        without_readings(self.floor, mask, &self.suspects())
    }

    /// The names of the suspected readings among these; of all of them where these hold none.
    pub fn suspects_among(&self, readings: &[u32]) -> Vec<String> {
        let all = &self.options.suspects;
        let some: Vec<String> = all
            .iter()
            .filter(|s| readings.contains(&s.reading))
            .map(|s| s.name.clone())
            .collect();
        if some.is_empty() {
            all.iter().map(|s| s.name.clone()).collect()
        } else {
            some
        }
    }

    /// One reading's doubt times `weight`, expanded (k = 2).
    pub fn doubt_m(&self, weight: f64) -> f64 {
        2.0 * weight * self.undrawn.reading_m()
    }
}

/// What a procedure looks for.
pub(super) fn way(procedure: Procedure, joints: Joints) -> Way {
    let departure = match procedure {
        Procedure::Balanced | Procedure::HeldDown | Procedure::Ridge | Procedure::EndBlocksHump => {
            Departure::Hump
        }
        _ => Departure::Dip,
    };
    Way {
        departure,
        joints,
        lengths: procedure.lengths(),
    }
}

fn most(limit: &Limit) -> f64 {
    match limit {
        Limit::Most(a) | Limit::Share { limit_m: a, .. } => *a,
        Limit::Curve(c) => c.limit_m(c.longest_m()).unwrap_or(0.0),
    }
}
