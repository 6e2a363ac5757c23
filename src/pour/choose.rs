//! Which way the floor is poured, and what mends a wait that is too long.

use super::bays::in_bays;
use super::clock::Pace;
use super::fitting::{bays_of_each, fitting_bays};
use super::footing::Footing;
use super::judge::{better, faults, too_narrow};
use super::layout::{Cut, Layout, Need, Speed, one_bay, score};
use super::passes::{Across, Passes};
use super::piece::{Layer, Piece};
use super::pieces::{self, Begin, Section, Sweep};
use super::result::{BayDam, Order, OrderScore, PourError, PourRequest, Remedy};
use crate::geometry::Point;
use crate::surface::Floor;
use crate::units::Volume;

/// What is asked of the layout; `None` leaves it to the plan.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked {
    pub order: Option<Order>,
    pub bays: Option<u32>,
}

/// What the floor's orders and bays are made from, and the orders that no crew's speed enters.
pub(super) struct Choices<'a> {
    harmonic: Layout,
    strips: Layout,
    /// The pieces in harmonic order, from each start that is tried: level lines keep poured and unpoured floor each in one piece.
    ordered: Vec<Vec<Vec<Piece>>>,
    wet: Vec<Vec<Piece>>,
    /// How the floor is swept towards the way out.
    pub sweep: Sweep,
    /// Where the crew stands and goes.
    footing: &'a Footing,
    need: &'a Need,
    least_width_m: f64,
}

/// Whether a crew that pours last what this one does is shut in by it.
fn ends_away(layout: &Layout, sweep: &Sweep) -> usize {
    usize::from(!layout.ends_at(sweep.opening))
}

/// Whether floor is left on the way that nobody gets to.
fn cuts_off(layout: &Layout, footing: &Footing) -> usize {
    usize::from(footing.is_cut_off(&[], &layout.parts))
}

/// One way of pouring, and how it does.
pub(super) struct Chosen {
    pub layout: Layout,
    /// How it does.
    pub score: OrderScore,
    /// How each order does undivided, the one that was chosen first.
    pub scores: Vec<OrderScore>,
}

impl Chosen {
    /// The dams, one a bay; none of a floor in one piece.
    pub fn dams(&self) -> &[BayDam] {
        match self.layout.dams.len() {
            0 | 1 => &[],
            _ => &self.layout.dams,
        }
    }
}

/// Tie-ins in all that differ by less than this are the same, metres.
const SAME_TIE_M: f64 = 1e-6;

/// Most batches that a pass is tried with.
const MOST_TO_A_PASS: u32 = 24;

/// The same where no open time says how long an edge may wait: a crew of two or three does not layer farther.
const USUAL_TO_A_PASS: u32 = 4;

impl<'a> Choices<'a> {
    pub fn new(
        floor: &Floor,
        layer: &Layer,
        (sections, wet): (&[Section], Vec<Vec<Piece>>),
        (starts, sweep, footing): (&[Begin], Sweep, &'a Footing),
        (request, need): (&PourRequest, &'a Need),
    ) -> Result<Self, PourError> {
        let joints = request.stop_at_joints;
        let ordered: Vec<Vec<Vec<Piece>>> = starts
            .iter()
            .map(|&begin| pieces::harmonic(floor, layer, sections, joints, (begin, sweep.exit)))
            .collect();
        let undivided = vec![1; wet.len()];
        let by_level_lines = |pieces: &Vec<Vec<Piece>>| {
            one_bay(Order::Harmonic, pieces.clone(), (need, Cut::InOrder))
        };
        let harmonic = ordered
            .iter()
            .map(by_level_lines)
            .collect::<Result<Vec<_>, _>>()?;
        // Of several starts the first that shuts nobody in and tears nothing.
        let shuts =
            |l: &Layout| ends_away(l, &sweep) + cuts_off(l, footing) + usize::from(l.torn() > 0);
        let harmonic = harmonic.into_iter().min_by_key(shuts);
        Ok(Self {
            harmonic: harmonic.ok_or(PourError::NothingToPour)?,
            strips: in_bays(&wet, (&sweep, footing), &undivided, need)?,
            ordered,
            wet,
            sweep,
            footing,
            need,
            least_width_m: request.least_width_m,
        })
    }

    fn faults(&self, score: &OrderScore) -> usize {
        faults(score, self.least_width_m)
    }

    fn ways(&self) -> (&Sweep, &Footing) {
        (&self.sweep, self.footing)
    }

    /// Whether a crew that leaves here would be shut in at the end, or have floor left that nobody gets to.
    fn shuts_in(&self, layout: &Layout) -> usize {
        ends_away(layout, &self.sweep) + cuts_off(layout, self.footing)
    }

    /// The pour in passes that suits a crew of this speed best.
    ///
    /// Straight across the room, or along the level lines where straight passes tear batches apart, as about a column or into a wing; as many
    /// batches to a pass as the open time allows: the more there are, the shorter all wet edges are together.
    fn in_passes(&self, speed: Speed) -> Result<Layout, PourError> {
        let towards = self.sweep.towards_door;
        let side = Point::new(-towards.y, towards.x);
        let slot = speed.pace.slot_min();
        let most = match speed.open_min {
            Some(open) => ((open / slot).floor() as u32).clamp(1, MOST_TO_A_PASS),
            None => USUAL_TO_A_PASS,
        };
        let straight = || {
            let mut pieces = self.wet.clone();
            for c in pieces.iter_mut().flatten().flat_map(|p| &mut p.corners) {
                c.order = c.at.dot(towards);
            }
            pieces
        };
        let turning = self.ordered.iter().cloned();
        let turning = turning.map(|pieces| (pieces, Across::Turning(side)));
        let ways = std::iter::once((straight(), Across::Straight(side))).chain(turning);
        let mut best: Option<(Layout, (usize, usize, f64))> = None;
        for (pieces, across) in ways {
            for count in (1..=most).rev() {
                for from_both_ends in [true, false] {
                    let passes = Passes {
                        count,
                        across,
                        exit: self.sweep.exit,
                        from_both_ends,
                    };
                    let how = (self.need, Cut::Passes(passes));
                    let layout = one_bay(Order::Passes, pieces.clone(), how)?;
                    let score = score(&layout, speed.pace, speed.open_min);
                    let mut rank = (
                        self.faults(&score) + ends_away(&layout, &self.sweep),
                        layout.torn(),
                        score.tie_in_m,
                    );
                    // Passes that end at the door are tried first, and stay where their edges are as short.
                    let betters = |rank: (usize, usize, f64)| {
                        best.as_ref().is_none_or(|(_, b)| {
                            let faults = rank.0.cmp(&b.0).then(rank.1.cmp(&b.1));
                            faults.is_lt() || (faults.is_eq() && rank.2 < b.2 - SAME_TIE_M)
                        })
                    };
                    // What is no better anyway is not looked at for floor that it cuts off.
                    if betters(rank) {
                        rank.0 += cuts_off(&layout, self.footing);
                    }
                    let is_better = betters(rank);
                    let will_do = from_both_ends && rank.0 == 0;
                    if is_better {
                        best = Some((layout, rank));
                    }
                    // What differs otherwise is only where it ends.
                    if will_do {
                        break;
                    }
                }
            }
            // Where straight passes will do, nobody bends them.
            if best
                .as_ref()
                .is_some_and(|(_, rank)| (rank.0, rank.1) == (0, 0))
            {
                break;
            }
        }
        best.map(|(layout, _)| layout)
            .ok_or(PourError::NothingToPour)
    }

    /// The floor divided into as few bays as keep the open time; `None` where one is enough, or none are.
    fn in_fitting_bays(&self, speed: Speed) -> Result<Option<Chosen>, PourError> {
        let bays = fitting_bays(&self.wet, self.ways(), self.need, speed)?;
        let bays = bays.filter(|b| b.dams.len() > 1);
        Ok(bays.map(|layout| Chosen {
            score: score(&layout, speed.pace, speed.open_min),
            layout,
            scores: Vec::new(),
        }))
    }

    /// The way that a crew of this speed pours the floor.
    ///
    /// In passes, unless their waits are too long or their batches too narrow or torn and another order's are not; where that is so of all, and
    /// nothing else is asked for, the floor is divided into as few bays as keep the open time.
    pub fn arrange(&self, asked: Asked, speed: Speed) -> Result<Chosen, PourError> {
        let of = |layout: &Layout| score(layout, speed.pace, speed.open_min);
        let passes = self.in_passes(speed)?;
        let layouts = [&passes, &self.harmonic, &self.strips];
        let mut scores = layouts.map(of);
        let faults_of = |i: usize| {
            let torn = usize::from(layouts[i].torn() > 0);
            torn + self.faults(&scores[i]) + self.shuts_in(layouts[i])
        };
        let which = match asked.order {
            Some(order) => scores.iter().position(|s| s.order == order).unwrap_or(0),
            None => {
                let other = 1 + usize::from(better(&scores[2], &scores[1], self.least_width_m));
                if faults_of(0) <= faults_of(other) {
                    0
                } else {
                    other
                }
            }
        };
        let undivided = scores[which];
        let will_not_do = undivided.within_open_time == Some(false)
            || (asked.order.is_none() && too_narrow(&undivided, self.least_width_m));
        let may_divide = !matches!(asked.order, Some(Order::Harmonic | Order::Passes));
        let bays = match asked.bays {
            Some(bays) => {
                let counts = bays_of_each(&self.wet, bays, self.need)?;
                Some(in_bays(&self.wet, self.ways(), &counts, self.need)?)
            }
            // Bays that mend nothing are not dammed off.
            None if will_not_do && may_divide => {
                fitting_bays(&self.wet, self.ways(), self.need, speed)?
                    .filter(|bays| self.faults(&of(bays)) < self.faults(&undivided))
            }
            None => None,
        };
        scores[..=which].rotate_right(1);
        let layout = match (bays.filter(|b| b.dams.len() > 1), which) {
            (Some(bays), _) => bays,
            (None, 0) => passes,
            (None, 1) => self.harmonic.clone(),
            (None, _) => self.strips.clone(),
        };
        Ok(Chosen {
            score: of(&layout),
            layout,
            scores: scores.to_vec(),
        })
    }
}

/// What a plan needs mended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mend {
    /// A wet edge waits longer than the material stays open.
    Wait,
    /// Batches are drawn out to threads, though no edge waits too long.
    Threads,
}

impl Mend {
    /// What this way of pouring needs mended. Bays are strips behind dams, as long as they are asked to be.
    pub fn of(chosen: &Chosen) -> Option<Self> {
        if chosen.score.within_open_time == Some(false) {
            Some(Self::Wait)
        } else if chosen.dams().is_empty() && !chosen.layout.threads().is_empty() {
            Some(Self::Threads)
        } else {
            None
        }
    }

    fn is_mended(self, chosen: &Chosen) -> bool {
        match self {
            Self::Wait => chosen.score.within_open_time == Some(true),
            Self::Threads => Self::of(chosen).is_none(),
        }
    }
}

/// What brings every wait within the open time, or leaves no batch drawn out to a thread: the pour is planned with each, and what does not do is
/// not offered.
///
/// Tried, the simplest first: mixing while one batch is placed; the fewest mixers; the slowest pump; bays, or the other order, where
/// the crew asked for something else; against threads, bays as well. More mixers than keep one crew placing without a pause cannot help; a pump gives
/// no batches, and what it gives in a batch's time is placed in that time.
pub(super) fn remedies(
    choices: &Choices<'_>,
    asked: Asked,
    (speed, mend): (Speed, Mend),
) -> Result<Vec<Remedy>, PourError> {
    let pace = speed.pace;
    let mut list = Vec::new();
    let enough = |chosen: &Chosen| mend.is_mended(chosen);
    let remedy = |how: String, chosen: &Chosen| {
        let dams = chosen.dams();
        let bays = match dams.len() {
            0 => String::new(),
            n => format!(" Pour in {n} bays with a dam where one meets the next."),
        };
        let threads = match Mend::of(chosen) {
            Some(Mend::Threads) => " Some batches are drawn out to long threads then.",
            _ => "",
        };
        Remedy {
            text: format!("{how}{bays}{threads}").trim_start().to_owned(),
            longest_wait_min: chosen.score.longest_wait_min,
            dam_m: dams.iter().map(|d| d.length_m).sum(),
        }
    };
    if let Some((mixers, chosen)) = mixed(choices, asked, speed, enough)? {
        let how = if mixers == pace.mixers {
            "Mix the next batch while one is placed.".to_owned()
        } else {
            format!("Run {mixers} mixers, mixing while one batch is placed.")
        };
        list.push(remedy(how, &chosen));
    }
    if let Some((litres, chosen)) = pumped(choices, asked, speed, enough)? {
        let how = format!(
            "Mix and place {litres} L ({:.1} cu ft) a minute, as by a pump.",
            Volume::from_litres(f64::from(litres)).ft3()
        );
        list.push(remedy(how, &chosen));
    }
    let freer = [
        Asked {
            bays: None,
            ..asked
        },
        Asked {
            order: None,
            bays: None,
        },
    ];
    for other in freer {
        if asked.bays.is_none() && asked.order == other.order {
            continue;
        }
        let chosen = choices.arrange(other, speed)?;
        if enough(&chosen) {
            let how = match chosen.layout.order {
                _ if !chosen.dams().is_empty() => "",
                Order::Passes if asked.bays.is_some() => {
                    "Pour in one piece, without bays, in passes across the way out."
                }
                Order::Harmonic if asked.bays.is_some() => {
                    "Pour in one piece, without bays, by level lines from the start to the door."
                }
                Order::Strips if asked.bays.is_some() => {
                    "Pour in one piece, without bays, in strips from the far wall to the door."
                }
                Order::Passes => "Pour in passes across the way out.",
                Order::Harmonic => "Pour by level lines from the start to the door.",
                Order::Strips => "Pour in strips from the far wall to the door.",
            };
            list.push(remedy(how.to_owned(), &chosen));
            break;
        }
    }
    if mend == Mend::Threads
        && asked.bays.is_none()
        && let Some(chosen) = choices.in_fitting_bays(speed)?.filter(enough)
    {
        list.push(remedy(String::new(), &chosen));
    }
    Ok(list)
}

/// Most mixers that are tried.
const MOST_MIXERS: u32 = 20;

/// The fewest mixers, run while one batch is placed, that do, and the pour with them.
fn mixed(
    choices: &Choices<'_>,
    asked: Asked,
    speed: Speed,
    does: impl Fn(&Chosen) -> bool,
) -> Result<Option<(u32, Chosen)>, PourError> {
    let pace = speed.pace;
    let keeps_placing = (pace.mixing_min / pace.placing_min).ceil();
    let useful = if keeps_placing.is_finite() {
        (keeps_placing as u32).min(MOST_MIXERS)
    } else {
        MOST_MIXERS
    };
    for mixers in pace.mixers..=useful.max(pace.mixers) {
        if mixers == pace.mixers && pace.overlapped {
            continue;
        }
        let pace = Pace {
            mixers,
            overlapped: true,
            ..pace
        };
        let chosen = choices.arrange(asked, Speed { pace, ..speed })?;
        if does(&chosen) {
            return Ok(Some((mixers, chosen)));
        }
    }
    Ok(None)
}

/// What pumps give that are tried, litres a minute; our own choice, no published source.
const PUMPS_L_MIN: [u32; 7] = [15, 25, 40, 60, 100, 150, 300];

/// The slowest of the pumps faster than the crew that does, and the pour with it. They are halved, so that each is planned with but few.
fn pumped(
    choices: &Choices<'_>,
    asked: Asked,
    speed: Speed,
    does: impl Fn(&Chosen) -> bool,
) -> Result<Option<(u32, Chosen)>, PourError> {
    let batch_l = Volume::from_si(choices.need.capacity()).litres();
    let slot_min = |litres: u32| batch_l / f64::from(litres);
    let mut faster = PUMPS_L_MIN.to_vec();
    faster.retain(|&litres| slot_min(litres) < speed.pace.slot_min());
    let with = |litres: u32| {
        let pace = Pace {
            mixing_min: slot_min(litres),
            placing_min: slot_min(litres),
            mixers: 1,
            overlapped: true,
        };
        let chosen = choices.arrange(asked, Speed { pace, ..speed })?;
        Ok::<_, PourError>(does(&chosen).then_some((litres, chosen)))
    };
    let Some(&fastest) = faster.last() else {
        return Ok(None);
    };
    let mut best = with(fastest)?;
    let (mut low, mut high) = (0, faster.len() - 1);
    // Each round halves the pumps that are left.
    while best.is_some() && low < high {
        let middle = (low + high) / 2;
        match with(faster[middle])? {
            Some(found) => {
                best = Some(found);
                high = middle;
            }
            None => low = middle + 1,
        }
    }
    Ok(best)
}
