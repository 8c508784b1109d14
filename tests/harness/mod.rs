//! What tests, measurements and benches share: the program run as a user would, the pictures that come with it, and their truth.

pub mod each;
pub mod films;
#[allow(dead_code, reason = "the laboratory counts more of it")]
pub mod kills;
#[allow(dead_code, reason = "the laboratory counts more of it")]
pub mod outlines;
/// Cargo tells where the program lies to tests alone.
#[cfg(test)]
pub mod program;
pub mod retake;
pub mod running;
pub mod scan_folder;
#[allow(dead_code, reason = "the laboratory counts more of it")]
pub mod shots;
