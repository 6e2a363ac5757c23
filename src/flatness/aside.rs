//! Floor that nobody read: the strip along walls, voids and columns that is left aside, and how far the rest lies from
//! a reading.

use crate::geometry::{BoxGrid, Point, Segment, Ways};
use crate::surface::{Floor, Source};

/// Width of the strip, metres: 2 ft, as ASTM E1155 and ACI 117 leave it.
pub const STRIP_M: f64 = 0.6096;
/// Where more than this share of the room would be left aside, none of it is: ASTM E1155 drops its exclusion so, from
/// memory.
const MOST_ASIDE: f64 = 0.25;
/// Shares of a room nearer to one another than this are one.
const SAME_SHARE: f64 = 1e-4;
/// The strip along a wall belongs to readings no farther from it than this, metres: the inner edge of the strip is a strip's
/// width off the wall, and the readings as far again. A corridor that nobody went into is no strip along walls, however
/// narrow it is.
const OFF_WALL_M: f64 = 2.0 * STRIP_M;
/// About a column readings stand on all sides: the corner of their square is the farthest, metres.
const OFF_COLUMN_M: f64 = STRIP_M * std::f64::consts::SQRT_2;
/// Pieces of floor are halved until they are this share of the strip's width across; in these distances are taken as
/// linear, which they are along a straight wall.
const FINE: f64 = 1.0 / 16.0;
/// Floor is shaded no finer than this, metres: half a millimetre on a small plan.
const SHADED_M: f64 = 0.08;
/// Places are told no finer than this, metres.
const SPOT_M: f64 = 0.01;

/// Floor that no edge can lie on: what of it is left aside; and where floor lies farthest from a reading.
#[derive(Debug, Default)]
pub(super) struct Aside {
    /// Area left aside, square metres.
    pub area_m2: f64,
    /// Whether a strip without readings is too much of the room to be left aside.
    pub waived: bool,
    /// How far floor that is not left aside lies from the nearest reading, at most, metres.
    pub farthest_m: f64,
    /// Floor that no edge may lie on, in pieces.
    unread: Vec<[Point; 3]>,
    near: Option<Near>,
}

impl Aside {
    /// Of a floor and the triangles that an edge may lie on.
    ///
    /// # Method
    /// Floor that no edge may lie on (carried out to a wall, or not surveyed) is left aside where it lies within 2 ft of a
    /// wall, a void or a column and readings stand beside it, as long as that is no more than a quarter of the room. Read
    /// floor always counts as read.
    pub fn new(floor: &Floor, usable: &[bool]) -> Self {
        let Some(near) = Near::of(floor) else {
            return Self::default();
        };
        let count = floor.triangles().len() as u32;
        let mut pieces: Vec<[Point; 3]> = (0..count)
            .filter(|&t| !usable[t as usize])
            .map(|t| floor.corners(t).map(|v| v.at))
            .collect();
        pieces.extend(floor.unsurveyed());
        let aside_m2: f64 = pieces.iter().map(|&piece| near.strip_in(piece)).sum();
        // A strip of just a quarter is no more than one, whatever rounding of places or of the sum makes of it.
        let waived = aside_m2 > (MOST_ASIDE + SAME_SHARE) * floor.region().area();
        let mut farthest = Highest::default();
        for &piece in &pieces {
            farthest.look(piece, &|p| (near.reading(p), near.out(p, waived)));
        }
        for t in (0..count).filter(|&t| usable[t as usize]) {
            if farthest.may_rise(most_off(floor, t)) {
                let corners = floor.corners(t).map(|v| v.at);
                farthest.look(corners, &|p| (near.reading(p), f64::INFINITY));
            }
        }
        Self {
            area_m2: if waived { 0.0 } else { aside_m2 },
            waived,
            farthest_m: farthest.value,
            unread: pieces,
            near: Some(near),
        }
    }

    /// Floor that no edge may lie on and that is not left aside, in pieces whose border lies within a few inches of the strip's.
    pub fn not_left_aside(&self) -> Vec<[Point; 3]> {
        let Some(near) = &self.near else {
            return Vec::new();
        };
        let mut out = Vec::new();
        let mut open = self.unread.clone();
        while let Some(piece) = open.pop() {
            let center = middle(piece);
            let size = piece.iter().map(|c| c.distance(center)).fold(0.0, f64::max);
            let off = near.out(center, self.waived);
            if off >= size || (off > 0.0 && size <= SHADED_M) {
                out.push(piece);
            } else if -off < size && size > SHADED_M {
                open.extend(halves(piece));
            }
        }
        out
    }

    /// Where to read first: of these triangles, which lack readings, and, with `unread`, of floor that has none, about the middle of the widest
    /// piece, a little off the walls.
    pub fn emptiest(&self, floor: &Floor, lacking: &[u32], unread: bool) -> Option<Point> {
        let near = self.near.as_ref()?;
        let mut emptiest = Highest::default();
        for &piece in self.unread.iter().filter(|_| unread) {
            emptiest.look(piece, &|p| (near.emptiness(p), near.out(p, self.waived)));
        }
        for &t in lacking {
            if emptiest.may_rise(most_off(floor, t)) {
                let corners = floor.corners(t).map(|v| v.at);
                emptiest.look(corners, &|p| (near.emptiness(p), f64::INFINITY));
            }
        }
        emptiest.at
    }
}

/// How far from a reading a place of a triangle can lie, at most, metres.
fn most_off(floor: &Floor, t: u32) -> f64 {
    floor
        .readings_of(t)
        .map_or(f64::INFINITY, |list| middle_off(list.map(|r| r.1)))
}

/// How far from the nearest of three readings a place between them can lie.
pub(super) fn middle_off([a, b, c]: [Point; 3]) -> f64 {
    let mut sides = [b.distance(c), c.distance(a), a.distance(b)];
    sides.sort_by(f64::total_cmp);
    let [p, q, r] = sides;
    if p <= 0.0 {
        return r / 2.0;
    }
    let twice = (b - a).cross(c - a).abs();
    if p * p + q * q >= r * r {
        // Its circle's middle lies inside.
        return p * q * r / (2.0 * twice);
    }
    // Beyond a right angle the farthest place is on the longest side, as far from its end as from the third reading.
    let beside = |side: f64, other: f64| {
        let along = (side * side + r * r - other * other) / (2.0 * r);
        side * side / (2.0 * along)
    };
    beside(p, q).max(beside(q, p))
}

/// The nearest readings and walls of a floor.
#[derive(Debug)]
struct Near {
    readings: Ways,
    /// Sides of the room, those of the outline first.
    walls: Vec<Segment>,
    outline: usize,
    index: BoxGrid,
}

impl Near {
    /// `None` for a floor without readings.
    fn of(floor: &Floor) -> Option<Self> {
        let readings: Vec<Point> = floor
            .vertices()
            .iter()
            .filter(|v| matches!(v.source, Source::Reading(_)))
            .map(|v| v.at)
            .collect();
        if readings.is_empty() {
            return None;
        }
        let region = floor.region();
        let walls: Vec<Segment> = region.sides().map(|(a, b)| Segment::new(a, b)).collect();
        Some(Self {
            readings: Ways::new(region, readings),
            outline: region.outline.points().len(),
            index: BoxGrid::new(walls.len(), |i| walls[i as usize].bounds()),
            walls,
        })
    }

    /// Distance to the nearest reading, round walls, voids and columns.
    fn reading(&self, p: Point) -> f64 {
        self.readings.distance(p)
    }

    /// How empty it is round a place: as far as the nearest reading, or not much farther than the nearest wall.
    fn emptiness(&self, p: Point) -> f64 {
        let mut nearest = self.reading(p);
        let around = Point::new(nearest, nearest);
        self.index.any_in(p - around, p + around, |i| {
            let off = self.walls[i as usize].distance(p);
            nearest = nearest.min(off + STRIP_M / 2.0);
            false
        });
        nearest
    }

    /// How far a place lies out of what is left aside; everywhere where nothing is.
    fn out(&self, p: Point, waived: bool) -> f64 {
        if waived {
            f64::INFINITY
        } else {
            self.out_of_strip(p)
        }
    }

    /// How far a place lies out of the strip that may be left aside, at least; not above zero inside it. No two places
    /// differ by more than they lie apart.
    fn out_of_strip(&self, p: Point) -> f64 {
        let reach = Point::new(2.0 * STRIP_M, 2.0 * STRIP_M);
        let (mut wall, mut column) = (f64::INFINITY, f64::INFINITY);
        self.index.any_in(p - reach, p + reach, |i| {
            let i = i as usize;
            let off = self.walls[i].distance(p);
            if i < self.outline {
                wall = wall.min(off);
            } else {
                column = column.min(off);
            }
            false
        });
        let reading = self.reading(p);
        let out = |off: f64, belongs: f64| (off - STRIP_M).max(reading - belongs);
        // Walls beyond two strips were not looked for.
        let near = out(wall, OFF_WALL_M)
            .min(out(column, OFF_COLUMN_M))
            .min(STRIP_M);
        near.max(reading - OFF_WALL_M)
    }

    /// Area of the part of a piece that lies in the strip.
    fn strip_in(&self, corners: [Point; 3]) -> f64 {
        let center = middle(corners);
        let size = corners
            .iter()
            .map(|c| c.distance(center))
            .fold(0.0, f64::max);
        let out = self.out_of_strip(center);
        if out >= size {
            return 0.0;
        }
        if -out >= size {
            return area(corners);
        }
        if size <= STRIP_M * FINE {
            return below(corners, corners.map(|c| self.out_of_strip(c)));
        }
        halves(corners).map(|half| self.strip_in(half)).iter().sum()
    }
}

/// The highest value that a function of the plan takes, and where; one that changes no faster than the way.
#[derive(Default)]
struct Highest {
    value: f64,
    at: Option<Point>,
}

impl Highest {
    /// Whether a piece that holds no more than `most` may hold a place to tell of.
    fn may_rise(&self, most: f64) -> bool {
        most > self.value + SPOT_M
    }

    /// Looks at a piece of floor; `of` tells the value, and how far the place lies out of what does not count.
    fn look(&mut self, corners: [Point; 3], of: &impl Fn(Point) -> (f64, f64)) {
        let mut open = vec![corners];
        while let Some(piece) = open.pop() {
            let center = middle(piece);
            let size = piece.iter().map(|c| c.distance(center)).fold(0.0, f64::max);
            let (value, out) = of(center);
            if !self.may_rise(value + size) || out + size <= 0.0 {
                continue;
            }
            if out > 0.0 && value > self.value {
                self.value = value;
                self.at = Some(center);
            }
            if size > SPOT_M {
                open.extend(halves(piece));
            }
        }
    }
}

/// A triangle cut in two across its longest side.
fn halves(corners: [Point; 3]) -> [[Point; 3]; 2] {
    let k = (0..3)
        .max_by(|&a, &b| {
            let side = |k: usize| corners[k].distance(corners[(k + 1) % 3]);
            side(a).total_cmp(&side(b))
        })
        .unwrap_or(0);
    let (a, b, c) = (corners[k], corners[(k + 1) % 3], corners[(k + 2) % 3]);
    let m = a.lerp(b, 0.5);
    [[a, m, c], [m, b, c]]
}

fn area([a, b, c]: [Point; 3]) -> f64 {
    (b - a).cross(c - a).abs() / 2.0
}

fn middle([a, b, c]: [Point; 3]) -> Point {
    (a + b + c) * (1.0 / 3.0)
}

/// Area of the part of a triangle where a linear function with these values at its corners is not above zero.
fn below(corners: [Point; 3], values: [f64; 3]) -> f64 {
    let whole = area(corners);
    let under = values.iter().filter(|v| **v <= 0.0).count();
    if under == 0 || under == 3 {
        return if under == 3 { whole } else { 0.0 };
    }
    // The corner that stands alone on its side cuts off a triangle of its own.
    let lone = (0..3)
        .find(|&i| (values[i] <= 0.0) == (under == 1))
        .unwrap_or(0);
    let share = |j: usize| values[lone] / (values[lone] - values[j]);
    let corner = whole * share((lone + 1) % 3) * share((lone + 2) % 3);
    if under == 1 { corner } else { whole - corner }
}
