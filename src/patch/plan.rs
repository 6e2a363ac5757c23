//! Rounds of solving and searching until the certified search finds nothing left.

use super::chord::{Follows, Marks, vertex_areas};
use super::find::{Aim, broken};
use super::near::{Before, unlike, within_reach};
use super::past::{depths_past_readings, judged_past_readings};
use super::programme::{Programme, Row, Stopped};
use super::prove::{aims, certify, kept, prove};
use super::ray::Judged;
use super::request::{PatchLimit, PatchRequest};
use super::result::{PatchCheck, PatchError, PatchPlan};
use super::spots::spots;
use super::steps::in_steps;
use crate::fill::positive_part;
use crate::flatness::{EdgeResult, Progress};
use crate::surface::Floor;
use crate::survey::Elevation;
use std::sync::{Mutex, PoisonError};

/// Depth at which outlines are drawn: less than this is a scrape of the trowel, metres.
pub const FEATHER_M: f64 = 0.000_2;
/// Rows this far from their limit, as a share of it, are laid aside between rounds ...
const ASIDE_SHARE: f64 = 0.6;
/// ... in the first rounds only, so that laying aside cannot go on for ever.
const ASIDE_ROUNDS: usize = 12;

/// The least material, with grinding where allowed, that brings the floor within its limits.
///
/// # Units, datum, sign
/// Metres. What is laid is positive, what is ground off negative; nowhere both.
/// # Method
/// docs/methods.md, "Patch": finished heights at the vertices are the unknowns; a limit on a chord
/// is linear in them; the chords that break a limit are found on the patched floor and added, until
/// the certified search finds none. Heights between vertices follow linearly, as they do in the
/// survey. Floor that was carried out to a wall or a joint is laid as deep as its nearest reading. Depths are then brought to whole steps of
/// the rule, where the request names one, and proven again as they will be printed.
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
    request: &PatchRequest<'_>,
    progress: Progress<'_>,
) -> Result<PatchPlan, PatchError> {
    check(floor, request)?;
    let margin_m = 2.0 * request.tolerance_m;
    // A floor whose chords stay under the aim by this slack and the search's tolerance is certified.
    let slack_m = request.tolerance_m / 2.0;
    let z: Vec<f64> = floor.vertices().iter().map(|v| v.z).collect();
    let marks = Marks::of(floor);
    let judged = judged_past_readings(floor, request.ground);
    let follows = marks.laid(floor, &judged);
    let areas = mark_areas(floor, &follows);
    let before: Vec<EdgeResult> = request
        .limits
        .iter()
        .map(|limit| certify(floor, request, limit, 0.0, Vec::new()))
        .collect();
    if before.iter().zip(&request.limits).all(|(b, l)| kept(b, l)) {
        let nothing = Reached {
            work: vec![0.0; z.len()],
            step_m: request.step_m,
            after: before.clone(),
            before,
            rounds: 0,
            chords: 0,
        };
        return Ok(finish(floor, request, nothing));
    }
    let search = Search {
        floor,
        request,
        grounds: aims(floor, request, margin_m),
        programme: Programme {
            z: &z,
            areas: &areas,
            max_fill_m: request.max_fill_m,
            max_grind_m: request.max_grind_m,
            grind_weight: request.grind_weight,
        },
        depths: depths_past_readings(request, &judged, &follows, &z),
        marks,
        follows,
        slack_m,
        margin_m,
        looked: Mutex::new(None),
    };
    let least = search.least(progress)?;
    let mut rows = least.rows;
    let mut done = Reached {
        work: least.work,
        step_m: None,
        before,
        after: least.kept,
        rounds: least.rounds,
        chords: 0,
    };
    if let Some((step_m, work, after)) = search.in_rule_steps(&mut rows, &done.work)? {
        done = Reached {
            work,
            step_m: Some(step_m),
            after,
            ..done
        };
    }
    done.chords = rows.len();
    Ok(finish(floor, request, done))
}

/// The plan area that each mark stands for, with what follows it.
fn mark_areas(floor: &Floor, follows: &Follows) -> Vec<f64> {
    let mut areas = vec![0.0; floor.vertices().len()];
    for (area, list) in vertex_areas(floor).into_iter().zip(follows) {
        for &(mark, share) in list {
            areas[mark as usize] += area * share;
        }
    }
    areas
}

/// Whole steps may take so much more than halves of them.
const DEARER: f64 = 1.1;
/// Rounds of settling depths on steps and searching the floor that they make, at the most and on large floors.
const STEP_ROUNDS: usize = 60;
const LEAST_STEP_ROUNDS: usize = 5;
/// Corners of the mesh that are searched in all rounds together, on floors where that is more than the least rounds.
const MOST_LOOKED_AT: usize = 36_000;

/// What the rounds of a plan work on.
struct Search<'a> {
    floor: &'a Floor,
    request: &'a PatchRequest<'a>,
    grounds: Vec<(Judged, Vec<Aim>)>,
    programme: Programme<'a>,
    marks: Marks,
    /// What is laid at each vertex, by marks.
    follows: Follows,
    /// What may be laid and ground where the depths at marks run on past them.
    depths: Vec<Row>,
    /// A chord that passes its aim by no more than this is left.
    slack_m: f64,
    margin_m: f64,
    /// The floor as it was made when it was last looked over.
    looked: Mutex<Option<Before>>,
}

/// The least material, proven.
struct Least {
    work: Vec<f64>,
    /// The chords that hold it.
    rows: Vec<Row>,
    kept: Vec<EdgeResult>,
    rounds: usize,
}

impl Search<'_> {
    /// Rounds of solving and searching until the search that can prove it finds nothing.
    fn least(&self, progress: Progress<'_>) -> Result<Least, PatchError> {
        let request = self.request;
        let mut rows: Vec<Row> = Vec::new();
        let mut work = vec![0.0; self.programme.z.len()];
        let mut farthest = None;
        for round in 1..=request.max_rounds {
            let mut new = match self.look(&work)? {
                Looked::Kept(kept) => {
                    return Ok(Least {
                        work,
                        rows,
                        kept,
                        rounds: round - 1,
                    });
                }
                Looked::Broken(new, limit) => {
                    farthest = limit.or(farthest);
                    new
                }
            };
            if round <= ASIDE_ROUNDS {
                let heights = self.programme.finished(&work);
                rows.retain(|row| row.shows(&heights) > (1.0 - ASIDE_SHARE) * row.most_m);
            }
            rows.append(&mut new);
            work = self
                .programme
                .solve(&self.with_depths(&rows))
                .map_err(|stopped| unsolved(stopped, request, round, rows.len()))?;
            self.lay_at_marks(&mut work);
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

    /// Rows with those of the depths past marks.
    fn with_depths(&self, rows: &[Row]) -> Vec<Row> {
        self.depths.iter().chain(rows).cloned().collect()
    }

    /// Lays at every vertex what the marks that it follows ask for.
    fn lay_at_marks(&self, work: &mut [f64]) {
        let laid = |list: &Vec<(u32, f64)>| {
            list.iter()
                .map(|&(m, share)| share * work[m as usize])
                .sum()
        };
        let all: Vec<f64> = self.follows.iter().map(laid).collect();
        work.copy_from_slice(&all);
    }

    /// What the floor shows when this is laid and ground, with the chords that break a limit as ones over marks: as it is made, and as it
    /// will be read.
    ///
    /// They are two: a reading says nothing of how a square of marks is folded, nor of how deep a crew laid between the last marks and a
    /// joint, so that the surface through new readings is not the one that was planned. The fast finder is asked of both before the search
    /// that can prove either.
    fn look(&self, work: &[f64]) -> Result<Looked, PatchError> {
        let finished = self.programme.finished(work);
        let Some(made) = self.floor.with_heights(&finished) else {
            return Err(PatchError::NoFloor);
        };
        let over_made = |rows: Vec<Row>| over_marks(rows, &finished, &self.follows, &finished);
        let found = self.find_made(&made);
        if !found.is_empty() {
            return Ok(Looked::Broken(over_made(found), None));
        }
        let anew = self.read_anew(work);
        let over_anew = |floor: &Floor, rows: Vec<Row>| {
            let heights: Vec<f64> = floor.vertices().iter().map(|v| v.z).collect();
            over_marks(rows, &heights, &self.marks.read(floor), &finished)
        };
        if let Some(anew) = &anew {
            // Where it is folded as it was made, and as high, it shows nothing else.
            let near = within_reach(anew, &unlike(anew, &made), self.reach_m());
            let found = self.find(anew, &aims(anew, self.request, self.margin_m), Some(&near));
            if !found.is_empty() {
                return Ok(Looked::Broken(over_anew(anew, found), None));
            }
        }
        let mut proof = prove(&made, self.request, self.margin_m)?;
        if !proof.broken.is_empty() {
            return Ok(Looked::Broken(over_made(proof.broken), proof.farthest));
        }
        if let Some(anew) = &anew {
            let read = prove(anew, self.request, self.margin_m)?;
            if !read.broken.is_empty() {
                return Ok(Looked::Broken(over_anew(anew, read.broken), read.farthest));
            }
            for (kept, read) in proof.kept.iter_mut().zip(read.kept) {
                if read.bound_m > kept.bound_m {
                    *kept = read;
                }
            }
        }
        Ok(Looked::Kept(proof.kept))
    }

    /// The floor as it is made of the same readings with what is laid at them; `None` where its readings are not known, or make no floor.
    fn read_anew(&self, work: &[f64]) -> Option<Floor> {
        let mut survey = self.request.survey?.clone();
        for (r, reading) in (0u32..).zip(&mut survey.readings) {
            if let Some(mark) = self.marks.get(r) {
                let raised_m = reading.elevation.m() + work[mark as usize];
                reading.elevation = Elevation::from_m(raised_m);
            }
        }
        Floor::build(&survey).ok().map(|built| built.floor)
    }

    /// Chords over their aim that the fast finder sees on a floor, at the corners `near`, all where none are named.
    fn find(
        &self,
        floor: &Floor,
        grounds: &[(Judged, Vec<Aim>)],
        near: Option<&[bool]>,
    ) -> Vec<Row> {
        grounds
            .iter()
            .flat_map(|ground| broken(floor, ground, self.slack_m, near))
            .collect()
    }

    /// The same of the floor as it is made, within reach of where it changed since it was last looked over.
    fn find_made(&self, made: &Floor) -> Vec<Row> {
        let mut looked = self.looked.lock().unwrap_or_else(PoisonError::into_inner);
        let near = looked
            .as_mut()
            .map(|before| within_reach(made, &before.changed(made), self.reach_m()));
        let found = self.find(made, &self.grounds, near.as_deref());
        looked
            .get_or_insert_with(|| Before::first(made))
            .keep(&found);
        found
    }

    /// How far the longest edge reaches, metres.
    fn reach_m(&self) -> f64 {
        let spans = self.request.limits.iter().map(|l| l.span_m);
        spans.fold(0.0, f64::max)
    }

    /// Depths in whole steps of the rule, or in halves of them where whole ones take a tenth more or there are none; proven.
    fn in_rule_steps(
        &self,
        rows: &mut Vec<Row>,
        least: &[f64],
    ) -> Result<Option<InSteps>, PatchError> {
        let Some(step_m) = self.request.step_m else {
            return Ok(None);
        };
        let cost = |work: &[f64]| -> f64 {
            let each = work.iter().zip(self.programme.areas);
            each.map(|(w, a)| w.abs() * a).sum()
        };
        let whole = self.in_steps(rows, least, step_m)?;
        if let Some((_, work, _)) = &whole
            && cost(work) <= DEARER * cost(least)
        {
            return Ok(whole);
        }
        let halves = self.in_steps(rows, least, step_m / 2.0)?;
        Ok(match (whole, halves) {
            (Some(whole), Some(halves)) if cost(&whole.1) <= DEARER * cost(&halves.1) => {
                Some(whole)
            }
            (whole, halves) => halves.or(whole),
        })
    }

    /// Depths in whole steps, proven; `None` where none were found. The chords that rounding breaks join the rows.
    fn in_steps(
        &self,
        rows: &mut Vec<Row>,
        least: &[f64],
        step_m: f64,
    ) -> Result<Option<InSteps>, PatchError> {
        let mut depths = least.to_vec();
        let rounds = (MOST_LOOKED_AT / least.len().max(1)).clamp(LEAST_STEP_ROUNDS, STEP_ROUNDS);
        for _ in 0..rounds {
            let all = self.with_depths(rows);
            let Some(mut work) = in_steps(&self.programme, &all, &depths, step_m) else {
                return Ok(None);
            };
            self.lay_at_marks(&mut work);
            match self.look(&work)? {
                Looked::Kept(kept) => return Ok(Some((step_m, work, kept))),
                Looked::Broken(new, _) => rows.extend(new),
            }
            depths = work;
        }
        Ok(None)
    }
}

/// A step, depths that are whole ones of it, and the results that prove them.
type InSteps = (f64, Vec<f64>, Vec<EdgeResult>);

/// What a patched floor shows.
enum Looked {
    /// It keeps every limit: the results that prove it.
    Kept(Vec<EdgeResult>),
    /// Chords that break a limit, and which limit where the proof failed.
    Broken(Vec<Row>, Option<PatchLimit>),
}

/// Chords on a floor with these heights as ones over the marks that its vertices follow.
fn over_marks(rows: Vec<Row>, heights: &[f64], follows: &Follows, finished: &[f64]) -> Vec<Row> {
    rows.into_iter()
        .map(|row| row.over_marks(heights, follows, finished))
        .collect()
}

/// Why there is no plan where the programme of a round gave no depths.
fn unsolved(
    stopped: Stopped,
    request: &PatchRequest<'_>,
    round: usize,
    chords: usize,
) -> PatchError {
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

fn check(floor: &Floor, request: &PatchRequest<'_>) -> Result<(), PatchError> {
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

/// What the work on a plan came to.
struct Reached {
    /// What is laid at each vertex; negative where it is ground off.
    work: Vec<f64>,
    step_m: Option<f64>,
    /// The floor as it is, a limit each.
    before: Vec<EdgeResult>,
    /// The floor after it, a limit each.
    after: Vec<EdgeResult>,
    rounds: usize,
    chords: usize,
}

fn finish(floor: &Floor, request: &PatchRequest<'_>, reached: Reached) -> PatchPlan {
    let Reached {
        work,
        step_m,
        before,
        after,
        rounds,
        chords,
    } = reached;
    let ground: Vec<f64> = work.iter().map(|w| -w).collect();
    // Between a mark that is filled and one that is ground the work changes over where the two meet: nothing is both.
    let volume = |depth: &[f64]| -> f64 {
        let of = |(t, corners): (usize, &[u32; 3])| {
            let depths = corners.map(|v| depth[v as usize]);
            positive_part(floor.triangle_area(t as u32), depths).volume_m3
        };
        floor.triangles().iter().enumerate().map(of).sum()
    };
    let (fill_volume_m3, grind_volume_m3) = (volume(&work), volume(&ground));
    let deepest_m = work.iter().copied().fold(0.0, f64::max);
    let bags_per_m3 = request.yield_m3.map(|y| (1.0 + request.waste) / y);
    let checks = request.limits.iter().zip(before.into_iter().zip(after));
    PatchPlan {
        patches: spots(floor, &work, FEATHER_M, bags_per_m3),
        grinds: spots(floor, &ground, FEATHER_M, None),
        work_m: work,
        step_m,
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
