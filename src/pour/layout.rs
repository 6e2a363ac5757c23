//! One order of the floor, cut into batches: undivided or in bays.

use super::batch::{Patch, patches};
use super::clock::Pace;
use super::judge::score;
use super::piece::Piece;
use super::pieces::{self, Sweep};
use super::result::{Order, PourError};
use super::split;
use crate::geometry::Point;

/// Most batches in one plan.
const MOST_BATCHES: u32 = 20_000;

/// Most bays that are tried.
pub(super) const MOST_BAYS: u32 = 40;

/// One order, cut and measured.
pub(super) struct Layout {
    pub order: Order,
    pub bags: Vec<u32>,
    pub bays: Vec<u32>,
    pub parts: Vec<Vec<Piece>>,
    pub patches: Vec<Patch>,
    /// Dam towards the next bay, metres, one a bay.
    pub dams_m: Vec<f64>,
}

/// What turns a volume into bags and batches.
pub(super) struct Need {
    pub yield_m3: f64,
    pub per_batch: u32,
    pub waste: f64,
}

impl Need {
    pub fn bags(&self, volume_m3: f64) -> Result<u32, PourError> {
        let bags = crate::fill::whole_bags(volume_m3 * (1.0 + self.waste) / self.yield_m3);
        let batches = f64::from(bags) / f64::from(self.per_batch);
        if batches > f64::from(MOST_BATCHES) {
            return Err(PourError::TooManyBatches {
                batches: batches.ceil(),
                limit: MOST_BATCHES,
            });
        }
        Ok(bags.max(1))
    }

    /// Bags of each batch: full ones, then what is left.
    pub fn batches(&self, bags: u32) -> Vec<u32> {
        let full = bags / self.per_batch;
        let rest = bags % self.per_batch;
        let mut list = vec![self.per_batch; full as usize];
        if rest > 0 {
            list.push(rest);
        }
        list
    }
}

pub(super) fn one_bay(order: Order, ordered: Vec<Piece>, bags: Vec<u32>) -> Layout {
    let shares: Vec<f64> = bags.iter().map(|&b| f64::from(b)).collect();
    let parts = split::split(ordered, &shares);
    let bays = vec![1; parts.len()];
    let patches = patches(&parts, &bays);
    Layout {
        order,
        bags,
        bays,
        parts,
        patches,
        dams_m: vec![0.0],
    }
}

/// The strip sweep over each section, divided into `count` bays side by side of equal volume.
pub(super) fn in_bays(
    sections: &[Vec<Piece>],
    sweep: &Sweep,
    count: u32,
    need: &Need,
) -> Result<Layout, PourError> {
    // Undivided, bags run on from one section to the next; a bay has bags of its own.
    let mut slabs: Vec<(Vec<Piece>, f64)> = Vec::new();
    let mut first = 0;
    for section in sections {
        if count == 1 {
            let (ordered, next) = pieces::strips(section.clone(), sweep, first);
            first = next;
            match slabs.first_mut() {
                Some(slab) => slab.0.extend(ordered),
                None => slabs.push((ordered, 0.0)),
            }
            continue;
        }
        let along = Point::new(-sweep.towards_door.y, sweep.towards_door.x);
        let mut sideways = section.clone();
        for c in sideways.iter_mut().flat_map(|p| &mut p.corners) {
            c.order = c.at.dot(along);
        }
        let cut = split::split(sideways, &vec![1.0; count as usize]);
        // Between bays the shared line is the dam.
        let dams: Vec<f64> = patches(&cut, &vec![1; cut.len()])
            .iter()
            .map(|p| p.ties.values().sum())
            .collect();
        for (i, slab) in cut.into_iter().enumerate() {
            let (ordered, next) = pieces::strips(slab, sweep, first);
            first = next;
            slabs.push((ordered, dams.get(i + 1).copied().unwrap_or(0.0)));
        }
    }
    let (mut parts, mut bags, mut bays) = (Vec::new(), Vec::new(), Vec::new());
    let mut dams_m = Vec::new();
    for (i, (slab, dam)) in slabs.into_iter().enumerate() {
        let volume: f64 = slab.iter().map(Piece::volume).sum();
        let list = need.batches(need.bags(volume)?);
        let shares: Vec<f64> = list.iter().map(|&b| f64::from(b)).collect();
        parts.extend(split::split(slab, &shares));
        bays.extend(vec![i as u32 + 1; list.len()]);
        bags.extend(list);
        dams_m.push(dam);
    }
    let patches = patches(&parts, &bays);
    Ok(Layout {
        order: Order::Strips,
        bags,
        bays,
        parts,
        patches,
        dams_m,
    })
}

/// Few bays in which no wet edge waits longer than the open time.
///
/// A strip's wait goes with its length, so the count is tried first where that puts it; from there
/// upwards until one fits, or downwards until one does not. Waits come in whole batches, so a count
/// stepped over on the way up may have fitted too.
pub(super) fn fitting_bays(
    wet: &[Vec<Piece>],
    sweep: &Sweep,
    need: &Need,
    pace: Pace,
    open_min: Option<f64>,
) -> Result<Option<Layout>, PourError> {
    let fits = |layout: &Layout| score(layout, pace, open_min).within_open_time != Some(false);
    let whole = in_bays(wet, sweep, 1, need)?;
    if fits(&whole) {
        return Ok(Some(whole));
    }
    let wait = score(&whole, pace, open_min).longest_wait_min;
    let guess = open_min.map_or(2.0, |open| (0.8 * wait / open).floor());
    let mut count = if guess.is_finite() {
        guess.clamp(2.0, f64::from(MOST_BAYS)) as u32
    } else {
        MOST_BAYS
    };
    let mut found = None;
    // Each round moves the count on and never back: at most `MOST_BAYS` rounds.
    for _ in 0..MOST_BAYS {
        let layout = in_bays(wet, sweep, count, need)?;
        if fits(&layout) {
            found = Some(layout);
            if count <= 2 || found_from_below(count, guess) {
                break;
            }
            count -= 1;
        } else if found.is_some() || count >= MOST_BAYS || layout.parts.len() <= count as usize {
            // One less does not fit; or more bays than batches cannot help.
            break;
        } else {
            let wait = score(&layout, pace, open_min).longest_wait_min;
            let better =
                open_min.map_or(0.0, |open| (0.9 * wait / open * f64::from(count)).floor());
            count = (better.min(f64::from(MOST_BAYS)) as u32).max(count + 1);
        }
    }
    Ok(found)
}

/// Whether the search has come to this count from counts that did not fit.
fn found_from_below(count: u32, guess: f64) -> bool {
    f64::from(count) > guess.max(2.0)
}
