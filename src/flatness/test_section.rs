//! The F-numbers of one test section, with how its lines keep the layout rules.

use super::fnumber::{Constants, FNumber, LineF, SampleLine, ceilings, combine, line};
use super::layout::{LayoutRule, SectionLayout, layout_rules};

/// A test section's results.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionF {
    /// The constants used.
    pub constants: Constants,
    /// Each line.
    pub lines: Vec<LineF>,
    /// Flatness of the section: lines combined by their counts of curvatures.
    pub ff: FNumber,
    /// Levelness of the section: lines combined by their counts of ten-interval differences.
    pub fl: FNumber,
    /// Each layout rule: held, broken or not to be told.
    pub rules: Vec<LayoutRule>,
    /// Highest FF and FL that a perfect floor could show at the reading step, if the step is known.
    pub ceiling: Option<(f64, f64)>,
    /// That reading step, metres, if it is known.
    pub step_m: Option<f64>,
    /// Warnings in a sentence each.
    pub warnings: Vec<String>,
}

/// The F-numbers of one test section.
///
/// # Edge cases
/// Lines that break a layout rule are still computed; the broken rule is listed beside the number.
pub fn section(
    lines: &[SampleLine],
    layout: &SectionLayout,
    constants: Constants,
    step_m: Option<f64>,
) -> SectionF {
    let results: Vec<LineF> = lines.iter().map(|l| line(l, constants)).collect();
    let ff = combine(results.iter().map(|l| (l.q.values_m.len() as f64, l.q.f)));
    let fl = combine(results.iter().map(|l| (l.z.values_m.len() as f64, l.z.f)));
    let ceiling = step_m.filter(|s| *s > 0.0).map(|s| ceilings(s, constants));
    let mut warnings = Vec::new();
    if let Some((top, _)) = ceiling {
        let near = match ff {
            FNumber::Value(v) => v > 0.6 * top,
            FNumber::Unbounded => true,
            FNumber::TooFew | FNumber::OtherInterval => false,
        };
        if near {
            warnings.push(format!(
                "The reading step caps FF near {top:.0}, so the FF found tells about the step as much as about the floor; read to a finer step."
            ));
        }
    }
    if ff == FNumber::Unbounded {
        warnings.push(
            "No curvature found on any line: the floor is straight to the reading step, and FF has no upper end.".to_owned(),
        );
    }
    if fl == FNumber::Unbounded {
        warnings.push(
            "No ten-interval height difference on any line: level to the reading step, and FL has no upper end.".to_owned(),
        );
    }
    SectionF {
        constants,
        rules: layout_rules(lines, &results, layout),
        lines: results,
        ff,
        fl,
        ceiling,
        step_m,
        warnings,
    }
}
