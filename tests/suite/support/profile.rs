//! The floor along a segment, by no walk from triangle to triangle.

use birdbath::geometry::Point;
use birdbath::surface::Floor;

/// Heights along a segment, worked out the slow way: cut it at every side of every triangle, and look
/// for a triangle under the middle of each piece. `None` when a piece has none.
pub fn slow_profile(floor: &Floor, a: Point, b: Point) -> Option<Vec<(f64, f64)>> {
    let mut cuts = vec![0.0, 1.0];
    let d = b - a;
    for t in 0..floor.triangles().len() as u32 {
        let c = floor.corners(t).map(|v| v.at);
        for k in 0..3 {
            let (p, q) = (c[k], c[(k + 1) % 3]);
            let e = q - p;
            let det = d.cross(e);
            if det.abs() < 1e-14 {
                continue;
            }
            let (s, u) = ((p - a).cross(e) / det, (p - a).cross(d) / det);
            if (0.0..=1.0).contains(&s) && (-1e-9..=1.0 + 1e-9).contains(&u) {
                cuts.push(s);
            }
        }
    }
    cuts.sort_by(f64::total_cmp);
    let mut out = Vec::new();
    for w in cuts.windows(2) {
        if (w[1] - w[0]) * d.norm() < 1e-9 {
            continue;
        }
        let middle = a.lerp(b, (w[0] + w[1]) / 2.0);
        let t = (0..floor.triangles().len() as u32).find(|&t| {
            let c = floor.corners(t).map(|v| v.at);
            (0..3).all(|k| (c[(k + 1) % 3] - c[k]).cross(middle - c[k]) >= -1e-12)
        })?;
        let corner = floor.corners(t)[0];
        for s in w {
            let p = a.lerp(b, *s);
            out.push((
                s * d.norm(),
                corner.z + floor.gradient(t).dot(p - corner.at),
            ));
        }
    }
    Some(out)
}
