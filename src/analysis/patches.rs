//! What a patch plan is aimed at: the parts of checks that were tested and that a patch can mend.

use super::filling::{Filling, depth_step_m};
use super::flat::Flatness;
use super::settings::{Settings, Tell};
use crate::flatness::edge::Progress;
use crate::flatness::{Chances, ChordLimit, chance_after};
use crate::patch::{self, FullPour, PatchError, PatchLimit, PatchPlan, PatchRequest};
use crate::surface::Floor;
use crate::survey::Survey;

/// The patch plan for every part that was tested and that a patch can mend; `None` when no check has a part of chords.
/// A part that was not tested sets no limit: nothing is known of it that a patch could be aimed at.
pub(super) fn patch(
    (survey, floor): (&Survey, &Floor),
    settings: &Settings,
    (flatness, filling): (&Flatness, &Filling),
    chances: &mut Chances,
    tell: Tell<'_>,
) -> Option<Result<PatchPlan, PatchError>> {
    let mut of_chords = flatness
        .checks
        .iter()
        .flat_map(|c| c.parts.iter().map(|p| (c.joints, p)))
        .filter_map(|(joints, p)| {
            let limit = PatchLimit::of(p.procedure, p.span_m, p.allowance_m, joints)?;
            Some((limit, p.measured().is_some()))
        })
        .peekable();
    of_chords.peek()?;
    let limits: Vec<PatchLimit> = of_chords
        .filter(|(_, is_tested)| *is_tested)
        .map(|(limit, _)| limit)
        .collect();
    if limits.is_empty() {
        return Some(Err(PatchError::NothingTested));
    }
    let request = PatchRequest {
        limits,
        max_fill_m: settings.patch_depth_m,
        max_grind_m: settings.grind_m,
        yield_m3: settings.material.as_ref().and_then(|m| m.yield_m3),
        waste: filling.waste,
        step_m: Some(depth_step_m(settings.habit)),
        full: filling.fill.plane.is_level().then_some(FullPour {
            volume_m3: filling.fill.volume_m3,
            deepest_m: filling.fill.deepest_m,
        }),
        survey: Some(survey),
        ..PatchRequest::default()
    };
    let progress = |share| tell("Patch", share);
    let mut plan = patch::plan(floor, &request, &progress);
    if let Ok(plan) = &mut plan {
        tell_chances(plan, &request, floor, chances, &progress);
    }
    Some(plan)
}

/// The chance that the floor keeps each limit when the plan is carried out.
fn tell_chances(
    plan: &mut PatchPlan,
    request: &PatchRequest<'_>,
    floor: &Floor,
    chances: &mut Chances,
    told: Progress<'_>,
) {
    let raised = plan.work_m.clone();
    for check in &mut plan.checks {
        let limit = ChordLimit {
            departure: check.limit.departure,
            lengths: check.limit.lengths,
            span_m: check.limit.span_m,
            allowance_m: check.limit.allowance_m,
            ground: request.ground,
            joints: check.limit.joints,
        };
        check.chance = chance_after(chances, floor, &raised, &limit, told);
    }
}
