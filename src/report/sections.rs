//! Pieces that several documents share: verdicts, checks, floor, fill, notices.

use super::fill_sections::some;
pub use super::fill_sections::{band_text, fill_facts, gauges_table, grind_table, push_fill};
use super::orientation::Orientation;
use super::words::submittal as w;
use super::{Answer, Block, Column, Document, Fact, Pen, Table, Tone, words};
use crate::flatness::{CheckResult, Measured, PartResult, Verdict, chance_words};
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
    /// Where carried-out floor stands above the high point, and by how much, metres.
    pub extended_above: Option<(Point, f64)>,
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
    /// Readings that may be slips, by name.
    pub suspects: Vec<String>,
    /// Whether the high point is one of them, and whether the low point is.
    pub suspected: (bool, bool),
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
            answer
                .lines
                .extend(worst_place(pen, orientation, (check, part)));
            answer.lines.extend(hand_place(pen, orientation, part));
            answer.lines.push(part.reason.clone());
            answer.lines.extend(unjudged_at(pen, orientation, part));
            answer.lines.extend(read_to_decide(pen, orientation, part));
            // What another part hangs on, what of the room it was judged on, and whether the whole edge was laid is seen nowhere else.
            for other in check.parts.iter().filter(|p| !std::ptr::eq(part, *p)) {
                if other.measured().is_some() && !other.is_by_hand() {
                    let own = worst_place(pen, orientation, (check, other));
                    answer
                        .lines
                        .extend(own.filter(|own| !answer.lines.contains(own)));
                    answer.lines.push(other.reason.clone());
                    answer.lines.extend(unjudged_at(pen, orientation, other));
                } else if let Some(hand) = &other.hand {
                    answer.lines.extend(hand_place(pen, orientation, other));
                    answer
                        .lines
                        .push(words::said_of_edge(&pen.span(other.span_m), &hand.words));
                }
            }
        }
        let others = check.parts.iter();
        let others = others.filter_map(|p| Some((p, p.measured()?.other.as_ref()?)));
        for (part, other) in others {
            answer.lines.push(w::other_way(
                words::procedure(other.procedure),
                &pen.gap_against(other.gap_m, part.allowance_m),
                words::verdict(other.verdict),
            ));
        }
    }
    // Once, where it is first wanted.
    let puzzles = |c: &CheckResult| likely_under(pen, std::slice::from_ref(c));
    let first = checks.iter().position(|c| puzzles(c).is_some());
    if let Some(answer) = first.and_then(|i| list.get_mut(i)) {
        answer.lines.push(w::LIKELY_UNDER.to_owned());
    }
    list
}

/// Where the worst of a part lies, with its gap where the check has others that are read too.
fn worst_place(
    pen: Pen,
    orientation: &Orientation,
    (check, part): (&CheckResult, &PartResult),
) -> Option<String> {
    let is_read = |p: &&PartResult| p.measured().is_some() && !p.is_by_hand();
    let p = Some(part).filter(is_read)?.measured()?.worst?;
    let gap = pen.gap_against(p.gap_m, part.allowance_m);
    Some(w::worst_line(
        Some(gap.as_str()).filter(|_| check.parts.iter().filter(is_read).count() > 1),
        &orientation.place(pen, p.from),
        &orientation.place(pen, p.to),
        &orientation.direction(p.from, p.to),
    ))
}

/// Why a likely gap may lie under the gap found, where one does, as printed; `None` elsewhere.
pub(crate) fn likely_under(pen: Pen, checks: &[CheckResult]) -> Option<&'static str> {
    let parts = checks.iter().flat_map(|c| &c.parts);
    let mut measured = parts.filter_map(|p| p.measured());
    let under = |m: &Measured| {
        let found_m = m.largest_m();
        m.likely
            .is_some_and(|l| l.high_m < found_m && pen.gap(l.high_m) != pen.gap(found_m))
    };
    measured.any(under).then_some(w::LIKELY_UNDER)
}

/// Where the floor is that is not judged; `None` where there is none to speak of.
pub(crate) fn unjudged_at(
    pen: Pen,
    orientation: &Orientation,
    part: &PartResult,
) -> Option<String> {
    let judged = &part.judged;
    let at = judged.lacking?;
    // What prints as nothing is not told.
    let told = judged.judged_m2 > 0.0 && !pen.area(judged.rest_m2()).starts_with("0.00 ");
    (told && part.measured().is_some() && !part.is_by_hand())
        .then(|| w::unjudged_at(&orientation.place(pen, at)))
}

/// Where readings would help to decide a part that is in doubt; `None` where none would.
fn read_to_decide(pen: Pen, orientation: &Orientation, part: &PartResult) -> Option<String> {
    let helps = &part.measured()?.helps;
    let places: Vec<(String, f64)> = helps
        .iter()
        .map(|h| (orientation.place(pen, h.at), h.share))
        .collect();
    (part.verdict() == Verdict::InDoubt && !places.is_empty()).then(|| w::read_to_decide(&places))
}

/// The same with nothing but the figures of each part, where the places are listed beside them, and why a part is in doubt.
pub fn brief_answers(pen: Pen, orientation: &Orientation, checks: &[CheckResult]) -> Vec<Answer> {
    let mut list = answers_of(pen, orientation, checks, true);
    for (answer, check) in list.iter_mut().zip(checks) {
        for part in &check.parts {
            if part.verdict() == Verdict::InDoubt {
                answer.lines.push(part.reason.clone());
            } else if let Some(hand) = &part.hand {
                answer.lines.extend(hand_place(pen, orientation, part));
                answer
                    .lines
                    .push(words::said_of_edge(&pen.span(part.span_m), &hand.words));
            }
        }
    }
    list
}

/// Where the largest gap by hand lies, where it is over the limit.
pub(crate) fn hand_place(pen: Pen, orientation: &Orientation, part: &PartResult) -> Option<String> {
    let hand = part.hand.as_ref().filter(|h| h.is_out())?;
    let worst = hand.worst.as_ref()?;
    Some(words::hand::worst_line(
        &worst.number,
        &pen.gap_against(worst.gap_m, part.allowance_m),
        &orientation.place(pen, worst.from),
        &orientation.place(pen, worst.to),
        &orientation.direction(worst.from, worst.to),
    ))
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
                .map(|part| {
                    let line = part_line(pen, orientation, part, brief);
                    own_word(pen, (check, part), brief, line)
                })
                .into_iter()
                .chain(rest.map(|part| {
                    let line = part_line(pen, orientation, part, true);
                    let line = own_word(pen, (check, part), brief, line);
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

/// A part's line with what the table of the first page has besides: its own word, where the check has several parts, and, of a part that
/// was not tested, how much of the room is read closely enough. For brief answers: of others the reasons say it.
fn own_word(
    pen: Pen,
    (check, part): (&CheckResult, &PartResult),
    brief: bool,
    line: String,
) -> String {
    // The line of a part that was not tested, or that edges laid by hand decide, holds its word.
    if !brief || part.is_by_hand() {
        line
    } else if part.measured().is_none() {
        w::read_on(&line, &judged_area(pen, part))
    } else if check.parts.len() > 1 {
        w::with_word(&line, words::verdict(part.verdict()))
    } else {
        line
    }
}

/// How much of the room a part's word speaks for; empty where it is all of it, for a part that was not tested, and for
/// one that is out where none of it could be judged: these say so in their reasons.
pub(crate) fn judged_on(pen: Pen, part: &PartResult) -> String {
    if let Some(hand) = part.hand.as_ref().filter(|_| part.is_by_hand()) {
        return match part.verdict() {
            Verdict::Within => words::hand::on(hand.laid),
            _ => words::hand::BY_HAND.to_owned(),
        };
    }
    let of_part = part.verdict() == Verdict::Out && !part.judged.enough();
    if part.measured().is_none() || (of_part && part.judged.judged_m2 <= 0.0) {
        return String::new();
    }
    if part.judged.lines > 0 {
        return w::on_lines(part.judged.lines);
    }
    // What is out somewhere is out, however little of the rest is known.
    if of_part {
        return w::judged(&pen.of(part.judged.judged_m2, part.judged.room_m2));
    }
    pen.on(part.judged.judged_m2, part.judged.room_m2)
}

/// How much of the room was judged, for a table; of a part that is out where the rest was read too coarsely to judge, that
/// alone.
pub(crate) fn judged_area(pen: Pen, part: &PartResult) -> String {
    if part.is_by_hand() {
        return judged_on(pen, part);
    }
    let lines = part.judged.lines;
    if part.verdict() == Verdict::Out && part.judged.judged_m2 <= 0.0 && lines == 0 {
        return w::PROVEN_OUT.to_owned();
    }
    if lines > 0 {
        return w::lines(lines);
    }
    pen.of(part.judged.judged_m2, part.judged.room_m2)
}

fn part_line(pen: Pen, orientation: &Orientation, part: &PartResult, every: bool) -> String {
    let (procedure, span) = (words::procedure(part.procedure), pen.span(part.span_m));
    let limit = pen.limit(part.allowance_m);
    let Some(found) = part.measured() else {
        if part.is_by_hand() {
            let word = words::verdict(part.verdict());
            return words::hand::part_line(procedure, &span, word, &limit);
        }
        let read = part.to_read();
        let every_m = read.filter(|_| every).and_then(|r| r.every_m);
        let closely = every_m.map(|m| pen.read_every(m));
        let first = read.and_then(|r| r.at);
        let first = first.map(|at| orientation.place(pen, at));
        let limit = match part.may_be_over {
            Some(share) => w::limit_for(&limit, &pen.percent(1.0 - share)),
            None => limit,
        };
        return w::untested_line(
            procedure,
            &span,
            &limit,
            closely.as_deref(),
            first.as_deref(),
        );
    };
    let doubt = pen.doubt(found.doubt_m);
    let largest = pen.gap_against(found.largest_m(), part.allowance_m);
    let with_chance = |line: String| match found.chance {
        Some(chance) => w::with_chance(
            &line,
            &chance_words(chance),
            found
                .likely
                .map(|l| l.words(pen, part.allowance_m))
                .as_deref(),
        ),
        None => line,
    };
    if let Some(larger) = found.doubtful_m {
        return with_chance(w::proven_line(
            (procedure, &span),
            &largest,
            (&limit, &doubt),
            &pen.gap_against(larger, part.allowance_m),
        ));
    }
    match found.allowed_share {
        Some(share) => w::share_line(
            (procedure, &span),
            &pen.percent(1.0 - share),
            &pen.gap_against(found.gap_m, part.allowance_m),
            (&limit, &doubt),
            &largest,
            &pen.share_against(found.share_over.unwrap_or(0.0), share),
        ),
        None => with_chance(w::part_line(procedure, &span, &largest, &limit, &doubt)),
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
            Column::figures(w::CHANCE),
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
                        figure(&|m| pen.gap_number_against(m.largest_m(), part.allowance_m)),
                        figure(&|m| pen.bound_number(m.bound_m)),
                        figure(&|m| format!("±{}", pen.gap_number(m.doubt_m))),
                        pen.limit(part.allowance_m),
                        words::or_none(part.measured().and_then(|m| m.chance).map(chance_words)),
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
    let spot = |(label, at): &(String, Point), suspected: bool| {
        let label = match suspected {
            true => w::point(label, w::SUSPECTED),
            false => label.clone(),
        };
        w::point(&label, &orientation.place(pen, *at))
    };
    let (high_suspected, low_suspected) = floor.suspected;
    let above = carried_above(pen, orientation, floor.extended_above);
    let high = [Some(spot(&floor.high, high_suspected)), above]
        .into_iter()
        .flatten();
    let mut facts = vec![
        Fact::new(w::HIGH_POINT, high.collect::<Vec<_>>().join("; ")),
        Fact::new(w::LOW_POINT, spot(&floor.low, low_suspected)),
        Fact::new(w::OVERALL, pen.held(floor.overall_m)),
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

/// Floor that no reading speaks for, with its share of the room; `None` where there is none to speak of.
pub(super) fn unsurveyed_fact(pen: Pen, floor: &FloorFacts) -> Option<Fact> {
    let area = pen.area(floor.unsurveyed_m2);
    let told = floor.unsurveyed_m2 > 0.0 && floor.area_m2 > 0.0 && !area.starts_with("0.00 ");
    told.then(|| {
        let share = pen.percent(floor.unsurveyed_m2 / floor.area_m2);
        Fact::new(w::UNSURVEYED, w::area_and_share(&area, &share))
    })
}

/// Where carried-out floor stands above the high point; what is less than any figure shows is not worth a look.
pub fn carried_above(
    pen: Pen,
    orientation: &Orientation,
    above: Option<(Point, f64)>,
) -> Option<String> {
    let (at, above_m) = above.filter(|(_, m)| pen.depth(*m) != pen.depth(0.0))?;
    Some(words::answer::carried_above(
        &pen.depth(above_m),
        &orientation.place(pen, at),
    ))
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

/// What the readings leave open: each part whose word is not settled, with why, and what is not judged of those whose word is.
pub fn coverage_points(pen: Pen, orientation: &Orientation, checks: &[CheckResult]) -> Vec<String> {
    let parts = || {
        checks
            .iter()
            .flat_map(|c| c.parts.iter().map(move |p| (c, p)))
    };
    let is_open = |p: &PartResult| {
        let by_chance = p.hand.is_some() && p.verdict() != Verdict::Out;
        by_chance || matches!(p.verdict(), Verdict::NotTested | Verdict::InDoubt)
    };
    let sentences = |first: &str, p: &PartResult| {
        [Some(first.to_owned()), unjudged_at(pen, orientation, p)]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" ")
    };
    let mut points: Vec<String> = Vec::new();
    for (c, p) in parts().filter(|(_, p)| is_open(p)) {
        // Two parts of one check may differ in how the edge is used, or in how much may be over the limit, alone.
        let used = words::procedure(p.procedure);
        let limit = words::limit_and_share(pen, p);
        let named = w::open_part(&c.title, &pen.span(p.span_m), used, &limit);
        points.push(format!("{named}: {}", sentences(&p.reason, p)));
    }
    // What is not judged under an edge is the same for all checks that lay it.
    for (_, p) in parts().filter(|(_, p)| !is_open(p) && !p.left_open.is_empty()) {
        let edge = w::edge_of(&pen.span(p.span_m));
        let point = format!("{edge}: {}", sentences(&p.left_open, p));
        if !points.contains(&point) {
            points.push(point);
        }
    }
    points
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
pub fn boxed_notices(d: &mut Document, notices: &[&Notice], most: usize) {
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
