//! Several set-ups of the level tied into one survey by points read from more than one of them.

use super::robust::place;
pub use super::shared_spots::{SAME_NAME_M, SAME_SPOT_M};
use super::shared_spots::{
    cut_off, hanging_on, height, least_absolute, least_squares, mark_name, off_others,
    shared_groups, spread_of, tied_without,
};
use super::slip::{Rule, Slip, likely_slip};
pub use super::ties::{TiedByOne, Ties, UNCHECKED_SLIP_M};
use super::{Notice, Reading, Severity, Survey, evident_resolution};
use crate::geometry::Point;
use crate::units::Length;

/// The most that shared points may disagree after tying, metres: 1/8 in, or two steps of the
/// readings where those are coarser.
pub const LARGEST_SPREAD_M: f64 = 0.003_175;

/// What tying found.
#[derive(Debug, Clone, PartialEq)]
pub struct Tie {
    /// Added to the elevations of each set-up to bring them to the first, metres, up positive.
    pub shifts_m: Vec<f64>,
    /// Points read from more than one set-up.
    pub shared: Vec<SharedPoint>,
    /// Greatest disagreement of a shared point with what the others say, metres; never negative.
    pub spread_m: f64,
}

/// A point read from more than one set-up.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedPoint {
    /// Its name, from the first reading.
    pub label: String,
    /// Where it is.
    pub at: Point,
    /// Highest minus lowest of its heights after tying, metres.
    pub spread_m: f64,
    /// How far it lies off what the other shared points say, metres.
    pub off_m: f64,
    /// Indices of its readings in the slice that was tied.
    pub readings: Vec<usize>,
}

/// A shared point that does not fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Misfit {
    /// Its name.
    pub label: String,
    /// Where its reading stands, when it stands in a file.
    pub place: String,
    /// Set-up of the reading that does not fit.
    pub set_up: String,
    /// How far it lies off what the other shared points say, metres, up positive.
    pub off_m: f64,
    /// The slip it may come from.
    pub slip: Option<Slip>,
}

/// Why set-ups cannot be tied.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SetUpError {
    /// No readings at all.
    #[error("found no set-up with readings; expected at least one")]
    Empty,
    /// A set-up shares no point, even over others, with the first.
    #[error(
        "found set-up {set_up} sharing no point with {first}; expected at least one spot, better three, read from both. Read them again from both, within {} mm of each other in plan",
        Length::from_m(SAME_SPOT_M).mm()
    )]
    NotShared {
        /// The one left alone.
        set_up: String,
        /// The one whose line is kept.
        first: String,
    },
    /// Shared points disagree.
    #[error("{}", misfit_text(.misfits, *.spread_m, *.limit_m, *.rule))]
    Misfit {
        /// The points that do not fit; every shared point when there are too few to tell.
        misfits: Vec<Misfit>,
        /// Greatest disagreement, metres.
        spread_m: f64,
        /// The most allowed, metres.
        limit_m: f64,
        /// What they were read with.
        rule: Rule,
    },
}

fn misfit_text(misfits: &[Misfit], spread_m: f64, limit_m: f64, rule: Rule) -> String {
    format!(
        "found set-ups that disagree by {} at shared points; expected at most {}.\n{}",
        rule.both(Length::from_m(spread_m)),
        rule.both(Length::from_m(limit_m)),
        misfit_points(misfits, rule)
    )
}

/// The points that do not fit, a line each.
pub(crate) fn misfit_points(misfits: &[Misfit], rule: Rule) -> String {
    let mut lines = Vec::with_capacity(misfits.len() + 1);
    if misfits.len() > 1 {
        lines.push("Nothing tells which of these is wrong, or whether several are:".to_owned());
    }
    for misfit in misfits {
        let place = if misfit.place.is_empty() {
            String::new()
        } else {
            format!(" ({})", misfit.place)
        };
        lines.push(format!(
            "Point {} from set-up {}{place} lies {} {} what the other shared points say{}. Read it again from both.",
            misfit.label,
            misfit.set_up,
            rule.both(Length::from_m(misfit.off_m.abs())),
            if misfit.off_m > 0.0 { "above" } else { "below" },
            match misfit.slip {
                Some(slip) => format!(": likely {}", slip.words),
                None => String::new(),
            }
        ));
    }
    lines.join("\n")
}

/// Ties set-ups read from one room into one survey, at the line of the first.
///
/// # Units, datum, sign
/// Elevations in metres, up positive. Those of the first set-up stay as they are; the others are
/// shifted as a whole. Nothing is tilted.
/// # Method
/// Spots read from two or more set-ups are found by place ([`SAME_SPOT_M`], or [`SAME_NAME_M`] where
/// the names agree too). One shift for each later set-up makes the sum of squares of the shared
/// heights about their means least; every reading is kept, none is averaged. docs/methods.md, Readings,
/// units and numbers.
/// # Errors
/// [`SetUpError`]: a set-up that shares no point; shared points that disagree by more than
/// [`LARGEST_SPREAD_M`] (or two steps of the readings), by name and with the likely slip.
/// # Edge cases
/// One set-up is given back as it is. One shared point ties, with a warning that nothing checks it.
pub fn tie(parts: Vec<(String, Survey)>) -> Result<Survey, SetUpError> {
    let names: Vec<String> = parts.iter().map(|(n, _)| n.clone()).collect();
    let mut parts = parts.into_iter().map(|(_, s)| s);
    let Some(mut whole) = parts.next() else {
        return Err(SetUpError::Empty);
    };
    if names.len() == 1 {
        return Ok(whole);
    }
    for reading in &mut whole.readings {
        reading.set_up = 0;
    }
    let mut evident_m = whole.evident_step_m().unwrap_or(0.0);
    for (i, part) in parts.enumerate() {
        evident_m = evident_m.max(part.evident_step_m().unwrap_or(0.0));
        whole.readings.extend(
            part.readings
                .into_iter()
                .map(|r| Reading { set_up: i + 1, ..r }),
        );
        whole.notices.extend(part.notices);
        whole.room = whole.room.or(part.room);
        whole.resolution_m = match (whole.resolution_m, part.resolution_m) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
    }
    let limit = LARGEST_SPREAD_M.max(2.0 * evident_m) + 1e-9;
    let found = find_tie(&whole.readings, &names, limit)?;
    apply(&mut whole, &found, &names);
    Ok(whole)
}

/// A set-up of the instrument, and how its line was brought to that of the first.
#[derive(Debug, Clone, PartialEq)]
pub struct SetUp {
    /// As the sheet or the job names it.
    pub name: String,
    /// What was added to its elevations, metres, up positive; 0 for the first.
    pub shift_m: f64,
    /// Spots that it shares with others.
    pub shared: usize,
    /// The most that one of those spots lies off what the others say, metres; 0 for a lone one, which nothing checks.
    pub spread_m: f64,
}

impl SetUp {
    /// What was done to it, in a sentence; `first` is the set-up whose line is kept.
    fn words(&self, first: &str, rule: Rule) -> String {
        let lines = if self.shift_m == 0.0 {
            format!("already lies at the line of {first}")
        } else {
            let way = if self.shift_m > 0.0 { "up" } else { "down" };
            let by = rule.both(Length::from_m(self.shift_m.abs()));
            format!("was shifted {way} by {by} to the line of {first}")
        };
        match self.shared {
            1 => format!(
                "Set-up {} {lines}, over 1 point that it shares with others. Both readings of it are kept.",
                self.name
            ),
            n => format!(
                "Set-up {} {lines}, over {n} points that it shares with others; each lies within {} of what the others say. Both readings of each are kept.",
                self.name,
                rule.both(Length::from_m(self.spread_m)),
            ),
        }
    }
}

/// Code of the notice that tells how one set-up was brought to the line of the first.
pub const TIED: &str = "set-ups-tied";

/// Shifts the readings and says what was done.
pub(crate) fn apply(survey: &mut Survey, tie: &Tie, names: &[String]) {
    for reading in &mut survey.readings {
        reading.elevation = reading.elevation + Length::from_m(tie.shifts_m[reading.set_up]);
    }
    survey.set_ups = names
        .iter()
        .zip(&tie.shifts_m)
        .enumerate()
        .map(|(k, (name, &shift_m))| {
            let shared = || {
                tie.shared
                    .iter()
                    .filter(|p| p.readings.iter().any(|&i| survey.readings[i].set_up == k))
            };
            SetUp {
                name: name.clone(),
                shift_m,
                shared: shared().count(),
                spread_m: shared().map(|p| p.off_m).fold(0.0, f64::max),
            }
        })
        .collect();
    for set_up in survey.set_ups.iter().skip(1) {
        survey.notices.push(Notice::new(
            TIED,
            Severity::Note,
            "",
            set_up.words(&names[0], Rule::of_step(survey.resolution_m)),
        ));
    }
    let groups: Vec<Vec<usize>> = tie.shared.iter().map(|p| p.readings.clone()).collect();
    for (g, point) in tie.shared.iter().enumerate() {
        if let Some(beyond) = hanging_on(&survey.readings, &groups, g, names.len()) {
            let cut_off = &names[beyond[0]];
            survey.notices.push(Notice::new(
                "set-up-tied-by-one-point",
                Severity::Warning,
                place(&survey.readings[point.readings[0]]),
                format!(
                    "Set-up {cut_off} hangs on one shared point, {}: nothing shows whether it was misread. Read two more from both.",
                    mark_name(&survey.readings, &point.readings, names)
                ),
            ));
        }
    }
}

/// Finds shared points and shifts; readings carry their set-up's index.
pub(crate) fn find_tie(
    readings: &[Reading],
    names: &[String],
    limit_m: f64,
) -> Result<Tie, SetUpError> {
    let groups = shared_groups(readings);
    if let Some(alone) = cut_off(readings, &groups, names.len()) {
        return Err(SetUpError::NotShared {
            set_up: names[alone].clone(),
            first: names[0].clone(),
        });
    }
    let shifts = least_squares(readings, &groups, names.len(), &vec![1.0; groups.len()]);
    let off: Vec<f64> = (0..groups.len())
        .map(|g| off_others(readings, &groups, g, names))
        .collect();
    let spread_m = off.iter().copied().fold(0.0, f64::max);
    if spread_m > limit_m {
        return Err(misfit(readings, &groups, &off, names, limit_m));
    }
    Ok(Tie {
        shared: groups
            .iter()
            .zip(&off)
            .map(|(group, &off_m)| SharedPoint {
                label: readings[group[0]].label.to_string(),
                at: readings[group[0]].at,
                spread_m: spread_of(readings, &shifts, group),
                off_m,
                readings: group.clone(),
            })
            .collect(),
        shifts_m: shifts,
        spread_m,
    })
}

/// Spots each of which could be the one that is wrong: without it all others fit.
fn each_explains(
    readings: &[Reading],
    groups: &[Vec<usize>],
    names: &[String],
    limit_m: f64,
) -> Vec<usize> {
    let fits = |g: &usize| {
        tied_without(readings, groups, *g, names).is_some_and(|shifts| {
            let others = groups.iter().enumerate().filter(|(k, _)| k != g);
            let spreads = others.map(|(_, group)| spread_of(readings, &shifts, group));
            spreads.fold(0.0, f64::max) <= limit_m
        })
    };
    (0..groups.len()).filter(fits).collect()
}

/// Names the shared points that do not fit.
///
/// Each spot without which all others fit could be the one: a single culprit among many, every spot of a loop. Where no one
/// spot explains it, least squares would spread the slips over all of them; weights that fall with the misfit (least absolute
/// values, by repeated weighting) leave them where they are.
fn misfit(
    readings: &[Reading],
    groups: &[Vec<usize>],
    off: &[f64],
    names: &[String],
    limit_m: f64,
) -> SetUpError {
    let mut wrong: Vec<(usize, Vec<f64>)> = each_explains(readings, groups, names, limit_m)
        .into_iter()
        .filter(|&g| off[g] > limit_m)
        .filter_map(|g| Some((g, tied_without(readings, groups, g, names)?)))
        .collect();
    if wrong.is_empty() {
        let shifts = least_absolute(readings, groups, names.len());
        wrong = (0..groups.len())
            .filter(|&g| spread_of(readings, &shifts, &groups[g]) > limit_m)
            .map(|g| (g, shifts.clone()))
            .collect();
    }
    if wrong.is_empty() {
        wrong = (0..groups.len())
            .filter(|&g| off[g] > limit_m)
            .filter_map(|g| Some((g, tied_without(readings, groups, g, names)?)))
            .collect();
    }
    let mut spread = 0.0f64;
    let mut misfits = Vec::new();
    for (g, shifts) in wrong {
        let group = &groups[g];
        let heights: Vec<f64> = group
            .iter()
            .map(|&i| height(readings, &shifts, i))
            .collect();
        spread = spread.max(spread_of(readings, &shifts, group));
        // The reading farthest from the group's own first; of two, the later set-up's.
        let base = heights[0];
        let (at, off) = heights
            .iter()
            .enumerate()
            .skip(1)
            .map(|(k, h)| (k, h - base))
            .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
            .unwrap_or((0, 0.0));
        let reading = &readings[group[at]];
        misfits.push(Misfit {
            label: reading.label.to_string(),
            place: if reading.raw.place.row > 0 {
                reading.raw.place.to_string()
            } else {
                String::new()
            },
            set_up: names[reading.set_up].clone(),
            off_m: off,
            slip: likely_slip(off, limit_m.min(LARGEST_SPREAD_M), None),
        });
    }
    let heights: Vec<f64> = readings.iter().map(|r| r.elevation.m()).collect();
    SetUpError::Misfit {
        misfits,
        spread_m: spread,
        limit_m,
        rule: Rule::of_step(evident_resolution(&heights)),
    }
}
