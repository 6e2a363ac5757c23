//! The pour sheet's figures, from an analysis.

use super::{facts, order};
use crate::analysis::Analysis;
use crate::fill::OPEN_EDGE;
use crate::pour::{Batch, Bay, DRAWN_OUT, EDGE_WAITS, Lift, PourPlan};
use crate::report::crew::{BatchRow, LiftRows, PourSheet, finish_text};
use crate::report::order::OrderItem;
use crate::report::orientation::Orientation;
use crate::report::words::take_off as w;
use crate::report::{Pen, words};
use crate::survey::{Notice, Severity};

/// The pour sheet's figures.
pub fn sheet(a: &Analysis, orientation: &Orientation) -> Option<PourSheet> {
    let pen = Pen::new(a.settings.habit);
    let p = a.pour.as_ref()?;
    let mut facts: Vec<(&str, String)> = vec![(w::EXIT, orientation.place(pen, p.exit))];
    let slopes = order::slopes(a).into_iter();
    facts.extend(slopes.map(|s| (s.item.label(), s.value)));
    // The finish stands on other sheets; where nobody asked for it, on this one too.
    if let Some(f) = a.filling.as_ref().filter(|f| f.fill.gauge_from.is_some()) {
        facts.push((words::answer::FINISH, finish_text(pen, &f.fill)));
    }
    let minutes: Vec<String> = p
        .lifts
        .iter()
        .map(|l| pen.minutes(l.clock.minutes))
        .collect();
    Some(PourSheet {
        lead: w::pour_lead(
            p.bags,
            p.batches().count(),
            &words::with_on(&pen.volume(p.volume_m3), &facts::filled_on(a)),
            &minutes,
            p.between_lifts_min.map(|m| pen.minutes(m)).as_deref(),
        ),
        facts: told(facts),
        walls: orientation.walls(),
        lifts: p
            .lifts
            .iter()
            .map(|lift| lift_rows(pen, orientation, lift, p.lifts.len()))
            .collect(),
        staging: staging(a, pen, p),
        checklist: facts::checklist(a),
        warnings: p.lifts.iter().flat_map(to_mend).collect(),
        heed: to_heed(a, p),
        heights: facts::heights(a),
    })
}

/// What the pour takes, and what is ordered besides it.
fn staging(a: &Analysis, pen: Pen, plan: &PourPlan) -> Vec<String> {
    let poured = plan.staging.iter().map(|s| words::staging::line(pen, s));
    let besides = [OrderItem::Primer, OrderItem::Foam, OrderItem::Dam];
    let ordered = order::order(a).into_iter();
    let ordered = ordered.filter(|f| besides.contains(&f.item));
    poured
        .chain(ordered.map(|f| words::staging::ordered(f.item.label(), &f.value)))
        .collect()
}

fn told(facts: Vec<(&str, String)>) -> Vec<(String, String)> {
    facts.into_iter().map(|(k, v)| (k.to_owned(), v)).collect()
}

/// What is to be done about an edge that waits too long, or about batches that are drawn out.
fn to_mend(lift: &Lift) -> Vec<String> {
    let open = lift.clock.open_min;
    let waits = open.is_some_and(|open| lift.longest_wait_min > open);
    let heading = match (lift.remedies.is_empty(), waits) {
        (true, false) => return Vec::new(),
        (true, true) => return vec![w::NOTHING_MENDS.to_owned()],
        (false, true) => w::TOO_LONG,
        (false, false) => w::DRAWN_OUT,
    };
    let remedies = lift.remedies.iter().map(|r| r.text.clone());
    std::iter::once(heading.to_owned())
        .chain(remedies)
        .collect()
}

/// Warnings of the pour that its remedies do not answer, and that it runs on where nobody read the floor.
fn to_heed(a: &Analysis, plan: &PourPlan) -> Vec<String> {
    let is_mended = plan.lifts.iter().any(|l| !l.remedies.is_empty());
    let told_above = |n: &&Notice| match n.code.as_str() {
        EDGE_WAITS => true,
        DRAWN_OUT => is_mended,
        _ => false,
    };
    let of_plan = plan.notices.iter().filter(|n| !told_above(n));
    let of_fill = a.filling.iter().filter_map(|f| f.take_off.as_ref());
    let open = of_fill
        .flat_map(|t| &t.notices)
        .filter(|n| n.code == OPEN_EDGE);
    of_plan
        .chain(open)
        .filter(|n| n.severity == Severity::Warning)
        .map(|n| words::of_place(&n.place, &n.text))
        .collect()
}

fn lift_rows(pen: Pen, orientation: &Orientation, lift: &Lift, of: usize) -> LiftRows {
    // Where the first bag goes; in a divided floor that is not the plan's own start.
    let start = lift.batches.first().map_or(lift.start, |b| b.label_at);
    let clock = &lift.clock;
    let mut facts: Vec<(&str, String)> = vec![
        (w::START, orientation.place(pen, start)),
        (w::ORDER, lift.reason.clone()),
        (
            w::CLOCK,
            w::clock(
                &pen.minutes(clock.minutes),
                &pen.minutes(clock.overlapped_min),
                &pen.minutes(clock.one_after_other_min),
            ),
        ),
        (
            w::WAIT,
            w::wait(
                &pen.minutes(lift.longest_wait_min),
                clock.open_min.map(|m| pen.minutes(m)).as_deref(),
            ),
        ),
    ];
    if let Some(working) = clock.working_min {
        let standing = pen.minutes(clock.standing_min);
        facts.push((w::STANDING, w::standing(&standing, &pen.minutes(working))));
    }
    for s in &lift.scores {
        let score = w::score(&pen.minutes(s.longest_wait_min), &pen.near(s.tie_in_m));
        // The scores are those of the floor in one piece; the plan may have had to divide it.
        let score = if lift.bays.is_empty() {
            score
        } else {
            w::undivided(&score, lift.bays.len())
        };
        facts.push((w::order(s.order), score));
    }
    let heading = if of > 1 {
        let below = (lift.below_finish_m > 0.0).then(|| pen.stated(lift.below_finish_m));
        let levels = w::lift_levels(lift.number, of, below.as_deref());
        w::lift_heading(&levels, lift.bags, lift.batches.len())
    } else {
        String::new()
    };
    LiftRows {
        heading,
        facts: told(facts)
            .into_iter()
            .chain(bay_dams(pen, orientation, lift))
            .collect(),
        batches: lift
            .batches
            .iter()
            .map(|b| batch_row(pen, orientation, b, !lift.bays.is_empty()))
            .collect(),
    }
}

/// Where the dams between bays stand, one row a bay.
fn bay_dams(pen: Pen, orientation: &Orientation, lift: &Lift) -> Vec<(String, String)> {
    let dammed = lift.bays.iter().filter(|b| b.dam.length_m > 0.0);
    let row = |bay: &Bay| {
        let lines = bay.dam.lines.iter();
        let lines = lines.map(|[a, b]| (orientation.place(pen, *a), orientation.place(pen, *b)));
        (
            w::dam_of_bay(bay.number),
            w::dam_along(
                &lines.collect::<Vec<_>>(),
                &pen.plan(bay.dam.length_m),
                &pen.at_least_depth(bay.dam.highest_m),
            ),
        )
    };
    dammed.map(row).collect()
}

fn batch_row(pen: Pen, orientation: &Orientation, b: &Batch, in_bays: bool) -> BatchRow {
    BatchRow {
        number: b.number as usize,
        bay: in_bays.then_some(b.bay as usize),
        place: std::iter::once(&b.label_at)
            .chain(&b.also_at)
            .map(|&p| orientation.pair(pen, p))
            .collect::<Vec<_>>()
            .join(w::AND_ALSO),
        area_m2: b.area_m2,
        volume_m3: b.volume_m3,
        mean_depth_m: b.mean_depth_m,
        bags: Some(f64::from(b.bags)),
        water_m3: b.water_m3,
        tie_in_m: b.tie_in_m,
        clock_min: Some([b.mix_from_min, b.place_from_min, b.place_to_min]),
        wait_min: b
            .ties
            .iter()
            .map(|t| t.wait_min)
            .fold(None, |m: Option<f64>, v| Some(m.map_or(v, |x| x.max(v)))),
    }
}
