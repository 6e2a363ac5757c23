//! How far tied set-ups can be trusted: how heights hang on the readings at shared spots, and what may be off there.

use super::Survey;
use super::shared_spots::{hanging_on, mark_name, normal_matrix, off_others, shared_groups};
use super::slip::Rule;
use nalgebra::DVector;
use std::collections::{BTreeMap, BTreeSet};

/// The most that a misread mark which ties set-ups by itself is taken to be off, metres: 1 in, the common slip that is largest
/// among those nobody sees on the floor (a rule held at its 1 in mark; common practice, no published source).
pub const UNCHECKED_SLIP_M: f64 = 0.0254;

/// How the heights of tied readings hang on the readings at shared spots.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ties {
    /// The set-up of each reading; empty where there is one only.
    set_ups: Vec<usize>,
    /// For each set-up, the readings that its shift hangs on, with their shares in it.
    shares: Vec<Vec<(u32, f64)>>,
    /// Marks that several set-ups read.
    marks: Vec<SharedMark>,
    /// Set-ups that hang on one mark alone.
    alone: Vec<TiedByOne>,
}

/// A set-up that one mark alone ties to the others.
#[derive(Debug, Clone, PartialEq)]
pub struct TiedByOne {
    /// The set-up.
    pub set_up: String,
    /// All readings that hang on it, of further set-ups as well, rising.
    pub readings: Vec<u32>,
    /// The mark.
    pub mark: String,
    /// Its readings, of which one may be wrong.
    pub of_mark: Vec<u32>,
    /// What it was read with.
    pub rule: Rule,
}

/// A mark that several set-ups read.
#[derive(Debug, Clone, PartialEq)]
struct SharedMark {
    readings: Vec<u32>,
    /// By how much what they read there still differs, metres.
    spread_m: f64,
    /// By how much one of them may be off without being seen, metres, half-width.
    unseen_m: f64,
}

impl SharedMark {
    /// Variance of what hangs on its readings with these weights, from the one that may be off unseen, square metres: whichever
    /// weighs most. A half-width with nothing known inside it is a uniform spread (JCGM 100:2008, 4.3.7).
    fn unseen_variance(&self, weights: &BTreeMap<u32, f64>) -> f64 {
        let most = self
            .readings
            .iter()
            .filter_map(|i| weights.get(i))
            .fold(0.0f64, |most, w| most.max(w.abs()));
        (most * self.unseen_m).powi(2) / 3.0
    }
}

impl Ties {
    /// Of a survey whose set-ups were tied.
    ///
    /// # Method
    /// A shift is linear in the heights at the shared spots ([`tie`](super::setups::tie)): its shares are the columns of the normal equations'
    /// solution. What may be off there beyond a reading's own doubt is what the spot lies off all the others, tied without it: a
    /// slip at one of two spots shows as half of itself at both, one in a loop as its share at each, and which of them it is at
    /// nothing tells. Where a set-up hangs on one spot alone, nothing could show a misread one, and it is the largest common
    /// slip ([`UNCHECKED_SLIP_M`]).
    pub fn of(survey: &Survey) -> Self {
        let readings = &survey.readings;
        let names: Vec<String> = survey.set_ups.iter().map(|s| s.name.clone()).collect();
        if names.len() < 2 {
            return Self::default();
        }
        let groups = shared_groups(readings);
        let n = names.len() - 1;
        let Some(factor) = normal_matrix(readings, &groups, n, &vec![1.0; groups.len()]).cholesky()
        else {
            return Self::default();
        };
        let mut shares = vec![Vec::new(); names.len()];
        let (mut marks, mut alone) = (Vec::new(), Vec::new());
        for (g, group) in groups.iter().enumerate() {
            let cut_off = hanging_on(readings, &groups, g, names.len());
            let spread = off_others(readings, &groups, g, &names);
            marks.push(SharedMark {
                readings: group.iter().map(|&i| i as u32).collect(),
                spread_m: spread,
                unseen_m: if cut_off.is_some() {
                    UNCHECKED_SLIP_M
                } else {
                    spread
                },
            });
            alone.extend(cut_off.map(|beyond| {
                TiedByOne {
                    set_up: names[beyond[0]].clone(),
                    readings: (0..readings.len())
                        .filter(|&i| beyond.contains(&readings[i].set_up))
                        .map(|i| i as u32)
                        .collect(),
                    mark: mark_name(readings, group, &names),
                    of_mark: group.iter().map(|&i| i as u32).collect(),
                    rule: Rule::of_step(survey.resolution_m),
                }
            }));
            for &i in group {
                let mut right = DVector::<f64>::zeros(n);
                let mut add = |set_up: usize, by: f64| {
                    if set_up > 0 {
                        right[set_up - 1] += by;
                    }
                };
                add(readings[i].set_up, -1.0);
                for &j in group {
                    add(readings[j].set_up, 1.0 / group.len() as f64);
                }
                let of_reading = factor.solve(&right);
                for (k, &share) in of_reading.iter().enumerate() {
                    shares[k + 1].push((i as u32, share));
                }
            }
        }
        Self {
            set_ups: readings.iter().map(|r| r.set_up).collect(),
            shares,
            marks,
            alone,
        }
    }

    /// Set-ups that hang on one mark alone.
    pub fn alone(&self) -> &[TiedByOne] {
        &self.alone
    }

    /// A block of readings with those of all set-ups that hang on marks of the block alone, one behind another: they lie off as the block
    /// does.
    pub fn with_riders(&self, block: Vec<u32>) -> Vec<u32> {
        let set_up = |i: u32| self.set_ups.get(i as usize).copied();
        let mut inside: BTreeSet<u32> = block.into_iter().collect();
        // A set-up that is in the block in part is the block's own.
        let mut open: BTreeSet<usize> = (0..self.shares.len()).collect();
        for &i in &inside {
            set_up(i).map(|k| open.remove(&k));
        }
        let mut riders = BTreeSet::new();
        while let Some(first) = open.pop_first() {
            // All that hang together without the block.
            let (mut chain, mut next) = (BTreeSet::from([first]), vec![first]);
            let (mut on_block, mut on_others) = (false, false);
            while let Some(k) = next.pop() {
                let of = |i: &u32| set_up(*i) == Some(k);
                let ties = self.marks.iter().filter(|m| m.readings.iter().any(of));
                for i in ties.flat_map(|m| &m.readings) {
                    match set_up(*i) {
                        _ if inside.contains(i) => on_block = true,
                        Some(other) if chain.contains(&other) => {}
                        Some(other) if open.remove(&other) => {
                            chain.insert(other);
                            next.push(other);
                        }
                        _ => on_others = true,
                    }
                }
            }
            if on_block && !on_others {
                riders.extend(chain);
            }
        }
        let of_riders = (0..self.set_ups.len() as u32)
            .filter(|&i| set_up(i).is_some_and(|k| riders.contains(&k)));
        inside.extend(of_riders);
        inside.into_iter().collect()
    }

    /// What the set-ups' shifts may be off by, drawn at random: the shared readings are off by `u` in the standard deviation and by
    /// what nothing there would show. `normal` gives independent standard normal numbers.
    pub(crate) fn shifts(&self, u: f64, normal: &mut impl FnMut() -> f64) -> Vec<f64> {
        let mut off: BTreeMap<u32, f64> = BTreeMap::new();
        for mark in &self.marks {
            for &i in &mark.readings {
                let deviation = (u * u + mark.unseen_m.powi(2) / 3.0).sqrt();
                off.insert(i, deviation * normal());
            }
        }
        let of = |shares: &Vec<(u32, f64)>| {
            shares
                .iter()
                .map(|(i, share)| share * off.get(i).copied().unwrap_or(0.0))
                .sum()
        };
        self.shares.iter().map(of).collect()
    }

    /// Of these shifts that of a reading's set-up.
    pub(crate) fn shift_of(&self, shifts: &[f64], reading: u32) -> f64 {
        let set_up = self.set_ups.get(reading as usize);
        set_up.and_then(|&k| shifts.get(k)).copied().unwrap_or(0.0)
    }

    /// Whether all was read from one set-up.
    pub(crate) fn is_empty(&self) -> bool {
        self.set_ups.is_empty()
    }

    /// Whether these readings were taken from more than one set-up.
    pub(crate) fn mixes(&self, readings: impl Iterator<Item = u32>) -> bool {
        let mut of = readings.filter_map(|i| self.set_ups.get(i as usize));
        let first = of.next();
        of.any(|k| Some(k) != first)
    }

    /// The most that readings of one mark disagree by, metres.
    fn widest_m(&self) -> f64 {
        self.marks.iter().map(|m| m.spread_m).fold(0.0, f64::max)
    }

    /// The most that ties can put into the standard uncertainty of a gap whose contacts and deepest place stand on different
    /// set-ups, readings being off by `u` in the standard deviation, metres.
    pub(crate) fn most_m(&self, u: f64) -> f64 {
        let mut most = 0.0f64;
        for (a, first) in self.shares.iter().enumerate() {
            for second in &self.shares[..a] {
                let mut apart: BTreeMap<u32, f64> = first.iter().copied().collect();
                for &(i, share) in second {
                    *apart.entry(i).or_default() -= share;
                }
                let read: f64 = apart.values().map(|w| w * w * u * u).sum();
                let unseen: f64 = self.marks.iter().map(|m| m.unseen_variance(&apart)).sum();
                most = most.max(read + unseen);
            }
        }
        // Ends and deepest place may each be such a mark: their shares' squares make up 2 at most.
        (most + 2.0 * self.widest_m().powi(2) / 3.0).sqrt()
    }

    /// Weights of readings in a height or a gap, with those of the shared readings that their set-ups hang on; and the
    /// variance that the ties add to it beyond the readings' own doubt, square metres.
    pub(crate) fn spread(&self, weights: &[(u32, f64)]) -> (Vec<(u32, f64)>, f64) {
        let mut moved = vec![0.0; self.shares.len()];
        for &(i, w) in weights {
            if let Some(&k) = self.set_ups.get(i as usize) {
                moved[k] += w;
            }
        }
        let mut through: BTreeMap<u32, f64> = BTreeMap::new();
        for (shares, moved) in self.shares.iter().zip(moved) {
            for &(i, share) in shares {
                *through.entry(i).or_default() += share * moved;
            }
        }
        // A shared reading is in the shift of its set-up, and in the height of its own mark as well.
        for &(i, w) in weights {
            *through.entry(i).or_default() += w;
        }
        let mut variance = 0.0;
        for mark in &self.marks {
            let own: f64 = weights
                .iter()
                .filter(|(i, _)| mark.readings.contains(i))
                .map(|w| w.1)
                .sum();
            variance += mark.unseen_variance(&through) + (own * mark.spread_m).powi(2) / 3.0;
        }
        (through.into_iter().collect(), variance)
    }
}
