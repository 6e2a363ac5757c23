//! The stage curve: how much material brings a level finish to which height, and back.

use super::prism::positive_part;
use super::result::StagePoint;
use super::sum::Sum;
use crate::surface::Floor;

/// Most steps of the search for a level. Halving a bracket of doubles ends within 1,100 steps even
/// from the widest possible one; Newton steps get there in about ten.
const STEP_LIMIT: usize = 1_200;

/// Volume and wet area of one floor against the level of its finish.
///
/// # Units, datum, sign
/// Levels are elevations in metres above the survey datum; volumes cubic metres, areas square metres.
/// # Method
/// On one triangle the wet area is a quadratic of the level between its corners' heights and the
/// volume a cubic, so over the floor both are piecewise polynomials with a knot at every corner.
/// They are evaluated triangle by triangle rather than from summed coefficients: nearly flat
/// triangles would have coefficients so large that their sums lose all digits.
/// # What it assumes
/// Material finds one level over the whole floor. Hollows parted by dry floor fill to one level
/// only if the crew pours each to it.
#[derive(Debug, Clone)]
pub struct Stage {
    /// Plan area and corner heights, metres above `low`.
    prisms: Vec<(f64, [f64; 3])>,
    /// Lowest floor, elevation in metres.
    low: f64,
    /// Highest floor above `low`, metres.
    relief: f64,
    /// Plan area, square metres.
    area: f64,
    /// Elevation the gauge depth counts from.
    high_point_z: f64,
}

impl Stage {
    /// The stage curve of a floor; `high_point_z_m` is the elevation gauge depths count from.
    pub fn new(floor: &Floor, high_point_z_m: f64) -> Self {
        let mut low = f64::INFINITY;
        let mut high = f64::NEG_INFINITY;
        let count = floor.triangles().len() as u32;
        for t in 0..count {
            for v in floor.corners(t) {
                low = low.min(v.z);
                high = high.max(v.z);
            }
        }
        if count == 0 {
            low = high_point_z_m;
            high = high_point_z_m;
        }
        let prisms: Vec<_> = (0..count)
            .map(|t| (floor.triangle_area(t), floor.corners(t).map(|v| v.z - low)))
            .collect();
        Self {
            area: prisms.iter().map(|p| p.0).collect::<Sum>().value(),
            prisms,
            low,
            relief: high - low,
            high_point_z: high_point_z_m,
        }
    }

    /// Lowest floor, elevation in metres: below this level there is no material.
    pub fn lowest_m(&self) -> f64 {
        self.low
    }

    /// Highest floor, elevation in metres: from this level on everything is covered.
    pub fn highest_m(&self) -> f64 {
        self.low + self.relief
    }

    /// Plan area of the floor, square metres.
    pub fn area_m2(&self) -> f64 {
        self.area
    }

    /// Wet area and volume at a height over the lowest floor.
    fn under(&self, height: f64) -> (f64, f64) {
        let (mut wet, mut volume) = (Sum::default(), Sum::default());
        for &(area, z) in &self.prisms {
            let cut = positive_part(area, z.map(|z| height - z));
            wet.add(cut.area_m2);
            volume.add(cut.volume_m3);
        }
        (wet.value(), volume.value())
    }

    /// The curve's point at a level (elevation, metres).
    pub fn at_level(&self, level_m: f64) -> StagePoint {
        let (wet, volume) = self.under(level_m - self.low);
        StagePoint {
            level_m,
            gauge_depth_m: level_m - self.high_point_z,
            volume_m3: volume,
            wet_area_m2: wet,
            dry_area_m2: (self.area - wet).max(0.0),
        }
    }

    /// Volume under a level finish, cubic metres.
    pub fn volume_at(&self, level_m: f64) -> f64 {
        self.under(level_m - self.low).1
    }

    /// The level that a volume of material comes to, elevation in metres: the inverse of
    /// [`Stage::volume_at`].
    ///
    /// # Method
    /// Newton's method on the exact curve, whose slope is the wet area; a step that leaves the
    /// bracket is replaced by halving it, so the search always ends. Above the highest floor the
    /// curve is a straight line and is inverted at once.
    /// # Edge cases
    /// No material, or less than none: the lowest floor. A floor without area: its lowest level.
    /// # Accuracy
    /// `volume_at(level_for_volume(v))` gives `v` to a relative 1e-12 (property test
    /// `stage_is_its_own_inverse`).
    pub fn level_for_volume(&self, volume_m3: f64) -> f64 {
        if volume_m3.is_nan() || volume_m3 <= 0.0 || self.area <= 0.0 {
            return self.low;
        }
        let (full_area, full) = self.under(self.relief);
        if volume_m3 >= full {
            return self.low + self.relief + (volume_m3 - full) / full_area.max(self.area);
        }
        let (mut lo, mut hi) = (0.0, self.relief);
        let mut height = self.relief;
        let (mut wet, mut volume) = (full_area, full);
        for _ in 0..STEP_LIMIT {
            let newton = height - (volume - volume_m3) / wet;
            height = if newton > lo && newton < hi {
                newton
            } else {
                lo + (hi - lo) / 2.0
            };
            (wet, volume) = self.under(height);
            if volume > volume_m3 {
                hi = height;
            } else {
                lo = height;
            }
            let close = (volume - volume_m3).abs() <= 1e-15 * volume_m3;
            if close || hi - lo <= f64::EPSILON * hi {
                break;
            }
        }
        self.low + height
    }

    /// Evenly spaced points of the curve, from the lowest floor to `top_m` (elevation, metres),
    /// with the level of the highest floor among them when it lies between.
    ///
    /// For drawing and for tables; the curve itself is exact at any level. At least two points.
    pub fn curve(&self, top_m: f64, count: usize) -> Vec<StagePoint> {
        let count = count.max(2);
        let top = top_m.max(self.low);
        let mut levels: Vec<f64> = (0..count)
            .map(|i| self.low + (top - self.low) * i as f64 / (count - 1) as f64)
            .collect();
        if self.highest_m() > self.low && self.highest_m() < top {
            levels.push(self.highest_m());
        }
        levels.sort_by(f64::total_cmp);
        levels.dedup();
        levels.into_iter().map(|l| self.at_level(l)).collect()
    }
}
