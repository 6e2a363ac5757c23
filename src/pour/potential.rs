//! The harmonic function on the mesh that orders the pour.

use nalgebra::DVector;
use nalgebra_sparse::{CooMatrix, CsrMatrix};

/// Least and greatest weight of an edge. Weights must be positive for the maximum principle to
/// hold and not too far apart for the solver to be quick; cotangents of usable triangles lie well inside.
const WEIGHTS: (f64, f64) = (1e-4, 1e4);
/// Residual of the linear system at which the solver stops, relative to its start.
const RESIDUAL: f64 = 1e-13;
/// A step of the potential smaller than this is not trusted to be one.
const NOISE: f64 = 1e-11;

/// A connected mesh: nodes with neighbours and positive weights.
pub(super) struct Graph {
    /// Neighbours of each node with the weight of the edge between, sorted by node.
    pub near: Vec<Vec<(u32, f64)>>,
}

impl Graph {
    /// The graph of triangles given by their nodes and plan corners.
    ///
    /// Weight of an edge: half the sum of the cotangents opposite to it (linear finite elements for
    /// Laplace's equation with no flow through walls), kept inside [`WEIGHTS`]. On a Delaunay mesh
    /// the sum is never negative inside; at the walls it can be.
    pub fn new(nodes: usize, triangles: &[([u32; 3], [crate::geometry::Point; 3])]) -> Self {
        let mut edges: Vec<(u32, u32, f64)> = Vec::with_capacity(triangles.len() * 3);
        for (ids, at) in triangles {
            for k in 0..3 {
                let (i, j) = (ids[(k + 1) % 3], ids[(k + 2) % 3]);
                let (u, v) = (at[(k + 1) % 3] - at[k], at[(k + 2) % 3] - at[k]);
                let cot = u.dot(v) / u.cross(v).abs().max(1e-300);
                edges.push((i.min(j), i.max(j), cot / 2.0));
            }
        }
        // Weights are summed in an order that depends on the nodes only.
        edges.sort_by(|a, b| (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2)));
        let mut near = vec![Vec::new(); nodes];
        for group in edges.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
            let (i, j, _) = group[0];
            if i == j {
                continue;
            }
            let weight: f64 = group.iter().map(|e| e.2).sum();
            let weight = weight.clamp(WEIGHTS.0, WEIGHTS.1);
            near[i as usize].push((j, weight));
            near[j as usize].push((i, weight));
        }
        for list in &mut near {
            list.sort_by_key(|n| n.0);
        }
        Self { near }
    }

    /// The potential of every node: 0 at `start`, 1 at `exit`, and in between at every other node
    /// the weighted mean of its neighbours.
    ///
    /// # Method
    /// Conjugate gradients with the diagonal as preconditioner; then [`Graph::settle_order`].
    /// # What it guarantees
    /// Every node but the start has a neighbour strictly before it, every node but the exit one
    /// strictly after it. So what lies before any level hangs together, and so does what lies after.
    pub fn potential(&self, start: u32, exit: u32) -> Vec<f64> {
        let u = self.solve(start as usize, exit as usize);
        self.settle_order(u, start, exit)
    }

    fn solve(&self, start: usize, exit: usize) -> Vec<f64> {
        let n = self.near.len();
        // Unknowns are all nodes but the two that are held.
        let mut unknown = vec![usize::MAX; n];
        let mut count = 0;
        for (node, slot) in unknown.iter_mut().enumerate() {
            if node != start && node != exit {
                *slot = count;
                count += 1;
            }
        }
        let mut u = vec![0.0; n];
        u[exit] = 1.0;
        if count == 0 {
            return u;
        }
        let mut coo = CooMatrix::new(count, count);
        let mut b = DVector::zeros(count);
        let mut diagonal = DVector::zeros(count);
        for (node, list) in self.near.iter().enumerate() {
            let row = unknown[node];
            if row == usize::MAX {
                continue;
            }
            let sum: f64 = list.iter().map(|e| e.1).sum();
            coo.push(row, row, sum);
            diagonal[row] = sum;
            for &(other, weight) in list {
                let column = unknown[other as usize];
                if column == usize::MAX {
                    b[row] += weight * u[other as usize];
                } else {
                    coo.push(row, column, -weight);
                }
            }
        }
        let matrix = CsrMatrix::from(&coo);
        let x = conjugate_gradients(&matrix, &b, &diagonal);
        for (node, &slot) in unknown.iter().enumerate() {
            if slot != usize::MAX {
                u[node] = x[slot];
            }
        }
        u
    }

    /// Turns a potential known to some digits into a strict order without inner peaks or pits.
    ///
    /// In a dead end the potential is so even that its steps drown in rounding. Nodes joined to
    /// both the start and the exit by paths that rise by more than the noise keep their potential.
    /// The others are put in path by path, each path starting and ending at nodes already placed
    /// and its nodes taking places between those two (an ear decomposition, which a mesh whose
    /// triangles hang together by edges always has). The places are then spread to distinct values.
    fn settle_order(&self, u: Vec<f64>, start: u32, exit: u32) -> Vec<f64> {
        let n = u.len();
        let rising = self.reach(start, |from, to| u[to as usize] > u[from as usize] + NOISE);
        let falling = self.reach(exit, |from, to| u[to as usize] < u[from as usize] - NOISE);
        let mut placed: Vec<bool> = (0..n).map(|i| rising[i] && falling[i]).collect();
        placed[start as usize] = true;
        placed[exit as usize] = true;
        let mut order: Vec<u32> = (0..n as u32).filter(|&i| placed[i as usize]).collect();
        order.sort_by(|&a, &b| {
            let value = |i: u32| {
                if i == start {
                    f64::NEG_INFINITY
                } else if i == exit {
                    f64::INFINITY
                } else {
                    u[i as usize]
                }
            };
            value(a).total_cmp(&value(b)).then(a.cmp(&b))
        });
        if order.len() < n {
            self.insert_ears(&mut order, &mut placed);
        }
        let mut values = vec![0.0; n];
        // A step between neighbours in the order that is large against rounding, small against 1.
        let step = 1e-3 / n as f64;
        let mut last = f64::NEG_INFINITY;
        for (rank, &node) in order.iter().enumerate() {
            let own = if node == exit {
                1.0
            } else {
                u[node as usize].clamp(0.0, 1.0)
            };
            let value = if rank == 0 { 0.0 } else { own.max(last + step) };
            values[node as usize] = value;
            last = value;
        }
        let top = last.max(f64::MIN_POSITIVE);
        for v in &mut values {
            *v /= top;
        }
        values
    }

    /// Nodes reached from `from` over edges that `goes` allows.
    fn reach(&self, from: u32, goes: impl Fn(u32, u32) -> bool) -> Vec<bool> {
        let mut seen = vec![false; self.near.len()];
        seen[from as usize] = true;
        let mut queue = vec![from];
        while let Some(node) = queue.pop() {
            for &(other, _) in &self.near[node as usize] {
                if !seen[other as usize] && goes(node, other) {
                    seen[other as usize] = true;
                    queue.push(other);
                }
            }
        }
        seen
    }

    /// Puts the nodes not yet placed into `order`, path by path.
    fn insert_ears(&self, order: &mut Vec<u32>, placed: &mut [bool]) {
        let n = self.near.len();
        let mut rank = vec![usize::MAX; n];
        for (r, &node) in order.iter().enumerate() {
            rank[node as usize] = r;
        }
        let mut from = vec![u32::MAX; n];
        // Each round places at least one node, so there are at most n rounds.
        for _ in 0..n {
            // The earliest placed node with a neighbour that is not.
            let door = order.iter().copied().find_map(|a| {
                let near = &self.near[a as usize];
                let free = near.iter().find(|e| !placed[e.0 as usize])?;
                Some((a, free.0))
            });
            let Some((a, first)) = door else { return };
            // Shortest path from there through free nodes to another placed one.
            let mut seen = vec![first];
            from[first as usize] = a;
            let mut end = None;
            let mut next = 0;
            while next < seen.len() && end.is_none() {
                let node = seen[next];
                next += 1;
                for &(other, _) in &self.near[node as usize] {
                    if placed[other as usize] {
                        if other != a {
                            end = Some((node, other));
                            break;
                        }
                    } else if from[other as usize] == u32::MAX {
                        from[other as usize] = node;
                        seen.push(other);
                    }
                }
            }
            let mut path = Vec::new();
            let (last, b) = match end {
                Some(found) => found,
                // Hangs by one node only: a mesh of triangles joined by edges has no such part.
                // Placed right after that node, so that at least what is poured hangs together.
                None => (first, a),
            };
            let mut node = last;
            while node != a {
                path.push(node);
                node = from[node as usize];
            }
            for &node in &seen {
                from[node as usize] = u32::MAX;
            }
            // `path` runs from b to a; in the order it must rise from the earlier to the later.
            let (ra, rb) = (rank[a as usize], rank[b as usize]);
            if ra <= rb {
                path.reverse();
            }
            let at = ra.min(rb) + 1;
            for &node in &path {
                placed[node as usize] = true;
            }
            order.splice(at..at, path);
            for (r, &node) in order.iter().enumerate().skip(at) {
                rank[node as usize] = r;
            }
        }
    }
}

fn conjugate_gradients(
    matrix: &CsrMatrix<f64>,
    b: &DVector<f64>,
    diagonal: &DVector<f64>,
) -> DVector<f64> {
    let n = b.len();
    let mut x = DVector::zeros(n);
    let mut r = b.clone();
    let mut z = r.component_div(diagonal);
    let mut p = z.clone();
    let mut rz = r.dot(&z);
    let goal = rz.sqrt() * RESIDUAL;
    // In exact arithmetic n steps suffice; rounding needs a few more. What is left over then only
    // makes the order less even, never wrong: the order is settled afterwards.
    for _ in 0..(2 * n + 100) {
        if rz.is_nan() || rz.sqrt() <= goal {
            break;
        }
        let q = matrix * &p;
        let step = rz / p.dot(&q);
        if !step.is_finite() {
            break;
        }
        x.axpy(step, &p, 1.0);
        r.axpy(-step, &q, 1.0);
        z = r.component_div(diagonal);
        let next = r.dot(&z);
        p *= next / rz;
        p += &z;
        rz = next;
    }
    x
}
