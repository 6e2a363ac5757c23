//! Fill depth at every mark: the sheet a crew works from.

use super::DrawingError;
use super::bands::BandScale;
use super::figures::MarkUnit;
use super::font::{Typeface, Weight};
use super::key::{self, Sign};
use super::map::{Map, Subject, covering};
use super::marks;
use super::paper::Scale;
use super::ramp::Ink;
use super::room_signs::room_signs;
use super::scene::Scene;
use super::sheet::{Block, SheetStyle, notes_block, scale_block, title_block};
use super::words as word;
use crate::fill::{Plane, mark_heights};
use crate::geometry::Point;
use crate::surface::level_rings;

/// What a depth map shows.
#[derive(Debug, Clone)]
pub struct DepthMapInput<'a> {
    /// The floor, its room and readings.
    pub subject: Subject<'a>,
    /// The surface that depths are measured down from.
    pub plane: Plane,
    /// What numbers at the marks count.
    pub unit: MarkUnit,
    /// Shades; `None`: covering the depths found. Give both drawings of a before and after the same.
    pub bands: Option<BandScale>,
    /// Paper, habit and words.
    pub style: SheetStyle,
}

/// Depth of material under the plane: numbers at the marks, shades, contours, high and low point.
///
/// # Units, datum, sign
/// Depth is plane less floor, positive where material goes. Floor above the plane shows a minus and a
/// strong hatch.
/// # Method
/// docs/methods.md, "Drawings".
/// # Errors
/// [`DrawingError`]: no readings or floor, paper too small, a sign the font lacks, a number not finite.
pub fn depth_map(input: &DepthMapInput<'_>) -> Result<Scene, DrawingError> {
    let words = Words {
        heading: word::depth(input.unit.name()),
        mark: word::MARK_FILL,
        contour: word::EQUAL_DEPTH,
        above: word::ABOVE_PLANE,
    };
    level_map(input, &words)
}

/// How far the floor lies below a stated level (`input.plane`): for two days that must compare.
///
/// # Errors
/// As [`depth_map`].
pub fn level_below_map(input: &DepthMapInput<'_>) -> Result<Scene, DrawingError> {
    let words = Words {
        heading: word::below_level(input.unit.name()),
        mark: word::MARK_LOW,
        contour: word::EQUAL_HEIGHT,
        above: word::ABOVE_LEVEL,
    };
    level_map(input, &words)
}

/// How far the floor lies below its high point: numbers at the marks, shades, contours.
///
/// # Units, datum, sign
/// Depth below the highest reading, so 0 at the high point; larger is lower. `input.plane` is not used.
/// # Errors
/// As [`depth_map`].
pub fn height_map(input: &DepthMapInput<'_>) -> Result<Scene, DrawingError> {
    let top = input
        .subject
        .readings
        .iter()
        .map(|r| r.elevation.m())
        .fold(f64::NEG_INFINITY, f64::max);
    let words = Words {
        heading: word::below_high(input.unit.name()),
        mark: word::MARK_LOW,
        contour: word::EQUAL_HEIGHT,
        above: word::ABOVE_HIGHEST,
    };
    let below = DepthMapInput {
        plane: Plane::level(top),
        ..input.clone()
    };
    level_map(&below, &words)
}

struct Words {
    heading: String,
    mark: &'static str,
    contour: &'static str,
    above: &'static str,
}

/// Depths below the surface that a map is of, metres.
struct Depths {
    /// At the floor's vertices.
    floor: Vec<f64>,
    /// At the readings, as written beside their marks.
    marks: Vec<f64>,
}

impl Depths {
    fn under(input: &DepthMapInput<'_>) -> Result<Self, DrawingError> {
        let Subject {
            floor, readings, ..
        } = input.subject;
        let depths = Self {
            floor: floor
                .vertices()
                .iter()
                .map(|v| input.plane.at(v.at) - v.z)
                .collect(),
            marks: readings
                .iter()
                .zip(mark_heights(floor, readings))
                .map(|(r, height)| input.plane.at(r.at) - height.unwrap_or_else(|| r.elevation.m()))
                .collect(),
        };
        if depths
            .floor
            .iter()
            .chain(&depths.marks)
            .any(|v| !v.is_finite())
        {
            return Err(DrawingError::NotFinite {
                what: "a depth under the plane",
            });
        }
        Ok(depths)
    }
}

/// Which ink floor of a depth has, and the levels where one ink gives way to the next.
struct Shading<'a> {
    bands: &'a BandScale,
    /// Ascending.
    levels_m: Vec<f64>,
    /// One more than the levels.
    inks: Vec<Ink>,
    /// Whether the first ink is that of floor above the plane.
    has_above: bool,
    /// How many bands lie wholly above the plane and therefore have no ink.
    without_ink: usize,
}

impl<'a> Shading<'a> {
    fn new(bands: &'a BandScale, any_above: bool) -> Self {
        let mut levels_m = Vec::new();
        let mut inks = Vec::new();
        let has_above = any_above && bands.edges_m()[0] <= 0.0;
        let mut without_ink = 0;
        if has_above {
            // Level 0 comes first when floor stands above the plane: below it there is no shade.
            levels_m.push(0.0);
            inks.push(Ink::WHITE);
            without_ink = bands.levels_m().partition_point(|&l| l <= 0.0);
        }
        levels_m.extend_from_slice(&bands.levels_m()[without_ink..]);
        inks.extend(bands.shades().into_iter().skip(without_ink));
        Self {
            bands,
            levels_m,
            inks,
            has_above,
            without_ink,
        }
    }

    fn ink(&self, depth_m: f64) -> Ink {
        if self.has_above && depth_m < 0.0 {
            Ink::WHITE
        } else {
            let band = self.bands.band_of(depth_m) - self.without_ink;
            self.inks[band + usize::from(self.has_above)]
        }
    }
}

/// The signs that a map explains, and their words.
fn signs(subject: &Subject<'_>, words: &Words, any_above: bool) -> Vec<(Sign, String)> {
    let mut signs = vec![
        (Sign::High, word::HIGH_POINT.to_owned()),
        (Sign::Low, word::LOW_POINT.to_owned()),
        (Sign::Mark, words.mark.to_owned()),
        (Sign::Contour, words.contour.to_owned()),
    ];
    if any_above {
        signs.push((Sign::Above, words.above.to_owned()));
    }
    signs.extend(room_signs(subject));
    signs
}

/// The band whose lower edge is the first level drawn as a contour.
const FIRST_CONTOUR: usize = 1;

fn level_map(input: &DepthMapInput<'_>, words: &Words) -> Result<Scene, DrawingError> {
    let subject = input.subject;
    if subject.readings.is_empty() {
        return Err(DrawingError::Empty {
            what: "there are no readings",
        });
    }
    let face = Typeface::embedded()?;
    let floor = subject.floor;
    let unit = input.unit;
    let Depths {
        floor: values,
        marks: depths,
    } = Depths::under(input)?;
    let bands = input
        .bands
        .clone()
        .unwrap_or_else(|| covering(values.iter().chain(&depths).copied(), unit));
    let any_above = values.iter().any(|&v| v < -1e-9);
    let shading = Shading::new(&bands, any_above);
    let rings = level_rings(floor, &values, &shading.levels_m);

    let widest = depths
        .iter()
        .map(|&d| face.width_mm(&unit.number(d), 1.0, Weight::Bold))
        .fold(0.0, f64::max);
    let mark_style = |scale: Scale| marks::style(floor.spacing() * scale.mm_per_m(), widest);
    let total = subject.readings.len();
    let left_out = |shown: usize| word::numbers_shown(shown, total);
    let signs = signs(&subject, words, any_above);
    let style = &input.style;
    let blocks = |width: f64, scale: Scale| -> Vec<Block> {
        let mut reserve = notes_block(&face, &[left_out(total)], width);
        reserve.is_reserve = true;
        vec![
            title_block(&face, &style.block, width),
            scale_block(&face, scale, style.habit, width),
            key::band_block(&face, &words.heading, &bands, unit, width),
            key::sign_block(&face, &signs, width),
            notes_block(&face, &style.block.notes, width),
            reserve,
        ]
    };
    let mut map = Map::new(&face, subject, style, &blocks)?;
    let mark_style = mark_style(map.view.scale);

    let places: Vec<Point> = subject.readings.iter().map(|r| r.at).collect();
    let chosen = marks::chosen(&places, floor.spacing(), mark_style.every);
    map.grid();
    map.wall_names();
    map.block_dots(&chosen);
    // Where every reading has its number, numbers come before names; else names would find no room.
    let crowded = mark_style.every > 1;
    if crowded {
        map.names();
    }
    let number = |i: usize| unit.number(depths[i]);
    let shade = |i: usize| shading.ink(depths[i]);
    let reading_at = |p: Point| {
        let readings = subject.readings;
        readings.iter().position(|r| r.at.distance(p) < 1e-6)
    };
    map.extremes(&|p| reading_at(p).map(number), mark_style.cap_mm, &|p| {
        reading_at(p).map_or(Ink::WHITE, shade)
    });
    let shown = map.marks(mark_style, &chosen, &number, &shade);
    if !crowded {
        map.names();
    }
    map.contours(
        &rings,
        FIRST_CONTOUR,
        &|band| unit.with_unit(shading.levels_m[band - 1]),
        &|band| shading.inks[band],
    );
    map.grid_lines();
    map.bands(&rings, &shading.inks);
    if shading.has_above {
        map.above_plane(&rings, 1);
    }
    map.uncertain_floor();
    let note = (shown < total).then(|| left_out(shown));
    Ok(map.finish(note))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::Floor;
    use crate::survey::{Elevation, Reading, Survey};

    // ORACLE: closed form: 4 m by 2 m, 10 mm deeper for every metre, from -20 to 20 mm: half the floor lies at the plane or
    //         under it, a quarter 10 mm or more under it, and what stands above the plane has no shade
    #[test]
    fn levels_ascend_where_bands_begin_above_the_plane() {
        let at = |k: i32| Point::new(f64::from(k % 5), f64::from(k / 5));
        let readings =
            (0..15).map(|k| Reading::new("", at(k), Elevation::from_m(0.02 - 0.01 * at(k).x)));
        let floor = Floor::build(&Survey {
            name: String::new(),
            readings: readings.collect(),
            room: None,
            resolution_m: None,
            laid: None,
            set_ups: Vec::new(),
            notices: Vec::new(),
        })
        .unwrap()
        .floor;
        let depths: Vec<f64> = floor.vertices().iter().map(|v| -v.z).collect();
        let bands = BandScale::with_edges(vec![-0.02, -0.01, 0.0, 0.01, 0.02]).unwrap();
        let shading = Shading::new(&bands, true);
        assert_eq!(shading.levels_m, [0.0, 0.01]);
        let shades = bands.shades();
        assert_eq!(shading.inks, [Ink::WHITE, shades[2], shades[3]]);
        for (depth_m, ink) in [(-0.015, Ink::WHITE), (0.005, shades[2]), (0.015, shades[3])] {
            assert_eq!(shading.ink(depth_m), ink);
        }
        let rings = level_rings(&floor, &depths, &shading.levels_m);
        let area = |band: usize| -> f64 {
            let of_band = rings.iter().filter(|r| r.band == band);
            of_band.map(|r| r.area_m2).sum()
        };
        for (band, expected) in [(0, 8.0), (1, 4.0), (2, 2.0)] {
            assert!(
                (area(band) - expected).abs() < 1e-9,
                "{band}: {}",
                area(band)
            );
        }
        // Where nothing stands above the plane, the bands given stand as they are.
        let plain = Shading::new(&bands, false);
        assert_eq!(plain.levels_m, bands.levels_m());
        assert_eq!(plain.inks, shades);
    }
}
