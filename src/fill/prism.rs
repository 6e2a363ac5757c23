//! The part of a triangular prism that stands above zero.

/// Floor this near to a level is at it, metres. Readings in steps and finishes in steps meet often, and rounding would say on which side of
/// it a whole plateau lies; no rule reads to a thousand times as much.
pub(super) const EVEN_M: f64 = 1e-9;

/// What one triangle contributes where its depth is positive.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cut {
    /// Plan area with positive depth, square metres.
    pub area_m2: f64,
    /// Volume over that area, cubic metres.
    pub volume_m3: f64,
}

/// Area and volume of a triangle's part whose depth is positive.
///
/// # Units, datum, sign
/// `area_m2` is the triangle's plan area; `depth_m` the depth at its corners, positive where the
/// finish is above the floor. Pass the negated depths for the part that stands above the finish.
/// # Method
/// Depth is linear on the triangle, so the line of zero depth is straight. With one positive
/// corner the part is a triangle cut off at the shares `d1/(d1-d2)` and `d1/(d1-d3)` of two edges;
/// with two it is a quadrilateral, taken as two triangles. A linear depth over a triangle holds
/// exactly `A (d1+d2+d3)/3`. Every term is positive: nothing cancels.
/// # Edge cases
/// A corner at zero, to a millionth of a millimetre, has no depth, and adds no area. A triangle with no positive corner gives zero.
/// # Example
/// ```
/// use birdbath::fill::positive_part;
/// // 2 m2 with depths 30, 0 and 0 mm hold 2 * 0.030 / 3 = 0.020 m3.
/// let cut = positive_part(2.0, [0.030, 0.0, 0.0]);
/// assert_eq!(cut.area_m2, 2.0);
/// assert!((cut.volume_m3 - 0.020).abs() < 1e-15);
/// ```
pub fn positive_part(area_m2: f64, depth_m: [f64; 3]) -> Cut {
    // Sorting makes the result independent of which corner is listed first.
    let mut d = depth_m;
    d.sort_unstable_by(|a, b| b.total_cmp(a));
    Cut {
        area_m2: above_zero(area_m2, d.map(|v| if v.abs() <= EVEN_M { 0.0 } else { v })).area_m2,
        volume_m3: above_zero(area_m2, d).volume_m3,
    }
}

/// The part of a triangle whose depth, largest first, is positive.
fn above_zero(area_m2: f64, [d1, d2, d3]: [f64; 3]) -> Cut {
    if d1 <= 0.0 {
        Cut::default()
    } else if d3 >= 0.0 {
        Cut {
            area_m2,
            volume_m3: area_m2 * (d1 + d2 + d3) / 3.0,
        }
    } else if d2 <= 0.0 {
        let area = area_m2 * (d1 / (d1 - d2)) * (d1 / (d1 - d3));
        Cut {
            area_m2: area,
            volume_m3: area * d1 / 3.0,
        }
    } else {
        let u1 = d1 / (d1 - d3);
        let u2 = d2 / (d2 - d3);
        let near = area_m2 * u2;
        let far = area_m2 * (1.0 - u2) * u1;
        Cut {
            area_m2: near + far,
            volume_m3: near * (d1 + d2) / 3.0 + far * d1 / 3.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::positive_part;

    // ORACLE: hand. A plateau at the level, whatever rounding makes of it, has no area on either side; a corner at it cuts nothing off.
    #[test]
    fn floor_at_the_level_is_on_neither_side_of_it() {
        for r in [0.0, 1e-16, -1e-16, 3e-10, -3e-10] {
            for d in [[r; 3], [r, -0.01, -0.02], [r, r, -0.01]] {
                assert_eq!(positive_part(2.0, d).area_m2, 0.0, "{d:?}");
            }
            assert_eq!(positive_part(2.0, [0.01, r, 0.02]).area_m2, 2.0);
            assert_eq!(positive_part(2.0, [0.01, r, -0.01]).area_m2, 1.0);
        }
    }

    // ORACLE: hand. Right triangle with legs 1 m, depth x - 1/2: the positive part is the small
    // triangle x > 1/2 with legs 1/2, area 1/8, depths 0, 0 and 1/2: volume 1/8 * (1/2) / 3 = 1/48.
    // The rest, turned over: area 3/8, and volume 1/48 - integral of (x - 1/2) over the triangle
    // (= 1/2 * (0 + 1 + 0)/3 - 1/4 = -1/12), so 1/48 + 4/48 = 5/48.
    #[test]
    fn a_triangle_cut_in_half() {
        let d = [-0.5, 0.5, -0.5];
        let wet = positive_part(0.5, d);
        assert!((wet.area_m2 - 0.125).abs() < 1e-15);
        assert!((wet.volume_m3 - 1.0 / 48.0).abs() < 1e-15);
        let dry = positive_part(0.5, d.map(|v: f64| -v));
        assert!((dry.area_m2 - 0.375).abs() < 1e-15);
        assert!((dry.volume_m3 - 5.0 / 48.0).abs() < 1e-15);
    }
}
