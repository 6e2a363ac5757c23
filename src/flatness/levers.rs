//! Where a reading would help to decide a word that is in doubt.

use super::{Departure, Placement};
use crate::geometry::Point;
use crate::surface::Floor;
use crate::surface::doubt::MayBe;
use rayon::prelude::*;
use statrs::distribution::{ContinuousCDF, Normal};

/// A place where a reading would help to decide a word.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Helps {
    /// Where.
    pub at: Point,
    /// Share of what leaves the word open that one reading there would take away, 0 to 1.
    pub share: f64,
}

/// Less than this is no help.
const LEAST_HELP: f64 = 0.05;

/// The gap under an edge that lies at one place, as heights of the mesh make it.
struct Lever {
    /// How open it leaves whether the gap is over the limit: `p (1 - p)`.
    open: f64,
    /// Variance of the gap, square metres, before anything more is read.
    whole: f64,
    /// Covariance of the gap with the height at each vertex.
    with: Vec<f64>,
}

/// The next few places where a reading would help most to decide whether the gaps at these placements are over `limit_m`, each counted as
/// read before the next.
///
/// # Method
/// With its ends where they are, the gap under an edge is a sum of three heights, and its variance and its covariance with every height are
/// the field's own, exact. A reading takes the squared correlation away from it, the reading's noise counted. Of several placements each
/// counts as it leaves the word open: `p (1 - p)` of the chance that it is over.
pub(super) fn helps(
    may_be: &mut MayBe,
    end: usize,
    (placements, departure): (&[Placement], Departure),
    limit_m: f64,
    count: usize,
) -> Vec<Helps> {
    let noise = may_be.sizes(end).noise_m.powi(2);
    let mut levers: Vec<Lever> = placements
        .iter()
        .filter_map(|p| lever(may_be, end, (p, departure), limit_m))
        .collect();
    let whole: f64 = levers.iter().map(|l| l.open).sum();
    let mut open = may_be.variance(end);
    // A place once is enough: a mark that is read again is read with care.
    let mut found: Vec<Helps> = Vec::new();
    let mut read: Vec<Vec<f64>> = Vec::new();
    while found.len() < count && whole > 0.0 {
        let vertices = may_be.finer().vertices();
        let share = |v: usize| {
            let of = |l: &Lever| l.open * l.with[v].powi(2) / l.whole;
            levers.iter().map(of).sum::<f64>() / (open[v] + noise) / whole
        };
        let best = (0..vertices.len())
            .into_par_iter()
            .filter(|v| open[*v] > 0.0 && found.iter().all(|h| h.at != vertices[*v].at))
            .map(|v| (share(v), v))
            .max_by(|a, b| {
                let (p, q) = (vertices[a.1].at, vertices[b.1].at);
                let by_place = q.x.total_cmp(&p.x).then(q.y.total_cmp(&p.y));
                a.0.total_cmp(&b.0).then(by_place)
            });
        let Some((share, v)) = best.filter(|b| b.0 >= LEAST_HELP) else {
            break;
        };
        found.push(Helps {
            at: vertices[v].at,
            share,
        });
        // What is read takes its regression out of all that is left.
        let mut own = may_be.covariance(end, &[(v, 1.0)]);
        for before in &read {
            let by = before[v];
            own.iter_mut().zip(before).for_each(|(o, b)| *o -= by * b);
        }
        let size = (open[v] + noise).sqrt();
        own.iter_mut().for_each(|o| *o /= size);
        for lever in &mut levers {
            let by = lever.with[v] / size;
            lever
                .with
                .iter_mut()
                .zip(&own)
                .for_each(|(w, o)| *w -= by * o);
        }
        open.iter_mut().zip(&own).for_each(|(v, o)| *v -= o * o);
        read.push(own);
    }
    found
}

/// The lever of one placement; `None` where it lies off the mesh or nothing about it is open.
fn lever(
    may_be: &mut MayBe,
    end: usize,
    (placement, departure): (&Placement, Departure),
    limit_m: f64,
) -> Option<Lever> {
    let finer = may_be.finer();
    let chord = placement.to - placement.from;
    let along = (placement.at - placement.from).dot(chord) / chord.dot(chord);
    let sign = match departure {
        Departure::Dip => 1.0,
        Departure::Hump => -1.0,
    };
    // Vertices, and by how much the gap grows with the height of each.
    let mut weights = Vec::new();
    for (at, weight) in [
        (placement.from, sign * (1.0 - along)),
        (placement.to, sign * along),
        (placement.at, -sign),
    ] {
        let parts = on_corners(finer, at)?;
        weights.extend(parts.map(|(v, part)| (v, weight * part)));
    }
    let with = may_be.covariance(end, &weights);
    let gap = |heights: &[f64]| weights.iter().map(|&(v, w)| w * heights[v]).sum::<f64>();
    let whole = gap(&with);
    let drawn = may_be.floors(end);
    if whole <= 0.0 || !whole.is_finite() || drawn.is_empty() {
        return None;
    }
    let mean = drawn.iter().map(|z| gap(z)).sum::<f64>() / drawn.len() as f64;
    let over = Normal::new(mean, whole.sqrt()).ok()?.sf(limit_m);
    let open = over * (1.0 - over);
    (open > 0.0).then_some(Lever { open, whole, with })
}

/// A point of a floor by the corners of its triangle: the height there is theirs in these parts.
fn on_corners(floor: &Floor, at: Point) -> Option<[(usize, f64); 3]> {
    let t = floor.locate(at)?;
    let corners = floor.triangles()[t as usize];
    let [a, b, c] = floor.corners(t).map(|v| v.at);
    let whole = (b - a).cross(c - a);
    let parts = [
        (b - at).cross(c - at) / whole,
        (c - at).cross(a - at) / whole,
        (a - at).cross(b - at) / whole,
    ];
    Some([0, 1, 2].map(|k| (corners[k] as usize, parts[k])))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::setups::Ties;
    use crate::survey::{Elevation, Reading, Survey};

    fn may_be() -> MayBe {
        let readings = (0..49)
            .map(|k| {
                let at = Point::new(f64::from(k % 7) * 0.6, f64::from(k / 7) * 0.6);
                let z = 0.004 * (1.3 * at.x).sin() + 0.003 * (1.7 * at.y + 0.4 * at.x).cos();
                Reading::new("", at, Elevation::from_m(z))
            })
            .collect();
        let floor = Floor::build(&Survey::new("", readings).unwrap())
            .unwrap()
            .floor;
        MayBe::new(&floor, &[2e-4], 1e-5, &Ties::default(), 3, &|| ()).unwrap()
    }

    // ORACLE:    independent route: correlations of the gap with every height over 3,000 drawn floors, in place of the field's algebra.
    // TOLERANCE: three errors of a squared correlation of so many, 0.04.
    #[test]
    fn a_reading_takes_away_what_its_correlation_says() {
        let mut may_be = may_be();
        may_be.grow(0, 3_000);
        // Its deepest point lies where nothing was read, in the middle of a square.
        let place = Placement {
            from: Point::new(0.9, 0.6),
            to: Point::new(2.7, 2.4),
            at: Point::new(1.5, 1.2),
            gap_m: 0.0,
        };
        let drawn = may_be.floors(0).to_vec();
        let vertices = may_be.finer().vertices().to_vec();
        let vertex = |at: Point| vertices.iter().position(|v| v.at.distance(at) < 1e-9);
        let [a, b, c] = [place.from, place.to, place.at].map(|p| vertex(p).unwrap());
        let gaps: Vec<f64> = drawn
            .iter()
            .map(|z| z[a] * 2.0 / 3.0 + z[b] / 3.0 - z[c])
            .collect();
        let count = drawn.len() as f64;
        let mean = |of: &dyn Fn(usize) -> f64| (0..drawn.len()).map(of).sum::<f64>() / count;
        let middle = mean(&|k| gaps[k]);
        let gap_square = mean(&|k| (gaps[k] - middle).powi(2));
        let by_draws = |v: usize| {
            let own = mean(&|k| drawn[k][v]);
            let together = mean(&|k| (gaps[k] - middle) * (drawn[k][v] - own));
            let square = mean(&|k| (drawn[k][v] - own).powi(2));
            together.powi(2) / (square + 2e-4f64.powi(2)) / gap_square
        };
        let best = (0..drawn[0].len()).map(by_draws).fold(0.0, f64::max);
        let found = helps(&mut may_be, 0, (&[place], Departure::Dip), middle, 3);
        assert!(!found.is_empty());
        assert!((found[0].share - best).abs() < 0.04, "{found:?} {best}");
        let told = by_draws(vertex(found[0].at).unwrap());
        assert!((told - best).abs() < 0.04, "{told} {best}");
        // Each is counted as read before the next, and together they take away no more than there is.
        assert!(
            found
                .windows(2)
                .all(|w| w[0].share >= w[1].share - 1e-9 && w[0].at != w[1].at)
        );
        assert!(found.iter().map(|h| h.share).sum::<f64>() <= 1.0);
        // Upside down it is the same; far from the limit nothing is open.
        let hump = helps(&mut may_be, 0, (&[place], Departure::Hump), -middle, 3);
        assert_eq!(hump.len(), found.len());
        assert!((hump[0].share - found[0].share).abs() < 1e-9);
        assert!(helps(&mut may_be, 0, (&[place], Departure::Dip), 1.0, 3).is_empty());
        assert!(helps(&mut may_be, 0, (&[], Departure::Dip), middle, 3).is_empty());
    }
}
