//! Which finish a job asks for, as a plane over its floor.

use super::error::AnalysisError;
use super::named::{named, named_height};
use super::settings::{FallHeight, GAUGE_METRIC_M, GAUGE_US_M, PlaneAsk, Settings};
use crate::fill::{Fill, MOST_DEPTH_M, Plane, PlaneRule};
use crate::surface::Floor;
use crate::survey::{Notice, Severity, Survey};
use crate::units::{Habit, Pen};

/// Whether the finish asked for can be had on this floor.
///
/// # Errors
/// As [`rule`].
pub(super) fn check(
    survey: &Survey,
    floor: &Floor,
    settings: &Settings,
) -> Result<(), AnalysisError> {
    rule(survey, floor, settings, &mut Vec::new()).map(|_| ())
}

/// The finish asked for, or the usual one with a notice that says so.
pub(super) fn rule(
    survey: &Survey,
    floor: &Floor,
    settings: &Settings,
    notices: &mut Vec<Notice>,
) -> Result<PlaneRule, AnalysisError> {
    match &settings.plane {
        Some(PlaneAsk::Gauge(gauge_m)) => Ok(PlaneRule::OverHighPoint { gauge_m: *gauge_m }),
        Some(PlaneAsk::LevelAt { name, offset_m }) => {
            let base = named_height(survey, floor, "fill.level_at", name)?;
            Ok(PlaneRule::AtLevel {
                elevation_m: base.z_m + offset_m,
            })
        }
        Some(PlaneAsk::LeastFill) => Ok(PlaneRule::LeastFill),
        Some(PlaneAsk::Fall {
            fall,
            from,
            to,
            height,
        }) => {
            let start = named(survey, "fill.fall_from", from)?.at;
            let end = named(survey, "fill.fall_to", to)?.at;
            if start.distance(end) <= 0.0 {
                return Err(AnalysisError::NoDirection {
                    from: from.clone(),
                    to: to.clone(),
                });
            }
            let slope = Plane::falling(start, 0.0, end, *fall);
            let lift = match height {
                FallHeight::At { name, offset_m } => {
                    let base = named_height(survey, floor, "fill.level_at", name)?;
                    base.z_m + offset_m - slope.at(base.at)
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
pub(super) fn usual_gauge(settings: &Settings) -> (f64, &'static str) {
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

/// Asks about a finish so far from the floor that a number or a unit is more likely wrong than meant.
///
/// Level finishes count from the high point: how deep they are elsewhere is the floor's own doing. A falling one is
/// asked about where it is deepest, or where the floor stands highest over it.
///
/// # Errors
/// [`AnalysisError::TooDeep`] unless the job says that it is meant.
pub(super) fn believed(fill: &Fill, settings: &Settings) -> Result<(), AnalysisError> {
    if settings.deep || fill.rule == PlaneRule::LeastFill {
        return Ok(());
    }
    let key = match &settings.plane {
        Some(PlaneAsk::LevelAt { .. }) => "fill.level_at",
        Some(PlaneAsk::Fall { height, .. }) => match height {
            FallHeight::At { .. } => "fill.level_at",
            FallHeight::Cover(_) | FallHeight::Usual => "fill.fall",
        },
        _ => "fill.gauge",
    };
    let (over, under, from) = if fill.plane.is_level() {
        let gauge = fill.gauge_depth_m;
        (gauge, -gauge, "the high point")
    } else {
        (fill.deepest_m, fill.highest_above_m, "the floor in places")
    };
    let far = |side: &str, m: f64| AnalysisError::TooDeep {
        key: key.to_owned(),
        found: format!(
            "{} {side} {from}",
            Pen::new(settings.habit).over_depth(m, MOST_DEPTH_M)
        ),
    };
    if over > MOST_DEPTH_M + 1e-9 {
        Err(far("over", over))
    } else if under > MOST_DEPTH_M + 1e-9 {
        Err(far("under", under))
    } else {
        Ok(())
    }
}
