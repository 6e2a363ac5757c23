//! Sheets of paper, upright or lying on their long side.

pub use crate::drawing::Paper;

/// Every size, small before large within each family.
pub const ALL_PAPERS: [Paper; 4] = [Paper::Letter, Paper::Tabloid, Paper::A4, Paper::A3];

/// Width and height, millimetres; `landscape` lays the sheet on its long side.
pub const fn size_mm(paper: Paper, landscape: bool) -> (f64, f64) {
    let (short, long) = paper.sides_mm();
    if landscape {
        (long, short)
    } else {
        (short, long)
    }
}
