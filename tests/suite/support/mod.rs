//! Made-up floors and helpers that several topics use.

#[cfg(feature = "browser-tests")]
pub mod browser;
pub mod golden;
pub mod meshes;
pub mod parts;
pub mod profile;
pub mod program;
pub mod rooms;
pub mod schema;
pub mod site;
