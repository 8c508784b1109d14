//! One pair, practised once: how it lay, what was needed, and how it ended.

use super::Situation;
use crate::coach::follow::SlipKind;
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

/// What happens in an attempt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// A hint of this rung was given, 1 to [`RUNGS`].
    Rung(u8),
    /// The first turn was made.
    Turned,
    /// Something else was done than the hint says; which kind of thing, where that is known.
    Slip(Option<SlipKind>),
    /// The pair is solved, in so many turns where that is known.
    Solved { turns: Option<u32> },
}

/// An attempt as the journal tells it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Attempt {
    pub start: Start,
    /// The highest rung given, 0 for none.
    pub rung: u8,
    pub slips: u32,
    /// The kind of the first slip, where that is known.
    pub slip: Option<SlipKind>,
    /// Seconds from the first hint to the first turn, where it was seen.
    pub looked: Option<f64>,
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
            rung: 0,
            slips: 0,
            slip: None,
            looked: None,
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
            Event::Turned => self.looked = self.looked.or(Some(seconds)),
            Event::Slip(kind) => {
                self.slips += 1;
                self.slip = self.slip.or(kind);
            }
            Event::Solved { turns } => self.ended = Some(Ended { turns, seconds }),
        }
    }

    /// Solved with no more told than which pieces they are, and without a slip.
    pub fn unhelped(&self) -> bool {
        self.ended.is_some() && self.rung <= 1 && self.slips == 0
    }
}
