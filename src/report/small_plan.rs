//! The plan beside a verdict, with its key.

use super::crew::SheetDrawing;
use super::words::submittal as w;
use super::{Document, Picture};

/// The plan beside a verdict.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SmallPlan {
    /// The drawing.
    pub drawing: SheetDrawing,
    /// How many millimetres of floor one of the drawing stands for.
    pub ratio: f64,
    /// What its lines and hatchings mean, a sentence each.
    pub key: Vec<String>,
    /// What stands along its lower edge.
    pub bottom: String,
}

impl SmallPlan {
    /// Keeps the drawing in a document and gives its name there.
    pub(super) fn kept(&self, d: &mut Document) -> String {
        d.draw("small-plan.svg", self.drawing.svg.as_bytes())
    }

    /// The kept drawing with its longer side so long, and the key under it.
    pub(super) fn picture(&self, kept: &str, longer_mm: f64) -> Picture {
        let share = longer_mm / self.drawing.width_mm.max(self.drawing.height_mm);
        let mut key = self.key.clone();
        key.push(w::key_scale(&self.bottom, &two_figures(self.ratio / share)));
        Picture {
            drawing: kept.to_owned(),
            alt: w::SMALL_PLAN_ALT.to_owned(),
            caption: key.join(" "),
            width_mm: self.drawing.width_mm * share,
            height_mm: self.drawing.height_mm * share,
        }
    }
}

/// A scale that is only about so much.
fn two_figures(ratio: f64) -> String {
    let step = 10f64.powf(ratio.max(1.0).log10().floor() - 1.0).max(1.0);
    format!("{:.0}", (ratio / step).round() * step)
}
