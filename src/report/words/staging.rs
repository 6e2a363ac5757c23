//! What must stand ready, and what to go through before the first bag is opened.

use crate::fill::Material;
use crate::pour::{Staged, StagingItem};
use crate::report::Pen;
use crate::units::Habit;

/// An item, how much of it, and a word on it.
fn parts(pen: Pen, s: &StagingItem) -> (&'static str, String, String) {
    let n = s.count;
    let plain = n.to_string();
    match s.item {
        Staged::Bags { batches, most_bags } => (
            "Bags stacked at the mixing place",
            plain,
            format!("for {batches} batches of up to {most_bags}"),
        ),
        Staged::BagsOpened => (
            "Bags opened before the first batch",
            plain,
            "two rounds of every mixer at the most; open more as batches go out".to_owned(),
        ),
        Staged::Water { total_m3 } => (
            "Clean cool water",
            pen.water(total_m3),
            "for the batches alone; cleaning water comes on top".to_owned(),
        ),
        Staged::Buckets { each_m3 } => (
            "Water buckets measured and filled",
            plain,
            match each_m3 {
                Some(each) => format!("one a batch, {} each for a full batch", pen.water(each)),
                None => "one a batch; the material sheet does not state how much".to_owned(),
            },
        ),
        Staged::Barrels => (
            "Mixing barrels",
            plain,
            "one more than mixers: one is poured out while the next is filled".to_owned(),
        ),
        Staged::Drills => (
            "Mixer drills with paddle",
            plain,
            "one of them spare, tried before the start".to_owned(),
        ),
        Staged::People { mixing } => (
            "People",
            plain,
            if mixing < s.count {
                format!("{mixing} mixing, the others placing and carrying")
            } else {
                format!("too few: {mixing} mix, and one must place")
            },
        ),
        Staged::GaugeRake => (
            "Gauge rake",
            plain,
            "set to the gauge depth and checked with a rule".to_owned(),
        ),
        Staged::Smoother => (
            "Smoother and spiked roller",
            format!("{n} of each"),
            String::new(),
        ),
        Staged::SpikedShoes => ("Spiked shoes", format!("{n} pairs"), String::new()),
        Staged::DepthPins => (
            "Depth pins set to the finish",
            "at every mark".to_owned(),
            "numbered as the marks on the plan".to_owned(),
        ),
        Staged::Protection => (
            "Dust extraction, gloves, eye and breathing protection",
            format!("for {n} people"),
            String::new(),
        ),
    }
}

/// The item's name.
pub fn item(pen: Pen, s: &StagingItem) -> &'static str {
    parts(pen, s).0
}

/// How much of it, with what it is for: `4, two rounds of every mixer`.
pub fn amount(pen: Pen, s: &StagingItem) -> String {
    let (_, amount, note) = parts(pen, s);
    if note.is_empty() {
        amount
    } else {
        format!("{amount}, {note}")
    }
}

/// The whole line.
pub fn line(pen: Pen, s: &StagingItem) -> String {
    format!("{}: {}", item(pen, s), amount(pen, s))
}

/// What is ordered besides bags and water, as a line of the staging list.
pub fn ordered(label: &str, value: &str) -> String {
    format!("{label}: {value}")
}

/// What to go through before a pour. It defers to the material maker's sheet and to local codes.
pub fn checklist(pen: Pen, material: &Material) -> Vec<String> {
    let mut list: Vec<String> = [
        "Read the material maker's own sheet: where it differs from this plan, the sheet holds. Local codes come before both.",
        "Laser set up where it was; bench mark read again and written down.",
        "High point found again by hand; it is floor, not dirt or a nub.",
        "Substrate sound, clean, dry enough, at the profile the sheet asks for; moisture tested by the method the finish asks for (not part of this survey).",
        "High spots ground and the ground places read again; dust removed.",
        "Added weight checked by a competent person on any framed or suspended floor.",
        "Every hole, crack, sleeve and slab edge sealed; floor drains plugged and covered; nothing that must drain is levelled.",
        "Movement and expansion joints not covered: dam on both sides and carried through.",
        "Perimeter foam on walls, columns and pipes; dams at every opening and along every area that keeps its slope, tall enough for the depth there.",
        "Primer on, in the coats stated, and dry to the touch as its sheet says.",
        match pen.habit {
            Habit::Us => "Heat and ventilation: no draft, no direct sun, heated floors off.",
            Habit::Metric => "Heat and ventilation: no draught, no direct sun, heated floors off.",
        },
        "Depth pins at the marks, checked against the line; rake set.",
        "Bags counted, same lot, within date; water measured, never by eye.",
        "First batch: flow tried against the sheet before it goes on the floor.",
        "Power for all mixers at once tried; spare drill tried.",
        "Everyone knows the order, the way out and who stops the pour.",
    ]
    .map(str::to_owned)
    .into();
    list.push(temperatures(
        pen.habit,
        (material.min_temperature_c, material.max_temperature_c),
    ));
    if let Some(flow) = &material.flow {
        list.push(format!("Flow as the sheet states: {flow}."));
    }
    list
}

fn temperatures(habit: Habit, (low_c, high_c): (Option<f64>, Option<f64>)) -> String {
    let degrees = |c: f64| {
        let (celsius, fahrenheit) = (
            format!("{c:.0} °C"),
            format!("{:.0} °F", c * 9.0 / 5.0 + 32.0),
        );
        match habit {
            Habit::Us => format!("{fahrenheit} ({celsius})"),
            Habit::Metric => format!("{celsius} ({fahrenheit})"),
        }
    };
    match (low_c, high_c) {
        (Some(low), Some(high)) => format!(
            "Floor, air, powder and water between {} and {}.",
            degrees(low),
            degrees(high)
        ),
        (Some(low), None) => {
            format!("Floor, air, powder and water at {} or more.", degrees(low))
        }
        (None, Some(high)) => {
            format!("Floor, air, powder and water at {} or less.", degrees(high))
        }
        (None, None) => "Temperature limits are not stated on the sheet given here: look them up before the pour.".to_owned(),
    }
}
