//! Placements of an edge drawn at random over a room.

use super::result::Procedure;
use crate::geometry::{Point, Region, Segment, bounds};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use std::f64::consts::PI;

/// Draws for one placement before it is said that the edge finds no room: a room in which one of so many fits is a corridor of
/// less than an edge's width in which it can hardly be turned.
const MOST_TRIES: usize = 100_000;

/// Lengths nearer to each other than this are one edge's, metres.
const SAME_SPAN_M: f64 = 1e-3;

/// An edge as a person carries it about the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeUse {
    /// How it is used.
    pub procedure: Procedure,
    /// Its length, metres.
    pub span_m: f64,
}

impl EdgeUse {
    /// Whether it is the same edge used the same way.
    pub fn is(self, other: Self) -> bool {
        self.procedure == other.procedure && (self.span_m - other.span_m).abs() < SAME_SPAN_M
    }

    /// Draws of one edge hang on no other edge's: which checks are asked besides changes none of them.
    fn stream(self) -> u64 {
        let use_of = match self.procedure {
            Procedure::Balanced => 1,
            Procedure::HeldDown => 2,
            // An edge on its blocks shows both at one place.
            Procedure::EndBlocksHollow | Procedure::EndBlocksHump => 3,
            _ => 0,
        };
        (self.span_m * 1e4).round() as u64 * 4 + use_of
    }
}

/// The first `count` placements of an edge for a seed, as both their ends: uniform in place and in direction over all that leave
/// the whole edge on the floor. Empty where the edge finds no room.
///
/// # Units
/// Metres in plan.
/// # Method
/// The middle is drawn evenly over the room and the direction evenly over half a turn; what leaves the room or meets a void is
/// drawn again. So every placement that can be laid is as likely as any other, whichever point of the edge one goes by. Those of them
/// that cross no joint are for the same reason drawn evenly over all that do not.
pub fn drawn(region: &Region, edge: EdgeUse, seed: u32, count: usize) -> Vec<(Point, Point)> {
    let mut random = ChaCha8Rng::seed_from_u64(u64::from(seed));
    random.set_stream(edge.stream());
    let corners = region.outline.points().iter().copied();
    let Some((low, high)) = bounds(corners) else {
        return Vec::new();
    };
    let size = high - low;
    let sides: Vec<Segment> = region.sides().map(|(a, b)| Segment::new(a, b)).collect();
    let mut out = Vec::with_capacity(count);
    while out.len() < count {
        let found = (0..MOST_TRIES).find_map(|_| {
            let (x, y, turn) = (even(&mut random), even(&mut random), even(&mut random));
            let middle = low + Point::new(x * size.x, y * size.y);
            let (sin, cos) = (turn * PI).sin_cos();
            let half = Point::new(cos, sin) * (edge.span_m / 2.0);
            let laid = Segment::new(middle - half, middle + half);
            let free = |s: &Segment| !s.crosses(&laid);
            (region.contains(middle) && sides.iter().all(free)).then_some((laid.a, laid.b))
        });
        match found {
            Some(ends) => out.push(ends),
            // An edge that fits so seldom is not laid at random.
            None => return Vec::new(),
        }
    }
    out
}

/// A number evenly between 0 and 1, by the 53 bits that such a number holds: the same on every machine and with every release of
/// the packages.
fn even(random: &mut ChaCha8Rng) -> f64 {
    (random.next_u64() >> 11) as f64 / (1u64 << 53) as f64
}
