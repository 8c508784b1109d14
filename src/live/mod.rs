//! The loop: frames in, events out; what is known of the cube so far.
//!
//! [`watch`] takes frames from a source, finds the cube in each, and hands the looks to a [`Session`], which says what is
//! to be told. Telling is the work of each [`Listener`].

mod acts;
mod belief;
mod drawing;
mod english;
mod event;
mod follower;
mod gathering;
mod gaze;
mod impairment;
mod known;
mod labelled;
mod motion;
mod pace;
mod photographs;
mod posture;
mod prompter;
mod session;
pub mod steady;
#[cfg(test)]
pub(crate) mod testing;
mod track;
mod views;
mod watch;

pub use drawing::{drawing, drawing_of_turns, from_left, stickers};
pub use event::{Event, Holding, Kept, Kind, PairColours, Part, Seen, Timed};
pub use gathering::Gathering;
pub use gaze::{Album, Gaze};
pub use impairment::Impairment;
pub use known::{Candidate, Known, Meaning, Plan, RUNGS};
pub use pace::Stopwatch;
pub use prompter::{Lesson, SetUp, Task};
pub use session::Session;
pub use watch::{Listener, Moment, Watch, watch};
