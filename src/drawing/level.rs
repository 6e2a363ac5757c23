//! What every map of depths shows, on paper and on a page: shades, lines of equal depth, numbers at the readings.

use super::DrawingError;
use super::bands::BandScale;
use super::figures::MarkUnit;
use super::key::Sign;
use super::map::{Map, covering};
use super::marks::{self, MarkStyle};
use super::ramp::Ink;
use super::room_signs::room_signs;
use super::words as word;
use crate::geometry::Point;
use crate::surface::{Floor, LevelRing, level_rings};

/// What a map calls its shades and signs.
pub(super) struct Words {
    pub heading: String,
    mark: &'static str,
    contour: &'static str,
    above: &'static str,
}

impl Words {
    /// Of a map of the material to place.
    pub fn fill(unit: MarkUnit) -> Self {
        Self {
            heading: word::depth(unit.name()),
            mark: word::MARK_FILL,
            contour: word::EQUAL_DEPTH,
            above: word::ABOVE_PLANE,
        }
    }

    /// Of a map under one level for two days.
    pub fn below_level(unit: MarkUnit) -> Self {
        Self {
            heading: word::below_level(unit.name()),
            mark: word::MARK_LOW,
            contour: word::EQUAL_HEIGHT,
            above: word::ABOVE_LEVEL,
        }
    }

    /// Of a map under the highest reading.
    pub fn below_high(unit: MarkUnit) -> Self {
        Self {
            heading: word::below_high(unit.name()),
            mark: word::MARK_LOW,
            contour: word::EQUAL_HEIGHT,
            above: word::ABOVE_HIGHEST,
        }
    }
}

/// Depths below the surface that a map is of, metres.
pub(super) struct Depths {
    /// At the floor's vertices.
    pub floor: Vec<f64>,
    /// At the readings, as written beside their marks.
    pub marks: Vec<f64>,
}

/// The band whose lower edge is the first level drawn as a contour.
const FIRST_CONTOUR: usize = 1;

/// Which ink floor of a depth has, and the levels where one ink gives way to the next.
struct Shading {
    bands: BandScale,
    /// Ascending.
    levels_m: Vec<f64>,
    /// One more than the levels.
    inks: Vec<Ink>,
    /// Whether the first ink is that of floor above the surface.
    has_above: bool,
    /// How many bands lie wholly above the surface and therefore have no ink.
    without_ink: usize,
}

impl Shading {
    fn new(bands: BandScale, any_above: bool) -> Self {
        let mut levels_m = Vec::new();
        let mut inks = Vec::new();
        let has_above = any_above && bands.edges_m()[0] <= 0.0;
        let mut without_ink = 0;
        if has_above {
            // Level 0 comes first when floor stands above the surface: below it there is no shade.
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

/// Depths, the shades that they fall into, and the lines between those.
pub(super) struct Level {
    unit: MarkUnit,
    depths: Depths,
    /// Whether floor stands above the surface.
    any_above: bool,
    shading: Shading,
    rings: Vec<LevelRing>,
}

impl Level {
    /// The shades given, or those that cover the depths.
    ///
    /// # Errors
    /// [`DrawingError::NotFinite`] for a depth that is no number.
    pub fn new(
        floor: &Floor,
        depths: Depths,
        bands: Option<BandScale>,
        unit: MarkUnit,
    ) -> Result<Self, DrawingError> {
        let all = || depths.floor.iter().chain(&depths.marks).copied();
        if all().any(|v| !v.is_finite()) {
            return Err(DrawingError::NotFinite {
                what: "a depth under the plane",
            });
        }
        let bands = bands.unwrap_or_else(|| covering(all(), unit));
        let any_above = depths.floor.iter().any(|&v| v < -1e-9);
        let shading = Shading::new(bands, any_above);
        let rings = level_rings(floor, &depths.floor, &shading.levels_m);
        Ok(Self {
            unit,
            depths,
            any_above,
            shading,
            rings,
        })
    }

    /// What its shades mean.
    pub fn bands(&self) -> &BandScale {
        &self.shading.bands
    }

    /// The signs that a map explains, and their words.
    pub fn signs(&self, map_of: &super::Subject<'_>, words: &Words) -> Vec<(Sign, String)> {
        let mut signs = vec![
            (Sign::High, word::HIGH_POINT.to_owned()),
            (Sign::Low, word::LOW_POINT.to_owned()),
            (Sign::Mark, words.mark.to_owned()),
            (Sign::Contour, words.contour.to_owned()),
        ];
        if self.any_above {
            signs.push((Sign::Above, words.above.to_owned()));
        }
        signs.extend(room_signs(map_of));
        signs
    }

    /// Draws all of it but what is round the map; says how many readings have their number.
    pub fn draw(&self, map: &mut Map<'_>) -> usize {
        let spacing_m = map.subject.floor.spacing();
        let style = self.mark_style(map, map.view.mm(spacing_m));
        let chosen = marks::chosen(&map.spots, spacing_m, style.every);
        map.wall_names();
        map.block_dots(&chosen);
        // Where every reading has its number, numbers come before names; else names would find no room.
        let crowded = style.every > 1;
        if crowded {
            map.names();
        }
        let number = |i: usize| self.unit.number(self.depths.marks[i]);
        let shade = |i: usize| self.shading.ink(self.depths.marks[i]);
        let spots = map.spots.clone();
        let reading_at = |p: Point| spots.iter().position(|at| at.distance(p) < 1e-6);
        map.extremes(&|p| reading_at(p).map(number), style.cap_mm, &|p| {
            reading_at(p).map_or(Ink::WHITE, shade)
        });
        let shown = map.marks(style, &chosen, &number, &shade);
        if !crowded {
            map.names();
        }
        map.contours(
            &self.rings,
            FIRST_CONTOUR,
            &|band| self.unit.with_unit(self.shading.levels_m[band - 1]),
            &|band| self.shading.inks[band],
        );
        map.grid_lines();
        map.bands(&self.rings, &self.shading.inks);
        if self.shading.has_above {
            map.above_plane(&self.rings, 1);
        }
        map.uncertain_floor();
        shown
    }

    /// How the numbers are set where readings stand so far apart on the sheet.
    fn mark_style(&self, map: &Map<'_>, spacing_mm: f64) -> MarkStyle {
        let widest = self
            .depths
            .marks
            .iter()
            .map(|&d| map.number_width(&self.unit.number(d), 1.0))
            .fold(0.0, f64::max);
        marks::style(spacing_mm, widest)
    }
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
        let shading = Shading::new(bands.clone(), true);
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
        let plain = Shading::new(bands.clone(), false);
        assert_eq!(plain.levels_m, bands.levels_m());
        assert_eq!(plain.inks, shades);
    }
}
