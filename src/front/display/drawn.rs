//! What is known of the cube, as the page draws it: the cube in hand, its turns, and how far the solve is.

use crate::coach::{Group, words};
use crate::cube::{Colour, Face, Hold, Move, Moves, Net};
use crate::draw::{Stickers, corner_asked};
use crate::live::{Known, SetUp, from_left, stickers};
use crate::page::{Drawing, Progress, SlotState, Turns};
use crate::solve::{self, Slot};

/// The cube as it is to be held for the hint; `next` is the turn to make now, where turns are given.
pub fn drawing(known: &Known, next: Option<&Move>) -> Drawing {
    Drawing {
        stickers: stickers(known),
        from_left: from_left(known, next),
        description: described(known.held().hold),
    }
}

/// The cube from which turns lead to what is practised.
pub fn drawing_of_set_up(set_up: &SetUp) -> Drawing {
    Drawing {
        stickers: Stickers::of_net(&Net::of_held(&set_up.held)),
        from_left: false,
        description: described(set_up.held.hold),
    }
}

/// The corner or the face that is to be shown; none in particular where no colours are named.
pub fn drawing_of_asked(colours: &[Colour]) -> Drawing {
    let names: Vec<String> = colours.iter().map(|c| c.name().to_owned()).collect();
    let description = match &names[..] {
        [] => "Any corner, three faces at once.".into(),
        [one] => format!("The face with the {one} centre."),
        _ => format!("The corner between the {} centres.", words::list(&names)),
    };
    Drawing {
        stickers: corner_asked(colours),
        from_left: false,
        description: description.into(),
    }
}

fn described(hold: Hold) -> std::sync::Arc<str> {
    words::hold(hold.down(), hold.front()).into()
}

/// Turns as one idea.
pub fn turns(moves: &Moves) -> Vec<Turns> {
    grouped(&[Group {
        name: String::new(),
        moves: moves.clone(),
    }])
}

/// The turns back to where a slip was made.
pub fn way_back(moves: &Moves) -> Vec<Turns> {
    grouped(&[Group {
        name: "way back".into(),
        moves: moves.clone(),
    }])
}

/// Turns idea by idea.
pub fn grouped(groups: &[Group]) -> Vec<Turns> {
    groups
        .iter()
        .filter(|group| !group.moves.is_empty())
        .map(|group| Turns {
            idea: words::sentence(&group.name),
            moves: group.moves.iter().map(ToString::to_string).collect(),
            words: group.moves.iter().map(|m| words::turn(*m)).collect(),
        })
        .collect()
}

/// The corner and the edge to look for, where the hint names them but leaves their places to be found.
pub fn pieces(known: &Known) -> Vec<Vec<Colour>> {
    let to_find = known
        .rung()
        .is_some_and(|rung| rung.marks.pieces && !rung.marks.places);
    let Some(slot) = known.slot().filter(|_| to_find) else {
        return Vec::new();
    };
    let cross = known.held().hold.down();
    vec![
        slot.corner(cross).colours().to_vec(),
        slot.edge(cross).colours().to_vec(),
    ]
}

/// How far the solve is, the slots as the cube is held.
pub fn progress(known: &Known) -> Progress {
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
            colours: [ahead, aside].map(|face| held.hold.colour_at(face)),
            solved: solved.contains(slot),
            // Where the learner is to find the pair the map does not tell it.
            now: known.level() > 0 && known.slot() == Some(slot),
        }
    });
    Progress {
        cross: solve::cross_solved(&held.cube, cross),
        cross_colour: cross,
        slots,
        last: solve::stage(&held.cube, cross) == solve::Stage::Solved,
    }
}
