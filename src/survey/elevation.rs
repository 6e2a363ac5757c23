//! Height of the floor, and the one place where a reading's sign flips.

use crate::units::Length;

/// Height above the survey datum, metres, up positive.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Elevation(f64);

impl Elevation {
    /// The floor's height where a reading was taken down from a level line.
    ///
    /// # Units, datum, sign
    /// `line` is the line's own elevation; `reading` is the distance down to the floor. A larger
    /// reading is a lower floor.
    pub fn below_line(line: Elevation, reading: Length) -> Self {
        Self(line.0 - reading.m())
    }

    /// A height stated as such, metres.
    pub const fn from_m(m: f64) -> Self {
        Self(m)
    }

    /// Metres above the datum.
    pub const fn m(self) -> f64 {
        self.0
    }

    /// Millimetres above the datum.
    pub const fn mm(self) -> f64 {
        self.0 * 1000.0
    }
}

impl std::ops::Sub for Elevation {
    type Output = Length;
    fn sub(self, other: Self) -> Length {
        Length::from_m(self.0 - other.0)
    }
}

impl std::ops::Add<Length> for Elevation {
    type Output = Elevation;
    fn add(self, rise: Length) -> Elevation {
        Elevation(self.0 + rise.m())
    }
}
