//! Rounds of solving and searching until the certified search finds nothing left.

use super::chord::{Chord, Spot, vertex_areas};
use super::find::{Aim, broken};
use super::programme::{Depths, Programme, Row, Stopped};
use super::ray::Judged;
use super::request::{PatchLimit, PatchRequest};
use super::result::{PatchCheck, PatchError, PatchPlan};
use super::spots::spots;
use crate::flatness::{
    EdgeResult, Ground, Joints, Placement, Progress, SearchOptions, Searcher, standing,
};
use crate::geometry::Point;
use crate::surface::{Across, Floor, Source};

/// Depth at which outlines are drawn: less than this is a scrape of the trowel, metres.
pub const FEATHER_M: f64 = 0.000_2;
/// Rows this far from their limit, as a share of it, are laid aside between rounds ...
const ASIDE_SHARE: f64 = 0.6;
/// ... in the first rounds only, so that laying aside cannot go on for ever.
const ASIDE_ROUNDS: usize = 12;

/// The least material, with grinding where allowed, that brings the floor within its limits.
///
/// # Units, datum, sign
/// Metres. Depths laid and depths ground are never negative and counted apart.
/// # Method
/// docs/methods.md, "Patch": finished heights at the vertices are the unknowns; a limit on a chord
/// is linear in them; the chords that break a limit are found on the patched floor and added, until
/// the certified search finds none. Heights between vertices follow linearly, as they do in the
/// survey. Floor that was carried out to a wall is laid at least as deep as its nearest reading.
/// # Edge cases
/// A floor that keeps its limits gives an empty plan. A limit of 0 is taken as written: only a plane
/// passes, and with the margin of the proof not even that, so it is refused.
/// # Accuracy
/// The plan aims `2 tolerance_m` under each allowance, and stops when no chord found passes its aim by
/// more than half of `tolerance_m`: the volume lies between the least for that aim loosened by so much and the least for the
/// aim. Each `after.bound_m` is at most its allowance: that is the proof. `after.worst` is the worst placement
/// seen while proving it.
/// # Errors
/// See [`PatchError`].
pub fn plan(
    floor: &Floor,
    request: &PatchRequest,
    progress: Progress<'_>,
) -> Result<PatchPlan, PatchError> {
    check(floor, request)?;
    let margin_m = 2.0 * request.tolerance_m;
    // A floor whose chords stay under the aim by this slack and the search's tolerance is certified.
    let slack_m = request.tolerance_m / 2.0;
    let z: Vec<f64> = floor.vertices().iter().map(|v| v.z).collect();
    let areas = vertex_areas(floor);
    let before: Vec<EdgeResult> = request
        .limits
        .iter()
        .map(|limit| certify(floor, request, limit, 0.0, Vec::new()))
        .collect();
    if before.iter().zip(&request.limits).all(|(b, l)| kept(b, l)) {
        let after = before.clone();
        return Ok(finish(
            floor,
            request,
            &areas,
            Reached {
                depths: Depths::none(z.len()),
                before,
                after,
                rounds: 0,
                chords: 0,
            },
        ));
    }
    let grounds = aims(floor, request, margin_m);
    let carried = carried_out(floor, request.ground);
    let programme = Programme {
        z: &z,
        areas: &areas,
        carried: &carried,
        max_fill_m: request.max_fill_m,
        max_grind_m: request.max_grind_m,
        grind_weight: request.grind_weight,
    };
    let mut rows: Vec<Row> = Vec::new();
    let mut depths = Depths::none(z.len());
    let mut farthest = None;
    for round in 1..=request.max_rounds {
        let heights = depths.finished(&z);
        let Some(patched) = floor.with_heights(&heights) else {
            return Err(PatchError::NoFloor);
        };
        let mut new: Vec<Row> = grounds
            .iter()
            .flat_map(|(judged, aims)| broken(&patched, judged, aims, slack_m))
            .collect();
        if new.is_empty() {
            // The fast finder is content: ask the search that can prove it.
            let proof = prove(&patched, request, margin_m)?;
            farthest = proof.farthest;
            new = proof.broken;
            if new.is_empty() {
                return Ok(finish(
                    floor,
                    request,
                    &areas,
                    Reached {
                        depths,
                        before,
                        after: proof.kept,
                        rounds: round - 1,
                        chords: rows.len(),
                    },
                ));
            }
        }
        if round <= ASIDE_ROUNDS {
            rows.retain(|row| {
                row.sign * row.chord.gap(&heights) > (1.0 - ASIDE_SHARE) * row.most_m
            });
        }
        rows.append(&mut new);
        depths = programme
            .solve(&rows)
            .map_err(|stopped| unsolved(stopped, request, round, rows.len()))?;
        progress(1.0 - 0.8f64.powi(round as i32));
    }
    let limit = farthest.unwrap_or(request.limits[0]);
    Err(PatchError::RoundsUsedUp {
        rounds: request.max_rounds,
        departure: limit.departure,
        span_m: limit.span_m,
        allowance_m: limit.allowance_m,
    })
}

/// What is aimed at, by whether chords may cross joints, with the floor that they may lie on; limits that others imply set no aim.
fn aims(floor: &Floor, request: &PatchRequest, margin_m: f64) -> Vec<(Judged, Vec<Aim>)> {
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
struct Proof {
    /// Its results for the limits that are kept.
    kept: Vec<EdgeResult>,
    /// The worst chord of every limit that is not.
    broken: Vec<Row>,
    /// The last limit that is not kept.
    farthest: Option<PatchLimit>,
}

/// # Errors
/// [`PatchError::NotCertified`] for a limit that is not proven although no chord passes its aim.
fn prove(patched: &Floor, request: &PatchRequest, margin_m: f64) -> Result<Proof, PatchError> {
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
fn kept(result: &EdgeResult, limit: &PatchLimit) -> bool {
    result.bound_m <= limit.allowance_m + EQUAL_M
}

/// Why there is no plan where the programme of a round gave no depths.
fn unsolved(stopped: Stopped, request: &PatchRequest, round: usize, chords: usize) -> PatchError {
    match stopped {
        Stopped::Infeasible => PatchError::Infeasible {
            max_fill_m: request.max_fill_m,
            max_grind_m: request.max_grind_m,
        },
        Stopped::Unsolved(status) => PatchError::Unsolved {
            round,
            status,
            chords,
        },
    }
}

/// Whether a limit is kept wherever another of them is: the same departure, a span no longer, an
/// allowance no smaller, and chords across joints count for it too if they do for this one. Of two alike the first stays.
fn implied(limit: &PatchLimit, all: &[PatchLimit]) -> bool {
    let place = all.iter().position(|l| l == limit);
    all.iter().enumerate().any(|(i, other)| {
        other.departure == limit.departure
            && other.span_m >= limit.span_m
            && other.allowance_m <= limit.allowance_m
            && (other.joints == Joints::Cross || limit.joints == Joints::Stop)
            && (other != limit || Some(i) < place)
    })
}

/// A bound may pass its limit by this: the search's own rounding allowance, metres.
const EQUAL_M: f64 = 2e-8;

fn check(floor: &Floor, request: &PatchRequest) -> Result<(), PatchError> {
    if request.limits.is_empty() {
        return Err(PatchError::NoLimit);
    }
    if floor.triangles().is_empty() {
        return Err(PatchError::NoFloor);
    }
    let bad = |what, found, expected| {
        Err(PatchError::BadRequest {
            what,
            found,
            expected,
        })
    };
    let positive = |x: f64| x > 0.0 && x.is_finite();
    if !positive(request.tolerance_m) {
        return bad("the tolerance (m)", request.tolerance_m, "more than 0");
    }
    for limit in &request.limits {
        if !positive(limit.span_m) {
            return bad("a span (m)", limit.span_m, "more than 0");
        }
        if !(limit.allowance_m > 3.0 * request.tolerance_m && limit.allowance_m.is_finite()) {
            return bad(
                "an allowance (m)",
                limit.allowance_m,
                "more than three times the tolerance of the search",
            );
        }
    }
    if !(request.max_grind_m >= 0.0 && request.max_grind_m.is_finite()) {
        return bad("the grinding depth (m)", request.max_grind_m, "0 or more");
    }
    if let Some(most) = request.max_fill_m
        && !(most >= 0.0 && most.is_finite())
    {
        return bad("the greatest depth to lay (m)", most, "0 or more");
    }
    if !positive(request.grind_weight) {
        return bad(
            "the weight of grinding",
            request.grind_weight,
            "more than 0",
        );
    }
    if let Some(volume) = request.yield_m3
        && !positive(volume)
    {
        return bad("the yield of a bag (m3)", volume, "more than 0");
    }
    if !(request.waste >= 0.0 && request.waste.is_finite()) {
        return bad("the waste", request.waste, "0 or more");
    }
    Ok(())
}

fn certify(
    floor: &Floor,
    request: &PatchRequest,
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
    Searcher::new(floor, limit.departure, request.ground, limit.joints).search(
        limit.span_m,
        &options,
        &|_| {},
    )
}

/// Vertices carried out to a wall, where no chord is judged, each with its nearest read vertex.
///
/// A patch that reaches the last readings runs on to the wall at the same depth; without this the
/// programme would let it run out in the strip, where nothing is checked.
fn carried_out(floor: &Floor, ground: Ground) -> Vec<(u32, u32)> {
    if ground == Ground::WithExtended {
        return Vec::new();
    }
    let count = floor.vertices().len();
    let mut near_joint = vec![false; count];
    let mut nearest: Vec<Option<(f64, u32)>> = vec![None; count];
    let read = |v: u32| matches!(floor.vertices()[v as usize].source, Source::Reading(_));
    for (t, corners) in floor.triangles().iter().enumerate() {
        if (0..3).any(|e| matches!(floor.across(t as u32, e), Across::Joint(_))) {
            for &v in corners {
                near_joint[v as usize] = true;
            }
        }
        for &out in corners.iter().filter(|&&v| !read(v)) {
            for &from in corners.iter().filter(|&&v| read(v)) {
                let distance = floor.vertices()[out as usize]
                    .at
                    .distance(floor.vertices()[from as usize].at);
                let best = &mut nearest[out as usize];
                if best.is_none_or(|(d, v)| (distance, from) < (d, v)) {
                    *best = Some((distance, from));
                }
            }
        }
    }
    (0..count as u32)
        .filter(|&v| !near_joint[v as usize])
        .filter_map(|v| nearest[v as usize].map(|(_, from)| (v, from)))
        .collect()
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

/// What the work on a plan came to.
struct Reached {
    /// What is filled and ground at each vertex.
    depths: Depths,
    /// The floor as it is, a limit each.
    before: Vec<EdgeResult>,
    /// The floor after it, a limit each.
    after: Vec<EdgeResult>,
    rounds: usize,
    chords: usize,
}

fn finish(floor: &Floor, request: &PatchRequest, areas: &[f64], reached: Reached) -> PatchPlan {
    let Reached {
        depths,
        before,
        after,
        rounds,
        chords,
    } = reached;
    let volume = |depth: &[f64]| depth.iter().zip(areas).map(|(d, a)| d * a).sum::<f64>();
    let (fill_volume_m3, grind_volume_m3) = (volume(&depths.fill), volume(&depths.grind));
    let deepest_m = depths.fill.iter().copied().fold(0.0, f64::max);
    let bags_per_m3 = request.yield_m3.map(|y| (1.0 + request.waste) / y);
    let checks = request.limits.iter().zip(before.into_iter().zip(after));
    PatchPlan {
        patches: spots(floor, &depths.fill, FEATHER_M, bags_per_m3),
        grinds: spots(floor, &depths.grind, FEATHER_M, None),
        fill_m: depths.fill,
        grind_m: depths.grind,
        fill_volume_m3,
        grind_volume_m3,
        bags: bags_per_m3.map(|b| b * fill_volume_m3),
        deepest_m,
        checks: checks
            .map(|(&limit, (before, after))| PatchCheck {
                limit,
                before,
                after,
                chance: None,
            })
            .collect(),
        saved_m3: request.full.map(|full| full.volume_m3 - fill_volume_m3),
        saved_height_m: request.full.map(|full| full.deepest_m - deepest_m),
        margin_m: 2.0 * request.tolerance_m,
        feather_m: FEATHER_M,
        rounds,
        chords,
    }
}
