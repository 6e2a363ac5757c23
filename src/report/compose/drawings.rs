//! The drawings of an analysis.

use super::departures::{Departures, longest_checked};
use super::facts;
use super::pages::{marks_cut, marks_shown, over_pages, upright};
use super::places::{Numbered, numbered};
use super::plots::{limits, profile};
use super::wanted::{Sheet, Wanted};
use crate::analysis::Analysis;
use crate::drawing::{
    self, BandScale, CoverageMapInput, DepthMapInput, FlatnessMapInput, MarkUnit, PatchMapInput,
    PourMapInput, Role, Scene, SheetStyle, SpanCurveInput, Subject, TitleBlock,
};
use crate::flatness::{self, Departure, Ground, Reach, SpanPoint};
use crate::geometry::Point;
use crate::report::crew::SheetDrawing;
use crate::report::{Paper, Pen, ReportError, crew, words};
use crate::survey::Laid;

/// Size of the span curve on paper, millimetres.
const CURVE_MM: (f64, f64) = (180.0, 105.0);

/// Every drawing, made once.
pub struct Drawn {
    /// Depth to the finish, where one was asked for.
    pub depth: Option<Scene>,
    /// The depth map again over several pages, where one leaves too little room for its numbers: index first.
    pub depth_parts: Vec<SheetDrawing>,
    /// Depth below the high point.
    pub height: Option<Scene>,
    /// Worst placements over the dip map, where flatness was worked out.
    pub flatness: Option<Scene>,
    /// Worst humps over the hump map, where flatness was worked out.
    pub humps: Option<Scene>,
    /// Which floor the readings can judge at the longest span checked.
    pub coverage: Option<Scene>,
    /// The same over several pages, where marks stand too close on one.
    pub flatness_parts: Vec<SheetDrawing>,
    /// The submittal's key plan, upright among its upright pages.
    pub key_plan: Option<Scene>,
    /// Dip and hump against span.
    pub curve: Option<Scene>,
    /// Batches.
    pub pour: Option<Scene>,
    /// The same over several pages, where one has no room for every batch's number.
    pub pour_parts: Vec<SheetDrawing>,
    /// Patches and spots to grind, where there are any.
    pub patch: Option<Scene>,
    /// The numbered placements with their profiles.
    pub places: Vec<(Numbered, Option<Scene>)>,
}

impl Drawn {
    /// Draws what the wanted files take, as far as the analysis holds it.
    pub fn new(a: &Analysis, paper: Paper, wanted: &Wanted) -> Result<Self, ReportError> {
        let pen = Pen::new(a.settings.habit);
        let unit = MarkUnit::usual(a.settings.habit);
        let high = spots(a, true);
        let low = spots(a, false);
        let subject = Subject {
            floor: &a.floor,
            room: a.survey.room.as_ref(),
            readings: &a.survey.readings,
            high: &high,
            low: &low,
        };
        let style = |title: &str, facts: Vec<(String, String)>| SheetStyle {
            poster_mm: None,
            upright: false,
            paper,
            habit: a.settings.habit,
            block: TitleBlock {
                title: titled(title, a),
                facts: job_facts(a).into_iter().chain(facts).collect(),
                notes: notes(a),
            },
        };
        let pages = marks_cut(a, paper);
        let on_depth = wanted.any(&[Sheet::DepthMap, Sheet::MarkOut]);
        let depth_input = a
            .filling
            .as_ref()
            .filter(|_| on_depth)
            .map(|f| DepthMapInput {
                subject,
                plane: f.fill.plane,
                unit,
                bands: None,
                style: style(
                    words::plan::DEPTH,
                    vec![
                        (
                            words::plan::FINISH.to_owned(),
                            crew::finish_short(pen, &f.fill),
                        ),
                        (
                            words::plan::VOLUME.to_owned(),
                            words::with_on(&pen.volume(f.fill.volume_m3), &facts::filled_on(a)),
                        ),
                    ],
                ),
            });
        let depth = depth_input.as_ref().map(drawing::depth_map).transpose()?;
        let depth_parts = match (&depth_input, &depth) {
            (Some(input), Some(scene)) if wanted.has(Sheet::MarkOut) && !marks_shown(a, scene) => {
                over_pages(pages, &input.style, &|style| {
                    drawing::depth_map(&DepthMapInput {
                        style,
                        ..input.clone()
                    })
                })?
            }
            _ => Vec::new(),
        };
        let height_input = DepthMapInput {
            subject,
            plane: crate::fill::Plane::level(a.levels.high.elevation_m),
            unit,
            bands: None,
            style: style(
                words::plan::HEIGHT,
                vec![(
                    words::plan::OVERALL.to_owned(),
                    pen.depth(a.levels.overall_m),
                )],
            ),
        };
        let height = if wanted.has(Sheet::HeightMap) {
            Some(drawing::height_map(&height_input)?)
        } else {
            None
        };
        let numbered = numbered(a.flatness.as_ref().map_or(&[], |f| &f.checks));
        let on_flatness = wanted.any(&[Sheet::FlatnessMap, Sheet::Flatness, Sheet::Submittal]);
        let over = match &a.flatness {
            Some(_) if on_flatness => Some(Departures::of(a, &numbered, Departure::Dip)),
            _ => None,
        };
        let edges = |style: SheetStyle, over: &Departures| {
            drawing::flatness_map(&FlatnessMapInput {
                subject,
                departures_m: over.values_m.as_deref(),
                heading: &over.heading,
                edges: &over.edges,
                unit,
                bands: None,
                style,
            })
        };
        let edge_style = style(
            words::plan::FLATNESS,
            over.as_ref().map_or_else(Vec::new, |o| o.to_read(a)),
        );
        let flatness = over
            .as_ref()
            .map(|over| edges(edge_style.clone(), over))
            .transpose()?;
        let humps = match &a.flatness {
            Some(_) if wanted.has(Sheet::HumpMap) => {
                let humps = Departures::of(a, &numbered, Departure::Hump);
                Some(edges(style(words::plan::HUMPS, humps.to_read(a)), &humps)?)
            }
            _ => None,
        };
        let coverage = match &a.flatness {
            Some(f) if wanted.has(Sheet::CoverageMap) => {
                let pen = Pen::new(a.settings.habit);
                let span_m = longest_checked(f);
                let cover = flatness::coverage::coverage(&a.floor, Ground::Surveyed, span_m);
                let reached: Vec<bool> = cover
                    .triangles
                    .iter()
                    .map(|r| *r == Reach::Resolved)
                    .collect();
                let facts = [
                    (
                        words::plan::JUDGED,
                        pen.of(cover.judged.judged_m2, cover.judged.room_m2),
                    ),
                    (words::plan::READ_EVERY, pen.span(cover.spacing_m)),
                    (
                        words::plan::NEEDED,
                        words::plan::or_closer(&pen.span(cover.needed_m)),
                    ),
                ];
                Some(drawing::coverage_map(&CoverageMapInput {
                    subject,
                    reached: &reached,
                    span: &words::plan::edge(&pen.span(span_m)),
                    style: style(
                        words::plan::COVERAGE,
                        facts.map(|(k, v)| (k.to_owned(), v)).to_vec(),
                    ),
                })?)
            }
            _ => None,
        };
        let flatness_parts = match &over {
            Some(over) if wanted.has(Sheet::Flatness) && pages.is_some() => {
                let drawn;
                let marks = match depth.as_ref().or(height.as_ref()) {
                    Some(scene) => scene,
                    None => {
                        drawn = drawing::height_map(&height_input)?;
                        &drawn
                    }
                };
                if marks_shown(a, marks) {
                    Vec::new()
                } else {
                    over_pages(pages, &edge_style, &|style| edges(style, over))?
                }
            }
            _ => Vec::new(),
        };
        let key_plan = if wanted.has(Sheet::Submittal) {
            Some(match &over {
                Some(over) => upright(&edge_style, &|style| edges(style, over))?,
                None => upright(&height_input.style, &|style| {
                    drawing::height_map(&DepthMapInput {
                        style,
                        ..height_input.clone()
                    })
                })?,
            })
        } else {
            None
        };
        let on_curve = wanted.any(&[Sheet::SpanCurve, Sheet::Submittal]);
        let curve = match &a.flatness {
            Some(f) if on_curve && !f.span_curve.is_empty() => {
                Some(drawing::span_curve(&SpanCurveInput {
                    // The curve has no block of facts: what run it is of stands in its heading.
                    title: &words::plan::curve(&a.settings.run),
                    curve: &f.span_curve,
                    limits: &limits(a),
                    judged_from_m: Some(judged_from(&f.span_curve, a.floor.spacing())),
                    unit,
                    habit: a.settings.habit,
                    size_mm: CURVE_MM,
                })?)
            }
            _ => None,
        };
        let on_pour = wanted.any(&[Sheet::PourMap, Sheet::Pour]);
        let (mut pour, mut pour_parts) = (None, Vec::new());
        if let Some(plan) = &a.pour
            && on_pour
            && !plan.batches.is_empty()
        {
            let batches = |style| {
                drawing::pour_map(&PourMapInput {
                    subject,
                    plan,
                    style,
                })
            };
            let pour_style = style(
                words::plan::POUR,
                vec![
                    (
                        words::plan::BATCHES.to_owned(),
                        plan.batches.len().to_string(),
                    ),
                    (words::plan::BAGS.to_owned(), plan.bags.to_string()),
                ],
            );
            let scene = batches(pour_style.clone())?;
            let numbers = scene.texts().filter(|t| t.role == Role::Number).count();
            if wanted.has(Sheet::Pour) && numbers < plan.batches.len() {
                pour_parts = over_pages(pages, &pour_style, &batches)?;
            }
            pour = Some(scene);
        }
        let on_patch = wanted.any(&[Sheet::PatchMap, Sheet::GrindPatch]);
        let patch = match &a.patch {
            Some(plan) if on_patch && !plan.is_empty() => {
                Some(drawing::patch_map(&PatchMapInput {
                    subject,
                    patches: &plan.patches,
                    grinds: &plan.grinds,
                    unit,
                    style: style(words::plan::PATCH, Vec::new()),
                })?)
            }
            _ => None,
        };
        let on_profiles = wanted.any(&[Sheet::Flatness, Sheet::Submittal, Sheet::Notice]);
        let places = numbered
            .into_iter()
            .map(|n| {
                let scene = if on_profiles {
                    profile(a, &n, unit)?
                } else {
                    None
                };
                Ok((n, scene))
            })
            .collect::<Result<Vec<_>, ReportError>>()?;
        Ok(Self {
            depth,
            depth_parts,
            height,
            flatness,
            humps,
            coverage,
            flatness_parts,
            key_plan,
            curve,
            pour,
            pour_parts,
            patch,
            places,
        })
    }

    /// The maps.
    pub fn maps(&self) -> Vec<(Sheet, &Scene)> {
        [
            (Sheet::DepthMap, self.depth.as_ref()),
            (Sheet::HeightMap, self.height.as_ref()),
            (Sheet::FlatnessMap, self.flatness.as_ref()),
            (Sheet::HumpMap, self.humps.as_ref()),
            (Sheet::CoverageMap, self.coverage.as_ref()),
            (Sheet::SpanCurve, self.curve.as_ref()),
            (Sheet::PourMap, self.pour.as_ref()),
            (Sheet::PatchMap, self.patch.as_ref()),
        ]
        .into_iter()
        .filter_map(|(name, scene)| Some((name, scene?)))
        .collect()
    }
}

/// The shortest span that the readings can judge, metres; beyond all of them where they judge none.
///
/// The curve tells of its own spans only; between two of them it is the one that the floor's spacing asks for.
fn judged_from(curve: &[SpanPoint], spacing_m: f64) -> f64 {
    let enough = |p: &SpanPoint| p.judged.enough(p.span_m);
    let Some(first) = curve.iter().position(enough) else {
        return f64::INFINITY;
    };
    let before = first.checked_sub(1).map_or(0.0, |i| curve[i].span_m);
    (spacing_m / flatness::coverage::RESOLVED_SHARE).clamp(before, curve[first].span_m)
}

/// The high (or low) point with its ties.
fn spots(a: &Analysis, high: bool) -> Vec<Point> {
    let spot = if high { &a.levels.high } else { &a.levels.low };
    let ties = spot.ties.iter().filter_map(|label| {
        a.survey
            .readings
            .iter()
            .find(|r| r.label == label.as_str())
            .map(|r| r.at)
    });
    std::iter::once(spot.at).chain(ties).collect()
}

/// The floor below a stated level, in stated shades: for a before and an after that must compare.
pub fn height_over(
    a: &Analysis,
    paper: Paper,
    top_m: f64,
    bands: &BandScale,
) -> Result<Scene, ReportError> {
    let high = spots(a, true);
    let low = spots(a, false);
    Ok(drawing::level_below_map(&DepthMapInput {
        subject: Subject {
            floor: &a.floor,
            room: a.survey.room.as_ref(),
            readings: &a.survey.readings,
            high: &high,
            low: &low,
        },
        plane: crate::fill::Plane::level(top_m),
        unit: MarkUnit::usual(a.settings.habit),
        bands: Some(bands.clone()),
        style: SheetStyle {
            poster_mm: None,
            upright: false,
            paper,
            habit: a.settings.habit,
            block: TitleBlock {
                title: titled(words::plan::HEIGHT, a),
                facts: job_facts(a),
                notes: notes(a),
            },
        },
    })?)
}

/// What every map says under its key.
fn notes(a: &Analysis) -> Vec<String> {
    a.survey
        .laid
        .and_then(Laid::warning)
        .into_iter()
        .chain([words::plan::BETWEEN])
        .map(str::to_owned)
        .collect()
}

fn job_facts(a: &Analysis) -> Vec<(String, String)> {
    let about = &a.settings.about;
    [
        (words::plan::JOB, &about.title),
        (words::plan::PLACE, &about.place),
        (words::plan::READ_ON, &about.when),
        (words::RUN, &a.settings.run),
    ]
    .into_iter()
    .filter(|(_, v)| !v.is_empty())
    .map(|(k, v)| (k.to_owned(), v.clone()))
    .collect()
}

/// A sheet's title with the room's name, where it has one.
fn titled(title: &str, a: &Analysis) -> String {
    if a.survey.name.is_empty() {
        title.to_owned()
    } else {
        format!("{title}, {}", a.survey.name)
    }
}
