//! How the cube moves from frame to frame: held still, or not; covered or gone.

use std::collections::VecDeque;

use super::steady::movement;
use crate::sight::Look;

/// Seconds over which frames must lie still before anything is told of what they show.
pub const REST: f64 = 0.1;

/// How far the faces may lie from where they lay in any of the frames that they rest since, as a share of a face's side. A resting hand
/// trembles by up to 0.08 in a fifth of a second.
const REACH: f32 = 0.09;

/// Seconds between two frames beyond which nothing is said of what happened between them.
const GAP: f64 = 0.4;

/// What one frame is, beside those before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Motion {
    /// No face is seen.
    Unseen,
    /// It rests where it lay in the frames before, over [`REST`] seconds.
    Still,
    /// It moves, or was not seen for long enough.
    Moving,
}

/// Looks at one frame after the other.
#[derive(Debug, Default)]
pub struct Tracker {
    /// The newest frames that lie still one beside the other, oldest first: no more than [`REST`] needs.
    still: VecDeque<(f64, Look)>,
}

impl Tracker {
    /// Takes the look of a frame, `t` seconds into the stream.
    pub fn step(&mut self, t: f64, look: &Look) -> Motion {
        if look.faces.is_empty() {
            self.still.clear();
            return Motion::Unseen;
        }
        let near = |(at, old): &(f64, Look)| {
            t - at < GAP && movement(old, look).is_some_and(|by| by < REACH)
        };
        if !self.still.iter().all(near) {
            self.still.clear();
        }
        self.still.push_back((t, look.clone()));
        while self.still.len() > 2 && t - self.still[1].0 >= REST - 1e-6 {
            self.still.pop_front();
        }
        match self.resting(t) {
            Some(_) => Motion::Still,
            None => Motion::Moving,
        }
    }

    /// How many of the newest frames lie still one beside the other.
    pub fn count(&self) -> usize {
        self.still.len()
    }

    /// How many of the newest frames rest together, long enough to be told of; none while they do not.
    pub fn resting(&self, t: f64) -> Option<usize> {
        let (first, _) = self.still.front()?;
        (self.still.len() >= 2 && t - first >= REST - 1e-6).then_some(self.still.len())
    }
}
