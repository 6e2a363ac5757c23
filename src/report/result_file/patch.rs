//! The patch plan: what to fill and what to grind, and what that proves.

use serde::Serialize;

use super::fill::exact;
use super::flat::Chance;
use super::quantity::{Exact, Litres, Mm, Place, SquareMetres, outlines};
use crate::analysis::Analysis;
use crate::flatness;
use crate::geometry::Ring;
use crate::patch::{PatchPlan, PatchSpot};

/// The least material that brings the floor within its limits.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
pub struct Patch {
    /// All material.
    fill_volume_l: Litres,
    /// Everything ground off.
    grind_volume_l: Litres,
    /// Bags with waste, not rounded; null without a yield.
    bags: Option<Exact>,
    /// Greatest height added.
    deepest_mm: Mm,
    /// Material less than the full pour; null where none was worked out.
    saved_l: Option<Litres>,
    /// Height added less than the full pour's deepest.
    saved_height_mm: Option<Mm>,
    /// The limits that were aimed at, before and after.
    checks: Vec<Limit>,
    /// The step that the depth at every mark is a whole number of; null where no plan in steps was found.
    step_mm: Option<Mm>,
    /// What is laid at each mark that does not stay as it is, in walking order.
    marks: Vec<WorkedMark>,
    /// Patches, largest volume first.
    patches: Vec<PatchedSpot>,
    /// Spots to grind, largest volume first.
    grinds: Vec<PatchedSpot>,
}

/// A mark that is filled or ground.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct WorkedMark {
    /// Its name.
    label: String,
    /// Where it is.
    at: Place,
    /// What is laid there; negative where so much is ground off.
    work_mm: Mm,
}

/// A limit and what the search found before and after.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct Limit {
    /// What it limits.
    departure: Departure,
    /// Longest edge.
    span_mm: Mm,
    /// The most that is allowed.
    allowance_mm: Mm,
    /// Found on the floor as it is.
    before_mm: Mm,
    /// Proven on the patched floor: nothing exceeds this.
    after_bound_mm: Mm,
    /// The chance that the floor, not only the surface through its readings, keeps it then; null where none was worked out.
    chance: Option<Chance>,
}

/// Dip or hump.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
enum Departure {
    /// Floor under the edge.
    Dip,
    /// Floor that lifts it.
    Hump,
}

/// One patch, or one spot to grind.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
struct PatchedSpot {
    /// Its outer lines.
    outlines: Vec<Vec<Place>>,
    /// Floor left alone inside it.
    islands: Vec<Vec<Place>>,
    /// Inside the outlines less the islands.
    area_m2: SquareMetres,
    /// Material laid or ground there.
    volume_l: Litres,
    /// Greatest depth.
    deepest_mm: Mm,
    /// Where that is.
    deepest_at: Place,
    /// Bags for it alone, not rounded; null without a yield.
    bags: Option<Exact>,
}

fn lines(rings: &[Ring]) -> Vec<Vec<Place>> {
    outlines(rings.iter().map(Ring::points))
}

impl From<&PatchSpot> for PatchedSpot {
    fn from(s: &PatchSpot) -> Self {
        Self {
            outlines: lines(&s.outlines),
            islands: lines(&s.islands),
            area_m2: SquareMetres::of_m2(s.area_m2),
            volume_l: Litres::of_m3(s.volume_m3),
            deepest_mm: Mm::of_m(s.deepest_m),
            deepest_at: s.deepest_at.into(),
            bags: exact(s.bags),
        }
    }
}

impl Patch {
    pub(super) fn of(a: &Analysis, p: &PatchPlan) -> Self {
        let marks = a.patch_marks().into_iter();
        Self {
            step_mm: p.step_m.map(Mm::of_m),
            marks: marks
                .map(|m| WorkedMark {
                    label: m.label,
                    at: m.at.into(),
                    work_mm: Mm::of_m(m.depth_m),
                })
                .collect(),
            fill_volume_l: Litres::of_m3(p.fill_volume_m3),
            grind_volume_l: Litres::of_m3(p.grind_volume_m3),
            bags: exact(p.bags),
            deepest_mm: Mm::of_m(p.deepest_m),
            saved_l: p.saved_m3.map(Litres::of_m3),
            saved_height_mm: p.saved_height_m.map(Mm::of_m),
            checks: p
                .checks
                .iter()
                .map(|c| Limit {
                    departure: match c.limit.departure {
                        flatness::Departure::Dip => Departure::Dip,
                        flatness::Departure::Hump => Departure::Hump,
                    },
                    span_mm: Mm::of_m(c.limit.span_m),
                    allowance_mm: Mm::of_m(c.limit.allowance_m),
                    before_mm: Mm::of_m(c.before.gap_m()),
                    // Both are rounded, and the one is never over the other.
                    after_bound_mm: Mm::of_m(c.after.bound_m.min(c.limit.allowance_m)),
                    chance: c.chance.map(Chance::from),
                })
                .collect(),
            patches: p.patches.iter().map(PatchedSpot::from).collect(),
            grinds: p.grinds.iter().map(PatchedSpot::from).collect(),
        }
    }
}
