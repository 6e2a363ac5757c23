//! Parts that do not come down to one certified gap: shares, grids, radii.

use super::check::Part;
use super::coverage::Coverage;
use super::doubt::{difference_doubt_m, gap_doubt_m, leans_on};
use super::edge::Searcher;
use super::judge::{Bench, way};
use super::midpoint::{OnGrid, midpoint, stands_on_grid};
use super::net::Joints;
use super::radius::radius;
use super::sampled::Sampled;
use super::verdict::{EQUAL_M, Evidence, Proof, decide, proven_over};
use super::words::percent;
use super::{Judged, Measured, Outcome, PartResult, Placement, ToRead, Verdict};
use crate::geometry::{Point, PointGrid};
use crate::surface::{Floor, Source};

/// Fewer placements than this tell no share: the pitch is halved.
const FEWEST_PLACEMENTS: usize = 200;
/// ... down to this share of the span.
const FINEST_PITCH: f64 = 1.0 / 64.0;

/// What is known of a part whose values all count alike.
pub(super) struct Plain {
    pub found: Measured,
    /// What stands without the readings that are suspected of a slip, where there are any.
    pub clean: Option<Measured>,
    pub judged: Judged,
    pub to_read: Option<ToRead>,
}

impl Plain {
    fn sound(&self, allow_m: f64) -> bool {
        self.clean.as_ref().is_none_or(|c| proven_over(c, allow_m))
    }

    /// What stands without suspected readings, where it proves the floor out by itself and the worst hangs on one.
    fn proof_without_slips(&self, allow_m: f64) -> Option<Measured> {
        let clean = self.clean.as_ref()?;
        let hangs = clean.gap_m < self.found.gap_m && proven_over(clean, allow_m);
        // A share is of all placements: what it says is no one gap's.
        (hangs && self.found.allowed_share.is_none()).then(|| Measured {
            doubtful_m: Some(self.found.gap_m),
            ..clean.clone()
        })
    }

    pub(super) fn decide(self, allow_m: f64) -> Outcome {
        let proof = Some(Proof {
            sound: self.sound(allow_m),
            found: self
                .proof_without_slips(allow_m)
                .unwrap_or_else(|| self.found.clone()),
        });
        decide(
            Evidence {
                most_m: self.found.gap_m,
                found: self.found,
                hidden: false,
                proof,
                enough: self.judged.enough(),
                to_read: self.to_read,
            },
            allow_m,
        )
    }
}

impl Bench<'_> {
    pub(super) fn result(
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
    pub(super) fn hanging(&self, plain: &Plain, allow_m: f64) -> Option<String> {
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

    /// Placements on a pitch of half the span; on one as much finer as a room takes in which few find a place, since a
    /// handful may all lie the one way.
    fn enough_placements(&self, searcher: &Searcher, span_m: f64) -> Sampled {
        let mut pitch = span_m / 2.0;
        loop {
            let sampled = searcher.sampled(self.floor, span_m, pitch);
            if sampled.placements.len() >= FEWEST_PLACEMENTS || pitch <= span_m * FINEST_PITCH {
                return sampled;
            }
            pitch /= 2.0;
        }
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
        let sampled = self.enough_placements(&searcher, part.span_m);
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
                doubt_m: gap_doubt_m(
                    bench.floor,
                    Some(&held),
                    &bench.options.doubt,
                    &bench.options.ties,
                ),
                allowed_share: Some(share),
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
    pub(super) fn on_grid(&self, grid: &OnGrid, spacing_m: f64) -> (Judged, Option<Point>) {
        self.reads.judged(spacing_m, |t| {
            stands_on_grid(self.reads.spacing_in(t), spacing_m)
                && self
                    .floor
                    .readings_of(t)
                    .is_some_and(|list| list.iter().all(|r| grid.has(r.0)))
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
                doubt_m: gap_doubt_m(
                    self.floor,
                    Some(&worst),
                    &self.options.doubt,
                    &self.options.ties,
                ),
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
        let leans = evidence
            .as_ref()
            .and_then(|e| e.found.worst)
            .map_or_else(Vec::new, |p| leans_on(self.floor, &p));
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
                "{} is the most that any of {count} readings stands off the mean of its neighbours {} to either side; {} is allowed, doubt {}.{}{}",
                w.gap(found.gap_m),
                w.span(spacing),
                w.limit(allow),
                w.gap(found.doubt_m),
                found
                    .doubtful_m
                    .map_or_else(String::new, |m| w.doubtful(m, &self.suspects_among(&leans))),
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
            return self.radius_by_readings(part, allow, &cover);
        }
        let Some(found) = self.radius_on(part.span_m, None) else {
            let outcome = Outcome::NotTested(Some(cover.to_read()));
            return self.result(part, allow, cover.judged, outcome, w.untested(&cover));
        };
        let mut telling = if cover.all_coarse() || !proven_over(&found, allow) {
            Some(found.clone())
        } else {
            self.radius_on(part.span_m, Some(cover.coarse_mask()))
        };
        let mut larger = None;
        if let Some(told) = &telling
            && let Some(steady) = self.steadier_radius(part.span_m, allow, &cover, told)
        {
            larger = Some(told.gap_m).filter(|m| *m > steady.gap_m);
            telling = Some(steady);
        }
        let suspected = !self.options.suspects.is_empty()
            && telling.as_ref().is_some_and(|t| proven_over(t, allow));
        let mut sound = true;
        let mut slips = Vec::new();
        if suspected {
            let clean = self
                .radius_on(
                    part.span_m,
                    Some(self.without_suspects(cover.coarse_mask())),
                )
                .filter(|c| proven_over(c, allow));
            sound = clean.is_some();
            let told = telling.as_ref().map_or(0.0, |t| t.gap_m);
            if let Some(clean) = clean.filter(|c| c.gap_m < told) {
                larger = Some(told.max(larger.unwrap_or(0.0)));
                slips = self.suspects_among(&[]);
                telling = Some(clean);
            }
        }
        let mut outcome = decide(
            Evidence {
                most_m: found.bound_m,
                proof: telling.map(|found| Proof { found, sound }),
                hidden: self
                    .shaky
                    .as_ref()
                    .is_some_and(|s| found.bound_m + s.doubt_m > allow + EQUAL_M),
                found,
                enough: cover.enough(),
                to_read: Some(cover.to_read()),
            },
            allow,
        );
        if let Outcome::Out(found) = &mut outcome {
            found.doubtful_m = larger;
        }
        let told = outcome.measured().map_or_else(String::new, |found| {
            let larger = found.doubtful_m.map_or_else(String::new, |m| w.doubtful(m, &slips));
            format!(
                "Highest minus lowest within {} of any point is {}, proven to {}; {} is allowed, doubt {}.{larger}",
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
}

impl Bench<'_> {
    /// Highest minus lowest within a radius on the marked triangles, or on all; `None` where none is marked.
    fn radius_on(&self, span_m: f64, mask: Option<Vec<bool>>) -> Option<Measured> {
        let part = mask.map(|m| part_of_floor(self.floor, &m));
        let floor = match &part {
            None => self.floor,
            Some(part) => part.as_ref()?,
        };
        let r = radius(
            floor,
            span_m,
            self.options.ground,
            self.options.tolerance_m,
            self.options.work_limit,
        );
        Some(Measured {
            gap_m: r.gap_m(),
            bound_m: r.bound_m,
            worst: r.worst,
            places: r.worst.into_iter().collect(),
            // Mostly two readings, each with its full weight.
            doubt_m: r.worst.map_or_else(
                || self.doubt_m(2f64.sqrt()),
                |worst| {
                    difference_doubt_m(
                        self.floor,
                        (worst.from, worst.to),
                        &self.options.doubt,
                        &self.options.ties,
                    )
                },
            ),
            ..Measured::default()
        })
    }

    /// What is out within a radius on the floor that is known best, where what was found is known less well: the worst may lie
    /// on floor that is carried out, and hide another that is out beyond question.
    fn steadier_radius(
        &self,
        span_m: f64,
        allow: f64,
        cover: &Coverage,
        told: &Measured,
    ) -> Option<Measured> {
        let shaky = self.shaky.as_ref().filter(|_| told.gap_m > allow)?;
        let steady = cover
            .coarse_mask()
            .iter()
            .zip(&shaky.carried)
            .map(|(usable, carried)| *usable && !carried)
            .collect();
        // Of two that are proven the one that is known better: which of equal ones a search meets first is chance.
        self.radius_on(span_m, Some(steady))
            .filter(|s| s.doubt_m < told.doubt_m && proven_over(s, allow))
    }

    /// A radius that readings stand too far apart for: what lies between them is not known, but two of them within it that differ
    /// by too much prove the floor out.
    fn radius_by_readings(&self, part: &Part, allow: f64, cover: &Coverage) -> PartResult {
        let w = self.words;
        let proof = self.farthest_apart(part.span_m).map(|worst| Measured {
            gap_m: worst.gap_m,
            bound_m: worst.gap_m,
            worst: Some(worst),
            places: vec![worst],
            doubt_m: difference_doubt_m(
                self.floor,
                (worst.from, worst.to),
                &self.options.doubt,
                &self.options.ties,
            ),
            ..Measured::default()
        });
        let (outcome, reason) = match proof.filter(|p| proven_over(p, allow)) {
            Some(found) => {
                let reason = w.readings_differ(&found, allow, cover);
                (Outcome::Out(found), reason)
            }
            None => (
                Outcome::NotTested(Some(cover.to_read())),
                w.untested_within(cover),
            ),
        };
        self.result(part, allow, cover.judged, outcome, reason)
    }

    /// The two readings within a distance that differ most in height, slips that are suspected left out.
    fn farthest_apart(&self, within_m: f64) -> Option<Placement> {
        let suspects = self.suspects();
        let marks: Vec<(Point, f64)> = self
            .floor
            .vertices()
            .iter()
            .filter(|v| matches!(v.source, Source::Reading(r) if !suspects.contains(&r)))
            .map(|v| (v.at, v.z))
            .collect();
        let grid = PointGrid::new(marks.iter().map(|m| m.0).collect());
        let reach = Point::new(within_m, within_m);
        let mut most: Option<Placement> = None;
        for &(at, z) in &marks {
            for j in grid.in_box(at - reach, at + reach) {
                let (other, height) = marks[j as usize];
                let gap_m = z - height;
                if at.distance(other) <= within_m && gap_m > most.map_or(0.0, |m| m.gap_m) {
                    most = Some(Placement {
                        from: other,
                        to: at,
                        at,
                        gap_m,
                    });
                }
            }
        }
        most
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
