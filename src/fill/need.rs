//! Level or flat: the question that comes before any pour.

use super::result::Fill;
use crate::surface::Areas;
use crate::units::{
    Area, Habit, Length, Pen, Volume, area_text, bags_text, depth_text, part_of_area_text,
    volume_text,
};

/// What the owner wants of the floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Aim {
    /// Flat enough for the finish; it may slope.
    Flat,
    /// Horizontal.
    Level,
    /// Not said yet.
    #[default]
    NotSaid,
}

/// How the floor stands against its flatness checks, as counts of checks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FlatSummary {
    /// Checks the floor is within.
    pub within: u32,
    /// Checks it is out of.
    pub out: u32,
    /// Checks in doubt.
    pub in_doubt: u32,
    /// Checks not tested.
    pub not_tested: u32,
}

/// Whether a pour is needed, and for what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NeedForPour {
    /// For flatness: yes, no, or `None` when the readings cannot tell.
    pub for_flatness: Option<bool>,
    /// Whether the fill is a matter of level only.
    pub for_level_only: bool,
    /// In sentences, the question first when the aim is not said.
    pub words: Vec<String>,
    /// The same for those who neither order nor pay: without that question and without bags.
    pub outside: Vec<String>,
}

/// `1 flatness check`, `3 flatness checks`.
fn counted(checks: u32) -> String {
    let one = if checks == 1 { "" } else { "s" };
    format!("{checks} flatness check{one}")
}

/// How many checks came out which way: `2 flatness checks out, 1 within`.
fn told(flat: &FlatSummary) -> String {
    let counts = [
        (flat.out, "out"),
        (flat.in_doubt, "in doubt"),
        (flat.not_tested, "not tested"),
        (flat.within, "within"),
    ];
    let mut said: Vec<String> = Vec::new();
    for (count, word) in counts.into_iter().filter(|c| c.0 > 0) {
        said.push(if said.is_empty() {
            format!("{} {word}", counted(count))
        } else {
            format!("{count} {word}")
        });
    }
    said.join(", ")
}

/// What making the floor level takes.
#[derive(Debug, Clone, Copy)]
pub struct Levelling<'a> {
    /// Highest less lowest floor, metres.
    pub overall_deviation_m: f64,
    /// The fill up to a level finish.
    pub fill: &'a Fill,
    /// Whether the finish asked for is another one, which is not level.
    pub instead: bool,
    /// How much of the room is known.
    pub areas: &'a Areas,
    /// What it takes in bags, if known.
    pub bags: Option<u32>,
}

/// Says whether the floor needs a pour at all, before one is priced.
///
/// # Units, datum, sign
/// `habit`: units of the sentences.
/// # Method
/// Words only; the verdicts come from the flatness checks and are not recomputed here.
pub fn need_for_pour(
    aim: Aim,
    flat: FlatSummary,
    levelling: &Levelling<'_>,
    habit: Habit,
) -> NeedForPour {
    let tested = flat.within + flat.out + flat.in_doubt;
    let for_flatness = if flat.out > 0 {
        Some(true)
    } else if flat.within > 0 && flat.in_doubt == 0 && flat.not_tested == 0 {
        Some(false)
    } else {
        None
    };
    let mut words = Vec::new();
    if aim == Aim::NotSaid {
        words.push(
            "Flat or level? Most finishes ask for flat: close to a plane over a span, which may \
             slope. Level is another job at another price. Settle it before ordering."
                .to_owned(),
        );
    }
    words.push(match for_flatness {
        Some(false) => {
            "The floor is within its flatness checks: no pour is needed for flatness.".to_owned()
        }
        Some(true) => format!(
            "{}: the floor needs grinding, patching or a pour.",
            told(&flat)
        ),
        None if tested + flat.not_tested == 0 => {
            "The straight edge was not laid for this answer. Lay it before ordering: a floor that is \
             within its flatness checks needs no pour for flatness."
                .to_owned()
        }
        None if tested == 0 => {
            "No flatness check was tested in full: the readings cannot say whether a pour is needed for \
             flatness."
                .to_owned()
        }
        None => format!(
            "{}: the readings cannot rule out that the floor needs work for flatness.",
            told(&flat)
        ),
    });
    let levels = aim != Aim::Flat || for_flatness != Some(true);
    let outside = words
        .iter()
        .skip(usize::from(aim == Aim::NotSaid))
        .cloned()
        .chain(levels.then(|| what_it_takes(levelling, None, habit)))
        .collect();
    if levels {
        words.push(what_it_takes(levelling, levelling.bags, habit));
    }
    NeedForPour {
        for_flatness,
        for_level_only: for_flatness == Some(false),
        words,
        outside,
    }
}

/// What making the floor level takes, in a sentence.
fn what_it_takes(levelling: &Levelling<'_>, bags: Option<u32>, habit: Habit) -> String {
    let &Levelling {
        overall_deviation_m,
        fill,
        instead,
        areas,
        ..
    } = levelling;
    let volume = volume_text(Volume::from_si(fill.volume_m3), habit);
    let cost = match bags {
        Some(bags) => format!("{volume} of material, {}", bags_text(bags)),
        None => format!("{volume} of material"),
    };
    let known = Area::from_si(areas.surveyed_m2 + areas.extended_m2);
    let on = part_of_area_text(known, Area::from_si(areas.region_m2), habit)
        .map_or_else(String::new, |on| {
            format!(", on {on}: the rest was not surveyed")
        });
    let overall = Pen::new(habit).held(overall_deviation_m);
    let gauge = Pen::new(habit).gauge(fill.gauge_depth_m);
    // Nobody asked for a finish that was taken for want of one.
    let finish = match fill.gauge_from {
        _ if instead => {
            format!("A level finish instead of the tilted one, {gauge} over the high point,")
        }
        Some(_) => format!("The usual finish, {gauge} over the high point,"),
        None => "The finish asked for".to_owned(),
    };
    if fill.above_m3 > 0.0 {
        format!(
            "{finish} takes {cost}{on}; {} of floor stands above it and would have to be ground off first.",
            area_text(Area::from_si(fill.above_area_m2), habit)
        )
    } else if instead {
        format!("{finish} takes {cost}{on}.")
    } else if overall == depth_text(Length::from_m(0.0), habit) {
        format!("By its readings it is level. {finish} takes {cost}{on}.")
    } else {
        format!(
            "To make it level, {gauge} over the high point ({overall} from highest to lowest), takes {cost}{on}."
        )
    }
}
