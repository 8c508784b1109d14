//! One pair, practised once: how it lay, what was needed, and how it ended.

use super::Situation;
use crate::cube::Colour;
use crate::solve::Slot;

/// The highest rung of the ladder of hints.
pub const RUNGS: u8 = 4;

/// How an attempt begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Start {
    /// Seconds since 1970, UTC.
    pub when: i64,
    pub situation: Situation,
    pub cross: Colour,
    pub slot: Slot,
    /// The fewest turns that solve the pair and keep the others.
    pub best: u32,
    /// Set up as a drill, rather than met in a solve.
    pub drill: bool,
}

/// What happens in an attempt. The first rung is given to all, at its start.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// A hint of this rung was given, 1 to [`RUNGS`].
    Rung(u8),
    /// Something else was done than the hint says.
    Slip,
    /// The pair is solved, in so many turns where that is known.
    Solved { turns: Option<u32> },
}

/// An attempt as the journal tells it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Attempt {
    pub start: Start,
    /// The highest rung given.
    pub rung: u8,
    pub slips: u32,
    pub ended: Option<Ended>,
}

/// How a pair was solved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ended {
    pub turns: Option<u32>,
    /// From the first hint.
    pub seconds: f64,
}

impl Attempt {
    /// An attempt of which nothing more is known than its start.
    pub fn new(start: Start) -> Attempt {
        Attempt {
            start,
            rung: 1,
            slips: 0,
            ended: None,
        }
    }

    /// Takes an event that happened `seconds` after the start. What comes after the end does not count.
    pub fn take(&mut self, seconds: f64, event: Event) {
        if self.ended.is_some() {
            return;
        }
        match event {
            Event::Rung(rung) => self.rung = self.rung.max(rung),
            Event::Slip => self.slips += 1,
            Event::Solved { turns } => self.ended = Some(Ended { turns, seconds }),
        }
    }

    /// Solved on the first rung, which only names the pieces, and without a slip.
    pub fn unhelped(&self) -> bool {
        self.ended.is_some() && self.rung <= 1 && self.slips == 0
    }
}
