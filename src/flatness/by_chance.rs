//! What floors that may be say of a laying.

use super::chance::{DECIDING_WORK, DRAWN_EVEN_M, Decided, over_but_for_steps};
use super::coverage::Coverage;
use super::edge::SearchOptions;
use super::judge::Bench;
use super::laying::Laying;
use super::levers::{Helps, helps};
use super::likely::{Likely, LikelyGap};
use super::net::Joints;
use super::verdict::EQUAL_M;
use super::{Chance, EdgeResult};
use crate::surface::Floor;

/// Places named as worth reading for a word that is in doubt, and placements that such a word is taken to hang on.
const SPOTS: usize = 3;
const NEAR_LIMIT: usize = 8;

/// The triangles of the finer mesh for those of the floor: four for one.
fn on_finer(mask: &[bool]) -> Vec<bool> {
    mask.iter().flat_map(|&m| [m; 4]).collect()
}

/// What floors that may be say of a laying.
pub(super) struct ByChance {
    pub chance: Chance,
    /// What the worst gap is likely to be.
    pub likely: Option<Likely>,
    /// Where a reading would help to decide it.
    pub helps: Vec<Helps>,
    /// *Out* by it would hang on suspected readings.
    pub suspected: bool,
}

impl Bench<'_> {
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
            laying.way().on_part(drawn, &finer).exceeds(
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
            way: laying.way(),
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
    pub(super) fn chance_of(
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
        let departure = laying.way().departure;
        let near_limit = if chance.is_within() || chance.is_out() {
            Vec::new()
        } else {
            let searcher = self.searcher(laying.way());
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
}
