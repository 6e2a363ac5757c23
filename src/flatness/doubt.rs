//! Doubt of a gap that comes from the readings themselves.

use super::Placement;
use super::stands::standing;
use crate::geometry::Point;
use crate::surface::Floor;
use crate::survey::setups::Ties;

/// What makes one reading uncertain.
///
/// A tilt of the line cancels out of every gap, so an instrument's error that grows evenly with
/// distance does not belong here; only what differs from reading to reading does.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ReadingDoubt {
    /// Smallest step that was read, metres. A step that is not known is the coarsest that the readings allow
    /// ([`crate::survey::coarsest_step`]); 0 only for a surface that is given and was never read.
    pub step_m: f64,
    /// Standard deviation of a repeated reading at one spot, metres; 0 when not known.
    pub repeatability_m: f64,
    /// Bounds of that standard deviation, as marks that were read twice show them, metres ([`crate::survey::Repeats`]).
    pub shown_m: Option<(f64, f64)>,
    /// Standard uncertainty of the line's own height from spot to spot, metres; 0 when not known.
    pub instrument_m: f64,
}

impl ReadingDoubt {
    /// Standard uncertainty of one reading, metres.
    ///
    /// # Method
    /// A step of `s` read to the nearest is uniform over `s`, so `u = s / sqrt(12)` (JCGM 100:2008,
    /// 4.3.7); the parts are independent and add in squares (5.1.2).
    pub fn reading_m(&self) -> f64 {
        let step = self.step_m / 12f64.sqrt();
        (step * step + self.repeatability_m.powi(2) + self.instrument_m.powi(2)).sqrt()
    }
}

/// What a height hangs on: a reading, or a corner that was carried out and counts as a reading of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Root {
    Reading(u32),
    Carried(u32),
    /// A place off the floor, by its turn in the placement.
    Unknown(u32),
}

/// Expanded uncertainty (k = 2) of a placement's gap, metres.
///
/// # Method
/// The gap is `(1 - k) a + k b - m`, and each of the three heights is a mean of the readings at its
/// triangle's corners; the weight of each reading is gathered over all three and the squares are
/// summed. Three readings with the lowest in the middle give `sqrt(1.5)` times one reading's doubt.
/// At a joint the floor has two heights, each from its own side's readings: of the triangles that meet at
/// a place those are taken that give the placement its gap. A height that was carried out hangs on the readings
/// it was carried from, with the weights it was made with; and by how much the floor may stand off there, bent as it
/// is nearby or at nine in ten places of the floor, is added in squares. Where the readings come from several set-ups, each
/// also hangs on the shared readings that its set-up was tied by ([`Ties`]).
/// # Edge cases
/// Without a placement the doubt is that of three readings with the lowest in the middle.
pub fn gap_doubt_m(
    floor: &Floor,
    placement: Option<&Placement>,
    reading: &ReadingDoubt,
    ties: &Ties,
) -> f64 {
    let u = reading.reading_m();
    let Some(p) = placement else {
        return 2.0 * 1.5f64.sqrt() * u;
    };
    let read = read_doubt_m(shares(floor, p), u, ties);
    bends(floor, p)
        .into_iter()
        .fold(read * read, |sum, b| sum + b * b)
        .sqrt()
}

/// Expanded uncertainty (k = 2) of the height difference between two places, metres: as [`gap_doubt_m`], without a chord.
pub(super) fn difference_doubt_m(
    floor: &Floor,
    (a, b): (Point, Point),
    reading: &ReadingDoubt,
    ties: &Ties,
) -> f64 {
    let of = |place: Point, sign: f64, turn: u32| match floor.locate(place) {
        Some(t) => corner_shares(floor, t, place)
            .into_iter()
            .map(|(root, w)| (root, w * sign))
            .collect(),
        None => vec![(Root::Unknown(turn), sign)],
    };
    let roots = of(a, 1.0, 0).into_iter().chain(of(b, -1.0, 1)).collect();
    let read = read_doubt_m(roots, reading.reading_m(), ties);
    [a, b]
        .into_iter()
        .filter_map(|place| Some(bend_at(floor, floor.locate(place)?, place)))
        .fold(read * read, |sum, bend| sum + bend * bend)
        .sqrt()
}

/// By how much the floor may stand off at a place of triangle `t` that was carried out, metres.
fn bend_at(floor: &Floor, t: u32, place: Point) -> f64 {
    let corners = floor.triangles()[t as usize];
    corners
        .iter()
        .zip(floor.shares_on(t, place))
        .map(|(&v, own)| own.clamp(0.0, 1.0) * floor.bend_m(v))
        .sum()
}

/// Expanded uncertainty (k = 2) of what hangs on these roots, each reading being off by `u` in the standard deviation.
fn read_doubt_m(roots: Vec<(Root, f64)>, u: f64, ties: &Ties) -> f64 {
    let mut of_readings: Vec<(u32, f64)> = Vec::with_capacity(9);
    let mut others: Vec<(Root, f64)> = Vec::new();
    for (root, w) in roots {
        match root {
            Root::Reading(r) => match of_readings.iter_mut().find(|x| x.0 == r) {
                Some(x) => x.1 += w,
                None => of_readings.push((r, w)),
            },
            _ => match others.iter_mut().find(|x| x.0 == root) {
                Some(x) => x.1 += w,
                None => others.push((root, w)),
            },
        }
    }
    let (of_readings, tied) = ties.spread(&of_readings);
    let squares = of_readings.iter().map(|w| w.1 * w.1).sum::<f64>()
        + others.iter().map(|w| w.1 * w.1).sum::<f64>();
    2.0 * (u * u * squares + tied).sqrt()
}

/// By how much the floor may stand off under each end and the deepest place where it was carried out, as far as that
/// goes into the gap, metres.
fn bends(floor: &Floor, p: &Placement) -> [f64; 3] {
    let stand = standing(floor, p);
    let places = [
        (stand.from, p.from, 1.0 - stand.share),
        (stand.to, p.to, stand.share),
        (stand.at, p.at, 1.0),
    ];
    places.map(|(t, place, share)| t.map_or(0.0, |t| bend_at(floor, t, place) * share))
}

/// Indices of the readings that a placement's gap hangs on.
pub(super) fn leans_on(floor: &Floor, placement: &Placement) -> Vec<u32> {
    let mut list: Vec<u32> = shares(floor, placement)
        .into_iter()
        .filter(|(_, w)| w.abs() > 1e-9)
        .filter_map(|(root, _)| match root {
            Root::Reading(r) => Some(r),
            _ => None,
        })
        .collect();
    list.sort_unstable();
    list.dedup();
    list
}

/// What the gap hangs on, with weights; a root may come more than once.
fn shares(floor: &Floor, p: &Placement) -> Vec<(Root, f64)> {
    let stand = standing(floor, p);
    let places = [
        (p.from, 1.0 - stand.share),
        (p.to, stand.share),
        (p.at, -1.0),
    ];
    places
        .into_iter()
        .zip([stand.from, stand.to, stand.at])
        .enumerate()
        .flat_map(|(i, ((place, share), t))| match t {
            Some(t) => corner_shares(floor, t, place)
                .into_iter()
                .map(|(root, w)| (root, w * share))
                .collect(),
            None => vec![(Root::Unknown(i as u32), share)],
        })
        .collect()
}

/// The roots of triangle `t`'s corners with their shares of its height at a place: the readings that each
/// corner's height leans on.
fn corner_shares(floor: &Floor, t: u32, at: Point) -> Vec<(Root, f64)> {
    let mut list = Vec::with_capacity(3);
    for (k, share) in floor.shares_on(t, at).into_iter().enumerate() {
        // Just outside by rounding: shares kept between 0 and 1.
        let share = share.clamp(0.0, 1.0);
        let v = floor.triangles()[t as usize][k];
        let leans = floor.leans(v);
        if leans.is_empty() {
            list.push((Root::Carried(v), share));
        }
        list.extend(
            leans
                .into_iter()
                .map(|(r, own)| (Root::Reading(r), own * share)),
        );
    }
    list
}
