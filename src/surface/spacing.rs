//! How far apart the readings stand round each of them.

use crate::geometry::{Mesh, NONE, Region, circle_excess, prev};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// A triangle of readings with an edge longer than this many local spacings spans floor that nobody read: two and
/// a half. A hair is added, since on a grid such ratios come out whole and rounding would decide.
pub(super) const GAP: f64 = 2.5 + 1e-6;
/// A neighbour farther than this many times the one before it may stand across a gap; a hair over two and a half,
/// a ratio that grids come to.
const JUMP: f64 = 2.5 + 1e-6;

/// Rows stand at most this many times as far apart as their readings stand in them; beyond, as in a ring read along the walls,
/// what lies between was read by nobody. Our own choice, no published source.
const MOST_APART: f64 = 6.0 + 1e-6;

/// Four readings are a square of the grid when the sine of their angle sum is smaller than this; a tape's
/// rounding stays well under it.
pub(super) const SQUARE: f64 = 0.1;

/// Distances to the natural neighbours of one reading, as far as its spacing needs them.
#[derive(Debug, Clone, Copy)]
struct Near {
    /// To the nearest.
    first_m: f64,
    /// To the second nearest; to the nearest where there is no second.
    second_m: f64,
    /// To the third nearest; to the farthest where there are fewer.
    third_m: f64,
}

/// How far apart the readings stand.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spacings {
    /// Local spacing of every reading, metres, in their order.
    pub(super) of: Vec<f64>,
    /// How far apart the readings stand round each by the closest of them, metres: what the floor round it may be told by. Never over the spacing.
    pub(super) close: Vec<f64>,
    /// Readings that stand by themselves, far from all others, each with the distance to the nearest of those.
    pub(super) apart: Vec<(u32, f64)>,
}

/// Local spacing of every reading of a triangulation of readings alone.
///
/// # Method
/// Distance to the third nearest neighbour in the triangulation, diagonals of squares left out: two
/// neighbours may stand in one row with the reading, the third tells how far the rows are apart. Where
/// the third stands more than two and a half times as far as the second it may stand across a gap that
/// nobody read, so the reading then has the spacing of its nearest neighbours: rows read closely and far
/// apart all say the same, the corner of a surveyed block does not.
///
/// A spacing is that of both sides: where those that a reading stands across from (its neighbours but the ones much nearer
/// than its spacing) are themselves spaced five times as closely, all but one of them, it stands by itself, like a
/// mark whose place was mistyped, and has their spacing. All but one, since two that stand by themselves are neighbours.
/// # Edge cases
/// A reading without neighbours has spacing 0.
pub(super) fn spacings(mesh: &Mesh, region: &Region, readings: u32) -> Spacings {
    let near: Vec<Near> = (0..readings)
        .into_par_iter()
        .map(|i| near(mesh, i + Mesh::FRAME))
        .collect();
    let own = own_spacings((mesh, region), &near);
    let far: Vec<Option<(f64, f64)>> = (0..readings)
        .into_par_iter()
        .map(|i| stands_apart((mesh, region), &own, i))
        .collect();
    let of: Vec<f64> = own
        .iter()
        .zip(&far)
        .enumerate()
        .map(|(i, (&own, far))| match far {
            Some((theirs, _)) => *theirs,
            None => end_of_row((mesh, region), &near, i as u32).unwrap_or(own),
        })
        .collect();
    let close = (0..readings)
        .into_par_iter()
        .map(|i| close((mesh, region), &near, i).min(of[i as usize]))
        .collect();
    let apart = with_those_beside(mesh, &of, &far);
    Spacings { of, close, apart }
}

/// By what the closest readings round one tell the floor beside it is judged.
///
/// # Method
/// The distance to the second nearest, and no more than the median of the same of its neighbours, unless it is over two and a half times
/// that, as of coarsely read floor beside closely read: at the rim of a hole, where neighbours are missing, the nearest that are left stand
/// askew and farther off. Of rows that face each other it is the distance between them.
fn close((mesh, region): (&Mesh, &Region), near: &[Near], i: u32) -> f64 {
    let own = near[i as usize];
    let mut theirs: Vec<f64> = as_near(mesh, near, i, JUMP * own.second_m)
        .map(|n| n.second_m)
        .chain([own.second_m])
        .collect();
    let usual = median(&mut theirs).unwrap_or(own.second_m);
    let by_itself = if own.second_m > JUMP * usual {
        own.second_m
    } else {
        own.second_m.min(usual)
    };
    let rows = own.third_m > own.second_m
        && own.third_m <= MOST_APART * own.second_m
        && faces((mesh, region), near, i, (own.second_m, own.third_m));
    if rows {
        own.third_m.max(by_itself)
    } else {
        by_itself
    }
}

/// The readings that stand by themselves, rising, with those that stand beside them; none where that is most of the readings.
fn with_those_beside(mesh: &Mesh, of: &[f64], far: &[Option<(f64, f64)>]) -> Vec<(u32, f64)> {
    let clear = |&(theirs, nearest): &(f64, f64)| nearest > JUMP * theirs;
    let mut found: BTreeMap<u32, f64> = (0..of.len() as u32)
        .zip(far)
        .filter_map(|(i, far)| far.filter(clear).map(|(_, nearest)| (i, nearest)))
        .collect();
    let mut ahead: Vec<(u32, f64)> = found.iter().map(|(&i, &d)| (i, d)).collect();
    while let Some((i, nearest)) = ahead.pop() {
        for (w, d) in neighbours(mesh, i + Mesh::FRAME) {
            let j = w - Mesh::FRAME;
            if d <= JUMP * of[i as usize].max(of[j as usize]) && !found.contains_key(&j) {
                found.insert(j, nearest);
                ahead.push((j, nearest));
            }
        }
    }
    if 2 * found.len() > of.len() {
        return Vec::new();
    }
    found.into_iter().collect()
}

/// How much closer those across must be spaced for a reading to stand by itself. No honest sheet that we made thins out so
/// fast from one reading to the next; common practice, no published source.
const BY_ITSELF: f64 = 5.0;

/// Of a reading that stands by itself: the spacing of those across from it, and the distance to the nearest of them.
fn stands_apart((mesh, region): (&Mesh, &Region), own: &[f64], i: u32) -> Option<(f64, f64)> {
    let mine = own[i as usize];
    let (mut first, mut second, mut nearest) = (None, None, f64::INFINITY);
    for (w, d) in neighbours(mesh, i + Mesh::FRAME) {
        if d * JUMP < mine || !floor_between((mesh, region), (i + Mesh::FRAME, w)) {
            continue;
        }
        nearest = nearest.min(d);
        let theirs = Some(own[(w - Mesh::FRAME) as usize]);
        if theirs > first {
            (first, second) = (theirs, first);
        } else if theirs > second {
            second = theirs;
        }
    }
    let theirs = second.or(first)?;
    (mine > BY_ITSELF * theirs).then_some((theirs, nearest))
}

/// Of a reading at the end of a row that stands far apart from others: the spacing of its row. Only one neighbour stands in the row
/// with it, and has the next of the row as near.
fn end_of_row((mesh, region): (&Mesh, &Region), near: &[Near], i: u32) -> Option<f64> {
    let own = near[i as usize];
    let most_m = MOST_APART * own.first_m;
    let far_apart = own.second_m > most_m
        || (own.second_m > JUMP * own.first_m && !is_faced((mesh, region), near, i, own.first_m));
    (far_apart && as_near(mesh, near, i, own.first_m).any(|n| n.second_m <= JUMP * own.first_m))
        .then_some(own.first_m)
}

/// Rows that face each other do so across: the way from one to the other makes at least this angle's cosine with them, 60 degrees. The two
/// arms of an L see each other at 45, and read the corner between them no better for it.
const ACROSS: f64 = 0.5;

/// Whether a reading that has its near ones up to `near_m` sees, beyond two and a half times that and no farther than rows may be, one that
/// it faces; see [`faces`].
fn is_faced((mesh, region): (&Mesh, &Region), near: &[Near], i: u32, near_m: f64) -> bool {
    let farther = |d: f64| d > JUMP * near_m;
    neighbours(mesh, i + Mesh::FRAME)
        .filter(|&(_, d)| farther(d) && d <= MOST_APART * near_m * (1.0 + 1e-6))
        .any(|(w, _)| is_across((mesh, region), near, (i, near_m), w))
}

/// Whether a reading that has its near ones up to `near_m` faces one that stands as far off as its next.
fn faces(
    (mesh, region): (&Mesh, &Region),
    near: &[Near],
    i: u32,
    (near_m, next_m): (f64, f64),
) -> bool {
    let next = |d: f64| d > near_m * (1.0 + 1e-6) && d <= next_m * (1.0 + 1e-6);
    neighbours(mesh, i + Mesh::FRAME)
        .filter(|&(_, d)| next(d))
        .any(|(w, _)| is_across((mesh, region), near, (i, near_m), w))
}

/// Whether a vertex has others about as far from itself as a reading is, across the way from that to its near ones: then rows face each other
/// there, or closely read floor ends at coarsely read floor.
fn is_across(
    (mesh, region): (&Mesh, &Region),
    near: &[Near],
    (i, near_m): (u32, f64),
    far: u32,
) -> bool {
    let v = i + Mesh::FRAME;
    let way = |w: u32| mesh.point(w) - mesh.point(v);
    let across_m = way(far).norm();
    across_m <= JUMP * near[(far - Mesh::FRAME) as usize].third_m
        && neighbours(mesh, v)
            .filter(|&(_, d)| d <= near_m * (1.0 + 1e-6))
            .all(|(w, d)| way(w).dot(way(far)).abs() <= ACROSS * d * across_m)
        && floor_between((mesh, region), (v, far))
}

/// Whether there is floor half-way between two vertices: beyond a notch or a void none is seen.
fn floor_between((mesh, region): (&Mesh, &Region), (v, w): (u32, u32)) -> bool {
    region.contains((mesh.point(v) + mesh.point(w)) * 0.5)
}

/// What is known of the neighbours of a reading within a distance. Ties are all asked, so that no order of rows decides.
fn as_near<'a>(
    mesh: &'a Mesh,
    near: &'a [Near],
    i: u32,
    reach_m: f64,
) -> impl Iterator<Item = Near> + 'a {
    neighbours(mesh, i + Mesh::FRAME)
        .filter(move |&(_, d)| d <= reach_m * (1.0 + 1e-6))
        .map(|(w, _)| near[(w - Mesh::FRAME) as usize])
}

fn own_spacings((mesh, region): (&Mesh, &Region), near: &[Near]) -> Vec<f64> {
    (0..near.len() as u32)
        .into_par_iter()
        .map(|i| {
            let own = near[i as usize];
            if own.third_m <= JUMP * own.second_m {
                return own.third_m;
            }
            let most_m = MOST_APART * own.second_m;
            if own.third_m > most_m || !is_faced((mesh, region), near, i, own.second_m) {
                return own.second_m;
            }
            as_near(mesh, near, i, own.second_m)
                .map(|n| n.third_m)
                .fold(own.second_m, f64::max)
                .min(own.third_m)
        })
        .collect()
}

fn near(mesh: &Mesh, v: u32) -> Near {
    let mut least = [f64::INFINITY; 3];
    for (_, d) in neighbours(mesh, v) {
        if let Some(k) = least.iter().position(|&l| d < l) {
            least[k..].rotate_right(1);
            least[k] = d;
        }
    }
    let farthest = |upto: usize| {
        least[..upto]
            .iter()
            .copied()
            .filter(|d| d.is_finite())
            .fold(0.0, f64::max)
    };
    Near {
        first_m: farthest(1),
        second_m: farthest(2),
        third_m: farthest(3),
    }
}

/// Readings joined to a reading by an edge, with their distance; an edge that could nearly as well be turned
/// (the diagonal of a square) is left out.
fn neighbours(mesh: &Mesh, v: u32) -> impl Iterator<Item = (u32, f64)> + '_ {
    mesh.around(v).filter_map(move |h| {
        let w = mesh.target(h);
        (w >= Mesh::FRAME && !is_diagonal(mesh, h))
            .then(|| (w, mesh.point(w).distance(mesh.point(v))))
    })
}

/// Whether the four corners round an edge lie nearly on one circle.
fn is_diagonal(mesh: &Mesh, h: u32) -> bool {
    let twin = mesh.twin(h);
    if twin == NONE {
        return false;
    }
    let corners = [
        mesh.origin(twin),
        mesh.origin(prev(h)),
        mesh.origin(h),
        mesh.origin(prev(twin)),
    ];
    if corners.iter().any(|&v| v < Mesh::FRAME) {
        return false;
    }
    let [a, b, c, d] = corners.map(|v| mesh.point(v));
    circle_excess(a, b, c, d).abs() <= SQUARE
}

/// Median of finite numbers; of an even count the mean of the middle two.
pub(super) fn median(values: &mut [f64]) -> Option<f64> {
    if values.is_empty() {
        return None;
    }
    let n = values.len();
    let (low, &mut high, _) = values.select_nth_unstable_by(n / 2, f64::total_cmp);
    if n % 2 == 1 {
        return Some(high);
    }
    let below = low.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    Some((below + high) / 2.0)
}
