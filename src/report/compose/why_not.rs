//! Why a file that was asked for by its name has nothing to show.

use super::wanted::Sheet;
use crate::analysis::Analysis;
use crate::report::words::why_not as w;

/// Most marks that a crew is given on paper: 20,000 are 400 pages of them.
const MOST_MARKED: usize = 20_000;
/// Most readings in a workbook; more take gigabytes while it is made.
const MOST_IN_WORKBOOK: usize = 200_000;

/// Whether a file would hold more readings than it is made for, as of a scan.
pub fn too_large(sheet: Sheet, a: &Analysis) -> bool {
    let most = match sheet {
        Sheet::MarkOut => MOST_MARKED,
        Sheet::Workbook => MOST_IN_WORKBOOK,
        _ => return false,
    };
    a.survey.readings.len() > most
}

/// Why this file cannot be made of a room, and what to do; for one that was asked for and did not come.
pub fn why_not(sheet: Sheet, a: &Analysis) -> String {
    match sheet {
        Sheet::MarkOut if too_large(sheet, a) => w::too_many_marks(MOST_MARKED),
        Sheet::Workbook if too_large(sheet, a) => w::too_many_rows(MOST_IN_WORKBOOK),
        Sheet::PourMap | Sheet::Pour => match (&a.settings.material, &a.no_pour) {
            (None, _) => w::NO_MATERIAL.to_owned(),
            (Some(_), Some(why)) => why.to_string(),
            (Some(_), None) => w::NO_BATCH.to_owned(),
        },
        Sheet::PatchMap | Sheet::GrindPatch => match (&a.no_patch, &a.patch) {
            (Some(why), _) => why.clone(),
            (None, Some(_)) => w::NO_PATCH.to_owned(),
            (None, None) => w::NO_LIMIT.to_owned(),
        },
        Sheet::FlatnessMap
        | Sheet::HumpMap
        | Sheet::CoverageMap
        | Sheet::SpanCurve
        | Sheet::Flatness => w::NO_EDGE.to_owned(),
        Sheet::Notice => match &a.flatness {
            Some(_) => w::NOTHING_OPEN.to_owned(),
            None => w::NO_EDGE.to_owned(),
        },
        _ => w::NO_FINISH.to_owned(),
    }
}
