//! Parts that do not come down to one certified gap: shares, grids, radii, lines.

use super::check::{Limit, Part};
use super::coverage::{Coverage, triangle_spacing};
use super::doubt::{gap_doubt_m, leans_on};
use super::judge::{Bench, way};
use super::midpoint::{OnGrid, midpoint, neighbours, stands_on_grid};
use super::net::Joints;
use super::radius::radius;
use super::verdict::{Evidence, Proof, decide, proven_over};
use super::words::percent;
use super::{EdgeResult, Judged, Measured, Outcome, PartResult, Placement, ToRead, Verdict};
use crate::geometry::Point;
use crate::surface::{Floor, Source};

/// What is known of a part whose values all count alike.
struct Plain {
    found: Measured,
    /// What stands without the readings that are suspected of a slip, where there are any.
    clean: Option<Measured>,
    judged: Judged,
    to_read: Option<ToRead>,
}

impl Plain {
    fn sound(&self, allow_m: f64) -> bool {
        self.clean.as_ref().is_none_or(|c| proven_over(c, allow_m))
    }

    fn decide(self, allow_m: f64) -> Outcome {
        let proof = Some(Proof {
            sound: self.sound(allow_m),
            found: self.found.clone(),
        });
        decide(
            Evidence {
                most_m: self.found.gap_m,
                found: self.found,
                proof,
                judged: self.judged,
                to_read: self.to_read,
            },
            allow_m,
        )
    }
}

impl Bench<'_> {
    fn result(
        &self,
        part: &Part,
        allow_m: f64,
        judged: Judged,
        outcome: Outcome,
        reason: String,
    ) -> PartResult {
        PartResult {
            procedure: part.procedure,
            span_m: part.span_m,
            allowance_m: allow_m,
            judged,
            outcome,
            reason,
        }
    }

    /// A sentence about a value over the allowance that hangs on suspected readings; `None` where none does.
    fn hanging(&self, plain: &Plain, allow_m: f64) -> Option<String> {
        let found = &plain.found;
        if plain.sound(allow_m) || !proven_over(found, allow_m) {
            return None;
        }
        let leans = found
            .worst
            .map_or_else(Vec::new, |p| leans_on(self.floor, &p));
        let (gap, allow) = (self.words.gap(found.gap_m), self.words.limit(allow_m));
        Some(
            self.words
                .hanging(&gap, &allow, &self.suspects_among(&leans)),
        )
    }

    /// The share of regularly sampled placements over a figure.
    pub(super) fn share(
        &mut self,
        joints: Joints,
        part: &Part,
        limit: f64,
        share: f64,
    ) -> PartResult {
        let departure = way(part.procedure);
        let cover = self.reads.at(part.span_m);
        let searcher = self.searcher(departure, joints);
        let sampled = searcher.sampled(self.floor, part.span_m, part.span_m / 2.0);
        let w = self.words;
        if sampled.placements.is_empty() {
            let why = format!(
                "A {} edge finds no room on this floor: a share of its placements cannot be told.",
                w.span(part.span_m)
            );
            return self.result(part, limit, cover.judged, Outcome::NotTested(None), why);
        }
        let suspects = self.suspects();
        let of = |bench: &Self, mut list: Vec<Placement>| {
            list.sort_by(|a, b| b.gap_m.total_cmp(&a.gap_m));
            // The gap that the allowed share may exceed: this one is held against the figure.
            let held = *list.get(((list.len() as f64 * share) as usize).min(list.len() - 1))?;
            let over = list.iter().filter(|p| p.gap_m > limit + 1e-12).count();
            Some(Measured {
                gap_m: held.gap_m,
                worst: list.first().copied(),
                places: list.first().copied().into_iter().collect(),
                doubt_m: gap_doubt_m(bench.floor, Some(&held), &bench.options.doubt),
                share_over: Some(over as f64 / list.len() as f64),
                ..Measured::default()
            })
        };
        let count = sampled.placements.len();
        let clean = (!suspects.is_empty()).then(|| {
            let leans =
                |p: &Placement| leans_on(self.floor, p).iter().any(|r| suspects.contains(r));
            let list: Vec<Placement> = sampled
                .placements
                .iter()
                .copied()
                .filter(|p| !leans(p))
                .collect();
            if list.is_empty() {
                None
            } else {
                of(self, list)
            }
            .unwrap_or_default()
        });
        let mut found = of(self, sampled.placements).unwrap_or_default();
        found.bound_m = self.worst(departure, joints, part.span_m).bound_m;
        let over = found.share_over.unwrap_or(0.0);
        let plain = Plain {
            found,
            clean,
            judged: cover.judged,
            to_read: Some(cover.to_read()),
        };
        let hanging = self.hanging(&plain, limit);
        // A share is of all placements, so that a part of the floor proves nothing.
        let outcome = if cover.all_coarse() {
            plain.decide(limit)
        } else {
            Outcome::NotTested(Some(cover.to_read()))
        };
        let told = format!(
            "{} of {count} placements are over {}, {} may be; sampled every {} in four directions, whole edges only, each resting on its high points.",
            percent(over),
            w.limit(limit),
            percent(share),
            w.span(sampled.pitch_m)
        );
        let reason = self.reason(&outcome, hanging, told, &cover);
        self.result(part, limit, cover.judged, outcome, reason)
    }

    /// The sentence beside a part that was measured, or what would have to be read.
    fn reason(
        &self,
        outcome: &Outcome,
        hanging: Option<String>,
        told: String,
        cover: &Coverage,
    ) -> String {
        match (outcome.verdict(), hanging) {
            (Verdict::NotTested, _) => self.words.untested(cover),
            (Verdict::InDoubt, Some(hanging)) => hanging,
            (_, _) if cover.enough() => told + &self.words.aside(&cover.judged),
            (_, _) => format!("{told} {}", self.words.untested(cover)),
        }
    }

    /// How much of the room a grid of `spacing_m` carries: triangles as close as its own, whose corners all take part.
    fn on_grid(&self, grid: &OnGrid, spacing_m: f64) -> (Judged, Option<Point>) {
        self.reads.judged(|t| {
            stands_on_grid(triangle_spacing(self.floor, t), spacing_m)
                && self
                    .floor
                    .corners(t)
                    .iter()
                    .all(|v| matches!(v.source, Source::Reading(r) if grid.has(r)))
        })
    }

    /// Readings against the mean of their neighbours.
    pub(super) fn midpoint(&mut self, part: &Part, allow: f64) -> PartResult {
        let spacing = part.span_m / 2.0;
        let grid = midpoint(self.floor, spacing, &[]);
        let (judged, at) = self.on_grid(&grid, spacing);
        let w = self.words;
        let threes = |g: &OnGrid| {
            g.worst().map(|worst| Measured {
                gap_m: worst.gap_m,
                bound_m: worst.gap_m,
                worst: Some(worst),
                places: vec![worst],
                doubt_m: self.doubt_m(1.5f64.sqrt()),
                ..Measured::default()
            })
        };
        let suspects = self.suspects();
        let to_read = Some(ToRead {
            every_m: spacing,
            at,
        });
        let clean = (!suspects.is_empty())
            .then(|| threes(&midpoint(self.floor, spacing, &suspects)).unwrap_or_default());
        let evidence = threes(&grid).map(|found| Plain {
            found,
            clean,
            judged,
            to_read,
        });
        let hanging = evidence.as_ref().and_then(|e| self.hanging(e, allow));
        let outcome = evidence.map_or(Outcome::NotTested(to_read), |e| e.decide(allow));
        let count = grid.placements.len();
        let reason = match (outcome.measured(), hanging) {
            (None, _) => format!(
                "A grid of {} stands {} ({count} readings have two neighbours so far to either side): read on a grid of {}.",
                w.span(spacing),
                w.only_on(&judged),
                w.span(spacing)
            ),
            (Some(_), Some(hanging)) if outcome.verdict() == Verdict::InDoubt => hanging,
            (Some(found), _) => format!(
                "{} is the most that any of {count} readings stands off the mean of its neighbours {} to either side; {} is allowed, doubt {}.{}",
                w.gap(found.gap_m),
                w.span(spacing),
                w.limit(allow),
                w.gap(found.doubt_m),
                w.aside(&judged)
            ),
        };
        self.result(part, allow, judged, outcome, reason)
    }

    /// Highest minus lowest within a radius.
    pub(super) fn radius(&mut self, part: &Part, allow: f64) -> PartResult {
        let cover = self.reads.at(part.span_m);
        let w = self.words;
        if cover.coarse_m2 <= 0.0 {
            let why = w.untested(&cover);
            let outcome = Outcome::NotTested(Some(cover.to_read()));
            return self.result(part, allow, cover.judged, outcome, why);
        }
        let of = |bench: &Self, r: &EdgeResult| Measured {
            gap_m: r.gap_m(),
            bound_m: r.bound_m,
            worst: r.worst,
            places: r.worst.into_iter().collect(),
            // Two readings, each with its full weight.
            doubt_m: bench.doubt_m(2f64.sqrt()),
            ..Measured::default()
        };
        let seek = |bench: &Self, mask: Option<Vec<bool>>| {
            let part_of = mask.map(|m| part_of_floor(bench.floor, &m));
            let floor = match &part_of {
                None => Some(bench.floor),
                Some(part) => part.as_ref(),
            };
            floor.map(|floor| {
                radius(
                    floor,
                    part.span_m,
                    bench.options.ground,
                    bench.options.tolerance_m,
                    bench.options.work_limit,
                )
            })
        };
        let whole = seek(self, None);
        let Some(found) = whole.as_ref().map(|r| of(self, r)) else {
            let outcome = Outcome::NotTested(Some(cover.to_read()));
            return self.result(part, allow, cover.judged, outcome, w.untested(&cover));
        };
        let telling = if cover.all_coarse() || !proven_over(&found, allow) {
            Some(found.clone())
        } else {
            seek(self, Some(cover.coarse_mask())).map(|r| of(self, &r))
        };
        let suspected = !self.options.suspects.is_empty()
            && telling.as_ref().is_some_and(|t| proven_over(t, allow));
        let sound = !suspected
            || seek(self, Some(self.without_suspects(cover.coarse_mask())))
                .is_some_and(|r| proven_over(&of(self, &r), allow));
        let outcome = decide(
            Evidence {
                most_m: found.bound_m,
                proof: telling.map(|found| Proof { found, sound }),
                found,
                judged: cover.judged,
                to_read: Some(cover.to_read()),
            },
            allow,
        );
        let told = outcome.measured().map_or_else(String::new, |found| {
            format!(
                "Highest minus lowest within {} of any point is {}, proven to {}; {} is allowed, doubt {}.",
                w.span(part.span_m),
                w.gap(found.gap_m),
                w.bound(found.bound_m),
                w.limit(allow),
                w.gap(found.doubt_m)
            )
        });
        let hanging = outcome.measured().filter(|_| !sound).map(|found| {
            let names = self.suspects_among(&[]);
            w.hanging(&w.gap(found.gap_m), &w.limit(allow), &names)
        });
        let reason = self.reason(&outcome, hanging, told, &cover);
        self.result(part, allow, cover.judged, outcome, reason)
    }

    /// Successive points of lines: property E (neighbours 3 m apart) and F (two 300 mm steps).
    pub(super) fn line(&mut self, part: &Part, limit: &Limit) -> PartResult {
        let (allow, share) = match limit {
            Limit::Share { limit_m, share } => (*limit_m, *share),
            Limit::Most(a) => (*a, 0.0),
            Limit::Curve(_) => (0.0, 0.0),
        };
        let w = self.words;
        let neighbouring = part.span_m > 1.0;
        let step = if neighbouring {
            part.span_m
        } else {
            part.span_m / 2.0
        };
        let by_lines = if neighbouring {
            self.line_steps(step)
        } else {
            self.line_bends(step)
        };
        let suspects = self.suspects();
        let on = |without: &[u32]| neighbouring.then(|| neighbours(self.floor, step, without));
        let grid = on(&[]);
        let values = |grid: Option<&OnGrid>| {
            let mut list: Vec<(f64, Option<Placement>)> = grid
                .into_iter()
                .flat_map(|g| &g.placements)
                .map(|p| (p.gap_m, Some(*p)))
                .chain(by_lines.iter().map(|&v| (v, None)))
                .collect();
            list.sort_by(|a, b| b.0.total_cmp(&a.0));
            list
        };
        let of = |list: &[(f64, Option<Placement>)]| {
            let held =
                list.get(((list.len() as f64 * share) as usize).min(list.len().max(1) - 1))?;
            let over = list.iter().filter(|v| v.0 > allow + 1e-9).count();
            Some(Measured {
                gap_m: held.0,
                bound_m: list[0].0,
                worst: list[0].1,
                places: list[0].1.into_iter().collect(),
                doubt_m: self.doubt_m(if neighbouring { 2f64 } else { 6f64 }.sqrt()),
                share_over: Some(over as f64 / list.len() as f64),
                ..Measured::default()
            })
        };
        // Sample lines are a plan of their own; a grid speaks for the floor that it covers.
        let (judged, at) = match &grid {
            Some(grid) if by_lines.is_empty() => self.on_grid(grid, step),
            _ => {
                let room_m2 = self.floor.region().area();
                let judged = Judged {
                    judged_m2: if by_lines.is_empty() { 0.0 } else { room_m2 },
                    room_m2,
                    ..Judged::default()
                };
                (judged, None)
            }
        };
        let to_read = Some(ToRead { every_m: step, at });
        let list = values(grid.as_ref());
        let clean =
            (!suspects.is_empty()).then(|| of(&values(on(&suspects).as_ref())).unwrap_or_default());
        let evidence = of(&list).map(|found| Plain {
            found,
            clean,
            judged,
            to_read,
        });
        let hanging = evidence.as_ref().and_then(|e| self.hanging(e, allow));
        let outcome = evidence.map_or(Outcome::NotTested(to_read), |e| e.decide(allow));
        let reason = match (outcome.measured(), hanging) {
            (None, _) if neighbouring => format!(
                "A grid of {} stands {} ({} pairs of readings are so far apart): read on a grid of {}.",
                w.span(step),
                w.only_on(&judged),
                list.len(),
                w.span(step)
            ),
            (None, _) => format!(
                "No sample lines read every {} were given; this is not told from a grid.",
                w.span(step)
            ),
            (Some(_), Some(hanging)) if outcome.verdict() == Verdict::InDoubt => hanging,
            (Some(found), _) => format!(
                "{} of {} values are over {}, {} may be; the largest is {}.",
                percent(found.share_over.unwrap_or(0.0)),
                list.len(),
                w.limit(allow),
                percent(share),
                w.gap(found.bound_m)
            ),
        };
        self.result(part, allow, judged, outcome, reason)
    }

    /// Height differences over `run_m` along the sample lines.
    fn line_steps(&self, run_m: f64) -> Vec<f64> {
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
                    .map(|h| (h[h.len() - 1] - h[0]).abs()),
            );
        }
        out
    }

    /// Changes of height difference between successive steps of `interval_m`.
    fn line_bends(&self, interval_m: f64) -> Vec<f64> {
        self.options
            .lines
            .iter()
            .filter(|l| (l.interval_m - interval_m).abs() <= 0.02 * interval_m)
            .flat_map(|l| {
                l.elevations_m
                    .windows(3)
                    .map(|h| (h[2] - 2.0 * h[1] + h[0]).abs())
                    .collect::<Vec<_>>()
            })
            .collect()
    }
}

/// The triangles that are marked, as a floor of their own; `None` where there are none. Joints are walls in it.
fn part_of_floor(floor: &Floor, mask: &[bool]) -> Option<Floor> {
    let triangles: Vec<[u32; 3]> = floor
        .triangles()
        .iter()
        .zip(mask)
        .filter(|(_, kept)| **kept)
        .map(|(t, _)| *t)
        .collect();
    if triangles.is_empty() {
        return None;
    }
    Floor::from_parts(floor.vertices().to_vec(), triangles, floor.region().clone()).ok()
}
