//! Several rooms: each for itself, and their quantities in all.

use serde::Serialize;

use super::ResultFile;
use super::quantity::{Exact, Kilograms, Litres, Metres, Money, SquareMetres};
use crate::analysis;

/// Every room's answer.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Rooms {
    /// A room each.
    pub(super) rooms: Vec<ResultFile>,
    /// Their quantities in all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) together: Option<Together>,
}

/// Quantities of several rooms.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Together {
    /// Each room.
    rooms: Vec<RoomTakeOff>,
    /// All of them.
    total: RoomTakeOff,
    /// Whole bags room by room, added up; null where a room has none.
    bags_room_by_room: Option<u64>,
    /// Currency of the costs; empty where nothing is priced.
    currency: String,
    /// The number that every sheet of the run carries; in the file of all rooms only.
    #[serde(skip_serializing_if = "Option::is_none")]
    run: Option<String>,
}

/// What one room takes, or all; null where it is not known.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct RoomTakeOff {
    /// Its name; empty for the sum.
    room: String,
    /// Floor that was surveyed or carried out to the walls.
    area_m2: SquareMetres,
    /// Floor that gets material.
    wet_area_m2: SquareMetres,
    /// Material in place.
    volume_l: Litres,
    /// Of that, within the base depth.
    base_l: Option<Litres>,
    /// Of that, beyond it.
    extra_l: Option<Litres>,
    /// Bags with waste, before rounding.
    bags_exact: Option<Exact>,
    /// Whole bags; of the sum rounded up once over all rooms.
    bags: Option<u64>,
    /// Mixing water.
    water_l: Option<Litres>,
    /// Primer from the can.
    primer_l: Option<Litres>,
    /// Perimeter foam.
    foam_m: Option<Metres>,
    /// Dams.
    dams_m: Option<Metres>,
    /// Added weight.
    weight_kg: Option<Kilograms>,
    /// Cost of what has a price.
    cost: Option<Money>,
}

impl From<&analysis::RoomQuantities> for RoomTakeOff {
    fn from(r: &analysis::RoomQuantities) -> Self {
        Self {
            room: r.name.clone(),
            area_m2: SquareMetres::of_m2(r.area_m2),
            wet_area_m2: SquareMetres::of_m2(r.wet_area_m2),
            volume_l: Litres::of_m3(r.volume_m3),
            base_l: r.base_extra_m3.map(|b| Litres::of_m3(b.0)),
            extra_l: r.base_extra_m3.map(|b| Litres::of_m3(b.1)),
            bags_exact: r.bags_exact.map(Exact::of),
            bags: r.bags,
            water_l: r.water_m3.map(Litres::of_m3),
            primer_l: r.primer_m3.map(Litres::of_m3),
            foam_m: r.foam_m.map(Metres::of_m),
            dams_m: r.dams_m.map(Metres::of_m),
            weight_kg: r.weight_kg.map(Kilograms::of_kg),
            cost: r.cost.map(Money::of),
        }
    }
}

impl From<&analysis::Together> for Together {
    fn from(t: &analysis::Together) -> Self {
        Self {
            rooms: t.rooms.iter().map(RoomTakeOff::from).collect(),
            total: (&t.total).into(),
            bags_room_by_room: t.bags_room_by_room,
            currency: t.currency.clone(),
            run: None,
        }
    }
}

impl Together {
    /// The same with the number of its run.
    pub fn of_run(self, run: &str) -> Self {
        Self {
            run: Some(run.to_owned()),
            ..self
        }
    }
}
