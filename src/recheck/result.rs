//! What is asked of a comparison, and what it gives.

use super::mark::RecheckMark;
use super::ridges::Ridge;
use super::spots::RecheckSpot;
use crate::fill::Plane;

/// How the heights of the two days are brought onto one datum.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Tie {
    /// Both days state the height of their line over one datum.
    Stated,
    /// Nothing was stated: the line is taken to stand as high on the second day as on the first.
    #[default]
    Assumed,
    /// By points that the work did not touch, read both days; named.
    Points(Vec<String>),
}

/// What the comparison needs besides the two surveys.
#[derive(Debug, Clone, Default)]
pub struct RecheckRequest<'a> {
    /// The two days' datum.
    pub tie: Tie,
    /// The finish that was planned, over the first day's datum.
    pub plane: Option<&'a Plane>,
    /// Least thickness asked for, metres.
    pub least_cover_m: Option<f64>,
    /// How far a mark may lie off the planned finish before it is listed, metres.
    pub allowed_off_m: f64,
    /// Typical distance between readings, metres: two marks of one name farther apart than half of it are
    /// not the same place.
    pub spacing_m: f64,
    /// Bags that were planned.
    pub bags_planned: Option<f64>,
    /// Bags that were used.
    pub bags_used: Option<f64>,
    /// Mixed material from one bag, cubic metres.
    pub yield_m3: Option<f64>,
    /// Volume between the two surfaces as each day's heights stand, cubic metres; `None` where it cannot be told.
    pub placed_m3: Option<f64>,
    /// Area of floor that the readings of each day speak for, before and after, square metres.
    pub areas_m2: [f64; 2],
    /// Standard uncertainty of one reading, before and after, metres.
    pub reading_m: [f64; 2],
    /// Root of the sum of the squared areas that single readings speak for, before and after, square metres: marks do not all stand for as
    /// much floor. See [`super::uneven_m2`].
    pub uneven_m2: [f64; 2],
    /// Ridges found on the finished floor.
    pub ridges: Vec<Ridge>,
}

/// The comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Recheck {
    /// How far a mark may lie off the planned finish before it is listed, metres; `None` without a finish.
    pub allowed_off_m: Option<f64>,
    /// Marks read on both days, in walking order.
    pub marks: Vec<RecheckMark>,
    /// Marks read only before.
    pub only_before: Vec<String>,
    /// Marks read only after.
    pub only_after: Vec<String>,
    /// What was added to the second day's heights, metres.
    pub shift_m: f64,
    /// Whether the line was taken to stand at one height because nobody said so.
    pub line_assumed: bool,
    /// How far most marks stand off the finish, all to one side, where the line was only taken to stand at one height: it may
    /// have stood at another. Metres, up positive.
    pub line_off_m: Option<f64>,
    /// Largest less smallest of the differences at the tie points, metres; `None` without tie points.
    pub tie_spread_m: Option<f64>,
    /// How many tie points there are.
    pub tie_points: usize,
    /// Expanded uncertainty (k = 2) of the thickness at one mark, metres: of both readings and of the tie points.
    pub mark_doubt_m: f64,
    /// What is wrong, neighbouring marks together; empty when the floor looks unpoured.
    pub spots: Vec<RecheckSpot>,
    /// Ridges under a short edge where the readings after the work stand closely enough to tell them.
    pub ridges: Vec<Ridge>,
    /// Whether material was planned and the floor stands as it did before: then every mark would be called
    /// low, and none of them is what is wrong.
    pub unpoured: bool,
    /// Index of the mark with the least thickness; `None` while the line is asked about.
    pub thinnest: Option<usize>,
    /// Mean thickness at the marks, metres; `None` while the line is asked about.
    pub mean_m: Option<f64>,
    /// Volume between the two surfaces, cubic metres; `None` where the two days speak for different floor, and while the line is asked about.
    pub placed_m3: Option<f64>,
    /// Expanded uncertainty (k = 2) of that volume, cubic metres, as far as the readings and the tie points make it.
    pub placed_doubt_m3: f64,
    /// Area of floor that the readings of each day speak for, before and after, square metres.
    pub areas_m2: [f64; 2],
    /// Bags planned.
    pub bags_planned: Option<f64>,
    /// Bags used.
    pub bags_used: Option<f64>,
    /// Bags that the placed volume explains.
    pub bags_explained: Option<f64>,
}
