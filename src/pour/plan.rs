//! The pour plan: the orders made, judged, and the best one put on the clock.

use super::batch::{Patch, patches};
use super::choose::{Asked, Choices, Chosen, Mend, remedies};
use super::clock::{Pace, Slot, longest_standing, minutes, slots};
use super::findings::{
    drawn_out, of_floor, order_without_bays, separate_parts, shut_in, spoonful, stands_too_long,
    too_few_people, waits,
};
use super::footing::Footing;
use super::judge::{reason, too_narrow};
use super::layout::{Layout, MOST_BAYS, Need, Speed};
use super::piece::{Layer, Piece};
use super::pieces::{self, Begin, Sweep};
use super::practical::is_piece;
use super::result::{Batch, Bay, Clock, Lift, PourError, PourPlan, PourRequest, TieIn};
use super::staging;
use crate::fill::{Material, MissingValue, Plane, lifts_for};
use crate::geometry::{Point, Ring, convex_hull, inner_point};
use crate::surface::Floor;
use crate::survey::{Notice, Severity};
use crate::units::found_text;

/// Most lifts that are planned.
const MOST_LIFTS: u32 = 12;

/// Plans the pour under a level finish.
///
/// # Units, datum, sign
/// Metres, cubic metres, minutes; the finish plane's elevation is above the survey datum.
/// # Method
/// Where the fill is deeper than one lift of the material may be, every lift is a pour of its own: the lowest fills what is deepest up to
/// the level from which whole lifts reach the finish, and the last covers all of the floor. For each, three orders are made and cut into
/// batches: in passes across the way out, by the level lines of a harmonic
/// function from the start to the exit, and in strips from the far wall to the door. Passes are taken unless another
/// order has fewer faults: waits over the open time, batches too narrow, torn or drawn out, a crew shut in. Where none
/// will do, the floor is divided into bays, each poured in strips behind a dam. docs/methods.md, Pour.
/// # Edge cases
/// A batch with fewer bags than the others (the last) holds so much less. Parts of the floor that
/// do not hang together are poured one after another, the one farthest from the exit first. Floor
/// above the finish is left out.
/// # Errors
/// See [`PourError`]: a tilted finish, nothing to pour, values that the sheet lacks, numbers that
/// cannot be, more batches or lifts than can be planned.
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
    let open_min = request.material.need_open_time("longest wait").ok();
    let places = start_and_exit(floor, request)?;
    let door = (places.1, request.exit_width_m);
    let sweep = pieces::sweep(floor, door, request.strip_width_m);
    let job = Job {
        floor,
        request,
        need,
        places,
        footing: Footing::new(floor, &sweep),
        sweep,
        starts: match request.start {
            Some(asked) => vec![Begin::At(asked)],
            None => vec![Begin::At(places.0), Begin::Farthest],
        },
        speed: Speed { pace, open_min },
    };
    let mut told = Told::default();
    let mut lifts: Vec<Lift> = Vec::new();
    let layers = layers(floor, plane, request)?;
    let of = layers.len() as u32;
    for (number, layer) in (1u32..).zip(layers) {
        let before = lifts.last().and_then(|l| l.batches.last());
        let numbers = Numbers {
            lift: number,
            of,
            batches_before: before.map_or(0, |b| b.number),
        };
        lifts.extend(lift(&job, (plane, &layer), numbers, &mut told)?);
    }
    let Told {
        mut notices,
        mut missing,
    } = told;
    if let Err(value) = request.material.need_open_time("longest wait") {
        missing.push(value);
    }
    notices.extend(too_few_people(request));
    notices.extend(order_without_bays(request));
    let (_, exit) = job.places;
    let mut plan = PourPlan {
        bags: lifts.iter().map(|l| l.bags).sum(),
        volume_m3: lifts.iter().map(|l| l.volume_m3).sum(),
        between_lifts_min: (lifts.len() > 1)
            .then_some(request.material.next_lift_after_min)
            .flatten(),
        lifts,
        exit,
        water_m3: None,
        staging: Vec::new(),
        notices,
        missing,
    };
    if plan.lifts.is_empty() {
        return Err(PourError::NothingToPour);
    }
    let water = plan.batches().map(|b| b.water_m3).sum::<Option<f64>>();
    plan.water_m3 = water.filter(|w| *w > 0.0);
    plan.staging = staging::list(request, &plan);
    let spoonfuls = plan.lifts.iter().filter_map(|l| {
        let mut notice = spoonful(l, request, of)?;
        notice.place = in_lift(l.number, "");
        Some(notice)
    });
    let spoonfuls: Vec<Notice> = spoonfuls.collect();
    plan.notices.extend(spoonfuls);
    Ok(plan)
}

/// What is the same for all lifts.
struct Job<'a> {
    floor: &'a Floor,
    request: &'a PourRequest,
    need: Need,
    /// Where the crew starts and leaves.
    places: (Point, Point),
    /// How the floor is swept towards the way out.
    sweep: Sweep,
    /// Where the crew stands and goes.
    footing: Footing,
    /// Where orders by level lines begin.
    starts: Vec<Begin>,
    speed: Speed,
}

/// What is worth telling, of all lifts.
#[derive(Default)]
struct Told {
    notices: Vec<Notice>,
    missing: Vec<MissingValue>,
}

/// Where a lift's numbers begin.
#[derive(Clone, Copy)]
struct Numbers {
    lift: u32,
    /// How many lifts there are.
    of: u32,
    batches_before: u32,
}

/// What each lift fills, the lowest first: whole lifts down from the finish.
fn layers(floor: &Floor, plane: &Plane, request: &PourRequest) -> Result<Vec<Layer>, PourError> {
    let depths = floor.vertices().iter().map(|v| plane.at(v.at) - v.z);
    let deepest = depths.fold(0.0, f64::max);
    let most_m = request.material.max_lift_m.unwrap_or(f64::INFINITY);
    let count = lifts_for(deepest, most_m);
    if count > MOST_LIFTS {
        return Err(PourError::TooManyLifts {
            lifts: count,
            limit: MOST_LIFTS,
        });
    }
    if count == 1 {
        return Ok(vec![Layer {
            top: *plane,
            most_m: f64::INFINITY,
        }]);
    }
    let under = (0..count).rev().map(|above| Layer {
        top: Plane::level(plane.z0 - f64::from(above) * most_m),
        // The lowest takes all that is left.
        most_m: if above + 1 == count {
            f64::INFINITY
        } else {
            most_m
        },
    });
    Ok(under.collect())
}

/// One lift's pour; `None` where it fills nothing.
fn lift(
    job: &Job<'_>,
    (finish, layer): (&Plane, &Layer),
    numbers: Numbers,
    told: &mut Told,
) -> Result<Option<Lift>, PourError> {
    let (floor, request, pace) = (job.floor, job.request, job.speed.pace);
    let (start, exit) = job.places;
    let sections = pieces::sections(floor, layer, request.stop_at_joints, exit);
    let wet = pieces::wet(floor, layer, &sections);
    let volume_m3: f64 = wet.iter().flatten().map(Piece::volume).sum();
    if volume_m3 <= 0.0 {
        return Ok(None);
    }
    let choices = Choices::new(
        floor,
        layer,
        (&sections, wet),
        (&job.starts, job.sweep, &job.footing),
        (request, &job.need),
    )?;
    let asked = Asked {
        order: request.order,
        bays: request.bays,
    };
    let chosen = choices.arrange(asked, job.speed)?;
    let score = chosen.score;
    let bay_count = chosen.dams().len();
    let remedies = match Mend::of(&chosen) {
        Some(mend) => remedies(&choices, asked, (job.speed, mend))?,
        None => Vec::new(),
    };
    let Chosen {
        layout, mut scores, ..
    } = chosen;
    let clocked = slots(layout.parts.len(), pace);
    let below_finish_m = finish.z0 - layer.top.z0;
    let mut found = Vec::new();
    found.extend((bay_count > 0).then(|| in_bays(bay_count)));
    found.extend(too_narrow(&score, request.least_width_m).then(narrow_batches));
    // What lies above a lower lift's level is poured by those over it.
    if below_finish_m <= 0.0 {
        found.extend(of_floor(floor, layer, &sections));
    }
    found.extend(separate_parts(&sections));
    let last = numbers.batches_before + layout.parts.len() as u32;
    let cut_off = job.footing.is_cut_off(&[], &layout.parts);
    found.extend(shut_in(&layout, &job.sweep, cut_off, last));
    let clock = clock(layout.parts.len(), pace, &request.material);
    found.extend(stands_too_long(&clock));
    found.extend(waits(&score, numbers.batches_before, !remedies.is_empty()));
    if bay_count == 0 {
        let mended = score.within_open_time != Some(false) && !remedies.is_empty();
        let why = (has_wings(floor), mended);
        found.extend(drawn_out(&layout.threads(), numbers.batches_before, why));
    }
    if numbers.of > 1 {
        for notice in &mut found {
            notice.place = in_lift(numbers.lift, &notice.place);
        }
    }
    told.notices.extend(found);
    let reason = reason(&scores, request, bay_count);
    for score in scores.iter_mut().filter(|s| s.longest_wait_batch > 0) {
        score.longest_wait_batch += numbers.batches_before;
    }
    let batches = batches(&layout, (&clocked, numbers), request, &mut told.missing);
    Ok(Some(Lift {
        number: numbers.lift,
        below_finish_m,
        order: layout.order,
        reason,
        scores,
        start,
        bags: batches.iter().map(|b| b.bags).sum(),
        volume_m3,
        clock,
        longest_wait_min: score.longest_wait_min,
        remedies,
        bays: bay_list(&layout, pace),
        batches,
    }))
}

/// Whether the room has wings: a string round its walls would go round a good deal of floor that is none of its own.
fn has_wings(floor: &Floor) -> bool {
    let outer = &floor.region().outline;
    let hull = Ring::new(convex_hull(outer.points(), 1e-6));
    outer.area() < FULL_SHARE * hull.area()
}

/// A room that fills so much of the string round it has no wings: our own choice, no published source.
const FULL_SHARE: f64 = 0.9;

/// `lift 1`, `lift 1, batch 3`.
fn in_lift(lift: u32, place: &str) -> String {
    if place.is_empty() {
        format!("lift {lift}")
    } else {
        format!("lift {lift}, {place}")
    }
}

/// What batches are made of and how long one is mixed: from the material sheet, or the request where it has its own.
///
/// # Errors
/// Every value that is missing, at once.
fn sheet_values(request: &PourRequest) -> Result<(Need, f64), PourError> {
    let yield_m3 = request.material.need_yield("pour");
    let per_batch = request.material.need_bags_per_batch("pour");
    let mixing = request.mixing_min.or(request.material.mixing_min);
    let mixing = mixing
        .ok_or_else(|| MissingValue::new("pour clock", "mixing_time", "mixing_time = \"3 min\""));
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
fn clock(count: usize, pace: Pace, material: &Material) -> Clock {
    let in_all = |overlapped: bool| minutes(count, Pace { overlapped, ..pace });
    Clock {
        mixing_min: pace.mixing_min,
        placing_min: pace.placing_min,
        mixers: pace.mixers,
        overlapped: pace.overlapped,
        minutes: minutes(count, pace),
        overlapped_min: in_all(true),
        one_after_other_min: in_all(false),
        open_min: material.need_open_time("longest wait").ok(),
        standing_min: longest_standing(count, pace),
        working_min: material.working_min,
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
    (slots, numbers): (&[Slot], Numbers),
    request: &PourRequest,
    missing: &mut Vec<MissingValue>,
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
            number: numbers.batches_before + k as u32 + 1,
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
                    to: numbers.batches_before + j as u32 + 1,
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
    let count = layout.dams.len();
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
            dam: layout.dams[i].clone(),
            longest_wait_min: longest[i],
        })
        .collect()
}
