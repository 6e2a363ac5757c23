//! Whether an edge of a given length fits on the floor at all.

use super::net::{Net, WALL};
use super::ray::{Line, Start};
use std::f64::consts::PI;

/// More corners than this are thinned; a floor so ragged is large enough that the first look finds room.
const MOST_CORNERS: usize = 400;

/// Whether a straight chord of length `span` has room anywhere, its ends on floor that counts.
///
/// The longest segment inside a region with straight sides can be turned and slid until it touches
/// two of the region's corners, so after a quick look over the floor it is enough to try the lines
/// through pairs of corners.
pub(super) fn full_span_fits(net: &Net, span: f64) -> bool {
    let mut line = Line::default();
    let slack = span * 1e-9 + 1e-9;
    let chord = |line: &mut Line, v: u32, turn: f64| {
        let (s, c) = turn.sin_cos();
        let ahead = line.clear(net, Start::Vertex(v), [c, s], span);
        if ahead + slack >= span {
            return ahead;
        }
        ahead + line.clear(net, Start::Vertex(v), [-c, -s], span)
    };
    let used: Vec<u32> = (0..net.at.len() as u32).filter(|&v| net.used(v)).collect();
    let stride = used.len() / 64 + 1;
    for &v in used.iter().step_by(stride) {
        for i in 0..12 {
            if chord(&mut line, v, f64::from(i) * PI / 12.0) + slack >= span {
                return true;
            }
        }
    }
    let corners = corners(net);
    for (i, &v) in corners.iter().enumerate() {
        for &w in &corners[i + 1..] {
            let (p, q) = (net.at[v as usize], net.at[w as usize]);
            let turn = (q[1] - p[1]).atan2(q[0] - p[0]);
            if chord(&mut line, v, turn) + slack >= span
                || chord(&mut line, w, turn) + slack >= span
            {
                return true;
            }
        }
    }
    false
}

/// Vertices at which the boundary of the room, or of what counts as floor, turns.
fn corners(net: &Net) -> Vec<u32> {
    let mut sides: Vec<(u32, f64)> = Vec::new();
    for (t, tri) in net.tri.iter().enumerate() {
        for e in 0..3 {
            let other = net.next[t][e];
            if other == WALL || (net.solid[t] && !net.solid[other as usize]) {
                let (a, b) = (tri[e], tri[(e + 1) % 3]);
                let (p, q) = (net.at[a as usize], net.at[b as usize]);
                let turn = (q[1] - p[1]).atan2(q[0] - p[0]);
                sides.push((a, turn));
                sides.push((b, turn));
            }
        }
    }
    sides.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut out: Vec<u32> = sides
        .chunk_by(|a, b| a.0 == b.0)
        .filter(|c| {
            c.len() != 2 || ((c[0].1 - c[1].1).sin().abs() > 1e-7 || (c[0].1 - c[1].1).cos() < 0.0)
        })
        .map(|c| c[0].0)
        .collect();
    if out.len() > MOST_CORNERS {
        let stride = out.len() / MOST_CORNERS + 1;
        out = out.into_iter().step_by(stride).collect();
    }
    out
}
