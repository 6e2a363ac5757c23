//! The marks of both days side by side, and what is wrong with the work.

use super::error::RecheckError;
use super::mark::{RecheckMark, Remark};
use super::pairs::{marks_of, pairs, shift};
use super::result::{Recheck, RecheckRequest, Tie};
use super::spots::spots;
use crate::geometry::Point;
use crate::survey::{Reading, Survey, walking_order};

/// Heights closer than this are the same: a thousandth of a millimetre, far below any reading.
const SAME_M: f64 = 1e-6;

/// Share of the marks that must stand as before for a floor to look unpoured.
const UNCHANGED_SHARE: f64 = 0.9;
/// A mark that moved by no more than the readings' step stands as before; without a known step, 1/16 in.
const USUAL_STEP_M: f64 = 0.0016;

/// Whether nearly every mark that was to get material stands where it stood.
fn looks_unpoured(marks: &[RecheckMark], step_m: f64) -> bool {
    let planned: Vec<&RecheckMark> = marks
        .iter()
        .filter(|m| m.planned_m.is_some_and(|p| p > step_m))
        .collect();
    let still = planned
        .iter()
        .filter(|m| m.placed_m.abs() <= step_m + SAME_M)
        .count();
    !planned.is_empty() && still as f64 >= UNCHANGED_SHARE * planned.len() as f64
}

/// Share of the marks that must stand off the finish to one side for the line to be asked about.
const ONE_SIDE_SHARE: f64 = 0.9;

/// The middle of what the marks stand off the finish, where nearly all of them do so to one side by more than is allowed; where no finish was
/// asked for, of what they stand lower than before: floors do not sink.
fn all_off(marks: &[RecheckMark], request: &RecheckRequest<'_>, told_m: f64) -> Option<f64> {
    let (mut off, allowed_m): (Vec<f64>, f64) = match request.plane {
        Some(_) => (
            marks.iter().filter_map(|m| m.off_finish_m).collect(),
            request.allowed_off_m,
        ),
        None => (marks.iter().map(|m| m.placed_m.min(0.0)).collect(), told_m),
    };
    off.sort_by(f64::total_cmp);
    let middle = *off.get(off.len() / 2)?;
    let same = off.iter().filter(|o| *o * middle.signum() > allowed_m);
    (same.count() as f64 >= ONE_SIDE_SHARE * off.len() as f64).then_some(middle)
}

const NO_MARK_SHARED: &str = "no mark has the same name or the same place in both; read the same marks again, or name them alike";

/// Compares two surveys of one room.
///
/// # Units, datum, sign
/// Thickness is after less before, up positive. With [`Tie::Points`] the second day is shifted by the mean
/// difference at the tie points, so that those stand where they stood.
/// # Errors
/// [`RecheckError::Unlike`] when no mark is shared, when a name stands at two places, or when the tie points
/// disagree by more than 3.2 mm; the mark is named.
/// # Accuracy
/// The doubt of a difference is that of both readings and of the mean of the tie points (JCGM 100:2008, 5.1.2). A mark is called lower than
/// before only where it is so by more than the largest of as many normal errors as there are marks.
pub fn recheck(
    before: &Survey,
    after: &Survey,
    request: &RecheckRequest<'_>,
) -> Result<Recheck, RecheckError> {
    let steps_m = [before, after].map(Survey::evident_step_m);
    let step_m = steps_m.into_iter().flatten().fold(0.0, f64::max);
    let (shift_m, tie_spread_m) = shift(before, after, request)?;
    let (before, after) = (&marks_of(before), &marks_of(after));
    let pairs = pairs(before, after, request.spacing_m)?;
    if pairs.is_empty() {
        return Err(RecheckError::Unlike(NO_MARK_SHARED.to_owned()));
    }
    let doubt = doubt(request, pairs.len());
    let tied: &[String] = match &request.tie {
        Tie::Points(labels) => labels,
        Tie::Stated | Tie::Assumed => &[],
    };
    let places: Vec<Point> = before.readings.iter().map(|r| r.at).collect();
    let order = walking_order(&places, before.room.as_ref(), request.spacing_m);
    let paired = order
        .into_iter()
        .filter_map(|b| pairs.iter().find(|p| p.0 == b))
        .map(|&(b, a)| (&before.readings[b], &after.readings[a]));
    let mut marks: Vec<RecheckMark> = paired
        // A tie point carries no material.
        .filter(|(was, _)| !tied.iter().any(|t| *t == was.label))
        .map(|(was, is)| mark(was, is, shift_m, (request, doubt.told_m)))
        .collect();
    let rest = |survey: &Survey, taken: &dyn Fn(usize) -> bool| -> Vec<String> {
        (0..survey.readings.len())
            .filter(|&i| !taken(i))
            .map(|i| survey.readings[i].label.to_string())
            .collect()
    };
    let used: Vec<bool> = flags(before.readings.len(), pairs.iter().map(|p| p.0));
    let met: Vec<bool> = flags(after.readings.len(), pairs.iter().map(|p| p.1));
    let unpoured = looks_unpoured(&marks, if step_m > 0.0 { step_m } else { USUAL_STEP_M });
    if unpoured {
        for m in &mut marks {
            m.remarks.clear();
        }
    }
    let line_assumed = request.tie == Tie::Assumed;
    let line_off_m = (line_assumed && !unpoured)
        .then(|| all_off(&marks, request, doubt.told_m))
        .flatten();
    // Where nearly all marks moved alike it is the line that is asked about, not each of them.
    if line_off_m.is_some() {
        for m in &mut marks {
            m.remarks.clear();
        }
    }
    // How much was placed hangs on that line as well: no figure is told of it until it is settled.
    let settled = line_off_m.is_none();
    let thinnest = (0..marks.len())
        .filter(|_| settled)
        .min_by(|&i, &j| marks[i].placed_m.total_cmp(&marks[j].placed_m));
    let sum_m: f64 = marks.iter().map(|m| m.placed_m).sum();
    let mean_m = (settled && !marks.is_empty()).then(|| sum_m / marks.len() as f64);
    // What the second day's heights were shifted by lies under all of its floor.
    let placed_m3 = request
        .placed_m3
        .filter(|_| settled)
        .map(|v| v + shift_m * (request.areas_m2[0] + request.areas_m2[1]) / 2.0);
    Ok(Recheck {
        allowed_off_m: request.plane.map(|_| request.allowed_off_m),
        line_off_m,
        line_assumed,
        ridges: if unpoured {
            Vec::new()
        } else {
            request.ridges.clone()
        },
        spots: spots(&marks, request.spacing_m),
        unpoured,
        only_before: rest(before, &|i| used[i]),
        only_after: rest(after, &|i| met[i]),
        shift_m,
        tie_spread_m,
        tie_points: tied.len(),
        mark_doubt_m: doubt.mark_m,
        thinnest,
        mean_m,
        placed_m3,
        placed_doubt_m3: doubt.placed_m3,
        areas_m2: request.areas_m2,
        bags_planned: request.bags_planned,
        bags_used: request.bags_used,
        // A floor that looks unpoured says nothing of bags.
        bags_explained: placed_m3
            .filter(|v| *v > 0.0 && !unpoured)
            .zip(request.yield_m3)
            .filter(|(_, y)| *y > 0.0)
            .map(|(v, y)| v / y),
        marks,
    })
}

/// How well differences between the days are known, metres.
struct Doubt {
    /// At one mark (k = 2).
    mark_m: f64,
    /// What none of so many marks is off by, but once in a while: a mark has to be lower by more to be called so.
    told_m: f64,
    /// Of the volume (k = 2): what is one mark's own averages out, and what the tie points shift does not.
    placed_m3: f64,
}

/// How many deviations the largest of so many normal errors comes to: `sqrt(2 ln 2n)`.
pub(super) fn largest_of(errors: usize) -> f64 {
    (2.0 * (2.0 * errors.max(2) as f64).ln()).sqrt()
}

fn doubt(request: &RecheckRequest<'_>, marks: usize) -> Doubt {
    let one = request.reading_m.map(|u| u * u).iter().sum::<f64>();
    let tied = match &request.tie {
        Tie::Points(labels) if !labels.is_empty() => one / labels.len() as f64,
        _ => 0.0,
    };
    let own: f64 = (request.reading_m.iter().zip(request.uneven_m2))
        .map(|(u, areas)| (u * areas).powi(2))
        .sum();
    let area = (request.areas_m2[0] + request.areas_m2[1]) / 2.0;
    let largest = largest_of(marks);
    Doubt {
        mark_m: 2.0 * (one + tied).sqrt(),
        told_m: largest * (one + tied).sqrt(),
        placed_m3: 2.0 * (own + tied * area * area).sqrt(),
    }
}

/// What was placed at a mark that was read on both days, against the plan.
fn mark(
    was: &Reading,
    is: &Reading,
    shift_m: f64,
    (request, doubt_m): (&RecheckRequest<'_>, f64),
) -> RecheckMark {
    let placed_m = is.elevation.m() + shift_m - was.elevation.m();
    let planned_m = request.plane.map(|p| p.at(was.at) - was.elevation.m());
    let off_finish_m = planned_m.map(|planned| placed_m - planned);
    let mut remarks = Vec::new();
    let wet = planned_m.is_none_or(|p| p > SAME_M);
    // Two honest readings of floor that nobody touched differ by their own doubt.
    if placed_m < -(doubt_m + SAME_M) {
        remarks.push(Remark::Lost);
    } else if wet
        && request
            .least_cover_m
            .is_some_and(|least| placed_m < least - SAME_M)
    {
        remarks.push(Remark::Thin);
    }
    if off_finish_m.is_some_and(|off| off > request.allowed_off_m + SAME_M) {
        remarks.push(Remark::Proud);
    }
    if off_finish_m.is_some_and(|off| off < -request.allowed_off_m - SAME_M) {
        remarks.push(Remark::Low);
    }
    RecheckMark {
        label: was.label.to_string(),
        at: was.at,
        before_text: was.raw.text.to_string(),
        after_text: is.raw.text.to_string(),
        placed_m,
        planned_m,
        off_finish_m,
        remarks,
    }
}

fn flags(count: usize, set: impl Iterator<Item = usize>) -> Vec<bool> {
    let mut out = vec![false; count];
    for i in set {
        out[i] = true;
    }
    out
}
