//! Which readings carry a number when there is not room for all.

use crate::geometry::Point;
use std::collections::BTreeMap;

/// Radius of the dot at a reading, millimetres.
pub(super) const DOT_MM: f64 = 0.4;
/// Dots closer than this run together, millimetres.
pub(super) const DOTS_APART_MM: f64 = 1.6;
/// Height of the capitals of numbers: never less, enough at arm's length, and more where there is room.
const LEAST_CAP: f64 = 1.8;
const GOOD_CAP: f64 = 2.2;
const MOST_CAP: f64 = 3.0;

/// How numbers are set at a scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct MarkStyle {
    /// Height of the capitals, millimetres.
    pub cap_mm: f64,
    /// Every so manyth reading each way carries a number.
    pub every: usize,
}

/// The largest figures that fit between readings; where even the least do not, every so manyth
/// reading in figures of good size.
///
/// `width_per_cap` is the width of the widest number for capitals 1 mm high.
pub(super) fn style(spacing_mm: f64, width_per_cap: f64) -> MarkStyle {
    let room = |spacing: f64| {
        let across = (spacing - 1.8) / width_per_cap;
        let down = (spacing - 1.4) / 1.3;
        across.min(down).min(MOST_CAP)
    };
    let fits = room(spacing_mm);
    if fits >= LEAST_CAP {
        return MarkStyle {
            cap_mm: fits.min(MOST_CAP),
            every: 1,
        };
    }
    let need = (GOOD_CAP * width_per_cap + 1.8).max(GOOD_CAP * 1.3 + 1.4);
    let every = (need / spacing_mm.max(1e-6)).ceil().clamp(1.0, 1e9) as usize;
    MarkStyle {
        cap_mm: GOOD_CAP,
        every,
    }
}

/// The readings that may carry a number, in the order in which they are placed.
///
/// # Method
/// A net with mesh `every` times the spacing, anchored at the lowest x and y, is laid over the floor;
/// the reading nearest to each knot is taken, if it is near (of two as near the one farther left). On a
/// regular grid that is
/// every so manyth line. The same readings in another order give the same choice of places.
pub(super) fn chosen(places: &[Point], spacing_m: f64, every: usize) -> Vec<usize> {
    if every <= 1 || places.is_empty() {
        return (0..places.len()).collect();
    }
    let low = places
        .iter()
        .fold(Point::new(f64::INFINITY, f64::INFINITY), |l, p| {
            Point::new(l.x.min(p.x), l.y.min(p.y))
        });
    let mesh = spacing_m * every as f64;
    let mut nearest: BTreeMap<(i64, i64), (f64, usize)> = BTreeMap::new();
    for (i, p) in places.iter().enumerate() {
        let (u, v) = ((p.x - low.x) / mesh, (p.y - low.y) / mesh);
        let knot = (u.round() as i64, v.round() as i64);
        let off = (u - u.round()).hypot(v - v.round());
        let place = |j: usize| (places[j].x, places[j].y);
        let entry = nearest.entry(knot).or_insert((off, i));
        let tie = (off - entry.0).abs() < 1e-9;
        if off < entry.0 - 1e-9 || (tie && place(i) < place(entry.1)) {
            *entry = (off, i);
        }
    }
    // A reading far from its knot would crowd the next one's: better none than two close together.
    let far = 0.75 / every as f64;
    let mut out: Vec<usize> = nearest
        .into_values()
        .filter(|&(off, _)| off <= far)
        .map(|(_, i)| i)
        .collect();
    out.sort_unstable();
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand: a 10 by 10 grid at 1 m, every third line each way: lines 0, 3, 6, 9
    #[test]
    fn a_regular_grid_keeps_every_third_line() {
        let grid: Vec<Point> = (0..100)
            .map(|i| Point::new(f64::from(i % 10), f64::from(i / 10)))
            .collect();
        let kept = chosen(&grid, 1.0, 3);
        assert_eq!(kept.len(), 16);
        for i in kept {
            assert_eq!((grid[i].x as u32 % 3, grid[i].y as u32 % 3), (0, 0));
        }
    }

    // ORACLE: property: the choice of places does not depend on the order of the readings
    #[test]
    fn order_does_not_matter() {
        let grid: Vec<Point> = (0..400)
            .map(|i| {
                let (x, y) = (f64::from(i % 20), f64::from(i / 20));
                Point::new(x + 0.3 * (y * 1.7).sin(), y + 0.2 * (x * 2.3).cos())
            })
            .collect();
        let turned: Vec<Point> = grid.iter().rev().copied().collect();
        let places = |of: &[Point]| {
            let mut p: Vec<(u64, u64)> = chosen(of, 1.0, 4)
                .into_iter()
                .map(|i| (of[i].x.to_bits(), of[i].y.to_bits()))
                .collect();
            p.sort_unstable();
            p
        };
        assert_eq!(places(&grid), places(&turned));
    }
}
