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
    /// In a sentence, and what is seen of it in one or two more.
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
        let say = if colour == wanted {
            format!("It takes {count}, and no cross takes fewer.")
        } else {
            format!(
                "The {} cross would be the easiest: {count} instead of {}.",
                colour.name(),
                words::count(usize::from(turns(wanted)))
            )
        };
        let say = [say].into_iter().chain(seen(cube, colour));
        let say = say.collect::<Vec<_>>().join(" ");
        Easiest {
            colour,
            turns: turns(colour),
            say,
        }
    }
}

/// What makes a cross easy, in up to two sentences; none where there is nothing of the kind to see.
fn seen(cube: &Cube, cross: Colour) -> Vec<String> {
    let standing = standing(cube, cross);
    let near = side_colours(cross)
        .into_iter()
        .filter(|side| !standing.contains(side) && one_turn_away(cube, cross, *side))
        .count();
    let count = |n: usize| words::sentence(&words::count(n));
    let mut seen = match standing.len() {
        0 | 1 => Vec::new(),
        4 => vec!["All its edges are in the right order.".to_owned()],
        n => vec![format!("{} of its edges are in the right order.", count(n))],
    };
    let more = match seen.is_empty() {
        true => "of its edges",
        false => "more",
    };
    match near {
        0 => {}
        1 => seen.push(format!("One {more} can come down with a single turn.")),
        n => seen.push(format!(
            "{} {more} can come down with a single turn each.",
            count(n)
        )),
    }
    seen
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
