//! What lies between readings: their own triangulation, and which of it is floor once the walls stand.

use super::beside::add_before;
use super::diagonals::{Choice, Heights, ON_CIRCLE};
use super::farthest::{FARTHEST, circle_radius, farthest_m};
use super::lines::{JOINT, Lines, WALL};
use super::spacing::{GAP, SQUARE};
use crate::geometry::{Mesh, NONE, Point, PointGrid, circle_excess, orient, prev};
use std::collections::{HashMap, HashSet};

/// Mark of an edge between two readings in the mesh.
pub(super) const READ: u8 = 4;

/// A triangle at the edge of the read floor that is lower over its outer side than this share of the side is no
/// floor between readings: its three stand nearly in one line, and across it the surface would leap from the
/// middle reading to the straight way between the two beyond it.
const FLAT: f64 = 0.05 - 1e-6;

/// Settles the triangulation of the readings among themselves and makes every edge of it fast, before any
/// wall is drawn into it.
///
/// `z` are the heights of the readings in the order of the mesh. Answers the squares that fold either way.
pub(super) fn tie_readings(mesh: &mut Mesh, z: &[f64], walls: &Lines) -> Vec<Choice> {
    let count = mesh.triangle_count();
    let inside: Vec<bool> = (0..count).map(|t| !mesh.on_frame(t)).collect();
    let mut corners: Vec<u32> = (0..count * 3)
        .map(|h| mesh.origin(h).wrapping_sub(Mesh::FRAME))
        .collect();
    let heights: Vec<Option<f64>> = z.iter().copied().map(Some).collect();
    let mut squares = Heights {
        mesh,
        inside: &inside,
        corners: &mut corners,
        z: &heights,
        walls: Some(walls),
        stands: &[],
    };
    let choices = squares.settle();
    // Where no floor is read either way, the diagonal stays free: made fast it would put a point on the joint, and a toss-up
    // decide where.
    let free: HashSet<u32> = if walls.has_joints() {
        (0..count * 3)
            .filter(|&h| squares.is_lost(h, walls))
            .collect()
    } else {
        HashSet::new()
    };
    for h in 0..count * 3 {
        if mesh.origin(h) >= Mesh::FRAME && mesh.target(h) >= Mesh::FRAME && !free.contains(&h) {
            mesh.set_mark(h, READ);
        }
    }
    choices
}

/// Which triangles of the finished mesh are read floor.
pub(super) struct ReadFloor {
    /// One entry a triangle of the mesh.
    pub(super) is_read: Vec<bool>,
    /// For read triangles that a wall or void has cut out of a triangle of readings: those three readings,
    /// whose plane they lie in.
    pub(super) cut_from: HashMap<u32, [u32; 3]>,
}

/// The readings as the classification needs them.
pub(super) struct Rows<'a> {
    pub(super) grid: &'a PointGrid,
    pub(super) spacings: &'a [f64],
    /// By what the closest readings round each tell; see [`super::spacing::Spacings`].
    pub(super) close: &'a [f64],
}

impl Rows<'_> {
    /// Whether three readings stand near enough together for the floor between them to count as read. `round` gives
    /// all readings that share their circle: which diagonals cut up such a polygon may be a toss-up, so each of its
    /// triangles goes by the widest spacing of them all, and by the place farthest from all of them.
    fn close(&self, readings: [u32; 3], round: impl FnOnce() -> Vec<u32>) -> bool {
        let place = |i: u32| self.grid.points()[i as usize];
        let at = readings.map(place);
        let widest = |of: &[f64], readings: &[u32]| {
            let all = readings.iter().map(|&i| of[i as usize]);
            all.fold(0.0, f64::max)
        };
        let side = |k: usize| at[k].distance(at[(k + 1) % 3]);
        let far_m = (0..3).map(side).fold(0.0, f64::max);
        let near = |readings: &[u32]| far_m <= GAP * widest(self.spacings, readings);
        let seen = |readings: &[u32], m: f64| m <= FARTHEST * widest(self.close, readings);
        // No place of the polygon lies farther from its readings than the middle of their circle.
        if near(&readings) && circle_radius(at).is_some_and(|m| seen(&readings, m)) {
            return true;
        }
        let mut all = round();
        if all.is_empty() {
            all.extend(readings);
        }
        let corners: Vec<Point> = all.iter().map(|&i| place(i)).collect();
        near(&all) && farthest_m(&corners).is_some_and(|m| seen(&all, m))
    }
}

/// Sorts the mesh into read floor and the rest, and frees the edges between readings that walls or joints
/// have cut.
///
/// # Method
/// A triangle of readings is read floor when the floor within it hangs together: one can get from each of
/// its readings to the others without leaving it (or the square of the grid, or the polygon of readings on one circle, that it is part of), and no joint
/// runs in it. So a column in a cell takes
/// away nothing but itself, and a wall that parts the readings parts the floor. What is cut off from its
/// readings is not read, nor is what lies between three readings nearly in one line at the edge.
pub(super) fn sort_floor(mesh: &mut Mesh, inside: &[bool], rows: &Rows) -> ReadFloor {
    let readings = rows.spacings.len() as u32;
    let is_reading = |v: u32| v >= Mesh::FRAME && v < Mesh::FRAME + readings;
    let count = mesh.triangle_count();
    let mut floor = ReadFloor {
        is_read: vec![false; count as usize],
        cut_from: HashMap::new(),
    };
    let mut cut: Vec<u32> = Vec::new();
    for t in 0..count {
        let corners = mesh.triangle(t);
        let whole = corners.iter().all(|&v| is_reading(v))
            && (t * 3..t * 3 + 3).all(|h| mesh.mark(h) & READ != 0);
        if whole {
            floor.is_read[t as usize] = inside[t as usize]
                && rows.close(corners.map(|v| v - Mesh::FRAME), || {
                    if stands_alone(mesh, t, is_reading) {
                        return Vec::new();
                    }
                    on_one_circle(mesh, &cell_of(mesh, t), is_reading)
                });
        } else if inside[t as usize] {
            cut.push(t);
        }
    }
    let mut seen: HashMap<u32, ()> = HashMap::with_capacity(cut.len());
    for &t in &cut {
        if seen.contains_key(&t) {
            continue;
        }
        let cell = cell_of(mesh, t);
        for &u in &cell.triangles {
            seen.insert(u, ());
        }
        if let Some((piece, corners)) = piece_of_readings(mesh, inside, &cell, is_reading)
            && rows.close(corners, || on_one_circle(mesh, &cell, is_reading))
        {
            for u in piece {
                floor.is_read[u as usize] = true;
                floor.cut_from.insert(u, corners);
            }
        }
    }
    peel(mesh, &mut floor.is_read);
    if add_beside(mesh, inside, &mut floor.is_read, is_reading) {
        peel(mesh, &mut floor.is_read);
    }
    free_edges(mesh, &floor.is_read);
    // Where a wall took edges away, three readings may still see one another.
    for &t in &cut {
        let corners = mesh.triangle(t);
        if !floor.is_read[t as usize] && corners.iter().all(|&v| is_reading(v)) {
            floor.is_read[t as usize] = rows.close(corners.map(|v| v - Mesh::FRAME), Vec::new);
        }
    }
    floor
}

/// All triangles of the mesh that lie in one triangle of readings, or outside all of them.
struct Cell {
    triangles: Vec<u32>,
    framed: bool,
}

fn cell_of(mesh: &Mesh, start: u32) -> Cell {
    walk_cell(mesh, start, false)
}

/// The same for a look at a neighbour: of what lies outside of all readings, which may be large, only that it does.
fn cell_beside(mesh: &Mesh, start: u32) -> Cell {
    walk_cell(mesh, start, true)
}

fn walk_cell(mesh: &Mesh, start: u32, stop_outside: bool) -> Cell {
    let mut cell = Cell {
        triangles: vec![start],
        framed: false,
    };
    let mut seen: HashMap<u32, ()> = HashMap::from([(start, ())]);
    let mut k = 0;
    while let Some(&t) = cell.triangles.get(k) {
        k += 1;
        cell.framed |= mesh.on_frame(t);
        if cell.framed && stop_outside {
            break;
        }
        for h in t * 3..t * 3 + 3 {
            let twin = mesh.twin(h);
            if twin == NONE {
                cell.framed = true;
            } else if mesh.mark(h) & READ == 0 && seen.insert(twin / 3, ()).is_none() {
                cell.triangles.push(twin / 3);
            }
        }
    }
    cell
}

/// The three readings of a cell; `None` outside the readings.
fn readings_of(mesh: &Mesh, cell: &Cell, is_reading: &impl Fn(u32) -> bool) -> Option<[u32; 3]> {
    if cell.framed {
        return None;
    }
    let mut readings: Vec<u32> = cell
        .triangles
        .iter()
        .flat_map(|&t| mesh.triangle(t))
        .filter(|&v| is_reading(v))
        .collect();
    readings.sort_unstable();
    readings.dedup();
    readings.try_into().ok()
}

/// Whether a triangle of readings is sure to share its circle with no other reading: a quick look, for scans.
fn stands_alone(mesh: &Mesh, t: u32, is_reading: impl Fn(u32) -> bool) -> bool {
    (t * 3..t * 3 + 3).all(|h| {
        let twin = mesh.twin(h);
        twin == NONE || {
            let (r, s) = (mesh.origin(prev(h)), mesh.origin(prev(twin)));
            // A corner of a wall may hide a reading behind it; the frame hides none.
            s < Mesh::FRAME
                || (is_reading(s) && excess(mesh, mesh.triangle(t), r, s).abs() > ON_CIRCLE)
        }
    })
}

/// The readings of a cell and of all that share its circle.
fn on_one_circle(mesh: &Mesh, cell: &Cell, is_reading: impl Fn(u32) -> bool) -> Vec<u32> {
    let cells = cells_of_circle(mesh, cell, is_reading);
    let mut all: Vec<u32> = cells
        .into_iter()
        .flat_map(|(_, readings)| readings)
        .collect();
    all.sort_unstable();
    all.dedup();
    all.into_iter().map(|v| v - Mesh::FRAME).collect()
}

/// A cell and all that share its circle: their triangles and their readings. None outside the readings.
fn cells_of_circle(
    mesh: &Mesh,
    cell: &Cell,
    is_reading: impl Fn(u32) -> bool,
) -> Vec<(Vec<u32>, [u32; 3])> {
    let Some(first) = readings_of(mesh, cell, &is_reading) else {
        return Vec::new();
    };
    let mut cells = vec![(cell.triangles.clone(), first)];
    let mut seen: HashMap<u32, ()> = cell.triangles.iter().map(|&t| (t, ())).collect();
    let mut k = 0;
    while let Some((triangles, corners)) = cells.get(k).cloned() {
        k += 1;
        for h in triangles.into_iter().flat_map(|t| t * 3..t * 3 + 3) {
            let twin = mesh.twin(h);
            if mesh.mark(h) & READ == 0 || twin == NONE || seen.contains_key(&(twin / 3)) {
                continue;
            }
            let other = cell_beside(mesh, twin / 3);
            let Some(theirs) = readings_of(mesh, &other, &is_reading) else {
                continue;
            };
            let apex = |of: [u32; 3], not: [u32; 3]| of.into_iter().find(|v| !not.contains(v));
            let (Some(r), Some(s)) = (apex(corners, theirs), apex(theirs, corners)) else {
                continue;
            };
            if excess(mesh, corners, r, s).abs() <= ON_CIRCLE {
                seen.extend(other.triangles.iter().map(|&t| (t, ())));
                cells.push((other.triangles, theirs));
            }
        }
    }
    cells
}

/// By how much `s`, beyond the side of a triangle of readings that faces its corner `r`, lies off the triangle's circle.
fn excess(mesh: &Mesh, corners: [u32; 3], r: u32, s: u32) -> f64 {
    let k = corners.iter().position(|&v| v == r).unwrap_or(0);
    let at = |v: u32| mesh.point(v);
    let (p, q) = (corners[(k + 1) % 3], corners[(k + 2) % 3]);
    if orient(at(p), at(q), at(r)) > 0.0 {
        circle_excess(at(p), at(s), at(q), at(r))
    } else {
        circle_excess(at(q), at(s), at(p), at(r))
    }
}

/// The other half of the square of the grid that a cell is one half of, if it is.
fn other_half(
    mesh: &Mesh,
    cell: &Cell,
    corners: [u32; 3],
    is_reading: &impl Fn(u32) -> bool,
) -> Option<Cell> {
    let at = |v: u32| mesh.point(v);
    let longest = (0..3).max_by(|&a, &b| {
        let long = |k: usize| at(corners[k]).distance(at(corners[(k + 1) % 3]));
        long(a).total_cmp(&long(b))
    })?;
    let (p, q, r) = (
        corners[longest],
        corners[(longest + 1) % 3],
        corners[(longest + 2) % 3],
    );
    let own: HashMap<u32, ()> = cell.triangles.iter().map(|&t| (t, ())).collect();
    let across = cell
        .triangles
        .iter()
        .flat_map(|&t| t * 3..t * 3 + 3)
        .filter(|&h| mesh.mark(h) & READ != 0 && mesh.twin(h) != NONE)
        .map(|h| mesh.twin(h) / 3)
        .filter(|t| !own.contains_key(t));
    let mut seen: HashMap<u32, ()> = HashMap::new();
    for t in across {
        if seen.contains_key(&t) {
            continue;
        }
        let other = cell_beside(mesh, t);
        seen.extend(other.triangles.iter().map(|&u| (u, ())));
        let Some(theirs) = readings_of(mesh, &other, is_reading) else {
            continue;
        };
        let Some(&s) = theirs.iter().find(|v| ![p, q].contains(v)) else {
            continue;
        };
        if theirs.contains(&p) && theirs.contains(&q) {
            return (excess(mesh, corners, r, s).abs() <= SQUARE).then_some(other);
        }
    }
    None
}

/// The piece of a cell that hangs together, if need be through the other half of its square or the rest of the polygon of
/// readings on its circle, and touches all three of its readings. Which diagonals cut up the polygon then does not matter.
fn piece_of_readings(
    mesh: &Mesh,
    inside: &[bool],
    cell: &Cell,
    is_reading: impl Fn(u32) -> bool,
) -> Option<(Vec<u32>, [u32; 3])> {
    let corners = readings_of(mesh, cell, &is_reading)?;
    let own: HashMap<u32, ()> = cell.triangles.iter().map(|&t| (t, ())).collect();
    let mut within = own.clone();
    let half = other_half(mesh, cell, corners, &is_reading);
    within.extend(half.iter().flat_map(|c| &c.triangles).map(|&t| (t, ())));
    let polygon = cells_of_circle(mesh, cell, &is_reading);
    within.extend(polygon.iter().flat_map(|(t, _)| t).map(|&t| (t, ())));
    let ways = |t: u32| {
        (t * 3..t * 3 + 3).filter(|&h| {
            let other = mesh.twin(h) / 3;
            mesh.mark(h) & WALL == 0 && within.contains_key(&other) && inside[other as usize]
        })
    };
    // A joint in there parts what lies on its two sides.
    let room = || within.keys().copied().filter(|&t| inside[t as usize]);
    if room().flat_map(ways).any(|h| mesh.mark(h) & JOINT != 0) {
        return None;
    }
    let mut seen: HashMap<u32, ()> = HashMap::new();
    for &start in cell.triangles.iter().filter(|&&t| inside[t as usize]) {
        if seen.insert(start, ()).is_some() {
            continue;
        }
        let mut piece = vec![start];
        let mut k = 0;
        while let Some(&t) = piece.get(k) {
            k += 1;
            for h in ways(t) {
                let other = mesh.twin(h) / 3;
                if seen.insert(other, ()).is_none() {
                    piece.push(other);
                }
            }
        }
        piece.retain(|t| own.contains_key(t));
        let touches = |v: u32| piece.iter().any(|&t| mesh.triangle(t).contains(&v));
        if corners.iter().all(|&v| touches(v)) {
            return Some((piece, corners.map(|v| v - Mesh::FRAME)));
        }
    }
    None
}

/// Adds the triangles of readings that are read as closely as read floor beside them; whether there are any.
fn add_beside(
    mesh: &Mesh,
    inside: &[bool],
    is_read: &mut [bool],
    is_reading: impl Fn(u32) -> bool + Copy,
) -> bool {
    let whole = |t: u32| {
        mesh.triangle(t).into_iter().all(is_reading)
            && (t * 3..t * 3 + 3).all(|h| mesh.mark(h) & READ != 0)
    };
    let open: Vec<bool> = (0..mesh.triangle_count())
        .map(|t| inside[t as usize] && !is_read[t as usize] && whole(t))
        .collect();
    add_before(mesh, is_read, &open, |h| {
        mesh.mark(h) & (WALL | JOINT) == 0 && whole(h / 3)
    })
}

/// Takes flat triangles off the edge of the read floor, as long as there are any.
fn peel(mesh: &Mesh, is_read: &mut [bool]) {
    let beyond = |h: u32, is_read: &[bool]| {
        let twin = mesh.twin(h);
        twin != NONE && mesh.mark(h) & WALL == 0 && is_read[(twin / 3) as usize]
    };
    let is_flat = |t: u32, is_read: &[bool]| {
        let at = mesh.triangle(t).map(|v| mesh.point(v));
        let side = |k: usize| at[(k + 1) % 3] - at[k];
        let outer = (0..3)
            .max_by(|&a, &b| side(a).norm().total_cmp(&side(b).norm()))
            .unwrap_or(0);
        let long = side(outer);
        let height = long.cross(at[(outer + 2) % 3] - at[outer]) / long.norm();
        height < FLAT * long.norm() && !beyond(t * 3 + outer as u32, is_read)
    };
    let mut waiting: Vec<u32> = (0..mesh.triangle_count())
        .filter(|&t| is_read[t as usize])
        .filter(|&t| (t * 3..t * 3 + 3).any(|h| !beyond(h, is_read)))
        .collect();
    while let Some(t) = waiting.pop() {
        // Pieces that walls cut out of a triangle of readings are as good as it is, whatever their shape.
        let whole = (t * 3..t * 3 + 3).all(|h| mesh.mark(h) & READ != 0);
        if is_read[t as usize] && whole && is_flat(t, is_read) {
            is_read[t as usize] = false;
            let beside = (t * 3..t * 3 + 3).filter(|&h| beyond(h, is_read));
            waiting.extend(beside.map(|h| mesh.twin(h) / 3).collect::<Vec<_>>());
        }
    }
}

/// Frees every edge of the readings' triangulation that borders on no read floor.
fn free_edges(mesh: &mut Mesh, is_read: &[bool]) {
    for h in 0..mesh.triangle_count() * 3 {
        let (mark, twin) = (mesh.mark(h), mesh.twin(h));
        if mark & READ == 0 || twin < h {
            continue;
        }
        let read = [h, twin]
            .into_iter()
            .filter(|&e| e != NONE)
            .any(|e| is_read[(e / 3) as usize]);
        if !read {
            mesh.set_mark(h, mark & !READ);
        }
    }
}
