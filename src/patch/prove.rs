//! What a plan is aimed at, and the search that proves a floor within its limits.

use super::chord::{Chord, Spot};
use super::find::Aim;
use super::programme::Row;
use super::ray::Judged;
use super::request::{PatchLimit, PatchRequest};
use super::result::PatchError;
use crate::flatness::{EdgeResult, Joints, Lengths, Placement, SearchOptions, Searcher, standing};
use crate::geometry::Point;
use crate::surface::Floor;

/// A bound may pass its limit by this: the search's own rounding allowance, metres.
pub(super) const EQUAL_M: f64 = 2e-8;

/// What is aimed at, by whether chords may cross joints, with the floor that they may lie on; limits that others imply set no aim.
pub(super) fn aims(
    floor: &Floor,
    request: &PatchRequest<'_>,
    margin_m: f64,
) -> Vec<(Judged, Vec<Aim>)> {
    let of = |joints: Joints| {
        let own = request.limits.iter().filter(|l| l.joints == joints);
        let aims: Vec<Aim> = own
            .filter(|l| !implied(l, &request.limits))
            .map(|l| Aim::of(l, margin_m))
            .collect();
        (!aims.is_empty()).then(|| (Judged::new(floor, request.ground, joints), aims))
    };
    [Joints::Cross, Joints::Stop]
        .into_iter()
        .filter_map(of)
        .collect()
}

/// What the search that can prove a floor within its limits says of a patched one.
pub(super) struct Proof {
    /// Its results for the limits that are kept.
    pub kept: Vec<EdgeResult>,
    /// The worst chord of every limit that is not.
    pub broken: Vec<Row>,
    /// The last limit that is not kept.
    pub farthest: Option<PatchLimit>,
}

/// # Errors
/// [`PatchError::NotCertified`] for a limit that is not proven although no chord passes its aim.
pub(super) fn prove(
    patched: &Floor,
    request: &PatchRequest<'_>,
    margin_m: f64,
) -> Result<Proof, PatchError> {
    let mut proof = Proof {
        kept: Vec::new(),
        broken: Vec::new(),
        farthest: None,
    };
    for limit in &request.limits {
        let result = certify(patched, request, limit, limit.allowance_m, Vec::new());
        if kept(&result, limit) {
            proof.kept.push(result);
            continue;
        }
        let aim = Aim::of(limit, margin_m);
        let worst = result.worst.filter(|w| w.gap_m > aim.most_m);
        let chord = worst.and_then(|w| chord_of(patched, &w));
        let Some(chord) = chord else {
            return Err(PatchError::NotCertified {
                departure: limit.departure,
                span_m: limit.span_m,
                gap_m: result.gap_m(),
                bound_m: result.bound_m,
            });
        };
        proof.broken.push(aim.row(chord));
        proof.farthest = Some(*limit);
    }
    Ok(proof)
}

/// Whether a floor is proven to keep a limit.
pub(super) fn kept(result: &EdgeResult, limit: &PatchLimit) -> bool {
    result.bound_m <= limit.allowance_m + EQUAL_M
}

/// Whether a limit is kept wherever another of them is: the same departure, a span no longer, an
/// allowance no smaller, and chords across joints count for it too if they do for this one. Of two alike the first stays.
fn implied(limit: &PatchLimit, all: &[PatchLimit]) -> bool {
    let place = all.iter().position(|l| l == limit);
    all.iter().enumerate().any(|(i, other)| {
        let holds_its_chords = match other.lengths {
            Lengths::UpTo => other.span_m >= limit.span_m,
            Lengths::Whole => limit.lengths == Lengths::Whole && other.span_m == limit.span_m,
        };
        other.departure == limit.departure
            && holds_its_chords
            && other.allowance_m <= limit.allowance_m
            && (other.joints == Joints::Cross || limit.joints == Joints::Stop)
            && (other != limit || Some(i) < place)
    })
}

pub(super) fn certify(
    floor: &Floor,
    request: &PatchRequest<'_>,
    limit: &PatchLimit,
    ignore_m: f64,
    hints: Vec<Placement>,
) -> EdgeResult {
    let options = SearchOptions {
        tolerance_m: request.tolerance_m,
        joints: limit.joints,
        ground: request.ground,
        ignore_m,
        hints,
        ..SearchOptions::default()
    };
    Searcher::new(floor, limit.departure, request.ground, limit.joints)
        .with_lengths(limit.lengths)
        .search(limit.span_m, &options, &|_| {})
}

/// The placement as weights on vertex heights. `None` when an end lies off the mesh.
fn chord_of(floor: &Floor, placement: &Placement) -> Option<Chord> {
    let stand = standing(floor, placement);
    let spot = |t: Option<u32>, p: Point| {
        let t = t?;
        Some(Spot::triangle(
            floor.triangles()[t as usize],
            floor.shares_on(t, p),
        ))
    };
    Some(Chord::new(
        &spot(stand.from, placement.from)?,
        &spot(stand.at, placement.at)?,
        &spot(stand.to, placement.to)?,
        stand.share,
    ))
}
