//! The re-check as a sheet that can be signed.

use super::crew::{SheetDrawing, push_sheets};
use super::orientation::Orientation;
use super::sections::{answers, boxed_notices, hand_place, sources_table};
use super::submittal::read_facts;
use super::words::recheck as w;
use super::{Block, Column, Document, Fact, Head, Pen, Table, Tone, words};
use crate::analysis::{Numbered, numbered};
use crate::flatness::{CheckResult, Departure};
use crate::recheck::{MOST_RIDGES, Recheck, RecheckSpot, Remark};
use crate::survey::Notice;

/// Everything on the re-check sheet.
#[derive(Debug, Clone)]
pub struct RecheckSheet<'a> {
    /// The job's words, those of the second day.
    pub head: &'a Head,
    /// Date of the first day, as it is to be printed.
    pub before_when: String,
    /// The comparison.
    pub recheck: &'a Recheck,
    /// The two walls that distances are told from.
    pub orientation: &'a Orientation,
    /// Least thickness asked for, metres.
    pub least_cover_m: Option<f64>,
    /// Checks of the first day.
    pub before: &'a [CheckResult],
    /// Checks of the second day.
    pub after: &'a [CheckResult],
    /// What one reading of the second day is good to, and how that is known.
    pub reading: &'a [Fact],
    /// Everything odd that the comparison rests on.
    pub notices: &'a [Notice],
    /// Maps: before and after, at the same scale and shades.
    pub maps: &'a [SheetDrawing],
}

impl RecheckSheet<'_> {
    /// The sheet.
    pub fn document(&self) -> Document {
        let (head, pen, r) = (self.head, self.head.pen(), self.recheck);
        let mut d = head.letter(w::TITLE);
        d.heading(1, w::SUMMARY);
        d.push(Block::Answers {
            columns: 1,
            items: answers(pen, self.orientation, self.after),
        });
        d.push(Block::Facts {
            columns: 1,
            items: self.facts(),
        });
        let told = self.notices.iter().collect::<Vec<_>>();
        boxed_notices(&mut d, &told, told.len());
        if let Some(text) = line_off(pen, r) {
            d.push(Block::Boxed {
                tone: Tone::Warning,
                title: w::LINE_OFF_TITLE.to_owned(),
                text,
            });
        }
        d.heading(1, w::PUNCH);
        let punch = punch(pen, self.orientation, r, self.after);
        if r.unpoured {
            d.push(Block::Boxed {
                tone: Tone::Warning,
                title: w::UNPOURED_TITLE.to_owned(),
                text: w::UNPOURED.to_owned(),
            });
        } else if punch.is_empty() {
            d.text(if r.line_off_m.is_some() {
                w::PUNCH_AFTER_LINE
            } else {
                w::PUNCH_NONE
            });
        } else {
            d.push(Block::Ticks {
                columns: 1,
                items: punch,
            });
        }
        d.heading(1, w::FLATNESS);
        d.push(Block::Table(self.flatness()));
        if !self.after.is_empty() {
            d.push(Block::Table(sources_table(self.after)));
        }
        d.heading(1, words::submittal::INSTRUMENT);
        let mut items = read_facts(head);
        items.extend_from_slice(self.reading);
        d.push(Block::Facts { columns: 1, items });
        if r.bags_used.is_some() || r.bags_planned.is_some() {
            self.bags(&mut d);
        }
        d.push(Block::SignOff {
            roles: words::submittal::ROLES.map(str::to_owned).to_vec(),
            fields: words::submittal::FIELDS.map(str::to_owned).to_vec(),
            abreast: false,
        });
        let alts = [w::MAP_BEFORE, w::MAP_AFTER];
        for (i, map) in self.maps.iter().enumerate() {
            let alt = alts.get(i).copied().unwrap_or(w::MAP_AFTER);
            push_sheets(
                &mut d,
                &format!("recheck-{i}"),
                alt,
                alt,
                std::slice::from_ref(map),
            );
        }
        d.heading(1, w::MARKS);
        if r.line_off_m.is_some() {
            d.text(w::AS_IF_ONE_LINE);
        }
        d.push(Block::Table(self.marks()));
        d
    }

    fn facts(&self) -> Vec<Fact> {
        let (pen, r) = (self.head.pen(), self.recheck);
        let mut facts = vec![
            Fact::new(w::BEFORE, words::submittal::told(&self.before_when)),
            Fact::new(w::AFTER, words::submittal::told(&self.head.when)),
            Fact::new(w::DATUM, tied_by(pen, r)),
            Fact::new(w::SHARED, shared(r)),
        ];
        if r.line_off_m.is_some() {
            facts.push(Fact::new(w::LEAST_COVER, w::HANGS_ON_LINE));
        } else if let Some(thin) = r.thinnest.and_then(|i| r.marks.get(i)) {
            facts.push(Fact::new(
                w::LEAST_COVER,
                format!("{} ({})", pen.held_rise(thin.placed_m), thin.label),
            ));
        }
        if let Some(least) = self.least_cover_m {
            facts.push(Fact::new(w::WANTED_COVER, pen.stated(least)));
        }
        facts.push(Fact::new(w::MEAN_PLACED, mean_placed(pen, r)));
        facts.push(Fact::new(w::PLACED_VOLUME, placed(pen, r)));
        if let Some(allowed) = r.allowed_off_m {
            facts.push(Fact::new(
                w::ALLOWED_OFF,
                w::allowed_off(&pen.limit(allowed)),
            ));
        }
        for (label, names) in [
            (w::ONLY_BEFORE, &r.only_before),
            (w::ONLY_AFTER, &r.only_after),
        ] {
            if !names.is_empty() {
                facts.push(Fact::new(label, few(names)));
            }
        }
        facts
    }

    fn flatness(&self) -> Table {
        let pen = self.head.pen();
        let gap = |title: &str| words::with_unit(title, pen.gap_unit());
        let mut rows = Vec::new();
        for check in self.after {
            let was = self.before.iter().find(|c| c.check == check.check);
            for (i, part) in check.parts.iter().enumerate() {
                let old = was.and_then(|c| c.parts.get(i));
                let shown = |p: &crate::flatness::PartResult| {
                    // What is held to the limit: of a share of placements the figure that so many keep.
                    words::or_none(
                        p.measured()
                            .map(|m| pen.gap_number_against(m.gap_m, p.allowance_m)),
                    )
                };
                rows.push(vec![
                    check.title.clone(),
                    pen.span(part.span_m),
                    words::limit_and_share(pen, part),
                    old.map_or_else(|| words::NONE.to_owned(), shown),
                    old.map_or_else(
                        || words::NONE.to_owned(),
                        |p| words::verdict(p.verdict()).to_owned(),
                    ),
                    shown(part),
                    words::verdict(part.verdict()).to_owned(),
                ]);
            }
        }
        Table {
            columns: vec![
                Column::words(w::CHECK, 1.0),
                Column::figures(words::submittal::SPAN),
                Column::figures(w::LIMIT),
                Column::figures(gap(w::BEFORE)),
                Column::words(words::submittal::VERDICT, 0.0),
                Column::figures(gap(w::AFTER)),
                Column::words(words::submittal::VERDICT, 0.0),
            ],
            rows,
            ..Table::default()
        }
    }

    fn bags(&self, d: &mut Document) {
        let (pen, r) = (self.head.pen(), self.recheck);
        d.heading(1, w::BAGS);
        let items = [
            (w::BAGS_PLANNED, r.bags_planned),
            (w::BAGS_USED, r.bags_used),
            (w::BAGS_EXPLAINED, r.bags_explained),
        ]
        .into_iter()
        .filter_map(|(label, bags)| Some(Fact::new(label, bags_text(pen, bags?))))
        .collect();
        d.push(Block::Facts { columns: 1, items });
        if let Some(text) = too_few_bags(pen, r) {
            d.push(Block::Boxed {
                tone: Tone::Warning,
                title: w::TOO_FEW_BAGS_TITLE.to_owned(),
                text,
            });
        }
        if r.bags_used.is_some() && r.bags_used != r.bags_planned {
            d.text(w::BAGS_DIFFER);
            d.push(Block::Bullets {
                items: w::BAGS_WHY.map(str::to_owned).to_vec(),
            });
        }
    }

    fn marks(&self) -> Table {
        let (pen, r) = (self.head.pen(), self.recheck);
        let depth = |title: &str| words::with_unit(title, pen.depth_unit());
        let strong = (0..r.marks.len())
            .filter(|&i| !r.marks[i].remarks.is_empty())
            .collect();
        Table {
            columns: vec![
                Column::marks(w::MARK),
                Column::figures(w::BEFORE),
                Column::figures(w::AFTER),
                Column::figures(depth(w::PLACED)),
                Column::figures(depth(w::PLANNED)),
                Column::figures(depth(w::OFF_FINISH)),
                Column::words(w::REMARK, 1.0),
            ],
            rows: r
                .marks
                .iter()
                .map(|m| {
                    let remarks: Vec<&str> = m.remarks.iter().map(|&k| w::remark(k)).collect();
                    vec![
                        m.label.clone(),
                        m.before_text.clone(),
                        m.after_text.clone(),
                        pen.held_rise_number(m.placed_m),
                        m.planned_m
                            .map_or_else(|| words::NONE.to_owned(), |p| pen.held_rise_number(p)),
                        m.off_finish_m
                            .map_or_else(|| words::NONE.to_owned(), |o| pen.held_rise_number(o)),
                        remarks.join(", "),
                    ]
                })
                .collect(),
            strong,
            ..Table::default()
        }
    }
}

/// How many of the marks of the first day were read on both.
pub fn shared(r: &Recheck) -> String {
    w::shared(r.marks.len(), r.marks.len() + r.only_before.len())
}

/// What ties the heights of the two days.
pub fn tied_by(pen: Pen, r: &Recheck) -> String {
    match r.tie_spread_m {
        Some(spread) => w::tied(r.tie_points, &pen.gap(spread)),
        None if r.line_assumed => w::LINE_ASSUMED.to_owned(),
        None => w::LINE_STATED.to_owned(),
    }
}

/// The mean thickness at the marks, or why it is not told.
pub fn mean_placed(pen: Pen, r: &Recheck) -> String {
    if r.line_off_m.is_some() {
        return w::HANGS_ON_LINE.to_owned();
    }
    words::or_none(r.mean_m.map(|m| pen.rise(m)))
}

/// The volume between the two surveys, or why it is not told.
pub fn placed(pen: Pen, r: &Recheck) -> String {
    if r.line_off_m.is_some() {
        return w::HANGS_ON_LINE.to_owned();
    }
    r.placed_m3.map_or_else(
        || w::not_placed(&pen.area(r.areas_m2[0]), &pen.area(r.areas_m2[1])),
        |v| {
            w::known_to(
                &pen.volume(v),
                &pen.some_volume(r.placed_doubt_m3),
                r.line_assumed,
            )
        },
    )
}

/// What is to be put right, a line each: places that put a check out, then marks, then ridges. Nothing is listed place by place of a
/// floor that looks unpoured.
pub fn punch(
    pen: Pen,
    orientation: &Orientation,
    r: &Recheck,
    checks: &[CheckResult],
) -> Vec<String> {
    let mut out = if r.unpoured {
        Vec::new()
    } else {
        out_of_checks(pen, orientation, checks)
    };
    let parts = checks.iter().flat_map(|c| &c.parts);
    out.extend(parts.filter_map(|p| hand_place(pen, orientation, p)));
    // Without a finish that was to be reached, floor that was ground is what was wanted: the table of marks tells it.
    let to_mend = |s: &&RecheckSpot| r.allowed_off_m.is_some() || s.remark != Remark::Lost;
    let spots = r.spots.iter().filter(to_mend);
    out.extend(spots.filter_map(|spot| spot_text(pen, orientation, r, spot)));
    out.extend(r.ridges.iter().take(MOST_RIDGES).map(|ridge| {
        let p = &ridge.placement;
        w::ridge(
            &pen.gap(p.gap_m),
            &orientation.place(pen, p.at),
            ridge.tie_in,
        )
    }));
    if r.ridges.len() > MOST_RIDGES {
        out.push(w::MORE_RIDGES.to_owned());
    }
    out
}

/// Places nearer to each other than this are put right together, metres: about 2 ft.
const TOGETHER_M: f64 = 0.6;

/// The places that put a check out, one line for all edges that show it; told by the first, which lies in the order of all lists.
fn out_of_checks(pen: Pen, orientation: &Orientation, checks: &[CheckResult]) -> Vec<String> {
    let mut told: Vec<Numbered> = Vec::new();
    for n in numbered(checks, None) {
        let one = |t: &Numbered| {
            t.departure == n.departure && t.placement.at.distance(n.placement.at) <= TOGETHER_M
        };
        if n.is_out() && !told.iter().any(one) {
            told.push(n);
        }
    }
    told.iter()
        .map(|n| {
            w::out_of_check(
                n.departure == Departure::Hump,
                &pen.gap_against(n.placement.gap_m, n.limit_m),
                (&pen.span(n.span_m), &pen.limit(n.limit_m)),
                &orientation.place(pen, n.placement.at),
            )
        })
        .collect()
}

/// Bags that cannot have made what was placed, in a sentence; `None` where they can, or nothing is known of them.
pub fn too_few_bags(pen: Pen, r: &Recheck) -> Option<String> {
    let (used, explained) = (r.bags_used?, r.bags_explained?);
    // What the volume takes at the least, its doubt taken off.
    let known = r.placed_m3.filter(|v| *v > 0.0)?;
    let least = explained * (1.0 - r.placed_doubt_m3 / known);
    let short = explained - used;
    (short >= 1.0 && short > TOO_FEW_SHARE * explained && used < least)
        .then(|| w::too_few_bags(&bags_text(pen, used), &bags_text(pen, explained)))
}

/// Bags that are short of the placed volume by less than this share of it are no finding, however well it is known: our own choice, no published
/// source.
const TOO_FEW_SHARE: f64 = 0.05;

/// What to ask before any mark is blamed, where nearly all stand off the finish to one side.
pub fn line_off(pen: Pen, r: &Recheck) -> Option<String> {
    let off_m = r.line_off_m?;
    let off = pen.depth(off_m.abs());
    Some(match r.allowed_off_m {
        Some(_) => w::line_off(&off, off_m > 0.0),
        None => w::all_lower(&off),
    })
}

/// A spot in words: what is wrong, at which marks, by how much at the worst of them and where that is.
fn spot_text(
    pen: Pen,
    orientation: &Orientation,
    recheck: &Recheck,
    spot: &RecheckSpot,
) -> Option<String> {
    let worst = recheck.marks.get(spot.worst)?;
    let figure = match (spot.remark, worst.off_finish_m) {
        (Remark::Proud | Remark::Low, Some(off)) => pen.held_rise(off),
        _ => pen.held_rise(worst.placed_m),
    };
    let names: Vec<String> = spot
        .marks
        .iter()
        .filter_map(|&i| Some(recheck.marks.get(i)?.label.clone()))
        .collect();
    Some(w::punch(
        &few(&names),
        w::remark(spot.remark),
        &w::worst(&figure, (names.len() > 1).then_some(worst.label.as_str())),
        &orientation.place(pen, worst.at),
    ))
}

/// A few names, and how many more.
fn few(names: &[String]) -> String {
    const SHOWN: usize = 12;
    let shown: Vec<&str> = names.iter().take(SHOWN).map(String::as_str).collect();
    if names.len() > SHOWN {
        format!(
            "{} {}",
            shown.join(", "),
            words::and_more(names.len() - SHOWN)
        )
    } else {
        shown.join(", ")
    }
}

fn bags_text(pen: Pen, bags: f64) -> String {
    let whole = bags.fract().abs() < 1e-9;
    pen.number(bags, usize::from(!whole))
}
