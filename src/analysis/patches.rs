//! What a patch plan is aimed at: the parts of checks that were tested and that a patch can mend.

use super::filling::Filling;
use super::flat::Flatness;
use super::settings::{Settings, Tell};
use crate::flatness::PartResult;
use crate::patch::{self, FullPour, PatchError, PatchLimit, PatchPlan, PatchRequest};
use crate::surface::Floor;

/// The patch plan for every part that was tested and that a patch can mend; `None` when no check has a part of chords.
/// A part that was not tested sets no limit: nothing is known of it that a patch could be aimed at.
pub(super) fn patch(
    floor: &Floor,
    settings: &Settings,
    flatness: &Flatness,
    filling: &Filling,
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
    Some(patch::plan(floor, &request, &|share| tell("Patch", share)))
}
