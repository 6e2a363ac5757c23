//! What must stand ready, and what to go through before the first bag is opened.

use super::result::{Batch, PourRequest, StagingItem};

/// The staging list.
///
/// Counts of tools are common practice without a published source; each line says what it is for.
pub(super) fn list(
    request: &PourRequest,
    batches: &[Batch],
    bags: u32,
    water_m3: Option<f64>,
) -> Vec<StagingItem> {
    let item = |item: &str, count: f64, unit: &str, note: String| StagingItem {
        item: item.to_owned(),
        count,
        unit: unit.to_owned(),
        note,
    };
    let largest = batches.iter().map(|b| b.bags).max().unwrap_or(0);
    let ahead = (2 * request.mixers).min(batches.len() as u32);
    let mut list = vec![
        item(
            "bags stacked at the mixing place",
            f64::from(bags),
            "bags",
            format!("{} batches of up to {largest}", batches.len()),
        ),
        item(
            "bags opened before the first batch",
            f64::from((ahead * largest).min(bags)),
            "bags",
            "two rounds of every mixer; open more as batches go out".to_owned(),
        ),
    ];
    if let Some(water) = water_m3 {
        list.push(item(
            "clean cool water",
            water,
            "m3",
            "for the batches alone; cleaning water comes on top".to_owned(),
        ));
    }
    list.push(item(
        "water buckets measured and filled",
        f64::from(ahead),
        "buckets",
        match batches.first().and_then(|b| b.water_m3) {
            Some(water) => format!("one a batch, {:.2} l each for a full batch", water * 1000.0),
            None => "one a batch; the material sheet does not state how much".to_owned(),
        },
    ));
    list.extend([
        item(
            "mixing barrels",
            f64::from(request.mixers + 1),
            "pieces",
            "one more than mixers: one is poured out while the next is filled".to_owned(),
        ),
        item(
            "mixer drills with paddle",
            f64::from(request.mixers + 1),
            "pieces",
            "one of them spare, tried before the start".to_owned(),
        ),
        item(
            "people",
            f64::from(request.people),
            "people",
            format!("{} mixing, the others placing and carrying", request.mixers),
        ),
        item(
            "gauge rake, set and checked",
            1.0,
            "pieces",
            "set to the gauge depth".to_owned(),
        ),
        item("smoother and spiked roller", 1.0, "sets", String::new()),
        item(
            "spiked shoes",
            f64::from(request.people),
            "pairs",
            String::new(),
        ),
        item(
            "depth pins set to the finish",
            0.0,
            "at every mark",
            "number them as the marks on the plan".to_owned(),
        ),
        item(
            "dust extraction, gloves, eye and breathing protection",
            f64::from(request.people),
            "sets",
            String::new(),
        ),
    ]);
    list
}

/// The checklist before a pour. It defers to the material maker's sheet and to local codes.
pub(super) fn checklist(request: &PourRequest) -> Vec<String> {
    let m = &request.material;
    let mut list: Vec<String> = [
        "Read the material maker's own sheet: where it differs from this plan, the sheet holds. \
         Local codes come before both.",
        "Substrate sound, clean, dry enough, at the profile the sheet asks for; moisture tested \
         by the method the finish asks for (not part of this survey).",
        "High spots ground and the ground places read again; dust removed.",
        "Cutting, grinding and bag emptying raise silica dust: 29 CFR 1926.1153 or your local \
         rule (wet, or shrouded with extraction; breathing protection as its table says).",
        "Fresh cement-based mixes are caustic: gloves, eye protection, water to rinse at hand.",
        "Added weight checked by a competent person on any framed or suspended floor.",
        "Every hole, sleeve and slab edge sealed; floor drains closed off and marked; nothing \
         that must drain is levelled.",
        "Movement and expansion joints not covered: dam on both sides and carried through.",
        "Perimeter foam on walls, columns and pipes; dams at every opening and along every area \
         that keeps its slope, tall enough for the depth there.",
        "Primer on, in the coats stated, and dry to the touch as its sheet says.",
        "Heat and ventilation: no draught, no direct sun, heated floors off.",
        "Depth pins at the marks, checked against the line; rake set.",
        "Bags counted, same lot, within date; water measured, never by eye.",
        "First batch: flow tried against the sheet before it goes on the floor.",
        "Power for all mixers at once tried; spare drill tried.",
        "Way out kept: the last batch ends at the door.",
    ]
    .map(str::to_owned)
    .into();
    let degrees = |c: f64| format!("{c:.0} °C ({:.0} °F)", c * 9.0 / 5.0 + 32.0);
    match (m.min_temperature_c, m.max_temperature_c) {
        (Some(lo), Some(hi)) => list.push(format!(
            "Floor, air, powder and water between {} and {}.",
            degrees(lo),
            degrees(hi)
        )),
        (Some(lo), None) => list.push(format!(
            "Floor, air, powder and water at {} or more.",
            degrees(lo)
        )),
        (None, Some(hi)) => list.push(format!(
            "Floor, air, powder and water at {} or less.",
            degrees(hi)
        )),
        (None, None) => list.push(
            "Temperature limits are not stated on the sheet given here: look them up before the \
             pour."
                .to_owned(),
        ),
    }
    if let Some(flow) = &m.flow {
        list.push(format!("Flow as the sheet states: {flow}."));
    }
    list
}
