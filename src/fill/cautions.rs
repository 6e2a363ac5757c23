//! What a take-off warns of.

use super::quantities::{Lifts, TakeOffRequest, ThinCover, Weight};
use super::result::Fill;
use crate::survey::{Notice, Room, Severity};

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
            "The fill adds {:.0} kg/m2 ({:.1} psf) on average and {:.0} kg/m2 ({:.1} psf) where it \
             is deepest.",
            w.mean_kg_m2, w.mean_psf, w.worst_kg_m2, w.worst_psf
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
                "{:.2} m2 are deeper than one lift may be ({:.1} mm): {} lifts at the deepest place, \
                 or aggregate as the maker's sheet allows.",
                l.area_over_m2,
                l.limit_m * 1000.0,
                l.count
            ),
        );
    }
    if let Some(t) = thin {
        add(
            "cover-too-thin",
            Severity::Warning,
            format!(
                "{:.2} m2 would get less than the least depth of the sheet ({:.1} mm): raise the \
                 finish, or grind.",
                t.area_m2,
                t.limit_m * 1000.0
            ),
        );
    }
    if room.is_some_and(|r| r.fixtures.iter().any(|f| f.drain)) {
        add(
            "drain",
            Severity::Caution,
            "There is a drain: close it off during the pour, and leave the floor that must fall \
             to it out of the fill."
                .to_owned(),
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
