//! Convex pieces of wet floor, cut by level lines.

use crate::fill::Plane;
use crate::geometry::{Point, Segment};
use crate::surface::Vertex;

/// A corner of a piece. All three values are linear over the piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Corner {
    /// Plan position, metres.
    pub at: Point,
    /// Place in the pouring order.
    pub order: f64,
    /// Depth of material, metres.
    pub depth: f64,
    /// Distance across the strips, metres (0 where there are none).
    pub across: f64,
}

impl Corner {
    /// The corner where `value` takes `level` on the edge from `a` to `b`.
    ///
    /// The ends are put in a fixed order first, so that the two pieces that share an edge get the
    /// same point to the last bit.
    fn on_edge(a: &Self, b: &Self, value: fn(&Self) -> f64, level: f64) -> Self {
        let key = |c: &Self| (c.at.x, c.at.y);
        let (a, b) = if key(a) <= key(b) { (a, b) } else { (b, a) };
        let t = ((level - value(a)) / (value(b) - value(a))).clamp(0.0, 1.0);
        let mix = |p: f64, q: f64| p + (q - p) * t;
        Self {
            at: a.at.lerp(b.at, t),
            order: mix(a.order, b.order),
            depth: mix(a.depth, b.depth),
            across: mix(a.across, b.across),
        }
    }
}

/// Which value a cut goes by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum By {
    Order,
    Depth,
    Across,
}

/// A convex polygon, counter-clockwise.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    pub corners: Vec<Corner>,
    /// The section of the floor that it belongs to: sections touch only where the pour stops at a joint.
    pub section: u32,
}

impl Piece {
    /// Plan area, square metres.
    pub fn area(&self) -> f64 {
        self.fan().map(|(area, _)| area).sum()
    }

    /// Material on it, cubic metres.
    pub fn volume(&self) -> f64 {
        self.fan().map(|(area, depth)| area * depth).sum()
    }

    /// Mean of its corners: inside it.
    pub fn middle(&self) -> Point {
        let n = self.corners.len().max(1) as f64;
        let sum = self.corners.iter().fold(Point::default(), |s, c| s + c.at);
        sum * (1.0 / n)
    }

    /// Least and greatest order.
    pub fn range(&self) -> (f64, f64) {
        self.corners
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), c| {
                (lo.min(c.order), hi.max(c.order))
            })
    }

    /// Area and mean depth of each triangle of a fan over the piece.
    fn fan(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let first = self.corners.first().copied();
        let pairs = self.corners.get(1..).unwrap_or_default().windows(2);
        pairs.filter_map(move |pair| {
            let a = first?;
            let (b, c) = (&pair[0], &pair[1]);
            let area = (b.at - a.at).cross(c.at - a.at) / 2.0;
            Some((area, (a.depth + b.depth + c.depth) / 3.0))
        })
    }

    /// Volume where the order is less than `level`.
    ///
    /// The same as the volume of the lower part of [`Piece::cut`], without making it.
    pub fn volume_before(&self, level: f64) -> f64 {
        let order: fn(&Corner) -> f64 = |c| c.order;
        let (mut first, mut last): (Option<Corner>, Option<Corner>) = (None, None);
        let mut volume = 0.0;
        let mut take = |c: Corner| match (first, last) {
            (None, _) => first = Some(c),
            (Some(_), None) => last = Some(c),
            (Some(a), Some(b)) => {
                let area = (b.at - a.at).cross(c.at - a.at) / 2.0;
                volume += area * (a.depth + b.depth + c.depth) / 3.0;
                last = Some(c);
            }
        };
        let n = self.corners.len();
        for i in 0..n {
            let (a, b) = (&self.corners[i], &self.corners[(i + 1) % n]);
            if a.order <= level {
                take(*a);
            }
            if (a.order < level) != (b.order < level) && a.order != level && b.order != level {
                take(Corner::on_edge(a, b, order, level));
            }
        }
        volume
    }

    /// The part below `level` and the part above it.
    ///
    /// A part without area is left out. New corners carry the level exactly.
    pub fn cut(&self, by: By, level: f64) -> (Option<Self>, Option<Self>) {
        let value: fn(&Corner) -> f64 = match by {
            By::Order => |c| c.order,
            By::Depth => |c| c.depth,
            By::Across => |c| c.across,
        };
        let (mut low, mut high) = (Vec::with_capacity(8), Vec::with_capacity(8));
        let n = self.corners.len();
        for i in 0..n {
            let (a, b) = (&self.corners[i], &self.corners[(i + 1) % n]);
            let (va, vb) = (value(a), value(b));
            if va <= level {
                low.push(*a);
            }
            if va >= level {
                high.push(*a);
            }
            if (va < level && vb > level) || (va > level && vb < level) {
                let mut c = Corner::on_edge(a, b, value, level);
                match by {
                    By::Order => c.order = level,
                    By::Depth => c.depth = level,
                    By::Across => c.across = level,
                }
                low.push(c);
                high.push(c);
            }
        }
        (self.kept(low), self.kept(high))
    }

    /// A part of the piece; `None` without area.
    fn kept(&self, mut corners: Vec<Corner>) -> Option<Self> {
        corners.dedup_by(|a, b| a.at == b.at);
        while corners.len() > 1 && corners.first().map(|c| c.at) == corners.last().map(|c| c.at) {
            corners.pop();
        }
        if corners.len() < 3 {
            return None;
        }
        // A large floor in small batches makes a million of these.
        corners.shrink_to_fit();
        let piece = Self {
            corners,
            section: self.section,
        };
        (piece.area() > 0.0).then_some(piece)
    }
}

/// Which of some groups of pieces lies nearest to a place.
pub(super) fn nearest<T>(
    place: Point,
    groups: &[T],
    of: impl Fn(&T) -> Vec<&Piece>,
) -> Option<usize> {
    let off = |group: &T| {
        let pieces = of(group);
        let sides = pieces.iter().flat_map(|p| {
            let ends = |k: usize| (p.corners[k].at, p.corners[(k + 1) % p.corners.len()].at);
            (0..p.corners.len()).map(ends)
        });
        sides
            .map(|(a, b)| Segment::new(a, b).distance(place))
            .fold(f64::INFINITY, f64::min)
    };
    let offs: Vec<f64> = groups.iter().map(off).collect();
    (0..offs.len()).min_by(|&i, &j| offs[i].total_cmp(&offs[j]))
}

/// What one lift fills: up to a level plane, and nowhere deeper than it may be. What is deeper was filled before.
#[derive(Debug, Clone, Copy)]
pub(super) struct Layer {
    /// Where the lift levels off.
    pub top: Plane,
    /// How deep it may be, metres.
    pub most_m: f64,
}

impl Layer {
    /// Depth of material over a place of the floor, metres; none or less where the floor stands above the top.
    pub fn depth(&self, v: Vertex) -> f64 {
        (self.top.at(v.at) - v.z).min(self.most_m)
    }

    /// The pieces of a triangle of the floor that carry material, cut where the lift begins and where it gets no deeper.
    pub fn pieces(
        &self,
        corners: [(Vertex, f64); 3],
        section: u32,
    ) -> impl Iterator<Item = Piece> + use<> {
        let corners = corners.map(|(v, order)| Corner {
            at: v.at,
            order,
            depth: self.top.at(v.at) - v.z,
            across: 0.0,
        });
        let most_m = self.most_m;
        let (mut shallow, mut deep) = (wet_piece(corners, section), None);
        if corners.iter().any(|c| c.depth > most_m) {
            (shallow, deep) = shallow.map_or((None, None), |p| p.cut(By::Depth, most_m));
            for c in deep.iter_mut().flat_map(|p| &mut p.corners) {
                c.depth = most_m;
            }
        }
        shallow.into_iter().chain(deep)
    }
}

/// A triangle of the floor as far as it carries material, cut at zero depth.
fn wet_piece(corners: [Corner; 3], section: u32) -> Option<Piece> {
    let deepest = corners.iter().map(|c| c.depth).fold(f64::MIN, f64::max);
    if deepest <= 0.0 {
        return None;
    }
    let piece = Piece {
        corners: corners.to_vec(),
        section,
    };
    if corners.iter().all(|c| c.depth >= 0.0) {
        Some(piece)
    } else {
        piece.cut(By::Depth, 0.0).1
    }
}
