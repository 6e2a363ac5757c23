//! Words on drawings and in the short answer.

/// Title of the depth map.
pub const DEPTH: &str = "Fill depth";
/// Title of the height map.
pub const HEIGHT: &str = "Below the high point";
/// Title of the maps of a re-check.
pub const ONE_LEVEL: &str = "Below one level";
/// What the depths of a re-check's maps are measured down from.
pub fn one_level(high_point: &str, is_after: bool) -> String {
    let day = if is_after { "after" } else { "before" };
    format!("0 is the high point {day} the work, {high_point}, on both maps.")
}
/// Title of the flatness map.
pub const FLATNESS: &str = "Under the straight edge";
/// Title of the hump map.
pub const HUMPS: &str = "Humps under the straight edge";
/// Title of the coverage map.
pub const COVERAGE: &str = "What the readings can judge";
/// Fact: share of the floor judged.
pub const JUDGED: &str = "Judged";
/// Fact: distance between readings.
pub const READ_EVERY: &str = "Read every";
/// Fact: edges that the readings cannot judge.
pub const NOT_TESTED: &str = "Not tested";
/// Fact: distance between readings that would judge it all.
pub const NEEDED: &str = "Needed";
/// Title of the pour map.
pub const POUR: &str = "Pour order";
/// Title of the patch map.
pub const PATCH: &str = "Patch and grind";
/// Fact: the job.
pub const JOB: &str = "Job";
/// Fact: the place.
pub const PLACE: &str = "Place";
/// Fact: the day.
pub const READ_ON: &str = "Read on";
/// Fact: the finish.
pub const FINISH: &str = "Finish";
/// Fact: volume.
pub const VOLUME: &str = "Volume";
/// Fact: batches.
pub const BATCHES: &str = "Batches";
/// Label: which lift of a pour.
pub const LIFT: &str = "Lift";
/// Fact: bags.
pub const BAGS: &str = "Bags";
/// Fact: highest less lowest.
pub const OVERALL: &str = "Highest less lowest";
/// Under every map.
pub const BETWEEN: &str =
    "Seen from above. Figures hold at the marks; between marks nobody read the floor.";

/// Finish over the high point, short.
pub fn over_high(gauge: &str) -> String {
    format!("level, {gauge} over the high point")
}

/// Finish below the high point, short.
pub fn below_high(depth: &str) -> String {
    format!("level, {depth} below the high point")
}

/// Finish at a level, short.
pub fn at_level(rise: &str) -> String {
    format!("level, {rise} from the high point")
}

/// Heading of the hump shading.
pub fn hump_under(span: &str) -> String {
    format!("Hump under a {span} edge")
}

/// Heading of the hump shading where edges stand on blocks.
pub fn hump_on_blocks(span: &str) -> String {
    format!("Hump under a {span} edge on end blocks")
}

/// Heading of the dip shading where edges stand on blocks.
pub fn hollow_on_blocks(span: &str) -> String {
    format!("Hollow under a {span} edge on end blocks")
}

/// An edge by its length.
pub fn edge(span: &str) -> String {
    format!("{span} edge")
}

/// Distance between readings that would do.
pub fn or_closer(spacing: &str) -> String {
    format!("{spacing} or closer")
}

/// Heading of the dip shading.
pub fn dip_under(span: &str) -> String {
    format!("Dip under a {span} edge")
}

/// Heading of the span curve, with the run's number.
pub fn curve(run: &str) -> String {
    format!("Dip and hump by span{}", super::run_after(run))
}
