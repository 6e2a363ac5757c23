//! How flat the floor is: the curve over spans, the checks, the F-numbers.

use serde::Serialize;

use super::quantity::{FNumber, Mm, Place, Share, SquareMetres};
use crate::analysis;
use crate::flatness::{self, CheckResult, EdgeResult, PartResult, SectionF, fnumber};
use crate::report::words;

/// What edges of one length show.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct SpanPoint {
    /// Length of the edge.
    span_mm: Mm,
    /// Largest dip found.
    dip_mm: Mm,
    /// No dip is deeper.
    dip_bound_mm: Mm,
    /// Where the dip is; null where none is.
    dip_worst: Option<Placement>,
    /// Largest hump found.
    hump_mm: Mm,
    /// No hump is higher.
    hump_bound_mm: Mm,
    /// Where the hump is; null where none is.
    hump_worst: Option<Placement>,
    /// There are joints and no edge was laid across them.
    between_joints: bool,
    /// Share of the room, less the strip left aside, that is read closely enough for this span.
    coverage: Share,
    /// An edge of the whole span found room.
    full_span_laid: bool,
    /// The search was not cut short.
    complete: bool,
}

/// An edge on the floor.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Placement {
    /// The gap, measured vertically.
    gap_mm: Mm,
    /// Nothing found in the whole search exceeds this; at the worst place only.
    #[serde(skip_serializing_if = "Option::is_none")]
    bound_mm: Option<Mm>,
    /// One end of what carries the edge.
    from: Place,
    /// The other.
    to: Place,
    /// Where the gap is.
    at: Place,
    /// How far the two ends are apart.
    contacts_mm: Mm,
}

impl From<&flatness::Placement> for Placement {
    fn from(w: &flatness::Placement) -> Self {
        Self {
            gap_mm: Mm::of_m(w.gap_m),
            bound_mm: None,
            from: w.from.into(),
            to: w.to.into(),
            at: w.at.into(),
            contacts_mm: Mm::of_m(w.chord_m()),
        }
    }
}

fn worst(r: &EdgeResult) -> Option<Placement> {
    r.worst.as_ref().map(Placement::from)
}

/// The curve over spans.
pub(super) fn span_curve(f: &analysis::Flatness) -> Vec<SpanPoint> {
    f.span_curve
        .iter()
        .map(|p| SpanPoint {
            span_mm: Mm::of_m(p.span_m),
            dip_mm: Mm::of_m(p.dip.gap_m()),
            dip_bound_mm: Mm::of_m(p.dip.bound_m),
            dip_worst: worst(&p.dip),
            hump_mm: Mm::of_m(p.hump.gap_m()),
            hump_bound_mm: Mm::of_m(p.hump.bound_m),
            hump_worst: worst(&p.hump),
            between_joints: p.between_joints,
            coverage: Share::of(p.judged.share()),
            full_span_laid: p.dip.full_span_laid,
            complete: p.dip.complete && p.hump.complete,
        })
        .collect()
}

/// A word on a check or a part of it.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Verdict {
    /// Proven within.
    #[serde(rename = "within")]
    Within,
    /// Proven out.
    #[serde(rename = "out")]
    Out,
    /// Too near to call.
    #[serde(rename = "in doubt")]
    InDoubt,
    /// The readings do not reach.
    #[serde(rename = "not tested")]
    NotTested,
}

impl From<flatness::Verdict> for Verdict {
    fn from(v: flatness::Verdict) -> Self {
        match v {
            flatness::Verdict::Within => Self::Within,
            flatness::Verdict::Out => Self::Out,
            flatness::Verdict::InDoubt => Self::InDoubt,
            flatness::Verdict::NotTested => Self::NotTested,
        }
    }
}

/// How the edge is used.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Procedure {
    /// It rests where gravity leaves it.
    Resting,
    /// It lies on one high place, both ends evenly up.
    Balanced,
    /// It is held against the floor.
    HeldDown,
    /// It stands on blocks at its ends: how far the floor lies below the line between them.
    EndBlocksHollow,
    /// The same: how far it rises above that line.
    EndBlocksHump,
    /// Ends on the floor, read in the middle.
    Midpoint,
    /// Height differences within a distance.
    Radius,
    /// It bridges between ridges.
    Ridge,
    /// Along sample lines.
    Line,
}

impl From<flatness::Procedure> for Procedure {
    fn from(p: flatness::Procedure) -> Self {
        match p {
            flatness::Procedure::Resting => Self::Resting,
            flatness::Procedure::Balanced => Self::Balanced,
            flatness::Procedure::HeldDown => Self::HeldDown,
            flatness::Procedure::EndBlocksHollow => Self::EndBlocksHollow,
            flatness::Procedure::EndBlocksHump => Self::EndBlocksHump,
            flatness::Procedure::Midpoint => Self::Midpoint,
            flatness::Procedure::Radius => Self::Radius,
            flatness::Procedure::Ridge => Self::Ridge,
            flatness::Procedure::Line => Self::Line,
        }
    }
}

/// How sure a check's figures are.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Sureness {
    /// Read in the published source.
    Published,
    /// One other source tells them.
    OneSource,
    /// From memory of the source.
    FromMemory,
    /// Common practice, no published source.
    CommonPractice,
    /// Given with the job.
    Own,
}

impl From<flatness::Sureness> for Sureness {
    fn from(s: flatness::Sureness) -> Self {
        match s {
            flatness::Sureness::Published => Self::Published,
            flatness::Sureness::OneSource => Self::OneSource,
            flatness::Sureness::FromMemory => Self::FromMemory,
            flatness::Sureness::CommonPractice => Self::CommonPractice,
            flatness::Sureness::Own => Self::Own,
        }
    }
}

/// One part of a check.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct CheckPart {
    /// The check's name, as flags and files take it.
    check: String,
    /// Its name on paper.
    title: String,
    /// Standard, edition and clause.
    source: String,
    /// How sure its figures are.
    sureness: Sureness,
    /// How the edge was used.
    procedure: Procedure,
    /// Length of the edge.
    span_mm: Mm,
    /// The most that is allowed.
    allowance_mm: Mm,
    /// The largest gap found; null where the part was not tested.
    gap_mm: Option<Mm>,
    /// Where the rule lets a share of placements be over: all but that share are up to this.
    share_gap_mm: Option<Mm>,
    /// A larger gap on floor that is known less well.
    doubtful_gap_mm: Option<Mm>,
    /// Nothing on the surface through the readings exceeds this.
    bound_mm: Option<Mm>,
    /// The worst place.
    worst: Option<Placement>,
    /// The worst distinct places: that of `worst` first, then the others by depth.
    places: Vec<Placement>,
    /// Expanded uncertainty of the gap, k = 2.
    doubt_mm: Option<Mm>,
    /// The chance that the floor keeps the allowance; null where none was worked out.
    chance: Option<Chance>,
    /// What the worst gap of the floor itself is likely to be; null where no chance was worked out.
    likely_gap: Option<LikelyGap>,
    /// Share of the room, less the strip left aside, that is read closely enough; null where sample lines are judged.
    coverage: Option<Share>,
    /// How much of the room the word speaks for; null where sample lines are judged.
    judged_m2: Option<SquareMetres>,
    /// How many sample lines the word speaks for; null where the floor is judged.
    judged_lines: Option<usize>,
    /// Of so much room.
    room_m2: SquareMetres,
    /// The strip along walls that the rule leaves aside.
    left_aside_m2: SquareMetres,
    /// What to read before the part can be judged; null where it was tested.
    to_read: Option<ToRead>,
    /// What edges laid by hand say; null where none was laid.
    hand: Option<Hand>,
    /// Share of placements over the allowance, where sampled.
    share_over: Option<Share>,
    /// The part's word.
    verdict: Verdict,
    /// The gravest word of the check's parts.
    check_verdict: Verdict,
    /// Why, in a sentence.
    reason: String,
    /// How the rule is read where its words leave a choice; empty when they leave none.
    note: String,
    /// What the edge used the other way shows, where the words disagree.
    other_way: Option<OtherWay>,
}

/// Share of floors that may be the true one which keep an allowance, at the two ends of what the readings' noise may be.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Chance {
    /// The smaller share.
    low: Share,
    /// The larger share.
    high: Share,
    /// Floors drawn at each end, at most.
    draws: usize,
}

impl From<flatness::Chance> for Chance {
    fn from(c: flatness::Chance) -> Self {
        Self {
            low: Share::of(c.low),
            high: Share::of(c.high),
            draws: c.draws,
        }
    }
}

/// Between what the worst gap lies on floors drawn that may be the true one.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct LikelyGap {
    /// The least.
    low_mm: Mm,
    /// The greatest.
    high_mm: Mm,
}

impl From<flatness::Likely> for LikelyGap {
    fn from(likely: flatness::Likely) -> Self {
        Self {
            low_mm: Mm::of_m(likely.low_m),
            high_mm: Mm::of_m(likely.high_m),
        }
    }
}

/// What edges laid by hand say of a part.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Hand {
    /// Placements drawn at random for the part.
    random: usize,
    /// How many of them were laid.
    laid: usize,
    /// How many of those laid are over the allowance.
    over: usize,
    /// Placements that somebody chose and that were laid.
    chosen: usize,
    /// How many of those are over the allowance.
    chosen_over: usize,
    /// With 95 % confidence no larger share of all placements is over, those left out counted as over; null where no random one was
    /// laid.
    at_most_share: Option<Share>,
    /// The largest gap measured; null where none was.
    worst_gap_mm: Option<Mm>,
    /// One end of the edge there.
    worst_from: Option<Place>,
    /// The other end.
    worst_to: Option<Place>,
    /// What the placements were drawn from, as it stands on the sheet.
    seed: String,
    /// Whether the part's word comes from these edges.
    decides: bool,
}

impl Hand {
    fn of(p: &PartResult) -> Option<Self> {
        let hand = p.hand.as_ref()?;
        let worst = hand.worst.as_ref();
        Some(Self {
            random: hand.drawn,
            laid: hand.laid,
            over: hand.over,
            chosen: hand.chosen,
            chosen_over: hand.chosen_over,
            at_most_share: hand.at_most_share.map(Share::of),
            worst_gap_mm: worst.map(|w| Mm::of_m(w.gap_m)),
            worst_from: worst.map(|w| Place::from(w.from)),
            worst_to: worst.map(|w| Place::from(w.to)),
            seed: words::hand::seed(hand.seed),
            decides: p.is_by_hand(),
        })
    }
}

/// What to read.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct ToRead {
    /// Readings no farther apart than this; null where they stand so closely, and what is missing lies along walls, joints, voids and blanks.
    every_mm: Option<Mm>,
    /// About the middle of the widest piece that lacks them; null where it is all of the floor.
    at: Option<Place>,
}

/// The same part with the edge used the other way.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct OtherWay {
    /// The other procedure.
    procedure: Procedure,
    /// The largest gap found by it.
    gap_mm: Mm,
    /// Nothing exceeds this.
    bound_mm: Mm,
    /// Where it is.
    worst: Option<Placement>,
    /// Its word.
    verdict: Verdict,
}

/// A row for each part of a check.
pub(super) fn check(c: &CheckResult) -> Vec<CheckPart> {
    c.parts
        .iter()
        .map(|p| {
            let found = p.measured();
            let by_floor = p.judged.lines == 0;
            CheckPart {
                check: c.check.clone(),
                title: c.title.clone(),
                source: c.source.clone(),
                sureness: c.sureness.into(),
                procedure: p.procedure.into(),
                span_mm: Mm::of_m(p.span_m),
                allowance_mm: Mm::of_m(p.allowance_m),
                gap_mm: found.map(|m| Mm::of_m(m.largest_m())),
                share_gap_mm: found.and_then(|m| m.allowed_share.map(|_| Mm::of_m(m.gap_m))),
                doubtful_gap_mm: found.and_then(|m| m.doubtful_m.map(Mm::of_m)),
                bound_mm: found.map(|m| Mm::of_m(m.bound_m)),
                worst: found.and_then(|m| {
                    m.worst.as_ref().map(|w| Placement {
                        bound_mm: Some(Mm::of_m(m.bound_m)),
                        ..Placement::from(w)
                    })
                }),
                places: found
                    .map_or_else(Vec::new, |m| m.places.iter().map(Placement::from).collect()),
                doubt_mm: found.map(|m| Mm::of_m(m.doubt_m)),
                chance: found.and_then(|m| m.chance).map(Chance::from),
                likely_gap: found.and_then(|m| m.likely).map(LikelyGap::from),
                coverage: by_floor.then(|| Share::of(p.judged.share())),
                judged_m2: by_floor.then(|| SquareMetres::of_m2(p.judged.judged_m2)),
                judged_lines: (!by_floor).then_some(p.judged.lines),
                room_m2: SquareMetres::of_m2(p.judged.room_m2),
                left_aside_m2: SquareMetres::of_m2(p.judged.aside_m2),
                to_read: p.to_read().map(|r| ToRead {
                    every_mm: r.every_m.map(Mm::of_m),
                    at: r.at.map(Place::from),
                }),
                hand: Hand::of(p),
                share_over: found.and_then(|m| m.share_over).map(Share::of),
                verdict: p.verdict().into(),
                check_verdict: c.verdict().into(),
                reason: p.reason.clone(),
                note: c.note.clone(),
                other_way: found.and_then(|m| m.other.as_ref()).map(|o| OtherWay {
                    procedure: o.procedure.into(),
                    gap_mm: Mm::of_m(o.gap_m),
                    bound_mm: Mm::of_m(o.bound_m),
                    worst: o.worst.as_ref().map(Placement::from),
                    verdict: o.verdict.into(),
                }),
            }
        })
        .collect()
}

/// F-numbers of the section along sample lines.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct FNumbers {
    /// Flatness; null where there is no number.
    ff: Option<FNumber>,
    /// Why there is none.
    ff_missing: Option<NoNumber>,
    /// Levelness; null where there is no number.
    fl: Option<FNumber>,
    /// Why there is none.
    fl_missing: Option<NoNumber>,
    /// The constants over the spread.
    constants: Constants,
    /// The highest FF that a perfect floor could show at the reading step.
    ff_ceiling: Option<FNumber>,
    /// The highest FL likewise.
    fl_ceiling: Option<FNumber>,
    /// Each line.
    lines: Vec<Line>,
    /// The layout rules of the standard.
    rules: Vec<LayoutRule>,
    /// Warnings, a sentence each.
    warnings: Vec<String>,
}

/// Why there is no F-number.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum NoNumber {
    /// The readings show no spread at all.
    Unbounded,
    /// Fewer than two values.
    TooFew,
    /// Read at another interval than 12 in or 300 mm.
    OtherInterval,
}

/// The constants over the spread.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Constants {
    /// Those of the inch method as they stand.
    Exact,
    /// Rescaled for 300 mm in place of 12 in.
    Rescaled,
}

/// One sample line.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Line {
    /// Its name.
    name: String,
    /// How many curvatures.
    curvatures: usize,
    /// Its flatness.
    ff: Option<FNumber>,
    /// How many differences over ten intervals.
    differences: usize,
    /// Its levelness.
    fl: Option<FNumber>,
}

/// A rule on where lines must lie.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct LayoutRule {
    /// What it asks.
    rule: String,
    /// Clause, and how sure it is.
    source: String,
    /// What was found.
    found: String,
    /// Whether it is kept; null when what was given does not tell.
    kept: Option<bool>,
}

fn missing(f: fnumber::FNumber) -> Option<NoNumber> {
    match f {
        fnumber::FNumber::Value(_) => None,
        fnumber::FNumber::Unbounded => Some(NoNumber::Unbounded),
        fnumber::FNumber::TooFew => Some(NoNumber::TooFew),
        fnumber::FNumber::OtherInterval => Some(NoNumber::OtherInterval),
    }
}

pub(super) fn f_numbers(s: &SectionF) -> FNumbers {
    let number = |f: fnumber::FNumber| f.value().map(FNumber::of);
    FNumbers {
        ff: number(s.ff),
        ff_missing: missing(s.ff),
        fl: number(s.fl),
        fl_missing: missing(s.fl),
        constants: match s.constants {
            fnumber::Constants::Exact => Constants::Exact,
            fnumber::Constants::Rescaled => Constants::Rescaled,
        },
        ff_ceiling: s.ceiling.map(|c| FNumber::of(c.0)),
        fl_ceiling: s.ceiling.map(|c| FNumber::of(c.1)),
        lines: s
            .lines
            .iter()
            .map(|l| Line {
                name: l.name.clone(),
                curvatures: l.q.values_m.len(),
                ff: number(l.q.f),
                differences: l.z.values_m.len(),
                fl: number(l.z.f),
            })
            .collect(),
        rules: s
            .rules
            .iter()
            .map(|r| LayoutRule {
                rule: r.rule.clone(),
                source: r.source.clone(),
                found: r.found.clone(),
                kept: r.kept,
            })
            .collect(),
        warnings: s.warnings.clone(),
    }
}
