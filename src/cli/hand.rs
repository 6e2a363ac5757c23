//! Edges laid by hand: the sheets that say where, and when they are worth the walk.

use std::ffi::OsString;
use std::path::Path;

use super::exit::{Ending, Stop};
use super::gather::Gathered;
use super::paper::wrote;
use super::room::{prepared, worked_out};
use super::screen::{remark, say};
use crate::analysis::{Analysis, Want};
use crate::files::{SetKind, SetPlace};
use crate::flatness::{Verdict, fewest_for_within, is_laid_by_hand};
use crate::job;
use crate::report::Pen;

/// Folder of the sheets when no other is named.
const FOLDER: &str = "hand-edges";

/// Writes the sheets.
pub fn sheets(
    gathered: &Gathered,
    count: usize,
    out: Option<&Path>,
    quiet: bool,
) -> Result<Ending, Stop> {
    let folder = gathered.out(out, FOLDER)?;
    let place = SetPlace {
        folder: &folder,
        inputs: &gathered.read,
        replace: false,
        // Somebody fills them in: from now on they are his, and nothing may replace them.
        kind: SetKind::Users,
    };
    place.is_free()?;
    let room = job::only_room(&gathered.job, prepared(gathered, quiet)?)?;
    let want = Want {
        flatness: true,
        ..Want::default()
    };
    let analysis = worked_out(room, want, quiet)?;
    let (files, told) = job::hand_sheets(&analysis, count, job::paper_of(&gathered.job))?;
    say(&told.join("\n"))?;
    wrote(&place.write(&files)?)?;
    remark(
        quiet,
        "Fill in the gaps, in the table or in the workbook, and give that file back with --hand, or as hand = \"…\" in job.toml.",
    );
    Ok(Ending::Answered)
}

/// Says what to type where an edge can be laid by hand for what the readings do not test.
pub fn offer(rooms: &[Analysis], quiet: bool) {
    let mut spans: Vec<String> = Vec::new();
    for f in rooms.iter().filter_map(|a| a.flatness.as_ref()) {
        let parts = f.rules.iter().zip(&f.checks);
        for (rule, part) in parts.flat_map(|(r, c)| r.parts.iter().zip(&c.parts)) {
            let open = part.verdict() == Verdict::NotTested && part.hand.is_none();
            let span = Pen::new(rooms[0].settings.habit).span(rule.span_m);
            if open && is_laid_by_hand(rule) && !spans.contains(&span) {
                spans.push(span);
            }
        }
    }
    if spans.is_empty() {
        return;
    }
    let spans = spans.join(" and ");
    let count = fewest_for_within();
    let command = match as_typed(std::env::args_os().skip(1)) {
        Some(words) => format!("birdbath {words} --edges {count}"),
        None => format!("this command with --edges {count}"),
    };
    remark(
        quiet,
        &format!(
            "To test {spans} edges by hand: {command} writes where to lay them; --hand reads back what was measured."
        ),
    );
}

/// A command's words as they are typed, those with a blank or a sign of the shell's in quotes, without those that say how to answer: what
/// the readings were taken by goes on. `None` where a word cannot be shown as it was typed: it is no text, or not on one line.
fn as_typed(words: impl Iterator<Item = OsString>) -> Option<String> {
    let text = |w: OsString| w.into_string().ok();
    let words: Vec<String> = words.map(text).collect::<Option<_>>()?;
    if words.iter().any(|w| w.chars().any(char::is_control)) {
        return None;
    }
    let asks = |w: &String| !matches!(w.as_str(), "--json" | "-q" | "--quiet");
    let plain = |c: char| c.is_alphanumeric() || "-_./\\,:=+%".contains(c);
    let typed = words.into_iter().filter(asks).map(|w| {
        if !w.is_empty() && w.chars().all(plain) {
            w
        } else if w.contains(['"', '$', '`']) {
            format!("'{w}'")
        } else {
            format!("\"{w}\"")
        }
    });
    Some(typed.collect::<Vec<_>>().join(" "))
}
