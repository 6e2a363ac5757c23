//! The short answer, as plain text for a terminal or a page: does it pass, where is the worst, where is
//! the high point, how many bags.

use super::answer_choices as choices;
use super::compose::facts;
use super::compose::{order, pour};
use super::order::OrderItem;
use super::orientation::Orientation;
use super::recheck_sheet::{line_off, mean_placed, placed, punch, shared, tied_by, too_few_bags};
use super::sections::carried_above;
use super::{Pen, crew, words};
use crate::analysis::{Analysis, Filling, LevelSpot, WhyRead, usual_span_m};
use crate::fill::Fill;
use crate::flatness::{EdgeResult, MOST_OF_ROOM, SpanPoint, check};
use crate::recheck::Recheck;
use crate::survey::{Severity, setups};
pub use choices::patch;
use words::answer as w;

/// Lines with a left column for their names.
struct Lines(String);

impl Lines {
    fn row(&mut self, name: &str, text: impl AsRef<str>) {
        self.0.push_str(&format!("{name:<16}{}\n", text.as_ref()));
    }

    fn line(&mut self, text: impl AsRef<str>) {
        self.0.push_str(text.as_ref());
        self.0.push('\n');
    }

    fn more(&mut self, text: impl AsRef<str>) {
        self.row("", text);
    }
}

/// A high point is told to stand alone from this height above its neighbours' plane, metres: about 1/8 in,
/// the size of a splash of mortar. Common practice, no published source.
const ALONE_M: f64 = 0.003;

/// How much is told of the fill and of the pour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Telling {
    /// What a whole answer has room for.
    Short,
    /// All of it.
    InFull,
}

/// Head, high point and levels: in every answer.
fn start(a: &Analysis) -> (Lines, Pen, Orientation) {
    let pen = Pen::new(a.settings.habit);
    let orientation = Orientation::of(&a.survey);
    let mut out = Lines(String::new());
    let about = &a.settings.about;
    let title = if a.survey.name.is_empty() || about.title.contains(&a.survey.name) {
        about.title.clone()
    } else {
        format!("{}, {}", about.title, a.survey.name)
    };
    out.line(title);
    let areas = a.floor.areas();
    let floor = facts::floor(a);
    out.row(
        w::READINGS,
        w::readings(
            &floor.count(),
            &pen.area(areas.region_m2),
            &pen.area(areas.surveyed_m2),
            (areas.extended_m2 > 1e-6)
                .then(|| pen.area(areas.extended_m2))
                .as_deref(),
            (areas.unsurveyed_m2 > 1e-6)
                .then(|| pen.area(areas.unsurveyed_m2))
                .as_deref(),
        ),
    );
    if let Some(text) = floor.not_used() {
        out.more(text);
    }
    for text in floor.left_out(pen) {
        out.row(words::submittal::LEFT_OUT, text);
    }
    out.row(w::HIGH, spot(a, &a.levels.high, pen, &orientation));
    if let Some(first) = a.levels.peaks.first()
        && let Some(above) = first.above_neighbours_m
        && above >= ALONE_M
    {
        out.more(w::alone(&pen.depth(above)));
    }
    if let Some(next) = a.levels.peaks.get(1) {
        out.row(
            w::NEXT,
            w::next_peak(
                &next.label,
                (next.below_high_m > 0.0)
                    .then(|| {
                        let below = pen.at_least_number(next.below_high_m);
                        format!("{below} {}", pen.depth_unit())
                    })
                    .as_deref(),
                &orientation.place(pen, next.at),
            ),
        );
    }
    if let Some(above) = carried_above(pen, &orientation, a.levels.extended_above) {
        out.more(above);
    }
    out.row(w::LOW, spot(a, &a.levels.low, pen, &orientation));
    out.row(w::OVERALL, w::overall(&pen.held(a.levels.overall_m)));
    let tied = a.notices.iter().filter(|n| n.code == setups::TIED);
    for (i, notice) in tied.enumerate() {
        out.row(if i == 0 { w::SET_UPS } else { "" }, &notice.text);
    }
    (out, pen, orientation)
}

/// A reading as the sheet has it, with its label and its place.
fn spot(a: &Analysis, s: &LevelSpot, pen: Pen, orientation: &Orientation) -> String {
    let (raw, from) = a
        .survey
        .readings
        .get(s.reading)
        .map_or(("", None), |r| (r.raw.text.as_str(), a.survey.set_up_of(r)));
    w::spot(
        raw,
        from,
        s.of_mean,
        &s.label,
        &orientation.place(pen, s.at),
        s.ties.len(),
    )
}

fn finish(mut out: Lines, a: &Analysis) -> String {
    let told: Vec<_> = a
        .notices
        .iter()
        .filter(|n| n.severity >= Severity::Warning)
        .collect();
    if !told.is_empty() {
        out.line("");
    }
    for n in told.iter().take(w::MOST_NOTICES) {
        let place = if n.place.is_empty() {
            String::new()
        } else {
            format!("{}: ", n.place)
        };
        out.line(format!(
            "{}: {place}{}",
            words::severity(n.severity),
            n.text
        ));
    }
    if told.len() > w::MOST_NOTICES {
        out.line(w::more_notices(told.len() - w::MOST_NOTICES));
    }
    out.0
}

/// Flatness: verdict first.
pub fn flat(a: &Analysis) -> String {
    let (mut out, pen, orientation) = start(a);
    flat_rows(a, &mut out, pen, &orientation);
    finish(out, a)
}

fn flat_rows(a: &Analysis, out: &mut Lines, pen: Pen, orientation: &Orientation) {
    let Some(f) = &a.flatness else { return };
    out.line("");
    if f.usual_checks {
        out.line(w::USUAL_CHECKS);
    }
    for answer in super::sections::answers(pen, orientation, &f.checks) {
        out.line(words::with_on(
            &format!("{}: {}", answer.title, answer.word.to_uppercase()),
            &answer.on,
        ));
        for line in &answer.lines {
            out.line(format!("  {line}"));
        }
    }
    if let Some(text) = facts::floor(a).falls(&f.checks) {
        out.line(text);
    }
    if let Some(section) = &f.f_numbers {
        out.line("");
        for (i, text) in super::f_numbers::lines(pen, section)
            .into_iter()
            .enumerate()
        {
            out.row(if i == 0 { words::f_numbers::ROW } else { "" }, text);
        }
    }
    out.line("");
    for fact in facts::reading(a) {
        out.row(&fact.label, fact.value);
    }
    for p in &f.span_curve {
        let same = |s: &f64| (s - p.span_m).abs() < 1e-3;
        let asked = a.settings.spans_m.iter().any(same);
        let usual = a.settings.spans_m.is_empty() && same(&usual_span_m(a.settings.habit));
        let judged = p.judged.enough();
        let unjudged = w::unjudged(
            &pen.of(p.judged.judged_m2, p.judged.room_m2),
            p.judged.judged_m2 > 0.0,
            (a.floor.spacing() > p.judged.needed_m * (1.0 + 1e-6)
                || p.judged.judged_m2 < MOST_OF_ROOM * p.judged.room_m2)
                .then(|| pen.read_every(p.judged.needed_m))
                .as_deref(),
        );
        // Of floor that nobody read there is no figure, not even of the surface.
        let areas = a.floor.areas();
        let nothing = p.judged.judged_m2 <= 0.0 && areas.surveyed_m2 < LEAST_READ * areas.region_m2;
        if !judged && (usual || (asked && nothing)) {
            out.row(&pen.span(p.span_m), &unjudged);
        } else if usual || asked {
            span_rows(p, out, pen, orientation);
            if !judged {
                out.more(w::on_the_surface(&unjudged));
            }
        }
    }
}

/// Where less than this share of the room lies between readings, as along a single row, the surface through them tells
/// nothing of an edge.
const LEAST_READ: f64 = 0.05;

fn span_rows(p: &SpanPoint, out: &mut Lines, pen: Pen, orientation: &Orientation) {
    out.row(
        &pen.span(p.span_m),
        w::span(
            &edge(pen, &p.dip),
            &edge(pen, &p.hump),
            p.between_joints,
            p.dip.full_span_laid,
        ),
    );
    for (name, r) in [(w::DIP_AT, &p.dip), (w::HUMP_AT, &p.hump)] {
        if let Some(x) = &r.worst {
            out.more(w::placed(
                name,
                &orientation.place(pen, x.at),
                &orientation.place(pen, x.from),
                &orientation.place(pen, x.to),
                &orientation.direction(x.from, x.to),
            ));
        }
    }
}

fn edge(pen: Pen, r: &EdgeResult) -> String {
    w::bounded(&pen.gap(r.gap_m()), &pen.bound(r.bound_m), r.complete)
}

/// Area that would print as nothing, square metres: half a hundredth of a square foot.
const LEAST_TOLD_M2: f64 = 0.000_46;

/// Fill and what to order.
pub fn fill(a: &Analysis) -> String {
    let (mut out, pen, orientation) = start(a);
    fill_rows(a, &mut out, pen, &orientation, Telling::InFull);
    between_rows(a, &mut out, pen, &orientation);
    finish(out, a)
}

fn fill_rows(a: &Analysis, out: &mut Lines, pen: Pen, orientation: &Orientation, telling: Telling) {
    let Some(f) = &a.filling else { return };
    let x = &f.fill;
    out.line("");
    // Whether there is to be a pour at all comes before what it takes.
    for text in &f.need.words {
        out.line(text);
    }
    out.line("");
    volume_rows(a, x, out, pen, orientation);
    // How much of the room is counted the volume says already.
    let of_order = order::order(a).into_iter().filter(|f| match f.item {
        OrderItem::Counted => false,
        OrderItem::Choice | OrderItem::Bags | OrderItem::Water => true,
        _ => telling == Telling::InFull,
    });
    for f in order::slopes(a).into_iter().chain(of_order) {
        out.row(&format!("{} ", f.item.label()), f.value);
    }
    for text in facts::missing(a) {
        out.row(w::ASKED, text);
    }
    if a.settings.bags_at_hand.is_some() && f.by_bags.is_none() {
        out.row(w::BY_BAGS, w::BAGS_NEED_YIELD);
    }
    if telling == Telling::Short {
        return;
    }
    levels_off_rows(f, out, pen);
    for b in &x.bands {
        if b.area_m2 >= LEAST_TOLD_M2 {
            out.row(
                &super::sections::band_text(pen, b.from_m, b.to_m),
                w::band(&pen.area(b.area_m2), &pen.volume(b.volume_m3)),
            );
        }
    }
    for (name, text) in choices::choices(a, pen) {
        out.row(name, text);
    }
    for h in &f.heights {
        out.row(
            &h.name,
            w::height(
                h.rise_m.map(|m| pen.of_gauge_rise(m)).as_deref(),
                h.covering_m.map(|m| pen.stated(m)).as_deref(),
                facts::step_text(pen, h).as_deref(),
                &h.remarks,
            ),
        );
    }
}

/// The finish, and what lies under and above it.
fn volume_rows(a: &Analysis, x: &Fill, out: &mut Lines, pen: Pen, orientation: &Orientation) {
    out.row(w::FINISH, crew::finish_text(pen, x));
    if x.volume_m3 > 0.0 {
        out.row(
            w::VOLUME,
            words::with_on(
                &w::volume(
                    &pen.volume(x.volume_m3),
                    &pen.area(x.wet_area_m2),
                    &pen.depth(x.mean_depth_m),
                    &pen.of_gauge(x.deepest_m),
                    (
                        &orientation.place(pen, x.deepest_at),
                        w::known(x.deepest_on),
                    ),
                ),
                &facts::filled_on(a),
            ),
        );
    } else {
        let floor = facts::floor(a);
        let surveyed = floor.surveyed_m2 + floor.extended_m2 > 0.0;
        out.row(
            w::VOLUME,
            if surveyed {
                w::NOTHING_TO_FILL
            } else {
                w::NO_FLOOR_READ
            },
        );
    }
    if x.diagonal_spread_m3 > 0.0 {
        out.more(w::diagonal(&pen.volume(x.diagonal_spread_m3)));
    }
    if x.above_area_m2 > 0.0 {
        out.row(
            w::ABOVE,
            w::above(
                &pen.area(x.above_area_m2),
                &pen.volume(x.above_m3),
                &pen.depth(x.highest_above_m),
            ),
        );
    }
}

/// Where the material levels off that the rake or the bags at hand give.
fn levels_off_rows(f: &Filling, out: &mut Lines, pen: Pen) {
    for (name, s, waste) in [
        (w::BY_RAKE, &f.by_rake, 0.0),
        (w::BY_BAGS, &f.by_bags, f.waste),
    ] {
        if let Some(s) = s {
            let given = pen.volume(s.given_m3);
            out.row(
                name,
                w::settled(
                    &if waste > 0.0 {
                        w::in_place(&given, &pen.percent(waste))
                    } else {
                        given
                    },
                    &pen.rise(s.point.gauge_depth_m),
                    &pen.area(s.point.dry_area_m2),
                    s.bare.len(),
                    s.short_of_gauge_m3.map(|v| pen.volume(v.abs())).as_deref(),
                    s.short_of_gauge_m3.is_some_and(|v| v > 0.0),
                ),
            );
        }
    }
}

/// What lies between the readings: bags that are enough, and where to read next.
fn between_rows(a: &Analysis, out: &mut Lines, pen: Pen, orientation: &Orientation) {
    let b = match &a.between {
        None => return,
        Some(Err(why)) => {
            out.row(w::BETWEEN, words::no_doubt(*why));
            return;
        }
        Some(Ok(b)) => b,
    };
    if let Some(text) = order::enough(a) {
        out.row(w::BETWEEN, text);
    }
    for (i, s) in b.read_next.iter().enumerate() {
        let place = orientation.place(pen, s.at);
        let text = match &s.why {
            WhyRead::Decides {
                check,
                span_m,
                share,
            } => w::read_to_decide(&place, check, &pen.span(*span_m), *share),
            WhyRead::Open { sd_m } => w::read_open(&place, &pen.gap(2.0 * sd_m)),
            WhyRead::NotSurveyed => w::read_blank(&place),
        };
        out.row(if i == 0 { w::READ_NEXT } else { "" }, text);
    }
}

/// The pour.
pub fn pour(a: &Analysis) -> String {
    let (mut out, pen, orientation) = start(a);
    fill_rows(a, &mut out, pen, &orientation, Telling::Short);
    pour_rows(a, &mut out, pen, &orientation, Telling::InFull);
    finish(out, a)
}

fn pour_rows(a: &Analysis, out: &mut Lines, pen: Pen, orientation: &Orientation, telling: Telling) {
    out.line("");
    let Some(sheet) = pour::sheet(a, orientation) else {
        match (&a.no_pour, &a.settings.material) {
            (Some(why), _) => out.row(w::POUR, why.to_string()),
            (None, None) => out.row(w::POUR, w::NO_MATERIAL),
            (None, Some(_)) => {}
        }
        return;
    };
    out.row(w::POUR, &sheet.lead);
    // What is to be heeded beside them stands among the notices below.
    for text in &sheet.warnings {
        out.more(text);
    }
    if telling == Telling::Short {
        return;
    }
    // The finish stands above already; what is told of the only lift is told of the pour.
    let only = sheet.lifts.iter().filter(|l| l.heading.is_empty());
    let facts = only.flat_map(|l| &l.facts).chain(&sheet.facts);
    for (name, value) in facts.filter(|f| f.0 != w::FINISH) {
        out.line(format!("{name}: {value}"));
    }
    out.line("");
    let plans = a.pour.iter().flat_map(|p| &p.lifts);
    for (rows, lift) in sheet.lifts.iter().zip(plans) {
        if !rows.heading.is_empty() {
            out.line(&rows.heading);
            for (name, value) in &rows.facts {
                out.line(format!("{name}: {value}"));
            }
        }
        for (b, batch) in rows.batches.iter().zip(&lift.batches) {
            let places: Vec<String> = std::iter::once(&batch.label_at)
                .chain(&batch.also_at)
                .map(|&at| orientation.place(pen, at))
                .collect();
            out.row(
                &format!("{} {}", w::BATCH, b.number),
                w::batch(
                    b.bags.unwrap_or(0.0) as u32,
                    &pen.area(b.area_m2),
                    &pen.at_least_depth(b.mean_depth_m),
                    &pen.plan(b.tie_in_m),
                    &places.join(words::take_off::AND_ALSO),
                ),
            );
        }
        out.line("");
    }
    for s in &sheet.staging {
        out.line(s);
    }
    out.line("");
    for c in &sheet.checklist {
        out.line(format!("[ ] {c}"));
    }
}

/// Everything in a screen.
pub fn whole(a: &Analysis) -> String {
    let (mut out, pen, orientation) = start(a);
    flat_rows(a, &mut out, pen, &orientation);
    fill_rows(a, &mut out, pen, &orientation, Telling::Short);
    between_rows(a, &mut out, pen, &orientation);
    pour_rows(a, &mut out, pen, &orientation, Telling::Short);
    if let Some(text) = patch(a) {
        out.row(w::PATCH, text);
    }
    if let Some(why) = &a.no_patch {
        out.row(w::PATCH, why);
    }
    finish(out, a)
}

/// All rooms together: the sums.
pub fn together(rooms: &[Analysis]) -> String {
    let mut out = Lines(String::new());
    let Some(first) = rooms.first() else {
        return out.0;
    };
    let pen = Pen::new(first.settings.habit);
    out.line(words::together::TITLE);
    let summed = crate::analysis::Together::of(rooms);
    for (name, value) in super::together::total_lines(pen, &summed) {
        out.row(&format!("{name} "), value);
    }
    out.0
}

/// The re-check: least and mean cover, what is to be put right, verdicts after the work.
pub fn recheck(after: &Analysis, r: &Recheck) -> String {
    let (mut out, pen, orientation) = start(after);
    flat_rows(after, &mut out, pen, &orientation);
    out.line("");
    out.row(w::SHARED, shared(r));
    out.row(w::SAME_HEIGHT, tied_by(pen, r));
    if r.line_off_m.is_some() {
        out.row(w::LEAST_COVER, words::recheck::HANGS_ON_LINE);
    } else if let Some(m) = r.thinnest.and_then(|i| r.marks.get(i)) {
        out.row(
            w::LEAST_COVER,
            format!(
                "{} at {}, {}",
                pen.held_rise(m.placed_m),
                m.label,
                orientation.place(pen, m.at)
            ),
        );
    }
    out.row(w::MEAN_COVER, mean_placed(pen, r));
    out.row(w::PLACED, placed(pen, r));
    if let (Some(used), Some(planned)) = (r.bags_used, r.bags_planned) {
        out.row(
            w::BAGS,
            w::bags_used(
                &pen.number(used, 0),
                &pen.number(planned, 0),
                r.bags_explained.map(|b| pen.number(b, 1)).as_deref(),
            ),
        );
    }
    if let Some(text) = too_few_bags(pen, r) {
        out.more(text);
    }
    if r.unpoured {
        out.line(format!(
            "{}. {}",
            words::recheck::UNPOURED_TITLE,
            words::recheck::UNPOURED
        ));
    }
    if let Some(text) = line_off(pen, r) {
        out.line(format!("{} {text}", words::recheck::LINE_OFF_TITLE));
    }
    let checks = after.flatness.as_ref().map_or(&[][..], |f| &f.checks);
    for text in punch(pen, &orientation, r, checks) {
        out.line(format!("  {text}"));
    }
    finish(out, after)
}

/// The checks that are known by name.
pub fn checks() -> String {
    let mut out = Lines(String::new());
    let wide = check::all().iter().map(|c| c.name.len()).max().unwrap_or(0) + 2;
    for c in check::all() {
        out.line(format!("{:<wide$}{}", c.name, c.title));
        out.line(format!(
            "{:<wide$}{} ({})",
            "",
            c.source,
            words::sureness(c.sureness)
        ));
    }
    out.line("");
    out.line(w::OWN_CHECK);
    out.0
}
