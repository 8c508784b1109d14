//! A pair as it lies: its two pieces framed, its slot in a broken frame, everything else pale.

use super::geometry::{outward, reading};
use super::{HeldCube, Sticker, Stickers, held};
use crate::cube::{Colour, Corner, Edge, Face, Held, Hold, Move, Net};
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
    held(&HeldCube {
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
    pale(&mut stickers, |_, _| true);
    if others == Others::FirstLayersAtHome {
        for face in Face::ALL {
            for index in [0, 1, 2, 3, 5, 6, 7, 8] {
                stickers.at_mut(face, index).blank = !is_at_home_below(now, face, index);
            }
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

/// The stickers of a held cube, the cross down, with the edges of the cross that are not in place marked, and all but the
/// cross's edges pale.
pub fn marked_cross(now: &Held) -> Stickers {
    let cross = now.hold.down();
    let mut stickers = Stickers::of_net(&Net::of_held(now));
    pale(&mut stickers, |_, _| true);
    for edge in Edge::ALL
        .into_iter()
        .filter(|e| e.colours().contains(&cross))
    {
        let (at, flip) = now.cube.find_edge(edge);
        let away = (at, flip) != (edge, 0);
        let faces = now.hold.edge_in_hand(at).faces();
        for face in faces {
            let sticker = stickers.at_mut(face, index_on(face, &faces));
            (sticker.dim, sticker.pair) = (false, away);
        }
    }
    stickers
}

/// The stickers of a held cube, the cross down, all pale but those of the pieces on top.
pub fn marked_top(now: &Held) -> Stickers {
    let mut stickers = Stickers::of_net(&Net::of_held(now));
    pale(&mut stickers, |face, index| {
        face == Face::D || face != Face::U && index > 2
    });
    stickers
}

/// The stickers of a net that is held white up and green in front, with the pieces at some places framed and all others pale. A
/// place is named by the colours of the centres that it lies between.
pub fn marked_places(net: &Net, places: &[Vec<Colour>]) -> Stickers {
    let mut stickers = Stickers::of_net(net);
    pale(&mut stickers, |_, _| true);
    for place in places {
        let faces: Vec<Face> = place.iter().map(|c| Hold::HOME.face_at(*c)).collect();
        for &face in &faces {
            let sticker = stickers.at_mut(face, index_on(face, &faces));
            (sticker.pair, sticker.dim) = (true, false);
        }
    }
    stickers
}

/// Makes those stickers pale that `which` says, but no centre: centres tell how the cube is held.
fn pale(stickers: &mut Stickers, which: impl Fn(Face, usize) -> bool) {
    for face in Face::ALL {
        for index in [0, 1, 2, 3, 5, 6, 7, 8] {
            stickers.at_mut(face, index).dim = which(face, index);
        }
    }
}

/// The corner of a cube at which faces of these one to three colours meet, with nothing known but the centres, the first colour
/// on top or, alone, in front.
pub fn corner_asked(colours: &[Colour]) -> Stickers {
    let wanted = |h: &Hold| match colours {
        [] => *h == Hold::HOME,
        [one] => h.front() == *one,
        [top, others @ ..] => {
            h.colour_at(Face::U) == *top
                && others
                    .iter()
                    .all(|c| matches!(h.face_at(*c), Face::F | Face::R))
        }
    };
    let hold = Hold::all().find(wanted).unwrap_or(Hold::HOME);
    let asked = |colour: Colour| colours.is_empty() || colours.contains(&colour);
    Stickers(Face::ALL.map(|face| {
        let centre = hold.colour_at(face);
        std::array::from_fn(|i| Sticker {
            colour: (i == 4 && asked(centre)).then_some(centre),
            pair: i == 4 && colours.contains(&centre),
            blank: i != 4 || !asked(centre),
            ..Sticker::default()
        })
    }))
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
