//! Level limits that stand beside flatness limits in some standards: departure from a horizontal or
//! sloped reference over a distance. They say nothing about flatness.

/// NF DTU 52.1, finished tile: `5 mm + 1 mm` for each metre to the nearest mark, plus or minus, metres.
pub fn dtu_52_1_m(distance_m: f64) -> f64 {
    0.005 + 0.001 * distance_m
}

/// NF DTU 13.3 P1-1-2 clause 17.2, slab: `10 * L^(1/3)` mm over a length of L metres, metres.
pub fn dtu_13_3_m(length_m: f64) -> f64 {
    0.010 * length_m.cbrt()
}

/// DIN 18202 table 2, angles: the limit in metres for a distance up to the one asked for.
///
/// Steps, not interpolated: up to 0.5 m 3 mm, 1 m 6, 3 m 8, 6 m 12, 15 m 16, 30 m 20, beyond 30 mm.
pub fn din_18202_angle_m(distance_m: f64) -> f64 {
    [
        (0.5, 3.0),
        (1.0, 6.0),
        (3.0, 8.0),
        (6.0, 12.0),
        (15.0, 16.0),
        (30.0, 20.0),
    ]
    .iter()
    .find(|s| distance_m <= s.0)
    .map_or(30.0, |s| s.1)
        / 1000.0
}
