//! The whole solve from a state, part by part, as it is printed.

use crate::cube::{Held, Moves};
use crate::solve::{self, Effort, Slot, Style};

use super::advice::Part;

/// The parts that solve the cube from the hold, its down colour being the cross, order and routes of the pairs chosen
/// together. A pair that falls into place on the way to another is named with no moves of its own.
pub fn parts(held: &Held) -> Vec<Part> {
    let cross = held.hold.down();
    let named = |stage: &str, slot: Option<Slot>, part: &solve::Part| Part {
        stage: stage.into(),
        slot: slot.map(|s| s.name(cross)),
        moves: Moves(part.moves()),
    };
    solve::whole(held, &Effort::FULL, Style::Short)
        .iter()
        .map(|part| match part {
            solve::Part::Cross(_) => named("cross", None, part),
            solve::Part::Pair(slot, _) => named("pair", Some(*slot), part),
            solve::Part::LastLayer(_) => named("last layer", None, part),
        })
        .collect()
}
