//! What is odd about edges that were laid by hand.

use super::flat::Flatness;
use super::settings::Settings;
use crate::flatness::{EdgeUse, HandEdges, is_laid_by_hand};
use crate::survey::{Notice, Severity, Survey};
use crate::units::Pen;
use sha2::{Digest, Sha256};

/// What the placements of a survey are drawn from: its readings and nothing else, so that whoever does not like where the edge is to be
/// laid gets no other places by asking again, and a floor that was worked on and read again gets new ones.
pub fn hand_seed(survey: &Survey) -> u32 {
    let mut digest = Sha256::new();
    for r in &survey.readings {
        for m in [r.at.x, r.at.y, r.elevation.m()] {
            // To the micrometre: what is less is the arithmetic's own.
            digest.update(((m * 1e6).round() as i64).to_le_bytes());
        }
    }
    let bytes = digest.finalize();
    u32::from_le_bytes([bytes[0], bytes[1], bytes[2], bytes[3]])
}

/// What is odd about edges that were laid by hand.
pub(super) fn hand_notices(survey: &Survey, settings: &Settings, flat: &Flatness) -> Vec<Notice> {
    let Some(hand) = &settings.hand else {
        return Vec::new();
    };
    let mut list = Vec::new();
    let random = hand.edges.iter().any(|e| e.drawn.is_some());
    if random && hand.seed != hand_seed(survey) {
        list.push(Notice::new(
            "hand-other-readings",
            Severity::Warning,
            "",
            "The places of the edges laid by hand were drawn for other readings than these. If the floor was worked on since they were laid, they say nothing of it: draw and lay them again.",
        ));
    }
    list.extend(not_asked(hand, flat, Pen::new(settings.habit)));
    list
}

/// Edges that were laid and that no check asks for, each kind once.
fn not_asked(hand: &HandEdges, flat: &Flatness, pen: Pen) -> Vec<Notice> {
    let parts = || flat.rules.iter().flat_map(|r| &r.parts);
    let mut kinds: Vec<EdgeUse> = Vec::new();
    for e in hand.edges.iter().filter(|e| e.gap_m.is_some()) {
        let edge = e.edge;
        let asked = parts().any(|p| {
            is_laid_by_hand(p)
                && edge.is(EdgeUse {
                    procedure: p.procedure,
                    span_m: p.span_m,
                })
        });
        if !asked && !kinds.iter().any(|k| k.is(edge)) {
            kinds.push(edge);
        }
    }
    kinds
        .into_iter()
        .map(|edge| {
            let text = format!(
                "Edges of {} were laid by hand, and no check of this job lays one so: they are not used. Name the check that they were laid for.",
                pen.span(edge.span_m)
            );
            Notice::new("hand-not-asked", Severity::Warning, "", text)
        })
        .collect()
}
