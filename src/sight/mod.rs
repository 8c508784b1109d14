//! Sight: finds the faces of a cube in a picture and samples their stickers. Knows nothing of cube colours.
//!
//! Stages: `shrink, regions, quads, lattice, pose, sample`.

mod look;
mod sample;

pub use look::{FaceView, Joint, Look, Patch, Point, Problem, Side};
pub use sample::sample;
