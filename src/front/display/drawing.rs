//! What is known of the cube, as the page draws it in the cube's own colours: the cube in hand, its turns, and how far the solve is.

use crate::coach::saying::Deed;
use crate::coach::{Group, english, words};
use crate::cube::{Colour, Face, Hold, Move, Moves, Net, Scheme};
use crate::draw::{Stickers, corner_asked};
use crate::live::{Known, SetUp, from_left, stickers};
use crate::page::{Drawing, Progress, SlotState, Turns};
use crate::solve::{self, Slot};

/// The cube as it is to be held for the hint; `next` is the turn to make now, where turns are given.
pub fn drawing(known: &Known, scheme: Scheme, next: Option<&Move>) -> Drawing {
    Drawing {
        stickers: stickers(known).painted(scheme),
        from_left: from_left(known, next),
        description: described(known.held().hold, scheme),
    }
}

/// The cube from which turns lead to what is practised.
pub fn drawing_of_set_up(set_up: &SetUp, scheme: Scheme) -> Drawing {
    Drawing {
        stickers: Stickers::of_net(&Net::of_held(&set_up.held)).painted(scheme),
        from_left: false,
        description: described(set_up.held.hold, scheme),
    }
}

/// The corner or the face that is to be shown of a cube of a scheme; none in particular where no colours are named.
pub fn drawing_of_asked(colours: &[Colour], scheme: Scheme) -> Drawing {
    let names: Vec<String> = colours.iter().map(|c| c.name().to_owned()).collect();
    let description = match &names[..] {
        [] => "Any corner, three faces at once.".into(),
        [one] => format!("The face with the {one} centre."),
        _ => format!("The corner between the {} centres.", words::list(&names)),
    };
    let places: Vec<Colour> = colours.iter().map(|c| scheme.usual(*c)).collect();
    Drawing {
        stickers: corner_asked(&places).painted(scheme),
        from_left: false,
        description: description.into(),
    }
}

fn described(hold: Hold, scheme: Scheme) -> std::sync::Arc<str> {
    let [down, front] = [hold.down(), hold.front()].map(|colour| scheme.colour(colour));
    words::hold(down, front).into()
}

/// Turns as one idea.
pub fn turns(moves: &Moves) -> Vec<Turns> {
    let group = Group {
        name: None,
        moves: moves.clone(),
    };
    grouped(&[group], Scheme::USUAL)
}

/// The turns back to where a slip was made.
pub fn way_back(moves: &Moves) -> Vec<Turns> {
    let group = Group {
        name: Some(Deed::WayBack),
        moves: moves.clone(),
    };
    grouped(&[group], Scheme::USUAL)
}

/// Turns idea by idea, of a cube of a scheme.
pub fn grouped(groups: &[Group], scheme: Scheme) -> Vec<Turns> {
    let name = |deed: &Deed| words::sentence(&english::deed_of(deed, scheme));
    groups
        .iter()
        .filter(|group| !group.moves.is_empty())
        .map(|group| Turns {
            idea: group.name.as_ref().map_or_else(String::new, name),
            moves: group.moves.iter().map(ToString::to_string).collect(),
            words: group.moves.iter().map(|m| words::turn(*m)).collect(),
        })
        .collect()
}

/// The corner and the edge to look for, where the hint names them but leaves their places to be found.
pub fn pieces(known: &Known, scheme: Scheme) -> Vec<Vec<Colour>> {
    let to_find = known
        .rung()
        .is_some_and(|rung| rung.marks.pieces && !rung.marks.places);
    let Some(slot) = known.slot().filter(|_| to_find) else {
        return Vec::new();
    };
    let cross = known.held().hold.down();
    let (corner, edge) = (slot.corner(cross).colours(), slot.edge(cross).colours());
    let painted = |piece: &[Colour]| piece.iter().map(|c| scheme.colour(*c)).collect();
    vec![painted(&corner), painted(&edge)]
}

/// How far the solve is, the slots as the cube is held.
pub fn progress(known: &Known, scheme: Scheme) -> Progress {
    let held = known.held();
    let cross = held.hold.down();
    let solved = solve::pairs_solved(&held.cube, cross);
    let slots = Slot::ALL.map(|slot| {
        let faces = held.hold.edge_in_hand(slot.edge(cross)).faces();
        let front = faces.contains(&Face::F);
        let right = faces.contains(&Face::R);
        let place = match (front, right) {
            (true, true) => "front right",
            (true, false) => "front left",
            (false, true) => "back right",
            (false, false) => "back left",
        };
        let ahead = if front { Face::F } else { Face::B };
        let aside = if right { Face::R } else { Face::L };
        SlotState {
            place,
            colours: [ahead, aside].map(|face| scheme.colour(held.hold.colour_at(face))),
            solved: solved.contains(slot),
            // Where the learner is to find the pair the map does not tell it.
            now: known.level() > 0 && known.slot() == Some(slot),
        }
    });
    Progress {
        cross: solve::cross_solved(&held.cube, cross),
        cross_colour: scheme.colour(cross),
        slots,
        last: solve::stage(&held.cube, cross) == solve::Stage::Solved,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cube::Cube;

    /// What is drawn and named lies so on the learner's own cube.
    #[test]
    fn cubes_of_every_scheme_are_drawn_in_their_own_colours() {
        for (scheme, seed) in Scheme::all().zip(0..) {
            let known = Known::new(Cube::random(seed), None);
            let held = known.held();
            let drawing = drawing(&known, scheme, None);
            let own = scheme.painted(&Net::of_held(&held));
            for face in Face::ALL {
                for (i, sticker) in drawing.stickers.face(face).iter().enumerate() {
                    assert_eq!(sticker.colour, Some(own.face(face)[i / 3][i % 3]));
                }
            }
            let centre = |face| own.face(face)[1][1];
            let named = words::hold(centre(Face::D), centre(Face::F));
            assert_eq!(*drawing.description, *named);
            let progress = progress(&known, scheme);
            assert_eq!(progress.cross_colour, centre(Face::D));
            for slot in progress.slots {
                let [ahead, aside] = slot.colours;
                let front = slot.place.contains("front");
                let right = slot.place.contains("right");
                assert_eq!(ahead, centre(if front { Face::F } else { Face::B }));
                assert_eq!(aside, centre(if right { Face::R } else { Face::L }));
            }
            let asked = drawing_of_asked(&scheme.colours()[..3], scheme);
            let seen = [Face::U, Face::R, Face::F].map(|face| asked.stickers.face(face)[4].colour);
            assert_eq!(seen, [0, 1, 2].map(|i| Some(scheme.colours()[i])));
        }
    }
}
