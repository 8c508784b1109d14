//! The loop: frames in, events out; what is known of the cube so far.
//!
//! [`watch`] takes frames from a source, finds the cube in each, and hands the looks to a [`Session`], which says what is
//! to be told. Telling is the work of each [`Listener`].

mod drawing;
mod event;
mod gathering;
mod hindrance;
mod known;
mod labelled;
mod photographs;
mod session;
mod showing;
pub mod steady;
#[cfg(test)]
pub(crate) mod testing;
mod watch;

pub use drawing::{drawing, drawing_of_turns, from_left, stickers};
pub use event::{Event, Holding, Kept, Kind, Seen, Timed};
pub use gathering::Gathering;
pub use known::{Candidate, Known, Meaning, RUNGS};
pub use session::{Lesson, Session, SetUp, Task};
pub use watch::{Listener, Moment, Watch, watch};
