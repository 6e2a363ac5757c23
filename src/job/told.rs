//! Names and cells as they are told: each on one line.

use crate::survey::{Survey, one_line};
use std::borrow::Cow;

/// Puts every name and every cell's text of a survey on one line each. Before, they are as they were read: a cell of two lines is a
/// reading and a remark.
pub(super) fn on_one_line(survey: &mut Survey) {
    told(&mut survey.name);
    for reading in &mut survey.readings {
        for text in [&mut reading.label, &mut reading.raw.text]
            .into_iter()
            .chain(&mut reading.note)
        {
            if let Cow::Owned(line) = one_line(text) {
                *text = line.into();
            }
        }
    }
    survey.set_ups.iter_mut().for_each(|s| told(&mut s.name));
    if let Some(room) = &mut survey.room {
        let rings = room.voids.iter_mut().chain(&mut room.slopes);
        rings.for_each(|r| told(&mut r.name));
        room.joints.iter_mut().for_each(|j| told(&mut j.name));
        room.doors.iter_mut().for_each(|d| told(&mut d.name));
        room.fixtures.iter_mut().for_each(|f| told(&mut f.name));
        room.walls.iter_mut().for_each(|w| told(&mut w.name));
    }
}

fn told(name: &mut String) {
    if let Cow::Owned(line) = one_line(name) {
        *name = line;
    }
}
