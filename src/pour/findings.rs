//! What a pour plan warns of.

use super::pieces::Section;
use super::result::{OrderScore, PourRequest};
use crate::fill::Plane;
use crate::surface::Floor;
use crate::survey::{Notice, Severity};

/// Correction below which the place of the start matters little: 1/4 in (common practice, no
/// published source).
const LITTLE_CORRECTION_M: f64 = 0.006_35;

pub(super) fn findings(
    floor: &Floor,
    plane: &Plane,
    request: &PourRequest,
    score: &OrderScore,
    sections: &[Section],
    mended: bool,
) -> Vec<Notice> {
    let mut list = Vec::new();
    let depths: Vec<f64> = sections
        .iter()
        .flat_map(|s| s.triangles.iter().copied())
        .flat_map(|t| floor.corners(t))
        .map(|v| plane.at(v.at) - v.z)
        .collect();
    let most = depths.iter().copied().fold(f64::MIN, f64::max);
    let least = depths.iter().copied().fold(f64::MAX, f64::min);
    if most - least < LITTLE_CORRECTION_M {
        list.push(Notice::new(
            "start-matters-little",
            Severity::Note,
            "",
            "The correction is less than 1/4 in (6 mm): where the pour starts matters little \
             (common practice, no published source).",
        ));
    }
    if least < 0.0 {
        list.push(Notice::new(
            "floor-above-finish",
            Severity::Warning,
            "",
            "Some floor stands above the finish and is left out of the pour: grind it first or \
             raise the finish.",
        ));
    }
    if sections.len() > 1 {
        list.push(Notice::new(
            "separate-parts",
            Severity::Note,
            "",
            format!(
                "The floor to be poured lies in {} parts that do not hang together; they are \
                 poured one after another.",
                sections.len()
            ),
        ));
    }
    if score.within_open_time == Some(false) {
        list.push(Notice::new(
            "wet-edge-waits",
            Severity::Warning,
            format!("batch {}", score.longest_wait_batch),
            format!(
                "A wet edge waits {:.0} min, longer than the material stays open: expect a \
                 visible lap or a cold joint.{}",
                score.longest_wait_min,
                if mended { " See the remedies." } else { "" }
            ),
        ));
    }
    if request.people <= request.mixers {
        list.push(Notice::new(
            TOO_FEW_PEOPLE,
            Severity::Warning,
            "",
            format!(
                "{} for {}: each mixer takes one, and one must place.",
                counted(request.people, "person", "people"),
                counted(request.mixers, "mixer", "mixers")
            ),
        ));
    }
    list
}

/// Code of the notice that a crew cannot both mix and place.
pub const TOO_FEW_PEOPLE: &str = "too-few-people";

/// `1 person`, `2 people`.
fn counted(count: u32, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}
