//! Colour: spaces, profiles (calibration), how likely each colour is for a patch, and judging the light.
//!
//! The way of a colour: 8-bit sRGB is decoded to linear light ([`sample`](crate::sight::sample)), and all that light does
//! to it is modelled there. Likelihoods are judged on a logarithmic scale of linear rgb, on which a change of light is a
//! shift; people are told differences in CIEDE2000.
//!
//! The scale was chosen by measurement. 4,298 rendered stickers of ten cubes and rooms were relit by the same gains and
//! judged by one heavy-tailed distribution a space, learnt on the nine other cubes. Wrong were, in percent: linear rgb 3.1,
//! Oklab 2.2, CIELAB 2.1, cube roots of linear rgb 1.8, logarithms with a floor of 0.01 to 0.05 1.7, CAM16-UCS 1.7. The
//! spaces hardly differ once the light is taken out; without relighting all of them err 5 to 15 times in a hundred. So the
//! scale is the one on which light is simplest and which costs least, and what remains goes into the model of light on a
//! sticker ([`Model`]): with it, 0.5.

mod calibrate;
mod difference;
mod gather;
mod gauss;
mod judge;
mod light;
mod model;
mod naming;
mod neighbours;
mod profile;
mod scale;

pub use calibrate::CalibrationError;
pub use difference::{difference, hue_difference};
pub use gather::{Offered, SolvedFaces};
pub use judge::{LightReport, Remedy};
pub use light::LightEstimate;
pub use model::{Model, Observation, Under};
pub use naming::Naming;
pub use profile::{Profile, ProfileError};
