//! The pour plan: the orders made, judged, and the best one put on the clock.

use super::batch::{Patch, patches};
use super::choose::{Asked, Choices, Chosen, remedies};
use super::clock::{Pace, Slot, minutes, slots};
use super::findings::findings;
use super::judge::{reason, too_narrow};
use super::layout::{Layout, MOST_BAYS, Need, Speed};
use super::piece::Piece;
use super::pieces;
use super::practical::is_piece;
use super::result::{Batch, Bay, Clock, PourError, PourPlan, PourRequest, TieIn};
use super::staging;
use crate::fill::Plane;
use crate::geometry::{Point, Ring, inner_point};
use crate::surface::Floor;
use crate::survey::{Notice, Severity};
use crate::units::found_text;

/// Plans the pour under a level finish.
///
/// # Units, datum, sign
/// Metres, cubic metres, minutes; the finish plane's elevation is above the survey datum.
/// # Method
/// Three orders are made and cut into batches: in passes across the way out, by the level lines of a harmonic
/// function from the start to the exit, and in strips from the far wall to the door. Passes are taken unless another
/// order has fewer faults: waits over the open time, batches too narrow, torn or drawn out, a crew shut in. Where none
/// will do, the floor is divided into bays, each poured in strips behind a dam. docs/methods.md, Pour.
/// # Edge cases
/// A batch with fewer bags than the others (the last) holds so much less. Parts of the floor that
/// do not hang together are poured one after another, the one farthest from the exit first. Floor
/// above the finish is left out.
/// # Errors
/// See [`PourError`]: a tilted finish, nothing to pour, values that the sheet lacks, numbers that
/// cannot be, more batches than can be planned.
pub fn plan(floor: &Floor, plane: &Plane, request: &PourRequest) -> Result<PourPlan, PourError> {
    if !plane.is_level() {
        return Err(PourError::Tilted);
    }
    check(request)?;
    let (need, mixing_min) = sheet_values(request)?;
    let pace = Pace {
        mixing_min,
        placing_min: request.placing_min,
        mixers: request.mixers,
        overlapped: request.overlapped,
    };
    let (start, exit) = start_and_exit(floor, request)?;
    let sections = pieces::sections(floor, plane, request.stop_at_joints, exit);
    let wet = pieces::wet(floor, plane, &sections);
    let volume: f64 = wet.iter().flatten().map(Piece::volume).sum();
    if volume <= 0.0 {
        return Err(PourError::NothingToPour);
    }
    let open_min = request.material.need_open_time("longest wait").ok();
    let choices = Choices::new(
        floor,
        plane,
        (&sections, wet),
        (start, exit),
        (request, need),
    )?;
    let asked = Asked {
        order: request.order,
        bays: request.bays,
    };
    let speed = Speed { pace, open_min };
    let chosen = choices.arrange(asked, speed)?;
    let final_score = chosen.score;
    let mut notices = Vec::new();
    let bay_count = chosen.dams_m().len();
    let reason = reason(&chosen.scores, request, bay_count);
    notices.extend((bay_count > 0).then(|| in_bays(bay_count)));
    notices.extend(too_narrow(&final_score, request.least_width_m).then(narrow_batches));
    let too_long = final_score.within_open_time == Some(false);
    let remedies = if too_long {
        remedies(&choices, asked, speed)?
    } else {
        Vec::new()
    };
    let Chosen { layout, scores, .. } = chosen;
    let clocked = slots(layout.parts.len(), pace);
    let mut missing = Vec::new();
    let batches = batches(&layout, &clocked, request, &mut missing);
    if let Err(value) = request.material.need_open_time("longest wait") {
        missing.push(value);
    }
    notices.extend(findings(
        floor,
        plane,
        request,
        &final_score,
        &sections,
        !remedies.is_empty(),
    ));
    let water_m3 = batches
        .iter()
        .map(|b| b.water_m3)
        .sum::<Option<f64>>()
        .filter(|w| *w > 0.0);
    let bags = batches.iter().map(|b| b.bags).sum();
    let bay_list = bay_list(&layout, pace);
    let staging = staging::list(request, &batches, bags, water_m3);
    Ok(PourPlan {
        order: layout.order,
        reason,
        scores,
        start,
        exit,
        bags,
        volume_m3: volume,
        water_m3,
        clock: clock(batches.len(), pace, open_min),
        longest_wait_min: final_score.longest_wait_min,
        remedies,
        bays: bay_list,
        staging,
        notices,
        missing,
        batches,
    })
}

/// What batches are made of and how long one is mixed: from the material sheet, or the request where it has its own.
///
/// # Errors
/// Every value that is missing, at once.
fn sheet_values(request: &PourRequest) -> Result<(Need, f64), PourError> {
    let yield_m3 = request.material.need_yield("pour");
    let per_batch = request.material.need_bags_per_batch("pour");
    let mixing = request.mixing_min.or(request.material.mixing_min);
    let mixing = mixing.ok_or_else(|| {
        crate::fill::MissingValue::new("pour clock", "mixing_time", "mixing_time = \"3 min\"")
    });
    match (yield_m3, per_batch, mixing) {
        (Ok(yield_m3), Ok(per_batch), Ok(mixing_min)) => {
            let need = Need {
                yield_m3,
                per_batch,
                waste: request.waste,
            };
            Ok((need, mixing_min))
        }
        (y, b, m) => {
            let missing = [y.err(), b.err(), m.err()];
            Err(PourError::Missing(missing.into_iter().flatten().collect()))
        }
    }
}

/// Where the crew starts and leaves: as asked, else the highest place and the farthest from it.
fn start_and_exit(floor: &Floor, request: &PourRequest) -> Result<(Point, Point), PourError> {
    let start = request
        .start
        .or_else(|| pieces::highest_place(floor, request.exit))
        .ok_or(PourError::NothingToPour)?;
    let exit = request
        .exit
        .or_else(|| farthest(floor, start))
        .ok_or(PourError::NothingToPour)?;
    Ok((start, exit))
}

fn narrow_batches() -> Notice {
    Notice::new(
        "pour-narrow",
        Severity::Warning,
        "",
        "Batches are too narrow to be placed along so long a front, in any order and in as many bays as are tried. Mix more bags at a time, run more mixers or mix while one batch is placed, or pour the floor in parts.",
    )
}

fn in_bays(count: usize) -> Notice {
    Notice::new(
        "pour-in-bays",
        Severity::Note,
        "",
        format!(
            "The floor is divided into {count} bays, poured in strips, with a dam where one meets the next."
        ),
    )
}

/// The clock of so many batches, with the two ways of mixing side by side.
fn clock(count: usize, pace: Pace, open_min: Option<f64>) -> Clock {
    let in_all = |overlapped: bool| minutes(count, Pace { overlapped, ..pace });
    Clock {
        mixing_min: pace.mixing_min,
        placing_min: pace.placing_min,
        mixers: pace.mixers,
        overlapped: pace.overlapped,
        minutes: minutes(count, pace),
        overlapped_min: in_all(true),
        one_after_other_min: in_all(false),
        open_min,
    }
}

fn check(r: &PourRequest) -> Result<(), PourError> {
    let bad = |what: &str, found: String, expected: &str| {
        Err(PourError::BadRequest {
            what: what.to_owned(),
            found,
            expected: expected.to_owned(),
        })
    };
    if !(0.0..=1.0).contains(&r.waste) {
        return bad(
            "waste",
            found_text(r.waste),
            "a share from 0 to 1 (0.10 for 10 %)",
        );
    }
    let found = |v: Option<f64>| v.map_or_else(String::new, found_text);
    let usable = |v: f64| v.is_finite() && v > 0.0;
    if !usable(r.placing_min) {
        return bad(
            "placing time",
            found_text(r.placing_min),
            "minutes, more than 0",
        );
    }
    if r.mixing_min.is_some_and(|m| !usable(m)) {
        return bad("mixing time", found(r.mixing_min), "minutes, more than 0");
    }
    if !(1..=20).contains(&r.mixers) {
        return bad(
            "mixers",
            r.mixers.to_string(),
            "a whole number from 1 to 20",
        );
    }
    if !usable(r.strip_width_m) {
        return bad(
            "strip width",
            found_text(r.strip_width_m),
            "a length, more than 0",
        );
    }
    if r.bays.is_some_and(|n| !(1..=MOST_BAYS).contains(&n)) {
        return bad(
            "bays",
            found(r.bays.map(f64::from)),
            "a whole number from 1 to 40",
        );
    }
    let finite = |p: Option<Point>| p.is_none_or(|p| p.x.is_finite() && p.y.is_finite());
    if !finite(r.start) || !finite(r.exit) {
        return bad(
            "start or exit",
            "a place that is not a number".to_owned(),
            "plan metres",
        );
    }
    Ok(())
}

/// The boundary corner farthest from a place: where the crew leaves when no door is given.
fn farthest(floor: &Floor, start: Point) -> Option<Point> {
    floor.vertices().iter().map(|v| v.at).max_by(|p, q| {
        (p.distance(start).total_cmp(&q.distance(start)))
            .then(q.x.total_cmp(&p.x))
            .then(q.y.total_cmp(&p.y))
    })
}

fn batches(
    layout: &Layout,
    slots: &[Slot],
    request: &PourRequest,
    missing: &mut Vec<crate::fill::MissingValue>,
) -> Vec<Batch> {
    let mut out = Vec::with_capacity(layout.parts.len());
    for (k, patch) in layout.patches.iter().enumerate() {
        let water = request
            .material
            .need_water(layout.bags[k], "water per batch");
        if let Err(value) = &water
            && !missing.contains(value)
        {
            missing.push(value.clone());
        }
        out.push(Batch {
            number: k as u32 + 1,
            bay: layout.bays[k],
            outline: patch.outline.clone(),
            label_at: patch.label_at,
            also_at: also_at(patch),
            area_m2: patch.area_m2,
            volume_m3: patch.volume_m3,
            mean_depth_m: if patch.area_m2 > 0.0 {
                patch.volume_m3 / patch.area_m2
            } else {
                0.0
            },
            bags: layout.bags[k],
            water_m3: water.ok(),
            tie_in_m: patch.ties.values().sum(),
            ties: patch
                .ties
                .iter()
                .map(|(&j, &length_m)| TieIn {
                    to: j as u32 + 1,
                    length_m,
                    wait_min: slots[k].place_to - slots[j].place_to,
                    lines: patch.lines_to.get(&j).cloned().unwrap_or_default(),
                })
                .collect(),
            tie_lines: patch.tie_lines.clone(),
            mix_from_min: slots[k].mix_from,
            place_from_min: slots[k].place_from,
            place_to_min: slots[k].place_to,
        });
    }
    out
}

/// A point in each piece of a batch but the one that its number stands in.
fn also_at(patch: &Patch) -> Vec<Point> {
    let rings = patch.outline.iter().map(|line| Ring::new(line.clone()));
    let outer = rings.zip(&patch.outline).filter(|(_, line)| is_piece(line));
    let others = outer.filter(|(ring, _)| !ring.contains(patch.label_at));
    others.filter_map(|(ring, _)| inner_point(&ring)).collect()
}

fn bay_list(layout: &Layout, pace: Pace) -> Vec<Bay> {
    let count = layout.dams_m.len();
    if count <= 1 {
        return Vec::new();
    }
    let slots = slots(layout.parts.len(), pace);
    let mut joined: Vec<Vec<Piece>> = vec![Vec::new(); count];
    let mut longest = vec![0.0_f64; count];
    let mut bags = vec![0; count];
    for (k, part) in layout.parts.iter().enumerate() {
        let bay = layout.bays[k] as usize - 1;
        joined[bay].extend(part.iter().cloned());
        bags[bay] += layout.bags[k];
        for &j in layout.patches[k].ties.keys() {
            longest[bay] = longest[bay].max(slots[k].place_to - slots[j].place_to);
        }
    }
    let numbers: Vec<u32> = (1..=count as u32).collect();
    patches(&joined, &numbers)
        .into_iter()
        .enumerate()
        .map(|(i, patch)| Bay {
            number: i as u32 + 1,
            outline: patch.outline,
            area_m2: patch.area_m2,
            volume_m3: patch.volume_m3,
            bags: bags[i],
            dam_m: layout.dams_m[i],
            longest_wait_min: longest[i],
        })
        .collect()
}
