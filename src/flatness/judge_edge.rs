//! Parts that a straight edge is laid for, against one allowance.

use super::check::Part;
use super::coverage::Coverage;
use super::doubt::leans_on;
use super::judge::Bench;
use super::laying::{Evident, Found, Laying};
use super::net::Joints;
use super::verdict::{EQUAL_M, Evidence, Proof, decide, proven_over};
use super::words::Beside;
use super::{
    EdgeResult, Lengths, Measured, OtherWay, Outcome, PartResult, Placement, Procedure, Verdict,
};

/// Gaps nearer to one another than this are told as one, metres.
const TOLD_M: f64 = 1e-4;

/// Places after the worst of a part that show less than this share of its limit are not worth laying an edge.
const LEAST_SHARE: f64 = 0.5;

/// What was found for a laying: its outcome, and the search that it rests on.
pub(super) struct Laid {
    pub outcome: Outcome,
    /// The whole floor.
    pub whole: EdgeResult,
    /// Where its gap was found: the whole floor, or the part read closely enough to prove it out.
    told: Found,
    /// Where more of its places may be listed from: all that is read closely enough, where its gap was found on a part of it.
    wider: Option<Found>,
    /// What was found where readings stand close enough to prove anything.
    proof: Option<Measured>,
    /// Suspected readings that the gap hangs on.
    pub hangs: Vec<String>,
    /// Whether floor that is known less well may hide a gap over the allowance.
    hidden: bool,
}

impl Bench<'_> {
    /// Whether a gap that touches floor which is known less well may be over the allowance, its own doubt added.
    fn hidden(&mut self, laying: &Laying, whole: &EdgeResult) -> bool {
        let Some(shaky) = &self.shaky else {
            return false;
        };
        let most = laying.allow_m - laying.factor() * shaky.doubt_m;
        // Where that doubt alone is over the allowance, floor that looks flat may hide a gap as well as any other.
        if most <= 0.0 {
            return true;
        }
        let over = |r: &EdgeResult| r.bound_m * laying.factor() > most + EQUAL_M;
        if !over(whole) {
            return false;
        }
        let usable = &self.reads.usable;
        let near = shaky.near(self.floor, usable, laying.span_m);
        if near == *usable {
            return true;
        }
        over(&self.over_on(laying, &near, most).1)
    }

    /// The outcome of a laying whose worst on the whole floor is known.
    pub(super) fn lay(&mut self, laying: &Laying, whole: EdgeResult, cover: &Coverage) -> Laid {
        let Evident {
            mut telling,
            wider,
            mut doubtful_m,
            mut sound,
            mut hangs,
        } = self.evident(laying, &whole, cover);
        let mut by_chance = self.chance_of(laying, &whole, cover);
        // What is out already, by the chance or, where none is told, beyond its doubt, needs no harder proof of less.
        let is_out = match &by_chance {
            Some(c) => c.chance.is_out() && !c.suspected,
            None => telling.as_ref().is_some_and(|(_, r)| {
                sound && proven_over(&self.measured(laying, r), laying.allow_m)
            }),
        };
        if !cover.enough()
            && !is_out
            && let Some(rows) = self.out_in_rows(laying)
        {
            (telling, sound, hangs, doubtful_m) = (Some(rows), true, Vec::new(), None);
            by_chance = None;
        }
        if by_chance.as_ref().is_some_and(|c| c.suspected) && sound {
            sound = false;
            let leans = whole
                .worst
                .map_or_else(Vec::new, |w| leans_on(self.floor, &w));
            hangs = self.suspects_among(&leans);
        }
        let (chance, likely, helps) = by_chance.map_or((None, None, Vec::new()), |c| {
            (Some(c.chance), c.likely, c.helps)
        });
        let told = |r: &EdgeResult| Measured {
            chance,
            likely,
            helps: helps.clone(),
            ..self.measured(laying, r)
        };
        let proof = telling.as_ref().map(|(_, r)| Proof {
            found: told(r),
            sound,
        });
        let found = told(&whole);
        // Of a floor that is out or not tested nothing more needs to be known.
        let hidden = chance.is_none()
            && !laying.only_out
            && cover.enough()
            && !proof
                .as_ref()
                .is_some_and(|p| p.sound && proven_over(&p.found, laying.allow_m))
            && self.hidden(laying, &whole);
        let mut outcome = decide(
            Evidence {
                most_m: found.bound_m,
                found,
                chance,
                hidden,
                proof: proof.clone(),
                enough: cover.enough(),
                to_read: Some(cover.to_read()),
                rounding_m: self.rounding_m,
            },
            laying.allow_m,
        );
        if let Outcome::Out(measured) = &mut outcome {
            let largest = whole.gap_m() * laying.factor();
            let larger = doubtful_m.map_or(largest, |m| m.max(largest));
            measured.doubtful_m = Some(larger).filter(|m| *m > measured.gap_m + TOLD_M);
        }
        let told = match telling {
            Some(part) if outcome.verdict() == Verdict::Out => part,
            _ => (self.searcher(laying.way()), whole.clone()),
        };
        Laid {
            outcome,
            whole,
            told,
            wider,
            proof: proof.map(|p| p.found),
            hangs,
            hidden,
        }
    }

    /// Resting, balanced, held down, on end blocks or on a ridge, against one allowance.
    pub(super) fn edge(&mut self, joints: Joints, part: &Part, allow_m: f64) -> PartResult {
        let cover = self.reads.at(part.span_m);
        let laying = Laying {
            procedure: part.procedure,
            joints,
            span_m: part.span_m,
            allow_m,
            only_out: false,
        };
        let whole = self.worst_against(&laying);
        if part.procedure.lengths() == Lengths::Whole && !whole.full_span_laid {
            let why = self.words.no_room_on_blocks(part.span_m);
            return self.result(part, allow_m, cover.judged, Outcome::NotTested(None), why);
        }
        let mut laid = self.lay(&laying, whole, &cover);
        let other = self.other_way(&laying, &cover, &laid);
        let places = self.places(&laying, &laid);
        if let Some(found) = laid.outcome.measured_mut() {
            found.places = places;
            found.other = other;
        }
        let reason = self.words.edge(
            &laid.outcome,
            allow_m,
            Beside {
                cover: &cover,
                proof: laid.proof.as_ref(),
                hangs: &laid.hangs,
                hidden_m: self
                    .shaky
                    .as_ref()
                    .filter(|_| laid.hidden)
                    .map(|s| s.doubt_m * laying.factor()),
                stops: self.step_left_aside(laying.joints),
                rounding_m: self.rounding_m,
                complete: laid.whole.complete,
                laid: laid.whole.full_span_laid,
            },
        );
        PartResult {
            left_open: self.words.left_open(&cover.judged, Some(&cover)),
            procedure: part.procedure,
            span_m: part.span_m,
            allowance_m: allow_m,
            may_be_over: None,
            judged: cover.judged,
            outcome: laid.outcome,
            hand: None,
            reason,
        }
    }

    /// The worst places, with gaps as the procedure reads them; none for a part that was not tested.
    fn places(&self, laying: &Laying, laid: &Laid) -> Vec<Placement> {
        if laid.outcome.measured().is_none() {
            return Vec::new();
        }
        let most = self.options.places.max(1);
        let (searcher, result) = &laid.told;
        let mut places = searcher.places(result, most);
        if let Some((searcher, result)) = &laid.wider {
            searcher.further(&mut places, result.span_m, most);
        }
        // A deeper one is known too doubtfully to be the gap that is told, and is told as such.
        if let Some(told_m) = places.first().map(|p| p.gap_m) {
            places.retain(|p| p.gap_m <= told_m);
        }
        for p in &mut places {
            p.gap_m *= laying.factor();
        }
        let least = LEAST_SHARE * laying.allow_m;
        let worth = places
            .iter()
            .skip(1)
            .take_while(|p| p.gap_m >= least)
            .count();
        places.truncate(1 + worth);
        places
    }

    /// The same edge used the other way, where that was tested too and gives another word.
    fn other_way(&mut self, laying: &Laying, cover: &Coverage, laid: &Laid) -> Option<OtherWay> {
        let verdict = laid.outcome.verdict();
        let procedure = match laying.procedure {
            Procedure::Resting => Procedure::Balanced,
            Procedure::Balanced | Procedure::HeldDown => Procedure::Resting,
            _ => return None,
        };
        if !self.options.both_ways || verdict == Verdict::NotTested {
            return None;
        }
        let other = Laying {
            procedure,
            ..*laying
        };
        let whole = self.worst_against(&other);
        // Draws take as long again: only where the readings themselves speak for another word.
        let over = |way: &Laying, r: &EdgeResult| r.gap_m() * way.factor() > way.allow_m + EQUAL_M;
        if over(laying, &laid.whole) == over(&other, &whole) && self.may_be().is_some() {
            return None;
        }
        let outcome = self.lay(&other, whole, cover).outcome;
        let found = outcome.measured()?;
        (outcome.verdict() != verdict).then(|| OtherWay {
            procedure,
            gap_m: found.gap_m,
            bound_m: found.bound_m,
            worst: found.worst,
            verdict: outcome.verdict(),
        })
    }
}
