//! The sheets that say where to lay the edge by hand.

use super::drawings::hand_plan;
use super::{Named, head, on_paper};
use crate::analysis::{Analysis, HandList};
use crate::geometry::Point;
use crate::report::hand_sheet::HandSheets;
use crate::report::orientation::Orientation;
use crate::report::words::hand as w;
use crate::report::{Paper, Pen, Press, ReportError};

/// The name that all of them bear.
const NAME: &str = "hand-edges";

/// Table, workbook and paper, and what they ask for in a line for each edge.
///
/// # Errors
/// [`ReportError`] when a drawing or a sheet cannot be made.
pub fn hand_sheets(
    a: &Analysis,
    list: &HandList,
    paper: Paper,
) -> Result<(Vec<Named>, Vec<String>), ReportError> {
    let head = head(a, paper);
    let orientation = Orientation::of(&a.survey);
    let sheets = HandSheets {
        head: &head,
        orientation: &orientation,
        list,
    };
    let mut plans = Vec::new();
    let mut told = Vec::new();
    for group in sheets.groups() {
        let edges: Vec<(usize, Point, Point)> =
            group.iter().map(|p| (p.number, p.from, p.to)).collect();
        let title = sheets.asked(group);
        plans.push(on_paper(&hand_plan(a, paper, &title, &edges)?)?);
        told.push(title);
    }
    let pen = Pen::new(a.settings.habit);
    told.extend(list.no_room.iter().map(|e| w::no_room(&pen.span(e.span_m))));
    let files = vec![
        (format!("{NAME}.csv"), sheets.csv().into_bytes()),
        (format!("{NAME}.xlsx"), sheets.workbook().to_xlsx()?),
        (
            format!("{NAME}.pdf"),
            Press::new().print(&sheets.document(&plans))?,
        ),
    ];
    Ok((files, told))
}
