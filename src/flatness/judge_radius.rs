//! Parts that hold highest minus lowest within a radius to a limit.

use super::check::Part;
use super::coverage::Coverage;
use super::doubt::difference_doubt_m;
use super::judge::Bench;
use super::radius::{SAME_PLACE_M, radius};
use super::verdict::{EQUAL_M, Evidence, Proof, decide, proven_over};
use super::{Measured, Outcome, PartResult, Placement};
use crate::geometry::{Point, PointGrid};
use crate::surface::{Floor, Source};

impl Bench<'_> {
    /// Highest minus lowest within a radius.
    pub(super) fn radius(&mut self, part: &Part, allow: f64) -> PartResult {
        let cover = self.reads.at(part.span_m);
        let w = self.words;
        if cover.coarse_m2 <= 0.0 {
            return self.radius_by_readings(part, allow, &cover);
        }
        let Some(found) = self.radius_on(part.span_m, None) else {
            let outcome = Outcome::NotTested(Some(cover.to_read()));
            return self.result(part, allow, cover.judged, outcome, w.untested(&cover));
        };
        let mut telling = if cover.all_coarse() || !proven_over(&found, allow) {
            Some(found.clone())
        } else {
            self.radius_on(part.span_m, Some(cover.coarse_mask()))
        };
        // Two readings prove it out wherever they stand, on floor that is read too coarsely as well.
        if let Some(pair) = self.pair_apart(part.span_m)
            && proven_over(&pair, allow)
            && telling.as_ref().is_none_or(|t| pair.gap_m > t.gap_m)
        {
            telling = Some(pair);
        }
        let mut larger = None;
        if let Some(told) = &telling
            && let Some(steady) = self.steadier_radius(part.span_m, allow, &cover, told)
        {
            larger = Some(told.gap_m).filter(|m| *m > steady.gap_m);
            telling = Some(steady);
        }
        let suspected = !self.options.suspects.is_empty()
            && telling.as_ref().is_some_and(|t| proven_over(t, allow));
        let mut sound = true;
        let mut slips = Vec::new();
        if suspected {
            let clean = self
                .radius_on(
                    part.span_m,
                    Some(self.without_suspects(cover.coarse_mask())),
                )
                .filter(|c| proven_over(c, allow));
            sound = clean.is_some();
            let told = telling.as_ref().map_or(0.0, |t| t.gap_m);
            if let Some(clean) = clean.filter(|c| c.gap_m < told) {
                larger = Some(told.max(larger.unwrap_or(0.0)));
                slips = self.suspects_among(&[]);
                telling = Some(clean);
            }
        }
        let mut outcome = decide(
            Evidence {
                chance: None,
                most_m: found.bound_m,
                proof: telling.map(|found| Proof { found, sound }),
                hidden: self
                    .shaky
                    .as_ref()
                    .is_some_and(|s| found.bound_m + s.doubt_m > allow + EQUAL_M),
                found,
                enough: cover.enough(),
                to_read: Some(cover.to_read()),
                rounding_m: self.rounding_m,
            },
            allow,
        );
        if let Outcome::Out(found) = &mut outcome {
            found.doubtful_m = larger;
        }
        let told = outcome.measured().map_or_else(String::new, |found| {
            let larger = found.doubtful_m.map_or_else(String::new, |m| w.doubtful(m, &slips));
            format!(
                "Highest minus lowest within {} of any point is {}, proven to {}; {} is allowed, doubt {}.{larger}",
                w.span(part.span_m),
                w.gap_against(found.gap_m, allow),
                w.bound(found.bound_m),
                w.limit(allow),
                w.doubt(found.doubt_m)
            )
        });
        let hanging = outcome.measured().filter(|_| !sound).map(|found| {
            let names = self.suspects_among(&[]);
            w.hanging(&w.gap_against(found.gap_m, allow), &w.limit(allow), &names)
        });
        let reason = self.reason(&outcome, hanging, told, &cover);
        self.result(part, allow, cover.judged, outcome, reason)
    }

    /// Highest minus lowest within a radius on the marked triangles, or on all; `None` where none is marked.
    fn radius_on(&self, span_m: f64, mask: Option<Vec<bool>>) -> Option<Measured> {
        let part = mask.map(|m| part_of_floor(self.floor, &m));
        let floor = match &part {
            None => self.floor,
            Some(part) => part.as_ref()?,
        };
        let r = radius(
            floor,
            span_m,
            self.options.ground,
            self.options.tolerance_m,
            self.options.work_limit,
        );
        Some(Measured {
            gap_m: r.gap_m(),
            bound_m: r.bound_m,
            worst: r.worst,
            places: r.worst.into_iter().collect(),
            // Mostly two readings, each with its full weight.
            doubt_m: r.worst.map_or_else(
                || self.doubt_m(2f64.sqrt()),
                |worst| {
                    difference_doubt_m(
                        self.floor,
                        (worst.from, worst.to),
                        &self.undrawn,
                        &self.options.ties,
                    )
                },
            ),
            ..Measured::default()
        })
    }

    /// What is out within a radius on the floor that is known best, where what was found is known less well: the worst may lie
    /// on floor that is carried out, and hide another that is out beyond question.
    fn steadier_radius(
        &self,
        span_m: f64,
        allow: f64,
        cover: &Coverage,
        told: &Measured,
    ) -> Option<Measured> {
        let shaky = self.shaky.as_ref().filter(|_| told.gap_m > allow)?;
        let steady = cover
            .coarse_mask()
            .iter()
            .zip(&shaky.carried)
            .map(|(usable, carried)| *usable && !carried)
            .collect();
        // Of two that are proven the one that is known better: which of equal ones a search meets first is chance.
        self.radius_on(span_m, Some(steady))
            .filter(|s| s.doubt_m < told.doubt_m && proven_over(s, allow))
    }

    /// A radius that readings stand too far apart for: what lies between them is not known, but two of them within it that differ
    /// by too much prove the floor out.
    fn radius_by_readings(&self, part: &Part, allow: f64, cover: &Coverage) -> PartResult {
        let w = self.words;
        // Between readings the surface may differ by more than any two of them.
        let proof = self.pair_apart(part.span_m).map(|pair| Measured {
            bound_m: self
                .radius_on(part.span_m, None)
                .map_or(pair.bound_m, |whole| whole.bound_m.max(pair.bound_m)),
            ..pair
        });
        let (outcome, reason) = match proof.filter(|p| proven_over(p, allow)) {
            Some(found) => {
                let reason = w.readings_differ(&found, allow, cover);
                (Outcome::Out(found), reason)
            }
            None => (
                Outcome::NotTested(Some(cover.to_read())),
                w.untested_within(cover),
            ),
        };
        self.result(part, allow, cover.judged, outcome, reason)
    }

    /// The two readings within a radius of one place that differ most in height: up to two radii apart.
    fn pair_apart(&self, radius_m: f64) -> Option<Measured> {
        self.farthest_apart(2.0 * radius_m).map(|worst| Measured {
            gap_m: worst.gap_m,
            bound_m: worst.gap_m,
            worst: Some(worst),
            places: vec![worst],
            doubt_m: difference_doubt_m(
                self.floor,
                (worst.from, worst.to),
                &self.undrawn,
                &self.options.ties,
            ),
            ..Measured::default()
        })
    }

    /// The two readings within a distance that differ most in height, slips that are suspected left out.
    fn farthest_apart(&self, within_m: f64) -> Option<Placement> {
        let suspects = self.suspects();
        let marks: Vec<(Point, f64)> = self
            .floor
            .vertices()
            .iter()
            .filter(|v| matches!(v.source, Source::Reading(r) if !suspects.contains(&r)))
            .map(|v| (v.at, v.z))
            .collect();
        let grid = PointGrid::new(marks.iter().map(|m| m.0).collect());
        let reach = Point::new(within_m + SAME_PLACE_M, within_m + SAME_PLACE_M);
        let mut most: Option<Placement> = None;
        for &(at, z) in &marks {
            for j in grid.in_box(at - reach, at + reach) {
                let (other, height) = marks[j as usize];
                let gap_m = z - height;
                if at.distance(other) <= within_m + SAME_PLACE_M
                    && gap_m > most.map_or(0.0, |m| m.gap_m)
                {
                    most = Some(Placement {
                        from: other,
                        to: at,
                        at,
                        gap_m,
                    });
                }
            }
        }
        most
    }
}

/// The triangles that are marked, as a floor of their own; `None` where there are none. Joints are walls in it.
fn part_of_floor(floor: &Floor, mask: &[bool]) -> Option<Floor> {
    let triangles: Vec<[u32; 3]> = floor
        .triangles()
        .iter()
        .zip(mask)
        .filter(|(_, kept)| **kept)
        .map(|(t, _)| *t)
        .collect();
    if triangles.is_empty() {
        return None;
    }
    Floor::from_parts(floor.vertices().to_vec(), triangles, floor.region().clone()).ok()
}
