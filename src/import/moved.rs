//! Words on a sheet that the instrument was moved: what was read before and after is not read down from one line.

use super::error::{Fault, Faults, quoted};
use crate::survey::Place;

/// Refuses such words between readings, where nothing says which of them are from which set-up.
pub(super) fn refuse_between(place: Place, text: &str, faults: &mut Faults) {
    faults.add(
        Fault::Layout,
        place,
        format!("{}, between readings", quoted(text)),
        "readings from one set-up, or a column set-up",
        "If the instrument was moved here, add a column headed set-up with each set-up's name in every row, and have a mark or more in both. If not, take the row out.",
    );
}

/// Whether words say that the instrument stands somewhere else from here on: `2nd setup`, `(moved laser)`, `9:45 AM new set-up`, `tripod 2`.
/// Words that deny it, `same setup`, `laser not moved`, say the contrary.
pub(super) fn says_moved(text: &str) -> bool {
    let lower = text.to_lowercase();
    let list: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    let has = |of: &[&str]| list.iter().any(|w| of.contains(w));
    let pair = |a: &str, b: &str| list.windows(2).any(|w| w[0] == a && w[1] == b);
    let denied = has(&[
        "not",
        "no",
        "never",
        "didn",
        "didnt",
        "same",
        "one",
        "single",
        "continued",
        "cont",
    ]);
    if denied || list.len() > MOST_WORDS {
        return false;
    }
    let set_up = has(&["setup", "setups", "resetup"]) || pair("set", "up") || pair("re", "set");
    let instruments = [
        "laser",
        "lasers",
        "instrument",
        "instr",
        "tripod",
        "level",
        "rotary",
        "line",
        "station",
    ];
    let moved = has(&[
        "moved",
        "move",
        "relocated",
        "relocate",
        "shifted",
        "reset",
        "bumped",
        "raised",
        "lowered",
        "new",
        "changed",
        "swapped",
        "different",
        "kicked",
        "fell",
        "rotated",
        "relevelled",
        "releveled",
    ]);
    // `Laser #2`, `tripod 2`, `2nd position`.
    let second = |w: &str| matches!(w, "2" | "3" | "4" | "2nd" | "3rd" | "second" | "third");
    let counted = |a: &str, b: &str| {
        // `Level 2` is a storey, and `line 2` a line of the grid.
        let placed = |w: &str| {
            matches!(
                w,
                "laser" | "instrument" | "tripod" | "rotary" | "position" | "pos"
            )
        };
        (placed(a) && second(b)) || (second(a) && placed(b))
    };
    let again = list.len() <= 3 && list.windows(2).any(|w| counted(w[0], w[1]));
    // A turning point is read from two set-ups.
    let turning = pair("turning", "point")
        || list.len() == 1 && matches!(list[0], "tp" | "tp1" | "tp2" | "tp3");
    set_up || again || turning || (has(&instruments) && moved)
}

/// Longer lines are sentences of other things.
const MOST_WORDS: usize = 8;

#[cfg(test)]
mod tests {
    use super::says_moved;

    // ORACLE: what a person takes from these lines.
    #[test]
    fn lines_that_say_and_lines_that_deny_a_move() {
        for text in [
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
        ] {
            assert!(says_moved(text), "{text}");
        }
        for text in [
            "Laser not moved",
            "Same setup",
            "did not move laser",
            "Level checked, not moved",
            "set-up 1 continued",
            "one setup for all",
            "after, same laser position",
            "Level 2",
            "kitchen side",
            "new tile here",
            "line of columns",
        ] {
            assert!(!says_moved(text), "{text}");
        }
    }
}
