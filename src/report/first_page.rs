//! The submittal's first page, which is the one that is signed: the word of every check with its figures, where, by whom and with what it was read.

use super::sections::{brief_answers, floor_facts, hand_place, judged_area, unsurveyed_fact};
use super::submittal::{Submittal, read_facts};
use super::words::submittal as w;
use super::{Block, Column, Document, Fact, Table, Way, words};
use crate::flatness::{CheckResult, Measured, PartResult, Verdict, chance_words};

/// How a first page is set that holds so much.
struct Setting {
    /// Text size, points; 0 for the document's own.
    size_pt: f64,
    /// Text size of the table of checks, points; `None` where each has a box.
    table_pt: Option<f64>,
    /// Whether why a word is in doubt stands here too; it stands with the reasons in any case.
    reasons: bool,
    /// The longer side of the small plan, millimetres.
    plan_mm: f64,
}

/// The roomiest first. The last holds eight checks of two edges each.
const SETTINGS: [Setting; 5] = [
    Setting {
        size_pt: 0.0,
        table_pt: None,
        reasons: true,
        plan_mm: 64.0,
    },
    Setting {
        size_pt: 9.0,
        table_pt: Some(8.0),
        reasons: true,
        plan_mm: 60.0,
    },
    Setting {
        size_pt: 8.5,
        table_pt: Some(7.5),
        reasons: false,
        plan_mm: 54.0,
    },
    Setting {
        size_pt: 8.0,
        table_pt: Some(7.0),
        reasons: false,
        plan_mm: 44.0,
    },
    Setting {
        size_pt: 7.5,
        table_pt: Some(6.5),
        reasons: false,
        plan_mm: 36.0,
    },
];

impl Submittal<'_> {
    /// What is to be accepted and signed, as roomy as fits one page.
    pub(super) fn first_page(&self, d: &mut Document) {
        let kept = self.small_plan.map(|plan| plan.kept(d));
        let ways = SETTINGS.iter().map(|s| Way {
            size_pt: s.size_pt,
            blocks: self.set_as(s, kept.as_deref()),
        });
        let ways = ways.collect();
        d.push(Block::Fitting { ways });
    }

    fn set_as(&self, setting: &Setting, kept: Option<&str>) -> Vec<Block> {
        let mut blocks = self.words_of_checks(setting);
        let text = |text| match setting.table_pt {
            None => Block::Text { text },
            Some(_) => Block::Small { text },
        };
        blocks.extend(self.floor.falls(self.checks).map(text));
        if !self.floor.suspects.is_empty() {
            blocks.push(text(w::told_hangs_on(&self.floor.suspects)));
        }
        let warnings = self.told_of_floor().len();
        if warnings > 0 {
            blocks.push(text(w::look_at_warnings(warnings)));
        }
        let facts = Block::Facts {
            columns: 1,
            items: self.facts_of_first_page(),
        };
        blocks.push(match (self.small_plan, kept) {
            (Some(plan), Some(kept)) => Block::Beside {
                picture: plan.picture(kept, setting.plan_mm),
                blocks: vec![facts],
            },
            _ => facts,
        });
        let blank = |label: &str| Fact::new(label, "");
        blocks.push(Block::Blanks {
            columns: 4,
            items: vec![
                blank(w::SECTION),
                Fact::new(w::REVISION, self.head.revision.clone()),
                blank(w::SLAB_AGE),
                blank(w::SERIAL),
            ],
        });
        blocks.push(Block::SignOff {
            roles: w::ROLES.map(str::to_owned).to_vec(),
            fields: w::FIELDS.map(str::to_owned).to_vec(),
            abreast: true,
        });
        blocks
    }

    fn words_of_checks(&self, setting: &Setting) -> Vec<Block> {
        let (pen, orientation) = (self.head.pen(), self.orientation);
        let Some(size_pt) = setting.table_pt.filter(|_| !self.checks.is_empty()) else {
            return vec![Block::Answers {
                columns: 1,
                items: brief_answers(pen, orientation, self.checks),
            }];
        };
        let mut blocks = vec![Block::Table(self.table_of_words(size_pt))];
        let items: Vec<String> = (self.checks.iter())
            .flat_map(|c| c.parts.iter().map(move |p| (c, p)))
            .flat_map(|(c, p)| self.why(c, p))
            .collect();
        if setting.reasons && !items.is_empty() {
            blocks.push(Block::Bullets { items });
        }
        blocks
    }

    /// Why a part is in doubt, and what edges laid by hand say of one.
    fn why(&self, check: &CheckResult, part: &PartResult) -> Vec<String> {
        let span = self.head.pen().span(part.span_m);
        let of = |text: &str| format!("{}, {}", check.title, words::said_of_edge(&span, text));
        if part.verdict() == Verdict::InDoubt {
            vec![of(&part.reason)]
        } else if let Some(hand) = &part.hand {
            let place = hand_place(self.head.pen(), self.orientation, part);
            place
                .into_iter()
                .chain([hand.words.clone()])
                .map(|text| of(&text))
                .collect()
        } else {
            Vec::new()
        }
    }

    /// A row for each part; the word of the check stands in the first of its rows.
    fn table_of_words(&self, size_pt: f64) -> Table {
        let pen = self.head.pen();
        let gap = |title| words::with_unit(title, pen.gap_unit());
        let mut strong = Vec::new();
        let mut rows = Vec::new();
        for check in self.checks {
            strong.push(rows.len());
            // The part that decided stands beside its word.
            let deciding = check.deciding();
            let decides = |p: &&PartResult| deciding.is_some_and(|d| std::ptr::eq(d, *p));
            let others = check.parts.iter().filter(|p| !decides(p));
            for (i, part) in deciding.into_iter().chain(others).enumerate() {
                let first = |text: String| if i == 0 { text } else { String::new() };
                let figure =
                    |of: &dyn Fn(&Measured) -> String| words::or_none(part.measured().map(of));
                rows.push(vec![
                    first(check.title.clone()),
                    first(words::verdict(check.verdict()).to_uppercase()),
                    w::edge_used(
                        &pen.span(part.span_m),
                        &words::procedure_and_share(pen, part),
                    ),
                    pen.limit(part.allowance_m),
                    figure(&|m| pen.gap_number_against(m.largest_m(), part.allowance_m)),
                    figure(&|m| format!("±{}", pen.gap_number(m.doubt_m))),
                    words::or_none(part.measured().and_then(|m| m.chance).map(chance_words)),
                    judged_area(pen, part),
                    words::verdict(part.verdict()).to_owned(),
                ]);
            }
        }
        Table {
            columns: vec![
                Column::words(w::CHECK, 1.6),
                Column::words(w::WORD, 0.0),
                Column::words(w::EDGE_USED, 1.1),
                Column::figures(w::LIMIT),
                Column::figures(gap(w::FOUND)),
                Column::figures(gap(w::DOUBT)),
                Column::figures(w::CHANCE),
                Column::figures(w::COVERED),
                Column::words(w::OF_EDGE, 0.0),
            ],
            rows,
            strong,
            size_pt,
            ..Table::default()
        }
    }

    fn facts_of_first_page(&self) -> Vec<Fact> {
        let head = self.head;
        let mut items = floor_facts(head.pen(), self.orientation, &self.floor);
        items.extend(unsurveyed_fact(head.pen(), &self.floor));
        // A job of one room need not name it.
        let room = (!head.room.is_empty()).then(|| Fact::new(w::ROOM, head.room.clone()));
        items.extend(room);
        // The revision has a line of its own to be written on, and the bench mark stands with the readings.
        let told = read_facts(head).into_iter();
        items.extend(told.filter(|f| ![w::REVISION, w::BENCH_MARK].contains(&f.label.as_str())));
        items
    }
}
