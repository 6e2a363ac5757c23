//! Shades: light is shallow, dark is deep. Hue carries nothing.
//!
//! SOURCE: the nine-class sequential scheme "Blues" of ColorBrewer 2.0, one hue, falling lightness,
//! marked colour-blind safe and print friendly by its authors. Checked against the copy in matplotlib 3.11.
//!
//! Copyright (c) 2002 Cynthia Brewer, Mark Harrower, and The Pennsylvania State University. This product
//! includes color specifications and designs developed by Cynthia Brewer (<http://colorbrewer.org/>). The
//! licence stands in full in `docs/licences/acknowledgements.txt`.

/// A colour, eight bits per channel, sRGB.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ink(pub u8, pub u8, pub u8);

impl Ink {
    /// Text and walls.
    pub const BLACK: Self = Self(0, 0, 0);
    /// Paper.
    pub const WHITE: Self = Self(255, 255, 255);
    /// Contours and symbols that must not drown numbers.
    pub const DARK: Self = Self(64, 64, 64);
    /// Grid lines.
    pub const GREY: Self = Self(128, 128, 128);
    /// Hatching.
    pub const PALE: Self = Self(170, 170, 170);
    /// Areas that carry no heights.
    pub const FAINT: Self = Self(238, 238, 238);

    /// CIE 1976 lightness L*, 0 black to 100 white, from sRGB (IEC 61966-2-1), white D65.
    pub fn lightness(self) -> f64 {
        let y = self.luminance();
        if y > 216.0 / 24389.0 {
            116.0 * y.cbrt() - 16.0
        } else {
            y * 24389.0 / 27.0
        }
    }

    /// Relative luminance, 0 to 1.
    pub fn luminance(self) -> f64 {
        let linear = |c: u8| {
            let c = f64::from(c) / 255.0;
            if c <= 0.04045 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }
}

/// The published classes, light to dark.
const BLUES: [Ink; 9] = [
    Ink(247, 251, 255),
    Ink(222, 235, 247),
    Ink(198, 219, 239),
    Ink(158, 202, 225),
    Ink(107, 174, 214),
    Ink(66, 146, 198),
    Ink(33, 113, 181),
    Ink(8, 81, 156),
    Ink(8, 48, 107),
];

/// Lightness of the shallowest and of the deepest band. Darker than this, a black number on a
/// photocopy is lost even on its white plate's edge.
const LIGHTEST: f64 = 98.4;
const DARKEST: f64 = 46.0;

/// Shades for `count` bands, evenly spaced in lightness from light (first) to dark (last).
///
/// Interpolated between neighbouring published classes, so every shade lies on the published scale.
pub fn shades(count: usize) -> Vec<Ink> {
    (0..count)
        .map(|i| {
            let share = if count < 2 {
                0.0
            } else {
                i as f64 / (count - 1) as f64
            };
            at_lightness(LIGHTEST + (DARKEST - LIGHTEST) * share)
        })
        .collect()
}

/// The point of the published scale that has lightness `l`.
fn at_lightness(l: f64) -> Ink {
    for pair in BLUES.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let (la, lb) = (a.lightness(), b.lightness());
        if l <= la && l >= lb {
            let t = (la - l) / (la - lb);
            let mix =
                |x: u8, y: u8| (f64::from(x) + (f64::from(y) - f64::from(x)) * t).round() as u8;
            return Ink(mix(a.0, b.0), mix(a.1, b.1), mix(a.2, b.2));
        }
    }
    if l > BLUES[0].lightness() {
        BLUES[0]
    } else {
        BLUES[8]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE:    property: lightness falls by even steps, so order survives a grey print
    // TOLERANCE: 1.5 L*, rounding of channels and straight mixing between published classes
    #[test]
    fn shades_fall_evenly_in_lightness() {
        for count in 2..=9 {
            let l: Vec<f64> = shades(count).iter().map(|s| s.lightness()).collect();
            let step = (LIGHTEST - DARKEST) / (count - 1) as f64;
            for w in l.windows(2) {
                assert!((w[0] - w[1] - step).abs() < 1.5, "{count}: {l:?}");
            }
        }
    }

    // ORACLE: published: L* of sRGB black, white and mid grey (119, 119, 119) is 0, 100 and 50
    #[test]
    fn lightness_of_known_greys() {
        assert_eq!(Ink::BLACK.lightness(), 0.0);
        assert!((Ink::WHITE.lightness() - 100.0).abs() < 1e-9);
        assert!((Ink(119, 119, 119).lightness() - 50.0).abs() < 0.1);
    }
}
