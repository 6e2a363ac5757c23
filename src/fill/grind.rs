//! Grind or fill: what each step of lowering the finish costs and saves.

use super::material::{Material, whole_bags};
use super::price::Prices;
use super::prism::Cut;
use super::stage::Stage;
use serde::{Deserialize, Serialize};

/// Most rows of the table.
const MOST_ROWS: usize = 400;

/// One step of the table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct GrindRow {
    /// How far the high point is taken down, and the finish with it, metres.
    pub lowered_m: f64,
    /// Finish level, elevation in metres.
    pub level_m: f64,
    /// Plan area to grind, square metres.
    pub grind_area_m2: f64,
    /// Floor to grind away, cubic metres.
    pub grind_volume_m3: f64,
    /// Deepest grinding, metres.
    pub deepest_grind_m: f64,
    /// Material, cubic metres.
    pub volume_m3: f64,
    /// Bags with waste, rounded up; `None` without a yield.
    pub bags: Option<u32>,
    /// Bags saved against the first row.
    pub bags_saved: Option<u32>,
    /// Cost of grinding, when priced.
    pub grind_cost: Option<f64>,
    /// Cost of bags, when priced.
    pub bag_cost: Option<f64>,
    /// Both together.
    pub total_cost: Option<f64>,
    /// Whether no other row costs less (the first of equal ones).
    pub cheapest: bool,
}

/// Grind-or-fill table: a row for no grinding, then one for each step down to `deepest_m`.
///
/// # Units, datum, sign
/// Metres; the stage curve counts from the high point; `gauge_m` is the depth of material kept over the high point, ground or not.
/// # Method
/// Lowering by `k` steps grinds everything above `high point - k step` down to that level and puts
/// the finish `gauge_m` above it, so that the cover stays the same. The material is then the volume
/// under the ground level plus the gauge depth over the whole area; both are exact prism volumes.
/// # Edge cases
/// A step that is not above zero, or would make more than 400 rows, gives the first row only.
pub fn grind_or_fill(
    stage: &Stage,
    gauge_m: f64,
    (step_m, deepest_m): (f64, f64),
    material: &Material,
    waste: f64,
    prices: Option<&Prices>,
) -> Vec<GrindRow> {
    let high_point_z_m = stage.high_point_m();
    let steps = (deepest_m / step_m + 1e-9).floor();
    let steps = if step_m > 0.0 && steps.is_finite() && steps < MOST_ROWS as f64 {
        steps.max(0.0) as usize
    } else {
        0
    };
    let bags = |volume: f64| {
        material
            .yield_m3
            .map(|y| whole_bags(volume * (1.0 + waste) / y))
    };
    let mut rows: Vec<GrindRow> = Vec::with_capacity(steps + 1);
    for k in 0..=steps {
        let lowered = k as f64 * step_m;
        let ground = high_point_z_m - lowered;
        let cut = if k > 0 {
            stage.above(ground)
        } else {
            Cut::default()
        };
        // Without grinding the finish may cut floor above the stated high point; nothing is put there.
        let volume = if k == 0 {
            stage.volume_at(ground + gauge_m)
        } else {
            stage.volume_at(ground) + gauge_m * stage.area_m2()
        };
        let count = bags(volume);
        let first = rows.first().map_or(count, |r| r.bags);
        let priced = |per: fn(&Prices) -> Option<f64>| prices.and_then(per);
        let (area, away) = (cut.area_m2, cut.volume_m3);
        let per_area = priced(|p| p.per_grind_m2).map(|c| c * area);
        let per_volume = priced(|p| p.per_grind_l).map(|c| c * away * 1000.0);
        let grind_cost = match (per_area, per_volume) {
            (None, None) => None,
            (a, v) => Some(a.unwrap_or(0.0) + v.unwrap_or(0.0)),
        };
        let bag_cost = priced(|p| p.per_bag)
            .zip(count)
            .map(|(c, n)| c * f64::from(n));
        rows.push(GrindRow {
            lowered_m: lowered,
            level_m: ground + gauge_m,
            grind_area_m2: area,
            grind_volume_m3: away,
            deepest_grind_m: if k == 0 {
                0.0
            } else {
                (stage.highest_m() - ground).max(0.0)
            },
            volume_m3: volume,
            bags: count,
            bags_saved: first.zip(count).map(|(f, c)| f.saturating_sub(c)),
            grind_cost,
            bag_cost,
            total_cost: grind_cost.zip(bag_cost).map(|(g, b)| g + b),
            cheapest: false,
        });
    }
    let least = rows
        .iter()
        .enumerate()
        .filter_map(|(i, r)| Some((i, r.total_cost?)))
        .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    if let Some((i, _)) = least {
        rows[i].cheapest = true;
    }
    rows
}
