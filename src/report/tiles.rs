//! A drawing larger than the paper, cut into pages with match lines and an index.

use super::clip::clipped;
use super::crew::SheetDrawing;
use super::words::crew as w;
use super::{Paper, ReportError, size_mm};
use crate::drawing::font::Typeface;
use crate::drawing::{
    Anchor, Dash, Ink, PaperPoint, Rect, Role, Scale, Scene, Shape, Text, standard_scales, svg,
};
use crate::units::Habit;

/// Free edge of a page, millimetres.
const EDGE_MM: f64 = 9.0;
/// Strip above each part that says which it is and where it goes on, millimetres.
const STRIP_MM: f64 = 9.0;
/// What neighbouring pages both show on either side of a match line, millimetres: a number that a line cuts
/// stands whole on one of them.
const OVERLAP_MM: f64 = 7.0;
/// Distance between marks on paper that leaves room for their numbers, millimetres.
const MARK_PITCH_MM: f64 = 7.0;
/// Room that names, dimensions and the key take beside the plan, millimetres, across and up: the key stands
/// beside a wide plan and under a tall one.
const BESIDE_WIDE_MM: (f64, f64) = (106.0, 32.0);
const BESIDE_TALL_MM: (f64, f64) = (38.0, 140.0);
/// More pages than this are not a crew sheet any more.
const MOST_PAGES: usize = 48;

/// How a drawing is cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Pages side by side.
    pub across: usize,
    /// Pages one under the other.
    pub down: usize,
    /// Whether each page lies on its long side.
    pub landscape: bool,
    /// Paper.
    pub paper: Paper,
}

impl Cut {
    /// The cut that gives every mark of a plan room for its number; `None` when one page does, or when too
    /// many pages would be needed.
    ///
    /// # Units
    /// `plan_m` is the plan's extent, `spacing_m` the typical distance between marks, both metres.
    /// # Method
    /// The smallest standard scale at which marks stand 7 mm apart sets the size of the whole drawing; pages
    /// are counted upright and lying, and the fewer are taken.
    pub fn for_marks(
        habit: Habit,
        plan_m: (f64, f64),
        spacing_m: f64,
        paper: Paper,
    ) -> Option<Self> {
        let scale: Scale = standard_scales(habit)
            .iter()
            .copied()
            .rev()
            .find(|s| spacing_m * s.mm_per_m() >= MARK_PITCH_MM)?;
        let beside = if plan_m.0 > plan_m.1 {
            BESIDE_WIDE_MM
        } else {
            BESIDE_TALL_MM
        };
        let size = (
            plan_m.0 * scale.mm_per_m() + beside.0,
            plan_m.1 * scale.mm_per_m() + beside.1,
        );
        let best = [false, true]
            .into_iter()
            .map(|landscape| {
                let page = part_mm(paper, landscape);
                Self {
                    across: (size.0 / page.0).ceil() as usize,
                    down: (size.1 / page.1).ceil() as usize,
                    landscape,
                    paper,
                }
            })
            .min_by_key(Self::pages)?;
        (best.pages() > 1 && best.pages() <= MOST_PAGES).then_some(best)
    }

    /// Pages in all.
    pub const fn pages(&self) -> usize {
        self.across * self.down
    }

    /// Width and height of the whole drawing, millimetres.
    pub fn poster_mm(&self) -> (f64, f64) {
        let part = part_mm(self.paper, self.landscape);
        (part.0 * self.across as f64, part.1 * self.down as f64)
    }
}

/// Width and height of the drawing that one page shows between its match lines, millimetres.
fn part_mm(paper: Paper, landscape: bool) -> (f64, f64) {
    let (w, h) = size_mm(paper, landscape);
    (
        w - 2.0 * (EDGE_MM + OVERLAP_MM),
        h - 2.0 * (EDGE_MM + OVERLAP_MM) - STRIP_MM,
    )
}

/// The pages of a drawing made for [`Cut::poster_mm`]: first the index, then the parts, left to right and
/// top to bottom.
///
/// # Errors
/// [`ReportError::Drawing`].
pub fn cut(poster: &Scene, cut: &Cut) -> Result<Vec<SheetDrawing>, ReportError> {
    let face = Typeface::embedded()?;
    let mut pages = vec![page(&index(poster, cut))?];
    for number in 1..=cut.pages() {
        pages.push(page(&part(poster, cut, number, &face))?);
    }
    Ok(pages)
}

fn page(scene: &Scene) -> Result<SheetDrawing, ReportError> {
    Ok(SheetDrawing {
        svg: svg(scene)?,
        width_mm: scene.width_mm,
        height_mm: scene.height_mm,
    })
}

/// What part `number` (from 1) shows between its match lines.
fn core(cut: &Cut, number: usize) -> Rect {
    let (w, h) = part_mm(cut.paper, cut.landscape);
    let (column, row) = ((number - 1) % cut.across, (number - 1) / cut.across);
    Rect {
        left: column as f64 * w,
        top: row as f64 * h,
        right: (column + 1) as f64 * w,
        bottom: (row + 1) as f64 * h,
    }
}

/// One part on its page, with match lines and the numbers of the parts beyond them.
fn part(poster: &Scene, cut: &Cut, number: usize, face: &Typeface) -> Scene {
    let (width, height) = size_mm(cut.paper, cut.landscape);
    let core = core(cut, number);
    let window = core.grown(OVERLAP_MM);
    let by = PaperPoint::new(
        EDGE_MM + OVERLAP_MM - core.left,
        EDGE_MM + STRIP_MM + OVERLAP_MM - core.top,
    );
    let mut out = Scene::new(
        w::part_title(&poster.title, number, cut.pages()),
        width,
        height,
    );
    for shape in &poster.shapes {
        clipped(shape, &window, by, face, &mut out.shapes);
    }
    let here = Rect::new(
        PaperPoint::new(core.left + by.x, core.top + by.y),
        PaperPoint::new(core.right + by.x, core.bottom + by.y),
    );
    let (column, row) = ((number - 1) % cut.across, (number - 1) / cut.across);
    let mut match_line = |a: PaperPoint, b: PaperPoint, beyond: usize, upward: bool| {
        out.line(vec![a, b], 0.5, Ink::BLACK, Dash::DashDot);
        let at = if upward {
            PaperPoint::new(
                a.x + if beyond > number {
                    OVERLAP_MM - 1.0
                } else {
                    -OVERLAP_MM + 3.0
                },
                (a.y + b.y) / 2.0,
            )
        } else {
            PaperPoint::new(
                (a.x + b.x) / 2.0,
                a.y + if beyond > number {
                    OVERLAP_MM - 1.0
                } else {
                    -OVERLAP_MM + 3.0
                },
            )
        };
        let text = Text::new(at, w::match_line(beyond), 2.2, Role::Note)
            .bold()
            .anchored(Anchor::Middle)
            .turned(upward);
        let plate = text.rect(face).grown(0.6);
        out.fill_rect(plate, Ink::WHITE);
        out.text(text);
    };
    let corner = |x: f64, y: f64| PaperPoint::new(x, y);
    if column > 0 {
        match_line(
            corner(here.left, here.top),
            corner(here.left, here.bottom),
            number - 1,
            true,
        );
    }
    if column + 1 < cut.across {
        match_line(
            corner(here.right, here.top),
            corner(here.right, here.bottom),
            number + 1,
            true,
        );
    }
    if row > 0 {
        match_line(
            corner(here.left, here.top),
            corner(here.right, here.top),
            number - cut.across,
            false,
        );
    }
    if row + 1 < cut.down {
        match_line(
            corner(here.left, here.bottom),
            corner(here.right, here.bottom),
            number + cut.across,
            false,
        );
    }
    let head = Text::new(
        PaperPoint::new(EDGE_MM, EDGE_MM + 5.0),
        w::part_head(&poster.title, number, cut.pages()),
        3.0,
        Role::Title,
    );
    out.text(head.bold());
    out
}

/// The whole drawing made small, with the parts' borders and numbers over it. Its words, too small to read,
/// are left out.
fn index(poster: &Scene, cut: &Cut) -> Scene {
    let (width, height) = size_mm(cut.paper, cut.landscape);
    let space = (width - 2.0 * EDGE_MM, height - 2.0 * EDGE_MM - STRIP_MM);
    let factor = (space.0 / poster.width_mm).min(space.1 / poster.height_mm);
    let origin = PaperPoint::new(
        EDGE_MM + (space.0 - poster.width_mm * factor) / 2.0,
        EDGE_MM + STRIP_MM,
    );
    let small = |p: &PaperPoint| PaperPoint::new(origin.x + p.x * factor, origin.y + p.y * factor);
    let mut out = Scene::new(w::INDEX, width, height);
    for shape in &poster.shapes {
        match shape {
            Shape::Fill { ring, ink } => out.fill(ring.iter().map(small).collect(), *ink),
            Shape::Line {
                points,
                width_mm,
                ink,
                dash,
            } => out.line(
                points.iter().map(small).collect(),
                (width_mm * factor).max(0.1),
                *ink,
                *dash,
            ),
            Shape::Circle { .. } | Shape::Text(_) | Shape::Open { .. } | Shape::Close => {}
        }
    }
    out.text(
        Text::new(
            PaperPoint::new(EDGE_MM, EDGE_MM + 5.0),
            format!("{}. {}", poster.title, w::INDEX),
            3.0,
            Role::Title,
        )
        .bold(),
    );
    for number in 1..=cut.pages() {
        let core = core(cut, number);
        let here = Rect::new(
            small(&PaperPoint::new(core.left, core.top)),
            small(&PaperPoint::new(core.right, core.bottom)),
        );
        out.frame(here, 0.6, Ink::BLACK);
        let middle = here.middle();
        let radius = (here.width().min(here.height()) * 0.25).min(7.0);
        out.disc(middle, radius, Ink::WHITE);
        out.circle(middle, radius, 0.5, Ink::BLACK);
        let cap = radius * 0.8;
        out.text(
            Text::new(
                middle.shifted(0.0, cap / 2.0),
                number.to_string(),
                cap,
                Role::Number,
            )
            .bold()
            .anchored(Anchor::Middle),
        );
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::clip::inside;
    use super::*;

    fn square(left: f64, top: f64, side: f64) -> Vec<PaperPoint> {
        [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]
            .map(|(x, y)| PaperPoint::new(left + x, top + y))
            .to_vec()
    }

    fn area(ring: &[PaperPoint]) -> f64 {
        let n = ring.len();
        (0..n)
            .map(|i| {
                let (a, b) = (ring[i], ring[(i + 1) % n]);
                (a.x * b.y - a.y * b.x) / 2.0
            })
            .sum::<f64>()
            .abs()
    }

    // ORACLE: property: parts that meet at their match lines cover the drawing once, whatever its shapes.
    #[test]
    fn the_parts_between_their_match_lines_hold_the_whole_drawing_once() {
        let cut = Cut {
            across: 3,
            down: 2,
            landscape: false,
            paper: Paper::A4,
        };
        let (w, h) = cut.poster_mm();
        let rings = [
            square(0.0, 0.0, w.min(h)),
            square(100.0, 150.0, 190.0),
            square(w - 30.0, h - 40.0, 29.0),
        ];
        for ring in rings {
            let whole = area(&ring);
            let parts: f64 = (1..=cut.pages())
                .map(|n| area(&inside(&ring, &core(&cut, n))))
                .sum();
            assert!((whole - parts).abs() < 1e-6 * whole, "{whole} {parts}");
        }
    }

    #[test]
    fn every_text_stands_whole_on_some_page_and_none_reaches_over_the_paper() {
        let cut_of = Cut {
            across: 2,
            down: 2,
            landscape: true,
            paper: Paper::Letter,
        };
        let (w, h) = cut_of.poster_mm();
        let mut poster = Scene::new("Hall", w, h);
        let mut names = Vec::new();
        for j in 0..28 {
            for i in 0..38 {
                let name = format!("{}", 100 + (i * 7 + j * 3) % 900);
                let at = PaperPoint::new(6.0 + i as f64 * 12.3, 5.0 + j as f64 * 11.7);
                if at.x < w - 8.0 && at.y < h - 4.0 {
                    poster.text(
                        Text::new(at, name.clone(), 2.6, Role::Mark).anchored(Anchor::Middle),
                    );
                    names.push(name);
                }
            }
        }
        let face = Typeface::embedded().unwrap();
        let mut seen = 0;
        let mut places = std::collections::BTreeSet::new();
        for n in 1..=cut_of.pages() {
            let page = part(&poster, &cut_of, n, &face);
            assert!(page.clipped().unwrap().is_empty(), "part {n}");
            let c = core(&cut_of, n);
            for t in page.texts().filter(|t| t.role == Role::Mark) {
                seen += 1;
                let back = (
                    t.at.x - EDGE_MM - OVERLAP_MM + c.left,
                    t.at.y - EDGE_MM - STRIP_MM - OVERLAP_MM + c.top,
                );
                places.insert((
                    (back.0 * 100.0).round() as i64,
                    (back.1 * 100.0).round() as i64,
                ));
            }
        }
        assert_eq!(
            places.len(),
            names.len(),
            "each mark stands on some page; {seen} in all with the overlaps"
        );
    }

    // ORACLE: hand: a bath of 8 by 6 ft with marks 1 ft apart needs 3/8 in to the foot (marks 9.5 mm apart):
    // 76 mm, one page. A hall of 100 by 100 marks 1 ft apart is 953 mm square at that scale.
    #[test]
    fn pages_are_counted_from_the_room_that_numbers_need() {
        let ft = 0.3048;
        let bath = Cut::for_marks(Habit::Us, (8.0 * ft, 6.0 * ft), ft, Paper::Letter);
        assert_eq!(bath, None);
        let hall = Cut::for_marks(Habit::Us, (100.0 * ft, 100.0 * ft), ft, Paper::Tabloid).unwrap();
        let (w, h) = hall.poster_mm();
        assert!(w > 953.0 && h > 953.0 && hall.pages() <= 20, "{hall:?}");
        // A scan has no numbers to give room to.
        assert_eq!(
            Cut::for_marks(Habit::Metric, (100.0, 100.0), 0.1, Paper::A4),
            None
        );
    }
}
