//! Fill, take-off and pour of one floor.

use super::analyse::named_point;
use super::error::AnalysisError;
use super::flat::Flatness;
use super::levels::Levels;
use super::settings::{FallHeight, GAUGE_METRIC_M, GAUGE_US_M, PlaneAsk, Settings, WASTE};
use crate::fill::{
    self, BANDS_METRIC_M, BANDS_US_M, Fill, FlatSummary, GaugeRow, GrindRow, HeightAt, Material,
    NeedForPour, Plane, PlaneRule, Settled, SlopeLeft, Stage, StagePoint, TakeOff, TakeOffRequest,
};
use crate::flatness::Verdict;
use crate::pour::{self, PourError, PourPlan, PourRequest};
use crate::surface::Floor;
use crate::survey::{Notice, Severity, Survey};
use crate::units::{Habit, INCH_M};

/// Everything about filling one floor.
#[derive(Debug, Clone)]
pub struct Filling {
    /// Volume, areas, depths under the finish plane.
    pub fill: Fill,
    /// Volume and area against a level finish.
    pub stage: Vec<StagePoint>,
    /// Where area times the rake setting levels off.
    pub by_rake: Option<Settled>,
    /// Where the bags at hand level off.
    pub by_bags: Option<Settled>,
    /// Share added for waste.
    pub waste: f64,
    /// Everything to order; `None` without a material sheet.
    pub take_off: Option<TakeOff>,
    /// Several gauge depths side by side.
    pub side_by_side: Vec<GaugeRow>,
    /// What lowering the plane step by step grinds and saves.
    pub grind: Vec<GrindRow>,
    /// Heights after the work at doors and fixtures.
    pub heights: Vec<HeightAt>,
    /// Areas that keep their slope: left out of the fill, with what their dams hold back.
    pub slopes: Vec<SlopeLeft>,
    /// Whether a pour is needed, and for what.
    pub need: NeedForPour,
    /// What is worth telling.
    pub notices: Vec<Notice>,
}

/// Points of the stage curve that are kept for printing.
const STAGE_POINTS: usize = 41;

pub(super) fn filling(
    survey: &Survey,
    floor: &Floor,
    levels: &Levels,
    settings: &Settings,
    flatness: Option<&Flatness>,
) -> Result<Filling, AnalysisError> {
    let mut notices = Vec::new();
    let high = levels.high.elevation_m;
    let rule = rule(survey, floor, high, settings, &mut notices)?;
    let edges = match settings.habit {
        Habit::Us => BANDS_US_M,
        Habit::Metric => BANDS_METRIC_M,
    };
    let fill = fill::compute(floor, high, &rule, &edges);
    let stage = Stage::new(floor, high);
    let gauge = Some(fill.gauge_depth_m);
    let top = (high + fill.gauge_depth_m.max(0.0)).max(fill.plane.z0) + 0.0254;
    let by_rake = settings
        .rake_m
        .map(|setting| fill::settle_rake(floor, &stage, setting, gauge));
    let by_bags = settings
        .bags_at_hand
        .zip(settings.material.as_ref().and_then(|m| m.yield_m3))
        .map(|(bags, yield_m3)| fill::settle(floor, &stage, bags * yield_m3, gauge));
    let waste = settings.waste.unwrap_or(WASTE);
    let step_m = match settings.habit {
        Habit::Us => INCH_M / 16.0,
        Habit::Metric => 0.001,
    };
    let room = survey.room.as_ref();
    // A tilted finish is not what levelling takes: that is asked of the level one over the high point.
    let level = if fill.plane.is_level() {
        None
    } else {
        let rule = PlaneRule::OverHighPoint {
            gauge_m: usual_gauge(settings).0,
        };
        Some(fill::compute(floor, high, &rule, &edges))
    };
    let take_off = match &settings.material {
        Some(material) => Some(fill::take_off(
            floor,
            &fill,
            room,
            material,
            &TakeOffRequest {
                waste,
                framed: settings.framed,
                base_depth_m: settings.base_depth_m,
                least_cover_m: settings.cover_m,
                as_of: Some(settings.as_of.clone()).filter(|w| !w.is_empty()),
                step_m,
                pitch_m: dam_pitch_m(settings.habit),
                habit: settings.habit,
                prices: settings.prices.clone(),
            },
        )?),
        None => None,
    };
    if let Some(t) = &take_off {
        notices.extend(t.notices.iter().cloned());
    }
    // Without a sheet the tables still tell areas and volumes; bags are then left open.
    let unknown = Material::default();
    let material = settings.material.as_ref().unwrap_or(&unknown);
    let gauge_m = fill.gauge_depth_m;
    // Both tables are of level finishes; beside a tilted one they would compare what is not alike.
    let side_by_side = if level.is_none() {
        let asked = if settings.gauges_m.is_empty() {
            gauges(gauge_m, step_m)
        } else {
            settings.gauges_m.clone()
        };
        fill::side_by_side(&stage, &asked, material, waste)
    } else {
        Vec::new()
    };
    let deepest_grind = if settings.grind_m > 0.0 {
        settings.grind_m
    } else {
        GRIND_STEPS * step_m
    };
    let grind = if level.is_none() {
        fill::grind_or_fill(
            &stage,
            gauge_m,
            (step_m, deepest_grind),
            material,
            waste,
            settings.prices.as_ref(),
        )
    } else {
        Vec::new()
    };
    let heights = room.map_or_else(Vec::new, |r| {
        let mut points = fill::named_points(r);
        for p in &mut points {
            p.cover_m = settings.cover_m;
            p.covering_m = settings.covering_m;
        }
        fill::heights_after(floor, &fill.plane, &points, settings.habit)
    });
    let slopes = room.map_or_else(Vec::new, |r| {
        fill::slopes_left(
            r,
            &fill::dams(floor, &fill.plane, r, dam_pitch_m(settings.habit)),
        )
    });
    let need = fill::need_for_pour(
        settings.aim,
        summary(flatness),
        levels.overall_m,
        level.as_ref().unwrap_or(&fill),
        bags_of(level.as_ref().unwrap_or(&fill), material, waste),
        settings.habit,
    );
    Ok(Filling {
        stage: stage.curve(top, STAGE_POINTS),
        fill,
        by_rake,
        by_bags,
        waste,
        take_off,
        side_by_side,
        grind,
        heights,
        slopes,
        need,
        notices,
    })
}

/// Bags for a fill, waste included; `None` without a yield.
fn bags_of(fill: &Fill, material: &Material, waste: f64) -> Option<u32> {
    material
        .yield_m3
        .map(|y| fill::whole_bags(fill.volume_m3 * (1.0 + waste) / y))
}

/// Distance between the places at which a dam's height is told: 1 ft, or 250 mm.
const fn dam_pitch_m(habit: Habit) -> f64 {
    match habit {
        Habit::Us => crate::units::FOOT_M,
        Habit::Metric => 0.25,
    }
}

/// Steps of the grind-or-fill table when the job names no deepest grind.
const GRIND_STEPS: f64 = 4.0;

/// Gauge depths set beside the one asked for: nothing, then twice the step, and so on.
fn gauges(asked_m: f64, step_m: f64) -> Vec<f64> {
    let mut list: Vec<f64> = [0.0, 2.0, 4.0, 8.0].iter().map(|k| k * step_m).collect();
    if !list.iter().any(|g| (g - asked_m).abs() < step_m / 100.0) {
        list.push(asked_m);
    }
    list.sort_by(f64::total_cmp);
    list
}

fn summary(flatness: Option<&Flatness>) -> FlatSummary {
    let mut counts = FlatSummary::default();
    for check in flatness.iter().flat_map(|f| &f.checks) {
        match check.verdict() {
            Verdict::Within => counts.within += 1,
            Verdict::Out => counts.out += 1,
            Verdict::InDoubt => counts.in_doubt += 1,
            Verdict::NotTested => counts.not_tested += 1,
        }
    }
    counts
}

/// The finish asked for, or the usual one with a notice that says so.
fn rule(
    survey: &Survey,
    floor: &Floor,
    high_m: f64,
    settings: &Settings,
    notices: &mut Vec<Notice>,
) -> Result<PlaneRule, AnalysisError> {
    match &settings.plane {
        Some(PlaneAsk::Gauge(gauge_m)) => Ok(PlaneRule::OverHighPoint { gauge_m: *gauge_m }),
        Some(PlaneAsk::LevelAt { name, offset_m }) => {
            let (_, base) = named_height(survey, floor, high_m, "level_at", name)?;
            Ok(PlaneRule::AtLevel {
                elevation_m: base + offset_m,
            })
        }
        Some(PlaneAsk::LeastFill) => Ok(PlaneRule::LeastFill),
        Some(PlaneAsk::Fall {
            fall,
            from,
            to,
            height,
        }) => {
            let start = named_point(survey, "fall_from", from)?;
            let end = named_point(survey, "fall_to", to)?;
            if start.distance(end) <= 0.0 {
                return Err(AnalysisError::NoDirection {
                    from: from.clone(),
                    to: to.clone(),
                });
            }
            let slope = Plane::falling(start, 0.0, end, *fall);
            let lift = match height {
                FallHeight::At { name, offset_m } => {
                    let (at, base) = named_height(survey, floor, high_m, "level_at", name)?;
                    base + offset_m - slope.at(at)
                }
                FallHeight::Cover(cover_m) => over_all(floor, &slope) + cover_m,
                FallHeight::Usual => {
                    let (gauge_m, why) = usual_gauge(settings);
                    notices.push(Notice::new(
                        "gauge-assumed",
                        Severity::Note,
                        "",
                        format!("No cover was asked for under the fall; taken is {why}. Give one with --gauge or fill.gauge."),
                    ));
                    over_all(floor, &slope) + gauge_m
                }
            };
            Ok(PlaneRule::Fall {
                plane: Plane {
                    z0: slope.z0 + lift,
                    ..slope
                },
            })
        }
        None => {
            let (gauge_m, why) = usual_gauge(settings);
            notices.push(Notice::new(
                "gauge-assumed",
                Severity::Note,
                "",
                format!("No gauge depth was asked for; taken is {why}. Give one with --gauge or fill.gauge."),
            ));
            Ok(PlaneRule::OverHighPoint { gauge_m })
        }
    }
}

/// Gauge depth when none is asked for, and where it comes from.
fn usual_gauge(settings: &Settings) -> (f64, &'static str) {
    let usual = match settings.habit {
        Habit::Us => GAUGE_US_M,
        Habit::Metric => GAUGE_METRIC_M,
    };
    let sheet = settings.material.as_ref().and_then(|m| m.min_depth_m);
    sheet.map_or(
        (
            usual,
            "1/8 in or 3 mm, common practice, no published source",
        ),
        |least| (least, "the least depth of the material sheet"),
    )
}

/// How far a plane must be lifted so that no place of the floor stands over it. Heights and plane are linear on
/// every triangle, so the corners decide for every place between them.
fn over_all(floor: &Floor, plane: &Plane) -> f64 {
    floor
        .vertices()
        .iter()
        .map(|v| v.z - plane.at(v.at))
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Place of a named point, and the height that counts there: the adjoining floor's at a door, else the floor's.
fn named_height(
    survey: &Survey,
    floor: &Floor,
    high_m: f64,
    key: &str,
    name: &str,
) -> Result<(crate::geometry::Point, f64), AnalysisError> {
    let at = named_point(survey, key, name)?;
    let adjoining = survey.room.as_ref().and_then(|r| {
        r.doors
            .iter()
            .find(|d| d.name.eq_ignore_ascii_case(name))
            .and_then(|d| d.adjoining_m)
    });
    let height = adjoining
        .or_else(|| height_near(floor, at))
        .unwrap_or(high_m);
    Ok((at, height))
}

/// Height of the floor at a point that may stand in a doorway, just outside the outline.
fn height_near(floor: &Floor, at: crate::geometry::Point) -> Option<f64> {
    floor
        .vertices()
        .iter()
        .min_by(|a, b| a.at.distance(at).total_cmp(&b.at.distance(at)))
        .map(|v| v.z)
}

/// The pour plan, or why there is none.
pub(super) fn pour(
    survey: &Survey,
    floor: &Floor,
    levels: &Levels,
    settings: &Settings,
    filling: &Filling,
) -> Result<Result<PourPlan, PourError>, AnalysisError> {
    let Some(material) = settings.material.clone() else {
        return Ok(Err(PourError::NothingToPour));
    };
    let crew = &settings.crew;
    let usual = PourRequest::default();
    let room = survey.room.as_ref();
    let exit = match &crew.exit {
        Some(name) => Some(named_point(survey, "crew.exit", name)?),
        None => room.and_then(|r| r.doors.first()).map(|d| d.at),
    };
    let start = match &crew.start {
        Some(name) => Some(named_point(survey, "crew.start", name)?),
        None => Some(levels.high.at),
    };
    let mut material = material;
    if crew.bags_per_batch.is_some() {
        material.bags_per_batch = crew.bags_per_batch;
    }
    let request = PourRequest {
        material,
        waste: filling.waste,
        start,
        exit,
        mixing_min: crew.mixing_min,
        placing_min: crew.placing_min.unwrap_or(usual.placing_min),
        mixers: crew.mixers.unwrap_or(usual.mixers),
        overlapped: crew.overlapped.unwrap_or(usual.overlapped),
        people: crew.people.unwrap_or(usual.people),
        order: crew.order,
        bays: crew.bays,
        stop_at_joints: room.is_some_and(|r| r.joints.iter().any(|j| j.movement)),
        ..usual
    };
    Ok(pour::plan(floor, &filling.fill.plane, &request))
}
