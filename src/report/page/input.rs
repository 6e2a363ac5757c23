//! What the page is made from: plain values, metres, and words that are already in the crew's units.

use crate::drawing::MarkUnit;
use crate::fill::Plane;
use crate::flatness::CheckResult;
use crate::geometry::Point;
use crate::report::orientation::Orientation;
use crate::surface::Floor;
use crate::survey::{Laid, Notice, Room};
use crate::units::Habit;

/// Everything the page shows. Text may hold anything the user wrote: it is escaped here and nowhere before.
#[derive(Debug, Clone)]
pub struct PageInput<'a> {
    /// What the job is called.
    pub title: String,
    /// Lines under the title: place, who, when, revision; empty ones are left out.
    pub head: Vec<String>,
    /// Units of every number on the page.
    pub habit: Habit,
    /// The floor that every depth and gap on the page is computed from.
    pub floor: &'a Floor,
    /// Walls' names, voids' names, doors, joints; `None` when only readings are known.
    pub room: Option<&'a Room>,
    /// The two walls that places are told from.
    pub orientation: Orientation,
    /// Which way round the sheet of readings lies.
    pub laid: Option<Laid>,
    /// What the figures at the marks count, as those of the mark-out.
    pub unit: MarkUnit,
    /// Finish plane; without one the map shows depths below the high point.
    pub plane: Option<Plane>,
    /// Highest mark.
    pub high: Extreme,
    /// Lowest mark.
    pub low: Extreme,
    /// Every reading, in the order of the sheet.
    pub marks: Vec<Mark>,
    /// Lengths of edge to offer, metres.
    pub spans_m: Vec<f64>,
    /// Checks with their verdicts.
    pub checks: &'a [CheckResult],
    /// Other short answers: volume, bags, heights at doors.
    pub facts: Vec<Fact>,
    /// Findings to look at.
    pub notices: &'a [Notice],
    /// Closing lines: input hashes, version, method.
    pub about: Vec<String>,
}

/// A highest or lowest place.
#[derive(Debug, Clone, PartialEq)]
pub struct Extreme {
    /// Where, metres.
    pub at: Point,
    /// Height, metres.
    pub elevation_m: f64,
    /// Mark and place in words.
    pub words: String,
}

/// A reading as the page shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Name of the mark.
    pub label: String,
    /// Where, metres.
    pub at: Point,
    /// Height, metres.
    pub elevation_m: f64,
    /// The reading in the sheet's own words, with its unit if that was not in the cell.
    pub reading: String,
    /// The sheet's note.
    pub note: String,
}

/// A short answer: a name, its value, and what to know about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fact {
    /// `Material`.
    pub name: String,
    /// `21.4 cu ft`.
    pub value: String,
    /// `47 bags with 10 % waste`; may be empty.
    pub remark: String,
}

impl Fact {
    /// A fact from its three parts.
    pub fn new(name: &str, value: impl Into<String>, remark: impl Into<String>) -> Self {
        Self {
            name: name.to_owned(),
            value: value.into(),
            remark: remark.into(),
        }
    }
}
