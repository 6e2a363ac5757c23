//! What to order: bags, batches, water, primer, foam, dams, weight, and what it costs.

use super::amount::PSF_KG_M2;
use super::cautions::{Found, findings};
use super::lines::{Dam, Perimeter, dams, perimeter};
use super::material::{Material, MissingValue, TooManyBags, whole_bags};
use super::price::{BAGS, CostLine, Costs, DAMS, Prices};
use super::prism::positive_part;
use super::quantities::{
    Bags, BandQuantity, Batches, Lifts, PrimerNeed, Sensitivity, TakeOff, TakeOffError,
    TakeOffRequest, ThinCover, Water, Weight,
};
use super::result::Fill;
use super::sum::Sum;
use super::volume::{bands, cut_at, depths};
use crate::surface::Floor;
use crate::survey::Room;
use crate::units::{Habit, Length, Volume, inches_text, liquid_to_bring, mm_text};

/// A cover that falls short of the least by no more than this does not: rounding, metres.
const SHORT_M: f64 = 1e-5;
/// Most lifts that are listed.
const MOST_LIFTS: usize = 50;

fn ask<T>(missing: &mut Vec<MissingValue>, value: Result<T, MissingValue>) -> Option<T> {
    match value {
        Ok(value) => Some(value),
        Err(lack) => {
            if !missing.contains(&lack) {
                missing.push(lack);
            }
            None
        }
    }
}

/// Everything to order and to stage for one floor under one finish.
///
/// # Units, datum, sign
/// Metres, square and cubic metres, kilograms, minutes; the fill's own datum.
/// # Method
/// docs/methods.md, Fill. Bags are `volume (1 + waste) / yield`, rounded up once, at the end.
/// # Missing values
/// What the material sheet does not state is never assumed: the answer is `None` and `missing`
/// names the key.
/// # Errors
/// A waste or a length that cannot be; more bags than any order holds.
pub fn take_off(
    floor: &Floor,
    fill: &Fill,
    room: Option<&Room>,
    material: &Material,
    request: &TakeOffRequest,
) -> Result<TakeOff, TakeOffError> {
    if !(0.0..=1.0).contains(&request.waste) {
        return Err(TakeOffError::Waste {
            found: request.waste,
        });
    }
    let lengths = [
        ("sensitivity step", Some(request.step_m)),
        ("base depth", request.base_depth_m),
        ("least cover", request.least_cover_m),
        ("dam pitch", Some(request.pitch_m)),
    ];
    for (what, length) in lengths {
        if let Some(found_m) = length.filter(|l| !(l.is_finite() && *l >= 0.0)) {
            return Err(TakeOffError::Length { what, found_m });
        }
    }
    let mut missing = Vec::new();
    let with_waste = 1.0 + request.waste;
    let bags = ask(&mut missing, material.need_yield("bags"))
        .map(|y| bags(floor, fill, request, y))
        .transpose()?;
    let batches = bags.as_ref().and_then(|b| {
        let per = ask(&mut missing, material.need_bags_per_batch("batches"))?;
        Some(batches(b.count, per))
    });
    let water = batches.and_then(|b| water(b, material, &mut missing));
    let primer = primer(fill.wet_area_m2, material, &mut missing);
    let perimeter = perimeter(floor, &fill.plane, room);
    let dams = room.map_or_else(Vec::new, |r| {
        let mut list = dams(floor, &fill.plane, r, request.pitch_m);
        list.retain(|d| d.highest_m > 0.0);
        list
    });
    let weight = ask(&mut missing, material.need_density("added weight"))
        .map(|density| weight(fill, density));
    let lifts = lifts(floor, fill, material, &mut missing);
    let thin = thin(floor, fill, material, request, &mut missing);
    let found = Found {
        weight,
        lifts: lifts.as_ref(),
        thin,
        perimeter: &perimeter,
    };
    let notices = findings(fill, room, request, &found);
    let bands = band_quantities(floor, fill, request, material.yield_m3);
    let costs = request.prices.as_ref().map(|p| {
        costs(
            (p, request.habit),
            fill,
            bags.as_ref(),
            primer.as_ref(),
            (&perimeter, &dams),
        )
    });
    Ok(TakeOff {
        material: material.name.clone(),
        as_of: request.as_of.clone(),
        volume_m3: fill.volume_m3,
        waste: request.waste,
        ordered_m3: fill.volume_m3 * with_waste,
        bags,
        batches,
        water,
        primer,
        perimeter,
        dams,
        lifts,
        thin,
        weight,
        bands,
        costs,
        notices,
        missing,
    })
}

/// Water of all batches; `None` where there are none, or the sheet does not state it.
fn water(b: Batches, material: &Material, missing: &mut Vec<MissingValue>) -> Option<Water> {
    if b.count == 0 {
        return None;
    }
    let last = ask(
        missing,
        material.need_water(b.last_bags.unwrap_or(b.bags_per_batch), "water"),
    );
    let full = if b.count > 1 {
        ask(missing, material.need_water(b.bags_per_batch, "water"))
    } else {
        last
    };
    let (full, last) = (full?, last?);
    Some(Water {
        total_m3: full * f64::from(b.count - 1) + last,
        per_batch_m3: full,
        last_batch_m3: last,
    })
}

fn bags(
    floor: &Floor,
    fill: &Fill,
    request: &TakeOffRequest,
    yield_m3: f64,
) -> Result<Bags, TooManyBags> {
    let count = |volume: f64, waste: f64, y: f64| whole_bags(volume * (1.0 + waste) / y);
    let (w, v) = (request.waste, fill.volume_m3);
    let n = count(v, w, yield_m3)?;
    let moved = |lower: f64| cut_at(floor, &fill.plane, lower).1;
    let step = request.step_m;
    // In the unit that the step itself is whole in.
    let sixty_fourths = Length::from_m(step).inches() * 64.0;
    let moved_by = if (sixty_fourths - sixty_fourths.round()).abs() < 1e-6 {
        inches_text(Length::from_m(step), 64)
    } else {
        mm_text(Length::from_m(step), 1)
    };
    let mut sensitivity = vec![
        Sensitivity {
            what: format!("finish {moved_by} higher"),
            bags: count(moved(-step), w, yield_m3)?,
        },
        Sensitivity {
            what: format!("finish {moved_by} lower"),
            bags: count(moved(step), w, yield_m3)?,
        },
        Sensitivity {
            what: "nothing wasted".to_owned(),
            bags: count(v, 0.0, yield_m3)?,
        },
        Sensitivity {
            what: "twice the waste".to_owned(),
            bags: count(v, 2.0 * w, yield_m3)?,
        },
        Sensitivity {
            what: "bags give 10 % less than stated".to_owned(),
            bags: count(v, w, 0.9 * yield_m3)?,
        },
    ];
    if fill.diagonal_spread_m3 > 0.0 {
        sensitivity.push(Sensitivity {
            what: "grid squares folded the way that takes most".to_owned(),
            bags: count(fill.most_volume_m3, w, yield_m3)?,
        });
    }
    Ok(Bags {
        yield_m3,
        exact: v * (1.0 + w) / yield_m3,
        count: n,
        left_with_waste_m3: (f64::from(n) * yield_m3 - v * (1.0 + w)).max(0.0),
        left_without_waste_m3: (f64::from(n) * yield_m3 - v).max(0.0),
        sensitivity,
    })
}

fn batches(bags: u32, per: u32) -> Batches {
    let rest = bags % per;
    Batches {
        bags_per_batch: per,
        count: bags.div_ceil(per),
        last_bags: Some(if rest == 0 { per.min(bags) } else { rest }),
    }
}

fn primer(
    area_m2: f64,
    material: &Material,
    missing: &mut Vec<MissingValue>,
) -> Option<PrimerNeed> {
    let p = material.primer.as_ref()?;
    let spread = ask(
        missing,
        p.spread_m2_per_m3.ok_or_else(|| {
            MissingValue::new("primer", "primer.coverage", "coverage = \"260 sq ft/gal\"")
        }),
    );
    let coats = ask(
        missing,
        p.coats
            .ok_or_else(|| MissingValue::new("primer", "primer.coats", "coats = 1")),
    );
    let (spread, coats) = (spread?, coats?);
    let per_coat = area_m2 / spread;
    // One thinning holds for all coats; a list goes coat by coat, its last for the rest.
    let neat = (0..coats as usize)
        .map(|i| {
            let water = p.thinning.get(i).or(p.thinning.last()).copied();
            per_coat / (1.0 + water.unwrap_or(0.0))
        })
        .sum();
    Some(PrimerNeed {
        area_m2,
        coats,
        spread_m3: per_coat * f64::from(coats),
        neat_m3: neat,
        drying_min: p.drying_min.map(|d| d * f64::from(coats)),
    })
}

/// Weight of a fill of given density.
pub fn weight(fill: &Fill, density_kg_m3: f64) -> Weight {
    let mean = density_kg_m3 * fill.mean_depth_m;
    let worst = density_kg_m3 * fill.deepest_m.max(0.0);
    Weight {
        density_kg_m3,
        total_kg: density_kg_m3 * fill.volume_m3,
        mean_kg_m2: mean,
        worst_kg_m2: worst,
        mean_psf: mean / PSF_KG_M2,
        worst_psf: worst / PSF_KG_M2,
    }
}

/// A depth is known no better than to this, metres: half a millimetre more than a lift may be is no reason for another.
const HALF_A_STEP_M: f64 = 0.000_5;

/// Lifts that a depth takes, none deeper than a limit: one at the least.
pub fn lifts_for(deepest_m: f64, limit_m: f64) -> u32 {
    let count = ((deepest_m - HALF_A_STEP_M) / limit_m - 1e-9).ceil();
    count.clamp(1.0, f64::from(u32::MAX)) as u32
}

fn lifts(
    floor: &Floor,
    fill: &Fill,
    material: &Material,
    missing: &mut Vec<MissingValue>,
) -> Option<Lifts> {
    let limit = ask(
        missing,
        material
            .max_lift_m
            .ok_or_else(|| MissingValue::new("lifts", "max_lift", "max_lift = \"1 1/2 in\"")),
    )?;
    let count = lifts_for(fill.deepest_m, limit);
    if count <= 1 {
        return None;
    }
    let listed = (count as usize).min(MOST_LIFTS);
    // What lies under the finish lowered by whole lifts; a lift is the difference of two.
    let under: Vec<(f64, f64)> = (0..=listed)
        .map(|k| {
            // The lowest takes all that is left.
            if k == count as usize {
                (0.0, 0.0)
            } else {
                cut_at(floor, &fill.plane, k as f64 * limit)
            }
        })
        .collect();
    let mut volumes: Vec<f64> = under
        .windows(2)
        .map(|w| (w[0].1 - w[1].1).max(0.0))
        .collect();
    let mut areas: Vec<f64> = under[..listed].iter().map(|u| u.0).collect();
    volumes.reverse();
    areas.reverse();
    Some(Lifts {
        limit_m: limit,
        count,
        area_over_m2: under[1].0,
        volumes_m3: volumes,
        areas_m2: areas,
        wait_min: material.next_lift_after_min,
    })
}

/// Where the cover is thinner than it may be: exact between the marks too, since depth is linear on every triangle.
fn thin(
    floor: &Floor,
    fill: &Fill,
    material: &Material,
    request: &TakeOffRequest,
    missing: &mut Vec<MissingValue>,
) -> Option<ThinCover> {
    let sheet = if material.feather_edge == Some(true) {
        None
    } else {
        ask(
            missing,
            material.min_depth_m.ok_or_else(|| {
                MissingValue::new("minimum cover", "min_depth", "min_depth = \"1/8 in\"")
            }),
        )
    };
    let limit = sheet
        .into_iter()
        .chain(request.least_cover_m)
        .reduce(f64::max)?;
    // Over a level finish the high point tells of all read floor; what stands over it was carried out from readings, and is known no
    // better than to half a step.
    let carried_only = fill.plane.is_level() && fill.gauge_depth_m >= limit - SHORT_M;
    let least_told = if carried_only {
        request.step_m / 2.0
    } else {
        SHORT_M
    };
    if fill.least_m >= limit - least_told {
        return None;
    }
    let (deep_enough, _) = cut_at(floor, &fill.plane, limit);
    let (mut area, mut away) = (Sum::default(), Sum::default());
    for t in 0..floor.triangles().len() as u32 {
        let over = depths(floor, t, &fill.plane).map(|d| limit - d);
        let cut = positive_part(floor.triangle_area(t), over);
        area.add(cut.area_m2);
        away.add(cut.volume_m3);
    }
    Some(ThinCover {
        limit_m: limit,
        area_m2: (fill.wet_area_m2 - deep_enough).max(0.0),
        grind_area_m2: area.value(),
        grind_m3: away.value(),
        least_m: fill.least_m,
    })
}

fn band_quantities(
    floor: &Floor,
    fill: &Fill,
    request: &TakeOffRequest,
    yield_m3: Option<f64>,
) -> Vec<BandQuantity> {
    // The base depth is made an edge of its own, so that every band lies on one side of it.
    let mut edges: Vec<f64> = fill.bands.iter().filter_map(|b| b.to_m).collect();
    edges.extend(request.base_depth_m.filter(|b| *b > 0.0));
    edges.sort_by(f64::total_cmp);
    edges.dedup();
    bands(floor, &fill.plane, &edges)
        .into_iter()
        .map(|b| {
            let base = match request.base_depth_m {
                None => b.volume_m3,
                Some(depth) if depth <= b.from_m => depth * b.area_m2,
                Some(_) => b.volume_m3,
            };
            let extra = (b.volume_m3 - base).max(0.0);
            let bags = |v: f64| yield_m3.map(|y| v * (1.0 + request.waste) / y);
            BandQuantity {
                from_m: b.from_m,
                to_m: b.to_m,
                area_m2: b.area_m2,
                volume_m3: b.volume_m3,
                base_m3: base,
                extra_m3: extra,
                bags: bags(b.volume_m3),
                extra_bags: bags(extra),
            }
        })
        .collect()
}

/// Floor that stands above a finish by less than this in all is rounding, cubic metres.
const LEAST_GROUND_M3: f64 = 1e-9;

fn costs(
    (prices, habit): (&Prices, Habit),
    fill: &Fill,
    bags: Option<&Bags>,
    primer: Option<&PrimerNeed>,
    (perimeter, dams): (&Perimeter, &[Dam]),
) -> Costs {
    // What is brought is paid.
    let brought_l = |m3: f64| liquid_to_bring(Volume::from_si(m3), habit).si() * 1000.0;
    let dam_m: f64 = dams.iter().map(|d| d.length_m).sum();
    let stands = fill.above_m3 > LEAST_GROUND_M3;
    let lines = [
        (
            BAGS,
            bags.map(|b| f64::from(b.count)),
            "bag",
            prices.per_bag,
        ),
        (
            "primer",
            primer.map(|p| brought_l(p.neat_m3)),
            "l",
            prices.per_primer_l,
        ),
        (
            "perimeter foam",
            Some(perimeter.foam_m),
            "m",
            prices.per_foam_m,
        ),
        (DAMS, Some(dam_m), "m", prices.per_dam_m),
        // What stands above the finish has to go before it is one.
        (
            "grinding, by area",
            stands.then_some(fill.above_area_m2),
            "m2",
            prices.per_grind_m2,
        ),
        (
            "grinding, by volume",
            stands.then_some(fill.above_m3),
            "m3",
            prices.per_grind_l.map(|l| l * 1000.0),
        ),
    ]
    .into_iter()
    .filter_map(|(item, quantity, unit, price)| Some(CostLine::new(item, quantity?, unit, price?)))
    .collect();
    Costs::of(prices, lines)
}
