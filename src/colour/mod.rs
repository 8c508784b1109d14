//! Colour: spaces, profiles (calibration), how likely each colour is for a patch, and judging the light.

mod gauss;
mod light;
mod model;
mod profile;

pub use light::Relight;
pub use model::{Model, Observation};
pub use profile::{Profile, ProfileError};
