//! Sight: finds the faces of a cube in a picture and samples their stickers. Knows nothing of cube colours.
//!
//! Stages: `shrink, regions, quads, lattice, pose, sample`.

mod alike;
mod alone;
mod candidate;
mod cut;
mod finder;
mod frame;
mod grooves;
mod group;
mod lattice;
mod look;
mod plane;
mod pose;
mod problems;
mod quads;
mod regions;
mod sample;
mod seams;
mod shrink;
#[cfg(test)]
mod testing;
mod trace;
mod verify;

pub use finder::Finder;
pub use look::{FaceView, Joint, Look, Patch, Point, Problem, Side};
pub use sample::sample;
pub use trace::{Stage, Trace};
