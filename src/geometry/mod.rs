//! Row 2. Points, rings, regions with voids, robust predicates, triangulation.
//!
//! Plain `f64` in metres; x to the right, y up, seen from above. Knows no units and no survey.

mod fixed_edges;
mod grid;
mod hull;
mod mesh;
mod point;
mod predicate;
mod ring;
mod segment;
mod slabs;
mod stretches;
mod validation;
mod walk;
mod ways;

pub use grid::{BoxGrid, PointGrid, bounds};
pub use hull::convex_hull;
pub use mesh::{Mesh, MeshError, NONE, next, prev};
pub use point::{Point, triangle_shares};
pub use predicate::{circle_excess, in_circle, orient};
pub use ring::{Region, Ring, around, twice_area};
pub use segment::Segment;
pub use slabs::RegionIndex;
pub use stretches::{floor_stretches, is_floor_along};
pub use validation::{RegionFault, RingFault, RingName, SAME_LINE_M, inner_point, ring_faults};
pub use walk::{Crossing, Lean, Ray, Triangles, Walk};
pub use ways::Ways;
