//! Row 6. Deviation from a straight edge: every place, every direction, every span; checks and verdicts.
//!
//! [`edge`] finds the worst placement with a proof that none is worse; [`judge`](judge()) holds a floor
//! against the checks of [`check`] and says within, out, in doubt or not tested, and why.

mod after;
mod aside;
mod branch;
mod by_chance;
mod by_hand;
mod chance;
pub mod check;
pub mod coverage;
mod crossed;
pub mod curve;
pub mod doubt;
mod drawn;
pub mod edge;
pub mod fnumber;
mod group;
mod hand_says;
mod humps;
mod judge;
mod judge_curve;
mod judge_edge;
mod judge_line;
mod judge_parts;
mod judge_radius;
mod laying;
mod layout;
pub mod level;
mod levers;
mod likely;
pub mod midpoint;
mod net;
mod places;
mod probe;
pub mod profile;
pub mod radius;
mod ray;
mod ray_profile;
mod result;
mod room;
mod rows;
pub mod sampled;
mod section;
mod shaky;
mod side;
mod span_curve;
mod stands;
mod suspects;
mod suspicion;
pub mod test_section;
mod tiles;
mod verdict;
mod wedge;
mod without;
mod words;

pub use after::{ChordLimit, chance_after};
pub use aside::STRIP_M;
pub use by_hand::{HandEdge, HandEdges, at_most_share, fewest_for_within, is_laid_by_hand};
pub use chance::{Chance, Chances, FEWEST_DRAWS, unstated_repeats_m};
pub use check::{Check, CheckError, Limit, Part};
pub use coverage::{Coverage, MOST_OF_ROOM, Reach};
pub use crossed::{Meeting, crossed};
pub use curve::LimitCurve;
pub use doubt::ReadingDoubt;
pub use drawn::{EdgeUse, drawn};
pub use edge::{Progress, SearchOptions, Searcher};
pub use fnumber::SampleLine;
pub use hand_says::{ByHand, HandGap, MOST_OVER};
pub use humps::humps;
pub use judge::{JudgeOptions, judge, judge_and_curve};
pub use layout::{LayoutRule, NMinRule, SectionLayout};
pub use levers::Helps;
pub use likely::Likely;
pub use net::{Ground, Joints, usable};
pub use result::{
    CheckResult, Departure, EdgeResult, Judged, Lengths, Measured, OtherWay, Outcome, PartResult,
    Placement, Procedure, SpanPoint, Sureness, ToRead, Verdict,
};
pub use section::{SectionPoint, section};
pub use span_curve::{curve_spans, span_curve};
pub use stands::{Standing, standing};
pub use suspects::{Block, BlockCause, Blocks, Suspect};
pub use test_section::SectionF;
pub use words::{READ_AT_EDGES, chance_words, hangs_on, joints_met};
