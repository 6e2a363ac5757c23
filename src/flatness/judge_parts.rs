//! Parts that do not come down to one certified gap: shares and grids.

use super::check::Part;
use super::coverage::Coverage;
use super::doubt::{gap_doubt_m, leans_on};
use super::edge::Searcher;
use super::judge::{Bench, way};
use super::midpoint::{OnGrid, midpoint, stands_on_grid};
use super::net::Joints;
use super::sampled::Sampled;
use super::verdict::{Evidence, Proof, decide, proven_over};
use super::words::ROUNDED;
use super::{Judged, Measured, Outcome, PartResult, Placement, ToRead, Verdict};

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

    pub(super) fn decide(self, allow_m: f64, rounding_m: f64) -> Outcome {
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
                chance: None,
                hidden: false,
                proof,
                enough: self.judged.enough(),
                to_read: self.to_read,
                rounding_m,
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
        mut reason: String,
    ) -> PartResult {
        if let Outcome::InDoubt(found) = &outcome
            && self.words.only_rounded(found, allow_m, self.rounding_m)
        {
            reason.push_str(ROUNDED);
        }
        let left_open = self.words.left_open(&judged, None);
        PartResult {
            left_open,
            procedure: part.procedure,
            span_m: part.span_m,
            allowance_m: allow_m,
            may_be_over: None,
            judged,
            outcome,
            hand: None,
            reason,
        }
    }

    /// A sentence about a value over the allowance that hangs on suspected readings; `None` where none does.
    pub(super) fn hanging(&self, plain: &Plain, allow_m: f64) -> Option<String> {
        let found = &plain.found;
        if plain.sound(allow_m) || !proven_over(found, allow_m) {
            return None;
        }
        // A share hangs on all that are over, not on the largest alone.
        let leans = found
            .worst
            .filter(|_| found.allowed_share.is_none())
            .map_or_else(Vec::new, |p| leans_on(self.floor, &p));
        let (gap, allow) = (
            self.words.gap_against(found.gap_m, allow_m),
            self.words.limit(allow_m),
        );
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
        let way = way(part.procedure, joints);
        let cover = self.reads.at(part.span_m);
        let searcher = self.searcher(way);
        let sampled = self.enough_placements(&searcher, part.span_m);
        let w = self.words;
        if sampled.placements.is_empty() {
            let why = format!(
                "A {} edge finds no room in any of the four directions that a share is sampled in: a share of its placements cannot be told.",
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
                    &bench.undrawn,
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
        found.bound_m = self.worst(way, part.span_m).bound_m;
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
            plain.decide(limit, self.rounding_m)
        } else {
            Outcome::NotTested(Some(cover.to_read()))
        };
        let mut told = format!(
            "{} of {count} placements are over {}, {} may be; sampled every {} in four directions, whole edges only, each resting on its high points.",
            w.share(over, share),
            w.limit(limit),
            w.allowed(share),
            w.span(sampled.pitch_m)
        );
        if let Outcome::InDoubt(found) = &outcome {
            told.push_str(&w.share_in_doubt(found, share));
        }
        let mut reason = self.reason(&outcome, hanging, told, &cover);
        if outcome.verdict() != Verdict::NotTested {
            reason.push_str(&w.step_aside(self.step_left_aside(joints)));
        }
        self.result(part, limit, cover.judged, outcome, reason)
    }

    /// The sentence beside a part that was measured, or what would have to be read.
    pub(super) fn reason(
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
    pub(super) fn on_grid(&self, grid: &OnGrid, spacing_m: f64) -> Judged {
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
        let judged = self.on_grid(&grid, spacing);
        let w = self.words;
        let threes = |g: &OnGrid| {
            g.worst().map(|worst| Measured {
                gap_m: worst.gap_m,
                bound_m: worst.gap_m,
                worst: Some(worst),
                places: vec![worst],
                doubt_m: gap_doubt_m(self.floor, Some(&worst), &self.undrawn, &self.options.ties),
                ..Measured::default()
            })
        };
        let suspects = self.suspects();
        let to_read = Some(ToRead {
            every_m: Some(spacing),
            at: judged.lacking,
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
        let outcome = evidence.map_or(Outcome::NotTested(to_read), |e| {
            e.decide(allow, self.rounding_m)
        });
        let count = grid.placements.len();
        let reason = match (outcome.measured(), hanging) {
            (None, _) => format!(
                "A grid of {} stands {} ({count} threes of readings stand in line so far apart): read on a grid of {}.",
                w.span(spacing),
                w.only_on(&judged),
                w.span(spacing)
            ),
            (Some(_), Some(hanging)) if outcome.verdict() == Verdict::InDoubt => hanging,
            (Some(found), _) => format!(
                "{} is the most that a reading stands off the mean of its neighbours {} to either side, of {count} such threes; {} is allowed, doubt {}.{}{}",
                w.gap_against(found.gap_m, allow),
                w.span(spacing),
                w.limit(allow),
                w.doubt(found.doubt_m),
                found
                    .doubtful_m
                    .map_or_else(String::new, |m| w.doubtful(m, &self.suspects_among(&leans))),
                w.aside(&judged)
            ),
        };
        self.result(part, allow, judged, outcome, reason)
    }
}
