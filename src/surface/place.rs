//! Where a spot is, as one tells it on site: from the door and from two walls.

use crate::geometry::{Point, Segment};
use crate::survey::Room;
use crate::units::{Habit, Length, length_text};

/// Distance square to a wall.
#[derive(Debug, Clone, PartialEq)]
pub struct WallOffset {
    /// The wall's name; `None` where the drawing names none.
    pub wall: Option<String>,
    /// Which way the wall faces the spot from: `left`, `right`, `bottom`, `top` of the sheet.
    pub side: &'static str,
    /// Square distance, metres.
    pub distance_m: f64,
}

/// Where a spot is.
#[derive(Debug, Clone, PartialEq)]
pub struct Whereabouts {
    /// Name of the first door and the straight distance to it, metres; `None` without a door.
    pub door: Option<(String, f64)>,
    /// Square distances to the two nearest walls that stand roughly square to each other.
    pub walls: Vec<WallOffset>,
}

/// Two walls are square enough to tell a place by when they meet at more than this, as the sine: 45
/// degrees.
const SQUARE: f64 = 0.707;

impl Whereabouts {
    /// Tells where a spot is in a room.
    ///
    /// # Method
    /// The nearest side of the outline that the spot stands square to, then the nearest of those that
    /// run at more than 45 degrees to it. A side bears the name of the wall whose mark lies nearest to it, if
    /// that mark is nearer to it than to any other side.
    pub fn of(room: &Room, spot: Point) -> Self {
        let sides: Vec<Segment> = room
            .outline
            .sides()
            .map(|(a, b)| Segment::new(a, b))
            .collect();
        let mut names: Vec<Option<&str>> = vec![None; sides.len()];
        for wall in &room.walls {
            let nearest = (0..sides.len()).min_by(|&i, &j| {
                sides[i]
                    .distance(wall.at)
                    .total_cmp(&sides[j].distance(wall.at))
            });
            if let Some(i) = nearest {
                names[i].get_or_insert(&wall.name);
            }
        }
        // The side must be seen square on, or its distance would be told to a corner.
        let mut facing: Vec<(f64, usize)> = sides
            .iter()
            .enumerate()
            .filter(|(_, s)| {
                let d = s.b - s.a;
                let along = (spot - s.a).dot(d) / d.dot(d);
                (-1e-9..=1.0 + 1e-9).contains(&along) && d.cross(spot - s.a) >= -1e-6 * d.norm()
            })
            .map(|(i, s)| (s.distance(spot), i))
            .collect();
        facing.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let unit = |i: usize| (sides[i].b - sides[i].a) * (1.0 / sides[i].length());
        let second = facing.first().and_then(|&(_, first)| {
            facing
                .iter()
                .find(|&&(_, i)| unit(first).cross(unit(i)).abs() > SQUARE)
        });
        let walls = facing
            .first()
            .into_iter()
            .chain(second)
            .map(|&(distance_m, i)| WallOffset {
                wall: names[i].map(str::to_owned),
                side: sheet_side(unit(i)),
                distance_m,
            })
            .collect();
        let door = room
            .doors
            .first()
            .map(|d| (d.name.clone(), d.at.distance(spot)));
        Self { door, walls }
    }

    /// In words: `2.10 m from the door, 0.60 m off the north wall, 1.25 m off the left wall`. Empty without
    /// door and walls.
    pub fn text(&self, habit: Habit) -> String {
        let tell = |m: f64| length_text(Length::from_m(m), habit);
        let mut parts: Vec<String> = Vec::new();
        if let Some((name, distance)) = &self.door {
            parts.push(format!("{} from the {name}", tell(*distance)));
        }
        for w in &self.walls {
            let name = w.wall.clone().unwrap_or_else(|| format!("{} wall", w.side));
            parts.push(format!("{} off the {name}", tell(w.distance_m)));
        }
        parts.join(", ")
    }
}

/// Side of the sheet that a wall stands on; the outline runs counter-clockwise, floor on its left.
fn sheet_side(along: Point) -> &'static str {
    if along.x.abs() >= along.y.abs() {
        if along.x > 0.0 { "bottom" } else { "top" }
    } else if along.y > 0.0 {
        "right"
    } else {
        "left"
    }
}
