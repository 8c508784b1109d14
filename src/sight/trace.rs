//! What the stages made of a picture, for debugging and for timing.

use std::time::{Duration, Instant};

use super::lattice::Proposal;
use super::look::Point;
use super::quads::Quad;

/// The stages, as their times are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    Shrink,
    Quads,
    Lattice,
    Pose,
    Sample,
}

impl Stage {
    pub fn name(self) -> &'static str {
        match self {
            Self::Shrink => "shrink",
            Self::Quads => "quads",
            Self::Lattice => "lattice",
            Self::Pose => "pose",
            Self::Sample => "sample",
        }
    }
}

/// What each stage found in one picture and how long it took. Positions are in pixels of the full picture.
#[derive(Debug)]
pub struct Trace {
    /// The stages in the order they ran. A search in two sizes runs some of them twice.
    pub times: Vec<(Stage, Duration)>,
    /// Corners of the quads.
    pub quads: Vec<[Point; 4]>,
    /// Outlines of the places where a face might be.
    pub proposals: Vec<[Point; 4]>,
    /// Lattices of the faces that passed on their own.
    pub faces: Vec<[[Point; 4]; 4]>,
    last: Instant,
}

impl Trace {
    pub(super) fn new() -> Self {
        Self {
            times: Vec::new(),
            quads: Vec::new(),
            proposals: Vec::new(),
            faces: Vec::new(),
            last: Instant::now(),
        }
    }

    /// Ends a stage.
    pub(super) fn lap(&mut self, stage: Stage) {
        let now = Instant::now();
        self.times.push((stage, now - self.last));
        self.last = now;
    }

    pub(super) fn see(&mut self, quads: &[Quad]) {
        self.quads.extend(quads.iter().map(Quad::corners));
    }

    pub(super) fn propose(&mut self, proposals: &[Proposal]) {
        let point = |(x, y): (f64, f64)| Point {
            x: x as f32,
            y: y as f32,
        };
        self.proposals.extend(
            proposals
                .iter()
                .map(|proposal| proposal.plane.outline().map(point)),
        );
    }
}
