//! Connected patches: outlines, area, volume, deepest place.

use super::result::PatchSpot;
use crate::fill::positive_part;
use crate::geometry::{Point, Ring};
use crate::surface::{Across, Floor};
use std::collections::BTreeMap;

/// A corner of an outline: a mesh vertex, or where an edge crosses the feather depth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Corner {
    Vertex(u32),
    Crossing(u32, u32),
}

/// Groups of triangles that reach deeper than `feather_m`, joined across edges that do.
fn groups(floor: &Floor, depth: &[f64], feather_m: f64) -> Vec<Vec<u32>> {
    let deep = |v: u32| depth[v as usize] > feather_m;
    let mut group = vec![u32::MAX; floor.triangles().len()];
    let mut all = Vec::new();
    for first in 0..floor.triangles().len() as u32 {
        if group[first as usize] != u32::MAX
            || !floor.triangles()[first as usize].iter().any(|&v| deep(v))
        {
            continue;
        }
        let name = all.len() as u32;
        group[first as usize] = name;
        let mut members = vec![first];
        let mut next = 0;
        while next < members.len() {
            let t = members[next];
            next += 1;
            let corners = floor.triangles()[t as usize];
            for e in 0..3 {
                if (deep(corners[e]) || deep(corners[(e + 1) % 3]))
                    && let Across::Floor(other) = floor.across(t, e)
                    && group[other as usize] == u32::MAX
                {
                    group[other as usize] = name;
                    members.push(other);
                }
            }
        }
        members.sort_unstable();
        all.push(members);
    }
    all
}

/// The part of a triangle deeper than the feather depth, as corners in order, counter-clockwise.
fn deep_part(corners: [u32; 3], depth: &[f64], feather_m: f64) -> Vec<(Corner, usize)> {
    let mut out = Vec::with_capacity(4);
    for e in 0..3 {
        let (p, q) = (corners[e], corners[(e + 1) % 3]);
        let (dp, dq) = (depth[p as usize] > feather_m, depth[q as usize] > feather_m);
        if dp {
            out.push((Corner::Vertex(p), e));
        }
        if dp != dq {
            // Which triangle edge the outline runs along after this corner: none when it leaves inward.
            out.push((
                Corner::Crossing(p.min(q), p.max(q)),
                if dp { usize::MAX } else { e },
            ));
        }
    }
    out
}

fn place(floor: &Floor, depth: &[f64], feather_m: f64, corner: Corner) -> Point {
    match corner {
        Corner::Vertex(v) => floor.vertices()[v as usize].at,
        Corner::Crossing(p, q) => {
            let (dp, dq) = (depth[p as usize], depth[q as usize]);
            let (a, b) = (
                floor.vertices()[p as usize].at,
                floor.vertices()[q as usize].at,
            );
            a.lerp(b, ((feather_m - dp) / (dq - dp)).clamp(0.0, 1.0))
        }
    }
}

/// The patches of a depth given at every vertex, largest volume first (then from the left, then from below).
///
/// The area of a patch is that inside its outlines; its volume has the thin rim beyond them in it, where the depth runs out.
pub(super) fn spots(
    floor: &Floor,
    depth: &[f64],
    feather_m: f64,
    bags_per_m3: Option<f64>,
) -> Vec<PatchSpot> {
    let mut spots: Vec<PatchSpot> = groups(floor, depth, feather_m)
        .into_iter()
        .map(|members| spot(floor, depth, feather_m, &members, bags_per_m3))
        .collect();
    spots.sort_by(|a, b| {
        b.volume_m3
            .total_cmp(&a.volume_m3)
            .then(a.deepest_at.x.total_cmp(&b.deepest_at.x))
            .then(a.deepest_at.y.total_cmp(&b.deepest_at.y))
    });
    spots
}

fn spot(
    floor: &Floor,
    depth: &[f64],
    feather_m: f64,
    members: &[u32],
    bags_per_m3: Option<f64>,
) -> PatchSpot {
    let (mut area_m2, mut volume_m3) = (0.0, 0.0);
    let (mut deepest_m, mut deepest_at) = (0.0, Point::default());
    // From each corner of the outline to the next; the inside lies to the left.
    let mut onward: BTreeMap<Corner, Vec<Corner>> = BTreeMap::new();
    for &t in members {
        let depths = floor.triangles()[t as usize].map(|v| depth[v as usize]);
        volume_m3 += positive_part(floor.triangle_area(t), depths).volume_m3;
        let corners = floor.triangles()[t as usize];
        for &v in &corners {
            if depth[v as usize] > deepest_m {
                deepest_m = depth[v as usize];
                deepest_at = floor.vertices()[v as usize].at;
            }
        }
        let part = deep_part(corners, depth, feather_m);
        let points: Vec<Point> = part
            .iter()
            .map(|&(c, _)| place(floor, depth, feather_m, c))
            .collect();
        for i in 1..points.len().saturating_sub(1) {
            let [a, b, c] = [points[0], points[i], points[i + 1]];
            area_m2 += (b - a).cross(c - a) / 2.0;
        }
        for (i, &(from, edge)) in part.iter().enumerate() {
            let to = part[(i + 1) % part.len()].0;
            let outer = edge == usize::MAX || !matches!(floor.across(t, edge), Across::Floor(_));
            if outer && from != to {
                onward.entry(from).or_default().push(to);
            }
        }
    }
    let (mut outlines, mut islands) = (Vec::new(), Vec::new());
    while let Some((&first, _)) = onward.iter().next() {
        let mut ring = Vec::new();
        let mut at = first;
        // Every step takes one piece away, so this ends.
        while let Some(nexts) = onward.get_mut(&at) {
            let next = nexts.pop();
            if nexts.is_empty() {
                onward.remove(&at);
            }
            let Some(next) = next else { break };
            let p = place(floor, depth, feather_m, at);
            if ring.last() != Some(&p) {
                ring.push(p);
            }
            at = next;
            if at == first {
                break;
            }
        }
        let twice: f64 = (0..ring.len())
            .map(|i| (ring[i] - ring[0]).cross(ring[(i + 1) % ring.len()] - ring[0]))
            .sum();
        if ring.len() >= 3 && twice != 0.0 {
            let into = if twice > 0.0 {
                &mut outlines
            } else {
                &mut islands
            };
            into.push(Ring::new(ring));
        }
    }
    PatchSpot {
        outlines,
        islands,
        area_m2,
        volume_m3,
        deepest_m,
        deepest_at,
        bags: bags_per_m3.map(|b| b * volume_m3),
    }
}
