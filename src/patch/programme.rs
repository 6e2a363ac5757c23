//! The linear programme: least material under the chord limits found so far.

use super::chord::{Chord, Follows};
use clarabel::algebra::CscMatrix;
use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus};

/// Depths are solved in millimetres: the solver's own tolerances are meant for numbers near one.
const SCALE: f64 = 1000.0;

/// A limit on one chord: chord minus floor between these, metres.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub chord: Chord,
    /// Side of the limit: 1 keeps chord minus floor below `most_m` (dip), -1 keeps floor minus chord below it (hump).
    pub sign: f64,
    pub most_m: f64,
    /// What chord minus floor is beside what the heights at its vertices make it, metres: of floor whose height does not come from
    /// marks alone.
    pub offset_m: f64,
}

impl Row {
    /// What the chord shows against its limit with these heights, metres.
    pub fn shows(&self, heights: &[f64]) -> f64 {
        self.sign * (self.chord.gap(heights) + self.offset_m)
    }

    /// A chord on a floor with these heights as one over marks that its vertices follow; `finished` are the marks' own.
    pub fn over_marks(self, heights: &[f64], follows: &Follows, finished: &[f64]) -> Self {
        let chord = self.chord.at(follows);
        let offset_m = self.offset_m + self.chord.gap(heights) - chord.gap(finished);
        Self {
            chord,
            offset_m,
            ..self
        }
    }
}

/// What stays the same from round to round.
#[derive(Debug)]
pub(super) struct Programme<'a> {
    /// Heights of the floor as it is.
    pub z: &'a [f64],
    /// Plan area that each vertex stands for.
    pub areas: &'a [f64],
    pub max_fill_m: Option<f64>,
    pub max_grind_m: f64,
    pub grind_weight: f64,
}

/// How a solve ended without depths.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Stopped {
    Infeasible,
    Unsolved(String),
}

/// Depths below this are the solver's own noise, metres.
const NOISE_M: f64 = 1e-7;

impl Programme<'_> {
    /// The least material that keeps every row: what is laid at every vertex, or ground off where it is negative, metres.
    pub fn solve(&self, rows: &[Row]) -> Result<Vec<f64>, Stopped> {
        let unknowns = self.unknowns(rows);
        let (a, b) = self.limits(rows, &unknowns).finish();
        let x = least(&self.cost(&unknowns), &a, &b)?;
        let mut work = vec![0.0; self.z.len()];
        let clean = |x: f64, most: f64| (x / SCALE).clamp(0.0, most);
        for (i, &v) in unknowns.vertices.iter().enumerate() {
            let laid = clean(x[i], self.max_fill_m.unwrap_or(f64::INFINITY));
            let ground = if self.grinds() {
                clean(x[unknowns.count() + i], self.max_grind_m)
            } else {
                0.0
            };
            // Nothing is laid where floor is ground.
            let net = laid - ground;
            work[v as usize] = if net.abs() < NOISE_M { 0.0 } else { net };
        }
        Ok(work)
    }

    /// Heights after the work.
    pub fn finished(&self, work: &[f64]) -> Vec<f64> {
        self.z.iter().zip(work).map(|(z, w)| z + w).collect()
    }

    /// Whether a row leans on each vertex.
    fn leant_on(&self, rows: &[Row]) -> Vec<bool> {
        let mut is_used = vec![false; self.z.len()];
        for &(v, _) in rows.iter().flat_map(|r| &r.chord.terms) {
            is_used[v as usize] = true;
        }
        is_used
    }

    fn grinds(&self) -> bool {
        self.max_grind_m > 0.0
    }

    /// What is solved for: depths at the marks that a row leans on.
    fn unknowns(&self, rows: &[Row]) -> Unknowns {
        let is_used = self.leant_on(rows);
        let used: Vec<u32> = (0..self.z.len() as u32)
            .filter(|&v| is_used[v as usize])
            .collect();
        let mut column_of = vec![usize::MAX; self.z.len()];
        for (i, &v) in used.iter().enumerate() {
            column_of[v as usize] = i;
        }
        Unknowns {
            columns: if self.grinds() {
                2 * used.len()
            } else {
                used.len()
            },
            vertices: used,
            column_of,
        }
    }

    /// The rows, and what bounds the depths by themselves.
    fn limits(&self, rows: &[Row], unknowns: &Unknowns) -> Matrix {
        let (n, columns) = (unknowns.count(), unknowns.columns);
        let column_of = &unknowns.column_of;
        let mut m = Matrix::new(columns);
        for i in 0..columns {
            m.row(&[(i, -1.0)], 0.0);
        }
        if let Some(most) = self.max_fill_m {
            for i in 0..n {
                m.row(&[(i, 1.0)], most * SCALE);
            }
        }
        // Columns of grinding; none where nothing is ground.
        for i in n..columns {
            m.row(&[(i, 1.0)], self.max_grind_m * SCALE);
        }
        let mut terms = Vec::new();
        for row in rows {
            terms.clear();
            for &(v, w) in &row.chord.terms {
                terms.push((column_of[v as usize], row.sign * w));
                if self.grinds() {
                    terms.push((n + column_of[v as usize], -row.sign * w));
                }
            }
            m.row(&terms, (row.most_m - row.shows(self.z)) * SCALE);
        }
        m
    }

    /// What a unit of each unknown costs, as a share of the dearest.
    fn cost(&self, unknowns: &Unknowns) -> Vec<f64> {
        let n = unknowns.count();
        let cost: Vec<f64> = (0..unknowns.columns)
            .map(|i| {
                let area = self.areas[unknowns.vertices[i % n.max(1)] as usize];
                if i < n {
                    area
                } else {
                    area * self.grind_weight
                }
            })
            .collect();
        let most = cost.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        cost.iter().map(|c| c / most).collect()
    }
}

/// The columns of a programme: a depth laid at each of these vertices, then, where floor may be ground, a depth ground.
struct Unknowns {
    vertices: Vec<u32>,
    /// Place of a vertex among them.
    column_of: Vec<usize>,
    columns: usize,
}

impl Unknowns {
    /// How many vertices.
    fn count(&self) -> usize {
        self.vertices.len()
    }
}

/// The `x` of least cost with `A x <= b`.
fn least(cost: &[f64], a: &CscMatrix<f64>, b: &[f64]) -> Result<Vec<f64>, Stopped> {
    let settings = DefaultSettings::<f64> {
        verbose: false,
        max_threads: 1,
        ..DefaultSettings::default()
    };
    let quadratic = CscMatrix::<f64>::zeros((cost.len(), cost.len()));
    let cones = [NonnegativeConeT(b.len())];
    let mut solver = DefaultSolver::new(&quadratic, cost, a, b, &cones, settings)
        .map_err(|e| Stopped::Unsolved(e.to_string()))?;
    solver.solve();
    match solver.solution.status {
        SolverStatus::Solved | SolverStatus::AlmostSolved => Ok(solver.solution.x),
        SolverStatus::PrimalInfeasible | SolverStatus::AlmostPrimalInfeasible => {
            Err(Stopped::Infeasible)
        }
        other => Err(Stopped::Unsolved(other.to_string())),
    }
}

/// Rows of `A x <= b`, gathered by column.
struct Matrix {
    columns: Vec<Vec<(usize, f64)>>,
    bounds: Vec<f64>,
}

impl Matrix {
    fn new(columns: usize) -> Self {
        Self {
            columns: vec![Vec::new(); columns],
            bounds: Vec::new(),
        }
    }

    fn row(&mut self, terms: &[(usize, f64)], bound: f64) {
        for &(column, w) in terms {
            self.columns[column].push((self.bounds.len(), w));
        }
        self.bounds.push(bound);
    }

    fn finish(self) -> (CscMatrix<f64>, Vec<f64>) {
        let mut starts = vec![0];
        let (mut rows, mut values) = (Vec::new(), Vec::new());
        for column in &self.columns {
            for &(row, w) in column {
                rows.push(row);
                values.push(w);
            }
            starts.push(rows.len());
        }
        let a = CscMatrix::new(self.bounds.len(), self.columns.len(), starts, rows, values);
        (a, self.bounds)
    }
}
