//! The highest and lowest reading, and the peaks that come after the highest.

use super::floor::{Across, Floor, Source};
use crate::geometry::Point;
use nalgebra::{DMatrix, DVector};
use std::collections::{HashMap, HashSet};

/// One reading of the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingSpot {
    /// Index in the survey.
    pub reading: u32,
    /// Where it stands on the floor.
    pub at: Point,
    /// Elevation, metres.
    pub z_m: f64,
}

/// A reading that no neighbour stands above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// The reading.
    pub spot: ReadingSpot,
    /// How far one must go down from it before the floor rises above it, metres. For the highest of a piece
    /// of floor: down to the lowest reading of that piece.
    pub prominence_m: f64,
    /// How far it stands above the least-squares plane of its neighbours, metres: what is gained by
    /// grinding it off. `None` with fewer than three neighbours.
    pub above_neighbours_m: Option<f64>,
}

/// Levelness of the floor: highest and lowest reading. Not flatness: a tilted plane has a large overall
/// deviation and no gap under a straight edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Extremes {
    /// Readings at the greatest height, ties included; in plan order (x, then y).
    pub high: Vec<ReadingSpot>,
    /// Readings at the least height, ties included; in plan order.
    pub low: Vec<ReadingSpot>,
    /// Highest less lowest, metres.
    pub overall_m: f64,
    /// Peaks, highest first; the first is the high point. At most as many as asked for.
    pub peaks: Vec<Peak>,
    /// Where carried-out floor stands highest above the high point, and by how much, metres; `None` when it
    /// stays below.
    pub extended_above: Option<(Point, f64)>,
}

/// Neighbours on one straight line through a place leave a half turn free, radians: rounding of places.
const HALF_TURN: f64 = 1e-3;

impl Floor {
    /// High point, low point, ties, and the highest `count` peaks.
    ///
    /// # Units
    /// Metres. Readings within `tie_m` of the extreme are ties: half the step that was read to. A peak
    /// less prominent than that is no peak of its own.
    /// # Method
    /// Vertices from the top down; a vertex joins the piece of its higher neighbours, and where two pieces
    /// meet the one with the lower summit ends there, which gives its prominence. Over a joint, readings are neighbours that
    /// are nearest on either side to a corner of the floor on it.
    /// # Edge cases
    /// `None` when no reading carries the floor.
    pub fn extremes(&self, tie_m: f64, count: usize) -> Option<Extremes> {
        let mut spots: Vec<ReadingSpot> = self
            .vertices
            .iter()
            .filter_map(|v| spot(v.source, v.at, v.z))
            .collect();
        // A reading on a joint stands on both sides.
        spots.sort_by(|a, b| {
            let place = a.at.x.total_cmp(&b.at.x).then(a.at.y.total_cmp(&b.at.y));
            place.then(a.reading.cmp(&b.reading))
        });
        spots.dedup_by_key(|s| s.reading);
        let top = spots
            .iter()
            .map(|s| s.z_m)
            .fold(f64::NEG_INFINITY, f64::max);
        let bottom = spots.iter().map(|s| s.z_m).fold(f64::INFINITY, f64::min);
        if spots.is_empty() {
            return None;
        }
        let tie = tie_m.max(1e-9);
        let near = |z: f64| -> Vec<ReadingSpot> {
            let mut near: Vec<ReadingSpot> = spots
                .iter()
                .filter(|s| (s.z_m - z).abs() <= tie)
                .copied()
                .collect();
            // The extreme itself first, then those that tie with it.
            near.sort_by(|a, b| (a.z_m - z).abs().total_cmp(&(b.z_m - z).abs()));
            near
        };
        let extended_above = self
            .vertices
            .iter()
            .filter(|v| v.source == Source::Extended && v.z > top + tie)
            .max_by(|a, b| a.z.total_cmp(&b.z))
            .map(|v| (v.at, v.z - top));
        Some(Extremes {
            high: near(top),
            low: near(bottom),
            overall_m: top - bottom,
            peaks: self.peaks(tie, count),
            extended_above,
        })
    }

    fn peaks(&self, least_m: f64, count: usize) -> Vec<Peak> {
        let around = self.neighbours();
        let beyond = self.over_joints();
        let n = self.vertices.len();
        let is_read = |v: u32| matches!(self.vertices[v as usize].source, Source::Reading(_));
        let z = |v: u32| self.vertices[v as usize].z;
        let mut order: Vec<u32> = (0..n as u32).filter(|&v| is_read(v)).collect();
        order.sort_by(|&a, &b| z(b).total_cmp(&z(a)).then(a.cmp(&b)));
        // Union-find; the root of a piece is its summit.
        let mut parent: Vec<u32> = vec![u32::MAX; n];
        let mut lowest: Vec<f64> = vec![0.0; n];
        let mut peaks: Vec<(u32, f64)> = Vec::new();
        for &v in &order {
            parent[v as usize] = v;
            lowest[v as usize] = z(v);
            let over = beyond.get(&v).map_or(&[][..], Vec::as_slice);
            for &w in around.of(v).iter().chain(over) {
                if parent[w as usize] == u32::MAX {
                    continue;
                }
                let (a, b) = (root(&mut parent, v), root(&mut parent, w));
                if a == b {
                    continue;
                }
                // The higher summit lives on; of equal ones the first in plan order.
                let (keep, end) = if (z(a), std::cmp::Reverse(a)) > (z(b), std::cmp::Reverse(b)) {
                    (a, b)
                } else {
                    (b, a)
                };
                let prominence = z(end) - z(v);
                if end != v && prominence > least_m {
                    peaks.push((end, prominence));
                }
                parent[end as usize] = keep;
                lowest[keep as usize] = lowest[keep as usize].min(lowest[end as usize]);
            }
        }
        for &v in &order {
            if parent[v as usize] == v {
                peaks.push((v, z(v) - lowest[v as usize]));
            }
        }
        peaks.sort_by(|a, b| z(b.0).total_cmp(&z(a.0)).then(a.0.cmp(&b.0)));
        // A reading on a joint stands on both sides, and is one peak.
        let mut told = HashSet::new();
        peaks.retain(|&(v, _)| match self.vertices[v as usize].source {
            Source::Reading(reading) => told.insert(reading),
            Source::Between | Source::Extended => true,
        });
        peaks.truncate(count);
        peaks
            .into_iter()
            .filter_map(|(v, prominence_m)| {
                let own = self.vertices[v as usize];
                let beside: Vec<u32> = around
                    .of(v)
                    .iter()
                    .copied()
                    .filter(|&w| is_read(w))
                    .collect();
                Some(Peak {
                    spot: spot(own.source, own.at, own.z)?,
                    prominence_m,
                    above_neighbours_m: self.above_plane(v, &beside),
                })
            })
            .collect()
    }

    /// Height of a vertex above the least-squares plane through others (least norm where they stand in
    /// line), metres; `None` unless they stand all round it.
    fn above_plane(&self, v: u32, others: &[u32]) -> Option<f64> {
        if others.len() < 3 {
            return None;
        }
        let own = self.vertices[v as usize];
        let surround = self.surround(own.at, others);
        let lowest = others
            .iter()
            .map(|&w| self.vertices[w as usize].z)
            .fold(f64::INFINITY, f64::min);
        let scale = others
            .iter()
            .map(|&w| self.vertices[w as usize].at.distance(own.at))
            .fold(0.0, f64::max)
            .max(f64::MIN_POSITIVE);
        let mean = others
            .iter()
            .map(|&w| self.vertices[w as usize].z)
            .sum::<f64>()
            / others.len() as f64;
        let rows = DMatrix::from_fn(others.len(), 3, |r, c| {
            let d = self.vertices[others[r] as usize].at - own.at;
            [1.0, d.x / scale, d.y / scale][c]
        });
        let rise = DVector::from_fn(others.len(), |r, _| {
            self.vertices[others[r] as usize].z - mean
        });
        let plane = rows.svd(true, true).solve(&rise, 1e-9).ok()?;
        // A plane that runs on beyond its readings is no evidence of the floor there, and none shows a point higher over its
        // neighbours than the lowest of them does.
        surround.then(|| (own.z - mean - plane[0]).min(own.z - lowest))
    }

    /// Whether vertices stand all round a place: no half turn is free of them.
    fn surround(&self, at: Point, others: &[u32]) -> bool {
        let mut ways: Vec<f64> = others
            .iter()
            .map(|&w| {
                let d = self.vertices[w as usize].at - at;
                d.y.atan2(d.x)
            })
            .collect();
        ways.sort_by(f64::total_cmp);
        let (Some(first), Some(last)) = (ways.first(), ways.last()) else {
            return false;
        };
        let over_the_end = first + std::f64::consts::TAU - last;
        ways.windows(2)
            .map(|w| w[1] - w[0])
            .chain([over_the_end])
            .all(|turn| turn < std::f64::consts::PI - HALF_TURN)
    }

    /// For readings beside joints those beyond that are as near to the same place of the joint, by their vertices.
    fn over_joints(&self) -> HashMap<u32, Vec<u32>> {
        let mut vertex_of: HashMap<u32, u32> = HashMap::new();
        let mut beyond: HashMap<u32, Vec<u32>> = HashMap::new();
        let joints = (0..self.triangles.len() as u32)
            .flat_map(|t| (0..3).map(move |e| (t, e)))
            .filter_map(|(t, e)| match self.across(t, e) {
                Across::Joint(u) => Some((t, e, u)),
                _ => None,
            });
        for (t, e, u) in joints {
            if vertex_of.is_empty() {
                // A reading on a joint stands on both sides; either will do.
                let sources = self.vertices.iter().map(|v| v.source).zip(0..);
                vertex_of.extend(sources.filter_map(|(source, v)| match source {
                    Source::Reading(reading) => Some((reading, v)),
                    Source::Between | Source::Extended => None,
                }));
            }
            let nearest = |corner: u32| {
                let at = self.vertices[corner as usize].at;
                let readings = self.leans(corner).into_iter();
                let off = |v: &u32| self.vertices[*v as usize].at.distance(at);
                if matches!(self.vertices[corner as usize].source, Source::Reading(_)) {
                    return Some(corner);
                }
                readings
                    .filter_map(|(reading, _)| vertex_of.get(&reading).copied())
                    .min_by(|a, b| off(a).total_cmp(&off(b)).then(a.cmp(b)))
            };
            let own = self.triangles[t as usize];
            for corner in [own[e], own[(e + 1) % 3]] {
                let at = self.vertices[corner as usize].at;
                let twin = self.triangles[u as usize]
                    .into_iter()
                    .find(|&v| self.vertices[v as usize].at == at);
                if let (Some(a), Some(b)) = (nearest(corner), twin.and_then(nearest))
                    && a != b
                {
                    beyond.entry(a).or_default().push(b);
                    beyond.entry(b).or_default().push(a);
                }
            }
        }
        beyond
    }

    /// Vertices joined to each vertex by an edge.
    fn neighbours(&self) -> Neighbours {
        let n = self.vertices.len();
        let edges = || {
            self.triangles.iter().flat_map(|c| {
                let [a, b, d] = *c;
                // Each edge from both its triangles: an inner edge comes twice, which does no harm.
                [(a, b), (b, d), (d, a), (b, a), (d, b), (a, d)]
            })
        };
        let mut start = vec![0u32; n + 1];
        for (a, _) in edges() {
            start[a as usize + 1] += 1;
        }
        for k in 0..n {
            start[k + 1] += start[k];
        }
        let mut next = start.clone();
        let mut list = vec![0u32; start[n] as usize];
        for (a, b) in edges() {
            list[next[a as usize] as usize] = b;
            next[a as usize] += 1;
        }
        let mut kept = Vec::with_capacity(list.len() / 2 + n);
        let mut begin = Vec::with_capacity(n + 1);
        for v in 0..n {
            begin.push(kept.len() as u32);
            let own = &mut list[start[v] as usize..start[v + 1] as usize];
            own.sort_unstable();
            for (i, &w) in own.iter().enumerate() {
                if i == 0 || own[i - 1] != w {
                    kept.push(w);
                }
            }
        }
        begin.push(kept.len() as u32);
        Neighbours { begin, list: kept }
    }
}

struct Neighbours {
    begin: Vec<u32>,
    list: Vec<u32>,
}

impl Neighbours {
    fn of(&self, v: u32) -> &[u32] {
        &self.list[self.begin[v as usize] as usize..self.begin[v as usize + 1] as usize]
    }
}

fn spot(source: Source, at: Point, z_m: f64) -> Option<ReadingSpot> {
    match source {
        Source::Reading(reading) => Some(ReadingSpot { reading, at, z_m }),
        Source::Between | Source::Extended => None,
    }
}

/// Summit of the piece that `v` belongs to; the way there is made shorter for the next time.
fn root(parent: &mut [u32], mut v: u32) -> u32 {
    while parent[v as usize] != v {
        let up = parent[parent[v as usize] as usize];
        parent[v as usize] = up;
        v = up;
    }
    v
}
