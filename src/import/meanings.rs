//! What words say of the meaning of the numbers beside them: down from a line, up to one, or heights. One list for the title, the
//! corner, and every line above, below and beside a table.

use super::headers::tidy;
use super::options::Meaning;
use super::scales::NUMBERS;

/// How surely words say so, the surest last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sure {
    /// They may, where nothing else speaks of the numbers: `Kitchen level`.
    Faint,
    /// They may: `Spot levels`, `Top of slab`, `Rod readings`.
    Loose,
    /// They name such numbers: `Floor elevations`.
    Named,
    /// They name the numbers themselves so: `Elevation readings`.
    Spoken,
    /// They are a sentence about the numbers: `Readings are elevations`, `Measured down from the laser`.
    Clear,
}

/// What words say.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Said {
    pub down: Option<Sure>,
    pub up: Option<Sure>,
    pub elevation: Option<Sure>,
}

impl Said {
    pub(super) const fn of(self, meaning: Meaning) -> Option<Sure> {
        match meaning {
            Meaning::Down => self.down,
            Meaning::Up => self.up,
            Meaning::Elevation => self.elevation,
        }
    }

    /// The one meaning that the words speak for, at least loosely.
    pub(super) fn only(self) -> Option<Meaning> {
        let all = [Meaning::Down, Meaning::Up, Meaning::Elevation];
        let mut told = all.into_iter().filter(|m| self.of(*m) >= Some(Sure::Loose));
        told.next().filter(|_| told.next().is_none())
    }
}

/// Words that say plainly that numbers are heights.
const ELEVATIONS: [&str; 9] = [
    "elevation",
    "elevations",
    "datum",
    "h\u{f6}hen",
    "h\u{f6}henplan",
    "h\u{f6}henlage",
    "altitude",
    "altitudes",
    "kotenplan",
];
/// The same of several: they can be nobody's but the numbers'.
const SEVERAL_ELEVATIONS: [&str; 3] = ["elevations", "h\u{f6}hen", "altitudes"];
/// Words that may say so.
const HEIGHTS: [&str; 17] = [
    "level",
    "levels",
    "height",
    "heights",
    "elev",
    "elevs",
    "elv",
    "el",
    "rl",
    "rls",
    "hauteurs",
    "cotas",
    "niveaux",
    "kote",
    "nivellement",
    "topo",
    "topography",
];
/// The same of several: what is said of many points at once is said of the numbers, and not of a laser or a storey.
const SEVERAL: [&str; 9] = [
    "levels",
    "heights",
    "elevs",
    "rls",
    "hauteurs",
    "cotas",
    "niveaux",
    "topo",
    "topography",
];
/// Short for levels of a floor, or above a datum.
const CODES: [&str; 26] = [
    "ffl", "sfl", "ssl", "fsl", "ffe", "ahd", "aod", "maod", "odn", "msl", "amsl", "nap", "navd",
    "navd88", "ngvd", "ngvd29", "dnn", "nn", "nhn", "toc", "tos", "okff", "okrf", "okrff", "rff",
    "okfb",
];
/// What a level is of, before the word.
const OF_LEVEL: [&str; 14] = [
    "spot",
    "slab",
    "floor",
    "finished",
    "finish",
    "as-built",
    "built",
    "reduced",
    "absolute",
    "relative",
    "structural",
    "formation",
    "surface",
    "concrete",
];
/// What the top is of that is surveyed.
const TOPS: [&str; 12] = [
    "concrete",
    "conc",
    "slab",
    "steel",
    "floor",
    "topping",
    "deck",
    "screed",
    "finish",
    "subfloor",
    "underlayment",
    "plank",
];
/// What heights are above.
const REFERENCES: [&str; 14] = [
    "bm",
    "tbm",
    "benchmark",
    "bench",
    "datum",
    "slab",
    "deck",
    "zero",
    "msl",
    "sea",
    "ffl",
    "ssl",
    "subfloor",
    "mark",
];
/// A mark whose own elevation may stand beside any table.
const MARKS: [&str; 6] = ["bm", "tbm", "benchmark", "bench", "mark", "hi"];
/// What else stands above such a mark, and is not read.
const INSTRUMENTS: [&str; 7] = [
    "laser",
    "instrument",
    "level",
    "tripod",
    "line",
    "beam",
    "hi",
];
/// A level line, or what gives it.
const LINES: [&str; 12] = [
    "laser",
    "line",
    "beam",
    "string",
    "stringline",
    "string-line",
    "wire",
    "instrument",
    "level",
    "plane",
    "lens",
    "chalkline",
];
/// What work does up to a line: no measuring.
const WORK: [&str; 8] = [
    "pour", "fill", "build", "bring", "raise", "float", "screed", "grind",
];
/// Marks that heights are counted from, and nothing else.
const ZEROS: [&str; 7] = ["bm", "tbm", "benchmark", "datum", "msl", "sea", "zero"];
/// Words that may stand beside what numbers are measured from, and say nothing else.
const BESIDE_FROM: [&str; 15] = [
    "measured",
    "measurements",
    "taken",
    "read",
    "reading",
    "readings",
    "distance",
    "distances",
    "all",
    "from",
    "off",
    "the",
    "a",
    "our",
    "level",
];
/// What is measured to.
const FLOORS: [&str; 8] = [
    "floor", "slab", "deck", "subfloor", "concrete", "screed", "finish", "topping",
];
/// Words that stand beside `RL`, reduced level, where it is no name.
const BESIDE_RL: [&str; 22] = [
    "rl", "rls", "level", "levels", "reduced", "floor", "survey", "spot", "as-built", "mm", "cm",
    "m", "ft", "in", "the", "of", "readings", "all", "are", "is", "as", "taken",
];
/// A number that is large, and one that is small; and a floor that is high, and one that is low.
const LARGE: [&str; 8] = [
    "more", "larger", "large", "bigger", "big", "greater", "higher", "high",
];
const SMALL: [&str; 6] = ["smaller", "small", "less", "lesser", "lower", "low"];
/// The same of the one that is more so than all others; alone it is a place of the floor, `Lowest: by the door`.
const LARGEST: [&str; 4] = ["highest", "biggest", "largest", "greatest"];
const SMALLEST: [&str; 3] = ["lowest", "smallest", "least"];
const HIGH: [&str; 13] = [
    "higher", "high", "highs", "highest", "up", "raised", "hump", "humps", "bump", "bumps",
    "crown", "crowns", "ridges",
];
const LOW: [&str; 13] = [
    "lower", "low", "lows", "lowest", "down", "deeper", "dip", "dips", "hollow", "hollows", "sag",
    "sags", "valleys",
];

/// Words in small letters; `T.O.S.` is one.
fn list(text: &str) -> Vec<String> {
    // `Laser-to-floor` is three words.
    let words = tidy(&undotted(&text.to_lowercase()).replace("-to-", " to "));
    words.split(' ').map(str::to_owned).collect()
}

/// Words of letters with points between them, `f.f.e.`, without the points.
fn undotted(text: &str) -> String {
    let words = text.split_whitespace().map(|w| {
        let parts: Vec<&str> = w.split('.').filter(|p| !p.is_empty()).collect();
        let short = parts.len() > 1 && parts.iter().all(|p| p.chars().count() <= 2);
        let letters = w.chars().all(|c| c.is_alphabetic() || c == '.');
        if short && letters {
            parts.concat()
        } else {
            w.to_owned()
        }
    });
    words.collect::<Vec<_>>().join(" ")
}

/// What some words say of the numbers of their table; `title` where they are its title or stand in its corner.
pub(super) fn said(text: &str, title: bool) -> Said {
    let words = Words {
        text,
        list: list(text),
        title,
    };
    let (down, up) = (words.down(), words.up());
    let clear = |s: Option<Sure>| s == Some(Sure::Clear);
    let mut elevation = words.elevation();
    // `Heights measured down from the laser` are no heights.
    if (clear(down) || clear(up)) && !is_larger(text, &HIGH, &LOW) {
        elevation = None;
    }
    // A height of the laser is none of the floor.
    if elevation == Some(Sure::Faint) && down.max(up) >= Some(Sure::Loose) {
        elevation = None;
    }
    // `Readings not elevations`.
    let denied = |list: &[&str]| words.pair(&["not", "no"], list);
    if denied(&ELEVATIONS) || denied(&HEIGHTS) {
        elevation = None;
    }
    Said {
        down,
        up,
        elevation,
    }
}

struct Words<'a> {
    text: &'a str,
    list: Vec<String>,
    title: bool,
}

impl Words<'_> {
    fn says(&self, list: &[&str]) -> bool {
        self.list.iter().any(|w| list.contains(&w.as_str()))
    }

    /// Where a word of a list stands, at or behind a place.
    fn at(&self, list: &[&str], from: usize) -> Option<usize> {
        let behind = self.list.iter().skip(from);
        behind
            .clone()
            .position(|w| list.contains(&w.as_str()))
            .map(|k| k + from)
    }

    /// Whether one word stands before another, no more than three between.
    fn near(&self, first: &[&str], second: &[&str]) -> bool {
        let at = (0..self.list.len()).filter(|&k| first.contains(&self.list[k].as_str()));
        at.into_iter()
            .any(|k| self.at(second, k + 1).is_some_and(|other| other - k <= 4))
    }

    fn pair(&self, first: &[&str], second: &[&str]) -> bool {
        self.list
            .windows(2)
            .any(|w| first.contains(&w[0].as_str()) && second.contains(&w[1].as_str()))
    }

    /// Whether they say that something is something.
    fn has_verb(&self) -> bool {
        self.says(&[
            "are", "is", "was", "were", "mean", "means", "sind", "show", "shows", "give", "gives",
        ]) || self.text.contains(['=', ':'])
    }

    fn down(&self) -> Option<Sure> {
        const DOWNS: [&str; 7] = ["down", "downs", "drop", "drops", "dropped", "tape", "taped"];
        const PLACES: [&str; 9] = [
            "page", "sheet", "row", "rows", "column", "columns", "hall", "room", "corridor",
        ];
        let from_line = self.near(&["from", "off"], &LINES);
        // What was shot down from a mark and reduced to a datum is a height.
        let reduced = self.says(&CODES) || self.says(&["reduced"]);
        let from_zero =
            self.near(&["from", "off"], &ZEROS) && self.says(&["down", "downs"]) && !reduced;
        let of_page = self.says(&PLACES);
        let numbers: Vec<&str> = NUMBERS.into_iter().filter(|w| *w != "all").collect();
        let spoken = self.says(&numbers) && self.says(&["down", "drop", "drops"]) && !of_page;
        let clear = is_larger(self.text, &LOW, &HIGH)
            || self.near(&["below", "beneath", "under"], &LINES[..4])
            || (self.says(&DOWNS) && from_line)
            || ((from_zero || self.are_below_a_mark()) && !of_page)
            || (self.says(&["measured", "distance", "distances"])
                && self.says(&["down"])
                && self.says(&LINES))
            || (self.near(&LINES[..8], &["to"])
                && self.near(&["to"], &FLOORS)
                && !self.says(&["above"]))
            || (spoken && self.has_verb());
        if clear {
            return Some(Sure::Clear);
        }
        if spoken || self.are_from_a_line() {
            return Some(Sure::Spoken);
        }
        let rods = self.says(&["rod", "rods", "staff"]) && self.says(&numbers);
        let loose = (self.says(&["down"]) && self.says(&LINES[..3]) && !of_page)
            || (self.title
                && (rods
                    || matches!(&self.list[..], [only] if only == "down" || only == "drops" || only == "drop")));
        loose.then_some(Sure::Loose)
    }

    /// `Measured from laser`, `From string line`, and nothing else: below it or above, larger is lower.
    fn are_from_a_line(&self) -> bool {
        let plain = |w: &String| BESIDE_FROM.contains(&w.as_str()) || LINES.contains(&w.as_str());
        self.near(&["from", "off"], &LINES) && self.list.iter().all(plain)
    }

    /// `Readings below datum`, `Below the benchmark`: larger is lower. How far below one point lies may be typed beside it.
    fn are_below_a_mark(&self) -> bool {
        let numbers = self.says(&NUMBERS) || self.says(&["distance", "distances"]);
        let plain = |w: &String| {
            let w = w.as_str();
            BESIDE_FROM.contains(&w)
                || ZEROS.contains(&w)
                || ["below", "beneath", "under"].contains(&w)
        };
        self.near(&["below", "beneath", "under"], &ZEROS)
            && (numbers || self.list.iter().all(plain))
    }

    /// `Above benchmark`, `Measured up from string line at floor`: larger is higher.
    fn are_above_a_mark(&self) -> bool {
        let plain = |w: &String| {
            let w = w.as_str();
            BESIDE_FROM.contains(&w) || ZEROS.contains(&w) || w == "above" || w == "over"
        };
        // `Figures are inches above zero`: of the numbers it may be said in any words.
        let spoken = self.speak_of_numbers()
            && !self.says(&LINES)
            && !self.text.contains(|c: char| c.is_ascii_digit());
        let above =
            self.near(&["above", "over"], &ZEROS) && (spoken || self.list.iter().all(plain));
        let up = self.pair(&["up"], &["from", "off"]) && !self.says(&["to"]);
        let measured = self.says(&["measured", "taken", "read"]) || self.says(&NUMBERS);
        above || (up && measured && (self.says(&LINES) || self.says(&ZEROS)))
    }

    fn up(&self) -> Option<Sure> {
        if self.says(&WORK) {
            return None;
        }
        let measured = self.says(&NUMBERS)
            || self.says(&[
                "measured",
                "distance",
                "distances",
                "taken",
                "tape",
                "taped",
            ]);
        let to_line = self.near(&["to"], &LINES);
        let clear = (self.pair(&["up"], &["to"]) && (measured || to_line))
            || (to_line && self.near(&FLOORS, &["to"]) && !self.says(&["down"]));
        if clear {
            return Some(Sure::Clear);
        }
        // `Height to laser line`, `Tape to laser dot`: how far it is to the line, and no height of the floor.
        if to_line && (measured || self.says(&HEIGHTS) || self.says(&["dist"])) {
            let plain = |w: &String| {
                let w = w.as_str();
                BESIDE_FROM.contains(&w)
                    || LINES.contains(&w)
                    || HEIGHTS.contains(&w)
                    || matches!(w, "to" | "dist" | "tape" | "dot")
            };
            let nothing_else = self.list.iter().all(plain);
            return Some(if nothing_else {
                Sure::Clear
            } else {
                Sure::Spoken
            });
        }
        // How high the laser stands is one number, and may be typed beside the words.
        let above =
            self.near(&LINES[..3], &["above", "over"]) && self.near(&["above", "over"], &FLOORS);
        let number = self.text.contains(|c: char| c.is_ascii_digit());
        (above && !number).then_some(Sure::Loose)
    }

    /// Whether they are about reduced levels: `RL Smith` is somebody's name.
    fn are_reduced(&self) -> bool {
        let named = self.says(&["rl", "rls"]) || self.pair(&["reduced"], &["level", "levels"]);
        let plain =
            |w: &String| BESIDE_RL.contains(&w.as_str()) || w.chars().all(|c| c.is_ascii_digit());
        named && (self.list.iter().all(plain) || self.says(&NUMBERS))
    }

    /// Whether they name the level of a floor in short or by its top: `FFL`, `T.O.S.`, `Top of slab`, `Spot level`, `Grade`.
    fn name_a_level(&self) -> bool {
        let numbered = |k: usize| {
            self.list
                .get(k)
                .is_some_and(|w| w.starts_with(|c: char| c.is_ascii_digit()))
        };
        let top = self.near(&["top"], &TOPS) && self.pair(&["top"], &["of"]);
        let level = self.list.windows(2).enumerate().any(|(k, w)| {
            OF_LEVEL.contains(&w[0].as_str())
                && ["level", "height", "elev", "el"].contains(&w[1].as_str())
                && !numbered(k + 2)
        });
        // A slab on grade, and grade 5.
        let grade = self.at(&["grade", "grades"], 0).is_some_and(|k| {
            let on = k
                .checked_sub(1)
                .is_some_and(|k| matches!(self.list[k].as_str(), "on" | "below" | "at"));
            !on && !numbered(k + 1) && self.list.len() <= 3
        });
        let z = self.list.first().is_some_and(|w| w == "z") && self.list.len() <= 2;
        self.says(&CODES) || top || level || grade || z
    }

    /// Whether words are nothing but a name of heights with its unit, wherever they stand.
    fn are_a_name(&self) -> bool {
        let plain = |w: &String| {
            let w = w.as_str();
            BESIDE_RL.contains(&w)
                || CODES.contains(&w)
                || HEIGHTS.contains(&w)
                || OF_LEVEL.contains(&w)
                || TOPS.contains(&w)
                || w == "top"
        };
        self.list.iter().all(plain)
    }

    fn elevation(&self) -> Option<Sure> {
        let reduced = self.are_reduced();
        let z_values = self.pair(&["z"], &NUMBERS);
        let spoken = z_values || (self.says(&NUMBERS) && (self.says(&ELEVATIONS) || reduced));
        if is_larger(self.text, &HIGH, &LOW) || (spoken && self.has_verb()) {
            return Some(Sure::Clear);
        }
        if spoken || self.are_above_a_mark() {
            return Some(Sure::Spoken);
        }
        // One reduced level is that of a mark or of the line; several, or words for the numbers, are the table's.
        let of_table = self.title || self.says(&["levels", "rls"]) || self.list == ["rl"];
        if self.says(&SEVERAL_ELEVATIONS)
            || (of_table && reduced)
            || (self.title && self.says(&ELEVATIONS))
        {
            return Some(Sure::Named);
        }
        let above =
            self.says(&["above", "over", "from", "rel", "relative"]) && self.says(&REFERENCES);
        let of_numbers = self.says(&SEVERAL) || self.says(&NUMBERS) || self.list.len() <= 4;
        let heights = self.says(&HEIGHTS) && above && of_numbers && !self.says(&INSTRUMENTS);
        let named = self.name_a_level() || self.says(&SEVERAL);
        // What a sentence says of the numbers it says wherever it stands, as a title does.
        let of_table = self.title || self.speak_of_numbers() && !self.says(&LINES);
        if heights || self.are_heights_of_a_floor() || (named && (of_table || self.are_a_name())) {
            return Some(Sure::Loose);
        }
        let own = self.says(&ELEVATIONS);
        // `Datum | 12.05.2026` is a date, `Elevation | 1,200 ft` that of the site.
        if own && self.list.len() > 1 && !self.says(&INSTRUMENTS) && !self.says(&MARKS) {
            return Some(Sure::Loose);
        }
        let heights = self.says(&HEIGHTS) && !self.name_a_storey();
        (own || (self.title && heights)).then_some(Sure::Faint)
    }

    /// Whether they are a sentence about the numbers of the table.
    fn speak_of_numbers(&self) -> bool {
        let all = |w: &&str| *w != "all";
        let numbers: Vec<&str> = NUMBERS.into_iter().filter(all).collect();
        (self.says(&numbers) || self.says(&["shots"])) && self.has_verb()
    }

    /// `Readings = height of slab`, `All shots are floor heights`, `Readings show how high the floor is`: said of the numbers, of what
    /// lies in the floor, and not of the line over it.
    fn are_heights_of_a_floor(&self) -> bool {
        let of_floor = self.near(&HEIGHTS, &FLOORS)
            || self.pair(&FLOORS, &SEVERAL)
            || (self.pair(&["how"], &["high"]) && self.says(&FLOORS));
        (self.says(&NUMBERS) || self.says(&["shots"]))
            && self.has_verb()
            && of_floor
            && !self.says(&[
                "laser",
                "instrument",
                "tripod",
                "line",
                "beam",
                "receiver",
                "to",
            ])
    }

    /// Whether the level that they name is a storey: `Level 2`, `Lower level`, `Kitchen, level B1`.
    fn name_a_storey(&self) -> bool {
        const WHICH: [&str; 14] = [
            "lower",
            "upper",
            "main",
            "ground",
            "top",
            "basement",
            "entry",
            "street",
            "garden",
            "mezzanine",
            "first",
            "second",
            "third",
            "split",
        ];
        let others = HEIGHTS.iter().filter(|w| **w != "level");
        let counted = |w: &String| {
            w.len() <= 3
                && w.trim_start_matches(|c: char| c.is_alphabetic())
                    .parse::<u32>()
                    .is_ok()
        };
        let storey = |(k, w): (usize, &String)| {
            let behind = self.list.get(k + 1).is_some_and(counted);
            let before = k.checked_sub(1).map_or("", |k| self.list[k].as_str());
            w == "level" && (behind || WHICH.contains(&before))
        };
        !others.into_iter().any(|w| self.says(&[w])) && self.list.iter().enumerate().any(storey)
    }
}

/// Whether words speak of how a distance from a line is taken, `Receiver heights on rod`, or of how large numbers lie, `Low where the
/// number is big`, though nothing else is known of them: over heights that is told.
pub(super) fn speaks_of_measuring(text: &str) -> bool {
    const BY: [&str; 10] = [
        "laser", "beam", "receiver", "detector", "rod", "staff", "rule", "tape", "dot", "string",
    ];
    const DOWN: [&str; 11] = [
        "down",
        "downward",
        "downwards",
        "drop",
        "drops",
        "shots",
        "foresight",
        "foresights",
        "below",
        "beneath",
        "under",
    ];
    const HOW: [&str; 9] = [
        "height", "heights", "levels", "read", "reads", "measured", "stood", "held", "taken",
    ];
    let words = list(text);
    let says = |list: &[&str]| words.iter().any(|w| list.contains(&w.as_str()));
    let of_numbers = says(&NUMBERS) || says(&HOW);
    (says(&DOWN) && (of_numbers || words.len() <= 2))
        || (says(&BY) && (of_numbers || says(&["up"])))
        || (says(&["low", "high", "lower", "higher"])
            && says(&["big", "bigger", "large", "larger", "small", "smaller"]))
}

/// Whether a note beside one reading speaks of all numbers of its table, as `Readings are elevations` or `bigger number = hump` does: `reading at
/// top of slab`, `high` and `step down` are of that one place.
pub(super) fn speaks_of_the_numbers(text: &str) -> bool {
    const SEVERAL_NUMBERS: [&str; 16] = [
        "readings",
        "rdgs",
        "values",
        "numbers",
        "figures",
        "measurements",
        "dimensions",
        "shots",
        "distances",
        "heights",
        "elevations",
        "altitudes",
        "rls",
        "positive",
        "plus",
        "measured",
    ];
    let words = list(text);
    let says = |list: &[&str]| words.iter().any(|w| list.contains(&w.as_str()));
    let sized = [&LARGE[..], &SMALL, &LARGEST, &SMALLEST]
        .iter()
        .any(|l| says(l));
    says(&SEVERAL_NUMBERS)
        || (says(&NUMBERS) && sized)
        || (text.contains('=')
            && (text.contains('+') || says(&["bigger", "larger", "greater", "smaller"])))
}

/// Whether words say that a larger number stands for a floor as `floor` calls it: `Larger number = higher`, `High number is high
/// spot`, `The higher the number the higher the floor`, `+ = high`; `other` are the words for the opposite.
fn is_larger(text: &str, floor: &[&str], other: &[&str]) -> bool {
    let lower = text.to_lowercase().replace("-->", "=").replace("->", "=");
    let lower = body(&lower.replace(['!', '?'], " ")).to_owned();
    if the_more_the_more(&lower, floor) || plus_is(&lower, floor) {
        return true;
    }
    let parted = ["=", " is ", " are ", " means ", " mean ", ":"]
        .iter()
        .find_map(|mark| lower.split_once(mark));
    let Some((left, right)) = parted else {
        return false;
    };
    let says = |text: &str, list: &[&str]| tidy(text).split(' ').any(|w| list.contains(&w));
    // A sign is of numbers: alone, in words, or beside words for numbers.
    let signed = |text: &str, sign: &[char], names: [&str; 3]| {
        let bare = text.trim().trim_matches(['(', ')', '\'', '"']);
        bare.chars().all(|c| sign.contains(&c)) && !bare.is_empty()
            || names.iter().any(|n| tidy(text).split(' ').any(|w| w == *n))
    };
    let plus = |text: &str| signed(text, &['+'], ["plus", "positive", "+ve"]);
    let minus = |text: &str| signed(text, &['-', '\u{2212}'], ["minus", "negative", "-ve"]);
    if [(left, right), (right, left)]
        .iter()
        .any(|(sign, told)| (plus(sign) && says(told, floor)) || (minus(sign) && says(told, other)))
    {
        return true;
    }
    // A floor's place may stand on the left as well, `high spot = 40`, and says nothing of numbers.
    // So do extremes, `High: 40, low: 39`.
    let figures = right.contains(|c: char| c.is_ascii_digit());
    let one_word = tidy(left).split(' ').count() == 1 && !figures;
    let of_numbers = says(left, &NUMBERS) || one_word;
    let sizes = |sized: &str, told: &str| {
        let most = says(sized, &NUMBERS);
        let large = says(sized, &LARGE) || (most && says(sized, &LARGEST));
        let small = says(sized, &SMALL) || (most && says(sized, &SMALLEST));
        (large && says(told, floor)) || (small && says(told, other))
    };
    (of_numbers && sizes(left, right))
        || (says(right, &NUMBERS) && !says(left, &NUMBERS) && sizes(right, left))
}

/// A sentence without the mark of a list or the label before it: `1) bigger = higher`, `• ...`, `Note: ...`.
fn body(lower: &str) -> &str {
    let mut text = lower.trim();
    let marks = ['*', '\u{2022}', '\u{b7}', '\u{2013}', '\u{2014}'];
    text = text.trim_start_matches(marks).trim_start();
    // A minus sign is said to be something itself: `- = low`.
    if let Some(rest) = text.strip_prefix("- ")
        && !["=", "is ", "are ", "means "]
            .iter()
            .any(|verb| rest.starts_with(verb))
    {
        text = rest.trim_start();
    }
    let digits = text.trim_start_matches(|c: char| c.is_ascii_digit());
    if digits.len() < text.len()
        && let Some(rest) = digits.strip_prefix([')', '.'])
        && rest.starts_with(' ')
    {
        text = rest.trim_start();
    }
    match text.split_once('=') {
        // `Note: bigger = higher`, `5/12: bigger = higher`.
        Some((left, _)) => left.rfind(':').map_or(text, |k| text[k + 1..].trim_start()),
        None => text,
    }
}

/// `+ high / - low`, `(high +)`: a plus sign beside a word for the floor, and nothing else in its piece.
fn plus_is(lower: &str, floor: &[&str]) -> bool {
    const MOST: usize = 3;
    lower.split(['/', ',', ';', '(']).any(|piece| {
        let bare = piece.replace([')', '\'', '"'], " ");
        let spaced = bare.replace('+', " + ");
        let words: Vec<&str> = spaced.split_whitespace().collect();
        let signed = words.first() == Some(&"+") || words.last() == Some(&"+");
        signed && words.len() <= MOST && words.iter().any(|w| floor.contains(w))
    }) || lower.contains("(+)") && {
        let behind = lower.split_once("(+)").map_or("", |p| p.1);
        let next = behind.split_whitespace().next().unwrap_or_default();
        floor.contains(&next)
    }
}

/// `The higher the number the higher the floor`, `bigger number, higher floor`: one comparison behind the other, the first of them of
/// numbers.
fn the_more_the_more(lower: &str, floor: &[&str]) -> bool {
    let high = floor.contains(&"high");
    let (larger, smaller): (&[&str], &[&str]) = if high {
        (&["higher", "highest"], &["lower", "lowest", "deeper"])
    } else {
        (&["lower", "lowest", "deeper"], &["higher", "highest"])
    };
    let words = tidy(lower);
    let list: Vec<&str> = words.split(' ').filter(|w| *w != "the").collect();
    list.iter().enumerate().skip(1).any(|(k, _)| {
        let (left, right) = list.split_at(k);
        let says = |part: &[&str], words: &[&str]| part.iter().any(|w| words.contains(w));
        let begins = |words: &[&str]| right.first().is_some_and(|w| words.contains(w));
        let of_numbers = left.len() == 2 && says(left, &NUMBERS);
        of_numbers
            && ((says(left, &LARGE) && begins(larger)) || (says(left, &SMALL) && begins(smaller)))
    })
}
