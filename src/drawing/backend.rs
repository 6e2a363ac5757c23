//! Where plotters' strokes go: an SVG document, written by ourselves.
//!
//! Plotters' own SVG backend knows neither millimetres nor broken lines nor groups, and counts font sizes in a unit of
//! its own. This one writes what a sheet needs and nothing that has to be mended afterwards.

use super::ramp::Ink;
use plotters_backend::text_anchor::{HPos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontStyle, FontTransform,
};
use std::fmt::{self, Write};

/// What every method answers; a string takes whatever is written to it.
type Done = Result<(), DrawingErrorKind<fmt::Error>>;

/// Colour and width of a stroke or a fill.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stroke {
    /// Colour.
    pub ink: Ink,
    /// Width, dots; fills have none.
    pub width: u32,
}

impl BackendStyle for Stroke {
    fn color(&self) -> BackendColor {
        let Ink(r, g, b) = self.ink;
        BackendColor {
            alpha: 1.0,
            rgb: (r, g, b),
        }
    }

    fn stroke_width(&self) -> u32 {
        self.width
    }
}

/// An SVG document in the making. Places and widths are whole dots.
pub(super) struct Svg<'a> {
    out: &'a mut String,
    size: (u32, u32),
    /// Lengths drawn and left out by turns, dots; empty: unbroken.
    dashes: Vec<f64>,
    /// How the path is stroked that is being written, if one is. Strokes alike that follow one another are one path: a
    /// hatch of a hundred lines then says once how they are drawn.
    stroke: Option<String>,
}

impl<'a> Svg<'a> {
    /// Goes on writing behind what stands in `out`: the root element and whatever comes first in it.
    pub fn behind(out: &'a mut String, size: (u32, u32)) -> Self {
        Self {
            out,
            size,
            dashes: Vec::new(),
            stroke: None,
        }
    }

    /// How the lines from here on are broken: lengths drawn and left out by turns, dots.
    pub fn dashed(&mut self, dashes: Vec<f64>) {
        self.dashes = dashes;
    }

    /// Begins a group with a class and, if it is called something, a title.
    pub fn open(&mut self, class: &str, title: Option<&str>) -> Done {
        self.put(format_args!("<g class=\"{class}\">"))?;
        match title {
            Some(words) => self.put(format_args!("<title>{}</title>\n", escaped(words))),
            None => self.put(format_args!("\n")),
        }
    }

    /// Ends the group that was begun last.
    pub fn close(&mut self) -> Done {
        self.put(format_args!("</g>\n"))
    }

    fn put(&mut self, text: fmt::Arguments<'_>) -> Done {
        if let Some(stroke) = self.stroke.take() {
            self.write(format_args!("\"{stroke}/>\n"))?;
        }
        self.write(text)
    }

    fn write(&mut self, text: fmt::Arguments<'_>) -> Done {
        self.out
            .write_fmt(text)
            .map_err(DrawingErrorKind::DrawingError)
    }

    /// Adds a line to the path that is being written, or begins another.
    fn stroke<S: BackendStyle>(
        &mut self,
        points: impl IntoIterator<Item = BackendCoord>,
        style: &S,
    ) -> Done {
        let BackendColor { alpha, rgb } = style.color();
        let mut stroke = format!(
            " fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"",
            hex(rgb),
            style.stroke_width()
        );
        if !self.dashes.is_empty() {
            let lengths: Vec<String> = self.dashes.iter().map(f64::to_string).collect();
            stroke.push_str(&format!(" stroke-dasharray=\"{}\"", lengths.join(" ")));
        }
        stroke.push_str(&opacity(alpha));
        // Where lines that one can see through cross, two are darker than one.
        if alpha < 1.0 || self.stroke.as_ref() != Some(&stroke) {
            self.put(format_args!("<path d=\""))?;
        }
        for (i, (x, y)) in points.into_iter().enumerate() {
            let to = if i == 0 { 'M' } else { 'L' };
            self.write(format_args!("{to}{x} {y}"))?;
        }
        self.stroke = Some(stroke);
        Ok(())
    }

    fn points(&mut self, points: impl IntoIterator<Item = BackendCoord>) -> Done {
        self.put(format_args!(" points=\""))?;
        for (i, (x, y)) in points.into_iter().enumerate() {
            let gap = if i == 0 { "" } else { " " };
            self.put(format_args!("{gap}{x},{y}"))?;
        }
        self.put(format_args!("\""))
    }

    /// Ends an element that is filled or has a line round it.
    fn paint<S: BackendStyle>(&mut self, style: &S, fill: bool) -> Done {
        let BackendColor { alpha, rgb } = style.color();
        let ink = hex(rgb);
        if fill {
            self.put(format_args!(" fill=\"{ink}\""))?;
        } else {
            let width = style.stroke_width();
            self.put(format_args!(
                " fill=\"none\" stroke=\"{ink}\" stroke-width=\"{width}\""
            ))?;
        }
        self.put(format_args!("{}/>\n", opacity(alpha)))
    }
}

impl DrawingBackend for Svg<'_> {
    type ErrorType = fmt::Error;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Done {
        Ok(())
    }

    fn present(&mut self) -> Done {
        self.put(format_args!("</svg>\n"))
    }

    fn draw_pixel(&mut self, (x, y): BackendCoord, color: BackendColor) -> Done {
        self.draw_rect((x, y), (x + 1, y + 1), &color, true)
    }

    fn draw_line<S: BackendStyle>(&mut self, a: BackendCoord, b: BackendCoord, style: &S) -> Done {
        self.stroke([a, b], style)
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        a: BackendCoord,
        b: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Done {
        self.put(format_args!(
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
            a.0,
            a.1,
            b.0 - a.0,
            b.1 - a.1
        ))?;
        self.paint(style, fill)
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Done {
        self.stroke(path, style)
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        (x, y): BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Done {
        self.put(format_args!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\""))?;
        self.paint(style, fill)
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        corners: I,
        style: &S,
    ) -> Done {
        self.put(format_args!("<polygon"))?;
        self.points(corners)?;
        self.paint(style, true)
    }

    /// Words as words. A place at the bottom of a text is one on its baseline; its top is that of its capitals.
    fn draw_text<T: BackendTextStyle>(
        &mut self,
        words: &str,
        style: &T,
        (x, y): BackendCoord,
    ) -> Done {
        self.put(format_args!("<text x=\"{x}\" y=\"{y}\""))?;
        let cap = super::font::CAP_SHARE;
        match style.anchor().v_pos {
            VPos::Bottom => {}
            VPos::Center => self.put(format_args!(" dy=\"{:.3}em\"", cap / 2.0))?,
            VPos::Top => self.put(format_args!(" dy=\"{cap:.3}em\""))?,
        }
        match style.anchor().h_pos {
            HPos::Left => {}
            HPos::Center => self.put(format_args!(" text-anchor=\"middle\""))?,
            HPos::Right => self.put(format_args!(" text-anchor=\"end\""))?,
        }
        let family = style.family();
        if !family.as_str().is_empty() {
            self.put(format_args!(" font-family=\"{}\"", family.as_str()))?;
        }
        self.put(format_args!(" font-size=\"{}\"", style.size()))?;
        match style.style() {
            FontStyle::Normal => {}
            FontStyle::Bold => self.put(format_args!(" font-weight=\"bold\""))?,
            slanted => self.put(format_args!(" font-style=\"{}\"", slanted.as_str()))?,
        }
        let turn = match style.transform() {
            FontTransform::None => 0,
            FontTransform::Rotate90 => 90,
            FontTransform::Rotate180 => 180,
            FontTransform::Rotate270 => 270,
        };
        if turn != 0 {
            self.put(format_args!(" transform=\"rotate({turn} {x} {y})\""))?;
        }
        let ink = hex(style.color().rgb);
        self.put(format_args!(" fill=\"{ink}\">{}</text>\n", escaped(words)))
    }
}

/// Nothing for what one cannot see through.
fn opacity(alpha: f64) -> String {
    if alpha < 1.0 {
        format!(" opacity=\"{alpha}\"")
    } else {
        String::new()
    }
}

fn hex((r, g, b): (u8, u8, u8)) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// Words made harmless between tags and in quotation marks. Signs that no XML may hold become the replacement sign.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' => out.push(sign),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}
