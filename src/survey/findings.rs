//! Readings that look like slips, and blocks of readings that step together. Told, never changed.

use super::setups::SAME_SPOT_M;
use super::slip::{Rule, likely_slip};
use super::{Notice, Place, Reading, Severity, Survey};
use crate::geometry::{Point, PointGrid, SAME_LINE_M, Segment};
use crate::units::{Comma, Length, LengthUnit, read_length};
use nalgebra::{DMatrix, DVector, Matrix3, Vector3};
use std::collections::{BTreeSet, HashSet};

/// Beyond this many readings nothing is looked for: a scan has no slips of the hand.
pub const MOST_SEARCHED: usize = 50_000;
/// Neighbours that a reading is held against.
const NEIGHBOURS: usize = 8;
/// Fewest readings to tell anything from.
const FEWEST: usize = 12;
/// A reading is suspect only when it is off by this much, metres: nearly 1/4 in.
const LEAST_OFF_M: f64 = 0.006;
/// ... and by this many times the robust spread of all readings about their neighbours.
const LEAST_RATIO: f64 = 6.0;
/// The most suspects told one by one.
const MOST_TOLD: usize = 40;
/// A block's step is told from this size, metres: a little under 1/16 in.
const LEAST_STEP_M: f64 = 0.0014;
/// ... and from so many steps of the readings: where a floor slopes, rounding makes steps of one.
const STEPS_OF_RULE: f64 = 1.4;
/// ... when it is this many times its own standard deviation.
const STEP_RATIO: f64 = 7.0;
/// At least so many readings before a step, after it and between two of them: fewer are slips.
const SIDE: usize = 5;
/// The most steps looked for.
const MOST_STEPS: usize = 4;

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
    let points: Vec<Point> = readings.iter().map(|r| r.at).collect();
    let heights: Vec<f64> = readings.iter().map(|r| r.elevation.m()).collect();
    let grid = PointGrid::new(points.clone());
    let around: Vec<Vec<usize>> = (0..points.len())
        .map(|i| neighbours(&grid, &points, joints, i))
        .collect();
    let mut notices = suspects(readings, &points, &heights, &around, resolution_m, unit);
    notices.extend(steps(readings, &points, &heights, &around, resolution_m));
    notices
}

/// Readings of a sample line that look like slips.
///
/// # Units, datum, sign
/// Metres; elevations up positive. `step_m` is the step that readings were taken to.
/// # Method
/// A reading is held against the straight way between those beside it, at an end against the two next to it carried on. It is
/// told when it is off by nearly 1/4 in and by six times the robust spread of all readings of the line; the one whose mending
/// makes the line the evenest first, and the search goes on as if it were mended, so that those beside it are not told too.
/// # Edge cases
/// Nothing for fewer than twelve readings.
pub fn line_findings(
    name: &str,
    elevations_m: &[f64],
    places: &[Place],
    step_m: Option<f64>,
) -> Vec<Notice> {
    let n = elevations_m.len();
    if n < FEWEST || places.len() != n {
        return Vec::new();
    }
    let mut z = elevations_m.to_vec();
    let off = |z: &[f64], i: usize| match i {
        0 => z[0] - (2.0 * z[1] - z[2]),
        i if i + 1 == n => z[i] - (2.0 * z[i - 1] - z[i - 2]),
        i => z[i] - z[i - 1].midpoint(z[i + 1]),
    };
    let mut sizes: Vec<f64> = (0..n).map(|i| off(&z, i).abs()).collect();
    let spread = 1.4826 * median(&mut sizes);
    let limit = LEAST_OFF_M
        .max(LEAST_RATIO * spread)
        .max(3.0 * step_m.unwrap_or(0.0));
    // How uneven the line is about a reading.
    let uneven = |z: &[f64], i: usize| -> f64 {
        (i.saturating_sub(1).max(1)..=(i + 1).min(n - 2))
            .map(|k| (z[k - 1] - 2.0 * z[k] + z[k + 1]).abs())
            .sum()
    };
    let mut found: Vec<(usize, f64)> = Vec::new();
    while found.len() < MOST_TOLD {
        let gain = |i: usize| {
            let mut mended = z.clone();
            mended[i] -= off(&z, i);
            uneven(&z, i) - uneven(&mended, i)
        };
        let worst = (0..n)
            .filter(|&i| off(&z, i).abs() > limit + SAME_M && found.iter().all(|f| f.0 != i))
            .map(|i| (gain(i), i))
            .filter(|(gain, _)| *gain > SAME_M)
            .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
        let Some((_, i)) = worst else { break };
        let size = off(&z, i);
        found.push((i, size));
        z[i] -= size;
    }
    found.sort_unstable_by_key(|f| f.0);
    let told = |&(i, off_m): &(usize, f64)| {
        Notice::new(
            "suspect-line-reading",
            Severity::Warning,
            places[i].to_string(),
            format!(
                "Reading {} of the line {name} lies {} {} what those beside it say. F-numbers hang on it: read it again; nothing was changed.",
                i + 1,
                Rule::of_step(step_m).both(Length::from_m(off_m.abs())),
                if off_m > 0.0 { "above" } else { "below" },
            ),
        )
    };
    found.iter().map(told).collect()
}

/// Code of the notice that tells of a reading that looks like a slip.
const SUSPECT: &str = "suspect-reading";
/// Code of the notice that tells of a reading whose place looks like one.
pub const OFF_THE_GRID: &str = "off-the-grid";

/// Indices of the readings that a survey's notices tell of as slips, rising.
///
/// A reading is known by the place that its notice names, so that what is said of readings after set-ups were put
/// together is said of the same ones.
pub fn suspected(survey: &Survey) -> Vec<usize> {
    let told: HashSet<&str> = survey
        .notices
        .iter()
        .filter(|n| [SUSPECT, OFF_THE_GRID].contains(&n.code.as_str()) && !n.place.is_empty())
        .map(|n| n.place.as_str())
        .collect();
    if told.is_empty() {
        return Vec::new();
    }
    (0..survey.readings.len())
        .filter(|&i| told.contains(place(&survey.readings[i]).as_str()))
        .collect()
}

/// Differences smaller than this come from rounding: nothing is decided by them, metres.
const SAME_M: f64 = 1e-6;

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

/// Shares of the neighbours' heights in the height of their weighted least-squares plane at `at`.
/// `None` where they lie in one line.
fn plane_shares(at: Point, near: &[Point], weights: &[f64]) -> Option<Vec<f64>> {
    if near.len() < 3 {
        return None;
    }
    let size = near
        .iter()
        .map(|p| p.distance(at))
        .fold(0.0, f64::max)
        .max(1e-9);
    let rows: Vec<Vector3<f64>> = near
        .iter()
        .map(|&p| {
            let d = (p - at) * (1.0 / size);
            Vector3::new(1.0, d.x, d.y)
        })
        .collect();
    let mut normal = Matrix3::zeros();
    for (row, &w) in rows.iter().zip(weights) {
        normal += row * row.transpose() * w;
    }
    let total: f64 = weights.iter().sum();
    let scaled = normal / total;
    if scaled.determinant().abs() < 1e-6 {
        return None;
    }
    let inverse = scaled.try_inverse()?;
    Some(
        rows.iter()
            .zip(weights)
            .map(|(row, w)| (inverse * row).x * w / total)
            .collect(),
    )
}

/// Height of the least-absolute-deviation plane of the neighbours at reading `i`.
fn robust_height(points: &[Point], heights: &[f64], around: &[usize], i: usize) -> Option<f64> {
    const ROUNDS: usize = 12;
    let near: Vec<Point> = around.iter().map(|&j| points[j]).collect();
    let mut weights = vec![1.0; near.len()];
    let mut at_i = None;
    for _ in 0..ROUNDS {
        let shares = plane_shares(points[i], &near, &weights)?;
        at_i = Some(
            shares
                .iter()
                .zip(around)
                .map(|(s, &j)| s * (heights[j] - heights[i]))
                .sum::<f64>()
                + heights[i],
        );
        // The plane at each neighbour, from the same fit moved there.
        for k in 0..near.len() {
            let there = plane_shares_at(points[i], &near, &weights, near[k])?;
            let plane: f64 = there
                .iter()
                .zip(around)
                .map(|(s, &j)| s * (heights[j] - heights[i]))
                .sum();
            let off = heights[around[k]] - heights[i] - plane;
            weights[k] = 1.0 / off.abs().max(1e-4);
        }
        let most = weights.iter().copied().fold(0.0, f64::max).max(1e-300);
        for w in &mut weights {
            // Never quite zero: the plane stays determined.
            *w = (*w / most).max(1e-4);
        }
    }
    at_i
}

/// Shares for the height of the plane at another place than its middle.
fn plane_shares_at(
    middle: Point,
    near: &[Point],
    weights: &[f64],
    there: Point,
) -> Option<Vec<f64>> {
    let size = near
        .iter()
        .map(|p| p.distance(middle))
        .fold(0.0, f64::max)
        .max(1e-9);
    let row = |p: Point| {
        let d = (p - middle) * (1.0 / size);
        Vector3::new(1.0, d.x, d.y)
    };
    let mut normal = Matrix3::zeros();
    for (&p, &w) in near.iter().zip(weights) {
        normal += row(p) * row(p).transpose() * w;
    }
    let inverse = normal.try_inverse()?;
    let target = row(there);
    Some(
        near.iter()
            .zip(weights)
            .map(|(&p, w)| target.dot(&(inverse * row(p))) * w)
            .collect(),
    )
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len();
    if n == 0 {
        0.0
    } else if n % 2 == 1 {
        values[n / 2]
    } else {
        (values[n / 2 - 1] + values[n / 2]) / 2.0
    }
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
    let mut sizes: Vec<f64> = off.iter().map(|r| r.abs()).collect();
    let spread = 1.4826 * median(&mut sizes);
    let limit = LEAST_OFF_M
        .max(LEAST_RATIO * spread)
        .max(3.0 * resolution_m.unwrap_or(0.0));
    let mut found: Vec<usize> = (0..readings.len())
        .filter(|&i| off[i].abs() > limit + SAME_M)
        .collect();
    // Beside a large slip its neighbours look off too: of readings that are each other's neighbours
    // only the farthest off is told.
    let worse_near = |i: usize| {
        around[i]
            .iter()
            .any(|&j| off[j].abs() > limit + SAME_M && off[j].abs() > 2.0 * off[i].abs() + SAME_M)
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
        "readings-together",
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

fn place(reading: &Reading) -> String {
    if reading.raw.place.row > 0 {
        reading.raw.place.to_string()
    } else {
        format!("point {}", reading.label)
    }
}

fn words_of(reading: &Reading) -> String {
    if reading.raw.text.is_empty() {
        "no text".to_owned()
    } else {
        format!("read as \u{201c}{}\u{201d}", reading.raw.text)
    }
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

/// Blocks of readings, in the order of the sheet, that step by one amount against those before.
fn steps(
    readings: &[Reading],
    points: &[Point],
    heights: &[f64],
    around: &[Vec<usize>],
    resolution_m: Option<f64>,
) -> Vec<Notice> {
    let n = readings.len();
    let shares: Vec<Vec<f64>> = (0..n)
        .map(|i| {
            let near: Vec<Point> = around[i].iter().map(|&j| points[j]).collect();
            plane_shares(points[i], &near, &vec![1.0; near.len()]).unwrap_or_default()
        })
        .collect();
    let residual: Vec<f64> = (0..n)
        .map(|i| {
            shares[i]
                .iter()
                .zip(&around[i])
                .map(|(s, &j)| s * (heights[i] - heights[j]))
                .sum()
        })
        .collect();
    // Who counts a reading among its neighbours, with which share.
    let mut used_by: Vec<Vec<(usize, f64)>> = vec![Vec::new(); n];
    for i in 0..n {
        for (&share, &j) in shares[i].iter().zip(&around[i]) {
            used_by[j].push((i, share));
        }
    }
    let step_of_rule = resolution_m.unwrap_or(0.0);
    let spread_of = |residual: &[f64]| {
        let mut sizes: Vec<f64> = residual.iter().map(|r| r.abs()).collect();
        (1.4826 * median(&mut sizes)).max(step_of_rule * 0.29)
    };
    // All that may be one, found one after the other; each time all are measured anew together, since a block that comes
    // back shows as two, and each alone as half of itself.
    let mut found: Vec<Step> = Vec::new();
    let mut left = residual.clone();
    for _ in 0..MOST_STEPS {
        let clear = |k: usize| found.iter().all(|s| s.from.abs_diff(k) >= SIDE);
        let Some(from) = best_step(&left, &shares, &used_by, spread_of(&left), clear) else {
            break;
        };
        found.push(Step {
            from,
            size_m: 0.0,
            pattern: pattern(from, &shares, around),
        });
        left = measure(&mut found, &residual);
    }
    // The least sure of those that do not hold goes first; the others are measured anew without it.
    while !found.is_empty() {
        // Judged by what is left once the steps are out, lest they hide in the spread they make themselves.
        let spread = spread_of(&left);
        let weakest = (0..found.len())
            .filter(|&i| !holds(&found, i, spread, step_of_rule, points, heights, around))
            .min_by(|&i, &j| found[i].ratio(spread).total_cmp(&found[j].ratio(spread)));
        let Some(i) = weakest else { break };
        found.remove(i);
        left = measure(&mut found, &residual);
    }
    found.sort_by_key(|s| s.from);
    let told = |step: &Step| {
        let first = &readings[step.from];
        Notice::new(
            "readings-step",
            Severity::Warning,
            place(first),
            format!(
                "From {} ({}) on, readings lie {} {} those before. If there is no joint or step in the floor here, the line was bumped, or the rule was held differently: read a few earlier points again. Nothing was changed.",
                first.label,
                words_of(first),
                Rule::of_step(resolution_m).both(Length::from_m(step.size_m.abs())),
                if step.size_m > 0.0 { "above" } else { "below" },
            ),
        )
    };
    found.iter().map(told).collect()
}

/// Readings from one on that lie by one amount off those before.
struct Step {
    /// The first of them.
    from: usize,
    /// Height above those before, metres.
    size_m: f64,
    /// How a unit of it shows in the residuals.
    pattern: Vec<f64>,
}

impl Step {
    /// How many times its own standard deviation it is.
    fn ratio(&self, spread: f64) -> f64 {
        let weight: f64 = self.pattern.iter().map(|g| g * g).sum();
        self.size_m.abs() * weight.sqrt() / spread.max(f64::MIN_POSITIVE)
    }
}

/// Whether a step is large enough, sure enough, and shows between neighbours once the others are out.
fn holds(
    found: &[Step],
    i: usize,
    spread: f64,
    step_of_rule: f64,
    points: &[Point],
    heights: &[f64],
    around: &[Vec<usize>],
) -> bool {
    let step = &found[i];
    if step.size_m.abs() < LEAST_STEP_M.max(STEPS_OF_RULE * step_of_rule)
        || step.ratio(spread) < STEP_RATIO
    {
        return false;
    }
    let mut level = heights.to_vec();
    for other in found.iter().filter(|s| s.from != step.from) {
        for height in &mut level[other.from..] {
            *height -= other.size_m;
        }
    }
    across(step.from, points, &level, around).is_none_or(|a| a / step.size_m >= SEEN_ACROSS)
}

/// Measures steps together: the sizes that leave the least behind, in absolute values, so that a lone slip moves them
/// little, however large. Answers what is left.
///
/// # Method
/// Least absolute deviations by reweighted least squares (E. J. Schlossmacher, 1973).
fn measure(steps: &mut [Step], residual: &[f64]) -> Vec<f64> {
    /// Less than any rule shows: below it what is left weighs no more.
    const LEAST_M: f64 = 1e-5;
    const ROUNDS: usize = 40;
    let n = steps.len();
    let left = |steps: &[Step], i: usize| {
        let of_steps = steps.iter().map(|s| s.size_m * s.pattern[i]);
        residual[i] - of_steps.sum::<f64>()
    };
    let shows: Vec<usize> = (0..residual.len())
        .filter(|&i| steps.iter().any(|s| s.pattern[i].abs() > 1e-9))
        .collect();
    for _ in 0..if n == 0 { 0 } else { ROUNDS } {
        let mut normal = DMatrix::<f64>::zeros(n, n);
        let mut right = DVector::<f64>::zeros(n);
        for &i in &shows {
            let weight = 1.0 / left(steps, i).abs().max(LEAST_M);
            for (a, s) in steps.iter().enumerate() {
                right[a] += weight * s.pattern[i] * residual[i];
                for (b, t) in steps.iter().enumerate() {
                    normal[(a, b)] += weight * s.pattern[i] * t.pattern[i];
                }
            }
        }
        let Some(sizes) = normal.cholesky().map(|c| c.solve(&right)) else {
            break;
        };
        for (step, size) in steps.iter_mut().zip(&sizes) {
            step.size_m = *size;
        }
    }
    (0..residual.len()).map(|i| left(steps, i)).collect()
}

/// A step shows between neighbours on either side of it by so much of itself at least. Where a floor's own waves look like
/// one it shows by less: there is curvature, and no step.
const SEEN_ACROSS: f64 = 0.7;

/// What readings from `k` on stand above the nearest ones before, beyond the slope that the floor has on both sides there:
/// the middle of all such pairs. `None` where no reading has neighbours in line on both sides.
fn across(k: usize, points: &[Point], heights: &[f64], around: &[Vec<usize>]) -> Option<f64> {
    /// A reading is in line when it lies off the place looked for by no more than this share of the way.
    const IN_LINE: f64 = 0.3;
    let beyond = |from: usize, way: Point, same_side: &dyn Fn(usize) -> bool| {
        let to = points[from] + way;
        let near = around[from].iter().copied().filter(|&j| same_side(j));
        near.map(|j| (points[j].distance(to), j))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .filter(|(off, _)| *off <= IN_LINE * way.norm())
            .map(|(_, j)| heights[j] - heights[from])
    };
    let mut said: Vec<f64> = (k..points.len())
        .filter_map(|i| {
            let before = around[i].iter().copied().filter(|&j| j < k);
            let j = before.min_by(|&a, &b| {
                let way = |j: usize| points[i].distance(points[j]);
                way(a).total_cmp(&way(b))
            })?;
            let way = points[i] - points[j];
            let on = beyond(i, way, &|j| j >= k);
            let back = beyond(j, way * -1.0, &|j| j < k).map(|d| -d);
            let slopes: Vec<f64> = [on, back].into_iter().flatten().collect();
            if slopes.is_empty() {
                return None;
            }
            let slope = slopes.iter().sum::<f64>() / slopes.len() as f64;
            Some(heights[i] - heights[j] - slope)
        })
        .collect();
    (!said.is_empty()).then(|| median(&mut said))
}

/// How a unit step from reading `k` on shows in the residuals.
fn pattern(k: usize, shares: &[Vec<f64>], around: &[Vec<usize>]) -> Vec<f64> {
    let after = |i: usize| f64::from(u8::from(i >= k));
    (0..shares.len())
        .map(|i| {
            shares[i]
                .iter()
                .zip(&around[i])
                .map(|(s, &j)| s * (after(i) - after(j)))
                .sum()
        })
        .collect()
}

/// The reading from which on a step explains most, of those that are clear of the steps already found.
fn best_step(
    residual: &[f64],
    shares: &[Vec<f64>],
    used_by: &[Vec<(usize, f64)>],
    spread: f64,
    clear: impl Fn(usize) -> bool,
) -> Option<usize> {
    /// The pattern must rest on about so many readings.
    const LEAST_WEIGHT: f64 = 1.5;
    let n = residual.len();
    // A lone slip must not pass for a step.
    let clipped: Vec<f64> = residual
        .iter()
        .map(|r| r.clamp(-8.0 * spread, 8.0 * spread))
        .collect();
    let sum_of_shares: Vec<f64> = shares.iter().map(|s| s.iter().sum()).collect();
    // Pattern for k = 0 (all after) is zero; each reading that moves to "before" changes its own entry
    // and those that count it.
    let mut g = vec![0.0; n];
    let (mut rg, mut gg) = (0.0, 0.0);
    let mut best: Option<(f64, usize)> = None;
    for k in 1..n {
        let moved = k - 1;
        let mut change = |i: usize, by: f64| {
            rg += clipped[i] * by;
            gg += (g[i] + by).powi(2) - g[i] * g[i];
            g[i] += by;
        };
        change(moved, -sum_of_shares[moved]);
        for &(i, share) in &used_by[moved] {
            change(i, share);
        }
        if k < SIDE || n - k < SIDE || gg < LEAST_WEIGHT || !clear(k) {
            continue;
        }
        let explained = rg * rg / gg;
        if best.is_none_or(|(most, _)| explained > most) {
            best = Some((explained, k));
        }
    }
    best.map(|(_, k)| k)
}
