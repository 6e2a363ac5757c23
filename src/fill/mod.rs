//! Row 6. Finish plane, volume, stage curve, material sheet, take-off.

mod amount;
mod as_poured;
mod cautions;
mod doubt;
mod gauges;
mod grind;
mod heights;
mod limits;
mod lines;
mod material;
mod need;
mod place;
mod price;
mod prism;
mod quantities;
mod result;
mod settle;
mod sheet;
mod spots;
mod stage;
mod sum;
mod take_off;
mod tilt;
mod toml_words;
mod volume;

pub use amount::{GALLON_M3, Kind, POUND_KG, PSF_KG_M2, QUART_M3, parse_amount};
pub use as_poured::Poured;
pub use cautions::OPEN_EDGE;
pub use doubt::{Enough, VolumeDoubt, volume_doubt};
pub use gauges::{GaugeRow, side_by_side};
pub use grind::{GrindRow, GrindSteps, grind_as_poured, grind_or_fill};
pub use heights::{
    BEVELLED_STEP_M, HeightAt, NamedPoint, Step, VERTICAL_STEP_M, heights_after, named_points, step,
};
pub use limits::{MOST_DEEP_M, MOST_DEPTH_M, SAY_DEEP};
pub use lines::{Dam, DamKind, DamStation, Perimeter, SlopeLeft, dams, perimeter, slopes_left};
pub(crate) use material::rounded_up;
pub use material::{MOST_BAGS, Material, MissingValue, Primer, TooManyBags, whole_bags};
pub use need::{Aim, FlatSummary, Levelling, NeedForPour, need_for_pour};
pub use place::{FloorPlace, OffFloor, mark_heights, place_on};
pub use price::{CostLine, Costs, Prices};
pub use prism::{Cut, positive_part};
pub use quantities::{
    Bags, BandQuantity, Batches, Lifts, PrimerNeed, Sensitivity, TakeOff, TakeOffError,
    TakeOffRequest, ThinCover, Water, Weight,
};
pub use result::{DepthBand, Fill, Known, Plane, PlaneRule, StagePoint};
pub use settle::{Settled, settle, settle_bags, settle_rake};
pub use sheet::{SheetError, SheetFault};
pub use spots::{Spot, spots_above};
pub use stage::Stage;
pub use take_off::{lifts_for, take_off, weight};
pub use tilt::{TILT_WARNING, centroid, least_fill};
pub use toml_words::{toml_fault, toml_line};
pub use volume::{BANDS_METRIC_M, BANDS_US_M, bands, compute, plane_of};
