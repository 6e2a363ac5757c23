//! One region's floor, step by step: readings first, then walls and joints, then heights carried to them.

use super::FloorError;
use super::between::{ReadFloor, Rows, sort_floor, tie_readings};
use super::diagonals::{Choice, Heights, Stand};
use super::extension::{Known, MeanPlane};
use super::fans::{Corner, Corners, corners, inside};
use super::farthest::Sight;
use super::floor::{Floor, Source};
use super::lines::{JOINT, Lines};
use super::numbering::{Height, Numbering};
use super::readings::{Left, ReadingUse, Used, sort_out};
use super::sampling::{Chain, chains};
use super::spacing::{Spacings, median, spacings};
use crate::geometry::{
    Mesh, NONE, Point, PointGrid, RegionIndex, SAME_LINE_M, bounds, convex_hull, triangle_shares,
};
use crate::survey::{Joint, Reading};
use rayon::prelude::*;
use std::collections::HashMap;

/// A height is carried out as far as the spacing of its reading allows, and as this many times what the closest readings round that tell.
const OUTWARD: f64 = 1.5;

/// A floor in one region, and what became of the readings.
pub(super) struct RegionFloor {
    pub(super) floor: Floor,
    pub(super) uses: Vec<ReadingUse>,
    /// Readings that stand by themselves.
    pub(super) apart: Vec<Apart>,
}

/// A reading that stands by itself, far from all others.
pub(super) struct Apart {
    /// Its index in the survey.
    pub(super) reading: u32,
    /// Distance to the nearest of the others.
    pub(super) distance_m: f64,
}

/// A floor in one region.
pub(super) fn lay(
    readings: &[Reading],
    left: &Left,
    joints: &[Joint],
) -> Result<RegionFloor, FloorError> {
    let region = left.region;
    let lines = Lines::new(region, joints);
    let index = RegionIndex::new(region);
    let (used, uses) = sort_out(readings, &index, &lines, left);
    let points: Vec<Point> = used.iter().map(|u| u.at).collect();
    let unused = uses
        .iter()
        .filter(|u| !u.is_used() && !matches!(u, ReadingUse::SamePlace { .. }))
        .count();
    check_spread(&points, unused)?;

    // Readings first, among themselves; then the walls, which take away and add a band, and bend nothing
    // that lies between readings.
    let mut mesh = mesh_of(&points, &lines)?;
    let z: Vec<f64> = used.iter().map(|u| u.z).collect();
    let folds = tie_readings(&mut mesh, &z, &lines);
    let Spacings {
        of: spacings,
        close,
        apart,
    } = spacings(&mesh, region, used.len() as u32);
    let spacing = median(&mut spacings.clone()).unwrap_or(0.0);
    let grid = PointGrid::new(points);
    let outward = outward(&spacings, &close);
    let chains = chains(&lines, &used, &grid, &outward);
    fix_lines(&mut mesh, &lines, &chains, &used)?;
    let plates = plates(&mesh, &lines, &used);
    let plane = MeanPlane::within(grid.points(), &z, &plates, region.outline.points());

    let inside = inside(&mesh, &index);
    let rows = Rows {
        grid: &grid,
        spacings: &spacings,
        close: &close,
    };
    let read = sort_floor(&mut mesh, &inside, &rows);
    let Corners {
        list,
        mut of_half_edge,
    } = corners(&mesh, &inside);
    let between = heights_between(&mesh, &read, &used, &of_half_edge);
    let mut known = Known {
        lines: &lines,
        used: &used,
        z: &z,
        spacings: &outward,
        close: &close,
        grid: &grid,
        plane,
        roughness_m: 0.0,
    };
    // Edges are laid on carried-out floor at joints only.
    if !joints.is_empty() {
        known.roughness_m = known.roughness();
    }
    let first_made = Mesh::FRAME + used.len() as u32;
    let corners = corner_heights(&list, &between, &known);
    drop(between);
    let heights: Vec<Option<f64>> = corners.iter().map(|c| c.z).collect();
    let stands = stands(&mesh, first_made);
    let mut choices = folds_on_floor(&mesh, &read, &of_half_edge, &folds);
    choices.extend(
        Heights {
            mesh: &mut mesh,
            inside: &inside,
            corners: &mut of_half_edge,
            z: &heights,
            walls: None,
            stands: &stands,
        }
        .settle(),
    );
    drop(heights);
    let at: Vec<Point> = list.iter().map(|c| mesh.point(c.vertex)).collect();
    let mut floor = Numbering {
        mesh: &mesh,
        inside: &inside,
        is_read: &read.is_read,
        of_half_edge: &of_half_edge,
        at: &at,
        corners: &corners,
        cut_from: &read.cut_from,
        used: &used,
        sight: Sight {
            lines: &lines,
            grid: &grid,
        },
    }
    .floor(choices, region.clone(), spacing);
    name_leans(&mut floor, &used, readings, &uses);
    let apart = stand_apart(&apart, &used);
    Ok(RegionFloor { floor, uses, apart })
}

/// Readings that stand by themselves, as readings of the survey.
fn stand_apart(apart: &[(u32, f64)], used: &[Used]) -> Vec<Apart> {
    let named = |&(i, distance_m): &(u32, f64)| Apart {
        reading: used[i as usize].reading,
        distance_m,
    };
    apart.iter().map(named).collect()
}

/// How far the readings' heights are carried out. A row's end, or a reading at the rim of a hole, has its third neighbour far off, and tells
/// no more of the floor for it.
fn outward(spacings: &[f64], close: &[f64]) -> Vec<f64> {
    let least = |(h, close): (&f64, &f64)| h.min(OUTWARD * close);
    spacings.iter().zip(close).map(least).collect()
}

/// Height of every corner: as read, as it lies within a triangle of readings (`between`), or carried out to a line.
fn corner_heights(
    list: &[Corner],
    between: &HashMap<u32, Height>,
    known: &Known<'_>,
) -> Vec<Height> {
    let first_made = Mesh::FRAME + known.used.len() as u32;
    list.par_iter()
        .enumerate()
        .map(|(i, c)| {
            if c.vertex < first_made {
                let i = (c.vertex - Mesh::FRAME) as usize;
                return Height {
                    z: Some(known.z[i]),
                    spacing: known.spacings[i],
                    close: known.close[i],
                    source: Source::Reading(known.used[i].reading),
                    leans: Vec::new(),
                    bend_m: 0.0,
                };
            }
            if let Some(own) = between.get(&(i as u32)) {
                return own.clone();
            }
            let carried = c.sector.and_then(|s| known.carry(&s));
            Height {
                z: carried.as_ref().map(|c| c.z),
                spacing: carried.as_ref().map_or(0.0, |c| c.spacing),
                close: carried.as_ref().map_or(0.0, |c| c.close),
                source: Source::Extended,
                bend_m: carried.as_ref().map_or(0.0, |c| c.bend_m),
                leans: carried.map_or_else(Vec::new, |c| c.leans),
            }
        })
        .collect()
}

/// For each reading, which of the plates that joints part it stands on: the least reading that edges of the mesh lead to. A reading
/// on a joint stands on none in particular, and by itself. Empty where there are no joints.
fn plates(mesh: &Mesh, lines: &Lines, used: &[Used]) -> Vec<u32> {
    if !lines.has_joints() {
        return Vec::new();
    }
    let on_joint = |i: u32| {
        let piece = used[i as usize].piece;
        piece.is_some_and(|p| lines.pieces[p as usize].mark & JOINT != 0)
    };
    let count = used.len() as u32;
    let mut plate = vec![NONE; used.len()];
    for first in 0..count {
        if plate[first as usize] != NONE {
            continue;
        }
        plate[first as usize] = first;
        let mut open = vec![first];
        while let Some(i) = open.pop().filter(|&i| !on_joint(i)) {
            for h in mesh.around(i + Mesh::FRAME) {
                let other = mesh.target(h).wrapping_sub(Mesh::FRAME);
                if other < count && plate[other as usize] == NONE && !on_joint(other) {
                    plate[other as usize] = first;
                    open.push(other);
                }
            }
        }
    }
    plate
}

/// What each vertex of the mesh stands on.
fn stands(mesh: &Mesh, first_made: u32) -> Vec<Stand> {
    let stand = |v: u32| {
        if v < first_made {
            Stand::Reading
        } else if mesh.around(v).any(|h| mesh.mark(h) & JOINT != 0) {
            Stand::Joint
        } else {
            Stand::Wall
        }
    };
    (0..mesh.points().len() as u32).map(stand).collect()
}

/// Heights of the corners that walls and voids have within triangles of readings, by floor vertex.
fn heights_between(
    mesh: &Mesh,
    read: &ReadFloor,
    used: &[Used],
    of_half_edge: &[u32],
) -> HashMap<u32, Height> {
    let mut found: HashMap<u32, (f64, Height)> = HashMap::new();
    let first_made = Mesh::FRAME + used.len() as u32;
    let mut cut: Vec<(&u32, &[u32; 3])> = read.cut_from.iter().collect();
    cut.sort_unstable();
    for (&t, readings) in cut {
        let plane = readings.map(|i| (used[i as usize].at, used[i as usize].z));
        for h in t * 3..t * 3 + 3 {
            let v = mesh.origin(h);
            if v < first_made {
                continue;
            }
            let shares = triangle_shares(plane.map(|p| p.0), mesh.point(v));
            let inside = shares.iter().copied().fold(f64::INFINITY, f64::min);
            // A corner a hair off the edge that it parts has the height of the triangle that it stands in.
            let known = found.get(&of_half_edge[h as usize]);
            if known.is_some_and(|(other, _)| *other >= inside) {
                continue;
            }
            let low = plane[0].1;
            let height = Height {
                z: Some(low + (0..3).map(|k| shares[k] * (plane[k].1 - low)).sum::<f64>()),
                spacing: 0.0,
                close: 0.0,
                source: Source::Between,
                leans: (0..3).map(|k| (readings[k], shares[k])).collect(),
                bend_m: 0.0,
            };
            found.insert(of_half_edge[h as usize], (inside, height));
        }
    }
    found
        .into_iter()
        .map(|(v, (_, height))| (v, height))
        .collect()
}

/// Squares of the readings that lie on read floor, by floor vertices.
fn folds_on_floor(
    mesh: &Mesh,
    read: &ReadFloor,
    of_half_edge: &[u32],
    folds: &[Choice],
) -> Vec<Choice> {
    // A mark on a line has a vertex for each side of it; there a square is not in one piece.
    let vertex = |v: u32| {
        let mut spokes = mesh
            .around(v)
            .filter(|h| read.is_read[(h / 3) as usize])
            .map(|h| of_half_edge[h as usize]);
        let first = spokes.next()?;
        spokes.all(|s| s == first).then_some(first)
    };
    folds
        .iter()
        .filter_map(|fold| {
            let corners = fold.corners.map(|i| vertex(i + Mesh::FRAME));
            let [Some(a), Some(b), Some(c), Some(d)] = corners else {
                return None;
            };
            // A fold that is drawn must be so between two triangles of read floor.
            let [p, q] = [fold.corners[0], fold.corners[2]].map(|i| i + Mesh::FRAME);
            let drawn = mesh.edge(p, q).is_none_or(|h| {
                [h, mesh.twin(h)]
                    .iter()
                    .all(|&e| e != NONE && read.is_read[(e / 3) as usize])
            });
            drawn.then_some(Choice {
                corners: [a, b, c, d],
            })
        })
        .collect()
}

/// Gives the leanings of the floor's vertices as readings of the survey, those of a mark read more than
/// once shared out among its readings.
fn name_leans(floor: &mut Floor, used: &[Used], readings: &[Reading], uses: &[ReadingUse]) {
    let mut copies: HashMap<u32, Vec<u32>> = HashMap::new();
    for (i, u) in uses.iter().enumerate().take(readings.len()) {
        if let ReadingUse::SamePlace { as_reading, .. } = u {
            copies.entry(*as_reading).or_default().push(i as u32);
        }
    }
    let named = |reading: u32, share: f64| {
        let more = copies.get(&reading).map_or(&[][..], Vec::as_slice);
        let each = share / (more.len() + 1) as f64;
        std::iter::once(reading)
            .chain(more.iter().copied())
            .map(move |i| (i, each))
            .collect::<Vec<_>>()
    };
    for list in floor.leans.values_mut() {
        *list = list
            .iter()
            .flat_map(|&(i, share)| named(used[i as usize].reading, share))
            .collect();
    }
    if copies.is_empty() {
        return;
    }
    for (v, vertex) in floor.vertices.iter().enumerate() {
        if let Source::Reading(i) = vertex.source
            && copies.contains_key(&i)
        {
            floor.leans.insert(v as u32, named(i, 1.0));
        }
    }
}

/// Delaunay triangulation of the used readings, in a frame that takes the lines as well.
fn mesh_of(points: &[Point], lines: &Lines) -> Result<Mesh, FloorError> {
    let all = points.iter().chain(&lines.nodes).copied();
    let (lo, hi) = bounds(all).unwrap_or_default();
    let margin = Point::new(1.0, 1.0) * (0.01 * (hi - lo).norm()).max(0.1);
    Ok(Mesh::new(points, lo - margin, hi + margin)?)
}

/// Puts the points of all chains into the mesh and fixes the edges between them.
fn fix_lines(
    mesh: &mut Mesh,
    lines: &Lines,
    chains: &[Chain],
    used: &[Used],
) -> Result<(), FloorError> {
    let mut node_vertices = vec![NONE; lines.nodes.len()];
    // A reading snapped to a node has its very coordinates, so the mesh answers with that reading.
    for piece in &lines.pieces {
        for n in [piece.a, piece.b].map(|n| n as usize) {
            if node_vertices[n] == NONE {
                // What lies within a millimetre of a line between readings lies on it: the end of a joint a hair beside it would else
                // take the triangle that it stands in, and rounding of its place decide whether the corner of a wall parts two of them.
                node_vertices[n] = mesh.insert_near(lines.nodes[n], SAME_LINE_M)?;
            }
        }
    }
    let mut ids: Vec<Vec<u32>> = Vec::with_capacity(chains.len());
    for chain in chains {
        let piece = lines.pieces[chain.piece as usize];
        let last = chain.stops.len() - 1;
        let mut row = Vec::with_capacity(chain.stops.len());
        for (k, stop) in chain.stops.iter().enumerate() {
            row.push(match (k, stop.used) {
                (0, _) => node_vertices[piece.a as usize],
                (k, _) if k == last => node_vertices[piece.b as usize],
                (_, Some(u)) => {
                    debug_assert_eq!(used[u as usize].at, stop.at);
                    u + Mesh::FRAME
                }
                _ => mesh.insert_near(stop.at, SAME_LINE_M)?,
            });
        }
        ids.push(row);
    }
    for (chain, row) in chains.iter().zip(&ids) {
        let mark = lines.pieces[chain.piece as usize].mark;
        for w in row.windows(2) {
            mesh.fix(w[0], w[1], mark)?;
        }
    }
    Ok(())
}

/// At least three points, not all within a millimetre of one line.
pub(super) fn check_spread(points: &[Point], unused: usize) -> Result<(), FloorError> {
    let hull = convex_hull(points, 0.0);
    if points.len() < 3 || hull.len() < 2 {
        return Err(FloorError::TooFewReadings {
            found: hull.len().min(points.len()),
            unused,
        });
    }
    let width_m = width(&hull);
    if width_m <= crate::geometry::SAME_LINE_M {
        return Err(FloorError::InOneLine {
            found: points.len(),
            width_m,
        });
    }
    Ok(())
}

/// Least width of a convex polygon, metres: for the side that it is least across, the farthest corner.
///
/// Every corner is looked at from every side. Calipers that only move on while the distance grows stop at
/// corners that stand in line with the next to rounding.
fn width(hull: &[Point]) -> f64 {
    let n = hull.len();
    if n < 3 {
        return 0.0;
    }
    (0..n)
        .map(|i| {
            let (a, b) = (hull[i], hull[(i + 1) % n]);
            let along = (b - a) * (1.0 / (b - a).norm());
            hull.iter().map(|&p| along.cross(p - a)).fold(0.0, f64::max)
        })
        .fold(f64::INFINITY, f64::min)
}
