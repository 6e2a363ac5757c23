//! Fill, take-off and pour of one floor.

use super::error::AnalysisError;
use super::finish::{believed, rule, usual_gauge};
use super::flat::Flatness;
use super::levels::Levels;
use super::named::named;
use super::settings::{Settings, WASTE};
use crate::fill::{
    self, BANDS_METRIC_M, BANDS_US_M, Dam, DamKind, Fill, FlatSummary, GaugeRow, GrindRow,
    GrindSteps, HeightAt, Material, NeedForPour, PlaneRule, Poured, Settled, SlopeLeft, Stage,
    StagePoint, TakeOff, TakeOffRequest, TooManyBags,
};
use crate::flatness::Verdict;
use crate::geometry::Point;
use crate::pour::{self, PourError, PourPlan, PourRequest};
use crate::surface::Floor;
use crate::survey::{Notice, Room, Severity, Survey};
use crate::units::{Habit, INCH_M, Pen};

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

/// What was asked for and cannot be answered without a material sheet, told once.
fn open_without_a_sheet(settings: &Settings) -> Option<Notice> {
    if settings.material.is_some() {
        return None;
    }
    let asked = [
        (settings.waste.is_some(), "the waste"),
        (
            settings.base_depth_m.is_some(),
            "the depth of the base material",
        ),
        (
            settings.framed == Some(true),
            "the weight on a framed floor",
        ),
    ];
    let names: Vec<&str> = asked.iter().filter(|a| a.0).map(|a| a.1).collect();
    (!names.is_empty()).then(|| {
        Notice::new(
            "needs-a-sheet",
            Severity::Warning,
            "",
            format!(
                "No material sheet was given, so nothing is worked out for {}: give one with --material or fill.material.",
                names.join(", ")
            ),
        )
    })
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
    let rule = rule(survey, floor, settings, &mut notices)?;
    let edges = match settings.habit {
        Habit::Us => BANDS_US_M,
        Habit::Metric => BANDS_METRIC_M,
    };
    let fill = Fill {
        gauge_from: settings.plane.is_none().then(|| usual_gauge(settings).1),
        ..fill::compute(floor, high, &rule, &edges)
    };
    believed(&fill, settings)?;
    let stage = Stage::new(floor, high);
    let waste = settings.waste.unwrap_or(WASTE);
    // What levels off is not to be held against a finish that is not level.
    let gauge = fill.plane.is_level().then_some(fill.gauge_depth_m);
    let top = (high + fill.gauge_depth_m.max(0.0)).max(fill.plane.z0) + 0.0254;
    let by_rake = settings
        .rake_m
        .map(|setting| fill::settle_rake(floor, &stage, setting, gauge));
    let by_bags = settings
        .bags_at_hand
        .zip(settings.material.as_ref().and_then(|m| m.yield_m3))
        .map(|given| fill::settle_bags(floor, &stage, given, waste, gauge));
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
    // Without a sheet cover, drains and slopes are looked after all the same, and the tables still tell areas and volumes;
    // what needs the sheet is left open.
    let unknown = Material::default();
    let material = settings.material.as_ref().unwrap_or(&unknown);
    let request = take_off_request(settings, waste);
    let whole = fill::take_off(floor, &fill, room, material, &request)?;
    notices.extend(whole.notices.iter().cloned());
    notices.extend(open_without_a_sheet(settings));
    let take_off = settings.material.is_some().then_some(whole);
    // Both tables are of level finishes; beside a tilted one they would compare what is not alike.
    let (side_by_side, grind) = if level.is_none() {
        tables(&stage, fill.gauge_depth_m, settings, (material, waste))?
    } else {
        (Vec::new(), Vec::new())
    };
    if let Some(most) = allowed_grind_m(settings)
        && fill.highest_above_m > most + 1e-9
    {
        notices.push(grinds_too_deep(&fill, most, settings.habit));
    }
    let heights = room.map_or_else(Vec::new, |r| heights_at_doors(floor, r, &fill, settings));
    let slopes = room.map_or_else(Vec::new, |r| {
        fill::slopes_left(
            r,
            &fill::dams(floor, &fill.plane, r, dam_pitch_m(settings.habit)),
        )
    });
    let need = need(
        (floor, levels),
        (level.as_ref().unwrap_or(&fill), level.is_some()),
        settings,
        flatness,
        bags_of(level.as_ref().unwrap_or(&fill), material, waste)?,
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

/// What the job asks of a take-off.
fn take_off_request(settings: &Settings, waste: f64) -> TakeOffRequest {
    TakeOffRequest {
        waste,
        framed: settings.framed,
        base_depth_m: settings.base_depth_m,
        least_cover_m: settings.cover_m,
        as_of: Some(settings.as_of.clone()).filter(|w| !w.is_empty()),
        step_m: depth_step_m(settings.habit),
        pitch_m: dam_pitch_m(settings.habit),
        habit: settings.habit,
        prices: settings.prices.clone(),
    }
}

/// Heights after the work at doors and fixtures, with what the job puts on the finish.
fn heights_at_doors(floor: &Floor, room: &Room, fill: &Fill, settings: &Settings) -> Vec<HeightAt> {
    let mut points = fill::named_points(room);
    for p in &mut points {
        p.cover_m = settings.cover_m;
        p.covering_m = settings.covering_m;
    }
    fill::heights_after(floor, Some(room), &fill.plane, &points, settings.habit)
}

/// Other gauge depths side by side, and what lowering the finish grinds and saves.
fn tables(
    stage: &Stage,
    gauge_m: f64,
    settings: &Settings,
    (material, waste): (&Material, f64),
) -> Result<(Vec<GaugeRow>, Vec<GrindRow>), TooManyBags> {
    let step_m = depth_step_m(settings.habit);
    let asked = if settings.gauges_m.is_empty() {
        gauges(gauge_m, step_m)
    } else {
        settings.gauges_m.clone()
    };
    let allowed_m = allowed_grind_m(settings);
    let steps = GrindSteps {
        step_m,
        deepest_m: allowed_m.unwrap_or(GRIND_STEPS * step_m),
        allowed_m,
    };
    let prices = settings.prices.as_ref();
    Ok((
        fill::side_by_side(stage, &asked, material, waste)?,
        fill::grind_or_fill(stage, gauge_m, steps, material, waste, prices)?,
    ))
}

/// Deepest grind that the job allows, metres; `None` where it says nothing of it.
pub(super) fn allowed_grind_m(settings: &Settings) -> Option<f64> {
    (settings.grind_m > 0.0).then_some(settings.grind_m)
}

/// Bags for a fill, waste included; `None` without a yield.
fn bags_of(fill: &Fill, material: &Material, waste: f64) -> Result<Option<u32>, TooManyBags> {
    let bags = material
        .yield_m3
        .map(|y| fill::whole_bags(fill.volume_m3 * (1.0 + waste) / y));
    bags.transpose()
}

/// The finish asked for needs more ground off than the job allows.
fn grinds_too_deep(fill: &Fill, allowed_m: f64, habit: Habit) -> Notice {
    let pen = Pen::new(habit);
    Notice::new(
        "grind-over-allowed",
        Severity::Warning,
        "",
        format!(
            "Floor stands up to {} above the finish asked for, and the job allows {} to be ground off: raise the \
             finish, or allow more.",
            pen.over_depth(fill.highest_above_m, allowed_m),
            pen.stated(allowed_m)
        ),
    )
}

/// Step in which depths are told and tables go on: 1/16 in, or 1 mm.
pub(super) const fn depth_step_m(habit: Habit) -> f64 {
    match habit {
        Habit::Us => INCH_M / 16.0,
        Habit::Metric => 0.001,
    }
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

/// Where the crew starts and where it leaves, as far as the job names a place.
///
/// # Errors
/// A name that is not there.
pub(super) fn crew_places(
    survey: &Survey,
    settings: &Settings,
) -> Result<(Option<Point>, Option<Point>), AnalysisError> {
    let place = |key: &str, name: &Option<String>| -> Result<Option<Point>, AnalysisError> {
        let Some(name) = name else { return Ok(None) };
        Ok(Some(named(survey, key, name)?.at))
    };
    Ok((
        place("crew.start", &settings.crew.start)?,
        place("crew.exit", &settings.crew.exit)?,
    ))
}

/// The pour plan, or why there is none.
pub(super) fn pour(
    survey: &Survey,
    floor: &Floor,
    settings: &Settings,
    filling: &Filling,
) -> Result<Result<PourPlan, PourError>, AnalysisError> {
    let Some(material) = settings.material.clone() else {
        return Ok(Err(PourError::NothingToPour));
    };
    let crew = &settings.crew;
    let usual = PourRequest::default();
    let room = survey.room.as_ref();
    let (start, exit) = crew_places(survey, settings)?;
    let doors = room.map_or(&[][..], |r| &r.doors);
    let exit = exit.or_else(|| doors.first().map(|d| d.at));
    let width_of = |at: Point| doors.iter().find(|d| d.at == at).map(|d| d.width_m);
    let request = PourRequest {
        material,
        waste: filling.waste,
        start,
        exit,
        exit_width_m: exit.and_then(width_of).unwrap_or(0.0),
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

/// Whether a pour is needed, and what it takes.
fn need(
    (floor, levels): (&Floor, &Levels),
    (fill, instead): (&Fill, bool),
    settings: &Settings,
    flatness: Option<&Flatness>,
    bags: Option<u32>,
) -> NeedForPour {
    fill::need_for_pour(
        settings.aim,
        summary(flatness),
        &fill::Levelling {
            overall_deviation_m: levels.overall_m,
            fill,
            instead,
            areas: &floor.areas(),
            bags,
        },
        settings.habit,
    )
}

/// What the pour takes is what is ordered, and told everywhere.
pub(super) fn order_as_poured(
    filling: &mut Filling,
    plan: &PourPlan,
    (floor, levels): (&Floor, &Levels),
    (settings, flatness): (&Settings, Option<&Flatness>),
) {
    filling.need = need(
        (floor, levels),
        (&filling.fill, false),
        settings,
        flatness,
        Some(plan.bags),
    );
    const SAME_GAUGE_M: f64 = 1e-6;
    let gauge_m = filling.fill.gauge_depth_m;
    let by_volume = filling.take_off.as_ref().and_then(|t| t.bags.as_ref());
    let other_than_volume = by_volume.is_some_and(|b| b.count != plan.bags);
    for row in &mut filling.side_by_side {
        if (gauge_m - row.gauge_m).abs() < SAME_GAUGE_M {
            row.bags = Some(plan.bags);
        } else {
            row.by_volume = other_than_volume && row.bags.is_some();
        }
    }
    fill::grind_as_poured(&mut filling.grind, plan.bags, settings.prices.as_ref());
    if let Some(take_off) = &mut filling.take_off {
        take_off.take_as_poured(&Poured {
            bags: plan.batches().map(|b| b.bags).collect(),
            water_m3: plan.batches().map(|b| b.water_m3).collect(),
            bay_dams: bay_dams(plan),
        });
    }
}

/// The dams between bays as one to stage; their heights along them stand nowhere but on the floor.
fn bay_dams(plan: &PourPlan) -> Option<Dam> {
    let all = plan.bay_dams();
    (all.length_m > 0.0).then(|| Dam {
        name: String::new(),
        kind: DamKind::Bay,
        length_m: all.length_m,
        highest_m: all.highest_m,
        stations: Vec::new(),
    })
}
