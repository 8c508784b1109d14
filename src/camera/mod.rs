//! Where frames come from: a webcam, picture files and folders, Motion-JPEG, Y4M.
//!
//! Everything ends in an upright [`image::RgbImage`] of sRGB-encoded 8-bit samples, whatever the file or the camera
//! gave. A [`FrameSource`] hands them out one at a time; [`open_frames`] makes one from a path. Nothing in here knows
//! what is in a picture.

#[cfg(any(test, fuzzing))]
pub(crate) mod fuzzed;
mod icc;
mod jpeg;
mod mjpeg;
mod narrow;
mod orientation;
mod picture;
mod posted;
mod reel;
mod replay;
mod source;
#[cfg(test)]
mod testing;
mod webcam;
mod y4m;
mod yuv;

pub use jpeg::JpegFault;
pub use picture::{Layout, Picture, PictureError, PictureFault, load_picture};
pub use replay::{Pace, ReplayError, open_frames};
pub use source::{Feed, Frame, FrameSource, MAX_PIXELS, Trouble, TroubleKind};
pub use webcam::{CameraFormat, CameraInfo, CameraState, Coding, InUse, Webcam, list_cameras};
pub use y4m::HeaderFault;
