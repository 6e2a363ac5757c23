//! Several set-ups of the level tied into one survey by points read from more than one of them.

use super::slip::{Rule, Slip, likely_slip};
use super::{Notice, Reading, Severity, Survey, evident_resolution};
use crate::geometry::{Point, PointGrid};
use crate::units::Length;
use nalgebra::{DMatrix, DVector};
use std::collections::BTreeMap;

/// Readings nearer to each other than this were taken at one spot, metres.
pub const SAME_SPOT_M: f64 = 0.025;

/// Same, for two readings that also carry one name, metres.
pub const SAME_NAME_M: f64 = 0.075;

/// The most that shared points may disagree after tying, metres: 1/8 in, or two steps of the
/// readings where those are coarser.
pub const LARGEST_SPREAD_M: f64 = 0.003_175;

/// The most that a misread mark which ties set-ups by itself is taken to be off, metres: 1 in, the common slip that is largest
/// among those nobody sees on the floor (a rule held at its 1 in mark; common practice, no published source).
pub const UNCHECKED_SLIP_M: f64 = 0.0254;

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

/// How the heights of tied readings hang on the readings at shared spots.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ties {
    /// The set-up of each reading; empty where there is one only.
    set_ups: Vec<usize>,
    /// For each set-up, the readings that its shift hangs on, with their shares in it.
    shares: Vec<Vec<(u32, f64)>>,
    /// Marks that several set-ups read.
    marks: Vec<SharedMark>,
    /// Set-ups that hang on one mark alone.
    alone: Vec<TiedByOne>,
}

/// A set-up that one mark alone ties to the others.
#[derive(Debug, Clone, PartialEq)]
pub struct TiedByOne {
    /// The set-up.
    pub set_up: String,
    /// The mark.
    pub mark: String,
    /// What it was read with.
    pub rule: Rule,
}

/// A mark that several set-ups read.
#[derive(Debug, Clone, PartialEq)]
struct SharedMark {
    readings: Vec<u32>,
    /// By how much what they read there still differs, metres.
    spread_m: f64,
    /// By how much one of them may be off without being seen, metres, half-width.
    unseen_m: f64,
}

impl SharedMark {
    /// Variance of what hangs on its readings with these weights, from the one that may be off unseen, square metres: whichever
    /// weighs most. A half-width with nothing known inside it is a uniform spread (JCGM 100:2008, 4.3.7).
    fn unseen_variance(&self, weights: &BTreeMap<u32, f64>) -> f64 {
        let most = self
            .readings
            .iter()
            .filter_map(|i| weights.get(i))
            .fold(0.0f64, |most, w| most.max(w.abs()));
        (most * self.unseen_m).powi(2) / 3.0
    }
}

impl Ties {
    /// Of a survey whose set-ups were tied.
    ///
    /// # Method
    /// A shift is linear in the heights at the shared spots ([`tie`]): its shares are the columns of the normal equations'
    /// solution. What may be off there beyond a reading's own doubt is what the spot lies off all the others, tied without it: a
    /// slip at one of two spots shows as half of itself at both, one in a loop as its share at each, and which of them it is at
    /// nothing tells. Where a set-up hangs on one spot alone, nothing could show a misread one, and it is the largest common
    /// slip ([`UNCHECKED_SLIP_M`]).
    pub fn of(survey: &Survey) -> Self {
        let readings = &survey.readings;
        let names: Vec<String> = survey.set_ups.iter().map(|s| s.name.clone()).collect();
        if names.len() < 2 {
            return Self::default();
        }
        let groups = shared_groups(readings);
        let n = names.len() - 1;
        let Some(factor) = normal_matrix(readings, &groups, n, &vec![1.0; groups.len()]).cholesky()
        else {
            return Self::default();
        };
        let mut shares = vec![Vec::new(); names.len()];
        let (mut marks, mut alone) = (Vec::new(), Vec::new());
        for (g, group) in groups.iter().enumerate() {
            let cut_off = hanging_on(readings, &groups, g, &names);
            let spread = off_others(readings, &groups, g, &names);
            marks.push(SharedMark {
                readings: group.iter().map(|&i| i as u32).collect(),
                spread_m: spread,
                unseen_m: if cut_off.is_some() {
                    UNCHECKED_SLIP_M
                } else {
                    spread
                },
            });
            alone.extend(cut_off.map(|set_up| TiedByOne {
                set_up,
                mark: readings[group[0]].label.to_string(),
                rule: Rule::of_step(survey.resolution_m),
            }));
            for &i in group {
                let mut right = DVector::<f64>::zeros(n);
                let mut add = |set_up: usize, by: f64| {
                    if set_up > 0 {
                        right[set_up - 1] += by;
                    }
                };
                add(readings[i].set_up, -1.0);
                for &j in group {
                    add(readings[j].set_up, 1.0 / group.len() as f64);
                }
                let of_reading = factor.solve(&right);
                for (k, &share) in of_reading.iter().enumerate() {
                    shares[k + 1].push((i as u32, share));
                }
            }
        }
        Self {
            set_ups: readings.iter().map(|r| r.set_up).collect(),
            shares,
            marks,
            alone,
        }
    }

    /// Set-ups that hang on one mark alone.
    pub fn alone(&self) -> &[TiedByOne] {
        &self.alone
    }

    /// Whether all was read from one set-up.
    pub(crate) fn is_empty(&self) -> bool {
        self.set_ups.is_empty()
    }

    /// Whether these readings were taken from more than one set-up.
    pub(crate) fn mixes(&self, readings: impl Iterator<Item = u32>) -> bool {
        let mut of = readings.filter_map(|i| self.set_ups.get(i as usize));
        let first = of.next();
        of.any(|k| Some(k) != first)
    }

    /// The most that readings of one mark disagree by, metres.
    fn widest_m(&self) -> f64 {
        self.marks.iter().map(|m| m.spread_m).fold(0.0, f64::max)
    }

    /// The most that ties can put into the standard uncertainty of a gap whose contacts and deepest place stand on different
    /// set-ups, readings being off by `u` in the standard deviation, metres.
    pub(crate) fn most_m(&self, u: f64) -> f64 {
        let mut most = 0.0f64;
        for (a, first) in self.shares.iter().enumerate() {
            for second in &self.shares[..a] {
                let mut apart: BTreeMap<u32, f64> = first.iter().copied().collect();
                for &(i, share) in second {
                    *apart.entry(i).or_default() -= share;
                }
                let read: f64 = apart.values().map(|w| w * w * u * u).sum();
                let unseen: f64 = self.marks.iter().map(|m| m.unseen_variance(&apart)).sum();
                most = most.max(read + unseen);
            }
        }
        // Ends and deepest place may each be such a mark: their shares' squares make up 2 at most.
        (most + 2.0 * self.widest_m().powi(2) / 3.0).sqrt()
    }

    /// Weights of readings in a height or a gap, with those of the shared readings that their set-ups hang on; and the
    /// variance that the ties add to it beyond the readings' own doubt, square metres.
    pub(crate) fn spread(&self, weights: &[(u32, f64)]) -> (Vec<(u32, f64)>, f64) {
        let mut moved = vec![0.0; self.shares.len()];
        for &(i, w) in weights {
            if let Some(&k) = self.set_ups.get(i as usize) {
                moved[k] += w;
            }
        }
        let mut through: BTreeMap<u32, f64> = BTreeMap::new();
        for (shares, moved) in self.shares.iter().zip(moved) {
            for &(i, share) in shares {
                *through.entry(i).or_default() += share * moved;
            }
        }
        // A shared reading is in the shift of its set-up, and in the height of its own mark as well.
        for &(i, w) in weights {
            *through.entry(i).or_default() += w;
        }
        let mut variance = 0.0;
        for mark in &self.marks {
            let own: f64 = weights
                .iter()
                .filter(|(i, _)| mark.readings.contains(i))
                .map(|w| w.1)
                .sum();
            variance += mark.unseen_variance(&through) + (own * mark.spread_m).powi(2) / 3.0;
        }
        (through.into_iter().collect(), variance)
    }
}

/// The first set-up that would be cut off if one group of shared readings were not there.
fn hanging_on(
    readings: &[Reading],
    groups: &[Vec<usize>],
    without: usize,
    names: &[String],
) -> Option<String> {
    let others: Vec<Vec<usize>> = groups
        .iter()
        .enumerate()
        .filter(|(g, _)| *g != without)
        .map(|(_, group)| group.clone())
        .collect();
    match connected(readings, &others, names) {
        Err(SetUpError::NotShared { set_up, .. }) => Some(set_up),
        _ => None,
    }
}

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
        if let Some(cut_off) = hanging_on(&survey.readings, &groups, g, names) {
            survey.notices.push(Notice::new(
                "set-up-tied-by-one-point",
                Severity::Warning,
                "",
                format!(
                    "Set-up {cut_off} hangs on one shared point, {}: nothing shows whether it was misread. Read two more from both.",
                    point.label
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
    connected(readings, &groups, names)?;
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

/// Highest less lowest of the heights that one spot has, tied.
fn spread_of(readings: &[Reading], shifts: &[f64], group: &[usize]) -> f64 {
    let heights = || group.iter().map(|&i| height(readings, shifts, i));
    heights().fold(f64::NEG_INFINITY, f64::max) - heights().fold(f64::INFINITY, f64::min)
}

/// The others, tied without this spot; `None` where they do not hang together then.
fn tied_without(
    readings: &[Reading],
    groups: &[Vec<usize>],
    without: usize,
    names: &[String],
) -> Option<Vec<f64>> {
    if hanging_on(readings, groups, without, names).is_some() {
        return None;
    }
    let mut weights = vec![1.0; groups.len()];
    weights[without] = 0.0;
    Some(least_squares(readings, groups, names.len(), &weights))
}

/// How far a spot lies off what all others say, metres: the spread of its heights once they are tied without it. Of one that
/// set-ups hang on, what its own readings disagree by as tied.
fn off_others(readings: &[Reading], groups: &[Vec<usize>], g: usize, names: &[String]) -> f64 {
    let shifts = tied_without(readings, groups, g, names)
        .unwrap_or_else(|| least_squares(readings, groups, names.len(), &vec![1.0; groups.len()]));
    spread_of(readings, &shifts, &groups[g])
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

fn height(readings: &[Reading], shifts: &[f64], i: usize) -> f64 {
    readings[i].elevation.m() + shifts[readings[i].set_up]
}

/// Readings of one spot from more than one set-up, each group in reading order.
fn shared_groups(readings: &[Reading]) -> Vec<Vec<usize>> {
    let grid = PointGrid::new(readings.iter().map(|r| r.at).collect());
    let mut root: Vec<usize> = (0..readings.len()).collect();
    fn find(root: &mut [usize], mut i: usize) -> usize {
        // Halving the path bounds the walk: every step comes nearer to the root.
        while root[i] != i {
            root[i] = root[root[i]];
            i = root[i];
        }
        i
    }
    let reach = Point::new(SAME_NAME_M, SAME_NAME_M);
    for (i, reading) in readings.iter().enumerate() {
        for j in grid.in_box(reading.at - reach, reading.at + reach) {
            let j = j as usize;
            let other = &readings[j];
            if j >= i || other.set_up == reading.set_up {
                continue;
            }
            let apart = other.at.distance(reading.at);
            let named = !reading.label.is_empty()
                && reading.label.eq_ignore_ascii_case(&other.label)
                && apart <= SAME_NAME_M;
            if named || apart <= SAME_SPOT_M {
                let (a, b) = (find(&mut root, i), find(&mut root, j));
                root[a.max(b)] = a.min(b);
            }
        }
    }
    let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for i in 0..readings.len() {
        groups.entry(find(&mut root, i)).or_default().push(i);
    }
    groups
        .into_values()
        .filter(|g| {
            g.iter()
                .any(|&i| readings[i].set_up != readings[g[0]].set_up)
        })
        .collect()
}

/// Whether every set-up hangs together with the first.
fn connected(
    readings: &[Reading],
    groups: &[Vec<usize>],
    names: &[String],
) -> Result<(), SetUpError> {
    let mut reached = vec![false; names.len()];
    reached[0] = true;
    // Each round reaches one more set-up or is the last.
    for _ in 0..names.len() {
        for group in groups {
            if group.iter().any(|&i| reached[readings[i].set_up]) {
                for &i in group {
                    reached[readings[i].set_up] = true;
                }
            }
        }
    }
    match reached.iter().position(|r| !r) {
        Some(alone) => Err(SetUpError::NotShared {
            set_up: names[alone].clone(),
            first: names[0].clone(),
        }),
        None => Ok(()),
    }
}

/// The matrix of the normal equations for the `n` shifts.
fn normal_matrix(
    readings: &[Reading],
    groups: &[Vec<usize>],
    n: usize,
    weights: &[f64],
) -> DMatrix<f64> {
    let mut normal = DMatrix::<f64>::zeros(n, n);
    for (group, weight) in groups.iter().zip(weights) {
        let share = 1.0 / group.len() as f64;
        for &i in group {
            let a = readings[i].set_up;
            if a == 0 {
                continue;
            }
            normal[(a - 1, a - 1)] += weight;
            for &j in group {
                let b = readings[j].set_up;
                if b > 0 {
                    normal[(a - 1, b - 1)] -= weight * share;
                }
            }
        }
    }
    normal
}

/// Shifts, the first 0, that make the weighted sum of squares of shared heights about their group
/// means least.
fn least_squares(
    readings: &[Reading],
    groups: &[Vec<usize>],
    set_ups: usize,
    weights: &[f64],
) -> Vec<f64> {
    let n = set_ups - 1;
    let normal = normal_matrix(readings, groups, n, weights);
    let mut right = DVector::<f64>::zeros(n);
    for (group, weight) in groups.iter().zip(weights) {
        let share = 1.0 / group.len() as f64;
        // Heights about their mean, so that far-off elevations lose no digits.
        let mean = group
            .iter()
            .map(|&i| readings[i].elevation.m())
            .sum::<f64>()
            * share;
        for &i in group {
            let a = readings[i].set_up;
            if a == 0 {
                continue;
            }
            right[a - 1] -= weight * (readings[i].elevation.m() - mean);
        }
    }
    let mut shifts = vec![0.0];
    match normal.cholesky() {
        Some(factor) => shifts.extend(factor.solve(&right).iter()),
        // Every set-up is connected, so the matrix is positive definite but for rounding.
        None => shifts.extend(std::iter::repeat_n(0.0, n)),
    }
    shifts
}

/// Shifts that make the sum of the shared heights' departures least, in absolute values.
fn least_absolute(readings: &[Reading], groups: &[Vec<usize>], set_ups: usize) -> Vec<f64> {
    const ROUNDS: usize = 60;
    let mut weights = vec![1.0; groups.len()];
    let mut shifts = least_squares(readings, groups, set_ups, &weights);
    for _ in 0..ROUNDS {
        for (weight, group) in weights.iter_mut().zip(groups) {
            let heights: Vec<f64> = group
                .iter()
                .map(|&i| height(readings, &shifts, i))
                .collect();
            let mean = heights.iter().sum::<f64>() / heights.len() as f64;
            let off = heights.iter().map(|h| (h - mean).abs()).sum::<f64>();
            *weight = 1.0 / off.max(1e-5);
        }
        shifts = least_squares(readings, groups, set_ups, &weights);
    }
    shifts
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
