//! Figures in the reader's habit. Rounds nothing itself: `units` does.

use super::{
    Area, FractionStyle, Habit, INCH_M, Length, LengthFormat, Volume, area_text, at_least_text,
    at_most_text, bound_number_text, gap_beside_text, gap_number_text, liquid_to_bring_text,
    load_text, mass_text, number_text, part_of_area_text, reading_step_text, share_against_text,
    share_text, spacing_text, volume_text, water_text,
};

/// Writes figures: one unit and one step for each kind, held through a whole document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Pen {
    /// Units.
    pub habit: Habit,
}

impl Pen {
    /// A pen for a habit.
    pub const fn new(habit: Habit) -> Self {
        Self { habit }
    }

    const fn depth_format(self) -> LengthFormat {
        LengthFormat::depth(self.habit)
    }

    const fn plan_format(self) -> LengthFormat {
        LengthFormat::plan(self.habit)
    }

    /// A height or a depth: `7/16 in`, `11 mm`.
    pub fn depth(self, m: f64) -> String {
        self.depth_format().text(Length::from_m(m))
    }

    /// The same without its unit, for a column whose heading names it.
    pub fn depth_number(self, m: f64) -> String {
        self.depth_format().number(Length::from_m(m))
    }

    /// A signed height without its unit: `+1/8`, `-1/8`, `0`.
    pub fn rise_number(self, m: f64) -> String {
        self.depth_format().signed(Length::from_m(m))
    }

    /// The same with its unit.
    pub fn rise(self, m: f64) -> String {
        format!("{} {}", self.rise_number(m), self.depth_unit())
    }

    /// A depth as somebody stated it, in his own unit: `3/32 in`, `2 mm (0.079 in)`.
    pub fn stated(self, m: f64) -> String {
        self.limit(m)
    }

    /// A depth that hangs on a stated one: in the next finer step where that holds it, else rounded as any depth. Without its unit.
    pub fn held_number(self, m: f64) -> String {
        LengthFormat::holding(Length::from_m(m), self.habit).number(Length::from_m(m))
    }

    /// The same with its unit.
    pub fn held(self, m: f64) -> String {
        format!("{} {}", self.held_number(m), self.depth_unit())
    }

    /// The same signed and with its unit: `+3/32 in`.
    pub fn held_rise(self, m: f64) -> String {
        format!("{} {}", self.held_rise_number(m), self.depth_unit())
    }

    /// The same without its unit.
    pub fn held_rise_number(self, m: f64) -> String {
        LengthFormat::holding(Length::from_m(m), self.habit).signed(Length::from_m(m))
    }

    /// A gauge depth with its unit, in steps of the reader's rule where they hold it; a round one of the other kind of rule as it was
    /// stated: `1/8 in`, `3 mm (0.118 in)`.
    pub fn gauge(self, m: f64) -> String {
        let held = self.held(m);
        let of_other_rule = match self.habit {
            Habit::Us => m * 2000.0,
            Habit::Metric => Length::from_m(m).inches() * 64.0,
        };
        let stated = self.stated(m.abs());
        let is_round = (of_other_rule - of_other_rule.round()).abs() < 1e-6;
        if !is_round || held.trim_start_matches('-') == stated {
            held
        } else if m < 0.0 {
            format!("-{stated}")
        } else {
            stated
        }
    }

    /// The same signed: `+1/8 in`.
    pub fn gauge_rise(self, m: f64) -> String {
        let text = self.gauge(m.abs());
        match m {
            m if m > 0.0 => format!("+{text}"),
            m if m < 0.0 => format!("-{text}"),
            _ => text,
        }
    }

    /// The same for a column whose heading names the unit: a depth that the rule's steps do not hold brings its own.
    pub fn gauge_number(self, m: f64) -> String {
        let text = self.gauge(m);
        match text.strip_suffix(self.depth_unit()) {
            Some(number) if !text.ends_with(')') && self.held(m) == text => {
                number.trim_end().to_owned()
            }
            _ => text,
        }
    }

    /// A depth that hangs on a stated gauge and on readings: `23/32 in` under a gauge of 3/32 in; whole millimetres.
    pub fn of_gauge(self, m: f64) -> String {
        format!("{} {}", self.of_gauge_number(m), self.depth_unit())
    }

    /// The same without its unit.
    pub fn of_gauge_number(self, m: f64) -> String {
        LengthFormat::of_gauge(Length::from_m(m), self.habit).number(Length::from_m(m))
    }

    /// The same signed and with its unit.
    pub fn of_gauge_rise(self, m: f64) -> String {
        format!("{} {}", self.of_gauge_rise_number(m), self.depth_unit())
    }

    /// The same without its unit.
    pub fn of_gauge_rise_number(self, m: f64) -> String {
        LengthFormat::of_gauge(Length::from_m(m), self.habit).signed(Length::from_m(m))
    }

    /// A depth over a limit, without its unit: it never prints as the limit. One that no rule shows to be over it is `over 1/8`.
    pub fn over_number(self, m: f64, limit_m: f64) -> String {
        let (length, limit) = (Length::from_m(m), Length::from_m(limit_m));
        match LengthFormat::over(length, limit, self.habit) {
            Some(format) => format.number(length),
            None => self.just_over(limit),
        }
    }

    fn just_over(self, limit: Length) -> String {
        format!(
            "over {}",
            LengthFormat::holding(limit, self.habit).number(limit)
        )
    }

    /// The same with its unit.
    pub fn over_depth(self, m: f64, limit_m: f64) -> String {
        format!("{} {}", self.over_number(m, limit_m), self.depth_unit())
    }

    /// A signed height whose size is over a limit, with its unit: its size never prints as the limit.
    pub fn rise_over(self, m: f64, limit_m: f64) -> String {
        let length = Length::from_m(m);
        let (usual, limit) = (
            LengthFormat::of_gauge(length, self.habit),
            Length::from_m(limit_m),
        );
        let Some(over) = LengthFormat::over(Length::from_m(m.abs()), limit, self.habit) else {
            return format!("{} {}", self.just_over(limit), self.depth_unit());
        };
        // The finer of the two tells both.
        let format = if usual.step().m() < over.step().m() {
            usual
        } else {
            over
        };
        format!("{} {}", format.signed(length), self.depth_unit())
    }

    /// Unit of depths.
    pub const fn depth_unit(self) -> &'static str {
        self.depth_format().unit()
    }

    /// The step that depths are printed to: `1/16 in`, `1 mm`.
    pub fn depth_step(self) -> String {
        let format = self.depth_format();
        format.text(format.step())
    }

    /// Whether a depth prints as nothing.
    pub fn prints_as_zero(self, m: f64) -> bool {
        self.depth_number(m) == "0"
    }

    /// A gap under a straight edge. A sixteenth can hide on which side of a limit a gap lies, so the decimal
    /// stands first: `0.19 in (3/16)`; `0.02 in (under 1/16)`; `4.8 mm`.
    pub fn gap(self, m: f64) -> String {
        match self.habit {
            Habit::Us if self.gap_number(m) == self.gap_number(0.0) => {
                format!("{} in", self.gap_number(m))
            }
            Habit::Us => format!(
                "{} in ({})",
                number_text(Length::from_m(m).inches(), 2),
                self.at_least_number(m)
            ),
            Habit::Metric => format!("{} mm", self.gap_number(m)),
        }
    }

    /// A gap beside its limit: it never prints as the limit, nor on the other side of it, unless it is on it.
    pub fn gap_against(self, m: f64, limit_m: f64) -> String {
        let number = self.gap_number_against(m, limit_m);
        if self.habit == Habit::Metric || number == self.gap_number(0.0) {
            return format!("{number} {}", self.gap_unit());
        }
        let sixteenths = self.at_least_number(m);
        // A sixteenth that is the limit's own says nothing of a gap that is not, and one on its other side says what is not so.
        let on = (m - limit_m).abs() <= super::text_print::SAME_GAP_M;
        let sixteenth_m = INCH_M / 16.0;
        let told_m = (m / sixteenth_m).round() * sixteenth_m;
        let crossed = if m > limit_m {
            told_m <= limit_m
        } else {
            told_m >= limit_m
        };
        if !on && (crossed || sixteenths == self.depth_number(limit_m)) {
            format!("{number} in")
        } else {
            format!("{number} in ({sixteenths})")
        }
    }

    /// The same without its unit and without sixteenths.
    pub fn gap_number_against(self, m: f64, limit_m: f64) -> String {
        gap_beside_text(Length::from_m(m), Length::from_m(limit_m), self.habit)
    }

    /// A doubt: one that is there but rounds to nothing is told as under the least that prints.
    pub fn doubt(self, m: f64) -> String {
        if m > 0.0 && self.gap_number(m) == self.gap_number(0.0) {
            let least = match self.habit {
                Habit::Us => INCH_M * 0.01,
                Habit::Metric => 1e-4,
            };
            return under(&format!("{} {}", self.gap_number(least), self.gap_unit()));
        }
        format!("{} {}", self.gap_number(m), self.gap_unit())
    }

    /// A small spread, to a hundredth of a millimetre or a thousandth of an inch: `0.41 mm`, `0.016 in`.
    pub fn spread(self, m: f64) -> String {
        match self.habit {
            Habit::Us => format!("{:.3} in", Length::from_m(m).inches()),
            Habit::Metric => format!("{:.2} mm", Length::from_m(m).mm()),
        }
    }

    /// A gap without its unit: `0.19`, `4.8`.
    pub fn gap_number(self, m: f64) -> String {
        gap_number_text(Length::from_m(m), self.habit)
    }

    /// A bound without its unit, rounded up.
    pub fn bound_number(self, m: f64) -> String {
        bound_number_text(Length::from_m(m), self.habit)
    }

    /// A bound with its unit.
    pub fn bound(self, m: f64) -> String {
        format!("{} {}", self.bound_number(m), self.gap_unit())
    }

    /// Unit of gaps.
    pub const fn gap_unit(self) -> &'static str {
        match self.habit {
            Habit::Us => "in",
            Habit::Metric => "mm",
        }
    }

    /// A limit as its rule states it, in the rule's own unit, with the reader's beside it where that is another:
    /// `3/16 in`, `5 mm`, `3 mm (0.118 in)`, `1/8 in (3.18 mm)`.
    pub fn limit(self, m: f64) -> String {
        let length = Length::from_m(m);
        let short = |value: f64, decimals: usize| {
            let text = number_text(value, decimals);
            match text.contains('.') {
                true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
                false => text,
            }
        };
        let whole = |step_m: f64| (m / step_m - (m / step_m).round()).abs() * step_m < SAME_LIMIT_M;
        let (of_inches, of_mm) = (whole(INCH_M / 64.0), whole(1e-4));
        let inches = || LengthFormat::Inches { denominator: 64 }.text(length);
        let mm = |decimals: usize| format!("{} mm", short(length.mm(), decimals));
        match self.habit {
            Habit::Us if of_inches => inches(),
            Habit::Us if of_mm => format!("{} ({} in)", mm(1), short(length.inches(), 3)),
            Habit::Us => format!("{} in", short(length.inches(), 3)),
            Habit::Metric if of_mm => mm(1),
            Habit::Metric if of_inches => format!("{} ({})", inches(), mm(2)),
            Habit::Metric => mm(2),
        }
    }

    /// A distance in plan: `4 ft 7 1/4 in`, `1.40 m`.
    pub fn plan(self, m: f64) -> String {
        self.plan_format().text(Length::from_m(m))
    }

    /// How far apart readings stand.
    pub fn spacing(self, m: f64) -> String {
        spacing_text(Length::from_m(m), self.habit)
    }

    /// How far apart they may stand at most, rounded down.
    pub fn read_every(self, m: f64) -> String {
        at_most_text(Length::from_m(m), self.habit)
    }

    /// A distance that is too large, rounded up.
    pub fn at_least(self, m: f64) -> String {
        at_least_text(Length::from_m(m), self.habit)
    }

    /// The same without its unit (feet and inches keep their marks).
    pub fn plan_number(self, m: f64) -> String {
        self.plan_format().number(Length::from_m(m))
    }

    /// Unit of plan distances.
    pub const fn plan_unit(self) -> &'static str {
        self.plan_format().unit()
    }

    /// A place on the floor, as near as a person paces or tapes it: `4 ft 7 in`, `1.40 m`.
    pub fn near(self, m: f64) -> String {
        match self.habit {
            Habit::Us => LengthFormat::FeetInches { denominator: 1 }.text(Length::from_m(m)),
            Habit::Metric => self.plan(m),
        }
    }

    /// A depth that is there but may round to nothing: `under 1/16` instead of `0`, without its unit.
    pub fn at_least_number(self, m: f64) -> String {
        if m > 0.0 && self.prints_as_zero(m) {
            under(&self.depth_format().number(self.depth_format().step()))
        } else {
            self.depth_number(m)
        }
    }

    /// The same with its unit.
    pub fn at_least_depth(self, m: f64) -> String {
        format!("{} {}", self.at_least_number(m), self.depth_unit())
    }

    /// A length of edge: `10 ft`, `2 m`, `1 ft 6 in`.
    pub fn span(self, m: f64) -> String {
        match self.habit {
            Habit::Us => self.plan(m),
            Habit::Metric => {
                let text = number_text(m, 2);
                let text = text.trim_end_matches('0').trim_end_matches('.');
                format!("{text} m")
            }
        }
    }

    /// An area.
    pub fn area(self, m2: f64) -> String {
        // Nothing is not a figure of three digits.
        if m2 == 0.0 {
            return format!("0 {}", self.area_unit());
        }
        area_text(Area::from_si(m2), self.habit)
    }

    /// How much of an area something is said of: `on 210 of 400 sq ft`; empty where it is all of it.
    pub fn on(self, part_m2: f64, whole_m2: f64) -> String {
        part_of_area_text(Area::from_si(part_m2), Area::from_si(whole_m2), self.habit)
            .map_or_else(String::new, |text| format!("on {text}"))
    }

    /// A part of an area beside the whole, or all of it: `210 of 400 sq ft`, `400 sq ft`.
    pub fn of(self, part_m2: f64, whole_m2: f64) -> String {
        let (part, whole) = (Area::from_si(part_m2), Area::from_si(whole_m2));
        part_of_area_text(part, whole, self.habit).unwrap_or_else(|| self.area(whole_m2))
    }

    /// The same without its unit: `210 of 400`, `400`.
    pub fn of_number(self, part_m2: f64, whole_m2: f64) -> String {
        let text = self.of(part_m2, whole_m2);
        text.strip_suffix(self.area_unit())
            .map_or_else(|| text.clone(), |t| t.trim_end().to_owned())
    }

    /// The step that readings were taken to: `1/16 in`, `0.5 mm`.
    pub fn step(self, m: f64) -> String {
        reading_step_text(Length::from_m(m), self.habit)
    }

    /// An area without its unit.
    pub fn area_number(self, m2: f64) -> String {
        first_word(&self.area(m2))
    }

    /// Unit of areas.
    pub const fn area_unit(self) -> &'static str {
        match self.habit {
            Habit::Us => "sq ft",
            Habit::Metric => "m²",
        }
    }

    /// A volume.
    pub fn volume(self, m3: f64) -> String {
        if m3 == 0.0 {
            return format!("0 {}", self.volume_unit());
        }
        volume_text(Volume::from_si(m3), self.habit)
    }

    /// A small volume that others are worked out of, as a bag's yield: `0.354 cu ft`, `10.2 L`.
    pub fn fine_volume(self, m3: f64) -> String {
        match self.habit {
            Habit::Us => format!("{} cu ft", self.number(Volume::from_si(m3).ft3(), 3)),
            Habit::Metric => self.volume(m3),
        }
    }

    /// A volume that is there but may round to nothing: `under 0.01 cu ft` instead of `0.00 cu ft`.
    pub fn some_volume(self, m3: f64) -> String {
        let text = self.volume(m3);
        if m3 > 0.0 && text.starts_with("0.00 ") {
            under(&self.volume(match self.habit {
                Habit::Us => 0.01 * super::FOOT_M.powi(3),
                Habit::Metric => 0.000_01,
            }))
        } else {
            text
        }
    }

    /// The same without its unit.
    pub fn some_volume_number(self, m3: f64) -> String {
        let text = self.some_volume(m3);
        text.strip_suffix(self.volume_unit())
            .map_or_else(|| text.clone(), |t| t.trim_end().to_owned())
    }

    /// A volume without its unit.
    pub fn volume_number(self, m3: f64) -> String {
        first_word(&self.volume(m3))
    }

    /// Unit of volumes.
    pub const fn volume_unit(self) -> &'static str {
        match self.habit {
            Habit::Us => "cu ft",
            Habit::Metric => "L",
        }
    }

    /// Liquid to bring, rounded up.
    pub fn to_bring(self, m3: f64) -> String {
        liquid_to_bring_text(Volume::from_si(m3), self.habit)
    }

    /// A volume of water.
    pub fn water(self, m3: f64) -> String {
        water_text(Volume::from_si(m3), self.habit)
    }

    /// A mass.
    pub fn mass(self, kg: f64) -> String {
        mass_text(kg, self.habit)
    }

    /// A load on the floor.
    pub fn load(self, kg_per_m2: f64) -> String {
        load_text(kg_per_m2, self.habit)
    }

    /// A share of a whole.
    pub fn share(self, share: f64) -> String {
        share_text(share)
    }

    /// A share beside one that is allowed, with the decimals that tell on which side of it the share lies: `5.6 %`.
    pub fn share_against(self, share: f64, allowed: f64) -> String {
        share_against_text(share, allowed)
    }

    /// A share that is not exceeded, rounded up to a tenth of a percent: `5.0 %`.
    pub fn share_up(self, share: f64) -> String {
        // What is a tenth but for the last digits of its arithmetic is that tenth.
        format!(
            "{} %",
            number_text((share * 1000.0 - 1e-6).ceil() / 10.0, 1)
        )
    }

    /// A percentage that somebody stated, as it was stated: `7.5 %`.
    pub fn percent(self, share: f64) -> String {
        let text = number_text(share * 100.0, 2);
        let short = if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.')
        } else {
            &text
        };
        format!("{short} %")
    }

    /// Minutes, to the half: `45 min`, `12.5 min`.
    pub fn minutes(self, minutes: f64) -> String {
        let halves = (minutes * 2.0).round();
        if halves < 2.0 * LEAST_IN_HOURS_MIN {
            return format!("{} min", self.minutes_number(minutes));
        }
        let hours = (halves / 120.0).floor();
        let rest = halves / 2.0 - hours * 60.0;
        if rest > 0.0 {
            format!(
                "{} h {} min",
                number_text(hours, 0),
                self.minutes_number(rest)
            )
        } else {
            format!("{} h", number_text(hours, 0))
        }
    }

    /// The same without its unit.
    pub fn minutes_number(self, minutes: f64) -> String {
        let halves = (minutes * 2.0).round();
        number_text(halves / 2.0, usize::from(halves % 2.0 != 0.0))
    }

    /// A count or another plain number.
    pub fn number(self, value: f64, decimals: usize) -> String {
        number_text(value, decimals)
    }

    /// The fraction built for drawings, without its unit.
    pub fn built(self, m: f64) -> String {
        self.depth_format()
            .number_styled(Length::from_m(m), FractionStyle::Built)
    }
}

/// Times from here on are told in hours, minutes.
const LEAST_IN_HOURS_MIN: f64 = 120.0;

/// A limit is a whole number of its rule's steps when it is off one by less than this, metres: rounding of the computer.
const SAME_LIMIT_M: f64 = 1e-6;

/// Less than the step that is printed.
fn under(step: &str) -> String {
    format!("under {step}")
}

/// The number before the unit of an area or a volume.
fn first_word(text: &str) -> String {
    text.split(' ').next().unwrap_or(text).to_owned()
}
