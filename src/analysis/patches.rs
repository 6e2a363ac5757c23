//! What a patch plan is aimed at: the parts of checks that were tested and that a patch can mend.

use super::filling::Filling;
use super::flat::Flatness;
use super::settings::{Settings, Tell};
use crate::flatness::edge::Progress;
use crate::flatness::{Chances, ChordLimit, PartResult, chance_after};
use crate::patch::{self, FullPour, PatchError, PatchLimit, PatchPlan, PatchRequest};
use crate::surface::Floor;

/// The patch plan for every part that was tested and that a patch can mend; `None` when no check has a part of chords.
/// A part that was not tested sets no limit: nothing is known of it that a patch could be aimed at.
pub(super) fn patch(
    floor: &Floor,
    settings: &Settings,
    (flatness, filling): (&Flatness, &Filling),
    chances: &mut Chances,
    tell: Tell<'_>,
) -> Option<Result<PatchPlan, PatchError>> {
    let of_chords =
        |p: &&PartResult| PatchLimit::of(p.procedure, p.span_m, p.allowance_m).is_some();
    let parts: Vec<&PartResult> = flatness
        .checks
        .iter()
        .flat_map(|c| &c.parts)
        .filter(of_chords)
        .collect();
    if parts.is_empty() {
        return None;
    }
    let limits: Vec<PatchLimit> = parts
        .into_iter()
        .filter(|p| p.measured().is_some())
        .filter_map(|p| PatchLimit::of(p.procedure, p.span_m, p.allowance_m))
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
        full: Some(FullPour {
            volume_m3: filling.fill.volume_m3,
            deepest_m: filling.fill.deepest_m,
        }),
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
    request: &PatchRequest,
    floor: &Floor,
    chances: &mut Chances,
    told: Progress<'_>,
) {
    let raised: Vec<f64> = (plan.fill_m.iter().zip(&plan.grind_m))
        .map(|(fill, grind)| fill - grind)
        .collect();
    for check in &mut plan.checks {
        let limit = ChordLimit {
            departure: check.limit.departure,
            span_m: check.limit.span_m,
            allowance_m: check.limit.allowance_m,
            ground: request.ground,
            joints: request.joints,
        };
        check.chance = chance_after(chances, floor, &raised, &limit, told);
    }
}
