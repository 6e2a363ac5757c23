//! Depth bands: where one shade ends and the next begins, and how they are filled.

use super::figures::MarkUnit;
use super::plan::View;
use super::ramp::{Ink, shades};
use super::scene::{PaperPoint, Shape};
use crate::surface::LevelRing;

/// Bands of equal height. Give the same scale to two drawings and their shades mean the same.
#[derive(Debug, Clone, PartialEq)]
pub struct BandScale {
    /// Where bands begin and end, metres, ascending; one more than there are bands, at least two.
    edges_m: Vec<f64>,
}

/// More shades than this cannot be told apart on a grey print.
const MOST_BANDS: usize = 8;

impl BandScale {
    /// Bands that cover depths from `least_m` to `deepest_m` in whole steps of the marks' unit.
    ///
    /// # Method
    /// The smallest of 1, 2, 4, 8 ... sixteenths (1, 2, 5, 10 ... mm) that needs at most eight bands.
    /// Depths below zero get no band of their own: floor above the plane is hatched instead.
    /// # Edge cases
    /// A level floor gets one band. Numbers that are not finite count as zero.
    pub fn covering(least_m: f64, deepest_m: f64, unit: MarkUnit) -> Self {
        let finite = |x: f64| if x.is_finite() { x } else { 0.0 };
        let (least, deepest) = (finite(least_m).max(0.0), finite(deepest_m).max(0.0));
        let mut step_index = 0;
        // A step of 2^40 units covers any floor on earth; the loop ends long before.
        loop {
            let step = unit.step_m() * nice(step_index, unit);
            let first = ((least / step) + 1e-9).floor();
            let last = ((deepest / step) - 1e-9).ceil().max(first + 1.0);
            let count = last - first;
            if count <= MOST_BANDS as f64 || step_index > 40 {
                let edges_m = (0..=count as usize)
                    .map(|i| (first + i as f64) * step)
                    .collect();
                return Self { edges_m };
            }
            step_index += 1;
        }
    }

    /// Bands with the edges given, metres.
    ///
    /// `None` unless there are at least two, all finite and ascending.
    pub fn with_edges(edges_m: Vec<f64>) -> Option<Self> {
        let ascending = edges_m.windows(2).all(|w| w[0] < w[1]);
        let finite = edges_m.iter().all(|e| e.is_finite());
        (edges_m.len() > 1 && ascending && finite).then_some(Self { edges_m })
    }

    /// Where bands begin and end, metres.
    pub fn edges_m(&self) -> &[f64] {
        &self.edges_m
    }

    /// Levels between bands, metres: where contour lines run.
    pub fn levels_m(&self) -> &[f64] {
        &self.edges_m[1..self.edges_m.len() - 1]
    }

    /// How many bands there are.
    pub fn count(&self) -> usize {
        self.edges_m.len() - 1
    }

    /// One shade for each band, light first.
    pub fn shades(&self) -> Vec<Ink> {
        shades(self.count())
    }

    /// Which band a depth lies in; depths beyond the ends belong to the end bands.
    pub fn band_of(&self, depth_m: f64) -> usize {
        self.levels_m().partition_point(|&l| l <= depth_m)
    }
}

/// The `i`-th step: doubling for inches, 1-2-5 for millimetres.
pub(super) fn nice(i: u32, unit: MarkUnit) -> f64 {
    match unit {
        MarkUnit::Sixteenths | MarkUnit::ThirtySeconds | MarkUnit::Eighths => {
            f64::from(2u32).powi(i as i32)
        }
        MarkUnit::Millimetres | MarkUnit::TenthMillimetres => {
            [1.0, 2.0, 5.0][(i % 3) as usize] * 10f64.powi((i / 3) as i32)
        }
    }
}

/// Smallest patch of shade that paper shows, square millimetres.
const SMALLEST_PATCH_MM2: f64 = 0.4;

/// Fills the rings, largest first, each with the shade just inside it.
///
/// A ring round a hole in a level shows the band below it; a ring round a void or floor without
/// heights shows paper. Smaller rings lie inside larger ones, so none is covered wrongly, and no two
/// fills merely touch: there are no cracks to show through.
pub(super) fn fill(rings: &[LevelRing], shades: &[Ink], view: &View) -> Vec<Shape> {
    let k = view.scale.mm_per_m();
    let mut order: Vec<&LevelRing> = rings
        .iter()
        .filter(|r| r.area_m2.abs() * k * k >= SMALLEST_PATCH_MM2)
        .collect();
    // Single precision on purpose: rings equal but for rounding must tie, and then nest by band.
    order.sort_by(|x, y| {
        (y.area_m2.abs() as f32)
            .total_cmp(&(x.area_m2.abs() as f32))
            .then((x.area_m2 < 0.0).cmp(&(y.area_m2 < 0.0)))
            .then(if x.area_m2 > 0.0 {
                x.band.cmp(&y.band)
            } else {
                y.band.cmp(&x.band)
            })
    });
    let mut out = Vec::with_capacity(order.len());
    for ring in order {
        let points: Vec<PaperPoint> = view.ring(&ring.points);
        if points.len() < 3 {
            continue;
        }
        let void = ring.band == 0 || ring.along_edge.iter().all(|&e| e);
        let ink = match (ring.area_m2 > 0.0, void) {
            (true, _) => shades.get(ring.band).copied().unwrap_or(Ink::WHITE),
            (false, true) => Ink::WHITE,
            (false, false) => shades.get(ring.band - 1).copied().unwrap_or(Ink::WHITE),
        };
        out.push(Shape::Fill { ring: points, ink });
    }
    out
}
