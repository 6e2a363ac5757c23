//! Quantities of several rooms, each for itself and in all.

use super::analyse::Analysis;
use crate::fill::rounded_up;

/// What one room, or all of them, takes. Metres, square and cubic metres, kilograms. A value that some room lacks is
/// `None` in the sum: half a sum would pass for the whole.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomQuantities {
    /// The room's name; empty for the sum.
    pub name: String,
    /// Floor that was surveyed or carried out to the walls.
    pub area_m2: f64,
    /// The room: outline less voids.
    pub room_m2: f64,
    /// Floor that gets material.
    pub wet_area_m2: f64,
    /// Material in place.
    pub volume_m3: f64,
    /// Material within the base depth, and beyond it; `None` when no base depth is stated.
    pub base_extra_m3: Option<(f64, f64)>,
    /// Bags with waste, before rounding.
    pub bags_exact: Option<f64>,
    /// Whole bags. In the sum: rounded up once over all rooms.
    pub bags: Option<u64>,
    /// Mixing water.
    pub water_m3: Option<f64>,
    /// Primer from the can.
    pub primer_m3: Option<f64>,
    /// Perimeter foam.
    pub foam_m: Option<f64>,
    /// Dams.
    pub dams_m: Option<f64>,
    /// Added weight.
    pub weight_kg: Option<f64>,
    /// Cost of what has a price.
    pub cost: Option<f64>,
}

/// Several rooms.
#[derive(Debug, Clone, PartialEq)]
pub struct Together {
    /// Each room.
    pub rooms: Vec<RoomQuantities>,
    /// All of them.
    pub total: RoomQuantities,
    /// Whole bags room by room, added up: what is needed when every room is bought for itself.
    pub bags_room_by_room: Option<u64>,
    /// Currency of the costs.
    pub currency: String,
}

impl Together {
    /// Adds up the quantities of rooms that have been worked out.
    ///
    /// # Method
    /// Sums of the rooms' own figures; bags are rounded up once over all rooms, since what one room leaves over goes into the next.
    pub fn of(analyses: &[Analysis]) -> Self {
        let rooms: Vec<RoomQuantities> = analyses.iter().map(room).collect();
        let sum = |f: &dyn Fn(&RoomQuantities) -> f64| rooms.iter().map(f).sum::<f64>();
        let all =
            |f: &dyn Fn(&RoomQuantities) -> Option<f64>| rooms.iter().map(f).sum::<Option<f64>>();
        let bags_exact = all(&|r| r.bags_exact);
        let total = RoomQuantities {
            name: String::new(),
            area_m2: sum(&|r| r.area_m2),
            room_m2: sum(&|r| r.room_m2),
            wet_area_m2: sum(&|r| r.wet_area_m2),
            volume_m3: sum(&|r| r.volume_m3),
            base_extra_m3: all(&|r| r.base_extra_m3.map(|b| b.0))
                .zip(all(&|r| r.base_extra_m3.map(|b| b.1))),
            bags_exact,
            // Each room's count was believed for itself, so their sum is far from the end of the numbers.
            bags: bags_exact.map(|b| rounded_up(b) as u64),
            water_m3: all(&|r| r.water_m3),
            primer_m3: all(&|r| r.primer_m3),
            foam_m: all(&|r| r.foam_m),
            dams_m: all(&|r| r.dams_m),
            weight_kg: all(&|r| r.weight_kg),
            cost: all(&|r| r.cost),
        };
        let currency = analyses
            .iter()
            .find_map(|a| a.settings.prices.as_ref())
            .map_or_else(String::new, |p| p.currency.clone());
        Self {
            bags_room_by_room: rooms.iter().map(|r| r.bags).sum(),
            rooms,
            total,
            currency,
        }
    }
}

fn room(a: &Analysis) -> RoomQuantities {
    let areas = a.floor.areas();
    let fill = a.filling.as_ref().map(|f| &f.fill);
    let t = a.filling.as_ref().and_then(|f| f.take_off.as_ref());
    // A floor that takes no bags takes no water either; that is known, not missing.
    let dry = t
        .and_then(|t| t.bags.as_ref())
        .is_some_and(|b| b.count == 0);
    RoomQuantities {
        name: a.survey.name.clone(),
        area_m2: areas.surveyed_m2 + areas.extended_m2,
        room_m2: areas.region_m2,
        wet_area_m2: fill.map_or(0.0, |f| f.wet_area_m2),
        volume_m3: fill.map_or(0.0, |f| f.volume_m3),
        base_extra_m3: t.filter(|_| a.settings.base_depth_m.is_some()).map(|t| {
            (
                t.bands.iter().map(|b| b.base_m3).sum(),
                t.bands.iter().map(|b| b.extra_m3).sum(),
            )
        }),
        bags_exact: t.and_then(|t| t.bags.as_ref()).map(|b| b.exact),
        bags: t.and_then(|t| t.bags.as_ref()).map(|b| b.count.into()),
        water_m3: t
            .and_then(|t| t.water.as_ref())
            .map(|w| w.total_m3)
            .or(dry.then_some(0.0)),
        primer_m3: t.and_then(|t| t.primer.as_ref()).map(|p| p.neat_m3),
        foam_m: t.map(|t| t.perimeter.foam_m),
        dams_m: t.map(|t| t.dams.iter().map(|d| d.length_m).sum()),
        weight_kg: t.and_then(|t| t.weight.as_ref()).map(|w| w.total_kg),
        cost: t.and_then(|t| t.costs.as_ref()).map(|c| c.total),
    }
}
