//! Which readings the floor is built from, and what became of the others.

use super::lines::{JOINT, Lines, WALL};
use super::words::Spoken;
use crate::geometry::{Point, PointGrid, Region, RegionIndex, SAME_LINE_M, Segment, around};
use crate::survey::{NamedRing, Notice, Reading, Severity, Survey, WALL_REACH_M};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// What became of a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReadingUse {
    /// Used where it was read (within a millimetre).
    Used,
    /// It stands a little outside the walls: used at the nearest wall point.
    AtWall {
        /// How far it was moved, metres.
        moved_m: f64,
    },
    /// One of several readings of one mark: the floor there stands at their mean.
    SamePlace {
        /// Index in the survey of the reading that bears the mark's name: the highest of them.
        as_reading: u32,
        /// This one's elevation less that one's, metres; never positive.
        difference_m: f64,
    },
    /// Outside the walls, or outside the area that this floor covers.
    Outside {
        /// Distance to the nearest wall, metres.
        distance_m: f64,
    },
    /// Inside a void.
    InVoid {
        /// Index of the void in the room.
        void: u32,
    },
    /// Inside an area that keeps its slope.
    InSlope {
        /// Index of the slope in the room.
        slope: u32,
    },
}

impl ReadingUse {
    /// Whether the reading stands on the floor, be it as one of several of a mark.
    pub const fn is_on_floor(&self) -> bool {
        self.is_used() || matches!(self, Self::SamePlace { .. })
    }

    /// Whether the floor passes through this reading.
    pub const fn is_used(&self) -> bool {
        matches!(self, Self::Used | Self::AtWall { .. })
    }
}

/// A reading that the floor passes through.
#[derive(Debug, Clone, Copy)]
pub(super) struct Used {
    /// Index in the survey.
    pub(super) reading: u32,
    /// Where in plan: its own place, or the wall point that stands for it.
    pub(super) at: Point,
    /// Elevation, metres: its own, or the mean of all readings of this mark.
    pub(super) z: f64,
    /// The piece of wall or joint it lies on.
    pub(super) piece: Option<u32>,
}

/// What encloses a place where no floor is.
pub(super) struct Left<'a> {
    pub(super) region: &'a Region,
    pub(super) voids: &'a [NamedRing],
    pub(super) slopes: &'a [NamedRing],
}

/// Sorts the readings out: those used, in an order that does not depend on the sheet's, and the fate of
/// each.
pub(super) fn sort_out(
    readings: &[Reading],
    index: &RegionIndex,
    lines: &Lines,
    left: &Left,
) -> (Vec<Used>, Vec<ReadingUse>) {
    let mut fates: Vec<(ReadingUse, Point, Option<u32>)> = readings
        .par_iter()
        .map(|r| fate(r.at, index, lines, left))
        .collect();
    let mut used: Vec<Used> = fates
        .iter()
        .enumerate()
        .filter(|(_, f)| f.0.is_used())
        .map(|(i, f)| Used {
            reading: i as u32,
            at: f.1,
            z: readings[i].elevation.m(),
            piece: f.2,
        })
        .collect();
    // Of readings in one place the highest comes first, so that it is the one whose name the mark bears.
    let z = |u: &Used| u.z;
    used.par_sort_unstable_by(|a, b| {
        a.at.x
            .total_cmp(&b.at.x)
            .then(a.at.y.total_cmp(&b.at.y))
            .then(z(b).total_cmp(&z(a)))
            .then(a.reading.cmp(&b.reading))
    });
    let same = same_places(&used, z);
    let mut marks: BTreeMap<u32, (f64, f64)> = BTreeMap::new();
    for (i, keeper) in same.iter().enumerate() {
        if let Some(k) = *keeper {
            let (own, other) = (used[i], used[k as usize]);
            fates[own.reading as usize].0 = ReadingUse::SamePlace {
                as_reading: other.reading,
                difference_m: own.z - other.z,
            };
            let mark = marks.entry(k).or_insert((0.0, 1.0));
            // Differences from the highest keep their digits whatever the datum.
            *mark = (mark.0 + own.z - other.z, mark.1 + 1.0);
        }
    }
    for (k, (below, count)) in marks {
        used[k as usize].z += below / count;
    }
    let mut same = same.iter();
    used.retain(|_| same.next().is_some_and(Option::is_none));
    (used, fates.into_iter().map(|f| f.0).collect())
}

fn fate(
    p: Point,
    index: &RegionIndex,
    lines: &Lines,
    left: &Left,
) -> (ReadingUse, Point, Option<u32>) {
    // A wall along a slope that is kept, or along a void, has no floor of this one beside it.
    let bordered = |at: Point| around(at, 2.0 * SAME_LINE_M).any(|q| index.contains(q));
    if let Some((piece, d)) = lines.nearest(p, SAME_LINE_M, WALL | JOINT)
        && bordered(p)
    {
        debug_assert!(d <= SAME_LINE_M);
        // A wall before a joint: at the end of a joint the wall line is the one to keep straight.
        let piece = lines
            .nearest(p, SAME_LINE_M, WALL)
            .map_or(piece, |(wall, _)| wall);
        return (ReadingUse::Used, foot(lines, piece, p), Some(piece));
    }
    if index.contains(p) {
        return (ReadingUse::Used, p, None);
    }
    let inside = |list: &[NamedRing]| list.iter().position(|r| r.ring.contains(p));
    let beside = |list: &[NamedRing]| {
        let near = |(a, b)| Segment::new(a, b).distance(p) <= WALL_REACH_M;
        list.iter().position(|r| r.ring.sides().any(near))
    };
    let in_slope = |slope: usize| {
        let slope = slope as u32;
        (ReadingUse::InSlope { slope }, p, None)
    };
    if let Some(slope) = inside(left.slopes) {
        // A slope has a floor of its own, often a step down: its readings never serve the main floor.
        return in_slope(slope);
    }
    if let Some((piece, moved_m)) = lines.nearest(p, WALL_REACH_M, WALL)
        && let at = foot(lines, piece, p)
        && bordered(at)
    {
        return (ReadingUse::AtWall { moved_m }, at, Some(piece));
    }
    if let Some(slope) = beside(left.slopes) {
        return in_slope(slope);
    }
    if let Some(void) = inside(left.voids).or_else(|| beside(left.voids)) {
        let void = void as u32;
        return (ReadingUse::InVoid { void }, p, None);
    }
    let distance_m = wall_distance(p, left.region);
    (ReadingUse::Outside { distance_m }, p, None)
}

/// Where a reading beside a piece stands on it; at a corner, or where lines cross, in the very place of it: a corner that
/// was worked out lies a hair from the one that was typed.
fn foot(lines: &Lines, piece: u32, p: Point) -> Point {
    let s = lines.segment(piece);
    let at = s.nearest(p);
    [s.a, s.b]
        .into_iter()
        .find(|end| end.distance(at) <= SAME_LINE_M)
        .unwrap_or(at)
}

/// For each used reading the one that stands for its place, when that is another.
fn same_places(used: &[Used], z: impl Fn(&Used) -> f64 + Sync) -> Vec<Option<u32>> {
    let grid = PointGrid::new(used.iter().map(|u| u.at).collect());
    let r = Point::new(SAME_LINE_M, SAME_LINE_M);
    let crowded: Vec<u32> = (0..used.len() as u32)
        .into_par_iter()
        .filter(|&i| {
            let p = used[i as usize].at;
            grid.in_box(p - r, p + r)
                .any(|j| j != i && used[j as usize].at.distance(p) <= SAME_LINE_M)
        })
        .collect();
    // The highest floor first, then the place: neither depends on the order of the sheet.
    let mut order = crowded;
    order.sort_by(|&a, &b| {
        let (ua, ub) = (&used[a as usize], &used[b as usize]);
        z(ub).total_cmp(&z(ua)).then(a.cmp(&b))
    });
    let mut keeper: Vec<Option<u32>> = vec![None; used.len()];
    let mut settled = vec![false; used.len()];
    for &i in &order {
        if settled[i as usize] {
            continue;
        }
        settled[i as usize] = true;
        let p = used[i as usize].at;
        let near: Vec<u32> = grid.in_box(p - r, p + r).collect();
        for j in near {
            if !settled[j as usize] && used[j as usize].at.distance(p) <= SAME_LINE_M {
                settled[j as usize] = true;
                keeper[j as usize] = Some(i);
            }
        }
    }
    keeper
}

/// Distance from a point to a region's nearest wall, for the telling only.
fn wall_distance(p: Point, region: &Region) -> f64 {
    region
        .sides()
        .map(|(a, b)| Segment::new(a, b).distance(p))
        .fold(f64::INFINITY, f64::min)
}

/// A code told for more readings than this is summed up; `Built::readings` has every one.
const TOLD_ONE_BY_ONE: usize = 20;

/// Notices about readings that are not used as they stand.
pub(super) fn tell(
    readings: &[Reading],
    uses: &[ReadingUse],
    left: &Left,
    survey: &Survey,
) -> Vec<Notice> {
    let resolution_m = survey.resolution_m;
    let mut told: Vec<Notice> = Vec::new();
    let spoken = Spoken::of_step(resolution_m);
    for (r, u) in readings.iter().zip(uses) {
        let (code, severity, what) = match *u {
            ReadingUse::Used => continue,
            ReadingUse::AtWall { moved_m } => (
                "reading-at-wall",
                Severity::Note,
                format!(
                    "stands {} outside the wall line; used at the nearest wall point",
                    spoken.plan(moved_m)
                ),
            ),
            ReadingUse::SamePlace {
                as_reading,
                difference_m,
            } => {
                let other = &readings[as_reading as usize];
                let name = name_of(other, as_reading);
                let set_ups = match survey.set_up_of(other) {
                    _ if r.set_up == other.set_up => String::new(),
                    Some(set_up) => format!(" from set-up {set_up}"),
                    None => " from another set-up".to_owned(),
                };
                // Each is taken to a step: rounded one up and one down, readings of one height lie a step apart.
                if difference_m.abs() <= resolution_m.unwrap_or(0.0) + 1e-9 {
                    (
                        "reading-repeated",
                        Severity::Note,
                        format!(
                            "is a second reading of mark {name}{set_ups} and agrees with it to a step"
                        ),
                    )
                } else {
                    (
                        "reading-disagrees",
                        Severity::Warning,
                        format!(
                            "is a second reading of mark {name}{set_ups} and {} lower; the mark is taken at the mean of its readings. If that is more than these readings are good for, read it again",
                            spoken.height(difference_m.abs())
                        ),
                    )
                }
            }
            ReadingUse::Outside { distance_m } => (
                "reading-outside",
                Severity::Warning,
                format!(
                    "lies {} outside the walls: it is no part of this floor, and counts only where set-ups or days are tied by it. If it stands on the floor, check its position or the outline",
                    spoken.plan(distance_m)
                ),
            ),
            ReadingUse::InVoid { void } => (
                "reading-in-void",
                Severity::Warning,
                format!(
                    "lies inside {}; not part of this floor. Check its position or the void",
                    left.voids[void as usize].name
                ),
            ),
            ReadingUse::InSlope { slope } => (
                "reading-in-slope",
                Severity::Note,
                format!(
                    "lies inside {}, which keeps its slope; not part of this floor",
                    left.slopes[slope as usize].name
                ),
            ),
        };
        let label = if r.label.is_empty() {
            "Reading".to_owned()
        } else {
            format!("Reading {}", r.label)
        };
        told.push(Notice::new(
            code,
            severity,
            r.raw.place.to_string(),
            format!("{label} {what}."),
        ));
    }
    sum_up(told)
}

/// A reading by its label, or by its number where it has none.
pub(super) fn name_of(r: &Reading, index: u32) -> String {
    if r.label.is_empty() {
        format!("reading {}", index + 1)
    } else {
        r.label.to_string()
    }
}

/// Keeps the first of each code and counts the rest.
pub(super) fn sum_up(told: Vec<Notice>) -> Vec<Notice> {
    let mut counts: Vec<(String, Severity, usize)> = Vec::new();
    let mut kept = Vec::new();
    for n in told {
        let at = counts.iter().position(|c| c.0 == n.code);
        let at = at.unwrap_or_else(|| {
            counts.push((n.code.clone(), n.severity, 0));
            counts.len() - 1
        });
        counts[at].2 += 1;
        if counts[at].2 <= TOLD_ONE_BY_ONE {
            kept.push(n);
        }
    }
    for (code, severity, count) in counts {
        if count > TOLD_ONE_BY_ONE {
            kept.push(Notice::new(
                &code,
                severity,
                "",
                format!(
                    "{} more readings like the {TOLD_ONE_BY_ONE} told here, {count} in all.",
                    count - TOLD_ONE_BY_ONE
                ),
            ));
        }
    }
    kept
}
