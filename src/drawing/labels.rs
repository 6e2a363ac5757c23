//! Where labels go: the first free place among candidates, never over another label or a wall.

use super::scene::{PaperPoint, Rect};

/// Side of a search cell, millimetres.
const CELL_MM: f64 = 8.0;

/// Knows what is taken on a sheet.
#[derive(Debug, Clone)]
pub struct Placer {
    within: Rect,
    across: usize,
    down: usize,
    boxes: Vec<Rect>,
    walls: Vec<(PaperPoint, PaperPoint)>,
    box_cells: Vec<Vec<u32>>,
    wall_cells: Vec<Vec<u32>>,
}

impl Placer {
    /// A free area; labels stay inside it.
    pub fn new(within: Rect) -> Self {
        let across = (within.width() / CELL_MM).ceil().max(1.0) as usize;
        let down = (within.height() / CELL_MM).ceil().max(1.0) as usize;
        Self {
            within,
            across,
            down,
            boxes: Vec::new(),
            walls: Vec::new(),
            box_cells: vec![Vec::new(); across * down],
            wall_cells: vec![Vec::new(); across * down],
        }
    }

    /// A line that no label may cross.
    pub fn block_line(&mut self, a: PaperPoint, b: PaperPoint) {
        let id = self.walls.len() as u32;
        self.walls.push((a, b));
        // Long lines are entered piece by piece, or they would fill the cells of their whole box.
        let parts = (a.distance(b) / CELL_MM).ceil().max(1.0) as usize;
        for i in 0..parts {
            let (s, t) = (i as f64 / parts as f64, (i + 1) as f64 / parts as f64);
            for cell in self.cells(&Rect::new(a.lerp(b, s), a.lerp(b, t)).grown(0.1)) {
                self.wall_cells[cell].push(id);
            }
        }
    }

    /// An area that no label may cover.
    pub fn block(&mut self, area: Rect) {
        let id = self.boxes.len() as u32;
        self.boxes.push(area);
        for cell in self.cells(&area) {
            self.box_cells[cell].push(id);
        }
    }

    /// Whether nothing is in the way of `area`.
    pub fn is_free(&self, area: &Rect) -> bool {
        self.within.holds(area)
            && self.cells(area).into_iter().all(|cell| {
                self.box_cells[cell]
                    .iter()
                    .all(|&b| !self.boxes[b as usize].overlaps(area))
                    && self.wall_cells[cell].iter().all(|&w| {
                        let (a, b) = self.walls[w as usize];
                        area.clip(a, b).is_none()
                    })
            })
    }

    /// Whether a label or another area taken lies over `area`; walls do not count.
    pub fn is_covered(&self, area: &Rect) -> bool {
        self.cells(area).into_iter().any(|cell| {
            self.box_cells[cell]
                .iter()
                .any(|&b| self.boxes[b as usize].overlaps(area))
        })
    }

    /// Takes the first free candidate and says which it was.
    pub fn place(&mut self, candidates: impl IntoIterator<Item = Rect>) -> Option<(usize, Rect)> {
        let found = candidates
            .into_iter()
            .enumerate()
            .find(|(_, c)| self.is_free(c))?;
        self.block(found.1);
        Some(found)
    }

    /// The parts of segment ab that lie under none of the areas taken.
    pub fn uncovered(&self, a: PaperPoint, b: PaperPoint) -> Vec<(PaperPoint, PaperPoint)> {
        let mut hidden = Vec::new();
        let parts = (a.distance(b) / CELL_MM).ceil().max(1.0) as usize;
        let mut seen = Vec::new();
        for i in 0..parts {
            let (s, t) = (i as f64 / parts as f64, (i + 1) as f64 / parts as f64);
            for cell in self.cells(&Rect::new(a.lerp(b, s), a.lerp(b, t))) {
                seen.extend_from_slice(&self.box_cells[cell]);
            }
        }
        seen.sort_unstable();
        seen.dedup();
        for id in seen {
            hidden.extend(self.boxes[id as usize].clip(a, b));
        }
        gaps(&mut hidden)
            .into_iter()
            .map(|(s, t)| (a.lerp(b, s), a.lerp(b, t)))
            .collect()
    }

    fn cells(&self, area: &Rect) -> Vec<usize> {
        let index = |v: f64, from: f64, count: usize| {
            (((v - from) / CELL_MM).floor().max(0.0) as usize).min(count - 1)
        };
        let (x0, x1) = (
            index(area.left, self.within.left, self.across),
            index(area.right, self.within.left, self.across),
        );
        let (y0, y1) = (
            index(area.top, self.within.top, self.down),
            index(area.bottom, self.within.top, self.down),
        );
        let mut out = Vec::with_capacity((x1 - x0 + 1) * (y1 - y0 + 1));
        for y in y0..=y1 {
            for x in x0..=x1 {
                out.push(y * self.across + x);
            }
        }
        out
    }
}

/// What is left of 0 to 1 when the given intervals are taken out.
pub(super) fn gaps(hidden: &mut [(f64, f64)]) -> Vec<(f64, f64)> {
    hidden.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out = Vec::new();
    let mut from = 0.0;
    for &(s, t) in hidden.iter() {
        if s > from {
            out.push((from, s));
        }
        from = f64::max(from, t);
    }
    if from < 1.0 {
        out.push((from, 1.0));
    }
    out
}

/// Boxes of a label `w` by `h` round a point: straight above first, then the upper corners, below, the
/// lower corners, the sides; `gap` keeps clear of the sign at the point.
pub(super) fn around(p: PaperPoint, w: f64, h: f64, gap: f64) -> [Rect; 8] {
    let at = |left: f64, bottom: f64| Rect {
        left,
        right: left + w,
        top: bottom - h,
        bottom,
    };
    let d = gap * std::f64::consts::FRAC_1_SQRT_2;
    [
        at(p.x - w / 2.0, p.y - gap),
        at(p.x + d, p.y - d),
        at(p.x - d - w, p.y - d),
        at(p.x - w / 2.0, p.y + gap + h),
        at(p.x + d, p.y + d + h),
        at(p.x - d - w, p.y + d + h),
        at(p.x + gap, p.y + h / 2.0),
        at(p.x - gap - w, p.y + h / 2.0),
    ]
}

/// A number reads as that of its own line where every other line lies farther off by half as much again (common practice, no published source).
const CLEARLY_OWN: f64 = 1.5;

/// The first free spot that is clearly nearer to its own line than to any other; else the free one that is nearer to it by most.
pub(super) fn beside_own_line(
    placer: &Placer,
    spots: impl Iterator<Item = Rect>,
    (lines, own): (&[(PaperPoint, PaperPoint)], usize),
) -> Option<Rect> {
    let mut best: Option<(f64, Rect)> = None;
    for spot in spots.filter(|spot| placer.is_free(spot)) {
        let middle = spot.middle();
        let to = |&(a, b): &(PaperPoint, PaperPoint)| middle.distance_to_line(a, b);
        let others = lines.iter().enumerate().filter(|(i, _)| *i != own);
        let nearest = others.map(|(_, l)| to(l)).fold(f64::INFINITY, f64::min);
        let share = nearest / to(&lines[own]).max(f64::MIN_POSITIVE);
        if share >= CLEARLY_OWN {
            return Some(spot);
        }
        if best.is_none_or(|(most, _)| share > most) {
            best = Some((share, spot));
        }
    }
    best.map(|(_, spot)| spot)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(left: f64, top: f64, right: f64, bottom: f64) -> Rect {
        Rect {
            left,
            top,
            right,
            bottom,
        }
    }

    // ORACLE: hand: a 10 by 10 area with one box and one line
    #[test]
    fn boxes_and_lines_are_kept_clear() {
        let mut placer = Placer::new(rect(0.0, 0.0, 100.0, 100.0));
        placer.block(rect(10.0, 10.0, 20.0, 20.0));
        placer.block_line(PaperPoint::new(50.0, 0.0), PaperPoint::new(50.0, 100.0));
        assert!(!placer.is_free(&rect(19.0, 19.0, 25.0, 25.0)));
        assert!(
            placer.is_free(&rect(20.0, 10.0, 25.0, 15.0)),
            "touching is free"
        );
        assert!(!placer.is_free(&rect(45.0, 80.0, 55.0, 85.0)));
        assert!(
            !placer.is_free(&rect(95.0, 95.0, 101.0, 99.0)),
            "over the edge"
        );
        let took = placer.place([rect(12.0, 12.0, 14.0, 14.0), rect(30.0, 30.0, 34.0, 34.0)]);
        assert_eq!(took.map(|t| t.0), Some(1));
    }

    // ORACLE: hand
    #[test]
    fn a_line_is_broken_where_labels_stand() {
        let mut placer = Placer::new(rect(0.0, 0.0, 100.0, 100.0));
        placer.block(rect(10.0, 0.0, 20.0, 10.0));
        placer.block(rect(15.0, 0.0, 30.0, 10.0));
        let left = placer.uncovered(PaperPoint::new(0.0, 5.0), PaperPoint::new(40.0, 5.0));
        let x: Vec<(f64, f64)> = left.iter().map(|(a, b)| (a.x, b.x)).collect();
        assert_eq!(x, [(0.0, 10.0), (30.0, 40.0)]);
    }

    // ORACLE: hand: two lines from one mark; beside the mark itself a number stands as near to one as to the other
    #[test]
    fn a_number_stands_by_its_own_line_where_two_begin_at_one_mark() {
        let placer = Placer::new(rect(0.0, 0.0, 100.0, 100.0));
        let mark = PaperPoint::new(50.0, 50.0);
        let lines = [
            (mark, PaperPoint::new(90.0, 60.0)),
            (mark, PaperPoint::new(90.0, 40.0)),
        ];
        for own in 0..2 {
            let (a, b) = lines[own];
            let spots = [a, a.lerp(b, 0.5), b]
                .into_iter()
                .flat_map(|p| around(p, 4.0, 4.0, 1.9));
            let chosen = beside_own_line(&placer, spots, (&lines, own)).unwrap();
            let to = |i: usize| chosen.middle().distance_to_line(lines[i].0, lines[i].1);
            assert!(to(1 - own) >= 1.5 * to(own), "{own}: {chosen:?}");
        }
    }
}
