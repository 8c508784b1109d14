//! Colour: spaces, profiles (calibration), how likely each colour is for a patch, and judging the light.

mod calibrate;
mod difference;
mod gauss;
mod judge;
mod light;
mod model;
mod naming;
mod profile;
mod scale;

pub use calibrate::CalibrationError;
pub use difference::{difference, hue_difference};
pub use judge::{LightReport, Remedy};
pub use light::Relight;
pub use model::{Model, Observation};
pub use naming::Naming;
pub use profile::{Profile, ProfileError};
