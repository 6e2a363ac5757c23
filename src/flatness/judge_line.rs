//! Parts that go by lines: successive points, as rules for free movement have them.
//!
//! A grid of the stated distance tells property E by itself; only without one do sample lines speak for it. The two are never
//! pooled: lines are read so much more closely that their many values would drown those of the grid, and the share that is
//! over would hang on how many lines were read.

use super::check::{Limit, Part};
use super::judge::Bench;
use super::judge_parts::Plain;
use super::midpoint::{OnGrid, neighbours};
use super::{
    Judged, Measured, Outcome, PartResult, Placement, ReadingDoubt, SampleLine, ToRead, Verdict,
};

/// What a part by lines asks.
#[derive(Debug, Clone, Copy)]
struct Asked {
    allow_m: f64,
    /// Share of the values that may be over it.
    share: f64,
    /// Distance between successive points.
    step_m: f64,
    /// Property E, the difference of two neighbours, which a grid tells as well; else property F, the change of
    /// that difference, which lines alone tell.
    neighbouring: bool,
}

impl Asked {
    fn of(part: &Part, limit: &Limit) -> Self {
        let (allow_m, share) = match limit {
            Limit::Share { limit_m, share } => (*limit_m, *share),
            Limit::Most(a) => (*a, 0.0),
            Limit::Curve(_) => (0.0, 0.0),
        };
        let neighbouring = part.span_m > 1.0;
        Self {
            allow_m,
            share,
            neighbouring,
            step_m: if neighbouring {
                part.span_m
            } else {
                part.span_m / 2.0
            },
        }
    }
}

/// Values, the largest first, each with its place where it has one.
type Values = Vec<(f64, Option<Placement>)>;

impl Bench<'_> {
    /// Successive points of lines: property E (neighbours 3 m apart) and F (two 300 mm steps).
    pub(super) fn line(&mut self, part: &Part, limit: &Limit) -> PartResult {
        let asked = Asked::of(part, limit);
        let by_lines = self.by_lines(&asked);
        let suspects = self.suspects();
        let on = |without: &[u32]| {
            asked
                .neighbouring
                .then(|| neighbours(self.floor, asked.step_m, without))
        };
        let grid = on(&[]);
        let covered = grid.as_ref().map(|g| self.on_grid(g, asked.step_m));
        let by_grid = by_lines.is_empty() || covered.is_some_and(|judged| judged.enough());
        let by_lines = if by_grid { Vec::new() } else { by_lines };
        let grid = grid.filter(|_| by_grid);
        let judged = match covered {
            Some(covered) if by_grid => covered,
            _ => self.judged_by_lines(&by_lines),
        };
        let to_read = Some(ToRead {
            every_m: Some(asked.step_m),
            at: judged.lacking,
        });
        let list = values(grid.as_ref(), &by_lines);
        // A suspected reading of the grid is none of the lines'.
        let clean = (grid.is_some() && !suspects.is_empty()).then(|| {
            self.values_measured(&asked, &values(on(&suspects).as_ref(), &[]))
                .unwrap_or_default()
        });
        let evidence = self.values_measured(&asked, &list).map(|found| Plain {
            found,
            clean,
            judged,
            to_read,
        });
        let hanging = evidence
            .as_ref()
            .and_then(|e| self.hanging(e, asked.allow_m));
        let outcome = evidence.map_or(Outcome::NotTested(to_read), |e| {
            e.decide(asked.allow_m, 0.0)
        });
        // The table seen limits so many of the values and says nothing of the others: one of them may be anything, and nobody signs for that.
        let others_over = |m: &Measured| m.share_over.is_some_and(|over| over > 0.0);
        let outcome = match outcome {
            Outcome::Within(found) if others_over(&found) => Outcome::InDoubt(found),
            outcome => outcome,
        };
        let reason = match hanging {
            Some(hanging) if outcome.verdict() == Verdict::InDoubt => hanging,
            _ => self.words_of_lines(&asked, &outcome, &judged, list.len()),
        };
        self.result(part, asked.allow_m, judged, outcome, reason)
    }

    /// What sample lines speak for: themselves. Between them lies floor that nobody reads, so that no area is told.
    fn judged_by_lines(&self, by_lines: &[Vec<f64>]) -> Judged {
        Judged {
            lines: by_lines.len(),
            room_m2: self.floor.region().area(),
            ..Judged::default()
        }
    }

    fn values_measured(&self, asked: &Asked, list: &Values) -> Option<Measured> {
        let largest = list.first()?;
        let held = list[((list.len() as f64 * asked.share) as usize).min(list.len() - 1)];
        let over = list.iter().filter(|v| v.0 > asked.allow_m + 1e-9).count();
        let weight = if asked.neighbouring { 2f64 } else { 6f64 }.sqrt();
        Some(Measured {
            gap_m: held.0,
            bound_m: largest.0,
            worst: largest.1,
            places: largest.1.into_iter().collect(),
            doubt_m: if largest.1.is_none() {
                self.line_doubt_m(weight)
            } else {
                self.doubt_m(weight)
            },
            allowed_share: (asked.share > 0.0).then_some(asked.share),
            share_over: Some(over as f64 / list.len() as f64),
            ..Measured::default()
        })
    }

    fn words_of_lines(
        &self,
        asked: &Asked,
        outcome: &Outcome,
        judged: &Judged,
        count: usize,
    ) -> String {
        let (w, step) = (self.words, self.words.span(asked.step_m));
        match outcome.measured() {
            None if asked.neighbouring => format!(
                "A grid of {step} stands {} ({count} pairs of readings are so far apart): read on a grid of {step}.",
                w.only_on(judged),
            ),
            None => format!(
                "No sample lines read every {step} were given; this is not told from a grid."
            ),
            Some(found) => format!(
                "{} of {count} values {} are over {}, {} may be; the largest is {}.{}",
                w.share(found.share_over.unwrap_or(0.0), asked.share),
                if judged.lines > 0 {
                    "along the sample lines"
                } else {
                    "of the grid"
                },
                w.limit(asked.allow_m),
                w.allowed(asked.share),
                w.gap_against(found.bound_m, asked.allow_m),
                match outcome.verdict() {
                    Verdict::InDoubt if found.gap_m + found.doubt_m > asked.allow_m =>
                        w.share_in_doubt(found, asked.share),
                    Verdict::InDoubt => " What the values over it may reach was not seen in the standard: ask whoever specified it whether these are accepted.".to_owned(),
                    _ => String::new(),
                }
            ),
        }
    }

    /// As [`Self::doubt_m`], of readings along the sample lines, which have a step of their own.
    fn line_doubt_m(&self, weight: f64) -> f64 {
        let own = self.undrawn;
        let doubt = ReadingDoubt {
            step_m: self.options.line_step_m.unwrap_or(own.step_m),
            ..own
        };
        2.0 * weight * doubt.reading_m()
    }

    /// What each sample line tells, of those that tell anything.
    fn by_lines(&self, asked: &Asked) -> Vec<Vec<f64>> {
        let values = |line| {
            if asked.neighbouring {
                steps(line, asked.step_m)
            } else {
                bends(line, asked.step_m)
            }
        };
        let mut all: Vec<Vec<f64>> = self.options.lines.iter().map(values).collect();
        all.retain(|v| !v.is_empty());
        all
    }
}

/// Height differences over `run_m` along a sample line, from every reading that has one so far on: where a line starts is
/// chance.
fn steps(line: &SampleLine, run_m: f64) -> Vec<f64> {
    let k = (run_m / line.interval_m).round();
    // 12 in lines serve a 3 m grid to 2 %, as grid readings do.
    if k < 1.0 || (k * line.interval_m - run_m).abs() > 0.02 * run_m {
        return Vec::new();
    }
    line.elevations_m
        .windows(k as usize + 1)
        .map(|h| (h[h.len() - 1] - h[0]).abs())
        .collect()
}

/// Changes of height difference between successive steps of `interval_m`.
fn bends(line: &SampleLine, interval_m: f64) -> Vec<f64> {
    if (line.interval_m - interval_m).abs() > 0.02 * interval_m {
        return Vec::new();
    }
    line.elevations_m
        .windows(3)
        .map(|h| (h[2] - 2.0 * h[1] + h[0]).abs())
        .collect()
}

fn values(grid: Option<&OnGrid>, by_lines: &[Vec<f64>]) -> Values {
    let mut list: Values = grid
        .into_iter()
        .flat_map(|g| &g.placements)
        .map(|p| (p.gap_m, Some(*p)))
        .chain(by_lines.iter().flatten().map(|&v| (v, None)))
        .collect();
    list.sort_by(|a, b| b.0.total_cmp(&a.0));
    list
}
