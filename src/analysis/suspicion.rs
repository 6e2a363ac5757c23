//! What of a survey the words on its floor must not hang on: readings that look like slips, and blocks of readings that may lie off.

use crate::flatness::{Block, BlockCause, Blocks, Suspect};
use crate::geometry::Segment;
use crate::survey::findings::{
    LEAST_STEP_M, OFF_THE_GRID, SIDE, findings_on, lie_above, nearest_to_neighbours, stepped,
    suspected,
};
use crate::survey::setups::Ties;
use crate::survey::{Notice, Reading, Room, Survey};
use crate::units::Length;

/// Readings that the survey's own findings tell of as slips.
pub(super) fn suspects(survey: &Survey) -> Vec<Suspect> {
    told_of(&survey.notices, survey)
}

fn told_of(notices: &[Notice], survey: &Survey) -> Vec<Suspect> {
    suspected(notices, &survey.readings)
        .into_iter()
        .map(|i| Suspect {
            reading: i as u32,
            name: name_of(survey, i),
        })
        .collect()
}

/// A reading's name: with its set-up, where another reading has the same.
fn name_of(survey: &Survey, i: usize) -> String {
    let reading = &survey.readings[i];
    let shared = (survey.readings.iter().enumerate())
        .any(|(j, r)| j != i && r.label == reading.label && r.set_up != reading.set_up);
    match survey.set_up_of(reading) {
        Some(set_up) if shared => format!("{} from set-up {set_up}", reading.label),
        _ => reading.label.to_string(),
    }
}

/// Blocks of readings that may lie off the others: set-ups that one mark alone ties, and from each step on to the end of its set-up,
/// with set-ups that hang on marks of it; and what looks like a slip once they are levelled.
///
/// # Method
/// All are measured together, without the marks that alone tie a set-up. Steps are those that the survey's findings tell of and, where a
/// lone tie is levelled, those that show then: a misread tie may hide them.
pub(super) fn blocks(survey: &Survey, ties: &Ties) -> Blocks {
    let mut level = Level::of(survey, ties);
    for tied in ties.alone() {
        let cause = BlockCause::LoneTie {
            mark: tied.mark.clone(),
            set_up: tied.set_up.clone(),
        };
        level.add(tied.readings.clone(), cause);
    }
    let mut told = stepped(&survey.notices, &survey.readings);
    for &from in &told {
        level.add_from(from);
    }
    if level.blocks.is_empty() {
        return Blocks::default();
    }
    level.measure();
    let mut notices = level.findings();
    if !ties.alone().is_empty() {
        let hidden = stepped(&notices, &survey.readings);
        let new = |from: &usize| told.iter().all(|t| t.abs_diff(*from) >= SIDE);
        let hidden: Vec<usize> = hidden.into_iter().filter(new).collect();
        if !hidden.is_empty() {
            for &from in &hidden {
                level.add_from(from);
            }
            told.extend(hidden);
            level.measure();
            notices = level.findings();
        }
    }
    // Where a reading stands has nothing to do with its height.
    let off_the_grid = survey.notices.iter().filter(|n| n.code == OFF_THE_GRID);
    notices.extend(off_the_grid.cloned());
    Blocks {
        suspects: told_of(&notices, survey),
        list: level.blocks,
    }
}

/// A survey's readings with blocks of them levelled.
struct Level<'a> {
    survey: &'a Survey,
    ties: &'a Ties,
    joints: Vec<Segment>,
    blocks: Vec<Block>,
    readings: Vec<Reading>,
}

impl<'a> Level<'a> {
    fn of(survey: &'a Survey, ties: &'a Ties) -> Self {
        Self {
            survey,
            ties,
            joints: (survey.room.as_ref()).map_or_else(Vec::new, Room::joint_pieces),
            blocks: Vec::new(),
            readings: survey.readings.clone(),
        }
    }

    /// A block, unless it is there already: where a tied set-up begins its step is told, too.
    fn add(&mut self, readings: Vec<u32>, cause: BlockCause) {
        if self.blocks.iter().all(|b| b.readings != readings) {
            self.blocks.push(Block {
                readings,
                above_m: 0.0,
                cause,
            });
        }
    }

    /// From a step on to the end of its set-up; a set-up that is tied by marks read after it lies off with them.
    fn add_from(&mut self, from: usize) {
        let readings = &self.survey.readings;
        let rest = from..readings.len();
        let of_set_up = rest.filter(|&i| readings[i].set_up == readings[from].set_up);
        let own: Vec<u32> = of_set_up.map(|i| i as u32).collect();
        let mut list = self.ties.with_riders(own.clone());
        // Where a set-up begins, all others may hang on it; what all have in common is no matter.
        if list.len() == readings.len() {
            list = own;
        }
        let from = name_of(self.survey, from);
        self.add(list, BlockCause::Bumped { from });
    }

    /// Measures the blocks and levels the readings; a step that is none beside the others goes.
    fn measure(&mut self) {
        let marks: Vec<u32> = (self.ties.alone().iter())
            .flat_map(|tied| tied.of_mark.iter().copied())
            .collect();
        loop {
            let lists: Vec<&[u32]> = self.blocks.iter().map(|b| b.readings.as_slice()).collect();
            let above = lie_above(&self.survey.readings, &self.joints, &lists, &marks);
            for (block, above_m) in self.blocks.iter_mut().zip(above) {
                block.above_m = above_m;
            }
            let none = |b: &Block| {
                matches!(b.cause, BlockCause::Bumped { .. }) && b.above_m.abs() < LEAST_STEP_M
            };
            let Some(i) = self.blocks.iter().position(none) else {
                break;
            };
            self.blocks.remove(i);
        }
        self.readings = self.survey.readings.clone();
        for block in &self.blocks {
            for &i in &block.readings {
                let reading = &mut self.readings[i as usize];
                reading.elevation = reading.elevation + Length::from_m(-block.above_m);
            }
        }
        // A mark that may be misread is taken at whichever of its readings suits those beside it.
        for tied in self.ties.alone() {
            let best = nearest_to_neighbours(&self.readings, &self.joints, &tied.of_mark);
            if let Some(best) = best {
                let elevation = self.readings[best as usize].elevation;
                for &i in &tied.of_mark {
                    self.readings[i as usize].elevation = elevation;
                }
            }
        }
    }

    /// What looks odd among the readings as levelled; what is not on the floor is no matter.
    fn findings(&self) -> Vec<Notice> {
        let region = self.survey.room.as_ref().map(Room::region);
        let step_m = self.survey.evident_step_m();
        findings_on(region.as_ref(), &self.readings, step_m, None, &self.joints)
    }
}
