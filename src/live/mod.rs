//! The loop: frames in, events out; what is known of the cube so far.

mod event;
mod showing;
mod steady;

pub use event::{Event, Holding, Timed};
