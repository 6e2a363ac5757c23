//! Readings that stand on a joint: of which side they are.

use super::model::{Posterior, Smoothness};
use super::{fit, gather, in_pieces};
use crate::surface::doubt::Told;
use crate::surface::{Floor, Source};
use std::collections::BTreeMap;

/// A reading is none of a side that speaks against it by so much more than the other: the difference of the squares of how many deviations it lies off
/// what all other readings say there, odds of twenty to one.
const AGAINST: f64 = 6.0;
/// One that lies farther off on both sides than so many deviations is of neither, and stays with both.
const FOR: f64 = 4.0;

/// The floor with readings on a joint left to the side that they are of, where the other speaks against them; `None` where none does.
///
/// A rule at a joint stands on one side of it. The surface takes its reading for both, which hides a step there; taken so by the field as well,
/// a step between such a reading and those beside it would show the floor to be rough all over.
/// # Method
/// The field is fitted without the readings on joints, and each is held against what it says of the floor on either side there.
pub(super) fn with_own_sides(
    finer: &Floor,
    (noise_m, least_m): (f64, f64),
    spacing_m: f64,
    told: Told<'_>,
) -> Option<Floor> {
    let mut vertices_of: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (v, vertex) in finer.vertices().iter().enumerate() {
        if let Source::Reading(r) = vertex.source {
            vertices_of.entry(r).or_default().push(v);
        }
    }
    vertices_of.retain(|_, vertices| vertices.len() > 1);
    if vertices_of.is_empty() {
        return None;
    }
    let without = unread(finer, vertices_of.values().flatten().copied())?;
    let (given, plane) = gather(&without).ok()?;
    let pieces = in_pieces(&without, &given);
    let fitted = fit::believable(
        &pieces,
        Smoothness::Rough,
        (noise_m, least_m),
        spacing_m,
        told,
    )?;
    let scale = fit::local(&given, &without, fitted.sizes, spacing_m, told)?;
    let mut posterior = Posterior::new(&given, fitted.sizes, Some(&scale), &mut None)?;
    let (mean, variance) = (posterior.mean(), posterior.variance());
    let off = |v: usize| -> f64 {
        // Of a plate that no other reading stands on nothing is known.
        if given.is_unread(v) {
            return 0.0;
        }
        let height_m = finer.vertices()[v].z - plane[v];
        (height_m - mean[v]).abs() / (variance[v] + noise_m * noise_m).sqrt()
    };
    let mut foreign: Vec<usize> = Vec::new();
    for vertices in vertices_of.values() {
        let least = vertices.iter().map(|&v| off(v)).fold(f64::MAX, f64::min);
        let is_foreign = |&v: &usize| off(v).powi(2) - least.powi(2) > AGAINST;
        if least < FOR {
            foreign.extend(vertices.iter().copied().filter(is_foreign));
        }
    }
    if foreign.is_empty() {
        return None;
    }
    unread(finer, foreign.into_iter())
}

/// The floor with nothing read at these vertices.
fn unread(floor: &Floor, at: impl Iterator<Item = usize>) -> Option<Floor> {
    let mut vertices = floor.vertices().to_vec();
    for v in at {
        vertices[v].source = Source::Between;
    }
    Floor::from_parts(vertices, floor.triangles().to_vec(), floor.region().clone()).ok()
}
