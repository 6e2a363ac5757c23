//! Parts whose limit follows the distance between contact points.

use super::check::Part;
use super::curve::LimitCurve;
use super::edge::SearchOptions;
use super::judge::{Bench, way};
use super::laying::Laying;
use super::net::Joints;
use super::{Judged, Outcome, PartResult, READ_AT_EDGES, ToRead, Verdict};

/// Below this share of a curve's limit, gaps are not told apart: only proven under it. No simple fraction, as gaps
/// of readings to whole millimetres are of whole limits: to prove a gap under a bar that it just reaches takes longest.
const CURVE_IGNORE: f64 = 0.613_7;

/// One step of a limit that follows the distance.
struct Step {
    span_m: f64,
    limit_m: f64,
    judged: Judged,
    enough: bool,
    to_read: ToRead,
    complete: bool,
    hangs: Vec<String>,
    outcome: Outcome,
}

impl Bench<'_> {
    /// A limit that follows the distance between contact points, checked as a staircase: on each
    /// step the limit is one figure, and the worst gap up to the step's end must stay under it.
    pub(super) fn curve(&mut self, joints: Joints, part: &Part, curve: &LimitCurve) -> PartResult {
        let searcher = self.searcher(way(part.procedure, joints));
        let longest = searcher.extent_m();
        let mut asked: Vec<(f64, f64)> = Vec::new();
        for (until, limit) in curve.steps() {
            asked.push((until.min(longest), limit));
            if until >= longest {
                break;
            }
        }
        let lacking = asked.iter().any(|&(span, _)| !self.reads.at(span).enough());
        // The longest first: where that is out, of the others only what goes farther over its own limit matters, and to
        // prove that nothing does is quick.
        let mut steps: Vec<Step> = Vec::new();
        let mut out_share = CURVE_IGNORE;
        for (span, limit) in asked.into_iter().rev() {
            let cover = self.reads.at(span);
            let laying = Laying {
                procedure: part.procedure,
                joints,
                span_m: span,
                allow_m: limit,
                only_out: lacking,
            };
            let laid = (cover.coarse_m2 > 0.0).then(|| {
                let options = SearchOptions {
                    ignore_m: limit * out_share,
                    ..self.search_options(joints)
                };
                let whole = self.seek(&searcher, span, &options);
                self.lay(&laying, whole, &cover)
            });
            if let Some(Outcome::Out(found)) = laid.as_ref().map(|l| &l.outcome) {
                out_share = out_share.max(found.gap_m / limit);
            }
            steps.push(Step {
                span_m: span,
                limit_m: limit,
                judged: cover.judged,
                enough: cover.enough(),
                to_read: cover.to_read(),
                complete: laid.as_ref().is_none_or(|l| l.whole.complete),
                hangs: laid.as_ref().map_or_else(Vec::new, |l| l.hangs.clone()),
                outcome: laid
                    .map_or_else(|| Outcome::NotTested(Some(cover.to_read())), |l| l.outcome),
            });
        }
        steps.reverse();
        self.over_steps((part, joints), curve, steps)
    }

    /// A curve's part from its steps: the gravest word of them, and the step that decided it.
    fn over_steps(
        &self,
        (part, joints): (&Part, Joints),
        curve: &LimitCurve,
        mut steps: Vec<Step>,
    ) -> PartResult {
        let word = Verdict::worst(steps.iter().map(|s| s.outcome.verdict()));
        // Of the steps of that word the one that comes nearest to its limit, or goes farthest over it; of those
        // not tested the shortest, which asks for the closest readings.
        let share = |s: &Step| s.outcome.measured().map_or(0.0, |m| m.gap_m / s.limit_m);
        let mut deciding: Option<usize> = None;
        for (i, step) in steps.iter().enumerate() {
            if step.outcome.verdict() == word
                && deciding.is_none_or(|d| share(step) > share(&steps[d]))
            {
                deciding = Some(i);
            }
        }
        let mut reason = self.words_of_steps(&steps, deciding, word);
        reason.push_str(&self.words.step_aside(self.step_left_aside(joints)));
        let Some(deciding) = deciding else {
            return PartResult {
                left_open: String::new(),
                procedure: part.procedure,
                span_m: part.span_m,
                allowance_m: curve.limit_m(part.span_m).unwrap_or(0.0),
                may_be_over: None,
                judged: self.reads.at(part.span_m).judged,
                outcome: Outcome::NotTested(None),
                hand: None,
                reason,
            };
        };
        let left_open = self.steps_left_open(&steps, &steps[deciding].judged);
        let step = steps.swap_remove(deciding);
        PartResult {
            left_open,
            procedure: part.procedure,
            span_m: step.span_m,
            allowance_m: step.limit_m,
            may_be_over: None,
            judged: step.judged,
            outcome: step.outcome,
            hand: None,
            reason,
        }
    }

    /// Over which distances a limit that follows them was tested, in a sentence.
    fn range_tested(&self, steps: &[Step]) -> String {
        let w = self.words;
        let tested: Vec<&Step> = steps.iter().filter(|s| s.enough).collect();
        // Each step is for distances from the end of the one before it.
        let from = steps
            .iter()
            .position(|s| s.enough)
            .and_then(|i| i.checked_sub(1));
        match (tested.first(), tested.last()) {
            (Some(_), Some(last)) if tested.len() < steps.len() => match from {
                None => format!(
                    "Tested for contact points up to {} apart only.",
                    w.span(last.span_m)
                ),
                Some(shorter) => format!(
                    "Tested for contact points over {} and up to {} apart only.",
                    w.span(steps[shorter].span_m),
                    w.span(last.span_m)
                ),
            },
            (Some(_), Some(last)) => format!(
                "Tested at every distance that the limit is defined for and the floor has room for, up to {}.",
                w.span(last.span_m)
            ),
            _ => format!(
                "Readings {} apart cannot show a gap at any distance that the limit is defined for and the floor has room for.",
                w.spacing(self.reads.spacing_m)
            ),
        }
    }

    /// What a curve's steps leave open: distances that were not tested, and floor that is not judged.
    fn steps_left_open(&self, steps: &[Step], judged: &Judged) -> String {
        let w = self.words;
        let mut out = String::new();
        // Of those not tested the shortest asks for the closest readings.
        if let Some(open) = steps.iter().find(|s| !s.enough) {
            out = match open.to_read.every_m {
                Some(every_m) => format!(
                    "{} To judge the rest, read every {} or closer.",
                    self.range_tested(steps),
                    w.read_every(every_m)
                ),
                None => format!(
                    "{} To judge the rest, {READ_AT_EDGES}.",
                    self.range_tested(steps)
                ),
            };
        }
        out.push_str(&w.aside(judged));
        out.trim_start().to_owned()
    }

    fn words_of_steps(&self, steps: &[Step], deciding: Option<usize>, word: Verdict) -> String {
        let w = self.words;
        let tested: Vec<&Step> = steps.iter().filter(|s| s.enough).collect();
        let range = self.range_tested(steps);
        let step = deciding.map(|i| &steps[i]);
        let range = if step.is_some_and(|s| word == Verdict::Out && !s.enough) {
            format!("{range} {}", w.coarse_proves_out())
        } else {
            range
        };
        let mut out = match step.and_then(|s| Some((s, s.outcome.measured()?))) {
            Some((s, found)) if !s.hangs.is_empty() && word == Verdict::InDoubt => {
                let (gap, limit) = (w.gap_against(found.gap_m, s.limit_m), w.limit(s.limit_m));
                format!("{} {range}", w.hanging(&gap, &limit, &s.hangs))
            }
            Some((s, found)) => format!(
                "{} found where contact points up to {} apart allow {}, doubt {}. {range}",
                w.gap_against(found.gap_m, s.limit_m),
                w.span(s.span_m),
                w.limit(s.limit_m),
                w.doubt(found.doubt_m)
            ),
            None => match step {
                Some(s) => match s.to_read.every_m {
                    Some(every_m) => format!(
                        "{range} To judge the rest, read every {} or closer.",
                        w.read_every(every_m)
                    ),
                    None => format!("{range} To judge the rest, {READ_AT_EDGES}."),
                },
                None => range,
            },
        };
        // The distances that were tested have their answer, though others leave the word open.
        let share = |s: &&Step| s.outcome.measured().map_or(0.0, |m| m.gap_m / s.limit_m);
        let tested_word = Verdict::worst(tested.iter().map(|s| s.outcome.verdict()));
        let nearest = tested
            .iter()
            .copied()
            .filter(|s| s.outcome.verdict() == tested_word && s.hangs.is_empty())
            .max_by(|a, b| share(a).total_cmp(&share(b)));
        if word == Verdict::NotTested
            && let Some((s, found)) = nearest.and_then(|s| Some((s, s.outcome.measured()?)))
        {
            out.push_str(&format!(
                " Over these the floor is {}: nearest to its limit is {} under contact points up to {} apart, where {} is allowed, doubt {}.",
                tested_word.word(),
                w.gap_against(found.gap_m, s.limit_m),
                w.span(s.span_m),
                w.limit(s.limit_m),
                w.doubt(found.doubt_m)
            ));
        }
        // What one reading may have made is told, though other distances decide the word.
        let hanging = steps
            .iter()
            .filter(|s| word == Verdict::NotTested && !s.hangs.is_empty())
            .find_map(|s| Some((s, s.outcome.measured()?)));
        if let Some((s, found)) = hanging {
            let (gap, limit) = (w.gap_against(found.gap_m, s.limit_m), w.limit(s.limit_m));
            out.push_str(&format!(" {}", w.hanging(&gap, &limit, &s.hangs)));
        }
        if let Some(s) = step.filter(|_| word != Verdict::NotTested) {
            out.push_str(&w.aside(&s.judged));
        }
        if steps.iter().any(|s| !s.complete) {
            out.push_str(" A search ended at its work limit.");
        }
        out
    }
}
