//! The drawn cube that goes with a hint.

use super::known::Known;
use crate::cube::{Face, Held, Move, Moves, Net, sticker_at};
use crate::draw::{Drawn, Sticker, Stickers, held};
use crate::solve::Slot;

/// The cube as it is to be held for the hint, as an SVG document: the pair's stickers framed, its slot too. Once the turns
/// are given, the next one is an arrow on it.
pub fn drawing(known: &Known) -> String {
    let in_hand = known.held();
    let mut stickers = Stickers::of_net(&Net::of_held(&in_hand));
    if let Some(slot) = known.slot() {
        mark(&mut stickers, &in_hand, slot);
    }
    let moves = known.moves();
    in_view(&stickers, moves.first().filter(|_| known.gives_turns()))
}

/// A cube as it is to be held for some turns, as an SVG document, with the first of them as an arrow on it.
pub fn drawing_of_turns(in_hand: &Held, turns: &Moves) -> String {
    in_view(&Stickers::of_net(&Net::of_held(in_hand)), turns.first())
}

fn in_view(stickers: &Stickers, next: Option<&Move>) -> String {
    held(&Drawn {
        stickers,
        arrow: next.copied(),
        from_left: false,
        behind: true,
    })
}

/// Frames the stickers of a slot's pair where they are, and of the slot itself.
fn mark(stickers: &mut Stickers, in_hand: &Held, slot: Slot) {
    let Held { cube, hold } = in_hand;
    let (corner, edge) = (slot.corner(hold.down()), slot.edge(hold.down()));
    let (corner_at, edge_at) = (cube.find_corner(corner).0, cube.find_edge(edge).0);
    let places = [
        (corner_at.faces().to_vec(), true),
        (edge_at.faces().to_vec(), true),
        (corner.faces().to_vec(), false),
        (edge.faces().to_vec(), false),
    ];
    for (home, pair) in places {
        let faces: Vec<Face> = home
            .into_iter()
            .map(|face| hold.face_in_hand(face))
            .collect();
        for (i, face) in faces.iter().enumerate() {
            let others: Vec<Face> = faces
                .iter()
                .enumerate()
                .filter(|(j, _)| *j != i)
                .map(|(_, other)| *other)
                .collect();
            let (row, column) = sticker_at(*face, &others);
            let sticker: &mut Sticker = stickers.at_mut(*face, 3 * row + column);
            if pair {
                sticker.pair = true;
            } else {
                sticker.slot = true;
            }
        }
    }
}
