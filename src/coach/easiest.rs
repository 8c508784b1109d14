//! Which cross takes the fewest turns on a cube, and what can be seen on it that makes it so.

use serde::Serialize;

use crate::cube::{Amount, Colour, Cube, Edge, Face, Net, Turn};
use crate::solve::{self, side_colours};

use super::cross::edge;
use super::saying::{CrossSaying, Text, say, say_all};

/// The cross that takes the fewest turns.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Easiest {
    pub colour: Colour,
    /// Half-turn metric.
    pub turns: u8,
    /// In a sentence, and what is seen of it in one or two more.
    pub say: Text,
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
        let fewest = usize::from(turns(colour));
        let comparison = match colour == wanted {
            true => CrossSaying::Fewest(fewest),
            false => CrossSaying::Easier {
                cross: colour,
                turns: fewest,
                than: usize::from(turns(wanted)),
            },
        };
        Easiest {
            colour,
            turns: turns(colour),
            say: say(comparison).and(say_all(seen(cube, colour))),
        }
    }
}

/// What makes a cross easy, in up to two sayings; none where there is nothing of the kind to see.
fn seen(cube: &Cube, cross: Colour) -> Vec<CrossSaying> {
    let standing = standing(cube, cross);
    let count = side_colours(cross)
        .into_iter()
        .filter(|side| !standing.contains(side) && one_turn_away(cube, cross, *side))
        .count();
    let more = standing.len() > 1;
    let in_order = more.then_some(CrossSaying::InOrder(standing.len()));
    let near = (count > 0).then_some(CrossSaying::OneTurnAway { count, more });
    in_order.into_iter().chain(near).collect()
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
