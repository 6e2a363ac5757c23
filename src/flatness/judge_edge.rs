//! Parts that a straight edge is laid for, against one allowance.

use super::chance::{DECIDING_WORK, DRAWN_EVEN_M, Decided, over_but_for_steps};
use super::check::Part;
use super::coverage::Coverage;
use super::doubt::{gap_doubt_m, leans_on};
use super::edge::{SearchOptions, Searcher};
use super::judge::{Bench, way};
use super::levers::{Helps, helps};
use super::likely::{Likely, LikelyGap};
use super::net::Joints;
use super::verdict::{EQUAL_M, Evidence, Proof, decide, proven_over};
use super::words::Beside;
use super::{
    Chance, Departure, EdgeResult, Measured, OtherWay, Outcome, PartResult, Placement, Procedure,
    Verdict,
};
use crate::surface::Floor;
use std::sync::Arc;

/// A limit between a gap and its bound is decided to this, metres: half of what counts as equal, and
/// less than a rule can be read to by far.
const DECIDED_M: f64 = 0.9e-6;
/// Gaps nearer to one another than this are told as one, metres.
const TOLD_M: f64 = 1e-4;

/// Where the worst gap proves nothing, so many of the next are looked at.
const DEEP_PLACES: usize = 200;

/// Places after the worst of a part that show less than this share of its limit are not worth laying an edge.
const LEAST_SHARE: f64 = 0.5;

/// Places named as worth reading for a word that is in doubt, and placements that such a word is taken to hang on.
const SPOTS: usize = 3;
const NEAR_LIMIT: usize = 8;

/// The triangles of the finer mesh for those of the floor: four for one.
fn on_finer(mask: &[bool]) -> Vec<bool> {
    mask.iter().flat_map(|&m| [m; 4]).collect()
}

/// What floors that may be say of a laying.
struct ByChance {
    chance: Chance,
    /// What the worst gap is likely to be.
    likely: Option<Likely>,
    /// Where a reading would help to decide it.
    helps: Vec<Helps>,
    /// *Out* by it would hang on suspected readings.
    suspected: bool,
}

/// What a search found, and on what.
type Found = (Arc<Searcher>, EdgeResult);

/// How an edge is laid, and what it may show.
#[derive(Debug, Clone, Copy)]
pub(super) struct Laying {
    pub procedure: Procedure,
    pub joints: Joints,
    pub span_m: f64,
    pub allow_m: f64,
    /// Whether other steps of its limit cannot be tested: then only a surface over the limit makes a word, and nothing is drawn for one
    /// under it.
    pub only_out: bool,
}

impl Laying {
    fn departure(&self) -> Departure {
        way(self.procedure)
    }

    fn factor(&self) -> f64 {
        self.procedure.reads_per_metre()
    }
}

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
    /// What a search found, as the procedure reads it.
    fn measured(&self, laying: &Laying, r: &EdgeResult) -> Measured {
        let factor = laying.factor();
        let worst = r.worst.map(|w| Placement {
            gap_m: w.gap_m * factor,
            ..w
        });
        Measured {
            gap_m: r.gap_m() * factor,
            bound_m: r.bound_m * factor,
            worst,
            places: worst.into_iter().collect(),
            doubt_m: factor
                * gap_doubt_m(
                    self.floor,
                    r.worst.as_ref(),
                    &self.options.doubt,
                    &self.options.ties,
                ),
            ..Measured::default()
        }
    }

    /// The worst, looked at more closely where the limit falls between the gap and its bound: whether anything
    /// lies over the limit less the doubt is all that needs to be known.
    fn worst_against(&mut self, laying: &Laying) -> EdgeResult {
        let (departure, joints) = (laying.departure(), laying.joints);
        let whole = self.worst(departure, joints, laying.span_m);
        let found = self.measured(laying, &whole);
        let undecided = found.gap_m + found.doubt_m <= laying.allow_m
            && found.bound_m + found.doubt_m > laying.allow_m;
        if !undecided {
            return whole;
        }
        let searcher = self.searcher(departure, joints);
        let closer = self.decided_at(laying, &searcher, laying.allow_m - found.doubt_m, &whole);
        // What takes longer to decide is as near to the limit as makes no difference.
        if closer.complete { closer } else { whole }
    }

    /// Whether anything lies over a figure that falls between a gap and its bound, decided closely: the worst over it, or the
    /// figure as the bound.
    fn decided_at(
        &self,
        laying: &Laying,
        searcher: &Searcher,
        figure_m: f64,
        known: &EdgeResult,
    ) -> EdgeResult {
        let options = SearchOptions {
            ignore_m: (figure_m / laying.factor() + DECIDED_M).max(0.0),
            even_m: DECIDED_M / 2.0,
            work_limit: self.options.work_limit.min(DECIDING_WORK),
            hints: known.worst.into_iter().collect(),
            ..self.search_options(laying.joints)
        };
        self.seek(searcher, laying.span_m, &options)
    }

    /// The floor where it is read closely enough to prove anything at this span, and what it shows.
    fn telling(&mut self, laying: &Laying, whole: &EdgeResult, cover: &Coverage) -> Option<Found> {
        if cover.coarse_m2 <= 0.0 {
            return None;
        }
        // Where the whole floor shows little, whatever a part of it shows is smaller still.
        let little = whole.bound_m * laying.factor() <= laying.allow_m * 0.5;
        if cover.all_coarse() || little {
            let searcher = self.searcher(laying.departure(), laying.joints);
            let r = self.settled_out(laying, &searcher, whole.clone());
            return Some((searcher, r));
        }
        let (departure, joints) = (laying.departure(), laying.joints);
        let searcher = Arc::new(Searcher::on_part(
            self.floor,
            departure,
            &cover.coarse_mask(),
            joints,
        ));
        let r = self.seek(&searcher, laying.span_m, &self.search_options(joints));
        let r = self.settled_out(laying, &searcher, r);
        Some((searcher, r))
    }

    /// The same result, or one that is out, where the limit and the doubt together fall between the gap found and its bound:
    /// within that tolerance a mirror or a turn may find one or the other.
    fn settled_out(&self, laying: &Laying, searcher: &Searcher, r: EdgeResult) -> EdgeResult {
        let found = self.measured(laying, &r);
        let most = laying.allow_m + found.doubt_m;
        if found.gap_m > most || found.bound_m <= most {
            return r;
        }
        let closer = self.decided_at(laying, searcher, most, &r);
        if proven_over(&self.measured(laying, &closer), laying.allow_m) {
            closer
        } else {
            r
        }
    }

    /// Suspected readings that a gap over the allowance hangs on, and what is proven over it without them.
    fn without_slips(
        &mut self,
        laying: &Laying,
        r: &EdgeResult,
        cover: &Coverage,
    ) -> Option<(Vec<String>, Option<Found>)> {
        let suspects = self.suspects();
        let worst = r.worst.filter(|_| !suspects.is_empty())?;
        let leans = leans_on(self.floor, &worst);
        let over =
            |bench: &Self, r: &EdgeResult| proven_over(&bench.measured(laying, r), laying.allow_m);
        if !over(self, r) || !leans.iter().any(|reading| suspects.contains(reading)) {
            return None;
        }
        let mask = self.without_suspects(cover.coarse_mask());
        let part = self.over_on(laying, &mask, laying.allow_m);
        let stands = if over(self, &part.1) {
            Some(part)
        } else {
            self.known_well(laying, &part, mask)
        };
        Some((self.suspects_among(&leans), stands))
    }

    /// What a part of the floor shows over the allowance; smaller gaps are not told apart.
    fn over_on(&self, laying: &Laying, mask: &[bool], allow_m: f64) -> Found {
        let (departure, joints) = (laying.departure(), laying.joints);
        let searcher = Arc::new(Searcher::on_part(self.floor, departure, mask, joints));
        let options = SearchOptions {
            ignore_m: allow_m.max(0.0) / laying.factor(),
            ..self.search_options(joints)
        };
        let r = self.seek(&searcher, laying.span_m, &options);
        (searcher, r)
    }

    /// A placement that is out beyond its own doubt, though the worst gap is known less well and proves nothing. Which of
    /// nearly equal gaps a search finds is chance.
    fn better_known(&self, laying: &Laying, telling: &Found) -> Option<Found> {
        let (searcher, r) = telling;
        let found = self.measured(laying, r);
        if found.gap_m <= laying.allow_m || proven_over(&found, laying.allow_m) {
            return None;
        }
        searcher
            .deep(r.span_m, DEEP_PLACES)
            .into_iter()
            .take_while(|p| p.gap_m * laying.factor() > laying.allow_m)
            .map(|p| EdgeResult {
                worst: Some(p),
                ..r.clone()
            })
            .find(|r| proven_over(&self.measured(laying, r), laying.allow_m))
            .map(|r| (searcher.clone(), r))
    }

    /// Floor that is out beyond its own doubt where all heights are read, though the worst gap lies on carried-out floor
    /// and is too doubtful to prove anything. `mask` is the floor that it was found on.
    fn steadily_out(&self, laying: &Laying, telling: &Found, mut mask: Vec<bool>) -> Option<Found> {
        let shaky = self.shaky.as_ref()?;
        let found = self.measured(laying, &telling.1);
        if found.gap_m <= laying.allow_m || proven_over(&found, laying.allow_m) {
            return None;
        }
        for (usable, carried) in mask.iter_mut().zip(&shaky.carried) {
            *usable &= !carried;
        }
        let part = self.over_on(laying, &mask, laying.allow_m);
        proven_over(&self.measured(laying, &part.1), laying.allow_m).then_some(part)
    }

    /// What proves the floor out where the worst gap of a part of it, over the allowance, is too doubtful to do so.
    fn known_well(&self, laying: &Laying, telling: &Found, mask: Vec<bool>) -> Option<Found> {
        self.better_known(laying, telling)
            .or_else(|| self.steadily_out(laying, telling, mask))
    }

    /// Readings in one line that prove the floor out by themselves, whatever lies between their rows: of a floor that is read closely along
    /// its rows only.
    fn out_in_rows(&self, laying: &Laying) -> Option<Found> {
        let (departure, joints) = (laying.departure(), laying.joints);
        let searcher = Searcher::in_rows(self.floor, departure, joints, &self.suspects());
        let r = self.seek(&searcher, laying.span_m, &self.search_options(joints));
        let out = proven_over(&self.measured(laying, &r), laying.allow_m);
        out.then(|| (Arc::new(searcher), r))
    }

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

    /// Which floors that may be keep the allowance on what an edge may lie on, or, where too little of it is read closely
    /// enough for more than to prove it out, on what may do so; `None` where no floors can be drawn.
    fn decided(&mut self, laying: &Laying, whole: &EdgeResult, mask: &[bool]) -> Option<Decided> {
        let options = SearchOptions {
            work_limit: self.options.work_limit.min(DECIDING_WORK),
            hints: whole.worst.into_iter().collect(),
            even_m: DRAWN_EVEN_M,
            ..self.search_options(laying.joints)
        };
        let figure_m = (laying.allow_m + EQUAL_M) / laying.factor();
        let laying = *laying;
        let finer = on_finer(mask);
        let (progress, done) = (self.progress(), self.share_done());
        let steps = self.steps(laying.joints)?;
        let exceeds = |drawn: &Floor| {
            Searcher::on_part(drawn, laying.departure(), &finer, laying.joints).exceeds(
                laying.span_m,
                figure_m,
                &options,
                // Who waits may have left meanwhile.
                &|_| progress(done),
            )
        };
        let over = |drawn: &Floor| over_but_for_steps(drawn, &steps, exceeds);
        let most = self.chances.most();
        let mut decided = Decided::of(self.may_be()?, most, over, &|| progress(done));
        decided.steps = !steps.is_empty();
        Some(decided)
    }

    /// Where drawn floors may step, for an edge that crosses joints; `None` where no floors can be drawn.
    fn steps(&mut self, joints: Joints) -> Option<Vec<Vec<u32>>> {
        Some(match joints {
            Joints::Cross => self.may_be()?.finer().joint_places(),
            Joints::Stop => Vec::new(),
        })
    }

    /// What the worst gap of the floor itself is likely to be, as the procedure reads it.
    fn likely(&mut self, laying: &Laying, whole: &EdgeResult, mask: &[bool]) -> Option<Likely> {
        let steps = self.steps(laying.joints)?;
        let options = SearchOptions {
            hints: whole.worst.into_iter().collect(),
            ..self.search_options(laying.joints)
        };
        let (progress, done) = (self.progress(), self.share_done());
        let found = LikelyGap {
            departure: laying.departure(),
            joints: laying.joints,
            span_m: laying.span_m,
            usable: &on_finer(mask),
            steps: &steps,
            options: &options,
            told: &|| progress(done),
        }
        .over(self.may_be()?)?;
        Some(Likely {
            low_m: found.low_m * laying.factor(),
            high_m: found.high_m * laying.factor(),
        })
    }

    /// The chance of a laying.
    fn chance_of(
        &mut self,
        laying: &Laying,
        whole: &EdgeResult,
        cover: &Coverage,
    ) -> Option<ByChance> {
        let idle = laying.only_out && whole.bound_m * laying.factor() <= laying.allow_m;
        if cover.coarse_m2 <= 0.0 || idle {
            return None;
        }
        let mask = if cover.enough() {
            self.reads.usable.clone()
        } else {
            cover.coarse_mask()
        };
        let decided = self.decided(laying, whole, &mask)?;
        let chance = decided.chance();
        let (departure, joints) = (laying.departure(), laying.joints);
        let near_limit = if chance.is_within() || chance.is_out() {
            Vec::new()
        } else {
            let searcher = self.searcher(departure, joints);
            searcher.places(whole, NEAR_LIMIT)
        };
        let helps = match self.may_be() {
            Some(may_be) if !chance.is_within() && !chance.is_out() => {
                let limit_m = laying.allow_m / laying.factor();
                let end = decided.least_told();
                helps(may_be, end, (&near_limit, departure), limit_m, SPOTS)
            }
            _ => Vec::new(),
        };
        let likely = self.likely(laying, whole, &mask);
        let suspected = chance.is_out() && !self.options.suspects.is_empty() && {
            let without = self.without_suspects(mask);
            let rest = self.decided(laying, whole, &without)?;
            !rest.chance().is_out()
        };
        Some(ByChance {
            chance,
            likely,
            helps,
            suspected,
        })
    }

    /// The outcome of a laying whose worst on the whole floor is known.
    pub(super) fn lay(&mut self, laying: &Laying, whole: EdgeResult, cover: &Coverage) -> Laid {
        let mut telling = self.telling(laying, &whole, cover);
        let (mut doubtful_m, mut wider) = (None, telling.clone());
        if let Some(told) = &telling
            && let Some(part) = self.known_well(laying, told, cover.coarse_mask())
        {
            doubtful_m = Some(told.1.gap_m() * laying.factor());
            telling = Some(part);
        }
        let (mut sound, mut hangs) = (true, Vec::new());
        if let Some((_, r)) = &telling
            && let Some((names, stands)) = self.without_slips(laying, r, cover)
        {
            hangs = names;
            match stands {
                Some(part) => {
                    let larger = r.gap_m() * laying.factor();
                    doubtful_m = Some(doubtful_m.map_or(larger, |m: f64| m.max(larger)));
                    telling = Some(part);
                    // Places that the suspected readings make are none to be listed.
                    wider = None;
                }
                None => sound = false,
            }
        }
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
            _ => (
                self.searcher(laying.departure(), laying.joints),
                whole.clone(),
            ),
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

    /// Resting, balanced, held down or on a ridge, against one allowance.
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
                complete: laid.whole.complete,
                laid: laid.whole.full_span_laid,
            },
        );
        PartResult {
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
