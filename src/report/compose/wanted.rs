//! Which files are wanted, and so what must be worked out and drawn for them.

use crate::analysis::Want;

/// A file, or a picture in its two forms, by the name it is written under.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sheet {
    /// Depth to the finish.
    DepthMap,
    /// Depth below the high point.
    HeightMap,
    /// Worst placements over the dips.
    FlatnessMap,
    /// Worst humps over the humps.
    HumpMap,
    /// Which floor the readings can judge.
    CoverageMap,
    /// Dip and hump against span.
    SpanCurve,
    /// Batches and their order.
    PourMap,
    /// Patches, and spots to grind.
    PatchMap,
    /// What to mark on the floor.
    MarkOut,
    /// Worst placements with their profiles.
    Flatness,
    /// Batches, staging, clock.
    Pour,
    /// Grinding and patching, spot by spot.
    GrindPatch,
    /// The paper for the architect.
    Submittal,
    /// Word that the floor is out, before anything is done.
    Notice,
    /// Quantities to be agreed and signed.
    Quantities,
    /// The numbers as a workbook.
    Workbook,
    /// The page with the map to point at.
    Report,
    /// Every number with its unit in its key.
    Result,
}

impl Sheet {
    /// Every one, in the order they are written.
    pub const ALL: [Self; 18] = [
        Self::DepthMap,
        Self::HeightMap,
        Self::FlatnessMap,
        Self::HumpMap,
        Self::CoverageMap,
        Self::SpanCurve,
        Self::PourMap,
        Self::PatchMap,
        Self::MarkOut,
        Self::Flatness,
        Self::Pour,
        Self::GrindPatch,
        Self::Submittal,
        Self::Notice,
        Self::Quantities,
        Self::Workbook,
        Self::Report,
        Self::Result,
    ];

    /// The file's name without its ending.
    pub const fn name(self) -> &'static str {
        match self {
            Self::DepthMap => "depth-map",
            Self::HeightMap => "height-map",
            Self::FlatnessMap => "flatness-map",
            Self::HumpMap => "hump-map",
            Self::CoverageMap => "coverage-map",
            Self::SpanCurve => "span-curve",
            Self::PourMap => "pour-map",
            Self::PatchMap => "patch-map",
            Self::MarkOut => "mark-out",
            Self::Flatness => "flatness",
            Self::Pour => "pour",
            Self::GrindPatch => "grind-patch",
            Self::Submittal => "submittal",
            Self::Notice => "notice",
            Self::Quantities => "quantities",
            Self::Workbook => "workbook",
            Self::Report => "report",
            Self::Result => "result",
        }
    }

    /// The sheet of this name, if there is one.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|s| s.name() == name)
    }
}

/// The files to make.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted(Vec<Sheet>);

impl Wanted {
    /// Maps and sheets for the crew.
    pub fn crew() -> Self {
        Self::those(|s| s <= Sheet::GrindPatch)
    }

    /// What goes out: submittal, notice, quantities, workbook, page, numbers.
    pub fn outgoing() -> Self {
        Self::those(|s| s > Sheet::GrindPatch)
    }

    /// Every file.
    pub fn everything() -> Self {
        Self::those(|_| true)
    }

    fn those(keep: impl Fn(Sheet) -> bool) -> Self {
        Self(Sheet::ALL.into_iter().filter(|s| keep(*s)).collect())
    }

    /// Those of them that are named. With no names, all of them.
    pub fn only(self, names: &[Sheet]) -> Self {
        if names.is_empty() {
            return self;
        }
        Self(self.0.into_iter().filter(|s| names.contains(s)).collect())
    }

    /// Whether no file is wanted at all.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether this one is.
    pub fn has(&self, sheet: Sheet) -> bool {
        self.0.contains(&sheet)
    }

    /// Whether one of these is.
    pub fn any(&self, sheets: &[Sheet]) -> bool {
        sheets.iter().any(|s| self.has(*s))
    }

    /// What must be worked out for them. Fill always is: every answer tells it. The straight edge, which takes
    /// longest, only where a file shows it.
    pub fn want(&self) -> Want {
        let told_whole = self.any(&[
            Sheet::Submittal,
            Sheet::Workbook,
            Sheet::Report,
            Sheet::Result,
        ]);
        let shows_edge = told_whole
            || self.any(&[
                Sheet::FlatnessMap,
                Sheet::HumpMap,
                Sheet::CoverageMap,
                Sheet::SpanCurve,
                Sheet::PatchMap,
                Sheet::Flatness,
                Sheet::GrindPatch,
                Sheet::Notice,
            ]);
        Want {
            flatness: shows_edge,
            curve: told_whole || self.has(Sheet::SpanCurve),
            fill: true,
            between: told_whole,
            pour: told_whole || self.any(&[Sheet::PourMap, Sheet::Pour, Sheet::Quantities]),
            patch: told_whole || self.any(&[Sheet::PatchMap, Sheet::GrindPatch]),
        }
    }
}
