//! What can be wrong with a drawn region: every fault is listed, not the first only.

use super::{BoxGrid, Point, Region, Ring, Segment};
use thiserror::Error;

/// Lines nearer than this are meant to be the same line, metres: a wall is drawn to the nearest sixteenth of an inch or
/// millimetre at best. A hair more than a millimetre, since places written to the millimetre stand just so far apart and
/// rounding would decide.
pub const SAME_LINE_M: f64 = 1.001e-3;

/// Which ring of a region is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum RingName {
    /// The wall line.
    Outline,
    /// A void, counted from 0.
    Void(usize),
}

impl std::fmt::Display for RingName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Outline => f.write_str("the wall line"),
            Self::Void(i) => write!(f, "the line of void {}", i + 1),
        }
    }
}

/// A fault of a closed line by itself. Corners and sides count from 1.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum RingFault {
    /// Fewer than three corners.
    #[error("it has {found} corners; a closed line needs at least 3")]
    TooFewCorners {
        /// Corners given.
        found: usize,
    },
    /// A coordinate that is not a finite number.
    #[error("corner {corner} is not a finite number; give it in figures")]
    NotFinite {
        /// Corner, from 1.
        corner: usize,
    },
    /// Two neighbouring corners in one place.
    #[error("corners {corner} and {next} lie in the same place; remove one")]
    RepeatedCorner {
        /// Corner, from 1.
        corner: usize,
        /// The one after it, from 1.
        next: usize,
    },
    /// Two sides cross or touch.
    #[error(
        "side {first} and side {second} cross or touch near ({:.3}, {:.3}) m; give the corners in order around the room", at.x, at.y
    )]
    SidesCross {
        /// One side, from 1; side 1 starts at corner 1.
        first: usize,
        /// The other side, from 1.
        second: usize,
        /// Near where.
        at: Point,
    },
    /// It encloses next to nothing.
    #[error("it encloses no area; check its corners")]
    NoArea,
}

/// A fault of a region.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum RegionFault {
    /// A ring is faulty by itself.
    #[error("{ring}: {fault}")]
    Ring {
        /// Which one.
        ring: RingName,
        /// What is wrong.
        fault: RingFault,
    },
    /// A void lies wholly outside the outline.
    #[error("void {void} lies outside the outline")]
    VoidOutside {
        /// Void, from 0.
        void: usize,
    },
    /// A void sticks out of the outline.
    #[error("void {void} sticks out of the outline near ({:.3}, {:.3}) m", at.x, at.y)]
    VoidSticksOut {
        /// Void, from 0.
        void: usize,
        /// Near where.
        at: Point,
    },
    /// Two voids overlap in part.
    #[error("voids {first} and {second} overlap near ({:.3}, {:.3}) m", at.x, at.y)]
    VoidsOverlap {
        /// One void, from 0.
        first: usize,
        /// The other, from 0.
        second: usize,
        /// Near where.
        at: Point,
    },
    /// The voids leave no floor.
    #[error("the voids leave no floor")]
    NothingLeft,
}

/// Everything wrong with a closed line given by its corners; empty when it is sound.
///
/// Call it on raw corners, before [`Ring::new`]. Sides that share a corner may not fold back onto
/// each other; other sides may neither cross nor come within a micrometre.
pub fn ring_faults(points: &[Point]) -> Vec<RingFault> {
    let n = points.len();
    if n < 3 {
        return vec![RingFault::TooFewCorners { found: n }];
    }
    let unfit: Vec<RingFault> = (0..n)
        .filter(|&i| !(points[i].x.is_finite() && points[i].y.is_finite()))
        .map(|i| RingFault::NotFinite { corner: i + 1 })
        .collect();
    if !unfit.is_empty() {
        return unfit;
    }
    let mut faults = Vec::new();
    let sides: Vec<Segment> = (0..n)
        .map(|i| Segment::new(points[i], points[(i + 1) % n]))
        .collect();
    for (i, s) in sides.iter().enumerate() {
        if s.length() <= 1e-6 {
            faults.push(RingFault::RepeatedCorner {
                corner: i + 1,
                next: (i + 1) % n + 1,
            });
        }
    }
    if !faults.is_empty() {
        return faults;
    }
    let grid = BoxGrid::new(n, |i| sides[i as usize].bounds());
    for i in 0..n {
        let (lo, hi) = sides[i].bounds();
        let mut meets = Vec::new();
        grid.any_in(lo, hi, |j| {
            let j = j as usize;
            if j > i && !meets.contains(&j) && sides_meet(&sides, i, j) {
                meets.push(j);
            }
            false
        });
        meets.sort_unstable();
        for j in meets {
            let at = sides[i]
                .meeting(&sides[j])
                .map_or(sides[j].nearest(sides[i].a), |(p, _)| p);
            faults.push(RingFault::SidesCross {
                first: i + 1,
                second: j + 1,
                at,
            });
        }
    }
    let ring = Ring::new(points.to_vec());
    if ring.area() <= 1e-6 * ring.perimeter() * 1e-3 {
        faults.push(RingFault::NoArea);
    }
    faults
}

/// Whether sides `i < j` of a ring cross, touch or fold back.
fn sides_meet(sides: &[Segment], i: usize, j: usize) -> bool {
    let n = sides.len();
    let (s, t) = (&sides[i], &sides[j]);
    // Neighbours share a corner; they are at fault only when they run back over each other.
    let (back, corner, onward) = if j == i + 1 {
        (s.a, s.b, t.b)
    } else if i == 0 && j == n - 1 {
        (t.a, s.a, s.b)
    } else {
        return s.gap(t) <= 1e-6;
    };
    let (u, v) = (back - corner, onward - corner);
    u.dot(v) > 0.0 && u.cross(v).abs() <= 1e-6 * u.norm().max(v.norm())
}

/// A point well inside a ring.
pub fn inner_point(ring: &Ring) -> Option<Point> {
    let mut ys: Vec<f64> = ring.points().iter().map(|p| p.y).collect();
    ys.sort_by(f64::total_cmp);
    // The tallest strip without a corner in it, and in it the widest part of the ring.
    let (y0, y1) = ys
        .windows(2)
        .map(|w| (w[0], w[1]))
        .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))?;
    let y = (y0 + y1) / 2.0;
    let mut xs: Vec<f64> = ring
        .sides()
        .filter(|(a, b)| (a.y > y) != (b.y > y))
        .map(|(a, b)| a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y))
        .collect();
    xs.sort_by(f64::total_cmp);
    xs.chunks_exact(2)
        .map(|w| (w[0], w[1]))
        .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
        .map(|(a, b)| Point::new((a + b) / 2.0, y))
}

/// Signed depth of a point in a ring: positive inside, negative outside, metres.
fn depth(ring: &Ring, p: Point) -> f64 {
    let d = ring
        .sides()
        .map(|(a, b)| Segment::new(a, b).distance(p))
        .fold(f64::INFINITY, f64::min);
    if ring.contains(p) { d } else { -d }
}

/// A place where sides of two rings cross by more than the drawing tolerance.
fn crossing(a: &Ring, b: &Ring) -> Option<Point> {
    for (p, q) in a.sides() {
        let s = Segment::new(p, q);
        for (u, v) in b.sides() {
            let t = Segment::new(u, v);
            if s.crosses(&t)
                && s.distance(t.a) > SAME_LINE_M
                && s.distance(t.b) > SAME_LINE_M
                && t.distance(s.a) > SAME_LINE_M
                && t.distance(s.b) > SAME_LINE_M
            {
                return s.meeting(&t).map(|(at, _)| at);
            }
        }
    }
    None
}

/// How ring `a` lies to ring `b`.
enum Lie {
    Inside,
    Apart,
    Across(Point),
}

fn lie(a: &Ring, b: &Ring) -> Lie {
    if let Some(at) = crossing(a, b) {
        return Lie::Across(at);
    }
    let mut inside = None;
    let mut outside = None;
    for &p in a.points() {
        let d = depth(b, p);
        if d > SAME_LINE_M {
            inside = Some(p);
        } else if d < -SAME_LINE_M {
            outside = Some(p);
        }
    }
    // All corners on the line of b: judge by a point well inside a.
    if inside.is_none()
        && outside.is_none()
        && let Some(p) = inner_point(a)
    {
        if b.contains(p) {
            inside = Some(p);
        } else {
            outside = Some(p);
        }
    }
    match (inside, outside) {
        (Some(_), None) => {
            // b may still poke into a through shared corners.
            match b.points().iter().find(|&&p| depth(a, p) > SAME_LINE_M) {
                Some(&p) => Lie::Across(p),
                None => Lie::Inside,
            }
        }
        (Some(_), Some(out)) => Lie::Across(out),
        _ => Lie::Apart,
    }
}

impl Region {
    /// Everything wrong with the region; empty when it is sound.
    ///
    /// Voids may touch the outline and each other along a line (within [`SAME_LINE_M`]), and a void
    /// may lie wholly inside another.
    pub fn faults(&self) -> Vec<RegionFault> {
        let mut faults: Vec<RegionFault> = Vec::new();
        let names = std::iter::once((RingName::Outline, &self.outline)).chain(
            self.voids
                .iter()
                .enumerate()
                .map(|(i, v)| (RingName::Void(i), v)),
        );
        for (ring, r) in names {
            faults.extend(
                ring_faults(r.points())
                    .into_iter()
                    .map(|fault| RegionFault::Ring { ring, fault }),
            );
        }
        if !faults.is_empty() {
            return faults;
        }
        for (void, v) in self.voids.iter().enumerate() {
            match lie(v, &self.outline) {
                Lie::Inside => {}
                Lie::Apart => faults.push(RegionFault::VoidOutside { void }),
                Lie::Across(at) => faults.push(RegionFault::VoidSticksOut { void, at }),
            }
            for (first, w) in self.voids[..void].iter().enumerate() {
                if let Lie::Across(at) = lie(v, w) {
                    // b inside a also reads as across when corners are shared; nested is allowed.
                    if !matches!(lie(w, v), Lie::Inside) {
                        faults.push(RegionFault::VoidsOverlap {
                            first,
                            second: void,
                            at,
                        });
                    }
                }
            }
        }
        if faults.is_empty() && self.without_nested_voids().area() <= 1e-6 {
            faults.push(RegionFault::NothingLeft);
        }
        faults
    }

    /// The same region without the voids that lie wholly inside other voids, so that its area can be
    /// had by subtraction.
    pub fn without_nested_voids(&self) -> Self {
        let inside =
            |a: usize, b: usize| matches!(lie(&self.voids[a], &self.voids[b]), Lie::Inside);
        let voids = (0..self.voids.len())
            .filter(|&i| {
                !(0..self.voids.len()).any(|j| {
                    // Of two equal voids the first stays.
                    j != i && inside(i, j) && (j < i || !inside(j, i))
                })
            })
            .map(|i| self.voids[i].clone())
            .collect();
        Self {
            outline: self.outline.clone(),
            voids,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pts(list: &[(f64, f64)]) -> Vec<Point> {
        list.iter().map(|&(x, y)| Point::new(x, y)).collect()
    }

    fn boxed(x0: f64, y0: f64, x1: f64, y1: f64) -> Ring {
        Ring::new(pts(&[(x0, y0), (x1, y0), (x1, y1), (x0, y1)]))
    }

    #[test]
    fn every_ring_fault_is_named() {
        assert!(ring_faults(&pts(&[(0., 0.), (4., 0.), (4., 3.), (0., 3.)])).is_empty());
        assert_eq!(
            ring_faults(&pts(&[(0., 0.), (4., 0.)])),
            [RingFault::TooFewCorners { found: 2 }]
        );
        assert_eq!(
            ring_faults(&pts(&[(0., 0.), (f64::NAN, 0.), (1., f64::INFINITY)])),
            [
                RingFault::NotFinite { corner: 2 },
                RingFault::NotFinite { corner: 3 }
            ]
        );
        assert_eq!(
            ring_faults(&pts(&[(0., 0.), (4., 0.), (4., 0.), (0., 3.)])),
            [RingFault::RepeatedCorner { corner: 2, next: 3 }]
        );
        // A bow tie: sides 1 and 3 cross in the middle.
        let bow = ring_faults(&pts(&[(0., 0.), (4., 4.), (4., 0.), (0., 4.)]));
        assert!(matches!(
            bow[0],
            RingFault::SidesCross { first: 1, second: 3, at } if at.distance(Point::new(2., 2.)) < 1e-12
        ));
        // A spike that runs back over itself, and a flat ring.
        assert!(!ring_faults(&pts(&[(0., 0.), (4., 0.), (2., 0.), (2., 3.)])).is_empty());
        assert!(!ring_faults(&pts(&[(0., 0.), (4., 0.), (2., 0.)])).is_empty());
    }

    #[test]
    fn voids_may_touch_and_nest_but_not_overlap_or_stick_out() {
        let outline = boxed(0., 0., 8., 10.);
        let region = |voids: Vec<Ring>| Region {
            outline: outline.clone(),
            voids,
        };
        // A shower in the corner shares two walls; a drain lies inside it.
        let shower = region(vec![boxed(5., 5., 8., 10.), boxed(6., 7., 6.5, 7.5)]);
        assert_eq!(shower.faults(), []);
        // ORACLE: closed form, 80 - 15.
        assert!((shower.without_nested_voids().area() - 65.0).abs() < 1e-12);
        assert_eq!(
            region(vec![boxed(1., 1., 2., 2.), boxed(2., 1., 3., 2.)]).faults(),
            []
        );
        assert_eq!(
            region(vec![boxed(9., 1., 10., 2.)]).faults(),
            [RegionFault::VoidOutside { void: 0 }]
        );
        assert!(matches!(
            region(vec![boxed(7., 1., 9., 2.)]).faults()[..],
            [RegionFault::VoidSticksOut { void: 0, .. }]
        ));
        assert!(matches!(
            region(vec![boxed(1., 1., 3., 3.), boxed(2., 2., 4., 4.)]).faults()[..],
            [RegionFault::VoidsOverlap {
                first: 0,
                second: 1,
                ..
            }]
        ));
        assert_eq!(
            region(vec![boxed(0., 0., 8., 10.)]).faults(),
            [RegionFault::NothingLeft]
        );
        // The same void drawn twice counts once.
        let twice = region(vec![boxed(1., 1., 2., 2.), boxed(1., 1., 2., 2.)]);
        assert_eq!(twice.faults(), []);
        assert!((twice.without_nested_voids().area() - 79.0).abs() < 1e-12);
    }
}
