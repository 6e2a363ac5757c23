//! What to order, from an analysis: every printer takes its lines from this list.

use super::facts::filled_on;
use crate::analysis::{Analysis, WayOut, Work};
use crate::fill::{Bags, CostLine, Costs, Dam, DamKind, GALLON_M3, PrimerNeed, TakeOff};
use crate::report::Pen;
use crate::report::order::{OrderFact, OrderItem};
use crate::report::orientation::Orientation;
use crate::report::words::answer as words;
use crate::report::words::take_off as w;
use crate::units::{FOOT_M, Habit};

fn fact(item: OrderItem, value: String) -> OrderFact {
    OrderFact { item, value }
}

/// What to order.
pub fn order(a: &Analysis) -> Vec<OrderFact> {
    let pen = Pen::new(a.settings.habit);
    let mut list = Vec::new();
    list.extend(choice(a, pen).map(|text| fact(OrderItem::Choice, text)));
    let on = filled_on(a);
    if a.filling.is_some() && !on.is_empty() {
        list.push(fact(OrderItem::Counted, on));
    }
    let Some(t) = a.filling.as_ref().and_then(|f| f.take_off.as_ref()) else {
        return list;
    };
    list.extend([
        fact(OrderItem::Material, t.material.clone()),
        fact(OrderItem::Waste, pen.percent(t.waste)),
        fact(OrderItem::Ordered, pen.volume(t.ordered_m3)),
    ]);
    if let Some(b) = &t.bags {
        list.extend(bags(pen, b, a.pour.is_none()));
    }
    list.extend(enough(a).map(|text| fact(OrderItem::Enough, text)));
    list.extend(mixing(pen, t));
    list.extend(edges(pen, t));
    list.extend(depth_and_weight(pen, t));
    if let Some(c) = &t.costs {
        list.extend(costs(pen, c));
    }
    list
}

/// The cheapest sound choice in a line; `None` where nothing was checked or nothing is sound.
fn choice(a: &Analysis, pen: Pen) -> Option<String> {
    let choices = a.choices()?;
    let money = |v: f64| {
        let currency = a.settings.prices.as_ref().map_or("", |p| &p.currency);
        format!("{} {currency}", pen.number(v, 2))
            .trim_end()
            .to_owned()
    };
    let takes = |way: &WayOut| {
        let parts = [
            way.bags.filter(|b| *b > 0).map(crate::units::bags_text),
            (way.ground_m3 > 0.0)
                .then(|| words::ground(&pen.some_volume(way.ground_m3), &pen.area(way.ground_m2))),
            (way.adds_m > 0.0).then(|| words::adds(&pen.held(way.adds_m))),
            way.cost.filter(|_| way.work != Work::Leave).map(money),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    };
    let best = choices.best();
    let other = [Work::Pour, Work::Patch]
        .into_iter()
        .filter(|work| *work != best.work && best.work != Work::Leave)
        .find_map(|work| choices.way(work));
    let other = other.map(|way| (way.work, takes(way), way.is_sound));
    Some(words::choice(
        best.work,
        &takes(best),
        other.as_ref().map(|(w, t, sound)| (*w, t.as_str(), *sound)),
    ))
}

/// How likely the volume is short, by how the readings vary between the marks; `None` where that is not known.
pub fn enough(a: &Analysis) -> Option<String> {
    let pen = Pen::new(a.settings.habit);
    let between = a.between.as_ref()?.as_ref().ok()?;
    let enough: Vec<(f64, String)> = between
        .volume
        .as_ref()?
        .enough
        .iter()
        .map(|e| (e.share, words::enough(&pen.volume(e.volume_m3), e.bags)))
        .collect();
    Some(words::between(&enough))
}

/// Bags before rounding up: never a whole number that is less than what they are rounded up to.
fn exact_bags(pen: Pen, b: &Bags) -> String {
    let near_whole = |decimals: i32| {
        let shown = (b.exact * 10f64.powi(decimals)).round() / 10f64.powi(decimals);
        shown == shown.floor() && shown < b.exact
    };
    let decimals = (2..=4).find(|d| !near_whole(*d)).unwrap_or(4);
    pen.number(b.exact, decimals as usize)
}

fn bags(pen: Pen, b: &Bags, by_volume: bool) -> Vec<OrderFact> {
    let left = w::left(
        &pen.volume(b.left_with_waste_m3),
        &pen.volume(b.left_without_waste_m3),
    );
    let by_volume = if by_volume { w::BY_VOLUME } else { "" };
    let mut list = vec![
        fact(OrderItem::Yield, pen.fine_volume(b.yield_m3)),
        fact(
            OrderItem::Bags,
            w::bags(b.count, &exact_bags(pen, b), b.is_rounded_up()) + by_volume,
        ),
        fact(OrderItem::Left, left),
    ];
    let ifs = b.sensitivity.iter();
    list.extend(ifs.map(|s| fact(OrderItem::If, w::sensitivity(&s.what, s.bags))));
    list
}

/// Batches, water and primer.
fn mixing(pen: Pen, t: &TakeOff) -> Vec<OrderFact> {
    let batches = t.batches.as_ref().map(|b| {
        let text = w::batches(b.count, b.bags_per_batch, b.last_bags);
        fact(OrderItem::Batches, text)
    });
    let water = t.water.as_ref().map(|x| {
        let last = (x.last_batch_m3 != x.per_batch_m3).then(|| pen.water(x.last_batch_m3));
        let text = w::water(
            &pen.water(x.total_m3),
            &pen.water(x.per_batch_m3),
            last.as_deref(),
        );
        fact(OrderItem::Water, text)
    });
    let primer = t
        .primer
        .as_ref()
        .map(|p| fact(OrderItem::Primer, primer(pen, p)));
    [batches, water, primer].into_iter().flatten().collect()
}

fn primer(pen: Pen, p: &PrimerNeed) -> String {
    let thinned = p.spread_m3 > p.neat_m3 * (1.0 + 1e-9);
    w::primer(
        &pen.to_bring(p.neat_m3),
        thinned.then(|| pen.to_bring(p.spread_m3)).as_deref(),
        &pen.area(p.area_m2),
        p.coats,
        p.drying_min.map(|m| pen.minutes(m)).as_deref(),
    )
}

/// Foam and dams.
fn edges(pen: Pen, t: &TakeOff) -> Vec<OrderFact> {
    let foam = fact(OrderItem::Foam, pen.plan(t.perimeter.foam_m));
    let dams = t.dams.iter().map(|d| {
        let name = match d.kind {
            DamKind::Joint => w::joint(&d.name),
            DamKind::Bay => w::BAY_DAMS.to_owned(),
            DamKind::Opening | DamKind::Slope => d.name.clone(),
        };
        let text = w::dam(
            &name,
            &pen.plan(d.length_m),
            &pen.at_least_depth(d.highest_m),
        );
        fact(OrderItem::Dam, text)
    });
    std::iter::once(foam).chain(dams).collect()
}

/// Lifts, and the weight that the fill adds.
fn depth_and_weight(pen: Pen, t: &TakeOff) -> Vec<OrderFact> {
    let lifts = t.lifts.as_ref().filter(|l| l.count > 1).map(|l| {
        let text = w::lifts(
            l.count,
            &pen.stated(l.limit_m),
            &pen.area(l.area_over_m2),
            l.wait_min.map(|m| pen.minutes(m)).as_deref(),
        );
        fact(OrderItem::Lifts, text)
    });
    let weight = t.weight.as_ref().map(|x| {
        let text = w::weight(
            &pen.mass(x.total_kg),
            &pen.load(x.mean_kg_m2),
            &pen.load(x.worst_kg_m2),
        );
        fact(OrderItem::Weight, text)
    });
    [lifts, weight].into_iter().flatten().collect()
}

fn costs(pen: Pen, c: &Costs) -> Vec<OrderFact> {
    let money = |v: f64| {
        format!("{} {}", pen.number(v, 2), c.currency)
            .trim_end()
            .to_owned()
    };
    let lines = c.lines.iter().map(|l| {
        let (quantity, unit, size) = in_habit(pen, l);
        let text = w::cost(
            &l.item,
            &quantity,
            (&pen.number(l.unit_price * size, 2), unit),
            &money(l.amount),
        );
        fact(OrderItem::Cost, text)
    });
    let total = fact(OrderItem::CostTotal, money(c.total));
    lines.chain([total]).collect()
}

/// Quantity of a cost line as the order tells it, the reader's unit of its price, and how much of the line's own unit that is.
fn in_habit(pen: Pen, line: &CostLine) -> (String, &'static str, f64) {
    let us = pen.habit == Habit::Us;
    let of = |text: String, us_unit: (&'static str, f64), metric_unit: (&'static str, f64)| {
        let (name, size) = if us { us_unit } else { metric_unit };
        (text, name, size)
    };
    let q = line.quantity;
    match line.unit.as_str() {
        "l" => of(
            pen.water(q / 1000.0),
            ("gal", GALLON_M3 * 1000.0),
            ("L", 1.0),
        ),
        "m" => of(pen.plan(q), ("ft", FOOT_M), ("m", 1.0)),
        "m2" => of(pen.area(q), ("sq ft", FOOT_M * FOOT_M), ("m\u{b2}", 1.0)),
        "m3" => of(
            pen.volume(q),
            ("cu ft", FOOT_M * FOOT_M * FOOT_M),
            ("L", 0.001),
        ),
        // Bags: the item's own name says it.
        _ => (pen.number(q, 0), "", 1.0),
    }
}

/// Areas that keep their slope: what is left out, and the dam's height along its line.
pub fn slopes(a: &Analysis) -> Vec<OrderFact> {
    let pen = Pen::new(a.settings.habit);
    let orientation = Orientation::of(&a.survey);
    a.filling
        .iter()
        .flat_map(|f| &f.slopes)
        .map(|s| {
            let dam = s
                .dam
                .as_ref()
                .map(|d| (pen.plan(d.length_m), along(pen, &orientation, d)));
            let text = w::slope(
                &s.name,
                &pen.area(s.area_m2),
                dam.as_ref().map(|(l, h)| (l.as_str(), h.as_str())),
            );
            fact(OrderItem::Slope, text)
        })
        .collect()
}

/// A dam's height at its places, in words: piece by piece, from where each begins.
fn along(pen: Pen, orientation: &Orientation, dam: &Dam) -> String {
    let told = &dam.stations[..dam.stations.len().min(MOST_STATIONS)];
    let mut pieces: Vec<String> = told
        .chunk_by(|_, next| !next.begins)
        .map(|piece| {
            let start = piece[0];
            let heights: Vec<String> = piece
                .iter()
                .map(|s| w::along(&pen.depth(s.depth_m), &pen.near(s.along_m - start.along_m)))
                .collect();
            w::piece(&orientation.place(pen, start.at), &heights.join(", "))
        })
        .collect();
    if dam.stations.len() > MOST_STATIONS {
        pieces.push(crate::report::words::and_more(
            dam.stations.len() - MOST_STATIONS,
        ));
    }
    pieces.join("; ")
}

/// Most heights of one dam that are told in a line.
const MOST_STATIONS: usize = 24;
