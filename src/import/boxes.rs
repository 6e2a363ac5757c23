//! Headings that stand apart from the others of their row or column: the rest of a grid with a gap in it, or a box of
//! other figures beside or below the table.

use super::around::looks_numeric;
use super::axis::Axis;
use super::headers::is_no_reading;
use super::table::Cell;

/// A heading with its place, and what stands before and under it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Head {
    /// Which of the headings of its axis it is.
    pub index: usize,
    /// Metres along the axis.
    pub at: f64,
    /// Readings under it.
    pub readings: usize,
    /// The same with the cells that say in words that nothing was read there.
    pub filled: usize,
    /// Columns or rows without a heading between it and the heading before it.
    pub gap: usize,
    /// Whether one of these holds words, as a column of labels does.
    pub labelled: bool,
}

/// Why a heading is none of the table's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Strange {
    /// Words stand between it and the others.
    Labelled,
    /// Behind a gap, and over few readings where the others have many.
    Few,
    /// Behind a gap, and not where the steps of the others go on.
    Uneven,
    /// Right behind the others, but far from where their steps go on, and not all of its cells are filled.
    FarOff,
}

/// Steps that differ by less than this part of one another are alike.
const ALIKE: f64 = 0.02;
/// A last column or row right behind the others may stand so many steps off, whatever is read there: the farthest that a floor is read
/// across.
const FAR: f64 = 6.0;

/// The headings that are none of the table's, in order.
pub(super) fn strange(heads: &[Head]) -> Vec<(usize, Strange)> {
    // A sheet may leave every second row blank.
    let spread = heads[heads.len().min(1)..].iter().map(|h| h.gap).min();
    let spread = spread.filter(|_| heads.len() > 3).unwrap_or_default();
    let heads: Vec<Head> = heads
        .iter()
        .map(|h| Head {
            gap: h.gap.saturating_sub(spread),
            ..*h
        })
        .collect();
    let usual = {
        let mut counts: Vec<usize> = heads.iter().map(|h| h.readings).collect();
        counts.sort_unstable();
        counts.get(counts.len() / 2).copied().unwrap_or_default()
    };
    (1..heads.len())
        .filter_map(|k| why(&heads, k, usual).map(|why| (heads[k].index, why)))
        .collect()
}

fn why(heads: &[Head], k: usize, usual: usize) -> Option<Strange> {
    let head = heads[k];
    if head.labelled {
        return Some(Strange::Labelled);
    }
    let run = heads[k + 1..].iter().take_while(|h| h.gap == 0).count() + 1;
    if head.gap == 0 {
        // A box may stand right beside the table. Its lone column of figures begins anywhere and ends early.
        let lone = k + 1 == heads.len() && k >= 3;
        let short = head.filled < usual;
        let off = Steps::of(&heads[..k]).is_some_and(|s| s.usual.is_some() && s.is_far(head.at));
        return (lone && short && off).then_some(Strange::FarOff);
    }
    if 2 * head.readings < usual {
        return Some(Strange::Few);
    }
    let steps = Steps::of(&heads[..k])?;
    let goes_on = if run == 1 {
        4 * head.readings >= 3 * usual && steps.hits(head.at, head.gap)
    } else {
        steps.hits(head.at, head.gap) || steps.resumes(&heads[k..k + run], head.gap)
    };
    (!goes_on).then_some(Strange::Uneven)
}

/// How the headings before one step along.
struct Steps {
    last: f64,
    /// Up or down, as 1 or -1.
    way: f64,
    longest: f64,
    /// The one step of all, where they are alike.
    usual: Option<f64>,
}

impl Steps {
    /// `None` where there are not two headings that differ.
    fn of(heads: &[Head]) -> Option<Self> {
        let (first, last) = (heads.first()?.at, heads.last()?.at);
        let steps = || heads.windows(2).map(|w| (w[1].at - w[0].at).abs());
        let longest = steps().fold(0.0, f64::max);
        let shortest = steps().fold(f64::INFINITY, f64::min);
        let alike = heads.len() >= 3 && longest - shortest <= ALIKE * longest;
        (longest > 0.0).then_some(Self {
            last,
            way: if last >= first { 1.0 } else { -1.0 },
            longest,
            usual: alike.then_some(longest),
        })
    }

    /// Whether a heading stands where a step after the last one, or after as many as would fill the gap, comes to.
    fn hits(&self, at: f64, gap: usize) -> bool {
        let way = (at - self.last) * self.way;
        match self.usual {
            Some(step) => {
                let count = (way / step).round();
                (1.0..=gap as f64 + 1.0).contains(&count)
                    && (way - count * step).abs() <= ALIKE * step
            }
            // Two headings show a step, but not that all are alike.
            None => self.reaches(way, gap),
        }
    }

    fn reaches(&self, way: f64, gap: usize) -> bool {
        way > 0.0 && way <= (gap as f64 + 1.0 + ALIKE) * self.longest
    }

    /// Whether several headings behind a gap go on in the steps of those before it, begun anew.
    fn resumes(&self, run: &[Head], gap: usize) -> bool {
        let same = |step: f64| match self.usual {
            Some(usual) => (step - usual).abs() <= ALIKE * usual,
            None => step > 0.0 && step <= (1.0 + ALIKE) * self.longest,
        };
        let on = run.windows(2).all(|w| same((w[1].at - w[0].at) * self.way));
        on && self.reaches((run[0].at - self.last) * self.way, gap)
    }

    fn is_far(&self, at: f64) -> bool {
        let way = (at - self.last) * self.way;
        way <= 0.0 || way > FAR * self.longest
    }
}

/// The headings of an axis that have a place, each with what stands under it and between it and the one before;
/// `blank_before` counts the rows that the sheet leaves blank above one.
pub(super) fn heads_of<'a>(
    (axis, cells): (&Axis, &[Cell<'a>]),
    under: &dyn Fn(usize) -> Vec<Cell<'a>>,
    blank_before: &dyn Fn(usize) -> usize,
) -> Vec<Head> {
    // A column of averages holds numbers; one of labels, or under a label, does not.
    let is_label = |k: usize| {
        let mut filled = under(k).into_iter().filter(|c| !c.is_blank()).peekable();
        let wordy = |c: Cell<'_>| !looks_numeric(c.text) && !is_no_reading(c.text);
        !cells[k].is_blank() && (filled.peek().is_none() || filled.any(wordy))
    };
    let mut out: Vec<Head> = Vec::new();
    for (k, mark) in axis.marks.iter().enumerate() {
        let Some(mark) = mark else { continue };
        let first = out.last().map_or(k, |h| h.index + 1);
        let held = under(k);
        out.push(Head {
            index: k,
            at: mark.at,
            readings: held.iter().filter(|c| !is_no_reading(c.text)).count(),
            filled: held.iter().filter(|c| !c.is_blank()).count(),
            gap: k - first + (first.max(1)..=k).map(blank_before).sum::<usize>(),
            labelled: (first..k).any(is_label),
        });
    }
    if let Some(first) = out.first_mut() {
        first.gap = 0;
    }
    out
}
