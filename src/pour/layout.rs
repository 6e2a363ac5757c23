//! One order of the floor, cut into batches: undivided or in bays.
//!
//! A floor lies in *sections* that hang together; a section of one batch or less is a *puddle*, and never cut.

use super::batch::{Patch, patches};
use super::clock::{Pace, slots};
use super::passes::{self, Passes};
use super::piece::Piece;
use super::result::{BayDam, Order, OrderScore, PourError};
use super::split;
use crate::fill::whole_bags;

/// Most batches in one plan.
const MOST_BATCHES: u32 = 20_000;

/// Most bays that are tried.
pub(super) const MOST_BAYS: u32 = 40;

/// One order, cut and measured.
#[derive(Clone)]
pub(super) struct Layout {
    pub order: Order,
    pub bags: Vec<u32>,
    pub bays: Vec<u32>,
    pub parts: Vec<Vec<Piece>>,
    pub patches: Vec<Patch>,
    /// Dam towards the bays poured after it, one a bay.
    pub dams: Vec<BayDam>,
}

/// What turns a volume into bags and batches.
pub(super) struct Need {
    pub yield_m3: f64,
    pub per_batch: u32,
    pub waste: f64,
}

/// A batch begins a section only with at least this share of a full one: less is a scrap along its edge.
const LEAST_SHARE: f64 = 0.1;
/// Shares of a batch below this are rounding.
const ROUNDING: f64 = 1e-9;

/// What a batch takes of a section.
struct Portion {
    section: usize,
    volume_m3: f64,
    /// The same in bags of equal volume: whole ones where it is whole batches, to the last bit.
    share: f64,
}

impl Need {
    fn exact(&self, volume_m3: f64) -> f64 {
        volume_m3 * (1.0 + self.waste) / self.yield_m3
    }

    pub fn bags(&self, volume_m3: f64) -> Result<u32, PourError> {
        let bags = self.exact(volume_m3);
        let batches = bags / f64::from(self.per_batch);
        if batches > f64::from(MOST_BATCHES) {
            return Err(PourError::TooManyBatches {
                batches: batches.ceil(),
                limit: MOST_BATCHES,
            });
        }
        Ok(whole_bags(bags)?.max(1))
    }

    /// What a batch gives at the most, cubic metres in place.
    pub fn capacity(&self) -> f64 {
        f64::from(self.per_batch) * self.yield_m3 / (1.0 + self.waste)
    }

    /// Batches that a volume takes.
    pub fn batches(&self, volume_m3: f64) -> Result<u32, PourError> {
        Ok(self.bags(volume_m3)?.div_ceil(self.per_batch))
    }

    /// Sections, in their order, shared out over batches.
    ///
    /// Every bag of a section that is cut gives the same volume, and a batch runs on from one section into the next. A
    /// puddle that does not fit into what is left of a batch begins the next one: it is never cut.
    fn share_out(&self, volumes: &[f64]) -> Result<Vec<Vec<Portion>>, PourError> {
        let whole: f64 = volumes.iter().sum();
        let bag = whole / f64::from(self.bags(whole)?);
        let full = bag * f64::from(self.per_batch);
        let in_bags = |volume: f64| {
            let share = volume / bag;
            let even = share.round();
            // Shares that are equal must be so exactly, or the cuts between them leave slivers.
            if even > 0.0 && (share - even).abs() < ROUNDING * even {
                even
            } else {
                share
            }
        };
        let tiny = ROUNDING * full;
        let most = self.capacity() + tiny;
        let mut batches: Vec<Vec<Portion>> = vec![Vec::new()];
        let mut filled = 0.0;
        for (section, &volume) in volumes.iter().enumerate() {
            let puddle = volume <= most;
            let begins = if puddle {
                filled + volume <= most
            } else {
                full - filled >= LEAST_SHARE * full
            };
            if !begins {
                batches.push(Vec::new());
                filled = 0.0;
            }
            let mut rest = volume;
            loop {
                let left = full - filled;
                // A little more than an even share of the bags, where the bags hold it, is no scrap for the next batch.
                let taken = if puddle || rest <= left + tiny || filled + rest <= most {
                    rest
                } else {
                    left
                };
                if let Some(batch) = batches.last_mut() {
                    batch.push(Portion {
                        section,
                        volume_m3: taken,
                        share: in_bags(taken),
                    });
                }
                rest -= taken;
                filled += taken;
                if rest <= tiny {
                    break;
                }
                batches.push(Vec::new());
                filled = 0.0;
            }
        }
        batches.retain(|b| !b.is_empty());
        Ok(batches)
    }
}

/// Batches, in the order of pouring.
#[derive(Default)]
pub(super) struct Run {
    pub parts: Vec<Vec<Piece>>,
    pub bags: Vec<u32>,
}

/// How a section is cut into batches.
#[derive(Debug, Clone, Copy)]
pub(super) enum Cut {
    /// One behind another, in the order of the pieces.
    InOrder,
    /// In passes across that order.
    Passes(Passes),
}

/// Sections in pouring order, cut into batches that run on from one to the next.
pub(super) fn run(sections: Vec<Vec<Piece>>, need: &Need, how: Cut) -> Result<Run, PourError> {
    let volumes: Vec<f64> = sections
        .iter()
        .map(|s| s.iter().map(Piece::volume).sum())
        .collect();
    let batches = need.share_out(&volumes)?;
    let mut parts = vec![Vec::new(); batches.len()];
    for (i, section) in sections.into_iter().enumerate() {
        let (of, shares): (Vec<usize>, Vec<f64>) = batches
            .iter()
            .enumerate()
            .flat_map(|(batch, b)| b.iter().map(move |p| (batch, p)))
            .filter(|(_, p)| p.section == i)
            .map(|(batch, p)| (batch, p.share))
            .unzip();
        // A section in one batch needs no cut; what carries nothing has no share to be cut by.
        let cut = match how {
            _ if shares.len() == 1 => vec![section],
            Cut::InOrder => split::split(section, &shares),
            Cut::Passes(how) => passes::cut(section, &shares, how),
        };
        for (batch, pieces) in of.into_iter().zip(cut) {
            parts[batch].extend(pieces);
        }
    }
    let bags = batches
        .iter()
        .map(|b| need.bags(b.iter().map(|p| p.volume_m3).sum()))
        .collect::<Result<_, _>>()?;
    Ok(Run { parts, bags })
}

/// Sections in their own order, poured as one bay.
pub(super) fn one_bay(
    order: Order,
    ordered: Vec<Vec<Piece>>,
    (need, how): (&Need, Cut),
) -> Result<Layout, PourError> {
    let Run { parts, bags } = run(ordered, need, how)?;
    let bays = vec![1; parts.len()];
    let patches = patches(&parts, &bays);
    Ok(Layout {
        order,
        bags,
        bays,
        parts,
        patches,
        dams: vec![BayDam::default()],
    })
}

/// What decides whether bays are small enough.
#[derive(Clone, Copy)]
pub(super) struct Speed {
    pub pace: Pace,
    pub open_min: Option<f64>,
}

impl Speed {
    pub fn fits(&self, layout: &Layout) -> bool {
        score(layout, self.pace, self.open_min).within_open_time != Some(false)
    }
}

/// The figures that an order is judged by.
pub(super) fn score(layout: &Layout, pace: Pace, open_min: Option<f64>) -> OrderScore {
    let slots = slots(layout.parts.len(), pace);
    let (mut longest, mut batch) = (0.0, 0);
    let (mut tie_in, mut area) = (0.0, 0.0);
    for (k, patch) in layout.patches.iter().enumerate() {
        for (&j, &length) in &patch.ties {
            let wait = slots[k].place_to - slots[j].place_to;
            if wait > longest {
                longest = wait;
                batch = k as u32 + 1;
            }
            tie_in += length;
        }
        if !patch.ties.is_empty() {
            area += patch.area_m2;
        }
    }
    OrderScore {
        order: layout.order,
        longest_wait_min: longest,
        longest_wait_batch: batch,
        tie_in_m: tie_in,
        mean_width_m: (tie_in > 0.0).then(|| area / tie_in),
        within_open_time: open_min.map(|open| longest <= open),
    }
}
