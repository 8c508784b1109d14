//! The whole solve from a state, part by part, as it is printed.

use serde::Serialize;

use crate::cube::{Held, Moves};
use crate::solve::{self, Effort, Slot, Style};

/// One part of a whole solve.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Part {
    /// `cross`, `pair` or `last layer`.
    pub stage: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slot: Option<String>,
    /// From the hold that the part before ends in. Empty for a pair that is solved by the turns before it.
    pub moves: Moves,
}

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
