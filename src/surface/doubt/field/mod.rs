//! The floor that may be: a Gaussian field on a mesh one level finer than the readings.

mod elements;
mod fit;
mod joints;
mod model;
mod sparse;

use super::{NoDoubt, Told};
use crate::geometry::{Point, bounds};
use crate::surface::{Floor, Source};
use crate::survey::setups::Ties;
use elements::Elements;
use fit::Fitted;
use model::{Given, Posterior, Seen};
pub use model::{Sizes, Smoothness};
use nalgebra::DMatrix;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution, StandardNormal, StandardUniform};
use std::sync::Arc;

/// A field on a floor's mesh, its sizes fitted to the readings with their noise as known.
///
/// How smooth the floor is nobody knows beforehand: fields of two orders are held against the readings, and floors are drawn from each as
/// often as the readings speak for it.
pub struct Field {
    kinds: Vec<Kind>,
    /// Height of the mean plane at each vertex.
    plane: Vec<f64>,
}

/// A field of one order.
struct Kind {
    /// How far the readings speak for it, 0 to 1.
    share: f64,
    sizes: Sizes,
    /// It, given the readings.
    posterior: Posterior,
}

/// A range that the numbers do not allow is shortened by this, at most so often.
const SHORTER: f64 = 0.75;
const MOST_SHORTENED: u32 = 6;

/// An order that the readings speak for less than this is left out.
const LEAST_SHARE: f64 = 0.02;

impl Field {
    /// The field of this floor's readings on its mesh one level finer ([`Floor::finer`]). Each reading has the standard deviation
    /// `noise_m`, or less where they scatter less than that, but never under `least_m`; metres.
    ///
    /// # Errors
    /// [`NoDoubt`]: too few readings, or heights that allow no fit.
    pub fn new(
        floor: &Floor,
        finer: &Floor,
        (noise_m, least_m): (f64, f64),
        told: Told<'_>,
    ) -> Result<Self, NoDoubt> {
        let spacing_m = floor.spacing();
        let own = joints::with_own_sides(finer, (noise_m, least_m), spacing_m, told);
        let finer = own.as_ref().unwrap_or(finer);
        let (given, plane) = gather(finer)?;
        let pieces = in_pieces(finer, &given);
        let of = |s: &Smoothness| fit::believable(&pieces, *s, (noise_m, least_m), spacing_m, told);
        let fitted: Vec<Fitted> = [Smoothness::Rough, Smoothness::Smooth]
            .iter()
            .filter_map(of)
            .collect();
        let best = fitted
            .iter()
            .map(|f| f.log_likelihood)
            .fold(f64::MIN, f64::max);
        let weight = |f: &Fitted| (f.log_likelihood - best).exp();
        let whole: f64 = fitted.iter().map(weight).sum();
        let mut kinds: Vec<Kind> = fitted
            .iter()
            .map(|f| (weight(f) / whole, f.sizes))
            .filter(|(share, _)| *share >= LEAST_SHARE)
            .filter_map(|(share, sizes)| {
                let scaled = |sizes: Sizes| {
                    let scale = fit::local(&given, finer, sizes, spacing_m, told)?;
                    Some(Kind {
                        share,
                        sizes,
                        posterior: Posterior::new(&given, sizes, Some(&scale), &mut None)?,
                    })
                };
                // Of waves as long as the room the trend and the field tell nearly the same, and what parts them is lost in rounding: shorter ones
                // then stand for them.
                let shorter = |k: u32| Sizes {
                    range_m: sizes.range_m * SHORTER.powi(k as i32),
                    ..sizes
                };
                (0..MOST_SHORTENED).find_map(|k| scaled(shorter(k)))
            })
            .collect();
        // The one that the readings speak for most stands first.
        kinds.sort_by(|a, b| b.share.total_cmp(&a.share));
        if kinds.is_empty() {
            return Err(NoDoubt::NoVariation);
        }
        Ok(Self { kinds, plane })
    }

    /// Floors that may be the true one, from a seed; how set-ups hang on their shared readings is part of what is drawn.
    pub fn draws(self, seed: u64, ties: Ties) -> Draws {
        Draws {
            kinds: self.kinds,
            plane: self.plane,
            ties,
            random: ChaCha8Rng::seed_from_u64(seed),
        }
    }
}

/// Floors that may be the true one, one after the other.
pub struct Draws {
    /// How often each kind is drawn, the likeliest first, never none.
    kinds: Vec<Kind>,
    plane: Vec<f64>,
    ties: Ties,
    random: ChaCha8Rng,
}

impl Draws {
    /// How the field varies, and the noise that it was fitted with.
    pub fn sizes(&self) -> Sizes {
        self.kinds[0].sizes
    }

    /// Variance of the floor at each vertex of the mesh, by the likeliest kind, square metres; 0 at one that no floor touches.
    pub fn variance(&self) -> Vec<f64> {
        self.kinds[0].posterior.variance()
    }

    /// Covariance of the floor at each vertex with a sum of heights, vertices and their weights, by the likeliest kind, square metres.
    pub fn covariance(&mut self, weights: &[(usize, f64)]) -> Vec<f64> {
        self.kinds[0].posterior.covariance(weights)
    }

    /// The next floor: elevations at the vertices of the mesh one level finer, metres.
    pub fn next_heights(&mut self) -> Vec<f64> {
        let random = &mut self.random;
        let whole: f64 = self.kinds.iter().map(|k| k.share).sum();
        let at: f64 = StandardUniform.sample(random);
        let place = at * whole;
        let mut sum = 0.0;
        let last = self.kinds.len() - 1;
        let own = self.kinds.iter().take(last).position(|k| {
            sum += k.share;
            place < sum
        });
        let Kind {
            posterior, sizes, ..
        } = &mut self.kinds[own.unwrap_or(last)];
        let mut normal = || StandardNormal.sample(random);
        let shifts = self.ties.shifts(sizes.noise_m, &mut normal);
        let own = posterior.draw(|reading| self.ties.shift_of(&shifts, reading), normal);
        own.iter().zip(&self.plane).map(|(h, p)| h + p).collect()
    }
}

/// Shapes of the whole floor in the trend, beside the plates' levels: two slopes, and the bowl, crown or saddle that it may be. As field they
/// would be drawn rougher than they are, and an edge laid anywhere in a bowl shows the worst of many alike.
const SHAPES: usize = 5;

/// Whether readings at these places, about their middle and within 1 of it, tell a bowl from a plane: in one or two rows none does.
fn tell_bowls(places: &[Point]) -> bool {
    const CLEARLY: f64 = 0.02;
    let columns = DMatrix::from_fn(places.len(), 1 + SHAPES, |i, c| {
        let p = places[i];
        [1.0, p.x, p.y, p.x * p.x, p.x * p.y, p.y * p.y][c]
    });
    let sizes = columns.singular_values();
    let (least, most) = (sizes.min(), sizes.max());
    places.len() > 2 * SHAPES && least > CLEARLY * most
}

/// Fewest readings that a field is worked out from.
pub const FEWEST_READINGS: usize = 20;
/// Of more readings than this the sizes are fitted in windows.
const MOST_FITTED: usize = 600;
/// Readings to a window, at most, and windows. Two numbers need no more, and the time grows faster than the readings.
const TO_A_WINDOW: usize = 300;
const WINDOWS: usize = 4;

/// The field's mesh with what was seen of it, and the height of the mean plane at each vertex.
fn gather(finer: &Floor) -> Result<(Arc<Given>, Vec<f64>), NoDoubt> {
    let elements = Elements::new(finer);
    let mut read = read(finer);
    read.retain(|r| elements.plate[r.0 as usize].is_some());
    if read.len() < FEWEST_READINGS {
        return Err(NoDoubt::FewReadings);
    }
    let at = |v: u32| finer.vertices()[v as usize].at;
    let middle = read.iter().fold(Point::default(), |s, r| s + at(r.0)) * (1.0 / read.len() as f64);
    let reach = read
        .iter()
        .map(|r| at(r.0).distance(middle))
        .fold(f64::MIN_POSITIVE, f64::max);
    let seen_at: Vec<Point> = read
        .iter()
        .map(|r| (at(r.0) - middle) * (1.0 / reach))
        .collect();
    let shapes = if tell_bowls(&seen_at) { SHAPES } else { 2 };
    let mut column = vec![None; elements.plates as usize];
    let mut columns = shapes;
    for plate in read.iter().filter_map(|r| elements.plate[r.0 as usize]) {
        let own = &mut column[plate as usize];
        if own.is_none() {
            *own = Some(columns);
            columns += 1;
        }
    }
    let trend = DMatrix::from_fn(finer.vertices().len(), columns, |v, c| {
        let d = (at(v as u32) - middle) * (1.0 / reach);
        match c {
            0 => d.x,
            1 => d.y,
            2 if shapes > 2 => d.x * d.x,
            3 if shapes > 2 => d.x * d.y,
            4 if shapes > 2 => d.y * d.y,
            _ => {
                let level = elements.plate[v].and_then(|p| column[p as usize]);
                f64::from(level == Some(c))
            }
        }
    });
    let [height, x, y] = mean_plane(finer, &read, middle);
    let plane: Vec<f64> = finer
        .vertices()
        .iter()
        .map(|v| {
            let d = v.at - middle;
            height + x * d.x + y * d.y
        })
        .collect();
    let seen = read
        .iter()
        .map(|&(vertex, reading)| Seen {
            vertex,
            reading,
            height_m: finer.vertices()[vertex as usize].z - plane[vertex as usize],
        })
        .collect();
    let given = Given {
        elements,
        seen,
        trend,
    };
    Ok((Arc::new(given), plane))
}

/// What the sizes are fitted to: all that was seen, or pieces of it where that is much.
fn in_pieces(finer: &Floor, given: &Arc<Given>) -> Vec<Arc<Given>> {
    if given.seen.len() <= MOST_FITTED {
        return vec![given.clone()];
    }
    let own = |w: &Floor| Some(gather(w).ok()?.0);
    windows(finer).iter().filter_map(own).collect()
}

/// Vertices that readings stand on, with their readings.
fn read(floor: &Floor) -> Vec<(u32, u32)> {
    floor
        .vertices()
        .iter()
        .enumerate()
        .filter_map(|(v, vertex)| match vertex.source {
            Source::Reading(r) => Some((v as u32, r)),
            _ => None,
        })
        .collect()
}

/// Pieces of a floor that stand for all of it, spread over it.
fn windows(finer: &Floor) -> Vec<Floor> {
    let places = read(finer)
        .into_iter()
        .map(|(v, _)| finer.vertices()[v as usize].at)
        .collect();
    let boxes = halved(places);
    let count = WINDOWS.min(boxes.len());
    (0..count)
        .filter_map(|k| {
            let places = &boxes[k * (boxes.len() - 1) / (count - 1).max(1)];
            let (lo, hi) = bounds(places.iter().copied())?;
            let inside = |p: Point| p.x >= lo.x && p.y >= lo.y && p.x <= hi.x && p.y <= hi.y;
            piece(finer, inside)
        })
        .collect()
}

/// Places halved across their longer side until they are few enough.
fn halved(mut places: Vec<Point>) -> Vec<Vec<Point>> {
    if places.len() <= TO_A_WINDOW {
        return vec![places];
    }
    let Some((lo, hi)) = bounds(places.iter().copied()) else {
        return vec![places];
    };
    if hi.x - lo.x >= hi.y - lo.y {
        places.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    } else {
        places.sort_by(|a, b| a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x)));
    }
    let rest = places.split_off(places.len() / 2);
    let mut out = halved(places);
    out.extend(halved(rest));
    out
}

/// The triangles of a floor whose corners all lie inside.
fn piece(floor: &Floor, inside: impl Fn(Point) -> bool) -> Option<Floor> {
    let mut number = vec![None; floor.vertices().len()];
    let (mut vertices, mut triangles) = (Vec::new(), Vec::new());
    for corners in floor.triangles() {
        if !corners
            .iter()
            .all(|&v| inside(floor.vertices()[v as usize].at))
        {
            continue;
        }
        triangles.push(corners.map(|v| {
            *number[v as usize].get_or_insert_with(|| {
                vertices.push(floor.vertices()[v as usize]);
                vertices.len() as u32 - 1
            })
        }));
    }
    Floor::from_parts(vertices, triangles, floor.region().clone()).ok()
}

/// The plane of least squares through the readings: its height at `middle` and its slopes.
fn mean_plane(floor: &Floor, read: &[(u32, u32)], middle: Point) -> [f64; 3] {
    let rows = DMatrix::from_fn(read.len(), 3, |i, c| {
        let d = floor.vertices()[read[i].0 as usize].at - middle;
        [1.0, d.x, d.y][c]
    });
    let heights =
        nalgebra::DVector::from_fn(read.len(), |i, _| floor.vertices()[read[i].0 as usize].z);
    rows.svd(true, true)
        .solve(&heights, 1e-9)
        .map_or([0.0; 3], |x| [x[0], x[1], x[2]])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::{Elevation, Reading, Survey};

    #[derive(serde::Deserialize)]
    struct Recorded {
        readings: Vec<[f64; 3]>,
        places: Vec<[f64; 2]>,
        cases: Vec<Case>,
    }

    #[derive(serde::Deserialize)]
    struct Case {
        order: u8,
        sd_m: f64,
        range_m: f64,
        noise_m: f64,
        log_likelihood: f64,
        mean_m: Vec<f64>,
        deviation_m: Vec<f64>,
    }

    fn floor(readings: &[[f64; 3]]) -> Floor {
        let readings = readings
            .iter()
            .map(|&[x, y, z]| Reading::new("", Point::new(x, y), Elevation::from_m(z)))
            .collect();
        let survey = Survey::new("", readings).expect("finite");
        Floor::build(&survey).expect("a floor").floor
    }

    // ORACLE: independent route: dense algebra by way of the covariance, on a mesh of scipy's.
    // SOURCE: fixtures/outside/field.json, made by field.py there.
    // TOLERANCE: rounding of a hundred-fold sum; heights are millimetres.
    #[test]
    fn agrees_with_dense_algebra() {
        let recorded: Recorded =
            serde_json::from_str(include_str!("../../../../fixtures/outside/field.json")).unwrap();
        let floor = floor(&recorded.readings);
        let finer = floor.finer();
        let base = Field::new(&floor, &finer, (5e-4, 5e-4), &|| ()).unwrap();
        assert_eq!(finer.vertices().len(), recorded.places.len());
        let vertex = |p: &[f64; 2]| {
            let at = Point::new(p[0], p[1]);
            finer
                .vertices()
                .iter()
                .position(|v| v.at.distance(at) < 1e-9)
                .expect("the same mesh")
        };
        let (given, _) = gather(&finer).unwrap();
        let mut likelihoods: Vec<f64> = Vec::new();
        for case in &recorded.cases {
            let sizes = Sizes {
                smoothness: if case.order == 1 {
                    Smoothness::Rough
                } else {
                    Smoothness::Smooth
                },
                sd_m: case.sd_m,
                range_m: case.range_m,
                noise_m: case.noise_m,
            };
            let mut posterior = Posterior::new(&given, sizes, None, &mut None).unwrap();
            let (mean, variance) = (posterior.mean(), posterior.variance());
            for (i, p) in recorded.places.iter().enumerate() {
                let v = vertex(p);
                let height = mean[v] + base.plane[v];
                assert!(
                    (height - case.mean_m[i]).abs() < 1e-8,
                    "{height} {case_mean}",
                    case_mean = case.mean_m[i]
                );
                let deviation = variance[v].sqrt();
                assert!((deviation / case.deviation_m[i] - 1.0).abs() < 1e-6);
            }
            likelihoods.push(posterior.log_likelihood() - case.log_likelihood);
        }
        // Of the restricted likelihood a constant is left out.
        assert!(
            likelihoods.windows(2).all(|w| (w[0] - w[1]).abs() < 1e-6),
            "{likelihoods:?}"
        );
    }

    // ORACLE: hand. On a square grid bowls differ from planes; in two rows a bowl across them is a level of each.
    #[test]
    fn bowls_are_told_where_readings_can_tell_them() {
        let grid = |nx: u32, ny: u32| -> Vec<Point> {
            let at = |k: u32, n: u32| f64::from(k) / f64::from(n - 1) - 0.5;
            (0..nx * ny)
                .map(|k| Point::new(at(k % nx, nx), at(k / nx, ny)) * 1.4)
                .collect()
        };
        assert!(tell_bowls(&grid(7, 8)) && tell_bowls(&grid(4, 6)));
        assert!(!tell_bowls(&grid(20, 2)) && !tell_bowls(&grid(3, 3)));
    }

    /// Means and variances of a field at the vertices: of several kinds by the law of total variance.
    fn told(field: &mut Field) -> (Vec<f64>, Vec<f64>) {
        let whole: f64 = field.kinds.iter().map(|k| k.share).sum();
        let n = field.plane.len();
        let (mut mean, mut squares) = (vec![0.0; n], vec![0.0; n]);
        for kind in &mut field.kinds {
            let of = &mut kind.posterior;
            let share = kind.share / whole;
            for (v, (m, var)) in of.mean().into_iter().zip(of.variance()).enumerate() {
                mean[v] += share * m;
                squares[v] += share * (var + m * m);
            }
        }
        let variance = squares.iter().zip(&mean).map(|(s, m)| s - m * m).collect();
        (mean, variance)
    }

    // ORACLE: property. Draws scatter about the mean as the variance says, of either kind alone and of both together: of 400 the mean of
    // each corner lies within five standard errors, and the variance within a third.
    #[test]
    fn draws_scatter_as_the_variance_says() {
        let recorded: Recorded =
            serde_json::from_str(include_str!("../../../../fixtures/outside/field.json")).unwrap();
        let floor = floor(&recorded.readings);
        let finer = floor.finer();
        // Whatever these readings speak for, here both are drawn.
        let of = |kinds: &[(f64, Smoothness)]| {
            let mut field = Field::new(&floor, &finer, (5e-4, 5e-4), &|| ()).unwrap();
            let (given, _) = gather(&finer).unwrap();
            let kind = |&(share, smoothness): &(f64, Smoothness)| {
                let pieces = std::slice::from_ref(&given);
                let fitted =
                    fit::believable(pieces, smoothness, (5e-4, 5e-4), floor.spacing(), &|| ());
                let sizes = fitted.unwrap().sizes;
                let scale = fit::local(&given, &finer, sizes, floor.spacing(), &|| ()).unwrap();
                Kind {
                    share,
                    sizes,
                    posterior: Posterior::new(&given, sizes, Some(&scale), &mut None).unwrap(),
                }
            };
            field.kinds = kinds.iter().map(kind).collect();
            field
        };
        let (rough, smooth) = (Smoothness::Rough, Smoothness::Smooth);
        for mut field in [
            of(&[(1.0, rough)]),
            of(&[(1.0, smooth)]),
            of(&[(0.7, rough), (0.3, smooth)]),
            of(&[(0.2, rough), (0.8, smooth)]),
        ] {
            let plane = field.plane.clone();
            let (mean, variance) = told(&mut field);
            let mut draws = field.draws(7, Ties::default());
            let count = 400;
            let (mut sum, mut squares) = (vec![0.0; mean.len()], vec![0.0; mean.len()]);
            for _ in 0..count {
                for (v, z) in draws.next_heights().into_iter().enumerate() {
                    let off = z - plane[v] - mean[v];
                    sum[v] += off;
                    squares[v] += off * off;
                }
            }
            for v in 0..mean.len() {
                let n = f64::from(count);
                assert!((sum[v] / n).abs() < 5.0 * (variance[v] / n).sqrt());
                assert!((squares[v] / n / variance[v] - 1.0).abs() < 0.34);
            }
        }
    }

    // ORACLE: closed form: the finer mesh is the same surface, its neighbours lie across the same sides.
    #[test]
    fn the_finer_mesh_is_the_same_surface() {
        let recorded: Recorded =
            serde_json::from_str(include_str!("../../../../fixtures/outside/field.json")).unwrap();
        let floor = floor(&recorded.readings);
        let finer = floor.finer();
        assert!((finer.area() - floor.area()).abs() < 1e-12);
        for t in 0..finer.triangles().len() as u32 {
            for e in 0..3 {
                let crate::surface::Across::Floor(other) = finer.across(t, e) else {
                    continue;
                };
                let (own, beyond) = (
                    finer.triangles()[t as usize],
                    finer.triangles()[other as usize],
                );
                assert!(beyond.contains(&own[e]) && beyond.contains(&own[(e + 1) % 3]));
            }
            let middle = finer
                .corners(t)
                .iter()
                .fold(Point::default(), |s, v| s + v.at * (1.0 / 3.0));
            let off = finer.height_on(t, middle) - floor.height_at(middle).unwrap();
            assert!(off.abs() < 1e-12);
        }
        assert_eq!(finer.border().count(), 2 * floor.border().count());
    }
}
