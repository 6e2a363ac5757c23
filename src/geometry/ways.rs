//! How far it is to the nearest of some places without going through a wall.

use super::{
    BoxGrid, Point, PointGrid, Region, RegionIndex, SAME_LINE_M, Segment, is_floor_along, orient,
};

/// Round corners, places are looked for no farther than this, metres: an edge is no longer by far.
const REACH_M: f64 = 12.0;

/// Places of a region, and the corners that a way turns at.
#[derive(Debug)]
pub struct Ways {
    places: PointGrid,
    sides: Vec<Segment>,
    index: BoxGrid,
    room: RegionIndex,
    /// Corners that stand into the region, and how far each is from the nearest place.
    corners: PointGrid,
    corner_off: Vec<f64>,
}

impl Ways {
    /// To these places of a region. One within 1 mm of a wall stands on the near side of it.
    pub fn new(region: &Region, places: Vec<Point>) -> Self {
        let sides: Vec<Segment> = region.sides().map(|(a, b)| Segment::new(a, b)).collect();
        let mut ways = Self {
            places: PointGrid::new(places),
            index: BoxGrid::new(sides.len(), |i| sides[i as usize].bounds()),
            sides,
            room: RegionIndex::new(region),
            corners: PointGrid::new(turning_points(region)),
            corner_off: Vec::new(),
        };
        ways.measure_corners();
        ways
    }

    /// Length of the shortest way from `p` to a place, over no wall, void or column, metres; infinite where there is
    /// no place at all.
    ///
    /// # Accuracy
    /// Exact up to 12 m; beyond that, where no place is in sight, no less than 12 m and no more than the truth.
    pub fn distance(&self, p: Point) -> f64 {
        let Some((first, straight)) = self.places.nearest(p) else {
            return f64::INFINITY;
        };
        if self.in_sight(p, self.places.points()[first as usize]) {
            return straight;
        }
        let round = self.round_corners(p);
        let seen = self.nearest_in_sight(p, straight, round);
        let way = round.min(seen);
        if way.is_finite() {
            way
        } else {
            straight.max(REACH_M)
        }
    }

    /// Whether the straight way keeps to the region. Of one through a corner it may say no; the way round that corner is
    /// as short.
    fn in_sight(&self, p: Point, q: Point) -> bool {
        let (low, high) = Segment::new(p, q).bounds();
        let mut at_end = false;
        let blocked = self.index.any_in(low, high, |i| {
            let side = self.sides[i as usize];
            // A corner on the way counts as left of it for both its sides, so that a way through a wall meets it.
            let across = (orient(p, q, side.a) < 0.0) != (orient(p, q, side.b) < 0.0)
                && (orient(side.a, side.b, p) < 0.0) != (orient(side.a, side.b, q) < 0.0);
            let ends = side.distance(p) <= SAME_LINE_M || side.distance(q) <= SAME_LINE_M;
            at_end |= ends;
            across && !ends
        });
        !blocked && (!at_end || self.keeps_to_floor(p, q))
    }

    /// Whether a way that ends on a wall, and crosses none, has floor beside it all along: it may run within the wall,
    /// or between a void and the wall that it stands against.
    fn keeps_to_floor(&self, p: Point, q: Point) -> bool {
        let way = Segment::new(p, q);
        let (low, high) = way.bounds();
        let mut sides = Vec::new();
        self.index.any_in(low, high, |i| {
            sides.push(self.sides[i as usize]);
            false
        });
        is_floor_along(way, sides, |p| self.room.contains(p), SAME_LINE_M)
    }

    fn round_corners(&self, p: Point) -> f64 {
        let mut near: Vec<(f64, u32)> = self
            .around(&self.corners, p, REACH_M)
            .filter(|c| self.corner_off[c.1 as usize].is_finite())
            .map(|(off, i)| (off + self.corner_off[i as usize], i))
            .collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        near.into_iter()
            .find(|&(_, i)| self.in_sight(p, self.corners.points()[i as usize]))
            .map_or(f64::INFINITY, |c| c.0)
    }

    /// Distance to the nearest place in sight, if it is less than `bar`.
    fn nearest_in_sight(&self, p: Point, straight: f64, bar: f64) -> f64 {
        let most = bar.min(REACH_M);
        let mut reach = straight;
        while reach < most {
            reach = (2.0 * reach).max(SAME_LINE_M).min(most);
            let mut near: Vec<(f64, u32)> = self.around(&self.places, p, reach).collect();
            near.sort_by(|a, b| a.0.total_cmp(&b.0));
            let seen = near
                .into_iter()
                .find(|&(_, i)| self.in_sight(p, self.places.points()[i as usize]));
            if let Some((off, _)) = seen {
                return off;
            }
        }
        f64::INFINITY
    }

    fn around<'a>(
        &self,
        grid: &'a PointGrid,
        p: Point,
        reach: f64,
    ) -> impl Iterator<Item = (f64, u32)> + 'a {
        let r = Point::new(reach, reach);
        grid.in_box(p - r, p + r)
            .map(move |i| (grid.points()[i as usize].distance(p), i))
            .filter(move |c| c.0 <= reach)
    }

    /// The nearest place of every corner: straight, and then from corner to corner, the nearest settled first.
    fn measure_corners(&mut self) {
        let corners = self.corners.points().to_vec();
        self.corner_off = corners
            .iter()
            .map(|&c| {
                let first = self.places.nearest(c);
                first.map_or(f64::INFINITY, |(_, straight)| {
                    self.nearest_in_sight(c, straight / 2.0, f64::INFINITY)
                })
            })
            .collect();
        let mut open: Vec<u32> = (0..corners.len() as u32).collect();
        loop {
            let next = (0..open.len()).min_by(|&a, &b| {
                let off = |k: usize| self.corner_off[open[k] as usize];
                off(a).total_cmp(&off(b))
            });
            let Some(c) = next.map(|k| open.swap_remove(k)) else {
                break;
            };
            let so_far = self.corner_off[c as usize];
            if so_far >= REACH_M {
                break;
            }
            let p = corners[c as usize];
            let beyond: Vec<(f64, u32)> = self.around(&self.corners, p, REACH_M - so_far).collect();
            for (off, i) in beyond {
                let way = so_far + off;
                if way < self.corner_off[i as usize] && self.in_sight(p, corners[i as usize]) {
                    self.corner_off[i as usize] = way;
                }
            }
        }
    }
}

/// Corners that stand into the region: a shortest way turns at no others.
fn turning_points(region: &Region) -> Vec<Point> {
    let turns = |points: &[Point], sign: f64| {
        let n = points.len();
        let of = |i: usize| (points[(i + n - 1) % n], points[i], points[(i + 1) % n]);
        (0..n)
            .map(of)
            .filter(|&(a, b, c)| orient(a, b, c) * sign > 0.0)
            .map(|t| t.1)
            .collect::<Vec<_>>()
    };
    let mut corners = turns(region.outline.points(), -1.0);
    for ring in &region.voids {
        corners.extend(turns(ring.points(), 1.0));
    }
    corners
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Ring;

    fn ring(points: &[(f64, f64)]) -> Ring {
        Ring::new(points.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    #[test]
    fn round_a_partition_and_a_column() {
        // A room of 6 x 6 m; a partition 100 mm thick from the right wall leaves 1 m free on the left.
        let region = Region {
            outline: ring(&[
                (0., 0.),
                (6., 0.),
                (6., 5.),
                (1., 5.),
                (1., 5.1),
                (6., 5.1),
                (6., 6.),
                (0., 6.),
            ]),
            voids: vec![ring(&[(3., 1.), (4., 1.), (4., 2.), (3., 2.)])],
        };
        let ways = Ways::new(&region, vec![Point::new(4., 5.), Point::new(3.5, 0.5)]);
        let off = |x, y| ways.distance(Point::new(x, y));
        // ORACLE: closed form. In sight, and round the two corners of the partition's end.
        assert_eq!(off(4., 4.), 1.0);
        assert!((off(4., 5.5) - (3.0 + 0.1 + 9.16f64.sqrt())).abs() < 1e-12);
        // ORACLE: closed form, round a corner of the column: (3.5, 2) to (4, 2), down its side, and on.
        assert!((off(3.5, 2.0) - (0.5 + 1.0 + 0.5f64.hypot(0.5))).abs() < 1e-12);
        // Through a corner it is as far as straight.
        assert!((off(4.5, 1.5) - 2f64.sqrt()).abs() < 1e-12);
    }

    // ORACLE: closed form. A slit of 150 mm, 1.5 m deep, between two cabinets that stand against one wall: from its foot the way to the nearest
    //         reading leads up it and round the left cabinet's corner, however the room lies, and never along the wall under the cabinets.
    #[test]
    fn no_way_leads_under_what_stands_against_a_wall() {
        const SPACING: f64 = 0.6096;
        const WIDE: f64 = 6.0 * SPACING;
        let cabinet = |x0: f64, x1: f64| [(x0, 0.0), (x1, 0.0), (x1, 1.5), (x0, 1.5)];
        let under = |(x, y): (f64, f64)| {
            y < 1.5 && ((1.639..2.55).contains(&x) || (2.7..3.025).contains(&x))
        };
        let right = 1.5 + (2.55 - 4.0 * SPACING).hypot(3.0 * SPACING - 1.5);
        for k in 0..48 {
            let (turn, mirror) = (f64::from(k / 2) * std::f64::consts::PI / 12.0, k % 2 == 1);
            let (s, c) = turn.sin_cos();
            let at = |(x, y): (f64, f64)| {
                let x = if mirror { -x } else { x };
                Point::new(c * x - s * y, s * x + c * y)
            };
            let laid = |points: [(f64, f64); 4]| Ring::new(points.map(at).to_vec());
            let region = Region {
                outline: laid([(0.0, 0.0), (WIDE, 0.0), (WIDE, WIDE), (0.0, WIDE)]),
                voids: vec![laid(cabinet(2.7, 3.025)), laid(cabinet(1.639, 2.55))],
            };
            let readings = (0..49)
                .map(|i| (SPACING * f64::from(i % 7), SPACING * f64::from(i / 7)))
                .filter(|&p| !under(p));
            let ways = Ways::new(&region, readings.map(at).collect());
            let off = ways.distance(at((2.55, 0.0)));
            assert!((off - right).abs() < 1e-9, "{k}: {off} for {right}");
        }
    }

    #[test]
    fn nowhere_to_go() {
        let region = Region {
            outline: ring(&[(0., 0.), (1., 0.), (0., 1.)]),
            voids: vec![],
        };
        let off = Ways::new(&region, vec![]).distance(Point::new(0.1, 0.1));
        assert_eq!(off, f64::INFINITY);
    }
}
