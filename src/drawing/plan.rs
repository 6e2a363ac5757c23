//! Plan to paper: scale, place on the sheet, and lines thinned to what paper can show.

use super::paper::Scale;
use super::scene::{PaperPoint, Rect};
use crate::geometry::Point;

/// Detail finer than this cannot be seen on paper, millimetres.
pub(super) const FINEST_MM: f64 = 0.05;

/// An upright rectangle of floor, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// Lower left corner.
    pub low: Point,
    /// Upper right corner.
    pub high: Point,
}

impl Extent {
    /// The smallest that holds all points; `None` when there are none or one is not finite.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        let mut extent: Option<Self> = None;
        for p in points {
            if !(p.x.is_finite() && p.y.is_finite()) {
                return None;
            }
            let e = extent.get_or_insert(Self { low: p, high: p });
            e.low = Point::new(e.low.x.min(p.x), e.low.y.min(p.y));
            e.high = Point::new(e.high.x.max(p.x), e.high.y.max(p.y));
        }
        extent
    }

    /// Metres to the right and up the sheet.
    pub fn size_m(&self) -> (f64, f64) {
        (self.high.x - self.low.x, self.high.y - self.low.y)
    }
}

/// Where plan points fall on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Scale of the drawing.
    pub scale: Scale,
    /// Floor shown.
    pub extent: Extent,
    /// Where its upper left corner falls.
    corner: PaperPoint,
}

impl View {
    /// The extent in the middle of a space.
    pub fn centred(scale: Scale, extent: Extent, space: Rect) -> Self {
        let (w, h) = extent.size_m();
        let k = scale.mm_per_m();
        let m = space.middle();
        Self {
            scale,
            extent,
            corner: PaperPoint::new(m.x - w * k / 2.0, m.y - h * k / 2.0),
        }
    }

    /// A plan point on the sheet.
    pub fn at(&self, p: Point) -> PaperPoint {
        let k = self.scale.mm_per_m();
        PaperPoint::new(
            self.corner.x + (p.x - self.extent.low.x) * k,
            self.corner.y + (self.extent.high.y - p.y) * k,
        )
    }

    /// The plan point at a place on the sheet.
    pub fn plan(&self, p: PaperPoint) -> Point {
        let k = self.scale.mm_per_m();
        Point::new(
            self.extent.low.x + (p.x - self.corner.x) / k,
            self.extent.high.y - (p.y - self.corner.y) / k,
        )
    }

    /// A length of floor on the sheet, millimetres.
    pub fn mm(&self, m: f64) -> f64 {
        m * self.scale.mm_per_m()
    }

    /// The whole extent on the sheet.
    pub fn rect(&self) -> Rect {
        Rect::new(self.at(self.extent.low), self.at(self.extent.high))
    }

    /// A line on the sheet, thinned.
    pub fn line(&self, points: impl IntoIterator<Item = Point>) -> Vec<PaperPoint> {
        thinned(&points.into_iter().map(|p| self.at(p)).collect::<Vec<_>>())
    }

    /// A closed ring on the sheet, thinned; the last point joins the first.
    pub fn ring(&self, points: &[Point]) -> Vec<PaperPoint> {
        let mut closed: Vec<PaperPoint> = points.iter().map(|&p| self.at(p)).collect();
        let Some(&first) = closed.first() else {
            return closed;
        };
        // Split at the point farthest from the first: both halves keep both their ends.
        let far = (0..closed.len())
            .max_by(|&a, &b| {
                closed[a]
                    .distance(first)
                    .total_cmp(&closed[b].distance(first))
            })
            .unwrap_or(0);
        closed.push(first);
        let mut out = thinned(&closed[..=far]);
        out.pop();
        out.extend(thinned(&closed[far..]));
        out.pop();
        out
    }
}

/// Leaves out points that change the line by less than paper can show (Douglas and Peucker 1973).
pub(super) fn thinned(points: &[PaperPoint]) -> Vec<PaperPoint> {
    // A first pass drops points closer than half the finest detail to the one kept before: long
    // runs of tiny steps would make the second pass slow.
    let mut sparse: Vec<PaperPoint> = Vec::with_capacity(points.len());
    for (i, &p) in points.iter().enumerate() {
        let last = i + 1 == points.len();
        match sparse.last() {
            Some(q) if !last && q.distance(p) < FINEST_MM / 2.0 => {}
            _ => sparse.push(p),
        }
    }
    let n = sparse.len();
    if n < 3 {
        return sparse;
    }
    let mut keep = vec![false; n];
    keep[0] = true;
    keep[n - 1] = true;
    let mut open = vec![(0, n - 1)];
    // Each entry splits a stretch at a point then kept, so there are fewer than 2 n of them.
    while let Some((a, b)) = open.pop() {
        let worst = (a + 1..b)
            .map(|i| (i, off_line(sparse[i], sparse[a], sparse[b])))
            .max_by(|x, y| x.1.total_cmp(&y.1));
        if let Some((i, off)) = worst
            && off > FINEST_MM
        {
            keep[i] = true;
            open.push((a, i));
            open.push((i, b));
        }
    }
    sparse
        .into_iter()
        .zip(keep)
        .filter_map(|(p, k)| k.then_some(p))
        .collect()
}

/// Distance of p from segment ab.
fn off_line(p: PaperPoint, a: PaperPoint, b: PaperPoint) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let length2 = dx * dx + dy * dy;
    if length2 == 0.0 {
        return p.distance(a);
    }
    let t = (((p.x - a.x) * dx + (p.y - a.y) * dy) / length2).clamp(0.0, 1.0);
    p.distance(a.lerp(b, t))
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand: 1:50, so a metre is 20 mm; y turns over
    #[test]
    fn plan_points_fall_where_the_scale_says() {
        let scale = super::super::paper::standard_scales(crate::units::Habit::Metric)[3];
        let extent = Extent {
            low: Point::new(0.0, 0.0),
            high: Point::new(4.0, 2.0),
        };
        let space = Rect::new(PaperPoint::new(0.0, 0.0), PaperPoint::new(100.0, 100.0));
        let view = View::centred(scale, extent, space);
        assert_eq!(view.at(Point::new(0.0, 2.0)), PaperPoint::new(10.0, 30.0));
        assert_eq!(view.at(Point::new(4.0, 0.0)), PaperPoint::new(90.0, 70.0));
    }

    // ORACLE: property: no point left out lies farther than the finest detail from the thinned line
    #[test]
    fn thinning_moves_no_line_by_more_than_paper_shows() {
        let wave: Vec<PaperPoint> = (0..4000)
            .map(|i| {
                let x = f64::from(i) * 0.02;
                PaperPoint::new(x, 3.0 * (x / 5.0).sin())
            })
            .collect();
        let thin = thinned(&wave);
        assert!(thin.len() < 200, "{}", thin.len());
        for p in &wave {
            let off = thin
                .windows(2)
                .map(|w| off_line(*p, w[0], w[1]))
                .fold(f64::INFINITY, f64::min);
            assert!(off <= FINEST_MM + 1e-9, "{off}");
        }
    }
}
