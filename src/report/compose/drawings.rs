//! The drawings of an analysis.

use super::departures::{MarkedEdges, edge_mark};
use super::facts;
use super::pages::{marks_cut, marks_shown, over_pages, upright};
use super::plots::{limits, profile};
use super::wanted::{Sheet, Wanted};
use super::{on_paper, stand_ins};
use crate::analysis::{Analysis, Covered, Numbered, Unjudged, numbered};
use crate::drawing::{
    self, BandScale, CoverageMapInput, DepthMapInput, EdgeMark, FlatnessMapInput, MarkUnit,
    PatchMapInput, PourMapInput, Role, Scene, SheetStyle, SpanCurveInput, Subject, TitleBlock,
};
use crate::flatness::{Departure, Reach, Verdict};
use crate::geometry::Point;
use crate::pour::Lift;
use crate::report::crew::SheetDrawing;
use crate::report::orientation::Orientation;
use crate::report::submittal::{MOST_PLACES, SmallPlan, is_noticed};
use crate::report::words::submittal as w;
use crate::report::{Cut, Paper, Pen, ReportError, crew, words};
use crate::survey::{Laid, Reading};

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
    /// The plan beside the verdicts of the submittal.
    pub small_plan: Option<SmallPlan>,
    /// The same of the notice, with the places that it lists.
    pub notice_plan: Option<SmallPlan>,
    /// Dip and hump against span.
    pub curve: Option<Scene>,
    /// The batches of each lift.
    pub pour: Vec<PouredLift>,
    /// Patches and spots to grind, where there are any.
    pub patch: Option<Scene>,
    /// The numbered placements with their profiles.
    pub places: Vec<(Numbered, Option<Scene>)>,
}

impl Drawn {
    /// Draws what the wanted files take, as far as the analysis holds it.
    pub fn new(a: &Analysis, paper: Paper, wanted: &Wanted) -> Result<Self, ReportError> {
        let board = Board::new(a, paper, wanted);
        let (depth, depth_parts) = board.depth()?;
        let height_input = board.height_input();
        let height = board.height(&height_input)?;
        let numbered = numbered(
            a.flatness.as_ref().map_or(&[], |f| &f.checks),
            a.survey.room.as_ref(),
        );
        let edges = board.edges(&numbered);
        Ok(Self {
            flatness: edges.as_ref().map(|e| board.flatness(e)).transpose()?,
            flatness_parts: match &edges {
                Some(edges) => board.flatness_parts(
                    edges,
                    depth.as_ref().or(height.as_ref()),
                    &height_input,
                )?,
                None => Vec::new(),
            },
            key_plan: board.key_plan(edges.as_ref(), &height_input)?,
            small_plan: board.small_plan(Sheet::Submittal, &numbered)?,
            notice_plan: board.small_plan(Sheet::Notice, &board.noticed(&numbered))?,
            humps: board.humps(&numbered)?,
            coverage: board.coverage()?,
            curve: board.curve()?,
            patch: board.patch()?,
            places: board.places(numbered)?,
            depth,
            depth_parts,
            height,
            pour: board.pour()?,
        })
    }

    /// The maps.
    pub fn maps(&self) -> Vec<(Sheet, &Scene)> {
        let one_each = [
            (Sheet::DepthMap, self.depth.as_ref()),
            (Sheet::HeightMap, self.height.as_ref()),
            (Sheet::FlatnessMap, self.flatness.as_ref()),
            (Sheet::HumpMap, self.humps.as_ref()),
            (Sheet::CoverageMap, self.coverage.as_ref()),
            (Sheet::SpanCurve, self.curve.as_ref()),
            (Sheet::PatchMap, self.patch.as_ref()),
        ];
        let drawn = one_each.into_iter();
        let lifts = self.pour.iter().map(|l| (Sheet::PourMap, &l.map));
        drawn
            .filter_map(|(name, scene)| Some((name, scene?)))
            .chain(lifts)
            .collect()
    }
}

/// The drawings of one lift's pour.
pub struct PouredLift {
    /// All of it.
    pub map: Scene,
    /// The same over several pages, where one has no room for every batch's number.
    pub parts: Vec<SheetDrawing>,
}

/// The dip map's edges, with the style of the sheet that shows them.
struct Edges {
    over: MarkedEdges,
    style: SheetStyle,
}

/// What all drawings of an analysis share.
struct Board<'a> {
    a: &'a Analysis,
    paper: Paper,
    wanted: &'a Wanted,
    pen: Pen,
    unit: MarkUnit,
    /// Those that stand on the floor.
    readings: Vec<Reading>,
    high: Vec<Point>,
    low: Vec<Point>,
    /// How the plan is cut where its marks stand too close on one page.
    pages: Option<Cut>,
}

impl<'a> Board<'a> {
    fn new(a: &'a Analysis, paper: Paper, wanted: &'a Wanted) -> Self {
        Self {
            a,
            paper,
            wanted,
            pen: Pen::new(a.settings.habit),
            unit: facts::mark_unit(a, None),
            readings: a.readings_on_floor(),
            high: spots(a, true),
            low: spots(a, false),
            pages: marks_cut(a, paper),
        }
    }

    fn subject(&self) -> Subject<'_> {
        Subject {
            floor: &self.a.floor,
            room: self.a.survey.room.as_ref(),
            readings: &self.readings,
            high: &self.high,
            low: &self.low,
        }
    }

    fn style(&self, title: &str, facts: Vec<(String, String)>) -> SheetStyle {
        SheetStyle {
            poster_mm: None,
            upright: false,
            paper: self.paper,
            habit: self.a.settings.habit,
            block: TitleBlock {
                title: titled(title, self.a),
                facts: job_facts(self.a).into_iter().chain(facts).collect(),
                notes: notes(self.a),
            },
        }
    }

    /// The depth map and, where it leaves too little room for its numbers, the same over several pages.
    fn depth(&self) -> Result<(Option<Scene>, Vec<SheetDrawing>), ReportError> {
        let Some(f) = &self.a.filling else {
            return Ok((None, Vec::new()));
        };
        if !self.wanted.any(&[Sheet::DepthMap, Sheet::MarkOut]) {
            return Ok((None, Vec::new()));
        }
        let volume = words::with_on(
            &self.pen.volume(f.fill.volume_m3),
            &facts::filled_on(self.a),
        );
        let facts = vec![
            (
                words::plan::FINISH.to_owned(),
                crew::finish_short(self.pen, &f.fill),
            ),
            (words::plan::VOLUME.to_owned(), volume),
        ];
        let input = DepthMapInput {
            subject: self.subject(),
            plane: f.fill.plane,
            unit: facts::mark_unit(self.a, Some(&f.fill)),
            bands: None,
            style: self.style(words::plan::DEPTH, facts),
        };
        let scene = drawing::depth_map(&input)?;
        let parts = if self.wanted.has(Sheet::MarkOut) && !marks_shown(self.a, &scene) {
            over_pages(self.pages, &input.style, &|style| {
                drawing::depth_map(&DepthMapInput {
                    style,
                    ..input.clone()
                })
            })?
        } else {
            Vec::new()
        };
        Ok((Some(scene), parts))
    }

    fn height_input(&self) -> DepthMapInput<'_> {
        let overall = (
            words::plan::OVERALL.to_owned(),
            self.pen.held(self.a.levels.overall_m),
        );
        DepthMapInput {
            subject: self.subject(),
            plane: crate::fill::Plane::level(self.a.levels.high.elevation_m),
            unit: self.unit,
            bands: None,
            style: self.style(words::plan::HEIGHT, vec![overall]),
        }
    }

    fn height(&self, input: &DepthMapInput<'_>) -> Result<Option<Scene>, ReportError> {
        Ok(if self.wanted.has(Sheet::HeightMap) {
            Some(drawing::height_map(input)?)
        } else {
            None
        })
    }

    /// The dip map's edges, where a sheet shows them.
    fn edges(&self, numbered: &[Numbered]) -> Option<Edges> {
        self.a.flatness.as_ref()?;
        if !self
            .wanted
            .any(&[Sheet::FlatnessMap, Sheet::Flatness, Sheet::Submittal])
        {
            return None;
        }
        let over = MarkedEdges::of(self.a, numbered, Departure::Dip);
        let style = self.style(words::plan::FLATNESS, over.to_read(self.a));
        Some(Edges { over, style })
    }

    fn flatness_map(
        &self,
        style: SheetStyle,
        over: &MarkedEdges,
    ) -> Result<Scene, drawing::DrawingError> {
        drawing::flatness_map(&FlatnessMapInput {
            subject: self.subject(),
            departures_m: over.values_m.as_deref(),
            heading: &over.heading,
            edges: &over.edges,
            unit: self.unit,
            bands: None,
            style,
        })
    }

    fn flatness(&self, edges: &Edges) -> Result<Scene, ReportError> {
        Ok(self.flatness_map(edges.style.clone(), &edges.over)?)
    }

    fn humps(&self, numbered: &[Numbered]) -> Result<Option<Scene>, ReportError> {
        if self.a.flatness.is_none() || !self.wanted.has(Sheet::HumpMap) {
            return Ok(None);
        }
        let humps = MarkedEdges::of(self.a, numbered, Departure::Hump);
        let style = self.style(words::plan::HUMPS, humps.to_read(self.a));
        Ok(Some(self.flatness_map(style, &humps)?))
    }

    fn coverage(&self) -> Result<Option<Scene>, ReportError> {
        if !self.wanted.has(Sheet::CoverageMap) {
            return Ok(None);
        }
        let Some(Covered {
            span_m,
            coverage: cover,
        }) = Covered::of(self.a)
        else {
            return Ok(None);
        };
        let pen = self.pen;
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
                words::plan::or_closer(&pen.span(cover.judged.needed_m)),
            ),
        ];
        Ok(Some(drawing::coverage_map(&CoverageMapInput {
            subject: self.subject(),
            reached: &reached,
            span: &words::plan::edge(&pen.span(span_m)),
            style: self.style(
                words::plan::COVERAGE,
                facts.map(|(k, v)| (k.to_owned(), v)).to_vec(),
            ),
        })?))
    }

    /// The dip map over several pages, where the marks stand too close on one.
    fn flatness_parts(
        &self,
        edges: &Edges,
        marked: Option<&Scene>,
        height: &DepthMapInput<'_>,
    ) -> Result<Vec<SheetDrawing>, ReportError> {
        if !self.wanted.has(Sheet::Flatness) || self.pages.is_none() {
            return Ok(Vec::new());
        }
        let shown = match marked {
            Some(scene) => marks_shown(self.a, scene),
            None => marks_shown(self.a, &drawing::height_map(height)?),
        };
        if shown {
            return Ok(Vec::new());
        }
        over_pages(self.pages, &edges.style, &|style| {
            self.flatness_map(style, &edges.over)
        })
    }

    fn key_plan(
        &self,
        edges: Option<&Edges>,
        height: &DepthMapInput<'_>,
    ) -> Result<Option<Scene>, ReportError> {
        if !self.wanted.has(Sheet::Submittal) {
            return Ok(None);
        }
        Ok(Some(match edges {
            Some(edges) => upright(&edges.style, &|style| self.flatness_map(style, &edges.over))?,
            None => upright(&height.style, &|style| {
                drawing::height_map(&DepthMapInput {
                    style,
                    ..height.clone()
                })
            })?,
        }))
    }

    /// The numbered places that a notice lists.
    fn noticed(&self, numbered: &[Numbered]) -> Vec<Numbered> {
        let checks = self.a.flatness.as_ref().map_or(&[][..], |f| &f.checks);
        let out = checks.iter().any(|c| c.verdict() == Verdict::Out);
        let of = |n: &&Numbered| is_noticed(n.verdict, (n.placement.gap_m, n.limit_m), out);
        let listed = numbered.iter().filter(of).take(MOST_PLACES);
        listed.cloned().collect()
    }

    fn small_plan(
        &self,
        sheet: Sheet,
        numbered: &[Numbered],
    ) -> Result<Option<SmallPlan>, ReportError> {
        if !self.wanted.has(sheet) {
            return Ok(None);
        }
        let edges: Vec<EdgeMark> = numbered.iter().map(edge_mark).collect();
        let unjudged = Unjudged::of(self.a);
        let pieces = unjudged.as_ref().map_or(&[][..], |u| &u.pieces);
        let plan = drawing::small_plan(self.subject(), &edges, pieces)?;
        let areas = self.a.floor.areas();
        let key = [
            (!edges.is_empty()).then(|| w::KEY_EDGES.to_owned()),
            Some(w::KEY_POINTS.to_owned()),
            unjudged.map(|u| w::key_unjudged(&self.pen.span(u.span_m))),
            (areas.extended_m2 > 1e-6).then(|| w::KEY_CARRIED.to_owned()),
            (areas.unsurveyed_m2 > 1e-6).then(|| w::KEY_UNSURVEYED.to_owned()),
        ];
        Ok(Some(SmallPlan {
            drawing: on_paper(&plan.scene)?,
            ratio: plan.ratio,
            key: key.into_iter().flatten().collect(),
            bottom: Orientation::of(&self.a.survey).bottom,
        }))
    }

    fn curve(&self) -> Result<Option<Scene>, ReportError> {
        let a = self.a;
        let on_curve = self.wanted.any(&[Sheet::SpanCurve, Sheet::Submittal]);
        Ok(match &a.flatness {
            Some(f) if on_curve && !f.span_curve.is_empty() => {
                Some(drawing::span_curve(&SpanCurveInput {
                    // The curve has no block of facts: what run it is of stands in its heading.
                    title: &words::plan::curve(&a.settings.run),
                    curve: &f.span_curve,
                    limits: &limits(a),
                    judged_from_m: Some(f.judged_from_m(a.floor.spacing())),
                    unit: self.unit,
                    habit: a.settings.habit,
                    size_mm: CURVE_MM,
                })?)
            }
            _ => None,
        })
    }

    /// The batches of each lift and, where one page has no room for every number, the same over several.
    fn pour(&self) -> Result<Vec<PouredLift>, ReportError> {
        let lifts = self.a.pour.as_ref().map_or(&[][..], |plan| &plan.lifts);
        if !self.wanted.any(&[Sheet::PourMap, Sheet::Pour]) {
            return Ok(Vec::new());
        }
        lifts
            .iter()
            .map(|lift| self.poured(lift, lifts.len()))
            .collect()
    }

    fn poured(&self, lift: &Lift, of: usize) -> Result<PouredLift, ReportError> {
        let batches = |style| {
            drawing::pour_map(&PourMapInput {
                subject: self.subject(),
                lift,
                style,
            })
        };
        let mut facts = vec![
            (words::plan::BATCHES, lift.batches.len().to_string()),
            (words::plan::BAGS, lift.bags.to_string()),
        ];
        if of > 1 {
            let below = (lift.below_finish_m > 0.0).then(|| self.pen.stated(lift.below_finish_m));
            let told = words::take_off::lift_levels(lift.number, of, below.as_deref());
            facts.insert(0, (words::plan::LIFT, told));
        }
        let facts = facts.into_iter().map(|(k, v)| (k.to_owned(), v)).collect();
        let style = self.style(words::plan::POUR, facts);
        let map = batches(style.clone())?;
        let numbers = map.texts().filter(|t| t.role == Role::Number).count();
        let parts = if self.wanted.has(Sheet::Pour) && numbers < lift.batches.len() {
            over_pages(self.pages, &style, &batches)?
        } else {
            Vec::new()
        };
        Ok(PouredLift { map, parts })
    }

    fn patch(&self) -> Result<Option<Scene>, ReportError> {
        let on_patch = self.wanted.any(&[Sheet::PatchMap, Sheet::GrindPatch]);
        Ok(match &self.a.patch {
            Some(plan) if on_patch && !plan.is_empty() => {
                Some(drawing::patch_map(&PatchMapInput {
                    subject: self.subject(),
                    patches: &plan.patches,
                    grinds: &plan.grinds,
                    work_m: &self.a.patch_work_m(),
                    unit: facts::patch_unit(self.a),
                    style: self.style(words::plan::PATCH, Vec::new()),
                })?)
            }
            _ => None,
        })
    }

    fn places(
        &self,
        numbered: Vec<Numbered>,
    ) -> Result<Vec<(Numbered, Option<Scene>)>, ReportError> {
        let on_profiles = self
            .wanted
            .any(&[Sheet::Flatness, Sheet::Submittal, Sheet::Notice]);
        numbered
            .into_iter()
            .map(|n| {
                let scene = if on_profiles {
                    profile(self.a, &n, self.unit)?
                } else {
                    None
                };
                Ok((n, scene))
            })
            .collect()
    }
}

/// The high (or low) point with its ties.
fn spots(a: &Analysis, high: bool) -> Vec<Point> {
    let spot = if high { &a.levels.high } else { &a.levels.low };
    let ties = spot
        .ties
        .iter()
        .filter_map(|&i| a.survey.readings.get(i).map(|r| r.at));
    std::iter::once(spot.at).chain(ties).collect()
}

/// The floor below a stated level, in stated shades: for a before and an after that must compare. `zero` tells the level.
pub fn height_over(
    a: &Analysis,
    paper: Paper,
    (top_m, zero): (f64, &str),
    bands: &BandScale,
) -> Result<Scene, ReportError> {
    let high = spots(a, true);
    let low = spots(a, false);
    let readings = a.readings_on_floor();
    Ok(drawing::level_below_map(&DepthMapInput {
        subject: Subject {
            floor: &a.floor,
            room: a.survey.room.as_ref(),
            readings: &readings,
            high: &high,
            low: &low,
        },
        plane: crate::fill::Plane::level(top_m),
        unit: facts::mark_unit(a, None),
        bands: Some(bands.clone()),
        style: SheetStyle {
            poster_mm: None,
            upright: false,
            paper,
            habit: a.settings.habit,
            block: TitleBlock {
                title: titled(words::plan::ONE_LEVEL, a),
                facts: job_facts(a),
                notes: std::iter::once(zero.to_owned()).chain(notes(a)).collect(),
            },
        },
    })?)
}

/// Where an edge is to be laid by hand.
pub fn hand_plan(
    a: &Analysis,
    paper: Paper,
    title: &str,
    edges: &[(usize, Point, Point)],
) -> Result<Scene, ReportError> {
    let wanted = Wanted::crew();
    let board = Board::new(a, paper, &wanted);
    Ok(drawing::hand_map(&drawing::HandMapInput {
        subject: board.subject(),
        edges,
        style: board.style(title, Vec::new()),
    })?)
}

/// What every map says under its key.
fn notes(a: &Analysis) -> Vec<String> {
    let told = (a.survey.laid.and_then(Laid::warning).into_iter()).chain([words::plan::BETWEEN]);
    let mut notes = stand_ins(a);
    notes.extend(told.map(str::to_owned));
    notes
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
