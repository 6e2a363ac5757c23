//! What the user's material sheet says. A value it does not state is asked for, never assumed.

/// The levelling material, as its maker's sheet states it. Every value is the user's own.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Material {
    /// What the user calls it.
    pub name: String,
    /// Weight of a bag, kilograms.
    pub bag_weight_kg: Option<f64>,
    /// Mixed material from one bag, cubic metres.
    pub yield_m3: Option<f64>,
    /// Least depth it may be placed at, metres.
    pub min_depth_m: Option<f64>,
    /// Greatest depth in one lift, metres.
    pub max_lift_m: Option<f64>,
    /// Whether it may run out to nothing at its edges.
    pub feather_edge: Option<bool>,
    /// Whether its figures are invented, those of no product.
    pub invented: bool,
    /// Water for a batch of one bag, two bags, three bags ..., cubic metres.
    pub water_table_m3: Vec<f64>,
    /// Water for one bag, cubic metres; used only where there is no table.
    pub water_per_bag_m3: Option<f64>,
    /// Bags mixed at a time.
    pub bags_per_batch: Option<u32>,
    /// Mixing of one batch, minutes.
    pub mixing_min: Option<f64>,
    /// Time in which it can be worked after mixing, minutes.
    pub working_min: Option<f64>,
    /// Time in which fresh material still joins a placed edge without a mark, minutes.
    pub open_min: Option<f64>,
    /// Time before it carries foot traffic, minutes.
    pub walk_after_min: Option<f64>,
    /// Time before the next lift, minutes.
    pub next_lift_after_min: Option<f64>,
    /// Flow, in the sheet's own words (a spread in a named test).
    pub flow: Option<String>,
    /// Density in place, kilograms per cubic metre.
    pub density_kg_m3: Option<f64>,
    /// Lowest temperature of floor, air, powder and water, degrees Celsius.
    pub min_temperature_c: Option<f64>,
    /// Highest temperature, degrees Celsius.
    pub max_temperature_c: Option<f64>,
    /// Primer, if the sheet asks for one.
    pub primer: Option<Primer>,
}

/// Primer under the material.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Primer {
    /// What the user calls it.
    pub name: Option<String>,
    /// Area covered by a volume of primer as it is spread (after thinning), square metres per cubic metre.
    pub spread_m2_per_m3: Option<f64>,
    /// How many coats.
    pub coats: Option<u32>,
    /// Parts of water to one part of primer, one value a coat (a single value holds for all).
    pub thinning: Vec<f64>,
    /// Drying before the pour, or between coats, minutes.
    pub drying_min: Option<f64>,
}

/// A value that an answer needs and the sheet does not state.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{answer}: the material sheet does not state {key}; add a line like {example}")]
pub struct MissingValue {
    /// Which answer needs it ("bags", "water").
    pub answer: String,
    /// The sheet's key.
    pub key: String,
    /// A line that would supply it.
    pub example: String,
}

impl MissingValue {
    /// A missing value with its parts.
    pub fn new(answer: &str, key: &str, example: &str) -> Self {
        Self {
            answer: answer.to_owned(),
            key: key.to_owned(),
            example: example.to_owned(),
        }
    }
}

impl Material {
    /// Mixed volume from one bag, cubic metres.
    ///
    /// # Errors
    /// Names the missing key.
    pub fn need_yield(&self, answer: &str) -> Result<f64, MissingValue> {
        self.yield_m3.ok_or_else(|| {
            MissingValue::new(answer, "yield_per_bag", "yield_per_bag = \"0.35 cu ft\"")
        })
    }

    /// Bags mixed at a time.
    ///
    /// # Errors
    /// Names the missing key.
    pub fn need_bags_per_batch(&self, answer: &str) -> Result<u32, MissingValue> {
        self.bags_per_batch
            .ok_or_else(|| MissingValue::new(answer, "bags_per_batch", "bags_per_batch = 2"))
    }

    /// Water for a batch of so many bags, cubic metres.
    ///
    /// The sheet's own table overrides proportion: it need not grow in step with the bags. A batch
    /// larger than the table is asked for, not extrapolated.
    ///
    /// # Errors
    /// Names the missing key or the batch size that the table does not reach.
    pub fn need_water(&self, bags: u32, answer: &str) -> Result<f64, MissingValue> {
        if bags == 0 {
            return Ok(0.0);
        }
        if !self.water_table_m3.is_empty() {
            return self
                .water_table_m3
                .get(bags as usize - 1)
                .copied()
                .ok_or_else(|| {
                    MissingValue::new(
                        answer,
                        &format!("water for a batch of {bags} bags"),
                        "water = [\"4 qt\", \"7.5 qt\", \"11 qt\"] (one bag, two, three)",
                    )
                });
        }
        self.water_per_bag_m3
            .map(|w| w * f64::from(bags))
            .ok_or_else(|| {
                MissingValue::new(answer, "water", "water = [\"4 qt\", \"7.5 qt\", \"11 qt\"]")
            })
    }

    /// Density in place, kilograms per cubic metre.
    ///
    /// # Errors
    /// Names the missing key.
    pub fn need_density(&self, answer: &str) -> Result<f64, MissingValue> {
        self.density_kg_m3
            .ok_or_else(|| MissingValue::new(answer, "density", "density = \"124 lb/cu ft\""))
    }

    /// Minutes in which fresh material still joins a placed edge: the open time, or the working
    /// time where the sheet gives only that.
    ///
    /// # Errors
    /// Names the missing key.
    pub fn need_open_time(&self, answer: &str) -> Result<f64, MissingValue> {
        self.open_min
            .or(self.working_min)
            .ok_or_else(|| MissingValue::new(answer, "open_time", "open_time = \"14 min\""))
    }
}

/// Most bags of one order that are believed: some 25,000 t. Beyond it a figure or its unit is wrong.
pub const MOST_BAGS: u32 = 1_000_000;

/// A count of bags that no order can have.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "{} bags: more than {MOST_BAGS}, which no order holds; check the yield of a bag and its unit in the material sheet, \
     the finish asked for, and the unit of the plan distances",
    count_text(*.bags)
)]
pub struct TooManyBags {
    /// How many it would be, not rounded.
    pub bags: f64,
}

/// Counts so large that their digits tell nothing are told by their size.
fn count_text(bags: f64) -> String {
    if !bags.is_finite() {
        "endlessly many".to_owned()
    } else if bags < 1e12 {
        format!("{bags:.0}")
    } else {
        "over a million million".to_owned()
    }
}

/// Whole bags for a number of bags that may have a fraction: rounded up.
///
/// A fraction that can only be rounding (below a millionth of a bag) does not open another one.
/// # Errors
/// [`TooManyBags`] beyond [`MOST_BAGS`], and for what is no number: a count is never cut short.
/// # Example
/// ```
/// use birdbath::fill::whole_bags;
/// assert_eq!(whole_bags(26.31), Ok(27));
/// assert!(whole_bags(5e9).is_err());
/// ```
pub fn whole_bags(bags: f64) -> Result<u32, TooManyBags> {
    let up = rounded_up(bags);
    if up <= f64::from(MOST_BAGS) {
        Ok(up as u32)
    } else {
        Err(TooManyBags { bags })
    }
}

/// Bags rounded up, as a number of any size; what is no number stays none.
pub(crate) fn rounded_up(bags: f64) -> f64 {
    // `max` would turn NaN into 0.
    if bags.is_nan() {
        bags
    } else {
        (bags - 1e-6).ceil().max(0.0)
    }
}
