//! The parts that every map shares: room, shades, grid, marks, labels, panel.

use super::DrawingError;
use super::bands::BandScale;
use super::figures::MarkUnit;
use super::font::{Typeface, Weight};
use super::labels::Placer;
use super::paper::Scale;
use super::plan::{Extent, View};
use super::ramp::Ink;
use super::room;
use super::scene::{Dash, PaperPoint, Rect, Role, Scene, Shape, Text};
use super::sheet::{self, Block, Layout, SheetStyle};
use crate::geometry::{Point, Ring};
use crate::surface::Floor;
use crate::survey::{Reading, Room};

/// What a map is of.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The floor.
    pub floor: &'a Floor,
    /// Walls, doors, voids and names; `None`: the readings' own hull stands in and is drawn broken.
    pub room: Option<&'a Room>,
    /// The readings on the floor, each with the height that the floor has there.
    pub readings: &'a [Reading],
    /// The high point, with its ties.
    pub high: &'a [Point],
    /// The low point, with its ties.
    pub low: &'a [Point],
}

/// Room round the plan for names and dimensions: left, top, right, bottom, millimetres.
pub(super) const FRINGE: [f64; 4] = [17.0, 16.0, 19.0, 14.0];
/// Shades darker than this get a white plate under a number, L*.
pub(super) const PLATE_BELOW: f64 = 90.0;
/// Height of the capitals of names and of distances, millimetres.
pub(super) const NAME_CAP: f64 = 2.2;
pub(super) const SMALL_CAP: f64 = 2.0;

/// A map in the making. Layers are put together at the end: shades, lines, signs, labels.
pub(super) struct Map<'a> {
    pub face: &'a Typeface,
    pub subject: Subject<'a>,
    pub style: &'a SheetStyle,
    pub view: View,
    pub placer: Placer,
    pub shade: Scene,
    pub lines: Scene,
    pub signs: Scene,
    pub labels: Scene,
    pub layout: Layout,
    pub panel: Vec<(PaperPoint, Block)>,
    pub outline: &'a Ring,
    pub openings: Vec<room::Opening>,
    pub grid_lines: Vec<(PaperPoint, PaperPoint)>,
    /// Where the readings stand.
    pub spots: Vec<Point>,
    /// Whether it is read in letters that a page's reader chose.
    pub for_page: bool,
}

/// Where a map stands, and what beside it.
struct Ground {
    extent: Extent,
    /// Room round the plan: left, top, right, bottom, millimetres.
    fringe: [f64; 4],
    layout: Layout,
    panel: Vec<(PaperPoint, Block)>,
}

/// The longer side of the floor in the picture of a page, millimetres: what stands there in the sizes of paper is read
/// as easily on a telephone.
const SCREEN_MM: f64 = 120.0;
/// Room round the plan in the picture of a page: for the names of walls and doors, millimetres.
const SCREEN_FRINGE: f64 = 8.5;

impl<'a> Map<'a> {
    /// Lays the sheet out and reserves what is fixed: walls, signs.
    pub fn new(
        face: &'a Typeface,
        subject: Subject<'a>,
        style: &'a SheetStyle,
        blocks: &dyn Fn(f64, Scale) -> Vec<Block>,
    ) -> Result<Self, DrawingError> {
        let extent = extent_of(&subject)?;
        let (layout, panel) = sheet::lay_out(style, extent, FRINGE, blocks)?;
        let ground = Ground {
            extent,
            fringe: FRINGE,
            layout,
            panel,
        };
        let spots = subject.readings.iter().map(|r| r.at).collect();
        Ok(Self::on(face, subject, style, ground, spots))
    }

    /// A map alone, for a page: readings stand at `spots`, and the page says what a sheet says in its panel.
    pub fn on_screen(
        face: &'a Typeface,
        subject: Subject<'a>,
        style: &'a SheetStyle,
        spots: Vec<Point>,
    ) -> Result<Self, DrawingError> {
        let extent = extent_of(&subject)?;
        let (w, h) = extent.size_m();
        // A tall narrow floor may be a little higher than it would be wide: paper and telephones are.
        let longer_m = w.max(h * 0.8);
        let scale = Scale {
            ratio: (longer_m * 1000.0 / SCREEN_MM).ceil().max(1.0) as u32,
            words: "",
        };
        let (width_mm, height_mm) = (
            w * scale.mm_per_m() + 2.0 * SCREEN_FRINGE,
            h * scale.mm_per_m() + 2.0 * SCREEN_FRINGE,
        );
        let whole = Rect::new(
            PaperPoint::new(0.0, 0.0),
            PaperPoint::new(width_mm, height_mm),
        );
        let ground = Ground {
            extent,
            fringe: [SCREEN_FRINGE; 4],
            layout: Layout {
                width_mm,
                height_mm,
                map: whole,
                columns: Vec::new(),
                scale,
            },
            panel: Vec::new(),
        };
        Ok(Self {
            for_page: true,
            ..Self::on(face, subject, style, ground, spots)
        })
    }

    /// With what is fixed reserved: walls, fixtures.
    fn on(
        face: &'a Typeface,
        subject: Subject<'a>,
        style: &'a SheetStyle,
        ground: Ground,
        spots: Vec<Point>,
    ) -> Self {
        let Ground {
            extent,
            fringe,
            layout,
            panel,
        } = ground;
        let outline = outline_of(&subject);
        let space = Rect {
            left: layout.map.left + fringe[0],
            top: layout.map.top + fringe[1],
            right: layout.map.right - fringe[2],
            bottom: layout.map.bottom - fringe[3],
        };
        let view = View::centred(layout.scale, extent, space);
        let mut placer = Placer::new(layout.map);
        for (a, b) in outline.sides() {
            placer.block_line(view.at(a), view.at(b));
        }
        let openings = subject
            .room
            .map(|r| room::openings(outline, &r.doors))
            .unwrap_or_default();
        if let Some(room) = subject.room {
            for (a, b) in room
                .voids
                .iter()
                .chain(&room.slopes)
                .flat_map(|v| v.ring.sides())
            {
                placer.block_line(view.at(a), view.at(b));
            }
            for f in &room.fixtures {
                let at = view.at(f.at);
                let r = room::FIXTURE_MM + 0.3;
                placer.block(Rect::new(at.shifted(-r, -r), at.shifted(r, r)));
            }
        }
        let empty = || Scene::new("", layout.width_mm, layout.height_mm);
        Self {
            face,
            subject,
            style,
            view,
            placer,
            shade: empty(),
            lines: empty(),
            signs: empty(),
            labels: empty(),
            layout,
            panel,
            outline,
            openings,
            grid_lines: Vec::new(),
            spots,
            for_page: false,
        }
    }

    /// Adds a text that starts in the lower left corner of `r`.
    pub fn label(&mut self, r: Rect, words: &str, cap_mm: f64, weight: Weight, role: Role) {
        let (_, down) = super::font::reach_mm(words, cap_mm);
        let at = PaperPoint::new(r.left, r.bottom - down);
        self.labels.text(Text {
            weight,
            ..Text::new(at, words, cap_mm, role)
        });
    }

    /// Size of a label's box.
    pub fn size_of(&self, words: &str, cap_mm: f64, weight: Weight) -> (f64, f64) {
        let (up, down) = super::font::reach_mm(words, cap_mm);
        (self.face.width_mm(words, cap_mm, weight), up + down)
    }

    /// A white plate under a label.
    pub fn plate(&mut self, r: Rect) {
        self.signs.fill_rect(r.grown(0.45), Ink::WHITE);
    }

    /// The map alone: its layers, one over the other.
    pub fn layers(&mut self) -> Scene {
        if let Some(room) = self.subject.room {
            room::voids(&mut self.shade, &self.view, room);
            room::joints(&mut self.lines, &self.view, &self.placer, room);
            room::walls(&mut self.lines, &self.view, self.outline, &self.openings);
            room::thresholds(&mut self.lines, &self.view, self.outline, &self.openings);
            let mut signs = Scene::new("", 0.0, 0.0);
            room::fixtures(&mut signs, &self.view, room);
            signs.shapes.append(&mut self.signs.shapes);
            self.signs.shapes = signs.shapes;
        } else {
            let mut hull = self.view.ring(self.outline.points());
            hull.extend(hull.first().copied());
            self.lines
                .line(hull, 0.4, Ink::DARK, Dash::Broken(3.0, 1.5));
        }
        let mut sheet = Scene::new(
            self.style.block.title.clone(),
            self.layout.width_mm,
            self.layout.height_mm,
        );
        let is_number = |s: &Shape| matches!(s, Shape::Text(t) if matches!(t.role, Role::Mark | Role::High | Role::Low));
        let labels = std::mem::take(&mut self.labels.shapes);
        let (numbers, names) = labels.into_iter().partition(is_number);
        for (class, mut shapes) in [
            ("shades", std::mem::take(&mut self.shade.shapes)),
            ("lines", std::mem::take(&mut self.lines.shapes)),
            ("signs", std::mem::take(&mut self.signs.shapes)),
            ("numbers", numbers),
            ("names", names),
        ] {
            sheet.group(class, None, |s| s.shapes.append(&mut shapes));
        }
        sheet
    }

    /// Puts the sheet together. `last_note` goes under everything in the panel.
    pub fn finish(mut self, last_note: Option<String>) -> Scene {
        let mut sheet = self.layers();
        let count = self.panel.len();
        for (i, (at, block)) in self.panel.iter().enumerate() {
            if i + 1 == count && last_note.is_none() && block.is_reserve {
                continue;
            }
            let filled;
            let block = if block.is_reserve {
                let width = self.layout.columns.first().map_or(50.0, Rect::width);
                filled = sheet::notes_block(
                    self.face,
                    &last_note.clone().into_iter().collect::<Vec<_>>(),
                    width,
                );
                &filled
            } else {
                block
            };
            sheet
                .shapes
                .extend(block.shapes.iter().map(|s| sheet::moved(s, *at)));
        }
        frame(&mut sheet, &self.layout);
        sheet
    }
}

/// The walls, or what the readings lie within.
fn outline_of<'a>(subject: &Subject<'a>) -> &'a Ring {
    subject
        .room
        .map_or(&subject.floor.region().outline, |r| &r.outline)
}

/// All that must find a place on the map.
fn extent_of(subject: &Subject<'_>) -> Result<Extent, DrawingError> {
    let outline = outline_of(subject).points().iter().copied();
    Extent::around(outline.chain(subject.floor.vertices().iter().map(|v| v.at))).ok_or(
        DrawingError::Empty {
            what: "the floor has no finite extent",
        },
    )
}

/// A thin line between map and panel.
fn frame(sheet: &mut Scene, layout: &Layout) {
    let map = layout.map;
    let beside = layout.columns.first().is_some_and(|c| c.left > map.right);
    let (a, b) = if beside {
        let x = map.right + 2.0;
        (PaperPoint::new(x, map.top), PaperPoint::new(x, map.bottom))
    } else {
        let y = map.bottom + 2.0;
        (PaperPoint::new(map.left, y), PaperPoint::new(map.right, y))
    };
    sheet.shapes.push(Shape::Line {
        points: vec![a, b],
        width_mm: 0.25,
        ink: Ink::DARK,
        dash: Dash::Solid,
    });
}

/// The scale of shades that covers a set of depths.
pub(super) fn covering(values: impl Iterator<Item = f64>, unit: MarkUnit) -> BandScale {
    let (low, high) = values
        .filter(|v| v.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(v), h.max(v))
        });
    BandScale::covering(low, high, unit)
}
