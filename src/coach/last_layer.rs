//! The last layer: which look comes next, its sequence, and the rungs of hints.

use crate::cube::{Held, Move};

use super::route::Route;

/// The routes for the last layer from the hold.
pub fn routes(_held: &Held) -> Vec<Route> {
    Vec::new()
}

/// The moves that solve the last layer.
pub fn moves(_held: &Held) -> Vec<Move> {
    Vec::new()
}

/// The four rungs.
pub fn hints(held: &Held, _routes: &[Route]) -> [String; 4] {
    let up = held.hold.down().opposite().name();
    [
        format!("Only the last layer is left: the pieces with {up}, on top."),
        format!("See which stickers on top show {up}, and which look sideways."),
        format!(
            "First bring {up} up everywhere on top, then move the pieces round to their places."
        ),
        format!(
            "Use the sequences that you know for turning {up} up, then those for moving corners and edges."
        ),
    ]
}
