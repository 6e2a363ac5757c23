//! The floor: triangles with heights, cut to the room.

use crate::geometry::{BoxGrid, Point, Region, Segment};
use std::collections::HashMap;
use std::sync::OnceLock;

/// Where a vertex's height comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// The reading of this index in the survey.
    Reading(u32),
    /// A corner of a wall or void within a triangle of readings, at that triangle's height.
    Between,
    /// Carried out from nearby readings on their local plane, to a wall or a joint.
    Extended,
}

/// A corner of the mesh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vertex {
    /// Plan position, metres.
    pub at: Point,
    /// Elevation, metres.
    pub z: f64,
    /// Where `z` comes from.
    pub source: Source,
}

/// How well a triangle is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cover {
    /// Between readings.
    Surveyed,
    /// Carried out from the readings nearby.
    Extended,
}

/// What lies across a triangle's edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Across {
    /// Another triangle; the floor runs on without a break.
    Floor(u32),
    /// Another triangle beyond a joint: heights may jump.
    Joint(u32),
    /// A piece of the room that carries no height ([`Floor::blanks`]).
    Blank(u32),
    /// A wall or a void.
    Edge,
}

impl Across {
    /// Whether no floor with heights lies beyond.
    pub const fn ends_floor(self) -> bool {
        matches!(self, Self::Blank(_) | Self::Edge)
    }
}

/// A piece of the room that no reading is near enough to speak for: a straight edge may pass over it, and
/// nothing is known of the floor there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blank {
    /// Its corners, counter-clockwise: vertices of the floor, or, from the number of those on, places of
    /// [`Floor::blank_places`].
    pub corners: [u32; 3],
    /// What lies across edge `i`, which runs from corner `i` to corner `(i + 1) % 3`.
    pub across: [Beyond; 3],
    /// Whether edge `i` is part of a joint.
    pub joint: [bool; 3],
}

impl Blank {
    /// Whether the floor triangle `t` lies beyond a joint.
    pub fn is_over_joint(&self, t: u32) -> bool {
        (0..3).any(|e| self.joint[e] && self.across[e] == Beyond::Floor(t))
    }
}

/// What lies across an edge of a blank piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beyond {
    /// This triangle of the floor.
    Floor(u32),
    /// Another blank piece.
    Blank(u32),
    /// A wall or a void.
    Edge,
}

/// Four corners on one circle (a square of the grid) whose two diagonals give two surfaces.
///
/// The floor folds along corners 0 and 2, the lower of the two surfaces; folding along 1 and 3 would
/// lie higher. In a polygon of more than four such corners the squares are steps on the way from the
/// lower surface to the upper one, so what they add may be summed over all of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ambiguous {
    /// Vertices, counter-clockwise.
    pub corners: [u32; 4],
}

/// Plan areas that add up: surveyed, extended and not surveyed make the region.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Areas {
    /// Outline less voids, square metres.
    pub region_m2: f64,
    /// Floor between readings, square metres.
    pub surveyed_m2: f64,
    /// Floor carried out to a wall or joint, square metres.
    pub extended_m2: f64,
    /// Floor that no reading is near enough to speak for, square metres.
    pub unsurveyed_m2: f64,
}

/// A piecewise-linear floor. Triangles are counter-clockwise; edge `i` of a triangle runs from its
/// corner `i` to its corner `(i + 1) % 3`.
#[derive(Debug, Clone)]
pub struct Floor {
    pub(super) vertices: Vec<Vertex>,
    pub(super) triangles: Vec<[u32; 3]>,
    pub(super) covers: Vec<Cover>,
    pub(super) across: Vec<[Across; 3]>,
    /// Outline and voids as given (or the readings' own hull).
    pub(super) region: Region,
    /// Parts of the region without heights: far from any reading.
    pub(super) blanks: Vec<Blank>,
    /// Places of blank corners that are no vertex of the floor.
    pub(super) blank_places: Vec<Point>,
    /// For each vertex the readings that its height leans on, with their shares, where that is not one
    /// reading alone; by vertex.
    pub(super) leans: HashMap<u32, Vec<(u32, f64)>>,
    /// For vertices that were carried out, by how much the floor may well stand off them, metres.
    pub(super) bends: HashMap<u32, f64>,
    /// For surveyed triangles that walls and voids cut out of a triangle of readings: those readings, by their index in
    /// the survey, and where they stand.
    pub(super) cut_from: HashMap<u32, [(u32, Point); 3]>,
    /// Typical distance between neighbouring readings, metres.
    pub(super) spacing: f64,
    /// The same at each vertex.
    pub(super) spacings: Vec<f64>,
    pub(super) ambiguous: Vec<Ambiguous>,
    /// Triangles by place, made when first asked for.
    pub(super) index: OnceLock<BoxGrid>,
}

impl Floor {
    /// Corners of the mesh. A joint has one vertex for each of its sides.
    pub fn vertices(&self) -> &[Vertex] {
        &self.vertices
    }

    /// Triangles, three vertex indices each, counter-clockwise.
    pub fn triangles(&self) -> &[[u32; 3]] {
        &self.triangles
    }

    /// How well triangle `t` is known.
    pub fn cover(&self, t: u32) -> Cover {
        self.covers[t as usize]
    }

    /// What lies across edge `edge` of triangle `t`.
    pub fn across(&self, t: u32, edge: usize) -> Across {
        self.across[t as usize][edge]
    }

    /// The three corners of triangle `t`.
    pub fn corners(&self, t: u32) -> [Vertex; 3] {
        self.triangles[t as usize].map(|v| self.vertices[v as usize])
    }

    /// The outline and voids that the floor was cut to.
    pub fn region(&self) -> &Region {
        &self.region
    }

    /// Every straight piece of joint, once or twice.
    pub fn joint_sides(&self) -> impl Iterator<Item = Segment> {
        let of_floor = (0..self.triangles.len() as u32).flat_map(move |t| {
            let c = self.corners(t);
            (0..3)
                .filter(move |&e| matches!(self.across(t, e), Across::Joint(_)))
                .map(move |e| Segment::new(c[e].at, c[(e + 1) % 3].at))
        });
        let of_blanks = self.blanks.iter().flat_map(move |b| {
            let c = b.corners.map(|v| self.place(v));
            (0..3)
                .filter(move |&e| b.joint[e])
                .map(move |e| Segment::new(c[e], c[(e + 1) % 3]))
        });
        of_floor.chain(of_blanks)
    }

    /// Pieces of the region that no reading is near enough to speak for.
    pub fn blanks(&self) -> &[Blank] {
        &self.blanks
    }

    /// Corners of blank pieces that are no vertex of the floor.
    pub fn blank_places(&self) -> &[Point] {
        &self.blank_places
    }

    /// The same pieces by their corners' places.
    pub fn unsurveyed(&self) -> impl ExactSizeIterator<Item = [Point; 3]> + '_ {
        self.blanks.iter().map(|b| b.corners.map(|v| self.place(v)))
    }

    /// Plan position of a vertex, or of a blank corner that is none.
    pub(super) fn place(&self, v: u32) -> Point {
        let v = v as usize;
        self.vertices
            .get(v)
            .map_or_else(|| self.blank_places[v - self.vertices.len()], |v| v.at)
    }

    /// Whether any floor was carried out to where it may be bent.
    pub fn is_bent(&self) -> bool {
        !self.bends.is_empty()
    }

    /// By how much the floor may well stand off the height of a vertex that was carried out, bent as it is nearby,
    /// metres; 0 for floor that was read.
    pub fn bend_m(&self, vertex: u32) -> f64 {
        self.bends.get(&vertex).copied().unwrap_or(0.0)
    }

    /// The readings that the height of a vertex leans on, with their shares: one reading for a mark read
    /// once, several for a mark read again, a triangle's three for a corner between them, those nearby for floor
    /// carried out. The shares add up to 1; indices are those of the survey.
    pub fn leans(&self, vertex: u32) -> Vec<(u32, f64)> {
        if let Some(list) = self.leans.get(&vertex) {
            return list.clone();
        }
        match self.vertices[vertex as usize].source {
            Source::Reading(i) => vec![(i, 1.0)],
            Source::Between | Source::Extended => Vec::new(),
        }
    }

    /// The three readings that a surveyed triangle lies between, by their index in the survey, and where they stand: its
    /// corners, or those of the triangle that walls and voids cut it out of. `None` for other floor.
    pub fn readings_of(&self, t: u32) -> Option<[(u32, Point); 3]> {
        if self.covers[t as usize] != Cover::Surveyed {
            return None;
        }
        if let Some(&readings) = self.cut_from.get(&t) {
            return Some(readings);
        }
        let mut readings = [(0, Point::default()); 3];
        for (own, &v) in readings.iter_mut().zip(&self.triangles[t as usize]) {
            let vertex = self.vertices[v as usize];
            let Source::Reading(i) = vertex.source else {
                return None;
            };
            *own = (i, vertex.at);
        }
        Some(readings)
    }

    /// Typical distance between neighbouring readings, metres.
    pub fn spacing(&self) -> f64 {
        self.spacing
    }

    /// Distance between neighbouring readings near a vertex, metres: that to its third nearest neighbour
    /// among the readings, never taken across a gap; for a wall point that of its nearest readings.
    pub fn spacing_at(&self, vertex: u32) -> f64 {
        self.spacings[vertex as usize]
    }

    /// Squares whose other diagonal gives another surface.
    pub fn ambiguous(&self) -> &[Ambiguous] {
        &self.ambiguous
    }

    /// Plan areas by how well they are known.
    pub fn areas(&self) -> Areas {
        let mut areas = Areas {
            region_m2: self.region.area(),
            surveyed_m2: 0.0,
            extended_m2: 0.0,
            unsurveyed_m2: 0.0,
        };
        for t in 0..self.triangles.len() as u32 {
            match self.cover(t) {
                Cover::Surveyed => areas.surveyed_m2 += self.triangle_area(t),
                Cover::Extended => areas.extended_m2 += self.triangle_area(t),
            }
        }
        for [a, b, c] in self.unsurveyed() {
            areas.unsurveyed_m2 += (b - a).cross(c - a) / 2.0;
        }
        areas
    }

    /// Plan area of triangle `t`, square metres.
    pub fn triangle_area(&self, t: u32) -> f64 {
        let [a, b, c] = self.corners(t);
        (b.at - a.at).cross(c.at - a.at) / 2.0
    }

    /// Slope of triangle `t`: height per metre in x and in y.
    pub fn gradient(&self, t: u32) -> Point {
        let [a, b, c] = self.corners(t);
        let (u, v) = (b.at - a.at, c.at - a.at);
        let det = u.cross(v);
        let (du, dv) = (b.z - a.z, c.z - a.z);
        Point::new((du * v.y - dv * u.y) / det, (dv * u.x - du * v.x) / det)
    }

    /// The same mesh at other heights, one per vertex, metres: the floor after work on it.
    ///
    /// `None` when the count is not that of the vertices or a height is not finite.
    pub fn with_heights(&self, heights_m: &[f64]) -> Option<Floor> {
        if heights_m.len() != self.vertices.len() || heights_m.iter().any(|z| !z.is_finite()) {
            return None;
        }
        let mut floor = self.clone();
        for (vertex, &z) in floor.vertices.iter_mut().zip(heights_m) {
            vertex.z = z;
        }
        Some(floor)
    }

    /// Area that carries heights (surveyed and extended), square metres.
    pub fn area(&self) -> f64 {
        (0..self.triangles.len() as u32)
            .map(|t| self.triangle_area(t))
            .sum()
    }
}
