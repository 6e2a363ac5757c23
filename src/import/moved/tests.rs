//! Which words say that the instrument was moved, and which do not.

use super::{may_say_moved, may_say_moved_above, says_moved};

/// Refused between readings.
const SURE: [&str; 53] = [
    "2nd setup",
    "(moved laser)",
    "--- moved laser ---",
    "relocated laser to corner",
    "tripod 2",
    "re-set",
    "TP1",
    "Position 2",
    "Laser #2",
    "2nd position",
    "9:45 AM moved laser",
    "Changed laser location",
    "Tripod kicked",
    "laser fell over",
    "Turning point",
    "moved laser here",
    "new setup after lunch",
    "tripod kicked, reset",
    "reset tripod",
    "relevelled laser",
    "laser knocked over",
    "laser bumped",
    "instrument re-leveled",
    "had to move the laser",
    "raised laser 2\"",
    "new HI",
    "HI changed 1 1/4 at row 3",
    "different setup",
    "moved level",
    "level fell",
    "Set up 2",
    "S/U 2",
    "SU2",
    "setup B",
    "switched to other laser",
    "shifted tripod",
    "2nd laser",
    "new instrument height",
    "changed laser height",
    "laser pos B",
    "Pos. 2",
    "Laser umgesetzt",
    "tripod bumped?",
    "re-set up",
    "laser was accidentally knocked down",
    "Laser got bumped after row 2",
    "Note: tripod moved between rows 2 and 3",
    "Laser No. 2",
    "rows 3-4 are 1 1/4 high (laser moved)",
    "Stativ umgestellt",
    "swapped lasers",
    "moved station",
    "repositioned the tripod",
];

/// Told.
const LIKELY: [&str; 35] = [
    "re-shot from door",
    "shot from kitchen doorway",
    "reshot after bump",
    "from 2nd station",
    "Station 2",
    "moved machine",
    "machine moved",
    "lowered line 1 in",
    "moved the beam up",
    "new benchmark",
    "BM disturbed",
    "new backsight",
    "BS changed",
    "set up again",
    "battery died, set up again",
    "repositioned",
    "put laser back up",
    "2 setups",
    "Two laser positions",
    "both set-ups",
    "Shot from two spots",
    "Set up twice",
    "add 1 1/4 to rows 1-2",
    "rows 3-4 are 1 1/4 high",
    "subtract 1 1/4\" from rows 3 and 4",
    "Correction for rows 3+: -1 1/4",
    "HI1 = 40, HI2 = 41 1/4",
    "Setup 1: rows 1-2, Setup 2: rows 3-4",
    "laser A cols A-C, laser B cols D-E",
    "new laser height from y = 4 on",
    "Rows 3-4 shot from second setup",
    "laser at door from here",
    "laser out of level alarm",
    "after moving",
    "columns C-E read 1/2 low, add 1/2",
];

/// Honest remarks.
const HONEST: [&str; 64] = [
    "Laser not moved",
    "Same setup",
    "did not move laser",
    "Level checked, not moved",
    "one setup for all",
    "all from one setup",
    "after, same laser position",
    "same HI as before",
    "laser never moved",
    "tripod wasn't moved",
    "Level 2",
    "second level",
    "hi spot",
    "HI spot moved by saw cut",
    "bumped up slab",
    "line of columns",
    "new tile here",
    "station 2+00",
    "moved boxes",
    "BM 100.00",
    "BS 4.21",
    "HI 104.21",
    "kitchen side",
    "Laser: red",
    "laser 2 ft off wall",
    "class 2 laser",
    "new line of tile",
    "raised slab at door",
    "floor level changed here",
    "steel beam raised",
    "washing machine moved",
    "pipe line moved",
    "set up tables here",
    "moved furniture off level area",
    "row 3 low by door",
    "rows 1-4",
    "low by 1/4 at door",
    "grid line 2",
    "line 3 at column",
    "new beam here",
    "level area",
    "high spot",
    "bump",
    "bumped",
    "ground spot",
    "new batteries",
    "laser checked, OK",
    "Readings by Sam",
    "after grinding",
    "Measured down from laser line",
    "tape from line",
    "no setup change",
    "old tile lifted",
    "crack shifted 1/8",
    "door moved to new wall",
    "patched, new concrete",
    "moved wall 2 in",
    "column line B",
    "Position A1",
    "2 ft from level",
    "Setup by JR",
    "changed to tile at door",
    "low 1/4, add 2 bags in rows 3-4",
    "columns A-C low 1/4",
];

// ORACLE: what a person takes from these lines.
#[test]
fn lines_that_say_that_the_instrument_was_moved() {
    for text in SURE {
        assert!(says_moved(text) && may_say_moved(text), "{text}");
    }
    for text in LIKELY {
        assert!(may_say_moved(text), "{text}");
    }
}

// ORACLE: what a person takes from these lines.
#[test]
fn lines_that_deny_it_or_speak_of_the_floor() {
    for text in HONEST {
        assert!(!says_moved(text) && !may_say_moved(text), "{text}");
    }
    assert!(!may_say_moved("set-up 1 continued"));
}

// ORACLE: hand: above a table a set-up's name says from where it was read; that it changed is said anywhere.
#[test]
fn above_a_table_a_set_up_may_be_named() {
    for text in ["Setup 2", "Laser 2", "2nd setup", "Tripod B", "new laser"] {
        assert!(!may_say_moved_above(text), "{text}");
    }
    for text in [
        "tripod moved between rows 2 and 3",
        "Setup 1: rows 1-2, Setup 2: rows 3-4",
        "two setups",
        "Laser was moved after row 2",
    ] {
        assert!(may_say_moved_above(text), "{text}");
    }
}
