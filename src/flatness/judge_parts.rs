//! Parts that do not come down to one certified gap: curves, shares, grids, radii, lines.

use super::check::{Limit, Part};
use super::coverage::{COVERAGE_NEEDED, coverage};
use super::curve::LimitCurve;
use super::doubt::gap_doubt_m;
use super::edge::SearchOptions;
use super::judge::{Bench, ground_area};
use super::midpoint::{midpoint, neighbours};
use super::net::Joints;
use super::radius::radius;
use super::verdict::{Evidence, decide};
use super::words::percent;
use super::{Departure, PartResult, Placement, Verdict};

/// Below this share of a curve's limit, gaps are not told apart: only proven under it.
const CURVE_IGNORE: f64 = 0.6;

impl Bench<'_> {
    fn blank(&self, part: &Part, allow: f64) -> PartResult {
        PartResult {
            procedure: part.procedure,
            span_m: part.span_m,
            allowance_m: allow,
            gap_m: 0.0,
            bound_m: 0.0,
            worst: None,
            places: Vec::new(),
            doubt_m: 2.0 * 1.5f64.sqrt() * self.options.doubt.reading_m(),
            coverage: 0.0,
            share_over: None,
            verdict: Verdict::NotTested,
            reason: String::new(),
            other: None,
        }
    }

    /// A limit that follows the distance between contact points, checked as a staircase: on each
    /// step the limit is one figure, and the worst gap up to the step's end must stay under it.
    pub(super) fn curve(&mut self, joints: Joints, part: &Part, curve: &LimitCurve) -> PartResult {
        let mut result = self.blank(part, curve.limit_m(part.span_m).unwrap_or(0.0));
        let searcher = self.searcher(Departure::Dip, joints);
        let longest = searcher.extent_m();
        let (mut verdict, mut closest): (Option<Verdict>, Option<f64>) = (None, None);
        let (mut from, mut hints): (Option<f64>, Vec<Placement>) = (None, Vec::new());
        let mut complete = true;
        for (until, limit) in curve.steps() {
            let span = until.min(longest);
            let cover = coverage(self.floor, self.options.ground, span);
            if cover.coarse < COVERAGE_NEEDED {
                continue;
            }
            let options = SearchOptions {
                ignore_m: limit * CURVE_IGNORE,
                hints: std::mem::take(&mut hints),
                ..self.search_options(joints)
            };
            let r = self.seek(&searcher, span, &options);
            complete &= r.complete;
            hints = r.worst.into_iter().collect();
            let doubt = gap_doubt_m(self.floor, r.worst.as_ref(), &self.options.doubt);
            let this = decide(
                &Evidence {
                    gap_m: r.gap_m(),
                    bound_m: r.bound_m,
                    telling_m: Some(r.gap_m()),
                    doubt_m: doubt,
                    coverage: cover.resolved,
                    room: true,
                },
                limit,
            );
            if cover.resolved >= COVERAGE_NEEDED {
                from = from.or(Some(span));
                result.coverage = result.coverage.max(cover.resolved);
            }
            let rank = |v: Verdict| {
                matches!(v, Verdict::Out) as u8 * 2 + matches!(v, Verdict::InDoubt) as u8
            };
            let worse = verdict.is_none_or(|v| rank(this) > rank(v));
            let nearer = closest.is_none_or(|c| r.gap_m() / limit > c)
                && verdict.is_none_or(|v| rank(this) >= rank(v));
            if worse || nearer {
                closest = Some(r.gap_m() / limit);
                result.gap_m = r.gap_m();
                result.bound_m = r.bound_m;
                result.allowance_m = limit;
                result.span_m = span;
                result.doubt_m = doubt;
                result.worst = r.worst;
                result.places = r.worst.into_iter().collect();
            }
            let keep = verdict.unwrap_or(Verdict::NotTested);
            verdict = Some(match (keep, this) {
                (Verdict::Out, _) | (_, Verdict::Out) => Verdict::Out,
                (Verdict::InDoubt, _) | (_, Verdict::InDoubt) => Verdict::InDoubt,
                (Verdict::Within, _) | (_, Verdict::Within) => Verdict::Within,
                _ => Verdict::NotTested,
            });
            if span >= longest {
                break;
            }
        }
        result.verdict = verdict.unwrap_or(Verdict::NotTested);
        let w = self.words;
        let at = format!(
            "{} found where contact points up to {} apart allow {}, doubt {}.",
            w.gap(result.gap_m),
            w.span(result.span_m),
            w.limit(result.allowance_m),
            w.gap(result.doubt_m)
        );
        result.reason = match (result.verdict, from) {
            (Verdict::NotTested, _) if verdict.is_none() => format!(
                "Readings {} apart cannot show a gap at any distance that the limit is defined for and the floor has room for.",
                w.span(coverage(self.floor, self.options.ground, longest).spacing_m)
            ),
            (Verdict::NotTested, _) => {
                format!("{at} Readings are too far apart to say that none is worse.")
            }
            (_, Some(from)) => format!(
                "{at} Tested for contact points from {} to {} apart; nearer ones are not tested by these readings.",
                w.span(from),
                w.span(longest)
            ),
            (_, None) => at,
        };
        if !complete {
            result.reason.push_str(" A search ended at its work limit.");
        }
        result
    }

    /// The share of regularly sampled placements over a figure.
    pub(super) fn share(
        &mut self,
        joints: Joints,
        part: &Part,
        departure: Departure,
        limit: f64,
        share: f64,
    ) -> PartResult {
        let mut result = self.blank(part, limit);
        let cover = coverage(self.floor, self.options.ground, part.span_m);
        let sampled =
            self.searcher(departure, joints)
                .sampled(self.floor, part.span_m, part.span_m / 2.0);
        let w = self.words;
        result.coverage = cover.resolved;
        let Some(over) = sampled.share_over(limit) else {
            result.reason = format!(
                "A {} edge finds no room on this floor.",
                w.span(part.span_m)
            );
            return result;
        };
        let mut gaps: Vec<f64> = sampled.placements.iter().map(|p| p.gap_m).collect();
        gaps.sort_by(|a, b| b.total_cmp(a));
        result.share_over = Some(over);
        // The gap that the allowed share may exceed: this one is held against the figure.
        result.gap_m = gaps[((gaps.len() as f64 * share) as usize).min(gaps.len() - 1)];
        result.bound_m = gaps[0];
        result.worst = sampled.worst();
        result.places = result.worst.into_iter().collect();
        result.doubt_m = gap_doubt_m(self.floor, result.worst.as_ref(), &self.options.doubt);
        let over_with = |d: f64| sampled.share_over(limit + d).unwrap_or(0.0);
        result.verdict = if cover.coarse < COVERAGE_NEEDED {
            Verdict::NotTested
        } else if over_with(result.doubt_m) > share {
            Verdict::Out
        } else if over_with(-result.doubt_m) > share {
            Verdict::InDoubt
        } else if cover.resolved < COVERAGE_NEEDED {
            Verdict::NotTested
        } else {
            Verdict::Within
        };
        result.reason = format!(
            "{} of {} placements are over {}, {} may be; sampled every {} in four directions, whole edges only, each resting on its high points.",
            percent(over),
            gaps.len(),
            w.limit(limit),
            percent(share),
            w.span(sampled.pitch_m)
        );
        if cover.resolved < COVERAGE_NEEDED {
            result.reason.push_str(&w.needed(&cover));
        }
        result
    }

    /// Readings against the mean of their neighbours.
    pub(super) fn midpoint(&mut self, part: &Part, allow: f64) -> PartResult {
        let mut result = self.blank(part, allow);
        let (worst, count) = midpoint(self.floor, part.span_m / 2.0);
        let w = self.words;
        let Some(worst) = worst else {
            result.reason = format!(
                "No reading has two neighbours {} to either side in one line.",
                w.span(part.span_m / 2.0)
            );
            return result;
        };
        result.gap_m = worst.gap_m;
        result.bound_m = worst.gap_m;
        result.worst = Some(worst);
        result.places = vec![worst];
        result.coverage = 1.0;
        result.verdict = self.simple(&result, allow);
        result.reason = format!(
            "{} is the most that any of {count} readings stands off the mean of its neighbours {} to either side; {} is allowed, doubt {}.",
            w.gap(worst.gap_m),
            w.span(part.span_m / 2.0),
            w.limit(allow),
            w.gap(result.doubt_m)
        );
        result
    }

    fn simple(&self, r: &PartResult, allow: f64) -> Verdict {
        decide(
            &Evidence {
                gap_m: r.gap_m,
                bound_m: r.bound_m,
                telling_m: Some(r.gap_m),
                doubt_m: r.doubt_m,
                coverage: r.coverage,
                room: true,
            },
            allow,
        )
    }

    /// Highest minus lowest within a radius.
    pub(super) fn radius(&mut self, part: &Part, allow: f64) -> PartResult {
        let mut result = self.blank(part, allow);
        let cover = coverage(self.floor, self.options.ground, part.span_m);
        let w = self.words;
        if ground_area(self.floor, self.options.ground) <= 0.0 {
            result.reason = "No floor lies between readings.".to_owned();
            return result;
        }
        let found = radius(
            self.floor,
            part.span_m,
            self.options.ground,
            self.options.tolerance_m,
            self.options.work_limit,
        );
        result.gap_m = found.gap_m();
        result.bound_m = found.bound_m;
        result.worst = found.worst;
        result.places = found.worst.into_iter().collect();
        // Two readings, each with its full weight.
        result.doubt_m = 2.0 * 2f64.sqrt() * self.options.doubt.reading_m();
        result.coverage = cover.resolved;
        result.verdict = self.simple(&result, allow);
        result.reason = format!(
            "Highest minus lowest within {} of any point is {}, proven to {}; {} is allowed, doubt {}.",
            w.span(part.span_m),
            w.gap(result.gap_m),
            w.gap(result.bound_m),
            w.limit(allow),
            w.gap(result.doubt_m)
        );
        if cover.resolved < COVERAGE_NEEDED {
            result.reason.push_str(&w.needed(&cover));
        }
        result
    }

    /// Successive points of lines: property E (neighbours 3 m apart) and F (two 300 mm steps).
    pub(super) fn line(&mut self, part: &Part, limit: &Limit) -> PartResult {
        let (allow, share) = match limit {
            Limit::Share { limit_m, share } => (*limit_m, *share),
            Limit::Most(a) => (*a, 0.0),
            Limit::Curve(_) => (0.0, 0.0),
        };
        let mut result = self.blank(part, allow);
        let w = self.words;
        let neighbouring = part.span_m > 1.0;
        let values: Vec<(f64, Option<Placement>)> = if neighbouring {
            neighbours(self.floor, part.span_m)
                .into_iter()
                .map(|p| (p.gap_m, Some(p)))
                .chain(self.line_steps(part.span_m))
                .collect()
        } else {
            self.line_bends(part.span_m / 2.0)
        };
        if values.is_empty() {
            result.reason = if neighbouring {
                format!(
                    "No two neighbouring readings are {} apart.",
                    w.span(part.span_m)
                )
            } else {
                format!(
                    "No sample lines read every {} were given; this is not told from a grid.",
                    w.span(part.span_m / 2.0)
                )
            };
            return result;
        }
        let u = self.options.doubt.reading_m();
        result.doubt_m = 2.0
            * u
            * if neighbouring {
                2f64.sqrt()
            } else {
                6f64.sqrt()
            };
        let over = |limit: f64| {
            values.iter().filter(|v| v.0 > limit + 1e-9).count() as f64 / values.len() as f64
        };
        let mut sorted = values.clone();
        sorted.sort_by(|a, b| b.0.total_cmp(&a.0));
        result.gap_m = sorted[((sorted.len() as f64 * share) as usize).min(sorted.len() - 1)].0;
        result.bound_m = sorted[0].0;
        result.worst = sorted[0].1;
        result.places = result.worst.into_iter().collect();
        result.coverage = 1.0;
        result.share_over = Some(over(allow));
        result.verdict = if over(allow + result.doubt_m) > share {
            Verdict::Out
        } else if over(allow - result.doubt_m) > share {
            Verdict::InDoubt
        } else {
            Verdict::Within
        };
        result.reason = format!(
            "{} of {} values are over {}, {} may be; the largest is {}.",
            percent(over(allow)),
            values.len(),
            w.limit(allow),
            percent(share),
            w.gap(result.bound_m)
        );
        result
    }

    /// Height differences over `run_m` along the sample lines.
    fn line_steps(&self, run_m: f64) -> Vec<(f64, Option<Placement>)> {
        let mut out = Vec::new();
        for line in &self.options.lines {
            let k = (run_m / line.interval_m).round();
            // 12 in lines serve a 3 m grid to 2 %, as grid readings do.
            if k < 1.0 || (k * line.interval_m - run_m).abs() > 0.02 * run_m {
                continue;
            }
            out.extend(
                line.elevations_m
                    .windows(k as usize + 1)
                    .step_by(k as usize)
                    .map(|h| ((h[h.len() - 1] - h[0]).abs(), None)),
            );
        }
        out
    }

    /// Changes of height difference between successive steps of `interval_m`.
    fn line_bends(&self, interval_m: f64) -> Vec<(f64, Option<Placement>)> {
        self.options
            .lines
            .iter()
            .filter(|l| (l.interval_m - interval_m).abs() <= 0.02 * interval_m)
            .flat_map(|l| {
                l.elevations_m
                    .windows(3)
                    .map(|h| ((h[2] - 2.0 * h[1] + h[0]).abs(), None))
                    .collect::<Vec<_>>()
            })
            .collect()
    }
}
