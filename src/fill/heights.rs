//! Heights after the work at named points, against what a step, a door or a fixture allows.

use super::place::place_on;
use super::result::Plane;
use crate::geometry::Point;
use crate::surface::Floor;
use crate::survey::Room;
use crate::units::{Habit, INCH_M, Length, LengthFormat, length_text};

/// A step at a door beyond this, metres, is asked about: nobody joins such floors by a ramp in a doorway.
/// Common practice, no published source.
const LARGEST_STEP_M: f64 = 0.6;

/// Most height that may stand vertical, metres: 1/4 in. Source: 2010 ADA Standards, 303.2.
pub const VERTICAL_STEP_M: f64 = INCH_M / 4.0;
/// Most height with a bevel, metres: 1/2 in. Source: 2010 ADA Standards, 303.3.
pub const BEVELLED_STEP_M: f64 = INCH_M / 2.0;
/// Steepest bevel: run over rise. Source: 2010 ADA Standards, 303.3.
pub const BEVEL_RUN: f64 = 2.0;
/// Steepest ramp: run over rise. Source: 2010 ADA Standards, 303.4 and 405.2.
pub const RAMP_RUN: f64 = 12.0;
/// Rounding that does not turn a step of exactly the limit into one over it, metres.
const ROUNDING_M: f64 = 1e-9;

/// What a change in level calls for. A height equal to a limit keeps it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Step {
    /// To 1/4 in: may stand vertical.
    Vertical,
    /// Over 1/4 in, to 1/2 in: bevelled no steeper than 1:2.
    Bevel {
        /// Least run of the bevel over the whole height, metres.
        run_m: f64,
    },
    /// Over 1/2 in: a ramp no steeper than 1:12.
    Ramp {
        /// Least run of the ramp, metres.
        run_m: f64,
    },
}

/// What a step of this height calls for; up and down are the same.
///
/// # Example
/// ```
/// use birdbath::fill::{Step, step};
/// assert_eq!(step(0.0254 / 4.0), Step::Vertical);
/// assert!(matches!(step(0.0254 * 3.0 / 8.0), Step::Bevel { .. }));
/// assert!(matches!(step(0.0254 * 9.0 / 16.0), Step::Ramp { .. }));
/// ```
pub fn step(height_m: f64) -> Step {
    let h = height_m.abs();
    if h <= VERTICAL_STEP_M + ROUNDING_M {
        Step::Vertical
    } else if h <= BEVELLED_STEP_M + ROUNDING_M {
        Step::Bevel {
            run_m: BEVEL_RUN * h,
        }
    } else {
        Step::Ramp {
            run_m: RAMP_RUN * h,
        }
    }
}

/// Where no rule is held against it, a step is told from here on, metres: about what the rules that are in use leave alone (common practice, no
/// published source).
const TOLD_STEP_M: f64 = 0.006;

/// A place whose height after the work matters.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct NamedPoint {
    /// What it is called.
    pub name: String,
    /// Where it is.
    pub at: Point,
    /// Height of the adjoining finished floor, elevation in metres.
    pub adjoining_m: Option<f64>,
    /// Space under the door above the present floor, metres.
    pub under_cut_m: Option<f64>,
    /// Elevation the finish must not pass, metres.
    pub limit_m: Option<f64>,
    /// Least cover wanted here (over tubes, cables, lath), metres.
    pub cover_m: Option<f64>,
    /// Thickness of the covering that comes on the finish, metres.
    pub covering_m: Option<f64>,
    /// Whether it stands in a wall, as a door does: the floor next to it then speaks for it.
    pub in_wall: bool,
}

/// A named point before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightAt {
    /// What it is called.
    pub name: String,
    /// Where it is.
    pub at: Point,
    /// Present floor, elevation in metres; `None` where none was surveyed near.
    pub before_m: Option<f64>,
    /// After the work, the covering included, elevation in metres: the finish, or the present
    /// floor where it stands higher.
    pub after_m: Option<f64>,
    /// Thickness of the covering that its heights count in, metres.
    pub covering_m: Option<f64>,
    /// Rise of the floor, the covering included, metres.
    pub rise_m: Option<f64>,
    /// Height over the adjoining floor, metres; negative when lower.
    pub step_m: Option<f64>,
    /// What that step calls for by the rule of the United States; `None` in metric jobs, where the codes of the place decide.
    pub step: Option<Step>,
    /// Space left under the door, metres; negative when the leaf would drag.
    pub door_gap_m: Option<f64>,
    /// Space left under the limit, metres; negative when it is passed.
    pub below_limit_m: Option<f64>,
    /// Material over the point beyond the cover wanted, metres; negative when too thin.
    pub cover_spare_m: Option<f64>,
    /// What to do, in words; empty when nothing is amiss.
    pub remarks: Vec<String>,
}

/// The named points of a room: its doors and fixtures.
pub fn named_points(room: &Room) -> Vec<NamedPoint> {
    let doors = room.doors.iter().map(|d| NamedPoint {
        name: d.name.clone(),
        at: d.at,
        adjoining_m: d.adjoining_m,
        under_cut_m: d.under_cut_m,
        in_wall: true,
        ..NamedPoint::default()
    });
    let fixtures = room.fixtures.iter().map(|f| NamedPoint {
        name: f.name.clone(),
        at: f.at,
        limit_m: f.limit_m,
        ..NamedPoint::default()
    });
    doors.chain(fixtures).collect()
}

/// Heights after the work at named points.
///
/// # Units, datum, sign
/// Metres; elevations above the survey datum; a rise is positive. `habit`: units of the remarks.
/// # Method
/// The floor's height is that of the surface at the point: see [`place_on`].
/// # Edge cases
/// No surveyed floor there: the heights are `None` and a remark says why.
pub fn heights_after(
    floor: &Floor,
    room: Option<&Room>,
    plane: &Plane,
    points: &[NamedPoint],
    habit: Habit,
) -> Vec<HeightAt> {
    points
        .iter()
        .map(|p| match place_on(floor, room, p.at, p.in_wall) {
            Ok(place) => height_after(p, place.z_m, plane.at(place.at), habit),
            Err(off) => HeightAt {
                name: p.name.clone(),
                at: p.at,
                before_m: None,
                after_m: None,
                covering_m: None,
                rise_m: None,
                step_m: None,
                step: None,
                door_gap_m: None,
                below_limit_m: None,
                cover_spare_m: None,
                remarks: vec![format!("height not known: {off}")],
            },
        })
        .collect()
}

/// Of a point whose floor has the elevation `z` and whose finish `finish`, metres.
fn height_after(p: &NamedPoint, z: f64, finish: f64, habit: Habit) -> HeightAt {
    let depth = finish - z;
    let after = z + depth.max(0.0) + p.covering_m.unwrap_or(0.0);
    let rise = after - z;
    let step_m = p.adjoining_m.map(|a| after - a);
    let mut height = HeightAt {
        name: p.name.clone(),
        at: p.at,
        before_m: Some(z),
        after_m: Some(after),
        covering_m: p.covering_m,
        rise_m: Some(rise),
        step_m,
        // The steps are those of a United States rule.
        step: step_m.filter(|_| habit == Habit::Us).map(step),
        door_gap_m: p.under_cut_m.map(|u| u - rise),
        below_limit_m: p.limit_m.map(|l| l - after),
        cover_spare_m: p.cover_m.map(|c| depth - c),
        remarks: Vec::new(),
    };
    let depths = Depths::of(habit);
    let short = |spare: Option<f64>| spare.filter(|s| *s < -ROUNDING_M).map(|s| depths.text(-s));
    let ground = short(Some(depth)).map(|d| format!("floor stands {d} above the finish: grind it"));
    let drags = height
        .door_gap_m
        .filter(|g| *g <= ROUNDING_M)
        .map(|g| format!("the door would drag: it lacks {}", depths.text(-g)));
    let over = short(height.below_limit_m).map(|d| format!("passes its limit by {d}"));
    let thin = short(height.cover_spare_m).map(|d| format!("cover too thin by {d}"));
    let remarks = [ground, step_remark(&height, &depths), drags, over, thin];
    height.remarks = remarks.into_iter().flatten().collect();
    height
}

/// What a step to the adjoining floor calls for, in words; `None` where nothing is amiss.
fn step_remark(height: &HeightAt, depths: &Depths) -> Option<String> {
    let step_m = height.step_m?;
    let run_of = |m: f64| length_text(Length::from_m(m), depths.habit);
    if step_m.abs() > LARGEST_STEP_M {
        return Some(format!(
            "its adjoining floor lies {} {}: is that a reading under the heading of an elevation? Readings stand under adjoining_reading",
            run_of(step_m.abs()),
            if step_m > 0.0 { "lower" } else { "higher" }
        ));
    }
    match height.step {
        Some(Step::Bevel { run_m }) => Some(format!(
            "step over 1/4 in: bevel no steeper than 1:2 ({} run)",
            depths.text(run_m)
        )),
        Some(Step::Ramp { run_m }) => Some(format!(
            "step over 1/2 in: ramp no steeper than 1:12 ({} run)",
            run_of(run_m)
        )),
        None if step_m.abs() > TOLD_STEP_M => Some(format!(
            "step of {}: the codes of the place decide what is allowed",
            depths.text(step_m.abs())
        )),
        _ => None,
    }
}

/// Depths in the words of a remark.
struct Depths {
    habit: Habit,
    format: LengthFormat,
}

impl Depths {
    fn of(habit: Habit) -> Self {
        Self {
            habit,
            format: LengthFormat::depth(habit),
        }
    }

    fn text(&self, m: f64) -> String {
        let length = Length::from_m(m);
        let text = LengthFormat::of_gauge(length, self.habit).text(length);
        // What is there but rounds to nothing is not told as nothing.
        if m > 0.0 && text == self.format.text(Length::from_m(0.0)) {
            return format!("under {}", self.format.text(self.format.step()));
        }
        text
    }
}
