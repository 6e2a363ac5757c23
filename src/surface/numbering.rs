//! From the finished mesh to the floor's own vertices, triangles and blank pieces.

use super::diagonals::Choice;
use super::farthest::{FARTHEST, Sight};
use super::floor::{Across, Ambiguous, Beyond, Blank, Cover, Floor, Source, Vertex};
use super::lines::{JOINT, WALL};
use super::readings::Used;
use super::spacing::GAP;
use crate::geometry::{Mesh, NONE, Point, Region};
use std::collections::HashMap;

/// One floor vertex's height and where it comes from.
#[derive(Debug, Clone)]
pub(super) struct Height {
    pub(super) z: Option<f64>,
    pub(super) spacing: f64,
    /// By what the closest readings round those that it comes from tell, metres; 0 without a height.
    pub(super) close: f64,
    pub(super) source: Source,
    /// Indices of used readings with their shares.
    pub(super) leans: Vec<(u32, f64)>,
    /// By how much carried-out floor may well stand off.
    pub(super) bend_m: f64,
}

/// The finished mesh with its floor vertices, ready to be numbered anew.
pub(super) struct Numbering<'a> {
    pub(super) mesh: &'a Mesh,
    pub(super) inside: &'a [bool],
    pub(super) is_read: &'a [bool],
    /// Floor vertex that each half-edge leaves.
    pub(super) of_half_edge: &'a [u32],
    pub(super) at: &'a [Point],
    pub(super) corners: &'a [Height],
    /// For triangles that walls and voids cut out of a triangle of readings: those readings, as numbers of `used`.
    pub(super) cut_from: &'a HashMap<u32, [u32; 3]>,
    pub(super) used: &'a [Used],
    pub(super) sight: Sight<'a>,
}

/// The triangles of the room.
struct Parted {
    /// Those that carry heights, as the mesh numbers them.
    kept: Vec<u32>,
    /// The rest.
    blank: Vec<u32>,
    /// New number of each triangle of the mesh, among its like; [`NONE`] outside the room.
    number: Vec<u32>,
    is_kept: Vec<bool>,
}

/// The floor's own vertices.
struct Named {
    /// New number of each corner; [`NONE`] for one that no kept triangle has.
    vertex_of: Vec<u32>,
    vertices: Vec<Vertex>,
    spacings: Vec<f64>,
    /// Readings with their shares, by vertex.
    leans: HashMap<u32, Vec<(u32, f64)>>,
    /// By how much carried-out floor may well stand off, by vertex.
    bends: HashMap<u32, f64>,
}

impl Numbering<'_> {
    fn corner(&self, h: u32) -> usize {
        self.of_half_edge[h as usize] as usize
    }

    /// Whether a triangle carries heights: read floor, or floor near enough to the readings it is carried
    /// out from. Three corners with heights are not enough: round the corner of a wall they may stand about a hole.
    fn is_known(&self, t: u32) -> bool {
        if self.is_read[t as usize] {
            return true;
        }
        let c = [t * 3, t * 3 + 1, t * 3 + 2].map(|h| self.corner(h));
        if c.iter().any(|&v| self.corners[v].z.is_none()) {
            return false;
        }
        let widest = |of: fn(&Height) -> f64| {
            let all = c.iter().map(|&v| of(&self.corners[v]));
            all.fold(0.0, f64::max)
        };
        let [p, q, r] = c.map(|v| self.at[v]);
        if p.distance(q).max(q.distance(r)).max(r.distance(p)) > GAP * widest(|c| c.spacing) {
            return false;
        }
        let readings: Vec<Point> = c
            .iter()
            .filter(|&&v| matches!(self.corners[v].source, Source::Reading(_)))
            .map(|&v| self.at[v])
            .collect();
        self.sight
            .is_within([p, q, r], &readings, FARTHEST * widest(|c| c.close))
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
    pub(super) fn floor(&self, choices: Vec<Choice>, region: Region, spacing: f64) -> Floor {
        let parted = self.parted();
        let kept = &parted.kept;
        let Named {
            mut vertex_of,
            vertices,
            spacings,
            leans,
            bends,
        } = self.named(kept);
        let (mut triangles, mut covers, mut across) = (
            Vec::with_capacity(kept.len()),
            Vec::with_capacity(kept.len()),
            Vec::with_capacity(kept.len()),
        );
        for &t in kept {
            let edges = [t * 3, t * 3 + 1, t * 3 + 2];
            triangles.push(edges.map(|h| vertex_of[self.corner(h)]));
            covers.push(if self.is_read[t as usize] {
                Cover::Surveyed
            } else {
                Cover::Extended
            });
            across.push(edges.map(|h| self.across(h, &parted)));
        }
        let (blanks, blank_places) = self.blanks(&parted, &mut vertex_of, vertices.len());
        let cut_from = self
            .cut_from
            .iter()
            .filter(|(t, _)| parted.is_kept[**t as usize])
            .map(|(&t, readings)| {
                let of = readings.map(|i| &self.used[i as usize]);
                (parted.number[t as usize], of.map(|u| (u.reading, u.at)))
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
            bends,
            cut_from,
            spacing,
            spacings,
            ambiguous,
            index: std::sync::OnceLock::new(),
        }
    }

    /// The triangles of the room, parted by whether they carry heights.
    fn parted(&self) -> Parted {
        let count = self.mesh.triangle_count();
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
        Parted {
            kept,
            blank,
            number,
            is_kept,
        }
    }

    /// The vertices of the triangles that are kept, numbered anew.
    fn named(&self, kept: &[u32]) -> Named {
        let mut named = Named {
            vertex_of: vec![NONE; self.corners.len()],
            vertices: Vec::new(),
            spacings: Vec::new(),
            leans: HashMap::new(),
            bends: HashMap::new(),
        };
        for h in kept.iter().flat_map(|&t| t * 3..t * 3 + 3) {
            named.vertex_of[self.corner(h)] = 0;
        }
        self.keep_bare_readings(&mut named.vertex_of);
        for (v, own) in self.corners.iter().enumerate() {
            if let (0, Some(z)) = (named.vertex_of[v], own.z) {
                let number = named.vertices.len() as u32;
                named.vertex_of[v] = number;
                named.vertices.push(Vertex {
                    at: self.at[v],
                    z,
                    source: own.source,
                });
                named.spacings.push(own.spacing);
                if own.bend_m > 0.0 {
                    named.bends.insert(number, own.bend_m);
                }
                if !own.leans.is_empty() {
                    named.leans.insert(number, own.leans.clone());
                }
            }
        }
        named
    }

    /// What lies across a half-edge of a triangle that is kept.
    fn across(&self, h: u32, parted: &Parted) -> Across {
        let Some(other) = self.beyond(h) else {
            return Across::Edge;
        };
        let number = parted.number[other as usize];
        if !parted.is_kept[other as usize] {
            Across::Blank(number)
        } else if self.mesh.mark(h) & JOINT != 0 {
            Across::Joint(number)
        } else {
            Across::Floor(number)
        }
    }

    /// The triangles without heights, and the places of corners that only they have; those are numbered on from
    /// the `count` vertices of the floor.
    fn blanks(
        &self,
        parted: &Parted,
        vertex_of: &mut [u32],
        count: usize,
    ) -> (Vec<Blank>, Vec<Point>) {
        let mut places = Vec::new();
        let blanks = parted
            .blank
            .iter()
            .map(|&t| {
                let edges = [t * 3, t * 3 + 1, t * 3 + 2];
                Blank {
                    corners: edges.map(|h| {
                        let v = self.corner(h);
                        if vertex_of[v] == NONE {
                            vertex_of[v] = (count + places.len()) as u32;
                            places.push(self.at[v]);
                        }
                        vertex_of[v]
                    }),
                    across: edges.map(|h| match self.beyond(h) {
                        None => Beyond::Edge,
                        Some(o) => {
                            let number = parted.number[o as usize];
                            if parted.is_kept[o as usize] {
                                Beyond::Floor(number)
                            } else {
                                Beyond::Blank(number)
                            }
                        }
                    }),
                    joint: edges.map(|h| self.mesh.mark(h) & JOINT != 0),
                }
            })
            .collect();
        (blanks, places)
    }

    /// The triangle of the room beyond a half-edge; `None` at a wall.
    fn beyond(&self, h: u32) -> Option<u32> {
        let twin = self.mesh.twin(h);
        let room =
            twin != NONE && self.mesh.mark(h) & WALL == 0 && self.inside[(twin / 3) as usize];
        room.then_some(twin / 3)
    }
}
