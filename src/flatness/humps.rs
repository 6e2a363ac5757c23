//! The highest humps under an edge of one length, where the readings can show them.

use super::coverage::coverage;
use super::edge::{SearchOptions, Searcher};
use super::net::{Ground, Joints};
use super::without::without_readings;
use super::{Departure, Placement};
use crate::surface::Floor;

/// The highest humps of a floor over chords of `span_m`, at most `most` of them, each at a place of its own.
///
/// # Units, datum, sign
/// Metres; how far the floor stands over the straight line between two of its points.
/// # Method
/// The certified search, on floor whose readings stand no farther apart than half the span: between readings farther apart
/// the fold of a triangle would be told for a ridge of the floor. `without` names readings that are not to take part: beside one that
/// is too low the sound floor round it looks like a ridge.
pub fn humps(floor: &Floor, span_m: f64, most: usize, without: &[u32]) -> Vec<Placement> {
    let close = coverage(floor, Ground::Surveyed, span_m).coarse_mask();
    let mask = without_readings(floor, close, without);
    if !mask.contains(&true) {
        return Vec::new();
    }
    let searcher = Searcher::on_part(floor, Departure::Hump, &mask, Joints::Cross);
    let result = searcher.search(span_m, &SearchOptions::default(), &|_| ());
    searcher.places(&result, most)
}
