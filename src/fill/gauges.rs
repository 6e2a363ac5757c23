//! Several gauge depths side by side.

use super::material::{Material, TooManyBags, whole_bags};
use super::stage::Stage;

/// One gauge depth among several, side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeRow {
    /// Depth over the high point, metres.
    pub gauge_m: f64,
    /// Finish level, elevation in metres.
    pub level_m: f64,
    /// Material, cubic metres.
    pub volume_m3: f64,
    /// Area with material, square metres.
    pub wet_area_m2: f64,
    /// Mean depth over that area, metres.
    pub mean_m: f64,
    /// Greatest depth, metres.
    pub deepest_m: f64,
    /// Bags with waste, rounded up; `None` without a yield.
    pub bags: Option<u32>,
    /// Whether these are by volume although the pour plan of the finish asked for takes another number than its volume.
    pub by_volume: bool,
    /// Added weight on average, kilograms per square metre; `None` without a density.
    pub mean_kg_m2: Option<f64>,
}

/// Several gauge depths side by side, each counted from the high point of the stage curve, metres.
///
/// # Errors
/// [`TooManyBags`] where the count of bags cannot be meant.
pub fn side_by_side(
    stage: &Stage,
    gauges_m: &[f64],
    material: &Material,
    waste: f64,
) -> Result<Vec<GaugeRow>, TooManyBags> {
    gauges_m
        .iter()
        .map(|&gauge_m| {
            let level_m = stage.high_point_m() + gauge_m;
            let p = stage.at_level(level_m);
            let mean_m = if p.wet_area_m2 > 0.0 {
                p.volume_m3 / p.wet_area_m2
            } else {
                0.0
            };
            Ok(GaugeRow {
                gauge_m,
                level_m,
                volume_m3: p.volume_m3,
                wet_area_m2: p.wet_area_m2,
                mean_m,
                deepest_m: (level_m - stage.lowest_m()).max(0.0),
                bags: material
                    .yield_m3
                    .map(|y| whole_bags(p.volume_m3 * (1.0 + waste) / y))
                    .transpose()?,
                by_volume: false,
                mean_kg_m2: material.density_kg_m3.map(|d| d * mean_m),
            })
        })
        .collect()
}
