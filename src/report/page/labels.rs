//! Numbers and names on the page's map, where they have room.

use super::input::PageInput;
use super::view::{View, centred};
use crate::drawing::MarkUnit;
use crate::geometry::Point;
use std::collections::HashMap;
use std::fmt::Write;

/// Largest and smallest number at a mark, picture units.
const LABEL: (f64, f64) = (34.0, 15.0);

/// Paper on either side of a number, as a share of its size, so that it does not run into the next.
const APART: f64 = 0.12;

/// Numbers at the marks, as many as have room; high and low first. Returns whether some had none.
pub(super) fn numbers(
    out: &mut String,
    input: &PageInput,
    view: &View,
    unit: MarkUnit,
    depth_at: &dyn Fn(Point, f64) -> f64,
    taken: &mut Taken,
) -> bool {
    let spacing = input.floor.spacing() * view.k;
    let size = (spacing * 0.46).clamp(LABEL.1, LABEL.0);
    let (high, low) = (view.at(input.high.at), view.at(input.low.at));
    let mut fewer = false;
    let mut order: Vec<usize> = (0..input.marks.len()).collect();
    // Extremes carry their number whatever else fits.
    order.sort_by_key(|&i| {
        let at = input.marks[i].at;
        at != input.high.at && at != input.low.at
    });
    out.push_str("<g class=\"numbers\">");
    for i in order {
        let mark = &input.marks[i];
        let words = unit.number(depth_at(mark.at, mark.elevation_m));
        let (x, y) = view.at(mark.at);
        let half = (words.chars().count() as f64 * size * 0.31, size * 0.5);
        // The cross of the high point stands free; its number stands below it.
        let y = if mark.at == input.high.at {
            y + size * 1.08
        } else {
            y
        };
        let (x, y) = off_the_walls(input, view, mark.at, (x, y), half);
        // Room is taken where the number stands in the end: two that meet would read as one number.
        if !taken.take(x, y, (half.0 + size * APART, half.1)) {
            fewer = true;
            continue;
        }
        centred(out, "", (x, y), size, &words);
    }
    out.push_str("</g>");
    let r = size * 0.72;
    let (hx, hy) = (high.0, high.1);
    let _ = write!(
        out,
        "<g class=\"extremes\"><path d=\"M{:.1} {:.1}L{:.1} {:.1}M{:.1} {:.1}L{:.1} {:.1}\"/>\
         <circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"{:.1}\"/></g>",
        hx - r,
        hy - r,
        hx + r,
        hy + r,
        hx - r,
        hy + r,
        hx + r,
        hy - r,
        low.0,
        low.1,
        size * 0.95
    );
    fewer
}

/// A number's place moved inward where the wall's line would run through it.
fn off_the_walls(
    input: &PageInput,
    view: &View,
    at: Point,
    (mut x, mut y): (f64, f64),
    half: (f64, f64),
) -> (f64, f64) {
    /// Half the wall's line and a little paper.
    const CLEAR: f64 = 5.0;
    for (a, b) in input.floor.region().sides() {
        let d = b - a;
        let long = d.norm();
        if long == 0.0 {
            continue;
        }
        let along = (at - a).dot(d) / long;
        if along < 0.0 || along > long {
            continue;
        }
        // The side's own left, from it to the mark: whichever side the mark is on, the number goes there.
        let off = d.cross(at - a) / long;
        let (nx, ny) = (-d.y / long * off.signum(), d.x / long * off.signum());
        let need = half.0 * nx.abs() + half.1 * ny.abs() + CLEAR;
        let lacks = need - off.abs() * view.k;
        if lacks > 0.0 {
            x += nx * lacks;
            y -= ny * lacks;
        }
    }
    (x, y)
}

/// Names of voids and fixtures, where a number does not stand; a name without room is left to the sign.
pub(super) fn names(out: &mut String, input: &PageInput, view: &View, taken: &mut Taken) {
    const SIZE: f64 = 22.0;
    let Some(room) = input.room else {
        return;
    };
    let rings = room.voids.iter().chain(&room.slopes).map(|v| {
        let (low, high) = v.ring.points().iter().fold(
            (
                Point::new(f64::INFINITY, f64::INFINITY),
                Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
            ),
            |(l, h), p| {
                (
                    Point::new(l.x.min(p.x), l.y.min(p.y)),
                    Point::new(h.x.max(p.x), h.y.max(p.y)),
                )
            },
        );
        (
            v.name.as_str(),
            low.lerp(high, 0.5),
            (high - low) * (view.k / 2.0),
        )
    });
    let fixtures = room
        .fixtures
        .iter()
        .map(|f| (f.name.as_str(), f.at, Point::new(8.0, 8.0)));
    for (name, at, reach) in rings.chain(fixtures) {
        let (x, y) = view.at(at);
        let half = (name.chars().count() as f64 * SIZE * 0.3, SIZE * 0.5);
        let inside = half.0 < reach.x && half.1 < reach.y;
        let (aside, off) = (reach.x + half.0 + 6.0, reach.y + half.1 + 4.0);
        let spots = [(0.0, off), (0.0, -off), (aside, 0.0), (-aside, 0.0)];
        let spot = std::iter::once((0.0, 0.0))
            .filter(|_| inside)
            .chain(spots)
            .map(|(dx, dy)| (x + dx, y + dy))
            .find(|&(x, y)| taken.take(x, y, half));
        if let Some((x, y)) = spot {
            centred(out, "name", (x, y), SIZE, name);
        }
    }
}

/// Middle, half width and half height of a box.
type TakenBox = (f64, f64, f64, f64);

/// Space already given to numbers, in cells so that a dense scan stays quick.
pub(super) struct Taken {
    cell: f64,
    held: HashMap<(i64, i64), Vec<TakenBox>>,
}

impl Taken {
    pub(super) fn new(cell: f64) -> Self {
        Self {
            cell,
            held: HashMap::new(),
        }
    }

    /// Takes a box about (x, y) if it is free.
    fn take(&mut self, x: f64, y: f64, half: (f64, f64)) -> bool {
        let place = |v: f64| (v / self.cell).floor() as i64;
        let (cx, cy) = (place(x), place(y));
        for nx in cx - 1..=cx + 1 {
            for ny in cy - 1..=cy + 1 {
                let near = self.held.get(&(nx, ny)).map_or(&[][..], Vec::as_slice);
                if near
                    .iter()
                    .any(|b| (b.0 - x).abs() < b.2 + half.0 && (b.1 - y).abs() < b.3 + half.1)
                {
                    return false;
                }
            }
        }
        self.held
            .entry((cx, cy))
            .or_default()
            .push((x, y, half.0, half.1));
        true
    }
}
