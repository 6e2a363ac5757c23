//! Side-of-line and in-circle tests that are never wrong through rounding.

use super::Point;
use robust::Coord;

const fn coord(p: Point) -> Coord<f64> {
    Coord { x: p.x, y: p.y }
}

/// Twice the signed area of the triangle `a b c`: positive when `c` lies to the left of `a → b`.
///
/// # Accuracy
/// The sign is exact (adaptive arithmetic after J. R. Shewchuk, 1997); the size is only near.
pub fn orient(a: Point, b: Point, c: Point) -> f64 {
    robust::orient2d(coord(a), coord(b), coord(c))
}

/// Positive when `d` lies inside the circle through the counter-clockwise triangle `a b c`, negative
/// outside, zero on it.
///
/// # Accuracy
/// The sign is exact, as in [`orient`].
pub fn in_circle(a: Point, b: Point, c: Point, d: Point) -> f64 {
    robust::incircle(coord(a), coord(b), coord(c), coord(d))
}

/// How far four corners `a b c d` of a quadrilateral cut by the diagonal `a c` are from lying on one
/// circle: the sine of the sum of the angles at `b` and `d`.
///
/// Zero on one circle; negative when the diagonal is not the Delaunay one. Free of scale, so one
/// tolerance serves a bath and a hall. `a b c` and `a c d` are counter-clockwise.
///
/// Where three of the four stand in one line to a thousandth of their length, the sum of the angles is near half a turn
/// wherever the fourth stands; there it is 1 or -1 by the exact test.
pub fn circle_excess(a: Point, b: Point, c: Point, d: Point) -> f64 {
    if [[a, b, c], [a, c, d], [a, b, d], [b, c, d]]
        .iter()
        .any(|&three| in_one_line(three))
    {
        return if in_circle(a, b, c, d) > 0.0 {
            -1.0
        } else {
            1.0
        };
    }
    let (ba, bc) = (a - b, c - b);
    let (da, dc) = (a - d, c - d);
    // Angle at b turns from c to a, angle at d from a to c, both counter-clockwise.
    let (sin_b, cos_b) = (bc.cross(ba), bc.dot(ba));
    let (sin_d, cos_d) = (da.cross(dc), da.dot(dc));
    let size = ((sin_b * sin_b + cos_b * cos_b) * (sin_d * sin_d + cos_d * cos_d)).sqrt();
    if size > 0.0 {
        (sin_b * cos_d + cos_b * sin_d) / size
    } else {
        0.0
    }
}

fn in_one_line([a, b, c]: [Point; 3]) -> bool {
    let sides = [b - a, c - b, a - c];
    let longest = sides.iter().map(|s| s.dot(*s)).fold(0.0, f64::max);
    sides[0].cross(sides[1]).abs() <= IN_LINE * longest
}

/// Three points stand in one line where the middle one is off it by less than this share of its length.
const IN_LINE: f64 = 1e-3;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn excess_is_zero_on_a_square_and_signed_off_it() {
        let p = Point::new;
        // ORACLE: closed form. Angles at b and d of a square are right angles; their sum has sine 0.
        assert!(circle_excess(p(0., 0.), p(1., 0.), p(1., 1.), p(0., 1.)).abs() < 1e-15);
        // d pulled in: it lies inside the circle through a b c, so the diagonal a c is wrong.
        let inside = circle_excess(p(0., 0.), p(1., 0.), p(1., 1.), p(0.2, 0.8));
        assert!(inside < 0.0);
        assert!(in_circle(p(0., 0.), p(1., 0.), p(1., 1.), p(0.2, 0.8)) > 0.0);
        let outside = circle_excess(p(0., 0.), p(1., 0.), p(1., 1.), p(-0.2, 1.2));
        assert!(outside > 0.0);
        // Three readings in line but for a nanometre, the fourth 0.1 mm beside them: the long diagonal is wrong, and far
        // from a toss-up.
        let row = circle_excess(p(3., 0.), p(4., 1e-4), p(0., 0.), p(1.5, -1e-9));
        assert_eq!(row, -1.0);
        assert!(in_circle(p(0., 0.), p(1., 0.), p(1., 1.), p(-0.2, 1.2)) < 0.0);
    }

    #[test]
    fn orientation_holds_where_plain_arithmetic_rounds_to_zero() {
        let (a, b) = (Point::new(0.5, 0.5), Point::new(12.0, 12.0));
        let c = Point::new(24.0, 24.0 + 4.0 * f64::EPSILON * 8.0);
        assert!(orient(a, b, c) > 0.0);
        assert!(orient(a, b, Point::new(24.0, 24.0)) == 0.0);
    }
}
