//! The whole solve from a state, part by part.

use crate::cube::{Held, Move, Moves};
use crate::solve::{self, Slot, Stage};

use super::advice::Part;
use super::{cross, short};

/// The parts that solve the cube from the hold, its down colour being the cross. A pair that falls into place on the way
/// to another is named with no moves of its own.
pub fn parts(held: &Held) -> Vec<Part> {
    let cross = held.hold.down();
    let mut at = *held;
    let mut parts = Vec::new();
    let before = solve::pairs_solved(&at.cube, cross);
    let mut told = if solve::cross_solved(&at.cube, cross) {
        before
    } else {
        Default::default()
    };
    if solve::stage(&at.cube, cross) == Stage::Cross {
        let moves = cross::shortest(&at);
        add(&mut parts, &mut at, "cross", None, moves);
    }
    while solve::stage(&at.cube, cross) == Stage::Pairs {
        let solved = solve::pairs_solved(&at.cube, cross);
        for slot in solved.iter().filter(|s| !told.contains(*s)) {
            add(&mut parts, &mut at, "pair", Some(slot), Vec::new());
        }
        told = solved;
        let open = Slot::ALL.into_iter().filter(|s| !solved.contains(*s));
        let ways = open.filter_map(|slot| Some((short::moves(&at, slot, solved)?, slot)));
        let Some((moves, slot)) = ways.min_by_key(|(moves, _)| moves.len()) else {
            break;
        };
        add(&mut parts, &mut at, "pair", Some(slot), moves);
        told = told.with(slot);
    }
    for slot in solve::pairs_solved(&at.cube, cross)
        .iter()
        .filter(|s| !told.contains(*s))
    {
        add(&mut parts, &mut at, "pair", Some(slot), Vec::new());
    }
    if solve::stage(&at.cube, cross) == Stage::LastLayer {
        let steps = solve::last_layer(&at, solve::Style::Short).unwrap_or_default();
        let moves = steps.into_iter().flat_map(|step| step.moves).collect();
        add(&mut parts, &mut at, "last layer", None, moves);
    }
    parts
}

fn add(parts: &mut Vec<Part>, at: &mut Held, stage: &str, slot: Option<Slot>, moves: Vec<Move>) {
    let slot = slot.map(|s| s.name(at.hold.down()));
    *at = at.after(&moves);
    let moves = Moves(moves);
    parts.push(Part {
        stage: stage.into(),
        slot,
        moves,
    });
}
