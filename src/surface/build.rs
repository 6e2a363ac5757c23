//! From readings and room to floor.

use super::diagonals::{Choice, Heights};
use super::extension::Known;
use super::fans::{Corners, corners, inside, median, spacing_at};
use super::floor::{Across, Ambiguous, Cover, Floor, Source, Vertex};
use super::lines::{Lines, WALL};
use super::readings::{Left, ReadingUse, Used, sort_out, tell};
use super::sampling::{Chain, chains};
use super::words::{area, spoken};
use super::{FloorError, RoomFault};
use crate::geometry::{
    Mesh, NONE, Point, PointGrid, Region, RegionFault, RegionIndex, Ring, RingName, bounds,
    convex_hull,
};
use crate::survey::{Joint, NamedRing, Notice, Reading, Severity, Survey};
use crate::units::share_text;
use rayon::prelude::*;

/// A triangle with an edge longer than this many local spacings spans floor that nobody read.
const GAP: f64 = 2.5;

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

/// Least width of a convex polygon, metres.
fn width(hull: &[Point]) -> f64 {
    let n = hull.len();
    if n < 3 {
        return 0.0;
    }
    let mut least = f64::INFINITY;
    let mut far = 1;
    for i in 0..n {
        let (a, b) = (hull[i], hull[(i + 1) % n]);
        let off = |p: Point| (b - a).cross(p - a) / (b - a).norm();
        // The farthest corner only moves on as the side turns; n steps a side at the very most.
        for _ in 0..n {
            if off(hull[(far + 1) % n]) <= off(hull[far % n]) {
                break;
            }
            far += 1;
        }
        least = least.min(off(hull[far % n]));
    }
    least
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

    // Readings first: their own spacing decides how finely the lines are set with points.
    let mut mesh = mesh_of(&points, &lines)?;
    let vertex_of = |used: u32| used + Mesh::FRAME;
    let spacings: Vec<f64> = (0..used.len() as u32)
        .into_par_iter()
        .map(|i| spacing_at(&mesh, vertex_of(i)))
        .collect();
    let spacing = median(&mut spacings.clone()).unwrap_or(0.0);
    let grid = PointGrid::new(points);
    let chains = chains(&lines, &used, &grid, &spacings);
    fix_lines(&mut mesh, &lines, &chains, &used)?;

    let inside = inside(&mesh, &index);
    let Corners {
        list,
        mut of_half_edge,
    } = corners(&mesh, &inside);
    let z: Vec<f64> = used
        .iter()
        .map(|u| readings[u.reading as usize].elevation.m())
        .collect();
    let known = Known {
        lines: &lines,
        used: &used,
        z: &z,
        spacings: &spacings,
        grid: &grid,
    };
    let first_made = Mesh::FRAME + used.len() as u32;
    let vertices: Vec<(Option<f64>, f64, Source)> = list
        .par_iter()
        .map(|c| {
            if c.vertex < first_made {
                let i = (c.vertex - Mesh::FRAME) as usize;
                let source = Source::Reading(used[i].reading);
                return (Some(z[i]), spacings[i], source);
            }
            let carried = c.sector.and_then(|s| known.carry(&s));
            (
                carried.map(|c| c.z),
                carried.map_or(0.0, |c| c.spacing),
                Source::Extended,
            )
        })
        .collect();
    drop(grid);
    let heights: Vec<Option<f64>> = vertices.iter().map(|v| v.0).collect();
    let choices = Heights {
        mesh: &mut mesh,
        inside: &inside,
        corners: &mut of_half_edge,
        z: &heights,
    }
    .settle();
    drop(heights);
    let at: Vec<Point> = list.iter().map(|c| mesh.point(c.vertex)).collect();
    let floor = finish(
        &mesh,
        &inside,
        &of_half_edge,
        &at,
        &vertices,
        choices,
        region.clone(),
        spacing,
    );
    let notices = cover_notices(&floor);
    Ok(Laid {
        floor,
        uses,
        notices,
    })
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

/// Keeps the triangles that carry heights, numbers them anew and links them.
#[allow(clippy::too_many_arguments)]
fn finish(
    mesh: &Mesh,
    inside: &[bool],
    of_half_edge: &[u32],
    at: &[Point],
    vertices: &[(Option<f64>, f64, Source)],
    choices: Vec<Choice>,
    region: Region,
    spacing: f64,
) -> Floor {
    let count = mesh.triangle_count();
    let corner = |h: u32| of_half_edge[h as usize] as usize;
    let is_known = |t: u32| {
        let h = t * 3;
        let c = [h, h + 1, h + 2].map(corner);
        if c.iter().any(|&v| vertices[v].0.is_none()) {
            return false;
        }
        let reach = c.iter().map(|&v| vertices[v].1).fold(0.0, f64::max) * GAP;
        let [a, b, c] = c.map(|v| at[v]);
        a.distance(b).max(b.distance(c)).max(c.distance(a)) <= reach
    };
    let mut triangle_of = vec![NONE; count as usize];
    let mut kept = 0u32;
    let mut unsurveyed = Vec::new();
    for t in 0..count {
        if !inside[t as usize] {
            continue;
        }
        if is_known(t) {
            triangle_of[t as usize] = kept;
            kept += 1;
        } else {
            unsurveyed.push(mesh.triangle(t).map(|v| mesh.point(v)));
        }
    }
    let mut vertex_of = vec![NONE; vertices.len()];
    for t in (0..count).filter(|&t| triangle_of[t as usize] != NONE) {
        for h in t * 3..t * 3 + 3 {
            vertex_of[corner(h)] = 0;
        }
    }
    let mut floor_vertices = Vec::new();
    let mut spacings = Vec::new();
    for (v, &(z, own, source)) in vertices.iter().enumerate() {
        if let (0, Some(z)) = (vertex_of[v], z) {
            vertex_of[v] = floor_vertices.len() as u32;
            floor_vertices.push(Vertex {
                at: at[v],
                z,
                source,
            });
            spacings.push(own);
        }
    }
    let mut triangles = Vec::with_capacity(kept as usize);
    let mut covers = Vec::with_capacity(kept as usize);
    let mut across = Vec::with_capacity(kept as usize);
    for t in (0..count).filter(|&t| triangle_of[t as usize] != NONE) {
        let h = t * 3;
        let edges = [h, h + 1, h + 2];
        let own = edges.map(|h| vertex_of[corner(h)]);
        let read = |v: u32| matches!(floor_vertices[v as usize].source, Source::Reading(_));
        covers.push(if own.iter().all(|&v| read(v)) {
            Cover::Surveyed
        } else {
            Cover::Extended
        });
        across.push(edges.map(|h| {
            let twin = mesh.twin(h);
            if twin == NONE || mesh.mark(h) & WALL != 0 {
                return Across::Edge;
            }
            match triangle_of[(twin / 3) as usize] {
                NONE => Across::Edge,
                other if mesh.mark(h) != 0 => Across::Joint(other),
                other => Across::Floor(other),
            }
        }));
        triangles.push(own);
    }
    let ambiguous = choices
        .into_iter()
        .map(|c| c.corners.map(|v| vertex_of[v as usize]))
        .filter(|c| c.iter().all(|&v| v != NONE))
        .map(|corners| Ambiguous { corners })
        .collect();
    Floor {
        vertices: floor_vertices,
        triangles,
        covers,
        across,
        region,
        unsurveyed,
        spacing,
        spacings,
        ambiguous,
        index: std::sync::OnceLock::new(),
        border: std::sync::OnceLock::new(),
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
