//! Seats gathered into a tree of neighbouring groups, and the slope of the floor around them.

use super::net::Net;

/// A run of neighbouring seats.
#[derive(Debug, Clone, Copy)]
pub(super) struct Group {
    /// Its seats: `order[from..to]`.
    pub from: u32,
    pub to: u32,
    /// The two halves; `None` for a single seat.
    pub halves: Option<(u32, u32)>,
    /// Box around the seats' ends.
    pub lo: [f64; 2],
    pub hi: [f64; 2],
}

/// All seats, halved again and again along the longer side of their box.
pub(super) struct Groups {
    pub groups: Vec<Group>,
    pub order: Vec<u32>,
}

impl Groups {
    /// The tree over all seats of `net`; the first group is the whole.
    pub fn new(net: &Net) -> Self {
        let mut order: Vec<u32> = (0..net.seats.len() as u32).collect();
        let mut groups = Vec::with_capacity(2 * order.len());
        if !order.is_empty() {
            let mids: Vec<[f64; 2]> = (0..net.seats.len())
                .map(|s| {
                    let p = net.on_seat(s, 0.5);
                    [p[0], p[1]]
                })
                .collect();
            groups.push(group(net, &order, 0, net.seats.len()));
            let mut open = vec![0usize];
            while let Some(g) = open.pop() {
                let Group {
                    from, to, lo, hi, ..
                } = groups[g];
                if to - from < 2 {
                    continue;
                }
                let axis = usize::from(hi[1] - lo[1] > hi[0] - lo[0]);
                let (from, to) = (from as usize, to as usize);
                let half = (to - from) / 2;
                order[from..to].select_nth_unstable_by(half, |&a, &b| {
                    mids[a as usize][axis]
                        .total_cmp(&mids[b as usize][axis])
                        .then(a.cmp(&b))
                });
                let at = groups.len() as u32;
                groups.push(group(net, &order, from, from + half));
                groups.push(group(net, &order, from + half, to));
                groups[g].halves = Some((at, at + 1));
                open.extend([at as usize, at as usize + 1]);
            }
        }
        Self { groups, order }
    }

    /// Groups whose box is no longer than `size`, in a fixed order; together they hold every seat.
    pub fn of_size(&self, size: f64) -> Vec<u32> {
        let mut out = Vec::new();
        let mut open = if self.groups.is_empty() {
            vec![]
        } else {
            vec![0u32]
        };
        while let Some(g) = open.pop() {
            let group = &self.groups[g as usize];
            let long = (group.hi[0] - group.lo[0]).hypot(group.hi[1] - group.lo[1]);
            match group.halves {
                Some((a, b)) if long > size => open.extend([b, a]),
                _ => out.push(g),
            }
        }
        out
    }

    /// Middle of a group's box.
    pub fn middle(&self, g: u32) -> [f64; 2] {
        let g = &self.groups[g as usize];
        [(g.lo[0] + g.hi[0]) / 2.0, (g.lo[1] + g.hi[1]) / 2.0]
    }

    /// The seats of a group.
    pub fn seats(&self, g: u32) -> &[u32] {
        let group = &self.groups[g as usize];
        &self.order[group.from as usize..group.to as usize]
    }
}

fn group(net: &Net, order: &[u32], from: usize, to: usize) -> Group {
    let (mut lo, mut hi) = ([f64::MAX; 2], [f64::MIN; 2]);
    for &s in &order[from..to] {
        for v in net.seats[s as usize].ends {
            let p = net.at[v as usize];
            for i in 0..2 {
                lo[i] = lo[i].min(p[i]);
                hi[i] = hi[i].max(p[i]);
            }
        }
    }
    Group {
        from: from as u32,
        to: to as u32,
        halves: None,
        lo,
        hi,
    }
}

/// Buckets over the plan: which vertices lie where, and the floor's mean slope around each.
pub(super) struct Buckets {
    lo: [f64; 2],
    size: f64,
    columns: usize,
    rows: usize,
    start: Vec<u32>,
    vertices: Vec<u32>,
    slopes: Vec<[f64; 2]>,
}

/// Sums for a least-squares plane.
#[derive(Clone, Copy, Default)]
struct Sums {
    n: f64,
    x: f64,
    y: f64,
    z: f64,
    xx: f64,
    xy: f64,
    yy: f64,
    xz: f64,
    yz: f64,
}

impl Buckets {
    /// Buckets of about `size`, with slopes taken over three buckets across.
    pub fn new(net: &Net, size: f64) -> Self {
        let (mut lo, mut hi) = ([f64::MAX; 2], [f64::MIN; 2]);
        let used: Vec<u32> = (0..net.at.len() as u32).filter(|&v| net.used(v)).collect();
        for &v in &used {
            let p = net.at[v as usize];
            for i in 0..2 {
                lo[i] = lo[i].min(p[i]);
                hi[i] = hi[i].max(p[i]);
            }
        }
        if used.is_empty() {
            (lo, hi) = ([0.0; 2], [0.0; 2]);
        }
        // No more buckets than a few per vertex, however small the size asked for.
        let area = (hi[0] - lo[0]).max(1e-9) * (hi[1] - lo[1]).max(1e-9);
        let size = size.max((area / (used.len() + 1) as f64).sqrt()).max(1e-6);
        let columns = ((hi[0] - lo[0]) / size) as usize + 1;
        let rows = ((hi[1] - lo[1]) / size) as usize + 1;
        let mut out = Self {
            lo,
            size,
            columns,
            rows,
            start: vec![0; columns * rows + 1],
            vertices: vec![0; used.len()],
            slopes: vec![[0.0; 2]; columns * rows],
        };
        for &v in &used {
            let b = out.bucket(net.at[v as usize]);
            out.start[b + 1] += 1;
        }
        for i in 1..out.start.len() {
            out.start[i] += out.start[i - 1];
        }
        let mut fill = out.start.clone();
        for &v in &used {
            let b = out.bucket(net.at[v as usize]);
            out.vertices[fill[b] as usize] = v;
            fill[b] += 1;
        }
        out.fill_slopes(net);
        out
    }

    fn cell(&self, p: [f64; 2]) -> (usize, usize) {
        let at = |v: f64, n: usize| ((v.max(0.0) / self.size) as usize).min(n - 1);
        (
            at(p[0] - self.lo[0], self.columns),
            at(p[1] - self.lo[1], self.rows),
        )
    }

    fn bucket(&self, p: [f64; 3]) -> usize {
        let (c, r) = self.cell([p[0], p[1]]);
        r * self.columns + c
    }

    fn fill_slopes(&mut self, net: &Net) {
        let mut sums = vec![Sums::default(); self.slopes.len()];
        for (b, sum) in sums.iter_mut().enumerate() {
            for &v in &self.vertices[self.start[b] as usize..self.start[b + 1] as usize] {
                let [x, y, z] = net.at[v as usize];
                sum.n += 1.0;
                sum.x += x;
                sum.y += y;
                sum.z += z;
                sum.xx += x * x;
                sum.xy += x * y;
                sum.yy += y * y;
                sum.xz += x * z;
                sum.yz += y * z;
            }
        }
        let mut all = Sums::default();
        for sum in &sums {
            all.add(sum);
        }
        let whole = all.slope([0.0; 2]);
        for r in 0..self.rows {
            for c in 0..self.columns {
                let mut t = Sums::default();
                for r in r.saturating_sub(1)..=(r + 1).min(self.rows - 1) {
                    for c in c.saturating_sub(1)..=(c + 1).min(self.columns - 1) {
                        t.add(&sums[r * self.columns + c]);
                    }
                }
                self.slopes[r * self.columns + c] = t.slope(whole);
            }
        }
    }

    /// Mean slope of the floor around a place. Any slope keeps the bounds true; a good one keeps
    /// them tight.
    pub fn slope(&self, p: [f64; 2]) -> [f64; 2] {
        let (c, r) = self.cell(p);
        self.slopes[r * self.columns + c]
    }

    /// Calls `f` with every vertex within `reach` of the box, and perhaps a few beyond.
    pub fn near(&self, lo: [f64; 2], hi: [f64; 2], reach: f64, mut f: impl FnMut(u32)) {
        let (c0, r0) = self.cell([lo[0] - reach, lo[1] - reach]);
        let (c1, r1) = self.cell([hi[0] + reach, hi[1] + reach]);
        for r in r0..=r1 {
            let a = self.start[r * self.columns + c0] as usize;
            let b = self.start[r * self.columns + c1 + 1] as usize;
            for &v in &self.vertices[a..b] {
                f(v);
            }
        }
    }
}

/// How much the slope of the whole floor counts in the slope of a part of it, against that part's own spread. Of
/// vertices in one row, rounding alone would make a cliff across it.
const WHOLE: f64 = 0.01;

impl Sums {
    fn add(&mut self, o: &Self) {
        self.n += o.n;
        self.x += o.x;
        self.y += o.y;
        self.z += o.z;
        self.xx += o.xx;
        self.xy += o.xy;
        self.yy += o.yy;
        self.xz += o.xz;
        self.yz += o.yz;
    }

    /// The least-squares slope, held lightly to that of the whole where the vertices say little.
    fn slope(&self, whole: [f64; 2]) -> [f64; 2] {
        if self.n < 2.0 {
            return whole;
        }
        let (mx, my, mz) = (self.x / self.n, self.y / self.n, self.z / self.n);
        let xx = self.xx / self.n - mx * mx;
        let xy = self.xy / self.n - mx * my;
        let yy = self.yy / self.n - my * my;
        // What the vertices rise beyond the slope of the whole.
        let xz = self.xz / self.n - mx * mz - whole[0] * xx - whole[1] * xy;
        let yz = self.yz / self.n - my * mz - whole[0] * xy - whole[1] * yy;
        let hold = WHOLE * (xx + yy);
        let (xx, yy) = (xx + hold, yy + hold);
        let det = xx * yy - xy * xy;
        if det <= 0.0 {
            return whole;
        }
        [
            whole[0] + (xz * yy - yz * xy) / det,
            whole[1] + (yz * xx - xz * xy) / det,
        ]
    }
}
