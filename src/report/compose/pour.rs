//! The pour sheet's figures, from an analysis.

use super::{facts, order};
use crate::analysis::Analysis;
use crate::pour::TOO_FEW_PEOPLE;
use crate::report::crew::{BatchRow, PourSheet, finish_text};
use crate::report::orientation::Orientation;
use crate::report::words::take_off as w;
use crate::report::{Pen, words};

/// The pour sheet's figures.
pub fn sheet(a: &Analysis, orientation: &Orientation) -> Option<PourSheet> {
    let pen = Pen::new(a.settings.habit);
    let p = a.pour.as_ref()?;
    // Where the first bag goes; in a divided floor that is not the plan's own start.
    let start = p.batches.first().map_or(p.start, |b| b.label_at);
    let mut facts: Vec<(&str, String)> = vec![
        (w::START, orientation.place(pen, start)),
        (w::EXIT, orientation.place(pen, p.exit)),
        (w::ORDER, p.reason.clone()),
        (
            w::CLOCK,
            w::clock(
                &pen.minutes(p.clock.minutes),
                &pen.minutes(p.clock.overlapped_min),
                &pen.minutes(p.clock.one_after_other_min),
            ),
        ),
        (
            w::WAIT,
            w::wait(
                &pen.minutes(p.longest_wait_min),
                p.clock.open_min.map(|m| pen.minutes(m)).as_deref(),
            ),
        ),
    ];
    for s in &p.scores {
        let score = w::score(&pen.minutes(s.longest_wait_min), &pen.near(s.tie_in_m));
        // The scores are those of the floor in one piece; the plan may have had to divide it.
        let score = if p.bays.is_empty() {
            score
        } else {
            w::undivided(&score, p.bays.len())
        };
        facts.push((w::order(s.order), score));
    }
    let slopes = order::slopes(a).into_iter();
    facts.extend(slopes.map(|s| (s.item.label(), s.value)));
    let mut warnings: Vec<String> = Vec::new();
    if p.clock
        .open_min
        .is_some_and(|open| p.longest_wait_min > open)
    {
        if p.remedies.is_empty() {
            warnings.push(w::NOTHING_MENDS.to_owned());
        } else {
            warnings.push(w::TOO_LONG.to_owned());
            warnings.extend(p.remedies.iter().map(|r| r.text.clone()));
        }
    }
    let crew = p.notices.iter().filter(|n| n.code == TOO_FEW_PEOPLE);
    warnings.extend(crew.map(|n| n.text.clone()));
    // The finish stands on other sheets; where nobody asked for it, on this one too.
    if let Some(f) = a.filling.as_ref().filter(|f| f.fill.gauge_from.is_some()) {
        facts.push((words::answer::FINISH, finish_text(pen, &f.fill)));
    }
    Some(PourSheet {
        lead: w::pour_lead(
            p.bags,
            p.batches.len(),
            &pen.volume(p.volume_m3),
            &pen.minutes(p.clock.minutes),
        ),
        facts: facts.into_iter().map(|(k, v)| (k.to_owned(), v)).collect(),
        walls: orientation.walls(),
        batches: p
            .batches
            .iter()
            .map(|b| BatchRow {
                number: b.number as usize,
                bay: (!p.bays.is_empty()).then_some(b.bay as usize),
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
            })
            .collect(),
        staging: p
            .staging
            .iter()
            .map(|s| words::staging::line(pen, s))
            .collect(),
        checklist: facts::checklist(a),
        warnings,
        heights: facts::heights(a),
    })
}
