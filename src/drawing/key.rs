//! The key: shades with their depths, and signs with their meaning.

use super::bands::BandScale;
use super::figures::MarkUnit;
use super::font::{Typeface, Weight};
use super::hatch::{Hatch, hatch};
use super::labels::Placer;
use super::paper::Scale;
use super::ramp::Ink;
use super::scene::{Anchor, Dash, PaperPoint, Rect, Role, Scene, Shape, Text, corners};
use super::sheet::{Block, SheetStyle, notes_block, scale_block, title_block};

/// The tint of a patch.
pub(super) const PATCH: Ink = Ink(158, 202, 225);

/// A dam is a hollow line, as a board on edge is drawn.
pub(super) const DAM_MM: f64 = 1.5;

/// Tie-ins are broken lines: unbroken and as heavy they would pass for walls.
pub(super) const TIE_DASH: Dash = Dash::Broken(2.0, 0.9);

/// A sign on a map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Sign {
    High,
    Low,
    Mark,
    Contour,
    Extended,
    Unsurveyed,
    Above,
    Joint,
    MovementJoint,
    Drain,
    Fixture,
    Slope,
    Edge,
    HumpEdge,
    Worst,
    Listed,
    Reached,
    Unreached,
    TieIn,
    Dam,
    Batch,
    Patch,
    Direction,
    /// Which way on the sheet, x and y.
    North(f64, f64),
}

/// Width of the column of signs, millimetres.
const SIGN_MM: f64 = 9.0;
const ROW_CAP: f64 = 2.0;
const ROW_MM: f64 = 4.6;

/// Shades, deep last, with their depths in the marks' unit and, for inches, as fractions.
pub(super) fn band_block(
    face: &Typeface,
    heading: &str,
    scale: &BandScale,
    unit: MarkUnit,
    width: f64,
) -> Block {
    let mut out = Block::default();
    out.paragraph(face, heading, width, (2.3, Weight::Bold), Role::Legend);
    out.space(0.8);
    let edges = scale.edges_m();
    for (i, ink) in scale.shades().into_iter().enumerate() {
        let y = out.height_mm;
        let r = Rect::new(
            PaperPoint::new(0.0, y),
            PaperPoint::new(SIGN_MM, y + ROW_MM),
        );
        let mut box_of = Scene::new("", 0.0, 0.0);
        box_of.fill_rect(r, ink);
        box_of.frame(r, 0.15, Ink::DARK);
        out.shapes.append(&mut box_of.shapes);
        let (from, to) = (edges[i], edges[i + 1]);
        let base = y + (ROW_MM + 2.3) / 2.0;
        let words = format!("{} to {}", unit.number(from), unit.number(to));
        let at = PaperPoint::new(SIGN_MM + 2.0, base);
        out.shapes
            .push(Shape::Text(Text::new(at, words, 2.3, Role::Legend).bold()));
        if !matches!(unit, MarkUnit::Millimetres | MarkUnit::TenthMillimetres) {
            let words = format!("{} to {}", unit.without_unit(from), unit.with_unit(to));
            let at = PaperPoint::new(width, base);
            out.shapes.push(Shape::Text(
                Text::new(at, words, ROW_CAP, Role::Legend).anchored(Anchor::End),
            ));
        }
        out.height_mm += ROW_MM;
    }
    out
}

/// What stands beside a plan without a scale of its own: title, scale, signs, notes.
pub(super) fn plain_blocks(
    face: &Typeface,
    style: &SheetStyle,
    signs: &[(Sign, String)],
    scale: Scale,
    width: f64,
) -> Vec<Block> {
    vec![
        title_block(face, &style.block, width),
        scale_block(face, scale, style.habit, width),
        sign_block(face, signs, width),
        notes_block(face, &style.block.notes, width),
    ]
}

/// Signs with their meaning.
pub(super) fn sign_block(face: &Typeface, rows: &[(Sign, String)], width: f64) -> Block {
    let mut out = Block::default();
    for (sign, words) in rows {
        let y = out.height_mm;
        let mut picture = Scene::new("", 0.0, 0.0);
        draw_sign(
            &mut picture,
            *sign,
            PaperPoint::new(SIGN_MM / 2.0, y + ROW_MM / 2.0),
        );
        out.shapes.append(&mut picture.shapes);
        let lines = face.wrap(words, width - SIGN_MM - 2.0, ROW_CAP, Weight::Regular);
        for (i, line) in lines.iter().enumerate() {
            let base = y + (ROW_MM + ROW_CAP) / 2.0 + i as f64 * ROW_CAP * 1.6;
            let at = PaperPoint::new(SIGN_MM + 2.0, base);
            out.shapes
                .push(Shape::Text(Text::new(at, line, ROW_CAP, Role::Legend)));
        }
        let more = lines.len().saturating_sub(1) as f64;
        out.height_mm += ROW_MM + more * ROW_CAP * 1.6 + 0.3;
    }
    out
}

/// A sign alone, for a key that is no drawing.
pub(super) fn picture(sign: Sign) -> Scene {
    let mut scene = Scene::new("", SIGN_MM + 0.4, ROW_MM);
    let middle = PaperPoint::new(scene.width_mm / 2.0, ROW_MM / 2.0);
    draw_sign(&mut scene, sign, middle);
    scene
}

fn draw_sign(scene: &mut Scene, sign: Sign, at: PaperPoint) {
    let half = SIGN_MM / 2.0;
    let (left, right) = (at.shifted(-half, 0.0), at.shifted(half, 0.0));
    let patch = Rect::new(at.shifted(-half, -1.8), at.shifted(half, 1.8));
    let mut hatched = |kind: Hatch| {
        let nothing = Placer::new(patch);
        hatch(scene, &[corners(patch)], kind, &nothing);
        scene.frame(patch, 0.15, Ink::DARK);
    };
    match sign {
        Sign::High => high(scene, at),
        Sign::Low => low(scene, at),
        Sign::Mark => scene.disc(at, super::marks::DOT_MM, Ink::BLACK),
        Sign::Contour => scene.segment(left, right, super::contours::LINE_MM, Ink::DARK),
        Sign::Extended => hatched(Hatch::EXTENDED),
        Sign::Unsurveyed => hatched(Hatch::UNSURVEYED),
        Sign::Above | Sign::Unreached => hatched(Hatch::ABOVE),
        Sign::Reached => scene.frame(patch, 0.15, Ink::DARK),
        Sign::Joint => scene.line(vec![left, right], 0.35, Ink::BLACK, Dash::Broken(4.0, 1.0)),
        Sign::MovementJoint => scene.line(vec![left, right], 0.35, Ink::BLACK, Dash::DashDot),
        Sign::Drain => {
            scene.circle(at, 1.3, 0.3, Ink::BLACK);
            scene.segment(at.shifted(-1.3, 0.0), at.shifted(1.3, 0.0), 0.2, Ink::BLACK);
            scene.segment(at.shifted(0.0, -1.3), at.shifted(0.0, 1.3), 0.2, Ink::BLACK);
        }
        Sign::Fixture => scene.frame(
            Rect::new(at.shifted(-1.3, -1.3), at.shifted(1.3, 1.3)),
            0.3,
            Ink::BLACK,
        ),
        Sign::Slope => {
            let mut ring = corners(patch);
            ring.push(ring[0]);
            scene.line(ring, 0.4, Ink::BLACK, Dash::Broken(2.0, 1.0));
        }
        Sign::Edge => {
            scene.segment(left, right, super::edges::EDGE_MM, Ink::BLACK);
            super::edges::contact(scene, left);
            super::edges::contact(scene, right);
        }
        Sign::HumpEdge => {
            super::edges::hump(scene, left, right);
            super::edges::contact(scene, left);
            super::edges::contact(scene, right);
        }
        Sign::Worst => super::edges::worst(scene, at),
        Sign::Listed => super::edges::listed(scene, left, right),
        Sign::TieIn => scene.line(vec![left, right], 0.7, Ink::BLACK, TIE_DASH),
        Sign::Dam => {
            let width = DAM_MM;
            scene.segment(left, right, width, Ink::BLACK);
            scene.segment(left, right, width / 3.0, Ink::WHITE);
        }
        Sign::Patch => {
            scene.fill_rect(patch, PATCH);
            scene.frame(patch, 0.15, Ink::DARK);
        }
        Sign::Batch => scene.circle(at, 2.0, 0.5, Ink::BLACK),
        Sign::Direction => arrow(scene, left, right),
        Sign::North(x, y) => arrow(
            scene,
            at.shifted(-x * 2.2, -y * 2.2),
            at.shifted(x * 2.2, y * 2.2),
        ),
    }
}

/// The X of a high point.
pub(super) fn high(scene: &mut Scene, at: PaperPoint) {
    let r = HIGH_MM;
    for (dx, dy) in [(r, r), (r, -r)] {
        scene.segment(at.shifted(-dx, -dy), at.shifted(dx, dy), 1.6, Ink::WHITE);
    }
    for (dx, dy) in [(r, r), (r, -r)] {
        scene.segment(at.shifted(-dx, -dy), at.shifted(dx, dy), 0.7, Ink::BLACK);
    }
}

/// The circle of a low point.
pub(super) fn low(scene: &mut Scene, at: PaperPoint) {
    scene.circle(at, LOW_MM, 1.5, Ink::WHITE);
    scene.circle(at, LOW_MM, 0.7, Ink::BLACK);
}

/// Half the size of the X, and radius of the circle, millimetres.
pub(super) const HIGH_MM: f64 = 1.7;
pub(super) const LOW_MM: f64 = 2.0;

/// An arrow from a to b.
pub(super) fn arrow(scene: &mut Scene, a: PaperPoint, b: PaperPoint) {
    let length = a.distance(b);
    if length < 0.5 {
        return;
    }
    let (dx, dy) = ((b.x - a.x) / length, (b.y - a.y) / length);
    let neck = b.shifted(-dx * 2.4, -dy * 2.4);
    scene.segment(a, neck, 0.5, Ink::BLACK);
    scene.fill(
        vec![
            b,
            neck.shifted(-dy * 1.1, dx * 1.1),
            neck.shifted(dy * 1.1, -dx * 1.1),
        ],
        Ink::BLACK,
    );
}
