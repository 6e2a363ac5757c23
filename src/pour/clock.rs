//! When each batch is mixed and placed.

/// How the crew works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pace {
    pub mixing_min: f64,
    pub placing_min: f64,
    pub mixers: u32,
    pub overlapped: bool,
}

impl Pace {
    /// Time from one batch placed to the next in the long run, minutes.
    pub fn slot_min(&self) -> f64 {
        let mixers = f64::from(self.mixers.max(1));
        if self.overlapped {
            self.placing_min.max(self.mixing_min / mixers)
        } else {
            self.placing_min + self.mixing_min / mixers
        }
    }
}

/// Start of mixing, start and end of placing, minutes from the start of the pour.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Slot {
    pub mix_from: f64,
    pub place_from: f64,
    pub place_to: f64,
}

/// Slots of `count` batches.
///
/// # Method
/// One crew places, one batch at a time. Overlapped: a mixer starts its next batch as soon as it
/// has handed over the last; a mixed batch waits in its mixer for the crew. One after the other:
/// all mixers mix a batch each, then those are placed, then they mix again.
pub(super) fn slots(count: usize, pace: Pace) -> Vec<Slot> {
    let mixers = pace.mixers.max(1) as usize;
    let mut free = vec![0.0_f64; mixers];
    let mut crew = 0.0_f64;
    (0..count)
        .map(|k| {
            let mixer = k % mixers;
            let mix_from = if pace.overlapped {
                free[mixer]
            } else if mixer == 0 {
                // All of the round before is placed by now; this round's mixers start together.
                free.fill(crew);
                crew
            } else {
                free[mixer]
            };
            let place_from = crew.max(mix_from + pace.mixing_min);
            let place_to = place_from + pace.placing_min;
            crew = place_to;
            if pace.overlapped {
                free[mixer] = place_from;
            }
            Slot {
                mix_from,
                place_from,
                place_to,
            }
        })
        .collect()
}

/// How long a mixed batch stands at the longest, from the end of its mixing until all of it is placed, minutes.
pub(super) fn longest_standing(count: usize, pace: Pace) -> f64 {
    let standing = |s: Slot| s.place_to - (s.mix_from + pace.mixing_min);
    slots(count, pace)
        .into_iter()
        .map(standing)
        .fold(0.0, f64::max)
}

/// Length of the whole pour, minutes.
pub(super) fn minutes(count: usize, pace: Pace) -> f64 {
    slots(count, pace).last().map_or(0.0, |s| s.place_to)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PACE: Pace = Pace {
        mixing_min: 3.0,
        placing_min: 4.0,
        mixers: 1,
        overlapped: false,
    };

    // ORACLE: hand. One after the other: 5 (3 + 4) = 35. Overlapped: 3 + 5 * 4 = 23.
    #[test]
    fn five_batches_by_one_mixer() {
        assert_eq!(minutes(5, PACE), 35.0);
        let overlapped = Pace {
            overlapped: true,
            ..PACE
        };
        assert_eq!(minutes(5, overlapped), 23.0);
        // Slow mixing decides: 5 * 6 + 4.
        let slow = Pace {
            mixing_min: 6.0,
            ..overlapped
        };
        assert_eq!(minutes(5, slow), 34.0);
        // Two mixers take it off again: pairs at 6 and 10 from each start ...
        let two = Pace { mixers: 2, ..slow };
        assert_eq!(minutes(5, two), 26.0);
    }

    // ORACLE: hand. One mixer, one after the other: placed at once, 4. Three mixers overlapped start at 0 together: the third is mixed at 3
    // and placed from 11 to 15, 12 after. From then on each starts when it has handed over, and is placed two batches later: mixed 3 after
    // its last hand-over, placed from 12 to 16 after it, 13.
    #[test]
    fn a_mixed_batch_stands_while_others_are_placed() {
        assert_eq!(longest_standing(5, PACE), 4.0);
        let three = Pace {
            mixers: 3,
            overlapped: true,
            ..PACE
        };
        assert_eq!(longest_standing(3, three), 12.0);
        assert_eq!(longest_standing(9, three), 13.0);
    }

    // ORACLE: hand. Two mixers, one after the other: mix 3, place 4 + 4, mix 3, place 4 + 4, mix 3, place 4.
    #[test]
    fn rounds_of_two_mixers() {
        assert_eq!(minutes(5, Pace { mixers: 2, ..PACE }), 29.0);
    }
}
