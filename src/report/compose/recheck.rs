//! The re-check sheet with its two maps, at one scale and in one set of shades.

use super::drawings::height_over;
use super::{Named, head, on_paper};
use crate::analysis::{Analysis, Tell};
use crate::drawing::{BandScale, MarkUnit, png, svg};
use crate::flatness::{Departure, Ground, Joints, SearchOptions, Searcher};
use crate::geometry::{Point, Segment};
use crate::report::marks::Orientation;
use crate::report::recheck::Recheck;
use crate::report::recheck_sheet::{RecheckSheet, Ridge};
use crate::report::{Paper, Press, ReportError};

/// Edge that ridges at tie-ins are sought with, metres: 2 ft. Common practice, no published source.
const RIDGE_EDGE_M: f64 = 0.6096;
/// Ridges lower than this are trowel marks, metres.
const LEAST_RIDGE_M: f64 = 0.001;
/// Most ridges listed.
const MOST_RIDGES: usize = 4;

/// The re-check sheet as PDF, its maps as SVG and PNG.
///
/// # Errors
/// [`ReportError`] when a drawing or the sheet cannot be made.
pub fn recheck(
    before: &Analysis,
    after: &Analysis,
    compared: &Recheck,
    paper: Paper,
    tell: Tell<'_>,
) -> Result<Vec<Named>, ReportError> {
    tell("Drawing", 0.0);
    let unit = MarkUnit::usual(after.settings.habit);
    // One datum for both maps: the higher of the two high points.
    let top = before
        .levels
        .high
        .elevation_m
        .max(after.levels.high.elevation_m + compared.shift_m);
    let deepest = top
        - before
            .levels
            .low
            .elevation_m
            .min(after.levels.low.elevation_m + compared.shift_m);
    let bands = BandScale::covering(0.0, deepest, unit);
    let first = height_over(before, paper, top, &bands)?;
    let second = height_over(after, paper, top - compared.shift_m, &bands)?;
    let orientation = Orientation::of(&after.survey);
    let ridges = ridges(before, after);
    let head = head(after, paper);
    let checks = |a: &Analysis| {
        a.flatness
            .as_ref()
            .map_or_else(Vec::new, |f| f.checks.clone())
    };
    let (was, is) = (checks(before), checks(after));
    let maps = [on_paper(&first)?, on_paper(&second)?];
    let sheet = RecheckSheet {
        head: &head,
        before_when: before.settings.about.when.clone(),
        recheck: compared,
        orientation: &orientation,
        least_cover_m: after.settings.material.as_ref().and_then(|m| m.min_depth_m),
        before: &was,
        after: &is,
        ridges: &ridges,
        maps: &maps,
    };
    tell("Paper", 0.5);
    let mut files = vec![(
        "recheck.pdf".to_owned(),
        Press::new().print(&sheet.document())?,
    )];
    for (name, scene) in [("before", &first), ("after", &second)] {
        files.push((format!("height-map-{name}.svg"), svg(scene)?.into_bytes()));
        files.push((
            format!("height-map-{name}.png"),
            png(scene, crate::drawing::DEFAULT_DPI)?,
        ));
    }
    Ok(files)
}

/// Humps under a short edge on the finished floor, with the tie-ins they lie at.
fn ridges(before: &Analysis, after: &Analysis) -> Vec<Ridge> {
    let searcher = Searcher::new(
        &after.floor,
        Departure::Hump,
        Ground::Surveyed,
        Joints::Cross,
    );
    let result = searcher.search(RIDGE_EDGE_M, &SearchOptions::default(), &|_| ());
    // Between readings a ridge may lie anywhere up to the next one.
    let near_m = after.floor.spacing() / 2.0;
    searcher
        .places(&result, MOST_RIDGES)
        .into_iter()
        .filter(|p| p.gap_m > LEAST_RIDGE_M)
        .map(|placement| Ridge {
            placement,
            tie_in: tie_in_at(before, placement.at, near_m),
        })
        .collect()
}

/// The batches whose planned tie-in passes a place, the nearest tie-in first.
fn tie_in_at(before: &Analysis, at: Point, near_m: f64) -> Option<(u32, u32)> {
    let batches = before.pour.iter().flat_map(|p| &p.batches);
    batches
        .flat_map(|b| b.tie_lines.iter().map(move |line| (b, line)))
        .map(|(b, [from, to])| (b, Segment::new(*from, *to).distance(at)))
        .filter(|(_, away)| *away <= near_m)
        .min_by(|x, y| x.1.total_cmp(&y.1))
        .and_then(|(b, _)| {
            let longest = b
                .ties
                .iter()
                .max_by(|x, y| x.length_m.total_cmp(&y.length_m))?;
            Some((longest.to, b.number))
        })
}
