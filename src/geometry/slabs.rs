//! Point-in-region for many points: sides sorted into horizontal slabs.

use super::{Point, Region, bounds};

/// Answers [`Region::contains`] for many points.
#[derive(Debug, Clone)]
pub struct RegionIndex {
    low: f64,
    height: f64,
    slabs: Vec<Vec<(Point, Point)>>,
}

impl RegionIndex {
    /// An index over the outline and the voids of a sound region without nested voids.
    pub fn new(region: &Region) -> Self {
        let sides: Vec<(Point, Point)> = region.sides().collect();
        let (lo, hi) = bounds(sides.iter().map(|s| s.0)).unwrap_or_default();
        let count = sides.len().clamp(1, 4096);
        let height = ((hi.y - lo.y) / count as f64).max(f64::MIN_POSITIVE);
        let mut slabs = vec![Vec::new(); count];
        for (a, b) in sides {
            let slab = |y: f64| (((y - lo.y) / height) as usize).min(count - 1);
            for s in &mut slabs[slab(a.y.min(b.y))..=slab(a.y.max(b.y))] {
                s.push((a, b));
            }
        }
        Self {
            low: lo.y,
            height,
            slabs,
        }
    }

    /// Whether the point lies inside the outline and in no void. On a line it may come out either way.
    pub fn contains(&self, p: Point) -> bool {
        let slab = (p.y - self.low) / self.height;
        if !(0.0..=self.slabs.len() as f64).contains(&slab) {
            return false;
        }
        let sides = &self.slabs[(slab as usize).min(self.slabs.len() - 1)];
        // Voids lie inside the outline and apart, so one count of crossings answers for all rings.
        sides
            .iter()
            .filter(|(a, b)| {
                (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x
            })
            .count()
            % 2
            == 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Ring;

    #[test]
    fn agrees_with_the_plain_test() {
        // ORACLE: independent code, `Region::contains`.
        let ring =
            |list: &[(f64, f64)]| Ring::new(list.iter().map(|&(x, y)| Point::new(x, y)).collect());
        let region = Region {
            outline: ring(&[(0., 0.), (6., 0.), (6., 2.), (3., 2.5), (3., 5.), (0., 4.)]),
            voids: vec![
                ring(&[(1., 1.), (2., 1.2), (1.5, 2.)]),
                ring(&[(4., 0.5), (5., 0.5), (5., 1.5)]),
            ],
        };
        let index = RegionIndex::new(&region);
        let mut inside = 0;
        for i in 0..2000 {
            let t = f64::from(i);
            let p = Point::new(
                (t * 0.618_034).fract() * 8.0 - 1.0,
                (t * 0.414_214).fract() * 7.0 - 1.0,
            );
            assert_eq!(index.contains(p), region.contains(p), "{p:?}");
            inside += i32::from(index.contains(p));
        }
        assert!(inside > 300);
    }
}
