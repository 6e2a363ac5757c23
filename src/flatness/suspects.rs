//! Readings that may be slips, and blocks of readings that may lie off all the others.

/// A reading that may be a slip of the hand or the eye.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suspect {
    /// Its index in the survey.
    pub reading: u32,
    /// Its name.
    pub name: String,
}

/// Readings that may all lie by one amount off the others: a line that was bumped, a set-up that one mark alone ties.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// Their indices in the survey, rising.
    pub readings: Vec<u32>,
    /// How far they lie above those beside them, metres.
    pub above_m: f64,
    /// What may be the matter.
    pub cause: BlockCause,
}

/// What may be the matter with a block of readings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BlockCause {
    /// The one mark that ties a set-up may have been misread.
    LoneTie {
        /// The mark.
        mark: String,
        /// The set-up.
        set_up: String,
    },
    /// The line may have been bumped, or the rule held differently.
    Bumped {
        /// Name of the first reading after it.
        from: String,
    },
}

/// All that may lie off in blocks.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Blocks {
    /// The blocks, measured together.
    pub list: Vec<Block>,
    /// Readings that look like slips once all are levelled: what is found then is not to hang on them either.
    pub suspects: Vec<Suspect>,
}
