//! Made-up floors and helpers that several topics use.

pub mod browser;
pub mod golden;
pub mod meshes;
pub mod parts;
pub mod program;
pub mod rooms;
pub mod site;
