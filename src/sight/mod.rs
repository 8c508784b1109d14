//! Sight: finds the faces of a cube in a picture and samples their stickers. Knows nothing of cube colours.
//!
//! Stages: `shrink, find, judge, group, sample`. Two small nets do the seeing. The finder looks at the whole picture, shrunk, and
//! proposes outlines; the judge looks at each outline straightened, mends it, and says how likely it is the face of a cube; so it
//! does where two faces foretell a third. Both were trained on made pictures; `training/` makes them again.

mod finder;
mod foretell;
mod frame;
mod group;
mod judge;
mod look;
mod nets;
mod peaks;
mod plane;
mod problems;
mod pyramid;
mod quad;
mod sample;
mod shrink;
#[cfg(test)]
mod testing;
mod trace;

pub use finder::Finder;
pub use look::{FaceView, FrameFault, Joint, Look, Patch, Point, Problem, Side};
pub use sample::sample;
pub use trace::{Stage, Trace};
