//! How an edge is laid, and where its gap is told from.

use super::chance::DECIDING_WORK;
use super::coverage::Coverage;
use super::doubt::{gap_doubt_m, leans_on};
use super::edge::{SearchOptions, Searcher};
use super::judge::{Bench, Way, way};
use super::net::Joints;
use super::verdict::proven_over;
use super::{EdgeResult, Measured, Placement, Procedure};
use std::sync::Arc;

/// A limit between a gap and its bound is decided to this, metres: half of what counts as equal, and
/// less than a rule can be read to by far.
const DECIDED_M: f64 = 0.9e-6;

/// Where the worst gap proves nothing, so many of the next are looked at.
const DEEP_PLACES: usize = 200;

/// What a search found, and on what.
pub(super) type Found = (Arc<Searcher>, EdgeResult);

/// How an edge is laid, and what it may show.
#[derive(Debug, Clone, Copy)]
pub(super) struct Laying {
    pub procedure: Procedure,
    pub joints: Joints,
    pub span_m: f64,
    pub allow_m: f64,
    /// Whether other steps of its limit cannot be tested: then only a surface over the limit makes a word, and nothing is drawn for one
    /// under it.
    pub only_out: bool,
}

impl Laying {
    pub(super) fn way(&self) -> Way {
        way(self.procedure, self.joints)
    }

    pub(super) fn factor(&self) -> f64 {
        self.procedure.reads_per_metre()
    }
}

/// Where the gap of a laying is told from.
pub(super) struct Evident {
    pub telling: Option<Found>,
    /// See [`Laid::wider`].
    pub wider: Option<Found>,
    /// A larger gap that is not known as well, metres.
    pub doubtful_m: Option<f64>,
    /// Whether it is over its allowance without the suspected readings too.
    pub sound: bool,
    /// See [`Laid::hangs`].
    pub hangs: Vec<String>,
}

impl Bench<'_> {
    /// What a search found, as the procedure reads it.
    pub(super) fn measured(&self, laying: &Laying, r: &EdgeResult) -> Measured {
        let factor = laying.factor();
        let worst = r.worst.map(|w| Placement {
            gap_m: w.gap_m * factor,
            ..w
        });
        Measured {
            gap_m: r.gap_m() * factor,
            bound_m: r.bound_m * factor,
            worst,
            places: worst.into_iter().collect(),
            doubt_m: factor
                * gap_doubt_m(
                    self.floor,
                    r.worst.as_ref(),
                    &self.edge_doubt,
                    &self.options.ties,
                ),
            ..Measured::default()
        }
    }

    /// The worst, looked at more closely where the limit falls between the gap and its bound: whether anything
    /// lies over the limit less the doubt is all that needs to be known.
    pub(super) fn worst_against(&mut self, laying: &Laying) -> EdgeResult {
        let whole = self.worst(laying.way(), laying.span_m);
        let found = self.measured(laying, &whole);
        let undecided = found.gap_m + found.doubt_m <= laying.allow_m
            && found.bound_m + found.doubt_m > laying.allow_m;
        if !undecided {
            return whole;
        }
        let searcher = self.searcher(laying.way());
        let closer = self.decided_at(laying, &searcher, laying.allow_m - found.doubt_m, &whole);
        // What takes longer to decide is as near to the limit as makes no difference.
        if closer.complete { closer } else { whole }
    }

    /// Whether anything lies over a figure that falls between a gap and its bound, decided closely: the worst over it, or the
    /// figure as the bound.
    fn decided_at(
        &self,
        laying: &Laying,
        searcher: &Searcher,
        figure_m: f64,
        known: &EdgeResult,
    ) -> EdgeResult {
        let options = SearchOptions {
            ignore_m: (figure_m / laying.factor() + DECIDED_M).max(0.0),
            even_m: DECIDED_M / 2.0,
            work_limit: self.options.work_limit.min(DECIDING_WORK),
            hints: known.worst.into_iter().collect(),
            ..self.search_options(laying.joints)
        };
        self.seek(searcher, laying.span_m, &options)
    }

    /// The floor where it is read closely enough to prove anything at this span, and what it shows.
    fn telling(&mut self, laying: &Laying, whole: &EdgeResult, cover: &Coverage) -> Option<Found> {
        if cover.coarse_m2 <= 0.0 {
            return None;
        }
        // Where the whole floor shows little, whatever a part of it shows is smaller still.
        let little = whole.bound_m * laying.factor() <= laying.allow_m * 0.5;
        if cover.all_coarse() || little {
            let searcher = self.searcher(laying.way());
            let r = self.settled_out(laying, &searcher, whole.clone());
            return Some((searcher, r));
        }
        let searcher = Arc::new(laying.way().on_part(self.floor, &cover.coarse_mask()));
        let options = self.search_options(laying.joints);
        let r = self.seek(&searcher, laying.span_m, &options);
        let r = self.settled_out(laying, &searcher, r);
        Some((searcher, r))
    }

    /// The same result, or one that is out, where the limit and the doubt together fall between the gap found and its bound:
    /// within that tolerance a mirror or a turn may find one or the other.
    fn settled_out(&self, laying: &Laying, searcher: &Searcher, r: EdgeResult) -> EdgeResult {
        let found = self.measured(laying, &r);
        let most = laying.allow_m + found.doubt_m;
        if found.gap_m > most || found.bound_m <= most {
            return r;
        }
        let closer = self.decided_at(laying, searcher, most, &r);
        if proven_over(&self.measured(laying, &closer), laying.allow_m) {
            closer
        } else {
            r
        }
    }

    /// Suspected readings that a gap over the allowance hangs on, and what is proven over it without them.
    fn without_slips(
        &mut self,
        laying: &Laying,
        r: &EdgeResult,
        cover: &Coverage,
    ) -> Option<(Vec<String>, Option<Found>)> {
        let suspects = self.suspects();
        let worst = r.worst.filter(|_| !suspects.is_empty())?;
        let leans = leans_on(self.floor, &worst);
        let over =
            |bench: &Self, r: &EdgeResult| proven_over(&bench.measured(laying, r), laying.allow_m);
        if !over(self, r) || !leans.iter().any(|reading| suspects.contains(reading)) {
            return None;
        }
        let mask = self.without_suspects(cover.coarse_mask());
        let part = self.over_on(laying, &mask, laying.allow_m);
        let stands = if over(self, &part.1) {
            Some(part)
        } else {
            self.known_well(laying, &part, mask)
        };
        Some((self.suspects_among(&leans), stands))
    }

    /// What a part of the floor shows over the allowance; smaller gaps are not told apart.
    pub(super) fn over_on(&self, laying: &Laying, mask: &[bool], allow_m: f64) -> Found {
        let searcher = Arc::new(laying.way().on_part(self.floor, mask));
        let options = SearchOptions {
            ignore_m: allow_m.max(0.0) / laying.factor(),
            ..self.search_options(laying.joints)
        };
        let r = self.seek(&searcher, laying.span_m, &options);
        (searcher, r)
    }

    /// A placement that is out beyond its own doubt, though the worst gap is known less well and proves nothing. Which of
    /// nearly equal gaps a search finds is chance.
    fn better_known(&self, laying: &Laying, telling: &Found) -> Option<Found> {
        let (searcher, r) = telling;
        let found = self.measured(laying, r);
        if found.gap_m <= laying.allow_m || proven_over(&found, laying.allow_m) {
            return None;
        }
        searcher
            .deep(r.span_m, DEEP_PLACES)
            .into_iter()
            .take_while(|p| p.gap_m * laying.factor() > laying.allow_m)
            .map(|p| EdgeResult {
                worst: Some(p),
                ..r.clone()
            })
            .find(|r| proven_over(&self.measured(laying, r), laying.allow_m))
            .map(|r| (searcher.clone(), r))
    }

    /// Floor that is out beyond its own doubt where all heights are read, though the worst gap lies on carried-out floor
    /// and is too doubtful to prove anything. `mask` is the floor that it was found on.
    fn steadily_out(&self, laying: &Laying, telling: &Found, mut mask: Vec<bool>) -> Option<Found> {
        let shaky = self.shaky.as_ref()?;
        let found = self.measured(laying, &telling.1);
        if found.gap_m <= laying.allow_m || proven_over(&found, laying.allow_m) {
            return None;
        }
        for (usable, carried) in mask.iter_mut().zip(&shaky.carried) {
            *usable &= !carried;
        }
        let part = self.over_on(laying, &mask, laying.allow_m);
        proven_over(&self.measured(laying, &part.1), laying.allow_m).then_some(part)
    }

    /// What proves the floor out where the worst gap of a part of it, over the allowance, is too doubtful to do so.
    fn known_well(&self, laying: &Laying, telling: &Found, mask: Vec<bool>) -> Option<Found> {
        self.better_known(laying, telling)
            .or_else(|| self.steadily_out(laying, telling, mask))
    }

    /// Readings in one line that prove the floor out by themselves, whatever lies between their rows: of a floor that is read closely along
    /// its rows only.
    pub(super) fn out_in_rows(&self, laying: &Laying) -> Option<Found> {
        let searcher = laying.way().in_rows(self.floor, &self.suspects());
        let options = self.search_options(laying.joints);
        let r = self.seek(&searcher, laying.span_m, &options);
        let out = proven_over(&self.measured(laying, &r), laying.allow_m);
        out.then(|| (Arc::new(searcher), r))
    }

    /// Where the gap of a laying is told from: the part of the floor that proves it, of readings that are not suspected.
    pub(super) fn evident(
        &mut self,
        laying: &Laying,
        whole: &EdgeResult,
        cover: &Coverage,
    ) -> Evident {
        let mut telling = self.telling(laying, whole, cover);
        let (mut doubtful_m, mut wider) = (None, telling.clone());
        if let Some(told) = &telling
            && let Some(part) = self.known_well(laying, told, cover.coarse_mask())
        {
            doubtful_m = Some(told.1.gap_m() * laying.factor());
            telling = Some(part);
        }
        let (mut sound, mut hangs) = (true, Vec::new());
        if let Some((_, r)) = &telling
            && let Some((names, stands)) = self.without_slips(laying, r, cover)
        {
            hangs = names;
            match stands {
                Some(part) => {
                    let larger = r.gap_m() * laying.factor();
                    doubtful_m = Some(doubtful_m.map_or(larger, |m: f64| m.max(larger)));
                    telling = Some(part);
                    // Places that the suspected readings make are none to be listed.
                    wider = None;
                }
                None => sound = false,
            }
        }
        Evident {
            telling,
            wider,
            doubtful_m,
            sound,
            hangs,
        }
    }
}
