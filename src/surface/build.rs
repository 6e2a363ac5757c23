//! From readings and room to floor.

use super::between::{GAP, ReadFloor, Rows, sort_floor, tie_readings};
use super::diagonals::{Choice, Heights};
use super::extension::{Known, MeanPlane};
use super::fans::{Corners, corners, inside};
use super::floor::{Across, Ambiguous, Beyond, Blank, Cover, Floor, Source, Vertex};
use super::lines::{JOINT, Lines, WALL};
use super::readings::{Left, ReadingUse, Used, sort_out, tell};
use super::sampling::{Chain, chains};
use super::spacing::{median, spacings};
use super::words::{area, spoken};
use super::{FloorError, RoomFault};
use crate::geometry::{
    Mesh, NONE, Point, PointGrid, Region, RegionFault, RegionIndex, Ring, RingName, bounds,
    convex_hull,
};
use crate::survey::{Joint, NamedRing, Notice, Reading, Severity, Survey};
use crate::units::share_text;
use rayon::prelude::*;
use std::collections::HashMap;

/// The floor with everything that was noticed while it was built.
#[derive(Debug, Clone)]
pub struct Built {
    /// The floor to judge and fill.
    pub floor: Floor,
    /// What became of each reading of the survey, in its order.
    pub readings: Vec<ReadingUse>,
    /// Areas that keep their slope and hold enough readings for a floor of their own.
    pub slopes: Vec<SlopeFloor>,
    /// What is worth telling.
    pub notices: Vec<Notice>,
}

/// An area that keeps its slope, as a floor of its own.
#[derive(Debug, Clone)]
pub struct SlopeFloor {
    /// Index in `Room::slopes`.
    pub slope: u32,
    /// Its name on drawings.
    pub name: String,
    /// Its floor, from the readings inside it.
    pub floor: Floor,
}

impl Floor {
    /// The floor of a survey: triangles over the readings, cut to the room and carried to its walls.
    ///
    /// # Units, datum, sign
    /// Metres; elevations up positive from the survey datum.
    /// # Method
    /// docs/methods.md, "The floor as a surface". The result does not depend on the order of the readings.
    /// # Edge cases
    /// Without a room the convex hull of the readings stands in for the outline, with a notice. Floor
    /// farther than one spacing from any reading carries no height and is listed as not surveyed.
    /// # Errors
    /// Fewer than three usable readings, all in one line, a number that is not finite, a faulty room
    /// (every fault listed).
    pub fn build(survey: &Survey) -> Result<Built, FloorError> {
        let readings = &survey.readings;
        for r in readings {
            let (x, y, z) = (r.at.x, r.at.y, r.elevation.m());
            if !(x.is_finite() && y.is_finite() && z.is_finite()) {
                return Err(FloorError::NotFinite {
                    label: r.label.to_string(),
                    place: r.raw.place.to_string(),
                    x,
                    y,
                    z,
                });
            }
        }
        let Some(room) = &survey.room else {
            return build_on_hull(survey);
        };
        let region = sound_region(&room.outline, &room.voids, &room.slopes)?;
        let joints = sound_joints(&room.joints)?;
        let left = Left {
            region: &region,
            voids: &room.voids,
            slopes: &room.slopes,
        };
        let laid = lay(readings, &left, &joints)?;
        let mut notices = tell(readings, &laid.uses, &left, survey.resolution_m);
        notices.extend(laid.notices);
        let mut slopes = Vec::new();
        for (k, slope) in room.slopes.iter().enumerate() {
            match slope_floor(readings, slope, &room.voids, &joints) {
                Ok(floor) => slopes.push(SlopeFloor {
                    slope: k as u32,
                    name: slope.name.clone(),
                    floor,
                }),
                Err(error) => notices.push(Notice::new(
                    "slope-not-surveyed",
                    Severity::Note,
                    "",
                    format!("{} has no floor of its own: {error}", slope.name),
                )),
            }
        }
        Ok(Built {
            floor: laid.floor,
            readings: laid.uses,
            slopes,
            notices,
        })
    }
}

fn build_on_hull(survey: &Survey) -> Result<Built, FloorError> {
    let readings = &survey.readings;
    let points: Vec<Point> = readings.iter().map(|r| r.at).collect();
    check_spread(&points, 0)?;
    let region = Region {
        outline: Ring::new(convex_hull(&points, 1e-4)),
        voids: vec![],
    };
    drop(points);
    let left = Left {
        region: &region,
        voids: &[],
        slopes: &[],
    };
    let laid = lay(readings, &left, &[])?;
    let mut notices = tell(readings, &laid.uses, &left, survey.resolution_m);
    notices.push(Notice::new(
        "outline-not-given",
        Severity::Warning,
        "",
        "No outline was given: the floor ends at the outermost readings, so the strip along the walls and any \
         notch or column are not known to it. Give the outline for true areas and quantities.",
    ));
    notices.extend(laid.notices);
    Ok(Built {
        floor: laid.floor,
        readings: laid.uses,
        slopes: vec![],
        notices,
    })
}

fn slope_floor(
    readings: &[Reading],
    slope: &NamedRing,
    voids: &[NamedRing],
    joints: &[Joint],
) -> Result<Floor, FloorError> {
    let own: Vec<NamedRing> = voids
        .iter()
        .filter(|v| slope.ring.contains(centre(&v.ring)))
        .cloned()
        .collect();
    let region = sound_region(&slope.ring, &own, &[])?;
    let left = Left {
        region: &region,
        voids: &own,
        slopes: &[],
    };
    // Readings on its edge belong to the floor around it, which may stand higher.
    let mut inner: Vec<Reading> = Vec::new();
    let mut indices: Vec<u32> = Vec::new();
    for (i, r) in readings.iter().enumerate() {
        let edge = slope
            .ring
            .sides()
            .map(|(a, b)| crate::geometry::Segment::new(a, b).distance(r.at))
            .fold(f64::INFINITY, f64::min);
        if slope.ring.contains(r.at) && edge > crate::geometry::SAME_LINE_M {
            inner.push(r.clone());
            indices.push(i as u32);
        }
    }
    let mut floor = lay(&inner, &left, joints)?.floor;
    for v in &mut floor.vertices {
        if let Source::Reading(i) = &mut v.source {
            *i = indices[*i as usize];
        }
    }
    for lean in floor.leans.values_mut().flatten() {
        lean.0 = indices[lean.0 as usize];
    }
    Ok(floor)
}

fn centre(ring: &Ring) -> Point {
    crate::geometry::inner_point(ring).unwrap_or_default()
}

/// The region of a room, or every fault in it by the names on the drawing.
fn sound_region(
    outline: &Ring,
    voids: &[NamedRing],
    slopes: &[NamedRing],
) -> Result<Region, FloorError> {
    let region = Region {
        outline: outline.clone(),
        voids: voids.iter().chain(slopes).map(|v| v.ring.clone()).collect(),
    };
    let faults = region.faults();
    if faults.is_empty() {
        return Ok(region.without_nested_voids());
    }
    let name_of = |v: usize| {
        voids
            .iter()
            .chain(slopes)
            .nth(v)
            .map_or_else(|| "outline".to_owned(), |n| n.name.clone())
    };
    let faults = faults
        .into_iter()
        .map(|fault| RoomFault {
            name: match &fault {
                RegionFault::Ring {
                    ring: RingName::Void(v),
                    ..
                } => name_of(*v),
                RegionFault::VoidOutside { void } | RegionFault::VoidSticksOut { void, .. } => {
                    name_of(*void)
                }
                RegionFault::VoidsOverlap { first, second, .. } => {
                    format!("{} and {}", name_of(*first), name_of(*second))
                }
                _ => "outline".to_owned(),
            },
            fault,
        })
        .collect();
    Err(FloorError::Room { faults })
}

fn sound_joints(joints: &[Joint]) -> Result<Vec<Joint>, FloorError> {
    let mut faults = Vec::new();
    for j in joints {
        for (i, p) in j.line.iter().enumerate() {
            if !(p.x.is_finite() && p.y.is_finite()) {
                faults.push(RoomFault {
                    name: j.name.clone(),
                    fault: RegionFault::Ring {
                        ring: RingName::Outline,
                        fault: crate::geometry::RingFault::NotFinite { corner: i + 1 },
                    },
                });
            }
        }
    }
    if faults.is_empty() {
        Ok(joints.to_vec())
    } else {
        Err(FloorError::Room { faults })
    }
}

/// At least three points, not all within a millimetre of one line.
fn check_spread(points: &[Point], unused: usize) -> Result<(), FloorError> {
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

struct Laid {
    floor: Floor,
    uses: Vec<ReadingUse>,
    notices: Vec<Notice>,
}

/// A floor in one region.
fn lay(readings: &[Reading], left: &Left, joints: &[Joint]) -> Result<Laid, FloorError> {
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
    let spacings = spacings(&mesh, used.len() as u32);
    let spacing = median(&mut spacings.clone()).unwrap_or(0.0);
    let z: Vec<f64> = used.iter().map(|u| u.z).collect();
    let folds = tie_readings(&mut mesh, &z);
    let plane = MeanPlane::through(&points, &z);
    let grid = PointGrid::new(points);
    let chains = chains(&lines, &used, &grid, &spacings);
    fix_lines(&mut mesh, &lines, &chains, &used)?;

    let inside = inside(&mesh, &index);
    let rows = Rows {
        grid: &grid,
        spacings: &spacings,
    };
    let read = sort_floor(&mut mesh, &inside, &rows);
    let Corners {
        list,
        mut of_half_edge,
    } = corners(&mesh, &inside);
    let between = heights_between(&mesh, &read, &used, &of_half_edge);
    let known = Known {
        lines: &lines,
        used: &used,
        z: &z,
        spacings: &spacings,
        grid: &grid,
        plane,
    };
    let first_made = Mesh::FRAME + used.len() as u32;
    let corners: Vec<Height> = list
        .par_iter()
        .enumerate()
        .map(|(i, c)| {
            if c.vertex < first_made {
                let i = (c.vertex - Mesh::FRAME) as usize;
                return Height {
                    z: Some(z[i]),
                    spacing: spacings[i],
                    source: Source::Reading(used[i].reading),
                    leans: Vec::new(),
                };
            }
            if let Some(own) = between.get(&(i as u32)) {
                return own.clone();
            }
            let carried = c.sector.and_then(|s| known.carry(&s));
            Height {
                z: carried.as_ref().map(|c| c.z),
                spacing: carried.as_ref().map_or(0.0, |c| c.spacing),
                source: Source::Extended,
                leans: carried.map_or_else(Vec::new, |c| c.leans),
            }
        })
        .collect();
    drop(between);
    let heights: Vec<Option<f64>> = corners.iter().map(|c| c.z).collect();
    let mut choices = folds_on_floor(&mesh, &read, &of_half_edge, &folds);
    choices.extend(
        Heights {
            mesh: &mut mesh,
            inside: &inside,
            corners: &mut of_half_edge,
            z: &heights,
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
    }
    .floor(choices, region.clone(), spacing);
    name_leans(&mut floor, &used, readings, &uses);
    let notices = cover_notices(&floor);
    Ok(Laid {
        floor,
        uses,
        notices,
    })
}

/// One floor vertex's height and where it comes from.
#[derive(Debug, Clone)]
struct Height {
    z: Option<f64>,
    spacing: f64,
    source: Source,
    /// Indices of used readings with their shares.
    leans: Vec<(u32, f64)>,
}

/// Heights of the corners that walls and voids have within triangles of readings, by floor vertex.
fn heights_between(
    mesh: &Mesh,
    read: &ReadFloor,
    used: &[Used],
    of_half_edge: &[u32],
) -> HashMap<u32, Height> {
    let mut found: HashMap<u32, Height> = HashMap::new();
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
            found.entry(of_half_edge[h as usize]).or_insert_with(|| {
                let shares = shares(plane.map(|p| p.0), mesh.point(v));
                let low = plane[0].1;
                Height {
                    z: Some(low + (0..3).map(|k| shares[k] * (plane[k].1 - low)).sum::<f64>()),
                    spacing: 0.0,
                    source: Source::Between,
                    leans: (0..3).map(|k| (readings[k], shares[k])).collect(),
                }
            });
        }
    }
    found
}

/// Shares of a triangle's corners in a place within it.
fn shares(at: [Point; 3], p: Point) -> [f64; 3] {
    let (u, v, w) = (at[1] - at[0], at[2] - at[0], p - at[0]);
    let det = u.cross(v);
    let (b, c) = (w.cross(v) / det, u.cross(w) / det);
    [1.0 - b - c, b, c]
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
        for n in [piece.a, piece.b] {
            if node_vertices[n as usize] == NONE {
                node_vertices[n as usize] = mesh.insert(lines.nodes[n as usize])?;
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
                _ => mesh.insert(stop.at)?,
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

/// The finished mesh with its floor vertices, ready to be numbered anew.
struct Numbering<'a> {
    mesh: &'a Mesh,
    inside: &'a [bool],
    is_read: &'a [bool],
    /// Floor vertex that each half-edge leaves.
    of_half_edge: &'a [u32],
    at: &'a [Point],
    corners: &'a [Height],
}

impl Numbering<'_> {
    fn corner(&self, h: u32) -> usize {
        self.of_half_edge[h as usize] as usize
    }

    /// Whether a triangle carries heights: read floor, or floor near enough to the readings it is carried
    /// out from.
    fn is_known(&self, t: u32) -> bool {
        if self.is_read[t as usize] {
            return true;
        }
        let c = [t * 3, t * 3 + 1, t * 3 + 2].map(|h| self.corner(h));
        if c.iter().any(|&v| self.corners[v].z.is_none()) {
            return false;
        }
        let reach = c
            .iter()
            .map(|&v| self.corners[v].spacing)
            .fold(0.0, f64::max)
            * GAP;
        let [a, b, c] = c.map(|v| self.at[v]);
        a.distance(b).max(b.distance(c)).max(c.distance(a)) <= reach
    }

    /// Marks one floor vertex of every reading that no triangle with heights meets: it was read all the same.
    fn keep_bare_readings(&self, vertex_of: &mut [u32]) {
        let mut met: Vec<u32> = Vec::new();
        for (v, own) in self.corners.iter().enumerate() {
            if let Source::Reading(i) = own.source {
                let i = i as usize;
                if met.len() <= i {
                    met.resize(i + 1, NONE);
                }
                if met[i] == NONE || vertex_of[v] != NONE {
                    met[i] = v as u32;
                }
            }
        }
        for v in met.into_iter().filter(|&v| v != NONE) {
            vertex_of[v as usize] = 0;
        }
    }

    /// Keeps the triangles that carry heights, numbers them anew and links them; the rest of the room becomes
    /// blank pieces, linked too.
    fn floor(&self, choices: Vec<Choice>, region: Region, spacing: f64) -> Floor {
        let mesh = self.mesh;
        let count = mesh.triangle_count();
        let mut number = vec![NONE; count as usize];
        let (mut kept, mut blank): (Vec<u32>, Vec<u32>) = (Vec::new(), Vec::new());
        for t in (0..count).filter(|&t| self.inside[t as usize]) {
            let list = if self.is_known(t) {
                &mut kept
            } else {
                &mut blank
            };
            number[t as usize] = list.len() as u32;
            list.push(t);
        }
        let mut is_kept = vec![false; count as usize];
        for &t in &kept {
            is_kept[t as usize] = true;
        }
        let mut vertex_of = vec![NONE; self.corners.len()];
        for h in kept.iter().flat_map(|&t| t * 3..t * 3 + 3) {
            vertex_of[self.corner(h)] = 0;
        }
        self.keep_bare_readings(&mut vertex_of);
        let (mut vertices, mut spacings, mut leans) = (Vec::new(), Vec::new(), HashMap::new());
        for (v, own) in self.corners.iter().enumerate() {
            if let (0, Some(z)) = (vertex_of[v], own.z) {
                let named = vertices.len() as u32;
                vertex_of[v] = named;
                vertices.push(Vertex {
                    at: self.at[v],
                    z,
                    source: own.source,
                });
                spacings.push(own.spacing);
                if !own.leans.is_empty() {
                    leans.insert(named, own.leans.clone());
                }
            }
        }
        let (mut triangles, mut covers, mut across) = (
            Vec::with_capacity(kept.len()),
            Vec::with_capacity(kept.len()),
            Vec::with_capacity(kept.len()),
        );
        for &t in &kept {
            let edges = [t * 3, t * 3 + 1, t * 3 + 2];
            triangles.push(edges.map(|h| vertex_of[self.corner(h)]));
            covers.push(if self.is_read[t as usize] {
                Cover::Surveyed
            } else {
                Cover::Extended
            });
            across.push(edges.map(|h| match self.beyond(h) {
                None => Across::Edge,
                Some(other) if !is_kept[other as usize] => Across::Blank(number[other as usize]),
                Some(other) if mesh.mark(h) & JOINT != 0 => Across::Joint(number[other as usize]),
                Some(other) => Across::Floor(number[other as usize]),
            }));
        }
        let mut blank_places = Vec::new();
        let blanks = blank
            .iter()
            .map(|&t| {
                let edges = [t * 3, t * 3 + 1, t * 3 + 2];
                Blank {
                    corners: edges.map(|h| {
                        let v = self.corner(h);
                        if vertex_of[v] == NONE {
                            vertex_of[v] = (vertices.len() + blank_places.len()) as u32;
                            blank_places.push(self.at[v]);
                        }
                        vertex_of[v]
                    }),
                    across: edges.map(|h| match self.beyond(h) {
                        None => Beyond::Edge,
                        Some(o) if is_kept[o as usize] => Beyond::Floor(number[o as usize]),
                        Some(o) => Beyond::Blank(number[o as usize]),
                    }),
                }
            })
            .collect();
        let ambiguous = choices
            .into_iter()
            .map(|c| c.corners.map(|v| vertex_of[v as usize]))
            .filter(|c| c.iter().all(|&v| (v as usize) < vertices.len()))
            .map(|corners| Ambiguous { corners })
            .collect();
        Floor {
            vertices,
            triangles,
            covers,
            across,
            region,
            blanks,
            blank_places,
            leans,
            spacing,
            spacings,
            ambiguous,
            index: std::sync::OnceLock::new(),
            border: std::sync::OnceLock::new(),
        }
    }

    /// The triangle of the room beyond a half-edge; `None` at a wall.
    fn beyond(&self, h: u32) -> Option<u32> {
        let twin = self.mesh.twin(h);
        let room =
            twin != NONE && self.mesh.mark(h) & WALL == 0 && self.inside[(twin / 3) as usize];
        room.then_some(twin / 3)
    }
}

fn cover_notices(floor: &Floor) -> Vec<Notice> {
    let mut notices = Vec::new();
    let areas = floor.areas();
    let share = |a: f64| share_text(a / areas.region_m2.max(f64::MIN_POSITIVE));
    if areas.unsurveyed_m2 > 1e-4 * areas.region_m2 {
        notices.push(Notice::new(
            "not-surveyed",
            Severity::Warning,
            "",
            format!(
                "{}, {} of the floor, is too far from any reading and is in no total. Readings stand about {} apart; read the rest of the floor at that spacing.",
                area(areas.unsurveyed_m2),
                share(areas.unsurveyed_m2),
                spoken(floor.spacing)
            ),
        ));
    }
    if areas.extended_m2 > 1e-4 * areas.region_m2 {
        notices.push(Notice::new(
            "extended",
            Severity::Note,
            "",
            format!(
                "{}, {} of the floor, between the outermost readings and the walls or joints, is carried out from the readings nearby.",
                area(areas.extended_m2),
                share(areas.extended_m2)
            ),
        ));
    }
    notices
}
