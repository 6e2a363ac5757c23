//! Which way round a sheet of readings lies on the plan.

/// The wall that the first row of a sheet stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FirstRow {
    /// The far wall, at the top of the plan.
    Far,
    /// The near wall, at the bottom of the plan.
    Near,
}

impl FirstRow {
    /// The other wall.
    pub const fn other(self) -> Self {
        match self {
            Self::Far => Self::Near,
            Self::Near => Self::Far,
        }
    }
}

/// How it is known which wall that is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LaidBy {
    /// The sheet, the job or the user says it.
    Stated,
    /// The outline of the room fits one way only.
    Outline,
    /// Nothing says it: taken as such a sheet is usually meant, and to be told wherever the plan is shown.
    Taken,
}

/// Which way round a sheet lies on the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Laid {
    /// What its first row stands for.
    pub first_row: FirstRow,
    /// How that is known.
    pub by: LaidBy,
}

impl Laid {
    /// What has to be told wherever the plan is shown; `None` where it is known which wall the first row is.
    pub const fn warning(self) -> Option<&'static str> {
        match (self.by, self.first_row) {
            (LaidBy::Stated | LaidBy::Outline, _) => None,
            (LaidBy::Taken, FirstRow::Far) => Some(
                "Nothing says which wall the sheet's first row is: it was taken for the far wall, at the top of the plan. State the first row: far or near.",
            ),
            (LaidBy::Taken, FirstRow::Near) => Some(
                "Nothing says which wall the sheet's first row is: it was taken for the near wall, at the bottom of the plan. State the first row: far or near.",
            ),
        }
    }
}
