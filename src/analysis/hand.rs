//! Where an edge is to be laid by hand.

use super::analyse::Analysis;
use super::hand_notices::hand_seed;
use crate::flatness::{
    Check, CheckResult, EdgeUse, Joints, PartResult, Placement, Verdict, drawn, is_laid_by_hand,
};
use crate::geometry::{Point, Segment};
use crate::survey::{Room, walking_order};

/// Worst placements from the readings beside those drawn, for one edge.
const MOST_WORST: usize = 3;
/// Draws of an edge that stops at joints are made up to so many times as many, so that as many cross none as are asked for.
const MOST_TIMES: usize = 4;

/// Placements of one sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct HandList {
    /// What they were drawn from.
    pub seed: u32,
    /// In walking order, edge by edge.
    pub places: Vec<HandPlace>,
    /// Edges that find no room to be laid at random.
    pub no_room: Vec<EdgeUse>,
}

/// One placement to lay.
#[derive(Debug, Clone, PartialEq)]
pub struct HandPlace {
    /// Its number on sheet and plan.
    pub number: usize,
    /// The edge.
    pub edge: EdgeUse,
    /// The checks that it is laid for, by title.
    pub checks: Vec<String>,
    /// The tightest of their allowances, metres.
    pub limit_m: f64,
    /// One end.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Which of how many drawn it is, from 1; `None` for one of the worst.
    pub drawn: Option<(usize, usize)>,
}

/// One edge with the checks that ask for it.
struct Asked {
    edge: EdgeUse,
    checks: Vec<String>,
    limit_m: f64,
    /// Whether every one of the checks stops at joints.
    stops: bool,
    worst: Vec<Placement>,
}

/// `count` placements at random for every part of the checks that a person lays an edge for, and the few worst from the readings.
/// Parts of one edge share them.
pub fn hand_list(a: &Analysis, count: usize) -> HandList {
    let seed = hand_seed(&a.survey);
    let joints = a
        .survey
        .room
        .as_ref()
        .map_or_else(Vec::new, Room::joint_pieces);
    let mut list = HandList {
        seed,
        places: Vec::new(),
        no_room: Vec::new(),
    };
    let asked = a
        .flatness
        .as_ref()
        .map_or_else(Vec::new, |f| asked(&f.rules, &f.checks));
    for asked in asked {
        let places = placements(a, &asked, (seed, count), &joints);
        if places.iter().all(|p| p.2.is_none()) {
            list.no_room.push(asked.edge);
        }
        let middles: Vec<Point> = places.iter().map(|p| p.0.lerp(p.1, 0.5)).collect();
        // Strips in which as many places as there are make for the shortest way.
        let strip_m = (3.0 * a.floor.area() / middles.len().max(1) as f64).sqrt();
        for i in walking_order(&middles, a.survey.room.as_ref(), 2.0 * strip_m) {
            let (from, to, drawn) = places[i];
            list.places.push(HandPlace {
                number: list.places.len() + 1,
                edge: asked.edge,
                checks: asked.checks.clone(),
                limit_m: asked.limit_m,
                from,
                to,
                drawn,
            });
        }
    }
    list
}

/// Both ends of a placement, and which of how many drawn it is.
type Ends = (Point, Point, Option<(usize, usize)>);

fn placements(
    a: &Analysis,
    asked: &Asked,
    (seed, count): (u32, usize),
    joints: &[Segment],
) -> Vec<Ends> {
    let crosses = |d: &(Point, Point)| {
        let laid = Segment::new(d.0, d.1);
        asked.stops && joints.iter().any(|j| j.crosses(&laid))
    };
    let most = if asked.stops && !joints.is_empty() {
        count * MOST_TIMES
    } else {
        count
    };
    let mut all = drawn(a.floor.region(), asked.edge, seed, most);
    // No more are drawn than are needed for as many that no joint stops.
    let mut free = 0;
    let enough = all.iter().position(|d| {
        free += usize::from(!crosses(d));
        free == count
    });
    all.truncate(enough.map_or(all.len(), |last| last + 1));
    let of = all.len();
    let random = all
        .iter()
        .enumerate()
        .filter(|(_, d)| !crosses(d))
        .map(|(k, d)| (d.0, d.1, Some((k + 1, of))));
    let worst = asked
        .worst
        .iter()
        .take(MOST_WORST)
        .map(|p| (p.from, p.to, None));
    random.chain(worst).collect()
}

/// The edges that the checks ask for, each once, in their order; of parts that the readings decide only where they decide them all:
/// nobody lays sixty long edges on a floor that is known to be out.
fn asked(rules: &[Check], results: &[CheckResult]) -> Vec<Asked> {
    let is_open =
        |found: &PartResult| matches!(found.verdict(), Verdict::NotTested | Verdict::InDoubt);
    let parts = rules.iter().zip(results).flat_map(|(rule, result)| {
        let both = rule.parts.iter().zip(&result.parts);
        both.filter(|(part, _)| is_laid_by_hand(part))
    });
    let any_open = parts.into_iter().any(|(_, found)| is_open(found));
    let mut list: Vec<Asked> = Vec::new();
    for (rule, result) in rules.iter().zip(results) {
        for (part, found) in rule.parts.iter().zip(&result.parts) {
            if !is_laid_by_hand(part) || (any_open && !is_open(found)) {
                continue;
            }
            let edge = EdgeUse {
                procedure: part.procedure,
                span_m: part.span_m,
            };
            let worst = found.measured().map_or(&[][..], |m| &m.places);
            let worst: Vec<Placement> = worst.iter().filter(|p| p.gap_m > 0.0).copied().collect();
            let stops = rule.joints == Joints::Stop;
            match list.iter_mut().find(|a| a.edge.is(edge)) {
                Some(known) => {
                    known.checks.push(rule.title.clone());
                    known.limit_m = known.limit_m.min(found.allowance_m);
                    known.stops &= stops;
                    if known.worst.is_empty() {
                        known.worst = worst;
                    }
                }
                None => list.push(Asked {
                    edge,
                    checks: vec![rule.title.clone()],
                    limit_m: found.allowance_m,
                    stops,
                    worst,
                }),
            }
        }
    }
    list
}
