//! Row 7. Least material that brings the floor within its checks.

mod chord;
mod find;
mod near;
mod past;
mod plan;
mod programme;
mod prove;
mod ray;
mod request;
mod result;
mod spots;
mod steps;

pub use plan::{FEATHER_M, plan};
pub use request::{FullPour, PatchLimit, PatchRequest};
pub use result::{PatchCheck, PatchError, PatchPlan, PatchSpot};
