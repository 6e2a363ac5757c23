//! Row 9. Analysis to maps, span curve and profiles.
//!
//! A drawing is a [`Scene`] first: shapes and text in millimetres of paper. [`svg`] draws it through
//! plotters; [`fn@png`] fills that same SVG; a PDF embeds it. So every format shows one drawing.

mod areas;
mod axis;
mod backend;
mod bands;
mod chart;
mod contours;
mod curve;
mod depth_map;
mod edges;
mod error;
mod figures;
mod flatness_map;
pub mod font;
mod grid;
mod hand_map;
mod hatch;
mod key;
mod labels;
mod level;
mod map;
mod map_grid;
mod map_marks;
mod map_names;
mod map_shade;
mod marks;
mod paper;
mod patch_map;
mod plan;
mod png;
mod pour_map;
mod profile;
mod ramp;
mod room;
mod room_signs;
mod scene;
mod screen_map;
mod sheet;
mod small_plan;
mod svg;
pub mod words;

pub use backend::escaped;
pub use bands::BandScale;
pub use curve::{LimitLine, SpanCurveInput, span_curve};
pub use depth_map::{DepthMapInput, depth_map, height_map, level_below_map};
pub use error::DrawingError;
pub use figures::MarkUnit;
pub use flatness_map::{CoverageMapInput, EdgeMark, FlatnessMapInput, coverage_map, flatness_map};
pub use grid::{Grid, GridLine};
pub use hand_map::{HandMapInput, hand_map};
pub use map::Subject;
pub use paper::{Paper, Scale, largest_scale, standard_scales};
pub use patch_map::{PatchMapInput, patch_map};
pub use png::{DEFAULT_DPI, png, svg_to_png};
pub use pour_map::{PourMapInput, pour_map};
pub use profile::{ProfileInput, profile};
pub use ramp::{Ink, shades};
pub use scene::{Anchor, Dash, PaperPoint, Rect, Role, Scene, Shape, Text};
pub use screen_map::{ScreenMap, ScreenMapInput, screen_map};
pub use sheet::{SheetStyle, TitleBlock};
pub use small_plan::{SmallPlan, small_plan};
pub use svg::{svg, svg_in_page};
