//! What the stages made of a picture, for debugging and for timing.

use std::time::{Duration, Instant};

use super::look::Point;

/// The stages, as their times are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    Shrink,
    Find,
    Judge,
    Group,
    Sample,
}

impl Stage {
    pub fn name(self) -> &'static str {
        match self {
            Self::Shrink => "shrink",
            Self::Find => "find",
            Self::Judge => "judge",
            Self::Group => "group",
            Self::Sample => "sample",
        }
    }
}

/// What each stage found in one picture and how long it took. Positions are in pixels of the full picture.
#[derive(Debug)]
pub struct Trace {
    /// The stages in the order they ran.
    pub times: Vec<(Stage, Duration)>,
    /// Outlines that the finder proposes, hottest first, with the log-odds that it gives them.
    pub proposals: Vec<([Point; 4], f32)>,
    /// Outlines as the judge left them, likeliest first, with the log-odds that they are faces.
    pub judged: Vec<([Point; 4], f32)>,
    last: Instant,
}

impl Trace {
    pub(super) fn new() -> Self {
        Self {
            times: Vec::new(),
            proposals: Vec::new(),
            judged: Vec::new(),
            last: Instant::now(),
        }
    }

    /// Ends a stage.
    pub(super) fn lap(&mut self, stage: Stage) {
        let now = Instant::now();
        self.times.push((stage, now - self.last));
        self.last = now;
    }
}
