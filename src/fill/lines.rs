//! What runs along the edge of the pour: perimeter foam at walls, dams at openings, slopes and movement joints.

use super::result::Plane;
use crate::geometry::{Point, Ring, SAME_LINE_M};
use crate::surface::{Across, Floor};
use crate::survey::{Joint, Room};

/// Lengths along walls and voids, for perimeter foam.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Perimeter {
    /// Floor edge along the outline, openings included, metres.
    pub outline_m: f64,
    /// Floor edge along voids (columns, islands), metres.
    pub voids_m: f64,
    /// Openings in the outline, metres.
    pub openings_m: f64,
    /// Perimeter foam: outline and voids less openings, metres.
    pub foam_m: f64,
    /// Edge towards floor that was not surveyed, metres: no wall there, and nothing counted.
    pub unsurveyed_m: f64,
    /// Part of that edge which material stands at and nothing holds back, metres.
    pub open_m: f64,
    /// The greatest depth along it, metres.
    pub open_depth_m: f64,
}

/// What a dam holds back from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DamKind {
    /// A door or opening.
    Opening,
    /// An area that keeps its slope.
    Slope,
    /// A movement joint, which stays open: material stands on both sides of it.
    Joint,
    /// The border of two bays of the pour.
    Bay,
}

/// Depth of material at a place along a dam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DamStation {
    /// From the start of the dam, metres.
    pub along_m: f64,
    /// Where.
    pub at: Point,
    /// Finish above the floor there, metres; 0 where the floor stands higher.
    pub depth_m: f64,
    /// Whether a piece of the dam begins here: at its start, and behind a stretch where none is needed.
    pub begins: bool,
}

/// A dam along the edge of the pour.
#[derive(Debug, Clone, PartialEq)]
pub struct Dam {
    /// Name of the door, of the area that keeps its slope or of the joint.
    pub name: String,
    /// What it is for.
    pub kind: DamKind,
    /// Length, metres; of a joint that of both sides.
    pub length_m: f64,
    /// Greatest depth it holds back, metres.
    pub highest_m: f64,
    /// Depth along it, at both ends of every run and at each whole pitch.
    pub stations: Vec<DamStation>,
}

/// An area that keeps its slope, and what stands along it.
#[derive(Debug, Clone, PartialEq)]
pub struct SlopeLeft {
    /// Its name.
    pub name: String,
    /// Plan area left out of the fill, square metres.
    pub area_m2: f64,
    /// The dam along it; `None` where it borders no floor that was surveyed.
    pub dam: Option<Dam>,
}

/// Every area that keeps its slope, with its dam out of [`dams`]' list.
pub fn slopes_left(room: &Room, dams: &[Dam]) -> Vec<SlopeLeft> {
    room.slopes
        .iter()
        .map(|s| SlopeLeft {
            name: s.name.clone(),
            area_m2: s.ring.area(),
            dam: dams
                .iter()
                .find(|d| d.kind == DamKind::Slope && d.name == s.name)
                .cloned(),
        })
        .collect()
}

/// A side of the mesh at the edge of the pour, its own floor to the left of it.
struct Rim {
    a: Point,
    b: Point,
    depth_a: f64,
    depth_b: f64,
}

/// The sides of the mesh with nothing beyond them.
fn rims(floor: &Floor, plane: &Plane) -> Vec<Rim> {
    sides_where(floor, plane, |across| across.ends_floor())
}

fn sides_where(floor: &Floor, plane: &Plane, wanted: impl Fn(Across) -> bool) -> Vec<Rim> {
    let mut list = Vec::new();
    for t in 0..floor.triangles().len() as u32 {
        let corners = floor.corners(t);
        for edge in 0..3 {
            if wanted(floor.across(t, edge)) {
                let (a, b) = (corners[edge], corners[(edge + 1) % 3]);
                list.push(Rim {
                    a: a.at,
                    b: b.at,
                    depth_a: plane.at(a.at) - a.z,
                    depth_b: plane.at(b.at) - b.z,
                });
            }
        }
    }
    list
}

fn on_side(p: Point, (a, b): (Point, Point)) -> bool {
    let d = b - a;
    let square = d.dot(d);
    if square <= 0.0 {
        return p.distance(a) <= SAME_LINE_M;
    }
    let t = ((p - a).dot(d) / square).clamp(0.0, 1.0);
    p.distance(a.lerp(b, t)) <= SAME_LINE_M
}

fn on_ring(p: Point, ring: &Ring) -> bool {
    ring.sides().any(|side| on_side(p, side))
}

/// How much of a side gets material: depth runs straight along it.
fn wet_length(length: f64, (a, b): (f64, f64)) -> f64 {
    let (low, high) = (a.min(b), a.max(b));
    if low >= 0.0 && high > 0.0 {
        length
    } else if high <= 0.0 {
        0.0
    } else {
        length * high / (high - low)
    }
}

/// Edge lengths of the floor under a finish, for perimeter foam: it stands where material meets a wall.
///
/// # Method
/// The mesh's own edges, each laid to the outline, to a void or to floor not surveyed by its
/// middle. Without a `room` the floor's own region stands in.
pub fn perimeter(floor: &Floor, plane: &Plane, room: Option<&Room>) -> Perimeter {
    let mut p = Perimeter::default();
    let region = floor.region();
    let mut wet_m = 0.0;
    for rim in rims(floor, plane) {
        let middle = rim.a.lerp(rim.b, 0.5);
        let length = rim.a.distance(rim.b);
        let void = match room {
            Some(room) => room.voids.iter().any(|v| on_ring(middle, &v.ring)),
            None => region.voids.iter().any(|v| on_ring(middle, v)),
        };
        let slope = room.is_some_and(|r| r.slopes.iter().any(|v| on_ring(middle, &v.ring)));
        let wet = wet_length(length, (rim.depth_a, rim.depth_b));
        if on_ring(middle, room.map_or(&region.outline, |r| &r.outline)) {
            p.outline_m += length;
            wet_m += wet;
        } else if void {
            p.voids_m += length;
            wet_m += wet;
        } else if !slope {
            p.unsurveyed_m += length;
            p.open_m += wet;
            p.open_depth_m = p.open_depth_m.max(rim.depth_a).max(rim.depth_b);
        }
    }
    if let Some(room) = room {
        // A dam is no longer than the material that it holds back; its stations are not needed.
        let dams = dams(floor, plane, room, 0.0);
        let openings = dams.iter().filter(|d| d.kind == DamKind::Opening);
        p.openings_m = openings.fold(0.0, |sum, d| sum + d.length_m);
    }
    p.foam_m = (wet_m - p.openings_m).max(0.0);
    p
}

/// Dams at every opening, along every area that keeps its slope and on both sides of every movement joint, with the depth along them.
///
/// # Units, datum, sign
/// Metres. `pitch_m`: distance between stations (a foot, 250 mm; at 0 none between); stations stand at both ends of
/// every straight run too.
/// # Method
/// An opening is its width along the outline's nearest side; a slope's dam is the part of its line
/// that borders floor to be poured (not where it runs along a wall); a movement joint's stands on either side as far as floor lies there.
/// Depth is linear between the mesh's corners.
/// # Edge cases
/// An opening or slope that borders no surveyed floor has no dam.
pub fn dams(floor: &Floor, plane: &Plane, room: &Room, pitch_m: f64) -> Vec<Dam> {
    let rims = rims(floor, plane);
    let mut list = Vec::new();
    for door in &room.doors {
        let side = room.outline.sides().min_by(|a, b| {
            distance(door.at, *a)
                .total_cmp(&distance(door.at, *b))
                .then(b.0.distance(b.1).total_cmp(&a.0.distance(a.1)))
        });
        let Some((a, b)) = side else { continue };
        let length = a.distance(b);
        if length <= 0.0 {
            continue;
        }
        let along = (b - a) * (1.0 / length);
        let middle = (door.at - a).dot(along).clamp(0.0, length);
        let half = door.width_m / 2.0;
        let from = a + along * (middle - half).max(0.0);
        let to = a + along * (middle + half).min(length);
        let stretches = stretches((from, to), &rims);
        list.extend(dam(&door.name, DamKind::Opening, stretches, pitch_m));
    }
    for slope in &room.slopes {
        let stretches = slope.ring.sides().flat_map(|side| stretches(side, &rims));
        list.extend(dam(
            &slope.name,
            DamKind::Slope,
            stretches.collect(),
            pitch_m,
        ));
    }
    list.extend(joint_dams(floor, plane, room, pitch_m));
    list
}

fn joint_dams(floor: &Floor, plane: &Plane, room: &Room, pitch_m: f64) -> Vec<Dam> {
    let movement = room.joints.iter().filter(|j| j.movement);
    let rims = sides_where(floor, plane, |across| matches!(across, Across::Joint(_)));
    let along_joint = |joint: &Joint| {
        let sides = || joint.line.windows(2).map(|p| (p[0], p[1]));
        let on = |left: bool| {
            let own = |(a, b): (Point, Point)| {
                let of_side = |r: &&Rim| ((r.b - r.a).dot(b - a) > 0.0) == left;
                let rims: Vec<&Rim> = rims.iter().filter(of_side).collect();
                stretches((a, b), rims)
            };
            sides().flat_map(own).collect::<Vec<_>>()
        };
        let both = [on(true), on(false)].concat();
        dam(&joint.name, DamKind::Joint, both, pitch_m)
    };
    movement.filter_map(along_joint).collect()
}

fn distance(p: Point, (a, b): (Point, Point)) -> f64 {
    let d = b - a;
    let square = d.dot(d);
    if square <= 0.0 {
        return p.distance(a);
    }
    p.distance(a.lerp(b, ((p - a).dot(d) / square).clamp(0.0, 1.0)))
}

/// A stretch of a drawn line that borders floor to be poured: its ends, and the depth at both.
#[derive(Clone, Copy)]
struct Stretch {
    from: (Point, f64),
    to: (Point, f64),
}

/// The stretches of one side that border floor, in its direction.
fn stretches<'a>((a, b): (Point, Point), rims: impl IntoIterator<Item = &'a Rim>) -> Vec<Stretch> {
    let whole = a.distance(b);
    if whole <= 0.0 {
        return Vec::new();
    }
    let along = (b - a) * (1.0 / whole);
    let mut found: Vec<(f64, f64, Stretch)> = Vec::new();
    for rim in rims {
        let off = |p: Point| along.cross(p - a).abs();
        if off(rim.a) > SAME_LINE_M || off(rim.b) > SAME_LINE_M {
            continue;
        }
        let (sa, sb) = ((rim.a - a).dot(along), (rim.b - a).dot(along));
        let (lo, hi) = (sa.min(sb).max(0.0), sa.max(sb).min(whole));
        if hi - lo > 1e-9 {
            let depth = |s: f64| rim.depth_a + (rim.depth_b - rim.depth_a) * (s - sa) / (sb - sa);
            let end = |s: f64| (a + along * s, depth(s));
            let stretch = Stretch {
                from: end(lo),
                to: end(hi),
            };
            found.push((lo, hi, stretch));
        }
    }
    found.sort_by(|p, q| p.0.total_cmp(&q.0).then(p.1.total_cmp(&q.1)));
    found.into_iter().map(|f| f.2).collect()
}

impl Stretch {
    /// The part of it where material stands; `None` where none does.
    fn wet(self) -> Option<Self> {
        let ((a, from), (b, to)) = (self.from, self.to);
        if from <= 0.0 && to <= 0.0 {
            return None;
        }
        // Where the depth is nothing.
        let shore = || (a.lerp(b, from / (from - to)), 0.0);
        Some(Self {
            from: if from < 0.0 { shore() } else { self.from },
            to: if to < 0.0 { shore() } else { self.to },
        })
    }
}

fn dam(name: &str, kind: DamKind, list: Vec<Stretch>, pitch_m: f64) -> Option<Dam> {
    let mut list: Vec<Stretch> = list.into_iter().filter_map(Stretch::wet).collect();
    // A ring may begin in the middle of a dam: what goes on there is one piece with its end.
    let ends = |k: usize, list: &[Stretch]| {
        let before = list[(k + list.len() - 1) % list.len()];
        before.to.0.distance(list[k].from.0) > SAME_LINE_M
    };
    if let Some(first) = (0..list.len()).find(|&k| ends(k, &list)) {
        list.rotate_left(first);
    }
    let mut length_m = 0.0;
    let mut stations: Vec<DamStation> = Vec::new();
    for (k, stretch) in list.iter().enumerate() {
        let begins = k == 0 || ends(k, &list);
        let ((a, depth_a), (b, depth_b)) = (stretch.from, stretch.to);
        let long = a.distance(b);
        let mut station = |s: f64, depth: f64, begins: bool| {
            let next = DamStation {
                along_m: length_m + s,
                at: a.lerp(b, s / long),
                depth_m: depth.max(0.0),
                begins,
            };
            let same = |l: &DamStation| {
                (l.along_m - next.along_m).abs() < 1e-9
                    && l.at.distance(next.at) < SAME_LINE_M
                    && (l.depth_m - next.depth_m).abs() < 1e-9
            };
            if begins || !stations.last().is_some_and(same) {
                stations.push(next);
            }
        };
        station(0.0, depth_a, begins);
        if pitch_m > 0.0 {
            let first = (length_m / pitch_m + 1e-9).floor() as i64 + 1;
            let last = ((length_m + long) / pitch_m - 1e-9).ceil() as i64 - 1;
            // A dam of more than 10,000 stations is no list for a crew.
            for k in (first..=last).take(10_000) {
                let s = k as f64 * pitch_m - length_m;
                station(s, depth_a + (depth_b - depth_a) * s / long, false);
            }
        }
        station(long, depth_b, false);
        length_m += long;
    }
    (length_m > 0.0).then(|| Dam {
        name: name.to_owned(),
        kind,
        length_m,
        highest_m: stations.iter().map(|s| s.depth_m).fold(0.0, f64::max),
        stations,
    })
}
