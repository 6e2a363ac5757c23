//! Pieces that several documents share: verdicts, checks, fill, readings, notices.

use super::crew::finish_text;
use super::marks::Orientation;
use super::order::{OrderFact, OrderItem};
use super::words::submittal as w;
use super::{Answer, Block, Column, Document, Fact, Pen, Table, Tone, words};
use crate::fill::{Fill, GaugeRow, GrindRow};
use crate::flatness::{CheckResult, Measured, PartResult, Verdict};
use crate::geometry::Point;
use crate::survey::{Notice, Severity};

/// The floor's own figures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FloorFacts {
    /// Area inside the walls less voids, square metres.
    pub area_m2: f64,
    /// Area between readings, square metres.
    pub surveyed_m2: f64,
    /// Area carried out to the walls, square metres.
    pub extended_m2: f64,
    /// Area that no reading speaks for, square metres.
    pub unsurveyed_m2: f64,
    /// Typical distance between readings, metres.
    pub spacing_m: f64,
    /// Name and place of the high point.
    pub high: (String, Point),
    /// Elevation of the high point, metres.
    pub high_m: f64,
    /// Name and place of the low point.
    pub low: (String, Point),
    /// Highest less lowest, metres.
    pub overall_m: f64,
    /// Readings that stand on the floor, and all of them.
    pub used: (usize, usize),
    /// Areas that keep their slope, square metres.
    pub left_out: Vec<(String, f64)>,
    /// Drains round which no slope is drawn.
    pub bare_drains: Vec<String>,
}

impl FloorFacts {
    /// How many readings there are, or are used.
    pub fn count(&self) -> String {
        w::count(self.used.0, self.used.1)
    }

    /// What became of readings that are not used; `None` where all are.
    pub fn not_used(&self) -> Option<String> {
        let (used, all) = self.used;
        (used < all).then(|| w::not_used(all - used))
    }

    /// What a drain says against a floor that is told out; `None` where there is none, or nothing is out.
    pub fn falls(&self, checks: &[CheckResult]) -> Option<String> {
        let out = checks.iter().any(|c| c.verdict() == Verdict::Out);
        (out && !self.bare_drains.is_empty()).then(|| w::falls_to(&self.bare_drains.join(", ")))
    }

    /// Areas that are neither judged nor filled, in words.
    pub fn left_out(&self, pen: Pen) -> Vec<String> {
        self.left_out
            .iter()
            .map(|(name, m2)| w::left_out(name, &pen.area(*m2)))
            .collect()
    }

    /// How much of the room quantities are of; empty where it is all of it.
    pub fn counted_on(&self, pen: Pen) -> String {
        pen.on(self.surveyed_m2 + self.extended_m2, self.area_m2)
    }
}

/// Verdicts as boxes: what was asked, the word, the worst part and where it lies.
pub fn answers(pen: Pen, orientation: &Orientation, checks: &[CheckResult]) -> Vec<Answer> {
    let mut list = answers_of(pen, orientation, checks, false);
    for (answer, check) in list.iter_mut().zip(checks) {
        if let Some(part) = check.deciding() {
            if let Some(p) = part.measured().and_then(|m| m.worst) {
                answer.lines.push(w::worst_line(
                    &orientation.place(pen, p.from),
                    &orientation.place(pen, p.to),
                    &orientation.direction(p.from, p.to),
                ));
            }
            answer.lines.push(part.reason.clone());
        }
        let others = check.parts.iter().filter_map(|p| p.measured());
        for other in others.filter_map(|m| m.other.as_ref()) {
            answer.lines.push(w::other_way(
                words::procedure(other.procedure),
                &pen.gap(other.gap_m),
                words::verdict(other.verdict),
            ));
        }
    }
    list
}

/// The same with nothing but the figures of each part, where the places are listed beside them, and why a part is in doubt.
pub fn brief_answers(pen: Pen, orientation: &Orientation, checks: &[CheckResult]) -> Vec<Answer> {
    let mut list = answers_of(pen, orientation, checks, true);
    for (answer, check) in list.iter_mut().zip(checks) {
        let doubtful = check
            .parts
            .iter()
            .filter(|p| p.verdict() == Verdict::InDoubt);
        answer.lines.extend(doubtful.map(|p| p.reason.clone()));
    }
    list
}

/// A box for each check with a line for each part; how closely to read stands in the line of an untested part, but for
/// the deciding one of a full answer, whose reason says it.
fn answers_of(
    pen: Pen,
    orientation: &Orientation,
    checks: &[CheckResult],
    brief: bool,
) -> Vec<Answer> {
    checks
        .iter()
        .map(|check| {
            let word = words::verdict(check.verdict());
            // The part that decided stands first.
            let deciding = check.deciding();
            let on = deciding.map_or_else(String::new, |p| judged_on(pen, p));
            let rest = check
                .parts
                .iter()
                .filter(|p| !deciding.is_some_and(|d| std::ptr::eq(d, *p)));
            let lines = deciding
                .map(|part| part_line(pen, orientation, part, brief))
                .into_iter()
                .chain(rest.map(|part| {
                    let line = part_line(pen, orientation, part, true);
                    let own = judged_on(pen, part);
                    let own = if own == on { "" } else { &own };
                    words::with_on(&line, own)
                }))
                .collect();
            Answer {
                title: check.title.clone(),
                word: word.to_owned(),
                mark: word.to_owned(),
                on,
                lines,
            }
        })
        .collect()
}

/// How much of the room a part's word speaks for; empty where it is all of it, for a part that was not tested, and for
/// one that is out on floor read too coarsely to judge the rest: these say so in their reasons.
pub(crate) fn judged_on(pen: Pen, part: &PartResult) -> String {
    let coarse = part.verdict() == Verdict::Out && !part.judged.enough();
    if part.measured().is_none() || coarse {
        return String::new();
    }
    pen.on(part.judged.judged_m2, part.judged.room_m2)
}

/// How much of the room was judged, for a table; of a part that is out where the rest was read too coarsely to judge, that
/// alone.
pub(crate) fn judged_area(pen: Pen, part: &PartResult) -> String {
    if part.verdict() == Verdict::Out && part.judged.judged_m2 <= 0.0 {
        return w::PROVEN_OUT.to_owned();
    }
    pen.of(part.judged.judged_m2, part.judged.room_m2)
}

fn part_line(pen: Pen, orientation: &Orientation, part: &PartResult, every: bool) -> String {
    let (procedure, span) = (words::procedure(part.procedure), pen.span(part.span_m));
    let limit = pen.limit(part.allowance_m);
    let Some(found) = part.measured() else {
        let read = part.to_read();
        let closely = read.filter(|_| every).map(|r| pen.read_every(r.every_m));
        let first = read.and_then(|r| r.at);
        let first = first.map(|at| orientation.place(pen, at));
        return w::untested_line(
            procedure,
            &span,
            &limit,
            closely.as_deref(),
            first.as_deref(),
        );
    };
    let doubt = format!("{} {}", pen.gap_number(found.doubt_m), pen.gap_unit());
    let largest = pen.gap(found.largest_m());
    if let Some(larger) = found.doubtful_m {
        return w::proven_line(
            (procedure, &span),
            &largest,
            (&limit, &doubt),
            &pen.gap(larger),
        );
    }
    match found.allowed_share {
        Some(share) => w::share_line(
            (procedure, &span),
            &pen.percent(1.0 - share),
            &pen.gap(found.gap_m),
            (&limit, &doubt),
            &largest,
        ),
        None => w::part_line(procedure, &span, &largest, &limit, &doubt),
    }
}

/// Every part of every check with its figures.
pub fn checks_table(pen: Pen, checks: &[CheckResult]) -> Table {
    let gap = |title| words::with_unit(title, pen.gap_unit());
    Table {
        columns: vec![
            Column::words(w::CHECK, 1.5),
            Column::words(w::PROCEDURE, 1.0),
            Column::figures(w::SPAN),
            Column::figures(gap(w::FOUND)),
            Column::figures(gap(w::BOUND)),
            Column::figures(gap(w::DOUBT)),
            Column::figures(w::LIMIT),
            Column::figures(w::COVERED),
            Column::words(w::VERDICT, 0.0),
        ],
        rows: checks
            .iter()
            .flat_map(|check| {
                check.parts.iter().map(move |part| {
                    let figure =
                        |of: &dyn Fn(&Measured) -> String| words::or_none(part.measured().map(of));
                    vec![
                        check.title.clone(),
                        words::procedure_and_share(pen, part),
                        pen.span(part.span_m),
                        figure(&|m| pen.gap_number(m.largest_m())),
                        figure(&|m| pen.bound_number(m.bound_m)),
                        figure(&|m| format!("±{}", pen.gap_number(m.doubt_m))),
                        pen.limit(part.allowance_m),
                        judged_area(pen, part),
                        words::verdict(part.verdict()).to_owned(),
                    ]
                })
            })
            .collect(),
        size_pt: 8.0,
        ..Table::default()
    }
}

/// Where each limit stands, and how sure it is.
pub fn sources_table(checks: &[CheckResult]) -> Table {
    Table {
        columns: vec![Column::words(w::CHECK, 1.0), Column::words(w::SOURCE, 2.0)],
        rows: checks
            .iter()
            .map(|c| {
                vec![
                    c.title.clone(),
                    [
                        format!("{} ({}).", c.source, words::sureness(c.sureness)),
                        c.note.clone(),
                    ]
                    .join(" ")
                    .trim_end()
                    .to_owned(),
                ]
            })
            .collect(),
        size_pt: 8.5,
        ..Table::default()
    }
}

/// What each procedure that was used means, once each.
pub fn procedures(checks: &[CheckResult]) -> Vec<String> {
    let mut seen = Vec::new();
    for part in checks.iter().flat_map(|c| &c.parts) {
        if !seen.contains(&part.procedure) {
            seen.push(part.procedure);
        }
    }
    seen.into_iter()
        .map(|p| words::procedure_in_full(p).to_owned())
        .collect()
}

/// High point, low point and areas.
pub fn floor_facts(pen: Pen, orientation: &Orientation, floor: &FloorFacts) -> Vec<Fact> {
    let spot = |(label, at): &(String, Point)| w::point(label, &orientation.place(pen, *at));
    let mut facts = vec![
        Fact::new(w::HIGH_POINT, spot(&floor.high)),
        Fact::new(w::LOW_POINT, spot(&floor.low)),
        Fact::new(w::OVERALL, pen.depth(floor.overall_m)),
        Fact::new(w::AREA, pen.area(floor.area_m2)),
    ];
    facts.extend(
        floor
            .left_out(pen)
            .into_iter()
            .map(|text| Fact::new(w::LEFT_OUT, text)),
    );
    facts
}

/// The figure, or the word for none where it is exactly nothing.
fn some(value: f64, text: String) -> String {
    if value == 0.0 {
        w::NOTHING.to_owned()
    } else {
        text
    }
}

/// How much of the floor the readings speak for.
pub fn coverage_facts(pen: Pen, floor: &FloorFacts) -> Vec<Fact> {
    vec![
        Fact::new(w::SPACING, pen.spacing(floor.spacing_m)),
        Fact::new(w::AREA, pen.area(floor.area_m2)),
        Fact::new(w::SURVEYED, pen.area(floor.surveyed_m2)),
        Fact::new(
            w::EXTENDED,
            some(floor.extended_m2, pen.area(floor.extended_m2)),
        ),
        Fact::new(
            w::UNSURVEYED,
            some(floor.unsurveyed_m2, pen.area(floor.unsurveyed_m2)),
        ),
    ]
}

/// Why each part that is not simply within or out came out so.
pub fn coverage_points(pen: Pen, checks: &[CheckResult]) -> Vec<String> {
    checks
        .iter()
        .flat_map(|c| c.parts.iter().map(move |p| (c, p)))
        .filter(|(_, p)| {
            // As the areas are printed: a hair less than all of it is all of it.
            let in_part = !pen
                .on(p.judged.judged_m2, p.judged.room_m2 - p.judged.aside_m2)
                .is_empty();
            in_part || matches!(p.verdict(), Verdict::NotTested | Verdict::InDoubt)
        })
        .map(|(c, p)| format!("{}, {} edge: {}", c.title, pen.span(p.span_m), p.reason))
        .collect()
}

/// Volumes and depths of a fill.
pub fn fill_facts(pen: Pen, orientation: &Orientation, fill: &Fill) -> Vec<Fact> {
    let mut facts = vec![
        Fact::new(w::GAUGE, pen.rise(fill.gauge_depth_m)),
        Fact::new(w::VOLUME, pen.volume(fill.volume_m3)),
        Fact::new(w::WET_AREA, pen.area(fill.wet_area_m2)),
        Fact::new(w::MEAN, pen.depth(fill.mean_depth_m)),
        Fact::new(
            w::DEEPEST,
            format!(
                "{}, {} ({})",
                pen.depth(fill.deepest_m),
                orientation.place(pen, fill.deepest_at),
                words::answer::known(fill.deepest_on)
            ),
        ),
        Fact::new(
            w::LEAST,
            format!(
                "{}, {}",
                pen.rise(fill.least_m),
                orientation.place(pen, fill.least_at)
            ),
        ),
        Fact::new(
            w::DIAGONAL,
            some(fill.diagonal_spread_m3, pen.volume(fill.diagonal_spread_m3)),
        ),
        Fact::new(
            w::EXTENDED_VOLUME,
            some(fill.extended_volume_m3, pen.volume(fill.extended_volume_m3)),
        ),
    ];
    if fill.dry_area_m2 > 0.0 {
        facts.push(Fact::new(w::DRY_AREA, pen.area(fill.dry_area_m2)));
        facts.push(Fact::new(w::ABOVE, pen.volume(fill.above_m3)));
    }
    facts
}

/// A band of depths in words.
pub fn band_text(pen: Pen, from_m: f64, to_m: Option<f64>) -> String {
    match to_m {
        Some(to) => w::band(&pen.depth_number(from_m), Some(&pen.depth(to))),
        None => w::band(&pen.depth(from_m), None),
    }
}

/// Areas and volumes by depth.
pub fn bands_table(pen: Pen, fill: &Fill) -> Table {
    Table {
        caption: w::BANDS.to_owned(),
        columns: vec![
            Column::words(w::BAND, 1.0),
            Column::figures(words::with_unit(words::crew::AREA, pen.area_unit())),
            Column::figures(words::with_unit(words::crew::VOLUME, pen.volume_unit())),
        ],
        rows: fill
            .bands
            .iter()
            .map(|b| {
                vec![
                    band_text(pen, b.from_m, b.to_m),
                    pen.area_number(b.area_m2),
                    pen.some_volume_number(b.volume_m3),
                ]
            })
            .collect(),
        ..Table::default()
    }
}

/// Several gauge depths side by side.
pub fn gauges_table(pen: Pen, rows: &[GaugeRow]) -> Table {
    let depth = |t: &str| words::with_unit(t, pen.depth_unit());
    Table {
        caption: w::STAGES.to_owned(),
        columns: vec![
            Column::figures(depth(w::GAUGE)),
            Column::figures(words::with_unit(words::crew::VOLUME, pen.volume_unit())),
            Column::figures(words::with_unit(w::STAGE_AREA, pen.area_unit())),
            Column::figures(depth(w::MEAN)),
            Column::figures(depth(w::DEEPEST)),
            Column::figures(words::crew::BAGS),
            Column::words("", 1.0),
        ],
        rows: rows
            .iter()
            .map(|g| {
                vec![
                    pen.depth_number(g.gauge_m),
                    pen.volume_number(g.volume_m3),
                    pen.area_number(g.wet_area_m2),
                    pen.depth_number(g.mean_m),
                    pen.depth_number(g.deepest_m),
                    words::or_none(g.bags.map(|b| b.to_string())),
                    String::new(),
                ]
            })
            .collect(),
        ..Table::default()
    }
}

/// What lowering the finish grinds and saves; with prices, what each choice costs and which costs least.
pub fn grind_table(pen: Pen, rows: &[GrindRow]) -> Table {
    let priced = rows.iter().any(|g| g.total_cost.is_some());
    let mut columns = vec![
        Column::figures(words::with_unit(w::LOWERED, pen.depth_unit())),
        Column::figures(words::with_unit(w::GRIND_AREA, pen.area_unit())),
        Column::figures(words::with_unit(w::GRIND_VOLUME, pen.volume_unit())),
        Column::figures(words::with_unit(w::GRIND_DEEPEST, pen.depth_unit())),
        Column::figures(words::with_unit(w::FILL_VOLUME, pen.volume_unit())),
        Column::figures(words::crew::BAGS),
        Column::figures(w::SAVED),
    ];
    if priced {
        columns.push(Column::figures(w::COST));
    }
    columns.push(Column::words("", 1.0));
    Table {
        caption: w::GRIND_OR_FILL.to_owned(),
        columns,
        strong: rows
            .iter()
            .enumerate()
            .filter(|(_, g)| g.cheapest)
            .map(|(i, _)| i)
            .collect(),
        rows: rows
            .iter()
            .map(|g| {
                let mut row = vec![
                    pen.depth_number(g.lowered_m),
                    pen.area_number(g.grind_area_m2),
                    pen.volume_number(g.grind_volume_m3),
                    pen.depth_number(g.deepest_grind_m),
                    pen.volume_number(g.volume_m3),
                    words::or_none(g.bags.map(|b| b.to_string())),
                    words::or_none(g.bags_saved.map(|b| b.to_string())),
                ];
                if priced {
                    row.push(words::or_none(g.total_cost.map(|c| pen.number(c, 2))));
                }
                let mark = if g.cheapest {
                    w::CHEAPEST
                } else if g.deeper_than_allowed {
                    w::TOO_DEEP_A_GRIND
                } else {
                    ""
                };
                row.push(mark.to_owned());
                row
            })
            .collect(),
        ..Table::default()
    }
}

/// Notices as a table.
pub fn notices_table(notices: &[Notice]) -> Table {
    Table {
        columns: vec![
            Column::words(w::KIND, 0.0),
            Column::words(w::WHERE, 1.0),
            Column::words(w::TEXT, 2.5),
        ],
        rows: notices
            .iter()
            .map(|n| {
                vec![
                    words::severity(n.severity).to_owned(),
                    n.place.clone(),
                    n.text.clone(),
                ]
            })
            .collect(),
        size_pt: 8.5,
        ..Table::default()
    }
}

/// Warnings and cautions as boxes.
pub fn boxed_notices(d: &mut Document, notices: &[Notice], most: usize) {
    for n in notices
        .iter()
        .filter(|n| n.severity != Severity::Note)
        .take(most)
    {
        let tone = match n.severity {
            Severity::Caution => Tone::Caution,
            _ => Tone::Warning,
        };
        let place = if n.place.is_empty() {
            String::new()
        } else {
            format!(": {}", n.place)
        };
        d.push(Block::Boxed {
            tone,
            title: format!("{}{place}", words::severity(n.severity)),
            text: n.text.clone(),
        });
    }
}

/// The fill chapter.
pub fn push_fill(
    d: &mut Document,
    pen: Pen,
    orientation: &Orientation,
    fill: &Fill,
    tables: &[Table],
    take_off: &[OrderFact],
) {
    d.text(finish_text(pen, fill));
    let mut items = fill_facts(pen, orientation, fill);
    // What the count hangs on stands behind it as one fact.
    let ifs: Vec<&str> = take_off
        .iter()
        .filter(|f| f.item == OrderItem::If)
        .map(|f| f.value.as_str())
        .collect();
    let mut told = false;
    for f in take_off {
        if f.item != OrderItem::If {
            items.push(Fact::new(f.item.label(), &f.value));
        } else if !std::mem::replace(&mut told, true) {
            items.push(Fact::new(f.item.label(), ifs.join("; ")));
        }
    }
    d.push(Block::Facts { columns: 1, items });
    d.push(Block::Table(bands_table(pen, fill)));
    for table in tables {
        d.push(Block::Table(table.clone()));
    }
}
