//! The user's own prices, and what they come to.

/// Prices, each optional; what has no price is left out of the total.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Prices {
    /// Currency, as it is to be printed.
    pub currency: String,
    /// One bag.
    pub per_bag: Option<f64>,
    /// A litre of primer from the can.
    pub per_primer_l: Option<f64>,
    /// A metre of perimeter foam.
    pub per_foam_m: Option<f64>,
    /// A metre of dam.
    pub per_dam_m: Option<f64>,
    /// Grinding a square metre, once over.
    pub per_grind_m2: Option<f64>,
    /// Grinding a litre of floor away, on top of the area.
    pub per_grind_l: Option<f64>,
}

/// One line of costs.
#[derive(Debug, Clone, PartialEq)]
pub struct CostLine {
    /// What.
    pub item: String,
    /// How much.
    pub quantity: f64,
    /// Of what.
    pub unit: String,
    /// Price of one.
    pub unit_price: f64,
    /// Quantity times price.
    pub amount: f64,
}

impl CostLine {
    /// A line; its amount follows.
    pub fn new(item: &str, quantity: f64, unit: &str, unit_price: f64) -> Self {
        Self {
            item: item.to_owned(),
            quantity,
            unit: unit.to_owned(),
            unit_price,
            amount: quantity * unit_price,
        }
    }
}

/// The item of the bags.
pub(super) const BAGS: &str = "bags";
/// The item of the dams.
pub(super) const DAMS: &str = "dams";

/// Costs of what has a price.
#[derive(Debug, Clone, PartialEq)]
pub struct Costs {
    /// Currency.
    pub currency: String,
    /// The lines.
    pub lines: Vec<CostLine>,
    /// Their sum.
    pub total: f64,
}

impl Costs {
    /// Another quantity of an item than was counted first; an item without a price has no line.
    pub(super) fn set(&mut self, item: &str, quantity: f64) {
        for line in self.lines.iter_mut().filter(|l| l.item == item) {
            *line = CostLine::new(item, quantity, &line.unit, line.unit_price);
        }
        self.total = self.lines.iter().map(|l| l.amount).sum();
    }

    /// Lines added up.
    pub fn of(prices: &Prices, lines: Vec<CostLine>) -> Self {
        Self {
            currency: prices.currency.clone(),
            total: lines.iter().map(|l| l.amount).sum(),
            lines,
        }
    }
}
