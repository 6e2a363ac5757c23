//! Maps over several pages, and maps that must stand upright.

use crate::analysis::Analysis;
use crate::drawing::{DrawingError, Role, Scene, SheetStyle};
use crate::geometry::Point;
use crate::report::crew::SheetDrawing;
use crate::report::{Cut, Paper, ReportError, cut};

/// Share of the readings whose numbers one page must show; with fewer the map goes over several.
const NUMBERS_SHOWN: f64 = 0.9;

/// Whether a map shows enough of its marks' numbers.
pub(super) fn marks_shown(a: &Analysis, map: &Scene) -> bool {
    let shown = map
        .texts()
        .filter(|t| matches!(t.role, Role::Mark | Role::High | Role::Low))
        .count();
    shown as f64 >= NUMBERS_SHOWN * a.readings_used as f64
}

/// The pages at which every mark has room for its number; `None` where one does or where no sensible count
/// of pages would.
pub(super) fn marks_cut(a: &Analysis, paper: Paper) -> Option<Cut> {
    let outline = a.floor.region().outline.points();
    let extent = |along: fn(&Point) -> f64| {
        let (low, high) = outline
            .iter()
            .map(along)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
                (l.min(v), h.max(v))
            });
        high - low
    };
    let plan = (extent(|p| p.x), extent(|p| p.y));
    Cut::for_marks(a.settings.habit, plan, a.floor.spacing(), paper)
}

/// Draws in a given style.
pub(super) type Draw<'a> = dyn Fn(SheetStyle) -> Result<Scene, DrawingError> + 'a;

/// A map drawn larger than the paper and cut into pages, index first.
pub(super) fn over_pages(
    pages: Option<Cut>,
    style: &SheetStyle,
    draw: &Draw<'_>,
) -> Result<Vec<SheetDrawing>, ReportError> {
    let Some(pages) = pages else {
        return Ok(Vec::new());
    };
    let poster = draw(SheetStyle {
        poster_mm: Some(pages.poster_mm()),
        ..style.clone()
    })?;
    cut(&poster, &pages)
}

/// A map on an upright sheet; a plan that fits none lies.
pub(super) fn upright(style: &SheetStyle, draw: &Draw<'_>) -> Result<Scene, ReportError> {
    let standing = draw(SheetStyle {
        upright: true,
        ..style.clone()
    });
    match standing {
        Ok(scene) => Ok(scene),
        Err(_) => Ok(draw(style.clone())?),
    }
}
