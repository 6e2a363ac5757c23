//! The page put together: one file, styles and script inside, nothing fetched from anywhere.

use super::data::data;
use super::escape::{base64, escaped, json_in_script};
use super::input::{Fact, PageInput};
use super::map::map;
use crate::analysis::{Numbered, numbered};
use crate::flatness::{CheckResult, PartResult, Placement, chance_words};
use crate::geometry::Point;
use crate::report::sections::{hand_place, judged_on, likely_under, unjudged_at};
use crate::report::words::page as words;
use crate::report::{Pen, ReportError, words as shared};
use crate::survey::Laid;
use crate::units::Habit;
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// Floors with more triangles than this keep their answer and map but carry no edge tool: a phone
/// would be slow with them, and the file too large to send.
pub const MOST_TRIANGLES: usize = 60_000;
/// Rows of the table of marks.
pub const MOST_ROWS: usize = 2_000;

const STYLE: &str = include_str!("style.css");
const SCRIPT: &str = concat!(
    include_str!("edge.js"),
    include_str!("print.js"),
    include_str!("tool.js")
);

/// The report as one HTML file.
///
/// # Units
/// Every number is printed in the habit of the input; the script holds metres.
/// # Edge cases
/// No checks, no plane or no room leave their parts out. More than [`MOST_TRIANGLES`] triangles leave the
/// edge tool out, more than [`MOST_ROWS`] readings end their table early; the page says so.
/// # Safety of content
/// All text is escaped. The page's own policy allows no connection and no script but the one in it.
/// # Errors
/// [`ReportError::Drawing`] for a floor that cannot be drawn.
pub fn html(input: &PageInput) -> Result<Vec<u8>, ReportError> {
    let tool = input.floor.triangles().len() <= MOST_TRIANGLES;
    let worst = numbered(input.checks, input.room);
    let placements: Vec<Placement> = worst.iter().map(|w| w.placement).collect();
    let picture = map(input, &worst)?;
    let mut out = String::with_capacity(256 * 1024);
    head(&mut out, input, tool);
    title(&mut out, input);
    answer(&mut out, input);
    let _ = write!(
        out,
        "<section class=\"floor\"><h2>{}</h2>{}<div class=\"bench\"><div class=\"plan\">{}</div><div class=\"keys\">{}</div>",
        words::FLOOR,
        laid(input),
        picture.svg,
        picture.key
    );
    if tool {
        bench(&mut out, input);
    } else {
        let _ = write!(out, "<p class=\"hint\">{}</p>", words::NO_TOOL);
    }
    out.push_str("</div></section>");
    worst_table(&mut out, input, &worst, tool);
    notices(&mut out, input);
    marks_table(&mut out, input);
    about(&mut out, input);
    out.push_str("</main>");
    if tool {
        let _ = write!(
            out,
            "<script type=\"application/json\" id=\"floor-data\">{}</script><script>{SCRIPT}</script>",
            json_in_script(&data(input, &picture, &placements))
        );
    }
    out.push_str("</body></html>\n");
    Ok(out.into_bytes())
}

fn head(out: &mut String, input: &PageInput, tool: bool) {
    // Only this script's own fingerprint may run: a tag that slipped in somehow would still do nothing.
    let script = if tool {
        format!("'sha256-{}'", base64(&Sha256::digest(SCRIPT.as_bytes())))
    } else {
        "'none'".to_owned()
    };
    let _ = write!(
        out,
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; \
         script-src {script}; base-uri 'none'; form-action 'none'\">\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\
         <meta name=\"color-scheme\" content=\"light\"><title>{}</title><style>{STYLE}</style></head><body>",
        escaped(&input.title)
    );
}

fn title(out: &mut String, input: &PageInput) {
    let _ = write!(out, "<header><h1>{}</h1>", escaped(&input.title));
    for line in input.head.iter().filter(|l| !l.is_empty()) {
        let _ = write!(out, "<p>{}</p>", escaped(line));
    }
    out.push_str("</header><main>");
}

fn pen(input: &PageInput) -> Pen {
    Pen::new(input.habit)
}

/// A plan place as two distances; which walls they are from stands above the table.
fn two_distances(input: &PageInput, p: Point) -> String {
    let (pen, walls) = (pen(input), &input.orientation);
    format!(
        "{}, {}",
        pen.plan(walls.from_left(p)),
        pen.plan(walls.from_bottom(p))
    )
}

fn answer(out: &mut String, input: &PageInput) {
    let _ = write!(out, "<section class=\"answer\"><h2>{}</h2>", words::ANSWER);
    if input.checks.is_empty() {
        let _ = write!(out, "<p class=\"hint\">{}</p>", words::NO_CHECKS);
    }
    for check in input.checks {
        verdict(out, input, check);
    }
    if let Some(text) = likely_under(pen(input), input.checks) {
        let _ = write!(out, "<p class=\"hint\">{}</p>", escaped(text));
    }
    let place = |p: Point| input.orientation.place(pen(input), p);
    out.push_str("<dl class=\"facts\">");
    let overall = input.high.elevation_m - input.low.elevation_m;
    let own = [
        Fact::new(words::HIGH, &input.high.words, place(input.high.at)),
        Fact::new(words::LOW, &input.low.words, place(input.low.at)),
        Fact::new(words::OVERALL, pen(input).depth(overall), ""),
    ];
    for fact in own.iter().chain(&input.facts) {
        let _ = write!(
            out,
            "<div><dt>{}</dt><dd><b>{}</b> <span>{}</span></dd></div>",
            escaped(&fact.name),
            escaped(&fact.value),
            escaped(&fact.remark)
        );
    }
    out.push_str("</dl></section>");
}

fn verdict(out: &mut String, input: &PageInput, check: &CheckResult) {
    let _ = write!(
        out,
        "<article class=\"verdict {}\"><p class=\"word\">{}</p><div><h3>{}</h3>",
        words::verdict_class(check.verdict()),
        shared::verdict(check.verdict()),
        escaped(&check.title)
    );
    let on = check
        .deciding()
        .map_or_else(String::new, |p| judged_on(pen(input), p));
    if !on.is_empty() {
        let _ = write!(out, "<p class=\"on\">{}</p>", escaped(&on));
    }
    for part in &check.parts {
        let told = part_words(input, part);
        let own = judged_on(pen(input), part);
        let told = if own == on {
            told
        } else {
            words::said_of(&told, &own)
        };
        let _ = write!(out, "<p>{}</p>", escaped(&told));
        let place = hand_place(pen(input), &input.orientation, part);
        let unjudged = unjudged_at(pen(input), &input.orientation, part);
        let why = place.iter().chain([&part.reason]).chain(&unjudged);
        for why in why.filter(|t| !t.is_empty()) {
            let _ = write!(out, "<p class=\"why\">{}</p>", escaped(why));
        }
        if let Some(other) = part.measured().and_then(|m| m.other.as_ref()) {
            let words = words::other_way(
                words::procedure(other.procedure),
                &pen(input).gap(other.gap_m),
                shared::verdict(other.verdict),
            );
            let _ = write!(out, "<p class=\"why\">{}</p>", escaped(&words));
        }
    }
    let source = [
        check.source.as_str(),
        words::sureness(check.sureness),
        check.note.as_str(),
    ];
    let source: Vec<String> = source
        .into_iter()
        .filter(|s| !s.is_empty())
        .map(|s| format!("{}.", s.trim_end_matches('.')))
        .collect();
    let _ = write!(
        out,
        "<p class=\"source\">{}</p></div></article>",
        escaped(&source.join(" "))
    );
}

fn part_words(input: &PageInput, part: &PartResult) -> String {
    let pen = pen(input);
    let procedure = &shared::procedure_and_share(pen, part);
    let span = pen.span(part.span_m);
    let limit = pen.limit(part.allowance_m);
    let Some(found) = part.measured() else {
        if part.is_by_hand() {
            let word = shared::verdict(part.verdict());
            return shared::hand::part_line(procedure, &span, word, &limit);
        }
        let first = part.to_read().and_then(|r| r.at);
        let first = first.map(|at| input.orientation.place(pen, at));
        return words::not_tested(procedure, &span, &limit, first.as_deref());
    };
    format!(
        "{} {}",
        words::found(
            &pen.gap_against(found.largest_m(), part.allowance_m),
            procedure,
            &span,
            &limit
        ),
        words::sure_to(
            &pen.bound(found.bound_m),
            &pen.doubt(found.doubt_m),
            found.chance.map(chance_words).as_deref(),
            found
                .likely
                .map(|l| l.words(pen, part.allowance_m))
                .as_deref(),
        )
    )
}

/// Which wall the sheet's first row was taken for, where nothing says it.
fn laid(input: &PageInput) -> String {
    input
        .laid
        .and_then(Laid::warning)
        .map_or_else(String::new, |text| {
            format!("<p class=\"hint\">{}</p>", escaped(text))
        })
}

fn worst_table(out: &mut String, input: &PageInput, worst: &[Numbered], tool: bool) {
    if worst.is_empty() {
        return;
    }
    let _ = write!(
        out,
        "<section><h2>{}</h2><p class=\"hint\">{}</p><div class=\"wide\"><table class=\"worst\"><thead><tr>",
        words::WORST,
        escaped(&words::places_from(
            &input.orientation.left,
            &input.orientation.bottom
        ))
    );
    for head in words::WORST_HEADS {
        let _ = write!(out, "<th scope=\"col\">{head}</th>");
    }
    out.push_str("</tr></thead><tbody>");
    let pen = pen(input);
    for (row, w) in worst.iter().enumerate() {
        let of = |p: Point| two_distances(input, p);
        let show = if tool {
            format!(
                " <button type=\"button\" data-lay=\"{row}\" hidden>{} {}</button>",
                words::SHOW,
                w.number
            )
        } else {
            String::new()
        };
        let cells = [
            escaped(&format!(
                "{}, {}",
                shared::with_on(&w.check, &w.joints),
                pen.span(w.span_m)
            )),
            format!("<b>{}</b>", pen.gap_against(w.placement.gap_m, w.limit_m)),
            pen.limit(w.limit_m),
            format!("{}<br>{}", of(w.placement.from), of(w.placement.to)),
            format!("{}{show}", of(w.placement.at)),
        ];
        let _ = write!(out, "<tr><th scope=\"row\">{}</th>", w.number);
        for (cell, head) in cells.iter().zip(&words::WORST_HEADS[1..]) {
            let _ = write!(out, "<td data-head=\"{head}\">{cell}</td>");
        }
        out.push_str("</tr>");
    }
    out.push_str("</tbody></table></div></section>");
}

/// The edge tool: what it says, its profile, its buttons.
fn bench(out: &mut String, input: &PageInput) {
    let unit = match input.habit {
        Habit::Us => "ft",
        Habit::Metric => "m",
    };
    let _ = write!(
        out,
        "<noscript><p class=\"hint\">{}</p></noscript><div id=\"tool\" class=\"tool\">\
         <h3>{}</h3><dl id=\"place-says\" class=\"says\" aria-live=\"polite\"></dl>\
         <h3>{}</h3><dl id=\"edge-says\" class=\"says\" aria-live=\"polite\"></dl>\
         <svg id=\"profile\" viewBox=\"0 0 600 206\" role=\"img\" aria-label=\"\"></svg>\
         <div class=\"controls\"><label>{} <input id=\"span\" type=\"number\" min=\"0.1\" step=\"any\" inputmode=\"decimal\"> \
         {unit}</label><span class=\"spans\">",
        words::NO_SCRIPT,
        words::AT_PLACE,
        words::UNDER_EDGE,
        words::LENGTH,
    );
    for &span in &input.spans_m {
        let _ = write!(
            out,
            "<button type=\"button\" data-span=\"{span}\" aria-pressed=\"false\">{}</button>",
            pen(input).span(span)
        );
    }
    let button =
        |id: &str, words: &str| format!("<button type=\"button\" id=\"{id}\">{words}</button>");
    let _ = write!(
        out,
        "</span><label class=\"keep\"><input id=\"keep\" type=\"checkbox\" checked> {}</label>{}{}{}{}{}{}{}{}\
         <p id=\"turn-says\" class=\"hint\" role=\"status\"></p></div><p class=\"hint screen\">{}</p></div>",
        words::KEEP,
        button("turn-left", words::TURN_LEFT),
        button("turn-right", words::TURN_RIGHT),
        button("turn-worst", words::TURN_WORST),
        button("to-pin", words::TO_PIN),
        button("zoom-in", words::CLOSER),
        button("zoom-out", words::FARTHER),
        button("zoom-all", words::WHOLE),
        button("print", words::PRINT),
        words::HOW_TO,
    );
}

fn notices(out: &mut String, input: &PageInput) {
    if input.notices.is_empty() {
        return;
    }
    let _ = write!(
        out,
        "<section><h2>{}</h2><ul class=\"notices\">",
        words::NOTICES
    );
    for n in input.notices {
        let place = if n.place.is_empty() {
            String::new()
        } else {
            format!("{}: ", n.place)
        };
        let _ = write!(
            out,
            "<li><b>{}.</b> {}{}</li>",
            shared::severity(n.severity),
            escaped(&place),
            escaped(&n.text)
        );
    }
    out.push_str("</ul></section>");
}

fn marks_table(out: &mut String, input: &PageInput) {
    let filled = input.plane.is_some();
    let noted = input.marks.iter().any(|m| !m.note.is_empty());
    let (pen, walls) = (pen(input), &input.orientation);
    let _ = write!(
        out,
        "<section><details><summary><h2>{}</h2></summary><div class=\"wide\"><table class=\"marks\"><thead><tr>",
        words::MARKS
    );
    let mut heads = vec![
        words::MARK.to_owned(),
        words::from_wall(&walls.left),
        words::from_wall(&walls.bottom),
        words::READING.to_owned(),
        shared::with_unit(words::SHADES_BELOW, pen.depth_unit()),
    ];
    if filled {
        heads.push(shared::with_unit(words::SHADES_FILL, pen.depth_unit()));
    }
    if noted {
        heads.push(words::NOTE_HEAD.to_owned());
    }
    for head in heads {
        let _ = write!(out, "<th scope=\"col\">{}</th>", escaped(&head));
    }
    out.push_str("</tr></thead><tbody>");
    for mark in input.marks.iter().take(MOST_ROWS) {
        let _ = write!(
            out,
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td><td>{}</td>",
            escaped(&mark.label),
            pen.plan(walls.from_left(mark.at)),
            pen.plan(walls.from_bottom(mark.at)),
            escaped(&mark.reading),
            input
                .unit
                .without_unit(input.high.elevation_m - mark.elevation_m)
        );
        if let Some(plane) = &input.plane {
            let depth = plane.at(mark.at) - mark.elevation_m;
            let _ = write!(out, "<td><b>{}</b></td>", input.unit.without_unit(depth));
        }
        if noted {
            let _ = write!(out, "<td>{}</td>", escaped(&mark.note));
        }
        out.push_str("</tr>");
    }
    out.push_str("</tbody></table></div>");
    if input.marks.len() > MOST_ROWS {
        let _ = write!(
            out,
            "<p class=\"hint\">{}</p>",
            words::rows_left_out(MOST_ROWS, input.marks.len())
        );
    }
    out.push_str("</details></section>");
}

fn about(out: &mut String, input: &PageInput) {
    let _ = write!(
        out,
        "<section class=\"about\"><h2>{}</h2><p>{}</p>",
        words::ABOUT,
        words::CAUTION
    );
    for line in &input.about {
        let _ = write!(out, "<p>{}</p>", escaped(line));
    }
    out.push_str("</section>");
}
