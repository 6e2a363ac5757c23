//! What a take-off warns of.

use super::quantities::{Lifts, TakeOffRequest, ThinCover, Weight};
use super::result::Fill;
use crate::survey::{Notice, Room, Severity};
use crate::units::{Area, Length, Volume, area_text, depth_text, load_text, volume_text};

pub(super) fn findings(
    fill: &Fill,
    room: Option<&Room>,
    request: &TakeOffRequest,
    weight: Option<Weight>,
    lifts: Option<&Lifts>,
    thin: Option<ThinCover>,
    notices: &mut Vec<Notice>,
) {
    let mut add = |code: &str, severity, text: String| {
        notices.push(Notice::new(code, severity, "", text));
    };
    if !fill.plane.is_level() {
        add(
            "tilted-finish",
            Severity::Caution,
            super::tilt::TILT_WARNING.to_owned(),
        );
    }
    if let Some(w) = weight.filter(|w| w.total_kg > 0.0 && request.framed != Some(false)) {
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
        add(
            "added-weight",
            Severity::Caution,
            format!("{figures} {advice}"),
        );
    }
    if let Some(l) = lifts {
        add(
            "more-than-one-lift",
            Severity::Warning,
            format!(
                "{} are deeper than one lift may be ({}): {} lifts at the deepest place, \
                 or aggregate as the maker's sheet allows.",
                area_text(Area::from_si(l.area_over_m2), request.habit),
                depth_text(Length::from_m(l.limit_m), request.habit),
                l.count
            ),
        );
    }
    if let Some(t) = thin {
        add(
            "cover-too-thin",
            Severity::Warning,
            format!(
                "{} would get less than the least cover of {}: raise the finish, or grind. Under this \
                 finish {} of floor would have to go, over {}, for that cover to hold everywhere.",
                area_text(Area::from_si(t.grind_area_m2), request.habit),
                depth_text(Length::from_m(t.limit_m), request.habit),
                volume_text(Volume::from_si(t.grind_m3), request.habit),
                area_text(Area::from_si(t.grind_area_m2), request.habit)
            ),
        );
    }
    let drains: Vec<&str> = room
        .iter()
        .flat_map(|r| &r.fixtures)
        .filter(|f| f.drain)
        .map(|f| f.name.as_str())
        .collect();
    if !drains.is_empty() {
        add(
            "drain",
            Severity::Caution,
            format!(
                "There is a drain ({}): close it off during the pour, and leave the floor that must \
                 fall to it out of the fill.",
                drains.join(", ")
            ),
        );
    }
    let buried = room.map_or_else(Vec::new, Room::bare_drains);
    if !buried.is_empty() {
        add(
            "drain-in-fill",
            Severity::Warning,
            format!(
                "No area that keeps its slope is drawn round {}: the fill would level the floor that \
                 falls to it. Draw that area as a slope in the outline.",
                buried.join(", ")
            ),
        );
    }
    if let Some(slopes) = room.map(|r| &r.slopes).filter(|s| !s.is_empty()) {
        let names: Vec<&str> = slopes.iter().map(|s| s.name.as_str()).collect();
        add(
            "slope-kept",
            Severity::Note,
            format!(
                "Left out of fill and level because it keeps its slope: {}. Dam along it.",
                names.join(", ")
            ),
        );
    }
    if room.is_some_and(|r| r.joints.iter().any(|j| j.movement)) {
        add(
            "movement-joint",
            Severity::Caution,
            "There is a movement joint: it must not be covered; dam on both sides and carry it \
             through the fill."
                .to_owned(),
        );
    }
}
