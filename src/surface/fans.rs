//! From mesh to floor: which triangles are floor, and one floor vertex for each side of a line.

use super::extension::Sector;
use super::lines::{JOINT, WALL};
use crate::geometry::{Mesh, NONE, RegionIndex, next, prev};

/// Which triangles of the mesh lie on the floor: inside the walls, outside the voids.
///
/// Triangles are gathered into pieces bounded by walls; the widest triangle of a piece decides for all
/// of it, so that slivers along a wall are never judged by themselves.
pub(super) fn inside(mesh: &Mesh, index: &RegionIndex) -> Vec<bool> {
    let count = mesh.triangle_count();
    let mut inside = vec![false; count as usize];
    let mut seen = vec![false; count as usize];
    let mut stack = Vec::new();
    let mut piece = Vec::new();
    for start in 0..count {
        if seen[start as usize] {
            continue;
        }
        seen[start as usize] = true;
        stack.push(start);
        piece.clear();
        let mut framed = false;
        let mut widest = (0.0, start);
        while let Some(t) = stack.pop() {
            piece.push(t);
            if mesh.on_frame(t) {
                framed = true;
            } else {
                let [a, b, c] = mesh.triangle(t).map(|v| mesh.point(v));
                let area = (b - a).cross(c - a);
                if area > widest.0 {
                    widest = (area, t);
                }
            }
            for h in t * 3..t * 3 + 3 {
                let twin = mesh.twin(h);
                if twin != NONE && mesh.mark(h) & WALL == 0 && !seen[(twin / 3) as usize] {
                    seen[(twin / 3) as usize] = true;
                    stack.push(twin / 3);
                }
            }
        }
        if !framed {
            let [a, b, c] = mesh.triangle(widest.1).map(|v| mesh.point(v));
            if index.contains((a + b + c) * (1.0 / 3.0)) {
                for &t in &piece {
                    inside[t as usize] = true;
                }
            }
        }
    }
    inside
}

/// One floor vertex.
#[derive(Debug, Clone, Copy)]
pub(super) struct Corner {
    /// The mesh vertex it stands on.
    pub(super) vertex: u32,
    /// The part of the floor it belongs to; `None` for a vertex with floor all round and no line.
    pub(super) sector: Option<Sector>,
}

/// Floor vertices, and for every half-edge of the mesh the floor vertex it leaves ([`NONE`] off the floor).
pub(super) struct Corners {
    pub(super) list: Vec<Corner>,
    pub(super) of_half_edge: Vec<u32>,
}

/// Splits every mesh vertex into one floor vertex for each side of the walls and joints that meet there.
pub(super) fn corners(mesh: &Mesh, inside: &[bool]) -> Corners {
    let mut of_half_edge = vec![NONE; mesh.triangle_count() as usize * 3];
    let mut list = Vec::new();
    let mut spokes: Vec<u32> = Vec::new();
    for v in Mesh::FRAME..mesh.points().len() as u32 {
        spokes.clear();
        spokes.extend(mesh.around(v));
        let on_floor = |h: u32| inside[(h / 3) as usize];
        if !spokes.iter().any(|&h| on_floor(h)) {
            continue;
        }
        // A fan starts where the spoke is a line, or where no floor lies to its right.
        let starts = |h: u32| {
            on_floor(h)
                && (mesh.mark(h) & (WALL | JOINT) != 0
                    || mesh.twin(h) == NONE
                    || !on_floor(mesh.twin(h)))
        };
        let Some(first) = spokes.iter().position(|&h| starts(h)) else {
            for &h in &spokes {
                of_half_edge[h as usize] = list.len() as u32;
            }
            list.push(Corner {
                vertex: v,
                sector: None,
            });
            continue;
        };
        spokes.rotate_left(first);
        let at = mesh.point(v);
        let out = |w: u32| mesh.point(w) - at;
        let mut k = 0;
        while k < spokes.len() {
            if !on_floor(spokes[k]) {
                k += 1;
                continue;
            }
            let from = k;
            let corner = list.len() as u32;
            loop {
                of_half_edge[spokes[k] as usize] = corner;
                k += 1;
                if k == spokes.len() || !on_floor(spokes[k]) || starts(spokes[k]) {
                    break;
                }
            }
            let right = mesh.target(spokes[from]);
            let left = mesh.origin(prev(spokes[k - 1]));
            list.push(Corner {
                vertex: v,
                sector: Some(Sector {
                    at,
                    from: out(right),
                    to: out(left),
                    full: right == left,
                }),
            });
        }
    }
    Corners { list, of_half_edge }
}

/// The two half-edges of a triangle beside `h`, for walks over floor triangles.
pub(super) const fn beside(h: u32) -> [u32; 2] {
    [next(h), prev(h)]
}
