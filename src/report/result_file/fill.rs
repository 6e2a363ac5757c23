//! What a finish takes: volume, depths, what to grind instead, heights at doors.

use serde::Serialize;

use super::quantity::{Exact, KgPerM2, Litres, Mm, Money, Place, Slope, SquareMetres};
use super::take_off::TakeOff;
use crate::analysis::Filling;
use crate::fill;

/// The fill under one finish.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Fill {
    /// How the finish was chosen.
    plane: Plane,
    /// Depth over the high point; negative where the finish cuts it.
    gauge_depth_mm: Mm,
    /// Level of the finish; of a tilted one at the plan's origin.
    finish_level_mm: Mm,
    /// Material in place, without waste.
    volume_l: Litres,
    /// What other folds of the grid's squares would change.
    diagonal_spread_l: Litres,
    /// Part of the volume over floor carried out beyond the readings.
    extended_volume_l: Litres,
    /// Floor that gets material.
    wet_area_m2: SquareMetres,
    /// Floor that gets none, at the finish or above it.
    dry_area_m2: SquareMetres,
    /// Floor above the finish: where to grind.
    above_area_m2: SquareMetres,
    /// Floor above the finish: what would have to be ground off.
    above_l: Litres,
    /// Greatest height of floor above the finish.
    highest_above_mm: Mm,
    /// Mean depth over the floor that gets material.
    mean_depth_mm: Mm,
    /// Greatest depth.
    deepest_mm: Mm,
    /// Where that is.
    deepest_at: Place,
    /// Whether the floor was read there.
    deepest_on: Known,
    /// Least depth; negative where floor stands above the finish.
    least_mm: Mm,
    /// Where that is.
    least_at: Place,
    /// Whether the floor was read there.
    least_on: Known,
    /// Areas and volumes by depth.
    bands: Vec<Band>,
    /// Volume and area against the level of the finish.
    stage_curve: Vec<Stage>,
    /// What to order; null without a material sheet.
    take_off: Option<TakeOff>,
    /// Several gauge depths side by side.
    side_by_side: Vec<Gauge>,
    /// What lowering the finish grinds and saves, a row a step.
    grind_or_fill: Vec<Grind>,
    /// Doors and fixtures after the work.
    heights: Vec<Height>,
    /// Areas that keep their slope.
    slopes_left: Vec<SlopeLeft>,
    /// Whether a pour is needed, and for what.
    need: Need,
    /// Where area times the setting of a gauge rake levels off; null where none is stated.
    settled_by_rake: Option<Settled>,
    /// Where the bags at hand level off; null where none are stated.
    settled_by_bags: Option<Settled>,
}

/// How the finish was chosen.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "rule")]
enum Plane {
    /// Level, a depth of material over the high point.
    OverHighPoint {
        /// That depth.
        gauge_mm: Mm,
    },
    /// Level at a stated height.
    AtLevel {
        /// That height over the survey's datum.
        elevation_mm: Mm,
    },
    /// A stated fall.
    Fall {
        /// Its height at the plan's origin.
        origin_mm: Mm,
        /// Rise over run to the right.
        slope_x: Slope,
        /// Rise over run up the plan.
        slope_y: Slope,
    },
    /// The tilted plane of least fill over all readings.
    LeastFill {
        /// Its height at the plan's origin.
        origin_mm: Mm,
        /// Rise over run to the right.
        slope_x: Slope,
        /// Rise over run up the plan.
        slope_y: Slope,
    },
}

impl Plane {
    fn of(rule: &fill::PlaneRule, own: &fill::Plane) -> Self {
        match rule {
            fill::PlaneRule::OverHighPoint { gauge_m } => Self::OverHighPoint {
                gauge_mm: Mm::of_m(*gauge_m),
            },
            fill::PlaneRule::AtLevel { elevation_m } => Self::AtLevel {
                elevation_mm: Mm::of_m(*elevation_m),
            },
            fill::PlaneRule::Fall { plane } => Self::Fall {
                origin_mm: Mm::of_m(plane.z0),
                slope_x: Slope::of(plane.sx),
                slope_y: Slope::of(plane.sy),
            },
            fill::PlaneRule::LeastFill => Self::LeastFill {
                origin_mm: Mm::of_m(own.z0),
                slope_x: Slope::of(own.sx),
                slope_y: Slope::of(own.sy),
            },
        }
    }
}

/// How the floor at a place is known.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Known {
    /// At a reading or between readings.
    Read,
    /// Carried out beyond the readings.
    Extended,
}

impl From<fill::Known> for Known {
    fn from(known: fill::Known) -> Self {
        match known {
            fill::Known::Reading | fill::Known::Between => Self::Read,
            fill::Known::Extended => Self::Extended,
        }
    }
}

/// A band of depths.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Band {
    /// Its shallow side.
    from_mm: Mm,
    /// Its deep side; null for the open last one.
    to_mm: Option<Mm>,
    /// Floor whose depth lies in it.
    area_m2: SquareMetres,
    /// Material over that floor.
    volume_l: Litres,
}

/// A level finish and what it takes.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Stage {
    /// Its level.
    level_mm: Mm,
    /// Depth over the high point; negative below it.
    gauge_depth_mm: Mm,
    /// Material.
    volume_l: Litres,
    /// Floor that gets material.
    wet_area_m2: SquareMetres,
    /// Floor that stays bare.
    dry_area_m2: SquareMetres,
}

impl From<&fill::StagePoint> for Stage {
    fn from(p: &fill::StagePoint) -> Self {
        Self {
            level_mm: Mm::of_m(p.level_m),
            gauge_depth_mm: Mm::of_m(p.gauge_depth_m),
            volume_l: Litres::of_m3(p.volume_m3),
            wet_area_m2: SquareMetres::of_m2(p.wet_area_m2),
            dry_area_m2: SquareMetres::of_m2(p.dry_area_m2),
        }
    }
}

/// One gauge depth among several.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Gauge {
    /// Depth over the high point.
    gauge_depth_mm: Mm,
    /// Level of the finish.
    level_mm: Mm,
    /// Material.
    volume_l: Litres,
    /// Floor that gets material.
    wet_area_m2: SquareMetres,
    /// Mean depth over it.
    mean_depth_mm: Mm,
    /// Greatest depth.
    deepest_mm: Mm,
    /// Whole bags with waste; null without a yield.
    bags: Option<u32>,
    /// Whether these are by volume although the pour plan of the finish asked for, whose batches are whole, takes another number than its volume.
    bags_by_volume: bool,
    /// Added weight on average; null without a density.
    mean_kg_m2: Option<KgPerM2>,
}

/// The finish lowered by some steps, and what is ground for it.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Grind {
    /// How far the finish lies under the one asked for.
    lowered_mm: Mm,
    /// Its level.
    level_mm: Mm,
    /// All floor above this is ground down to it; null where nothing is ground.
    ground_to_mm: Option<Mm>,
    /// Floor to grind.
    grind_area_m2: SquareMetres,
    /// Floor to grind away.
    grind_volume_l: Litres,
    /// Deepest grinding.
    deepest_grind_mm: Mm,
    /// Whether that is more than the job allows.
    deeper_than_allowed: bool,
    /// Material on the floor as ground.
    volume_l: Litres,
    /// Floor that gets material.
    wet_area_m2: SquareMetres,
    /// Whole bags with waste, in the first row as in the take-off; null without a yield.
    bags: Option<u32>,
    /// Whether these are by volume although the pour plan of the first row, whose batches are whole, takes another number than its volume.
    bags_by_volume: bool,
    /// Bags saved against the first row.
    bags_saved: Option<u32>,
    /// Cost of grinding; null where it has no price.
    grind_cost: Option<Money>,
    /// Cost of bags; null where they have no price.
    bag_cost: Option<Money>,
    /// Both.
    total_cost: Option<Money>,
    /// No other row that may be done costs less.
    cheapest: bool,
}

impl From<&fill::GrindRow> for Grind {
    fn from(g: &fill::GrindRow) -> Self {
        Self {
            lowered_mm: Mm::of_m(g.lowered_m),
            level_mm: Mm::of_m(g.level_m),
            ground_to_mm: g.ground_to_m.map(Mm::of_m),
            grind_area_m2: SquareMetres::of_m2(g.grind_area_m2),
            grind_volume_l: Litres::of_m3(g.grind_volume_m3),
            deepest_grind_mm: Mm::of_m(g.deepest_grind_m),
            deeper_than_allowed: g.deeper_than_allowed,
            volume_l: Litres::of_m3(g.volume_m3),
            wet_area_m2: SquareMetres::of_m2(g.wet_area_m2),
            bags: g.bags,
            bags_by_volume: g.by_volume,
            bags_saved: g.bags_saved,
            grind_cost: g.grind_cost.map(Money::of),
            bag_cost: g.bag_cost.map(Money::of),
            total_cost: g.total_cost.map(Money::of),
            cheapest: g.cheapest,
        }
    }
}

/// A door or fixture before and after.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Height {
    /// Its name.
    name: String,
    /// Where it is.
    at: Place,
    /// Present floor; null where none was surveyed near.
    before_mm: Option<Mm>,
    /// After the work, the covering included.
    after_mm: Option<Mm>,
    /// Thickness of the covering that these heights count in; null where none was stated.
    covering_mm: Option<Mm>,
    /// Rise of the floor, the covering included.
    rise_mm: Option<Mm>,
    /// Height over the adjoining floor; negative when lower.
    step_mm: Option<Mm>,
    /// What that step calls for.
    step: Option<Step>,
    /// Space left under the door; negative when the leaf would drag.
    door_gap_mm: Option<Mm>,
    /// Space left under the limit; negative when it is passed.
    below_limit_mm: Option<Mm>,
    /// Material over the point beyond the cover wanted; negative when too thin.
    cover_spare_mm: Option<Mm>,
    /// What to do, a sentence each.
    remarks: Vec<String>,
}

/// What a change in level calls for.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "step")]
enum Step {
    /// It may stand vertical.
    Vertical,
    /// A bevel.
    Bevel {
        /// Its least run.
        run_mm: Mm,
    },
    /// A ramp.
    Ramp {
        /// Its least run.
        run_mm: Mm,
    },
}

impl From<fill::Step> for Step {
    fn from(step: fill::Step) -> Self {
        match step {
            fill::Step::Vertical => Self::Vertical,
            fill::Step::Bevel { run_m } => Self::Bevel {
                run_mm: Mm::of_m(run_m),
            },
            fill::Step::Ramp { run_m } => Self::Ramp {
                run_mm: Mm::of_m(run_m),
            },
        }
    }
}

impl From<&fill::HeightAt> for Height {
    fn from(h: &fill::HeightAt) -> Self {
        let mm = |v: Option<f64>| v.map(Mm::of_m);
        Self {
            name: h.name.clone(),
            at: h.at.into(),
            before_mm: mm(h.before_m),
            after_mm: mm(h.after_m),
            covering_mm: mm(h.covering_m),
            rise_mm: mm(h.rise_m),
            step_mm: mm(h.step_m),
            step: h.step.map(Step::from),
            door_gap_mm: mm(h.door_gap_m),
            below_limit_mm: mm(h.below_limit_m),
            cover_spare_mm: mm(h.cover_spare_m),
            remarks: h.remarks.clone(),
        }
    }
}

/// An area that keeps its slope.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct SlopeLeft {
    /// Its name.
    name: String,
    /// Its area.
    area_m2: SquareMetres,
    /// The dam along it; null where none is needed.
    dam: Option<super::take_off::Dam>,
}

/// Whether a pour is needed, and for what.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Need {
    /// For flatness; null when the readings cannot tell.
    for_flatness: Option<bool>,
    /// Whether the fill is a matter of level only.
    for_level_only: bool,
    /// In sentences.
    words: Vec<String>,
}

/// What a fixed amount of material does.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Settled {
    /// The amount in place, waste taken off.
    given_l: Litres,
    /// Where it comes to rest.
    at: Stage,
    /// Every spot that stays bare, largest first.
    bare: Vec<Bare>,
    /// How much more (less: negative) would give the gauge depth asked for; null when none was.
    short_of_gauge_l: Option<Litres>,
}

/// A spot that stays bare.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Bare {
    /// Its area.
    area_m2: SquareMetres,
    /// Floor above the material.
    above_l: Litres,
    /// Greatest height above it.
    highest_mm: Mm,
    /// Where that is.
    at: Place,
}

impl From<&fill::Settled> for Settled {
    fn from(s: &fill::Settled) -> Self {
        Self {
            given_l: Litres::of_m3(s.given_m3),
            at: (&s.point).into(),
            bare: s
                .bare
                .iter()
                .map(|b| Bare {
                    area_m2: SquareMetres::of_m2(b.area_m2),
                    above_l: Litres::of_m3(b.volume_m3),
                    highest_mm: Mm::of_m(b.highest_m),
                    at: b.at.into(),
                })
                .collect(),
            short_of_gauge_l: s.short_of_gauge_m3.map(Litres::of_m3),
        }
    }
}

impl From<&Filling> for Fill {
    fn from(filling: &Filling) -> Self {
        let f = &filling.fill;
        Self {
            plane: Plane::of(&f.rule, &f.plane),
            gauge_depth_mm: Mm::of_m(f.gauge_depth_m),
            finish_level_mm: Mm::of_m(f.plane.z0),
            volume_l: Litres::of_m3(f.volume_m3),
            diagonal_spread_l: Litres::of_m3(f.diagonal_spread_m3),
            extended_volume_l: Litres::of_m3(f.extended_volume_m3),
            wet_area_m2: SquareMetres::of_m2(f.wet_area_m2),
            dry_area_m2: SquareMetres::of_m2(f.dry_area_m2),
            above_area_m2: SquareMetres::of_m2(f.above_area_m2),
            above_l: Litres::of_m3(f.above_m3),
            highest_above_mm: Mm::of_m(f.highest_above_m),
            mean_depth_mm: Mm::of_m(f.mean_depth_m),
            deepest_mm: Mm::of_m(f.deepest_m),
            deepest_at: f.deepest_at.into(),
            deepest_on: f.deepest_on.into(),
            least_mm: Mm::of_m(f.least_m),
            least_at: f.least_at.into(),
            least_on: f.least_on.into(),
            bands: f
                .bands
                .iter()
                .map(|b| Band {
                    from_mm: Mm::of_m(b.from_m),
                    to_mm: b.to_m.map(Mm::of_m),
                    area_m2: SquareMetres::of_m2(b.area_m2),
                    volume_l: Litres::of_m3(b.volume_m3),
                })
                .collect(),
            stage_curve: filling.stage.iter().map(Stage::from).collect(),
            take_off: filling.take_off.as_ref().map(TakeOff::from),
            side_by_side: filling.side_by_side.iter().map(gauge).collect(),
            grind_or_fill: filling.grind.iter().map(Grind::from).collect(),
            heights: filling.heights.iter().map(Height::from).collect(),
            slopes_left: filling
                .slopes
                .iter()
                .map(|s| SlopeLeft {
                    name: s.name.clone(),
                    area_m2: SquareMetres::of_m2(s.area_m2),
                    dam: s.dam.as_ref().map(Into::into),
                })
                .collect(),
            need: Need {
                for_flatness: filling.need.for_flatness,
                for_level_only: filling.need.for_level_only,
                words: filling.need.words.clone(),
            },
            settled_by_rake: filling.by_rake.as_ref().map(Settled::from),
            settled_by_bags: filling.by_bags.as_ref().map(Settled::from),
        }
    }
}

fn gauge(g: &fill::GaugeRow) -> Gauge {
    Gauge {
        gauge_depth_mm: Mm::of_m(g.gauge_m),
        level_mm: Mm::of_m(g.level_m),
        volume_l: Litres::of_m3(g.volume_m3),
        wet_area_m2: SquareMetres::of_m2(g.wet_area_m2),
        mean_depth_mm: Mm::of_m(g.mean_m),
        deepest_mm: Mm::of_m(g.deepest_m),
        bags: g.bags,
        bags_by_volume: g.by_volume,
        mean_kg_m2: g.mean_kg_m2.map(KgPerM2::of_kg_m2),
    }
}

/// Bags before rounding, for a patch of their own.
pub(super) fn exact(bags: Option<f64>) -> Option<Exact> {
    bags.map(Exact::of)
}
