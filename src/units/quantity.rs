//! The three quantities that cross module borders.

/// One inch in metres, exact (international inch, 1959 agreement).
pub const INCH_M: f64 = 0.0254;
/// One foot in metres, exact.
pub const FOOT_M: f64 = 0.3048;
/// One cubic foot in cubic metres, exact.
pub const CUBIC_FOOT_M3: f64 = FOOT_M * FOOT_M * FOOT_M;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Zero.
            pub const ZERO: Self = Self(0.0);

            #[doc = concat!("From a number of ", $unit, ".")]
            pub const fn from_si(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("As a number of ", $unit, ".")]
            pub const fn si(self) -> f64 {
                self.0
            }
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl std::ops::Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
                Self(iter.map(|q| q.0).sum())
            }
        }
    };
}

quantity!(
    /// A length or a height difference. Signed.
    Length,
    "metres"
);
quantity!(
    /// An area in plan.
    Area,
    "square metres"
);
quantity!(
    /// A volume of material.
    Volume,
    "cubic metres"
);

impl Length {
    /// From millimetres.
    pub const fn from_mm(mm: f64) -> Self {
        Self(mm / 1000.0)
    }
    /// From metres.
    pub const fn from_m(m: f64) -> Self {
        Self(m)
    }
    /// From inches.
    pub const fn from_in(inches: f64) -> Self {
        Self(inches * INCH_M)
    }
    /// From decimal feet.
    pub const fn from_ft(feet: f64) -> Self {
        Self(feet * FOOT_M)
    }
    /// In millimetres.
    pub const fn mm(self) -> f64 {
        self.0 * 1000.0
    }
    /// In metres.
    pub const fn m(self) -> f64 {
        self.0
    }
    /// In inches.
    pub const fn inches(self) -> f64 {
        self.0 / INCH_M
    }
    /// In decimal feet.
    pub const fn feet(self) -> f64 {
        self.0 / FOOT_M
    }
    /// Size without sign.
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }
}

impl Area {
    /// In square metres.
    pub const fn m2(self) -> f64 {
        self.0
    }
    /// From square feet.
    pub const fn from_ft2(ft2: f64) -> Self {
        Self(ft2 * FOOT_M * FOOT_M)
    }
    /// In square feet.
    pub const fn ft2(self) -> f64 {
        self.0 / (FOOT_M * FOOT_M)
    }
}

impl Volume {
    /// From litres.
    pub const fn from_litres(litres: f64) -> Self {
        Self(litres / 1000.0)
    }
    /// In litres.
    pub const fn litres(self) -> f64 {
        self.0 * 1000.0
    }
    /// From cubic feet.
    pub const fn from_ft3(ft3: f64) -> Self {
        Self(ft3 * CUBIC_FOOT_M3)
    }
    /// In cubic feet.
    pub const fn ft3(self) -> f64 {
        self.0 / CUBIC_FOOT_M3
    }
}

impl std::ops::Mul<Length> for Area {
    type Output = Volume;
    fn mul(self, depth: Length) -> Volume {
        Volume(self.0 * depth.0)
    }
}
