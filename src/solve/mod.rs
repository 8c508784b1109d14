//! Search: pruning tables, the cross, one pair with things to keep, all pairs, the last layer.

mod cross;
mod last_layer;
mod pair;
mod reach;
mod sequences;
mod slot;
mod tables;
mod top;
mod whole;

pub use cross::{cross_routes, cross_turns};
pub use last_layer::{LookStep, Style, last_layer};
pub use pair::{Limits, TurnSet, all_shortest, pair_routes, shortest_pair};
pub use reach::shortest_to;
pub use slot::{
    Slot, SlotSet, Stage, cross_solved, pair_solved, pairs_solved, side_colours, stage,
};
pub use top::LookGoal;
pub use whole::{Effort, Part, total_turns, whole};
