//! The ideas that routes are made of, and a route as one deed after the other.

use crate::cube::{Edge, Move};

use super::lifts::{Act, Lift};
use super::see::is_ready;
use super::spot::{Relation, Spot};

/// What a lift is good for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Idea {
    /// Take a piece out of a slot.
    Free,
    /// Put the corner into its slot, to wait there.
    Park,
    /// Make two pieces on top join.
    Join,
    /// Make two pieces on top ready for one insert.
    Ready,
    /// Move them otherwise.
    Move,
    /// Take both into their slot.
    Insert,
}

impl Idea {
    /// What a lift does for the pair as it lies.
    pub fn of(before: &Spot, lift: Lift) -> Idea {
        let after = before.after(&lift.moves());
        let held = |slot: Option<Edge>| slot == Some(lift.slot());
        let waits = after.corner_slot() == Some(after.slot());
        if after.is_solved() {
            Idea::Insert
        } else if waits && before.corner_on_top() {
            Idea::Park
        } else if held(before.corner_slot()) || held(before.edge_slot()) {
            Idea::Free
        } else if after.relation() == Relation::Joined {
            Idea::Join
        } else if is_ready(&after) {
            Idea::Ready
        } else {
            Idea::Move
        }
    }
}

/// The lifts of a route, each with its idea and with how the pair lies before it.
pub fn ideas(acts: &[Act], start: Spot) -> Vec<(Idea, Spot, Lift)> {
    let mut at = start;
    let mut ideas = Vec::new();
    for act in acts {
        if let Act::Lift(lift) = act {
            ideas.push((Idea::of(&at, *lift), at, *lift));
        }
        at = act.on(at);
    }
    ideas
}

/// A part of a route that is told at once, after which the learner looks again: up to its first lift.
pub fn first_part(acts: &[Act]) -> &[Act] {
    let lift = acts.iter().position(|act| matches!(act, Act::Lift(_)));
    &acts[..lift.map_or(acts.len(), |at| at + 1)]
}

/// The moves of acts.
pub fn moves(acts: &[Act]) -> Vec<Move> {
    acts.iter().flat_map(|act| act.moves()).collect()
}

/// What becomes of the two pieces while a lift is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    pub corner: Fate,
    pub edge: Fate,
}

/// What a lift does with one piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// Opening the slot takes it down, closing brings it back up.
    Hides,
    /// Opening brings it up, the top turns it aside, and it stays there.
    ComesOut,
    /// The top brings it over the open slot, and closing takes it in.
    GoesIn,
    /// It is on top; closing turns it round.
    Turned,
    /// The top moves it, nothing else does.
    Moved,
    /// It is in a slot that is not opened.
    Stays,
    /// Anything else: it is carried about by more than one of the turns.
    Carried,
}

impl Way {
    /// What a lift does to the pair as it lies.
    pub fn of(before: &Spot, lift: Lift) -> Way {
        let [out, top, back] = lift.moves();
        let up = before.after(&[out]);
        let over = up.after(&[top]);
        let down = over.after(&[back]);
        let steps = [before, &up, &over, &down];
        Way {
            corner: fate(
                steps.map(Spot::corner_on_top),
                [0, 1, 2].map(|i| steps[i].corner != steps[i + 1].corner),
            ),
            edge: fate(
                steps.map(Spot::edge_on_top),
                [0, 1, 2].map(|i| steps[i].edge != steps[i + 1].edge),
            ),
        }
    }
}

/// From whether a piece is on top before each of the turns and at the end, and which of them move it.
fn fate(on_top: [bool; 4], moved: [bool; 3]) -> Fate {
    match (on_top, moved) {
        ([true, false, false, true], [true, false, true]) => Fate::Hides,
        ([false, true, true, true], [true, true, false]) => Fate::ComesOut,
        ([true, true, true, false], [_, _, true]) => Fate::GoesIn,
        ([true, true, true, true], [false, true, true]) => Fate::Turned,
        ([true, true, true, true], [false, true, false]) => Fate::Moved,
        ([false, false, false, false], [false, false, false]) => Fate::Stays,
        _ => Fate::Carried,
    }
}
