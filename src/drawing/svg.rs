//! A scene as SVG, through plotters' SVG backend.

use super::font::{FAMILY_LIST, Typeface, Weight, font_size_mm};
use super::scene::{Anchor, Dash, PaperPoint, Scene, Shape, Text};
use super::{DrawingError, ramp::Ink};
use plotters::prelude::{DrawingBackend, FontDesc, FontFamily, FontStyle, FontTransform};
use plotters::prelude::{RGBColor, SVGBackend, ShapeStyle, TextStyle};
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// The backend takes whole numbers; this many of them make a millimetre.
const DOTS_PER_MM: f64 = 20.0;
/// The backend multiplies font sizes by this before it writes them down; see `font_size`.
const BACKEND_SIZE_FACTOR: f64 = 1.24;
/// The backend sets a top-anchored baseline this share of the font size below the anchor.
const BACKEND_TOP_SHARE: f64 = 0.76;

/// The scene as an SVG document: size in millimetres, text kept as text, same scene same bytes.
///
/// # Errors
/// [`DrawingError::MissingGlyph`] for a sign the embedded font lacks; [`DrawingError::NotFinite`] for a
/// coordinate that is no number.
pub fn svg(scene: &Scene) -> Result<String, DrawingError> {
    let face = Typeface::embedded()?;
    let size = (
        (scene.width_mm * DOTS_PER_MM).round() as u32,
        (scene.height_mm * DOTS_PER_MM).round() as u32,
    );
    let mut out = String::with_capacity(256 * (scene.shapes.len() + 4));
    {
        let mut backend = SVGBackend::with_string(&mut out, size);
        let (w, h) = (size.0 as i32, size.1 as i32);
        let paper = style(Ink::WHITE, 1).filled();
        backend
            .fill_polygon([(0, 0), (w, 0), (w, h), (0, h)], &paper)
            .map_err(refused)?;
        for shape in &scene.shapes {
            draw(&mut backend, shape, &face)?;
        }
        backend.present().map_err(refused)?;
    }
    // The backend knows only dots; paper is measured in millimetres.
    let root_end = out.find('>').map_or(0, |at| at + 1);
    let root = format!(
        "<svg width=\"{}mm\" height=\"{}mm\" viewBox=\"0 0 {} {}\" xmlns=\"http://www.w3.org/2000/svg\">\n<title>{}</title>",
        trimmed(scene.width_mm),
        trimmed(scene.height_mm),
        size.0,
        size.1,
        escaped(&scene.title),
    );
    out.replace_range(..root_end, &root);
    Ok(out)
}

fn draw(backend: &mut SVGBackend<'_>, shape: &Shape, face: &Typeface) -> Result<(), DrawingError> {
    match shape {
        Shape::Fill { ring, ink } => {
            let dots = dots(ring)?;
            if dots.len() > 2 {
                backend
                    .fill_polygon(dots, &style(*ink, 1).filled())
                    .map_err(refused)?;
            }
        }
        Shape::Line {
            points,
            width_mm,
            ink,
            dash,
        } => {
            let style = style(*ink, (width_mm * DOTS_PER_MM).round().max(1.0) as u32);
            match dash {
                Dash::Solid => line(backend, dots(points)?, &style)?,
                Dash::Broken(on, off) => {
                    for piece in pieces(points, &[*on, *off]) {
                        line(backend, dots(&piece)?, &style)?;
                    }
                }
                Dash::DashDot => {
                    for piece in pieces(points, &[4.0, 1.0, 0.6, 1.0]) {
                        line(backend, dots(&piece)?, &style)?;
                    }
                }
            }
        }
        Shape::Circle {
            at,
            radius_mm,
            width_mm,
            ink,
        } => {
            let width = width_mm.map_or(1, |w| (w * DOTS_PER_MM).round().max(1.0) as u32);
            let radius = (radius_mm * DOTS_PER_MM).round().max(1.0) as u32;
            backend
                .draw_circle(dot(*at)?, radius, &style(*ink, width), width_mm.is_none())
                .map_err(refused)?;
        }
        Shape::Text(text) => words(backend, text, face)?,
    }
    Ok(())
}

fn line(
    backend: &mut SVGBackend<'_>,
    dots: Vec<(i32, i32)>,
    style: &ShapeStyle,
) -> Result<(), DrawingError> {
    match dots[..] {
        [] | [_] => Ok(()),
        [a, b] => backend.draw_line(a, b, style).map_err(refused),
        _ => backend.draw_path(dots, style).map_err(refused),
    }
}

fn words(backend: &mut SVGBackend<'_>, text: &Text, face: &Typeface) -> Result<(), DrawingError> {
    face.check(&text.words)?;
    let size = (font_size_mm(text.cap_mm) * DOTS_PER_MM * 10.0).round() / 10.0;
    let font_style = match text.weight {
        Weight::Regular => FontStyle::Normal,
        Weight::Bold => FontStyle::Bold,
    };
    let mut font = FontDesc::new(
        FontFamily::Name(FAMILY_LIST),
        backend_size(size),
        font_style,
    );
    let drop = size * BACKEND_TOP_SHARE / DOTS_PER_MM;
    let top = if text.upward {
        font = font.transform(FontTransform::Rotate270);
        text.at.shifted(-drop, 0.0)
    } else {
        text.at.shifted(0.0, -drop)
    };
    let h_pos = match text.anchor {
        Anchor::Start => HPos::Left,
        Anchor::Middle => HPos::Center,
        Anchor::End => HPos::Right,
    };
    let Ink(r, g, b) = text.ink;
    let ink = RGBColor(r, g, b);
    let style = TextStyle::from(font)
        .color(&ink)
        .pos(Pos::new(h_pos, VPos::Top));
    backend
        .draw_text(&text.words, &style, dot(top)?)
        .map_err(refused)
}

/// A number which, divided by the backend's factor, gives `size` back exactly, so that the file
/// holds one decimal and not sixteen.
fn backend_size(size: f64) -> f64 {
    let product = size * BACKEND_SIZE_FACTOR;
    [product, product.next_up(), product.next_down()]
        .into_iter()
        .find(|p| p / BACKEND_SIZE_FACTOR == size)
        .unwrap_or(product)
}

fn style(ink: Ink, stroke_width: u32) -> ShapeStyle {
    let Ink(r, g, b) = ink;
    ShapeStyle::from(&RGBColor(r, g, b)).stroke_width(stroke_width)
}

fn dot(p: PaperPoint) -> Result<(i32, i32), DrawingError> {
    let (x, y) = (p.x * DOTS_PER_MM, p.y * DOTS_PER_MM);
    if x.is_finite() && y.is_finite() {
        Ok((x.round() as i32, y.round() as i32))
    } else {
        Err(DrawingError::NotFinite {
            what: "a place on the sheet",
        })
    }
}

/// Rounded to dots, with repeats left out.
fn dots(points: &[PaperPoint]) -> Result<Vec<(i32, i32)>, DrawingError> {
    let mut out = Vec::with_capacity(points.len());
    for &p in points {
        let d = dot(p)?;
        if out.last() != Some(&d) {
            out.push(d);
        }
    }
    Ok(out)
}

/// A line cut into its drawn pieces; `pattern` alternates drawn and left out, millimetres.
fn pieces(points: &[PaperPoint], pattern: &[f64]) -> Vec<Vec<PaperPoint>> {
    let mut out = Vec::new();
    let (mut phase, mut left) = (0, pattern[0]);
    let mut piece: Vec<PaperPoint> = points.first().copied().into_iter().collect();
    for pair in points.windows(2) {
        let (mut a, b) = (pair[0], pair[1]);
        let mut rest = a.distance(b);
        while rest > left {
            a = a.lerp(b, left / rest);
            rest -= left;
            if phase % 2 == 0 {
                piece.push(a);
                out.push(std::mem::take(&mut piece));
            } else {
                piece = vec![a];
            }
            phase = (phase + 1) % pattern.len();
            left = pattern[phase].max(0.05);
        }
        left -= rest;
        if phase % 2 == 0 {
            piece.push(b);
        }
    }
    if piece.len() > 1 {
        out.push(piece);
    }
    out
}

fn refused(error: impl std::error::Error) -> DrawingError {
    DrawingError::Backend {
        reason: error.to_string(),
    }
}

/// Up to two decimals, without trailing zeros.
fn trimmed(mm: f64) -> String {
    let text = format!("{mm:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
