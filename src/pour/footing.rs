//! Where a crew finds dry footing while it pours, and whether it gets to all of the floor and out again.

use super::piece::Piece;
use super::pieces::Sweep;
use super::practical::{AT_EXIT_M, LEAST_PIECE_M2};
use crate::geometry::{Point, RegionIndex, Segment, bounds};
use crate::surface::Floor;

/// The room is looked at in squares of this side, metres.
const SQUARE_M: f64 = 0.05;
/// A way is no narrower than so many squares, 6 in: room for a foot, as a pass is deep at the least (common practice, no published source).
const WAY_SQUARES: usize = 3;
/// Rooms of more squares than this are looked at in larger ones: of a hall of 60 by 60 m in 6 cm.
const MOST_SQUARES: f64 = 1e6;
/// So far a crew places from where it stands, metres: an arm and a rake; our own choice, no published source.
const REACH_M: f64 = 0.6;

/// A square that is no floor, or wet from the beginning.
const NEVER_DRY: u32 = 0;

/// The floor of a room in squares, square to its way out, so that a room that is turned or mirrored is looked at alike.
///
/// # Method
/// One stands where a square of 6 in is dry, and gets from there to the next one. Floor that no batch covers is dry, joints are walked over and dams
/// stepped over; walls, columns and wet batches are not. A batch can be placed while what is left dry with it leads from the door to within reach of
/// all of it. Floor that nobody gets to even while all is dry asks for nothing.
pub(super) struct Footing {
    origin: Point,
    /// Unit vectors along a row and up a column, counter-clockwise.
    axes: [Point; 2],
    square_m: f64,
    columns: usize,
    rows: usize,
    is_floor: Vec<bool>,
    /// Places to stand at the door, by the square in their lower left.
    at_door: Vec<usize>,
    /// What one gets to while all is dry.
    reached: Vec<bool>,
}

impl Footing {
    pub fn new(floor: &Floor, sweep: &Sweep) -> Self {
        let up = sweep.towards_door;
        let axes = [Point::new(up.y, -up.x), up];
        let region = floor.region();
        let placed = |p: &Point| {
            let from_exit = *p - sweep.exit;
            Point::new(from_exit.dot(axes[0]), from_exit.dot(axes[1]))
        };
        let corners: Vec<Point> = region.outline.points().iter().map(placed).collect();
        let (low, high) = bounds(corners).unwrap_or_default();
        let size = high - low;
        let square_m = SQUARE_M.max((size.x * size.y / MOST_SQUARES).sqrt());
        // Squares are counted from the way out, so that the door lies in their middle.
        let first = |v: f64| (v / square_m - 1e-9).floor();
        let count =
            |low: f64, high: f64| ((high / square_m + 1e-9).ceil() - first(low)).max(1.0) as usize;
        let origin =
            sweep.exit + axes[0] * (first(low.x) * square_m) + axes[1] * (first(low.y) * square_m);
        let mut footing = Self {
            origin,
            axes,
            square_m,
            columns: count(low.x, high.x),
            rows: count(low.y, high.y),
            is_floor: Vec::new(),
            at_door: Vec::new(),
            reached: Vec::new(),
        };
        let index = RegionIndex::new(region);
        let squares = 0..footing.columns * footing.rows;
        footing.is_floor = squares
            .map(|k| index.contains(footing.middle(k, 1)))
            .collect();
        let dry = footing.dry_until(1);
        footing.at_door = footing.standing_at(&footing.places(&dry), sweep.opening);
        let way = footing.way_until(&dry, 1);
        let reached = (0..dry.len()).map(|k| dry[k] > 0 && footing.is_near(&way, k, 1));
        footing.reached = reached.collect();
        footing
    }

    /// Whether some batch, poured in this order, covers floor that nobody gets to and away from again over dry floor. `wet` is floor that was poured
    /// before.
    pub fn is_cut_off(&self, wet: &[Piece], batches: &[Vec<Piece>]) -> bool {
        let after_all = batches.len() as u32 + 1;
        let mut dry = self.dry_until(after_all);
        for piece in wet {
            self.each_square(piece, |k| dry[k] = NEVER_DRY);
        }
        for (number, batch) in (1u32..).zip(batches) {
            for piece in batch {
                self.each_square(piece, |k| dry[k] = number);
            }
        }
        let way = self.way_until(&dry, after_all);
        let least = (LEAST_PIECE_M2 / (self.square_m * self.square_m)) as u32;
        let mut lost = vec![0; batches.len()];
        for (k, &number) in dry.iter().enumerate() {
            let asks = number != NEVER_DRY && number != after_all && self.reached[k];
            if asks && !self.is_near(&way, k, number) {
                lost[number as usize - 1] += 1;
            }
        }
        lost.into_iter().any(|count: u32| count > least)
    }

    /// Every square of floor dry until then.
    fn dry_until(&self, until: u32) -> Vec<u32> {
        let of = |is_floor: &bool| if *is_floor { until } else { NEVER_DRY };
        self.is_floor.iter().map(of).collect()
    }

    /// Until which batch one can stand at each place, by the square in its lower left.
    fn places(&self, dry: &[u32]) -> Vec<u32> {
        let (columns, rows, way) = (self.columns, self.rows, self.way());
        // Plain loops: this is asked of every order that is tried.
        let least = |values: &[u32], k: usize, step: usize| {
            let mut least = values[k];
            for i in 1..way {
                least = least.min(values[k + i * step]);
            }
            least
        };
        let mut along = vec![NEVER_DRY; dry.len()];
        let mut places = along.clone();
        for row in 0..rows {
            for column in 0..(columns + 1).saturating_sub(way) {
                let k = row * columns + column;
                along[k] = least(dry, k, 1);
            }
        }
        let whole = (rows + 1).saturating_sub(way) * columns;
        for (k, place) in places.iter_mut().enumerate().take(whole) {
            *place = least(&along, k, columns);
        }
        places
    }

    /// Until which batch one gets from the door to each place over dry floor: of all ways there the one that stays dry longest.
    fn way_until(&self, dry: &[u32], after_all: u32) -> Vec<u32> {
        let places = self.places(dry);
        let columns = self.columns;
        let mut way = vec![NEVER_DRY; places.len()];
        let mut open: Vec<Vec<usize>> = vec![Vec::new(); after_all as usize + 1];
        let mut enter = |place: usize, until: u32, open: &mut Vec<Vec<usize>>| {
            let until = until.min(places[place]);
            // Places are met in the order of how long they can be got to, so that the first way to one is the best.
            if until > way[place] {
                way[place] = until;
                open[until as usize].push(place);
            }
        };
        for &place in &self.at_door {
            enter(place, after_all, &mut open);
        }
        for until in (1..=after_all).rev() {
            while let Some(place) = open[until as usize].pop() {
                let (column, row) = (place % columns, place / columns);
                if column > 0 {
                    enter(place - 1, until, &mut open);
                }
                if column + 1 < columns {
                    enter(place + 1, until, &mut open);
                }
                if row > 0 {
                    enter(place - columns, until, &mut open);
                }
                if row + 1 < self.rows {
                    enter(place + columns, until, &mut open);
                }
            }
        }
        way
    }

    /// Whether somebody who came from the door stands within reach of a square until then.
    fn is_near(&self, way: &[u32], square: usize, until: u32) -> bool {
        let (column, row) = (square % self.columns, square / self.columns);
        let about = self.way() / 2;
        // Mostly one stands on it.
        if column >= about && row >= about && way[square - about * self.columns - about] >= until {
            return true;
        }
        let reach = (REACH_M / self.square_m) as usize;
        let near = |middle: usize, most: usize| {
            middle.saturating_sub(reach + about)..(middle + reach).min(most)
        };
        near(row, self.rows).any(|r| {
            near(column, self.columns).any(|c| {
                let (across, up) = ((c + about).abs_diff(column), (r + about).abs_diff(row));
                way[r * self.columns + c] >= until && across * across + up * up <= reach * reach
            })
        })
    }

    /// Squares whose middle lies in a piece.
    fn each_square(&self, piece: &Piece, mut visit: impl FnMut(usize)) {
        let placed = |p: Point| {
            let off = p - self.origin;
            Point::new(off.dot(self.axes[0]), off.dot(self.axes[1])) * (1.0 / self.square_m)
        };
        let corners: Vec<Point> = piece.corners.iter().map(|c| placed(c.at)).collect();
        let Some((low, high)) = bounds(corners.iter().copied()) else {
            return;
        };
        let first = |v: f64| (v - 0.5).ceil().max(0.0) as usize;
        let end = |v: f64, most: usize| (((v - 0.5).floor() + 1.0).max(0.0) as usize).min(most);
        for row in first(low.y)..end(high.y, self.rows) {
            // A piece is convex: along a row it reaches from one of its sides to another.
            let y = row as f64 + 0.5;
            let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
            let mut a = corners[corners.len() - 1];
            for &b in &corners {
                if (a.y <= y) != (b.y <= y) {
                    let x = a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
                    from = from.min(x);
                    to = to.max(x);
                }
                a = b;
            }
            if from <= to {
                for column in first(from)..end(to, self.columns) {
                    let k = row * self.columns + column;
                    if self.is_floor[k] {
                        visit(k);
                    }
                }
            }
        }
    }

    /// The middle of so many squares each way, from this one on.
    fn middle(&self, k: usize, squares: usize) -> Point {
        let half = squares as f64 / 2.0;
        let (column, row) = (k % self.columns, k / self.columns);
        let off = |n: usize| (n as f64 + half) * self.square_m;
        self.origin + self.axes[0] * off(column) + self.axes[1] * off(row)
    }

    /// Of the places where one can stand those in the opening of the door, or where it has no width within a step of it; the nearest ones where it
    /// stands off the floor.
    fn standing_at(&self, places: &[u32], [a, b]: [Point; 2]) -> Vec<usize> {
        let opening = Segment::new(a, b);
        let stands = (0..places.len()).filter(|&k| places[k] > NEVER_DRY);
        let off: Vec<(usize, f64)> = stands
            .map(|k| (k, opening.distance(self.middle(k, self.way()))))
            .collect();
        let nearest = off.iter().map(|o| o.1).fold(f64::INFINITY, f64::min);
        let step = if a == b { AT_EXIT_M } else { 0.0 };
        let within = step.max(nearest + self.square_m);
        let near = off.into_iter().filter(|o| o.1 <= within);
        near.map(|o| o.0).collect()
    }

    /// Squares that a way is wide: of a hall in large ones, one.
    fn way(&self) -> usize {
        let way = (WAY_SQUARES as f64 * SQUARE_M / self.square_m).round();
        (way as usize).max(1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Region, Ring};
    use crate::pour::piece::Corner;
    use crate::pour::pieces::sweep;
    use crate::surface::{Source, Vertex};

    fn square([x0, y0, x1, y1]: [f64; 4]) -> [Point; 4] {
        [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(|(x, y)| Point::new(x, y))
    }

    fn piece(at: [f64; 4]) -> Piece {
        let corner = |at| Corner {
            at,
            order: 0.0,
            depth: 0.01,
            across: 0.0,
        };
        Piece {
            corners: square(at).map(corner).to_vec(),
            section: 0,
        }
    }

    /// A corridor of 4 by 1 m, its door 0.9 m wide in the wall at its right, turned by an angle about a place far off.
    fn corridor(angle: f64) -> (Footing, impl Fn([f64; 4]) -> Piece) {
        let (sin, cos) = angle.sin_cos();
        let turned = move |p: Point| {
            Point::new(700.0 + cos * p.x - sin * p.y, sin * p.x + cos * p.y - 300.0)
        };
        let corners = square([0.0, 0.0, 4.0, 1.0]).map(turned);
        let vertices = corners.iter().map(|&at| Vertex {
            at,
            z: 0.0,
            source: Source::Reading(0),
        });
        let region = Region {
            outline: Ring::new(corners.to_vec()),
            voids: vec![],
        };
        let floor =
            Floor::from_parts(vertices.collect(), vec![[0, 1, 2], [0, 2, 3]], region).unwrap();
        let sweep = sweep(&floor, (turned(Point::new(4.0, 0.5)), 0.9), 3.0);
        let piece = move |at| {
            let mut piece = piece(at);
            for c in &mut piece.corners {
                c.at = turned(c.at);
            }
            piece
        };
        (Footing::new(&floor, &sweep), piece)
    }

    // ORACLE: hand. A corridor with its door at the right: from the left to the right all is reached; its middle wet first cuts the left off, and so
    //         does floor that was wet before; beside it 20 cm of dry floor are a way, and 10 cm are none; what is left of a batch within an arm's
    //         reach of dry floor is placed from there; floor that no batch covers stays a way.
    #[test]
    fn a_corridor_by_hand() {
        for angle in [0.0, 0.7, 2.0, std::f64::consts::PI] {
            let (footing, piece) = corridor(angle);
            let left = || vec![piece([0.0, 0.0, 1.0, 1.0])];
            let middle = |from: f64| vec![piece([1.0, from, 3.0, 1.0])];
            let beside = |to: f64| vec![piece([1.0, 0.0, 3.0, to])];
            let right = || vec![piece([3.0, 0.0, 4.0, 1.0])];
            let cut_off = |batches: &[Vec<Piece>]| footing.is_cut_off(&[], batches);
            assert!(!cut_off(&[left(), middle(0.0), right()]));
            assert!(cut_off(&[middle(0.0), left(), right()]));
            assert!(cut_off(&[left(), right(), middle(0.0)]));
            assert!(footing.is_cut_off(&middle(0.0), &[left(), right()]));
            assert!(!footing.is_cut_off(&left(), &[middle(0.0), right()]));
            assert!(!cut_off(&[middle(0.2), left(), beside(0.2), right()]));
            assert!(cut_off(&[middle(0.1), left(), beside(0.1), right()]));
            // In two places at once, the left one cut off.
            assert!(cut_off(&[middle(0.0), [left(), right()].concat()]));
            // Nobody pours the right: over it leads the way out.
            assert!(!cut_off(&[left(), middle(0.0)]));
            assert!(cut_off(&[middle(0.0), left()]));
            // 0.4 m of the left within reach from beyond a strip that is wet.
            let strip = || vec![piece([2.9, 0.0, 3.0, 1.0])];
            let near = |from: f64| vec![piece([from, 0.0, 2.9, 1.0])];
            assert!(!cut_off(&[strip(), near(2.6), right()]));
            assert!(cut_off(&[strip(), near(2.0), right()]));
        }
    }
}
