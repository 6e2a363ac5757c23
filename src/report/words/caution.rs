//! Cautions. Each defers to the rules of the place, the maker's sheet or someone licensed.

/// Heading of the cautions.
pub const TITLE: &str = "Limits and cautions";
/// Heading word of the box on crew sheets.
pub const CAUTION: &str = "Before you start";

/// Dust.
pub const SILICA: &str = "Grinding or milling concrete frees silica dust. Use water or a shrouded vacuum with the right filter and wear what the rules of your place ask for (in the US 29 CFR 1926.1153).";
/// Skin and eyes.
pub const CAUSTIC: &str = "Fresh cement mixes burn skin and eyes. Gloves, eye protection, water at hand; follow the safety sheet of the material.";
/// Weight.
pub const WEIGHT: &str = "Fill adds weight. On a framed or suspended floor someone licensed to judge the structure must agree before any of it is placed.";
/// Drains and slopes.
pub const DRAINS: &str = "Floor that must drain, and ramps, keep their slope. Cover drains, plug every hole, and do not let material reach them.";
/// Doors and stairs.
pub const THRESHOLDS: &str = "Check doors, thresholds, the first and last stair, appliances and lift sills against the new height before pouring; local codes decide what step is allowed.";
/// Joints.
pub const JOINTS: &str = "Never cover a movement joint; carry it through the new material.";
/// The maker's sheet.
pub const MAKER: &str = "The material maker's own sheet stands above every figure here: water, depth, priming, temperature, working time and drying.";
/// What readings cannot show.
pub const BETWEEN: &str = "Readings say nothing about what lies between them. A hump or dip smaller than the spacing can be missed; run the edge over the floor by hand where it matters.";
/// What was not looked at.
pub const NOT_JUDGED: &str =
    "Moisture, bond, strength of the floor and its deflection under load were not looked at.";

/// The cautions of a full report.
pub const ALL: [&str; 9] = [
    MAKER, SILICA, CAUSTIC, WEIGHT, DRAINS, THRESHOLDS, JOINTS, BETWEEN, NOT_JUDGED,
];
/// Those of a report that does not tell what is ordered; what readings cannot show and what was not looked at stands in it already.
pub const OF_THE_FLOOR: [&str; 4] = [WEIGHT, DRAINS, THRESHOLDS, JOINTS];
/// The cautions of a pour sheet.
pub const POUR: [&str; 5] = [MAKER, CAUSTIC, WEIGHT, DRAINS, JOINTS];
/// The cautions of a grinding sheet.
pub const GRIND: [&str; 2] = [SILICA, BETWEEN];
