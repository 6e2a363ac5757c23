//! Which way the floor is poured, and what mends a wait that is too long.

use super::clock::Pace;
use super::judge::{better, too_narrow};
use super::layout::{Layout, Need, Speed, bays_of_each, fitting_bays, in_bays, one_bay, score};
use super::piece::Piece;
use super::pieces::{self, Section, Sweep};
use super::result::{Order, OrderScore, PourError, PourRequest, Remedy};
use crate::fill::Plane;
use crate::geometry::Point;
use crate::surface::Floor;

/// What is asked of the layout; `None` leaves it to the plan.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked {
    pub order: Option<Order>,
    pub bays: Option<u32>,
}

/// Both orders of one floor, and what bays are made from. How fast the crew is does not enter here.
pub(super) struct Choices {
    orders: [Layout; 2],
    wet: Vec<Vec<Piece>>,
    sweep: Sweep,
    need: Need,
    least_width_m: f64,
}

/// One way of pouring, and how it does.
pub(super) struct Chosen {
    /// 0 for the harmonic order, 1 for strips.
    pub which: usize,
    /// The floor in bays, where it is divided.
    pub bays: Option<Layout>,
    /// How each order does undivided.
    pub scores: [OrderScore; 2],
    /// How this way does.
    pub score: OrderScore,
}

impl Choices {
    pub fn new(
        floor: &Floor,
        plane: &Plane,
        (sections, wet): (&[Section], Vec<Vec<Piece>>),
        (start, exit): (Point, Point),
        (request, need): (&PourRequest, Need),
    ) -> Result<Self, PourError> {
        let joints = request.stop_at_joints;
        let ordered = pieces::harmonic(floor, plane, sections, joints, (start, exit));
        let sweep = pieces::sweep(floor, exit, request.strip_width_m);
        let undivided = vec![1; wet.len()];
        Ok(Self {
            orders: [
                one_bay(Order::Harmonic, ordered, &need)?,
                in_bays(&wet, &sweep, &undivided, &need)?,
            ],
            wet,
            sweep,
            need,
            least_width_m: request.least_width_m,
        })
    }

    /// The way that a crew of this speed pours the floor.
    ///
    /// The better order goes before; where its wait is too long or its batches too narrow, and nothing else is asked
    /// for, the floor is divided into as few bays as keep the open time.
    pub fn arrange(&self, asked: Asked, speed: Speed) -> Result<Chosen, PourError> {
        let of = |layout: &Layout| score(layout, speed.pace, speed.open_min);
        let scores = [of(&self.orders[0]), of(&self.orders[1])];
        let which = match asked.order {
            Some(Order::Harmonic) => 0,
            Some(Order::Strips) => 1,
            None => usize::from(better(&scores[1], &scores[0], self.least_width_m)),
        };
        let undivided = scores[which];
        let will_not_do = undivided.within_open_time == Some(false)
            || (asked.order.is_none() && too_narrow(&undivided, self.least_width_m));
        let bays = match asked.bays {
            Some(bays) => {
                let counts = bays_of_each(&self.wet, bays, &self.need)?;
                Some(in_bays(&self.wet, &self.sweep, &counts, &self.need)?)
            }
            None if will_not_do && asked.order != Some(Order::Harmonic) => {
                fitting_bays(&self.wet, &self.sweep, &self.need, speed)?
            }
            None => None,
        };
        let bays = bays.filter(|b| b.dams_m.len() > 1);
        Ok(Chosen {
            which,
            score: bays.as_ref().map_or(undivided, of),
            bays,
            scores,
        })
    }

    /// The layout that was chosen.
    pub fn layout(self, chosen: Chosen) -> Layout {
        let [harmonic, strips] = self.orders;
        match (chosen.bays, chosen.which) {
            (Some(bays), _) => bays,
            (None, 0) => harmonic,
            (None, _) => strips,
        }
    }
}

/// What brings every wait within the open time: the pour is planned with each, and what does not do is not offered.
///
/// Tried, the simplest first: mixing while one batch is placed; the fewest mixers; bays, or the other order, where
/// the crew asked for something else. More mixers than keep one crew placing without a pause cannot help.
pub(super) fn remedies(
    choices: &Choices,
    asked: Asked,
    speed: Speed,
) -> Result<Vec<Remedy>, PourError> {
    let pace = speed.pace;
    let mut list = Vec::new();
    let enough = |chosen: &Chosen| chosen.score.within_open_time == Some(true);
    let remedy = |how: String, chosen: &Chosen| {
        let dams: &[f64] = chosen.bays.as_ref().map_or(&[], |b| &b.dams_m);
        let bays = match dams.len() {
            0 => String::new(),
            n => format!(" Pour in {n} bays with a dam where one meets the next."),
        };
        Remedy {
            text: format!("{how}{bays}").trim_start().to_owned(),
            longest_wait_min: chosen.score.longest_wait_min,
            dam_m: dams.iter().sum(),
        }
    };
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
        let faster = Speed {
            pace: Pace {
                mixers,
                overlapped: true,
                ..pace
            },
            ..speed
        };
        let chosen = choices.arrange(asked, faster)?;
        if enough(&chosen) {
            let how = if mixers == pace.mixers {
                "Mix the next batch while one is placed.".to_owned()
            } else {
                format!("Run {mixers} mixers, mixing while one batch is placed.")
            };
            list.push(remedy(how, &chosen));
            break;
        }
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
            let how = match (&chosen.bays, chosen.which) {
                (Some(_), _) => "",
                (None, 0) => "Pour by level lines from the start to the door.",
                (None, _) => "Pour in strips from the far wall to the door.",
            };
            list.push(remedy(how.to_owned(), &chosen));
            break;
        }
    }
    Ok(list)
}

/// Most mixers that are tried.
const MOST_MIXERS: u32 = 20;
