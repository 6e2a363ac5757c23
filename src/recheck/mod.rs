//! Row 7. The same marks read again after the work, held against the day before it.

mod compare;
mod error;
mod mark;
mod pairs;
mod placed;
mod result;
mod ridges;
mod spots;

use compare::largest_of;
pub use compare::recheck;
pub use error::RecheckError;
pub use mark::{RecheckMark, Remark};
pub use placed::{Day, placed_m3, uneven_m2};
pub use result::{Recheck, RecheckRequest, Tie};
pub use ridges::{MOST_RIDGES, Ridge, TieLine, ridges};
pub use spots::RecheckSpot;
