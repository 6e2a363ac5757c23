//! Readings after the work against those before it.

use super::error::JobError;
use super::file::JobFile;
use super::inputs::Inputs;
use super::on_paper::on_paper;
use super::words::number;
use crate::analysis::{Analysis, Tell, departure, judge_options};
use crate::fill::{MOST_BAGS, MOST_DEPTH_M, SAY_DEEP};
use crate::flatness::{Check, JudgeOptions, Limit};
use crate::geometry::{Point, Region, Ring, convex_hull};
use crate::recheck::{
    Day, Recheck, RecheckError, RecheckRequest, Tie, TieLine, placed_m3, recheck as compare,
    ridges, uneven_m2,
};
use crate::report::{Paper, Pen, compose};
use crate::survey::{Room, Survey};

/// Lets either day take over what only the other says. A bare readings file is then enough for the second
/// day: outline, checks, spans, finish, material and how a sheet is read are those of the first. An outline
/// that only the second day has holds for the first as well.
pub fn same_terms(
    before: &mut JobFile,
    after: &mut JobFile,
    given: &mut Inputs,
    also: &mut Inputs,
) {
    take_file(&mut after.outline, &before.outline, given, also);
    take_file(&mut before.outline, &after.outline, also, given);
    fill(&mut after.units, &before.units);
    if after.checks.is_empty() {
        after.checks.clone_from(&before.checks);
    }
    if after.spans.is_empty() {
        after.spans.clone_from(&before.spans);
    }
    if !after.fill.names_finish() {
        after.fill.take_finish(&before.fill);
        after.fill.deep |= before.fill.deep;
    }
    take_file(&mut after.fill.material, &before.fill.material, given, also);
    fill(&mut after.fill.waste, &before.fill.waste);
    fill(&mut after.paper, &before.paper);
    if after.title.is_empty() {
        after.title.clone_from(&before.title);
        after.place.clone_from(&before.place);
    }
    if after.company.name.is_empty() && after.company.lines.is_empty() {
        let logo = after.company.logo.take();
        after.company = before.company.clone();
        after.company.logo = logo;
        take_file(&mut after.company.logo, &before.company.logo, given, also);
    }
    fill(&mut after.instrument.line, &before.instrument.line);
    fill(&mut after.instrument.doubt, &before.instrument.doubt);
    fill(
        &mut after.instrument.repeatability,
        &before.instrument.repeatability,
    );
    fill(&mut after.instrument.step, &before.instrument.step);
    if let [first] = before.readings.as_slice() {
        for entry in &mut after.readings {
            fill(&mut entry.plan_unit, &first.plan_unit);
            fill(&mut entry.reading_unit, &first.reading_unit);
            fill(&mut entry.meaning, &first.meaning);
            fill(&mut entry.layout, &first.layout);
            fill(&mut entry.spacing, &first.spacing);
        }
    }
}

/// Whether a job says that something is to be laid: a finish or a material. A floor that was ground, or read twice, has no plan to be
/// held against.
pub fn plans_fill(job: &JobFile) -> bool {
    job.fill.names_finish() || job.fill.material.is_some()
}

/// Without an outline a floor ends at its outermost readings: on the second day that is the floor of the first all the same, lest half
/// of it read again be judged as the whole.
pub fn on_the_same_floor(before: &Survey, after: &mut Survey) {
    /// Marks are found again to this, metres.
    const SAME_MARK_M: f64 = 0.05;
    /// A corner that stands out by less is none, metres.
    const STRAIGHT_M: f64 = 1e-4;
    if before.room.is_some() || after.room.is_some() {
        return;
    }
    let places = |s: &Survey| s.readings.iter().map(|r| r.at).collect::<Vec<Point>>();
    let (first, second) = (places(before), places(after));
    let around = |points: &[Point]| Region {
        outline: Ring::new(convex_hull(points, STRAIGHT_M)),
        voids: Vec::new(),
    };
    let reached = around(&second);
    let is_reached = |p: &Point| reached.contains(*p) || reached.lies_about(*p, SAME_MARK_M);
    if first.iter().all(is_reached) {
        return;
    }
    let both: Vec<Point> = first.into_iter().chain(second).collect();
    after.room = Some(Room::bare(around(&both).outline));
}

/// Takes the other's word where there is none.
fn fill<T: Clone>(slot: &mut Option<T>, other: &Option<T>) {
    if slot.is_none() {
        slot.clone_from(other);
    }
}

/// Takes over a file that only the other day names, with its bytes. Its name may be that of another file on this
/// day, and is then told apart.
fn take_file(slot: &mut Option<String>, other: &Option<String>, from: &Inputs, to: &mut Inputs) {
    let (None, Some(name)) = (&slot, other) else {
        return;
    };
    let Ok(bytes) = from.get(name) else {
        return;
    };
    let bytes = bytes.to_vec();
    let mut own = name.clone();
    while to.get(&own).is_ok_and(|there| there != bytes) {
        own = format!("{OTHER_DAY}/{own}");
    }
    to.insert(own.clone(), bytes);
    *slot = Some(own);
}

/// Before the name of a file that was taken over from the other day and has a namesake on this one.
const OTHER_DAY: &str = "other day";

/// How the heights of two days hang together by what their jobs say; `tie` names marks that the work did not touch. Asked before
/// either day takes over what only the other says ([`same_terms`]).
pub fn tie(before: &JobFile, after: &JobFile, tie: &[String]) -> Tie {
    if !tie.is_empty() {
        Tie::Points(tie.to_vec())
    } else if before.instrument.line.is_some() && after.instrument.line.is_some() {
        Tie::Stated
    } else {
        Tie::Assumed
    }
}

/// Compares the two days, mark by mark.
///
/// # Units, datum, sign
/// Metres; thickness is after less before. Both days need one datum: the same line height, each day's
/// line stated with `instrument.line`, or marks that the work did not touch ([`tie`]).
/// # Errors
/// No mark in common, or one name at two places; a floor that came to lie farther off than is believed unasked.
pub fn recheck(
    before: &Analysis,
    after: &Analysis,
    bags_used: Option<f64>,
    tie: Tie,
) -> Result<Recheck, JobError> {
    let bags_used = number(
        "used",
        bags_used,
        |v| (0.0..=f64::from(MOST_BAGS)).contains(&v),
        "a number of bags from 0 to 1,000,000",
    )?;
    let filling = before.filling.as_ref();
    let material = before.settings.material.as_ref();
    let plane = filling.map(|f| f.fill.plane);
    let compared = compare(
        &before.survey,
        &after.survey,
        &RecheckRequest {
            tie,
            plane: plane.as_ref(),
            least_cover_m: material.and_then(|m| m.min_depth_m),
            allowed_off_m: allowed_off_m(
                after
                    .flatness
                    .as_ref()
                    .map_or(&after.settings.checks, |f| &f.rules),
            ),
            spacing_m: before.floor.spacing(),
            bags_planned: filling
                .and_then(|f| f.take_off.as_ref())
                .and_then(|t| t.bags.as_ref())
                .map(|b| f64::from(b.count)),
            bags_used,
            yield_m3: material.and_then(|m| m.yield_m3),
            placed_m3: placed_m3(day(before), day(after)),
            areas_m2: [before.floor.area(), after.floor.area()],
            uneven_m2: [uneven_m2(&before.floor), uneven_m2(&after.floor)],
            reading_m: [
                judge_options(
                    &before.survey,
                    &before.settings,
                    (&before.step, &before.repeats),
                ),
                judged_after(before, after),
            ]
            .map(|judged| judged.doubt.reading_m()),
            ridges: ridges(
                &after.floor,
                &tie_lines(before),
                &judged_after(before, after),
            ),
        },
    )?;
    believed(&compared, before, after)?;
    Ok(compared)
}

/// Asks about a floor that came to lie farther off than anybody lays or takes away: one day's numbers are more likely of another kind, of
/// another datum or in another unit.
fn believed(compared: &Recheck, before: &Analysis, after: &Analysis) -> Result<(), JobError> {
    let marks = &compared.marks;
    let Some(first) = marks.first() else {
        return Ok(());
    };
    let mean_m = marks.iter().map(|m| m.placed_m).sum::<f64>() / marks.len() as f64;
    if mean_m.abs() <= MOST_DEPTH_M + 1e-9 || before.settings.deep || after.settings.deep {
        return Ok(());
    }
    let far = Pen::new(after.settings.habit).over_depth(mean_m.abs(), MOST_DEPTH_M);
    Err(RecheckError::Unlike(format!(
        "the floor after the work lies {far} {} the floor before it on the average of {} marks (\u{201c}{}\u{201d} before and \u{201c}{}\u{201d} after at {}); {SAY_DEEP}. Are both days of one kind, down from a line or heights, in one unit? If the line stood at another height on the second day, name marks that the work did not touch as ties, or state both lines (instrument.line)",
        if mean_m > 0.0 { "over" } else { "under" },
        marks.len(),
        first.before_text,
        first.after_text,
        first.label,
    ))
    .into())
}

/// How the floor after the work is judged. A floor that came out level shows too few different readings to tell the step they were read
/// to; the day before does.
fn judged_after(before: &Analysis, after: &Analysis) -> JudgeOptions {
    let mut options = judge_options(
        &after.survey,
        &after.settings,
        (&after.step, &after.repeats),
    );
    let told = after.step.stated || after.survey.evident_step_m().is_some();
    if let Some(step_m) = before.survey.evident_step_m().filter(|_| !told) {
        options.doubt.step_m = options.doubt.step_m.min(step_m);
    }
    options
}

/// How far a mark may lie off the finish where no check says how far a floor may, metres: 1/8 in, common practice.
const USUAL_OFF_M: f64 = 0.003_175;

/// How far a mark may lie off the finish before it is listed: the tightest that the checks allow under their longest edge. A floor
/// whose marks all keep to it may still break it, but none whose marks are listed by a looser one would be told why it is out.
fn allowed_off_m(checks: &[Check]) -> f64 {
    let edges = || {
        checks
            .iter()
            .flat_map(|c| &c.parts)
            .filter_map(|p| match p.limit {
                Limit::Most(m) => departure(p.procedure).map(|_| (p.span_m, m)),
                _ => None,
            })
    };
    let longest = edges().map(|e| e.0).fold(0.0, f64::max);
    edges()
        .filter(|e| e.0 > longest - 1e-6)
        .map(|e| e.1)
        .reduce(f64::min)
        .unwrap_or(USUAL_OFF_M)
}

/// The floor of a day.
fn day(a: &Analysis) -> Day<'_> {
    Day {
        floor: &a.floor,
        high_m: a.levels.high.elevation_m,
    }
}

/// The lines along which the batches of the first day's plan were to be tied: those of the last lift, which is the one that is seen.
fn tie_lines(before: &Analysis) -> Vec<TieLine> {
    let last = before.pour.iter().filter_map(|p| p.lifts.last());
    let batches = last.flat_map(|l| &l.batches);
    let ties = batches.flat_map(|b| b.ties.iter().map(move |tie| (b.number, tie)));
    ties.flat_map(|(number, tie)| {
        tie.lines.iter().map(move |&ends| TieLine {
            ends,
            batches: (tie.to, number),
        })
    })
    .collect()
}

/// The re-check sheet and its maps.
///
/// # Errors
/// When a drawing or the sheet cannot be made.
pub fn recheck_paper(
    before: &Analysis,
    after: &Analysis,
    compared: &Recheck,
    paper: Paper,
    tell: Tell<'_>,
) -> Result<Vec<(String, Vec<u8>)>, JobError> {
    let (before, after) = (on_paper(before)?, on_paper(after)?);
    Ok(compose::recheck(&before, &after, compared, paper, tell)?)
}
