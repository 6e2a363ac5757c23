//! The stage curve: how much material brings a level finish to which height, and back.

use super::prism::{Cut, EVEN_M, positive_part};
use super::result::StagePoint;
use super::sum::Sum;
use crate::surface::Floor;
use rayon::slice::ParallelSliceMut;

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
/// Triangles that the level cuts are evaluated one by one: nearly flat ones would have coefficients so
/// large that their sums lose all digits. For triangles wholly under the level, area and first moment
/// are summed beforehand, block by block in the order of their highest corners, and kept to twice the
/// digits of a double: of `area x level - moment` nothing is lost however thin the layer. So a level costs
/// the few triangles it cuts, not all of them.
/// # What it assumes
/// Material finds one level over the whole floor. Hollows parted by dry floor fill to one level
/// only if the crew pours each to it.
#[derive(Debug, Clone)]
pub struct Stage {
    /// Plan area and corner heights, metres above `low`, by rising highest corner.
    prisms: Vec<Prism>,
    /// Sums over all prisms before every block of [`BLOCK`], and over all of them at the end.
    before: Vec<Whole>,
    /// Most that the corners of one prism are apart in height, metres.
    steepest: f64,
    /// Lowest floor, elevation in metres.
    low: f64,
    /// Highest floor above `low`, metres.
    relief: f64,
    /// Plan area, square metres.
    area: f64,
    /// Elevation the gauge depth counts from.
    high_point_z: f64,
}

/// Prisms whose sums are kept together.
const BLOCK: usize = 512;

/// A triangle of floor: plan area, and corner heights rising.
#[derive(Debug, Clone, Copy)]
struct Prism {
    area: f64,
    corners: [f64; 3],
}

impl Prism {
    fn under(&self, height: f64) -> Cut {
        positive_part(self.area, self.corners.map(|z| height - z))
    }

    fn over(&self, height: f64) -> Cut {
        positive_part(self.area, self.corners.map(|z| z - height))
    }
}

fn sorted(mut corners: [f64; 3]) -> [f64; 3] {
    corners.sort_unstable_by(f64::total_cmp);
    corners
}

/// Area, and area times mean height, of many prisms.
#[derive(Debug, Clone, Copy, Default)]
struct Whole {
    area: Sum,
    moment: Sum,
}

impl Whole {
    fn add(&mut self, p: &Prism) {
        let [a, b, c] = p.corners;
        self.area.add(p.area);
        // The same term that a prism wholly under the level holds at level 0, with its sign turned.
        self.moment.add(p.area * (a + b + c) / 3.0);
    }

    /// Volume between the prisms and a level over all of them; negative where they stand higher.
    fn volume_under(&self, height: f64) -> f64 {
        self.area.times(height).minus(self.moment).value()
    }
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
        let mut prisms: Vec<Prism> = (0..count)
            .map(|t| Prism {
                area: floor.triangle_area(t),
                corners: sorted(floor.corners(t).map(|v| v.z - low)),
            })
            .collect();
        // Every field takes part, so that the sums do not depend on the order of the triangles.
        prisms.par_sort_unstable_by(|p, q| {
            let [a, b, c] = p.corners;
            let [d, e, f] = q.corners;
            (c.total_cmp(&f))
                .then(b.total_cmp(&e))
                .then(a.total_cmp(&d))
                .then(p.area.total_cmp(&q.area))
        });
        let mut sums = Whole::default();
        let mut before = Vec::with_capacity(prisms.len() / BLOCK + 2);
        before.push(sums);
        for block in prisms.chunks(BLOCK) {
            for p in block {
                sums.add(p);
            }
            before.push(sums);
        }
        Self {
            area: sums.area.value(),
            steepest: prisms
                .iter()
                .map(|p| p.corners[2] - p.corners[0])
                .fold(0.0, f64::max),
            prisms,
            before,
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

    /// Elevation that gauge depths count from, metres.
    pub fn high_point_m(&self) -> f64 {
        self.high_point_z
    }

    /// Plan area of the floor, square metres.
    pub fn area_m2(&self) -> f64 {
        self.area
    }

    /// Wet area and volume at a height over the lowest floor.
    fn under(&self, height: f64) -> (f64, f64) {
        let wet = self.wet_upto(height);
        let block = wet / BLOCK;
        let mut whole = self.before[block];
        for p in &self.prisms[block * BLOCK..wet] {
            whole.add(p);
        }
        let (mut area, mut volume) = (Sum::default(), Sum::default());
        area.add(whole.area.value());
        volume.add(whole.volume_under(height));
        for p in &self.prisms[wet..self.dry_from(height)] {
            let cut = p.under(height);
            area.add(cut.area_m2);
            volume.add(cut.volume_m3);
        }
        (area.value(), volume.value())
    }

    /// Area and volume of the floor that stands above a height over the lowest floor.
    fn over(&self, height: f64) -> (f64, f64) {
        let dry = self.dry_from(height);
        let block = dry.div_ceil(BLOCK);
        let mut whole = Whole::default();
        for p in &self.prisms[dry..(block * BLOCK).min(self.prisms.len())] {
            whole.add(p);
        }
        let (all, upto) = (self.before[self.before.len() - 1], self.before[block]);
        whole.area = whole.area.plus(all.area).minus(upto.area);
        whole.moment = whole.moment.plus(all.moment).minus(upto.moment);
        let wet = self.wet_upto(height);
        let (mut area, mut volume) = (Sum::default(), Sum::default());
        area.add(whole.area.value());
        volume.add(-whole.volume_under(height));
        for p in &self.prisms[wet..dry] {
            let cut = p.over(height);
            area.add(cut.area_m2);
            volume.add(cut.volume_m3);
        }
        (area.value(), volume.value())
    }

    /// Prisms that lie wholly under a height. One that touches it is cut: floor at the level is dry.
    fn wet_upto(&self, height: f64) -> usize {
        self.prisms
            .partition_point(|p| p.corners[2] < height - EVEN_M)
    }

    /// First prism from which on none reaches under a height.
    fn dry_from(&self, height: f64) -> usize {
        // A corner's height and the steepest are each rounded once; a hair more lets no prism slip, nor one that lies at the level.
        let clear = (height + self.steepest) * (1.0 + 4.0 * f64::EPSILON) + EVEN_M;
        self.prisms.partition_point(|p| p.corners[2] <= clear)
    }

    /// Area and volume of the floor above a level (elevation, metres): what grinding down to it takes away.
    pub fn above(&self, level_m: f64) -> Cut {
        let (area_m2, volume_m3) = self.over(level_m - self.low);
        Cut { area_m2, volume_m3 }
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

    /// What a level finish takes once all floor above `ground_m` is ground down to it (elevations, metres).
    ///
    /// # Method
    /// The floor is then `min(z, ground)`. A finish over the ground level takes what lies under that level and a slab
    /// from there to the finish over the whole floor, since nothing stands in it any more; a finish at or under the
    /// ground level takes what it takes without grinding. Exact prisms both, and neither can be less than nothing.
    pub fn at_level_ground(&self, level_m: f64, ground_m: f64) -> StagePoint {
        let over = level_m - ground_m;
        if over <= 0.0 || ground_m >= self.highest_m() {
            return self.at_level(level_m);
        }
        StagePoint {
            volume_m3: self.volume_at(ground_m) + over * self.area,
            wet_area_m2: self.area,
            dry_area_m2: 0.0,
            ..self.at_level(level_m)
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
