//! Row 8. One value that holds every number anyone prints later.

mod about;
mod analyse;
mod between;
mod choices;
mod codes;
mod cut;
mod departures;
mod error;
mod filling;
mod finish;
mod flat;
mod hand;
mod hand_notices;
mod levels;
mod marks;
mod named;
mod patches;
mod placements;
mod repeats;
mod settings;
mod step;
mod suspicion;
mod together;

pub use about::{About, InputFile};
pub use analyse::{Analysis, analyse};
pub use between::{Between, ReadNext, WhyRead};
pub use choices::{Choices, WayOut, Work};
pub use codes::CODES;
pub use cut::EdgeCut;
pub use departures::{Covered, Departures, Unjudged};
pub use error::AnalysisError;
pub use filling::Filling;
pub use flat::{Flatness, judge_options, usual_span_m};
pub use hand::{HandList, HandPlace, hand_list};
pub use hand_notices::hand_seed;
pub use levels::{LevelPeak, LevelSpot, Levels};
pub use marks::{Mark, marks};
pub use placements::{Numbered, departure, numbered};
pub use repeats::Repeatability;
pub use settings::{
    CrewSettings, FallHeight, GAUGE_METRIC_M, GAUGE_US_M, PlaneAsk, ReadingDoubt, SampleLines,
    Settings, Tell, WASTE, Want,
};
pub use step::ReadingStep;
pub use together::{RoomQuantities, Together};
