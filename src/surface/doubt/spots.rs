//! The places worth reading next.

use super::field::Draws;
use crate::geometry::Point;
use crate::surface::{Floor, Source};

/// A place where the readings leave most open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenSpot {
    /// Where.
    pub at: Point,
    /// Standard deviation of the floor's height there, metres, the spots before it read; `None` where no floor lies between
    /// or beside readings: nothing is known of it.
    pub sd_m: Option<f64>,
}

/// The next few places worth reading, each counted as read before the next: first what was not surveyed, the place farthest
/// from any reading before the others; then, on the mesh that the field stands on, the vertex known least.
///
/// # Method
/// Of what is known of a vertex that is read next, the covariance with it is taken out of all others.
/// # Edge cases
/// Of places known equally well the one least in x, then in y. No spot stands nearer to one before it than half the usual
/// spacing. Fewer places than asked for where there are no more.
pub(super) fn worth_reading(
    floor: &Floor,
    finer: &Floor,
    draws: &mut Draws,
    count: usize,
) -> Vec<OpenSpot> {
    let mut spots = unsurveyed(floor, count);
    let noise = draws.sizes().noise_m.powi(2);
    let mut open = draws.variance();
    let mut taken: Vec<Vec<f64>> = Vec::new();
    while spots.len() < count {
        let apart = |v: &usize| {
            let at = finer.vertices()[*v].at;
            let far = |s: &OpenSpot| s.at.distance(at) > floor.spacing() / 2.0;
            spots.iter().all(far)
        };
        let Some(next) = (0..open.len()).filter(apart).max_by(|&a, &b| {
            let (p, q) = (finer.vertices()[a].at, finer.vertices()[b].at);
            let by_place = q.x.total_cmp(&p.x).then(q.y.total_cmp(&p.y));
            open[a].total_cmp(&open[b]).then(by_place)
        }) else {
            break;
        };
        let variance = open[next];
        if variance <= 0.0 {
            break;
        }
        spots.push(OpenSpot {
            at: finer.vertices()[next].at,
            sd_m: Some(variance.sqrt()),
        });
        let mut with = draws.covariance(&[(next, 1.0)]);
        for before in &taken {
            let share = before[next];
            with.iter_mut()
                .zip(before)
                .for_each(|(w, b)| *w -= share * b);
        }
        let size = (variance + noise).sqrt();
        with.iter_mut().for_each(|w| *w /= size);
        open.iter_mut().zip(&with).for_each(|(o, w)| *o -= w * w);
        taken.push(with);
    }
    spots
}

/// Middles of pieces of the room that were not surveyed, the farthest from any reading first, each counted as read.
fn unsurveyed(floor: &Floor, count: usize) -> Vec<OpenSpot> {
    let mut read: Vec<Point> = floor
        .vertices()
        .iter()
        .filter(|v| matches!(v.source, Source::Reading(_)))
        .map(|v| v.at)
        .collect();
    let places: Vec<Point> = floor
        .unsurveyed()
        .map(|[a, b, c]| (a + b + c) * (1.0 / 3.0))
        .collect();
    let from = |p: Point, read: &[Point]| {
        read.iter()
            .map(|r| r.distance(p))
            .fold(f64::INFINITY, f64::min)
    };
    let mut spots = Vec::new();
    while spots.len() < count {
        let farthest = places
            .iter()
            .map(|&p| (from(p, &read), p))
            .filter(|(d, _)| *d > floor.spacing() / 2.0)
            .max_by(|a, b| {
                let by_place = b.1.x.total_cmp(&a.1.x).then(b.1.y.total_cmp(&a.1.y));
                a.0.total_cmp(&b.0).then(by_place)
            });
        let Some((_, at)) = farthest else { break };
        read.push(at);
        spots.push(OpenSpot { at, sd_m: None });
    }
    spots
}
