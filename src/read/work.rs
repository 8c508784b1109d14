//! What a reading may cost: counted, as there is no clock here, so that the same looks always give the same answer.

use crate::sight::Look;
use std::cell::Cell;

/// Work units that a reading may take: one to two microseconds each on a slow core, so two seconds at most. A hard scan takes a tenth of it.
const MOST: u64 = 1_000_000;

/// Units of fitting the light of one face, of fitting its light and colours, and of one with only its centre known.
const FIT: u64 = 60;
const FIT_AND_ADAPT: u64 = 160;
const RATE: u64 = 20;

/// The work left to a reading. When it is spent, each search ends with what it has.
#[derive(Debug)]
pub struct Work {
    left: Cell<u64>,
}

impl Work {
    /// What a reading may take.
    pub fn new() -> Work {
        Work {
            left: Cell::new(MOST),
        }
    }

    /// Takes units off.
    pub fn spend(&self, units: u64) {
        self.left.set(self.left.get().saturating_sub(units));
    }

    /// Takes off what fitting the lights of some looks costs.
    pub fn spend_fit(&self, looks: &[Look], adapts: bool) {
        self.spend(faces(looks) * if adapts { FIT_AND_ADAPT } else { FIT });
    }

    /// The same for the light of their centres.
    pub fn spend_rate(&self, looks: &[Look]) {
        self.spend(faces(looks) * RATE);
    }

    /// Whether no work is left.
    pub fn is_done(&self) -> bool {
        self.left.get() == 0
    }

    /// Units taken so far.
    pub fn spent(&self) -> u64 {
        MOST - self.left.get()
    }
}

impl Default for Work {
    fn default() -> Work {
        Work::new()
    }
}

fn faces(looks: &[Look]) -> u64 {
    looks.iter().map(|look| look.faces.len() as u64).sum()
}
