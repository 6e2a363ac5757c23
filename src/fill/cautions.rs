//! What a take-off warns of.

use super::lines::Perimeter;
use super::quantities::{Lifts, TakeOffRequest, ThinCover, Weight};
use super::result::Fill;
use crate::survey::{Notice, Room, Severity};
use crate::units::{Area, Habit, Pen, area_text, load_text};

/// What a take-off found that may call for a warning.
pub(super) struct Found<'a> {
    /// What the fill weighs, if the sheet tells the density.
    pub weight: Option<Weight>,
    /// Fill deeper than one lift.
    pub lifts: Option<&'a Lifts>,
    /// Fill thinner than the least cover.
    pub thin: Option<ThinCover>,
    /// What the fill lies against.
    pub perimeter: &'a Perimeter,
}

pub(super) fn findings(
    fill: &Fill,
    room: Option<&Room>,
    request: &TakeOffRequest,
    found: &Found<'_>,
) -> Vec<Notice> {
    let mut notices = Vec::new();
    if !fill.plane.is_level() {
        notices.push(notice(
            "tilted-finish",
            Severity::Caution,
            super::tilt::TILT_WARNING.to_owned(),
        ));
    }
    if let Some(w) = found
        .weight
        .filter(|w| w.total_kg > 0.0 && request.framed != Some(false))
    {
        notices.push(added_weight(w, request));
    }
    notices.extend(found.lifts.map(|l| more_than_one_lift(l, request.habit)));
    notices.extend(found.thin.map(|t| cover_too_thin(t, request.habit)));
    notices.extend(open_edge(found.perimeter, request.habit));
    if let Some(room) = room {
        drains(room, &mut notices);
        kept_and_joints(room, &mut notices);
    }
    notices
}

fn notice(code: &str, severity: Severity, text: String) -> Notice {
    Notice::new(code, severity, "", text)
}

/// The load that a fill puts on the floor, with advice by how the floor is built.
fn added_weight(w: Weight, request: &TakeOffRequest) -> Notice {
    let figures = format!(
        "The fill adds {} on average and {} where it is deepest.",
        load_text(w.mean_kg_m2, request.habit),
        load_text(w.worst_kg_m2, request.habit)
    );
    let advice = if request.framed == Some(true) {
        "This floor is framed or suspended: have the load checked by a competent engineer \
         before anything is poured; the floor will also sag further under it."
    } else {
        "If the floor is framed or suspended, have the load checked by a competent engineer \
         before anything is poured."
    };
    notice(
        "added-weight",
        Severity::Caution,
        format!("{figures} {advice}"),
    )
}

/// Code of the notice that the pour ends at floor nobody read.
pub const OPEN_EDGE: &str = "pour-ends-unread";

/// Edges shorter than this are no gap that material is lost through, metres.
const LEAST_OPEN_M: f64 = 0.05;

/// That material stands at floor nobody read, with no wall between.
fn open_edge(edge: &Perimeter, habit: Habit) -> Option<Notice> {
    (edge.open_m > LEAST_OPEN_M).then(|| {
        let pen = Pen::new(habit);
        notice(
            OPEN_EDGE,
            Severity::Warning,
            format!(
                "{} of the pour's edge lies against floor that was not surveyed, up to {} deep, and no wall holds it: it would run on there. Read that \
                 floor too, or set a dam along it. Neither the floor nor a dam there is counted.",
                pen.plan(edge.open_m),
                pen.depth(edge.open_depth_m)
            ),
        )
    })
}

fn more_than_one_lift(l: &Lifts, habit: Habit) -> Notice {
    notice(
        "more-than-one-lift",
        Severity::Warning,
        format!(
            "{} are deeper than one lift may be ({}): {} lifts at the deepest place, \
             or aggregate as the maker's sheet allows.",
            area_text(Area::from_si(l.area_over_m2), habit),
            Pen::new(habit).stated(l.limit_m),
            l.count
        ),
    )
}

fn cover_too_thin(t: ThinCover, habit: Habit) -> Notice {
    notice(
        "cover-too-thin",
        Severity::Warning,
        format!(
            "{} would get less than the least cover of {}: raise the finish, or grind. Under this \
             finish {} of floor would have to go, over {}, for that cover to hold everywhere.",
            area_text(Area::from_si(t.grind_area_m2), habit),
            Pen::new(habit).stated(t.limit_m),
            Pen::new(habit).some_volume(t.grind_m3),
            area_text(Area::from_si(t.grind_area_m2), habit)
        ),
    )
}

/// Drains in the room, and those that no area with a slope of its own is drawn round.
fn drains(room: &Room, notices: &mut Vec<Notice>) {
    let drains: Vec<&str> = room
        .fixtures
        .iter()
        .filter(|f| f.drain)
        .map(|f| f.name.as_str())
        .collect();
    if !drains.is_empty() {
        notices.push(notice(
            "drain",
            Severity::Caution,
            format!(
                "There is a drain ({}): close it off during the pour, and leave the floor that must \
                 fall to it out of the fill.",
                drains.join(", ")
            ),
        ));
    }
    let buried = room.bare_drains();
    if !buried.is_empty() {
        notices.push(notice(
            "drain-in-fill",
            Severity::Warning,
            format!(
                "No area that keeps its slope is drawn round {}: the fill would level the floor that \
                 falls to it. Draw that area as a slope in the outline.",
                buried.join(", ")
            ),
        ));
    }
}

/// What the outline keeps out of the fill, and joints that the fill must not cover.
fn kept_and_joints(room: &Room, notices: &mut Vec<Notice>) {
    if !room.slopes.is_empty() {
        let names: Vec<&str> = room.slopes.iter().map(|s| s.name.as_str()).collect();
        notices.push(notice(
            "slope-kept",
            Severity::Note,
            format!(
                "Left out of fill and level because it keeps its slope: {}. Dam along it.",
                names.join(", ")
            ),
        ));
    }
    if room.joints.iter().any(|j| j.movement) {
        notices.push(notice(
            "movement-joint",
            Severity::Caution,
            "There is a movement joint: it must not be covered; dam on both sides and carry it \
             through the fill."
                .to_owned(),
        ));
    }
}
