//! From a survey and settings to every number.

use super::between::{self, Between, Found};
use super::error::AnalysisError;
use super::filling::{self, Filling};
use super::finish;
use super::flat::{self, Flatness};
use super::hand_notices::hand_notices;
use super::levels::Levels;
use super::patches;
use super::repeats::{Repeatability, contradicted};
use super::settings::{Settings, Tell, Want};
use super::step::{ReadingStep, finer_than_stated};
use super::suspicion::suspects;
use crate::fill::Material;
use crate::flatness::{Suspect, Verdict};
use crate::patch::{PatchError, PatchPlan};
use crate::pour::{PourError, PourPlan};
use crate::surface::doubt::NoDoubt;
use crate::surface::{Floor, SlopeFloor};
use crate::survey::{Notice, Room, Severity, Survey};
use crate::units::Pen;

/// Every number that anyone prints. Metres, square metres, cubic metres; elevation up positive.
#[derive(Debug, Clone)]
pub struct Analysis {
    /// What was asked for.
    pub settings: Settings,
    /// The readings, untouched.
    pub survey: Survey,
    /// How many of them stand on the floor: not in a void, on a slope that is kept, or outside the walls.
    pub readings_used: usize,
    /// The step that they were taken to, and whether it was stated.
    pub step: ReadingStep,
    /// How well a reading repeats, and how that is known.
    pub repeats: Repeatability,
    /// The floor to judge and fill.
    pub floor: Floor,
    /// Areas that keep their slope, each a floor of its own.
    pub slopes: Vec<SlopeFloor>,
    /// High and low point.
    pub levels: Levels,
    /// Span curve and checks, if wanted.
    pub flatness: Option<Flatness>,
    /// Fill and take-off, if wanted.
    pub filling: Option<Filling>,
    /// What the readings leave open between them, if wanted, or why nothing is said of it.
    pub between: Option<Result<Between, NoDoubt>>,
    /// Batches and clock, if wanted and the material sheet allows.
    pub pour: Option<PourPlan>,
    /// Why there is no pour plan although one was wanted.
    pub no_pour: Option<PourError>,
    /// Patch plan, if wanted and there is a limit for a straight edge to meet.
    pub patch: Option<PatchPlan>,
    /// Why there is no patch plan although one was wanted.
    pub no_patch: Option<String>,
    /// Everything odd, import to pour, less what the job silences.
    pub notices: Vec<Notice>,
}

impl Analysis {
    /// Whether every check is within. False when nothing was checked.
    pub fn all_within(&self) -> bool {
        self.flatness.as_ref().is_some_and(|f| {
            !f.checks.is_empty() && f.checks.iter().all(|c| c.verdict() == Verdict::Within)
        })
    }

    /// Readings that may be slips: what is told of the floor hangs on them until they are read again.
    pub fn suspects(&self) -> Vec<Suspect> {
        suspects(&self.survey)
    }

    /// Where the crew comes in: the first door, if the outline has one.
    pub fn room(&self) -> Option<&Room> {
        self.survey.room.as_ref()
    }
}

/// Works out what is wanted of a survey.
///
/// # Units, datum, sign
/// As [`Analysis`].
/// # Errors
/// [`AnalysisError`] when the readings make no floor or the job names what is not there. A pour or a patch
/// plan that cannot be made is no error: the reason stands in its place.
pub fn analyse(
    survey: Survey,
    settings: Settings,
    want: Want,
    tell: Tell<'_>,
) -> Result<Analysis, AnalysisError> {
    tell("Floor", 0.0);
    let built = Floor::build(&survey)?;
    let floor = built.floor;
    let readings_used = built.readings.iter().filter(|r| r.is_on_floor()).count();
    let levels = Levels::of(&survey, &floor).ok_or(AnalysisError::NoReadingOnFloor)?;
    let mut notices = survey.notices.clone();
    notices.extend(built.notices);
    let step = ReadingStep::of(&survey, &settings);
    let repeats = Repeatability::of(&survey, &settings, step.step_m);
    notices.extend(finer_than_stated(&survey, &settings));
    notices.extend(contradicted(&survey, &settings, step.step_m));

    check_names(&survey, &floor, &settings, want)?;
    let options = flat::judge_options(&survey, &settings, (&step, &repeats));
    let mut chances = options.chances();
    let flatness = (want.flatness || want.patch).then(|| {
        let how = (&options, &mut chances);
        flat::flatness(&survey, &floor, &settings, want.curve, how, tell)
    });
    if let Some(f) = &flatness {
        notices.extend(hand_notices(&survey, &settings, f));
    }
    let (filling, pour) = filled_and_poured(
        (&survey, &floor, &levels),
        &settings,
        (want, flatness.as_ref()),
        tell,
    )?;
    if let Some(f) = &filling {
        notices.extend(f.notices.iter().cloned());
    }
    let found = Found {
        flatness: flatness.as_ref(),
        filling: filling.as_ref(),
    };
    let between = want
        .between
        .then(|| {
            tell("Between readings", 0.0);
            between::between(&survey, &floor, &settings, found, &mut chances, tell)
        })
        .transpose()?;
    if let Some(Ok(plan)) = &pour {
        notices.extend(plan.notices.iter().cloned());
    }
    let patch = match (&flatness, &filling) {
        (Some(flat), Some(fill)) if want.patch => patches::patch(
            (&survey, &floor),
            &settings,
            (flat, fill),
            &mut chances,
            tell,
        ),
        _ => None,
    };
    if let Some(patch) = &patch {
        notices.extend(patch_notices(patch, &settings));
    }
    let (pour, no_pour) = plan_or_why(pour);
    let (patch, no_patch) = plan_or_why(patch);
    let no_patch = no_patch.map(|why| why.words(Pen::new(settings.habit)));
    silence(&mut notices, &settings, want);
    // Cautions first, then warnings, then notes; within each in the order they were found.
    notices.sort_by_key(|n| std::cmp::Reverse(n.severity));
    dedup(&mut notices);
    Ok(Analysis {
        readings_used,
        step,
        repeats,
        settings,
        survey,
        floor,
        slopes: built.slopes,
        levels,
        flatness,
        filling,
        between,
        pour,
        no_pour,
        patch,
        no_patch,
        notices,
    })
}

/// A name that the job gives and that is not there is told before the long work, not after it.
fn check_names(
    survey: &Survey,
    floor: &Floor,
    settings: &Settings,
    want: Want,
) -> Result<(), AnalysisError> {
    if want.fill || want.pour || want.patch {
        finish::check(survey, floor, settings)?;
    }
    if want.pour {
        filling::crew_places(survey, settings)?;
    }
    Ok(())
}

/// Takes out the notices that the job silences; a code that takes none out is told, since it may be misspelt.
fn silence(notices: &mut Vec<Notice>, settings: &Settings, want: Want) {
    // An answer of a part of the job does not hear of the rest.
    let whole = want.flatness && want.fill && want.pour && want.patch;
    for code in &settings.silence {
        let before = notices.len();
        notices.retain(|n| n.code != *code);
        if whole && notices.len() == before {
            notices.push(Notice::new(
                "silence-unused",
                Severity::Note,
                "silence",
                format!("No notice of this job has the code “{code}”, so nothing was silenced by it. The codes stand in result.json."),
            ));
        }
    }
}

/// A plan and the reason why there is none, at most one of the two.
fn plan_or_why<P, E>(found: Option<Result<P, E>>) -> (Option<P>, Option<E>) {
    match found.transpose() {
        Ok(plan) => (plan, None),
        Err(why) => (None, Some(why)),
    }
}

/// What is to be told of a patch plan, or of there being none.
fn patch_notices(patch: &Result<PatchPlan, PatchError>, settings: &Settings) -> Vec<Notice> {
    match patch {
        Ok(plan) => against_patches(plan, settings.material.as_ref()),
        Err(why) => {
            let severity = match why {
                PatchError::NothingTested => Severity::Note,
                _ => Severity::Warning,
            };
            let words = why.words(Pen::new(settings.habit));
            vec![Notice::new("no-patch-plan", severity, "", words)]
        }
    }
}

/// What the material sheet says against the patches.
fn against_patches(plan: &PatchPlan, material: Option<&Material>) -> Vec<Notice> {
    let mut list = Vec::new();
    let mut add = |code: &str, text: &str| {
        list.push(Notice::new(code, Severity::Warning, "", text));
    };
    let Some(material) = material.filter(|_| !plan.patches.is_empty()) else {
        return list;
    };
    if material.feather_edge != Some(true) {
        add(
            "patch-edges",
            "The patches run out to nothing at their edges, which the material sheet does not say this material \
             may: patch with one that may, or cut a key along the edges.",
        );
    }
    if material.max_lift_m.is_some_and(|m| plan.deepest_m > m) {
        add(
            "patch-lifts",
            "A patch is deeper than one lift of this material may be: lay it in lifts.",
        );
    }
    list
}

/// One notice said twice is said once.
fn dedup(notices: &mut Vec<Notice>) {
    let mut seen: Vec<Notice> = Vec::with_capacity(notices.len());
    notices.retain(|n| {
        let new = !seen.contains(n);
        if new {
            seen.push(n.clone());
        }
        new
    });
}

/// A fill and its pour, as far as they are wanted.
type FilledAndPoured = (Option<Filling>, Option<Result<PourPlan, PourError>>);

/// The fill and, where it is wanted, how it is poured: what the pour takes is what the fill orders.
fn filled_and_poured(
    (survey, floor, levels): (&Survey, &Floor, &Levels),
    settings: &Settings,
    (want, flatness): (Want, Option<&Flatness>),
    tell: Tell<'_>,
) -> Result<FilledAndPoured, AnalysisError> {
    if !(want.fill || want.pour || want.patch) {
        return Ok((None, None));
    }
    tell("Fill", 0.0);
    let mut filling = filling::filling(survey, floor, levels, settings, flatness)?;
    if !want.pour || settings.material.is_none() {
        return Ok((Some(filling), None));
    }
    tell("Pour", 0.0);
    let pour = filling::pour(survey, floor, settings, &filling)?;
    if let Ok(plan) = &pour {
        filling::order_as_poured(&mut filling, plan, (floor, levels), (settings, flatness));
    }
    Ok((Some(filling), Some(pour)))
}
