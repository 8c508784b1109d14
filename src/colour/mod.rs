//! Colour: spaces, profiles (calibration), how likely each colour is for a patch, and judging the light.

mod difference;
mod gauss;
mod light;
mod model;
mod naming;
mod profile;
mod scale;

pub use difference::difference;
pub use light::Relight;
pub use model::{Model, Observation};
pub use naming::Naming;
pub use profile::{Profile, ProfileError};
