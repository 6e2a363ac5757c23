//! Birdbath: readings from a level line in; high point, straight-edge gaps, fill, pour and floor maps out.
//!
//! Data flow one way, from import to paper. A module may import only modules that stand above it
//! in this list; `tests/suite/layering.rs` holds it to that.
//!
//! Everything is in metres inside, elevation up positive; a field's name carries its unit.
//!
//! # A whole job from bytes
//! [`job`] is what the command line and the page use: named bytes in, named bytes out.
//! ```
//! use birdbath::job::{self, Inputs, JobFile, ReadingsEntry, Sheet, Wanted};
//!
//! # fn main() -> Result<(), job::JobError> {
//! let readings = "x_ft,y_ft,reading_in\n0,0,31 1/4\n4,0,31 5/16\n0,4,31 1/8\n4,4,31 7/16\n";
//! let mut inputs = Inputs::default();
//! inputs.insert("bath.csv", readings.as_bytes().to_vec());
//! let asked = JobFile {
//!     readings: vec![ReadingsEntry {
//!         file: "bath.csv".to_owned(),
//!         ..ReadingsEntry::default()
//!     }],
//!     ..JobFile::default()
//! };
//! let room = job::only_room(&asked, job::prepare(&asked, &inputs)?)?;
//! let wanted = Wanted::crew().only(&[Sheet::DepthMap]);
//! let answer = job::analyse(room, wanted.want(), &|_what, _share| ())?;
//! // The smallest reading is the highest floor: 31 1/8 in at (0, 4) ft.
//! assert!((answer.levels.high.at.y - 4.0 * 0.3048).abs() < 1e-9);
//! let paper = job::paper_of(&asked);
//! let files = job::files(&answer, paper, &wanted, &|_what, _share| ())?;
//! assert_eq!(files[0].0, "depth-map.svg");
//! # Ok(())
//! # }
//! ```
//!
//! # One step at a time
//! ```
//! use birdbath::fill::{PlaneRule, compute};
//! use birdbath::flatness::{Departure, SearchOptions, edge};
//! use birdbath::geometry::Point;
//! use birdbath::surface::Floor;
//! use birdbath::survey::{Elevation, Reading, Survey};
//!
//! // A valley 10 mm deep along x = 1 m, read on a grid of 1 m.
//! let readings = (0..9)
//!     .map(|k| {
//!         let at = Point::new(f64::from(k % 3), f64::from(k / 3));
//!         let z = if k % 3 == 1 { -0.010 } else { 0.0 };
//!         Reading::new("", at, Elevation::from_m(z))
//!     })
//!     .collect();
//! let survey = Survey {
//!     name: String::new(),
//!     readings,
//!     room: None,
//!     resolution_m: None,
//!     laid: None,
//!     set_ups: Vec::new(),
//!     notices: vec![],
//! };
//! let floor = Floor::build(&survey).unwrap().floor;
//! // An edge of 2 m rests on both rims: 10 mm, and nothing on the floor is worse.
//! let dip = edge::search(&floor, Departure::Dip, 2.0, &SearchOptions::default(), &|_share| ());
//! assert!((dip.gap_m() - 0.010).abs() < 1e-9 && dip.bound_m < 0.010_11);
//! // Filled level with the rims: a prism 2 m long of 10 mm by 2 m by half.
//! let fill = compute(&floor, 0.0, &PlaneRule::OverHighPoint { gauge_m: 0.0 }, &[]);
//! assert!((fill.volume_m3 - 0.020).abs() < 1e-12);
//! ```

#![forbid(unsafe_code)]
#![deny(missing_docs)]
// What cannot fail says why it cannot; anything else is told to the user.
#![cfg_attr(not(test), deny(clippy::unwrap_used, clippy::expect_used))]

pub mod units;

pub mod geometry;

pub mod survey;

pub mod import;

pub mod surface;

pub mod fill;
pub mod flatness;

pub mod patch;
pub mod pour;
pub mod recheck;

pub mod analysis;

pub mod drawing;

pub mod report;

pub mod job;

pub mod files;

pub mod cli;
pub mod web;
