//! How large the worst gap of the floor itself is likely to be, beside that of the surface through its readings.

use super::edge::SearchOptions;
use super::judge::Way;
use crate::surface::Floor;
use crate::surface::doubt::{MayBe, Told};
use rayon::prelude::*;

/// Floors looked at, at each end of what the readings' noise may be.
const FLOORS: usize = 20;

/// From the least to the greatest worst gap of some floors that may be the true one, at both ends of what the readings' noise may be;
/// metres. Left in whole, since the true gap lies outside it more often than a drawn one: docs/accuracy.md tells how often.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Likely {
    /// The least.
    pub low_m: f64,
    /// The greatest.
    pub high_m: f64,
}

/// What is looked for on each floor.
pub(super) struct LikelyGap<'a> {
    pub way: Way,
    pub span_m: f64,
    /// Triangles of the finer mesh that an edge may lie on.
    pub usable: &'a [bool],
    /// Vertices at which joints step, where the edge crosses them.
    pub steps: &'a [Vec<u32>],
    pub options: &'a SearchOptions,
    /// Called between the looks.
    pub told: Told<'a>,
}

impl LikelyGap<'_> {
    /// The range over floors drawn; steps at joints that nobody read count for its upper end only. Of each floor the gap is looked for
    /// and not proven: a range needs no more, and takes a tenth of the time.
    pub fn over(&self, may_be: &mut MayBe) -> Option<Likely> {
        let (mut low_m, mut high_m) = (f64::MAX, 0.0f64);
        for end in 0..may_be.ends() {
            may_be.grow(end, FLOORS);
            let finer = may_be.finer();
            let found: Vec<(f64, f64)> = may_be.floors(end)[..FLOORS]
                .par_iter()
                .map(|z| self.on(&finer.with_heights(z)?))
                .collect::<Option<_>>()?;
            for (least, most) in found {
                low_m = low_m.min(least);
                high_m = high_m.max(most);
            }
        }
        (low_m <= high_m).then_some(Likely { low_m, high_m })
    }

    /// Without steps at joints and with them, on one floor.
    fn on(&self, drawn: &Floor) -> Option<(f64, f64)> {
        let worst = |floor: &Floor| {
            (self.told)();
            self.way
                .on_part(floor, self.usable)
                .likely_worst(self.span_m, self.options)
        };
        let most = worst(drawn);
        let least = if self.steps.is_empty() {
            most
        } else {
            worst(&drawn.without_steps(self.steps)?)
        };
        Some((least, most))
    }
}
