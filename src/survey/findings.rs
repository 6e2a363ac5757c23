//! Readings that look like slips, and blocks of readings that step together. Told, never changed.

use super::robust::{
    FEWEST, MOST_TOLD, SAME_M, median, place, plane_rows, spread, told_from, words_of,
};
use super::setups::SAME_SPOT_M;
use super::slip::{Rule, likely_slip};
pub use super::steps::{LEAST_STEP_M, SIDE};
use super::steps::{STEP, steps};
use super::{Notice, Reading, Room, Severity, Survey, holds};
use crate::geometry::{Point, PointGrid, Region, SAME_LINE_M, Segment};
use crate::units::{Comma, Length, LengthUnit, read_length};
use nalgebra::{Matrix3, Vector3};
use std::collections::{BTreeSet, HashSet};

/// Beyond this many readings nothing is looked for: a scan has no slips of the hand.
pub const MOST_SEARCHED: usize = 50_000;
/// Neighbours that a reading is held against.
const NEIGHBOURS: usize = 8;

/// Suspect readings and suspect steps, as notices.
///
/// # Units, datum, sign
/// `resolution_m` in metres; `unit` is the unit the raw texts are in, for digits changed about. `joints` are those
/// marked on the plan: across one the floor may step, and no reading is held against one beyond it.
/// # Method
/// Each reading is held against the plane of least absolute deviation through its eight nearest
/// neighbours, itself left out; it is suspect when it is off by nearly 1/4 in and by six times the robust
/// spread (1.4826 times the median absolute deviation) of all readings. The difference is compared
/// with known slips. Steps: with `b` 0 before and 1 from the k-th reading on, a step `d` adds
/// `d (b_i - sum w_ij b_j)` to the residual of reading i; `d` is fitted by least squares for every k, the best
/// k joins those already found, and all are measured anew together by least absolute deviations, which a lone slip moves
/// little; those that do not hold are dropped, the least sure first. docs/methods.md, Readings, units and numbers.
/// # Edge cases
/// Nothing for fewer than twelve readings or more than [`MOST_SEARCHED`]. A true step in the floor, such
/// as a curled joint between two rows, looks the same; the words say so.
pub fn findings(
    readings: &[Reading],
    resolution_m: Option<f64>,
    unit: Option<LengthUnit>,
    joints: &[Segment],
) -> Vec<Notice> {
    if readings.len() < FEWEST || readings.len() > MOST_SEARCHED {
        return Vec::new();
    }
    let (points, heights, around) = beside(readings, joints);
    let mut notices = suspects(readings, &points, &heights, &around, resolution_m, unit);
    notices.extend(steps(readings, &points, &heights, &around, resolution_m));
    notices
}

/// As [`findings`], of the readings on a floor: what is not on it is used for nothing, nor does it cast doubt on what is.
pub fn findings_on(
    floor: Option<&Region>,
    readings: &[Reading],
    resolution_m: Option<f64>,
    unit: Option<LengthUnit>,
    joints: &[Segment],
) -> Vec<Notice> {
    let on_floor: Vec<Reading> = (readings.iter())
        .filter(|r| floor.is_none_or(|floor| holds(floor, r.at)))
        .cloned()
        .collect();
    findings(&on_floor, resolution_m, unit, joints)
}

/// Looks anew at a survey whose set-ups were read from files of their own and tied since: what each file showed by itself goes, as a
/// reading at the border of its rows has neighbours on both sides now.
pub fn look_again(survey: &mut Survey, unit: Option<LengthUnit>) {
    let of_one_file = [SUSPECT, STEP, TOGETHER];
    survey
        .notices
        .retain(|n| !of_one_file.contains(&n.code.as_str()));
    let room = survey.room.as_ref();
    let (floor, joints) = (room.map(Room::region), room.map(Room::joint_pieces));
    let found = findings_on(
        floor.as_ref(),
        &survey.readings,
        survey.evident_step_m(),
        unit,
        &joints.unwrap_or_default(),
    );
    survey.notices.extend(found);
}

/// Code of the notice that tells of several readings side by side.
const TOGETHER: &str = "readings-together";
/// Code of the notice that tells of a reading that looks like a slip.
const SUSPECT: &str = "suspect-reading";
/// Code of the notice that tells of a reading whose place looks like one.
pub const OFF_THE_GRID: &str = "off-the-grid";

/// Code of the notice that tells of a reading which a remark on the sheet takes back.
pub const TAKEN_BACK: &str = "reading-taken-back";

/// Indices of the readings that notices tell of as slips, or as taken back on the sheet, rising.
///
/// A reading is known by the place that its notice names, so that what is said of readings after set-ups were put
/// together is said of the same ones.
pub fn suspected(notices: &[Notice], readings: &[Reading]) -> Vec<usize> {
    let told: HashSet<&str> = notices
        .iter()
        .filter(|n| {
            [SUSPECT, OFF_THE_GRID, TAKEN_BACK].contains(&n.code.as_str()) && !n.place.is_empty()
        })
        .map(|n| n.place.as_str())
        .collect();
    if told.is_empty() {
        return Vec::new();
    }
    (0..readings.len())
        .filter(|&i| told.contains(place(&readings[i]).as_str()))
        .collect()
}

/// Index of the first reading of each block that notices tell of as lying by one amount off those before.
pub fn stepped(notices: &[Notice], readings: &[Reading]) -> Vec<usize> {
    let told = notices.iter().filter(|n| n.code == STEP);
    let first = |n: &Notice| readings.iter().position(|r| place(r) == n.place);
    told.filter_map(first).collect()
}

/// By how much each of these blocks of readings, by index, lies above those beside it, metres: what may be taken off if all of them lie
/// off by one amount, measured together, since one may lie beside another or in it. Readings `without` take no part, as those of a mark
/// that may be misread. Joints are as for [`findings`].
pub fn lie_above(
    readings: &[Reading],
    joints: &[Segment],
    blocks: &[&[u32]],
    without: &[u32],
) -> Vec<f64> {
    if readings.len() > MOST_SEARCHED {
        return vec![0.0; blocks.len()];
    }
    let kept: Vec<usize> = (0..readings.len())
        .filter(|&i| !without.contains(&(i as u32)))
        .collect();
    let list: Vec<Reading> = kept.iter().map(|&i| readings[i].clone()).collect();
    let (points, heights, around) = beside(&list, joints);
    let inside: Vec<Vec<bool>> = blocks
        .iter()
        .map(|block| {
            let block: HashSet<u32> = block.iter().copied().collect();
            kept.iter().map(|&i| block.contains(&(i as u32))).collect()
        })
        .collect();
    super::steps::lie_above(&points, &heights, &around, &inside)
}

/// Which of a mark's readings, by index, lies nearest to what those beside it say; `None` where nothing tells.
pub fn nearest_to_neighbours(
    readings: &[Reading],
    joints: &[Segment],
    mark: &[u32],
) -> Option<u32> {
    let (points, heights, around) = beside(readings, joints);
    let off =
        |i: usize| Some((heights[i] - robust_height(&points, &heights, &around[i], i)?).abs());
    let told = mark.iter().filter_map(|&i| Some((i, off(i as usize)?)));
    told.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(i, _)| i)
}

/// Places, heights and neighbours of readings.
fn beside(readings: &[Reading], joints: &[Segment]) -> (Vec<Point>, Vec<f64>, Vec<Vec<usize>>) {
    let points: Vec<Point> = readings.iter().map(|r| r.at).collect();
    let heights: Vec<f64> = readings.iter().map(|r| r.elevation.m()).collect();
    let grid = PointGrid::new(points.clone());
    let around = (0..points.len())
        .map(|i| neighbours(&grid, &points, joints, i))
        .collect();
    (points, heights, around)
}

/// The nearest other readings on the same side of every joint, near to far, each mark once; all of those that are equally
/// far as the last, so that neither the order of the sheet nor the place of its origin picks among them.
fn neighbours(grid: &PointGrid, points: &[Point], joints: &[Segment], i: usize) -> Vec<usize> {
    let at = points[i];
    let mut reach = grid.cell_size().max(1e-6) * 1.5;
    let mut found: Vec<(f64, usize)> = Vec::new();
    // Doubling reaches across any floor; the bound only guards against odd coordinates.
    for _ in 0..64 {
        let half = Point::new(reach, reach);
        let mut all = 0;
        found = grid
            .in_box(at - half, at + half)
            .inspect(|_| all += 1)
            .map(|j| (points[j as usize].distance(at), j as usize))
            .filter(|&(d, j)| {
                j != i && d > SAME_SPOT_M && d <= reach && !parted(joints, at, points[j])
            })
            .collect();
        // Some way inside the reach, so that none is missed which is as far as the last.
        let inside = found.iter().filter(|f| f.0 <= 0.99 * reach).count();
        if inside >= NEIGHBOURS || all == points.len() {
            break;
        }
        reach *= 2.0;
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    // A mark read from two set-ups would count twice, and an outlier there pull the plane.
    let mut near: Vec<usize> = Vec::with_capacity(NEIGHBOURS);
    let mut last = 0.0;
    for (far, j) in found {
        if near.len() >= NEIGHBOURS && far > last + SAME_M {
            break;
        }
        let known = near
            .iter()
            .any(|&k| points[k].distance(points[j]) <= SAME_SPOT_M);
        if !known {
            near.push(j);
            last = far;
        }
    }
    near
}

/// Whether a joint runs between two places, or on one of them: a reading on the joint itself may be of either side.
fn parted(joints: &[Segment], a: Point, b: Point) -> bool {
    let way = Segment::new(a, b);
    joints.iter().any(|j| j.gap(&way) <= SAME_LINE_M)
}

/// Height of the least-absolute-deviation plane of the neighbours at reading `i`; `None` where they lie in one line.
///
/// # Method
/// Reweighted least squares (E. J. Schlossmacher, 1973): every round weighs all neighbours by the one plane of the round before, so that
/// the order in which they stand on the sheet says nothing.
fn robust_height(points: &[Point], heights: &[f64], around: &[usize], i: usize) -> Option<f64> {
    const ROUNDS: usize = 30;
    let near: Vec<Point> = around.iter().map(|&j| points[j]).collect();
    let rows = plane_rows(points[i], &near)?;
    let above: Vec<f64> = around.iter().map(|&j| heights[j] - heights[i]).collect();
    let mut weights = vec![1.0; near.len()];
    let mut at_i = None;
    for _ in 0..ROUNDS {
        let mut normal = Matrix3::zeros();
        let mut right = Vector3::zeros();
        for ((row, z), &w) in rows.iter().zip(&above).zip(&weights) {
            normal += row * row.transpose() * w;
            right += row * (w * z);
        }
        let plane = normal.cholesky()?.solve(&right);
        at_i = Some(heights[i] + plane.x);
        weights = rows
            .iter()
            .zip(&above)
            .map(|(row, z)| 1.0 / (z - row.dot(&plane)).abs().max(1e-4))
            .collect();
        let most = weights.iter().copied().fold(0.0, f64::max).max(1e-300);
        for w in &mut weights {
            // Never quite zero: the plane stays determined.
            *w = (*w / most).max(1e-4);
        }
    }
    at_i
}

/// The suspects' notices, and heights with the suspects laid onto their neighbours' planes, so that a
/// lone slip does not pass for a step.
fn suspects(
    readings: &[Reading],
    points: &[Point],
    heights: &[f64],
    around: &[Vec<usize>],
    resolution_m: Option<f64>,
    unit: Option<LengthUnit>,
) -> Vec<Notice> {
    let off: Vec<f64> = (0..readings.len())
        .map(|i| robust_height(points, heights, &around[i], i).map_or(0.0, |h| heights[i] - h))
        .collect();
    let spread = spread(&off);
    let limit = told_from(spread, resolution_m);
    let mut found: Vec<usize> = (0..readings.len())
        .filter(|&i| off[i].abs() > limit + SAME_M)
        .collect();
    // Beside a large slip its neighbours look off too, and beside a ridge those on its flanks look low: of readings that are each
    // other's neighbours only the farthest off is told.
    let worse_near = |i: usize| {
        around[i].iter().any(|&j| {
            let ratio = if off[j] * off[i] < 0.0 { 1.5 } else { 2.0 };
            off[j].abs() > limit + SAME_M && off[j].abs() > ratio * off[i].abs() + SAME_M
        })
    };
    found.retain(|&i| !worse_near(i));
    let tolerance = (2.0 * spread).clamp(0.002, 0.004);
    let runs = runs(&found, &off, around);
    let in_runs: HashSet<usize> = runs.iter().flatten().copied().collect();
    let alone: Vec<usize> = found
        .iter()
        .copied()
        .filter(|i| !in_runs.contains(i))
        .collect();
    let untold = alone.len().saturating_sub(MOST_TOLD);
    let mut notices: Vec<Notice> = alone
        .iter()
        .take(MOST_TOLD)
        .map(|&i| {
            let reading = &readings[i];
            let why = cause(reading, off[i], tolerance, unit)
                .map_or(String::new(), |words| format!(": it may be {words}"));
            Notice::new(
                SUSPECT,
                Severity::Warning,
                place(reading),
                format!(
                    "{} ({}) lies {} {} what its neighbours say{why}. Read it again; nothing was changed.",
                    reading.label,
                    words_of(reading),
                    Rule::of_step(resolution_m).both(Length::from_m(off[i].abs())),
                    if off[i] > 0.0 { "above" } else { "below" },
                ),
            )
        })
        .collect();
    if untold > 0 {
        notices.push(Notice::new(
            SUSPECT,
            Severity::Warning,
            "",
            format!("{untold} more readings lie as far off their neighbours."),
        ));
    }
    notices.extend(
        runs.iter()
            .map(|run| told_together(run, readings, &off, Rule::of_step(resolution_m))),
    );
    notices
}

/// Fewest readings side by side that are off alike and are therefore no slips: nobody slips three times over by the same.
const FEWEST_TOGETHER: usize = 3;

/// Readings that lie side by side and are off the same way by as much or up to twice as much, in groups of three or more.
fn runs(found: &[usize], off: &[f64], around: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let alike = |i: usize, j: usize| {
        let (a, b) = (off[i].abs(), off[j].abs());
        off[i] * off[j] > 0.0 && a <= 2.0 * b + SAME_M && b <= 2.0 * a + SAME_M
    };
    let mut open: BTreeSet<usize> = found.iter().copied().collect();
    let mut runs = Vec::new();
    while let Some(start) = open.pop_first() {
        let mut run = vec![start];
        let mut k = 0;
        while let Some(&i) = run.get(k) {
            k += 1;
            let next: Vec<usize> = open
                .iter()
                .copied()
                .filter(|&j| (around[i].contains(&j) || around[j].contains(&i)) && alike(i, j))
                .collect();
            for j in next {
                open.remove(&j);
                run.push(j);
            }
        }
        if run.len() >= FEWEST_TOGETHER {
            run.sort_unstable();
            runs.push(run);
        }
    }
    runs
}

/// A group of readings that are off alike, in one notice.
fn told_together(run: &[usize], readings: &[Reading], off: &[f64], rule: Rule) -> Notice {
    const NAMED: usize = 3;
    let mut sizes: Vec<f64> = run.iter().map(|&i| off[i].abs()).collect();
    let names: Vec<&str> = run
        .iter()
        .take(NAMED)
        .map(|&i| readings[i].label.as_str())
        .collect();
    let more = match run.len() - names.len() {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    Notice::new(
        TOGETHER,
        Severity::Warning,
        place(&readings[run[0]]),
        format!(
            "{} readings side by side ({}{more}) lie about {} {} what their neighbours say: a ridge, a joint or a bumped line more likely than slips. Look at the floor there; nothing was changed.",
            run.len(),
            names.join(", "),
            rule.both(Length::from_m(median(&mut sizes))),
            if off[run[0]] > 0.0 { "above" } else { "below" },
        ),
    )
}

/// What may have happened to a reading that is off by so much.
fn cause(
    reading: &Reading,
    off_m: f64,
    tolerance_m: f64,
    unit: Option<LengthUnit>,
) -> Option<String> {
    let near = |difference: f64| (difference.abs() - off_m.abs()).abs() <= tolerance_m;
    let slip = likely_slip(off_m, tolerance_m, unit).map(|s| s.words.to_owned());
    if slip.is_some() {
        return slip;
    }
    let value = read_length(&reading.raw.text, unit, Comma::Auto)
        .ok()?
        .length;
    if let Some(text) = digits_changed_about(&reading.raw.text)
        .into_iter()
        .find(|text| {
            read_length(text, unit, Comma::Auto)
                .is_ok_and(|other| near(other.length.m() - value.m()))
        })
    {
        return Some(format!("two digits changed about, for {text}"));
    }
    // `30 7/8` taken for `31 1/8`: as far on the other side of the numeral.
    let numeral = if unit.is_none_or(LengthUnit::is_us) {
        0.0254
    } else {
        0.01
    };
    let mirrored = 2.0 * (value.m() - (value.m() / numeral).round() * numeral);
    near(mirrored).then(|| "a mark read from the wrong side of its numeral".to_owned())
}

/// The text with each pair of neighbouring, different digits changed about; those of a fraction's denominator stand
/// on the rule and are not read.
fn digits_changed_about(text: &str) -> Vec<String> {
    let chars: Vec<char> = text.chars().take(24).collect();
    let under = |i: usize| {
        let before = chars[..i].iter().rev();
        before
            .take_while(|c| c.is_ascii_digit() || **c == '/')
            .any(|c| *c == '/')
    };
    (1..chars.len())
        .filter(|&i| {
            chars[i].is_ascii_digit()
                && chars[i - 1].is_ascii_digit()
                && chars[i] != chars[i - 1]
                && !under(i)
        })
        .map(|i| {
            let mut changed = chars.clone();
            changed.swap(i - 1, i);
            changed.into_iter().collect()
        })
        .collect()
}
