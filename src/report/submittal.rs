//! The submittal, the notice that a floor is out of tolerance, and the quantities sheet.

use super::crew::{PlacementRow, SheetDrawing, placements_table, profiles, push_sheets};
use super::fill_sections::bands_table;
use super::order::{OrderFact, OrderItem};
use super::orientation::Orientation;
pub use super::quantities_sheet::{QuantityRow, quantities, quantity_rows};
use super::readings_table::{Heights, readings_table};
use super::sections::{
    FloorFacts, answers, boxed_notices, brief_answers, checks_table, coverage_facts,
    coverage_points, notices_table, procedures, push_fill, sources_table, unsurveyed_fact,
};
use super::signed::{sign_off, speaks_against};
pub use super::small_plan::SmallPlan;
use super::words::submittal as w;
use super::{Block, Column, Document, Fact, Head, Picture, Table, Way, f_numbers, words};
use crate::fill::Fill;
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
    pub small_plan: Option<&'a SmallPlan>,
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
    /// Whether what is ordered was asked for.
    pub quantities: bool,
    /// Everything odd.
    pub notices: &'a [Notice],
    /// What of it speaks of the finish and of the work, by its codes: no word on the floor rests on it.
    pub of_work: &'a [String],
    /// What one reading is good to, and how that is known.
    pub reading: &'a [Fact],
}

impl Submittal<'_> {
    /// The report.
    pub fn document(&self) -> Document {
        let (head, pen) = (self.head, self.head.pen());
        let mut d = head.letter(w::TITLE);
        self.first_page(&mut d);
        // A plan of a page of its own stands behind the signed one: anywhere else it would leave the page before it half empty.
        push_sheets(&mut d, "plan", w::PLAN_ALT, w::KEY_PLAN, self.key_plan);
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
        let mut points = coverage_points(pen, self.orientation, self.checks);
        points.push(words::caution::BETWEEN.to_owned());
        points.push(words::caution::NOT_JUDGED.to_owned());
        d.push(Block::Bullets { items: points });
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
        d.heading(
            1,
            if self.quantities {
                w::FILL
            } else {
                w::FILL_PLAIN
            },
        );
        match self.fill {
            Some(fill) => {
                push_fill(&mut d, pen, self.orientation, fill, self.take_off);
                if self.quantities {
                    d.push(Block::Table(bands_table(pen, fill)));
                }
                for table in self.tables {
                    d.push(Block::Table(table.clone()));
                }
            }
            None => {
                d.text(w::NO_FILL);
            }
        }
        d.heading(1, words::caution::TITLE);
        // How material and dust are handled is told to those who handle them.
        let cautions = if self.quantities {
            &words::caution::ALL[..]
        } else {
            &words::caution::OF_THE_FLOOR
        };
        d.push(Block::Bullets {
            items: cautions.iter().map(|c| (*c).to_owned()).collect(),
        });
        self.notices(&mut d);
        self.readings(&mut d);
        d.heading(1, w::INPUTS);
        inputs(&mut d, head);
        d
    }

    /// What the words of the first page rest on, what they mean, and what speaks against them.
    fn reasons(&self, d: &mut Document) {
        let pen = self.head.pen();
        d.heading(1, w::REASONS);
        for answer in answers(pen, self.orientation, self.checks) {
            let word = format!("{}: {}", answer.title, answer.word);
            d.heading(2, words::with_on(&word, &answer.on));
            d.push(Block::Bullets {
                items: answer.lines,
            });
        }
        d.push(Block::Small {
            text: words::verdicts(pen),
        });
        boxed(d, &self.told_of_floor());
        let of_work = self.told(|n| self.is_of_work(n));
        if self.fill.is_none() && self.need.is_empty() && of_work.is_empty() {
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
        boxed(d, &of_work);
    }

    /// Whether a notice speaks of the finish or of the work. Cautions do: they tell what can be hurt by it.
    fn is_of_work(&self, n: &Notice) -> bool {
        n.severity == Severity::Caution || self.of_work.contains(&n.code)
    }

    fn told(&self, which: impl Fn(&Notice) -> bool) -> Vec<&Notice> {
        let odd = (self.notices.iter()).filter(|n| n.severity != Severity::Note);
        odd.filter(|n| which(n)).collect()
    }

    /// Warnings of the readings and the floor: the words on it rest on what they speak of.
    pub(super) fn told_of_floor(&self) -> Vec<&Notice> {
        self.told(|n| !self.is_of_work(n))
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
        let mut facts = instrument_facts(head);
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

/// The first warnings as boxes, and how many more stand with the notices.
fn boxed(d: &mut Document, told: &[&Notice]) {
    boxed_notices(d, told, MOST_BOXES);
    let more = told.len().saturating_sub(MOST_BOXES);
    if more > 0 {
        d.text(w::more_notices(more));
    }
}

/// How a notice may be set, the roomiest first: text size, points (0 for the document's own), how long the longer side of its plan is,
/// millimetres, and whether both sign side by side. What no page holds takes two in the last, which fills more than the first of them.
const WAYS_OF_NOTICE: [(f64, f64, bool); 10] = [
    (0.0, 44.0, false),
    (0.0, 44.0, true),
    (0.0, 36.0, true),
    (0.0, 32.0, true),
    (9.0, 36.0, true),
    (8.5, 32.0, true),
    (8.0, 32.0, true),
    (7.5, 30.0, true),
    (7.0, 28.0, true),
    (0.0, 36.0, true),
];

/// Who read it, when, on which revision of the papers, and with what.
pub(super) fn read_facts(head: &Head) -> Vec<Fact> {
    let mut facts = vec![
        Fact::new(w::REVISION, w::told(&head.revision)),
        Fact::new(w::WHEN, w::told(&head.when)),
        Fact::new(w::WHO, w::told(&head.who)),
    ];
    facts.extend(instrument_facts(head));
    facts
}

/// With what was read, its check, and the height that it hangs on.
pub(super) fn instrument_facts(head: &Head) -> Vec<Fact> {
    vec![
        Fact::new(w::INSTRUMENT_NAME, w::told(&head.instrument)),
        Fact::new(w::CHECKED, w::told(&head.instrument_check)),
        Fact::new(w::BENCH_MARK, w::told(&head.bench_mark)),
    ]
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
    (checks, floor): (&[CheckResult], &FloorFacts),
    (placements, small_plan): (&[PlacementRow], Option<&SmallPlan>),
    notices: (&[Notice], &[String]),
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
    let unread = unsurveyed_fact(pen, floor);
    let to_show = unread.is_some();
    if let Some(fact) = unread {
        d.push(Block::Facts {
            columns: 1,
            items: vec![Fact::new(w::AREA, pen.area(floor.area_m2)), fact],
        });
    }
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
    let plan = small_plan.filter(|_| to_show || !placements.is_empty());
    on_one_page(&mut d, plan, out);
    d
}

/// Sets what stands in a notice, the plan beside what is decided and signed, on one page where there is a way to: as large as it can.
fn on_one_page(d: &mut Document, plan: Option<&SmallPlan>, out: bool) {
    let said = std::mem::take(&mut d.blocks);
    let heading = out.then(|| Block::Heading {
        level: 1,
        text: w::DECISION.to_owned(),
    });
    let decision = |abreast: bool| {
        let items = w::DECISIONS.map(str::to_owned).to_vec();
        let ticks = out.then_some(Block::Ticks { columns: 1, items });
        let signed = sign_off(&w::NOTICE_ROLES, abreast);
        ticks.into_iter().chain([signed]).collect::<Vec<_>>()
    };
    let kept = plan.map(|plan| plan.kept(d));
    let way = |&(size_pt, longer_mm, abreast): &(f64, f64, bool)| {
        let mut blocks = said.clone();
        blocks.extend(heading.clone());
        match (plan, &kept) {
            (Some(plan), Some(kept)) => blocks.push(Block::Beside {
                picture: plan.picture(kept, longer_mm),
                blocks: decision(abreast),
            }),
            _ => blocks.extend(decision(abreast)),
        }
        Way { size_pt, blocks }
    };
    let ways = WAYS_OF_NOTICE.iter().map(way).collect();
    d.push(Block::Fitting { ways });
}

/// Whether a place is of a notice's business: what is within is not, nor what lies inside its limit on a floor that is `out` elsewhere.
pub(super) fn is_noticed(verdict: Verdict, (gap_m, limit_m): (f64, f64), out: bool) -> bool {
    verdict != Verdict::Within && (!out || gap_m > limit_m)
}
