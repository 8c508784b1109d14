//! The drawn cube that goes with a hint.

use super::known::Known;
use crate::cube::{Face, Held, Move, Moves, Net, Scheme};
use crate::draw::{HeldCube, Others, Stickers, held, marked, marked_cross, marked_top};
use crate::solve::{Slot, Stage, stage};

/// The cube, of a scheme, as it is to be held for the hint, as an SVG document: what the hint speaks of marked, the rest pale. Once the turns
/// are given, the next one is an arrow on it.
pub fn drawing(known: &Known, scheme: Scheme) -> String {
    let moves = known.moves();
    let next = moves.first().filter(|_| known.gives_turns());
    let stickers = stickers(known).painted(scheme);
    in_view(&stickers, next, from_left(known, next))
}

/// A cube as it is to be held for some turns, as an SVG document, with the first of them as an arrow on it.
pub fn drawing_of_turns(in_hand: &Held, turns: &Moves) -> String {
    let next = turns.first();
    in_view(
        &Stickers::of_net(&Net::of_held(in_hand)),
        next,
        is_left(next),
    )
}

/// The stickers of the cube as it is to be held for the hint: what the hint speaks of marked and the rest pale. What it leaves to
/// be found is as all the rest.
pub fn stickers(known: &Known) -> Stickers {
    let in_hand = known.held();
    let marks = known.marks();
    if !marks.places {
        return Stickers::of_net(&Net::of_held(&in_hand));
    }
    match (known.slot(), stage(&in_hand.cube, in_hand.hold.down())) {
        (Some(slot), _) => {
            let mut stickers = marked(&in_hand, slot, Others::Pale);
            for sticker in stickers.0.iter_mut().flatten() {
                sticker.slot &= marks.turns;
            }
            stickers
        }
        (None, Stage::Cross) => marked_cross(&in_hand),
        (None, Stage::LastLayer) => marked_top(&in_hand),
        (None, _) => Stickers::of_net(&Net::of_held(&in_hand)),
    }
}

/// Whether the cube is better seen from the left: the layer to turn or, where that is neither side, the slot is there.
pub fn from_left(known: &Known, next: Option<&Move>) -> bool {
    match side(next) {
        Some(side) => side == Face::L,
        // Where the slot is to be found the drawing does not turn towards it.
        None => known
            .slot()
            .is_some_and(|slot| known.marks().places && is_on_left(known, slot)),
    }
}

fn is_on_left(known: &Known, slot: Slot) -> bool {
    let Held { hold, .. } = known.held();
    hold.edge_in_hand(slot.edge(hold.down()))
        .faces()
        .contains(&Face::L)
}

fn is_left(next: Option<&Move>) -> bool {
    side(next) == Some(Face::L)
}

/// The side, right or left, that a move turns.
fn side(next: Option<&Move>) -> Option<Face> {
    match next? {
        Move::Outer(turn) | Move::Wide(turn) => Some(turn.face),
        Move::Slice(..) | Move::Rotation(..) => None,
    }
    .filter(|face| matches!(face, Face::R | Face::L))
}

fn in_view(stickers: &Stickers, next: Option<&Move>, from_left: bool) -> String {
    held(&HeldCube {
        stickers,
        arrow: next.copied(),
        from_left,
        behind: true,
    })
}
