//! Floors that may be the true one, at each end of what the noise of a reading may be.

use super::field::{Draws, Field, Sizes};
use super::spots::{OpenSpot, worth_reading};
use super::{NoDoubt, Told};
use crate::surface::Floor;
use crate::survey::setups::Ties;
use rayon::prelude::*;

/// Most readings that floors are drawn for: each draw is searched, and of such a floor that takes a third of a second.
pub const MOST_READINGS: usize = 3_000;

/// Floors that may be the true one, drawn as they are asked for.
pub struct MayBe {
    finer: Floor,
    ends: Vec<End>,
}

/// At one end of what the noise may be.
struct End {
    draws: Draws,
    floors: Vec<Vec<f64>>,
}

impl MayBe {
    /// Fields on this floor, one for each noise of a reading, none of them under `least_m`; metres, standard deviations. `told` is
    /// called at every step of their fit, which takes seconds in a hall: whoever waits may have left.
    ///
    /// # Errors
    /// [`NoDoubt`], where the readings allow no field.
    pub fn new(
        floor: &Floor,
        noises_m: &[f64],
        least_m: f64,
        ties: &Ties,
        seed: u64,
        told: Told<'_>,
    ) -> Result<Self, NoDoubt> {
        let finer = floor.finer();
        let fields: Vec<Field> = noises_m
            .par_iter()
            .map(|noise_m| Field::new(floor, &finer, (*noise_m, least_m), told))
            .collect::<Result<_, _>>()?;
        let ends = fields
            .into_iter()
            .map(|field| End {
                draws: field.draws(seed, ties.clone()),
                floors: Vec::new(),
            })
            .collect();
        Ok(Self { finer, ends })
    }

    /// The mesh that the floors are drawn on: the floor's own, one level finer.
    pub const fn finer(&self) -> &Floor {
        &self.finer
    }

    /// How many ends what the noise may be has.
    pub const fn ends(&self) -> usize {
        self.ends.len()
    }

    /// Draws until at least so many floors are there at one end.
    pub fn grow(&mut self, end: usize, count: usize) {
        let End { draws, floors } = &mut self.ends[end];
        while floors.len() < count {
            floors.push(draws.next_heights());
        }
    }

    /// Elevations of the floors drawn at one end, at the vertices of the finer mesh, metres.
    pub fn floors(&self, end: usize) -> &[Vec<f64>] {
        &self.ends[end].floors
    }

    /// Spread, range and noise at one end.
    pub fn sizes(&self, end: usize) -> Sizes {
        self.ends[end].draws.sizes()
    }

    /// Variance of the floor at each vertex of the finer mesh, at one end, square metres.
    pub fn variance(&self, end: usize) -> Vec<f64> {
        self.ends[end].draws.variance()
    }

    /// Covariance of the floor at each vertex of the finer mesh with a sum of heights, at one end, square metres.
    pub fn covariance(&mut self, end: usize, weights: &[(usize, f64)]) -> Vec<f64> {
        self.ends[end].draws.covariance(weights)
    }

    /// The next few places worth reading, by the last end; see [`OpenSpot`].
    pub fn worth_reading(&mut self, floor: &Floor, count: usize) -> Vec<OpenSpot> {
        let Some(end) = self.ends.last_mut() else {
            return Vec::new();
        };
        worth_reading(floor, &self.finer, &mut end.draws, count)
    }
}
