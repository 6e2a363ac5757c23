//! Which mark of one day is which of the other, and how the heights of the two days hang together.

use super::error::RecheckError;
use super::result::{RecheckRequest, Tie};
use crate::geometry::{Point, PointGrid, Region};
use crate::survey::setups::SAME_SPOT_M;
use crate::survey::slip::Rule;
use crate::survey::{Elevation, Reading, Room, Survey, holds};
use crate::units::Length;
use std::collections::HashMap;

/// Differences at tie points may differ by this much before the tie is refused: 3 mm, about 1/8 in.
const TIE_SPREAD_M: f64 = 0.0032;

/// The marks of a survey: of its readings those on the floor, one for each spot, at the mean of what was read there.
/// What stands in a void, on a slope that is kept or outside the walls got no material and is no mark.
pub(super) fn marks_of(survey: &Survey) -> Survey {
    spots_of(survey, survey.room.as_ref().map(Room::region))
}

/// All spots of a survey, those off the floor as well: a mark that the work did not touch may stand in a shower or beyond a door.
fn all_marks_of(survey: &Survey) -> Survey {
    spots_of(survey, None)
}

/// One mark for each spot on a floor, at the mean of what was read there.
fn spots_of(survey: &Survey, floor: Option<Region>) -> Survey {
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

/// The same mark in both surveys: by a name that both sheets give it, else by place. Where set-ups have marks of one name, the
/// nearest of that name.
pub(super) fn pairs(
    before: &Survey,
    after: &Survey,
    spacing_m: f64,
) -> Result<Vec<(usize, usize)>, RecheckError> {
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
        let of_name = named
            .get(r.label.as_str())
            .filter(|_| !r.raw.name_made)
            .map_or(&[][..], Vec::as_slice);
        if let [only] = of_name
            && apart(*only) > spacing_m / 2.0
            && were_named
                .get(r.label.as_str())
                .is_some_and(|l| l.len() == 1)
        {
            return Err(RecheckError::Unlike(format!(
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

/// Readings by the names that their sheet gives them; one name may be used in several set-ups.
fn by_label(survey: &Survey) -> HashMap<&str, Vec<usize>> {
    let mut out: HashMap<&str, Vec<usize>> = HashMap::new();
    for (i, r) in survey.readings.iter().enumerate() {
        if !r.raw.name_made {
            out.entry(r.label.as_str()).or_default().push(i);
        }
    }
    out
}

/// What brings the second day onto the first day's datum, and how far the tie points disagree. A tie carries no material: it need not stand
/// on the floor.
pub(super) fn shift(
    before: &Survey,
    after: &Survey,
    request: &RecheckRequest<'_>,
) -> Result<(f64, Option<f64>), RecheckError> {
    let Tie::Points(labels) = &request.tie else {
        return Ok((0.0, None));
    };
    let (before, after) = (&all_marks_of(before), &all_marks_of(after));
    let pairs = pairs(before, after, request.spacing_m)?;
    let mut differences = Vec::new();
    for label in labels {
        let pair = pairs.iter().find(|p| before.readings[p.0].label == *label);
        let Some(&(b, a)) = pair else {
            return Err(RecheckError::Unlike(format!(
                "the tie point {label} was not read on both days"
            )));
        };
        differences.push((
            label,
            before.readings[b].elevation.m() - after.readings[a].elevation.m(),
        ));
    }
    if differences.is_empty() {
        return Err(RecheckError::Unlike(
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
    if high - low > TIE_SPREAD_M {
        return Err(RecheckError::Unlike(ties_disagree(&differences)));
    }
    Ok((mean, Some(high - low)))
}

/// That tie points disagree, and which of them is off where the others say so: of two nobody knows which.
fn ties_disagree(differences: &[(&String, f64)]) -> String {
    let rule = Rule::Inches;
    let text = |m: f64| rule.both(Length::from_m(m.abs()));
    let mut sorted: Vec<f64> = differences.iter().map(|d| d.1).collect();
    sorted.sort_by(f64::total_cmp);
    let apart = text(sorted[sorted.len() - 1] - sorted[0]);
    if let [a, b] = differences {
        return format!(
            "the tie points {} and {} moved {apart} against one another, and nothing shows which of them is off. Read both again, or tie by three or more",
            a.0, b.0
        );
    }
    let middle = (sorted[(sorted.len() - 1) / 2] + sorted[sorted.len() / 2]) / 2.0;
    let off = |d: &&(&String, f64)| (d.1 - middle).abs();
    let worst = differences.iter().max_by(|a, b| off(a).total_cmp(&off(b)));
    worst.map_or_else(String::new, |worst| {
        format!(
            "the tie points disagree by {apart}; {} lies {} off the middle of them. Read it again, or leave it out",
            worst.0,
            text(off(&worst))
        )
    })
}
