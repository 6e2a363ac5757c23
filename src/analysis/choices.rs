//! Leave the floor, patch it, grind and pour less, or pour: what each takes, and the cheapest of those that are sound.

use super::analyse::Analysis;
use super::filling::allowed_grind_m;
use crate::fill::{Aim, Prices};
use crate::flatness::{PartResult, Verdict};
use crate::patch::PatchLimit;

/// What may be done with a floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Work {
    /// Nothing: it is within its checks.
    Leave,
    /// The patch plan.
    Patch,
    /// Grind its top off and pour less; told only where grinding has a price.
    GrindAndPour,
    /// The full pour.
    Pour,
}

/// One way, and what it takes.
#[derive(Debug, Clone, PartialEq)]
pub struct WayOut {
    /// What is done.
    pub work: Work,
    /// Whole bags; `None` without a yield.
    pub bags: Option<u32>,
    /// Floor ground off, cubic metres.
    pub ground_m3: f64,
    /// Area of that, square metres.
    pub ground_m2: f64,
    /// The most that it raises the floor anywhere, metres.
    pub adds_m: f64,
    /// Bags and grinding; `None` where one of them has no price.
    pub cost: Option<f64>,
    /// Whether the floor then surely is what was asked for.
    pub is_sound: bool,
}

/// All ways that there are.
#[derive(Debug, Clone, PartialEq)]
pub struct Choices {
    /// Leave, patch, grind and pour, pour, as far as each can be done.
    pub ways: Vec<WayOut>,
    /// Which of them is sound and takes least: by money where all sound ones have a price, else by bags.
    pub best: usize,
}

/// Depths that differ by less are the same, metres.
const SAME_DEPTH_M: f64 = 1e-6;

impl Choices {
    /// The cheapest sound way.
    pub fn best(&self) -> &WayOut {
        &self.ways[self.best]
    }

    /// The way of a kind, where there is one.
    pub fn way(&self, work: Work) -> Option<&WayOut> {
        self.ways.iter().find(|w| w.work == work)
    }
}

impl Analysis {
    /// The ways out, where checks were made and a level finish was worked out; `None` where none of them is sound.
    pub fn choices(&self) -> Option<Choices> {
        self.flatness.as_ref()?;
        let ways: Vec<WayOut> = [
            self.left(),
            self.patched(),
            self.ground_and_poured(),
            self.poured(),
        ]
        .into_iter()
        .flatten()
        .collect();
        let sound = || ways.iter().enumerate().filter(|(_, w)| w.is_sound);
        let all_priced = sound().all(|(_, w)| w.cost.is_some());
        let dear = |w: &WayOut| match (all_priced, w.cost, w.bags) {
            (true, Some(cost), _) => cost,
            (_, _, Some(bags)) => f64::from(bags),
            _ => w.adds_m,
        };
        let best = sound().min_by(|a, b| dear(a.1).total_cmp(&dear(b.1)))?.0;
        Some(Choices { ways, best })
    }

    fn aims_at_level(&self) -> bool {
        self.settings.aim == Aim::Level
    }

    fn left(&self) -> Option<WayOut> {
        let need = &self.filling.as_ref()?.need;
        let within = need.for_flatness == Some(false) && !self.aims_at_level();
        within.then_some(WayOut {
            work: Work::Leave,
            bags: Some(0),
            ground_m3: 0.0,
            ground_m2: 0.0,
            adds_m: 0.0,
            cost: Some(0.0),
            is_sound: true,
        })
    }

    fn patched(&self) -> Option<WayOut> {
        let plan = self.patch.as_ref().filter(|p| !p.is_empty())?;
        let bags = plan.bags.map(|b| b.ceil().max(0.0) as u32);
        let ground_m2 = plan.grinds.iter().map(|g| g.area_m2).sum();
        let sure = plan
            .checks
            .iter()
            .all(|c| c.chance.is_some_and(|c| c.is_within()));
        let tested = self.flatness.iter().flat_map(|f| &f.checks);
        let tested = tested
            .flat_map(|c| &c.parts)
            .all(|p| p.verdict() != Verdict::NotTested);
        Some(WayOut {
            work: Work::Patch,
            bags,
            ground_m3: plan.grind_volume_m3,
            ground_m2,
            adds_m: plan.deepest_m,
            cost: self.cost(bags, ground_m2, plan.grind_volume_m3),
            is_sound: sure && tested && self.not_aimed_at().is_empty() && !self.aims_at_level(),
        })
    }

    /// The cheapest row of the grind-or-fill table below its first.
    fn ground_and_poured(&self) -> Option<WayOut> {
        let rows = &self.filling.as_ref()?.grind;
        let row = rows.iter().find(|r| r.cheapest && r.lowered_m > 0.0)?;
        Some(WayOut {
            work: Work::GrindAndPour,
            bags: row.bags,
            ground_m3: row.grind_volume_m3,
            ground_m2: row.grind_area_m2,
            adds_m: self.filling.as_ref()?.fill.deepest_m - row.lowered_m,
            cost: row.total_cost,
            is_sound: true,
        })
    }

    fn poured(&self) -> Option<WayOut> {
        let filling = self.filling.as_ref()?;
        let fill = &filling.fill;
        if !fill.plane.is_level() {
            return None;
        }
        let bags = filling.take_off.as_ref().and_then(|t| t.bags.as_ref());
        let bags = bags.map(|b| b.count);
        // What stands above the finish has to go before it is one.
        let ground_m2 = fill.above_area_m2;
        Some(WayOut {
            work: Work::Pour,
            bags,
            ground_m3: fill.above_m3,
            ground_m2,
            adds_m: fill.deepest_m,
            cost: self.cost(bags, ground_m2, fill.above_m3),
            is_sound: allowed_grind_m(&self.settings)
                .is_none_or(|most| fill.highest_above_m <= most + SAME_DEPTH_M),
        })
    }

    fn cost(&self, bags: Option<u32>, ground_m2: f64, ground_m3: f64) -> Option<f64> {
        let Prices {
            per_bag,
            per_grind_m2,
            per_grind_l,
            ..
        } = self.settings.prices.as_ref()?;
        let grinding = if ground_m3 > 0.0 {
            let priced = per_grind_m2.is_some() || per_grind_l.is_some();
            let by_area = per_grind_m2.map_or(0.0, |p| p * ground_m2);
            let by_volume = per_grind_l.map_or(0.0, |p| p * ground_m3 * 1000.0);
            priced.then_some(by_area + by_volume)?
        } else {
            0.0
        };
        Some((*per_bag)? * f64::from(bags?) + grinding)
    }

    /// Checks that a plan of chords is not aimed at although they are out or in doubt, each with its word.
    pub fn not_aimed_at(&self) -> Vec<(String, Verdict)> {
        let checks = self.flatness.iter().flat_map(|f| &f.checks);
        checks
            .filter_map(|c| {
                let aimed = |p: &PartResult| {
                    PatchLimit::of(p.procedure, p.span_m, p.allowance_m, c.joints).is_some()
                };
                let other = c.parts.iter().filter(|p| {
                    matches!(p.verdict(), Verdict::Out | Verdict::InDoubt)
                        // Of a part that edges laid by hand put out nothing is known that a patch could be aimed at.
                        && (p.measured().is_none() || !aimed(p))
                });
                let words: Vec<Verdict> = other.map(PartResult::verdict).collect();
                (!words.is_empty()).then(|| (c.title.clone(), Verdict::worst(words)))
            })
            .collect()
    }
}
