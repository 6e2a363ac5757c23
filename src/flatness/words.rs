//! The sentences beside the verdicts: all their wording in one place.

use super::Verdict;
use super::coverage::{COVERAGE_NEEDED, Coverage};
use super::verdict::Evidence;
use crate::units::{Habit, Length, inches_text, length_text, mm_text, number_text};

/// Wording in one habit of units.
#[derive(Debug, Clone, Copy)]
pub(super) struct Words {
    habit: Habit,
}

impl Words {
    pub fn new(habit: Habit) -> Self {
        Self { habit }
    }

    /// A gap or a doubt: to 0.01 in or 0.1 mm, as every table of gaps has it.
    pub fn gap(self, m: f64) -> String {
        match self.habit {
            Habit::Us => format!("{} in", number_text(Length::from_m(m).inches(), 2)),
            Habit::Metric => mm_text(Length::from_m(m), 1),
        }
    }

    /// An allowance as its rule states it: to 1/64 in or 0.1 mm.
    pub fn limit(self, m: f64) -> String {
        match self.habit {
            Habit::Us => inches_text(Length::from_m(m), 64),
            Habit::Metric => mm_text(Length::from_m(m), 1),
        }
    }

    /// A span or a spacing.
    pub fn span(self, m: f64) -> String {
        length_text(Length::from_m(m), self.habit)
    }

    /// Why a part that comes down to a certified gap has its verdict.
    pub fn edge(
        self,
        verdict: Verdict,
        e: &Evidence,
        allow: f64,
        cover: &Coverage,
        complete: bool,
        step_known: bool,
    ) -> String {
        let (gap, allow_words) = (self.gap(e.gap_m), self.limit(allow));
        let telling = self.gap(e.telling_m.unwrap_or(e.gap_m));
        let mut out = match verdict {
            Verdict::Out => format!(
                "{telling} found where {allow_words} is allowed, over by more than the doubt of {}.",
                self.gap(e.doubt_m)
            ),
            Verdict::InDoubt if e.telling_m.is_some_and(|g| g + e.doubt_m <= allow) => format!(
                "{gap} found and no more than {} proven, which with the doubt of {} does not stay under {allow_words}.",
                self.gap(e.bound_m),
                self.gap(e.doubt_m)
            ),
            Verdict::InDoubt if telling != gap => format!(
                "{telling} found where readings stand close enough to tell, {gap} elsewhere, where {allow_words} is allowed: nearer to the limit than the doubt of {}.",
                self.gap(e.doubt_m)
            ),
            Verdict::InDoubt => format!(
                "{telling} found where {allow_words} is allowed: nearer to the limit than the doubt of {}.",
                self.gap(e.doubt_m)
            ),
            Verdict::Within => format!(
                "Nothing over {} at any place in any direction where {allow_words} is allowed, doubt {}.",
                self.gap(e.bound_m),
                self.gap(e.doubt_m)
            ),
            Verdict::NotTested if cover.coarse <= 0.0 => format!(
                "Readings {} apart cannot show a gap under {}.",
                self.span(cover.spacing_m),
                self.span(cover.span_m)
            ),
            Verdict::NotTested if e.coverage < COVERAGE_NEEDED => format!(
                "{gap} found where {allow_words} is allowed, but only {} of the floor is read closely enough to say that none is worse: readings are {} apart.",
                percent(e.coverage),
                self.span(cover.spacing_m)
            ),
            Verdict::NotTested => format!(
                "A {} edge finds no room on this floor; under shorter ones {gap} was found where {allow_words} is allowed.",
                self.span(cover.span_m)
            ),
        };
        if verdict != Verdict::Within && e.coverage < COVERAGE_NEEDED {
            out.push_str(&self.needed(cover));
        }
        if verdict != Verdict::NotTested && !e.room {
            out.push_str(&format!(
                " The whole {} edge was never laid: it finds no room.",
                self.span(cover.span_m)
            ));
        }
        if !complete {
            out.push_str(
                " The search ended at its work limit; the bound is what was proven by then.",
            );
        }
        if !step_known {
            out.push_str(" The step of the readings is not known, so no doubt is counted.");
        }
        out
    }

    /// What reading would be needed.
    pub fn needed(self, cover: &Coverage) -> String {
        format!(
            " To judge {}, read every {} or closer.",
            self.span(cover.span_m),
            self.span(cover.needed_m)
        )
    }
}

/// A share as whole per cent, never 100 unless it is all.
pub(super) fn percent(share: f64) -> String {
    let p = (share * 100.0).round();
    if p >= 100.0 && share < 1.0 - 1e-9 {
        "99 %".to_owned()
    } else {
        format!("{p:.0} %")
    }
}
