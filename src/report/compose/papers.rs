//! The documents of an analysis.

use super::drawings::Drawn;
use super::wanted::{Sheet, Wanted};
use super::why_not::too_large;
use super::{facts, on_paper, order, pour};
use crate::analysis::{Analysis, marks};
use crate::drawing::svg;
use crate::fill::GrindRow;
use crate::flatness::Verdict;
use crate::report::answer;
use crate::report::crew::{self, PlacementRow, SheetDrawing};
use crate::report::order::{OrderFact, OrderItem};
use crate::report::orientation::Orientation;
use crate::report::submittal::{self, Submittal};
use crate::report::{Document, Head, ReportError, sections, words};
use crate::survey::Notice;

/// The crew's sheets that are wanted.
pub fn crew(
    a: &Analysis,
    head: &Head,
    drawn: &Drawn,
    wanted: &Wanted,
) -> Result<Vec<(Sheet, Document)>, ReportError> {
    let orientation = Orientation::of(&a.survey);
    let mut list = Vec::new();
    if wanted.has(Sheet::MarkOut)
        && !too_large(Sheet::MarkOut, a)
        && let (Some(f), Some(map)) = (&a.filling, &drawn.depth)
    {
        let mut maps = vec![on_paper(map)?];
        maps.extend(drawn.depth_parts.iter().cloned());
        let unit = facts::mark_unit(a, Some(&f.fill));
        let walk = marks(&a.survey, &a.floor, &f.fill.plane);
        list.push((
            Sheet::MarkOut,
            crew::mark_out(head, &maps, &f.fill, (&walk, unit), &orientation),
        ));
    }
    if wanted.has(Sheet::Flatness)
        && let Some(f) = &a.flatness
    {
        let mut maps = some_sheet(drawn.flatness.as_ref())?;
        maps.extend(drawn.flatness_parts.iter().cloned());
        list.push((
            Sheet::Flatness,
            crew::flatness(
                head,
                &maps,
                sections::answers(head.pen(), &orientation, &f.checks),
                &rows(drawn)?,
                &orientation,
            ),
        ));
    }
    if wanted.has(Sheet::Pour)
        && let Some(sheet) = pour::sheet(a, &orientation)
    {
        let mut maps = Vec::new();
        for lift in &drawn.pour {
            maps.push(on_paper(&lift.map)?);
            maps.extend(lift.parts.iter().cloned());
        }
        list.push((Sheet::Pour, crew::pour(head, &maps, &sheet)));
    }
    if wanted.has(Sheet::GrindPatch)
        && let Some(work) = facts::patch_work(a, answer::patch(a).unwrap_or_default())
    {
        let maps = some_sheet(drawn.patch.as_ref())?;
        list.push((
            Sheet::GrindPatch,
            crew::grind_patch(head, &maps, &work, &orientation),
        ));
    }
    Ok(list)
}

/// Submittal, notice and quantities, where they are wanted.
pub fn outgoing(
    a: &Analysis,
    head: &Head,
    drawn: &Drawn,
    wanted: &Wanted,
) -> Result<Vec<(Sheet, Document)>, ReportError> {
    let orientation = Orientation::of(&a.survey);
    let checks = a.flatness.as_ref().map_or(&[][..], |f| &f.checks);
    // How the crew pours is no business of those who get these.
    let of_pour = |n: &&Notice| a.pour.as_ref().is_some_and(|p| p.notices.contains(n));
    let notices = a.notices.iter().filter(|n| !of_pour(n));
    let notices: Vec<Notice> = notices.cloned().collect();
    let suspects = facts::floor(a).suspects;
    let mut list = Vec::new();
    if wanted.has(Sheet::Submittal) {
        let document = submitted((a, head, drawn), &orientation, &notices)?;
        list.push((Sheet::Submittal, document));
    }
    if wanted.has(Sheet::Notice) && checks.iter().any(|c| c.verdict() != Verdict::Within) {
        list.push((
            Sheet::Notice,
            submittal::notice(
                (head, &orientation),
                (checks, &facts::floor(a)),
                (&rows(drawn)?, drawn.notice_plan.as_ref()),
                (&notices, &suspects),
            ),
        ));
    }
    if wanted.has(Sheet::Quantities)
        && let Some(f) = &a.filling
    {
        list.push((
            Sheet::Quantities,
            submittal::quantities(
                head,
                (&crew::finish_text(head.pen(), &f.fill), &a.settings.as_of),
                &submittal::quantity_rows(
                    head,
                    &f.fill,
                    f.take_off
                        .as_ref()
                        .filter(|_| a.settings.base_depth_m.is_some())
                        .map(|t| t.bands.as_slice()),
                    &take_off(a),
                ),
                (&notices, &suspects),
            ),
        ));
    }
    Ok(list)
}

/// What is ordered, without what the contractor had better do, which is no business of others.
fn take_off(a: &Analysis) -> Vec<OrderFact> {
    let mut list = order::order(a);
    list.retain(|f| f.item != OrderItem::Choice);
    list.extend(order::slopes(a));
    list
}

/// The submittal. What is ordered stands in it where that is asked for, and what things cost nowhere: neither is the business of those who
/// judge a floor.
fn submitted(
    (a, head, drawn): (&Analysis, &Head, &Drawn),
    orientation: &Orientation,
    notices: &[Notice],
) -> Result<Document, ReportError> {
    let quantities = a.settings.about.quantities;
    let mut take_off = take_off(a);
    take_off.retain(|f| !f.item.is_cost() && (quantities || f.item.is_of_the_floor()));
    let mut notices = notices.to_vec();
    notices.retain(|n| quantities || !OF_THE_ORDER.contains(&n.code.as_str()));
    let key_plan = some_sheet(drawn.key_plan.as_ref())?;
    let curve = drawn.curve.as_ref().map(on_paper).transpose()?;
    let mut tables = Vec::new();
    if let Some(f) = a.filling.as_ref().filter(|_| quantities) {
        if !f.side_by_side.is_empty() {
            tables.push(sections::gauges_table(head.pen(), &f.side_by_side));
        }
        let without_prices: Vec<GrindRow> = f.grind.iter().map(GrindRow::without_price).collect();
        if !without_prices.is_empty() {
            tables.push(sections::grind_table(head.pen(), &without_prices));
        }
    }
    tables.extend(facts::heights(a));
    let heights_m = a.mark_heights_m();
    let reading = facts::reading(a);
    let of_fill = a.filling.iter().flat_map(|f| &f.notices);
    let of_work: Vec<String> = of_fill
        .map(|n| n.code.clone())
        .chain(OF_THE_ORDER.map(str::to_owned))
        .collect();
    let submittal = Submittal {
        head,
        survey: &a.survey,
        heights_m: &heights_m,
        orientation,
        floor: facts::floor(a),
        checks: a.flatness.as_ref().map_or(&[][..], |f| &f.checks),
        placements: &rows(drawn)?,
        small_plan: drawn.small_plan.as_ref(),
        key_plan: &key_plan,
        f_numbers: a.flatness.as_ref().and_then(|f| f.f_numbers.as_ref()),
        span_curve: curve.as_ref(),
        fill: a.filling.as_ref().map(|f| &f.fill),
        tables: &tables,
        need: a.filling.as_ref().map_or(&[], |f| match quantities {
            true => &f.need.words,
            false => &f.need.outside,
        }),
        take_off: &take_off,
        quantities,
        notices: &notices,
        of_work: &of_work,
        reading: &reading,
    };
    Ok(submittal.document())
}

/// What is said of the material and of how it is ordered and laid: by the codes of its notices.
const OF_THE_ORDER: [&str; 5] = [
    "needs-a-sheet",
    "more-than-one-lift",
    "patch-edges",
    "patch-lifts",
    "no-patch-plan",
];

fn some_sheet(scene: Option<&crate::drawing::Scene>) -> Result<Vec<SheetDrawing>, ReportError> {
    scene.into_iter().map(on_paper).collect()
}

/// The numbered placements as rows, with their profiles.
fn rows(drawn: &Drawn) -> Result<Vec<PlacementRow>, ReportError> {
    drawn
        .places
        .iter()
        .map(|(n, scene)| {
            Ok(PlacementRow {
                number: n.number,
                check: words::with_on(&n.check, &n.joints),
                procedure: n.procedure,
                span_m: n.span_m,
                gap_m: n.placement.gap_m,
                limit_m: n.limit_m,
                verdict: n.verdict,
                from: n.placement.from,
                to: n.placement.to,
                at: n.placement.at,
                profile: scene.as_ref().map(svg).transpose()?,
            })
        })
        .collect()
}
