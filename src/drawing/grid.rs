//! Names of grid lines and their distances from two walls.

use crate::geometry::Point;
use crate::survey::Reading;
use std::collections::BTreeMap;

/// A named grid line.
#[derive(Debug, Clone, PartialEq)]
pub struct GridLine {
    /// Letters or digits shared by the labels of its readings.
    pub name: String,
    /// Its x (for lines across the sheet's width) or y, metres.
    pub at_m: f64,
}

/// Grid lines read off the readings' labels (`C4` stands on line C and on line 4).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Grid {
    /// Lines of equal x, left to right.
    pub upright: Vec<GridLine>,
    /// Lines of equal y, bottom to top.
    pub level: Vec<GridLine>,
}

/// Readings this near a line stand on it, metres.
const ON_LINE_M: f64 = 0.005;
/// Beyond this many readings lines lie too close to be named.
const MOST_READINGS: usize = 20_000;

impl Grid {
    /// The grid that labels and places agree on.
    ///
    /// # Method
    /// Labels of letters and a number; readings of the same letters must share x and those of the same
    /// number y, or the other way round. Nine in ten must agree: a few extra readings off the grid do no
    /// harm.
    /// # Edge cases
    /// No such labels, or places that do not line up: an empty grid, and nothing is named.
    pub fn of(readings: &[Reading]) -> Self {
        if readings.len() > MOST_READINGS {
            return Self::default();
        }
        let parsed: Vec<(&str, u32, Point)> = readings
            .iter()
            .filter_map(|r| {
                let cut = r.label.find(|c: char| c.is_ascii_digit())?;
                let (letters, digits) = r.label.split_at(cut);
                let plain = !letters.is_empty()
                    && letters.len() <= 2
                    && letters.chars().all(|c| c.is_ascii_alphabetic());
                plain.then_some(())?;
                Some((letters, digits.parse().ok()?, r.at))
            })
            .collect();
        if parsed.len() < 4 {
            return Self::default();
        }
        let letters_upright = lines(parsed.iter().map(|p| (p.0.to_owned(), p.2.x)));
        let numbers_level = lines(parsed.iter().map(|p| (p.1, p.2.y)));
        if let (Some(u), Some(l)) = (letters_upright, numbers_level) {
            return Self {
                upright: named(u),
                level: named(l),
            };
        }
        let letters_level = lines(parsed.iter().map(|p| (p.0.to_owned(), p.2.y)));
        let numbers_upright = lines(parsed.iter().map(|p| (p.1, p.2.x)));
        match (numbers_upright, letters_level) {
            (Some(u), Some(l)) => Self {
                upright: named(u),
                level: named(l),
            },
            _ => Self::default(),
        }
    }

    /// Whether nothing is named.
    pub fn is_empty(&self) -> bool {
        self.upright.is_empty() && self.level.is_empty()
    }
}

/// The place of each line, if nine in ten readings stand on theirs.
fn lines<K: Ord>(pairs: impl Iterator<Item = (K, f64)>) -> Option<BTreeMap<K, f64>> {
    let mut groups: BTreeMap<K, Vec<f64>> = BTreeMap::new();
    for (key, at) in pairs {
        groups.entry(key).or_default().push(at);
    }
    let (mut on, mut all) = (0, 0);
    let mut out = BTreeMap::new();
    for (key, mut places) in groups {
        places.sort_by(f64::total_cmp);
        let middle = places[places.len() / 2];
        on += places
            .iter()
            .filter(|p| (*p - middle).abs() <= ON_LINE_M)
            .count();
        all += places.len();
        out.insert(key, middle);
    }
    (on * 10 >= all * 9).then_some(out)
}

fn named<K: ToString>(lines: BTreeMap<K, f64>) -> Vec<GridLine> {
    let mut out: Vec<GridLine> = lines
        .into_iter()
        .map(|(name, at_m)| GridLine {
            name: name.to_string(),
            at_m,
        })
        .collect();
    out.sort_by(|a, b| a.at_m.total_cmp(&b.at_m));
    out
}
