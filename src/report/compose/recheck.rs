//! The re-check sheet with its two maps, at one scale and in one set of shades.

use super::drawings::height_over;
use super::{Named, facts, head, on_paper};
use crate::analysis::{Analysis, Tell};
use crate::drawing::{BandScale, MarkUnit, png, svg};
use crate::recheck::Recheck;
use crate::report::orientation::Orientation;
use crate::report::recheck_sheet::RecheckSheet;
use crate::report::words;
use crate::report::{Paper, Press, ReportError};

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
    let was_m = before.levels.high.elevation_m;
    let is_m = after.levels.high.elevation_m + compared.shift_m;
    let (top, of_after) = (was_m.max(is_m), is_m > was_m);
    let highest = if of_after { after } else { before };
    let zero = words::plan::one_level(&highest.levels.high.label, of_after);
    let deepest = top
        - before
            .levels
            .low
            .elevation_m
            .min(after.levels.low.elevation_m + compared.shift_m);
    let bands = BandScale::covering(0.0, deepest, unit);
    let first = height_over(before, paper, (top, &zero), &bands)?;
    let second = height_over(after, paper, (top - compared.shift_m, &zero), &bands)?;
    let orientation = Orientation::of(&after.survey);
    let head = head(after, paper);
    let checks = |a: &Analysis| {
        a.flatness
            .as_ref()
            .map_or_else(Vec::new, |f| f.checks.clone())
    };
    let (was, is) = (checks(before), checks(after));
    let maps = [on_paper(&first)?, on_paper(&second)?];
    let reading = facts::reading(after);
    let sheet = RecheckSheet {
        head: &head,
        before_when: before.settings.about.when.clone(),
        recheck: compared,
        orientation: &orientation,
        least_cover_m: after.settings.material.as_ref().and_then(|m| m.min_depth_m),
        before: &was,
        after: &is,
        reading: &reading,
        notices: &after.notices,
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
