//! What was understood of the files, as text and in machine form, before anything is computed.

use super::prepare::Prepared;
use crate::import::{Imported, UnderstoodRoom, Why};
use crate::report::{Pen, result_file, words::understood as w};
use crate::survey::one_line;
use crate::units::{Habit, number_text};

/// A screen of what was understood; with `cells`, every reading with its own text.
pub fn understood_text(rooms: &[Prepared], cells: bool) -> String {
    let mut out = String::new();
    let Some(first) = rooms.first() else {
        return out;
    };
    let pen = Pen::new(first.settings.habit);
    for file in first.imported.iter() {
        let u = &file.understood;
        let sheet = u
            .sheet
            .as_ref()
            .map_or_else(String::new, |s| format!(", sheet {}", one_line(s)));
        out.push_str(&format!(
            "{} ({}{}{}{})\n",
            one_line(&u.file),
            u.format,
            u.encoding.map_or_else(String::new, |e| format!(", {e}")),
            u.separator
                .map_or_else(String::new, |s| format!(", columns by {s}")),
            sheet,
        ));
        for (i, room) in u.rooms.iter().enumerate() {
            out.push_str(&room_text(pen, file, i, room, cells));
        }
    }
    for room in rooms {
        let outline = match &room.survey.room {
            Some(r) => w::outline(
                &pen.area(r.outline.area()),
                r.voids.len(),
                r.slopes.len(),
                r.joints.len(),
                r.doors.len(),
                r.fixtures.len(),
            ),
            None => w::NO_OUTLINE.to_owned(),
        };
        let name = if room.survey.name.is_empty() {
            &room.settings.about.title
        } else {
            &room.survey.name
        };
        out.push_str(&format!("{name}: {outline}\n"));
        for n in &room.survey.notices {
            out.push_str(&format!(
                "{}: {}{}{}\n",
                crate::report::words::severity(n.severity),
                n.place,
                if n.place.is_empty() { "" } else { ": " },
                n.text
            ));
        }
    }
    out
}

/// Words outside the tables that are shown without being asked for.
const MOST_OUTSIDE: usize = 6;

/// Decimals that tell sixty-fourths of an inch apart.
const INCH_DECIMALS: usize = 4;

fn room_text(
    pen: Pen,
    file: &Imported,
    index: usize,
    room: &UnderstoodRoom,
    cells: bool,
) -> String {
    let unit = |u: Option<crate::units::LengthUnit>| {
        u.map_or_else(|| w::EACH_ITS_OWN.to_owned(), |u| u.to_string())
    };
    let count = file.surveys.get(index).map_or(0, |s| s.readings.len());
    let mut out = format!(
        "  {}: {count} readings as a {}\n  plan distances in {}; readings in {}, {}{}\n  {}\n",
        room.name,
        w::layout(room.layout),
        unit(room.plan_unit),
        unit(room.reading_unit),
        room.meaning.words(),
        if room.meaning_stated {
            ""
        } else {
            w::NOT_STATED
        },
        room.orientation,
    );
    for c in &room.columns {
        out.push_str(&format!(
            "  column {}: \"{}\"\n",
            c.column,
            one_line(&c.heading)
        ));
    }
    // Averages have a notice of their own.
    let of = |reasons: &'static [Why]| room.skipped.iter().filter(|s| reasons.contains(&s.why));
    let words = of(&[Why::NoReading]).count();
    if room.blanks + words > 0 {
        out.push_str(&format!("  {}\n", w::skipped(room.blanks, words)));
    }
    let outside: Vec<_> = of(&[Why::Outside, Why::HeadingsAgain, Why::NoRow]).collect();
    if !outside.is_empty() {
        let texts: Vec<_> = outside.iter().map(|s| one_line(&s.text)).collect();
        let shown: Vec<(String, &str)> = outside
            .iter()
            .zip(&texts)
            .take(MOST_OUTSIDE)
            .map(|(s, text)| (s.place.cell(), &**text))
            .collect();
        out.push_str(&format!("  {}\n", w::outside(&shown, outside.len())));
    }
    if cells {
        for c in file.cells(index) {
            let inches =
                (pen.habit == Habit::Us).then(|| number_text(c.value.inches(), INCH_DECIMALS));
            out.push_str(&format!(
                "    {}\n",
                w::cell(
                    &c.place.to_string(),
                    c.label,
                    &one_line(c.text),
                    inches.as_deref(),
                    &number_text(c.value.mm(), 2)
                )
            ));
        }
        for s in &room.skipped {
            out.push_str(&format!(
                "    {}  \"{}\": {}\n",
                s.place,
                one_line(&s.text),
                s.why.words()
            ));
        }
    }
    out
}

/// The same in machine form.
pub fn understood_file(rooms: &[Prepared]) -> result_file::Understood {
    let files = rooms.first().map_or(&[][..], |r| &r.imported);
    result_file::Understood::of(files, rooms.iter().flat_map(|r| &r.survey.notices))
}
