//! A scene as SVG, drawn through plotters onto our own backend.

use super::DrawingError;
use super::backend::{Stroke, Svg, escaped};
use super::font::{FAMILY_LIST, Typeface, Weight, font_size_mm};
use super::scene::{Anchor, Dash, PaperPoint, Scene, Shape, Text};
use plotters::prelude::DrawingBackend;
use plotters_backend::text_anchor::{HPos, Pos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, FontFamily, FontStyle,
    FontTransform,
};
use std::convert::Infallible;

/// Plotters places by whole numbers; this many of them make a millimetre, one for the finest detail that paper shows.
pub(super) const DOTS_PER_MM: f64 = 20.0;

/// The scene as an SVG document: size in millimetres, text kept as text, same scene same bytes.
///
/// # Errors
/// [`DrawingError::MissingGlyph`] for a sign the embedded font lacks; [`DrawingError::NotFinite`] for a
/// coordinate that is no number.
pub fn svg(scene: &Scene) -> Result<String, DrawingError> {
    let face = Typeface::embedded()?;
    for text in scene.texts() {
        face.check(&text.words)?;
    }
    let (w, h) = size(scene);
    let root = format!(
        "<svg width=\"{}mm\" height=\"{}mm\" viewBox=\"0 0 {w} {h}\" xmlns=\"http://www.w3.org/2000/svg\">\n\
         <title>{}</title>\n\
         <rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>\n",
        trimmed(scene.width_mm),
        trimmed(scene.height_mm),
        escaped(&scene.title),
    );
    written(scene, root, &face, Letters::OURS)
}

/// The scene as an element of a web page, with `attributes` on it: as large as the page makes it, on the page's own
/// ground and in the page's own letters, so that no sign can be missing.
///
/// # Errors
/// [`DrawingError::NotFinite`] for a coordinate that is no number.
pub fn svg_in_page(scene: &Scene, attributes: &str) -> Result<String, DrawingError> {
    let (w, h) = size(scene);
    let root = format!(
        "<svg {attributes} viewBox=\"0 0 {w} {h}\" xmlns=\"http://www.w3.org/2000/svg\">\n"
    );
    written(scene, root, &Typeface::embedded()?, Letters::PAGES)
}

/// Whose letters a drawing is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Letters {
    /// Families to name, the first found is taken; empty: those of what stands around the drawing.
    families: &'static str,
    /// Whether they are as wide as they were measured.
    measured: bool,
}

impl Letters {
    const OURS: Self = Self {
        families: FAMILY_LIST,
        measured: true,
    };
    const PAGES: Self = Self {
        families: "",
        measured: false,
    };
}

/// Width and height, dots.
fn size(scene: &Scene) -> (u32, u32) {
    (
        (scene.width_mm * DOTS_PER_MM).round() as u32,
        (scene.height_mm * DOTS_PER_MM).round() as u32,
    )
}

/// The document that begins with `root`.
fn written(
    scene: &Scene,
    root: String,
    face: &Typeface,
    letters: Letters,
) -> Result<String, DrawingError> {
    let mut out = root;
    out.reserve(128 * scene.shapes.len());
    let mut backend = Svg::behind(&mut out, size(scene));
    for shape in &scene.shapes {
        draw(&mut backend, shape, face, letters)?;
    }
    backend.present().map_err(refused)?;
    drop(backend);
    Ok(out)
}

fn draw(
    backend: &mut Svg<'_>,
    shape: &Shape,
    face: &Typeface,
    letters: Letters,
) -> Result<(), DrawingError> {
    match shape {
        Shape::Fill { ring, ink } => {
            let dots = dots(ring)?;
            if dots.len() < 3 {
                return Ok(());
            }
            let fill = Stroke {
                ink: *ink,
                width: 0,
            };
            backend.fill_polygon(dots, &fill)
        }
        Shape::Line {
            points,
            width_mm,
            ink,
            dash,
        } => {
            let stroke = Stroke {
                ink: *ink,
                width: whole(*width_mm),
            };
            backend.dashed(dashes(*dash));
            let drawn = match dots(points)?[..] {
                [] | [_] => Ok(()),
                [a, b] => backend.draw_line(a, b, &stroke),
                ref more => backend.draw_path(more.iter().copied(), &stroke),
            };
            backend.dashed(Vec::new());
            drawn
        }
        Shape::Circle {
            at,
            radius_mm,
            width_mm,
            ink,
        } => {
            let stroke = Stroke {
                ink: *ink,
                width: width_mm.map_or(0, whole),
            };
            backend.draw_circle(dot(*at)?, whole(*radius_mm), &stroke, width_mm.is_none())
        }
        Shape::Text(text) => {
            let style = Lettering {
                text,
                face,
                letters,
            };
            backend.draw_text(&text.words, &style, dot(style.place())?)
        }
        Shape::Open { class, title } => backend.open(class, title.as_deref()),
        Shape::Close => backend.close(),
    }
    .map_err(refused)
}

/// A text as plotters asks for it.
struct Lettering<'a> {
    text: &'a Text,
    face: &'a Typeface,
    letters: Letters,
}

impl Lettering<'_> {
    /// Where it is anchored. Letters of another width stay in the middle of the place that was found for ours.
    fn place(&self) -> PaperPoint {
        let Text { at, upward, .. } = *self.text;
        if self.letters.measured {
            return at;
        }
        let middle = self.text.rect(self.face).middle();
        if upward {
            PaperPoint::new(at.x, middle.y)
        } else {
            PaperPoint::new(middle.x, at.y)
        }
    }
}

impl BackendTextStyle for Lettering<'_> {
    type FontError = Infallible;

    fn color(&self) -> BackendColor {
        Stroke {
            ink: self.text.ink,
            width: 0,
        }
        .color()
    }

    fn size(&self) -> f64 {
        (font_size_mm(self.text.cap_mm) * DOTS_PER_MM * 10.0).round() / 10.0
    }

    fn transform(&self) -> FontTransform {
        if self.text.upward {
            FontTransform::Rotate270
        } else {
            FontTransform::None
        }
    }

    fn style(&self) -> FontStyle {
        match self.text.weight {
            Weight::Regular => FontStyle::Normal,
            Weight::Bold => FontStyle::Bold,
        }
    }

    fn anchor(&self) -> Pos {
        let across = match self.text.anchor {
            _ if !self.letters.measured => HPos::Center,
            Anchor::Start => HPos::Left,
            Anchor::Middle => HPos::Center,
            Anchor::End => HPos::Right,
        };
        Pos::new(across, VPos::Bottom)
    }

    fn family(&self) -> FontFamily<'_> {
        FontFamily::Name(self.letters.families)
    }

    fn layout_box(&self, words: &str) -> Result<(BackendCoord, BackendCoord), Infallible> {
        let Text { cap_mm, weight, .. } = *self.text;
        let wide = self.face.width_mm(words, cap_mm, weight) * DOTS_PER_MM;
        let high = cap_mm * DOTS_PER_MM;
        Ok(((0, -high.ceil() as i32), (wide.ceil() as i32, 0)))
    }

    /// Letters are never made of dots here: the backend writes words.
    fn draw<E, F: FnMut(i32, i32, BackendColor) -> Result<(), E>>(
        &self,
        _words: &str,
        _at: BackendCoord,
        _dot: F,
    ) -> Result<Result<(), E>, Infallible> {
        Ok(Ok(()))
    }
}

/// A length of at least one dot.
fn whole(mm: f64) -> u32 {
    (mm * DOTS_PER_MM).round().max(1.0) as u32
}

/// Lengths drawn and left out by turns, dots.
fn dashes(dash: Dash) -> Vec<f64> {
    let mm: &[f64] = match dash {
        Dash::Solid => &[],
        Dash::Broken(on, off) => &[on, off],
        Dash::DashDot => &[4.0, 1.0, 0.6, 1.0],
    };
    mm.iter().map(|l| (l * DOTS_PER_MM).round()).collect()
}

fn dot(p: PaperPoint) -> Result<BackendCoord, DrawingError> {
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
fn dots(points: &[PaperPoint]) -> Result<Vec<BackendCoord>, DrawingError> {
    let mut out = points
        .iter()
        .map(|&p| dot(p))
        .collect::<Result<Vec<_>, _>>()?;
    out.dedup();
    Ok(out)
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
