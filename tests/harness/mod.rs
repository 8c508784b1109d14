//! What tests, measurements and benches share: the program run as a user would, the pictures that come with it, and their truth.

pub mod amount;
pub mod each;
pub mod films;
pub mod outlines;
/// Cargo tells where the program lies to tests alone.
#[cfg(test)]
pub mod program;
pub mod retake;
pub mod running;
pub mod scan_folder;
pub mod shots;
