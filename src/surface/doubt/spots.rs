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
        let noise = (self.variation.noise_m / self.variation.sd_m).powi(2);
        let mut spots = Vec::new();
        for _ in 0..count.min(places.len()) {
            let most =
                (0..places.len()).fold(0, |m, i| if open[(i, i)] > open[(m, m)] { i } else { m });
            let variance = open[(most, most)];
            if variance <= 0.0 {
                break;
            }
            spots.push(OpenSpot {
                at: places[most],
                sd_m: self.variation.sd_m * variance.sqrt(),
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
