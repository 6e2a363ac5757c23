//! The sentences beside the verdicts: all their wording in one place.

use super::aside::STRIP_M;
use super::by_hand::fewest_for_within;
use super::coverage::{Coverage, Unread};
use super::crossed::Meeting;
use super::suspects::{Block, BlockCause};
use super::{ByHand, Chance, Judged, Likely, Measured, Outcome};
use crate::survey::setups::{TiedByOne, UNCHECKED_SLIP_M};
use crate::units::{Area, Habit, Length, Pen, area_text, part_of_area_text};

/// Where to read where marks stand closely enough elsewhere.
pub const READ_AT_EDGES: &str = "read right at walls and in blanks, and, where there are any, at voids and on both sides of joints";

/// Wording in one habit of units.
#[derive(Debug, Clone, Copy)]
pub(super) struct Words {
    habit: Habit,
}

/// What else is to be said of a part that comes down to a certified gap.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beside<'a> {
    /// How the readings serve its span.
    pub cover: &'a Coverage,
    /// What was found where readings stand close enough to prove anything.
    pub proof: Option<&'a Measured>,
    /// Suspected readings that the gap hangs on.
    pub hangs: &'a [String],
    /// The doubt of floor that is known less well, where that may hide a gap over the allowance, metres.
    pub hidden_m: Option<f64>,
    /// The largest step at a joint, where there are some and no edge was laid across them, metres.
    pub stops: Option<f64>,
    /// By how much roundings may make a gap, metres.
    pub rounding_m: f64,
    /// Whether the search came to its end.
    pub complete: bool,
    /// Whether the whole edge found room.
    pub laid: bool,
}

impl Words {
    pub fn new(habit: Habit) -> Self {
        Self { habit }
    }

    const fn pen(self) -> Pen {
        Pen::new(self.habit)
    }

    /// A gap or a doubt: to 0.01 in or 0.1 mm, as every table of gaps has it.
    pub fn gap(self, m: f64) -> String {
        format!("{} {}", self.pen().gap_number(m), self.pen().gap_unit())
    }

    /// A gap beside its limit: it never prints as the limit unless it is on it.
    pub fn gap_against(self, m: f64, limit_m: f64) -> String {
        let number = self.pen().gap_number_against(m, limit_m);
        format!("{number} {}", self.pen().gap_unit())
    }

    /// A doubt: never nothing unless there is none.
    pub fn doubt(self, m: f64) -> String {
        self.pen().doubt(m)
    }

    /// A bound, rounded up: nothing exceeds it as printed.
    pub fn bound(self, m: f64) -> String {
        self.pen().bound(m)
    }

    /// An allowance as its rule states it.
    pub fn limit(self, m: f64) -> String {
        self.pen().limit(m)
    }

    /// A share of values beside the share that may be over: it never prints as that one unless it is.
    pub fn share(self, share: f64, allowed: f64) -> String {
        self.pen().share_against(share, allowed)
    }

    /// The share that may be over.
    pub fn allowed(self, share: f64) -> String {
        self.pen().percent(share)
    }

    /// Why a share is in doubt, with a blank before it.
    pub fn share_in_doubt(self, found: &Measured, share: f64) -> String {
        format!(
            " All but {} keep to {}, nearer to the limit than the doubt of {}.",
            self.allowed(share),
            self.gap(found.gap_m),
            self.doubt(found.doubt_m)
        )
    }

    /// A span.
    pub fn span(self, m: f64) -> String {
        self.pen().span(m)
    }

    /// How far apart readings stand.
    pub fn spacing(self, m: f64) -> String {
        self.pen().spacing(m)
    }

    /// A distance that is too large, rounded up.
    pub fn at_least(self, m: f64) -> String {
        self.pen().at_least(m)
    }

    /// How far apart they may stand at most.
    pub fn read_every(self, m: f64) -> String {
        self.pen().read_every(m)
    }

    /// Why a part that comes down to a certified gap has its word.
    pub fn edge(self, outcome: &Outcome, allow: f64, beside: Beside<'_>) -> String {
        let cover = beside.cover;
        let Some(found) = outcome.measured() else {
            return self.untested(cover);
        };
        let (gap, allow_words) = (self.gap_against(found.gap_m, allow), self.limit(allow));
        let doubt = self.doubt(found.doubt_m);
        let told = beside.proof.map_or(found.gap_m, |p| p.gap_m);
        let mut out = match outcome {
            Outcome::Out(_) => {
                let mut out = match found.chance {
                    Some(chance) => format!(
                        "{gap} found where {allow_words} is allowed; the chance that the floor keeps it is {}.",
                        chance_words(chance)
                    ),
                    None => format!(
                        "{gap} found where {allow_words} is allowed, over by more than the doubt of {doubt}."
                    ),
                };
                if let Some(larger) = found.doubtful_m.filter(|m| self.gap(*m) != gap) {
                    out.push_str(&self.doubtful(larger, beside.hangs));
                }
                out
            }
            Outcome::Within(_) => format!(
                "{}Nothing over {} at any place in any direction on the surface through the readings{} where {allow_words} is allowed{}.",
                // What is proven may lie a hair over a limit that the gap found just keeps.
                if found.bound_m > allow && found.gap_m <= allow {
                    "No gap over the limit was found. "
                } else {
                    ""
                },
                self.bound(found.bound_m),
                if beside.stops.is_some() {
                    ", between joints,"
                } else {
                    ""
                },
                match found.chance {
                    // Nothing is known of what no reading touches, and who reads the word should not think otherwise.
                    Some(chance) => format!(
                        "; as far as readings {} apart can show, the chance that the floor keeps it is {}",
                        self.spacing(cover.spacing_m),
                        chance_words(chance)
                    ),
                    None => format!(", doubt {doubt}"),
                }
            ),
            _ if !beside.hangs.is_empty() => self.hanging(&gap, &allow_words, beside.hangs),
            _ if let Some(chance) = found.chance => format!(
                "{gap} found where {allow_words} is allowed; the chance that the floor keeps it is {}.{}",
                chance_words(chance),
                undecided(
                    chance,
                    found.doubt_m > allow,
                    beside.rounding_m > 0.0 && found.gap_m > allow
                ),
            ),
            _ if let Some(hidden) = beside.hidden_m
                && found.bound_m.max(told) + found.doubt_m <= allow =>
            {
                format!(
                    "{gap} found where {allow_words} is allowed, doubt {doubt}; but where the floor was carried out to a joint, or tied from another set-up, a gap is known to ±{} only, and one there may be over the limit. Read there.",
                    self.gap(hidden)
                )
            }
            _ if self.only_rounded(found, allow, beside.rounding_m) => {
                format!("{gap} found where {allow_words} is allowed.{ROUNDED}")
            }
            _ if told + found.doubt_m <= allow => format!(
                "{gap} found and no more than {} proven, which with the doubt of {doubt} does not stay under {allow_words}.",
                self.bound(found.bound_m),
            ),
            _ if self.gap_against(told, allow) != gap => format!(
                "{} found where readings stand close enough to tell, {gap} elsewhere, where {allow_words} is allowed: nearer to the limit than the doubt of {doubt}.",
                self.gap_against(told, allow)
            ),
            _ => format!(
                "{gap} found where {allow_words} is allowed: nearer to the limit than the doubt of {doubt}."
            ),
        };
        if !cover.enough() {
            out.push(' ');
            out.push_str(&self.untested(cover));
        }
        if !beside.laid {
            out.push_str(&format!(
                " The whole {} edge was never laid: it finds no room. Every shorter chord was tried.",
                self.span(cover.span_m)
            ));
        }
        out.push_str(&self.step_aside(beside.stops));
        out.push_str(&self.aside(&cover.judged));
        if !beside.complete {
            out.push_str(
                " The search ended at its work limit; the bound is what was proven by then.",
            );
        }
        out
    }

    /// That a rule leaves steps at joints aside, and the largest of them, with a blank before it; empty where it leaves none.
    pub fn step_aside(self, step_m: Option<f64>) -> String {
        let Some(step) = step_m else {
            return String::new();
        };
        // What prints as nothing is no step.
        let largest = if self.gap(step) == self.gap(0.0) {
            String::new()
        } else {
            format!("; the largest is {}", self.gap(step))
        };
        format!(
            " By this rule no edge is laid across a joint, and a step there is not judged{largest}."
        )
    }

    /// A larger gap beside the one that proves a floor out, with a blank before it.
    pub fn doubtful(self, larger_m: f64, suspects: &[String]) -> String {
        let larger = self.gap(larger_m);
        if suspects.is_empty() {
            format!(
                " {larger} was found as well, where the floor is known less well: too doubtful to prove it by itself."
            )
        } else {
            format!(
                " {larger} was found as well, but it hangs on {}, suspected of a slip.",
                listed(suspects)
            )
        }
    }

    /// A gap that hangs on readings which may be slips.
    pub fn hanging(self, gap: &str, allow: &str, names: &[String]) -> String {
        format!(
            "{gap} found where {allow} is allowed, but it {}.",
            hangs_on(names)
        )
    }

    /// A word that hangs on blocks of readings which may lie off the others, and what is found with them levelled.
    pub fn hanging_on_blocks(
        self,
        gap: &str,
        limit: &str,
        blocks: &[Block],
        levelled: Option<&str>,
    ) -> String {
        let levelled = levelled.map_or_else(String::new, |gap| {
            format!(" Levelled to what lies beside them it is {gap}.")
        });
        format!(
            "{gap} found where {limit} is allowed, but the word hangs on {}.{levelled} Read a few marks on both sides again from one set-up; mark a joint or step that is in the floor on the outline.",
            block_names(blocks)
        )
    }

    /// Set-ups that hang on one mark each, with a blank before it; empty where there are none.
    pub fn hang_on_one(alone: &[TiedByOne]) -> String {
        let told = |t: &TiedByOne| {
            format!(
                " Set-up {} hangs on {} alone, and a slip of {} there would not show: read a second mark from both.",
                t.set_up,
                t.mark,
                t.rule.both(Length::from_m(UNCHECKED_SLIP_M))
            )
        };
        alone.iter().map(told).collect()
    }

    /// The joints that the worst place meets, with a blank before it; empty where it meets none.
    pub fn over_joints(met: &[(&str, Meeting)]) -> String {
        match joints_met(met) {
            text if text.is_empty() => text,
            text => format!(" The worst place {text}."),
        }
    }

    /// What edges laid by hand say of a part; `open` where the readings leave it not tested.
    pub fn by_hand(self, hand: &ByHand, allow_m: f64, open: bool) -> String {
        let limit = self.limit(allow_m);
        let mut out = match hand.at_most_share {
            Some(share) => format!(
                "By hand at {} random placement{}, {} over {limit}: with 95 % confidence at most {} of placements are over.",
                hand.laid,
                plural(hand.laid),
                none_or(hand.over),
                self.pen().share_up(share),
            ),
            None => "By hand at no random placement, so that nothing is known of the share of placements that are over.".to_owned(),
        };
        if hand.laid > 0 && hand.laid < hand.drawn {
            out.push_str(&format!(
                " {} of {} random placements were laid; those left out count as over, since nobody can tell that they were not left out for what they show.",
                hand.laid, hand.drawn
            ));
        }
        if hand.chosen > 0 {
            out.push_str(&format!(
                " At {} placement{} chosen besides, {} over.",
                hand.chosen,
                plural(hand.chosen),
                none_or(hand.chosen_over)
            ));
        }
        if hand.moved > 0 {
            out.push_str(&format!(
                " {} that the sheet calls random lie{} elsewhere than what was drawn, and count{} as chosen.",
                hand.moved,
                if hand.moved == 1 { "s" } else { "" },
                if hand.moved == 1 { "s" } else { "" },
            ));
        }
        if let Some(worst) = &hand.worst
            && worst.gap_m > 0.0
        {
            out.push_str(&format!(
                " The largest gap by hand is {}, at placement {}.",
                self.gap_against(worst.gap_m, allow_m),
                worst.number
            ));
        }
        let short = hand.drawn > 0 && hand.drawn < fewest_for_within();
        if open && short && !hand.is_out() {
            out.push_str(&format!(
                " Fewer than {} random placements bring no part within.",
                fewest_for_within()
            ));
        }
        out
    }

    /// What edges laid by hand say, where they decide, and then what the readings do.
    pub fn besides(hand: &str, readings: &str) -> String {
        format!("{hand} The readings by themselves: {readings}")
    }

    /// What can be done where readings cannot test a part that a person lays an edge for, with a blank before it.
    pub fn or_by_hand() -> String {
        format!(
            " Or lay the edge by hand at {} places drawn at random.",
            fewest_for_within()
        )
    }

    /// Whether roundings alone keep a value from proving a floor out.
    pub fn only_rounded(self, found: &Measured, allow_m: f64, rounding_m: f64) -> bool {
        rounding_m > 0.0 && found.chance.is_none() && found.gap_m - found.doubt_m > allow_m
    }

    /// Why an edge on its blocks was not tested where it finds no room.
    pub fn no_room_on_blocks(self, span_m: f64) -> String {
        format!(
            "A {} edge on two blocks at its ends finds no room anywhere on the floor that was read. A shorter edge needs a limit of its own: agree on one.",
            self.span(span_m)
        )
    }

    /// Why the readings do not serve a span, and what would.
    pub fn untested(self, cover: &Coverage) -> String {
        let span = self.span(cover.span_m);
        let why = if cover.read_m2 <= 0.0 {
            "No floor lies between readings.".to_owned()
        } else if cover.coarse_m2 <= 0.0 {
            format!(
                "With readings {} apart a gap under {span} may lie between them.",
                self.spacing(cover.spacing_m)
            )
        } else {
            format!(
                "Read closely enough for {span} {}.{}",
                self.only_on(&cover.judged),
                self.too_much_unread(cover)
            )
        };
        format!("{why} {}", self.needed(cover))
    }

    /// Beside distances that are judged, where the gap that is told is at one that is not.
    pub const fn coarse_proves_out(self) -> &'static str {
        "At the distance of this gap readings stand too far apart to call the floor within; they can prove it out, and do."
    }

    /// Why heights within a distance are not told.
    pub fn untested_within(self, cover: &Coverage) -> String {
        format!(
            "Readings {} apart tell too little of the floor within {} of a place, and no two of them so near to one place prove it out. {}",
            self.spacing(cover.spacing_m),
            self.span(cover.span_m),
            self.needed(cover)
        )
    }

    /// Two readings that prove heights within a distance out where the floor between is not known.
    pub fn readings_differ(self, found: &Measured, allow: f64, cover: &Coverage) -> String {
        format!(
            "Two readings within {} of one place differ by {}; {} is allowed, doubt {}. Readings stand too far apart to tell more.",
            self.span(cover.span_m),
            self.gap_against(found.gap_m, allow),
            self.limit(allow),
            self.doubt(found.doubt_m)
        )
    }

    /// Why a share of the room that would be large enough is not.
    fn too_much_unread(self, cover: &Coverage) -> String {
        match cover.judged.unread() {
            Some(Unread::Strip) => " The strip along the walls without a reading is more than a quarter of the room, too much to be left aside: read there too.".into(),
            Some(Unread::Hole) => format!(
                " Some floor lies as far as {} from the nearest reading: more than {}, and a hollow could lie there that this edge would show.",
                self.at_least(cover.judged.farthest_m),
                self.read_every(cover.judged.needed_m)
            ),
            None => String::new(),
        }
    }

    /// The share of the room that something is said of, where it is not enough.
    pub fn only_on(self, judged: &Judged) -> String {
        let (part, whole) = (
            Area::from_si(judged.judged_m2),
            Area::from_si(judged.room_m2),
        );
        match part_of_area_text(part, whole, self.habit) {
            Some(text) if judged.judged_m2 > 0.0 => format!("on {text} only"),
            _ if judged.judged_m2 > 0.0 => format!("on {}", area_text(whole, self.habit)),
            _ => "nowhere".to_owned(),
        }
    }

    /// What reading would be needed.
    pub fn needed(self, cover: &Coverage) -> String {
        if cover.is_read_closely() {
            return format!(
                "The marks stand closely enough for {}; what is missing lies at edges or in blanks: {}.",
                self.span(cover.span_m),
                READ_AT_EDGES
            );
        }
        format!(
            "To judge {}, read every {} or closer.",
            self.span(cover.span_m),
            self.read_every(cover.judged.needed_m)
        )
    }

    /// What the readings leave open though a word is settled, in sentences: how closely too little of the floor was read, and what is not
    /// judged; empty for nothing.
    pub fn left_open(self, judged: &Judged, cover: Option<&Coverage>) -> String {
        let coarse = cover.filter(|c| !c.enough());
        let mut out = coarse.map_or_else(String::new, |c| self.untested(c));
        out.push_str(&self.aside(judged));
        out.trim_start().to_owned()
    }

    /// The strip that is left aside and what else is not judged, with a blank before it; empty where there is nothing of it
    /// to speak of.
    pub fn aside(self, judged: &Judged) -> String {
        let area = |m2: f64| area_text(Area::from_si(m2), self.habit);
        // What prints as nothing need not be told.
        let to_tell = |m2: f64| m2 > 0.0 && !area(m2).starts_with("0.00 ");
        let mut out = String::new();
        if to_tell(judged.aside_m2) {
            out.push_str(&format!(
                " Floor within {} of walls, voids, columns and slopes that are kept, {}, carries no reading and is left aside.",
                self.span(STRIP_M),
                area(judged.aside_m2)
            ));
        }
        let rest = judged.rest_m2();
        if judged.judged_m2 > 0.0 && to_tell(rest) {
            out.push_str(&format!(
                " {} {}is not read closely enough for this span and is not judged.",
                area(rest),
                if out.is_empty() { "" } else { "more " }
            ));
        }
        if to_tell(judged.carried_m2) {
            out.push_str(&format!(
                " {} that is judged was carried out to joints from the readings beside them.",
                area(judged.carried_m2)
            ));
        }
        out
    }
}

/// Which joints a place meets: `lies across joint J1`, `ends at joint J2`; empty for none.
pub fn joints_met(met: &[(&str, Meeting)]) -> String {
    let of = |way: Meeting, verb: &str| {
        let names: Vec<String> = met
            .iter()
            .filter(|(_, m)| *m == way)
            .map(|(name, _)| joint_name(name))
            .collect();
        (!names.is_empty()).then(|| format!("{verb} {}", listed(&names)))
    };
    [
        of(Meeting::Across, "lies across"),
        of(Meeting::EndsAt, "ends at"),
    ]
    .into_iter()
    .flatten()
    .collect::<Vec<_>>()
    .join(" and ")
}

/// `joint J1`; a name that says so itself stands alone.
fn joint_name(name: &str) -> String {
    if name.to_lowercase().contains("joint") {
        name.to_owned()
    } else {
        format!("joint {name}")
    }
}

const fn plural(count: usize) -> &'static str {
    if count == 1 { "" } else { "s" }
}

/// A count in words where it is none.
fn none_or(count: usize) -> String {
    match count {
        0 => "none".to_owned(),
        n => n.to_string(),
    }
}

/// Why values of readings that take few steps prove nothing out, with a blank before it.
pub(super) const ROUNDED: &str = " But the readings take two or three steps in all, and their roundings alone can make as much: read to a finer step.";

/// Why a chance leaves a word in doubt, with a blank before it.
fn undecided(chance: Chance, is_doubt_over: bool, is_rounded: bool) -> &'static str {
    if chance.is_within() && is_doubt_over {
        " But readings that are good to no more than the limit prove nothing within it."
    } else if chance.is_within() {
        " But the readings themselves show a gap over the limit: read closer there."
    } else if chance.is_out() && is_rounded {
        ROUNDED
    } else if chance.is_out() {
        " But the readings themselves show no gap over the limit: read closer."
    } else if chance.on_steps {
        " Whether the floor steps at a joint, to which it is carried out from either side, decides it: read close to the joint on both its sides."
    } else if chance.hangs_on_noise() {
        " How well a reading repeats decides it: read ten marks twice and type both readings, or state it."
    } else {
        " What lies between the readings, and what they are good to, decides it: read more closely, or to a finer step."
    }
}

/// A chance in words: 95 % or more, 5 % or less, about 60 %, between 40 and 80 %.
pub fn chance_words(chance: Chance) -> String {
    let whole = |share: f64| (share * 100.0).round();
    let (low, high) = (whole(chance.low), whole(chance.high));
    if chance.is_within() {
        "95 % or more".to_owned()
    } else if chance.is_out() {
        "5 % or less".to_owned()
    } else if high - low <= 5.0 {
        // Beside *in doubt* never where *within* and *out* begin.
        format!("about {:.0} %", ((low + high) / 2.0).clamp(6.0, 94.0))
    } else {
        format!("between {low:.0} and {high:.0} %")
    }
}

/// That something hangs on readings that may be slips, in the words of every answer and sheet.
pub fn hangs_on(names: &[String]) -> String {
    format!(
        "hangs on {}, suspected of a slip: read {} again",
        listed(names),
        if names.len() == 1 { "it" } else { "them" }
    )
}

/// What may be the matter with blocks, as a sentence names it.
fn block_names(blocks: &[Block]) -> String {
    let mut names = Vec::new();
    let mut bumped = Vec::new();
    for block in blocks {
        match &block.cause {
            BlockCause::LoneTie { mark, set_up } => {
                names.push(format!("{mark}, which alone ties set-up {set_up}"));
            }
            BlockCause::Bumped { from } => bumped.push(format!("from {from} on")),
        }
    }
    let mut told = listed(&names);
    if !bumped.is_empty() {
        if !told.is_empty() {
            told.push_str("; and on ");
        }
        told.push_str(&format!(
            "the readings {}, where the line may have been bumped",
            listed(&bumped)
        ));
    }
    told
}

/// Names in a row; the first three of many.
fn listed(names: &[String]) -> String {
    const MOST: usize = 3;
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] if names.len() <= MOST => format!("{} and {last}", first.join(", ")),
        _ => format!(
            "{} and {} more",
            names[..MOST].join(", "),
            names.len() - MOST
        ),
    }
}

impl Likely {
    /// The range in words beside the limit that it is held to: 2.3 to 4.1 mm.
    pub fn words(self, pen: Pen, limit_m: f64) -> String {
        let end = |m: f64| pen.gap_against(m, limit_m);
        format!("{} to {}", end(self.low_m), end(self.high_m))
    }
}
