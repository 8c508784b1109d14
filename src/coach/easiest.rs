//! Which cross takes the fewest turns on a cube, and what can be seen on it that makes it so.

use serde::{Deserialize, Serialize};

use crate::cube::{Amount, Colour, Cube, Edge, Face, Net, Turn};
use crate::solve::{self, side_colours};

use super::cross::edge;
use super::words;

/// The cross that takes the fewest turns.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Easiest {
    pub colour: Colour,
    /// Half-turn metric.
    pub turns: u8,
    /// In a sentence, with the reason.
    pub say: String,
}

impl Easiest {
    /// The easiest cross of a cube; among equals `wanted`, the one that is to be built.
    pub fn of(cube: &Cube, wanted: Colour) -> Easiest {
        let turns = |colour: Colour| solve::cross_turns(cube, colour);
        let others = Colour::ALL.into_iter().filter(|c| *c != wanted);
        let colour = [wanted]
            .into_iter()
            .chain(others)
            .min_by_key(|colour| turns(*colour))
            .unwrap_or(wanted);
        let count = words::turn_count(usize::from(turns(colour)));
        let why = seen(cube, colour).map_or_else(String::new, |seen| format!(": {seen}"));
        let say = if colour == wanted {
            format!("No cross takes fewer turns than this one, which needs {count}{why}.")
        } else {
            format!(
                "The {} cross would be the easiest, in {count} instead of {}{why}.",
                colour.name(),
                words::count(usize::from(turns(wanted)))
            )
        };
        Easiest {
            colour,
            turns: turns(colour),
            say,
        }
    }
}

/// What makes a cross easy: "two of its edges stand right to each other already, and one turn brings another one beside
/// them"; none where there is nothing of the kind to see.
fn seen(cube: &Cube, cross: Colour) -> Option<String> {
    let standing = standing(cube, cross);
    let near = side_colours(cross)
        .into_iter()
        .filter(|side| !standing.contains(side) && one_turn_away(cube, cross, *side))
        .count();
    let stand = match standing.len() {
        0 | 1 => None,
        4 => Some("all its edges stand right to each other already".to_owned()),
        n => Some(format!(
            "{} of its edges stand right to each other already",
            words::count(n)
        )),
    };
    let more = if stand.is_some() {
        "more"
    } else {
        "of its edges"
    };
    let come = match near {
        0 => None,
        1 => Some(format!("one {more} can come down with a single turn")),
        n => Some(format!(
            "{} {more} can come down with a single turn each",
            words::count(n)
        )),
    };
    match (stand, come) {
        (Some(stand), Some(come)) => Some(format!("{stand}, and {come}")),
        (stand, come) => stand.or(come),
    }
}

/// The side colours of the most edges that stand right to each other on the face of the cross.
fn standing(cube: &Cube, cross: Colour) -> Vec<Colour> {
    let face = cross.home_face();
    let turned = Amount::ALL.map(|amount| cube.apply(Turn::new(face, amount)));
    let home = |cube: &Cube| -> Vec<Colour> {
        let at_home = |side: &Colour| {
            let edge = edge(cross, *side);
            cube.find_edge(edge) == (edge, 0)
        };
        side_colours(cross).into_iter().filter(at_home).collect()
    };
    let all = [*cube].into_iter().chain(turned).map(|cube| home(&cube));
    all.max_by_key(Vec::len).unwrap_or_default()
}

/// Whether one turn brings an edge that is not down beside the centre of the cross, the cross's colour to it.
fn one_turn_away(cube: &Cube, cross: Colour, side: Colour) -> bool {
    let edge = edge(cross, side);
    let face = cross.home_face();
    let down = |cube: &Cube| {
        let (place, _) = cube.find_edge(edge);
        place.faces().contains(&face) && Net::of(cube).sticker(face, &beside(place, face)) == cross
    };
    !cube.find_edge(edge).0.faces().contains(&face)
        && Turn::ALL.into_iter().any(|turn| down(&cube.apply(turn)))
}

/// The other face of an edge's place.
fn beside(place: Edge, face: Face) -> Vec<Face> {
    place.faces().into_iter().filter(|f| *f != face).collect()
}
