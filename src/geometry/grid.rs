//! Uniform grids that answer "what lies near here" without looking at everything.

use super::Point;

/// Layout of square cells over a rectangle.
#[derive(Debug, Clone, Copy)]
struct Cells {
    low: Point,
    size: f64,
    nx: usize,
    ny: usize,
}

impl Cells {
    /// About `count` square cells over the box from `low` to `high`.
    fn over(low: Point, high: Point, count: usize) -> Self {
        let count = count.clamp(1, 1 << 24) as f64;
        let (w, h) = ((high.x - low.x).max(0.0), (high.y - low.y).max(0.0));
        let long = w.max(h);
        let size = ((w * h / count).sqrt()).max(long / count);
        let size = if size > 0.0 && size.is_finite() {
            size
        } else {
            1.0
        };
        let cells = |extent: f64| ((extent / size) as usize + 1).min(1 << 24);
        Self {
            low,
            size,
            nx: cells(w),
            ny: cells(h),
        }
    }

    fn column(&self, x: f64) -> usize {
        (((x - self.low.x) / self.size).max(0.0) as usize).min(self.nx - 1)
    }

    fn row(&self, y: f64) -> usize {
        (((y - self.low.y) / self.size).max(0.0) as usize).min(self.ny - 1)
    }

    const fn index(&self, column: usize, row: usize) -> usize {
        row * self.nx + column
    }

    const fn len(&self) -> usize {
        self.nx * self.ny
    }
}

/// Running totals of per-cell counts: cell `i` owns entries `start[i]..start[i + 1]`.
fn running(counts: &mut Vec<u32>) {
    let mut total = 0u32;
    for c in counts.iter_mut() {
        let n = *c;
        *c = total;
        total += n;
    }
    counts.push(total);
}

/// Lower left and upper right corner of a set of points; `None` when there are none.
pub fn bounds(points: impl IntoIterator<Item = Point>) -> Option<(Point, Point)> {
    points.into_iter().fold(None, |b, p| {
        Some(match b {
            None => (p, p),
            Some((lo, hi)) => (
                Point::new(lo.x.min(p.x), lo.y.min(p.y)),
                Point::new(hi.x.max(p.x), hi.y.max(p.y)),
            ),
        })
    })
}

/// Points by cell.
#[derive(Debug, Clone)]
pub struct PointGrid {
    cells: Cells,
    start: Vec<u32>,
    items: Vec<u32>,
    points: Vec<Point>,
}

impl PointGrid {
    /// An index over these points, about two a cell.
    pub fn new(points: Vec<Point>) -> Self {
        let (lo, hi) = bounds(points.iter().copied()).unwrap_or_default();
        let cells = Cells::over(lo, hi, points.len() / 2 + 1);
        let mut start = vec![0u32; cells.len()];
        let cell = |p: &Point| cells.index(cells.column(p.x), cells.row(p.y));
        for p in &points {
            start[cell(p)] += 1;
        }
        running(&mut start);
        let mut next = start.clone();
        let mut items = vec![0u32; points.len()];
        for (i, p) in points.iter().enumerate() {
            let c = cell(p);
            items[next[c] as usize] = i as u32;
            next[c] += 1;
        }
        Self {
            cells,
            start,
            items,
            points,
        }
    }

    /// The points, in the order given.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Side of a cell, metres.
    pub const fn cell_size(&self) -> f64 {
        self.cells.size
    }

    /// Indices of the points in the closed box from `low` to `high`, in no special order.
    pub fn in_box(&self, low: Point, high: Point) -> impl Iterator<Item = u32> + '_ {
        let c = &self.cells;
        let (c0, c1) = (c.column(low.x), c.column(high.x));
        let (r0, r1) = (c.row(low.y), c.row(high.y));
        (r0..=r1)
            .flat_map(move |r| {
                let from = self.start[c.index(c0, r)] as usize;
                let to = self.start[c.index(c1, r) + 1] as usize;
                self.items[from..to].iter().copied()
            })
            .filter(move |&i| {
                let p = self.points[i as usize];
                p.x >= low.x && p.x <= high.x && p.y >= low.y && p.y <= high.y
            })
    }

    /// The nearest point and its distance; of several equally near the lowest index. `None` when empty.
    pub fn nearest(&self, p: Point) -> Option<(u32, f64)> {
        if self.points.is_empty() {
            return None;
        }
        let c = &self.cells;
        // A box that reaches the grid from wherever p is, then grown until nothing outside can be nearer.
        let far_x = (c.low.x - p.x).max(p.x - (c.low.x + c.size * c.nx as f64));
        let far_y = (c.low.y - p.y).max(p.y - (c.low.y + c.size * c.ny as f64));
        let mut reach = far_x.max(far_y).max(0.0) + c.size;
        // Two rounds do for finite points; the bound guards against a point that is not a number.
        for _ in 0..2100 {
            let r = Point::new(reach, reach);
            let best = self
                .in_box(p - r, p + r)
                .map(|i| (i, self.points[i as usize].distance(p)))
                .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
            if let Some((i, d)) = best {
                if d <= reach {
                    return Some((i, d));
                }
                reach = d;
            } else {
                reach *= 2.0;
            }
        }
        None
    }
}

/// Boxes by cell: triangles, pieces of wall.
#[derive(Debug, Clone)]
pub struct BoxGrid {
    cells: Cells,
    start: Vec<u32>,
    items: Vec<u32>,
}

impl BoxGrid {
    /// An index over boxes, given as their lower left and upper right corners.
    pub fn new(count: usize, box_of: impl Fn(u32) -> (Point, Point)) -> Self {
        let corners = (0..count as u32).flat_map(|i| {
            let (lo, hi) = box_of(i);
            [lo, hi]
        });
        let (lo, hi) = bounds(corners).unwrap_or_default();
        let cells = Cells::over(lo, hi, count / 2 + 1);
        let span = |i: u32| {
            let (lo, hi) = box_of(i);
            (
                cells.column(lo.x)..=cells.column(hi.x),
                cells.row(lo.y)..=cells.row(hi.y),
            )
        };
        let mut start = vec![0u32; cells.len()];
        for i in 0..count as u32 {
            let (columns, rows) = span(i);
            for r in rows {
                for c in columns.clone() {
                    start[cells.index(c, r)] += 1;
                }
            }
        }
        running(&mut start);
        let mut next = start.clone();
        let mut items = vec![0u32; *start.last().unwrap_or(&0) as usize];
        for i in 0..count as u32 {
            let (columns, rows) = span(i);
            for r in rows {
                for c in columns.clone() {
                    let cell = cells.index(c, r);
                    items[next[cell] as usize] = i;
                    next[cell] += 1;
                }
            }
        }
        Self {
            cells,
            start,
            items,
        }
    }

    /// Indices of boxes that may hold `p`, ascending. A point off the grid falls to the nearest cell.
    pub fn at(&self, p: Point) -> &[u32] {
        let c = &self.cells;
        let cell = c.index(c.column(p.x), c.row(p.y));
        &self.items[self.start[cell] as usize..self.start[cell + 1] as usize]
    }

    /// Calls `visit` with every box index whose cells meet the box from `low` to `high`; an index may
    /// come more than once. Stops as soon as `visit` answers true, and answers whether it did.
    pub fn any_in(&self, low: Point, high: Point, mut visit: impl FnMut(u32) -> bool) -> bool {
        let c = &self.cells;
        for r in c.row(low.y)..=c.row(high.y) {
            let from = self.start[c.index(c.column(low.x), r)] as usize;
            let to = self.start[c.index(c.column(high.x), r) + 1] as usize;
            if self.items[from..to].iter().any(|&i| visit(i)) {
                return true;
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scatter(n: u32) -> Vec<Point> {
        (0..n)
            .map(|i| {
                let t = f64::from(i);
                Point::new((t * 0.618_034).fract() * 7.0, (t * 0.414_214).fract() * 3.0)
            })
            .collect()
    }

    #[test]
    fn nearest_and_box_agree_with_looking_at_all() {
        // ORACLE: independent code, the plain scan.
        let points = scatter(500);
        let grid = PointGrid::new(points.clone());
        for q in scatter(60)
            .into_iter()
            .map(|p| p * 1.5 - Point::new(1.0, 1.0))
        {
            let plain = points
                .iter()
                .map(|p| p.distance(q))
                .fold(f64::INFINITY, f64::min);
            let (_, d) = grid.nearest(q).expect("not empty");
            assert_eq!(d, plain);
            let r = Point::new(0.4, 0.3);
            let mut found: Vec<u32> = grid.in_box(q - r, q + r).collect();
            found.sort_unstable();
            let all: Vec<u32> = (0..500)
                .filter(|&i| {
                    let d = points[i as usize] - q;
                    d.x.abs() <= r.x && d.y.abs() <= r.y
                })
                .collect();
            assert_eq!(found, all);
        }
    }

    #[test]
    fn one_point_and_none() {
        assert!(PointGrid::new(vec![]).nearest(Point::new(1., 1.)).is_none());
        let one = PointGrid::new(vec![Point::new(2., 2.)]);
        assert_eq!(one.nearest(Point::new(5., 6.)), Some((0, 5.0)));
    }
}
