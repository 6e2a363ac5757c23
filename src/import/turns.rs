//! Which axes of a sheet were turned over, and about what, so that several sheets of one floor are turned alike.

/// How the places along one axis came about.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Counted {
    /// From the left or the near wall, as they stand; or turned about walls, and so the same.
    #[default]
    AsWritten,
    /// From the right or the far wall, of which only the sheet's own readings tell how far off it is.
    Turned {
        /// The least and the greatest distance on the sheet, metres.
        reach_m: (f64, f64),
        /// Whether the sheet or its user says so; else it is how such sheets are meant.
        stated: bool,
    },
}

/// The same of both axes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Counting {
    /// Along the plan's bottom.
    pub x: Counted,
    /// Up the plan.
    pub y: Counted,
}

/// What a turned distance and its place on the plan add up to, metres, where something beyond the sheet tells.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Turns {
    /// Along the plan's bottom.
    pub x_m: Option<f64>,
    /// Up the plan.
    pub y_m: Option<f64>,
}

/// Two sheets of one floor that count an axis from opposite walls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Opposed {
    /// Which of the sheets is turned.
    pub turned: usize,
    /// Which is not.
    pub plain: usize,
    /// Whether it is x that they count so.
    pub along_x: bool,
    /// Whether the turned one is stated to be so.
    pub stated: bool,
}

/// What sheets of one floor are turned about together, and which of them count from opposite walls: without the walls nobody knows how
/// those lie to one another.
pub fn together(sheets: &[Counting]) -> (Turns, Vec<Opposed>) {
    let mut opposed = Vec::new();
    let mut of = |along_x: bool, pick: &dyn Fn(&Counting) -> Counted| -> Option<f64> {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        let plain = sheets.iter().position(|s| pick(s) == Counted::AsWritten);
        for (turned, sheet) in sheets.iter().enumerate() {
            let Counted::Turned { reach_m, stated } = pick(sheet) else {
                continue;
            };
            (low, high) = (low.min(reach_m.0), high.max(reach_m.1));
            opposed.extend(plain.map(|plain| Opposed {
                turned,
                plain,
                along_x,
                stated,
            }));
        }
        (low <= high).then_some(low + high)
    };
    let turns = Turns {
        x_m: of(true, &|s| s.x),
        y_m: of(false, &|s| s.y),
    };
    (turns, opposed)
}

#[cfg(test)]
mod tests {
    use super::*;

    // ORACLE: hand. Distances 0 to 6 and 4 to 10 from the right wall: the farthest, 10, is the left one, and lies at 0.
    #[test]
    fn sheets_are_turned_about_their_common_reach() {
        let turned = |low, high, stated| Counted::Turned {
            reach_m: (low, high),
            stated,
        };
        let sheet = |x| Counting {
            x,
            y: Counted::AsWritten,
        };
        let (turns, opposed) = together(&[
            sheet(turned(0.0, 6.0, true)),
            sheet(turned(4.0, 10.0, true)),
        ]);
        assert_eq!((turns.x_m, turns.y_m), (Some(10.0), None));
        assert!(opposed.is_empty());
        let (_, opposed) = together(&[sheet(Counted::AsWritten), sheet(turned(0.0, 4.0, false))]);
        let want = Opposed {
            turned: 1,
            plain: 0,
            along_x: true,
            stated: false,
        };
        assert_eq!(opposed, [want]);
    }
}
