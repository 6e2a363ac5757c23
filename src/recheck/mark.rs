//! A mark read before the work and after it.

use crate::geometry::Point;

/// What is wrong at a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Remark {
    /// Less material than the least asked for.
    Thin,
    /// Higher than the planned finish by more than is allowed.
    Proud,
    /// Lower than the planned finish by more than is allowed.
    Low,
    /// Lower than it was before, by more than so many honest readings differ.
    Lost,
}

/// One mark on both days. Heights over the first day's datum.
#[derive(Debug, Clone, PartialEq)]
pub struct RecheckMark {
    /// Point name.
    pub label: String,
    /// Plan position.
    pub at: Point,
    /// The reading before, as it was written.
    pub before_text: String,
    /// The reading after, as it was written.
    pub after_text: String,
    /// Placed thickness, metres: after less before, up positive.
    pub placed_m: f64,
    /// Thickness that was planned here, metres.
    pub planned_m: Option<f64>,
    /// Height above the planned finish, metres; negative below it.
    pub off_finish_m: Option<f64>,
    /// What is wrong here.
    pub remarks: Vec<Remark>,
}
