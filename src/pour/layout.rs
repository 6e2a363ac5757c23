//! One order of the floor, cut into batches: undivided or in bays.
//!
//! A floor lies in *sections* that hang together; a section of one batch or less is a *puddle*, and never cut.

use super::batch::{Patch, patches};
use super::clock::{Pace, slots};
use super::passes::{self, Passes};
use super::piece::{Corner, Piece, nearest};
use super::pieces::{self, Sweep};
use super::result::{BayDam, Order, OrderScore, PourError};
use super::split;
use crate::fill::whole_bags;
use crate::geometry::Point;
use std::collections::HashSet;

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
    /// Dam towards the next bay, one a bay.
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
    fn capacity(&self) -> f64 {
        f64::from(self.per_batch) * self.yield_m3 / (1.0 + self.waste)
    }

    /// Batches that a volume takes.
    fn batches(&self, volume_m3: f64) -> Result<u32, PourError> {
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
                let taken = if puddle || rest <= left + tiny {
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

/// Batches of one bay, in the order of pouring.
struct Run {
    parts: Vec<Vec<Piece>>,
    bags: Vec<u32>,
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
fn run(sections: Vec<Vec<Piece>>, need: &Need, how: Cut) -> Result<Run, PourError> {
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

/// The strip sweep over the sections, each divided into so many bays of equal volume side by side (`counts`, one a
/// section). Sections of one bay that follow each other are one bay together: nothing stands between them but floor
/// that stays bare.
pub(super) fn in_bays(
    sections: &[Vec<Piece>],
    sweep: &Sweep,
    counts: &[u32],
    need: &Need,
) -> Result<Layout, PourError> {
    // Each bay: its sections in strips, and the dam towards the next one.
    let mut slabs: Vec<(Vec<Vec<Piece>>, BayDam)> = Vec::new();
    let mut open: Vec<Vec<Piece>> = Vec::new();
    let mut first = 0;
    for (section, &count) in sections.iter().zip(counts) {
        if count <= 1 {
            let (ordered, next) = pieces::strips(section.clone(), sweep, first);
            first = next;
            open.push(ordered);
            continue;
        }
        if !open.is_empty() {
            slabs.push((std::mem::take(&mut open), BayDam::default()));
        }
        let along = Point::new(-sweep.towards_door.y, sweep.towards_door.x);
        let mut sideways = section.clone();
        for c in sideways.iter_mut().flat_map(|p| &mut p.corners) {
            c.order = c.at.dot(along);
        }
        let cut = split::split(sideways, &vec![1.0; count as usize]);
        let dams = dams_between(&cut);
        for (i, slab) in cut.into_iter().enumerate() {
            let (ordered, next) = pieces::strips(slab, sweep, first);
            first = next;
            slabs.push((vec![ordered], dams.get(i).copied().unwrap_or_default()));
        }
    }
    if !open.is_empty() {
        slabs.push((open, BayDam::default()));
    }
    // The bay at the door is poured last.
    if let Some(at_door) = nearest(sweep.exit, &slabs, |s| s.0.iter().flatten().collect()) {
        slabs[at_door..].reverse();
    }
    let (mut parts, mut bags, mut bays) = (Vec::new(), Vec::new(), Vec::new());
    let mut dams = Vec::new();
    for (bay, (slab, dam)) in (1u32..).zip(slabs) {
        let cut = run(slab, need, Cut::InOrder)?;
        bays.extend(vec![bay; cut.parts.len()]);
        parts.extend(cut.parts);
        bags.extend(cut.bags);
        dams.push(dam);
    }
    let patches = patches(&parts, &bays);
    Ok(Layout {
        order: Order::Strips,
        bags,
        bays,
        parts,
        patches,
        dams,
    })
}

/// The dam from each slab of a section to the next: the line that the two share, as high as material stands along it.
fn dams_between(slabs: &[Vec<Piece>]) -> Vec<BayDam> {
    let lengths = patches(slabs, &vec![1; slabs.len()]);
    let place = |c: &Corner| (c.at.x.to_bits(), c.at.y.to_bits());
    let corners = |slab: &[Piece]| {
        slab.iter()
            .flat_map(|p| p.corners.clone())
            .collect::<Vec<_>>()
    };
    let between = |(pair, next): (&[Vec<Piece>], &Patch)| {
        let before: HashSet<(u64, u64)> = corners(&pair[0]).iter().map(place).collect();
        let shared = corners(&pair[1])
            .into_iter()
            .filter(|c| before.contains(&place(c)));
        BayDam {
            length_m: next.ties.values().sum(),
            highest_m: shared.map(|c| c.depth).fold(0.0, f64::max),
        }
    };
    slabs.windows(2).zip(&lengths[1..]).map(between).collect()
}

/// So many bays in all, shared out over the sections: one more to the section with the largest bays, until they are
/// used up. No section gets more bays than it takes batches; puddles are none.
pub(super) fn bays_of_each(
    sections: &[Vec<Piece>],
    bays: u32,
    need: &Need,
) -> Result<Vec<u32>, PourError> {
    let volumes: Vec<f64> = sections
        .iter()
        .map(|s| s.iter().map(Piece::volume).sum())
        .collect();
    let most = volumes
        .iter()
        .map(|&v| need.batches(v))
        .collect::<Result<Vec<u32>, _>>()?;
    let mut counts = vec![1u32; sections.len()];
    let total = |counts: &[u32]| -> u32 {
        let large = counts.iter().zip(&most).filter(|(_, most)| **most > 1);
        large.map(|(count, _)| count).sum()
    };
    while total(&counts) < bays {
        let size = |i: &usize| volumes[*i] / f64::from(counts[*i]);
        let largest = (0..counts.len())
            .filter(|&i| counts[i] < most[i])
            .max_by(|a, b| size(a).total_cmp(&size(b)).then(b.cmp(a)));
        let Some(i) = largest else { break };
        counts[i] += 1;
    }
    Ok(counts)
}

/// What decides whether bays are small enough.
#[derive(Clone, Copy)]
pub(super) struct Speed {
    pub pace: Pace,
    pub open_min: Option<f64>,
}

impl Speed {
    fn fits(&self, layout: &Layout) -> bool {
        score(layout, self.pace, self.open_min).within_open_time != Some(false)
    }
}

/// Few bays in which no wet edge waits longer than the open time: each section is divided as far as it needs.
pub(super) fn fitting_bays(
    wet: &[Vec<Piece>],
    sweep: &Sweep,
    need: &Need,
    speed: Speed,
) -> Result<Option<Layout>, PourError> {
    let mut counts = vec![1; wet.len()];
    let whole = in_bays(wet, sweep, &counts, need)?;
    if speed.fits(&whole) {
        return Ok(Some(whole));
    }
    for (section, count) in wet.iter().zip(&mut counts) {
        match fitting_count(section, sweep, need, speed)? {
            Some(fitting) => *count = fitting,
            None => return Ok(None),
        }
    }
    // Waits come in whole batches, and where in a round of mixers a section begins shifts them by a little.
    for _ in 0..TRIES {
        let layout = in_bays(wet, sweep, &counts, need)?;
        if speed.fits(&layout) {
            return Ok(Some(layout));
        }
        for count in counts.iter_mut().filter(|c| **c > 1 && **c < MOST_BAYS) {
            *count += 1;
        }
    }
    Ok(None)
}

/// Rounds of one bay more, once each section fits for itself.
const TRIES: usize = 4;

/// Bays of one section.
///
/// A strip's wait goes with its length, so the count is tried first where that puts it; from there
/// upwards until one fits, or downwards until one does not. Waits come in whole batches, so a count
/// stepped over on the way up may have fitted too.
fn fitting_count(
    section: &Vec<Piece>,
    sweep: &Sweep,
    need: &Need,
    speed: Speed,
) -> Result<Option<u32>, PourError> {
    let alone = std::slice::from_ref(section);
    let whole = in_bays(alone, sweep, &[1], need)?;
    if speed.fits(&whole) {
        return Ok(Some(1));
    }
    let wait_of = |layout: &Layout| score(layout, speed.pace, speed.open_min).longest_wait_min;
    let guess = speed
        .open_min
        .map_or(2.0, |open| (0.8 * wait_of(&whole) / open).floor());
    let mut count = if guess.is_finite() {
        guess.clamp(2.0, f64::from(MOST_BAYS)) as u32
    } else {
        MOST_BAYS
    };
    let mut found = None;
    // Each round moves the count on and never back: at most `MOST_BAYS` rounds.
    for _ in 0..MOST_BAYS {
        let layout = in_bays(alone, sweep, &[count], need)?;
        if speed.fits(&layout) {
            found = Some(count);
            if count <= 2 || found_from_below(count, guess) {
                break;
            }
            count -= 1;
        } else if found.is_some() || count >= MOST_BAYS || layout.parts.len() <= count as usize {
            // One less does not fit; or more bays than batches cannot help.
            break;
        } else {
            let better = speed.open_min.map_or(0.0, |open| {
                (0.9 * wait_of(&layout) / open * f64::from(count)).floor()
            });
            count = (better.min(f64::from(MOST_BAYS)) as u32).max(count + 1);
        }
    }
    Ok(found)
}

/// Whether the search has come to this count from counts that did not fit.
fn found_from_below(count: u32, guess: f64) -> bool {
    f64::from(count) > guess.max(2.0)
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
