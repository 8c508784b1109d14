//! Attempts for tests.

use super::{Attempt, Event, Placed, Situation, Start};
use crate::cube::Colour;
use crate::solve::Slot;

/// The situation of this place in the order of teaching.
pub fn placed(index: usize) -> Placed {
    Placed::all().nth(index).expect("one of 22")
}

/// An attempt whose best is 7 turns, with an event each second.
pub fn attempt(placed: Placed, when: i64, events: &[Event]) -> Attempt {
    let mut attempt = Attempt::new(Start {
        when,
        situation: Situation::Placed(placed),
        cross: Colour::White,
        slot: Slot::ALL[0],
        best: 7,
        drill: false,
    });
    for (second, event) in events.iter().enumerate() {
        attempt.take(second as f64, *event);
    }
    attempt
}
