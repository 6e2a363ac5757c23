//! The words of instruments, and of what is done to them.

/// What a noun names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Noun {
    /// The instrument, or what it gives, and little else.
    Instrument,
    /// The instrument among other things.
    Loose,
    /// What is held on the floor: moved for every reading, so only another one or another length of it matters.
    Held,
    /// What feeds it: who changes that has touched it.
    Power,
}

const INSTRUMENTS: [&str; 21] = [
    "laser",
    "lasers",
    "instrument",
    "instruments",
    "instr",
    "inst",
    "tripod",
    "tripods",
    "rotary",
    "transit",
    "theodolite",
    "dumpy",
    "autolevel",
    "totalstation",
    "stringline",
    "setup",
    "setups",
    "stativ",
    "hinst",
    "lasergerät",
    "nivellier",
];
const LOOSE: [&str; 30] = [
    "level",
    "line",
    "beam",
    "plane",
    "machine",
    "unit",
    "gun",
    "station",
    "position",
    "positions",
    "pos",
    "hi",
    "bm",
    "tbm",
    "benchmark",
    "datum",
    "backsight",
    "bsight",
    "foresight",
    "fsight",
    "stand",
    "leg",
    "legs",
    "receiver",
    "detector",
    "sensor",
    "remote",
    "bench",
    "bubble",
    "zero",
];
const HELD: [&str; 7] = ["rod", "staff", "pole", "target", "rods", "rule", "ruler"];
const POWER: [&str; 4] = ["battery", "batteries", "batts", "batt"];

/// What a word names, among these.
pub(super) fn noun(word: &str) -> Option<Noun> {
    [
        (&INSTRUMENTS[..], Noun::Instrument),
        (&LOOSE, Noun::Loose),
        (&HELD, Noun::Held),
        (&POWER, Noun::Power),
    ]
    .into_iter()
    .find_map(|(list, noun)| list.contains(&word).then_some(noun))
}

/// What a verb does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Done {
    /// It is done to instruments rather than to floors.
    Plainly,
    /// It is done to floors, tiles and walls as well.
    Common,
    /// It may leave the instrument where it was.
    Weakly,
    /// The same, and of a line or a level it says nothing.
    Handled,
    /// Another one takes its place.
    Swapped,
}

/// Verbs that take the usual endings.
const REGULAR: [(&str, Done); 62] = [
    ("move", Done::Plainly),
    ("relocate", Done::Plainly),
    ("shift", Done::Plainly),
    ("reposition", Done::Plainly),
    ("restart", Done::Plainly),
    ("reboot", Done::Plainly),
    ("relevel", Done::Plainly),
    ("rezero", Done::Plainly),
    ("replumb", Done::Plainly),
    ("bump", Done::Plainly),
    ("knock", Done::Plainly),
    ("kick", Done::Plainly),
    ("swap", Done::Swapped),
    ("change", Done::Swapped),
    ("exchange", Done::Swapped),
    ("replace", Done::Swapped),
    ("switch", Done::Swapped),
    ("slip", Done::Swapped),
    ("extend", Done::Swapped),
    ("shorten", Done::Swapped),
    ("drop", Done::Common),
    ("tip", Done::Common),
    ("tilt", Done::Common),
    ("topple", Done::Common),
    ("jar", Done::Common),
    ("jolt", Done::Common),
    ("jostle", Done::Common),
    ("nudge", Done::Common),
    ("disturb", Done::Common),
    ("raise", Done::Common),
    ("lower", Done::Common),
    ("rotate", Done::Common),
    ("twist", Done::Common),
    ("drift", Done::Common),
    ("sag", Done::Common),
    ("recalibrate", Done::Common),
    ("calibrate", Done::Weakly),
    ("adjust", Done::Weakly),
    ("settle", Done::Weakly),
    ("turn", Done::Weakly),
    ("touch", Done::Handled),
    ("step", Done::Handled),
    ("trip", Done::Handled),
    ("lean", Done::Handled),
    ("pick", Done::Handled),
    ("vibrate", Done::Handled),
    ("remove", Done::Handled),
    ("walk", Done::Handled),
    ("back", Done::Handled),
    ("wobble", Done::Handled),
    ("loosen", Done::Handled),
    ("collapse", Done::Common),
    ("sink", Done::Common),
    ("slide", Done::Common),
    ("creep", Done::Common),
    ("spin", Done::Common),
    ("shake", Done::Common),
    ("realign", Done::Common),
    ("unplug", Done::Handled),
    ("readjust", Done::Weakly),
    ("recenter", Done::Weakly),
    ("remount", Done::Weakly),
];
/// Words as they stand.
const IRREGULAR: [(&str, Done); 32] = [
    ("reset", Done::Plainly),
    ("resets", Done::Plainly),
    ("resetting", Done::Plainly),
    ("resetup", Done::Plainly),
    ("different", Done::Plainly),
    ("fell", Done::Plainly),
    ("fallen", Done::Plainly),
    ("umgesetzt", Done::Common),
    ("umgestellt", Done::Common),
    ("versetzt", Done::Common),
    ("verplaatst", Done::Common),
    ("reshot", Done::Weakly),
    ("sank", Done::Common),
    ("sunk", Done::Common),
    ("slid", Done::Common),
    ("crept", Done::Common),
    ("spun", Done::Common),
    ("shook", Done::Common),
    ("shaken", Done::Common),
    ("ran", Done::Handled),
    ("broke", Done::Swapped),
    ("broken", Done::Swapped),
    ("blew", Done::Handled),
    ("blown", Done::Handled),
    ("hit", Done::Handled),
    ("struck", Done::Handled),
    ("carried", Done::Handled),
    ("taken", Done::Handled),
    ("shut", Done::Handled),
    ("alarm", Done::Handled),
    ("alarmed", Done::Handled),
    ("beeping", Done::Handled),
];

/// What a word says was done, and whether it tells that it was: `bumped`, not `bump`.
pub(super) fn done(word: &str) -> Option<(Done, bool)> {
    if let Some((_, done)) = IRREGULAR.iter().find(|(w, _)| *w == word) {
        return Some((*done, true));
    }
    REGULAR
        .iter()
        .find_map(|(stem, done)| form_of(stem, word).map(|told| (*done, told)))
}

/// Whether a word is a form of a verb, and whether one that tells of it: `relevelled`, `dropping`.
fn form_of(stem: &str, word: &str) -> Option<bool> {
    let rest = word.strip_prefix(stem.trim_end_matches('e'))?;
    let own = if stem.ends_with('e') { "e" } else { "" };
    if rest
        .strip_prefix(own)
        .is_some_and(|r| matches!(r, "" | "s"))
    {
        return Some(false);
    }
    // The last letter may be doubled.
    let doubled = stem.chars().next_back().and_then(|c| rest.strip_prefix(c));
    let ends = |r: &str| matches!(r, "ed" | "ing");
    (ends(rest) || doubled.is_some_and(ends)).then_some(true)
}

/// Another one.
pub(super) const OTHER: [&str; 12] = [
    "new",
    "other",
    "another",
    "different",
    "second",
    "2nd",
    "third",
    "3rd",
    "next",
    "4th",
    "fourth",
    "zweite",
];
/// What may stand between a noun and what was done to it.
pub(super) const BETWEEN: [&str; 53] = [
    "the",
    "our",
    "my",
    "a",
    "an",
    "to",
    "up",
    "down",
    "over",
    "was",
    "were",
    "got",
    "has",
    "had",
    "have",
    "been",
    "is",
    "be",
    "it",
    "again",
    "just",
    "then",
    "also",
    "now",
    "height",
    "ht",
    "elevation",
    "elev",
    "location",
    "position",
    "pos",
    "place",
    "head",
    "leg",
    "legs",
    "beam",
    "plane",
    "line",
    "level",
    "new",
    "other",
    "old",
    "rotary",
    "red",
    "green",
    "of",
    "out",
    "into",
    "against",
    "on",
    "went",
    "by",
    "must",
];
/// What may stand before a noun that names other things too, besides these and numbers: any other word makes it a thing of its own,
/// `floor level`, `washing machine`, `pipe line`.
pub(super) const BEFORE: [&str; 34] = [
    "after",
    "since",
    "when",
    "before",
    "because",
    "as",
    "and",
    "but",
    "with",
    "from",
    "at",
    "for",
    "if",
    "while",
    "note",
    "row",
    "rows",
    "column",
    "until",
    "till",
    "somebody",
    "someone",
    "i",
    "we",
    "builders",
    "optical",
    "digital",
    "automatic",
    "auto",
    "dot",
    "cross",
    "string",
    "dry",
    "did",
];
/// What makes the word before it no instrument: `hi spot`, `line of columns`, `beam pocket`.
pub(super) const NO_INSTRUMENT: [&str; 24] = [
    "spot", "spots", "point", "points", "pt", "pts", "area", "areas", "side", "corner", "and",
    "or", "of", "pocket", "floor", "slab", "at", "fee", "paper", "screed", "here", "lo", "room",
    "pit",
];
/// Words that deny what stands on either side of them.
pub(super) const DENIES: [&str; 17] = [
    "not",
    "no",
    "never",
    "didn",
    "didnt",
    "don",
    "dont",
    "wasn",
    "wasnt",
    "isn",
    "hasn",
    "hasnt",
    "without",
    "unmoved",
    "unchanged",
    "nobody",
    "nicht",
];
/// Words that deny what stands behind them.
pub(super) const DENIES_BEHIND: [&str; 8] = [
    "same",
    "one",
    "single",
    "only",
    "continued",
    "cont",
    "avoid",
    "careful",
];
/// Places to which a sentence without a subject moves the instrument rather than the rod: `moved to hall`.
pub(super) const PLACES: [&str; 36] = [
    "other",
    "second",
    "2nd",
    "another",
    "different",
    "next",
    "two",
    "new",
    "hall",
    "hallway",
    "kitchen",
    "door",
    "doorway",
    "corridor",
    "foyer",
    "entry",
    "lobby",
    "bath",
    "bathroom",
    "bedroom",
    "bed",
    "living",
    "dining",
    "garage",
    "room",
    "rm",
    "closet",
    "laundry",
    "stairs",
    "landing",
    "office",
    "outside",
    "inside",
    "upstairs",
    "north",
    "south",
];
