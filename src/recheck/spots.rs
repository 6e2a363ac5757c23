//! Marks that are wrong in one way and stand together, as one spot to put right.

use super::mark::{RecheckMark, Remark};

/// Neighbouring marks with one remark.
#[derive(Debug, Clone, PartialEq)]
pub struct RecheckSpot {
    /// What is wrong.
    pub remark: Remark,
    /// Indices of its marks, in walking order.
    pub marks: Vec<usize>,
    /// Index of the mark where it is worst.
    pub worst: usize,
}

/// Marks nearer to each other than this many spacings belong to one spot: a diagonal of the grid does, two
/// steps along a line do not.
const TOGETHER: f64 = 1.5;

/// How bad a mark is, the larger the worse, metres.
fn badness(m: &RecheckMark, remark: Remark) -> f64 {
    match remark {
        Remark::Thin | Remark::Lost => -m.placed_m,
        Remark::Proud => m.off_finish_m.unwrap_or(0.0),
        Remark::Low => -m.off_finish_m.unwrap_or(0.0),
    }
}

/// Groups the marks of each remark by place, the worst spot of a remark first.
///
/// # Units
/// `spacing_m` is the typical distance between marks.
pub(super) fn spots(marks: &[RecheckMark], spacing_m: f64) -> Vec<RecheckSpot> {
    let mut out = Vec::new();
    for remark in [Remark::Proud, Remark::Thin, Remark::Low, Remark::Lost] {
        let mut open: Vec<usize> = (0..marks.len())
            .filter(|&i| marks[i].remarks.contains(&remark))
            .collect();
        let mut groups = Vec::new();
        // Every round takes a mark out of `open`, so this ends.
        while !open.is_empty() {
            let mut group = vec![open.remove(0)];
            let mut next = 0;
            while let Some(&i) = group.get(next) {
                let near = |&j: &usize| marks[i].at.distance(marks[j].at) <= TOGETHER * spacing_m;
                group.extend(open.iter().copied().filter(near));
                open.retain(|j| !near(j));
                next += 1;
            }
            group.sort_unstable();
            groups.push(group);
        }
        let mut spots: Vec<RecheckSpot> = groups
            .into_iter()
            .filter_map(|group| {
                let worst = group.iter().copied().max_by(|&i, &j| {
                    badness(&marks[i], remark)
                        .total_cmp(&badness(&marks[j], remark))
                        .then(j.cmp(&i))
                })?;
                Some(RecheckSpot {
                    remark,
                    marks: group,
                    worst,
                })
            })
            .collect();
        spots.sort_by(|a, b| {
            badness(&marks[b.worst], remark)
                .total_cmp(&badness(&marks[a.worst], remark))
                .then(a.worst.cmp(&b.worst))
        });
        out.extend(spots);
    }
    out
}
