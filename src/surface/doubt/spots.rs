//! The places worth reading next.

use super::kriging::Kriging;
use crate::geometry::Point;
use crate::surface::Floor;

/// Most places looked at: the work grows with their square.
const MOST_PLACES: usize = 3_000;

/// A place where the readings leave most open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenSpot {
    /// Where.
    pub at: Point,
    /// Standard deviation of the floor's height there, metres, the spots before it read.
    pub sd_m: f64,
    /// Whether the floor there has a height at all; if not, the deviation is that of a guess from afar.
    pub surveyed: bool,
}

impl Kriging {
    /// The next few places worth reading, the most open one first, each counted as read before the next.
    ///
    /// # Method
    /// Of the middles of all triangles, of floor that was not surveyed as well, the one with the greatest standard deviation; then its covariance is
    /// taken out as if it had been read with the readings' noise, and so on.
    /// # Edge cases
    /// Of more than 3,000 triangles every so manieth. Fewer places than asked for where there are no more.
    pub fn worth_reading(&self, floor: &Floor, count: usize) -> Vec<OpenSpot> {
        let triangles = floor.triangles().len();
        let step = triangles.div_ceil(MOST_PLACES).max(1);
        let places: Vec<Point> = (0..triangles as u32)
            .step_by(step)
            .map(|t| middle(floor.corners(t).map(|v| v.at)))
            .chain(floor.unsurveyed().map(middle))
            .collect();
        let mut open = self.left_open(&places);
        let with_heights = triangles.div_ceil(step);
        let noise = (self.variation.noise_m / self.variation.sd_m).powi(2);
        let mut spots: Vec<OpenSpot> = Vec::new();
        for _ in 0..count.min(places.len()) {
            // A second reading beside the first would say little more.
            let apart = |&i: &usize| {
                spots
                    .iter()
                    .all(|s| s.at.distance(places[i]) > floor.spacing() / 2.0)
            };
            let most = (0..places.len())
                .filter(apart)
                .max_by(|&a, &b| open[(a, a)].total_cmp(&open[(b, b)]).then(b.cmp(&a)));
            let Some(most) = most else { break };
            let variance = open[(most, most)];
            if variance <= 0.0 {
                break;
            }
            spots.push(OpenSpot {
                at: places[most],
                sd_m: self.variation.sd_m * variance.sqrt(),
                surveyed: most < with_heights,
            });
            let with: nalgebra::DVector<f64> = open.column(most).into_owned();
            open.ger(-1.0 / (variance + noise), &with, &with, 1.0);
        }
        spots
    }
}

fn middle([a, b, c]: [Point; 3]) -> Point {
    (a + b + c) * (1.0 / 3.0)
}
