//! A pair as it lies: its two pieces framed, its slot in a broken frame, everything else pale.

use super::geometry::{outward, reading};
use super::{Drawn, Sticker, Stickers, held};
use crate::cube::{Corner, Edge, Face, Held, Move, Net};
use crate::solve::Slot;

/// Which pieces that do not belong to the pair are drawn in their colours, palely.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Others {
    /// All.
    Pale,
    /// Only those of the first two layers that are at home: the rest is left blank.
    FirstLayersAtHome,
}

/// An SVG of a held cube, the cross down, with the pair of a slot marked and the next move as an arrow.
///
/// It is seen from the side on which the slot is; it is shown from behind, too, where a piece of the pair or the
/// move would be hidden otherwise.
pub fn situation(now: &Held, slot: Slot, next: Option<Move>, others: Others) -> String {
    let stickers = marked(now, slot, others);
    let home = now.hold.edge_in_hand(slot.edge(now.hold.down()));
    let from_left = home.faces().contains(&Face::L);
    let hidden = |face: Face| match face {
        Face::B => true,
        Face::L => !from_left,
        Face::R => from_left,
        _ => false,
    };
    let out_of_view = |face: Face| {
        let wanted = |s: &Sticker| s.pair || s.slot;
        hidden(face) && stickers.face(face).iter().any(wanted)
    };
    let back_turn = matches!(next, Some(Move::Outer(turn)) if hidden(turn.face));
    held(&Drawn {
        stickers: &stickers,
        arrow: next,
        from_left,
        behind: back_turn || Face::ALL.into_iter().any(out_of_view),
    })
}

/// The stickers of a held cube with the pair and its slot marked.
pub fn marked(now: &Held, slot: Slot, others: Others) -> Stickers {
    let cross = now.hold.down();
    let (corner, edge) = (slot.corner(cross), slot.edge(cross));
    let mut stickers = Stickers::of_net(&Net::of_held(now));
    for face in Face::ALL {
        for index in [0, 1, 2, 3, 5, 6, 7, 8] {
            let at_home = is_at_home_below(now, face, index);
            let sticker = stickers.at_mut(face, index);
            sticker.dim = true;
            sticker.blank = others == Others::FirstLayersAtHome && !at_home;
        }
    }
    let mut mark = |faces: &[Face], how: fn(&mut Sticker)| {
        for &face in faces {
            how(stickers.at_mut(face, index_on(face, faces)));
        }
    };
    let pair = |s: &mut Sticker| {
        s.pair = true;
        s.dim = false;
        s.blank = false;
    };
    let (corner_at, _) = now.cube.find_corner(corner);
    let (edge_at, _) = now.cube.find_edge(edge);
    mark(&now.hold.corner_in_hand(corner_at).faces(), pair);
    mark(&now.hold.edge_in_hand(edge_at).faces(), pair);
    let place = |s: &mut Sticker| s.slot = true;
    mark(&now.hold.corner_in_hand(corner).faces(), place);
    mark(&now.hold.edge_in_hand(edge).faces(), place);
    stickers
}

/// The index on `face` of the sticker of the piece between `faces`.
fn index_on(face: Face, faces: &[Face]) -> usize {
    let (right, down) = reading(face);
    let along = |axis: super::geometry::Solid| {
        let others = faces.iter().filter(|f| **f != face);
        let sum: f32 = others.map(|f| outward(*f).dot(axis)).sum();
        (sum + 1.0).round() as usize
    };
    3 * along(down) + along(right)
}

/// Whether the piece with this sticker is one of the first two layers and at home.
fn is_at_home_below(now: &Held, face: Face, index: usize) -> bool {
    let home = |f: &Face| now.hold.home_face(*f);
    let corner = Corner::ALL
        .into_iter()
        .find(|c| c.faces().contains(&face) && index_on(face, &c.faces()) == index);
    let edge = Edge::ALL
        .into_iter()
        .find(|e| e.faces().contains(&face) && index_on(face, &e.faces()) == index);
    match (corner, edge) {
        (Some(place), _) if place.faces().contains(&Face::U) => false,
        (_, Some(place)) if place.faces().contains(&Face::U) => false,
        (Some(place), _) => Corner::with_faces(place.faces().map(|f| home(&f)))
            .is_some_and(|place| now.cube.corner_at(place) == (place, 0)),
        (None, Some(place)) => Edge::of_faces(place.faces().map(|f| home(&f)))
            .is_some_and(|(place, _)| now.cube.edge_at(place) == (place, 0)),
        (None, None) => true,
    }
}
