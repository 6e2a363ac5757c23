//! What stands beside the finish asked for, in the short answer: other depths, grinding, a patch plan.

use super::fill_sections::deepest_grind;
use super::{Pen, words};
use crate::analysis::{Analysis, Filling};
use crate::flatness::{Joints, PartResult, chance_words};
use crate::patch::{PatchLimit, PatchPlan};
use words::answer as w;

/// The patch plan in a sentence, beside the full pour; `None` when there is none.
pub fn patch(a: &Analysis) -> Option<String> {
    let pen = Pen::new(a.settings.habit);
    let p = a.patch.as_ref()?;
    let limits = limits(a, pen, p);
    let others = w::not_aimed_at(&a.not_aimed_at());
    if p.is_empty() {
        return Some(w::no_patch(&limits) + &others);
    }
    let bags = p.bags.map(|b| crate::report::crew::few_bags(pen, b));
    // What a tilted finish takes is poured by nobody.
    let full = a.filling.as_ref().filter(|f| f.fill.plane.is_level());
    Some(
        w::patch(&w::Patch {
            patches: p.patches.len(),
            grinds: p.grinds.len(),
            volume: &pen.volume(p.fill_volume_m3),
            bags: bags.as_deref(),
            deepest: &match p.step_m {
                Some(_) => pen.held(p.deepest_m),
                None => pen.at_least_depth(p.deepest_m),
            },
            limits: &limits,
            unsure: match p
                .checks
                .iter()
                .find(|c| !c.chance.is_some_and(|c| c.is_within()))
            {
                Some(c) if c.chance.is_none() => w::NO_CHANCE,
                Some(_) => w::UNSURE,
                None => "",
            },
            instead_of: full.map(|f| full_pour(pen, f)).as_deref(),
            height: full.map(|f| pen.depth(f.fill.deepest_m)).as_deref(),
        }) + &others,
    )
}

/// The limits that the plan was aimed at, each once: those of the parts that were tested.
fn limits(a: &Analysis, pen: Pen, p: &PatchPlan) -> String {
    let parts: Vec<(Joints, &PartResult)> = a
        .flatness
        .iter()
        .flat_map(|f| &f.checks)
        .flat_map(|c| c.parts.iter().map(|p| (c.joints, p)))
        .collect();
    // Where the rule lets a share of the placements be over, the plan holds all of them to it all the same.
    let stricter = |limit: PatchLimit| {
        let own = |(joints, part): &&(Joints, &PartResult)| {
            PatchLimit::of(part.procedure, part.span_m, part.allowance_m, *joints) == Some(limit)
        };
        let mut of_rule = parts.iter().filter(own).peekable();
        of_rule.peek().is_some() && of_rule.all(|(_, part)| part.may_be_over.is_some())
    };
    let mut list: Vec<String> = Vec::new();
    for c in &p.checks {
        let text = w::patch_limit(
            c.limit.departure,
            &pen.limit(c.limit.allowance_m),
            &pen.span(c.limit.span_m),
            stricter(c.limit),
            c.chance.map(chance_words).as_deref(),
        );
        if !list.contains(&text) {
            list.push(text);
        }
    }
    list.join(", ")
}

/// What the full pour takes: bags where they are known, else the volume.
fn full_pour(pen: Pen, f: &Filling) -> String {
    f.take_off
        .as_ref()
        .and_then(|t| t.bags.as_ref())
        .map_or_else(
            || pen.volume(f.fill.volume_m3),
            |b| crate::units::bags_text(b.count),
        )
}

/// Other gauge depths, and steps of the grind-or-fill table: row names and texts.
pub(super) fn choices(a: &Analysis, pen: Pen) -> Vec<(&'static str, String)> {
    let mut list = Vec::new();
    let Some(f) = &a.filling else { return list };
    for g in &f.side_by_side {
        list.push((
            w::INSTEAD,
            format!(
                "{}: {}",
                pen.gauge(g.gauge_m),
                w::instead(
                    &pen.volume(g.volume_m3),
                    &pen.depth(g.mean_m),
                    &pen.of_gauge(g.deepest_m),
                    g.bags.map(|b| (b, g.by_volume))
                )
            ),
        ));
    }
    let currency = a
        .settings
        .prices
        .as_ref()
        .map_or("", |p| p.currency.as_str());
    for g in &f.grind {
        let cost = g.total_cost.map(|c| {
            format!("{} {currency}", pen.number(c, 2))
                .trim_end()
                .to_owned()
        });
        let text = if g.ground_to_m.is_some() {
            w::grind_row(
                (
                    &pen.area(g.grind_area_m2),
                    &pen.some_volume(g.grind_volume_m3),
                    &format!("{} {}", deepest_grind(pen, g), pen.depth_unit()),
                ),
                g.bags
                    .zip(g.bags_saved)
                    .map(|(bags, saved)| (bags, g.by_volume, saved)),
                cost.as_deref(),
                g.cheapest,
                g.deeper_than_allowed,
            )
        } else {
            w::grind_none(g.bags, cost.as_deref(), g.cheapest)
        };
        let lowered = (g.lowered_m > 0.0).then(|| pen.depth(g.lowered_m));
        list.push((w::GRIND, w::lowered(lowered.as_deref(), &text)));
    }
    list
}
