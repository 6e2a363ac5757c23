//! The blank field sheet and its workbook, before anything was read.

use super::choices::PaperSize;
use super::error::JobError;
use super::words::{bad, habit_of, positive, unit_of};
use crate::geometry::{Point, Ring};
use crate::import::{self, ImportOptions, Source};
use crate::report::field::{FieldGrid, field_sheet as sheet};
use crate::report::field_workbook::field_workbook;
use crate::report::{Head, Press, ReportError};
use crate::survey::{Room, Wall};
use crate::units::Habit;

/// What a field sheet is asked for.
#[derive(Debug, Clone, Default)]
pub struct FieldRequest {
    /// Width by depth, such as `24ftx30ft`; not used when an outline is given.
    pub room: String,
    /// An outline file: name and bytes.
    pub outline: Option<(String, Vec<u8>)>,
    /// Distance between readings.
    pub spacing: String,
    /// Name on the sheet.
    pub title: String,
    /// Sheet of paper; with none, the one that goes with the unit of the spacing.
    pub paper: Option<PaperSize>,
}

/// The field sheet as PDF and the blank workbook that goes with it.
///
/// # Errors
/// A room or a spacing that cannot be read; an outline with faults; more boxes than can be meant.
pub fn field_sheet(request: &FieldRequest) -> Result<Vec<(String, Vec<u8>)>, JobError> {
    let spacing_m = positive("spacing", &request.spacing)?;
    let room = match &request.outline {
        Some((name, bytes)) => import::outline(&Source { name, bytes }, &ImportOptions::default())?,
        None => rectangle(&request.room)?,
    };
    let habit = habit_of(unit_of("spacing", &request.spacing)?);
    let paper = request.paper.unwrap_or(PaperSize::usual(habit));
    let head = Head {
        title: request.title.clone(),
        habit,
        paper: paper.into(),
        ..Head::default()
    };
    let grid = FieldGrid::new(room, spacing_m).map_err(|e| match e {
        // In the words that were given.
        ReportError::Range { wanted, .. } => bad(
            "spacing",
            &request.spacing,
            &format!("expected {wanted}, here {}", request.room),
        ),
        other => other.into(),
    })?;
    let ends = [&grid.columns_m, &grid.rows_m].map(|m| m.last().copied().unwrap_or(0.0));
    if spacing_m > ends[0].max(ends[1]) {
        return Err(bad(
            "spacing",
            &request.spacing,
            &format!(
                "expected one that is not longer than the room, here {}",
                request.room
            ),
        ));
    }
    let unit = match habit {
        Habit::Us => "in",
        Habit::Metric => "mm",
    };
    Ok(vec![
        (
            "field-sheet.pdf".to_owned(),
            Press::new().print(&sheet(&head, &grid)?)?,
        ),
        (
            "field-sheet.xlsx".to_owned(),
            field_workbook(&head, &grid, unit).to_xlsx()?,
        ),
    ])
}

/// Longest side of a room that is believed, metres.
const LONGEST_ROOM_M: f64 = 1_000.0;

/// `24ftx30ft`, `7.2 m x 9 m`: width to the right, depth up from the door wall.
fn rectangle(text: &str) -> Result<Room, JobError> {
    let bad = || {
        JobError::BadValue {
        key: "room".to_owned(),
        found: text.to_owned(),
        why: "expected width x depth with units, each 1000 m (3280 ft) at most, such as 24ftx30ft or \"7.2 m x 9 m\", or an outline file"
            .to_owned(),
    }
    };
    let (width, depth) = text.split_once(['x', 'X', '×']).ok_or_else(bad)?;
    let (w, d) = (positive("room", width)?, positive("room", depth)?);
    if w.max(d) > LONGEST_ROOM_M {
        return Err(bad());
    }
    let wall = |name: &str, x: f64, y: f64| Wall {
        name: name.to_owned(),
        at: Point::new(x, y),
    };
    Ok(Room {
        outline: Ring::new(vec![
            Point::new(0.0, 0.0),
            Point::new(w, 0.0),
            Point::new(w, d),
            Point::new(0.0, d),
        ]),
        voids: Vec::new(),
        slopes: Vec::new(),
        joints: Vec::new(),
        doors: Vec::new(),
        fixtures: Vec::new(),
        walls: vec![
            wall("near wall", w / 2.0, 0.0),
            wall("right wall", w, d / 2.0),
            wall("far wall", w / 2.0, d),
            wall("left wall", 0.0, d / 2.0),
        ],
    })
}
