//! A scene as PNG: its SVG drawn by resvg with the embedded font and no other.

use super::DrawingError;
use super::font::{BOLD, REGULAR};
use super::scene::Scene;
use super::svg::svg;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg;

/// Dots per inch when none are asked for: sharp on a phone and on a page.
pub const DEFAULT_DPI: f64 = 150.0;
const MM_PER_INCH: f64 = 25.4;
/// More dots than this on one side is a slip, not a wish.
const MOST_DOTS: f64 = 20_000.0;

/// The scene as a PNG picture, 8-bit RGB on white, at `dpi` dots per inch.
///
/// # Method
/// The very SVG that [`svg`] gives is parsed and filled; nothing is drawn a second way.
/// # Errors
/// As [`svg`]; [`DrawingError::PictureSize`] when `dpi` makes no drawable picture.
pub fn png(scene: &Scene, dpi: f64) -> Result<Vec<u8>, DrawingError> {
    svg_to_png(&svg(scene)?, dpi)
}

/// An SVG of [`svg`] as PNG.
///
/// # Errors
/// As [`fn@png`].
pub fn svg_to_png(svg: &str, dpi: f64) -> Result<Vec<u8>, DrawingError> {
    let picture = raster(svg, dpi)?;
    let mut rgb = Vec::with_capacity(picture.data().len() / 4 * 3);
    // The sheet is opaque, so premultiplied and plain colours are the same.
    for dot in picture.data().chunks_exact(4) {
        rgb.extend_from_slice(&dot[..3]);
    }
    let mut out = Vec::new();
    let dots_per_metre = (dpi / MM_PER_INCH * 1000.0).round() as u32;
    {
        let mut encoder = png::Encoder::new(&mut out, picture.width(), picture.height());
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_compression(png::Compression::Fast);
        encoder.set_pixel_dims(Some(png::PixelDimensions {
            xppu: dots_per_metre,
            yppu: dots_per_metre,
            unit: png::Unit::Meter,
        }));
        let mut writer = encoder.write_header().map_err(refused)?;
        writer.write_image_data(&rgb).map_err(refused)?;
        writer.finish().map_err(refused)?;
    }
    Ok(out)
}

/// The dots themselves.
fn raster(svg: &str, dpi: f64) -> Result<Pixmap, DrawingError> {
    let tree = parse(svg)?;
    // usvg reads millimetres at its own 96 dots per inch.
    let scale = dpi / 96.0;
    let size = tree.size();
    let dots = |side: f32| {
        (f64::from(side) * scale)
            .round()
            .clamp(0.0, f64::from(u32::MAX))
    };
    let (w, h) = (dots(size.width()), dots(size.height()));
    let wrong = DrawingError::PictureSize {
        width_px: w as u32,
        height_px: h as u32,
    };
    if !(w >= 1.0 && h >= 1.0 && w <= MOST_DOTS && h <= MOST_DOTS) {
        return Err(wrong);
    }
    let mut picture = Pixmap::new(w as u32, h as u32).ok_or(wrong)?;
    picture.fill(resvg::tiny_skia::Color::WHITE);
    resvg::render(
        &tree,
        Transform::from_scale(
            (w / f64::from(size.width())) as f32,
            (h / f64::from(size.height())) as f32,
        ),
        &mut picture.as_mut(),
    );
    Ok(picture)
}

/// The SVG as resvg sees it, with only the embedded font at hand.
pub(super) fn parse(svg: &str) -> Result<usvg::Tree, DrawingError> {
    let mut options = usvg::Options::default();
    let fonts = options.fontdb_mut();
    for bytes in [REGULAR, BOLD] {
        // The files are part of the program: lent, not copied.
        fonts.load_font_source(usvg::fontdb::Source::Binary(std::sync::Arc::new(bytes)));
    }
    usvg::Tree::from_str(svg, &options).map_err(refused)
}

fn refused(error: impl std::error::Error) -> DrawingError {
    DrawingError::Backend {
        reason: error.to_string(),
    }
}
