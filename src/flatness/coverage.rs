//! What the readings can show at a span: how much of the room is read closely enough.

use super::aside::{Aside, middle_off};
use super::net::{Ground, usable};
use super::{Judged, ToRead};
use crate::geometry::{Point, Region, Segment, circle_excess, convex_hull, floor_stretches};
use crate::surface::{Across, Cover, Floor, ON_CIRCLE, Source};
use std::collections::BTreeSet;

/// Readings along a placement must be no farther apart than this share of the span to judge it.
pub const RESOLVED_SHARE: f64 = 0.25;
/// Up to this share of the span a placement is coarse: it can prove a floor out, never within.
pub const COARSE_SHARE: f64 = 0.5;
/// Share of the room that must be read closely enough for a part to be tested.
const COVERAGE_NEEDED: f64 = 0.95;
/// Shares nearer to one another than this are one.
const SAME_SHARE: f64 = 1e-6;
/// In the middle of a square of readings floor lies this many of its sides from the nearest one. No floor that was only
/// carried out may lie farther from a reading and count as read so closely.
const MIDDLE: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Where less than this share of the room is read closely enough, it is all of it that lacks readings.
const EVERYWHERE: f64 = 0.05;

/// How closely the room is read, for one span.
#[derive(Debug, Clone, PartialEq)]
pub struct Coverage {
    /// Length of the edge, metres.
    pub span_m: f64,
    /// How much of the room is read closely enough to judge the span.
    pub judged: Judged,
    /// Floor that is read at least coarsely, square metres.
    pub coarse_m2: f64,
    /// Floor that an edge may lie on at all, square metres.
    pub read_m2: f64,
    /// Distance between readings that half of the read floor is read at or closer than, metres.
    pub spacing_m: f64,
    /// For each triangle, how it serves this span: for the coverage map.
    pub triangles: Vec<Reach>,
}

/// What keeps a room from being judged although nearly all of what is not left aside is read closely enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unread {
    /// The strip along walls without a reading is too much of the room to be left aside.
    Strip,
    /// Some floor lies too far from any reading.
    Hole,
}

impl Judged {
    /// Whether enough of the room is read closely enough: nearly all of what is not left aside, and no floor farther from a
    /// reading than they may stand apart, which is as far as one reading that is missing leaves it. Sample lines are a plan of their own.
    pub fn enough(&self) -> bool {
        self.lines > 0 || self.nearly_all() && self.unread().is_none()
    }

    /// Whether nearly all of what is not left aside is read closely enough; a share of just so much is, whatever rounding makes of it.
    fn nearly_all(&self) -> bool {
        self.share() >= COVERAGE_NEEDED - SAME_SHARE
    }

    pub(super) fn unread(&self) -> Option<Unread> {
        if self.waived && !self.nearly_all() {
            Some(Unread::Strip)
        } else if self.farthest_m > self.needed_m * SLACK {
            Some(Unread::Hole)
        } else {
            None
        }
    }
}

impl Coverage {
    /// Whether enough of the room is read closely enough to judge the span.
    pub fn enough(&self) -> bool {
        self.judged.enough()
    }

    /// Whether all floor that an edge may lie on is read at least coarsely.
    pub(super) fn all_coarse(&self) -> bool {
        self.coarse_m2 >= self.read_m2 * (1.0 - 1e-9) && self.read_m2 > 0.0
    }

    /// Triangles read at least coarsely.
    pub(super) fn coarse_mask(&self) -> Vec<bool> {
        self.triangles
            .iter()
            .map(|r| matches!(r, Reach::Resolved | Reach::Coarse))
            .collect()
    }

    /// Whether marks stand closely enough where they stand, so that what is missing lies along walls, joints, voids and blanks.
    pub fn is_read_closely(&self) -> bool {
        // Of a room that is read by half it is floor that is missing.
        self.judged.judged_m2 >= MOST_OF_ROOM * self.judged.room_m2
            && self.spacing_m <= self.judged.needed_m * (1.0 + 1e-6)
    }

    /// What to read before the span can be judged.
    pub fn to_read(&self) -> ToRead {
        ToRead {
            every_m: (!self.is_read_closely()).then_some(self.judged.needed_m),
            at: self.judged.lacking,
        }
    }
}

/// Where less of a room than this share is judged, more is missing than its edges.
pub const MOST_OF_ROOM: f64 = 0.6;

/// How a triangle serves a span.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Reach {
    /// Read closely enough.
    Resolved,
    /// Can prove out, not within.
    Coarse,
    /// Readings too far apart to tell.
    TooFar,
    /// Not between readings: extended floor.
    NotSurveyed,
}

/// Where readings stand, by their index in the survey; not a number for those that are no corner of the floor.
fn places_of_readings(floor: &Floor) -> Vec<Point> {
    let mut places = Vec::new();
    for v in floor.vertices() {
        if let Source::Reading(i) = v.source {
            let i = i as usize;
            if places.len() <= i {
                places.resize(i + 1, Point::new(f64::NAN, f64::NAN));
            }
            places[i] = v.at;
        }
    }
    places
}

/// Distance between readings around triangle `t`, metres.
///
/// Where its corners lie on one circle with others, so that a hair of height folds the polygon the one way or the other, the widest of
/// all triangles of them counts for each: what was read there does not decide how closely it was read.
fn triangle_spacing(floor: &Floor, places: &[Point], t: u32) -> f64 {
    // A wall or a column that cuts a triangle of readings brings no reading nearer.
    if let Some(readings) = floor.readings_of(t).filter(|_| is_cut(floor, t)) {
        return middle_side(readings.map(|r| r.1));
    }
    let measure = |corners: [u32; 3]| {
        if floor.cover(t) == Cover::Surveyed {
            middle_side(corners.map(|v| floor.vertices()[v as usize].at))
        } else {
            carried_spacing(floor, places, corners)
        }
    };
    let round = on_circle_with(floor, t);
    let mut widest = 0.0f64;
    for i in 0..round.len() {
        for j in i + 1..round.len() {
            for k in j + 1..round.len() {
                widest = widest.max(measure([round[i], round[j], round[k]]));
            }
        }
    }
    widest
}

/// Most triangles that are looked at for corners on one circle.
const MOST_IN_CELL: usize = 8;

/// The corners of a triangle, and of those joined to it by edges that a hair of height could turn, each on one circle with both its
/// triangles, which are floor of one kind.
fn on_circle_with(floor: &Floor, t: u32) -> Vec<u32> {
    let mut cell = vec![t];
    let mut corners = floor.triangles()[t as usize].to_vec();
    let mut next = 0;
    while let Some(&t) = cell.get(next) {
        next += 1;
        for e in 0..3 {
            if let Some((beyond, corner)) = over_free_edge(floor, t, e)
                && !cell.contains(&beyond)
                && cell.len() < MOST_IN_CELL
            {
                cell.push(beyond);
                if !corners.contains(&corner) {
                    corners.push(corner);
                }
            }
        }
    }
    corners
}

/// Whether a triangle of read floor was cut out of one of readings.
fn is_cut(floor: &Floor, t: u32) -> bool {
    let read = |v: u32| matches!(floor.vertices()[v as usize].source, Source::Reading(_));
    floor.cover(t) == Cover::Surveyed && !floor.triangles()[t as usize].into_iter().all(read)
}

/// Across an edge that could as well be turned, the triangle beyond and its far corner.
fn over_free_edge(floor: &Floor, t: u32, e: usize) -> Option<(u32, u32)> {
    let Across::Floor(beyond) = floor.across(t, e) else {
        return None;
    };
    if floor.cover(beyond) != floor.cover(t) || is_cut(floor, beyond) {
        return None;
    }
    let own = floor.triangles()[t as usize];
    let (a, b, c) = (own[e], own[(e + 1) % 3], own[(e + 2) % 3]);
    let theirs = floor.triangles()[beyond as usize];
    let d = theirs.into_iter().find(|v| *v != a && *v != b)?;
    let [pa, pb, pc, pd] = [a, b, c, d].map(|v| floor.vertices()[v as usize].at);
    (circle_excess(pa, pd, pb, pc).abs() <= ON_CIRCLE).then_some((beyond, d))
}

/// Of a triangle of readings the middle one of its three sides; or, if that is less, how far its third reading stands off its shortest
/// side, or the side of a square whose middle lies as far from its readings as the triangle's farthest place. Metres.
///
/// On a square grid that is the grid's own spacing, whichever diagonal was drawn; between rows read closely but far apart it is
/// the distance between the rows.
fn middle_side([a, b, c]: [Point; 3]) -> f64 {
    let mut sides = [a.distance(b), b.distance(c), c.distance(a)];
    sides.sort_by(f64::total_cmp);
    // Where a reading stands within a cell of a grid, sides grow longer and rows stand no farther apart.
    let row = (b - a).cross(c - a).abs() / sides[0].max(f64::MIN_POSITIVE);
    sides[1].min(row.max(middle_off([a, b, c]) / MIDDLE))
}

/// The same where the floor is carried out to a joint: no less than the distance between the readings it was carried from, nor than the
/// side of a square whose middle lies as far from its readings as the triangle's farthest place from the nearest that it leans on.
fn carried_spacing(floor: &Floor, places: &[Point], corners: [u32; 3]) -> f64 {
    let own = corners.map(|v| floor.vertices()[v as usize].at);
    let mut readings: Vec<Point> = corners
        .iter()
        .flat_map(|&v| floor.leans(v))
        .filter_map(|(reading, _)| places.get(reading as usize).copied())
        .filter(|p| p.x.is_finite())
        .collect();
    readings.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    readings.dedup();
    // Corners and the middles of sides: along a joint the farthest place is between two rows.
    let off = (0..3)
        .flat_map(|k| [own[k], own[k].lerp(own[(k + 1) % 3], 0.5)])
        .map(|q| {
            readings
                .iter()
                .map(|r| r.distance(q))
                .fold(f64::INFINITY, f64::min)
        })
        .filter(|off| off.is_finite())
        .fold(0.0, f64::max);
    corners
        .iter()
        .map(|&v| floor.spacing_at(v))
        .fold(middle_side(own).max(off / MIDDLE), f64::max)
}

/// A floor made ready to be asked how its readings serve a span.
#[derive(Debug)]
pub(super) struct Reads<'a> {
    floor: &'a Floor,
    /// Triangles that an edge may lie on.
    pub usable: Vec<bool>,
    /// Distance between readings around each of these triangles, metres; 0 for others.
    spacings: Vec<f64>,
    aside: Aside,
    room_m2: f64,
    /// The longest way across the room, metres: no edge laid in it is longer.
    longest_m: f64,
    read_m2: f64,
    /// Distance between readings that half of the read floor is read at or closer than, metres.
    pub spacing_m: f64,
}

/// Readings count as no farther apart than asked within this share: what the places of a grid are rounded or laid out to.
const SLACK: f64 = 1.02;

impl<'a> Reads<'a> {
    pub fn new(floor: &'a Floor, ground: Ground) -> Self {
        let usable = usable(floor, ground);
        let places = places_of_readings(floor);
        let spacings: Vec<f64> = (0..floor.triangles().len() as u32)
            .map(|t| {
                if usable[t as usize] {
                    triangle_spacing(floor, &places, t)
                } else {
                    0.0
                }
            })
            .collect();
        let mut by_spacing: Vec<(f64, f64)> = (0..floor.triangles().len() as u32)
            .filter(|&t| usable[t as usize])
            .map(|t| (spacings[t as usize], floor.triangle_area(t)))
            .collect();
        by_spacing.sort_by(|a, b| a.0.total_cmp(&b.0));
        let read_m2: f64 = by_spacing.iter().map(|s| s.1).sum();
        let mut seen = 0.0;
        let spacing_m = by_spacing
            .iter()
            .find(|s| {
                seen += s.1;
                seen >= read_m2 / 2.0
            })
            .map_or(0.0, |s| s.0);
        Self {
            aside: Aside::new(floor, &usable),
            room_m2: floor.region().area(),
            longest_m: longest_across(floor.region()),
            floor,
            usable,
            spacings,
            read_m2,
            spacing_m,
        }
    }

    /// Distance between readings around a triangle that an edge may lie on, metres.
    pub fn spacing_in(&self, t: u32) -> f64 {
        self.spacings[t as usize]
    }

    /// How much of the room the triangles speak for that `counts` names, out of those an edge may lie on, where readings
    /// `needed_m` apart would serve; and where to read first ([`Aside::emptiest`]).
    pub fn judged(&self, needed_m: f64, counts: impl Fn(u32) -> bool) -> Judged {
        let (mut judged_m2, mut carried_m2) = (0.0, 0.0);
        for t in (0..self.usable.len() as u32).filter(|&t| self.usable[t as usize] && counts(t)) {
            let area = self.floor.triangle_area(t);
            judged_m2 += area;
            if self.floor.cover(t) != Cover::Surveyed {
                carried_m2 += area;
            }
        }
        let mut judged = Judged {
            judged_m2,
            carried_m2,
            room_m2: self.room_m2,
            aside_m2: self.aside.area_m2,
            lines: 0,
            waived: self.aside.waived,
            farthest_m: self.aside.farthest_m,
            needed_m,
            lacking: None,
        };
        if judged.share() < EVERYWHERE || (judged.all() && judged.farthest_m <= needed_m * SLACK) {
            return judged;
        }
        let lacking: Vec<u32> = (0..self.usable.len() as u32)
            .filter(|&t| self.usable[t as usize] && !counts(t))
            .collect();
        // A place without any reading comes first where it alone keeps the room from being judged; else the widest piece that is read too
        // coarsely: more of the room is gained there.
        judged.lacking = match judged.unread() {
            None if !judged.nearly_all() => {
                self.aside
                    .emptiest(self.floor, &self.widest_piece(&lacking), false)
            }
            _ => self.aside.emptiest(self.floor, &lacking, true),
        };
        judged
    }

    /// Floor that an edge may lie on and that `reach` does not serve, and floor without a reading that is not left aside, in pieces.
    fn unjudged(&self, triangles: &[Reach]) -> Vec<[Point; 3]> {
        let lacking = (0..triangles.len() as u32)
            .filter(|&t| matches!(triangles[t as usize], Reach::Coarse | Reach::TooFar));
        let mut pieces: Vec<[Point; 3]> = lacking
            .map(|t| self.floor.corners(t).map(|v| v.at))
            .collect();
        pieces.extend(self.aside.not_left_aside());
        pieces
    }

    /// Of these triangles those that hang together in the piece of the largest area.
    fn widest_piece(&self, triangles: &[u32]) -> Vec<u32> {
        let mut open: BTreeSet<u32> = triangles.iter().copied().collect();
        let mut widest: (f64, Vec<u32>) = (0.0, Vec::new());
        while let Some(first) = open.pop_first() {
            let (mut piece, mut next) = (vec![first], 0);
            while let Some(&t) = piece.get(next) {
                next += 1;
                for e in 0..3 {
                    if let Across::Floor(beyond) = self.floor.across(t, e)
                        && open.remove(&beyond)
                    {
                        piece.push(beyond);
                    }
                }
            }
            let area: f64 = piece.iter().map(|&t| self.floor.triangle_area(t)).sum();
            if area > widest.0 {
                widest = (area, piece);
            }
        }
        widest.1
    }

    /// How the readings serve an edge of length `span_m`; of one longer than the room, the longest that it takes.
    pub fn at(&self, span_m: f64) -> Coverage {
        let laid_m = span_m.min(self.longest_m);
        let mut coarse_m2 = 0.0;
        let triangles: Vec<Reach> = (0..self.usable.len() as u32)
            .map(|t| {
                if !self.usable[t as usize] {
                    return Reach::NotSurveyed;
                }
                let spacing = self.spacing_in(t);
                if spacing > laid_m * COARSE_SHARE * SLACK {
                    return Reach::TooFar;
                }
                coarse_m2 += self.floor.triangle_area(t);
                if spacing <= laid_m * RESOLVED_SHARE * SLACK {
                    Reach::Resolved
                } else {
                    Reach::Coarse
                }
            })
            .collect();
        let needed_m = laid_m * RESOLVED_SHARE;
        let judged = self.judged(needed_m, |t| triangles[t as usize] == Reach::Resolved);
        Coverage {
            span_m,
            judged,
            coarse_m2,
            read_m2: self.read_m2,
            spacing_m: self.spacing_m,
            triangles,
        }
    }
}

/// Corners beyond this many are not looked through for the longest way: it is then taken across the whole outline.
const MOST_CORNERS: usize = 120;

/// Corners nearer to a line than this are on it, and ways shorter than this are none, metres.
const ON_LINE_M: f64 = 1e-6;

/// Length of the longest straight way across the room, over no wall, void or column, metres: no edge laid in it is
/// longer. It touches two corners, or it could be turned or shifted to grow.
fn longest_across(region: &Region) -> f64 {
    let sides: Vec<Segment> = region.sides().map(|(a, b)| Segment::new(a, b)).collect();
    let hull = convex_hull(region.outline.points(), 0.0);
    let widest = |a: Point| hull.iter().map(|&b| a.distance(b)).fold(0.0, f64::max);
    let most = hull.iter().map(|&a| widest(a)).fold(0.0, f64::max);
    if sides.len() > MOST_CORNERS {
        return most;
    }
    let mut longest = 0.0f64;
    for (i, a) in sides.iter().enumerate() {
        for b in &sides[i + 1..] {
            longest = longest.max(clear_way(region, &sides, Segment::new(a.a, b.a), most));
        }
    }
    longest
}

/// Length of the way along a line, past both ends of `through`, that lies in the room and holds it; 0 where `through`
/// itself leaves the room.
fn clear_way(region: &Region, sides: &[Segment], through: Segment, reach: f64) -> f64 {
    let length = through.length();
    if length <= 0.0 {
        return 0.0;
    }
    let beyond = (through.b - through.a) * (reach / length);
    let line = Segment::new(through.a - beyond, through.b + beyond);
    let in_room = |p| region.contains(p);
    floor_stretches(line, sides.iter().copied(), in_room, ON_LINE_M)
        .into_iter()
        .find(|s| s[0] <= reach + ON_LINE_M && s[1] >= reach + length - ON_LINE_M)
        .map_or(0.0, |s| s[1] - s[0])
}

/// How the floor's readings serve an edge of length `span_m`: shares are of the room, less the strip along walls,
/// voids and columns that carries no reading.
///
/// # Edge cases
/// A floor without surveyed area has a share of 0 and a spacing of 0.
pub fn coverage(floor: &Floor, ground: Ground, span_m: f64) -> Coverage {
    Reads::new(floor, ground).at(span_m)
}

/// The floor that is neither judged under an edge of length `span_m` nor left aside, in pieces: for the small plan.
pub fn unjudged(floor: &Floor, ground: Ground, span_m: f64) -> Vec<[Point; 3]> {
    let reads = Reads::new(floor, ground);
    reads.unjudged(&reads.at(span_m).triangles)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Ring;

    // ORACLE: closed form. A room of 6 by 3 m with a niche from the far wall, 1.5 to 2.5 m along it and down to 1 m: the longest way runs from the near
    //         left corner past the niche's right one to the right wall, 6 m along and 2.4 m up. Its mirror images and turns have the same.
    #[test]
    fn the_longest_way_is_that_of_the_room_however_it_lies() {
        let room = [
            (0.0, 0.0),
            (6.0, 0.0),
            (6.0, 3.0),
            (2.5, 3.0),
            (2.5, 1.0),
            (1.5, 1.0),
            (1.5, 3.0),
            (0.0, 3.0),
        ];
        let right = 6f64.hypot(2.4);
        for k in 0..48 {
            let (turn, mirror) = (f64::from(k / 2) * std::f64::consts::PI / 12.0, k % 2 == 1);
            let off = if k % 3 == 0 { 5e5 } else { 0.0 };
            let (s, c) = turn.sin_cos();
            let at = |&(x, y): &(f64, f64)| {
                let x = if mirror { -x } else { x };
                Point::new(c * x - s * y + off, s * x + c * y)
            };
            let region = Region {
                outline: Ring::new(room.iter().map(at).collect()),
                voids: Vec::new(),
            };
            let found = longest_across(&region);
            assert!((found - right).abs() < 1e-4, "{k}: {found} for {right}");
        }
    }
}
