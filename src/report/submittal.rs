//! The submittal, the notice that a floor is out of tolerance, and the quantities sheet.

use super::crew::{PlacementRow, SheetDrawing, placements_table, profiles, push_sheets};
use super::order::{OrderFact, OrderItem};
use super::orientation::Orientation;
use super::readings_table::{Heights, readings_table};
use super::sections::{
    FloorFacts, answers, boxed_notices, brief_answers, checks_table, coverage_facts,
    coverage_points, floor_facts, notices_table, procedures, push_fill, sources_table,
};
use super::words::submittal as w;
use super::{Block, Column, Document, Fact, Head, Picture, Table, f_numbers, words};
use crate::fill::{BandQuantity, Fill};
use crate::flatness::{CheckResult, SectionF, Verdict};
use crate::survey::{Notice, Severity, Survey};

/// Rows of readings printed before the rest is left to the workbook.
pub const MOST_READINGS: usize = 3000;
/// Places that the notice lists: it is to be read on one page.
pub(super) const MOST_PLACES: usize = 3;
/// Warnings shown as boxes on the summary page.
const MOST_BOXES: usize = 4;

/// Everything the submittal says.
#[derive(Debug, Clone)]
pub struct Submittal<'a> {
    /// The job's words.
    pub head: &'a Head,
    /// Readings and room.
    pub survey: &'a Survey,
    /// Height of the floor at each reading, metres; one for a mark, however often it was read; `None` off the floor.
    pub heights_m: &'a [Option<f64>],
    /// The two walls that distances are told from.
    pub orientation: &'a Orientation,
    /// The floor's figures.
    pub floor: FloorFacts,
    /// Checks with their verdicts.
    pub checks: &'a [CheckResult],
    /// The worst places, numbered as on the key plan.
    pub placements: &'a [PlacementRow],
    /// The plan beside the verdicts.
    pub small_plan: Option<&'a SheetDrawing>,
    /// Key plan.
    pub key_plan: &'a [SheetDrawing],
    /// F-numbers, where sample lines were given.
    pub f_numbers: Option<&'a SectionF>,
    /// Span curve.
    pub span_curve: Option<&'a SheetDrawing>,
    /// Fill, where a finish was asked for.
    pub fill: Option<&'a Fill>,
    /// Tables of the fill chapter: other depths, grind or fill, heights.
    pub tables: &'a [Table],
    /// Whether a pour is needed at all, in sentences.
    pub need: &'a [String],
    /// Bags, water and the like: labels and values.
    pub take_off: &'a [OrderFact],
    /// Everything odd.
    pub notices: &'a [Notice],
    /// What one reading is good to, and how that is known.
    pub reading: &'a [Fact],
}

impl Submittal<'_> {
    /// The report.
    pub fn document(&self) -> Document {
        let (head, pen) = (self.head, self.head.pen());
        let mut d = head.letter(w::TITLE);
        self.first_page(&mut d);
        self.reasons(&mut d);
        self.method(&mut d);
        d.heading(1, w::INSTRUMENT);
        d.push(Block::Facts {
            columns: 1,
            items: self.instrument(),
        });
        d.heading(1, w::COVERAGE);
        d.push(Block::Facts {
            columns: 1,
            items: coverage_facts(pen, &self.floor),
        });
        let mut points = coverage_points(pen, self.checks);
        points.push(words::caution::BETWEEN.to_owned());
        points.push(words::caution::NOT_JUDGED.to_owned());
        d.push(Block::Bullets { items: points });
        push_sheets(&mut d, "plan", w::PLAN_ALT, w::KEY_PLAN, self.key_plan);
        d.heading(1, w::PLACES);
        if self.placements.is_empty() {
            d.text(words::crew::NO_PLACES);
        } else {
            d.push(Block::Table(placements_table(
                pen,
                self.orientation,
                self.placements,
            )));
            profiles(&mut d, pen, self.placements);
        }
        if let Some(curve) = self.span_curve {
            d.heading(1, w::SPAN_CURVE);
            let drawing = d.draw("span-curve.svg", curve.svg.as_bytes());
            d.push(Block::Picture(Picture {
                drawing,
                alt: w::SPAN_ALT.to_owned(),
                caption: w::SPAN_CAPTION.to_owned(),
                width_mm: 0.0,
                height_mm: 0.0,
            }));
        }
        if let Some(section) = self.f_numbers {
            f_numbers::push(&mut d, pen, section);
        }
        d.heading(1, w::FILL);
        match self.fill {
            Some(fill) => push_fill(
                &mut d,
                pen,
                self.orientation,
                fill,
                self.tables,
                self.take_off,
            ),
            None => {
                d.text(w::NO_FILL);
            }
        }
        d.heading(1, words::caution::TITLE);
        d.push(Block::Bullets {
            items: words::caution::ALL.map(str::to_owned).to_vec(),
        });
        self.notices(&mut d);
        self.readings(&mut d);
        d.heading(1, w::INPUTS);
        inputs(&mut d, head);
        d
    }

    /// What is to be accepted and signed: the word of every check with its figures, where, by whom and with what it was read.
    fn first_page(&self, d: &mut Document) {
        let (head, pen) = (self.head, self.head.pen());
        d.push(Block::Answers {
            columns: 1,
            items: brief_answers(pen, self.orientation, self.checks),
        });
        if let Some(text) = self.floor.falls(self.checks) {
            d.text(text);
        }
        let warnings = self.notices.iter().filter(|n| n.severity != Severity::Note);
        let warnings = warnings.count();
        if warnings > 0 {
            d.text(w::look_at_warnings(warnings));
        }
        let mut items = floor_facts(pen, self.orientation, &self.floor);
        // A job of one room need not name it.
        let room = (!head.room.is_empty()).then(|| Fact::new(w::ROOM, head.room.clone()));
        items.extend(room);
        items.extend([
            Fact::new(w::WHEN, w::told(&head.when)),
            Fact::new(w::WHO, w::told(&head.who)),
            Fact::new(w::INSTRUMENT_NAME, w::told(&head.instrument)),
            Fact::new(w::CHECKED, w::told(&head.instrument_check)),
        ]);
        match self.small_plan {
            Some(plan) => {
                let picture = small_picture(d, plan, SMALL_PLAN_MM);
                let blocks = vec![Block::Facts { columns: 1, items }];
                d.push(Block::Beside { picture, blocks });
            }
            None => {
                d.push(Block::Facts { columns: 1, items });
            }
        }
        let blank = |label: &str| Fact::new(label, "");
        d.push(Block::Blanks {
            columns: 4,
            items: vec![
                blank(w::SECTION),
                Fact::new(w::REVISION, head.revision.clone()),
                blank(w::SLAB_AGE),
                blank(w::SERIAL),
            ],
        });
        d.push(Block::SignOff {
            roles: w::ROLES.map(str::to_owned).to_vec(),
            fields: w::FIELDS.map(str::to_owned).to_vec(),
            abreast: true,
        });
    }

    /// What the words of the first page rest on, what they mean, and what speaks against them.
    fn reasons(&self, d: &mut Document) {
        let pen = self.head.pen();
        d.heading(1, w::REASONS);
        let full = answers(pen, self.orientation, self.checks);
        let brief = brief_answers(pen, self.orientation, self.checks);
        for (full, brief) in full.into_iter().zip(brief) {
            let lines = full.lines.into_iter();
            let items: Vec<String> = lines.filter(|l| !brief.lines.contains(l)).collect();
            if !items.is_empty() {
                d.heading(2, format!("{}: {}", full.title, full.word));
                d.push(Block::Bullets { items });
            }
        }
        d.push(Block::Small {
            text: words::verdicts(pen),
        });
        boxed_notices(d, self.notices, MOST_BOXES);
        let told = self.notices.iter().filter(|n| n.severity != Severity::Note);
        let more = told.count().saturating_sub(MOST_BOXES);
        if more > 0 {
            d.text(w::more_notices(more));
        }
        if self.fill.is_none() && self.need.is_empty() {
            return;
        }
        d.heading(1, w::FINISH);
        for sentence in self.need {
            d.text(sentence.as_str());
        }
        let mut items = Vec::new();
        if let Some(fill) = self.fill {
            items.push(Fact::new(
                w::VOLUME,
                words::with_on(&pen.volume(fill.volume_m3), &self.floor.counted_on(pen)),
            ));
        }
        items.extend(
            self.take_off
                .iter()
                .filter(|f| f.item == OrderItem::Bags)
                .map(|f| Fact::new(f.item.label(), &f.value)),
        );
        d.push(Block::Facts { columns: 1, items });
    }

    fn method(&self, d: &mut Document) {
        d.heading(1, w::METHOD);
        d.text(w::METHOD_SURFACE);
        let mut parts = self.checks.iter().flat_map(|c| &c.parts);
        if parts.any(|p| p.measured().is_some_and(|m| m.chance.is_some())) {
            d.text(w::METHOD_CHANCE);
        }
        if let Some(text) = self.by_hand() {
            d.text(text);
        }
        d.text(w::METHOD_NOT_F);
        if !self.checks.is_empty() {
            d.heading(2, w::PROCEDURES);
            d.push(Block::Bullets {
                items: procedures(self.checks),
            });
            d.heading(2, w::CLAUSES);
            d.push(Block::Table(sources_table(self.checks)));
            d.heading(2, w::VERDICTS_TITLE);
            d.push(Block::Table(checks_table(self.head.pen(), self.checks)));
        }
    }

    /// How edges laid by hand came about; `None` where none was laid.
    fn by_hand(&self) -> Option<String> {
        let pen = self.head.pen();
        let parts = self.checks.iter().flat_map(|c| &c.parts);
        let mut seed = None;
        let mut counts: Vec<String> = Vec::new();
        for (part, hand) in parts.filter_map(|p| Some((p, p.hand.as_ref()?))) {
            let text = words::hand::laid(
                &pen.span(part.span_m),
                words::hand::edge_use(part.procedure),
                hand.laid,
                hand.drawn,
            );
            if !counts.contains(&text) {
                counts.push(text);
            }
            seed = Some(hand.seed);
        }
        seed.map(|seed| words::hand::method(&words::hand::seed(seed), &counts.join(", ")))
    }

    fn instrument(&self) -> Vec<Fact> {
        let head = self.head;
        let set_ups: Vec<_> = self
            .survey
            .set_ups
            .iter()
            .map(|s| s.name.as_str())
            .collect();
        let mut facts = vec![
            Fact::new(w::INSTRUMENT_NAME, w::told(&head.instrument)),
            Fact::new(w::CHECKED, w::told(&head.instrument_check)),
            Fact::new(w::BENCH_MARK, w::told(&head.bench_mark)),
        ];
        facts.extend_from_slice(self.reading);
        facts.extend([
            Fact::new(
                w::COUNT,
                match self.floor.not_used() {
                    Some(rest) => format!("{}; {rest}", self.floor.count()),
                    None => self.floor.count(),
                },
            ),
            Fact::new(w::SET_UPS, w::set_ups(&set_ups)),
        ]);
        facts
    }

    fn notices(&self, d: &mut Document) {
        d.heading(1, w::NOTICES);
        if self.notices.is_empty() {
            d.text(w::NO_NOTICES);
        } else {
            d.push(Block::Table(notices_table(self.notices)));
        }
    }

    fn readings(&self, d: &mut Document) {
        d.heading(1, w::READINGS);
        d.text(w::RAW_INTRO);
        let all = self.survey.readings.len();
        if all > MOST_READINGS {
            d.text(w::more_readings(MOST_READINGS, all));
        }
        d.push(Block::Table(readings_table(
            self.head,
            self.survey,
            &Heights {
                marks_m: self.heights_m,
                high_m: self.floor.high_m,
                plane: self.fill.map(|f| &f.plane),
            },
            self.orientation,
            MOST_READINGS,
        )));
    }
}

/// The longer side of the plan beside a verdict, millimetres.
const SMALL_PLAN_MM: f64 = 64.0;

/// The same on a notice, which is one page.
const PLAN_OF_NOTICE_MM: f64 = 56.0;

/// The plan beside a verdict, its longer side so long, kept in a document.
fn small_picture(d: &mut Document, plan: &SheetDrawing, longer_mm: f64) -> Picture {
    let share = longer_mm / plan.width_mm.max(plan.height_mm);
    Picture {
        drawing: d.draw("small-plan.svg", plan.svg.as_bytes()),
        alt: w::SMALL_PLAN_ALT.to_owned(),
        caption: String::new(),
        width_mm: plan.width_mm * share,
        height_mm: plan.height_mm * share,
    }
}

fn sign_off(roles: &[&str]) -> Block {
    Block::SignOff {
        roles: roles.iter().map(|r| (*r).to_owned()).collect(),
        fields: w::FIELDS.map(str::to_owned).to_vec(),
        abreast: false,
    }
}

fn inputs(d: &mut Document, head: &Head) {
    d.text(w::HASH_WHY);
    d.push(Block::Table(Table {
        columns: vec![Column::words(w::FILE, 1.0), Column::words(w::HASH, 0.0)],
        rows: head
            .inputs
            .iter()
            .map(|(name, hash)| vec![name.clone(), hash.clone()])
            .chain([vec![w::VERSION.to_owned(), words::PROGRAM.to_owned()]])
            .chain((!head.run.is_empty()).then(|| vec![words::RUN.to_owned(), head.run.clone()]))
            .collect(),
        size_pt: 7.5,
        ..Table::default()
    }));
}

/// The notice to send before starting: every check that is not within, where it fails, and the decision
/// that is asked for.
pub fn notice(
    (head, orientation): (&Head, &Orientation),
    checks: &[CheckResult],
    (placements, small_plan): (&[PlacementRow], Option<&SheetDrawing>),
    notices: &[Notice],
) -> Document {
    let pen = head.pen();
    let open: Vec<CheckResult> = checks
        .iter()
        .filter(|c| c.verdict() != Verdict::Within)
        .cloned()
        .collect();
    let out = open.iter().any(|c| c.verdict() == Verdict::Out);
    let mut d = head.letter(if out { w::NOTICE } else { w::RECORD });
    d.text(if out { w::NOTICE_TEXT } else { w::NOTICE_NONE });
    d.heading(1, w::OUT_OF);
    d.push(Block::Answers {
        columns: 1,
        items: brief_answers(pen, orientation, &open),
    });
    if !open.is_empty() {
        // How each rule is read stands in the report; a letter names its source.
        let named: Vec<CheckResult> = open
            .iter()
            .map(|c| CheckResult {
                note: String::new(),
                ..c.clone()
            })
            .collect();
        d.push(Block::Table(Table {
            size_pt: 7.0,
            ..sources_table(&named)
        }));
    }
    let placements: Vec<PlacementRow> = placements
        .iter()
        .filter(|p| is_noticed(p.verdict, (p.gap_m, p.limit_m), out))
        .cloned()
        .collect();
    if !placements.is_empty() {
        let shown = &placements[..placements.len().min(MOST_PLACES)];
        d.push(Block::Table(placements_table(pen, orientation, shown)));
        if shown.len() < placements.len() {
            d.push(Block::Small {
                text: w::more_places(shown.len(), placements.len()),
            });
        }
    }
    speaks_against(&mut d, notices);
    // It has to stay one page: the plan stands beside what is decided and signed.
    let mut decision = Vec::new();
    if out {
        d.heading(1, w::DECISION);
        let items = w::DECISIONS.map(str::to_owned).to_vec();
        decision.push(Block::Ticks { columns: 1, items });
    }
    decision.push(sign_off(&w::NOTICE_ROLES));
    match small_plan.filter(|_| !placements.is_empty()) {
        Some(plan) => {
            let picture = small_picture(&mut d, plan, PLAN_OF_NOTICE_MM);
            d.push(Block::Beside {
                picture,
                blocks: decision,
            });
        }
        None => d.blocks.extend(decision),
    }
    d
}

/// Whether a place is of a notice's business: what is within is not, nor what lies inside its limit on a floor that is `out` elsewhere.
pub(super) fn is_noticed(verdict: Verdict, (gap_m, limit_m): (f64, f64), out: bool) -> bool {
    verdict != Verdict::Within && (!out || gap_m > limit_m)
}

/// What the readings themselves speak against: whoever gets a paper by itself must know of it.
fn speaks_against(d: &mut Document, notices: &[Notice]) {
    let doubted: Vec<&Notice> = notices
        .iter()
        .filter(|n| SPEAK_AGAINST.contains(&n.code.as_str()))
        .collect();
    if !doubted.is_empty() {
        d.heading(1, w::SPEAKS_AGAINST);
        for notice in doubted {
            d.text(&notice.text);
        }
    }
}

/// What was found about the readings that may make floor look out that is not: by the codes of its notices.
const SPEAK_AGAINST: [&str; 5] = [
    "readings-step",
    "readings-together",
    "suspect-reading",
    "set-up-tied-by-one-point",
    "repeatability",
];

/// One line of the quantities sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct QuantityRow {
    /// Room.
    pub room: String,
    /// What.
    pub item: String,
    /// How much, already in the reader's unit.
    pub quantity: String,
    /// Unit.
    pub unit: String,
    /// Part of it in the base scope; empty where that is left to the parties.
    pub base: String,
    /// Part of it that is extra; likewise.
    pub extra: String,
}

/// Quantities of a fill as rows: by depth band, then the whole, then the take-off.
///
/// `bands`: the take-off's own bands where a base depth is stated, which split volumes in base and extra.
pub fn quantity_rows(
    head: &Head,
    fill: &Fill,
    bands: Option<&[BandQuantity]>,
    take_off: &[OrderFact],
) -> Vec<QuantityRow> {
    let pen = head.pen();
    let row = |item: String, quantity: String, unit: &str| QuantityRow {
        room: head.room.clone(),
        item,
        quantity,
        unit: unit.to_owned(),
        ..QuantityRow::default()
    };
    let mut rows = Vec::new();
    let split = |mut row: QuantityRow, base: f64, extra: f64| {
        (row.base, row.extra) = (pen.volume(base), pen.volume(extra));
        row
    };
    for b in bands.unwrap_or(&[]).iter().filter(|b| b.area_m2 > 0.0) {
        let band = super::sections::band_text(pen, b.from_m, b.to_m);
        let whole = row(
            w::band_item(&band),
            w::area_and_volume(&pen.area(b.area_m2), &pen.some_volume(b.volume_m3)),
            "",
        );
        rows.push(split(whole, b.base_m3, b.extra_m3));
    }
    let plain = if bands.is_some() {
        &[][..]
    } else {
        &fill.bands
    };
    for b in plain.iter().filter(|b| b.area_m2 > 0.0) {
        let band = super::sections::band_text(pen, b.from_m, b.to_m);
        rows.push(row(
            w::band_item(&band),
            w::area_and_volume(&pen.area(b.area_m2), &pen.some_volume(b.volume_m3)),
            "",
        ));
    }
    let whole = row(
        w::VOLUME.to_owned(),
        pen.volume_number(fill.volume_m3),
        pen.volume_unit(),
    );
    rows.push(match bands {
        Some(bands) => split(
            whole,
            bands.iter().map(|b| b.base_m3).sum(),
            bands.iter().map(|b| b.extra_m3).sum(),
        ),
        None => whole,
    });
    if fill.dry_area_m2 > 0.0 {
        rows.push(row(
            w::DRY_AREA.to_owned(),
            pen.area_number(fill.dry_area_m2),
            pen.area_unit(),
        ));
    }
    // What-ifs belong to the order, not to a change order.
    for told in take_off.iter().filter(|f| f.item != OrderItem::If) {
        rows.push(row(told.item.label().to_owned(), told.value.clone(), ""));
    }
    rows
}

/// The quantities sheet for a change order. Base and extra are left blank for the parties where no base depth is stated.
pub fn quantities(
    head: &Head,
    (finish, as_of): (&str, &str),
    rows: &[QuantityRow],
    notices: &[Notice],
) -> Document {
    let mut d = head.letter(w::QUANTITIES);
    d.text(finish);
    let rooms = rows.iter().any(|r| !r.room.is_empty());
    d.push(Block::Blanks {
        columns: 2,
        items: vec![
            Fact::new(w::AS_OF, as_of.to_owned()),
            Fact::new(w::REVISION, head.revision.clone()),
        ],
    });
    d.push(Block::Table(Table {
        columns: if rooms {
            vec![Column::words(w::ROOM_COLUMN, 1.0)]
        } else {
            Vec::new()
        }
        .into_iter()
        .chain([
            Column::words(w::ITEM, 2.0),
            Column::words(w::QUANTITY, 2.4),
            Column::words(w::BASE, 1.0),
            Column::words(w::EXTRA, 1.0),
        ])
        .collect(),
        rows: rows
            .iter()
            .map(|r| {
                let room = rooms.then(|| r.room.clone());
                room.into_iter()
                    .chain([
                        r.item.clone(),
                        format!("{} {}", r.quantity, r.unit).trim_end().to_owned(),
                        r.base.clone(),
                        r.extra.clone(),
                    ])
                    .collect()
            })
            .collect(),
        ..Table::default()
    }));
    d.push(Block::Small {
        text: w::QUANTITY_NOTE.to_owned(),
    });
    speaks_against(&mut d, notices);
    d.push(sign_off(&w::QUANTITY_ROLES));
    d
}
