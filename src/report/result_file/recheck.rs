//! The floor before against the floor after.

use serde::Serialize;

use super::quantity::{Exact, Litres, Mm, Place};
use crate::recheck as made;

/// Both surveys compared, mark by mark.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Recheck {
    /// The number that every sheet of the run carries.
    run: String,
    /// Marks read on both days, in walking order.
    marks: Vec<Mark>,
    /// Material was planned and the floor stands as it did before.
    unpoured: bool,
    /// What is wrong, neighbouring marks together.
    spots: Vec<RemarkedSpot>,
    /// Ridges under a short edge, where the readings after the work stand closely enough to tell them.
    ridges: Vec<RidgeFound>,
    /// Marks read only before.
    only_before: Vec<String>,
    /// Marks read only after.
    only_after: Vec<String>,
    /// What was added to the second day's heights.
    shift_mm: Mm,
    /// Nobody stated the height of the line or untouched marks: the line was taken to stand at one height on both days.
    line_assumed: bool,
    /// How far most marks stand off the finish, all to one side, up positive; null unless the line was only taken to stand at one
    /// height.
    line_off_mm: Option<Mm>,
    /// Largest less smallest difference at the tie points; null without them.
    tie_spread_mm: Option<Mm>,
    /// How many tie points there are.
    tie_points: usize,
    /// Expanded uncertainty (k = 2) of the thickness at one mark.
    mark_doubt_mm: Mm,
    /// The mark with the least thickness; null while the line is asked about.
    thinnest: Option<String>,
    /// Mean thickness at the marks; null while the line is asked about.
    mean_mm: Option<Mm>,
    /// Volume between the two floors; null while the line is asked about, and where the two days speak for different floor.
    placed_l: Option<Litres>,
    /// Expanded uncertainty (k = 2) of that volume, as far as the readings and the tie points make it.
    placed_doubt_l: Litres,
    /// Bags planned.
    bags_planned: Option<Exact>,
    /// Bags used.
    bags_used: Option<Exact>,
    /// Bags that the placed volume explains.
    bags_explained: Option<Exact>,
}

/// A mark on both days.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Mark {
    /// Its name.
    label: String,
    /// Where it is.
    at: Place,
    /// The reading before, as it was written.
    before: String,
    /// The reading after, as it was written.
    after: String,
    /// Placed thickness: after less before.
    placed_mm: Mm,
    /// Thickness that was planned.
    planned_mm: Option<Mm>,
    /// Height above the planned finish; negative below it.
    off_finish_mm: Option<Mm>,
    /// What is wrong here.
    remarks: Vec<Remark>,
}

/// What is wrong at a mark.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Remark {
    /// Less material than the least asked for.
    Thin,
    /// Higher than the planned finish by more than is allowed.
    Proud,
    /// Lower than the planned finish by more than is allowed.
    Low,
    /// Lower than it was before.
    Lost,
}

impl From<made::Remark> for Remark {
    fn from(r: made::Remark) -> Self {
        match r {
            made::Remark::Thin => Self::Thin,
            made::Remark::Proud => Self::Proud,
            made::Remark::Low => Self::Low,
            made::Remark::Lost => Self::Lost,
        }
    }
}

/// Neighbouring marks with one remark.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct RemarkedSpot {
    /// What is wrong.
    remark: Remark,
    /// Its marks.
    marks: Vec<String>,
    /// Where it is worst.
    worst: Option<String>,
}

/// A ridge.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct RidgeFound {
    /// Where it is highest.
    at: Place,
    /// How far it stands over a line between two places beside it.
    proud_mm: Mm,
    /// The two batches whose planned tie-in lies there.
    tie_in: Option<[u32; 2]>,
}

impl Recheck {
    /// The comparison, with the number of its run.
    pub fn of(r: &made::Recheck, run: &str) -> Self {
        let name = |i: usize| r.marks.get(i).map(|m| m.label.clone());
        Self {
            run: run.to_owned(),
            marks: r
                .marks
                .iter()
                .map(|m| Mark {
                    label: m.label.clone(),
                    at: m.at.into(),
                    before: m.before_text.clone(),
                    after: m.after_text.clone(),
                    placed_mm: Mm::of_m(m.placed_m),
                    planned_mm: m.planned_m.map(Mm::of_m),
                    off_finish_mm: m.off_finish_m.map(Mm::of_m),
                    remarks: m.remarks.iter().map(|&r| r.into()).collect(),
                })
                .collect(),
            unpoured: r.unpoured,
            spots: r
                .spots
                .iter()
                .map(|s| RemarkedSpot {
                    remark: s.remark.into(),
                    marks: s.marks.iter().filter_map(|&i| name(i)).collect(),
                    worst: name(s.worst),
                })
                .collect(),
            ridges: r
                .ridges
                .iter()
                .map(|ridge| RidgeFound {
                    at: ridge.placement.at.into(),
                    proud_mm: Mm::of_m(ridge.placement.gap_m),
                    tie_in: ridge.tie_in.map(|(a, b)| [a, b]),
                })
                .collect(),
            only_before: r.only_before.clone(),
            only_after: r.only_after.clone(),
            shift_mm: Mm::of_m(r.shift_m),
            line_assumed: r.line_assumed,
            line_off_mm: r.line_off_m.map(Mm::of_m),
            tie_spread_mm: r.tie_spread_m.map(Mm::of_m),
            tie_points: r.tie_points,
            mark_doubt_mm: Mm::of_m(r.mark_doubt_m),
            thinnest: r.thinnest.and_then(name),
            mean_mm: r.mean_m.map(Mm::of_m),
            placed_l: r.placed_m3.map(Litres::of_m3),
            placed_doubt_l: Litres::of_m3(r.placed_doubt_m3),
            bags_planned: r.bags_planned.map(Exact::of),
            bags_used: r.bags_used.map(Exact::of),
            bags_explained: r.bags_explained.map(Exact::of),
        }
    }
}
