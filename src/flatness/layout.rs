//! Layout rules of ASTM E1155: where sample lines must lie for an F-number to count.

use super::fnumber::{LineF, SampleLine, is_standard};
use crate::geometry::{Point, Region, Segment};
use crate::units::{FOOT_M, Pen};

/// What is known of a test section's place.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SectionLayout {
    /// Its area, square metres.
    pub area_m2: Option<f64>,
    /// Its outline with block-outs and penetrations as voids.
    pub region: Option<Region>,
    /// Joints within it.
    pub joints: Vec<Segment>,
    /// How many ten-interval differences are asked for.
    pub n_min: NMinRule,
    /// Units of what is told.
    pub pen: Pen,
}

/// How the least number of ten-interval differences is told. The standard's own text could not be
/// read, so the rule used is printed beside the counts.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum NMinRule {
    /// `2 sqrt(A)` up to 1,600 sq ft and `A / 30` above, A in square feet (from memory).
    #[default]
    SquareFeet,
    /// `2 sqrt(A)`, A in square metres, as a published worked sheet to E1155M prints it.
    SquareMetres,
    /// A count stated by the user.
    Stated(u32),
}

impl NMinRule {
    /// The least count for an area, rounded up.
    pub fn count(self, area_m2: f64) -> u32 {
        let n = match self {
            Self::SquareFeet => {
                let a = area_m2 / (FOOT_M * FOOT_M);
                if a <= 1600.0 {
                    2.0 * a.sqrt()
                } else {
                    a / 30.0
                }
            }
            Self::SquareMetres => 2.0 * area_m2.sqrt(),
            Self::Stated(n) => f64::from(n),
        };
        n.ceil() as u32
    }

    fn words(self) -> &'static str {
        match self {
            Self::SquareFeet => "2 sqrt(A) up to 1,600 sq ft, A/30 above, A in sq ft, from memory",
            Self::SquareMetres => "2 sqrt(A), A in m2, as a published worked sheet prints it",
            Self::Stated(_) => "count stated by the user",
        }
    }
}

/// One layout rule and how the lines meet it.
#[derive(Debug, Clone, PartialEq)]
pub struct LayoutRule {
    /// What it asks.
    pub rule: String,
    /// Clause, and how sure it is.
    pub source: String,
    /// What was found.
    pub found: String,
    /// Whether it is kept; `None` when what was given does not tell.
    pub kept: Option<bool>,
}

const EDGE_M: f64 = 2.0 * FOOT_M;
const APART_M: f64 = 4.0 * FOOT_M;
const NARROW_M: f64 = 25.0 * FOOT_M;

/// Every layout rule, in the order of the standard.
pub(super) fn layout_rules(
    lines: &[SampleLine],
    results: &[LineF],
    layout: &SectionLayout,
) -> Vec<LayoutRule> {
    let placed: Option<Vec<(Point, Point)>> =
        lines.iter().map(|l| Some((l.start?, l.end?))).collect();
    let rule = |rule: &str, source: &str, found: String, kept: Option<bool>| LayoutRule {
        rule: rule.to_owned(),
        source: source.to_owned(),
        found,
        kept,
    };
    let no_place = || "the lines' places were not given".to_owned();
    let mut out = Vec::new();
    let odd: Vec<&str> = lines
        .iter()
        .filter(|l| !is_standard(l.interval_m))
        .map(|l| l.name.as_str())
        .collect();
    out.push(rule(
        "readings every 12 in (300 mm)",
        "E1155 8.3.1",
        if odd.is_empty() {
            "all lines".to_owned()
        } else {
            format!("not on {}", odd.join(", "))
        },
        Some(odd.is_empty() && !lines.is_empty()),
    ));
    let short: Vec<String> = lines
        .iter()
        .filter(|l| l.elevations_m.len() < 12)
        .map(|l| format!("{} has {} readings", l.name, l.elevations_m.len()))
        .collect();
    out.push(rule(
        "each line at least 11 ft (3.3 m) long: 12 readings",
        "E1155 7.3.1",
        if short.is_empty() {
            "all lines".to_owned()
        } else {
            short.join(", ")
        },
        Some(short.is_empty() && !lines.is_empty()),
    ));
    let clearance = placed.as_ref().zip(layout.region.as_ref()).map(|(p, r)| {
        p.iter()
            .map(|&(a, b)| clearance(a, b, r, &layout.joints))
            .fold(f64::INFINITY, f64::min)
    });
    out.push(rule(
        "no part of a line within 2 ft (0.6 m) of an edge, joint, block-out or penetration",
        "E1155 7.3.2; waived when the strip left out exceeds a quarter of the section (from memory)",
        clearance.map_or_else(
            || "the lines' places or the outline were not given".to_owned(),
            |c| format!("nearest {}", layout.pen.span(c)),
        ),
        clearance.map(|c| c >= EDGE_M - 0.015),
    ));
    let apart = placed.as_ref().map(|p| parallel_spacing(p));
    out.push(rule(
        "parallel lines at least 4 ft (1.2 m) apart",
        "E1155 7.3.3",
        apart.map_or_else(no_place, |a| {
            a.map_or_else(
                || "no two lines are parallel".to_owned(),
                |a| format!("nearest {}", layout.pen.span(a)),
            )
        }),
        apart.map(|a| a.is_none_or(|a| a >= APART_M - 0.02)),
    ));
    out.push(direction_rule(placed.as_deref(), layout));
    let taken: usize = results.iter().map(|l| l.z.values_m.len()).sum();
    let needed = layout.area_m2.map(|a| layout.n_min.count(a));
    out.push(rule(
        "enough ten-interval differences for the section's area",
        &format!("E1155 7.6; {}", layout.n_min.words()),
        needed.map_or_else(
            || format!("{taken} taken; the area was not given"),
            |n| format!("{taken} taken, {n} required"),
        ),
        needed.map(|n| taken as u64 >= u64::from(n)),
    ));
    out
}

/// Least distance from a segment to the sides of a region and to joints; 0 where it crosses one.
fn clearance(a: Point, b: Point, region: &Region, joints: &[Segment]) -> f64 {
    let to_segment = |p: Point, a: Point, b: Point| {
        let d = b - a;
        let t = ((p - a).dot(d) / d.dot(d).max(1e-30)).clamp(0.0, 1.0);
        p.distance(a.lerp(b, t))
    };
    region
        .sides()
        .chain(joints.iter().map(|j| (j.a, j.b)))
        .map(|(p, q)| {
            let (d, e) = (b - a, q - p);
            let side = |o: Point, v: Point, p: Point| v.cross(p - o);
            let crosses =
                side(a, d, p) * side(a, d, q) < 0.0 && side(p, e, a) * side(p, e, b) < 0.0;
            if crosses {
                0.0
            } else {
                to_segment(a, p, q)
                    .min(to_segment(b, p, q))
                    .min(to_segment(p, a, b))
                    .min(to_segment(q, a, b))
            }
        })
        .fold(f64::INFINITY, f64::min)
}

/// Least distance between two parallel lines that pass each other; `None` without such a pair.
fn parallel_spacing(lines: &[(Point, Point)]) -> Option<f64> {
    let mut least: Option<f64> = None;
    for (i, &(a, b)) in lines.iter().enumerate() {
        let d = b - a;
        let n = d.norm().max(1e-30);
        for &(p, q) in &lines[i + 1..] {
            let e = q - p;
            // Two degrees apart still counts as parallel.
            if (d.cross(e) / (n * e.norm().max(1e-30))).abs() > 0.035 {
                continue;
            }
            let along = |x: Point| (x - a).dot(d) / n;
            let (lo, hi) = (along(p).min(along(q)), along(p).max(along(q)));
            if hi > 0.0 && lo < n {
                let gap = (d.cross(p - a) / n).abs();
                least = Some(least.map_or(gap, |l| l.min(gap)));
            }
        }
    }
    least
}

/// Lines both along and across the longest side in equal length, or at 45 degrees on a narrow section.
fn direction_rule(placed: Option<&[(Point, Point)]>, layout: &SectionLayout) -> LayoutRule {
    let mut out = LayoutRule {
        rule: "lines along and across the longest side, equal total length; at 45 degrees where the section is narrower than 25 ft (7.5 m)".to_owned(),
        source: "E1155 8.2.3; the narrow case as published in a worked sheet, the rest from memory".to_owned(),
        found: "the lines' places or the outline were not given".to_owned(),
        kept: None,
    };
    let (Some(placed), Some(region)) = (placed, layout.region.as_ref()) else {
        return out;
    };
    let Some(long) = region
        .outline
        .sides()
        .map(|(a, b)| b - a)
        .reduce(|a, b| if b.norm() > a.norm() { b } else { a })
    else {
        return out;
    };
    let u = long * (1.0 / long.norm().max(1e-30));
    let across = |p: &Point| u.cross(*p);
    let points = region.outline.points();
    let lo = points.iter().map(across).fold(f64::INFINITY, f64::min);
    let hi = points.iter().map(across).fold(f64::NEG_INFINITY, f64::max);
    let (mut along, mut square, mut slant, mut other) = (0.0, 0.0, 0.0, 0.0);
    for &(a, b) in placed {
        let d = b - a;
        let angle = (u.cross(d)).abs().atan2(u.dot(d).abs()).to_degrees();
        let total = if angle <= 3.0 {
            &mut along
        } else if angle >= 87.0 {
            &mut square
        } else if (angle - 45.0).abs() <= 3.0 {
            &mut slant
        } else {
            &mut other
        };
        *total += d.norm();
    }
    out.found = format!(
        "section {} wide; {} along, {} across, {} at 45 degrees, {} otherwise",
        layout.pen.span(hi - lo),
        layout.pen.span(along),
        layout.pen.span(square),
        layout.pen.span(slant),
        layout.pen.span(other)
    );
    out.kept = Some(if hi - lo < NARROW_M {
        slant > 0.0 && along + square + other <= 0.0
    } else {
        other + slant <= 0.0 && (along - square).abs() <= 0.05 * (along + square)
    });
    out
}
