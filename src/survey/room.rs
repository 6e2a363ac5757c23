//! The room around the readings: outline, voids, joints, doors, fixtures.

use crate::geometry::{Point, Region, Ring, SAME_LINE_M, Segment};

/// A reading this far outside the walls still counts, at the nearest wall point, metres. About an
/// inch: the rod's foot, or a wall drawn from the other face of its board.
pub const WALL_REACH_M: f64 = 0.025;

/// A closed line with a name: a column, an island, a shower that keeps its slope.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedRing {
    /// What it is called on drawings.
    pub name: String,
    /// Its line.
    pub ring: Ring,
}

/// A door or opening in the outline.
#[derive(Debug, Clone, PartialEq)]
pub struct Door {
    /// What it is called on drawings.
    pub name: String,
    /// Middle of the opening, on or near the outline.
    pub at: Point,
    /// Clear width, metres.
    pub width_m: f64,
    /// Space under the leaf above the present floor, metres, if told.
    pub under_cut_m: Option<f64>,
    /// Height of the adjoining finished floor above the survey datum, metres, if told.
    pub adjoining_m: Option<f64>,
    /// Where that was given as a reading, the set-up that it was read from as the outline names it (empty where it names none); `None` for an
    /// elevation.
    pub read_in: Option<String>,
}

/// A named point whose height after the work matters: a drain, a flange, an appliance, a sill.
#[derive(Debug, Clone, PartialEq)]
pub struct Fixture {
    /// What it is called on drawings.
    pub name: String,
    /// Where it is.
    pub at: Point,
    /// Height that must not be passed, metres above the survey datum, if told.
    pub limit_m: Option<f64>,
    /// As [`Door::read_in`], of the limit.
    pub read_in: Option<String>,
    /// Whether water must run to it; such a place is never levelled.
    pub drain: bool,
}

/// A joint in the slab: nothing is interpolated across it.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// What it is called.
    pub name: String,
    /// Its line, at least two points.
    pub line: Vec<Point>,
    /// A movement joint, which must not be covered.
    pub movement: bool,
}

/// A wall's name and a point on it, for orientation ("north wall").
#[derive(Debug, Clone, PartialEq)]
pub struct Wall {
    /// Its name.
    pub name: String,
    /// Middle of its line.
    pub at: Point,
}

/// Everything drawn on the plan that is not a reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    /// The wall line.
    pub outline: Ring,
    /// What stands on the floor and is left out.
    pub voids: Vec<NamedRing>,
    /// Areas that must keep their slope: left out of fill and level, reported apart.
    pub slopes: Vec<NamedRing>,
    /// Joints.
    pub joints: Vec<Joint>,
    /// Doors; the first is the exit of the pour and the place directions are told from.
    pub doors: Vec<Door>,
    /// Other named points.
    pub fixtures: Vec<Fixture>,
    /// Wall names.
    pub walls: Vec<Wall>,
}

impl Room {
    /// A room of which nothing is known but its wall line.
    pub fn bare(outline: Ring) -> Self {
        Self {
            outline,
            voids: Vec::new(),
            slopes: Vec::new(),
            joints: Vec::new(),
            doors: Vec::new(),
            fixtures: Vec::new(),
            walls: Vec::new(),
        }
    }

    /// Drains round which no slope and no void is drawn: nothing says which floor is meant to fall to them.
    pub fn bare_drains(&self) -> Vec<&str> {
        let kept = |f: &Fixture| {
            let mut areas = self.slopes.iter().chain(&self.voids);
            areas.any(|s| s.ring.contains(f.at))
        };
        self.fixtures
            .iter()
            .filter(|f| f.drain && !kept(f))
            .map(|f| f.name.as_str())
            .collect()
    }

    /// Every straight piece of the joints.
    pub fn joint_pieces(&self) -> Vec<Segment> {
        let lines = self.joints.iter().flat_map(|j| j.line.windows(2));
        lines.map(|w| Segment::new(w[0], w[1])).collect()
    }

    /// The floor to judge and fill: the outline less voids and less areas that keep their slope.
    pub fn region(&self) -> Region {
        Region {
            outline: self.outline.clone(),
            voids: self
                .voids
                .iter()
                .chain(&self.slopes)
                .map(|v| v.ring.clone())
                .collect(),
        }
    }
}

/// Whether a place lies on a floor, or so little off its walls that a reading there counts.
pub fn holds(floor: &Region, p: Point) -> bool {
    floor.contains(p)
        || (floor
            .sides()
            .any(|(a, b)| Segment::new(a, b).distance(p) <= WALL_REACH_M)
            && floor.lies_about(p, WALL_REACH_M + 2.0 * SAME_LINE_M))
}
