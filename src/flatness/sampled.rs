//! The share of regularly sampled placements over a limit.

use super::Placement;
use super::edge::Searcher;
use super::ray::{Line, Start};
use crate::surface::Floor;
use rayon::prelude::*;
use std::f64::consts::PI;

/// Directions in which the edge is laid at each sampled place.
pub const SAMPLE_TURNS: u32 = 4;

/// Gaps of sampled placements.
#[derive(Debug, Clone, PartialEq)]
pub struct Sampled {
    /// Distance between the sampled places, metres.
    pub pitch_m: f64,
    /// One for each place and direction at which the whole edge found room.
    pub placements: Vec<Placement>,
}

impl Sampled {
    /// Share of the placements over a limit, 0 to 1; `None` without placements. Equal is not over.
    pub fn share_over(&self, limit_m: f64) -> Option<f64> {
        let n = self.placements.len();
        (n > 0).then(|| {
            let over = self
                .placements
                .iter()
                .filter(|p| p.gap_m > limit_m + 1e-12)
                .count();
            over as f64 / n as f64
        })
    }

    /// The placement with the largest gap.
    pub fn worst(&self) -> Option<Placement> {
        self.placements
            .iter()
            .copied()
            .reduce(|a, b| if b.gap_m > a.gap_m { b } else { a })
    }
}

impl Searcher {
    /// Lay an edge of `span_m` with its middle on every node of a square pitch, in four directions
    /// 45 degrees apart, resting on its high points; only where the whole edge finds room.
    ///
    /// For humps, the edge is laid on the floor turned upside down.
    pub fn sampled(&self, floor: &Floor, span_m: f64, pitch_m: f64) -> Sampled {
        let placements = (0..floor.triangles().len() as u32)
            .into_par_iter()
            .map_init(Line::default, |line, t| {
                let mut out = Vec::new();
                self.nodes_in(t, pitch_m, |p| {
                    for i in 0..SAMPLE_TURNS {
                        let (s, c) = (f64::from(i) * PI / f64::from(SAMPLE_TURNS)).sin_cos();
                        if let Some([gap, a, b, m]) =
                            line.laid(&self.net, Start::Inside(t, p), [c, s], span_m)
                        {
                            let at = |d: f64| self.net.on_floor([p[0] + c * d, p[1] + s * d]);
                            out.push(Placement {
                                from: at(a),
                                to: at(b),
                                at: at(m),
                                gap_m: gap,
                            });
                        }
                    }
                });
                out
            })
            .flatten_iter()
            .collect();
        Sampled {
            pitch_m,
            placements,
        }
    }

    /// Nodes of the pitch inside triangle `t`, each claimed by one triangle only.
    fn nodes_in(&self, t: u32, pitch: f64, mut f: impl FnMut([f64; 3])) {
        let net = &self.net;
        let tri = net.tri[t as usize];
        if !net.solid[t as usize] {
            return;
        }
        let c = tri.map(|v| net.at[v as usize]);
        let det =
            (c[1][0] - c[0][0]) * (c[2][1] - c[0][1]) - (c[2][0] - c[0][0]) * (c[1][1] - c[0][1]);
        if det <= 0.0 || pitch <= 0.0 {
            return;
        }
        let range = |i: usize| {
            let lo = c[0][i].min(c[1][i]).min(c[2][i]);
            let hi = c[0][i].max(c[1][i]).max(c[2][i]);
            (
                (lo / pitch - 0.5).ceil() as i64,
                (hi / pitch - 0.5).floor() as i64,
            )
        };
        let (xs, ys) = (range(0), range(1));
        for i in xs.0..=xs.1 {
            for j in ys.0..=ys.1 {
                let p = [(i as f64 + 0.5) * pitch, (j as f64 + 0.5) * pitch];
                let mut w = [0.0; 3];
                let mut inside = true;
                for k in 0..3 {
                    let (a, b) = (c[(k + 1) % 3], c[(k + 2) % 3]);
                    let side = (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
                    // A node on a side belongs to the triangle that lies above or right of it.
                    let owns = side > 0.0
                        || (side == 0.0 && (b[1] < a[1] || (b[1] == a[1] && b[0] > a[0])));
                    inside &= owns;
                    w[k] = side / det;
                }
                if inside {
                    f([p[0], p[1], w[0] * c[0][2] + w[1] * c[1][2] + w[2] * c[2][2]]);
                }
            }
        }
    }
}
