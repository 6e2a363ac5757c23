//! The map as SVG inside the page: drawn whole here, so that it shows and prints where no script runs.

use super::escape::escaped;
use super::input::PageInput;
use super::labels::{Taken, names, numbers};
use super::view::{MARGIN, View, centred};
use crate::drawing::{BandScale, Ink, MarkUnit};
use crate::geometry::{Point, Ring};
use crate::report::Pen;
use crate::report::words::page as words;
use crate::surface::Cover;
use crate::surface::{LevelRing, level_rings};
use std::fmt::Write;

/// The map and its key.
pub(super) struct Map {
    /// The SVG element.
    pub(super) svg: String,
    /// The key below it, HTML.
    pub(super) key: String,
}

/// A numbered line on the map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct NumberedLine {
    /// Number beside it.
    pub(super) number: usize,
    /// One end.
    pub(super) from: Point,
    /// The other end.
    pub(super) to: Point,
}

/// Draws the map.
pub(super) fn map(input: &PageInput, view: &View, lines: &[NumberedLine]) -> Map {
    let unit = MarkUnit::usual(input.habit);
    let depth_at = |p: Point, z: f64| match &input.plane {
        Some(plane) => plane.at(p) - z,
        None => input.high.elevation_m - z,
    };
    let values: Vec<f64> = input
        .floor
        .vertices()
        .iter()
        .map(|v| depth_at(v.at, v.z))
        .collect();
    let (least, deepest) = values
        .iter()
        .fold((f64::INFINITY, 0.0_f64), |(l, d), &x| (l.min(x), d.max(x)));
    let scale = BandScale::covering(least, deepest, unit);
    let mut svg = String::with_capacity(64 * 1024);
    let (w, h) = view.size;
    // Writing to a string cannot fail.
    let _ = write!(
        svg,
        "<svg id=\"map\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{:.0} {:.0} {:.0} {:.0}\" role=\"group\" \
         tabindex=\"0\" aria-label=\"{}\">{HATCHES}",
        -MARGIN,
        -MARGIN,
        w + 2.0 * MARGIN,
        h + 2.0 * MARGIN,
        words::MAP_LABEL
    );
    shades(&mut svg, input, view, &values, &scale);
    let (carried, unread) = hatched(&mut svg, input, view);
    room(&mut svg, input, view);
    numbered(&mut svg, view, lines);
    let mut taken = Taken::new(140.0);
    let fewer = numbers(&mut svg, input, view, unit, &depth_at, &mut taken);
    names(&mut svg, input, view, &mut taken);
    svg.push_str("</svg>");
    let shown = Shown {
        above: least < 0.0,
        carried,
        unread,
        fewer,
        numbered: !lines.is_empty(),
    };
    Map {
        svg,
        key: key(input, unit, &scale, &shown),
    }
}

/// Two line patterns: floor carried out from readings, and floor without any.
const HATCHES: &str = "<defs>\
<pattern id=\"carried\" width=\"9\" height=\"9\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
<path d=\"M0 0V9\" stroke=\"#000\" stroke-width=\"1\" opacity=\".45\"/></pattern>\
<pattern id=\"unread\" width=\"12\" height=\"12\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
<path d=\"M0 0V12M0 0H12\" stroke=\"#000\" stroke-width=\"1.6\" opacity=\".6\"/></pattern></defs>";

/// Bands of depth, each ring with the shade just inside it, largest first.
fn shades(out: &mut String, input: &PageInput, view: &View, values: &[f64], scale: &BandScale) {
    // Floor above the finish is its own lightest band, below the first level.
    let mut levels = Vec::with_capacity(scale.count() + 1);
    let above = values.iter().any(|&v| v < 0.0) && scale.edges_m()[0] == 0.0;
    if above {
        levels.push(0.0);
    }
    levels.extend_from_slice(scale.levels_m());
    let mut inks = scale.shades();
    if above {
        inks.insert(0, Ink::WHITE);
    }
    let mut rings: Vec<LevelRing> = level_rings(input.floor, values, &levels);
    rings.sort_by(|a, b| {
        // Single precision on purpose: rings that are equal but for rounding must tie, and then nest by band.
        (b.area_m2.abs() as f32)
            .total_cmp(&(a.area_m2.abs() as f32))
            .then((a.area_m2 < 0.0).cmp(&(b.area_m2 < 0.0)))
            .then(if a.area_m2 > 0.0 {
                a.band.cmp(&b.band)
            } else {
                b.band.cmp(&a.band)
            })
    });
    out.push_str("<g class=\"shades\">");
    for ring in &rings {
        let edge_only = ring.band == 0 || ring.along_edge.iter().all(|&e| e);
        let ink = match (ring.area_m2 > 0.0, edge_only) {
            (true, _) => inks.get(ring.band).copied(),
            (false, true) => None,
            (false, false) => inks.get(ring.band - 1).copied(),
        };
        let Ink(r, g, b) = ink.unwrap_or(Ink::WHITE);
        let _ = write!(
            out,
            "<path fill=\"#{r:02x}{g:02x}{b:02x}\" d=\"{}\"/>",
            closed(view, &ring.points)
        );
    }
    // Contours on top of all shades, so that a grey print still shows where a band ends.
    for ring in rings.iter().filter(|r| r.band > 0) {
        let _ = write!(
            out,
            "<path class=\"contour\" d=\"{}\"/>",
            along_level(view, ring)
        );
    }
    out.push_str("</g>");
}

/// Path data of a closed ring, leaving out points too near to the last to be seen.
fn closed(view: &View, points: &[Point]) -> String {
    let mut d = String::with_capacity(points.len() * 12);
    let mut last: Option<(f64, f64)> = None;
    for &p in points {
        let (x, y) = view.at(p);
        if last.is_some_and(|(lx, ly)| (x - lx).hypot(y - ly) < NEAREST) {
            continue;
        }
        let _ = write!(d, "{}{x:.1} {y:.1}", if last.is_some() { 'L' } else { 'M' });
        last = Some((x, y));
    }
    d.push('Z');
    d
}

/// Points of a line nearer than this are drawn as one, picture units.
const NEAREST: f64 = 0.3;

/// Path data of those sides of a ring that run along its level.
fn along_level(view: &View, ring: &LevelRing) -> String {
    let mut d = String::new();
    let n = ring.points.len();
    let mut drawing = false;
    for i in 0..n {
        if ring.along_edge[i] {
            drawing = false;
            continue;
        }
        if !drawing {
            let (x, y) = view.at(ring.points[i]);
            let _ = write!(d, "M{x:.1} {y:.1}");
            drawing = true;
        }
        let (x, y) = view.at(ring.points[(i + 1) % n]);
        let _ = write!(d, "L{x:.1} {y:.1}");
    }
    d
}

/// Hatches what was not read; returns whether any floor was carried out.
fn hatched(out: &mut String, input: &PageInput, view: &View) -> (bool, bool) {
    let floor = input.floor;
    let mut path = String::new();
    for t in 0..floor.triangles().len() as u32 {
        if floor.cover(t) == Cover::Extended {
            path.push_str(&closed(view, &floor.corners(t).map(|v| v.at)));
        }
    }
    let carried = !path.is_empty();
    if carried {
        let _ = write!(out, "<path fill=\"url(#carried)\" d=\"{path}\"/>");
    }
    let bare: String = floor.unsurveyed().map(|t| closed(view, &t)).collect();
    let unread = !bare.is_empty();
    if unread {
        let _ = write!(out, "<path fill=\"url(#unread)\" d=\"{bare}\"/>");
    }
    (carried, unread)
}

/// Walls, doors, voids, joints and their names.
fn room(out: &mut String, input: &PageInput, view: &View) {
    let region = input.floor.region();
    let Some(room) = input.room else {
        for ring in std::iter::once(&region.outline).chain(&region.voids) {
            let _ = write!(
                out,
                "<path class=\"wall\" d=\"{}\"/>",
                closed(view, ring.points())
            );
        }
        return;
    };
    for void in room.voids.iter().chain(&room.slopes) {
        let _ = write!(
            out,
            "<path class=\"void\" d=\"{}\"><title>{}</title></path>",
            closed(view, void.ring.points()),
            escaped(&void.name)
        );
    }
    for joint in &room.joints {
        let mut d = closed(view, &joint.line);
        d.pop();
        let _ = write!(
            out,
            "<path class=\"{}\" d=\"{d}\"><title>{}</title></path>",
            if joint.movement {
                "joint movement"
            } else {
                "joint"
            },
            escaped(&joint.name)
        );
    }
    let _ = write!(
        out,
        "<path class=\"wall\" d=\"{}\"/>",
        closed(view, room.outline.points())
    );
    for door in &room.doors {
        let Some((a, b)) = nearest_side(&room.outline, door.at) else {
            continue;
        };
        let along = (b - a) * (1.0 / a.distance(b));
        let half = along * (door.width_m / 2.0);
        let (x1, y1) = view.at(door.at - half);
        let (x2, y2) = view.at(door.at + half);
        let _ = write!(
            out,
            "<path class=\"door\" d=\"M{x1:.1} {y1:.1}L{x2:.1} {y2:.1}\"/>\
             <path class=\"jambs\" d=\"M{x1:.1} {y1:.1}L{x2:.1} {y2:.1}\"/>"
        );
        outside_name(out, view, (a, b), door.at, &door.name);
    }
    for wall in &room.walls {
        if let Some(side) = nearest_side(&room.outline, wall.at) {
            outside_name(out, view, side, wall.at, &wall.name);
        }
    }
    for fixture in &room.fixtures {
        let (x, y) = view.at(fixture.at);
        let _ = write!(
            out,
            "<rect class=\"fixture\" x=\"{:.1}\" y=\"{:.1}\" width=\"16\" height=\"16\"/>",
            x - 8.0,
            y - 8.0
        );
    }
}

/// The side of the ring that is nearest to a point.
fn nearest_side(ring: &Ring, p: Point) -> Option<(Point, Point)> {
    let away = |(a, b): &(Point, Point)| {
        let d = *b - *a;
        let t = ((p - *a).dot(d) / d.dot(d)).clamp(0.0, 1.0);
        p.distance(a.lerp(*b, t))
    };
    ring.sides()
        .filter(|(a, b)| a.distance(*b) > 0.0)
        .min_by(|s, t| away(s).total_cmp(&away(t)))
}

/// A name beside a wall, outside the room, turned along it.
fn outside_name(out: &mut String, view: &View, (a, b): (Point, Point), at: Point, name: &str) {
    let d = (b - a) * (1.0 / a.distance(b));
    // The outline runs counter-clockwise, so outside lies to the right of its sides.
    let (x, y) = view.at(at);
    let (x, y) = (x + d.y * 30.0, y + d.x * 30.0);
    let mut turn = -d.y.atan2(d.x).to_degrees();
    if turn > 90.0 {
        turn -= 180.0;
    } else if turn <= -90.0 {
        turn += 180.0;
    }
    let _ = write!(
        out,
        "<text class=\"name\" transform=\"translate({x:.1} {y:.1}) rotate({turn:.1})\" font-size=\"29\" \
         text-anchor=\"middle\" dy=\".35em\">{}</text>",
        escaped(name)
    );
}

/// Worst places as numbered lines.
fn numbered(out: &mut String, view: &View, lines: &[NumberedLine]) {
    for line in lines {
        let ((x1, y1), (x2, y2)) = (view.at(line.from), view.at(line.to));
        let _ = write!(
            out,
            "<g class=\"worst\"><path class=\"casing\" d=\"M{x1:.1} {y1:.1}L{x2:.1} {y2:.1}\"/>\
             <path class=\"line\" d=\"M{x1:.1} {y1:.1}L{x2:.1} {y2:.1}\"/></g>"
        );
    }
    for line in lines {
        // The number stands a third along, where lines that share a hollow are least likely to meet.
        let (x, y) = view.at(line.from.lerp(line.to, 0.3));
        let _ = write!(
            out,
            "<g class=\"plate\"><circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"15\"/>"
        );
        centred(out, "", (x, y), 20.0, &line.number.to_string());
        out.push_str("</g>");
    }
}

/// What stands on the map and wants a word in its key.
struct Shown {
    /// Floor above the finish.
    above: bool,
    /// Floor carried out beyond the readings.
    carried: bool,
    /// Floor without readings.
    unread: bool,
    /// Not every mark has its number.
    fewer: bool,
    /// Worst places as numbered lines.
    numbered: bool,
}

/// What the shades, numbers and signs mean.
fn key(input: &PageInput, unit: MarkUnit, scale: &BandScale, shown: &Shown) -> String {
    let filled = input.plane.is_some();
    let pen = Pen::new(input.habit);
    let mut out = String::new();
    let _ = write!(
        out,
        "<p class=\"key\"><b>{}</b>",
        if filled {
            words::SHADES_FILL
        } else {
            words::SHADES_BELOW
        }
    );
    if shown.above {
        let _ = write!(
            out,
            "<span class=\"band\"><i class=\"plain\"></i>{}</span>",
            words::SHADES_NONE
        );
    }
    for (edges, Ink(r, g, b)) in scale.edges_m().windows(2).zip(scale.shades()) {
        let _ = write!(
            out,
            "<span class=\"band\"><svg viewBox=\"0 0 26 16\" aria-hidden=\"true\"><rect width=\"26\" height=\"16\" \
             fill=\"#{r:02x}{g:02x}{b:02x}\"/></svg>{} to {}</span>",
            pen.depth_number(edges[0]),
            pen.depth(edges[1]),
        );
    }
    out.push_str("</p><p class=\"key\">");
    let mut signs = vec![
        format!(
            "{}, in {}.",
            if filled {
                words::NUMBERS_FILL
            } else {
                words::NUMBERS_BELOW
            },
            unit.name()
        ),
        words::HIGH_SIGN.to_owned(),
        words::LOW_SIGN.to_owned(),
    ];
    if shown.fewer {
        signs.insert(1, words::FEWER_LABELS.to_owned());
    }
    for (there, sign) in [
        (shown.numbered, words::NUMBERED_SIGN),
        (shown.carried, words::CARRIED_SIGN),
        (shown.unread, words::UNREAD_SIGN),
    ] {
        if there {
            signs.push(sign.to_owned());
        }
    }
    for sign in signs {
        let _ = write!(out, "<span>{sign}</span>");
    }
    out.push_str("</p>");
    out
}
