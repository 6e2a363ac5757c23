//! Readings after the work against those before it.

use super::error::JobError;
use super::file::JobFile;
use super::inputs::Inputs;
use crate::analysis::{Analysis, Tell};
use crate::fill::Stage;
use crate::report::recheck::{Recheck, RecheckRequest, Tie, recheck as compare};
use crate::report::{Paper, compose};

/// Lets the second job take over what the first one says and it does not: outline, checks, spans,
/// finish, material. A bare readings file after the work is then enough.
pub fn same_terms(before: &JobFile, after: &mut JobFile, given: &Inputs, also: &mut Inputs) {
    if after.outline.is_none() {
        after.outline.clone_from(&before.outline);
    }
    if after.units.is_none() {
        after.units = before.units;
    }
    if after.checks.is_empty() {
        after.checks.clone_from(&before.checks);
    }
    if after.spans.is_empty() {
        after.spans.clone_from(&before.spans);
    }
    if after.fill.material.is_none() {
        after.fill.material.clone_from(&before.fill.material);
    }
    if after.title.is_empty() {
        after.title.clone_from(&before.title);
        after.place.clone_from(&before.place);
    }
    if after.instrument.line.is_none() {
        after.instrument.line.clone_from(&before.instrument.line);
    }
    for name in [&after.outline, &after.fill.material].into_iter().flatten() {
        if also.get(name).is_err()
            && let Ok(bytes) = given.get(name)
        {
            let bytes = bytes.to_vec();
            also.insert(name.clone(), bytes);
        }
    }
}

/// Compares the two days, mark by mark.
///
/// # Units, datum, sign
/// Metres; thickness is after less before. Both days need one datum: the same line height, each day's
/// line stated with `instrument.line`, or `tie`, names of marks that the work did not touch.
/// # Errors
/// No mark in common, or one name at two places.
pub fn recheck(
    before: &Analysis,
    after: &Analysis,
    bags_used: Option<f64>,
    tie: &[String],
) -> Result<Recheck, JobError> {
    let filling = before.filling.as_ref();
    let material = before.settings.material.as_ref();
    let plane = filling.map(|f| f.fill.plane);
    let allowed_off_m = after
        .settings
        .checks
        .iter()
        .flat_map(|c| &c.parts)
        .find_map(|p| match p.limit {
            crate::flatness::Limit::Most(m) => Some(m),
            _ => None,
        })
        .unwrap_or(0.003_175);
    Ok(compare(
        &before.survey,
        &after.survey,
        &RecheckRequest {
            tie: if tie.is_empty() {
                Tie::SameDatum
            } else {
                Tie::Points(tie.to_vec())
            },
            plane: plane.as_ref(),
            least_cover_m: material.and_then(|m| m.min_depth_m),
            allowed_off_m,
            spacing_m: before.floor.spacing(),
            bags_planned: filling
                .and_then(|f| f.take_off.as_ref())
                .and_then(|t| t.bags.as_ref())
                .map(|b| f64::from(b.count)),
            bags_used,
            yield_m3: material.and_then(|m| m.yield_m3),
            placed_m3: placed(before, after),
        },
    )?)
}

/// Volume between the two surfaces: both filled to one level above everything, the difference left over.
fn placed(before: &Analysis, after: &Analysis) -> Option<f64> {
    let areas = (before.floor.area(), after.floor.area());
    // Different areas would put a slab of air into the difference.
    if (areas.0 - areas.1).abs() > 1e-6 * areas.0 {
        return None;
    }
    let top = before
        .levels
        .high
        .elevation_m
        .max(after.levels.high.elevation_m)
        + 1.0;
    let under = |a: &Analysis| Stage::new(&a.floor, a.levels.high.elevation_m).volume_at(top);
    Some(under(before) - under(after))
}

/// The re-check sheet and its maps.
///
/// # Errors
/// When a drawing or the sheet cannot be made.
pub fn recheck_paper(
    before: &Analysis,
    after: &Analysis,
    compared: &Recheck,
    paper: Paper,
    tell: Tell<'_>,
) -> Result<Vec<(String, Vec<u8>)>, JobError> {
    Ok(compose::recheck(before, after, compared, paper, tell)?)
}
