//! The re-check: the same marks read again after the work, held against the day before it.

use super::ReportError;
pub use super::recheck_mark::{RecheckMark, Remark};
pub use super::recheck_spots::{RecheckSpot, Ridge};
use crate::fill::Plane;
use crate::geometry::{Point, PointGrid};
use crate::survey::setups::SAME_SPOT_M;
use crate::survey::slip::Rule;
use crate::survey::{Elevation, Reading, Room, Survey, holds, walking_order};
use crate::units::Length;
use std::collections::HashMap;

/// How the heights of the two days are brought onto one datum.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Tie {
    /// Both days state the height of their line over one datum.
    Stated,
    /// Nothing was stated: the line is taken to stand as high on the second day as on the first.
    #[default]
    Assumed,
    /// By points that the work did not touch, read both days; named.
    Points(Vec<String>),
}

/// What the comparison needs besides the two surveys.
#[derive(Debug, Clone, Default)]
pub struct RecheckRequest<'a> {
    /// The two days' datum.
    pub tie: Tie,
    /// The finish that was planned, over the first day's datum.
    pub plane: Option<&'a Plane>,
    /// Least thickness asked for, metres.
    pub least_cover_m: Option<f64>,
    /// How far a mark may lie off the planned finish before it is listed, metres.
    pub allowed_off_m: f64,
    /// Typical distance between readings, metres: two marks of one name farther apart than half of it are
    /// not the same place.
    pub spacing_m: f64,
    /// Bags that were planned.
    pub bags_planned: Option<f64>,
    /// Bags that were used.
    pub bags_used: Option<f64>,
    /// Mixed material from one bag, cubic metres.
    pub yield_m3: Option<f64>,
    /// Volume between the two surfaces, cubic metres, if both were triangulated.
    pub placed_m3: Option<f64>,
    /// Ridges found on the finished floor.
    pub ridges: Vec<Ridge>,
}

/// The comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Recheck {
    /// Marks read on both days, in walking order.
    pub marks: Vec<RecheckMark>,
    /// Marks read only before.
    pub only_before: Vec<String>,
    /// Marks read only after.
    pub only_after: Vec<String>,
    /// What was added to the second day's heights, metres.
    pub shift_m: f64,
    /// Whether the line was taken to stand at one height because nobody said so.
    pub line_assumed: bool,
    /// How far most marks stand off the finish, all to one side, where the line was only taken to stand at one height: it may
    /// have stood at another. Metres, up positive.
    pub line_off_m: Option<f64>,
    /// Largest less smallest of the differences at the tie points, metres; `None` without tie points.
    pub tie_spread_m: Option<f64>,
    /// What is wrong, neighbouring marks together; empty when the floor looks unpoured.
    pub spots: Vec<RecheckSpot>,
    /// Ridges under a short edge where the readings after the work stand closely enough to tell them.
    pub ridges: Vec<Ridge>,
    /// Whether material was planned and the floor stands as it did before: then every mark would be called
    /// low, and none of them is what is wrong.
    pub unpoured: bool,
    /// Index of the mark with the least thickness.
    pub thinnest: Option<usize>,
    /// Mean thickness at the marks, metres.
    pub mean_m: f64,
    /// Volume between the two surfaces, cubic metres.
    pub placed_m3: Option<f64>,
    /// Bags planned.
    pub bags_planned: Option<f64>,
    /// Bags used.
    pub bags_used: Option<f64>,
    /// Bags that the placed volume explains.
    pub bags_explained: Option<f64>,
}

/// Heights closer than this are the same: a thousandth of a millimetre, far below any reading.
const SAME_M: f64 = 1e-6;
/// Differences at tie points may differ by this much before the tie is refused: 3 mm, about 1/8 in.
const TIE_SPREAD_M: f64 = 0.0032;

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

/// The middle of what the marks stand off the finish, where nearly all of them do so to one side by more than is allowed.
fn all_off(marks: &[RecheckMark], allowed_m: f64) -> Option<f64> {
    let mut off: Vec<f64> = marks.iter().filter_map(|m| m.off_finish_m).collect();
    off.sort_by(f64::total_cmp);
    let middle = *off.get(off.len() / 2)?;
    let same = off.iter().filter(|o| *o * middle.signum() > allowed_m);
    (same.count() as f64 >= ONE_SIDE_SHARE * off.len() as f64).then_some(middle)
}

/// Compares two surveys of one room.
///
/// # Units, datum, sign
/// Thickness is after less before, up positive. With [`Tie::Points`] the second day is shifted by the mean
/// difference at the tie points, so that those stand where they stood.
/// # Errors
/// [`ReportError::Unlike`] when no mark is shared, when a name stands at two places, or when the tie points
/// disagree by more than 3.2 mm; the mark is named.
pub fn recheck(
    before: &Survey,
    after: &Survey,
    request: &RecheckRequest<'_>,
) -> Result<Recheck, ReportError> {
    let step_m = before
        .evident_step_m()
        .into_iter()
        .chain(after.evident_step_m())
        .fold(0.0, f64::max);
    let (before, after) = (&marks_of(before), &marks_of(after));
    let pairs = pairs(before, after, request.spacing_m)?;
    if pairs.is_empty() {
        return Err(ReportError::Unlike(
            "no mark has the same name or the same place in both; read the same marks again, \
             or name them alike"
                .to_owned(),
        ));
    }
    let (shift_m, tie_spread_m) = shift(before, after, &pairs, &request.tie)?;
    let tied: &[String] = match &request.tie {
        Tie::Points(labels) => labels,
        Tie::Stated | Tie::Assumed => &[],
    };
    let order = walking_order(&before.readings, before.room.as_ref(), request.spacing_m);
    let mut marks = Vec::with_capacity(pairs.len());
    for b in order {
        let Some(pair) = pairs.iter().find(|p| p.0 == b) else {
            continue;
        };
        let (was, is) = (&before.readings[pair.0], &after.readings[pair.1]);
        // A tie point carries no material.
        if tied.iter().any(|t| *t == was.label) {
            continue;
        }
        marks.push(mark(was, is, shift_m, request));
    }
    let rest = |survey: &Survey, taken: &dyn Fn(usize) -> bool| -> Vec<String> {
        (0..survey.readings.len())
            .filter(|&i| !taken(i))
            .map(|i| survey.readings[i].label.to_string())
            .collect()
    };
    let used: Vec<bool> = flags(before.readings.len(), pairs.iter().map(|p| p.0));
    let met: Vec<bool> = flags(after.readings.len(), pairs.iter().map(|p| p.1));
    let thinnest =
        (0..marks.len()).min_by(|&i, &j| marks[i].placed_m.total_cmp(&marks[j].placed_m));
    let mean_m = if marks.is_empty() {
        0.0
    } else {
        marks.iter().map(|m| m.placed_m).sum::<f64>() / marks.len() as f64
    };
    let unpoured = looks_unpoured(&marks, if step_m > 0.0 { step_m } else { USUAL_STEP_M });
    if unpoured {
        for m in &mut marks {
            m.remarks.clear();
        }
    }
    let line_assumed = request.tie == Tie::Assumed;
    Ok(Recheck {
        line_off_m: Some(line_assumed && !unpoured)
            .filter(|asked| *asked)
            .and_then(|_| all_off(&marks, request.allowed_off_m)),
        line_assumed,
        ridges: if unpoured {
            Vec::new()
        } else {
            request.ridges.clone()
        },
        spots: super::recheck_spots::spots(&marks, request.spacing_m),
        unpoured,
        only_before: rest(before, &|i| used[i]),
        only_after: rest(after, &|i| met[i]),
        shift_m,
        tie_spread_m,
        thinnest,
        mean_m,
        placed_m3: request.placed_m3,
        bags_planned: request.bags_planned,
        bags_used: request.bags_used,
        bags_explained: request
            .placed_m3
            .zip(request.yield_m3)
            .filter(|(_, y)| *y > 0.0)
            .map(|(v, y)| v / y),
        marks,
    })
}

/// What was placed at a mark that was read on both days, against the plan.
fn mark(was: &Reading, is: &Reading, shift_m: f64, request: &RecheckRequest<'_>) -> RecheckMark {
    let placed_m = is.elevation.m() + shift_m - was.elevation.m();
    let planned_m = request.plane.map(|p| p.at(was.at) - was.elevation.m());
    let off_finish_m = planned_m.map(|planned| placed_m - planned);
    let mut remarks = Vec::new();
    let wet = planned_m.is_none_or(|p| p > SAME_M);
    if placed_m < -SAME_M {
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

/// The marks of a survey: of its readings those on the floor, one for each spot, at the mean of what was read there.
/// What stands in a void, on a slope that is kept or outside the walls got no material and is no mark.
fn marks_of(survey: &Survey) -> Survey {
    let floor = survey.room.as_ref().map(Room::region);
    let on_floor: Vec<&Reading> = survey
        .readings
        .iter()
        .filter(|r| floor.as_ref().is_none_or(|floor| holds(floor, r.at)))
        .collect();
    let grid = PointGrid::new(on_floor.iter().map(|r| r.at).collect());
    let mut taken = vec![false; on_floor.len()];
    let mut readings = Vec::new();
    for (i, first) in on_floor.iter().enumerate() {
        if taken[i] {
            continue;
        }
        let near = Point::new(SAME_SPOT_M, SAME_SPOT_M);
        let mut spot: Vec<usize> = grid
            .in_box(first.at - near, first.at + near)
            .map(|j| j as usize)
            .filter(|&j| !taken[j] && on_floor[j].at.distance(first.at) <= SAME_SPOT_M)
            .collect();
        spot.sort_unstable();
        spot.iter().for_each(|&j| taken[j] = true);
        let mut mark = (*first).clone();
        if spot.len() > 1 {
            let sum: f64 = spot.iter().map(|&j| on_floor[j].elevation.m()).sum();
            mark.elevation = Elevation::from_m(sum / spot.len() as f64);
            let texts: Vec<&str> = spot
                .iter()
                .map(|&j| on_floor[j].raw.text.as_str())
                .collect();
            mark.raw.text = texts.join(" / ").into();
        }
        readings.push(mark);
    }
    Survey {
        readings,
        ..survey.clone()
    }
}

/// The same mark in both surveys: by name, else by place. Where set-ups have marks of one name, the nearest of that name.
fn pairs(
    before: &Survey,
    after: &Survey,
    spacing_m: f64,
) -> Result<Vec<(usize, usize)>, ReportError> {
    let (named, were_named) = (by_label(after), by_label(before));
    // Places rounded to a tenth of the spacing find a mark whose name changed.
    let cell = (spacing_m / 10.0).max(1e-3);
    let key = |p: Point| ((p.x / cell).round() as i64, (p.y / cell).round() as i64);
    let mut places: HashMap<(i64, i64), Vec<usize>> = HashMap::new();
    for (i, r) in after.readings.iter().enumerate() {
        places.entry(key(r.at)).or_default().push(i);
    }
    let mut taken = vec![false; after.readings.len()];
    let mut out = Vec::new();
    for (b, r) in before.readings.iter().enumerate() {
        let apart = |a: usize| r.at.distance(after.readings[a].at);
        let of_name = named.get(r.label.as_str()).map_or(&[][..], Vec::as_slice);
        if let [only] = of_name
            && apart(*only) > spacing_m / 2.0
            && were_named
                .get(r.label.as_str())
                .is_some_and(|l| l.len() == 1)
        {
            return Err(ReportError::Unlike(format!(
                "the mark {} stands {} away from where it stood before; were the grids laid out \
                 from the same corner?",
                r.label,
                Rule::of_step(before.resolution_m).both(Length::from_m(apart(*only)))
            )));
        }
        let by_name = of_name
            .iter()
            .copied()
            .filter(|&a| !taken[a] && apart(a) <= spacing_m / 2.0)
            .min_by(|&a, &o| apart(a).total_cmp(&apart(o)));
        let by_place = || {
            let there = places.get(&key(r.at))?;
            there.iter().copied().find(|&a| !taken[a])
        };
        if let Some(a) = by_name.or_else(by_place) {
            taken[a] = true;
            out.push((b, a));
        }
    }
    Ok(out)
}

/// Readings by their names; one name may be used in several set-ups.
fn by_label(survey: &Survey) -> HashMap<&str, Vec<usize>> {
    let mut out: HashMap<&str, Vec<usize>> = HashMap::new();
    for (i, r) in survey.readings.iter().enumerate() {
        out.entry(r.label.as_str()).or_default().push(i);
    }
    out
}

/// What brings the second day onto the first day's datum, and how far the tie points disagree.
fn shift(
    before: &Survey,
    after: &Survey,
    pairs: &[(usize, usize)],
    tie: &Tie,
) -> Result<(f64, Option<f64>), ReportError> {
    let Tie::Points(labels) = tie else {
        return Ok((0.0, None));
    };
    let mut differences = Vec::new();
    for label in labels {
        let pair = pairs.iter().find(|p| before.readings[p.0].label == *label);
        let Some(&(b, a)) = pair else {
            return Err(ReportError::Unlike(format!(
                "the tie point {label} was not read on both days"
            )));
        };
        differences.push((
            label,
            before.readings[b].elevation.m() - after.readings[a].elevation.m(),
        ));
    }
    if differences.is_empty() {
        return Err(ReportError::Unlike(
            "no tie point is named; name at least one mark that the work did not touch".to_owned(),
        ));
    }
    let mean = differences.iter().map(|d| d.1).sum::<f64>() / differences.len() as f64;
    let low = differences
        .iter()
        .map(|d| d.1)
        .fold(f64::INFINITY, f64::min);
    let high = differences
        .iter()
        .map(|d| d.1)
        .fold(f64::NEG_INFINITY, f64::max);
    let worst = differences
        .iter()
        .max_by(|a, b| (a.1 - mean).abs().total_cmp(&(b.1 - mean).abs()));
    if let Some((label, d)) = worst
        && high - low > TIE_SPREAD_M
    {
        return Err(ReportError::Unlike(format!(
            "the tie points disagree by {:.1} mm; {label} lies {:.1} mm from their mean. Read it again, \
             or leave it out",
            (high - low) * 1000.0,
            (d - mean).abs() * 1000.0
        )));
    }
    Ok((mean, Some(high - low)))
}
