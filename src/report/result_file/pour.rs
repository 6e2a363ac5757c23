//! The pour: batches in their order, the clock, what to stage.

use serde::Serialize;

use super::quantity::{Litres, Metres, Minutes, Mm, Place, SquareMetres, outlines};
use crate::analysis::Analysis;
use crate::pour::{self, PourPlan};
use crate::report::compose::facts;

/// The plan.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Pour {
    /// Bags of all batches.
    bags: u32,
    /// The pours, one a lift, the lowest first; more than one where the material may not be poured so deep at once.
    lifts: Vec<Lift>,
    /// Waiting between lifts; null where there is one or the sheet does not state it.
    between_lifts_min: Option<Minutes>,
    /// The batches in order, of all lifts.
    batches: Vec<Batch>,
    /// What must stand ready.
    staging: Vec<Staged>,
    /// Parts poured for themselves behind dams; empty where every lift is poured in one.
    bays: Vec<Bay>,
    /// What to go through before the first bag is opened, a sentence each.
    checklist: Vec<String>,
}

/// The pour of one lift.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Lift {
    /// Its number, from 1, the lowest first.
    number: u32,
    /// How far under the finish it levels off; 0 for the last.
    below_finish_mm: Mm,
    /// Bags of its batches.
    bags: u32,
    /// Material in place.
    volume_l: Litres,
    /// The order it is in.
    order: Order,
    /// Why that order, in a sentence.
    reason: String,
    /// The figures of every order.
    scores: Vec<Score>,
    /// The clock, from the lift's own start.
    minutes: Clock,
    /// Longest wait of any wet edge.
    longest_wait_min: Minutes,
    /// What brings the longest wait within the open time; each was planned with and does.
    remedies: Vec<Remedy>,
}

/// In which order the floor is poured.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Order {
    /// In passes across the way out.
    Passes,
    /// By the level lines of a harmonic function.
    Harmonic,
    /// In strips across the room.
    Strips,
}

impl From<pour::Order> for Order {
    fn from(order: pour::Order) -> Self {
        match order {
            pour::Order::Passes => Self::Passes,
            pour::Order::Harmonic => Self::Harmonic,
            pour::Order::Strips => Self::Strips,
        }
    }
}

/// How an order does.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Score {
    /// Which.
    order: Order,
    /// Longest wait of any wet edge.
    longest_wait_min: Minutes,
    /// The batch that makes it wait; 0 when no edge waits.
    longest_wait_batch: u32,
    /// Length of all tie-ins.
    tie_in_m: Metres,
    /// Mean width of a batch; null for a single one.
    mean_width_m: Option<Metres>,
    /// Whether the longest wait is within the open time; null when none is stated.
    within_open_time: Option<bool>,
}

/// One batch on the floor.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Batch {
    /// Its number in the order of pouring, from 1, through all lifts.
    number: u32,
    /// The lift that it belongs to, from 1.
    lift: u32,
    /// The bay it lies in, from 1.
    bay: u32,
    /// Its lines: outer ones counter-clockwise, holes clockwise.
    outline: Vec<Vec<Place>>,
    /// A place inside it, for its number.
    label_at: Place,
    /// Its area.
    area_m2: SquareMetres,
    /// Material in place.
    volume_l: Litres,
    /// Volume over area.
    mean_depth_mm: Mm,
    /// Bags.
    bags: u32,
    /// Water; null when the sheet does not state it.
    water_l: Option<Litres>,
    /// Length along which it joins what is already placed.
    tie_in_m: Metres,
    /// Each wet edge of it.
    ties: Vec<TieIn>,
    /// The lines along which it joins what is already placed.
    tie_lines: Vec<[Place; 2]>,
    /// Mixing starts.
    mix_from_min: Minutes,
    /// Placing starts.
    place_from_min: Minutes,
    /// Placing ends.
    place_to_min: Minutes,
}

/// A wet edge.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct TieIn {
    /// The earlier batch.
    to: u32,
    /// Its length.
    length_m: Metres,
    /// From the end of placing the earlier batch to the end of placing this one.
    wait_min: Minutes,
}

/// The pour by the clock.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Clock {
    /// The whole pour as asked for.
    minutes: Minutes,
    /// Mixing of one batch.
    mixing_min: Minutes,
    /// Placing of one batch.
    placing_min: Minutes,
    /// Mixers.
    mixers: u32,
    /// Whether mixing and placing overlap.
    overlapped: bool,
    /// The whole pour with mixing overlapped with placing.
    overlapped_min: Minutes,
    /// The whole pour one batch after another.
    one_after_other_min: Minutes,
    /// Open time of the material; null where not stated.
    open_min: Option<Minutes>,
    /// How long a mixed batch stands at the longest, from the end of its mixing until all of it is placed.
    standing_min: Minutes,
    /// Working time of the material; null where not stated.
    working_min: Option<Minutes>,
}

/// A line of the staging list.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Staged {
    /// What.
    item: Item,
    /// How many; 0 where the floor's marks or an amount tell.
    count: u32,
    /// Of bags: the batches they go into.
    #[serde(skip_serializing_if = "Option::is_none")]
    batches: Option<u32>,
    /// Of bags: the most in one batch.
    #[serde(skip_serializing_if = "Option::is_none")]
    most_in_batch: Option<u32>,
    /// Of water: all of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    water_l: Option<Litres>,
    /// Of buckets: water in each for a full batch.
    #[serde(skip_serializing_if = "Option::is_none")]
    each_l: Option<Litres>,
    /// Of people: how many mix.
    #[serde(skip_serializing_if = "Option::is_none")]
    mixing: Option<u32>,
}

/// Something to stage.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Item {
    /// Bags at the mixing place.
    Bags,
    /// Bags opened before the first batch.
    BagsOpened,
    /// Mixing water.
    Water,
    /// Buckets of water, measured and filled.
    Buckets,
    /// Mixing barrels.
    Barrels,
    /// Drills with paddle.
    Drills,
    /// People.
    People,
    /// The gauge rake.
    GaugeRake,
    /// Smoother and spiked roller.
    Smoother,
    /// Pairs of spiked shoes.
    SpikedShoes,
    /// Depth pins, one at every mark.
    DepthPins,
    /// Dust extraction, gloves, eye and breathing protection.
    Protection,
}

impl From<&pour::StagingItem> for Staged {
    fn from(s: &pour::StagingItem) -> Self {
        let plain = |item| Self {
            item,
            count: s.count,
            batches: None,
            most_in_batch: None,
            water_l: None,
            each_l: None,
            mixing: None,
        };
        match s.item {
            pour::Staged::Bags { batches, most_bags } => Self {
                batches: Some(batches),
                most_in_batch: Some(most_bags),
                ..plain(Item::Bags)
            },
            pour::Staged::BagsOpened => plain(Item::BagsOpened),
            pour::Staged::Water { total_m3 } => Self {
                water_l: Some(Litres::of_m3(total_m3)),
                ..plain(Item::Water)
            },
            pour::Staged::Buckets { each_m3 } => Self {
                each_l: each_m3.map(Litres::of_m3),
                ..plain(Item::Buckets)
            },
            pour::Staged::Barrels => plain(Item::Barrels),
            pour::Staged::Drills => plain(Item::Drills),
            pour::Staged::People { mixing } => Self {
                mixing: Some(mixing),
                ..plain(Item::People)
            },
            pour::Staged::GaugeRake => plain(Item::GaugeRake),
            pour::Staged::Smoother => plain(Item::Smoother),
            pour::Staged::SpikedShoes => plain(Item::SpikedShoes),
            pour::Staged::DepthPins => plain(Item::DepthPins),
            pour::Staged::Protection => plain(Item::Protection),
        }
    }
}

/// Part of the floor poured for itself, behind a dam.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Bay {
    /// Its number, from 1 in every lift.
    number: u32,
    /// The lift that it belongs to, from 1.
    lift: u32,
    /// Its lines.
    outline: Vec<Vec<Place>>,
    /// Its area.
    area_m2: SquareMetres,
    /// Material.
    volume_l: Litres,
    /// Whole bags.
    bags: u32,
    /// Dam towards the bays poured after it.
    dam_m: Metres,
    /// Its straight pieces, from and to.
    dam_lines: Vec<[Place; 2]>,
    /// What it holds back at the deepest place along it.
    dam_highest_mm: Mm,
    /// Longest wait of a wet edge inside it.
    longest_wait_min: Minutes,
}

/// What brings the longest wait within the open time.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Remedy {
    /// What to do, in a sentence.
    text: String,
    /// The longest wait then.
    longest_wait_min: Minutes,
    /// Extra dam.
    dam_m: Metres,
}

fn lines(outline: &[pour::Loop]) -> Vec<Vec<Place>> {
    outlines(outline.iter().map(Vec::as_slice))
}

impl Batch {
    fn of(lift: u32, b: &pour::Batch) -> Self {
        Self {
            number: b.number,
            lift,
            bay: b.bay,
            outline: lines(&b.outline),
            label_at: b.label_at.into(),
            area_m2: SquareMetres::of_m2(b.area_m2),
            volume_l: Litres::of_m3(b.volume_m3),
            mean_depth_mm: Mm::of_m(b.mean_depth_m),
            bags: b.bags,
            water_l: b.water_m3.map(Litres::of_m3),
            tie_in_m: Metres::of_m(b.tie_in_m),
            ties: b
                .ties
                .iter()
                .map(|t| TieIn {
                    to: t.to,
                    length_m: Metres::of_m(t.length_m),
                    wait_min: Minutes::of_min(t.wait_min),
                })
                .collect(),
            tie_lines: b.tie_lines.iter().map(|l| l.map(Place::from)).collect(),
            mix_from_min: Minutes::of_min(b.mix_from_min),
            place_from_min: Minutes::of_min(b.place_from_min),
            place_to_min: Minutes::of_min(b.place_to_min),
        }
    }
}

impl Bay {
    fn of(lift: u32, b: &pour::Bay) -> Self {
        Self {
            number: b.number,
            lift,
            outline: lines(&b.outline),
            area_m2: SquareMetres::of_m2(b.area_m2),
            volume_l: Litres::of_m3(b.volume_m3),
            bags: b.bags,
            dam_m: Metres::of_m(b.dam.length_m),
            dam_lines: b.dam.lines.iter().map(|l| l.map(Into::into)).collect(),
            dam_highest_mm: Mm::of_m(b.dam.highest_m),
            longest_wait_min: Minutes::of_min(b.longest_wait_min),
        }
    }
}

impl From<&pour::Lift> for Lift {
    fn from(l: &pour::Lift) -> Self {
        let c = &l.clock;
        Self {
            number: l.number,
            below_finish_mm: Mm::of_m(l.below_finish_m),
            bags: l.bags,
            volume_l: Litres::of_m3(l.volume_m3),
            order: l.order.into(),
            reason: l.reason.clone(),
            scores: l
                .scores
                .iter()
                .map(|s| Score {
                    order: s.order.into(),
                    longest_wait_min: Minutes::of_min(s.longest_wait_min),
                    longest_wait_batch: s.longest_wait_batch,
                    tie_in_m: Metres::of_m(s.tie_in_m),
                    mean_width_m: s.mean_width_m.map(Metres::of_m),
                    within_open_time: s.within_open_time,
                })
                .collect(),
            minutes: Clock {
                minutes: Minutes::of_min(c.minutes),
                mixing_min: Minutes::of_min(c.mixing_min),
                placing_min: Minutes::of_min(c.placing_min),
                mixers: c.mixers,
                overlapped: c.overlapped,
                overlapped_min: Minutes::of_min(c.overlapped_min),
                one_after_other_min: Minutes::of_min(c.one_after_other_min),
                open_min: c.open_min.map(Minutes::of_min),
                standing_min: Minutes::of_min(c.standing_min),
                working_min: c.working_min.map(Minutes::of_min),
            },
            longest_wait_min: Minutes::of_min(l.longest_wait_min),
            remedies: l
                .remedies
                .iter()
                .map(|r| Remedy {
                    text: r.text.clone(),
                    longest_wait_min: Minutes::of_min(r.longest_wait_min),
                    dam_m: Metres::of_m(r.dam_m),
                })
                .collect(),
        }
    }
}

impl Pour {
    pub(super) fn of(a: &Analysis, p: &PourPlan) -> Self {
        let batches = |l: &pour::Lift| l.batches.iter().map(|b| Batch::of(l.number, b)).collect();
        let bays = |l: &pour::Lift| l.bays.iter().map(|b| Bay::of(l.number, b)).collect();
        let batches: Vec<Vec<Batch>> = p.lifts.iter().map(batches).collect();
        let bays: Vec<Vec<Bay>> = p.lifts.iter().map(bays).collect();
        Self {
            bags: p.bags,
            lifts: p.lifts.iter().map(Lift::from).collect(),
            between_lifts_min: p.between_lifts_min.map(Minutes::of_min),
            batches: batches.into_iter().flatten().collect(),
            staging: p.staging.iter().map(Staged::from).collect(),
            bays: bays.into_iter().flatten().collect(),
            checklist: facts::checklist(a),
        }
    }
}
