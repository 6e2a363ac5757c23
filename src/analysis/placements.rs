//! The placements that are numbered: the worst of each part, the same place once.

use crate::flatness::{
    CheckResult, Departure, PartResult, Placement, Procedure, Verdict, crossed, joints_met,
};
use crate::survey::Room;

/// A numbered placement.
#[derive(Debug, Clone)]
pub struct Numbered {
    /// Its number on every plan and list.
    pub number: usize,
    /// The check's title.
    pub check: String,
    /// Length of the edge, metres.
    pub span_m: f64,
    /// Allowance, metres.
    pub limit_m: f64,
    /// The word of the part that it belongs to.
    pub verdict: Verdict,
    /// How the edge is used.
    pub procedure: Procedure,
    /// Dip or hump.
    pub departure: Departure,
    /// The placement, its gap as the procedure reads it.
    pub placement: Placement,
    /// Which joints it meets, in words; empty for none.
    pub joints: String,
    /// How far the floor departs from the edge as it is drawn, metres.
    pub drawn_gap_m: f64,
}

impl Numbered {
    /// Whether this very place is over its limit, in a part that is out: the list goes on to places that are within it.
    pub fn is_out(&self) -> bool {
        self.verdict == Verdict::Out && self.placement.gap_m > self.limit_m
    }
}

/// Most places of one part.
const MOST_OF_PART: usize = 4;
/// Most in all: more would not be found again on a plan.
const MOST: usize = 10;
/// Two placements with lowest points nearer than this are the same place, metres.
const SAME_M: f64 = 0.15;

/// Which way an edge departs by this procedure, if it is an edge at all.
pub fn departure(procedure: Procedure) -> Option<Departure> {
    match procedure {
        Procedure::Resting | Procedure::Midpoint | Procedure::EndBlocksHollow => {
            Some(Departure::Dip)
        }
        Procedure::Balanced | Procedure::HeldDown | Procedure::Ridge | Procedure::EndBlocksHump => {
            Some(Departure::Hump)
        }
        Procedure::Radius | Procedure::Line => None,
    }
}

/// The worst placements of every part, worst verdicts first, numbered in that order.
///
/// Paper, workbook and page all take this list: a number means one place wherever it stands.
pub fn numbered(checks: &[CheckResult], room: Option<&Room>) -> Vec<Numbered> {
    // A part that was not tested holds no places, and so has none here.
    let mut parts: Vec<_> = checks
        .iter()
        .flat_map(|c| c.parts.iter().map(move |p| (c, p)))
        .filter_map(|(c, p)| Some((c, p, p.measured()?, departure(p.procedure)?)))
        .collect();
    let rank = |v: Verdict| match v {
        Verdict::Out => 0,
        Verdict::InDoubt => 1,
        Verdict::Within => 2,
        Verdict::NotTested => 3,
    };
    // Within a verdict the longest edge first: it is the one that is laid first.
    parts.sort_by(|(_, p, found, _), (_, q, other, _)| {
        rank(p.verdict())
            .cmp(&rank(q.verdict()))
            .then(q.span_m.total_cmp(&p.span_m))
            .then(other.gap_m.total_cmp(&found.gap_m))
    });
    let joints = room.map_or(&[][..], |room| &room.joints);
    let mut list: Vec<Numbered> = Vec::new();
    for &(check, part, found, departure) in &parts {
        let mut taken = 0;
        for placement in found.worst.iter().chain(&found.places) {
            if list.len() >= MOST || taken >= MOST_OF_PART || placement.gap_m <= 0.0 {
                break;
            }
            let known = list.iter().any(|n| {
                n.departure == departure
                    && (n.span_m - part.span_m).abs() < 1e-6
                    && n.placement.at.distance(placement.at) < SAME_M
            });
            if known {
                continue;
            }
            taken += 1;
            // Of several limits on one edge laid one way a place is told by the strictest: there it is worst. One that some places may be
            // over is none of a single place.
            let own = |p: &PartResult| {
                p.procedure == part.procedure && (p.span_m - part.span_m).abs() < 1e-6
            };
            let of_each = |p: &PartResult| own(p) && p.may_be_over.is_none();
            let any_of_each = parts.iter().any(|(_, p, ..)| of_each(p));
            let (check, strictest) = parts
                .iter()
                .filter(|(_, p, ..)| if any_of_each { of_each(p) } else { own(p) })
                .map(|&(c, p, ..)| (c, p))
                .min_by(|(_, p), (_, q)| p.allowance_m.total_cmp(&q.allowance_m))
                .unwrap_or((check, part));
            list.push(Numbered {
                number: list.len() + 1,
                check: check.title.clone(),
                span_m: part.span_m,
                limit_m: strictest.allowance_m,
                verdict: strictest.verdict(),
                procedure: part.procedure,
                departure,
                joints: joints_met(&crossed(placement, joints)),
                placement: *placement,
                drawn_gap_m: placement.gap_m / part.procedure.reads_per_metre(),
            });
        }
    }
    // No check is out without a place that bears its name.
    for (check, part, ..) in parts
        .iter()
        .filter(|(_, p, ..)| p.verdict() == Verdict::Out)
    {
        if list.iter().any(|n| n.check.contains(&check.title)) {
            continue;
        }
        let shows = |n: &&mut Numbered| {
            n.procedure == part.procedure
                && (n.span_m - part.span_m).abs() < 1e-6
                && n.placement.gap_m > part.allowance_m
        };
        if let Some(place) = list.iter_mut().find(shows) {
            place.check = format!("{} and {}", place.check, check.title);
        }
    }
    list
}
