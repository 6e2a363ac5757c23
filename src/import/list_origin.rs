//! Where the distances of a list count from, where its headings or the words around it say so: turned over, or asked about.

use super::error::{Fault, Faults, quoted};
use super::headers::{Field, split_unit};
use super::heading::Heading;
use super::lie::near;
use super::list_places::Columns;
use super::options::ImportOptions;
use super::origins::{Origin, origin, origin_or_hint};
use super::room::RawRoom;
use super::table::{Cell, Row};
use super::turns::{Counted, Counting};
use super::understood::Why;
use super::walls::{From, PlanAxis, counts_from, names_a_side, names_a_wall, sides, words};
use crate::geometry::{Point, bounds};
use crate::survey::{Notice, Place, Severity};

/// The axes of a list that count from the right or the far wall, with the words that say so.
#[derive(Debug, Default)]
pub(super) struct Turned {
    x: Option<String>,
    y: Option<String>,
}

impl Turned {
    /// As the headings say, or else the words around the table; a fault where the two differ.
    pub(super) fn find(
        (headings, header): (&[Heading], Option<Row<'_>>),
        columns: Columns,
        title: Option<&(Place, String)>,
        rooms: &mut [RawRoom],
        faults: &mut Faults,
    ) -> Self {
        let mut out = Self::default();
        let (Some(x), Some(y)) = (columns.x, columns.y) else {
            return out;
        };
        let heading = |i: usize| header.map_or("", |r| r.cell(i).text);
        let says = |i: usize| {
            let text = heading(i);
            text.to_lowercase().contains("from ") || counts_from(&split_unit(text).0).is_some()
        };
        let of = |i: usize| headings[i].turned.then(|| quoted(heading(i)));
        (out.x, out.y) = (of(x), of(y));
        let mut before = (None, None);
        let mut told = around(rooms, title, (headings, header));
        if let Some(room) = rooms.first_mut() {
            tell_walls_above(room, title, (x, y));
        }
        told.extend(first_noted(rooms));
        let mut rows: Vec<u32> = Vec::new();
        if !told.is_empty() {
            let readings = rooms.iter().flat_map(|room| &room.readings);
            rows.extend(readings.map(|r| r.raw.place.row));
            rows.sort_unstable();
        }
        let Some(room) = rooms.first_mut() else {
            return out;
        };
        // A remark on one reading, `x at right wall`, speaks of that reading.
        let remarked = |place: &Place| rows.binary_search(&place.row).is_ok();
        for (text, place) in told {
            let begins = |word: &str| text.trim_start().to_lowercase().starts_with(word);
            let told = match origin_or_hint(&text) {
                Some(Origin::Said { .. })
                    if remarked(&place) && !begins("origin") && !begins("0") =>
                {
                    Some(Origin::Unclear)
                }
                told => told,
            };
            match told {
                None => {}
                Some(Origin::Tangled) => faults.add(
                    Fault::Setting,
                    place,
                    format!("{} speaks of where x or y count from, in words that are not understood", quoted(&text)),
                    "one corner or one wall for each axis, as in Origin: back left corner",
                    "Write it so, or y from far wall; or take the words out, where x counts from the left wall and y from the near wall.",
                ),
                Some(Origin::Unclear) => room.notices.push(not_read(&text, &place)),
                Some(Origin::Said { x: of_x, y: of_y }) => {
                    let differ = |a: Option<bool>, b: Option<bool>| a.zip(b).is_some_and(|(a, b)| a != b);
                    let own = |i: usize| says(i).then_some(headings[i].turned);
                    if differ(of_x, own(x)) || differ(of_y, own(y)) || differ(of_x, before.0) || differ(of_y, before.1) {
                        faults.add(
                            Fault::Setting,
                            place,
                            format!("{}, and other words that count x or y from another wall", quoted(&text)),
                            "one origin for the distances of a list",
                            "Correct the words that are wrong, or take them out.",
                        );
                        continue;
                    }
                    if of_x == Some(true) {
                        out.x.get_or_insert_with(|| quoted(&text));
                    }
                    if of_y == Some(true) {
                        out.y.get_or_insert_with(|| quoted(&text));
                    }
                    before = (of_x.or(before.0), of_y.or(before.1));
                }
            }
        }
        let told: Vec<Notice> = rooms
            .iter()
            .filter_map(|room| out.other_end(room))
            .collect();
        if let (Some(room), Some(first)) = (rooms.first_mut(), told.into_iter().next()) {
            let known = room
                .notices
                .iter()
                .any(|n| n.code == first.code && n.place == first.place);
            room.notices.extend((!known).then_some(first));
        }
        out
    }

    /// The first remark that names a wall or a corner, `NW corner`, `at back wall`, beside a reading at the other end of the list.
    fn other_end(&self, room: &RawRoom) -> Option<Notice> {
        /// So near an end a reading stands at it, metres.
        const AT_M: f64 = 0.01;
        let (low, high) = bounds(room.readings.iter().map(|r| r.at))?;
        let is_turned = |side: From| match side.axis {
            PlanAxis::X => self.x.is_some(),
            PlanAxis::Y => self.y.is_some(),
        };
        // Whether a side lies at the low end of the distances as they are written.
        let at_low = |side: From| side.turned == is_turned(side);
        let contradicts = |side: From, at: Point| {
            let (at, low, high) = match side.axis {
                PlanAxis::X => (at.x, low.x, high.x),
                PlanAxis::Y => (at.y, low.y, high.y),
            };
            let wrong_end = if at_low(side) { high } else { low };
            high - low > 2.0 * AT_M && (at - wrong_end).abs() < AT_M
        };
        let found = room.readings.iter().find(|r| {
            let sides = r.note.as_deref().map_or_else(Vec::new, only_sides);
            sides.into_iter().any(|side| contradicts(side, r.at))
        })?;
        let note = found.note.as_deref().unwrap_or_default();
        Some(Notice::new(
            "origin-not-read",
            Severity::Warning,
            found.raw.place.to_string(),
            format!(
                "{} stands beside a reading at the other end of the list: x was taken to the right from the left wall, y up the plan from the near wall. Where they count from others, head the columns so, such as x from right wall (ft), y from far wall (ft).",
                quoted(note)
            ),
        ))
    }

    /// Turns the readings of a room over, about its walls or, without an outline, about the readings themselves.
    pub(super) fn apply(&self, room: &mut RawRoom, options: &ImportOptions, faults: &mut Faults) {
        if self.x.is_none() && self.y.is_none() {
            return;
        }
        let walls = options.walls();
        let of_walls = walls.and_then(|w| bounds(w.points().iter().copied()));
        let Some((low, high)) = of_walls.or_else(|| bounds(room.readings.iter().map(|r| r.at)))
        else {
            return;
        };
        let sum = Point::new(
            options
                .turns
                .x_m
                .filter(|_| walls.is_none())
                .unwrap_or(low.x + high.x),
            options
                .turns
                .y_m
                .filter(|_| walls.is_none())
                .unwrap_or(low.y + high.y),
        );
        if walls.is_none() {
            let counted = |turned: bool, reach_m: (f64, f64)| match turned {
                true => Counted::Turned {
                    reach_m,
                    stated: true,
                },
                false => Counted::AsWritten,
            };
            room.about.counting = Counting {
                x: counted(self.x.is_some(), (low.x, high.x)),
                y: counted(self.y.is_some(), (low.y, high.y)),
            };
        }
        let turned = |p: Point| {
            Point::new(
                if self.x.is_some() { sum.x - p.x } else { p.x },
                if self.y.is_some() { sum.y - p.y } else { p.y },
            )
        };
        if let Some(walls) = walls {
            let fit =
                |of: &dyn Fn(Point) -> Point| room.readings.iter().all(|r| near(walls, of(r.at)));
            if !fit(&turned) && fit(&|p| p) {
                faults.add(
                    Fault::NoPosition,
                    room.about.header.clone(),
                    format!("readings that fit the outline only as written, though {} counts them from another wall", self.words()),
                    "an outline with x to the right and y up the plan, as its file is read",
                    "Write the outline so, or both files: x from the left wall, y from the near wall.",
                );
                return;
            }
        }
        for reading in &mut room.readings {
            reading.at = turned(reading.at);
        }
        for (.., at) in &mut room.obstacles {
            *at = turned(*at);
        }
        let axes = match (&self.x, &self.y) {
            (Some(_), Some(_)) => "x counts from the right wall and y from the far wall",
            (Some(_), None) => "x counts from the right wall",
            _ => "y counts from the far wall",
        };
        room.about.orientation = format!(
            "Seen from above, x runs to the right and y up the plan. In the list {axes}, as {} says: the places were turned over.",
            self.words()
        );
        room.notices.push(Notice::new(
            "list-turned",
            Severity::Warning,
            room.about.header.to_string(),
            format!(
                "By {} {axes}: the places were turned over, so that the plan is drawn as seen from above, the near wall at the bottom.",
                self.words()
            ),
        ));
    }

    /// The words that say so.
    fn words(&self) -> String {
        match (&self.x, &self.y) {
            (Some(x), Some(y)) if x != y => format!("{x} and {y}"),
            (Some(x), _) => x.clone(),
            (_, y) => y.clone().unwrap_or_default(),
        }
    }
}

/// Tells of a wall that is named in a row above the heading of an axis: distances may count from it, or run along it.
fn tell_walls_above(room: &mut RawRoom, title: Option<&(Place, String)>, (x, y): (usize, usize)) {
    const MOST_WORDS: usize = 4;
    let header = room.about.header.row;
    let above = |place: &Place| {
        let over = [x, y].map(|i| i as u32 + 1).contains(&place.column);
        over && place.row < header && place.row + 3 > header
    };
    let passed = room.about.skipped.iter().map(|s| (&s.text, &s.place));
    // A title of more words is one: `Heater at far wall`.
    let sign = title.filter(|(_, text)| words(text).len() <= 2);
    let all = passed.chain(sign.map(|(place, text)| (text, place)));
    let walls = all.filter(|(text, place)| {
        let words = words(text);
        let letter =
            |w: &String| matches!(w.as_str(), "l" | "r" | "b" | "f" | "n" | "s" | "e" | "w");
        let wall = words.iter().any(|w| w == "wall") && words.len() <= MOST_WORDS;
        // `left | rear | laser`, `L | B`, arrows.
        let alone = words.len() == 1 && place.row + 1 == header;
        above(place)
            && ((wall && names_a_wall(text))
                || (alone && (names_a_side(text) || words.iter().any(letter))))
    });
    let told: Vec<Notice> = walls
        .filter(|(text, _)| origin_or_hint(text).is_none())
        .map(|(text, place)| not_read(text, place))
        .collect();
    room.notices.extend(told);
}

/// The sides that a remark names which is nothing but the name of a corner or a wall: `NW corner`, `at back wall`, `Start, far left`.
fn only_sides(text: &str) -> Vec<From> {
    const MOST_WORDS: usize = 6;
    const BESIDE: [&str; 15] = [
        "corner", "wall", "at", "in", "on", "by", "the", "of", "room", "start", "here", "near",
        "end", "side", "cor",
    ];
    if !text.contains(char::is_alphabetic) {
        return Vec::new();
    }
    let all = words(text);
    let named: Vec<From> = all.iter().flat_map(|w| sides(w)).collect();
    let other = |w: &String| sides(w).is_empty() && !BESIDE.contains(&w.as_str());
    let place = all
        .iter()
        .any(|w| matches!(w.as_str(), "corner" | "wall" | "cor"))
        || named.iter().any(|s| s.axis != named[0].axis);
    if all.len() > MOST_WORDS || !place || all.iter().any(other) {
        return Vec::new();
    }
    // Both sides of one axis name none.
    let clash = named.iter().any(|a| {
        named
            .iter()
            .any(|b| a.axis == b.axis && a.turned != b.turned)
    });
    if clash { Vec::new() } else { named }
}

fn not_read(text: &str, place: &Place) -> Notice {
    Notice::new(
        "origin-not-read",
        Severity::Warning,
        place.to_string(),
        format!(
            "{} may say where x and y count from and was not understood: x was taken to the right from the left wall, y up the plan from the near wall. Where they count from others, head the columns so, such as x from right wall (ft), y from far wall (ft).",
            quoted(text)
        ),
    )
}

/// The first note of a reading that speaks of an origin, with the place of that reading: it turns nothing, and is told.
fn first_noted(rooms: &[RawRoom]) -> Option<(String, Place)> {
    let speaks = |note: &str| matches!(origin(note), Some(Origin::Said { .. } | Origin::Tangled));
    rooms.iter().flat_map(|room| &room.readings).find_map(|r| {
        let note = r.note.as_deref().filter(|note| speaks(note))?;
        Some((note.to_owned(), r.raw.place.clone()))
    })
}

/// The title, the sheet's name, and the words that were passed over above, below and beside a list and in its header row.
fn around(
    rooms: &[RawRoom],
    title: Option<&(Place, String)>,
    (headings, header): (&[Heading], Option<Row<'_>>),
) -> Vec<(String, Place)> {
    let Some(first) = rooms.first() else {
        return Vec::new();
    };
    let of_table = &first.about.header;
    let title = title.map(|(place, text)| (text.clone(), place.clone()));
    let sheet = of_table.sheet().map(|n| (n.to_owned(), of_table.clone()));
    // Words in the header row head no column that is known.
    let heads = header.into_iter().flat_map(|row| {
        let unknown = move |c: &Cell<'_>| {
            let heading = headings.get(c.column as usize - 1);
            heading.is_some_and(|h| h.field == Field::Unknown)
        };
        row.filled().filter(unknown)
    });
    let heads = heads.map(|c| {
        let place = Place {
            row: c.row,
            column: c.column,
            ..of_table.clone()
        };
        (c.text.to_owned(), place)
    });
    let passed = rooms.iter().flat_map(|room| room.about.skipped.iter());
    let words = passed.filter(|s| matches!(s.why, Why::Outside | Why::NoRow));
    let words: Vec<_> = words.collect();
    // A word and its value stand in two cells: `Origin | back left corner`.
    let joined = words.windows(2).filter_map(|w| {
        let beside = w[0].place.row == w[1].place.row && w[0].place.column + 1 == w[1].place.column;
        beside.then(|| (format!("{} {}", w[0].text, w[1].text), w[0].place.clone()))
    });
    let joined: Vec<_> = joined.filter(|(text, _)| origin(text).is_some()).collect();
    let alone = words.iter().map(|s| (s.text.clone(), s.place.clone()));
    let alone = alone.filter(|(_, place)| !joined.iter().any(|(_, p)| p.row == place.row));
    let alone: Vec<_> = alone.collect();
    title
        .into_iter()
        .chain(sheet)
        .chain(heads)
        .chain(alone)
        .chain(joined)
        .collect()
}
