//! Quantities to text: the only rounding in the crate.

use super::{Area, Habit, INCH_M, Length, Volume};

/// How a fraction of an inch looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum FractionStyle {
    /// `3 7/8`: ASCII, for terminals, files and search.
    #[default]
    Plain,
    /// `3⅞` built as `3⁷⁄₈`: raised top, fraction slash, lowered bottom, for drawings and paper.
    Built,
}

/// How lengths of one table or drawing are printed: one unit, one step, held throughout.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LengthFormat {
    /// Inches and fractions, to the nearest `1/denominator`.
    Inches {
        /// 1, 2, 4, 8, 16, 32 or 64; 0 counts as 1.
        denominator: u32,
    },
    /// Feet, inches and fractions, to the nearest `1/denominator` in.
    FeetInches {
        /// 1, 2, 4, 8, 16, 32 or 64; 0 counts as 1.
        denominator: u32,
    },
    /// Decimal feet.
    Feet {
        /// Digits after the point.
        decimals: usize,
    },
    /// Millimetres.
    Millimetres {
        /// Digits after the point.
        decimals: usize,
    },
    /// Metres.
    Metres {
        /// Digits after the point.
        decimals: usize,
    },
}

impl LengthFormat {
    /// For heights, depths and gaps: sixteenths of an inch, or whole millimetres.
    pub const fn depth(habit: Habit) -> Self {
        match habit {
            Habit::Us => Self::Inches { denominator: 16 },
            Habit::Metric => Self::Millimetres { decimals: 0 },
        }
    }

    /// For plan distances: feet and quarter inches, or metres to 10 mm.
    pub const fn plan(habit: Habit) -> Self {
        match habit {
            Habit::Us => Self::FeetInches { denominator: 4 },
            Habit::Metric => Self::Metres { decimals: 2 },
        }
    }

    /// The usual format of depths, or the next finer one that holds this depth without rounding: a depth that somebody stated prints
    /// as stated. One that none holds keeps the usual.
    pub fn holding(length: Length, habit: Habit) -> Self {
        let usual = Self::depth(habit);
        let finer: &[Self] = match habit {
            Habit::Us => &[
                Self::Inches { denominator: 32 },
                Self::Inches { denominator: 64 },
            ],
            Habit::Metric => &[Self::Millimetres { decimals: 1 }],
        };
        let holds = |format: &Self| {
            let steps = length.m() / format.step().m();
            (steps - steps.round()).abs() * format.step().m() <= HELD_M
        };
        std::iter::once(&usual)
            .chain(finer)
            .find(|f| holds(f))
            .copied()
            .unwrap_or(usual)
    }

    /// For a depth that hangs on a stated gauge and on readings: inches as [`LengthFormat::holding`] has them, whole millimetres.
    pub fn of_gauge(length: Length, habit: Habit) -> Self {
        match habit {
            Habit::Us => Self::holding(length, habit),
            Habit::Metric => Self::depth(habit),
        }
    }

    /// The usual format of depths, or the next finer one that a rule has in which this depth prints as more than a limit that it is over;
    /// `None` where it prints as the limit in all of them.
    pub fn over(length: Length, limit: Length, habit: Habit) -> Option<Self> {
        let usual = Self::depth(habit);
        let finer: &[Self] = match habit {
            Habit::Us => &[
                Self::Inches { denominator: 32 },
                Self::Inches { denominator: 64 },
            ],
            Habit::Metric => &[
                Self::Millimetres { decimals: 1 },
                Self::Millimetres { decimals: 2 },
            ],
        };
        let over = |format: &Self| {
            let step = format.step().m();
            nearest_even(length.m() / step) * step > limit.m() + HELD_M
        };
        std::iter::once(&usual)
            .chain(finer)
            .find(|f| length.m() <= limit.m() || over(f))
            .copied()
    }

    /// With its unit: `3 7/8 in`, `4 ft 7 1/4 in`, `98 mm`.
    pub fn text(self, length: Length) -> String {
        self.styled(length, FractionStyle::Plain)
    }

    /// With its unit, the fraction in the style asked for.
    ///
    /// # Method
    /// Nearest step; exactly half-way between two steps goes to the even one, as NIST Handbook 44,
    /// clause 10.3, has a graduated scale read. Half-way is taken within a ten-millionth of a step,
    /// since an inch in metres has no exact binary form.
    /// # Edge cases
    /// What rounds to nothing prints as `0`, never `-0`. A number that is not finite prints as `?`.
    pub fn styled(self, length: Length, style: FractionStyle) -> String {
        match self {
            Self::FeetInches { denominator } => feet_inches(length, denominator, style, false),
            _ => format!("{} {}", self.number_styled(length, style), self.unit()),
        }
    }

    /// Without its unit, for the cells of a table whose header names it. Feet-inches keeps its marks:
    /// `4'-7 1/4"`.
    pub fn number(self, length: Length) -> String {
        self.number_styled(length, FractionStyle::Plain)
    }

    /// [`LengthFormat::number`] with the fraction in the style asked for.
    pub fn number_styled(self, length: Length, style: FractionStyle) -> String {
        match self {
            Self::Inches { denominator } => inches_number(length, denominator, style),
            Self::FeetInches { denominator } => feet_inches(length, denominator, style, true),
            Self::Feet { decimals } => number_text(length.feet(), decimals),
            Self::Millimetres { decimals } => number_text(length.mm(), decimals),
            Self::Metres { decimals } => number_text(length.m(), decimals),
        }
    }

    /// Without its unit, with a plus before what is greater than zero: `+1/8`, `-1/8`, `0`.
    pub fn signed(self, length: Length) -> String {
        let text = self.number(length);
        let nothing = !text.contains(|c: char| ('1'..='9').contains(&c));
        if nothing || text.starts_with('-') || !length.m().is_finite() {
            text
        } else {
            format!("+{text}")
        }
    }

    /// Name of the unit, as it stands in a header.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Inches { .. } => "in",
            Self::FeetInches { .. } => "ft-in",
            Self::Feet { .. } => "ft",
            Self::Millimetres { .. } => "mm",
            Self::Metres { .. } => "m",
        }
    }

    /// The smallest difference the format can show.
    pub fn step(self) -> Length {
        let tenths = |decimals: usize| 10f64.powi(-(decimals.min(30) as i32));
        match self {
            Self::Inches { denominator } | Self::FeetInches { denominator } => {
                Length::from_in(1.0 / f64::from(denominator.max(1)))
            }
            Self::Feet { decimals } => Length::from_ft(tenths(decimals)),
            Self::Millimetres { decimals } => Length::from_mm(tenths(decimals)),
            Self::Metres { decimals } => Length::from_m(tenths(decimals)),
        }
    }
}

/// A step holds a depth that is a whole number of it to this, metres: rounding of the computer.
const HELD_M: f64 = 1e-8;

/// Inches to the nearest `1/denominator`, with the unit: `3 7/8 in`.
pub fn inches_text(length: Length, denominator: u32) -> String {
    LengthFormat::Inches { denominator }.text(length)
}

/// Feet and inches to the nearest `1/denominator` in: `4 ft 7 1/4 in`, `3 7/8 in`, `4 ft`, `0 in`.
pub fn feet_inches_text(length: Length, denominator: u32) -> String {
    LengthFormat::FeetInches { denominator }.text(length)
}

/// Millimetres with that many decimals: `98 mm`.
pub fn mm_text(length: Length, decimals: usize) -> String {
    LengthFormat::Millimetres { decimals }.text(length)
}

/// Metres with that many decimals: `3.05 m`.
pub fn m_text(length: Length, decimals: usize) -> String {
    LengthFormat::Metres { decimals }.text(length)
}

/// A height, depth or gap in the crew's habit: `3 7/8 in` or `98 mm`.
pub fn depth_text(length: Length, habit: Habit) -> String {
    LengthFormat::depth(habit).text(length)
}

/// A plan distance in the crew's habit: `4 ft 7 1/4 in` or `1.40 m`.
pub fn length_text(length: Length, habit: Habit) -> String {
    LengthFormat::plan(habit).text(length)
}

/// A distance between readings: `1 ft 6 in`; metric below a metre in whole millimetres: `25 mm`.
pub fn spacing_text(length: Length, habit: Habit) -> String {
    if habit == Habit::Metric && length.m() < 1.0 {
        mm_text(length, 0)
    } else {
        length_text(length, habit)
    }
}

/// The step that distances between readings are printed to, metres.
fn spacing_step_m(length: Length, habit: Habit) -> f64 {
    match habit {
        Habit::Us => 0.25 * INCH_M,
        Habit::Metric if length.m() < 1.0 => 0.001,
        Habit::Metric => 0.01,
    }
}

/// The same for a distance that must not be exceeded, rounded down: who keeps what is printed keeps the distance.
pub fn at_most_text(length: Length, habit: Habit) -> String {
    let step_m = spacing_step_m(length, habit);
    // A hair, so that what is whole but for rounding stays so.
    let steps = (length.m() / step_m + 1e-6).floor();
    spacing_text(Length::from_m(steps * step_m), habit)
}

/// The same for a distance that is too large, rounded up, so that it never prints as one that would do.
pub fn at_least_text(length: Length, habit: Habit) -> String {
    let step_m = spacing_step_m(length, habit);
    let steps = (length.m() / step_m - 1e-6).ceil();
    spacing_text(Length::from_m(steps * step_m), habit)
}

/// An area: `64.6 sq ft` or `6.00 m²`. Three figures below a thousand, whole numbers above.
pub fn area_text(area: Area, habit: Habit) -> String {
    match habit {
        Habit::Us => format!("{} sq ft", three_figures(area.ft2())),
        Habit::Metric => format!("{} m²", three_figures(area.m2())),
    }
}

/// A part of an area beside the whole: `210 of 400 sq ft`; `None` where both print alike.
pub fn part_of_area_text(part: Area, whole: Area, habit: Habit) -> Option<String> {
    let (part, whole) = (area_text(part, habit), area_text(whole, habit));
    let number = part.split(' ').next()?;
    (part != whole).then(|| format!("{number} of {whole}"))
}

/// A gap or a doubt without its unit, in inches to two decimals or millimetres to one: `0.19`, `4.8`.
pub fn gap_number_text(length: Length, habit: Habit) -> String {
    match habit {
        Habit::Us => number_text(length.inches(), 2),
        Habit::Metric => number_text(length.mm(), 1),
    }
}

/// A bound without its unit: the figures of a gap, rounded up, so that "none over" is true as printed.
pub fn bound_number_text(length: Length, habit: Habit) -> String {
    let step_m = match habit {
        Habit::Us => 0.01 * super::INCH_M,
        Habit::Metric => 0.000_1,
    };
    // A bound on the very step must not climb by rounding alone.
    let steps = (length.m() / step_m - 1e-9).ceil();
    gap_number_text(Length::from_m(steps * step_m), habit)
}

/// The step that readings were taken to: `1/16 in`, `0.12 in`, `1 mm`, `0.5 mm`; one of whole tenths of a millimetre in those, on an
/// inch sheet too. Never rounded to nothing.
pub fn reading_step_text(length: Length, habit: Habit) -> String {
    let plain = |value: f64, unit: &str| {
        let text = number_text(value, 6);
        let text = text.trim_end_matches('0').trim_end_matches('.');
        format!("{text} {unit}")
    };
    match habit {
        Habit::Us => {
            let parts = length.inches() * 64.0;
            let (tenths, thousandths) = (length.mm() * 10.0, length.inches() * 1000.0);
            let whole = |v: f64| v > 0.5 && (v - v.round()).abs() < 1e-6;
            if whole(parts) {
                inches_text(length, 64)
            } else if whole(tenths) && !whole(thousandths) {
                // A metric rule on an inch sheet.
                plain(length.mm(), "mm")
            } else {
                plain(length.inches(), "in")
            }
        }
        Habit::Metric => plain(length.mm(), "mm"),
    }
}

/// A volume: `1.29 cu ft` or `36.6 L`. Three figures below a thousand, whole numbers above.
pub fn volume_text(volume: Volume, habit: Habit) -> String {
    match habit {
        Habit::Us => format!("{} cu ft", three_figures(volume.ft3())),
        Habit::Metric => format!("{} L", three_figures(volume.litres())),
    }
}

/// A US liquid quart, cubic metres.
const QUART_M3: f64 = 57.75 * 0.0254 * 0.0254 * 0.0254;

/// A volume of water: `7.5 qt` to the nearest half quart, or `8.5 L` to the nearest tenth.
///
/// One US liquid quart is 57.75 cubic inches, exact (231 cubic inches to the gallon).
pub fn water_text(volume: Volume, habit: Habit) -> String {
    match habit {
        Habit::Us => {
            let halves = nearest_even(volume.si() / QUART_M3 * 2.0);
            let decimals = usize::from(halves % 2.0 != 0.0);
            format!("{} qt", number_text(halves / 2.0, decimals))
        }
        Habit::Metric => format!("{} L", number_text(volume.litres(), 1)),
    }
}

/// A volume of liquid to bring: as [`water_text`], rounded up, so that it is never short.
pub fn liquid_to_bring_text(volume: Volume, habit: Habit) -> String {
    water_text(liquid_to_bring(volume, habit), habit)
}

/// A volume of liquid rounded up to what is brought: half a quart, a tenth of a litre.
pub fn liquid_to_bring(volume: Volume, habit: Habit) -> Volume {
    let step = match habit {
        Habit::Us => QUART_M3 / 2.0,
        Habit::Metric => 0.000_1,
    };
    // What lies on a step already must not climb by rounding alone.
    Volume::from_si((volume.si() / step - 1e-9).ceil() * step)
}

/// A count of bags: `1 bag`, `14 bags`.
pub fn bags_text(count: u32) -> String {
    match count {
        1 => "1 bag".to_owned(),
        n => format!("{n} bags"),
    }
}

/// A mass given in kilograms: `110 lb` or `50 kg`. Three figures below a thousand.
///
/// One pound is 0.453 592 37 kg, exact (1959 agreement).
pub fn mass_text(kg: f64, habit: Habit) -> String {
    match habit {
        Habit::Us => format!("{} lb", three_figures(kg / POUND_KG)),
        Habit::Metric => format!("{} kg", three_figures(kg)),
    }
}

/// A load given in kilograms per square metre: `7.5 psf` or `37 kg/m²`.
pub fn load_text(kg_per_m2: f64, habit: Habit) -> String {
    match habit {
        Habit::Us => {
            let psf = kg_per_m2 / POUND_KG * (super::FOOT_M * super::FOOT_M);
            format!("{} psf", number_text(psf, 1))
        }
        Habit::Metric => format!("{} kg/m²", number_text(kg_per_m2, 0)),
    }
}

/// One pound in kilograms, exact (1959 agreement).
pub const POUND_KG: f64 = 0.453_592_37;

/// A share between 0 and 1 as whole percent: `95 %`.
///
/// # Edge cases
/// What is not everything never prints as `100 %`, and what is not nothing never as `0 %`: `over 99 %`,
/// `under 1 %`.
pub fn share_text(share: f64) -> String {
    let percent = share * 100.0;
    if percent < 100.0 && nearest_even(percent) >= 100.0 {
        "over 99 %".to_owned()
    } else if percent > 0.0 && nearest_even(percent) <= 0.0 {
        "under 1 %".to_owned()
    } else {
        format!("{} %", number_text(percent, 0))
    }
}

/// As [`beside_text`], of a share beside one that is allowed, in percent: `5 %`, `5.6 %`.
///
/// # Edge cases
/// What is not everything never prints as `100 %`, nor what is not nothing as `0 %`.
pub fn share_against_text(share: f64, allowed: f64) -> String {
    let marks = [0.0, 100.0, allowed * 100.0];
    format!("{} %", beside_text(share * 100.0, &marks, 1e-6, 0))
}

/// A number with the fewest decimals, from `decimals` on, that leave it on its own side of each mark. What lies within `same` of a mark
/// is on it.
pub fn beside_text(value: f64, marks: &[f64], same: f64, decimals: usize) -> String {
    const MOST_DECIMALS: usize = 6;
    let side = |v: f64, mark: f64| {
        let off = v - mark;
        if off.abs() <= same { 0.0 } else { off.signum() }
    };
    let tells = |d: usize| {
        let scale = 10f64.powi(d as i32);
        let printed = nearest_even(value * scale) / scale;
        marks.iter().all(|m| side(printed, *m) == side(value, *m))
    };
    let decimals = (decimals..MOST_DECIMALS)
        .find(|d| tells(*d))
        .unwrap_or(MOST_DECIMALS);
    number_text(value, decimals)
}

/// A gap without its unit beside its limit, with the decimals that tell on which side of it the gap lies; one on the limit as the limit itself,
/// in full where that takes a few decimals: 3/16 in printed as 0.19 would stand over it.
pub fn gap_beside_text(gap: Length, limit: Length, habit: Habit) -> String {
    if (gap.m() - limit.m()).abs() <= SAME_GAP_M {
        let (value, least) = match habit {
            Habit::Us => (limit.inches(), 2),
            Habit::Metric => (limit.mm(), 1),
        };
        let is_whole = |d: &usize| {
            let steps = value * 10f64.powi(*d as i32);
            (steps - nearest_even(steps)).abs() < 1e-6
        };
        return (least..=LIMIT_DECIMALS)
            .find(is_whole)
            .map_or_else(|| gap_number_text(gap, habit), |d| number_text(value, d));
    }
    match habit {
        Habit::Us => beside_text(gap.inches(), &[limit.inches()], 0.0, 2),
        Habit::Metric => beside_text(gap.mm(), &[limit.mm()], 0.0, 1),
    }
}

/// Decimals that a limit is printed with in full: 5/64 in takes six.
const LIMIT_DECIMALS: usize = 6;

/// Gaps this near to a limit are on it, metres: what the search cannot tell apart.
pub(super) const SAME_GAP_M: f64 = 2e-6;

/// A plain number with fixed decimals; half-way goes to the even digit; never `-0`.
///
/// # Edge cases
/// A number that is not finite prints as `?`.
pub fn number_text(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "?".to_owned();
    }
    let decimals = decimals.min(12);
    let scale = 10f64.powi(decimals as i32);
    let steps = value * scale;
    // Beyond 2^53 every float is a whole number of steps already.
    if steps.abs() >= 9.0e15 {
        return format!("{value:.decimals$}");
    }
    let rounded = nearest_even(steps);
    if rounded == 0.0 {
        return format!("{:.decimals$}", 0.0);
    }
    // The rounded count is a whole number: print it as one and set the point by hand.
    let digits = format!("{:0>width$}", rounded.abs() as u64, width = decimals + 1);
    let (whole, tail) = digits.split_at(digits.len() - decimals);
    let sign = if rounded < 0.0 { "-" } else { "" };
    if decimals == 0 {
        format!("{sign}{whole}")
    } else {
        format!("{sign}{whole}.{tail}")
    }
}

/// A number as somebody gave it, for a message that refuses it: `-1`, `2.5`, `1e300`, `NaN`.
pub fn found_text(value: f64) -> String {
    // Beyond these bounds the plain form is a row of noughts.
    if value != 0.0 && value.is_finite() && !(1e-6..1e12).contains(&value.abs()) {
        format!("{value:e}")
    } else {
        format!("{value}")
    }
}

/// Three figures below a thousand, whole numbers above; at most two decimals.
fn three_figures(value: f64) -> String {
    let size = value.abs();
    let decimals = if size < 9.995 {
        2
    } else if size < 99.95 {
        1
    } else {
        0
    };
    number_text(value, decimals)
}

/// Nearest whole number, half-way to even, half-way taken within a ten-millionth.
fn nearest_even(x: f64) -> f64 {
    let floor = x.floor();
    let part = x - floor;
    let up = if (part - 0.5).abs() < 1e-7 {
        floor % 2.0 != 0.0
    } else {
        part > 0.5
    };
    // Adding zero turns -0 into 0.
    floor + f64::from(u8::from(up)) + 0.0
}

/// Whole inches, top and bottom of the fraction in lowest terms, and the sign.
struct Split {
    negative: bool,
    inches: u64,
    top: u64,
    bottom: u64,
}

fn split(length: Length, denominator: u32) -> Option<Split> {
    let denominator = u64::from(denominator.clamp(1, 1024));
    let steps = nearest_even(length.inches() * denominator as f64);
    if !steps.is_finite() || steps.abs() >= 9.0e15 {
        return None;
    }
    let (negative, steps) = (steps < 0.0, steps.abs() as u64);
    let (inches, rest) = (steps / denominator, steps % denominator);
    let shared = gcd(rest, denominator);
    Some(Split {
        negative,
        inches,
        top: rest / shared,
        bottom: denominator / shared,
    })
}

const fn gcd(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// `7/8` or `⁷⁄₈`.
fn fraction(top: u64, bottom: u64, style: FractionStyle) -> String {
    const RAISED: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    const LOWERED: [char; 10] = ['₀', '₁', '₂', '₃', '₄', '₅', '₆', '₇', '₈', '₉'];
    let spell = |n: u64, digits: [char; 10]| -> String {
        n.to_string()
            .bytes()
            .map(|b| digits[usize::from(b - b'0')])
            .collect()
    };
    match style {
        FractionStyle::Plain => format!("{top}/{bottom}"),
        FractionStyle::Built => format!("{}\u{2044}{}", spell(top, RAISED), spell(bottom, LOWERED)),
    }
}

/// Inches with their fraction; `whole` may be zero.
fn mixed(inches: u64, top: u64, bottom: u64, style: FractionStyle) -> String {
    match (inches, top) {
        (_, 0) => inches.to_string(),
        (0, _) => fraction(top, bottom, style),
        _ => {
            let gap = if style == FractionStyle::Plain {
                " "
            } else {
                ""
            };
            format!("{inches}{gap}{}", fraction(top, bottom, style))
        }
    }
}

const fn minus(negative: bool, style: FractionStyle) -> &'static str {
    match (negative, style) {
        (false, _) => "",
        (true, FractionStyle::Plain) => "-",
        (true, FractionStyle::Built) => "\u{2212}",
    }
}

fn inches_number(length: Length, denominator: u32, style: FractionStyle) -> String {
    match split(length, denominator) {
        Some(s) => format!(
            "{}{}",
            minus(s.negative, style),
            mixed(s.inches, s.top, s.bottom, style)
        ),
        None => "?".to_owned(),
    }
}

/// `4 ft 7 1/4 in`, or with marks `4'-7 1/4"`.
fn feet_inches(length: Length, denominator: u32, style: FractionStyle, marks: bool) -> String {
    let Some(s) = split(length, denominator) else {
        return "?".to_owned();
    };
    let (feet, inches) = (s.inches / 12, s.inches % 12);
    let sign = minus(s.negative, style);
    let small = mixed(inches, s.top, s.bottom, style);
    if marks {
        return if feet == 0 {
            format!("{sign}{small}\"")
        } else {
            format!("{sign}{feet}'-{small}\"")
        };
    }
    match (feet, small.as_str()) {
        (0, _) => format!("{sign}{small} in"),
        (_, "0") => format!("{sign}{feet} ft"),
        _ => format!("{sign}{feet} ft {small} in"),
    }
}
