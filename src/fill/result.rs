//! What a fill answers: plain data, metres, square metres, cubic metres.

use crate::geometry::Point;

/// The surface the finish is to have: height at the origin of the plan and its two slopes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plane {
    /// Elevation at plan (0, 0), metres.
    pub z0: f64,
    /// Rise per metre to the right; 0 for a level plane.
    pub sx: f64,
    /// Rise per metre up the sheet; 0 for a level plane.
    pub sy: f64,
}

impl Plane {
    /// A level plane.
    pub const fn level(z: f64) -> Self {
        Self {
            z0: z,
            sx: 0.0,
            sy: 0.0,
        }
    }

    /// The plane that passes through `z_m` over `from` and falls evenly towards `towards`.
    ///
    /// `fall` is metres down for each metre of plan; negative for a rise. Level when the two
    /// points are the same.
    pub fn falling(from: Point, z_m: f64, towards: Point, fall: f64) -> Self {
        let way = from.distance(towards);
        if way <= 0.0 {
            return Self::level(z_m);
        }
        let slope = (towards - from) * (-fall / way);
        Self {
            z0: z_m - slope.dot(from),
            sx: slope.x,
            sy: slope.y,
        }
    }

    /// Its elevation above a plan point.
    pub fn at(&self, p: Point) -> f64 {
        self.z0 + self.sx * p.x + self.sy * p.y
    }

    /// Whether it is level.
    pub fn is_level(&self) -> bool {
        self.sx == 0.0 && self.sy == 0.0
    }
}

/// How the finish plane was chosen.
#[derive(Debug, Clone, PartialEq)]
pub enum PlaneRule {
    /// Level, this depth of material over the high point.
    OverHighPoint {
        /// Gauge depth, metres.
        gauge_m: f64,
    },
    /// Level at a stated elevation, metres.
    AtLevel {
        /// Elevation, metres.
        elevation_m: f64,
    },
    /// A given fall from a point.
    Fall {
        /// The plane itself.
        plane: Plane,
    },
    /// Tilted plane of least fill over all readings; for patch and grind work only.
    LeastFill,
}

/// How the floor at a place is known, the best known first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Known {
    /// A reading stands there.
    Reading,
    /// It lies between readings.
    #[default]
    Between,
    /// It was carried out to a wall or a joint: nobody read it.
    Extended,
}

/// One depth band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DepthBand {
    /// Shallow side, metres.
    pub from_m: f64,
    /// Deep side, metres; `None` for the open last band.
    pub to_m: Option<f64>,
    /// Plan area whose depth lies in the band, square metres.
    pub area_m2: f64,
    /// Material over that area, cubic metres.
    pub volume_m3: f64,
}

/// Material under a finish plane.
#[derive(Debug, Clone, PartialEq)]
pub struct Fill {
    /// How the plane was chosen.
    pub rule: PlaneRule,
    /// Where its gauge depth is from, in words, where nobody asked for one.
    pub gauge_from: Option<&'static str>,
    /// The plane.
    pub plane: Plane,
    /// Depth over the high point (negative when the plane cuts it), metres.
    pub gauge_depth_m: f64,
    /// Exact volume between floor and plane where the plane is above, cubic metres.
    pub volume_m3: f64,
    /// How much the volume could differ by the other diagonal of every ambiguous square.
    pub diagonal_spread_m3: f64,
    /// The volume with every such square folded the way that takes least.
    pub least_volume_m3: f64,
    /// The volume with every such square folded the way that takes most.
    pub most_volume_m3: f64,
    /// Part of `volume_m3` over extended floor.
    pub extended_volume_m3: f64,
    /// Plan area that gets material, square metres.
    pub wet_area_m2: f64,
    /// Plan area that gets none, at the plane or above it, square metres.
    pub dry_area_m2: f64,
    /// Plan area above the plane: where to grind, square metres.
    pub above_area_m2: f64,
    /// Volume of floor above the plane: what must be ground to reach it, cubic metres.
    pub above_m3: f64,
    /// Greatest height of floor above the plane, metres; 0 when none.
    pub highest_above_m: f64,
    /// Mean depth over the wet area, metres.
    pub mean_depth_m: f64,
    /// Greatest depth, metres.
    pub deepest_m: f64,
    /// Where it is.
    pub deepest_at: Point,
    /// Whether the floor was read there.
    pub deepest_on: Known,
    /// Least depth over the whole floor, metres; negative where floor stands above the plane.
    pub least_m: f64,
    /// Where it is.
    pub least_at: Point,
    /// Whether the floor was read there.
    pub least_on: Known,
    /// Areas and volumes by depth.
    pub bands: Vec<DepthBand>,
}

/// One point of the stage curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StagePoint {
    /// Elevation of a level finish, metres.
    pub level_m: f64,
    /// Depth over the high point at that level (negative below it), metres.
    pub gauge_depth_m: f64,
    /// Volume, cubic metres.
    pub volume_m3: f64,
    /// Area with material, square metres.
    pub wet_area_m2: f64,
    /// Area that stays bare, square metres.
    pub dry_area_m2: f64,
}
