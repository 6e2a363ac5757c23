//! Grind or fill: what each step of lowering the finish costs and saves.

use super::material::{Material, TooManyBags, whole_bags};
use super::price::Prices;
use super::prism::Cut;
use super::stage::Stage;

/// Most rows of the table; beyond them it goes in whole multiples of its step.
const MOST_ROWS: f64 = 400.0;
/// Floor that stands over a finish by less than this stands at it: rounding of its height, metres.
const ROUNDING_M: f64 = 1e-9;

/// How far the table goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrindSteps {
    /// What the finish is lowered by from row to row, metres.
    pub step_m: f64,
    /// How far it is lowered in all, metres.
    pub deepest_m: f64,
    /// Deepest grind that is allowed, metres; `None` where nothing is said.
    pub allowed_m: Option<f64>,
}

/// One step of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrindRow {
    /// How far the finish lies under the one asked for, metres.
    pub lowered_m: f64,
    /// Finish level, elevation in metres.
    pub level_m: f64,
    /// Level that all floor above it is ground down to, elevation in metres; `None` where nothing is ground.
    pub ground_to_m: Option<f64>,
    /// Plan area to grind, square metres.
    pub grind_area_m2: f64,
    /// Floor to grind away, cubic metres.
    pub grind_volume_m3: f64,
    /// Deepest grinding, metres.
    pub deepest_grind_m: f64,
    /// The deepest that the job allows, where it says so, metres.
    pub allowed_m: Option<f64>,
    /// Whether that is more than the job allows.
    pub deeper_than_allowed: bool,
    /// Material on the floor as ground, cubic metres.
    pub volume_m3: f64,
    /// Area that gets material, square metres.
    pub wet_area_m2: f64,
    /// Bags with waste, rounded up; in the first row as many as a pour plan takes, where there is one. `None` without a yield.
    pub bags: Option<u32>,
    /// Whether these are by volume although the pour plan of the first row takes another number than its volume.
    pub by_volume: bool,
    /// Bags saved against the first row.
    pub bags_saved: Option<u32>,
    /// Cost of grinding, when priced.
    pub grind_cost: Option<f64>,
    /// Cost of bags, when priced.
    pub bag_cost: Option<f64>,
    /// Both together.
    pub total_cost: Option<f64>,
    /// Whether no other row that may be done costs less (the first of equal ones).
    pub cheapest: bool,
}

impl GrindRow {
    /// The same for those who do not pay.
    pub const fn without_price(&self) -> Self {
        Self {
            grind_cost: None,
            bag_cost: None,
            total_cost: None,
            cheapest: false,
            ..*self
        }
    }
}

/// Grind-or-fill table: a row for the finish asked for, then one for each step that it is lowered.
///
/// # Units, datum, sign
/// Metres; `gauge_m` is the depth of the finish asked for over the high point of the stage curve, negative below it.
/// # Method
/// Each row is the fill of the floor as ground. With a gauge over the high point that gauge is kept over whatever is
/// ground: the row lowered by `k` steps grinds all floor above `high point - k step` down to that level. A finish
/// under the high point is ground to: all floor above the finish goes, down to the finish. So floor is ground to the
/// lower of the two, in the first row too where floor stands above the finish. See [`Stage::at_level_ground`].
/// # Edge cases
/// A step or a depth that is not above zero gives the first row only. More than 400 rows are made coarser.
/// # Errors
/// [`TooManyBags`] where the count of bags cannot be meant.
pub fn grind_or_fill(
    stage: &Stage,
    gauge_m: f64,
    steps: GrindSteps,
    material: &Material,
    waste: f64,
    prices: Option<&Prices>,
) -> Result<Vec<GrindRow>, TooManyBags> {
    let count = (steps.deepest_m / steps.step_m + 1e-9).floor();
    let usable = steps.step_m > 0.0 && count.is_finite() && count >= 1.0;
    let count = if usable { count } else { 0.0 };
    let every = (count / MOST_ROWS).ceil().max(1.0);
    let mut rows = Vec::new();
    let mut k = 0.0;
    while k <= count {
        rows.push(row(stage, gauge_m, k * steps.step_m, steps.allowed_m));
        k += every;
    }
    for row in &mut rows {
        let volume = row.volume_m3 * (1.0 + waste);
        row.bags = material
            .yield_m3
            .map(|y| whole_bags(volume / y))
            .transpose()?;
    }
    compare(&mut rows, prices);
    Ok(rows)
}

/// Sets the bags that a pour plan takes of the finish asked for into the first row. Where that is not what the volume tells, the other rows are
/// marked as told by volume: how their floors would be poured is not planned.
pub fn grind_as_poured(rows: &mut [GrindRow], poured: u32, prices: Option<&Prices>) {
    let Some((first, others)) = rows.split_first_mut() else {
        return;
    };
    let other_than_volume = first.bags.is_some_and(|b| b != poured);
    first.bags = first.bags.map(|_| poured);
    for row in others {
        row.by_volume = other_than_volume && row.bags.is_some();
    }
    compare(rows, prices);
}

/// What each row saves against the first and costs, and which costs least.
fn compare(rows: &mut [GrindRow], prices: Option<&Prices>) {
    let first = rows.first().and_then(|r| r.bags);
    for row in rows.iter_mut() {
        row.bags_saved = first.zip(row.bags).map(|(f, c)| f.saturating_sub(c));
        row.cheapest = false;
        if let Some(prices) = prices {
            price(row, prices);
        }
    }
    let least = rows
        .iter()
        .enumerate()
        .filter(|(_, r)| !r.deeper_than_allowed)
        .filter_map(|(i, r)| Some((i, r.total_cost?)))
        .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    if let Some((i, _)) = least {
        rows[i].cheapest = true;
    }
}

/// One row, bags and prices still open.
fn row(stage: &Stage, gauge_m: f64, lowered_m: f64, allowed_m: Option<f64>) -> GrindRow {
    let level_m = stage.high_point_m() + gauge_m - lowered_m;
    // Nothing is lowered in the first row: only what stands above the finish has to go.
    let kept_over = if lowered_m > 0.0 {
        level_m - gauge_m.max(0.0)
    } else {
        level_m
    };
    let deepest_grind_m = stage.highest_m() - kept_over;
    let ground_to_m = (deepest_grind_m > ROUNDING_M).then_some(kept_over);
    let cut = ground_to_m.map_or_else(Cut::default, |to| stage.above(to));
    let fill = match ground_to_m {
        Some(to) => stage.at_level_ground(level_m, to),
        None => stage.at_level(level_m),
    };
    let deepest_grind_m = ground_to_m.map_or(0.0, |_| deepest_grind_m);
    GrindRow {
        lowered_m,
        level_m,
        ground_to_m,
        grind_area_m2: cut.area_m2,
        grind_volume_m3: cut.volume_m3,
        deepest_grind_m,
        allowed_m,
        deeper_than_allowed: allowed_m.is_some_and(|most| deepest_grind_m > most + ROUNDING_M),
        volume_m3: fill.volume_m3,
        wet_area_m2: fill.wet_area_m2,
        bags: None,
        by_volume: false,
        bags_saved: None,
        grind_cost: None,
        bag_cost: None,
        total_cost: None,
        cheapest: false,
    }
}

fn price(row: &mut GrindRow, prices: &Prices) {
    let per_area = prices.per_grind_m2.map(|c| c * row.grind_area_m2);
    let per_volume = prices.per_grind_l.map(|c| c * row.grind_volume_m3 * 1000.0);
    row.grind_cost = match (per_area, per_volume) {
        (None, None) => None,
        (a, v) => Some(a.unwrap_or(0.0) + v.unwrap_or(0.0)),
    };
    row.bag_cost = prices.per_bag.zip(row.bags).map(|(c, n)| c * f64::from(n));
    row.total_cost = row.grind_cost.zip(row.bag_cost).map(|(g, b)| g + b);
}
