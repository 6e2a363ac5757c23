//! What to order: bags, water, primer, foam, dams, weight, lifts, cost.

use serde::Serialize;

use super::head::Notice;
use super::quantity::{
    Exact, KgPerLitre, KgPerM2, Kilograms, Litres, Metres, Minutes, Mm, Money, Place, Share,
    SquareMetres,
};
use crate::fill;

/// The take-off of one floor.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct TakeOff {
    /// The material's name.
    material: String,
    /// Date of the quantities, in the user's words.
    as_of: Option<String>,
    /// Material in place.
    volume_l: Litres,
    /// Share added for waste.
    waste: Share,
    /// Volume with waste.
    ordered_l: Litres,
    /// Bags; null when the sheet states no yield.
    bags: Option<Bags>,
    /// Batches; null when bags or bags per batch are not known.
    batches: Option<Batches>,
    /// Mixing water; null when not stated.
    water: Option<Water>,
    /// Primer; null when the sheet has none or lacks its values.
    primer: Option<Primer>,
    /// Edges and perimeter foam.
    perimeter: Perimeter,
    /// Dams.
    dams: Vec<Dam>,
    /// Lifts; null when one will do or no limit is stated.
    lifts: Option<Lifts>,
    /// Cover thinner than it may be; null when there is none or no limit is stated.
    thin: Option<Thin>,
    /// Added weight; null without a density.
    weight: Option<Weight>,
    /// Quantities by depth.
    bands: Vec<BandTakeOff>,
    /// Costs; null without prices.
    costs: Option<Costs>,
    /// Findings.
    notices: Vec<Notice>,
    /// Values that the material sheet lacks.
    missing: Vec<Missing>,
}

/// Bags to order.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Bags {
    /// Whole bags.
    count: u32,
    /// Before rounding up.
    exact: Exact,
    /// Mixed material from one bag.
    yield_l: Litres,
    /// Left in the last bags if all the waste is used.
    left_with_waste_l: Litres,
    /// Left if nothing is wasted.
    left_without_waste_l: Litres,
    /// How the count moves when something turns out otherwise.
    sensitivity: Vec<Sensitivity>,
}

/// Bags when something turns out otherwise.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Sensitivity {
    /// What is changed, in words.
    what: String,
    /// Whole bags then.
    bags: u32,
}

/// Whole batches.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Batches {
    /// Bags in a full batch.
    bags_per_batch: u32,
    /// Batches in all, the last one included.
    count: u32,
    /// Bags in the last one, where all others are full; null where some of them are not.
    last_bags: Option<u32>,
}

/// Mixing water.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Water {
    /// All batches.
    total_l: Litres,
    /// A full batch.
    per_batch_l: Litres,
    /// The last batch.
    last_batch_l: Litres,
}

/// Primer.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Primer {
    /// Floor to prime.
    area_m2: SquareMetres,
    /// Coats.
    coats: u32,
    /// As it is spread, all coats.
    spread_l: Litres,
    /// From the can, before thinning.
    neat_l: Litres,
    /// Drying of all coats; null where not stated.
    drying_min: Option<Minutes>,
}

/// Edges and perimeter foam.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Perimeter {
    /// Foam to stage.
    foam_m: Metres,
    /// The outline.
    outline_m: Metres,
    /// Voids.
    voids_m: Metres,
    /// Openings, which get a dam and no foam.
    openings_m: Metres,
    /// Edges along floor that was not surveyed.
    unsurveyed_m: Metres,
    /// The part of them that material stands at and nothing holds back.
    open_m: Metres,
    /// The greatest depth along it.
    open_depth_mm: Mm,
}

/// A dam.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Dam {
    /// Its name.
    name: String,
    /// What it closes.
    kind: DamKind,
    /// Its length.
    length_m: Metres,
    /// Greatest depth that it holds back.
    highest_mm: Mm,
    /// Depths along it.
    stations: Vec<DamStation>,
}

/// What a dam closes.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum DamKind {
    /// A doorway or the like.
    Opening,
    /// An area that keeps its slope.
    Slope,
    /// A movement joint, both sides of it.
    Joint,
    /// All borders between bays of the pour.
    Bay,
}

/// The depth at a place along a dam.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct DamStation {
    /// Distance along the dam.
    along_m: Metres,
    /// Where that is.
    at: Place,
    /// Depth that is held back there.
    depth_mm: Mm,
}

impl From<&fill::Dam> for Dam {
    fn from(d: &fill::Dam) -> Self {
        Self {
            name: d.name.clone(),
            kind: match d.kind {
                fill::DamKind::Opening => DamKind::Opening,
                fill::DamKind::Slope => DamKind::Slope,
                fill::DamKind::Joint => DamKind::Joint,
                fill::DamKind::Bay => DamKind::Bay,
            },
            length_m: Metres::of_m(d.length_m),
            highest_mm: Mm::of_m(d.highest_m),
            stations: d
                .stations
                .iter()
                .map(|s| DamStation {
                    along_m: Metres::of_m(s.along_m),
                    at: s.at.into(),
                    depth_mm: Mm::of_m(s.depth_m),
                })
                .collect(),
        }
    }
}

/// Lifts.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Lifts {
    /// Greatest depth of one.
    limit_mm: Mm,
    /// How many at the deepest place.
    count: u32,
    /// Floor deeper than one lift.
    area_over_m2: SquareMetres,
    /// Volume of each, the lowest first.
    volumes_l: Vec<Litres>,
    /// Area of each, the lowest first.
    areas_m2: Vec<SquareMetres>,
    /// Waiting between lifts; null where not stated.
    wait_min: Option<Minutes>,
}

/// Cover that is thinner than it may be.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Thin {
    /// Least depth that is allowed.
    limit_mm: Mm,
    /// Floor with less than that but more than nothing.
    area_m2: SquareMetres,
    /// Least depth anywhere; negative where floor stands above the finish.
    least_mm: Mm,
    /// Floor to grind so that the least depth holds everywhere.
    grind_area_m2: SquareMetres,
    /// Floor to grind away for it.
    grind_l: Litres,
}

/// Weight that the fill adds.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Weight {
    /// Density in place.
    density_kg_l: KgPerLitre,
    /// In all.
    total_kg: Kilograms,
    /// Over the floor with material.
    mean_kg_m2: KgPerM2,
    /// At the deepest place.
    worst_kg_m2: KgPerM2,
}

/// One band of depths.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct BandTakeOff {
    /// Its shallow side.
    from_mm: Mm,
    /// Its deep side; null for the open last one.
    to_mm: Option<Mm>,
    /// Floor in it.
    area_m2: SquareMetres,
    /// Material, without waste.
    volume_l: Litres,
    /// Part of that within the base depth.
    base_l: Litres,
    /// Part of that beyond it.
    extra_l: Litres,
    /// Bags with waste, not rounded; null without a yield.
    bags: Option<Exact>,
    /// Of those, beyond the base depth.
    extra_bags: Option<Exact>,
}

/// Costs of what has a price.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Costs {
    /// The currency.
    currency: String,
    /// A line for each thing.
    lines: Vec<CostLine>,
    /// Their sum.
    total: Money,
}

/// One line of costs.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct CostLine {
    /// What.
    item: String,
    /// How much.
    quantity: Exact,
    /// Of what.
    unit: String,
    /// Price of one.
    unit_price: Money,
    /// Quantity times price.
    amount: Money,
}

/// A value that the material sheet lacks.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Missing {
    /// The answer that stays open.
    answer: String,
    /// The key to add.
    key: String,
    /// How it may look.
    example: String,
}

impl From<&fill::TakeOff> for TakeOff {
    fn from(t: &fill::TakeOff) -> Self {
        Self {
            material: t.material.clone(),
            as_of: t.as_of.clone(),
            volume_l: Litres::of_m3(t.volume_m3),
            waste: Share::of(t.waste),
            ordered_l: Litres::of_m3(t.ordered_m3),
            bags: t.bags.as_ref().map(Bags::from),
            batches: t.batches.map(|b| Batches {
                bags_per_batch: b.bags_per_batch,
                count: b.count,
                last_bags: b.last_bags,
            }),
            water: t.water.map(|w| Water {
                total_l: Litres::of_m3(w.total_m3),
                per_batch_l: Litres::of_m3(w.per_batch_m3),
                last_batch_l: Litres::of_m3(w.last_batch_m3),
            }),
            primer: t.primer.as_ref().map(|p| Primer {
                area_m2: SquareMetres::of_m2(p.area_m2),
                coats: p.coats,
                spread_l: Litres::of_m3(p.spread_m3),
                neat_l: Litres::of_m3(p.neat_m3),
                drying_min: p.drying_min.map(Minutes::of_min),
            }),
            perimeter: Perimeter {
                foam_m: Metres::of_m(t.perimeter.foam_m),
                outline_m: Metres::of_m(t.perimeter.outline_m),
                voids_m: Metres::of_m(t.perimeter.voids_m),
                openings_m: Metres::of_m(t.perimeter.openings_m),
                unsurveyed_m: Metres::of_m(t.perimeter.unsurveyed_m),
                open_m: Metres::of_m(t.perimeter.open_m),
                open_depth_mm: Mm::of_m(t.perimeter.open_depth_m),
            },
            dams: t.dams.iter().map(Dam::from).collect(),
            lifts: t.lifts.as_ref().map(Lifts::from),
            thin: t.thin.map(|c| Thin {
                limit_mm: Mm::of_m(c.limit_m),
                area_m2: SquareMetres::of_m2(c.area_m2),
                least_mm: Mm::of_m(c.least_m),
                grind_area_m2: SquareMetres::of_m2(c.grind_area_m2),
                grind_l: Litres::of_m3(c.grind_m3),
            }),
            weight: t.weight.map(|w| Weight {
                density_kg_l: KgPerLitre::of_kg_m3(w.density_kg_m3),
                total_kg: Kilograms::of_kg(w.total_kg),
                mean_kg_m2: KgPerM2::of_kg_m2(w.mean_kg_m2),
                worst_kg_m2: KgPerM2::of_kg_m2(w.worst_kg_m2),
            }),
            bands: t.bands.iter().map(BandTakeOff::from).collect(),
            costs: t.costs.as_ref().map(Costs::from),
            notices: t.notices.iter().map(Notice::from).collect(),
            missing: t
                .missing
                .iter()
                .map(|m| Missing {
                    answer: m.answer.clone(),
                    key: m.key.clone(),
                    example: m.example.clone(),
                })
                .collect(),
        }
    }
}

impl From<&fill::Bags> for Bags {
    fn from(b: &fill::Bags) -> Self {
        Self {
            count: b.count,
            exact: Exact::of(b.exact),
            yield_l: Litres::of_m3(b.yield_m3),
            left_with_waste_l: Litres::of_m3(b.left_with_waste_m3),
            left_without_waste_l: Litres::of_m3(b.left_without_waste_m3),
            sensitivity: b
                .sensitivity
                .iter()
                .map(|s| Sensitivity {
                    what: s.what.clone(),
                    bags: s.bags,
                })
                .collect(),
        }
    }
}

impl From<&fill::Lifts> for Lifts {
    fn from(l: &fill::Lifts) -> Self {
        Self {
            limit_mm: Mm::of_m(l.limit_m),
            count: l.count,
            area_over_m2: SquareMetres::of_m2(l.area_over_m2),
            volumes_l: l.volumes_m3.iter().map(|&v| Litres::of_m3(v)).collect(),
            areas_m2: l.areas_m2.iter().map(|&v| SquareMetres::of_m2(v)).collect(),
            wait_min: l.wait_min.map(Minutes::of_min),
        }
    }
}

impl From<&fill::BandQuantity> for BandTakeOff {
    fn from(b: &fill::BandQuantity) -> Self {
        Self {
            from_mm: Mm::of_m(b.from_m),
            to_mm: b.to_m.map(Mm::of_m),
            area_m2: SquareMetres::of_m2(b.area_m2),
            volume_l: Litres::of_m3(b.volume_m3),
            base_l: Litres::of_m3(b.base_m3),
            extra_l: Litres::of_m3(b.extra_m3),
            bags: b.bags.map(Exact::of),
            extra_bags: b.extra_bags.map(Exact::of),
        }
    }
}

impl From<&fill::Costs> for Costs {
    fn from(c: &fill::Costs) -> Self {
        Self {
            currency: c.currency.clone(),
            lines: c
                .lines
                .iter()
                .map(|l| CostLine {
                    item: l.item.clone(),
                    quantity: Exact::of(l.quantity),
                    unit: l.unit.clone(),
                    unit_price: Money::of(l.unit_price),
                    amount: Money::of(l.amount),
                })
                .collect(),
            total: Money::of(c.total),
        }
    }
}
