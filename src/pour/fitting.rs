//! How many bays: shared out as asked for, or as few as keep the open time.

use super::bays::in_bays;
use super::footing::Footing;
use super::layout::{Layout, MOST_BAYS, Need, Speed, score};
use super::piece::Piece;
use super::pieces::Sweep;
use super::result::PourError;

/// So many bays in all, shared out over the sections: one more to the section with the largest bays, until they are
/// used up. No section gets more bays than it takes batches; puddles are none.
pub(super) fn bays_of_each(
    sections: &[Vec<Piece>],
    bays: u32,
    need: &Need,
) -> Result<Vec<u32>, PourError> {
    let volumes: Vec<f64> = sections
        .iter()
        .map(|s| s.iter().map(Piece::volume).sum())
        .collect();
    let most = volumes
        .iter()
        .map(|&v| need.batches(v))
        .collect::<Result<Vec<u32>, _>>()?;
    let mut counts = vec![1u32; sections.len()];
    let total = |counts: &[u32]| -> u32 {
        let large = counts.iter().zip(&most).filter(|(_, most)| **most > 1);
        large.map(|(count, _)| count).sum()
    };
    while total(&counts) < bays {
        let size = |i: &usize| volumes[*i] / f64::from(counts[*i]);
        let largest = (0..counts.len())
            .filter(|&i| counts[i] < most[i])
            .max_by(|a, b| size(a).total_cmp(&size(b)).then(b.cmp(a)));
        let Some(i) = largest else { break };
        counts[i] += 1;
    }
    Ok(counts)
}

/// Few bays in which no wet edge waits longer than the open time: each section is divided as far as it needs.
pub(super) fn fitting_bays(
    wet: &[Vec<Piece>],
    ways: (&Sweep, &Footing),
    need: &Need,
    speed: Speed,
) -> Result<Option<Layout>, PourError> {
    let mut counts = vec![1; wet.len()];
    let whole = in_bays(wet, ways, &counts, need)?;
    if speed.fits(&whole) {
        return Ok(Some(whole));
    }
    for (section, count) in wet.iter().zip(&mut counts) {
        match fitting_count(section, ways, need, speed)? {
            Some(fitting) => *count = fitting,
            None => return Ok(None),
        }
    }
    // Waits come in whole batches, and where in a round of mixers a section begins shifts them by a little.
    for _ in 0..TRIES {
        let layout = in_bays(wet, ways, &counts, need)?;
        if speed.fits(&layout) {
            return Ok(Some(layout));
        }
        for count in counts.iter_mut().filter(|c| **c > 1 && **c < MOST_BAYS) {
            *count += 1;
        }
    }
    Ok(None)
}

/// Rounds of one bay more, once each section fits for itself.
const TRIES: usize = 4;

/// Bays of one section.
///
/// A strip's wait goes with its length, so the count is tried first where that puts it; from there
/// upwards until one fits, or downwards until one does not. Waits come in whole batches, so a count
/// stepped over on the way up may have fitted too.
fn fitting_count(
    section: &Vec<Piece>,
    ways: (&Sweep, &Footing),
    need: &Need,
    speed: Speed,
) -> Result<Option<u32>, PourError> {
    let alone = std::slice::from_ref(section);
    let whole = in_bays(alone, ways, &[1], need)?;
    if speed.fits(&whole) {
        return Ok(Some(1));
    }
    let wait_of = |layout: &Layout| score(layout, speed.pace, speed.open_min).longest_wait_min;
    let guess = speed
        .open_min
        .map_or(2.0, |open| (0.8 * wait_of(&whole) / open).floor());
    let mut count = if guess.is_finite() {
        guess.clamp(2.0, f64::from(MOST_BAYS)) as u32
    } else {
        MOST_BAYS
    };
    let mut found = None;
    // Each round moves the count on and never back: at most `MOST_BAYS` rounds.
    for _ in 0..MOST_BAYS {
        let layout = in_bays(alone, ways, &[count], need)?;
        if speed.fits(&layout) {
            found = Some(count);
            if count <= 2 || found_from_below(count, guess) {
                break;
            }
            count -= 1;
        } else if found.is_some() || count >= MOST_BAYS || layout.parts.len() <= count as usize {
            // One less does not fit; or more bays than batches cannot help.
            break;
        } else {
            let better = speed.open_min.map_or(0.0, |open| {
                (0.9 * wait_of(&layout) / open * f64::from(count)).floor()
            });
            count = (better.min(f64::from(MOST_BAYS)) as u32).max(count + 1);
        }
    }
    Ok(found)
}

/// Whether the search has come to this count from counts that did not fit.
fn found_from_below(count: u32, guess: f64) -> bool {
    f64::from(count) > guess.max(2.0)
}
